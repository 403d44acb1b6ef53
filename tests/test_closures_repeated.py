"""Closures of a calendar file: which days repeated entries close, by RFC 5545 and by general libraries."""

from datetime import date, datetime, timedelta

import icalendar
import pytest
import recurring_ical_events
from dateutil.rrule import rrulestr
from hypothesis import example, given, settings
from hypothesis import strategies as st

from chime.programme.closures import read_closures
from chime.programme.day_rules import WEEKDAYS, is_in_step, occurrences, read_rule
from tests.closure_files import YEAR, calendar, days_of, read

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
