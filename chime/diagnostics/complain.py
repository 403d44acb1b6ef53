"""The usual shape of a complaint: one place, what it clashes with, why, and what to try."""

from collections.abc import Iterable

from chime.diagnostics.code import Code
from chime.diagnostics.diagnostic import Diagnostic, Edit, Label, Suggestion
from chime.diagnostics.source import Span

Other = tuple[Span, str]
"""A place that a complaint clashes with, and a few words about it."""


def complain(
    code: Code,
    headline: str,
    at: tuple[Span, str],
    why: str,
    others: Iterable[Other] = (),
    offers: Iterable[Suggestion] = (),
) -> Diagnostic:
    """Return a complaint about the place `at`, with its words, and any number of other places."""
    labels = [Label(*at), *(Label(span, text, "secondary") for span, text in others)]
    return Diagnostic(code, headline, tuple(labels), why, tuple(offers))


def write_instead(span: Span, *replacements: str) -> tuple[Suggestion, ...]:
    """Return guesses that put each replacement where the span stands."""
    return tuple(Suggestion(text, "guess", (Edit(span, text),)) for text in replacements)


def sketch(text: str) -> tuple[Suggestion, ...]:
    """Return one suggestion that only shows the shape of an answer."""
    return (Suggestion(text, "sketch"),)
