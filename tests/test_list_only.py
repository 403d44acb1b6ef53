"""`chime compile --list-only`: lists and calendar, also of a machine that will not read true, and no sheet."""

import csv
import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from icalendar import Calendar

from chime.cli import group
from tests.test_chart import read_pages

CASES = Path(__file__).parent / "cases" / "verify"
WARNED = "THIS TAPE WILL NOT READ TRUE"


def run(name: str, out: Path, *options: str) -> Result:
    return CliRunner().invoke(group, ["compile", str(CASES / f"{name}.chime"), "--out", str(out), *options])


def plan_in(out: Path) -> dict[str, object]:
    found: dict[str, object] = json.loads((out / "plan.json").read_bytes())
    return found


@pytest.mark.parametrize("name", ["pins-that-bind", "holes-that-a-finger-misses", "no-room-for-the-joint"])
def test_a_machine_that_will_not_read_true_gives_nothing_or_marked_lists(name: str, tmp_path: Path) -> None:
    out = tmp_path / "out"
    refused = run(name, out)
    assert refused.exit_code == 1
    assert not out.exists()
    listed = run(name, out, "--list-only")
    assert listed.exit_code == 1
    assert sorted(path.name for path in out.iterdir()) == [
        "calendar.ics",
        "chart.pdf",
        "holes-A.csv",
        "plan.json",
    ]
    assert f"{WARNED} - punch nothing from these lists:" in listed.stdout
    assert re.search(r"^warning V6[12]\d", listed.stderr, re.MULTILINE)
    pages = read_pages((out / "chart.pdf").read_bytes())
    assert [page.text.count(WARNED) for page in pages] == [1] * len(pages)
    assert "list to punch by" in "".join(page.text for page in pages)
    plan = plan_in(out)
    assert plan["sheets"] == []
    assert plan["reads"] == "fails"
    with (out / "holes-A.csv").open(encoding="utf-8", newline="") as file:
        holes = list(csv.DictReader(file))
    assert {hole["reads"] for hole in holes} == {"fails"}
    calendar = Calendar.from_ical((out / "calendar.ics").read_bytes())
    assert str(calendar["NAME"]).endswith(" (the tape will not read true)")
    assert str(calendar["DESCRIPTION"]).startswith("This tape will not read true")
    assert "fails" in {check["verdict"] for check in plan["checks"]}  # type: ignore[attr-defined]


def test_lists_of_a_sound_machine_carry_no_such_words(tmp_path: Path) -> None:
    listed = run("less-than-the-reserve", tmp_path / "out", "--list-only")
    assert listed.exit_code == 0
    text = "".join(page.text for page in read_pages((tmp_path / "out" / "chart.pdf").read_bytes()))
    assert WARNED not in text
    assert "no sheets: only the lists were asked for" in text
    assert plan_in(tmp_path / "out")["sheets"] == []
    assert plan_in(tmp_path / "out")["reads"] == "holds"
    assert "will not read" not in (tmp_path / "out" / "calendar.ics").read_text(encoding="utf-8")
    assert (tmp_path / "out" / "holes-A.csv").read_text(encoding="utf-8").count(",holds") == 2


def test_a_list_of_which_nobody_can_say_whether_it_reads_true_says_so(tmp_path: Path) -> None:
    assert run("checks-that-nobody-can-make", tmp_path / "out").exit_code == 0
    assert plan_in(tmp_path / "out")["reads"] == "cannot say"
    assert "cannot say" in (tmp_path / "out" / "holes-A.csv").read_text(encoding="utf-8")


def test_a_warning_stops_lists_too_where_warnings_count_as_errors(tmp_path: Path) -> None:
    assert run("pins-that-bind", tmp_path / "out", "--list-only", "--strict").exit_code == 1
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("options", [("--all-sheets",), ("--rows", "08:00-09:00")])
def test_a_choice_of_sheets_makes_no_sense_beside_it(options: tuple[str, ...], tmp_path: Path) -> None:
    misused = run("pins-that-bind", tmp_path / "out", "--list-only", *options)
    assert misused.exit_code == 2
    assert misused.stderr == f"chime: --list-only prints no sheets; leave {options[0]} out\n"


@pytest.mark.parametrize(
    ("name", "said"),
    [
        # 06:40 and 06:41 are read three rows ahead, and are the only holes.
        (
            "a-web-that-tears-between-two-minutes",
            "Enough of the tape is left between holes of a track: does not hold at 06:43 track 1, 06:44 track 1.",
        ),
        (
            "holes-that-a-finger-misses",
            "Every hole is read in its own row: does not hold at 06:43 track 1, 18:13 track 1.",
        ),
        (
            "two-rings-that-run-together",
            "Two rings are heard as two: does not hold at 06:43 track 1, 06:44 track 1.",
        ),
    ],
)
def test_the_rows_at_which_a_check_fails_are_named_beside_the_list(
    name: str, said: str, tmp_path: Path
) -> None:
    assert run(name, tmp_path / "out", "--list-only").exit_code == 1
    text = "".join(page.text for page in read_pages((tmp_path / "out" / "chart.pdf").read_bytes()))
    assert said.replace(" ", "") in text.replace(" ", "")


def test_only_the_rows_that_fail_are_named(tmp_path: Path) -> None:
    """Of three holes a minute and hours apart only the two that are a minute apart tear."""
    text = (CASES / "a-web-that-tears-between-two-minutes.chime").read_text(encoding="utf-8")
    (tmp_path / "three.chime").write_text(text.replace("06:41  horn", "06:41, 12:00  horn"), encoding="utf-8")
    asked = ["compile", str(tmp_path / "three.chime"), "--out", str(tmp_path / "out"), "--list-only"]
    assert CliRunner().invoke(group, asked).exit_code == 1
    words = "".join(page.text for page in read_pages((tmp_path / "out" / "chart.pdf").read_bytes()))
    assert "doesnotholdat06:43track1,06:44track1." in words.replace(" ", "")


def test_a_track_whose_holes_all_fail_is_named_in_one(tmp_path: Path) -> None:
    text = (CASES / "holes-that-a-finger-misses.chime").read_text(encoding="utf-8")
    many = ", ".join(f"{hour:02}:10" for hour in range(7, 18))
    assert "06:40, 18:10" in text
    (tmp_path / "many.chime").write_text(text.replace("06:40, 18:10", many), encoding="utf-8")
    asked = ["compile", str(tmp_path / "many.chime"), "--out", str(tmp_path / "out"), "--list-only"]
    assert CliRunner().invoke(group, asked).exit_code == 1
    words = "".join(page.text for page in read_pages((tmp_path / "out" / "chart.pdf").read_bytes()))
    assert "Everyholeisreadinitsownrow:doesnotholdateveryholeoftrack1." in words.replace(" ", "")
