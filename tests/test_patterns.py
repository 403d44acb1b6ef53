"""Week letters and cycle numbers by date: what closures do to them, and what does not."""

from datetime import date

import pytest

from tests.compiling import checked, codes_of, compiled, said

HEAD = """programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1 "Main"
signal lesson 6 s within 2 s
timetable normal in main
  ring 09:00, 12:00 lesson
timetable early in main
  ring 08:00, 11:00 lesson
"""
WEEKS = (
    HEAD
    + """week a
  Mon to Fri normal
  Sat, Sun silent
week b
  Mon to Thu early
  Fri normal
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-12-18
  weeks a, b from 2026-09-07 counting school weeks
"""
)
CYCLE = (
    HEAD
    + """cycle three on Mon to Fri
  day 1 normal
  day 2 early
  day 3 normal
term "Autumn" 2026-09-07 to 2026-10-02
  cycle three from 2026-09-07 slip
"""
)


def labels(text: str) -> dict[str, str | None]:
    calendar = compiled(text).calendar
    assert calendar is not None
    return {d.day.isoformat(): d.label for d in calendar.days}


def letters(text: str, *mondays: str) -> list[str | None]:
    found = labels(text)
    return [found[monday] for monday in mondays]


def exceptions(*lines: str) -> str:
    return "exceptions\n" + "".join(f"  {line}\n" for line in lines)


MONDAYS = ("2026-10-19", "2026-10-26", "2026-11-02", "2026-11-09")


def test_weeks_take_turns() -> None:
    assert letters(WEEKS, *MONDAYS) == ["a", "b", "a", "b"]


def test_the_letter_of_a_closed_week_waits_for_the_next() -> None:
    text = WEEKS + exceptions("2026-10-26 to 2026-10-30 silent")
    assert letters(text, *MONDAYS) == ["a", None, "b", "a"]


def test_counting_every_week_counts_closed_ones_too() -> None:
    text = WEEKS.replace("counting school weeks", "counting every week")
    assert letters(text + exceptions("2026-10-26 to 2026-10-30 silent"), *MONDAYS) == ["a", "b", "a", "b"]


@pytest.mark.parametrize(
    "line",
    [
        "2026-10-28 normal instead",
        "2026-10-28 add 10:00 lesson in main",
        "2026-10-31 normal",
    ],
)
def test_what_opens_a_day_for_itself_never_changes_letters(line: str) -> None:
    text = WEEKS + exceptions("2026-10-26 to 2026-10-30 silent", line)
    assert letters(text, *MONDAYS) == ["a", None, "b", "a"]


def test_as_usual_takes_a_day_out_of_the_closure() -> None:
    text = WEEKS + exceptions("2026-10-26 to 2026-10-30 silent", "2026-10-28 as usual")
    assert letters(text, *MONDAYS) == ["a", "b", "a", "b"]


@pytest.mark.parametrize(
    "line", ["2026-10-26 to 2026-10-30 early", "2026-10-26 to 2026-10-30 silent in main 00:00 - 15:00"]
)
def test_other_timetables_and_partial_silences_never_change_letters(line: str) -> None:
    assert letters(WEEKS + exceptions(line), *MONDAYS) == ["a", "b", "a", "b"]


def test_a_week_whose_block_rings_nowhere_takes_its_letter() -> None:
    silent = WEEKS.replace("Mon to Thu early\n  Fri normal", "Mon to Fri silent")
    text = silent + exceptions("2026-10-26 to 2026-10-30 silent")
    assert letters(text, *MONDAYS) == ["a", "b", "a", "b"]


def test_an_anchor_in_an_earlier_term_counts_on() -> None:
    spring = 'term "Spring" 2027-01-05 to 2027-01-29\n  weeks a, b from 2026-09-07 counting school weeks\n'
    # Fifteen school weeks from 7 September to 18 December: a has the odd ones, so January goes on with b.
    assert letters(WEEKS + spring, "2026-12-14", "2027-01-11", "2027-01-18") == ["a", "a", "b"]
    assert labels(WEEKS + spring)["2027-01-05"] == "b"


def test_an_anchor_before_its_terms_first_week_counts_from_there() -> None:
    text = WEEKS.replace("from 2026-09-07 counting every", "from 2026-08-31 counting every")
    text = text.replace("from 2026-09-07 counting school weeks", "from 2026-08-31 counting every week")
    assert letters(text, "2026-09-07", "2026-09-14") == ["b", "a"]


def test_an_anchor_after_its_terms_first_week_is_an_error() -> None:
    text = WEEKS.replace("a, b from 2026-09-07", "a, b from 2026-09-14")
    assert said(checked(text).diagnostics) == ["N360 18:19 the letters begin after the term's first week"]


def test_an_anchor_later_in_the_first_week_is_fine() -> None:
    assert letters(WEEKS.replace("a, b from 2026-09-07", "a, b from 2026-09-10"), "2026-09-07") == ["a"]


def test_weeks_from_a_sunday_anchor_run_from_sunday() -> None:
    text = WEEKS.replace("a, b from 2026-09-07", "a, b from Sun 2026-09-06")
    found = labels(text)
    assert [found[d] for d in ("2026-09-12", "2026-09-13", "2026-09-14")] == ["a", "b", "b"]


def test_a_term_without_a_gap_changes_the_timetable_in_mid_term() -> None:
    text = WEEKS.replace("to 2026-12-18\n", "to 2026-10-14\n") + (
        'term "Autumn, later" 2026-10-15 to 2026-12-18\n  weeks b, a from 2026-10-15 counting school weeks\n'
    )
    found = labels(text)
    assert [found[d] for d in ("2026-10-14", "2026-10-15", "2026-10-19")] == ["b", "b", "a"]


# -------------------------------------------------------------------- cycles


def numbers(text: str, first: str, count: int) -> list[str | None]:
    found = labels(text)
    start = date.fromisoformat(first).toordinal()
    return [found[date.fromordinal(start + n).isoformat()] for n in range(count)]


def test_a_cycle_runs_on_over_the_weekend() -> None:
    days = ["day 1", "day 2", "day 3", "day 1", "day 2", None, None, "day 3"]
    assert numbers(CYCLE, "2026-09-07", 8) == days


def test_with_slip_the_number_of_a_closed_day_waits() -> None:
    text = CYCLE + exceptions('2026-09-09 silent "Snow"')
    assert numbers(text, "2026-09-07", 5) == ["day 1", "day 2", None, "day 3", "day 1"]


def test_skip_a_closed_day_takes_its_number() -> None:
    text = CYCLE.replace(" slip", " skip") + exceptions('2026-09-09 silent "Snow"')
    assert numbers(text, "2026-09-07", 5) == ["day 1", "day 2", "day 3", "day 1", "day 2"]


def test_neither_word_is_an_error_at_the_first_closure() -> None:
    text = CYCLE.replace(" slip", "") + exceptions('2026-09-09 silent "Snow"', "2026-09-10 silent")
    found = checked(text)
    assert [d.code.id for d in found.diagnostics] == ["D431"]
    assert [label.span.line for label in found.diagnostics[0].labels] == [15, 17]
    assert [s.text for s in found.diagnostics[0].suggestions] == [
        "cycle three from 2026-09-07 slip",
        "cycle three from 2026-09-07 skip",
    ]


def test_neither_word_is_fine_where_nothing_is_closed() -> None:
    assert codes_of(CYCLE.replace(" slip", "")) == []


def test_at_day_gives_the_first_day_its_number() -> None:
    text = CYCLE.replace("from 2026-09-07 slip", "from 2026-09-07 at day 3 slip")
    assert numbers(text, "2026-09-07", 3) == ["day 3", "day 1", "day 2"]


def test_a_cycle_numbers_from_the_first_day_on_or_after_its_anchor() -> None:
    text = CYCLE.replace("from 2026-09-07 slip", "from Sat 2026-09-05 slip")
    assert numbers(text, "2026-09-07", 2) == ["day 1", "day 2"]


def test_a_range_passes_by_a_silent_day_of_the_cycle_so_it_is_not_closed() -> None:
    text = CYCLE.replace("day 3 normal", "day 3 silent") + exceptions("2026-09-09 to 2026-09-10 silent")
    # Wednesday is day 3 and silent by itself: the range passes it by and it takes its number.
    assert numbers(text, "2026-09-07", 5) == ["day 1", "day 2", "day 3", None, "day 1"]


def test_a_line_for_one_date_closes_a_silent_day_of_the_cycle() -> None:
    text = CYCLE.replace("day 3 normal", "day 3 silent") + exceptions("2026-09-09 silent")
    assert numbers(text, "2026-09-07", 5) == ["day 1", "day 2", None, "day 3", "day 1"]


def test_a_cycle_counts_through_an_earlier_term() -> None:
    later = 'term "Winter" 2026-10-12 to 2026-10-16\n  cycle three from 2026-09-07 slip\n'
    # Twenty days from 7 September to 2 October use the numbers 1 to 20; the next is the 21st, day 3.
    assert numbers(CYCLE + later, "2026-10-12", 2) == ["day 3", "day 1"]
