"""A term and a machine as the planner sees them, and the plan that it makes: sets and numbers alone."""

from collections.abc import Mapping

from chime.planning.costs import ByHand, Costs, Minutes
from chime.planning.covers import Cover
from chime.records import NamedTuple


class Programme(NamedTuple):
    """What may be punched for some dates: the places along the loop that each zone hears."""

    name: str
    places: Mapping[str, frozenset[int]]


class Window(NamedTuple):
    """Dates that one tape serves in one go: on which programmes they can run, what a hand does on each.

    `can_change` tells whether anybody can change the tape or move the selector before it.
    """

    by_hand: Mapping[int, ByHand]
    can_change: bool = True


class Contacts(NamedTuple):
    """What the machine can do: its tracks, its positions, and whether zones that share a track are tied.

    `wired` says for each track which zones hear it in which position, where that cannot be chosen. `fixed`
    are tracks beside those that are counted, wired so while the others can be chosen; no zone on them hears
    one of the others.
    """

    tracks: int
    positions: int
    tied: bool
    wired: tuple[frozenset[tuple[str, int]], ...] | None = None
    fixed: tuple[frozenset[tuple[str, int]], ...] = ()


class Problem(NamedTuple):
    """A term and a machine."""

    programmes: tuple[Programme, ...]
    windows: tuple[Window, ...]
    contacts: Contacts
    costs: Costs = Costs()


Slot = tuple[int, int]
"""A tape and a position, both counted from 0."""


class Plan(NamedTuple):
    """The best plan that was found; `bound` is what no plan can be cheaper than, its own minutes if proven.

    `slots` gives the programme of each tape and position, `runs` the slot of each window.
    """

    minutes: Minutes
    bound: Minutes
    slots: Mapping[Slot, int]
    runs: tuple[Slot, ...]
    cover: Cover
    tape_changes: int
    selector_moves: int
    by_hand: ByHand

    @property
    def tapes(self) -> int:
        """Return how many tapes are punched."""
        return len({tape for tape, _ in self.slots})

    @property
    def rank(self) -> tuple[Minutes, int, int, int]:
        """Return what makes it better than others: minutes, then operations by hand, tapes, holes."""
        done = self.tape_changes + self.selector_moves + self.by_hand.operations
        return self.minutes, done, self.tapes, self.cover.holes


class Run(NamedTuple):
    """The windows in order on tapes and positions, and what is done for that; `minutes` are without tapes."""

    minutes: Minutes
    slots: tuple[Slot, ...]
    tape_changes: int
    selector_moves: int
    by_hand: ByHand

    @property
    def operations(self) -> int:
        """Return how often a hand does something."""
        return self.tape_changes + self.selector_moves + self.by_hand.operations
