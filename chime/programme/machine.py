"""The machine block: its lines in the order of need, and what they say of zones, tracks and hours."""

from collections.abc import Callable

from chime.clock import DAY
from chime.diagnostics import Diagnostic, Span
from chime.parsing.tree import Block, Node, Word
from chime.programme import block_faults, value_faults, wiring_faults
from chime.programme import machine_faults as faults
from chime.programme import machine_parts as parts
from chime.programme.equipment import Attended, DailySilence, DayWheel, Machine, Position, Switches
from chime.programme.machine_shape import find_impossible
from chime.programme.machine_values import (
    Reading,
    clock_time_of,
    do_zones_meet,
    track_of,
    weekdays_in,
    within_in,
    zones_in,
)
from chime.programme.names import Names, as_name
from chime.programme.values import count_of, range_of, time_of, whole_of

Faults = list[Diagnostic]
ReadLine = Callable[[Node, Machine, Reading], Machine]


def build_machine(block: Block, names: Names, faults_: Faults) -> Machine:
    """Return what a machine block says; what it does not say, or says with a fault, is missing in it.

    Zones are resolved through `names`, which keeps its own faults; all others go to `faults_`. Neither the
    order of the lines nor that of the parts of a line changes the result.
    """
    reading = Reading(names, faults_)
    machine = _nothing_said(block)
    lines: dict[str, Node] = {}
    for line in sorted(block.lines, key=lambda line: line.rule not in _NEEDED_FIRST):
        if line.rule in lines and line.rule not in _MANY:
            words = line.rule.removesuffix("_line").replace("_", " ")
            faults_.append(block_faults.line_twice(line.span, lines[line.rule].span, words))
            continue
        lines.setdefault(line.rule, line)
        machine = _LINES[line.rule](line, machine, reading)
    parts.refuse_both(lines, reading)
    if not block.unread:
        _compare_positions(block, machine, lines, faults_)
    faults_ += find_impossible(machine)
    return machine


def _nothing_said(block: Block) -> Machine:
    named = block.header.node("name") if block.header is not None else None
    return Machine(
        name=as_name(named.words()[0].text) if named is not None else "",
        cycle=None,
        row_interval=None,
        pitch=None,
        sprocket=None,
        friction=None,
        tape_width=None,
        tape_thickness=None,
        drive=None,
        tracks=(),
        hole=None,
        finger=None,
        side_play=None,
        reads=(),
        gate=None,
        no_gate=None,
        relay=(),
        errors=(),
        web=None,
        joint_rows=None,
        day_wheels=(),
        daily_silences=(),
        switches=None,
        selector_positions=None,
        positions=(),
        contacts=None,
        contact_opens=None,
        out_of_use=(),
        attended=(),
        costs=(),
        allowance=None,
        wear=None,
        wheel=None,
        reserve=None,
        span=block.span,
    )


# ----------------------------------------------------------------- silences and hours


def day_wheel_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`silenced Sat, Sun turning at 00:45 within 15 min in yard`."""
    days = weekdays_in(node, reading.faults)
    zones = zones_in(node, reading.names)
    for wheel in machine.day_wheels:
        again = [day for day in days if day in wheel.weekdays and do_zones_meet(zones, wheel.zones)]
        if again:
            reading.faults.append(faults.weekday_twice(days[again[0]], sorted(again), wheel.span))
    turning = node.node("turning")
    turning_at = _turning_at(turning.word("TIME"), reading.faults) if turning else None
    within = within_in(turning, "us", reading.faults) if turning else None
    wheel = DayWheel(tuple(sorted(days)), turning_at, within, zones, node.span)
    ordered = sorted(
        (*machine.day_wheels, wheel),
        key=lambda w: (w.weekdays, w.zones or (), w.turning_at or 0, w.span.text),
    )
    return machine._replace(day_wheels=tuple(ordered))


def _turning_at(word: Word, faults_: Faults) -> int | None:
    at = time_of(word, faults_)
    return None if at is None else clock_time_of(at, word.span, faults_)


def silenced_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`silenced 17:30 - 06:50 in yard`: every day, for up to 24 hours."""
    zones = zones_in(node, reading.names)
    start, end = node.words("TIME")
    found = _daily_range(start, end, reading.faults)
    if found is None:
        return machine
    silence = DailySilence(*found, zones, node.span)
    ordered = sorted((*machine.daily_silences, silence), key=lambda s: (s.start, s.end, s.zones or ()))
    return machine._replace(daily_silences=tuple(ordered))


def _daily_range(start: Word, end: Word, faults_: Faults) -> tuple[int, int] | None:
    """Return the start and the end as a clock shows them, so that one past midnight is before its start."""
    first, last = time_of(start, faults_), time_of(end, faults_)
    if first is None or last is None:
        return None
    span = Span(start.span.source, start.span.start, end.span.end)
    if clock_time_of(first, start.span, faults_, alone=last < DAY) is None:
        return None
    if first == last:
        faults_.append(value_faults.equal_times(span, first))
        return None
    if last - first > DAY:
        faults_.append(faults.silence_over_a_day(span))
        return None
    return first, last - DAY if last > DAY else last


def attended_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`attended Mon to Fri 08:15 - 17:15`; an end past midnight is at most 16 hours after its start."""
    days = weekdays_in(node, reading.faults)
    start, end = node.words("TIME")
    times = range_of(start, end, reading.faults)
    if times is None:
        return machine
    if clock_time_of(times[0], start.span, reading.faults, alone=False) is None:
        return machine
    attended = Attended(tuple(sorted(days)), *times, node.span)
    ordered = sorted((*machine.attended, attended), key=lambda a: (a.weekdays, a.start, a.end))
    return machine._replace(attended=tuple(ordered))


# ----------------------------------------------------------- zones, tracks, positions


def switches_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`switches each zone`, `switches main, yard`, `switches all together`; everywhere is each zone."""
    some = node.node("switch_some")
    listed = some.node("zones_named") if some is not None else None
    if listed is not None:
        switches = Switches("some zones", reading.names.zones_in(listed), node.span)
    elif node.node("switch_all") is not None:
        switches = Switches("all together", (), node.span)
    else:
        switches = Switches("each zone", (), node.span)
    return machine._replace(switches=switches)


def selector_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`selector 2 positions`."""
    return machine._replace(selector_positions=count_of(node.word("NUMBER"), node, reading.faults))


def position_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`position 2 hall on track 2, hall on track 4, gym on track 4`; a group stands for its zones."""
    word = node.word("NUMBER")
    number = whole_of(word, reading.faults)
    wirings: dict[tuple[str, int], Span] = {}
    for wiring in node.nodes("wiring"):
        track = track_of(wiring.word("NUMBER"), machine, reading.faults)
        for zone in reading.names.zones_in(wiring):
            if track is not None and (zone, track) in wirings:
                first = wirings[zone, track]
                reading.faults.append(wiring_faults.wiring_twice(wiring.span, zone, track, first))
            if track is not None:
                wirings.setdefault((zone, track), wiring.span)
    if number is None or not _is_new_position(number, word.span, machine, reading.faults):
        return machine
    position = Position(number, tuple(sorted(wirings)), node.span)
    ordered = sorted((*machine.positions, position), key=lambda p: p.number)
    return machine._replace(positions=tuple(ordered))


def _is_new_position(number: int, span: Span, machine: Machine, faults_: Faults) -> bool:
    selector = machine.selector_positions
    if selector is not None and number > selector.amount:
        faults_.append(wiring_faults.no_such_position(span, selector))
        return False
    first = next((p for p in machine.positions if p.number == number), None)
    if first is not None:
        faults_.append(wiring_faults.position_twice(span, first.span))
    return first is None


def contacts_line(node: Node, machine: Machine, _reading: Reading) -> Machine:
    """`contacts separate`, `contacts tied`."""
    is_separate = node.node("contacts_separate") is not None
    return machine._replace(contacts=("separate" if is_separate else "tied", node.span))


def contact_opens_line(node: Node, machine: Machine, _reading: Reading) -> Machine:
    """`contact opens`: a hole opens the contact."""
    return machine._replace(contact_opens=node.span)


def out_of_use_line(node: Node, machine: Machine, reading: Reading) -> Machine:
    """`out of use track 2`, `out of use tracks 2, 4`."""
    listed = node.node("out_of_use_tracks")
    assert listed is not None
    broken = dict(machine.out_of_use)
    for word in listed.words("NUMBER"):
        track = track_of(word, machine, reading.faults)
        if track is not None and track in broken:
            reading.faults.append(faults.out_of_use_twice(word.span, broken[track]))
        if track is not None:
            broken.setdefault(track, word.span)
    return machine._replace(out_of_use=tuple(sorted(broken.items(), key=lambda item: item[0])))


def _compare_positions(block: Block, machine: Machine, lines: dict[str, Node], faults_: Faults) -> None:
    """Complain of positions without a selector, or of some left out, unless they have a fault already."""
    given = [p.number for p in machine.positions]
    written = sum(line.rule == "position_line" for line in block.lines)
    selector = machine.selector_positions
    if written and "selector_line" not in lines:
        first = lines["position_line"]
        numbers = given or [1]
        faults_.append(wiring_faults.selector_missing(first.span, numbers))
    elif selector is not None and given and written == len(given):
        missing = [number for number in range(1, selector.amount + 1) if number not in given]
        if missing:
            faults_.append(wiring_faults.position_missing(selector, missing))


_NEEDED_FIRST = ("tracks_line", "selector_line")
"""The lines that others are held against."""

_MANY = ("reads_line", "day_wheel_line", "silenced_line", "position_line", "out_of_use_line", "attended_line")
"""The lines of which a machine may have several."""

_LINES: dict[str, ReadLine] = {
    "loop_line": parts.loop_line,
    "row_line": parts.row_line,
    "sprocket_line": parts.sprocket_line,
    "friction_line": parts.friction_line,
    "tape_line": parts.tape_line,
    "drive_line": parts.drive_line,
    "tracks_line": parts.tracks_line,
    "hole_line": parts.hole_line,
    "finger_line": parts.finger_line,
    "side_play_line": parts.side_play_line,
    "reads_line": parts.reads_line,
    "gate_line": parts.gate_line,
    "no_gate_line": parts.no_gate_line,
    "relay_line": parts.relay_line,
    "errors_line": parts.errors_line,
    "web_line": parts.web_line,
    "joint_line": parts.joint_line,
    "day_wheel_line": day_wheel_line,
    "silenced_line": silenced_line,
    "switches_line": switches_line,
    "selector_line": selector_line,
    "position_line": position_line,
    "contacts_line": contacts_line,
    "contact_opens_line": contact_opens_line,
    "out_of_use_line": out_of_use_line,
    "attended_line": attended_line,
    "costs_line": parts.costs_line,
    "allowance_line": parts.allowance_line,
    "wear_line": parts.wear_line,
    "wheel_line": parts.wheel_line,
    "reserve_line": parts.reserve_line,
}
"""The function that reads each rule of the grammar."""
