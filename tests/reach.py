"""Which alternatives of the grammar a set of lines reaches.

A compiled rule of the grammar is one way to write a line or a part of it. `a? b? c?` alone makes eight,
and nobody wants eight machines to see three optional parts; so what is counted is smaller: each
alternative that has a name, and in it each part once written and, where it may be left out, once left out.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from contextlib import contextmanager
from typing import Any, Iterator, NamedTuple

import pytest
from lark import Lark
from lark.grammar import Rule

from chime.diagnostics import Source
from chime.parsing.grammar import OPENER, line_parser
from chime.parsing.parser import read_blocks


class Part(NamedTuple):
    """A part of an alternative, written or left out."""

    rule: str
    alternative: str
    symbol: str
    written: bool

    def __str__(self) -> str:
        how = "written" if self.written else "left out"
        name = self.rule if self.alternative == self.rule else f"{self.rule} -> {self.alternative}"
        return f"{name}: {self.symbol} {how}"


def _alternative_of(rule: Rule) -> tuple[str, str]:
    origin = str(rule.origin.name)
    return origin, rule.alias or origin


def _symbols_of(rule: Rule) -> frozenset[str]:
    """The symbols of a rule; a list's rule for itself (`a, b` and again) is no part of what is written."""
    return frozenset(symbol.name for symbol in rule.expansion if symbol != rule.origin)


def parts_of(rules: Iterable[Rule]) -> frozenset[Part]:
    """Every part of every alternative, written and where it may be left out left out."""
    ways: dict[tuple[str, str], set[frozenset[str]]] = defaultdict(set)
    for rule in rules:
        ways[_alternative_of(rule)].add(_symbols_of(rule))
    found: set[Part] = set()
    for alternative, symbols in ways.items():
        found |= {Part(*alternative, symbol, True) for way in symbols for symbol in way}
        found |= {Part(*alternative, s, False) for one in symbols for other in symbols for s in one - other}
    return frozenset(found)


class Reader:
    """A line parser that notes which rules it reduces; stands in for lark's own in `read_blocks`."""

    def __init__(self, parser: Lark) -> None:
        self.parser = parser
        self.rules: set[Rule] = set()

    def parse(self, text: str, start: str = OPENER) -> Any:
        """Parse a line as the parser does, and note the rules."""
        interactive = self.parser.parse_interactive(text, start=start)
        conf = interactive.parser_state.parse_conf
        conf.callbacks = {rule: self._noting(rule, call) for rule, call in conf.callbacks.items()}
        return interactive.resume_parse()

    def _noting(self, rule: Rule, call: Callable[[Any], Any]) -> Callable[[Any], Any]:
        def noted(children: Any) -> Any:
            self.rules.add(rule)
            return call(children)

        return noted

    def parts(self) -> frozenset[Part]:
        """The parts that the parsed lines wrote and left out."""
        possible = parts_of(self.parser.rules)
        of_alternative: dict[tuple[str, str], set[Part]] = defaultdict(set)
        for part in possible:
            of_alternative[part.rule, part.alternative].add(part)
        return frozenset(
            part
            for rule in self.rules
            for part in of_alternative[_alternative_of(rule)]
            if (part.symbol in _symbols_of(rule)) == part.written
        )
