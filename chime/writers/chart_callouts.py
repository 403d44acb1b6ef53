"""The words beside the tape on a true-size sheet: what is punched in a row, and where the strip ends."""

from collections import defaultdict
from collections.abc import Sequence
from itertools import groupby

from chime.records import NamedTuple
from chime.tape.geometry import NM_PER_MM, write_label, write_mm, write_phase
from chime.tape.model import Hole, Tape
from chime.writers.chart_lettering import PER_MILLE, SIGN_WIDTH, baseline, shorten
from chime.writers.chart_register import Mark
from chime.writers.chart_sheets import (
    MARGIN_NM,
    STRIP_TOP_NM,
    TAPE_LEFT_NM,
    Paper,
    Piece,
    Shape,
    bottom_of,
    row_centre,
)
from chime.writers.chart_strip import Strip
from chime.writers.columns import number

_GAP_NM = 9 * NM_PER_MM
_LARGEST_NM = 4_200_000
_SMALL_NM = 2_600_000
"""Rather than below this size, words are cut short."""

_SMALLEST_NM = 1_900_000
"""Below this size nothing is written: the list says it all."""

_LINE_HEIGHT = 1350


class Remark(NamedTuple):
    """Words about a place along the sheet, `y_nm` from the paper's top, behind a label in bold."""

    y_nm: int
    label: str
    words: str


class Callout(NamedTuple):
    """Words at the end of a line that leads to their place on the tape."""

    place_y: str
    y: str
    text_y: str
    label: str
    words: str


class Callouts(NamedTuple):
    """The words beside the tape; none where there is no room for them."""

    size: str
    line_from: str
    line_to: str
    x: str
    words_x: str
    places: tuple[Callout, ...]


def call_out(strip: Strip, piece: Piece, marks: Sequence[Mark], shape: Shape, paper: Paper) -> Callouts:
    """Write beside the tape what is there, in letters as large as the room lets them be."""
    remarks = _remarks(strip, piece, marks, shape)
    right = TAPE_LEFT_NM + shape.width_nm
    length = (piece.last_row - piece.first_row + 1) * shape.pitch_nm
    label_signs = max((len(remark.label) for remark in remarks), default=0) + 2
    signs = label_signs + max((len(remark.words) for remark in remarks), default=0)
    room = paper.width_nm - MARGIN_NM - right - _GAP_NM
    size = _callout_size(room, signs, length // max(1, len(remarks)))
    sign = size * SIGN_WIDTH // PER_MILLE
    fits = size >= _SMALLEST_NM and room // sign > label_signs
    spread = _spread(
        [remark.y_nm for remark in remarks], size * _LINE_HEIGHT // PER_MILLE, STRIP_TOP_NM + length
    )
    places = tuple(
        Callout(
            write_mm(remark.y_nm),
            write_mm(y),
            write_mm(baseline(y, size)),
            remark.label,
            shorten(remark.words, room // sign - label_signs),
        )
        for remark, y in zip(remarks, spread, strict=True)
        if fits
    )
    return Callouts(
        write_mm(size),
        write_mm(right + NM_PER_MM),
        write_mm(right + _GAP_NM - NM_PER_MM),
        write_mm(right + _GAP_NM),
        write_mm(right + _GAP_NM + label_signs * sign),
        places,
    )


def _remarks(strip: Strip, piece: Piece, marks: Sequence[Mark], shape: Shape) -> list[Remark]:
    """Return what is said beside a piece, down the page."""
    by_row: dict[int, list[Hole]] = defaultdict(list)
    for hole in strip.tape.holes:
        if piece.first_row <= hole.row <= piece.last_row:
            by_row[hole.row].append(hole)
    found = [
        Remark(
            row_centre(row, piece.first_row, shape),
            write_label(strip.tape, row),
            _name_holes(strip.tape, row, holes),
        )
        for row, holes in by_row.items()
    ]
    top = STRIP_TOP_NM
    if piece.begins:
        found.append(Remark(top, "CUT", "the strip begins here"))
    if piece.lap_from is not None:
        y = top + (piece.lap_from - piece.first_row) * shape.pitch_nm
        found.append(Remark(y, "LAP", _say_lap(strip, piece)))
    if piece.ends:
        y = bottom_of(piece, shape)
        found.append(Remark(y, "CUT", "the strip ends here"))
    found += [Remark(mark.y_nm, *_say_mark(mark)) for mark in marks]
    return sorted(found)


def _say_mark(mark: Mark) -> tuple[str, str]:
    if mark.kind == "pin":
        return "PIN", "hold the sheet here"
    return f"MATCH {mark.number}", "mark this drive hole on both ends"


def _say_lap(strip: Strip, piece: Piece) -> str:
    if piece.lap_from != strip.first_row:
        return "the lap goes on"
    return f"here lies the beginning again: {number(strip.lap_rows, 'row')}"


def _callout_size(room_nm: int, signs: int, line_nm: int) -> int:
    """Return the size of letters at which so many signs fit beside the tape and a line fits each row."""
    by_width = max(_SMALL_NM, room_nm * PER_MILLE // (max(1, signs) * SIGN_WIDTH))
    return max(1000, min(_LARGEST_NM, by_width, line_nm * PER_MILLE // _LINE_HEIGHT))


def _name_holes(tape: Tape, row: int, holes: list[Hole]) -> str:
    """Name the tracks of a row, each with its zones, and when they ring: `1 main  2 junior  rings 08:45`.

    Nothing is said of a time that is that of the label alone; tracks that are read at different offsets
    ring at different times.
    """
    words = []
    for times, some in groupby(holes, key=lambda hole: hole.rings_at):
        named = "  ".join(f"{hole.track} {'+'.join(hole.zones)}" for hole in some)
        rings = "" if times == (row * tape.row_interval_s,) else f"  rings {_times(tape, times)}"
        words.append(f"{named}{rings}")
    return "  ".join(words)


def _times(tape: Tape, times: tuple[int, ...]) -> str:
    return " ".join(write_phase(tape, time) for time in times)


def _spread(middles: list[int], line: int, bottom: int) -> list[int]:
    """Move lines of text apart, down and then up again from the bottom, so that none overlaps the next."""
    places: list[int] = []
    for middle in middles:
        places.append(max(middle, places[-1] + line) if places else middle)
    limit = bottom - line // 2
    for line_number in range(len(places) - 1, -1, -1):
        places[line_number] = min(places[line_number], limit)
        limit = places[line_number] - line
    return places
