"""The calendar, read back by two readers that share nothing with its writer."""

from datetime import date, datetime, timedelta
from typing import Any, Literal, NamedTuple

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from chime import zone_time
from chime.clock import dates, moment
from chime.rings.model import Ring
from chime.writers.icalendar_text import join_lines
from chime.writers.weekly_series import cover
from chime.writers.zone_component import write_zone
from tests.calendars import PLACES, TERM, ZONES, at, calendar, read_with_libraries, ring, wanted, weekdays_at
from tests.icalendar_lines import (
    Component,
    Line,
    components,
    faults,
    octet_faults,
    onset_of,
    read_by_lines,
    starts_of,
)

pytestmark = pytest.mark.usefixtures("zones_of_the_package")

# ------------------------------------------------------------- any programme of rings


class Made(NamedTuple):
    place: str
    rings: list[Ring]


@st.composite
def made(draw: st.DrawFn) -> Made:
    """A and B weeks, closed stretches, night shifts, and terms across the clock changes."""
    place = draw(st.sampled_from(PLACES))
    first = date(2026, 1, 5) + timedelta(days=draw(st.integers(0, 700)))
    days = dates(first, first + timedelta(days=draw(st.integers(0, 180))))
    closed: set[date] = set()
    for start, length in draw(st.lists(st.tuples(st.integers(0, 180), st.integers(1, 30)), max_size=4)):
        closed.update(days[start : start + length])
    rings: dict[tuple[str, datetime, int], Ring] = {}
    for zone, label, time_of_day, weeks in draw(st.lists(bells, min_size=1, max_size=5)):
        passes = draw(st.sampled_from(PASSES))
        for day in days:
            if day not in closed and day.weekday() in weeks[day.toordinal() // 7 % 2]:
                for a_ring in sounding(place, moment(day, time_of_day), zone, label, passes):
                    rings.setdefault((zone, a_ring.at, a_ring.fold), a_ring)
    return Made(place, list(rings.values()))


PASSES: tuple[tuple[Literal[0, 1], ...], ...] = ((0,), (1,), (0, 1))


some_weekdays = st.frozensets(st.integers(0, 6), max_size=7)


bells = st.tuples(
    st.sampled_from(sorted(ZONES)),
    st.sampled_from([None, "Line up", "Period 1 starts"]),
    st.one_of(st.integers(0, at(47, 59)), st.sampled_from([at(0, 30), at(1, 30), at(2, 15), at(25, 30)])),
    st.one_of(st.tuples(some_weekdays, some_weekdays), some_weekdays.map(lambda days: (days, days))),
)


def sounding(
    place: str, when: datetime, zone: str, label: str | None, passes: tuple[Literal[0, 1], ...]
) -> list[Ring]:
    kind = zone_time.kind(place, when)
    if kind == "missing":
        return []
    return [ring(when, zone, label, fold=fold) for fold in (passes if kind == "repeated" else (0,))]


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(made())
def test_both_readers_find_exactly_the_rings(made: Made) -> None:
    content = calendar(made.rings, made.place)
    assert faults(content, made.place) == []
    assert read_by_lines(content) == wanted(made.rings, made.place)
    assert read_with_libraries(content, made.place) == wanted(made.rings, made.place)


@settings(max_examples=20, deadline=None)
@given(made(), st.randoms(use_true_random=False))
def test_the_order_of_the_records_does_not_matter(made: Made, random: Any) -> None:
    shuffled = random.sample(made.rings, len(made.rings))
    assert calendar(shuffled, made.place) == calendar(made.rings, made.place)


# --------------------------------------------------------------------- published facts


def new_york_event(rule: str) -> Component:
    start = Line("DTSTART", ";TZID=America/New_York", "19970902T090000")
    return Component("VEVENT", [start, Line("RRULE", "", rule)])


def test_the_small_reader_expands_the_examples_of_rfc_5545() -> None:
    # RFC 5545, 3.8.5.3: "Weekly on Tuesday and Thursday for five weeks", "Weekly until December 24, 1997"
    # (here with its weekday named); New York's clocks went back on 26 October 1997.
    lines = join_lines(write_zone("America/New_York", date(1997, 9, 2), date(1997, 12, 24)))
    onsets = [onset_of(part) for part in components(lines) if part.name != "VTIMEZONE"]
    event = new_york_event("FREQ=WEEKLY;BYDAY=TU,TH;UNTIL=19971007T000000Z")
    found = [start.strftime("%m-%d %H") for start in starts_of(event, onsets)]
    days = "09-02 09-04 09-09 09-11 09-16 09-18 09-23 09-25 09-30 10-02"
    assert found == [f"{day} 13" for day in days.split()]
    event = new_york_event("FREQ=WEEKLY;BYDAY=TU;UNTIL=19971224T000000Z")
    found = [start.strftime("%m-%d %H") for start in starts_of(event, onsets)]
    summer = "09-02 09-09 09-16 09-23 09-30 10-07 10-14 10-21"
    winter = "10-28 11-04 11-11 11-18 11-25 12-02 12-09 12-16 12-23"
    assert found == [f"{day} 13" for day in summer.split()] + [f"{day} 14" for day in winter.split()]


def test_dates_of_an_rfc_5545_example_become_its_rule() -> None:
    september = [date(1997, 9, day) for day in (2, 4, 9, 11, 16, 18, 23, 25, 30)]
    days = [*september, date(1997, 10, 2)]
    (series,) = cover(days)
    assert (series.weekdays, series.left_out) == ((1, 3), ())


@pytest.mark.parametrize(
    ("place", "onsets"),
    [
        # The Summer Time Order 2002 (United Kingdom): last Sundays of March and October at 1 a.m. Greenwich.
        ("Europe/London", ["2026-03-29T01", "2026-10-25T01", "2027-03-28T01"]),
        # Energy Policy Act of 2005 (United States), section 110: second Sunday of March, first of November,
        # at 2 a.m. local time.
        ("America/New_York", ["2026-03-08T07", "2026-11-01T06", "2027-03-14T07"]),
    ],
)
def test_the_onsets_are_those_of_the_law(place: str, onsets: list[str]) -> None:
    lines = join_lines(write_zone(place, date(2026, 9, 7), date(2027, 7, 20)))
    parts = [part for part in components(lines) if part.name != "VTIMEZONE"]
    assert [onset_of(part).instant for part in parts] == [datetime.fromisoformat(f"{o}:00Z") for o in onsets]


@pytest.mark.parametrize(
    ("day", "instant"),
    # By the same Order: the last Friday of summer time and the first Monday after it.
    [(date(2026, 10, 23), "2026-10-23T07:30Z"), (date(2026, 10, 26), "2026-10-26T08:30Z")],
)
def test_a_bell_keeps_its_local_time_across_a_clock_change(day: date, instant: str) -> None:
    rings = weekdays_at(date(2026, 10, 5), date(2026, 11, 13), at(8, 30))
    content = calendar(rings)
    assert content.count(b"BEGIN:VEVENT") == 1
    assert datetime.fromisoformat(instant) in {sound.instant for sound in read_by_lines(content)}
    assert datetime.fromisoformat(instant).date() == day


# ------------------------------------------------------------ what the checker would see


def test_the_checker_finds_a_term_sound() -> None:
    assert faults(calendar(TERM), "Europe/London") == []


@pytest.mark.parametrize(
    ("right", "wrong", "complaint"),
    [
        ("DTSTART:20261025T020000", "DTSTART:20261025T030000", "no clock change at 2026-10-25 02:00"),
        ("DTSTART:20261025T020000", "DTSTART:20261025T010000", "no clock change at 2026-10-25 00:00"),
        ("TZOFFSETTO:+0100", "TZOFFSETTO:+0200", "no clock change"),
        ("TZID:Europe/London", "TZID:Europe/Paris", "not one VTIMEZONE"),
        ("\r\nSUMMARY", "\nSUMMARY", "does not end in CRLF"),
        ("UNTIL=20261218T084500Z", "UNTIL=20261218T084500", "until a UTC instant"),
        ("UNTIL=20261218T084500Z", "UNTIL=20261219T000000Z", "not the last instance"),
        ("UNTIL=20261218T084500Z", "COUNT=70", "not weekly"),
        ("EXDATE;TZID=Europe/London", "EXDATE", "another zone than DTSTART"),
        ("EXDATE;TZID=Europe/London", "RDATE;TZID=Europe/London", "must not have ['RDATE']"),
        ("20261026T084500", "20261026", "another type than DTSTART"),
        ("20261026T084500", "20261024T084500", "hits no instance"),
        ("BYDAY=MO,", "BYDAY=", "not in step"),
        ("TRANSP:TRANSPARENT", "TRANSP:OPAQUE", "busy"),
        ("DTSTAMP:20260820T000000Z", "DTSTAMP:20260820T000000", "DTSTAMP is not UTC"),
        ("SUMMARY:Bell", "SUMMARY:Bell, " + "long " * 20, "octets in a line"),
        ("SUMMARY:Bell", "SUMMARY:Bell, ", "SUMMARY is not escaped"),
        ("SEQUENCE:3\r\n", "", "0 times SEQUENCE"),
        ("VERSION:2.0", "VERSION:2.0\r\nMETHOD:PUBLISH", "METHOD"),
    ],
)
def test_the_checker_sees_a_breach(right: str, wrong: str, complaint: str) -> None:
    sound = calendar(TERM).decode()
    assert right in sound
    broken = sound.replace(right, wrong, 1).encode()
    assert any(complaint in fault for fault in faults(broken, "Europe/London"))


def test_the_checker_sees_a_letter_cut_and_an_identity_used_twice() -> None:
    assert "a letter is cut" in list(
        octet_faults("X:é".encode()[:-1] + b"\r\n " + "é".encode()[1:] + b"\r\n")
    )
    sound = calendar(TERM).decode()
    event = sound[sound.index("BEGIN:VEVENT") : sound.index("END:VCALENDAR")]
    twice = sound.replace(event, event * 2).encode()
    assert "two events share a UID" in faults(twice, "Europe/London")
