"""What to do when a track of the machine no longer reads."""

from datetime import date

from chime.clock import write_date
from chime.records import NamedTuple
from chime.tape.model import Tape, TapeSet
from chime.verify.model import Verified
from chime.writers.columns import fold, joined, number, visible
from chime.writers.duty_words import say_wiring

Way = tuple[str, int | None, str | None]
"""A zone, the track that it can go to, and the zone that it shares it with."""


class WithoutTrack(NamedTuple):
    """What a lost track does, and what can be done.

    `silent` are the zones that lose rings, with the first date and how many; `ways` are for zones that go to
    another track, `dropped` the positions of the selector that are not used any more, `after` the tapes then.
    """

    silent: tuple[tuple[str, date | None, int], ...]
    ways: tuple[Way, ...]
    dropped: tuple[int, ...]
    after: TapeSet | None


def write_lost_track(verified: Verified, track: int, without: WithoutTrack) -> str:
    """Write which zones fall silent, where they can go, and what is to be punched."""
    machine = verified.programme.machine
    assert machine is not None
    assert verified.tapes is not None
    programme = verified.programme
    lines = [f"{programme.name}, issue {programme.issue}: track {track} of machine {machine.name} lost", ""]
    if not without.silent:
        return (
            visible(lines[0])
            + "\n\nno zone is on it: nothing changes but for the line below\n"
            + _line(track)
        )
    for zone, first, count in without.silent:
        since = "" if first is None else f", the first on {write_date(first)}"
        lines.append(f"zone {zone} falls silent: {number(count, 'ring')} in all{since}")
    lines += ["until that is mended its bells are rung by hand, or not at all", ""]
    if without.after is None:
        lines.append(
            "no track is left for all of them: one more on the machine, or the times of another zone"
        )
        return "\n".join(map(visible, lines)) + "\n"
    lines += _wire_anew(machine.name, track, without)
    lines += ["", *_punching(verified.tapes, without.after, track)]
    return "\n".join(map(visible, lines)) + "\n"


def _wire_anew(machine: str, track: int, without: WithoutTrack) -> list[str]:
    """Give the lines to write, and say why each zone goes where it goes."""
    lines = [
        "to mend it, have the zones wired anew (work for a licensed person) and write, each in its place:"
    ]
    lines += ["", *(f"zone {zone}  on track {to}" for zone, to, _ in without.ways)]
    lines += [*([""] if without.ways else []), f"machine {machine}", _line(track).rstrip()]
    assert without.after is not None
    going = {zone for zone, _, _ in without.ways}
    if any(zone not in going for zone, _, _ in without.silent) and not without.dropped:
        for wired in without.after.operation.wirings:
            before = "  zones then are: " if wired.position is None else f"  position {wired.position}  "
            lines += fold(say_wiring(wired), before)
    for position in without.dropped:  # a selector has a line for each of its positions
        spare = say_wiring(without.after.operation.wirings[0])
        lines += [f"  # position {position} is not used any more; wired as another, it does no harm:"]
        lines += fold(spare, f"  position {position}  ")
    lines.append("")
    for zone, to, shared in without.ways:
        why = "is free" if shared is None else f"is that of zone {shared}, which rings at the same times"
        lines.append(f"track {to} for zone {zone}: it {why}")
    return lines[:-1] if not lines[-1] else lines


def _line(track: int) -> str:
    return f"  out of use  track {track}\n"


def _punching(before: TapeSet, after: TapeSet, track: int) -> list[str]:
    """Say what becomes of each tape: holes of the lost track do no harm, those of the new one are added."""
    said = []
    for tape in before.tapes:
        lost = sum(hole.track == track for hole in tape.holes)
        if lost:
            said.append(
                f"tape {tape.id}: {number(lost, 'hole')} of track {track} are dead, {_added(tape, after)}"
            )
    kept = [tape.id for tape in before.tapes if all(hole.track != track for hole in tape.holes)]
    if kept:
        said.append(f"tape {joined(kept)} stays as it is")
    return said


def _added(tape: Tape, after: TapeSet) -> str:
    old = {(hole.row, hole.track) for hole in tape.holes}
    match = next((each for each in after.tapes if each.dates == tape.dates), None)
    if match is None:
        return "punch it anew: its dates change"
    new = [hole for hole in match.holes if (hole.row, hole.track) not in old]
    if not new:
        return "none is to be punched"
    tracks = sorted({hole.track for hole in new})
    return f"punch {len(new):,} more on track {joined([str(each) for each in tracks])}, or a new tape"
