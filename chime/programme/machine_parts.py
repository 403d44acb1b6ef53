"""The lines of a machine that say how it is made: each function reads the rule of its name.

Each takes the line's node, the machine as the lines before left it, and what to read it with; it
returns the machine with what the line says. A value with a fault is left out, as if nobody had said it.
"""

from typing import Literal

from chime.diagnostics import Span
from chime.parsing.tree import Node
from chime.programme import machine_faults as faults
from chime.programme.equipment import (
    BaseUnit,
    Drive,
    Finger,
    Gate,
    Hole,
    Limit,
    Machine,
    Reads,
    Sprocket,
    Value,
    Wheel,
)
from chime.programme.machine_values import (
    Reading,
    named_parts,
    parts_of,
    refuse_zero,
    share_in,
    track_of,
    value_in,
    values_in,
    whole_row_intervals,
    within_in,
)
from chime.programme.values import count_of, value_of, values_of

RELAY: dict[str, BaseUnit] = {"operates": "us", "releases": "us", "bounces": "us"}

ERRORS: dict[str, BaseUnit] = {
    "jig": "nm",
    "registration": "nm",
    "detent": "nm",
    "stretch": "ppm",
    "print": "nm",
    "index": "nm",
    "seam": "nm",
    "wheel": "nm",
    "across": "nm",
    "skew": "nm",
}
"""The unit of each error; skew may also be an angle, in microdegrees."""

COSTS: dict[str, BaseUnit] = {
    "tape change": "us",
    "selector move": "us",
    "silence": "us",
    "hand ring": "us",
    "new tape": "us",
}

_FINGER_KINDS = {
    "finger_drops_in": "mode",
    "finger_brushes": "mode",
    "tip_round": "tip",
    "tip_ball": "tip",
    "tip_rectangle": "tip",
}


# ------------------------------------------------------------------ loop and tape


def loop_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`loop 24 h in rows of 1 min`: the rows must fill the loop."""
    rows = node.node("row_interval")
    cycle, interval = value_in(node, "us", reading.faults), value_in(rows, "us", reading.faults)
    if rows is not None and cycle is not None and interval is not None and cycle.amount % interval.amount:
        nearest = whole_row_intervals(cycle, next(rows.nodes("quantity")))
        reading.faults.append(faults.rows_do_not_fill_loop(interval.span, cycle.span, nearest))
    return machine._replace(cycle=cycle, row_interval=interval)


def row_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`row 2.54 mm`: the pitch along the tape."""
    return machine._replace(pitch=value_in(node, "nm", reading.faults))


def sprocket_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`sprocket every 2.54 mm within 0.02 mm, hole 1.17 mm, 9.96 mm from the guided edge`.

    `hole 1.98 mm by 2.79 mm` is longer or wider than round; the place is that of its middle.
    """
    parts = parts_of(node, reading.faults, {})
    pitch, pitch_within = _toleranced(parts.get("sprocket_pitch"), reading)
    drive, hole, across = parts.get("sprocket_hole"), None, None
    if drive is not None:
        hole, across = values_in(drive, "nm", reading.faults)
    hole_within = within_in(drive, "nm", reading.faults, (hole, across))
    place, place_within = _toleranced(parts.get("sprocket_place"), reading)
    sprocket = Sprocket(pitch, pitch_within, hole, across, hole_within, place, place_within, node.span)
    return machine._replace(sprocket=sprocket)


def _toleranced(part: Node | None, reading: Reading) -> tuple[Value | None, Value | None]:
    value = value_in(part, "nm", reading.faults)
    return value, within_in(part, "nm", reading.faults, (value,))


def friction_line(node: Node, machine: Machine, _reading: Reading) -> Machine:
    """`friction`."""
    return machine._replace(friction=node.span)


def tape_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`tape 25.4 mm wide, 0.1 mm thick`."""
    parts = parts_of(node, reading.faults, {})
    width = value_in(parts.get("tape_width"), "nm", reading.faults)
    thickness = value_in(parts.get("tape_thickness"), "nm", reading.faults)
    return machine._replace(tape_width=width, tape_thickness=thickness)


def drive_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`drive steps in 0.35 s after 0.04 s`, `drive steady`; a step may begin at once, after 0 s."""
    steps = node.node("drive_steps")
    if steps is None:
        return machine._replace(drive=Drive("steady", None, None, node.span))
    travel = value_in(steps, "us", reading.faults)
    lag = value_in(steps.node("step_lag"), "us", reading.faults, zero=True)
    return machine._replace(drive=Drive("steps", travel, lag, node.span))


def tracks_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`tracks at 6.5, 11, 15.5 mm from the guided edge`: in the order of the tracks' numbers."""
    listed = node.node("quantities")
    assert listed is not None
    tracks = refuse_zero(values_of(listed, "nm", reading.faults), reading.faults)
    places: dict[int, Value] = {}
    for track in tracks:
        if track.amount in places:
            fault = faults.tracks_in_one_place(track.span, places[track.amount].span)
            reading.faults.append(fault)
        places.setdefault(track.amount, track)
    return machine._replace(tracks=tracks)


# --------------------------------------------------------------- holes and fingers


def hole_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`hole round 1.83 mm within 0.05 mm`, `hole slot 1.8 mm by 1.3 mm, square, within 0.05 mm`."""
    shape = node.node("hole_round", "hole_slot")
    assert shape is not None
    along, across = values_in(shape, "nm", reading.faults)
    within = within_in(shape, "nm", reading.faults, (along, across))
    ends: Literal["square", "rounded"] | None = None
    if shape.node("square_end", "rounded_end") is not None:
        ends = "square" if shape.node("square_end") is not None else "rounded"
    kind: Literal["round", "slot"] = "round" if shape.rule == "hole_round" else "slot"
    return machine._replace(hole=Hole(kind, along, across, ends, within, node.span))


def finger_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`finger drops in, round 0.70 mm within 0.04 mm`, `finger brushes, 0.60 mm by 0.45 mm`."""
    parts = parts_of(node, reading.faults, _FINGER_KINDS)
    finger = Finger(None, None, None, None, None, None, node.span)
    if "mode" in parts:
        drops_in = parts["mode"].rule == "finger_drops_in"
        finger = finger._replace(mode="drops in" if drops_in else "brushes")
    if "tip" in parts:
        finger = _with_tip(finger, parts["tip"], reading)
    return machine._replace(finger=finger)


def _with_tip(finger: Finger, tip: Node, reading: Reading) -> Finger:
    """`ball 0.70 mm within 0.02 mm closing at 0.12 mm`: a diameter, or along the tape by across it."""
    shapes: dict[str, Literal["round", "ball", "rectangle"]] = {
        "tip_round": "round",
        "tip_ball": "ball",
        "tip_rectangle": "rectangle",
    }
    along, across = values_in(tip, "nm", reading.faults)
    return finger._replace(
        tip=shapes[tip.rule],
        along=along,
        across=across,
        within=within_in(tip, "nm", reading.faults, (along, across)),
        closing_at=value_in(tip.node("closing"), "nm", reading.faults),
    )


def side_play_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`side play 0.15 mm`."""
    return machine._replace(side_play=value_in(node, "nm", reading.faults, zero=True))


def allowance_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """Take `allowance 0.75 mm within 0.04 mm`.

    It is measured: negative for brushes, and it may lie near nothing, so its tolerance may be the larger.
    """
    measured = node.node("plain_or_signed")
    assert measured is not None
    value = value_of(measured, "nm", reading.faults, zero=True)
    within = within_in(node, "nm", reading.faults)
    return machine._replace(allowance=Limit(value, within, node.span) if value is not None else None)


def wear_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`wear 0.08 mm`."""
    return machine._replace(wear=value_in(node, "nm", reading.faults, zero=True))


def web_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`web at least 0.35 mm`."""
    return machine._replace(web=value_in(node, "nm", reading.faults, zero=True))


def wheel_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`wheel 20 pins 1.05 mm over 140 degrees`."""
    counted = node.node("wheel_pins")
    pins = count_of(counted.word("NUMBER"), counted, reading.faults) if counted else None
    pin = value_in(node.node("pin_diameter"), "nm", reading.faults)
    wrap = value_in(node.node("wheel_wrap"), "udeg", reading.faults)
    return machine._replace(wheel=Wheel(pins, pin, wrap, node.span))


def joint_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`joint lap of 10 rows`; of 0 rows where the ends meet without a lap."""
    return machine._replace(joint_rows=count_of(node.word("NUMBER"), node, reading.faults, 0))


# ------------------------------------------------------------------- reading in time


def reads_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """Take `reads 2 rows ahead`, `reads 2 rows ahead on track 1, 4 rows ahead on track 2`."""
    for part in node.nodes("reads_part"):
        rows = count_of(part.word("NUMBER"), part, reading.faults, 0)
        where = part.node("on_track")
        track = track_of(where.word("NUMBER"), machine, reading.faults) if where else None
        if rows is None or (where is not None and track is None):
            continue
        read = Reads(rows, track, part.span)
        first = next((r for r in machine.reads if track is None or r.track in (None, track)), None)
        if first is not None:
            span = where.span if where else part.span
            reading.faults.append(faults.reads_twice(span, first.span))
        ordered = sorted((*machine.reads, read), key=lambda r: r.track or 0)
        machine = machine._replace(reads=tuple(ordered))
    return machine


def gate_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`gate at 7 s for 5 s, within 0.4 s`, or adjustable: `gate at 7 s for 3 s to 12 s`."""
    closes = value_in(node.node("gate_at"), "us", reading.faults, zero=True)
    how_long = node.node("gate_for")
    length, longest = values_in(how_long, "us", reading.faults) if how_long else (None, None)
    if how_long and length is not None and longest is not None and longest.amount <= length.amount:
        reading.faults.append(faults.gate_range_backwards(how_long.span, length, longest))
    within = within_in(node, "us", reading.faults, (length,))
    return machine._replace(gate=Gate(closes, length, longest, within, node.span))


def no_gate_line(node: Node, machine: Machine, _reading: Reading) -> Machine:
    """`no gate`."""
    return machine._replace(no_gate=node.span)


def relay_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`relay operates 25 ms, releases 15 ms, bounces 10 ms`."""
    return machine._replace(relay=named_parts(node, RELAY, reading.faults))


def errors_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`errors jig 0.07 mm, detent 0.06 mm, stretch 0.03 % over 32 mm`."""
    return machine._replace(errors=named_parts(node, ERRORS, reading.faults))


def costs_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`costs tape change 15 min, selector move 2 min, silence 3 min, hand ring 4 min, new tape 75 min`."""
    return machine._replace(costs=named_parts(node, COSTS, reading.faults))


def reserve_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`reserve 5 %`: a share of a row."""
    return machine._replace(reserve=share_in(node, reading.faults))


# ------------------------------------------------------- what contradicts between lines


def refuse_both(lines: dict[str, Node], reading: Reading) -> None:
    """Complain of a gate and no gate, and of a sprocket and friction; `lines` are by their rules."""
    pairs = (
        ("gate_line", "no_gate_line", faults.gate_and_no_gate),
        ("sprocket_line", "friction_line", faults.sprocket_and_friction),
    )
    for one, other, complaint in pairs:
        if one in lines and other in lines:
            first, again = sorted((lines[one].span, lines[other].span), key=_place)
            reading.faults.append(complaint(again, first))


def _place(span: Span) -> int:
    return span.start
