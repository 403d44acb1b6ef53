"""Bells inside a closure that somebody may have meant: a date the closure spans, yet something rings."""

from collections.abc import Iterator
from datetime import date, timedelta

from chime.diagnostics import Span
from chime.programme.model import DateRange, Programme, Replace, SpecialDays
from chime.rings.coverage import dates_of
from chime.rings.day_model import BellsInside
from chime.rings.model import Day, Ring, RingCalendar

_ONE = timedelta(days=1)


def bells_inside_closures(programme: Programme, calendar: RingCalendar) -> tuple[BellsInside, ...]:
    """Return every date that a closure spans, or a weekend that touches it, on which bells ring."""
    days = {day.day: day for day in calendar.days if day.term is not None}
    rings: dict[date, list[Ring]] = {}
    for ring in calendar.rings:
        for day in {ring.at.date(), *ring.service_days}:
            rings.setdefault(day, []).append(ring)
    found: dict[date, BellsInside] = {}
    for closure in sorted(programme.specials, key=lambda s: (s.span.source.path, s.span.start)):
        if not isinstance(closure.special, Replace) or closure.special.timetable is not None:
            continue
        for day, name in dates_of(closure.when):
            if day not in days or day not in rings:
                continue
            inside = _inside(days[day], closure.span, closure.reason or name, rings[day])
            if inside is not None:
                found.setdefault(day, inside)
        for day in _weekends_beside(closure):
            if day in days and _own(day, rings.get(day, [])):
                beside = BellsInside(
                    day, closure.span, closure.reason, "weekend beside", None, len(_own(day, rings[day]))
                )
                found.setdefault(day, beside)
    return tuple(found[day] for day in sorted(found))


def _inside(day: Day, closure: Span, said: str | None, rings: list[Ring]) -> BellsInside | None:
    own = _own(day.day, rings)
    if not own and not day.is_closed:
        return None  # silent in the pattern anyway, so last night's rings belong there as on any such day
    if not own:
        return BellsInside(day.day, closure, said, "night before", rings[0].reasons[0].spans[0], len(rings))
    kinds = ("replace", "as usual") if day.runs is not None else ("add",)
    acting = (acts.span for acts in day.acting if acts.kind in kinds)
    by = next(acting, None)
    return BellsInside(day.day, closure, said, "exception", by, len(own)) if by is not None else None


def _own(day: date, rings: list[Ring]) -> list[Ring]:
    """Return the rings that a date's own timetable makes, those of the night before left out."""
    return [ring for ring in rings if day in ring.service_days]


def _weekends_beside(closure: SpecialDays) -> Iterator[date]:
    """Yield the Saturdays and Sundays that touch a range of dates."""
    when = closure.when
    if not isinstance(when, DateRange):
        return
    for start, step in ((when.first, -_ONE), (when.last, _ONE)):
        day = start + step
        while day.weekday() >= 5:
            yield day
            day += step
