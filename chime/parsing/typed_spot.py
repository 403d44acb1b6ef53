"""The place where a line stops making sense, and what a recogniser finds there."""

from collections.abc import Callable, Iterable

from lark.exceptions import UnexpectedInput

from chime.diagnostics import Code
from chime.parsing.expected import accepted_behind
from chime.parsing.grammar import line_parser
from chime.parsing.repair import Option, Repair
from chime.parsing.typed_line import Edited, Piece, Pieces, rendered
from chime.records import NamedTuple

NOTHING = Piece("END", "", 0, 0, "")

RANGE_WORDS = frozenset(["to", "until", "till", "til", "through", "thru", "-"])
AND_WORDS = frozenset(["and", "&", "+", "/", "plus"])


class Spot(NamedTuple):
    """The first piece of a line that does not fit, and the terminals that would.

    `typed` is the line as typed, `rule` its start rule, `around` the text of its file.
    """

    typed: str
    pieces: Pieces
    at: int
    accepts: frozenset[str]
    rule: str
    around: str

    def piece(self, step: int = 0) -> Piece:
        """Return the piece so many steps from the one that does not fit."""
        number = self.at + step
        return self.pieces[number] if 0 <= number < len(self.pieces) else NOTHING

    def takes(self, *terminals: str) -> bool:
        """Say whether one of some terminals would fit."""
        return not self.accepts.isdisjoint(terminals)

    def accepts_at(self, step: int) -> frozenset[str]:
        """Return the terminals that would fit so many steps from the piece that does not."""
        if step == 0:
            return self.accepts
        return accepted_behind(rendered(self.pieces[: self.at + step]), self.rule)

    def is_right(self, pieces: Pieces) -> bool:
        """Say whether the line would be right with these pieces."""
        try:
            line_parser().parse(rendered(pieces), start=self.rule)
        except UnexpectedInput:
            return False
        return True

    @property
    def first(self) -> str:
        """The word that the line begins with."""
        return self.pieces[0].text if self.pieces else ""

    @property
    def takes_unit(self) -> bool:
        """Whether a unit would fit (`in` alone is the word before zones)."""
        return "U_S" in self.accepts

    @property
    def takes_zones(self) -> bool:
        """Whether `in` and zones would fit."""
        return "U_IN" in self.accepts and not self.takes_unit


class Found(NamedTuple):
    """What a recogniser found: the mistakes, and the line without them.

    Where `is_clear` is False the line as mended only stands in for one that cannot be told. `again`
    are beginnings for which the rest of the line, from piece `rest` on, is to be said again.
    """

    repairs: tuple[Repair, ...]
    pieces: Pieces
    is_clear: bool = True
    again: tuple[str, ...] = ()
    rest: int = 0


Recogniser = Callable[[Spot], Iterable[Found]]


def sure(edited: Edited, text: str) -> Option:
    """Return an option that cannot change what the line means."""
    return Option("sure", text, edited.changes)


def guess(edited: Edited, text: str) -> Option:
    """Return an option that is probably what was meant."""
    return Option("guess", text, edited.changes)


def short(text: str) -> str:
    """Return a text as it is shown in a headline."""
    return text if len(text) <= 40 else text[:39] + "\N{HORIZONTAL ELLIPSIS}"


def marking(code: Code, pieces: Pieces, words: tuple[str, str], *options: Option) -> Repair:
    """Return a repair that marks some pieces; `words` are its headline and its why."""
    return Repair(code, pieces[0].start, pieces[-1].end, *words, options)


def one_sure(spot: Spot, code: Code, step: int, words: tuple[str, str], edited: Edited, text: str) -> Found:
    """Return what is found where one piece is marked and the offer is sure."""
    return Found((marking(code, (spot.piece(step),), words, sure(edited, text)),), edited.pieces)
