"""A term week by week: what `chime term` shows, and which bells it asks about.

Letters, dates and sums are worked out by hand from the lines of each programme. Facts of the calendar
are those of ISO 8601: the week that holds the year's first Thursday is number 1, so 2026, which begins
on a Thursday, has 53 weeks.
"""

import re
import shutil
from datetime import date
from pathlib import Path
from types import ModuleType

import pytest
from click.testing import CliRunner

from chime.cli import group
from tests.oracle import banksia, brickfield, saltmarsh
from tests.term_views import HEAD, ORDINARY, run, shown

SAMPLES = Path(__file__).parent / "samples"

TWO = "week a\n  Mon to Fri normal\n  Sat, Sun silent\nweek b\n  Mon to Fri early\n  Sat, Sun silent\n"


# ---------------------------------------------------------------------------- whole terms


def test_a_term_is_shown_week_by_week(tmp_path: Path) -> None:
    text = (
        HEAD
        + ORDINARY
        + """term "Autumn" 2026-09-08 to 2026-09-25
exceptions
  2026-09-15 silent "Staff training"
  2026-09-17 to 2026-09-18 silent in main from 12:00 "Examinations"
  Wed 2026-09-23 early "Open evening"
"""
    )
    assert (
        shown(tmp_path, text)
        == """Tern Lane School, issue 2 on Thu 2026-08-20

term "Autumn"  Tue 2026-09-08 to Fri 2026-09-25
  week ordinary, the only one there is

  week of     ISO  Mon     Tue     Wed     Thu      Fri     Sat  Sun  rings
  2026-09-07  37           normal  normal  normal   early   -    -       14
  2026-09-14  38   normal  closed  normal  normal*  early*  -    -       11
      Tue       closed: "Staff training" (line 18)
      Thu, Fri  silent in main from 12:00: "Examinations" (line 19)
  2026-09-21  39   normal  normal  early*  normal   early                16
      Wed  early: "Open evening" (line 20)

  3 weeks, 41 rings

  *  not as the pattern says, or something acts on the day: the line is below the week
  -  silent by the week or the cycle; blank: outside the term

timetables and their dates
  early     4 dates  2026-09-11, 09-18, 09-23, 09-25
  normal    9 dates  2026-09-08 to 09-10, 09-14, 09-16 to 09-17, 09-21 to 09-22, 09-24

dates with no bells: 5
  Tue 2026-09-15  closed: line 18 "Staff training"
  every Sat and Sun (4 dates): silent by the week or the cycle

bells inside a closure: none
"""
    )


def test_letters_stand_beside_what_week_numbers_would_have_said(tmp_path: Path) -> None:
    """2026-12-28 begins week 53 and 2027-01-04 week 1: two odd numbers running."""
    text = (
        HEAD
        + TWO
        + """term "Winter" 2026-12-07 to 2027-01-22
  weeks a, b from 2026-12-07 counting school weeks
exceptions
  2026-12-21 to 2026-12-25 silent "Holiday"
"""
    )
    output = shown(tmp_path, text)
    rows = re.findall(r"^  (\d{4}-\d\d-\d\d)  (\S) +(\d+) (\S)( !)?", output, re.MULTILINE)
    assert rows == [
        ("2026-12-07", "a", "50", "a", ""),
        ("2026-12-14", "b", "51", "b", ""),
        ("2026-12-21", "-", "52", "a", ""),
        ("2026-12-28", "a", "53", "b", " !"),
        ("2027-01-04", "b", "1", "b", ""),
        ("2027-01-11", "a", "2", "a", ""),
        ("2027-01-18", "b", "3", "b", ""),
    ]
    assert "week a 3 times, week b 3 times, 1 week without a letter" in output
    assert "it differs in 1 week, marked !" in " ".join(output.split())


def test_letters_that_never_differ_are_said_to(tmp_path: Path) -> None:
    text = (
        HEAD
        + TWO
        + 'term "Autumn" 2026-09-07 to 2026-09-18\n  weeks a, b from 2026-09-07 counting school weeks\n'
    )
    assert "it never differs" in " ".join(shown(tmp_path, text).split())


def test_three_weeks_in_turn_have_no_odd_and_even(tmp_path: Path) -> None:
    text = (
        HEAD
        + TWO
        + ORDINARY.replace("ordinary", "c")
        + """term "Autumn" 2026-09-07 to 2026-10-02
  weeks a, b, c from 2026-09-07 counting school weeks
"""
    )
    output = shown(tmp_path, text)
    assert "\n  2026-09-21  c     39   normal" in output
    assert "odd and even" not in output


def test_weeks_that_begin_on_sunday_have_their_days_in_that_order(tmp_path: Path) -> None:
    text = (
        HEAD
        + TWO
        + 'term "Autumn" 2026-09-06 to 2026-09-19\n  weeks a, b from Sun 2026-09-06 counting school weeks\n'
    )
    output = shown(tmp_path, text)
    assert re.search(
        r"^  week of +week +ISO +Sun +Mon +Tue +Wed +Thu +Fri +Sat +rings$", output, re.MULTILINE
    )
    # The Monday in the week from Sunday 2026-09-06 is the 7th, in week 37.
    assert re.search(r"^  2026-09-06  a +37 a +- +normal ", output, re.MULTILINE)


def test_a_cycle_shows_its_numbers_and_a_closed_day_none(tmp_path: Path) -> None:
    text = (
        HEAD
        + """cycle two on Mon to Fri
  day 1 normal
  day 2 early
term "Autumn" 2026-09-07 to 2026-09-18
  cycle two from 2026-09-07 slip
exceptions
  2026-09-09 silent "Snow"
"""
    )
    output = shown(tmp_path, text)
    assert re.search(
        r"^  2026-09-07  37 +1 normal +2 early +closed +1 normal +2 early +- +- +12$", output, re.MULTILINE
    )
    assert "\n  cycle two from 2026-09-07 slip (line 16)\n" in output


def test_terms_stand_one_below_the_other_with_the_gap_between_them(tmp_path: Path) -> None:
    text = (
        HEAD + ORDINARY + 'term "Spring" 2026-09-22 to 2026-09-25\nterm "Autumn" 2026-09-07 to 2026-09-18\n'
    )
    output = shown(tmp_path, text)
    gap = output.index("between terms  Sat 2026-09-19 to Mon 2026-09-21: 3 dates\n")
    assert output.index('term "Autumn"') < gap < output.index('term "Spring"')


def test_terms_without_a_gap_share_a_week(tmp_path: Path) -> None:
    text = HEAD + ORDINARY + 'term "One" 2026-09-07 to 2026-09-09\nterm "Two" 2026-09-10 to 2026-09-11\n'
    output = shown(tmp_path, text)
    assert "between terms" not in output
    assert re.findall(r"^  2026-09-07 +37 +(.*?) +\d+$", output, re.MULTILINE) == [
        "normal  normal  normal",
        "normal  early",
    ]


def test_names_too_long_for_the_page_become_keys_that_are_explained(tmp_path: Path) -> None:
    text = (HEAD + ORDINARY + 'term "Autumn" 2026-09-07 to 2026-09-18\n').replace(
        "normal", "the-normal-whole-day"
    )
    output = shown(tmp_path, text)
    assert re.search(r"^  2026-09-07  37   T2   T2   T2   T2   T1 ", output, re.MULTILINE)
    assert "\n  T2  the-normal-whole-day    8 dates  2026-09-07 to 09-10, 09-14 to 09-17\n" in output


def test_a_name_that_only_just_fits_stands_closer(tmp_path: Path) -> None:
    text = (HEAD + ORDINARY + 'term "Autumn" 2026-09-07 to 2026-09-18\n').replace("normal", "the-normal-day")
    row = next(line for line in shown(tmp_path, text).splitlines() if line.startswith("  2026-09-07"))
    assert row.count("the-normal-day") == 4
    assert len(row) <= 100


# ------------------------------------------------------------------------- what acts


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            '2026-09-09 add 10:00, 10:05 lesson in yard "Sports"',
            'Wed  add 10:00, 10:05 lesson in yard: "Sports"',
        ),
        ('2026-09-09 shift -10 min from 12:00 "Visit"', 'Wed  shift -10 min from 12:00: "Visit"'),
        ("2026-09-09 shift +1 h after 12:00 in main", "Wed  shift +1 h in main after 12:00"),
        ('2026-09-09 drop "Line up" in yard', 'Wed  drop "Line up" in yard'),
        ("2026-09-09 drop 12:00, 15:00 in main", "Wed  drop 12:00, 15:00 in main"),
        ("2026-09-09 move 15:00 to 15:30", "Wed  move 15:00 to 15:30"),
        ('2026-09-09 move "Line up" to 12:10', 'Wed  move "Line up" to 12:10'),
        ("2026-09-09 silent in main 11:00 - 13:00", "Wed  silent in main 11:00 - 13:00"),
        ("2026-09-07 to 2026-09-09 silent in yard", "Mon to Wed  silent in yard"),
        ("every Wed from 2026-09-07 to 2026-09-18 early", "Wed  early"),
    ],
)
def test_what_acts_is_said_in_the_words_of_the_language(tmp_path: Path, line: str, said: str) -> None:
    text = HEAD + ORDINARY + f'term "Autumn" 2026-09-07 to 2026-09-18\nexceptions\n  {line}\n'
    assert f"      {said} (line 18)\n" in shown(tmp_path, text)


def test_a_period_moves_to_a_range(tmp_path: Path) -> None:
    text = (HEAD + ORDINARY).replace(
        "timetable early\n",
        'timetable early in main\n  each period start lesson\n  period "Club" 13:00 - 14:00\n',
    )
    text += 'term "Autumn" 2026-09-07 to 2026-09-18\nexceptions\n  2026-09-11 move "Club" to 13:30 - 14:00\n'
    assert '      Fri  move "Club" to 13:30 - 14:00 (line 20)\n' in shown(tmp_path, text)


# ------------------------------------------------------------------------------ arguments


def test_faults_are_named_and_no_term_is_shown(tmp_path: Path) -> None:
    result = run(tmp_path, HEAD + ORDINARY)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "error" in result.stderr


def test_warnings_count_where_they_are_taken_for_errors(tmp_path: Path) -> None:
    text = HEAD + ORDINARY + 'term "Autumn" 2026-09-07 to 2026-09-18\nexceptions\n  Sat 2026-09-12 silent\n'
    assert run(tmp_path, text).exit_code == 0
    assert run(tmp_path, text, "--strict").exit_code == 1


def test_a_file_that_is_not_there_is_misuse(tmp_path: Path) -> None:
    assert CliRunner().invoke(group, ["term", str(tmp_path / "gone.chime")]).exit_code == 2
    assert CliRunner().invoke(group, ["term"]).exit_code == 2


# -------------------------------------------------------------------------------- samples


@pytest.mark.parametrize(
    ("sample", "oracle"), [("saltmarsh", saltmarsh), ("banksia", banksia), ("brickfield", brickfield)]
)
def test_the_samples_fit_a_screen_or_two_and_count_every_ring_written_out_by_hand(
    tmp_path: Path, sample: str, oracle: ModuleType
) -> None:
    for file in SAMPLES.glob("*.chime"):
        shutil.copy(file, tmp_path)
    result = CliRunner().invoke(group, ["term", str(tmp_path / f"{sample}.chime")])
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert max(map(len, lines)) <= 100
    assert len(lines) <= {1: 50, 2: 72}[result.stdout.count('\nterm "')]
    weekly = re.findall(r"^  (\d{4}-\d\d-\d\d) .* ([\d,]+)$", result.stdout, re.MULTILINE)
    records = oracle.expected(text=(SAMPLES / f"{sample}.chime").read_text(encoding="utf-8"))
    assert sum(int(count.replace(",", "")) for _, count in weekly) == len(records)
    assert all(date.fromisoformat(day).weekday() == 0 for day, _ in weekly)
