"""The shipped programmes reach all of the grammar, and every value in them reaches the checked programme."""

import datetime
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from lark import Lark
from lark.exceptions import GrammarError

from chime.compiler import Checked, check
from chime.diagnostics import Source, is_error
from chime.file_access import ReadFile, Unreadable
from chime.parsing import grammar, parse
from chime.parsing.grammar import line_parser
from chime.parsing.parser import read_blocks
from chime.parsing.tidy import tidy
from chime.parsing.tree import Node, Word
from chime.parsing.words import RESERVED
from chime.programme.build import build
from chime.programme.values import UNITS
from chime.verify.fingerprint import canonical
from tests.compiling import checked, said
from tests.reach import parts_of, read_noting

PROGRAMMES = Path(__file__).resolve().parent.parent / "programmes"
FILES = {path.relative_to(PROGRAMMES).as_posix(): path for path in sorted(PROGRAMMES.rglob("*.*"))}
SHIPPED = {name: path.read_bytes() for name, path in FILES.items()}
TEXTS = {name: content.decode() for name, content in SHIPPED.items() if name.endswith(".chime")}
MAINS = [name for name, text in TEXTS.items() if "\nprogramme " in f"\n{text}"]

EXPECTED_WARNINGS = {"N399"}
"""What the shipped programmes may be warned of: what they say of supplies and costs is not checked yet."""


def read_from(files: dict[str, bytes], folder: str) -> ReadFile:
    """A reader of files beside a programme in a folder."""
    return lambda path: files.get(f"{folder}/{path}" if folder else path, Unreadable("no such file"))


# --------------------------------------------------------------------- all of the grammar


def test_the_shipped_programmes_reach_every_alternative_of_the_grammar() -> None:
    noting = read_noting(TEXTS.items(), line_parser())
    missed = parts_of(line_parser().rules) - noting.reached()
    assert sorted(map(str, missed)) == []


def test_the_shipped_programmes_use_every_word_of_the_grammar() -> None:
    noting = read_noting(TEXTS.items(), line_parser())
    used = {symbol.name for rule in noting.rules for symbol in rule.expansion if symbol.is_term}
    defined = {terminal.name for terminal in line_parser().terminals}
    assert sorted(defined - used) == ["__IGNORE_0"]  # the spaces between words


@pytest.mark.parametrize(
    ("old", "new", "missed"),
    [
        ('| "friction" ', '| "drum" -> drum_line | "friction" ', "machine_line -> drum_line: DRUM written"),
        ('"row" quantity ', '"row" quantity within? ', "machine_line -> row_line: within written"),
        ('U_OHM: "ohm"', 'U_OHM: "ohm"\nU_KM: "km"', "unit: U_KM written"),
    ],
)
def test_an_alternative_that_no_programme_uses_is_named(old: str, new: str, missed: str) -> None:
    text = grammar.grammar_text().replace(old, new, 1)
    if missed.startswith("unit"):
        text = text.replace("| U_OHM\n", "| U_OHM | U_KM\n", 1)
    parser = grammar.build(text)
    noting = read_noting(TEXTS.items(), parser)
    assert missed in set(map(str, parts_of(parser.rules) - noting.reached()))


@pytest.mark.parametrize("main", MAINS)
def test_a_shipped_programme_is_sound(main: str) -> None:
    found = checked_beside(main)
    assert not is_error(found.diagnostics), said(found.diagnostics)
    assert {d.code.id for d in found.diagnostics} <= EXPECTED_WARNINGS, said(found.diagnostics)
    assert found.calendar is not None
    assert found.calendar.rings


@pytest.mark.parametrize("file", sorted(TEXTS))
def test_a_shipped_file_is_tidy(file: str) -> None:
    is_tidy = tidy(Source(file, TEXTS[file])) == TEXTS[file]
    assert is_tidy == (file != "bench/chapel.chime")  # which says of itself that it was left as it was typed


def checked_beside(main: str) -> Checked:
    return check(main.rpartition("/")[2], SHIPPED[main], read_from(SHIPPED, main.rpartition("/")[0]))


# ------------------------------------------------------------- every value reaches the model


class Value(NamedTuple):
    """A value or name that is written in a shipped file, and other words in its place."""

    file: str
    line: int
    start: int
    end: int
    others: tuple[str, ...]


def words_of(node: Node) -> Iterator[Word]:
    for child in node.children:
        if isinstance(child, Word):
            yield child
        else:
            yield from words_of(child)


def lines_of(file: str) -> Iterator[Node]:
    for block in read_blocks(Source(file, TEXTS[file])).blocks:
        yield from (block.header, *block.lines) if block.header else block.lines


def user_of(file: str) -> str:
    """A programme that uses a shipped file, or is it."""
    return next(m for m in MAINS if m == file or f'"{file.removeprefix("bench/")}"' in TEXTS[m])


@cache
def declared(main: str) -> dict[str, set[str]]:
    """The names of a programme and the files it uses, by kind; zones and groups share theirs."""
    found: dict[str, set[str]] = defaultdict(set)
    parsed = parse(main.rpartition("/")[2], SHIPPED[main], read_from(SHIPPED, main.rpartition("/")[0]))
    for block in parsed.document.blocks:
        name = block.header.node("name") if block.header else None
        if name is not None:
            found["zone" if block.kind == "group" else block.kind].add(name.span.text)
    return found


def others(word: Word, main: str) -> tuple[str, ...]:
    """Other words of the same kind: what somebody might have written by a slip."""
    text = word.text
    if word.kind == "NUMBER":
        return (text[:-1] + str((int(text[-1]) + 1) % 10),)
    if word.kind == "TIME":
        return (f"{text[:4]}{(int(text[4]) + 1) % 10}{text[5:]}",)
    if word.kind == "DATE":
        return ((datetime.date.fromisoformat(text) + datetime.timedelta(days=1)).isoformat(),)
    if word.kind == "STRING":
        return (f'{text[:-1]}x"',)
    if word.kind == "TZ":
        return ("Asia/Tokyo",)
    if word.kind in ("PLUS", "MINUS"):
        return ("-" if text == "+" else "+",)
    if word.kind.startswith("U_") and text in UNITS:
        return (other_unit(text),)
    return names_beside(text, main)


def other_unit(unit: str) -> str:
    """A unit of the same base if there is one: only the value tells the two apart."""
    alike = [other for other in UNITS if other != unit and UNITS[other][0] == UNITS[unit][0]]
    return (alike or [other for other in ("V", "%") if other != unit])[0]


def names_beside(text: str, main: str) -> tuple[str, ...]:
    weekdays = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]
    if text in weekdays:
        return (weekdays[(weekdays.index(text) + 1) % 7],)
    alike = {name for names in declared(main).values() if text in names for name in names}
    return tuple(sorted(alike - {text})) or (f"{text}x",)


@cache
def values() -> tuple[Value, ...]:
    return tuple(
        Value(file, word.span.line, word.span.start, word.span.end, others(word, user_of(file)))
        for file in TEXTS
        for line in lines_of(file)
        for word in words_of(line)
    )


class RememberingParser:
    """The line parser; a line that it has read before, it does not read again."""

    def __init__(self) -> None:
        self.trees: dict[tuple[str, str], Any] = {}

    def parse(self, text: str, start: str) -> Any:
        if (text, start) not in self.trees:
            self.trees[text, start] = line_parser().parse(text, start=start)
        return self.trees[text, start]


def meaning(main: str, files: dict[str, bytes]) -> object:
    """The checked programme as plain values, or None where there is a fault."""
    folder = main.rpartition("/")[0]
    read = read_from(files, folder)
    parsed = parse(main.rpartition("/")[2], files[main], read)
    built = build(parsed.document, read)
    return None if is_error((*parsed.diagnostics, *built.diagnostics)) else canonical(built.programme)


@pytest.mark.parametrize("file", sorted(TEXTS))
def test_every_value_of_a_shipped_file_reaches_the_checked_programme(
    file: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    remembering = RememberingParser()
    monkeypatch.setattr("chime.parsing.line_reader.line_parser", lambda: remembering)
    main = user_of(file)
    meant = meaning(main, SHIPPED)
    assert meant is not None
    text = TEXTS[file]
    unheld = [
        f"line {value.line}: {text[value.start : value.end]} for {other}"
        for value in values()
        if value.file == file
        for other in value.others
        if meaning(main, {**SHIPPED, file: f"{text[: value.start]}{other}{text[value.end :]}".encode()})
        == meant
    ]
    assert unheld == []


# --------------------------------------------------------------------- words and names


def keywords() -> dict[str, str]:
    """The words of the language by the name of their terminal; signs are no words."""
    patterns = {terminal.name: terminal.pattern for terminal in line_parser().terminals}
    return {name: p.value for name, p in patterns.items() if p.type == "str" and p.value[0].isalpha()}


def names_also(parser: Lark) -> set[str]:
    """The words that the grammar lists beside NAME in its rule for names."""
    rules = [rule for rule in parser.rules if rule.origin.name == "name"]
    return {symbol.name for rule in rules for symbol in rule.expansion} - {"NAME"}


def doubtful_words(parser: Lark) -> set[str]:
    """The words that the parser can use where it can use a name, and that are neither reserved nor names."""
    words, also = keywords(), names_also(parser)
    parser_state = parser.parse_interactive("", start="opener").parser_state
    return {
        words[terminal]
        for accepted in parser_state.parse_conf.parse_table.states.values()
        if "NAME" in accepted
        for terminal in accepted.keys() & words.keys()
        if words[terminal] not in RESERVED and terminal not in also
    }


def test_the_grammar_has_no_collision() -> None:
    # lark's strict mode refuses every pair of regular expressions that could match one text, and every
    # choice between two rules that it would otherwise settle by itself.
    grammar.build(grammar.grammar_text(), strict=True)


def test_a_grammar_with_a_collision_is_refused() -> None:
    ambiguous = grammar.grammar_text().replace(
        '| "row" quantity ', '| "row" quantity | "row" quantity assumed? ', 1
    )
    with pytest.raises(GrammarError):
        grammar.build(ambiguous, strict=True)


def test_a_word_that_stands_where_a_name_can_is_reserved_or_may_be_a_name() -> None:
    assert sorted(doubtful_words(line_parser())) == []


def test_a_word_left_out_of_the_rule_for_names_is_found() -> None:
    text = grammar.grammar_text().replace("| SLIP | TURNING", "| SLIP", 1)
    assert doubtful_words(grammar.build(text)) == {"turning"}


def test_the_reserved_words_are_words_of_the_grammar() -> None:
    assert set(keywords().values()) >= RESERVED


def named(word: str) -> str:
    """A programme in which a zone, a signal, a timetable and more have one name, at every place of a name."""
    return f"""\
programme "Names"
  place Europe/London
  issue 1 on 2026-08-20
zone {word} on track 1
  bells 2 at 350 mA each fed by {word}
zone zz-other on track 2 "Other"
supply {word} 24 V 5 A
line {word} fed by {word}
group zz-lessons {word}, zz-other
audience "All" in {word}
signal {word} 6 s within 2 s
timetable {word} in {word}
  each period start {word}, end {word}, warn {word} 2 min before start
  period "1" 08:45 - 09:45 in {word}
  periods 2 to 3 of 50 min from 10:00 passing 5 min in {word}
  pause "Lunch" 12:30 - 13:15 in {word} quiet
  pause "Tea" 15:00 - 15:15 in {word}
  ring 08:40 {word}
  ring 08:35 {word} in {word} "Line up"
  ring 15:30 {word} in {word}, zz-other
timetable zz-day like {word} in {word}
  drop 08:40 in {word}
  drop in {word} before 08:38
  drop after 13:00 in {word}
  shift +5 min in {word} from 09:00 until 10:00
  move "3" to 11:00 - 11:50 in {word}
week {word}
  Mon {word}
  Tue to Fri zz-day
  Sat, Sun silent
cycle {word} on Mon to Fri
  day 1 {word}
  day 2 zz-day
term "One" 2026-09-07 to 2026-12-18
  weeks {word}, {word} from 2026-09-07 counting school weeks
term "Two" 2027-01-04 to 2027-03-26
  cycle {word} from 2027-01-04 at day 2 slip
term "Three" 2027-04-12 to 2027-05-28
  week {word}
exceptions
  2026-09-08 {word} "Replaced"
  2026-09-09 {word} instead
  2026-09-09 zz-day
  2026-09-10 add 11:00 {word} in {word}
  2026-09-11 silent in {word}
  2026-09-14 silent in {word} 09:00 - 10:00
machine {word}
  loop 24 h in rows of 1 min
  silenced 18:00 - 07:00 in {word}
  silenced Sun turning at 01:00 in {word}
  switches {word}
  selector 1 position
  position 1 {word} on track 1, zz-other on track 2
"""


@pytest.mark.parametrize("word", sorted(set(keywords().values()) - RESERVED))
def test_any_word_that_is_not_reserved_may_be_a_name(word: str) -> None:
    found = checked(named(word))
    assert not is_error(found.diagnostics), said(found.diagnostics)
    programme = found.programme
    assert programme is not None
    plain = canonical(checked(named("plain")).programme)
    assert canonical(programme) == renamed(plain, word)


def renamed(value: object, word: str) -> object:
    """The same values with another name in place of `plain`."""
    if isinstance(value, list):
        return [renamed(part, word) for part in value]
    return word if value == "plain" else value
