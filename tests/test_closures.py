"""Closed days out of iCalendar files: which dates, what is refused, and that no file takes for ever."""

import re
from datetime import date, datetime, timedelta

import icalendar
import pytest
import recurring_ical_events
from dateutil.rrule import rrulestr
from hypothesis import example, given, settings
from hypothesis import strategies as st

from chime.diagnostics import Source, Span
from chime.programme.calendar_entries import MOST_BYTES, MOST_ENTRIES
from chime.programme.closures import MOST_WORK, Closures, Kind, Problem, read_closures
from chime.programme.day_rules import (
    MOST_STEPS,
    WEEKDAYS,
    RuleError,
    is_in_step,
    occurrences,
    read_rule,
)
from chime.programme.outside_faults import closure_problems

YEAR = (date(2026, 9, 1), date(2027, 8, 31))


def calendar(*entries: str) -> bytes:
    """A calendar of entries, each written as its lines; those without a UID are lent one."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Invented//Calendar//EN"]
    for number, entry in enumerate(entries):
        own = [line.strip() for line in entry.strip().splitlines()]
        if not any(line.startswith("UID") for line in own):
            own.insert(0, f"UID:{number}@school.example")
        lines += ["BEGIN:VEVENT", "DTSTAMP:20260801T120000Z", *own, "END:VEVENT"]
    return "\r\n".join([*lines, "END:VCALENDAR", ""]).encode()


def read(*entries: str) -> Closures:
    return read_closures(calendar(*entries), *YEAR)


def days_of(*entries: str) -> list[str]:
    """The closed dates of entries that must all be good."""
    found = read(*entries)
    assert found.problems == ()
    return [day.isoformat() for day, _ in found.days]


def refused(*entries: str) -> list[tuple[Kind, str | None]]:
    found = read(*entries)
    return [(problem.kind, problem.summary) for problem in found.problems]


# ------------------------------------------------------------------ single entries


def test_an_entry_with_a_date_alone_is_one_day() -> None:
    """RFC 5545, 3.6.1."""
    found = read("DTSTART;VALUE=DATE:20261127\nSUMMARY:Inset day")
    assert found == Closures(((date(2026, 11, 27), "Inset day"),), ())


def test_the_end_of_an_all_day_entry_is_left_out() -> None:
    """RFC 5545, 3.6.1: DTEND is the non-inclusive end; its own example closes 28 June to 8 July."""
    found = read_closures(
        calendar("DTSTART;VALUE=DATE:20070628\nDTEND;VALUE=DATE:20070709"),
        date(2007, 1, 1),
        date(2007, 12, 31),
    )
    assert [day for day, _ in found.days] == [date(2007, 6, 28) + timedelta(days=n) for n in range(11)]


@pytest.mark.parametrize(
    ("duration", "length"), [("P1D", 1), ("P5D", 5), ("P1W", 7), ("+P2D", 2), ("PT48H", 2)]
)
def test_a_duration_of_whole_days_is_as_good_as_an_end(duration: str, length: int) -> None:
    assert len(days_of(f"DTSTART;VALUE=DATE:20261026\nDURATION:{duration}")) == length


def test_a_date_without_its_value_parameter_is_still_a_date() -> None:
    """Common practice, no published source."""
    assert days_of("DTSTART:20261127") == ["2026-11-27"]


def test_days_are_bounded_sorted_and_each_said_once() -> None:
    found = read(
        "DTSTART;VALUE=DATE:20270830\nDTEND;VALUE=DATE:20270904\nSUMMARY:Summer",
        "DTSTART;VALUE=DATE:20260830\nDTEND;VALUE=DATE:20260902\nSUMMARY:Summer",
        "DTSTART;VALUE=DATE:20260901\nSUMMARY:Summer",
        "DTSTART;VALUE=DATE:20260901\nSUMMARY:Painting",
        "DTSTART;VALUE=DATE:20200101\nDTEND;VALUE=DATE:20200105\nSUMMARY:Long ago",
    )
    assert found.problems == ()
    assert [(day.isoformat(), summary) for day, summary in found.days] == [
        ("2026-09-01", "Painting"),
        ("2026-09-01", "Summer"),
        ("2027-08-30", "Summer"),
        ("2027-08-31", "Summer"),
    ]


def test_the_order_of_the_entries_makes_no_difference() -> None:
    entries = [f"DTSTART;VALUE=DATE:202610{day}\nSUMMARY:Day {day}" for day in (26, 27, 12, 30)]
    assert read(*entries) == read(*reversed(entries))


def test_a_summary_is_unescaped_unfolded_and_put_on_one_line() -> None:
    """RFC 5545, 3.1 (folding, also inside a letter) and 3.3.11 (escapes)."""
    letter = "é".encode()
    folded = b"SUMMARY:Caf" + letter[:1] + b"\r\n " + letter[1:] + b"\\, closed\\; all\\nday\\\\ \x1b[31m"
    content = calendar("DTSTART;VALUE=DATE:20261026\nSUMMARY:@").replace(b"SUMMARY:@", folded)
    assert read_closures(content, *YEAR).days == ((date(2026, 10, 26), "Café, closed; all day\\ [31m"),)


def test_lines_may_end_in_a_line_feed_alone_and_begin_with_a_byte_order_mark() -> None:
    content = b"\xef\xbb\xbf" + calendar("DTSTART;VALUE=DATE:20261026").replace(b"\r\n", b"\n")
    assert [day for day, _ in read_closures(content, *YEAR).days] == [date(2026, 10, 26)]


def test_an_alarm_inside_an_entry_is_not_the_entry() -> None:
    entry = """
        SUMMARY:Half term
        DTSTART;VALUE=DATE:20261026
        BEGIN:VALARM
        ACTION:DISPLAY
        TRIGGER:-PT15M
        DURATION:P9D
        SUMMARY:Reminder
        END:VALARM
        DTEND;VALUE=DATE:20261028
    """
    found = read(entry)
    assert found == Closures(((date(2026, 10, 26), "Half term"), (date(2026, 10, 27), "Half term")), ())


def test_other_parts_of_a_calendar_are_passed_by() -> None:
    """A time zone that changes every hour for ever must not be expanded, nor a to-do be a closure."""
    others = (
        b"BEGIN:VTIMEZONE\r\nTZID:Invented\r\nBEGIN:STANDARD\r\nDTSTART:16010101T000000\r\n"
        b"RRULE:FREQ=SECONDLY\r\nTZOFFSETFROM:+0000\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n"
        b"BEGIN:VTODO\r\nDTSTART;VALUE=DATE:20261101\r\nEND:VTODO\r\nBEGIN:VEVENT\r\n"
    )
    content = calendar("DTSTART;VALUE=DATE:20261026").replace(b"BEGIN:VEVENT\r\n", others)
    found = read_closures(content, *YEAR)
    assert ([day for day, _ in found.days], found.problems) == ([date(2026, 10, 26)], ())


def test_several_calendars_in_one_file_are_all_read() -> None:
    """RFC 5545, 3.4: a stream may hold several; the same UID in two of them is two entries."""
    content = calendar("UID:a\nDTSTART;VALUE=DATE:20261026") + calendar("UID:a\nDTSTART;VALUE=DATE:20261102")
    found = read_closures(content, *YEAR)
    assert [day for day, _ in found.days] == [date(2026, 10, 26), date(2026, 11, 2)]
    assert found.problems == ()


def test_a_calendar_with_no_entries_closes_nothing() -> None:
    assert read_closures(calendar(), *YEAR) == Closures((), ())


def test_a_cancelled_entry_is_left_out_even_if_it_could_not_be_used() -> None:
    assert days_of("DTSTART;VALUE=DATE:20261026\nSTATUS:CANCELLED", "DTSTART;VALUE=DATE:20261027") == [
        "2026-10-27"
    ]
    assert days_of("DTSTART:20261026T180000\nSTATUS:cancelled") == []
    assert days_of("DTSTART;VALUE=DATE:20261026\nSTATUS:CONFIRMED") == ["2026-10-26"]


# ------------------------------------------------------------------- repeated entries


def dates(text: str) -> list[date]:
    """Dates written as `1997-09 2 9 16; 1997-10 7`."""
    found = []
    for month in text.split(";"):
        name, *days = month.split()
        found += [date.fromisoformat(f"{name}-{int(day):02}") for day in days]
    return found


RFC_EXAMPLES = [
    # RFC 5545, section 3.8.5.3, each with the expansion stated there. The times of day (09:00) are left out;
    # an UNTIL at midnight lies before that day's 09:00, so here it is the day before.
    ("DAILY;COUNT=10", "1997-09 2 3 4 5 6 7 8 9 10 11"),
    ("DAILY;INTERVAL=10;COUNT=5", "1997-09 2 12 22; 1997-10 2 12"),
    ("WEEKLY;COUNT=10", "1997-09 2 9 16 23 30; 1997-10 7 14 21 28; 1997-11 4"),
    (
        "WEEKLY;UNTIL=19971223",
        "1997-09 2 9 16 23 30; 1997-10 7 14 21 28; 1997-11 4 11 18 25; 1997-12 2 9 16 23",
    ),
    (
        "WEEKLY;INTERVAL=2;WKST=SU",
        "1997-09 2 16 30; 1997-10 14 28; 1997-11 11 25; 1997-12 9 23; 1998-01 6 20; 1998-02 3 17",
    ),
    ("WEEKLY;UNTIL=19971006;WKST=SU;BYDAY=TU,TH", "1997-09 2 4 9 11 16 18 23 25 30; 1997-10 2"),
    ("WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH", "1997-09 2 4 9 11 16 18 23 25 30; 1997-10 2"),
    (
        "WEEKLY;INTERVAL=2;UNTIL=19971223;WKST=SU;BYDAY=MO,WE,FR",
        (
            "1997-09 1 3 5 15 17 19 29; 1997-10 1 3 13 15 17 27 29 31; 1997-11 10 12 14 24 26 28; "
            "1997-12 8 10 12 22"
        ),
    ),
    ("WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH", "1997-09 2 4 16 18 30; 1997-10 2 14 16"),
    ("WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO", "1997-08 5 10 19 24"),
    ("WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU", "1997-08 5 17 19 31"),
    (
        "MONTHLY;COUNT=10;BYDAY=1FR",
        (
            "1997-09 5; 1997-10 3; 1997-11 7; 1997-12 5; 1998-01 2; 1998-02 6; 1998-03 6; 1998-04 3; "
            "1998-05 1; 1998-06 5"
        ),
    ),
    ("MONTHLY;UNTIL=19971223;BYDAY=1FR", "1997-09 5; 1997-10 3; 1997-11 7; 1997-12 5"),
    (
        "MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU",
        "1997-09 7 28; 1997-11 2 30; 1998-01 4 25; 1998-03 1 29; 1998-05 3 31",
    ),
    ("MONTHLY;COUNT=6;BYDAY=-2MO", "1997-09 22; 1997-10 20; 1997-11 17; 1997-12 22; 1998-01 19; 1998-02 16"),
    ("MONTHLY;BYMONTHDAY=-3", "1997-09 28; 1997-10 29; 1997-11 28; 1997-12 29; 1998-01 29; 1998-02 26"),
    (
        "MONTHLY;COUNT=10;BYMONTHDAY=2,15",
        "1997-09 2 15; 1997-10 2 15; 1997-11 2 15; 1997-12 2 15; 1998-01 2 15",
    ),
    (
        "MONTHLY;COUNT=10;BYMONTHDAY=1,-1",
        "1997-09 30; 1997-10 1 31; 1997-11 1 30; 1997-12 1 31; 1998-01 1 31; 1998-02 1",
    ),
    (
        "MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15",
        "1997-09 10 11 12 13 14 15; 1999-03 10 11 12 13",
    ),
    (
        "MONTHLY;INTERVAL=2;BYDAY=TU",
        "1997-09 2 9 16 23 30; 1997-11 4 11 18 25; 1998-01 6 13 20 27; 1998-03 3 10 17 24 31",
    ),
    (
        "MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13",
        (
            "1997-09 13; 1997-10 11; 1997-11 8; 1997-12 13; 1998-01 10; 1998-02 7; 1998-03 7; "
            "1998-04 11; 1998-05 9; 1998-06 13"
        ),
    ),
    ("MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3", "1997-09 4; 1997-10 7; 1997-11 6"),
    (
        "MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2",
        "1997-09 29; 1997-10 30; 1997-11 27; 1997-12 30; 1998-01 29; 1998-02 26; 1998-03 30",
    ),
    ("MONTHLY;BYMONTHDAY=15,30;COUNT=5", "2007-01 15 30; 2007-02 15; 2007-03 15 30"),
    (
        "YEARLY;COUNT=10;BYMONTH=6,7",
        (
            "1997-06 10; 1997-07 10; 1998-06 10; 1998-07 10; 1999-06 10; 1999-07 10; 2000-06 10; "
            "2000-07 10; 2001-06 10; 2001-07 10"
        ),
    ),
    (
        "YEARLY;INTERVAL=2;COUNT=10;BYMONTH=1,2,3",
        (
            "1997-03 10; 1999-01 10; 1999-02 10; 1999-03 10; 2001-01 10; 2001-02 10; 2001-03 10; "
            "2003-01 10; 2003-02 10; 2003-03 10"
        ),
    ),
    (
        "YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200",
        (
            "1997-01 1; 1997-04 10; 1997-07 19; 2000-01 1; 2000-04 9; 2000-07 18; 2003-01 1; "
            "2003-04 10; 2003-07 19; 2006-01 1"
        ),
    ),
    ("YEARLY;BYDAY=20MO", "1997-05 19; 1998-05 18; 1999-05 17"),
    ("YEARLY;BYWEEKNO=20;BYDAY=MO", "1997-05 12; 1998-05 11; 1999-05 17"),
    ("YEARLY;BYMONTH=3;BYDAY=TH", "1997-03 13 20 27; 1998-03 5 12 19 26; 1999-03 4 11 18 25"),
    ("YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8", "1996-11 5; 2000-11 7; 2004-11 2"),
]


@pytest.mark.parametrize(("rule", "stated"), RFC_EXAMPLES, ids=[rule for rule, _ in RFC_EXAMPLES])
def test_examples_of_the_standard_give_their_stated_days(rule: str, stated: str) -> None:
    """The last stated day is the last wanted one, and where the rule ends itself a year more is wanted."""
    expected = dates(stated)
    ends_itself = "COUNT" in rule or "UNTIL" in rule
    last = expected[-1] + timedelta(days=366 if ends_itself else 0)
    content = calendar(f"DTSTART;VALUE=DATE:{expected[0]:%Y%m%d}\nRRULE:FREQ={rule}")
    found = read_closures(content, expected[0], last)
    assert found.problems == ()
    assert [day for day, _ in found.days] == expected


def test_every_friday_the_thirteenth_leaves_out_its_first_day() -> None:
    """RFC 5545, 3.8.5.3: the first day is not one of the rule, and EXDATE takes it out."""
    rule = "RRULE:FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13"
    content = calendar(f"DTSTART;VALUE=DATE:19970902\nEXDATE;VALUE=DATE:19970902\n{rule}")
    found = read_closures(content, date(1997, 1, 1), date(2000, 12, 31))
    assert [day for day, _ in found.days] == dates(
        "1998-02 13; 1998-03 13; 1998-11 13; 1999-08 13; 2000-10 13"
    )


def test_daily_until_a_date_includes_that_date() -> None:
    """RFC 5545, 3.3.10: UNTIL is inclusive; 3.8.5.3 counts 113 days to 23 December with a time of day."""
    start = "DTSTART;VALUE=DATE:19970902\nRRULE:FREQ=DAILY;UNTIL=19971223"
    found = read_closures(calendar(start), date(1997, 1, 1), date(1998, 12, 31))
    assert (len(found.days), found.days[-1][0]) == (113, date(1997, 12, 23))


def test_every_day_in_january_is_the_same_by_years_and_by_days() -> None:
    """RFC 5545, 3.8.5.3: both forms give every day in January for three years."""
    yearly = "RRULE:FREQ=YEARLY;UNTIL=20000131;BYMONTH=1;BYDAY=SU,MO,TU,WE,TH,FR,SA"
    daily = "RRULE:FREQ=DAILY;UNTIL=20000131;BYMONTH=1"
    both = [
        read_closures(calendar(f"DTSTART;VALUE=DATE:19980101\n{rule}"), date(1990, 1, 1), date(2010, 1, 1))
        for rule in (yearly, daily)
    ]
    assert both[0].days == both[1].days
    assert len(both[0].days) == 93


def test_dates_that_do_not_exist_are_passed_over() -> None:
    """RFC 5545, 3.3.10: invalid dates such as 30 February are ignored."""
    monthly = calendar("DTSTART;VALUE=DATE:20261031\nRRULE:FREQ=MONTHLY")
    assert [day for day, _ in read_closures(monthly, *YEAR).days] == dates(
        "2026-10 31; 2026-12 31; 2027-01 31; 2027-03 31; 2027-05 31; 2027-07 31; 2027-08 31"
    )
    leap = calendar("DTSTART;VALUE=DATE:20240229\nRRULE:FREQ=YEARLY")
    found = read_closures(leap, date(2024, 1, 1), date(2033, 1, 1))
    assert [day for day, _ in found.days] == dates("2024-02 29; 2028-02 29; 2032-02 29")


def test_a_repeated_entry_of_several_days_may_reach_into_the_wanted_dates() -> None:
    entry = "DTSTART;VALUE=DATE:20200830\nDTEND;VALUE=DATE:20200904\nRRULE:FREQ=YEARLY"
    assert days_of(entry) == ["2026-09-01", "2026-09-02", "2026-09-03", "2027-08-30", "2027-08-31"]


def test_listed_dates_are_added_and_taken_out_for_the_whole_length() -> None:
    """RFC 5545, 3.8.5.1 and 3.8.5.2: the set is RRULE and RDATE without EXDATE."""
    entry = """
        DTSTART;VALUE=DATE:20261005
        DTEND;VALUE=DATE:20261007
        RRULE:FREQ=WEEKLY;COUNT=4
        RDATE;VALUE=DATE:20261109,20261116
        RDATE;VALUE=DATE:20261012
        EXDATE;VALUE=DATE:20261019,20261116
    """
    expected = dates("2026-10 5 6 12 13 26 27; 2026-11 9 10")
    assert days_of(entry) == [day.isoformat() for day in expected]


def test_listed_dates_need_no_rule() -> None:
    assert days_of("DTSTART;VALUE=DATE:20261005\nRDATE;VALUE=DATE:20261102") == ["2026-10-05", "2026-11-02"]
    assert days_of("DTSTART;VALUE=DATE:20261005\nRDATE:20261102\nEXDATE:20261005") == ["2026-11-02"]


MASTER = "UID:wed@school.example\nSUMMARY:Closed\nDTSTART;VALUE=DATE:20261007\nRRULE:FREQ=WEEKLY;COUNT=4"
MOVED = (
    "UID:wed@school.example\nRECURRENCE-ID;VALUE=DATE:20261014\nSUMMARY:Moved\nDTSTART;VALUE=DATE:20261016"
)
GONE = (
    "UID:wed@school.example\nRECURRENCE-ID;VALUE=DATE:20261021\nDTSTART;VALUE=DATE:20261021\nSTATUS:CANCELLED"
)


@pytest.mark.parametrize("entries", [(MASTER, MOVED, GONE), (GONE, MOVED, MASTER)], ids=["after", "before"])
def test_one_day_of_an_entry_may_be_moved_or_cancelled(entries: tuple[str, ...]) -> None:
    """RFC 5545, 3.8.4.4: RECURRENCE-ID is the day that is replaced, not the new one."""
    found = read(*entries)
    assert found.problems == ()
    assert [(day.isoformat(), summary) for day, summary in found.days] == [
        ("2026-10-07", "Closed"),
        ("2026-10-16", "Moved"),
        ("2026-10-28", "Closed"),
    ]


def test_the_newer_of_two_forms_of_an_entry_holds() -> None:
    """RFC 5545, 3.8.7.4: SEQUENCE rises with every significant revision."""
    old = "UID:a\nSEQUENCE:1\nDTSTART;VALUE=DATE:20261026"
    new = "UID:a\nSEQUENCE:2\nDTSTART;VALUE=DATE:20261102"
    assert days_of(old, new) == days_of(new, old) == ["2026-11-02"]
    assert days_of(new, new) == ["2026-11-02"]
    assert days_of(new, new.replace("SEQUENCE:2", "SEQUENCE:3\nSTATUS:CANCELLED")) == ["2026-11-02"]


def test_moved_and_removed_days_agree_with_an_expander_of_calendars() -> None:
    """Source: the `recurring-ical-events` package, for EXDATE, RDATE and RECURRENCE-ID."""
    content = calendar(
        MASTER,
        MOVED,
        GONE,
        "DTSTART;VALUE=DATE:20260907\nDTEND;VALUE=DATE:20260909\nRRULE:FREQ=MONTHLY;BYDAY=1MO;UNTIL=20270601\n"
        "EXDATE;VALUE=DATE:20261102,20270104",
        "DTSTART;VALUE=DATE:20261225\nDURATION:P2D\nRRULE:FREQ=YEARLY\nRDATE;VALUE=DATE:20270329",
    )
    expected: set[date] = set()
    query = recurring_ical_events.of(icalendar.Calendar.from_ical(content))
    for each in query.between(YEAR[0], YEAR[1] + timedelta(days=1)):
        length = 0 if each.get("STATUS") == "CANCELLED" else (each.end - each.start).days
        expected |= {each.start + timedelta(days=n) for n in range(length)}
    found = read_closures(content, *YEAR)
    assert found.problems == ()
    assert {day for day, _ in found.days} == {day for day in expected if YEAR[0] <= day <= YEAR[1]}


@st.composite
def fruitful_rules(draw: st.DrawFn) -> str:
    """Rules of every frequency that give a day at least every few years, in forms that are not refused."""
    weekdays = st.lists(st.sampled_from(WEEKDAYS), min_size=1, max_size=4, unique=True).map(",".join)
    numbered = st.builds("{}{}".format, st.sampled_from((1, 2, 3, 4, -1, -2, -4)), st.sampled_from(WEEKDAYS))
    month_days = st.lists(
        st.integers(1, 28).flatmap(lambda n: st.sampled_from((n, -n))), min_size=1, max_size=4
    )
    months = st.lists(st.integers(1, 12), min_size=1, max_size=4)

    def some(name: str, values: st.SearchStrategy[list[int]]) -> st.SearchStrategy[str]:
        return values.map(lambda found: f"{name}=" + ",".join(map(str, found)))

    forms = {
        "DAILY": [weekdays.map("BYDAY={}".format), some("BYMONTH", months)],
        "WEEKLY": [weekdays.map("BYDAY={}".format)],
        "MONTHLY": [
            weekdays.map("BYDAY={}".format),
            numbered.map("BYDAY={}".format),
            some("BYMONTHDAY", month_days),
            weekdays.map("BYDAY={};BYSETPOS=1,-2".format),
        ],
        "YEARLY": [
            some("BYMONTH", months),
            st.builds("{};BYDAY={}".format, some("BYMONTH", months), numbered),
            st.builds("{};{}".format, some("BYMONTH", months), some("BYMONTHDAY", month_days)),
            st.builds("{};BYDAY={};BYSETPOS=2,-1".format, some("BYMONTH", months), weekdays),
            some("BYYEARDAY", st.lists(st.integers(1, 365), min_size=1, max_size=4)),
            some("BYYEARDAY", st.lists(st.integers(-365, -1), min_size=1, max_size=4)),
            numbered.map("BYDAY={}".format),
            st.builds(
                "{};BYDAY={}".format, some("BYWEEKNO", st.lists(st.integers(2, 51), min_size=1)), weekdays
            ),
        ],
    }
    frequency = draw(st.sampled_from(sorted(forms)))
    parts = [f"FREQ={frequency}", f"WKST={draw(st.sampled_from(WEEKDAYS))}"]
    parts.append(f"INTERVAL={draw(st.integers(1, 4))}")
    if draw(st.booleans()):
        parts.append(draw(st.one_of(forms[frequency])))
    end = draw(st.sampled_from(("", "COUNT", "UNTIL")))
    if end == "COUNT":
        parts.append(f"COUNT={draw(st.integers(1, 40))}")
    if end == "UNTIL":
        parts.append(f"UNTIL={draw(st.dates(date(2005, 1, 1), date(2009, 12, 31))):%Y%m%d}")
    return ";".join(parts)


@given(fruitful_rules(), st.dates(date(1995, 1, 1), date(2004, 12, 31)))
@settings(max_examples=200, deadline=None)
@example("FREQ=YEARLY;BYWEEKNO=2;BYDAY=MO;WKST=SU", date(2000, 1, 10))
def test_rules_agree_with_a_general_library(text: str, start: date) -> None:
    """Source: python-dateutil's rrule, which is not used by the reader itself."""
    first, last = date(2004, 6, 1), date(2007, 3, 31)
    expected = []
    for found in rrulestr(text, dtstart=datetime(start.year, start.month, start.day)):
        if found.date() > last:
            break
        expected.append(found.date())
    rule = read_rule(text, start)
    assert occurrences(rule, start, first, last).days == tuple(day for day in expected if day >= first)
    assert is_in_step(rule, start) == (start in expected)


def test_week_numbers_at_the_turn_of_the_year_are_those_of_iso_8601() -> None:
    """Source: date.isocalendar of the standard library, with Monday weeks."""
    for week in (1, 52, 53):
        rule = read_rule(f"FREQ=YEARLY;BYWEEKNO={week};BYDAY=MO,TU,WE,TH,FR,SA,SU", date(2015, 1, 1))
        found = occurrences(rule, date(2015, 1, 1), date(2015, 1, 1), date(2033, 12, 31)).days
        every = [date(2015, 1, 1) + timedelta(days=n) for n in range(19 * 366)]
        assert list(found) == [d for d in every if d.isocalendar().week == week and d <= date(2033, 12, 31)]


def test_the_last_week_of_a_year_is_the_one_before_a_first_week() -> None:
    """Source: date.isocalendar of the standard library; some of these years have 53 weeks."""
    start, end = date(2015, 1, 5), date(2033, 12, 31)
    rule = read_rule("FREQ=YEARLY;BYWEEKNO=-1;BYDAY=MO,TU,WE,TH,FR,SA,SU", start)
    every = [date.fromordinal(n) for n in range(start.toordinal(), end.toordinal() + 1)]
    last_weeks = [day for day in every if (day + timedelta(days=7)).isocalendar().week == 1]
    assert list(occurrences(rule, start, start, end).days) == last_weeks


# ------------------------------------------------------------------------ refused


REFUSED: list[tuple[Kind, str]] = [
    ("timed", "DTSTART:20261006T180000"),
    ("timed", "DTSTART;TZID=Europe/London:20261006T180000\nRRULE:FREQ=DAILY"),
    ("timed", "DTSTART:20261006T000000Z\nDTEND:20261007T000000Z"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nDTEND:20261007T120000"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nDURATION:PT90M"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nDURATION:P1DT1S"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nDURATION:-P2D"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY\nEXDATE:20261007T000000"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nRDATE:20261007T000000Z"),
    ("time among dates", "DTSTART;VALUE=DATE:20261006\nRECURRENCE-ID:20261006T000000"),
    ("frequency", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=HOURLY"),
    ("frequency", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=MINUTELY;COUNT=3"),
    ("frequency", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=SECONDLY"),
    ("frequency", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=X-FORTNIGHTLY"),
    ("frequency", "DTSTART;VALUE=DATE:20261006\nRRULE:INTERVAL=2"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;BYHOUR=9"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;BYMINUTE=0"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;BYSECOND=0"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;BYEASTER=0"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;RSCALE=HEBREW"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;BYMONTHDAY=6"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;BYYEARDAY=279"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=MONTHLY;BYWEEKNO=41"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;BYDAY=1TU"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=MONTHLY;BYSETPOS=1"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;BYMONTHDAY=6"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;BYWEEKNO=41"),
    ("rule part", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=MONTHLY;BYDAY=TU,1FR"),
    ("weekly positions", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;BYDAY=MO,TU;BYSETPOS=1"),
    ("count and until", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;COUNT=3;UNTIL=20261010"),
    ("several rules", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;COUNT=3\nRRULE:FREQ=WEEKLY;COUNT=3"),
    ("several rules", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;COUNT=3\nEXRULE:FREQ=WEEKLY;COUNT=3"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;UNTIL=20261010T000000Z"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;UNTIL=20260931"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;UNTIL=20261005"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;INTERVAL=0"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=DAILY;COUNT=-1"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;BYMONTH=13"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=YEARLY;BYMONTH=-1"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=MONTHLY;BYMONTHDAY=0"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;BYDAY=TUE"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;WKST=1"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;FREQ=DAILY"),
    ("rule value", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;COUNT"),
    ("out of step", "DTSTART;VALUE=DATE:20261006\nRRULE:FREQ=WEEKLY;BYDAY=MO"),
    ("out of step", "DTSTART;VALUE=DATE:20261006\nEXDATE:20261006\nRRULE:FREQ=WEEKLY;BYDAY=MO;COUNT=3"),
    ("too many steps", "DTSTART;VALUE=DATE:18000101\nRRULE:FREQ=DAILY;COUNT=100000"),
    ("this and later", "DTSTART;VALUE=DATE:20261006\nRECURRENCE-ID;RANGE=THISANDFUTURE;VALUE=DATE:20261006"),
    ("broken entry", "DESCRIPTION:No date at all"),
    ("broken entry", "DTSTART;VALUE=DATE:20261306"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006T180000"),
    ("broken entry", "DTSTART;VALUE=DATE:P1D"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nDTEND;VALUE=DATE:20261006"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nDTEND;VALUE=DATE:20261001"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nDTEND;VALUE=DATE:20261007\nDURATION:P1D"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nDURATION:a day"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nDTSTART;VALUE=DATE:20261007"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nRDATE;VALUE=PERIOD:20261007T000000Z/PT1H"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nSEQUENCE:first"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nthis is no property"),
    ("broken entry", "DTSTART;VALUE=DATE:20261006\nRECURRENCE-ID;VALUE=DATE:20261006\nRRULE:FREQ=DAILY"),
]


@pytest.mark.parametrize(("kind", "entry"), REFUSED, ids=[entry[-50:] for _, entry in REFUSED])
def test_what_cannot_be_read_in_one_way_is_refused_by_name_and_closes_nothing(kind: Kind, entry: str) -> None:
    good = "SUMMARY:Good\nDTSTART;VALUE=DATE:20261026"
    found = read(f"SUMMARY:Doubtful\n{entry}", good)
    assert [(each.kind, each.summary) for each in found.problems] == [(kind, "Doubtful")]
    assert found.days == ((date(2026, 10, 26), "Good"),)


def test_two_forms_of_one_entry_with_nothing_to_choose_by_are_refused() -> None:
    one, other = (f"UID:a\nSUMMARY:{day}\nDTSTART;VALUE=DATE:202610{day}" for day in (26, 27))
    assert refused(one, other) == [("said twice", "27")]
    assert read(one, other).days == ()


def test_a_replaced_day_needs_to_say_whose_it_is() -> None:
    entry = "UID:\nSUMMARY:Whose\nRECURRENCE-ID;VALUE=DATE:20261006\nDTSTART;VALUE=DATE:20261007"
    assert refused(entry) == [("broken entry", "Whose")]


def test_an_entry_without_a_name_is_found_by_its_line() -> None:
    found = read("DTSTART;VALUE=DATE:20261026", "DTSTART:20261006T180000")
    assert found.problems == (
        Problem("timed", "it has times of day (2026-10-06 18:00) (it begins at line 9)", None),
    )
    assert calendar("DTSTART;VALUE=DATE:20261026", "").split(b"\r\n")[8] == b"BEGIN:VEVENT"


def test_single_timed_entries_far_from_the_wanted_dates_do_not_matter() -> None:
    far = "DTSTART:20240610T180000Z\nDTEND:20240610T190000Z"
    assert days_of(far, "DTSTART:20300610T180000") == []
    assert refused(f"SUMMARY:Weekly\n{far}\nRRULE:FREQ=WEEKLY") == [("timed", "Weekly")]
    assert refused("SUMMARY:Long\nDTSTART:20240610T180000Z\nDTEND:20270610T190000Z") == [("timed", "Long")]


WHOLE_FILES: list[tuple[Kind, bytes]] = [
    ("empty", b""),
    ("empty", b" \r\n\t\r\n"),
    ("not iCalendar", b"<!DOCTYPE html><html><body>Please sign in</body></html>"),
    ("not iCalendar", b"BEGIN:VEVENT\r\nDTSTART;VALUE=DATE:20261026\r\nEND:VEVENT\r\n"),
    ("not iCalendar", b"\x89PNG\r\n\x1a\n\x00\x00"),
    ("not UTF-8", calendar("DTSTART;VALUE=DATE:20261026").decode().encode("utf-16")),
    ("not UTF-8", calendar("DTSTART;VALUE=DATE:20261026\nSUMMARY:Café").decode().encode("latin-1")),
    ("broken file", calendar("DTSTART;VALUE=DATE:20261026")[:-20]),
    ("broken file", calendar("DTSTART;VALUE=DATE:20261026").replace(b"BEGIN:VEVENT", b"BEGN:VEVENT")),
    ("broken file", calendar("DTSTART;VALUE=DATE:20261026").replace(b"BEGIN:VEVENT", b"BEGIN VEVENT")),
    ("broken file", calendar("DTSTART;VALUE=DATE:20261026") + b"See you soon\r\n"),
    ("broken file", calendar("DTSTART;VALUE=DATE:20261026") + b"END:VCALENDAR\r\n"),
]


@pytest.mark.parametrize(
    ("kind", "content"), WHOLE_FILES, ids=[f"{kind} {n}" for n, (kind, _) in enumerate(WHOLE_FILES)]
)
def test_a_file_that_is_no_whole_calendar_gives_one_problem_and_no_days(kind: Kind, content: bytes) -> None:
    found = read_closures(content, *YEAR)
    assert found.days == ()
    assert [(each.kind, each.summary) for each in found.problems] == [(kind, None)]


# ------------------------------------------------------------------------ bounded


YEAR_LENGTH = (YEAR[1] - YEAR[0]).days + 1


@pytest.mark.parametrize(
    ("rule", "start", "most"),
    [
        ("FREQ=DAILY", date(1, 1, 1), 2 * YEAR_LENGTH),
        ("FREQ=DAILY;UNTIL=99991231", date(1526, 9, 1), 2 * YEAR_LENGTH),
        ("FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30", date(1900, 1, 1), 2 * YEAR_LENGTH),
        ("FREQ=DAILY;INTERVAL=7;BYDAY=MO", date(1900, 1, 2), YEAR_LENGTH),
        ("FREQ=WEEKLY;BYMONTH=2", date(1900, 1, 1), 2 * YEAR_LENGTH),
        ("FREQ=MONTHLY;BYMONTHDAY=31;BYMONTH=2,4", date(1900, 1, 1), 2 * YEAR_LENGTH),
        ("FREQ=YEARLY;BYDAY=53MO", date(1900, 1, 1), 3 * 366),
        ("FREQ=YEARLY;INTERVAL=999999999", date(1900, 1, 1), 3 * 366),
    ],
)
def test_a_rule_looks_no_further_than_the_wanted_dates(rule: str, start: date, most: int) -> None:
    """A rule without a number of times costs the wanted dates and the periods at their ends, no more."""
    found = occurrences(read_rule(rule, start), start, *YEAR)
    assert found.steps <= most


def test_moving_ahead_keeps_in_step_with_the_interval() -> None:
    start = date(1900, 1, 1)
    for rule in ("FREQ=DAILY;INTERVAL=13", "FREQ=WEEKLY;INTERVAL=5", "FREQ=MONTHLY;INTERVAL=7"):
        read = read_rule(rule, start)
        ahead = occurrences(read, start, *YEAR).days
        assert ahead == tuple(d for d in occurrences(read, start, start, YEAR[1]).days if d >= YEAR[0])
        assert ahead


def test_a_rule_with_a_number_of_times_is_counted_from_its_start_and_given_up_in_the_end() -> None:
    start = date(1900, 1, 1)
    found = occurrences(read_rule("FREQ=YEARLY;COUNT=200", start), start, *YEAR)
    assert found.days == (date(2027, 1, 1),)
    start = date(1800, 1, 1)
    with pytest.raises(RuleError, match=f"{MOST_STEPS:,}"):
        occurrences(read_rule("FREQ=DAILY;COUNT=999999999", start), start, *YEAR)


def test_a_huge_line_is_read_once() -> None:
    long = "x" * 5_000_000
    assert days_of(f"DTSTART;VALUE=DATE:20261026\nDESCRIPTION:{long}") == ["2026-10-26"]
    assert [kind for kind, _ in refused(f"DTSTART;VALUE=DATE:20261026\nSUMMARY:{long}")] == ["broken entry"]
    assert [kind for kind, _ in refused(f"DTSTART;VALUE=DATE:20261026\n{long}")] == ["broken entry"]
    found = read(f"DTSTART;VALUE=DATE:20261026\nRRULE:FREQ=DAILY;X={long}")
    assert [each.kind for each in found.problems] == ["rule part"]
    assert max(len(each.detail) for each in found.problems) < 200


def test_a_line_of_a_million_folds_is_one_line() -> None:
    content = calendar("DTSTART;VALUE=DATE:20261026\nSUMMARY:long").replace(
        b"long", b"\n " * 1_000_000 + b"Half term"
    )
    assert read_closures(content, *YEAR).days == ((date(2026, 10, 26), "Half term"),)


def test_nothing_is_read_of_a_file_that_is_far_too_large() -> None:
    found = read_closures(calendar(f"DESCRIPTION:{'x' * MOST_BYTES}"), *YEAR)
    assert [each.kind for each in found.problems] == ["too large"]


def test_a_list_of_two_hundred_thousand_dates_is_one_list() -> None:
    content = calendar("DTSTART;VALUE=DATE:20261026\nRRULE:FREQ=DAILY;COUNT=2\nEXDATE:some")
    found = read_closures(content.replace(b"some", b",".join([b"20261027"] * 200_000)), *YEAR)
    assert ([day for day, _ in found.days], found.problems) == ([date(2026, 10, 26)], ())


def test_a_hundred_thousand_entries_are_too_many() -> None:
    one = b"BEGIN:VEVENT\r\nDTSTART;VALUE=DATE:20261026\r\nEND:VEVENT\r\n"
    found = read_closures(b"BEGIN:VCALENDAR\r\n" + one * 100_000 + b"END:VCALENDAR\r\n", *YEAR)
    assert found.days == ()
    assert [each.kind for each in found.problems] == ["too large"]
    assert f"{MOST_ENTRIES:,}" in found.problems[0].detail


def test_many_rules_that_each_take_long_are_given_up_together() -> None:
    daily = [f"SUMMARY:{n}\nDTSTART;VALUE=DATE:19000101\nRRULE:FREQ=DAILY" for n in range(2_000)]
    found = read(*daily)
    assert found.days == ()
    assert [each.kind for each in found.problems] == ["too large"]
    assert f"{MOST_WORK:,}" in found.problems[0].detail
    counted = [f"SUMMARY:{n}\nDTSTART;VALUE=DATE:18000101\nRRULE:FREQ=DAILY;COUNT=99999" for n in range(50)]
    kinds = [each.kind for each in read(*counted).problems]
    assert kinds[-1] == "too large"
    assert kinds[:-1] == ["too many steps"] * (MOST_WORK // MOST_STEPS - 1)


def test_entries_of_eight_thousand_years_cost_only_the_wanted_dates() -> None:
    found = read("DTSTART;VALUE=DATE:00010101\nDTEND;VALUE=DATE:99991231")
    assert len(found.days) == YEAR_LENGTH
    assert len(days_of("DTSTART;VALUE=DATE:20261001\nDURATION:P99999999W")) == YEAR_LENGTH - 30
    assert refused("DTSTART;VALUE=DATE:20261001\nDURATION:P99999999999W") == [("broken entry", None)]


def test_deep_nesting_is_walked_not_descended() -> None:
    deep = b"BEGIN:A\r\n" * 200_000 + b"END:A\r\n" * 200_000
    found = read_closures(b"BEGIN:VCALENDAR\r\n" + deep + b"END:VCALENDAR\r\n", *YEAR)
    assert found == Closures((), ())


@given(
    st.lists(
        st.tuples(
            st.sampled_from(
                (
                    "DTSTART",
                    "DTEND",
                    "RRULE",
                    "EXDATE",
                    "RDATE",
                    "DURATION",
                    "RECURRENCE-ID",
                    "SUMMARY",
                    "UID",
                )
            ),
            st.sampled_from(("", ";VALUE=DATE", ";TZID=Nowhere", ';X="a;:b', ";VALUE=", ";=;")),
            st.one_of(
                st.text(max_size=12),
                st.sampled_from(
                    (
                        "20261026",
                        "20261026T090000Z",
                        "P1D",
                        "PT1H",
                        "99991231",
                        "00010101",
                        "FREQ=WEEKLY",
                        "000000",
                    )
                ),
            ),
        ),
        max_size=6,
    )
)
@settings(max_examples=200, deadline=None)
@example([("DTSTART", ";VALUE=DATE", "99991231"), ("RRULE", "", "FREQ=WEEKLY")])
@example([("DTSTART", ";VALUE=DATE", "00010101"), ("RRULE", "", "FREQ=YEARLY;BYWEEKNO=1;BYDAY=SA;WKST=SU")])
def test_whatever_stands_in_an_entry_gives_days_or_a_problem(lines: list[tuple[str, str, str]]) -> None:
    content = calendar("\n".join(f"{name}{parameters}:{value}" for name, parameters, value in lines))
    for bounds in (YEAR, (date.min, date(2, 1, 1)), (date(9998, 1, 1), date.max), (YEAR[1], YEAR[0])):
        found = read_closures(content, *bounds)
        assert all(bounds[0] <= day <= bounds[1] for day, _ in found.days)
        assert list(found.days) == sorted(set(found.days))
        assert all(problem.detail for problem in found.problems)


@given(st.binary(max_size=200))
@settings(max_examples=200, deadline=None)
def test_whatever_the_bytes_are_the_reader_answers(junk: bytes) -> None:
    for content in (junk, b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n" + junk):
        assert read_closures(content, *YEAR).problems


# ------------------------------------------------------------------------- faults


FILE = Source("term.chime", 'days in "closures.ics" silent')
SPAN = Span(FILE, 8, 22)


def test_there_is_one_fault_for_each_kind_with_three_names_and_a_count() -> None:
    timed = [f"SUMMARY:Evening {n}\nDTSTART:202610{n}T180000" for n in range(10, 15)]
    found = read(*timed, "SUMMARY:Often\nDTSTART;VALUE=DATE:20261026\nRRULE:FREQ=HOURLY")
    faults = closure_problems(SPAN, "closures.ics", found.problems)
    assert [(fault.code.id, fault.headline) for fault in faults] == [
        ("N384", '1 entry of "closures.ics" is not used: a repetition that is not by whole days'),
        ("N384", '5 entries of "closures.ics" are not used: times of day'),
    ]
    assert re.findall(r'"(\w+ \d+)"', faults[1].why) == ["Evening 10", "Evening 11", "Evening 12"]
    assert faults[1].why.endswith("and 2 more.")


def test_every_kind_of_trouble_has_its_words() -> None:
    given_kinds: set[Kind] = {"said twice", "too large"}
    given_kinds |= {kind for kind, _ in REFUSED} | {kind for kind, _ in WHOLE_FILES}
    headlines = {
        closure_problems(SPAN, "closures.ics", [Problem(kind, f"it is {kind}", "Name")])[0].headline
        for kind in sorted(given_kinds)
    }
    assert len(headlines) == len(given_kinds) == 18


def test_a_file_that_is_no_calendar_is_one_fault() -> None:
    found = read_closures(b"<html>", *YEAR)
    faults = closure_problems(SPAN, "closures.ics", found.problems)
    assert [fault.code.id for fault in faults] == ["N383"]
    assert "BEGIN:VCALENDAR" in faults[0].headline
