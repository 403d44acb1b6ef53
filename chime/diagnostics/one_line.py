"""One line for each complaint, as editors and line searches want it."""

from collections.abc import Iterable

from chime.diagnostics.cells import show
from chime.diagnostics.diagnostic import Diagnostic, file_of, order


def render(diagnostics: Iterable[Diagnostic]) -> str:
    """Write all complaints in order, each as `path:line:column: severity CODE: headline (try: ...)`.

    A complaint about a whole file has no line and column, one about no file at all no path.
    """
    return "".join(f"{_on_one_line(_draw(diagnostic))}\n" for diagnostic in order(diagnostics))


def _draw(diagnostic: Diagnostic) -> str:
    place = file_of(diagnostic)
    if diagnostic.primary is not None:
        span = diagnostic.primary.span
        place = f"{place}:{span.line}:{span.column}"
    start = f"{place}: " if place else ""
    attempts = "; ".join(suggestion.text for suggestion in diagnostic.suggestions)
    end = f" (try: {attempts})" if attempts else ""
    return f"{start}{diagnostic.severity} {diagnostic.code.id}: {diagnostic.headline}{end}"


def _on_one_line(text: str) -> str:
    """Put a stand-in for all that would end the line or move the cursor."""
    return "".join(show(character, ascii_only=False)[0] for character in text)
