"""Brickfield Works, the first quarter of 2027: three shifts, the last of which ends on the next morning."""

from datetime import date
from typing import Literal

from tests.oracle import Line, Record, Ring, Row, Signal, dated, days, records, silence

FILE_NAME = "brickfield.chime"
PLACE = "America/Denver"
FIRST_DAY = date(2027, 1, 4)
LAST_DAY = date(2027, 3, 31)

Change = Literal["as written", "shop silent"]

HOOTER = Signal("hooter", 8, 3.5)
BELL = Signal("bell", 6, 3.5)

# The lines that ring, by their place in the sample.
EARLY_SHIFT = Line(18, 'period "Early"   06:00 - 14:00  in shop, yard')
LATE_SHIFT = Line(19, 'period "Late"    14:00 - 22:00  in shop, yard')
NIGHT_SHIFT = Line(20, 'period "Night"   22:00 - 06:00  in shop, yard')
BREAKS = Line(21, 'ring 10:00, 10:15, 18:00, 18:15, 26:00, 26:15  bell  in shop  "Break"')
OFFICE_BELLS = Line(22, "ring 08:30, 12:30, 13:15, 17:00                bell  in office")
LINES_AS_WRITTEN = (EARLY_SHIFT, LATE_SHIFT, NIGHT_SHIFT, BREAKS, OFFICE_BELLS)

# What is left at or before 14:00 when the late and the night shift are dropped.
UNTIL_TWO = (
    Row("06:00", "shop", HOOTER, "Early starts", (EARLY_SHIFT,)),
    Row("06:00", "yard", HOOTER, "Early starts", (EARLY_SHIFT,)),
    Row("08:30", "office", BELL, "", (OFFICE_BELLS,)),
    Row("10:00", "shop", BELL, "Break", (BREAKS,)),
    Row("10:15", "shop", BELL, "Break", (BREAKS,)),
    Row("12:30", "office", BELL, "", (OFFICE_BELLS,)),
    Row("13:15", "office", BELL, "", (OFFICE_BELLS,)),
    Row("14:00", "shop", HOOTER, "Early ends", (EARLY_SHIFT,)),
    Row("14:00", "yard", HOOTER, "Early ends", (EARLY_SHIFT,)),
)
LATE_AND_NIGHT = (
    Row("14:00", "shop", HOOTER, "Late starts", (LATE_SHIFT,)),
    Row("14:00", "yard", HOOTER, "Late starts", (LATE_SHIFT,)),
    Row("17:00", "office", BELL, "", (OFFICE_BELLS,)),
    Row("18:00", "shop", BELL, "Break", (BREAKS,)),
    Row("18:15", "shop", BELL, "Break", (BREAKS,)),
    Row("22:00", "shop", HOOTER, "Late ends", (LATE_SHIFT,)),
    Row("22:00", "yard", HOOTER, "Late ends", (LATE_SHIFT,)),
    Row("22:00", "shop", HOOTER, "Night starts", (NIGHT_SHIFT,)),
    Row("22:00", "yard", HOOTER, "Night starts", (NIGHT_SHIFT,)),
    Row("26:00", "shop", BELL, "Break", (BREAKS,)),
    Row("26:15", "shop", BELL, "Break", (BREAKS,)),
    Row("30:00", "shop", HOOTER, "Night ends", (NIGHT_SHIFT,)),
    Row("30:00", "yard", HOOTER, "Night ends", (NIGHT_SHIFT,)),
)
SHORT_DAY = UNTIL_TWO
WORKING_DAY = (*UNTIL_TWO, *LATE_AND_NIGHT)

HOLIDAYS = (date(2027, 1, 18), date(2027, 2, 15))
FRIDAY_THAT_WORKS_THROUGH = date(2027, 3, 12)
OFFICE_AWAY = (date(2027, 3, 8), date(2027, 3, 9), date(2027, 3, 10))
SHOP_SILENT = (date(2027, 1, 12), date(2027, 1, 13), date(2027, 1, 14))


def timetable(day: date) -> tuple[Row, ...]:
    """The rows of a service day, the office's left out on the days it is away."""
    if day.isoweekday() > 5 or day in HOLIDAYS:
        return ()
    if day.isoweekday() == 5 and day != FRIDAY_THAT_WORKS_THROUGH:
        return SHORT_DAY
    if day in OFFICE_AWAY:
        return tuple(row for row in WORKING_DAY if row.zone != "office")
    return WORKING_DAY


def expected(*, change: Change = "as written", text: str = "") -> list[Record]:
    """Every ring of the quarter; with a change, text is the changed programme, whose line numbers count."""
    rings: list[Ring] = []
    for day in days(FIRST_DAY, LAST_DAY):
        rings += dated(day, timetable(day))
    if change == "shop silent":
        for day in SHOP_SILENT:
            rings = silence(rings, "shop", day, "06:00", "14:00")
    return records(rings, FILE_NAME, PLACE, text)
