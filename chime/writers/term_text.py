"""A term on a page: its weeks, what runs on which dates, when no bell rings, and what may be a slip."""

from collections.abc import Iterable, Sequence
from datetime import date

from chime.clock import WEEKDAYS, write_date
from chime.diagnostics import Span
from chime.programme.model import Programme
from chime.rings.day_model import BellsInside
from chime.rings.model import Day, RingCalendar
from chime.writers.columns import (
    align,
    fold,
    joined,
    line_of,
    number,
    pad,
    runs_of,
    short_dates,
    visible,
    widths,
    words_of,
)
from chime.writers.special_words import special_words
from chime.writers.term_weeks import Keys, fit, write_weeks

_TAKEN_AWAY = {"silence": "silenced", "drop": "dropped", "move": "moved", "shift": "shifted"}
"""Kinds of exceptions after which a day can be left without a ring, and what is said of its rings."""


def write_term(programme: Programme, calendar: RingCalendar, inside: Sequence[BellsInside]) -> str:
    """Return every term of a programme; `inside` are the bells inside closures, shown as a question."""
    keys = {term.label: fit(programme, calendar, term) for term in programme.terms}
    page = _Page(programme, calendar, next((k for k in keys.values() if k.are_short), None))
    heading = f"{visible(programme.name)}, issue {programme.issue} on {write_date(programme.issued)}"
    lines = [heading]
    for before, term in zip((None, *programme.terms), programme.terms, strict=False):
        if before is not None:
            lines += page.gap(before.last, term.first)
        lines += ["", *write_weeks(programme, calendar, term, keys[term.label])]
    lines += ["", *page.legend(), "", *page.timetables(), "", *page.no_bells(), "", *page.inside(inside)]
    return "\n".join(lines) + "\n"


class _Page:
    """What stands below the weeks of all terms."""

    def __init__(self, programme: Programme, calendar: RingCalendar, keys: Keys | None) -> None:
        self.programme, self.calendar, self.keys = programme, calendar, keys
        self.specials = {special.span: special for special in programme.specials}
        self.days = [day for day in calendar.days if day.term is not None]
        self.ringing = {ring.at.date() for ring in calendar.rings}

    def _place(self, span: Span) -> str:
        return line_of(span, self.programme.span)

    def gap(self, last: date, first: date) -> list[str]:
        """Return the dates between two terms."""
        days = [d.day for d in self.calendar.days if last < d.day < first]
        if not days:
            return []
        stretch = " to ".join(write_date(day) for day in dict.fromkeys((days[0], days[-1])))
        return ["", f"between terms  {stretch}: {number(len(days), 'date')}"]

    def legend(self) -> list[str]:
        """Return what the signs in the weeks mean."""
        return [
            "  *  not as the pattern says, or something acts on the day: the line is below the week",
            "  -  silent by the week or the cycle; blank: outside the term",
        ]

    # ------------------------------------------------------------- timetables

    def timetables(self) -> list[str]:
        """Return on which dates each timetable runs."""
        dates: dict[str, list[date]] = {}
        for day in self.days:
            if day.runs is not None:
                dates.setdefault(day.runs, []).append(day.day)
        lines = ["timetables and their dates"]
        rows = []
        for name in sorted(dates):
            key = [self.keys.by_name[name]] if self.keys is not None else []
            rows.append([*key, name, f"{len(dates[name]):>3} {'date' if len(dates[name]) == 1 else 'dates'}"])
        needed = widths(rows)
        for row, name in zip(rows, sorted(dates), strict=True):
            before = "  ".join(pad(cell, needed[place]) for place, cell in enumerate(row))
            lines += fold(short_dates(dates[name]), f"  {before}  ")
        return lines

    # --------------------------------------------------------------- no bells

    def no_bells(self) -> list[str]:
        """Return the dates of the terms on which nothing rings, each with the cause."""
        silent = [day for day in self.days if day.day not in self.ringing]
        weekly = self._weekdays_without(silent)
        causes: dict[str, list[date]] = {}
        for day in silent:
            if day.day.weekday() not in weekly or day.is_closed:
                causes.setdefault(self._cause(day), []).append(day.day)
        rows = [(days, cause) for cause, days in causes.items()]
        lines = [f"dates with no bells: {len(silent)}"]
        lines += _dates_and_words(rows)
        left = sum(1 for day in silent if day.day.weekday() in weekly and not day.is_closed)
        if left:
            names = joined([WEEKDAYS[n] for n in sorted(weekly)])
            lines.append(f"  every {names} ({number(left, 'date')}): silent by the week or the cycle")
        return lines + self._after_terms()

    def _weekdays_without(self, silent: Iterable[Day]) -> frozenset[int]:
        """Return the weekdays that the pattern always leaves silent and on which nothing ever rings."""
        rings = {day.day.weekday() for day in self.days if day.day in self.ringing or day.pattern is not None}
        return frozenset(day.day.weekday() for day in silent) - rings

    def _cause(self, day: Day) -> str:
        if day.is_closed:
            return self._lines("closed", day, "replace")
        if day.runs is None:
            return "silent by the week or the cycle"
        for kind, word in _TAKEN_AWAY.items():
            if any(acting.kind == kind for acting in day.acting):
                return self._lines(f"{day.runs} runs, its rings are {word}", day, kind)
        return f"{day.runs} runs, which rings nothing"

    def _lines(self, word: str, day: Day, kind: str) -> str:
        said = []
        for acting in day.acting:
            if acting.kind == kind:
                said.append(self._place(acting.span) + _quoted(acting.said))
        return f"{word}: {joined(said)}"

    def _after_terms(self) -> list[str]:
        """Return the dates outside every term on which last night's rings still sound."""
        inside = {day.day for day in self.days}
        outside = sorted(self.ringing - inside)
        if not outside:
            return []
        said = joined([write_date(day) for day in outside])
        return [f"  outside every term, yet rings of the night before sound: {said}"]

    # ---------------------------------------------------------- inside closures

    def inside(self, found: Sequence[BellsInside]) -> list[str]:
        """Return the days with bells inside a closure, as something to look at twice."""
        if not found:
            return ["bells inside a closure: none"]
        lines = ["bells inside a closure: is each of these meant?"]
        rows = [[write_date(one.day), number(one.rings, "ring"), self._why(one)] for one in found]
        needed = widths(rows)
        for row in rows:
            before = "  ".join(pad(cell, needed[place]) for place, cell in enumerate(row[:2]))
            lines += fold(words_of(row[2]), f"  {before}  ", " ")
        return lines

    def _why(self, one: BellsInside) -> str:
        closure = self._place(one.closure) + _quoted(one.said)
        if one.by is None:
            return f"the weekend beside the closure of {closure}"
        by = self._place(one.by)
        if one.kind == "night before":
            return f"rings of the night before ({by}), in the closure of {closure}"
        what = visible(special_words(self.specials[one.by].special))
        return f"{what}{_quoted(self.specials[one.by].reason)} ({by}), in the closure of {closure}"


def _quoted(reason: str | None) -> str:
    return f' "{visible(reason)}"' if reason else ""


def _dates_and_words(rows: Iterable[tuple[Sequence[date], str]]) -> list[str]:
    """Return a line for each cause: its dates and the words; many dates come last, behind the words."""
    cells, scattered = [], []
    for days, words in rows:
        stretches = runs_of(days)
        if len(stretches) == 1:
            cells.append([" to ".join(write_date(day) for day in dict.fromkeys(stretches[0])), words])
        elif len(stretches) == 2:
            cells.append([", ".join(short_dates(days)), words])
        else:
            scattered += fold(short_dates(days), f"  {words}, {number(len(days), 'date')}: ")
    return align(cells) + scattered
