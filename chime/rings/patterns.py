"""What the pattern of a term gives on each date: week letters and cycle numbers.

Weeks in turn: each week is offered the next letter, and takes it unless it lies outside every term
or its block would ring but only on closed days. Cycles: each of the cycle's weekdays inside terms is
offered the next number; with `slip` a closed day takes none.
"""

from collections.abc import Callable
from datetime import date, timedelta
from typing import NamedTuple

from chime.clock import dates, week_start
from chime.diagnostics import Diagnostic
from chime.programme.model import CyclePattern, DayChoice, Programme, RotatingWeeks, Term, Week, WeekPattern
from chime.rings import ring_faults
from chime.rings.coverage import Coverage


class Given(NamedTuple):
    """What a pattern gives on a date: a timetable or silence (None), and its letter or number."""

    timetable: str | None
    label: str | None


Pattern = Callable[[date], Given]


def pattern_of(term: Term, programme: Programme, coverage: Coverage, faults: list[Diagnostic]) -> Pattern:
    """Return what a term's pattern gives on each of its dates."""
    weeks = {week.name: week for week in programme.weeks}
    if isinstance(term.pattern, WeekPattern):
        return _plain(weeks[term.pattern.week])
    if isinstance(term.pattern, RotatingWeeks):
        return _in_turn(term, term.pattern, weeks, coverage)
    return _cycle(term, term.pattern, programme, coverage, faults)


def _plain(week: Week) -> Pattern:
    given = [Given(choice.timetable, None) for choice in week.days]
    return lambda day: given[day.weekday()]


def _in_turn(term: Term, pattern: RotatingWeeks, weeks: dict[str, Week], coverage: Coverage) -> Pattern:
    letters: dict[date, tuple[Week, bool]] = {}
    turn = 0
    start = week_start(pattern.anchor, pattern.anchor)
    while start <= term.last:
        week = weeks[pattern.weeks[turn % len(pattern.weeks)]]
        takes = pattern.counts_every_week or _takes_letter(start, week, coverage)
        letters[start] = (week, takes)
        turn += takes
        start += timedelta(days=7)

    def given(day: date) -> Given:
        week, takes = letters[week_start(day, pattern.anchor)]
        return Given(week.days[day.weekday()].timetable, week.name if takes else None)

    return given


def _takes_letter(start: date, week: Week, coverage: Coverage) -> bool:
    days = dates(start, start + timedelta(days=6))
    if not any(coverage.term_of(day) for day in days):
        return False
    ringing = [day for day in days if week.days[day.weekday()].timetable is not None]
    return not ringing or not all(coverage.is_closed(day, pattern_rings=True) for day in ringing)


def _cycle(
    term: Term, pattern: CyclePattern, programme: Programme, coverage: Coverage, faults: list[Diagnostic]
) -> Pattern:
    cycle = next(c for c in programme.cycles if c.name == pattern.cycle)
    numbers: dict[date, tuple[int, bool]] = {}
    turn = pattern.first_day - 1
    for day in dates(pattern.anchor, term.last):
        if day.weekday() not in cycle.weekdays or coverage.term_of(day) is None:
            continue
        number = turn % len(cycle.days)
        is_closed = coverage.is_closed(day, pattern_rings=_rings(cycle.days[number]))
        if is_closed and pattern.closed_days is None:
            _note_undeclared(pattern, day, coverage, faults)
        takes = not is_closed or pattern.closed_days == "skip"
        numbers[day] = (number, takes)
        turn += takes

    def given(day: date) -> Given:
        if day not in numbers:
            return Given(None, None)
        number, takes = numbers[day]
        return Given(cycle.days[number].timetable, f"day {number + 1}" if takes else None)

    return given


def _rings(choice: DayChoice) -> bool:
    return choice.timetable is not None


def _note_undeclared(pattern: CyclePattern, day: date, coverage: Coverage, faults: list[Diagnostic]) -> None:
    if not any(
        f.code is ring_faults.CLOSED_DAY_UNDECLARED and f.primary and f.primary.span == pattern.span
        for f in faults
    ):
        closers = [s.special.span for s in coverage.on(day)]
        faults.append(ring_faults.closed_day_undeclared(pattern.span, day, closers))
