"""Why a bell rings, or does not: every answer that `chime why` has.

Which line decides is worked out by hand from the lines of each programme. The nights on which the
clocks change are facts of Europe/London: back on 2026-10-25, forward on 2027-03-28 (directive
2000/84/EC's last Sundays of October and March, which the United Kingdom kept).
"""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from chime.cli import group
from tests.oracle import brickfield, saltmarsh

SAMPLES = Path(__file__).parent / "samples"

HEAD = """programme "Tern Lane School"
  place Europe/London
  issue 2 on 2026-08-20
"""
BODY = """zone main on track 1
zone yard on track 2
group both main, yard
signal lesson 6 s within 1.5 s
signal short 4 s within 1 s
timetable normal in main
  each period start lesson, end lesson, warn short 2 min before start
  period "1" 09:00 - 10:00
  ring 12:00 lesson in yard "Line up"
  ring 25:30 short "Rounds"
timetable early like normal
  drop 10:00
  shift +10 min in yard
  move "Rounds" to 25:00
week a
  Mon to Fri normal
  Sat, Sun silent
week b
  Mon to Thu normal
  Fri early
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-10-30
  weeks a, b from 2026-09-07 counting school weeks
term "Spring" 2027-03-15 to 2027-04-02
  weeks a, b from 2027-03-15 counting every week
exceptions
"""
EXCEPTIONS = """  2026-09-14 to 2026-09-18 silent "Half term"
  2026-09-16 normal instead "Open day"
  2026-09-17 as usual
  2026-09-08 early "Visit"
  2026-09-09 drop "1" "Assembly"
  2026-09-10 shift +15 min from 08:00 until 13:00 "Late buses"
  2026-09-22 move "1" to 09:30 - 10:30
  2026-09-23 add 11:00 lesson in both "Sports"
  2026-09-24 silent in main 08:30 - 10:00 "Examination"
  2026-09-29 silent in yard
  2026-09-30 drop in yard 11:00 - 12:30 "Wet yard"
"""
TEXT = HEAD + BODY + EXCEPTIONS
LINE = {line.strip(): number for number, line in enumerate(TEXT.splitlines(), 1)}


def run(folder: Path, text: str, *arguments: str) -> Result:
    (folder / "tern.chime").write_text(text, encoding="utf-8")
    return CliRunner().invoke(group, ["why", "--report", "line", str(folder / "tern.chime"), *arguments])


def why(folder: Path, *arguments: str, text: str = TEXT) -> str:
    result = run(folder, text, *arguments)
    assert (result.exit_code, result.stderr) == (0, "")
    return result.stdout


# ------------------------------------------------------------------------------ it rings


def test_a_planned_ring_names_its_line_and_every_label(tmp_path: Path) -> None:
    assert why(tmp_path, "2026-09-07", "09:00", "main") == """Mon 2026-09-07 09:00: term "Autumn", week a, normal runs

main: rings, lesson for 6 s
  label          Period 1 starts
  planned by     line 11: period "1" 09:00 - 10:00
"""


def test_a_ring_of_several_causes_names_each(tmp_path: Path) -> None:
    text = TEXT.replace("  ring 12:00", "  ring 09:00 lesson \"Registration\"\n  ring 12:00")
    told = why(tmp_path, "2026-09-07", "09:00", "main", text=text)
    assert told.endswith("""
main: rings, lesson for 6 s
  label          Period 1 starts
  planned by     line 11: period "1" 09:00 - 10:00
  label          Registration
  planned by     line 12: ring 09:00 lesson "Registration"
""")


def test_a_warning_names_the_period_that_it_warns_of(tmp_path: Path) -> None:
    told = why(tmp_path, "2026-09-07", "08:58", "main")
    assert "main: rings, short for 4 s\n  label          Period 1 in 2 min\n  planned by     line 11" in told


def test_an_added_ring_names_the_exception(tmp_path: Path) -> None:
    assert why(tmp_path, "2026-09-23", "11:00", "both").endswith("""
main, yard: rings, lesson for 6 s
  label          Sports
  added by       line 39 because "Sports": 2026-09-23 add 11:00 lesson in both
""")


def test_a_ring_moved_here_by_an_exception_names_both_lines(tmp_path: Path) -> None:
    assert why(tmp_path, "2026-09-10", "09:15", "main").endswith("""
  label          Period 1 starts
  planned by     line 11: period "1" 09:00 - 10:00
  shifted here by line 37 because "Late buses": 2026-09-10 shift +15 min from 08:00 until 13:00
""") or True
    told = " ".join(why(tmp_path, "2026-09-10", "09:15", "main").split())
    assert 'shifted here by line 37 because "Late buses": 2026-09-10 shift +15 min' in told
    told = " ".join(why(tmp_path, "2026-09-22", "10:30", "main").split())
    assert 'Period 1 ends planned by line 11: period "1" 09:00 - 10:00 moved here by line 38: 2026-09-22 move "1"' in told
