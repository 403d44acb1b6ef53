"""Public holidays by region: which days, under which names, and which region was probably meant."""

import os
import subprocess
import sys
import warnings
from datetime import date
from pathlib import Path

import exchange_calendars
import holidays
import pytest

from chime.diagnostics import Source, Span
from chime.programme.outside_faults import no_day_in_term, unknown_region
from chime.programme.public_days import known_region, public_days, regions, release, suggestions

YEAR_2026 = (date(2026, 1, 1), date(2026, 12, 31))


def closed_weekdays(exchange: str, first: date, last: date) -> list[date]:
    """The weekdays on which an exchange does not open, from the `exchange-calendars` data set."""
    with warnings.catch_warnings():
        # The data set calls a form of pandas that newer releases of pandas warn of.
        warnings.simplefilter("ignore")
        calendar = exchange_calendars.get_calendar(exchange, start=first.isoformat(), end=last.isoformat())
    open_days = {session.date() for session in calendar.sessions}
    every = [date.fromordinal(n) for n in range(first.toordinal(), last.toordinal() + 1)]
    return [day for day in every if day.weekday() < 5 and day not in open_days]


def weekdays_of(region: str, first: date, last: date) -> list[date]:
    return [day for day, _ in public_days(region, first, last) if day.weekday() < 5]


@pytest.mark.parametrize("year", [2024, 2025, 2026])
def test_bank_holidays_of_england_are_the_closed_weekdays_of_the_london_exchange(year: int) -> None:
    """Source: the XLON calendar of `exchange-calendars`, eight closed weekdays in each of these years."""
    bounds = date(year, 1, 1), date(year, 12, 31)
    found = weekdays_of("GB-ENG", *bounds)
    assert found == closed_weekdays("XLON", *bounds)
    assert len(found) == 8


def test_bank_holidays_of_england_in_2026_have_their_names() -> None:
    """Source: the list of the government of the United Kingdom (gov.uk/bank-holidays), as it is reproduced
    by the `holidays` package 0.109, whose own names these are."""
    assert [(day.isoformat()[5:], name) for day, name in public_days("GB-ENG", *YEAR_2026)] == [
        ("01-01", "New Year's Day"),
        ("04-03", "Good Friday"),
        ("04-06", "Easter Monday"),
        ("05-04", "May Day"),
        ("05-25", "Spring Bank Holiday"),
        ("08-31", "Late Summer Bank Holiday"),
        ("12-25", "Christmas Day"),
        ("12-26", "Boxing Day"),
        ("12-28", "Boxing Day (observed)"),
    ]


def test_a_holiday_at_a_weekend_is_given_on_the_day_it_is_moved_to_as_well() -> None:
    """Boxing Day 2026 is a Saturday. Source: the XLON calendar is closed on Monday 28 December."""
    assert date(2026, 12, 28) in closed_weekdays("XLON", *YEAR_2026)
    days = dict(public_days("GB-ENG", date(2026, 12, 26), date(2026, 12, 28)))
    assert days == {date(2026, 12, 26): "Boxing Day", date(2026, 12, 28): "Boxing Day (observed)"}


def test_a_part_of_a_country_has_its_own_days() -> None:
    """Source: the XASX calendar, which keeps the public holidays of New South Wales but Labour Day and the
    day after a Saturday's Anzac Day."""
    found = weekdays_of("AU-NSW", *YEAR_2026)
    assert set(closed_weekdays("XASX", *YEAR_2026)) < set(found)
    assert set(found) - set(closed_weekdays("XASX", *YEAR_2026)) == {date(2026, 4, 27), date(2026, 10, 5)}
    names = dict(public_days("AU-NSW", *YEAR_2026))
    assert names[date(2026, 10, 5)] == "Labour Day"
    assert date(2026, 10, 5) not in dict(public_days("AU-VIC", *YEAR_2026))
    assert date(2026, 11, 3) in dict(public_days("AU-VIC", *YEAR_2026))


def test_scotland_is_not_england() -> None:
    """The second of January is kept in Scotland alone (from memory)."""
    january = date(2026, 1, 1), date(2026, 1, 5)
    assert [day.day for day, _ in public_days("GB-SCT", *january)] == [1, 2]
    assert [day.day for day, _ in public_days("GB-ENG", *january)] == [1]


def test_half_days_and_school_holidays_are_not_public_ones() -> None:
    """Source: the `holidays` package itself, which has categories for both."""
    half = holidays.country_holidays("AU", subdiv="NT", years=2026, categories="half_day", language="en_AU")
    assert date(2026, 12, 24) in half
    assert date(2026, 12, 24) not in dict(public_days("AU-NT", *YEAR_2026))
    breaks = holidays.country_holidays("NL", subdiv="Noord", years=2026, categories="school")
    only_breaks = set(breaks) - set(holidays.country_holidays("NL", subdiv="Noord", years=2026))
    assert len(only_breaks) > 30
    assert not only_breaks & set(dict(public_days("NL-Noord", *YEAR_2026)))


def test_both_bounds_are_included_and_several_years_follow_each_other() -> None:
    christmas = date(2026, 12, 25), date(2027, 1, 1)
    assert [day for day, _ in public_days("GB-ENG", *christmas)] == [
        date(2026, 12, 25), date(2026, 12, 26), date(2026, 12, 28), date(2027, 1, 1),
    ]  # fmt: skip
    assert public_days("GB-ENG", date(2026, 11, 1), date(2026, 11, 30)) == ()
    assert public_days("GB-ENG", date(2027, 1, 1), date(2026, 1, 1)) == ()


def test_two_holidays_on_one_date_share_it() -> None:
    """Source: the `holidays` package, which gives both names for one date."""
    both = holidays.country_holidays("US", subdiv="VA", years=range(2020, 2040), language="en_US")
    shared = [day for day, names in sorted(both.items()) if "; " in names] or [None]
    assert shared[0] is not None
    found = dict(public_days("US-VA", shared[0], shared[0]))
    assert found[shared[0]].split(", ") == sorted(both[shared[0]].split("; "))


@pytest.mark.parametrize(
    ("region", "day", "name"),
    [
        ("DE", date(2026, 10, 3), "German Unity Day"),
        ("FR", date(2026, 7, 14), "National Day"),
        ("JP", date(2026, 5, 5), "Children's Day"),
        ("IE", date(2026, 3, 17), "Saint Patrick's Day"),
    ],
)
def test_names_are_in_english_where_there_is_a_choice(region: str, day: date, name: str) -> None:
    """Source: the English names of the `holidays` package."""
    assert dict(public_days(region, day, day)) == {day: name}


ASK = """
from datetime import date
from chime.programme.public_days import public_days
for region in ("GB-ENG", "DE-BY", "IN", "TR"):
    print(public_days(region, date(2026, 1, 1), date(2026, 12, 31)))
"""


def test_the_settings_of_the_computer_make_no_difference() -> None:
    """The library asks the environment for a language if it is not told one."""
    answers = set()
    for language, seed in (("de_DE.UTF-8", "1"), ("th_TH.UTF-8", "2"), ("C", "3")):
        settings = {"LANGUAGE": language, "LC_ALL": language, "LANG": language, "PYTHONHASHSEED": seed}
        environment = {**os.environ, **settings, "PYTHONIOENCODING": "utf-8", "PYTHONUTF8": "1"}
        root = Path(__file__).parent.parent
        done = subprocess.run(
            [sys.executable, "-c", ASK], capture_output=True, env=environment, cwd=root, check=True
        )
        answers.add(done.stdout)
    assert len(answers) == 1


def test_every_region_can_be_asked_without_a_warning() -> None:
    for region in sorted(regions()):
        days = public_days(region, date(2026, 9, 1), date(2027, 7, 31))
        assert days == tuple(sorted(days))
        assert all(name and "; " not in name for _, name in days)


def test_the_release_is_that_of_the_installed_library() -> None:
    assert release() == holidays.__version__


# -------------------------------------------------------------------- known and near


@pytest.mark.parametrize("region", ["GB", "GB-ENG", "AU-NSW", "US", "US-NY", "FR-57", "IE"])
def test_countries_and_their_parts_are_known(region: str) -> None:
    assert known_region(region)


@pytest.mark.parametrize(
    "region", ["UK", "GBR", "gb-eng", "England", "GB-EGN", "GB-", "GB-NSW", "XX", "", "-ENG", "NYSE"]
)
def test_other_names_are_not(region: str) -> None:
    assert not known_region(region)


@pytest.mark.parametrize(
    ("region", "place", "meant"),
    [
        ("GB-EGN", "Europe/London", ("GB-ENG",)),
        ("gb-eng", "Europe/London", ("GB-ENG",)),
        ("UK", "Europe/Paris", ("GB",)),
        ("GBR-SCT", "Europe/Paris", ("GB-SCT",)),
        ("AU-NSV", "Europe/London", ("AU-NSW",)),
    ],
)
def test_a_near_code_is_suggested_first(region: str, place: str, meant: tuple[str, ...]) -> None:
    assert suggestions(region, place) == meant


@pytest.mark.parametrize(
    ("place", "meant"),
    [
        ("Europe/London", ("GB-ENG", "GB-NIR", "GB-SCT", "GB-WLS", "GB")),
        ("Australia/Sydney", ("AU-NSW", "AU")),
        ("America/Toronto", ("CA-ON", "CA-QC", "CA")),
        ("America/New_York", ("US",)),
        ("Europe/Dublin", ("IE",)),
        ("Asia/Calcutta", ("IN",)),
        ("Etc/UTC", ()),
        ("Nowhere/At_All", ()),
        ("", ()),
    ],
)
def test_else_the_place_says_which_region_may_be_meant(place: str, meant: tuple[str, ...]) -> None:
    """Source: the zone table and the links of the `tzdata` package."""
    assert suggestions("Wonderland", place) == meant


def test_every_suggestion_is_a_region_that_is_known() -> None:
    for region in ("GB-ENGL", "England", "UK-XYZ", "A", "ZZ-ZZ", "nsw", "x" * 5_000):
        for place in ("Europe/London", "Australia/Sydney", "Asia/Tokyo"):
            assert all(known_region(each) for each in suggestions(region, place))


# ------------------------------------------------------------------------- faults


FILE = Source("term.chime", "  public holidays of GB-EGN   silent")
REGION = Span(FILE, 21, 27)


def test_an_unknown_region_offers_what_may_be_meant() -> None:
    fault = unknown_region(REGION, "GB-EGN", suggestions("GB-EGN", "Europe/London"))
    assert (fault.code.id, fault.severity, fault.headline) == (
        "N381", "error", 'no public holidays are known for a region "GB-EGN"',
    )  # fmt: skip
    assert [edit.replacement for each in fault.suggestions for edit in each.edits] == ["GB-ENG"]


def test_an_unknown_region_with_nothing_near_shows_what_a_region_looks_like() -> None:
    fault = unknown_region(REGION, "XX", ())
    assert [each.certainty for each in fault.suggestions] == ["sketch"]


def test_days_that_fall_in_no_term_are_a_warning() -> None:
    fault = no_day_in_term(REGION, "public holiday of GB-ENG")
    assert (fault.code.id, fault.severity) == ("N385", "warning")
    assert fault.headline == "no public holiday of GB-ENG falls in a term"
