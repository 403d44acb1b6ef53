"""A selector that is moved: in which of its positions each window of dates runs, and what is punched for all.

Each position wires zones to tracks as the machine's block says. A track of a tape may then mean one zone in
one position and another in the next, so days that differ can stand on one tape, and moving the selector takes
a minute where changing a tape takes twelve. What is punched where is the planner's exact choice: in every
position each zone hears what it must and nothing else. Only a zone that names several tracks at once, which
may be several bells, has each hole on all of them.

Zones that name no track, on a machine that wires none in positions, get their tracks here too: in each
position of the selector or, without one, for good. They are taken from those that no zone names.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from chime.planning.costs import ByHand
from chime.planning.covers import Cover, Track
from chime.planning.model import Contacts, Problem, Programme, Window
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape import holes
from chime.tape.model import TapeSet, Wired
from chime.tape.ring_checks import hearing_of
from chime.tape.serving import Weighed, read_costs

MOST_STEPS = 60
"""How many ways to share tapes are looked at."""


class Selected(NamedTuple):
    """What each window runs on, and what is punched.

    `programmes` and `runs` give for each window the set of holes that serves it, and its tape with the number
    of the selector's position; `punched` are for each tape the tracks and times of the loop of its holes;
    `wirings` are those of the positions that are used.
    """

    programmes: tuple[int, ...]
    runs: tuple[tuple[int, int | None], ...]
    punched: tuple[frozenset[tuple[int, int]], ...]
    wirings: tuple[Wired, ...]


class Choice(NamedTuple):
    """What can be chosen: the positions as they are wired, `free` tracks for the zones that have none yet.

    Where there are free tracks `wirings` hold the zones that are wired already. `both` are the zones that are
    punched on each of several tracks.
    """

    wirings: tuple[Wired, ...]
    free: tuple[int, ...] = ()
    both: tuple[tuple[str, tuple[int, ...]], ...] = ()


Heard = Mapping[int | None, Mapping[int, tuple[str, ...]]]
"""For each position the zones that hear each track."""


def heard_in(machine: Machine, wirings: Iterable[Wired]) -> Heard:
    """Return the zones that hear each track in each position, contacts tied or not."""
    tied = is_tied(machine)
    return {wired.position: hearing_of(dict(wired.zones), tied=tied) for wired in wirings}


def is_tied(machine: Machine) -> bool:
    """Tell whether zones that share a track hear all tracks of each other."""
    return machine.contacts is None or machine.contacts[0] == "tied"


def contacts_of(machine: Machine, choice: Choice) -> tuple[Contacts, tuple[int, ...]]:
    """Return the contacts of the machine, and the tracks that they number."""
    heard = heard_in(machine, choice.wirings)
    tracks = tuple(sorted({track for each in heard.values() for track in each}))
    wired = tuple(
        frozenset(
            (zone, place)
            for place, each in enumerate(choice.wirings)
            for zone in heard[each.position].get(track, ())
        )
        for track in tracks
    )
    positions, tied = len(choice.wirings), is_tied(machine)
    if choice.free:
        return Contacts(len(choice.free), positions, tied, None, wired), (*tracks, *choice.free)
    return Contacts(len(tracks), positions, tied, wired), tracks


def problem_of(machine: Machine, weighed: Weighed, contacts: Contacts) -> Problem:
    """Return a term as the planner sees it; a zone that is wired and never rings must hear nothing."""
    silent = {zone for on in contacts.wired or contacts.fixed for zone, _ in on}
    programmes = []
    for number, places in enumerate(weighed.punched):
        zones: dict[str, set[int]] = {zone: set() for zone in silent}
        for zone, phase_s in places:
            zones.setdefault(zone, set()).add(phase_s)
        programmes.append(Programme(str(number), {zone: frozenset(at) for zone, at in sorted(zones.items())}))
    windows = tuple(Window(ways, can_change) for ways, can_change in weighed.ways)
    return Problem(tuple(programmes), windows, contacts, read_costs(machine))


def select(machine: Machine, weighed: Weighed, choice: Choice) -> Selected | None:
    """Choose tapes, positions and free tracks for the fewest minutes; None if a window cannot be served."""
    from chime.planning.runs import rows_of
    from chime.planning.term import plan_term

    contacts, tracks = contacts_of(machine, choice)
    problem = problem_of(machine, weighed, contacts)
    plan = plan_term(problem, MOST_STEPS)
    if plan is None:
        return None
    rows = [(row.zone, row.position) for row in rows_of(problem.programmes, plan.slots, contacts.positions)]
    fixed = len(tracks) if contacts.wired is not None else len(contacts.fixed)
    numbers = _number(plan.cover, rows, tracks, fixed)
    tapes = sorted({tape for tape, _ in plan.runs})
    punched: dict[int, set[tuple[int, int]]] = {tape: set() for tape in tapes}
    for track in plan.cover.tracks:
        for name, phase_s in track.columns:
            if int(name) in punched:
                punched[int(name)].add((numbers[track.number], phase_s))
    for zone, on in choice.both:
        for (tape, _), p in plan.slots.items():
            places = problem.programmes[p].places.get(zone, ()) if tape in punched else ()
            punched.get(tape, set()).update((track, phase_s) for track in on for phase_s in places)
    runs = tuple((tapes.index(tape), choice.wirings[place].position) for tape, place in plan.runs)
    used = {place for _, place in plan.runs}
    wirings = tuple(
        _with_free(
            each, [(track, numbers[track.number]) for track in plan.cover.tracks], rows, place, contacts
        )
        for place, each in enumerate(choice.wirings)
        if place in used
    )
    return Selected(
        tuple(plan.slots[slot] for slot in plan.runs),
        runs,
        tuple(frozenset(punched[tape]) for tape in tapes),
        wirings,
    )


def _number(
    cover: Cover, rows: Sequence[tuple[str, int]], tracks: Sequence[int], fixed: int
) -> dict[int, int]:
    """Return the tracks of the machine; free ones are given in order of the zones that hear them."""

    def zones(track: Track) -> list[tuple[str, int]]:
        return sorted(rows[n] for n in track.rows)

    free = sorted((track for track in cover.tracks if track.number >= fixed), key=zones)
    own = {track.number: tracks[track.number] for track in cover.tracks if track.number < fixed}
    return own | {track.number: tracks[fixed + place] for place, track in enumerate(free)}


def _with_free(
    wired: Wired,
    tracks: Sequence[tuple[Track, int]],
    rows: Sequence[tuple[str, int]],
    place: int,
    contacts: Contacts,
) -> Wired:
    """Return a position with the zones that were given free tracks in it."""
    if contacts.wired is not None:
        return wired
    found: dict[str, set[int]] = defaultdict(set)
    for track, number in tracks:
        for zone, position in (rows[n] for n in track.rows):
            if position == place and track.number >= len(contacts.fixed):
                found[zone].add(number)
    chosen = [(zone, tuple(sorted(some))) for zone, some in found.items()]
    return wired._replace(zones=tuple(sorted((*wired.zones, *chosen))))


def tracks_needed(machine: Machine, weighed: Weighed, choice: Choice) -> tuple[int, frozenset[str]]:
    """Return how many free tracks would do without a selector, and the zones that need them."""
    from chime.planning.covers import find_cover
    from chime.planning.runs import rows_of

    problem = problem_of(machine, weighed, contacts_of(machine, choice)[0])
    settled = {zone for zone, _ in choice.wirings[0].zones}
    slots = {(tape, 0): tape for tape in range(len(problem.programmes))}
    rows = [row for row in rows_of(problem.programmes, slots, 1) if row.zone not in settled]
    cover = find_cover(rows, tied=is_tied(machine), fewest_tracks=True)
    assert cover is not None  # a track for each zone always does
    return len(cover.tracks), frozenset(row.zone for row in rows)


def marks_by_place(
    selected: Selected, windows: Sequence[holes.Window], heard: Heard
) -> list[dict[tuple[int, int], list[holes.Mark]]]:
    """Return for each tape, by track and time of the loop, the rings that its holes make."""
    found: list[dict[tuple[int, int], list[holes.Mark]]] = [defaultdict(list) for _ in selected.punched]
    for window, (tape, position) in zip(windows, selected.runs, strict=True):
        by_zone: dict[str, list[int]] = defaultdict(list)
        for track, zones in heard[position].items():
            for zone in zones:
                by_zone[zone].append(track)
        for mark in (*window.wanted, *window.kept):
            for track in by_zone[mark.ring.zone]:
                if (track, mark.phase_s) in selected.punched[tape]:
                    found[tape][track, mark.phase_s].append(mark)
    return found


def rank_of(machine: Machine, tapes: TapeSet) -> tuple[Fraction, int, int]:
    """Return what makes one way to serve a term better than another: minutes, then operations, then tapes."""
    costs, done = read_costs(machine), [duty.do for duty in tapes.operation.duties]
    fits, moves = done.count("fit tape") - 1, max(0, done.count("position") - 1)
    by_hand = ByHand(done.count("zone off") + done.count("bells off"), done.count("ring"))
    minutes = (
        costs.new_tape * len(tapes.tapes)
        + costs.tape_change * fits
        + costs.selector_move * moves
        + costs.of(by_hand)
    )
    return minutes, fits + moves + by_hand.operations, len(tapes.tapes)
