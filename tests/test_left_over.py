"""What is left over: exceptions without which nothing would change, and days that differ by a slip.

Each row gives lines of exceptions, or other parts of a programme, and all that must be said of it; near
misses stand beside those that are told of. What is expected was worked out by hand from the meaning of
the language.
"""

from collections.abc import Iterator
from functools import partial
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from chime.compiler import Checked
from tests.compiling import checked, codes_of
from tests.random_programmes import Written, programmes
from tests.warned import NORMAL, TERM, TWO_TIMETABLES, WEEK, Row, told

# ---------------------------------------------------------------- exceptions that change nothing

NOTHING = "this exception changes nothing"
CYCLE = "cycle two on Mon to Fri\n  day 1 normal\n  day 2 silent\n"
SLIP = 'term "Autumn" 2026-09-02 to 2026-10-09\n  cycle two from 2026-09-02 slip\n'
LETTERS = "week a\n  Mon to Fri normal\n  Sat, Sun silent\nweek b\n  Mon, Tue market\n  Wed to Sun silent\n"
IN_TURN = 'term "Autumn" 2026-09-02 to 2026-10-09\n  weeks a, b from 2026-09-02 counting school weeks\n'

EFFECTS = {
    "a silent day of a cycle is closed, and numbers slip": Row(
        ("2026-09-03 silent",), week=CYCLE, term=SLIP
    ),
    "a silent day of a cycle is closed, and its number is lost": Row(
        ("2026-09-03 silent",),
        (f"D435 | 2026-09-03 silent | {NOTHING}",),
        week=CYCLE,
        term=SLIP.replace("slip", "skip"),
    ),
    "a range passes a silent day of a cycle by": Row(
        ("2026-09-03 to 2026-09-03 silent",),
        (f"D435 | 2026-09-03 to 2026-09-03 silent | {NOTHING}",),
        week=CYCLE,
        term=SLIP,
    ),
    "a Saturday is closed in a cycle of five days": Row(
        ("2026-09-12 silent",), (f"D435 | 2026-09-12 silent | {NOTHING}",), week=CYCLE, term=SLIP
    ),
    "a cycle that does not say what a closed day does": Row(
        ("2026-09-03 silent",),
        (
            "D431 | cycle two from 2026-09-02 | Thu 2026-09-03 is closed, and the cycle does not say what then",
        ),
        week=CYCLE,
        term=SLIP.replace(" slip", ""),
    ),
    "a week has only closed days and takes no letter": Row(
        ("2026-09-07 silent", "2026-09-08 silent"), timetables=TWO_TIMETABLES, week=LETTERS, term=IN_TURN
    ),
    "lines that open a week again leave it without its letter": Row(
        ("2026-09-07 to 2026-09-08 silent", "2026-09-07 market instead", "2026-09-08 market instead"),
        timetables=TWO_TIMETABLES,
        week=LETTERS,
        term=IN_TURN,
    ),
    "a silent day of a week is closed": Row(
        ("2026-09-10 silent",),
        (f"D435 | 2026-09-10 silent | {NOTHING}",),
        timetables=TWO_TIMETABLES,
        week=LETTERS,
        term=IN_TURN,
    ),
    "a closed Saturday that an `every` then passes by": Row(
        ("every Sat from 2026-09-02 to 2026-10-09 normal", "2026-09-19 silent")
    ),
    "`as usual` on a Saturday that an `every` then takes up": Row(
        (
            'every Sat from 2026-09-02 to 2026-10-09 add 14:10 lesson in main "Fair"',
            "2026-09-14 to 2026-09-20 silent",
            "2026-09-19 as usual",
        )
    ),
    "the timetable that runs anyway": Row(
        ("2026-09-22 normal",), (f"D435 | 2026-09-22 normal | {NOTHING}",)
    ),
    "the timetable that runs anyway, over a range": Row(
        ("2026-09-21 to 2026-09-25 normal",), (f"D435 | 2026-09-21 to 2026-09-25 normal | {NOTHING}",)
    ),
    "the timetable that runs anyway, on a Saturday too": Row(
        ("2026-09-19 normal",),
    ),
    "the timetable that runs anyway beats a closure": Row(
        ("2026-09-21 to 2026-09-25 silent", "2026-09-22 normal instead")
    ),
    "`instead` has another line to beat, which says the same": Row(
        ("2026-09-22 normal", "2026-09-22 normal instead"),
        (f"D435 | 2026-09-22 normal | {NOTHING}", f"D435 | 2026-09-22 normal instead | {NOTHING}"),
    ),
    "`instead` has nothing to beat": Row(
        ("2026-09-22 market instead",),
        ("D433 | 2026-09-22 market instead | `instead` beats nothing here",),
        timetables=TWO_TIMETABLES,
    ),
    "two lines agree": Row(
        ("2026-09-22 market", "2026-09-21 to 2026-09-22 market"), timetables=TWO_TIMETABLES
    ),
    "`as usual` undoes a closure": Row(("2026-09-22 silent", "2026-09-22 as usual")),
    "`as usual` has nothing to undo": Row(
        ("2026-09-22 as usual",), (f"D435 | 2026-09-22 as usual | {NOTHING}",)
    ),
    "`as usual` and `instead` open a day in the same way: one of them stays": Row(
        ("2026-09-21 to 2026-09-25 silent", "2026-09-22 normal instead", "2026-09-22 as usual"),
        (f"D435 | 2026-09-22 as usual | {NOTHING}",),
    ),
    "`as usual` undoes what runs anyway": Row(
        ("2026-09-22 normal", "2026-09-22 as usual"),
        (f"D435 | 2026-09-22 normal | {NOTHING}", f"D435 | 2026-09-22 as usual | {NOTHING}"),
    ),
    "a move to the time at which it rings is told of as such": Row(
        ("2026-09-22 move 08:30 to 08:30",),
        ("D402 | 2026-09-22 move 08:30 to 08:30 | this line changes no ring",),
    ),
    "a move holds what a shift would take along": Row(
        ("2026-09-22 shift +10 min", "2026-09-22 move 08:30 to 08:30")
    ),
    "a move says what a shift does already": Row(
        ("2026-09-22 shift +10 min", "2026-09-22 move 08:30 to 08:40"),
        (f"D435 | 2026-09-22 move 08:30 to 08:40 | {NOTHING}",),
    ),
    "a shift of which every bell is moved": Row(
        ("2026-09-22 shift +10 min in yard", '2026-09-22 move "Gates" to 08:20'),
        (f"D435 | 2026-09-22 shift +10 min in yard | {NOTHING}",),
    ),
    "two drops of the same bells: one of them stays": Row(
        ('2026-09-22 drop "1"', "2026-09-22 drop 08:50, 09:40"),
        (f"D435 | 2026-09-22 drop 08:50, 09:40 | {NOTHING}",),
    ),
    "one of two labels of a bell is dropped": Row(
        ('2026-09-22 drop "Buses"',), timetables=NORMAL + '  ring 10:40 lesson "Buses"\n'
    ),
    "a bell is added where it rings": Row(
        ("2026-09-22 add 08:50 lesson in main",), (f"D435 | 2026-09-22 add 08:50 lesson in main | {NOTHING}",)
    ),
    "a bell is added where it rings in one zone of two": Row(("2026-09-22 add 08:50 lesson everywhere",)),
    "a label is added to a bell": Row(('2026-09-22 add 08:50 lesson in main "Choir"',)),
    "two lines add the same bell": Row(
        ("2026-09-22 add 14:10 lesson in main", "2026-09-21 to 2026-09-22 add 14:10 lesson in main")
    ),
    "a zone is silenced twice": Row(
        ("2026-09-22 silent in yard", "2026-09-22 silent in yard 08:00 - 09:00"),
        (f"D435 | 2026-09-22 silent in yard 08:00 - 09:00 | {NOTHING}",),
    ),
    "a quiet pause is dropped on a day": Row(('2026-09-22 drop "Lunch"',)),
    "a quiet pause is dropped by its time": Row(("2026-09-22 drop after 11:00",)),
    "half a quiet pause is dropped": Row(
        ("2026-09-22 drop after 12:00",), ("D402 | 2026-09-22 drop after 12:00 | this line changes no ring",)
    ),
    "a quiet pause is dropped by a timetable, and the day must end without it": Row(
        ("2026-09-22 early",), timetables=NORMAL + 'timetable early like normal\n  drop "Lunch"\n  must end 10:40\n'
    ),
}  # fmt: skip


@pytest.mark.parametrize("row", EFFECTS.values(), ids=EFFECTS.keys())
def test_a_line_is_left_over_if_nothing_would_change_without_it(row: Row) -> None:
    assert told(row.text) == row.expected


def test_of_many_lines_that_do_the_same_one_is_left() -> None:
    row = Row(tuple("2026-09-22 drop 08:50" for _ in range(100)))
    assert codes_of(row.text) == ["D435"] * 99


@pytest.mark.parametrize("line", ["2026-09-22 drop 08:50", "2026-09-12 silent"])
def test_a_thousand_lines_that_do_nothing_are_bounded(line: str) -> None:
    row = Row(tuple(line for _ in range(1_000)), week=CYCLE, term=SLIP)
    assert set(codes_of(row.text)) == {"D435"}, "those that would take too long to try are passed over"


# ------------------------------------------------------------------------------- a law

law = partial(
    settings, derandomize=True, database=None, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)


def seen(found: Checked) -> tuple[object, ...]:
    """What a programme does: every ring, every silenced ring, and what each date runs under which letter."""
    calendar = found.calendar
    assert calendar is not None
    return (
        [(r.at, r.fold, r.zone, r.signal, r.labels) for r in calendar.rings],
        [(s.ring.at, s.ring.zone, s.ring.signal) for s in calendar.silenced],
        [(day.day, day.label, day.runs) for day in calendar.days],
    )


def exception_lines(text: str) -> Iterator[int]:
    is_exception = False
    for number, line in enumerate(text.split("\n"), 1):
        is_exception = line == "exceptions" if not line.startswith(" ") else is_exception
        if is_exception and line.startswith(" "):
            yield number


def with_more(written: Written, random: Random) -> str:
    """The text of a programme with lines on top that do what is done already, or nothing."""
    first = written.first.isoformat()
    more = [
        f"{first} normal",
        f"{first} as usual",
        f"{first} add 16:31 lesson in main",
        f"{first} shift +1 min",
    ]
    more += [
        f"{first} drop after 16:00",
        f"{first} move 06:10 to 06:11 in main",
        f"{first} silent before 07:00",
    ]
    lines = written.text.split("\n")
    drawn = "".join(f"  {line}\n" for line in random.sample(more, 3))
    return "\n".join(lines) + f"exceptions\n{drawn}"


@law(max_examples=25)
@given(programmes(), st.randoms(use_true_random=False))
def test_nothing_changes_without_the_lines_that_change_nothing(written: Written, random: Random) -> None:
    text = with_more(written, random)
    found = checked(text, written.files)
    if found.calendar is None:
        return
    idle = {d.primary.span.line for d in found.diagnostics if d.code.id == "D435" and d.primary is not None}
    assert idle <= set(exception_lines(text))
    kept = "\n".join(line for number, line in enumerate(text.split("\n"), 1) if number not in idle)
    assert seen(checked(kept, written.files)) == seen(found)


# ----------------------------------------------------------------------- days that are nearly alike

FRIDAY = """timetable friday in main
  ring 08:47, 09:47 short
  ring 08:50, 09:40, 09:50, 10:40 lesson
  ring 08:31 short in yard "Gates"
"""
WITH_FRIDAY = WEEK.replace("Mon to Fri normal", "Mon to Thu normal\n  Fri friday")

TWINS = {
    "two lines, two minutes": Row(
        (
            '2026-09-22 add 13:40 lesson everywhere "Concert"',
            '2026-09-23 add 13:42 lesson everywhere "Concert"',
        ),
        (
            ('D436 | 2026-09-23 add 13:42 lesson everywhere "Concert" | Tue 2026-09-22 and Wed 2026-09-23 '
            "differ in one ring: 13:40 in main, yard and 13:42 in main, yard"),
        ),
    ),
    "two lines with other reasons": Row(
        ('2026-09-22 add 13:40 lesson in main "Concert"', '2026-09-23 add 13:42 lesson in main "Talk"')
    ),
    "two lines with other zones": Row(
        ('2026-09-22 add 13:40 lesson in main "Concert"', '2026-09-23 add 13:42 lesson in yard "Concert"')
    ),
    "two lines an hour apart": Row(
        ('2026-09-22 add 13:40 lesson in main "Concert"', '2026-09-23 add 14:40 lesson in main "Concert"')
    ),
    "two lines of which one moves and one drops": Row(
        ('2026-09-22 move "Gates" to 08:31', '2026-09-23 drop "Gates"')
    ),
    "two moves of a bell": Row(
        ('2026-09-22 move "Gates" to 08:31', '2026-09-23 move "Gates" to 08:32'),
        (
            ('D436 | 2026-09-23 move "Gates" to 08:32 | Tue 2026-09-22 and Wed 2026-09-23 differ in one ring: '
            "08:31 in yard and 08:32 in yard"),
        ),
    ),
    "three lines, each two minutes later": Row(
        (
            '2026-09-22 add 13:40 lesson in main "Concert"',
            '2026-09-23 add 13:42 lesson in main "Concert"',
            '2026-09-24 add 13:44 lesson in main "Concert"',
        ),
        (
            ('D436 | 2026-09-23 add 13:42 lesson in main "Concert" | Tue 2026-09-22 and Wed 2026-09-23 '
            "differ in one ring: 13:40 in main and 13:42 in main"),
            ('D436 | 2026-09-24 add 13:44 lesson in main "Concert" | Wed 2026-09-23 and Thu 2026-09-24 '
            "differ in one ring: 13:42 in main and 13:44 in main"),
        ),
    ),
    "a bell moved to a minute beside that of another timetable": Row(
        ('2026-09-22 move "Gates" to 08:32',),
        (
            ("D436 | timetable friday in main | "
            "the timetables normal and friday differ in one ring: 08:30 in yard and 08:31 in yard"),
            ('D436 | 2026-09-22 move "Gates" to 08:32 | Tue 2026-09-22 and the timetable friday '
            "differ in one ring: 08:31 in yard and 08:32 in yard"),
        ),
        timetables=NORMAL + FRIDAY,
        week=WITH_FRIDAY,
    ),
    "two timetables that ring alike": Row(
        (), timetables=NORMAL + FRIDAY.replace("08:31", "08:30"), week=WITH_FRIDAY
    ),
    "one line that adds two bells": Row(('2026-09-22 add 13:40, 13:42 lesson in main "Concert"',)),
    "one line on two timetables": Row(
        ("2026-09-24 to 2026-09-25 add 13:40 lesson in main",),
        (
            ("D436 | timetable friday in main | "
            "the timetables normal and friday differ in one ring: 08:30 in yard and 08:31 in yard"),
        ),
        timetables=NORMAL + FRIDAY,
        week=WITH_FRIDAY,
    ),
    "a day that a line makes nearly like another timetable": Row(
        ("2026-09-22 drop 10:40",),
        (
            ("D436 | 2026-09-22 drop 10:40 | Tue 2026-09-22 and the timetable friday differ in one ring: "
            "08:30 in yard and 08:31 in yard"),
        ),
        timetables=NORMAL + FRIDAY.replace(", 10:40", ""),
        week=WITH_FRIDAY,
    ),
    "a day that a line makes just like another timetable": Row(
        ("2026-09-22 drop 09:40, 10:40",),
        timetables=NORMAL + FRIDAY.replace("09:40, 09:50, 10:40", "09:50").replace("08:31", "08:30"),
        week=WITH_FRIDAY.replace("Fri friday", "Fri silent") + "week other\n  Mon to Sun friday\n",
        term=TERM + 'term "Late autumn" 2026-10-12 to 2026-11-13\n  week other\n',
    ),
    "two timetables whose bell is a minute apart in all zones": Row(
        (),
        (
            ("D436 | timetable friday everywhere | "
            "the timetables normal and friday differ in one ring: 13:10 in main, yard and 13:11 in main, yard"),
        ),
        timetables=(
            "timetable normal everywhere\n  ring 08:50, 13:10 lesson\n  ring 10:40 short\n"
            "timetable friday everywhere\n  ring 08:50, 13:11 lesson\n  ring 10:40 short\n"
        ),
        week=WITH_FRIDAY,
    ),
    "two timetables that differ in two bells": Row(
        (),
        timetables=(
            "timetable normal everywhere\n  ring 08:50, 13:10 lesson\n  ring 10:40 short\n"
            "timetable friday everywhere\n  ring 08:51, 13:11 lesson\n  ring 10:40 short\n"
        ),
        week=WITH_FRIDAY,
    ),
}  # fmt: skip


@pytest.mark.parametrize("row", TWINS.values(), ids=TWINS.keys())
def test_days_that_differ_by_a_slip_are_told_of(row: Row) -> None:
    assert told(row.text) == row.expected
