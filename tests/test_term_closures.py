"""What `chime term` says of dates without bells, and of bells in the middle of a closure."""

import re
from pathlib import Path

import pytest

from tests.term_views import HEAD, ORDINARY, shown


def part(output: str, heading: str) -> list[str]:
    """The lines from one that begins with a heading to the next blank one."""
    lines = output.splitlines()
    start = next(n for n, line in enumerate(lines) if line.startswith(heading))
    end = next((n for n in range(start, len(lines)) if not lines[n]), len(lines))
    return lines[start:end]


# --------------------------------------------------------------------- no bells, and why


def test_every_cause_of_a_date_without_bells_is_named(tmp_path: Path) -> None:
    text = (
        HEAD
        + """timetable nothing in main
  pause "Free" 09:00 - 10:00 quiet
week ordinary
  Mon to Wed normal
  Thu silent
  Fri nothing
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-18
exceptions
  2026-09-07 silent "Holiday"
  2026-09-08 silent in main, yard "Power off"
  2026-09-09 drop before 24:00 "Trip"
  2026-09-10 add 09:00 lesson in main "Visit"
"""
    )
    assert part(shown(tmp_path, text), "dates with no bells") == [
        "dates with no bells: 8",
        '  Mon 2026-09-07     closed: line 21 "Holiday"',
        '  Tue 2026-09-08     normal runs, its rings are silenced: line 22 "Power off"',
        '  Wed 2026-09-09     normal runs, its rings are dropped: line 23 "Trip"',
        "  2026-09-11, 09-18  nothing runs, which rings nothing",
        "  Thu 2026-09-17     silent by the week or the cycle",
        "  every Sat and Sun (2 dates): silent by the week or the cycle",
    ]


def test_scattered_dates_with_one_cause_stand_behind_it(tmp_path: Path) -> None:
    text = (
        HEAD
        + ORDINARY
        + """term "Autumn" 2026-09-07 to 2026-09-25
exceptions
  every Wed from 2026-09-07 to 2026-09-25 silent "Games"
"""
    )
    assert '  closed: line 18 "Games", 3 dates: 2026-09-09, 09-16, 09-23' in shown(tmp_path, text)


def test_bells_of_the_last_night_after_a_term_are_named(tmp_path: Path) -> None:
    text = (HEAD + ORDINARY).replace(
        "09:00, 12:30", "09:00, 24:30"
    ) + 'term "Autumn" 2026-09-07 to 2026-09-11\n'
    said = "  outside every term, yet rings of the night before sound: Sat 2026-09-12"
    assert said in part(shown(tmp_path, text), "dates with no bells")


# ------------------------------------------------------------------------ bells in closures

CLOSURE = '  2026-09-14 to 2026-09-18 silent "Half term"\n'


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            '2026-09-16 normal instead "Open day"',
            'Wed 2026-09-16 4 rings normal instead "Open day" (line 19)',
        ),
        (
            "2026-09-16 as usual",
            "Wed 2026-09-16 4 rings as usual (line 19)",
        ),
        (
            '2026-09-16 add 10:00 lesson in yard "Fair"',
            'Wed 2026-09-16 1 ring add 10:00 lesson in yard "Fair" (line 19)',
        ),
    ],
)
def test_bells_inside_a_closure_are_asked_about(tmp_path: Path, line: str, said: str) -> None:
    text = HEAD + ORDINARY + f'term "Autumn" 2026-09-07 to 2026-09-25\nexceptions\n{CLOSURE}  {line}\n'
    found = part(shown(tmp_path, text), "bells inside a closure")
    assert found[0] == "bells inside a closure: is each of these meant?"
    asked = " ".join(" ".join(found[1:]).split())
    assert asked == f'{said}, in the closure of line 18 "Half term"'


def test_a_weekend_that_touches_a_closure_and_rings_is_asked_about(tmp_path: Path) -> None:
    text = HEAD + ORDINARY.replace("Sat, Sun silent", "Sat early\n  Sun silent")
    text += f'term "Autumn" 2026-09-07 to 2026-09-26\nexceptions\n{CLOSURE}'
    assert part(shown(tmp_path, text), "bells inside a closure")[1:] == [
        '  Sat 2026-09-12  2 rings  the weekend beside the closure of line 19 "Half term"',
        '  Sat 2026-09-19  2 rings  the weekend beside the closure of line 19 "Half term"',
    ]


def test_a_date_is_asked_about_once_however_many_lines_ring_on_it(tmp_path: Path) -> None:
    text = (
        HEAD
        + ORDINARY
        + """term "Autumn" 2026-09-07 to 2026-09-25
exceptions
  2026-09-14 silent "Holiday"
  2026-09-14 add 10:00 lesson in yard "Fair"
  2026-09-14 add 10:30 lesson in yard "Fair ends"
"""
    )
    found = part(shown(tmp_path, text), "bells inside a closure")[1:]
    assert len(re.findall(r"\d{4}-\d\d-\d\d", " ".join(found))) == 1
    assert found[0].startswith('  Mon 2026-09-14  2 rings  add 10:00 lesson in yard "Fair" (line 19)')


def test_a_saturday_that_a_closure_passes_by_is_asked_about_if_another_line_rings_on_it(
    tmp_path: Path,
) -> None:
    text = (
        HEAD
        + ORDINARY
        + """term "Autumn" 2026-09-07 to 2026-09-25
exceptions
  2026-09-11 to 2026-09-14 silent "Long weekend"
  2026-09-12 early "Club"
"""
    )
    assert part(shown(tmp_path, text), "bells inside a closure")[1:] == [
        '  Sat 2026-09-12  2 rings  early "Club" (line 19), in the closure of line 18 "Long weekend"'
    ]


def test_last_nights_bells_on_a_closed_morning_are_asked_about(tmp_path: Path) -> None:
    text = (HEAD + ORDINARY).replace("09:00, 12:00, 15:00", "09:00, 25:30")
    text += 'term "Autumn" 2026-09-07 to 2026-09-25\nexceptions\n  2026-09-16 silent "Holiday"\n'
    assert part(shown(tmp_path, text), "bells inside a closure")[1:] == [
        '  Wed 2026-09-16  1 ring  rings of the night before (line 8), in the closure of line 18 "Holiday"'
    ]


def test_last_nights_bells_on_a_day_that_is_silent_anyway_are_no_question(tmp_path: Path) -> None:
    text = (HEAD + ORDINARY).replace("09:00, 12:30", "09:00, 25:30")
    text += 'term "Autumn" 2026-09-07 to 2026-09-25\nexceptions\n  2026-09-12 to 2026-09-14 silent "Fair"\n'
    assert part(shown(tmp_path, text), "bells inside a closure") == ["bells inside a closure: none"]


def test_a_closure_read_from_a_calendar_file_is_named_as_its_entry_is(tmp_path: Path) -> None:
    entry = "BEGIN:VEVENT\nUID:1\nDTSTAMP:20260801T000000Z\nDTSTART;VALUE=DATE:20260916\nSUMMARY:Founders' day\nEND:VEVENT\n"
    calendar = f"BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:-//tern//EN\n{entry}END:VCALENDAR\n"
    (tmp_path / "closures.ics").write_text(calendar.replace("\n", "\r\n"), encoding="utf-8", newline="")
    text = (
        HEAD
        + ORDINARY
        + """term "Autumn" 2026-09-07 to 2026-09-25
exceptions
  days in "closures.ics" silent
  2026-09-16 as usual
"""
    )
    output = shown(tmp_path, text)
    assert part(output, "bells inside a closure")[1:] == [
        '  Wed 2026-09-16  4 rings  as usual (line 19), in the closure of line 18 "Founders\' day"'
    ]
