"""What is left of the tape between holes (F27 to F29)."""

from math import hypot


def web_along(rows_apart: int, pitch_mm: float, longest_mm: float, placing_mm: float) -> float:
    """F27: return the least web between two holes of a track, in mm: j p - D - e.

    `placing_mm` is by how much nearer they may come: twice the jig's error at one setting of the jig, and for
    holes punched at two settings the jig's error and that of registration, each twice.
    """
    return rows_apart * pitch_mm - longest_mm - placing_mm


def placing_error(jig_mm: float, registration_mm: float, *, same_setting: bool) -> float:
    """Return by how much two holes may come too near: 2 e_j, set anew between them 2 (e_j + e_r)."""
    return 2 * (jig_mm if same_setting else jig_mm + registration_mm)


def web_between_round(
    along_mm: float, across_mm: float, diameter_mm: float, other_diameter_mm: float
) -> float:
    """F27: return the web between two round holes so far apart: sqrt(dx^2 + dy^2) - (D + D') / 2."""
    return hypot(along_mm, across_mm) - (diameter_mm + other_diameter_mm) / 2


def web_to_edge(place_mm: float, tape_mm: float, across_mm: float, error_mm: float) -> float:
    """Return the web between a hole and the nearer edge, which takes the place of F27's other hole.

    `place_mm` is from the guided edge to the hole's middle, `across_mm` its width, `error_mm` how far it may
    lie off across the tape.
    """
    return min(place_mm, tape_mm - place_mm) - across_mm / 2 - error_mm


def longest_hole(pitch_mm: float, web_mm: float, placing_mm: float) -> float:
    """F28: return the longest hole, with its tolerance, that leaves a web in rows that follow each other."""
    return pitch_mm - web_mm - placing_mm


def usual_web(diameter_mm: float) -> float:
    """Return the least web for paper: max(0.5 mm, 0.3 D). Common practice, no published source."""
    return max(0.5, 0.3 * diameter_mm)


def tension(force_n: float, thickness_mm: float, width_mm: float, holes_mm: float) -> float:
    """F29: return the tension in what a row of holes leaves of the tape, in N a square millimetre.

    `holes_mm` is the width of all holes of the row together.
    """
    return force_n / (thickness_mm * (width_mm - holes_mm))
