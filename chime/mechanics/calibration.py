"""The reading allowance and the side play of fingers, from a tape of test holes (the measured allowance).

The tape is turned slowly over round holes of several sizes, some set to one side of their track, and a meter
tells at which place each contact makes and breaks. A hole of diameter D that stands y beside the track closes
the contact over c = sqrt((D - e)^2 - 4 (y - y0)^2): e is the allowance, below nothing for a brush, and y0 how
far the finger itself stands beside its track. With holes on both sides y0 = (c(+y)^2 - c(-y)^2) / (16 y).
"""

from collections.abc import Mapping, Sequence
from math import sqrt

from chime.records import NamedTuple

_ROUNDS = 60
_SMALL_MM = 1e-7


class Reading(NamedTuple):
    """One test hole: its track, its diameter, how far beside the track it is, and its closed length; mm."""

    track: int
    hole_mm: float
    beside_mm: float
    closed_mm: float


class Calibrated(NamedTuple):
    """What was fitted: the allowance, how far each finger stands beside its track, and what is left over.

    `residuals_mm` are measured less fitted closed lengths, in the order of the readings.
    """

    allowance_mm: float
    beside_mm: Mapping[int, float]
    residuals_mm: tuple[float, ...]

    def within_mm(self) -> float:
        """Return the tolerance of the allowance: the largest residual."""
        return max(abs(residual) for residual in self.residuals_mm)


def finger_beside(closed_plus_mm: float, closed_minus_mm: float, beside_mm: float) -> float:
    """Return y0 of a finger from two holes of one size, set to the one side and to the other."""
    return (closed_plus_mm**2 - closed_minus_mm**2) / (16 * beside_mm)


def expected(allowance_mm: float, finger_mm: float, reading: Reading) -> float:
    """Return the closed length that a reading should have."""
    squared = (reading.hole_mm - allowance_mm) ** 2 - 4 * (reading.beside_mm - finger_mm) ** 2
    return sqrt(squared) if squared > 0 else 0.0


def calibrate(readings: Sequence[Reading]) -> Calibrated:
    """Fit the allowance and each finger's place to readings, by least squares of the closed lengths."""
    allowance = _middle([reading.hole_mm - _in_middle(reading) for reading in readings])
    fingers = dict.fromkeys(sorted({reading.track for reading in readings}), 0.0)
    for _ in range(_ROUNDS):
        moved = abs(change := _better_allowance(readings, allowance, fingers))
        allowance += change
        for track in fingers:
            step = _better_place([r for r in readings if r.track == track], allowance, fingers[track])
            fingers[track] += step
            moved = max(moved, abs(step))
        if moved < _SMALL_MM:
            break
    left = tuple(r.closed_mm - expected(allowance, fingers[r.track], r) for r in readings)
    return Calibrated(allowance, fingers, left)


def _in_middle(reading: Reading) -> float:
    return sqrt(reading.closed_mm**2 + 4 * reading.beside_mm**2)


def _middle(values: list[float]) -> float:
    return sum(values) / len(values)


def _better_allowance(readings: Sequence[Reading], allowance: float, fingers: Mapping[int, float]) -> float:
    """Return a Gauss-Newton step of the allowance, the fingers staying where they are."""
    above = below = 0.0
    for reading in readings:
        fitted = expected(allowance, fingers[reading.track], reading)
        if fitted > 0:
            slope = -(reading.hole_mm - allowance) / fitted
            above += slope * (reading.closed_mm - fitted)
            below += slope * slope
    return above / below if below else 0.0


def _better_place(readings: Sequence[Reading], allowance: float, finger: float) -> float:
    """Return a Gauss-Newton step of a finger's place, the allowance staying as it is."""
    above = below = 0.0
    for reading in readings:
        fitted = expected(allowance, finger, reading)
        if fitted > 0:
            slope = 4 * (reading.beside_mm - finger) / fitted
            above += slope * (reading.closed_mm - fitted)
            below += slope * slope
    return above / below if below else 0.0


def side_play(readings: Sequence[Reading], found: Calibrated) -> float:
    """Return the side play that the readings show: how far a finger stands beside its track, and wanders.

    What a closed length beside the middle differs by is taken for wandering: y = sqrt((D - e)^2 - c^2) / 2.
    """
    most = max(abs(finger) for finger in found.beside_mm.values())
    for reading in readings:
        squared = (reading.hole_mm - found.allowance_mm) ** 2 - reading.closed_mm**2
        meant = abs(reading.beside_mm - found.beside_mm[reading.track])
        if reading.beside_mm and reading.closed_mm and squared > 0:
            wandered = abs(sqrt(squared) / 2 - meant)
            most = max(most, abs(found.beside_mm[reading.track]) + wandered)
    return most


def slope_of_sizes(readings: Sequence[Reading]) -> float | None:
    """Return by how much the closed length grows with the hole, for holes in the middle; 1 for a round tip.

    None where they have one size only. Well above 1 the tip is no round one, or stands beside its track.
    """
    middle = [(reading.hole_mm, reading.closed_mm) for reading in readings if not reading.beside_mm]
    if len({hole for hole, _ in middle}) < 2:
        return None
    mean_hole, mean_closed = _middle([hole for hole, _ in middle]), _middle([closed for _, closed in middle])
    spread = sum((hole - mean_hole) ** 2 for hole, _ in middle)
    return sum((hole - mean_hole) * (closed - mean_closed) for hole, closed in middle) / spread
