"""What a term costs on the machine as it stands, and what a better one or a simpler timetable would save.

The minutes of each option are the least that there are for the duties that it asks for: tapes to punch, tape
changes, moves of the selector, silences and rings by hand. Silences that every plan needs, such as those of
closed dates, stand in all of them alike.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from fractions import Fraction

from chime.clock import DAY, write_date
from chime.planning.costs import ByHand, Costs
from chime.planning.model import Contacts, Plan
from chime.planning.term import plan_term
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.rings.model import RingCalendar
from chime.tape import holes
from chime.tape.course import Course
from chime.tape.local_clock import midnight
from chime.tape.loop import Loop, monday_of
from chime.tape.model import Operation, TermEdit, TermOption, TermPlan
from chime.tape.selector import MOST_STEPS, Choice, contacts_of, is_tied, problem_of
from chime.tape.serving import Weighed, read_costs, weigh, without

MOST_POSITIONS = 3
"""How many positions of a selector are tried at most."""

MOST_EDITS = 3

MOST_PAIRS = 12
"""So many pairs of days are tried as one on a machine with a selector, each a search of its own."""


class Term(NamedTuple):
    """What a term is planned from."""

    loop: Loop
    machine: Machine
    course: Course
    windows: tuple[holes.Window, ...]
    anchor: date
    calendar: RingCalendar
    refused: frozenset[date]
    choice: Choice | None


def plan_options(term: Term, tracks: Sequence[int], operation: Operation) -> TermPlan:
    """Weigh the machine as it stands, with other parts, and with edits of the timetable.

    `tracks` are those in use on the machine; `operation` is the plan as it was laid out.
    """
    weighed = _weigh(term, term.machine)
    own = _own_contacts(term, tracks, operation)
    stands = _plan(term, weighed, own)
    if stands is None:
        return TermPlan(_costs(term), (), ())
    silenced = sum(duty.do in ("bells off", "zone off") for duty in operation.duties)
    # Silences of two dates that meet at midnight are one; those of closed dates are in no window.
    always = silenced - stands.by_hand.silences
    found = [
        ("the machine as it stands", stands),
        *_with_its_selector(term, weighed, tracks, stands),
        *_others(term, weighed, len(tracks), stands, own),
    ]
    rung = sum(duty.do == "ring" for duty in operation.duties) - stands.by_hand.rings
    more = ByHand(always, rung)
    options = tuple(_option(name, plan, more, read_costs(term.machine)) for name, plan in found)
    return TermPlan(_costs(term), options, tuple(_edits(term, weighed, own, stands)))


def _costs(term: Term) -> tuple[Fraction, Fraction, Fraction, Fraction, Fraction]:
    costs = read_costs(term.machine)
    return costs.new_tape, costs.tape_change, costs.selector_move, costs.silence, costs.hand_ring


def _weigh(term: Term, machine: Machine) -> Weighed:
    found = weigh(term.loop, machine, term.course, term.windows, midnight(monday_of(term.anchor)))
    return without(found, term.windows, term.refused)


def _own_contacts(term: Term, tracks: Sequence[int], operation: Operation) -> Contacts:
    """Return the machine's contacts: all positions where the selector is moved, else one and free tracks."""
    is_chosen = term.choice is not None and bool(term.choice.free) and len(term.choice.wirings) == 1
    if term.choice is None or not (operation.is_moved or is_chosen):
        return Contacts(len(tracks), 1, tied=True)
    return contacts_of(term.machine, term.choice)[0]


def _plan(term: Term, weighed: Weighed, contacts: Contacts) -> Plan | None:
    return plan_term(problem_of(term.machine, weighed, contacts), MOST_STEPS)


def _with_its_selector(
    term: Term, weighed: Weighed, tracks: Sequence[int], stands: Plan
) -> Iterator[tuple[str, Plan]]:
    """Weigh what a selector whose positions nobody has wired yet would save; nothing where it would not."""
    machine = term.machine
    if machine.positions or machine.selector_positions is None:
        return
    contacts = Contacts(len(tracks), machine.selector_positions.amount, is_tied(machine))
    plan = _plan(term, weighed, contacts) if contacts.positions > 1 else None
    if plan is not None and plan.minutes < stands.minutes:
        yield "with its own selector, if no zone named its track", plan


def _others(
    term: Term, weighed: Weighed, tracks: int, stands: Plan, own: Contacts
) -> Iterator[tuple[str, Plan]]:
    for tied in (True, False):
        best = _with_selector(term, weighed, tracks, stands, tied=tied)
        if best is not None:
            yield best
    more = _with_selector(term, weighed, tracks + 1, stands, tied=True)
    if more is not None:
        yield f"{more[0]} and one more track", more[1]
    if term.machine.switches is not None and term.machine.switches.kind != "all together":
        alone = _plan(term, _weigh(term, term.machine._replace(switches=None)), own)
        if alone is not None:
            yield "without switches of single zones", alone


def _with_selector(
    term: Term, weighed: Weighed, tracks: int, stands: Plan, *, tied: bool
) -> tuple[str, Plan] | None:
    """Return the cheapest plan with a selector of as few positions as it takes; None if none is cheaper."""
    best: tuple[str, Plan] | None = None
    for positions in range(2, MOST_POSITIONS + 1):
        plan = _plan(term, weighed, Contacts(tracks, positions, tied))
        limit = stands.minutes if best is None else best[1].minutes
        if plan is not None and plan.minutes < limit:
            contacts = "tied" if tied else "separate"
            best = f"with a selector of {positions} positions, contacts {contacts}", plan
    return best


def _option(name: str, plan: Plan, always: ByHand, costs: Costs) -> TermOption:
    """Return an option with what every plan needs by hand, which is in no window."""
    own = plan.by_hand
    silences, rings = max(0, own.silences + always.silences), max(0, own.rings + always.rings)
    more = costs.of(ByHand(silences - own.silences, rings - own.rings))
    return TermOption(
        name,
        plan.minutes + more,
        plan.bound + more,
        plan.tapes,
        plan.tape_changes,
        plan.selector_moves,
        silences,
        rings,
        len(plan.cover.tracks),
        plan.cover.holes,
    )


def _edits(term: Term, weighed: Weighed, own: Contacts, stands: Plan) -> list[TermEdit]:
    """Try to make two days that are punched one, and return the pairs that save most."""
    found = []
    for one, other in _alike(weighed, sorted(set(stands.slots.values())), own):
        plan = _as_one(term, weighed, own, one, other)
        if plan is not None and plan.minutes < stands.minutes:
            found.append(
                TermEdit(
                    _name(term, weighed, one),
                    _name(term, weighed, other),
                    len(weighed.punched[one] ^ weighed.punched[other]),
                    stands.minutes - plan.minutes,
                    stands.tapes - plan.tapes,
                )
            )
    return sorted(found, key=lambda edit: (-edit.saves, edit.differing, edit.one, edit.other))[:MOST_EDITS]


def _alike(weighed: Weighed, opened: Sequence[int], own: Contacts) -> list[tuple[int, int]]:
    """Return the pairs to try, those that differ in the fewest rings first; with a selector only some."""
    pairs = [(one, other) for one in opened for other in opened if one < other]
    pairs.sort(key=lambda pair: (len(weighed.punched[pair[0]] ^ weighed.punched[pair[1]]), pair))
    return pairs if own.positions == 1 else pairs[:MOST_PAIRS]


def _as_one(term: Term, weighed: Weighed, own: Contacts, one: int, other: int) -> Plan | None:
    """Plan the term as if the dates of either ran on the holes of the first."""
    cost = read_costs(term.machine).of
    ways = tuple(
        ({**served, one: min((served[p] for p in (one, other) if p in served), key=cost)}, can_change)
        if other in served
        else (served, can_change)
        for served, can_change in weighed.ways
    )
    changed = weighed._replace(ways=ways)
    return _plan(term, changed, own)


def _name(term: Term, weighed: Weighed, number: int) -> str:
    """Call a set of holes after what the first of its own dates runs, and that date."""
    own = [
        window.first
        for window, (ways, _) in zip(term.windows, weighed.ways, strict=True)
        if ways.get(number) == ByHand()
    ]
    runs = {day.day: day.runs for day in term.calendar.days}
    days = max(1, term.loop.cycle_s // DAY)
    for first in own:
        for day in (first + timedelta(days=n) for n in range(days)):
            name = runs.get(day)
            if name is not None:
                return f"{name} as on {write_date(day)}"
    return f"the day of {write_date(own[0])}" if own else "a day"


def usable_tracks(machine: Machine, wired: Sequence[int]) -> list[int]:
    """Return the tracks that are in use on a machine; of one that does not say, those that are wired."""
    broken = {track for track, _ in machine.out_of_use}
    numbers = range(1, len(machine.tracks) + 1) if machine.tracks else sorted(set(wired))
    return [number for number in numbers if number not in broken]
