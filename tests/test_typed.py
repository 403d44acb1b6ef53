"""What people and word processors type instead of the language's forms.

In a line of these tables `[` and `]` stand round the text that is marked as wrong; the language has no
brackets. An offer is written as the line that it leads to.
"""

import pytest

from chime.diagnostics import Certainty, Diagnostic, Suggestion
from chime.diagnostics.edits import apply
from chime.parsing.parser import read_blocks
from chime.parsing.tree import Node, Word
from tests.typed_lines import Typed, fault_in, faults_in, in_file, last_line, last_node, words_in
from tests.typed_rows import ROWS

OFFERED = [(typed, *offer) for typed in ROWS for offer in typed.offers]


def carried_out(fault: Diagnostic, block: str, suggestion: Suggestion) -> str:
    assert fault.primary is not None
    return last_line(block, apply(fault.primary.span.source, suggestion.edits))


def shape(part: Node | Word) -> object:
    """A node without its places."""
    if isinstance(part, Word):
        return part.kind, part.text
    return part.rule, tuple(shape(child) for child in part.children)


def ids(typed: Typed) -> str:
    return ascii(typed.line)


# ------------------------------------------------------------- one mistake


@pytest.mark.parametrize("typed", ROWS, ids=ids)
def test_a_typed_form_gives_one_fault_of_its_kind_at_its_place(typed: Typed) -> None:
    fault = fault_in(typed)
    assert fault.code.id == typed.code
    assert fault.primary is not None
    span = fault.primary.span
    indent = 0 if typed.block == "opener" else 2
    start = indent + typed.line.index("[")
    assert (span.column, span.column + span.end - span.start) == (start + 1, indent + typed.line.index("]"))


@pytest.mark.parametrize("typed", ROWS, ids=ids)
def test_a_typed_form_has_the_offers_it_should_have(typed: Typed) -> None:
    fault = fault_in(typed)
    offers = tuple((each.certainty, carried_out(fault, typed.block, each)) for each in fault.suggestions)
    assert offers == typed.offers
    assert fault.why.endswith(".")


@pytest.mark.parametrize(("typed", "certainty", "line"), OFFERED, ids=lambda part: ascii(part)[:60])
def test_an_offered_line_is_right(typed: Typed, certainty: Certainty, line: str) -> None:
    assert certainty in ("sure", "guess")
    assert faults_in(typed.block, line) == ()


@pytest.mark.parametrize("typed", [t for t in ROWS if t.offers and "\n" not in t.offers[0][1]], ids=ids)
def test_a_line_is_read_as_its_first_offer_says(typed: Typed) -> None:
    as_typed = read_blocks(in_file(typed.block, typed.text))
    as_meant = read_blocks(in_file(typed.block, typed.offers[0][1]))
    assert shape(last_node(as_typed, typed.block)) == shape(last_node(as_meant, typed.block))
    assert not as_typed.blocks[-1].unread


@pytest.mark.parametrize("typed", [t for t in ROWS if not t.offers], ids=ids)
def test_a_line_without_an_offer_is_not_read(typed: Typed) -> None:
    read = read_blocks(in_file(typed.block, typed.text))
    assert [span.text for span in read.blocks[-1].unread] == [typed.text]


@pytest.mark.parametrize("typed", [t for t in ROWS if t.offers and "\n" not in t.offers[0][1]], ids=ids)
def test_the_words_of_a_mended_line_lie_on_what_was_typed(typed: Typed) -> None:
    source = in_file(typed.block, typed.text)
    read = read_blocks(source)
    begin = len(source.text) - len(typed.text)
    edits = [edit.span for fault in read.diagnostics for edit in fault.suggestions[0].edits]
    marked = [label.span for fault in read.diagnostics for label in fault.labels]
    for word in words_in(last_node(read, typed.block)):
        span = word.span
        assert begin <= span.start <= span.end <= len(source.text)
        touched = any(span.start <= other.end and other.start <= span.end for other in edits + marked)
        assert touched or span.text == word.text


def test_a_moved_word_keeps_its_place() -> None:
    read = read_blocks(in_file("timetable", "ring lesson 08:40, 08:45 in main"))
    words = list(words_in(last_node(read, "timetable")))
    assert [word.text for word in words] == ["08:40", "08:45", "lesson", "main"]
    assert [word.span.text for word in words] == ["08:40", "08:45", "lesson", "main"]


def test_a_mended_value_lies_on_what_was_typed_for_it() -> None:
    read = read_blocks(in_file("timetable", "period 1 8:45 – 9.45 main"))
    words = list(words_in(last_node(read, "timetable")))
    assert [(word.text, word.span.text) for word in words] == [
        ('"1"', "1"),
        ("08:45", "8:45"),
        ("09:45", "9.45"),
        ("main", "main"),
    ]
