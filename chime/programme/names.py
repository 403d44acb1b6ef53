"""Who declared what, and resolving a name where it is used.

A name that cannot be found is complained of once at each place and then simply left out: nothing
that depends on it is complained of.
"""

import re
from collections import Counter

from chime.diagnostics import Diagnostic, Span
from chime.diagnostics.suggest import nearest
from chime.parsing.tree import Block, Document, Node
from chime.programme import name_faults as faults
from chime.programme.alike import folded, one_form
from chime.records import NamedTuple

_NAMED = {
    "zone": "zone", "group": "zone", "signal": "signal", "timetable": "timetable", "week": "week",
    "cycle": "cycle", "machine": "machine", "supply": "supply", "line": "line", "term": "term",
    "audience": "audience",
}  # fmt: skip
"""The kinds of blocks that have a name, and whose names each shares."""

_WORD = re.compile(r'[^\s,"]+')


class Declared(NamedTuple):
    """A block that declares a name, and the span of the name; a twin would be taken for an earlier block."""

    name: str
    kind: str
    block: Block
    span: Span
    is_twin: bool


class Names:
    """The names of a document and the faults found while they are resolved."""

    def __init__(self, document: Document) -> None:
        self.diagnostics: list[Diagnostic] = []
        self.is_whole = document.is_whole
        self.blocks = Counter(block.kind for block in document.blocks)
        """How many blocks of each kind there are, also those whose name could not be read."""
        self.spaces: dict[str, dict[str, Declared]] = {space: {} for space in _NAMED.values()}
        self.used: set[tuple[str, str]] = set()
        self._half_read: set[str] = set()
        self._nameless: set[str] = set()
        """Kinds of which a block has no name: any name that is not found may be its own."""
        self._folded: dict[tuple[str, str], Declared] = {}
        self._groups: dict[str, tuple[str, ...]] = {}
        self._known: dict[str, frozenset[str]] = {}
        for block in document.blocks:
            self._declare(block)
        self.everywhere = tuple(sorted(n for n, d in self.spaces["zone"].items() if d.kind == "zone"))

    # ------------------------------------------------------------ declaring

    def _declare(self, block: Block) -> None:
        space = _NAMED.get(block.kind)
        if space is None:
            return
        if block.header is None:
            self._half_read.update(_WORD.findall(block.span.text))
            if block.lacks_name:
                self._nameless.add(space)
            return
        named = block.header.node("name")
        word = named.words()[0] if named else block.header.word("STRING")
        name = as_name(word.text)
        first = self._folded.get((space, folded(name)))
        declared = Declared(name, block.kind, block, word.span, first is not None)
        self._folded.setdefault((space, folded(name)), declared)
        # A second machine is a fault whatever it is called.
        if first is not None and block.kind != "machine":
            self.diagnostics.append(faults.said_twice(block.kind, word.span, first.kind, first.span))
        self.spaces[space].setdefault(name, declared)

    def declared(self, kind: str) -> list[Declared]:
        """Return the blocks of a kind, in the order of their names."""
        found = self.spaces[_NAMED[kind]].values()
        return sorted((d for d in found if d.kind == kind), key=lambda d: d.name)

    # ------------------------------------------------------------ resolving

    def resolve(self, space: str, node: Node) -> str | None:
        """Return the name in a `name` node if it is declared, else None with a fault."""
        name = as_name(node.words()[0].text)
        if name in self.spaces[space]:
            self.used.add((space, name))
            return name
        if self.is_whole and name not in self._half_read and space not in self._nameless:
            if space not in self._known:
                self._known[space] = frozenset(self.spaces[space])
            near = nearest(name, self._known[space])
            declared = [self.spaces[space][n].span for n in near]
            self.diagnostics.append(faults.unknown(space, node.span, near, declared))
        return None

    def zones_in(self, node: Node) -> tuple[str, ...]:
        """Return the zones of an `in_zones`, `everywhere` or `zone_list` node, in order of name.

        Groups become their zones.
        """
        if node.rule == "everywhere":
            self.used.update(("zone", zone) for zone in self.everywhere)
            return self.everywhere
        if node.rule == "in_zones":
            inner = node.node()
            assert inner is not None
            return self.zones_in(inner)
        found: set[str] = set()
        for name in node.nodes("name"):
            resolved = self.resolve("zone", name)
            if resolved is not None:
                found.update(self._zones_of(resolved))
        return tuple(sorted(found))

    def _zones_of(self, name: str) -> tuple[str, ...]:
        declared = self.spaces["zone"][name]
        if declared.kind == "zone":
            return (name,)
        if name not in self._groups:
            self._groups[name] = ()  # a group inside itself ends here
            header = declared.block.header
            assert header is not None
            listed = header.node("zones_named", "everywhere")
            assert listed is not None
            self._groups[name] = self._members(listed)
            self.used.update(("zone", zone) for zone in self._groups[name])
        return self._groups[name]

    def _members(self, listed: Node) -> tuple[str, ...]:
        if listed.rule == "everywhere":
            return self.everywhere
        found: set[str] = set()
        for name in listed.nodes("name"):
            inner = as_name(name.words()[0].text)
            declared = self.spaces["zone"].get(inner)
            if declared is not None and declared.kind == "group":
                self.diagnostics.append(faults.group_in_group(name.span, declared.span))
            elif self.resolve("zone", name) is not None:
                found.add(inner)
        return tuple(sorted(found))

    def group_zones(self, declared: Declared) -> tuple[str, ...]:
        """Return the zones of a declared group."""
        return self._zones_of(declared.name)


def as_name(text: str) -> str:
    """Return a name or label as it is compared: one form for letters with marks, quotes taken away."""
    return one_form(text.strip('"'))
