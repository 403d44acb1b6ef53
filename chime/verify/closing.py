"""What the checks of the machine share: how long a contact is closed, and how far a hole may rest off.

Each function that reads values has a companion that names them.
"""

from chime.mechanics import budget
from chime.mechanics.budget import Budget
from chime.mechanics.closed_length import (
    ClosedLengths,
    HoleShape,
    Mode,
    TipShape,
    ball_radius,
    closed_lengths,
    round_hole,
    round_tip,
)
from chime.records import NamedTuple
from chime.verify.machine_sheet import ANGLE, Sheet

_CLOSED_BY = ("tolerance of the holes", "side play", "error across the tape", "wear")


def hole_needs(sheet: Sheet) -> tuple[str, ...]:
    """Name the values that give the holes their shape, but for their tolerance."""
    if sheet.word("shape of the holes") == "slot":
        return "shape of the holes", "length of the holes", "width of the holes", "ends of the holes"
    return "shape of the holes", "length of the holes"


def read_hole(sheet: Sheet) -> HoleShape:
    """Return the nominal hole."""
    along = sheet.amount("length of the holes")
    if sheet.word("shape of the holes") == "round":
        return round_hole(along)
    kind = sheet.word("ends of the holes")
    across = sheet.amount("width of the holes")
    return HoleShape("square slot" if kind == "square" else "rounded slot", along, across)


class DriveHole(NamedTuple):
    """A drive hole at its largest, and how far it may lie from its place across the tape, in mm."""

    largest: HoleShape
    off_mm: float


def drive_hole_needs(sheet: Sheet) -> tuple[str, ...]:
    """Name the values that say where the drive holes are, and how large."""
    width = () if sheet.lacks("width of the drive holes") else ("width of the drive holes",)
    size = ("size of the drive holes", *width, "tolerance of the drive holes")
    return ("how the tape is held", *size, "place of the drive holes", "tolerance of the drive holes' place")


def read_drive_hole(sheet: Sheet) -> DriveHole:
    """Return the largest drive hole: round, or a slot where the machine says how wide it is."""
    within, along = sheet.amount("tolerance of the drive holes"), sheet.amount("size of the drive holes")
    off = sheet.amount("tolerance of the drive holes' place")
    if sheet.lacks("width of the drive holes"):
        return DriveHole(round_hole(along + within), off)
    across = sheet.amount("width of the drive holes")
    return DriveHole(HoleShape("square slot", along + within, across + within), off)


def tip_needs(sheet: Sheet) -> tuple[str, ...]:
    """Name the values that say what a finger's tip is like: the measured allowance, or else its face."""
    if not sheet.lacks("reading allowance"):
        return "reading allowance", "tolerance of the reading allowance"
    names = ["how the fingers read", "shape of the tips", "length of the tips", "tolerance of the tips"]
    shape = sheet.word("shape of the tips")
    if shape == "rectangle":
        names.append("width of the tips")
    if shape == "ball":
        names.append("closing depth")
    return tuple(names)


def read_mode(sheet: Sheet) -> Mode:
    """Return how the fingers read; an allowance below nothing is that of a brush."""
    if not sheet.lacks("reading allowance"):
        return "brushes" if sheet.amount("reading allowance") < 0 else "drops in"
    return "brushes" if sheet.word("how the fingers read") == "brushes" else "drops in"


def read_tip(sheet: Sheet) -> tuple[TipShape, float]:
    """Return the nominal tip and its tolerance, in mm.

    A measured allowance e is that of a round tip of the diameter |e|: it gives c = D - e in the middle of a
    round hole, and beside it what F4 says. A ball is the round tip that it behaves as (F3).
    """
    if not sheet.lacks("reading allowance"):
        allowance = sheet.amount("reading allowance")
        return round_tip(abs(allowance)), sheet.amount("tolerance of the reading allowance")
    along, within = sheet.amount("length of the tips"), sheet.amount("tolerance of the tips")
    shape = sheet.word("shape of the tips")
    if shape == "rectangle":
        return TipShape("rectangle", along, sheet.amount("width of the tips")), within
    if shape == "ball":
        depth = sheet.amount("closing depth")
        sizes = [2 * ball_radius((along + by) / 2, depth) for by in (-within, 0.0, within)]
        return round_tip(sizes[1]), max(sizes[2] - sizes[1], sizes[1] - sizes[0])
    return round_tip(along), within


def closing_needs(sheet: Sheet) -> tuple[str, ...]:
    """Name the values that `read_closed_lengths` rests on."""
    return (*hole_needs(sheet), *tip_needs(sheet), *_CLOSED_BY)


def read_lateral(sheet: Sheet) -> float:
    """Return how far a tip may stand beside the middle of its hole: side play and the error across, in mm."""
    return sheet.amount("side play") + sheet.amount("error across the tape")


def read_closed_lengths(sheet: Sheet) -> ClosedLengths:
    """Return the closed lengths between which all holes lie (F5)."""
    tip, tip_within = read_tip(sheet)
    return closed_lengths(
        read_hole(sheet),
        sheet.amount("tolerance of the holes"),
        tip,
        tip_within,
        read_mode(sheet),
        read_lateral(sheet),
        sheet.amount("wear"),
    )


_ERRORS = tuple(f"error of the {name}" for name in ("jig", "registration", "print", "index", "seam", "wheel"))


def error_needs(sheet: Sheet, tracks: list[int]) -> tuple[str, ...]:
    """Name the values of the position budget of some tracks."""
    names = [
        *_ERRORS,
        "error of the skew",
        "stretch of the tape",
        "length that is stretched",
        "kind of drive",
    ]
    if sheet.word("kind of drive") == "steps":
        names.append("error of the detent")
    if sheet.word("error of the skew") == ANGLE:
        names += [f"place of track {track}" for track in tracks]
    return tuple(names)


def _error_terms(sheet: Sheet, track: int) -> dict[str, float]:
    terms = {name: sheet.amount(name) for name in _ERRORS}
    if sheet.word("kind of drive") == "steps":
        terms["error of the detent"] = sheet.amount("error of the detent")
    terms["stretch of the tape"] = budget.stretch_error(
        sheet.amount("stretch of the tape"), sheet.amount("length that is stretched")
    )
    skew = sheet.amount("error of the skew")
    if sheet.word("error of the skew") == ANGLE:
        skew = budget.skew_error(skew, sheet.amount(f"place of track {track}"))
    terms["error of the skew"] = skew
    return terms


def read_error(sheet: Sheet, track: int) -> Budget:
    """Return the position error along the tape of the holes of a track (F19)."""
    return budget.sum_up(_error_terms(sheet, track).values())


def main_error(sheet: Sheet, track: int, allowed_mm: float) -> str:
    """Name the largest error of a track if all others together are allowed; empty if they are not."""
    terms = _error_terms(sheet, track)
    name = max(terms, key=lambda each: abs(terms[each]))
    return name if read_error(sheet, track).worst_mm - abs(terms[name]) <= allowed_mm else ""


def worst_track(sheet: Sheet, tracks: list[int]) -> int:
    """Return the track whose holes may rest farthest off, of equal ones the first."""
    return max(tracks, key=lambda track: (read_error(sheet, track).worst_mm, -track))
