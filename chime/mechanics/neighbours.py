"""Whether a finger reads the hole of another track, or is caught by it (F30).

`apart_mm` is the distance from the finger's middle to the row of other holes, `lateral_mm` how far the finger
may stand beside its own.
"""

from math import sqrt

from chime.mechanics.closed_length import HoleShape, TipShape


def clear_of_neighbour(hole: HoleShape, tip: TipShape, apart_mm: float, lateral_mm: float) -> float:
    """F30: return what is left between a tip and another track's hole, in mm: q - Y - (R + r).

    Below nothing a brush reads it and a finger that drops in is caught by its rim. A slot counts with half
    its width, a rectangular tip with half of its own.
    """
    return apart_mm - lateral_mm - (hole.across_mm + tip.across_mm) / 2


def drops_into_neighbour(hole: HoleShape, tip: TipShape, apart_mm: float, lateral_mm: float) -> float:
    """F30: return what is left until a finger would drop into a hole of another track, in mm.

    q - Y - (R - r) for a round hole, for a rectangular tip q - Y - (sqrt(R^2 - l^2/4) - w/2), for a slot
    q - Y - (b - w)/2. A tip that is larger than the hole never does: it has the whole distance.
    """
    reach = (hole.across_mm - tip.across_mm) / 2
    if hole.kind == "round" and tip.kind == "rectangle":
        squared = hole.along_mm**2 / 4 - tip.along_mm**2 / 4
        reach = sqrt(squared) - tip.across_mm / 2 if squared >= 0 else -1.0
    if reach < 0 or tip.along_mm > hole.along_mm:
        return apart_mm - lateral_mm
    return apart_mm - lateral_mm - reach


def widest_brush(hole: HoleShape, apart_mm: float, lateral_mm: float) -> float:
    """F30 turned round: return half the width of the widest brush that does not reach: q - Y - R."""
    return apart_mm - lateral_mm - hole.across_mm / 2
