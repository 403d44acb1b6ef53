"""What can be wrong with drop, shift and move: codes D401 to D419."""

from collections.abc import Sequence

from chime.clock import write_time
from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain, sketch, write_instead
from chime.rings.shapes import Mark, reading

_BASE = 'timetable normal in main\n  each period start lesson, end lesson, warn lesson 2 min before start\n  period "1" 08:45 - 09:45\n  ring 10:10 lesson "Line up"\n'
_LATER = "week ordinary\n  Mon to Fri late\n  Sat, Sun silent"

NO_SUCH_LABEL = Code(
    "D401", "label-not-found", "error",
    "`drop` and `move` name a label of what was taken over: a period, a pause or a ring. This label is nowhere there, so a "
    "bell that should go would ring.",
    _BASE + 'timetable late like normal\n  drop "Line-up"\n' + _LATER,
    _BASE + 'timetable late like normal\n  drop "Line up"\n' + _LATER,
)  # fmt: skip
FINDS_NOTHING = Code(
    "D402", "change-finds-nothing", "warning",
    "The line changes no ring: the time, the zones or the window do not meet any.",
    _BASE + "timetable late like normal\n  drop after 16:00\n" + _LATER,
    _BASE + "timetable late like normal\n  drop after 09:50\n" + _LATER,
)  # fmt: skip
TIME_NOT_FOUND = Code(
    "D403", "time-not-found", "warning",
    "Nothing rings at one of the times named, so nothing is dropped there.",
    _BASE + "timetable late like normal\n  drop 08:45, 08:50\n" + _LATER,
    _BASE + "timetable late like normal\n  drop 08:45\n" + _LATER,
)  # fmt: skip
DROP_OF_WARNING = Code(
    "D404", "drop-of-warning", "warning",
    "A warning belongs to the start or end it warns of and goes with that ring, never alone.",
    _BASE + "timetable late like normal\n  drop 08:43\n" + _LATER,
    _BASE + "timetable late like normal\n  drop 08:45\n" + _LATER,
)  # fmt: skip
MOVE_FINDS_NOTHING = Code(
    "D405", "move-finds-nothing", "error",
    "A `move` needs a period or a ring time to move.",
    _BASE + "timetable late like normal\n  move 08:50 to 08:55\n" + _LATER,
    _BASE + "timetable late like normal\n  move 10:10 to 10:15\n" + _LATER,
)  # fmt: skip
MOVE_FINDS_SEVERAL = Code(
    "D406", "move-finds-several", "error",
    "A `move` needs a single thing to move, at the same time wherever it rings: of several, which is meant could "
    "not be told.",
    'timetable normal in main\n  ring 10:10, 10:20 lesson "Line up"\ntimetable late like normal\n  move "Line up" to 10:30\n' + _LATER,
    _BASE + 'timetable late like normal\n  move "Line up" to 10:30\n' + _LATER,
)  # fmt: skip
PERIOD_NEEDS_RANGE = Code(
    "D407", "period-needs-range", "error",
    "A period or pause moves to a start and an end.",
    _BASE + 'timetable late like normal\n  move "1" to 09:00\n' + _LATER,
    _BASE + 'timetable late like normal\n  move "1" to 09:00 - 09:50\n' + _LATER,
)  # fmt: skip
RING_NEEDS_TIME = Code(
    "D408", "ring-needs-time", "error",
    "A ring moves to one time.",
    _BASE + 'timetable late like normal\n  move "Line up" to 10:15 - 10:20\n' + _LATER,
    _BASE + 'timetable late like normal\n  move "Line up" to 10:15\n' + _LATER,
)  # fmt: skip
TWO_SHIFTS = Code(
    "D409", "two-shifts", "error",
    "A ring is shifted once: with two shifts it could move by either or by both.",
    _BASE + "  ring 11:00 lesson\ntimetable late like normal\n  shift +10 min before 10:30\n  shift +5 min from 10:00\n" + _LATER,
    _BASE + "timetable late like normal\n  shift +10 min from 10:00\n" + _LATER,
)  # fmt: skip
TWO_MOVES = Code(
    "D410", "two-moves", "error",
    "What a move writes is final, so a ring is moved once.",
    _BASE + 'timetable late like normal\n  move "Line up" to 10:15\n  move 10:10 to 10:20\n' + _LATER,
    _BASE + 'timetable late like normal\n  move "Line up" to 10:15\n' + _LATER,
)  # fmt: skip
OUT_OF_THE_DAY = Code(
    "D411", "out-of-the-day", "error",
    "A change may not put a ring before 00:00 of its day or after 47:59.",
    _BASE + "timetable late like normal\n  shift -600 min\n" + _LATER,
    _BASE + "timetable late like normal\n  shift -60 min\n" + _LATER,
)  # fmt: skip
PERIOD_TURNED = Code(
    "D412", "period-turned-round", "error",
    "After the changes a period no longer ends after it starts.",
    _BASE + "timetable late like normal\n  shift +90 min before 09:00\n" + _LATER,
    _BASE + "timetable late like normal\n  shift +10 min before 09:00\n" + _LATER,
)  # fmt: skip

CODES = (
    NO_SUCH_LABEL, FINDS_NOTHING, TIME_NOT_FOUND, DROP_OF_WARNING, MOVE_FINDS_NOTHING, MOVE_FINDS_SEVERAL, PERIOD_NEEDS_RANGE,
    RING_NEEDS_TIME, TWO_SHIFTS, TWO_MOVES, OUT_OF_THE_DAY, PERIOD_TURNED,
)  # fmt: skip


def no_such_label(span: Span, label: str, near: Sequence[str]) -> Diagnostic:
    """Say that a label is nowhere found."""
    place = _part_of(span, f'"{label}"')
    return complain(
        NO_SUCH_LABEL, f'nothing is labelled "{label}" here', (place, "no such label"),
        "What it should change would ring as before.",
        offers=write_instead(place, *(f'"{name}"' for name in near)),
    )  # fmt: skip


def finds_nothing(span: Span) -> Diagnostic:
    """Warn that a change changes no ring."""
    why = "No ring meets what the line names, so the bells ring as before."
    return complain(FINDS_NOTHING, "this line changes no ring", (span, "finds nothing"), why)


def time_not_found(span: Span, at: int) -> Diagnostic:
    """Warn that one of the times of a drop finds nothing."""
    why = "The other times are dropped; at this one there is nothing to drop."
    place = _part_of(span, write_time(at))
    return complain(TIME_NOT_FOUND, f"nothing rings at {write_time(at)}", (place, "nothing rings then"), why)


def drop_of_warning(span: Span, at: int, owner: Mark) -> Diagnostic:
    """Warn that a drop names a warning's own time."""
    ring = f"{write_time(owner.at)} ({reading(owner)})"
    return complain(
        DROP_OF_WARNING, f"{write_time(at)} is the warning of the ring at {ring}", (span, "names a warning"),
        "A warning goes with the ring it warns of, never alone; nothing was dropped here.",
        [(owner.spans[0], "the ring it belongs to")], sketch(f"drop {write_time(owner.at)} takes the ring and its warnings away"),
    )  # fmt: skip


def move_finds_nothing(span: Span, owner: tuple[int, Mark] | None) -> Diagnostic:
    """Say that a move finds nothing, or only a warning."""
    if owner is None:
        why = "A move needs something to move. What it was meant for would ring at its old time."
        return complain(MOVE_FINDS_NOTHING, "there is nothing here to move", (span, "finds nothing"), why)
    at, mark = owner
    return complain(
        MOVE_FINDS_NOTHING, f"{write_time(at)} is the warning of the ring at {write_time(mark.at)} ({reading(mark)})",
        (span, "names a warning"), "A warning moves with the ring it warns of, never alone.",
        [(mark.spans[0], "the ring it belongs to")], sketch(f"move {write_time(mark.at)} takes the warning along"),
    )  # fmt: skip


def move_finds_several(span: Span, times: Sequence[int], *, is_period: bool) -> Diagnostic:
    """Say that a move finds more than one time."""
    listed = " and ".join(write_time(t) for t in times[:4])
    return complain(
        MOVE_FINDS_SEVERAL, f"this move finds more than one: {listed}", (span, "which one?"),
        "A move needs a single thing to move, at the same time wherever it rings.",
        offers=sketch("name the zones with `in`" if is_period else "name a clock time instead of the label"),
    )  # fmt: skip


def period_needs_range(span: Span, mark: Mark) -> Diagnostic:
    """Say that a period moves to a start and an end."""
    why = "A period or pause moves to a start and an end."
    offers = sketch(f'move "{mark.label}" to 10:00 - 10:50')
    return complain(PERIOD_NEEDS_RANGE, f'"{mark.label}" is a period and needs two times', (span, "one time only"), why,
                    [(mark.spans[0], "written here")], offers)  # fmt: skip


def ring_needs_time(span: Span, mark: Mark) -> Diagnostic:
    """Say that a ring moves to one time."""
    return complain(RING_NEEDS_TIME, f'"{mark.label}" is a ring and moves to one time', (span, "two times"),
                    "Only a period has a start and an end.", [(mark.spans[0], "written here")])  # fmt: skip


def two_shifts(span: Span, first: Span, mark: Mark) -> Diagnostic:
    """Say that a ring is in two shifts."""
    return complain(TWO_SHIFTS, f"{_named(mark)} is shifted twice", (span, "shifts it again"),
                    "It could move by either or by both, and which is meant could not be told.", [(first, "shifts it already")])  # fmt: skip


def two_moves(span: Span, first: Span, mark: Mark) -> Diagnostic:
    """Say that a ring is in two moves."""
    return complain(TWO_MOVES, f"{_named(mark)} is moved twice", (span, "moves it again"),
                    "What a move writes is final, so which of the two times holds could not be told.", [(first, "moves it already")])  # fmt: skip


def out_of_the_day(span: Span, mark: Mark) -> Diagnostic:
    """Say that a change puts a ring outside its day."""
    return complain(OUT_OF_THE_DAY, f"{_named(mark)} would leave its day", (span, "too far"),
                    "Times of a day run from 00:00 to 47:59; beyond them the ring would belong to another day.", [(mark.spans[0], "written here")])  # fmt: skip


def period_turned(span: Span, mark: Mark, start: int, end: int, others: Sequence[Span]) -> Diagnostic:
    """Say that a period no longer ends after it starts."""
    return complain(
        PERIOD_TURNED, f'"{mark.label}" in {mark.zone} would start at {write_time(start)} and end at {write_time(end)}',
        (span, "turns it round"), "A period ends after it starts; its bells would ring the wrong way round.", [(s, "changed or written here") for s in others],
    )  # fmt: skip


def _part_of(span: Span, text: str) -> Span:
    """Return where a line says a time or a label, else the whole line."""
    place = span.text.find(text)
    return span if place < 0 else Span(span.source, span.start + place, span.start + place + len(text))


def _named(mark: Mark) -> str:
    label = reading(mark)
    return f"{write_time(mark.at)} in {mark.zone}" + (f" ({label})" if label else "")
