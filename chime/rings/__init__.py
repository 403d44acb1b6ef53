"""Stage 3: takes a checked programme, gives every dated ring of its terms and why it is there."""

from chime.diagnostics import Diagnostic
from chime.programme.model import SURE, Programme, Unsure
from chime.records import NamedTuple
from chime.rings.advice import advise
from chime.rings.coverage import cover
from chime.rings.days import work_out_days
from chime.rings.expand import expand
from chime.rings.long_sounds import long_signals
from chime.rings.model import RingCalendar
from chime.rings.timetables import work_out

__all__ = ["Rung", "ring"]


class Rung(NamedTuple):
    """The calendar of rings (None where something is not certain) and what was wrong."""

    calendar: RingCalendar | None
    diagnostics: tuple[Diagnostic, ...]


def ring(programme: Programme, unsure: Unsure = SURE) -> Rung:
    """Work out every ring of a programme; of one with errors all that is certain, for its faults.

    A timetable that is at fault leaves only the days open on which it runs.
    """
    shapes, faults, faulty = work_out(programme, unsure)
    if faulty:
        unsure = unsure._replace(timetables=unsure.timetables | faulty)
    if not programme.terms:
        return Rung(None, (*faults, *long_signals(programme, unsure)))
    coverage = cover(programme, unsure)
    days = work_out_days(programme, shapes, coverage)
    expanded = expand(programme, days, unsure)
    advice = advise(programme, shapes, coverage, days, expanded)
    found = (*faults, *days.diagnostics, *expanded.diagnostics, *advice)
    calendar = RingCalendar(
        days.days, days.programmes, expanded.rings, expanded.silenced, expanded.removed, days.passed_by
    )
    return Rung(calendar if unsure is SURE else None, found)
