"""Which blocks are certainly never used although a programme has errors.

What seems unused may be used in a line that could not be read, or may be what a wrong name stands for.
"""

from collections.abc import Iterator, Sequence

from chime.diagnostics import Diagnostic
from chime.parsing.tree import Document
from chime.programme.advice import UNUSED
from chime.programme.name_faults import UNKNOWN
from chime.programme.names import Names, as_name
from chime.programme.pattern_faults import CYCLE_DAYS_MISSING, NO_PATTERN, NO_TERM, WEEKDAY_UNANSWERED
from chime.programme.places import Places, names_in
from chime.programme.timetable_faults import LIKE_CIRCLE, NO_ZONES

_ZONES = frozenset(("zone", "group"))
_PATTERNS = frozenset(("week", "cycle"))
_TIMETABLES = frozenset(("timetable",))
_OF_A_DAY = _ZONES | _TIMETABLES | {"signal"}

_NAMED_IN = {
    "group": _ZONES,
    "audience": _ZONES,
    "timetable": _OF_A_DAY,
    "week": _TIMETABLES,
    "cycle": _TIMETABLES,
    "term": _PATTERNS,
    "exceptions": _OF_A_DAY,
    "machine": _ZONES,
}
"""What a line of each kind of block may name; lines of other kinds name nothing that could be unused."""

_LACKING = {
    NO_ZONES: _ZONES,
    LIKE_CIRCLE: _OF_A_DAY,
    WEEKDAY_UNANSWERED: _TIMETABLES,
    CYCLE_DAYS_MISSING: _TIMETABLES,
    NO_PATTERN: _PATTERNS,
    NO_TERM: _PATTERNS,
} | {code: _ZONES if space == "zone" else frozenset((space,)) for space, code in UNKNOWN.items()}
"""Faults that lack a name: any block of these kinds may be the one that is missing there."""


def certainly_unused(
    unused: Sequence[Diagnostic], document: Document, names: Names, faults: Sequence[Diagnostic]
) -> list[Diagnostic]:
    """Return those warnings of unused blocks that hold whatever the faulty lines were meant to say."""
    kind_of = {code: kind for kind, code in UNUSED.items()}
    wanted = {kind for fault in faults for kind in _LACKING.get(fault.code, ())}
    wanted |= {k for b in document.blocks if not b.is_certain for k in _NAMED_IN.get(b.kind, ())}
    named = set(_named_beside(document, names, faults))
    return [
        fault
        for fault in unused
        if fault.primary is not None
        and kind_of[fault.code] not in wanted
        and as_name(fault.primary.span.text) not in named
    ]


def _named_beside(document: Document, names: Names, faults: Sequence[Diagnostic]) -> Iterator[str]:
    """Yield every name in a block with an error: a line that is at fault may not have been looked into."""
    places = Places(document, faults)
    for block in document.blocks:
        for line in (block.header, *block.lines) if places.of_block(block) else ():
            for name, node in names_in(line) if line is not None else ():
                yield name
                declared = names.spaces["zone"].get(name)
                if declared is not None and declared.kind == "group":
                    yield from names.group_zones(declared)
                elif node.rule == "everywhere":
                    yield from names.everywhere
