"""Tapes that are laid out, with all that is done with them, or why that cannot be."""

from datetime import date

from chime.diagnostics import Diagnostic, order
from chime.records import NamedTuple
from chime.tape.duties import Setting, write_operation
from chime.tape.duty_faults import nobody_to_silence
from chime.tape.local_clock import date_of, local_seconds, to_local
from chime.tape.model import Tape, TapeSet
from chime.tape.operate import Operated
from chime.tape.prepare import Prepared, say_unchecked


class LaidOut(NamedTuple):
    """The tapes, None where no machine is described or an error stands in the way, and what is wrong.

    `refused` are the windows that could run on no holes but their own, for nobody could silence the others.
    """

    tapes: TapeSet | None
    diagnostics: tuple[Diagnostic, ...]
    refused: frozenset[date] = frozenset()


def finish(
    plan: Prepared,
    tapes: tuple[Tape, ...],
    operated: Operated,
    setting: Setting,
    wrong: list[Diagnostic],
    refused: set[date],
) -> LaidOut:
    """Put everything together; a letter of an earlier tape that is not made any more is retired."""
    operation = write_operation(operated, plan.machine, plan.calendar, setting)
    made = {tape.id for tape in tapes}
    retired = tuple(pair for pair in plan.earlier.letters if pair[0] not in made)
    tape_on = tuple(sorted((day, tape.id) for tape in tapes for day in tape.dates))
    return LaidOut(
        TapeSet(tapes, tape_on, say_unchecked(plan), operation, retired, plan.wiring.decided),
        order(wrong),
        frozenset(refused),
    )


def windows_with_kept(plan: Prepared, operated: Operated) -> set[date]:
    """Return the windows whose kept holes are among what nobody can silence."""
    clock = operated.course.clock
    kept = {(local_seconds(each.ring.at), each.ring.zone): each.first for each in plan.kept}
    lost = {(to_local(clock, instant), zone) for instant, zone in operated.unsilenced}
    return {first for place, first in kept.items() if place in lost}


def name_unsilenced(operated: Operated, plan: Prepared) -> list[Diagnostic]:
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
