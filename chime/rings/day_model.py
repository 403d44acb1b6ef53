"""What a reader is told of days and rings: a timetable laid open, what became of a time, odd bells."""

from datetime import date, datetime
from typing import Literal, NamedTuple

from chime.diagnostics import Span
from chime.programme.model import SpecialDays
from chime.rings.model import Day, DayProgramme, DayRing, Removed, Ring, Silenced

# ------------------------------------------------------- a timetable by itself


class Stretch(NamedTuple):
    """A period or a pause of one zone as it stands after all changes.

    `start` or `end` is None where a change dropped that ring of it alone.
    """

    label: str
    zone: str
    start: int | None
    end: int | None
    is_pause: bool
    is_quiet: bool
    span: Span


class Difference(NamedTuple):
    """A ring that a timetable has not, has besides, or has at another time than the one it starts from.

    `warnings` is how many warnings go with it. `to` is None unless it was moved.
    """

    kind: Literal["dropped", "moved", "added"]
    at: int
    to: int | None
    zone: str
    label: str | None
    warnings: int


class Against(NamedTuple):
    """A timetable held against the one that it starts from.

    `kept` counts the rings that stand as in the base; `written_again` those that a line drops and
    another writes alike. `each_period` is its own line, where that line rings otherwise.
    """

    base: str
    base_rings: int
    kept: int
    written_again: int
    each_period: Span | None
    differences: tuple[Difference, ...]


class PlainDay(NamedTuple):
    """A timetable as a day without a date: what rings, its periods and pauses, and what differs."""

    name: str
    span: Span
    lines: tuple[Span, ...]
    programme: DayProgramme
    stretches: tuple[Stretch, ...]
    must_end: tuple[int, Span] | None
    against: Against | None


# ------------------------------------------------------ what became of a time


class Displaced(NamedTuple):
    """A ring that the pattern's timetable would give on a day on which another one, or nothing, runs."""

    day: Day
    ring: DayRing
    timetable: str


class Story(NamedTuple):
    """What became of one time in one zone.

    `gathered` are rings of a missing hour that the programme rings at another time; `nearest` the
    zone's rings just before and just after (on that date, else the nearest dates that have any), and
    `next_night` the ring a day later that belongs to the same service day.
    """

    zone: str
    rings: tuple[Ring, ...]
    silenced: tuple[Silenced, ...]
    removed: tuple[Removed, ...]
    displaced: tuple[Displaced, ...]
    gathered: tuple[DayRing, ...]
    nearest: tuple[Ring | None, Ring | None]
    next_night: Ring | None


class Asked(NamedTuple):
    """A time as asked for: what the clocks do then, the date's own day, and the zones' stories."""

    at: datetime
    clocks: Literal["plain", "missing", "repeated"]
    day: Day | None
    stories: tuple[Story, ...]


class Standing(NamedTuple):
    """An exception that stands on a date, and whether it does anything there.

    `overruled` is a replacement that another line beats or undoes.
    """

    special: SpecialDays
    said: str | None
    role: Literal["acts", "passed by", "overruled", "idle"]


class DayStory(NamedTuple):
    """A whole date: what its pattern gives and by which line, what stands on it, and what rings.

    Rings and silences are those of the calendar date, so also of the night before; what was removed
    is the service day's.
    """

    date: date
    day: Day | None
    pattern_line: Span | None
    standing: tuple[Standing, ...]
    rings: tuple[Ring, ...]
    silenced: tuple[Silenced, ...]
    removed: tuple[Removed, ...]


# --------------------------------------------------------- bells in a closure


class BellsInside(NamedTuple):
    """A date that a closure spans, or a weekend that touches it, on which bells ring all the same.

    `by` is the line that makes them ring; of the night before, the line of the first such ring.
    """

    day: date
    closure: Span
    kind: Literal["replace", "as usual", "add", "passed by", "night before", "weekend beside"]
    by: Span | None
    rings: int
