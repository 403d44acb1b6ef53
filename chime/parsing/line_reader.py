"""One logical line to a node, or to the faults that say why it is none.

A line that does not parse is first held against what people are known to type (chime.parsing.mistakes);
if that explains it, the line is read as it was meant and the fault stays.
"""

import re
from collections.abc import Iterator
from functools import cache

from lark import Token, Tree, UnexpectedInput
from lark.exceptions import UnexpectedToken

from chime.diagnostics import Diagnostic, Source, Span
from chime.diagnostics.suggest import nearest
from chime.parsing import expected, faults, mistakes
from chime.parsing.grammar import BODIES, OPENER, line_parser
from chime.parsing.tree import Node, Word
from chime.parsing.words import RESERVED
from chime.records import NamedTuple

_IN_WORDS = r"(?:[\w-]|[^\x00-\xbf\s\u2000-\u206f])*"
_FIRST_WORD = re.compile(rf"\d{{4}}-\d\d-\d\d|[^\W\d_]{_IN_WORDS}|\S")

# A word with whatever was glued to it, after a space or a comma.
_WORD_RUN = re.compile(rf"(?<![^\s,])[\w-]{_IN_WORDS}")

# Most labels hold a letter or a sign that anybody can see; of the others each character is looked at.
_MAY_BE_EMPTY = re.compile(r'"[^\w!#-~]*"')


class LineRead(NamedTuple):
    """What was read of a line: its node, None where it could not be read, and its faults.

    `guessed` are the stretches that were read by a guess; `lacks_name` says that the line opens a block
    and the block's name was left out.
    """

    node: Node | None
    diagnostics: tuple[Diagnostic, ...] = ()
    guessed: tuple[Span, ...] = ()
    lacks_name: bool = False


class Line(NamedTuple):
    """A logical line: its text, blanks in place of what is not said, and the offset at which it begins."""

    source: Source
    text: str
    start: int

    def span(self, start: int, end: int) -> Span:
        """Return the place of a stretch of the text."""
        return Span(self.source, self.start + start, self.start + end)

    @property
    def indent(self) -> int:
        """The number of characters before the first word."""
        return len(self.text) - len(self.text.lstrip())

    @property
    def first_span(self) -> Span:
        """The place of the first word."""
        match = _FIRST_WORD.match(self.text, self.indent)
        assert match is not None
        return self.span(self.indent, match.end())

    @property
    def whole_span(self) -> Span:
        """The place of all that the line says."""
        return self.span(self.indent, len(self.text))


def read_line(line: Line, rule: str) -> LineRead:
    """Read a line with a start rule; where it does not parse, say why, and read it as meant if clear."""
    try:
        tree = line_parser().parse(line.text, start=rule)
    except UnexpectedInput as error:
        return _explained(line, rule, error)
    return _with_labels(line, rule, LineRead(_node(tree, line, None)))


def read_quietly(line: Line, rule: str) -> Node | None:
    """Read a line of which a fault is known already."""
    try:
        return _node(line_parser().parse(line.text, start=rule), line, None)
    except UnexpectedInput:
        return None


def parses(text: str, rule: str) -> bool:
    """Say whether a line parses with a start rule."""
    try:
        line_parser().parse(text, start=rule)
    except UnexpectedInput:
        return False
    return True


def reach(text: str, rule: str) -> int:
    """Return how far a line makes sense with a start rule: one more than its length if all of it does."""
    try:
        line_parser().parse(text, start=rule)
    except UnexpectedToken as error:
        return len(text) if error.token.type == "$END" else error.token.start_pos or 0
    return len(text) + 1


@cache
def beginnings(rule: str) -> frozenset[str]:
    """Return the words that begin a line of a start rule, and DATE where a date can."""
    return expected.beginnings(rule)


def first_word(text: str) -> str:
    """Return the word that a line begins with, DATE for a date, or the sign."""
    match = _FIRST_WORD.match(text.lstrip())
    word = match.group() if match else ""
    return "DATE" if word[:1].isdigit() and "-" in word else word


# ---------------------------------------------------------------------- what is wrong


def _explained(line: Line, rule: str, error: UnexpectedInput) -> LineRead:
    mended = mistakes.explain(line.text, rule, parses, line.source.text)
    if mended is None:
        return LineRead(None, (_generic(line, rule, error),))
    found = tuple(mistakes.diagnostic(r, line.source, line.start) for r in mended.repairs)
    if mended.text is None:
        lacks_name = any(mistakes.is_nameless(repair, line.indent) for repair in mended.repairs)
        return LineRead(None, found, lacks_name=lacks_name)
    tree = line_parser().parse(mended.text, start=rule)
    guessed = tuple(line.span(*place) for repair in mended.repairs for place in mistakes.guessed(repair))
    return _with_labels(line, rule, LineRead(_node(tree, line, mended.place), found, guessed))


def _with_labels(line: Line, rule: str, read: LineRead) -> LineRead:
    """Add the fault of a label with nothing in it; a line that is no header is then not read."""
    if read.node is None or not _MAY_BE_EMPTY.search(line.text):
        return read
    empty = [word for word in _strings(read.node) if not _is_seen(word.text[1:-1])]
    if not empty:
        return read
    found = (*read.diagnostics, *(faults.empty_label(word.span) for word in empty))
    is_kept = rule == OPENER and read.node.rule != "use"
    return read._replace(node=read.node if is_kept else None, diagnostics=found)


def _strings(node: Node) -> Iterator[Word]:
    for child in node.children:
        if isinstance(child, Node):
            yield from _strings(child)
        elif child.kind == "STRING":
            yield child


def _is_seen(text: str) -> bool:
    return any(letter.isprintable() and not letter.isspace() for letter in text)


def _generic(line: Line, rule: str, error: UnexpectedInput) -> Diagnostic:
    assert isinstance(error, UnexpectedToken)
    token = error.token
    start, end = _whole_word(line.text, token)
    accepted = expected.accepted_behind(line.text[:start], rule)
    said = expected.in_words(accepted, mistakes.usual_unit(line.text[:start]) if "U_S" in accepted else None)
    span = line.span(start, end)
    if token.type == "$END":
        return faults.unfinished(span, said)
    if span.text in RESERVED and "NAME" in accepted:
        return faults.reserved_word(span)
    if rule != OPENER and not line.text[:start].strip():
        begins = tuple(sorted(beginnings(rule)))
        kind = next(k for k, r in BODIES.items() if r == rule)
        return faults.no_such_line(span, kind, nearest(span.text, begins), expected.begin_words(begins))
    return faults.unexpected(span, said)


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


# ---------------------------------------------------------------------------- the node


def _node(tree: Tree[Token], line: Line, place: mistakes.Place | None) -> Node:
    """Copy lark's tree into frozen nodes with spans of the file.

    `place` tells where a mended line's offsets lie in the line as typed.
    """

    def span(start: int, end: int) -> Span:
        if place is not None:
            start, end = place(start), place(end)
        return line.span(start, max(start, end))

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
