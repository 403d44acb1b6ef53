"""What a repair of a typed line is: values shared by the modules that look for what was meant."""

from bisect import bisect_right
from collections.abc import Callable
from itertools import pairwise

from chime.diagnostics import Certainty, Code
from chime.records import NamedTuple

Place = Callable[[int], int]
Parses = Callable[[str, str], bool]


class Change(NamedTuple):
    """Put a text in place of a stretch of the line as typed; an empty stretch inserts."""

    start: int
    end: int
    text: str


class Option(NamedTuple):
    """One thing to write instead: how sure it is, how it reads, what it changes in the line."""

    certainty: Certainty
    text: str
    changes: tuple[Change, ...]


class Repair(NamedTuple):
    """One mistake of a line: the wrong text, as offsets in the line as typed, and what to write instead.

    Without options nothing can be offered; `why` then says what to write.
    """

    code: Code
    start: int
    end: int
    headline: str
    why: str
    options: tuple[Option, ...]


class Mark(NamedTuple):
    """Where a piece of the mended line (`begin` to `end`) stands in the line as typed (`start` to `stop`)."""

    begin: int
    end: int
    start: int
    stop: int


class Mended(NamedTuple):
    """The mistakes of a line, and the line as it was meant (None where that is not clear)."""

    repairs: tuple[Repair, ...]
    text: str | None
    marks: tuple[Mark, ...] = ()

    def place(self, offset: int) -> int:
        """Return where an offset of the mended text lies in the line as typed."""
        at = bisect_right(self.marks, offset, key=lambda mark: mark.begin) - 1
        if at < 0:
            return offset
        mark = self.marks[at]
        if offset >= mark.end:
            return mark.stop
        return min(mark.start + offset - mark.begin, mark.stop)


def carry_out(text: str, changes: tuple[Change, ...]) -> str:
    """Return the text with changes made; they must not overlap (see `clash`)."""
    parts: list[str] = []
    done = 0
    for change in sorted(changes):
        parts += text[done : change.start], change.text
        done = change.end
    return "".join([*parts, text[done:]])


def clash(changes: tuple[Change, ...]) -> bool:
    """Say whether two changes overlap, insert at the same place, or take a comma away to put one there."""
    return any(
        right.start < left.end
        or (left.start, left.end) == (right.start, right.end)
        or (left.end == right.start and {left.text.strip(), right.text.strip()} == {",", ""})
        for left, right in pairwise(sorted(changes))
    )
