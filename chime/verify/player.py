"""Plays a tape as the machine would: which zones sound at which instants.

A hole sounds when its row, less the rows that its track is read ahead, comes round: at
(row - rows ahead) times the row interval, modulo the loop, counted from 00:00 of the machine's own dial
(formulas F1 and F2). Nothing here comes from the layout, and the times that a hole is said to ring at are
never read.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise

from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.model import Tape

Sound = tuple[int, str]
"""Seconds since 1970-01-01 00:00 UTC, and the zone that sounds."""

IsSilent = Callable[[str, int, int], bool]
"""Whether a zone is silent, at an instant, at what the dial shows (seconds since 1970-01-01 00:00)."""


class Score(NamedTuple):
    """What is played: from when on which tape is on, in which position of the selector, by which dial.

    Each is in order of the instants from which it holds; a dial is told by how far it is ahead of UTC.
    """

    tapes: Sequence[tuple[int, str]]
    positions: Sequence[tuple[int, int | None]]
    dials: Sequence[tuple[int, int]]
    end: int


def hearers(machine: Machine, wiring: Sequence[tuple[str, tuple[int, ...]]]) -> dict[int, set[str]]:
    """Return the zones that hear each track; tied contacts join zones that share one."""
    hear = {zone: set(tracks) for zone, tracks in wiring}
    if machine.contacts is None or machine.contacts[0] != "separate":
        for _ in hear:  # as often as there are zones, so that a chain is followed to its end
            for one in hear:
                for other in hear:
                    if hear[one] & hear[other]:
                        hear[one] = hear[one] | hear[other]
    tracks = sorted({track for heard in hear.values() for track in heard})
    return {track: {zone for zone in hear if track in hear[zone]} for track in tracks}


def rows_ahead(machine: Machine, track: int) -> int:
    """Return how many rows ahead of the dial a track is read; what nobody has said counts as none."""
    ahead = 0
    for reads in machine.reads:
        if reads.track == track:
            return reads.rows.amount
        if reads.track is None:
            ahead = reads.rows.amount
    return ahead


def play(
    score: Score,
    tapes: Mapping[str, Tape],
    machine: Machine,
    hearing: Mapping[int | None, Mapping[int, set[str]]],
    loop_start: int,
    is_silent: IsSilent,
) -> set[Sound]:
    """Return all that sounds; `hearing` gives for each position the zones that hear each track.

    `loop_start` is a time of the dial at which the loop begins.
    """
    heard: set[Sound] = set()
    for since, until, letter, position, ahead in _stretches(score):
        listening = hearing.get(position, {})
        tape = tapes[letter]
        loop = tape.rows * tape.row_interval_s
        for hole in tape.holes:
            row = (hole.row - rows_ahead(machine, hole.track)) % tape.rows
            shown = loop_start + row * tape.row_interval_s
            shown += -(-(since + ahead - shown) // loop) * loop
            for dial in range(shown, until + ahead, loop):
                heard.update(
                    (dial - ahead, zone)
                    for zone in listening.get(hole.track, ())
                    if not is_silent(zone, dial - ahead, dial)
                )
    return heard


def _stretches(score: Score) -> Iterator[tuple[int, int, str, int | None, int]]:
    """Give the stretches in which nothing changes: from, until, tape, position, dial."""
    moments = sorted({at for at, _ in (*score.tapes, *score.positions, *score.dials)} | {score.end})
    for since, until in pairwise(moments):
        letter = [name for at, name in score.tapes if at <= since][-1:]
        ahead = [offset for at, offset in score.dials if at <= since][-1:]
        position = [number for at, number in score.positions if at <= since][-1:]
        if letter and position and ahead and since < score.end:
            yield since, until, letter[0], position[0], ahead[0]
