"""Which programmes share a tape, if all that counts are the tapes and the changes between them.

Programmes are put on tapes one after the other, each on one that is begun or on a new one, and what cannot
become cheaper than the ways found so far is cut off (branch and bound). The tapes that the rest will need at
least are counted from the start.
"""

from bisect import insort
from collections.abc import Callable, Mapping, Sequence

from chime.planning.costs import Minutes
from chime.records import NamedTuple

Blocks = tuple[tuple[int, ...], ...]
"""Programmes that share a tape, for each tape."""

MOST_NODES = 200_000
MOST_WAYS = 40


class Parted(NamedTuple):
    """The cheapest ways to share tapes, in order; `is_whole` tells that the search was not stopped."""

    ways: tuple[tuple[Minutes, Blocks], ...]
    is_whole: bool


def part(
    order: Sequence[int],
    changes: Mapping[tuple[int, ...], int],
    new_tape: Minutes,
    apart: Minutes,
    size: int,
    fits: Callable[[frozenset[int]], bool] = lambda _: True,
) -> Parted:
    """Put programmes on tapes of at most `size` each; `changes` is how often each two follow each other.

    `apart` is what it costs more each time if they are on two tapes. `fits` tells whether programmes can
    share one.
    """
    return _Parting(order, changes, new_tape, apart, size, fits).run()


class _Parting:
    def __init__(
        self,
        order: Sequence[int],
        changes: Mapping[tuple[int, ...], int],
        new_tape: Minutes,
        apart: Minutes,
        size: int,
        fits: Callable[[frozenset[int]], bool],
    ) -> None:
        self.order, self.size, self.fits = order, size, fits
        self.new_tape, self.left = new_tape, MOST_NODES
        self.between = {
            p: {q: apart * changes.get((min(p, q), max(p, q)), 0) for q in order if q != p} for p in order
        }
        self.found: list[tuple[Minutes, Blocks]] = []

    def run(self) -> Parted:
        self._put(0, (), Minutes(0))
        return Parted(tuple(self.found), self.left > 0)

    def _put(self, number: int, blocks: Blocks, cost: Minutes) -> None:
        self.left -= 1
        waiting = len(self.order) - number
        room = sum(self.size - len(block) for block in blocks)
        tapes = len(blocks) + max(0, -(-(waiting - room) // self.size))
        least = cost + self.new_tape * tapes
        if self.left <= 0 or (len(self.found) == MOST_WAYS and least >= self.found[-1][0]):
            return
        if not waiting:
            insort(self.found, (least, blocks))
            del self.found[MOST_WAYS:]
            return
        new = self.order[number]
        costs = self.between[new]
        to_all = sum(costs[p] for block in blocks for p in block)
        for place, block in enumerate(blocks):
            grown = (*block, new)
            if len(grown) <= self.size and self.fits(frozenset(grown)):
                to_others = to_all - sum(costs[p] for p in block)
                self._put(number + 1, (*blocks[:place], grown, *blocks[place + 1 :]), cost + to_others)
        if self.fits(frozenset((new,))):
            self._put(number + 1, (*blocks, (new,)), cost + to_all)
