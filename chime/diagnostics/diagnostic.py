"""One complaint as a value: what is wrong, where, why it matters and what to try.

The stages make these values. How they look is the business of the renderers beside this module.
"""

from collections.abc import Iterable
from typing import Literal

from chime.diagnostics.code import Code, Severity
from chime.diagnostics.source import Span
from chime.records import NamedTuple

Certainty = Literal["sure", "guess", "sketch"]
Role = Literal["primary", "secondary"]


class Label(NamedTuple):
    """A marked place and a few words about it; the primary one is the place to edit."""

    span: Span
    text: str
    role: Role = "primary"


class Edit(NamedTuple):
    """Put the replacement where the span stands; an empty span inserts."""

    span: Span
    replacement: str


class Suggestion(NamedTuple):
    """Something to try.

    `sure` cannot change what the programme means and may be applied unseen, `guess` is probably what was
    meant, `sketch` shows the shape of an answer and leaves gaps.
    """

    text: str
    certainty: Certainty
    edits: tuple[Edit, ...] = ()


class Diagnostic(NamedTuple):
    """A complaint about a programme.

    `headline` is one line without a full stop that makes sense alone. `labels` holds exactly one primary
    label, unless the whole file is at fault: then there are no labels, and `file` names the file. `why` tells
    in a few sentences which rule was broken and what follows from it.
    """

    code: Code
    headline: str
    labels: tuple[Label, ...] = ()
    why: str = ""
    suggestions: tuple[Suggestion, ...] = ()
    file: str | None = None
    severity_override: Severity | None = None

    @property
    def severity(self) -> Severity:
        """The severity of the code, unless this complaint was given another."""
        return self.severity_override or self.code.severity

    @property
    def primary(self) -> Label | None:
        """The label at the place to edit; none if the whole file is at fault."""
        return next((label for label in self.labels if label.role == "primary"), None)


def file_of(diagnostic: Diagnostic) -> str:
    """Name the file complained about; empty if the complaint is about no file at all."""
    if diagnostic.primary is not None:
        return diagnostic.primary.span.source.name
    return diagnostic.file or ""


def order(diagnostics: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Sort by file, primary offset, code and headline; of exact duplicates only the first said stays.

    Two complaints are duplicates if code, file, primary span and headline agree. One about a whole file comes
    before those about places in it.
    """
    kept: dict[tuple[str, int, str, str, int], Diagnostic] = {}
    for diagnostic in diagnostics:
        kept.setdefault(_sort_key(diagnostic), diagnostic)
    return tuple(kept[key] for key in sorted(kept))


def _sort_key(diagnostic: Diagnostic) -> tuple[str, int, str, str, int]:
    primary = diagnostic.primary
    start, end = (primary.span.start, primary.span.end) if primary is not None else (-1, -1)
    return file_of(diagnostic), start, diagnostic.code.id, diagnostic.headline, end


def is_error(diagnostics: Iterable[Diagnostic]) -> bool:
    """Tell whether at least one of them is an error."""
    return any(diagnostic.severity == "error" for diagnostic in diagnostics)


def count(diagnostics: Iterable[Diagnostic]) -> tuple[int, int]:
    """Count the errors and the warnings."""
    severities = [diagnostic.severity for diagnostic in diagnostics]
    return severities.count("error"), severities.count("warning")


def as_errors(diagnostics: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Make every warning an error; notes stay notes."""
    return tuple(
        diagnostic._replace(severity_override="error") if diagnostic.severity == "warning" else diagnostic
        for diagnostic in diagnostics
    )
