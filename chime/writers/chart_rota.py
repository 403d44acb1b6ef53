"""The rota: which tape is on, and what a person must do, date by date."""

from collections.abc import Collection
from datetime import date, timedelta

from chime.clock import write_date
from chime.records import NamedTuple
from chime.verify.model import Verified
from chime.writers.duty_words import DutyLine, describe_duties


class Turn(NamedTuple):
    """Dates without a gap on which one tape is on."""

    dates: str
    tape: str


def write_rota(verified: Verified, names: Collection[str]) -> tuple[Turn, ...]:
    """Return in order of the dates when each of some tapes is on; dates without rings stand in none."""
    runs: list[tuple[date, date, str]] = []
    for day, name in sorted(verified.tapes.tape_on) if verified.tapes is not None else ():
        if runs and runs[-1][2] == name and day - runs[-1][1] == timedelta(days=1):
            runs[-1] = (runs[-1][0], day, name)
        else:
            runs.append((day, day, name))
    return tuple(Turn(_write_run(first, last), name) for first, last, name in runs if name in names)


def _write_run(first: date, last: date) -> str:
    return write_date(first) if first == last else f"{write_date(first)} to {write_date(last)}"


class DutyDay(NamedTuple):
    """The duties that may be begun on one date."""

    date: str
    duties: tuple[DutyLine, ...]


def list_duties(verified: Verified, names: Collection[str]) -> tuple[DutyDay, ...]:
    """Return what is to be done, day by day; tapes are fitted only if they are among some."""
    if verified.tapes is None:
        return ()
    duties = [d for d in verified.tapes.operation.duties if d.tape is None or d.tape in names]
    days: dict[date, list[DutyLine]] = {}
    for line in describe_duties(duties):
        days.setdefault(line.begins_on, []).append(line)
    return tuple(DutyDay(write_date(day), tuple(lines)) for day, lines in sorted(days.items()))
