"""What can be wrong with a value: codes N301 to N319."""

import re
from datetime import date

from chime.clock import DAY, WEEKDAYS, weekday_of, write_time
from chime.diagnostics import Code, Diagnostic, Edit, Span, Suggestion
from chime.diagnostics.complain import complain, sketch, write_instead

NO_SUCH_TIME = Code(
    "N301", "no-such-time", "error",
    "Times of day run from 00:00 to 47:59: past 24:00 they are the next morning's, so 25:30 is 01:30.",
    "timetable normal in main\n  ring 08:75 lesson",
    "timetable normal in main\n  ring 08:45 lesson",
)  # fmt: skip
NO_SUCH_DATE = Code(
    "N302", "no-such-date", "error",
    "The calendar has no such date.",
    'exceptions\n  2026-09-31 silent "Inset day"',
    'exceptions\n  2026-09-30 silent "Inset day"',
)  # fmt: skip
WRONG_WEEKDAY = Code(
    "N303", "wrong-weekday", "error",
    "A date may carry its weekday, and then the two must agree: otherwise one of them is not what was meant.",
    'exceptions\n  Fri 2026-10-01 silent "Inset day"',
    'exceptions\n  Thu 2026-10-01 silent "Inset day"',
)  # fmt: skip
WRONG_UNIT = Code(
    "N304", "wrong-unit", "error",
    "A quantity has a unit of the right kind: a duration in s, min or h, a length in mm or in.",
    "signal lesson 6 mm within 2 s",
    "signal lesson 6 s within 2 s",
)  # fmt: skip
TOO_FINE = Code(
    "N305", "too-fine", "error",
    "Values are kept exactly, in whole nanometres, microseconds and the like. A number with more digits than "
    "that is nothing anybody measured.",
    "signal lesson 6.00001 s within 2 s",
    "signal lesson 6 s within 2 s",
)  # fmt: skip
NOT_WHOLE = Code(
    "N306", "not-a-whole-number", "error",
    "Tracks, rows, periods, days of a cycle and the issue are whole numbers.",
    'zone main on track 1.5 "Main building"',
    'zone main on track 1 "Main building"',
)  # fmt: skip
OUT_OF_RANGE = Code(
    "N307", "out-of-range", "error",
    "The number lies outside what can be meant here.",
    'zone main on track 0 "Main building"',
    'zone main on track 1 "Main building"',
)  # fmt: skip
END_BEFORE_START = Code(
    "N308", "end-before-start", "error",
    "An end written before its start is read as next morning, but only up to 16 hours later: 22:00 - 06:00 is a "
    "night, 08:55 - 08:35 is a slip. A longer stretch writes its end past 24:00.",
    'timetable normal in main\n  each period start lesson\n  period "Roll" 08:55 - 08:35',
    'timetable normal in main\n  each period start lesson\n  period "Roll" 08:35 - 08:55',
)  # fmt: skip
EQUAL_TIMES = Code(
    "N309", "equal-times", "error",
    "A range needs two different times. A whole day and night writes its end past 24:00.",
    'timetable normal in main\n  each period start lesson\n  period "Roll" 08:35 - 08:35',
    'timetable normal in main\n  each period start lesson\n  period "Roll" 08:35 - 08:55',
)  # fmt: skip
NOT_WHOLE_SECONDS = Code(
    "N310", "not-whole-seconds", "error",
    "Times of day are kept in whole seconds, so what is added to them is whole seconds too.",
    "exceptions\n  2026-10-13 shift +1500 ms",
    "exceptions\n  2026-10-13 shift +20 min",
)  # fmt: skip
ZERO = Code(
    "N311", "zero", "error",
    "A value of zero says nothing here; leave the line out instead.",
    "signal lesson 0 s within 2 s",
    "signal lesson 6 s within 2 s",
)  # fmt: skip
TIME_TWICE = Code(
    "N312", "time-twice", "error",
    "A list holds each time once: a time said twice usually stands for another that is now missing.",
    "timetable normal in main\n  ring 08:40, 08:45, 08:40 lesson",
    "timetable normal in main\n  ring 08:40, 08:45 lesson",
)  # fmt: skip
SAME_WEEKDAY = Code(
    "N313", "same-weekday", "error",
    "A span of weekdays has two different ends; one day stands alone.",
    "week ordinary\n  Mon to Mon normal\n  Tue to Sun silent",
    "week ordinary\n  Mon normal\n  Tue to Sun silent",
)  # fmt: skip

DATE_OUT_OF_REACH = Code(
    "N314", "date-out-of-reach", "error",
    "Dates run from 1970 to 2999. The data of the time zones do not hold before that, and a date further on is a slip.",
    'exceptions\n  0206-09-30 silent "Inset day"',
    'exceptions\n  2026-09-30 silent "Inset day"',
)  # fmt: skip
BELL_TOO_LONG = Code(
    "N315", "bell-too-long", "error",
    "A bell sounds for some seconds. One that would sound for more than an hour is a slip, most often in the unit.",
    "signal lesson 6 h within 2 s",
    "signal lesson 6 s within 2 s",
)  # fmt: skip

CODES = (
    NO_SUCH_TIME, NO_SUCH_DATE, WRONG_WEEKDAY, WRONG_UNIT, TOO_FINE, NOT_WHOLE, OUT_OF_RANGE, END_BEFORE_START,
    EQUAL_TIMES, NOT_WHOLE_SECONDS, ZERO, TIME_TWICE, SAME_WEEKDAY,
    DATE_OUT_OF_REACH, BELL_TOO_LONG,
)  # fmt: skip


_KINDS_IN_BRACKETS = re.compile(r" \([^)]*\)")


def no_such_time(span: Span) -> Diagnostic:
    """Say that a time of day does not exist."""
    why = "Hours run to 47 (past 24:00 it is next morning), minutes and seconds to 59."
    return complain(NO_SUCH_TIME, f"there is no time {span.text}", (span, "no such time"), why)


def no_such_date(span: Span) -> Diagnostic:
    """Say that a date does not exist."""
    why = (
        "A date is year, month, day: 2026-11-05 is the fifth of November 2026. "
        "No other date is taken for it, for the bells would be changed on the wrong day."
    )
    return complain(NO_SUCH_DATE, f"there is no date {span.text}", (span, "no such date"), why)


def date_out_of_reach(span: Span) -> Diagnostic:
    """Say that a date lies where no zone data reach."""
    why = "Dates run from 1970 to 2999: before that the zone data do not hold, and nobody plans further."
    return complain(DATE_OUT_OF_REACH, f"{span.text} is out of reach", (span, "which year?"), why)


def bell_too_long(span: Span) -> Diagnostic:
    """Say that a bell cannot be meant to sound for so long."""
    return complain(
        BELL_TOO_LONG, f"{span.text} is too long for a bell", (span, "more than 1 h"),
        "A bell sounds for some seconds, and for more than 1 h never: it could not be told from an alarm that nobody stops.",
        offers=sketch("a length in seconds, such as 6 s"),
    )  # fmt: skip


def wrong_weekday(span: Span, day: date) -> Diagnostic:
    """Say that a date's weekday is another."""
    right = weekday_of(day)
    return complain(
        WRONG_WEEKDAY,
        f"{day.isoformat()} is a {right}, not a {span.text}",
        (span, f"this date is a {right}"),
        "Either the weekday or the date is not what was meant, and the bells would be changed on the wrong day.",
        offers=write_instead(span, right),
    )


def wrong_unit(span: Span, unit: str, wanted: str) -> Diagnostic:
    """Say that a unit is of the wrong kind."""
    said = span.text if span.text.endswith(unit) else f"{span.text} {unit}"
    headline = f"{said} is not {_KINDS_IN_BRACKETS.sub('', wanted)}"
    why = f"Expected here: {wanted}. With another unit nobody can tell how much was meant."
    offers = (
        write_instead(span, span.text[: -len(unit)].rstrip() + " min")
        if unit == "m" and "duration" in wanted
        else ()
    )
    return complain(WRONG_UNIT, headline, (span, "unit of another kind"), why, offers=offers)


def too_fine(span: Span, than: str) -> Diagnostic:
    """Say that a number has more digits than can be kept."""
    why = "Values are kept exactly and never rounded."
    return complain(TOO_FINE, f"this value is finer than {than}", (span, "too many digits"), why)


def too_many_digits(span: Span) -> Diagnostic:
    """Say that a number has more digits than any value can have, before its point or behind it."""
    headline = "this value has more digits than anybody could measure"
    return complain(
        TOO_FINE, headline, (span, "too many digits"), "Values are kept exactly and never rounded."
    )


def not_whole(span: Span) -> Diagnostic:
    """Say that a number must be whole."""
    why = "What is counted here comes whole; half a track, a row or a day cannot be meant."
    return complain(NOT_WHOLE, f"{span.text} is not a whole number", (span, "must be whole"), why)


def out_of_range(span: Span, least: str, most: str) -> Diagnostic:
    """Say that a number is outside its range."""
    why = f"It can be from {least} to {most}; more or less is a slip."
    headline = f"{span.text} is not a number from {least} to {most}"
    return complain(OUT_OF_RANGE, headline, (span, "out of range"), why)


def end_before_start(span: Span, start: int, later: str | None) -> Diagnostic:
    """Say that a range ends before it starts; `later` is its end if next day is meant, None past 47:59."""
    why = (
        "A range that ends earlier than it begins goes on into the next morning, for 16 hours at most. A longer one is nearly "
        "always a slip, and would change the bells of a whole night."
        if later is not None
        else "Times of day run to 47:59, so this start leaves no next morning for the end."
    )
    meant = (
        f"if next day is really meant, write the end as {later}"
        if later is not None
        else f"an end after {write_time(start)}, 47:59 at the latest"
    )
    return complain(
        END_BEFORE_START,
        f"this ends before it starts at {write_time(start)}",
        (span, "before its start"),
        why,
        offers=sketch(meant),
    )


def equal_times(span: Span, at: int) -> Diagnostic:
    """Say that a range has no length."""
    why = "It starts and ends at the same time: it could hold nothing, or a whole day and night."
    meant = (
        f"if a day and a night are meant, write the end as {write_time(at + DAY)}"
        if at < DAY
        else f"an end after {write_time(at)}, 47:59 at the latest"
    )
    return complain(
        EQUAL_TIMES, f"both times are {write_time(at)}", (span, "two equal times"), why, offers=sketch(meant)
    )


def not_whole_seconds(span: Span) -> Diagnostic:
    """Say that a duration must be whole seconds."""
    why = "Every ring is at a whole second, so what is added to its time is whole seconds too."
    return complain(NOT_WHOLE_SECONDS, f"{span.text} is not whole seconds", (span, "a part of a second"), why)


def zero(span: Span) -> Diagnostic:
    """Say that a value must not be zero."""
    why = "Nothing would sound, move or be measured by it: leave it out, or write what was meant."
    return complain(ZERO, f"{span.text} is nothing", (span, "zero"), why)


def time_twice(span: Span, first: Span) -> Diagnostic:
    """Say that a time stands twice in a list."""
    return complain(
        TIME_TWICE,
        f"{span.text} stands twice in this list",
        (span, "again"),
        "A ring cannot be rung twice at one time; another time was probably meant.",
        [(first, "first here")],
    )


def same_weekday(span: Span) -> Diagnostic:
    """Say that a span of weekdays begins and ends on the same day."""
    day = span.text.split()[0]
    offers = (Suggestion(day, "guess", (Edit(span, day),)),) if day in WEEKDAYS else ()
    why = "One day stands alone; the whole week is Mon to Sun."
    return complain(
        SAME_WEEKDAY, f"{span.text} begins and ends on the same day", (span, "one day"), why, offers=offers
    )
