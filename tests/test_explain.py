"""`chime explain`: what a code means, said so that nobody needs to look it up elsewhere."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from chime.catalogue import IN_WORDS, every_code, find, near
from chime.cli import group
from chime.diagnostics import Code

ROOT = Path(__file__).resolve().parent.parent


def explain(*words: str) -> Result:
    return CliRunner().invoke(group, ["explain", *words])


def test_a_code_is_explained_with_its_name_severity_stage_and_examples() -> None:
    result = explain("N306")
    assert result.exit_code == 0
    lines = result.output.splitlines()
    assert lines[0] == "N306  not-a-whole-number"
    assert lines[1] == "error, found while checking names and values"
    assert "Tracks, rows, periods, days of a cycle and the issue are whole numbers." in lines
    wrong, right = lines.index("wrong:"), lines.index("right:")
    assert lines[wrong + 2] == '    zone main on track 1.5 "Main building"'
    assert lines[right + 2] == '    zone main on track 1 "Main building"'


def test_a_warning_is_called_one() -> None:
    assert "warning, found while working out the rings" in explain("D451").output


@pytest.mark.parametrize("word", ["T501", "t501", "loop-unknown", "Loop-Unknown"])
def test_capitals_make_no_difference_and_the_name_serves_too(word: str) -> None:
    assert explain(word).output == explain("T501").output
    assert explain(word).output.startswith("T501  loop-unknown\n")


@pytest.mark.parametrize("code", every_code(), ids=lambda code: code.id)
def test_every_code_can_be_explained_and_no_explanation_is_wider_than_78_columns(code: Code) -> None:
    result = explain(code.id)
    assert result.exit_code == 0
    before_examples = result.output.split("\nwrong:\n")[0]
    assert all(len(line) <= 78 for line in before_examples.splitlines())
    assert " ".join(before_examples.split()).endswith(" ".join(code.explanation.split()))
    assert ("wrong:" in result.output.splitlines()) == bool(code.wrong)
    assert ("right:" in result.output.splitlines()) == bool(code.right)


def test_an_example_keeps_its_own_indentation() -> None:
    assert "\n    timetable normal in main\n      ring 08:40 lesson\n" in explain("S206").output


def test_a_space_that_only_looks_like_one_is_made_visible() -> None:
    output = explain("hard-space").output
    assert "\N{NO-BREAK SPACE}" not in output
    assert "6\N{OPEN BOX}s" in output


def test_a_terminal_that_knows_no_dash_is_shown_its_number() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "chime", "explain", "S211"],
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    assert b"08:50 <U+2013> 09:40" in done.stdout


def test_without_a_code_all_are_listed_one_line_each_by_stage() -> None:
    lines = explain().output.splitlines()
    for code in every_code():
        (line,) = [line for line in lines if line.split()[:1] == [code.id]]
        assert line.split() == [code.id, code.severity, code.slug]
    headings = [line for line in lines if line.startswith("found ")]
    stages = [stage for stage in IN_WORDS if any(code.stage == stage for code in every_code())]
    assert headings == [f"found {IN_WORDS[stage]}:" for stage in stages]


@pytest.mark.parametrize(
    ("word", "offered"),
    [
        ("W70", "W701 (letter-not-in-font)"),
        ("loop-unkown", "T501 (loop-unknown)"),
        ("N399x", "N399 (not-checked-yet)"),
        ("S299", "the nearest: S2"),
        ("rhubarb", "`chime explain` lists them all"),
    ],
)
def test_an_unknown_code_is_a_misuse_that_offers_the_nearest(word: str, offered: str) -> None:
    result = explain(word)
    assert result.exit_code == 2
    assert f'there is no code "{word}"' in result.stderr
    assert offered in result.stderr
    assert result.stdout == ""


def test_a_number_between_two_codes_has_both_as_neighbours() -> None:
    assert [code.id for code in near("N319")][-1] == "N321"
    assert find("N319") is None


def test_no_explanation_is_loaded_while_a_programme_is_checked() -> None:
    program = (
        "import sys; from chime.cli import group\n"
        "from chime.compiler import check\n"
        "assert 'chime.catalogue' not in sys.modules\n"
        "assert 'chime.tape.faults' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", program], cwd=ROOT, check=True)
