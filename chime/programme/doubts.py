"""Which timetables of a faulty programme may be incomplete, and why.

A day can be shown while other parts of a programme have faults, the dates above all. What rests on a
line that could not be read, or on a name that could not be found, must then say so.
"""

from collections.abc import Container

from chime.diagnostics import Span
from chime.parsing.tree import Block, Document
from chime.programme.model import Programme, Timetable
from chime.programme.places import Places, known_names, name_of, names_in
from chime.records import NamedTuple


class Doubt(NamedTuple):
    """Why a timetable may be incomplete: a faulty line, a name not found, or the base it starts from."""

    timetable: str
    span: Span
    missing: str | None
    base: str | None


def doubts(document: Document, programme: Programme, places: Places) -> tuple[Doubt, ...]:
    """Return the doubts about each timetable, in the order of their names."""
    known = known_names(document, places)
    with_base = {timetable.name for timetable in programme.timetables if timetable.like is not None}
    found: dict[str, list[Doubt]] = {}
    for block in document.blocks:
        name = name_of(block) if block.kind == "timetable" else None
        if name is None:
            continue
        here = found.setdefault(name, [])
        here += _of_lines(name, block, places)
        if not here:
            here += _of_names(name, block, known)
        if not here and _names_a_base(block) and name not in with_base:  # its base starts from it in a circle
            here.append(Doubt(name, block.span, None, None))
    _hand_on(programme, found)
    return tuple(doubt for name in sorted(found) for doubt in found[name])


def _of_lines(name: str, block: Block, places: Places) -> list[Doubt]:
    """Return one doubt for each line of a block that has an error."""
    spans = (*places.of_block(block), *block.unread)
    lines = {span.line: span for span in sorted(spans, key=lambda span: -span.start)}
    return [Doubt(name, lines[line], None, None) for line in sorted(lines)]


def _names_a_base(block: Block) -> bool:
    return block.header is not None and len(list(block.header.nodes("name"))) > 1


def _of_names(name: str, block: Block, known: Container[str]) -> list[Doubt]:
    lines = [line for line in (block.header, *block.lines) if line is not None]
    named = [found for line in lines for found in names_in(line)]
    return [Doubt(name, node.span, word, None) for word, node in named if word not in known]


def _hand_on(programme: Programme, found: dict[str, list[Doubt]]) -> None:
    """Put every timetable in doubt that starts from one in doubt, however many lie between."""
    above: dict[str, list[Timetable]] = {}
    for timetable in programme.timetables:
        if timetable.like is not None:
            above.setdefault(timetable.like, []).append(timetable)
    waiting = [name for name, here in found.items() if here]
    while waiting:
        base = waiting.pop()
        for timetable in above.get(base, ()):
            here = found.setdefault(timetable.name, [])
            if not here:
                here.append(Doubt(timetable.name, timetable.span, None, base))
                waiting.append(timetable.name)
