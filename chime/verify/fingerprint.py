"""The fingerprint of a programme: the same for two files that mean the same.

It is over the checked programme, the machine, the imported days and the releases of the data; not
over comments, spacing, file names or the order of lines. It stands on every output, so that nobody
punches a tape from one issue and hangs up the calendar of another.
"""

import json
from datetime import date
from hashlib import sha256

from chime.diagnostics import Span
from chime.programme.model import Programme

DIGITS = 16
"""Hexadecimal digits of a fingerprint as it is written: 64 bits tell two issues apart with ease."""

_IN_ANY_ORDER = frozenset(
    (
        "specials",
        "changes",
        "reads",
        "relay",
        "errors",
        "day_wheels",
        "daily_silences",
        "positions",
        "out_of_use",
        "attended",
        "costs",
    )
)
"""Lists that stand in an order which means nothing: that of their lines, or of their words."""


def fingerprint(programme: Programme, zone_release: str) -> str:
    """Return the fingerprint of a checked programme, in lower-case hexadecimal."""
    meant = [canonical(programme), zone_release]
    text = json.dumps(meant, ensure_ascii=False, separators=(",", ":"))
    return sha256(text.encode("utf-8")).hexdigest()[:DIGITS]


def canonical(value: object) -> object:
    """Return a value as plain lists, strings and numbers, spans left out."""
    if isinstance(value, Span):
        return None
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, frozenset):
        return sorted(value)
    fields = getattr(value, "_fields", None)
    if fields is not None:
        parts = [_field(value, name) for name in fields if not isinstance(getattr(value, name), Span)]
        return [type(value).__name__, *parts]
    if isinstance(value, tuple):
        return [canonical(part) for part in value if not isinstance(part, Span)]
    return value


def _field(value: object, name: str) -> object:
    part = canonical(getattr(value, name))
    if name in _IN_ANY_ORDER and isinstance(part, list):
        return sorted(part, key=lambda p: json.dumps(p, ensure_ascii=False))
    return part
