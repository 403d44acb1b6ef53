"""Several mistakes in one typed line, and lines that go on in the next."""

from typing import NamedTuple

import pytest

from chime.diagnostics import Source
from chime.diagnostics.edits import apply
from chime.parsing.parser import read_blocks
from tests.typed_lines import faults_in, in_file, last_line

# -------------------------------------------------------- several mistakes


class Pair(NamedTuple):
    """A line with several mistakes, the codes of its faults, and the line as it was meant."""

    block: str
    line: str
    codes: list[str]
    right: str


PAIRS = (
    Pair("timetable", "period 1 8:45 - 09:45", ["S227", "S215"], 'period "1" 08:45 - 09:45'),
    Pair("timetable", "period 1 08:45 – 09:45", ["S227", "S211"], 'period "1" 08:45 - 09:45'),
    Pair("timetable", "ring lesson 8:40", ["S232", "S215"], "ring 08:40 lesson"),
    Pair("timetable", "ring at 8.40 lesson main", ["S231", "S215", "S230"], "ring 08:40 lesson in main"),
    Pair("timetable", "shift by 10 min", ["S231", "S224"], "shift +10 min"),
    Pair(
        "timetable",
        "shift 10 from 9:00 to 12:00",
        ["S223", "S224", "S215", "S220"],
        "shift +10 min from 09:00 until 12:00",
    ),
    Pair("opener", "signal lesson 6 seconds ± 2", ["S222", "S214", "S223"], "signal lesson 6 s within 2 s"),
    Pair("week", "Mon-Thu: normal", ["S220", "S242"], "Mon to Thu normal"),
    Pair("week", "Monday, Wednesday and Friday normal", ["S218", "S229"], "Mon, Wed, Fri normal"),
    Pair(
        "machine",
        "attended Mon Thursday 08:15 - 17:15",
        ["S229", "S218"],
        "attended Mon, Thu 08:15 - 17:15",
    ),
    Pair("exceptions", "26 Oct 2026 silent “Half term”", ["S217", "S212"], '2026-10-26 silent "Half term"'),
    Pair("exceptions", "26 – 30 October 2026 silent", ["S217", "S220"], "2026-10-26 to 2026-10-30 silent"),
    Pair(
        "exceptions",
        "2026-10-02 “Staff training” silent",
        ["S212", "S232"],
        '2026-10-02 silent "Staff training"',
    ),
    Pair(
        "exceptions",
        "every Wednesday drop Line up",
        ["S237", "S218", "S227"],
        'every Wed from 2026-09-07 to 2026-12-18 drop "Line up"',
    ),
    Pair(
        "exceptions",
        "2026-11-11 ring lesson 11:00 in main",
        ["S233", "S232"],
        "2026-11-11 add 11:00 lesson in main",
    ),
    Pair(
        "exceptions",
        "2026-11-11 ring 11:00 lesson “Silence”",
        ["S233", "S244", "S212"],
        '2026-11-11 add 11:00 lesson everywhere "Silence"',
    ),
    Pair("machine", "hole round 1.83 ± 0.05", ["S214", "S223"], "hole round 1.83 mm within 0.05 mm"),
    Pair("machine", "attended Mon – Fri 7.45 - 16.30", ["S220", "S215"], "attended Mon to Fri 07:45 - 16:30"),
    Pair(
        "timetable",
        "ring\u00a008:40 lesson in main and junior",
        ["S213", "S229"],
        "ring 08:40 lesson in main, junior",
    ),
)


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: ascii(pair.line))
def test_each_kind_of_mistake_in_a_line_is_a_fault(pair: Pair) -> None:
    assert [fault.code.id for fault in faults_in(pair.block, pair.line)] == pair.codes


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: ascii(pair.line))
def test_all_first_offers_of_a_line_together_make_it_right(pair: Pair) -> None:
    source = in_file(pair.block, pair.line)
    edits = [edit for fault in read_blocks(source).diagnostics for edit in fault.suggestions[0].edits]
    assert last_line(pair.block, apply(source, edits)) == pair.right
    assert faults_in(pair.block, pair.right) == ()


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: ascii(pair.line))
def test_a_sure_offer_removes_its_fault_and_adds_none(pair: Pair) -> None:
    source = in_file(pair.block, pair.line)
    for fault in read_blocks(source).diagnostics:
        for offer in fault.suggestions:
            if offer.certainty == "sure":
                left = faults_in(pair.block, last_line(pair.block, apply(source, offer.edits)))
                assert sorted(each.code.id for each in left) == sorted(set(pair.codes) - {fault.code.id})


def test_mistakes_of_one_kind_in_a_line_are_one_fault() -> None:
    (fault,) = faults_in("timetable", "ring 8:40, 8:45, 9:45 lesson")
    assert fault.headline == "a time is written 08:40, not 8:40 (and 2 more in this line)"


def test_a_mistake_without_an_offer_stands_beside_one_with() -> None:
    dated, quoted = faults_in("exceptions", "26/10/2026 silent 'Half term'")
    assert (dated.code.id, dated.suggestions) == ("S217", ())
    assert (quoted.code.id, quoted.suggestions[0].text) == ("S212", '"Half term"')


def test_a_date_that_cannot_be_told_is_said_even_if_the_line_is_not_understood() -> None:
    (fault,) = faults_in("exceptions", "26/10/2026 silent quickly silent in nowhere at all")
    assert fault.code.id == "S217"


def test_no_stand_in_for_a_date_is_ever_offered() -> None:
    several, untold = faults_in("exceptions", "2026-10-02, 26/10/2026 silent")
    assert (several.code.id, several.suggestions) == ("S236", ())
    assert (untold.code.id, untold.suggestions) == ("S217", ())


def test_a_length_without_unit_and_tolerance_is_two_faults() -> None:
    first, second = faults_in("opener", "signal lesson 6")
    assert (first.code.id, first.suggestions) == ("S246", ())
    assert (second.code.id, [each.text for each in second.suggestions]) == ("S223", ["6 s"])


def test_one_mistake_that_is_not_known_leaves_the_line_to_the_general_fault() -> None:
    (fault,) = faults_in("timetable", "ring 8:40 lesson quickly in main")
    assert fault.code.id == "S201"


# --------------------------------------------------------- continued lines


def test_mistakes_of_a_continued_line_are_marked_on_their_own_lines() -> None:
    lines = "ring 8:40,   # early\n    08.45,\n\n    # late\n    09:45 lesson main"
    source = in_file("timetable", lines)
    times, zones = read_blocks(source).diagnostics
    assert times.primary is not None
    assert zones.primary is not None
    assert (times.primary.span.text, times.primary.span.line) == ("8:40", 5)
    assert (zones.primary.span.text, zones.primary.span.line) == ("main", 9)
    edits = [edit for fault in (times, zones) for edit in fault.suggestions[0].edits]
    right = "ring 08:40,   # early\n    08:45,\n\n    # late\n    09:45 lesson in main"
    assert last_line("timetable", apply(source, edits)) == right


def test_a_word_too_many_on_a_continued_line_leaves_the_line_end() -> None:
    source = in_file("timetable", "ring 08:40 lesson in main,  # indoors\n    and yard")
    (fault,) = read_blocks(source).diagnostics
    assert fault.code.id == "S229"
    right = "ring 08:40 lesson in main,  # indoors\n    yard"
    assert last_line("timetable", apply(source, fault.suggestions[0].edits)) == right


def test_several_dates_over_two_lines_are_one_line_each() -> None:
    source = in_file("exceptions", '2026-10-02,\n  2026-11-23 silent "x"  # closed')
    (fault,) = read_blocks(source).diagnostics
    right = '2026-10-02 silent "x"\n  2026-11-23 silent "x"  # closed'
    assert last_line("exceptions", apply(source, fault.suggestions[0].edits)) == right


def test_faults_in_a_file_with_crlf_line_ends_have_their_columns() -> None:
    source = Source(
        "typed.chime", "timetable normal in main\r\n  ring 8:40 lesson\r\n  ring 08:45 lesson main\r\n"
    )
    first, second = read_blocks(source).diagnostics
    assert first.primary is not None
    assert second.primary is not None
    assert (first.primary.span.line, first.primary.span.column, first.primary.span.text) == (2, 8, "8:40")
    assert (second.primary.span.line, second.primary.span.column, second.primary.span.text) == (3, 21, "main")


def test_a_comment_behind_an_inch_sign_stays_a_comment() -> None:
    source = in_file("machine", 'row 0.1"   # the pitch')
    (fault,) = read_blocks(source).diagnostics
    assert last_line("machine", apply(source, fault.suggestions[0].edits)) == "row 0.1 in   # the pitch"
    assert faults_in("machine", "row 0.1 in   # the pitch") == ()
