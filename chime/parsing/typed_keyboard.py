"""Slips of the keyboard: a word of the language in wrong letters, a word twice, two words changed over."""

from collections.abc import Iterator

from chime.diagnostics.suggest import nearest
from chime.parsing import typed_faults as codes
from chime.parsing.expected import LESSER, is_word, words_of
from chime.parsing.repair import Repair
from chime.parsing.surroundings import is_zone_in
from chime.parsing.typed_line import Edited, Piece, both, delete, insert_after, move, reword
from chime.parsing.typed_spot import Found, Spot, guess, marking, one_sure, short, sure
from chime.parsing.typed_values import unit_meant, weekday_meant

_SPELLING_WHY = "It is no word of the language; and read as a name, it would leave the line without sense."
_TWICE_WHY = "A line says everything once."
_ORDER_WHY = "The parts of a line have their order, so that it can be read aloud."


def twice(spot: Spot) -> Iterator[Found]:
    """Find a word, a value or a sign that stands there twice in a row."""
    for step in (-3, -2, -1, 0):
        first, second = spot.piece(step), spot.piece(step + 1)
        between = spot.typed[first.end : second.start]
        if first.kind == "END" or first.text != second.text or first.text == "," or between.strip():
            continue
        # Glued together they are one word that is wrong, and three of them are no slip.
        if not second.gap or first.text in (spot.piece(step - 1).text, spot.piece(step + 2).text):
            continue
        at = spot.at + step + 1
        edited = delete(spot.pieces, at, at + 1)
        said = f"leave {short(second.text)} out"
        words = (f"{_called(second)} stands here twice", _TWICE_WHY)
        # Of two numbers the second may be wrong and not too many, and a zone may be called like a word.
        is_zone = at > 1 and is_zone_in(spot.around, second.text)
        may_be_right = second.kind == "NUMBER" or is_zone
        offer = (guess if may_be_right else sure)(edited, said)
        yield Found((marking(codes.WORD_TOO_MANY, (second,), words, offer),), edited.pieces)


def _called(piece: Piece) -> str:
    return f"the word {piece.text}" if piece.kind == "WORD" else short(piece.text)


def misspelt(spot: Spot) -> Iterator[Found]:
    """Find a word of the language in wrong letters, also one that could be read as a name."""
    for here, edits in _respellings(spot):
        if right := [each for each in edits if spot.is_right(each[0].pieces)]:
            yield _respelt(here, right)


def misspelt_among_others(spot: Spot) -> Iterator[Found]:
    """Find the same in a line that has other mistakes too."""
    for here, edits in _respellings(spot):
        # Where a name can stand, that is what the word most likely is.
        likely = [each for each in edits if each[1].upper() not in LESSER]
        if likely and not is_word(here.text):
            yield _respelt(here, likely)


def _respellings(spot: Spot) -> Iterator[tuple[Piece, list[tuple[Edited, str]]]]:
    for step in (0, -1):
        here = spot.piece(step)
        if here.kind != "WORD" or spot.at + step < 1 or here.slip or _is_known(here.text, spot):
            continue
        wanted = words_of(spot.accepts_at(step))
        if here.text in wanted or here.text.lower() in wanted:
            continue
        at = spot.at + step
        if near := [word for word in nearest(here.text, wanted) if not _is_glued(here.text, word)]:
            yield here, [(reword(spot.pieces, at, at + 1, word), word) for word in near]


def _is_glued(text: str, word: str) -> bool:
    """Say whether a text is two words of the language with no space between: no slip of letters.

    An s behind a word is a slip of letters, though it be a unit: `starts`, `periods`.
    """
    behind = text.removeprefix(word) if text.startswith(word) else "s"
    before = text.removesuffix(word) if text.endswith(word) else ""
    return (behind != "s" and is_word(behind)) or is_word(before)


def _is_known(text: str, spot: Spot) -> bool:
    """Say whether a word has a meaning of its own, which other repairs know better."""
    return bool(weekday_meant(text) or unit_meant(text)) or is_zone_in(spot.around, text)


def _respelt(here: Piece, right: list[tuple[Edited, str]]) -> Found:
    said = " or ".join(word for _, word in right)
    words = (f"this word is written {said}, not {short(here.text)}", _SPELLING_WHY)
    options = tuple(guess(edited, word) for edited, word in right)
    repair = Repair(codes.MISSPELT_WORD, here.start, here.end, *words, options)
    return Found((repair,), right[0][0].pieces)


def changed_over(spot: Spot) -> Iterator[Found]:
    """Find two neighbours that have changed places, where nothing else is wrong with the line."""
    for step in (-1, 0):
        left, right = spot.piece(step), spot.piece(step + 1)
        at = spot.at + step
        kinds = {left.kind, right.kind}
        if at < 0 or "END" in kinds or "," in (left.text, right.text):
            continue
        # Of labels and of times before a signal, phrases.order knows more.
        is_name = "NAME" in spot.accepts_at(step) and not is_word(right.text)
        is_alone = [piece.kind for piece in spot.pieces].count("STRING") < 2
        if kinds == {"WORD", "TIME"} or (left.kind == "STRING" and is_alone and not is_name):
            continue
        edited = move(spot.pieces, at, at + 1, at + 2)
        if spot.is_right(edited.pieces):
            said = f"{right.text} {left.text}"
            words = (f"these two have changed places: {short(said)}", _ORDER_WHY)
            repair = marking(codes.WORD_ORDER, (left, right), words, guess(edited, said))
            yield Found((repair,), edited.pieces)


def commas_moved(spot: Spot) -> Iterator[Found]:
    """Find a comma that stands on the wrong side of a member of a list."""
    at, here, follower = spot.at, spot.piece(), spot.piece(1)
    if (
        here.text == ","
        and not spot.takes("COMMA")
        and spot.piece(-1).text != ","
        and follower.text not in ("", ",")
    ):
        edited = reword(spot.pieces, at, at + 2, follower.text, ",")
        said, step = f"{follower.text},", 0
    elif follower.text == "," and spot.takes("COMMA") and here.text != ",":
        before = insert_after(spot.pieces, at - 1, ",")
        edited = both(before, delete(before.pieces, at + 2, at + 3))
        said, step = f"{spot.piece(-1).text}, {here.text}", 1
    else:
        return
    if spot.is_right(edited.pieces):
        words = (f"the comma stands behind a member of the list: {said}", _ORDER_WHY)
        yield one_sure(spot, codes.STRAY_MARK, step, words, edited, said)
