"""What the writers get: everything that was compiled, after every check."""

from typing import Literal

from chime.programme.model import Programme
from chime.records import NamedTuple
from chime.rings.model import RingCalendar
from chime.tape.model import TapeSet


class RestsOn(NamedTuple):
    """A value of the machine on which a verdict rests, and how it is known."""

    value: str
    status: Literal["measured", "assumed", "absent"]


class Verdict(NamedTuple):
    """What was found of one check, in a sentence, and the values that it rests on."""

    check: str
    verdict: Literal["holds", "fails", "cannot say"]
    rests_on: tuple[RestsOn, ...]


class Verified(NamedTuple):
    """A programme that passed its checks. `tapes` is None where no machine is described.

    `fingerprint` stands for all that has a meaning (programme, machine, imported days, data releases);
    notes, spaces and the order of lines have none; `zone_release` is the release of the zone data. `verdicts`
    are empty where there is no tape.
    """

    programme: Programme
    calendar: RingCalendar
    tapes: TapeSet | None
    fingerprint: str
    zone_release: str
    verdicts: tuple[Verdict, ...]
