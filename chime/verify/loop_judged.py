"""Whether the loop comes round to the same drive hole, meshes with its wheel, and can be joined."""

from fractions import Fraction

from chime.mechanics import budget, seam
from chime.tape.model import Tape
from chime.verify import machine_faults as codes
from chime.verify.closing import closing_needs, read_closed_lengths, read_hole
from chime.verify.judging import Found, Judgement, Subject
from chime.verify.machine_sheet import Sheet

MOVED_BY_FRICTION = "how far rollers move the tape in a row"
"""What keeps a tape without drive holes in step; no machine says it, for it changes with damp and wear."""


def _step_needs(subject: Subject) -> tuple[str, ...]:
    if subject.sheet.word("how the tape is held") == "friction":
        return "how the tape is held", MOVED_BY_FRICTION
    loop = ("length of the loop", "length of a row", "row pitch")
    return ("how the tape is held", "pitch of the drive holes", *loop)


def _keeps_in_step(subject: Subject) -> Found:
    machine = subject.sheet.machine
    assert machine.sprocket is not None
    assert machine.sprocket.pitch is not None
    assert machine.pitch is not None
    rows = subject.tapes[0].rows
    if machine.sprocket.pitch.amount <= 0:
        return Found("drive holes that lie in one place are no drive holes", holds=False)
    holes = Fraction(rows * machine.pitch.amount, machine.sprocket.pitch.amount)
    if holes.denominator == 1:
        return Found(f"the loop of {rows:,} rows holds exactly {holes.numerator:,} drive holes")
    whole = int(holes)
    drift = budget.drift_per_cycle(1, machine.sprocket.pitch.amount / machine.pitch.amount)
    says = (
        f"{rows:,} rows are {float(holes):,.3f} drive holes; with {whole:,} or {whole + 1:,} the programme "
        f"drifts with every turn, by {drift:.2f} rows for each drive hole"
    )
    return Found(says, holds=False)


def _mesh_needs(_: Subject) -> tuple[str, ...]:
    wheel = ("pins of the wheel", "thickness of a pin", "wrap of the wheel")
    size = ("size of the drive holes", "tolerance of the drive holes")
    return (*wheel, *size, "tolerance of the drive holes' pitch")


def _meshes(subject: Subject) -> Found:
    sheet = subject.sheet
    spaces = budget.spaces_in_mesh(int(sheet.amount("pins of the wheel")), sheet.amount("wrap of the wheel"))
    least = sheet.amount("size of the drive holes") - sheet.amount("tolerance of the drive holes")
    pin = sheet.amount("thickness of a pin")
    if least < pin:
        says = f"a pin of {pin:g} mm does not go into a drive hole that is {least:g} mm long, the smallest"
        return Found(says, least - pin)
    if not spaces:
        return Found("only one pin of the wheel is in the tape at a time", least - pin)
    allowed = budget.mesh_allowance(least, pin, spaces)
    within = sheet.amount("tolerance of the drive holes' pitch")
    says = (
        f"over {spaces} spaces between pins each drive hole may be {allowed:.3f} mm off from the one before; "
        f"they are within {within:.3f} mm"
    )
    return Found(says, allowed - within)


def _has_drive_holes(sheet: Sheet) -> bool:
    return sheet.word("how the tape is held") != "friction"


def _joint_needs(subject: Subject) -> tuple[str, ...]:
    sheet = subject.sheet
    drive = ("pitch of the drive holes",) if _has_drive_holes(sheet) else ()
    lap = ("lap of the joint", "row pitch", "how the tape is held", "error of the seam")
    return (*lap, *drive, *closing_needs(sheet))


def _can_be_joined(subject: Subject) -> Found:
    sheet = subject.sheet
    pitch, lap = sheet.amount("row pitch"), int(sheet.amount("lap of the joint"))
    if not _lap_is_whole(subject, lap):
        says = f"a lap of {lap} rows is no whole number of drive holes, so those of its ends do not meet"
        return Found(says, holds=False)
    half = max(read_hole(sheet).along_mm, read_closed_lengths(sheet).greatest_mm) / 2
    guard = seam.guard_rows(sheet.amount("error of the seam"), half, pitch)
    room = _room_if_cut_anew if subject.is_cut_anew else _room
    left, tape = min(((room(tape, lap, guard), tape) for tape in subject.tapes), key=lambda each: each[0])
    says = (
        f"a lap of {lap} rows with {guard} free on each side leaves {left:,} more beside it on tape {tape.id}"
        if left >= 0
        else f"no stretch of tape {tape.id} has room for a lap of {lap} rows with {guard} free on each side"
    )
    return Found(says, left * pitch)


def _room(tape: Tape, lap: int, guard: int) -> int:
    if tape.cut is None:
        return -guard
    places = sorted((hole.row - tape.cut.row) % tape.rows for hole in tape.holes)
    return seam.room_beside(tape.rows - 1 - places[-1], places[0] - lap, guard)


def _room_if_cut_anew(tape: Tape, lap: int, guard: int) -> int:
    """Return the rows to spare on each side in the middle of the longest free run (F31)."""
    runs = seam.free_runs((hole.row for hole in tape.holes), tape.rows)
    return seam.room_for_lap(runs[0], lap, guard) // 2 if runs else -guard


def _lap_is_whole(subject: Subject, lap: int) -> bool:
    """Tell whether a lap is a whole number of drive holes; where the loop is none, that is said elsewhere."""
    sprocket, pitch = subject.sheet.machine.sprocket, subject.sheet.machine.pitch
    if sprocket is None or sprocket.pitch is None or sprocket.pitch.amount <= 0 or pitch is None:
        return True
    if subject.tapes[0].rows * pitch.amount % sprocket.pitch.amount:
        return True
    return lap * pitch.amount % sprocket.pitch.amount == 0


JUDGEMENTS = (
    Judgement(
        "The loop comes round to the same drive hole.",
        codes.DRIVE_HOLES_NOT_WHOLE,
        "the loop holds no whole number of drive holes",
        lambda _: True,
        _step_needs,
        _keeps_in_step,
        ("pitch of the drive holes",),
        ("pitch of the drive holes",),
        "measure the pitch of the drive holes and of the rows again, each over a hundred",
    ),
    Judgement(
        "The drive holes fit the pins of the wheel.",
        codes.PINS_BIND,
        "the drive holes bind on the pins of the wheel",
        _has_drive_holes,
        _mesh_needs,
        _meshes,
        ("thickness of a pin",),
        ("thickness of a pin", "tolerance of the drive holes' pitch"),
        "measure a drive hole and a pin with a calliper; a smaller wrap has fewer pins in the tape",
    ),
    Judgement(
        "There is room for the joint.",
        codes.NO_ROOM_FOR_JOINT,
        "there is no room for the joint",
        lambda _: True,
        _joint_needs,
        _can_be_joined,
        ("lap of the joint",),
        ("lap of the joint",),
        "leave a longer stretch of the loop without rings, or join the ends with a shorter lap",
        is_of_tapes=True,
    ),
)
