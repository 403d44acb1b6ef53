"""Whether the values of a machine can be true together; each impossible pair is one fault.

What merely reads badly is not looked at here: that is for the checks of the tape, which know its holes.
"""

from collections.abc import Iterator

from chime.diagnostics import Diagnostic
from chime.programme import machine_shape_faults as faults
from chime.programme.equipment import Machine

MOST_PITCH_NM = 25_000_000
"""A row of 25 mm: more than any tape moves in one (common practice, no published source)."""

LEAST_PITCH_NM = 200_000
"""A row of 0.2 mm: less than any tape moves in one (common practice, no published source)."""

MOST_LOOP_NM = 200_000_000_000
"""A loop of 200 m: more than any machine carries (common practice, no published source)."""


MOST_THICKNESS_NM = 2_000_000
"""A tape of 2 mm: thicker than any that is punched (common practice, no published source)."""

MOST_WIDTH_NM = 300_000_000
"""A tape of 300 mm: wider than any that fingers read (common practice, no published source)."""

LEAST_PIN_NM = 200_000
"""A pin of 0.2 mm: thinner than any that moves a tape (common practice, no published source)."""

MOST_DEPTH_NM = 5_000_000
"""A finger that closes 5 mm below the tape: deeper than any sinks (common practice, no published source)."""


TURN = 360_000_000
"""A whole turn in microdegrees."""


def find_impossible(machine: Machine) -> list[Diagnostic]:
    """Return what cannot be, in the order in which it would be measured."""
    free = [faults.costs_nothing(cost) for cost in machine.costs if cost.value.amount <= 0]
    return [
        *_rows(machine),
        *_holes(machine),
        *_tracks(machine),
        *_drive_holes(machine),
        *_moving(machine),
        *_sizes(machine),
        *_allowance(machine),
        *free,
    ]


def _rows(machine: Machine) -> Iterator[Diagnostic]:
    pitch, cycle, row = machine.pitch, machine.cycle, machine.row_interval
    if pitch is None:
        return
    if pitch.amount > MOST_PITCH_NM:
        yield faults.row_too_long(pitch)
    elif cycle is not None and row is not None and row.amount > 0:
        rows = cycle.amount // row.amount
        if rows * pitch.amount > MOST_LOOP_NM:
            yield faults.loop_too_long(pitch, rows, row.span)


def _drive_holes(machine: Machine) -> Iterator[Diagnostic]:
    sprocket, width, thickness = machine.sprocket, machine.tape_width, machine.tape_thickness
    if sprocket is not None and sprocket.hole is not None:
        hole, pitch, line = sprocket.hole, sprocket.pitch, sprocket.from_edge
        if pitch is not None and hole.amount >= pitch.amount:
            yield faults.drive_holes_meet(hole, pitch)
        elif width is not None and line is not None:
            nearest = min(line.amount, width.amount - line.amount)
            across = sprocket.width() or hole
            if nearest * 2 < across.amount:
                yield faults.drive_holes_off_tape(line, width, across)
    if machine.wheel is not None and machine.wheel.wrap is not None and machine.wheel.wrap.amount > TURN:
        yield faults.wrap_over_a_turn(machine.wheel.wrap)
    if thickness is not None and thickness.amount > MOST_THICKNESS_NM:
        yield faults.tape_too_thick(thickness)


def _moving(machine: Machine) -> Iterator[Diagnostic]:
    """Give what cannot be of the rows as they pass: steps, fingers, the relay in the gate."""
    cycle, row, drive = machine.cycle, machine.row_interval, machine.drive
    if cycle is not None and row is not None and row.amount > 0:
        rows = cycle.amount // row.amount
        for reads in machine.reads:
            if reads.rows.amount >= rows > 0:
                yield faults.read_past_loop(reads.rows.amount, reads.span, rows, cycle)
    if drive is not None and drive.travel is not None and row is not None:
        step = drive.travel.amount + (0 if drive.lag is None else drive.lag.amount)
        if step >= row.amount > 0:
            yield faults.step_over_row(drive.travel, step, row)
    operates = next((each.value for each in machine.relay if each.name == "operates"), None)
    length = None if machine.gate is None else machine.gate.longest or machine.gate.length
    if operates is not None and length is not None and operates.amount >= length.amount > 0:
        yield faults.relay_over_gate(operates, length)


def _holes(machine: Machine) -> Iterator[Diagnostic]:
    hole, pitch, finger = machine.hole, machine.pitch, machine.finger
    if hole is None or hole.along is None:
        return
    if pitch is not None and hole.along.amount >= pitch.amount >= LEAST_PITCH_NM:
        yield faults.hole_over_row(hole.along, pitch)
    if finger is None or finger.mode != "drops in" or finger.tip == "ball" or machine.allowance is not None:
        return
    across = hole.along if hole.shape == "round" else hole.across
    tip_across = finger.along if finger.tip == "round" else finger.across
    if finger.along is not None and finger.along.amount >= hole.along.amount:
        yield faults.tip_over_hole(finger.along, hole.along)
    elif tip_across is not None and across is not None and tip_across.amount >= across.amount:
        yield faults.tip_over_hole(tip_across, across)


def _sizes(machine: Machine) -> Iterator[Diagnostic]:
    """Give sizes that no part has, whatever the others are."""
    width, pin = machine.tape_width, None if machine.wheel is None else machine.wheel.pin
    depth = None if machine.finger is None else machine.finger.closing_at
    pitch = machine.pitch
    if pitch is not None and pitch.amount < LEAST_PITCH_NM:
        yield faults.no_such_size(pitch, "a row", "on most tapes between 1 mm and 4 mm long")
    if width is not None and width.amount > MOST_WIDTH_NM:
        yield faults.no_such_size(width, "a tape", "some centimetres wide")
    if pin is not None and pin.amount < LEAST_PIN_NM:
        yield faults.no_such_size(pin, "a pin", "about as thick as a drive hole is long, a millimetre or two")
    if depth is not None and depth.amount >= MOST_DEPTH_NM:
        yield faults.no_such_size(depth, "a closing depth", "some tenths of a millimetre")


def _allowance(machine: Machine) -> Iterator[Diagnostic]:
    finger, allowance = machine.finger, machine.allowance
    if finger is None or finger.mode is None or allowance is None or not allowance.value.amount:
        return
    if (allowance.value.amount < 0) != (finger.mode == "brushes"):
        yield faults.finger_against_allowance(allowance.value, finger.span, finger.mode)


def _tracks(machine: Machine) -> Iterator[Diagnostic]:
    hole, width, sprocket = machine.hole, machine.tape_width, machine.sprocket
    across = None if hole is None else hole.along if hole.shape == "round" else hole.across
    if across is None:
        return
    for number, track in enumerate(machine.tracks, start=1):
        off = track.amount * 2 < across.amount
        if width is not None and (off or (width.amount - track.amount) * 2 < across.amount):
            yield faults.track_off_tape(track, number, width, across)
            continue
        drive = None if sprocket is None else sprocket.width()
        if sprocket is None or sprocket.from_edge is None or drive is None:
            continue
        together = across.amount + drive.amount
        if abs(track.amount - sprocket.from_edge.amount) * 2 < together:
            yield faults.track_on_drive_holes(track, number, sprocket.from_edge, together // 2)
