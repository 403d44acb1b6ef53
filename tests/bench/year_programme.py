"""Programmes to measure with: a school year in four zones, and long files."""

from datetime import date, timedelta

HEAD = """programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-17
machine hall
  loop 24 h in rows of 1 min
  row 3 mm
  tape 36 mm wide, 0.15 mm thick
  tracks at 9, 15, 21, 27 mm from the guided edge
  sprocket every 3 mm, hole 1.4 mm, 4.5 mm from the guided edge
  hole round 2.1 mm within 0.06 mm
  reads 2 rows ahead
zone main on track 1 "Old house"
zone lower on track 2 "Lower school"
zone studio on track 3 "Studios"
zone lawn on track 4 "Lawn"
signal lesson 7 s within 2 s
"""

YEAR = """timetable normal in main, lower
  each period start lesson, end lesson
  periods 1 to 6 of 48 min from 08:50 passing 6 min
  ring 08:42, 10:41, 12:21, 14:33 lesson in everywhere "Come in"
timetable early like normal
  drop after 12:50
week a
  Mon to Thu normal
  Fri early
  Sat, Sun silent
week b
  Mon to Fri normal
  Sat, Sun silent
term "Autumn" 2026-09-03 to 2026-12-17
  weeks a, b from 2026-09-03 counting school weeks
term "Spring" 2027-01-07 to 2027-03-19
  weeks a, b from 2027-01-07 counting school weeks
term "Summer" 2027-04-15 to 2027-07-14
  weeks a, b from 2027-04-15 counting school weeks
exceptions
  2026-10-19 to 2026-10-23 silent "Autumn break"
  2027-02-08 to 2027-02-12 silent "Winter break"
  2027-05-31 to 2027-06-04 silent "Early summer break"
  2026-12-07 to 2026-12-10 silent in main 09:20 - 11:45 "Recitals"
  2026-11-24 add 10:33 lesson in everywhere "Founder's minute"
  2027-03-03 shift +20 min from 12:50 "Long concert"
"""


def text(*, holidays: bool = False) -> str:
    """Return a programme of a school year in four zones, with public holidays if wished."""
    return HEAD + YEAR + ("  public holidays of GB-ENG silent\n" if holidays else "")


WEEK_MACHINE = """machine week
  loop 7 d in rows of 1 min
  row 2.5 mm
  tape 70 mm wide, 0.15 mm thick
  tracks at 8, 13, 18, 23, 28, 33, 38, 43, 48, 53, 58, 63 mm from the guided edge
  sprocket every 5 mm within 0.02 mm, hole 1.5 mm, 3 mm from the guided edge
  wheel 16 pins 1.3 mm over 150 degrees
  drive steps in 0.3 s
  hole round 1.6 mm within 0.05 mm
  finger drops in, round 0.7 mm within 0.05 mm
  side play 0.15 mm
  reads 2 rows ahead
  gate at 7 s for 7 s, within 0.4 s
  relay operates 25 ms, releases 15 ms, bounces 10 ms
  errors jig 0.06 mm, registration 0.04 mm, detent 0.06 mm, stretch 0.03 % over 32 mm
  web at least 0.35 mm
  joint lap of 10 rows
"""


def week_text() -> str:
    """Return a programme of a loop of 10,080 rows, twelve tracks and 3,024 holes."""
    zones = [f"zone z{n} on track {n}\n" for n in range(1, 13)]
    times = [6 * 60 + 17 * n for n in range(36)]
    rings = ", ".join(f"{time // 60:02}:{time % 60:02}" for time in times)
    return (
        HEAD[: HEAD.index("machine")]
        + WEEK_MACHINE
        + "".join(zones)
        + f"signal lesson 7 s within 2 s\ntimetable all in everywhere\n  ring {rings} lesson\n"
        + "week ordinary\n  Mon to Sun all\n"
        + 'term "Autumn" 2026-09-07 to 2026-09-20\n  week ordinary\n'
    )


PERIODS = 12
"""In each timetable of a long text, so that a text of 50,000 lines keeps within the years that terms may span."""


def long_text(lines: int) -> str:
    """Return a sound programme of about so many lines, of the same make whatever its length.

    Many timetables, each run on a date of its own, in terms that follow each other day by day.
    """
    made = [
        *HEAD.splitlines(),
        "week ordinary",
        "  Mon to Sun base",
        "timetable base in everywhere",
        "  ring 00:01 lesson",
    ]
    count = (lines - len(made)) // (PERIODS + 3)
    for n in range(count):
        made += [f"timetable t{n} in main", "  each period start lesson, end lesson"]
        made += [_period(n, place) for place in range(PERIODS)]
    days = [date(2026, 1, 1) + timedelta(days=n) for n in range(count)]
    for first in range(0, count, DAYS_OF_A_TERM):
        of_term = days[first : first + DAYS_OF_A_TERM]
        made += [f'term "From {of_term[0]}" {of_term[0]} to {of_term[-1]}', "  week ordinary"]
    made += ["exceptions", *(f"  {day} t{n}" for n, day in enumerate(days))]
    return "\n".join(made) + "\n"


DAYS_OF_A_TERM = 360


def _period(number: int, place: int) -> str:
    """Return a line of a timetable; a hundred timetables are not alike, and none is nearly so."""
    start = 6 * 60 + number % 100 + place * (11 + number % 10)
    end = start + 9
    return f'  period "{place}" {start // 60:02}:{start % 60:02} - {end // 60:02}:{end % 60:02}'
