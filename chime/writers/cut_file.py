"""The cut file: one SVG drawing for each tape, at true scale, for a laser, a drill or a plotter.

The strip lies flat with its guided edge at the left and runs down the drawing from the cut to the end of
the lap, seen from the side that faces the fingers, or where that is asked for from its back. A unit of the
drawing is a millimetre. Outline, drive holes and holes are groups of their own, so that a blank with drive
holes needs only the last.
"""

from collections.abc import Iterator
from xml.sax.saxutils import escape

from chime.programme.equipment import Machine, Sprocket
from chime.records import NamedTuple
from chime.tape.geometry import hole_size, rows_from_cut, write_label, write_mm
from chime.tape.model import Tape
from chime.verify.model import Verified
from chime.writers.model import Artefact, ChartChoice
from chime.writers.tape_side import from_back


class _Blank(NamedTuple):
    """What must be known to cut a tape: lengths in nanometres, and the rows of the lap."""

    pitch: int
    width: int
    tracks: tuple[int, ...]
    along: int
    across: int
    is_rounded: bool
    lap_rows: int


def write(verified: Verified, choice: ChartChoice | None = None) -> tuple[Artefact, ...]:
    """Write `tape-A.svg` and so on; none where the machine does not give all lengths, or fails a check.

    Of the choice counts only from which side of the tape the drawing is seen.
    """
    machine = verified.programme.machine
    if machine is None or verified.tapes is None:
        return ()
    is_back = choice is not None and choice.from_back
    machine = from_back(machine) if is_back else machine
    blank = _read(machine)
    if blank is None or any(verdict.verdict == "fails" for verdict in verified.verdicts):
        return ()
    return tuple(
        Artefact(f"tape-{tape.id}.svg", _draw(verified, tape, machine, blank, is_back=is_back).encode())
        for tape in verified.tapes.tapes
        if tape.cut is not None
    )


def _read(machine: Machine) -> _Blank | None:
    along, across = hole_size(machine)
    pitch, width = machine.pitch, machine.tape_width
    if pitch is None or width is None or along is None or across is None or not machine.tracks:
        return None
    hole, lap = machine.hole, machine.joint_rows
    return _Blank(
        pitch.amount,
        width.amount,
        tuple(track.amount for track in machine.tracks),
        along,
        across,
        hole is not None and (hole.shape == "round" or hole.ends == "rounded"),
        0 if lap is None else lap.amount,
    )


_FACE = "seen from the side that faces the fingers, guided edge at the left"
_BACK = "MIRROR IMAGE, seen from the back of the tape, guided edge at the right"


def _draw(verified: Verified, tape: Tape, machine: Machine, blank: _Blank, *, is_back: bool) -> str:
    assert tape.cut is not None
    cut = tape.cut.row
    rows = tape.rows + min(blank.lap_rows, tape.rows)
    width, height = write_mm(blank.width), write_mm(rows * blank.pitch)
    programme = verified.programme
    title = f"{programme.name}, issue {programme.issue}, tape {tape.id}{', from the back' if is_back else ''}"
    said = (
        f"fingerprint {verified.fingerprint}; true scale, a unit is 1 mm; {_BACK if is_back else _FACE}, "
        f"the tape travels up; first row {write_label(tape, cut)}, "
        f"the last {rows - tape.rows} rows are the lap. Drive holes are drawn in line with row 0: nobody "
        "measured it."
    )
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>',
        f"<title>{escape(title)}</title>",
        f"<desc>{escape(said)}</desc>",
        '<g fill="none" stroke="#000" stroke-width="0.05">',
        f'<g id="outline"><rect x="0" y="0" width="{width}" height="{height}"/></g>',
        '<g id="drive-holes">',
        *_drive_holes(machine.sprocket, blank, cut, rows),
        "</g>",
        '<g id="holes">',
        *_holes(tape, blank, cut, rows),
        "</g>",
        "</g>",
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _holes(tape: Tape, blank: _Blank, cut: int, rows: int) -> Iterator[str]:
    """Give the holes in tape order; one that lies in the lap stands there too."""
    placed = sorted((rows_from_cut(tape, hole.row, cut), hole.track) for hole in tape.holes)
    again = [(place + tape.rows, track) for place, track in placed if place + tape.rows < rows]
    for place, track in (*placed, *again):
        x, y = blank.tracks[track - 1], place * blank.pitch + blank.pitch // 2
        radius = min(blank.along, blank.across) // 2 if blank.is_rounded else 0
        yield (
            f'<rect x="{write_mm(x - blank.across // 2)}" y="{write_mm(y - blank.along // 2)}" '
            f'width="{write_mm(blank.across)}" height="{write_mm(blank.along)}" rx="{write_mm(radius)}"/>'
        )


def _drive_holes(sprocket: Sprocket | None, blank: _Blank, cut: int, rows: int) -> Iterator[str]:
    if sprocket is None or sprocket.pitch is None or sprocket.hole is None or sprocket.from_edge is None:
        return
    if sprocket.pitch.amount <= 0:
        return
    x, along, across = sprocket.from_edge.amount, sprocket.hole.amount, sprocket.hole_across
    # In line with row 0, counted from the cut.
    first = (blank.pitch // 2 - cut * blank.pitch) % sprocket.pitch.amount
    for y in range(first, rows * blank.pitch, sprocket.pitch.amount):
        if across is None:
            yield f'<circle cx="{write_mm(x)}" cy="{write_mm(y)}" r="{write_mm(along // 2)}"/>'
        else:
            yield (
                f'<rect x="{write_mm(x - across.amount // 2)}" y="{write_mm(y - along // 2)}" '
                f'width="{write_mm(across.amount)}" height="{write_mm(along)}"/>'
            )
