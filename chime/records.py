"""Frozen records: `NamedTuple` as in `typing`, made in a tenth of the time.

`typing.NamedTuple` looks at every annotation when a class is made and `collections.namedtuple` writes and
compiles a constructor for each; `chime check` makes more than a hundred such classes before it reads a line,
and that took longer than reading a year. Here the library compiles one constructor for each number of fields
and every record of that many fields takes it over under its own names; to mypy a record is the library's own.
"""

import sys
from typing import TYPE_CHECKING

# From Python 3.14 on annotations are evaluated when somebody asks for them, so that a class body has none.
if TYPE_CHECKING or sys.version_info >= (3, 14):
    from typing import NamedTuple
else:
    from collections import namedtuple
    from types import FunctionType

    MOST_FIELDS = 40
    _WIDE = namedtuple("_WIDE", [f"field_{place}" for place in range(MOST_FIELDS)])
    _GETTERS = [_WIDE.__dict__[field] for field in _WIDE._fields]  # they read a place of any tuple
    _CONSTRUCTORS = {}

    class _Row(tuple):
        """What all records can do, as the named tuples of the library do it."""

        __slots__ = ()
        _fields = ()

        @classmethod
        def _make(cls, values):
            return cls(*values)

        def _asdict(self):
            return dict(zip(self._fields, self, strict=True))

        def _replace(self, /, **changes):
            made = tuple.__new__(type(self), map(changes.pop, self._fields, self))
            if changes:
                message = f"Got unexpected field names: {list(changes)!r}"
                raise ValueError(message)
            return made

        def __repr__(self):
            values = ", ".join(f"{f}={v!r}" for f, v in zip(self._fields, self, strict=True))
            return f"{type(self).__name__}({values})"

        def __getnewargs__(self):
            return tuple(self)

    def _constructor(name, fields, defaults):
        """Return `__new__` with these names: the library's own code for as many fields, renamed."""
        like = _CONSTRUCTORS.get(len(fields))
        if like is None:
            plain = namedtuple("_PLAIN", [f"field_{place}" for place in range(len(fields))])
            like = _CONSTRUCTORS[len(fields)] = plain.__new__
        code = like.__code__.replace(co_varnames=("_cls", *fields))
        made = FunctionType(code, like.__globals__, "__new__", defaults)
        made.__qualname__ = f"{name}.__new__"
        return made

    class _Record(type):
        """Makes a record of a class body: its fields, their defaults, its methods and properties."""

        def __new__(cls, name, bases, body):  # noqa: ARG004
            fields = tuple(body.get("__annotations__", ()))
            defaults = {field: body[field] for field in fields if field in body}
            if fields[len(fields) - len(defaults) :] != tuple(defaults) or len(fields) > MOST_FIELDS:
                message = f"{name}: over {MOST_FIELDS} fields, or one without a default after one with it"
                raise TypeError(message)
            body.pop("__orig_bases__", None)
            getters = dict(zip(fields, _GETTERS, strict=False))
            made = {"__slots__": (), "__new__": _constructor(name, fields, tuple(defaults.values()))}
            own = {"_fields": fields, "__match_args__": fields, "_field_defaults": defaults}
            return type(name, (_Row,), {**body, **made, **own, **getters})

    NamedTuple = type.__new__(_Record, "NamedTuple", (), {})

__all__ = ["NamedTuple"]
