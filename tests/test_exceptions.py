"""What exceptions do to a day: each kind alone, every pair of kinds on one date, and the order of both.

The expected answers follow from the language's own rules: at most one exception replaces the day; then
drop, shift and move act on the timetable's times in this order; then add; then the partial silence,
which looks at the final times.
"""

from itertools import permutations

import pytest

from tests.compiling import checked, codes_of, compiled, rings_of, said

HEAD = """programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1 "Main"
zone yard on track 2 "Yard"
signal lesson 6 s within 2 s
timetable normal in main
  each period start lesson, end lesson
  period "1" 09:00 - 10:00
  ring 10:10 lesson in yard "Line up"
  period "2" 10:20 - 11:20
timetable early in main
  ring 08:00, 12:00 lesson
week ordinary
  Mon to Fri normal
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-18
exceptions
"""
NORMAL = ["09:00 main", "10:00 main", "10:10 yard", "10:20 main", "11:20 main"]
DAY = "2026-09-09"


def day(*lines: str, on: str = DAY, head: str = HEAD) -> list[str]:
    """Return the rings of one date, `09:00 main`, with some lines of exceptions."""
    text = head + "".join(f"  {line}\n" for line in lines) + "  2026-09-18 early\n"
    return [f"{r.at:%H:%M} {r.zone}" for r in rings_of(text) if r.at.date().isoformat() == on]


def test_a_day_without_exceptions_rings_as_its_timetable_says() -> None:
    assert day() == NORMAL


SINGLE = {
    "replace": ("early", ["08:00 main", "12:00 main"]),
    "silent": ("silent", []),
    "drop": ('drop "1"', ["10:10 yard", "10:20 main", "11:20 main"]),
    "shift": ("shift +5 min from 10:00", ["09:00 main", "10:05 main", "10:15 yard", "10:25 main", "11:25 main"]),
    "move": ('move "2" to 10:30 - 11:30', ["09:00 main", "10:00 main", "10:10 yard", "10:30 main", "11:30 main"]),
    "add": ("add 11:00 lesson in yard", ["09:00 main", "10:00 main", "10:10 yard", "10:20 main", "11:00 yard", "11:20 main"]),
    "silence": ("silent in main 10:00 - 10:30", ["09:00 main", "10:10 yard", "11:20 main"]),
}  # fmt: skip


@pytest.mark.parametrize("kind", SINGLE)
def test_one_exception_alone(kind: str) -> None:
    line, expected = SINGLE[kind]
    assert day(f"{DAY} {line}") == expected


PAIRS = {
    # The day that replaces is the one that is changed.
    ("replace", "drop"): ("early", "drop 12:00", ["08:00 main"]),
    ("replace", "shift"): ("early", "shift +10 min", ["08:10 main", "12:10 main"]),
    ("replace", "move"): ("early", "move 12:00 to 12:30", ["08:00 main", "12:30 main"]),
    ("replace", "add"): ("early", "add 11:00 lesson in yard", ["08:00 main", "11:00 yard", "12:00 main"]),
    ("replace", "silence"): ("early", "silent in main after 10:00", ["08:00 main"]),
    # Drop comes before shift and looks at the times before it: 10:10 goes, though 10:00 moves there.
    ("drop", "shift"): ("drop 10:10", "shift +10 min in main from 10:00 until 10:01", ["09:00 main", "10:10 main", "10:20 main", "11:20 main"]),
    ("drop", "move"): ('drop 11:20', 'move "1" to 08:50 - 09:50', ["08:50 main", "09:50 main", "10:10 yard", "10:20 main"]),
    # What is added is added after the drop, so it stays.
    ("drop", "add"): ("drop after 10:00", "add 11:00 lesson in yard", ["09:00 main", "10:00 main", "11:00 yard"]),
    ("drop", "silence"): ("drop after 10:30", "silent in main before 09:30", ["10:00 main", "10:10 yard", "10:20 main"]),
    # A move looks for its ring before any shift, and what it writes is final.
    ("shift", "move"): ("shift +5 min", "move 10:10 to 10:12", ["09:05 main", "10:05 main", "10:12 yard", "10:25 main", "11:25 main"]),
    ("shift", "add"): ("shift +5 min from 11:00", "add 11:00 lesson in yard", ["09:00 main", "10:00 main", "10:10 yard", "10:20 main", "11:00 yard", "11:25 main"]),
    # The partial silence looks at the final times: 11:20 has left the window, 10:20 has come in.
    ("shift", "silence"): ("shift +30 min from 10:20", "silent in main 10:50 - 11:30", ["09:00 main", "10:00 main", "10:10 yard", "11:50 main"]),
    ("move", "add"): ("move 10:10 to 10:15", "add 10:10 lesson in yard", ["09:00 main", "10:00 main", "10:10 yard", "10:15 yard", "10:20 main", "11:20 main"]),
    ("move", "silence"): ("move 10:10 to 09:10", "silent in yard 09:00 - 09:30", ["09:00 main", "10:00 main", "10:20 main", "11:20 main"]),
    ("add", "silence"): ("add 11:00 lesson in yard", "silent in main 10:00 - 11:10", ["09:00 main", "10:10 yard", "11:00 yard", "11:20 main"]),
}  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_two_kinds_of_exception_on_one_date(pair: tuple[str, str]) -> None:
    first, second, expected = PAIRS[pair]
    for order in permutations((first, second)):
        assert day(*(f"{DAY} {line}" for line in order)) == expected


def test_the_fifteen_pairs_are_all_there() -> None:
    kinds = ("replace", "drop", "shift", "move", "add", "silence")
    assert set(PAIRS) == {(a, b) for n, a in enumerate(kinds) for b in kinds[n + 1 :]}


# ------------------------------------------------------------- replacements


def test_replacements_that_differ_show_both_lines() -> None:
    found = checked(HEAD + f"  {DAY} early\n  2026-09-07 to 2026-09-11 silent\n")
    assert said(found.diagnostics) == ["D432 20:3 two lines replace Wed 2026-09-09"]
    assert [label.span.line for label in found.diagnostics[0].labels] == [20, 19]


def test_replacements_that_agree_keep_all_their_reasons() -> None:
    text = HEAD + f'  {DAY} silent "Snow"\n  2026-09-07 to 2026-09-11 silent "Heating"\n  2026-09-18 early\n'
    calendar = compiled(text).calendar
    assert calendar is not None
    wednesday = next(d for d in calendar.days if d.day.isoformat() == DAY)
    assert sorted(a.said or "" for a in wednesday.acting) == ["Heating", "Snow"]


def test_instead_beats_a_range() -> None:
    assert day(f"{DAY} early instead", "2026-09-07 to 2026-09-11 silent") == ["08:00 main", "12:00 main"]
    assert day(f"{DAY} early", "2026-09-07 to 2026-09-11 silent instead") == []


def test_two_different_insteads_are_an_error() -> None:
    codes = codes_of(HEAD + f"  {DAY} early instead\n  {DAY} silent instead\n  2026-09-18 early\n")
    assert codes == ["D432"]


def test_instead_that_beats_nothing_is_a_warning() -> None:
    assert codes_of(HEAD + f"  {DAY} early instead\n") == ["D433"]


def test_as_usual_undoes_every_replacement() -> None:
    assert day(f"{DAY} as usual", "2026-09-07 to 2026-09-11 silent", f"{DAY} early instead") == NORMAL


def test_as_usual_that_undoes_nothing_is_a_warning() -> None:
    assert codes_of(HEAD + f"  {DAY} as usual\n  2026-09-18 early\n") == ["D435"]


def test_a_replacement_by_what_runs_anyway_is_a_warning() -> None:
    assert codes_of(HEAD + f"  {DAY} normal\n  2026-09-18 early\n") == ["D435"]


# ------------------------------------------------------ ranges and single dates


def test_a_range_passes_by_days_that_the_pattern_leaves_silent() -> None:
    text = HEAD + "  2026-09-11 to 2026-09-14 early\n"
    calendar = compiled(text).calendar
    assert calendar is not None
    assert [r.at.date().isoformat() for r in calendar.rings if r.at.hour == 8] == ["2026-09-11", "2026-09-14"]
    assert [d.isoformat() for d in calendar.passed_by[0].days] == ["2026-09-12", "2026-09-13"]


def test_a_single_date_and_an_every_act_on_a_silent_day() -> None:
    assert day("Sat 2026-09-12 early", on="2026-09-12") == ["08:00 main", "12:00 main"]
    assert day("every Sat from 2026-09-07 to 2026-09-18 early", on="2026-09-12") == [
        "08:00 main",
        "12:00 main",
    ]


def test_every_passes_by_days_that_another_line_closes() -> None:
    closed = "2026-09-07 to 2026-09-13 silent"
    every = "every Wed from 2026-09-07 to 2026-09-18 add 15:00 lesson in yard"
    assert day(every, closed) == []
    assert day(every, closed, on="2026-09-16") == [*NORMAL, "15:00 yard"]


def test_every_passes_by_a_saturday_inside_a_closure() -> None:
    lines = ("2026-09-07 to 2026-09-13 silent", "every Sat from 2026-09-07 to 2026-09-18 early instead")
    assert codes_of(HEAD + "".join(f"  {line}\n" for line in lines)) == ["D433"]


def test_every_acts_where_another_line_opens_the_day_again() -> None:
    every = "every Wed from 2026-09-07 to 2026-09-18 add 15:00 lesson in yard"
    closed = "2026-09-07 to 2026-09-13 silent"
    assert day(every, closed, f"{DAY} as usual") == [*NORMAL, "15:00 yard"]
    assert day(every, closed, f"{DAY} normal instead") == [*NORMAL, "15:00 yard"]


def test_add_rings_on_a_silent_day_for_a_date_and_not_for_a_range() -> None:
    assert day("Sat 2026-09-12 add 11:00 lesson in yard", on="2026-09-12") == ["11:00 yard"]
    assert day(f"{DAY} add 11:00 lesson in yard", f"{DAY} silent") == ["11:00 yard"]
    assert day("2026-09-07 to 2026-09-13 add 11:00 lesson in yard", on="2026-09-12") == []
    assert day("2026-09-07 to 2026-09-11 add 11:00 lesson in yard", f"{DAY} silent") == []


def test_the_reason_of_an_add_is_the_label_of_its_ring() -> None:
    rings = rings_of(HEAD + f'  {DAY} add 11:00 lesson in yard "Photograph"\n  2026-09-18 early\n')
    assert [r.labels for r in rings if r.at.hour == 11 and r.zone == "yard"] == [("Photograph",)]


def test_an_added_ring_in_a_silence_is_an_error_that_shows_both() -> None:
    for silence in ("silent in yard", "silent in yard 10:30 - 11:30", "silent 10:30 - 11:30"):
        found = checked(HEAD + f"  {DAY} add 11:00 lesson in yard\n  {DAY} {silence}\n  2026-09-18 early\n")
        assert [d.code.id for d in found.diagnostics] == ["D434"]
        assert [label.span.line for label in found.diagnostics[0].labels] == [19, 20]


def test_silent_everywhere_is_written_silent() -> None:
    found = checked(HEAD + f"  {DAY} silent everywhere\n  2026-09-18 early\n")
    assert [d.code.id for d in found.diagnostics] == ["N363"]
    assert [s.text for s in found.diagnostics[0].suggestions] == ["silent"]


# ------------------------------------------------------------ partial silence


NIGHT = HEAD.replace(
    "week ordinary", "timetable late in main\n  ring 22:00, 25:30 lesson\nweek ordinary"
).replace("Mon to Fri normal", "Mon to Thu normal\n  Fri late")


def test_a_window_goes_by_the_clock_and_stops_last_nights_rings() -> None:
    assert day(on="2026-09-12", head=NIGHT) == ["01:30 main"]
    assert day("Sat 2026-09-12 silent in main 01:00 - 02:00", on="2026-09-12", head=NIGHT) == []
    assert day("Fri 2026-09-11 silent in main 24:30 - 26:00", on="2026-09-12", head=NIGHT) == []


def test_a_silence_without_a_window_takes_the_service_day() -> None:
    assert day("Fri 2026-09-11 silent in main", on="2026-09-12", head=NIGHT) == []
    assert day("Fri 2026-09-11 silent in main from 00:00", on="2026-09-12", head=NIGHT) == ["01:30 main"]


def test_a_window_works_on_every_date_of_a_range_also_where_the_pattern_is_silent() -> None:
    assert day("2026-09-10 to 2026-09-13 silent in main 01:00 - 02:00", on="2026-09-12", head=NIGHT) == []


def test_a_window_holds_its_start_and_not_its_end() -> None:
    assert day(f"{DAY} silent in main 09:00 - 11:20") == ["10:10 yard", "11:20 main"]
    assert day(f"{DAY} silent in main after 09:00") == ["09:00 main", "10:10 yard"]
    assert day(f"{DAY} silent in main before 10:00") == [
        "10:00 main",
        "10:10 yard",
        "10:20 main",
        "11:20 main",
    ]


def test_a_silence_that_silences_nothing_is_a_warning() -> None:
    assert codes_of(HEAD + f"  {DAY} silent in main 13:00 - 14:00\n  2026-09-18 early\n") == ["D435"]


def test_a_date_outside_every_term_is_an_error_at_the_date() -> None:
    found = checked(HEAD + "  2026-09-19 silent\n  2026-09-18 early\n")
    assert said(found.diagnostics) == ["N361 19:3 Sat 2026-09-19 lies in no term"]


def test_an_exception_keeps_its_reason_and_its_line() -> None:
    rings = rings_of(HEAD + f'  {DAY} shift +5 min in yard "Rain"\n  2026-09-18 early\n')
    moved = next(r for r in rings if r.at.isoformat() == "2026-09-09T10:15:00")
    assert moved.because == ("test.chime:10", "test.chime:19")
    assert moved.said == ("Rain",)
