"""Text as it stands on a terminal: how wide each character is, and what is shown for one that has no shape.

Widths follow Unicode Standard Annex 11 (East Asian Width): wide and fullwidth characters take two cells,
combining marks none, everything else one.
"""

import unicodedata
from functools import lru_cache

from chime.records import NamedTuple

TAB = "    "

_CONTROL_PICTURES = 0x2400
_DELETE = 0x7F


class Cells(NamedTuple):
    """A run of characters as shown, with the cells where each of them starts and ends.

    `starts` and `ends` have one entry for each character of the original text. A combining mark stands in the
    cells of the character it sits on.
    """

    shown: str
    starts: tuple[int, ...]
    ends: tuple[int, ...]

    @property
    def width(self) -> int:
        """The number of cells that the whole run takes."""
        return self.ends[-1] if self.ends else 0


class View(NamedTuple):
    """The part of a line that is shown: offsets `left` to `right`, an ellipsis where the line is cut."""

    left: int
    right: int
    cells: Cells
    before: str
    after: str

    @property
    def shown(self) -> str:
        """The part with its ellipses."""
        return self.before + self.cells.shown + self.after


def lay(text: str, *, ascii_only: bool) -> Cells:
    """Show a run of characters from one line. Tabs have a fixed width, wherever they stand."""
    shown: list[str] = []
    starts: list[int] = []
    ends: list[int] = []
    base = here = 0
    for character in text:
        stand_in, width = show(character, ascii_only=ascii_only)
        if width == 0 and here == 0:
            stand_in, width = "\N{DOTTED CIRCLE}" + stand_in, 1
        if width:
            base = here
        here += width
        shown.append(stand_in)
        starts.append(base)
        ends.append(here)
    return Cells("".join(shown), tuple(starts), tuple(ends))


def view(text: str, bounds: tuple[int, int], focus: int, *, most: int, ascii_only: bool) -> View:
    """Choose the part of the line between the bounds that shows the focus, about so many cells wide.

    Some of what stands before the focus is shown with it, and more if little follows. Never more than ten
    code points a cell are looked at, so neither a line as long as a file nor a heap of combining marks takes
    long or fills the screen.
    """
    low, high = bounds
    _, behind = _fit(text[focus : min(high, focus + 8 * most)], most, ascii_only=ascii_only)
    before = text[max(low, focus - 2 * most) : focus]
    room = max(most // 3, most - behind)
    left = focus - _fit(before[::-1], room, ascii_only=ascii_only)[0]
    reached = left + _fit(text[left : min(high, left + 8 * most)], most, ascii_only=ascii_only)[0]
    right = min(high, max(reached, focus + 1))
    ellipsis = _ellipsis(ascii_only=ascii_only)
    return View(
        left,
        right,
        lay(text[left:right], ascii_only=ascii_only),
        ellipsis if left > low else "",
        ellipsis if right < high else "",
    )


def cells_of(part: View, start: int, end: int) -> tuple[int, int]:
    """Tell which cells of `part.shown` a stretch of its line takes, at least one.

    The stretch starts within the view; if it goes on past a cut, the ellipsis belongs to it.
    """
    cells = part.cells
    first = cells.starts[start - part.left] if start < part.right else cells.width
    if end > part.right:
        last = cells.width + len(part.after)
    else:
        last = cells.ends[end - part.left - 1] if end > start else first
    return len(part.before) + first, len(part.before) + max(last, first + 1)


def show_words(text: str, *, most: int, ascii_only: bool) -> str:
    """Show words on one line of at most so many cells, an ellipsis at the end if they are cut."""
    # No more than the front is looked at, since a name may be as long as a file.
    cells = lay(text[: 4 * most], ascii_only=ascii_only)
    if cells.width <= most and len(text) <= 4 * most:
        return cells.shown
    ellipsis = _ellipsis(ascii_only=ascii_only)
    kept = sum(1 for end in cells.ends if end <= most - len(ellipsis))
    return lay(text[:kept], ascii_only=ascii_only).shown + ellipsis


def wrap(shown: str, most: int) -> list[str]:
    """Break shown text into lines of at most so many cells, at spaces; a longer word stands alone."""
    lines: list[str] = []
    used = 0
    for word in shown.split(" "):
        width = measure(word)
        if lines and used + 1 + width <= most:
            lines[-1] += " " + word
            used += 1 + width
        else:
            lines.append(word)
            used = width
    return lines


def measure(shown: str) -> int:
    """Count the cells that shown text takes."""
    return len(shown) if shown.isascii() else sum(_width(character) for character in shown)


@lru_cache(maxsize=4096)
def show(character: str, *, ascii_only: bool) -> tuple[str, int]:
    """Tell what is shown for one character, and the cells it takes.

    A space that only looks like the plain one is made visible, and so is all that would move the cursor, turn
    the direction of the writing or not be seen at all.
    """
    if " " <= character <= "~":
        return character, 1
    if character == "\t":
        return TAB, len(TAB)
    category = unicodedata.category(character)
    hidden = category[0] == "C" or category in ("Zl", "Zp")
    if not ascii_only:
        if ord(character) < ord(" "):
            return chr(_CONTROL_PICTURES + ord(character)), 1
        if ord(character) == _DELETE:
            return "\N{SYMBOL FOR DELETE}", 1
        if category == "Zs":
            return "\N{OPEN BOX}", 1
        if not hidden:
            return character, _width(character)
    stand_in = f"<U+{ord(character):04X}>"
    return stand_in, len(stand_in)


def _width(character: str) -> int:
    # Vowels and finals of decomposed Hangul are letters by category, yet drawn into the block before them.
    if unicodedata.category(character) in ("Mn", "Me") or "\u1160" <= character <= "\u11ff":
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def _fit(characters: str, most: int, *, ascii_only: bool) -> tuple[int, int]:
    """How many of the characters fit into so many cells, and the cells they take."""
    used = 0
    for place, character in enumerate(characters):
        width = show(character, ascii_only=ascii_only)[1]
        if used + width > most:
            return place, used
        used += width
    return len(characters), used


def _ellipsis(*, ascii_only: bool) -> str:
    return "..." if ascii_only else "\N{HORIZONTAL ELLIPSIS}"
