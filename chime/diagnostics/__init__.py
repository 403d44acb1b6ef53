"""Complaints as values, and the text they are about.

The values are here. The renderers (long_form, one_line, machine), the search for a near name (suggest) and
the carrying out of edits (edits) are imported where they are used: a sound programme never loads them.
"""

from chime.diagnostics.code import Code, Severity
from chime.diagnostics.diagnostic import (
    Certainty,
    Diagnostic,
    Edit,
    Label,
    Role,
    Suggestion,
    as_errors,
    count,
    is_error,
    order,
)
from chime.diagnostics.source import Source, Span

__all__ = [
    "Certainty",
    "Code",
    "Diagnostic",
    "Edit",
    "Label",
    "Role",
    "Severity",
    "Source",
    "Span",
    "Suggestion",
    "as_errors",
    "count",
    "is_error",
    "order",
]
