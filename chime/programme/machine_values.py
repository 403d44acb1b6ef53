"""Values of a machine's lines: each reads the first quantity of a node, or says that there is none.

In every function None means that the line does not say the value, or that a fault was found in it.
"""

from collections.abc import Iterable, Mapping, Sequence

from chime.diagnostics import Diagnostic, Span
from chime.parsing.tree import Node, Word
from chime.programme import block_faults, value_faults
from chime.programme import machine_faults as faults
from chime.programme.equipment import BaseUnit, Machine, Named, Value
from chime.programme.names import Names
from chime.programme.values import UNITS, value_of, weekdays_of, whole_of
from chime.records import NamedTuple

Faults = list[Diagnostic]

MOST_TRACKS = 99
"""The highest number that a track may have."""

_WHOLE_PPM = 1_000_000
_STEPS_TRIED = 1_000


class Reading(NamedTuple):
    """What a line is read with: the names of the programme, and the faults found so far."""

    names: Names
    faults: Faults


def value_in(node: Node | None, base: BaseUnit, faults_: Faults, *, zero: bool = False) -> Value | None:
    """Return the first quantity of a node in whole base units; `zero` allows a value of nothing."""
    quantity = node.node("quantity") if node is not None else None
    return value_of(quantity, base, faults_, zero=zero) if quantity is not None else None


def values_in(node: Node, base: BaseUnit, faults_: Faults) -> tuple[Value | None, Value | None]:
    """Return the first two quantities of a node."""
    first, second, *_ = [*(value_of(q, base, faults_) for q in node.nodes("quantity")), None, None]
    return first, second


def share_in(node: Node, faults_: Faults) -> Value | None:
    """Return the first quantity of a node as a share, in parts per million; at most 100 %."""
    share = value_in(node, "ppm", faults_, zero=True)
    if share is not None and share.amount > _WHOLE_PPM:
        faults_.append(faults.share_over_whole(share.span))
        return None
    return share


def within_in(
    node: Node | None, base: BaseUnit, faults_: Faults, of: Sequence[Value | None] = ()
) -> Value | None:
    """Return the tolerance of a node (`within 0.05 mm`), smaller than each of the values `of`."""
    tolerance = value_in(node.node("within") if node is not None else None, base, faults_, zero=True)
    if tolerance is None:
        return None
    for value in of:
        if value is not None and tolerance.amount >= value.amount:
            faults_.append(faults.tolerance_too_wide(tolerance.span, value.span))
            return None
    return tolerance


def parts_of(node: Node, faults_: Faults, kinds: Mapping[str, str]) -> dict[str, Node]:
    """Return the parts of a line by their kind; `kinds` names the kind of rules that exclude each other."""
    found: dict[str, Node] = {}
    for part in node.nodes():
        kind = kinds.get(part.rule, part.rule)
        if kind in found:
            faults_.append(block_faults.part_twice(part.span, found[kind].span))
        found.setdefault(kind, part)
    return found


def named_parts(node: Node, units: Mapping[str, BaseUnit], faults_: Faults) -> tuple[Named, ...]:
    """Return the values of a line whose parts begin with their names, in the order of the names.

    A part's rule is a word for its line and then its name: `cost_tape_change`. A value of nothing may be
    said, for left out it would be unknown.
    """
    found = []
    for rule, part in parts_of(node, faults_, {}).items():
        name = rule.partition("_")[2].replace("_", " ")
        value = named_value(part, units[name], faults_)
        over = list(part.nodes("quantity"))[1:]
        length = value_of(over[0], "nm", faults_) if over else None
        if value is not None and (length is not None or not over):
            found.append(Named(name, value, length, part.span))
    return tuple(sorted(found, key=lambda named: named.name))


def named_value(part: Node, base: BaseUnit, faults_: Faults) -> Value | None:
    """Return the value of a named part: a share is at most 100 %, and skew may also be an angle."""
    quantity = part.node("quantity")
    assert quantity is not None
    if base == "ppm":
        return share_in(part, faults_)
    if part.rule == "error_skew" and unit_of(quantity) == "degrees":
        base = "udeg"
    return value_of(quantity, base, faults_, zero=True)


def unit_of(quantity: Node) -> str:
    """Return the unit of a quantity as written."""
    unit = quantity.node("unit")
    assert unit is not None
    return unit.words()[0].text


def whole_row_intervals(cycle: Value, interval: Node) -> tuple[str, ...]:
    """Return the nearest shorter and longer interval, in whole units as written, that divides a cycle."""
    unit = unit_of(interval)
    factor = int(UNITS[unit][1])
    units = cycle.amount // factor
    near = min(int(interval.word("NUMBER").text.partition(".")[0]), units)
    shorter = range(near, max(0, near - _STEPS_TRIED), -1)
    longer = range(near + 1, min(units, near + _STEPS_TRIED) + 1)
    found = (
        next((n for n in tried if cycle.amount % (n * factor) == 0), None) for tried in (shorter, longer)
    )
    return tuple(f"{n} {unit}" for n in found if n is not None)


# ------------------------------------------------------- weekdays, zones, tracks


def weekdays_in(node: Node, faults_: Faults) -> dict[int, Span]:
    """Return the weekdays of a line, each once, with the place where it is named."""
    listed = node.node("weekdays")
    assert listed is not None
    found: dict[int, Span] = {}
    again: dict[Span, list[int]] = {}
    for day, span in weekdays_of(listed, faults_):
        if day in found:
            again.setdefault(span, []).append(day)
        found.setdefault(day, span)
    for span, days in again.items():
        faults_.append(faults.weekday_twice(span, days, found[days[0]]))
    return found


def zones_in(node: Node, names: Names) -> tuple[str, ...] | None:
    """Return the zones of a line that may name some; None is every zone."""
    place = node.node("in_zones")
    listed = place.node("zones_named") if place is not None else None
    return names.zones_in(listed) if listed is not None else None


def do_zones_meet(one: Iterable[str] | None, other: Iterable[str] | None) -> bool:
    """Tell whether a zone is in both; None is every zone."""
    return one is None or other is None or not set(one).isdisjoint(other)


def track_of(word: Word, machine: Machine, faults_: Faults) -> int | None:
    """Return the number of a track that the machine has, if it gives the places of its tracks."""
    number = whole_of(word, faults_, 1, MOST_TRACKS)
    if number is not None and machine.tracks and number > len(machine.tracks):
        faults_.append(faults.no_such_track(word.span, machine.tracks))
        return None
    return number


def clock_time_of(seconds: int, span: Span, faults_: Faults, *, alone: bool = True) -> int | None:
    """Return a time of day that a clock shows, 00:00 to 23:59:59; None with a fault."""
    if seconds >= 86_400:
        faults_.append(faults.not_a_clock_time(span, seconds, alone=alone))
        return None
    return seconds


def refuse_zero(values: tuple[Value, ...], faults_: Faults) -> tuple[Value, ...]:
    """Return the values of a list, none of which may be nothing."""
    for value in values:
        if value.amount == 0:
            faults_.append(value_faults.zero(value.span))
            return ()
    return values
