"""Rings that nobody asked for: the other passes of a hole on a loop that is shorter than a day."""

from collections.abc import Iterator
from datetime import date

from chime.clock import write_date, write_time
from chime.programme.equipment import Machine
from chime.tape.model import Tape

_SHOWN = 12


def is_silenced(machine: Machine, zone: str, weekday: int, seconds: int) -> bool:
    """Tell whether the machine by itself silences a zone at a time of a weekday (0 is Monday).

    A window holds its start and not its end. Day wheels count as turning exactly when they are said to.
    """
    for wheel in machine.day_wheels:
        turning = wheel.turning_at or 0
        shown = weekday if seconds >= turning else (weekday - 1) % 7
        if shown in wheel.weekdays and (wheel.zones is None or zone in wheel.zones):
            return True
    for window in machine.daily_silences:
        if window.zones is not None and zone not in window.zones:
            continue
        passes_midnight = window.end <= window.start
        after, before = seconds >= window.start, seconds < window.end
        if (after or before) if passes_midnight else (after and before):
            return True
    return False


def describe_aliases(tape: Tape, machine: Machine, wanted: frozenset[tuple[date, int, str]]) -> str | None:
    """Name the rings that a tape would give besides those wanted and outside the machine's silences.

    `wanted` holds date, seconds of the day and zone of every ring. None if there is nothing to name.
    """
    unwanted = sorted(set(_find_aliases(tape, machine, wanted)))
    if not unwanted:
        return None
    first: dict[tuple[int, str], date] = {}
    for day, seconds, zone in unwanted:
        first.setdefault((seconds, zone), day)
    named = [
        f"{zone} at {write_time(seconds)} (first on {write_date(day)})"
        for (seconds, zone), day in first.items()
    ]
    rest = len(named) - _SHOWN
    more = f", and {rest} more" if rest > 0 else ""
    return (
        f"Tape {tape.id} passes each hole more than once a day and would also ring "
        f"{', '.join(named[:_SHOWN])}{more}. Nobody asked for these rings, and nothing that the machine does "
        "by itself silences them; somebody must."
    )


def _find_aliases(
    tape: Tape, machine: Machine, wanted: frozenset[tuple[date, int, str]]
) -> Iterator[tuple[date, int, str]]:
    sounds = {(seconds, zone) for hole in tape.holes for seconds in hole.rings_at for zone in hole.zones}
    for day in tape.dates:
        for seconds, zone in sorted(sounds):
            is_wanted = (day, seconds, zone) in wanted
            if not is_wanted and not is_silenced(machine, zone, day.weekday(), seconds):
                yield day, seconds, zone
