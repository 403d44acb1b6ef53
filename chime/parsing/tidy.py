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

from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from chime.diagnostics import Diagnostic, Source
from chime.diagnostics.cells import measure
from chime.parsing.grammar import BODIES, OPENER
from chime.parsing.lines import CONTROL, LONE_CR, LONGEST_LINE, PhysicalLine, cut
from chime.parsing.parser import read_blocks
from chime.parsing.tidy_columns import CONTINUED, Row, has_one_table, read_words, row_of, set_in_columns, settle
from chime.parsing.tree import Block, Node

_WIDEST_LINE = 100
"""The comment behind a longer line does not push those of its neighbours along."""


class _Line(NamedTuple):
    """A line that can be put in order: its lines in the file, by number, and its cells."""

    numbers: tuple[int, ...]
    row: Row
    block: int


class _Entry(NamedTuple):
    """A line of the tidied file. A comment that hangs belongs to the comment behind the line above."""

    kind: Literal["said", "left", "comment", "hanging", "blank"]
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
        self.untouched = _faulty(read.diagnostics) | {n for n, t in enumerate(self.raw, 1) if CONTROL.search(t)}
        self.lines = tuple(self._lines())

    def _lines(self) -> Iterator[_Line]:
        for number, block in enumerate(self.blocks):
            nodes = [(block.header, OPENER)] if block.header else []
            nodes += [(node, BODIES[block.kind]) for node in block.lines]
            for node, rule in nodes:
                line = self._line(node, rule, number)
                if line is not None:
                    yield line

    def _line(self, node: Node, rule: str, block: int) -> _Line | None:
        first, last = (self.source.line_of(offset) for offset in (node.span.start, node.span.end))
        if not self.untouched.isdisjoint(range(first, last + 1)):
            return None
        parts = [self.said[number] for number in range(first, last + 1) if number in self.said]
        text, start = "", parts[0].start
        for part in parts:
            text = text.ljust(part.start - start) + part.text
        line_ends = frozenset(_end(part) for part in parts[:-1])
        words = read_words(text, rule, start, line_ends)
        if words is None:
            return None
        kind = self.blocks[block].kind
        row = row_of(node, settle(words, node.rule), kind, is_opener=rule == OPENER)
        return _Line(tuple(part.number for part in parts), row, block)

    def comment_of(self, number: int) -> str:
        """Return the comment of a line, its own or the one behind what it says."""
        said = self.said.get(number)
        raw = self.raw[number - 1]
        return (raw[len(said.text) :] if said else raw).strip().rstrip(" \t")

    def comment_column(self, number: int) -> int:
        """Return the column in which a comment stands as typed."""
        raw = self.raw[number - 1]
        return measure(raw[: raw.rindex(self.comment_of(number))])


def tidy(source: Source) -> str:
    """Return the text of a file in its canonical spacing; see the module's text for the rules.

    A file whose line ends cannot be told is returned as it is.
    """
    if LONE_CR.search(source.text):
        return source.text
    sheet = _Sheet(source)
    lines = sheet.lines
    while True:
        written = _written(sheet, lines)
        # What is put in order may grow beyond what can be read; then it has to stay as it was.
        too_long = {line.numbers[0] for line in lines if _length(line, written) > LONGEST_LINE}
        if not too_long:
            return "".join(f"{text}\n" for text in _texts(written))
        lines = tuple(line for line in lines if line.numbers[0] not in too_long)
