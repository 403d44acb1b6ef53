"""The sheet for the wall: what is to be done on each date in one line, a silence with its end."""

from collections.abc import Collection
from datetime import date

from chime.clock import write_date
from chime.records import NamedTuple
from chime.tape.model import Duty
from chime.verify.model import Verified
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
    for duty in duties:
        if duty.lifts is None:
            days.setdefault(duty.begins.at.date(), []).append(_line(duty, ends.get(duty.id)))
    return tuple(WallDay(write_date(day), tuple(lines)) for day, lines in sorted(days.items()))


def _line(duty: Duty, end: Duty | None) -> str:
    said = f"{duty.what} {when_of(duty)}"
    if end is None:
        return said
    later = "" if end.begins.at.date() == duty.begins.at.date() else f"{write_date(end.begins.at.date())} "
    return f"{said}, on again {later}{when_of(end)}"
