"""Saltmarsh School, autumn 2026: alternating weeks, early Fridays, seven closed days and an examination."""

from datetime import date, timedelta
from typing import Literal

from tests.oracle import Line, Record, Ring, Row, Signal, dated, days, records, silence

FILE_NAME = "saltmarsh.chime"
PLACE = "Europe/London"
FIRST_DAY = date(2026, 9, 7)
LAST_DAY = date(2026, 12, 18)

Change = Literal[
    "as written",
    "open day",
    "last fortnight early",
    "drop below its ring",
    "clubs",
    "week b silent",
]

LESSON = Signal("lesson", 6, 1.5)

# The lines that ring, by their place in the sample. The last one stands in a changed text alone.
NORMAL_MAIN = Line(
    16, "ring 08:40, 08:45, 09:45, 10:45, 11:05, 12:05, 13:00, 13:05, 14:05, 15:05  lesson  in main"
)
NORMAL_A_JUNIOR = Line(
    17, "ring 08:40, 08:45, 09:45, 10:30, 10:50, 11:45, 12:40, 12:45, 14:05, 15:05  lesson  in junior"
)
NORMAL_WORKSHOP = Line(
    18, "ring 08:45, 09:45, 10:45, 11:05, 12:05, 13:05, 14:05, 15:05                lesson  in workshop"
)
NORMAL_YARD = Line(
    19, "ring 10:45, 11:05, 12:05, 13:00                                            lesson  in yard"
)
NORMAL_B_JUNIOR = Line(
    23, "ring 08:40, 08:45, 09:45, 10:30, 10:50, 12:10, 13:00, 13:05, 14:05, 15:05  lesson  in junior"
)
EARLY_MAIN_JUNIOR = Line(
    26, "ring 08:40, 08:45, 09:35, 10:25, 10:45, 11:35, 12:25, 13:10  lesson  in main, junior"
)
EARLY_WORKSHOP = Line(27, "ring 08:45, 09:35, 10:25, 10:45, 11:35, 12:25, 13:10         lesson  in workshop")
EARLY_YARD = Line(28, "ring 10:25, 10:45                                            lesson  in yard")
LINES_AS_WRITTEN = (
    NORMAL_MAIN,
    NORMAL_A_JUNIOR,
    NORMAL_WORKSHOP,
    NORMAL_YARD,
    NORMAL_B_JUNIOR,
    EARLY_MAIN_JUNIOR,
    EARLY_WORKSHOP,
    EARLY_YARD,
)
CLUBS = Line(49, 'every Wed from 2026-10-14 to 2026-12-16  add 15:45 lesson in main  "Clubs"')


def unlabelled(line: Line, zone: str, clocks: str) -> tuple[Row, ...]:
    return tuple(Row(clock, zone, LESSON, "", (line,)) for clock in clocks.split())


# Main, workshop and yard are the same in both weeks.
NORMAL = (
    *unlabelled(NORMAL_MAIN, "main", "08:40 08:45 09:45 10:45 11:05 12:05 13:00 13:05 14:05 15:05"),
    *unlabelled(NORMAL_WORKSHOP, "workshop", "08:45 09:45 10:45 11:05 12:05 13:05 14:05 15:05"),
    *unlabelled(NORMAL_YARD, "yard", "10:45 11:05 12:05 13:00"),
)
NORMAL_A = (
    *NORMAL,
    *unlabelled(NORMAL_A_JUNIOR, "junior", "08:40 08:45 09:45 10:30 10:50 11:45 12:40 12:45 14:05 15:05"),
)
NORMAL_B = (
    *NORMAL,
    *unlabelled(NORMAL_B_JUNIOR, "junior", "08:40 08:45 09:45 10:30 10:50 12:10 13:00 13:05 14:05 15:05"),
)
EARLY = (
    *unlabelled(EARLY_MAIN_JUNIOR, "main", "08:40 08:45 09:35 10:25 10:45 11:35 12:25 13:10"),
    *unlabelled(EARLY_MAIN_JUNIOR, "junior", "08:40 08:45 09:35 10:25 10:45 11:35 12:25 13:10"),
    *unlabelled(EARLY_WORKSHOP, "workshop", "08:45 09:35 10:25 10:45 11:35 12:25 13:10"),
    *unlabelled(EARLY_YARD, "yard", "10:25 10:45"),
)

# The letter of each week, by its Monday. Half term is wholly closed: it takes none, and 2 November is offered
# the b that it was offered. The week of 23 November has lost its Monday alone and keeps its turn.
LETTERS = {
    date(2026, 9, 7): "a",
    date(2026, 9, 14): "b",
    date(2026, 9, 21): "a",
    date(2026, 9, 28): "b",
    date(2026, 10, 5): "a",
    date(2026, 10, 12): "b",
    date(2026, 10, 19): "a",
    date(2026, 10, 26): "",
    date(2026, 11, 2): "b",
    date(2026, 11, 9): "a",
    date(2026, 11, 16): "b",
    date(2026, 11, 23): "a",
    date(2026, 11, 30): "b",
    date(2026, 12, 7): "a",
    date(2026, 12, 14): "b",
}

# With a week b that never rings, half term is offered a week that would not ring on any day. Nothing that
# would have rung is closed in it, so it takes its b, and 2 November is a.
LETTERS_WITH_B_SILENT = {
    date(2026, 9, 7): "a",
    date(2026, 9, 14): "b",
    date(2026, 9, 21): "a",
    date(2026, 9, 28): "b",
    date(2026, 10, 5): "a",
    date(2026, 10, 12): "b",
    date(2026, 10, 19): "a",
    date(2026, 10, 26): "b",
    date(2026, 11, 2): "a",
    date(2026, 11, 9): "b",
    date(2026, 11, 16): "a",
    date(2026, 11, 23): "b",
    date(2026, 11, 30): "a",
    date(2026, 12, 7): "b",
    date(2026, 12, 14): "a",
}

CLOSED = {
    date(2026, 10, 2): "Staff training",
    date(2026, 10, 26): "Half term",
    date(2026, 10, 27): "Half term",
    date(2026, 10, 28): "Half term",
    date(2026, 10, 29): "Half term",
    date(2026, 10, 30): "Half term",
    date(2026, 11, 23): "Boiler replacement",
}

OPEN_DAY = date(2026, 10, 28)

EXAMINATION_DAYS = (
    date(2026, 11, 30),
    date(2026, 12, 1),
    date(2026, 12, 2),
    date(2026, 12, 3),
    date(2026, 12, 7),
    date(2026, 12, 8),
    date(2026, 12, 9),
    date(2026, 12, 10),
)

LAST_FORTNIGHT = (date(2026, 12, 7), date(2026, 12, 18))

# Every Wednesday from 14 October to 16 December but the one in half term, which the closure passes by.
CLUB_DAYS = (
    date(2026, 10, 14),
    date(2026, 10, 21),
    date(2026, 11, 4),
    date(2026, 11, 11),
    date(2026, 11, 18),
    date(2026, 11, 25),
    date(2026, 12, 2),
    date(2026, 12, 9),
    date(2026, 12, 16),
)


def timetable(day: date, change: Change) -> tuple[Row, ...]:
    """The rows of a date before any ring is added or silenced."""
    if change == "open day" and day == OPEN_DAY:
        return NORMAL_A
    if day in CLOSED or day.isoweekday() > 5:
        return ()
    letters = LETTERS_WITH_B_SILENT if change == "week b silent" else LETTERS
    letter = letters[day - timedelta(days=day.weekday())]
    if change == "week b silent" and letter == "b":
        return ()
    if change == "last fortnight early" and LAST_FORTNIGHT[0] <= day <= LAST_FORTNIGHT[1]:
        return EARLY
    if day.isoweekday() == 5:
        return EARLY
    return {"a": NORMAL_A, "b": NORMAL_B}[letter]


def expected(*, change: Change = "as written", text: str = "") -> list[Record]:
    """Every ring of the term; with a change, text is the changed programme, whose line numbers count."""
    rings: list[Ring] = []
    for day in days(FIRST_DAY, LAST_DAY):
        rings += dated(day, timetable(day, change))
    if change == "clubs":
        for day in CLUB_DAYS:
            rings += dated(day, [Row("15:45", "main", LESSON, "Clubs", (CLUBS,))])
    for day in EXAMINATION_DAYS:
        rings = silence(rings, "main", day, "09:00", "12:30")
    return records(rings, FILE_NAME, PLACE, text)
