"""What can be wrong with a block and its lines: codes N341 to N379."""

from collections.abc import Sequence
from datetime import date, timedelta

from chime.clock import WEEKDAYS, write_date
from chime.diagnostics import Code, Diagnostic, Edit, Span, Suggestion
from chime.diagnostics.complain import complain, sketch, write_instead
from chime.programme.model import Term

_HEAD = 'programme "One"\n  place Europe/London\n  issue 1 on 2026-08-20'
_TERMS = """
term "Autumn" 2026-09-07 to 2026-12-18
  week ordinary
term "Spring" 2027-01-05 to 2027-03-25
  """

LINE_TWICE = Code(
    "N341", "line-twice", "error",
    "Such a line is said once in its block: which of the two is meant could not be told.",
    "timetable normal in main\n  each period start lesson\n  each period end lesson\n  period \"1\" 08:45 - 09:45",
    "timetable normal in main\n  each period start lesson, end lesson\n  period \"1\" 08:45 - 09:45",
)  # fmt: skip
PART_TWICE = Code(
    "N342", "part-twice", "error",
    "A line says each of its parts once.",
    "timetable normal in main\n  each period start lesson, start lesson\n  period \"1\" 08:45 - 09:45",
    "timetable normal in main\n  each period start lesson, end lesson\n  period \"1\" 08:45 - 09:45",
)  # fmt: skip
LIKE_CIRCLE = Code(
    "N343", "like-in-a-circle", "error",
    "A timetable may start from another, but not from one that starts from it.",
    "timetable normal like early\n  ring 08:40 lesson in main\ntimetable early like normal\n  drop after 12:00",
    "timetable normal in main\n  ring 08:40 lesson",
)  # fmt: skip
NO_ZONES = Code(
    "N344", "no-zones", "error",
    "A line rings in the zones it names, else in those of its timetable's first line. One of the two must say.",
    "timetable normal\n  ring 08:40 lesson\n  ring 08:45 lesson in main",
    "timetable normal\n  ring 08:40 lesson in main\n  ring 08:45 lesson in main",
)  # fmt: skip
PERIODS_BACKWARDS = Code(
    "N345", "periods-backwards", "error",
    "`periods 2 to 4` makes the periods 2, 3 and 4: the last number is not below the first, and there are at most 200.",
    "timetable normal in main\n  each period start lesson\n  periods 4 to 2 of 50 min from 09:00",
    "timetable normal in main\n  each period start lesson\n  periods 2 to 4 of 50 min from 09:00",
)  # fmt: skip
MOVE_TIME_TO_RANGE = Code(
    "N346", "move-time-to-range", "error",
    "A ring time moves to one time; a period, named by its label, moves to a range.",
    "exceptions\n  2026-09-15 move 08:40 to 08:50 - 09:00",
    "exceptions\n  2026-09-15 move 08:40 to 08:50",
)  # fmt: skip
PERIODS_TOO_LATE = Code(
    "N347", "periods-too-late", "error",
    "Times of a day run to 47:59, the end of the next morning's day: periods that go on longer are a slip in a length.",
    "timetable normal in main\n  each period start lesson\n  periods 1 to 60 of 60 min from 09:00",
    "timetable normal in main\n  each period start lesson\n  periods 1 to 6 of 60 min from 09:00",
)  # fmt: skip
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
    "cycle three on Mon to Fri\n  day 1 normal\n  day 3 silent" + _TERMS + "cycle three from 2027-01-05 slip",
    "cycle three on Mon to Fri\n  day 1 normal\n  day 2 normal\n  day 3 silent" + _TERMS
    + "cycle three from 2027-01-05 slip",
)  # fmt: skip
CYCLE_DAY_TWICE = Code(
    "N354", "cycle-day-twice", "error",
    "A cycle answers each of its days once.",
    "cycle two on Mon to Fri\n  day 1 normal\n  day 1 silent\n  day 2 normal" + _TERMS
    + "cycle two from 2027-01-05 slip",
    "cycle two on Mon to Fri\n  day 1 normal\n  day 2 silent" + _TERMS + "cycle two from 2027-01-05 slip",
)  # fmt: skip
DATES_BACKWARDS = Code(
    "N355", "dates-backwards", "error",
    "A range of dates ends on or after the date it begins with.",
    'exceptions\n  2026-10-30 to 2026-10-26 silent "Half term"',
    'exceptions\n  2026-10-26 to 2026-10-30 silent "Half term"',
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
    "week other\n  Mon normal\n  Tue to Sun silent" + _TERMS + 'week other\nterm "Summer" 2027-04-13 to 2027-07-20',
    "week other\n  Mon normal\n  Tue to Sun silent" + _TERMS
    + 'week other\nterm "Summer" 2027-04-13 to 2027-07-20\n  week other',
)  # fmt: skip
ANCHOR_LATE = Code(
    "N360", "anchor-late", "error",
    "Weeks and cycles count from their anchor. One that lies after the term's first week (or first day of the cycle) "
    "leaves the dates before it without a letter or number.",
    'term "Other" 2027-01-04 to 2027-03-26\n  weeks ordinary from 2027-01-18 counting school weeks',
    'term "Other" 2027-01-04 to 2027-03-26\n  weeks ordinary from 2027-01-04 counting school weeks',
)  # fmt: skip
DATE_OUTSIDE_TERMS = Code(
    "N361", "date-outside-terms", "error",
    "Every date written in an exception lies in a term: one that does not was carried over from another year, or is a slip.",
    'exceptions\n  2025-10-26 silent "Half term"',
    'exceptions\n  2026-10-26 silent "Half term"',
)  # fmt: skip
WEEKDAY_NOT_IN_RANGE = Code(
    "N362", "weekday-not-in-range", "error",
    "`every` acts on a weekday between two dates; this weekday does not come between them.",
    'exceptions\n  every Fri from 2026-11-02 to 2026-11-05 silent',
    'exceptions\n  every Fri from 2026-11-02 to 2026-11-06 silent',
)  # fmt: skip
SILENT_EVERYWHERE = Code(
    "N363", "silent-everywhere", "error",
    "A whole silent day is written `silent`, which also closes the day for week letters and cycles; `silent` with zones "
    "silences some of them. `silent everywhere` could mean either.",
    'exceptions\n  2026-10-26 silent everywhere "Half term"',
    'exceptions\n  2026-10-26 silent "Half term"',
)  # fmt: skip
REASON_IS_LABEL = Code(
    "N364", "reason-is-label", "error",
    "A label stands straight after `drop`; a string at the end of the line is its reason. This reason is also a label of "
    "the programme, so the line could mean either.",
    'timetable normal in main\n  ring 08:40 lesson "Line up"\nexceptions\n  2026-10-26 drop in main "Line up"',
    'timetable normal in main\n  ring 08:40 lesson "Line up"\nexceptions\n  2026-10-26 drop "Line up" in main "Wet yard"',
)  # fmt: skip
NO_PROGRAMME = Code(
    "N365", "no-programme", "error",
    "A programme begins with a block that names it, its place and its issue.",
    "",
    "",
)  # fmt: skip
TWO_PROGRAMMES = Code(
    "N366", "two-programmes", "error",
    "A programme has one programme block; a file that others use has none.",
    _HEAD + '\nprogramme "Two"\n  place Europe/London\n  issue 1 on 2026-08-20',
    _HEAD,
)  # fmt: skip
PROGRAMME_IN_USED = Code(
    "N367", "programme-in-used-file", "error",
    "A file that a programme uses holds blocks for many programmes, so it has no programme block of its own.",
    "",
    "",
)  # fmt: skip
HEAD_MISSING = Code(
    "N368", "head-line-missing", "error",
    "The programme block says the place (for the clocks) and the issue with its date (the only source of dates in outputs).",
    'programme "One"\n  place Europe/London',
    _HEAD,
)  # fmt: skip
UNKNOWN_PLACE = Code(
    "N369", "unknown-place", "error",
    "The place is a time zone of the IANA data, such as Europe/London: all times are what the clocks there show.",
    'programme "One"\n  place Europe/Londn\n  issue 1 on 2026-08-20',
    _HEAD,
)  # fmt: skip
NO_TERM = Code(
    "N370", "no-term", "error",
    "Without a term there is no date on which anything could ring.",
    "",
    "",
)  # fmt: skip
TWO_MACHINES = Code(
    "N371", "two-machines", "error",
    "A programme is punched for one tape machine.",
    "machine hall\n  loop 24 h in rows of 1 min\nmachine annexe\n  loop 24 h in rows of 1 min",
    "machine hall\n  loop 24 h in rows of 1 min",
)  # fmt: skip
TOLERANCE_TOO_LARGE = Code(
    "N372", "tolerance-too-large", "error",
    "A signal tolerates less than its own length, else no ring at all would do.",
    "signal lesson 6 s within 6 s",
    "signal lesson 6 s within 2 s",
)  # fmt: skip
CLOCK_CHOICE_TWICE = Code(
    "N373", "clock-choice-twice", "error",
    "One thing is done with rings in a missing hour, and one with those in a repeated hour.",
    _HEAD + "\n  clocks skip missing hour, ring missing hour at 03:00",
    _HEAD + "\n  clocks skip missing hour, repeated hour rings first",
)  # fmt: skip
PUBLISHED_NOT_ADDRESS = Code(
    "N374", "not-an-address", "error",
    "`published at` is the address from which calendars are fetched: it begins with https:// or http:// and has no spaces.",
    _HEAD + '\n  published at "the office"',
    _HEAD + '\n  published at "https://bells.example/one.ics"',
)  # fmt: skip

CODES = (
    LINE_TWICE, PART_TWICE, LIKE_CIRCLE, NO_ZONES, PERIODS_BACKWARDS, MOVE_TIME_TO_RANGE, PERIODS_TOO_LATE, WEEKDAY_UNANSWERED,
    WEEKDAY_TWICE, CYCLE_DAYS_MISSING, CYCLE_DAY_TWICE, DATES_BACKWARDS, TERM_TOO_LONG, TERMS_OVERLAP, TWO_PATTERNS,
    NO_PATTERN, ANCHOR_LATE, DATE_OUTSIDE_TERMS, WEEKDAY_NOT_IN_RANGE, SILENT_EVERYWHERE, REASON_IS_LABEL,
    NO_PROGRAMME, TWO_PROGRAMMES, PROGRAMME_IN_USED, HEAD_MISSING, UNKNOWN_PLACE, NO_TERM, TWO_MACHINES,
    TOLERANCE_TOO_LARGE, CLOCK_CHOICE_TWICE, PUBLISHED_NOT_ADDRESS,
)  # fmt: skip


def line_twice(span: Span, first: Span, words: str) -> Diagnostic:
    """Say that a line stands twice in its block."""
    return complain(
        LINE_TWICE, f'"{words}" is said twice in this block', (span, "said again"),
        "Which of the two is meant could not be told.", [(first, "first said here")],
    )  # fmt: skip


def part_twice(span: Span, first: Span) -> Diagnostic:
    """Say that a part stands twice in its line."""
    return complain(
        PART_TWICE, f'"{span.text}" says again what this line has said', (span, "said again"),
        "A line says each of its parts once: another was probably meant, and is now missing.",
        [(first, "first said here")],
    )  # fmt: skip


def like_circle(span: Span, chain: Sequence[str], others: Sequence[Span]) -> Diagnostic:
    """Say that timetables start from each other in a circle."""
    return complain(
        LIKE_CIRCLE, "timetables start from each other in a circle: " + " like ".join(chain), (span, "in the circle"),
        "None of them has a beginning, so none of them can ring.", [(other, "in it too") for other in others],
    )  # fmt: skip


def no_zones(span: Span) -> Diagnostic:
    """Say that a line rings in no zone."""
    return complain(
        NO_ZONES, "neither this line nor its timetable says in which zones it rings", (span, "in which zones?"),
        "Bells that ring nowhere would be missed by everybody.",
        offers=sketch("add `in` and the zones at the end of this line, or to the timetable's first line"),
    )  # fmt: skip


def periods_backwards(span: Span, first: int, last: int) -> Diagnostic:
    """Say that a run of periods is backwards or too long."""
    why = "The last number is not below the first, and one line makes at most 200 periods."
    return complain(
        PERIODS_BACKWARDS, f"periods {first} to {last} cannot be made", (span, "these numbers"), why
    )


def periods_too_late(span: Span, last: int) -> Diagnostic:
    """Say that a run of periods passes the end of the next day."""
    why = "Times of a day run to 47:59; a length, a gap or a number is not what was meant."
    return complain(PERIODS_TOO_LATE, f"period {last} would end after 47:59", (span, "too long a day"), why)


def move_time_to_range(span: Span) -> Diagnostic:
    """Say that a ring time cannot become a range."""
    why = "A ring time moves to one time; only a period, named by its label, has a start and an end."
    offers = sketch('move 08:40 to 08:50, or of a period: move "1" to 08:50 - 09:40')
    return complain(
        MOVE_TIME_TO_RANGE, "a ring time cannot move to a range", (span, "one time or a label"), why, offers=offers
    )  # fmt: skip


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
        "A term with no line of its own uses the only week block there is.",
        offers=sketch(f"week {weeks[0]}" if weeks else "week ordinary"),
    )  # fmt: skip


def anchor_late(span: Span, what: str, first: date) -> Diagnostic:
    """Say that an anchor lies after the first week or day it should count."""
    return complain(
        ANCHOR_LATE, f"the {'letters' if what == 'week' else 'numbers'} begin after the term's first {what}",
        (span, f"after {write_date(first)}"),
        "The dates before it would have no letter or number. An anchor in an earlier term counts on from there.",
        offers=write_instead(span, first.isoformat()),
    )  # fmt: skip


def date_outside_terms(span: Span, day: date, terms: Sequence[Term]) -> Diagnostic:
    """Say that a date lies in no term."""
    listed = ", ".join(f'"{t.label}" {t.first.isoformat()} to {t.last.isoformat()}' for t in terms[:4])
    listed += " and more" if len(terms) > 4 else ""
    near = [
        year
        for year in (day.year - 1, day.year + 1, day.year + 2)
        if (d := _in_year(day, year)) and _in_a_term(d, terms)
    ]
    offers = tuple(
        Suggestion(d.isoformat(), "guess", (Edit(span, d.isoformat()),))
        for year in near
        if (d := _in_year(day, year))
    )
    return complain(
        DATE_OUTSIDE_TERMS, f"{write_date(day)} lies in no term", (span, "in no term"),
        f"There are no bells on it to change. {'The terms are' if len(terms) > 1 else 'The only term is'} {listed}.", offers=offers,
    )  # fmt: skip


def _in_year(day: date, year: int) -> date | None:
    try:
        return day.replace(year=year)
    except ValueError:
        return None


def _in_a_term(day: date, terms: Sequence[Term]) -> bool:
    return any(term.first <= day <= term.last for term in terms)


def no_such_weekday_in_range(span: Span) -> Diagnostic:
    """Say that a weekday does not come in a range."""
    why = "The line would change nothing."
    return complain(
        WEEKDAY_NOT_IN_RANGE, "this weekday does not come between the two dates", (span, "no such day"), why
    )


def silent_everywhere(span: Span) -> Diagnostic:
    """Say that `silent everywhere` is written `silent`."""
    return complain(
        SILENT_EVERYWHERE, "a whole silent day is written `silent`", (span, "with no window"),
        "`silent` also closes the day for week letters and cycle numbers. `silent everywhere` would leave that open.",
        offers=write_instead(span, "silent"),
    )  # fmt: skip


def reason_is_label(span: Span, label: str) -> Diagnostic:
    """Say that a reason could also be the label to drop."""
    return complain(
        REASON_IS_LABEL, f'"{label}" is a label of this programme and cannot be a reason', (span, "label or reason?"),
        "A label stands straight after `drop`. As a reason it would drop everything, as a label only those rings.",
        offers=sketch(f'drop "{label}" …, or another reason'),
    )  # fmt: skip


def no_programme(file: str) -> Diagnostic:
    """Say that there is no programme block."""
    return Diagnostic(
        NO_PROGRAMME, "the file has no programme block", (),
        "Without it nothing says whose bells these are, where the clocks are, and which issue this is.",
        sketch('programme "Our school"'), file,
    )  # fmt: skip


def two_programmes(span: Span, first: Span) -> Diagnostic:
    """Say that there are two programme blocks."""
    why = "Which of the two is meant could not be told."
    return complain(
        TWO_PROGRAMMES, "a second programme block", (span, "the second"), why, [(first, "the first")]
    )


def programme_in_used(span: Span) -> Diagnostic:
    """Say that a used file has a programme block."""
    why = "A used file holds blocks for many programmes; only the file that is compiled says which programme it is."
    return complain(
        PROGRAMME_IN_USED, "a programme block in a file that is used", (span, "in a used file"), why
    )


def head_missing(span: Span, line: str, example: str) -> Diagnostic:
    """Say that the programme block lacks a line."""
    why = {
        "place": "The place says whose clocks the times are; without it no clock change is known.",
        "issue": "The issue and its date stand on every tape and calendar, so that an old one is told from a new one.",
    }
    headline = f'the programme block has no line "{line}"'
    return complain(HEAD_MISSING, headline, (span, f"no {line}"), why[line], offers=sketch(example))


def unknown_place(span: Span, near: Sequence[str]) -> Diagnostic:
    """Say that a place is no time zone."""
    why = "A place is a time zone such as Europe/London; without it no clock change can be known."
    return complain(
        UNKNOWN_PLACE, f'there is no time zone called "{span.text}"', (span, "no such zone"), why,
        offers=write_instead(span, *near),
    )  # fmt: skip


def no_term(span: Span) -> Diagnostic:
    """Say that there is no term."""
    return complain(
        NO_TERM, "the programme has no term", (span, "no term"), "Without a term there is no date on which anything rings.",
        offers=sketch('term "Autumn" 2026-09-07 to 2026-12-18'),
    )  # fmt: skip


def two_machines(span: Span, first: Span) -> Diagnostic:
    """Say that there are two machines."""
    why = "A programme is punched for one tape machine; which of the two could not be told."
    return complain(TWO_MACHINES, "a second machine", (span, "the second"), why, [(first, "the first")])


def tolerance_too_large(span: Span) -> Diagnostic:
    """Say that a signal tolerates as much as its own length."""
    why = "With such a tolerance no ring at all would do, and a bell that failed would pass."
    return complain(
        TOLERANCE_TOO_LARGE, "the tolerance is not less than the length", (span, "too large"), why
    )


def clock_choice_twice(span: Span, first: Span) -> Diagnostic:
    """Say that two things are to be done in one clock-change hour."""
    return complain(
        CLOCK_CHOICE_TWICE, "two answers for the same hour", (span, "the second answer"),
        "Which of the two is meant could not be told.", [(first, "the first")],
    )  # fmt: skip


def not_an_address(span: Span) -> Diagnostic:
    """Say that `published at` holds no address."""
    why = "Calendar programs fetch new issues from it."
    return complain(
        PUBLISHED_NOT_ADDRESS, "this is not an address of the web", (span, "no address"), why,
        offers=sketch('published at "https://bells.example/ours.ics"'),
    )  # fmt: skip
