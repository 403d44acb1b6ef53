"""Carrying out edits on the text they were made for."""

from collections.abc import Iterable

from chime.diagnostics.diagnostic import Edit
from chime.diagnostics.source import Source


def apply(text_source: Source, edits: Iterable[Edit]) -> str:
    """Give the text of the source with its edits carried out; edits of other sources are passed by.

    Where edits overlap, the one that starts first is carried out and the others are left out.
    """
    parts: list[str] = []
    done = 0
    for edit in choose_compatible(text_source, edits):
        parts += text_source.text[done : edit.span.start], edit.replacement
        done = edit.span.end
    parts.append(text_source.text[done:])
    return "".join(parts)


def choose_compatible(text_source: Source, edits: Iterable[Edit]) -> tuple[Edit, ...]:
    """Choose the edits of this source that can be carried out together, in the order of their places.

    The earlier place wins, then the shorter span, then the one named first. Two insertions at one place
    overlap too, since nothing says which of them comes first; an insertion that only touches a replacement
    does not.
    """
    chosen: list[Edit] = []
    here = (_held_inside(edit) for edit in edits if edit.span.source is text_source)
    for edit in sorted(here, key=lambda edit: (edit.span.start, edit.span.end)):
        if not chosen or (edit.span.start >= chosen[-1].span.end and edit.span != chosen[-1].span):
            chosen.append(edit)
    return tuple(chosen)


def _held_inside(edit: Edit) -> Edit:
    length = len(edit.span.source.text)
    start = max(0, min(edit.span.start, length))
    end = max(start, min(edit.span.end, length))
    return edit._replace(span=edit.span._replace(start=start, end=end))
