"""The duties of a plan in words, day by day: shared by the page for a person and by the chart."""

from collections.abc import Iterable
from datetime import date

from chime.clock import write_date, write_time
from chime.records import NamedTuple
from chime.tape.model import Duty, Moment, RingAt, Wired
from chime.writers.columns import number


class DutyLine(NamedTuple):
    """A duty in words: when, what and why, and what it costs if it is forgotten (empty if nothing)."""

    begins_on: date
    when: str
    what: str
    why: str
    forgotten: str


def describe_duties(
    duties: Iterable[Duty], first: date | None = None, last: date | None = None
) -> tuple[DutyLine, ...]:
    """Describe the duties that can be done between two dates, both included; None is no limit."""
    return tuple(
        DutyLine(duty.begins.at.date(), when_of(duty), duty.what, duty.reason, _forgotten(duty))
        for duty in duties
        if (first is None or duty.ends.at.date() >= first) and (last is None or duty.begins.at.date() <= last)
    )


def say_wiring(wired: Wired) -> list[str]:
    """Say on which tracks each zone is in a position of the selector: `yard on track 2 and track 3`."""
    return [f"{zone} on {' and '.join(f'track {track}' for track in tracks)}" for zone, tracks in wired.zones]


def when_of(duty: Duty) -> str:
    """Say when on its first date a duty may be done: `08:46 - 09:44`, or for a ring just `11:17`."""
    begins, ends = duty.begins, duty.ends
    if begins == ends:
        return _clock(begins)
    until = "" if begins.at.date() == ends.at.date() else f"{write_date(ends.at.date())} "
    return f"{_clock(begins)} - {until}{_clock(ends)}"


def _clock(moment: Moment) -> str:
    seconds = moment.at.hour * 3600 + moment.at.minute * 60 + moment.at.second
    return write_time(seconds) + (" (second time)" if moment.fold else "")


def _forgotten(duty: Duty) -> str:
    said = [
        f"{number(len(rings), 'ring')} {what}, {_from_to(rings)}"
        for rings, what in ((duty.missing, "missing"), (duty.extra, "too many"))
        if rings
    ]
    late = " (if what is done beside it is done late)" if duty.others == "late" else ""
    return "; ".join(said) + late


def _from_to(rings: tuple[RingAt, ...]) -> str:
    first, last = rings[0], rings[-1]
    day = first.at.date()
    said = f"{first.zone} on {write_date(day)} at {_clock(Moment(first.at, first.fold))}"
    if len(rings) == 1:
        return said
    until = "" if last.at.date() == day else f"{write_date(last.at.date())} at "
    return f"from {said} until {until}{_clock(Moment(last.at, last.fold))}"
