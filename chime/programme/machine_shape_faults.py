"""What no machine can be: values that each could be right, but not together. Codes N421 to N436."""

from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain, sketch, write_instead
from chime.programme.equipment import Named, Value

HOLE_OVER_ROW = Code(
    "N421",
    "hole-longer-than-row",
    "error",
    "A hole as long as the way from one row to the next leaves nothing between two of them. Either the row or the "
    "hole was measured wrongly, or a row is more than one step of the tape.",
    "machine tower\n  row 2.54 mm\n  hole round 3.10 mm within 0.05 mm",
    "machine tower\n  row 2.54 mm\n  hole round 1.83 mm within 0.05 mm",
)
TRACK_OFF_TAPE = Code(
    "N422",
    "track-off-tape",
    "error",
    "A hole must lie inside the tape with its whole width. Tracks are measured from the guided edge.",
    "machine tower\n  tape 25.4 mm wide\n  hole round 1.83 mm\n  tracks at 2.34, 25 mm from the guided edge",
    "machine tower\n  tape 25.4 mm wide\n  hole round 1.83 mm\n  tracks at 2.34, 22 mm from the guided edge",
)
TRACK_ON_DRIVE_HOLES = Code(
    "N423",
    "track-on-drive-holes",
    "error",
    "Holes on the line of the drive holes would run into them: the tape would tear there, and pins would be read as "
    "rings.",
    "machine tower\n  sprocket every 2.54 mm, hole 1.17 mm, 9.96 mm from the guided edge\n  hole round 1.83 mm\n"
    "  tracks at 2.34, 10 mm from the guided edge",
    "machine tower\n  sprocket every 2.54 mm, hole 1.17 mm, 9.96 mm from the guided edge\n  hole round 1.83 mm\n"
    "  tracks at 2.34, 12.5 mm from the guided edge",
)
TIP_OVER_HOLE = Code(
    "N424",
    "tip-larger-than-hole",
    "error",
    "A finger that drops in closes its contact when its whole tip is inside the hole. A tip that is as large as the "
    "hole never does.",
    "machine tower\n  hole round 1.83 mm\n  finger drops in, round 1.90 mm",
    "machine tower\n  hole round 1.83 mm\n  finger drops in, round 0.70 mm",
)
ROW_TOO_LONG = Code(
    "N425",
    "row-too-long",
    "error",
    "From one row to the next a tape moves by some millimetres. So large a step was most likely meant in another unit.",
    "machine tower\n  row 2.54 m",
    "machine tower\n  row 2.54 mm",
)
LOOP_TOO_LONG = Code(
    "N426",
    "loop-too-long",
    "error",
    "All rows of the loop make its length. Hundreds of metres hang on no machine: count the rows again, and measure a "
    "hundred of them.",
    "machine tower\n  loop 7 d in rows of 1 s\n  row 2.54 mm",
    "machine tower\n  loop 7 d in rows of 5 min\n  row 2.54 mm",
)
COSTS_NOTHING = Code(
    "N427",
    "costs-nothing",
    "error",
    "What costs nothing would be done at will: the plan would change tapes or turn switches for no reason. Every "
    "operation by hand takes some of somebody's time.",
    "machine tower\n  costs tape change 0 min",
    "machine tower\n  costs tape change 12 min",
)

_DRIVE = "machine tower\n  tape 25.4 mm wide, 0.1 mm thick\n  sprocket every 2.54 mm, hole {} mm, {} mm from the guided edge"
DRIVE_HOLES_OFF_TAPE = Code(
    "N428",
    "drive-holes-off-tape",
    "error",
    "Drive holes lie inside the tape with their whole width. Their line is measured from the guided edge.",
    _DRIVE.format("1.17", "99.6"),
    _DRIVE.format("1.17", "9.96"),
)
DRIVE_HOLES_MEET = Code(
    "N429",
    "drive-holes-run-together",
    "error",
    "Drive holes as wide as the way from one to the next would be one long slit, and no pin would find its place.",
    _DRIVE.format("2.60", "9.96"),
    _DRIVE.format("1.17", "9.96"),
)
TAPE_TOO_THICK = Code(
    "N430",
    "tape-too-thick",
    "error",
    "Tapes of paper, card and film are some tenths of a millimetre thick. So thick a tape bends round no wheel, and was "
    "most likely meant in another unit.",
    "machine tower\n  tape 25.4 mm wide, 100 mm thick",
    "machine tower\n  tape 25.4 mm wide, 0.1 mm thick",
)
READ_PAST_LOOP = Code(
    "N431",
    "read-past-the-loop",
    "error",
    "A finger stands a few rows ahead of the pointer. As many rows as the loop has, or more, were counted wrongly or meant "
    "otherwise.",
    "machine tower\n  loop 24 h in rows of 1 min\n  reads 2000 rows ahead",
    "machine tower\n  loop 24 h in rows of 1 min\n  reads 2 rows ahead",
)
WRAP_OVER_A_TURN = Code(
    "N432",
    "wrap-over-a-turn",
    "error",
    "The tape lies on a part of its wheel. More than the whole round of it there is none.",
    "machine tower\n  wheel 24 pins 1.00 mm over 720 degrees",
    "machine tower\n  wheel 24 pins 1.00 mm over 150 degrees",
)
STEP_OVER_ROW = Code(
    "N433",
    "step-longer-than-row",
    "error",
    "The tape comes to rest in a row before the next step begins. A step that lasts as long as a row, with its lag, would "
    "never end.",
    "machine tower\n  loop 24 h in rows of 1 min\n  drive steps in 90 s",
    "machine tower\n  loop 24 h in rows of 1 min\n  drive steps in 0.3 s",
)
RELAY_OVER_GATE = Code(
    "N434",
    "relay-slower-than-gate",
    "error",
    "The relay operates while the gate is closed. One that takes as long as the gate stays closed lets no bell sound.",
    "machine tower\n  gate at 8 s for 6 s\n  relay operates 25 s",
    "machine tower\n  gate at 8 s for 6 s\n  relay operates 25 ms",
)
FINGER_AGAINST_ALLOWANCE = Code(
    "N435",
    "finger-against-allowance",
    "error",
    "A finger that drops in closes its contact for shorter than the hole is long, and a brush for longer: the allowance "
    "of the one is above nothing, and of the other below.",
    "machine tower\n  finger brushes, round 0.70 mm\n  allowance 0.70 mm within 0.04 mm",
    "machine tower\n  finger brushes, round 0.70 mm\n  allowance -0.70 mm within 0.04 mm",
)
NO_SUCH_SIZE = Code(
    "N436",
    "no-such-size",
    "error",
    "Nobody builds a part of such a size: it was most likely meant in another unit.",
    "machine tower\n  tape 25.4 m wide, 0.1 mm thick",
    "machine tower\n  tape 25.4 mm wide, 0.1 mm thick",
)

CODES: tuple[Code, ...] = (
    FINGER_AGAINST_ALLOWANCE,
    NO_SUCH_SIZE,
    DRIVE_HOLES_OFF_TAPE,
    DRIVE_HOLES_MEET,
    TAPE_TOO_THICK,
    READ_PAST_LOOP,
    WRAP_OVER_A_TURN,
    STEP_OVER_ROW,
    RELAY_OVER_GATE,
    HOLE_OVER_ROW,
    TRACK_OFF_TAPE,
    TRACK_ON_DRIVE_HOLES,
    TIP_OVER_HOLE,
    ROW_TOO_LONG,
    LOOP_TOO_LONG,
    COSTS_NOTHING,
)


def _mm(length_nm: int) -> str:
    return f"{length_nm / 1e6:.2f} mm"


def hole_over_row(hole: Value, pitch: Value) -> Diagnostic:
    """Say that a hole is as long as a row, or longer."""
    return complain(
        HOLE_OVER_ROW,
        f"a hole of {_mm(hole.amount)} is not shorter than a row of {_mm(pitch.amount)}",
        (hole.span, "along the tape"),
        "Holes in rows that follow each other would run into each other.",
        [(pitch.span, "from one row to the next")],
        sketch("measure the row over a hundred rows, and the hole with a calliper"),
    )


def track_off_tape(track: Value, number: int, width: Value, hole: Value) -> Diagnostic:
    """Say that the holes of a track reach over the edge of the tape."""
    half = hole.amount / 2
    allowed = f"{_mm(round(half))} and {_mm(round(width.amount - half))}"
    return complain(
        TRACK_OFF_TAPE,
        f"the holes of track {number} reach over the edge of the tape",
        (track.span, f"track {number}"),
        f"With a hole {_mm(hole.amount)} wide its middle lies between {allowed} from the guided edge.",
        [(width.span, "the width of the tape"), (hole.span, "the width of a hole")],
        sketch("measure the track again, from the guided edge to the middle of its holes"),
    )


def track_on_drive_holes(track: Value, number: int, line: Value, apart_nm: int) -> Diagnostic:
    """Say that the holes of a track meet the drive holes; `apart_nm` is how far they must be from their line."""
    return complain(
        TRACK_ON_DRIVE_HOLES,
        f"the holes of track {number} meet the drive holes",
        (track.span, f"track {number}"),
        f"Half of each together are {_mm(apart_nm)}, and the track lies nearer than that to their line.",
        [(line.span, "the line of the drive holes")],
        sketch("measure the track again, from the guided edge to the middle of its holes"),
    )


def drive_holes_off_tape(line: Value, width: Value, hole: Value) -> Diagnostic:
    """Say that the drive holes reach over the edge of the tape."""
    half = hole.amount / 2
    allowed = f"{_mm(round(half))} and {_mm(round(width.amount - half))}"
    return complain(
        DRIVE_HOLES_OFF_TAPE,
        "the drive holes reach over the edge of the tape",
        (line.span, "the line of the drive holes"),
        f"With drive holes {_mm(hole.amount)} wide it lies between {allowed} from the guided edge.",
        [(width.span, "the width of the tape"), (hole.span, "the width of a drive hole")],
        sketch("measure the line again, from the guided edge to the middle of the drive holes"),
    )


def drive_holes_meet(hole: Value, pitch: Value) -> Diagnostic:
    """Say that a drive hole is as wide as the way to the next, or wider."""
    return complain(
        DRIVE_HOLES_MEET,
        f"a drive hole of {_mm(hole.amount)} is not smaller than the {_mm(pitch.amount)} from one to the next",
        (hole.span, "the drive holes"),
        "They would run into each other.",
        [(pitch.span, "from one to the next")],
        sketch("measure a drive hole with a calliper, and their pitch over a hundred of them"),
    )


def tape_too_thick(thickness: Value) -> Diagnostic:
    """Say that a tape is thicker than any tape is."""
    return complain(
        TAPE_TOO_THICK,
        f"no tape is {_mm(thickness.amount)} thick",
        (thickness.span, "the thickness of the tape"),
        "It would bend round no wheel.",
        offers=sketch("measure it with a micrometer: 0.1 mm thick"),
    )


def read_past_loop(rows: int, span: Span, loop_rows: int, loop: Value) -> Diagnostic:
    """Say that a finger is said to stand a whole loop ahead, or more."""
    return complain(
        READ_PAST_LOOP,
        f"{rows:,} rows ahead is not less than the {loop_rows:,} rows of the loop",
        (span, "rows from the pointer to the finger"),
        "The finger would stand behind the pointer by one turn or more.",
        [(loop.span, "the length of the loop")],
        sketch("count the rows between the pointer and the finger on the machine"),
    )


def wrap_over_a_turn(wrap: Value) -> Diagnostic:
    """Say that a tape is said to lie on more than the whole wheel."""
    return complain(
        WRAP_OVER_A_TURN,
        f"a wheel has no more than 360 degrees, so the tape cannot lie on {wrap.amount / 1e6:g}",
        (wrap.span, "the part of the wheel on which the tape lies"),
        "Pins and drive holes are held against each other over that part.",
        offers=sketch("count the pins that stand in drive holes: half of the pins are 180 degrees"),
    )


def step_over_row(travel: Value, step_us: int, row: Value) -> Diagnostic:
    """Say that a step, with its lag, lasts as long as a row, or longer."""
    return complain(
        STEP_OVER_ROW,
        f"a step of {step_us / 1e6:g} s is not shorter than a row of {row.amount / 1e6:g} s",
        (travel.span, "how long a step takes"),
        "The next step would begin before this one has ended.",
        [(row.span, "how long a row stands")],
        sketch("measure a step from the impulse until the tape stands still, or write: drive steady"),
    )


def relay_over_gate(relay: Value, gate: Value) -> Diagnostic:
    """Say that a relay takes as long to operate as the gate is closed, or longer."""
    return complain(
        RELAY_OVER_GATE,
        f"a relay that operates in {relay.amount / 1e6:g} s lets no bell sound in a gate of {gate.amount / 1e6:g} s",
        (relay.span, "until the relay has operated"),
        "The gate has opened again by then.",
        [(gate.span, "how long the gate is closed")],
        sketch("measure the relay again: a few hundredths of a second are usual"),
    )


def tip_over_hole(tip: Value, hole: Value) -> Diagnostic:
    """Say that a tip does not fit into the hole."""
    return complain(
        TIP_OVER_HOLE,
        f"a tip of {_mm(tip.amount)} does not drop into a hole of {_mm(hole.amount)}",
        (tip.span, "the tip"),
        "The contact would never close.",
        [(hole.span, "the hole")],
        sketch(
            "measure both again; a finger that only touches through the hole is written: finger brushes, ..."
        ),
    )


def costs_nothing(cost: Named) -> Diagnostic:
    """Say that no operation is done in no time."""
    return complain(
        COSTS_NOTHING,
        f"a {cost.name} that costs {cost.value.span.text.strip()} is no cost",
        (cost.value.span, "in minutes of somebody's time"),
        "The plan weighs operations by hand against each other; each must cost something.",
        offers=sketch("write how long it takes, the way there included"),
    )


def row_too_long(pitch: Value) -> Diagnostic:
    """Question a pitch that was most likely meant in another unit."""
    number, _, unit = pitch.span.text.partition(" ")
    meant = f"{number} mm" if unit.strip() in ("m", "cm") else None
    return complain(
        ROW_TOO_LONG,
        f"a row of {pitch.span.text.strip()} is more than any tape moves in one",
        (pitch.span, "from one row to the next"),
        "Rows lie some millimetres apart, on most tapes between 1 mm and 4 mm.",
        offers=write_instead(pitch.span, meant) if meant else sketch("measure a hundred rows, and divide"),
    )


def loop_too_long(pitch: Value, rows: int, at: Span) -> Diagnostic:
    """Say that no machine carries a loop of such a length."""
    return complain(
        LOOP_TOO_LONG,
        f"the loop would be {rows * pitch.amount / 1e9:,.0f} m long",
        (at, f"{rows:,} rows"),
        "No machine carries that. Either a row stands for longer, or rows lie nearer together.",
        [(pitch.span, "from one row to the next")],
        sketch("count the rows of the loop that is on the machine"),
    )


def finger_against_allowance(allowance: Value, finger: Span, mode: str) -> Diagnostic:
    """Say that the allowance is that of a finger of the other kind."""
    turned = f"{-allowance.amount / 1e6:g} mm"
    kind = "drops in" if mode == "brushes" else "brushes"
    return complain(
        FINGER_AGAINST_ALLOWANCE,
        f"an allowance of {_mm(allowance.amount)} is that of a finger that {kind}",
        (allowance.span, "the allowance"),
        f"The machine says: finger {mode}.",
        [(finger, "how it reads")],
        sketch(f"write {turned} if the finger {mode}, or mend the finger's line"),
    )


def no_such_size(value: Value, what: str, usual: str) -> Diagnostic:
    """Say that no part has such a size."""
    return complain(
        NO_SUCH_SIZE,
        f"{what} of {value.span.text.strip()} was never built",
        (value.span, what),
        f"It is {usual}.",
        offers=sketch("measure it again, and look at the unit"),
    )
