"""How the rows of a sheet are told apart: which stand out, and how large their labels are."""

from collections.abc import Iterator
from typing import Literal

from chime.records import NamedTuple
from chime.tape.geometry import write_mm
from chime.tape.model import Tape
from chime.writers.chart_lettering import HALF_DIGIT, PER_MILLE, baseline
from chime.writers.chart_sheets import STRIP_TOP_NM, Piece, Shape, heavy_steps

Weight = Literal["plain", "bold", "heavy"]
"""How a row is drawn: `bold` each 5 minutes, `heavy` each 15; with long rows, at other round times."""

WEIGHTS: tuple[Weight, ...] = ("plain", "bold", "heavy")
_TALLEST: dict[Weight, int] = {"plain": 2_600_000, "bold": 3_000_000, "heavy": 3_400_000}
_SMALLEST_LABELLED_PITCH_NM = 1_900_000
_SMALLEST_BOLD_NM = 2_750_000
"""Of this size digits are 2 mm high: the least that is read at arm's length in a poor light."""


class LabelStyle(NamedTuple):
    """The size of a label, zero where there is none, and how far its base line is above a plain one's."""

    size: str
    raised: str


class RowLabels(NamedTuple):
    """How rows are labelled: the distance of their base lines, and where that of the first row lies."""

    pitch: str
    first: str
    plain: LabelStyle
    bold: LabelStyle
    heavy: LabelStyle


def weigh_rows(tape: Tape, piece: Piece) -> Iterator[tuple[int, Weight]]:
    """Yield each row of a piece and how it is drawn."""
    bold_s, heavy_s = heavy_steps(tape.row_interval_s)
    for row in range(piece.first_row, piece.last_row + 1):
        at = row * tape.row_interval_s
        yield row, "heavy" if at % heavy_s == 0 else "bold" if at % bold_s == 0 else "plain"


def style_labels(tape: Tape, shape: Shape) -> RowLabels:
    """Return how the rows of every sheet are labelled: the middle of the digits in the middle of the row."""
    sizes = _label_sizes(tape, shape)
    bases = {weight: baseline(0, sizes[weight]) for weight in WEIGHTS}
    plain, bold, heavy = (
        LabelStyle(write_mm(sizes[weight]), write_mm(bases["plain"] - bases[weight])) for weight in WEIGHTS
    )
    first = STRIP_TOP_NM + shape.pitch_nm // 2 + bases["plain"]
    return RowLabels(write_mm(shape.pitch_nm), write_mm(first), plain, bold, heavy)


def _label_sizes(tape: Tape, shape: Shape) -> dict[Weight, int]:
    """Return sizes that leave white between the labels, and that are no larger than is of use.

    Digits are about three quarters as high as the size says, so about a third of a row stays white between
    plain labels, and a fifth beside one that stands out. A label that would be too small is left out.
    """
    bold_step, heavy_step = (
        max(1, seconds // tape.row_interval_s) * shape.pitch_nm * 94 // 100
        for seconds in heavy_steps(tape.row_interval_s)
    )
    plain, together = 0, _TALLEST["heavy"]
    if shape.pitch_nm >= _SMALLEST_LABELLED_PITCH_NM:
        # The halves of two labels share four fifths of a row.
        together = shape.pitch_nm * 81 * PER_MILLE // 100 // HALF_DIGIT
        plain = min(shape.pitch_nm * 86 // 100, _TALLEST["plain"], together - _SMALLEST_BOLD_NM)
    bold, heavy = min(bold_step, together - plain), min(heavy_step, together - plain)
    return {
        "plain": plain,
        "bold": min(bold, _TALLEST["bold"]) if bold >= _SMALLEST_BOLD_NM else 0,
        "heavy": min(heavy, _TALLEST["heavy"]),
    }
