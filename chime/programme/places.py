"""In which block and in which line of a document its errors lie, and which names are known for certain."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence

from chime.diagnostics import Diagnostic, Source, Span
from chime.parsing.tree import Block, Document, Node
from chime.programme.advice import EMERGENCY_NAME
from chime.programme.head_faults import NO_PROGRAMME
from chime.programme.name_faults import SAID_TWICE
from chime.programme.names import as_name
from chime.programme.pattern_faults import CYCLE_DAYS_MISSING, NO_PATTERN, TERMS_OVERLAP, WEEKDAY_UNANSWERED

_HARMLESS = (EMERGENCY_NAME, NO_PATTERN, WEEKDAY_UNANSWERED, CYCLE_DAYS_MISSING)
"""An emergency's name is the name of its bell all the same; what the others leave open is open in the
programme itself."""

_ALL_AT_FAULT = (SAID_TWICE, TERMS_OVERLAP)
"""Of these any of the places may be the one to edit; of others it is the primary one."""


class Places:
    """The errors of a document, by block and by line.

    Left out are those that put nothing in doubt: a mistake of which the offer is sure is read as it was
    meant. Where `is_whole` is False, blocks may be missing.
    """

    def __init__(self, document: Document, faults: Sequence[Diagnostic]) -> None:
        self.starts: dict[Source, list[int]] = {}
        for block in document.blocks:
            self.starts.setdefault(block.span.source, []).append(block.span.start)
        errors = [fault for fault in faults if fault.severity == "error" and not _is_harmless(fault)]
        self.has_head = not any(fault.code is NO_PROGRAMME for fault in errors)
        lost = any(fault.primary is None and fault.code is not NO_PROGRAMME for fault in errors)
        self.is_whole = document.is_whole and not lost
        self.spans: dict[Source, list[Span]] = {}
        for span in sorted((s for fault in errors for s in _places_of(fault)), key=lambda span: span.start):
            self.spans.setdefault(span.source, []).append(span)

    def of_block(self, block: Block) -> list[Span]:
        """Return the errors from a block's opener to the next block of its file, in order of place."""
        source, start = block.span.source, block.span.start
        starts = self.starts[source]
        after = bisect_right(starts, start)
        return self._between(source, start, starts[after] if after < len(starts) else len(source.text) + 1)

    def of_line(self, line: Span) -> list[Span]:
        """Return the errors of a line, in order of place."""
        return self._between(line.source, line.start, line.end + 1)

    def _between(self, source: Source, start: int, end: int) -> list[Span]:
        spans = self.spans.get(source, [])
        first = bisect_left(spans, start, key=lambda span: span.start)
        return spans[first : bisect_left(spans, end, lo=first, key=lambda span: span.start)]


def _is_harmless(fault: Diagnostic) -> bool:
    is_read_as_meant = bool(fault.suggestions) and all(s.certainty == "sure" for s in fault.suggestions)
    return is_read_as_meant or fault.code in _HARMLESS


def _places_of(fault: Diagnostic) -> list[Span]:
    is_all = fault.code in _ALL_AT_FAULT
    return [label.span for label in fault.labels if is_all or label.role == "primary"]


# ------------------------------------------------------------------------ names


def name_of(block: Block) -> str | None:
    """Return the name of a block; None if it has none or its opener could not be read."""
    named = block.header.node("name") if block.header is not None else None
    return as_name(named.words()[0].text) if named is not None else None


def known_names(document: Document, places: Places) -> frozenset[str]:
    """Return the zones, groups, signals and timetables that are certainly what their name says.

    `everywhere` is among them if every zone is known.
    """
    kinds = ("zone", "group", "signal", "timetable")
    blocks = [block for block in document.blocks if block.kind in kinds]
    names = {name_of(block) for block in blocks}
    for block in blocks:
        if block.header is not None and block.kind != "timetable" and _is_in_doubt(block, places):
            names.discard(name_of(block))
    # Where a file or a block could not be read there may be more zones than are known.
    is_whole = places.is_whole and not any(b.kind == "zone" and b.header is None for b in blocks)
    everywhere = {"everywhere"} if is_whole else set()
    return frozenset(name for name in names if name is not None) | everywhere


def _is_in_doubt(block: Block, places: Places) -> bool:
    """Say whether a group may have other zones, or a name another block that bears it too."""
    assert block.header is not None
    named = block.header.node("name")
    assert named is not None
    here = places.of_line(block.span)
    return bool(here) and (block.kind == "group" or any(span == named.span for span in here))


def names_in(node: Node) -> Iterator[tuple[str, Node]]:
    """Yield every name below a node, and `everywhere`, each with its node."""
    if node.rule == "name":
        yield as_name(node.words()[0].text), node
    elif node.rule == "everywhere":
        yield "everywhere", node
    for inner in node.nodes():
        yield from names_in(inner)
