"""The sheet for the wall: what is to be done on each date in one line, a silence with its end."""

from collections.abc import Collection
from datetime import date

from chime.clock import write_date, write_time
from chime.records import NamedTuple
from chime.tape.model import Duty, HandRing, Operation
from chime.verify.model import Verified
from chime.writers.columns import joined
from chime.writers.duty_words import when_of


class WallDay(NamedTuple):
    """A date and what is to be done on it, in order."""

    date: str
    lines: tuple[str, ...]


def write_wall(verified: Verified, names: Collection[str]) -> tuple[WallDay, ...]:
    """Return what is to be done, date by date; tapes are fitted only if they are among some."""
    if verified.tapes is None:
        return ()
    duties = [d for d in verified.tapes.operation.duties if d.tape is None or d.tape in names]
    ends = {duty.lifts: duty for duty in duties if duty.lifts is not None}
    days: dict[date, list[str]] = {}
    together = _rung_together(verified.tapes.operation)
    for duty in duties:
        if duty.lifts is None and together.get(duty.id) != "":
            line = together.get(duty.id) or _line(duty, ends.get(duty.id))
            days.setdefault(duty.begins.at.date(), []).append(line)
    return tuple(WallDay(write_date(day), tuple(lines)) for day, lines in sorted(days.items()))


def _rung_together(operation: Operation) -> dict[str, str]:
    """Say of rings by hand at one time with one signal all in the line of the first; the others get none."""
    found: dict[str, str] = {}
    for plan in operation.days:
        groups: dict[tuple[int, int, str], list[HandRing]] = {}
        for ring in plan.by_hand:
            groups.setdefault((ring.time, ring.fold, ring.signal), []).append(ring)
        for (time, _, signal), rings in groups.items():
            zones = joined([ring.zone for ring in rings])
            found |= dict.fromkeys((ring.duty for ring in rings), "")
            found[min(rings, key=lambda ring: int(ring.duty[1:])).duty] = (
                f"ring {signal} by hand in {zones} {write_time(time)}"
            )
    return found


def _line(duty: Duty, end: Duty | None) -> str:
    said = f"{duty.what} {when_of(duty)}"
    if end is None:
        return said
    later = "" if end.begins.at.date() == duty.begins.at.date() else f"{write_date(end.begins.at.date())} "
    return f"{said}, on again {later}{when_of(end)}"
