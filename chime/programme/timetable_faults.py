"""What can be wrong with a timetable as written: codes N343 to N347."""

from collections.abc import Sequence

from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain, sketch

LIKE_CIRCLE = Code(
    "N343", "like-in-a-circle", "error",
    "A timetable may start from another, but not from one that starts from it.",
    "timetable normal like early\n  ring 08:40 lesson in main\ntimetable early like normal\n  drop after 12:00",
    "timetable normal in main\n  ring 08:40 lesson",
)  # fmt: skip
NO_ZONES = Code(
    "N344", "no-zones", "error",
    "A line rings in the zones it names, else in those of its timetable's first line. One of the two must say.",
    "timetable normal\n  ring 08:40 lesson\n  ring 08:45 lesson in main",
    "timetable normal\n  ring 08:40 lesson in main\n  ring 08:45 lesson in main",
)  # fmt: skip
PERIODS_BACKWARDS = Code(
    "N345", "periods-backwards", "error",
    "`periods 6 to 8` makes the periods 6, 7 and 8: the last number is not below the first, and there are at most 200.",
    "timetable normal in main\n  each period start lesson\n  periods 5 to 2 of 45 min from 09:10",
    "timetable normal in main\n  each period start lesson\n  periods 2 to 5 of 45 min from 09:10",
)  # fmt: skip
MOVE_TIME_TO_RANGE = Code(
    "N346", "move-time-to-range", "error",
    "A ring time moves to one time; a period, named by its label, moves to a range.",
    "exceptions\n  2026-10-13 move 08:40 to 08:50 - 09:00",
    "exceptions\n  2026-10-13 move 08:40 to 08:50",
)  # fmt: skip
PERIODS_TOO_LATE = Code(
    "N347", "periods-too-late", "error",
    "Times of a day run to 47:59, the end of the next morning's day: periods that go on longer are a slip in a length.",
    "timetable normal in main\n  each period start lesson\n  periods 1 to 60 of 60 min from 09:00",
    "timetable normal in main\n  each period start lesson\n  periods 1 to 6 of 60 min from 09:00",
)  # fmt: skip

CODES = (
    LIKE_CIRCLE,
    NO_ZONES,
    PERIODS_BACKWARDS,
    MOVE_TIME_TO_RANGE,
    PERIODS_TOO_LATE,
)

_MOST_OF_A_CIRCLE = 8


def like_circle(span: Span, chain: Sequence[str], others: Sequence[Span]) -> Diagnostic:
    """Say that timetables start from each other in a circle; of a long one the two ends are shown."""
    shown = list(chain)
    if len(chain) > _MOST_OF_A_CIRCLE + 1:
        left_out = len(chain) - _MOST_OF_A_CIRCLE
        shown[4 : 4 + left_out] = [f"({left_out} more)"]
        others = [*others[:3], *others[3 + left_out :]]
    return complain(
        LIKE_CIRCLE, "timetables start from each other in a circle: " + " like ".join(shown), (span, "in the circle"),
        "None of them has a beginning, so none of them can ring.", [(other, "in it too") for other in others],
    )  # fmt: skip


def no_zones(span: Span) -> Diagnostic:
    """Say that a line rings in no zone."""
    return complain(
        NO_ZONES, "neither this line nor its timetable says in which zones it rings", (span, "in which zones?"),
        "Bells that ring nowhere would be missed by everybody.",
        offers=sketch("add `in` and the zones at the end of this line, or to the timetable's first line"),
    )  # fmt: skip


def periods_backwards(span: Span, first: int, last: int) -> Diagnostic:
    """Say that a run of periods is backwards or too long."""
    why = "The last number is not below the first, and one line makes at most 200 periods."
    return complain(
        PERIODS_BACKWARDS, f"periods {first} to {last} cannot be made", (span, "these numbers"), why
    )


def periods_too_late(span: Span, last: int) -> Diagnostic:
    """Say that a run of periods passes the end of the next day."""
    why = "Times of a day run to 47:59; a length, a gap or a number is not what was meant."
    return complain(PERIODS_TOO_LATE, f"period {last} would end after 47:59", (span, "too long a day"), why)


def move_time_to_range(span: Span) -> Diagnostic:
    """Say that a ring time cannot become a range."""
    why = "A ring time moves to one time; only a period, named by its label, has a start and an end."
    offers = sketch('move 08:40 to 08:50, or of a period: move "1" to 08:50 - 09:40')
    return complain(
        MOVE_TIME_TO_RANGE, "a ring time cannot move to a range", (span, "one time or a label"), why, offers=offers
    )  # fmt: skip
