"""What a shell is offered to complete a word, asked as bash, zsh and fish ask it.

The words go through the environment of click's own protocol: COMP_WORDS and COMP_CWORD, and a line for
each offer. Bash has `type,word`; zsh three lines, type, word and meaning; fish `type,word`, a tab and the meaning.
"""

import contextlib
import io
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from unittest import mock

import pytest

from chime import zone_time
from chime.catalogue import every_code
from chime.cli import COMMANDS, main
from tests.running import run_chime

PROGRAMME = """\
programme "Alder Mill"
  place Europe/London
  issue 1 on 2026-08-20
zone press on track 1 "Press room"
zone packing on track 2
group halls press, packing
signal hooter 6 s within 2 s
timetable normal in press
  ring 08:40 hooter
timetable night like normal
  drop 08:40
  ring 22:00 hooter in packing
week ordinary
  Mon to Fri normal
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-18
"""
OPTIONS_OF_ALL = {"--report", "--strict", "--color", "--help"}

Offer = tuple[str, str, str]
"""The type of an offer, its word, and what it means (empty where the shell is not told)."""


@pytest.fixture
def mill(tmp_path: Path) -> Path:
    (tmp_path / "mill.chime").write_text(PROGRAMME, encoding="utf-8")
    return tmp_path


def ask(folder: Path, shell: str, words: Sequence[str]) -> list[Offer]:
    """The offers for the last of the words, which follow `chime`."""
    line = ["chime", *words]
    place = line[-1] if shell == "fish" else str(len(line) - 1)
    asked = {"_CHIME_COMPLETE": f"{shell}_complete", "COMP_WORDS": " ".join(line), "COMP_CWORD": place}
    lines = answered(folder, asked).split("\n")[:-1]
    if lines == [""]:  # no offer at all
        return []
    if shell == "zsh":
        return [(lines[n], lines[n + 1], lines[n + 2].replace("_", "")) for n in range(0, len(lines), 3)]
    kinds = [line.split(",", 1) for line in lines]
    return [(kind, *(f"{rest}\t".split("\t")[:2])) for kind, rest in kinds]  # type: ignore[misc]


def answered(folder: Path, asked: Mapping[str, str]) -> str:
    """What chime writes where it is called in a folder with nothing but an environment."""
    written = io.BytesIO()
    said, complained = io.TextIOWrapper(written, encoding="utf-8"), io.StringIO()
    with (
        mock.patch.dict(os.environ, asked),
        contextlib.chdir(folder),
        mock.patch("sys.argv", ["chime"]),
        contextlib.redirect_stdout(said),
        contextlib.redirect_stderr(complained),
        pytest.raises(SystemExit) as left,
    ):
        main()
    assert (left.value.code, complained.getvalue()) == (0, "")
    said.flush()
    return written.getvalue().decode()


def words_for(folder: Path, shell: str, *words: str) -> list[str]:
    offers = ask(folder, shell, words)
    assert {kind for kind, _, _ in offers} <= {"plain"}
    return [word for _, word, _ in offers]


SHELLS = ("bash", "zsh", "fish")


@pytest.mark.parametrize("shell", SHELLS)
def test_commands_are_offered_with_what_they_do(shell: str, mill: Path) -> None:
    assert words_for(mill, shell, "") == list(COMMANDS)
    assert words_for(mill, shell, "t") == ["term", "tidy", "times"]
    assert words_for(mill, shell, "xy") == []
    if shell != "bash":
        assert all(meaning for _, _, meaning in ask(mill, shell, [""]))


@pytest.mark.parametrize("shell", SHELLS)
def test_the_options_of_a_command_are_offered(shell: str, mill: Path) -> None:
    for name in COMMANDS:
        offered = set(words_for(mill, shell, name, "--"))
        assert "--help" in offered
        if name not in ("begin", "explain"):
            assert offered >= OPTIONS_OF_ALL
    assert words_for(mill, shell, "rings", "mill.chime", "--j") == ["--json"]
    assert words_for(mill, shell, "check", "--report", "l") == ["long", "line"]
    assert words_for(mill, shell, "check", "--color", "a") == ["auto", "always"]


@pytest.mark.parametrize("shell", SHELLS)
def test_files_and_folders_are_left_to_the_shell(shell: str, mill: Path) -> None:
    for words in (
        ["check", "mi"],
        ["why", "mi"],
        ["tidy", "a.chime", "mi"],
        ["begin", "new", "--times", "mi"],
    ):
        assert ask(mill, shell, words) == [("file", "mi", "")]
    for words in (["begin", "ne"], ["compile", "mill.chime", "--out", "ne"]):
        assert ask(mill, shell, words) == [("dir", "ne", "")]


@pytest.mark.parametrize("shell", SHELLS)
def test_timetables_are_those_of_the_programme(shell: str, mill: Path) -> None:
    assert words_for(mill, shell, "times", "mill.chime", "") == ["night", "normal"]
    assert words_for(mill, shell, "times", "mill.chime", "no") == ["normal"]
    assert words_for(mill, shell, "times", "mill.chime", "--strict", "ni") == ["night"]


@pytest.mark.parametrize("shell", SHELLS)
def test_zones_and_groups_are_those_of_the_programme(shell: str, mill: Path) -> None:
    zones = ["packing", "press", "halls", "everywhere"]
    assert words_for(mill, shell, "rings", "mill.chime", "--zone", "") == zones
    assert words_for(mill, shell, "rings", "mill.chime", "--zone", "p") == ["packing", "press"]
    assert words_for(mill, shell, "why", "mill.chime", "2026-09-07", "08:40", "") == zones
    # Bash takes words apart at a colon unless it is told otherwise.
    assert words_for(mill, shell, "why", "mill.chime", "2026-09-07", "08", ":", "40", "h") == ["halls"]
    assert words_for(mill, shell, "why", "mill.chime", "Mon", "2026-09-07", "08:40", "h") == ["halls"]
    if shell != "bash":
        meanings = [meaning for _, _, meaning in ask(mill, shell, ["rings", "mill.chime", "--zone", ""])]
        assert meanings == ["zone", "Press room", "group", "every zone"]


@pytest.mark.parametrize("shell", SHELLS)
def test_no_zone_is_offered_where_a_date_or_a_time_is_asked_for(shell: str, mill: Path) -> None:
    for before in ((), ("2026-09-07",), ("Mon",), ("Mon", "2026-09-07")):
        assert words_for(mill, shell, "why", "mill.chime", *before, "") == []


@pytest.mark.parametrize("shell", SHELLS)
def test_codes_are_offered_by_number_or_by_name(shell: str, mill: Path) -> None:
    assert words_for(mill, shell, "explain", "") == [code.id for code in every_code()]
    assert words_for(mill, shell, "explain", "n36") == [
        code.id for code in every_code() if code.id.startswith("N36")
    ]
    assert words_for(mill, shell, "explain", "not-u") == ["not-utf-8"]
    if shell != "bash":
        assert ("plain", "F102", "not-utf-8") in ask(mill, shell, ["explain", "F1"])


@pytest.mark.parametrize("shell", SHELLS)
def test_places_are_those_of_the_zone_data(shell: str, mill: Path) -> None:
    offered = words_for(mill, shell, "begin", "new", "--place", "Europe/L")
    assert offered == sorted(place for place in zone_time.places() if place.startswith("Europe/L"))
    assert "Europe/Lisbon" in offered


def test_a_programme_with_faults_still_has_names_and_one_that_cannot_be_read_has_none(mill: Path) -> None:
    (mill / "mill.chime").write_text(PROGRAMME + "zone attic on trakc 3\nrubbish\n", encoding="utf-8")
    assert words_for(mill, "bash", "times", "mill.chime", "") == ["night", "normal"]
    for file in ("none.chime", ".", "-", "''"):
        assert words_for(mill, "bash", "times", file, "") == []
        assert words_for(mill, "bash", "rings", file, "--zone", "") == []
    (mill / "bytes.chime").write_bytes(b"\xff\xfe\x00")
    assert words_for(mill, "bash", "times", "bytes.chime", "") == []
    assert words_for(mill, "bash", "rings", "--zone", "") == []


def test_nothing_wrong_on_the_line_is_complained_of_while_it_is_typed(mill: Path) -> None:
    for words in (
        ["chek", ""],
        ["check", "--xyzzy", ""],
        ["rings", "mill.chime", "--from", "7/9", "--zone", "p"],
        ["why", ""],
    ):
        ask(mill, "bash", words)


@pytest.mark.parametrize(
    ("shell", "asks"),
    [("bash", "complete -o nosort -F"), ("zsh", "compdef"), ("fish", "complete --no-files")],
)
def test_the_script_for_a_shell_asks_chime(shell: str, asks: str, tmp_path: Path) -> None:
    found = run_chime(tmp_path, [], {"_CHIME_COMPLETE": f"{shell}_source"})
    assert (found.returncode, found.stderr) == (0, b"")
    assert f"_CHIME_COMPLETE={shell}_complete".encode() in found.stdout
    assert asks.encode() in found.stdout
