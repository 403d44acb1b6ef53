"""What could stand at a place, in the words of the language and never as a terminal's name."""

from collections.abc import Iterable

from lark import UnexpectedInput

from chime.clock import WEEKDAYS
from chime.parsing.grammar import line_parser

MOST = 5
"""More alternatives than this are no help to anybody."""

_VALUES = {
    "NAME": "a name",
    "TIME": "a time such as 10:40",
    "DATE": "a date such as 2026-09-07",
    "NUMBER": "a number",
    "STRING": 'a label such as "Lunch"',
    "TZ": "a place such as Europe/London",
    "$END": "the end of the line",
    "COMMA": "a comma",
    "PLUS": "+",
    "MINUS": "-",
}
_WEEKDAYS = frozenset(("MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN"))
LESSER = frozenset(("ALL", "AT", "COUNTING", "EACH", "FED", "ON", "QUIET", "SKIP", "SLIP", "TURNING"))
"""Words that may be names: where a name can stand they are names first."""


def in_words(terminals: Iterable[str], unit: str | None = None) -> tuple[str, ...]:
    """Return what some terminals stand for, values first, at most MOST of them.

    Where a unit can stand, `unit` is the one that is usual there, if that is known.
    """
    found = set(terminals)
    if "NAME" in found:
        found -= LESSER
    said = [words for kind, words in _VALUES.items() if kind in found]
    if found & _WEEKDAYS:
        said.append("a weekday such as Mon")
    if "U_S" in found:
        said.append(f"a unit such as {unit or 's, mm or A'}")
        found = {t for t in found if not t.startswith("U_")}
    rest = sorted(found - set(_VALUES) - _WEEKDAYS)
    said += sorted(f'"{keyword(t)}"' for t in rest)
    return tuple(said[:MOST])


def keyword(terminal: str) -> str:
    """Return the word that a terminal stands for."""
    return str(line_parser().get_terminal(terminal).pattern.value)


def is_word(text: str) -> bool:
    """Say whether a text is a word of the language somewhere."""
    return text in words_of(t.name for t in line_parser().terminals)


def words_of(terminals: Iterable[str]) -> frozenset[str]:
    """Return the words among some terminals: neither values nor signs."""
    patterns = [line_parser().get_terminal(t).pattern for t in terminals if t != "$END"]
    return frozenset(p.value for p in patterns if p.type == "str" and p.value[0].isalpha())


def accepted_behind(text: str, rule: str) -> frozenset[str]:
    """Return the terminals that can follow the beginning of a line.

    The fault of lark does not say them all: the word that does not fit may have ended a list before it
    was found not to fit, and then no comma seems possible. Behind a beginning without sense nothing can.
    """
    parser = line_parser().parse_interactive(text, start=rule)
    try:
        parser.exhaust_lexer()
    except UnexpectedInput:
        return frozenset()
    return frozenset(parser.accepts())  # type: ignore[no-untyped-call]


def beginnings(rule: str) -> frozenset[str]:
    """Return the words that begin a line of a start rule, and DATE where a date can."""
    accepted = line_parser().parse_interactive("", start=rule).accepts()  # type: ignore[no-untyped-call]
    return frozenset("DATE" if t == "DATE" else keyword(t) for t in accepted)


def begin_words(begins: Iterable[str]) -> tuple[str, ...]:
    """Return the beginnings of lines for a reader: weekdays and dates as one word each."""
    found = set(begins)
    said = sorted(found - set(WEEKDAYS) - {"DATE"})
    if found & set(WEEKDAYS):
        said.insert(0, "a weekday")
    if "DATE" in found:
        said.insert(0, "a date")
    return tuple(said)
