"""How a tape is cut into true-size sheets of paper, and where on them each hole stands.

    across: x from the paper's left, the guided edge of the tape at the left
    along:  y from the paper's top, rows run down the page

All places are whole nanometres.
"""

from typing import Literal, NamedTuple

from chime.programme.equipment import Machine
from chime.tape.geometry import NM_PER_MM, hole_size, occupied_rows, write_mm
from chime.tape.model import Tape

PaperName = Literal["a4", "a3", "letter", "tabloid"]


class Paper(NamedTuple):
    """A sheet of paper upright."""

    name: PaperName
    width_nm: int
    height_nm: int


PAPERS: dict[str, Paper] = {
    "a4": Paper("a4", 210_000_000, 297_000_000),
    "a3": Paper("a3", 297_000_000, 420_000_000),
    "letter": Paper("letter", 215_900_000, 279_400_000),
    "tabloid": Paper("tabloid", 279_400_000, 431_800_000),
}
"""A4 is 210 by 297 mm and A3 297 by 420 mm (ISO 216); letter is 8.5 by 11 in and tabloid 11 by 17 in."""

TAPE_LEFT_NM = 48 * NM_PER_MM
"""Where the guided edge of the tape lies; the row labels stand left of it."""

STRIP_TOP_NM = 58 * NM_PER_MM
BELOW_STRIP_NM = 48 * NM_PER_MM
MARGIN_NM = 10 * NM_PER_MM
"""Room for what stands above and below the tape, and the edge that printers leave white."""


class PlacedHole(NamedTuple):
    """The centre of a hole on its sheet."""

    row: int
    track: int
    x_nm: int
    y_nm: int


class Sheet(NamedTuple):
    """Rows `first_row` to `last_row`, both included, of a tape; `number` counts from 1."""

    tape_id: str
    number: int
    first_row: int
    last_row: int
    holes: tuple[PlacedHole, ...]


class Shape(NamedTuple):
    """What must be known to draw a tape at its true size."""

    pitch_nm: int
    width_nm: int
    tracks_nm: tuple[int, ...]
    hole_along_nm: int
    hole_across_nm: int


def read_shape(machine: Machine, paper: Paper) -> Shape | str:
    """Return the shape of the tape, or in words why it cannot be drawn on the paper."""
    size = hole_size(machine)
    along, across = size
    pitch, width = machine.pitch, machine.tape_width
    missing = [
        name
        for name, is_given in (
            ("the row pitch", pitch is not None),
            ("the width of the tape", width is not None),
            ("the places of the tracks", bool(machine.tracks)),
            ("the size of a hole", along is not None and across is not None),
        )
        if not is_given
    ]
    if missing:
        return f"machine {machine.name} does not give {_join(missing)}"
    assert pitch is not None
    assert width is not None
    assert along is not None
    assert across is not None
    if TAPE_LEFT_NM + width.amount > paper.width_nm - MARGIN_NM:
        return f"a tape {write_mm(width.amount)} mm wide does not fit on {paper.name} paper"
    if pitch.amount <= 0 or pitch.amount > strip_room(paper):
        return f"a row of {write_mm(pitch.amount)} mm does not fit on {paper.name} paper"
    tracks = tuple(track.amount for track in machine.tracks)
    return Shape(pitch.amount, width.amount, tracks, along, across)


def _join(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def strip_room(paper: Paper) -> int:
    """Return the length of tape that a sheet of paper can show."""
    return paper.height_nm - STRIP_TOP_NM - BELOW_STRIP_NM


def heavy_steps(row_interval_s: int) -> tuple[int, int]:
    """Return the seconds between labels in bold, and between those that stand out most.

    With rows of a minute or less these are every 5 and every 15 minutes; with longer rows, steps that a clock
    shows as round times.
    """
    if row_interval_s <= 60:
        return 300, 900
    return (900, 3600) if row_interval_s <= 300 else (3600, 6 * 3600)


def rows_per_sheet(tape: Tape, shape: Shape, paper: Paper) -> int:
    """Return how many rows a sheet shows: as many as fit, so that sheets begin at a round time."""
    most = strip_room(paper) // shape.pitch_nm
    for seconds in reversed(heavy_steps(tape.row_interval_s)):
        step, left = divmod(seconds, tape.row_interval_s)
        if not left and most >= step:
            return most - most % step
    return most


def plan_sheets(tape: Tape, shape: Shape, paper: Paper) -> tuple[Sheet, ...]:
    """Cut the rows of a tape into sheets and keep those that hold a hole: each hole is on exactly one."""
    length = rows_per_sheet(tape, shape, paper)
    sheets: list[Sheet] = []
    for block in sorted({row // length for row in occupied_rows(tape)}):
        first = block * length
        last = min(first + length, tape.rows) - 1
        holes = tuple(
            PlacedHole(
                hole.row,
                hole.track,
                TAPE_LEFT_NM + shape.tracks_nm[hole.track - 1],
                row_centre(hole.row, first, shape),
            )
            for hole in tape.holes
            if first <= hole.row <= last
        )
        sheets.append(Sheet(tape.id, len(sheets) + 1, first, last, holes))
    return tuple(sheets)


def row_centre(row: int, first_row: int, shape: Shape) -> int:
    """Return the distance from the paper's top to the middle of a row; half a pitch may lose a nanometre."""
    return STRIP_TOP_NM + (row - first_row) * shape.pitch_nm + shape.pitch_nm // 2


def free_stretches(tape: Tape, sheets: tuple[Sheet, ...]) -> list[tuple[int, int]]:
    """Return the rows for which there is no sheet, as first and last row of each stretch."""
    starts = [0, *(sheet.last_row + 1 for sheet in sheets)]
    ends = [*(sheet.first_row - 1 for sheet in sheets), tape.rows - 1]
    return [(start, end) for start, end in zip(starts, ends, strict=True) if start <= end]
