"""Warnings about days and sounds: small programmes in a table, those that deserve one beside near misses.

Each row gives lines of exceptions, or other parts of a programme, and all that must be said of it: the
code, the line at which it stands, and the headline. What is expected was worked out by hand from the
meaning of the language; nothing here comes from the compiler.
"""

import pytest

from tests.warned import EVERY_DAY, NORMAL, PROGRAMME, SIGNALS, STARTS_ONLY, WEEK, ZONES, Row, told

# ------------------------------------------------------ what a day has and its timetable has not

ODD_DAYS = {
    "an added bell meets a period's": Row(
        ('2026-09-22 add 08:50 short in main "Choir"',),
        (
            ('D424 | 2026-09-22 add 08:50 short in main "Choir" | '
            "lesson and short meet at 08:50 in main on Tue 2026-09-22: lesson sounds"),
        ),
    ),
    "an added bell has the signal that rings there": Row(('2026-09-22 add 08:50 lesson in main "Choir"',)),
    "an added bell rings in another zone": Row(('2026-09-22 add 08:50 short in yard "Choir"',)),
    "many dates of one line are told once": Row(
        ('every Tue from 2026-09-08 to 2026-10-09 add 08:47, 08:50 lesson in main "Choir"',),
        (
            ('D424 | every Tue from 2026-09-08 to 2026-10-09 add 08:47, 08:50 lesson in main "Choir" | '
            "lesson and short meet at 08:47 in main on 5 dates, the first Tue 2026-09-08: lesson sounds"),
        ),
    ),
    "two added bells meet on a silent day": Row(
        (
            'Sat 2026-09-19 add 14:10 lesson in main "Fair"',
            'Sat 2026-09-19 add 14:10 short in main "Fair"',
        ),
        (
            ('D424 | Sat 2026-09-19 add 14:10 short in main "Fair" | '
            "lesson and short meet at 14:10 in main on Sat 2026-09-19: lesson sounds"),
        ),
    ),
    "bells that met before are shifted together": Row(
        ("2026-09-22 shift +7 min",),
        (
            ('D424 | ring 10:40 short in main "Break" | '
            "lesson and short meet at 10:40 in main (timetable normal): lesson sounds"),
        ),
        timetables=NORMAL + '  ring 10:40 short in main "Break"\n',
    ),
    "bells that met before are parted": Row(
        ('2026-09-22 move "Break" to 10:55',),
        (
            ('D424 | ring 10:40 short in main "Break" | '
            "lesson and short meet at 10:40 in main (timetable normal): lesson sounds"),
        ),
        timetables=NORMAL + '  ring 10:40 short in main "Break"\n',
    ),
    "bells that meet in a zone that is silenced": Row(
        ('2026-09-22 move "1" to 08:50 - 09:47', "2026-09-22 silent in main"),
    ),
    "bells that meet while a silence by the clock lasts": Row(
        ("2026-09-22 move 08:30 to 08:50", "2026-09-22 add 08:50 lesson in yard", "2026-09-22 silent in main 08:00 - 08:55"),
        (
            ("D424 | 2026-09-22 move 08:30 to 08:50 | "
            "lesson and short meet at 08:50 in yard on Tue 2026-09-22: lesson sounds"),
        ),
    ),
    "a moved period meets the next in a window of silence": Row(
        ('2026-09-22 move "1" to 08:50 - 09:47', "2026-09-22 silent in main 09:45 - 09:48"),
    ),
    "a moved period overlaps the next": Row(
        ('2026-09-22 move "1" to 08:50 - 09:55',),
        ('D423 | 2026-09-22 move "1" to 08:50 - 09:55 | "1" and "2" overlap in main on Tue 2026-09-22',),
    ),
    "a moved period touches the next": Row(('2026-09-22 move "1" to 08:50 - 09:50',)),
    "a shift makes a range of days overlap": Row(
        ("2026-09-21 to 2026-09-25 shift +12 min before 09:45",),
        (
            ("D423 | 2026-09-21 to 2026-09-25 shift +12 min before 09:45 | "
            '"1" and "2" overlap in main on 5 dates, the first Mon 2026-09-21'),
        ),
    ),
    "the whole day is shifted": Row(("2026-09-22 shift +12 min",)),
    "an overlap is there before the shift": Row(
        ("2026-09-22 shift +12 min",),
        ('D423 | period "3" 10:35 - 11:20 | "2" and "3" overlap in main (timetable normal)',),
        timetables=NORMAL + '  period "3" 10:35 - 11:20\n',
    ),
    "a longer period ends when the next is warned of": Row(
        ('2026-09-22 move "1" to 08:50 - 09:47',),
        (
            ('D425 | 2026-09-22 move "1" to 08:50 - 09:47 | '
            "a warning falls on the end of a period at 09:47 in main on Tue 2026-09-22"),
        ),
        timetables=NORMAL.replace("warn short", "warn lesson"),
    ),
    "a longer period ends a minute before the next is warned of": Row(
        ('2026-09-22 move "1" to 08:50 - 09:46',),
        timetables=NORMAL.replace("warn short", "warn lesson"),
    ),
    "a dropped start leaves an end that does not ring": Row(
        ("2026-09-22 to 2026-09-23 drop before 09:00",),
        (
            ("D422 | 2026-09-22 to 2026-09-23 drop before 09:00 | "
            'the period "1" rings nowhere on 2 dates, the first Tue 2026-09-22'),
        ),
        timetables=STARTS_ONLY,
    ),
    "a dropped start leaves an end that rings": Row(("2026-09-22 drop before 08:55",)),
    "a whole period is dropped": Row(('2026-09-22 drop "1"',), timetables=STARTS_ONLY),
    "a period of the timetable rings nowhere, and an exception leaves it so": Row(
        ("2026-09-22 shift +5 min",),
        (
            'D422 | period "1" 08:50 - 09:40 | the period "1" rings nowhere',
            'D422 | period "2" 09:50 - 10:40 | the period "2" rings nowhere',
        ),
        signals=SIGNALS.splitlines(keepends=True)[1],
        timetables=NORMAL.replace("  each period start lesson, end lesson, warn short 3 min before start\n", ""),
    ),
}  # fmt: skip


@pytest.mark.parametrize("row", ODD_DAYS.values(), ids=ODD_DAYS.keys())
def test_a_day_is_told_of_what_its_exceptions_bring_about(row: Row) -> None:
    assert told(row.text) == row.expected


# ------------------------------------------------------------------- sounds that run together

LONG = "signal lesson 16 s within 2 s\nsignal short 3 s within 1 s\n"
NIGHTS = 'term "Autumn" 2026-10-12 to 2026-11-13\n  week ordinary\n'
SPRING = 'term "Spring" 2027-03-15 to 2027-04-09\n  week ordinary\n'
BOTH = PROGRAMME + "  clocks repeated hour rings both\n"
FIRST = PROGRAMME + "  clocks repeated hour rings first\n"
SKIP = PROGRAMME + "  clocks skip missing hour\n"


def bells(*rings: str) -> str:
    lines = "".join(f"  ring {ring}\n" for ring in rings)
    return f"timetable normal in main\n{lines}  ring 11:00 short in yard\n  ring 11:30 lesson in yard\n"


SOUNDS = {
    "a short bell within a long one, and one that the long one meets": Row(
        (),
        ("D451 | ring 08:50:15 lesson | rings from 08:50 in main run together into one sound of 31 s",),
        signals=LONG,
        timetables=bells("08:50 lesson", "08:50:02 short", "08:50:15 lesson"),
    ),
    "a short bell within a long one adds nothing": Row(
        (), signals=LONG, timetables=bells("08:50 lesson", "08:50:02 short")
    ),
    "the long bell has ended when the last begins": Row(
        (), signals=LONG, timetables=bells("08:50 lesson", "08:50:02 short", "08:50:17 lesson")
    ),
    "one begins when the other ends": Row(
        (),
        ("D451 | ring 08:50:16 lesson | rings from 08:50 in main run together into one sound of 32 s",),
        signals=LONG,
        timetables=bells("08:50 lesson", "08:50:16 lesson"),
    ),
    "two zones sound one after the other": Row(
        (), signals=LONG, timetables=bells("08:50 lesson", "08:50:10 lesson in yard")
    ),
    "over midnight": Row(
        (),
        ("D451 | ring 00:00 lesson | rings from 23:59:50 in main run together into one sound of 26 s",),
        signals=LONG,
        timetables=bells("00:00 lesson", "23:59:50 lesson"),
    ),
    "over the midnight that ends the service day": Row(
        (),
        ("D451 | ring 00:00:10 lesson | rings from 00:00 in main run together into one sound of 26 s",),
        signals=LONG,
        timetables=bells("00:00:10 lesson", "24:00 lesson"),
    ),
    "over midnight with a second between": Row(
        (), signals=LONG, timetables=bells("00:00 lesson", "23:59:43 lesson")
    ),
    "the clocks go back between two bells": Row(
        (),
        (
            ("D451 | ring 01:00 lesson | "
            "rings from 01:59:50 in main run together into one sound of 26 s on Sun 2026-10-25"),
        ),
        head=BOTH,
        signals=LONG,
        timetables=bells("01:00 lesson", "01:59:50 lesson"),
        week=EVERY_DAY,
        term=NIGHTS,
    ),
    "the clocks go back, and only the first pass rings": Row(
        (),
        head=FIRST,
        signals=LONG,
        timetables=bells("01:00 lesson", "01:59:50 lesson"),
        week=EVERY_DAY,
        term=NIGHTS,
    ),
    "the clocks go forward between two bells": Row(
        (),
        (
            ("D451 | ring 02:00 lesson | "
            "rings from 00:59:50 in main run together into one sound of 26 s on Sun 2027-03-28"),
        ),
        head=SKIP,
        signals=LONG,
        timetables=bells("00:59:50 lesson", "02:00 lesson"),
        week=EVERY_DAY,
        term=SPRING,
    ),
    "an exception joins in": Row(
        ('every Tue from 2026-09-22 to 2026-10-06 add 08:50:10 lesson in main "Choir"',),
        (
            ('D451 | every Tue from 2026-09-22 to 2026-10-06 add 08:50:10 lesson in main "Choir" | '
            "rings from 08:50 in main run together into one sound of 26 s on 3 dates, the first Tue 2026-09-22"),
        ),
        signals=LONG,
        timetables=bells("08:50 lesson"),
    ),
    "an exception joins in while the other is silenced": Row(
        ('2026-09-22 add 08:50:10 lesson in main "Choir"', "2026-09-22 silent in main 08:49 - 08:50:05"),
        signals=LONG,
        timetables=bells("08:50 lesson"),
    ),
    "an exception shifts a sound that is told of already": Row(
        ("2026-09-22 shift +10 min",),
        ("D451 | ring 08:50:10 lesson | rings from 08:50 in main run together into one sound of 26 s",),
        signals=LONG,
        timetables=bells("08:50 lesson", "08:50:10 lesson"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("row", SOUNDS.values(), ids=SOUNDS.keys())
def test_an_unbroken_sound_is_measured_where_it_sounds(row: Row) -> None:
    assert told(row.text) == row.expected


def test_a_bell_that_never_stops_is_measured_over_the_whole_term() -> None:
    hours = [", ".join(f"{hour:02}:{minute:02}" for minute in range(60)) for hour in range(24)]
    row = Row(
        (),
        (
            'D451 | signal lesson 60 s within 2 s | the signal "lesson" sounds 60 s without a break',
            f"D451 | ring {hours[-1]} lesson | rings from 00:00 in main run together into one sound of 168 h",
        ),
        signals=LONG.replace("16 s", "60 s"),
        timetables=bells(*(f"{hour} lesson" for hour in hours)),
        week=EVERY_DAY,
        term='term "Autumn" 2026-09-02 to 2026-09-08\n  week ordinary\n',
    )
    assert told(row.text) == row.expected


# ------------------------------------------------------------------------- zones and signals

WITH_GYM = ZONES + "zone gym on track 3\n"
GYM = 'N393 | zone gym on track 3 | nothing ever rings in the zone "gym"'

ZONES_AND_SIGNALS = {
    "a zone that is only silenced": Row(
        ('2026-09-22 silent everywhere 09:00 - 10:00 "Interviews"',), (GYM,), zones=WITH_GYM
    ),
    "a zone with nothing but a quiet pause": Row(
        (), (GYM,), zones=WITH_GYM, timetables=NORMAL.replace("12:20 quiet", "12:20 in gym quiet")
    ),
    "a zone that a timetable names and none of its lines": Row(
        (), (GYM,), zones=WITH_GYM, timetables=NORMAL + 'timetable day in gym\n  ring 08:50 lesson in main\n',
        week=WEEK.replace("Sun silent", "Sun day"),
    ),
    "a zone that nobody names": Row(
        (), ('N393 | zone gym on track 3 | the zone "gym" is never used',), zones=WITH_GYM
    ),
    "a zone in which one bell is added": Row(
        ('2026-09-22 add 14:10 lesson in gym "Talk"',), zones=WITH_GYM
    ),
    "a bell that sounds for longer than an hour": Row(
        (),
        ("N315 | signal lesson 61 min within 2 s | 61 min is too long for a bell",),
        signals=SIGNALS.replace("lesson 6 s", "lesson 61 min"),
    ),
    "a bell that sounds for three million years": Row(
        (),
        ("N315 | signal lesson 100000000000000 s within 2 s | 100000000000000 s is too long for a bell",),
        signals=SIGNALS.replace("lesson 6 s", "lesson 100000000000000 s"),
    ),
    "a bell that sounds for ten minutes": Row(
        (),
        ('D451 | signal lesson 10 min within 2 s | the signal "lesson" sounds 10 min without a break',),
        signals=SIGNALS.replace("lesson 6 s", "lesson 10 min"),
        timetables=bells("08:50 lesson"),
    ),
    "a longest ring of two hours": Row(
        (),
        ("N315 | longest ring 2 h | 2 h is too long for a bell",),
        head=PROGRAMME + "  longest ring 2 h\n",
    ),
}  # fmt: skip


@pytest.mark.parametrize("row", ZONES_AND_SIGNALS.values(), ids=ZONES_AND_SIGNALS.keys())
def test_zones_without_bells_and_bells_without_end(row: Row) -> None:
    assert told(row.text) == row.expected
