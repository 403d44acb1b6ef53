"""Which timetables of a faulty programme may be incomplete, and why.

A day can be shown while other parts of a programme have faults, the dates above all. What rests on a
line that could not be read, or on a name that could not be found, must then say so.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from chime.diagnostics import Diagnostic, Span
from chime.parsing.tree import Block, Document, Node
from chime.programme.block_faults import LIKE_CIRCLE
from chime.programme.model import Programme
from chime.programme.names import as_name


class Doubt(NamedTuple):
    """Why a timetable may be incomplete: a faulty line, a name not found, or the base it starts from."""

    timetable: str
    span: Span
    missing: str | None
    base: str | None


def doubts(document: Document, programme: Programme, faults: Sequence[Diagnostic]) -> tuple[Doubt, ...]:
    """Return the doubts about each timetable; takes the faults of its lines and names."""
    errors = [span for f in faults if f.severity == "error" for span in _faulty_places(f)]
    known = _known_names(document)
    found: dict[str, list[Doubt]] = {}
    for block in document.blocks:
        name = _name_of(block) if block.kind == "timetable" else None
        if name is None:
            continue
        here = found.setdefault(name, [])
        end = _end_of(block, document)
        lines = sorted({s.line: s for s in errors if _is_inside(s, block, end)}.items())
        here += [Doubt(name, span, None, None) for _, span in lines]
        if not here:
            lost = [(word, node.span) for word, node in _names_in(block) if word not in known]
            here += [Doubt(name, span, word, None) for word, span in lost]
    for timetable in programme.timetables:
        base = timetable.like
        here = found.setdefault(timetable.name, [])
        while base is not None and not here:
            here += [Doubt(timetable.name, timetable.span, None, base)] if found.get(base) else []
            base = next((t.like for t in programme.timetables if t.name == base), None)
    return tuple(doubt for name in sorted(found) for doubt in found[name])


def _faulty_places(fault: Diagnostic) -> list[Span]:
    """Return where a fault lies: in a circle every timetable is at fault, else only the place to edit."""
    is_circle = fault.code is LIKE_CIRCLE
    return [label.span for label in fault.labels if is_circle or label.role == "primary"]


_RING_NOTHING = frozenset(("machine", "supply", "line"))


def leave_rings_alone(document: Document, faults: Sequence[Diagnostic]) -> bool:
    """Say whether every error lies in a block that no ring depends on: a machine, a supply, a line."""
    if not document.is_whole:
        return False
    spans = [f.primary.span if f.primary else None for f in faults if f.severity == "error"]
    apart = [(b, _end_of(b, document)) for b in document.blocks if b.kind in _RING_NOTHING]
    return all(span is not None and any(_is_inside(span, *block) for block in apart) for span in spans)


def _known_names(document: Document) -> frozenset[str]:
    kinds = ("zone", "group", "signal", "timetable")
    names = {_name_of(block) for block in document.blocks if block.kind in kinds}
    # Where a file or a block could not be read there may be more zones than are known.
    everywhere = {"everywhere"} if document.is_whole else set()
    return frozenset(name for name in names if name is not None) | everywhere


def _name_of(block: Block) -> str | None:
    named = block.header.node("name") if block.header is not None else None
    return as_name(named.words()[0].text) if named is not None else None


def _end_of(block: Block, document: Document) -> int:
    """Return where the next block of the same file begins."""
    source, start = block.span.source, block.span.start
    starts = [b.span.start for b in document.blocks if b.span.source is source]
    return min((later for later in starts if later > start), default=len(source.text) + 1)


def _is_inside(span: Span, block: Block, end: int) -> bool:
    return span.source is block.span.source and block.span.start <= span.start < end


def _names_in(block: Block) -> Iterator[tuple[str, Node]]:
    for line in (block.header, *block.lines):
        if line is not None:
            yield from _names_below(line)


def _names_below(node: Node) -> Iterator[tuple[str, Node]]:
    if node.rule == "name":
        yield as_name(node.words()[0].text), node
    elif node.rule == "everywhere":
        yield "everywhere", node
    for inner in node.nodes():
        yield from _names_below(inner)
