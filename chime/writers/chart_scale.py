"""The machine as a sheet draws it: enlarged for a printer that prints too small, and turned to its back.

Everything on a sheet is drawn from this machine, so that holes, drive holes, edge, rows and bars stay
together. What is written in words is said of the machine as it is.
"""

from chime.programme.equipment import Machine, Value
from chime.tape.geometry import write_mm
from chime.writers.model import ChartChoice
from chime.writers.tape_side import from_back

FARTHEST_OFF_PER_MILLE = 10
"""A printer that is off by more than a hundredth fits sheets to its paper, which nothing can mend."""


def drawn_length(length_nm: int, choice: ChartChoice) -> int:
    """Return a length as it is drawn: longer where bars have been measured too short."""
    if not choice.measured_nm:
        return length_nm
    return round(length_nm * choice.bar_nm / choice.measured_nm)


def as_drawn(machine: Machine, choice: ChartChoice) -> Machine:
    """Return the machine as its sheets draw it."""
    seen = from_back(machine) if choice.from_back else machine
    return _enlarged(seen, choice) if choice.measured_nm else seen


def _enlarged(machine: Machine, choice: ChartChoice) -> Machine:
    """Return a machine with all lengths that are drawn enlarged."""

    def value(given: Value | None) -> Value | None:
        return None if given is None else given._replace(amount=drawn_length(given.amount, choice))

    sprocket, hole = machine.sprocket, machine.hole
    tracks = tuple(track._replace(amount=drawn_length(track.amount, choice)) for track in machine.tracks)
    return machine._replace(
        pitch=value(machine.pitch),
        tape_width=value(machine.tape_width),
        tracks=tracks,
        hole=None if hole is None else hole._replace(along=value(hole.along), across=value(hole.across)),
        sprocket=None
        if sprocket is None
        else sprocket._replace(
            pitch=value(sprocket.pitch),
            hole=value(sprocket.hole),
            hole_across=value(sprocket.hole_across),
            from_edge=value(sprocket.from_edge),
        ),
    )


def refuse_scale(choice: ChartChoice, pitch_nm: int | None) -> str | None:
    """Say in words why a sheet cannot be drawn for such a printer; None if it can."""
    if not choice.measured_nm:
        return None
    off = choice.measured_nm - choice.bar_nm
    if abs(off) * 1000 <= choice.bar_nm * FARTHEST_OFF_PER_MILLE:
        return None
    wrong_nm = abs(_SHEET_NM * off / choice.bar_nm)
    rows = "" if not pitch_nm else f", {wrong_nm / pitch_nm:.1f} rows"
    percent = 100 * choice.measured_nm / choice.bar_nm
    return (
        f"a bar of {_mm(choice.bar_nm)} measured {_mm(choice.measured_nm)}, so the sheet was printed at "
        f"{percent:.1f} %: over {_mm(_SHEET_NM)} that is {wrong_nm / 1e6:.1f} mm{rows}. It was fitted to the "
        "paper: print at 100 % and measure again; as a list it is right"
    )


_SHEET_NM = 240_000_000


def _mm(length_nm: int) -> str:
    return f"{write_mm(length_nm)} mm"


def say_printer(choice: ChartChoice) -> str:
    """Say on a sheet for which printer it is drawn; empty if for any."""
    if not choice.measured_nm:
        return ""
    return f"Drawn for a printer that prints {_mm(choice.bar_nm)} as {_mm(choice.measured_nm)}."


def say_scale(choice: ChartChoice) -> list[str]:
    """Say for which printer the sheets are drawn, and from which side of the tape they are punched."""
    said = []
    if choice.measured_nm:
        percent = 100 * choice.bar_nm / choice.measured_nm
        said.append(
            f"Drawn at {percent:.2f} % for a printer that prints {_mm(choice.bar_nm)} as "
            f"{_mm(choice.measured_nm)}: print it there at 100 %, and measure both bars again."
        )
    if choice.from_back:
        said.append("Mirror image: the sheets show the back of the tape, and it is punched from there.")
    return said
