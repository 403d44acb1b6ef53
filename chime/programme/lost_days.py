"""On which dates a faulty line of the exceptions may act, and what it may do there.

A line of which a date could not be read still says much: a slip leaves two of year, month and day as
they were meant, and a date of another year was carried over with its week.
"""

import re
from collections.abc import Container, Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import Literal

from chime.clock import dates
from chime.diagnostics import Span
from chime.diagnostics.suggest import nearest
from chime.parsing.tree import Block, Document, Node
from chime.programme.model import Programme, Term
from chime.programme.names import as_name
from chime.programme.places import Places, names_in
from chime.programme.values import date_of
from chime.records import NamedTuple

Effect = Literal["closing", "running", "changing"]
"""`closing` is to close dates or to open them, `running` to settle what runs, `changing` to change rings."""

_CLOSES: frozenset[Effect] = frozenset(("closing", "running"))
_RUNS: frozenset[Effect] = frozenset(("running",))
_CHANGES: frozenset[Effect] = frozenset(("changing",))

_SAME_WEEK = timedelta(days=6)
_STRING = re.compile(r'"[^"]*"?')
_DATE = re.compile(r"(?<![0-9])[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}(?![0-9])")
_TO = r"(?:\bto\b|\buntil\b|\btill\b|[-–—])"
_DATE_OF_A_RANGE = re.compile(rf"{_DATE.pattern}\s*{_TO}|{_TO}\s*{_DATE.pattern}")
_CHANGE = re.compile(r"(?<![\w-])(?:add|drop|move|shift)(?![\w-])")


class Lost(NamedTuple):
    """Dates from first to last on which a line may act, and what it may do there.

    Where `by_clock` it may be a silence that also meets the rings of the nights before and after.
    """

    first: date
    last: date
    effects: frozenset[Effect]
    by_clock: bool


class LostDates(NamedTuple):
    """The dates that lost lines may close, those on which they may settle what runs, or change rings."""

    closing: frozenset[date]
    running: frozenset[date]
    changing: frozenset[date]


def find_lost_dates(
    document: Document, programme: Programme, places: Places, known: Container[str], *, terms_open: bool
) -> LostDates:
    """Return what the lines of the exceptions may do that have an error or name what is not known."""
    calendar = _Calendar(programme.terms, are_open=terms_open)
    kept = {special.span for special in programme.specials}
    timetables = frozenset(timetable.name for timetable in programme.timetables)
    found: list[Lost] = []
    for block in document.blocks:
        if block.kind != "exceptions":
            continue
        for line in block.lines:
            is_certain = line.span in kept and not places.of_line(line.span)
            if not is_certain or any(name not in known for name, _ in names_in(line)):
                found += _lost_line(line, timetables, calendar, places)
        found += _unread(block, calendar)
    return _gathered(found, calendar)


def _gathered(found: Sequence[Lost], calendar: "_Calendar") -> LostDates:
    day = timedelta(days=1)
    by_clock = (one._replace(first=one.first - day, last=one.last + day) for one in found if one.by_clock)
    changing = [*(one for one in found if "changing" in one.effects), *by_clock]
    running = [one for one in found if "running" in one.effects]
    closing = [one for one in running if "closing" in one.effects]
    return LostDates(calendar.of(closing), calendar.of(running), calendar.of(changing))


# ---------------------------------------------------------------------- when


class _Calendar:
    """The dates of the terms, and which of them a wrong date may stand for."""

    def __init__(self, terms: Sequence[Term], *, are_open: bool) -> None:
        self.are_terms_open = are_open
        self.days = sorted({day for term in terms for day in dates(term.first, term.last)})
        self.inside = frozenset(self.days)
        self.alike: dict[tuple[str, int, int], list[date]] = {}
        for day in self.days:
            for key in _two_of_three(day.year, day.month, day.day):
                self.alike.setdefault(key, []).append(day)

    def all(self) -> list[tuple[date, date]]:
        """Return the stretch from the first date to the last."""
        return [(self.days[0], self.days[-1])] if self.days else []

    def meant(self, written: str, day: date | None) -> list[tuple[date, date]]:
        """Return the dates that a written one may stand for, as stretches; `day` is None if it is none.

        One outside the terms that could be read lies in one that could not.
        """
        if day is not None and (day in self.inside or self.are_terms_open):
            return [(day, day)]
        return self.near(written)

    def near(self, written: str) -> list[tuple[date, date]]:
        """Return the dates that are a slip away from a written one, itself among them, as stretches."""
        year, month, number = (int(part) for part in written.split("-"))
        near = {day for key in _two_of_three(year, month, number) for day in self.alike.get(key, ())}
        around = self.alike.get(("of a year", month, number), ())
        return [(day, day) for day in sorted(near)] + [(day - _SAME_WEEK, day + _SAME_WEEK) for day in around]

    def of(self, lost: Iterable[Lost]) -> frozenset[date]:
        """Return the dates of terms in some stretches."""
        found: list[date] = []
        until = date.min
        for first, last in sorted((one.first, one.last) for one in lost):
            found += dates(max(first, until), last)
            until = max(until, last + timedelta(days=1))
        return self.inside.intersection(found)


def _two_of_three(year: int, month: int, day: int) -> tuple[tuple[str, int, int], ...]:
    return ("of a month", year, month), ("of its number", year, day), ("of a year", month, day)


def _stretch(ends: Sequence[list[tuple[date, date]]]) -> list[tuple[date, date]]:
    """Return the stretch from the earliest date that is meant to the latest; one end alone is itself."""
    if len(ends) == 1:
        return ends[0]
    both = [stretch for end in ends for stretch in end]
    return [(min(first for first, _ in both), max(last for _, last in both))] if both else []


# ---------------------------------------------------------------- a line that is read


def _lost_line(line: Node, timetables: frozenset[str], calendar: _Calendar, places: Places) -> Iterator[Lost]:
    when, special = list(line.nodes())[:2]
    written = list(when.nodes("date"))
    stretches = calendar.all()
    if written:
        wrong = [span for span in places.of_line(when.span) if not any(_holds(d, span) for d in written)]
        stretches = _stretch([_meant(node, calendar, is_wrong=bool(wrong)) for node in written])
    effects, by_clock = _effects(special, timetables)
    for first, last in stretches:
        yield Lost(first, last, effects, by_clock)


def _holds(node: Node, span: Span) -> bool:
    return node.span.start <= span.start and span.end <= node.span.end


def _meant(node: Node, calendar: _Calendar, *, is_wrong: bool) -> list[tuple[date, date]]:
    """Return what a date may stand for; where two ends are wrong together, either may be the slip."""
    text = node.word("DATE").text
    return calendar.near(text) if is_wrong else calendar.meant(text, date_of(node, []))


def _effects(special: Node, timetables: frozenset[str]) -> tuple[frozenset[Effect], bool]:
    if special.rule == "silence" and special.node("where") is not None:
        return _CHANGES, True
    if special.rule in ("silence", "silence_instead", "as_usual"):
        return _CLOSES, False
    if special.rule in ("replace", "replace_instead"):
        name = as_name(next(special.nodes("name")).words()[0].text)
        is_a_timetable = name in timetables or bool(nearest(name, timetables))
        return _RUNS if is_a_timetable else _CLOSES, False
    return _CHANGES, False


# ------------------------------------------------------------ a line that is not


def _unread(block: Block, calendar: _Calendar) -> Iterator[Lost]:
    for span in block.unread:
        text = _STRING.sub("", span.text)
        written = _DATE.findall(text)
        if not written and span == block.span:
            continue  # an opener that holds no line
        stretches = calendar.all()
        is_half_a_range = len(written) == 1 and _DATE_OF_A_RANGE.search(text)
        if written and not is_half_a_range:
            stretches = _stretch([calendar.meant(each, _as_date(each)) for each in written])
        is_change = _CHANGE.search(text) is not None
        for first, last in stretches:
            yield Lost(first, last, _CHANGES if is_change else _CLOSES | _CHANGES, not is_change)


def _as_date(written: str) -> date | None:
    try:
        return date(*(int(part) for part in written.split("-")))
    except ValueError:
        return None
