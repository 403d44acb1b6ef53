"""What could stand at a place, in the words of the language and never as a terminal's name."""

from collections.abc import Iterable

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
_LESSER = ("ALL", "AT", "COUNTING", "EACH", "FED", "ON", "QUIET", "SKIP", "SLIP", "TURNING")


def in_words(terminals: Iterable[str]) -> tuple[str, ...]:
    """Return what some terminals stand for, values first, at most MOST of them."""
    found = set(terminals)
    if "NAME" in found:
        found -= set(_LESSER)
    said = [words for kind, words in _VALUES.items() if kind in found]
    if found & _WEEKDAYS:
        said.append("a weekday such as Mon")
    units = sorted(keyword(t) for t in found if t.startswith("U_") and t != "U_IN")
    if units:
        said.append("a unit (" + ", ".join([*units, "in"]) + ")")
        found.discard("U_IN")
    rest = sorted(found - set(_VALUES) - _WEEKDAYS)
    said += sorted(f'"{keyword(t)}"' for t in rest if not t.startswith("U_") or t == "U_IN")
    return tuple(said[:MOST])


def keyword(terminal: str) -> str:
    """Return the word that a terminal stands for."""
    return str(line_parser().get_terminal(terminal).pattern.value)


def accepted_behind(text: str, rule: str) -> frozenset[str]:
    """Return the terminals that can follow the beginning of a line.

    The fault of lark does not say them all: the word that does not fit may have ended a list before it
    was found not to fit, and then no comma seems possible.
    """
    parser = line_parser().parse_interactive(text, start=rule)
    parser.exhaust_lexer()
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
