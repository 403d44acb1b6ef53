"""The tapes, positions and silences that serve a term for the fewest minutes of anybody's time.

What a date wants is a set of places along a loop for each zone. What is punched for it, a programme, may hold
more, if a hand can silence the rest on that date. So it is to choose which programmes are punched, which of
them share a tape by way of the selector's positions, and which one each date runs on: the minutes are those
of new tapes, of tape changes, of moves of the selector, of silences and of rings by hand. Where a term is too
large to try all, the best plan that is found is given with what no plan can be cheaper than.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice, pairwise, permutations

from chime.planning.costs import Minutes, sum_of
from chime.planning.model import Plan, Problem, Slot
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
    tried on the tracks then. If none fits, programmes are put on others' tapes one by one, as far as the
    tracks allow; and where that cannot be, ways that fit are searched until so many have been tried.
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
        if self.best.selector_moves == 0 and self.problem.contacts.wired is None:
            self._grow(order)
        known = [cheapest]
        if self.left > 0 and self.best.selector_moves == 0:
            known.append(part(order, weights, costs.new_tape, apart, size, self.search.fits))
            for _, blocks in known[-1].ways[:MOST_TRIED]:
                self._place(blocks)
        least = max(least_of_all(self.problem), _least_without_tracks(self.problem))
        for parted in known if all(len(w.by_hand) == 1 for w in self.problem.windows) else ():
            if parted.is_whole and parted.ways:
                least = max(least, always + parted.ways[0][0])
        return self.best._replace(bound=min(self.best.minutes, least))

    def _grow(self, order: Sequence[int]) -> None:
        """Put one programme after the other on the tape of another, those first that save most.

        What the tracks do not allow beside tapes of one programme each they do not allow later either, so
        that each two are tried once.
        """
        slots: dict[Slot, int] = {(tape, 0): p for tape, p in enumerate(order)}
        pairs = [(one, other) for number, one in enumerate(order) for other in order[:number]]
        for one, other in sorted(pairs, key=lambda pair: (-self.steps[frozenset(pair)], pair))[:MOST_PAIRS]:
            for grown in _on_one_tape(slots, one, other, self.problem.contacts.positions):
                if self._take(grown):
                    slots = grown
                    break

    def _take(self, slots: Mapping[Slot, int]) -> bool:
        """Make tapes and positions the best plan if they are cheaper and the tracks allow them."""
        run, tapes = shortest_run(self.problem, slots), len({tape for tape, _ in slots})
        minutes = None if run is None else run.minutes + self.problem.costs.new_tape * tapes
        if run is None or minutes is None or minutes >= self.best.minutes:
            return False
        self.left -= 1
        cover = cover_of(self.problem, slots)
        if cover is None:
            return False
        done = run.tape_changes, run.selector_moves, run.by_hand
        self.best = Plan(minutes, minutes, slots, run.slots, cover, *done)
        return True

    def _place(self, blocks: Blocks) -> None:
        """Put the programmes of each tape into positions; of the ways that the tracks allow, the cheapest."""
        for slots in islice(self.search.slots(blocks), FEW_NUMBERINGS):
            if self.left > 0:
                self._take(slots)


MOST_PAIRS = 80
"""How many two programmes are tried on one tape, one after the other."""


def _on_one_tape(
    slots: Mapping[Slot, int], one: int, other: int, positions: int
) -> Iterator[dict[Slot, int]]:
    """Give the ways to move a programme, and those on its tape, to free positions of another's tape."""
    tapes = {p: tape for (tape, _), p in slots.items()}
    if tapes[one] == tapes[other]:
        return
    moving = [p for (tape, _), p in sorted(slots.items()) if tape == tapes[one]]
    taken = {position for tape, position in slots if tape == tapes[other]}
    stay = {slot: p for slot, p in slots.items() if slot[0] != tapes[one]}
    for places in permutations([n for n in range(positions) if n not in taken], len(moving)):
        moved = {(tapes[other], place): p for place, p in zip(places, moving, strict=True)}
        yield stay | moved


def _least_without_tracks(problem: Problem) -> Minutes:
    """Return what no plan is cheaper than, as if any programmes could share a tape.

    So many programmes share a tape that each costs its part of one at least, and a change whatever is cheaper
    of a tape and a move; of that the integer programme without a selector knows the cheapest.
    """
    costs, positions = problem.costs, problem.contacts.positions
    step = min(costs.selector_move, costs.tape_change)
    relaxed = costs._replace(new_tape=costs.new_tape / positions, tape_change=step)
    windows = [(window.by_hand, window.can_change) for window in problem.windows]
    chosen = choose_tapes(windows, relaxed)
    if chosen is None:
        return Minutes(0)
    by_hand = sum_of(window.by_hand[p] for window, p in zip(problem.windows, chosen, strict=True))
    changes = sum(a != b for a, b in pairwise(chosen))
    return relaxed.new_tape * len(set(chosen)) + step * changes + costs.of(by_hand)


MOST_TRIED = 6
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
