"""Complaints as values: places in a text, codes, order, nearest names, and edits."""

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chime.diagnostics import Diagnostic, Edit, Label, Source, Span, as_errors, count, is_error, order
from chime.diagnostics.edits import apply
from chime.diagnostics.suggest import nearest
from tests.complaints import at, code, drawn, marramsea, span_of

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
    source = marramsea()
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
    source = marramsea()
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
        ("south-qauy", ["south-quay", "north-quay"], ("south-quay",)),
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
