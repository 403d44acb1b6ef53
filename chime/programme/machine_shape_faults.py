"""What no machine can be: values that each could be right, but not together. Codes N421 to N427."""

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

CODES: tuple[Code, ...] = (
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
