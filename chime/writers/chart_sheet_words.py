"""The words on a true-size sheet: which it is, the labels of its rows, and what is punched in them."""

from collections import defaultdict
from itertools import pairwise

from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.geometry import NM_PER_MM, write_label, write_mm
from chime.verify.model import Verified
from chime.writers.chart_callouts import Callouts
from chime.writers.chart_lettering import PER_MILLE, SIGN_WIDTH, shorten
from chime.writers.chart_rows import RowLabels, Weight, weigh_rows
from chime.writers.chart_sheets import (
    OVERHANG_NM,
    STRIP_TOP_NM,
    TAPE_LEFT_NM,
    Piece,
    Shape,
    bottom_of,
    free_stretches,
)
from chime.writers.chart_strip import Strip

NAME_ROOM_NM = 18 * NM_PER_MM
_MATCH_ROOM_NM = 25 * NM_PER_MM
_SMALLEST_NAME_NM = 2_000_000


class Plan(NamedTuple):
    """A tape and every piece of it for which there is a sheet."""

    strip: Strip
    pieces: tuple[Piece, ...]


class TrackName(NamedTuple):
    """The words at both ends of a track."""

    x: str
    words: str


class TrackNames(NamedTuple):
    """The tracks of the machine, from the guided edge; the same on every sheet."""

    size: str
    names: tuple[TrackName, ...]


class RowWords(NamedTuple):
    """The printed label of a row, empty if it has none."""

    weight: Weight
    label: str


class SheetWords(NamedTuple):
    """The words of a sheet; `skipped` says for which rows there is no sheet."""

    title: str
    issue: str
    tape: str
    sheet: str
    rows: str
    skipped: str
    match_size: str
    match_top: str
    match_bottom: str
    edge_top: str
    edge_bottom: str
    labels: tuple[RowWords, ...]
    callouts: Callouts


def write_sheet(
    verified: Verified, plan: Plan, piece: Piece, callouts: Callouts, labels: RowLabels, shape: Shape
) -> SheetWords:
    """Write the words of one of the pieces of a tape."""
    programme, strip = verified.programme, plan.strip
    match = _say_match(strip, piece.first_row)
    issue = f"issue {programme.issue} of {programme.issued.isoformat()}"
    return SheetWords(
        shorten(programme.name, 44),
        f"{issue}   fingerprint {verified.fingerprint[:16]}",
        f"tape {strip.tape.id}",
        say_sheet(plan, piece),
        f"rows {say_rows(strip, piece.first_row, piece.last_row)}",
        _say_skipped(plan, piece),
        write_mm(min(2_200_000, _MATCH_ROOM_NM * PER_MILLE // (len(match) * SIGN_WIDTH))),
        match,
        _say_match(strip, piece.last_row + 1),
        write_mm(STRIP_TOP_NM - OVERHANG_NM),
        write_mm(bottom_of(piece, shape) + OVERHANG_NM),
        tuple(
            RowWords(weight, "" if getattr(labels, weight).size == "0" else write_label(strip.tape, row))
            for row, weight in weigh_rows(strip.tape, piece)
        ),
        callouts,
    )


def say_rows(strip: Strip, first_row: int, last_row: int) -> str:
    """Write the labels of some rows: `02:15 to 02:59`."""
    return f"{write_label(strip.tape, first_row)} to {write_label(strip.tape, last_row)}"


def say_sheet(plan: Plan, piece: Piece) -> str:
    """Write which sheet of a tape it is: `sheet 2 of 9`."""
    return f"sheet {piece.number} of {len(plan.pieces)}"


def _say_skipped(plan: Plan, piece: Piece) -> str:
    rows = plan.strip.tape.rows
    next_to = {(piece.first_row - 1) % rows, (piece.last_row + 1) % rows}
    skipped = [
        say_rows(plan.strip, first, last)
        for first, last in free_stretches(plan.strip, plan.pieces)
        if {first, last} & next_to
    ]
    return f"No holes, so no sheet: {' and '.join(skipped)}" if skipped else ""


def _say_match(strip: Strip, row: int) -> str:
    tape = strip.tape
    return f"{write_label(tape, (row - 1) % tape.rows)} | {write_label(tape, row % tape.rows)}"


def name_tracks(verified: Verified, machine: Machine, shape: Shape) -> TrackNames:
    """Return what stands at both ends of each track: its number and its zones."""
    names = zones_on_tracks(verified)
    broken = {track for track, _ in machine.out_of_use}
    words = [
        f"{track} {'out of use' if track in broken else '+'.join(names.get(track, ()))}".rstrip()
        for track in range(1, len(shape.tracks_nm) + 1)
    ]
    size = _name_size(shape, max(map(len, words)))
    most = NAME_ROOM_NM * PER_MILLE // (size * SIGN_WIDTH)
    return TrackNames(
        write_mm(size),
        tuple(
            TrackName(write_mm(TAPE_LEFT_NM + across), shorten(text, most))
            for across, text in zip(shape.tracks_nm, words, strict=True)
        ),
    )


def _name_size(shape: Shape, signs: int) -> int:
    """Return the size at which names stand side by side, smaller for long ones."""
    gaps = [abs(after - before) for before, after in pairwise(shape.tracks_nm)]
    by_length = max(_SMALLEST_NAME_NM, NAME_ROOM_NM * PER_MILLE // (signs * SIGN_WIDTH))
    # Tracks said to lie at one place would leave their names no room at all.
    return max(NM_PER_MM // 2, min([2_800_000, by_length, *(gap * 10 // 9 for gap in gaps)]))


def zones_on_tracks(verified: Verified) -> dict[int, tuple[str, ...]]:
    """Return the zones that each track rings on any tape, in alphabetical order."""
    zones: dict[int, set[str]] = defaultdict(set)
    for tape in verified.tapes.tapes if verified.tapes is not None else ():
        for hole in tape.holes:
            zones[hole.track].update(hole.zones)
    return {track: tuple(sorted(names)) for track, names in sorted(zones.items())}
