"""What stands fast before the holes of a programme are known, and what is wrong with its rings by then."""

from datetime import date

from chime.clock import DAY, write_date
from chime.diagnostics import Diagnostic
from chime.programme.equipment import Machine
from chime.programme.model import Programme
from chime.records import NamedTuple
from chime.rings.model import RingCalendar
from chime.tape import ring_checks
from chime.tape.earlier import NOTHING_EARLIER, Earlier
from chime.tape.gate import set_gate
from chime.tape.hand_rings import silenced_by_machine
from chime.tape.holes import Mark, kept_rings, mark
from chime.tape.joint import NOTHING_AVOIDED, Avoided, avoid
from chime.tape.local_clock import local_seconds
from chime.tape.loop import Loop, first_of_window, monday_of
from chime.tape.masks import is_masked, read_masks
from chime.tape.model import GateSetting, Wired
from chime.tape.tracks import (
    Wiring,
    rows_ahead_of,
)


class Prepared(NamedTuple):
    """What stands fast before the holes are known.

    `wanted` are the rings that may be punched; `forced` those that only a hand can give, `rung` those of
    `wanted` that it gives instead of a tape, and `kept` what is punched and silenced.
    """

    machine: Machine
    calendar: RingCalendar
    loop: Loop
    wiring: Wiring
    gate: GateSetting | None
    anchor: date
    wanted: tuple[Mark, ...]
    kept: tuple[Mark, ...]
    avoided: Avoided
    earlier: Earlier = NOTHING_EARLIER
    forced: tuple[Mark, ...] = ()
    rung: tuple[Mark, ...] = ()

    def by_hand(self) -> tuple[Mark, ...]:
        """Return the rings that a hand gives."""
        return (*self.forced, *self.rung)


def prepare(
    programme: Programme,
    machine: Machine,
    loop: Loop,
    calendar: RingCalendar,
    wiring: Wiring,
    *,
    is_moved: bool = False,
) -> tuple[Prepared, list[Diagnostic]]:
    """Find when each ring is on its tape, how the gate is set, and what is wrong with the rings.

    With `is_moved` it is still open which zones share a track.
    """
    ringing = {ring.signal for ring in calendar.rings}
    gate = set_gate(machine, [signal for signal in programme.signals if signal.name in ringing])
    anchor = anchor_of(calendar)
    all_marks = mark(loop, calendar.rings, anchor)
    forced = silenced_by_machine(programme, machine, calendar, all_marks)
    by_hand = set(forced)
    wanted = [each for each in all_marks if each not in by_hand] if by_hand else all_marks
    kept = [
        each
        for each in mark(loop, kept_rings(calendar), anchor)
        if each.ring.zone in wiring.by_zone and not each.phase_s % loop.row_interval_s
    ]
    setting = gate if isinstance(gate, GateSetting) else None
    avoided = _avoided(programme, machine, loop, calendar, wiring)
    plan = Prepared(machine, calendar, loop, wiring, setting, anchor, tuple(wanted), tuple(kept), avoided)
    plan = plan._replace(forced=forced)
    wrong = [
        *wiring.diagnostics,
        *(gate if isinstance(gate, list) else ()),
        *_look_at_rings(plan, programme, is_moved=is_moved),
    ]
    return plan, wrong


def _avoided(
    programme: Programme, machine: Machine, loop: Loop, calendar: RingCalendar, wiring: Wiring
) -> Avoided:
    """Return what a joint keeps away from; nothing where there is no ring, and so no tape."""
    if not calendar.rings:
        return NOTHING_AVOIDED
    ahead = {
        rows_ahead_of(machine, track) or 0 for wired in wiring.by_zone.values() for track in wired.tracks
    }
    first, last = monday_of(anchor_of(calendar)), calendar.rings[-1].at.date()
    return avoid(machine, loop, programme.place, first, last, ahead)


def _look_at_rings(plan: Prepared, programme: Programme, *, is_moved: bool) -> list[Diagnostic]:
    """Look at each ring; where the selector is moved, who shares a track is the planner's to settle."""
    masks = read_masks(plan.machine, [zone.name for zone in programme.zones])
    punched = [each.ring for each in (*plan.wanted, *plan.kept)]
    hearing = hearing_of_plan(plan)
    together = {
        zone: sorted({name for track in placed.tracks for name in hearing[track]})
        for zone, placed in plan.wiring.by_zone.items()
    }
    shared = [] if is_moved else ring_checks.shared_tracks(plan.wiring, punched)

    def heard_with(zone: str) -> tuple[str, ...]:
        # Where zones share a track that they must not share, what one makes the other ring is said already.
        return (
            tuple(together.get(zone, ())) if not (shared or is_moved) else (zone,) if zone in together else ()
        )

    return [
        *ring_checks.rings_between_rows(plan.loop, plan.wanted),
        *shared,
        *ring_checks.silenced_rings(
            plan.machine, masks, [each.ring for each in plan.wanted], may_ring=programme.hand_rings
        ),
        *ring_checks.rings_again(plan.loop, plan.machine, masks, plan.wanted, plan.kept, heard_with),
    ]


def hearing_of_plan(plan: Prepared) -> dict[int, tuple[str, ...]]:
    """Return the zones that hear each track."""
    contacts = plan.machine.contacts
    tied = contacts is None or contacts[0] == "tied"
    return ring_checks.hearing_of(dict(wired_of(plan).zones), tied=tied)


def wired_of(plan: Prepared) -> Wired:
    """Return the tracks of each zone and the position in which they are wired."""
    zones = tuple((zone, placed.tracks) for zone, placed in sorted(plan.wiring.by_zone.items()))
    return Wired(plan.wiring.position, zones)


def anchor_of(calendar: RingCalendar) -> date:
    """Return the date from whose Monday the runs of a loop of several days are counted."""
    dates = [day.day for day in calendar.days[:1]] or [ring.at.date() for ring in calendar.rings[:1]]
    return min(dates, default=date.min)


def say_unchecked(plan: Prepared) -> tuple[str, ...]:
    """Say in words what was taken for granted and what was not judged."""
    masks = read_masks(plan.machine, plan.wiring.by_zone)
    known = [ring for ring in plan.calendar.rings if ring.zone in masks.silenced]
    sure = [ring for ring in known if not is_masked(masks, ring.zone, local_seconds(ring.at))]
    return (*_assumptions(plan), *ring_checks.unsure_rings(masks, sure))


def _assumptions(plan: Prepared) -> list[str]:
    tracks = sorted({track for placed in plan.wiring.by_zone.values() for track in placed.tracks})
    said = [
        f"How many rows ahead track {track} is read was not given; 0 was taken. A hole may stand rows away "
        "from where it must be."
        for track in tracks
        if rows_ahead_of(plan.machine, track) is None
    ]
    if plan.loop.cycle_s > DAY and plan.loop.cycle_s != 7 * DAY and plan.calendar.rings:
        since = write_date(first_of_window(plan.loop, plan.anchor, plan.anchor))
        said.append(
            f"The loop lasts {plan.loop.cycle_s // DAY} days; its first day was counted from {since}."
        )
    if not plan.machine.attended:
        said.append(
            "When somebody is at the machine was not given; duties were laid out as if somebody always were."
        )
    if plan.machine.gate is not None and plan.gate is None:
        said.append("Whether the gate gives each ring its length: how long it is closed was not given.")
    return said
