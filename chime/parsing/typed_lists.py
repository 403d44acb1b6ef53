"""Lists: their commas, and the words that people write for them."""

from collections.abc import Iterator

from chime.parsing import typed_faults as codes
from chime.parsing.repair import Change
from chime.parsing.typed_line import Edited, Piece, Pieces, delete, insert_after, reword
from chime.parsing.typed_spot import AND_WORDS, NOTHING, Found, Spot, guess, marking, one_sure, sure

_WHY = "The members of a list are parted by commas, the last two too."


def commas_too_many(spot: Spot) -> Iterator[Found]:
    """Find a comma where nothing is listed."""
    step = 0 if spot.piece().text == "," else -1
    if spot.piece(step).text != "," or (step == 0 and spot.takes("COMMA")):
        return
    edited = delete(spot.pieces, spot.at + step, spot.at + step + 1)
    words = ("this comma is one too many", "Only the members of a list are parted by commas.")
    yield one_sure(spot, codes.STRAY_MARK, step, words, edited, "leave the comma out")


def lists(spot: Spot) -> Iterator[Found]:
    """Find `and` where a comma is meant, in the whole list."""
    # Where a name can stand, `and` was read as one, and the word behind it is the first that does not fit.
    step = 0 if spot.piece().text in AND_WORDS else -1
    word, before = spot.piece(step), spot.piece(step - 1)
    if word.text not in AND_WORDS or before is NOTHING:
        return
    at = spot.at + step
    if before.text == ",":
        edited = delete(spot.pieces, at, at + 1)
        words = (f"the comma is enough, without {word.text}", _WHY)
        yield one_sure(spot, codes.LIST_FORM, step, words, edited, f"leave {word.text} out")
    elif before.kind == "NUMBER" and spot.first == "zone":
        yield from _tracks_mixed(spot)
    elif before.kind == spot.piece(step + 1).kind or spot.takes("COMMA"):
        yield from _commas_for_words(spot.pieces, at)


def _commas_for_words(pieces: Pieces, at: int) -> Iterator[Found]:
    repairs = []
    while at + 1 < len(pieces) and (pieces[at].text in AND_WORDS or pieces[at].text == ","):
        if pieces[at].text != ",":
            edited = _comma_at(pieces, at)
            said = f"{pieces[at - 1].text}, {pieces[at + 1].text}"
            words = (f"a list is written with commas: {said}", _WHY)
            repairs.append(marking(codes.LIST_FORM, pieces[at : at + 1], words, sure(edited, said)))
            pieces = edited.pieces
        at += 2
    if repairs:
        yield Found(tuple(repairs), pieces)


def _comma_at(pieces: Pieces, at: int) -> Edited:
    """Write a comma in place of a word between two members."""
    rest = pieces[at + 1 :]
    after = "" if rest[0].gap else " "
    comma = Piece("SIGN", ",", pieces[at].start, pieces[at].end, "")
    change = Change(pieces[at - 1].end, pieces[at].end, "," + after)
    return Edited((*pieces[:at], comma, rest[0]._replace(gap=rest[0].gap or " "), *rest[1:]), (change,))


def _tracks_mixed(spot: Spot) -> Iterator[Found]:
    """Find commas and `and` in one list of tracks, which could be any of them or all at once."""
    first = next(at for at, piece in enumerate(spot.pieces) if piece.kind == "NUMBER")
    end = first
    while end < len(spot.pieces) and (
        spot.pieces[end].kind == "NUMBER" or spot.pieces[end].text in AND_WORDS | {","}
    ):
        end += 1
    numbers = [piece.text for piece in spot.pieces[first:end] if piece.kind == "NUMBER"]
    either = reword(spot.pieces, first, end, *" , ".join(numbers).split())
    at_once = reword(spot.pieces, first, end, *" and ".join(numbers).split())
    words = (
        "commas and the word and do not stand in one list of tracks",
        "With commas the zone is on any one of the tracks, with and on all of them at once.",
    )
    options = (guess(either, ", ".join(numbers)), guess(at_once, " and ".join(numbers)))
    yield Found((marking(codes.LIST_FORM, spot.pieces[first:end], words, *options),), either.pieces)


def missing_commas(spot: Spot) -> Iterator[Found]:
    """Find two members of a list with no comma between them."""
    here, before = spot.piece(), spot.piece(-1)
    if not spot.takes("COMMA") or here.kind not in ("WORD", "TIME", "NUMBER") or before.kind == "SIGN":
        return
    run = spot.at + 1
    while run < len(spot.pieces) and _is_like(here, spot.pieces[run]):
        run += 1
    # A short run is more likely to hold words of the language; a long one would take too many attempts.
    ends = (spot.at + 1, run) if run - spot.at <= 3 else (run, spot.at + 1)
    for end in dict.fromkeys(ends):
        yield _commas_between(spot.pieces, spot.at, end)


def _commas_between(pieces: Pieces, at: int, end: int) -> Found:
    repairs = []
    for _ in range(end - at):
        said = f"{pieces[at - 1].text}, {pieces[at].text}"
        edited = insert_after(pieces, at - 1, ",")
        words = (f"a comma is missing: {said}", _WHY)
        repairs.append(marking(codes.LIST_FORM, pieces[at : at + 1], words, sure(edited, said)))
        pieces, at = edited.pieces, at + 2
    return Found(tuple(repairs), pieces)


def _is_like(here: Piece, other: Piece) -> bool:
    return here.kind == other.kind and here.text.islower() == other.text.islower()


def one_or_several(spot: Spot) -> Iterator[Found]:
    """Find `track 3, 4` and `tracks 3`."""
    if spot.piece(-1).kind != "NUMBER":
        return
    word = next((step for step in (-2, -4) if spot.piece(step).text in ("track", "tracks")), None)
    if word is None:
        return
    several = spot.piece().text in AND_WORDS | {","} and spot.piece(1).kind == "NUMBER"
    meant = "tracks" if several else "track"
    if spot.piece(word).text == meant:
        return
    edited = reword(spot.pieces, spot.at + word, spot.at + word + 1, meant)
    headline = "several are tracks" if several else "one is a track"
    words = (f"{headline}, not {spot.piece(word).text}", "So a number that was left out is noticed.")
    yield one_sure(spot, codes.ONE_OR_SEVERAL, word, words, edited, meant)
