"""The duties of a plan in order, each with its words, and what is silenced on each date."""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Literal

from chime.clock import DAY, write_date, write_duration, write_time
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.rings.model import RingCalendar
from chime.tape.attendance import Stretch
from chime.tape.course import Course, Sounding
from chime.tape.forgotten import (
    Forget,
    Missed,
    Outlook,
    forget_correction,
    forget_fit,
    forget_move,
    forget_off,
    forget_on,
    missed_by,
)
from chime.tape.hand_silences import Silence
from chime.tape.local_clock import (
    EPOCH,
    LocalClock,
    date_of,
    fold_of,
    local_seconds,
    midnight,
    to_instant,
    to_local,
)
from chime.tape.masks import masks_of
from chime.tape.model import (
    DayPlan,
    DaySilence,
    Duty,
    DutyKind,
    GateSetting,
    HandRing,
    Moment,
    Operation,
    RingAt,
    Wired,
)
from chime.tape.operate import Operated, dates_of
from chime.tape.reasons import Reasons, read_reasons, why_silent


class _Draft(NamedTuple):
    """A duty without its number; `opens` is the silence that it begins, `closes` the one it ends."""

    within: Stretch
    do: DutyKind
    what: str
    reason: str
    zone: str | None
    tape: str | None
    position: int | None
    opens: Silence | None
    closes: Silence | None
    forget: Forget


class Setting(NamedTuple):
    """What is wired and set once: the tracks that each zone hears in each position, and the gate."""

    wirings: tuple[Wired, ...]
    gate: GateSetting | None


def write_operation(
    operated: Operated, machine: Machine, calendar: RingCalendar, setting: Setting
) -> Operation:
    """Put all duties in order of their beginning, and give each date its tape and silences."""
    course = operated.course
    outlook = Outlook(
        course,
        operated.phases,
        operated.changes,
        operated.corrections,
        operated.silences,
    )
    reasons = read_reasons(calendar)
    drafts = sorted(
        [
            *_change(outlook),
            *_correct(outlook),
            *_silence(outlook, reasons),
            *_ring(outlook),
        ],
        key=lambda draft: (draft.within, draft.do, draft.zone or "", draft.tape or ""),
    )
    numbers = {id(draft.opens): f"D{n}" for n, draft in enumerate(drafts, start=1) if draft.opens is not None}
    duties = [
        _duty(course, draft, f"D{n}", numbers, missed_by(draft.forget, outlook))
        for n, draft in enumerate(drafts, start=1)
    ]
    by_hand = [
        (silence, numbers[id(silence)], why_silent(course.clock, silence, reasons))
        for silence in operated.silences
    ]
    by_change: dict[tuple[DutyKind, Stretch], str] = {
        (draft.do, draft.within): f"D{n}"
        for n, draft in enumerate(drafts, start=1)
        if draft.do in ("fit tape", "position")
    }
    rung = {
        (draft.within[0], draft.zone): f"D{n}"
        for n, draft in enumerate(drafts, start=1)
        if draft.do == "ring"
    }
    days = _with_rings(course, _days(operated, machine, by_hand, by_change), rung)
    return Operation(setting.wirings, setting.gate, days, tuple(duties))


def _duty(course: Course, draft: _Draft, number: str, numbers: Mapping[int, str], missed: Missed) -> Duty:
    return Duty(
        number,
        draft.do,
        draft.what,
        _moment(course.clock, draft.within[0]),
        _moment(course.clock, draft.within[1]),
        draft.reason,
        draft.zone,
        draft.tape,
        draft.position,
        None if draft.closes is None else numbers[id(draft.closes)],
        _rings_at(course, missed.missing),
        _rings_at(course, missed.extra),
        missed.others,
    )


def _moment(clock: LocalClock, instant: int) -> Moment:
    return Moment(EPOCH + timedelta(seconds=to_local(clock, instant)), _fold(clock, instant))


def _fold(clock: LocalClock, instant: int) -> Literal[0, 1]:
    return 1 if fold_of(clock, instant) else 0


def _rings_at(course: Course, soundings: Iterable[Sounding]) -> tuple[RingAt, ...]:
    """Return soundings as the dial shows them; a ring that is wanted knows its own time."""
    found = []
    for instant, zone in soundings:
        ring = course.wanted.rings.get((instant, zone))
        at, fold = _moment(course.clock, instant) if ring is None else (ring.at, ring.fold)
        found.append(RingAt(at, fold, zone))
    return tuple(found)


def _change(outlook: Outlook) -> list[_Draft]:
    """Give a duty for each tape that is fitted and for each move of the selector."""
    moves = sum(change.moves for change in outlook.changes)
    drafts = []
    for number, change in enumerate(outlook.changes):
        (tape, position), old = change.new, change.old
        instead = "" if old is None else f" in place of tape {old[0]}"
        day = date_of(to_local(outlook.course.clock, change.first_ring))

        def forget(outlook: Outlook, number: int = number) -> Missed:
            return forget_fit(outlook, number)

        def forget_position(outlook: Outlook, number: int = number) -> Missed:
            return forget_move(outlook, number)

        reason = f"the rings of {write_date(day)} need it"
        if change.fits:
            what = f"fit tape {tape}{instead}"
            drafts.append(
                _Draft(change.within, "fit tape", what, reason, None, tape, None, None, None, forget)
            )
        if change.moves:
            what = f"selector to position {position}"
            why = reason if moves > 1 else "it wires every zone that rings"
            drafts.append(
                _Draft(
                    change.within, "position", what, why, None, None, position, None, None, forget_position
                )
            )
    return drafts


def _correct(outlook: Outlook) -> list[_Draft]:
    drafts = []
    for number, correction in enumerate(outlook.corrections):
        gained = correction.gained_s
        way = "forward" if gained > 0 else "back"
        day = date_of(to_local(outlook.course.clock, correction.change))

        def forget(outlook: Outlook, number: int = number) -> Missed:
            return forget_correction(outlook, number)

        # The bells may have to stay off, so what ends the correction is not "bells on".
        what = f"bells off, clocks and tape {write_duration(abs(gained))} {way}, each switch back as it was"
        reason = f"the clocks change on {write_date(day)}"
        drafts.append(
            _Draft(correction.within, "correct clocks", what, reason, None, None, None, None, None, forget)
        )
    return drafts


def _silence(outlook: Outlook, reasons: Reasons) -> list[_Draft]:
    drafts = []
    for silence in outlook.silences:
        reason = why_silent(outlook.course.clock, silence, reasons)
        zone = silence.zone
        name = "bells of every zone" if zone is None else f"bells of zone {zone}"
        off: DutyKind = "bells off" if zone is None else "zone off"
        on: DutyKind = "bells on" if zone is None else "zone on"

        def forget(outlook: Outlook, silence: Silence = silence) -> Missed:
            return forget_off(outlook, silence)

        def forget_again(outlook: Outlook, silence: Silence = silence) -> Missed:
            return forget_on(outlook, silence)

        drafts.append(
            _Draft(silence.off, off, f"{name} off", reason, zone, None, None, silence, None, forget)
        )
        if silence.on is not None:
            drafts.append(
                _Draft(silence.on, on, f"{name} on", reason, zone, None, None, None, silence, forget_again)
            )
    return drafts


def _ring(outlook: Outlook) -> list[_Draft]:
    """Give a duty for each ring that a hand gives, at its very time."""
    drafts = []
    for instant, zone in sorted(outlook.course.by_hand):
        ring = outlook.course.wanted.rings[instant, zone]

        def forget(_: Outlook, sounding: Sounding = (instant, zone)) -> Missed:
            return Missed((sounding,), ())

        what = f"ring {ring.signal} in zone {zone} for {ring.length_ms / 1000:g} s"
        reason = "no tape that is on gives it"
        drafts.append(_Draft((instant, instant), "ring", what, reason, zone, None, None, None, None, forget))
    return drafts


def _with_rings(
    course: Course, days: Iterable[DayPlan], duties: Mapping[tuple[int, str | None], str]
) -> tuple[DayPlan, ...]:
    """Give each date the rings of its hand."""
    rings: dict[date, list[HandRing]] = {}
    for sounding in sorted(course.by_hand):
        ring = course.wanted.rings[sounding]
        time = local_seconds(ring.at) % DAY
        rung = HandRing(time, ring.fold, ring.zone, ring.signal, duties[sounding])
        rings.setdefault(ring.at.date(), []).append(rung)
    return tuple(plan._replace(by_hand=tuple(rings.get(plan.day, ()))) for plan in days)


def _days(
    operated: Operated,
    machine: Machine,
    by_hand: Iterable[tuple[Silence, str, str]],
    by_change: Mapping[tuple[DutyKind, Stretch], str],
) -> tuple[DayPlan, ...]:
    course = operated.course
    silenced: dict[date, list[DaySilence]] = {day: [] for day, _ in operated.state_by_date}
    for day, found in silenced.items():
        found += _by_machine(machine, day)
    for day, found in _by_changes(operated, by_change).items():
        silenced[day] += found
    for silence, duty, reason in by_hand:
        start, end = silence.off[1], course.end if silence.on is None else silence.on[0]
        for day in dates_of(course, start, end):
            if day in silenced:
                silenced[day].append(_on_date(course.clock, day, start, end, silence.zone, duty, reason))
    return tuple(
        DayPlan(
            day,
            None if state is None else state[0],
            None if state is None else state[1],
            tuple(sorted(silenced[day], key=_in_order)),
        )
        for day, state in operated.state_by_date
    )


def _by_changes(
    operated: Operated, by_change: Mapping[tuple[DutyKind, Stretch], str]
) -> dict[date, list[DaySilence]]:
    """Return the stretches of dates in which what the date needs is not on: not yet, or no more."""
    clock, states = operated.course.clock, dict(operated.state_by_date)
    found: dict[date, list[DaySilence]] = {}
    for since, change in zip(operated.sinces, operated.changes, strict=True):
        day = date_of(to_local(clock, since))
        if to_local(clock, since) % DAY == 0 or day not in states:
            continue
        ends = [to_instant(clock, midnight(day + timedelta(days=n))) for n in (0, 1)]
        tape, position = change.new
        said = f"tape {tape} is on" if change.fits else f"the selector is in position {position}"
        is_late = states[day] == change.new
        start, end = (ends[0], since) if is_late else (since, ends[1])
        reason = f"{said.replace(' is ', ' is not ', 1)} yet" if is_late else f"{said} already"
        duty = by_change["fit tape" if change.fits else "position", change.within]
        silence = _on_date(clock, day, start, end, None, duty, reason)
        by: Literal["tape change", "selector move"] = "tape change" if change.fits else "selector move"
        found.setdefault(day, []).append(silence._replace(by=by))
    return found


def _in_order(silence: DaySilence) -> tuple[int, int, int, int, str, str]:
    zone = silence.zone or ""
    return silence.starts, silence.starts_fold, silence.ends, silence.ends_fold, zone, silence.by


def _by_machine(machine: Machine, day: date) -> list[DaySilence]:
    return [
        DaySilence(zone, mask.start, 0, mask.end, 0, mask.by, None, _said(mask.start, mask.end))
        for mask in masks_of(machine)
        if mask.weekday == day.weekday()
        for zone in (mask.zones if mask.zones is not None else (None,))
    ]


def _said(start: int, end: int) -> str:
    return "silent all day" if end - start == DAY else f"silent {write_time(start)} - {write_time(end)}"


def _on_date(
    clock: LocalClock, day: date, start: int, end: int, zone: str | None, duty: str, reason: str
) -> DaySilence:
    begins = max(start, to_instant(clock, midnight(day)))
    ends = min(end, to_instant(clock, midnight(day + timedelta(days=1))))
    starts_s, ends_s = (to_local(clock, each) - midnight(day) for each in (begins, ends))
    return DaySilence(zone, starts_s, _fold(clock, begins), ends_s, _fold(clock, ends), "hand", duty, reason)
