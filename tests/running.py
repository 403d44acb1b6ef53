"""Running the command in a process of its own, as a shell would."""

import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

PATIENCE_SECONDS = 120
"""Only a guard against a run that never ends; no test measures time."""


def command_line(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "chime", *arguments]


def environment(changes: Mapping[str, str | None] | None = None) -> dict[str, str]:
    """The environment of a run in which chime is found; None takes a variable away.

    Output is buffered as on a plain machine, whatever the shell of the tests says.
    """
    search_path = [str(ROOT), *filter(None, [os.environ.get("PYTHONPATH")])]
    plain = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    found = {**plain, "PYTHONPATH": os.pathsep.join(search_path), **(changes or {})}
    return {name: value for name, value in found.items() if value is not None}


def run_chime(
    folder: Path, arguments: Sequence[str], changes: Mapping[str, str | None] | None = None
) -> subprocess.CompletedProcess[bytes]:
    """Run a command in a folder."""
    return subprocess.run(
        command_line(*arguments),
        cwd=folder,
        env=environment(changes),
        capture_output=True,
        timeout=PATIENCE_SECONDS,
        check=False,
    )
