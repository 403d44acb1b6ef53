"""What can be wrong with drop, shift and move: codes D401 to D419."""

import re
from collections.abc import Sequence

from chime.clock import write_time
from chime.diagnostics import Code, Diagnostic, Span, Suggestion
from chime.diagnostics.complain import complain, sketch, write_instead
from chime.programme.model import Change, Move, Shift
from chime.rings.shapes import Mark, reading

_BASE = 'timetable normal in main\n  each period start lesson, end lesson, warn lesson 2 min before start\n  period "1" 08:45 - 09:45\n  ring 10:10 lesson "Line up"\n'
_LATEST = 2 * 86_400
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
    "The line changes no ring: the time, the zones or the window do not meet any, or a `move` names the times at which it "
    "rings already.",
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
    "A warning belongs to the start or end it warns of and goes with that ring, never alone; so neither its time nor its "
    "label can be dropped.",
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
    "A period or pause moves to a start and an end. One of its two rings is named by its own label, such as "
    "`Period 1 starts`, and moves to one time.",
    _BASE + 'timetable late like normal\n  move "1" to 09:00\n' + _LATER,
    _BASE + 'timetable late like normal\n  move "1" to 09:00 - 09:50\n' + _LATER,
)  # fmt: skip
RING_NEEDS_TIME = Code(
    "D408", "ring-needs-time", "error",
    "A ring moves to one time, and so does the start or the end of a period that is named by its own label, such as "
    "`Period 1 starts`.",
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

HALF_DROPPED = Code(
    "D413", "move-of-half-dropped", "error",
    "Drops are done before moves. Where one of them takes the start or the end of a period away, a `move` of the whole period "
    "to two times would lose one of them.",
    _BASE + 'timetable late like normal\n  drop 08:45\n  move "1" to 09:00 - 09:50\n' + _LATER,
    _BASE + 'timetable late like normal\n  drop 08:45\n  move "Period 1 ends" to 09:50\n' + _LATER,
)  # fmt: skip

CODES = (
    NO_SUCH_LABEL, FINDS_NOTHING, TIME_NOT_FOUND, DROP_OF_WARNING, MOVE_FINDS_NOTHING, MOVE_FINDS_SEVERAL, PERIOD_NEEDS_RANGE,
    RING_NEEDS_TIME, TWO_SHIFTS, TWO_MOVES, OUT_OF_THE_DAY, PERIOD_TURNED, HALF_DROPPED,
)  # fmt: skip


def no_such_label(span: Span, label: str, near: Sequence[str]) -> Diagnostic:
    """Say that a label is nowhere found."""
    place = _part_of(span, f'"{label}"')
    names = [f'"{name}"' for name in near]
    # Where the line writes the label in another way its place is not known, and so no edit is offered.
    offers = sketch(" or ".join(names)) if names and place == span else write_instead(place, *names)
    return complain(
        NO_SUCH_LABEL, f'nothing is labelled "{label}" here', (place, "no such label"),
        "What it should change would ring as before.", offers=offers,
    )  # fmt: skip


def finds_nothing(span: Span) -> Diagnostic:
    """Warn that a change changes no ring."""
    why = "No ring meets what the line names, so the bells ring as before."
    return complain(FINDS_NOTHING, "this line changes no ring", (span, "finds nothing"), why)


def moves_nowhere(span: Span) -> Diagnostic:
    """Warn that a move names the times at which its rings are already."""
    why = "What it names rings at these times already, so the bells ring as before."
    return complain(FINDS_NOTHING, "this line changes no ring", (span, "the same times"), why)


def time_not_found(span: Span, at: int) -> Diagnostic:
    """Warn that one of the times of a drop finds nothing."""
    why = "The other times are dropped; at this one there is nothing to drop."
    place = _part_of(span, write_time(at))
    return complain(TIME_NOT_FOUND, f"nothing rings at {write_time(at)}", (place, "nothing rings then"), why)


def drop_of_warning(span: Span, named: int | str, owner: Mark) -> Diagnostic:
    """Warn that a drop names a warning, by its time or by its label."""
    offer = f'"{reading(owner)}"' if isinstance(named, str) else write_time(owner.at)
    return complain(
        DROP_OF_WARNING, f"{_as_named(named)} is the warning of the ring at {_named(owner)}", (span, "names a warning"),
        "A warning goes with the ring it warns of, never alone; nothing was dropped here.",
        [(owner.spans[0], "the ring it belongs to")], sketch(f"drop {offer} takes the ring and its warnings away"),
    )  # fmt: skip


def move_finds_nothing(span: Span, gone: Span | None = None) -> Diagnostic:
    """Say that a move finds nothing, or only what a drop took away."""
    if gone is None:
        why = "A move needs something to move. What it was meant for would ring at its old time."
        return complain(MOVE_FINDS_NOTHING, "there is nothing here to move", (span, "finds nothing"), why)
    return complain(
        MOVE_FINDS_NOTHING, "what this line moves is dropped by another line", (span, "finds nothing"),
        "Drops are done before moves, so nothing is left to move, and nothing would ring at the new time.",
        [(gone, "drops it")], sketch("leave one of the two lines out"),
    )  # fmt: skip


def move_of_warning(span: Span, named: int | str, owner: Mark) -> Diagnostic:
    """Say that a move names a warning, by its time or by its label."""
    offer = f'"{reading(owner)}"' if isinstance(named, str) else write_time(owner.at)
    return complain(
        MOVE_FINDS_NOTHING, f"{_as_named(named)} is the warning of the ring at {_named(owner)}",
        (span, "names a warning"), "A warning moves with the ring it warns of, never alone.",
        [(owner.spans[0], "the ring it belongs to")], sketch(f"move {offer} takes the warning along"),
    )  # fmt: skip


def half_dropped(change: Move, left: Mark, gone: Span, whole: Sequence[str]) -> Diagnostic:
    """Say that one edge of a period that is to move is dropped by another line; it is whole in some zones."""
    lost, to = ("end", change.start) if left.kind == "start" else ("start", change.end or change.start)
    edge = f'"{reading(left)}"'
    offers = _move_instead(change.span, edge, to)
    if whole:
        times = write_time(change.start) + (f" - {write_time(change.end)}" if change.end is not None else "")
        offers = sketch(
            f'move "{left.label}" to {times} in {", ".join(whole)}, and move {edge} to {write_time(to)} in {left.zone}'
        )
    return complain(
        HALF_DROPPED, f'the {lost} of "{left.label}" in {left.zone} is dropped, so it has no {lost} to move',
        (change.span, "moves the whole"), "Drops are done before moves: one of the two new times would be lost.",
        [(gone, f"drops its {lost}")], (*offers, *sketch(f"leave the drop of its {lost} out")),
    )  # fmt: skip


def move_finds_several(span: Span, times: Sequence[int], *, is_period: bool) -> Diagnostic:
    """Say that a move finds more than one time."""
    listed = " and ".join(write_time(t) for t in times[:4])
    return complain(
        MOVE_FINDS_SEVERAL, f"this move finds more than one: {listed}", (span, "which one?"),
        "A move needs a single thing to move, at the same time wherever it rings.",
        offers=sketch("name the zones with `in`" if is_period else "name a clock time instead of the label"),
    )  # fmt: skip


def period_needs_range(change: Move, edges: Sequence[Mark]) -> Diagnostic:
    """Say that a period moves to a start and an end; takes the starts and ends that the move names."""
    start, end = edges[0], next((m for m in edges if m.kind == "end" and m.zone == edges[0].zone), edges[0])
    until = change.start + max(end.at - start.at, 60)
    label = f'"{start.label}"'
    return complain(
        PERIOD_NEEDS_RANGE, f"{label} is a period and needs two times", (change.span, "one time only"),
        "A period or pause moves to a start and an end.", [(start.spans[0], "written here")],
        (
            *(_move_instead(change.span, label, change.start, until) if until < _LATEST else ()),
            *_move_instead(change.span, f'"{reading(start)}"', change.start),
        ),
    )  # fmt: skip


def ring_needs_time(change: Move, mark: Mark) -> Diagnostic:
    """Say that a ring, or one edge of a period, moves to one time."""
    label, why = f'"{change.label}"', "Only a period has a start and an end."
    alone = change.end if change.end is not None and mark.kind == "end" else change.start
    offers = _move_instead(change.span, label, alone)
    if mark.period is not None:
        why = f'The whole period is named by its own label, "{mark.label}", and moves to a start and an end.'
        offers = (*_move_instead(change.span, f'"{mark.label}"', change.start, change.end), *offers)
    return complain(
        RING_NEEDS_TIME, f"{label} is a ring and moves to one time", (change.span, "two times"), why,
        [(mark.spans[0], "written here")], offers,
    )  # fmt: skip


def changed_twice(one: Change, other: Change, hit: Sequence[Mark]) -> Diagnostic:
    """Say that two shifts, or two moves, take the same rings; takes the starts, ends and rings they share."""
    first, again = sorted((one.span, other.span), key=lambda span: (span.source.path, span.start))
    if isinstance(one, Shift):
        code, word = TWO_SHIFTS, "shift"
        why = "It could move by either or by both, and which is meant could not be told."
    else:
        code, word = TWO_MOVES, "move"
        why = "What a move writes is final, so which of the two times holds could not be told."
    done = {"shift": "shifted", "move": "moved"}[word]
    return complain(
        code, f"{_named_first(hit)} is {done} twice{_more(hit)}", (again, f"{word}s it again"), why, [(first, f"{word}s it already")],
    )  # fmt: skip


def out_of_the_day(span: Span, hit: Sequence[Mark]) -> Diagnostic:
    """Say that a change puts rings outside their day."""
    return complain(
        OUT_OF_THE_DAY, f"{_named_first(hit)} would leave its day{_more(hit)}", (span, "too far"),
        "Times of a day run from 00:00 to 47:59; beyond them the ring would belong to another day.",
        [(_in_order(hit)[0].spans[0], "written here")],
    )  # fmt: skip


def period_turned(span: Span, turned: Sequence[tuple[Mark, Mark]], others: Sequence[Span]) -> Diagnostic:
    """Say that periods, each with its start and its end, no longer end after they start; the first is shown."""
    start, end = turned[0]
    more = f" (and {len(turned) - 1} more)" if len(turned) > 1 else ""
    times = f"start at {write_time(start.to)} and end at {write_time(end.to)}"
    return complain(
        PERIOD_TURNED, f'"{start.label}" in {start.zone} would {times}{more}', (span, "turns it round"),
        "A period ends after it starts; its bells would ring the wrong way round.", [(s, "changed or written here") for s in others],
    )  # fmt: skip


def same_mistake(fault: Diagnostic) -> tuple[str, tuple[Span, ...]]:
    """Return what the faults of one mistake have in common, on whichever days it shows.

    Two lines that fall out with each other are a mistake of both; other faults are of their own line,
    whatever ring it meets first on a day.
    """
    is_of_two = fault.code in (TWO_SHIFTS, TWO_MOVES, HALF_DROPPED)
    return fault.code.id, tuple(label.span for label in fault.labels[: 2 if is_of_two else 1])


_TIME = r"\d\d:\d\d(?::\d\d)?"
_MOVE = re.compile(rf'\bmove\s+(?:"[^"]*"|{_TIME})\s+to\s+{_TIME}(?:\s*-\s*{_TIME})?')


def _move_instead(span: Span, what: str, start: int, end: int | None = None) -> tuple[Suggestion, ...]:
    """Return the guess that a line moves something else, or to other times."""
    times = write_time(start) if end is None else f"{write_time(start)} - {write_time(end)}"
    said, found = f"move {what} to {times}", _MOVE.search(span.text)
    if found is None:
        return sketch(said)
    return write_instead(Span(span.source, span.start + found.start(), span.start + found.end()), said)


def _part_of(span: Span, text: str) -> Span:
    """Return where a line says a time or a label, else the whole line."""
    place = re.search(rf"{re.escape(text)}(?!:)", span.text)
    return Span(span.source, span.start + place.start(), span.start + place.end()) if place else span


def _as_named(named: int | str) -> str:
    return f'"{named}"' if isinstance(named, str) else write_time(named)


def _named(mark: Mark) -> str:
    return f"{write_time(mark.at)} ({reading(mark)})"


def _in_order(hit: Sequence[Mark]) -> list[Mark]:
    return sorted(hit, key=lambda mark: (mark.at, mark.zone, reading(mark) or ""))


def _named_first(hit: Sequence[Mark]) -> str:
    mark = _in_order(hit)[0]
    label = reading(mark)
    return f"{write_time(mark.at)} in {mark.zone}" + (f" ({label})" if label else "")


def _more(hit: Sequence[Mark]) -> str:
    return f" (and {len(hit) - 1} more)" if len(hit) > 1 else ""
