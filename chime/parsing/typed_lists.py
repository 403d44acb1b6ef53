"""Lists: their commas, and the words that people write for them."""

from collections.abc import Callable, Iterator

from chime.clock import WEEKDAYS
from chime.parsing import typed_faults as codes
from chime.parsing.expected import accepted_behind, is_word
from chime.parsing.repair import Change, Option
from chime.parsing.typed_line import (
    Edited,
    Piece,
    Pieces,
    delete,
    insert_after,
    insert_before,
    rendered,
    reword,
)
from chime.parsing.typed_spot import AND_WORDS, NOTHING, Found, Spot, guess, marking, one_sure, sure
from chime.parsing.typed_values import weekday_meant

_WHY = "The members of a list are parted by commas, the last two too."


def commas_too_many(spot: Spot) -> Iterator[Found]:
    """Find a comma where nothing is listed."""
    step = 0 if spot.piece().text == "," else -1
    if spot.piece(step).text != "," or (step == 0 and spot.takes("COMMA")):
        return
    at = spot.at + step
    edited = delete(spot.pieces, at, at + 1)
    if spot.piece(step - 1).text == ",":
        # The spaces stay, for the comma before it needs them.
        change = Change(spot.piece(step).start, spot.piece(step).end, "")
        edited = Edited((*spot.pieces[:at], *spot.pieces[at + 1 :]), (change,))
    words = ("this comma is one too many", "Only the members of a list are parted by commas.")
    # Behind a word of the language a member may have been left out; behind a member the comma ends a list.
    offer = guess if is_word(spot.piece(step - 1).text) or at == 0 else sure
    repair = marking(codes.STRAY_MARK, (spot.piece(step),), words, offer(edited, "leave the comma out"))
    yield Found((repair,), edited.pieces)


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
    elif spot.at + step + 1 == len(spot.pieces) and "COMMA" in spot.accepts_at(step):
        edited = delete(spot.pieces, at, at + 1)
        why = "Another member of the list was probably meant, or the word is one too many."
        words = (f"nothing is listed behind the word {word.text}", why)
        offer = guess(edited, f"leave {word.text} out")
        yield Found((marking(codes.LIST_FORM, (word,), words, offer),), edited.pieces)
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
    signs = {piece.text for piece in spot.pieces[first:end] if piece.kind != "NUMBER"}
    if signs == {"and"} and [piece.text for piece in spot.pieces[first:end:2]] == numbers:
        return  # nothing is mixed: it is the word before the numbers that does not fit
    either = reword(spot.pieces, first, end, *" , ".join(numbers).split())
    at_once = reword(spot.pieces, first, end, *" and ".join(numbers).split())
    words = (
        "commas and the word and do not stand in one list of tracks"
        if "," in signs
        else "tracks are listed with commas or with the word and",
        "With commas the zone is on any one of the tracks, with and on all of them at once.",
    )
    options = (guess(either, ", ".join(numbers)), guess(at_once, " and ".join(numbers)))
    yield Found((marking(codes.LIST_FORM, spot.pieces[first:end], words, *options),), either.pieces)


def tracks_apart(spot: Spot) -> Iterator[Found]:
    """Find two numbers of a zone's tracks with nothing between them that says any or all."""
    if spot.first != "zone" or spot.piece().kind != "NUMBER" or spot.piece(-1).kind != "NUMBER":
        return
    yield from _tracks_mixed(spot)


def missing_commas(spot: Spot) -> Iterator[Found]:
    """Find two members of a list with no comma between them."""
    here, before = spot.piece(), spot.piece(-1)
    is_member = here.kind in ("WORD", "TIME", "NUMBER") and before.kind != "SIGN"
    if not spot.takes("COMMA") or not is_member or not AND_WORDS.isdisjoint((here.text, before.text)):
        return
    if weekday_meant(here.text) and weekday_meant(before.text):
        yield _weekdays_apart(spot)
    else:
        yield from _members_apart(spot)


def _members_apart(spot: Spot) -> Iterator[Found]:
    here = spot.piece()
    run = spot.at + 1
    while run < len(spot.pieces) and _is_like(here, spot.pieces[run]):
        run += 1
    # A short run is more likely to hold words of the language; a long one would take too many attempts.
    ends = (spot.at + 1, run) if run - spot.at <= 3 else (run, spot.at + 1)
    offer = guess if _may_be_no_member(spot) else sure
    for end in dict.fromkeys(ends):
        yield _commas_between(spot.pieces, spot.at, end, offer)


def _may_be_no_member(spot: Spot) -> bool:
    """Say whether a word of the language would be read as a name, or was: it may stand there for another."""
    behind = rendered(spot.pieces[: spot.at]) + ","
    is_name = spot.piece().kind == "WORD" and "NAME" in accepted_behind(behind, spot.rule)
    was_name = spot.piece(-1).kind == "WORD" and "NAME" in spot.accepts_at(-1)
    return (is_name and is_word(spot.piece().text)) or (was_name and is_word(spot.piece(-1).text))


def _weekdays_apart(spot: Spot) -> Found:
    """Offer a comma, and for weekdays that do not follow each other also the word for a range."""
    pieces, at = spot.pieces, spot.at
    left, right = pieces[at - 1].text, pieces[at].text
    listed, ranged = insert_after(pieces, at - 1, ","), insert_before(pieces, at, "to")
    first, second = (WEEKDAYS.index(str(weekday_meant(day))) for day in (left, right))
    if first + 1 == second:
        return _commas_between(pieces, at, at + 1, sure)
    said = (f"{left}, {right}", f"{left} to {right}")
    words = (f"these weekdays are written {' or '.join(said)}", _WHY)
    options = (guess(listed, said[0]), guess(ranged, said[1]))
    return Found((marking(codes.LIST_FORM, pieces[at - 1 : at + 1], words, *options),), listed.pieces)


def _commas_between(pieces: Pieces, at: int, end: int, offer: Callable[[Edited, str], Option]) -> Found:
    repairs = []
    for _ in range(end - at):
        said = f"{pieces[at - 1].text}, {pieces[at].text}"
        edited = insert_after(pieces, at - 1, ",")
        words = (f"a comma is missing: {said}", _WHY)
        repairs.append(marking(codes.LIST_FORM, pieces[at : at + 1], words, offer(edited, said)))
        pieces, at = edited.pieces, at + 2
    return Found(tuple(repairs), pieces)


def _is_like(here: Piece, other: Piece) -> bool:
    return here.kind == other.kind and here.text.islower() == other.text.islower()


def one_or_several(spot: Spot) -> Iterator[Found]:
    """Find `track 3, 4`, `tracks 3`, and `track 3, 3`."""
    if spot.piece(-1).kind != "NUMBER":
        return
    word = next((step for step in (-2, -4) if spot.piece(step).text in ("track", "tracks")), None)
    if word is None:
        return
    several = spot.piece().text in AND_WORDS | {","} and spot.piece(1).kind == "NUMBER"
    meant = "tracks" if several else "track"
    if spot.piece(word).text == meant:
        return
    if several and spot.piece(1).text == spot.piece(-1).text:
        yield _track_again(spot)
    else:
        edited = reword(spot.pieces, spot.at + word, spot.at + word + 1, meant)
        headline = "several are tracks" if several else "one is a track"
        words = (f"{headline}, not {spot.piece(word).text}", "So a number that was left out is noticed.")
        yield one_sure(spot, codes.ONE_OR_SEVERAL, word, words, edited, meant)


def _track_again(spot: Spot) -> Found:
    """Leave out a track that was said just before: with `tracks` it would be said twice all the same."""
    again = spot.pieces[spot.at : spot.at + 2]
    edited = delete(spot.pieces, spot.at, spot.at + 2)
    said = f"track {spot.piece(-1).text}"
    words = (f"{said} is said twice", "Another track was probably meant, and is now missing.")
    return Found((marking(codes.ONE_OR_SEVERAL, again, words, guess(edited, said)),), edited.pieces)
