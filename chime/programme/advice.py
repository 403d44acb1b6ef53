"""What is sound but probably not meant, and names that a bell must not have: codes N391 to N399."""

from collections.abc import Iterable, Sequence

from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain, sketch
from chime.programme.emergency_words import emergency_in
from chime.programme.model import Add, Programme
from chime.programme.names import Names

_TERMS = """\
term "Autumn" 2026-09-03 to 2026-12-17
  week ordinary
term "Spring" 2027-01-07 to 2027-03-19
  """

EMERGENCY_NAME = Code(
    "N391", "emergency-name", "error",
    "Programme bells are never an alarm signal. A bell named after an emergency would teach people to wait for it, and a "
    "clock can stop or be silenced. Alarms belong to a system of their own under local codes and licensed hands.",
    "signal fire 6 s within 2 s\ntimetable normal in main\n  ring 08:40 lesson\n  ring 08:45 fire",
    "signal lesson 6 s within 2 s\ntimetable normal in main\n  ring 08:40 lesson\n  ring 08:45 lesson",
)  # fmt: skip
DRILL_NAME = Code(
    "N392", "drill-name", "warning",
    "A drill rung by the programme bells teaches people to expect the alarm from them. Use the alarm's own drill, and tell "
    "the person responsible for it.",
    'timetable normal in main\n  ring 08:40 lesson "Fire drill"',
    'timetable normal in main\n  ring 08:40 lesson "Line up"',
)  # fmt: skip
UNUSED = {
    kind: Code(
        number, f"unused-{kind}", "warning", f"The {kind} is declared and never used: a line that should use it may be missing.",
        wrong, wrong + "\n" + user,
    )
    for kind, number, wrong, user in (
        ("zone", "N393", 'zone gym on track 3 "Gym"', "timetable normal in main, gym\n  ring 08:40 lesson"),
        ("signal", "N394", "signal short 3 s within 1 s", "timetable normal in main\n  ring 08:40 lesson\n  ring 08:45 short"),
        ("timetable", "N395", "timetable spare in main\n  ring 09:00, 15:00 lesson", "exceptions\n  2026-09-15 spare"),
        ("week", "N396", "week spare\n  Mon normal\n  Tue to Sun silent", _TERMS + "week spare"),
        ("cycle", "N397", "cycle two on Mon to Fri\n  day 1 normal\n  day 2 silent", _TERMS + "cycle two from 2027-01-07 slip"),
        ("group", "N398", "group lessons main", "timetable normal in lessons\n  ring 08:40 lesson"),
    )
}  # fmt: skip
NOT_READ_YET = Code(
    "N399", "not-checked-yet", "warning",
    "What this block says is kept, but no check of this version reads it: nothing was proven about it.",
    "supply bell-supply 12 V 8 A",
    "",
)  # fmt: skip

CODES = (EMERGENCY_NAME, DRILL_NAME, *UNUSED.values(), NOT_READ_YET)


def emergency(text: str, span: Span) -> Sequence[Diagnostic]:
    """Return the fault of a name or label that names an emergency; of a drill it is a warning."""
    found = emergency_in(text)
    if found is None:
        return ()
    if found.is_drill:
        why = "People learn to expect the alarm from these bells; use the alarm's own drill and tell who is responsible for it."
        return (
            complain(DRILL_NAME, f'"{text}" is a drill of an emergency', (span, "an emergency's name"), why),
        )
    why = (
        "Programme bells are never an alarm signal: a clock can stop or be silenced. Alarms belong to a system of their own, "
        "under local codes and in licensed hands."
    )
    within = "" if found.words == text else f' ("{found.words}")'
    offer = f'a name without "{found.words}" that says what people do at this bell: a talk, a visit'
    return (
        complain(
            EMERGENCY_NAME, f'"{text}" names an emergency{within}', (span, "an emergency's name"), why,
            offers=sketch(offer),
        ),
    )  # fmt: skip


def unused(kind: str, name: str, span: Span) -> Diagnostic:
    """Warn of a block that nothing uses."""
    why = "A line that should use it may be missing, or it is left over and can go."
    return complain(UNUSED[kind], f'the {kind} "{name}" is never used', (span, "not used"), why)


def never_rings(zone: str, span: Span) -> Diagnostic:
    """Warn of a zone that lines name, but none that rings."""
    why = "Lines name it, but none of them rings: one that should may be missing, or the zone is left over and can go."
    return complain(UNUSED["zone"], f'nothing ever rings in the zone "{zone}"', (span, "no bell"), why)


def not_read_yet(span: Span, what: str, said: str) -> Diagnostic:
    """Warn that no check reads a block yet."""
    why = f"{said} is kept, but this version proves nothing about it."
    return complain(NOT_READ_YET, f"{what} is not checked yet", (span, "kept, not checked"), why)


def emergencies(programme: Programme) -> list[Diagnostic]:
    """Return the faults of names and labels that a bell must not have."""
    return [fault for text, span in _spoken(programme) for fault in emergency(text, span)]


def unused_blocks(names: Names) -> list[Diagnostic]:
    """Return a warning for every block that nothing uses."""
    found = []
    for kind in UNUSED:
        space = "zone" if kind == "group" else kind
        unnamed = (d for d in names.declared(kind) if (space, d.name) not in names.used)
        found += [unused(kind, d.name, d.span) for d in unnamed]
    return found


def silent_zones(names: Names, programme: Programme) -> list[Diagnostic]:
    """Return a warning for every zone that lines name, but none that rings."""
    rung = _zones_that_ring(programme)
    named = (d for d in names.declared("zone") if ("zone", d.name) in names.used)
    return [never_rings(d.name, d.span) for d in named if d.name not in rung]


def _zones_that_ring(programme: Programme) -> set[str]:
    """Return the zones of every line that makes rings; a pause that shall not ring makes none."""
    found: set[str] = set()
    for timetable in programme.timetables:
        found.update(zone for period in timetable.periods if not period.is_quiet for zone in period.zones)
        found.update(zone for line in timetable.rings for zone in line.zones)
    adds = (s.special for s in programme.specials if isinstance(s.special, Add))
    return found.union(zone for add in adds for zone in add.zones)


def _spoken(programme: Programme) -> Iterable[tuple[str, Span]]:
    """Yield every name and label that a ring can carry, with its place."""
    for signal in programme.signals:
        yield signal.name, signal.span
        if signal.label:
            yield signal.label, _place_of(signal.label, signal.span)
    for timetable in programme.timetables:
        spoken: dict[str, Span] = {}
        for period in timetable.periods:
            spoken.setdefault(period.label, _place_of(period.label, period.span))
        for ring in timetable.rings:
            if ring.label:
                spoken.setdefault(ring.label, _place_of(ring.label, ring.span))
        yield from spoken.items()
    for special in programme.specials:
        if isinstance(special.special, Add) and special.reason:
            yield special.reason, _place_of(special.reason, special.span)


def _place_of(label: str, span: Span) -> Span:
    """Return where a label stands in the line that a span begins in, else the span itself."""
    at = span.source.text.find(f'"{label}"', span.start, max(span.end, span.source.line_bounds(span.line)[1]))
    return span if at < 0 else Span(span.source, at, at + len(label) + 2)


def unread_blocks(programme: Programme) -> list[Diagnostic]:
    """Warn once of each kind of block that no check reads."""
    found = []
    if programme.supplies:
        first = _first(supply.span for supply in programme.supplies)
        found.append(not_read_yet(first, "a supply", "What the supplies can carry"))
    if programme.lines:
        first = _first(line.span for line in programme.lines)
        found.append(not_read_yet(first, "a line of clocks", "What the lines load"))
    loads = [z.bells.span if z.bells else z.cable.span for z in programme.zones if z.bells or z.cable]  # type: ignore[union-attr]
    if loads:
        found.append(not_read_yet(_first(loads), "a zone's load", "What bells and cables draw"))
    return found


def _first(spans: Iterable[Span]) -> Span:
    return min(spans, key=lambda span: (span.source.path, span.start))
