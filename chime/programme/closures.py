"""Closed days out of an iCalendar file (RFC 5545): its all-day entries as dates.

The file may come from anywhere, so it is read entry by entry, and only the properties that say when an
entry is and what it is called. What cannot be read in exactly one way is a problem and closes no day.
Several calendars in one file are read one after the other.
"""

import re
from collections.abc import Iterable
from datetime import date, datetime
from typing import Literal

from chime.programme.calendar_entries import (
    LISTS,
    LONGEST_SUMMARY,
    CalendarFileError,
    Entry,
    FileKind,
    Property,
    cleaned,
    entries_of,
    quoted,
)
from chime.programme.day_rules import (
    MOST_STEPS,
    DayRule,
    RuleError,
    RuleKind,
    is_in_step,
    occurrences,
    read_rule,
)
from chime.records import NamedTuple

EntryKind = Literal[
    "timed", "time among dates", "several rules", "this and later", "said twice", "broken entry"
]  # fmt: skip
Kind = FileKind | EntryKind | RuleKind

MOST_WORK = 500_000
"""Days that may be looked at and closed for all entries of a file together."""


class Problem(NamedTuple):
    """What cannot be used: of the whole file, or of one entry, whose SUMMARY is given if it has one.

    `detail` is a few words without a capital or a full stop, such as "it has times of day".
    """

    kind: Kind
    detail: str
    summary: str | None = None


class Closures(NamedTuple):
    """Closed dates with the SUMMARY that closes each (perhaps empty), sorted, and what was not used."""

    days: tuple[tuple[date, str], ...]
    problems: tuple[Problem, ...]


class _EntryError(ValueError):
    def __init__(self, kind: EntryKind, detail: str) -> None:
        super().__init__(detail)
        self.kind, self.detail = kind, detail


class _Series(NamedTuple):
    """An all-day entry: its first day, length in days, and what makes it come again.

    With `replaces` it stands for that one day of the entry of the same key.
    """

    key: tuple[int, str] | None
    replaces: date | None
    revision: int
    is_cancelled: bool
    start: date
    length: int
    summary: str
    rule: DayRule | None
    also: frozenset[date]
    without: frozenset[date]


def read_closures(content: bytes, first: date, last: date) -> Closures:
    """Return the all-day entries of an iCalendar file from `first` to `last`, both included.

    A file that cannot be read as a whole gives one problem and no days. Bounded: a file, a number of
    entries, a rule or all of them together that need too much work are problems.
    """
    try:
        entries = list(entries_of(content))
    except CalendarFileError as error:
        return Closures((), (Problem(error.kind, error.detail),))
    problems: list[Problem] = []
    series: list[_Series] = []
    for entry in entries:
        summary = cleaned(entry.value("SUMMARY")[: LONGEST_SUMMARY + 1])
        try:
            found = _read_entry(entry, summary, first, last)
        except (_EntryError, RuleError) as error:
            where = "" if summary else f" (it begins at line {entry.line})"
            problems.append(Problem(error.kind, error.detail + where, _shortened(summary)))
        else:
            series += [found] if found else []
    series, doubled = _latest(series)
    days, refused = _expand(series, first, last)
    return Closures(days, (*problems, *doubled, *refused))


def _shortened(summary: str) -> str | None:
    return (summary if len(summary) <= 60 else f"{summary[:59]}…") or None


# ----------------------------------------------------------------- one entry


def _read_entry(entry: Entry, summary: str, first: date, last: date) -> _Series | None:
    """Return an all-day entry, or None for one that is cancelled or timed on other dates."""
    if entry.faults:
        raise _EntryError("broken entry", entry.faults[0])
    if len(entry.value("SUMMARY")) > LONGEST_SUMMARY:
        raise _EntryError("broken entry", f"its SUMMARY is longer than {LONGEST_SUMMARY} characters")
    key = _key(entry)
    is_cancelled = entry.value("STATUS").upper() == "CANCELLED"
    replaces = _replaced(entry, key)
    if is_cancelled:
        if not isinstance(replaces, date) or isinstance(replaces, datetime):
            return None
        nothing: frozenset[date] = frozenset()
        return _Series(key, replaces, _revision(entry), True, replaces, 0, summary, None, nothing, nothing)
    start = _start(entry)
    if isinstance(start, datetime):
        if _is_elsewhere(entry, start, first, last):
            return None
        raise _EntryError("timed", f"it has times of day ({start:%Y-%m-%d %H:%M})")
    if isinstance(replaces, datetime):
        raise _EntryError("time among dates", "it stands for a time of day of an entry of whole days")
    without = _dates(entry, "EXDATE")
    return _Series(
        key,
        replaces,
        _revision(entry),
        False,
        start,
        _length(entry, start),
        summary,
        _rule(entry, start, without),
        _dates(entry, "RDATE"),
        without,
    )


def _key(entry: Entry) -> tuple[int, str] | None:
    uid = entry.value("UID")
    return (entry.calendar, uid) if uid else None


def _revision(entry: Entry) -> int:
    written = entry.value("SEQUENCE") or "0"
    if not re.fullmatch(r"[0-9]{1,9}", written):
        raise _EntryError("broken entry", f"its SEQUENCE is {quoted(written)}")
    return int(written)


def _start(entry: Entry) -> date:
    found = entry.properties.get("DTSTART")
    if not found:
        raise _EntryError("broken entry", "it does not say when it begins (DTSTART)")
    return _date(found[0], "DTSTART")


def _date(found: Property, name: str) -> date:
    """Return a date, or a datetime for a date with a time of day."""
    from icalendar.prop import vDDDTypes

    try:
        value = vDDDTypes.from_ical(found.value.strip())
    except (ValueError, TypeError, OverflowError):
        value = None
    if not isinstance(value, date) or (found.value_type == "DATE" and isinstance(value, datetime)):
        raise _EntryError("broken entry", f"its {name} is no date: {quoted(found.value)}")
    return value


def _replaced(entry: Entry, key: tuple[int, str] | None) -> date | None:
    found = entry.properties.get("RECURRENCE-ID")
    if not found:
        return None
    if found[0].has_range:
        raise _EntryError("this and later", "it changes one day of another entry and all that follow")
    if key is None:
        raise _EntryError("broken entry", "it changes another entry and does not say which (UID)")
    if entry.properties.keys() & LISTS:
        raise _EntryError("broken entry", "it changes one day of another entry and repeats itself")
    return _date(found[0], "RECURRENCE-ID")


def _is_elsewhere(entry: Entry, start: datetime, first: date, last: date) -> bool:
    """Tell whether a timed entry is a single one that lies days away from the wanted dates."""
    if entry.properties.keys() & (LISTS | {"DURATION", "RECURRENCE-ID"}):
        return False
    ends = entry.properties.get("DTEND")
    end = _date(ends[0], "DTEND") if ends else start
    return end.toordinal() < first.toordinal() - 1 or start.toordinal() > last.toordinal() + 1


def _length(entry: Entry, start: date) -> int:
    """Return the length of an entry in days: to its DTEND, which is left out, or its DURATION."""
    ends, durations = entry.properties.get("DTEND"), entry.properties.get("DURATION")
    if ends and durations:
        raise _EntryError("broken entry", "it has both DTEND and DURATION")
    if ends:
        end = _date(ends[0], "DTEND")
        if isinstance(end, datetime):
            raise _EntryError("time among dates", "it begins with a date and ends with a time of day")
        if end <= start:
            raise _EntryError("broken entry", "its DTEND, the day after its last, is not after its first day")
        return (end - start).days
    return _days_of(durations[0]) if durations else 1


def _days_of(duration: Property) -> int:
    from icalendar.prop import vDuration

    try:
        length = vDuration.from_ical(duration.value.strip())
    except (ValueError, OverflowError):
        raise _EntryError("broken entry", f"its DURATION is {quoted(duration.value)}") from None
    if length.seconds or length.days < 1:
        raise _EntryError("time among dates", f"its DURATION, {quoted(duration.value)}, is not whole days")
    return int(length.days)


def _dates(entry: Entry, name: str) -> frozenset[date]:
    found = set()
    for each in entry.properties.get(name, ()):
        for written in each.value.split(","):
            day = _date(each._replace(value=written), name)
            if isinstance(day, datetime):
                raise _EntryError("time among dates", f"its {name} has a time of day: {quoted(written)}")
            found.add(day)
    return frozenset(found)


def _rule(entry: Entry, start: date, without: frozenset[date]) -> DayRule | None:
    rules = entry.properties.get("RRULE", [])
    if len(rules) > 1 or "EXRULE" in entry.properties:
        raise _EntryError("several rules", "it has more than one rule")
    if not rules:
        return None
    rule = read_rule(rules[0].value.strip(), start)
    # The standard leaves open what the first day counts for if its own rule does not choose it (3.8.5.3).
    if not is_in_step(rule, start) and (start not in without or rule.total is not None):
        raise RuleError("out of step", f"its first day, {start.isoformat()}, is not one that its rule gives")
    return rule


# ---------------------------------------------------------------- all of them


def _latest(series: Iterable[_Series]) -> tuple[list[_Series], list[Problem]]:
    """Keep the newest of entries that say they are the same (3.8.7.4); two that differ are a problem."""
    kept: dict[object, _Series] = {}
    doubled: dict[object, Problem] = {}
    for number, each in enumerate(series):
        place: object = number if each.key is None else (each.key, each.replaces)
        known = kept.setdefault(place, each)
        if each.revision > known.revision:
            kept[place] = each
            doubled.pop(place, None)
        elif each.revision == known.revision and each != known:
            detail = "another entry says that it is the same one (UID) and is different"
            doubled.setdefault(place, Problem("said twice", detail, _shortened(each.summary)))
    return [each for place, each in kept.items() if place not in doubled], list(doubled.values())


def _expand(
    series: list[_Series], first: date, last: date
) -> tuple[tuple[tuple[date, str], ...], list[Problem]]:
    """Return the days of all entries, sorted, and those entries whose rules need too much work."""
    replaced: dict[tuple[int, str], set[date]] = {}
    for each in series:
        if each.key is not None and each.replaces is not None:
            replaced.setdefault(each.key, set()).add(each.replaces)
    closed: set[tuple[date, str]] = set()
    problems: list[Problem] = []
    left = MOST_WORK
    for each in series:
        others = replaced.get(each.key, set()) if each.key and each.replaces is None else set()
        try:
            days, work = _days(each, others, (first, last), left)
        except RuleError as error:
            work, days = MOST_STEPS, set()
            if left > work:
                problems.append(Problem(error.kind, error.detail, _shortened(each.summary)))
        left -= work
        if left <= 0:
            detail = f"more than {MOST_WORK:,} days have to be looked at for its entries"
            return (), [*problems, Problem("too large", detail)]
        closed |= {(day, each.summary) for day in days}
    return tuple(sorted(closed)), problems


def _days(
    series: _Series, replaced: set[date], bounds: tuple[date, date], most: int
) -> tuple[set[date], int]:
    """Return the days that an entry closes within bounds, and how many were looked at for it."""
    low, high = (bound.toordinal() for bound in bounds)
    starts, work = {series.start}, 1
    if series.rule is not None:
        # An entry of several days may begin before the wanted dates and reach into them.
        earliest = date.fromordinal(max(1, low - series.length + 1))
        found = occurrences(series.rule, series.start, earliest, bounds[1], min(MOST_STEPS, most))
        starts, work = set(found.days), found.steps
    days: set[int] = set()
    for start in sorted((starts | series.also) - series.without - replaced):
        begin = max(start.toordinal(), low)
        end = min(start.toordinal() + series.length, high + 1)
        work += 1 + max(0, end - begin)
        if work > most:
            break
        days.update(range(begin, end))
    return {date.fromordinal(day) for day in days}, work
