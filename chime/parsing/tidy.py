"""The canonical spacing of one file.

What is tidied changes nothing that a programme says. The rules:

- Lines of a block are indented by two spaces, lines that go on with a list by four; the list is cut
  where it was cut. A file ends with one LF and holds no other line ends.
- One space between words and between a number and its unit, none before a comma, a sign straight before its
  number, spaces round the `-` of a range of times. `in everywhere` is written `everywhere`. What a gate
  and a slot are held within has a comma before it, what a round hole is has none.
- Two spaces at least between the cells of a line (the times of a ring, its signal, its zones, its label;
  the days of a week and their timetable; see tidy_columns). Cells line up over a whole block in
  `programme`, `machine`, `week`, `cycle` and `exceptions`, else over lines of one form that follow each other
  with nothing between. A column is as wide as the widest of its cells that something follows; a very
  wide cell stands out of it. Values of a machine stand two spaces behind the longest single word.
- Comments stay. One that has a line to itself stands in column one, or if it was indented with the lines
  of its block. One behind a line follows after two spaces, and those of lines that follow each other line
  up; a comment below such a one and lined up with it stays so.
- Never two blank lines together. One, and no fewer, between two blocks of which one has lines; but a
  comment in column one may stand straight above a block, and blocks of one kind with a line each,
  or none, may stand together.
- A line in which there is a fault is left exactly as it is.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Literal

from chime.diagnostics import Diagnostic, Source
from chime.diagnostics.cells import measure
from chime.parsing.grammar import BODIES, OPENER
from chime.parsing.lines import CONTROL, LONE_CR, LONGEST_LINE, cut
from chime.parsing.parser import read_blocks
from chime.parsing.tidy_columns import (
    CONTINUED,
    Row,
    has_one_table,
    read_words,
    row_of,
    set_in_columns,
    settle,
)
from chime.parsing.tree import Block, Node
from chime.records import NamedTuple

_WIDEST_LINE = 100
"""The comment behind a wider line does not push those of its neighbours along."""


class _Line(NamedTuple):
    """A line that can be put in order: its lines in the file, by number, and its cells.

    `block` is the number of its block, `table` the same where all lines of the block share columns.
    """

    numbers: tuple[int, ...]
    row: Row
    block: int
    table: int | None


class _Entry(NamedTuple):
    """A line of the tidied file; a comment that hangs belongs to the comment behind the line above."""

    kind: Literal["said", "left", "comment", "hanging", "blank"]
    number: int
    text: str
    comment: str = ""


class _Sheet:
    """One file as it was read: what its lines say, and which are to be left as they are."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.raw = [line.removesuffix("\r") for line in source.text.split("\n")]
        self.said = {line.number: line for line in cut(source)}
        read = read_blocks(source)
        self.blocks = read.blocks
        self.untouched = _faulty(read.diagnostics)
        self.untouched |= {number for number, raw in enumerate(self.raw, 1) if CONTROL.search(raw)}
        self.lines = [line for number, block in enumerate(self.blocks) for line in self._lines(number, block)]

    def _lines(self, number: int, block: Block) -> Iterator[_Line]:
        opener = self._line(block.header, OPENER, number) if block.header else None
        if opener is not None:
            yield opener
        for node in block.lines:
            line = self._line(node, BODIES[block.kind], number)
            if line is not None:
                yield line

    def _line(self, node: Node, rule: str, block: int) -> _Line | None:
        numbers = range(self.source.line_of(node.span.start), self.source.line_of(node.span.end) + 1)
        if not self.untouched.isdisjoint(numbers):
            return None
        parts = [self.said[number] for number in numbers if number in self.said]
        text, start = "", parts[0].start
        for part in parts:
            text = text.ljust(part.start - start) + part.text
        line_ends = frozenset(part.start + len(part.text) for part in parts[:-1])
        words = read_words(text, rule, start, line_ends)
        if words is None or parts[-1].start + len(parts[-1].text) != node.span.end:
            return None
        kind, is_opener = self.blocks[block].kind, rule == OPENER
        row = row_of(node, settle(words, node.rule), kind, is_opener=is_opener)
        table = block if has_one_table(kind) and not is_opener else None
        return _Line(tuple(part.number for part in parts), row, block, table)

    def leave(self, lines: Iterable[_Line]) -> None:
        """Leave some lines as they are, with the comments in them."""
        for line in lines:
            self.untouched.update(range(line.numbers[0], line.numbers[-1] + 1))
        self.lines = [line for line in self.lines if line.numbers[0] not in self.untouched]

    def comment_of(self, number: int) -> str:
        """Return the comment of a line, its own or the one behind what it says."""
        return self.raw[number - 1][self._said_end(number) :].lstrip().rstrip(" \t")

    def comment_column(self, number: int) -> int:
        """Return the column in which the comment of a line stands as typed."""
        raw = self.raw[number - 1]
        return measure(raw[: len(raw) - len(raw[self._said_end(number) :].lstrip())])

    def _said_end(self, number: int) -> int:
        return len(self.said[number].text) if number in self.said else 0


def tidy(source: Source) -> str:
    """Return the text of a file in its canonical spacing; see the module's text for the rules.

    A file whose line ends cannot be told is returned as it is.
    """
    if LONE_CR.search(source.text):
        return source.text
    sheet = _Sheet(source)
    while True:
        entries = _entries(sheet)
        texts = _with_comments(entries)
        # A line that is put in order may grow beyond what can be read; then it stays as it was.
        too_long = _too_long(sheet.lines, entries, texts)
        if not too_long:
            return "".join(f"{text}\n" for text in texts)
        sheet.leave(too_long)


def _faulty(diagnostics: Iterable[Diagnostic]) -> set[int]:
    """Return the numbers of the lines to be edited for some faults."""
    found: set[int] = set()
    for diagnostic in diagnostics:
        if diagnostic.primary is not None:
            span = diagnostic.primary.span
            found.update(range(span.line, span.source.line_of(span.end) + 1))
    return found


# ----------------------------------------------------------- lines of the file


def _entries(sheet: _Sheet) -> list[_Entry]:
    texts: dict[int, str] = {}
    apart = _set_apart(sheet)
    for run in _runs(sheet.lines, apart):
        for line, written in zip(run, set_in_columns([line.row for line in run]), strict=True):
            texts.update(zip(line.numbers, written, strict=True))
    inside = {n for line in sheet.lines for n in range(line.numbers[0], line.numbers[-1])}
    entries: list[_Entry] = []
    for number in range(1, len(sheet.raw) + 1):
        above = entries[-1] if entries else None
        entry = _entry(sheet, number, texts.get(number), above, is_inside=number in inside)
        if entry.kind == "blank" and (above is None or above.kind == "blank"):
            continue
        if number in apart and above is not None and above.kind != "blank" and not above.text.startswith("#"):
            entries.append(_Entry("blank", number, ""))
        entries.append(entry)
    while entries and entries[-1].kind == "blank":
        entries.pop()
    return entries


def _entry(sheet: _Sheet, number: int, text: str | None, above: _Entry | None, *, is_inside: bool) -> _Entry:
    if text is not None:
        return _Entry("said", number, text, sheet.comment_of(number))
    raw = sheet.raw[number - 1]
    if number in sheet.untouched or number in sheet.said:
        return _Entry("left", number, raw)
    comment = sheet.comment_of(number)
    if not comment:
        return _Entry("blank", number, "")
    column = sheet.comment_column(number)
    if above is not None and above.comment and sheet.comment_column(above.number) == column:
        return _Entry("hanging", number, "", comment)
    indent = "" if raw.startswith("#") else CONTINUED if is_inside else "  "
    return _Entry("comment", number, indent + comment)


def _runs(lines: Iterable[_Line], apart: set[int]) -> Iterable[list[_Line]]:
    """Gather the lines that share columns: those of a table, else neighbours of one family.

    What is set apart has a blank line above it when it is tidied, and so is nobody's neighbour.
    """
    runs: list[list[_Line]] = []
    tables: dict[int, list[_Line]] = {}
    for line in lines:
        above = runs[-1][-1] if runs else None
        if line.table is not None:
            tables.setdefault(line.table, []).append(line)
        elif above is not None and above.row.family == line.row.family and _follows(above, line, apart):
            runs[-1].append(line)
        else:
            runs.append([line])
    return [*runs, *tables.values()]


def _follows(above: _Line, line: _Line, apart: set[int]) -> bool:
    is_next = above.numbers[-1] + 1 == line.numbers[0] and line.numbers[0] not in apart
    return is_next and above.row.indent == line.row.indent


def _set_apart(sheet: _Sheet) -> set[int]:
    """Return the numbers of the openers that have a blank line above them."""
    openers = {line.block: line.numbers[0] for line in sheet.lines if line.row.indent == 0}
    found = set()
    for number, (above, block) in enumerate(pairwise(sheet.blocks), 1):
        most = max(_lines_of(above), _lines_of(block))
        if number in openers and most > (1 if above.kind == block.kind else 0):
            found.add(openers[number])
    return found


def _lines_of(block: Block) -> int:
    return len(block.lines) + len(block.unread) - (block.header is None)


# ------------------------------------------------------------------- comments


def _with_comments(entries: Sequence[_Entry]) -> list[str]:
    """Return entries as text, with the comments behind lines that follow each other lined up."""
    texts: list[str] = []
    at = 0
    while at < len(entries):
        end = at
        while end < len(entries) and entries[end].comment:
            end += 1
        texts += _lined_up(entries[at:end])
        if end < len(entries):
            texts.append(entries[end].text)
        at = end + 1
    return texts


def _lined_up(entries: Sequence[_Entry]) -> Iterator[str]:
    widths = [measure(entry.text) for entry in entries]
    column = max((width for width in widths if width <= _WIDEST_LINE), default=0) + 2
    here = column
    for entry, width in zip(entries, widths, strict=True):
        if entry.kind == "said":
            here = max(column, width + 2)
        yield entry.text + " " * (here - width) + entry.comment


# ---------------------------------------------------------------------- length


def _too_long(lines: Iterable[_Line], entries: Sequence[_Entry], texts: Sequence[str]) -> list[_Line]:
    """Return the lines that, with all lines that they go on over, are longer than can be read."""
    places = {entry.number: place for place, entry in enumerate(entries)}
    found = []
    for line in lines:
        first, last = places[line.numbers[0]], places[line.numbers[-1]]
        length = sum(len(text) + 1 for text in texts[first:last]) + len(entries[last].text)
        if length > LONGEST_LINE:
            found.append(line)
    return found
