"""Why a bell rings at a time, or does not: who planned it, moved it, took it away or silenced it."""

from collections.abc import Iterator
from datetime import date

from chime.clock import DAY, write_date, write_time
from chime.programme.model import Add, Programme
from chime.rings.day_model import Asked, Displaced, Story
from chime.rings.model import Day, Reason, Removed, Ring, Silenced
from chime.writers.columns import joined, seconds, visible
from chime.writers.why_words import Row, Words, clock, set_heading, set_rows


def write_time_asked(programme: Programme, asked: Asked) -> str:
    """Return what became of a time, zones with the same story together."""
    words = Words(programme)
    by_story: dict[tuple[str, tuple[Row, ...]], list[str]] = {}
    for story in asked.stories:
        by_story.setdefault(_Told(words, asked, story).tell(), []).append(story.zone)
    lines = _heading(words, asked)
    for (headline, rows), zones in by_story.items():
        lines += ["", f"{', '.join(zones)}: {headline}", *set_rows(rows)]
    return "\n".join(lines) + "\n"


def _heading(words: Words, asked: Asked) -> list[str]:
    said = f"{write_date(asked.day)} {write_time(asked.seconds)}"
    if asked.day != asked.at.date():
        said += f", on the clock {write_date(asked.at.date())} {clock(asked.at.date(), asked.at)}"
    lines = set_heading(f"{said}: {words.day(asked.of_day.day, asked.at.date())}")
    if asked.clocks == "missing":
        lines += ["  the clocks go forward that day and skip this time: it does not exist"]
    elif asked.clocks == "repeated":
        lines += ["  the clocks go back that day: this time comes twice"]
    return lines


class _Told:
    """The story of one zone in a headline and rows."""

    def __init__(self, words: Words, asked: Asked, story: Story) -> None:
        self.words, self.asked, self.story = words, asked, story
        self.date = asked.at.date()

    def tell(self) -> tuple[str, tuple[Row, ...]]:
        story = self.story
        if story.rings:
            return self._headline_of_ring(), tuple(self._rings())
        if story.silenced:
            return self._headline_of_silence(story.silenced[0]), tuple(self._silenced())
        if story.gathered:
            return self._gathered()
        if story.removed:
            headline = " and ".join(dict.fromkeys(self._gone(one) for one in story.removed))
            return headline, (*self._removed(), *self._nearest())
        if story.displaced:
            return self._displaced(story.displaced[0])
        headline, rows = self._never()
        return headline, (*rows, *self._next_night(), *self._nearest())

    # ------------------------------------------------------------------ it rings

    def _headline_of_ring(self) -> str:
        ring = self.story.rings[0]
        said = f"rings, {ring.signal} for {seconds(ring.length_ms)} s"
        if self.asked.clocks != "repeated":
            return said
        if len(self.story.rings) == 2:
            return f"{said}, both times"
        return f"{said}, the {'second' if ring.fold else 'first'} time only"

    def _rings(self) -> Iterator[Row]:
        ring = self.story.rings[0]
        for reason in ring.reasons:
            yield from self._cause(reason)
        yield from self._belongs(ring)
        if self.story.is_gathered and self.words.programme.clocks.span is not None:
            yield "rung now by", self.words.line(self.words.programme.clocks.span)
            yield "", "its own time does not exist that day"
        for silenced in self.story.silenced:
            yield from self._silence(silenced)
        for one in self.story.removed:
            yield "no longer", f"{visible(one.label or 'a ring without a label')}, {self._gone(one)}"
            yield from self._taken_by(one)

    def _cause(self, reason: Reason) -> Iterator[Row]:
        first, *changes = reason.spans
        special = self.words.specials.get(first)
        is_added = special is not None and isinstance(special.special, Add)
        word = "added by" if is_added else "planned by"
        if reason.label is not None:
            yield "label", visible(reason.label)
        yield word, self.words.line(first, special.reason if special is not None else None)
        for span in changes:
            changed = self.words.specials.get(span)
            word = "shifted here by" if span in self.words.shifts else "moved here by"
            yield word, self.words.line(span, changed.reason if changed is not None else None)

    def _belongs(self, ring: Ring) -> Iterator[Row]:
        if ring.service_days != (ring.at.date(),):
            yield "belongs to", f"the timetable of {joined(list(map(self._own, ring.service_days)))}"

    def _own(self, day: date) -> str:
        """Return a service day with the time asked for as its timetable writes it."""
        if self.story.is_gathered:
            return write_date(day)
        own = self.asked.seconds + (self.asked.day - day).days * DAY
        return f"{write_date(day)} ({write_time(own)} there)"

    # ------------------------------------------------------------- it is silenced

    def _headline_of_silence(self, silenced: Silenced) -> str:
        if silenced.hour == "missing hour":
            return "does not ring, for the clocks skip that hour"
        return "silenced"

    def _silenced(self) -> Iterator[Row]:
        for silenced in self.story.silenced:
            for reason in silenced.ring.reasons:
                yield from self._cause(reason)
            yield from self._belongs(silenced.ring)
            yield from self._silence(silenced)

    def _silence(self, silenced: Silenced) -> Iterator[Row]:
        word = "silenced by" if silenced.hour == "exception" else "clocks"
        yield word, self.words.line(silenced.by, silenced.said)

    def _gathered(self) -> tuple[str, tuple[Row, ...]]:
        clocks = self.words.programme.clocks
        assert clocks.missing_at is not None
        assert clocks.span is not None
        rows = [row for ring in self.story.gathered for reason in ring.reasons for row in self._cause(reason)]
        headline = f"rings at {write_time(clocks.missing_at)} instead, for the clocks skip that hour"
        return headline, (*rows, ("clocks", self.words.line(clocks.span)))

    # ------------------------------------------------------------ it was taken away

    def _gone(self, one: Removed) -> str:
        """Return what was done to a ring: `dropped`, `moved to 10:00`, `replaced` by another line."""
        if one.by in self.words.each_periods:
            return "replaced"
        if one.to is None:
            return "dropped"
        word = "shifted" if one.by in self.words.shifts else "moved"
        return f"{word} to {clock(self.date, one.to)}"

    def _removed(self) -> Iterator[Row]:
        for one in self.story.removed:
            if one.label is not None:
                yield "label", visible(one.label)
            yield "planned by", self.words.line(one.span)
            yield from self._taken_by(one)

    def _taken_by(self, one: Removed) -> Iterator[Row]:
        yield f"{self._gone(one).split(' ')[0]} by", self.words.line(one.by, one.said)

    def _displaced(self, displaced: Displaced) -> tuple[str, tuple[Row, ...]]:
        day = displaced.day
        rows = [row for reason in displaced.ring.reasons for row in self._cause(reason)]
        rows = [("would ring by" if word == "planned by" else word, words) for word, words in rows]
        headline = f"does not ring, for timetable {day.runs} stands in for {displaced.timetable}"
        if day.runs is None:
            closed = "the day" if day.day == self.date else write_date(day.day)
            headline = f"does not ring, for {closed} is closed"
        if day.day != self.date:
            rows.append(("belongs to", f"the timetable of {self._own(day.day)}"))
        return headline, (*rows, *self._replaced(day), *self._nearest())

    def _replaced(self, day: Day) -> Iterator[Row]:
        word = "closed by" if day.runs is None else "replaced by"
        for acting in day.acting:
            if acting.kind == "replace":
                yield word, self.words.line(acting.span, acting.said)

    # ---------------------------------------------------------- it was not asked for

    def _never(self) -> tuple[str, tuple[Row, ...]]:
        day = self.asked.of_day.day
        if day is None or day.term is None:
            return "no bell is planned outside the terms", ()
        if day.is_closed and day.runs is None:
            return "no bell is planned then, and the day is closed", tuple(self._replaced(day))
        line = self.asked.of_day.pattern_line
        if day.runs is None:
            rows = (("pattern", self.words.line(line)),) if line is not None else ()
            return "no bell is planned, it is a day without bells", rows
        if day.pattern in (day.runs, None):
            return f"no bell is planned then in timetable {day.runs}", tuple(self._replaced(day))
        said = f"no bell is planned then, neither in timetable {day.runs} nor in {day.pattern}"
        return said, tuple(self._replaced(day))

    def _next_night(self) -> Iterator[Row]:
        ring = self.story.next_night
        if ring is not None:
            own = write_time(self.asked.seconds % DAY + DAY)
            yield "but", f"{clock(self.date, ring.at)} rings, {own} of this day's timetable"

    def _nearest(self) -> Iterator[Row]:
        before, after = self.story.nearest
        if before is None and after is None:
            yield "nearest", "this zone never rings"
        else:
            said = [f"{self.words.ring(before, self.date)} before it"] if before is not None else []
            said += [f"{self.words.ring(after, self.date)} after it"] if after is not None else []
            yield "nearest", ", ".join(said)
