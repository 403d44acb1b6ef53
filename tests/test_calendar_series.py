"""Which rings of the calendar become one series, and how small that makes it."""

from collections import Counter
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chime.clock import dates, moment
from chime.rings.model import Ring
from chime.writers.weekly_series import cover
from tests.calendars import ZONES, at, calendar, ring

pytestmark = pytest.mark.usefixtures("zones_of_the_package")

# ------------------------------------------------------------------------- series


def test_alternate_weeks_with_closures_are_one_series() -> None:
    days = [d for d in dates(date(2026, 9, 7), date(2026, 12, 18)) if d.weekday() < 4]
    a_weeks = [d for d in days if (d - date(2026, 9, 7)).days // 7 % 2 == 0]
    (series,) = cover(a_weeks)
    assert series.weekdays == (0, 1, 2, 3)
    assert set(series.left_out) == set(days[: days.index(a_weeks[-1])]) - set(a_weeks)


def test_a_long_absence_begins_another_series_and_a_short_one_does_not() -> None:
    autumn = dates(date(2026, 9, 7), date(2026, 12, 18))
    spring = dates(date(2027, 1, 5), date(2027, 3, 25))
    next_autumn = dates(date(2027, 9, 6), date(2027, 12, 17))
    school_days = [day for day in [*autumn, *spring, *next_autumn] if day.weekday() < 5]
    first, second = cover(school_days)
    assert (first.dates[0], first.dates[-1]) == (autumn[0], spring[-1])
    assert (second.dates[0], second.dates[-1]) == (next_autumn[0], next_autumn[-1])


def test_a_weekday_of_one_term_only_is_a_series_of_its_own() -> None:
    year = dates(date(2026, 9, 7), date(2027, 7, 20))
    fridays = [day for day in year if day.weekday() == 4 and day.month < 3]
    found = cover([*(day for day in year if day.weekday() < 4), *fridays])
    assert sorted((series.weekdays, len(series.left_out)) for series in found) == [
        ((0, 1, 2, 3), 0),
        ((4,), 0),
    ]


def test_scattered_dates_are_single_events() -> None:
    days = [date(2026, 9, 7), date(2026, 11, 11), date(2027, 3, 2)]
    assert [series.dates for series in cover(days)] == [(day,) for day in days]
    content = calendar([ring(moment(day, at(11, 0))) for day in days])
    assert content.count(b"BEGIN:VEVENT") == 3
    assert b"RRULE" not in content


@settings(deadline=None)
@given(st.frozensets(st.integers(0, 400)))
def test_series_hold_each_date_once_and_leave_out_no_more_than_they_hold(numbers: frozenset[int]) -> None:
    days = {date(2026, 9, 1) + timedelta(days=number) for number in numbers}
    found = cover(days)
    assert Counter(day for series in found for day in series.dates) == Counter(days)
    for series in found:
        spanned = [d for d in dates(series.dates[0], series.dates[-1]) if d.weekday() in series.weekdays]
        assert sorted([*series.dates, *series.left_out]) == spanned
        assert len(series.left_out) <= len(series.dates)


# ------------------------------------------------------------------------ size and speed


def school_year() -> list[Ring]:
    """Four zones with ten or eleven bells on each school day of a plain year, some 8,000 rings."""
    closed = {
        *dates(date(2026, 10, 26), date(2026, 10, 30)),
        *dates(date(2026, 12, 21), date(2027, 1, 4)),
        *dates(date(2027, 2, 15), date(2027, 2, 19)),
        *dates(date(2027, 3, 26), date(2027, 4, 12)),
        *dates(date(2027, 5, 31), date(2027, 6, 4)),
    }
    days = [
        day for day in dates(date(2026, 9, 7), date(2027, 7, 20)) if day.weekday() < 5 and day not in closed
    ]
    times = [at(8, 40) + 35 * 60 * n for n in range(11)]
    return [
        ring(moment(day, time_of_day), zone, f"Period {n} starts")
        for day in days
        for zone in ZONES
        for n, time_of_day in enumerate(times)
    ]


def test_series_are_far_smaller_than_single_events() -> None:
    rings = school_year()
    frame = len(calendar(rings[:0]))
    of_one_day = len(calendar(rings[:44])) - frame
    single, series = frame + of_one_day * len(rings) // 44, len(calendar(rings))
    print(f"{len(rings)} rings: {single} octets as single events, {series} as series: {single / series:.0f}x")
    assert series * 8 < single


def test_a_year_of_four_zones_is_one_entry_for_each_zone_and_time() -> None:
    # One for each of four zones and eleven times: no holiday of the year is long enough to part a series.
    rings = school_year()
    assert len(rings) > 8_000
    assert calendar(rings).count(b"BEGIN:VEVENT") == 4 * 11
