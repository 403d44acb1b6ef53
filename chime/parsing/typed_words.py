"""Small words of the language that are missing, too many or in capitals, and marks that are not of it."""

from collections.abc import Iterator

from chime.parsing import typed_faults as codes
from chime.parsing.expected import LESSER, keyword
from chime.parsing.typed_line import delete, insert_before, reword
from chime.parsing.typed_spot import Found, Spot, marking, one_sure, sure

_MISSING = {
    "joint": (("LAP", "lap of"), ("OF", "of"), ("ROWS", "rows")),
    "web": (("AT", "at least"), ("LEAST", "least")),
    "bells": (("AT", "at"), ("EACH", "each")),
    "clocks": (("AT", "at"), ("EACH", "each")),
    "cable": (("AT", "at"),),
    "tracks": (("AT", "at"),),
    "gate": (("AT", "at"),),
    "periods": (("TO", "to"), ("OF", "of"), ("FROM", "from")),
    "issue": (("ON", "on"),),
    "zone": (("ON", "on"),),
    "cycle": (("ON", "on"), ("FROM", "from")),
    "weeks": (("FROM", "from"),),
    "every": (("FROM", "from"), ("TO", "to")),
    "move": (("TO", "to"),),
    "term": (("TO", "to"),),
    "must": (("END", "end"),),
    "loop": (("U_IN", "in"),),
    "drive": (("U_IN", "in"), ("STEPS", "steps in")),
    "reads": (("ROWS", "rows"), ("AHEAD", "ahead")),
    "silenced": (("AT", "at"),),
    "published": (("AT", "at"),),
    "position": (("ON", "on"),),
}
"""By the word that a line begins with: the terminal that is missing, and the words that say it."""

_TOO_MANY = {
    "at": ("TIME",),
    "in": ("NAME",),
    "on": ("DATE", "MON"),
    "by": ("PLUS", "NUMBER"),
    "of": ("NUMBER", "TIME"),
    "for": ("NUMBER",),
    "is": ("NUMBER", "TIME", "NAME"),
    "the": ("NAME", "NUMBER", "TIME", "DATE", "STRING", "U_S", "U_IN", "MON"),
}
"""Words that a line does without, and what must fit in their place."""

_MARKS = frozenset(":;.=")


def capitals(spot: Spot) -> Iterator[Found]:
    """Find a word of the language in capitals."""
    here = spot.piece()
    if here.kind != "WORD" or here.text == here.text.lower():
        return
    meant = here.text.lower()
    if (meant.upper() in spot.accepts and keyword(meant.upper()) == meant) or (
        meant == "in" and spot.takes("U_IN")
    ):
        edited = reword(spot.pieces, spot.at, spot.at + 1, meant)
        words = (f"{meant} is written in small letters", "Capitals are for names, labels and weekdays.")
        yield one_sure(spot, codes.CAPITALS, 0, words, edited, meant)


def marks(spot: Spot) -> Iterator[Found]:
    """Find a colon, a semicolon, a full stop or an equals sign that is not of the language."""
    step = 0 if spot.piece().text in _MARKS else 1
    here = spot.piece(step)
    # A number with a mark glued to it does not fit as a whole.
    if here.text not in _MARKS or (step == 1 and (here.gap or spot.piece().kind != "NUMBER")):
        return
    at = spot.at + step
    words = (
        f"the mark {here.text} is not wanted here",
        "Lines have commas in lists and no other punctuation.",
    )
    if here.text == ";" and spot.takes("COMMA"):
        edited = reword(spot.pieces, at, at + 1, ",")
        yield one_sure(spot, codes.STRAY_MARK, step, words, edited, ",")
    edited = delete(spot.pieces, at, at + 1)
    yield one_sure(spot, codes.STRAY_MARK, step, words, edited, f"leave {here.text} out")


def missing_words(spot: Spot) -> Iterator[Found]:
    """Find a small word left out."""
    for terminal, words in _MISSING.get(spot.first, ()):
        # Behind a number without its unit, `in` would be read as inches.
        as_inches = terminal == "U_IN" and (spot.takes_unit or spot.piece(-1).text == "in")
        # Where a name can stand, it is not the word that is missing.
        is_name = terminal in LESSER and spot.takes("NAME")
        if not spot.takes(terminal) or spot.at == 0 or as_inches or is_name:
            continue
        edited = insert_before(spot.pieces, spot.at, *words.split())
        shown = spot.piece() if spot.at < len(spot.pieces) else spot.piece(-1)
        said = f"{words} {shown.text}" if shown is spot.piece() else f"{shown.text} {words}"
        why = "A line is a whole phrase, so that it can be read aloud and means one thing."
        headline = f"the word {words} is missing" if " " not in words else f"the words {words} are missing"
        yield Found(
            (marking(codes.MISSING_WORD, (shown,), (headline, why), sure(edited, said)),), edited.pieces
        )


def words_too_many(spot: Spot) -> Iterator[Found]:
    """Find a small word that the language does without."""
    for step in (0, -1):
        word = spot.piece(step)
        if not _is_too_much(spot, step):
            continue
        edited = delete(spot.pieces, spot.at + step, spot.at + step + 1)
        words = (f"the word {word.text} is one too many", "The language does without it.")
        yield one_sure(spot, codes.WORD_TOO_MANY, step, words, edited, f"leave {word.text} out")


def _is_too_much(spot: Spot, step: int) -> bool:
    word = spot.piece(step)
    if step == -1:
        # Where a name can stand, the article was read as one.
        return word.text == "the"
    if spot.at == 0 and word.text not in ("on", "the"):
        return False
    if word.text == "in" and spot.first not in ("group", "switches"):
        return False
    return spot.takes(*_TOO_MANY.get(word.text, ()))
