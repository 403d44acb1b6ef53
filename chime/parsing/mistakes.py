"""What people and word processors type instead of the language's forms, and what they meant.

This is the door to the search: a programme without mistakes comes past here and loads none of it.
What is known of typed forms stands in the modules `typed_*`.
"""

from collections.abc import Iterator

from chime.diagnostics import Diagnostic, Edit, Label, Source, Span, Suggestion
from chime.parsing.repair import Change, Mended, Option, Parses, Place, Repair

__all__ = [
    "Change",
    "Mended",
    "Option",
    "Parses",
    "Place",
    "Repair",
    "diagnostic",
    "explain",
    "guessed",
    "is_nameless",
    "is_weekday",
    "opener_meant",
    "usual_unit",
]


def opener_meant(word: str) -> str | None:
    """Return the opener that was meant by a word known to be typed for it."""
    from chime.parsing.typed_phrases import opener_meant as meant

    return meant(word)


def explain(text: str, rule: str, parses: Parses, around: str = "") -> Mended | None:
    """Return the known mistakes of a line that does not parse, or None.

    `rule` is the start rule of the line and `parses` says whether a text parses with one; `around` is
    the text of the file, which may say what the line leaves out.
    """
    from chime.parsing.typed_faults import EVERY_OTHER, EVERY_WITHOUT_DATES
    from chime.parsing.typed_search import explain as search

    found = search(text, rule, parses, around)
    if found is not None and any(repair.code is EVERY_OTHER for repair in found.repairs):
        # The line has to become several; dates for the one that is there would be no help.
        found = found._replace(repairs=tuple(r for r in found.repairs if r.code is not EVERY_WITHOUT_DATES))
    return found


def guessed(repair: Repair) -> Iterator[tuple[int, int]]:
    """Yield the stretches of the line as typed that are read by a guess."""
    option = repair.options[0]
    if option.certainty != "sure":
        yield repair.start, repair.end
        yield from ((change.start, change.end) for change in option.changes)


def is_nameless(repair: Repair, start: int) -> bool:
    """Say whether a repair tells that the block which is opened at `start` has no name."""
    from chime.parsing.typed_faults import LEFT_OUT

    return repair.code is LEFT_OUT and repair.start == start


def is_weekday(word: str) -> bool:
    """Say whether a word is a weekday, in the language's letters or in others."""
    from chime.parsing.typed_values import weekday_meant

    return weekday_meant(word) is not None


def usual_unit(text: str) -> str | None:
    """Return the unit that is most likely wanted behind the beginning of a line."""
    from chime.parsing.typed_line import cut
    from chime.parsing.typed_quantities import usual_unit as usual

    pieces = cut(text)
    return usual(pieces, len(pieces) - 1)


def diagnostic(repair: Repair, source: Source, offset: int) -> Diagnostic:
    """Return the fault of a mistake; `offset` is where its line begins in the file."""

    def span(start: int, end: int) -> Span:
        return Span(source, offset + start, offset + end)

    suggestions = tuple(
        Suggestion(
            option.text,
            option.certainty,
            tuple(Edit(span(change.start, change.end), change.text) for change in sorted(option.changes)),
        )
        for option in repair.options
    )
    label = Label(span(repair.start, repair.end), "as typed")
    return Diagnostic(repair.code, repair.headline, (label,), repair.why, suggestions)
