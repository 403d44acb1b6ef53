"""The parser of one logical line, from grammar/chime.lark.

lark builds the LALR tables once, when the package is built, and they travel in it as
`grammar.tables`; loading them costs a tenth of building them. The file begins with a line that names
lark's release, the grammar's digest and that of the tables themselves: where any of them differs, or the
tables cannot be loaded, they are built anew in memory.
"""

from __future__ import annotations

import io
import os
from functools import cache
from hashlib import sha256
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lark import Lark

BODIES = {
    "programme": "programme_line",
    "timetable": "timetable_line",
    "week": "week_line",
    "cycle": "cycle_line",
    "term": "term_line",
    "exceptions": "exceptions_line",
    "zone": "zone_line",
    "line": "line_line",
    "machine": "machine_line",
}
"""The start rule of the indented lines of each block that has any."""

OPENER = "opener"
STARTS = (OPENER, *BODIES.values())

# os.path and not pathlib: importing pathlib costs a twentieth of what `check` may cost in all.
_HERE = os.path.dirname(__file__)
TABLES = os.path.join(_HERE, "grammar.tables")


def grammar_text() -> str:
    """Return the grammar: the packaged copy, or in a checkout the folder beside the package."""
    beside = os.path.join(os.path.dirname(os.path.dirname(_HERE)), "grammar")
    for folder in (_HERE, beside):
        place = os.path.join(folder, "chime.lark")
        if os.path.isfile(place):
            with open(place, encoding="utf-8") as file:
                return file.read()
    raise FileNotFoundError("the grammar is missing from this installation of chime")


def build(text: str, *, strict: bool = False) -> Lark:
    """Build the parser from the grammar's text; `strict` makes every collision an error."""
    from lark import Lark

    from chime.parsing.words import WholeWords

    lexer = "contextual" if strict else WholeWords
    return Lark(
        text,
        parser="lalr",
        lexer=lexer,
        start=list(STARTS),
        propagate_positions=True,
        maybe_placeholders=False,
        strict=strict,
    )


def stamp(text: str, tables: bytes) -> bytes:
    """Return the first line of the tables file: what the tables were built from, and their digest."""
    from lark import __version__

    grammar = sha256(text.encode("utf-8")).hexdigest()
    return f"lark {__version__} grammar {grammar} tables {sha256(tables).hexdigest()}\n".encode()


def saved_tables(text: str) -> bytes:
    """Return the content of the tables file for this grammar and this release of lark.

    They are what lark saves, but its rules and terminals stand in them as objects: lark makes these at each
    load, which takes a third of it, and takes those that are made already.
    """
    import pickle

    from lark.grammar import Rule
    from lark.lexer import TerminalDef
    from lark.utils import SerializeMemoizer

    saved = io.BytesIO()
    build(text).save(saved)
    whole = pickle.loads(saved.getvalue())  # noqa: S301 - made in the line before
    kinds = {"Rule": Rule, "TerminalDef": TerminalDef}
    whole["memo"] = SerializeMemoizer.deserialize(whole["memo"], kinds, {})
    tables = pickle.dumps(whole, protocol=pickle.HIGHEST_PROTOCOL)
    return stamp(text, tables) + tables


def load(content: bytes, text: str) -> Lark | None:
    """Return the parser of a tables file; None if it is not whole or was made from something else."""
    from lark import Lark

    first, _, tables = content.partition(b"\n")
    if first + b"\n" != stamp(text, tables):
        return None
    try:
        return Lark.load(io.BytesIO(tables))
    except Exception:  # noqa: BLE001
        # Another release of Python may not read what was saved: whatever it says, the grammar is at hand.
        return None


@cache
def line_parser() -> Lark:
    """Return the parser, loaded from the saved tables if they fit, else built."""
    text = grammar_text()
    return load(_saved(), text) or build(text)


def _saved() -> bytes:
    try:
        with open(TABLES, "rb") as file:
            return file.read()
    except OSError:
        return b""
