"""Checks of the tapes against the rings; they share no code with the layout."""

from datetime import datetime

from chime.diagnostics import Diagnostic
from chime.programme.model import Programme
from chime.rings.model import RingCalendar
from chime.tape.model import Tape, TapeSet
from chime.verify.faults import ring_without_hole

MONDAY = datetime(2001, 1, 1)
"""A Monday at 00:00, from which the rows of every loop are counted here."""


def every_ring_has_its_holes(
    programme: Programme, calendar: RingCalendar, tapes: TapeSet
) -> list[Diagnostic]:
    """Find the rings that the tape of their date would miss: each needs a hole that its zone hears.

    A hole is held against the clock times at which it passes (`rings_at`), never against its row, so a
    layout that puts both wrong in the same way is caught only by playing the rows.
    """
    del programme
    by_id = {tape.id: tape for tape in tapes.tapes}
    on = {day: by_id[name] for day, name in tapes.tape_on}
    heard = {tape.id: _heard(tape) for tape in tapes.tapes}
    faults = []
    for ring in calendar.rings:
        tape = on.get(ring.at.date())
        if tape is None or (ring.zone, _phase(ring.at, tape)) not in heard[tape.id]:
            faults.append(ring_without_hole(ring))
    return faults


def _heard(tape: Tape) -> set[tuple[str, int]]:
    return {(zone, at) for hole in tape.holes for zone in hole.zones for at in hole.rings_at}


def _phase(at: datetime, tape: Tape) -> int:
    """Return the seconds of the loop's cycle, or of the day where the loop is shorter."""
    span = max(tape.rows * tape.row_interval_s, 86_400)
    return round((at - MONDAY).total_seconds()) % span
