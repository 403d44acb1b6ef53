"""Times of day, ranges of every kind and shifts, as people write them."""

from collections.abc import Iterator

from chime.parsing import typed_faults as codes
from chime.parsing.repair import Option, Repair
from chime.parsing.typed_line import Edited, Piece, Pieces, both, delete, glue_before, reword
from chime.parsing.typed_slips import clock_repair, time_repair
from chime.parsing.typed_spot import AND_WORDS, RANGE_WORDS, Found, Spot, guess, sure
from chime.parsing.typed_values import (
    CLOCK_WORDS,
    UNITS,
    read_clock,
    read_h_between,
    unit_meant,
    weekday_meant,
)

_JOINING = RANGE_WORDS | AND_WORDS | {",", "from"}
_UP_TO = frozenset(["until", "till", "til"])
_LATER, _EARLIER = frozenset(["later", "forward"]), frozenset(["earlier", "back"])


def is_time(piece: Piece) -> bool:
    """Say whether a piece is, or could only be meant for, a time of day where one is looked for."""
    if piece.kind == "NUMBER":
        return read_clock(piece.text) is not None
    return piece.kind == "TIME" or piece.text.casefold() in CLOCK_WORDS or _read_h(piece) is not None


def clocks(spot: Spot) -> Iterator[Found]:
    """Find `08.45`, `0845`, `15h30` and `noon` where a time is looked for, and in the list behind it."""
    if not spot.takes("TIME"):
        return
    pieces, repairs, at = spot.pieces, list[Repair](), spot.at
    while at < len(pieces):
        here = _clock(pieces, at)
        if here is not None:
            repairs.append(here[0])
            at += len(here[1]) - len(pieces) + 1
            pieces = here[1]
        elif pieces[at].kind == "TIME" or (at > spot.at and pieces[at].text in _JOINING):
            at += 1
        else:
            break
    if repairs:
        yield Found(tuple(repairs), pieces)


def _clock(pieces: Pieces, at: int) -> tuple[Repair, Pieces] | None:
    piece = pieces[at]
    place = (piece.start, piece.end)
    if piece.kind == "NUMBER" and (meant := read_clock(piece.text)):
        return _edited(time_repair(place, piece.text, meant), reword(pieces, at, at + 1, meant))
    if piece.kind == "COMMAS":
        meants = [read_clock(part) for part in piece.text.split(",")]
        if None not in meants:
            words = [word for meant in meants for word in (",", str(meant))][1:]
            repair = time_repair(place, piece.text, ", ".join(map(str, meants)))
            return _edited(repair, reword(pieces, at, at + 1, *words))
    if meant := _read_h(piece):
        return _edited(clock_repair(place, piece.text, ("guess", meant)), reword(pieces, at, at + 1, meant))
    if offers := CLOCK_WORDS.get(piece.text.casefold()):
        repair = clock_repair(place, piece.text, *(("guess", text) for text in offers))
        return repair, reword(pieces, at, at + 1, offers[0]).pieces
    return None


def _read_h(piece: Piece) -> str | None:
    return read_h_between(piece.text) if piece.kind == "H_TIME" else None


def _edited(repair: Repair, edited: Edited) -> tuple[Repair, Pieces]:
    option = repair.options[0]._replace(changes=edited.changes)
    return repair._replace(options=(option,)), edited.pieces


def range_signs(spot: Spot) -> Iterator[Found]:
    """Find the wrong one of `to`, `-` and `until` between two values."""
    # Two dates without a space between them are read as one word, which does not fit as a whole.
    glued = spot.piece().kind == "DATE" and spot.piece(1).text == "-"
    step = 1 if glued else 0
    sign, left, right = spot.piece(step), spot.piece(step - 1), spot.piece(step + 1)
    if sign.text not in RANGE_WORDS:
        return
    if is_time(left) and is_time(right):
        word = "until" if spot.takes("UNTIL") else "-" if spot.takes("MINUS") else "to"
        fits = spot.takes("UNTIL", "MINUS", "TO")
    else:
        word = "to"
        fits = (spot.takes("TO") or glued) and _kind_in_range(left) == _kind_in_range(right) != ""
        fits = fits and (left.kind != "STRING" or spot.first == "periods")
    if not fits or word == sign.text:
        return
    at = spot.at + step
    edited = reword(spot.pieces, at, at + 1, word)
    said = f"{left.text} {word} {right.text}"
    if word == "until":
        said = f"from {said}"
    option = (guess if word == "to" and is_time(left) else sure)(edited, said)
    repair = Repair(codes.RANGE_FORM, sign.start, sign.end, f"this is written {said}", _why(word), (option,))
    yield Found((repair,), edited.pieces)


def _kind_in_range(piece: Piece) -> str:
    if piece.kind == "WORD":
        return "DAY" if weekday_meant(piece.text) else ""
    digits = piece.kind == "STRING" and piece.text[1:-1].isdigit()
    return "NUMBER" if digits else piece.kind if piece.kind in ("DATE", "NUMBER") else ""


def _why(word: str) -> str:
    if word == "-":
        return "Two times have the sign - between them."
    if word == "until":
        return "After the word from, the time at which it ends follows the word until."
    return "Dates, weekdays and numbers go from one to another with the word to."


def ranges_from(spot: Spot) -> Iterator[Found]:
    """Find `from 08:45 to 09:45` where `08:45 - 09:45` is meant, and the same of dates and weekdays."""
    if spot.piece().text not in ("from", "between"):
        return
    at = spot.at + 1
    middle = at + (2 if spot.piece(1).kind == "WORD" and spot.piece(2).kind == "DATE" else 1)
    if middle + 1 >= len(spot.pieces) or spot.pieces[middle].text not in RANGE_WORDS | {"and"}:
        return
    first, sign, second = spot.pieces[middle - 1 : middle + 2]
    timed = is_time(first) and is_time(second) and spot.takes("TIME")
    named = first.kind in ("DATE", "NUMBER", "WORD") and spot.takes("DATE", "MON", "NUMBER")
    if not (timed or named):
        return
    word = "-" if timed else "to"
    if sign.text == word:
        edited, end = delete(spot.pieces, spot.at, at), spot.piece().end
    else:
        joined = reword(spot.pieces, middle, middle + 1, word)
        edited, end = both(joined, delete(joined.pieces, spot.at, at)), second.end
    said = f"{first.text} {word} {second.text}"
    headline = f'this is written {said}, without "{spot.piece().text}"'
    repair = Repair(codes.RANGE_FORM, spot.piece().start, end, headline, _why(word), (sure(edited, said),))
    yield Found((repair,), edited.pieces)


def windows(spot: Spot) -> Iterator[Found]:
    """Find `drop until 09:00` where `before` is meant."""
    if spot.piece().text not in _UP_TO or not spot.takes("BEFORE") or not is_time(spot.piece(1)):
        return
    edited = reword(spot.pieces, spot.at, spot.at + 1, "before")
    said = f"before {spot.piece(1).text}"
    why = "A change up to a time of the day is one before that time; until ends what begins with from."
    here = spot.piece()
    repair = Repair(
        codes.WINDOW_WORDS, here.start, here.end, f"this is written {said}", why, (sure(edited, said),)
    )
    yield Found((repair,), edited.pieces)


def shifts(spot: Spot) -> Iterator[Found]:
    """Find a shift that does not say which way."""
    if spot.piece().kind != "NUMBER" or not spot.takes("PLUS") or spot.takes("NUMBER"):
        return
    at, here, follower = spot.at, spot.piece(), spot.piece(1)
    unit = follower.text if follower.text in UNITS else unit_meant(follower.text)
    amount, end = (f"{here.text} {unit}", follower.end) if unit else (here.text, here.end)
    why = "A shift is written + for later and - for earlier; the wrong way, every bell rings at a wrong time."
    step = 2 if unit else 1
    way = spot.piece(step).text
    if way in _LATER | _EARLIER:
        sign, end = "+" if way in _LATER else "-", spot.piece(step).end
        shorter = delete(spot.pieces, at + step, at + step + 1)
        edited = both(shorter, glue_before(shorter.pieces, at, sign))
        options: tuple[Option, ...] = (sure(edited, f"{sign}{amount}"),)
    else:
        edited, back = glue_before(spot.pieces, at, "+"), glue_before(spot.pieces, at, "-")
        options = (guess(edited, f"+{amount}"), guess(back, f"-{amount}"))
    said = " or ".join(option.text for option in options)
    headline = f"a shift is written {said}"
    yield Found((Repair(codes.MISSING_SIGN, here.start, end, headline, why, options),), edited.pieces)
