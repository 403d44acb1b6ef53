"""The checks over what was compiled: a visible tuple of small functions of one shape.

Each takes the programme, the rings and the tapes, and gives complaints. To add a check, write one
function and one line of CHECKS.
"""

from collections.abc import Callable

from chime.diagnostics import Diagnostic
from chime.programme.model import Programme
from chime.rings.model import RingCalendar
from chime.tape.model import TapeSet
from chime.verify.declarations import the_plan_is_declared
from chime.verify.rehearsal import the_plan_plays

Check = Callable[[Programme, RingCalendar, TapeSet], list[Diagnostic]]

CHECKS: tuple[Check, ...] = (the_plan_is_declared, the_plan_plays)


def run_checks(programme: Programme, calendar: RingCalendar, tapes: TapeSet | None) -> list[Diagnostic]:
    """Return what every check finds; without tapes there is nothing to check yet."""
    if tapes is None:
        return []
    return [fault for check in CHECKS for fault in check(programme, calendar, tapes)]
