"""Cases over which bell programmes commonly go wrong, each with the answer that was stated for it beforehand.

Every case is an invented worked example. That such a case is met, and what a careful fitter or timetabler
answers, is common practice, no published source; the arithmetic (which row, which date) is done by hand
beside each. The machine, too, is invented: a loop of a day in rows of a minute, stepped, read three rows
ahead, with a gate from the eighth to the fourteenth second.
"""

from datetime import date, datetime

import pytest

from chime.diagnostics import Diagnostic, is_error
from chime.rings.model import Ring, RingCalendar
from chime.tape.lay_out import LaidOut, lay_out
from chime.tape.model import Hole
from tests.compiling import checked, codes_of, compiled, rings_of, said

MACHINE = """machine tower
  loop      24 h in rows of 1 min
  row       2.40 mm
  drive     steps in 0.3 s
  tracks    at 4.0, 8.0, 12.0, 16.0 mm from the guided edge
  hole      round 1.60 mm within 0.05 mm
  reads     3 rows ahead
  gate      at 8 s for 6 s, within 0.5 s
"""
HEAD = """programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
zone main    on track 1
zone junior  on track 2
signal lesson  6 s within 2 s
"""
WEEK = """week ordinary
  Mon to Fri  normal
  Sat, Sun    silent
"""
AUTUMN = 'term "Autumn"  2026-09-07 to 2026-12-18\n'


def programme(timetable: str, *, week: str = WEEK, term: str = AUTUMN, exceptions: str = "") -> str:
    """A programme around the lines of its one timetable and of its exceptions."""
    body = f"timetable normal in main, junior\n{timetable}"
    return HEAD + body + week + term + (f"exceptions\n{exceptions}" if exceptions else "")


def calendar_of(text: str) -> RingCalendar:
    calendar = compiled(text).calendar
    assert calendar is not None
    return calendar


def clocks(rings: tuple[Ring, ...], day: str, zone: str = "main") -> list[str]:
    """The local times at which a zone rings on a date."""
    return [f"{r.at:%H:%M:%S}" for r in rings if r.at.date().isoformat() == day and r.zone == zone]


def laid_out(text: str) -> LaidOut:
    found = compiled(text)
    assert found.programme is not None
    assert found.calendar is not None
    return lay_out(found.programme, found.calendar)


def holes_on(text: str, day: str, track: int = 1) -> list[Hole]:
    """The holes of one track of the tape that is on at a date."""
    result = laid_out(text)
    assert result.tapes is not None, said(result.diagnostics)
    letter = dict(result.tapes.tape_on)[date.fromisoformat(day)]
    [tape] = [tape for tape in result.tapes.tapes if tape.id == letter]
    return [hole for hole in tape.holes if hole.track == track]


def the_fault(diagnostics: tuple[Diagnostic, ...], code: str) -> Diagnostic:
    [fault] = [one for one in diagnostics if one.code.id == code]
    return fault


def marked_lines(fault: Diagnostic) -> set[int]:
    return {label.span.line for label in fault.labels}


def line_of(text: str, words: str) -> int:
    """The number of the one line that holds some words."""
    [number] = [n for n, line in enumerate(text.splitlines(), start=1) if words in line]
    return number


# A late shift of Friday ends at 24:00, and that is Saturday's 00:00: it is punched three rows on, at label 3,
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
    closed = '  Tue 2026-10-06  silent  "Staff training"\n'
    rings = rings_of(programme(LATE_SHIFT, exceptions=closed))
    assert clocks(rings, "2026-10-06") == ["00:00:00"]  # Monday's shift ends
    assert clocks(rings, "2026-10-07") == ["16:00:00"]
    assert clocks(rings, "2026-12-19") == ["00:00:00"]
    assert rings[-1].at == datetime(2026, 12, 19)


def test_the_bell_of_midnight_is_punched_at_label_3_of_saturdays_tape() -> None:
    text = programme(LATE_SHIFT) + MACHINE
    [hole] = holes_on(text, "2026-09-12")
    assert (hole.row, hole.rings_at) == (3, (0,))
    assert [hole.row for hole in holes_on(text, "2026-09-11")] == [3, 16 * 60 + 3]


# A bell at 00:00 on a loop of 12 h: row 0, and label 3, is 12:00 as well. The hole passes twice a day.

HALF_DAY = MACHINE.replace("24 h", "12 h")
ALL_DAYS = "week ordinary\n  Mon to Sun  normal\n"


def test_a_bell_at_midnight_on_a_12_h_loop_passes_its_finger_at_noon_too() -> None:
    text = programme("  ring 00:00  lesson\n", week=ALL_DAYS) + HALF_DAY
    [hole] = holes_on(text, "2026-09-08")
    assert (hole.row, hole.rings_at) == (3, (0, 12 * 3600))


def said_of_aliases(text: str) -> str:
    """All that is said of a programme's tape, be it a fault or a thing that nobody could check."""
    result = laid_out(text)
    unchecked = result.tapes.unchecked if result.tapes is not None else ()
    return " ".join((*said(result.diagnostics), *unchecked))


def test_the_unwanted_ring_at_noon_is_named() -> None:
    assert "main at 12:00" in said_of_aliases(programme("  ring 00:00  lesson\n", week=ALL_DAYS) + HALF_DAY)


def test_with_noon_wanted_too_one_hole_gives_two_rings_and_both_are_in_the_calendar() -> None:
    text = programme("  ring 00:00, 12:00  lesson\n", week=ALL_DAYS) + HALF_DAY
    [hole] = holes_on(text, "2026-09-08")
    assert (hole.row, hole.rings_at) == (3, (0, 12 * 3600))
    assert clocks(rings_of(text), "2026-09-08") == ["00:00:00", "12:00:00"]
    assert "at 12:00" not in said_of_aliases(text)


def test_with_noon_masked_by_the_machine_no_unwanted_ring_is_named() -> None:
    masked = HALF_DAY + "  silenced  11:00 - 13:00\n"
    text = programme("  ring 00:00  lesson\n", week=ALL_DAYS)
    assert "at 12:00" not in said_of_aliases(text + masked)


# A bell at 02:30 on the Sunday on which New York's clocks go from 02:00 to 03:00 (8 March 2026; source of the
# date: IANA time zone data). The time does not exist: an error, until the programme says what is done.

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


def test_a_slip_after_the_tape_is_punched_changes_no_tape() -> None:
    timetables = "timetable long in main, junior\n  ring 09:00, 16:00  lesson\n"

    def punched(word: str) -> set[frozenset[tuple[int, int]]]:
        text = (
            snowed_in(word)
            .replace("  day 6  normal", "  day 6  long")
            .replace("cycle six on", timetables + "cycle six on")
        )
        tapes = laid_out(text + MACHINE).tapes
        assert tapes is not None
        return {frozenset((hole.row, hole.track) for hole in tape.holes) for tape in tapes.tapes}

    assert punched("slip") == punched("skip")
    assert len(punched("slip")) == 2


# Zone main is silent from 09:00 to 12:30 for examinations, and the clocks run on. Its rings in the window are
# shown as silenced, with the reason; the other zone rings; the end is not held: a ring at 12:30 would sound.

LESSONS = "  ring 08:40, 08:45, 09:00, 09:45, 10:45, 11:05, 12:05, 12:30, 13:00  lesson\n"
EXAMINATIONS = '  Mon 2026-11-30  silent in main 09:00 - 12:30  "Examinations"\n'


def test_a_zone_silent_for_examinations_keeps_its_rings_outside_the_window() -> None:
    rings = rings_of(programme(LESSONS, exceptions=EXAMINATIONS))
    assert clocks(rings, "2026-11-30") == ["08:40:00", "08:45:00", "12:30:00", "13:00:00"]


def test_the_other_zones_ring_all_through_the_examinations() -> None:
    rings = rings_of(programme(LESSONS, exceptions=EXAMINATIONS))
    assert clocks(rings, "2026-11-30", "junior") == clocks(rings, "2026-11-27", "junior")
    assert len(clocks(rings, "2026-11-30", "junior")) == 9


def test_rings_silenced_for_examinations_are_kept_with_the_reason_and_the_line() -> None:
    text = programme(LESSONS, exceptions=EXAMINATIONS)
    silenced = calendar_of(text).silenced
    assert [(f"{one.ring.at:%m-%d %H:%M}", one.ring.zone) for one in silenced] == [
        (f"11-30 {time}", "main") for time in ("09:00", "09:45", "10:45", "11:05", "12:05")
    ]
    assert {(one.said, one.by.line) for one in silenced} == {("Examinations", line_of(text, "2026-11-30"))}


# A ring in each minute: 10:15, 10:16, 10:17. Three rings of 6 s and three holes, at labels 10:18 to 10:20. A
# sound as long as the row joins them to one of three minutes, and that is a warning.

EACH_MINUTE = "  ring 10:15, 10:16, 10:17  lesson\n"


def test_a_ring_in_each_minute_is_three_rings_of_six_seconds_and_three_holes() -> None:
    text = programme(EACH_MINUTE)
    rings = [ring for ring in rings_of(text) if ring.at.date() == date(2026, 9, 7) and ring.zone == "main"]
    assert [(f"{ring.at:%H:%M}", ring.length_ms) for ring in rings] == [
        ("10:15", 6000),
        ("10:16", 6000),
        ("10:17", 6000),
    ]
    assert codes_of(text) == []
    rows = [hole.row for hole in holes_on(text + MACHINE, "2026-09-07")]
    assert rows == [10 * 60 + 18, 10 * 60 + 19, 10 * 60 + 20]


def test_rings_of_a_whole_minute_each_join_to_one_sound_that_is_warned_of() -> None:
    text = (
        programme(EACH_MINUTE)
        .replace("6 s within", "60 s within")
        .replace("  issue 1", "  longest ring 60 s\n  issue 1")
    )
    found = compiled(text)
    faults = [one for one in found.diagnostics if one.code.id == "D451"]
    assert {one.severity for one in faults} == {"warning"}
    assert any("180 s" in one.headline or "3 min" in one.headline for one in faults), said(found.diagnostics)


# A bell at 08:44:30 on a tape of rows of a minute: an error with both neighbours offered, never rounded. On
# rows of half a minute it has one: 8 h 44.5 min are 1049 half minutes, and three rows on is 1052.

HALF_MINUTE = programme("  ring 08:44:30  lesson\n")


def test_a_bell_between_two_rows_is_an_error_that_offers_both() -> None:
    text = HALF_MINUTE + MACHINE
    result = laid_out(text)
    assert result.tapes is None
    fault = the_fault(result.diagnostics, "T503")
    assert fault.severity == "error"
    assert marked_lines(fault) == {line_of(text, "08:44:30")}
    offered = [edit.replacement for offer in fault.suggestions for edit in offer.edits]
    assert offered == ["08:44", "08:45"]
    assert {offer.certainty for offer in fault.suggestions} == {"guess"}


def test_the_ring_itself_is_never_rounded() -> None:
    assert clocks(rings_of(HALF_MINUTE), "2026-09-07") == ["08:44:30"]


def test_rows_of_half_a_minute_take_a_bell_at_half_a_minute() -> None:
    text = HALF_MINUTE + MACHINE.replace("rows of 1 min", "rows of 30 s")
    [hole] = holes_on(text, "2026-09-07")
    assert (hole.row, hole.rings_at) == (1052, (8 * 3600 + 44 * 60 + 30,))
    tapes = laid_out(text).tapes
    assert tapes is not None
    assert {tape.rows for tape in tapes.tapes} == {2880}


# At 08:45 registration ends and the first period begins: one hole and one ring with two reasons. Removing one
# reason leaves the ring; it goes with the last.

REGISTRATION = (
    "  each period  start lesson, end lesson\n"
    '  period "Registration"  08:35 - 08:45\n'
    '  period "1"             08:45 - 09:45\n'
)


def at_0845(text: str) -> list[tuple[str, ...]]:
    return [r.labels for r in rings_of(text) if r.at == datetime(2026, 9, 7, 8, 45) and r.zone == "main"]


def test_an_end_and_a_start_at_one_time_are_one_ring_with_both_labels() -> None:
    text = programme(REGISTRATION)
    assert at_0845(text) == [("Period 1 starts", "Registration ends")]
    rows = [hole.row for hole in holes_on(text + MACHINE, "2026-09-07")]
    assert rows == [8 * 60 + 38, 8 * 60 + 48, 9 * 60 + 48]


@pytest.mark.parametrize(
    ("dropped", "left"),
    [
        ('  2026-09-07  drop "Registration"\n', [("Period 1 starts",)]),
        ('  2026-09-07  drop "1"\n', [("Registration ends",)]),
        ('  2026-09-07  drop "Registration"\n  2026-09-07  drop "1"\n', []),
    ],
)
def test_a_ring_goes_only_with_the_last_of_its_reasons(dropped: str, left: list[tuple[str, ...]]) -> None:
    assert at_0845(programme(REGISTRATION, exceptions=dropped)) == left


# Passing time is 2 min and the warning comes 2 min before: the warning for 09:47 is at 09:45, on the end
# bell. One ring, and a warning that it cannot be told apart. A warning of 1 min stands alone, at 09:46.


def passing(warning: str) -> str:
    return programme(
        f"  each period  start lesson, end lesson{warning}\n"
        "  periods 1 to 2 of 60 min from 08:45 passing 2 min\n"
    )


def test_a_warning_as_long_as_the_passing_time_cannot_be_told_from_the_end() -> None:
    text = passing(", warn lesson 2 min before start")
    found = compiled(text)
    faults = [one for one in found.diagnostics if one.code.id == "D425"]
    assert faults
    assert {(one.severity, "09:45" in one.headline) for one in faults} == {("warning", True)}
    assert all("cannot be told apart" in one.why for one in faults)
    rings = rings_of(text)
    assert clocks(rings, "2026-09-07") == ["08:43:00", "08:45:00", "09:45:00", "09:47:00", "10:47:00"]
    [ring] = [one for one in rings if one.at == datetime(2026, 9, 7, 9, 45) and one.zone == "main"]
    assert ring.labels == ("Period 1 ends", "Period 2 in 2 min")


def test_a_shorter_warning_or_none_is_no_fault() -> None:
    one_minute = passing(", warn lesson 1 min before start")
    assert codes_of(one_minute) == []
    assert clocks(rings_of(one_minute), "2026-09-07")[2:4] == ["09:45:00", "09:46:00"]
    assert codes_of(passing("")) == []


# An early finish on the last Friday of term, and that Friday is closed: an error that shows both lines, and
# no move to another day by itself.

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
