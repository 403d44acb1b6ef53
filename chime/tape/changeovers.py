"""When one tape is taken off and the next is fitted, and when the selector is moved."""

from bisect import bisect_right
from collections.abc import Mapping
from datetime import date

from chime.diagnostics import Diagnostic, Span
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.attendance import Stretch
from chime.tape.course import CLEAR_S, Course, clear_of, least_extra, soundings, there_between
from chime.tape.duty_faults import asks, nobody_to_fit
from chime.tape.passes import Phases

State = tuple[str, int | None]
"""The tape that is on, and the position of the selector, None where there is none to choose."""


class Stay(NamedTuple):
    """A tape and a position, and the rings for which they stay: the first and last instant and date."""

    tape: str
    position: int | None
    phases: Phases
    first_ring: int
    last_ring: int
    first_date: date
    last_date: date

    @property
    def state(self) -> State:
        """Return what is on."""
        return self.tape, self.position


class Changeover(NamedTuple):
    """What is on from now on, and when that is done; `old` is what was on before, None before the first."""

    new: State
    old: State | None
    within: Stretch
    first_ring: int

    @property
    def fits(self) -> bool:
        """Tell whether a tape is fitted."""
        return self.old is None or self.old[0] != self.new[0]

    @property
    def moves(self) -> bool:
        """Tell whether the selector is moved, or set for the first time."""
        return self.new[1] is not None and (self.old is None or self.old[1] != self.new[1])

    @property
    def halfway(self) -> tuple[State, ...]:
        """Return what is on if of two things that are changed only one is: nothing where one alone is."""
        if self.old is None or not (self.fits and self.moves):
            return ()
        return (self.new[0], self.old[1]), (self.old[0], self.new[1])


def change_over(
    course: Course,
    machine: Machine,
    stays: list[Stay],
    phases: Mapping[State, Phases],
    first_midnight: int,
) -> tuple[list[Changeover], list[Diagnostic]]:
    """Find when each change is made: after the last ring of the stay before it, before its own first."""
    changes: list[Changeover] = []
    lost: dict[tuple[Span, State | None, str], list[tuple[int | None, int]]] = {}
    within = _fit_first(course, stays[0], first_midnight)
    for number, stay in enumerate(stays):
        old = stays[number - 1] if number else None
        change = Changeover(stay.state, None if old is None else old.state, (0, 0), stay.first_ring)
        if old is not None:
            within = _between(course, old, stay, [phases[state] for state in change.halfway])
        if within is None:
            since = None if old is None else old.last_ring
            place = asks(course, stay.first_ring), change.old, _what(change)
            lost.setdefault(place, []).append((since, stay.first_ring))
        else:
            changes.append(change._replace(within=within))
    wrong = [nobody_to_fit(course, machine, what, rings) for (_, _, what), rings in lost.items()]
    return changes, wrong


def _what(change: Changeover) -> str:
    tape, position = change.new
    return f"fit tape {tape}" if change.fits else f"move the selector to position {position}"


def _between(course: Course, old: Stay, new: Stay, halfway: list[Phases]) -> Stretch | None:
    start, end = old.last_ring + CLEAR_S, new.first_ring - CLEAR_S
    there = _clear_of_hand(course, there_between(course, start, end))
    if not there:
        return None
    since, until = old.last_ring + 1, new.first_ring
    sounds_old, sounds_new = (_instants(course, stay.phases, since, until) for stay in (old, new))
    mixed = [instant for phases in halfway for instant in _instants(course, phases, since, until)]
    pieces = clear_of(there, [*sounds_old, *sounds_new, *mixed]) or there
    return least_extra(pieces, there[0], sounds_old, sounds_new)


def _clear_of_hand(course: Course, there: list[Stretch]) -> list[Stretch]:
    """Return what is left of some stretches beside the rings that a hand gives between two tapes."""
    if not course.by_hand:
        return there
    return clear_of(there, [instant for instant, _ in course.by_hand])


def _instants(course: Course, phases: Phases, start: int, end: int) -> list[int]:
    return sorted({instant for instant, _ in soundings(course, phases, start, end)})


def _fit_first(course: Course, stay: Stay, first_midnight: int) -> Stretch | None:
    """Find when the first tape is fitted: as late as can be, before the plan's first date if that can be."""
    end = stay.first_ring - CLEAR_S
    sounds = _instants(course, stay.phases, course.start, stay.first_ring)
    chosen: Stretch | None = None
    for limit in (end, min(end, first_midnight)):
        there = _clear_of_hand(course, there_between(course, course.start, limit))
        pieces = clear_of(there, sounds) or there
        quiet = [piece for piece in pieces if bisect_right(sounds, piece[1]) == len(sounds)]
        if quiet:
            chosen = quiet[-1]
        elif pieces and chosen is None:
            chosen = pieces[-1]
    return chosen
