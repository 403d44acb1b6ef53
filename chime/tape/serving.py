"""Which holes serve each window of dates: its own, or those of another window with the rest silenced by hand.

What may be punched is what some date wants, with or without what an exception silences in it; holes of two
dates together on one tape are not thought of. A date of which one ring is dropped need not have a tape of its
own: that of the ordinary day will do, and a hand turns the zone off for that one ring. What is cheaper in
minutes over the term, a new tape with two changes or the silences, is for the planner to choose; here it is
told what there is to choose from. Whether the duties can really be done is seen when the plan is made: a
window whose holes nobody can silence after all gets a tape without them.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from itertools import islice

from chime.clock import DAY
from chime.planning.costs import ByHand, Costs
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.course import CLEAR_S, Course, DialStretch, soundings, there_between
from chime.tape.hand_rings import rung_in
from chime.tape.hand_silences import Silence, silence_by_hand
from chime.tape.holes import Mark, Window
from chime.tape.local_clock import EPOCH, local_seconds, midnight, to_instant
from chime.tape.loop import Loop
from chime.tape.passes import Phases

MOST_WAYS = 16
"""Of the holes of other dates those with the fewest more are looked at, so many at most."""

MOST_USUAL = 8
"""Of the holes that lack some that a date wants, those that most dates want are looked at too."""

EASY_S = 300
"""A switch that spares a tape is turned in five minutes at least: common practice, no published source.

A silence that the programme itself asks for is done in a minute if it must be.
"""

Place = tuple[str, int]
"""A zone, and a time of the loop in seconds at which it hears a hole."""


class Weighed(NamedTuple):
    """What may be punched, and for each window what it can run on and whether a tape can be changed before.

    A set of holes is told by its number; with it stands what a hand silences, and what it rings.
    """

    punched: tuple[frozenset[Place], ...]
    ways: tuple[tuple[Mapping[int, ByHand], bool], ...]


class Served(NamedTuple):
    """The marks that are punched though a date does not want them, and silenced; and those rung by hand."""

    kept: tuple[Mark, ...]
    rung: tuple[Mark, ...] = ()


def serve(machine: Machine, weighed: Weighed, loop: Loop, windows: Sequence[Window]) -> Served:
    """Choose the holes that serve each window, and return what else is done for that."""
    costs = read_costs(machine)
    if all(len(ways) == 1 for ways, _ in weighed.ways):
        chosen: list[int] | None = [next(iter(ways)) for ways, _ in weighed.ways]  # nothing to choose
    else:
        from chime.planning.tapes import choose_tapes

        chosen = choose_tapes(weighed.ways, costs)
    if chosen is None:
        return Served(tuple(each for window in windows for each in window.kept))
    return served_by(weighed, loop, windows, chosen)


def served_by(weighed: Weighed, loop: Loop, windows: Sequence[Window], chosen: Sequence[int]) -> Served:
    """Return what is kept and silenced, and rung by hand, for windows that run on chosen sets of holes."""
    sources = {
        (each.ring.zone, each.phase_s): each for window in windows for each in (*window.wanted, *window.kept)
    }
    kept = tuple(
        mark
        for window, number in zip(windows, chosen, strict=True)
        for place in sorted(weighed.punched[number] - places_of(window.wanted))
        for mark in _marks_at(loop, window, sources[place])
    )
    rung = tuple(
        mark
        for window, number in zip(windows, chosen, strict=True)
        for mark in window.wanted
        if (mark.ring.zone, mark.phase_s) not in weighed.punched[number]
    )
    return Served(kept, rung)


def without(weighed: Weighed, windows: Sequence[Window], refused: Collection[date]) -> Weighed:
    """Leave some windows, told by their first dates, nothing but a tape of their own."""
    own = {places: number for number, places in enumerate(weighed.punched)}
    return weighed._replace(
        ways=tuple(
            ({own[places_of(window.wanted)]: ByHand()}, can_change)
            if window.first in refused
            else (ways, can_change)
            for window, (ways, can_change) in zip(windows, weighed.ways, strict=True)
        )
    )


def weigh(loop: Loop, machine: Machine, course: Course, windows: Sequence[Window], anchor_s: int) -> Weighed:
    """Say on which holes each window can run, the dial showing the right time."""
    course = _by_the_clock(course)
    changes = [_can_change(course, *each) for each in zip([None, *windows], windows, strict=False)]
    alike = Counter(places_of(window.wanted) for window in windows)
    limits = (
        _most_rung(read_costs(machine), windows, alike, changes) if course.may_ring else [0] * len(windows)
    )
    punched = _sets_to_punch(windows, max(limits, default=0))
    often = [alike[places] for places in punched]
    ways = [
        _ways(loop, machine, course, window, punched, anchor_s, often, limit)
        for window, limit in zip(windows, limits, strict=True)
    ]
    return Weighed(tuple(punched), tuple(zip(ways, changes, strict=True)))


def _most_rung(
    costs: Costs, windows: Sequence[Window], alike: Mapping[frozenset[Place], int], changes: Sequence[bool]
) -> list[int]:
    """Return for each window how many rings a hand gives at most: more would cost more than a tape.

    Where n windows want the same, a tape for all of them and two changes for each come to new / n + 2 change.
    Beside a window before which nobody can change the tape more may be needed, for want of another way.
    """
    limits = []
    for window, before, after in zip(windows, changes, [*changes[1:], True], strict=True):
        number = alike[places_of(window.wanted)] if before and after else 1
        limits.append(int((costs.new_tape / number + 2 * costs.tape_change) / costs.hand_ring))
    return limits


def _by_the_clock(course: Course) -> Course:
    """Return a course whose dial is corrected at the very moment at which the clocks change."""
    starts = [max(course.start, start) for start in course.clock.starts]
    ends = [*starts[1:], course.end]
    dial = tuple(
        DialStretch(offset, start, end)
        for offset, start, end in zip(course.clock.offsets, starts, ends, strict=True)
        if start < end
    )
    return course._replace(dial=dial)


def read_costs(machine: Machine) -> Costs:
    """Return what each operation costs, in minutes: what the machine says, else the usual."""
    said = {each.name: Fraction(each.value.amount, 60_000_000) for each in machine.costs}
    usual = Costs()
    return Costs(
        said.get("new tape", usual.new_tape),
        said.get("tape change", usual.tape_change),
        said.get("selector move", usual.selector_move),
        said.get("silence", usual.silence),
        said.get("hand ring", usual.hand_ring),
    )


def places_of(marks: Iterable[Mark]) -> frozenset[Place]:
    """Return the zones and times of the loop of some rings."""
    return frozenset((each.ring.zone, each.phase_s) for each in marks)


def _sets_to_punch(windows: Sequence[Window], most_rung: int) -> list[frozenset[Place]]:
    """Return what may be punched: what some window wants, and that with what is silenced in it.

    Where a hand may ring, also what two windows have in common, if few are left to ring.
    """
    found: dict[frozenset[Place], None] = {}
    for window in windows:
        found[places_of((*window.wanted, *window.kept))] = None
        found[places_of(window.wanted)] = None
    shared = [
        (max(len(one - other), len(other - one)), sorted(one & other))
        for number, one in enumerate(found)
        for other in islice(found, number)
        if one & other and max(len(one - other), len(other - one)) <= most_rung
    ]
    for _, places in sorted(shared)[:MOST_SHARED]:
        found[frozenset(places)] = None
    return list(found)


MOST_SHARED = 40
"""Of what two windows have in common so many sets may be punched, those with the least to ring by hand."""


def _ways(
    loop: Loop,
    machine: Machine,
    course: Course,
    window: Window,
    punched: Sequence[frozenset[Place]],
    anchor_s: int,
    often: Sequence[int],
    most_rung: int,
) -> Mapping[int, ByHand]:
    """Return on which sets of holes a window can run, each with what a hand silences and rings for that."""
    wanted = places_of(window.wanted)
    asked_for = wanted | places_of(window.kept)
    found = {punched.index(wanted): ByHand()}
    for number in _to_try(wanted, punched, often, most_rung):
        places = punched[number]
        rings = rung_in(course, window, wanted - places)
        silences = _silences(loop, machine, course, window, places - wanted, anchor_s)
        if rings is None or silences is None:
            continue
        if places == asked_for or all(map(_is_easy, silences)):
            found[number] = ByHand(len(silences), rings)
    return found


def _to_try(
    wanted: frozenset[Place], punched: Sequence[frozenset[Place]], often: Sequence[int], most_rung: int
) -> list[int]:
    """Return the sets that hold all that is wanted, the smallest, and of the others the nearest and usual.

    `often` is for how many windows each set is what they want.
    """
    lacking = [
        (len(wanted - places), len(places), number)
        for number, places in enumerate(punched)
        if places != wanted and len(wanted - places) <= most_rung
    ]
    whole = sorted(each for each in lacking if not each[0])[:MOST_WAYS]
    rung = sorted(each for each in lacking if each[0])
    usual = sorted(rung, key=lambda each: (-often[each[2]], each))
    return list(dict.fromkeys(each[2] for each in (*whole, *rung[:MOST_WAYS], *usual[:MOST_USUAL])))


def _is_easy(silence: Silence) -> bool:
    """Tell whether there is time enough to turn a switch, and to turn it back."""
    stretches = [silence.off, *([silence.on] if silence.on is not None else [])]
    return all(end - start >= EASY_S for start, end in stretches)


def _silences(
    loop: Loop, machine: Machine, course: Course, window: Window, extra: frozenset[Place], anchor_s: int
) -> tuple[Silence, ...] | None:
    """Return how a hand silences some holes in a window, None if it cannot."""
    at: dict[int, set[str]] = {}
    for zone, phase_s in extra:
        at.setdefault(phase_s, set()).add(zone)
    ordered = sorted(at)
    phases = Phases(tuple(ordered), tuple(tuple(sorted(at[p])) for p in ordered), loop.cycle_s, anchor_s)
    days = max(1, loop.cycle_s // DAY)
    start = to_instant(course.clock, midnight(window.first))
    end = to_instant(course.clock, midnight(window.first + timedelta(days=days)))
    unwanted = set(soundings(course, phases, start, end)).difference(course.wanted.rings)
    found = silence_by_hand(course, machine, sorted(course.wanted.by_zone), unwanted)
    return None if found.unsilenced else found.silences


def _can_change(course: Course, before: Window | None, window: Window) -> bool:
    """Tell whether anybody can change the tape between the rings of one window and those of the next."""
    if before is None:
        return True
    last = max(to_instant(course.clock, local_seconds(m.ring.at), m.ring.fold) for m in before.wanted)
    first = min(to_instant(course.clock, local_seconds(m.ring.at), m.ring.fold) for m in window.wanted)
    return bool(there_between(course, last + CLEAR_S, first - CLEAR_S))


def _marks_at(loop: Loop, window: Window, source: Mark) -> list[Mark]:
    """Return a hole as the rings that it would make in a window, each time that it comes round."""
    days = max(1, loop.cycle_s // DAY)
    begin = midnight(window.first)
    # The loop of a window of several days begins with it; a shorter one comes round more than once a day.
    times = range(begin + source.phase_s, begin + days * DAY, loop.cycle_s)
    return [
        Mark(source.ring._replace(at=EPOCH + timedelta(seconds=at), fold=0), window.first, source.phase_s)
        for at in times
    ]
