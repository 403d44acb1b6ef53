"""The course of a plan: what is wanted when, what the machine silences, what its dial shows, who is there."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Literal

from chime.records import NamedTuple
from chime.rings.model import Ring
from chime.tape.attendance import Stretch
from chime.tape.local_clock import LocalClock, local_seconds, to_instant
from chime.tape.masks import ZoneMasks, is_surely_masked
from chime.tape.passes import Phases, passes

CLEAR_S = 60
"""A duty keeps a minute clear of every ring it could spoil, and has at least a minute for itself."""

Sounding = tuple[int, str]
"""An instant and the zone that sounds."""


MaskedBy = Literal["both", "dial", "clock"]
"""What a silence of the machine is held against while its dial does not show the time of the clock."""


class Wanted(NamedTuple):
    """The rings that are wanted: each instant and zone with its ring, and the instants in order."""

    rings: Mapping[Sounding, Ring]
    instants: tuple[int, ...]
    by_zone: Mapping[str, tuple[int, ...]]


class DialStretch(NamedTuple):
    """Instants at which the machine's dial may be `offset_s` ahead of UTC, the end not included."""

    offset_s: int
    start: int
    end: int


class Course(NamedTuple):
    """What a plan is made against. `start` and `end` are the first and last instant that it looks at.

    With `may_ring` a hand may ring; `by_hand` are the wanted rings that it gives, which no tape has to.
    """

    clock: LocalClock
    wanted: Wanted
    masks: ZoneMasks
    attended: tuple[Stretch, ...]
    dial: tuple[DialStretch, ...]
    first_date: date
    last_date: date
    start: int
    end: int
    may_ring: bool = False
    by_hand: frozenset[Sounding] = frozenset()


def read_wanted(clock: LocalClock, rings: Iterable[Ring]) -> Wanted:
    """Put rings in order of their instants."""
    found: dict[Sounding, Ring] = {}
    by_zone: dict[str, list[int]] = {}
    for ring in rings:
        instant = to_instant(clock, local_seconds(ring.at), ring.fold)
        if (instant, ring.zone) not in found:
            by_zone.setdefault(ring.zone, []).append(instant)
        found[instant, ring.zone] = ring
    instants = tuple(sorted({instant for instant, _ in found}))
    return Wanted(found, instants, {zone: tuple(sorted(each)) for zone, each in by_zone.items()})


def before(instants: tuple[int, ...], instant: int) -> int | None:
    """Return the last of some instants before another one, None if there is none."""
    index = bisect_left(instants, instant)
    return instants[index - 1] if index else None


def following(instants: tuple[int, ...], instant: int) -> int | None:
    """Return the first of some instants after another one, None if there is none."""
    index = bisect_right(instants, instant)
    return instants[index] if index < len(instants) else None


def soundings(
    course: Course, phases: Phases, start: int, end: int, masked_by: MaskedBy = "both"
) -> Iterator[Sounding]:
    """Give what a tape would sound from one instant up to another if no hand silenced anything.

    Where the dial may show either of two times, what it sounds by each is given; where it does not show what
    the clock does, `masked_by` says which of them a silence of the machine must hold on to count.
    """
    for stretch in course.dial:
        since, until = max(start, stretch.start), min(end, stretch.end)
        for by_clock, begins, ends in _by_clock(course.clock, since, until):
            by_dial = stretch.offset_s
            one = by_dial if masked_by == "dial" else by_clock
            other = by_clock if masked_by == "clock" else by_dial
            for instant, zone in passes(phases, by_dial, begins, ends):
                if not is_surely_masked(course.masks, zone, instant + one) or (
                    one != other and not is_surely_masked(course.masks, zone, instant + other)
                ):
                    yield instant, zone


def _by_clock(clock: LocalClock, start: int, end: int) -> Iterator[tuple[int, int, int]]:
    """Give the offset of the clock and the stretch for which it holds, from one instant up to another."""
    index = max(0, bisect_right(clock.starts, start) - 1)
    while start < end:
        until = min(end, clock.starts[index + 1]) if index + 1 < len(clock.starts) else end
        yield clock.offsets[index], start, until
        start, index = until, index + 1


def there_between(course: Course, start: int, end: int) -> list[Stretch]:
    """Return the attended stretches between two instants, each at least as long as a duty needs."""
    first = bisect_right(course.attended, (start, start)) - 1
    found: list[Stretch] = []
    for begins, ends in course.attended[max(0, first) :]:
        if begins >= end:
            break
        if min(ends, end) - max(begins, start) >= CLEAR_S:
            found.append((max(begins, start), min(ends, end)))
    return found


def clear_of(stretches: Iterable[Stretch], instants: Iterable[int]) -> list[Stretch]:
    """Return the parts of some stretches that are a minute clear of some instants, each long enough."""
    ordered = sorted(set(instants))
    found: list[Stretch] = []
    for start, end in stretches:
        at = start
        for instant in ordered[bisect_left(ordered, start - CLEAR_S) : bisect_right(ordered, end + CLEAR_S)]:
            if instant - CLEAR_S - at >= CLEAR_S:
                found.append((at, instant - CLEAR_S))
            at = max(at, instant + CLEAR_S)
        if end - at >= CLEAR_S:
            found.append((at, end))
    return found


def least_extra(pieces: list[Stretch], first_there: Stretch, old: list[int], new: list[int]) -> Stretch:
    """Choose when something is changed: the first piece after which nothing would sound that is not wanted.

    `old` are the instants, in order, that sound until the change, `new` those that sound after it. Where
    there is no such piece, of those of the first attended stretch that one is taken at which least sounds.
    """

    def extra(piece: Stretch) -> int:
        return bisect_left(old, piece[0]) + len(new) - bisect_right(new, piece[1])

    soonest = [piece for piece in pieces if piece[0] < first_there[1]] or pieces[:1]
    return next((piece for piece in pieces if extra(piece) == 0), min(soonest, key=extra))
