"""What people type instead of the language's forms, and what they meant.

A table of small recognisers. Each looks at a line that did not parse and offers one repair: a place
in the line, the text that should stand there, and how sure that is. A repair counts only if the
mended line parses, or gets further with the next repair; so nothing here can make a line mean what
its writer did not write without the grammar agreeing.
"""

from collections.abc import Callable
from typing import NamedTuple

from chime.diagnostics import Certainty, Code, Diagnostic, Edit, Label, Source, Span, Suggestion

WEEKDAYS = frozenset(("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"))

Place = Callable[[int], int]
Parses = Callable[[str, str], bool]


class Repair(NamedTuple):
    """One mistake of a line: where it stands in the line as typed, and what to write instead."""

    code: Code
    start: int
    end: int
    headline: str
    why: str
    options: tuple[tuple[Certainty, str], ...]


class Mended(NamedTuple):
    """The mistakes of a line, and the line as it was meant (None where that is not clear)."""

    repairs: tuple[Repair, ...]
    text: str | None

    def place(self, offset: int) -> int:
        """Return where an offset of the mended text lies in the line as typed."""
        moved = 0
        for repair in sorted(self.repairs, key=lambda r: r.start):
            replacement = repair.options[0][1]
            begins = repair.start + moved
            if offset < begins:
                break
            if offset <= begins + len(replacement):
                inside = min(offset - begins, repair.end - repair.start)
                return repair.end if offset == begins + len(replacement) else repair.start + inside
            moved += len(replacement) - (repair.end - repair.start)
        return offset - moved


def opener_meant(word: str) -> str | None:
    """Return the opener that was meant by a word known to be typed for it."""
    return None


def explain(text: str, rule: str, parses: Parses) -> Mended | None:
    """Return the known mistakes of a line that does not parse, or None."""
    return None


def diagnostic(repair: Repair, source: Source, offset: int) -> Diagnostic:
    """Return the fault of a mistake; `offset` is where its line begins in the file."""
    span = Span(source, offset + repair.start, offset + repair.end)
    suggestions = tuple(
        Suggestion(text, certainty, (Edit(span, text),)) for certainty, text in repair.options
    )
    label = Label(span, "as typed")
    return Diagnostic(repair.code, repair.headline, (label,), repair.why, suggestions)
