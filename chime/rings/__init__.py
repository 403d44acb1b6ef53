"""Stage 3: takes a checked programme, gives every dated ring of its terms and why it is there."""

from typing import NamedTuple

from chime.diagnostics import Diagnostic, is_error
from chime.programme.model import Programme
from chime.rings.advice import advise
from chime.rings.coverage import cover
from chime.rings.days import work_out_days
from chime.rings.expand import expand
from chime.rings.model import RingCalendar
from chime.rings.timetables import work_out

__all__ = ["Rung", "ring"]


class Rung(NamedTuple):
    """The calendar of rings (None where the timetables have errors) and what was wrong."""

    calendar: RingCalendar | None
    diagnostics: tuple[Diagnostic, ...]


def ring(programme: Programme) -> Rung:
    """Work out every ring of a programme without errors."""
    shapes, faults = work_out(programme)
    if is_error(faults) or not programme.terms:
        return Rung(None, faults)
    days = work_out_days(programme, shapes, cover(programme))
    expanded = expand(programme, days)
    found = (*faults, *days.diagnostics, *expanded.diagnostics, *advise(programme, shapes, days))
    calendar = RingCalendar(
        days.days, days.programmes, expanded.rings, expanded.silenced, expanded.removed, days.passed_by
    )
    return Rung(calendar, found)
