"""From dated rings to tapes and to all that is done with them."""

from collections.abc import Iterator
from datetime import date

from chime.clock import DAY, write_date
from chime.diagnostics import Diagnostic, is_error, order
from chime.programme.equipment import Machine
from chime.programme.model import Programme
from chime.records import NamedTuple
from chime.rings.model import RingCalendar
from chime.tape import ring_checks
from chime.tape.course import Course
from chime.tape.duties import Setting, write_operation
from chime.tape.duty_faults import nobody_to_silence
from chime.tape.earlier import NOTHING_EARLIER, Earlier
from chime.tape.gate import set_gate
from chime.tape.holes import Mark, gather, gather_at, kept_rings, mark, windows_of
from chime.tape.joint import NOTHING_AVOIDED, Avoided, avoid
from chime.tape.local_clock import date_of, local_seconds, midnight, to_local
from chime.tape.loop import Loop, first_of_window, keeps_phase, monday_of, read_loop
from chime.tape.machine_faults import loop_without_phase, tracks_too_few
from chime.tape.masks import is_masked, read_masks
from chime.tape.model import GateSetting, Operation, Tape, TapeSet, TermPlan, Wired
from chime.tape.operate import Operated, begin_course, operate
from chime.tape.selector import Choice, Selected, heard_in, marks_by_place, rank_of, select, tracks_needed
from chime.tape.serving import Weighed, kept_for, serve, weigh, without
from chime.tape.tracks import (
    Wiring,
    choose_positions,
    free_choice,
    in_any_position,
    rows_ahead_of,
    wire,
    wirings_of,
)
from chime.tape.unchecked import NOT_JUDGED


class LaidOut(NamedTuple):
    """The tapes, None where no machine is described or an error stands in the way, and what is wrong.

    `refused` are the windows that could run on no holes but their own, for nobody could silence the others.
    """

    tapes: TapeSet | None
    diagnostics: tuple[Diagnostic, ...]
    refused: frozenset[date] = frozenset()


class _Plan(NamedTuple):
    """What stands fast before the holes are known."""

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


def lay_out(programme: Programme, calendar: RingCalendar, earlier: Earlier = NOTHING_EARLIER) -> LaidOut:
    """Lay every ring out on tapes, each in the row that `geometry.row_of` counts (formula F1).

    A loop of a day or a part of it gets a tape for each distinct date, one of several days for each distinct
    run of the loop. Dates with the same holes share a tape. Nothing is rounded: a ring between two rows is an
    error. What this stage takes for granted is said in `TapeSet.unchecked`. `earlier` are the letters of
    tapes that were made before. The selector gets the first position with which all that goes.
    """
    machine = programme.machine
    if machine is None:
        return LaidOut(None, ())
    loop = read_loop(machine)
    if isinstance(loop, Diagnostic):
        return LaidOut(None, (loop,))
    if not keeps_phase(loop):
        assert machine.cycle is not None
        return LaidOut(None, (loop_without_phase(machine.cycle, loop.cycle_s),))
    ringing = {ring.zone for ring in calendar.rings}
    choice = _choice(programme, machine, calendar)
    if choice is not None and choice.free:
        return _with_moves(programme, machine, loop, calendar, earlier, choice)
    tried: list[LaidOut] = []
    for position in choose_positions(programme, machine, ringing) or (None,):
        plan, wrong = _prepare(
            programme, machine, loop, calendar, wire(programme, machine, ringing, position)
        )
        tried.append(_lay_out(programme, plan._replace(earlier=earlier), wrong))
        if tried[-1].tapes is not None:
            break
    still = next((each for each in tried if each.tapes is not None), tried[0])
    if choice is None:
        return still
    moved = _with_moves(programme, machine, loop, calendar, earlier, choice)
    if moved.tapes is None:
        return still
    if still.tapes is None or rank_of(machine, moved.tapes) < rank_of(machine, still.tapes):
        return moved
    return still


def _with_moves(
    programme: Programme,
    machine: Machine,
    loop: Loop,
    calendar: RingCalendar,
    earlier: Earlier,
    choice: Choice,
) -> LaidOut:
    """Lay the rings out with what the planner can choose: positions of the selector, or free tracks."""
    plan, wrong = _prepare_moves(programme, machine, loop, calendar, choice)
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
        plan = plan._replace(kept=kept_for(weighed, loop, own, selected.programmes))
        tapes, operated = _try_moves(plan, selected, course)
        if operated.diagnostics:
            return LaidOut(None, order([*wrong, *operated.diagnostics]))
        if not operated.unsilenced:
            plan = plan._replace(wiring=_settled(programme, machine, plan, selected))
            return _finish(plan, tapes, operated, Setting(selected.wirings, plan.gate), wrong, refused)
        more = _windows_with_kept(plan, operated).difference(refused)
        if not more:
            return LaidOut(None, order([*wrong, *_name_unsilenced(operated, plan)]))
        refused |= more


def _too_few(
    programme: Programme, machine: Machine, weighed: Weighed, choice: Choice
) -> Iterator[Diagnostic]:
    """Say how many free tracks would do; nothing where positions are wired already."""
    if choice.free:
        needed, all_zones = tracks_needed(machine, weighed, choice)
        zones = [zone for zone in programme.zones if zone.name in all_zones]
        yield tracks_too_few(machine, zones, needed, len(choice.free))


def _choice(programme: Programme, machine: Machine, calendar: RingCalendar) -> Choice | None:
    """Return what the planner can choose: positions that are wired, or tracks for zones that have none."""
    ringing = {ring.zone for ring in calendar.rings}
    wirings = wirings_of(programme, machine, ringing)
    if len(wirings) > 1:
        return Choice(wirings)
    wirings, free = free_choice(programme, machine, ringing)
    return Choice(wirings, free) if free else None


def _try_moves(plan: _Plan, selected: Selected, course: Course) -> tuple[tuple[Tape, ...], Operated]:
    machine = plan.machine
    windows = windows_of(plan.wanted, plan.kept)
    heard = heard_in(machine, selected.wirings)
    punched = marks_by_place(selected, windows, heard)
    offsets = {track: rows_ahead_of(machine, track) or 0 for each in punched for track, _ in each}
    tapes, turns = gather_at(
        plan.loop, machine, windows, selected.runs, punched, offsets, plan.earlier, plan.avoided
    )
    return tapes, operate(course, machine, tapes, turns, heard, monday_of(plan.anchor))


def _settled(programme: Programme, machine: Machine, plan: _Plan, selected: Selected) -> Wiring:
    """Return the tracks that were chosen, and say which of them nobody had named."""
    named = {zone.name for zone in programme.zones if zone.tracks is not None}
    said = [
        f"Zone {zone} names no track; {_where(wired.position, tracks)} was taken: wire it so."
        for wired in selected.wirings
        for zone, tracks in wired.zones
        if zone not in named and not machine.positions
    ]
    return in_any_position(programme, selected.wirings, (*plan.wiring.unchecked, *said))


def _where(position: int | None, tracks: tuple[int, ...]) -> str:
    listed = " and ".join(f"track {track}" for track in tracks)
    return listed if position is None else f"{listed} in position {position}"


def _lay_out(programme: Programme, plan: _Plan, wrong: list[Diagnostic]) -> LaidOut:
    if is_error(wrong):
        return LaidOut(None, order(wrong))
    if not plan.calendar.rings:
        nothing = Operation((_wired(plan),), plan.gate, (), ())
        return LaidOut(TapeSet((), (), _unchecked(plan), nothing, plan.earlier.letters), order(wrong))
    return _operate(programme, plan, wrong)


def weigh_options(programme: Programme, calendar: RingCalendar) -> TermPlan | None:
    """Weigh what a term costs on the machine as it stands, on a better one, and with edits of the timetable.

    None where no bell rings, or nothing can be laid out.
    """
    # Weighing the options takes libraries that checking a programme does without.
    from chime.tape.term_options import Term, plan_options, usable_tracks

    laid = lay_out(programme, calendar)
    machine, tapes = programme.machine, laid.tapes
    if machine is None or tapes is None or not calendar.rings:
        return None
    loop = read_loop(machine)
    assert not isinstance(loop, Diagnostic)
    operation = tapes.operation
    ringing = {ring.zone for ring in calendar.rings}
    choice = _choice(programme, machine, calendar)
    if choice is not None and (operation.is_moved or choice.free):
        plan, _ = _prepare_moves(programme, machine, loop, calendar, choice)
    else:
        number = operation.wirings[0].position
        position = next((each for each in machine.positions if each.number == number), None)
        plan, _ = _prepare(programme, machine, loop, calendar, wire(programme, machine, ringing, position))
    wired = [track for placed in plan.wiring.by_zone.values() for track in placed.tracks]
    windows = tuple(windows_of(plan.wanted, plan.kept))
    course = begin_course(programme, machine, calendar)
    term = Term(loop, machine, course, windows, plan.anchor, calendar, laid.refused, choice)
    return plan_options(term, usable_tracks(machine, wired), operation)


def _prepare_moves(
    programme: Programme, machine: Machine, loop: Loop, calendar: RingCalendar, choice: Choice
) -> tuple[_Plan, list[Diagnostic]]:
    ringing = {ring.zone for ring in calendar.rings}
    unplaced = [
        (zone.name, choice.free)
        for zone in programme.zones
        if choice.free and zone.tracks is None and zone.name in ringing
    ]
    wirings = (*choice.wirings, Wired(None, tuple(unplaced)))
    wiring = in_any_position(programme, wirings, _choices(programme, machine))
    return _prepare(programme, machine, loop, calendar, wiring, is_moved=True)


def _choices(programme: Programme, machine: Machine) -> tuple[str, ...]:
    """Say which of several tracks each zone was given."""
    return wire(programme, machine, (), None).unchecked


def _prepare(
    programme: Programme,
    machine: Machine,
    loop: Loop,
    calendar: RingCalendar,
    wiring: Wiring,
    *,
    is_moved: bool = False,
) -> tuple[_Plan, list[Diagnostic]]:
    ringing = {ring.signal for ring in calendar.rings}
    gate = set_gate(machine, [signal for signal in programme.signals if signal.name in ringing])
    anchor = _anchor(calendar)
    wanted = mark(loop, calendar.rings, anchor)
    kept = [
        each
        for each in mark(loop, kept_rings(calendar), anchor)
        if each.ring.zone in wiring.by_zone and not each.phase_s % loop.row_interval_s
    ]
    setting = gate if isinstance(gate, GateSetting) else None
    avoided = _avoided(programme, machine, loop, calendar, wiring)
    plan = _Plan(machine, calendar, loop, wiring, setting, anchor, tuple(wanted), tuple(kept), avoided)
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
    first, last = monday_of(_anchor(calendar)), calendar.rings[-1].at.date()
    return avoid(machine, loop, programme.place, first, last, ahead)


def _look_at_rings(plan: _Plan, programme: Programme, *, is_moved: bool) -> list[Diagnostic]:
    """Look at each ring; where the selector is moved, who shares a track is the planner's to settle."""
    masks = read_masks(plan.machine, [zone.name for zone in programme.zones])
    punched = [each.ring for each in (*plan.wanted, *plan.kept)]
    hearing = _hearing(plan)
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
        *ring_checks.silenced_rings(plan.machine, masks, plan.calendar.rings),
        *ring_checks.rings_again(plan.loop, plan.machine, masks, plan.wanted, plan.kept, heard_with),
    ]


def _operate(programme: Programme, plan: _Plan, wrong: list[Diagnostic]) -> LaidOut:
    """Lay the holes out; where a hand cannot silence the holes of other dates, choose again without them."""
    course = begin_course(programme, plan.machine, plan.calendar)
    own = windows_of(plan.wanted, plan.kept)
    weighed = weigh(plan.loop, plan.machine, course, own, midnight(monday_of(plan.anchor)))
    refused: set[date] = set()
    while True:
        kept = serve(plan.machine, without(weighed, own, refused), plan.loop, own)
        plan = plan._replace(kept=kept)
        tapes, operated = _try(plan, course)
        if operated.diagnostics or not operated.unsilenced:
            break
        more = _windows_with_kept(plan, operated).difference(refused)
        if not more:
            break
        refused |= more
    wrong = [*wrong, *operated.diagnostics, *_name_unsilenced(operated, plan)]
    if is_error(wrong):
        return LaidOut(None, order(wrong))
    return _finish(plan, tapes, operated, Setting((_wired(plan),), plan.gate), wrong, refused)


def _finish(
    plan: _Plan,
    tapes: tuple[Tape, ...],
    operated: Operated,
    setting: Setting,
    wrong: list[Diagnostic],
    refused: set[date],
) -> LaidOut:
    operation = write_operation(operated, plan.machine, plan.calendar, setting)
    made = {tape.id for tape in tapes}
    retired = tuple(pair for pair in plan.earlier.letters if pair[0] not in made)
    tape_on = tuple(sorted((day, tape.id) for tape in tapes for day in tape.dates))
    return LaidOut(
        TapeSet(tapes, tape_on, _unchecked(plan), operation, retired), order(wrong), frozenset(refused)
    )


def _try(plan: _Plan, course: Course) -> tuple[tuple[Tape, ...], Operated]:
    tracks = {zone: placed.tracks for zone, placed in plan.wiring.by_zone.items()}
    offsets = {track: rows_ahead_of(plan.machine, track) or 0 for some in tracks.values() for track in some}
    windows = windows_of(plan.wanted, plan.kept)
    position = plan.wiring.position
    tapes, turns = gather(
        plan.loop, plan.machine, windows, tracks, offsets, plan.earlier, plan.avoided, position
    )
    hearing = {position: _hearing(plan)}
    return tapes, operate(course, plan.machine, tapes, turns, hearing, monday_of(plan.anchor))


def _windows_with_kept(plan: _Plan, operated: Operated) -> set[date]:
    """Return the windows whose kept holes are among what nobody can silence."""
    clock = operated.course.clock
    kept = {(local_seconds(each.ring.at), each.ring.zone): each.first for each in plan.kept}
    lost = {(to_local(clock, instant), zone) for instant, zone in operated.unsilenced}
    return {first for place, first in kept.items() if place in lost}


def _name_unsilenced(operated: Operated, plan: _Plan) -> list[Diagnostic]:
    """Name what nobody can silence: once for want of a switch, once for want of a person."""
    wanted = operated.course.wanted.by_zone.values()
    rings = {instant for instants in wanted for instant in instants}
    found = []
    for by_switch in (False, True):
        sounds = [each for each in operated.unsilenced if (each[0] in rings) is by_switch]
        if sounds:
            day = date_of(to_local(operated.course.clock, sounds[0][0]))
            acting = [a for each in plan.calendar.days if each.day == day for a in each.acting]
            stopping = [a.span for a in acting if a.kind in ("replace", "silence", "drop")]
            found.append(
                nobody_to_silence(operated.course, plan.machine, sounds, stopping, by_switch=by_switch)
            )
    return found


def _hearing(plan: _Plan) -> dict[int, tuple[str, ...]]:
    contacts = plan.machine.contacts
    tied = contacts is None or contacts[0] == "tied"
    return ring_checks.hearing_of(dict(_wired(plan).zones), tied=tied)


def _wired(plan: _Plan) -> Wired:
    zones = tuple((zone, placed.tracks) for zone, placed in sorted(plan.wiring.by_zone.items()))
    return Wired(plan.wiring.position, zones)


def _anchor(calendar: RingCalendar) -> date:
    """Return the date from whose Monday the runs of a loop of several days are counted."""
    dates = [day.day for day in calendar.days[:1]] or [ring.at.date() for ring in calendar.rings[:1]]
    return min(dates, default=date.min)


def _unchecked(plan: _Plan) -> tuple[str, ...]:
    masks = read_masks(plan.machine, plan.wiring.by_zone)
    known = [ring for ring in plan.calendar.rings if ring.zone in masks.silenced]
    sure = [ring for ring in known if not is_masked(masks, ring.zone, local_seconds(ring.at))]
    return (*_assumptions(plan), *ring_checks.unsure_rings(masks, sure), *plan.wiring.unchecked, *NOT_JUDGED)


def _assumptions(plan: _Plan) -> list[str]:
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
