"""A word on a terminal while work takes longer than a second."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

PATIENCE_SECONDS = 1.0


@contextmanager
def telling(what: str) -> Iterator[None]:
    """Say what is being done if it takes longer than a second, and take the words away when it is done.

    Only on a terminal: a log or a pipe holds nothing that is no result.
    """
    if not sys.stderr.isatty():
        yield
        return
    from threading import Timer

    said = []

    def say() -> None:
        said.append(what)
        sys.stderr.write(f"{what} ...")
        sys.stderr.flush()

    timer = Timer(PATIENCE_SECONDS, say)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        if said:
            sys.stderr.write("\r" + " " * (len(what) + 4) + "\r")
            sys.stderr.flush()
