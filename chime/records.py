"""Frozen records: `NamedTuple` as in `typing`, but its annotations are for readers and mypy alone.

`typing.NamedTuple` looks at every annotation when a class is made, and that takes longer than all the rest.
`chime check` makes more than a hundred such classes before it reads a line.
"""

import sys
from typing import TYPE_CHECKING

# From Python 3.14 on annotations are evaluated when somebody asks for them, so that a class body has none.
if TYPE_CHECKING or sys.version_info >= (3, 14):
    from typing import NamedTuple
else:
    from collections import namedtuple

    _OF_THE_CLASS = {"__annotations__", "__module__", "__qualname__", "__orig_bases__"}

    class _Record(type):
        """Makes a named tuple of a class body: its fields, their defaults, its methods and properties."""

        def __new__(cls, name, bases, body):  # noqa: ARG004
            fields = body.get("__annotations__", {})
            defaults = [body[field] for field in fields if field in body]
            made = namedtuple(name, fields, defaults=defaults, module=body["__module__"])
            made.__annotations__ = fields
            made.__qualname__ = body["__qualname__"]
            for key, value in body.items():
                if key not in _OF_THE_CLASS and key not in fields:
                    setattr(made, key, value)
            return made

    NamedTuple = type.__new__(_Record, "NamedTuple", (), {})

__all__ = ["NamedTuple"]
