"""Putting files into a folder: all of them or none.

Every file is written aside first, under a hidden name in the same folder, and renamed when all are
there. A rename replaces a file whole, so a reader never sees half of one.
"""

import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from chime.cli.reading import Misused
from chime.writers.model import Artefact

_ASIDE = ".chime-new-"


def write_all_or_none(folder: Path, artefacts: Sequence[Artefact]) -> None:
    """Write the files into a folder, made if it is missing; raises Misused with nothing changed."""
    aside: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for artefact in artefacts:
            place = folder / artefact.name
            hidden = folder / (_ASIDE + artefact.name)
            if place.is_dir():
                raise Misused(f"cannot write {place}: it is a folder")
            aside.append((hidden, place))
            _write(hidden, artefact.content)
        for hidden, place in aside:
            os.replace(hidden, place)
    except OSError as error:
        raise Misused(f"cannot write to {folder}: {_in_words(error)}; nothing was changed") from error
    finally:
        for hidden, _ in aside:
            with suppress(OSError):
                hidden.unlink()


def _write(place: Path, content: bytes) -> None:
    with place.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _in_words(error: OSError) -> str:
    if isinstance(error, FileExistsError | NotADirectoryError):
        return "a file is in its place"
    return os.strerror(error.errno).lower() if error.errno else str(error)
