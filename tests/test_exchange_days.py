"""The sessions of four exchanges, written as programmes and held against an open data set.

Source: the `exchange-calendars` library, release 4.13.2 (Apache-2.0): open, break and close of every session
of 2024 to 2026 in New York (XNYS), London (XLON), Hong Kong (XHKG) and Sydney (XASX). A session is a weekly
pattern with closures and early finishes, which is what a school's year is too. The closures and early
finishes are typed below (from memory of what was announced); nothing of a programme is made from the data
set, which proves them. Those of London are the public holidays of England, so three sources must agree.
"""

import json
import warnings
from collections import Counter
from datetime import UTC, date, datetime
from functools import cache
from importlib.metadata import version
from typing import Any, NamedTuple

import pytest

from chime.rings.model import RingCalendar
from chime.writers.rings_text import as_json
from tests.compiling import compiled

YEARS = (2024, 2025, 2026)


class Market(NamedTuple):
    """A market's place, its two timetables and its exceptions, in the language's own words."""

    place: str
    full: tuple[str, ...]
    early: tuple[str, ...]
    exceptions: tuple[str, ...]

    def text(self) -> str:
        head = (
            'programme "Trading floor"',
            f"  place {self.place}",
            "  issue 1 on 2024-01-01",
            "zone floor",
            "signal session 6 s within 2 s",
            "timetable full in floor",
            "  each period start session, end session",
        )
        week = ("week ordinary", "  Mon to Fri full", "  Sat, Sun silent")
        terms = tuple(f'term "{year}" {year}-01-01 to {year}-12-31' for year in YEARS)
        lines = (*head, *indented(self.full), "timetable early like full", *indented(self.early), *week)
        return "\n".join((*lines, *terms, "exceptions", *indented(self.exceptions))) + "\n"


def indented(lines: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"  {line}" for line in lines)


NEW_YORK = Market(
    "America/New_York",
    ('period "Session" 09:30 - 16:00',),
    ('move "Session" to 09:30 - 13:00',),
    (
        'Mon 2024-01-01  silent  "New Year"',
        'Mon 2024-01-15  silent  "Third Monday of January"',
        'Mon 2024-02-19  silent  "Presidents Day"',
        'Fri 2024-03-29  silent  "Good Friday"',
        'Mon 2024-05-27  silent  "Memorial Day"',
        'Wed 2024-06-19  silent  "Juneteenth"',
        'Wed 2024-07-03  early   "Day before Independence Day"',
        'Thu 2024-07-04  silent  "Independence Day"',
        'Mon 2024-09-02  silent  "Labour Day"',
        'Thu 2024-11-28  silent  "Thanksgiving"',
        'Fri 2024-11-29  early   "Day after Thanksgiving"',
        'Tue 2024-12-24  early   "Christmas Eve"',
        'Wed 2024-12-25  silent  "Christmas"',
        'Wed 2025-01-01  silent  "New Year"',
        'Thu 2025-01-09  silent  "Day of mourning"',
        'Mon 2025-01-20  silent  "Third Monday of January"',
        'Mon 2025-02-17  silent  "Presidents Day"',
        'Fri 2025-04-18  silent  "Good Friday"',
        'Mon 2025-05-26  silent  "Memorial Day"',
        'Thu 2025-06-19  silent  "Juneteenth"',
        'Thu 2025-07-03  early   "Day before Independence Day"',
        'Fri 2025-07-04  silent  "Independence Day"',
        'Mon 2025-09-01  silent  "Labour Day"',
        'Thu 2025-11-27  silent  "Thanksgiving"',
        'Fri 2025-11-28  early   "Day after Thanksgiving"',
        'Wed 2025-12-24  early   "Christmas Eve"',
        'Thu 2025-12-25  silent  "Christmas"',
        'Thu 2026-01-01  silent  "New Year"',
        'Mon 2026-01-19  silent  "Third Monday of January"',
        'Mon 2026-02-16  silent  "Presidents Day"',
        'Fri 2026-04-03  silent  "Good Friday"',
        'Mon 2026-05-25  silent  "Memorial Day"',
        'Fri 2026-06-19  silent  "Juneteenth"',
        'Fri 2026-07-03  silent  "Independence Day, observed"',
        'Mon 2026-09-07  silent  "Labour Day"',
        'Thu 2026-11-26  silent  "Thanksgiving"',
        'Fri 2026-11-27  early   "Day after Thanksgiving"',
        'Thu 2026-12-24  early   "Christmas Eve"',
        'Fri 2026-12-25  silent  "Christmas"',
    ),
)
LONDON = Market(
    "Europe/London",
    ('period "Session" 08:00 - 16:30',),
    ('move "Session" to 08:00 - 12:30',),
    (
        "public holidays of GB-ENG  silent",
        'Tue 2024-12-24  early  "Christmas Eve"',
        'Tue 2024-12-31  early  "New Year\'s Eve"',
        'Wed 2025-12-24  early  "Christmas Eve"',
        'Wed 2025-12-31  early  "New Year\'s Eve"',
        'Thu 2026-12-24  early  "Christmas Eve"',
        'Thu 2026-12-31  early  "New Year\'s Eve"',
    ),
)
HONG_KONG = Market(
    "Asia/Hong_Kong",
    ('period "Morning" 09:30 - 12:00', 'period "Afternoon" 13:00 - 16:00'),
    ('drop "Afternoon"',),
    (
        'Mon 2024-01-01  silent  "New Year"',
        'Fri 2024-02-09  early   "Lunar New Year\'s Eve"',
        '2024-02-12 to 2024-02-13  silent  "Lunar New Year"',
        'Fri 2024-03-29  silent  "Good Friday"',
        'Mon 2024-04-01  silent  "Easter Monday"',
        'Thu 2024-04-04  silent  "Ching Ming"',
        'Wed 2024-05-01  silent  "Labour Day"',
        'Wed 2024-05-15  silent  "Birthday of the Buddha"',
        'Mon 2024-06-10  silent  "Tuen Ng"',
        'Mon 2024-07-01  silent  "Establishment Day"',
        'Fri 2024-09-06  silent  "Typhoon"',
        'Wed 2024-09-18  silent  "Day after Mid-Autumn"',
        'Tue 2024-10-01  silent  "National Day"',
        'Fri 2024-10-11  silent  "Chung Yeung"',
        'Tue 2024-12-24  early   "Christmas Eve"',
        '2024-12-25 to 2024-12-26  silent  "Christmas"',
        'Tue 2024-12-31  early   "New Year\'s Eve"',
        'Wed 2025-01-01  silent  "New Year"',
        'Tue 2025-01-28  early   "Lunar New Year\'s Eve"',
        '2025-01-29 to 2025-01-31  silent  "Lunar New Year"',
        'Fri 2025-04-04  silent  "Ching Ming"',
        '2025-04-18 to 2025-04-21  silent  "Easter"',
        'Thu 2025-05-01  silent  "Labour Day"',
        'Mon 2025-05-05  silent  "Birthday of the Buddha"',
        'Tue 2025-07-01  silent  "Establishment Day"',
        'Wed 2025-10-01  silent  "National Day"',
        'Tue 2025-10-07  silent  "Day after Mid-Autumn"',
        'Wed 2025-10-29  silent  "Chung Yeung"',
        'Wed 2025-12-24  early   "Christmas Eve"',
        '2025-12-25 to 2025-12-26  silent  "Christmas"',
        'Wed 2025-12-31  early   "New Year\'s Eve"',
        'Thu 2026-01-01  silent  "New Year"',
        'Mon 2026-02-16  early   "Lunar New Year\'s Eve"',
        '2026-02-17 to 2026-02-19  silent  "Lunar New Year"',
        '2026-04-03 to 2026-04-07  silent  "Easter and Ching Ming"',
        'Fri 2026-05-01  silent  "Labour Day"',
        'Mon 2026-05-25  silent  "Day after the Birthday of the Buddha"',
        'Fri 2026-06-19  silent  "Tuen Ng"',
        'Wed 2026-07-01  silent  "Establishment Day"',
        'Thu 2026-10-01  silent  "National Day"',
        'Mon 2026-10-19  silent  "Day after Chung Yeung"',
        'Thu 2026-12-24  early   "Christmas Eve"',
        'Fri 2026-12-25  silent  "Christmas"',
        'Thu 2026-12-31  early   "New Year\'s Eve"',
    ),
)
SYDNEY = Market(
    "Australia/Sydney",
    ('period "Session" 10:00 - 16:00',),
    ('move "Session" to 10:00 - 14:10',),
    (
        'Mon 2024-01-01  silent  "New Year"',
        'Fri 2024-01-26  silent  "Australia Day"',
        '2024-03-29 to 2024-04-01  silent  "Easter"',
        'Thu 2024-04-25  silent  "Anzac Day"',
        'Mon 2024-06-10  silent  "King\'s Birthday"',
        'Tue 2024-12-24  early   "Christmas Eve"',
        '2024-12-25 to 2024-12-26  silent  "Christmas and Boxing Day"',
        'Tue 2024-12-31  early   "New Year\'s Eve"',
        'Wed 2025-01-01  silent  "New Year"',
        'Mon 2025-01-27  silent  "Australia Day, observed"',
        '2025-04-18 to 2025-04-21  silent  "Easter"',
        'Fri 2025-04-25  silent  "Anzac Day"',
        'Mon 2025-06-09  silent  "King\'s Birthday"',
        'Wed 2025-12-24  early   "Christmas Eve"',
        '2025-12-25 to 2025-12-26  silent  "Christmas and Boxing Day"',
        'Wed 2025-12-31  early   "New Year\'s Eve"',
        'Thu 2026-01-01  silent  "New Year"',
        'Mon 2026-01-26  silent  "Australia Day"',
        '2026-04-03 to 2026-04-06  silent  "Easter"',
        'Mon 2026-06-08  silent  "King\'s Birthday"',
        'Thu 2026-12-24  early   "Christmas Eve"',
        '2026-12-25 to 2026-12-28  silent  "Christmas and Boxing Day, observed"',
        'Thu 2026-12-31  early   "New Year\'s Eve"',
    ),
)
MARKETS = {"XNYS": NEW_YORK, "XLON": LONDON, "XHKG": HONG_KONG, "XASX": SYDNEY}

every_market = pytest.mark.parametrize("name", MARKETS)


@cache
def calendar_of(name: str) -> RingCalendar:
    calendar = compiled(MARKETS[name].text()).calendar
    assert calendar is not None
    return calendar


@cache
def rung(name: str) -> dict[date, list[datetime]]:
    """Compile a market's programme and list its rings by local date, each a time with its offset."""
    found: dict[date, list[datetime]] = {}
    for line in as_json(calendar_of(name).rings, MARKETS[name].place):
        at = datetime.fromisoformat(json.loads(line)["at"])
        found.setdefault(at.date(), []).append(at)
    return found


@cache
def data_set(name: str) -> Any:
    """Load a market of the data set for the years that are compared."""
    with warnings.catch_warnings():
        # The library still asks its table library for what that is about to change.
        warnings.simplefilter("ignore")
        import exchange_calendars

        return exchange_calendars.get_calendar(name, start="2024-01-01", end="2026-12-31")


@cache
def sessions(name: str) -> dict[date, list[datetime]]:
    """Read the UTC instants of open, break and close by date; where there is no break there are two."""
    rows = data_set(name).schedule[["open", "break_start", "break_end", "close"]].itertuples()
    return {day.date(): [at.to_pydatetime() for at in row if str(at) != "NaT"] for day, *row in rows}


def clocks(at: datetime) -> str:
    return f"{at:%H:%M:%S}"


def test_the_data_set_is_the_release_that_the_numbers_are_from() -> None:
    assert version("exchange-calendars") == "4.13.2"


@every_market
def test_every_day_with_a_session_rings_and_no_other(name: str) -> None:
    assert list(rung(name)) == list(sessions(name))


@every_market
def test_every_ring_is_at_the_instant_of_an_open_a_break_or_a_close(name: str) -> None:
    given = {day: [at.astimezone(UTC) for at in rings] for day, rings in rung(name).items()}
    assert given == sessions(name)


@every_market
def test_first_and_last_ring_show_the_local_time_of_open_and_close(name: str) -> None:
    given = {day: (clocks(rings[0]), clocks(rings[-1])) for day, rings in rung(name).items()}
    zone = data_set(name).tz
    meant = {
        day: (clocks(instants[0].astimezone(zone)), clocks(instants[-1].astimezone(zone)))
        for day, instants in sessions(name).items()
    }
    assert given == meant


# Read from the data set by hand: weekdays, weekdays closed, sessions, and early finishes with their hour.
@pytest.mark.parametrize(
    ("name", "year", "weekdays", "closed", "open_days", "hour", "early"),
    [
        ("XNYS", 2024, 262, 10, 252, "13:00", "07-03 11-29 12-24"),
        ("XNYS", 2025, 261, 11, 250, "13:00", "07-03 11-28 12-24"),
        ("XNYS", 2026, 261, 10, 251, "13:00", "11-27 12-24"),
        ("XLON", 2024, 262, 8, 254, "12:30", "12-24 12-31"),
        ("XLON", 2025, 261, 8, 253, "12:30", "12-24 12-31"),
        ("XLON", 2026, 261, 8, 253, "12:30", "12-24 12-31"),
        ("XHKG", 2026, 261, 14, 247, "12:00", "02-16 12-24 12-31"),
        ("XASX", 2026, 261, 7, 254, "14:10", "12-24 12-31"),
    ],
)
def test_days_are_as_many_as_counted(
    name: str, year: int, weekdays: int, closed: int, open_days: int, hour: str, early: str
) -> None:
    days = [day for day in calendar_of(name).days if day.day.year == year and day.day.isoweekday() <= 5]
    assert len(days) == weekdays
    assert sum(day.is_closed for day in days) == closed
    assert sum(day.programme is not None for day in days) == open_days
    last_rings = {day: rings[-1] for day, rings in rung(name).items() if day.year == year}
    assert len(last_rings) == open_days
    usual = Counter(f"{at:%H:%M}" for at in last_rings.values()).most_common(1)[0][0]
    finishes = {f"{day:%m-%d}": f"{at:%H:%M}" for day, at in last_rings.items() if f"{at:%H:%M}" != usual}
    assert finishes == dict.fromkeys(early.split(), hour)


@every_market
def test_no_weekend_rings_and_every_early_day_runs_the_early_timetable(name: str) -> None:
    days = calendar_of(name).days
    assert not [day for day in days if day.day.isoweekday() > 5 and day.programme is not None]
    lasts = {day: rings[-1].time() for day, rings in rung(name).items()}
    usual = max(lasts.values())
    assert {day.day for day in days if day.runs == "early"} == {
        day for day, last in lasts.items() if last < usual
    }


def test_a_hong_kong_day_has_four_rings_and_a_half_day_two() -> None:
    rings = rung("XHKG")
    assert [f"{at:%H:%M}" for at in rings[date(2026, 2, 13)]] == ["09:30", "12:00", "13:00", "16:00"]
    assert [f"{at:%H:%M}" for at in rings[date(2026, 2, 16)]] == ["09:30", "12:00"]


# Source: the `holidays` library, release 0.109, beside the data set: bank holidays of England on weekdays.
def test_london_is_closed_on_the_bank_holidays_of_england_and_on_no_other_weekday() -> None:
    import holidays

    bank = holidays.country_holidays("GB", subdiv="ENG", years=YEARS)
    closed = {day.day for day in calendar_of("XLON").days if day.is_closed}
    weekdays = {day.day for day in calendar_of("XLON").days if day.day.isoweekday() <= 5}
    assert closed & weekdays == weekdays & set(bank) == weekdays - set(sessions("XLON"))
    assert date(2026, 12, 28) in closed  # Boxing Day, observed
