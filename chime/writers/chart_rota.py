"""The rota: which tape is on, and what a person must do, date by date."""

from collections.abc import Collection
from datetime import date, timedelta

from chime.clock import write_date
from chime.records import NamedTuple
from chime.verify.model import Verified
from chime.writers.duty_words import DutyLine, describe_duties

_LINE = 38
"""So many letters of a turn stand on a line of a column."""


class Turn(NamedTuple):
    """Dates without a gap on which one tape is on; `tape` names the position too, if it is changed."""

    dates: str
    tape: str

    @property
    def is_long(self) -> bool:
        """Tell whether it would not stand on one line of a column in its usual size."""
        return len(self.dates) + len(self.tape) > _LINE


def write_rota(verified: Verified, names: Collection[str]) -> tuple[Turn, ...]:
    """Return in order of the dates when each of some tapes is on; dates without rings stand in none."""
    if verified.tapes is None:
        return ()
    operation = verified.tapes.operation
    positions = {plan.day: plan.position for plan in operation.days} if operation.is_moved else {}
    runs: list[tuple[date, date, str]] = []
    for day, name in sorted(verified.tapes.tape_on):
        if name not in names:
            continue
        words = f"{name}, position {positions[day]}" if day in positions else name
        if runs and runs[-1][2] == words and day - runs[-1][1] == timedelta(days=1):
            runs[-1] = (runs[-1][0], day, words)
        else:
            runs.append((day, day, words))
    return tuple(Turn(_write_run(first, last), words) for first, last, words in runs)


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
