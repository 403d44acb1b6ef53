"""The words beside the tape on a true-size sheet: which tracks and zones are punched in a row."""

from collections import defaultdict
from typing import NamedTuple

from chime.tape.geometry import NM_PER_MM, write_label, write_mm
from chime.tape.model import Hole, Tape
from chime.writers.chart_lettering import PER_MILLE, SIGN_WIDTH, baseline, shorten
from chime.writers.chart_sheets import (
    MARGIN_NM,
    STRIP_TOP_NM,
    TAPE_LEFT_NM,
    Paper,
    Shape,
    Sheet,
    row_centre,
)

_GAP_NM = 9 * NM_PER_MM
_LARGEST_NM = 4_200_000
_SMALL_NM = 2_600_000
"""Rather than below this size, words are cut short."""

_SMALLEST_NM = 1_900_000
"""Below this size nothing is written: the list says it all."""

_LINE_HEIGHT = 1350


class Callout(NamedTuple):
    """The words beside a row with holes, at the end of a line that leads to the row."""

    row_y: str
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


def call_out(tape: Tape, sheet: Sheet, shape: Shape, paper: Paper) -> Callouts:
    """Name the holes of each row beside it, in letters as large as the room lets them be."""
    by_row: dict[int, list[Hole]] = defaultdict(list)
    for hole in tape.holes:
        if sheet.first_row <= hole.row <= sheet.last_row:
            by_row[hole.row].append(hole)
    labels = {row: write_label(tape, row) for row in sorted(by_row)}
    words = {row: _name_holes(by_row[row]) for row in labels}
    right = TAPE_LEFT_NM + shape.width_nm
    length = (sheet.last_row - sheet.first_row + 1) * shape.pitch_nm
    label_signs = max(map(len, labels.values()), default=0) + 2
    signs = label_signs + max(map(len, words.values()), default=0)
    room = paper.width_nm - MARGIN_NM - right - _GAP_NM
    size = _callout_size(room, signs, length // max(1, len(by_row)))
    sign = size * SIGN_WIDTH // PER_MILLE
    fits = size >= _SMALLEST_NM and room // sign > label_signs
    middles = [row_centre(row, sheet.first_row, shape) for row in labels]
    spread = _spread(middles, size * _LINE_HEIGHT // PER_MILLE, STRIP_TOP_NM + length)
    places = tuple(
        Callout(
            write_mm(middle),
            write_mm(y),
            write_mm(baseline(y, size)),
            labels[row],
            shorten(words[row], room // sign - label_signs),
        )
        for row, middle, y in zip(labels, middles, spread, strict=True)
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


def _callout_size(room_nm: int, signs: int, line_nm: int) -> int:
    """Return the size of letters at which so many signs fit beside the tape and a line fits each row."""
    by_width = max(_SMALL_NM, room_nm * PER_MILLE // (max(1, signs) * SIGN_WIDTH))
    return max(1000, min(_LARGEST_NM, by_width, line_nm * PER_MILLE // _LINE_HEIGHT))


def _name_holes(holes: list[Hole]) -> str:
    """Name the tracks of a row, each with its zones: `1 main  2 junior`."""
    return "  ".join(f"{hole.track} {'+'.join(hole.zones)}" for hole in holes)


def _spread(middles: list[int], line: int, bottom: int) -> list[int]:
    """Move lines of text apart, down and then up again from the bottom, so that none overlaps the next."""
    places: list[int] = []
    for middle in middles:
        places.append(max(middle, places[-1] + line) if places else middle)
    limit = bottom - line // 2
    for number in range(len(places) - 1, -1, -1):
        places[number] = min(places[number], limit)
        limit = places[number] - line
    return places
