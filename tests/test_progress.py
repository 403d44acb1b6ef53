"""A word on a terminal while work is slow, and nothing anywhere else."""

import io
import time

import pytest

from chime.cli import progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_quick_work_says_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr("sys.stderr", terminal)
    with progress.telling("checking"):
        pass
    assert terminal.getvalue() == ""


def test_slow_work_says_what_it_does_and_takes_it_away(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr("sys.stderr", terminal)
    monkeypatch.setattr(progress, "PATIENCE_SECONDS", 0.0)
    with progress.telling("checking"):
        while not terminal.getvalue():
            time.sleep(0.001)
    assert terminal.getvalue() == "checking ...\r            \r"


def test_a_pipe_gets_no_words(monkeypatch: pytest.MonkeyPatch) -> None:
    pipe = io.StringIO()
    monkeypatch.setattr("sys.stderr", pipe)
    monkeypatch.setattr(progress, "PATIENCE_SECONDS", 0.0)
    with progress.telling("checking"):
        time.sleep(0.05)
    assert pipe.getvalue() == ""
