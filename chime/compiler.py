"""The pipeline: the six stages in order, with a gate after the programme and one after the checks.

text -> parsing -> programme -> rings -> tape -> verify -> writers -> files
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from chime.diagnostics import Diagnostic, is_error, order
from chime.file_access import ReadFile
from chime.parsing import parse
from chime.programme.build import build
from chime.programme.model import SURE, Programme, Unsure
from chime.records import NamedTuple
from chime.rings import ring

if TYPE_CHECKING:  # `check` starts without the later stages
    from datetime import date

    from chime.parsing.tree import Document
    from chime.programme.doubts import Doubt
    from chime.programme.equipment import Machine
    from chime.rings.day_model import PlainDay
    from chime.rings.model import RingCalendar
    from chime.tape.lost_track import LostTrack
    from chime.tape.model import TermPlan
    from chime.verify.model import MachineSheet, Verified
    from chime.writers.model import Artefact, ChartChoice


class Checked(NamedTuple):
    """A programme as far as it could be taken, and every fault in order of place.

    `programme` is None where its names and values have errors, `calendar` where anything has.
    """

    programme: Programme | None
    calendar: RingCalendar | None
    diagnostics: tuple[Diagnostic, ...]


class Drafted(NamedTuple):
    """The timetables laid open, what may be incomplete in them, and every fault in order of place."""

    programme: Programme
    days: tuple[PlainDay, ...]
    doubts: tuple[Doubt, ...]
    diagnostics: tuple[Diagnostic, ...]


class Proven(NamedTuple):
    """What may be written, None where there is an error, and every fault in order of place."""

    verified: Verified | None
    diagnostics: tuple[Diagnostic, ...]


class Compiled(NamedTuple):
    """The files of a compile, none where there is an error, and every fault in order of place.

    `refused` says in words why a part of the chart that was asked for does not exist: then there are no
    files either.
    """

    verified: Verified | None
    artefacts: tuple[Artefact, ...]
    diagnostics: tuple[Diagnostic, ...]
    refused: str | None = None


def check(file: str, content: bytes, read_file: ReadFile) -> Checked:
    """Take a programme's bytes through the first three stages."""
    parsed = parse(file, content, read_file)
    built = build(parsed.document, read_file)
    faults = (*parsed.diagnostics, *built.diagnostics)
    if is_error(faults):
        rung = ring(built.programme, _unsure(parsed.document, built.programme, faults))
        return Checked(None, None, order((*faults, *rung.diagnostics)))
    rung = ring(built.programme)
    faults = (*faults, *rung.diagnostics)
    calendar = None if is_error(faults) else rung.calendar
    return Checked(built.programme, calendar, order(faults))


def _unsure(document: Document, programme: Programme, faults: tuple[Diagnostic, ...]) -> Unsure:
    """Return what is not certain while names or values have errors, so that one run shows all the rest."""
    from chime.programme.unsure import find_unsure

    return find_unsure(document, programme, faults)


def times(file: str, content: bytes, read_file: ReadFile) -> Drafted:
    """Lay every timetable open as a day without a date, also while other parts have errors."""
    from chime.programme.doubts import doubts
    from chime.programme.places import Places
    from chime.rings.plain_days import plain_days
    from chime.rings.timetables import work_out

    parsed = parse(file, content, read_file)
    built = build(parsed.document, read_file)
    read = (*parsed.diagnostics, *built.diagnostics)
    unsure = _unsure(parsed.document, built.programme, read) if is_error(read) else SURE
    doubtful = doubts(parsed.document, built.programme, Places(parsed.document, read))
    programme = _certain_weeks(built.programme, unsure)
    days = plain_days(programme, work_out(programme, unsure).shapes)
    return Drafted(programme, days, doubtful, order((*read, *ring(built.programme, unsure).diagnostics)))


def _certain_weeks(programme: Programme, unsure: Unsure) -> Programme:
    """Leave out the weeks and cycles of which it is not known what each day runs."""
    open_weeks, open_cycles = ({name for name, _ in days} for days in (unsure.weekdays, unsure.cycle_days))
    return programme._replace(
        weeks=tuple(week for week in programme.weeks if week.name not in open_weeks),
        cycles=tuple(cycle for cycle in programme.cycles if cycle.name not in open_cycles),
    )


def check_with_machine(file: str, content: bytes, read_file: ReadFile) -> Checked:
    """Check a programme and, where nothing else is wrong, hold its rings against the machine's rows."""
    checked = check(file, content, read_file)
    if checked.programme is None or checked.calendar is None or checked.programme.machine is None:
        return checked
    laid_open = _hold_against_machine(checked.programme, checked.calendar)
    return checked._replace(diagnostics=order((*checked.diagnostics, *laid_open.diagnostics)))


def _hold_against_machine(
    programme: Programme, calendar: RingCalendar, plan: bytes | None = None, *, list_only: bool = False
) -> Proven:
    """Lay the rings out and run every check; gives the faults of these two stages alone.

    With `list_only` a machine that will not read true is warned of, and no more.
    """
    from chime.tape.earlier import read_earlier
    from chime.tape.lay_out import lay_out
    from chime.verify import verify

    laid_out = lay_out(programme, calendar, read_earlier(plan))
    proven = verify(programme, calendar, laid_out.tapes)
    faults = (*laid_out.diagnostics, *proven.diagnostics)
    if list_only:
        faults = tuple(_as_warning(fault) for fault in faults)
    return Proven(None if is_error(faults) else proven.verified, faults)


def _as_warning(fault: Diagnostic) -> Diagnostic:
    from chime.verify.machine_faults import FAILURES

    return fault._replace(severity_override="warning") if fault.code in FAILURES else fault


def lay_open(
    file: str, content: bytes, read_file: ReadFile, plan: bytes | None = None, *, list_only: bool = False
) -> Proven:
    """Take a programme's bytes through every stage but the writers, and give what they found.

    What the chart will not be able to print is found too. `plan` is an earlier `plan.json` whose tapes keep
    their letters. With `list_only` a machine that will not read true is warned of, and no more.
    """
    from chime.writers.chart_letters import find_lacking

    checked = check(file, content, read_file)
    if checked.programme is None or checked.calendar is None:
        return Proven(None, checked.diagnostics)
    held = _hold_against_machine(checked.programme, checked.calendar, plan, list_only=list_only)
    lacking = find_lacking(held.verified) if held.verified is not None else []
    return Proven(held.verified, order((*checked.diagnostics, *held.diagnostics, *lacking)))


class Planned(NamedTuple):
    """What a term costs in several ways, None where nothing can be laid out, and every fault."""

    verified: Verified | None
    term: TermPlan | None
    diagnostics: tuple[Diagnostic, ...]


def plan(file: str, content: bytes, read_file: ReadFile) -> Planned:
    """Weigh what a programme's term costs on its machine as it stands, and in other ways."""
    from chime.tape.lay_out import weigh_options

    proven = lay_open(file, content, read_file)
    verified = proven.verified
    if verified is None or verified.tapes is None:
        return Planned(verified, None, proven.diagnostics)
    term = weigh_options(verified.programme, verified.calendar)
    return Planned(verified, term, proven.diagnostics)


class ClosedDay(NamedTuple):
    """A programme as it is and with one more date closed, None where one of them has an error; all faults.

    `line` is what was added below the programme.
    """

    line: str
    before: Verified | None
    after: Verified | None
    diagnostics: tuple[Diagnostic, ...]


def close_day(file: str, content: bytes, read_file: ReadFile, day: date, reason: str) -> ClosedDay:
    """Lay a programme out as it is, and with a date closed; tapes with the same holes keep their letters."""
    from chime.writers import plan_file

    line = f'{day.isoformat()}  silent  "{reason}"'
    before = lay_open(file, content, read_file)
    if before.verified is None:
        return ClosedDay(line, None, None, before.diagnostics)
    letters = plan_file.write(before.verified, (), ()).content if before.verified.tapes is not None else None
    changed = content.rstrip() + f"\n\nexceptions\n  {line}\n".encode()
    after = lay_open(file, changed, read_file, letters)
    return ClosedDay(line, before.verified, after.verified, after.diagnostics)


class WithoutTrack(NamedTuple):
    """A programme as it is laid out, what becomes of it without a track (None with an error), all faults."""

    verified: Verified | None
    lost: LostTrack | None
    diagnostics: tuple[Diagnostic, ...]


def lose_track(file: str, content: bytes, read_file: ReadFile, track: int) -> WithoutTrack:
    """Say what can be done if a track of the machine no longer reads."""
    from chime.tape import lost_track

    proven = lay_open(file, content, read_file)
    verified = proven.verified
    if verified is None or verified.tapes is None or verified.programme.machine is None:
        return WithoutTrack(verified, None, proven.diagnostics)
    programme, machine = verified.programme, verified.programme.machine
    found = lost_track.lose_track(programme, machine, verified.calendar, verified.tapes.operation, track)
    return WithoutTrack(verified, found, proven.diagnostics)


class Surveyed(NamedTuple):
    """A machine by itself with its sheet, None where none is described, and the faults of its file."""

    machine: Machine | None
    sheet: MachineSheet | None
    diagnostics: tuple[Diagnostic, ...]


def read_machine(file: str, content: bytes, read_file: ReadFile) -> Surveyed:
    """Judge the machine of a programme by itself, or one that stands in a file without a programme."""
    from chime.programme.alone import faults_of_machine
    from chime.verify.machine_verdicts import describe_machine

    parsed = parse(file, content, read_file)
    built = build(parsed.document, read_file)
    faults = order((*parsed.diagnostics, *faults_of_machine(parsed.document, built.diagnostics)))
    machine = built.programme.machine
    if machine is None or is_error(faults):
        return Surveyed(None, None, faults)
    return Surveyed(machine, describe_machine(machine, built.programme.signals), faults)


def compile_programme(
    file: str,
    content: bytes,
    read_file: ReadFile,
    *,
    strict: bool = False,
    chart: ChartChoice | None = None,
    plan: bytes | None = None,
) -> Compiled:
    """Take a programme's bytes through all six stages; with `strict` a warning stops it too.

    `plan` is an earlier `plan.json`: tapes with the same holes keep their letters.
    """
    from chime.writers.chart_choice import refuse_choice
    from chime.writers.registry import write_all

    proven = lay_open(file, content, read_file, plan, list_only=chart is not None and chart.list_only)
    if proven.verified is None or (strict and proven.diagnostics):
        return Compiled(None, (), proven.diagnostics)
    refused = refuse_choice(chart, proven.verified) if chart is not None else None
    if refused is not None:
        return Compiled(None, (), proven.diagnostics, refused)
    return Compiled(proven.verified, write_all(proven.verified, chart), proven.diagnostics)
