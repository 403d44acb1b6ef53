"""By which drive hole a sheet is held, which two are match marks, and how far a print may be out (F20)."""

from itertools import pairwise
from pathlib import Path

import pytest

from chime.compiler import lay_open
from chime.programme.equipment import Count, Machine, Named
from chime.verify.machine_verdicts import JUDGEMENTS
from chime.verify.model import Verdict, Verified
from chime.writers.chart import write
from chime.writers.chart_register import (
    CHECKS_OF_ROWS,
    Mark,
    find_marks,
    limit_bar,
    say_bar_limit,
    say_bar_range,
)
from chime.writers.chart_scale import as_drawn, drawn_length
from chime.writers.chart_sheets import BAR_NM, PAPERS, STRIP_TOP_NM, Piece, Shape, cut_up, read_shape
from chime.writers.chart_strip import Strip, lay_flat
from chime.writers.model import ChartChoice
from tests import tape_factory as made
from tests.printed_chart import cut_out, find_blots, open_chart, print_page
from tests.test_chart import read_pages

PROGRAMMES = Path(__file__).resolve().parent.parent / "programmes"
NAMES = ("guest-house", "observatory", "ondermarch", "playhouse", "ropeworks")
A4 = PAPERS["a4"]
SHRINKING = ChartChoice(bar_nm=250_000_000, measured_nm=249_300_000)


def compiled(name: str) -> Verified:
    path = PROGRAMMES / f"{name}.chime"
    proven = lay_open(path.name, path.read_bytes(), lambda inner: (path.parent / inner).read_bytes())
    assert proven.verified is not None
    return proven.verified


def shape_of(machine: Machine, choice: ChartChoice | None = None) -> Shape:
    choice = choice or ChartChoice()
    shape = read_shape(
        as_drawn(machine, choice), A4, drawn_length(BAR_NM, choice), from_back=choice.from_back
    )
    assert isinstance(shape, Shape)
    return shape


def machine_of(known: Verified) -> Machine:
    assert known.programme.machine is not None
    return known.programme.machine


def sheets_of(
    known: Verified, choice: ChartChoice | None = None
) -> list[tuple[Strip, Piece, tuple[Mark, ...]]]:
    """Every sheet of every tape, whether it holds a hole or not, with its marks."""
    machine, shape = machine_of(known), shape_of(machine_of(known), choice)
    assert known.tapes is not None
    strips = [lay_flat(tape, machine) for tape in known.tapes.tapes]
    return [
        (strip, piece, find_marks(strip, piece, shape, machine))
        for strip in strips
        for piece in cut_up(strip, shape, A4, all_sheets=True)
    ]


@pytest.mark.parametrize("name", NAMES)
def test_a_sheet_is_held_by_the_drive_hole_nearest_its_middle(name: str) -> None:
    """Drive holes lie in line with row 0: those of a sheet are tried one by one."""
    known = compiled(name)
    machine = machine_of(known)
    assert machine.pitch is not None
    assert machine.sprocket is not None
    assert machine.sprocket.pitch is not None
    row, apart = machine.pitch.amount, machine.sprocket.pitch.amount
    for _, piece, marks in sheets_of(known):
        begin, end = piece.first_row * row - row // 2, piece.last_row * row + row - row // 2
        holes = [n * apart for n in range(end // apart + 2) if begin <= n * apart <= end]
        nearest = min(abs(hole - (begin + end) / 2) for hole in holes)
        (pin,) = [mark for mark in marks if mark.kind == "pin"]
        place = pin.y_nm - STRIP_TOP_NM + begin
        assert place in [pytest.approx(hole, abs=1) for hole in holes]
        assert abs(place - (begin + end) / 2) == pytest.approx(nearest, abs=2)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("choice", [ChartChoice(), SHRINKING, ChartChoice(from_back=True)], ids=str)
def test_match_marks_are_the_same_drive_holes_at_both_ends(name: str, choice: ChartChoice) -> None:
    known = compiled(name)
    machine = machine_of(known)
    pitch = shape_of(machine, choice).pitch_nm
    assert machine.joint_rows is not None
    found: dict[str, dict[int, list[float]]] = {}
    for strip, piece, marks in sheets_of(known, choice):
        again = strip.tape.rows if piece.lap_from == piece.first_row else 0
        for mark in marks:
            if mark.kind == "match":
                row = (mark.y_nm - STRIP_TOP_NM) / pitch + strip.place(piece.first_row) + again
                found.setdefault(strip.tape.id, {}).setdefault(mark.number, []).append(row)
    assert known.tapes is not None
    assert found.keys() == {tape.id for tape in known.tapes.tapes}
    for tape in known.tapes.tapes:
        for first, last in found[tape.id].values():
            assert 0 <= first < machine.joint_rows.amount
            assert last - first == pytest.approx(tape.rows, abs=0.001)
        assert list(found[tape.id]) == [1, 2]
        (one, _), (two, _) = found[tape.id].values()
        assert two > one


def test_a_lap_with_one_drive_hole_has_one_mark_and_a_butt_joint_none() -> None:
    def numbers(lap: int) -> list[int]:
        machine = made.day_machine()._replace(joint_rows=Count(lap, False, made.NOWHERE))
        known = made.verified([made.zone("main", 1)], machine, [made.ring("2026-09-07 08:45", "main")])
        return [m.number for _, _, marks in sheets_of(known) for m in marks if m.kind == "match"]

    assert numbers(0) == []
    assert numbers(1) == [1, 1]
    assert numbers(2) == [1, 2, 1, 2]


def test_a_machine_without_drive_holes_has_no_marks() -> None:
    machine = made.day_machine()._replace(sprocket=None)
    known = made.verified([made.zone("main", 1)], machine, [made.ring("2026-09-07 08:45", "main")])
    assert {marks for _, _, marks in sheets_of(known)} == {()}
    text = write(known).artefact.content
    assert text


@pytest.mark.parametrize("from_back", [False, True])
def test_a_pointer_stands_beside_each_mark(from_back: bool, tmp_path: Path) -> None:
    """In the printed file: a black triangle right of the tape, its point at the height of the drive hole."""
    known = compiled("ropeworks")
    choice = ChartChoice(tapes=("A",), from_back=from_back)
    chart = write(known, choice)
    (tmp_path / "chart.pdf").write_bytes(chart.artefact.content)
    file = open_chart(tmp_path / "chart.pdf")
    shape = shape_of(machine_of(known), choice)
    right = 48 + shape.width_nm / 1e6
    marks = {
        (piece.first_row, piece.last_row): sorted(mark.y_nm / 1e6 for mark in marks)
        for strip, piece, marks in sheets_of(known, choice)
        if strip.tape.id == "A"
    }
    for sheet in chart.sheets[-2:]:
        page = print_page(file, sheet.page)
        blots = find_blots(cut_out(page, (right + 0.4, 57, 3.2, 190)), right + 0.4, right + 3.6)
        pointers = [blot for blot in blots if blot.area > 1]
        assert [blot.y for blot in pointers] == [
            pytest.approx(y, abs=0.1) for y in marks[sheet.first_row, sheet.last_row]
        ]


# ------------------------------------------------------------------------- how far a print may be out


def judged(left_mm: float, other_mm: float = 5.0) -> tuple[Verdict, ...]:
    first, second = (
        Verdict(check, "holds", (), "", mm)
        for check, mm in zip(CHECKS_OF_ROWS, (left_mm, other_mm), strict=True)
    )
    return first, second


def said(left_mm: float, *, granted: str | None = None, other_mm: float = 5.0) -> str:
    """What is said of a loop of rows of 2.54 mm: a sheet of A4 shows 75 of them, its pin is the row in the middle."""
    machine = made.day_machine()
    if granted is not None:
        machine = machine._replace(errors=(Named("print", made.mm(granted), None, made.NOWHERE),))
    known = made.verified([made.zone("main", 1)], machine, [made.ring("2026-09-07 08:45", "main")])
    pieces = [piece for _, piece, _ in sheets_of(known)][:3]
    known = known._replace(verdicts=judged(left_mm, other_mm))
    return say_bar_limit(limit_bar(known, pieces, shape_of(machine)))


def test_the_bar_may_be_out_by_as_much_as_the_farthest_row() -> None:
    """The row at the end is 37 x 2.54 = 93.98 mm from the pin; 0.2 mm there are 0.2 x 150 / 93.98 = 0.319 mm."""
    assert said(0.2) == (
        "A row is at most 94 mm from the drive hole by which its sheet is held. For the farthest to be read a "
        "bar of 150 mm may measure from 149.7 to 150.3 mm."
    )
    assert "from 149.7 to 150.3" in said(0.9, other_mm=0.2)
    # 0.1 mm more, which the machine's block grants to the print: 0.479 mm.
    assert "from 149.6 to 150.4" in said(0.2, granted="0.1")
    # More than a hundredth is no printer's error, it is a page fitted to its paper.
    assert "from 148.5 to 151.5" in said(3.0)
    assert "from 150.0 to 150.0" in said(0.05)


@pytest.mark.parametrize("left_mm", [0.0, -0.1])
def test_where_nothing_is_left_nothing_is_promised(left_mm: float) -> None:
    assert said(left_mm) == ""


def test_the_checks_that_a_print_can_break_are_made() -> None:
    assert set(CHECKS_OF_ROWS) <= {judgement.sentence for judgement in JUDGEMENTS}


def test_the_chart_says_it() -> None:
    known = compiled("ropeworks")
    pieces = [piece for _, piece, _ in sheets_of(known)]
    limit = limit_bar(known, pieces, shape_of(machine_of(known)))
    assert say_bar_limit(limit).startswith("A row is at most ")
    chart = write(known, ChartChoice(tapes=("A",)))
    pages = read_pages(chart.artefact.content)
    assert say_bar_limit(limit)[:40] in " ".join(page.text for page in pages[:3])
    assert all(pages[sheet.page - 1].text.count(say_bar_range(limit).strip()) == 2 for sheet in chart.sheets)
    assert all(after.number != before.number for (_, before, _), (_, after, _) in pairwise(sheets_of(known)))
