"""Banksia College, two terms of 2026: a cycle of six days that slips over closed days."""

from datetime import date, timedelta
from typing import Literal

from tests.oracle import Line, Record, Ring, Row, Signal, dated, days, records, silence

FILE_NAME = "banksia.chime"
PLACE = "Australia/Sydney"
TERMS = ((date(2026, 1, 28), date(2026, 4, 2)), (date(2026, 4, 20), date(2026, 7, 3)))

Change = Literal["as written", "each period at the foot", "carnival"]

LONG = Signal("long", 7, 4)
SHORT = Signal("short", 4, 3)

# The lines that ring, and the one that shifts, by their place in the sample.
ROLL = Line(16, 'period "Roll"  08:50 - 09:00')
PERIODS_1_TO_3 = Line(17, "periods 1 to 3 of 55 min from 09:05 passing 5 min")
LUNCH = Line(18, 'pause "Lunch"  12:00 - 12:50  in halls, oval')
PERIODS_4_TO_5 = Line(19, "periods 4 to 5 of 60 min from 12:55 passing 5 min")
SPORT = Line(24, 'ring 14:00  long  in oval  "Sport"')
SPORT_ENDS = Line(25, 'ring 15:30  long  in oval  "Sport ends"')
LATE_START = Line(
    44, '2026-06-19                 shift +30 min from 08:00 until 11:30  "Late start: staff briefing"'
)
LINES_AS_WRITTEN = (ROLL, PERIODS_1_TO_3, LUNCH, PERIODS_4_TO_5, SPORT, SPORT_ENDS, LATE_START)

MORNING = (
    Row("08:47", "halls", SHORT, "Roll in 3 min", (ROLL,)),
    Row("08:50", "halls", LONG, "Roll starts", (ROLL,)),
    Row("09:00", "halls", SHORT, "Roll ends", (ROLL,)),
    Row("09:02", "halls", SHORT, "Period 1 in 3 min", (PERIODS_1_TO_3,)),
    Row("09:05", "halls", LONG, "Period 1 starts", (PERIODS_1_TO_3,)),
    Row("10:00", "halls", SHORT, "Period 1 ends", (PERIODS_1_TO_3,)),
    Row("10:02", "halls", SHORT, "Period 2 in 3 min", (PERIODS_1_TO_3,)),
    Row("10:05", "halls", LONG, "Period 2 starts", (PERIODS_1_TO_3,)),
    Row("11:00", "halls", SHORT, "Period 2 ends", (PERIODS_1_TO_3,)),
    Row("11:02", "halls", SHORT, "Period 3 in 3 min", (PERIODS_1_TO_3,)),
    Row("11:05", "halls", LONG, "Period 3 starts", (PERIODS_1_TO_3,)),
)
# Every ring from 08:00 until 11:30 thirty minutes later: the third period keeps its end at noon.
LATE_MORNING = (
    Row("09:17", "halls", SHORT, "Roll in 3 min", (ROLL, LATE_START)),
    Row("09:20", "halls", LONG, "Roll starts", (ROLL, LATE_START)),
    Row("09:30", "halls", SHORT, "Roll ends", (ROLL, LATE_START)),
    Row("09:32", "halls", SHORT, "Period 1 in 3 min", (PERIODS_1_TO_3, LATE_START)),
    Row("09:35", "halls", LONG, "Period 1 starts", (PERIODS_1_TO_3, LATE_START)),
    Row("10:30", "halls", SHORT, "Period 1 ends", (PERIODS_1_TO_3, LATE_START)),
    Row("10:32", "halls", SHORT, "Period 2 in 3 min", (PERIODS_1_TO_3, LATE_START)),
    Row("10:35", "halls", LONG, "Period 2 starts", (PERIODS_1_TO_3, LATE_START)),
    Row("11:30", "halls", SHORT, "Period 2 ends", (PERIODS_1_TO_3, LATE_START)),
    Row("11:32", "halls", SHORT, "Period 3 in 3 min", (PERIODS_1_TO_3, LATE_START)),
    Row("11:35", "halls", LONG, "Period 3 starts", (PERIODS_1_TO_3, LATE_START)),
)
# At noon the third period ends and lunch starts in one ring of the halls: the long one.
MIDDAY = (
    Row("11:57", "halls", SHORT, "Lunch in 3 min", (LUNCH,)),
    Row("12:00", "halls", SHORT, "Period 3 ends", (PERIODS_1_TO_3,)),
    Row("12:00", "halls", LONG, "Lunch starts", (LUNCH,)),
    Row("12:50", "halls", SHORT, "Lunch ends", (LUNCH,)),
    Row("11:57", "oval", SHORT, "Lunch in 3 min", (LUNCH,)),
    Row("12:00", "oval", LONG, "Lunch starts", (LUNCH,)),
    Row("12:50", "oval", SHORT, "Lunch ends", (LUNCH,)),
    Row("12:52", "halls", SHORT, "Period 4 in 3 min", (PERIODS_4_TO_5,)),
    Row("12:55", "halls", LONG, "Period 4 starts", (PERIODS_4_TO_5,)),
    Row("13:55", "halls", SHORT, "Period 4 ends", (PERIODS_4_TO_5,)),
)
LAST_LESSON = (
    Row("13:57", "halls", SHORT, "Period 5 in 3 min", (PERIODS_4_TO_5,)),
    Row("14:00", "halls", LONG, "Period 5 starts", (PERIODS_4_TO_5,)),
    Row("15:00", "halls", SHORT, "Period 5 ends", (PERIODS_4_TO_5,)),
)
AFTERNOON_OF_SPORT = (
    Row("14:00", "oval", LONG, "Sport", (SPORT,)),
    Row("15:30", "oval", LONG, "Sport ends", (SPORT_ENDS,)),
)
STANDARD_DAY = (*MORNING, *MIDDAY, *LAST_LESSON)
SPORT_DAY = (*MORNING, *MIDDAY, *AFTERNOON_OF_SPORT)
LATE_DAY = (*LATE_MORNING, *MIDDAY, *LAST_LESSON)

# The number of each weekday, Monday to Friday, by the Monday of its week; "-" where a day takes none.
NUMBERS = {
    date(2026, 1, 26): "--123",
    date(2026, 2, 2): "45612",
    date(2026, 2, 9): "34561",
    date(2026, 2, 16): "23456",
    date(2026, 2, 23): "12345",
    date(2026, 3, 2): "61234",
    date(2026, 3, 9): "56123",
    date(2026, 3, 16): "4561-",
    date(2026, 3, 23): "23456",
    date(2026, 3, 30): "1234-",
    date(2026, 4, 20): "12345",
    date(2026, 4, 27): "-6123",
    date(2026, 5, 4): "45612",
    date(2026, 5, 11): "34561",
    date(2026, 5, 18): "23456",
    date(2026, 5, 25): "12345",
    date(2026, 6, 1): "61234",
    date(2026, 6, 8): "-5612",
    date(2026, 6, 15): "34561",
    date(2026, 6, 22): "23456",
    date(2026, 6, 29): "12345",
}

# Source: the `holidays` library, release 0.109, Australia, New South Wales, observed days
# included, names in its Australian English.
HOLIDAYS = {
    date(2026, 1, 1): "New Year's Day",
    date(2026, 1, 26): "Australia Day",
    date(2026, 4, 3): "Good Friday",
    date(2026, 4, 4): "Easter Saturday",
    date(2026, 4, 5): "Easter Sunday",
    date(2026, 4, 6): "Easter Monday",
    date(2026, 4, 25): "ANZAC Day",
    date(2026, 4, 27): "ANZAC Day (observed)",
    date(2026, 6, 8): "King's Birthday",
    date(2026, 10, 5): "Labour Day",
    date(2026, 12, 25): "Christmas Day",
    date(2026, 12, 26): "Boxing Day",
    date(2026, 12, 28): "Boxing Day (observed)",
}
PUPIL_FREE_DAY = date(2026, 3, 20)
NUMERACY_DAYS = (date(2026, 5, 12), date(2026, 5, 13), date(2026, 5, 14))
LATE_START_DAY = date(2026, 6, 19)
CARNIVAL_DAY = date(2026, 3, 4)


def cycle_number(day: date) -> str:
    """The number of a date inside a term, "-" where it has none."""
    if day.isoweekday() > 5:
        return "-"
    return NUMBERS[day - timedelta(days=day.weekday())][day.weekday()]


def timetable(day: date, change: Change) -> tuple[Row, ...]:
    number = cycle_number(day)
    if number == "-":
        return ()
    if day == LATE_START_DAY:
        return LATE_DAY
    if change == "carnival" and day == CARNIVAL_DAY:
        return SPORT_DAY
    return SPORT_DAY if number in "36" else STANDARD_DAY


def expected(*, change: Change = "as written", text: str = "") -> list[Record]:
    """Every ring of both terms; with a change, text is the changed programme, whose line numbers count."""
    rings: list[Ring] = []
    for first, last in TERMS:
        for day in days(first, last):
            rings += dated(day, timetable(day, change))
    for day in NUMERACY_DAYS:
        rings = silence(rings, "halls", day, "09:00", "11:10")
    return records(rings, FILE_NAME, PLACE, text)
