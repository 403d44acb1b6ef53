"""Programmes to measure with: a school year in four zones, and long files."""

HEAD = """programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
machine hall
  loop 24 h in rows of 1 min
  row 2.54 mm
  tape 25.4 mm wide, 0.1 mm thick
  tracks at 2.34, 4.88, 7.42, 12.50 mm from the guided edge
  sprocket every 2.54 mm, hole 1.17 mm, 9.96 mm from the guided edge
  hole round 1.83 mm within 0.05 mm
  reads 3 rows ahead
zone main on track 1 "Main building"
zone junior on track 2 "Junior wing"
zone workshop on track 3 "Workshops"
zone yard on track 4 "Yard"
signal lesson 6 s within 1.5 s
"""

YEAR = """timetable normal in main, junior
  each period start lesson, end lesson
  periods 1 to 6 of 50 min from 08:45 passing 5 min
  ring 08:40, 10:40, 12:20, 14:33 lesson in everywhere "Line up"
timetable early like normal
  drop after 13:00
week a
  Mon to Thu normal
  Fri early
  Sat, Sun silent
week b
  Mon to Fri normal
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-12-18
  weeks a, b from 2026-09-07 counting school weeks
term "Spring" 2027-01-05 to 2027-03-25
  weeks a, b from 2027-01-05 counting school weeks
term "Summer" 2027-04-13 to 2027-07-20
  weeks a, b from 2027-04-13 counting school weeks
exceptions
  2026-10-26 to 2026-10-30 silent "Half term"
  2027-02-15 to 2027-02-19 silent "Half term"
  2027-05-31 to 2027-06-04 silent "Half term"
  2026-11-30 to 2026-12-03 silent in main 09:00 - 12:30 "Mock examinations"
  2026-11-11 add 11:02 lesson in everywhere "Silence"
  2027-03-03 shift +15 min from 13:00 "Long assembly"
"""


def text(*, holidays: bool = False) -> str:
    """Return a programme of a school year in four zones, with public holidays if wished."""
    return HEAD + YEAR + ("  public holidays of GB-ENG silent\n" if holidays else "")


def long_text(lines: int) -> str:
    """Return a sound programme of about so many lines: many timetables, each run on a date of its own."""
    made = [
        *HEAD.splitlines(),
        "week ordinary",
        "  Mon to Sun base",
        "timetable base in everywhere",
        "  ring 00:01 lesson",
        'term "All" 2026-01-01 to 2027-12-31',
        "exceptions",
    ]
    count = min(lines // 8, 600)
    made += [f"  {2026 + n // 336}-{n % 336 // 28 + 1:02}-{n % 28 + 1:02} t{n}" for n in range(count)]
    periods = (lines - len(made)) // count - 2
    for n in range(count):
        made += [f"timetable t{n} in main", "  each period start lesson, end lesson"]
        for place in range(periods):
            start = 6 * 60 + n % 7 + place * 11
            end = start + 9
            times = f"{start // 60:02}:{start % 60:02} - {end // 60:02}:{end % 60:02}"
            made.append(f'  period "{place}" {times}')
    return "\n".join(made) + "\n"
