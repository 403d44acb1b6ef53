"""What can be done when a track of the machine no longer reads: where its zones can go, laid out again."""

from chime.diagnostics import Span
from chime.programme.equipment import Machine
from chime.programme.model import Programme, TrackChoice
from chime.records import NamedTuple
from chime.rings.model import RingCalendar
from chime.tape.lay_out import lay_out
from chime.tape.model import Operation, TapeSet


class Refuge(NamedTuple):
    """A zone that needs another track, and the one it can go to; `shared_with` rings exactly when it does."""

    zone: str
    track: int | None
    shared_with: str | None


class LostTrack(NamedTuple):
    """The zones on a track that is lost, and the tapes with all of them elsewhere, None if that cannot be."""

    refuges: tuple[Refuge, ...]
    tapes: TapeSet | None


def lose_track(
    programme: Programme, machine: Machine, calendar: RingCalendar, operation: Operation, track: int
) -> LostTrack:
    """Find other tracks for the zones of one that is lost, and lay the programme out on them.

    A zone goes to the track of one that rings at exactly the same times, else to one that is free.
    """
    wired = operation.tracks_by_zone
    lost = [zone for zone, tracks in wired.items() if track in tracks]
    times = {
        zone: frozenset((ring.at, ring.fold) for ring in calendar.rings if ring.zone == zone)
        for zone in wired
    }
    broken = {number for number, _ in machine.out_of_use} | {track}
    used = {number for tracks in wired.values() for number in tracks}
    free = [n for n in range(1, len(machine.tracks) + 1) if n not in broken | used]
    refuges: list[Refuge] = []
    for zone in lost:
        twin = next(
            (z for z in wired if z not in lost and times[z] == times[zone] and len(wired[z]) == 1), None
        )
        if twin is not None:
            refuges.append(Refuge(zone, wired[twin][0], twin))
        else:
            refuges.append(Refuge(zone, free.pop(0) if free else None, None))
    if not refuges or any(refuge.track is None for refuge in refuges):
        return LostTrack(tuple(refuges), None)
    return LostTrack(tuple(refuges), _laid_out(programme, machine, calendar, refuges, track))


def _laid_out(
    programme: Programme, machine: Machine, calendar: RingCalendar, refuges: list[Refuge], track: int
) -> TapeSet | None:
    span: Span = machine.span
    moved = {refuge.zone: refuge.track for refuge in refuges if refuge.track is not None}
    zones = tuple(
        zone._replace(tracks=TrackChoice((moved[zone.name],), False, zone.span))
        if zone.name in moved
        else zone
        for zone in programme.zones
    )
    mended = machine._replace(out_of_use=(*machine.out_of_use, (track, span)))
    return lay_out(programme._replace(zones=zones, machine=mended), calendar).tapes
