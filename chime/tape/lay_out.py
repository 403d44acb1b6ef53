"""From dated rings to tapes: which hole stands in which row of which loop."""

from collections import defaultdict
from collections.abc import Mapping
from datetime import date, datetime
from typing import NamedTuple

from chime.clock import DAY, write_date
from chime.diagnostics import Diagnostic, Span, is_error, order
from chime.programme.equipment import Machine
from chime.programme.model import Programme
from chime.rings.model import Ring, RingCalendar
from chime.tape import faults
from chime.tape.aliases import describe_aliases
from chime.tape.geometry import row_of
from chime.tape.loop import (
    Loop,
    first_of_window,
    keeps_phase,
    monday_of,
    passes_of,
    phase_of,
    read_loop,
    why_without_phase,
)
from chime.tape.model import Hole, Tape, TapeSet
from chime.tape.tracks import Wiring, ZoneTracks, rows_ahead_of, wire
from chime.tape.unchecked import NOT_JUDGED

Place = tuple[int, int]
"""A row and a track."""


class LaidOut(NamedTuple):
    """The tapes, None where no machine is described or an error stands in the way, and what is wrong."""

    tapes: TapeSet | None
    diagnostics: tuple[Diagnostic, ...]


class _Mark(NamedTuple):
    """A ring on its way to the tape: the window it falls in and the time of the loop."""

    ring: Ring
    first: date
    phase_s: int


def lay_out(programme: Programme, calendar: RingCalendar) -> LaidOut:
    """Lay every ring out on tapes, each in the row that `geometry.row_of` counts.

    A loop of a day or a part of it gets a tape for each distinct date, one of whole weeks for each distinct
    run of the loop. Dates with the same holes share a tape. Nothing is rounded: a ring between two rows is an
    error. What this stage takes for granted is said in `TapeSet.unchecked`.
    """
    machine = programme.machine
    if machine is None:
        return LaidOut(None, ())
    loop = read_loop(machine)
    if isinstance(loop, Diagnostic):
        return LaidOut(None, (loop,))
    if not keeps_phase(loop):
        return LaidOut(TapeSet((), (), (why_without_phase(loop), *NOT_JUDGED)), ())
    wiring = wire(programme, machine, {ring.zone for ring in calendar.rings})
    marks = _mark(loop, calendar)
    wrong = [*wiring.diagnostics, *_rings_between_rows(loop, marks), *_shared_tracks(wiring, calendar)]
    if is_error(wrong):
        return LaidOut(None, order(wrong))
    tapes, tape_on = _gather(loop, marks, wiring, _offsets(machine, wiring), machine)
    unchecked = (
        *_aliases(loop, machine, tapes, calendar),
        *_assumptions(loop, machine, wiring, calendar),
        *NOT_JUDGED,
    )
    return LaidOut(TapeSet(tapes, tape_on, unchecked), order(wrong))


def _mark(loop: Loop, calendar: RingCalendar) -> list[_Mark]:
    anchor = _anchor(calendar)
    firsts: dict[date, date] = {}
    marks: list[_Mark] = []
    for ring in calendar.rings:
        day = ring.at.date()
        first = firsts.get(day)
        if first is None:
            first = firsts[day] = first_of_window(loop, day, anchor)
        marks.append(_Mark(ring, first, phase_of(loop, ring.at, first)))
    return marks


def _anchor(calendar: RingCalendar) -> date:
    """Return the date from whose Monday the runs of a loop of several weeks are counted."""
    dates = [day.day for day in calendar.days[:1]] or [ring.at.date() for ring in calendar.rings[:1]]
    return min(dates, default=date.min)


def _rings_between_rows(loop: Loop, marks: list[_Mark]) -> list[Diagnostic]:
    found: dict[tuple[Span, str], Diagnostic] = {}
    for ring, _, phase_s in marks:
        over = phase_s % loop.row_interval_s
        if not over:
            continue
        seconds = _seconds_of_day(ring.at)
        for reason in ring.reasons:
            fault = faults.ring_between_rows(
                ring.at,
                reason.spans[0],
                before_s=seconds - over,
                interval_s=loop.row_interval_s,
                moved_by=reason.spans[1:],
            )
            found.setdefault((reason.spans[0], fault.headline), fault)
    return list(found.values())


def _seconds_of_day(at: datetime) -> int:
    return at.hour * 3600 + at.minute * 60 + at.second


def _shared_tracks(wiring: Wiring, calendar: RingCalendar) -> list[Diagnostic]:
    """Find pairs of zones on one track whose rings differ, each track's first zone against the others."""
    sounds: dict[str, set[datetime]] = defaultdict(set)
    for ring in calendar.rings:
        sounds[ring.zone].add(ring.at)
    found: list[Diagnostic] = []
    for track, zones in sorted(zones_by_track(wiring.by_zone).items()):
        first, *others = zones
        for other in others:
            differing = sounds[first] ^ sounds[other]
            if differing:
                at = min(differing)
                ringing = first if at in sounds[first] else other
                spans = wiring.by_zone[first].span, wiring.by_zone[other].span
                found.append(faults.track_shared(track, (first, other), spans, at, ringing))
    return found


def zones_by_track(by_zone: Mapping[str, ZoneTracks]) -> dict[int, tuple[str, ...]]:
    """Return the zones on each track, in alphabetical order."""
    zones: dict[int, list[str]] = defaultdict(list)
    for name in sorted(by_zone):
        for track in by_zone[name].tracks:
            zones[track].append(name)
    return {track: tuple(names) for track, names in zones.items()}


def _offsets(machine: Machine, wiring: Wiring) -> dict[int, int]:
    tracks = {track for placed in wiring.by_zone.values() for track in placed.tracks}
    return {track: rows_ahead_of(machine, track) or 0 for track in sorted(tracks)}


def _gather(
    loop: Loop, marks: list[_Mark], wiring: Wiring, offsets: dict[int, int], machine: Machine
) -> tuple[tuple[Tape, ...], tuple[tuple[date, str], ...]]:
    """Gather marks into windows, windows with the same holes into tapes, tapes in order of first date."""
    punched: dict[date, dict[Place, list[_Mark]]] = defaultdict(lambda: defaultdict(list))
    dates: dict[date, set[date]] = defaultdict(set)
    for mark in marks:
        dates[mark.first].add(mark.ring.at.date())
        for track in wiring.by_zone[mark.ring.zone].tracks:
            row = row_of(mark.phase_s, loop.row_interval_s, offsets[track], loop.rows)
            punched[mark.first][row, track].append(mark)
    alike: dict[frozenset[Place], list[date]] = defaultdict(list)
    for first in sorted(punched):
        alike[frozenset(punched[first])].append(first)
    tapes: list[Tape] = []
    for number, windows in enumerate(alike.values()):
        served = tuple(sorted(day for first in windows for day in dates[first]))
        holes = _holes(loop, machine, [punched[first] for first in windows])
        tapes.append(Tape(letter_of(number), loop.rows, loop.row_interval_s, loop.cycle, served, holes))
    return tuple(tapes), tuple(sorted((day, tape.id) for tape in tapes for day in tape.dates))


def letter_of(number: int) -> str:
    """Return the letter of a tape counted from 0: A to Z, then AA, AB and so on."""
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _holes(loop: Loop, machine: Machine, windows: list[dict[Place, list[_Mark]]]) -> tuple[Hole, ...]:
    marks: dict[Place, list[_Mark]] = defaultdict(list)
    for window in windows:
        for place, some in window.items():
            marks[place] += some
    pitch = machine.pitch.amount if machine.pitch is not None else None
    return tuple(
        Hole(
            row,
            track,
            tuple(sorted({mark.ring.zone for mark in some})),
            passes_of(loop, some[0].phase_s),
            None if pitch is None else row * pitch,
            machine.tracks[track - 1].amount if machine.tracks else None,
            _because(some),
        )
        for (row, track), some in sorted(marks.items())
    )


def _because(marks: list[_Mark]) -> tuple[Span, ...]:
    spans = {span for mark in marks for reason in mark.ring.reasons for span in reason.spans}
    return tuple(sorted(spans, key=lambda span: (span.source.name, span.start, span.end)))


def _aliases(loop: Loop, machine: Machine, tapes: tuple[Tape, ...], calendar: RingCalendar) -> list[str]:
    if loop.cycle_s >= DAY:
        return []
    wanted = frozenset((ring.at.date(), _seconds_of_day(ring.at), ring.zone) for ring in calendar.rings)
    described = (describe_aliases(tape, machine, wanted) for tape in tapes)
    return [words for words in described if words is not None]


def _assumptions(loop: Loop, machine: Machine, wiring: Wiring, calendar: RingCalendar) -> list[str]:
    tracks = sorted({track for placed in wiring.by_zone.values() for track in placed.tracks})
    said = [
        f"How many rows ahead track {track} is read was not given; 0 was taken. A hole may stand rows away "
        "from where it must be."
        for track in tracks
        if rows_ahead_of(machine, track) is None
    ]
    if loop.cycle_s > 7 * DAY and calendar.rings:
        said.append(
            f"The loop lasts {loop.cycle_s // (7 * DAY)} weeks; its first week was counted from "
            f"{write_date(monday_of(_anchor(calendar)))}."
        )
    if any(ring.fold for ring in calendar.rings):
        said.append(
            "Some rings sound in the second pass of an hour that the clocks repeat. The tape passes a row "
            "only once in that night unless somebody sets it back."
        )
    return [*said, *wiring.unchecked]
