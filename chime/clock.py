"""Times of day, durations and weekdays as whole numbers; imports nothing of chime.

A time of day is a whole number of seconds after the midnight that begins its date. It may pass
24:00 (86,400): what a night shift rings at two in the morning is still counted to the evening before.
"""

from datetime import date, datetime, timedelta

DAY = 86_400
"""Seconds of a day on the dial; a day with a clock change differs only in absolute time."""

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def read_time(text: str) -> int | None:
    """Return the seconds of `08:45` or `08:45:30`, up to 47:59:59; None if out of range."""
    hours, minutes, *rest = (int(part) for part in text.split(":"))
    seconds = rest[0] if rest else 0
    if hours > 47 or minutes > 59 or seconds > 59:
        return None
    return hours * 3600 + minutes * 60 + seconds


def write_time(seconds: int) -> str:
    """Return `08:45`, or `08:45:30` where the seconds are not zero; hours may pass 24."""
    hours, rest = divmod(seconds, 3600)
    minutes, left = divmod(rest, 60)
    return f"{hours:02}:{minutes:02}" + (f":{left:02}" if left else "")


def write_duration(seconds: int) -> str:
    """Return a duration in the language's words: `6 s`, `50 min`, `1 h 35 min`."""
    sign, seconds = ("-", -seconds) if seconds < 0 else ("", seconds)
    hours, rest = divmod(seconds, 3600)
    minutes, left = divmod(rest, 60)
    parts = [f"{n} {unit}" for n, unit in ((hours, "h"), (minutes, "min"), (left, "s")) if n]
    return sign + (" ".join(parts) or "0 min")


def weekday_of(day: date) -> str:
    """Return the weekday of a date in three letters, `Mon` to `Sun`."""
    return WEEKDAYS[day.weekday()]


def write_date(day: date) -> str:
    """Return a date with its weekday, as a programme may write it: `Mon 2026-09-07`."""
    return f"{weekday_of(day)} {day.isoformat()}"


def moment(day: date, seconds: int) -> datetime:
    """Return the civil date and time (naive local) of a time of a service day."""
    return datetime(day.year, day.month, day.day) + timedelta(seconds=seconds)


def dates(first: date, last: date) -> list[date]:
    """Return every date from first to last, both included."""
    start = first.toordinal()
    return [date.fromordinal(n) for n in range(start, last.toordinal() + 1)]


def week_start(day: date, anchor: date) -> date:
    """Return the first day of a date's week: Monday, or the anchor's own Saturday or Sunday."""
    begins = anchor.weekday() if anchor.weekday() >= 5 else 0
    return day - timedelta(days=(day.weekday() - begins) % 7)
