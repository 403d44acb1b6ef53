"""`chime why`: which line makes a bell ring, or took it away."""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from chime.cli import group
from tests.oracle import brickfield, saltmarsh
from tests.why_programme import TEXT, in_words, run, why

SAMPLES = Path(__file__).parent / "samples"


# ------------------------------------------------------------------------------ it rings


def test_a_planned_ring_names_its_line_and_its_label(tmp_path: Path) -> None:
    assert (
        why(tmp_path, "2026-09-07", "09:00", "main")
        == """Mon 2026-09-07 09:00: term "Autumn", week a, timetable normal

main: rings, lesson for 6 s
  label            Period 1 starts
  planned by       line 11: period "1" 09:00 - 10:00
"""
    )


def test_a_ring_of_several_causes_names_each(tmp_path: Path) -> None:
    text = TEXT.replace("  ring 12:00", '  ring 09:00 lesson "Registration"\n  ring 12:00')
    assert why(tmp_path, "2026-09-07", "09:00", "main", text=text).endswith("""
main: rings, lesson for 6 s
  label            Period 1 starts
  planned by       line 11: period "1" 09:00 - 10:00
  label            Registration
  planned by       line 12: ring 09:00 lesson "Registration"
""")


def test_a_warning_names_the_period_that_it_warns_of(tmp_path: Path) -> None:
    told = in_words(tmp_path, "2026-09-07", "08:58", "main")
    assert 'main: rings, short for 4 s label Period 1 in 2 min planned by line 11: period "1"' in told


def test_an_added_ring_names_the_exception_and_zones_with_one_story_share_it(tmp_path: Path) -> None:
    assert why(tmp_path, "2026-09-23", "11:00", "both").endswith("""
main, yard: rings, lesson for 6 s
  label            Sports
  added by         line 37 because "Sports": 2026-09-23 add 11:00 lesson in both
""")


@pytest.mark.parametrize(
    ("day", "time", "zone", "said"),
    [
        (
            "2026-09-10",
            "09:15",
            "main",
            'shifted here by line 35 because "Late buses": 2026-09-10 shift +15 min',
        ),
        ("2026-09-22", "10:30", "main", 'moved here by line 36: 2026-09-22 move "1" to 09:30 - 10:30'),
        ("2026-09-08", "12:10", "yard", "shifted here by line 16: shift +10 min in yard"),
    ],
)
def test_a_ring_away_from_its_own_time_names_what_brought_it_there(
    tmp_path: Path, day: str, time: str, zone: str, said: str
) -> None:
    told = in_words(tmp_path, day, time, zone)
    assert f"{zone}: rings, lesson for 6 s" in told
    assert told.index("planned by line 1") < told.index(said)


@pytest.mark.parametrize("asked", [("2026-09-12", "01:30"), ("2026-09-11", "25:30")])
def test_a_ring_after_midnight_belongs_to_the_day_before_however_it_is_asked_for(
    tmp_path: Path, asked: tuple[str, str]
) -> None:
    told = in_words(tmp_path, *asked, "main")
    assert "main: rings, short for 4 s" in told
    assert "belongs to the timetable of Fri 2026-09-11 (25:30 there)" in told
    assert ("on the clock Sat 2026-09-12 01:30" in told) == (asked[1] == "25:30")


def test_a_ring_of_two_days_belongs_to_both(tmp_path: Path) -> None:
    text = TEXT.replace("timetable early", '  ring 33:00 lesson "Late rounds"\ntimetable early')
    told = in_words(tmp_path, "2026-09-08", "09:00", "main", text=text)
    assert "Period 1 starts planned by line 11" in told
    assert "Late rounds planned by line 14" in told
    assert "the timetable of Mon 2026-09-07 (33:00 there) and Tue 2026-09-08 (09:00 there)" in told


def test_a_ring_that_lost_one_of_its_causes_says_which(tmp_path: Path) -> None:
    text = TEXT.replace("  ring 12:00", '  ring 10:00 lesson "Break"\n  ring 12:00')
    told = why(tmp_path, "2026-09-09", "10:00", "main", text=text)
    assert told.endswith("""
main: rings, lesson for 6 s
  label            Break
  planned by       line 12: ring 10:00 lesson "Break"
  no longer        Period 1 ends, dropped
  dropped by       line 35 because "Assembly": 2026-09-09 drop "1"
""")


# ------------------------------------------------------------------- it is silenced or gone


def test_a_silence_by_the_clock_names_its_line_and_reason(tmp_path: Path) -> None:
    assert why(tmp_path, "2026-09-24", "08:58", "main").endswith("""
main: silenced
  label            Period 1 in 2 min
  planned by       line 11: period "1" 09:00 - 10:00
  silenced by      line 38 because "Examination": 2026-09-24 silent in main 08:30 - 10:00
""")


def test_the_end_of_a_silence_is_left_out_of_it(tmp_path: Path) -> None:
    assert "main: rings, lesson for 6 s" in why(tmp_path, "2026-09-24", "10:00", "main")


def test_a_silence_of_a_whole_zone_names_its_line(tmp_path: Path) -> None:
    told = in_words(tmp_path, "2026-09-29", "12:00", "yard")
    assert told.endswith(
        "yard: silenced label Line up planned by line 12: ring 12:00 lesson in yard "
        '"Line up" silenced by line 39: 2026-09-29 silent in yard'
    )


def test_a_dropped_ring_names_the_line_and_the_nearest_rings(tmp_path: Path) -> None:
    assert why(tmp_path, "2026-09-09", "09:00", "main").endswith("""
main: dropped
  label            Period 1 starts
  planned by       line 11: period "1" 09:00 - 10:00
  dropped by       line 34 because "Assembly": 2026-09-09 drop "1"
  nearest          01:00 (Rounds) before it
""")


def test_a_shifted_ring_says_where_it_went_and_takes_its_warning_along(tmp_path: Path) -> None:
    assert "main: shifted to 09:15" in why(tmp_path, "2026-09-10", "09:00", "main")
    told = in_words(tmp_path, "2026-09-10", "08:58", "main")
    assert "main: shifted to 09:13 label Period 1 in 2 min planned by line 11" in told
    assert 'shifted by line 35 because "Late buses"' in told


def test_a_moved_ring_says_where_it_went(tmp_path: Path) -> None:
    told = in_words(tmp_path, "2026-09-22", "09:00", "main")
    assert "main: moved to 09:30" in told
    assert 'moved by line 36: 2026-09-22 move "1" to 09:30 - 10:30' in told


def test_a_ring_without_a_label_is_told_by_its_line_alone(tmp_path: Path) -> None:
    text = TEXT.replace('lesson in yard "Line up"', "lesson in yard")
    assert why(tmp_path, "2026-09-30", "12:00", "yard", text=text).endswith("""
yard: dropped
  planned by       line 12: ring 12:00 lesson in yard
  dropped by       line 40 because "Wet yard": 2026-09-30 drop in yard 11:00 - 12:30
  nearest          Mon 2026-09-28 12:00 before it, Thu 2026-10-01 12:00 after it
""")


@pytest.mark.parametrize(
    ("time", "zone", "said"),
    [
        ("10:00", "main", "main: dropped label Period 1 ends planned by line 11: period"),
        ("12:00", "yard", "yard: shifted to 12:10 label Line up planned by line 12: ring"),
        ("25:30", "main", "main: moved to 01:00 label Rounds planned by line 13: ring"),
    ],
)
def test_what_a_timetable_took_from_the_one_it_starts_from_is_told(
    tmp_path: Path, time: str, zone: str, said: str
) -> None:
    """Friday 2026-10-02 lies in the fourth week, a week b, whose Fridays are early."""
    assert said in in_words(tmp_path, "2026-10-02", time, zone)


def test_a_warning_that_a_timetable_dropped_with_its_start_is_told(tmp_path: Path) -> None:
    told = in_words(tmp_path, "2026-10-02", "08:58", "main", text=TEXT.replace("drop 10:00", "drop 09:00"))
    assert "main: dropped label Period 1 in 2 min" in told
    assert "dropped by line 15: drop 09:00" in told


# ---------------------------------------------------------- another timetable, or a closed day


def test_a_replaced_day_names_what_the_pattern_would_have_rung(tmp_path: Path) -> None:
    assert why(tmp_path, "2026-09-08", "10:00", "main").endswith("""
main: does not ring, for timetable early stands in for normal
  label            Period 1 ends
  would ring by    line 11: period "1" 09:00 - 10:00
  replaced by      line 33 because "Visit": 2026-09-08 early
  nearest          09:00 (Period 1 starts) before it
""")


def test_a_closed_day_names_what_closes_it_and_what_would_have_rung(tmp_path: Path) -> None:
    assert (
        why(tmp_path, "2026-09-15", "09:00", "main")
        == """Tue 2026-09-15 09:00: term "Autumn", week b, closed

main: does not ring, for the day is closed
  label            Period 1 starts
  would ring by    line 11: period "1" 09:00 - 10:00
  closed by        line 30 because "Half term": 2026-09-14 to 2026-09-18 silent
  nearest          Sat 2026-09-12 01:30 (Rounds) before it, Wed 2026-09-16 08:58 (Period 1 in 2 min)
                   after it
"""
    )


def test_what_else_acts_on_a_closed_day_is_not_taken_for_what_closes_it(tmp_path: Path) -> None:
    text = TEXT + '  2026-09-15 add 11:00 lesson in yard "Fair"\n'
    told = in_words(tmp_path, "2026-09-15", "09:00", "main", text=text)
    assert told.count("closed by") == 1
    assert "line 41" not in told
    assert "yard: rings, lesson for 6 s" in in_words(tmp_path, "2026-09-15", "11:00", "yard", text=text)


def test_a_change_on_the_morning_after_a_silent_day_is_told(tmp_path: Path) -> None:
    text = TEXT + '  Mon 2026-09-28 drop "1" "Assembly"\n'
    assert "dropped by line 41" in in_words(tmp_path, "2026-09-28", "08:58", "main", text=text)


def test_the_night_of_a_closed_day_is_closed_too(tmp_path: Path) -> None:
    told = in_words(tmp_path, "2026-09-15", "01:30", "main")
    assert "main: does not ring, for Mon 2026-09-14 is closed" in told
    assert "belongs to the timetable of Mon 2026-09-14 (25:30 there) closed by line 30" in told


# ---------------------------------------------------------------------------------- arguments


@pytest.mark.parametrize("written", [("Tue 2026-09-15",), ("Tue", "2026-09-15"), ("2026-09-15",)])
def test_a_date_may_carry_its_weekday(tmp_path: Path, written: tuple[str, ...]) -> None:
    assert why(tmp_path, *written, "09:00", "main").startswith("Tue 2026-09-15 09:00: ")


def test_a_time_may_carry_seconds(tmp_path: Path) -> None:
    assert why(tmp_path, "2026-09-15", "09:00:30", "main").startswith("Tue 2026-09-15 09:00:30: ")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("2026-09-15", "09:00", "mian"), 'there is no zone or group called "mian"; did you mean main?'),
        (
            ("2026-09-15", "09:00", "gymnasium"),
            'there is no zone or group called "gymnasium"; there are main, yard, both, everywhere',
        ),
        (("2026-09-15", "main"), '"main" is no time: a zone is asked for after a time, as in 09:45 main'),
        (("2026-09-15", "09:60"), '"09:60" is no time: it is written 09:45, up to 47:59'),
        (("2026-09-15", "48:00"), '"48:00" is no time: it is written 09:45, up to 47:59'),
        (("2026-09-15", "9.45"), '"9.45" is no time: it is written 09:45, up to 47:59'),
        (("2026-02-30",), "2026-02-30 is no date of the calendar"),
        (("15/9/2026",), '"15/9/2026" is no date: it is written 2026-12-01, or Tue 2026-12-01'),
        (("Mon",), '"Mon" is no date: it is written 2026-12-01, or Tue 2026-12-01'),
        (("Mon 2026-09-15",), "2026-09-15 is not a Mon: it is Tue 2026-09-15"),
        (("9999-12-31", "25:30"), "9999-12-31 lies outside every term that can be written"),
        (
            ("2026-09-15", "09:00", "main", "yard"),
            '"yard" is one word too many: a date, a time and a zone are asked for',
        ),
    ],
)
def test_wrong_arguments_are_misuse_and_say_what_was_expected(
    tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    result = run(tmp_path, TEXT, *arguments)
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", f"chime: {said}\n")


def test_a_date_is_wanted(tmp_path: Path) -> None:
    assert run(tmp_path, TEXT).exit_code == 2
    assert CliRunner().invoke(group, ["why", str(tmp_path / "gone.chime"), "2026-09-15"]).exit_code == 2


def test_faults_are_named_and_nothing_is_told(tmp_path: Path) -> None:
    result = run(tmp_path, TEXT.replace("drop 10:00", 'drop "9"'), "2026-09-15")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "D401" in result.stderr


# ------------------------------------------------------------------------------------ samples


def test_what_rings_in_the_samples_by_hand_is_told_to_ring_and_what_does_not_is_not(tmp_path: Path) -> None:
    """Held against the rings written out by hand, on two dates with a silence and a night."""
    for file in SAMPLES.glob("*.chime"):
        shutil.copy(file, tmp_path)
    for sample, oracle, day in (
        ("saltmarsh", saltmarsh, "2026-12-01"),
        ("brickfield", brickfield, "2027-01-08"),
    ):
        text = (SAMPLES / f"{sample}.chime").read_text(encoding="utf-8")
        records = [r for r in oracle.expected(text=text) if str(r["at"]).startswith(day)]
        rings = {(str(r["at"])[11:16], str(r["zone"])) for r in records}
        zones = {zone for _, zone in rings}
        for time in sorted({time for time, _ in rings}):
            result = CliRunner().invoke(group, ["why", str(tmp_path / f"{sample}.chime"), day, time])
            told = {
                zone
                for line in result.stdout.splitlines()
                if ": rings, " in line
                for zone in line.split(": ")[0].split(", ")
            }
            assert told == {zone for zone in zones if (time, zone) in rings}, (sample, time)
