"""Cutting one logical line into words and values, for lark's LALR parser.

Words are always read whole. A NAME becomes a keyword only when the parser can use that very word
in its present state, or when the language reserves the word; so `indoor` is a name and never `in`
followed by `door`, and a zone may be called `gate`. This is a lexer class of lark's own interface
(`lexer=WholeWords`): one regular expression for the whole language instead of one for each state
of the parser, which also makes a cold start twice as fast.
"""

import re
import unicodedata
from collections.abc import Iterator
from typing import Any

from lark import Token
from lark.common import LexerConf
from lark.lexer import Lexer

RESERVED = frozenset(
    (
        *("add", "after", "as", "before", "drop", "everywhere", "from", "in", "instead", "like", "move"),
        *("shift", "silent", "to", "until", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"),
    )
)
"""Words that are never names: they follow where a name can stand."""

STRAY = "STRAY"
"""The kind of a run of letters and signs that is no word and no value of the language."""

_WITHIN_NAMES = ("Mn", "Mc", "Nd")
"""Unicode's categories of what may stand in a name beside letters: marks, and digits of any script."""

_JOINERS = "\u200c\u200d"

_VALUES = ("DATE", "TIME", "NUMBER", "STRING", "NAME")


class WholeWords(Lexer):
    """Reads words and values; see the module's text."""

    __future_interface__ = 1

    def __init__(self, lexer_conf: LexerConf) -> None:
        """Take the terminals of the grammar: patterns for values, plain text for keywords."""
        patterns = {t.name: t.pattern for t in lexer_conf.terminals}
        self.keywords = {p.value: name for name, p in patterns.items() if p.type == "str"}
        signs = sorted((w for w in self.keywords if not w[0].isalpha()), key=lambda w: (-len(w), w))
        alternatives = [f"(?P<{name}>{patterns[name].to_regexp()})" for name in _VALUES]
        alternatives.append("(?P<SIGN>" + "|".join(map(re.escape, signs)) + ")")
        alternatives.append(rf'(?P<{STRAY}>[^\s,"]+|.)')
        self.pattern = re.compile(r"[ \t\r\n]*(?:" + "|".join(alternatives) + ")", re.DOTALL)
        self.zone_pattern = re.compile(r"[ \t\r\n]*(?P<TZ>" + patterns["TZ"].to_regexp() + ")")

    def lex(self, lexer_state: Any, parser_state: Any) -> Iterator[Token]:
        """Yield the tokens of a line, each read in the light of the parser's state."""
        text = lexer_state.text.text
        end = len(text.rstrip(" \t\r\n"))
        states = parser_state.parse_conf.parse_table.states
        position = 0
        while position < end:
            accepted = states[parser_state.position]
            match = self.zone_pattern.match(text, position) if "TZ" in accepted else None
            match = match or self.pattern.match(text, position)
            assert match is not None
            assert match.lastgroup is not None
            start, position = match.span(match.lastgroup)
            kind, word = match.lastgroup, text[start:position]
            if kind == "NAME" or kind == "SIGN":
                kind = self._kind_of_word(word, kind, accepted) if word.isascii() or is_name(word) else STRAY
            token = Token(kind, word, start_pos=start, line=1, column=start + 1, end_pos=position)
            lexer_state.last_token = token
            yield token

    def _kind_of_word(self, word: str, kind: str, accepted: Any) -> str:
        keyword = self.keywords.get(word)
        if keyword is None:
            return kind if kind == "NAME" else STRAY
        if keyword in accepted or word in RESERVED or kind == "SIGN":
            return keyword
        return kind


def is_name(word: str) -> bool:
    """Say whether a word of the shape of NAME consists of letters, with their marks, and of digits."""
    kinds = [unicodedata.category(letter) for letter in word]
    return kinds[0][0] == "L" and all(
        kind[0] == "L" or kind in _WITHIN_NAMES or letter == "-" or _joins(word, kinds, at)
        for at, (letter, kind) in enumerate(zip(word, kinds, strict=True))
    )


def _joins(word: str, kinds: list[str], at: int) -> bool:
    """Say whether a character is a joiner between two letters, marks on the first aside."""
    between = kinds[at - 1][0] + "".join(kind[0] for kind in kinds[at + 1 : at + 2])
    return word[at] in _JOINERS and between in ("LL", "ML")
