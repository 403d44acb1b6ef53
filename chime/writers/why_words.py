"""How lines, days and rings are spoken of where it is said why a bell rings."""

from collections.abc import Iterable
from datetime import date, datetime

from chime.clock import write_date, write_time
from chime.diagnostics import Span
from chime.programme.model import Programme, Shift
from chime.rings.model import Day, Ring
from chime.writers.columns import fold, line_of, text_of, visible, words_of

Row = tuple[str, str]
"""What a line is about, and its words."""


def set_rows(rows: Iterable[Row]) -> list[str]:
    """Return rows as lines; a word said twice running is shown once."""
    lines, last = [], ""
    for word, words in rows:
        lines += fold(words_of(words), f"  {word if word != last else '':<17}", " ")
        last = word
    return [line.rstrip() for line in lines]


def set_heading(text: str) -> list[str]:
    """Return a heading as lines, those after the first indented."""
    first, *more = fold(words_of(text), "", " ")
    return [first, *(f"  {line}" for line in more)]


def clock(day: date, at: datetime) -> str:
    """Return a date-time as the clock shows it, with its date where that is not `day`."""
    said = write_time(at.hour * 3600 + at.minute * 60 + at.second)
    return said if at.date() == day else f"{write_date(at.date())} {said}"


class Words:
    """How lines, days and rings are spoken of."""

    def __init__(self, programme: Programme) -> None:
        self.programme = programme
        self.specials = {special.span: special for special in programme.specials}
        self.shifts = {one.span for t in programme.timetables for one in t.changes if isinstance(one, Shift)}
        self.each_periods = {t.each_period.span for t in programme.timetables if t.each_period is not None}
        self.shifts |= {one.span for one in programme.specials if isinstance(one.special, Shift)}

    def place(self, span: Span) -> str:
        """Return where a line stands."""
        return line_of(span, self.programme.span)

    def line(self, span: Span, said: str | None = None) -> str:
        """Return a line's place, why it is there, and its text."""
        text = text_of(span)
        if not said:
            return f"{self.place(span)}: {text}"
        text = text.removesuffix(f'"{visible(said)}"').rstrip()
        return f'{self.place(span)} because "{visible(said)}": {text}'

    def day(self, day: Day | None, at: date) -> str:
        """Return what a date is, in a few words."""
        if day is None or day.term is None:
            return self.outside(at)
        term = f'term "{visible(day.term)}"' + (f", {self.label(day)}" if day.label else "")
        if day.runs is not None:
            return f"{term}, timetable {day.runs}"
        return f"{term}, {'closed' if day.is_closed else 'a day without bells'}"

    def label(self, day: Day) -> str:
        """Return a letter or a number as it is spoken: `week a`, `day 3`."""
        label = day.label or ""
        return label if label.startswith("day ") else f"week {label}"

    def outside(self, at: date) -> str:
        """Return between which terms a date lies."""
        before = [term for term in self.programme.terms if term.last < at]
        after = [term for term in self.programme.terms if term.first > at]
        said = []
        if before:
            said.append(f'term "{visible(before[-1].label)}" ended {write_date(before[-1].last)}')
        if after:
            said.append(f'term "{visible(after[0].label)}" begins {write_date(after[0].first)}')
        return f"outside every term: {', '.join(said)}"

    def ring(self, ring: Ring, day: date) -> str:
        """Return a ring in short: its time, with the date if it is another, and its labels."""
        labels = f" ({visible(' / '.join(ring.labels))})" if ring.labels else ""
        return clock(day, ring.at) + labels
