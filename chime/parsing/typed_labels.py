"""Labels without their quotes, names with quotes, and zones without the word before them."""

from collections.abc import Iterator

from chime.parsing import typed_faults as codes
from chime.parsing.repair import Option, Repair
from chime.parsing.surroundings import is_zone_in
from chime.parsing.typed_line import Pieces, both, insert_after, insert_before, kind_of, put_in_quotes, reword
from chime.parsing.typed_spot import RANGE_WORDS, Found, Spot, guess, short, sure
from chime.parsing.typed_times import is_time
from chime.parsing.words import RESERVED

_ENDS = (RESERVED | {"on", "quiet", "at"}) - {"as", "like", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}
_NO_NAMES = RESERVED | {"the", "and", "of", "by", "for", "is", "at", "with", "within", "passing"}
_LABEL_WHY = "Without quotes nobody could tell where the label ends and the line goes on."
_ZONES_WHY = "Zones stand after the word in, so that they are not mistaken for anything else."


def bare_words(spot: Spot) -> Iterator[Found]:
    """Find words that want quotes or the word `in`."""
    here = spot.piece()
    if here.kind not in ("WORD", "NUMBER") or here.text in _NO_NAMES:
        return
    takes_label, takes_zones = spot.takes("STRING"), spot.takes_zones and here.kind == "WORD"
    ends = _ends_of_label(spot) if takes_label else []
    is_alone = not ends or ends[0] == spot.at + 1 or spot.piece(1).text == ","
    looks_like_zones = here.text.islower() and is_alone
    if takes_zones and (looks_like_zones or not takes_label):
        yield from _zones(spot, ends)
    if takes_label and not (looks_like_zones and (takes_zones or spot.takes("COMMA"))):
        yield from _labels(spot, ends)


def _labels(spot: Spot, ends: list[int]) -> Iterator[Found]:
    lower = spot.piece().text.islower()
    may_end_twice = len(ends) > 1 and spot.takes("$END", "U_IN")
    may_be_zone = spot.takes_zones and (lower or ends[0] == spot.at + 1) and spot.piece().kind == "WORD"
    certain = not (may_end_twice or may_be_zone or spot.takes("COMMA"))
    for end in ends:
        edited = put_in_quotes(spot.pieces, spot.at, end, spot.typed)
        label = edited.pieces[spot.at]
        options = [(sure if certain else guess)(edited, label.text)]
        if lower and not certain and end > spot.at + 1:
            options += _as_list(spot, end)
        headline = f"a label stands in quotes, {short(label.text)}"
        repair = Repair(codes.BARE_LABEL, label.start, label.end, headline, _LABEL_WHY, tuple(options))
        yield Found((repair,), edited.pieces)


def _as_list(spot: Spot, end: int) -> list[Option]:
    """Return the option that several small words are zones, or further members of a list."""
    names = spot.pieces[spot.at : end]
    if any(name.kind != "WORD" for name in names):
        return []
    if spot.takes("COMMA"):
        edited, said = insert_after(spot.pieces, spot.at - 1, ","), f"{spot.piece(-1).text}, "
    else:
        edited, said = insert_before(spot.pieces, spot.at, "in"), "in "
    for number in range(len(names) - 1):
        edited = both(edited, insert_after(edited.pieces, spot.at + 1 + 2 * number, ","))
    return [guess(edited, said + ", ".join(name.text for name in names))]


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
    here, glued = spot.piece(), spot.piece().text.removeprefix("in")
    edited = insert_before(spot.pieces, spot.at, "in")
    said = f"in {here.text}"
    if glued != here.text and is_zone_in(spot.around, glued):
        edited, said = reword(spot.pieces, spot.at, spot.at + 1, "in", glued), f"in {glued}"
    if spot.takes("LIKE"):
        other = insert_before(spot.pieces, spot.at, "like")
        options: tuple[Option, ...] = (guess(edited, said), guess(other, f"like {here.text}"))
    elif ends and spot.piece(-1).text == "drop":
        label = put_in_quotes(spot.pieces, spot.at, ends[0], spot.typed)
        options = (guess(edited, said), guess(label, label.pieces[spot.at].text))
    else:
        is_sure = (spot.first == "ring" or not ends) and not here.text.startswith("in")
        options = ((sure if is_sure else guess)(edited, said),)
    headline = f"zones stand after the word in: {said}"
    repair = Repair(codes.MISSING_WORD, here.start, here.end, headline, _ZONES_WHY, options)
    # Of `indoor` nobody can tell whether the zone is `door` or `indoor` where there is neither.
    is_clear = glued == here.text or any(is_zone_in(spot.around, name) for name in (glued, here.text))
    yield Found((repair,), edited.pieces, is_clear)


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
