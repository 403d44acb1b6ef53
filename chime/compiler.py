"""The pipeline: the six stages in order, with a gate after the programme and one after the checks.

text -> parsing -> programme -> rings -> tape -> verify -> writers -> files
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from chime.diagnostics import Diagnostic, is_error, order
from chime.file_access import ReadFile
from chime.parsing import parse
from chime.programme.build import build
from chime.programme.model import Programme
from chime.rings import ring

if TYPE_CHECKING:  # `check` starts without the later stages
    from chime.parsing.tree import Document
    from chime.programme.doubts import Doubt
    from chime.rings.day_model import PlainDay
    from chime.rings.model import RingCalendar
    from chime.verify.model import Verified
    from chime.writers.model import Artefact


class Checked(NamedTuple):
    """A programme as far as it could be taken, and every fault in order of place.

    `programme` is None where its names and values have errors, `calendar` where its rings have.
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
    """The files of a compile, none where there is an error, and every fault in order of place."""

    verified: Verified | None
    artefacts: tuple[Artefact, ...]
    diagnostics: tuple[Diagnostic, ...]


def check(file: str, content: bytes, read_file: ReadFile) -> Checked:
    """Take a programme's bytes through the first three stages."""
    parsed = parse(file, content, read_file)
    built = build(parsed.document, read_file)
    faults = (*parsed.diagnostics, *built.diagnostics)
    if is_error(faults):
        return Checked(None, None, order((*faults, *_settled(parsed.document, built.programme, faults))))
    rung = ring(built.programme)
    faults = (*faults, *rung.diagnostics)
    calendar = None if is_error(faults) else rung.calendar
    return Checked(built.programme, calendar, order(faults))


def _settled(
    document: Document, programme: Programme, faults: tuple[Diagnostic, ...]
) -> tuple[Diagnostic, ...]:
    """Return the faults of what is certain although names or values have errors: one run shows all.

    Errors of the machine leave every ring alone, others the timetables that they do not touch.
    """
    from chime.programme.doubts import doubts, leave_rings_alone
    from chime.rings.timetables import work_out

    if leave_rings_alone(document, faults):
        return ring(programme).diagnostics
    doubtful = {doubt.timetable for doubt in doubts(document, programme, faults)}
    return work_out(programme, doubtful)[1]


def times(file: str, content: bytes, read_file: ReadFile) -> Drafted:
    """Lay every timetable open as a day without a date, also while other parts have errors."""
    from chime.programme.doubts import doubts
    from chime.rings.plain_days import plain_days
    from chime.rings.timetables import work_out

    parsed = parse(file, content, read_file)
    built = build(parsed.document, read_file)
    read = (*parsed.diagnostics, *built.diagnostics)
    doubtful = doubts(parsed.document, built.programme, read)
    shapes, faults = work_out(built.programme, {doubt.timetable for doubt in doubtful})
    if not is_error(read):
        faults = ring(built.programme).diagnostics
    days = plain_days(built.programme, shapes)
    return Drafted(built.programme, days, doubtful, order((*read, *faults)))


def lay_open(file: str, content: bytes, read_file: ReadFile) -> Proven:
    """Take a programme's bytes through every stage but the writers, and give what they found."""
    from chime.tape.lay_out import lay_out
    from chime.verify import verify

    checked = check(file, content, read_file)
    if checked.programme is None or checked.calendar is None:
        return Proven(None, checked.diagnostics)
    laid_out = lay_out(checked.programme, checked.calendar)
    proven = verify(checked.programme, checked.calendar, laid_out.tapes)
    faults = order((*checked.diagnostics, *laid_out.diagnostics, *proven.diagnostics))
    return Proven(None if is_error(faults) else proven.verified, faults)


def compile_programme(
    file: str, content: bytes, read_file: ReadFile, *, strict: bool = False, paper: str = "a4"
) -> Compiled:
    """Take a programme's bytes through all six stages; with `strict` a warning stops it too."""
    from chime.writers.registry import write_all

    proven = lay_open(file, content, read_file)
    if proven.verified is None or (strict and proven.diagnostics):
        return Compiled(None, (), proven.diagnostics)
    artefacts = write_all(proven.verified, paper=paper)  # type: ignore[arg-type]
    return Compiled(proven.verified, artefacts, proven.diagnostics)
