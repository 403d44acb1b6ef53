"""Recurrence rules of whole days (RFC 5545, 3.3.10): read strictly, expanded in counted steps.

A general library searches for the next day of a rule up to the year 9999, so a rule that never holds
("30 February, daily") keeps it busy for seconds however soon the wanted dates end. Here a rule is
looked at period by period (year, month, week or day), no further than the last wanted date, and every
day looked at is counted. Forms that programs are known to read differently are refused.
"""

import re
from calendar import isleap, monthrange
from datetime import date
from typing import Literal

from chime.records import NamedTuple

Frequency = Literal["YEARLY", "MONTHLY", "WEEKLY", "DAILY"]

RuleKind = Literal[
    "frequency",
    "rule part",
    "rule value",
    "weekly positions",
    "count and until",
    "out of step",
    "too many steps",
]

MOST_STEPS = 50_000
"""Days that may be looked at for one rule: 137 years of a daily one."""

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")

_FREQUENCIES: dict[str, Frequency] = {
    "YEARLY": "YEARLY", "MONTHLY": "MONTHLY", "WEEKLY": "WEEKLY", "DAILY": "DAILY",
}  # fmt: skip
_CHOOSING = ("BYMONTH", "BYWEEKNO", "BYYEARDAY", "BYMONTHDAY", "BYDAY")
_PARTS = frozenset(("FREQ", "INTERVAL", "COUNT", "UNTIL", "WKST", "BYSETPOS", *_CHOOSING))
_NUMBER = re.compile(r"[+-]?[0-9]{1,9}")
_WEEKDAY = re.compile(rf"([+-]?[0-9]{{1,2}})?({'|'.join(WEEKDAYS)})")

Numbers = frozenset[int]


class RuleError(ValueError):
    """A rule that cannot be used, with what kind of trouble it is and a few words about it."""

    def __init__(self, kind: RuleKind, detail: str) -> None:
        super().__init__(detail)
        self.kind, self.detail = kind, detail


class DayRule(NamedTuple):
    """A rule whose left-out parts are filled in from its first day; an empty set chooses every day.

    `weekdays` holds pairs of a number and a weekday (0 is Monday): 1 the first, -1 the last, 0 every.
    """

    frequency: Frequency
    interval: int
    total: int | None
    until: date | None
    week_start: int
    months: Numbers
    week_numbers: Numbers
    year_days: Numbers
    month_days: Numbers
    weekdays: frozenset[tuple[int, int]]
    positions: Numbers


# --------------------------------------------------------------------- reading


def read_rule(text: str, start: date) -> DayRule:
    """Read the value of an RRULE property for an entry that begins on the day `start`.

    Raises RuleError for whatever is no rule of whole days, or is read differently by different programs.
    """
    parts = _split(text)
    frequency = _frequency(parts)
    _refuse_parts(parts, frequency)
    rule = DayRule(
        frequency,
        _positive(parts, "INTERVAL") or 1,
        _positive(parts, "COUNT"),
        _until(parts, start),
        _week_start(parts),
        _numbers(parts, "BYMONTH", 12, is_signed=False),
        _numbers(parts, "BYWEEKNO", 53),
        _numbers(parts, "BYYEARDAY", 366),
        _numbers(parts, "BYMONTHDAY", 31),
        _weekdays(parts),
        _numbers(parts, "BYSETPOS", 366),
    )
    _refuse_doubtful(rule)
    return _filled_in(rule, start)


def _split(text: str) -> dict[str, str]:
    parts: dict[str, str] = {}
    # A semicolon at the very end is common and means nothing.
    for part in text.upper().removesuffix(";").split(";"):
        name, equals, value = part.partition("=")
        if not equals or not name or not value:
            raise RuleError("rule value", f"its rule has a part that is no name and value: {_short(part)}")
        if name in parts:
            raise RuleError("rule value", f"its rule says {_short(name)} twice")
        parts[name] = value
    return parts


def _short(text: str) -> str:
    return f'"{text}"' if len(text) <= 40 else f'"{text[:39]}…"'


def _frequency(parts: dict[str, str]) -> Frequency:
    written = parts.get("FREQ")
    if written is None:
        raise RuleError("frequency", "its rule does not say how often (FREQ)")
    if written not in _FREQUENCIES:
        raise RuleError("frequency", f"it repeats {_short(written)}, which is no number of whole days")
    return _FREQUENCIES[written]


def _refuse_parts(parts: dict[str, str], frequency: Frequency) -> None:
    if unknown := sorted(parts.keys() - _PARTS):
        raise RuleError("rule part", f"its rule has {_short(unknown[0])}, which is nothing for whole days")
    if "COUNT" in parts and "UNTIL" in parts:
        raise RuleError("count and until", "its rule has both COUNT and UNTIL")
    if "BYSETPOS" in parts and frequency == "WEEKLY":
        raise RuleError("weekly positions", "its rule counts positions (BYSETPOS) in a week")
    misplaced = {
        "BYMONTHDAY": frequency == "WEEKLY",
        "BYYEARDAY": frequency != "YEARLY",
        "BYWEEKNO": frequency != "YEARLY",
        "BYSETPOS": not any(part in parts for part in _CHOOSING),
    }
    for part, is_wrong in misplaced.items():
        if part in parts and is_wrong:
            raise RuleError("rule part", f"its {frequency} rule cannot have {part} here")


def _refuse_doubtful(rule: DayRule) -> None:
    """Refuse the forms on which widely used expanders are known to differ."""
    numbered = {abs(nth) for nth, _ in rule.weekdays if nth}
    is_in_months = rule.frequency == "MONTHLY" or bool(rule.months)
    chosen_by = [bool(days) for days in (rule.week_numbers, rule.year_days, rule.month_days)]
    edges = rule.week_numbers & {1, 52, 53} or {week for week in rule.week_numbers if week < 0}
    is_of_every_month = rule.frequency == "YEARLY" and not rule.months
    doubts = {
        "a numbered weekday in a rule that is neither MONTHLY nor YEARLY": (
            bool(numbered) and rule.frequency in ("WEEKLY", "DAILY")
        ),
        "a numbered weekday beside BYMONTHDAY, BYYEARDAY or BYWEEKNO": bool(numbered) and any(chosen_by),
        "numbered and other weekdays together": 0
        < sum(1 for nth, _ in rule.weekdays if nth)
        < len(rule.weekdays),
        "a sixth or later weekday of a month": is_in_months and max(numbered, default=0) > 5,
        "two of BYWEEKNO, BYYEARDAY and BYMONTHDAY": sum(chosen_by) > 1,
        "BYMONTHDAY in a YEARLY rule that names no month": bool(rule.month_days) and is_of_every_month,
        "BYWEEKNO without BYDAY": bool(rule.week_numbers) and not rule.weekdays,
        "BYWEEKNO with BYSETPOS": bool(rule.week_numbers and rule.positions),
        "a week that may lie in two years, and not every year": bool(edges) and rule.interval > 1,
    }
    for doubt, is_so in doubts.items():
        if is_so:
            raise RuleError("rule part", f"its rule has {doubt}, which programs read differently")


def _filled_in(rule: DayRule, start: date) -> DayRule:
    """Take from the first day what the rule leaves out: its weekday, its day or its month and day."""
    if rule.weekdays or rule.month_days or rule.year_days or rule.frequency == "DAILY":
        return rule
    if rule.frequency == "WEEKLY":
        return rule._replace(weekdays=frozenset(((0, start.weekday()),)))
    months = rule.months or (Numbers((start.month,)) if rule.frequency == "YEARLY" else rule.months)
    return rule._replace(months=months, month_days=Numbers((start.day,)))


def _positive(parts: dict[str, str], name: str) -> int | None:
    if name not in parts:
        return None
    if not _NUMBER.fullmatch(parts[name]) or int(parts[name]) < 1:
        raise RuleError("rule value", f"the {name} of its rule is {_short(parts[name])}")
    return int(parts[name])


def _numbers(parts: dict[str, str], name: str, most: int, *, is_signed: bool = True) -> Numbers:
    found = set()
    for written in parts[name].split(",") if name in parts else ():
        number = int(written) if _NUMBER.fullmatch(written) else 0
        if not 1 <= (abs(number) if is_signed else number) <= most:
            raise RuleError("rule value", f"the {name} of its rule has {_short(written)}")
        found.add(number)
    return frozenset(found)


def _weekdays(parts: dict[str, str]) -> frozenset[tuple[int, int]]:
    found = set()
    for written in parts["BYDAY"].split(",") if "BYDAY" in parts else ():
        match = _WEEKDAY.fullmatch(written)
        number = int(match[1] or 0) if match else 0
        if match is None or (match[1] and not 1 <= abs(number) <= 53):
            raise RuleError("rule value", f"the BYDAY of its rule has {_short(written)}")
        found.add((number, WEEKDAYS.index(match[2])))
    return frozenset(found)


def _week_start(parts: dict[str, str]) -> int:
    written = parts.get("WKST", "MO")
    if written not in WEEKDAYS:
        raise RuleError("rule value", f"the WKST of its rule is {_short(written)}")
    return WEEKDAYS.index(written)


def _until(parts: dict[str, str], start: date) -> date | None:
    written = parts.get("UNTIL")
    if written is None:
        return None
    if not re.fullmatch(r"[0-9]{8}", written):
        raise RuleError("rule value", f"the UNTIL of its rule is {_short(written)}, not a date")
    try:
        until = date(int(written[:4]), int(written[4:6]), int(written[6:]))
    except ValueError:
        raise RuleError("rule value", f"the UNTIL of its rule is {_short(written)}: no such date") from None
    if until < start:
        raise RuleError("rule value", "its rule ends before it begins")
    return until


# ------------------------------------------------------------------- expanding


class Occurrences(NamedTuple):
    """The days of a rule in order, and how many days were looked at to find them."""

    days: tuple[date, ...]
    steps: int


def is_in_step(rule: DayRule, start: date) -> bool:
    """Tell whether the first day of an entry is one that its rule chooses."""
    return start in _chosen(rule, _candidates(rule, _period(rule, start)))


def occurrences(rule: DayRule, start: date, first: date, last: date, most: int = MOST_STEPS) -> Occurrences:
    """Find the days of a rule that begins on `start` from `first` to `last`, both included.

    Raises RuleError if that takes more than `most` steps. A rule without COUNT is entered at the
    period of `first`, however long ago it began; one with COUNT has to be counted from its start.
    """
    found: list[date] = []
    steps = counted = 0
    last = last if rule.until is None else min(last, rule.until)
    begin = _period(rule, start)
    if rule.total is None:
        ahead = max(0, _period(rule, first) - begin)
        begin += ahead - ahead % rule.interval
    for period in range(begin, _period(rule, last) + 1, rule.interval):
        candidates = _candidates(rule, period)
        steps += 1 + len(candidates)
        if steps > most:
            raise RuleError("too many steps", f"more than {most:,} days have to be looked at for its rule")
        for day in _chosen(rule, candidates):
            if not start <= day <= last:
                continue
            counted += 1
            if day >= first:
                found.append(day)
            if counted == rule.total:
                return Occurrences(tuple(found), steps)
    return Occurrences(tuple(found), steps)


def _period(rule: DayRule, day: date) -> int:
    """Return the number of the year, month, week or day that a date lies in."""
    match rule.frequency:
        case "YEARLY":
            return day.year
        case "MONTHLY":
            return day.year * 12 + day.month - 1
        case "WEEKLY":
            return (day.toordinal() - 1 - rule.week_start) // 7
        case "DAILY":
            return day.toordinal()


def _candidates(rule: DayRule, period: int) -> list[date]:
    """List the days of a period in order, without those that the days of month or year rule out."""
    match rule.frequency:
        case "YEARLY" if rule.year_days:
            before = date(period, 1, 1).toordinal() - 1
            return [date.fromordinal(before + n) for n in _counted(rule.year_days, _length(period))]
        case "YEARLY":
            months = sorted(rule.months) or range(1, 13)
            return [day for month in months for day in _of_month(rule, period, month)]
        case "MONTHLY":
            return _of_month(rule, period // 12, period % 12 + 1)
        case "WEEKLY":
            first = period * 7 + rule.week_start + 1
            end = min(first + 7, date.max.toordinal() + 1)
            return [date.fromordinal(n) for n in range(max(first, 1), end)]
        case "DAILY":
            return [date.fromordinal(period)]


def _length(year: int) -> int:
    return 366 if isleap(year) else 365


def _of_month(rule: DayRule, year: int, month: int) -> list[date]:
    length = monthrange(year, month)[1]
    numbers = _counted(rule.month_days, length) if rule.month_days else range(1, length + 1)
    return [date(year, month, number) for number in numbers]


def _counted(numbers: Numbers, length: int) -> list[int]:
    """Resolve numbers that may count from the end; those that the month or year does not have fall out."""
    resolved = {number if number > 0 else length + 1 + number for number in numbers}
    return sorted(number for number in resolved if 1 <= number <= length)


def _chosen(rule: DayRule, candidates: list[date]) -> list[date]:
    days = [day for day in candidates if _is_chosen(rule, day)]
    if not rule.positions:
        return days
    return [days[number - 1] for number in _counted(rule.positions, len(days))]


def _is_chosen(rule: DayRule, day: date) -> bool:
    return (
        (not rule.months or day.month in rule.months)
        and (not rule.weekdays or _is_on_weekday(rule, day))
        and (not rule.month_days or _is_on_month_day(rule, day))
        and (not rule.week_numbers or _is_in_week(rule, day))
    )


def _is_on_weekday(rule: DayRule, day: date) -> bool:
    weekday = day.weekday()
    if (0, weekday) in rule.weekdays:
        return True
    if rule.frequency == "MONTHLY" or rule.months:
        index, length = day.day - 1, monthrange(day.year, day.month)[1]
    else:
        index, length = day.timetuple().tm_yday - 1, _length(day.year)
    from_start, from_end = index // 7 + 1, -((length - 1 - index) // 7 + 1)
    return (from_start, weekday) in rule.weekdays or (from_end, weekday) in rule.weekdays


def _is_on_month_day(rule: DayRule, day: date) -> bool:
    length = monthrange(day.year, day.month)[1]
    return day.day in rule.month_days or day.day - length - 1 in rule.month_days


def _is_in_week(rule: DayRule, day: date) -> bool:
    """Tell whether a day lies in a chosen week; week 1 is the first with four days in its year.

    The middle day of a week, three days after its first, lies in the year that the week belongs to.
    """
    middle = day.toordinal() - (day.weekday() - rule.week_start) % 7 + 3
    if not 1 <= middle <= date.max.toordinal():
        return False
    of_year = date.fromordinal(middle).timetuple().tm_yday
    number, left = (of_year - 1) // 7 + 1, (_length(date.fromordinal(middle).year) - of_year) // 7
    return number in rule.week_numbers or -1 - left in rule.week_numbers
