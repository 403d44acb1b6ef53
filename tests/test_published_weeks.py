"""Weeks and week letters against ISO 8601, told by Python's own `date.isocalendar`."""

from datetime import date, timedelta

import pytest

from chime.clock import week_start
from tests.compiling import compiled, rings_of

# Source: ISO 8601; the years are those that RFC 5545, section 3.3.10, describes: 1 January is a Thursday, or
# a Wednesday in a leap year.
LONG_YEARS = (2004, 2009, 2015, 2020, 2026, 2032, 2037, 2043, 2048, 2054)


def weeks_between(year: int) -> int:
    """Weeks from the one that holds 4 January of a year to that of the next, by our own week starts."""
    first, last = (week_start(date(one, 1, 4), date(2026, 9, 7)) for one in (year, year + 1))
    return (last - first).days // 7


def test_the_years_of_53_weeks_are_the_published_ones() -> None:
    assert tuple(year for year in range(2000, 2060) if weeks_between(year) == 53) == LONG_YEARS
    assert {weeks_between(year) for year in range(2000, 2060)} == {52, 53}


def test_four_hundred_years_have_71_long_ones_and_20871_weeks() -> None:
    weeks = [weeks_between(year) for year in range(2000, 2400)]
    assert (weeks.count(53), sum(weeks)) == (71, 20_871)


def test_weeks_start_on_the_mondays_of_iso_8601() -> None:
    for number in range(date(2000, 1, 1).toordinal(), date(2060, 1, 1).toordinal()):
        day = date.fromordinal(number)
        year, week, _ = day.isocalendar()
        assert week_start(day, date(2026, 9, 7)) == date.fromisocalendar(year, week, 1)


# Source: ISO 8601, worked out by hand from 1 January of each year.
@pytest.mark.parametrize(
    ("day", "year", "week", "weekday"),
    [
        ("2023-01-01", 2022, 52, 7),
        ("2024-12-30", 2025, 1, 1),
        ("2025-12-29", 2026, 1, 1),
        ("2026-12-31", 2026, 53, 4),
        ("2027-01-03", 2026, 53, 7),
        ("2027-01-04", 2027, 1, 1),
        ("2033-01-01", 2032, 53, 6),
    ],
)
def test_a_date_lies_in_the_week_that_iso_8601_gives_it(day: str, year: int, week: int, weekday: int) -> None:
    at = date.fromisoformat(day)
    first_week = week_start(date(year, 1, 4), date(2026, 9, 7))
    assert week_start(at, first_week) == first_week + timedelta(weeks=week - 1)
    assert (at - week_start(at, first_week)).days == weekday - 1
    assert at.isocalendar() == (year, week, weekday)


LETTERED = """programme "Ostermead House"
  place Europe/London
  issue 1 on {first}
zone main
signal lesson 6 s within 2 s
timetable one in main
  ring 09:00, 12:00 lesson
timetable two in main
  ring 08:00, 11:00, 14:00 lesson
week a
  Mon to Fri one
  Sat, Sun silent
week b
  Mon to Fri two
  Sat, Sun silent
term "Winter" {first} to {last}
  weeks a, b from {first} counting {counting}
"""


def letters(text: str) -> dict[date, str]:
    """The letter of every Monday that has one; every day of its week has the same."""
    calendar = compiled(text).calendar
    assert calendar is not None
    found: dict[date, set[str]] = {}
    for day in calendar.days:
        if day.label is not None:
            found.setdefault(week_start(day.day, date(2026, 9, 7)), set()).add(day.label)
    assert all(len(labels) == 1 for labels in found.values())
    return {monday: labels.pop() for monday, labels in found.items()}


@pytest.mark.parametrize("year", LONG_YEARS)
def test_letters_alternate_where_two_iso_weeks_in_a_row_are_odd(year: int) -> None:
    first = date.fromisocalendar(year, 49, 1)
    last = date.fromisocalendar(year + 1, 3, 5)
    mondays = [first + timedelta(weeks=count) for count in range(8)]
    numbers = [monday.isocalendar()[1] for monday in mondays]
    assert numbers == [49, 50, 51, 52, 53, 1, 2, 3]
    found = letters(LETTERED.format(first=first, last=last, counting="every week"))
    assert found == dict(zip(mondays, "abababab", strict=True))
    # By parity of the number weeks 53 and 1 would both be odd, and a letter would come twice in a row.
    assert (found[mondays[4]], found[mondays[5]]) == ("a", "b")


def test_rings_of_the_long_year_follow_the_letters() -> None:
    rings = rings_of(LETTERED.format(first="2026-11-30", last="2027-01-22", counting="every week"))
    by_date: dict[str, list[str]] = {}
    for ring in rings:
        by_date.setdefault(ring.at.date().isoformat(), []).append(f"{ring.at:%H:%M}")
    assert by_date["2026-12-31"] == ["09:00", "12:00"]  # 2026-W53-4, week a
    assert by_date["2027-01-01"] == ["09:00", "12:00"]  # 2026-W53-5
    assert by_date["2027-01-04"] == ["08:00", "11:00", "14:00"]  # 2027-W01-1, week b
    assert by_date["2027-01-11"] == ["09:00", "12:00"]  # 2027-W02-1


def test_closed_weeks_over_new_year_take_no_letter_when_school_weeks_are_counted() -> None:
    closed = 'exceptions\n  2026-12-21 to 2027-01-01 silent "Christmas holidays"\n'
    dates = {"first": "2026-11-30", "last": "2027-01-22"}
    school = letters(LETTERED.format(**dates, counting="school weeks") + closed)
    every = letters(LETTERED.format(**dates, counting="every week") + closed)
    open_weeks = {date.fromisocalendar(2026, 51, 1): "a", date.fromisocalendar(2027, 1, 1): "b"}
    assert {monday: school.get(monday) for monday in open_weeks} == open_weeks
    assert date.fromisocalendar(2026, 52, 1) not in school
    assert date.fromisocalendar(2026, 53, 1) not in school
    # Weeks 52 and 53 take b and a when every week is counted, so week 1 has the letter it had before.
    assert every[date.fromisocalendar(2027, 1, 1)] == "b"
