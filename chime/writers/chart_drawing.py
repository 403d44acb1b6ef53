"""What is drawn on a true-size sheet, as millimetres in text for the template, which only sets it out."""

from collections import defaultdict
from typing import Literal, NamedTuple

from chime.programme.model import Machine
from chime.tape.geometry import NM_PER_MM, write_label, write_mm
from chime.tape.model import Hole, Tape
from chime.verify.model import Verified
from chime.writers.chart_sheets import (
    MARGIN_NM,
    STRIP_TOP_NM,
    TAPE_LEFT_NM,
    Paper,
    Shape,
    Sheet,
    free_stretches,
    heavy_steps,
    row_centre,
)

Weight = Literal["plain", "bold", "heavy"]
"""How a row is drawn: `bold` each 5 minutes, `heavy` each 15; with long rows, at other round times."""

BAR_NM = 150 * NM_PER_MM
_TICKS: dict[Weight, str] = {"plain": "1.8", "bold": "3", "heavy": "4.2"}
_BAR_STEP_NM = 10 * NM_PER_MM
_OVERHANG_NM = 3 * NM_PER_MM
_CALLOUT_GAP_NM = 9 * NM_PER_MM
_NAME_ROOM_NM = 18 * NM_PER_MM

# DejaVu Sans Mono: digits are 0.73 of the font size high and every sign is 0.602 of it wide.
_SIGN_WIDTH = 602
_PER_MILLE = 1000
_SMALLEST_LABELLED_PITCH_NM = 1_900_000
_CALLOUT_SIZE_NM = 4_200_000
_SMALL_CALLOUT_NM = 2_600_000
_SMALLEST_CALLOUT_NM = 1_900_000
_CALLOUT_LINE = 1350


class Heading(NamedTuple):
    """The words above the tape; `skipped` says for which rows there is no sheet."""

    title: str
    issue: str
    fingerprint: str
    tape_id: str
    sheet: str
    rows: str
    skipped: str


class Outline(NamedTuple):
    """The tape: its edges, the lines where this sheet meets the next, and where the names stand."""

    left: str
    right: str
    top: str
    bottom: str
    edge_top: str
    edge_bottom: str
    names_top: str
    names_bottom: str
    match_top: str
    match_bottom: str


class RowMark(NamedTuple):
    """The line of a row, its tick beside the tape, and its label, empty if it has none."""

    y: str
    weight: Weight
    tick: str
    label: str
    label_y: str


class Rows(NamedTuple):
    """The rows of a sheet and the size of their labels by weight."""

    marks: tuple[RowMark, ...]
    sizes: dict[Weight, str]


class TrackMark(NamedTuple):
    """The line of a track, and the words at both of its ends."""

    x: str
    name_x: str
    words: str


class Tracks(NamedTuple):
    """The tracks of the machine, from the guided edge."""

    marks: tuple[TrackMark, ...]
    size: str


class Drive(NamedTuple):
    """The drive holes, all at one x; none where the machine does not describe them."""

    x: str
    radius: str
    places: tuple[str, ...]


class Spot(NamedTuple):
    """The top left corner of the box round a hole to punch."""

    left: str
    top: str


class Spots(NamedTuple):
    """The holes of a sheet, all boxes of one size; a round hole is a box with corners of half its size."""

    width: str
    height: str
    radius: str
    places: tuple[Spot, ...]


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


class Bars(NamedTuple):
    """Two bars of known length, one along the tape and one across."""

    length: str
    bottom: str
    ticks: tuple[str, ...]


class Drawing(NamedTuple):
    """Everything that the template of a sheet needs."""

    width: str
    height: str
    heading: Heading
    outline: Outline
    rows: Rows
    tracks: Tracks
    drive: Drive
    spots: Spots
    callouts: Callouts
    bars: Bars


def draw(
    verified: Verified, tape: Tape, sheets: tuple[Sheet, ...], number: int, shape: Shape, paper: Paper
) -> Drawing:
    """Set out one of the sheets of a tape; `number` counts from 1."""
    machine = verified.programme.machine
    assert machine is not None
    sheet = sheets[number - 1]
    return Drawing(
        write_mm(paper.width_nm),
        write_mm(paper.height_nm),
        _head(verified, tape, sheets, sheet),
        _outline(tape, sheet, shape),
        _mark_rows(tape, sheet, shape),
        _mark_tracks(verified, machine, shape),
        _place_drive_holes(machine, sheet, shape),
        _place_spots(machine, sheet, shape),
        _call_out(tape, sheet, shape, paper),
        Bars(
            write_mm(BAR_NM),
            write_mm(paper.height_nm - 19 * NM_PER_MM),
            tuple(write_mm(each) for each in range(0, BAR_NM + 1, _BAR_STEP_NM)),
        ),
    )


def _head(verified: Verified, tape: Tape, sheets: tuple[Sheet, ...], sheet: Sheet) -> Heading:
    programme = verified.programme
    return Heading(
        shorten(programme.name, 44),
        f"issue {programme.issue} of {programme.issued.isoformat()}",
        verified.fingerprint[:16],
        tape.id,
        f"sheet {sheet.number} of {len(sheets)}",
        f"{write_label(tape, sheet.first_row)} to {write_label(tape, sheet.last_row)}",
        _say_skipped(tape, sheets, sheet),
    )


def _say_skipped(tape: Tape, sheets: tuple[Sheet, ...], sheet: Sheet) -> str:
    next_to = {sheet.first_row - 1, sheet.last_row + 1}
    skipped = [
        f"{write_label(tape, first)} to {write_label(tape, last)}"
        for first, last in free_stretches(tape, sheets)
        if {first, last} & next_to
    ]
    return f"No holes, so no sheet: {' and '.join(skipped)}" if skipped else ""


def shorten(text: str, length: int) -> str:
    """Return the text, cut with an ellipsis if it is longer than so many signs."""
    return text if len(text) <= length else text[: max(0, length - 1)] + "…"


def _outline(tape: Tape, sheet: Sheet, shape: Shape) -> Outline:
    bottom = STRIP_TOP_NM + (sheet.last_row - sheet.first_row + 1) * shape.pitch_nm
    return Outline(
        write_mm(TAPE_LEFT_NM),
        write_mm(TAPE_LEFT_NM + shape.width_nm),
        write_mm(STRIP_TOP_NM),
        write_mm(bottom),
        write_mm(STRIP_TOP_NM - _OVERHANG_NM),
        write_mm(bottom + _OVERHANG_NM),
        write_mm(STRIP_TOP_NM - _OVERHANG_NM - NM_PER_MM),
        write_mm(bottom + _OVERHANG_NM + NM_PER_MM),
        _say_match(tape, sheet.first_row),
        _say_match(tape, sheet.last_row + 1),
    )


def _say_match(tape: Tape, row: int) -> str:
    return f"{write_label(tape, (row - 1) % tape.rows)} | {write_label(tape, row % tape.rows)}"


def _mark_rows(tape: Tape, sheet: Sheet, shape: Shape) -> Rows:
    labels_all = shape.pitch_nm >= _SMALLEST_LABELLED_PITCH_NM
    sizes = _label_sizes(shape, labels_all=labels_all)
    bold_s, heavy_s = heavy_steps(tape.row_interval_s)
    marks: list[RowMark] = []
    for row in range(sheet.first_row, sheet.last_row + 1):
        at = row * tape.row_interval_s
        weight: Weight = "heavy" if at % heavy_s == 0 else "bold" if at % bold_s == 0 else "plain"
        y = row_centre(row, sheet.first_row, shape)
        label = write_label(tape, row) if labels_all or weight != "plain" else ""
        marks.append(
            RowMark(write_mm(y), weight, _TICKS[weight], label, write_mm(_baseline(y, sizes[weight])))
        )
    return Rows(tuple(marks), {weight: write_mm(size) for weight, size in sizes.items()})


def _label_sizes(shape: Shape, *, labels_all: bool) -> dict[Weight, int]:
    """Return the size of the labels: as large as the rows let them be, and no larger than is of use."""
    most = shape.pitch_nm * _PER_MILLE // 800 if labels_all else 4 * NM_PER_MM
    return {
        "plain": min(most * 8 // 10, 2_600_000),
        "bold": min(most, 3_000_000),
        "heavy": min(most, 3_400_000),
    }


def _baseline(middle_nm: int, size_nm: int) -> int:
    return middle_nm + size_nm * 365 // _PER_MILLE


def _mark_tracks(verified: Verified, machine: Machine, shape: Shape) -> Tracks:
    gaps = [abs(after - before) for before, after in zip(shape.tracks_nm, shape.tracks_nm[1:], strict=False)]
    size = min([2_800_000, *(gap * 10 // 9 for gap in gaps)])
    most = _NAME_ROOM_NM * _PER_MILLE // (size * _SIGN_WIDTH)
    names = zones_on_tracks(verified)
    broken = {track for track, _ in machine.out_of_use}
    marks: list[TrackMark] = []
    for track, across in enumerate(shape.tracks_nm, start=1):
        words = "out of use" if track in broken else "+".join(names.get(track, ()))
        x = TAPE_LEFT_NM + across
        marks.append(
            TrackMark(write_mm(x), write_mm(_baseline(x, size)), shorten(f"{track} {words}".rstrip(), most))
        )
    return Tracks(tuple(marks), write_mm(size))


def zones_on_tracks(verified: Verified) -> dict[int, tuple[str, ...]]:
    """Return the zones that each track rings on any tape, in alphabetical order."""
    zones: dict[int, set[str]] = defaultdict(set)
    for tape in verified.tapes.tapes if verified.tapes is not None else ():
        for hole in tape.holes:
            zones[hole.track].update(hole.zones)
    return {track: tuple(sorted(names)) for track, names in sorted(zones.items())}


def _place_drive_holes(machine: Machine, sheet: Sheet, shape: Shape) -> Drive:
    sprocket = machine.sprocket
    if sprocket is None or sprocket.pitch is None or sprocket.hole is None or sprocket.from_edge is None:
        return Drive("0", "0", ())
    pitch = sprocket.pitch.amount
    # A drive hole is taken to lie in line with row 0, and so with every row at a multiple of its pitch.
    start = row_centre(sheet.first_row, sheet.first_row, shape) - sheet.first_row * shape.pitch_nm
    bottom = STRIP_TOP_NM + (sheet.last_row - sheet.first_row + 1) * shape.pitch_nm + _OVERHANG_NM
    first = -((start - STRIP_TOP_NM + _OVERHANG_NM) // pitch)
    return Drive(
        write_mm(TAPE_LEFT_NM + sprocket.from_edge.amount),
        write_mm(sprocket.hole.amount // 2),
        tuple(write_mm(y) for y in range(start + first * pitch, bottom + 1, pitch)),
    )


def _place_spots(machine: Machine, sheet: Sheet, shape: Shape) -> Spots:
    hole = machine.hole
    assert hole is not None
    along, across = shape.hole_along_nm, shape.hole_across_nm
    is_rounded = hole.shape == "round" or hole.ends == "rounded"
    return Spots(
        write_mm(across),
        write_mm(along),
        write_mm(min(along, across) // 2 if is_rounded else 0),
        tuple(
            Spot(
                write_mm(placed.x_nm - across // 2),
                write_mm(placed.y_nm - along // 2),
            )
            for placed in sheet.holes
        ),
    )


def _call_out(tape: Tape, sheet: Sheet, shape: Shape, paper: Paper) -> Callouts:
    """Name the holes of each row beside it, in letters as large as the room lets them be."""
    by_row: dict[int, list[Hole]] = defaultdict(list)
    for hole in tape.holes:
        if sheet.first_row <= hole.row <= sheet.last_row:
            by_row[hole.row].append(hole)
    labels = {row: write_label(tape, row) for row in sorted(by_row)}
    words = {row: name_holes(by_row[row]) for row in labels}
    right = TAPE_LEFT_NM + shape.width_nm
    length = (sheet.last_row - sheet.first_row + 1) * shape.pitch_nm
    label_signs = max(map(len, labels.values()), default=0) + 2
    signs = label_signs + max(map(len, words.values()), default=0)
    room = paper.width_nm - MARGIN_NM - right - _CALLOUT_GAP_NM
    size = _callout_size(room, signs, length // max(1, len(by_row)))
    sign = size * _SIGN_WIDTH // _PER_MILLE
    fits = size >= _SMALLEST_CALLOUT_NM and room // sign > label_signs
    middles = [row_centre(row, sheet.first_row, shape) for row in labels]
    spread = _spread(middles, size * _CALLOUT_LINE // _PER_MILLE, STRIP_TOP_NM + length)
    places = tuple(
        Callout(
            write_mm(middle),
            write_mm(y),
            write_mm(_baseline(y, size)),
            labels[row],
            shorten(words[row], room // sign - label_signs),
        )
        for row, middle, y in zip(labels, middles, spread, strict=True)
        if fits
    )
    return Callouts(
        write_mm(size),
        write_mm(right + NM_PER_MM),
        write_mm(right + _CALLOUT_GAP_NM - NM_PER_MM),
        write_mm(right + _CALLOUT_GAP_NM),
        write_mm(right + _CALLOUT_GAP_NM + label_signs * sign),
        places,
    )


def _callout_size(room_nm: int, signs: int, line_nm: int) -> int:
    """Return the size of letters at which so many signs fit beside the tape and a line fits each row."""
    by_width = max(_SMALL_CALLOUT_NM, room_nm * _PER_MILLE // (max(1, signs) * _SIGN_WIDTH))
    return min(_CALLOUT_SIZE_NM, by_width, line_nm * _PER_MILLE // _CALLOUT_LINE)


def name_holes(holes: list[Hole]) -> str:
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
