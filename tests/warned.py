"""Small programmes for tables of warnings: a row gives what is odd in one, and all that must be said of it."""

from typing import NamedTuple

from tests.compiling import checked

PROGRAMME = """programme "Tidewater School"
  place Europe/London
  issue 1 on 2026-08-20
"""
ZONES = "zone main on track 1\nzone yard on track 2\n"
SIGNALS = "signal lesson 6 s within 2 s\nsignal short 3 s within 1 s\n"
NORMAL = """timetable normal in main
  each period start lesson, end lesson, warn short 3 min before start
  period "1" 08:50 - 09:40
  period "2" 09:50 - 10:40
  pause "Lunch" 11:40 - 12:20 quiet
  ring 08:30 short in yard "Gates"
"""
WEEK = "week ordinary\n  Mon to Fri normal\n  Sat, Sun silent\n"
TERM = 'term "Autumn" 2026-09-02 to 2026-10-09\n  week ordinary\n'

STARTS_ONLY = NORMAL.replace("start lesson, end lesson, warn short 3 min before start", "start lesson")
TWO_TIMETABLES = NORMAL + "timetable market in main\n  ring 08:10, 11:50 lesson\n"
EVERY_DAY = WEEK.replace("Mon to Fri normal\n  Sat, Sun silent", "Mon to Sun normal")


class Row(NamedTuple):
    """A programme by its parts, and what must be said of it: `CODE | line | headline`."""

    exceptions: tuple[str, ...]
    expected: tuple[str, ...] = ()
    head: str = PROGRAMME
    zones: str = ZONES
    signals: str = SIGNALS
    timetables: str = NORMAL
    week: str = WEEK
    term: str = TERM

    @property
    def text(self) -> str:
        lines = "".join(f"  {line}\n" for line in self.exceptions)
        parts = (self.head, self.zones, self.signals, self.timetables, self.week, self.term)
        return "".join(parts) + (f"exceptions\n{lines}" if lines else "")


def told(text: str) -> tuple[str, ...]:
    found = []
    for fault in checked(text).diagnostics:
        assert fault.primary is not None
        span = fault.primary.span
        line = " ".join(span.source.line_text(span.line).split())
        found.append(f"{fault.code.id} | {line} | {fault.headline}")
    return tuple(found)
