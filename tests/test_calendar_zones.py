"""The time zones of the calendar, and rings in missing and repeated hours."""

import io
from datetime import UTC, date, datetime, timedelta

import dateutil.tz
import pytest

from chime import zone_time
from chime.clock import dates, moment
from chime.writers.icalendar_text import join_lines
from chime.writers.zone_component import write_zone
from tests.calendars import PLACES, at, calendar, read_with_libraries, ring, wanted
from tests.icalendar_lines import read_by_lines

pytestmark = pytest.mark.usefixtures("zones_of_the_package")

# --------------------------------------------------------------------- zones


@pytest.mark.parametrize("place", [*PLACES, "America/Sao_Paulo", "Antarctica/Troll", "America/Vancouver"])
def test_another_reader_finds_every_offset_in_the_zone(place: str) -> None:
    # dateutil reads VTIMEZONE by itself and knows nothing of the zone's name.
    first, last = date(2026, 9, 1), date(2027, 7, 20)
    lines = join_lines(write_zone(place, first, last))
    zone = dateutil.tz.tzical(io.StringIO(lines.decode())).get(place)
    for local in (moment(day, at(hour, 30)) for day in dates(first, last) for hour in range(24)):
        if zone_time.kind(place, local) != "missing":
            assert local.replace(tzinfo=zone).utcoffset() == zone_time.offset(place, local)


def test_the_last_change_is_found_even_if_it_undid_one_of_the_week_before() -> None:
    # The zone data, file southamerica: Recife's clocks went forward on 2000-10-08 and back on 2000-10-15.
    back = datetime(2000, 10, 15, 2, tzinfo=UTC)
    for later in (timedelta(0), timedelta(days=3), timedelta(days=200)):
        found = zone_time.change_before("America/Recife", back + later)
        assert found is not None
        assert (found.instant, found.name_after) == (back, "-03")
    before = zone_time.change_before("America/Recife", back - timedelta(seconds=1))
    assert before is not None
    assert before.instant == datetime(2000, 10, 8, 3, tzinfo=UTC)


def test_a_place_without_changes_has_one_standard_time() -> None:
    lines = write_zone("Asia/Kolkata", date(2026, 9, 1), date(2027, 7, 20))
    assert lines == [
        "BEGIN:VTIMEZONE",
        "TZID:Asia/Kolkata",
        "BEGIN:STANDARD",
        "DTSTART:19700101T000000",
        "TZOFFSETFROM:+0530",
        "TZOFFSETTO:+0530",
        "TZNAME:IST",
        "END:STANDARD",
        "END:VTIMEZONE",
    ]


def test_daylight_time_is_the_one_ahead_also_where_the_data_say_the_reverse() -> None:
    # The data describe Irish winter time as an hour taken from standard time.
    lines = write_zone("Europe/Dublin", date(2026, 9, 1), date(2027, 7, 1))
    begins = [line for line in lines if line.startswith("BEGIN")][1:]
    assert begins == ["BEGIN:DAYLIGHT", "BEGIN:STANDARD", "BEGIN:DAYLIGHT"]


def test_a_calendar_of_summer_alone_still_names_standard_time() -> None:
    lines = write_zone("Europe/London", date(2026, 5, 1), date(2026, 7, 1))
    assert [line for line in lines if line.startswith("BEGIN")][1:] == ["BEGIN:STANDARD", "BEGIN:DAYLIGHT"]
    assert "DTSTART:20251026T020000" in lines


def test_a_bell_in_a_missing_hour_is_left_out_of_its_series() -> None:
    # London's clocks showed no 01:30 on 2026-03-29.
    days = dates(date(2026, 3, 2), date(2026, 4, 19))
    rings = [ring(moment(day, at(1, 30))) for day in days if day != date(2026, 3, 29)]
    content = calendar(rings)
    assert content.count(b"BEGIN:VEVENT") == 1
    assert b"EXDATE;TZID=Europe/London:20260329T013000\r\n" in content
    assert (
        read_by_lines(content)
        == read_with_libraries(content, "Europe/London")
        == wanted(rings, "Europe/London")
    )


def test_both_passes_of_a_repeated_hour_are_events_in_utc() -> None:
    # RFC 5545, 3.3.5: a local time that comes twice is its first pass. Not every reader takes it so.
    days = dates(date(2026, 10, 19), date(2026, 10, 31))
    rings = [ring(moment(day, at(1, 30))) for day in days] + [ring(datetime(2026, 10, 25, 1, 30), fold=1)]
    content = calendar(rings)
    assert content.count(b"BEGIN:VEVENT") == 3
    text = content.decode().replace("\r\n ", "")
    for instant, which in (("003000Z", "first"), ("013000Z", "second")):
        assert f"DTSTART:20261025T{instant}\r\n" in text
        assert f"in the {which} pass of the hour" in text
    assert read_with_libraries(content, "Europe/London") == wanted(rings, "Europe/London")
