"""Putting a new content into a file that is there already."""

import os
import tempfile
from contextlib import suppress

from chime.cli.reading import Misused


def rewrite(path: str, content: bytes) -> None:
    """Put a content into a file in one step; raises Misused with the file as it was.

    It is written aside in the same folder and then renamed, so nobody ever sees half of it. The file
    keeps its permissions and, where that is allowed, its owner; behind a link, the file it leads to is
    rewritten.
    """
    place = os.path.realpath(path)
    aside = None
    try:
        if not os.access(place, os.W_OK):
            raise Misused(f"cannot write {path}: its permissions forbid it")
        handle, aside = tempfile.mkstemp(prefix=".chime-new-", dir=os.path.dirname(place))
        with open(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        _give_likeness(place, aside)
        os.replace(aside, place)
    except OSError as error:
        reason = os.strerror(error.errno).lower() if error.errno else str(error)
        raise Misused(f"cannot write {path}: {reason}; it is as it was") from error
    finally:
        if aside is not None:
            with suppress(OSError):
                os.unlink(aside)


def _give_likeness(model: str, aside: str) -> None:
    seen = os.stat(model)
    if hasattr(os, "chown"):
        with suppress(OSError):
            os.chown(aside, seen.st_uid, seen.st_gid)
    os.chmod(aside, seen.st_mode & 0o7777)
