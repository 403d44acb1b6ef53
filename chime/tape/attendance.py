"""When somebody is at the machine, as stretches of instants."""

from datetime import date, timedelta

from chime.programme.equipment import Machine
from chime.tape.local_clock import LocalClock, midnight, to_instant
from chime.tape.masks import merged

Stretch = tuple[int, int]
"""From an instant to another, in seconds since 1970-01-01 00:00 UTC."""


def attended(machine: Machine, clock: LocalClock, first: date, last: date) -> tuple[Stretch, ...]:
    """Return the attended stretches from one date's 00:00 to another's end, in order, none touching the next.

    A machine that does not say when it is attended is taken to be so at any hour.
    """
    if not machine.attended:
        return ((to_instant(clock, midnight(first)), to_instant(clock, midnight(last + timedelta(days=1)))),)
    found: list[Stretch] = []
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        for hours in machine.attended:
            if day.weekday() in hours.weekdays:
                start, end = midnight(day) + hours.start, midnight(day) + hours.end
                found.append((to_instant(clock, start), to_instant(clock, end)))
    return merged(found)
