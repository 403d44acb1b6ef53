"""From dated rings to tapes and to all that is done with them."""

from datetime import date

from chime.diagnostics import Diagnostic, is_error, order
from chime.programme.model import Programme
from chime.rings.model import RingCalendar
from chime.tape.by_choice import lay_out_by_choice, prepare_choice, read_choice
from chime.tape.course import Course
from chime.tape.duties import Setting
from chime.tape.earlier import NOTHING_EARLIER, Earlier
from chime.tape.hand_rings import to_punch, with_hand_rings
from chime.tape.holes import gather, windows_of
from chime.tape.laid_out import LaidOut, finish, name_unsilenced, windows_with_kept
from chime.tape.local_clock import midnight
from chime.tape.loop import keeps_phase, monday_of, read_loop
from chime.tape.machine_faults import loop_without_phase
from chime.tape.model import Operation, Tape, TapeSet, TermPlan
from chime.tape.operate import Operated, begin_course, operate
from chime.tape.prepare import Prepared, hearing_of_plan, prepare, say_unchecked, wired_of
from chime.tape.selector import rank_of
from chime.tape.serving import serve, weigh, without
from chime.tape.tracks import (
    choose_positions,
    rows_ahead_of,
    wire,
)


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
    choice = read_choice(programme, machine, calendar)
    if choice is not None and choice.free:
        return lay_out_by_choice(programme, machine, loop, calendar, earlier, choice)
    tried: list[LaidOut] = []
    for position in choose_positions(programme, machine, ringing) or (None,):
        plan, wrong = prepare(programme, machine, loop, calendar, wire(programme, machine, ringing, position))
        tried.append(_lay_out(programme, plan._replace(earlier=earlier), wrong))
        if tried[-1].tapes is not None:
            break
    still = next((each for each in tried if each.tapes is not None), tried[0])
    if choice is None:
        return still
    moved = lay_out_by_choice(programme, machine, loop, calendar, earlier, choice)
    if moved.tapes is None:
        return still
    if still.tapes is None or rank_of(machine, moved.tapes) < rank_of(machine, still.tapes):
        return moved
    return still


def _lay_out(programme: Programme, plan: Prepared, wrong: list[Diagnostic]) -> LaidOut:
    if is_error(wrong):
        return LaidOut(None, order(wrong))
    if not plan.calendar.rings:
        nothing = Operation((wired_of(plan),), plan.gate, (), ())
        return LaidOut(TapeSet((), (), say_unchecked(plan), nothing, plan.earlier.letters), order(wrong))
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
    choice = read_choice(programme, machine, calendar)
    if choice is not None and (operation.is_moved or choice.free):
        plan, _ = prepare_choice(programme, machine, loop, calendar, choice)
    else:
        number = operation.wirings[0].position
        position = next((each for each in machine.positions if each.number == number), None)
        plan, _ = prepare(programme, machine, loop, calendar, wire(programme, machine, ringing, position))
    wired = [track for placed in plan.wiring.by_zone.values() for track in placed.tracks]
    windows = tuple(windows_of(plan.wanted, plan.kept))
    course = begin_course(programme, machine, calendar)
    term = Term(loop, machine, course, windows, plan.anchor, calendar, laid.refused, choice)
    return plan_options(term, usable_tracks(machine, wired), operation)


def _operate(programme: Programme, plan: Prepared, wrong: list[Diagnostic]) -> LaidOut:
    """Lay the holes out; where a hand cannot silence the holes of other dates, choose again without them."""
    course = begin_course(programme, plan.machine, plan.calendar)
    own = windows_of(plan.wanted, plan.kept)
    weighed = weigh(plan.loop, plan.machine, course, own, midnight(monday_of(plan.anchor)))
    refused: set[date] = set()
    while True:
        served = serve(plan.machine, without(weighed, own, refused), plan.loop, own)
        plan = plan._replace(kept=served.kept, rung=served.rung)
        tapes, operated = _try(plan, course)
        if operated.diagnostics or not operated.unsilenced:
            break
        more = windows_with_kept(plan, operated).difference(refused)
        if not more:
            break
        refused |= more
    wrong = [*wrong, *operated.diagnostics, *name_unsilenced(operated, plan)]
    if is_error(wrong):
        return LaidOut(None, order(wrong))
    return finish(plan, tapes, operated, Setting((wired_of(plan),), plan.gate), wrong, refused)


def _try(plan: Prepared, course: Course) -> tuple[tuple[Tape, ...], Operated]:
    tracks = {zone: placed.tracks for zone, placed in plan.wiring.by_zone.items()}
    offsets = {track: rows_ahead_of(plan.machine, track) or 0 for some in tracks.values() for track in some}
    windows = [w for w in to_punch(windows_of(plan.wanted, plan.kept), plan.rung) if w.wanted]
    position = plan.wiring.position
    tapes, turns = gather(
        plan.loop, plan.machine, windows, tracks, offsets, plan.earlier, plan.avoided, position
    )
    hearing = {position: hearing_of_plan(plan)}
    course = with_hand_rings(course, plan.by_hand())
    return tapes, operate(course, plan.machine, tapes, turns, hearing, monday_of(plan.anchor))
