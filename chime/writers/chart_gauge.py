"""A gauge to lay a punched tape on, where its rows are a tenth of an inch apart.

Six holes an inch apart: five as large as a code hole, 0.072 in, and the last of 0.086 in. With the first hole
of the tape on the first, its hole fifty rows on lies wholly inside the last as long as the pitch adds up to
no more than 0.007 in (0.178 mm) too much or too little over five inches (a practice for adjusting telegraph
punches, section 573-118-100 issue 8, paragraph 2.33).
"""

from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.tape.geometry import write_mm

TENTH_OF_AN_INCH_NM = 2_540_000
INCH_NM = 25_400_000
CODE_HOLE_NM = 1_828_800
LAST_HOLE_NM = 2_184_400
HOLES = 6

_LEFT_NM = 5_000_000
_MIDDLE_NM = 4_000_000


class Gauge(NamedTuple):
    """The gauge as an SVG drawing of its own, and its size in mm."""

    width: str
    height: str
    drawing: str


def draw_gauge(machine: Machine, drawn: Machine) -> Gauge | None:
    """Draw the gauge as large as the sheets are drawn; None where the rows have another pitch."""
    if machine.pitch is None or drawn.pitch is None or machine.pitch.amount != TENTH_OF_AN_INCH_NM:
        return None

    def scaled(length_nm: int) -> int:
        assert drawn.pitch is not None
        return round(length_nm * drawn.pitch.amount / TENTH_OF_AN_INCH_NM)

    circles = []
    for place in range(HOLES):
        x = write_mm(_LEFT_NM + scaled(place * INCH_NM))
        radius = scaled(LAST_HOLE_NM if place == HOLES - 1 else CODE_HOLE_NM) // 2
        circles.append(f'<circle cx="{x}" cy="{write_mm(_MIDDLE_NM)}" r="{write_mm(radius)}"/>')
    width, height = write_mm(2 * _LEFT_NM + scaled((HOLES - 1) * INCH_NM)), write_mm(2 * _MIDDLE_NM)
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    return Gauge(
        width,
        height,
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}><g fill="none" stroke="#000" stroke-width="0.08">'
        f"{''.join(circles)}</g></svg>",
    )
