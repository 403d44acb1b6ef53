"""Local time and weeks against what others have published.

Clock changes: the IANA time zone data, typed as dates and instants. Those of London, New York and Sydney
are also proved by the plain rules (last Sundays of March and October; second Sunday of March and first of
November; first Sundays of April and October; the rules are from memory). Weeks: ISO 8601, told by Python's
own `date.isocalendar`.
"""

import json
from datetime import UTC, date, datetime, timedelta
from functools import cache
from itertools import pairwise
from typing import NamedTuple

import pytest

from chime import zone_time
from chime.writers.rings_text import as_json
from tests.compiling import checked, rings_of, said

YEARS = range(2025, 2031)

ROUND_THE_CHANGE = "00:59, 01:00, 01:59, 02:00, 02:59, 03:00, 12:00"


CHOICES = "skip missing hour, repeated hour rings both"


class Rung(NamedTuple):
    """A ring as it is written: local time with its offset, which is an instant too."""

    written: str

    @property
    def offset(self) -> str:
        return self.written[19:]

    @property
    def at(self) -> datetime:
        """The instant, in UTC."""
        return datetime.fromisoformat(self.written).astimezone(UTC)


@cache
def rung(place: str, times: str, terms: tuple[str, ...], clocks: str = "") -> tuple[Rung, ...]:
    """Compile a programme that rings at some times on every day of its terms, and list what rings."""
    lines = [
        'programme "Night watch"',
        f"  place {place}",
        "  issue 1 on 2025-01-01",
        *([f"  clocks {clocks}"] if clocks else []),
        "zone tower",
        "signal stroke 6 s within 2 s",
        "timetable daily in tower",
        f"  ring {times} stroke",
        "week ordinary",
        "  Mon to Sun daily",
        *(f'term "{number}" {dates}' for number, dates in enumerate(terms, start=1)),
    ]
    rings = rings_of("\n".join(lines) + "\n")
    return tuple(Rung(json.loads(line)["at"]) for line in as_json(rings, place))


def all_years() -> tuple[str, ...]:
    """A term for each of the years 2025 to 2030, so that no date of them is left out."""
    return tuple(f"{year}-01-01 to {year}-12-31" for year in YEARS)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def instants(hour: str, dates: str) -> list[datetime]:
    """Type instants in short: one hour of UTC, many dates."""
    return [utc(f"{day}T{hour}") for day in dates.split()]


def changes_of(place: str) -> list[datetime]:
    """The instants of the years 2025 to 2030 at which the clocks of a place are put forward or back."""
    found = zone_time.changes(place, date(2025, 1, 1), date(2030, 12, 31))
    return [change.instant for change in found if change.offset_before != change.offset_after]


# Source: IANA time zone data 2026f. Its releases since 2024b agree on these, and so does each country's rule.
LONDON = instants(
    "01:00",
    "2025-03-30 2025-10-26 2026-03-29 2026-10-25 2027-03-28 2027-10-31 "
    "2028-03-26 2028-10-29 2029-03-25 2029-10-28 2030-03-31 2030-10-27",
)

NEW_YORK_ON = "2025-03-09 2026-03-08 2027-03-14 2028-03-12 2029-03-11 2030-03-10"


NEW_YORK_OFF = "2025-11-02 2026-11-01 2027-11-07 2028-11-05 2029-11-04 2030-11-03"

NEW_YORK = sorted(instants("07:00", NEW_YORK_ON) + instants("06:00", NEW_YORK_OFF))


# Sydney's Sundays begin at UTC's Saturdays: 6 April and 5 October 2025 and so on.
SYDNEY = instants(
    "16:00",
    "2025-04-05 2025-10-04 2026-04-04 2026-10-03 2027-04-03 2027-10-02 "
    "2028-04-01 2028-09-30 2029-03-31 2029-10-06 2030-04-06 2030-10-05",
)

CHANGING = {
    "Europe/London": (LONDON, "+00:00", "+01:00"),
    "America/New_York": (NEW_YORK, "-05:00", "-04:00"),
    "Australia/Sydney": (SYDNEY, "+10:00", "+11:00"),
}


def sunday(year: int, month: int, number: int) -> date:
    """The first, second ... Sunday of a month; -1 is its last."""
    days = [date(year, month, day) for day in range(1, month_length(month) + 1)]
    return [day for day in days if day.isoweekday() == 7][number - 1 if number > 0 else number]


def month_length(month: int) -> int:
    """The days of a month that clocks change in."""
    return 30 if month in (4, 11) else 31


# Month, which Sunday, and the hours of UTC from that Sunday's midnight to the change.
RULES = {
    "Europe/London": ((3, -1, 1), (10, -1, 1)),
    "America/New_York": ((3, 2, 7), (11, 1, 6)),
    "Australia/Sydney": ((4, 1, -8), (10, 1, -8)),
}


@pytest.mark.parametrize("place", CHANGING)
def test_the_published_instants_are_those_of_the_plain_rule(place: str) -> None:
    by_rule = [
        utc(sunday(year, month, number).isoformat()) + timedelta(hours=hours)
        for year in YEARS
        for month, number, hours in RULES[place]
    ]
    assert by_rule == CHANGING[place][0]


@pytest.mark.parametrize("place", CHANGING)
def test_clocks_change_at_the_published_instants_and_at_no_other(place: str) -> None:
    assert changes_of(place) == CHANGING[place][0]


@pytest.mark.parametrize("place", CHANGING)
def test_the_offset_of_rings_changes_within_the_minute_of_the_published_instant(place: str) -> None:
    published, winter, summer = CHANGING[place]
    rings = rung(place, ROUND_THE_CHANGE, all_years(), CHOICES)
    turns = [(one, next_) for one, next_ in pairwise(rings) if one.offset != next_.offset]
    assert [after.at for _, after in turns] == published
    assert [before.at for before, _ in turns] == [at - timedelta(minutes=1) for at in published]
    assert {ring.offset for ring in rings} == {winter, summer}


@pytest.mark.parametrize("place", CHANGING)
def test_a_skipped_hour_loses_two_rings_a_year_and_a_repeated_one_gives_two_more(place: str) -> None:
    # Two of the seven times fall in the hour: its first minute and its last.
    rings = rung(place, ROUND_THE_CHANGE, all_years(), CHOICES)
    per_date: dict[str, int] = {}
    for ring in rings:
        per_date[ring.written[:10]] = per_date.get(ring.written[:10], 0) + 1
    assert len(per_date) == 2191  # six years, 2028 of 366 days
    assert sorted(count for count in per_date.values() if count != 7) == [5] * 6 + [9] * 6


# Source: IANA time zone data 2026f. India and Japan have no summer time; Arizona none since 1968, Brazil
# none since 2019.
@pytest.mark.parametrize(
    ("place", "offset"),
    [
        ("America/Sao_Paulo", "-03:00"),
        ("Asia/Kolkata", "+05:30"),
        ("Asia/Tokyo", "+09:00"),
        ("America/Phoenix", "-07:00"),
    ],
)
def test_where_clocks_never_change_every_ring_has_one_offset(place: str, offset: str) -> None:
    assert changes_of(place) == []
    rings = rung(place, ROUND_THE_CHANGE, all_years())
    assert {ring.offset for ring in rings} == {offset}
    assert len(rings) == 7 * 2191


# Source: IANA time zone data 2026f: Lord Howe Island changes by half an hour, on Sydney's Sundays, at 02:00
# local: 15:00 UTC of the Saturday in April, 15:30 UTC in October.
LORD_HOWE = sorted(
    instants("15:00", "2025-04-05 2026-04-04 2027-04-03 2028-04-01 2029-03-31 2030-04-06")
    + instants("15:30", "2025-10-04 2026-10-03 2027-10-02 2028-09-30 2029-10-06 2030-10-05")
)


def test_lord_howe_changes_by_half_an_hour() -> None:
    assert changes_of("Australia/Lord_Howe") == LORD_HOWE
    times = "01:29, 01:30, 01:59, 02:00, 02:29, 02:30"
    rings = rung("Australia/Lord_Howe", times, ("2026-04-03 to 2026-10-05",), CHOICES)
    written = [ring.written for ring in rings]
    assert [one for one in written if one.startswith("2026-04-05")] == [
        "2026-04-05T01:29:00+11:00",
        "2026-04-05T01:30:00+11:00",
        "2026-04-05T01:59:00+11:00",
        "2026-04-05T01:30:00+10:30",
        "2026-04-05T01:59:00+10:30",
        "2026-04-05T02:00:00+10:30",
        "2026-04-05T02:29:00+10:30",
        "2026-04-05T02:30:00+10:30",
    ]
    assert [one for one in written if one.startswith("2026-10-04")] == [
        "2026-10-04T01:29:00+10:30",
        "2026-10-04T01:30:00+10:30",
        "2026-10-04T01:59:00+10:30",
        "2026-10-04T02:30:00+11:00",
    ]


# Source: IANA time zone data; what a release says of the years to come changes with the law. Morocco keeps
# summer time but for Ramadan (to 2026b) or ends it in September 2026 (2026c and later); British Columbia
# stays on summer time from March 2026 on (2026b and later).
CASABLANCA_TO_2026B = instants(
    "02:00",
    "2025-02-23 2025-04-06 2026-02-15 2026-03-22 2027-02-07 2027-03-14 2028-01-23 2028-03-05 "
    "2029-01-14 2029-02-18 2029-12-30 2030-02-10 2030-12-22",
)


CASABLANCA_FROM_2026C = [*CASABLANCA_TO_2026B[:4], utc("2026-09-20T01:00")]


VANCOUVER_TO_2026A = sorted(instants("10:00", NEW_YORK_ON) + instants("09:00", NEW_YORK_OFF))


VANCOUVER_FROM_2026B = VANCOUVER_TO_2026A[:3]


def test_a_place_whose_law_changed_follows_the_release_that_outputs_name() -> None:
    release = zone_time.release()
    casablanca = CASABLANCA_FROM_2026C if release >= "2026c" else CASABLANCA_TO_2026B
    vancouver = VANCOUVER_FROM_2026B if release >= "2026b" else VANCOUVER_TO_2026A
    assert changes_of("Africa/Casablanca") == casablanca
    assert changes_of("America/Vancouver") == vancouver


# In July Morocco is an hour ahead of UTC only where summer time goes on; in December British Columbia is
# seven hours behind only where summer time stays.
@pytest.mark.parametrize(
    ("place", "dates", "release", "offset_before_it", "offset_from_it"),
    [
        ("Africa/Casablanca", "2028-07-03 to 2028-07-07", "2026c", "+01:00", "+00:00"),
        ("America/Vancouver", "2028-12-04 to 2028-12-08", "2026b", "-08:00", "-07:00"),
    ],
)
def test_rings_have_the_offset_that_the_release_says(
    place: str, dates: str, release: str, offset_before_it: str, offset_from_it: str
) -> None:
    expected = offset_from_it if zone_time.release() >= release else offset_before_it
    assert {ring.offset for ring in rung(place, "08:30", (dates,))} == {expected}


# Derived by hand from the tables above: the last and the first weekday bells either side of a change.
@pytest.mark.parametrize(
    ("place", "local", "instant"),
    [
        ("Europe/London", "2026-03-27T08:30:00+00:00", "2026-03-27T08:30"),
        ("Europe/London", "2026-03-30T08:30:00+01:00", "2026-03-30T07:30"),
        ("Europe/London", "2026-10-23T08:30:00+01:00", "2026-10-23T07:30"),
        ("Europe/London", "2026-10-26T08:30:00+00:00", "2026-10-26T08:30"),
        ("America/New_York", "2026-03-06T08:30:00-05:00", "2026-03-06T13:30"),
        ("America/New_York", "2026-03-09T08:30:00-04:00", "2026-03-09T12:30"),
        ("America/New_York", "2026-10-30T08:30:00-04:00", "2026-10-30T12:30"),
        ("America/New_York", "2026-11-02T08:30:00-05:00", "2026-11-02T13:30"),
        ("Australia/Sydney", "2026-04-02T08:30:00+11:00", "2026-04-01T21:30"),
        ("Australia/Sydney", "2026-04-07T08:30:00+10:00", "2026-04-06T22:30"),
        ("Australia/Sydney", "2026-10-02T08:30:00+10:00", "2026-10-01T22:30"),
        ("Australia/Sydney", "2026-10-05T08:30:00+11:00", "2026-10-04T21:30"),
    ],
)
def test_a_bell_at_half_past_eight_sounds_at_the_published_instant(
    place: str, local: str, instant: str
) -> None:
    rings = rung(place, "08:30", ("2026-01-01 to 2026-12-31",))
    [ring] = [one for one in rings if one.written[:10] == local[:10]]
    assert (ring.written, ring.at) == (local, utc(instant))


def london(clocks: str, dates: str) -> list[str]:
    return [ring.written for ring in rung("Europe/London", "01:30", (dates,), clocks)]


# Source: RFC 5545, section 3.3.5: a time in a gap is read with the offset before it, so 01:30 is 01:30 UTC,
# which London's clocks show as 02:30; a time that comes twice is its first pass. The language takes neither
# for granted.
def test_the_gap_of_london_is_read_as_rfc_5545_reads_it_only_when_the_programme_says_so() -> None:
    dates = "2026-03-29 to 2026-03-29"
    [ring] = rung("Europe/London", "01:30", (dates,), "ring missing hour at 02:30")
    assert (ring.written, ring.at) == ("2026-03-29T02:30:00+01:00", utc("2026-03-29T01:30"))
    assert london("skip missing hour", "2026-03-28 to 2026-03-30") == [
        "2026-03-28T01:30:00+00:00",
        "2026-03-30T01:30:00+01:00",
    ]


def test_the_fold_of_london_has_both_published_instants() -> None:
    dates = "2026-10-25 to 2026-10-25"
    assert london("repeated hour rings first", dates) == ["2026-10-25T01:30:00+01:00"]
    assert london("repeated hour rings second", dates) == ["2026-10-25T01:30:00+00:00"]
    both = rung("Europe/London", "01:30", (dates,), "repeated hour rings both")
    assert [ring.at for ring in both] == [utc("2026-10-25T00:30"), utc("2026-10-25T01:30")]


@pytest.mark.parametrize(
    ("dates", "fault"),
    [
        (
            "2026-03-29 to 2026-03-29",
            "D441 7:3 Sun 2026-03-29 01:30 does not exist in Europe/London: the clocks go forward",
        ),
        (
            "2026-10-25 to 2026-10-25",
            "D442 7:3 Sun 2026-10-25 01:30 comes twice in Europe/London: the clocks go back",
        ),
    ],
)
def test_neither_the_gap_nor_the_fold_is_passed_over_in_silence(dates: str, fault: str) -> None:
    text = (
        'programme "Night watch"\n  place Europe/London\n  issue 1 on 2025-01-01\nzone tower\n'
        "signal stroke 6 s within 2 s\ntimetable daily in tower\n  ring 01:30 stroke\n"
        f'week ordinary\n  Mon to Sun daily\nterm "Change" {dates}\n'
    )
    found = checked(text)
    assert said(found.diagnostics) == [fault]
    assert found.calendar is None


@pytest.mark.parametrize(
    ("local", "kind"),
    [
        ("2026-03-29T00:59", "plain"),
        ("2026-03-29T01:00", "missing"),
        ("2026-03-29T01:59", "missing"),
        ("2026-03-29T02:00", "plain"),
        ("2026-10-25T00:59", "plain"),
        ("2026-10-25T01:00", "repeated"),
        ("2026-10-25T01:59", "repeated"),
        ("2026-10-25T02:00", "plain"),
    ],
)
def test_the_hour_of_london_that_is_missing_or_repeated_holds_its_first_minute_and_its_last(
    local: str, kind: str
) -> None:
    assert zone_time.kind("Europe/London", datetime.fromisoformat(local)) == kind
