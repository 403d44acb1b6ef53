"""Lines of a file to blocks of nodes.

Each logical line is parsed by itself with the start rule of its block, so every fault of a file is
found in one run. A line that does not parse is first held against what people are known to type
(chime.parsing.mistakes); if that explains it, the line is read as it was meant and the fault stays.
"""

import re
from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from lark import Token, Tree, UnexpectedInput
from lark.exceptions import UnexpectedToken

from chime.diagnostics import Diagnostic, Source, Span
from chime.diagnostics.suggest import nearest
from chime.parsing import expected, faults, mistakes
from chime.parsing.grammar import BODIES, OPENER, line_parser
from chime.parsing.lines import CONTROL, LONE_CR, LONGEST_LINE, PhysicalLine, cut
from chime.parsing.tree import Block, Node, Word
from chime.parsing.words import RESERVED

_FIRST_WORD = re.compile(r"\d{4}-\d\d-\d\d|[^\W\d_][\w-]*|\S")

# A word with whatever was glued to it, after a space or a comma.
_WORD_RUN = re.compile(r"(?<![^\s,])[\w-]+")


class BlocksRead(NamedTuple):
    """The blocks of one file, its faults, and whether every block's kind could be told."""

    blocks: tuple[Block, ...]
    diagnostics: tuple[Diagnostic, ...]
    is_whole: bool


class _LogicalLine(NamedTuple):
    """A line with the lines that commas carry on to; blanks stand for what is not said."""

    text: str
    start: int
    is_indented: bool


class _OpenBlock:
    """A block while its lines are being read."""

    def __init__(self, kind: str, header: Node | None, span: Span) -> None:
        self.kind, self.header, self.span = kind, header, span
        self.lines: list[Node] = []
        self.unread: list[Span] = [] if header else [span]

    def close(self) -> Block:
        return Block(self.kind, self.header, tuple(self.lines), tuple(self.unread), self.span)


class _FileReader:
    """Reads one file; the only state is the block that is open and what was found."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.faults: list[Diagnostic] = []
        self.blocks: list[_OpenBlock] = []
        self.is_whole = True
        self.is_lost = False  # lines below an unknown opener are passed over without a word

    def read(self) -> BlocksRead:
        if not self._has_lone_cr():
            self._note_control_characters()
            for line in self._logical_lines():
                self._take(line)
        blocks = tuple(block.close() for block in self.blocks)
        return BlocksRead(blocks, tuple(self.faults), self.is_whole)

    # ----------------------------------------------------------- characters

    def _has_lone_cr(self) -> bool:
        found = [m.start() for m in LONE_CR.finditer(self.source.text)]
        if found:
            self.faults.append(faults.lone_cr(Span(self.source, found[0], found[0] + 1), len(found)))
        self.is_whole = not found
        return bool(found)

    def _note_control_characters(self) -> None:
        found = [m.start() for m in CONTROL.finditer(self.source.text)]
        if found:
            span = Span(self.source, found[0], found[0] + 1)
            self.faults.append(faults.control_character(span, len(found)))

    # -------------------------------------------------------- logical lines

    def _logical_lines(self) -> Iterator[_LogicalLine]:
        lines = cut(self.source)
        line = next(lines, None)
        while line is not None:
            parts = [line]
            following = next(lines, None)
            while parts[-1].text.endswith(",") and following is not None and following.is_indented:
                if self._begins_anew(parts, following):
                    break
                parts.append(following)
                following = next(lines, None)
            yield self._joined(parts)
            line = following

    def _begins_anew(self, parts: list[PhysicalLine], following: PhysicalLine) -> bool:
        kind = self._kind_of(parts[0])
        rule = BODIES.get(kind) if kind else None
        word = _first_word(following.text)
        if rule is None or word not in _beginnings(rule) or word == "DATE" or word in mistakes.WEEKDAYS:
            return False
        last = parts[-1]
        comma = last.start + len(last.text) - 1
        at = following.start + len(following.text) - len(following.text.lstrip())
        here = Span(self.source, at, following.start + len(following.text))
        self.faults.append(faults.dangling_comma(Span(self.source, comma, comma + 1), here))
        parts[-1] = last._replace(text=last.text[:-1])
        return True

    def _kind_of(self, line: PhysicalLine) -> str | None:
        word = _first_word(line.text)
        if not line.is_indented and word in faults.OPENERS:
            return word
        return self.blocks[-1].kind if self.blocks else None

    def _joined(self, parts: list[PhysicalLine]) -> _LogicalLine:
        start, text = parts[0].start, parts[0].text
        for part in parts[1:]:
            text = text.ljust(part.start - start) + part.text
        return _LogicalLine(text, start, parts[0].is_indented)

    # --------------------------------------------------------------- blocks

    def _take(self, line: _LogicalLine) -> None:
        if len(line.text) > LONGEST_LINE:
            self._refuse_long(line)
        elif line.is_indented:
            self._take_indented(line)
        else:
            self._take_in_column_one(line)

    def _refuse_long(self, line: _LogicalLine) -> None:
        span = Span(self.source, line.start, line.start + 1)
        self.faults.append(faults.line_too_long(span, len(line.text)))
        if self.blocks and line.is_indented:
            self.blocks[-1].unread.append(span)
        else:
            self.is_whole, self.is_lost = False, True

    def _take_in_column_one(self, line: _LogicalLine) -> None:
        word = _first_word(line.text)
        block = self.blocks[-1] if self.blocks and not self.is_lost else None
        if word in faults.OPENERS:
            self._open(line, word)
        elif (meant := mistakes.opener_meant(word)) is not None:
            self._open(line, meant)
        elif block and block.kind in BODIES and word in _beginnings(BODIES[block.kind]):
            self.faults.append(faults.not_indented(self._first_span(line), block.kind))
            self._take_body(line, block)
        else:
            self._open_unknown(line, word)

    def _open(self, line: _LogicalLine, kind: str) -> None:
        node = self._parse(line, OPENER)
        self.is_lost = False
        self.blocks.append(_OpenBlock(kind, node, self._whole_span(line)))

    def _open_unknown(self, line: _LogicalLine, word: str) -> None:
        span = self._first_span(line)
        near = nearest(word, faults.OPENERS)
        self.faults.append(faults.no_such_block(span, near))
        if len(near) != 1:
            self.is_whole, self.is_lost = False, True
            return
        # Read on as the one kind that is near, so that its lines and its name cause no further faults.
        indent = len(line.text) - len(line.text.lstrip())
        meant = near[0] + line.text[indent + len(word) :]
        node = self._quietly(meant, OPENER, line.start + len(word) - len(near[0]))
        self.is_lost = False
        self.blocks.append(_OpenBlock(near[0], node, self._whole_span(line)))

    def _take_indented(self, line: _LogicalLine) -> None:
        if self.is_lost:
            return
        word = _first_word(line.text)
        if not self.blocks:
            self._take_orphan(line, word)
            return
        block = self.blocks[-1]
        rule = BODIES.get(block.kind)
        if word in faults.OPENERS and (rule is None or word not in _beginnings(rule)):
            self.faults.append(faults.indented_block(self._first_span(line)))
            self._open(line, word)
        elif rule is None:
            self.faults.append(faults.block_has_no_lines(self._whole_span(line), block.kind))
        else:
            self._take_body(line, block)

    def _take_orphan(self, line: _LogicalLine, word: str) -> None:
        if word in faults.OPENERS:
            self.faults.append(faults.indented_block(self._first_span(line)))
            self._open(line, word)
            return
        self.faults.append(faults.no_block(self._whole_span(line)))
        self.is_whole, self.is_lost = False, True

    def _take_body(self, line: _LogicalLine, block: _OpenBlock) -> None:
        node = self._parse(line, BODIES[block.kind])
        if node is None:
            block.unread.append(self._whole_span(line))
        else:
            block.lines.append(node)

    # ---------------------------------------------------------------- lines

    def _parse(self, line: _LogicalLine, rule: str) -> Node | None:
        """Parse a line; where that fails, note why, and read it as it was meant if that is clear."""
        try:
            tree = line_parser().parse(line.text, start=rule)
        except UnexpectedInput as error:
            return self._explain(line, rule, error)
        return _node(tree, self.source, line.start, None)

    def _explain(self, line: _LogicalLine, rule: str, error: UnexpectedInput) -> Node | None:
        mended = mistakes.explain(line.text, rule, parses, self.source.text)
        if mended is None:
            self.faults.append(self._generic(line, rule, error))
            return None
        self.faults += [mistakes.diagnostic(r, self.source, line.start) for r in mended.repairs]
        if mended.text is None:
            return None
        tree = line_parser().parse(mended.text, start=rule)
        return _node(tree, self.source, line.start, mended.place)

    def _quietly(self, text: str, rule: str, start: int) -> Node | None:
        try:
            return _node(line_parser().parse(text, start=rule), self.source, start, None)
        except UnexpectedInput:
            return None

    def _generic(self, line: _LogicalLine, rule: str, error: UnexpectedInput) -> Diagnostic:
        assert isinstance(error, UnexpectedToken)
        token = error.token
        start, end = _whole_word(line.text, token)
        accepted = expected.accepted_behind(line.text[:start], rule)
        said = expected.in_words(accepted)
        span = Span(self.source, line.start + start, line.start + end)
        if token.type == "$END":
            return faults.unfinished(span, said)
        if span.text in RESERVED and "NAME" in accepted:
            return faults.reserved_word(span)
        if rule != OPENER and not line.text[:start].strip():
            begins = tuple(sorted(_beginnings(rule)))
            kind = next(k for k, r in BODIES.items() if r == rule)
            return faults.no_such_line(span, kind, nearest(span.text, begins), expected.begin_words(begins))
        return faults.unexpected(span, said)

    # ---------------------------------------------------------------- spans

    def _first_span(self, line: _LogicalLine) -> Span:
        indent = len(line.text) - len(line.text.lstrip())
        match = _FIRST_WORD.match(line.text, indent)
        assert match is not None
        return Span(self.source, line.start + indent, line.start + match.end())

    def _whole_span(self, line: _LogicalLine) -> Span:
        indent = len(line.text) - len(line.text.lstrip())
        return Span(self.source, line.start + indent, line.start + len(line.text))


def read_blocks(source: Source) -> BlocksRead:
    """Read one file into blocks; takes a Source, gives its blocks and every fault of their shape."""
    return _FileReader(source).read()


def parses(text: str, rule: str) -> bool:
    """Say whether a line parses with a start rule."""
    try:
        line_parser().parse(text, start=rule)
    except UnexpectedInput:
        return False
    return True


@cache
def _beginnings(rule: str) -> frozenset[str]:
    return expected.beginnings(rule)


def _first_word(text: str) -> str:
    match = _FIRST_WORD.match(text.lstrip())
    word = match.group() if match else ""
    return "DATE" if word[:1].isdigit() and "-" in word else word


def _whole_word(text: str, token: Token) -> tuple[int, int]:
    """Return the place of a token, with all of the word that it was cut from; a unit is a word of its own."""
    if token.type == "$END":
        return len(text), len(text)
    start, end = token.start_pos or 0, token.end_pos or 0
    for run in _WORD_RUN.finditer(text):
        is_unit = run.start() < start and run.group()[0].isdigit()
        if run.start() <= start < run.end() and not is_unit:
            return run.start(), max(end, run.end())
    return start, end


def _node(tree: Tree[Token], source: Source, offset: int, place: mistakes.Place | None) -> Node:
    """Copy lark's tree into frozen nodes with spans of the file.

    `place` tells where a mended line's offsets lie in the line as typed.
    """

    def span(start: int, end: int) -> Span:
        if place is not None:
            start, end = place(start), place(end)
        return Span(source, offset + start, offset + max(start, end))

    def copy(part: Tree[Token] | Token) -> Node | Word:
        if isinstance(part, Token):
            assert part.start_pos is not None
            assert part.end_pos is not None
            return Word(part.type, str(part), span(part.start_pos, part.end_pos))
        children = tuple(copy(child) for child in part.children)
        return Node(str(part.data), span(part.meta.start_pos, part.meta.end_pos), children)

    copied = copy(tree)
    assert isinstance(copied, Node)
    return copied
