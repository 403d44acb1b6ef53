"""What is wrong with a machine that is looked at by itself, whatever else stands in its file or does not."""

from collections.abc import Iterable

from chime.diagnostics import Diagnostic, Span
from chime.parsing.tree import Block, Document
from chime.programme.name_faults import UNKNOWN


def faults_of_machine(document: Document, diagnostics: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Return those faults of names and values that stand in a machine's block.

    The file of a machine alone names zones that a programme will declare, so there no name is unknown.
    """
    places = [span for block in document.blocks if block.kind == "machine" for span in _spans(block)]
    is_alone = all(block.kind != "programme" for block in document.blocks)
    return tuple(
        fault
        for fault in diagnostics
        if fault.primary is not None
        and any(_is_in(fault.primary.span, place) for place in places)
        and not (is_alone and fault.code in UNKNOWN.values())
    )


def _spans(block: Block) -> tuple[Span, ...]:
    return block.span, *(line.span for line in block.lines)


def _is_in(span: Span, place: Span) -> bool:
    return span.source.path == place.source.path and place.start <= span.start <= place.end
