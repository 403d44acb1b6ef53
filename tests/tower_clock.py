"""An invented tape machine and its programmes, for cases over which bells commonly go wrong."""

from datetime import date

from chime.diagnostics import Diagnostic
from chime.rings.model import Ring, RingCalendar
from chime.tape.laid_out import LaidOut
from chime.tape.lay_out import lay_out
from chime.tape.model import Hole
from tests.compiling import compiled, said

MACHINE = """machine tower
  loop      24 h in rows of 1 min
  row       2.60 mm
  drive     steps in 0.35 s
  tracks    at 5, 9, 13, 17 mm from the guided edge
  hole      round 1.70 mm within 0.05 mm
  reads     4 rows ahead
  gate      at 7 s for 6 s, within 0.4 s
"""

HEAD = """programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
zone main    on track 1
zone junior  on track 2
signal lesson  6 s within 2 s
"""

WEEK = """week ordinary
  Mon to Fri  normal
  Sat, Sun    silent
"""

AUTUMN = 'term "Autumn"  2026-09-07 to 2026-12-18\n'


def programme(timetable: str, *, week: str = WEEK, term: str = AUTUMN, exceptions: str = "") -> str:
    """A programme around the lines of its one timetable and of its exceptions."""
    body = f"timetable normal in main, junior\n{timetable}"
    return HEAD + body + week + term + (f"exceptions\n{exceptions}" if exceptions else "")


def calendar_of(text: str) -> RingCalendar:
    calendar = compiled(text).calendar
    assert calendar is not None
    return calendar


def clocks(rings: tuple[Ring, ...], day: str, zone: str = "main") -> list[str]:
    """The local times at which a zone rings on a date."""
    return [f"{r.at:%H:%M:%S}" for r in rings if r.at.date().isoformat() == day and r.zone == zone]


def laid_out(text: str) -> LaidOut:
    found = compiled(text)
    assert found.programme is not None
    assert found.calendar is not None
    return lay_out(found.programme, found.calendar)


def holes_on(text: str, day: str, track: int = 1) -> list[Hole]:
    """The holes of one track of the tape that is on at a date."""
    result = laid_out(text)
    assert result.tapes is not None, said(result.diagnostics)
    letter = dict(result.tapes.tape_on)[date.fromisoformat(day)]
    [tape] = [tape for tape in result.tapes.tapes if tape.id == letter]
    return [hole for hole in tape.holes if hole.track == track]


def the_fault(diagnostics: tuple[Diagnostic, ...], code: str) -> Diagnostic:
    [fault] = [one for one in diagnostics if one.code.id == code]
    return fault


def marked_lines(fault: Diagnostic) -> set[int]:
    return {label.span.line for label in fault.labels}


def line_of(text: str, words: str) -> int:
    """The number of the one line that holds some words."""
    [number] = [n for n, line in enumerate(text.splitlines(), start=1) if words in line]
    return number
