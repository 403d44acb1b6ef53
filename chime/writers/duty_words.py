"""The duties of a plan in words, day by day: shared by the page for a person and by the chart."""

from collections.abc import Iterable
from datetime import date

from chime.clock import write_date, write_time
from chime.records import NamedTuple
from chime.tape.model import Duty, Moment, RingAt
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
        DutyLine(
            duty.begins.at.date(), _when(duty), duty.what, duty.reason, _forgotten(duty.missing, duty.extra)
        )
        for duty in duties
        if (first is None or duty.ends.at.date() >= first) and (last is None or duty.begins.at.date() <= last)
    )


def _when(duty: Duty) -> str:
    begins, ends = duty.begins, duty.ends
    until = "" if begins.at.date() == ends.at.date() else f"{write_date(ends.at.date())} "
    return f"{_clock(begins)} - {until}{_clock(ends)}"


def _clock(moment: Moment) -> str:
    seconds = moment.at.hour * 3600 + moment.at.minute * 60 + moment.at.second
    return write_time(seconds) + (" (second time)" if moment.fold else "")


def _forgotten(missing: tuple[RingAt, ...], extra: tuple[RingAt, ...]) -> str:
    said = [
        f"{number(len(rings), 'ring')} {what}, from {_first(rings[0])} on"
        for rings, what in ((missing, "missing"), (extra, "too many"))
        if rings
    ]
    return "; ".join(said)


def _first(ring: RingAt) -> str:
    return f"{ring.zone} on {write_date(ring.at.date())} at {_clock(Moment(ring.at, ring.fold))}"
