"""What can be done when a track of the machine no longer reads: where its zones can go, laid out again.

A zone that names its track goes to another. Zones that the planner gave their tracks, or that a moved
selector wires, are planned anew without the track, and without the positions that wire something to it.
"""

from collections.abc import Sequence
from datetime import date

from chime.clock import DAY
from chime.programme.equipment import Machine
from chime.programme.model import Programme, TrackChoice
from chime.records import NamedTuple
from chime.rings.model import Ring, RingCalendar
from chime.tape.lay_out import lay_out
from chime.tape.local_clock import local_seconds
from chime.tape.model import Operation, TapeSet


class Refuge(NamedTuple):
    """A zone that needs another track, and the one it can go to; `shared_with` rings exactly when it does."""

    zone: str
    track: int | None
    shared_with: str | None


class LostTrack(NamedTuple):
    """The zones on a track that is lost, and the tapes with all of them elsewhere, None if that cannot be.

    `silent` are those zones with their first ring that is lost and how many are; `refuges` those that go to
    another track, the others being planned anew; `dropped` the positions that are not used any more.
    """

    refuges: tuple[Refuge, ...]
    tapes: TapeSet | None
    silent: tuple[tuple[str, date | None, int], ...] = ()
    dropped: tuple[int, ...] = ()


def lose_track(
    programme: Programme, machine: Machine, calendar: RingCalendar, operation: Operation, track: int
) -> LostTrack:
    """Find other tracks for the zones of one that is lost, and lay the programme out on them.

    A zone goes to the track of one that rings at exactly the same times, else to one that is free.
    """
    wired = operation.tracks_by_zone
    lost = [zone for zone, tracks in wired.items() if track in tracks]
    silent = tuple(_silent(calendar.rings, operation, zone, track) for zone in lost)
    named = {zone.name for zone in programme.zones if zone.tracks is not None}
    is_planned = operation.is_moved or not machine.positions
    going = [zone for zone in lost if zone in named or not is_planned]
    refuges = _find_refuges(machine, calendar, wired, lost, going, track)
    positions = [p for p in machine.positions if track not in {on for _, on in p.wirings}]
    dropped = tuple(p.number for p in machine.positions if p not in positions) if is_planned else ()
    if not lost or any(refuge.track is None for refuge in refuges) or (dropped and not positions):
        return LostTrack(refuges, None, silent, dropped)
    mended = machine._replace(out_of_use=(*machine.out_of_use, (track, machine.span)))
    if is_planned:
        mended = mended._replace(positions=tuple(positions))
    return LostTrack(refuges, _lay_out(programme, mended, calendar, refuges), silent, dropped)


def _silent(
    rings: Sequence[Ring], operation: Operation, zone: str, track: int
) -> tuple[str, date | None, int]:
    """Return how many rings a zone loses: those of the dates whose position wires it to the track.

    A ring that a hand gives anyway is not lost.
    """
    on = {plan.day: dict(operation.wiring_in(plan.position)) for plan in operation.days}
    by_hand = {
        (plan.day, ring.time, ring.fold)
        for plan in operation.days
        for ring in plan.by_hand
        if ring.zone == zone
    }
    gone = [
        r.at.date()
        for r in rings
        if r.zone == zone
        and track in on[r.at.date()].get(zone, ())
        and (r.at.date(), local_seconds(r.at) % DAY, r.fold) not in by_hand
    ]
    return zone, gone[0] if gone else None, len(gone)


def _find_refuges(
    machine: Machine,
    calendar: RingCalendar,
    wired: dict[str, tuple[int, ...]],
    lost: Sequence[str],
    going: Sequence[str],
    track: int,
) -> tuple[Refuge, ...]:
    times = {
        zone: frozenset((ring.at, ring.fold) for ring in calendar.rings if ring.zone == zone)
        for zone in wired
    }
    broken = {number for number, _ in machine.out_of_use} | {track}
    used = {number for tracks in wired.values() for number in tracks}
    free = [n for n in range(1, len(machine.tracks) + 1) if n not in broken | used]
    refuges: list[Refuge] = []
    for zone in going:
        twin = next(
            (z for z in wired if z not in lost and times[z] == times[zone] and len(wired[z]) == 1), None
        )
        if twin is not None:
            refuges.append(Refuge(zone, wired[twin][0], twin))
        else:
            refuges.append(Refuge(zone, free.pop(0) if free else None, None))
    return tuple(refuges)


def _lay_out(
    programme: Programme, mended: Machine, calendar: RingCalendar, refuges: Sequence[Refuge]
) -> TapeSet | None:
    moved = {refuge.zone: refuge.track for refuge in refuges if refuge.track is not None}
    zones = tuple(
        zone._replace(tracks=TrackChoice((moved[zone.name],), False, zone.span))
        if zone.name in moved
        else zone
        for zone in programme.zones
    )
    return lay_out(programme._replace(zones=zones, machine=mended), calendar).tapes
