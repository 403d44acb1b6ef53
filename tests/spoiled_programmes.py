"""A sound programme to spoil, and its faults in short."""

from pathlib import Path

from click.testing import CliRunner

from chime.cli import group

SOUND = """\
programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1
signal lesson 6 s within 2 s
timetable normal in main
  ring 08:40 lesson
week ordinary
  Mon to Fri normal
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-12-18
"""


def with_(old: str, new: str) -> str:
    """The sound programme with one piece of it changed wherever it stands."""
    assert old in SOUND
    return SOUND.replace(old, new)


def checked(path: Path | str) -> tuple[int, list[str]]:
    """The exit status of a check, and what it says on standard error, line by line."""
    found = CliRunner().invoke(group, ["check", str(path), "--report", "line"])
    assert found.exception is None or isinstance(found.exception, SystemExit), found.exception
    return found.exit_code, found.stderr.splitlines()
