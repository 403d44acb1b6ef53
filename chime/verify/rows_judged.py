"""Whether each hole is read in its own row and in no other, and each ring starts in its own minute."""

from chime.mechanics import steady, stepped
from chime.mechanics.gating import latest_on
from chime.verify import machine_faults as codes
from chime.verify.closing import (
    closing_needs,
    error_needs,
    main_error,
    read_closed_lengths,
    read_error,
    worst_track,
)
from chime.verify.judging import Found, Judgement, Subject
from chime.verify.machine_sheet import Sheet

_GATE = ("closing of the gate", "length of the gate", "tolerance of the gate")


def _is_read_row_by_row(sheet: Sheet) -> bool:
    """Tell whether a row matters: not where a tape creeps past without a gate."""
    return not (sheet.word("kind of drive") == "steady" and sheet.word("gate") == "none")


def _row_needs(subject: Subject) -> tuple[str, ...]:
    sheet = subject.sheet
    needs = ("row pitch", *closing_needs(sheet), *error_needs(sheet, subject.tracks()))
    if sheet.word("kind of drive") == "steady":
        return (*needs, "length of a row", "gate", *_GATE)
    return needs


def _gate_offset(subject: Subject) -> tuple[float, float]:
    """Return the gate's length, and how far its middle may be from the nearest row's instant, in s."""
    sheet = subject.sheet
    row_s, length_s = sheet.amount("length of a row"), subject.gate_length_s()
    middle = (sheet.amount("closing of the gate") + length_s / 2) % row_s
    return length_s, min(middle, row_s - middle) + sheet.amount("tolerance of the gate")


def own_row_left(subject: Subject, track: int) -> float:
    """Return what is left, in mm, before a hole of a track is missed in its own row."""
    sheet = subject.sheet
    error, least = read_error(sheet, track), read_closed_lengths(sheet).least_mm
    if sheet.word("kind of drive") == "steady":
        speed = steady.speed(sheet.amount("row pitch"), sheet.amount("length of a row"))
        return steady.whole_ring(least, error.worst_mm, speed, *_gate_offset(subject))
    return stepped.own_row_allowance(least) - error.worst_mm


def _own_row(subject: Subject) -> Found:
    sheet, track = subject.sheet, worst_track(subject.sheet, subject.tracks())
    error, left = read_error(sheet, track), own_row_left(subject, track)
    main = main_error(sheet, track, left + error.worst_mm)
    if sheet.word("kind of drive") == "steady":
        speed = steady.speed(sheet.amount("row pitch"), sheet.amount("length of a row"))
        says = "the contact stays closed all through the gate"
        spare = f"with {left:.2f} mm to spare" if left >= 0 else f"but for {-left:.2f} mm"
        return Found(f"{says} {spare} on track {track}", left, left / speed, at=main)
    allowed = stepped.own_row_allowance(read_closed_lengths(sheet).least_mm)
    says = (
        f"a hole of track {track} may rest {allowed:.2f} mm off and still be read; its errors add up to "
        f"{error.worst_mm:.2f} mm, likely {error.likely_mm:.2f} mm"
        if allowed > 0
        else f"the smallest hole does not close the contact of track {track} at all, where its finger stands "
        "farthest to one side"
    )
    return Found(says, left, at=main)


def _no_other_row(subject: Subject) -> Found:
    sheet, track = subject.sheet, worst_track(subject.sheet, subject.tracks())
    error, greatest = read_error(sheet, track).worst_mm, read_closed_lengths(sheet).greatest_mm
    pitch = sheet.amount("row pitch")
    if sheet.word("kind of drive") == "steady":
        row_s = sheet.amount("length of a row")
        speed = steady.speed(pitch, row_s)
        left = steady.no_second_ring(greatest, error, speed, *_gate_offset(subject), row_s)
        misses = "misses a hole by" if left >= 0 else "reads a hole, too, over"
        main = main_error(sheet, track, left + error)
        return Found(f"the gate of a row beside it {misses} {abs(left):.2f} mm", left, left / speed, at=main)
    allowed = stepped.neighbour_row_allowance(greatest, pitch)
    says = (
        f"a hole of track {track} would be read a row too early or late {allowed:.2f} mm off its place; "
        f"its errors add up to {error:.2f} mm"
        if allowed > 0
        else f"a hole of track {track} still closes the contact a row beside its own"
    )
    return Found(says, allowed - error, at=main_error(sheet, track, allowed))


def _start_needs(subject: Subject) -> tuple[str, ...]:
    sheet = subject.sheet
    needs = ("length of a row", "kind of drive", "gate", "time in which the relay operates")
    if sheet.word("gate") != "none":
        return (*needs, "closing of the gate", "tolerance of the gate")
    moving = (*closing_needs(sheet), *error_needs(sheet, subject.tracks()), "row pitch")
    if sheet.word("kind of drive") == "steady":
        return (*needs, *moving)
    return (*needs, *moving, "travel time of a step", "lag of a step", "bouncing of the contacts")


def _own_minute(subject: Subject) -> Found:
    sheet = subject.sheet
    limit = steady.start_limit(sheet.amount("length of a row"))
    error = _start_error(subject) + sheet.amount("time in which the relay operates")
    says = f"a ring starts at most {error:.1f} s from its minute; {limit:g} s would be another's"
    lag, gate = sheet.amount("lag of a step"), sheet.amount("tolerance of the gate")
    late = "lag of a step" if sheet.word("gate") == "none" and 2 * lag > error else ""
    return Found(says, None, limit - error, at="tolerance of the gate" if 2 * gate > error else late)


def _start_error(subject: Subject) -> float:
    sheet = subject.sheet
    if sheet.word("gate") != "none":
        closes = sheet.amount("closing of the gate")
        row_s = sheet.amount("length of a row")
        if sheet.word("kind of drive") == "steady":
            closes = min(closes % row_s, row_s - closes % row_s)
        return closes + sheet.amount("tolerance of the gate")
    track, lengths = worst_track(sheet, subject.tracks()), read_closed_lengths(sheet)
    error, pitch = read_error(sheet, track).worst_mm, sheet.amount("row pitch")
    if sheet.word("kind of drive") == "steady":
        speed = steady.speed(pitch, sheet.amount("length of a row"))
        return steady.start_errors(*lengths, error, speed).worst_s
    closes = latest_on(lengths.least_mm, error, pitch, sheet.amount("travel time of a step"))
    return sheet.amount("lag of a step") + closes + sheet.amount("bouncing of the contacts")


_CURES = ("length of the holes", "error of the jig", "side play", "length of the tips")

JUDGEMENTS = (
    Judgement(
        "Every hole is read in its own row.",
        codes.ROW_MISSED,
        "holes may be missed, for they can rest too far from the finger",
        _is_read_row_by_row,
        _row_needs,
        _own_row,
        ("length of the holes", "reading allowance"),
        _CURES,
        "bring the largest error down, or take larger holes and less side play together",
        claims_reserve=True,
    ),
    Judgement(
        "No hole is read in a row beside its own.",
        codes.ROW_READ_TWICE,
        "holes may be read in the row beside their own",
        _is_read_row_by_row,
        _row_needs,
        _no_other_row,
        ("length of the tips", "reading allowance"),
        _CURES,
        "bring the largest error down, or take shorter holes and less side play together",
        claims_reserve=True,
    ),
    Judgement(
        "Every ring starts in its own minute.",
        codes.OTHER_MINUTE,
        "rings start in another minute",
        lambda _: True,
        _start_needs,
        _own_minute,
        ("closing of the gate", "gate", "kind of drive"),
        ("closing of the gate",),
        "let the step and the gate follow the impulse sooner; what is left is the machine's own lateness",
    ),
)
