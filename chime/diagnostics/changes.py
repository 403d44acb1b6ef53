"""The lines as they would read with a suggestion carried out."""

from collections.abc import Iterable
from typing import Literal

from chime.diagnostics.cells import view
from chime.diagnostics.diagnostic import Edit
from chime.diagnostics.edits import choose_compatible
from chime.diagnostics.look import Look, paint
from chime.diagnostics.source import Source
from chime.diagnostics.strip import LINE_WIDTH
from chime.records import NamedTuple

# Lines shown of one suggestion in one file; the rest is only counted.
_MOST_LINES = 8

# Code points of unchanged text kept on either side of an edit: more than can be seen, and no more than that,
# since a line may be as long as a file.
_NEIGHBOURHOOD = 8 * LINE_WIDTH


class Change(NamedTuple):
    """A line that a suggestion brings ("+") or, if nothing comes in its place, takes away ("-").

    `line` counts from the untouched text. `focus` is the place in `text` to keep in view.
    """

    line: int
    sign: Literal["+", "-"]
    text: str
    focus: int


def find_changes(source: Source, edits: Iterable[Edit]) -> list[Change]:
    """List the changed lines of one source, in order; lines that read as before do not count."""
    return [change for region in _regions(source, edits) for change in _change_region(source, region)]


def draw_changes(changes: list[Change], look: Look, number_width: int) -> list[str]:
    """Draw the changed lines under the numbers of the strip, a long list cut short."""
    drawn = [_draw_change(change, look, number_width) for change in changes[:_MOST_LINES]]
    if len(changes) > _MOST_LINES:
        rest = len(changes) - _MOST_LINES
        drawn.append(f"  {'':{number_width}}  {look.gap} and {rest} more line{'' if rest == 1 else 's'}")
    return [paint(look, "try", line) for line in drawn]


def _draw_change(change: Change, look: Look, number_width: int) -> str:
    bounds = (0, len(change.text))
    part = view(change.text, bounds, change.focus, most=LINE_WIDTH, ascii_only=look.ascii_only)
    return f"  {change.line:>{number_width}}  {change.sign} {part.shown}".rstrip(" ")


def _regions(source: Source, edits: Iterable[Edit]) -> list[list[Edit]]:
    """Put together the edits that touch the same line."""
    regions: list[list[Edit]] = []
    for edit in choose_compatible(source, edits):
        if regions and source.line_of(edit.span.start) <= source.line_of(regions[-1][-1].span.end):
            regions[-1].append(edit)
        else:
            regions.append([edit])
    return regions


def _change_region(source: Source, edits: list[Edit]) -> list[Change]:
    start, end = edits[0].span.start, edits[-1].span.end
    line = source.line_of(start)
    low = max(source.line_bounds(line)[0], start - _NEIGHBOURHOOD)
    high = max(end, min(source.line_bounds(source.line_of(end))[1], end + _NEIGHBOURHOOD))
    old = _split_lines(source.text[low:high])
    new = _split_lines(_carry_out(source, low, high, edits))
    focus = start - low
    while old and new and old[0] == new[0]:
        del old[0], new[0]
        line, focus = line + 1, 0
    while old and new and old[-1] == new[-1]:
        del old[-1], new[-1]
    if new:
        return [Change(line + place, "+", text, 0 if place else focus) for place, text in enumerate(new)]
    return [Change(line + place, "-", text, 0 if place else focus) for place, text in enumerate(old)]


def _carry_out(source: Source, low: int, high: int, edits: list[Edit]) -> str:
    parts: list[str] = []
    done = low
    for edit in edits:
        parts += source.text[done : edit.span.start], edit.replacement
        done = edit.span.end
    return "".join([*parts, source.text[done:high]])


def _split_lines(text: str) -> list[str]:
    return [line.removesuffix("\r") for line in text.split("\n")]
