"""Which exceptions stand on which date, and which dates are closed.

A date is closed if it is in no term, or if a line takes its whole day away. Nothing else decides on
week letters and cycle numbers. A line that names one date is used in any case. Ranges, public holidays
and imported days are used only where the pattern has bells. An `every` is not used where another kind
of line closes the day for good.

Where a programme has errors, some of this cannot be known: the answer is then None.
"""

from collections.abc import Iterable
from datetime import date, timedelta

from chime.clock import dates
from chime.programme.model import (
    SURE,
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
    Unsure,
    When,
)
from chime.records import NamedTuple


class Stands(NamedTuple):
    """An exception on one of its dates; `name` is the holiday's or the imported entry's."""

    special: SpecialDays
    name: str | None

    @property
    def said(self) -> str | None:
        """The reason as it is shown: what is written, else the name of the day."""
        return self.special.reason or self.name


class Coverage(NamedTuple):
    """The exceptions by date, the terms, and the dates that something closes.

    `every_passes` are the dates that every `every` passes by, for another line closes them and none opens
    them again.
    """

    by_date: dict[date, list[Stands]]
    by_term: dict[date, Term]
    every_passes: frozenset[date]
    first: date
    last: date
    unsure: Unsure

    def on(self, day: date) -> list[Stands]:
        """Return the exceptions that stand on a date, whether or not they act."""
        return self.by_date.get(day, [])

    def term_of(self, day: date) -> Term | None:
        """Return the term of a date."""
        return self.by_term.get(day)

    def passes_by(self, stands: Stands, day: date) -> bool | None:
        """Say whether an `every` passes a date by, for another line closes it and none opens it."""
        if not isinstance(stands.special.when, EveryWeekday):
            return False
        return None if day in self.unsure.running else day in self.every_passes

    def is_closed(self, day: date, *, pattern_rings: bool) -> bool | None:
        """Say whether a date is closed, given whether its pattern would ring on it."""
        if day not in self.by_term:
            return None if self.unsure.terms else True
        if day in self.unsure.closing:
            return None
        here = self.by_date.get(day)
        if not here or any(isinstance(s.special.special, AsUsual) for s in here):
            return False
        acting = [s for s in here if pattern_rings or is_for_itself(s.special.when)]
        acting = [s for s in acting if self.passes_by(s, day) is not True]
        closing = [s for s in acting if _closes(s)]
        if not closing:
            return False
        is_sure = any(self.passes_by(s, day) is False for s in closing) and not _do_clash(acting)
        return True if is_sure else None


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


def _do_clash(acting: list[Stands]) -> bool:
    """Say whether lines replace a date in different ways: then one of them is a mistake."""
    replacing = [s.special.special for s in acting if isinstance(s.special.special, Replace)]
    winning = [replace for replace in replacing if replace.instead] or replacing
    return len({replace.timetable for replace in winning}) > 1


def cover(programme: Programme, unsure: Unsure = SURE) -> Coverage:
    """Return the exceptions of a programme by date; dates outside every term are left out."""
    terms = programme.terms
    by_term: dict[date, Term] = {}
    for term in reversed(terms):
        by_term.update((day, term) for day in dates(term.first, term.last))
    by_date: dict[date, list[Stands]] = {}
    for special in programme.specials:
        for day, name in dates_of(special.when):
            if day in by_term:
                by_date.setdefault(day, []).append(Stands(special, name))
    passed = frozenset(day for day, here in by_date.items() if _every_passes(here))
    return Coverage(by_date, by_term, passed, terms[0].first, terms[-1].last, unsure)


def leave_out(coverage: Coverage, special: SpecialDays) -> Coverage:
    """Return the same without one exception."""
    own = [day for day, _ in dates_of(special.when) if day in coverage.by_date]
    here = {day: [s for s in coverage.on(day) if s.special.span != special.span] for day in own}
    passed = (coverage.every_passes - set(own)) | {day for day in own if _every_passes(here[day])}
    return coverage._replace(by_date={**coverage.by_date, **here}, every_passes=passed)


def _every_passes(here: list[Stands]) -> bool:
    """Say whether a date is closed by a line of another kind than `every`, and opened by none."""
    others = [s for s in here if not isinstance(s.special.when, EveryWeekday)]
    return any(_closes(s) for s in others) and not any(_opens(s) for s in others)


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
