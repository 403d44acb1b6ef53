"""A tape that moves in steps: the place it rests at, and when a contact is closed (F6 to F11).

The position error is how far the tip rests beyond the hole's middle, counted with the travel: above nothing
the tape has come too far and the contact closes early. Times count from the start of the step into the row.
"""

from chime.records import NamedTuple


class Interval(NamedTuple):
    """From when to when a contact is closed, in seconds."""

    starts_s: float
    ends_s: float


def own_row_allowance(least_closed_mm: float) -> float:
    """F6: return the greatest position error at which a hole is read in its own row: c_min / 2."""
    return least_closed_mm / 2


def neighbour_row_allowance(greatest_closed_mm: float, pitch_mm: float) -> float:
    """F7: return the position error below which a hole is read in no row beside its own: p - c_max / 2."""
    return pitch_mm - greatest_closed_mm / 2


def position_allowance(least_closed_mm: float, greatest_closed_mm: float, pitch_mm: float) -> float:
    """F8: return the greatest position error that both allow: min(c_min / 2, p - c_max / 2)."""
    return min(own_row_allowance(least_closed_mm), neighbour_row_allowance(greatest_closed_mm, pitch_mm))


def travelled(fraction: float, travel_s: float) -> float:
    """Return when a fraction of a step is done, for a step of even speed; before or after it none moves."""
    return min(1.0, max(0.0, fraction)) * travel_s


def closed_interval(
    closed_mm: float, error_mm: float, pitch_mm: float, travel_s: float, row_s: float
) -> Interval:
    """F9: return when the contact closes in the step into the row, and opens in the step out of it.

    Holds with F6 and F7: the hole is read in its own row and in no other.
    """
    starts = travelled((pitch_mm - error_mm - closed_mm / 2) / pitch_mm, travel_s)
    ends = row_s + travelled((closed_mm / 2 - error_mm) / pitch_mm, travel_s)
    return Interval(starts, ends)


def dwell(closed_mm: float, pitch_mm: float, travel_s: float, row_s: float) -> float:
    """F10: return how long the contact is closed, whatever the position error: T - t_s (1 - c/p)."""
    return row_s - travel_s * (1 - closed_mm / pitch_mm)


def open_between(closed_mm: float, pitch_mm: float, travel_s: float) -> float:
    """F11: return for how long the contact opens between holes in rows that follow each other.

    t_s (1 - c/p), 0 where the closed length is a row or more: always less than one step.
    """
    return max(0.0, travel_s * (1 - closed_mm / pitch_mm))


def closed_in_passing(closed_mm: float, pitch_mm: float, travel_s: float) -> float:
    """F9 without F6: return for how long the contact closes while the hole only passes: t_s c/p."""
    return travel_s * min(1.0, closed_mm / pitch_mm)
