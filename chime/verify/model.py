"""What the writers get: everything that was compiled, after every check."""

from math import ceil, floor
from typing import Literal

from chime.diagnostics import Span
from chime.programme.model import Programme
from chime.records import NamedTuple
from chime.rings.model import RingCalendar
from chime.tape.model import TapeSet

Reads = Literal["holds", "fails", "cannot say"]
Status = Literal["measured", "assumed", "absent"]
"""How a value of the machine is known."""


_ARITHMETIC = 1e-6


class Margin(NamedTuple):
    """What is left in the worst case, in mm or s; below nothing it lacks."""

    amount: float

    def write(self, digits: int) -> str:
        """Write it without its sign; what is left is rounded down, and what lacks up."""
        scaled = abs(self.amount) * 10**digits
        whole = floor(scaled + _ARITHMETIC) if self.amount >= 0 else ceil(scaled - _ARITHMETIC)
        return f"{whole / 10**digits:.{digits}f}"


class RestsOn(NamedTuple):
    """A value of the machine on which a verdict rests, and how it is known."""

    value: str
    status: Status


class Verdict(NamedTuple):
    """What was found of one check, a sentence that may hold or not, and the values that it rests on.

    `says` is how it stands in words, empty where nothing can be said. The margins are what is left in the
    worst case, in mm and in s; below nothing the check fails. `because` are the lines of the hole that has
    the least, and of the machine's values; `lacks` are the values for want of which nobody can say; `at` is
    the value with the largest part in it, None where none stands out. `provided` is what must be done so that
    it holds. `is_beyond` says that no check looks at it at all, whatever the machine gives.
    """

    check: str
    verdict: Reads
    rests_on: tuple[RestsOn, ...]
    says: str = ""
    margin_mm: float | None = None
    margin_s: float | None = None
    because: tuple[Span, ...] = ()
    lacks: tuple[str, ...] = ()
    at: Span | None = None
    provided: str = ""
    is_beyond: bool = False


class SheetValue(NamedTuple):
    """A value of a machine: as it is written, how it is known, and the checks that rest on it.

    `is_needed` tells whether those checks cannot be made without it.
    """

    name: str
    written: str
    status: Status
    checks: tuple[str, ...]
    is_needed: bool


class MachineSheet(NamedTuple):
    """A machine by itself: its values, the checks that no hole of a programme changes, and the others."""

    name: str
    values: tuple[SheetValue, ...]
    verdicts: tuple[Verdict, ...]
    of_tapes: tuple[str, ...]


class TightHole(NamedTuple):
    """A hole with little to spare: how much, in mm, and the check that has it."""

    tape: str
    row: int
    track: int
    margin_mm: float
    check: str


class ShortHoles(NamedTuple):
    """The holes of a tape at which a check fails, as rows and tracks in tape order."""

    tape: str
    check: str
    places: tuple[tuple[int, int], ...]


class Verified(NamedTuple):
    """A programme that passed its checks. `tapes` is None where no machine is described.

    `fingerprint` stands for all that has a meaning (programme, machine, imported days, data releases);
    notes, spaces and the order of lines have none; `zone_release` is the release of the zone data. `verdicts`
    are empty where there is no tape. `tight` are the five holes of each tape that have the least to spare,
    `short` those at which a check fails, and `sheet` is the machine by itself.
    """

    programme: Programme
    calendar: RingCalendar
    tapes: TapeSet | None
    fingerprint: str
    zone_release: str
    verdicts: tuple[Verdict, ...]
    tight: tuple[TightHole, ...] = ()
    sheet: MachineSheet | None = None
    short: tuple[ShortHoles, ...] = ()

    def reads(self) -> Reads:
        """Return how the tapes will read: as the worst verdict has it; they hold where nothing is judged."""
        found = {verdict.verdict for verdict in self.verdicts if not verdict.is_beyond}
        return "fails" if "fails" in found else "cannot say" if "cannot say" in found else "holds"

    def counted_as_nothing(self) -> tuple[str, ...]:
        """Name the values that no line gives and that count as nothing in what holds."""
        holding = (verdict for verdict in self.verdicts if verdict.verdict == "holds")
        absent = (each.value for verdict in holding for each in verdict.rests_on if each.status == "absent")
        return tuple(dict.fromkeys(absent))

    def conditions(self) -> tuple[str, ...]:
        """Return what must be done so that what holds holds."""
        return tuple(verdict.provided for verdict in self.verdicts if verdict.provided)
