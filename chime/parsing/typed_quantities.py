"""Numbers and units as people write them."""

from collections.abc import Iterator
from itertools import pairwise

from chime.parsing import typed_faults as codes
from chime.parsing.repair import Repair
from chime.parsing.typed_line import Edited, Piece, Pieces, insert_after, insert_before, reword
from chime.parsing.typed_spot import AND_WORDS, Found, Spot, guess, sure
from chime.parsing.typed_values import UNITS, unit_meant

_UNIT_WHY = "Units have one spelling each, so that a unit is never mistaken for a word."
_USUAL = {
    "shift": "min", "signal": "s", "periods": "min", "each": "min", "longest": "s", "loop": "h",
    "row": "mm", "sprocket": "mm", "tape": "mm", "tracks": "mm", "hole": "mm", "finger": "mm",
    "side": "mm", "gate": "s", "drive": "s", "relay": "ms", "errors": "mm", "web": "mm",
    "silenced": "min", "costs": "min", "allowance": "mm", "wear": "mm", "wheel": "mm",
    "reserve": "%", "cable": "m", "bells": "mA", "clocks": "mA",
}  # fmt: skip
_USUAL_AFTER = {
    ("loop", "of"): "min", ("errors", "stretch"): "%", ("wheel", "over"): "degrees",
    ("cable", "cable"): "mm2", ("supply", "for"): "s", ("supply", "short-time"): "A",
}  # fmt: skip
"""The unit by the word before the number, where it differs from the usual one of the line."""


def units(spot: Spot) -> Iterator[Found]:
    """Find units by another name, and in the rest of the line too."""
    if not spot.takes_unit:
        return
    pieces, repairs, at = spot.pieces, list[Repair](), spot.at
    while at < len(pieces):
        length, unit = _unit_at(pieces, at)
        if unit and (at == spot.at or pieces[at - 1].kind == "NUMBER"):
            edited = reword(pieces, at, at + length, unit)
            start, end = pieces[at].start, pieces[at + length - 1].end
            headline = f"this unit is written {unit}, not {spot.typed[start:end]}"
            repairs.append(Repair(codes.UNIT_FORM, start, end, headline, _UNIT_WHY, (sure(edited, unit),)))
            pieces = edited.pieces
        elif at == spot.at:
            return
        at += 1
    yield Found(tuple(repairs), pieces)


def _unit_at(pieces: Pieces, at: int) -> tuple[int, str | None]:
    """Return of how many pieces a unit by another name is made, and the language's unit."""
    here, follower = pieces[at], pieces[at + 1] if at + 1 < len(pieces) else None
    if here.kind == "INCH":
        return 1, "in"
    if here.text == "\N{DEGREE SIGN}":
        return 1, "degrees"
    if follower and here.text in ("sq", "per") and follower.text in ("mm", "cent"):
        return 2, "mm2" if here.text == "sq" else "%"
    if follower and here.text == "mm" and follower.text == "^" and pieces[at + 2 : at + 3]:
        return 3, "mm2"
    dotted = follower is not None and follower.text == "." and not follower.gap
    if dotted and here.text in UNITS:
        return 2, here.text
    return (2 if dotted else 1), unit_meant(here.text)


def two_quantities(spot: Spot) -> Iterator[Found]:
    """Find a second quantity without the word that says what it is: `by` or `within`."""
    here = spot.piece()
    wanted = [word for word in ("by", "within") if spot.takes(word.upper())]
    before = spot.piece(-2 if spot.piece(-1).text == "," else -1)
    if here.kind != "NUMBER" or before.text not in UNITS or not wanted:
        return
    edits = [(insert_before(spot.pieces, spot.at, word), f"{word} {here.text}") for word in wanted]
    right = [(edited, said) for edited, said in edits if spot.is_right(edited.pieces)]
    if right:
        said = " or ".join(said for _, said in right)
        headline = f"a word is missing: {said}"
        why = "A second value could be the other side of a thing, or what is tolerated of the first."
        options = tuple(guess(edited, said) for edited, said in right)
        repair = Repair(codes.MISSING_WORD, here.start, here.end, headline, why, options)
        yield Found((repair,), right[0][0].pieces)


def missing_units(spot: Spot) -> Iterator[Found]:
    """Find a number without its unit, and offer the usual one."""
    # In `loop 24 in rows` the word in was read as inches.
    as_inches = spot.first == "loop" and spot.piece(-1).text == "in" and spot.takes("U_IN")
    step = -2 if as_inches else -1
    number = spot.piece(step)
    if number.kind != "NUMBER" or not (spot.takes_unit or as_inches):
        return
    unit = usual_unit(spot.pieces, spot.at + step)
    if unit is None:
        return
    edited = insert_after(spot.pieces, spot.at + step, unit)
    said = f"{number.text} {unit}"
    repair = Repair(
        codes.MISSING_UNIT,
        number.start,
        number.end,
        f"the number {number.text} has no unit",
        "A number alone could be seconds or minutes, millimetres or inches.",
        (guess(edited, said),),
    )
    yield Found((repair,), edited.pieces)


def usual_unit(pieces: Pieces, at: int) -> str | None:
    """Return the unit that the number at a piece most likely has."""
    first = "shift" if any(piece.text == "shift" for piece in pieces[:at]) else pieces[0].text
    before = next((piece.text for piece in reversed(pieces[:at]) if piece.kind == "WORD"), first)
    if before == "within" and (earlier := _units_said(pieces[:at])):
        return earlier[-1]
    if (first, before) in _USUAL_AFTER:
        return _USUAL_AFTER[first, before]
    if first == "supply":
        return "A" if _units_said(pieces[:at]) or pieces[at - 1].kind == "NUMBER" else "V"
    return _USUAL.get(first)


def _units_said(pieces: Pieces) -> list[str]:
    return [right.text for left, right in pairwise(pieces) if left.kind == "NUMBER" and right.text in UNITS]


def tolerances(spot: Spot) -> Iterator[Found]:
    """Find the sign for plus or minus where `within` is meant."""
    here, number, follower = spot.piece(), spot.piece(1), spot.piece(2)
    if here.kind != "EITHER" or number.kind != "NUMBER":
        return
    at = spot.at
    if spot.takes("WITHIN"):
        edited, said = reword(spot.pieces, at, at + 1, "within"), f"within {number.text}"
    elif spot.takes_unit and spot.piece(-1).kind == "NUMBER":
        unit = follower.text if follower.text in UNITS else unit_meant(follower.text)
        unit = unit or usual_unit(spot.pieces, at - 1)
        if unit is None:
            return
        edited, said = reword(spot.pieces, at, at + 1, unit, "within"), f"{unit} within {number.text}"
    else:
        return
    typed = spot.typed[here.start : here.end]
    why = "The language writes in words what is tolerated either side of a value."
    option = sure(edited, said + (f" {follower.text}" if follower.kind == "WORD" else ""))
    headline = f"what is tolerated either side follows the word within, not {typed}"
    repair = Repair(codes.PLUS_MINUS, here.start, here.end, headline, why, (option,))
    yield Found((repair,), edited.pieces)


def below_nothing(spot: Spot) -> Iterator[Found]:
    """Find a minus before a number that is never below nothing."""
    here, number = spot.piece(), spot.piece(1)
    if here.text != "-" or number.kind != "NUMBER" or number.gap or not spot.takes("NUMBER"):
        return
    edited = reword(spot.pieces, spot.at, spot.at + 2, number.text)
    typed = f"-{number.text}"
    headline = f"{typed} is below nothing"
    why = "Lengths, times and tolerances are plain numbers; a tolerance goes to both sides by itself."
    option = guess(edited, number.text)
    repair = Repair(codes.BELOW_NOTHING, here.start, number.end, headline, why, (option,))
    yield Found((repair,), edited.pieces)


def missing_tolerances(spot: Spot) -> Iterator[Found]:
    """Find a signal that does not say what is tolerated either side of its length."""
    if spot.first != "signal" or not spot.takes("WITHIN") or spot.piece().kind not in ("END", "STRING"):
        return
    repair = Repair(
        codes.MISSING_TOLERANCE,
        spot.pieces[0].start,
        spot.piece(-1).end,
        "a signal says by how much it may be longer or shorter",
        "No machine keeps a length exactly, and without a tolerance nobody could say whether it is kept well "
        "enough: write it behind the word within, as in 6 s within 1.5 s.",
        (),
    )
    stand_in = insert_before(spot.pieces, spot.at, "within", "1", "s")
    yield Found((repair,), stand_in.pieces, is_clear=False)


def decimal_commas(spot: Spot) -> Iterator[Found]:
    """Find a comma inside a number: a decimal comma, or a list without its spaces."""
    if spot.piece().kind != "COMMAS" or not spot.takes("NUMBER"):
        return
    pieces, repairs, at = spot.pieces, list[Repair](), spot.at
    while at < len(pieces) and pieces[at].kind in ("COMMAS", "NUMBER", "SIGN"):
        here = pieces[at]
        if here.kind == "COMMAS":
            readings = _comma_readings(pieces, at)
            repairs.append(_comma_repair(here, readings))
            pieces = readings[0][1].pieces
        elif here.kind == "SIGN" and here.text != ",":
            break
        at += 1
    yield Found(tuple(repairs), pieces)


def _comma_readings(pieces: Pieces, at: int) -> list[tuple[str, Edited]]:
    """Return what a number with commas may mean, the likeliest first."""
    parts = pieces[at].text.split(",")
    before = pieces[at - 1].text if at else ""
    listed = ", ".join(parts)
    if before in ("tracks", "track", "periods") or len(parts) > 2:
        meant = [listed]
    elif len(parts[1]) == 3 and "." not in parts[1] and parts[0] != "0":
        meant = [".".join(parts), "".join(parts)]
    else:
        meant = [".".join(parts)]
    return [(text, reword(pieces, at, at + 1, *text.replace(",", " ,").split())) for text in meant]


def _comma_repair(here: Piece, readings: list[tuple[str, Edited]]) -> Repair:
    return Repair(
        codes.DECIMAL_COMMA,
        here.start,
        here.end,
        f"{here.text} could be one number or several",
        "Decimals have a point, and the comma of a list has a space after it; read wrongly, a track would "
        "lie somewhere else on the tape.",
        tuple(guess(edited, text) for text, edited in readings),
    )


def fractions(spot: Spot) -> Iterator[Found]:
    """Find a fraction where a number is looked for; nothing is offered, since it would have to be rounded."""
    here = spot.piece()
    if here.kind != "FRACTION" or not (spot.takes("NUMBER") or spot.takes_unit):
        return
    repair = Repair(
        codes.NUMBER_FORM,
        here.start,
        here.end,
        f"the fraction {here.text} is no number of the language",
        "Many fractions have no exact decimals, and nothing is rounded unseen: write it as in 0.1.",
        (),
    )
    yield Found((repair,), reword(spot.pieces, spot.at, spot.at + 1, "1").pieces, is_clear=False)


def period_numbers(spot: Spot) -> Iterator[Found]:
    """Find `periods 2, 3, 4` where `periods 2 to 4` is meant, and the same after `period`."""
    if spot.rule != "timetable_line" or spot.first not in ("period", "periods"):
        return
    pieces, numbers, end = spot.pieces, list[int](), 1
    while end < len(pieces) and (
        pieces[end].kind in ("NUMBER", "COMMAS") or pieces[end].text in AND_WORDS | {",", "to", "-"}
    ):
        if pieces[end].kind in ("NUMBER", "COMMAS"):
            numbers += [int(part) for part in pieces[end].text.split(",") if part.isdigit()]
        end += 1
    if len(numbers) < 2 or end >= len(pieces) or pieces[end].text != "of":
        return
    if spot.first == "period" and spot.takes("STRING"):
        yield _periods(spot)
    elif spot.first == "periods" and numbers == list(range(numbers[0], numbers[-1] + 1)) and spot.at < end:
        said = f"{numbers[0]} to {numbers[-1]}"
        edited = reword(pieces, 1, end, str(numbers[0]), "to", str(numbers[-1]))
        place = (pieces[1].start, pieces[end - 1].end)
        why = "Periods that follow each other are written with the first and the last number."
        repair = Repair(codes.RANGE_FORM, *place, f"this is written {said}", why, (sure(edited, said),))
        yield Found((repair,), edited.pieces)


def _periods(spot: Spot) -> Found:
    here = spot.pieces[0]
    edited = reword(spot.pieces, 0, 1, "periods")
    why = "One period has a label and two times; several that follow each other are periods."
    headline = "several periods in one line begin with the word periods"
    repair = Repair(codes.ONE_OR_SEVERAL, here.start, here.end, headline, why, (sure(edited, "periods"),))
    return Found((repair,), edited.pieces)
