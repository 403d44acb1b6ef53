"""How far a hole may rest from its place along the tape: the position budget (F19 to F22)."""

from collections.abc import Iterable
from math import floor, sqrt

from chime.records import NamedTuple


class Budget(NamedTuple):
    """The position error, in mm: the sum of all its terms, and the root of the sum of their squares."""

    worst_mm: float
    likely_mm: float


def sum_up(terms_mm: Iterable[float]) -> Budget:
    """F19: add the terms without their signs, for the worst case, and as independent ones, for the likely."""
    terms = [abs(term) for term in terms_mm]
    return Budget(sum(terms), sqrt(sum(term * term for term in terms)))


def registration_play(drive_hole_mm: float, pin_mm: float) -> float:
    """Return how far a tape may be from its place on the pin of a jig: (D_s - d_pin) / 2."""
    return (drive_hole_mm - pin_mm) / 2


def print_error(scale_error: float, distance_mm: float) -> float:
    """Return how far a printed place is off, in mm; `scale_error` is (measured - meant) / meant.

    `distance_mm` is that to the nearest place at which the sheet is registered.
    """
    return abs(scale_error) * distance_mm


def stretch_error(strain: float, over_mm: float) -> float:
    """Return how far stretch moves a hole; on a sprocket only between the finger and the pin that holds."""
    return abs(strain) * over_mm


def skew_error(angle_rad: float, from_edge_mm: float) -> float:
    """Return how far a finger stands out of place because the fingers are not set square."""
    return abs(angle_rad) * from_edge_mm


def error_per_row(allowance_mm: float, other_mm: float, rows: int) -> float:
    """F20: return the error that may add up in each of some rows: (A - others) / n."""
    return (allowance_mm - other_mm) / rows


def drift_per_cycle(extra_drive_holes: int, rows_per_drive_hole: float) -> float:
    """F21: return by how many rows a loop with extra drive holes is late each turn; below 0 some lack."""
    return extra_drive_holes * rows_per_drive_hole


def friction_drift(length_mm: float, moved_per_step_mm: float, rows: int) -> float:
    """F21: return by how many rows a tape without drive holes is off after each turn: L / p_drive - N."""
    return length_mm / moved_per_step_mm - rows


def spaces_in_mesh(pins: int, wrap_degrees: float) -> int:
    """Return how many whole spaces between pins the tape is wrapped over: S x wrap / 360, rounded down."""
    return floor(pins * wrap_degrees / 360 + 1e-9)


def mesh_allowance(drive_hole_mm: float, pin_mm: float, spaces: int) -> float:
    """F22: return the error of the drive holes' pitch that still meshes: (D_s - d_s) / m, in mm."""
    return (drive_hole_mm - pin_mm) / spaces
