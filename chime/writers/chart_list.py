"""A tape in words: a list to punch by, with totals to count again, and a label to glue on."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from textwrap import wrap

from chime.clock import write_duration
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.geometry import NM_PER_MM, write_label, write_mm, write_phase
from chime.tape.model import Hole, Tape
from chime.verify.model import Verified
from chime.writers.chart_lettering import shorten
from chime.writers.chart_sheet_words import Plan, say_rows, zones_on_tracks
from chime.writers.chart_sheets import Paper, free_stretches
from chime.writers.chart_strip import Strip, count_drive_holes, in_tape_order
from chime.writers.columns import number, short_dates

CHECKSUM_MODULUS = 97
"""A prime below a hundred: one row punched a place too late always changes the sum."""

SIDE_NM = 16 * NM_PER_MM
"""The white beside the pages in words."""

_SIGN_NM = 2_124_000
_LARGE_SIGN_NM = 2_549_000
"""How wide a sign of DejaVu Sans Mono is at 10 and at 12 points."""

_TICK_NM = 8 * NM_PER_MM
_GUTTER_NM = 6 * NM_PER_MM
_ROW_NM = 7_600_000
_LINE_NM = 4_400_000
_MOST_TRACK_SIGNS = 15
_MOST_TIME_SIGNS = 19
_MOST_LINES_TOGETHER = 12
"""A page may begin between two rows of an hour that has more lines than this."""


_FEW = 5
"""Of a track with more holes than this at which a check fails, and all of them do, the track is named."""


class Row(NamedTuple):
    """The holes of one row, punched together; a cell may have several lines. `height` is in millimetres."""

    height: str
    row: str
    label: str
    tracks: str
    zones: str
    rings_at: str


class Total(NamedTuple):
    """How many holes there are, and the sum of their rows modulo 97."""

    what: str
    holes: int
    checksum: str


class Hour(NamedTuple):
    """The rows of one hour of labels; `total` is of the hour, `so_far` of all hours up to it."""

    rows: tuple[Row, ...]
    total: Total
    so_far: Total
    stays_together: bool


class Columns(NamedTuple):
    """Where the columns of a list begin, in millimetres from its left; the last one ends at its right."""

    label: str
    tracks: str
    zones: str


class TapePages(NamedTuple):
    """A tape in words."""

    id: str
    summary: tuple[str, ...]
    columns: Columns
    hours: tuple[Hour, ...]
    track_totals: tuple[Total, ...]
    total: Total
    short: tuple[str, ...]
    tight: tuple[str, ...]
    strip_label: str
    dates: str


class _Room(NamedTuple):
    """The columns of a list, and how many signs of its cells fit on a line."""

    columns: Columns
    track_signs: int
    zone_signs: int
    time_signs: int


class _Words(NamedTuple):
    """The cells of a row before their lines are broken."""

    row: str
    label: str
    tracks: str
    zones: str
    rings_at: str


def describe_tape(verified: Verified, plan: Plan, paper: Paper, *, is_drawn: bool) -> TapePages:
    """Write a tape as a list in tape order, with totals that a reader-back can count again."""
    strip, machine = plan.strip, verified.programme.machine
    assert machine is not None
    holes = in_tape_order(strip)
    words = {
        row: _describe_row(strip.tape, row, list(some))
        for row, some in groupby(holes, key=lambda hole: hole.row)
    }
    room = _make_room(list(words.values()), paper)
    rows = {row: _break_lines(each, room) for row, each in words.items()}
    on_track: dict[int, list[Hole]] = defaultdict(list)
    for hole in holes:
        on_track[hole.track].append(hole)
    zones = zones_on_tracks(verified)
    return TapePages(
        strip.tape.id,
        tuple(_summarise(plan, machine, is_drawn=is_drawn)),
        room.columns,
        tuple(_write_hours(strip, holes, rows)),
        tuple(
            _total(f"track {track} {' '.join(zones[track])}", some)
            for track, some in sorted(on_track.items())
        ),
        _total(f"tape {strip.tape.id}", holes),
        tuple(_short(verified, strip)),
        tuple(_tight(verified, strip)),
        _label(verified, plan, machine),
        ", ".join(short_dates(strip.tape.dates)),
    )


def _write_hours(strip: Strip, holes: Iterable[Hole], rows: Mapping[int, Row]) -> Iterable[Hour]:
    """Yield the hours of the labels in tape order.

    The hour of the cut comes twice if it has holes on both sides of it.
    """
    so_far: list[Hole] = []
    for hour, some in groupby(holes, key=lambda hole: write_label(strip.tape, hole.row).split(":")[0]):
        inside = list(some)
        so_far += inside
        lines = tuple(rows[row] for row in dict.fromkeys(hole.row for hole in inside))
        yield Hour(
            lines,
            _total(f"hour from {hour}:00", inside),
            _total("so far", so_far),
            len(lines) <= _MOST_LINES_TOGETHER,
        )


def _describe_row(tape: Tape, row: int, holes: list[Hole]) -> _Words:
    """Write a row; tracks that are read at different offsets give it several ring times."""
    times = sorted({time for hole in holes for time in hole.rings_at})
    return _Words(
        str(row),
        write_label(tape, row),
        " ".join(str(hole.track) for hole in holes),
        ", ".join(dict.fromkeys(zone for hole in holes for zone in hole.zones)),
        " ".join(write_phase(tape, time) for time in times),
    )


def _make_room(words: list[_Words], paper: Paper) -> _Room:
    """Give each column the room of its longest cell, and the zones what is left."""
    longest = [max((len(each[place]) for each in words), default=0) for place in range(len(_Words._fields))]
    track_signs = min(longest[2], _MOST_TRACK_SIGNS)
    time_signs = min(longest[4], _MOST_TIME_SIGNS)
    label = _TICK_NM + max(3, longest[0]) * _SIGN_NM + _GUTTER_NM
    tracks = label + max(8, longest[1]) * _LARGE_SIGN_NM + _GUTTER_NM
    zones = tracks + max(6, track_signs) * _LARGE_SIGN_NM + _GUTTER_NM
    left = paper.width_nm - 2 * SIDE_NM - zones - _GUTTER_NM - max(8, time_signs) * _SIGN_NM
    columns = Columns(write_mm(label), write_mm(tracks), write_mm(zones))
    return _Room(columns, track_signs, max(8, left // _SIGN_NM), time_signs)


def _break_lines(words: _Words, room: _Room) -> Row:
    cells = (
        wrap(words.tracks, room.track_signs),
        wrap(words.zones, room.zone_signs, break_on_hyphens=False),
        wrap(words.rings_at, room.time_signs),
    )
    height = _ROW_NM + (max(map(len, cells)) - 1) * _LINE_NM
    tracks, zones, rings_at = ("\n".join(lines) for lines in cells)
    return Row(write_mm(height), words.row, words.label, tracks, zones, rings_at)


def _total(what: str, holes: Iterable[Hole]) -> Total:
    rows = [hole.row for hole in holes]
    return Total(what, len(rows), f"{sum(rows) % CHECKSUM_MODULUS:02}")


# --------------------------------------------------------------------- what it is


def _summarise(plan: Plan, machine: Machine, *, is_drawn: bool) -> list[str]:
    strip = plan.strip
    tape = strip.tape
    row, cycle = write_duration(tape.row_interval_s), write_duration(tape.rows * tape.row_interval_s)
    said = [f"{tape.rows} rows of {row}, once round in {cycle}; {number(len(tape.holes), 'hole')}."]
    if is_drawn:
        free = ", ".join(say_rows(strip, first, last) for first, last in free_stretches(strip, plan.pieces))
        sheets = number(len(plan.pieces), "true-size sheet")
        said.append(f"{sheets}. No holes, so no sheet: {free}." if free else f"{sheets}.")
    return [*said, *_say_joint(strip), *_say_drive_holes(strip, machine)]


def _short(verified: Verified, strip: Strip) -> Iterator[str]:
    """Name the holes at which a check fails, in tape order, those of a whole track in one."""
    on_track = Counter(hole.track for hole in strip.tape.holes)
    for short in verified.short:
        if short.tape == strip.tape.id:
            failing = Counter(track for _, track in short.places)
            whole = {track for track, holes in failing.items() if holes == on_track[track] and holes > _FEW}
            places = sorted(short.places, key=lambda place: (strip.place(place[0]), place[1]))
            named = [f"every hole of track {track}" for track in sorted(whole)]
            named += [
                f"{write_label(strip.tape, row)} track {track}" for row, track in places if track not in whole
            ]
            yield f"{short.check.removesuffix('.')}: does not hold at {', '.join(named)}."


def _tight(verified: Verified, strip: Strip) -> Iterator[str]:
    """Name the holes that have the least to spare, the tightest first."""
    for hole in verified.tight:
        if hole.tape == strip.tape.id:
            label = write_label(strip.tape, hole.row)
            left = f"{abs(hole.margin_mm):.2f} mm {'to spare' if hole.margin_mm >= 0 else 'lacking'}"
            yield f"{label}  track {hole.track}  {left}: {hole.check}"


def _say_joint(strip: Strip) -> list[str]:
    tape = strip.tape
    first = write_label(tape, strip.first_row)
    last = write_label(tape, strip.row(tape.rows - 1))
    if not strip.row_is_free:
        return [
            f"No row is free of holes. The strip is drawn from {first} to {last}; where to cut it is open."
        ]
    where = f"{_say_cut(strip)}: it begins with {first}"
    if not strip.lap_is_given:
        return [f"{where} and ends with {last}. How long its lap must be is not given: leave enough."]
    if not strip.lap_rows:
        return [f"{where} and ends with {last}, where its ends are joined without a lap."]
    again = say_rows(strip, strip.first_row, strip.row(strip.length - 1))
    said = [
        (
            f"{where}, and after {last} come {again} again: a lap of {number(strip.lap_rows, 'row')}, "
            "each to be glued on the row of the same label."
        )
    ]
    if any(strip.place(hole.row) < strip.lap_rows for hole in tape.holes):
        said.append("Holes in the lap are punched through both layers, once they are glued.")
    return said


def _say_cut(strip: Strip) -> str:
    rows = strip.tape.rows
    places = sorted(strip.place(hole.row) for hole in strip.tape.holes)
    free = say_rows(strip, strip.row(places[-1] + 1 - rows), strip.row(places[0] - 1))
    where = f"The strip is cut in the stretch without holes from {free}"
    if strip.joint_is_clear:
        return f"{where}, away from 00:00 and from hours in which the clocks change"
    return f"{where}, in its middle, though 00:00 or an hour in which the clocks change is near"


def _say_drive_holes(strip: Strip, machine: Machine) -> list[str]:
    counted = count_drive_holes(strip, machine)
    if counted is None:
        return []
    if counted.loop is None:
        return ["The loop is no whole number of drive holes long: it cannot be joined as it is described."]
    said = f"The joined loop has exactly {number(counted.loop, 'drive hole')}"
    if counted.strip is None:
        return [f"{said}; the lap is no whole number of them."]
    return [
        f"{said}, the strip before it is joined {counted.strip:,}: count them."
        if strip.lap_rows
        else f"{said}."
    ]


def _label(verified: Verified, plan: Plan, machine: Machine) -> str:
    programme = verified.programme
    counted = count_drive_holes(plan.strip, machine)
    if counted is not None and counted.loop is not None:
        drive = number(counted.loop, "drive hole")
    else:
        drive = "drive holes: ......"
    return (
        f"{shorten(programme.name, 36)}, issue {programme.issue} of {programme.issued.isoformat()}, "
        f"{verified.fingerprint[:16]}, {drive}"
    )
