"""What a timetable rings: periods, pauses, warnings, labels, and what `like` takes over and changes."""

from datetime import datetime

import pytest

from tests.compiling import checked, codes_of, rings_of, said

HEAD = """programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1 "Main"
zone yard on track 2 "Yard"
signal lesson 6 s within 2 s
signal short 3 s within 1 s
"""
TAIL = """week ordinary
  Mon to Fri day
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-11
"""
BASE = """timetable base in main
  each period start lesson, end lesson, warn short 2 min before start
  period "1" 09:00 - 10:00
  ring 10:30 lesson in yard "Line up"
  pause "Lunch" 12:00 - 13:00 in main, yard quiet
  period "2" 13:10 - 14:10
"""
MONDAY = datetime(2026, 9, 7)


def monday(body: str) -> list[str]:
    """Return Monday's rings, `08:58 main short Period 1 in 2 min`."""
    rings = rings_of(HEAD + body + TAIL)
    return [
        f"{r.at:%H:%M} {r.zone} {r.signal} {' / '.join(r.labels)}".strip()
        for r in rings
        if r.service_days[0] == MONDAY.date()
    ]


def times(body: str, zone: str = "main") -> list[str]:
    return [line[:5] for line in monday(body) if line.split()[1] == zone]


def changed(*lines: str) -> str:
    return BASE + "timetable day like base\n" + "".join(f"  {line}\n" for line in lines)


def test_periods_pauses_and_rings() -> None:
    assert monday(BASE.replace("base", "day")) == [
        "08:58 main short Period 1 in 2 min",
        "09:00 main lesson Period 1 starts",
        "10:00 main lesson Period 1 ends",
        "10:30 yard lesson Line up",
        "13:08 main short Period 2 in 2 min",
        "13:10 main lesson Period 2 starts",
        "14:10 main lesson Period 2 ends",
    ]


def test_a_pause_rings_like_a_period_unless_it_is_quiet() -> None:
    loud = monday(BASE.replace("base", "day").replace(" quiet", ""))
    assert [line for line in loud if "Lunch" in line] == [
        "11:58 main short Lunch in 2 min",
        "11:58 yard short Lunch in 2 min",
        "12:00 main lesson Lunch starts",
        "12:00 yard lesson Lunch starts",
        "13:00 main lesson Lunch ends",
        "13:00 yard lesson Lunch ends",
    ]


def test_a_warning_before_the_end() -> None:
    body = 'timetable day in main\n  each period warn short 5 min before end\n  period "Roll" 09:00 - 09:20\n'
    assert monday(body + "  ring 08:50 lesson\n") == [
        "08:50 main lesson",
        "09:15 main short Roll ends in 5 min",
    ]


def test_periods_are_made_from_a_length_and_a_gap() -> None:
    body = "timetable day in main\n  each period start lesson, end short\n"
    rows = monday(body + "  periods 2 to 4 of 50 min from 09:50 passing 5 min\n  must end 12:30\n")
    assert rows == [
        "09:50 main lesson Period 2 starts",
        "10:40 main short Period 2 ends",
        "10:45 main lesson Period 3 starts",
        "11:35 main short Period 3 ends",
        "11:40 main lesson Period 4 starts",
        "12:30 main short Period 4 ends",
    ]


def test_a_sum_that_does_not_close_is_an_error_with_the_right_time_offered() -> None:
    body = "timetable day in main\n  each period start lesson\n  periods 1 to 2 of 50 min from 09:00\n  must end 10:45\n"
    found = checked(HEAD + body.replace("lesson", "short").replace("short\n", "lesson\n") + TAIL)
    assert [d.code.id for d in found.diagnostics if d.severity == "error"] == ["D421"]
    fault = next(d for d in found.diagnostics if d.code.id == "D421")
    assert (fault.labels[0].span.line, fault.suggestions[0].text) == (11, "must end 10:40")


def test_lines_may_stand_in_any_order() -> None:
    foot = BASE.replace("base", "day").splitlines()
    shuffled = "\n".join([foot[0], *foot[:0:-1]]) + "\n"
    assert monday(shuffled) == monday(BASE.replace("base", "day"))


# --------------------------------------------------------------------- like


def test_like_takes_over_all_but_must_end() -> None:
    body = BASE + "  must end 14:10\ntimetable day like base\n  drop after 12:30\n"
    assert times(body) == ["08:58", "09:00", "10:00"]


def test_what_a_timetable_adds_is_not_dropped() -> None:
    assert times(changed("drop from 09:00", "ring 09:30 lesson")) == ["09:30"]


def test_each_period_of_its_own_holds_for_what_was_taken_over() -> None:
    assert monday(changed("each period end short", "drop in yard")) == [
        "10:00 main short Period 1 ends",
        "14:10 main short Period 2 ends",
    ]


def test_warnings_go_with_their_ring() -> None:
    assert times(changed("drop 09:00")) == ["10:00", "13:08", "13:10", "14:10"]
    assert times(changed("shift +10 min before 09:30")) == [
        "09:08",
        "09:10",
        "10:00",
        "13:08",
        "13:10",
        "14:10",
    ]
    assert times(changed('move "1" to 08:30 - 09:40')) == [
        "08:28",
        "08:30",
        "09:40",
        "13:08",
        "13:10",
        "14:10",
    ]


def test_drop_by_label_zone_and_window() -> None:
    assert times(changed('drop "2"')) == ["08:58", "09:00", "10:00"]
    assert times(changed('drop "Line up" in yard from 10:00 until 11:00'), "yard") == []
    assert times(changed("drop in yard"), "yard") == []
    assert times(changed("drop from 10:00 until 13:10")) == ["08:58", "09:00", "13:08", "13:10", "14:10"]


def test_a_ring_label_as_it_is_read_names_one_edge() -> None:
    assert times(changed('drop "Period 2 ends"')) == ["08:58", "09:00", "10:00", "13:08", "13:10"]


def test_shift_lets_a_period_grow_or_shrink() -> None:
    assert times(changed("shift +30 min from 13:30")) == [
        "08:58",
        "09:00",
        "10:00",
        "13:08",
        "13:10",
        "14:40",
    ]


def test_must_end_counts_after_all_changes() -> None:
    assert codes_of(HEAD + changed("shift +30 min from 13:10", "must end 14:40") + TAIL) == []
    assert codes_of(HEAD + changed('drop "2"', "must end 13:00") + TAIL) == []
    assert codes_of(HEAD + changed('drop "2"', "must end 14:10") + TAIL) == ["D421"]


def test_move_carries_all_labels_of_a_time() -> None:
    body = BASE + '  ring 10:00 short "Break"\ntimetable day like base\n  move 10:00 to 10:05\n'
    assert "10:05 main lesson Break / Period 1 ends" in monday(body)


def test_move_looks_before_any_shift_and_is_final() -> None:
    assert times(changed("shift +10 min", "move 10:30 to 10:31 in yard"), "yard") == ["10:31"]


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ('drop "9"', "D401"),
        ('move "9" to 10:00 - 11:00', "D401"),
        ("drop after 20:00", "D402"),
        ("shift +5 min in yard after 11:00", "D402"),
        ("drop 09:00, 09:01", "D403"),
        ("drop 08:58", "D404"),
        ("move 08:58 to 08:57", "D405"),
        ("move 08:00 to 08:57", "D405"),
        ('move "1" to 10:00', "D407"),
        ('move "Line up" to 10:00 - 10:05', "D408"),
        ("shift +90 min before 09:30", "D412"),
    ],
)
def test_a_change_that_does_not_fit(line: str, code: str) -> None:
    assert codes_of(HEAD + changed(line) + TAIL) == [code]


def test_a_drop_at_a_warnings_time_names_its_ring() -> None:
    found = checked(HEAD + changed("drop 08:58") + TAIL)
    assert said(found.diagnostics) == [
        "D404 15:3 08:58 is the warning of the ring at 09:00 (Period 1 starts)"
    ]


def test_a_ring_in_two_shifts_is_an_error() -> None:
    assert set(codes_of(HEAD + changed("shift +5 min", "shift +10 min from 14:00") + TAIL)) == {"D409"}


def test_timetables_like_each_other_in_a_circle() -> None:
    body = "timetable day like other in main\n  ring 09:00 lesson\ntimetable other like day\n  ring 09:10 short\n"
    assert codes_of(HEAD + body + TAIL).count("N343") == 1


# ------------------------------------------------------- one hole, many reasons


def test_rings_at_one_time_are_one_ring_and_the_longest_sounds() -> None:
    body = 'timetable day in main\n  ring 09:00 short "Door"\n  ring 09:00 lesson "Roll"\n'
    assert monday(body) == ["09:00 main lesson Door / Roll"]
    assert codes_of(HEAD + body + TAIL) == ["N393", "D424"]


def test_of_equal_lengths_the_narrower_tolerance_sounds() -> None:
    head = HEAD.replace("signal short 3 s within 1 s", "signal short 6 s within 1 s")
    body = "timetable day in main\n  ring 09:00 short\n  ring 09:00 lesson\n"
    assert [r.signal for r in rings_of(head + body + TAIL)] == ["short"] * 5


def test_removing_one_reason_leaves_the_ring() -> None:
    body = BASE + '  ring 10:00 lesson "Break"\ntimetable day like base\n  drop "Break"\n'
    assert "10:00 main lesson Period 1 ends" in monday(body)


def test_last_nights_end_and_this_mornings_start_are_one_ring() -> None:
    body = 'timetable day in main\n  each period start lesson, end lesson\n  period "Night" 22:00 - 30:00\n  period "Early" 06:00 - 14:00\n'
    rings = rings_of(HEAD + body + TAIL)
    joined = [r for r in rings if r.at == datetime(2026, 9, 8, 6)]
    assert [r.labels for r in joined] == [("Early starts", "Night ends")]
    assert [d.day for d in joined[0].service_days] == [7, 8]
    assert rings[-1].at == datetime(2026, 9, 12, 6)


def test_a_warning_on_the_end_before_cannot_be_told_apart() -> None:
    body = (
        "timetable day in main\n  each period start lesson, end lesson, warn short 2 min before start\n"
        "  periods 1 to 2 of 60 min from 09:00 passing 2 min\n"
    )
    assert sorted(codes_of(HEAD + body + TAIL)) == ["D424", "D425", "N393"]


def test_a_silent_period_and_overlapping_ones_are_warned_of() -> None:
    silent = (
        'timetable day in main\n  ring 08:00 lesson\n  ring 08:30 short in yard\n  period "1" 09:00 - 10:00\n'
    )
    assert codes_of(HEAD + silent + TAIL) == ["D422"]
    both = BASE.replace("base", "day") + '  period "3" 09:50 - 10:10\n'
    assert codes_of(HEAD + both + TAIL) == ["D423"]


def test_a_sound_longer_than_the_longest_ring_is_a_warning_merged_holes_included() -> None:
    long = HEAD.replace("6 s within", "21 s within")
    body = "timetable day in main, yard\n  ring 09:00 lesson\n  ring 09:30 short\n"
    assert codes_of(long + body + TAIL) == ["D451"]
    allowed = long.replace("2026-08-20\n", "2026-08-20\n  longest ring 25 s\n")
    assert codes_of(allowed + body + TAIL) == []
    minute = HEAD.replace("signal lesson 6 s", "signal lesson 60 s").replace(
        "2026-08-20\n", "2026-08-20\n  longest ring 60 s\n"
    )
    runs = "timetable day in main, yard\n  ring 09:00, 09:01 lesson\n  ring 09:30 short\n"
    assert codes_of(minute + runs + TAIL) == ["D451"]
