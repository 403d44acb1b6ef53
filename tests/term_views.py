"""Programmes of one term, and what `chime term` shows of them."""

from pathlib import Path

from click.testing import CliRunner, Result

from chime.cli import group

HEAD = """programme "Tern Lane School"
  place Europe/London
  issue 2 on 2026-08-20
zone main on track 1
zone yard on track 2
signal lesson 6 s within 1.5 s
timetable normal
  ring 09:00, 12:00, 15:00 lesson in main
  ring 12:00 lesson in yard "Line up"
timetable early
  ring 09:00, 12:30 lesson in main
"""

ORDINARY = """week ordinary
  Mon to Thu normal
  Fri early
  Sat, Sun silent
"""


def run(folder: Path, text: str, *arguments: str) -> Result:
    (folder / "tern.chime").write_text(text, encoding="utf-8")
    path = str(folder / "tern.chime")
    return CliRunner().invoke(group, ["term", "--report", "line", path, *arguments])


def shown(folder: Path, text: str) -> str:
    result = run(folder, text)
    assert result.exit_code == 0, result.stderr
    return result.stdout
