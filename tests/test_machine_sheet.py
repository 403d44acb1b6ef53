"""`chime machine FILE`: what is known of a machine, what is missing, and which checks hang on it."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from chime.cli import group

PROGRAMMES = Path(__file__).parent.parent / "programmes"
FILM = PROGRAMMES / "machines" / "film-16.chime"


def run(path: Path, *options: str) -> Result:
    return CliRunner().invoke(group, ["machine", str(path), *options])


def rows(text: str) -> list[list[str]]:
    return [[cell.strip() for cell in line.split("  ") if cell.strip()] for line in text.splitlines()]


def test_every_value_stands_as_it_is_written_with_how_it_is_known() -> None:
    found = run(FILM)
    assert (found.exit_code, found.stderr) == (0, "")
    table = rows(found.stdout)
    for row in (
        ["row pitch", "2.54 mm", "measured", "7 checks"],
        ["width of the tape", "15.95 mm", "assumed", "1 check"],
        ["place of track 2", "8.5 mm", "measured", "7 checks"],
        ["error of the skew", "0.2 degrees", "measured", "3 checks"],
        ["gate", "gate", "measured", "3 checks"],
        ["lap of the joint", "9", "assumed", "1 check"],
    ):
        assert row in table


def test_what_is_missing_names_each_check_that_hangs_on_it() -> None:
    text = run(FILM).stdout
    assert (
        "what is missing, and what cannot be said for want of it:\n"
        "  pins of the wheel\n      The drive holes fit the pins of the wheel.\n"
    ) in text
    assert "not said, and counted as nothing: error across the tape, wear, error of the print" in text
    assert "  cannot say  The drive holes fit the pins of the wheel.\n" in text
    assert (
        "  holds       Every hole is read in its own row.\n              a hole of track 3 may rest 0.45 mm"
        in text
    )
    assert "  There is room for the joint.\n" in text[text.index("what each tape is asked besides") :]


def test_a_machine_that_lacks_nothing_says_so() -> None:
    text = run(PROGRAMMES / "ropeworks.chime").stdout
    assert text.startswith("machine film-35\n")
    assert "\nnothing that a check needs is missing\n" in text


def test_the_sheet_is_the_same_from_a_programme_and_from_its_own_file() -> None:
    assert run(PROGRAMMES / "ropeworks.chime").stdout == run(PROGRAMMES / "machines" / "film-35.chime").stdout


def test_cautions_stand_at_its_foot() -> None:
    text = run(FILM).stdout
    for word in (
        "mains in the case",
        "asbestos",
        "mercury",
        "licensed person",
        "local codes",
        "never an alarm signal",
    ):
        assert word in text


def test_a_machine_of_which_nothing_is_known_hangs_everything_on_what_is_missing(tmp_path: Path) -> None:
    path = tmp_path / "bare.chime"
    path.write_text("machine bare\n", encoding="utf-8")
    found = run(path)
    assert found.exit_code == 0
    assert "nothing is known of it yet" in found.stdout
    assert "holds       " not in found.stdout
    assert found.stdout.count("cannot say") >= 8


def test_a_file_without_a_machine_says_so(tmp_path: Path) -> None:
    path = tmp_path / "zones.chime"
    path.write_text("zone main\n", encoding="utf-8")
    found = run(path)
    assert (found.exit_code, found.stdout) == (0, f"no machine is described in {path}\n")


@pytest.mark.parametrize(
    ("wrong", "code"),
    [
        ("  row 3.00 m\n", "N425"),
        ("  hole round 1.8 mm within 2 mm\n", "N405"),
        ("  gate at 7 s for 5 s\n  no gate\n", "N401"),
    ],
)
def test_faults_of_the_block_are_told_and_those_of_a_programme_are_not(
    wrong: str, code: str, tmp_path: Path
) -> None:
    path = tmp_path / "wrong.chime"
    path.write_text(f"machine wrong\n  switches hall\n{wrong}", encoding="utf-8")
    found = run(path, "--report", "line")
    assert found.exit_code == 1
    assert [line.split()[2].strip(":") for line in found.stderr.splitlines() if "error" in line] == [code]


def test_a_file_that_is_not_there_is_misuse(tmp_path: Path) -> None:
    assert run(tmp_path / "none.chime").exit_code == 2
