"""Dates and nights over which bell programmes commonly go wrong, each with the answer stated beforehand."""

from datetime import date, datetime

import pytest

from chime.diagnostics import is_error
from tests.compiling import checked, rings_of, said
from tests.tower_clock import (
    AUTUMN,
    MACHINE,
    WEEK,
    calendar_of,
    clocks,
    holes_on,
    laid_out,
    line_of,
    marked_lines,
    programme,
    the_fault,
)

NO_SILENCES = "  costs  silence 600 min\n"
"""What it costs to turn bells off: more than a tape, so that each date has a tape of its own holes."""

# A late shift of Friday ends at 24:00, and that is Saturday's 00:00: it is punched four rows on, at label 4,
# and it is never moved to 23:59 by itself.

LATE_SHIFT = '  each period  start lesson, end lesson\n  period "Late shift"  16:00 - 24:00\n'


def test_a_shift_that_ends_on_friday_at_24_00_rings_on_saturday_at_midnight() -> None:
    rings = rings_of(programme(LATE_SHIFT))
    assert clocks(rings, "2026-09-11") == ["00:00:00", "16:00:00"]  # Thursday's shift ends, Friday's starts
    assert clocks(rings, "2026-09-12") == ["00:00:00"]
    assert "23:59:00" not in {f"{ring.at:%H:%M:%S}" for ring in rings}
    [ring] = [ring for ring in rings if ring.at == datetime(2026, 9, 12) and ring.zone == "main"]
    assert (ring.labels, ring.service_days) == (("Late shift ends",), (date(2026, 9, 11),))


def test_it_rings_past_the_last_day_of_term_and_on_to_a_closed_day() -> None:
    closed = '  Tue 2026-10-06  silent  "Sheep market"\n'
    rings = rings_of(programme(LATE_SHIFT, exceptions=closed))
    assert clocks(rings, "2026-10-06") == ["00:00:00"]  # Monday's shift ends
    assert clocks(rings, "2026-10-07") == ["16:00:00"]
    assert clocks(rings, "2026-12-19") == ["00:00:00"]
    assert rings[-1].at == datetime(2026, 12, 19)


def test_the_bell_of_midnight_is_punched_at_label_4_of_saturdays_tape() -> None:
    text = programme(LATE_SHIFT) + MACHINE + NO_SILENCES
    [hole] = holes_on(text, "2026-09-12")
    assert (hole.row, hole.rings_at) == (4, (0,))
    assert [hole.row for hole in holes_on(text, "2026-09-11")] == [4, 16 * 60 + 4]


# The same late shift where the day wheel silences Saturday: the bell of midnight is wanted and would not
# sound, which is refused; a wheel that really turns at 00:30 lets it through. The tape of Saturday is then
# fitted and taken off by somebody who must be there.


def test_a_midnight_bell_that_the_day_wheel_silences_is_refused_and_not_moved() -> None:
    result = laid_out(programme(LATE_SHIFT) + MACHINE + "  silenced  Sat, Sun\n")
    assert result.tapes is None
    assert said(result.diagnostics) == [
        "T508 9:3 zones junior and main shall ring at 00:00, but the machine is silenced then",
    ]


def test_a_wheel_that_turns_half_an_hour_after_midnight_lets_it_ring() -> None:
    text = programme(LATE_SHIFT) + MACHINE + "  silenced  Sat, Sun turning at 00:30 within 10 min\n"
    # The wheel silences the rest of the day, so that Friday's tape stays on.
    holes = holes_on(text, "2026-09-12")
    assert (holes[0].row, holes[0].rings_at) == (4, (0,))
    assert [(hole.row, hole.track) for hole in holes] == [
        (hole.row, hole.track) for hole in holes_on(text, "2026-09-11")
    ]


# A bell at 00:00 on a loop of 12 h: row 0, and label 4, is 12:00 as well. The hole passes twice a day.

HALF_DAY = MACHINE.replace("24 h", "12 h")

ALL_DAYS = "week ordinary\n  Mon to Sun  normal\n"


def test_a_bell_at_midnight_on_a_12_h_loop_is_refused_for_it_would_ring_at_noon_too() -> None:
    text = programme("  ring 00:00  lesson\n", week=ALL_DAYS) + HALF_DAY
    result = laid_out(text)
    assert result.tapes is None
    assert [fault.headline for fault in result.diagnostics if fault.code.id == "T509"] == [
        "the hole for 00:00 would also ring zones junior and main at 12:00",
    ]


def test_with_noon_wanted_too_one_hole_gives_two_rings_and_both_are_in_the_calendar() -> None:
    text = programme("  ring 00:00, 12:00  lesson\n", week=ALL_DAYS) + HALF_DAY
    [hole] = holes_on(text, "2026-09-08")
    assert (hole.row, hole.rings_at) == (4, (0, 12 * 3600))
    assert clocks(rings_of(text), "2026-09-08") == ["00:00:00", "12:00:00"]


def test_with_noon_masked_by_the_machine_the_hole_stands_and_passes_at_noon_unheard() -> None:
    masked = HALF_DAY + "  silenced  11:00 - 13:00\n"
    text = programme("  ring 00:00  lesson\n", week=ALL_DAYS)
    [hole] = holes_on(text + masked, "2026-09-08")
    assert (hole.row, hole.rings_at) == (4, (0, 12 * 3600))


# A bell at 02:30 on the Sunday on which New York's clocks go from 02:00 to 03:00 (8 March 2026; source of the
# date: IANA time zone data). No clock shows that time: an error, unless the programme has an answer to it.

SUNDAYS = 'term "Spring"  2026-03-01 to 2026-03-15\n'


def night_bell(clocks_line: str) -> str:
    text = programme("  ring 02:30, 04:00  lesson\n", week=ALL_DAYS, term=SUNDAYS)
    head = "  place America/New_York\n" + clocks_line
    return text.replace("  place Europe/London\n", head).replace("2026-08-20", "2026-02-01")


def test_a_bell_at_a_time_that_does_not_exist_is_an_error_at_its_line() -> None:
    text = night_bell("")
    found = checked(text)
    assert found.calendar is None
    fault = the_fault(found.diagnostics, "D441")
    assert fault.severity == "error"
    assert marked_lines(fault) == {line_of(text, "ring 02:30")}
    assert "2026-03-08 02:30" in fault.headline


def test_a_skipped_bell_is_not_listed_as_a_ring() -> None:
    rings = rings_of(night_bell("  clocks skip missing hour\n"))
    assert clocks(rings, "2026-03-08") == ["04:00:00"]
    assert clocks(rings, "2026-03-07") == clocks(rings, "2026-03-09") == ["02:30:00", "04:00:00"]


def test_a_substitute_rings_once_at_the_time_it_names() -> None:
    rings = rings_of(night_bell("  clocks ring missing hour at 03:00\n"))
    assert clocks(rings, "2026-03-08") == ["03:00:00", "04:00:00"]
    assert clocks(rings, "2026-03-09") == ["02:30:00", "04:00:00"]


# 29 February. Every second Tuesday just counts days: 29 February 2028 is a Tuesday and an ordinary date (by
# hand: 1, 15, 29 February, 14, 28 March). 29 February 2027 is no date: no ring, and no other date for it.

SECOND_TUESDAYS = """week first
  Mon, Wed to Sun  silent
  Tue              normal
week second
  Mon to Sun  silent
term "Spring"  2028-01-31 to 2028-03-31
  weeks first, second from 2028-01-31 counting every week
"""


def test_every_second_tuesday_counts_through_29_february() -> None:
    text = programme("  ring 09:00  lesson\n", week="", term=SECOND_TUESDAYS)
    rung = sorted({ring.at.date().isoformat() for ring in rings_of(text)})
    assert rung == ["2028-02-01", "2028-02-15", "2028-02-29", "2028-03-14", "2028-03-28"]


def leap_day(year: int) -> str:
    term = f'term "Spring"  {year}-01-10 to {year}-03-31\n'
    added = f'  {year}-02-29  add 11:00 lesson in main  "Leap day"\n'
    return programme("  ring 09:00  lesson\n", term=term, exceptions=added)


def test_29_february_rings_in_a_leap_year() -> None:
    assert clocks(rings_of(leap_day(2028)), "2028-02-29") == ["09:00:00", "11:00:00"]


def test_29_february_of_another_year_is_no_date_and_no_other_stands_in_for_it() -> None:
    text = leap_day(2027)
    found = checked(text)
    [fault] = found.diagnostics
    assert (fault.severity, fault.headline) == ("error", "there is no date 2027-02-29")
    assert marked_lines(fault) == {line_of(text, "2027-02-29")}
    assert found.calendar is None


# A cycle of six days, and its Wednesday, Day 3, closed by snow. With slip Thursday is Day 3, with skip Day 4;
# undeclared it is an error at the first closure. By hand: 11 January 2027 is a Monday.

SIX_DAYS = "".join(f"  day {number}  normal\n" for number in range(1, 7))


def snowed_in(word: str) -> str:
    week = f"cycle six on Mon to Fri\n{SIX_DAYS}"
    term = f'term "Spring"  2027-01-11 to 2027-01-22\n  cycle six from 2027-01-11 {word}\n'
    return programme(
        "  ring 09:00  lesson\n", week=week, term=term, exceptions='  2027-01-13  silent "Snow"\n'
    )


@pytest.mark.parametrize(
    ("word", "numbers"),
    [("slip", "1 2 - 3 4 5 6 1 2 3"), ("skip", "1 2 - 4 5 6 1 2 3 4")],
)
def test_a_closed_day_of_a_cycle_slips_or_is_skipped_as_declared(word: str, numbers: str) -> None:
    days = [day for day in calendar_of(snowed_in(word)).days if day.day.isoweekday() <= 5]
    assert [day.label for day in days if not day.is_closed] == [
        f"day {number}" for number in numbers.split() if number != "-"
    ]
    assert [day.day for day in days if day.is_closed] == [date(2027, 1, 13)]


def test_a_closed_day_of_a_cycle_that_says_neither_is_an_error_and_no_default() -> None:
    text = snowed_in("")
    found = checked(text)
    fault = the_fault(found.diagnostics, "D431")
    assert (fault.severity, found.calendar) == ("error", None)
    assert "Wed 2027-01-13" in fault.headline
    assert line_of(text, "silent") in marked_lines(fault)


def test_with_slip_snow_needs_no_new_tape() -> None:
    timetables = "timetable long in main, junior\n  ring 09:00, 16:00  lesson\n"

    def punched(word: str) -> set[frozenset[tuple[int, int]]]:
        text = (
            snowed_in(word)
            .replace("  day 6  normal", "  day 6  long")
            .replace("cycle six on", timetables + "cycle six on")
        )
        tapes = laid_out(text + MACHINE + NO_SILENCES).tapes
        assert tapes is not None
        return {frozenset((hole.row, hole.track) for hole in tape.holes) for tape in tapes.tapes}

    assert punched("slip") == punched("skip")
    assert len(punched("slip")) == 2


# The term ends early on a Friday that another line closes: an error that shows both lines, and the early
# finish is not moved to another day by itself.

EARLY = "timetable early in main, junior\n  ring 08:40, 12:30  lesson\n"


def last_friday(closure: str, term: str = AUTUMN, day: str = "Fri 2026-12-18") -> str:
    finish = f'  {day}  early  "Early finish"\n'
    return programme(
        "  ring 08:40, 15:05  lesson\n", week=EARLY + WEEK, term=term, exceptions=finish + closure
    )


@pytest.mark.parametrize(
    "closure",
    ['  Fri 2026-12-18  silent  "Boiler"\n', '  2026-12-17 to 2026-12-18  silent  "Boiler"\n'],
)
def test_an_early_finish_on_a_closed_day_is_an_error_that_shows_both_lines(closure: str) -> None:
    text = last_friday(closure)
    found = checked(text)
    assert is_error(found.diagnostics)
    assert found.calendar is None
    fault = the_fault(found.diagnostics, "D432")
    assert "Fri 2026-12-18" in fault.headline
    assert marked_lines(fault) == {line_of(text, "Early finish"), line_of(text, "Boiler")}


def test_an_early_finish_on_a_public_holiday_is_an_error_that_shows_both_lines() -> None:
    # Source: the `holidays` library, release 0.109: Good Friday 2027 is 26 March, the last Friday of term.
    term = 'term "Spring"  2027-01-05 to 2027-03-26\n'
    text = last_friday("  public holidays of GB-ENG  silent\n", term, "Fri 2027-03-26")
    fault = the_fault(checked(text).diagnostics, "D432")
    assert "Fri 2027-03-26" in fault.headline
    assert marked_lines(fault) == {line_of(text, "Early finish"), line_of(text, "public holidays")}


def test_the_early_finish_written_for_the_day_before_rings_there_and_the_friday_stays_silent() -> None:
    closure = '  Fri 2026-12-18  silent  "Boiler"\n'
    rings = rings_of(last_friday(closure, day="Thu 2026-12-17"))
    assert clocks(rings, "2026-12-17") == ["08:40:00", "12:30:00"]
    assert clocks(rings, "2026-12-18") == []
