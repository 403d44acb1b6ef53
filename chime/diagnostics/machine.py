"""The JSON form, for other programs: one object, its format versioned by name.

Lines and columns are 1-based, offsets count code points from 0, ends are exclusive. Within a version keys are
added and never change their meaning.
"""

from collections.abc import Iterable
from typing import Any

from chime.diagnostics.diagnostic import Diagnostic, Label, Suggestion, count, order
from chime.diagnostics.source import Source, Span

_FORMAT = "chime-diagnostics/1"


def render(diagnostics: Iterable[Diagnostic]) -> str:
    """Write all complaints in order as JSON text (RFC 8259) with a newline at its end.

    A complaint about a whole file has a `file` of its own and no labels.
    """
    import json

    ordered = order(diagnostics)
    errors, warnings = count(ordered)
    report = {
        "format": _FORMAT,
        "counts": {"error": errors, "warning": warnings},
        "diagnostics": [_diagnostic(diagnostic) for diagnostic in ordered],
    }
    return json.dumps(report, ensure_ascii=False, indent=2) + "\n"


def _diagnostic(diagnostic: Diagnostic) -> dict[str, Any]:
    code = diagnostic.code
    primary_first = sorted(diagnostic.labels, key=lambda label: label.role != "primary")
    return {
        "code": code.id,
        "slug": code.slug,
        "stage": code.stage,
        "severity": diagnostic.severity,
        "headline": diagnostic.headline,
        "why": diagnostic.why,
        **({"file": diagnostic.file} if diagnostic.primary is None and diagnostic.file else {}),
        "labels": [_label(label) for label in primary_first],
        "suggestions": [_suggestion(suggestion) for suggestion in diagnostic.suggestions],
        "about": f"chime explain {code.id}",
    }


def _label(label: Label) -> dict[str, Any]:
    return {"role": label.role, "text": label.text, "span": _span(label.span)}


def _span(span: Span) -> dict[str, Any]:
    source = span.source
    return {"file": source.name, "start": _place(source, span.start), "end": _place(source, span.end)}


def _place(source: Source, offset: int) -> dict[str, int]:
    return {"line": source.line_of(offset), "column": source.column_of(offset), "offset": offset}


def _suggestion(suggestion: Suggestion) -> dict[str, Any]:
    edits = [
        {
            "file": edit.span.source.name,
            "start": edit.span.start,
            "end": edit.span.end,
            "replacement": edit.replacement,
        }
        for edit in suggestion.edits
    ]
    return {"certainty": suggestion.certainty, "text": suggestion.text, "edits": edits}
