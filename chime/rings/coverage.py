"""Which exceptions stand on which date, and which dates are closed.

A date is closed when an exception makes all of it silent, or when it lies outside every term.
Closures alone settle week letters and cycle numbers. A line for one date acts whatever the pattern
says; a range, public holidays and imported days pass by the days that the pattern leaves silent; an
`every` passes by the days that another kind of line closes and none opens again.
"""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import NamedTuple

from chime.clock import dates
from chime.programme.model import (
    AsUsual,
    DateRange,
    EveryWeekday,
    Holidays,
    ImportedDays,
    OneDate,
    Programme,
    Replace,
    SpecialDays,
    Term,
    When,
)


class Stands(NamedTuple):
    """An exception on one of its dates; `name` is the holiday's or the imported entry's."""

    special: SpecialDays
    name: str | None

    @property
    def said(self) -> str | None:
        """The reason as it is shown: what is written, else the name of the day."""
        return self.special.reason or self.name


class Coverage(NamedTuple):
    """The exceptions by date, the terms, and the dates that something closes."""

    by_date: dict[date, list[Stands]]
    terms: tuple[Term, ...]
    first: date
    last: date

    def on(self, day: date) -> list[Stands]:
        """Return the exceptions that stand on a date, whether or not they act."""
        return self.by_date.get(day, [])

    def term_of(self, day: date) -> Term | None:
        """Return the term of a date."""
        return next((term for term in self.terms if term.first <= day <= term.last), None)

    def passes_by(self, stands: Stands, day: date) -> bool:
        """Say whether an `every` passes a date by, for another line closes it and none opens it."""
        if not isinstance(stands.special.when, EveryWeekday):
            return False
        others = [s for s in self.on(day) if not isinstance(s.special.when, EveryWeekday)]
        closes = any(_closes(s) for s in others)
        return closes and not any(_opens(s) for s in others)

    def is_closed(self, day: date, *, pattern_rings: bool) -> bool:
        """Say whether a date is closed, given whether its pattern would ring on it."""
        if self.term_of(day) is None:
            return True
        here = self.by_date.get(day)
        if not here or any(isinstance(s.special.special, AsUsual) for s in here):
            return False
        return any(
            _closes(s) and (pattern_rings or is_for_itself(s.special.when)) and not self.passes_by(s, day)
            for s in here
        )


def is_for_itself(when: When) -> bool:
    """Say whether a line acts whatever the pattern says: one date, or `every`."""
    return isinstance(when, OneDate | EveryWeekday)


def _closes(stands: Stands) -> bool:
    special = stands.special.special
    return isinstance(special, Replace) and special.timetable is None


def _opens(stands: Stands) -> bool:
    special = stands.special.special
    if isinstance(special, AsUsual):
        return True
    return isinstance(special, Replace) and special.instead and special.timetable is not None


def cover(programme: Programme) -> Coverage:
    """Return the exceptions of a programme by date; dates outside every term are left out."""
    terms = programme.terms
    by_date: dict[date, list[Stands]] = {}
    for special in programme.specials:
        for day, name in dates_of(special.when):
            if any(term.first <= day <= term.last for term in terms):
                by_date.setdefault(day, []).append(Stands(special, name))
    return Coverage(by_date, terms, terms[0].first, terms[-1].last)


def dates_of(when: When) -> Iterable[tuple[date, str | None]]:
    """Yield every date that a line stands on, with the day's own name if it has one."""
    if isinstance(when, OneDate):
        return [(when.day, None)]
    if isinstance(when, DateRange):
        return [(day, None) for day in dates(when.first, when.last)]
    if isinstance(when, EveryWeekday):
        start = when.first + timedelta(days=(when.weekday - when.first.weekday()) % 7)
        return [(day, None) for day in dates(start, when.last)[::7]] if start <= when.last else []
    assert isinstance(when, Holidays | ImportedDays)
    return [(day, name) for day, name in when.days]
