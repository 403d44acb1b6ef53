"""`chime machine FILE --form` and `--readings CSV`: the form is filled in and comes back as lines to paste."""

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from chime.cli import group
from chime.compiler import read_machine
from chime.mechanics.closed_length import HoleShape, Mode, TipShape, closed_length, round_hole, round_tip

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
    "too few": (f"{HEAD}1,1.8,0,1,2\n", "1 reading is too few: at least 4 are needed for 1 track"),
    "one size": (
        f"{HEAD}{GOOD.replace('1.50', '1.80').replace('2.10', '1.80')}",
        "all holes have one size: holes of two sizes at least tell a tip from a hole",
    ),
    "one side": (
        f"{HEAD}{GOOD.replace('-0.25', '+0.25')}",
        "track 1 was not read on both sides: holes on both sides of a track are needed to tell where its finger",
    ),
    "another machine": (f"{HEAD}3,1.8,0,1,2\n", "line 2: machine test has 2 tracks, and none with number 3"),
    "inches": (
        f"{HEAD}1,0.071,0,0.1,0.14\n",
        "line 2: a hole of 0.071 mm is smaller than any punch makes; all lengths are in mm",
    ),
    "far too large": (
        f"{HEAD}1,900,0,1,2\n",
        "line 2: a hole of 900 mm is larger than any that is punched into a tape",
    ),
    "out of reach": (
        f"{HEAD}1,1.8,2.5,1,2\n",
        "line 2: a hole of 1.8 mm stands 2.5 mm beside its track: no finger reads it",
    ),
    "as many unknowns as readings": (
        f"{HEAD}1,1.5,-0.25,1,1.6\n1,1.8,0.25,1,2\n2,1.5,-0.25,1,1.6\n2,1.8,0.25,1,2\n",
        "4 readings are too few: at least 5 are needed for 2 tracks",
    ),
    "a track on one side": (
        f"{HEAD}{GOOD}2,1.5,0.25,1,1.6\n2,1.8,0.25,1,2\n",
        "track 2 was not read on both sides: ",
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


def read_as(form: str, hole: Callable[[float], HoleShape], tip: TipShape, mode: Mode) -> str:
    """The form with what another tip reads through other holes, to a hundredth of a millimetre."""
    lines = []
    for line in form.splitlines():
        cells = line.split(",")
        if line.startswith("#") or cells[0] == "track":
            lines.append(line)
            continue
        beside = float(cells[2]) - (0.05 if cells[0] == "1" else -0.03)
        closed = closed_length(hole(float(cells[1])), tip, mode, beside)
        lines.append(",".join([*cells[:3], "10", f"{10 + closed:.2f}"] if closed else [*cells[:3], "", ""]))
    return "\n".join(lines) + "\n"


BLADE, BRUSH = TipShape("rectangle", 0.80, 0.60), TipShape("rectangle", 0.50, 0.55)
NARROW = TipShape("rectangle", 0.50, 0.30)


@pytest.mark.parametrize(
    ("hole", "tip", "mode", "words"),
    [
        (round_hole, BLADE, "drops in", "the tip is not round: a rectangle of about 0.80 mm by 0.60 mm fits"),
        (round_hole, NARROW, "brushes", "the tip is not round: a rectangle of about 0.50 mm by 0.30 mm fits"),
        (
            round_hole,
            BRUSH,
            "brushes",
            "beside the track the contacts are closed for as long as in its middle: the brushes are rectangles",
        ),
        (
            lambda size: HoleShape("square slot", size, 1.60),
            round_tip(0.70),
            "drops in",
            "beside the track the contacts are closed for as long as in its middle: the test holes are not round",
        ),
    ],
    ids=["a blade", "a narrow brush", "a wide brush", "slots"],
)
def test_another_shape_is_never_fitted_as_a_round_one(
    hole: Callable[[float], HoleShape], tip: TipShape, mode: Mode, words: str, machine: Path, tmp_path: Path
) -> None:
    readings = tmp_path / "read.csv"
    readings.write_text(read_as(run(machine, "--form").stdout, hole, tip, mode), encoding="utf-8")
    found = run(machine, "--readings", str(readings))
    assert (found.exit_code, found.stdout) == (1, "")
    assert found.stderr.startswith(f"{readings}: {words}"), found.stderr


@pytest.mark.parametrize(
    ("tip", "mode", "line"),
    [
        (BLADE, "drops in", "  finger     drops in, 0.80 mm by 0.60 mm within 0.01 mm"),
        (BRUSH, "brushes", "  finger     brushes, 0.50 mm by 0.55 mm within 0.01 mm"),
        (NARROW, "brushes", "  finger     brushes, 0.50 mm by 0.30 mm within 0.01 mm"),
    ],
)
def test_a_machine_with_rectangular_tips_has_its_rectangle_fitted(
    tip: TipShape, mode: Mode, line: str, machine: Path, tmp_path: Path
) -> None:
    readings = tmp_path / "read.csv"
    readings.write_text(read_as(run(machine, "--form").stdout, round_hole, tip, mode), encoding="utf-8")
    machine.write_text(f"{MACHINE}  finger {mode}, 0.90 mm by 0.55 mm\n", encoding="utf-8")
    found = run(machine, "--readings", str(readings))
    assert (found.exit_code, found.stderr) == (0, "")
    assert line in found.stdout
    assert "  side play  0.0" in found.stdout
    pasted = MACHINE + found.stdout[found.stdout.index("  finger ") :]
    known = read_machine("test.chime", pasted.encode(), lambda _: b"")
    assert known.diagnostics == ()


def test_what_the_machine_says_is_held_against_the_readings(machine: Path, tmp_path: Path) -> None:
    readings = tmp_path / "read.csv"
    readings.write_text(filled(run(machine, "--form").stdout), encoding="utf-8")
    machine.write_text(f"{MACHINE}  finger brushes, round 0.70 mm\n", encoding="utf-8")
    found = run(machine, "--readings", str(readings))
    assert found.exit_code == 1
    assert "the machine says: finger brushes; but its contacts are closed 0.70 mm shorter" in found.stderr
    machine.write_text(f"{MACHINE}  finger drops in, round 0.95 mm within 0.04 mm\n", encoding="utf-8")
    found = run(machine, "--readings", str(readings))
    assert found.exit_code == 0
    assert "the finger line says a tip of 0.95 mm, and the readings 0.70 mm: it is worn" in found.stdout


def test_tracks_that_nobody_read_are_named_and_their_side_play_is_assumed(
    machine: Path, tmp_path: Path
) -> None:
    readings = tmp_path / "read.csv"
    form = filled(run(machine, "--form").stdout)
    lines = [line for line in form.splitlines() if not line.startswith("2,")]
    readings.write_text("\n".join(lines), encoding="utf-8")
    found = run(machine, "--readings", str(readings))
    assert "track 2 was not read: that its finger is like those that were is assumed" in found.stdout
    assert found.stdout.rstrip().endswith("mm assumed")


def test_form_and_readings_are_not_asked_for_together(machine: Path) -> None:
    assert run(machine, "--form", "--readings", "x.csv").exit_code == 2


def test_readings_that_are_not_there_or_no_text_are_misuse(machine: Path, tmp_path: Path) -> None:
    assert run(machine, "--readings", str(tmp_path / "none.csv")).exit_code == 2
    (tmp_path / "read.csv").write_bytes(b"\xff\xfe")
    assert run(machine, "--readings", str(tmp_path / "read.csv")).exit_code == 2
