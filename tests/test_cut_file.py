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
from chime.writers.model import ChartChoice
from tests import tape_factory as made

PROGRAMMES = Path(__file__).parent.parent / "programmes"
NAMES = ("guest-house", "observatory", "ondermarch", "playhouse", "ropeworks")
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


def middles(drive_holes: list[ElementTree.Element]) -> list[int]:
    """How far down the strip the middles of drive holes are, round or with corners."""
    return [
        nm(each.get("cy")) if each.tag == f"{SVG}circle" else nm(each.get("y")) + nm(each.get("height")) // 2
        for each in drive_holes
    ]


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
        drive_holes = group(ElementTree.fromstring(artefact.content), "drive-holes")  # noqa: S314 - made here
        assert len(drive_holes) == count
        steps = {b - a for a, b in pairwise(middles(drive_holes))}
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
        lines = set(middles(group(drawing, "drive-holes")))
        holes = sorted(nm(rect.get("y")) + 700_000 for rect in group(drawing, "holes"))
        in_line = sum(any(abs(y - line) <= 1 for line in (y, y - 1, y + 1) if line in lines) for y in holes)
        assert in_line == sum(hole.row % 2 == 0 for hole in tape.holes)


def test_perforations_of_film_have_their_length_and_width() -> None:
    """1.98 mm along and 2.79 mm across (SMPTE 139 and ISO 491, from memory), their middles 3.41 mm in."""
    (artefact, *_) = cut_file.write(verified("ropeworks"))
    drive_holes = group(ElementTree.fromstring(artefact.content), "drive-holes")  # noqa: S314 - made here
    assert {(each.tag, each.get("width"), each.get("height"), each.get("x")) for each in drive_holes} == {
        (f"{SVG}rect", "2.79", "1.98", "2.015")
    }


@pytest.mark.parametrize("name", NAMES)
def test_from_the_back_it_is_the_mirror_image_and_says_so(name: str) -> None:
    known = verified(name)
    machine = known.programme.machine
    assert machine is not None
    assert machine.tape_width is not None
    pairs = zip(cut_file.write(known), cut_file.write(known, ChartChoice(from_back=True)), strict=True)
    for face, back in pairs:
        one, other = (ElementTree.fromstring(each.content) for each in (face, back))  # noqa: S314 - made here
        for what in ("holes", "drive-holes"):
            seen, mirrored = boxes(group(one, what)), boxes(group(other, what))
            width = machine.tape_width.amount
            assert [(y, width - right, width - left) for y, left, right in seen] == mirrored
        assert "MIRROR" in (other.findtext(f"{SVG}desc") or "")
        assert (other.findtext(f"{SVG}title") or "").endswith(", from the back")


def boxes(holes: list[ElementTree.Element]) -> list[tuple[str | None, int, int]]:
    """The place down the strip of each hole, and where its left and right sides are."""
    found = []
    for each in holes:
        if each.tag == f"{SVG}circle":
            middle, radius = nm(each.get("cx")), nm(each.get("r"))
            found.append((each.get("cy"), middle - radius, middle + radius))
        else:
            left = nm(each.get("x"))
            found.append((each.get("y"), left, left + nm(each.get("width"))))
    return found


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
