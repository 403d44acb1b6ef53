"""The weeks of a term as rows: letter or numbers, what runs on each day, and what acts there."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise

from chime.clock import WEEKDAYS, week_start, write_date
from chime.diagnostics import Span
from chime.diagnostics.cells import measure
from chime.programme.model import CyclePattern, Programme, Replace, RotatingWeeks, Term, WeekPattern
from chime.records import NamedTuple
from chime.rings.model import Day, RingCalendar
from chime.writers.columns import WIDTH, align, fold, line_of, number, text_of, visible, words_of
from chime.writers.special_words import special_words


class WeekRow(NamedTuple):
    """A week of a term: its first date, its days inside the term, and how many rings they make."""

    start: date
    days: tuple[Day, ...]
    rings: int

    @property
    def letter(self) -> str | None:
        """The week's name where weeks take turns; None where it takes none."""
        return next((day.label for day in self.days if day.label is not None), None)


def weeks_of(term: Term, calendar: RingCalendar) -> Iterator[WeekRow]:
    """Yield the weeks of a term; they begin on Monday, or where the anchor says so on another day."""
    anchor = term.pattern.anchor if isinstance(term.pattern, RotatingWeeks) else None
    rings = Counter(ring.service_days[0] for ring in calendar.rings)
    by_week: dict[date, list[Day]] = {}
    for day in calendar.days:
        if term.first <= day.day <= term.last:
            by_week.setdefault(week_start(day.day, anchor or date(2024, 1, 1)), []).append(day)
    for start, days in by_week.items():
        yield WeekRow(start, tuple(days), sum(rings[day.day] for day in days))


def number_of(start: date) -> int:
    """Return the ISO 8601 week number of the Monday in the week that begins on a date."""
    monday = start + timedelta(days=-start.weekday() % 7)
    return monday.isocalendar().week


def letter_by_number(pattern: RotatingWeeks, start: date) -> str | None:
    """Return the letter that odd and even ISO week numbers would give; None if not two weeks take turns."""
    if len(pattern.weeks) != 2:
        return None
    begins = number_of(week_start(pattern.anchor, pattern.anchor))
    return pattern.weeks[(number_of(start) - begins) % 2]


class Keys(NamedTuple):
    """How timetables stand in the cells of a term: by name, or by a key where names would not fit."""

    by_name: Mapping[str, str]
    are_short: bool
    gap: str


def write_weeks(programme: Programme, calendar: RingCalendar, term: Term, keys: Keys) -> list[str]:
    """Return a term as lines: its pattern, a row for each week, what acts there below it, and the sums."""
    rows = list(weeks_of(term, calendar))
    table = _Table(programme, term, keys)
    dates = f"{write_date(term.first)} to {write_date(term.last)}"
    heading, *lines = table.cells(rows)
    found = [f'term "{visible(term.label)}"  {dates}', f"  {_pattern(term, programme)}", "", heading]
    for row, line in zip(rows, lines, strict=True):
        found += [line, *table.notes(row)]
    return [*found, "", *table.sums(rows)]


def fit(programme: Programme, calendar: RingCalendar, term: Term) -> Keys:
    """Return the timetables' names, set close if need be, or short keys where they would be too wide."""
    names = sorted({day.runs for day in calendar.days if day.runs is not None})
    rows = list(weeks_of(term, calendar))
    for gap in ("  ", " "):
        keys = Keys({name: name for name in names}, are_short=False, gap=gap)
        if max(map(measure, _Table(programme, term, keys).cells(rows))) <= WIDTH:
            return keys
    return Keys({name: f"T{n}" for n, name in enumerate(names, 1)}, are_short=True, gap="  ")


def _pattern(term: Term, programme: Programme) -> str:
    pattern = term.pattern
    place = line_of(pattern.span, programme.span)
    if isinstance(pattern, WeekPattern) and pattern.span == term.span:
        return f"week {pattern.week}, the only one there is"
    return f"{text_of(pattern.span)} ({place})"


class _Table:
    """The cells of one term."""

    def __init__(self, programme: Programme, term: Term, keys: Keys) -> None:
        self.programme, self.term, self.keys = programme, term, keys
        self.specials = {special.span: special for special in programme.specials}
        self.turns = term.pattern if isinstance(term.pattern, RotatingWeeks) else None
        self.has_numbers = isinstance(term.pattern, CyclePattern)

    def cells(self, rows: Sequence[WeekRow]) -> list[str]:
        """Return the heading and the weeks as lines."""
        return align([self._heading(rows), *map(self._row, rows)], "  ", self.keys.gap)

    def _heading(self, rows: Sequence[WeekRow]) -> list[str]:
        begins = rows[0].start.weekday()
        letter = ["week"] if self.turns else []
        weekdays = [WEEKDAYS[(begins + n) % 7] for n in range(7)]
        return ["week of", *letter, "ISO", *weekdays, "rings"]

    def _row(self, row: WeekRow) -> list[str]:
        by_date = {day.day: day for day in row.days}
        cells = [self._cell(by_date.get(row.start + timedelta(days=n))) for n in range(7)]
        letter = [row.letter or "-"] if self.turns else []
        return [row.start.isoformat(), *letter, self._number(row), *cells, f"{row.rings:>5,}"]

    def _number(self, row: WeekRow) -> str:
        would = letter_by_number(self.turns, row.start) if self.turns else None
        said = f"{number_of(row.start):>2}"
        if would is None:
            return said
        return f"{said} {would} !" if differs(row, would) else f"{said} {would}"

    def _cell(self, day: Day | None) -> str:
        if day is None:
            return ""
        changed = any(not self._closes(acting.span) for acting in day.acting)
        silent = "closed" if day.is_closed else "-"
        said = silent if day.runs is None else self.keys.by_name[day.runs]
        if self.has_numbers and day.label is not None:
            said = f"{day.label.removeprefix('day ')} {said}"
        return said + "*" if changed else said

    def _closes(self, span: Span) -> bool:
        special = self.specials[span].special
        return isinstance(special, Replace) and special.timetable is None

    def notes(self, row: WeekRow) -> list[str]:
        """Return what acts in a week: on which days, what it does, why, and its line."""
        found: dict[tuple[Span, str | None], list[date]] = {}
        for day in row.days:
            for acting in day.acting:
                found.setdefault((acting.span, acting.said), []).append(day.day)
        cells = []
        for (span, said), days in found.items():
            what = "closed" if self._closes(span) else special_words(self.specials[span].special)
            reason = f': "{visible(said)}"' if said else ""
            place = line_of(span, self.programme.span)
            cells.append((weekdays_of(days), f"{visible(what)}{reason} ({place})"))
        width = max((len(days) for days, _ in cells), default=0)
        return [
            line for days, words in cells for line in fold(words_of(words), f"      {days:<{width}}  ", " ")
        ]

    def sums(self, rows: Sequence[WeekRow]) -> list[str]:
        letters = Counter(row.letter for row in rows)
        said = [number(len(rows), "week"), number(sum(row.rings for row in rows), "ring")]
        if self.turns is not None:
            names = dict.fromkeys(self.turns.weeks)
            said += [f"week {name} {number(letters[name], 'time')}" for name in names]
            said += [f"{number(letters[None], 'week')} without a letter"] if letters[None] else []
        lines = fold(said, "  ")
        if self.turns is not None and len(self.turns.weeks) == 2:
            lines += fold(words_of(self._differences(rows)), "  ", " ")
        return lines

    def _differences(self, rows: Sequence[WeekRow]) -> str:
        assert self.turns is not None
        off = sum(1 for row in rows if differs(row, letter_by_number(self.turns, row.start)))
        said = "beside each ISO week number stands the letter that odd and even numbers would have given: "
        return said + (f"it differs in {number(off, 'week')}, marked !" if off else "it never differs")


def differs(row: WeekRow, would: str | None) -> bool:
    """Say whether week numbers would have given another letter; a week without one cannot differ."""
    return would is not None and row.letter is not None and row.letter != would


def weekdays_of(days: Sequence[date]) -> str:
    """Return the weekdays of some dates of one week: `Mon to Thu`, `Mon, Wed`."""
    names = [WEEKDAYS[day.weekday()] for day in days]
    is_run = all((later - day).days == 1 for day, later in pairwise(days))
    return f"{names[0]} to {names[-1]}" if is_run and len(names) > 2 else ", ".join(names)
