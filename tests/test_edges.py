"""The first and the last of every range: days of a block, dates of a term, seconds of a window, rows of a loop.

Each of these was found by breaking the code by one and seeing that no other test minded.
"""

from datetime import date, timedelta

import pytest

from chime.tape.masks import is_masked, read_masks
from chime.writers.weekly_series import cover
from chime.writers.zone_component import write_zone
from tests.compiling import codes_of, compiled, rings_of

HEAD = """programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1 "Main"
signal lesson 6 s within 2 s
timetable normal in main
  ring 09:00, 12:00 lesson
"""


def labels(text: str, *days: str) -> list[str | None]:
    """The letters or numbers of some dates."""
    calendar = compiled(text).calendar
    assert calendar is not None
    by_day = {day.day.isoformat(): day.label for day in calendar.days}
    return [by_day[day] for day in days]


# ------------------------------------------------------------------------- patterns

SUNDAYS = (
    HEAD
    + """week a
  Mon to Sat silent
  Sun normal
week b
  Mon to Sat silent
  Sun normal
term "Autumn" 2026-09-07 to 2026-12-20
  weeks a, b from 2026-09-07 counting school weeks
exceptions
  2026-10-18 silent "Harvest"
"""
)


def test_the_last_day_of_a_block_can_be_the_one_that_counts() -> None:
    # Only Sundays ring, so the week of 12 October, which would be b, is closed as a whole by its Sunday.
    assert labels(SUNDAYS, "2026-10-05", "2026-10-12", "2026-10-19") == ["a", None, "b"]


def test_a_term_may_end_on_the_first_day_of_a_block() -> None:
    weeks = SUNDAYS.replace("2026-12-20", "2026-12-14").replace("Mon to Sat silent", "Mon to Sat normal")
    # Monday 14 December begins the fifteenth week; every week before it took a letter, the one of the closed
    # Sunday too.
    assert labels(weeks, "2026-12-07", "2026-12-13", "2026-12-14") == ["b", "b", "a"]


def test_a_number_is_never_taken_between_terms() -> None:
    text = (
        HEAD
        + """cycle three on Mon to Fri
  day 1 normal
  day 2 normal
  day 3 normal
term "First" 2026-09-07 to 2026-09-11
  cycle three from 2026-09-07 skip
term "Second" 2026-09-21 to 2026-09-25
  cycle three from 2026-09-07 skip
"""
    )
    # Monday to Friday are days 1, 2, 3, 1, 2; the week without a term counts for nothing.
    assert labels(text, "2026-09-11", "2026-09-14", "2026-09-21") == ["day 2", None, "day 3"]


# -------------------------------------------------------------------------- changes

LATE = """timetable late like normal
  shift {0}
week ordinary
  Mon to Fri late
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-07
"""


def test_a_ring_may_be_shifted_to_midnight() -> None:
    times = [f"{ring.at:%d %H:%M}" for ring in rings_of(HEAD + LATE.format("-540 min"))]
    assert times == ["07 00:00", "07 03:00"]


def test_a_ring_may_be_shifted_to_the_last_minute_before_48_hours_and_no_further() -> None:
    at_last = rings_of(HEAD + LATE.format("+2159 min"))[-1]
    assert at_last.at.isoformat() == "2026-09-08T23:59:00"
    assert codes_of(HEAD + LATE.format("+2160 min")) == ["D411"]


# ------------------------------------------------------------------------- midnight

MIDNIGHT = """timetable night in main
  ring 00:00, 24:00 lesson
week ordinary
  Mon, Tue night
  Wed to Sun silent
term "Autumn" 2026-09-07 to 2026-09-08
"""


def test_the_last_ring_of_a_day_at_24_00_is_the_first_of_the_next() -> None:
    rings = rings_of(HEAD + MIDNIGHT)
    assert [f"{ring.at:%a %H:%M}" for ring in rings] == ["Mon 00:00", "Tue 00:00", "Wed 00:00"]
    assert [day.isoformat() for day in rings[1].service_days] == ["2026-09-07", "2026-09-08"]


def test_a_silence_without_an_end_lasts_to_the_last_second_of_its_date() -> None:
    night = MIDNIGHT.replace("00:00, 24:00", "21:59:59, 22:00, 23:59:59, 24:00")
    rings = rings_of(HEAD + night + "exceptions\n  2026-09-07 silent from 22:00\n")
    assert [f"{ring.at:%a %T}" for ring in rings][:2] == ["Mon 21:59:59", "Tue 00:00:00"]


def test_a_silence_in_an_hour_that_comes_twice_holds_in_both_passes() -> None:
    # London's clocks went from 02:00 back to 01:00 on Sunday 2026-10-25 (the zone data, file europe).
    night = MIDNIGHT.replace("00:00, 24:00", "01:10, 01:50").replace("Mon, Tue night", "Sun night")
    night = night.replace("Wed to Sun silent", "Mon to Sat silent").replace("2026-09-08", "2026-10-25")
    head = HEAD.replace("zone main", "  clocks repeated hour rings both\nzone main", 1)
    rings = rings_of(head + night + "exceptions\n  2026-10-25 silent 01:30 - 02:00\n")
    assert [(f"{ring.at:%H:%M}", ring.fold) for ring in rings][-2:] == [("01:10", 0), ("01:10", 1)]


# ------------------------------------------------------------------------- the tape


@pytest.mark.parametrize("seconds", [0, 32_399, 32_400, 86_399])
def test_a_silence_of_a_day_from_a_time_to_the_same_time_is_a_whole_one(seconds: int) -> None:
    # `silenced 09:00 - 33:00` ends when it begins again.
    machine = compiled(HEAD + MACHINE + MIDNIGHT).programme.machine  # type: ignore[union-attr]
    assert machine is not None
    assert is_masked(read_masks(machine, ["main"]), "main", seconds)


MACHINE = """machine tower
  loop 24 h in rows of 1 min
  silenced 09:00 - 33:00
"""


# ------------------------------------------------------------------------- the calendar


@pytest.mark.parametrize(("left_out", "series"), [(20, 1), (21, 2)])
def test_one_more_series_is_written_rather_than_21_dates_left_out(left_out: int, series: int) -> None:
    # The cost that chime/writers/weekly_series.py states: some 360 octets for a series, 17 for a date.
    mondays = [date(2026, 9, 7) + timedelta(weeks=n) for n in range(30 + left_out)]
    assert len(cover([*mondays[:15], *mondays[-15:]])) == series


def onsets(place: str, first: date, last: date) -> list[str]:
    return [line.partition(":")[2] for line in write_zone(place, first, last) if line.startswith("DTSTART")]


def test_the_only_change_before_a_calendar_is_kept() -> None:
    # The zone data, file southamerica: since 1970 Caracas changed on 2007-12-09 at 03:00 and 2016-05-01 at 02:30.
    found = onsets("America/Caracas", date(2016, 4, 1), date(2016, 6, 1))
    assert found == ["20071209T030000", "20160501T023000"]
    # Clocks that go ahead for good show standard time.
    lines = write_zone("America/Caracas", date(2016, 4, 1), date(2016, 6, 1))
    assert [line for line in lines if line.startswith("BEGIN")][1:] == ["BEGIN:STANDARD"] * 2


def test_a_change_at_the_very_beginning_is_written_once() -> None:
    # The zone data, file africa: Morocco's clocks went forward on 2011-04-03 at 00:00, which was 00:00 UTC, and
    # back on 2011-07-31. The zone must hold from the day before the first ring.
    found = onsets("Africa/Casablanca", date(2011, 4, 4), date(2011, 9, 1))
    assert found == ["20110403T000000", "20110731T000000"]


def test_a_bell_in_the_night_of_a_change_has_the_change_before() -> None:
    # The zone data, file australasia: on Lord Howe clocks go back on the first Sunday of April at 02:00 and
    # forward on that of October. At 00:30 on 2026-10-04 they had not, though that was still 3 October in UTC.
    found = onsets("Australia/Lord_Howe", date(2026, 10, 4), date(2027, 5, 1))
    assert found == ["20260405T020000", "20261004T020000", "20270404T020000"]


# ------------------------------------------------------------------------- near-twins

TWINS = """timetable a{0}
  ring 09:00, 12:00 lesson in main
timetable b{1}
  ring 09:00, 12:00 lesson in main
timetable c{2}
week ordinary
  Mon a
  Tue b
  Wed c
  Thu to Sun silent
term "Autumn" 2026-09-07 to 2026-09-11
"""


@pytest.mark.parametrize(
    ("c", "told"),
    [
        ("\n  ring 09:00, 12:01 lesson in main", ["D436"]),
        (" like a\n  move 12:00 to 12:01", ["D436"]),  # not a, from which it starts, but b is nearly alike
        ("\n  ring 09:00, 12:00 lesson in main", []),
        ("\n  ring 09:01, 12:01 lesson in main", []),
    ],
)
def test_a_timetable_is_held_against_each_of_two_that_ring_alike(c: str, told: list[str]) -> None:
    assert codes_of(HEAD.partition("timetable")[0] + TWINS.format("", "", c)) == told
