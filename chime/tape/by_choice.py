"""Tapes where the planner has more to choose than dates: positions of the selector, and free tracks."""

from collections.abc import Iterator
from datetime import date

from chime.diagnostics import Diagnostic, is_error, order
from chime.programme.equipment import Machine
from chime.programme.model import Programme
from chime.rings.model import RingCalendar
from chime.tape.course import Course
from chime.tape.duties import Setting
from chime.tape.earlier import Earlier
from chime.tape.hand_rings import to_punch, with_hand_rings
from chime.tape.holes import gather_at, windows_of
from chime.tape.laid_out import LaidOut, finish, name_unsilenced, windows_with_kept
from chime.tape.local_clock import midnight
from chime.tape.loop import Loop, monday_of
from chime.tape.machine_faults import tracks_too_few
from chime.tape.model import Tape, Wired
from chime.tape.operate import Operated, begin_course, operate
from chime.tape.prepare import Prepared, prepare
from chime.tape.selector import Choice, Selected, heard_in, marks_by_place, select, tracks_needed
from chime.tape.serving import Weighed, served_by, weigh, without
from chime.tape.tracks import (
    Wiring,
    free_choice,
    in_any_position,
    on_both,
    rows_ahead_of,
    wire,
    wirings_of,
)


def lay_out_by_choice(
    programme: Programme,
    machine: Machine,
    loop: Loop,
    calendar: RingCalendar,
    earlier: Earlier,
    choice: Choice,
) -> LaidOut:
    """Lay the rings out with what the planner can choose: positions of the selector, or free tracks."""
    plan, wrong = prepare_choice(programme, machine, loop, calendar, choice)
    plan = plan._replace(earlier=earlier)
    if is_error(wrong):
        return LaidOut(None, order(wrong))
    course = begin_course(programme, machine, calendar)
    own = windows_of(plan.wanted, plan.kept)
    weighed = weigh(loop, machine, course, own, midnight(monday_of(plan.anchor)))
    refused: set[date] = set()
    while True:
        selected = select(machine, without(weighed, own, refused), choice)
        if selected is None:
            return LaidOut(None, order([*wrong, *_too_few(programme, machine, weighed, choice)]))
        served = served_by(weighed, loop, own, selected.programmes)
        plan = plan._replace(kept=served.kept, rung=served.rung)
        tapes, operated = _try_moves(plan, selected, course)
        if operated.diagnostics:
            return LaidOut(None, order([*wrong, *operated.diagnostics]))
        if not operated.unsilenced:
            plan = plan._replace(wiring=_settled(programme, machine, plan, selected))
            return finish(plan, tapes, operated, Setting(selected.wirings, plan.gate), wrong, refused)
        more = windows_with_kept(plan, operated).difference(refused)
        if not more:
            return LaidOut(None, order([*wrong, *name_unsilenced(operated, plan)]))
        refused |= more


def _too_few(
    programme: Programme, machine: Machine, weighed: Weighed, choice: Choice
) -> Iterator[Diagnostic]:
    """Say how many free tracks would do; nothing where positions are wired already."""
    if choice.free:
        needed, all_zones = tracks_needed(machine, weighed, choice)
        zones = [zone for zone in programme.zones if zone.name in all_zones]
        yield tracks_too_few(machine, zones, needed, len(choice.free))


def read_choice(programme: Programme, machine: Machine, calendar: RingCalendar) -> Choice | None:
    """Return what the planner can choose: positions that are wired, or tracks for zones that have none."""
    ringing = {ring.zone for ring in calendar.rings}
    wirings = wirings_of(programme, machine, ringing)
    if len(wirings) > 1:
        return Choice(wirings, (), on_both(programme))
    wirings, free = free_choice(programme, machine, ringing)
    return Choice(wirings, free, on_both(programme)) if free else None


def _try_moves(plan: Prepared, selected: Selected, course: Course) -> tuple[tuple[Tape, ...], Operated]:
    machine = plan.machine
    every = zip(to_punch(windows_of(plan.wanted, plan.kept), plan.rung), selected.runs, strict=True)
    punching = [(window, run) for window, run in every if window.wanted]
    windows, runs = [window for window, _ in punching], tuple(run for _, run in punching)
    selected = selected._replace(runs=runs)
    heard = heard_in(machine, selected.wirings)
    punched = marks_by_place(selected, windows, heard)
    offsets = {track: rows_ahead_of(machine, track) or 0 for each in punched for track, _ in each}
    tapes, turns = gather_at(
        plan.loop, machine, windows, selected.runs, punched, offsets, plan.earlier, plan.avoided
    )
    course = with_hand_rings(course, plan.by_hand())
    return tapes, operate(course, machine, tapes, turns, heard, monday_of(plan.anchor))


def _settled(programme: Programme, machine: Machine, plan: Prepared, selected: Selected) -> Wiring:
    """Return the tracks that were chosen, and say which of them nobody had named."""
    named = {zone.name for zone in programme.zones if zone.tracks is not None}
    chosen = {
        zone: tracks
        for wired in selected.wirings
        for zone, tracks in wired.zones
        if zone not in named and not machine.positions
    }
    said = [
        f"Zone {zone} names no track; {' and '.join(f'track {n}' for n in tracks)} was taken: wire it so."
        for zone, tracks in sorted(chosen.items())
    ]
    if chosen and selected.wirings[0].position is not None:
        listed = " and ".join(sorted(chosen))
        said = [f"What names no track, {listed}, was given tracks in each position: wire the selector so."]
    return in_any_position(programme, selected.wirings, (*plan.wiring.decided, *said))


def prepare_choice(
    programme: Programme, machine: Machine, loop: Loop, calendar: RingCalendar, choice: Choice
) -> tuple[Prepared, list[Diagnostic]]:
    """Prepare a plan in which each zone is on every track that it could come to be on."""
    ringing = {ring.zone for ring in calendar.rings}
    unplaced = [
        (zone.name, choice.free)
        for zone in programme.zones
        if choice.free and zone.tracks is None and zone.name in ringing
    ]
    wirings = (*choice.wirings, Wired(None, tuple(unplaced)))
    wiring = in_any_position(programme, wirings, _choices(programme, machine))
    return prepare(programme, machine, loop, calendar, wiring, is_moved=True)


def _choices(programme: Programme, machine: Machine) -> tuple[str, ...]:
    """Say which of several tracks each zone was given."""
    return wire(programme, machine, (), None).decided
