"""The gate, which lets the bells ring for a part of each row (F12 to F15).

All times count from the same instant, the start of the step into the row; a gate that is timed from the
impulse comes earlier by the lag of the step.
"""

from chime.mechanics.stepped import Interval, travelled
from chime.records import NamedTuple


class RelayTimes(NamedTuple):
    """How long the relay takes to operate and to release, and for how long a contact bounces, in seconds."""

    operates_s: float
    releases_s: float
    bounces_s: float


def ring_length(closed: Interval, gate: Interval, relay: RelayTimes) -> float:
    """F12: return for how long the bell sounds, in seconds; 0 if the relay never operates.

    R = min(t_off, g1) - max(t_on + t_b, g0) + t_rel - t_op.
    """
    together = min(closed.ends_s, gate.ends_s) - max(closed.starts_s + relay.bounces_s, gate.starts_s)
    if together <= relay.operates_s:
        return 0.0
    return together + relay.releases_s - relay.operates_s


def clean_start(latest_on_s: float, bounces_s: float, gate_closes_s: float, gate_within_s: float) -> float:
    """F13: return the time left between the last bounce of the finger and the closing of the gate.

    g0 - dg - (t_on,max + t_b); below nothing the finger makes the load.
    """
    return gate_closes_s - gate_within_s - (latest_on_s + bounces_s)


def clean_end(earliest_off_s: float, gate_opens_s: float, gate_within_s: float) -> float:
    """F14: return the time left from the gate's opening to the finger's: t_off,min - (g1 + dg)."""
    return earliest_off_s - (gate_opens_s + gate_within_s)


def latest_on(least_closed_mm: float, error_mm: float, pitch_mm: float, travel_s: float) -> float:
    """Return t_on,max: the shortest closed length, with the tape as far behind as it may be.

    `error_mm` is the greatest position error, without its sign.
    """
    return travelled((pitch_mm + error_mm - least_closed_mm / 2) / pitch_mm, travel_s)


def earliest_off(
    least_closed_mm: float, error_mm: float, pitch_mm: float, travel_s: float, row_s: float
) -> float:
    """Return t_off,min: the shortest closed length, with the tape as far ahead as it may be."""
    return row_s + travelled((least_closed_mm / 2 - error_mm) / pitch_mm, travel_s)


def rows_overlap(least_closed_mm: float, greatest_closed_mm: float, pitch_mm: float) -> bool:
    """Tell whether the row before may let go after this one has closed: (c_min + c_max) / 2 > p."""
    return (least_closed_mm + greatest_closed_mm) / 2 > pitch_mm


def clear_of_row_before(
    greatest_closed_mm: float,
    error_mm: float,
    pitch_mm: float,
    travel_s: float,
    gate_closes_s: float,
    gate_within_s: float,
) -> float:
    """F13 where rows overlap: return the time left after the row before lets go.

    g0 - dg - tau((c_max/2 + |e|)/p).
    """
    lets_go = travelled((greatest_closed_mm / 2 + error_mm) / pitch_mm, travel_s)
    return gate_closes_s - gate_within_s - lets_go


def clear_of_row_after(
    greatest_closed_mm: float,
    error_mm: float,
    pitch_mm: float,
    travel_s: float,
    row_s: float,
    gate_opens_s: float,
    gate_within_s: float,
) -> float:
    """F14 where rows overlap: return the time left before the next row closes.

    T + tau((p - |e| - c_max/2)/p) - (g1 + dg).
    """
    closes = row_s + travelled((pitch_mm - error_mm - greatest_closed_mm / 2) / pitch_mm, travel_s)
    return closes - (gate_opens_s + gate_within_s)


def drift_allowed(closed: Interval, gate: Interval, bounces_s: float, gate_within_s: float) -> float:
    """F15: return by how much a gate of another clockwork may drift against the impulse between visits."""
    before = gate.starts_s - closed.starts_s - bounces_s
    return min(before, closed.ends_s - gate.ends_s) - gate_within_s
