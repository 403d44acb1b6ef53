"""Where a loop is cut: the middle of its longest free stretch, moved as little as can be (formula F31)."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chime.clock import WEEKDAYS
from chime.programme.equipment import Count, DayWheel, Machine
from chime.tape.joint import HANDLING_ROWS, NOTHING_AVOIDED, Avoided, avoid, choose_cut
from chime.tape.loop import Loop, read_loop
from chime.tape.model import Cut
from tests import tape_factory as made

# A worked example: the times of a day with lessons and an evening, as rows of a loop of a day.
DAY_ROWS = [390, 520, 575, 630, 645, 700, 790, 845, 905, 1140, 1230, 1260]
TERM = date(2026, 9, 7), date(2026, 12, 18)


def row(time: str) -> int:
    hours, minutes = time.split(":")
    return int(hours) * 60 + int(minutes)


def loop_of(machine: Machine) -> Loop:
    loop = read_loop(machine)
    assert isinstance(loop, Loop)
    return loop


def avoided_on(machine: Machine, place: str, *rows_ahead: int) -> Avoided:
    return avoid(machine, loop_of(machine), place, *TERM, rows_ahead)


def test_the_cut_lies_in_the_middle_of_the_longest_free_run() -> None:
    """From 21:00 to 06:30 there are 570 rows, and the middle is 01:45 (worked example)."""
    assert choose_cut(DAY_ROWS, 1440, 0, NOTHING_AVOIDED) == (row("01:45"), True)
    # A lap of 12 has its own middle there: six rows before it and six after.
    assert choose_cut(DAY_ROWS, 1440, 12, NOTHING_AVOIDED) == (row("01:39"), True)


def test_on_a_loop_of_twelve_hours_the_same_times_are_cut_elsewhere() -> None:
    """Folded, 03:05 to 06:30 is the longest, 205 rows, and its middle is 04:47 and a half (worked example)."""
    cut = choose_cut([each % 720 for each in DAY_ROWS], 720, 0, NOTHING_AVOIDED)
    assert cut is not None
    assert cut.row in (row("04:47"), row("04:48"))


def test_the_joint_is_not_under_way_while_the_clocks_change() -> None:
    """London's clocks go from 02:00 back to 01:00 on 25 October 2026 (zone data): 01:00 to 01:59 comes twice."""
    avoided = avoided_on(made.day_machine(), "Europe/London", 0)
    assert avoided.labels == {0, *range(row("01:00"), row("02:00"))}
    # From 01:39 it moves to the nearer end of the hour: a row before 02:00 is still beside it.
    assert choose_cut(DAY_ROWS, 1440, 12, avoided) == (row("02:01"), True)


def test_the_fingers_read_another_row_than_the_pointer_shows() -> None:
    """With fingers three rows ahead, rows of 01:03 to 02:02 lie under them in that hour."""
    avoided = avoided_on(made.day_machine(), "Europe/London", 0, 3)
    assert avoided.labels == {0, *range(row("01:00"), row("02:03"))}
    assert choose_cut(DAY_ROWS, 1440, 12, avoided) == (row("02:04"), True)


def test_a_place_whose_clocks_do_not_change_has_midnight_alone() -> None:
    assert avoided_on(made.day_machine(), "Asia/Tokyo", 0).labels == {0}


def test_clocks_that_change_at_midnight_go_over_the_end_of_the_loop() -> None:
    """Asuncion went from 24:00 on 5 October 2024 to 01:00 (zone data): 00:00 to 00:59 does not exist."""
    machine = made.day_machine()
    at = date(2024, 9, 1), date(2024, 11, 1)
    assert avoid(machine, loop_of(machine), "America/Asuncion", *at, (0,)).labels == set(range(60))


def test_a_week_loop_keeps_away_from_one_hour_of_one_weekday_and_from_every_midnight() -> None:
    machine = made.week_machine()
    loop = loop_of(machine)
    assert loop.row_interval_s == 300
    labels = avoided_on(machine, "Europe/London", 0).labels
    sunday = WEEKDAYS.index("Sun") * 288
    assert labels == {*range(0, 2016, 288), *range(sunday + 12, sunday + 24)}


def test_a_day_wheel_that_turns_late_is_kept_away_from_too() -> None:
    machine = made.day_machine()._replace(day_wheels=(DayWheel((5, 6), 3 * 3600, None, None, made.NOWHERE),))
    assert row("03:00") in avoided_on(machine, "Asia/Tokyo", 0).labels


def test_a_cut_goes_between_two_drive_holes() -> None:
    """Drive holes of 1.5 mm at every other row of 2 mm: each reaches to 0.75 mm, and a row to 1 mm, from 0."""
    machine = _driven("4", "1.5")
    assert avoided_on(machine, "Asia/Tokyo", 0).through_drive_hole == frozenset()
    # With holes of 2 mm the lines before and behind rows 0, 2, 4 ... touch them, and so does every line.
    assert len(avoided_on(_driven("4", "2"), "Asia/Tokyo", 0).through_drive_hole) == 1440
    # At every fourth row, the lines before rows 2, 3 (and 6, 7 ...) are free.
    through = avoided_on(_driven("8", "2"), "Asia/Tokyo", 0).through_drive_hole
    assert sorted(through)[:6] == [0, 1, 4, 5, 8, 9]
    assert choose_cut([0, 100], 1440, 0, Avoided(frozenset(), through)) == (770, True)
    assert choose_cut([0, 102], 1440, 0, Avoided(frozenset(), through)) == (771, True)
    assert choose_cut([0, 99], 1440, 0, Avoided(frozenset(), through)) == (770, True)  # not 769


def _driven(apart_mm: str, hole_mm: str) -> Machine:
    machine = made.day_machine()._replace(pitch=made.mm("2"))
    assert machine.sprocket is not None
    sprocket = machine.sprocket._replace(pitch=made.mm(apart_mm), hole=made.mm(hole_mm))
    return machine._replace(sprocket=sprocket)


def test_where_no_place_is_clear_the_middle_is_taken_and_it_is_said() -> None:
    every_ten = range(0, 1440, 10)
    assert choose_cut(every_ten, 1440, 0, NOTHING_AVOIDED) == (5, False)
    assert choose_cut(every_ten, 1440, 12, NOTHING_AVOIDED) == (5, False)
    assert choose_cut(range(1440), 1440, 0, NOTHING_AVOIDED) is None


def test_a_tape_of_a_programme_is_cut_with_all_that() -> None:
    rings = made.every_day("2026-10-23", "2026-10-26", "06:30 21:00", "main")
    machine = made.day_machine()._replace(joint_rows=Count(12, False, made.NOWHERE), reads=(made.ahead(0),))
    known = made.verified([made.zone("main", 1)], machine, rings)
    assert known.tapes is not None
    assert {tape.cut for tape in known.tapes.tapes} == {Cut(row("13:39"), True)}
    rings = made.every_day("2026-10-23", "2026-10-26", "06:30 12:00 16:00 21:00", "main")
    known = made.verified([made.zone("main", 1)], machine, rings)
    assert known.tapes is not None
    assert {tape.cut for tape in known.tapes.tapes} == {Cut(row("02:01"), True)}


rows_of_a_loop = st.sets(st.integers(0, 119), max_size=30)


@given(rows_of_a_loop, st.integers(0, 25), rows_of_a_loop)
def test_no_clear_place_is_better(occupied: set[int], lap: int, labels: set[int]) -> None:
    """Every place of the loop is tried: the longest run that has any, and in it the nearest to the middle."""
    cut = choose_cut(occupied, 120, lap, Avoided(frozenset(labels), frozenset()))
    found: list[tuple[int, int]] = []
    for place in range(120):
        before = next((n for n in range(120) if (place - 1 - n) % 120 in occupied), 119)
        after = next((n for n in range(120) if (place + n) % 120 in occupied), 120) - lap
        touches = any((place + n) % 120 in labels for n in range(-1, lap + 1))
        if occupied and min(before, after) >= HANDLING_ROWS and not touches:
            found.append((-(before + lap + after), abs(before - after)))
    if not occupied:
        return
    assert cut is not None
    assert cut.is_clear == bool(found)
    if found:
        before = next(n for n in range(120) if (cut.row - 1 - n) % 120 in occupied)
        after = next(n for n in range(120) if (cut.row + n) % 120 in occupied) - lap
        best = min(found)
        assert -(before + lap + after) == best[0]
        # Of two runs as long the first in the loop counts, whatever stands in the other.
        assert abs(before - after) >= best[1]
        same = [off for length, off in found if length == best[0]]
        assert abs(before - after) in same


@given(rows_of_a_loop, st.integers(0, 25))
def test_a_cut_without_a_clear_place_is_in_the_longest_run(occupied: set[int], lap: int) -> None:
    cut = choose_cut(occupied, 120, lap, Avoided(frozenset(range(120)), frozenset()))
    assert cut is not None
    assert not cut.is_clear
    assert cut.row not in occupied


@pytest.mark.parametrize("lap", [0, 12, 120, 10**6])
def test_a_loop_with_no_hole_is_cut_somewhere(lap: int) -> None:
    assert choose_cut([], 120, lap, NOTHING_AVOIDED) is not None
