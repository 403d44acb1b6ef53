"""What can be wrong with weeks, cycles and terms: codes N351 to N360, N370."""

from collections.abc import Sequence
from datetime import date, timedelta

from chime.clock import WEEKDAYS, write_date
from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain, sketch, write_instead

_TERMS = """
term "Autumn" 2026-09-03 to 2026-12-17
  week ordinary
term "Spring" 2027-01-07 to 2027-03-19
  """

WEEKDAY_UNANSWERED = Code(
    "N351", "weekday-unanswered", "error",
    "A week says for every weekday what runs, or that it is silent: a day left out by mistake would have no bells.",
    "week ordinary\n  Mon to Fri normal",
    "week ordinary\n  Mon to Fri normal\n  Sat, Sun silent",
)  # fmt: skip
WEEKDAY_TWICE = Code(
    "N352", "weekday-twice", "error",
    "A week answers each weekday once.",
    "week ordinary\n  Mon to Fri normal\n  Fri to Sun silent",
    "week ordinary\n  Mon to Thu normal\n  Fri to Sun silent",
)  # fmt: skip
CYCLE_DAYS_MISSING = Code(
    "N353", "cycle-day-missing", "error",
    "The days of a cycle are numbered from 1 without a gap.",
    "cycle three on Mon to Fri\n  day 1 normal\n  day 3 silent" + _TERMS + "cycle three from 2027-01-07 slip",
    "cycle three on Mon to Fri\n  day 1 normal\n  day 2 normal\n  day 3 silent" + _TERMS
    + "cycle three from 2027-01-07 slip",
)  # fmt: skip
CYCLE_DAY_TWICE = Code(
    "N354", "cycle-day-twice", "error",
    "A cycle answers each of its days once.",
    "cycle two on Mon to Fri\n  day 1 normal\n  day 1 silent\n  day 2 normal" + _TERMS
    + "cycle two from 2027-01-07 slip",
    "cycle two on Mon to Fri\n  day 1 normal\n  day 2 silent" + _TERMS + "cycle two from 2027-01-07 slip",
)  # fmt: skip
DATES_BACKWARDS = Code(
    "N355", "dates-backwards", "error",
    "A range of dates ends on or after the date it begins with.",
    'exceptions\n  2026-10-23 to 2026-10-19 silent "Half term"',
    'exceptions\n  2026-10-19 to 2026-10-23 silent "Half term"',
)  # fmt: skip
TERM_TOO_LONG = Code(
    "N356", "term-too-long", "error",
    "A term is two years (731 days) long at most, and from the first term's first date to the last term's last are ten "
    "years at most. A longer one is a slip in a date.",
    'term "Other" 2027-01-04 to 2527-01-04',
    'term "Other" 2027-01-04 to 2027-03-26',
)  # fmt: skip
TERMS_OVERLAP = Code(
    "N357", "terms-overlap", "error",
    "A date belongs to one term. A timetable that changes in mid-term is written as two terms without a gap.",
    'term "One" 2027-01-04 to 2027-03-26\nterm "Two" 2027-03-26 to 2027-05-28',
    'term "One" 2027-01-04 to 2027-03-26\nterm "Two" 2027-03-29 to 2027-05-28',
)  # fmt: skip
TWO_PATTERNS = Code(
    "N358", "two-patterns", "error",
    "A term has one pattern: a week, weeks in turn, or a cycle.",
    'term "Other" 2027-01-04 to 2027-03-26\n  week ordinary\n  weeks ordinary from 2027-01-04 counting school weeks',
    'term "Other" 2027-01-04 to 2027-03-26\n  week ordinary',
)  # fmt: skip
NO_PATTERN = Code(
    "N359", "no-pattern", "error",
    "A term says which week, weeks or cycle it runs, unless the programme has one week block only.",
    "week other\n  Mon normal\n  Tue to Sun silent" + _TERMS + 'week other\nterm "Summer" 2027-04-15 to 2027-07-14',
    "week other\n  Mon normal\n  Tue to Sun silent" + _TERMS
    + 'week other\nterm "Summer" 2027-04-15 to 2027-07-14\n  week other',
)  # fmt: skip
ANCHOR_LATE = Code(
    "N360", "anchor-late", "error",
    "Weeks and cycles count from their anchor. One that lies after the term's first week (or first day of the cycle) "
    "leaves the dates before it without a letter or number.",
    'term "Other" 2027-01-04 to 2027-03-26\n  weeks ordinary from 2027-01-18 counting school weeks',
    'term "Other" 2027-01-04 to 2027-03-26\n  weeks ordinary from 2027-01-04 counting school weeks',
)  # fmt: skip
NO_TERM = Code(
    "N370", "no-term", "error",
    "Without a term there is no date on which anything could ring.",
    "",
    "",
)  # fmt: skip

CODES = (
    WEEKDAY_UNANSWERED,
    WEEKDAY_TWICE,
    CYCLE_DAYS_MISSING,
    CYCLE_DAY_TWICE,
    DATES_BACKWARDS,
    TERM_TOO_LONG,
    TERMS_OVERLAP,
    TWO_PATTERNS,
    NO_PATTERN,
    ANCHOR_LATE,
    NO_TERM,
)


def weekdays_unanswered(span: Span, week: str, missing: Sequence[int]) -> Diagnostic:
    """Say that a week leaves weekdays out."""
    days = ", ".join(WEEKDAYS[n] for n in missing)
    return complain(
        WEEKDAY_UNANSWERED, f'the week "{week}" does not answer {days}', (span, f"nothing said of {days}"),
        "Every weekday runs a timetable or is silent; a day left out by mistake would have no bells.",
        offers=sketch(f"{days}  silent"),
    )  # fmt: skip


def weekday_twice(span: Span, weekday: int, first: Span) -> Diagnostic:
    """Say that a week answers a weekday twice."""
    return complain(
        WEEKDAY_TWICE, f"{WEEKDAYS[weekday]} is answered twice", (span, "answered again"),
        "Which of the two lines is meant could not be told.", [(first, "first answered here")],
    )  # fmt: skip


def cycle_days_missing(span: Span, cycle: str, missing: Sequence[int]) -> Diagnostic:
    """Say that a cycle's numbers have a gap."""
    days = ", ".join(f"day {n}" for n in missing)
    return complain(
        CYCLE_DAYS_MISSING, f'the cycle "{cycle}" does not answer {days}', (span, f"nothing said of {days}"),
        "The days of a cycle are numbered from 1 without a gap; one left out by mistake would have no bells.",
    )  # fmt: skip


def cycle_day_twice(span: Span, number: int, first: Span) -> Diagnostic:
    """Say that a cycle answers a day twice."""
    return complain(
        CYCLE_DAY_TWICE, f"day {number} is answered twice", (span, "answered again"),
        "Which of the two lines is meant could not be told.", [(first, "first answered here")],
    )  # fmt: skip


def dates_backwards(span: Span, first: date, last: date) -> Diagnostic:
    """Say that a range of dates is backwards."""
    headline = f"the last date, {last.isoformat()}, is before the first, {first.isoformat()}"
    why = "Such a range holds no date, so what is said of it would happen on none."
    offers = sketch(f"{last.isoformat()} to {first.isoformat()}, if the two changed places")
    return complain(DATES_BACKWARDS, headline, (span, "ends before it begins"), why, offers=offers)


def term_too_long(span: Span, days: int, most: int) -> Diagnostic:
    """Say that a term is too long."""
    return complain(
        TERM_TOO_LONG, f"a term of {days:,} days is too long", (span, f"{most} days at most"),
        f"A term is two years ({most} days) long at most; a longer one is a slip in a date.",
    )  # fmt: skip


def programme_too_long(span: Span, first: Span, most: int) -> Diagnostic:
    """Say that the terms lie too far apart."""
    return complain(
        TERM_TOO_LONG, "the terms lie more than ten years apart", (span, "the last term"),
        f"From the first term to the last are {most:,} days at most; more is a slip in a date.", [(first, "the first")],
    )  # fmt: skip


def terms_overlap(span: Span, before: Span, first: date, last: date) -> Diagnostic:
    """Say that two terms share dates."""
    return complain(
        TERMS_OVERLAP, f"this term begins on {first.isoformat()}, while the term {before.text} still runs",
        (span, "begins too early"), "A date belongs to one term, or it would follow two patterns.",
        [(before, f"ends on {last.isoformat()}")],
        sketch(f"end the earlier term on {(first - timedelta(days=1)).isoformat()}"),
    )  # fmt: skip


def two_patterns(span: Span, first: Span) -> Diagnostic:
    """Say that a term has two patterns."""
    return complain(
        TWO_PATTERNS, "this term has two patterns", (span, "the second"),
        "Which of them runs could not be told. A pattern that changes in mid-term is written as two terms without a gap.",
        [(first, "the first")],
    )  # fmt: skip


def no_pattern(span: Span, weeks: Sequence[str]) -> Diagnostic:
    """Say that a term does not say what it runs."""
    said = f"there are {len(weeks)} weeks: {', '.join(weeks)}" if weeks else "there is no week block"
    return complain(
        NO_PATTERN, f"this term does not say what it runs, and {said}", (span, "which week?"),
        "Only where a programme has a single week block may a term leave it unsaid.",
        offers=sketch(f"week {weeks[0]}" if weeks else "week ordinary"),
    )  # fmt: skip


def anchor_late(span: Span, what: str, first: date) -> Diagnostic:
    """Say that an anchor lies after the first week or day it should count."""
    return complain(
        ANCHOR_LATE, f"the {'letters' if what == 'week' else 'numbers'} begin after the term's first {what}",
        (span, f"after {write_date(first)}"),
        "The dates before it would have no letter or number. An anchor may also be a date of an earlier term: the count runs on.",
        offers=write_instead(span, first.isoformat()),
    )  # fmt: skip


def no_term(span: Span) -> Diagnostic:
    """Say that there is no term."""
    return complain(
        NO_TERM, "the programme has no term", (span, "no term"), "Without a term there is no date on which anything rings.",
        offers=sketch('term "Autumn" 2026-09-03 to 2026-12-17'),
    )  # fmt: skip
