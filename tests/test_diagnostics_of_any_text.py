"""What holds for any complaint about any text, however odd its characters."""

import io
import json
import re
from itertools import pairwise
from random import Random

from hypothesis import example, given, settings
from hypothesis import strategies as st

from chime.diagnostics import (
    Diagnostic,
    Edit,
    Label,
    Severity,
    Source,
    Span,
    Suggestion,
    long_form,
    machine,
    one_line,
    order,
)
from chime.diagnostics.edits import apply
from tests.complaints import at, cells, code, drawn, snippet

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
