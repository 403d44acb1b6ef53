"""What the work of a term costs, in minutes of anybody's time."""

from collections.abc import Iterable
from fractions import Fraction

from chime.records import NamedTuple

Minutes = Fraction
"""Whole seconds over sixty: costs are compared exactly."""


class Costs(NamedTuple):
    """What each thing costs, in minutes."""

    new_tape: Minutes = Minutes(90)
    tape_change: Minutes = Minutes(12)
    selector_move: Minutes = Minutes(1)
    silence: Minutes = Minutes(2)
    hand_ring: Minutes = Minutes(3)

    def of(self, done: "ByHand") -> Minutes:
        """Return what is done by hand on some dates costs."""
        return self.silence * done.silences + self.hand_ring * done.rings


class ByHand(NamedTuple):
    """What a hand does on some dates beside changing tapes: silences, each off and on, and rings."""

    silences: int = 0
    rings: int = 0

    @property
    def operations(self) -> int:
        """Return how often a hand does something."""
        return self.silences + self.rings

    def times(self, number: int) -> "ByHand":
        """Return as much on so many times the dates."""
        return ByHand(self.silences * number, self.rings * number)


def sum_of(parts: Iterable[ByHand]) -> ByHand:
    """Return all of several together."""
    listed = list(parts)
    return ByHand(sum(each.silences for each in listed), sum(each.rings for each in listed))
