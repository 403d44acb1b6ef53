"""What is drawn on a true-size sheet, as millimetres in text for the template, which only sets it out."""

from collections import defaultdict
from itertools import pairwise
from typing import Literal, NamedTuple

from chime.programme.equipment import Machine
from chime.tape.geometry import NM_PER_MM, write_label, write_mm
from chime.tape.model import Tape
from chime.verify.model import Verified
from chime.writers.chart_callouts import Callouts, call_out
from chime.writers.chart_lettering import PER_MILLE, SIGN_WIDTH, baseline, shorten
from chime.writers.chart_sheets import (
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
_NAME_ROOM_NM = 20 * NM_PER_MM
_SMALLEST_NAME_NM = 2_000_000
_SMALLEST_LABELLED_PITCH_NM = 1_900_000


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
        call_out(tape, sheet, shape, paper),
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
            RowMark(write_mm(y), weight, _TICKS[weight], label, write_mm(baseline(y, sizes[weight])))
        )
    return Rows(tuple(marks), {weight: write_mm(size) for weight, size in sizes.items()})


def _label_sizes(shape: Shape, *, labels_all: bool) -> dict[Weight, int]:
    """Return the size of the labels: as large as the rows let them be, and no larger than is of use."""
    most = shape.pitch_nm * PER_MILLE // 800 if labels_all else 4 * NM_PER_MM
    return {
        "plain": min(most * 8 // 10, 2_600_000),
        "bold": min(most, 3_000_000),
        "heavy": min(most, 3_400_000),
    }


def _mark_tracks(verified: Verified, machine: Machine, shape: Shape) -> Tracks:
    names = zones_on_tracks(verified)
    broken = {track for track, _ in machine.out_of_use}
    words = [
        f"{track} {'out of use' if track in broken else '+'.join(names.get(track, ()))}".rstrip()
        for track in range(1, len(shape.tracks_nm) + 1)
    ]
    size = _name_size(shape, max(map(len, words)))
    most = _NAME_ROOM_NM * PER_MILLE // (size * SIGN_WIDTH)
    marks: list[TrackMark] = []
    for across, text in zip(shape.tracks_nm, words, strict=True):
        x = TAPE_LEFT_NM + across
        marks.append(TrackMark(write_mm(x), write_mm(baseline(x, size)), shorten(text, most)))
    return Tracks(tuple(marks), write_mm(size))


def _name_size(shape: Shape, signs: int) -> int:
    """Return the size at which names stand side by side, smaller for long ones."""
    gaps = [abs(after - before) for before, after in pairwise(shape.tracks_nm)]
    by_length = max(_SMALLEST_NAME_NM, _NAME_ROOM_NM * PER_MILLE // (signs * SIGN_WIDTH))
    # Tracks said to lie at one place would leave their names no room at all.
    return max(NM_PER_MM // 2, min([2_800_000, by_length, *(gap * 10 // 9 for gap in gaps)]))


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
    if pitch <= 0:
        return Drive("0", "0", ())
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
