"""What is looked at ring by ring before a tape is laid out: rows, shared tracks, the machine's silences."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime

from chime.clock import DAY, write_date, write_time
from chime.diagnostics import Diagnostic, Span
from chime.programme.equipment import Machine
from chime.rings.model import Ring
from chime.tape import faults, machine_faults
from chime.tape.holes import Mark
from chime.tape.local_clock import local_seconds, midnight
from chime.tape.loop import Loop, passes_of
from chime.tape.masks import Mask, ZoneMasks, is_masked, is_unsure, mask_at
from chime.tape.tracks import Wiring, zones_by_track


def rings_between_rows(loop: Loop, marks: Iterable[Mark]) -> list[Diagnostic]:
    """Find the rings whose time is that of no row; each line that asks for one is named once a time."""
    found: dict[tuple[Span, str], Diagnostic] = {}
    for ring, _, phase_s in marks:
        over = phase_s % loop.row_interval_s
        if not over:
            continue
        for reason in ring.reasons:
            fault = faults.ring_between_rows(
                ring.at,
                reason.spans[0],
                before_s=_seconds_of_day(ring.at) - over,
                interval_s=loop.row_interval_s,
                moved_by=reason.spans[1:],
            )
            found.setdefault((reason.spans[0], fault.headline), fault)
    return list(found.values())


def _seconds_of_day(at: datetime) -> int:
    return at.hour * 3600 + at.minute * 60 + at.second


def shared_tracks(wiring: Wiring, rings: Iterable[Ring]) -> list[Diagnostic]:
    """Find pairs of zones on one track whose rings differ, each track's first zone against the others.

    `rings` are those that are punched, also where a hand silences them.
    """
    sounds: dict[str, set[datetime]] = defaultdict(set)
    for ring in rings:
        sounds[ring.zone].add(ring.at)
    found: list[Diagnostic] = []
    for track, zones in sorted(zones_by_track(wiring.by_zone).items()):
        first, *others = zones
        for other in others:
            differing = sounds[first] ^ sounds[other]
            if differing:
                at = min(differing)
                ringing = first if at in sounds[first] else other
                spans = wiring.by_zone[first].span, wiring.by_zone[other].span
                found.append(faults.track_shared(track, (first, other), spans, at, ringing))
    return found


def silenced_rings(
    machine: Machine, masks: ZoneMasks, rings: Iterable[Ring], *, may_ring: bool
) -> list[Diagnostic]:
    """Find the rings that are wanted while the machine silences their zone, each line and silence once.

    With `may_ring` the programme lets a hand ring, and only for want of a person these are not rung so.
    """
    found: dict[tuple[Span, Span], tuple[Ring, Mask, set[int], set[str]]] = {}
    for ring in rings:
        local_s = local_seconds(ring.at)
        if is_masked(masks, ring.zone, local_s):
            mask = mask_at(machine, ring.zone, local_s)
            place = ring.reasons[0].spans[0], mask.span
            _, _, times, zones = found.setdefault(place, (ring, mask, set(), set()))
            times.add(_seconds_of_day(ring.at))
            zones.add(ring.zone)
    return [
        machine_faults.ring_silenced(
            ring, mask, sorted(times), sorted(zones), by_hand=_by_hand(machine, ring, may_ring=may_ring)
        )
        for ring, mask, times, zones in found.values()
    ]


def _by_hand(machine: Machine, ring: Ring, *, may_ring: bool) -> str | None:
    """Say how a ring could be rung by hand: somebody must be there, and the programme allow it."""
    day, time = ring.at.date(), write_time(_seconds_of_day(ring.at))
    is_there = not machine.attended or any(
        day.weekday() in hours.weekdays and hours.start < _seconds_of_day(ring.at) < hours.end
        for hours in machine.attended
    )
    if is_there:
        return None if may_ring else 'ring it by hand: write "hand rings allowed" below the programme\'s name'
    allow = "" if may_ring else ' and "hand rings allowed" below the programme\'s name'
    return f"ring it by hand: write when somebody is there on {write_date(day)} at {time}{allow}"


def unsure_rings(masks: ZoneMasks, rings: Iterable[Ring]) -> list[str]:
    """Say in words which rings come while a day wheel may or may not have turned."""
    first: dict[tuple[str, int], date] = {}
    for ring in rings:
        if is_unsure(masks, ring.zone, local_seconds(ring.at)):
            first.setdefault((ring.zone, _seconds_of_day(ring.at)), ring.at.date())
    return [
        f"Whether the day wheel lets zone {zone} ring at {write_time(seconds)} (first on {write_date(day)}): "
        "it may be turning then."
        for (zone, seconds), day in sorted(first.items())
    ]


def rings_again(
    loop: Loop,
    machine: Machine,
    masks: ZoneMasks,
    marks: Iterable[Mark],
    kept: Iterable[Mark],
    heard_with: Callable[[str], Iterable[str]],
) -> list[Diagnostic]:
    """Find the holes that would ring unwanted when they come round again on the same date.

    `heard_with` gives the zones that hear the holes of a zone, itself among them.
    """
    if loop.cycle_s >= DAY or machine.cycle is None:
        return []
    marks = list(marks)
    said = {(each.ring.at.date(), _seconds_of_day(each.ring.at), each.ring.zone) for each in (*marks, *kept)}
    found: dict[Span, tuple[Ring, dict[int, set[int]], set[str]]] = {}
    for ring, _, phase_s in marks:
        for zone in heard_with(ring.zone):
            again = _unwanted_passes(loop, masks, zone, ring, phase_s, said)
            if again:
                _, times, zones = found.setdefault(ring.reasons[0].spans[0], (ring, {}, set()))
                times.setdefault(_seconds_of_day(ring.at), set()).update(again)
                zones.add(zone)
    wanted = {_seconds_of_day(each.ring.at) for each in marks}
    everything = {seconds for _, times, _ in found.values() for some in times.values() for seconds in some}
    hours = _quiet_hours(wanted, everything)
    return [
        machine_faults.rings_again(
            ring,
            {at: sorted(again) for at, again in times.items()},
            sorted(zones),
            (machine.cycle, loop.cycle_s),
            hours or _quiet_hours(wanted, {seconds for again in times.values() for seconds in again}),
        )
        for ring, times, zones in found.values()
    ]


def _quiet_hours(wanted: Iterable[int], unwanted: Iterable[int]) -> tuple[int, int] | None:
    """Return from when to when a time switch could silence all of some times of the day and no wanted one.

    They lie half way to the wanted times about them, on five minutes where that can be.
    """
    ordered, between = sorted(wanted), set(unwanted)
    for last, upcoming in zip(ordered, [*ordered[1:], ordered[0] + DAY], strict=True):
        inside = sorted(seconds + DAY * (seconds < last) for seconds in between)
        if inside and last < inside[0] and inside[-1] < upcoming:
            start, end = (last + inside[0]) // 2, (inside[-1] + upcoming) // 2
            return _even(start, last, inside[0]) % DAY, _even(end, inside[-1], upcoming) % DAY
    return None


def _even(seconds: int, after: int, until: int) -> int:
    """Return a time after one and not after another: on five minutes, else on minutes, else as it is."""
    evens = (seconds - seconds % step for step in (300, 60))
    return next((each for each in evens if after < each <= until), max(seconds, after + 1))


def _unwanted_passes(
    loop: Loop, masks: ZoneMasks, zone: str, ring: Ring, phase_s: int, said: set[tuple[date, int, str]]
) -> tuple[int, ...]:
    day = ring.at.date()
    return tuple(
        seconds
        for seconds in passes_of(loop, phase_s)
        if (day, seconds, zone) not in said and not is_masked(masks, zone, midnight(day) + seconds)
    )


def hearing_of(wiring: Mapping[str, tuple[int, ...]], *, tied: bool) -> dict[int, tuple[str, ...]]:
    """Return the zones that hear each track.

    Where contacts are tied, zones that share a track hear all tracks of the set that is joined that way.
    """
    joined = {zone: set(tracks) for zone, tracks in wiring.items()}
    changed = tied
    while changed:
        changed = False
        for one in joined.values():
            for other in joined.values():
                if one & other and one != other:
                    one |= other
                    changed = True
    hearing: dict[int, list[str]] = defaultdict(list)
    for zone in sorted(joined):
        for track in joined[zone]:
            hearing[track].append(zone)
    return {track: tuple(zones) for track, zones in hearing.items()}
