"""The fit of test holes: fingers of known size and place are read, and must be found again.

The closed lengths come from the formula of round holes and tips, which is held against drawn shapes elsewhere;
what is fitted here is known beforehand.
"""

from random import Random

import pytest

from chime.mechanics.calibration import (
    Reading,
    calibrate,
    expected,
    finger_beside,
    side_play,
    slope_of_sizes,
)
from chime.mechanics.calibration_shapes import calibrate_rectangle, plain_shape, side_play_of_rectangle
from chime.mechanics.closed_length import HoleShape, Mode, TipShape, closed_length, round_hole, round_tip

PLACES = [(hole, beside) for hole in (1.5, 1.8, 2.1) for beside in (-0.3, 0.0, 0.3)]


def read_with(tip_mm: float, finger_mm: float, *, brush: bool = False, track: int = 1) -> list[Reading]:
    """What a round tip beside its track reads on the test tape."""
    mode: Mode = "brushes" if brush else "drops in"
    return [
        Reading(
            track,
            hole,
            beside,
            closed_length(round_hole(hole), round_tip(tip_mm), mode, beside - finger_mm),
        )
        for hole, beside in PLACES
    ]


@pytest.mark.parametrize("finger", [-0.12, 0.0, 0.07])
@pytest.mark.parametrize(("tip", "brush", "allowance"), [(0.7, False, 0.7), (0.45, True, -0.45)])
def test_a_finger_of_known_size_and_place_is_found_again(
    tip: float, brush: bool, allowance: float, finger: float
) -> None:
    found = calibrate(read_with(tip, finger, brush=brush))
    assert found.allowance_mm == pytest.approx(allowance, abs=1e-5)
    assert found.beside_mm[1] == pytest.approx(finger, abs=1e-5)
    assert found.within_mm() < 1e-5
    assert side_play(read_with(tip, finger, brush=brush), found) == pytest.approx(abs(finger), abs=1e-4)


def test_readings_with_errors_give_the_finger_within_them() -> None:
    draw = Random(4)  # noqa: S311 - no secret
    readings = [
        r._replace(closed_mm=r.closed_mm + draw.uniform(-0.02, 0.02)) for r in read_with(0.7, 0.1) * 3
    ]
    found = calibrate(readings)
    assert found.allowance_mm == pytest.approx(0.7, abs=0.02)
    assert found.beside_mm[1] == pytest.approx(0.1, abs=0.03)
    assert 0.005 < found.within_mm() < 0.045
    assert side_play(readings, found) > 0.1


def test_each_track_has_a_finger_of_its_own() -> None:
    found = calibrate([*read_with(0.7, 0.1), *read_with(0.7, -0.05, track=2)])
    assert found.beside_mm[1] == pytest.approx(0.1, abs=1e-4)
    assert found.beside_mm[2] == pytest.approx(-0.05, abs=1e-4)


def test_two_holes_on_either_side_tell_where_the_finger_stands() -> None:
    """Worked out by hand: D - e = 1.0 and y0 = 0.05; at +0.2 c^2 = 1 - 4 x 0.0225, at -0.2 1 - 4 x 0.0625."""
    plus, minus = 0.91**0.5, 0.75**0.5
    assert finger_beside(plus, minus, 0.2) == pytest.approx((0.91 - 0.75) / 3.2)
    assert expected(0.8, 0.05, Reading(1, 1.8, 0.2, 0.0)) == pytest.approx(plus)


def test_a_rectangular_tip_shows_in_the_slope_of_the_sizes() -> None:
    """c = sqrt(D^2 - w^2) - l grows faster than D: a round tip has a slope of 1."""
    tip = TipShape("rectangle", 0.5, 0.9)
    blade = [
        Reading(1, d, 0.0, closed_length(HoleShape("round", d, d), tip, "drops in", 0.0))
        for d in (1.2, 1.5, 1.8)
    ]
    slope, round_one = slope_of_sizes(blade), slope_of_sizes(read_with(0.7, 0.0))
    assert slope is not None
    assert slope > 1.2
    assert round_one == pytest.approx(1.0)
    assert slope_of_sizes(blade[:1]) is None


@pytest.mark.parametrize("brush", [False, True], ids=["drops in", "brushes"])
@pytest.mark.parametrize("error_mm", [0.0, 0.01, 0.03, 0.05])
def test_a_round_tip_is_never_taken_for_another_shape(error_mm: float, *, brush: bool) -> None:
    for seed in range(12):
        draw = Random(seed)  # noqa: S311 - no secret
        tip, finger = draw.uniform(0.4, 0.9), draw.uniform(-0.08, 0.08)
        readings = [
            r._replace(closed_mm=r.closed_mm + draw.uniform(-error_mm, error_mm))
            for r in read_with(tip, finger, brush=brush)
            if r.closed_mm > 0.1
        ]
        found = calibrate(readings)
        rectangle = calibrate_rectangle(readings, "brushes" if brush else "drops in", found.beside_mm)
        assert plain_shape(found, rectangle, readings) == "round", seed


@pytest.mark.parametrize(
    ("along", "across", "mode"),
    [
        *((0.8, 0.6, "drops in"), (0.5, 0.3, "drops in"), (0.6, 0.4, "drops in")),
        *((0.5, 0.3, "brushes"), (0.6, 0.2, "brushes")),  # wider ones are flat where the holes are
    ],
)
def test_a_rectangle_is_found_again(along: float, across: float, mode: Mode) -> None:
    tip = TipShape("rectangle", along, across)
    readings = [
        Reading(1, hole, beside, closed_length(round_hole(hole), tip, mode, beside - 0.04))
        for hole in (1.5, 1.8, 2.1)
        for beside in (-0.3, -0.15, 0.0, 0.15, 0.3)
    ]
    readings = [reading for reading in readings if reading.closed_mm]
    found = calibrate_rectangle(readings, mode, {1: 0.0})
    assert found.along_mm == pytest.approx(along, abs=0.006)
    assert found.across_mm == pytest.approx(across, abs=0.006)
    assert found.beside_mm[1] == pytest.approx(0.04, abs=0.006)
    assert plain_shape(calibrate(readings), found, readings) == "rectangle"
    assert side_play_of_rectangle(readings, found, mode) == pytest.approx(0.04, abs=0.02)
