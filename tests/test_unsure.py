"""What is still told of a programme with errors, and what must be left unsaid because it rests on one."""

import pytest

from tests.compiling import checked

PROGRAMME = """\
programme "Sallow Bridge"
  place Europe/London
  issue 1 on 2026-08-20
  longest ring 9 s
zone main on track 1
zone yard on track 2
signal bell 6 s within 1 s
signal gong 5 s within 1 s
timetable day in main
  each period start bell, end bell
  period "1" 09:00 - 10:00
  ring 10:30 gong in yard "Line up"
timetable other in main
  ring 09:30 bell
  ring 15:00 gong in yard "Gates"
week a
  Mon to Fri day
  Sat, Sun silent
week b
  Mon to Fri other
  Sat, Sun silent
term "Autumn" 2026-10-05 to 2026-11-27
  weeks a, b from 2026-10-05 counting school weeks
term "Spring" 2027-02-01 to 2027-03-26
  week a
exceptions
"""
NO_RING = "  2026-11-17 move 12:00 to 12:10\n"
"""An error of its own in the seventh week of the term: letter a, so day runs."""
NO_LABEL = '  2026-11-17 drop "Gaets"\n'
SATURDAY = '  Sat 2027-02-13 silent "Fair"\n'


def codes(text: str, files: dict[str, str] | None = None) -> list[str]:
    return sorted(fault.code.id for fault in checked(text, files).diagnostics)


def changed(old: str, new: str, *lines: str) -> list[str]:
    """The codes of the programme with a piece of it changed, and with lines of exceptions."""
    assert PROGRAMME.count(old) == 1, old
    return codes(PROGRAMME.replace(old, new) + "".join(lines))


def test_the_programme_is_sound_and_the_lines_are_not() -> None:
    assert codes(PROGRAMME) == []
    assert codes(PROGRAMME + NO_RING) == ["D405"]
    assert codes(PROGRAMME + NO_LABEL) == ["D401"]
    assert codes(PROGRAMME + SATURDAY) == ["D435"]


# ------------------------------------------------------------------- lost lines of the exceptions

LOST = {
    "one closed day that is not read": ("  2026-11-10 silent from\n", "S", "all"),
    "a closed day that is not read, the date itself": ("  2026-11-17 silent from\n", "S", "label"),
    "a closed week that is not read": ("  2026-11-09 to 2026-11-13 silent from\n", "S", "letters"),
    "a closed week that is not read, after the date": ("  2026-11-23 to 2026-11-27 silent from\n", "S", "all"),
    "additions of a week that are not read": ("  2026-11-09 to 2026-11-13 add 11:00 bell inmain\n", "S", "all"),
    "an addition that is not read, the date itself": ("  2026-11-17 add 11:00 bell inmain\n", "S", "label"),
    "a range with a date that is none": ("  20261-1-16 to 2026-11-20 silent\n", "S", "label"),
    "half a range": ("  2026-11-18 to silent from\n", "S", "label"),
    "half a range of additions": ("  2026-11-18 to add 11:00 bell inmain\n", "S", "label"),
    "no date at all": ("  silent from\n", "S", "label"),
    "a date that does not exist, not read": ("  2026-11-31 silent from\n", "S", "label"),
    "a timetable that is not known, for a week": ("  2026-11-09 to 2026-11-13 othre\n", "N", "all"),
    "a timetable that is not known, the date itself": ("  2026-11-17 othre\n", "N", "label"),
    "a word for closed days": ("  2026-11-09 to 2026-11-13 closed\n", "N", "letters"),
    "a date that does not exist": ("  2026-11-31 silent\n", "N", "label"),
    "a date of another month that does not exist": ("  2027-02-30 silent\n", "N", "all"),
    "a date of last year": ("  2025-11-16 add 11:00 bell in main\n", "N", "label"),
    "a date of last year in another month": ("  2025-02-16 add 11:00 bell in main\n", "N", "all"),
    "a date of a year without any terms about it": ("  2024-08-01 silent\n", "N", "all"),
    "a wrong weekday": ("  Sun 2026-11-10 add 11:00 bell in main\n", "N", "label"),
    "a range with a wrong end": ("  2026-11-09 to 2026-11-31 add 11:00 bell in main\n", "N", "label"),
    "a range turned round": ("  2026-11-20 to 2026-11-12 add 11:00 bell in main\n", "N", "label"),
    "a weekday that does not come": ("  every Sun from 2026-11-10 to 2026-11-12 drop 09:00\n", "N", "label"),
    "a file that is not there": ('  days in "closures.ics" silent\n', "N", "label"),
    "a region that is not known": ("  public holidays of GB-EGN silent\n", "N", "label"),
    "last night's silence in a zone that is not known": ("  2026-11-16 silent in yrad 22:00 - 30:00\n", "N", "label"),
    "last night's addition of a signal that is not known": ("  2026-11-16 add 11:00 bel in main\n", "N", "all"),
    "a silence of everything": ("  2026-11-17 silent everywhere\n", "N", "label"),
}  # fmt: skip
"""Faulty lines, with the letter of their code and what is still told of other lines of 17 November.

`all`: which letter the week has, what rings on the date, and so that a move finds nothing. `letters`: the
letter is open, but no timetable has the label. `label`: only that.
"""


@pytest.mark.parametrize("name", LOST)
def test_what_rests_on_a_lost_line_is_left_unsaid(name: str) -> None:
    line, stage, told = LOST[name]
    own = codes(PROGRAMME + line)
    assert [code[0] for code in own] == [stage]
    assert codes(PROGRAMME + line + NO_LABEL) == sorted([*own, "D401"])
    assert codes(PROGRAMME + line + NO_RING) == sorted([*own, "D405"] if told == "all" else own)


@pytest.mark.parametrize(
    ("opener", "told"), [("exceptions of ours", True), ("exceptions 2026-11-17 silent", False)]
)
def test_an_opener_that_is_not_read_may_hold_a_line(opener: str, told: bool) -> None:
    (own,) = codes(PROGRAMME + opener + "\n")
    assert codes(PROGRAMME + opener + "\n" + NO_RING) == (["D405", own] if told else [own])


# --------------------------------------------------------------------- terms, weeks and cycles

NO_RING_IN_SPRING = "  2027-02-16 move 12:00 to 12:10\n"
OUTSIDE = "  2026-12-20 silent\n"
SPRING = 'term "Spring" 2027-02-01 to 2027-03-26\n  week a\n'


@pytest.mark.parametrize("new", ["2026-10-05 upto", "2026-10-45 to"])
def test_a_term_without_its_dates_leaves_the_others_as_they_are(new: str) -> None:
    alone = changed('"Autumn" 2026-10-05 to', f'"Autumn" {new}')
    # The first move and the third line may lie in the term that is missing.
    lines = NO_RING, OUTSIDE, NO_RING_IN_SPRING
    assert changed('"Autumn" 2026-10-05 to', f'"Autumn" {new}', *lines) == sorted([*alone, "D405"])


def test_letters_that_count_from_a_term_without_dates_are_not_known() -> None:
    text = PROGRAMME.replace(
        SPRING, SPRING.replace("  week a", "  weeks b, a from 2026-10-05 counting school weeks")
    )
    assert codes(text + NO_RING_IN_SPRING) == ["D405"]
    assert codes(text.replace("to 2026-11-27", "to 2026-11-37") + NO_RING_IN_SPRING) == ["N302"]


def test_of_terms_that_overlap_neither_is_certain() -> None:
    assert changed("2027-02-01 to", "2026-11-25 to", NO_RING, NO_RING_IN_SPRING) == ["N357"]


@pytest.mark.parametrize("pattern", ["  week a\n  week b", "  weke upto", "  week c", ""])
def test_a_term_of_which_nobody_knows_what_it_runs(pattern: str) -> None:
    text = PROGRAMME.replace(SPRING, f'term "Spring" 2027-02-01 to 2027-03-26\n{pattern}\n')
    (own,) = codes(text)
    assert codes(text + NO_RING_IN_SPRING + SATURDAY) == [own]
    # What a line for one date runs is known whatever the term runs; and other terms are as they were.
    assert codes(text + NO_RING_IN_SPRING + "  2027-02-16 other\n") == sorted(["D405", own])
    assert codes(text + NO_RING + OUTSIDE) == sorted(["D405", "N361", own])


def test_as_usual_leaves_open_what_runs_only_where_the_pattern_is_open() -> None:
    lines = "  2027-02-16 as usual\n  2027-02-16 othre\n" + NO_RING_IN_SPRING
    assert codes(PROGRAMME + lines) == ["D405", "N323"]
    assert codes(PROGRAMME.replace(SPRING, SPRING.replace("week a", "week c")) + lines) == ["N323", "N324"]


def test_a_range_may_act_where_the_pattern_is_open() -> None:
    text = PROGRAMME.replace(SPRING, SPRING.replace("week a", "week c"))
    assert codes(text + "  2027-02-15 to 2027-02-19 drop 12:00\n") == ["N324"]
    assert codes(text + "  2027-02-16 to 2027-02-17 silent\n  2027-02-16 other\n") == ["N324"]
    assert codes(text + "  2027-02-16 to 2027-02-17 silent\n  2027-02-16 other instead\n") == ["N324"]
    assert codes(text + "  2027-02-16 to 2027-02-17 silent in main 09:00 - 09:05\n") == ["N324"]
    assert codes(text + "  every Tue from 2027-02-16 to 2027-02-23 other\n" + NO_RING_IN_SPRING) == [
        "D405",
        "N324",
    ]


def test_an_every_may_pass_by_a_date_that_a_lost_line_may_close() -> None:
    every = "  every Tue from 2027-02-16 to 2027-02-23 drop 12:00\n"
    assert codes(PROGRAMME + every) == ["D402"]
    assert codes(PROGRAMME + every + "  2027-02-16 silent from\n") == ["S202"]
    assert codes(PROGRAMME + every.replace("drop 12:00", "silent") + "  2027-02-16 othre\n") == ["N323"]


def test_a_week_is_open_only_on_the_days_of_its_faulty_line() -> None:
    tuesday = PROGRAMME.replace("Mon to Fri day", "Mon dya\n  Tue to Fri day")
    assert codes(tuesday + NO_RING_IN_SPRING) == ["D405", "N323"]
    assert codes(tuesday + NO_RING_IN_SPRING.replace("16", "15")) == ["N323"]
    unanswered = PROGRAMME.replace("Mon to Fri day", "Tue to Fri day")
    assert codes(unanswered + NO_RING_IN_SPRING) == ["D405", "N351"]
    assert codes(unanswered + NO_RING_IN_SPRING.replace("16", "15")) == ["N351"]
    twice = PROGRAMME.replace("Mon to Fri day", "Mon to Thu day\n  Thu, Fri other")
    assert codes(twice + NO_RING_IN_SPRING) == ["D405", "N352"]
    assert codes(twice + NO_RING_IN_SPRING.replace("16", "18")) == ["N352"]


def test_a_week_that_is_said_twice_is_open_on_all_its_days() -> None:
    text = PROGRAMME + "week a\n  Mon to Sun other\nexceptions\n"
    assert codes(text + NO_RING_IN_SPRING) == ["N331"]


CYCLE = """\
cycle two on Mon to Fri
  day 1 day
  day 2 other
term "Summer" 2027-04-05 to 2027-05-28
  cycle two from 2027-04-05 slip
exceptions
"""
"""Monday 5 April is day 1, so every second weekday after it, such as 20 April."""
DAY_2 = "  2027-04-20 move 12:00 to 12:10\n"
CLOSED = "  2027-05-03 silent\n"


def test_the_cycle_is_sound() -> None:
    assert codes(PROGRAMME + CYCLE + CLOSED) == []
    assert codes(PROGRAMME + CYCLE + CLOSED + DAY_2) == ["D405"]


def test_a_cycle_is_open_only_on_the_days_of_its_faulty_line() -> None:
    text = PROGRAMME + CYCLE.replace("day 1 day", "day 1 dya") + DAY_2
    assert codes(text) == ["D405", "N323"]
    assert codes(text.replace("04-20 move", "04-21 move")) == ["N323"]
    # A range closes a day only if it rings: from then on nobody knows the number.
    assert codes(text + "  2027-04-13 to 2027-04-13 silent\n") == ["N323"]
    assert codes(text.replace("04-20 move", "04-19 move") + "  2027-04-13 silent\n") == ["D405", "N323"]


@pytest.mark.parametrize(
    ("old", "new", "own"),
    [
        ("day 2 other", "day 3 other", "N353"),
        ("on Mon to Fri", "on Mon to Mon, Tue", "N313"),
        ("two on", "two no", "S2"),
    ],
)
def test_a_cycle_of_which_the_numbers_are_open(old: str, new: str, own: str) -> None:
    (code,) = codes(PROGRAMME + CYCLE.replace(old, new) + DAY_2)
    assert code.startswith(own)
    assert codes(PROGRAMME + CYCLE.replace(old, new) + DAY_2 + NO_RING_IN_SPRING) == ["D405", code]


def test_after_a_closed_day_that_may_take_a_number_or_not_no_number_is_known() -> None:
    text = PROGRAMME + CYCLE.replace(" slip", "") + "  2027-04-13 silent\n"
    assert codes(text) == ["D431"]
    assert codes(text + DAY_2) == ["D431"]
    assert codes(text + DAY_2.replace("04-20", "04-12")) == ["D405", "D431"]
    skips = PROGRAMME + CYCLE.replace("slip", "skip") + "  2027-04-12 to 2027-04-13 closed\n"
    assert codes(skips + DAY_2) == ["D405", "N323"]
    assert codes(skips.replace("skip", "slip") + DAY_2) == ["N323"]
    assert codes(skips.replace(" skip", "") + DAY_2) == ["N323"]


def test_lines_that_replace_a_day_in_two_ways_leave_open_what_comes_after() -> None:
    clash = "  2027-04-13 silent\n  2027-04-13 other\n"
    assert codes(PROGRAMME + CYCLE + clash + DAY_2) == ["D432"]
    assert codes(PROGRAMME + CYCLE + clash.replace("other", "other instead") + DAY_2) == ["D405"]
    assert codes(PROGRAMME + clash.replace("2027-04-13", "2027-02-16") + NO_RING_IN_SPRING) == ["D432"]


def test_which_letters_a_line_settles_is_not_known_where_letters_are_open() -> None:
    lost = "  2026-11-16 to 2026-11-20 silent from\n"
    assert codes(PROGRAMME + SATURDAY.replace("2027-02-13", "2026-11-14")) == ["D435"]
    assert codes(PROGRAMME + SATURDAY.replace("2027-02-13", "2026-11-14") + lost) == ["S202"]
    assert codes(PROGRAMME + SATURDAY + lost) == ["D435", "S202"]


# ------------------------------------------------------------------- the programme block and names


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("longest ring 9 s", "longest ring 5 mm", []),
        ("longest ring 9 s", "longest rign 9 s", []),
        ("issue 1 on 2026-08-20", "issue 1 on 2026-08-32", ["D451"]),
        ("place Europe/London", "place Europe/Lundun", ["D451"]),
        (
            "zone main on track 1",
            'programme "Other"\n  place UTC\n  issue 1 on 2026-08-20\nzone main on track 1',
            [],
        ),
    ],
)
def test_how_long_a_sound_may_be_is_known_or_not(old: str, new: str, told: list[str]) -> None:
    text = PROGRAMME.replace("bell 6 s", "bell 30 s")
    assert codes(text) == ["D451"]
    found = codes(text.replace(old, new))
    assert [code for code in found if code[0] == "D"] == told
    assert len(found) == len(told) + 1


NIGHT = """\
timetable night in main
  ring 01:30 bell
exceptions
  Sun 2026-10-25 night
"""


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("longest ring 9 s", "longest ring 9 mm", ["D442"]),
        ("longest ring 9 s", "clocks repeated hour rings thrice", []),
        ("longest ring 9 s", "hand rings not allowed", ["D442"]),
        ("longest ring 9 s", "wibble", []),
        ("place Europe/London", "place Europe/Lundun", []),
    ],
)
def test_what_happens_when_clocks_change_is_known_or_not(old: str, new: str, told: list[str]) -> None:
    assert codes(PROGRAMME + NIGHT) == ["D442"]
    found = codes(PROGRAMME.replace(old, new) + NIGHT)
    assert [code for code in found if code[0] == "D"] == told
    assert len(found) == len(told) + 1


def test_without_the_programme_block_its_own_lines_are_not_guessed() -> None:
    head = PROGRAMME[: PROGRAMME.index("zone main")]
    text = PROGRAMME.replace(head, "").replace("bell 6 s", "bell 30 s") + NIGHT + NO_RING
    assert codes(text) == ["D405", "N365"]


def test_a_signal_of_unknown_length_is_not_held_against_others() -> None:
    meet = PROGRAMME.replace("ring 09:30 bell", "ring 09:30 bell\n  ring 09:30 gong")
    assert codes(meet) == ["D424"]
    assert codes(meet.replace("gong 5 s within 1 s", "gong 5 s within 7 s")) == ["N372"]
    nights = (
        PROGRAMME
        + "timetable late in main\n  ring 33:30 gong\nexceptions\n  2026-11-16 late\n  2026-11-17 other\n"
    )
    assert codes(nights) == ["D424"]
    assert codes(nights.replace("gong 5 s within 1 s", "gong 5 s within 7 s")) == ["N372"]
    odd = PROGRAMME + "  2026-10-06 add 10:30 bell in yard\n"
    assert codes(odd) == ["D424"]
    assert codes(odd.replace("gong 5 s within 1 s", "gong 5 s within 7 s")) == ["N372"]


def test_a_signal_of_unknown_length_is_not_too_long() -> None:
    long = PROGRAMME.replace("gong 5 s within 1 s", "gong 30 s within 1 s")
    assert codes(long) == ["D451"]
    assert codes(long.replace("within 1 s\ntimetable", "within 31 s\ntimetable")) == ["N372"]


def test_a_group_of_which_a_zone_is_not_known_is_open() -> None:
    text = PROGRAMME.replace("timetable other in main", "group all main, yrad\ntimetable other in all")
    assert codes(text + "  2026-10-13 move 12:00 to 12:10\n") == ["N321"]
    assert codes(text + NO_RING) == ["D405", "N321"]
    assert codes(text + "  2027-02-16 silent in all 09:00 - 09:05\n") == ["N321"]


def test_everywhere_is_open_where_a_zone_is() -> None:
    text = PROGRAMME.replace("timetable other in main", "timetable other in everywhere")
    assert codes(text + "  2026-10-13 move 12:00 to 12:10\n") == ["D405"]
    assert codes(text.replace("yard on track 2", "yard on 2") + "  2026-10-13 move 12:00 to 12:10\n") == [
        "S201"
    ]


def test_two_zones_of_nearly_one_name_leave_open_what_names_them() -> None:
    text = PROGRAMME.replace("zone yard", "zone Main on track 3\nzone yard")
    assert codes(text + NO_RING) == ["N331"]
    named_otherwise = text.replace("day in main", "day in yard")
    assert codes(named_otherwise + NO_RING) == ["D405", "N331"]


def test_a_timetable_without_a_name_may_have_any_label() -> None:
    text = PROGRAMME + "timetable in main\n  ring 08:00 bell\nexceptions\n" + NO_LABEL
    assert "D401" not in codes(text + "  2026-11-17 silent from\n")


def test_where_a_file_is_missing_only_sound_timetables_are_judged() -> None:
    text = 'use "rest.chime"\n' + PROGRAMME + NO_RING + NO_LABEL + OUTSIDE + SATURDAY
    text = text.replace("  ring 15:00 gong in yard", "  must end 15:00\n  ring 15:00 gong in yard")
    assert codes(text) == ["D421", "F110"]


# ------------------------------------------------------------------------------ what is unused


def test_what_a_faulty_block_names_is_not_unused() -> None:
    spare = "zone attic\nzone cellar\ngroup rooms attic, cellar\nsignal horn 4 s within 1 s\n"
    text = PROGRAMME.replace("timetable other", spare + "timetable other")
    assert codes(text) == ["N393", "N393", "N394", "N398"]
    assert codes(text + "timetable day in rooms\n  ring 08:00 horn\nexceptions\n") == ["N331"]
    everywhere = "timetable day\n  ring 08:00 horn in everywhere\nexceptions\n"
    assert codes(text + everywhere) == ["N331", "N398"]


def test_what_is_unused_is_told_beside_faults_that_name_nothing() -> None:
    text = PROGRAMME.replace("timetable other", "zone attic\ntimetable other")
    assert codes(text.replace("issue 1 on 2026-08-20", "issue 1 on 2026-08-32") + NO_RING) == [
        "D405",
        "N302",
        "N393",
    ]
    assert codes(text + "  2026-11-17 othre\n") == ["N323", "N393"]
    assert codes(text + "  2026-11-17 silent in yrad\n") == ["N321"]
    assert codes(text + "  2026-11-17 silent from\n") == ["S202"]


def test_what_a_circle_of_timetables_lacks_may_be_what_is_unused() -> None:
    spare = "zone attic\ntimetable one like two\ntimetable two like one\ntimetable other"
    assert "N393" not in codes(PROGRAMME.replace("timetable other", spare))


# ------------------------------------------------------------------------- errors of the rings


def test_a_timetable_at_fault_leaves_open_only_the_days_on_which_it_runs() -> None:
    text = PROGRAMME.replace(
        '  ring 10:30 gong in yard "Line up"\n', '  ring 10:30 gong in yard "Line up"\n  must end 11:00\n'
    )
    assert codes(text) == ["D421"]
    assert codes(text + NO_RING) == ["D421"]
    assert codes(text + NO_RING.replace("17", "10")) == ["D405", "D421"]
    assert codes(text + NO_LABEL + OUTSIDE + SATURDAY) == ["D401", "D421", "D435", "N361"]
    # What runs is known, so a line that changes nothing of that changes nothing.
    assert codes(text + "  2026-11-17 day\n") == ["D421", "D435"]


def test_additions_are_held_against_silences_whatever_runs() -> None:
    text = PROGRAMME.replace('period "1" 09:00 - 10:00\n', 'period "1" 09:00 - 10:00\n  must end 11:00\n')
    lines = "  2026-11-17 add 12:00 bell in main\n  2026-11-17 silent in main{}\n"
    assert codes(text + lines.format(" 11:00 - 13:00")) == ["D421", "D434"]
    assert codes(text + lines.format("")) == ["D421", "D434"]
    assert codes(text + "  2026-11-17 to 2026-11-18 silent in main 12:00 - 13:00\n") == ["D421"]


def test_a_silence_may_meet_the_rings_of_an_open_night_before() -> None:
    morning = "  Sat 2026-11-21 silent in main 00:00 - 07:00\n"
    assert codes(PROGRAMME + morning) == ["D435"]
    assert codes(PROGRAMME + morning + "  2026-11-20 othre\n") == ["N323"]
    assert codes(PROGRAMME + morning + "  2026-11-12 othre\n") == ["D435", "N323"]


def test_a_warning_is_no_label_that_is_nowhere() -> None:
    text = PROGRAMME.replace("each period start bell", "each period warn gong 2 min before start, start bell")
    line = '  2026-11-17 drop "Period 1 in 2 min"\n'
    (code,) = codes(text + line)
    assert code != "D401"
    assert codes(text + line + "  2026-11-17 othre\n") == ["N323"]


def test_a_line_at_fault_leaves_open_the_days_on_which_it_acts() -> None:
    night = PROGRAMME + NIGHT + '  Sun 2026-10-25 drop "Gaets"\n'
    assert codes(night) == ["D401"]
    assert codes(night + "  Sun 2026-10-25 add 01:40 gong in yard\n") == ["D401", "D442"]
    shifted = PROGRAMME + NIGHT + "  Sun 2026-10-25 shift -120 min\n"
    assert codes(shifted) == ["D411"]
