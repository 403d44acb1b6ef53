"""What programmes on tapes ask of the tracks, and how a term runs on them for the fewest minutes."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import lcm

from chime.planning.costs import Minutes, sum_of
from chime.planning.covers import Cover, Row, candidates, choose
from chime.planning.model import Problem, Programme, Run, Slot
from chime.planning.tapes import group_windows


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
    heard = [
        frozenset(n for n, row in enumerate(rows) if (row.zone, row.position) in zones)
        for zones in contacts.wired or contacts.fixed
    ]
    if contacts.wired is not None:
        return choose(rows, heard)
    settled = {zone for zones in contacts.fixed for zone, _ in zones}
    numbers = [n for n, row in enumerate(rows) if row.zone not in settled]
    free = [rows[n] for n in numbers]
    if contacts.tied and _most_classes(free) > contacts.tracks:
        return None
    chosen = [frozenset(numbers[n] for n in some) for some in candidates(free, tied=contacts.tied)]
    return choose(rows, [*heard, *chosen], most=contacts.tracks, fixed=len(heard))


def _most_classes(rows: Sequence[Row]) -> int:
    """Return how many tracks tied zones of one position need at least: one for each that hears others."""
    return max(
        (
            len({row.needs for row in rows if row.position == position and row.needs})
            for position in {row.position for row in rows}
        ),
        default=0,
    )


def shortest_run(problem: Problem, slots: Mapping[Slot, int]) -> Run | None:
    """Run each window on one of the slots for the fewest minutes; None if that cannot be.

    Of runs of the same minutes that with the fewest operations and then the fewest tape changes is taken.
    """
    costs, groups = problem.costs, group_windows([(w.by_hand, w.can_change) for w in problem.windows])
    scale = lcm(*(cost.denominator for cost in costs))
    change, move = (int(cost * scale) for cost in (costs.tape_change, costs.selector_move))
    states: dict[Slot, _State] = {}
    paths: list[dict[Slot, Slot]] = []
    for number, group in enumerate(groups):
        now: dict[Slot, _State] = {}
        came: dict[Slot, Slot] = {}
        for slot, programme in slots.items():
            by_hand = group.by_hand.get(programme)
            if by_hand is None:
                continue
            own, count = int(costs.of(by_hand) * scale), by_hand.operations
            if not number:
                now[slot] = (own, count, 0, 0)
                continue
            for last, (minutes, done, changes, moves) in states.items():
                is_other, is_moved = last[0] != slot[0], last[1] != slot[1]
                if (is_other or is_moved) and not group.can_change:
                    continue
                gone = (
                    minutes + own + change * is_other + move * is_moved,
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
    minutes, _, changes, moves = states[end]
    by_hand = sum_of(window.by_hand[slots[slot]] for window, slot in zip(problem.windows, whole, strict=True))
    return Run(Fraction(minutes, scale), whole, changes, moves, by_hand)


_State = tuple[int, int, int, int]
"""Scaled minutes, operations, tape changes and selector moves so far; less is better, in this order."""


def least_of_all(problem: Problem) -> Minutes:
    """Return what no plan of a term can be cheaper than, whatever is punched and however tapes are shared."""
    costs, positions = problem.costs, problem.contacts.positions
    must = {next(iter(w.by_hand)) for w in problem.windows if len(w.by_hand) == 1}
    step = min(costs.selector_move, costs.tape_change) if positions > 1 else costs.tape_change
    total, before = costs.new_tape * max(1, -(-len(must) // positions)), None
    for window in problem.windows:
        total += min(map(costs.of, window.by_hand.values()))
        if before is not None and before.isdisjoint(window.by_hand):
            total += step
        before = set(window.by_hand)
    return total
