"""When one tape is taken off and the next is fitted."""

from bisect import bisect_right
from datetime import date

from chime.diagnostics import Diagnostic, Span
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.attendance import Stretch
from chime.tape.course import CLEAR_S, Course, clear_of, least_extra, soundings, there_between
from chime.tape.duty_faults import asks, nobody_to_fit
from chime.tape.passes import Phases


class Stay(NamedTuple):
    """A tape and the rings for which it is on without a break: the first and last instant and date."""

    tape: str
    phases: Phases
    first_ring: int
    last_ring: int
    first_date: date
    last_date: date


class Fit(NamedTuple):
    """A tape to fit, and when; `old` is the tape that it takes the place of."""

    tape: str
    old: str | None
    within: Stretch
    first_ring: int


def fit_tapes(
    course: Course, machine: Machine, stays: list[Stay], first_midnight: int
) -> tuple[list[Fit], list[Diagnostic]]:
    """Find when each tape is fitted: after the last ring of the one before it, before its own first."""
    fits: list[Fit] = []
    lost: dict[tuple[Span, str | None, str], list[tuple[int | None, int]]] = {}
    within = _fit_first(course, stays[0], first_midnight)
    for number, stay in enumerate(stays):
        old = stays[number - 1] if number else None
        if old is not None:
            within = _between(course, old, stay)
        if within is None:
            since = None if old is None else old.last_ring
            place = asks(course, stay.first_ring), None if old is None else old.tape, stay.tape
            lost.setdefault(place, []).append((since, stay.first_ring))
        else:
            fits.append(Fit(stay.tape, None if old is None else old.tape, within, stay.first_ring))
    wrong = [nobody_to_fit(course, machine, tape, rings) for (_, _, tape), rings in lost.items()]
    return fits, wrong


def _between(course: Course, old: Stay, new: Stay) -> Stretch | None:
    start, end = old.last_ring + CLEAR_S, new.first_ring - CLEAR_S
    there = there_between(course, start, end)
    if not there:
        return None
    sounds_old = _instants(course, old, old.last_ring + 1, new.first_ring)
    sounds_new = _instants(course, new, old.last_ring + 1, new.first_ring)
    pieces = clear_of(there, [*sounds_old, *sounds_new]) or there
    return least_extra(pieces, there[0], sounds_old, sounds_new)


def _instants(course: Course, stay: Stay, start: int, end: int) -> list[int]:
    return sorted({instant for instant, _ in soundings(course, stay.phases, start, end)})


def _fit_first(course: Course, stay: Stay, first_midnight: int) -> Stretch | None:
    """Find when the first tape is fitted: as late as can be, before the plan's first date if that can be."""
    end = stay.first_ring - CLEAR_S
    sounds = _instants(course, stay, course.start, stay.first_ring)
    chosen: Stretch | None = None
    for limit in (end, min(end, first_midnight)):
        there = there_between(course, course.start, limit)
        pieces = clear_of(there, sounds) or there
        quiet = [piece for piece in pieces if bisect_right(sounds, piece[1]) == len(sounds)]
        if quiet:
            chosen = quiet[-1]
        elif pieces and chosen is None:
            chosen = pieces[-1]
    return chosen
