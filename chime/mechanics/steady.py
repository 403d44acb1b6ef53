"""A tape that creeps without a stop, with a gate or without (F16 to F18).

The hole's middle passes under the finger at its own instant; the contact is closed for half of the closed
length before and after that, at the tape's speed.
"""

from chime.mechanics.stepped import Interval
from chime.records import NamedTuple


class StartErrors(NamedTuple):
    """How many seconds too early and too late a ring may start."""

    early_s: float
    late_s: float

    @property
    def worst_s(self) -> float:
        """The larger of the two."""
        return max(self.early_s, self.late_s)


def speed(pitch_mm: float, row_s: float) -> float:
    """Return the speed of the tape, p / T, in mm a second."""
    return pitch_mm / row_s


def closed_about(closed_mm: float, error_mm: float, speed_mm_s: float) -> Interval:
    """Return when the contact is closed, from the hole's instant on: -(c/2 + e)/v to (c/2 - e)/v."""
    return Interval(-(closed_mm / 2 + error_mm) / speed_mm_s, (closed_mm / 2 - error_mm) / speed_mm_s)


def whole_ring(
    least_closed_mm: float, error_mm: float, speed_mm_s: float, gate_length_s: float, gate_offset_s: float
) -> float:
    """F16: return what is left, in mm, of the closed length about the whole gate.

    c_min/2 - v (g/2 + |o|) - |e|. `gate_offset_s` is how far the gate's middle may be from that instant.
    """
    return least_closed_mm / 2 - speed_mm_s * (gate_length_s / 2 + abs(gate_offset_s)) - abs(error_mm)


def no_second_ring(
    greatest_closed_mm: float,
    error_mm: float,
    speed_mm_s: float,
    gate_length_s: float,
    gate_offset_s: float,
    between_gates_s: float,
) -> float:
    """F16: return what is left, in mm, before the gate of the row before or after would ring the hole too.

    v (T - g/2 - |o|) - c_max/2 - |e|, where T is the time between two closures of the gate.
    """
    until_next = speed_mm_s * (between_gates_s - gate_length_s / 2 - abs(gate_offset_s))
    return until_next - greatest_closed_mm / 2 - abs(error_mm)


def ungated_length(closed_mm: float, speed_mm_s: float) -> float:
    """F17: return how long a ring lasts without a gate: c / v."""
    return closed_mm / speed_mm_s


def late_shift(nominal_closed_mm: float) -> float:
    """F17: return by how much a hole is set late so that its ring starts on time: c_nom / 2, in mm."""
    return nominal_closed_mm / 2


def start_errors(
    least_mm: float, nominal_mm: float, greatest_mm: float, error_mm: float, speed_mm_s: float
) -> StartErrors:
    """F17: return how early and how late a ring without a gate may start, its hole set late by `late_shift`.

    Early (e + (c_max - c_nom)/2)/v, late (e + (c_nom - c_min)/2)/v, with the position error of either sign.
    """
    error = abs(error_mm)
    early = (error + (greatest_mm - nominal_mm) / 2) / speed_mm_s
    late = (error + (nominal_mm - least_mm) / 2) / speed_mm_s
    return StartErrors(early, late)


def start_limit(row_s: float) -> float:
    """F18: return the start error beyond which a ring belongs to another minute: min(T/2, 30 s)."""
    return min(row_s / 2, 30.0)
