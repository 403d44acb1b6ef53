"""Readings of test holes held against other shapes than a round tip over a round hole.

Where the tip is a rectangle, or the test holes are slots, a round tip that is fitted all the same says that a
contact beside the middle is closed for shorter, or longer, than it is. So the readings are fitted to each
shape, and what fits plainly better is what was read.
"""

from collections.abc import Callable, Mapping, Sequence
from math import log, sqrt
from typing import Literal

from chime.mechanics.calibration import Calibrated, Reading
from chime.mechanics.closed_length import Mode
from chime.records import NamedTuple

_WIDEST_MM, _COARSE_MM, _FINE_MM = 3.0, 0.05, 0.005
_FARTHEST_BESIDE_MM, _SEARCHES, _ROUNDS = 0.6, 24, 3
_PLAINLY = 20.0
"""Another shape is plainly the right one where n ln(S / S') is larger, S being the squares of what is left
over of n readings: far more than chance gives (a difference of Akaike's criterion)."""
_ABOUT, _NOTHING = 1.5, 1e-12
_SEEN_MM = 0.015
"""What is left over that nobody would see: half of what a calliper reads (common practice, no source)."""


class CalibratedRectangle(NamedTuple):
    """A rectangular tip that was fitted, where each finger stands, and what is left over, all in mm."""

    along_mm: float
    across_mm: float
    beside_mm: Mapping[int, float]
    residuals_mm: tuple[float, ...]

    def within_mm(self) -> float:
        """Return the tolerance of the tip: the largest residual."""
        return max(abs(residual) for residual in self.residuals_mm)


def plain_shape(
    found: Calibrated, rectangle: CalibratedRectangle, readings: Sequence[Reading]
) -> Literal["round", "rectangle", "flat"]:
    """Tell which shape the readings have: that of a round tip, unless another fits plainly better.

    They are flat where a contact is closed as long beside its track as in the middle: under a wide brush, or
    over slots.
    """
    if found.within_mm() <= _SEEN_MM:
        return "round"
    own, flat, other = (
        _squares(left) + _NOTHING
        for left in (found.residuals_mm, _left_of_flat(readings), rectangle.residuals_mm)
    )
    if len(readings) * log(own / min(flat, other)) < _PLAINLY:
        return "round"
    return "flat" if flat <= other * _ABOUT else "rectangle"


def _squares(values: Sequence[float]) -> float:
    return sum(value * value for value in values)


def _left_of_flat(readings: Sequence[Reading]) -> list[float]:
    """Return what is left over where a closed length does not depend on how far beside a hole is."""
    shorter = sum(reading.hole_mm - reading.closed_mm for reading in readings) / len(readings)
    return [reading.closed_mm - (reading.hole_mm - shorter) for reading in readings]


def calibrate_rectangle(
    readings: Sequence[Reading], mode: Mode, beside_mm: Mapping[int, float]
) -> CalibratedRectangle:
    """Fit a rectangular tip and each finger's place, by least squares; `beside_mm` is where to begin.

    c = 2 sqrt(R^2 - (|y - y0| + w/2)^2) - l for one that drops in, 2 sqrt(R^2 - max(0, |y - y0| - w/2)^2) + l
    for a brush. The width w is searched for; with it the length l is the mean of what is left.
    """
    widest = min(_WIDEST_MM, min(reading.hole_mm for reading in readings))
    coarse = [_COARSE_MM * n for n in range(1, int(widest / _COARSE_MM))]
    about = _best(coarse or [_COARSE_MM], readings, mode, beside_mm).across_mm
    steps = round(_COARSE_MM / _FINE_MM)
    fine = [about + _FINE_MM * n for n in range(-steps, steps + 1) if about + _FINE_MM * n > 0]
    return _best(fine, readings, mode, beside_mm)


def side_play_of_rectangle(readings: Sequence[Reading], found: CalibratedRectangle, mode: Mode) -> float:
    """Return the side play that the readings show: how far a finger stands beside its track, and wanders.

    A closed length tells how far beside its hole the tip was: sqrt(R^2 - ((c + l)/2)^2) - w/2 for one that
    drops in, and likewise with - l and + w/2 for a brush. What that differs by it wandered.
    """
    sign = -1.0 if mode == "drops in" else 1.0
    most = max(abs(finger) for finger in found.beside_mm.values())
    for reading in readings:
        squared = (reading.hole_mm / 2) ** 2 - ((reading.closed_mm - sign * found.along_mm) / 2) ** 2
        meant = abs(reading.beside_mm - found.beside_mm[reading.track])
        if reading.beside_mm and squared > 0 and meant + sign * -found.across_mm / 2 > 0:
            wandered = abs(sqrt(squared) + sign * found.across_mm / 2 - meant)
            most = max(most, abs(found.beside_mm[reading.track]) + wandered)
    return most


def with_width(
    readings: Sequence[Reading], mode: Mode, found: CalibratedRectangle, width_mm: float
) -> CalibratedRectangle:
    """Fit a rectangular tip of a width that is known, from one that was fitted."""
    return _with_width(width_mm, readings, mode, found.beside_mm)


def _best(
    widths: Sequence[float], readings: Sequence[Reading], mode: Mode, beside_mm: Mapping[int, float]
) -> CalibratedRectangle:
    fits = [_with_width(width, readings, mode, beside_mm) for width in widths]
    return min(fits, key=lambda fit: (_squares(fit.residuals_mm), fit.across_mm))


def _with_width(
    width: float, readings: Sequence[Reading], mode: Mode, beside_mm: Mapping[int, float]
) -> CalibratedRectangle:
    sign = -1.0 if mode == "drops in" else 1.0
    fingers = dict(beside_mm)
    length = _length(readings, fingers, width, sign)
    for _ in range(_ROUNDS):
        for track in fingers:
            own = [reading for reading in readings if reading.track == track]
            fingers[track] = _place(own, length, width, sign)
        length = _length(readings, fingers, width, sign)
    left = tuple(r.closed_mm - _chord(r, fingers[r.track], width, sign) - sign * length for r in readings)
    return CalibratedRectangle(length, width, fingers, left)


def _length(readings: Sequence[Reading], fingers: Mapping[int, float], width: float, sign: float) -> float:
    differences = (r.closed_mm - _chord(r, fingers[r.track], width, sign) for r in readings)
    return sign * sum(differences) / len(readings)


def _chord(reading: Reading, finger: float, width: float, sign: float) -> float:
    offset = max(0.0, abs(reading.beside_mm - finger) - sign * width / 2)
    squared = (reading.hole_mm / 2) ** 2 - offset**2
    return 2 * sqrt(squared) if squared > 0 else 0.0


def _place(own: Sequence[Reading], length: float, width: float, sign: float) -> float:
    def left(finger: float) -> float:
        return _squares([r.closed_mm - _chord(r, finger, width, sign) - sign * length for r in own])

    return _narrow(left, -_FARTHEST_BESIDE_MM, _FARTHEST_BESIDE_MM)


def _narrow(left: Callable[[float], float], low: float, high: float) -> float:
    """Return where a function with one valley is lowest, leaving a third away each time."""
    for _ in range(_SEARCHES):
        first, second = low + (high - low) / 3, high - (high - low) / 3
        low, high = (low, second) if left(first) <= left(second) else (first, high)
    return (low + high) / 2
