"""The tapes, positions and silences that serve a term for the fewest minutes of anybody's time.

What a date wants is a set of places along a loop for each zone. What is punched for it, a programme, may hold
more, if a hand can silence the rest on that date. So it is to choose which programmes are punched, which of
them share a tape by way of the selector's positions, and which one each date runs on: the minutes are those
of new tapes, of tape changes, of moves of the selector, of silences and of rings by hand. Where a term is too
large to try all, the best plan that is found is given with what no plan can be cheaper than.
"""

from collections import Counter
from itertools import islice, pairwise

from chime.planning.costs import sum_of
from chime.planning.model import Plan, Problem
from chime.planning.runs import cover_of, least_of_all, shortest_run
from chime.planning.search import FEW_NUMBERINGS, Search
from chime.planning.sharing import Blocks, part
from chime.planning.tapes import choose_tapes

MOST_STEPS = 200_000
"""How many ways to share tapes are looked at before the search is stopped."""


def plan_term(problem: Problem, most_steps: int = MOST_STEPS) -> Plan | None:
    """Return the cheapest plan; None if no plan serves every window, or none was found.

    Where there are too many choices to try them all, windows run on what they would without a selector, and
    only the sharing of tapes is searched.
    """
    alone = _each_on_its_tape(problem)
    if problem.contacts.positions == 1 and alone is not None:
        return alone
    if _is_small(problem):
        return Search(problem, most_steps).run()
    return None if alone is None else share_tapes(problem, alone, most_steps)


MOST_CHOICES = 6
"""Of so many programmes that need not be punched every choice is tried."""

MOST_PROGRAMMES = 6
FEW_PROGRAMMES = 4
"""Of so many programmes every way to share tapes is tried with every way to run the windows.

Fewer where there is no choice of what a window runs on: then the other search knows how far it may be off.
"""


def _is_small(problem: Problem) -> bool:
    must = {next(iter(w.by_hand)) for w in problem.windows if len(w.by_hand) == 1}
    may = {p for window in problem.windows for p in window.by_hand} - must
    most = MOST_PROGRAMMES if may else FEW_PROGRAMMES
    return len(may) <= MOST_CHOICES and len(must) + len(may) <= most


def share_tapes(problem: Problem, alone: Plan, most_steps: int) -> Plan:
    """Let programmes share tapes by the selector, each window on what it runs on without one."""
    return _Sharing(problem, alone, most_steps).run()


class _Sharing:
    """Puts programmes on tapes: the ways that are cheapest if tracks do not matter first, then any that fits.

    Which of them share a tape decides over the minutes of tapes and changes. So all ways are searched as if
    every tape could be punched; what the cheapest takes no plan can be cheaper than. The cheapest few are
    tried on the tracks then. If none fits, ways that fit are searched until so many have been tried.
    """

    def __init__(self, problem: Problem, alone: Plan, most_steps: int) -> None:
        self.problem, self.left = problem, most_steps
        self.runs = [alone.slots[slot] for slot in alone.runs]
        self.by_hand = alone.by_hand
        self.steps = Counter(frozenset(pair) for pair in pairwise(self.runs) if pair[0] != pair[1])
        self.search = Search(problem, most_steps)
        self.best = alone

    def run(self) -> Plan:
        costs = self.problem.costs
        step = min(costs.selector_move, costs.tape_change)
        always = costs.of(self.by_hand) + step * sum(self.steps.values())
        weights = {tuple(sorted(pair)): times for pair, times in self.steps.items()}
        order = sorted(set(self.runs), key=lambda p: (-self.runs.count(p), p))
        apart, size = costs.tape_change - step, self.problem.contacts.positions
        cheapest = part(order, weights, costs.new_tape, apart, size)
        for _, blocks in cheapest.ways[:MOST_TRIED]:
            if all(self.search.fits(frozenset(block)) for block in blocks):
                self._place(blocks)
        if self.left > 0 and self.best.selector_moves == 0:
            for _, blocks in part(order, weights, costs.new_tape, apart, size, self.search.fits).ways:
                self._place(blocks)
        least = least_of_all(self.problem)
        if cheapest.is_whole and cheapest.ways and all(len(w.by_hand) == 1 for w in self.problem.windows):
            least = max(least, always + cheapest.ways[0][0])
        return self.best._replace(bound=min(self.best.minutes, least))

    def _place(self, blocks: Blocks) -> None:
        """Put the programmes of each tape into positions; of the ways that the tracks allow, the cheapest."""
        tapes = self.problem.costs.new_tape * len(blocks)
        for slots in islice(self.search.slots(blocks), FEW_NUMBERINGS):
            run = shortest_run(self.problem, slots)
            if run is None or run.minutes + tapes >= self.best.minutes:
                continue
            if self.left <= 0:
                return
            self.left -= 1
            cover = cover_of(self.problem, slots)
            if cover is not None:
                minutes = run.minutes + tapes
                done = run.tape_changes, run.selector_moves, run.by_hand
                self.best = Plan(minutes, minutes, slots, run.slots, cover, *done)


MOST_TRIED = 20
"""How many of the cheapest ways to share tapes are tried on the tracks."""


def _each_on_its_tape(problem: Problem) -> Plan | None:
    """Return the best plan without a selector; None if there is none, or the tracks are too few for it.

    Of plans alike in minutes, operations and tapes it need not be the one with the fewest holes.
    """
    costs, windows = problem.costs, [(window.by_hand, window.can_change) for window in problem.windows]
    tapes = choose_tapes(windows, costs)
    if tapes is None:
        return None
    opened = sorted(set(tapes))
    slots = {(tape, 0): p for tape, p in enumerate(opened)}
    cover = cover_of(problem, slots)
    if cover is None:
        return None
    changes = sum(a != b for a, b in pairwise(tapes))
    by_hand = sum_of(window.by_hand[p] for window, p in zip(problem.windows, tapes, strict=True))
    minutes = costs.new_tape * len(opened) + costs.tape_change * changes + costs.of(by_hand)
    runs = tuple((opened.index(p), 0) for p in tapes)
    return Plan(minutes, minutes, slots, runs, cover, changes, 0, by_hand)
