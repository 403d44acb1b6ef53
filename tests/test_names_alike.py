"""Names that would be taken for each other: which pairs are, and in what each differs."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chime.programme.alike import Difference, difference, folded, one_form

ALIKE: list[tuple[str, str, Difference]] = [
    ("yard", "yard", "none"),
    ("caf\u00e9", "cafe\u0301", "marks"),
    ("\u1edf", "o\u0309\u031b", "marks"),
    ("yard", "Yard", "capitals"),
    ("\u00dcbung", "\u00fcbung", "capitals"),
    ("yard", "\uff59\uff41\uff52\uff44", "width"),
    ("\u30ac", "\uff76\uff9e", "width"),
    ("yard", "\uff39ard", "width and capitals"),
    ("fin", "\ufb01n", "form"),
    ("gross", "gro\u00df", "form"),
    ("\u03c3", "\u03c2", "form"),
    ("First half", "First\u00a0half", "form"),
    ("yard", "ya\u00adrd", "form"),
]

APART = [
    ("yard", "yards"),
    ("Hall 1", "Hall \u2460"),
    ("m2", "m\u00b2"),
    ("1/2", "\u00bd"),
    ("a-b", "ab"),
    ("o", "\u00f6"),
]


@pytest.mark.parametrize(("left", "right", "expected"), ALIKE)
def test_names_that_would_be_taken_for_each_other_are_told_in_what_they_differ(
    left: str, right: str, expected: Difference
) -> None:
    assert folded(left) == folded(right)
    assert difference(left, right) == difference(right, left) == expected


@pytest.mark.parametrize(("left", "right"), APART)
def test_names_that_a_reader_tells_apart_are_two(left: str, right: str) -> None:
    assert folded(left) != folded(right)


@given(st.text(max_size=12))
def test_a_name_is_folded_once_and_for_all_and_alike_in_every_normal_form(name: str) -> None:
    assert folded(folded(name)) == folded(name)
    assert {folded(unicodedata.normalize(form, name)) for form in ("NFC", "NFD")} == {folded(name)}
    assert one_form(name) == unicodedata.normalize("NFC", name)
