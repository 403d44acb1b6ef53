"""What the pattern of a term gives on each date: week letters and cycle numbers.

Weeks in turn: a week takes the letter that is next, unless it has no date in any term, or all the days
are closed on which its block has bells. Cycles: each of the cycle's weekdays inside terms is
offered the next number; with `slip` a closed day takes none.

Where a programme has errors it may not be known whether a day is closed: from there on the letters and
numbers are not known either, nor what runs.
"""

from collections.abc import Callable
from datetime import date, timedelta

from chime.clock import dates, week_start
from chime.diagnostics import Diagnostic
from chime.programme.model import (
    Cycle,
    CyclePattern,
    DayChoice,
    Programme,
    RotatingWeeks,
    Term,
    UnknownPattern,
    Week,
    WeekPattern,
)
from chime.records import NamedTuple
from chime.rings import ring_faults
from chime.rings.coverage import Coverage


class Given(NamedTuple):
    """What a pattern gives on a date: a timetable or silence (None), and its letter or number."""

    timetable: str | None
    label: str | None
    is_known: bool = True


Pattern = Callable[[date], Given]


_SILENT = Given(None, None)
_NOT_KNOWN = Given(None, None, is_known=False)


def pattern_of(term: Term, programme: Programme, coverage: Coverage, faults: list[Diagnostic]) -> Pattern:
    """Return what a term's pattern gives on each of its dates."""
    weeks = {week.name: week for week in programme.weeks}
    if isinstance(term.pattern, UnknownPattern) or term.label in coverage.unsure.patterns:
        return lambda _: _NOT_KNOWN
    if isinstance(term.pattern, WeekPattern):
        return _plain(weeks[term.pattern.week], coverage)
    if isinstance(term.pattern, RotatingWeeks):
        return _in_turn(term, term.pattern, weeks, coverage)
    return _cycle(term, term.pattern, programme, coverage, faults)


def _plain(week: Week, coverage: Coverage) -> Pattern:
    given = [
        Given(choice.timetable, None, (week.name, weekday) not in coverage.unsure.weekdays)
        for weekday, choice in enumerate(week.days)
    ]
    return lambda day: given[day.weekday()]


def _in_turn(term: Term, pattern: RotatingWeeks, weeks: dict[str, Week], coverage: Coverage) -> Pattern:
    runs = {name: _plain(weeks[name], coverage) for name in pattern.weeks}
    letters: dict[date, tuple[str, bool]] = {}
    turn = 0
    start = week_start(pattern.anchor, pattern.anchor)
    while start <= term.last:
        name = pattern.weeks[turn % len(pattern.weeks)]
        takes = pattern.counts_every_week or _takes_letter(start, weeks[name], coverage)
        letters[start] = (name, bool(takes))
        if takes is None:
            break
        turn += takes
        start += timedelta(days=7)

    def given(day: date) -> Given:
        found = letters.get(week_start(day, pattern.anchor))
        if found is None:
            return _NOT_KNOWN
        name, takes = found
        return runs[name](day)._replace(label=name if takes else None)

    return given


def _takes_letter(start: date, week: Week, coverage: Coverage) -> bool | None:
    days = dates(start, start + timedelta(days=6))
    if not any(coverage.term_of(day) for day in days):
        return None if coverage.unsure.terms else False
    rings, is_sure = False, True
    for day in days:
        if (week.name, day.weekday()) in coverage.unsure.weekdays:
            is_sure = False
        elif _rings(week.days[day.weekday()]):
            rings = True
            is_closed = coverage.is_closed(day, pattern_rings=True)
            if is_closed is False:
                return True
            is_sure = is_sure and is_closed is True
    return not rings if is_sure else None


class _Numbers(NamedTuple):
    """The number (from 0) of each date of a cycle, and whether it takes it; not known from `until` on."""

    given: dict[date, tuple[int, bool]]
    until: date


def _cycle(
    term: Term, pattern: CyclePattern, programme: Programme, coverage: Coverage, faults: list[Diagnostic]
) -> Pattern:
    cycle = next(c for c in programme.cycles if c.name == pattern.cycle)
    numbers = _number(term, pattern, cycle, coverage, faults)

    def given(day: date) -> Given:
        if day not in numbers.given:
            return _NOT_KNOWN if day >= numbers.until and day.weekday() in cycle.weekdays else _SILENT
        number, takes = numbers.given[day]
        is_known = (cycle.name, number) not in coverage.unsure.cycle_days
        return Given(cycle.days[number].timetable, f"day {number + 1}" if takes else None, is_known)

    return given


def _number(
    term: Term, pattern: CyclePattern, cycle: Cycle, coverage: Coverage, faults: list[Diagnostic]
) -> _Numbers:
    given: dict[date, tuple[int, bool]] = {}
    turn = pattern.first_day - 1
    for day in dates(pattern.anchor, term.last):
        if day.weekday() not in cycle.weekdays or coverage.term_of(day) is None:
            continue
        number = turn % len(cycle.days)
        is_closed = _is_closed(cycle, number, day, coverage)
        takes = is_closed is False or pattern.closed_days == "skip"
        given[day] = (number, takes)
        if is_closed is True and pattern.closed_days is None:
            closers = [s.special.span for s in coverage.on(day)]
            faults.append(ring_faults.closed_day_undeclared(pattern.span, day, closers))
        if not takes and (is_closed is None or pattern.closed_days is None):
            return _Numbers(given, day)
        turn += takes
    return _Numbers(given, date.max)


def _is_closed(cycle: Cycle, number: int, day: date, coverage: Coverage) -> bool | None:
    """Say whether a date of a cycle is closed; one of which the timetable is not known may ring or not."""
    is_known = (cycle.name, number) not in coverage.unsure.cycle_days
    rings = {_rings(cycle.days[number])} if is_known else {True, False}
    found = {coverage.is_closed(day, pattern_rings=each) for each in rings}
    return found.pop() if len(found) == 1 else None


def _rings(choice: DayChoice) -> bool:
    return choice.timetable is not None
