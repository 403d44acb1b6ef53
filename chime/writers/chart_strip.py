"""A tape as one straight piece: where the loop is cut, and the lap that joins it again."""

from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.geometry import drive_holes
from chime.tape.model import Hole, Tape


class Strip(NamedTuple):
    """A tape laid flat: the rows of the loop from `first_row` on, and the first `lap_rows` of them once more.

    A place on it counts rows from the beginning: the place p is row (first_row + p) modulo the rows of the
    loop, and from the place `tape.rows` on it belongs to the lap. `lap_is_given` is false where the machine
    does not say how long a lap is, `row_is_free` where every row holds a hole. `joint_is_clear` tells that
    the joint keeps away from 00:00 and from the hours in which clocks change.
    """

    tape: Tape
    first_row: int
    lap_rows: int
    lap_is_given: bool
    row_is_free: bool
    joint_is_clear: bool

    @property
    def length(self) -> int:
        """How many rows it has, those of the lap included."""
        return self.tape.rows + self.lap_rows

    def row(self, place: int) -> int:
        """Return the row at a place."""
        return (self.first_row + place) % self.tape.rows

    def place(self, row: int) -> int:
        """Return the place of a row, before the lap."""
        return (row - self.first_row) % self.tape.rows


def lay_flat(tape: Tape, machine: Machine) -> Strip:
    """Cut a tape where its joint is, or before row 0 where no row is free."""
    cut, lap = tape.cut, machine.joint_rows
    # A lap longer than the loop is nonsense, and must not print the loop many times over.
    lap_rows = min(lap.amount, tape.rows) if lap is not None else 0
    first = 0 if cut is None else cut.row
    is_clear = cut is not None and cut.is_clear
    return Strip(tape, first, lap_rows, lap is not None, cut is not None, is_clear)


def in_tape_order(strip: Strip) -> tuple[Hole, ...]:
    """Return the holes from the strip's beginning to the lap, each once."""
    return tuple(sorted(strip.tape.holes, key=lambda hole: (strip.place(hole.row), hole.track)))


class DriveHoles(NamedTuple):
    """How many drive holes the loop has, and the strip with its lap; None where that is no whole number."""

    loop: int | None
    strip: int | None


def count_drive_holes(strip: Strip, machine: Machine) -> DriveHoles | None:
    """Count drive holes; None where there are none, or where their pitch or that of the rows is not given."""
    if machine.pitch is None or machine.sprocket is None or machine.sprocket.pitch is None:
        return None
    if machine.sprocket.pitch.amount <= 0:
        return None
    return DriveHoles(drive_holes(machine, strip.tape.rows), drive_holes(machine, strip.length))
