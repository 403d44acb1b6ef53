"""The test tape of a machine: the form to fill in, and the readings that come back in it.

The form is a table that any spreadsheet opens: test holes of three sizes, on each track and beside it, with
room for the places at which the contact makes and breaks. Lines that begin with # are for people.
"""

import csv
import re

from chime.mechanics.calibration import Reading
from chime.programme.equipment import Machine
from chime.records import NamedTuple

COLUMNS = ("track", "hole_mm", "beside_mm", "makes_mm", "breaks_mm")
_NUMBER = re.compile(r"[-+]?\d{1,4}([.,]\d{1,4})?")

_SMALLEST_MM, _LARGEST_MM = 0.3, 15.0
"""Holes that somebody can punch into a tape (common practice, no published source)."""

_USUAL_MM, _SIZES_MM, _BESIDE_MM = 1.80, (-0.30, 0.0, 0.30), (-0.25, 0.0, 0.25)


class Readings(NamedTuple):
    """What was read, and what is wrong with the table, each with its line."""

    readings: tuple[Reading, ...]
    wrong: tuple[str, ...]


def write_form(machine: Machine) -> str:
    """Write the form for the tracks of a machine that are in use."""
    hole = machine.hole
    middle = _USUAL_MM if hole is None or hole.along is None else hole.along.amount / 1e6
    broken = {track for track, _ in machine.out_of_use}
    tracks = [n for n in range(1, max(1, len(machine.tracks)) + 1) if n not in broken]
    lines = [
        f"# test tape of machine {machine.name}",
        "# Bells off and their supply switched off; a meter on the contact of each track.",
        "# Punch round holes of these sizes, far apart along the tape, so far beside the track: + is away",
        "# from the guided edge. Turn the tape slowly by hand and write where it makes and where it breaks.",
        ",".join(COLUMNS),
    ]
    for track in tracks:
        for size in _SIZES_MM:
            lines += [f"{track},{middle + size:.2f},{beside:+.2f},," for beside in _BESIDE_MM]
    return "\n".join(lines) + "\n"


def read_form(text: str, machine: Machine) -> Readings:
    """Read a form that was filled in for a machine; a line without its two places is passed over."""
    rows = list(enumerate(text.lstrip("\ufeff").splitlines(), start=1))
    said = [(n, row) for n, row in rows if row.strip() and not row.lstrip().startswith("#")]
    mark = ";" if said and ";" in said[0][1] else ","
    if not said or _cells(said[0][1], mark) != list(COLUMNS):
        return Readings((), (f"line {said[0][0] if said else 1}: the columns are {', '.join(COLUMNS)}",))
    found: list[Reading] = []
    wrong: list[str] = []
    for number, row in said[1:]:
        cells = _cells(row, mark)
        if len(cells) == len(COLUMNS) and not (cells[3] or cells[4]):
            continue
        read = _read_row(cells, machine)
        if isinstance(read, str):
            wrong.append(f"line {number}: {read}")
        else:
            found.append(read)
    return Readings(tuple(found), tuple(wrong))


def _cells(row: str, mark: str) -> list[str]:
    return [cell.strip() for cell in next(csv.reader([row], delimiter=mark))]


def _read_row(cells: list[str], machine: Machine) -> Reading | str:
    if len(cells) != len(COLUMNS):
        return f"there are {len(COLUMNS)} columns, not {len(cells)}"
    for name, cell in zip(COLUMNS, cells, strict=True):
        if not _NUMBER.fullmatch(cell):
            return f'{name} is a number, not "{cell}"'
    track, hole, beside, makes, breaks = (float(cell.replace(",", ".")) for cell in cells)
    if track < 1 or track != int(track):
        return "a track is a whole number from 1 on"
    cannot_be = _refuse_hole(int(track), hole, beside, machine)
    if cannot_be:
        return cannot_be
    if breaks <= makes:
        return f"the contact breaks at {breaks:g} mm, which is not after it makes at {makes:g} mm"
    if breaks - makes > 3 * hole:
        return f"a hole of {hole:g} mm cannot keep a contact closed over {breaks - makes:.2f} mm"
    return Reading(int(track), hole, beside, breaks - makes)


def _refuse_hole(track: int, hole: float, beside: float, machine: Machine) -> str:
    """Say why there is no such test hole on the tape of a machine; empty if there may be one."""
    tracks = len(machine.tracks)
    if tracks and track > tracks:
        return f"machine {machine.name} has {tracks} tracks, and none with number {track}"
    if hole <= 0:
        return "a hole is larger than nothing"
    if hole < _SMALLEST_MM:
        return f"a hole of {hole:g} mm is smaller than any punch makes; all lengths are in mm"
    if hole > _LARGEST_MM:
        return f"a hole of {hole:g} mm is larger than any that is punched into a tape"
    if abs(beside) >= hole:
        return f"a hole of {hole:g} mm stands {abs(beside):g} mm beside its track: no finger reads it"
    return ""
