"""Next year's programme, from the text of this year's: everything undated stays, every date goes.

Last year's closures left in are the classic fault of a new year's tape. So each line with a date becomes
a note, to be filled in anew, and what is left to do is listed. Only whole lines are touched; all other
text is copied, its notes too, in tidy spacing.
"""

import re
from collections.abc import Iterable, Iterator, Sequence

from chime.diagnostics import Source, Span
from chime.parsing.tidy import tidy
from chime.parsing.tree import Block, Node
from chime.records import NamedTuple

_DATED_RULES = ("on_date", "on_range", "on_every", "on_days_in")
_ANCHORED_RULES = ("term_weeks", "term_cycle")
_YEAR_IN_QUOTES = re.compile(r'"(?:[^"]*[^\d"])?(?:19|20)\d\d(?:[^\d"][^"]*)?"', re.ASCII)


class ToDo(NamedTuple):
    """Something to fill in: the line of the new file, what it needs, and what stood there."""

    line: int
    what: str
    was: str


class CarriedOver(NamedTuple):
    """The text of a new file and what is left to do in it, in the order of its lines."""

    text: str
    left: tuple[ToDo, ...]


class _Dated(NamedTuple):
    """Old lines that hold dates: the first and the last of them, what they need, what they say."""

    first: int
    last: int
    what: str
    was: str


def carry_over(source: Source, blocks: Sequence[Block], *, came_from: str) -> CarriedOver:
    """Return a file's text without its dates, in tidy spacing.

    Its blocks must all have been read without a fault; `came_from` names the old file in the new heading.
    """
    dated = sorted(found for block in blocks for found in _dated_lines(source, block))
    lines = source.text.split("\n")
    for each in dated:
        for number in range(each.first, each.last + 1):
            lines[number - 1] = _as_note(lines[number - 1])
    dated += _lines_with_a_year(blocks, dated)
    heading = _heading(came_from, sorted(dated))
    carried = [*heading, *(line.removesuffix("\r") for line in lines)]
    text = tidy(Source(source.name, "\n".join(carried)))
    places = _places(carried, text.split("\n"))
    return CarriedOver(
        text, tuple(ToDo(places[d.first + len(heading)], d.what, d.was) for d in sorted(dated))
    )


def _places(before: Sequence[str], after: Sequence[str]) -> dict[int, int]:
    """Return where each line is after tidying: that adds and removes blank lines only."""
    said = [[number for number, line in enumerate(lines, 1) if line.strip()] for lines in (before, after)]
    return dict(zip(*said, strict=True))


def _dated_lines(source: Source, block: Block) -> Iterator[_Dated]:
    if block.kind == "programme":
        for line in block.lines:
            if line.rule == "issue_line":
                yield _whole(source, (line.span,), "the issue, counted on, and its date")
    elif block.kind == "term":
        assert block.header is not None
        anchored = any(line.rule in _ANCHORED_RULES for line in block.lines)
        anchor = ", and the date from which it counts" if anchored else ""
        what = f"the dates of the term {block.header.word('STRING').text}{anchor}"
        yield _whole(source, (block.span, *(line.span for line in block.lines)), what)
    elif block.kind == "exceptions":
        for line in block.lines:
            when = next(line.nodes())
            if when.rule in _DATED_RULES:
                yield _whole(source, (line.span,), _need(when))


def _need(when: Node) -> str:
    if when.rule == "on_days_in":
        return "a file with the new year's days, or nothing"
    return "its new date, or nothing" if when.rule == "on_date" else "its new dates, or nothing"


def _whole(source: Source, spans: Iterable[Span], what: str) -> _Dated:
    """Take the lines of some spans, and what lies between them, as one."""
    listed = list(spans)
    first = min(span.line for span in listed)
    last = max(source.line_of(max(span.start, span.end - 1)) for span in listed)
    return _Dated(first, last, what, " ".join(listed[0].text.split()))


def _as_note(line: str) -> str:
    """Return a line as a note that becomes the line again when its sign is taken away."""
    said = line.lstrip(" \t")
    if not said.strip() or said.startswith("#"):
        return line
    indent = line[: len(line) - len(said)]
    return f"{indent}# {said}"


def _lines_with_a_year(blocks: Sequence[Block], dated: Sequence[_Dated]) -> list[_Dated]:
    """Find lines that are kept and whose words name a year."""
    gone = {number for each in dated for number in range(each.first, each.last + 1)}
    spans = [span for block in blocks for span in (block.span, *(line.span for line in block.lines))]
    found = {}
    for span in spans:
        if span.line not in gone and _YEAR_IN_QUOTES.search(span.text):
            found[span.line] = _Dated(
                span.line, span.line, "a year is named here", " ".join(span.text.split())
            )
    return list(found.values())


def _heading(came_from: str, dated: Sequence[_Dated]) -> list[str]:
    if not dated:
        return []
    return [
        f"# Carried over from {came_from}. No date was carried over: each line that held one is now a note.",
        "# Fill in the new date and take the # away, or take the whole line out. What is to be done:",
        *(f"#   {each.what}  (was: {each.was})" for each in dated),
        "# When all of it is done, take this list out and run: chime check",
        "",
    ]
