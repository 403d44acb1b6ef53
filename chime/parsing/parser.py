"""Lines of a file to blocks of nodes.

Each logical line is parsed by itself with the start rule of its block, so every fault of a file is
found in one run.
"""

from collections.abc import Iterator

from chime.diagnostics import Diagnostic, Source, Span
from chime.diagnostics.suggest import nearest
from chime.parsing import faults, file_faults, mistakes
from chime.parsing.grammar import BODIES, OPENER
from chime.parsing.line_reader import (
    Line,
    LineRead,
    beginnings,
    first_word,
    parses,
    reach,
    read_line,
    read_quietly,
)
from chime.parsing.lines import CONTROL, LONE_CR, LONGEST_LINE, PhysicalLine, cut
from chime.parsing.tree import Block, Node
from chime.records import NamedTuple


class BlocksRead(NamedTuple):
    """The blocks of one file, its faults, and whether every block's kind could be told."""

    blocks: tuple[Block, ...]
    diagnostics: tuple[Diagnostic, ...]
    is_whole: bool


class _LogicalLine(NamedTuple):
    """A line with those that commas carry on to, and the first word of the next one if that is indented."""

    said: Line
    is_indented: bool
    next_word: str


class _OpenBlock:
    """A block while its lines are being read."""

    def __init__(self, kind: str, span: Span, read: LineRead) -> None:
        self.kind, self.span, self.header = kind, span, read.node
        self.lacks_name = read.lacks_name
        self.guessed = list(read.guessed)
        self.guest: str | None = None  # the kind of block whose lines stand here by mistake
        self.lines: list[Node] = []
        self.unread: list[Span] = [] if read.node else [span]

    def close(self) -> Block:
        lines, unread, guessed = tuple(self.lines), tuple(self.unread), tuple(self.guessed)
        return Block(self.kind, self.header, lines, unread, self.span, guessed, self.lacks_name)


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
            self.faults.append(file_faults.lone_cr(Span(self.source, found[0], found[0] + 1), len(found)))
        self.is_whole = not found
        return bool(found)

    def _note_control_characters(self) -> None:
        found = [m.start() for m in CONTROL.finditer(self.source.text)]
        if found:
            span = Span(self.source, found[0], found[0] + 1)
            self.faults.append(file_faults.control_character(span, len(found)))

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
            below = following.text if following is not None and following.is_indented else ""
            yield _LogicalLine(self._joined(parts), parts[0].is_indented, first_word(below))
            line = following

    def _begins_anew(self, parts: list[PhysicalLine], following: PhysicalLine) -> bool:
        kind = self._kind_of(parts[0])
        rule = BODIES.get(kind) if kind else None
        word = first_word(following.text)
        last = parts[-1]
        if rule is None or word not in beginnings(rule) or _goes_on(last.text[:-1], word):
            return False
        comma = last.start + len(last.text) - 1
        at = following.start + len(following.text) - len(following.text.lstrip())
        here = Span(self.source, at, following.start + len(following.text))
        self.faults.append(faults.dangling_comma(Span(self.source, comma, comma + 1), here))
        parts[-1] = last._replace(text=last.text[:-1].rstrip())
        return True

    def _kind_of(self, line: PhysicalLine) -> str | None:
        word = first_word(line.text)
        if not line.is_indented and word in faults.OPENERS:
            return word
        return self.blocks[-1].kind if self.blocks else None

    def _joined(self, parts: list[PhysicalLine]) -> Line:
        start, text = parts[0].start, parts[0].text
        for part in parts[1:]:
            text = text.ljust(part.start - start) + part.text
        return Line(self.source, text, start)

    # --------------------------------------------------------------- blocks

    def _take(self, line: _LogicalLine) -> None:
        if len(line.said.text) > LONGEST_LINE:
            self._refuse_long(line)
        elif line.is_indented:
            self._take_indented(line)
        else:
            self._take_in_column_one(line)

    def _refuse_long(self, line: _LogicalLine) -> None:
        span = line.said.span(0, 1)
        self.faults.append(file_faults.line_too_long(span, len(line.said.text)))
        if self.blocks and line.is_indented:
            self.blocks[-1].unread.append(span)
        else:
            self.is_whole, self.is_lost = False, True

    def _take_in_column_one(self, line: _LogicalLine) -> None:
        word = first_word(line.said.text)
        block = self.blocks[-1] if self.blocks and not self.is_lost else None
        rule = BODIES.get(block.kind) if block else None
        kind = word if word in faults.OPENERS else mistakes.opener_meant(word)
        can_be_body = rule is not None and (kind or word) in beginnings(rule)
        if kind is not None and not (can_be_body and rule and not _opens_block(line, rule)):
            self._open(line, kind)
        elif block and can_be_body:
            self.faults.append(faults.not_indented(line.said.first_span, block.kind))
            self._take_body(line, block)
        else:
            self._open_unknown(line, word)

    def _open(self, line: _LogicalLine, kind: str) -> None:
        read = read_line(line.said, OPENER)
        self.faults += read.diagnostics
        self.is_lost = False
        self.blocks.append(_OpenBlock(kind, line.said.whole_span, read))

    def _open_unknown(self, line: _LogicalLine, word: str) -> None:
        near = nearest(word, faults.OPENERS)
        self.faults.append(faults.no_such_block(line.said.first_span, near))
        if len(near) != 1:
            self.is_whole, self.is_lost = False, True
            return
        # Read on as the one kind that is near, so that its lines and its name cause no further faults.
        text, moved = line.said.text, len(word) - len(near[0])
        meant = near[0] + text[line.said.indent + len(word) :]
        node = read_quietly(Line(self.source, meant, line.said.start + moved), OPENER)
        self.is_lost = False
        self.blocks.append(_OpenBlock(near[0], line.said.whole_span, LineRead(node)))

    def _take_indented(self, line: _LogicalLine) -> None:
        if self.is_lost:
            return
        word = first_word(line.said.text)
        if not self.blocks:
            self._take_orphan(line, word)
            return
        block = self.blocks[-1]
        rule = BODIES.get(block.kind)
        can_be_body = rule is not None and word in beginnings(rule)
        if word in faults.OPENERS and not (can_be_body and rule and not _opens_block(line, rule)):
            self.faults.append(faults.indented_block(line.said.first_span))
            self._open(line, word)
        elif rule is None:
            self.faults.append(faults.block_has_no_lines(line.said.whole_span, block.kind))
        else:
            self._take_body(line, block)

    def _take_orphan(self, line: _LogicalLine, word: str) -> None:
        if word in faults.OPENERS:
            self.faults.append(faults.indented_block(line.said.first_span))
            self._open(line, word)
            return
        self.faults.append(faults.no_block(line.said.whole_span))
        self.is_whole, self.is_lost = False, True

    def _take_body(self, line: _LogicalLine, block: _OpenBlock) -> None:
        rule = BODIES[block.kind]
        if first_word(line.said.text) not in beginnings(rule) and self._belongs_elsewhere(line, block):
            block.unread.append(line.said.whole_span)
            return
        read = read_line(line.said, rule)
        self.faults += read.diagnostics
        block.guessed += read.guessed
        if read.node is None:
            block.unread.append(line.said.whole_span)
        else:
            block.lines.append(read.node)
            block.guest = None

    def _belongs_elsewhere(self, line: _LogicalLine, block: _OpenBlock) -> bool:
        """Say whether a line is one of another kind of block, and note that, or what is wrong with it.

        Of several that follow each other only the first is a fault: one line above them is missing.
        """
        if block.guest is not None and first_word(line.said.text) in beginnings(BODIES[block.guest]):
            self.faults += read_line(line.said, BODIES[block.guest]).diagnostics
            return True
        homes = [kind for kind, rule in BODIES.items() if parses(line.said.text, rule)]
        block.guest = homes[0] if len(homes) == 1 else None
        if block.guest is not None:
            span = line.said.first_span
            self.faults.append(faults.line_of_another(span, block.kind, block.guest))
        return block.guest is not None


def _goes_on(text: str, next_word: str) -> bool:
    """Say whether a list goes on in a next line that begins with a date or a weekday, as a line may do too.

    It does if a date or a weekday stands before the comma: `Mon,` and below it `Tue normal`.
    """
    if next_word != "DATE" and not mistakes.is_weekday(next_word):
        return False
    last = text.split()[-1:]
    return bool(last) and (first_word(last[0]) == "DATE" or mistakes.is_weekday(last[0].rpartition(",")[2]))


def _opens_block(line: _LogicalLine, rule: str) -> bool:
    """Say whether a line that begins with `week` or `cycle` opens a block or is a term's line.

    What follows the word tells. If it says too little for either, it is what its column says; else it opens
    a block if lines stand below that are none of the term.
    """
    as_opener, as_body = reach(line.said.text, OPENER), reach(line.said.text, rule)
    if as_opener != as_body:
        return as_opener > as_body
    if as_opener == len(line.said.text):
        return not line.is_indented
    return line.next_word != "" and line.next_word not in beginnings(rule)


def read_blocks(source: Source) -> BlocksRead:
    """Read one file into blocks; takes a Source, gives its blocks and every fault of their shape."""
    return _FileReader(source).read()
