"""The mechanics of tape machines against examples that were worked out by hand.

Four invented machines: P steps and drops in, Q creeps under a brush, R reads round-ended slots through a printed
template, and the last rings without a gate. The numbers were worked out on paper from the formulas; they come
from no published source. Beside them stand what follows from published measures of inch-wide punched tape
(holes of 1.83 mm within 0.05 mm on a pitch of 2.54 mm, drive holes of 1.17 mm whose line lies 9.96 mm from the
guided edge: a service manual of a data punch, confirmed by two other sources; a pitch that adds up to at most
0.007 in over 5 in: a telegraph punch adjustment practice, section 573-118-100, 2.33).
"""

import pytest

from chime.mechanics import budget, gating, merging, neighbours, seam, steady, stepped, webs
from chime.mechanics.closed_length import (
    HoleShape,
    TipShape,
    ball_radius,
    closed_beside,
    closed_length,
    closed_lengths,
    lateral_left,
    least_diameter,
    round_hole,
    round_tip,
)
from chime.mechanics.stepped import Interval


def about(value: float, digits: int = 3) -> object:
    """The value as it is printed, to its last digit and half a unit of it."""
    return pytest.approx(value, abs=0.5001 * 10**-digits)


# ------------------------------------------------------------ P: steps, drops in, with a gate

P_PITCH, P_STEP_S = 2.40, 0.25
P = closed_lengths(round_hole(1.60), 0.05, round_tip(0.70), 0.05, "drops in", 0.20)
P_BUDGET = budget.sum_up([0.10, 0.05, 0.03, 0.08])


def test_p_has_its_closed_lengths() -> None:
    assert (P.nominal_mm, P.least_mm, P.greatest_mm) == (about(0.900), about(0.693), about(1.000))


def test_p_has_its_budget_and_its_margin() -> None:
    assert (P_BUDGET.worst_mm, P_BUDGET.likely_mm) == (about(0.26, 2), about(0.141))
    allowance = stepped.position_allowance(P.least_mm, P.greatest_mm, P_PITCH)
    assert (allowance, allowance - P_BUDGET.worst_mm) == (about(0.346), about(0.086))
    assert stepped.neighbour_row_allowance(P.greatest_mm, P_PITCH) == about(1.900)
    wider = closed_lengths(round_hole(1.80), 0.05, round_tip(0.70), 0.05, "drops in", 0.20)
    assert (wider.least_mm, wider.least_mm / 2 - 0.26) == (about(0.917), about(0.198))


def test_p_has_lateral_slack_and_a_least_hole() -> None:
    assert lateral_left(0.800, 0.520) == about(0.304)
    assert least_diameter(0.52, 0.70, 0.05, "drops in", 0.20) == about(1.406)


def test_p_closes_and_opens_on_time() -> None:
    nominal = stepped.closed_interval(P.nominal_mm, 0.0, P_PITCH, P_STEP_S, 60)
    assert nominal.starts_s == about(0.203)
    assert gating.latest_on(P.least_mm, 0.26, P_PITCH, P_STEP_S) == about(0.241)
    assert gating.earliest_off(P.least_mm, 0.26, P_PITCH, P_STEP_S, 60) == about(60.009)
    assert stepped.dwell(P.nominal_mm, P_PITCH, P_STEP_S, 60) == about(59.844)
    assert stepped.dwell(P.least_mm, P_PITCH, P_STEP_S, 60) == about(59.822)
    gaps = [stepped.open_between(c, P_PITCH, P_STEP_S) for c in (P.nominal_mm, P.greatest_mm, P.least_mm)]
    assert gaps == [about(0.156), about(0.146), about(0.178)]


def test_p_lets_its_gate_make_and_break_the_load() -> None:
    relay = gating.RelayTimes(0.03, 0.02, 0.02)
    assert gating.clean_start(0.241, 0.02, 8.0, 0.5) == about(7.5 - 0.261)
    assert gating.clean_end(60.009, 14.0, 0.5) == about(60.009 - 14.5)
    closed = stepped.closed_interval(P.nominal_mm, 0.0, P_PITCH, P_STEP_S, 60)
    assert gating.ring_length(closed, Interval(8.0, 14.0), relay) == about(5.99, 2)
    assert not gating.rows_overlap(P.least_mm, P.greatest_mm, P_PITCH)


def test_p_keeps_its_web_at_one_setting_of_the_jig_only() -> None:
    once = webs.placing_error(0.10, 0.05, same_setting=True)
    anew = webs.placing_error(0.10, 0.05, same_setting=False)
    assert webs.web_along(1, P_PITCH, 1.65, once) == about(0.55, 2)
    assert webs.web_along(1, P_PITCH, 1.65, anew) == about(0.45, 2)
    assert webs.web_along(1, P_PITCH, 1.85, once) == about(0.35, 2)
    assert webs.usual_web(1.6) == 0.5
    assert webs.longest_hole(P_PITCH, 0.50, once) == about(1.70, 2)


def test_p_reads_no_neighbour() -> None:
    largest = round_hole(1.65), round_tip(0.75)
    assert neighbours.clear_of_neighbour(*largest, 4.00, 0.20) == about(2.60, 2)


# ------------------------------------------------------------------ Q: creeps under a brush

Q_SPEED = steady.speed(1.50, 60)
Q_BRUSH = TipShape("rectangle", 0.50, 0.40)
Q = closed_lengths(round_hole(1.20), 0.05, Q_BRUSH, 0.0, "brushes", 0.50, 0.10)


def test_q_has_its_closed_lengths() -> None:
    assert pytest.approx(0.025) == Q_SPEED
    assert (Q.nominal_mm, Q.nominal_mm / Q_SPEED) == (about(1.70, 2), about(68.0, 1))
    assert (Q.least_mm, Q.least_mm / Q_SPEED) == (about(1.481), about(59.2, 1))
    assert (Q.greatest_mm, Q.greatest_mm / Q_SPEED) == (about(1.85, 2), about(74.0, 1))


def test_q_is_bound_by_its_large_holes() -> None:
    whole = steady.whole_ring(Q.least_mm, 0.0, Q_SPEED, 5, 2)
    second = steady.no_second_ring(Q.greatest_mm, 0.0, Q_SPEED, 5, -2, 60)
    assert (whole, whole / Q_SPEED) == (about(0.628), about(25.1, 1))
    assert (second, second / Q_SPEED) == (about(0.4625, 4), about(18.5, 1))


def test_q_without_its_gate_merges_minutes_that_follow_each_other() -> None:
    assert merging.open_travel(1, 1.50, Q.nominal_mm) < 0
    assert merging.merged_closed(2, 1.50, Q.nominal_mm) / Q_SPEED == about(128, 0)
    assert merging.merged_closed(3, 1.50, Q.nominal_mm) / Q_SPEED == about(188, 0)
    open_s = merging.open_travel(2, 1.50, Q.nominal_mm) / Q_SPEED
    assert open_s == about(52, 0)
    assert merging.are_heard_apart(open_s, 0.02)
    assert steady.ungated_length(Q.nominal_mm, Q_SPEED) == about(68, 0)


def test_q_reads_no_neighbour() -> None:
    clear = neighbours.clear_of_neighbour(round_hole(1.35), Q_BRUSH, 3.00, 0.50)
    assert clear == about(1.625)
    assert neighbours.widest_brush(round_hole(1.35), 3.00, 0.50) == about(1.825)


# ------------------------------------------- R: round-ended slots, rectangular tip, printed template

R_SLOT, R_TIP = HoleShape("rounded slot", 1.60, 1.20), TipShape("rectangle", 0.50, 0.60)


def test_r_is_sensitive_to_lateral_wander() -> None:
    lengths = [closed_length(R_SLOT, R_TIP, "drops in", y) for y in (0.0, 0.15, 0.25)]
    assert lengths == [about(0.939), about(0.694), about(0.380)]
    assert stepped.position_allowance(lengths[1], lengths[0], 2.00) == about(0.347)
    assert stepped.neighbour_row_allowance(lengths[0], 2.00) == about(1.530)


def test_r_must_not_be_punched_through_a_print_of_the_wrong_scale() -> None:
    scale = (249.3 - 250) / 250
    assert scale == pytest.approx(-0.0028)
    assert budget.print_error(scale, 2880) == about(8.06, 2)
    assert budget.print_error(scale, 240) == about(0.672)
    assert budget.print_error(scale, 120) == about(0.336)
    others = budget.sum_up([0.15, 0.05, 0.04]).worst_mm
    assert others == about(0.24, 2)
    assert budget.sum_up([0.15, 0.05, 0.04, 0.336]).worst_mm > 0.347
    assert budget.error_per_row(0.347, others, 120) == about(0.00089, 5)
    assert budget.error_per_row(0.347, others, 60) == about(0.00178, 5)
    assert 0.347 - budget.sum_up([0.15, 0.05, 0.04, 0.048]).worst_mm == about(0.059)


def test_r_drifts_with_one_drive_hole_too_many() -> None:
    assert budget.drift_per_cycle(1, 2) == 2  # rows of a minute: two minutes late every day
    assert budget.drift_per_cycle(-1, 2) == -2
    assert budget.friction_drift(1440 * 2.00 * 1.001, 2.00, 1440) == about(1.44, 2)


# ----------------------------------------------------------------- without a gate by design


def test_a_machine_without_a_gate_is_timed_by_its_slots() -> None:
    speed = steady.speed(3.00, 60)
    slot, tip = HoleShape("square slot", 1.40, 1.20), TipShape("rectangle", 0.80, 0.60)
    lengths = closed_lengths(slot, 0.05, tip, 0.03, "drops in", 0.0)
    assert [c / speed for c in lengths] == [about(10.4, 1), about(12.0, 1), about(13.6, 1)]
    assert (steady.late_shift(lengths.nominal_mm), steady.late_shift(lengths.nominal_mm) / speed) == (
        about(0.30, 2),
        about(6.0, 1),
    )
    assert steady.start_errors(*lengths, 0.15, speed).worst_s == about(3.8, 1)
    assert merging.open_travel(1, 3.00, lengths.nominal_mm) / speed == about(48, 0)
    longer = closed_length(slot._replace(along_mm=1.80), tip, "drops in", 0.0)
    assert (longer / speed, steady.late_shift(longer) / speed) == (about(20, 0), about(10.0, 1))
    assert steady.start_limit(60) == 30
    assert steady.start_limit(300) == 30
    assert steady.start_limit(30) == 15


# ---------------------------------------------------------------------- single examples


def test_a_ball_is_a_smaller_flat_tip() -> None:
    assert ball_radius(0.60, 0.15) == about(0.397)
    assert ball_radius(0.60, 0.60) == ball_radius(0.60, 0.90) == 0.60


def test_a_pin_catches_on_the_cusps_of_holes_that_overlap() -> None:
    half = merging.cusp_half_width(1.60, 1, 1.20)
    assert half == about(0.529)
    assert merging.passes_cusps(half, 0.70, 0.179) == about(0.0)
    assert merging.cusp_half_width(1.60, 2, 1.20) == -1


def test_pins_bear_only_so_much_error_of_pitch() -> None:
    spaces = budget.spaces_in_mesh(24, 150)
    assert spaces == 10
    assert budget.mesh_allowance(1.20, 1.00, spaces) == about(0.02, 2)


def test_a_tape_is_far_from_tearing() -> None:
    assert webs.tension(3, 0.2, 40, 6 * 1.6 + 2 * 2.0) == about(0.57, 2)


def rows(*times: str) -> list[int]:
    return [int(time[:2]) * 60 + int(time[3:]) for time in times]


SCHOOL = rows(
    *("08:40", "08:45", "09:35", "09:45", "10:25", "10:30", "10:45", "10:50", "11:05", "11:35", "11:45"),
    *("12:05", "12:10", "12:25", "12:40", "12:45", "13:00", "13:05", "13:10", "14:05", "15:05"),
)
DAY = [*SCHOOL, *rows("06:30", "19:00", "20:30", "21:00")]


def test_the_joint_lies_in_the_longest_free_run() -> None:
    """24 h: free from 21:00 to 06:30, with the seam in its middle at 01:45."""
    runs = seam.free_runs(DAY, 1440)
    assert [run.rows + 1 for run in runs[:3]] == [570, 235, 130]
    assert seam.middle_of(runs[0], 1440) == rows("01:45")[0]
    guard = seam.guard_rows(0.05, 0.8, 2.40)
    assert guard == 6
    assert seam.room_for_lap(runs[0], 12, guard) == 569 - 24
    assert seam.room_for_lap(runs[0], 600, guard) < 0
    # In the middle, 278 and 279 rows stand beside a lap of 12: half of what is left over, and no more.
    assert seam.room_beside(278, 279, guard) == (569 - 24) // 2


def test_the_seam_that_is_right_on_a_day_loop_is_wrong_on_twelve_hours() -> None:
    runs = seam.free_runs([row % 720 for row in DAY], 720)
    assert [run.rows + 1 for run in runs[:2]] == [205, 90]
    assert seam.middle_of(runs[0], 720) in (rows("04:47")[0], rows("04:48")[0])  # 04:47 and a half
    (around,) = [run for run in runs if run.after_row < rows("01:45")[0] <= run.after_row + run.rows]
    assert around.rows + 1 == 55  # 01:45 is 13:45 too, between 13:10 and 14:05


# -------------------------------------------------------- published measures of punched tape

DATA_HOLE, DRIVE_HOLE, GRID = 1.83, 1.17, 2.54


def test_the_webs_of_inch_wide_tape_follow_from_its_published_measures() -> None:
    assert webs.web_along(1, GRID, DATA_HOLE, 0.0) == about(0.71, 2)
    assert webs.web_between_round(0.0, GRID, DATA_HOLE, DRIVE_HOLE) == about(1.04, 2)
    assert about(1.425) == 9.96 - 3 * GRID - DATA_HOLE / 2
    assert about(1.825) == 25.40 - (9.96 + 5 * GRID) - DATA_HOLE / 2


@pytest.mark.parametrize(
    ("beside", "chord"), [(0.0, 1.830), (0.1, 1.819), (0.2, 1.786), (0.3, 1.729), (0.5, 1.533)]
)
def test_the_chord_of_a_data_hole_shrinks_beside_its_middle(beside: float, chord: float) -> None:
    assert closed_beside(DATA_HOLE, beside) == about(chord)
    assert closed_length(round_hole(DATA_HOLE), round_tip(0.0), "drops in", beside) == about(chord)


def test_a_pin_of_eight_tenths_closes_so_long_at_a_row_a_minute() -> None:
    speed = steady.speed(GRID, 60)
    hole, tip = round_hole(DATA_HOLE), round_tip(0.8)
    assert steady.ungated_length(closed_length(hole, tip, "drops in", 0.0), speed) == about(24.3, 1)
    assert steady.ungated_length(closed_length(hole, tip, "brushes", 0.0), speed) == about(62.1, 1)


def test_a_day_of_minutes_drifts_by_two_rows_if_nothing_but_the_pitch_holds_it() -> None:
    length = 1440 * GRID
    assert length == about(3657.6, 1)
    share = 0.178 / 127
    assert budget.stretch_error(share, length) == about(5.1, 1)
    assert budget.friction_drift(length * (1 + share), GRID, 1440) == about(2.0, 1)


def test_the_pitches_of_film_are_whole_nanometres_and_keep_their_sum() -> None:
    """0.1870 in is 4.7498 mm; 100 pitches are 18.700 in within 0.015 in (SMPTE 102-2002, table 1)."""
    assert round(0.1870 * 25.4, 4) == 4.7498
    assert budget.stretch_error(0.015 / 18.700, 1008 * 4.750) == about(3.8, 1)
