"""Supplies, lines of clocks, and the loads and cables of lines and zones."""

from chime.diagnostics import Diagnostic, Span
from chime.parsing.tree import Node, Word
from chime.programme import block_faults, value_faults
from chime.programme import wiring_faults as faults
from chime.programme.equipment import BaseUnit, Bells, Cable, ClocksLoad, Line, Supply, Value
from chime.programme.machine_values import unit_of, value_in
from chime.programme.names import Declared, Names
from chime.programme.values import value_of, values_of, whole_of

Faults = list[Diagnostic]

THINNEST_AWG = 40
"""The thinnest wire gauge of ASTM B258 that can be meant; 0 is the thickest that one digit names."""


def build_supply(declared: Declared, _names: Names, faults_: Faults) -> Supply | None:
    """`supply bell-supply 12 V 8 A short-time 9 A for 15 s`; None where a fault leaves it unknown."""
    header = declared.block.header
    assert header is not None
    quantities = list(header.nodes("quantity"))
    voltage = value_of(quantities[0], "uV", faults_)
    current = value_of(quantities[1], "uA", faults_)
    rating = header.node("short_time")
    peaks = list(rating.nodes("quantity")) if rating is not None else []
    short_time = value_of(peaks[0], "uA", faults_) if peaks else None
    how_long = value_of(peaks[1], "us", faults_) if peaks else None
    if voltage is None or current is None or (peaks and (short_time is None or how_long is None)):
        return None
    if short_time is not None and short_time.amount < current.amount:
        faults_.append(faults.short_time_too_low(short_time.span, current.span))
    return Supply(declared.name, voltage, current, short_time, how_long, declared.block.span)


def build_line(declared: Declared, names: Names, faults_: Faults) -> Line | None:
    """`line dials fed by clock-supply`, its clocks and cable below; None where its supply is not known."""
    header = declared.block.header
    assert header is not None
    supply = _fed_by(header, names)
    lines: dict[str, Node] = {}
    clocks: ClocksLoad | None = None
    cable: Cable | None = None
    for line in declared.block.lines:
        if line.rule in lines:
            word = "clocks" if line.rule == "clocks_load_line" else "cable"
            faults_.append(block_faults.line_twice(line.span, lines[line.rule].span, word))
        elif line.rule == "clocks_load_line":
            clocks = clocks_load_line(line, faults_)
        else:
            cable = read_cable(line, faults_)
        lines.setdefault(line.rule, line)
    if clocks is not None:
        check_taps(clocks.number, clocks.span, cable, faults_)
    return None if supply is None else Line(declared.name, supply, clocks, cable, declared.block.span)


def read_bells(node: Node, names: Names, faults_: Faults) -> Bells | None:
    """`bells 3 at 420 mA each fed by bell-supply`, `bells 3 at 75 ohm each`."""
    count, each = _loads(node, faults_)
    supply = _fed_by(node, names)
    return None if count is None or each is None else Bells(count, each, supply, node.span)


def clocks_load_line(node: Node, faults_: Faults) -> ClocksLoad | None:
    """`clocks 22 at 12 mA each`, `clocks 22 at 1500 ohm each`."""
    count, each = _loads(node, faults_)
    return None if count is None or each is None else ClocksLoad(count, each, node.span)


def read_cable(node: Node, faults_: Faults) -> Cable | None:
    """`cable 2.5 mm2, bells at 25, 60, 105 m`, `cable AWG 16, every 8 m`."""
    size = node.node("cross_section", "wire_gauge")
    run = node.node("taps_at", "taps_every")
    assert size is not None
    assert run is not None
    is_gauge = size.rule == "wire_gauge"
    gauge = _gauge(size.word("NUMBER"), faults_) if is_gauge else None
    section = None if is_gauge else value_in(size, "nm2", faults_)
    listed = run.node("quantities")
    taps = values_of(listed, "nm", faults_) if listed is not None else ()
    every = None if listed is not None else value_in(run, "nm", faults_)
    if (gauge is None and section is None) or (not taps and every is None):
        return None
    return Cable(section, gauge, taps, every, node.span)


def check_taps(loads: int, load: Span, cable: Cable | None, faults_: Faults) -> None:
    """Complain of a cable that gives more or fewer places than there are loads; `load` is their line."""
    if cable is not None and cable.taps and len(cable.taps) != loads:
        faults_.append(faults.taps_miscounted(cable.span, len(cable.taps), load, loads))


def _loads(node: Node, faults_: Faults) -> tuple[int | None, Value | None]:
    quantity = node.node("quantity")
    assert quantity is not None
    count = whole_of(node.word("NUMBER"), faults_)
    units: dict[str, BaseUnit] = {"A": "uA", "mA": "uA", "ohm": "uohm"}
    unit = unit_of(quantity)
    if unit not in units:
        wanted = "a current (A or mA) or a resistance (ohm)"
        faults_.append(value_faults.wrong_unit(quantity.span, unit, wanted))
        return count, None
    return count, value_of(quantity, units[unit], faults_)


def _fed_by(node: Node, names: Names) -> str | None:
    fed_by = node.node("fed_by")
    return names.resolve("supply", next(fed_by.nodes("name"))) if fed_by is not None else None


def _gauge(word: Word, faults_: Faults) -> int | None:
    """Return a wire gauge, 0 to 40; `00` is another gauge than 0 and thicker, so it is never read as 0."""
    if word.text.isdigit() and len(word.text) > 1 and word.text.startswith("0"):
        faults_.append(value_faults.out_of_range(word.span, "0", str(THINNEST_AWG)))
        return None
    return whole_of(word, faults_, 0, THINNEST_AWG)
