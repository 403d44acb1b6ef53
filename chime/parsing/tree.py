"""The syntax tree: blocks of lines, each line a node named after its rule in the grammar."""

from collections.abc import Iterator
from typing import Union

from chime.diagnostics import Source, Span
from chime.records import NamedTuple


class Word(NamedTuple):
    """A word or value of a line; `kind` is its terminal in the grammar."""

    kind: str
    text: str
    span: Span


class Node(NamedTuple):
    """A rule of the grammar as found in a line. Keywords are left out of `children`."""

    rule: str
    span: Span
    children: tuple[Union["Node", Word], ...]

    def nodes(self, *rules: str) -> Iterator["Node"]:
        """Yield the child nodes of some rules, or of any rule, in order."""
        for child in self.children:
            if isinstance(child, Node) and (not rules or child.rule in rules):
                yield child

    def node(self, *rules: str) -> "Node | None":
        """Return the first child node of some rules, or None."""
        return next(self.nodes(*rules), None)

    def words(self, *kinds: str) -> tuple[Word, ...]:
        """Return the child words of some kinds, or of any kind, in order."""
        return tuple(c for c in self.children if isinstance(c, Word) and (not kinds or c.kind in kinds))

    def word(self, *kinds: str) -> Word:
        """Return the first child word of some kinds; the grammar says that there is one."""
        return self.words(*kinds)[0]


class Block(NamedTuple):
    """A block: its kind, its opener (None where the opener could not be read), its lines.

    `unread` are the spans of its lines that could not be read, the opener's among them: nothing
    that may depend on them is complained of. `guessed` are the stretches of its lines that were read by a
    guess. A block whose name was left out `lacks_name`.
    """

    kind: str
    header: Node | None
    lines: tuple[Node, ...]
    unread: tuple[Span, ...]
    span: Span
    guessed: tuple[Span, ...] = ()
    lacks_name: bool = False

    @property
    def is_certain(self) -> bool:
        """Whether every line of the block was read, and none by a guess."""
        return not self.unread and not self.guessed


class Document(NamedTuple):
    """Every block of a programme and of the files it uses, file by file in the order of `use`.

    `is_whole` is False where a block's kind or a used file could not be read.
    """

    main: Source
    blocks: tuple[Block, ...]
    is_whole: bool
