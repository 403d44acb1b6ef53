"""Which alternatives of the grammar a set of lines reaches.

A compiled rule of the grammar is one way to write a line or a part of it. `a? b? c?` alone makes eight,
and nobody wants eight machines to see three optional parts; so what is counted is smaller: each
alternative that has a name, and in it each part once written and, where it may be left out, once left out.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from typing import Any, NamedTuple

import pytest
from lark import Lark
from lark.grammar import Rule

from chime.diagnostics import Source
from chime.parsing.grammar import OPENER
from chime.parsing.parser import read_blocks

Alternative = tuple[str, str]


class Part(NamedTuple):
    """A part of an alternative, written or left out."""

    rule: str
    alternative: str
    symbol: str
    is_written: bool

    def __str__(self) -> str:
        name = self.rule if self.alternative == self.rule else f"{self.rule} -> {self.alternative}"
        return f"{name}: {self.symbol} {'written' if self.is_written else 'left out'}"


def alternative_of(rule: Rule) -> Alternative:
    """The rule's name and the name of the node that it makes."""
    origin = str(rule.origin.name)
    return origin, rule.alias or origin


def symbols_by_rule(rules: Iterable[Rule]) -> dict[Rule, frozenset[str]]:
    """The symbols of each rule; one that an alternative may have twice is told by what stands before it.

    A list's rule for itself (`a, b` and again) is no part of what is written.
    """
    names = {rule: [s.name for s in rule.expansion if s != rule.origin] for rule in rules}
    twice: dict[Alternative, set[str]] = defaultdict(set)
    for rule, found in names.items():
        twice[alternative_of(rule)] |= {name for name in found if found.count(name) > 1}
    return {
        rule: frozenset(
            f"{name} after {before}" if name in twice[alternative_of(rule)] else name
            for before, name in zip(["nothing", *found], found, strict=False)
        )
        for rule, found in names.items()
    }


def parts_of(rules: Iterable[Rule]) -> frozenset[Part]:
    """Every part of every alternative, written, and left out where it may be."""
    ways: dict[Alternative, set[frozenset[str]]] = defaultdict(set)
    for rule, symbols in symbols_by_rule(rules).items():
        ways[alternative_of(rule)].add(symbols)
    found: set[Part] = set()
    for alternative, symbols_of_ways in ways.items():
        every = frozenset().union(*symbols_of_ways)
        for symbols in symbols_of_ways:
            found |= {Part(*alternative, symbol, symbol in symbols) for symbol in every}
    return frozenset(found)


class NotingParser:
    """A line parser that notes which rules it reduces; stands in for lark's own in `read_blocks`."""

    def __init__(self, parser: Lark) -> None:
        self.parser = parser
        self.rules: set[Rule] = set()

    def parse(self, text: str, start: str = OPENER) -> Any:
        interactive: Any = self.parser.parse_interactive(text, start=start)
        conf = interactive.parser_state.parse_conf
        conf.callbacks = {rule: self._noting(rule, call) for rule, call in conf.callbacks.items()}
        return interactive.resume_parse()

    def _noting(self, rule: Rule, call: Callable[[Any], Any]) -> Callable[[Any], Any]:
        def noted(children: Any) -> Any:
            self.rules.add(rule)
            return call(children)

        return noted

    def reached(self) -> frozenset[Part]:
        """The parts that the parsed lines wrote, and those that they left out."""
        symbols = symbols_by_rule(self.parser.rules)
        return frozenset(
            part
            for part in parts_of(self.parser.rules)
            for rule in self.rules
            if alternative_of(rule) == part[:2] and (part.symbol in symbols[rule]) == part.is_written
        )


def read_noting(texts: Iterable[tuple[str, str]], parser: Lark) -> NotingParser:
    """Read texts, each with its file's name, none of which may have a line that cannot be read."""
    noting = NotingParser(parser)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("chime.parsing.line_reader.line_parser", lambda: noting)
        for name, text in texts:
            found = read_blocks(Source(name, text)).diagnostics
            assert not found, f"{name}: {found[0].headline}"
    return noting
