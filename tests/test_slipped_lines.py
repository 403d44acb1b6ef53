"""Lines in the wrong column, commas at the end of a line, lines without their opener: one fault each, and read."""

import pytest

from chime.diagnostics import Source, is_error
from chime.parsing.parser import BlocksRead, read_blocks
from tests.compiling import checked
from tests.test_codes import FRAME, framed

TERM = 'term "Spring" 2027-01-05 to 2027-03-25\n'
WEEK = "  Mon to Fri normal\n  Sat, Sun silent\n"


def read(text: str) -> BlocksRead:
    return read_blocks(Source("a.chime", text))


def faults_in(text: str) -> list[str]:
    found = read(text).diagnostics
    return [f"{f.code.id} {f.primary.span.line}:{f.primary.span.column}" for f in found if f.primary]


def shape(text: str) -> list[tuple[str, list[str]]]:
    """The blocks of a text by kind, each with the rules of its lines."""
    return [(block.kind, [line.rule for line in block.lines]) for block in read(text).blocks]


OF_THE_TERM = [("term", ["term_week"])]
BY_CYCLE = [("term", ["term_cycle"])]
WEEK_LINES = ["week_line", "week_line"]

COLUMNS = {
    # what stands in column one below a term
    "a week with nothing below": (TERM + "week plain\n", ["S205 2:1"], OF_THE_TERM),
    "a week before a line of the term": (
        TERM + "week plain\n  cycle pair from 2027-01-05\n",
        ["S205 2:1"],
        [("term", ["term_week", "term_cycle"])],
    ),
    "a week before another block": (
        TERM + "week plain\nzone court\n",
        ["S205 2:1"],
        [*OF_THE_TERM, ("zone", [])],
    ),
    "a week with its days": (TERM + "week plain\n" + WEEK, [], [("term", []), ("week", WEEK_LINES)]),
    "a week with a day in other letters": (
        TERM + "week plain\n  monday normal\n",
        ["S218 3:3"],
        [("term", []), ("week", ["week_line"])],
    ),
    "a week with a comment between": (
        TERM + "week plain\n\n  # no bells at the weekend\n" + WEEK,
        [],
        [("term", []), ("week", WEEK_LINES)],
    ),
    "a cycle with from": (TERM + "cycle pair from 2027-01-05\n", ["S205 2:1"], BY_CYCLE),
    "a cycle with from and a slip": (
        TERM + "cycle pair form 2027-01-05\n",
        ["S205 2:1", "S247 2:12"],
        BY_CYCLE,
    ),
    "a cycle with on": (TERM + "cycle pair on Mon to Fri\n", [], [("term", []), ("cycle", [])]),
    "a cycle that says too little": (TERM + "cycle pair\n", ["S202 2:11"], [("term", []), ("cycle", [])]),
    "several weeks": (
        TERM + "weeks a, b from 2027-01-05 counting every week\n",
        ["S205 2:1"],
        [("term", ["term_weeks"])],
    ),
    "a week with a capital": (TERM + "Week plain\n", ["S205 2:1", "S241 2:1"], OF_THE_TERM),
    "a week below another block": ("zone court\nweek plain\n", [], [("zone", []), ("week", [])]),
    "a week below an unknown block": ("bells and weeks\nweek plain\n", ["S204 1:1"], [("week", [])]),
    # what is indented below a term
    "an indented week": (TERM + "  week plain\n", [], OF_THE_TERM),
    "an indented week that says too little": (TERM + "  week\n", ["S202 2:7"], [("term", [])]),
    "an indented week with its days": (
        TERM + "  week plain\n" + WEEK,
        ["S206 2:3"],
        [("term", []), ("week", WEEK_LINES)],
    ),
    "an indented cycle with on": (
        TERM + "  cycle pair on Mon to Fri\n    day 1 normal\n",
        ["S206 2:3"],
        [("term", []), ("cycle", ["cycle_line"])],
    ),
    "an indented cycle with from": (TERM + "  cycle pair from 2027-01-05\n", [], BY_CYCLE),
    "an indented week below a timetable": (
        "timetable normal\n  week plain\n",
        ["S206 2:3"],
        [("timetable", []), ("week", [])],
    ),
}


@pytest.mark.parametrize(("text", "faults", "blocks"), COLUMNS.values(), ids=COLUMNS)
def test_a_line_in_the_wrong_column_is_told_by_what_follows(
    text: str, faults: list[str], blocks: list[tuple[str, list[str]]]
) -> None:
    assert faults_in(text) == faults
    assert shape(text) == blocks


COMMAS = {
    "before a date": ("exceptions\n  2026-10-06 silent in hall,\n  2026-10-08 silent\n", ["S209 2:28"], 2),
    "before a date with its weekday": (
        "exceptions\n  2026-10-06 short,\n  Thu 2026-10-08 silent\n",
        ["S209 2:19"],
        2,
    ),
    "before a weekday": ("week plain\n  Mon to Thu normal,\n  Fri short\n", ["S209 2:20"], 2),
    "with spaces before it": ("week plain\n  Mon to Thu normal  ,\n  Fri short\n", ["S209 2:22"], 2),
    "in a list of weekdays": ("week plain\n  Mon,\n    Wed,\n    Fri short\n", [], 1),
    "in a list of weekdays by other names": ("week plain\n  Monday,\n    Fri short\n", ["S218 2:3"], 1),
    "behind a glued weekday": ("week plain\n  Mon,Wed,\n    Fri short\n", [], 1),
    "before a name that begins like a weekday": (
        "exceptions\n  2026-10-06 silent in hall,\n    Monty\n",
        [],
        1,
    ),
    "in a list of dates": ("exceptions\n  2026-10-06,\n  2026-10-08 silent\n", ["S236 2:3"], 0),
    "in a list of weekdays of a machine": (
        "machine tower\n  attended Mon,\n    Tue 08:15 - 17:15\n",
        [],
        1,
    ),
}


@pytest.mark.parametrize(("text", "faults", "lines"), COMMAS.values(), ids=COMMAS)
def test_a_comma_before_a_date_or_a_weekday(text: str, faults: list[str], lines: int) -> None:
    assert faults_in(text) == faults
    assert len(read(text).blocks[0].lines) == lines


GUESTS = {
    "a week": (TERM + WEEK, ["S203 2:3"]),
    "exceptions": ("timetable normal\n  2026-10-06 silent\n  2026-10-08 silent\n", ["S203 2:3"]),
    "a line of its own between": (
        "timetable normal\n  2026-10-06 silent\n  drop 08:20\n  2026-10-08 silent\n",
        ["S203 2:3", "S203 4:3"],
    ),
    "two kinds": ("zone court\n  ring 08:20 lesson\n  day 1 normal\n", ["S203 2:3", "S203 3:3"]),
    "one with a mistake of its own": (
        "zone court\n  ring 08:20 lesson\n  ring 8:40 lesson\n",
        ["S203 2:3", "S215 3:8"],
    ),
    "what no block has": ("zone court\n  bell 08:20\n  bell 08:40\n", ["S203 2:3", "S203 3:3"]),
    "what two kinds have": (
        'term "Spring" 2027-01-05 to 2027-03-25\n  cable 2.5 mm2, every 5 m\n',
        ["S203 2:3"],
    ),
}


@pytest.mark.parametrize(("text", "faults"), GUESTS.values(), ids=GUESTS)
def test_lines_of_another_block_in_a_row_are_one_fault(text: str, faults: list[str]) -> None:
    assert faults_in(text) == faults


def test_exceptions_without_their_opener_are_offered_it() -> None:
    text = "timetable normal\n  2026-10-06 silent\n"
    (fault,) = read(text).diagnostics
    (offer,) = fault.suggestions
    (edit,) = offer.edits
    mended = text[: edit.span.start] + edit.replacement + text[edit.span.end :]
    assert offer.certainty == "guess"
    assert mended == "timetable normal\nexceptions\n  2026-10-06 silent\n"
    assert faults_in(mended) == []


# ------------------------------------------------------------------------ what follows from a guess

NO_FOLLOWING = {
    "a name that was a slip": ("timetable early lik normal\n", ["S247"]),
    "the day of a place that is guessed": ("exceptions\n  public holidays silent\n", ["S239"]),
    "a zone that may be a timetable": ("timetable early normal\n", ["S230"]),
    "a week that is not all known": ("week other\n  Mon Fri normal\n  Sat, Sun silent\n", ["S229"]),
    "a zone without its name": ('zone on track 2 "Hall"\ntimetable early in hall\n', ["S248"]),
    "a signal without its name": (
        "signal 9 s within 3 s\ntimetable early in main\n  ring 08:20 long\n",
        ["S248"],
    ),
    "a week without its name": (
        'week\n  Mon to Sun silent\nterm "Spring" 2027-01-05 to 2027-03-25\n  week dark\n',
        ["S248"],
    ),
    "a file without its name": ('use ""\ntimetable early in hall\n', ["S249"]),
    "a name in a header that is not understood": ("signal long 9 s whithin then\n", ["S201"]),
}


@pytest.mark.parametrize(("text", "codes"), NO_FOLLOWING.values(), ids=NO_FOLLOWING)
def test_what_is_guessed_or_left_out_gives_no_other_error(text: str, codes: list[str]) -> None:
    found = checked(framed(text)).diagnostics
    assert [fault.code.id for fault in found if is_error((fault,))] == codes


def test_the_only_week_may_be_the_one_that_has_no_name() -> None:
    text = FRAME.replace("week ordinary\n  Mon", "week\n  Mon").replace("\n  week ordinary", "")
    assert "ordinary" not in text
    assert [fault.code.id for fault in checked(text).diagnostics if is_error((fault,))] == ["S248"]


def test_what_rests_on_a_guess_in_its_line_is_not_called_sure() -> None:
    found = read("timetable early foo normal\n").diagnostics
    assert [fault.code.id for fault in found] == ["S230", "S229"]
    assert {offer.certainty for fault in found for offer in fault.suggestions} == {"guess"}


def test_what_is_sure_beside_a_guess_stays_sure() -> None:
    found = read("timetable normal\n  ring 3pm lesson court\n").diagnostics
    offers = {fault.code.id: [offer.certainty for offer in fault.suggestions] for fault in found}
    assert offers == {"S216": ["guess"], "S230": ["sure"]}


def test_a_zone_that_is_called_like_a_word_may_stand_before_that_word() -> None:
    line = '  pause "Tea" 14:10 - 14:25 quiet quiet\n'
    for zone, certainty in (("zone quiet\n", "guess"), ("zone court\n", "sure")):
        (fault,) = read(zone + "timetable normal\n" + line).diagnostics
        assert (fault.code.id, fault.suggestions[0].certainty) == ("S231", certainty)
