"""A typed line in a file of its own kind, and its faults."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from chime.diagnostics import Certainty, Diagnostic, Source
from chime.parsing.parser import BlocksRead, read_blocks
from chime.parsing.tree import Node, Word

OPENERS = {
    "programme": 'programme "Saltmarsh School"',
    "timetable": "timetable normal in main",
    "week": "week ordinary",
    "cycle": "cycle six on Mon to Fri",
    "term": 'term "Spring" 2027-01-05 to 2027-03-25',
    "exceptions": "exceptions",
    "zone": "zone main on track 1",
    "line": "line dials fed by clock-supply",
    "machine": "machine hall",
}


BEFORE = 'programme "Saltmarsh School"\n  place Europe/London\nterm "Autumn" 2026-09-07 to 2026-12-18\n'


class Typed(NamedTuple):
    """A typed line, the code of its fault, and its offers: how sure, and the line each leads to."""

    block: str
    line: str
    code: str
    offers: tuple[tuple[Certainty, str], ...] = ()

    @property
    def text(self) -> str:
        return re.sub(r"[\[\]]", "", self.line)


def row(block: str, line: str, code: str, *offers: tuple[Certainty, str]) -> Typed:
    return Typed(block, line, code, offers)


def sure(line: str) -> tuple[Certainty, str]:
    return ("sure", line)


def guess(line: str) -> tuple[Certainty, str]:
    return ("guess", line)


def in_file(block: str, line: str) -> Source:
    """A file whose last line is the given one."""
    if block == "opener":
        return Source("typed.chime", BEFORE + line)
    return Source("typed.chime", f"{BEFORE}{OPENERS[block]}\n  {line}")


def last_line(block: str, text: str) -> str:
    """What stands in a file at the place of the typed line."""
    return text.removeprefix(in_file(block, "").text)


def faults_in(block: str, line: str) -> tuple[Diagnostic, ...]:
    return read_blocks(in_file(block, line)).diagnostics


def fault_in(typed: Typed) -> Diagnostic:
    found = faults_in(typed.block, typed.text)
    assert len(found) == 1, [f"{fault.code.id} {fault.headline}" for fault in found]
    return found[0]


def words_in(node: Node) -> Iterator[Word]:
    for child in node.children:
        if isinstance(child, Word):
            yield child
        else:
            yield from words_in(child)


def last_node(read: BlocksRead, block: str) -> Node:
    last = read.blocks[-1]
    node = last.header if block == "opener" else last.lines[-1]
    assert node is not None
    return node
