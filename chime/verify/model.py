"""What the writers get: everything that was compiled, after every check."""

from typing import NamedTuple

from chime.programme.model import Programme
from chime.rings.model import RingCalendar
from chime.tape.model import TapeSet


class Verified(NamedTuple):
    """A programme that passed its checks. `tapes` is None where no machine is described.

    `fingerprint` stands for all that has a meaning (programme, machine, imported days, data releases);
    notes, spaces and the order of lines have none; `zone_release` is the release of the zone data.
    """

    programme: Programme
    calendar: RingCalendar
    tapes: TapeSet | None
    fingerprint: str
    zone_release: str
