"""Which lines of a text a complaint shows, and where the marks stand under them."""

import pytest

from chime.diagnostics import Diagnostic, Edit, Label, Source, Span, Suggestion
from tests.complaints import at, code, drawn, marramsea, snippet, span_of


def test_two_labels_on_one_line_are_both_marked() -> None:
    source = marramsea()
    both = Diagnostic(
        code("N301"),
        "x",
        (
            Label(span_of(source, "in south-qauy"), "where"),
            Label(span_of(source, "2026-10-02"), "when", "secondary"),
        ),
    )
    assert snippet(both) == [
        '  14 │   2026-10-02  silent in south-qauy  "Rowing day"',
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
    source = marramsea()
    start = source.text.index("timetable")
    assert snippet(at(source, start, source.text.index("\nexceptions"))) == [
        "   7 │ timetable normal  in north-quay",
        "     ┊ ●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●●",
        "     ⋮",
        '  11 │   ring 11:25  short  "Ferry sails"',
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
