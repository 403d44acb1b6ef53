"""Times, dates, weekdays and units as people write them, and how the language writes them.

Pure functions from text to text; None where the text is not such a value or could be two.
"""

import re
from datetime import date

DASHES = "-\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe63\uff0d"
"""The hyphen of the keyboard and what word processors make of it: hyphens, dashes and minus signs."""

DASHES_STRAIGHT = str.maketrans(dict.fromkeys(DASHES, "-"))

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

_WEEKDAYS = {
    "Mon": "mon monday mondays",
    "Tue": "tue tues tuesday tuesdays",
    "Wed": "wed weds wednesday wednesdays",
    "Thu": "thu thur thurs thursday thursdays",
    "Fri": "fri friday fridays",
    "Sat": "sat saturday saturdays",
    "Sun": "sun sunday sundays",
}
_WEEKDAY_MEANT = {typed: day for day, words in _WEEKDAYS.items() for typed in words.split()}

_WEEKDAY_GROUPS = {
    "weekday": "Mon to Fri",
    "weekdays": "Mon to Fri",
    "schooldays": "Mon to Fri",
    "weekend": "Sat, Sun",
    "weekends": "Sat, Sun",
    "daily": "Mon to Sun",
    "everyday": "Mon to Sun",
}

_UNITS = {
    "s": "s sec secs second seconds",
    "min": "min mins minute minutes",
    "h": "h hr hrs hour hours",
    "d": "d day days",
    "ms": "ms msec msecs millisecond milliseconds",
    "mm": "mm millimetre millimetres millimeter millimeters",
    "in": "in inch inches",
    "V": "v volt volts",
    "A": "a amp amps ampere amperes",
    "mA": "ma milliamp milliamps milliampere milliamperes",
    "ohm": "ohm ohms \u03c9",
    "mm2": "mm2 mm\u00b2 sqmm",
    "m": "metre metres meter meters",
    "degrees": "degrees degree deg degs",
    "%": "percent pct",
}
_UNIT_MEANT = {typed: unit for unit, words in _UNITS.items() for typed in words.split()}

UNITS = frozenset(_UNITS)

CLOCK_WORDS = {"noon": ("12:00",), "midday": ("12:00",), "midnight": ("24:00", "00:00")}

_CLOCK = re.compile(r"(\d{1,2})[:.](\d\d)(?::(\d\d))?|(\d{1,2})(\d\d)", re.ASCII)
_HALF_DAY = re.compile(r"(\d{1,2})(?:[:.](\d\d))?\s?([ap])\.?m\.?", re.ASCII | re.IGNORECASE)
_H_BETWEEN = re.compile(r"(\d{1,2})h(\d\d)?", re.ASCII | re.IGNORECASE)
_YEAR_FIRST = re.compile(r"(\d{4})[-/.]?(\d{1,2})[-/.]?(\d{1,2})", re.ASCII)
_DAY_MONTH_NAME = re.compile(r"(\d{1,2})\D*?[\s.-]*(?:of\s+)?([a-z]{3})[a-z]*\D+(\d{4})", re.ASCII)
_MONTH_NAME_DAY = re.compile(r"([a-z]{3})[a-z]*\D+(\d{1,2})\D+(\d{4})", re.ASCII)


def read_clock(text: str) -> str | None:
    """Return `8:45`, `08.45`, `0845` or `8:45:30` as the language writes it, if it is a time of day."""
    match = _CLOCK.fullmatch(text)
    if match is None:
        return None
    hours, minutes, seconds, *glued = match.groups()
    if glued[0]:
        hours, minutes = glued
    return _written(int(hours), int(minutes), seconds)


def read_half_day(text: str) -> str | None:
    """Return `3pm` or `8:45 a.m.` as the language writes it."""
    match = _HALF_DAY.fullmatch(text)
    if match is None:
        return None
    hours, minutes, half = int(match[1]), int(match[2] or 0), match[3].lower()
    if hours > 12:
        return _written(hours, minutes) if half == "p" else None
    return _written(hours % 12 + (12 if half == "p" else 0), minutes)


def read_h_between(text: str) -> str | None:
    """Return `15h30` or `15h` as the language writes it."""
    match = _H_BETWEEN.fullmatch(text)
    return _written(int(match[1]), int(match[2] or 0)) if match else None


def _written(hours: int, minutes: int, seconds: str | None = None) -> str | None:
    if hours > 47 or minutes > 59 or int(seconds or 0) > 59:
        return None
    return f"{hours:02}:{minutes:02}" + (f":{seconds}" if seconds else "")


def read_date(text: str) -> str | None:
    """Return a date whose year comes first or whose month is a word, as the language writes it."""
    folded = text.translate(DASHES_STRAIGHT).casefold()
    if match := _YEAR_FIRST.fullmatch(folded):
        return _real_date(match[1], match[2], match[3])
    if match := _DAY_MONTH_NAME.fullmatch(folded):
        return _named_date(match[3], match[2], match[1])
    if match := _MONTH_NAME_DAY.fullmatch(folded):
        return _named_date(match[3], match[1], match[2])
    return None


def is_month(text: str) -> bool:
    """Say whether a word names a month."""
    return len(text) >= 3 and text.casefold()[:3] in MONTHS


def _named_date(year: str, month: str, day: str) -> str | None:
    return _real_date(year, str(MONTHS.index(month) + 1), day) if month in MONTHS else None


def _real_date(year: str, month: str, day: str) -> str | None:
    try:
        return date(int(year), int(month), int(day)).isoformat()
    except ValueError:
        return None


def weekday_meant(text: str) -> str | None:
    """Return the weekday in the language's three letters; None for any other word."""
    return _WEEKDAY_MEANT.get(text.casefold())


def weekdays_meant(text: str) -> str | None:
    """Return the weekdays that one word stands for, such as `weekdays`."""
    return _WEEKDAY_GROUPS.get(text.casefold())


def unit_meant(text: str) -> str | None:
    """Return the language's unit for a unit by another name or in other letters; None for any other word."""
    return None if text in UNITS else _UNIT_MEANT.get(text.casefold())
