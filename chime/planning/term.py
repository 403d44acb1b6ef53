"""The tapes, positions and silences that serve a term for the fewest minutes of anybody's time.

What a date wants is a set of places along a loop for each zone. What is punched for it, a programme, may hold
more, if a hand can silence the rest on that date. So it is to choose which programmes are punched, which of
them share a tape by way of the selector's positions, and which one each date runs on: the minutes are those
of new tapes, of tape changes, of moves of the selector and of silences. The search is exact: programmes that
nothing else can serve are punched, all choices of the others are tried, all ways to share tapes are tried
with those cut off that already cost more than the best, and the year is a shortest path over tapes and
positions. A set of programmes that needs too many tracks is cut off with all that hold it, for adding a
programme never makes fewer tracks do. Where the search is stopped early the best plan is given with what no
plan can be cheaper than.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations, pairwise, permutations, product

from chime.planning.covers import Cover, Row, candidates, choose
from chime.planning.tapes import choose_tapes
from chime.records import NamedTuple

Minutes = Fraction
"""Whole seconds over sixty: costs are compared exactly."""


class Costs(NamedTuple):
    """What each thing costs, in minutes."""

    new_tape: Minutes = Minutes(90)
    tape_change: Minutes = Minutes(12)
    selector_move: Minutes = Minutes(1)
    silence: Minutes = Minutes(2)


class Programme(NamedTuple):
    """What may be punched for some dates: the places along the loop that each zone hears."""

    name: str
    places: Mapping[str, frozenset[int]]


class Window(NamedTuple):
    """Dates that one tape serves in one go: on which programmes they can run, with how many silences on each.

    `can_change` tells whether anybody can change the tape or move the selector before it.
    """

    silences: Mapping[int, int]
    can_change: bool = True


class Contacts(NamedTuple):
    """What the machine can do: its tracks, its positions, and whether zones that share a track are tied.

    `wired` says for each track which zones hear it in which position, where that cannot be chosen.
    """

    tracks: int
    positions: int
    tied: bool
    wired: tuple[frozenset[tuple[str, int]], ...] | None = None


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
    silences: int

    @property
    def tapes(self) -> int:
        """Return how many tapes are punched."""
        return len({tape for tape, _ in self.slots})

    @property
    def rank(self) -> tuple[Minutes, int, int, int]:
        """Return what makes it better than others: minutes, then operations by hand, tapes, holes."""
        done = self.tape_changes + self.selector_moves + self.silences
        return self.minutes, done, self.tapes, self.cover.holes


Blocks = tuple[tuple[int, ...], ...]
"""Programmes that share a tape, for each tape."""

MOST_STEPS = 200_000
"""How many ways to share tapes are looked at before the search is stopped."""


def plan_term(problem: Problem, most_steps: int = MOST_STEPS) -> Plan | None:
    """Return the cheapest plan; None if no plan serves every window."""
    if problem.contacts.positions == 1:
        plan = _each_on_its_tape(problem)
        if plan is not None:
            return plan
    return _Search(problem, most_steps).run()


def _each_on_its_tape(problem: Problem) -> Plan | None:
    """Return the best plan without a selector; None if there is none, or the tracks are too few for it.

    Of plans alike in minutes, operations and tapes it need not be the one with the fewest holes.
    """
    costs, windows = problem.costs, [(window.silences, window.can_change) for window in problem.windows]
    tapes = choose_tapes(windows, costs.new_tape, costs.tape_change, costs.silence)
    if tapes is None:
        return None
    opened = sorted(set(tapes))
    slots = {(tape, 0): p for tape, p in enumerate(opened)}
    cover = cover_of(problem, slots)
    if cover is None:
        return None
    changes = sum(a != b for a, b in pairwise(tapes))
    silences = sum(window.silences[p] for window, p in zip(problem.windows, tapes, strict=True))
    minutes = costs.new_tape * len(opened) + costs.tape_change * changes + costs.silence * silences
    runs = tuple((opened.index(p), 0) for p in tapes)
    return Plan(minutes, minutes, slots, runs, cover, changes, 0, silences)


class Run(NamedTuple):
    """The windows in order on tapes and positions, and what is done for that; `minutes` are without tapes."""

    minutes: Minutes
    slots: tuple[Slot, ...]
    tape_changes: int
    selector_moves: int
    silences: int

    @property
    def operations(self) -> int:
        """Return how often a hand does something."""
        return self.tape_changes + self.selector_moves + self.silences


class _Search:
    """Tries choices of programmes and of tapes, and keeps the best."""

    def __init__(self, problem: Problem, most_steps: int) -> None:
        self.problem, self.left = problem, most_steps
        self.best: Plan | None = None
        self.fitting: dict[frozenset[int], bool] = {}

    def run(self) -> Plan | None:
        unseen: list[Minutes] = []
        for opened in choices(self.problem):
            least = self._least(opened)
            if self.best is not None and least > self.best.minutes:
                continue
            if self.left:
                for blocks in self._share(opened, ()):
                    self._try(blocks)
            if not self.left:
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
            ways = {p: n for p, n in window.silences.items() if p in opened}
            total += costs.silence * min(ways.values())
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
            if len(grown) <= self.problem.contacts.positions and self._fits(frozenset(grown)):
                yield from self._share(rest, (*blocks[:number], grown, *blocks[number + 1 :]))
        if self._fits(frozenset((first,))):
            yield from self._share(rest, (*blocks, (first,)))

    def _fits(self, block: frozenset[int]) -> bool:
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
        ways = [(shortest_run(self.problem, slots), slots) for slots in self._slots(blocks)]
        runs = [(run, slots) for run, slots in ways if run is not None]
        for run, slots in sorted(runs, key=lambda way: (way[0].minutes, way[0].operations)):
            rank = run.minutes + tapes, run.operations, len(blocks)
            if self.best is not None and rank > self.best.rank[:3]:
                return
            cover = cover_of(self.problem, slots)
            if cover is not None and (self.best is None or (*rank, cover.holes) < self.best.rank):
                done = run.tape_changes, run.selector_moves, run.silences
                self.best = Plan(rank[0], rank[0], slots, run.slots, cover, *done)

    def _slots(self, blocks: Blocks) -> Iterator[dict[Slot, int]]:
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
    ways = [set(window.silences) for window in problem.windows]
    must = {p for served in ways if len(served) == 1 for p in served}
    may = sorted(set().union(*ways) - must)
    for size in range(len(may) + 1):
        for some in combinations(may, size):
            opened = must.union(some)
            if all(served & opened for served in ways):
                yield tuple(sorted(opened))


def rows_of(programmes: Sequence[Programme], slots: Mapping[Slot, int], positions: int) -> list[Row]:
    """Return what each zone must hear in each position on all tapes, and may where a tape is not run."""
    zones = sorted({zone for p in slots.values() for zone in programmes[p].places})
    tapes = sorted({tape for tape, _ in slots})
    anywhere = {
        tape: {
            (str(tape), place)
            for (on, _), p in slots.items()
            if on == tape
            for places in programmes[p].places.values()
            for place in places
        }
        for tape in tapes
    }
    rows = []
    for position in range(positions):
        if all((tape, position) not in slots for tape in tapes):
            continue
        for zone in zones:
            needs: set[tuple[str, int]] = set()
            may: set[tuple[str, int]] = set()
            for tape in tapes:
                p = slots.get((tape, position))
                if p is None:
                    may |= anywhere[tape]
                else:
                    needs |= {(str(tape), place) for place in programmes[p].places.get(zone, ())}
            rows.append(Row(zone, position, frozenset(needs), frozenset(may)))
    return rows


def cover_of(problem: Problem, slots: Mapping[Slot, int]) -> Cover | None:
    """Return the tracks and holes for programmes on tapes in positions; None if the machine has too few."""
    contacts = problem.contacts
    rows = rows_of(problem.programmes, slots, contacts.positions)
    if contacts.wired is None:
        return choose(rows, candidates(rows, tied=contacts.tied), most=contacts.tracks)
    heard = [
        frozenset(n for n, row in enumerate(rows) if (row.zone, row.position) in zones)
        for zones in contacts.wired
    ]
    return choose(rows, heard)


def shortest_run(problem: Problem, slots: Mapping[Slot, int]) -> Run | None:
    """Run each window on one of the slots for the fewest minutes; None if that cannot be.

    Of runs of the same minutes that with the fewest operations and then the fewest tape changes is taken.
    """
    costs = problem.costs
    before: dict[Slot, Run] = {}
    for number, window in enumerate(problem.windows):
        now: dict[Slot, Run] = {}
        for slot, programme in slots.items():
            if programme not in window.silences:
                continue
            count = window.silences[programme]
            if not number:
                now[slot] = Run(costs.silence * count, (slot,), 0, 0, count)
                continue
            ways = [
                _gone_on(run, last, slot, count, costs)
                for last, run in before.items()
                if window.can_change or last == slot
            ]
            if ways:
                now[slot] = min(ways, key=_order)
        before = now
    return min(before.values(), key=_order, default=None)


def _gone_on(run: Run, last: Slot, slot: Slot, count: int, costs: Costs) -> Run:
    changes, moves = int(last[0] != slot[0]), int(last[1] != slot[1])
    minutes = costs.tape_change * changes + costs.selector_move * moves + costs.silence * count
    return Run(
        run.minutes + minutes,
        (*run.slots, slot),
        run.tape_changes + changes,
        run.selector_moves + moves,
        run.silences + count,
    )


def _order(run: Run) -> tuple[Minutes, int, int, tuple[Slot, ...]]:
    return run.minutes, run.operations, run.tape_changes, run.slots
