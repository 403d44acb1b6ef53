"""Labels without their quotes, names with quotes, and zones without the word before them."""

from collections.abc import Iterator

from chime.parsing import typed_faults as codes
from chime.parsing.repair import Option, Repair
from chime.parsing.typed_line import Edited, Pieces, insert_before, kind_of, put_in_quotes, reword
from chime.parsing.typed_spot import RANGE_WORDS, Found, Spot, guess, sure
from chime.parsing.typed_times import is_time
from chime.parsing.words import RESERVED

_ENDS = (RESERVED | {"on", "quiet", "at"}) - {"as", "like", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}
_LABEL_WHY = "Without quotes nobody could tell where the label ends and the line goes on."
_ZONES_WHY = "Zones stand after the word in, so that they are not mistaken for anything else."


def bare_words(spot: Spot) -> Iterator[Found]:
    """Find words that want quotes or the word `in`."""
    here = spot.piece()
    if here.kind not in ("WORD", "NUMBER") or here.text in RESERVED:
        return
    takes_label, takes_zones = spot.takes("STRING"), spot.takes_zones and here.kind == "WORD"
    ends = _ends_of_label(spot) if takes_label else []
    looks_like_zones = here.text.islower() and (not ends or ends[0] == spot.at + 1 or _is_listed(spot))
    if takes_zones and (looks_like_zones or not takes_label):
        yield from _zones(spot, ends)
    if not takes_label or (looks_like_zones and (takes_zones or spot.takes("COMMA"))):
        return
    unsure = spot.takes("COMMA") or (takes_zones and here.text.islower()) or (takes_zones and ends[0] == spot.at + 1)
    for end in ends:
        edited = put_in_quotes(spot.pieces, spot.at, end, spot.typed)
        yield _label(spot, edited, (guess if unsure else sure)(edited, edited.pieces[spot.at].text))


def _label(spot: Spot, edited: Edited, *options: Option) -> Found:
    label = edited.pieces[spot.at]
    headline = f"a label stands in quotes, {label.text}"
    return Found((Repair(codes.BARE_LABEL, label.start, label.end, headline, _LABEL_WHY, options),), edited.pieces)


def _is_listed(spot: Spot) -> bool:
    return spot.piece(1).text == ","


def _ends_of_label(spot: Spot) -> list[int]:
    """Return where a label without quotes may end: before a word that goes on, or with the line."""
    pieces, end = spot.pieces, spot.at + 1
    while end < len(pieces) and pieces[end].kind != "STRING" and not _goes_on(pieces, end):
        end += 1
    if any(piece.kind == "STRING" for piece in pieces[spot.at :]):
        return [end]
    return [end] if end == len(pieces) else [end, len(pieces)]


def _goes_on(pieces: Pieces, at: int) -> bool:
    if pieces[at].kind == "NUMBER":
        return is_time(pieces[at]) and at + 1 < len(pieces) and pieces[at + 1].text in RANGE_WORDS
    return pieces[at].kind in ("TIME", "DATE", "H_TIME") or pieces[at].text in _ENDS


def _zones(spot: Spot, ends: list[int]) -> Iterator[Found]:
    """Offer `in`; and where a label, or `like`, is as likely, that too."""
    here = spot.piece()
    edited = insert_before(spot.pieces, spot.at, "in")
    said = f"in {here.text}"
    if spot.takes("LIKE"):
        other = insert_before(spot.pieces, spot.at, "like")
        options = (guess(edited, said), guess(other, f"like {here.text}"))
    elif ends and spot.piece(-1).text == "drop":
        label = put_in_quotes(spot.pieces, spot.at, ends[0], spot.typed)
        options = (guess(edited, said), guess(label, label.pieces[spot.at].text))
    else:
        is_sure = (spot.first == "ring" or not ends) and not here.text.startswith("in")
        options = ((sure if is_sure else guess)(edited, said),)
    headline = f"zones stand after the word in: {said}"
    repair = Repair(codes.MISSING_WORD, here.start, here.end, headline, _ZONES_WHY, options)
    yield Found((repair,), edited.pieces)


def quotes(spot: Spot) -> Iterator[Found]:
    """Find quotes round a number or round a name."""
    if spot.piece().kind != "STRING" or spot.takes("STRING") or not spot.takes("NUMBER", "NAME"):
        return
    pieces, repairs, at = spot.pieces, list[Repair](), spot.at
    wanted = "NUMBER" if spot.takes("NUMBER") else "WORD"
    while at < len(pieces):
        inside = pieces[at].text[1:-1]
        if pieces[at].kind == "STRING" and _is_one(inside, wanted):
            edited = reword(pieces, at, at + 1, inside)
            what = "a number" if wanted == "NUMBER" else "a name"
            headline = f"{what} stands without quotes: {inside}"
            why = "Quotes are for labels and reasons, which are read by people only."
            place = (pieces[at].start, pieces[at].end)
            repairs.append(Repair(codes.QUOTES_NOT_WANTED, *place, headline, why, (sure(edited, inside),)))
            pieces = edited.pieces
        elif pieces[at].text not in RANGE_WORDS | {","}:
            break
        at += 1
    if repairs:
        yield Found(tuple(repairs), pieces)


def _is_one(text: str, kind: str) -> bool:
    return kind_of(text) == kind and (text.isdigit() or (kind == "WORD" and text.replace("-", "").isalnum()))
