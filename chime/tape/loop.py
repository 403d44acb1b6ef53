"""The loop of a machine: how long it is, and which time of it a clock time is."""

from datetime import date, datetime, timedelta

from chime.clock import DAY
from chime.diagnostics import Diagnostic
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.faults import loop_unknown, rows_not_whole
from chime.tape.model import Cycle

_SECOND = 1_000_000
_WEEK = 7 * DAY


class Loop(NamedTuple):
    """A loop of whole rows. `cycle_s` is rows times `row_interval_s`."""

    cycle_s: int
    row_interval_s: int
    rows: int
    cycle: Cycle


def read_loop(machine: Machine) -> Loop | Diagnostic:
    """Return the loop that a machine describes, or why it describes none."""
    if machine.cycle is None or machine.row_interval is None:
        return loop_unknown(machine)
    cycle_us, interval_us = machine.cycle.amount, machine.row_interval.amount
    if interval_us <= 0 or interval_us % _SECOND or cycle_us <= 0 or cycle_us % interval_us:
        return rows_not_whole(machine.cycle, machine.row_interval)
    cycle_s = cycle_us // _SECOND
    return Loop(cycle_s, interval_us // _SECOND, cycle_us // interval_us, _name_cycle(cycle_s))


def _name_cycle(cycle_s: int) -> Cycle:
    names: dict[int, Cycle] = {DAY: "day", _WEEK: "week", DAY // 2: "half day"}
    return names.get(cycle_s, "other")


def keeps_phase(loop: Loop) -> bool:
    """Tell whether a place always stands for the same times: loops of a part of a day, or of whole days."""
    return DAY % loop.cycle_s == 0 or loop.cycle_s % DAY == 0


def first_of_window(loop: Loop, day: date, anchor: date) -> date:
    """Return the first date of the stretch of dates for which one tape is made.

    A loop of a day or a part of it has a tape for each date; one of several days has a tape for each run of
    the loop, counted from the Monday of the week of `anchor`.
    """
    days = max(1, loop.cycle_s // DAY)
    since = (day - monday_of(anchor)).days
    return day - timedelta(days=since % days)


def monday_of(day: date) -> date:
    """Return the Monday of a date's week."""
    return day - timedelta(days=day.weekday())


def phase_of(loop: Loop, at: datetime, first: date) -> int:
    """Return the seconds from the loop's beginning, 00:00 of the window's first date, round the loop (F1)."""
    return int((at - datetime(first.year, first.month, first.day)).total_seconds()) % loop.cycle_s


def passes_of(loop: Loop, phase_s: int) -> tuple[int, ...]:
    """Return every time at which a place passes its finger: within a day, or within the loop if longer (F2).

    On a loop of 12 h each place passes at a time and 12 h later.
    """
    return tuple(range(phase_s, max(DAY, loop.cycle_s), loop.cycle_s))
