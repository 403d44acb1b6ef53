"""What the complaints look like, and what holds for any complaint about any text."""

import io
import json
import re
import unicodedata
from functools import cache
from itertools import pairwise
from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from chime.diagnostics import (
    Code,
    Diagnostic,
    Edit,
    Label,
    Severity,
    Source,
    Span,
    Suggestion,
    as_errors,
    count,
    is_error,
    long_form,
    machine,
    one_line,
    order,
)
from chime.diagnostics.edits import apply
from chime.diagnostics.suggest import nearest

FERRYBANK = """\
programme "Ferrybank School"
  place  Europe/Dublin

zone lower-yard  on track 1  "Lower yard and boat shed"
zone upper-yard  on track 2  "Upper yard"

timetable normal  in upper-yard
  ring 10:40  long   "Second lesson ends"
  ring 11:00  long   "Break ends"
  ring 11:20  long   "Third lesson"
  ring 10:40  short  "Tea trolley"

exceptions
  2026-10-02  silent in lower-yrad  "Sports day"
"""


def code(identifier: str, severity: Severity = "error") -> Code:
    return Code(identifier, "example", severity, "An example.", "wrong", "right")


def span_of(source: Source, words: str) -> Span:
    start = source.text.index(words)
    return Span(source, start, start + len(words))


def at(source: Source, start: int, end: int, headline: str = "something is wrong here") -> Diagnostic:
    return Diagnostic(code("N300"), headline, (Label(Span(source, start, end), "here"),))


def place_taken(source: Source) -> Diagnostic:
    tea = span_of(source, 'ring 10:40  short  "Tea trolley"')
    lesson = span_of(source, 'ring 10:40  long   "Second lesson ends"')
    return Diagnostic(
        Code("T512", "place-taken", "error", "Two rings share one place.", "wrong", "right"),
        "two rings want the same place on the tape",
        (
            Label(tea, "no room left for this one"),
            Label(lesson, "cut for this ring", "secondary"),
        ),
        "The hole at 10:40 on the upper-yard track is already cut for the 6 s ring. "
        "A second hole cannot share that place, so the 3 s ring would vanish silently.",
        (
            Suggestion(
                "move it to the next free place",
                "guess",
                (Edit(Span(source, tea.start + 5, tea.start + 10), "10:41"),),
            ),
        ),
    )


def unknown_zone(source: Source) -> Diagnostic:
    used = span_of(source, "lower-yrad")
    declared = span_of(source, "lower-yard")
    return Diagnostic(
        Code("N303", "unknown-zone", "error", "A zone is used and not declared.", "wrong", "right"),
        'there is no zone called "lower-yrad"',
        (Label(used, "used here"), Label(declared, "closest name, declared here", "secondary")),
        "A silence can only name a zone that the file declares.",
        (Suggestion("lower-yard", "guess", (Edit(used, "lower-yard"),)),),
    )


def ferrybank() -> Source:
    return Source("programmes/ferrybank.chime", FERRYBANK)


def drawn(*diagnostics: Diagnostic, ascii_only: bool = False) -> str:
    return long_form.render(diagnostics, color=False, ascii_only=ascii_only)


def snippet(*diagnostics: Diagnostic) -> list[str]:
    """The lines of the long form that have a strip in their margin."""
    return [line for line in drawn(*diagnostics).splitlines() if re.match(r" +\d* ?[│┊⋮]", line)]


# Source and span


def test_a_line_ends_at_lf_and_crlf_and_nowhere_else() -> None:
    source = Source("a.chime", "one\u2028still one\x85and on\rso\r\ntwo\nthree")
    lines = [source.line_text(line) for line in range(1, source.line_count + 1)]
    assert lines == ["one\u2028still one\x85and on\rso", "two", "three"]


def test_text_after_the_last_line_end_is_a_line_even_when_empty() -> None:
    assert Source("a.chime", "").line_count == 1
    assert Source("a.chime", "zone main\n").line_count == 2
    assert Source("a.chime", "zone main\n").line_text(2) == ""


def test_columns_count_code_points() -> None:
    source = Source("a.chime", 'zone e\u0301\n\tzone 日本 "x"')
    assert (source.line_of(5), source.column_of(5)) == (1, 6)
    span = span_of(source, '"x"')
    assert (span.line, span.column, span.text) == (2, 10, '"x"')


def test_an_offset_outside_the_text_counts_as_its_nearest_end() -> None:
    source = Source("a.chime", "zone\nyard")
    assert (source.line_of(-4), source.column_of(-4)) == (1, 1)
    assert (source.line_of(99), source.column_of(99)) == (2, 5)


def test_two_sources_with_the_same_text_are_not_the_same() -> None:
    source = Source("a.chime", "zone")
    again = source
    assert source == again
    assert source != Source("a.chime", "zone")
    assert len({source, Source("a.chime", "zone")}) == 2


# Codes and diagnostics


@pytest.mark.parametrize(
    ("identifier", "stage"),
    [
        ("F101", "parsing"),
        ("S201", "parsing"),
        ("N301", "programme"),
        ("D401", "rings"),
        ("T501", "tape"),
        ("V601", "verify"),
        ("W701", "writers"),
        ("X901", "chime"),
    ],
)
def test_the_letter_of_a_code_names_its_stage(identifier: str, stage: str) -> None:
    assert code(identifier).stage == stage


def test_the_primary_label_is_found_among_the_others() -> None:
    source = ferrybank()
    first, second = Label(Span(source, 0, 1), "", "secondary"), Label(Span(source, 3, 4), "")
    assert Diagnostic(code("N301"), "x", (first, second)).primary is second
    assert Diagnostic(code("F101"), "x", file="a.chime").primary is None


def test_order_is_by_file_then_place_then_code_then_headline() -> None:
    early, late = Source("a.chime", "zone yard"), Source("b.chime", "zone yard")
    wanted = [
        Diagnostic(code("F101"), "whole file", file="a.chime"),
        at(early, 0, 4, "a"),
        at(early, 0, 4, "b"),
        Diagnostic(code("S200"), "a", (Label(Span(early, 0, 4), ""),)),
        at(early, 5, 9, "a"),
        at(late, 0, 4, "a"),
    ]
    assert list(order(reversed(wanted))) == wanted


def test_exact_duplicates_appear_once_and_near_ones_stay() -> None:
    source = ferrybank()
    same = [at(source, 3, 5), at(source, 3, 5)]
    others = [at(source, 3, 6), at(source, 3, 5, "something else is wrong here")]
    assert len(order(same + others)) == 3
    whole = [Diagnostic(code("F101"), "x", file=name) for name in ("a.chime", "b.chime", "a.chime")]
    assert [each.file for each in order(whole)] == ["a.chime", "b.chime"]


def test_strictness_makes_warnings_errors_and_leaves_notes() -> None:
    loose = [Diagnostic(code("N301", severity), "x") for severity in ("error", "warning", "note")]
    assert count(loose) == (1, 1)
    assert not is_error(loose[1:])
    strict = as_errors(loose)
    assert [each.severity for each in strict] == ["error", "error", "note"]
    assert count(strict) == (2, 0)
    assert is_error(strict[1:])
    assert "error N301" in drawn(strict[1])


# Nearest names


@pytest.mark.parametrize(
    ("name", "candidates", "wanted"),
    [
        ("lower-yrad", ["lower-yard", "upper-yard"], ("lower-yard",)),
        ("mian", ["main", "yard"], ("main",)),
        ("Main", ["main", "maid"], ("main",)),
        ("yrad", ["main"], ()),
        ("mani", ["mini", "main", "junior"], ("main", "mini")),
        ("hall1", ["hall2", "hall3", "hall4"], ("hall2", "hall3", "hall4")),
        ("hall1", ["hall2", "hall3", "hall4", "hall5"], ()),
        ("main", ["main"], ()),
        ("c", ["a", "b"], ()),
        ("a", ["ab", "c"], ("ab",)),
        ("gym", [], ()),
        ("", ["a"], ()),
        ("a" * 1_000_000, ["a" * 1_000_001], ()),
        ("STRASSE", ["straße", "strasse"], ("strasse", "straße")),
    ],
)
def test_only_the_clear_nearest_names_are_offered(
    name: str, candidates: list[str], wanted: tuple[str, ...]
) -> None:
    assert nearest(name, candidates) == wanted


def test_longer_names_may_hold_more_slips() -> None:
    assert nearest("yaXX", ["yard"]) == ()
    assert nearest("yarX", ["yard"]) == ("yard",)
    assert nearest("workshXX", ["workshop"]) == ("workshop",)
    assert nearest("worksXXX", ["workshop"]) == ()
    assert nearest("workshXXX", ["workshops"]) == ("workshops",)
    assert nearest("worksXXXX", ["workshops"]) == ()


@pytest.mark.parametrize(
    ("name", "candidate", "slips"),
    [
        # Textbook examples of the edit distance, from memory: kitten to sitting is 3, Saturday to Sunday is
        # 3, and with a pair changed over and no letter touched twice, CA to ABC is 3.
        ("kitten", "sitting", 3),
        ("saturday", "sunday", 3),
        ("ca", "abc", 3),
    ],
)
def test_distances_agree_with_the_textbook(name: str, candidate: str, slips: int) -> None:
    # Shared letters in front change no distance, but raise what is allowed to three.
    assert nearest("timetable-" + name, ["timetable-" + candidate]) == ("timetable-" + candidate,)
    assert slips_by_definition(name, candidate) == slips
    assert nearest("timetable-" + name, ["timetable-" + candidate + "-x"]) == ()


@settings(deadline=None)
@given(st.text("abAB-", min_size=9, max_size=12), st.text("abAB-", max_size=12))
def test_a_name_is_near_if_the_definition_of_the_distance_says_so(name: str, candidate: str) -> None:
    slips = slips_by_definition(name.casefold(), candidate.casefold())
    assert (nearest(name, [candidate]) == (candidate,)) == (slips <= 3 and candidate != name)


@cache
def slips_by_definition(left: str, right: str) -> int:
    """The restricted edit distance by its recursive definition."""
    if not left or not right:
        return len(left) + len(right)
    ways = [
        slips_by_definition(left[:-1], right) + 1,
        slips_by_definition(left, right[:-1]) + 1,
        slips_by_definition(left[:-1], right[:-1]) + (left[-1] != right[-1]),
    ]
    if left[-2:] == right[-2:][::-1] and len(left[-2:]) == 2:
        ways.append(slips_by_definition(left[:-2], right[:-2]) + 1)
    return min(ways)


# The long form


def test_a_clash_shows_both_ends_and_the_line_to_write() -> None:
    assert (
        drawn(place_taken(ferrybank()))
        == """\
error T512 · two rings want the same place on the tape
  at programmes/ferrybank.chime:11:3

   8 │   ring 10:40  long   "Second lesson ends"
     ┊   ○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○  cut for this ring
     ⋮
  11 │   ring 10:40  short  "Tea trolley"
     ┊   ●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●  no room left for this one

  why   The hole at 10:40 on the upper-yard track is already cut for the 6 s ring.
        A second hole cannot share that place, so the 3 s ring would vanish silently.
  try   move it to the next free place (guess):
  11  +   ring 10:41  short  "Tea trolley"
  more  chime explain T512
"""
    )


def test_the_plain_look_has_the_same_lines_in_ascii() -> None:
    assert (
        drawn(place_taken(ferrybank()), ascii_only=True)
        == """\
error T512 - two rings want the same place on the tape
  at programmes/ferrybank.chime:11:3

   8 |   ring 10:40  long   "Second lesson ends"
     :   .......................................  cut for this ring
     ~
  11 |   ring 10:40  short  "Tea trolley"
     :   oooooooooooooooooooooooooooooooo  no room left for this one

  why   The hole at 10:40 on the upper-yard track is already cut for the 6 s ring.
        A second hole cannot share that place, so the 3 s ring would vanish silently.
  try   move it to the next free place (guess):
  11  +   ring 10:41  short  "Tea trolley"
  more  chime explain T512
"""
    )


def test_an_unknown_name_shows_where_the_near_one_is_declared() -> None:
    assert (
        drawn(unknown_zone(ferrybank()))
        == """\
error N303 · there is no zone called "lower-yrad"
  at programmes/ferrybank.chime:14:25

   4 │ zone lower-yard  on track 1  "Lower yard and boat shed"
     ┊      ○○○○○○○○○○  closest name, declared here
     ⋮
  14 │   2026-10-02  silent in lower-yrad  "Sports day"
     ┊                         ●●●●●●●●●●  used here

  why   A silence can only name a zone that the file declares.
  try   lower-yard (guess):
  14  +   2026-10-02  silent in lower-yard  "Sports day"
  more  chime explain N303
"""
    )


def test_colour_goes_by_role() -> None:
    # SGR numbers after ECMA-48: 1 bold, 2 faint, 31 red, 32 green, 36 cyan, 0 back to normal.
    red, cyan, green, faint, normal = "\x1b[1;31m", "\x1b[36m", "\x1b[32m", "\x1b[2m", "\x1b[0m"
    colored = long_form.render([unknown_zone(ferrybank())], color=True, ascii_only=False)
    lines = colored.splitlines()
    assert lines[0] == f'{red}error N303{normal} · \x1b[1mthere is no zone called "lower-yrad"{normal}'
    assert (
        lines[4]
        == f"{faint}     ┊{normal}      {cyan}{'○' * 10}{normal}  {cyan}closest name, declared here{normal}"
    )
    assert lines[7] == f"{faint}     ┊{normal}{' ' * 25}{red}{'●' * 10}{normal}  {red}used here{normal}"
    assert lines[10] == f"{green}  try   lower-yard (guess):{normal}"


def test_the_colour_of_a_warning_is_yellow_and_of_a_note_blue() -> None:
    source = ferrybank()
    label = Label(Span(source, 0, 9), "here")
    colors: list[tuple[Severity, str]] = [("warning", "33"), ("note", "34")]
    for severity, sgr in colors:
        diagnostic = Diagnostic(code("N301", severity), "x", (label,))
        colored = long_form.render([diagnostic], color=True, ascii_only=False)
        assert f"\x1b[1;{sgr}m{severity} N301\x1b[0m" in colored
        assert f"\x1b[1;{sgr}m{'●' * 9}\x1b[0m" in colored


def test_a_fault_of_the_whole_file_has_no_snippet() -> None:
    fault = Diagnostic(
        code("F101"),
        "the file is not UTF-8",
        why="Byte 812 begins no character. Save the file as UTF-8 and try again.",
        file="programmes/ferrybank.chime",
    )
    assert (
        drawn(fault)
        == """\
error F101 · the file is not UTF-8
  at programmes/ferrybank.chime

  why   Byte 812 begins no character.
        Save the file as UTF-8 and try again.
  more  chime explain F101
"""
    )


def test_labels_in_two_files_have_a_place_each_the_primary_one_first() -> None:
    ours = Source("z.chime", "zone yard on track 2\n")
    theirs = Source("a.chime", "\nzone yard on track 1\n")
    twice = Diagnostic(
        code("N301"),
        'two zones are called "yard"',
        (
            Label(span_of(theirs, "yard"), "first said here", "secondary"),
            Label(span_of(ours, "yard"), "said again here"),
        ),
        suggestions=(Suggestion("take it out there", "guess", (Edit(Span(theirs, 1, 22), ""),)),),
    )
    assert (
        drawn(twice)
        == """\
error N301 · two zones are called "yard"
  at z.chime:1:6

  1 │ zone yard on track 2
    ┊      ●●●●  said again here

  at a.chime:2:6

  2 │ zone yard on track 1
    ┊      ○○○○  first said here

  try   take it out there (guess):
        in a.chime
  2  - zone yard on track 1
  more  chime explain N301
"""
    )


def test_two_labels_on_one_line_are_both_marked() -> None:
    source = ferrybank()
    both = Diagnostic(
        code("N301"),
        "x",
        (
            Label(span_of(source, "in lower-yrad"), "where"),
            Label(span_of(source, "2026-10-02"), "when", "secondary"),
        ),
    )
    assert snippet(both) == [
        '  14 │   2026-10-02  silent in lower-yrad  "Sports day"',
        "     ┊   ○○○○○○○○○○  when",
        "     ┊                      ●●●●●●●●●●●●●  where",
    ]


def test_a_single_line_between_two_marked_ones_is_shown() -> None:
    source = Source("a.chime", "zone a\nzone b\nzone c\nzone d\n")
    labels = (Label(span_of(source, "a"), "A"), Label(span_of(source, "c"), "C", "secondary"))
    assert snippet(Diagnostic(code("N301"), "x", labels)) == [
        "  1 │ zone a",
        "    ┊      ●  A",
        "  2 │ zone b",
        "  3 │ zone c",
        "    ┊      ○  C",
    ]


def test_a_stretch_of_three_lines_is_shown_whole_without_its_indentation() -> None:
    source = Source("a.chime", "week a\n  Mon  normal\n\n")
    assert snippet(at(source, 0, 20)) == [
        "  1 │ week a",
        "    ┊ ●●●●●●",
        "  2 │   Mon  normal",
        "    ┊   ●●●●●●●●●●●  here",
    ]
    source = Source("a.chime", "week a\n\n  Mon  normal\n")
    assert snippet(at(source, 5, 14)) == [
        "  1 │ week a",
        "    ┊      ●",
        "  2 │",
        "  3 │   Mon  normal",
        "    ┊   ●●●●  here",
    ]


def test_of_a_longer_stretch_the_two_ends_are_shown() -> None:
    source = ferrybank()
    start = source.text.index("timetable")
    assert snippet(at(source, start, source.text.index("\nexceptions"))) == [
        "   7 │ timetable normal  in upper-yard",
        "     ┊ ●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●",
        "     ⋮",
        '  11 │   ring 10:40  short  "Tea trolley"',
        "     ┊   ●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●  here",
    ]


def test_an_empty_span_marks_one_place() -> None:
    source = Source("a.chime", "zone yard")
    assert snippet(at(source, 4, 4)) == ["  1 │ zone yard", "    ┊     ●  here"]
    assert snippet(at(source, 9, 9)) == ["  1 │ zone yard", "    ┊          ●  here"]
    assert snippet(at(Source("a.chime", ""), 0, 0)) == ["  1 │", "    ┊ ●  here"]
    assert snippet(at(Source("a.chime", "zone yard\n"), 10, 10)) == ["  2 │", "    ┊ ●  here"]


def test_a_line_end_is_marked_behind_its_line() -> None:
    for text in ("zone a\nzone b", "zone a\r\nzone b"):
        source = Source("a.chime", text)
        marked = ["  1 │ zone a", "    ┊       ●  here"]
        assert snippet(at(source, 6, text.index("zone b"))) == marked
        assert snippet(at(source, text.index("\n"), text.index("\n") + 1)) == marked


def test_tabs_are_four_cells_wherever_they_stand() -> None:
    source = Source("a.chime", "\tzone\tyard")
    assert snippet(at(source, 6, 10)) == ["  1 │     zone    yard", "    ┊             ●●●●  here"]
    assert snippet(at(source, 5, 6)) == ["  1 │     zone    yard", "    ┊         ●●●●  here"]


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        # Unicode Standard Annex 11: wide and fullwidth are two cells, halfwidth and narrow one.
        ("日本", 4),
        ("ＡＢ", 4),
        ("ｱｲ", 2),
        ("가", 2),
        ("Ж", 1),
        # Combining marks take no cell of their own.
        ("e\u0301", 1),
        ("\u1112\u1161\u11ab", 2),
    ],
)
def test_marks_go_by_the_cells_that_characters_take(text: str, cells: int) -> None:
    source = Source("a.chime", f"{text}|{text}")
    behind = len(text) + 1
    assert snippet(at(source, behind, 2 * len(text) + 1)) == [
        f"  1 │ {text}|{text}",
        f"    ┊ {' ' * (cells + 1)}{'●' * cells}  here",
    ]


def test_a_combining_mark_is_marked_with_the_letter_it_sits_on() -> None:
    source = Source("a.chime", "zone 한e\u0301")
    assert snippet(at(source, 7, 8))[1] == f"    ┊ {' ' * 7}●  here"
    assert snippet(at(Source("a.chime", "\u0301a"), 1, 2)) == ["  1 │ ◌\u0301a", "    ┊  ●  here"]


def test_what_cannot_be_seen_gets_a_stand_in() -> None:
    source = Source("a.chime", "a\x1b[2J\x00\x7f\xa0\u202e\u2028\x85z")
    shown = "a␛[2J␀␡␣<U+202E><U+2028><U+0085>z"
    assert snippet(at(source, 11, 12)) == [f"  1 │ {shown}", f"    ┊ {' ' * (len(shown) - 1)}●  here"]
    assert "a<U+001B>[2J<U+0000><U+007F><U+00A0><U+202E>" in drawn(at(source, 0, 1), ascii_only=True)


def test_a_stand_in_serves_in_words_and_names_of_files_too() -> None:
    source = Source("a\x1b.chime", "zone")
    fault = Diagnostic(
        code("N301"),
        "no zone\n\x1b[31m",
        (Label(Span(source, 0, 4), "\x07 here"),),
        "Because \x9b.",
        (Suggestion("\x08", "guess"),),
    )
    lines = drawn(fault).splitlines()
    assert lines[0] == "error N301 · no zone␊␛[31m"
    assert lines[1] == "  at a␛.chime:1:1"
    assert lines[4] == "    ┊ ●●●●  ␇ here"
    assert lines[6:8] == ["  why   Because <U+009B>.", "  try   ␈ (guess)"]


def test_a_line_too_long_is_cut_around_the_mark() -> None:
    text = "zone " + "a" * 300 + "WRONG" + "b" * 300
    line, marks = snippet(at(Source("a.chime", text), 305, 310))
    assert line.startswith("  1 │ …aaa")
    assert line.endswith("bbb…")
    assert len(line) <= 130
    assert line[marks.index("●") : marks.rindex("●") + 1] == "WRONG"


def test_a_mark_near_the_end_of_a_long_line_fills_the_view_from_the_left() -> None:
    line, marks = snippet(at(Source("a.chime", "a" * 300 + "WRONG"), 300, 305))[:2]
    assert line == f"  1 │ …{'a' * 115}WRONG"
    assert line[marks.index("●") :] == "WRONG"


def test_marks_that_go_on_past_the_cut_run_under_the_ellipsis() -> None:
    line, marks, words = snippet(at(Source("a.chime", "a" * 1000), 4, 996))
    assert line.endswith("…")
    assert len(marks) == len(line)
    assert words == "    ┊     here"


def test_marks_far_apart_on_one_line_show_the_line_twice() -> None:
    source = Source("a.chime", "first" + "-" * 5000 + "second")
    labels = (Label(Span(source, 5005, 5011), "2"), Label(Span(source, 0, 5), "1", "secondary"))
    lines = snippet(Diagnostic(code("N301"), "x", labels))
    assert [line[:12] for line in lines[:2]] == ["  1 │ first-", "    ┊ ○○○○○ "]
    assert [line[:10] for line in lines[2:3]] == ["  1 │ …---"]
    assert lines[2].endswith("second")


def test_words_without_room_beside_their_marks_stand_below_them() -> None:
    source = Source("a.chime", "  " + "a" * 94)
    assert snippet(at(source, 2, 96))[1:] == [f"    ┊   {'●' * 94}", "    ┊   here"]
    source = Source("a.chime", "a" * 110)
    lines = snippet(Diagnostic(code("N301"), "x", (Label(Span(source, 100, 110), "at the edge"),)))
    assert lines[1:] == [f"    ┊ {' ' * 100}{'●' * 10}", f"    ┊ {' ' * 99}at the edge"]


@pytest.mark.parametrize("text", ["x" * 10_000_000, "e" + "\u0301" * 1_000_000, "\u202e" * 1_000_000])
def test_a_line_as_long_as_a_file_gives_a_short_block(text: str) -> None:
    source = Source("a.chime", text)
    middle = Span(source, len(text) // 2, len(text) // 2 + 3)
    edits = (Edit(middle, "y"),)
    fault = Diagnostic(code("S201"), text, (Label(middle, text),), text, (Suggestion(text, "guess", edits),))
    assert len(drawn(fault)) < 20_000


def test_each_sentence_of_the_reason_has_its_own_line_and_long_ones_are_wrapped() -> None:
    fault = Diagnostic(
        code("N301"),
        "x",
        why='The label "Line up. All out" is said twice. ' + "It rings " * 12 + "on.",
    )
    assert drawn(fault).splitlines()[2:5] == [
        '  why   The label "Line up. All out" is said twice.',
        "        It rings It rings It rings It rings It rings It rings It rings It rings It rings",
        "        It rings It rings It rings on.",
    ]


def test_several_suggestions_have_a_line_each() -> None:
    fault = Diagnostic(
        code("N301"),
        "x",
        suggestions=(
            Suggestion("main", "guess"),
            Suggestion("maid", "guess"),
            Suggestion("write 8 s", "sure"),
        ),
    )
    tries = [line for line in drawn(fault).splitlines() if "try" in line]
    assert tries == ["  try   main (guess)", "  try   maid (guess)", "  try   write 8 s (sure)"]


def changes(source: Source, *edits: Edit) -> list[str]:
    fault = at(source, 0, 0)._replace(suggestions=(Suggestion("so", "guess", edits),))
    lines = drawn(fault).splitlines()
    return lines[lines.index("  try   so (guess):") + 1 : -1]


def test_a_new_line_is_shown_without_the_one_it_is_put_before() -> None:
    source = Source("a.chime", "zone a\nzone c\n")
    assert changes(source, Edit(Span(source, 7, 7), "zone b\n")) == ["  2  + zone b"]
    assert changes(source, Edit(Span(source, 6, 6), "\nzone b")) == ["  2  + zone b"]


def test_a_line_taken_out_is_shown_with_a_minus() -> None:
    source = Source("a.chime", "zone a\r\nzone b\r\nzone c")
    assert changes(source, Edit(Span(source, 8, 16), "")) == ["  2  - zone b"]


def test_edits_on_several_lines_show_each_line() -> None:
    source = Source("a.chime", "zone a\nzone b\nzone c\n")
    both = Edit(Span(source, 5, 6), "x"), Edit(Span(source, 19, 20), "z"), Edit(Span(source, 0, 4), "ZONE")
    assert changes(source, *both) == ["  1  + ZONE x", "  3  + zone z"]


def test_many_changed_lines_are_counted_from_the_ninth_on() -> None:
    source = Source("a.chime", "")
    shown = changes(source, Edit(Span(source, 0, 0), "\n".join(f"zone z{number}" for number in range(10))))
    assert len(shown) == 9
    assert shown[7:] == ["   8  + zone z7", "      ⋮ and 2 more lines"]


def test_an_edit_far_along_a_long_line_is_in_view() -> None:
    source = Source("a.chime", "a" * 5000)
    (line,) = changes(source, Edit(Span(source, 2500, 2500), "WRONG"))
    assert re.fullmatch(r"  1  \+ …a+WRONGa+…", line)


def test_beyond_the_limit_the_rest_is_counted_and_errors_come_before_warnings() -> None:
    source = Source("a.chime", "x" * 100)
    warnings = [
        Diagnostic(code("N310", "warning"), "w", (Label(Span(source, n, n + 1), ""),)) for n in range(20)
    ]
    errors = [at(source, n, n + 1) for n in range(50, 55)]
    lines = drawn(*warnings, *errors).splitlines()
    assert sum(line.startswith("error ") for line in lines) == 5
    assert sum(line.startswith("warning ") for line in lines) == 15
    assert lines[-2:] == ["and 5 more: 5 warnings", "  more  add --report line to see every one"]
    few = long_form.render(errors + warnings[:1], color=False, ascii_only=False, limit=4)
    assert "\nand 2 more: 1 error and 1 warning\n" in few


def test_without_a_limit_nothing_is_left_out() -> None:
    source = Source("a.chime", "x" * 100)
    everything = long_form.render(
        [at(source, n, n) for n in range(60)], color=False, ascii_only=False, limit=None
    )
    assert everything.count("more  chime explain") == 60


def test_nothing_to_say_is_said_with_nothing() -> None:
    assert drawn() == ""
    assert one_line.render([]) == ""


# One line


def test_one_line_for_each_complaint() -> None:
    source = ferrybank()
    whole = Diagnostic(code("F101", "warning"), "the file is empty", file="a.chime")
    nowhere = Diagnostic(code("X901"), "a bug in chime")
    two = (Suggestion("main", "guess"), Suggestion("maid", "guess"))
    assert one_line.render(
        [unknown_zone(source), whole, nowhere, at(source, 0, 4)._replace(suggestions=two)]
    ) == (
        "error X901: a bug in chime\n"
        "a.chime: warning F101: the file is empty\n"
        "programmes/ferrybank.chime:1:1: error N300: something is wrong here (try: main; maid)\n"
        'programmes/ferrybank.chime:14:25: error N303: there is no zone called "lower-yrad" '
        "(try: lower-yard)\n"
    )


# JSON


def test_json_says_everything_with_lines_columns_and_offsets() -> None:
    source = ferrybank()
    used, declared = FERRYBANK.index("lower-yrad"), FERRYBANK.index("lower-yard")
    text = machine.render([unknown_zone(source)])
    assert json.loads(text) == {
        "format": "chime-diagnostics/1",
        "counts": {"error": 1, "warning": 0},
        "diagnostics": [
            {
                "code": "N303",
                "slug": "unknown-zone",
                "stage": "programme",
                "severity": "error",
                "headline": 'there is no zone called "lower-yrad"',
                "why": "A silence can only name a zone that the file declares.",
                "labels": [
                    {
                        "role": "primary",
                        "text": "used here",
                        "span": {
                            "file": "programmes/ferrybank.chime",
                            "start": {"line": 14, "column": 25, "offset": used},
                            "end": {"line": 14, "column": 35, "offset": used + 10},
                        },
                    },
                    {
                        "role": "secondary",
                        "text": "closest name, declared here",
                        "span": {
                            "file": "programmes/ferrybank.chime",
                            "start": {"line": 4, "column": 6, "offset": declared},
                            "end": {"line": 4, "column": 16, "offset": declared + 10},
                        },
                    },
                ],
                "suggestions": [
                    {
                        "certainty": "guess",
                        "text": "lower-yard",
                        "edits": [
                            {
                                "file": "programmes/ferrybank.chime",
                                "start": used,
                                "end": used + 10,
                                "replacement": "lower-yard",
                            }
                        ],
                    }
                ],
                "about": "chime explain N303",
            }
        ],
    }
    assert text.startswith('{\n  "format": "chime-diagnostics/1",\n  "counts": {')
    assert text.endswith("}\n")


def test_json_names_the_file_of_a_fault_without_a_place_and_keeps_letters_as_they_are() -> None:
    fault = Diagnostic(code("F101", "warning"), "Küche", file="küche.chime")
    text = machine.render([fault])
    (found,) = json.loads(text)["diagnostics"]
    assert (found["file"], found["labels"]) == ("küche.chime", [])
    assert json.loads(text)["counts"] == {"error": 0, "warning": 1}
    assert '"Küche"' in text


def test_json_with_nothing_to_say_is_still_a_report() -> None:
    assert json.loads(machine.render([])) == {
        "format": "chime-diagnostics/1",
        "counts": {"error": 0, "warning": 0},
        "diagnostics": [],
    }


# Edits


def test_edits_are_carried_out_whatever_their_order() -> None:
    source = Source("a.chime", "ring 8:45 lesson")
    edits = [
        Edit(Span(source, 10, 16), "short"),
        Edit(Span(source, 5, 5), "0"),
        Edit(Span(source, 9, 9), ","),
    ]
    assert apply(source, edits) == apply(source, reversed(edits)) == "ring 08:45, short"


def test_of_overlapping_edits_the_first_in_the_text_is_carried_out() -> None:
    source = Source("a.chime", "0123456789")
    edits = [Edit(Span(source, 4, 8), "B"), Edit(Span(source, 2, 5), "A"), Edit(Span(source, 8, 9), "C")]
    assert apply(source, edits) == "01A567C9"


def test_one_place_takes_one_insertion() -> None:
    source = Source("a.chime", "ab")
    assert apply(source, [Edit(Span(source, 1, 1), "x"), Edit(Span(source, 1, 1), "y")]) == "axb"


def test_an_insertion_may_touch_what_is_replaced() -> None:
    source = Source("a.chime", "abc")
    edits = [Edit(Span(source, 1, 2), "B"), Edit(Span(source, 1, 1), "<"), Edit(Span(source, 2, 2), ">")]
    assert apply(source, edits) == "a<B>c"


def test_edits_of_another_source_are_passed_by() -> None:
    source, other = Source("a.chime", "abc"), Source("a.chime", "abc")
    assert apply(source, [Edit(Span(other, 0, 3), "x")]) == "abc"


# Laws

AWKWARD = 'a \t\r\n"#…\u0301\u200b\u2028\x85\x1b\x00\x7f\xa0\ufeff\u202e日ｗ가é\u1161\U0001f514'

texts = st.text(st.one_of(st.sampled_from(AWKWARD), st.characters(codec="utf-8")), max_size=60) | st.builds(
    lambda front, times, back: front * times + back,
    st.text(st.sampled_from(AWKWARD), min_size=1, max_size=12),
    st.integers(1, 60),
    st.text(st.sampled_from(AWKWARD), max_size=12),
)


@st.composite
def spans(draw: st.DrawFn, sources: st.SearchStrategy[Source]) -> Span:
    """Any span that lies inside its source."""
    source = draw(sources)
    start = draw(st.integers(0, len(source.text)))
    return Span(source, start, draw(st.integers(start, len(source.text))))


@st.composite
def complaints(draw: st.DrawFn) -> list[Diagnostic]:
    """A few complaints about the same two sources, with any labels and edits."""
    sources = [Source("a.chime", draw(texts)), Source("b.chime", draw(texts))]
    places = spans(st.sampled_from(sources))
    edits = st.builds(Edit, places, texts)
    severities: st.SearchStrategy[Severity] = st.sampled_from(["error", "warning", "note"])
    labelled = st.tuples(places, st.lists(places, max_size=3)).map(
        lambda found: (Label(found[0], "first"), *(Label(span, "other", "secondary") for span in found[1]))
    )
    return draw(
        st.lists(
            st.builds(
                Diagnostic,
                st.builds(code, st.sampled_from(["S201", "N301", "T501"]), severities),
                texts,
                st.one_of(labelled, st.just(())),
                texts,
                st.lists(
                    st.builds(
                        Suggestion,
                        texts,
                        st.sampled_from(["sure", "guess", "sketch"]),
                        st.lists(edits, max_size=3).map(tuple),
                    ),
                    max_size=2,
                ).map(tuple),
                st.sampled_from([None, "a.chime"]),
            ),
            max_size=4,
        )
    )


laws = settings(deadline=None)


def without_trailing_blanks(text: str) -> str:
    """The text with no blanks at the ends of its lines: they are not drawn."""
    return re.sub(r"[ \t]+(?=\r?\n|\Z)", "", text)


@laws
@given(texts)
def test_lines_agree_with_the_reader_of_the_standard_library(text: str) -> None:
    """io.StringIO with newline="\\n" cuts at LF and nowhere else."""
    source = Source("a.chime", text)
    wanted = [re.sub(r"\r?\n\Z", "", line) for line in io.StringIO(text, newline="\n")]
    wanted += [""] if not text or text.endswith("\n") else []
    assert [source.line_text(line) for line in range(1, source.line_count + 1)] == wanted


@laws
@given(spans(st.builds(Source, st.just("a.chime"), texts)))
def test_line_and_column_lead_back_to_the_offset(span: Span) -> None:
    source = span.source
    start, end = source.line_bounds(span.line)
    assert start + span.column - 1 == span.start
    assert source.text[start:end] == source.line_text(span.line)
    assert source.text.count("\n", 0, span.start) == span.line - 1


@laws
@given(complaints(), st.booleans())
def test_the_long_form_survives_anything_and_stays_short(found: list[Diagnostic], ascii_only: bool) -> None:
    text = drawn(*found, ascii_only=ascii_only)
    lines = text.split("\n")
    assert len(lines) <= 100 * len(found) + 1
    assert all(len(line) <= 2500 for line in lines)
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\u202e]", text)
    if ascii_only:
        assert text.isascii()
    for diagnostic in order(found):
        assert f"  more  chime explain {diagnostic.code.id}\n" in text


@laws
@given(complaints(), st.booleans())
def test_colour_adds_nothing_but_colour(found: list[Diagnostic], ascii_only: bool) -> None:
    colored = long_form.render(found, color=True, ascii_only=ascii_only)
    assert re.sub(r"\x1b\[[\d;]*m", "", colored) == drawn(*found, ascii_only=ascii_only)


@laws
@given(spans(st.builds(Source, st.just("a.chime"), texts.map(without_trailing_blanks))))
@example(Span(Source("a.chime", "\u0301\u0301x"), 0, 1))
def test_marks_stand_under_their_line_and_at_most_one_cell_behind_it(span: Span) -> None:
    lines = snippet(Diagnostic(code("N301"), "x", (Label(span, ""),)))
    assert "●" in "".join(lines)
    for above, below in pairwise(lines):
        if "┊" in below:
            assert len(below) <= cells(above) + (2 if above.endswith("│") else 1)
            assert re.fullmatch(r" +┊ +●+", below)


def cells(line: str) -> int:
    """The cells that a drawn line takes, by Unicode Standard Annex 11 and the categories of marks."""
    return sum(
        0
        if unicodedata.category(character) in ("Mn", "Me") or "\u1160" <= character <= "\u11ff"
        else 2
        if unicodedata.east_asian_width(character) in ("W", "F")
        else 1
        for character in line
    )


@laws
@given(st.text(st.characters(min_codepoint=33, max_codepoint=126), min_size=1, max_size=400), st.data())
def test_the_text_above_the_marks_is_the_text_of_the_span(text: str, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(text) - 1))
    end = data.draw(st.integers(start + 1, min(len(text), start + 40)))
    line, marks = snippet(Diagnostic(code("N301"), "x", (Label(Span(Source("a", text), start, end), ""),)))
    assert line[marks.index("●") : marks.rindex("●") + 1] == text[start:end]


@laws
@given(texts, st.integers(-5, 200), st.integers(-5, 200))
def test_a_span_outside_its_source_is_drawn_all_the_same(text: str, start: int, end: int) -> None:
    source = Source("a.chime", text)
    edit = Edit(Span(source, start, end), "x")
    fault = at(source, start, end)._replace(suggestions=(Suggestion("so", "guess", (edit,)),))
    assert "●" in drawn(fault)
    assert "a.chime:" in one_line.render([fault])
    assert json.loads(machine.render([fault]))["diagnostics"]
    assert len(apply(source, [edit])) <= len(text) + 1


@laws
@given(complaints())
def test_one_line_is_one_line_for_each_complaint(found: list[Diagnostic]) -> None:
    assert len(one_line.render(found).splitlines()) == len(order(found))


@laws
@given(complaints())
def test_json_can_be_read_and_its_places_lie_inside_the_text(found: list[Diagnostic]) -> None:
    report = json.loads(machine.render(found))
    ordered = order(found)
    assert [each["headline"] for each in report["diagnostics"]] == [each.headline for each in ordered]
    for read, written in zip(report["diagnostics"], ordered, strict=True):
        assert len(read["labels"]) == len(written.labels)
        for label in read["labels"]:
            (text,) = {
                each.span.source.text
                for each in written.labels
                if each.span.source.name == label["span"]["file"]
            }
            start, end = label["span"]["start"], label["span"]["end"]
            assert 0 <= start["offset"] <= end["offset"] <= len(text)
            assert start["line"] == text.count("\n", 0, start["offset"]) + 1
            assert start["column"] == start["offset"] - (text.rfind("\n", 0, start["offset"]) + 1) + 1


@laws
@given(complaints(), st.randoms(use_true_random=False))
def test_order_does_not_depend_on_the_order_of_finding(found: list[Diagnostic], random: Random) -> None:
    ordered = order(found)
    shuffled = list(ordered)
    random.shuffle(shuffled)
    assert order(shuffled) == ordered
    assert order(ordered) == ordered


@laws
@given(texts, st.data())
def test_separate_edits_agree_with_doing_them_one_by_one_from_the_end(text: str, data: st.DataObject) -> None:
    source = Source("a.chime", text)
    cuts = sorted(data.draw(st.sets(st.integers(0, len(text)), max_size=8)))
    edits = [
        Edit(Span(source, start, end), data.draw(st.text("xyz", max_size=3)))
        for start, end in zip(cuts[::2], cuts[1::2], strict=False)
    ]
    characters = list(text)
    for edit in reversed(edits):
        characters[edit.span.start : edit.span.end] = edit.replacement
    assert apply(source, data.draw(st.permutations(edits))) == "".join(characters)


@laws
@given(texts, st.data())
def test_overlapping_edits_never_garble_the_text(text: str, data: st.DataObject) -> None:
    source = Source("a.chime", text.replace("<", ""))
    places = spans(st.just(source))
    edits = data.draw(st.lists(st.builds(Edit, places, st.just("<>")), max_size=6))
    kept = apply(source, edits).split("<>")
    assert bool(edits) == (len(kept) > 1)
    position = 0
    for part in kept:
        position = source.text.index(part, position) + len(part)
