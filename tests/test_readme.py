"""The README shows what really happens: its programme compiles, its pictures are the commands' own output."""

import importlib.util
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from chime.cli import COMMANDS, group
from tests.compiling import codes_of

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def block(kind: str) -> str:
    found = re.findall(rf"^```{kind}\n(.*?)^```", README, flags=re.DOTALL | re.MULTILINE)
    assert len(found) == 1, kind
    return str(found[0])


def test_its_programme_has_no_fault() -> None:
    assert codes_of(block("chime")) == []


def test_its_diagnostic_is_the_one_that_is_given(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    text = block("chime").replace("in yard", "in yrad")
    Path("ondermarch.chime").write_text(text, encoding="utf-8")
    result = CliRunner().invoke(group, ["check", "ondermarch.chime"])
    assert result.exit_code == 1
    assert result.stderr == block("diagnostic")


def test_its_term_is_the_one_that_is_shown() -> None:
    result = CliRunner().invoke(group, ["term", str(ROOT / "programmes" / "ondermarch.chime")])
    assert result.exit_code == 0
    heading, *weeks = block("term").splitlines(keepends=True)
    assert heading in result.stdout
    assert "".join(weeks) in result.stdout


def test_its_duties_are_those_that_are_shown() -> None:
    dates = ["--on", "2026-09-24", "--until", "2026-09-25"]
    result = CliRunner().invoke(group, ["duties", str(ROOT / "programmes" / "ondermarch.chime"), *dates])
    assert result.exit_code == 0
    assert block("duties") in result.stdout


def test_it_names_every_command() -> None:
    for command in COMMANDS:
        assert f"`chime {command}" in README


def test_its_two_commands_can_be_read_by_the_checks() -> None:
    spec = importlib.util.spec_from_file_location("readme_commands", ROOT / ".ci" / "readme_commands.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    install, test = module.commands(README)
    assert "chime compile" in install
    assert "pytest" in test
    for command in (install, test):
        assert command.startswith("python3 -m venv .venv && ")


def test_every_shipped_programme_is_a_file_it_could_name() -> None:
    named = re.findall(r"programmes/([\w-]+\.chime)", README)
    assert named
    assert all((ROOT / "programmes" / name).is_file() for name in named)
