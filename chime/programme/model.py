"""The checked programme: names resolved, values read, nothing dated yet.

All records are frozen. Times of day are whole seconds (chime.clock), lengths whole nanometres and
other measured values whole numbers of the small unit that `Value.unit` names. Each record keeps
the span of the line that made it.
"""

from datetime import date
from typing import Literal

from chime.diagnostics import Span
from chime.programme.equipment import Bells, Cable, Line, Machine, Supply
from chime.records import NamedTuple

# --------------------------------------------------------- zones and what rings


class TrackChoice(NamedTuple):
    """On which tracks of the tape a zone is; `together` is `4 and 6`, else any one of them."""

    tracks: tuple[int, ...]
    together: bool
    span: Span


class Zone(NamedTuple):
    """Where a bell sounds."""

    name: str
    label: str | None
    tracks: TrackChoice | None
    bells: Bells | None
    cable: Cable | None
    span: Span


class Group(NamedTuple):
    """A name for several zones, in alphabetical order."""

    name: str
    zones: tuple[str, ...]
    span: Span


class Audience(NamedTuple):
    """Who hears which zones; used by views only."""

    label: str
    zones: tuple[str, ...]
    span: Span


class Signal(NamedTuple):
    """How long a bell sounds, in milliseconds, and what is tolerated either side."""

    name: str
    length_ms: int
    tolerance_ms: int
    label: str | None
    span: Span


# ------------------------------------------------------------------ timetables


class Window(NamedTuple):
    """Times of day from `start`, included, to `end`, left out; None is without a bound."""

    start: int | None
    end: int | None
    span: Span


class Drop(NamedTuple):
    """Takes rings away: of a label, at clock times, in zones, in a window."""

    label: str | None
    times: tuple[int, ...]
    zones: tuple[str, ...] | None
    window: Window | None
    span: Span


class Shift(NamedTuple):
    """Moves every ring of some zones and a window by the same number of seconds."""

    seconds: int
    zones: tuple[str, ...] | None
    window: Window | None
    span: Span


class Move(NamedTuple):
    """Moves one period (to a start and an end) or one ring time (to a start)."""

    label: str | None
    at: int | None
    start: int
    end: int | None
    zones: tuple[str, ...] | None
    span: Span


Change = Drop | Shift | Move

Edge = Literal["start", "end"]


class WarningRing(NamedTuple):
    """A ring some seconds before the start or the end of each period."""

    signal: str
    before: int
    edge: Edge
    span: Span


class EachPeriod(NamedTuple):
    """What rings at the periods and pauses of a timetable."""

    start: str | None
    end: str | None
    warnings: tuple[WarningRing, ...]
    span: Span


class Period(NamedTuple):
    """A period, or a pause; rings as the timetable's `each period` says unless it is quiet.

    `zones` are the line's own, else the timetable's where it is written.
    """

    label: str
    start: int
    end: int
    zones: tuple[str, ...]
    is_pause: bool
    is_quiet: bool
    span: Span


class RingLine(NamedTuple):
    """Rings at clock times, each with the span of the time as written."""

    times: tuple[tuple[int, Span], ...]
    signal: str
    zones: tuple[str, ...]
    label: str | None
    span: Span


class Timetable(NamedTuple):
    """A day as written; `like` names the timetable it starts from."""

    name: str
    like: str | None
    zones: tuple[str, ...] | None
    each_period: EachPeriod | None
    periods: tuple[Period, ...]
    rings: tuple[RingLine, ...]
    changes: tuple[Change, ...]
    must_end: tuple[int, Span] | None
    span: Span


# ------------------------------------------------------------- weeks and terms


class DayChoice(NamedTuple):
    """A weekday or a day of a cycle and the timetable it runs; None is a silent day."""

    timetable: str | None
    span: Span


class Week(NamedTuple):
    """Seven day choices, Monday first."""

    name: str
    days: tuple[DayChoice, ...]
    span: Span


class Cycle(NamedTuple):
    """A rotating cycle of days on some weekdays (0 is Monday); days[0] is day 1."""

    name: str
    weekdays: frozenset[int]
    days: tuple[DayChoice, ...]
    span: Span


class WeekPattern(NamedTuple):
    """Every week of the term is this one."""

    week: str
    span: Span


class RotatingWeeks(NamedTuple):
    """A, B weeks: from the anchor, counting school weeks or every week."""

    weeks: tuple[str, ...]
    anchor: date
    counts_every_week: bool
    span: Span


class CyclePattern(NamedTuple):
    """A cycle from its anchor; `closed_days` None means that the line does not say."""

    cycle: str
    anchor: date
    first_day: int
    closed_days: Literal["slip", "skip"] | None
    span: Span


class UnknownPattern(NamedTuple):
    """What a term runs could not be read; only a programme with errors has it."""

    span: Span


Pattern = WeekPattern | RotatingWeeks | CyclePattern | UnknownPattern


class Term(NamedTuple):
    """A term, both dates included."""

    label: str
    first: date
    last: date
    pattern: Pattern
    span: Span


# ------------------------------------------------------------------ exceptions


class OneDate(NamedTuple):
    """One date."""

    day: date


class DateRange(NamedTuple):
    """Every date from first to last, both included."""

    first: date
    last: date


class EveryWeekday(NamedTuple):
    """One weekday (0 is Monday) from first to last."""

    weekday: int
    first: date
    last: date


class Holidays(NamedTuple):
    """The public holidays of a region, as the `holidays` library gives them: date and name."""

    region: str
    days: tuple[tuple[date, str], ...]


class ImportedDays(NamedTuple):
    """The all-day entries of an iCalendar file: date and summary."""

    file: str
    days: tuple[tuple[date, str], ...]


When = OneDate | DateRange | EveryWeekday | Holidays | ImportedDays


class Replace(NamedTuple):
    """The whole day runs another timetable, or is silent (None)."""

    timetable: str | None
    instead: bool


class AsUsual(NamedTuple):
    """Undoes every replacement of the date."""


class Add(NamedTuple):
    """Adds rings; the reason of the exception is their label."""

    times: tuple[tuple[int, Span], ...]
    signal: str
    zones: tuple[str, ...]


class Silence(NamedTuple):
    """Silences zones, a window, or both; by the clock where there is a window."""

    zones: tuple[str, ...] | None
    window: Window | None


Special = Replace | AsUsual | Add | Silence | Drop | Shift | Move


class SpecialDays(NamedTuple):
    """One line of the exceptions: when, what, and why."""

    when: When
    special: Special
    reason: str | None
    span: Span


# ------------------------------------------------------------------- programme


class ClockChoices(NamedTuple):
    """What is done with rings in the hours of a clock change."""

    missing: Literal["skip", "ring"] | None
    missing_at: int | None
    repeated: Literal["first", "second", "both"] | None
    span: Span | None


class Programme(NamedTuple):
    """A checked programme. Records stand in the order of their names (or dates), never of lines."""

    name: str
    place: str
    issue: int
    issued: date
    published: str | None
    longest_ring_ms: int
    hand_rings: bool
    clocks: ClockChoices
    zones: tuple[Zone, ...]
    groups: tuple[Group, ...]
    audiences: tuple[Audience, ...]
    signals: tuple[Signal, ...]
    timetables: tuple[Timetable, ...]
    weeks: tuple[Week, ...]
    cycles: tuple[Cycle, ...]
    terms: tuple[Term, ...]
    specials: tuple[SpecialDays, ...]
    machine: Machine | None
    supplies: tuple[Supply, ...]
    lines: tuple[Line, ...]
    holidays_release: str | None
    span: Span


# ------------------------------------------------------------ what is not certain


class Unsure(NamedTuple):
    """What is not certain of a programme with errors: nothing is said that rests on it.

    A day of a week or of a cycle of which it is not known what it runs stands in the programme as a
    silent one, and is named here by its week (0 is Monday) or cycle (0 is day 1).
    """

    timetables: frozenset[str] = frozenset()
    """Timetables with a faulty line, a name that was not found, or such a timetable as their base."""
    labels: bool = False
    """A label of a timetable may be missing."""
    signals: frozenset[str] = frozenset()
    """Signals whose length is not known."""
    weekdays: frozenset[tuple[str, int]] = frozenset()
    cycle_days: frozenset[tuple[str, int]] = frozenset()
    patterns: frozenset[str] = frozenset()
    """Labels of the terms whose pattern is not known."""
    terms: bool = False
    """A term, or the dates of one, may be missing."""
    closing: frozenset[date] = frozenset()
    """Dates that a lost line may close or open."""
    running: frozenset[date] = frozenset()
    """Dates that a lost line may give another timetable; all of `closing` are among them."""
    changing: frozenset[date] = frozenset()
    """Dates on which a lost line may add, change or silence rings."""
    clocks: bool = False
    """What is done in the hours of a clock change is not known."""
    longest: bool = False
    """How long a sound may be is not known."""


SURE = Unsure()
"""Nothing is in doubt: a programme without errors."""
