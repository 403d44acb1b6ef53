"""Whether a plan asks of the machine only what its block declares.

A wiring, a silence of the machine or an hour of a duty that the block does not give is a fault of the plan:
the rehearsal would be played on a machine that does not exist.
"""

from bisect import bisect_left
from collections.abc import Iterator
from datetime import datetime, timedelta

from chime import zone_time
from chime.diagnostics import Diagnostic
from chime.programme.equipment import Machine
from chime.programme.model import Programme
from chime.rings.model import RingCalendar
from chime.tape.model import DaySilence, Duty, Operation, TapeSet
from chime.verify.faults import not_declared
from chime.verify.machine_silence import MIDNIGHT, own_silences


def the_plan_is_declared(programme: Programme, calendar: RingCalendar, tapes: TapeSet) -> list[Diagnostic]:
    """Find what a plan takes for granted and the machine's block does not say."""
    machine = programme.machine
    if machine is None:
        return []
    wrong = [
        *_wirings(programme, machine, tapes.operation),
        *_silences(machine, tapes.operation),
        *_hours(machine, tapes.operation),
        *_clear_of_rings(programme, calendar, tapes.operation),
        *_rings_by_hand(programme, tapes.operation),
    ]
    return [not_declared(machine, words) for words in wrong[:1]]


def _wirings(programme: Programme, machine: Machine, operation: Operation) -> Iterator[str]:
    positions = {position.number: position.wirings for position in machine.positions}
    zones = {zone.name: zone for zone in programme.zones}
    broken = {track for track, _ in machine.out_of_use}
    named = {track for zone in programme.zones if zone.tracks for track in zone.tracks.tracks}
    free = set(range(1, len(machine.tracks) + 1)) - named
    for wired in operation.wirings:
        selected = positions.get(wired.position or 0, ())
        for name, tracks in wired.zones:
            choice = zones[name].tracks
            if choice is None and not positions:
                declared = set(tracks) <= free  # nobody has wired it yet
            elif choice is None:
                declared = set(tracks) == {track for zone, track in selected if zone == name}
            elif choice.together:
                declared = set(tracks) == set(choice.tracks)
            else:
                declared = len(tracks) == 1 and set(tracks) <= set(choice.tracks)
            if not declared or broken.intersection(tracks):
                yield f"zone {name} on {' and '.join(f'track {track}' for track in tracks)}"
    yield from _positions(operation)


def _positions(operation: Operation) -> Iterator[str]:
    """Give the dates and duties whose position is not among those that the plan wires."""
    known = {wired.position for wired in operation.wirings}
    for plan in operation.days:
        if plan.tape is not None and plan.position not in known:
            yield f"position {plan.position} of the selector on {plan.day.isoformat()}"
    for duty in operation.duties:
        if duty.do == "position" and duty.position not in known:
            yield f"position {duty.position} of the selector for duty {duty.id}"


def _silences(machine: Machine, operation: Operation) -> Iterator[str]:
    weekly = {(own.weekday, own.since, own.until, own.zone, own.by) for own in own_silences(machine)}
    duties = {duty.id: duty for duty in operation.duties}
    for plan in operation.days:
        said = {
            (plan.day.weekday(), each.starts, each.ends, each.zone, each.by)
            for each in plan.silenced
            if each.by in ("day wheel", "time switch")
        }
        if said != {own for own in weekly if own[0] == plan.day.weekday()}:
            yield f"what the machine silences by itself on {plan.day.isoformat()}"
        for each in plan.silenced:
            is_of = {"tape change": "fit tape", "selector move": "position"}.get(each.by)
            if is_of is not None and not _is_of_change(each, is_of, duties.get(each.duty or "")):
                yield f"a {each.by} at the end of a silence on {plan.day.isoformat()}"
            if each.by == "hand" and not _has_switch(machine, each.zone, duties.get(each.duty or "")):
                yield f"a switch for {each.zone or 'every zone'} on {plan.day.isoformat()}"


def _is_of_change(silence: DaySilence, do: str, duty: Duty | None) -> bool:
    """Tell whether a silence lasts until something is changed, or from then on, on the date of that."""
    if duty is None or duty.do != do or silence.zone is not None:
        return False
    at = duty.begins.at
    seconds = (at - datetime(at.year, at.month, at.day)).seconds
    return (silence.starts, silence.ends) in ((0, seconds), (seconds, MIDNIGHT))


def _has_switch(machine: Machine, zone: str | None, duty: Duty | None) -> bool:
    kind = "all together" if machine.switches is None else machine.switches.kind
    named = () if machine.switches is None else machine.switches.zones
    if duty is None or duty.zone != zone:
        return False
    if zone is None:
        return kind != "some zones"
    return kind == "each zone" or (kind == "some zones" and zone in named)


def _hours(machine: Machine, operation: Operation) -> Iterator[str]:
    """Give the duties that do not lie in one stretch of attended hours, those that touch joined.

    Hours are those of the clock, so an hour that it shows twice is attended twice or not at all.
    """
    if not machine.attended:
        return
    for duty in operation.duties:
        at, ends = duty.begins.at, duty.ends.at
        if ends < at and duty.ends.fold == duty.begins.fold:
            yield f"that duty {duty.id} ({duty.what}) ends before it begins"
            continue
        at, ends = min(at, ends), max(at, ends)  # the dial shows less at the end where the clocks went back
        while at < ends:
            until = _attended_until(machine, at)
            if until <= at:
                yield f"somebody there for duty {duty.id} ({duty.what}) on {duty.begins.at:%Y-%m-%d at %H:%M}"
                break
            at = until
        if at == duty.begins.at == duty.ends.at and _attended_until(machine, at) <= at:
            yield f"somebody there for duty {duty.id} ({duty.what}) on {at:%Y-%m-%d at %H:%M}"


def _rings_by_hand(programme: Programme, operation: Operation) -> Iterator[str]:
    """Give rings by hand that the programme does not allow, or whose duty is another."""
    duties = {duty.id: duty for duty in operation.duties if duty.do == "ring"}
    if duties and not programme.hand_rings:
        yield "that hand rings are allowed"
    for plan in operation.days:
        for ring in plan.by_hand:
            duty = duties.pop(ring.duty, None)
            at = datetime(plan.day.year, plan.day.month, plan.day.day) + timedelta(seconds=ring.time)
            if duty is None or (duty.begins.at, duty.ends.at, duty.zone) != (at, at, ring.zone):
                yield f"a duty to ring in zone {ring.zone} on {at:%Y-%m-%d at %H:%M}"
    for duty in duties.values():
        yield f"a ring by hand on the date of duty {duty.id} ({duty.what})"


def _attended_until(machine: Machine, at: datetime) -> datetime:
    found = at
    for back in (0, 1):
        day = at.date() - timedelta(days=back)
        for hours in machine.attended:
            midnight = datetime(day.year, day.month, day.day)
            since, until = (midnight + timedelta(seconds=s) for s in (hours.start, hours.end))
            if day.weekday() in hours.weekdays and since <= at < until:
                found = max(found, until)
    return found


def _clear_of_rings(programme: Programme, calendar: RingCalendar, operation: Operation) -> Iterator[str]:
    """Give the duties that leave less than a minute to a ring of their zones."""
    rings = sorted((zone_time.instant(programme.place, r.at, r.fold), r.zone) for r in calendar.rings)
    for duty in operation.duties:
        if duty.do == "ring":
            continue  # it spoils no ring, and is one
        begins, ends = (zone_time.instant(programme.place, m.at, m.fold) for m in (duty.begins, duty.ends))
        minute = timedelta(minutes=1)
        for at, zone in rings[bisect_left(rings, (begins - minute, "")) :]:
            if at >= ends + minute:
                break
            if at > begins - minute and duty.zone in (None, zone):
                yield f"a minute between duty {duty.id} ({duty.what}) and the ring of {zone} at {at:%Y-%m-%d}"
