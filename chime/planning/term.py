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

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations, islice, pairwise, permutations, product
from math import lcm

from chime.planning.costs import Costs, Minutes
from chime.planning.covers import Cover, Row, candidates, choose
from chime.planning.sharing import Blocks, part
from chime.planning.tapes import choose_tapes, group_windows
from chime.records import NamedTuple


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
        return _Search(problem, most_steps).run()
    return None if alone is None else share_tapes(problem, alone, most_steps)


MOST_CHOICES = 6
"""Of so many programmes that need not be punched every choice is tried."""

MOST_PROGRAMMES = 6
FEW_PROGRAMMES = 4
"""Of so many programmes every way to share tapes is tried with every way to run the windows.

Fewer where there is no choice of what a window runs on: then the other search knows how far it may be off.
"""


def _is_small(problem: Problem) -> bool:
    must = {next(iter(w.silences)) for w in problem.windows if len(w.silences) == 1}
    may = {p for window in problem.windows for p in window.silences} - must
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
        self.silences = alone.silences
        self.steps = Counter(frozenset(pair) for pair in pairwise(self.runs) if pair[0] != pair[1])
        self.search = _Search(problem, most_steps)
        self.best = alone

    def run(self) -> Plan:
        costs = self.problem.costs
        step = min(costs.selector_move, costs.tape_change)
        always = costs.silence * self.silences + step * sum(self.steps.values())
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
        if cheapest.is_whole and cheapest.ways and all(len(w.silences) == 1 for w in self.problem.windows):
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
                done = run.tape_changes, run.selector_moves, run.silences
                self.best = Plan(minutes, minutes, slots, run.slots, cover, *done)


MOST_TRIED = 20
"""How many of the cheapest ways to share tapes are tried on the tracks."""

MOST_NUMBERINGS = 36
FEW_NUMBERINGS = 8
"""How many ways to number the positions of several tapes are tried, in the exact search and in the other."""


def least_of_all(problem: Problem) -> Minutes:
    """Return what no plan of a term can be cheaper than, whatever is punched and however tapes are shared."""
    costs, positions = problem.costs, problem.contacts.positions
    must = {next(iter(w.silences)) for w in problem.windows if len(w.silences) == 1}
    step = min(costs.selector_move, costs.tape_change) if positions > 1 else costs.tape_change
    total, before = costs.new_tape * max(1, -(-len(must) // positions)), None
    for window in problem.windows:
        total += costs.silence * min(window.silences.values())
        if before is not None and before.isdisjoint(window.silences):
            total += step
        before = set(window.silences)
    return total


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
        self.is_whole = True

    def run(self) -> Plan | None:
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
                done = run.tape_changes, run.selector_moves, run.silences
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
        if contacts.tied and _most_classes(rows) > contacts.tracks:
            return None
        return choose(rows, candidates(rows, tied=contacts.tied), most=contacts.tracks)
    heard = [
        frozenset(n for n, row in enumerate(rows) if (row.zone, row.position) in zones)
        for zones in contacts.wired
    ]
    return choose(rows, heard)


def _most_classes(rows: Sequence[Row]) -> int:
    """Return how many tracks tied zones of one position need at least: one for each that hears others."""
    return max(
        len({row.needs for row in rows if row.position == position and row.needs})
        for position in {row.position for row in rows}
    )


def shortest_run(problem: Problem, slots: Mapping[Slot, int]) -> Run | None:
    """Run each window on one of the slots for the fewest minutes; None if that cannot be.

    Of runs of the same minutes that with the fewest operations and then the fewest tape changes is taken.
    """
    costs, groups = problem.costs, group_windows([(w.silences, w.can_change) for w in problem.windows])
    scale = lcm(*(cost.denominator for cost in costs))
    change, move, silence = (
        int(cost * scale) for cost in (costs.tape_change, costs.selector_move, costs.silence)
    )
    states: dict[Slot, _State] = {}
    paths: list[dict[Slot, Slot]] = []
    for number, group in enumerate(groups):
        now: dict[Slot, _State] = {}
        came: dict[Slot, Slot] = {}
        for slot, programme in slots.items():
            count = group.silences.get(programme)
            if count is None:
                continue
            if not number:
                now[slot] = (silence * count, count, 0, 0)
                continue
            for last, (minutes, done, changes, moves) in states.items():
                is_other, is_moved = last[0] != slot[0], last[1] != slot[1]
                if (is_other or is_moved) and not group.can_change:
                    continue
                gone = (
                    minutes + silence * count + change * is_other + move * is_moved,
                    done + count + is_other + is_moved,
                    changes + is_other,
                    moves + is_moved,
                )
                if slot not in now or gone < now[slot]:
                    now[slot], came[slot] = gone, last
        states = now
        paths.append(came)
    if not states:
        return None
    end = min(states, key=lambda slot: (states[slot], slot))
    run = [end]
    for came in reversed(paths[1:]):
        run.append(came[run[-1]])
    whole = tuple(
        slot for slot, group in zip(reversed(run), groups, strict=True) for _ in range(group.windows)
    )
    minutes, done, changes, moves = states[end]
    return Run(Fraction(minutes, scale), whole, changes, moves, done - changes - moves)


_State = tuple[int, int, int, int]
"""Scaled minutes, operations, tape changes and selector moves so far; less is better, in this order."""
