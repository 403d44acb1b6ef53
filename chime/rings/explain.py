"""What became of one time, or of one date, and by which lines."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Literal

from chime import zone_time
from chime.clock import DAY, moment
from chime.diagnostics import Span
from chime.programme.model import (
    CyclePattern,
    Programme,
    Replace,
    RotatingWeeks,
    Term,
    Timetable,
    WeekPattern,
)
from chime.rings.changes import Ordered, Taken, change
from chime.rings.coverage import Coverage, Stands, cover
from chime.rings.day_model import Asked, DayStory, Displaced, Standing, Story
from chime.rings.model import Day, DayRing, Removed, Ring, RingCalendar
from chime.rings.plain_days import plain_day
from chime.rings.shapes import Mark, Shape, causes, reading, warning_reading, warnings_of
from chime.rings.timetables import Shapes, work_out

_DAYS_BEFORE = (0, 1)
"""A time of the clock lies in the timetable of its own date, or past 24:00 in that of the day before."""


class _Explainer:
    """Looks one time up in everything that is known of it."""

    def __init__(self, programme: Programme, calendar: RingCalendar, at: datetime) -> None:
        self.programme, self.calendar, self.at = programme, calendar, at
        self.clocks = zone_time.kind(programme.place, at)
        self.shapes = work_out(programme).shapes
        self.days = {day.day: day for day in calendar.days}
        self.removed = _with_warnings(calendar, self.shapes, self.days)
        self.programmes = {found.number: found for found in calendar.programmes}

    def story(self, zone: str) -> Story:
        rings = tuple(r for r in self.calendar.rings if r.zone == zone and r.at == self.at)
        silenced = tuple(s for s in self.calendar.silenced if s.ring.zone == zone and s.ring.at == self.at)
        removed = [r for r in self.removed if r.zone == zone and r.at == self.at]
        displaced = tuple(self._displaced(zone))
        if not (rings or silenced or removed or displaced):
            removed += self._left_out(zone)
        return Story(
            zone,
            rings,
            silenced,
            tuple(removed),
            displaced,
            tuple(self._in_missing_hour(zone)),
            bool(rings) and not any(self._day_rings(zone)),
            self._nearest(zone),
            self._next_night(zone),
        )

    def _service_days(self) -> Iterator[tuple[Day, int]]:
        """Yield the days whose timetables can ring at the time asked for, with their own seconds of it."""
        for before in _DAYS_BEFORE:
            start = self.at.date() - timedelta(days=before)
            if start in self.days:
                yield self.days[start], round((self.at - moment(start, 0)).total_seconds())

    # --------------------------------------------------------------- what is gone

    def _left_out(self, zone: str) -> Iterator[Removed]:
        """Yield what a line of the timetable itself took away from the timetable that it starts from."""
        declared = {timetable.name: timetable for timetable in self.programme.timetables}
        for day, _ in self._service_days():
            timetable = declared[day.runs] if day.runs is not None else None
            found: list[Removed] = []
            while timetable is not None and timetable.like is not None and not found:
                base = self.shapes[timetable.like]
                changes = [Ordered(change_, None) for change_ in timetable.changes]
                shape = Shape(base.marks, self.shapes[timetable.name].each)
                taken = [_removed(day.day, one, shape) for one in change(shape, changes).taken]
                taken.append(_no_longer_given(day.day, timetable, base))
                found = [one for group in taken for one in group if (one.at, one.zone) == (self.at, zone)]
                timetable = declared[timetable.like]
            yield from found

    def _displaced(self, zone: str) -> Iterator[Displaced]:
        """Yield what the pattern's timetable would have rung on a day that runs another, or nothing."""
        for day, seconds in self._service_days():
            if day.pattern is None or day.pattern == day.runs:
                continue
            for ring in plain_day(self.programme, self.shapes, day.pattern).rings:
                if ring.zone == zone and ring.at == seconds:
                    yield Displaced(day, ring, day.pattern)

    def _in_missing_hour(self, zone: str) -> Iterator[DayRing]:
        """Yield the rings of a missing hour that the programme rings at another time."""
        if self.programme.clocks.missing == "ring" and self.clocks == "missing":
            yield from self._day_rings(zone)

    def _day_rings(self, zone: str) -> Iterator[DayRing]:
        """Yield what the day programmes ring at the time asked for, before the clocks are looked at."""
        for day, seconds in self._service_days():
            if day.programme is not None:
                for ring in self.programmes[day.programme].rings:
                    if ring.zone == zone and ring.at == seconds:
                        yield ring

    # -------------------------------------------------------------------- nearest

    def _nearest(self, zone: str) -> tuple[Ring | None, Ring | None]:
        rings = [ring for ring in self.calendar.rings if ring.zone == zone and ring.at != self.at]
        today = [ring for ring in rings if ring.at.date() == self.at.date()] or rings
        before = [ring for ring in today if ring.at < self.at]
        after = [ring for ring in today if ring.at > self.at]
        return before[-1] if before else None, after[0] if after else None

    def _next_night(self, zone: str) -> Ring | None:
        """Return the ring of the night that begins on the date asked for, at the same time of the clock."""
        at, service = self.at + timedelta(seconds=DAY), self.at.date()
        found = (ring for ring in self.calendar.rings if ring.zone == zone and ring.at == at)
        return next((ring for ring in found if service in ring.service_days), None)


def explain_time(
    programme: Programme, calendar: RingCalendar, day: date, seconds: int, zones: Sequence[str]
) -> Asked:
    """Return what became of a time of a date in some zones; one past 24:00 is next morning."""
    at = moment(day, seconds)
    explainer = _Explainer(programme, calendar, at)
    of_day = explain_day(programme, calendar, at.date())
    return Asked(day, seconds, at, explainer.clocks, of_day, tuple(map(explainer.story, zones)))


def _removed(day: date, taken: Taken, shape: Shape) -> Iterator[Removed]:
    """Yield a mark that a change took from its time, and the warnings that went with it."""
    mark, by, to = taken.mark, taken.ordered.change.span, taken.to
    gone = moment(day, to) if to is not None else None
    removed = Removed(moment(day, mark.at), mark.zone, reading(mark), mark.spans[0], by, None, gone)
    yield removed
    yield from _warnings_of(removed, mark, shape)


def _no_longer_given(day: date, timetable: Timetable, base: Shape) -> Iterator[Removed]:
    """Yield what the periods of the base rang by its `each period` line, and not by the timetable's own."""
    own = timetable.each_period
    for mark in base.marks if own is not None and own != base.each else ():
        now = {at for at, *_ in causes(Shape((mark,), own))}
        for at, zone, _, reason in causes(Shape((mark,), base.each)):
            if at not in now:
                assert own is not None
                yield Removed(moment(day, at), zone, reason.label, mark.spans[0], own.span, None, None)


def _with_warnings(calendar: RingCalendar, shapes: Shapes, days: Mapping[date, Day]) -> tuple[Removed, ...]:
    """Return everything that exceptions took from its time, with the warnings that went with it."""
    found = []
    for removed in calendar.removed:
        found.append(removed)
        for before in _DAYS_BEFORE:
            day = days.get(removed.at.date() - timedelta(days=before))
            if day is None or day.runs is None:
                continue
            shape = shapes[day.runs]
            for mark in shape.marks:
                own = (moment(day.day, mark.to), mark.zone, mark.spans[0], reading(mark))
                if own == (removed.at, removed.zone, removed.span, removed.label):
                    found += _warnings_of(removed, mark, shape)
    return tuple(found)


def _warnings_of(removed: Removed, mark: Mark, shape: Shape) -> Iterator[Removed]:
    for _, seconds in warnings_of(mark, shape.each):
        before = timedelta(seconds=seconds)
        to = removed.to - before if removed.to is not None else None
        yield removed._replace(at=removed.at - before, label=warning_reading(mark, seconds), to=to)


# ------------------------------------------------------------------ a whole date


def explain_day(programme: Programme, calendar: RingCalendar, day: date) -> DayStory:
    """Return the whole story of a date; outside every term there is little to tell."""
    coverage = cover(programme)
    found = next((d for d in calendar.days if d.day == day), None)
    term = coverage.term_of(day)
    line = _pattern_line(programme, term, found) if term is not None and found is not None else None
    standing = tuple(_standing(calendar, found, coverage)) if found is not None else ()
    rings = tuple(ring for ring in calendar.rings if day in (ring.at.date(), *ring.service_days))
    silenced = tuple(one for one in calendar.silenced if one.ring.at.date() == day)
    heard = {(ring.at, ring.zone) for ring in rings} | {(one.ring.at, one.ring.zone) for one in silenced}
    taken = _with_warnings(calendar, work_out(programme).shapes, {d.day: d for d in calendar.days})
    gone = tuple(one for one in taken if one.at.date() == day and (one.at, one.zone) not in heard)
    return DayStory(day, found, line, standing, rings, silenced, gone)


def _pattern_line(programme: Programme, term: Term, day: Day) -> Span | None:
    """Return the line of the week or the cycle that answers a date; None if it takes no letter or number."""
    pattern = term.pattern
    if isinstance(pattern, WeekPattern | RotatingWeeks):
        name = pattern.week if isinstance(pattern, WeekPattern) else day.label
        week = next((w for w in programme.weeks if w.name == name), None)
        return week.days[day.day.weekday()].span if week is not None else None
    assert isinstance(pattern, CyclePattern)
    if day.label is None:
        return None
    cycle = next(c for c in programme.cycles if c.name == pattern.cycle)
    return cycle.days[int(day.label.removeprefix("day ")) - 1].span


def _standing(calendar: RingCalendar, day: Day, coverage: Coverage) -> Iterator[Standing]:
    acting = {acts.span for acts in day.acting}
    passed = {by.span for by in calendar.passed_by if day.day in by.days}
    here = coverage.on(day.day)
    for stands in sorted(here, key=lambda s: (s.special.span.source.path, s.special.span.start)):
        yield Standing(stands.special, stands.said, _role(stands, acting, passed, day))


def _role(
    stands: Stands, acting: set[Span], passed: set[Span], day: Day
) -> Literal["acts", "passed by", "overruled", "idle"]:
    special = stands.special
    if special.span in acting:
        return "acts"
    if special.span in passed:
        return "passed by"
    settled = any(acts.kind in ("replace", "as usual") for acts in day.acting)
    return "overruled" if settled and isinstance(special.special, Replace) else "idle"
