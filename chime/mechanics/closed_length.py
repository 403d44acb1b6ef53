"""How far the tape moves while a contact is closed over one hole (the table of closed lengths, F3 to F5).

A finger that drops in closes while its whole tip is inside the hole; a brush closes while any of it is over
the hole. The places of the tip's centre at which that is so are the hole shrunk by the tip, or grown by it.
The closed length at a lateral offset is the chord of that shape along the tape.
"""

from collections.abc import Callable, Mapping
from math import sqrt
from typing import Literal, TypeVar

from chime.records import NamedTuple

Mode = Literal["drops in", "brushes"]
HoleKind = Literal["round", "square slot", "rounded slot"]
TipKind = Literal["round", "rectangle"]


class HoleShape(NamedTuple):
    """A hole: `along_mm` and `across_mm` the tape; a round one has its diameter in both."""

    kind: HoleKind
    along_mm: float
    across_mm: float


class TipShape(NamedTuple):
    """The face of a finger: `along_mm` and `across_mm` the tape; a round one has its diameter in both."""

    kind: TipKind
    along_mm: float
    across_mm: float


_Shape = TypeVar("_Shape", HoleShape, TipShape)


class ClosedLengths(NamedTuple):
    """The closed lengths of one hole, in mm: the least and the greatest that can be, and the nominal."""

    least_mm: float
    nominal_mm: float
    greatest_mm: float


def round_tip(diameter_mm: float) -> TipShape:
    """Return the face of a round pin."""
    return TipShape("round", diameter_mm, diameter_mm)


def round_hole(diameter_mm: float) -> HoleShape:
    """Return a round hole."""
    return HoleShape("round", diameter_mm, diameter_mm)


def closed_length(hole: HoleShape, tip: TipShape, mode: Mode, lateral_mm: float) -> float:
    """Return how far the tape moves while the contact is closed, in mm; 0 if it never closes.

    `lateral_mm` is how far the tip's middle stands beside the hole's, to either side.
    """
    return max(0.0, _CLOSED[hole.kind, tip.kind, mode](hole, tip, abs(lateral_mm)))


def _chord(radius_mm: float, offset_mm: float) -> float:
    """Return the chord of a circle at an offset from its centre; -1 where there is none."""
    squared = radius_mm * radius_mm - offset_mm * offset_mm
    return 2 * sqrt(squared) if radius_mm >= 0 and squared >= 0 else -1.0


def _stadium_chord(along_mm: float, across_mm: float, grown_mm: float, offset_mm: float) -> float:
    """Return the chord along the tape of a round-ended slot whose ends are grown by a radius; -1 for none.

    A slot that is wider than long lies across: its ends are at the sides, and between them it is straight.
    """
    if along_mm >= across_mm:
        chord = _chord(across_mm / 2 + grown_mm, offset_mm)
        return -1.0 if chord < 0 else along_mm - across_mm + chord
    return _chord(along_mm / 2 + grown_mm, max(0.0, offset_mm - (across_mm - along_mm) / 2))


def round_hole_round_tip_drops_in(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return 2 sqrt((R - r)^2 - y^2)."""
    return _chord((hole.along_mm - tip.along_mm) / 2, lateral_mm)


def round_hole_round_tip_brushes(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return 2 sqrt((R + r)^2 - y^2)."""
    return _chord((hole.along_mm + tip.along_mm) / 2, lateral_mm)


def round_hole_rectangle_drops_in(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return 2 sqrt(R^2 - (|y| + w/2)^2) - l: the outer corners of the tip reach the rim first."""
    return _chord(hole.along_mm / 2, lateral_mm + tip.across_mm / 2) - tip.along_mm


def round_hole_rectangle_brushes(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return 2R + l while the middle of the hole is under the tip, else 2 sqrt(R^2 - (|y| - w/2)^2) + l."""
    chord = _chord(hole.along_mm / 2, max(0.0, lateral_mm - tip.across_mm / 2))
    return -1.0 if chord < 0 else chord + tip.along_mm


def square_slot_round_tip_drops_in(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return a - 2r while |y| <= b/2 - r, else 0."""
    return hole.along_mm - tip.along_mm if lateral_mm <= (hole.across_mm - tip.across_mm) / 2 else 0.0


def square_slot_round_tip_brushes(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return a + 2r while |y| <= b/2, else a + 2 sqrt(r^2 - (|y| - b/2)^2): a corner is touched."""
    chord = _chord(tip.along_mm / 2, max(0.0, lateral_mm - hole.across_mm / 2))
    return -1.0 if chord < 0 else hole.along_mm + chord


def square_slot_rectangle_drops_in(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return a - l while |y| <= (b - w)/2, else 0."""
    return hole.along_mm - tip.along_mm if lateral_mm <= (hole.across_mm - tip.across_mm) / 2 else 0.0


def square_slot_rectangle_brushes(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return a + l while |y| < (b + w)/2, else 0."""
    return hole.along_mm + tip.along_mm if lateral_mm < (hole.across_mm + tip.across_mm) / 2 else 0.0


def rounded_slot_round_tip_drops_in(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return (a - b) + 2 sqrt((b/2 - r)^2 - y^2).

    For a slot that lies across it is 2 sqrt((a/2 - r)^2 - (|y| - (b - a)/2)^2).
    """
    return _stadium_chord(hole.along_mm, hole.across_mm, -tip.along_mm / 2, lateral_mm)


def rounded_slot_round_tip_brushes(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return (a - b) + 2 sqrt((b/2 + r)^2 - y^2).

    For a slot that lies across it is 2 sqrt((a/2 + r)^2 - (|y| - (b - a)/2)^2).
    """
    return _stadium_chord(hole.along_mm, hole.across_mm, tip.along_mm / 2, lateral_mm)


def rounded_slot_rectangle_drops_in(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return (a - b) + 2 sqrt((b/2)^2 - (|y| + w/2)^2) - l, and likewise for a slot that lies across."""
    offset = lateral_mm + tip.across_mm / 2
    return _stadium_chord(hole.along_mm, hole.across_mm, 0.0, offset) - tip.along_mm


def rounded_slot_rectangle_brushes(hole: HoleShape, tip: TipShape, lateral_mm: float) -> float:
    """Return (a - b) + 2 sqrt((b/2)^2 - max(0, |y| - w/2)^2) + l, and likewise across."""
    chord = _stadium_chord(hole.along_mm, hole.across_mm, 0.0, max(0.0, lateral_mm - tip.across_mm / 2))
    return -1.0 if chord < 0 else chord + tip.along_mm


_CLOSED: Mapping[tuple[HoleKind, TipKind, Mode], Callable[[HoleShape, TipShape, float], float]] = {
    ("round", "round", "drops in"): round_hole_round_tip_drops_in,
    ("round", "round", "brushes"): round_hole_round_tip_brushes,
    ("round", "rectangle", "drops in"): round_hole_rectangle_drops_in,
    ("round", "rectangle", "brushes"): round_hole_rectangle_brushes,
    ("square slot", "round", "drops in"): square_slot_round_tip_drops_in,
    ("square slot", "round", "brushes"): square_slot_round_tip_brushes,
    ("square slot", "rectangle", "drops in"): square_slot_rectangle_drops_in,
    ("square slot", "rectangle", "brushes"): square_slot_rectangle_brushes,
    ("rounded slot", "round", "drops in"): rounded_slot_round_tip_drops_in,
    ("rounded slot", "round", "brushes"): rounded_slot_round_tip_brushes,
    ("rounded slot", "rectangle", "drops in"): rounded_slot_rectangle_drops_in,
    ("rounded slot", "rectangle", "brushes"): rounded_slot_rectangle_brushes,
}


def ball_radius(ball_radius_mm: float, closing_depth_mm: float) -> float:
    """F3: return the radius of the flat round tip that a ball behaves as, sqrt(h (2 rho - h)), in mm.

    The ball closes its contact when it has sunk by the closing depth h below the tape's upper face. From h =
    rho on its whole width must be inside the hole.
    """
    depth = min(closing_depth_mm, ball_radius_mm)
    return sqrt(depth * (2 * ball_radius_mm - depth))


def closed_beside(closed_mm: float, lateral_mm: float) -> float:
    """F4: return the closed length of a round hole under a round tip beside its middle: sqrt(c0^2 - 4 y^2).

    `closed_mm` is that in the middle. It is the same for a finger that drops in and for a brush.
    """
    squared = closed_mm * closed_mm - 4 * lateral_mm * lateral_mm
    return sqrt(squared) if squared > 0 else 0.0


def lateral_left(closed_mm: float, required_mm: float) -> float:
    """F4 turned round: return how far beside its middle a round hole still has a required closed length.

    -1 if it has not even in the middle.
    """
    squared = closed_mm * closed_mm - required_mm * required_mm
    return sqrt(squared) / 2 if squared >= 0 else -1.0


def closed_lengths(
    hole: HoleShape,
    hole_within_mm: float,
    tip: TipShape,
    tip_within_mm: float,
    mode: Mode,
    lateral_mm: float,
    wear_mm: float = 0.0,
) -> ClosedLengths:
    """F5: return the closed lengths between which every hole lies, and that of a nominal hole in its middle.

    The least is that of the smallest hole at the greatest lateral offset, under the largest tip that drops in
    or the smallest brush; the greatest that of the largest hole in its middle, by as much larger as it wears.
    """
    sign = 1.0 if mode == "drops in" else -1.0
    smallest = _resized(hole, -hole_within_mm)
    largest = _resized(hole, hole_within_mm + wear_mm)
    return ClosedLengths(
        closed_length(smallest, _resized(tip, sign * tip_within_mm), mode, lateral_mm),
        closed_length(hole, tip, mode, 0.0),
        closed_length(largest, _resized(tip, -sign * tip_within_mm), mode, 0.0),
    )


def _resized(shape: _Shape, by_mm: float) -> _Shape:
    return shape._replace(
        along_mm=max(0.0, shape.along_mm + by_mm), across_mm=max(0.0, shape.across_mm + by_mm)
    )


def least_diameter(
    required_mm: float, tip_diameter_mm: float, tip_within_mm: float, mode: Mode, lateral_mm: float
) -> float:
    """F5 turned round: return the least diameter of a round hole for a required closed length, in mm.

    The tip is round. 2 (r_max + sqrt((c/2)^2 + Y^2)) for one that drops in, 2 (sqrt(..) - r_min) for a brush;
    it is a nominal diameter less its tolerance.
    """
    reach = sqrt(required_mm * required_mm / 4 + lateral_mm * lateral_mm)
    if mode == "drops in":
        return 2 * reach + tip_diameter_mm + tip_within_mm
    return 2 * reach - (tip_diameter_mm - tip_within_mm)
