"""`chime plan`: the options of a term side by side.

The numbers of the school's autumn term were computed with HiGHS from a table of its days before the planner
was written.
"""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from chime.cli import group

HERE = Path(__file__).parent
SCHOOL = HERE / "samples" / "saltmarsh.chime"


def run(path: Path, *options: str) -> Result:
    return CliRunner().invoke(group, ["plan", str(path), *options])


def table(text: str) -> dict[str, list[str]]:
    """The numbers of each option: minutes, tapes, changes, moves, silences, tracks, holes."""
    rows = re.findall(
        r"^ *([\d,.]+)(?: \(at least [\d,.]+\))? {2,}((?:[\d,]+ +){6})(\w.*)$", text, re.MULTILINE
    )
    return {name: [minutes, *numbers.split()] for minutes, numbers, name in rows}


def test_the_options_of_a_school_term_have_the_numbers_computed_beforehand() -> None:
    result = run(SCHOOL)
    assert result.exit_code == 0
    options = table(result.stdout)
    # 3 x 90 + 26 x 12 + 12 x 2: eight exam mornings and four stretches with the bells off.
    assert options["the machine as it stands"] == ["606", "3", "26", "0", "12", "4", "89"]
    assert options["with a selector of 3 positions, contacts tied"] == [
        "140",
        "1",
        "0",
        "26",
        "12",
        "8",
        "59",
    ]
    assert options["with a selector of 3 positions, contacts separate"][1:5] == ["1", "0", "26", "12"]
    assert options["with a selector of 3 positions, contacts separate"][5:] == ["8", "29"]
    assert options["without switches of single zones"][1:4] == ["5", "26", "0"]
    assert "at least" not in result.stdout


def test_the_edit_that_saves_most_is_named_first() -> None:
    """With A and B weeks alike only the Fridays need another tape: 13 of them, so 26 changes stay but for the last."""
    text = run(SCHOOL).stdout
    saves = [
        float(minutes.replace(",", ""))
        for minutes in re.findall(r"^  ([\d,.]+) min less", text, re.MULTILINE)
    ]
    assert saves == sorted(saves, reverse=True)
    assert "normal-a as on Mon 2026-09-07 and normal-b as on Mon 2026-09-14" in text.replace("\n  ", " ")
    assert "(6 rings of theirs differ)" in text


def test_the_costs_of_the_machine_count(tmp_path: Path) -> None:
    machine = (HERE / "samples" / "hall-machine.chime").read_text(encoding="utf-8")
    dear = machine.rstrip() + "\n  costs  tape change 20 min, silence 5 min, new tape 30 min\n"
    (tmp_path / "hall-machine.chime").write_text(dear, encoding="utf-8")
    (tmp_path / "term.chime").write_text(SCHOOL.read_text(encoding="utf-8"), encoding="utf-8")
    result = run(tmp_path / "term.chime")
    assert table(result.stdout)["the machine as it stands"][0] == "670"  # 3 x 30 + 26 x 20 + 12 x 5
    assert "a new tape 30 min, a tape change 20, a move of the selector 1, a silence (off and on) 5" in (
        " ".join(result.stdout.split())
    )


def test_a_selector_that_the_machine_has_is_weighed(tmp_path: Path) -> None:
    """Three positions, and any track to any zone: the same numbers as if the selector were bought."""
    machine = (HERE / "samples" / "hall-machine.chime").read_text(encoding="utf-8").rstrip()
    (tmp_path / "hall-machine.chime").write_text(f"{machine}\n  selector  3 positions\n", encoding="utf-8")
    (tmp_path / "term.chime").write_text(SCHOOL.read_text(encoding="utf-8"), encoding="utf-8")
    options = table(run(tmp_path / "term.chime").stdout)
    own = options["with its own selector, if no zone named its track"]
    assert own == ["140", "1", "0", "26", "12", "8", "59"]


def test_wirings_that_are_declared_are_kept(tmp_path: Path) -> None:
    """Two positions that differ in the juniors' track: A and B weeks on one tape, early Fridays on another."""
    machine = (HERE / "samples" / "hall-machine.chime").read_text(encoding="utf-8").rstrip()
    lines = "\n  selector  2 positions\n  position  1  junior on track 2\n  position  2  junior on track 5\n"
    (tmp_path / "hall-machine.chime").write_text(machine + lines, encoding="utf-8")
    text = SCHOOL.read_text(encoding="utf-8").replace("zone junior    on track 2  ", "zone junior  ")
    (tmp_path / "term.chime").write_text(text, encoding="utf-8")
    own = table(run(tmp_path / "term.chime").stdout)["the machine as it stands"]
    # A worked example: thirteen early Fridays make 2 x 13 changes less the one after the last, a Friday, and the
    # letter of the week thirteen moves.
    assert own[1:4] == ["2", "25", "13"]
    assert float(own[0]) == 2 * 90 + 25 * 12 + 13 * 1 + float(own[4]) * 2


@pytest.mark.parametrize(("contacts", "holes"), [("", 59), ("  contacts  separate\n", 29)])
def test_where_no_zone_names_its_track_compile_does_what_the_selector_can(
    contacts: str, holes: int, tmp_path: Path
) -> None:
    """The numbers of the selector above, computed independently with HiGHS, are those of the tapes themselves."""
    machine = (HERE / "samples" / "hall-machine.chime").read_text(encoding="utf-8").rstrip()
    (tmp_path / "hall-machine.chime").write_text(
        f"{machine}\n  selector  3 positions\n{contacts}", encoding="utf-8"
    )
    text = re.sub(r"(?m)^(zone \S+ *) on track \d", r"\1", SCHOOL.read_text(encoding="utf-8"))
    (tmp_path / "term.chime").write_text(text, encoding="utf-8")
    assert table(run(tmp_path / "term.chime").stdout)["the machine as it stands"] == [
        *("140", "1", "0", "26", "12", "8", str(holes))
    ]
    result = CliRunner().invoke(
        group, ["compile", str(tmp_path / "term.chime"), "--out", str(tmp_path / "o")]
    )
    assert result.exit_code == 0, result.output
    plan = json.loads((tmp_path / "o" / "plan.json").read_text(encoding="utf-8"))
    assert [len(tape["holes"]) for tape in plan["tapes"]] == [holes]
    assert len([duty for duty in plan["duties"] if duty["do"] == "position"]) == 27
    assert len({track for day in plan["days"] for some in day["wiring"].values() for track in some}) == 8


def test_the_same_input_gives_the_same_bytes() -> None:
    assert run(SCHOOL).stdout == run(SCHOOL).stdout


@pytest.mark.parametrize("name", ["guest-house", "observatory", "playhouse", "ropeworks"])
def test_shipped_programmes_are_weighed(name: str) -> None:
    result = run(HERE.parent / "programmes" / f"{name}.chime")
    assert result.exit_code == 0
    options = table(result.stdout)
    assert next(iter(options)) == "the machine as it stands"
    stands = float(options["the machine as it stands"][0].replace(",", ""))
    for name_, numbers in options.items():
        if name_.startswith("with a selector"):
            assert float(numbers[0].replace(",", "")) < stands


def test_without_a_machine_there_is_nothing_to_plan(tmp_path: Path) -> None:
    text = SCHOOL.read_text(encoding="utf-8").replace('use "hall-machine.chime"\n', "")
    (tmp_path / "bare.chime").write_text(re.sub(r"  on track \d", "", text), encoding="utf-8")
    result = run(tmp_path / "bare.chime")
    assert (result.exit_code, result.stdout) == (0, "no machine is described, so there is nothing to plan\n")


def test_faults_of_the_programme_come_first(tmp_path: Path) -> None:
    (tmp_path / "broken.chime").write_text('programme "Broken"\n', encoding="utf-8")
    result = run(tmp_path / "broken.chime")
    assert result.exit_code == 1
    assert "error" in result.stderr


# ---------------------------------------------------------------------------- a date that closes


def test_a_date_that_closes_says_what_falls_away_and_what_is_to_be_done() -> None:
    """An exam morning: 4 + 6 + 8 + 10 rings, the main zone being silent until 12:30 anyway (by hand)."""
    result = run(SCHOOL, "--closed", "2026-12-09", "Snow")
    assert result.exit_code == 0
    text = result.stdout
    assert '  2026-12-09  silent  "Snow"\n' in text
    assert "28 rings of Wed 2026-12-09 fall away" in text
    assert "  main  08:40, 08:45, 13:00, 13:05, 14:05, 15:05\n" in text
    assert "no other date changes" in text
    assert "no tape is to be punched" in text
    gone, come = text.split("no longer to be done")[1].split("to be done instead")
    assert re.findall(r"(\d\d:\d\d - \d\d:\d\d)  (.*)", gone) == [
        ("08:46 - 09:44", "bells of zone main off"),
        ("12:06 - 12:59", "bells of zone main on"),
    ]
    assert re.findall(r"(\d\d:\d\d - \d\d:\d\d)  (.*)", come) == [
        ("07:45 - 08:39", "bells of every zone off"),
        ("15:06 - 16:30", "bells of every zone on"),
    ]


def test_a_cycle_goes_on_from_the_days_that_are_taught() -> None:
    """Day 3 is closed, and a cycle that slips makes Friday its day 3."""
    text = run(HERE / "samples" / "banksia.chime", "--closed", "2026-03-05", "Flood").stdout
    assert "  Fri 2026-03-06: day 4 standard, now day 3 sport\n" in text
    assert re.search(r"^\d+ other dates change, for weeks or cycles go on", text, re.MULTILINE)


def test_the_rings_of_its_night_fall_away_with_a_date() -> None:
    """The night shift of a Wednesday has its break at 02:00 and 02:15 on Thursday, and belongs to Wednesday."""
    text = run(HERE / "samples" / "brickfield.chime", "--closed", "2027-02-17", "Snow").stdout
    assert "2 rings of the night after it fall away too, for they belong to it" in text
    assert "see below" not in text
    assert "no other date changes" in text


def test_a_date_without_bells_changes_nothing() -> None:
    result = run(SCHOOL, "--closed", "2026-12-12", "Snow")
    assert "no bell would have rung on Sat 2026-12-12" in result.stdout
    assert "nothing else is to be done" in result.stdout


@pytest.mark.parametrize(
    ("day", "reason", "said"),
    [
        ("2026-13-01", "Snow", "2026-13-01"),
        ("tomorrow", "Snow", '"tomorrow" is no date'),
        ("2026-12-09", " ", "the reason is one line of words"),
        ("2026-12-09", 'Big "snow"', "the reason is one line of words"),
        ("2026-12-09", "Snow\nand ice", "the reason is one line of words"),
    ],
)
def test_what_is_no_date_or_no_reason_is_a_misuse(day: str, reason: str, said: str) -> None:
    result = run(SCHOOL, "--closed", day, reason)
    assert result.exit_code == 2
    assert said in result.stderr


def test_a_date_outside_every_term_is_a_fault_of_the_line() -> None:
    result = run(SCHOOL, "--closed", "2027-08-09", "Snow")
    assert result.exit_code == 1
    assert "2027-08-09" in result.stderr


# ---------------------------------------------------------------------------- a track that is lost


def test_the_zone_of_a_lost_track_goes_to_a_free_one() -> None:
    result = run(SCHOOL, "--track-lost", "3")
    assert result.exit_code == 0
    assert "zone workshop falls silent: 531 rings in all, the first on Mon 2026-09-07" in result.stdout
    assert "zone workshop  on track 5\n" in result.stdout
    assert "machine hall\n  out of use  track 3\n" in result.stdout
    # By hand: eight times a day in the tapes of weeks A and B, seven on early Fridays.
    assert re.findall(
        r"^tape (\w): (\d) holes of track 3 are dead, punch (\d) more on track 5", result.stdout, re.MULTILINE
    ) == [
        ("A", "8", "8"),
        ("B", "7", "7"),
        ("C", "8", "8"),
    ]


def test_what_is_offered_compiles(tmp_path: Path) -> None:
    machine = (HERE / "samples" / "hall-machine.chime").read_text(encoding="utf-8").rstrip()
    (tmp_path / "hall-machine.chime").write_text(f"{machine}\n  out of use  track 3\n", encoding="utf-8")
    text = SCHOOL.read_text(encoding="utf-8").replace(
        "zone workshop  on track 3", "zone workshop  on track 5"
    )
    (tmp_path / "term.chime").write_text(text, encoding="utf-8")
    asked = ["compile", str(tmp_path / "term.chime"), "--out", str(tmp_path / "out")]
    assert CliRunner().invoke(group, asked).exit_code == 0


def test_a_zone_that_rings_as_another_shares_its_track(tmp_path: Path) -> None:
    text = SCHOOL.read_text(encoding="utf-8").replace("in workshop\n", "in workshop, yard\n")
    text = re.sub(r"  ring [\d:, ]+in yard\n", "", text.replace("lesson  in yard", "lesson in yard"))
    text = re.sub(r"  ring[\d:, ]+ +lesson in yard\n", "", text)
    (tmp_path / "term.chime").write_text(text, encoding="utf-8")
    machine = (HERE / "samples" / "hall-machine.chime").read_text(encoding="utf-8")
    (tmp_path / "hall-machine.chime").write_text(machine, encoding="utf-8")
    result = run(tmp_path / "term.chime", "--track-lost", "4")
    assert (
        "track 3 for zone yard: it is that of zone workshop, which rings at the same times" in result.stdout
    )
    assert "none is to be punched" in result.stdout


def test_a_track_that_no_zone_uses_changes_nothing() -> None:
    assert "no zone is on it" in run(SCHOOL, "--track-lost", "8").stdout


def test_where_no_track_is_left_that_is_said() -> None:
    result = run(HERE.parent / "programmes" / "ropeworks.chime", "--track-lost", "2")
    assert result.exit_code == 0
    assert "no track is left for all of them" in result.stdout


SELECTOR = """programme "Ferry hall"
  place  Europe/London
  issue  1 on 2026-08-20
zone main
zone yard
signal lesson  6 s within 2 s
timetable normal
  ring 08:40, 09:45 lesson in main
  ring 10:45 lesson in yard
timetable early
  ring 08:40, 09:35 lesson in main
  ring 10:45 lesson in yard
week ordinary
  Mon to Thu  normal
  Fri         early
  Sat, Sun    silent
term "Autumn"  2026-09-07 to 2026-09-25
  week ordinary
machine tower
  loop      24 h in rows of 1 min
  tracks    at 2.34, 4.88, 7.42 mm from the guided edge
  silenced  Sat, Sun
  attended  Mon to Fri 07:45 - 16:30
  selector  2 positions
"""


def test_a_moved_selector_loses_the_rings_of_the_positions_on_the_track(tmp_path: Path) -> None:
    """Three Fridays of two rings; what is left is position 1, so that Fridays need a tape of their own."""
    positions = (
        "  position  1  main on track 1, yard on track 2\n  position  2  main on track 3, yard on track 2\n"
    )
    (tmp_path / "ferry.chime").write_text(SELECTOR + positions, encoding="utf-8")
    text = run(tmp_path / "ferry.chime", "--track-lost", "3").stdout
    assert "zone main falls silent: 6 rings in all, the first on Fri 2026-09-11\n" in text
    spare = "  position 2  main on track 1, yard on track 2\n"
    assert spare in text
    mended = SELECTOR + positions.splitlines()[0] + f"\n  out of use  track 3\n{spare}"
    (tmp_path / "mended.chime").write_text(mended, encoding="utf-8")
    asked = ["compile", str(tmp_path / "mended.chime"), "--out", str(tmp_path / "out")]
    assert CliRunner().invoke(group, asked).exit_code == 0
    assert {file.name for file in (tmp_path / "out").glob("holes-*")} == {"holes-A.csv", "holes-B.csv"}


def test_zones_that_were_given_tracks_are_given_others(tmp_path: Path) -> None:
    (tmp_path / "ferry.chime").write_text(SELECTOR, encoding="utf-8")
    text = run(tmp_path / "ferry.chime", "--track-lost", "1").stdout
    assert "zone main falls silent: 24 rings in all, the first on Mon 2026-09-07\n" in text
    assert "machine tower\n  out of use  track 1\n  position 1  main on track 2, yard on track 3\n" in text


def test_where_every_position_is_on_the_lost_track_that_is_said(tmp_path: Path) -> None:
    positions = (
        "  position  1  main on track 1, yard on track 2\n  position  2  main on track 3, yard on track 2\n"
    )
    (tmp_path / "ferry.chime").write_text(SELECTOR + positions, encoding="utf-8")
    assert "no track is left for all of them" in run(tmp_path / "ferry.chime", "--track-lost", "2").stdout


@pytest.mark.parametrize("options", [("--track-lost", "9"), ("--track-lost", "0"), ("--track-lost", "three")])
def test_a_track_that_is_not_there_is_a_misuse(options: tuple[str, ...]) -> None:
    assert run(SCHOOL, *options).exit_code == 2


def test_two_questions_at_once_are_a_misuse() -> None:
    assert run(SCHOOL, "--track-lost", "3", "--closed", "2026-12-09", "Snow").exit_code == 2
