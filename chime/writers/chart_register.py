"""How a sheet is held in its place on the tape, and how the ends of the strip are brought together.

A sheet lies on the tape by one drive hole in its middle, the pin, so that what a printer adds or takes grows
from there both ways and reaches half as far as it would from an end. The next sheet is held by a drive hole
of its own: no error goes on from sheet to sheet. In the lap two drive holes are match marks: on both ends of
the strip they are the same two, and where they lie on each other the loop has the drive holes that it must.
"""

from collections.abc import Iterable, Iterator
from typing import Literal

from chime.programme.equipment import Machine, Sprocket, Value
from chime.records import NamedTuple
from chime.tape.geometry import NM_PER_MM, write_mm
from chime.verify.model import Verified
from chime.writers.chart_scale import FARTHEST_OFF_PER_MILLE
from chime.writers.chart_sheets import BAR_NM, STRIP_TOP_NM, TAPE_LEFT_NM, Piece, Shape, bottom_of, row_centre
from chime.writers.chart_strip import Strip, count_drive_holes

CHECKS_OF_ROWS = ("Every hole is read in its own row.", "No hole is read in a row beside its own.")
"""The checks that an error of the print can break."""


class Mark(NamedTuple):
    """A drive hole that has a meaning, `y_nm` from the paper's top; a match mark has a number."""

    y_nm: int
    kind: Literal["pin", "match"]
    number: int = 0


class DriveLine(NamedTuple):
    """The drive holes of a machine that describes them: their pitch, their size, and x of their middles.

    `across_nm` is None where they are round.
    """

    pitch_nm: int
    hole_nm: int
    across_nm: int | None
    x_nm: int


def drive_line(shape: Shape) -> DriveLine | None:
    """Return where the drive holes of a sheet are, None where the machine does not describe them."""
    sprocket: Sprocket | None = shape.machine.sprocket
    if sprocket is None:
        return None
    given: tuple[Value | None, ...] = (sprocket.pitch, sprocket.hole, sprocket.from_edge)
    pitch, hole, from_edge = (None if value is None else value.amount for value in given)
    if pitch is None or hole is None or from_edge is None or pitch <= 0:
        return None
    across = None if sprocket.hole_across is None else sprocket.hole_across.amount
    return DriveLine(pitch, hole, across, TAPE_LEFT_NM + from_edge)


def drive_places(piece: Piece, shape: Shape, beyond_nm: int = 0) -> range:
    """Return the middles of a sheet's drive holes, and so far beyond its ends, from the paper's top.

    A drive hole is taken to lie in line with row 0, and so with every row at a multiple of its pitch.
    """
    line = drive_line(shape)
    if line is None:
        return range(0)
    start, top = row_centre(0, piece.first_row, shape), STRIP_TOP_NM - beyond_nm
    first = start + -(-(top - start) // line.pitch_nm) * line.pitch_nm
    return range(first, bottom_of(piece, shape) + beyond_nm + 1, line.pitch_nm)


def find_marks(strip: Strip, piece: Piece, shape: Shape, machine: Machine) -> tuple[Mark, ...]:
    """Return the drive holes of a sheet by which it is held and its ends are matched, down the page.

    `machine` is the machine as it is, that of the shape the one that is drawn.
    """
    places = drive_places(piece, shape)
    pins = [Mark(_pin(piece, shape), "pin")] if places else []
    return tuple(sorted((*pins, *_matches(strip, piece, shape, machine))))


def _pin(piece: Piece, shape: Shape) -> int:
    """Return the drive hole of a sheet that is nearest to its middle; it must have one."""
    middle = (STRIP_TOP_NM + bottom_of(piece, shape)) // 2
    return min(drive_places(piece, shape), key=lambda y: (abs(y - middle), y))


def _matches(strip: Strip, piece: Piece, shape: Shape, machine: Machine) -> Iterator[Mark]:
    """Give the first and the last drive hole of the lap, at either end of the strip, if they are shown."""
    in_lap = _drive_holes_of_lap(strip, machine)
    line, loop = drive_line(shape), strip.tape.rows * shape.pitch_nm
    if not in_lap or line is None or machine.pitch is None:
        return
    # The lap's first row is the strip's first as well.
    place = strip.place(piece.first_row) + (strip.tape.rows if piece.lap_from == piece.first_row else 0)
    ends = [at * shape.pitch_nm // machine.pitch.amount for at in dict.fromkeys((in_lap[0], in_lap[-1]))]
    for y in drive_places(piece, shape):
        along = place * shape.pitch_nm + y - STRIP_TOP_NM
        for number, end in enumerate(ends, start=1):
            if min(abs(along - end), abs(along - end - loop)) < line.pitch_nm // 4:
                yield Mark(y, "match", number)


def _drive_holes_of_lap(strip: Strip, machine: Machine) -> range:
    """Return how far from the cut the lap's drive holes lie; none where those of the loop are not whole."""
    counted = count_drive_holes(strip, machine)
    if counted is None or counted.loop is None:
        return range(0)
    assert machine.pitch is not None
    assert machine.sprocket is not None
    assert machine.sprocket.pitch is not None
    row, apart = machine.pitch.amount, machine.sprocket.pitch.amount
    return range((row // 2 - strip.first_row * row) % apart, strip.lap_rows * row, apart)


class BarLimit(NamedTuple):
    """How long a bar may measure, in mm, for all rows to be read; how far a row is from its pin."""

    least_mm: float
    most_mm: float
    farthest_mm: float


def limit_bar(verified: Verified, pieces: Iterable[Piece], shape: Shape) -> BarLimit | None:
    """Return how far the bar of a sheet may be out for its holes to be read still (formula F20).

    What the checks of rows have left, and what the machine's block grants to the print, is what the row that
    is farthest from its pin may be off. None where nobody can say, or nothing is left.
    """
    machine = verified.programme.machine
    farthest_nm = max((_farthest(piece, shape) for piece in pieces), default=0)
    left = [v.margin_mm for v in verified.verdicts if v.check in CHECKS_OF_ROWS and v.margin_mm is not None]
    if machine is None or not farthest_nm or not left or min(left) <= 0:
        return None
    granted_nm = sum(part.value.amount for part in machine.errors if part.name == "print")
    off = min((min(left) * NM_PER_MM + granted_nm) / farthest_nm, FARTHEST_OFF_PER_MILLE / 1000)
    bar_mm = BAR_NM / NM_PER_MM
    tenths = int(off * bar_mm * 10)
    return BarLimit(bar_mm - tenths / 10, bar_mm + tenths / 10, farthest_nm / NM_PER_MM)


def say_bar_limit(limit: BarLimit | None) -> str:
    """Say it on the first pages; empty where nobody can say."""
    if limit is None:
        return ""
    return (
        f"A row is at most {limit.farthest_mm:.0f} mm from the drive hole by which its sheet is held. For "
        f"the farthest to be read a bar of {write_mm(BAR_NM)} mm may measure from {limit.least_mm:.1f} to "
        f"{limit.most_mm:.1f} mm."
    )


def say_bar_range(limit: BarLimit | None) -> str:
    """Say it beside a bar; empty where nobody can say."""
    return "" if limit is None else f"   may be {limit.least_mm:.1f} to {limit.most_mm:.1f}"


def _farthest(piece: Piece, shape: Shape) -> int:
    """Return how far the farthest row of a sheet is from its pin, 0 where it has none."""
    ends = (
        row_centre(piece.first_row, piece.first_row, shape),
        row_centre(piece.last_row, piece.first_row, shape),
    )
    pins = [_pin(piece, shape)] if drive_places(piece, shape) else []
    return max((abs(end - pin) for pin in pins for end in ends), default=0)
