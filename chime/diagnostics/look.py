"""The signs and colours of the long form.

A fault looks like a piece of punched tape: a plain margin, and under the text a row of punchings, solid where
something has to change and hollow where it clashes. Colour follows what a thing is, never where it stands,
and says nothing that the signs and the words do not say.
"""

from typing import Literal

from chime.records import NamedTuple

Paint = Literal["error", "warning", "note", "other end", "margin", "try", "headline"]

_PAINTS: dict[Paint, str] = {
    "error": "1;31",
    "warning": "1;33",
    "note": "1;34",
    "other end": "36",
    "margin": "2",
    "try": "32",
    "headline": "1",
}


class Look(NamedTuple):
    """The signs to draw with, and whether to colour them."""

    color: bool
    ascii_only: bool
    separator: str
    filled: str
    open: str
    strip: str
    marks: str
    gap: str


_HOLES = Look(
    color=False,
    ascii_only=False,
    separator="\N{MIDDLE DOT}",
    filled="\N{BLACK CIRCLE}",
    open="\N{WHITE CIRCLE}",
    strip="\N{BOX DRAWINGS LIGHT VERTICAL}",
    marks="\N{BOX DRAWINGS LIGHT QUADRUPLE DASH VERTICAL}",
    gap="\N{VERTICAL ELLIPSIS}",
)
_PLAIN = Look(
    color=False,
    ascii_only=True,
    separator="-",
    filled="o",
    open=".",
    strip="|",
    marks=":",
    gap="~",
)


def choose_look(*, color: bool, ascii_only: bool) -> Look:
    """Choose the look for a stream: in colour or not, with holes or with their ASCII stand-ins."""
    return (_PLAIN if ascii_only else _HOLES)._replace(color=color)


def paint(look: Look, role: Paint, text: str) -> str:
    """Colour the text by its role, with SGR sequences (ECMA-48); a look without colour changes nothing."""
    if not look.color or not text:
        return text
    return f"\x1b[{_PAINTS[role]}m{text}\x1b[0m"
