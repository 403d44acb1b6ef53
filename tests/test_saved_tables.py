"""The parser's saved tables: used if they are whole and fit, else built anew, and never a reason to fail."""

from collections.abc import Iterator
from pathlib import Path

import lark
import pytest

from chime.diagnostics import Source
from chime.parsing import grammar
from chime.parsing.parser import read_blocks
from chime.parsing.tree import Node, Word

TEXT = grammar.grammar_text()
FRESH = grammar.build(TEXT)
SAVED = grammar.saved_tables(TEXT)
FIRST, _, TABLES = SAVED.partition(b"\n")

PROGRAMME = (Path(__file__).resolve().parent.parent / "programmes" / "guest-house.chime").read_text(
    encoding="utf-8"
) + "timetable late like\n  ring 8:20 bell\n"
"""Sound lines and two that have a fault each."""

UNFIT = {
    "nothing": b"",
    "no first line": TABLES,
    "another lark": SAVED.replace(b"lark ", b"lark 0.", 1),
    "another grammar": SAVED.replace(b"grammar ", b"grammar 0", 1),
    "another digest of the tables": SAVED.replace(b" tables ", b" tables 0", 1),
    "an older first line": b"lark %b grammar 0\n" % lark.__version__.encode() + TABLES,
    "cut off in the first line": SAVED[:20],
    "cut off behind the first line": FIRST + b"\n",
    "cut off in the tables": SAVED[:-100],
    "one byte changed": SAVED[:-50] + bytes([SAVED[-50] ^ 1]) + SAVED[-49:],
    "something behind": SAVED + b"\n",
    "garbage": b"\x80\x04garbage\n" * 50,
    "garbage behind a first line that fits": grammar.stamp(TEXT, b"garbage") + b"garbage",
    "a text behind a first line that fits": grammar.stamp(TEXT, b"\x80\x04X\x01\x00\x00\x00a.")
    + b"\x80\x04X\x01\x00\x00\x00a.",
}


def shape(part: Node | Word) -> object:
    """A node or a word with its places, and without its source, which is another each time."""
    if isinstance(part, Word):
        return part.kind, part.text, part.span[1:]
    return part.rule, part.span[1:], tuple(shape(child) for child in part.children)


def read_with(parser: lark.Lark, monkeypatch: pytest.MonkeyPatch) -> object:
    """Everything that is read of a programme with a parser."""
    for module in ("line_reader", "expected", "typed_spot", "typed_search"):
        monkeypatch.setattr(f"chime.parsing.{module}.line_parser", lambda: parser)
    read = read_blocks(Source("a.chime", PROGRAMME))
    blocks = [
        (block.kind, block.header and shape(block.header), [shape(line) for line in block.lines])
        for block in read.blocks
    ]
    return blocks, [(fault.code.id, fault.headline, fault.why) for fault in read.diagnostics]


@pytest.fixture
def tables(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A place for the tables of this test alone, and no parser from before."""
    place = tmp_path / "grammar.tables"
    monkeypatch.setattr(grammar, "TABLES", str(place))
    grammar.line_parser.cache_clear()
    yield place
    grammar.line_parser.cache_clear()


def is_built(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Note each time that the parser is built from the grammar."""
    built: list[str] = []
    build = grammar.build

    def noted(text: str, *, strict: bool = False) -> lark.Lark:
        built.append(text)
        return build(text, strict=strict)

    monkeypatch.setattr(grammar, "build", noted)
    return built


def test_whole_tables_that_fit_are_loaded_and_nothing_is_built(
    tables: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tables.write_bytes(SAVED)
    built = is_built(monkeypatch)
    assert read_with(grammar.line_parser(), monkeypatch) == read_with(FRESH, monkeypatch)
    assert built == []


@pytest.mark.parametrize("content", UNFIT.values(), ids=UNFIT)
def test_tables_that_do_not_fit_are_built_anew(
    content: bytes, tables: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    tables.write_bytes(content)
    built = is_built(monkeypatch)
    parser = grammar.line_parser()
    assert built == [TEXT]
    assert read_with(parser, monkeypatch) == read_with(FRESH, monkeypatch)
    assert tables.read_bytes() == content


def test_without_tables_the_parser_is_built(tables: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert not tables.exists()
    built = is_built(monkeypatch)
    assert grammar.line_parser().parse("zone court on track 1", start="opener").data == "zone"
    assert built == [TEXT]


def test_tables_that_cannot_be_read_are_built_anew(tables: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    tables.mkdir()
    built = is_built(monkeypatch)
    assert grammar.line_parser().parse("zone court on track 1", start="opener").data == "zone"
    assert built == [TEXT]


def test_tables_of_another_grammar_are_not_used_for_this_one() -> None:
    other = TEXT.replace('"zone" name', '"zonal" name', 1)
    assert other != TEXT
    assert grammar.load(grammar.saved_tables(other), TEXT) is None
    assert grammar.load(grammar.saved_tables(other), other) is not None
