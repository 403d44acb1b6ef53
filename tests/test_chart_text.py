"""What is printed on a sheet is read: nothing covers anything, and the labels that stand out are large.

The letters are found by PDFium in the finished file, each with the box of its ink.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from chime.programme.equipment import Machine
from chime.verify.model import Verified
from chime.writers.chart import write
from chime.writers.model import Chart, ChartChoice, PaperName
from tests import tape_factory as made
from tests.printed_chart import open_chart

MM_PER_POINT = 25.4 / 72
STRIP_TOP_MM = 58
"""Where the first row of a sheet begins, from the top of the paper."""

LONG_NAMES = ("workshops-and-boiler-house-by-the-river-", "assembly-hall-and-refectory-upper-floor")
"""Names of 40 letters and of 39."""


class Box(NamedTuple):
    """A letter and the box of its ink, in mm from the left and the top of the paper."""

    letter: str
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box") -> bool:
        """Tell whether two boxes overlap by more than the edge of a letter is thick."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across > 0.05 and down > 0.05


def letters_of(page: Any) -> list[Box]:
    """Every letter of a page with the box of its ink."""
    words, height = page.get_textpage(), page.get_height()
    found = []
    for index in range(words.count_chars()):
        letter = words.get_text_range(index, 1)
        if letter.strip():
            left, bottom, right, top = words.get_charbox(index)
            sides = (left, height - top, right, height - bottom)
            found.append(Box(letter, *(side * MM_PER_POINT for side in sides)))
    return found


def overlaps(boxes: list[Box]) -> list[tuple[Box, Box]]:
    """All pairs of boxes that meet."""
    in_order = sorted(boxes, key=lambda box: box.left)
    found = []
    for number, box in enumerate(in_order):
        for other in in_order[number + 1 :]:
            if other.left > box.right:
                break
            if box.meets(other):
                found.append((box, other))
    return found


def crowded(machine: Machine) -> Verified:
    """A programme with long names, zones that share tracks, and rings in rows that follow each other."""
    zones = [made.zone(name, track) for track, name in enumerate(LONG_NAMES, start=1)]
    times = [f"{hour:02}:{minute:02}" for hour in (8, 9) for minute in (0, 1, 2, 5, 15, 30, 31, 45, 59)]
    rings = [made.ring(f"2026-09-07 {at}", name) for name in LONG_NAMES for at in times]
    return made.verified(zones, machine, rings)


MACHINES: dict[str, Callable[[], Machine]] = {
    "a row of 2.54 mm": made.day_machine,
    "a row of 1.9 mm": lambda: made.day_machine()._replace(pitch=made.mm("1.9")),
    "a row of 2 mm": lambda: made.day_machine()._replace(pitch=made.mm("2")),
    "a row of 4.75 mm": lambda: made.day_machine()._replace(pitch=made.mm("4.75")),
    "a row of 0.8 mm": lambda: made.day_machine()._replace(pitch=made.mm("0.8"), hole=small_hole()),
}


def small_hole() -> Any:
    hole = made.day_machine().hole
    assert hole is not None
    return hole._replace(along=made.mm("0.5"))


def printed(known: Verified, choice: ChartChoice, folder: Path) -> tuple[Chart, Any]:
    chart = write(known, choice)
    path = folder / "chart.pdf"
    path.write_bytes(chart.artefact.content)
    return chart, open_chart(path)


@pytest.mark.parametrize("name", MACHINES)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_letter_meets_another_or_a_hole(name: str, paper: PaperName, tmp_path: Path) -> None:
    chart, file = printed(crowded(MACHINES[name]()), ChartChoice(paper=paper), tmp_path)
    assert chart.sheets
    for sheet in chart.sheets:
        letters = letters_of(file[sheet.page - 1])
        assert len(letters) > 200
        assert overlaps(letters) == []
        holes = [
            Box("hole", (h.x_nm - h.across_nm / 2) / 1e6, (h.y_nm - h.along_nm / 2) / 1e6, *_end(h))
            for h in sheet.holes
        ]
        assert [(box, hole) for box in letters for hole in holes if box.meets(hole)] == []


def _end(hole: Any) -> tuple[float, float]:
    return (hole.x_nm + hole.across_nm / 2) / 1e6, (hole.y_nm + hole.along_nm / 2) / 1e6


@pytest.mark.parametrize(
    "choice", [ChartChoice(from_back=True), ChartChoice(bar_nm=250_000_000, measured_nm=249_300_000)]
)
def test_nor_does_it_on_sheets_for_the_back_or_for_a_printer(choice: ChartChoice, tmp_path: Path) -> None:
    chart, file = printed(crowded(made.day_machine()), choice, tmp_path)
    for sheet in chart.sheets:
        assert overlaps(letters_of(file[sheet.page - 1])) == []


@pytest.mark.parametrize("name", MACHINES)
def test_the_labels_of_each_fifth_row_are_two_millimetres_high(name: str, tmp_path: Path) -> None:
    """Common practice, no published source: 2 mm is read at arm's length."""
    machine = MACHINES[name]()
    assert machine.pitch is not None
    pitch = machine.pitch.amount / 1e6
    chart, file = printed(crowded(machine), ChartChoice(), tmp_path)
    for sheet in chart.sheets:
        digits = [
            box for box in letters_of(file[sheet.page - 1]) if box.letter.isdigit() and 20 < box.left < 44
        ]
        for row in range(-(-sheet.first_row // 5) * 5, sheet.last_row + 1, 5):
            y = STRIP_TOP_MM + (row - sheet.first_row + 0.5) * pitch
            beside = [box for box in digits if abs((box.top + box.bottom) / 2 - y) < 0.2]
            assert len(beside) == 4, row
            assert min(box.bottom - box.top for box in beside) >= 2, row


def test_letters_that_meet_are_seen() -> None:
    boxes = [Box("a", 0, 0, 2, 2), Box("b", 1, 1, 3, 3), Box("c", 3, 0, 4, 2), Box("d", 1.99, 0, 3, 0.9)]
    assert overlaps(boxes) == [(boxes[0], boxes[1])]


def test_one_sheet_alone_says_which_hole_makes_a_ring(tmp_path: Path) -> None:
    """08:45 read three rows ahead is punched at 08:48; on a track that is read in line it is punched at 08:45."""
    machine = made.day_machine()._replace(reads=(made.ahead(3, 1), made.ahead(0, 2)))
    zones = [made.zone("main", 1), made.zone("yard", 2)]
    known = made.verified(zones, machine, [made.ring("2026-09-07 08:45", name) for name in ("main", "yard")])
    chart, file = printed(known, ChartChoice(), tmp_path)
    (sheet,) = [sheet for sheet in chart.sheets if sheet.holes]
    text = file[sheet.page - 1].get_textpage().get_text_range()
    assert "08:48 1 main rings 08:45" in text
    assert "08:45 2 yard" in text
    assert text.count("rings 08:45") == 1
    for said in ("THIS SIDE", "FINGERS", "tape travels", "guided edge", "PIN", "1 main", "2 yard"):
        assert said in text
