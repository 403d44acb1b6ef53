"""The cut file: every hole at its place from the cut, at true scale, as an XML reader sees it.

The places are worked out here from row, pitch and track, in whole nanometres.
"""

import xml.etree.ElementTree as ElementTree
from decimal import Decimal
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from chime.cli.reading import reader_for
from chime.compiler import lay_open
from chime.programme.equipment import Machine
from chime.tape.model import Tape
from chime.verify.model import Verified
from chime.writers import cut_file
from tests import tape_factory as made

PROGRAMMES = Path(__file__).parent.parent / "programmes"
NAMES = ("guest-house", "observatory", "ondermarch", "ropeworks")
SVG = "{http://www.w3.org/2000/svg}"


@cache
def verified(name: str) -> Verified:
    path = PROGRAMMES / f"{name}.chime"
    proven = lay_open(str(path), path.read_bytes(), reader_for(str(path)))
    assert proven.verified is not None
    return proven.verified


def nm(text: str | None) -> int:
    assert text is not None
    return int(Decimal(text) * 1_000_000)


def group(drawing: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    (found,) = [each for each in drawing.iter(f"{SVG}g") if each.get("id") == name]
    return list(found)


def tapes_of(known: Verified) -> dict[str, Tape]:
    assert known.tapes is not None
    return {f"tape-{tape.id}.svg": tape for tape in known.tapes.tapes}


@pytest.mark.parametrize("name", NAMES)
def test_every_hole_is_at_its_place_from_the_cut(name: str) -> None:
    known = verified(name)
    machine = known.programme.machine
    assert machine is not None
    assert machine.pitch is not None
    assert machine.tape_width is not None
    assert machine.hole is not None
    assert machine.hole.along is not None
    assert machine.joint_rows is not None
    pitch, along = machine.pitch.amount, machine.hole.along.amount
    across = along if machine.hole.across is None else machine.hole.across.amount
    files = {artefact.name: artefact.content for artefact in cut_file.write(known)}
    assert files.keys() == tapes_of(known).keys()
    for file, tape in tapes_of(known).items():
        drawing = ElementTree.fromstring(files[file])  # noqa: S314 - made here
        found = []
        for rect in group(drawing, "holes"):
            width, height = nm(rect.get("width")), nm(rect.get("height"))
            assert (width, height) == (across, along)
            found.append((nm(rect.get("y")) + along // 2, nm(rect.get("x")) + across // 2))
        assert tape.cut is not None
        cut = tape.cut.row
        wanted = sorted(
            ((hole.row - cut) % tape.rows * pitch + pitch // 2, machine.tracks[hole.track - 1].amount)
            for hole in tape.holes
        )
        assert found == wanted
        long = (tape.rows + machine.joint_rows.amount) * pitch
        assert nm((drawing.get("height") or "").removesuffix("mm")) == long
        assert nm((drawing.get("width") or "").removesuffix("mm")) == machine.tape_width.amount
        assert (drawing.get("viewBox") or "").split() == [
            "0",
            "0",
            (drawing.get("width") or "").removesuffix("mm"),
            (drawing.get("height") or "").removesuffix("mm"),
        ]


@pytest.mark.parametrize(("name", "count"), [("observatory", 243), ("ondermarch", 291), ("ropeworks", 1011)])
def test_drive_holes_are_as_many_as_the_loop_and_its_lap_have(name: str, count: int) -> None:
    """240 and a lap of 9 rows of three; 288 and 15 rows of five; 1,008 and 6 rows of two."""
    for artefact in cut_file.write(verified(name)):
        circles = group(ElementTree.fromstring(artefact.content), "drive-holes")  # noqa: S314 - made here
        assert len(circles) == count
        steps = {nm(b.get("cy")) - nm(a.get("cy")) for a, b in pairwise(circles)}
        machine = verified(name).programme.machine
        assert machine is not None
        assert machine.sprocket is not None
        assert machine.sprocket.pitch is not None
        assert steps == {machine.sprocket.pitch.amount}


def test_a_hole_stands_in_line_with_the_drive_hole_of_its_row() -> None:
    """Film with a drive hole for every two rows: rows with even numbers lie in line with one."""
    known = verified("ropeworks")
    for file, tape in tapes_of(known).items():
        drawing = ElementTree.fromstring(  # noqa: S314 - made here
            next(each.content for each in cut_file.write(known) if each.name == file)
        )
        lines = {nm(circle.get("cy")) for circle in group(drawing, "drive-holes")}
        holes = sorted(nm(rect.get("y")) + 700_000 for rect in group(drawing, "holes"))
        in_line = sum(any(abs(y - line) <= 1 for line in (y, y - 1, y + 1) if line in lines) for y in holes)
        assert in_line == sum(hole.row % 2 == 0 for hole in tape.holes)


def test_its_words_say_what_it_is_and_which_side_is_seen() -> None:
    (first, *_) = cut_file.write(verified("ondermarch"))
    drawing = ElementTree.fromstring(first.content)  # noqa: S314 - made here
    assert drawing.findtext(f"{SVG}title") == "Ondermarch School, issue 2, tape A"
    said = drawing.findtext(f"{SVG}desc") or ""
    for words in ("true scale", "faces the fingers", "guided edge at the left", "the tape travels up", "lap"):
        assert words in said


def test_holes_in_the_lap_stand_there_too() -> None:
    rings = [made.ring(f"2026-09-07 {h:02}:{m:02}", "main") for h in range(24) for m in (3, 23, 43)]
    machine = made.day_machine()._replace(joint_rows=made.ahead(25).rows)
    known = made.verified([made.zone("main", 1)], machine, rings)
    (artefact,) = cut_file.write(known)
    holes = group(ElementTree.fromstring(artefact.content), "holes")  # noqa: S314 - made here
    assert len(holes) == 72 + 1


@pytest.mark.parametrize(
    "machine",
    [
        made.day_machine()._replace(pitch=None),
        made.day_machine()._replace(tape_width=None),
        made.day_machine()._replace(hole=None),
    ],
    ids=["pitch", "width", "hole"],
)
def test_without_a_length_there_is_no_drawing(machine: Machine) -> None:
    known = made.verified([made.zone("main", 1)], machine, [made.ring("2026-09-07 08:45", "main")])
    assert cut_file.write(known) == ()
