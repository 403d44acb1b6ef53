"""Rows, holes and tapes. Places on the tape are whole nanometres."""

from datetime import date, datetime
from fractions import Fraction
from typing import Literal

from chime.diagnostics import Span
from chime.records import NamedTuple

Cycle = Literal["day", "week", "half day", "other"]


class Hole(NamedTuple):
    """One hole to punch.

    `row` is the label that is printed beside the hole: the row of its ring and so many more as its
    track is read ahead, round the loop. `rings_at` are the times of the cycle at which it
    passes under its finger, in seconds from the cycle's beginning. `along_nm` is row times pitch,
    `across_nm` the distance from the guided edge; None where the machine does not say.
    """

    row: int
    track: int
    zones: tuple[str, ...]
    rings_at: tuple[int, ...]
    along_nm: int | None
    across_nm: int | None
    because: tuple[Span, ...]


class Cut(NamedTuple):
    """Where a loop is cut: before this row, with which its lap begins.

    `is_clear` tells whether the joint keeps away from 00:00 and from the hours in which clocks change.
    """

    row: int
    is_clear: bool


class Tape(NamedTuple):
    """A loop to punch: its letter, the dates it serves, its holes in tape order, where it is cut.

    `cut` is None where every row holds a hole.
    """

    id: str
    rows: int
    row_interval_s: int
    cycle: Cycle
    dates: tuple[date, ...]
    holes: tuple[Hole, ...]
    cut: Cut | None = None


class GateSetting(NamedTuple):
    """When the gate closes after the impulse, for how long, and how long a ring then sounds; microseconds."""

    closes_us: int | None
    length_us: int
    sounds_us: int


DutyKind = Literal[
    "fit tape", "position", "bells off", "bells on", "zone off", "zone on", "ring", "correct clocks"
]


class Moment(NamedTuple):
    """A naive local time; `fold` 1 is the second pass of a repeated hour."""

    at: datetime
    fold: Literal[0, 1]


class RingAt(NamedTuple):
    """A sound of a zone at a local time, wanted or not."""

    at: datetime
    fold: Literal[0, 1]
    zone: str


class Duty(NamedTuple):
    """What a person must do, at any time from `begins` to `ends`, both included; a ring at that very time.

    `zone` is that of a zone's switch or button, `tape` the tape to fit, `position` that to set the selector
    to, `lifts` the duty whose silence this one ends.
    If it is forgotten the rings of `missing` do not sound and those of `extra` do, until a later duty puts it
    right; `others` says whether every other duty is done as early or as late as it may be.
    """

    id: str
    do: DutyKind
    what: str
    begins: Moment
    ends: Moment
    reason: str
    zone: str | None
    tape: str | None
    position: int | None
    lifts: str | None
    missing: tuple[RingAt, ...]
    extra: tuple[RingAt, ...]
    others: Literal["early", "late"]


class DaySilence(NamedTuple):
    """A stretch of one date in which a zone, None is every zone, does not sound.

    `starts` and `ends` are seconds of the day on the clock, at most 24:00; the start is held and the end not.
    `duty` is the duty that began a silence by hand. By a tape change, or a move of the selector, nothing
    sounds because the tape or position of the date is not that on the machine yet, or is no more; `duty` is
    that which changes it.
    """

    zone: str | None
    starts: int
    starts_fold: Literal[0, 1]
    ends: int
    ends_fold: Literal[0, 1]
    by: Literal["day wheel", "time switch", "hand", "tape change", "selector move"]
    duty: str | None
    reason: str


class HandRing(NamedTuple):
    """A ring that a hand gives: seconds of the civil date, the pass of an hour shown twice, and its duty."""

    time: int
    fold: Literal[0, 1]
    zone: str
    signal: str
    duty: str


class DayPlan(NamedTuple):
    """One civil date: the tape on the machine, the selector's position, what is silenced, and rung by hand.

    `tape` is None before the first is fitted, `position` where no selector is set.
    """

    day: date
    tape: str | None
    position: int | None
    silenced: tuple[DaySilence, ...]
    by_hand: tuple[HandRing, ...] = ()


ZonesWired = tuple[tuple[str, tuple[int, ...]], ...]
"""Zones in order, each with all tracks it hears."""


class Wired(NamedTuple):
    """The zones that are wired in a position of the selector, None where there is none to choose."""

    position: int | None
    zones: ZonesWired


class Operation(NamedTuple):
    """How the tapes are used: what is on, what is silenced and what is to do, date by date.

    `wirings` are those of the positions that are used, in order; `gate` is None where the machine has none
    or does not say.
    """

    wirings: tuple[Wired, ...]
    gate: GateSetting | None
    days: tuple[DayPlan, ...]
    duties: tuple[Duty, ...]

    @property
    def is_moved(self) -> bool:
        """Tell whether the selector is moved from one position to another."""
        return len(self.wirings) > 1

    def wiring_in(self, position: int | None) -> ZonesWired:
        """Return the zones and their tracks in a position; of one that is not used, those of the first."""
        return next((each.zones for each in self.wirings if each.position == position), self.wirings[0].zones)

    @property
    def tracks_by_zone(self) -> dict[str, tuple[int, ...]]:
        """Return all tracks that each zone hears in any position."""
        found: dict[str, set[int]] = {}
        for wired in self.wirings:
            for zone, tracks in wired.zones:
                found.setdefault(zone, set()).update(tracks)
        return {zone: tuple(sorted(tracks)) for zone, tracks in sorted(found.items())}


class TermOption(NamedTuple):
    """A way to serve a term: what it takes in minutes and by hand, and what no plan can beat.

    `changes` are of the tape, `moves` of the selector. Where `least` is less than `minutes` the search was
    stopped before it was proven.
    """

    name: str
    minutes: Fraction
    least: Fraction
    tapes: int
    changes: int
    moves: int
    silences: int
    hand_rings: int
    tracks: int
    holes: int


class TermEdit(NamedTuple):
    """Two days that a timetabler might make one, how many rings differ, and what that would save."""

    one: str
    other: str
    differing: int
    saves: Fraction
    tapes: int


class TermPlan(NamedTuple):
    """What a term costs on a machine as it stands, then on better ones, and the edits that save most.

    `costs` are the minutes of a new tape, a tape change, a move of the selector, a silence, a ring by hand.
    """

    costs: tuple[Fraction, Fraction, Fraction, Fraction, Fraction]
    options: tuple[TermOption, ...]
    edits: tuple[TermEdit, ...]


class TapeSet(NamedTuple):
    """Every tape of a programme and, for each date with rings, the tape that is on.

    `unchecked` is what was taken for granted, `decided` what was chosen for the machine to be wired by, both
    in sentences. `retired` are letters, with fingerprints of holes, of tapes of earlier plans that are not
    among `tapes`.
    """

    tapes: tuple[Tape, ...]
    tape_on: tuple[tuple[date, str], ...]
    unchecked: tuple[str, ...]
    operation: Operation
    retired: tuple[tuple[str, str], ...]
    decided: tuple[str, ...] = ()
