"""Names and numbers that are left out: nothing can be offered for them."""

from collections.abc import Iterator

from chime.parsing import typed_faults as codes
from chime.parsing.repair import Repair
from chime.parsing.surroundings import is_zone_in
from chime.parsing.typed_line import Pieces, insert_before
from chime.parsing.typed_spot import Found, Spot

_ANY_NAME, _ANY_NUMBER = "name", "1"
_SPOKEN_OF = {"in": "a zone", "like": "a timetable", "by": "a supply", "start": "a signal", "end": "a signal"}
"""What is named behind a word."""

_RUNS = {"exceptions_line", "week_line", "cycle_line"}
_OF_BLOCK = "Other lines speak of it by its name, and a view or a chart shows it by nothing else."
_OF_OTHER = "What the line speaks of would be a guess, and a wrong guess rings or silences the wrong bell."
_OF_NUMBER = "Without it the line does not say enough, and any number would be a guess."


def missing_names(spot: Spot) -> Iterator[Found]:
    """Find a line that would be right but for a name."""
    for step in (-1, 0):
        at = spot.at + step
        if at < 1 or "NAME" not in spot.accepts_at(step) or not _may_be_missing(spot, step):
            continue
        stand_in = insert_before(spot.pieces, at, _ANY_NAME)
        if spot.is_right(stand_in.pieces):
            headline, why = _words(spot, at)
            yield _found(spot.pieces, at, stand_in.pieces, (headline, why))


def _may_be_missing(spot: Spot, step: int) -> bool:
    """Say whether what stands there is rather what follows a name than a name itself, or its mistake."""
    here = spot.piece(step)
    if here.kind == "END":
        return spot.rule == "opener" and len(spot.pieces) == 1
    if here.kind == "STRING":
        inside = here.text[1:-1]
        return not inside.islower() and not is_zone_in(spot.around, inside)
    if step == -1 and spot.piece().text == ",":
        return is_zone_in(spot.around, here.text)  # `group main, yard`: its own name, and none of a list
    return True


def _words(spot: Spot, at: int) -> tuple[str, str]:
    before = spot.pieces[at - 1]
    if spot.rule == "opener" and at == 1:
        return f"this {spot.first} has no name", _OF_BLOCK
    if spot.rule in _RUNS and before.text not in ("in", ",") and "add" not in _texts(spot.pieces):
        return f"what happens then is left out behind {before.text}: silent, or a timetable", _OF_OTHER
    what = _SPOKEN_OF.get(before.text) or ("a signal" if before.kind == "TIME" else "another member")
    return f"the name of {what} is left out behind {before.text}", _OF_OTHER


def _texts(pieces: Pieces) -> set[str]:
    return {piece.text for piece in pieces}


def missing_numbers(spot: Spot) -> Iterator[Found]:
    """Find a comma, a unit or another word without its number, in a line that would be right with one."""
    step = -1 if spot.piece(-1).text == "," != spot.piece().text else 0
    here = spot.piece(step)
    if not spot.takes("NUMBER") or here.kind == "END":
        return
    pieces = insert_before(spot.pieces, spot.at, _ANY_NUMBER).pieces
    stand_in = (*pieces[: spot.at], pieces[spot.at]._replace(gap=" "), *pieces[spot.at + 1 :])
    if spot.is_right(stand_in):
        shown = "this comma" if here.text == "," else here.text
        headline = f"a number is left out {'before' if step == 0 else 'behind'} {shown}"
        yield _found(spot.pieces, spot.at + step + 1, stand_in, (headline, _OF_NUMBER))


def _found(pieces: Pieces, at: int, stand_in: Pieces, words: tuple[str, str]) -> Found:
    before = pieces[at - 1]
    repair = Repair(codes.LEFT_OUT, before.start, before.end, *words, ())
    return Found((repair,), stand_in, is_clear=False)
