"""Rings that a hand gives, where the programme allows it: somebody stands at the button at that very minute.

A ring that no tape can give, for the machine silences its zone then, is rung by hand wherever somebody is
there. Any other may be, if that takes fewer minutes over the term than a tape of its own: one added bell on
one date is three minutes, a tape for it an hour and a half.
"""

from collections.abc import Iterable, Sequence

from chime.programme.equipment import Machine
from chime.programme.model import Programme
from chime.rings.model import Ring, RingCalendar
from chime.tape.course import CLEAR_S, Course, Sounding, there_between
from chime.tape.holes import Mark, Window
from chime.tape.local_clock import LocalClock, local_seconds, to_instant
from chime.tape.masks import is_masked, read_masks
from chime.tape.operate import begin_course


def sounding_of(clock: LocalClock, ring: Ring) -> Sounding:
    """Return the instant of a ring and its zone."""
    return to_instant(clock, local_seconds(ring.at), ring.fold), ring.zone


def is_somebody_there(course: Course, instant: int) -> bool:
    """Tell whether somebody is at the machine from a minute before an instant until a minute after it."""
    start, end = instant - CLEAR_S, instant + CLEAR_S
    return (start, end) in there_between(course, start, end)


def silenced_by_machine(
    programme: Programme, machine: Machine, calendar: RingCalendar, marks: Sequence[Mark]
) -> tuple[Mark, ...]:
    """Return the rings that only a hand can give, and does.

    There are none where the programme does not allow it, and where no other ring is left for a tape.
    """
    if not programme.hand_rings or not calendar.rings:
        return ()
    course = begin_course(programme, machine, calendar)
    masks = read_masks(machine, [zone.name for zone in programme.zones])
    found = tuple(
        each
        for each in marks
        if is_masked(masks, each.ring.zone, local_seconds(each.ring.at))
        and is_somebody_there(course, sounding_of(course.clock, each.ring)[0])
    )
    return found if len(found) < len(marks) else ()


def rung_in(course: Course, window: Window, missing: frozenset[tuple[str, int]]) -> int | None:
    """Return how many rings of a window a hand gives where some places are not punched; None if it cannot."""
    rings = [each.ring for each in window.wanted if (each.ring.zone, each.phase_s) in missing]
    if all(is_somebody_there(course, sounding_of(course.clock, ring)[0]) for ring in rings):
        return len(rings)
    return None


def with_hand_rings(course: Course, marks: Iterable[Mark]) -> Course:
    """Return a course that knows which of its rings a hand gives."""
    return course._replace(by_hand=frozenset(sounding_of(course.clock, each.ring) for each in marks))


def to_punch(windows: Iterable[Window], rung: Iterable[Mark]) -> list[Window]:
    """Return windows without the rings that a hand gives; one of which none is left stays, with none."""
    by_hand = {_key(each) for each in rung}
    return [
        window._replace(wanted=tuple(each for each in window.wanted if _key(each) not in by_hand))
        for window in windows
    ]


def _key(mark: Mark) -> tuple[object, ...]:
    return mark.ring.at, mark.ring.fold, mark.ring.zone
