"""Rows and tapes, worked out by hand.

A ring at t stands at row (t / row interval + rows ahead) mod rows. Where no source is named, a row is
arithmetic on the clock time written beside it.
"""

from datetime import date
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chime.clock import DAY
from chime.diagnostics import Span
from chime.programme.equipment import DailySilence, DayWheel, Machine, Switches
from chime.programme.model import Zone
from chime.rings.model import Ring, RingCalendar
from chime.tape.earlier import letter_of
from chime.tape.geometry import (
    hole_size,
    row_of,
    write_label,
    write_mm,
    write_phase,
)
from chime.tape.laid_out import LaidOut
from chime.tape.lay_out import lay_out
from chime.tape.local_clock import midnight
from chime.tape.masks import is_masked, is_surely_masked, is_unsure, read_masks
from chime.tape.model import Tape, TapeSet
from chime.tape.ring_checks import hearing_of
from chime.verify.player import hearers
from tests import tape_factory as made

MONDAY = "2026-09-07"


def places(tape: Tape) -> list[tuple[int, int]]:
    return [(hole.row, hole.track) for hole in tape.holes]


def only_tape(tapes: TapeSet) -> Tape:
    (tape,) = tapes.tapes
    return tape


# ---------------------------------------------- the row of a ring


def test_a_ring_is_punched_as_many_rows_later_as_its_finger_stands_ahead() -> None:
    tape = only_tape(
        made.tapes_of([made.zone("main", 1)], made.day_machine(), [made.ring(f"{MONDAY} 08:45", "main")])
    )
    # 8 x 60 + 45 = 525, and 3 rows ahead: 528, which is the label 08:48. The other sign gives 522, 08:42.
    assert places(tape) == [(528, 1)]
    assert write_label(tape, 528) == "08:48"
    assert tape.holes[0].rings_at == (8 * 3600 + 45 * 60,)


def test_the_row_of_the_example_in_the_reference() -> None:
    # grammar/reference.md: read 2 rows ahead, the hole for 11:30 is punched at label 11:32.
    assert row_of(11 * 3600 + 30 * 60, 60, 2, 1440) == 11 * 60 + 32


def test_a_ring_before_midnight_may_be_punched_after_the_loop_s_beginning() -> None:
    tape = only_tape(
        made.tapes_of([made.zone("main", 1)], made.day_machine(), [made.ring(f"{MONDAY} 23:58", "main")])
    )
    # Row 1438 and 3 ahead is 1441, one past the 1440 rows of the loop: row 1, label 00:01.
    assert places(tape) == [(1, 1)]


def test_a_ring_after_midnight_is_on_the_tape_of_its_own_date() -> None:
    rings = [made.ring("2026-09-07 22:00", "main"), made.ring("2026-09-08 01:30", "main")]
    tapes = made.tapes_of([made.zone("main", 1)], made.day_machine(), rings)
    assert [(tape.id, places(tape), tape.dates) for tape in tapes.tapes] == [
        ("A", [(22 * 60 + 3, 1)], (date(2026, 9, 7),)),
        ("B", [(93, 1)], (date(2026, 9, 8),)),
    ]


def test_rows_of_half_a_minute_take_rings_at_half_minutes() -> None:
    machine = made.day_machine()._replace(row_interval=made.seconds(30), reads=(made.ahead(2),))
    tape = only_tape(
        made.tapes_of([made.zone("main", 1)], machine, [made.ring(f"{MONDAY} 08:45:30", "main")])
    )
    # 31,530 s are 1051 rows of 30 s; two ahead is 1053, half past 08:46.
    assert places(tape) == [(1053, 1)]
    assert write_label(tape, 1053) == "08:46:30"
    assert tape.rows == 2880


def test_each_track_has_its_own_offset() -> None:
    rings = [made.ring(f"{MONDAY} 12:50", name) for name in ("halls", "oval")]
    tape = only_tape(
        made.tapes_of([made.zone("halls", 1), made.zone("oval", 2)], made.half_day_machine(), rings)
    )
    # 12:50 is 00:50 on the dial: row 50; track 1 is read 4 rows ahead, track 2 six.
    assert places(tape) == [(54, 1), (56, 2)]


def test_an_offset_of_one_track_goes_before_that_of_every_track() -> None:
    machine = made.day_machine()._replace(reads=(made.ahead(3), made.ahead(5, 2)))
    zones = [made.zone("main", 1), made.zone("yard", 2)]
    rings = [made.ring(f"{MONDAY} 00:00", name) for name in ("main", "yard")]
    assert places(only_tape(made.tapes_of(zones, machine, rings))) == [(3, 1), (5, 2)]


def test_a_place_on_a_half_day_loop_passes_twice_a_day() -> None:
    rings = [made.ring(f"{MONDAY} 08:47", "halls")]
    tape = only_tape(made.tapes_of([made.zone("halls", 1)], made.half_day_machine(), rings))
    # 8 x 60 + 47 + 4 = 531, and twelve hours later the same row stands there again.
    assert places(tape) == [(531, 1)]
    assert [write_phase(tape, time) for time in tape.holes[0].rings_at] == ["08:47", "20:47"]
    assert tape.rows == 720


def test_morning_and_evening_share_a_hole_of_a_half_day_loop() -> None:
    rings = [made.ring(f"{MONDAY} 09:00", "halls"), made.ring(f"{MONDAY} 21:00", "halls")]
    machine = made.half_day_machine()._replace(daily_silences=())
    tapes = made.tapes_of([made.zone("halls", 1)], machine, rings)
    assert places(only_tape(tapes)) == [(544, 1)]


def test_a_week_loop_counts_rows_from_monday() -> None:
    rings = [made.ring("2027-01-08 22:00", "shop"), made.ring("2027-01-04 06:00", "shop")]
    tape = only_tape(made.tapes_of([made.zone("shop", 1)], made.week_machine(), rings))
    # 2027-01-08 is a Friday (4 whole days): 4 x 288 + 22 x 12 = 1416. Monday 06:00 is 72.
    assert places(tape) == [(72, 1), (1416, 1)]
    assert [write_label(tape, row) for row, _ in places(tape)] == ["Mon 06:00", "Fri 22:00"]
    assert tape.rows == 2016
    assert tape.dates == (date(2027, 1, 4), date(2027, 1, 8))


def test_the_last_row_of_sunday_reads_ahead_into_monday() -> None:
    machine = made.week_machine()._replace(reads=(made.ahead(2),))
    tape = only_tape(made.tapes_of([made.zone("shop", 1)], machine, [made.ring("2027-01-10 23:55", "shop")]))
    assert [write_label(tape, row) for row, _ in places(tape)] == ["Mon 00:05"]


@given(
    phase=st.integers(0, 1439),
    ahead=st.integers(0, 3000),
    interval=st.sampled_from([30, 60, 300]),
)
def test_a_row_read_back_through_its_offset_gives_the_ring(phase: int, ahead: int, interval: int) -> None:
    rows = 1440
    row = row_of(phase * interval, interval, ahead, rows)
    assert 0 <= row < rows
    assert (row - ahead) % rows == phase


# --------------------------------------------------------------- sets of tapes


def test_dates_with_the_same_holes_share_a_tape_and_letters_follow_the_first_date() -> None:
    rings = [
        made.ring("2026-09-07 09:00", "main"),
        made.ring("2026-09-08 10:00", "main"),
        made.ring("2026-09-09 09:00", "main"),
    ]
    tapes = made.tapes_of([made.zone("main", 1)], made.day_machine(), rings)
    first, second, third = date(2026, 9, 7), date(2026, 9, 8), date(2026, 9, 9)
    assert [(tape.id, tape.dates) for tape in tapes.tapes] == [("A", (first, third)), ("B", (second,))]
    assert tapes.tape_on == ((first, "A"), (second, "B"), (third, "A"))


def test_a_date_without_rings_has_no_tape() -> None:
    rings = [made.ring("2026-09-07 09:00", "main"), made.ring("2026-09-10 09:00", "main")]
    tapes = made.tapes_of([made.zone("main", 1)], made.day_machine(), rings)
    assert [day.isoformat() for day, _ in tapes.tape_on] == ["2026-09-07", "2026-09-10"]


def test_weeks_with_the_same_rings_share_a_week_loop() -> None:
    rings = [
        made.ring("2027-01-04 06:00", "shop"),
        made.ring("2027-01-12 06:00", "shop"),
        made.ring("2027-01-18 06:00", "shop"),
    ]
    tapes = made.tapes_of([made.zone("shop", 1)], made.week_machine(), rings)
    assert [(tape.id, len(tape.dates)) for tape in tapes.tapes] == [("A", 2), ("B", 1)]


def test_letters_go_on_after_z() -> None:
    assert [letter_of(n) for n in (0, 25, 26, 27, 51, 52, 701, 702)] == [
        "A", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA",
    ]  # fmt: skip


def test_a_fortnight_loop_counts_from_the_monday_of_the_first_date() -> None:
    machine = made.week_machine()._replace(cycle=made.seconds(14 * DAY))
    rings = [made.ring("2027-01-06 06:00", "shop"), made.ring("2027-01-11 06:00", "shop")]
    tapes = made.tapes_of([made.zone("shop", 1)], machine, rings)
    tape = only_tape(tapes)
    # Wednesday of week 1: 2 x 288 + 72 = 648. Monday of week 2: 7 x 288 + 72 = 2088.
    assert places(tape) == [(648, 1), (2088, 1)]
    assert [write_label(tape, row) for row, _ in places(tape)] == ["1 Wed 06:00", "2 Mon 06:00"]
    assert any("its first day was counted from Mon 2027-01-04" in words for words in tapes.unchecked)


def test_an_eight_hour_loop_passes_each_place_three_times() -> None:
    silence = DailySilence(17 * 3600 + 1800, 16 * 3600, None, made.NOWHERE)
    machine = made.day_machine()._replace(
        cycle=made.seconds(8 * 3600), reads=(made.ahead(0),), daily_silences=(silence,)
    )
    tape = only_tape(made.tapes_of([made.zone("main", 1)], machine, [made.ring(f"{MONDAY} 17:00", "main")]))
    assert places(tape) == [(60, 1)]
    assert tape.holes[0].rings_at == (3600, 9 * 3600, 17 * 3600)
    assert tape.cycle == "other"


def test_a_loop_of_two_days_has_a_tape_for_each_run_and_numbers_its_days() -> None:
    machine = made.day_machine()._replace(cycle=made.seconds(2 * DAY), day_wheels=())
    rings = [made.ring("2026-09-07 09:00", "main"), made.ring("2026-09-08 10:00", "main")]
    tapes = made.tapes_of([made.zone("main", 1)], machine, rings)
    tape = only_tape(tapes)
    # Row 540 and 3 ahead on the first day; a day of 1440 rows later 600 and 3 ahead.
    assert places(tape) == [(543, 1), (2043, 1)]
    assert [write_label(tape, row) for row, _ in places(tape)] == ["day 1 09:03", "day 2 10:03"]
    assert any("its first day was counted from Mon 2026-09-07" in words for words in tapes.unchecked)


def test_a_loop_that_shows_another_row_each_day_is_refused() -> None:
    machine = made.day_machine()._replace(cycle=made.seconds(36 * 3600))
    rings = made.calendar([made.ring(f"{MONDAY} 09:00", "main")])
    result = lay_out(made.programme([made.zone("main", 1)], machine), rings)
    assert (result.tapes, [fault.code.id for fault in result.diagnostics]) == (None, ["T511"])


def test_without_a_machine_there_is_no_tape_and_no_complaint() -> None:
    rings = made.calendar([made.ring(f"{MONDAY} 09:00", "main")])
    assert lay_out(made.programme([made.zone("main", 1)], None), rings) == LaidOut(None, ())


# ---------------------------------------------------------------- what a hole holds


def test_a_hole_names_its_zones_its_place_and_every_line_that_made_it() -> None:
    first, second, moving = made.spot("ring 09:00"), made.spot("ring 09:00"), made.spot("shift")
    rings = [
        made.ring("2026-09-07 09:00", "main", first),
        made.ring("2026-09-07 09:00", "junior", second, moved_by=(moving,)),
    ]
    zones = [made.zone("main", 4), made.zone("junior", 4)]
    (hole,) = only_tape(made.tapes_of(zones, made.day_machine(), rings)).holes
    assert hole.zones == ("junior", "main")
    assert (hole.along_nm, hole.across_nm) == (543 * 2_540_000, 12_500_000)
    assert set(hole.because) == {first, second, moving}


def test_a_zone_on_two_tracks_at_once_has_a_hole_on_each() -> None:
    rings = [made.ring(f"{MONDAY} 09:00", "main")]
    tape = only_tape(made.tapes_of([made.zone("main", 6, 4, together=True)], made.day_machine(), rings))
    assert places(tape) == [(543, 4), (543, 6)]


def test_of_tracks_to_choose_from_the_lowest_in_use_is_taken() -> None:
    machine = made.day_machine()._replace(out_of_use=((4, made.spot("track 4")),))
    tapes = made.tapes_of([made.zone("main", 6, 4, 5)], machine, [made.ring(f"{MONDAY} 09:00", "main")])
    assert places(only_tape(tapes)) == [(543, 5)]
    assert any("may be on any of tracks 4, 5, 6" in words for words in tapes.decided)


def test_of_tracks_to_choose_from_one_is_taken_that_no_other_zone_needs() -> None:
    """Zone a must be on 4, so b goes to 5 and c, which could have had 5 too, to 6."""
    rings = [
        made.ring(f"{MONDAY} {at}", name) for name, at in (("a", "09:00"), ("b", "09:10"), ("c", "09:20"))
    ]
    zones = [made.zone("c", 5, 6), made.zone("b", 4, 5), made.zone("a", 4)]
    tapes = made.tapes_of(zones, made.day_machine(), rings)
    assert dict(tapes.operation.wirings[0].zones) == {"a": (4,), "b": (5,), "c": (6,)}


def test_zones_with_the_same_choice_may_have_to_share() -> None:
    rings = [made.ring(f"{MONDAY} 09:00", name) for name in "abc"]
    tapes = made.tapes_of([made.zone(name, 4, 5) for name in "abc"], made.day_machine(), rings)
    assert dict(tapes.operation.wirings[0].zones) == {"a": (4,), "b": (5,), "c": (4,)}


def test_zones_without_tracks_are_laid_out_as_the_first_position_that_wires_them_all() -> None:
    wired = (
        made.position(3, ("yard", 1), ("main", 2)),
        made.position(2, ("yard", 7), ("main", 3), ("main", 5)),
        made.position(1, ("main", 4)),
    )
    machine = made.day_machine()._replace(positions=wired)
    zones = [made.zone("main"), made.zone("yard")]
    rings = [made.ring(f"{MONDAY} 09:00", name) for name in ("main", "yard")]
    tapes = made.tapes_of(zones, machine, rings)
    assert places(only_tape(tapes)) == [(543, 3), (543, 5), (543, 7)]
    assert tapes.operation.wirings[0].position == 2
    assert tapes.operation.wirings[0].zones == (("main", (3, 5)), ("yard", (7,)))


def test_where_the_machine_gives_no_lengths_a_hole_has_no_place_in_millimetres() -> None:
    machine = made.bare_machine()._replace(cycle=made.seconds(DAY), row_interval=made.seconds(60))
    tapes = made.tapes_of([made.zone("main", 12)], machine, [made.ring(f"{MONDAY} 09:00", "main")])
    (hole,) = only_tape(tapes).holes
    assert (hole.row, hole.along_nm, hole.across_nm) == (540, None, None)
    assert any("How many rows ahead track 12 is read was not given" in words for words in tapes.unchecked)


def test_a_tape_always_says_what_nobody_has_judged() -> None:
    known = made.verified([made.zone("main", 1)], made.day_machine(), [made.ring(f"{MONDAY} 09:00", "main")])
    assert any("supply" in verdict.check for verdict in known.verdicts if verdict.is_beyond)
    assert known.tapes is not None
    assert any("somebody is at the machine" in words for words in known.tapes.unchecked)


# ---------------------------------------------- what the machine silences by itself


def headlines(machine: Machine, zones: list[Zone], rings: list[Ring]) -> list[str]:
    result = lay_out(made.programme(zones, machine), made.calendar(rings))
    return [fault.headline for fault in result.diagnostics]


def test_a_hole_that_rings_again_outside_the_silences_is_refused() -> None:
    machine = made.half_day_machine()._replace(daily_silences=())
    rings = [made.ring(f"{MONDAY} 14:00", "halls")]
    assert headlines(machine, [made.zone("halls", 1)], rings) == [
        "the hole for 14:00 would also ring zone halls at 02:00"
    ]


def test_a_hole_that_passes_again_inside_the_silences_is_not() -> None:
    # Silenced from 16:15 to 08:15: the hole for 14:00 passes again at 02:00.
    rings = [made.ring(f"{MONDAY} 14:00", "halls")]
    assert headlines(made.half_day_machine(), [made.zone("halls", 1)], rings) == []


def test_a_silence_of_one_zone_does_not_cover_another() -> None:
    silence = DailySilence(0, 6 * 3600, ("oval",), made.NOWHERE)
    machine = made.half_day_machine()._replace(daily_silences=(silence,))
    zones = [made.zone("halls", 1), made.zone("oval", 2)]
    rings = [made.ring(f"{MONDAY} 14:00", name) for name in ("halls", "oval")]
    assert headlines(machine, zones, rings) == ["the hole for 14:00 would also ring zone halls at 02:00"]


def masked(machine: Machine, zone: str, weekday: int, seconds: int) -> bool:
    # 2026-09-07 is a Monday.
    return is_masked(read_masks(machine, [zone]), zone, midnight(date(2026, 9, 7 + weekday)) + seconds)


@pytest.mark.parametrize(
    ("at", "silenced"),
    [("16:14", False), ("16:15", True), ("23:59", True), ("00:00", True), ("08:14", True), ("08:15", False)],
)
def test_a_silence_over_midnight_holds_its_start_and_not_its_end(at: str, silenced: bool) -> None:
    hours, minutes = map(int, at.split(":"))
    assert masked(made.half_day_machine(), "halls", 1, hours * 3600 + minutes * 60) is silenced


@pytest.mark.parametrize(
    ("weekday", "at", "silenced"),
    [(5, 0, False), (5, 1799, False), (5, 1800, True), (6, 43_200, True), (0, 1799, True), (0, 1800, False)],
)
def test_a_day_wheel_silences_from_its_turning_to_the_next(weekday: int, at: int, silenced: bool) -> None:
    machine = made.day_machine()._replace(day_wheels=(DayWheel((5, 6), 1800, None, None, made.NOWHERE),))
    assert masked(machine, "main", weekday, at) is silenced


@pytest.mark.parametrize(
    ("turning", "within", "weekday", "at", "surely", "unsure"),
    [
        (1800, 300, 5, 1499, False, False),
        (1800, 300, 5, 1500, False, True),
        (1800, 300, 5, 2099, False, True),
        (1800, 300, 5, 2100, True, False),
        (1800, 300, 6, 1800, True, False),  # from one silent day to the next the wheel changes nothing
        (None, None, 4, 82_799, False, False),
        (None, None, 4, 82_800, False, True),  # nobody said when it turns: an hour about midnight
        (None, None, 5, 3_599, False, True),
        (None, None, 5, 3_600, True, False),
    ],
)
def test_about_its_turning_nobody_knows_what_a_wheel_silences(
    turning: int | None, within: int | None, weekday: int, at: int, *, surely: bool, unsure: bool
) -> None:
    tolerance = None if within is None else made.seconds(within)
    wheel = DayWheel((5, 6), turning, tolerance, None, made.NOWHERE)
    masks = read_masks(made.day_machine()._replace(day_wheels=(wheel,)), ["main"])
    local_s = midnight(date(2026, 9, 7 + weekday)) + at
    assert is_surely_masked(masks, "main", local_s) is surely
    assert is_unsure(masks, "main", local_s) is unsure


def test_a_ring_while_the_wheel_may_be_turning_is_said_to_be_unchecked() -> None:
    wheel = DayWheel((5, 6), 1800, made.seconds(300), None, made.NOWHERE)
    machine = made.day_machine()._replace(day_wheels=(wheel,))
    tapes = made.tapes_of([made.zone("main", 1)], machine, [made.ring("2026-09-12 00:26", "main")])
    assert (
        "Whether the day wheel lets zone main ring at 00:26 (first on Sat 2026-09-12): it may be turning then."
        in tapes.unchecked
    )


# --------------------------------------------------------------------- geometry


@pytest.mark.parametrize(
    ("length_nm", "written"),
    [
        (0, "0"),
        (2_540_000, "2.54"),
        (12_500_000, "12.5"),
        (3_000_000, "3"),
        (1, "0.000001"),
        (-100_000, "-0.1"),
    ],
)
def test_lengths_are_written_exactly(length_nm: int, written: str) -> None:
    assert write_mm(length_nm) == written


def test_a_round_hole_is_as_wide_as_it_is_long_and_a_slot_is_not() -> None:
    assert hole_size(made.day_machine()) == (1_830_000, 1_830_000)
    assert hole_size(made.week_machine()) == (2_400_000, 1_600_000)
    assert hole_size(made.bare_machine()) == (None, None)


# ------------------------------------------------------------------- who hears what


@pytest.mark.parametrize(
    ("wiring", "tied", "hearing"),
    [
        ({"a": (1,), "b": (2,)}, True, {1: ("a",), 2: ("b",)}),
        ({"a": (1, 2), "b": (2, 3), "c": (3,), "d": (4,)}, False, {1: ("a",), 2: ("a", "b"), 3: ("b", "c"), 4: ("d",)}),
        # a and b share track 2, b and c track 3: tied, the three hear all of it.
        (
            {"a": (1, 2), "b": (2, 3), "c": (3,), "d": (4,)},
            True,
            {1: ("a", "b", "c"), 2: ("a", "b", "c"), 3: ("a", "b", "c"), 4: ("d",)},
        ),
    ],
)  # fmt: skip
def test_tied_contacts_join_zones_that_share_a_track(
    wiring: dict[str, tuple[int, ...]], tied: bool, hearing: dict[int, tuple[str, ...]]
) -> None:
    assert hearing_of(wiring, tied=tied) == hearing
    contacts: tuple[Literal["separate", "tied"], Span] = ("tied" if tied else "separate", made.NOWHERE)
    machine = made.day_machine()._replace(contacts=contacts)
    assert {t: tuple(sorted(z)) for t, z in hearers(machine, tuple(wiring.items())).items()} == hearing


def test_a_zone_without_a_switch_of_its_own_cannot_be_silenced_alone() -> None:
    machine = made.day_machine()._replace(
        day_wheels=(), switches=Switches("some zones", ("yard",), made.spot("switches yard"))
    )
    zones = [made.zone("main", 1), made.zone("yard", 2)]
    rings = [made.ring(f"2026-09-07 {at}", zone) for at in ("09:00", "10:00") for zone in ("main", "yard")]
    # The tape stays on after the last ring, and rings again at nine next morning.
    assert headlines(machine, zones, rings) == [
        "zone main would ring on Tue 2026-09-08 at 09:00, and nobody can keep it from that"
    ]


def test_a_programme_of_which_nothing_rings_needs_no_tape_and_no_hand() -> None:
    empty = RingCalendar((), (), (), (), (), ())
    result = lay_out(made.programme([made.zone("main", 1)], made.day_machine()), empty)
    assert result.tapes is not None
    assert (result.tapes.tapes, result.tapes.operation.duties, result.tapes.operation.days) == ((), (), ())
