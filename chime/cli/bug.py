"""What the user is told when chime itself fails: never a traceback, always what to do."""

from __future__ import annotations

import errno
import os
import sys
import traceback
from contextlib import suppress

from chime.diagnostics import Code

BUG = Code(
    "X901",
    "bug-in-chime",
    "error",
    "Something failed inside chime that is no fault of the programme. Nothing was written. Please report it "
    "with the programme file and the output of `chime --version`.",
    "",
    "",
)

CODES = (BUG,)

_NO_ROOM = frozenset((errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO))


def tell_of_bug(error: BaseException) -> None:
    """Write the words of a bug to standard error; the trace is kept for those who ask for it."""
    place = traceback.extract_tb(error.__traceback__)[-1:]
    where = f" ({place[0].name}, line {place[0].lineno})" if place else ""
    lines = (
        "error X901: chime itself failed; this is no fault of your programme",
        f"  what   {type(error).__name__}{where}",
        "  why    Nothing was written. What was there before is untouched.",
        "  try    report it with the programme file and what `chime --version` says;",
        "         CHIME_TRACE=1 in the environment shows the technical trace",
    )
    _say("\n".join(lines))
    if os.environ.get("CHIME_TRACE"):
        traceback.print_exception(error)


def is_lack_of_room(error: OSError) -> bool:
    """Say whether writing failed for want of room or of a sound device, which is no fault of chime."""
    return error.errno in _NO_ROOM


def tell_of_lack_of_room(error: OSError) -> None:
    """Write to standard error why what was asked for could not be written in full."""
    _say(f"chime: cannot write all that was asked for: {os.strerror(error.errno or 0).lower()}")
    stop_writing()


def stop_writing() -> None:
    """Give up what is still unwritten: it would be tried, and complained of, once more on the way out."""
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _say(words: str) -> None:
    with suppress(OSError):  # standard error may lead nowhere; the exit status still tells
        sys.stderr.write(words + "\n")
        sys.stderr.flush()
