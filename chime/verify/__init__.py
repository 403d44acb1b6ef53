"""Stage 5: takes the programme, its rings and its tapes, gives what the writers may write, or complaints."""

from chime import zone_time
from chime.diagnostics import Diagnostic
from chime.programme.model import Programme
from chime.records import NamedTuple
from chime.rings.model import RingCalendar
from chime.tape.model import TapeSet
from chime.verify.checks import run_checks
from chime.verify.fingerprint import fingerprint
from chime.verify.model import Verified
from chime.verify.verdicts import judge

__all__ = ["Proven", "verify"]


class Proven(NamedTuple):
    """What was compiled, and what the checks found."""

    verified: Verified
    diagnostics: tuple[Diagnostic, ...]


def verify(programme: Programme, calendar: RingCalendar, tapes: TapeSet | None) -> Proven:
    """Run every check over what was compiled."""
    release = zone_time.release()
    mark, judged = fingerprint(programme, release), judge(programme, calendar, tapes)
    verified = Verified(
        programme, calendar, tapes, mark, release, judged.verdicts, judged.tight, judged.sheet, judged.short
    )
    return Proven(verified, (*run_checks(programme, calendar, tapes), *judged.diagnostics))
