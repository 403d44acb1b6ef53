"""What can be wrong with any block, a signal, or machines in one programme: codes N341, N342, N371, N372."""

from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain

LINE_TWICE = Code(
    "N341", "line-twice", "error",
    "Such a line is said once in its block: which of the two is meant could not be told.",
    "timetable normal in main\n  each period start lesson\n  each period end lesson\n  period \"1\" 08:50 - 09:40",
    "timetable normal in main\n  each period start lesson, end lesson\n  period \"1\" 08:50 - 09:40",
)  # fmt: skip
PART_TWICE = Code(
    "N342", "part-twice", "error",
    "A line says each of its parts once.",
    "timetable normal in main\n  each period start lesson, start lesson\n  period \"1\" 08:50 - 09:40",
    "timetable normal in main\n  each period start lesson, end lesson\n  period \"1\" 08:50 - 09:40",
)  # fmt: skip
TWO_MACHINES = Code(
    "N371", "two-machines", "error",
    "A programme is punched for one tape machine.",
    "machine hall\n  loop 24 h in rows of 1 min\nmachine annexe\n  loop 24 h in rows of 1 min",
    "machine hall\n  loop 24 h in rows of 1 min",
)  # fmt: skip
TOLERANCE_TOO_LARGE = Code(
    "N372", "tolerance-too-large", "error",
    "A signal tolerates less than its own length, else no ring at all would do.",
    "signal lesson 6 s within 6 s",
    "signal lesson 6 s within 2 s",
)  # fmt: skip

CODES = (
    LINE_TWICE,
    PART_TWICE,
    TWO_MACHINES,
    TOLERANCE_TOO_LARGE,
)


def line_twice(span: Span, first: Span, words: str) -> Diagnostic:
    """Say that a line stands twice in its block."""
    return complain(
        LINE_TWICE, f'"{words}" is said twice in this block', (span, "said again"),
        "Which of the two is meant could not be told.", [(first, "first said here")],
    )  # fmt: skip


def part_twice(span: Span, first: Span) -> Diagnostic:
    """Say that a part stands twice in its line."""
    return complain(
        PART_TWICE, f'"{span.text}" says again what this line has said', (span, "said again"),
        "A line says each of its parts once: another was probably meant, and is now missing.",
        [(first, "first said here")],
    )  # fmt: skip


def two_machines(span: Span, first: Span) -> Diagnostic:
    """Say that there are two machines."""
    why = "A programme is punched for one tape machine; which of the two could not be told."
    return complain(TWO_MACHINES, "a second machine", (span, "the second"), why, [(first, "the first")])


def tolerance_too_large(span: Span) -> Diagnostic:
    """Say that a signal tolerates as much as its own length."""
    why = "With such a tolerance no ring at all would do, and a bell that failed would pass."
    return complain(
        TOLERANCE_TOO_LARGE, "the tolerance is not less than the length", (span, "too large"), why
    )
