"""The printed chart, measured: each hole lies where its row says, seen from the drive holes and the edge.

The pages are drawn at 600 dots an inch, by PDFium, and read as pictures. A punch is set by the drive hole of a row and by the
guided edge of the tape, so that is from where each hole is measured; what the chart says of itself comes after.
"""

import re
from collections import Counter
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from itertools import chain, pairwise
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from chime.compiler import lay_open
from chime.programme.equipment import Machine, Value
from chime.tape.model import Tape
from chime.verify.model import Verified
from chime.writers.chart import write
from chime.writers.model import Chart, ChartChoice, Sheet
from tests import tape_factory as made
from tests.printed_chart import (
    MID_GREY,
    MM,
    WHITE,
    Blot,
    Circle,
    Printed,
    cut_out,
    darkest_round,
    find_blots,
    find_drive_holes,
    find_tape,
    find_ticks,
    open_chart,
    print_page,
    read_words,
    runs,
)

PROGRAMMES = Path(__file__).resolve().parent.parent / "programmes"

NEAR = 0.05
"""Millimetres by which a hole may be off: half of what a good jig is off [common practice, no published source]."""

FIRST_LINE_MM, LAST_LINE_MM = 55.4, 255.4
"""The part of an A4 page that is looked at: from below the names above the tracks, down to the bar."""


class Case(NamedTuple):
    """A chart in a file, of all tapes or of some: the words of its pages, and its first sheet drawn whole."""

    verified: Verified
    choice: ChartChoice
    chart: Chart
    file: Any
    words: list[list[str]]
    first: Printed


def compiled(name: str) -> Verified:
    path = PROGRAMMES / f"{name}.chime"
    proven = lay_open(path.name, path.read_bytes(), lambda inner: (path.parent / inner).read_bytes())
    assert proven.verified is not None
    return proven.verified


def crowded() -> Verified:
    """A tape with so many holes that some of them lie in the lap and are printed twice."""
    rings = [
        made.ring(f"2026-09-07 {hour:02}:{minute:02}", "main") for hour in range(24) for minute in (3, 23, 43)
    ]
    machine = made.day_machine()._replace(joint_rows=made.ahead(25).rows)
    return made.verified([made.zone("main", 1)], machine, rings)


ALL = ChartChoice()
SHRINKING = ALL._replace(bar_nm=250_000_000, measured_nm=249_300_000)
"""For a printer on which a bar of 250 mm measures 249.3 mm."""

CASES: dict[str, Callable[[], tuple[Verified, ChartChoice]]] = {
    "observatory, a loop of 12 h": lambda: (compiled("observatory"), ALL),
    "guest house, a loop of 24 h": lambda: (compiled("guest-house"), ALL._replace(tapes=("A", "B"))),
    "rope works, a loop of 7 days": lambda: (compiled("ropeworks"), ALL._replace(tapes=("A",))),
    "holes in the lap": lambda: (crowded(), ALL),
    "for a printer that shrinks": lambda: (compiled("observatory"), SHRINKING),
    "from the back": lambda: (compiled("guest-house"), ALL._replace(tapes=("A",), from_back=True)),
    "from the back, for a printer that shrinks": lambda: (
        compiled("ropeworks"),
        SHRINKING._replace(tapes=("B",), from_back=True),
    ),
}
"""Programmes and what of their charts is printed."""


def as_it_lies(machine: Machine, choice: ChartChoice) -> Machine:
    """The machine as its picture must show it, the places of tracks from the left edge; worked out here."""
    per = Fraction(choice.bar_nm, choice.measured_nm) if choice.measured_nm else Fraction(1)
    assert machine.tape_width is not None
    assert machine.sprocket is not None
    width = machine.tape_width.amount

    def value(given: Value | None, *, across: bool = False) -> Value | None:
        if given is None:
            return None
        from_left = width - given.amount if across and choice.from_back else given.amount
        return given._replace(amount=round(from_left * per))

    hole, sprocket = machine.hole, machine.sprocket
    assert hole is not None
    return machine._replace(
        pitch=value(machine.pitch),
        tape_width=value(machine.tape_width),
        tracks=tuple(each for track in machine.tracks if (each := value(track, across=True)) is not None),
        hole=hole._replace(along=value(hole.along), across=value(hole.across)),
        sprocket=sprocket._replace(
            hole=value(sprocket.hole), from_edge=value(sprocket.from_edge, across=True)
        ),
    )


MakeCase = Callable[[str], Case]


def make_case(name: str, folder: Path) -> Case:
    verified, choice = CASES[name]()
    chart = write(verified, choice)
    path = folder / f"{list(CASES).index(name)}.pdf"
    path.write_bytes(chart.artefact.content)
    file = open_chart(path)
    return Case(verified, choice, chart, file, read_words(file), print_page(file, chart.sheets[0].page))


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory) -> MakeCase:
    """Make each case once, when it is first asked for."""
    folder = tmp_path_factory.mktemp("charts")
    return cache(lambda name: make_case(name, folder))


def machine_of(verified: Verified) -> Machine:
    assert verified.programme.machine is not None
    return verified.programme.machine


def tapes_of(case: Case) -> dict[str, Tape]:
    assert case.verified.tapes is not None
    drawn = {sheet.tape for sheet in case.chart.sheets}
    return {tape.id: tape for tape in case.verified.tapes.tapes if tape.id in drawn}


def row_of(label: str, tape: Tape) -> int:
    *weekday, clock = label.split()
    hours, minutes = map(int, clock.split(":"))
    day = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun").index(weekday[0]) if weekday else 0
    return (day * 86_400 + hours * 3600 + minutes * 60) // tape.row_interval_s


class Shown(NamedTuple):
    """What a page says in words that it shows."""

    page: int
    tape: Tape
    first_row: int
    last_row: int


def read_sheets(case: Case) -> list[Shown]:
    """Read in the words of the pages which rows of which tape each shows; pages that are no sheet are left out."""
    found: list[Shown] = []
    for page, words in enumerate(case.words, start=1):
        rows = re.search(r"^rows (.*) to (.*)$", "\n".join(words), re.MULTILINE)
        tape = re.search(r"^tape ([A-Z]+)$", "\n".join(words), re.MULTILINE)
        if rows is not None and tape is not None:
            of = tapes_of(case)[tape[1]]
            found.append(Shown(page, of, row_of(rows[1], of), row_of(rows[2], of)))
    return found


def ruler_of(page: Printed, edge: float, machine: Machine, shown: Shown) -> dict[int, Circle]:
    """The printed drive holes by the row in whose line they lie, rows being counted by their ticks."""
    sprocket = machine.sprocket
    assert sprocket is not None
    assert sprocket.from_edge is not None
    assert sprocket.hole is not None
    ticks = find_ticks(page, edge)
    assert len(ticks) == shown.last_row - shown.first_row + 1
    across = None if sprocket.hole_across is None else sprocket.hole_across.amount / 1e6
    middle = edge + sprocket.from_edge.amount / 1e6
    holes = find_drive_holes(page, middle, sprocket.hole.amount / 1e6, across)
    found: dict[int, Circle] = {}
    for hole in holes:
        assert abs(hole.x - edge - sprocket.from_edge.amount / 1e6) < NEAR
        in_line = [place for place, tick in enumerate(ticks) if abs(tick - hole.y) < NEAR]
        if in_line:
            found[shown.first_row + in_line[0]] = hole
    return found


class Measured(NamedTuple):
    """A sheet as it was measured: the guided edge, the drive holes by their rows, and all that is black."""

    page: Printed
    edge: float
    ruler: dict[int, Circle]
    blots: list[Blot]


def measure(page: Printed, machine: Machine, shown: Shown) -> Measured:
    tape, edge, other_edge = find_tape(page)
    assert machine.tape_width is not None
    assert abs(other_edge - edge - machine.tape_width.amount / 1e6) < NEAR
    ruler = ruler_of(tape, edge, machine, shown)
    return Measured(tape, edge, ruler, find_blots(tape, edge + 0.3, other_edge - 0.3))


def check_holes(seen: Measured, machine: Machine, shown: Shown) -> list[tuple[int, int]]:
    """Measure each hole that a page must show, and return their rows and tracks; nothing else may be black."""
    assert machine.pitch is not None
    found: list[tuple[int, int]] = []
    used: list[Blot] = []
    for hole in shown.tape.holes:
        if not shown.first_row <= hole.row <= shown.last_row:
            continue
        near = min(seen.ruler, key=lambda row: abs(row - hole.row))
        x = seen.edge + machine.tracks[hole.track - 1].amount / 1e6
        y = seen.ruler[near].y + (hole.row - near) * machine.pitch.amount / 1e6
        blot = blot_at(seen.blots, x, y)
        check_punch(blot, machine)
        assert darkest_round(seen.page, blot) >= MID_GREY - 2
        used.append(blot)
        found.append((hole.row, hole.track))
    assert sorted(used) == sorted(seen.blots)
    return found


def blot_at(blots: list[Blot], x: float, y: float) -> Blot:
    (blot,) = [each for each in blots if abs(each.x - x) < NEAR and abs(each.y - y) < NEAR]
    return blot


def check_punch(blot: Blot, machine: Machine) -> None:
    """Compare a black hole with the punch: its box, and that it is solid."""
    hole = machine.hole
    assert hole is not None
    assert hole.along is not None
    along = hole.along.amount / 1e6
    across = hole.across.amount / 1e6 if hole.across is not None else along
    assert abs(blot.width - across) < 2 * NEAR
    assert abs(blot.height - along) < 2 * NEAR
    rounded = hole.shape == "round" or hole.ends == "rounded"
    small, large = sorted((along, across))
    solid = small * (large - small) + 3.1416 * small * small / 4 if rounded else along * across
    assert abs(blot.area - solid) < 0.08 * solid


@pytest.mark.parametrize("name", CASES)
def test_each_hole_is_where_its_row_says(name: str, case: MakeCase) -> None:
    """Seen from drive hole and edge; then as the index of the sheets says; none missing, none besides."""
    one = case(name)
    machine = as_it_lies(machine_of(one.verified), one.choice)
    assert machine.tape_width is not None
    shown = read_sheets(one)
    part = (40, FIRST_LINE_MM, machine.tape_width.amount / 1e6 + 12, LAST_LINE_MM - FIRST_LINE_MM)
    others = (print_page(one.file, each.page, part) for each in shown[1:])
    printed = chain([cut_out(one.first, part)], others)
    count: Counter[tuple[str, int, int]] = Counter()
    for each, page, sheet in zip(shown, printed, one.chart.sheets, strict=True):
        seen = measure(page, machine, each)
        found = check_holes(seen, machine, each)
        count.update((each.tape.id, row, track) for row, track in found)
        check_index(sheet, each, seen, found)
    wanted = {(tape.id, hole.row, hole.track) for tape in tapes_of(one).values() for hole in tape.holes}
    again = Counter(
        (s.tape, hole.row, hole.track) for s in one.chart.sheets for hole in s.holes if hole.again
    )
    assert set(count) == wanted
    assert count - Counter(wanted) == again
    assert bool(again) == (name == "holes in the lap")


def check_index(sheet: Sheet, shown: Shown, seen: Measured, found: list[tuple[int, int]]) -> None:
    """Compare what the index says of a sheet with its picture, measured from the page's top left."""
    assert sheet.file == "chart.pdf"
    told = (sheet.page, sheet.tape, sheet.first_row, sheet.last_row)
    assert told == (shown.page, shown.tape.id, shown.first_row, shown.last_row)
    assert sorted((hole.row, hole.track) for hole in sheet.holes) == sorted(found)
    for hole in sheet.holes:
        blot = blot_at(seen.blots, hole.x_nm / 1e6, hole.y_nm / 1e6)
        assert abs(blot.height - hole.along_nm / 1e6) < 2 * NEAR
        assert abs(blot.width - hole.across_nm / 1e6) < 2 * NEAR


def test_both_bars_are_as_long_as_they_say(case: MakeCase) -> None:
    """Their tips are drawn a little wider than they are long; a rule is laid from the middle of a tip."""
    one = case("holes in the lap")
    page = one.first
    black = page.picture < MID_GREY
    left, below = round(25 / MM), page.picture.shape[0] - round(30 / MM)
    along = max(longest(runs(black[:, column])) for column in range(left))
    across = max(longest(runs(black[line])) for line in range(below, page.picture.shape[0]))
    pen = 0.25
    assert abs(along * MM - pen - 150) < NEAR
    assert abs(across * MM - pen - 150) < NEAR


def longest(found: list[tuple[int, int]]) -> int:
    return max((end - first for first, end in found), default=0)


def test_title_and_row_labels_can_be_searched_for(case: MakeCase) -> None:
    one = case("rope works, a loop of 7 days")
    sheet = one.chart.sheets[0]
    words = one.words[sheet.page - 1]
    assert "Kaarna Rope Works" in words
    assert {"Mon 06:00", "Mon 06:05", "Mon 06:15", "Mon 11:55"} <= set(words)
    assert sorted(word for word in words if word.startswith("tape ")) == ["tape A", "tape travels"]


@pytest.mark.parametrize("name", ["observatory, a loop of 12 h", "rope works, a loop of 7 days"])
def test_labels_of_rows_do_not_touch(name: str, case: MakeCase) -> None:
    """Rows of 2.54 and of 2.375 mm: between a label and the next a third of a millimetre at least stays white."""
    one = case(name)
    sheet = one.chart.sheets[0]
    page = cut_out(one.first, (22, 57.9, 21.5, 200))
    dark = page.picture.min(axis=1) < 200
    labels = runs(dark)[: sheet.last_row - sheet.first_row + 1]
    assert len(labels) == sheet.last_row - sheet.first_row + 1
    assert min((after[0] - before[1]) * MM for before, after in pairwise(labels)) > 0.33


def test_words_stand_clear_of_the_arrow_and_of_the_bars(case: MakeCase) -> None:
    """Strips of a page, in mm from its left and top, in which nothing is printed."""
    one = case("rope works, a loop of 7 days")
    page = one.first
    between = {
        "the side and the travel": (32.2, 33.4, 34, 51.5),
        "the travel and its arrow": (36.2, 36.9, 34, 51.5),
        "the tip of the bar and its words": (8, 14.7, 58.5, 61),
        "the bar and its words": (13.9, 14.8, 61, 205),
        "the bar and the labels": (17.7, 17.95, 50, 210),
    }
    for left, right, top, bottom in between.values():
        part = page.picture[page.line(top) : page.line(bottom), page.column(left) : page.column(right)]
        assert part.size
        assert part.min() >= WHITE
