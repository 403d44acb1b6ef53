"""Why a bell rings, or does not: every answer that `chime why` has.

Which line decides is worked out by hand from the lines of each programme. The nights on which the
clocks change are facts of Europe/London: back on 2026-10-25, forward on 2027-03-28 (directive
2000/84/EC's last Sundays of October and March, which the United Kingdom kept).
"""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from chime.cli import group
from tests.oracle import brickfield, saltmarsh

SAMPLES = Path(__file__).parent / "samples"

HEAD = """programme "Tern Lane School"
  place Europe/London
  issue 2 on 2026-08-20
"""
BODY = """zone main on track 1
zone yard on track 2
group both main, yard
signal lesson 6 s within 1.5 s
signal short 4 s within 1 s
timetable normal in main
  each period start lesson, end lesson, warn short 2 min before start
  period "1" 09:00 - 10:00
  ring 12:00 lesson in yard "Line up"
  ring 25:30 short "Rounds"
timetable early like normal
  drop 10:00
  shift +10 min in yard
  move "Rounds" to 25:00
week a
  Mon to Fri normal
  Sat, Sun silent
week b
  Mon to Thu normal
  Fri early
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-10-30
  weeks a, b from 2026-09-07 counting school weeks
term "Spring" 2027-03-15 to 2027-04-02
  weeks a, b from 2027-03-15 counting every week
exceptions
"""
EXCEPTIONS = """  2026-09-14 to 2026-09-18 silent "Half term"
  2026-09-16 normal instead "Open day"
  2026-09-17 as usual
  2026-09-08 early "Visit"
  2026-09-09 drop "1" "Assembly"
  2026-09-10 shift +15 min from 08:00 until 13:00 "Late buses"
  2026-09-22 move "1" to 09:30 - 10:30
  2026-09-23 add 11:00 lesson in both "Sports"
  2026-09-24 silent in main 08:30 - 10:00 "Examination"
  2026-09-29 silent in yard
  2026-09-30 drop in yard 11:00 - 12:30 "Wet yard"
"""
TEXT = HEAD + BODY + EXCEPTIONS


def run(folder: Path, text: str, *arguments: str) -> Result:
    (folder / "tern.chime").write_text(text, encoding="utf-8")
    return CliRunner().invoke(group, ["why", "--report", "line", str(folder / "tern.chime"), *arguments])


def why(folder: Path, *arguments: str, text: str = TEXT) -> str:
    result = run(folder, text, *arguments)
    assert (result.exit_code, result.stderr) == (0, "")
    return result.stdout


def in_words(folder: Path, *arguments: str, text: str = TEXT) -> str:
    """What is told, on one line: for checks of words that may stand on either side of a line's end."""
    return " ".join(why(folder, *arguments, text=text).split())


# ------------------------------------------------------------------------------ it rings


def test_a_planned_ring_names_its_line_and_its_label(tmp_path: Path) -> None:
    assert (
        why(tmp_path, "2026-09-07", "09:00", "main")
        == """Mon 2026-09-07 09:00: term "Autumn", week a, normal runs

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
main: does not ring, for early runs instead of normal
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


# --------------------------------------------------------------------------- never asked for


@pytest.mark.parametrize(
    ("day", "time", "said"),
    [
        (
            "2026-09-07",
            "09:01",
            (
                "main: never asked for, normal has no ring then nearest 09:00 (Period 1 starts) before it, "
                "10:00 (Period 1 ends) after it"
            ),
        ),
        (
            "2026-09-15",
            "09:01",
            (
                'main: never asked for, and the day is closed closed by line 30 because "Half term": 2026-09-14 to '
                "2026-09-18 silent nearest Sat 2026-09-12 01:30 (Rounds) before it"
            ),
        ),
        (
            "2026-09-19",
            "09:00",
            "main: never asked for, the day is silent in the pattern pattern line 24: Sat, Sun silent nearest",
        ),
        (
            "2026-09-08",
            "09:01",
            (
                'main: never asked for, neither by early nor by the pattern replaced by line 33 because "Visit": '
                "2026-09-08 early nearest 09:00"
            ),
        ),
        (
            "2026-12-01",
            "09:00",
            (
                'outside every term: term "Autumn" ended Fri 2026-10-30, term "Spring" begins Mon 2027-03-15 '
                "main: never asked for, outside every term nearest Sat 2026-10-31 01:00 (Rounds) before it, "
                "Mon 2027-03-15 08:58"
            ),
        ),
        ("2026-09-06", "09:00", 'outside every term: term "Autumn" begins Mon 2026-09-07 main:'),
        ("2027-04-04", "09:00", 'outside every term: term "Spring" ended Fri 2027-04-02 main:'),
    ],
)
def test_what_was_never_asked_for_is_told_with_the_day_it_falls_on(
    tmp_path: Path, day: str, time: str, said: str
) -> None:
    assert said in in_words(tmp_path, day, time, "main")


def test_a_morning_asked_for_in_place_of_the_night_gets_a_hint(tmp_path: Path) -> None:
    told = in_words(tmp_path, "2026-09-07", "01:30", "main")
    assert "never asked for" in told
    assert "but Tue 2026-09-08 01:30 rings, 25:30 of this day's timetable" in told


def test_a_week_without_a_letter_is_not_given_one(tmp_path: Path) -> None:
    text = TEXT.replace('  2026-09-16 normal instead "Open day"\n  2026-09-17 as usual\n', "")
    assert 'Sat 2026-09-19 09:00: term "Autumn", silent in the pattern' in why(
        tmp_path, "2026-09-19", "09:00", "main", text=text
    )


def test_a_zone_that_never_rings_is_said_to(tmp_path: Path) -> None:
    text = TEXT.replace("zone yard", "zone shed\nzone yard")
    result = run(tmp_path, text, "2026-09-07", "09:00", "shed")
    assert result.stdout.endswith("  nearest          this zone never rings\n")


def test_without_a_zone_every_zone_is_told_in_the_order_of_the_tracks(tmp_path: Path) -> None:
    told = why(tmp_path, "2026-09-07", "12:00", text=TEXT.replace("track 1", "track 9"))
    assert [line.split(":")[0] for line in told.splitlines() if ": " in line and line[0] in "my"] == [
        "yard",
        "main",
    ]
    assert why(tmp_path, "2026-09-07", "12:00", "everywhere") == why(tmp_path, "2026-09-07", "12:00")


# ---------------------------------------------------------------------------- clock changes

NIGHTS = TEXT.replace("Sat, Sun silent", "Sat, Sun normal")


def with_clocks(said: str) -> str:
    return NIGHTS.replace("  issue 2 on 2026-08-20\n", f"  issue 2 on 2026-08-20\n  clocks {said}\n")


def test_a_ring_in_a_skipped_hour_names_the_clocks_and_the_line_that_skips_it(tmp_path: Path) -> None:
    text = with_clocks("skip missing hour, repeated hour rings first")
    told = why(tmp_path, "2027-03-28", "01:30", "main", text=text)
    assert "\n  the clocks go forward that day and skip this time: it does not exist\n" in told
    assert told.endswith("""
main: does not ring, for the clocks skip that hour
  label            Rounds
  planned by       line 14: ring 25:30 short "Rounds"
  belongs to       the timetable of Sat 2027-03-27 (25:30 there)
  clocks           line 4: clocks skip missing hour, repeated hour rings first
""")


def test_a_ring_of_a_skipped_hour_at_another_time_is_told_from_both_ends(tmp_path: Path) -> None:
    text = with_clocks("ring missing hour at 03:00, repeated hour rings first")
    told = in_words(tmp_path, "2027-03-28", "01:30", "main", text=text)
    assert (
        "main: rings at 03:00 instead, for the clocks skip that hour label Rounds planned by line 14" in told
    )
    assert "clocks line 4: clocks ring missing hour at 03:00" in told
    told = in_words(tmp_path, "2027-03-28", "03:00", "main", text=text)
    assert "main: rings, short for 4 s label Rounds planned by line 14" in told
    assert "belongs to the timetable of Sat 2027-03-27 rung now by line 4: clocks ring missing" in told
    assert "its own time does not exist that day" in told


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("first", "short for 4 s, the first time only"),
        ("second", "short for 4 s, the second time only"),
        ("both", "short for 4 s, both times"),
    ],
)
def test_a_ring_in_a_repeated_hour_says_which_time_it_sounds(tmp_path: Path, word: str, said: str) -> None:
    text = with_clocks(f"skip missing hour, repeated hour rings {word}")
    told = in_words(tmp_path, "2026-10-25", "01:30", "main", text=text)
    assert "the clocks go back that day: this time comes twice" in told
    assert f"main: rings, {said}" in told
    assert ("clocks line 4: clocks skip missing hour" in told) == (word != "both")


def test_a_time_in_a_skipped_hour_that_nobody_asked_for_says_both(tmp_path: Path) -> None:
    told = in_words(
        tmp_path,
        "2027-03-28",
        "01:45",
        "main",
        text=with_clocks("skip missing hour, repeated hour rings first"),
    )
    assert "skip this time: it does not exist main: never asked for, normal has no ring then" in told


# ------------------------------------------------------------------------------ a whole date


def test_a_date_is_told_from_its_pattern_to_its_rings(tmp_path: Path) -> None:
    assert (
        why(tmp_path, "2026-09-16")
        == """Wed 2026-09-16: term "Autumn", week b, normal runs
  pattern          normal, line 22: Mon to Thu normal
  overruled        line 30 because "Half term": 2026-09-14 to 2026-09-18 silent
  acts             line 31 because "Open day": 2026-09-16 normal instead
  term             line 26: weeks a, b from 2026-09-07 counting school weeks
  4 rings
    main  08:58, 09:00, 10:00
    yard  12:00
  next morning: 1 ring
    main  01:30
"""
    )


def test_a_date_tells_what_is_silenced_and_what_is_gone(tmp_path: Path) -> None:
    assert why(tmp_path, "2026-09-24").endswith("""
  silenced by line 38 because "Examination": 2 rings
    main  08:58, 09:00
""")
    assert why(tmp_path, "2026-09-09").endswith("""
  1 ring
    yard  12:00
  of the night before: 1 ring
    main  01:00
  next morning: 1 ring
    main  01:30
  no longer at these times by line 34 because "Assembly": 3 rings
    main  08:58, 09:00, 10:00
""")


def test_a_time_at_which_something_still_rings_is_not_called_gone(tmp_path: Path) -> None:
    text = TEXT.replace("  ring 12:00", '  ring 10:00 lesson "Break"\n  ring 12:00')
    told = why(tmp_path, "2026-09-09", text=text)
    assert told.endswith("    main  08:58, 09:00\n")


@pytest.mark.parametrize(
    ("day", "said"),
    [
        ("2026-09-15", "runs nothing, the day is closed"),
        ("2026-09-08", "pattern normal, line 19: Mon to Fri normal acts line 33 because"),
        ("2026-09-08", "runs early term"),
        ("2026-09-17", 'overruled line 30 because "Half term": 2026-09-14 to 2026-09-18 silent acts line 32'),
        ("2026-09-19", "silent in the pattern pattern silent, line 24: Sat, Sun silent"),
        ("2026-12-01", 'outside every term: term "Autumn" ended Fri 2026-10-30, term "Spring" begins'),
        ("2026-10-31", "no bell rings of the night before: 1 ring main 01:00"),
    ],
)
def test_a_date_says_what_holds_on_it(tmp_path: Path, day: str, said: str) -> None:
    assert said in in_words(tmp_path, day)


def test_a_line_that_passes_a_date_by_or_does_nothing_is_told_as_such(tmp_path: Path) -> None:
    text = TEXT + "  2026-10-02 to 2026-10-03 silent in yard\n  2026-10-09 as usual\n"
    result = run(tmp_path, text, "2026-10-03")
    assert "passes by        line 41: 2026-10-02 to 2026-10-03 silent in yard\n" in result.stdout
    result = run(tmp_path, text, "2026-10-09")
    assert "no effect        line 42: 2026-10-09 as usual\n" in result.stdout


def test_a_week_and_a_day_that_take_no_letter_or_number_say_why(tmp_path: Path) -> None:
    closed = TEXT.replace('  2026-09-16 normal instead "Open day"\n  2026-09-17 as usual\n', "")
    told = in_words(tmp_path, "2026-09-16", text=closed)
    assert "pattern normal; the week takes no letter, for all its days that would ring are closed" in told
    cycle = """cycle two on Mon to Fri
  day 1 normal
  day 2 early
term "Summer" 2027-04-19 to 2027-04-30
  cycle two from 2027-04-19 slip
"""
    text = TEXT.replace("exceptions\n", f'{cycle}exceptions\n  2027-04-20 silent "Snow"\n')
    assert "pattern normal, line 30: day 1 normal" in in_words(tmp_path, "2027-04-19", text=text)
    assert 'Mon 2027-04-19: term "Summer", day 1, normal runs' in why(tmp_path, "2027-04-19", text=text)
    assert "pattern early; the day is closed, so it takes no number" in in_words(
        tmp_path, "2027-04-20", text=text
    )
    assert "pattern silent; the cycle does not run on this weekday" in in_words(
        tmp_path, "2027-04-24", text=text
    )


def test_a_term_with_the_only_week_says_so(tmp_path: Path) -> None:
    text = (
        HEAD
        + """zone main on track 1
signal lesson 6 s within 1.5 s
timetable normal in main
  ring 09:00 lesson
week ordinary
  Mon to Fri normal
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-18
"""
    )
    told = why(tmp_path, "2026-09-07", text=text)
    assert "  term             line 11: week ordinary is the only one there is\n" in told


# ---------------------------------------------------------------------------------- arguments


@pytest.mark.parametrize("written", [("Tue 2026-09-15",), ("Tue", "2026-09-15"), ("2026-09-15",)])
def test_a_date_may_carry_its_weekday(tmp_path: Path, written: tuple[str, ...]) -> None:
    assert why(tmp_path, *written, "09:00", "main").startswith("Tue 2026-09-15 09:00: ")


def test_a_time_may_carry_seconds(tmp_path: Path) -> None:
    assert why(tmp_path, "2026-09-15", "09:00:30", "main").startswith("Tue 2026-09-15 09:00:30: ")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("2026-09-15", "09:00", "mian"), 'there is no zone called "mian"; did you mean main?'),
        (("2026-09-15", "09:00", "gymnasium"), 'there is no zone called "gymnasium"; there are main, yard'),
        (("2026-09-15", "main"), '"main" is no time: a zone is asked for after a time, as in 09:45 main'),
        (("2026-09-15", "09:60"), '"09:60" is no time: it is written 09:45, up to 47:59'),
        (("2026-09-15", "48:00"), '"48:00" is no time: it is written 09:45, up to 47:59'),
        (("2026-09-15", "9.45"), '"9.45" is no time: it is written 09:45, up to 47:59'),
        (("2026-02-30",), "2026-02-30 is no date of the calendar"),
        (("15/9/2026",), '"15/9/2026" is no date: it is written 2026-12-01, or Tue 2026-12-01'),
        (("Mon",), '"" is no date: it is written 2026-12-01, or Tue 2026-12-01'),
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
