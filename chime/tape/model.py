"""Rows, holes and tapes. Places on the tape are whole nanometres."""

from datetime import date
from typing import Literal, NamedTuple

from chime.diagnostics import Span

Cycle = Literal["day", "week", "half day", "other"]


class Hole(NamedTuple):
    """One hole to punch.

    `row` is the label that is printed beside the hole: the row of its ring and so many more as its
    track is read ahead, round the loop. `rings_at` are the times of the cycle at which it
    passes under its finger, in seconds from the cycle's beginning. `along_nm` is row times pitch,
    `across_nm` the distance from the guided edge; None where the machine does not say.
    """

    row: int
    track: int
    zones: tuple[str, ...]
    rings_at: tuple[int, ...]
    along_nm: int | None
    across_nm: int | None
    because: tuple[Span, ...]


class Tape(NamedTuple):
    """A loop to punch: its letter, the dates it serves, its holes in tape order."""

    id: str
    rows: int
    row_interval_s: int
    cycle: Cycle
    dates: tuple[date, ...]
    holes: tuple[Hole, ...]


class TapeSet(NamedTuple):
    """Every tape of a programme and, for each date with rings, the tape that is on."""

    tapes: tuple[Tape, ...]
    tape_on: tuple[tuple[date, str], ...]
    unchecked: tuple[str, ...]
