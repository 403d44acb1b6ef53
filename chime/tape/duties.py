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
    forget_off,
    forget_on,
    forget_position,
    missed_by,
)
from chime.tape.hand_silences import Silence
from chime.tape.local_clock import (
    EPOCH,
    LocalClock,
    date_of,
    fold_of,
    midnight,
    to_instant,
    to_local,
)
from chime.tape.masks import masks_of
from chime.tape.model import DayPlan, DaySilence, Duty, DutyKind, GateSetting, Moment, Operation, RingAt
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
    opens: Silence | None
    closes: Silence | None
    forget: Forget


class Setting(NamedTuple):
    """What is set once: the selector's position, the tracks that each zone hears, and the gate."""

    position: int | None
    wiring: tuple[tuple[str, tuple[int, ...]], ...]
    gate: GateSetting | None


def write_operation(
    operated: Operated, machine: Machine, calendar: RingCalendar, setting: Setting
) -> Operation:
    """Put all duties in order of their beginning, and give each date its tape and silences."""
    course = operated.course
    outlook = Outlook(
        course,
        {stay.tape: stay.phases for stay in operated.stays},
        operated.fits,
        operated.corrections,
        operated.silences,
    )
    reasons = read_reasons(calendar)
    drafts = sorted(
        [
            *_place_selector(outlook, setting),
            *_fit(outlook),
            *_correct(outlook),
            *_silence(outlook, reasons),
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
    fits = {draft.within: f"D{n}" for n, draft in enumerate(drafts, start=1) if draft.do == "fit tape"}
    days = _days(operated, machine, by_hand, fits)
    return Operation(setting.position, setting.wiring, setting.gate, days, tuple(duties))


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


def _place_selector(outlook: Outlook, setting: Setting) -> list[_Draft]:
    if setting.position is None:
        return []
    first = outlook.fits[0]
    return [
        _Draft(
            first.within,
            "position",
            f"selector to position {setting.position}",
            "it wires every zone that rings",
            None,
            None,
            None,
            None,
            forget_position,
        )
    ]


def _fit(outlook: Outlook) -> list[_Draft]:
    drafts = []
    for number, fit in enumerate(outlook.fits):
        instead = "" if fit.old is None else f" in place of tape {fit.old}"
        day = date_of(to_local(outlook.course.clock, fit.first_ring))

        def forget(outlook: Outlook, number: int = number) -> Missed:
            return forget_fit(outlook, number)

        reason = f"the rings of {write_date(day)} need it"
        what = f"fit tape {fit.tape}{instead}"
        drafts.append(_Draft(fit.within, "fit tape", what, reason, None, fit.tape, None, None, forget))
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
            _Draft(correction.within, "correct clocks", what, reason, None, None, None, None, forget)
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

        drafts.append(_Draft(silence.off, off, f"{name} off", reason, zone, None, silence, None, forget))
        if silence.on is not None:
            drafts.append(
                _Draft(silence.on, on, f"{name} on", reason, zone, None, None, silence, forget_again)
            )
    return drafts


def _days(
    operated: Operated,
    machine: Machine,
    by_hand: Iterable[tuple[Silence, str, str]],
    fits: Mapping[Stretch, str],
) -> tuple[DayPlan, ...]:
    course = operated.course
    silenced: dict[date, list[DaySilence]] = {day: [] for day, _ in operated.tape_by_date}
    for day, found in silenced.items():
        found += _by_machine(machine, day)
    for day, found in _by_tape_changes(operated, fits).items():
        silenced[day] += found
    for silence, duty, reason in by_hand:
        start, end = silence.off[1], course.end if silence.on is None else silence.on[0]
        for day in dates_of(course, start, end):
            if day in silenced:
                silenced[day].append(_on_date(course.clock, day, start, end, silence.zone, duty, reason))
    return tuple(
        DayPlan(day, tape, tuple(sorted(silenced[day], key=_in_order))) for day, tape in operated.tape_by_date
    )


def _by_tape_changes(operated: Operated, fits: Mapping[Stretch, str]) -> dict[date, list[DaySilence]]:
    """Return the stretches of dates in which the tape of the date is not on: not yet, or no more."""
    clock, tapes = operated.course.clock, dict(operated.tape_by_date)
    found: dict[date, list[DaySilence]] = {}
    for since, fit in zip(operated.sinces, operated.fits, strict=True):
        day = date_of(to_local(clock, since))
        if to_local(clock, since) % DAY == 0 or day not in tapes:
            continue
        ends = [to_instant(clock, midnight(day + timedelta(days=n))) for n in (0, 1)]
        start, end, reason = (
            (ends[0], since, f"tape {fit.tape} is not on yet")
            if tapes[day] == fit.tape
            else (since, ends[1], f"tape {fit.tape} is on already")
        )
        silence = _on_date(clock, day, start, end, None, fits[fit.within], reason)
        found.setdefault(day, []).append(silence._replace(by="tape change"))
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
