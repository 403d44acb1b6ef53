"""What to do when a track of the machine no longer reads."""

from chime.clock import write_date
from chime.tape.model import Tape, TapeSet
from chime.verify.model import Verified
from chime.writers.columns import joined, number, visible

Way = tuple[str, int | None, str | None]
"""A zone, the track that it can go to, and the zone that it shares it with."""


def write_lost_track(verified: Verified, track: int, ways: tuple[Way, ...], after: TapeSet | None) -> str:
    """Write which zones fall silent, where they can go, and what is to be punched."""
    machine = verified.programme.machine
    assert machine is not None
    assert verified.tapes is not None
    programme = verified.programme
    lines = [f"{programme.name}, issue {programme.issue}: track {track} of machine {machine.name} lost", ""]
    if not ways:
        return (
            visible(lines[0])
            + "\n\nno zone is on it: nothing changes but for the line below\n"
            + _line(track)
        )
    for zone, _, _ in ways:
        rings = [ring for ring in verified.calendar.rings if ring.zone == zone]
        since = f", the first on {write_date(rings[0].at.date())}" if rings else ""
        lines.append(f"zone {zone} falls silent: {number(len(rings), 'ring')} in all{since}")
    lines += ["until that is mended its bells are rung by hand, or not at all", ""]
    if after is None:
        lines.append(
            "no track is left for all of them: one more on the machine, or the times of another zone"
        )
        return "\n".join(map(visible, lines)) + "\n"
    lines.append(
        "to mend it, have the zones wired anew (work for a licensed person) and write, each in its place:"
    )
    lines += ["", *(f"zone {zone}  on track {to}" for zone, to, _ in ways)]
    lines += ["", f"machine {machine.name}", _line(track).rstrip(), ""]
    for zone, to, shared in ways:
        why = "is free" if shared is None else f"is that of zone {shared}, which rings at the same times"
        lines.append(f"track {to} for zone {zone}: it {why}")
    lines += ["", *_punching(verified.tapes, after, track)]
    return "\n".join(map(visible, lines)) + "\n"


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
