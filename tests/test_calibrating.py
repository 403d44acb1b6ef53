"""`chime machine FILE --form` and `--readings CSV`: the form is filled in and comes back as lines to paste."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from chime.cli import group
from chime.compiler import read_machine
from chime.mechanics.closed_length import closed_length, round_hole, round_tip

MACHINE = "machine test\n  tracks at 8, 12 mm from the guided edge\n  hole round 1.80 mm within 0.05 mm\n"


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    path = tmp_path / "test.chime"
    path.write_text(MACHINE, encoding="utf-8")
    return path


def run(path: Path, *options: str) -> Result:
    return CliRunner().invoke(group, ["machine", str(path), *options])


def filled(
    form: str, tip_mm: float = 0.70, fingers: tuple[float, float] = (0.06, -0.04), *, mark: str = ","
) -> str:
    """The form with what a round pin reads, from places that begin anywhere."""
    lines = []
    for line in form.splitlines():
        cells = line.split(",")
        if line.startswith("#") or cells[0] == "track":
            lines.append(line.replace(",", mark) if cells[0] == "track" else line)
            continue
        track, hole, beside = int(cells[0]), float(cells[1]), float(cells[2])
        closed = closed_length(round_hole(hole), round_tip(tip_mm), "drops in", beside - fingers[track - 1])
        said = [*cells[:3], f"{100 + hole:.3f}", f"{100 + hole + closed:.3f}"]
        lines.append(mark.join(cell.replace(".", ",") if mark == ";" else cell for cell in said))
    return "\n".join(lines) + "\n"


def test_the_form_asks_for_three_sizes_on_both_sides_of_each_track(machine: Path) -> None:
    form = run(machine, "--form").stdout
    rows = [line.split(",") for line in form.splitlines() if not line.startswith("#")]
    assert rows[0] == ["track", "hole_mm", "beside_mm", "makes_mm", "breaks_mm"]
    assert {row[0] for row in rows[1:]} == {"1", "2"}
    assert {row[1] for row in rows[1:]} == {"1.50", "1.80", "2.10"}
    assert {row[2] for row in rows[1:]} == {"-0.25", "+0.00", "+0.25"}
    assert all(row[3:] == ["", ""] for row in rows[1:])
    assert len(rows) == 1 + 18
    assert "Bells off" in form


@pytest.mark.parametrize("mark", [",", ";"], ids=["commas", "semicolons and decimal commas"])
def test_a_filled_form_gives_the_lines_to_paste_and_they_are_read_back(
    machine: Path, tmp_path: Path, mark: str
) -> None:
    readings = tmp_path / "read.csv"
    readings.write_text(filled(run(machine, "--form").stdout, mark=mark), encoding="utf-8")
    found = run(machine, "--readings", str(readings))
    assert (found.exit_code, found.stderr) == (0, "")
    assert "  allowance  0.70 mm within 0.01 mm\n" in found.stdout
    assert "  side play  0.0" in found.stdout
    assert "the finger of track 1 stands 0.060 mm away from the guided edge" in found.stdout
    assert "the finger of track 2 stands 0.040 mm towards the guided edge" in found.stdout
    assert found.stdout.count("beside") == 18
    pasted = MACHINE + found.stdout[found.stdout.index("  allowance") :]
    known = read_machine("test.chime", pasted.encode(), lambda _: b"")
    assert known.diagnostics == ()
    assert known.machine is not None
    assert known.machine.allowance is not None
    assert known.machine.allowance.value.amount == 700_000
    assert known.machine.side_play is not None
    assert 60_000 <= known.machine.side_play.amount <= 80_000


HEAD = "track,hole_mm,beside_mm,makes_mm,breaks_mm\n"
GOOD = "1,1.50,-0.25,1,1.6\n1,1.50,+0.25,1,1.6\n1,1.80,0,1,2.1\n1,2.10,0,1,2.4\n"

REFUSED = {
    "nothing": ("", "line 1: the columns are track, hole_mm, beside_mm, makes_mm, breaks_mm"),
    "another table": ("a,b\n1,2\n", "line 1: the columns are track, hole_mm, beside_mm, makes_mm, breaks_mm"),
    "a word": (f"{HEAD}1,wide,0,1,2\n", 'line 2: hole_mm is a number, not "wide"'),
    "a number of columns": (f"{HEAD}1,1.8,0,1\n", "line 2: there are 5 columns, not 4"),
    "no track": (f"{HEAD}0,1.8,0,1,2\n", "line 2: a track is a whole number from 1 on"),
    "no hole": (f"{HEAD}1,0,0,1,2\n", "line 2: a hole is larger than nothing"),
    "turned round": (
        f"{HEAD}1,1.8,0,2,1\n",
        "line 2: the contact breaks at 1 mm, which is not after it makes at 2 mm",
    ),
    "far too long": (
        f"{HEAD}1,1.8,0,1,9\n",
        "line 2: a hole of 1.8 mm cannot keep a contact closed over 8.00 mm",
    ),
    "too few": (f"{HEAD}1,1.8,0,1,2\n", "1 readings are too few: at least 4 are needed"),
    "one size": (
        f"{HEAD}{GOOD.replace('1.50', '1.80').replace('2.10', '1.80')}",
        "all holes have one size: holes of two sizes at least tell a tip from a hole",
    ),
    "one side": (
        f"{HEAD}{GOOD.replace('-0.25', '+0.25')}",
        "holes on both sides of a track are needed to tell where its finger stands",
    ),
    "a blade": (
        f"{HEAD}{GOOD.replace('2.4', '2.6')}",
        "a hole 0.10 mm larger closes 0.17 mm longer, and under a round tip it is 0.10 mm: the tip is not round",
    ),
    "one that was misread": (
        f"{HEAD}{GOOD}{GOOD.replace('+0.25,1,1.6', '+0.25,1,2.3')}",
        "the readings do not agree: that of the hole of 1.5 mm at +0.25 mm on track 1 is",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_fitted_is_said_and_not_fitted(name: str, machine: Path, tmp_path: Path) -> None:
    text, words = REFUSED[name]
    readings = tmp_path / "read.csv"
    readings.write_text(text, encoding="utf-8")
    found = run(machine, "--readings", str(readings))
    assert (found.exit_code, found.stdout) == (1, "")
    assert found.stderr.startswith(f"{readings}: {words}")
    assert found.stderr.endswith("nothing was fitted\n")


def test_form_and_readings_are_not_asked_for_together(machine: Path) -> None:
    assert run(machine, "--form", "--readings", "x.csv").exit_code == 2


def test_readings_that_are_not_there_or_no_text_are_misuse(machine: Path, tmp_path: Path) -> None:
    assert run(machine, "--readings", str(tmp_path / "none.csv")).exit_code == 2
    (tmp_path / "read.csv").write_bytes(b"\xff\xfe")
    assert run(machine, "--readings", str(tmp_path / "read.csv")).exit_code == 2
