"""The pipeline: the six stages in order, with a gate after the programme and one after the checks."""

from typing import NamedTuple

from chime.diagnostics import Diagnostic, is_error, order
from chime.parsing import ReadFile, parse
from chime.programme.build import build
from chime.programme.model import Programme
from chime.rings import ring
from chime.rings.model import RingCalendar


class Checked(NamedTuple):
    """A programme as far as it could be taken, and every fault in order of place.

    `programme` is None where its names and values have errors, `calendar` where its rings have.
    """

    programme: Programme | None
    calendar: RingCalendar | None
    diagnostics: tuple[Diagnostic, ...]


def check(file: str, content: bytes, read_file: ReadFile) -> Checked:
    """Take a programme's bytes through the first three stages."""
    parsed = parse(file, content, read_file)
    built = build(parsed.document, read_file)
    faults = (*parsed.diagnostics, *built.diagnostics)
    if is_error(faults):
        return Checked(None, None, order(faults))
    rung = ring(built.programme)
    faults = (*faults, *rung.diagnostics)
    calendar = None if is_error(faults) else rung.calendar
    return Checked(built.programme, calendar, order(faults))
