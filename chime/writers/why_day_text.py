"""The whole story of a date: its pattern, what stands on it, and what rings, is silenced or is gone."""

from collections.abc import Iterator
from datetime import datetime

from chime.clock import write_date
from chime.diagnostics import Span
from chime.programme.model import CyclePattern, Programme, RotatingWeeks, WeekPattern
from chime.rings.day_model import DayStory, Standing
from chime.rings.model import Day
from chime.writers.columns import fold, number, visible, zone_order
from chime.writers.why_words import Row, Words, clock, set_heading, set_rows

_ROLES = {
    "acts": "acts",
    "passed by": "passes by",
    "overruled": "overruled",
    "idle": "no effect",
}

Sounds = list[tuple[datetime, str]]
"""Times of the clock with their zones."""


def write_day_story(programme: Programme, story: DayStory) -> str:
    """Return a date as text."""
    told = _Told(Words(programme), story)
    lines = [*set_heading(told.heading()), *set_rows(told.rows()), *told.sounds()]
    return "\n".join(lines) + "\n"


class _Told:
    def __init__(self, words: Words, story: DayStory) -> None:
        self.words, self.story = words, story
        self.date = story.date
        self.zones = zone_order(words.programme)

    def heading(self) -> str:
        return f"{write_date(self.date)}: {self.words.day(self.story.day, self.date)}"

    # ------------------------------------------------------------- how it came about

    def rows(self) -> Iterator[Row]:
        day = self.story.day
        if day is None or day.term is None:
            return
        yield "pattern", self._pattern(day)
        for standing in self.story.standing:
            yield _ROLES[standing.role], self._standing(standing)
        if day.runs != day.pattern:
            yield "runs", day.runs or "nothing, the day is closed"
        yield "term", self._term_line()

    def _pattern(self, day: Day) -> str:
        said = day.pattern or "silent"
        line = self.story.pattern_line
        if line is not None:
            return f"{said}, {self.words.line(line)}"
        term = next(t for t in self.words.programme.terms if t.label == day.term)
        if isinstance(term.pattern, RotatingWeeks):
            return f"{said}; the week takes no letter, for all its days that would ring are closed"
        if isinstance(term.pattern, CyclePattern) and day.pattern is not None:
            return f"{said}; the day is closed, so it takes no number"
        return f"{said}; the cycle does not run on this weekday"

    def _term_line(self) -> str:
        assert self.story.day is not None
        term = next(t for t in self.words.programme.terms if t.label == self.story.day.term)
        if isinstance(term.pattern, WeekPattern) and term.pattern.span == term.span:
            return f"{self.words.place(term.span)}: week {term.pattern.week} is the only one there is"
        return self.words.line(term.pattern.span)

    def _standing(self, standing: Standing) -> str:
        return self.words.line(standing.special.span, standing.said)

    # --------------------------------------------------------------- what comes of it

    def sounds(self) -> list[str]:
        own = [r for r in self.story.rings if self.date in r.service_days]
        today: Sounds = [(r.at, r.zone) for r in own if r.at.date() == self.date]
        later: Sounds = [(r.at, r.zone) for r in own if r.at.date() != self.date]
        before: Sounds = [(r.at, r.zone) for r in self.story.rings if self.date not in r.service_days]
        lines = [f"  {number(len(today), 'ring')}" if today else "  no bell rings"]
        lines += self._by_zone(today)
        if before:
            lines += [f"  of the night before: {number(len(before), 'ring')}", *self._by_zone(before)]
        if later:
            lines += [f"  next morning: {number(len(later), 'ring')}", *self._by_zone(later)]
        return lines + self._silenced() + self._removed()

    def _by_zone(self, sounds: Sounds) -> list[str]:
        """Return the times of each zone, zones that ring alike together."""
        by_zone: dict[str, list[datetime]] = {}
        for at, zone in sorted(sounds):
            by_zone.setdefault(zone, []).append(at)
        alike: dict[tuple[datetime, ...], list[str]] = {}
        for zone in self.zones:
            if zone in by_zone:
                alike.setdefault(tuple(by_zone[zone]), []).append(zone)
        names = {times: ", ".join(zones) for times, zones in alike.items()}
        width = max(map(len, names.values()), default=0)
        return [
            line
            for times, zones in names.items()
            for line in fold([clock(at.date(), at) for at in times], f"    {zones:<{width}}  ")
        ]

    def _silenced(self) -> list[str]:
        found: dict[tuple[Span, str | None], Sounds] = {}
        for silenced in self.story.silenced:
            found.setdefault((silenced.by, silenced.said), []).append((silenced.ring.at, silenced.ring.zone))
        return self._groups("silenced", found)

    def _removed(self) -> list[str]:
        found: dict[tuple[Span, str | None], Sounds] = {}
        for one in self.story.removed:
            found.setdefault((one.by, one.said), []).append((one.at, one.zone))
        return self._groups("no longer at these times", found)

    def _groups(self, what: str, found: dict[tuple[Span, str | None], Sounds]) -> list[str]:
        lines = []
        for (span, said), sounds in sorted(found.items(), key=lambda item: _place(item[0][0])):
            because = f' because "{visible(said)}"' if said else ""
            lines.append(f"  {what} by {self.words.place(span)}{because}: {number(len(sounds), 'ring')}")
            lines += self._by_zone(sounds)
        return lines


def _place(span: Span) -> tuple[str, int]:
    return span.source.path, span.start
