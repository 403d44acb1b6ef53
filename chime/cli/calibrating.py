"""The test tape of a machine: the form to fill in, and what the readings say of its fingers.

The form is a table that any spreadsheet opens: test holes of three sizes, on each track and beside it, with
room for the places at which the contact makes and breaks. Lines that begin with # are for people.
"""

import csv
import re
from collections.abc import Iterator

from chime.mechanics.calibration import Calibrated, Reading, calibrate, side_play, slope_of_sizes
from chime.programme.equipment import Machine
from chime.records import NamedTuple

COLUMNS = ("track", "hole_mm", "beside_mm", "makes_mm", "breaks_mm")
_NUMBER = re.compile(r"[-+]?\d{1,4}([.,]\d{1,4})?")

_LEAST_READINGS = 4
_MOST_OFF_MM = 0.10
"""A fit that leaves more is none: a calliper reads a twentieth (common practice, no published source)."""

_ROUND_SLOPE = (0.75, 1.25)
"""Between these a closed length grows with the hole as it does under a round tip."""

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


def read_form(text: str) -> Readings:
    """Read a form that was filled in; a line without its two places is passed over."""
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
        read = _read_row(cells)
        if isinstance(read, str):
            wrong.append(f"line {number}: {read}")
        else:
            found.append(read)
    return Readings(tuple(found), tuple(wrong))


def _cells(row: str, mark: str) -> list[str]:
    return [cell.strip() for cell in next(csv.reader([row], delimiter=mark))]


def _read_row(cells: list[str]) -> Reading | str:
    if len(cells) != len(COLUMNS):
        return f"there are {len(COLUMNS)} columns, not {len(cells)}"
    for name, cell in zip(COLUMNS, cells, strict=True):
        if not _NUMBER.fullmatch(cell):
            return f'{name} is a number, not "{cell}"'
    track, hole, beside, makes, breaks = (float(cell.replace(",", ".")) for cell in cells)
    if track < 1 or track != int(track):
        return "a track is a whole number from 1 on"
    if hole <= 0:
        return "a hole is larger than nothing"
    if breaks <= makes:
        return f"the contact breaks at {breaks:g} mm, which is not after it makes at {makes:g} mm"
    if breaks - makes > 3 * hole:
        return f"a hole of {hole:g} mm cannot keep a contact closed over {breaks - makes:.2f} mm"
    return Reading(int(track), hole, beside, breaks - makes)


def judge_readings(readings: tuple[Reading, ...]) -> str | None:
    """Say in words why nothing can be fitted to readings; None if it can."""
    if len(readings) < _LEAST_READINGS:
        return f"{len(readings)} readings are too few: at least {_LEAST_READINGS} are needed"
    if len({reading.hole_mm for reading in readings}) < 2:
        return "all holes have one size: holes of two sizes at least tell a tip from a hole"
    if not any(r.beside_mm > 0 for r in readings) or not any(r.beside_mm < 0 for r in readings):
        return "holes on both sides of a track are needed to tell where its finger stands"
    slope = slope_of_sizes(readings)
    if slope is not None and not _ROUND_SLOPE[0] <= slope <= _ROUND_SLOPE[1]:
        return (
            f"a hole 0.10 mm larger closes {slope / 10:.2f} mm longer, and under a round tip it is 0.10 mm: "
            "the tip is not round, or the tape moved. Measure the tip and write its shape on the finger line"
        )
    found = calibrate(readings)
    if found.within_mm() > _MOST_OFF_MM:
        place = max(range(len(readings)), key=lambda n: abs(found.residuals_mm[n]))
        worst = readings[place]
        return (
            f"the readings do not agree: that of the hole of {worst.hole_mm:g} mm at {worst.beside_mm:+g} mm "
            f"on track {worst.track} is {found.residuals_mm[place]:+.2f} mm off what all say. Read it again"
        )
    return None


def write_fit(readings: tuple[Reading, ...]) -> str:
    """Write what was fitted, what is left over of each reading, and the lines for the machine's block."""
    found = calibrate(readings)
    lines = [f"{len(readings)} readings; measured less fitted closed length, in mm:"]
    lines += [
        f"  track {r.track}  hole {r.hole_mm:.2f}  beside {r.beside_mm:+.2f}  closed {r.closed_mm:.3f}  "
        f"{left:+.3f}"
        for r, left in zip(readings, found.residuals_mm, strict=True)
    ]
    lines += ["", *_fingers(found), "", "lines for the machine's block:"]
    within = max(0.01, -(-round(found.within_mm() * 1000) // 10) / 100)
    lines += [f"  allowance  {found.allowance_mm:.2f} mm within {within:.2f} mm"]
    lines += [f"  side play  {-(-round(side_play(readings, found) * 1000) // 10) / 100:.2f} mm"]
    return "\n".join(lines) + "\n"


def _fingers(found: Calibrated) -> Iterator[str]:
    how = "brush: it touches" if found.allowance_mm < 0 else "finger that drops in: it closes"
    sign = "farther than" if found.allowance_mm < 0 else "shorter than"
    yield f"a {how} {abs(found.allowance_mm):.3f} mm {sign} the hole"
    for track, beside in found.beside_mm.items():
        side = "away from" if beside > 0 else "towards"
        yield f"the finger of track {track} stands {abs(beside):.3f} mm {side} the guided edge"
