"""What is drawn on a true-size sheet, as millimetres in text for the template, which only sets it out."""

from collections.abc import Iterable, Sequence

from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.geometry import NM_PER_MM, write_mm
from chime.writers.chart_callouts import Callouts
from chime.writers.chart_register import Mark, drive_line, drive_places
from chime.writers.chart_rows import WEIGHTS, Weight, weigh_rows
from chime.writers.chart_sheets import (
    OVERHANG_NM,
    STRIP_TOP_NM,
    TAPE_LEFT_NM,
    Paper,
    Piece,
    Shape,
    bottom_of,
    row_centre,
)
from chime.writers.chart_strip import Strip
from chime.writers.model import SheetHole

_BAR_PARTS = 15
"""A bar of 150 mm has a tick every 10 mm."""
_RING_NM = 250_000
"""A ring begins outside the line of its drive hole, and is half as thick again."""

_TICKS: dict[Weight, str] = {"plain": "1.8", "bold": "3", "heavy": "4.2"}


class Outline(NamedTuple):
    """The tape: its edges, and the lines where this sheet meets the next.

    An end of the strip is cut along its line; `lap_top` is where the lap begins, empty if it does not.
    """

    left: str
    right: str
    width: str
    top: str
    bottom: str
    edge_top: str
    edge_bottom: str
    begins: bool
    ends: bool
    lap_top: str
    lap_length: str


class RowLines(NamedTuple):
    """The rows of one weight: their lines and their ticks beside the tape, as paths."""

    weight: Weight
    lines: str
    ticks: str


class Spot(NamedTuple):
    """The box round a hole to punch; a round hole is a box with corners of half its size."""

    left: str
    top: str
    width: str
    height: str
    radius: str


class Bars(NamedTuple):
    """Two bars of known length, one along the tape and one across."""

    length: str
    bottom: str
    ticks: tuple[str, ...]


class Drawing(NamedTuple):
    """Everything that the template of a sheet needs; `tracks` to `pointers` are paths.

    `rings` go round the drive holes that have a meaning, and `pointers` stand beside the tape at each.
    """

    width: str
    height: str
    outline: Outline
    rows: tuple[RowLines, ...]
    tracks: str
    drive: str
    rings: str
    pointers: str
    spots: tuple[Spot, ...]
    callouts: Callouts
    bars: Bars


def draw(
    strip: Strip, piece: Piece, marks: Sequence[Mark], callouts: Callouts, shape: Shape, paper: Paper
) -> Drawing:
    """Set out the lines and the holes of a sheet."""
    outline = _outline(piece, shape)
    tracks = (write_mm(TAPE_LEFT_NM + across) for across in shape.tracks_nm)
    return Drawing(
        write_mm(paper.width_nm),
        write_mm(paper.height_nm),
        outline,
        _rule_rows(strip, piece, shape, outline),
        "".join(f"M{x} {outline.edge_top}V{outline.edge_bottom}" for x in tracks),
        _draw_drive_holes(shape, drive_places(piece, shape, OVERHANG_NM)),
        _draw_circles(shape, (mark.y_nm for mark in marks), _RING_NM),
        "".join(f"M0.6 {write_mm(mark.y_nm)}l2.4 -1.3v2.6z" for mark in marks),
        tuple(_spot(hole, is_rounded=_is_rounded(shape.machine)) for hole in piece.holes),
        callouts,
        Bars(
            write_mm(shape.bar_nm),
            write_mm(paper.height_nm - 19 * NM_PER_MM),
            tuple(write_mm(shape.bar_nm * each // _BAR_PARTS) for each in range(_BAR_PARTS + 1)),
        ),
    )


def _outline(piece: Piece, shape: Shape) -> Outline:
    bottom = bottom_of(piece, shape)
    has_lap = piece.lap_from is not None
    lap_top = STRIP_TOP_NM + ((piece.lap_from or 0) - piece.first_row) * shape.pitch_nm
    return Outline(
        write_mm(TAPE_LEFT_NM),
        write_mm(TAPE_LEFT_NM + shape.width_nm),
        write_mm(shape.width_nm),
        write_mm(STRIP_TOP_NM),
        write_mm(bottom),
        write_mm(STRIP_TOP_NM - OVERHANG_NM),
        write_mm(bottom + OVERHANG_NM),
        piece.begins,
        piece.ends,
        write_mm(lap_top) if has_lap else "",
        write_mm(bottom - lap_top) if has_lap else "",
    )


def _rule_rows(strip: Strip, piece: Piece, shape: Shape, outline: Outline) -> tuple[RowLines, ...]:
    places: dict[Weight, list[str]] = {weight: [] for weight in WEIGHTS}
    for row, weight in weigh_rows(strip.tape, piece):
        places[weight].append(write_mm(row_centre(row, piece.first_row, shape)))
    return tuple(
        RowLines(
            weight,
            "".join(f"M{outline.left} {y}H{outline.right}" for y in ys),
            "".join(f"M-0.8 {y}H-{_TICKS[weight]}" for y in ys),
        )
        for weight, ys in places.items()
        if ys
    )


def _draw_drive_holes(shape: Shape, places: Iterable[int]) -> str:
    """Return the outlines of drive holes as a path, those that are not round with square corners."""
    line = drive_line(shape)
    if line is None or line.across_nm is None:
        return _draw_circles(shape, places)
    left, top = line.x_nm - line.across_nm // 2, line.hole_nm // 2
    width, height = write_mm(line.across_nm), write_mm(line.hole_nm)
    return "".join(f"M{write_mm(left)} {write_mm(y - top)}h{width}v{height}h-{width}z" for y in places)


def _draw_circles(shape: Shape, places: Iterable[int], wider_nm: int = 0) -> str:
    """Return circles round drive holes as a path; empty where the machine does not describe them."""
    line = drive_line(shape)
    if line is None:
        return ""
    half = max(line.hole_nm, line.across_nm or 0) // 2 + wider_nm
    left, radius, across = write_mm(line.x_nm - half), write_mm(half), write_mm(2 * half)
    circle = f"a{radius} {radius} 0 1 0 {across} 0a{radius} {radius} 0 1 0 -{across} 0z"
    return "".join(f"M{left} {write_mm(y)}{circle}" for y in places)


def _is_rounded(machine: Machine) -> bool:
    hole = machine.hole
    assert hole is not None
    return hole.shape == "round" or hole.ends == "rounded"


def _spot(hole: SheetHole, *, is_rounded: bool) -> Spot:
    return Spot(
        write_mm(hole.x_nm - hole.across_nm // 2),
        write_mm(hole.y_nm - hole.along_nm // 2),
        write_mm(hole.across_nm),
        write_mm(hole.along_nm),
        write_mm(min(hole.along_nm, hole.across_nm) // 2 if is_rounded else 0),
    )
