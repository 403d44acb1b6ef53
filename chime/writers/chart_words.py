"""The pages in words of the chart: what to know first, and each tape as a list to tick off."""

from collections import defaultdict
from datetime import date, timedelta
from typing import NamedTuple

from chime.clock import write_date, write_duration
from chime.programme.equipment import Machine, Value
from chime.tape.geometry import cut_row, hole_size, write_label, write_mm, write_phase
from chime.tape.model import Hole, Tape
from chime.verify.model import Verified
from chime.writers.chart_drawing import zones_on_tracks
from chime.writers.chart_sheets import Sheet, free_stretches

CHECKSUM_MODULUS = 97
"""A prime below a hundred: one row punched a place too late always changes the sum."""

CAUTIONS: tuple[str, ...] = (
    (
        "Mains in the case. The machine, its clock and its bell supply can hold mains voltage behind one "
        "cover. Switch off and lock off before anything is opened; wiring is work for a licensed person."
    ),
    (
        "A contact that stays closed burns a bell coil and can start a fire. Run a new tape through a whole "
        "loop with the bells off, then stand by at its first rings with a hand on the switch."
    ),
    (
        "Punching. Keep fingers from under the punch, guard your eyes from slugs and springs, and pick every "
        "slug out: one that hangs closes its hole or jams a contact."
    ),
    (
        "Programme bells are never an alarm signal. No hole of this tape may call a fire, an evacuation or "
        "any other emergency; that is the business of a system made, tested and approved for it."
    ),
    (
        "Local codes, the rules of the building and the advice of a licensed person come before anything "
        "printed here."
    ),
    (
        "Before the first hole, lay a sheet on the tape that is now in the machine. If with the guided edge "
        "at the left and this face to the fingers its labels do not run down the page, the sheet is a mirror "
        "image: do not punch."
    ),
)


class Line(NamedTuple):
    """The holes of one row, punched together."""

    row: str
    label: str
    tracks: str
    zones: str
    rings_at: str


class Total(NamedTuple):
    """How many holes there are, and the sum of their rows modulo 97."""

    what: str
    holes: str
    checksum: str


class Hour(NamedTuple):
    """The lines of one hour of labels; `total` is of the hour, `so_far` of all hours up to it."""

    name: str
    lines: tuple[Line, ...]
    total: Total
    so_far: Total


class TapePages(NamedTuple):
    """A tape in words."""

    id: str
    summary: tuple[str, ...]
    hours: tuple[Hour, ...]
    track_totals: tuple[Total, ...]
    total: Total
    dates: tuple[str, ...]


class Cover(NamedTuple):
    """The first pages."""

    title: str
    lines: tuple[str, ...]
    cannot_draw: str
    unchecked: tuple[str, ...]
    cautions: tuple[str, ...]
    contents: tuple[str, ...]
    values: tuple[str, ...]


def describe_cover(verified: Verified, sheets: dict[str, tuple[Sheet, ...]], cannot_draw: str) -> Cover:
    """Say what the chart is of, what nobody has checked, what is dangerous, and what it rests on."""
    programme = verified.programme
    holidays = programme.holidays_release
    lines = [
        f"issue {programme.issue} of {write_date(programme.issued)}",
        f"fingerprint {verified.fingerprint}",
        f"place {programme.place}, zone data {verified.zone_release}",
        *([f"public holidays {holidays}"] if holidays is not None else []),
    ]
    tapes = verified.tapes.tapes if verified.tapes is not None else ()
    return Cover(
        programme.name,
        tuple(lines),
        cannot_draw,
        verified.tapes.unchecked if verified.tapes is not None else (),
        CAUTIONS,
        tuple(_describe_tape(tape, sheets.get(tape.id, ())) for tape in tapes),
        tuple(_list_values(programme.machine)) if programme.machine is not None else (),
    )


def _describe_tape(tape: Tape, sheets: tuple[Sheet, ...]) -> str:
    holes, dates = count(len(tape.holes), "hole"), count(len(tape.dates), "date")
    return (
        f"Tape {tape.id}: {count(len(sheets), 'sheet')}, {holes}, on {dates} from {write_date(tape.dates[0])}"
    )


def count(number: int, noun: str) -> str:
    """Write a number of things: `1 hole`, `2 holes`."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _list_values(machine: Machine) -> list[str]:
    """List the values that the chart draws, each with how it is known."""
    sprocket, hole = machine.sprocket, machine.hole
    size = hole_size(machine)
    lengths: list[tuple[str, Value | None]] = [
        ("row pitch", machine.pitch),
        ("tape width", machine.tape_width),
        ("hole along the tape", hole.along if hole is not None else None),
        ("drive hole pitch", sprocket.pitch if sprocket is not None else None),
        ("drive hole diameter", sprocket.hole if sprocket is not None else None),
        ("drive holes from the guided edge", sprocket.from_edge if sprocket is not None else None),
    ]
    lengths += [
        (f"track {track} from the guided edge", at) for track, at in enumerate(machine.tracks, start=1)
    ]
    said = [f"{name}: {_state(value)}" for name, value in lengths]
    if size.across_nm is not None and hole is not None and hole.across is not None:
        said.append(f"hole across the tape: {_state(hole.across)}")
    for reads in machine.reads:
        track = "every track" if reads.track is None else f"track {reads.track}"
        status = ", assumed" if reads.rows.assumed else ""
        said.append(f"{track} is read {count(reads.rows.amount, 'row')} ahead of the label shown{status}")
    said.append("drive holes are drawn in line with row 0: nobody has measured it")
    return said


def _state(value: Value | None) -> str:
    if value is None:
        return "not given"
    return f"{write_mm(value.amount)} mm{', assumed' if value.assumed else ''}"


def describe_tape(verified: Verified, tape: Tape, sheets: tuple[Sheet, ...]) -> TapePages:
    """Write a tape as a list in tape order, with totals that a reader-back can count again."""
    hours: list[Hour] = []
    so_far: list[Hole] = []
    for name, holes in _by_hour(tape).items():
        so_far += holes
        lines = tuple(_describe_row(tape, row, some) for row, some in _by_row(holes).items())
        hours.append(Hour(name, lines, _total(f"hour {name}", holes), _total("so far", so_far)))
    on_track: dict[int, list[Hole]] = defaultdict(list)
    for hole in tape.holes:
        on_track[hole.track].append(hole)
    zones = zones_on_tracks(verified)
    return TapePages(
        tape.id,
        tuple(_summarise(tape, sheets)),
        tuple(hours),
        tuple(
            _total(f"track {track} {' '.join(zones[track])}", holes)
            for track, holes in sorted(on_track.items())
        ),
        _total(f"tape {tape.id}", list(tape.holes)),
        tuple(write_dates(tape.dates)),
    )


def _by_hour(tape: Tape) -> dict[str, list[Hole]]:
    hours: dict[str, list[Hole]] = defaultdict(list)
    for hole in tape.holes:
        hours[write_label(tape, hole.row).split(":")[0]].append(hole)
    return hours


def _by_row(holes: list[Hole]) -> dict[int, list[Hole]]:
    rows: dict[int, list[Hole]] = defaultdict(list)
    for hole in holes:
        rows[hole.row].append(hole)
    return rows


def _describe_row(tape: Tape, row: int, holes: list[Hole]) -> Line:
    """Write a row; tracks that are read at different offsets give it several ring times."""
    times = sorted({time for hole in holes for time in hole.rings_at})
    return Line(
        str(row),
        write_label(tape, row),
        " ".join(str(hole.track) for hole in holes),
        ", ".join(dict.fromkeys(zone for hole in holes for zone in hole.zones)),
        " ".join(write_phase(tape, time) for time in times),
    )


def _total(what: str, holes: list[Hole]) -> Total:
    checksum = sum(hole.row for hole in holes) % CHECKSUM_MODULUS
    return Total(what, str(len(holes)), f"{checksum:02}")


def _summarise(tape: Tape, sheets: tuple[Sheet, ...]) -> list[str]:
    row = write_duration(tape.row_interval_s)
    cycle = write_duration(tape.rows * tape.row_interval_s)
    said = [f"{tape.rows} rows of {row}, once round in {cycle}; {count(len(tape.holes), 'hole')}."]
    if sheets:
        free = ", ".join(
            f"{write_label(tape, first)} to {write_label(tape, last)}"
            for first, last in free_stretches(tape, sheets)
        )
        said.append(
            f"{count(len(sheets), 'true-size sheet')}." + (f" No holes, so no sheet: {free}." if free else "")
        )
    cut = cut_row(tape)
    if cut is not None:
        said.append(
            f"Middle of the longest stretch without holes: {write_label(tape, cut)}. The joint belongs near "
            "it; whether a lap fits there is not checked."
        )
    return said


def write_dates(dates: tuple[date, ...]) -> list[str]:
    """Write dates in order, those that follow each other as `Mon 2026-09-07 to Thu 2026-09-10`."""
    runs: list[tuple[date, date]] = []
    for day in sorted(dates):
        if runs and day - runs[-1][1] == timedelta(days=1):
            runs[-1] = (runs[-1][0], day)
        else:
            runs.append((day, day))
    return [
        write_date(first) if first == last else f"{write_date(first)} to {write_date(last)}"
        for first, last in runs
    ]
