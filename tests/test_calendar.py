"""The calendar file: what readers make of it, and whether it keeps the rules of RFC 5545.

Two readers expand every file: `recurring_ical_events` over `icalendar`, which take their zones from
the zone data, and our own, which knows no zones but those written in the file.
"""

import io
import re
import time
import zoneinfo
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any, Literal, NamedTuple

import dateutil.tz
import icalendar
import pytest
import recurring_ical_events
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from chime import zone_time
from chime.clock import dates, moment
from chime.diagnostics import Source, Span
from chime.programme.model import ClockChoices, Programme, Signal, Zone
from chime.rings.model import Reason, Ring, RingCalendar, labels_of
from chime.verify.model import Verified
from chime.writers.icalendar_file import CAUTION, write
from chime.writers.icalendar_text import join_lines
from chime.writers.weekly_series import cover
from chime.writers.zone_component import write_zone
from tests.icalendar_lines import (
    Component,
    Line,
    Sound,
    components,
    faults,
    octet_faults,
    onset_of,
    read_by_lines,
    starts_of,
    unescape,
)

NOWHERE = Span(Source("t", ""), 0, 0)
ZONES = {"main": "Main building", "junior": "Junior wing", "workshop": None, "yard": "Yard, far end"}
PLACES = (
    "Europe/London",
    "America/New_York",
    "Australia/Lord_Howe",
    "Africa/Casablanca",
    "Europe/Dublin",
    "Asia/Kolkata",
)


@pytest.fixture(autouse=True)
def _zones_of_the_package() -> Iterator[None]:
    """Let the readers use the zone data of the `tzdata` package, not an older copy of the machine."""
    before = zoneinfo.TZPATH
    zoneinfo.reset_tzpath(to=[])
    zoneinfo.ZoneInfo.clear_cache()
    yield
    zoneinfo.reset_tzpath(to=before)
    zoneinfo.ZoneInfo.clear_cache()


# ------------------------------------------------------------------ making programmes


def ring(
    at: datetime,
    zone: str = "main",
    label: str | None = None,
    *,
    fold: Literal[0, 1] = 0,
    said: tuple[str, ...] = (),
    length_ms: int = 6000,
    span: Span = NOWHERE,
) -> Ring:
    reason = Reason(label=label, spans=(span,), said=said, is_warning=False, is_end=False)
    return Ring(
        at=at,
        fold=fold,
        zone=zone,
        signal="lesson",
        length_ms=length_ms,
        labels=labels_of((reason,)),
        reasons=(reason,),
        service_days=(at.date(),),
    )


def verified(
    rings: Iterable[Ring],
    place: str = "Europe/London",
    *,
    name: str = "Saltmarsh School",
    issue: int = 3,
    published: str | None = None,
) -> Verified:
    programme = Programme(
        name=name,
        place=place,
        issue=issue,
        issued=date(2026, 8, 20),
        published=published,
        longest_ring_ms=20_000,
        hand_rings=False,
        clocks=ClockChoices(None, None, None, None),
        zones=tuple(Zone(zone, label, None, None, None, NOWHERE) for zone, label in ZONES.items()),
        groups=(),
        audiences=(),
        signals=(Signal("lesson", 6000, 1500, None, NOWHERE),),
        timetables=(),
        weeks=(),
        cycles=(),
        terms=(),
        specials=(),
        machine=None,
        supplies=(),
        lines=(),
        holidays_release=None,
        span=NOWHERE,
    )
    rung = RingCalendar(days=(), programmes=(), rings=tuple(rings), silenced=(), removed=(), passed_by=())
    return Verified(programme, rung, tapes=None, fingerprint="f1a5", zone_release=zone_time.release())


def calendar(rings: Iterable[Ring], place: str = "Europe/London", **others: Any) -> bytes:
    (artefact,) = write(verified(rings, place, **others))
    assert artefact.name == "calendar.ics"
    return artefact.content


def weekdays_at(first: date, last: date, time_of_day: int, *weekdays: int, **others: Any) -> list[Ring]:
    """A ring on each of the weekdays (0 is Monday), Monday to Friday where none is named."""
    chosen = weekdays or (0, 1, 2, 3, 4)
    return [ring(moment(d, time_of_day), **others) for d in dates(first, last) if d.weekday() in chosen]


def at(hour: int, minute: int, second: int = 0) -> int:
    return hour * 3600 + minute * 60 + second


# --------------------------------------------------------------------- the two readers


def wanted(rings: Iterable[Ring], place: str) -> Counter[Sound]:
    def sound(a_ring: Ring) -> Sound:
        zone = ZONES[a_ring.zone] or a_ring.zone
        title = " / ".join(a_ring.labels) or "Bell"
        instant = zone_time.instant(place, a_ring.at, a_ring.fold)
        return Sound(instant, zone, f"{title} ({zone})", max(1, -(-a_ring.length_ms // 1000)))

    return Counter(map(sound, rings))


def read_with_libraries(content: bytes, place: str) -> Counter[Sound]:
    parsed = icalendar.Calendar.from_ical(content)
    events = recurring_ical_events.of(parsed).between(datetime(2024, 1, 1), datetime(2031, 1, 1))
    sounds: Counter[Sound] = Counter()
    for event in events:
        start, end = event["DTSTART"].dt, event["DTEND"].dt
        assert str(start.tzinfo) in (place, "UTC")
        (category,) = event["CATEGORIES"].cats
        seconds = round((end - start).total_seconds())
        sounds[Sound(start.astimezone(UTC), str(category), str(event["SUMMARY"]), seconds)] += 1
    return sounds


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


def test_the_second_pass_of_a_repeated_hour_is_an_event_in_utc() -> None:
    days = dates(date(2026, 10, 19), date(2026, 10, 31))
    rings = [ring(moment(day, at(1, 30))) for day in days] + [ring(datetime(2026, 10, 25, 1, 30), fold=1)]
    content = calendar(rings)
    assert content.count(b"BEGIN:VEVENT") == 2
    assert b"DTSTART:20261025T013000Z\r\n" in content
    assert "second pass of the hour" in content.decode().replace("\r\n ", "")
    assert read_with_libraries(content, "Europe/London") == wanted(rings, "Europe/London")


# ------------------------------------------------------------ what the checker would see

TERM = weekdays_at(date(2026, 9, 7), date(2026, 12, 18), at(8, 45))
TERM = [a_ring for a_ring in TERM if not 26 <= a_ring.at.day <= 30 or a_ring.at.month != 10]


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


# ------------------------------------------------------------------- texts and identities


@pytest.mark.parametrize(
    "label",
    [
        "Tea, cake; and more",
        "C:\\bells\\new",
        "\\n is no line break, nor is \\, a comma",
        'The "quiet" bell',
        "🔔 Bell 👩🏽‍🏫",
        "תפילת שחרית",
        "صلاة الظهر",
        "日本語のとても長いラベル" * 20,
        "Two minutes' silence " * 30,
    ],
)
def test_a_label_comes_back_as_it_was(label: str) -> None:
    rings = [ring(datetime(2026, 9, 7, 8, 45), "yard", label)]
    content = calendar(rings)
    assert faults(content, "Europe/London") == []
    assert read_with_libraries(content, "Europe/London") == wanted(rings, "Europe/London")
    assert read_by_lines(content) == wanted(rings, "Europe/London")


@given(st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), min_size=1, max_size=200))
def test_any_label_and_name_come_back_as_they_were(text: str) -> None:
    rings = [ring(datetime(2026, 9, 7, 8, 45), "main", text)]
    content = calendar(rings, name=text)
    assert faults(content, "Europe/London") == []
    (event,) = icalendar.Calendar.from_ical(content).walk("VEVENT")
    assert str(event["SUMMARY"]) == f"{text} (Main building)"
    whole = components(content)[0]
    assert unescape(whole.value("NAME")) == unescape(whole.value("X-WR-CALNAME")) == text


def test_a_letter_that_some_take_for_a_line_end_is_written_as_a_line_break() -> None:
    content = calendar([ring(datetime(2026, 9, 7, 8, 45), "main", "one\u2028two\x85three")])
    assert "SUMMARY:one\\ntwo\\nthree (Main building)" in content.decode().splitlines()


def description(content: bytes) -> str:
    (event,) = (part for part in components(content) if part.name == "VEVENT")
    return unescape(event.value("DESCRIPTION"))


def test_a_description_says_that_a_ring_is_seconds_long() -> None:
    day = datetime(2026, 9, 7, 8, 45)
    assert description(calendar([ring(day)])) == "The bell sounds for 6 s (lesson)"
    odd = calendar([ring(day, length_ms=2500)])
    assert b"DURATION:PT3S\r\n" in odd
    assert description(odd) == (
        "The bell sounds for 2.5 s (lesson); shown as 3 s, for a calendar has whole seconds only"
    )
    for shortest in (0, 200):
        assert b"DURATION:PT1S\r\n" in calendar([ring(day, length_ms=shortest)])


def test_a_description_gives_reasons_with_their_dates_unless_they_hold_for_all() -> None:
    days = [date(2026, 9, day) for day in (7, 14, 21)]
    usual, special = ("Winter hours",), ("Winter hours", "Long assembly")
    rings = [ring(moment(d, at(9, 0)), said=special if d.day == 14 else usual) for d in days]
    assert description(calendar(rings)).split("\n")[1:] == ["Mon 2026-09-14: Long assembly", "Winter hours"]


def test_a_reason_that_is_the_label_is_not_said_again() -> None:
    rings = [ring(datetime(2026, 11, 11, 11, 0), label="Remembrance", said=("Remembrance",))]
    assert "Remembrance" not in description(calendar(rings))


def identities(content: bytes) -> list[str]:
    return [part.value("UID") for part in components(content) if part.name == "VEVENT"]


def test_identities_outlive_a_new_issue_other_labels_and_moved_lines() -> None:
    elsewhere = Span(Source("t", "\n" * 9), 7, 7)
    first = weekdays_at(date(2026, 9, 7), date(2026, 12, 18), at(8, 45))
    second = weekdays_at(date(2026, 9, 7), date(2026, 12, 18), at(8, 45), label="Start", span=elsewhere)
    old, new = calendar(first), calendar(second, issue=4)
    assert identities(old) == identities(new)
    assert b"SEQUENCE:3\r\n" in old
    assert b"SEQUENCE:4\r\n" in new
    # The layout of RFC 9562, 5.8.
    assert re.fullmatch(
        r"[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}", identities(old)[0]
    )


def test_identities_differ_between_programmes_zones_times_and_passes() -> None:
    fold = datetime(2026, 10, 25, 1, 30)
    rings = [ring(fold), ring(fold, fold=1), ring(fold, "yard"), ring(fold + timedelta(seconds=1))]
    both = identities(calendar(rings)) + identities(calendar(rings, name="Brickfield Works"))
    assert len(set(both)) == 8


def test_where_a_line_stands_changes_no_octet() -> None:
    here = [ring(datetime(2026, 9, 7, 8, 45), said=("Early start",))]
    there = [ring(datetime(2026, 9, 7, 8, 45), said=("Early start",), span=Span(Source("u", "\n\n"), 2, 2))]
    assert calendar(here) == calendar(there)


def test_the_calendar_says_what_it_is() -> None:
    content = calendar(TERM, published="https://bells.example/saltmarsh.ics")
    whole = components(content)[0]
    about = unescape(whole.value("DESCRIPTION"))
    assert about == unescape(whole.value("X-WR-CALDESC"))
    for part in ("Issue 3 of 2026-08-20", "f1a5", zone_time.release(), "none used", CAUTION):
        assert part in about
    assert "never an alarm signal" in about
    assert whole.value("NAME") == whole.value("X-WR-CALNAME") == "Saltmarsh School"
    assert whole.line("SOURCE") == Line("SOURCE", ";VALUE=URI", "https://bells.example/saltmarsh.ics")


def test_a_calendar_without_rings_is_still_one() -> None:
    content = calendar([])
    assert faults(content, "Europe/London") == []
    assert [part.name for part in components(content)][:2] == ["VCALENDAR", "VTIMEZONE"]
    assert not icalendar.Calendar.from_ical(content).walk("VEVENT")


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


def test_a_year_of_four_zones_is_written_in_a_moment() -> None:
    rings = school_year()
    spent = []
    for _ in range(3):
        begun = time.process_time()
        calendar(rings)
        spent.append(time.process_time() - begun)
    print(f"{len(rings)} rings in {min(spent):.3f} s")
    assert min(spent) < 0.3
