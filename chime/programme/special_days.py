"""The lines of the exceptions: when, what, and why."""

import posixpath
from datetime import date
from typing import Literal

from chime.diagnostics import Diagnostic, Span
from chime.file_access import ReadFile, Unreadable
from chime.parsing.tree import Block, Node
from chime.programme import pattern_faults
from chime.programme import special_day_faults as faults
from chime.programme.model import (
    Add,
    AsUsual,
    DateRange,
    EveryWeekday,
    Holidays,
    ImportedDays,
    OneDate,
    Replace,
    Silence,
    Special,
    SpecialDays,
    Term,
    When,
)
from chime.programme.names import Names, as_name
from chime.programme.timetables import label_of, read_change, read_where
from chime.programme.values import date_of, times_of, weekday_of

Faults = list[Diagnostic]


class _SpecialDaysReader:
    def __init__(
        self, names: Names, terms: tuple[Term, ...], place: str, read_file: ReadFile, faults_: Faults
    ) -> None:
        self.names, self.terms, self.place, self.read_file = names, terms, place, read_file
        self.faults = faults_
        self.labels: frozenset[str] = frozenset()
        # A date outside the terms that could be read may lie in one that could not.
        self.terms_are_known = names.is_whole and len(terms) == names.blocks["term"]

    # ----------------------------------------------------------------- when

    def when(self, node: Node) -> When | None:
        if node.rule == "on_date":
            day = self._date_in_term(next(node.nodes("date")))
            return None if day is None else OneDate(day)
        if node.rule == "on_range":
            ends = self._ends(node)
            return None if ends is None else DateRange(*ends)
        if node.rule == "on_every":
            return self._on_every(node)
        if node.rule == "on_holidays":
            return self._on_holidays(node)
        return self._on_days_in(node)

    def _date_in_term(self, node: Node) -> date | None:
        day = date_of(node, self.faults)
        if day is None or not self.terms:
            return None
        if any(term.first <= day <= term.last for term in self.terms):
            return day
        if self.terms_are_known:
            self.faults.append(faults.date_outside_terms(node.span, day, self.terms))
        return None

    def _ends(self, node: Node) -> tuple[date, date] | None:
        first, last = (self._date_in_term(end) for end in node.nodes("date"))
        if first is None or last is None:
            return None
        if last < first:
            self.faults.append(pattern_faults.dates_backwards(node.span, first, last))
            return None
        return first, last

    def _on_every(self, node: Node) -> When | None:
        """`every Tue from 2026-11-10 to 2026-12-01`."""
        ends = self._ends(node)
        if ends is None:
            return None
        weekday = weekday_of(next(node.nodes("weekday")))
        if (weekday - ends[0].weekday()) % 7 > (ends[1] - ends[0]).days:
            self.faults.append(faults.no_such_weekday_in_range(node.span))
            return None
        return EveryWeekday(weekday, *ends)

    def _on_holidays(self, node: Node) -> When | None:
        """`public holidays of GB-ENG`."""
        from chime.programme import outside_faults, public_days

        word = node.word("NAME")
        if not public_days.known_region(word.text):
            near = public_days.suggestions(word.text, self.place)
            self.faults.append(outside_faults.unknown_region(word.span, word.text, near))
            return None
        if not self.terms:
            return None
        days = public_days.public_days(word.text, self.terms[0].first, self.terms[-1].last)
        if not self._could_meet_a_term(days):
            self.faults.append(outside_faults.no_day_in_term(node.span, f"public holiday of {word.text}"))
        return Holidays(word.text, days)

    def _on_days_in(self, node: Node) -> When | None:
        """`days in "closures.ics"`."""
        from chime.programme import closures, outside_faults

        span = node.word("STRING").span
        written = as_name(span.text).replace("\\", "/")
        path = posixpath.normpath(posixpath.join(posixpath.dirname(span.source.path), written))
        content = Unreadable("it lies outside the folder of the programme")
        if not (path.startswith("../") or path == ".." or posixpath.isabs(path)):
            content = self.read_file(path)  # type: ignore[assignment]
        if isinstance(content, Unreadable):
            self.faults.append(outside_faults.closures_unreadable(span, written, *content))
            return None
        if not self.terms:
            return None
        found = closures.read_closures(content, self.terms[0].first, self.terms[-1].last)
        self.faults += outside_faults.closure_problems(span, written, found.problems)
        if not found.problems and not self._could_meet_a_term(found.days):
            self.faults.append(outside_faults.no_day_in_term(span, f'day in "{written}"'))
        return ImportedDays(written, found.days)

    def _could_meet_a_term(self, days: tuple[tuple[date, str], ...]) -> bool:
        is_met = any(term.first <= day <= term.last for day, _ in days for term in self.terms)
        return is_met or not self.terms_are_known

    # ----------------------------------------------------------------- what

    def special(self, node: Node, line: Span) -> Special | None:
        rule = node.rule
        if rule == "silence":
            return self._silence(node)
        if rule == "silence_instead":
            return Replace(None, instead=True)
        if rule in ("replace", "replace_instead"):
            name = self.names.resolve("timetable", next(node.nodes("name")))
            return None if name is None else Replace(name, instead=rule == "replace_instead")
        if rule == "as_usual":
            return AsUsual()
        if rule == "add":
            return self._add(node)
        change = read_change(node, self.names, self.faults)
        return None if change is None else change._replace(span=line)

    def _silence(self, node: Node) -> Special | None:
        """`silent`, `silent in main 09:20 - 11:45`."""
        if node.node("where") is None:
            return Replace(None, instead=False)
        where = read_where(node, self.names, self.faults)
        if where is None:
            return None
        zones, window = where
        if window is None and "everywhere" in node.span.text.split():
            self.faults.append(faults.silent_everywhere(node.span))
            return None
        return Silence(zones, window)

    def _add(self, node: Node) -> Special | None:
        """`add 10:30, 10:35 lesson in everywhere`."""
        listed = node.node("times")
        place = node.node("in_zones", "everywhere")
        assert listed is not None
        assert place is not None
        times = times_of(listed, self.faults)
        signal = self.names.resolve("signal", next(node.nodes("name")))
        zones = self.names.zones_in(place)
        return Add(times, signal, zones) if times and signal and zones else None

    # ----------------------------------------------------------------- line

    def line(self, node: Node) -> SpecialDays | None:
        parts = list(node.nodes())
        when, special = self.when(parts[0]), self.special(parts[1], node.span)
        reason = label_of(node)
        word = _could_want_a_label(parts[1])
        if word is not None and reason is not None and self._names_a_ring(reason):
            self.faults.append(faults.reason_is_label(node.words("STRING")[-1].span, reason, word))
            return None
        if when is None or special is None:
            return None
        return SpecialDays(when, special, reason, node.span)

    def _names_a_ring(self, reason: str) -> bool:
        """Say whether a reason is a label: of a ring, a period or a pause, or of one of its two ends."""
        whole = reason.removesuffix(" starts").removesuffix(" ends")
        return reason in self.labels or (whole != reason and whole.removeprefix("Period ") in self.labels)


def _could_want_a_label(special: Node) -> Literal["drop", "shift", "silent"] | None:
    """Return the word of a line whose reason could be read as the label of what it acts on."""
    if special.rule == "drop_line" and special.node("what_label") is None:
        return "drop"
    if special.rule == "silence" and special.node("where") is not None:
        return "silent"
    return "shift" if special.rule == "shift_line" else None


def build_special_days(
    blocks: list[Block],
    names: Names,
    terms: tuple[Term, ...],
    labels: frozenset[str],
    place: str,
    read_file: ReadFile,
    faults_: Faults,
) -> tuple[SpecialDays, ...]:
    """Return the lines of every `exceptions` block, in an order that is not that of the lines."""
    reader = _SpecialDaysReader(names, terms, place, read_file, faults_)
    reader.labels = labels
    found = [reader.line(line) for block in blocks for line in block.lines]
    kept = [special for special in found if special is not None]
    return tuple(sorted(kept, key=lambda s: " ".join(s.span.text.split())))
