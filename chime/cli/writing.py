"""Putting a set of files into a folder: all of them or none, also if the computer stops half way.

The whole set is first written aside, into a hidden folder of the output folder. When all of it is on the disk
a note called `ready` is put beside it, and only then are the files moved into their places, `plan.json` last.
Whoever finds `ready` can finish what was begun; without it nothing has been touched. A reader who is not
chime sees the same in `plan.json`: it lists the digest of every file of its set.
"""

import errno
import json
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

from chime.cli.reading import Misused
from chime.writers.model import Artefact

_NO_LOCKS = (errno.ENOLCK, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL)
"""What a disk answers that knows no locks, as some across a network do not: then there is none."""

ASIDE = ".chime-set"
READY = "ready"
PLAN = "plan.json"


def settle(folder: Path) -> str | None:
    """Bring a folder to a whole set after a compile that was cut off; says what was done, None if nothing.

    Raises Misused if that is not possible.
    """
    if not os.path.isdir(folder / ASIDE):
        return None
    with _reporting(folder, "an earlier compile was cut off there"), _locked(folder):
        note = _read_note(folder / ASIDE / READY)
        if note is None:
            _clear(folder / ASIDE)
            return f"{folder}: what a compile that was cut off had begun to write was cleared away"
        _move_into_place(folder, note)
    return f"{folder}: the files of a compile that was cut off were put in their places"


def earlier_plan(folder: Path) -> bytes | None:
    """Return the plan that is in a folder, None if there is none to be read."""
    with suppress(OSError):
        return (folder / PLAN).read_bytes()
    return None


def write_set(folder: Path, artefacts: Sequence[Artefact]) -> tuple[str, ...]:
    """Put a set of files into a folder, made if it is missing; the plan is the last of them.

    Files that the plan in the folder lists and the new one does not are removed, but for those that somebody
    has changed; these are named. Raises Misused with nothing changed.
    """
    with _reporting(folder, "nothing was changed"):
        folder.mkdir(parents=True, exist_ok=True)
        with _locked(folder):
            for artefact in artefacts:
                if (folder / artefact.name).is_dir():
                    raise Misused(f"cannot write {folder / artefact.name}: it is a folder")
            remove, changed = _left_over(folder, {artefact.name for artefact in artefacts})
            note = {"files": [artefact.name for artefact in artefacts], "remove": remove}
            _write_aside(folder / ASIDE, artefacts, note)
            with _reporting(folder, "compile once more to finish it"):
                _move_into_place(folder, note)
    return tuple(
        f"{folder / name} belongs to no file of this set, but it was changed, so it was left"
        for name in changed
    )


def _write_aside(aside: Path, artefacts: Sequence[Artefact], note: dict[str, Any]) -> None:
    if aside.exists() and not aside.is_dir():
        raise Misused(f"cannot write to {aside.parent}: {ASIDE} is in the way; move it elsewhere")
    try:
        if aside.is_dir():
            _clear(aside)
        aside.mkdir()
        for artefact in artefacts:
            _write(aside / artefact.name, artefact.content)
        _sync(aside)
        begun = aside / f"{READY}-begun"
        _write(begun, json.dumps(note).encode())
        begun.replace(aside / READY)
        _sync(aside)
    except OSError:
        _clear(aside)
        raise


def _move_into_place(folder: Path, note: dict[str, Any]) -> None:
    """Move what is still aside into its place; done again after a break it goes on where it was."""
    aside = folder / ASIDE
    *others, plan = note["files"]
    for name in others:
        if (aside / name).exists():
            (aside / name).replace(folder / name)
    for name in note["remove"]:
        (folder / name).unlink(missing_ok=True)
    if (aside / plan).exists():
        (aside / plan).replace(folder / plan)
    _sync(folder)
    _clear(aside)


def _read_note(place: Path) -> dict[str, Any] | None:
    """Return the note of a set that is ready, None if there is none; raises Misused for a spoiled one."""
    try:
        note = json.loads(place.read_bytes())
    except FileNotFoundError:
        return None
    except (ValueError, RecursionError):
        note = None
    if not _is_note(note):
        raise Misused(
            f"cannot finish what an earlier compile began in {place.parent.parent}: its note {ASIDE}/{READY} "
            f"is spoiled; move {ASIDE} elsewhere and compile once more, for until then files of two sets may "
            "be mixed"
        )
    found: dict[str, Any] = note
    return found


def _is_note(note: object) -> bool:
    """Tell whether a note names files of one folder, the plan last; no other may move a file."""
    if not isinstance(note, dict):
        return False
    files, remove = note.get("files"), note.get("remove")
    if not isinstance(files, list) or not isinstance(remove, list):
        return False
    bare = all(isinstance(name, str) and _is_bare(name) for name in (*files, *remove))
    return bare and files[-1:] == [PLAN]


def _is_bare(name: str) -> bool:
    return os.path.basename(name) == name and name not in ("", ".", "..") and "\0" not in name


def _clear(aside: Path) -> None:
    """Take the folder aside away, its note last, so that a half-cleared one still tells what it was."""
    with suppress(FileNotFoundError):
        for place in sorted(aside.iterdir(), key=lambda each: each.name == READY):
            if place.is_dir() and not place.is_symlink():
                raise Misused(
                    f"cannot clear {aside}: the folder {place.name} in it is not chime's; move it elsewhere"
                )
            place.unlink()
        aside.rmdir()


def _left_over(folder: Path, names: set[str]) -> tuple[list[str], list[str]]:
    """Return which files of the set that is there do not belong to the new one: as written, and changed."""
    as_written: list[str] = []
    changed: list[str] = []
    for name, digest in sorted(_listed(folder).items()):
        place = folder / name
        if name in names or not _is_bare(name) or place.is_symlink() or not place.is_file():
            continue
        same = sha256(place.read_bytes()).hexdigest() == digest
        (as_written if same else changed).append(name)
    return as_written, changed


def _listed(folder: Path) -> dict[str, str]:
    content = earlier_plan(folder)
    try:
        listed = json.loads(content)["files"] if content is not None else {}
        return {str(name): str(digest) for name, digest in listed.items()}
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return {}  # not a plan of ours: its files are nobody's business


@contextmanager
def _locked(folder: Path) -> Iterator[None]:
    """Hold the folder against a second compile; the lock goes with the process that holds it."""
    try:
        import fcntl
    except ImportError:  # no such locks on this system: renaming an open file fails there by itself
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise Misused(f"another compile is writing to {folder}; nothing was changed") from None
        except OSError as error:
            if error.errno not in _NO_LOCKS:
                raise
        yield
    finally:
        os.close(handle)


@contextmanager
def _reporting(folder: Path, state: str) -> Iterator[None]:
    """Turn a failure of the disk into clear words, with what became of the folder."""
    try:
        yield
    except OSError as error:
        raise Misused(f"cannot write to {folder}: {_in_words(error)}; {state}") from error


def _write(place: Path, content: bytes) -> None:
    with place.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _sync(folder: Path) -> None:
    """Let the names in a folder reach the disk, where the system can be asked for that."""
    with suppress(PermissionError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _in_words(error: OSError) -> str:
    if isinstance(error, FileExistsError | NotADirectoryError):
        return "a file is in its place"
    if isinstance(error, FileNotFoundError):
        return "no folder can be made there"
    return os.strerror(error.errno).lower() if error.errno else str(error)
