"""Where the ends of a loop may be joined (F31)."""

from collections.abc import Iterable
from math import ceil

from chime.records import NamedTuple

HANDLING_ROWS = 5
"""Common practice, no published source: rows left free beside a lap for the hands that make it."""


class FreeRun(NamedTuple):
    """Rows without a hole, round the loop: the row of the hole before them and their number."""

    after_row: int
    rows: int


def free_runs(occupied: Iterable[int], rows: int) -> list[FreeRun]:
    """Return the stretches without a hole, the longest first, of equal ones that with the lower row first."""
    taken = sorted(set(occupied))
    if not taken:
        return [FreeRun(rows - 1, rows)]
    following = [*taken[1:], taken[0] + rows]
    runs = [FreeRun(a, b - a - 1) for a, b in zip(taken, following, strict=True)]
    return sorted((run for run in runs if run.rows), key=lambda run: (-run.rows, run.after_row))


def guard_rows(seam_error_mm: float, half_hole_mm: float, pitch_mm: float) -> int:
    """Return the rows to keep free on each side of a lap: what a hole and an error reach, and for hands.

    ceil((e_m + the larger of half the hole and half the closed length) / p) + 5.
    """
    return ceil((seam_error_mm + half_hole_mm) / pitch_mm - 1e-9) + HANDLING_ROWS


def room_for_lap(run: FreeRun, lap_rows: int, guard: int) -> int:
    """F31: return the rows left over in a free run beside the lap and its guards; below 0 it is too short."""
    return run.rows - lap_rows - 2 * guard


def middle_of(run: FreeRun, rows: int) -> int:
    """F31: return the row in the middle of a free run, a + (b - a) / 2, round the loop."""
    return (run.after_row + (run.rows + 1) // 2) % rows


def room_beside(free_before: int, free_after: int, guard: int) -> int:
    """F31 for a joint that stands somewhere: return the rows to spare on its tighter side, beside the guard.

    In the middle of a free run it is half of `room_for_lap`, rounded down.
    """
    return min(free_before, free_after) - guard
