"""Dated rings, and how each came to be."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Literal

from chime.diagnostics import Span
from chime.records import NamedTuple


class Reason(NamedTuple):
    """One cause of a ring.

    `spans[0]` is the ring, period or `add` line; the others moved or shifted it, those of a
    timetable before those of an exception. `said` are the reasons written beside exceptions.
    `is_warning` marks a ring before a start or an end, `is_end` the end of a period.
    """

    label: str | None
    spans: tuple[Span, ...]
    said: tuple[str, ...]
    is_warning: bool
    is_end: bool


def labels_of(reasons: Iterable[Reason]) -> tuple[str, ...]:
    """Return the labels of some causes, each once, in alphabetical order."""
    return tuple(sorted({reason.label for reason in reasons if reason.label is not None}))


class DayRing(NamedTuple):
    """A ring of a day programme: seconds of the service day (24:00 may be passed), all its causes."""

    at: int
    zone: str
    signal: str
    length_ms: int
    reasons: tuple[Reason, ...]


class DayProgramme(NamedTuple):
    """What rings on a day, in order of time and zone; identical days share one.

    `timetable` is the one that runs, None on a silent day with added rings.
    """

    number: int
    timetable: str | None
    rings: tuple[DayRing, ...]


class Ring(NamedTuple):
    """One sound of one zone at one local time; several causes can share it.

    `at` is naive local time; `fold` 1 is the second pass of a repeated hour. `labels` are those of the
    causes, each once, in alphabetical order. `service_days` are the days whose timetables it is in: two
    where last night's end meets this morning's start.
    """

    at: datetime
    fold: Literal[0, 1]
    zone: str
    signal: str
    length_ms: int
    labels: tuple[str, ...]
    reasons: tuple[Reason, ...]
    service_days: tuple[date, ...]

    @property
    def because(self) -> tuple[str, ...]:
        """`path:line` of every line that made, moved or shifted the ring, in order of place."""
        places = {(s.source.path, s.line) for r in self.reasons for s in r.spans}
        return tuple(f"{path}:{line}" for path, line in sorted(places))

    @property
    def said(self) -> tuple[str, ...]:
        """The reasons written beside the exceptions that made or changed the ring, each once."""
        return tuple(sorted({text for r in self.reasons for text in r.said}))


class Silenced(NamedTuple):
    """A ring that does not sound; `by` is the exception that silences it, or the clocks line.

    `hour` tells a ring that falls in a missing hour, or in the pass of a repeated hour that does not
    ring, from one that an exception silences.
    """

    ring: Ring
    by: Span
    said: str | None
    hour: Literal["exception", "missing hour", "repeated hour"]


class Removed(NamedTuple):
    """A ring of a timetable that an exception dropped, moved or shifted away from its time."""

    at: datetime
    zone: str
    label: str | None
    span: Span
    by: Span
    said: str | None
    to: datetime | None


class Acting(NamedTuple):
    """An exception as it acts on one service day: its line, reason and words."""

    span: Span
    said: str | None
    kind: Literal["replace", "as usual", "drop", "shift", "move", "add", "silence"]


class Day(NamedTuple):
    """One date from the first term's first to the last term's last: what runs and why.

    `label` is the week's name where weeks take turns, `day 3` in a cycle; None outside terms and on
    days that take no letter or number. `pattern` is what the pattern gives and `runs` what does run;
    None is a silent day. `programme` is the number of its day programme, None if nothing rings.
    """

    day: date
    term: str | None
    label: str | None
    pattern: str | None
    runs: str | None
    is_closed: bool
    programme: int | None
    acting: tuple[Acting, ...]


class PassedBy(NamedTuple):
    """Days in an exception's range on which it does nothing, for the pattern leaves them silent."""

    span: Span
    days: tuple[date, ...]


class RingCalendar(NamedTuple):
    """Every date of the terms and of the gaps between them, and every ring in order of instant."""

    days: tuple[Day, ...]
    programmes: tuple[DayProgramme, ...]
    rings: tuple[Ring, ...]
    silenced: tuple[Silenced, ...]
    removed: tuple[Removed, ...]
    passed_by: tuple[PassedBy, ...]
