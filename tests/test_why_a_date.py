"""`chime why` with a date alone: the day from its pattern to its rings."""

from pathlib import Path

import pytest

from tests.why_programme import HEAD, TEXT, in_words, run, why

# ------------------------------------------------------------------------------ a whole date


def test_a_date_is_told_from_its_pattern_to_its_rings(tmp_path: Path) -> None:
    assert (
        why(tmp_path, "2026-09-16")
        == """Wed 2026-09-16: term "Autumn", week b, timetable normal
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
        ("2026-09-19", "a day without bells pattern silent, line 24: Sat, Sun silent"),
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
    assert 'Mon 2027-04-19: term "Summer", day 1, timetable normal' in why(tmp_path, "2027-04-19", text=text)
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
