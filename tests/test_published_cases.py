"""Cases over which bell programmes commonly go wrong, each with the answer that was stated for it beforehand.

Every case is an invented worked example. That such a case is met, and what a careful fitter or timetabler
answers, is common practice, no published source; the arithmetic (which row, which date) is done by hand
beside each. The machine, too, is invented: a loop of a day in rows of a minute, stepped, read four rows
ahead, with a gate from the seventh to the thirteenth second.
"""

from datetime import date, datetime

import pytest

from tests.compiling import codes_of, compiled, rings_of, said
from tests.tower_clock import (
    MACHINE,
    calendar_of,
    clocks,
    holes_on,
    laid_out,
    line_of,
    marked_lines,
    programme,
    the_fault,
)

# Zone main is silent from 09:20 to 11:45 for examinations, and the clocks run on. Its rings in the window are
# shown as silenced, with the reason; the other zone rings; the end is not held: a ring at 11:45 would sound.

LESSONS = "  ring 08:50, 09:00, 09:20, 10:10, 10:35, 11:15, 11:25, 11:45, 12:40  lesson\n"

EXAMINATIONS = '  Mon 2026-11-30  silent in main 09:20 - 11:45  "Examinations"\n'


def test_a_zone_silent_for_examinations_keeps_its_rings_outside_the_window() -> None:
    rings = rings_of(programme(LESSONS, exceptions=EXAMINATIONS))
    assert clocks(rings, "2026-11-30") == ["08:50:00", "09:00:00", "11:45:00", "12:40:00"]


def test_the_other_zones_ring_all_through_the_examinations() -> None:
    rings = rings_of(programme(LESSONS, exceptions=EXAMINATIONS))
    assert clocks(rings, "2026-11-30", "junior") == clocks(rings, "2026-11-27", "junior")
    assert len(clocks(rings, "2026-11-30", "junior")) == 9


def test_rings_silenced_for_examinations_are_kept_with_the_reason_and_the_line() -> None:
    text = programme(LESSONS, exceptions=EXAMINATIONS)
    silenced = calendar_of(text).silenced
    assert [(f"{one.ring.at:%m-%d %H:%M}", one.ring.zone) for one in silenced] == [
        (f"11-30 {time}", "main") for time in ("09:20", "10:10", "10:35", "11:15", "11:25")
    ]
    assert {(one.said, one.by.line) for one in silenced} == {("Examinations", line_of(text, "2026-11-30"))}


# A ring in each minute: 11:30, 11:31, 11:32. Three rings of 6 s and three holes, at labels 11:34 to 11:36. A
# sound as long as the row joins them to one of three minutes, and that is a warning.

EACH_MINUTE = "  ring 11:30, 11:31, 11:32  lesson\n"


def test_a_ring_in_each_minute_is_three_rings_of_six_seconds_and_three_holes() -> None:
    text = programme(EACH_MINUTE)
    rings = [ring for ring in rings_of(text) if ring.at.date() == date(2026, 9, 7) and ring.zone == "main"]
    assert [(f"{ring.at:%H:%M}", ring.length_ms) for ring in rings] == [
        ("11:30", 6000),
        ("11:31", 6000),
        ("11:32", 6000),
    ]
    assert codes_of(text) == []
    rows = [hole.row for hole in holes_on(text + MACHINE, "2026-09-07")]
    assert rows == [11 * 60 + 34, 11 * 60 + 35, 11 * 60 + 36]


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


# A bell at 08:51:30 on a tape of rows of a minute: an error with both neighbours offered, never rounded. On
# rows of half a minute it has one: 8 h 51.5 min are 1063 half minutes, and four rows on is 1067.

HALF_MINUTE = programme("  ring 08:51:30  lesson\n")


def test_a_bell_between_two_rows_is_an_error_that_offers_both() -> None:
    text = HALF_MINUTE + MACHINE
    result = laid_out(text)
    assert result.tapes is None
    fault = the_fault(result.diagnostics, "T503")
    assert fault.severity == "error"
    assert marked_lines(fault) == {line_of(text, "08:51:30")}
    offered = [edit.replacement for offer in fault.suggestions for edit in offer.edits]
    assert offered == ["08:51", "08:52"]
    assert {offer.certainty for offer in fault.suggestions} == {"guess"}


def test_the_ring_itself_is_never_rounded() -> None:
    assert clocks(rings_of(HALF_MINUTE), "2026-09-07") == ["08:51:30"]


def test_rows_of_half_a_minute_take_a_bell_at_half_a_minute() -> None:
    text = HALF_MINUTE + MACHINE.replace("rows of 1 min", "rows of 30 s")
    [hole] = holes_on(text, "2026-09-07")
    assert (hole.row, hole.rings_at) == (1067, (8 * 3600 + 51 * 60 + 30,))
    tapes = laid_out(text).tapes
    assert tapes is not None
    assert {tape.rows for tape in tapes.tapes} == {2880}


# At 08:50 registration ends and the first period begins: one hole and one ring with two reasons. Removing one
# reason leaves the ring; it goes with the last.

REGISTRATION = (
    "  each period  start lesson, end lesson\n"
    '  period "Registration"  08:38 - 08:50\n'
    '  period "1"             08:50 - 09:40\n'
)


def at_0850(text: str) -> list[tuple[str, ...]]:
    return [r.labels for r in rings_of(text) if r.at == datetime(2026, 9, 7, 8, 50) and r.zone == "main"]


def test_an_end_and_a_start_at_one_time_are_one_ring_with_both_labels() -> None:
    text = programme(REGISTRATION)
    assert at_0850(text) == [("Period 1 starts", "Registration ends")]
    rows = [hole.row for hole in holes_on(text + MACHINE, "2026-09-07")]
    assert rows == [8 * 60 + 42, 8 * 60 + 54, 9 * 60 + 44]


@pytest.mark.parametrize(
    ("dropped", "left"),
    [
        ('  2026-09-07  drop "Registration"\n', [("Period 1 starts",)]),
        ('  2026-09-07  drop "1"\n', [("Registration ends",)]),
        ('  2026-09-07  drop "Registration"\n  2026-09-07  drop "1"\n', []),
    ],
)
def test_a_ring_goes_only_with_the_last_of_its_reasons(dropped: str, left: list[tuple[str, ...]]) -> None:
    assert at_0850(programme(REGISTRATION, exceptions=dropped)) == left


# Passing time is 3 min and the warning comes 3 min before: the warning for 09:41 is at 09:38, on the end
# bell. One ring, and a warning that it cannot be told apart. A warning of 1 min stands alone, at 09:40.


def passing(warning: str) -> str:
    return programme(
        f"  each period  start lesson, end lesson{warning}\n"
        "  periods 1 to 2 of 48 min from 08:50 passing 3 min\n"
    )


def test_a_warning_as_long_as_the_passing_time_cannot_be_told_from_the_end() -> None:
    text = passing(", warn lesson 3 min before start")
    found = compiled(text)
    faults = [one for one in found.diagnostics if one.code.id == "D425"]
    assert faults
    assert {(one.severity, "09:38" in one.headline) for one in faults} == {("warning", True)}
    assert all("cannot be told apart" in one.why for one in faults)
    rings = rings_of(text)
    assert clocks(rings, "2026-09-07") == ["08:47:00", "08:50:00", "09:38:00", "09:41:00", "10:29:00"]
    [ring] = [one for one in rings if one.at == datetime(2026, 9, 7, 9, 38) and one.zone == "main"]
    assert ring.labels == ("Period 1 ends", "Period 2 in 3 min")


def test_a_shorter_warning_or_none_is_no_fault() -> None:
    one_minute = passing(", warn lesson 1 min before start")
    assert codes_of(one_minute) == []
    assert clocks(rings_of(one_minute), "2026-09-07")[2:4] == ["09:38:00", "09:40:00"]
    assert codes_of(passing("")) == []
