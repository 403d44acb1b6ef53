"""A programme to ask `chime why` about, and the answers."""

from pathlib import Path

from click.testing import CliRunner, Result

from chime.cli import group

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


def run(folder: Path, text: str, *arguments: str) -> Result:
    (folder / "tern.chime").write_text(text, encoding="utf-8")
    return CliRunner().invoke(group, ["why", "--report", "line", str(folder / "tern.chime"), *arguments])


def why(folder: Path, *arguments: str, text: str = TEXT) -> str:
    result = run(folder, text, *arguments)
    assert (result.exit_code, result.stderr) == (0, "")
    return result.stdout


def in_words(folder: Path, *arguments: str, text: str = TEXT) -> str:
    """What is told, on one line: for checks of words that may stand on either side of a line's end."""
    return " ".join(why(folder, *arguments, text=text).split())
