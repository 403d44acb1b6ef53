"""How a tape is cut into true-size sheets of paper, and where on them each hole stands.

    across: x from the paper's left, the guided edge of the tape at the left
    along:  y from the paper's top, rows run down the page

All places are whole nanometres.
"""

from collections import defaultdict

from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.geometry import NM_PER_MM, hole_size, write_mm
from chime.tape.model import Hole, Tape
from chime.writers.chart_strip import Strip
from chime.writers.model import PaperName, SheetHole


class Paper(NamedTuple):
    """A sheet of paper upright."""

    name: PaperName
    width_nm: int
    height_nm: int


PAPERS: dict[PaperName, Paper] = {
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

OVERHANG_NM = 3 * NM_PER_MM
"""How far the edges of the tape run on past the rows of a sheet."""


class Piece(NamedTuple):
    """A piece of a tape that is drawn on one sheet: rows `first_row` to `last_row`, both included.

    `number` counts the printed sheets of a tape from 1. `begins` and `ends` say that an end of the strip is
    on it, `lap_from` is the first row that belongs to the lap; None if none does.
    """

    number: int
    first_row: int
    last_row: int
    begins: bool
    ends: bool
    lap_from: int | None
    holes: tuple[SheetHole, ...]


BAR_NM = 150 * NM_PER_MM
"""A bar of known length, by which a print is measured."""


class Shape(NamedTuple):
    """What must be known to draw a tape at its true size: lengths of a machine as it is drawn.

    The guided edge is at the right where the tape is seen `from_back`.
    """

    machine: Machine
    bar_nm: int
    from_back: bool

    pitch_nm: int
    width_nm: int
    tracks_nm: tuple[int, ...]
    hole_along_nm: int
    hole_across_nm: int


def read_shape(
    machine: Machine, paper: Paper, bar_nm: int = BAR_NM, *, from_back: bool = False
) -> Shape | str:
    """Return the shape of the tape, or in words why it cannot be drawn on the paper.

    The machine is that which is drawn, and so is the length of a bar.
    """
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
    return Shape(machine, bar_nm, from_back, pitch.amount, width.amount, tracks, along, across)


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


def cut_up(strip: Strip, shape: Shape, paper: Paper, *, all_sheets: bool = False) -> tuple[Piece, ...]:
    """Cut a strip into the pieces that are printed: those with a hole or the joint, or all.

    Pieces meet at round times, so the lap may go on from one to the next. Each hole is on exactly one piece,
    and on one more if it lies in the lap.
    """
    by_row: dict[int, list[Hole]] = defaultdict(list)
    for hole in strip.tape.holes:
        by_row[hole.row].append(hole)
    pieces: list[Piece] = []
    for first, end in _stretches(strip, rows_per_sheet(strip.tape, shape, paper)):
        holes = _place_holes(strip, by_row, shape, first, end)
        piece = _piece(strip, len(pieces) + 1, holes, first, end)
        if all_sheets or holes or piece.ends or piece.lap_from is not None:
            pieces.append(piece)
    return tuple(pieces)


def _stretches(strip: Strip, length: int) -> list[tuple[int, int]]:
    """Return the first place of each sheet and the place after its last."""
    starts = [place for place in range(strip.length) if place == 0 or strip.row(place) % length == 0]
    return list(zip(starts, [*starts[1:], strip.length], strict=True))


def _piece(strip: Strip, number: int, holes: tuple[SheetHole, ...], first: int, end: int) -> Piece:
    lap = max(first, strip.tape.rows)
    return Piece(
        number,
        strip.row(first),
        strip.row(end - 1),
        first == 0,
        end == strip.length,
        strip.row(lap) if lap < end else None,
        holes,
    )


def _place_holes(
    strip: Strip, by_row: dict[int, list[Hole]], shape: Shape, first: int, end: int
) -> tuple[SheetHole, ...]:
    return tuple(
        SheetHole(
            hole.row,
            hole.track,
            TAPE_LEFT_NM + shape.tracks_nm[hole.track - 1],
            row_centre(hole.row, strip.row(first), shape),
            shape.hole_along_nm,
            shape.hole_across_nm,
            place >= strip.tape.rows,
        )
        for place in range(first, end)
        for hole in by_row.get(strip.row(place), ())
    )


def row_centre(row: int, first_row: int, shape: Shape) -> int:
    """Return the distance from the paper's top to the middle of a row; half a pitch may lose a nanometre."""
    return STRIP_TOP_NM + (row - first_row) * shape.pitch_nm + shape.pitch_nm // 2


def bottom_of(piece: Piece, shape: Shape) -> int:
    """Return the distance from the paper's top to where the last row of a piece ends."""
    return STRIP_TOP_NM + (piece.last_row - piece.first_row + 1) * shape.pitch_nm


def free_stretches(strip: Strip, pieces: tuple[Piece, ...]) -> list[tuple[int, int]]:
    """Return the rows for which there is no sheet, as first and last row of each stretch, in tape order."""
    found: list[tuple[int, int]] = []
    place = 0
    for piece in pieces:
        if piece.lap_from == piece.first_row:
            break
        start = strip.place(piece.first_row)
        if start > place:
            found.append((strip.row(place), strip.row(start - 1)))
        place = strip.place(piece.last_row if piece.lap_from is None else piece.lap_from - 1) + 1
    if place < strip.tape.rows:
        found.append((strip.row(place), strip.row(strip.tape.rows - 1)))
    return found
