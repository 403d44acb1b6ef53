"""When the machine's dial is put right after a change of the clocks.

A tape machine knows nothing of summer time. From the change until somebody corrects it the tape runs by the
old time, so no ring can be wanted in between, and what the tape sounds then must be silenced by hand.
"""

from collections.abc import Sequence

from chime.diagnostics import Diagnostic
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.attendance import Stretch
from chime.tape.course import (
    CLEAR_S,
    Course,
    DialStretch,
    clear_of,
    following,
    least_extra,
    soundings,
    there_between,
)
from chime.tape.duty_faults import nobody_to_correct
from chime.tape.passes import Phases


class Correction(NamedTuple):
    """A change of the clocks and when the dial is corrected; `gained_s` is how much later it shows then."""

    change: int
    within: Stretch
    gained_s: int


class Corrected(NamedTuple):
    """The course with what its dial shows, the corrections, and what is wrong."""

    course: Course
    corrections: tuple[Correction, ...]
    diagnostics: tuple[Diagnostic, ...]


def correct_clocks(course: Course, machine: Machine, near: Sequence[tuple[int, Phases]]) -> Corrected:
    """Find for each change of the clocks when the dial is corrected.

    `near` gives the tapes in order, each with the instant from which it may be on.
    """
    clock = course.clock
    corrections: list[Correction] = []
    wrong: list[Diagnostic] = []
    for index in range(1, len(clock.starts)):
        change = clock.starts[index]
        if not course.start <= change <= course.end:
            continue
        before, after = clock.offsets[index - 1], clock.offsets[index]
        next_ring = following(course.wanted.instants, change - 1)
        within = _find(course, change, (before, after), _tapes_about(near, change, next_ring), next_ring)
        if within is None:
            assert next_ring is not None
            wrong.append(nobody_to_correct(course, machine, change, next_ring))
        else:
            corrections.append(Correction(change, within, after - before))
    return Corrected(course._replace(dial=_dial(course, corrections)), tuple(corrections), tuple(wrong))


def _tapes_about(near: Sequence[tuple[int, Phases]], change: int, next_ring: int | None) -> list[Phases]:
    """Return the tapes that may be on between a change and the next ring."""
    earlier = [phases for since, phases in near if since <= change][-1:]
    later = [phases for since, phases in near if next_ring is not None and change < since <= next_ring]
    return [*earlier, *later]


def _find(
    course: Course, change: int, offsets: tuple[int, int], tapes: list[Phases], next_ring: int | None
) -> Stretch | None:
    end = course.end if next_ring is None else next_ring - CLEAR_S
    there = there_between(course, change, end)
    if not there:
        return None if next_ring is not None else (change, max(change, end))
    old, new = (_sounds_by(course, offset, tapes, change, end) for offset in offsets)
    pieces = clear_of(there, [*old, *new]) or there
    return least_extra(pieces, there[0], old, new)


def _sounds_by(course: Course, offset: int, tapes: list[Phases], start: int, end: int) -> list[int]:
    by_this = course._replace(dial=(DialStretch(offset, start, end),))
    return sorted({instant for tape in tapes for instant, _ in soundings(by_this, tape, start, end)})


def _dial(course: Course, corrections: list[Correction]) -> tuple[DialStretch, ...]:
    """Return what the dial may show: the old time to the end of each correction, the new from its start."""
    stretches = []
    start = course.start
    offset = _offset_at(course, start)
    for correction in corrections:
        stretches.append(DialStretch(offset, start, correction.within[1]))
        start, offset = correction.within[0], offset + correction.gained_s
    stretches.append(DialStretch(offset, start, course.end))
    return tuple(stretches)


def _offset_at(course: Course, instant: int) -> int:
    clock = course.clock
    index = max(i for i, start in enumerate(clock.starts) if start <= instant or i == 0)
    return clock.offsets[index]
