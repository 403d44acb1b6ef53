"""When the holes of a tape pass their fingers, at which instants and in which zones they would sound."""

from bisect import bisect_left
from collections.abc import Iterator, Mapping

from chime.records import NamedTuple
from chime.tape.model import Tape


class Phases(NamedTuple):
    """The times of a loop at which a tape sounds, in order, and the zones that hear it at each.

    `anchor_s` is a time of the machine's dial, in seconds since 1970, at which the loop begins.
    """

    at: tuple[int, ...]
    zones: tuple[tuple[str, ...], ...]
    cycle_s: int
    anchor_s: int


def phases_of(tape: Tape, hearing: Mapping[int, tuple[str, ...]], anchor_s: int) -> Phases:
    """Return when a tape sounds; `hearing` gives the zones that hear each track, if any do."""
    cycle_s = tape.rows * tape.row_interval_s
    heard: dict[int, set[str]] = {}
    for hole in tape.holes:
        heard.setdefault(hole.rings_at[0] % cycle_s, set()).update(hearing.get(hole.track, ()))
    ordered = sorted(heard)
    return Phases(tuple(ordered), tuple(tuple(sorted(heard[at])) for at in ordered), cycle_s, anchor_s)


def passes(phases: Phases, offset_s: int, start: int, end: int) -> Iterator[tuple[int, str]]:
    """Give each instant from `start` up to `end`, and each zone, at which a tape sounds, in order.

    The machine's dial is `offset_s` seconds ahead of UTC all that time.
    """
    if not phases.at or start >= end:
        return
    first = start + offset_s - phases.anchor_s
    turn, phase = divmod(first, phases.cycle_s)
    index = bisect_left(phases.at, phase)
    base = turn * phases.cycle_s + phases.anchor_s - offset_s
    while True:
        if index == len(phases.at):
            index, base = 0, base + phases.cycle_s
        instant = base + phases.at[index]
        if instant >= end:
            return
        for zone in phases.zones[index]:
            yield instant, zone
        index += 1
