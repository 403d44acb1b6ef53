"""Holes that follow each other on one track: whether their rings are heard apart (F23 to F26)."""

from math import sqrt

HEARD_APART_S = 2.0
"""Common practice, no published source: a shorter pause between two rings is not heard as one."""


def open_travel(rows_apart: int, pitch_mm: float, closed_mm: float) -> float:
    """F23: return how far the tape moves with the contact open between two holes: j p - c, in mm.

    At nothing or below it does not open.
    """
    return rows_apart * pitch_mm - closed_mm


def are_heard_apart(open_s: float, releases_s: float) -> bool:
    """F24: tell whether two rings without a gate are heard as two: open for t_rel + 2 s or longer."""
    return open_s >= releases_s + HEARD_APART_S


def merged_closed(holes: int, pitch_mm: float, closed_mm: float) -> float:
    """F24: return the closed length of holes in rows that follow each other, if they merge: (k - 1) p + c."""
    return (holes - 1) * pitch_mm + closed_mm


def cusp_half_width(diameter_mm: float, rows_apart: int, pitch_mm: float) -> float:
    """F25: return half the width between the cusps of two round holes that overlap; -1 if they do not.

    sqrt(R^2 - (j p / 2)^2).
    """
    squared = diameter_mm * diameter_mm / 4 - (rows_apart * pitch_mm) ** 2 / 4
    return sqrt(squared) if squared >= 0 else -1.0


def passes_cusps(half_width_mm: float, tip_diameter_mm: float, lateral_mm: float) -> float:
    """F25: return what is left for a round tip between the cusps, in mm; below 0 it climbs and tears them."""
    return half_width_mm - tip_diameter_mm / 2 - abs(lateral_mm)
