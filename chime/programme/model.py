"""The checked programme: names resolved, values read, nothing dated yet.

All records are frozen. Times of day are whole seconds (chime.clock), lengths whole nanometres and
other measured values whole numbers of the small unit that `Value.unit` names. Each record keeps
the span of the line that made it.
"""

from datetime import date
from typing import Literal, NamedTuple

from chime.diagnostics import Span

# ------------------------------------------------------------------ quantities

BaseUnit = Literal["us", "nm", "uV", "uA", "uohm", "nm2", "udeg", "ppm"]
"""Microseconds, nanometres, microvolts, microamperes, microohms, square nanometres,
microdegrees of angle, and parts per million."""


class Value(NamedTuple):
    """A measured or stated value of a machine, a supply or a line."""

    amount: int
    unit: BaseUnit
    assumed: bool
    span: Span


class Count(NamedTuple):
    """A whole number of things: rows, pins, positions."""

    amount: int
    assumed: bool
    span: Span


# --------------------------------------------------------- zones and what rings


class TrackChoice(NamedTuple):
    """On which tracks of the tape a zone is; `together` is `4 and 6`, else any one of them."""

    tracks: tuple[int, ...]
    together: bool
    span: Span


class Cable(NamedTuple):
    """A two-wire run: cross section in nm2 or a wire gauge, and where its loads hang."""

    cross_section: Value | None
    wire_gauge: int | None
    taps: tuple[Value, ...]
    every: Value | None
    span: Span


class Bells(NamedTuple):
    """The bells of a zone: a current (uA) or a resistance (uohm) each."""

    number: int
    each: Value
    supply: str | None
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


Pattern = WeekPattern | RotatingWeeks | CyclePattern


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


# --------------------------------------------------------------------- machine


class Sprocket(NamedTuple):
    """Drive holes: pitch, diameter, distance from the guided edge, all nm, and tolerances."""

    pitch: Value | None
    pitch_within: Value | None
    hole: Value | None
    hole_within: Value | None
    from_edge: Value | None
    from_edge_within: Value | None
    span: Span


class Drive(NamedTuple):
    """How the tape moves: in steps (travel and lag in us) or steadily."""

    kind: Literal["steps", "steady"]
    travel: Value | None
    lag: Value | None
    span: Span


class Hole(NamedTuple):
    """A programme hole: round (`along` is its diameter) or a slot, lengths in nm."""

    shape: Literal["round", "slot"]
    along: Value | None
    across: Value | None
    ends: Literal["square", "rounded"] | None
    within: Value | None
    span: Span


class Finger(NamedTuple):
    """What reads the holes: a tip that drops in, or a brush; lengths in nm."""

    mode: Literal["drops in", "brushes"] | None
    tip: Literal["round", "ball", "rectangle"] | None
    along: Value | None
    across: Value | None
    within: Value | None
    closing_at: Value | None
    span: Span


class Reads(NamedTuple):
    """How many rows ahead of the shown label a finger stands; track None is every track."""

    rows: Count
    track: int | None
    span: Span


class Gate(NamedTuple):
    """When the gate closes after the impulse and for how long (us); adjustable from-to."""

    closes: Value | None
    length: Value | None
    longest: Value | None
    within: Value | None
    span: Span


class DayWheel(NamedTuple):
    """Weekdays (0 is Monday) that the machine silences by itself."""

    weekdays: tuple[int, ...]
    turning_at: int | None
    within: Value | None
    zones: tuple[str, ...] | None
    span: Span


class DailySilence(NamedTuple):
    """Times of each day that the machine silences by itself, as a clock shows them.

    An end at or before the start is next morning, so equal times are a whole day; 24:00 (86,400) is midnight.
    """

    start: int
    end: int
    zones: tuple[str, ...] | None
    span: Span


class Switches(NamedTuple):
    """What a hand can turn off: each zone, some zones (then they are named), or only all together."""

    kind: Literal["each zone", "some zones", "all together"]
    zones: tuple[str, ...]
    span: Span


class Position(NamedTuple):
    """A selector position: which zone is wired to which track, in the order of zones and tracks."""

    number: int
    wirings: tuple[tuple[str, int], ...]
    span: Span


class Attended(NamedTuple):
    """When somebody can fit a tape or move a switch; an end past 24:00 (86,400) is next morning."""

    weekdays: tuple[int, ...]
    start: int
    end: int
    span: Span


class Named(NamedTuple):
    """A value with the word that names it: an error, a relay time, a cost.

    Errors are lengths (nm), but stretch is a share (ppm) and skew may be an angle (udeg); times are us.
    """

    name: str
    value: Value
    over: Value | None
    span: Span


class Wheel(NamedTuple):
    """The drive wheel: pins, their diameter (nm), and the wrap (microdegrees)."""

    pins: Count | None
    pin: Value | None
    wrap: Value | None
    span: Span


class Limit(NamedTuple):
    """A value with its tolerance: the reading allowance."""

    value: Value
    within: Value | None
    span: Span


class Machine(NamedTuple):
    """A tape machine; every part may be missing, and then verdicts that need it cannot be given."""

    name: str
    cycle: Value | None
    row_interval: Value | None
    pitch: Value | None
    sprocket: Sprocket | None
    friction: Span | None
    tape_width: Value | None
    tape_thickness: Value | None
    drive: Drive | None
    tracks: tuple[Value, ...]
    hole: Hole | None
    finger: Finger | None
    side_play: Value | None
    reads: tuple[Reads, ...]
    gate: Gate | None
    no_gate: Span | None
    relay: tuple[Named, ...]
    errors: tuple[Named, ...]
    web: Value | None
    joint_rows: Count | None
    day_wheels: tuple[DayWheel, ...]
    daily_silences: tuple[DailySilence, ...]
    switches: Switches | None
    selector_positions: Count | None
    positions: tuple[Position, ...]
    contacts: tuple[Literal["separate", "tied"], Span] | None
    contact_opens: Span | None
    out_of_use: tuple[tuple[int, Span], ...]
    attended: tuple[Attended, ...]
    costs: tuple[Named, ...]
    allowance: Limit | None
    wear: Value | None
    wheel: Wheel | None
    reserve: Value | None
    span: Span


class Supply(NamedTuple):
    """A supply: volts (uV), continuous amperes (uA), and a short-time rating."""

    name: str
    voltage: Value
    current: Value
    short_time: Value | None
    short_time_for: Value | None
    span: Span


class ClocksLoad(NamedTuple):
    """Clocks on a line: a current (uA) or a resistance (uohm) each."""

    number: int
    each: Value
    span: Span


class Line(NamedTuple):
    """A line of clocks fed by a supply."""

    name: str
    supply: str
    clocks: ClocksLoad | None
    cable: Cable | None
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
