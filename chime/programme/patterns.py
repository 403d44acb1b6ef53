"""Weeks, cycles and terms."""

from datetime import date, timedelta
from itertools import pairwise
from typing import Literal

from chime.clock import week_start
from chime.diagnostics import Diagnostic, Span
from chime.parsing.tree import Node
from chime.programme import pattern_faults as faults
from chime.programme.model import (
    Cycle,
    CyclePattern,
    DayChoice,
    Pattern,
    RotatingWeeks,
    Term,
    UnknownPattern,
    Week,
    WeekPattern,
)
from chime.programme.names import Declared, Names
from chime.programme.values import date_of, weekdays_of, whole_of

LONGEST_TERM = 731
"""Days of a term: two years. A longer one is a slip in a date."""

LONGEST_PROGRAMME = 3_660
"""Days from the first term's first date to the last term's last: ten years."""

Faults = list[Diagnostic]
DayNames = tuple[DayChoice, ...]


def build_weeks(names: Names, faults_: Faults) -> tuple[Week, ...]:
    """Return the weeks in the order of their names; a weekday that a fault leaves open is a silent one."""
    declared = names.declared("week")
    return tuple(Week(each.name, _week_days(each, names, faults_), each.span) for each in declared)


def _week_days(declared: Declared, names: Names, faults_: Faults) -> DayNames:
    answers: dict[int, DayChoice] = {}
    for line in declared.block.lines:
        choice = _day_choice(line, names)
        listed = line.node("weekdays")
        assert listed is not None
        for weekday, span in weekdays_of(listed, faults_):
            if weekday in answers:
                faults_.append(faults.weekday_twice(span, weekday, answers[weekday].span))
            else:
                answers[weekday] = choice or DayChoice(None, line.span)
    missing = [n for n in range(7) if n not in answers]
    if missing and declared.block.is_certain:
        faults_.append(faults.weekdays_unanswered(declared.span, declared.name, missing))
    unknown = DayChoice(None, declared.span)
    return tuple(answers.get(n, unknown) for n in range(7))


def _day_choice(line: Node, names: Names) -> DayChoice | None:
    """Return the timetable or silence of a week's or a cycle's line; None if it is unknown."""
    runs = line.node("runs")
    if runs is None:
        return DayChoice(None, line.span)
    name = names.resolve("timetable", next(runs.nodes("name")))
    return None if name is None else DayChoice(name, line.span)


def build_cycles(names: Names, faults_: Faults) -> tuple[Cycle, ...]:
    """Return the cycles whose days run from 1 without a gap, in the order of their names.

    A day that a fault leaves open is a silent one.
    """
    found = []
    for declared in names.declared("cycle"):
        header = declared.block.header
        assert header is not None
        listed = header.node("weekdays")
        assert listed is not None
        weekdays = frozenset(n for n, _ in weekdays_of(listed, faults_))
        days = _cycle_days(declared, names, faults_)
        if days is not None:
            found.append(Cycle(declared.name, weekdays, days, declared.span))
    return tuple(found)


def _cycle_days(declared: Declared, names: Names, faults_: Faults) -> DayNames | None:
    answers: dict[int, DayChoice | None] = {}
    spans: dict[int, Span] = {}
    is_known = not declared.block.unread
    for line in declared.block.lines:
        number = whole_of(line.word("NUMBER"), faults_, 1, 100)
        choice = _day_choice(line, names)
        if number is None:
            is_known = False
        elif number in spans:
            faults_.append(faults.cycle_day_twice(line.span, number, spans[number]))
        else:
            answers[number], spans[number] = choice, line.span
    missing = [n for n in range(1, max(spans, default=1) + 1) if n not in spans]
    if missing and is_known:
        faults_.append(faults.cycle_days_missing(declared.span, declared.name, missing))
    if missing or not is_known:
        return None
    return tuple(answers[n] or DayChoice(None, spans[n]) for n in range(1, len(spans) + 1))


class _TermReader:
    def __init__(self, names: Names, cycles: tuple[Cycle, ...], faults_: Faults) -> None:
        self.names, self.faults = names, faults_
        self.cycles = {cycle.name: cycle for cycle in cycles}
        self.weeks = [d.name for d in names.declared("week") if not d.is_twin]

    def term(self, declared: Declared) -> Term | None:
        header = declared.block.header
        assert header is not None
        first, last = (date_of(node, self.faults) for node in header.nodes("date"))
        pattern = self._pattern(declared, first)
        if first is None or last is None:
            return None
        if last < first:
            self.faults.append(faults.dates_backwards(header.span, first, last))
            return None
        if (last - first).days >= LONGEST_TERM:
            self.faults.append(faults.term_too_long(header.span, (last - first).days + 1, LONGEST_TERM))
            return None
        return Term(declared.name, first, last, pattern or UnknownPattern(declared.span), declared.span)

    def _pattern(self, declared: Declared, first: date | None) -> Pattern | None:
        lines = declared.block.lines
        if len(lines) > 1:
            self.faults.append(faults.two_patterns(lines[1].span, lines[0].span))
        if lines:
            return self._said(lines[0], first)
        if declared.block.unread:
            return None
        if len(self.weeks) == 1:
            self.names.used.add(("week", self.weeks[0]))
            return WeekPattern(self.weeks[0], declared.span)
        # A week block that could not be read may be the only one.
        if self.names.is_whole and self.names.blocks["week"] == len(self.names.declared("week")):
            self.faults.append(faults.no_pattern(declared.span, self.weeks))
        return None

    def _said(self, line: Node, first: date | None) -> Pattern | None:
        if line.rule == "term_week":
            week = self.names.resolve("week", next(line.nodes("name")))
            return None if week is None else WeekPattern(week, line.span)
        if line.rule == "term_weeks":
            return self._term_weeks(line, first)
        return self._term_cycle(line, first)

    def _term_weeks(self, line: Node, first: date | None) -> Pattern | None:
        """`weeks a, b from 2026-09-03 counting school weeks`."""
        weeks = [self.names.resolve("week", node) for node in line.nodes("name")]
        written = line.node("date")
        assert written is not None
        anchor = date_of(written, self.faults)
        if anchor is None or None in weeks:
            return None
        if first is not None and week_start(anchor, anchor) > week_start(first, anchor):
            self.faults.append(faults.anchor_late(written.span, "week", first))
            return None
        known = tuple(week for week in weeks if week is not None)
        return RotatingWeeks(known, anchor, line.node("every_week") is not None, line.span)

    def _term_cycle(self, line: Node, first: date | None) -> Pattern | None:
        """`cycle three from 2027-04-15 at day 2 slip`."""
        name = self.names.resolve("cycle", next(line.nodes("name")))
        written = line.node("date")
        assert written is not None
        anchor = date_of(written, self.faults)
        numbers = line.words("NUMBER")
        cycle = self.cycles.get(name or "")
        start = whole_of(numbers[0], self.faults, 1, len(cycle.days) if cycle else 100) if numbers else 1
        if anchor is None or cycle is None or start is None:
            return None
        if first is not None and anchor > _first_of(cycle, first):
            self.faults.append(faults.anchor_late(written.span, "day", _first_of(cycle, first)))
            return None
        said = line.node("slip", "skip")
        closed: Literal["slip", "skip"] | None = None
        if said is not None:
            closed = "slip" if said.rule == "slip" else "skip"
        return CyclePattern(cycle.name, anchor, start, closed, line.span)


def _first_of(cycle: Cycle, day: date) -> date:
    """Return the first date from a day on that has one of the cycle's weekdays."""
    return next(there for n in range(7) if (there := day + timedelta(days=n)).weekday() in cycle.weekdays)


def build_terms(names: Names, cycles: tuple[Cycle, ...], faults_: Faults) -> tuple[Term, ...]:
    """Return the terms in the order of their dates; no two may share a date."""
    reader = _TermReader(names, cycles, faults_)
    declared = names.declared("term")
    found = [reader.term(each) for each in declared]
    terms = sorted((term for term in found if term is not None), key=lambda term: term.first)
    # A term said twice is complained of by its name, and usually has its dates twice too.
    twins = {each.name for each in declared if each.is_twin}
    for before, after in pairwise(term for term in terms if term.label not in twins):
        if after.first <= before.last:
            faults_.append(faults.terms_overlap(after.span, before.span, after.first, before.last))
    if terms and (terms[-1].last - terms[0].first).days >= LONGEST_PROGRAMME:
        span = terms[-1].span
        faults_.append(faults.programme_too_long(span, terms[0].span, LONGEST_PROGRAMME))
        return ()
    return tuple(terms)
