"""The exact search of small terms: every choice of programmes, every way to share tapes, every position.

Programmes that nothing else can serve are punched, all choices of the others are tried, all ways to share
tapes are tried with those cut off that already cost more than the best, and the year is a shortest path over
tapes and positions. Programmes that need too many tracks are cut off with all that hold them, for adding a
programme never makes fewer tracks do.
"""

from collections.abc import Iterator
from itertools import combinations, islice, permutations, product

from chime.planning.costs import Minutes
from chime.planning.model import Plan, Problem, Slot
from chime.planning.runs import cover_of, shortest_run
from chime.planning.sharing import Blocks

MOST_NUMBERINGS = 36
FEW_NUMBERINGS = 4
"""How many ways to number the positions of several tapes are tried, in the exact search and in the other."""


class Search:
    """Tries choices of programmes and of tapes, and keeps the best."""

    def __init__(self, problem: Problem, most_steps: int) -> None:
        self.problem, self.left = problem, most_steps
        self.best: Plan | None = None
        self.fitting: dict[frozenset[int], bool] = {}
        self.is_whole = True

    def run(self) -> Plan | None:
        """Return the best plan, with what no plan can be cheaper than; None if there is none."""
        unseen: list[Minutes] = []
        for opened in choices(self.problem):
            least = self._least(opened)
            if self.best is not None and least > self.best.minutes:
                continue
            if self.left:
                for blocks in self._share(opened, ()):
                    self._try(blocks)
            if not self.left or not self.is_whole:
                unseen.append(least)
        if self.best is None:
            return None
        return self.best._replace(bound=min([self.best.minutes, *unseen]))

    def _least(self, opened: tuple[int, ...]) -> Minutes:
        """Return what no plan that punches these programmes can be cheaper than."""
        costs, positions = self.problem.costs, self.problem.contacts.positions
        step = min(costs.selector_move, costs.tape_change) if positions > 1 else costs.tape_change
        total, before = costs.new_tape * -(-len(opened) // positions), None
        for window in self.problem.windows:
            ways = {p: done for p, done in window.by_hand.items() if p in opened}
            total += min(map(costs.of, ways.values()))
            if before is not None and before.isdisjoint(ways):
                total += step
            before = set(ways)
        return total

    def _share(self, left: tuple[int, ...], blocks: Blocks) -> Iterator[Blocks]:
        """Give the ways to put programmes on tapes, each on one of the tapes begun or on a new one."""
        if not self.left:
            return
        if self.best is not None and self.problem.costs.new_tape * len(blocks) > self.best.minutes:
            return
        if not left:
            self.left -= 1
            yield blocks
            return
        first, rest = left[0], left[1:]
        for number, block in enumerate(blocks):
            grown = (*block, first)
            if len(grown) <= self.problem.contacts.positions and self.fits(frozenset(grown)):
                yield from self._share(rest, (*blocks[:number], grown, *blocks[number + 1 :]))
        if self.fits(frozenset((first,))):
            yield from self._share(rest, (*blocks, (first,)))

    def fits(self, block: frozenset[int]) -> bool:
        """Tell whether programmes could be the positions of one tape, whatever the others are."""
        if block not in self.fitting:
            smaller = [block - {one} for one in block] if len(block) > 1 else []
            self.fitting[block] = all(self.fitting.get(some, True) for some in smaller) and any(
                cover_of(
                    self.problem, {(0, position): p for p, position in zip(sorted(block), order, strict=True)}
                )
                for order in self._orders(len(block))
            )
        return self.fitting[block]

    def _orders(self, size: int) -> Iterator[tuple[int, ...]]:
        """Give the ways to put programmes into positions: one, unless the positions are wired already."""
        contacts = self.problem.contacts
        if contacts.wired is None:
            yield tuple(range(size))
        else:
            yield from permutations(range(contacts.positions), size)

    def _try(self, blocks: Blocks) -> None:
        """Put the programmes of each tape into positions in the cheapest way that the tracks allow."""
        tapes = self.problem.costs.new_tape * len(blocks)
        # How positions are numbered changes moves of the selector alone.
        unmoved = self.problem._replace(costs=self.problem.costs._replace(selector_move=Minutes(0)))
        least = shortest_run(unmoved, next(iter(self.slots(blocks))))
        if least is None or (self.best is not None and least.minutes + tapes > self.best.minutes):
            return
        numbered = list(islice(self.slots(blocks), MOST_NUMBERINGS + 1))
        self.is_whole = self.is_whole and len(numbered) <= MOST_NUMBERINGS
        ways = [(shortest_run(self.problem, slots), slots) for slots in numbered[:MOST_NUMBERINGS]]
        runs = [(run, slots) for run, slots in ways if run is not None]
        for run, slots in sorted(runs, key=lambda way: (way[0].minutes, way[0].operations)):
            rank = run.minutes + tapes, run.operations, len(blocks)
            if self.best is not None and rank > self.best.rank[:3]:
                return
            cover = cover_of(self.problem, slots)
            if cover is not None and (self.best is None or (*rank, cover.holes) < self.best.rank):
                done = run.tape_changes, run.selector_moves, run.by_hand
                self.best = Plan(rank[0], rank[0], slots, run.slots, cover, *done)

    def slots(self, blocks: Blocks) -> Iterator[dict[Slot, int]]:
        """Give the ways to put programmes into positions; free ones are called after the first tape's."""
        positions = range(self.problem.contacts.positions)
        orders = [list(permutations(positions, len(block))) for block in blocks]
        if self.problem.contacts.wired is None:
            orders[0] = orders[0][:1]
        for chosen in product(*orders):
            yield {
                (tape, position): p
                for tape, (block, order) in enumerate(zip(blocks, chosen, strict=True))
                for p, position in zip(block, order, strict=True)
            }


def choices(problem: Problem) -> Iterator[tuple[int, ...]]:
    """Give the sets of programmes that serve every window, those with fewer programmes first."""
    ways = [set(window.by_hand) for window in problem.windows]
    must = {p for served in ways if len(served) == 1 for p in served}
    may = sorted(set().union(*ways) - must)
    for size in range(len(may) + 1):
        for some in combinations(may, size):
            opened = must.union(some)
            if all(served & opened for served in ways):
                yield tuple(sorted(opened))
