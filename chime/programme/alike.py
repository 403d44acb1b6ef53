"""Names that a reader would take for each other, and in what they differ."""

import unicodedata
from typing import Literal

Difference = Literal["none", "marks", "capitals", "width", "width and capitals", "form"]
"""`marks`: how the marks on letters are stored; `form`: another form of a letter, such as a ligature."""

_WIDTHS = ("<wide>", "<narrow>")
_SEEN_APART = ("<super>", "<sub>", "<circle>", "<square>", "<fraction>")
"""Forms of a letter or digit that nobody takes for the plain one: "Hall ①" is not "Hall 1"."""


def one_form(text: str) -> str:
    """Return a text with each letter and its marks in the one form that Unicode prefers (NFC)."""
    return text if text.isascii() else unicodedata.normalize("NFC", text)


def folded(name: str) -> str:
    """Return what two names have in common that would be taken for each other."""
    return one_form(_plain(name).casefold())


def difference(left: str, right: str) -> Difference:
    """Tell in what two names differ that have the same folded form."""
    if left == right:
        return "none"
    left, right = one_form(left), one_form(right)
    if left == right:
        return "marks"
    if left.lower() == right.lower():
        return "capitals"
    left, right = _plain(left, _WIDTHS), _plain(right, _WIDTHS)
    if left == right:
        return "width"
    return "width and capitals" if left.lower() == right.lower() else "form"


def _plain(text: str, forms: tuple[str, ...] = ()) -> str:
    """Return a text with the plain letter in place of its other forms, all that look alike or those named."""
    if text.isascii():
        return text
    return one_form("".join(_plain_letter(letter, forms) for letter in one_form(text)))


def _plain_letter(letter: str, forms: tuple[str, ...]) -> str:
    if not forms and unicodedata.category(letter) == "Cf":
        return ""  # not seen at all, such as a joiner
    form = unicodedata.decomposition(letter).partition(" ")[0]
    is_meant = form in forms if forms else form.startswith("<") and form not in _SEEN_APART
    return unicodedata.normalize("NFKC", letter) if is_meant else letter
