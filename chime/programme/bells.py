"""Zones, groups, audiences and signals."""

from chime.diagnostics import Diagnostic, Span
from chime.parsing.tree import Node
from chime.programme import block_faults as faults
from chime.programme.equipment import Bells, Cable
from chime.programme.model import Audience, Group, Signal, TrackChoice, Zone
from chime.programme.names import Declared, Names
from chime.programme.supplies import check_taps, read_bells, read_cable
from chime.programme.timetables import label_of
from chime.programme.values import bell_length_of, milliseconds_of, whole_of

Faults = list[Diagnostic]


def build_zones(names: Names, faults_: Faults) -> tuple[Zone, ...]:
    """Return the zones in the order of their names."""
    return tuple(_zone(declared, names, faults_) for declared in names.declared("zone"))


def _zone(declared: Declared, names: Names, faults_: Faults) -> Zone:
    """`zone main on track 1 "Main building"`, with its bells and cable below."""
    header = declared.block.header
    assert header is not None
    bells: tuple[Bells, Span] | None = None
    cable: tuple[Cable, Span] | None = None
    for line in declared.block.lines:
        first = bells if line.rule == "bells_line" else cable
        if first is not None:
            word = "bells" if line.rule == "bells_line" else "cable"
            faults_.append(faults.line_twice(line.span, first[1], word))
        elif line.rule == "bells_line":
            read = read_bells(line, names, faults_)
            bells = None if read is None else (read, line.span)
        else:
            laid = read_cable(line, faults_)
            cable = None if laid is None else (laid, line.span)
    choice = header.node("one_track", "any_track_of", "all_tracks_of")
    tracks = _tracks(choice, faults_) if choice else None
    if bells and cable:
        check_taps(bells[0].number, bells[0].span, cable[0], faults_)
    return Zone(
        declared.name,
        label_of(header),
        tracks,
        bells[0] if bells else None,
        cable[0] if cable else None,
        declared.span,
    )


def _tracks(node: Node, faults_: Faults) -> TrackChoice | None:
    """`track 1`, `tracks 2, 5` (either), `tracks 2 and 5` (both)."""
    found: dict[int, Span] = {}
    for word in node.words("NUMBER"):
        number = whole_of(word, faults_, 1, 99)
        if number is None:
            return None
        if number in found:
            faults_.append(faults.part_twice(word.span, found[number]))
        found.setdefault(number, word.span)
    return TrackChoice(tuple(sorted(found)), node.rule == "all_tracks_of", node.span)


def build_groups(names: Names) -> tuple[Group, ...]:
    """Return the groups in the order of their names."""
    return tuple(Group(d.name, names.group_zones(d), d.span) for d in names.declared("group"))


def build_audiences(names: Names) -> tuple[Audience, ...]:
    """Return who hears which zones, in the order of the labels."""
    found = []
    for declared in names.declared("audience"):
        header = declared.block.header
        assert header is not None
        place = header.node("in_zones", "everywhere")
        assert place is not None
        found.append(Audience(declared.name, names.zones_in(place), declared.span))
    return tuple(found)


def build_signals(names: Names, faults_: Faults) -> tuple[Signal, ...]:
    """Return the signals in the order of their names: `signal lesson 7 s within 2 s`."""
    found = []
    for declared in names.declared("signal"):
        header = declared.block.header
        assert header is not None
        within = header.node("within")
        assert within is not None
        length = bell_length_of(next(header.nodes("quantity")), faults_)
        tolerance = milliseconds_of(next(within.nodes("quantity")), faults_, zero=True)
        if length is None or tolerance is None:
            length, tolerance = length or 1_000, 0
        elif tolerance >= length:
            faults_.append(faults.tolerance_too_large(within.span))
        found.append(Signal(declared.name, length, tolerance, label_of(header), declared.span))
    return tuple(found)
