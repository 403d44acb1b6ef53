"""What a reader is told of days and rings: a timetable laid open, what became of a time, odd bells."""

from datetime import date, datetime
from typing import Literal

from chime.diagnostics import Span
from chime.programme.model import SpecialDays
from chime.records import NamedTuple
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

    `gathered` are rings of a missing hour that the programme rings at another time, and
    `is_gathered` says that the ring found is such a one. `nearest` are the zone's rings just before
    and just after (on that date, else on the nearest dates that have any), `next_night` the ring a
    day later that belongs to the same service day.
    """

    zone: str
    rings: tuple[Ring, ...]
    silenced: tuple[Silenced, ...]
    removed: tuple[Removed, ...]
    displaced: tuple[Displaced, ...]
    gathered: tuple[DayRing, ...]
    is_gathered: bool
    nearest: tuple[Ring | None, Ring | None]
    next_night: Ring | None


class Standing(NamedTuple):
    """An exception that stands on a date, and whether it does anything there.

    `overruled` is a replacement that another line beats or undoes.
    """

    special: SpecialDays
    said: str | None
    role: Literal["acts", "passed by", "overruled", "idle"]


class DayStory(NamedTuple):
    """A whole date: what its pattern gives and by which line, what stands on it, and what rings.

    Rings are those of the calendar date, so also of the night before, and those of its own timetable
    that sound next morning. What is silenced or removed is the calendar date's, and of what was
    removed only that at whose time nothing rings any more.
    """

    date: date
    day: Day | None
    pattern_line: Span | None
    standing: tuple[Standing, ...]
    rings: tuple[Ring, ...]
    silenced: tuple[Silenced, ...]
    removed: tuple[Removed, ...]


class Asked(NamedTuple):
    """A time as asked for, seconds of `day`, what the clocks do then, and the zones' stories.

    `at` is the same time as the clock shows it, and `of_day` the story of that date.
    """

    day: date
    seconds: int
    at: datetime
    clocks: Literal["plain", "missing", "repeated"]
    of_day: DayStory
    stories: tuple[Story, ...]


# --------------------------------------------------------- bells in a closure


class BellsInside(NamedTuple):
    """A date that a closure spans, or a weekend that touches it, on which bells ring all the same.

    `said` is why the date is closed: the line's reason, or the name that a holiday or an imported day
    has. `by` is the exception that makes them ring, or the line of the first ring of the night before; None
    for a weekend, which rings as its pattern says.
    """

    day: date
    closure: Span
    said: str | None
    kind: Literal["exception", "night before", "weekend beside"]
    by: Span | None
    rings: int
