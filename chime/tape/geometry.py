"""Rows of a loop, their printed labels, and places in whole nanometres."""

import json
from collections.abc import Iterable
from hashlib import sha256

from chime.clock import DAY, WEEKDAYS, write_time
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.model import Tape

NM_PER_MM = 1_000_000


class HoleSize(NamedTuple):
    """How long a hole is along the tape and how wide across it, in nanometres; None is not given."""

    along_nm: int | None
    across_nm: int | None


def hole_size(machine: Machine) -> HoleSize:
    """Return the size of the machine's programme holes; a round one is as wide as it is long."""
    hole = machine.hole
    if hole is None:
        return HoleSize(None, None)
    across = hole.along if hole.shape == "round" else hole.across
    return HoleSize(
        hole.along.amount if hole.along is not None else None, across.amount if across is not None else None
    )


def write_mm(length_nm: int) -> str:
    """Write a length in nanometres as exact decimal millimetres: `2.54`, `-0.1`, `3`."""
    sign, length_nm = ("-", -length_nm) if length_nm < 0 else ("", length_nm)
    whole, rest = divmod(length_nm, NM_PER_MM)
    return f"{sign}{whole}.{rest:06}".rstrip("0").rstrip(".")


def row_of(phase_s: int, row_interval_s: int, rows_ahead: int, rows: int) -> int:
    """Return the printed label, in rows, at which a ring is punched (formula F1).

    The finger of a track stands `rows_ahead` rows after the label that the pointer shows. `phase_s` is the
    time of the ring from the loop's beginning and must be a whole number of row intervals.
    """
    return (phase_s // row_interval_s + rows_ahead) % rows


def write_phase(tape: Tape, phase_s: int) -> str:
    """Write a time of the loop as its clock shows it: `08:45`, in loops longer than a day `Mon 08:45`.

    Loops of several weeks number the weeks: `2 Mon 08:45`, those of other days the days: `day 2 08:45`.
    """
    cycle_s = tape.rows * tape.row_interval_s
    if cycle_s <= DAY:
        return write_time(phase_s)
    days, seconds = divmod(phase_s, DAY)
    if cycle_s % (DAY * len(WEEKDAYS)):
        return f"day {days + 1} {write_time(seconds)}"
    weeks, weekday = divmod(days, len(WEEKDAYS))
    number = f"{weeks + 1} " if cycle_s > DAY * len(WEEKDAYS) else ""
    return f"{number}{WEEKDAYS[weekday]} {write_time(seconds)}"


def write_label(tape: Tape, row: int) -> str:
    """Write the label printed at a row: the time that the pointer shows when it stands there."""
    return write_phase(tape, row * tape.row_interval_s)


def fingerprint(rows: int, row_interval_s: int, places: Iterable[tuple[int, int]]) -> str:
    """Return what tells the holes of a loop from others: 64 bits over rows and tracks, in hexadecimal."""
    meant = json.dumps([rows, row_interval_s, [list(place) for place in places]], separators=(",", ":"))
    return sha256(meant.encode()).hexdigest()[:16]


def drive_holes(machine: Machine, rows: int) -> int | None:
    """Return how many drive holes lie along some rows; None where they are not given, or no whole number."""
    pitch = machine.sprocket.pitch if machine.sprocket is not None else None
    if (
        machine.pitch is None
        or pitch is None
        or pitch.amount <= 0
        or rows * machine.pitch.amount % pitch.amount
    ):
        return None
    return rows * machine.pitch.amount // pitch.amount


def rows_from_cut(tape: Tape, row: int, cut: int) -> int:
    """Return how many rows after the cut a row lies, round the loop."""
    return (row - cut) % tape.rows
