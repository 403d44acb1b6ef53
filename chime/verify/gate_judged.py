"""Whether the contact is closed all through the gate, how long rings last, and which are heard as two."""

from chime.mechanics import gating, merging, steady, stepped
from chime.programme.model import Signal
from chime.records import NamedTuple
from chime.verify import machine_faults as codes
from chime.verify.closing import (
    closing_needs,
    error_needs,
    read_closed_lengths,
    read_error,
    worst_track,
)
from chime.verify.judging import Found, Judgement, Subject
from chime.verify.machine_sheet import Sheet

_RELAY = ("time in which the relay operates", "time in which the relay releases")
_GATE = ("closing of the gate", "length of the gate", "tolerance of the gate")
_STEP = ("length of a row", "row pitch", "travel time of a step", "lag of a step")


def _steps_under_a_gate(sheet: Sheet) -> bool:
    return sheet.word("kind of drive") != "steady" and sheet.word("gate") != "none"


def _through_gate_needs(subject: Subject) -> tuple[str, ...]:
    sheet = subject.sheet
    moving = (*closing_needs(sheet), *error_needs(sheet, subject.tracks()))
    return ("kind of drive", "gate", *_GATE, *_STEP, "bouncing of the contacts", *moving)


class _Gate(NamedTuple):
    """When the gate closes and opens after the start of a step, and by how much either may be off, in s."""

    closes_s: float
    opens_s: float
    within_s: float


def _read_gate(subject: Subject) -> _Gate:
    sheet = subject.sheet
    closes = sheet.amount("closing of the gate") - sheet.amount("lag of a step")
    return _Gate(closes, closes + subject.gate_length_s(), sheet.amount("tolerance of the gate"))


def _through_gate(subject: Subject) -> Found:
    sheet = subject.sheet
    error = read_error(sheet, worst_track(sheet, subject.tracks())).worst_mm
    lengths, gate = read_closed_lengths(sheet), _read_gate(subject)
    pitch, travel = sheet.amount("row pitch"), sheet.amount("travel time of a step")
    row_s, bounces = sheet.amount("length of a row"), sheet.amount("bouncing of the contacts")
    on = gating.latest_on(lengths.least_mm, error, pitch, travel)
    off = gating.earliest_off(lengths.least_mm, error, pitch, travel, row_s)
    left = [
        gating.clean_start(on, bounces, gate.closes_s, gate.within_s),
        gating.clean_end(off, gate.opens_s, gate.within_s),
    ]
    if gating.rows_overlap(lengths.least_mm, lengths.greatest_mm, pitch):
        step = lengths.greatest_mm, error, pitch, travel
        left.append(gating.clear_of_row_before(*step, gate.closes_s, gate.within_s))
        left.append(gating.clear_of_row_after(*step, row_s, gate.opens_s, gate.within_s))
    dwell = stepped.dwell(lengths.least_mm, pitch, travel, row_s)
    if dwell <= 0 or on >= off:
        says = "the contact of a hole that rests farthest from its finger is not closed at all"
        return Found(says, None, min(*left, off - on), at="travel time of a step")
    says = (
        f"the contact is closed {dwell:.2f} s or longer, at the latest from {on:.2f} s into the step; "
        f"the gate closes {_after(left[0])} it has stopped bouncing, and opens {_after(-left[1])} the "
        "contact does"
    )
    return Found(says, None, min(left), at="travel time of a step" if 10 * travel > row_s else "")


def _after(seconds: float) -> str:
    return f"{seconds:.1f} s after" if seconds >= 0 else f"{-seconds:.1f} s before"


# ------------------------------------------------------------------- the length of a ring


def _length_needs(subject: Subject) -> tuple[str, ...]:
    sheet = subject.sheet
    needs = ("gate", *_RELAY)
    if sheet.word("gate") != "none":
        return (*needs, "length of the gate", "tolerance of the gate")
    if sheet.word("kind of drive") == "steady":
        return (*needs, "kind of drive", "row pitch", "length of a row", *closing_needs(sheet))
    return (*needs, "kind of drive", *_STEP, *closing_needs(sheet))


def _lengths(subject: Subject) -> tuple[float, float, float]:
    """Return how long a ring lasts at least, by the nominal values, and at most, in s."""
    sheet = subject.sheet
    operates, releases = (sheet.amount(name) for name in _RELAY)
    if sheet.word("gate") != "none":
        nominal, within = subject.gate_length_s(), 2 * sheet.amount("tolerance of the gate")
        spread = nominal - within, nominal, nominal + within
    else:
        closed = read_closed_lengths(sheet)
        pitch, row_s = sheet.amount("row pitch"), sheet.amount("length of a row")
        if sheet.word("kind of drive") == "steady":
            speed = steady.speed(pitch, row_s)
            spread = (
                steady.ungated_length(closed.least_mm, speed),
                steady.ungated_length(closed.nominal_mm, speed),
                steady.ungated_length(closed.greatest_mm, speed),
            )
        else:
            step = pitch, sheet.amount("travel time of a step"), row_s
            spread = (
                stepped.dwell(closed.least_mm, *step),
                stepped.dwell(closed.nominal_mm, *step),
                stepped.dwell(closed.greatest_mm, *step),
            )
    least, nominal, most = (max(0.0, length + releases - operates) for length in spread)
    return least, nominal, most


def _rings_have_their_length(subject: Subject) -> Found:
    """Hold the nominal ring against what each signal tolerates.

    The margin is what the worst ring leaves; where only that is too long or too short there is none to tell.
    """
    least, nominal, most = _lengths(subject)
    says = f"a ring lasts {nominal:.2f} s, at worst {least:.1f} s to {most:.1f} s"
    if not subject.signals:
        return Found(says)
    asked = min(subject.signals, key=lambda signal: _left(signal, nominal, nominal))
    strictest = min(subject.signals, key=lambda signal: _left(signal, least, most))
    worst_left, nominal_left = _left(strictest, least, most), _left(asked, nominal, nominal)
    if worst_left < 0:
        says += f", which is {-worst_left:.1f} s beyond what signal {strictest.name} tolerates"
    if worst_left < 0 <= nominal_left:
        return Found(says, None, None, (asked.span,))
    return Found(says, None, worst_left if nominal_left >= 0 else nominal_left, (asked.span,))


def worst_length_left(subject: Subject) -> float:
    """Return what is left, in s, of the strictest signal's tolerance for a ring of the worst length."""
    least, _, most = _lengths(subject)
    return min((_left(signal, least, most) for signal in subject.signals), default=0.0)


def _left(signal: Signal, least_s: float, most_s: float) -> float:
    """Return what is left of a signal's tolerance if rings last from a least to a greatest length."""
    wanted = signal.length_ms / 1000
    return signal.tolerance_ms / 1000 - max(most_s - wanted, wanted - least_s)


# ------------------------------------------------------------------------ heard as two


def _may_have_no_gate(sheet: Sheet) -> bool:
    """Tell whether rings may run together: a gate cuts each to its length (F26)."""
    return sheet.word("gate") != "gate"


def _apart_needs(subject: Subject) -> tuple[str, ...]:
    sheet = subject.sheet
    needs = ("gate", "kind of drive", "row pitch", "length of a row", "time in which the relay releases")
    return (*needs, *closing_needs(sheet), "error of the jig", "error of the registration")


def _heard_apart(subject: Subject) -> Found:
    sheet = subject.sheet
    nearest = subject.nearest_on_a_track()
    if nearest is None:
        return Found("no track holds two holes")
    rows, first, second = nearest
    because, left = (*first.because, *second.because), heard_apart_left(subject, rows)
    if sheet.word("kind of drive") != "steady":
        return Found(f"the two nearest rings of a track are {rows} rows apart", None, left, because)
    open_s = max(0.0, _open_between(sheet, rows))
    says = f"between the two nearest rings of a track the contact is open for {open_s:.0f} s"
    return Found(says, None, left, because)


def heard_apart_left(subject: Subject, rows: int) -> float:
    """Return what is left, in s, of the pause between two rings of a track so many rows apart."""
    sheet = subject.sheet
    if sheet.word("kind of drive") != "steady":
        return -merging.HEARD_APART_S if rows == 1 else (rows - 1) * sheet.amount("length of a row")
    pause = merging.HEARD_APART_S + sheet.amount("time in which the relay releases")
    return _open_between(sheet, rows) - pause


def _open_between(sheet: Sheet, rows: int) -> float:
    """Return for how many seconds the contact of a creeping tape is open; below 0 two holes run together."""
    pitch = sheet.amount("row pitch")
    nearer = 2 * (sheet.amount("error of the jig") + sheet.amount("error of the registration"))
    speed = steady.speed(pitch, sheet.amount("length of a row"))
    return (merging.open_travel(rows, pitch, read_closed_lengths(sheet).greatest_mm) - nearer) / speed


JUDGEMENTS = (
    Judgement(
        "The contact is closed all through the gate.",
        codes.FINGER_SWITCHES,
        "the finger makes or breaks the current of the bells, not the gate",
        _steps_under_a_gate,
        _through_gate_needs,
        _through_gate,
        ("closing of the gate",),
        ("closing of the gate", "travel time of a step"),
        "a quicker step, a later gate and a smaller error of the holes together",
    ),
    Judgement(
        "Every ring has the length of its signal.",
        codes.RING_TOO_LONG,
        "rings do not have the length of their signal",
        lambda _: True,
        _length_needs,
        _rings_have_their_length,
        ("length of the gate", "length of the holes", "gate"),
        ("length of the holes",),
        "set the gate, or write in the signal the length and the tolerance that its bells really have",
        is_of_tapes=True,
    ),
    Judgement(
        "Two rings are heard as two.",
        codes.HEARD_AS_ONE,
        "two rings are heard as one",
        _may_have_no_gate,
        _apart_needs,
        _heard_apart,
        ("gate",),
        ("length of the holes",),
        "move one of the two rings, or fit a gate, which cuts each ring to its length",
        is_of_tapes=True,
    ),
)
