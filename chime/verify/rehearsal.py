"""The rehearsal: the plan is played over every date and compared with the rings that are wanted.

It is played three times: by the dates as they are written, with every duty done as early as it may be, and
with every duty done as late. Each time what sounds must be exactly what is wanted. A duty can be left out, to
see what it is worth.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Literal

from chime import zone_time
from chime.diagnostics import Diagnostic
from chime.programme.equipment import Machine
from chime.programme.model import Programme
from chime.records import NamedTuple
from chime.rings.model import Ring, RingCalendar
from chime.tape.model import DaySilence, Duty, Moment, Operation, TapeSet
from chime.verify.faults import ring_extra, ring_missing
from chime.verify.machine_silence import MIDNIGHT, own_silences
from chime.verify.player import IsSilent, Score, Sound, hearers, play

Way = Literal["by date", "early", "late"]
WAYS: tuple[Way, ...] = ("by date", "early", "late")

BEFORE_DAYS = 7
"""The first duties may be done up to a week before the first date; the machine shows the right time then."""

_1970 = datetime(1970, 1, 1)
_NEVER = 1 << 62


class Stage(NamedTuple):
    """What a rehearsal is given: the machine, the place, the tapes and the plan, and the rings by instant."""

    machine: Machine
    place: str
    first: date
    tapes: TapeSet
    wanted: Mapping[Sound, Ring]


def the_plan_plays(programme: Programme, calendar: RingCalendar, tapes: TapeSet) -> list[Diagnostic]:
    """Find every way to play in which something is missing or too much; the first difference is shown."""
    machine = programme.machine
    if machine is None or not tapes.tapes:
        return [ring_missing(ring, "by date", len(calendar.rings)) for ring in calendar.rings[:1]]
    stage = set_up(programme, machine, calendar, tapes)
    found: list[Diagnostic] = []
    for way in WAYS:
        heard = rehearse(stage, way)
        missing, extra = sorted(set(stage.wanted) - heard), sorted(heard - set(stage.wanted))
        if missing:
            found.append(ring_missing(stage.wanted[missing[0]], way, len(missing)))
        if extra:
            at, _ = zone_time.local(stage.place, datetime.fromtimestamp(extra[0][0], UTC))
            found.append(ring_extra(extra[0][1], at, way, len(extra), machine))
    return found


def set_up(programme: Programme, machine: Machine, calendar: RingCalendar, tapes: TapeSet) -> Stage:
    """Put the rings at their instants."""
    place = programme.place
    wanted = {(_instant(place, ring.at, ring.fold), ring.zone): ring for ring in calendar.rings}
    return Stage(machine, place, calendar.days[0].day, tapes, wanted)


def rehearse(stage: Stage, way: Way, without: str | None = None) -> set[Sound]:
    """Return all that sounds when the plan is played in one way; `without` is a duty that is forgotten."""
    operation = stage.tapes.operation
    by_id = {tape.id: tape for tape in stage.tapes.tapes}
    score, silent = _write_score(stage, operation, way, without)
    monday = stage.first - timedelta(days=stage.first.weekday())
    hearing = {wired.position: hearers(stage.machine, wired.zones) for wired in operation.wirings}
    heard = play(score, by_id, stage.machine, hearing, _dial(monday), silent)
    return heard | (_rung_by_date(stage) if way == "by date" else _rung_by_duty(stage, without))


def _rung_by_date(stage: Stage) -> set[Sound]:
    """Return what a hand rings by the dates of the plan, whatever is silenced then."""
    return {
        (_instant(stage.place, _midnight(plan.day) + timedelta(seconds=ring.time), ring.fold), ring.zone)
        for plan in stage.tapes.operation.days
        for ring in plan.by_hand
    }


def _rung_by_duty(stage: Stage, without: str | None) -> set[Sound]:
    return {
        (_at(stage, duty.begins), duty.zone)
        for duty in stage.tapes.operation.duties
        if duty.do == "ring" and duty.zone is not None and duty.id != without
    }


def _dial(day: date) -> int:
    return (day - _1970.date()).days * MIDNIGHT


def _instant(place: str, at: datetime, fold: int) -> int:
    return round(zone_time.instant(place, at, fold).timestamp())


def _at(stage: Stage, moment: Moment) -> int:
    return _instant(stage.place, moment.at, moment.fold)


def _write_score(stage: Stage, operation: Operation, way: Way, without: str | None) -> tuple[Score, IsSilent]:
    duties = [duty for duty in operation.duties if duty.id != without]
    done = {duty.id: _at(stage, duty.ends if way == "late" else duty.begins) for duty in duties}
    end = _instant(stage.place, _midnight(operation.days[-1].day + timedelta(days=1)), 0)
    dials = _dials(stage, [done[duty.id] for duty in duties if duty.do == "correct clocks"], end)
    if way == "by date":
        midnights = [(_instant(stage.place, _midnight(plan.day), 0), plan) for plan in operation.days]
        tapes = [(at, plan.tape) for at, plan in midnights if plan.tape is not None]
        positions = [(at, plan.position) for at, plan in midnights]
        return Score(tapes, positions, dials, end), _silent_by_date(stage, operation)
    fitted = [(done[d.id], d.tape) for d in duties if d.do == "fit tape" and d.tape is not None]
    moved = [(done[d.id], d.position) for d in duties if d.do == "position"]
    is_set = any(wired.position is not None for wired in operation.wirings)
    # A selector that nobody has set may stand anywhere: nothing is heard until somebody does.
    positions = sorted(moved) if is_set else [(0, None)]
    return Score(fitted, positions, dials, end), _silent_by_duty(stage, operation.duties, done, way)


def _midnight(day: date) -> datetime:
    return datetime(day.year, day.month, day.day)


def _dials(stage: Stage, corrections: Sequence[int], end: int) -> list[tuple[int, int]]:
    """Return what the dial is ahead of UTC, from the start and from each correction on.

    A correction sets the dial to the time that is in force then; without one it goes on as it was.
    """
    start = _midnight(stage.first - timedelta(days=BEFORE_DAYS))
    at_start = zone_time.offset(stage.place, start)
    found = [(_instant(stage.place, start, 0), round(at_start.total_seconds()))]
    for at in sorted(corrections):
        there, fold = zone_time.local(stage.place, datetime.fromtimestamp(at, UTC))
        found.append((at, round(zone_time.offset(stage.place, there, fold).total_seconds())))
    return [(at, offset) for at, offset in found if at < end]


def _silent_by_date(stage: Stage, operation: Operation) -> IsSilent:
    """Return what the plan's dates say is silent, by machine or by hand."""
    clock = _clock(stage)
    spans = {
        _dial(plan.day): [(silence.zone, *_span(stage, plan.day, silence)) for silence in plan.silenced]
        for plan in operation.days
    }

    def is_silent(zone: str, at: int, dial: int) -> bool:
        del dial
        shown = at + _offset(clock, at)
        today = spans.get(shown - shown % MIDNIGHT, ())
        return any(since <= at < until and of in (None, zone) for of, since, until in today)

    return is_silent


def _span(stage: Stage, day: date, silence: DaySilence) -> tuple[int, int]:
    starts, ends = (_midnight(day) + timedelta(seconds=s) for s in (silence.starts, silence.ends))
    return (
        _instant(stage.place, starts, silence.starts_fold),
        _instant(stage.place, ends, silence.ends_fold),
    )


def _silent_by_duty(stage: Stage, duties: Iterable[Duty], done: Mapping[str, int], way: Way) -> IsSilent:
    """Return what the machine's block says is silent, and what the switches are when each is turned.

    A wheel and a time switch are taken to go by the machine's dial when duties are done early, and by the
    clock when they are done late: the plan must hold either way.
    """
    weekly = {
        weekday: [own for own in own_silences(stage.machine) if own.weekday == weekday]
        for weekday in range(7)
    }
    switched = _switched(duties, done)
    clock = _clock(stage)

    def is_silent(zone: str, at: int, dial: int) -> bool:
        shown = dial if way == "early" else at + _offset(clock, at)
        weekday, seconds = (shown // MIDNIGHT + 3) % 7, shown % MIDNIGHT
        by_itself = any(
            own.since <= seconds < own.until and own.zone in (None, zone) for own in weekly[weekday]
        )
        return by_itself or any(since <= at < until and of in (None, zone) for of, since, until in switched)

    return is_silent


def _switched(duties: Iterable[Duty], done: Mapping[str, int]) -> list[tuple[str | None, int, int]]:
    """Return when each switch is off, each turned as its duties say and whatever they mean to lift."""
    switches = ("bells off", "zone off", "bells on", "zone on")
    listed = [duty for duty in duties if duty.do in switches and duty.id in done]
    found: list[tuple[str | None, int, int]] = []
    off: dict[str | None, int] = {}
    for duty in sorted(listed, key=lambda duty: done[duty.id]):
        if duty.do in ("bells off", "zone off"):
            off.setdefault(duty.zone, done[duty.id])
        elif duty.zone in off:
            found.append((duty.zone, off.pop(duty.zone), done[duty.id]))
    return [*found, *((zone, since, _NEVER) for zone, since in off.items())]


def _clock(stage: Stage) -> list[tuple[int, int]]:
    """Return from which instant on the clock is how far ahead of UTC."""
    start = _midnight(stage.first - timedelta(days=BEFORE_DAYS))
    last = max(stage.tapes.operation.days, key=lambda plan: plan.day).day + timedelta(days=2)
    found = [(0, round(zone_time.offset(stage.place, start).total_seconds()))]
    for change in zone_time.changes(stage.place, start.date(), last):
        if change.instant.replace(tzinfo=None) > start:
            found.append((round(change.instant.timestamp()), change.offset_after))
    return found


def _offset(clock: Sequence[tuple[int, int]], at: int) -> int:
    offset = clock[0][1]
    for since, after in clock:
        if since <= at:
            offset = after
    return offset
