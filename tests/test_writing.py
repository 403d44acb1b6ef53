"""A set of files in a folder: whole, old or new, however the writing ends.

A process is killed before each of its calls to the disk in turn, the disk is full at each of them, and two
compiles meet. In every case the folder holds the old set, or the new one, or what the next compile finishes.
"""

import errno
import json
import os
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from chime.cli.reading import Misused
from chime.cli.writing import ASIDE, READY, settle, write_set
from chime.writers.model import Artefact


def a_set(mark: str, *names: str) -> tuple[Artefact, ...]:
    """Files with a plan that lists them, as a compile makes them."""
    files = [Artefact(name, f"{mark} {name}".encode()) for name in sorted(names)]
    listed = {file.name: sha256(file.content).hexdigest() for file in files}
    return (*files, Artefact("plan.json", json.dumps({"mark": mark, "files": listed}).encode()))


OLD = a_set("old", "calendar.ics", "chart.pdf", "holes-A.csv", "holes-B.csv")
NEW = a_set("new", "calendar.ics", "chart.pdf", "holes-A.csv", "holes-C.csv")


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def as_contents(files: tuple[Artefact, ...]) -> dict[str, bytes]:
    return {file.name: file.content for file in files}


def is_whole(folder: Path) -> bool:
    """Tell what another program can: whether every file that the plan lists is there as it is listed."""
    there = contents(folder)
    listed = json.loads(there["plan.json"])["files"]
    return all(sha256(there.get(name, b"")).hexdigest() == digest for name, digest in listed.items())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_set(tmp_path / "out", OLD)
    return tmp_path / "out"


def test_a_new_set_replaces_the_old_one_and_takes_its_left_over_files_away(folder: Path) -> None:
    (folder / "notes.txt").write_text("mine", encoding="utf-8")
    assert write_set(folder, NEW) == ()
    assert contents(folder) == {**as_contents(NEW), "notes.txt": b"mine"}
    assert not (folder / ASIDE).exists()


def test_a_file_that_somebody_has_changed_is_not_taken_away_but_named(folder: Path) -> None:
    (folder / "holes-B.csv").write_text("with my notes", encoding="utf-8")
    assert write_set(folder, NEW) == (
        f"{folder / 'holes-B.csv'} belongs to no file of this set, but it was changed, so it was left",
    )
    assert contents(folder) == {**as_contents(NEW), "holes-B.csv": b"with my notes"}


@pytest.mark.parametrize(
    "plan",
    [
        b"",
        b"[]",
        b'{"files": 3}',
        b'{"files": {"../outside.txt": "DIGEST", "/etc/hostname": "DIGEST", ".": "DIGEST"}}',
        b'{"files": ' + b"[" * 100_000,
        b"\xff\xfe",
    ],
)
def test_a_strange_plan_in_the_folder_takes_nothing_away(plan: bytes, folder: Path) -> None:
    outside = folder.parent / "outside.txt"
    outside.write_bytes(b"precious")
    (folder / "plan.json").write_bytes(plan.replace(b"DIGEST", sha256(b"precious").hexdigest().encode()))
    assert write_set(folder, NEW) == ()
    assert outside.read_bytes() == b"precious"
    assert contents(folder) == {**as_contents(NEW), "holes-B.csv": b"old holes-B.csv"}


# -------------------------------------------------------------------- cut off half way

CALLS = ("mkdir", "open", "fsync", "rename", "replace", "unlink", "rmdir")
"""What writing asks of the disk; pathlib calls these of `os` too."""


def interrupted(work: Callable[[], Any], number: int) -> bool:
    """Do some work in a process that dies before its call of that number; tell whether it came to its end."""
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
    left = [number]
    for name in CALLS:
        setattr(os, name, _dying(getattr(os, name), left))
    try:
        work()
    finally:
        os._exit(0)


def _dying(call: Callable[..., Any], left: list[int]) -> Callable[..., Any]:
    def wrapped(*arguments: Any, **named: Any) -> Any:
        if not left[0]:
            os._exit(9)
        left[0] -= 1
        return call(*arguments, **named)

    return wrapped


def test_killed_at_any_call_the_folder_holds_the_old_set_or_the_new_or_what_can_be_finished(
    tmp_path: Path,
) -> None:
    seen = set()
    number, ended = 0, False
    while not ended:
        folder = tmp_path / str(number)
        write_set(folder, OLD)
        ended = interrupted(lambda at=folder: write_set(at, NEW), number)  # type: ignore[misc]
        there, can_be_finished = contents(folder), (folder / ASIDE / READY).exists()
        if there == as_contents(OLD):
            seen.add("old")
        elif there == as_contents(NEW):
            seen.add("new")
        else:
            seen.add("between")
            assert can_be_finished
            assert not is_whole(folder)
        was_begun = (folder / ASIDE).exists()
        assert (settle(folder) is not None) == was_begun
        assert contents(folder) == as_contents(NEW if can_be_finished or there == as_contents(NEW) else OLD)
        assert not (folder / ASIDE).exists()
        assert settle(folder) is None
        number += 1
    assert number > 20
    assert seen == {"old", "between", "new"}


def test_killed_while_it_is_being_finished_it_can_still_be_finished(tmp_path: Path) -> None:
    number, ended = 0, False
    while not ended:
        folder = tmp_path / str(number)
        write_set(folder, OLD)
        half_way = 2 * len(NEW) + 8
        assert not interrupted(lambda at=folder: write_set(at, NEW), half_way)  # type: ignore[misc]
        assert (folder / ASIDE / READY).exists()
        ended = interrupted(lambda at=folder: settle(at), number)  # type: ignore[misc]
        settle(folder)
        assert contents(folder) == as_contents(NEW)
        number += 1
    assert number > 4


def test_the_next_compile_says_what_was_cut_off(folder: Path) -> None:
    assert not interrupted(lambda: write_set(folder, NEW), 5)
    assert settle(folder) == f"{folder}: what a compile that was cut off had begun to write was cleared away"
    assert not interrupted(lambda: write_set(folder, NEW), 2 * len(NEW) + 8)
    assert settle(folder) == f"{folder}: the files of a compile that was cut off were put in their places"


# ---------------------------------------------------------------------- what can fail


def test_a_disk_that_is_full_at_any_write_leaves_the_old_set(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fsync, room = os.fsync, [0]

    def fill(handle: int) -> None:
        if not room[0]:
            raise OSError(errno.ENOSPC, "no space")
        room[0] -= 1
        fsync(handle)

    monkeypatch.setattr(os, "fsync", fill)
    for number in range(len(NEW) + 2):
        room[0] = number
        with pytest.raises(Misused, match="no space left on device; nothing was changed"):
            write_set(folder, NEW)
        assert contents(folder) == as_contents(OLD)
        assert not (folder / ASIDE).exists()


def test_a_second_compile_at_the_same_time_is_turned_away(folder: Path) -> None:
    import fcntl

    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        with pytest.raises(Misused, match=r"another compile is writing to .*; nothing was changed"):
            write_set(folder, NEW)
        assert contents(folder) == as_contents(OLD)
    finally:
        os.close(handle)
    assert write_set(folder, NEW) == ()


def test_a_disk_that_knows_no_locks_is_written_to_without(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(errno.ENOLCK, "no locks")

    monkeypatch.setattr("fcntl.flock", refuse)
    assert write_set(folder, NEW) == ()
    assert contents(folder) == as_contents(NEW)


def test_a_file_where_the_set_would_be_written_aside_is_in_the_way(folder: Path) -> None:
    (folder / ASIDE).write_text("mine", encoding="utf-8")
    with pytest.raises(Misused, match="is in the way; move it elsewhere"):
        write_set(folder, NEW)
    assert (folder / ASIDE).read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    "note",
    [
        b"{bad",
        b"",
        b"\xff",
        b"[" * 100_000,
        b"null",
        b"[]",
        b'{"files": [], "remove": []}',
        b'{"files": ["plan.json"]}',
        b'{"files": ["chart.pdf"], "remove": []}',
        b'{"files": ["../chart.pdf", "plan.json"], "remove": []}',
        b'{"files": ["plan.json"], "remove": ["/etc/hosts"]}',
        b'{"files": ["plan.json"], "remove": [".."]}',
        b'{"files": [7, "plan.json"], "remove": []}',
    ],
    ids=range(13),
)
def test_a_spoiled_note_moves_nothing_and_is_named(note: bytes, folder: Path) -> None:
    (folder / ASIDE).mkdir()
    (folder / ASIDE / READY).write_bytes(note)
    with pytest.raises(Misused, match=r"note \.chime-set/ready is spoiled; move \.chime-set elsewhere"):
        settle(folder)
    assert contents(folder) == as_contents(OLD)
    assert (folder / ASIDE / READY).read_bytes() == note


def test_a_folder_among_what_was_written_aside_is_named(folder: Path) -> None:
    (folder / ASIDE / "photos").mkdir(parents=True)
    with pytest.raises(Misused, match="the folder photos in it is not chime's; move it elsewhere"):
        settle(folder)
    assert contents(folder) == as_contents(OLD)


def test_a_place_that_vanished_is_named(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def vanish(*_: object, **__: object) -> None:
        raise OSError(errno.ESTALE, "gone")

    monkeypatch.setattr(os, "fsync", vanish)
    with pytest.raises(Misused, match=r"cannot write to .*: stale file handle; nothing was changed"):
        write_set(folder, NEW)
