"""The hole list: one CSV file for each tape, a line for each hole, in tape order."""

import csv
from io import StringIO

from chime.programme.equipment import Machine
from chime.tape.geometry import hole_size, rows_from_cut, write_label, write_mm, write_phase
from chime.tape.model import Hole, Tape
from chime.verify.model import Reads, Verified
from chime.writers.model import Artefact

COLUMNS = (
    "row",
    "printed_label",
    "rings_at",
    "track",
    "zones",
    "along_mm",
    "from_cut_mm",
    "across_mm",
    "size_mm",
    "width_mm",
    "reads",
)


def write(verified: Verified) -> tuple[Artefact, ...]:
    """Write `holes-A.csv` and so on: comma-separated, CRLF line ends (RFC 4180), UTF-8, one header line.

    Lengths are exact decimal millimetres. What the machine does not say stays empty, and so does the distance
    from the cut where no row is free to cut at. Several times or zones of a hole stand with a space between.
    The last column says of every hole whether the tape will read true: `holds`, `fails` or `cannot say`.
    """
    machine = verified.programme.machine
    if machine is None or verified.tapes is None:
        return ()
    return tuple(
        Artefact(f"holes-{tape.id}.csv", _write_tape(tape, machine, verified.reads()).encode())
        for tape in verified.tapes.tapes
    )


def _write_tape(tape: Tape, machine: Machine, reads: Reads) -> str:
    file = StringIO(newline="")
    lines = csv.writer(file, lineterminator="\r\n")
    lines.writerow(COLUMNS)
    cut = None if tape.cut is None else tape.cut.row
    for hole in tape.holes:
        lines.writerow((*_describe(hole, tape, machine, cut), reads))
    return file.getvalue()


def _describe(hole: Hole, tape: Tape, machine: Machine, cut: int | None) -> tuple[str, ...]:
    pitch = machine.pitch.amount if machine.pitch is not None else None
    from_cut = None if cut is None or pitch is None else rows_from_cut(tape, hole.row, cut) * pitch
    size = hole_size(machine)
    return (
        str(hole.row),
        write_label(tape, hole.row),
        " ".join(write_phase(tape, phase) for phase in hole.rings_at),
        str(hole.track),
        " ".join(hole.zones),
        _length(hole.along_nm),
        _length(from_cut),
        _length(hole.across_nm),
        _length(size.along_nm),
        _length(size.across_nm),
    )


def _length(length_nm: int | None) -> str:
    return "" if length_nm is None else write_mm(length_nm)
