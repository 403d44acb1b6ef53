"""The values of a machine by their names, in millimetres, seconds and radians, each with how it is known.

A check asks for a value by its name and says so; what a machine does not say is absent, and a check that
needs it cannot be made. A few values count as nothing where they are left out (`NOTHING_IF_ABSENT`).
"""

from collections.abc import Iterator, Mapping
from math import radians

from chime.diagnostics import Span
from chime.programme.equipment import Count, Machine, Named, Value
from chime.records import NamedTuple
from chime.verify.model import Status

NOTHING_IF_ABSENT = frozenset(
    {
        "lag of a step",
        "wear",
        "reserve",
        "tolerance of the drive holes",
        "tolerance of the drive holes' place",
        *(f"error of the {name}" for name in ("print", "index", "seam", "wheel", "skew")),
        "error across the tape",
    }
)
"""What counts as nothing where nobody has said it; a check that it would change still names it."""


ANGLE = "angle"
"""The word of an amount in radians: skew may be said as a length or as an angle."""


class Known(NamedTuple):
    """A value that a machine says: its amount, or a word for what is no amount, and where it is said."""

    amount: float
    word: str
    status: Status
    span: Span


class Sheet(NamedTuple):
    """All that a machine says, by name, and the machine's own line."""

    values: Mapping[str, Known]
    machine: Machine

    def amount(self, name: str) -> float:
        """Return an amount; nothing for a value that may be left out and is."""
        return self.values[name].amount if name in self.values else 0.0

    def word(self, name: str) -> str:
        """Return a word; empty if it is not said."""
        return self.values[name].word if name in self.values else ""

    def status(self, name: str) -> Status:
        """Return how a value is known."""
        return self.values[name].status if name in self.values else "absent"

    def lacks(self, name: str) -> bool:
        """Tell whether a check that needs a value cannot be made."""
        return name not in self.values and name not in NOTHING_IF_ABSENT


def read_sheet(machine: Machine) -> Sheet:
    """Gather what a machine says."""
    parts = (
        *_loop_and_drive(machine),
        *_sprocket_and_wheel(machine),
        *_tape_and_holes(machine),
        *_fingers(machine),
        *_gate_and_relay(machine),
        *_errors_and_limits(machine),
    )
    return Sheet({name: known for name, known in parts if known is not None}, machine)


Pairs = Iterator[tuple[str, Known | None]]

_SCALES = {"nm": 1e-6, "us": 1e-6, "ppm": 1e-6, "udeg": radians(1e-6)}


def _value(value: Value | None, scale: float | None = None) -> Known | None:
    if value is None:
        return None
    amount = value.amount * (_SCALES[value.unit] if scale is None else scale)
    return Known(amount, "", "assumed" if value.assumed else "measured", value.span)


def _count(count: Count | None) -> Known | None:
    if count is None:
        return None
    return Known(float(count.amount), "", "assumed" if count.assumed else "measured", count.span)


def _word(word: str | None, span: Span | None) -> Known | None:
    return None if word is None or span is None else Known(0.0, word, "measured", span)


def _loop_and_drive(machine: Machine) -> Pairs:
    drive = machine.drive
    yield "length of the loop", _value(machine.cycle)
    yield "length of a row", _value(machine.row_interval)
    yield "row pitch", _value(machine.pitch)
    yield "kind of drive", None if drive is None else _word(drive.kind, drive.span)
    yield "travel time of a step", None if drive is None else _value(drive.travel)
    yield "lag of a step", None if drive is None else _value(drive.lag)
    for number, place in enumerate(machine.tracks, start=1):
        yield f"place of track {number}", _value(place)


def _sprocket_and_wheel(machine: Machine) -> Pairs:
    sprocket, wheel = machine.sprocket, machine.wheel
    if sprocket is not None:
        yield "how the tape is held", _word("sprocket", sprocket.span)
        yield "pitch of the drive holes", _value(sprocket.pitch)
        yield "tolerance of the drive holes' pitch", _value(sprocket.pitch_within)
        yield "size of the drive holes", _value(sprocket.hole)
        yield "width of the drive holes", _value(sprocket.hole_across)
        yield "tolerance of the drive holes", _value(sprocket.hole_within)
        yield "place of the drive holes", _value(sprocket.from_edge)
        yield "tolerance of the drive holes' place", _value(sprocket.from_edge_within)
    else:
        yield "how the tape is held", _word("friction", machine.friction)
    if wheel is not None:
        yield "pins of the wheel", _count(wheel.pins)
        yield "thickness of a pin", _value(wheel.pin)
        yield "wrap of the wheel", _value(wheel.wrap, 1e-6)


def _tape_and_holes(machine: Machine) -> Pairs:
    hole = machine.hole
    yield "width of the tape", _value(machine.tape_width)
    yield "thickness of the tape", _value(machine.tape_thickness)
    if hole is not None:
        yield "shape of the holes", _word(hole.shape, hole.span)
        yield "length of the holes", _value(hole.along)
        yield "width of the holes", _value(hole.across if hole.shape == "slot" else None)
        yield "ends of the holes", _word(hole.ends, hole.span)
        yield "tolerance of the holes", _value(hole.within)


def _fingers(machine: Machine) -> Pairs:
    finger, allowance = machine.finger, machine.allowance
    if finger is not None:
        yield "how the fingers read", _word(finger.mode, finger.span)
        yield "shape of the tips", _word(finger.tip, finger.span)
        yield "length of the tips", _value(finger.along)
        yield "width of the tips", _value(finger.across if finger.tip == "rectangle" else None)
        yield "tolerance of the tips", _value(finger.within)
        yield "closing depth", _value(finger.closing_at)
    if allowance is not None:
        yield "reading allowance", _value(allowance.value)
        yield "tolerance of the reading allowance", _value(allowance.within)
    yield "side play", _value(machine.side_play)
    yield "wear", _value(machine.wear)
    for track in range(1, len(machine.tracks) + 1):
        own = [reads.rows for reads in machine.reads if reads.track == track]
        every = [reads.rows for reads in machine.reads if reads.track is None]
        yield f"rows ahead of track {track}", _count(next(iter(own + every), None))


def _gate_and_relay(machine: Machine) -> Pairs:
    gate = machine.gate
    if gate is None:
        yield "gate", _word("none", machine.no_gate)
    else:
        yield "gate", _word("gate", gate.span)
        yield "closing of the gate", _value(gate.closes)
        yield "length of the gate", _value(gate.length)
        yield "tolerance of the gate", _value(gate.within)
    said = {part.name: part for part in machine.relay}
    yield "time in which the relay operates", _named(said.get("operates"))
    yield "time in which the relay releases", _named(said.get("releases"))
    yield "bouncing of the contacts", _named(said.get("bounces"))


def _errors_and_limits(machine: Machine) -> Pairs:
    for part in machine.errors:
        if part.name == "across":
            yield "error across the tape", _named(part)
        elif part.name == "stretch":
            yield "stretch of the tape", _named(part)
            yield "length that is stretched", _value(part.over)
        else:
            yield f"error of the {part.name}", _named(part)
    yield "least web", _value(machine.web)
    yield "reserve", _value(machine.reserve)
    yield "lap of the joint", _count(machine.joint_rows)


def _named(part: Named | None) -> Known | None:
    known = None if part is None else _value(part.value)
    if known is not None and part is not None and part.value.unit == "udeg":
        return known._replace(word=ANGLE)
    return known
