"""What is built, wired and measured: values, the tape machine, cables, supplies and lines.

All records are frozen. A value is a whole number of the small unit that it names; each record keeps the span
of the line that made it. What nobody measured is None.
"""

from typing import Literal

from chime.diagnostics import Span
from chime.records import NamedTuple

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


class Sprocket(NamedTuple):
    """Drive holes: pitch, length and width (or diameter), middle from the guided edge, nm; and tolerances."""

    pitch: Value | None
    pitch_within: Value | None
    hole: Value | None
    hole_across: Value | None
    hole_within: Value | None
    from_edge: Value | None
    from_edge_within: Value | None
    span: Span

    def width(self) -> Value | None:
        """Return how wide a drive hole is across the tape; a round one as wide as long."""
        return self.hole if self.hole_across is None else self.hole_across


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
    """Which zones have a switch: each of them, those that are named, or only all of them together."""

    kind: Literal["each zone", "some zones", "all together"]
    zones: tuple[str, ...]
    span: Span


class Position(NamedTuple):
    """A selector position: which zone is wired to which track, in the order of zones and tracks."""

    number: int
    wirings: tuple[tuple[str, int], ...]
    span: Span


class Attended(NamedTuple):
    """Hours with a person at the machine; an end past 24:00 (86,400) is next morning."""

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
