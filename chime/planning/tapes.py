"""Which programmes to punch, and which one each window runs on, where every programme is a tape of its own.

An integer programme: a tape is punched or not, a window runs on one tape that serves it, and a change is paid
for wherever a window runs on another tape than the one before it. Windows in a row that the same tapes serve
with as much by hand run on one tape, for a change between them could as well be made before or after them.
"""

from collections.abc import Mapping, Sequence
from itertools import groupby
from math import lcm

from chime.planning.costs import ByHand, Costs
from chime.records import NamedTuple


class Group(NamedTuple):
    """Windows in a row that are alike: on which tapes they run, and what a hand does all together."""

    by_hand: Mapping[int, ByHand]
    can_change: bool
    windows: int


def choose_tapes(windows: Sequence[tuple[Mapping[int, ByHand], bool]], costs: Costs) -> list[int] | None:
    """Return the tape of each window for the fewest minutes; of these the fewest operations, then tapes.

    A window is given as the tapes that serve it, each with what a hand does, and whether anybody can change
    the tape before it. None if that cannot be.
    """
    import highspy

    groups = group_windows(windows)
    scale = lcm(*(cost.denominator for cost in costs))
    # Minutes, operations and tapes in one number, each worth more than all that could follow it.
    per_operation = len({p for group in groups for p in group.by_hand}) + 1
    operations = len(groups) + sum(
        max((done.operations for done in group.by_hand.values()), default=0) for group in groups
    )
    per_minute = per_operation * (operations + 1)
    tape_cost = int(costs.new_tape * scale) * per_minute + 1
    change_cost = int(costs.tape_change * scale) * per_minute + per_operation
    own = [
        {
            p: int(costs.of(done) * scale) * per_minute + per_operation * done.operations
            for p, done in group.by_hand.items()
        }
        for group in groups
    ]
    solver = highspy.Highs()
    solver.silent()
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("mip_rel_gap", 0.0)
    punched = {p: solver.addBinary() for p in sorted({p for group in groups for p in group.by_hand})}
    runs = [{p: solver.addBinary() for p in sorted(group.by_hand)} for group in groups]
    cost = solver.qsum(tape_cost * each for each in punched.values())
    for number, (group, on) in enumerate(zip(groups, runs, strict=True)):
        solver.addConstr(solver.qsum(on.values()) == 1)
        for p, is_on in on.items():
            solver.addConstr(is_on <= punched[p])
        cost += solver.qsum(own[number][p] * is_on for p, is_on in on.items())
        if number:
            changed = solver.addVariable(lb=0, ub=1 if group.can_change else 0)
            cost += change_cost * changed
            before = runs[number - 1]
            for p, is_on in on.items():
                solver.addConstr(changed >= (is_on - before[p] if p in before else is_on))
    solver.minimize(cost)
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    opened = frozenset(p for p, is_punched in punched.items() if solver.val(is_punched) > _HALF)
    chosen = _run_on(groups, own, opened, change_cost)
    return [p for p, group in zip(chosen, groups, strict=True) for _ in range(group.windows)]


_HALF = 0.5


def _run_on(
    groups: Sequence[Group], by_hand: Sequence[Mapping[int, int]], opened: frozenset[int], change_cost: int
) -> list[int]:
    """Run windows on tapes in the cheapest way; of ways that cost the same always the same one.

    The solver knows the tapes; which of two runs alike it comes upon is nobody's choice.
    """
    costs: dict[int, int] = {}
    paths: list[dict[int, int]] = []
    for number, group in enumerate(groups):
        now: dict[int, int] = {}
        came: dict[int, int] = {}
        for p in sorted(opened.intersection(group.by_hand)):
            own = by_hand[number][p]
            ways = [(costs[p], p)] if p in costs else []
            if group.can_change and costs:
                cheapest = min((cost, last) for last, cost in costs.items())
                ways.append((cheapest[0] + change_cost, cheapest[1]))
            if ways or not number:
                cost, last = min(ways, default=(0, p), key=lambda way: (way[0], way[1] != p, way[1]))
                now[p], came[p] = cost + own, last
        costs = now
        paths.append(came)
    run = [min(costs, key=lambda p: (costs[p], p))]
    for came in reversed(paths[1:]):
        run.append(came[run[-1]])
    return run[::-1]


def group_windows(windows: Sequence[tuple[Mapping[int, ByHand], bool]]) -> list[Group]:
    """Put windows that are alike together, but none that must run on the same tape as one beside it."""

    def key(number: int) -> tuple[object, ...]:
        is_free = windows[number][1] and (number + 1 == len(windows) or windows[number + 1][1])
        return (dict(windows[number][0]), -1 if is_free else number)

    found: list[Group] = []
    for _, some in groupby(range(len(windows)), key=key):
        numbers = list(some)
        by_hand, can_change = windows[numbers[0]]
        whole = {p: done.times(len(numbers)) for p, done in by_hand.items()}
        found.append(Group(whole, can_change, len(numbers)))
    return found
