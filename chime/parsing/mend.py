"""Carrying out the offers of parsing faults that are sure: the text says what it said, in the right form."""

from bisect import bisect
from itertools import pairwise

from chime.diagnostics import Diagnostic, Edit, Source, Suggestion, order
from chime.diagnostics.edits import apply
from chime.parsing.parser import read_blocks
from chime.records import NamedTuple

MOST_ROUNDS = 50
"""One repair may bring another fault to light, but never so many in turn."""


class Mended(NamedTuple):
    """The text of a file with its sure offers carried out, and what was done: line and headline of each.

    The lines are counted in the text as it stood when the fault was found.
    """

    text: str
    done: tuple[tuple[int, str], ...]


def mend(source: Source) -> Mended:
    """Carry out every offer that is sure, each whole, until none is left; what is a guess stays as it is."""
    done: list[tuple[int, str]] = []
    for _ in range(MOST_ROUNDS):
        chosen = _choose(source)
        text = apply(source, (edit for _, offer in chosen for edit in offer.edits))
        if text == source.text:
            break
        for fault, _ in chosen:
            assert fault.primary is not None
            done.append((fault.primary.span.line, fault.headline))
        source = Source(source.name, text, source.path)
    return Mended(source.text, tuple(done))


def _choose(source: Source) -> list[tuple[Diagnostic, Suggestion]]:
    """Return the first sure offer of each fault, of those that overlap the earlier one."""
    taken = _Taken()
    chosen = []
    for fault in order(read_blocks(source).diagnostics):
        offer = next((o for o in fault.suggestions if o.certainty == "sure" and o.edits), None)
        if offer is not None and taken.take(offer.edits):
            chosen.append((fault, offer))
    return chosen


class _Taken:
    """The stretches of a text that are already being edited, in order."""

    def __init__(self) -> None:
        self.stretches: list[tuple[int, int]] = []

    def take(self, edits: tuple[Edit, ...]) -> bool:
        """Take the stretches of some edits if all are free, and say whether they were."""
        wanted = sorted((edit.span.start, edit.span.end) for edit in edits)
        inner = pairwise(wanted)
        if not all(self._is_free(s) for s in wanted) or any(_overlap(*pair) for pair in inner):
            return False
        for stretch in wanted:
            self.stretches.insert(bisect(self.stretches, stretch), stretch)
        return True

    def _is_free(self, stretch: tuple[int, int]) -> bool:
        at = bisect(self.stretches, stretch)
        before, after = self.stretches[max(0, at - 1) : at], self.stretches[at : at + 1]
        return not any(_overlap(left, stretch) for left in before) and not any(
            _overlap(stretch, right) for right in after
        )


def _overlap(left: tuple[int, int], right: tuple[int, int]) -> bool:
    return right[0] < left[1] or left == right
