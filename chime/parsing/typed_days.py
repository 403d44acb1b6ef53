"""Weekdays, dates and the lines of the exceptions, as people write them."""

from collections.abc import Iterator

from chime.diagnostics import Certainty, Code
from chime.parsing import typed_faults as codes
from chime.parsing.repair import Change, Option, Repair
from chime.parsing.surroundings import holiday_code_in, terms_in
from chime.parsing.typed_line import Edited, Piece, Pieces, delete, insert_before, move, rendered, reword
from chime.parsing.typed_slips import SOME_DATE, date_repair, date_without_offer
from chime.parsing.typed_spot import AND_WORDS, NOTHING, RANGE_WORDS, Found, Spot, guess, sure
from chime.parsing.typed_times import is_time
from chime.parsing.typed_values import is_month, read_date, weekday_meant, weekdays_meant

_EXCEPTIONS, _TIMETABLE = "exceptions_line", "timetable_line"
_DAY_RULES = ("week_line", "cycle_line", _EXCEPTIONS)
_SILENCES = frozenset(
    ("no bells", "no bell", "no rings", "no ringing", "no school", "no lessons", "no classes", "not open",
     "day off", "days off", "bells off", "school closed", "school shut", "works closed", "nothing rings")
)  # fmt: skip
_DROPS = frozenset(("remove", "delete", "cancel", "omit"))
_OTHERS = frozenset(("other", "second", "third", "2nd", "alternate"))
_NAMED_BEFORE = frozenset(("as", "timetable", "use", "run", "runs", "is", "uses"))
_DAY_WHY = "Weekdays have three letters and one spelling each, so that none is mistaken for a name."


def weekdays(spot: Spot) -> Iterator[Found]:
    """Find weekdays in other letters, with a hyphen between them, or as one word for several."""
    if not spot.takes("MON"):
        return
    here = spot.piece()
    place = (here.start, here.end)
    first, hyphen, last = here.text.partition("-")
    if hyphen and (ends := [weekday_meant(first), weekday_meant(last)]) and None not in ends:
        edited = _weekday_range(spot, str(ends[0]), str(ends[1]), len(first))
        said = f"{ends[0]} to {ends[1]}"
        why = "Weekdays go from one to another with the word to, each in its three letters."
        yield Found((_repair(codes.RANGE_FORM, place, said, why, sure(edited, said)),), edited.pieces)
    elif group := weekdays_meant(here.text):
        edited = reword(spot.pieces, spot.at, spot.at + 1, *group.replace(",", " ,").split())
        why = "Schools differ in what they call so, and every weekday must be answered for."
        yield Found((_repair(codes.WEEKDAY_WORDS, place, group, why, guess(edited, group)),), edited.pieces)
    else:
        yield from _weekdays_by_name(spot)


def _repair(code: Code, place: tuple[int, int], said: str, why: str, *options: Option) -> Repair:
    return Repair(code, *place, f"this is written {said}", why, options)


def _weekday_range(spot: Spot, first: str, last: str, cut: int) -> Edited:
    edited = reword(spot.pieces, spot.at, spot.at + 1, first, "to", last)
    start, end = spot.piece().start, spot.piece().end
    places = ((start, start + cut), (start + cut, start + cut + 1), (start + cut + 1, end))
    new = tuple(
        piece._replace(start=place[0], end=place[1])
        for piece, place in zip(edited.pieces[spot.at : spot.at + 3], places, strict=True)
    )
    return Edited((*spot.pieces[: spot.at], *new, *edited.pieces[spot.at + 3 :]), edited.changes)


def _weekdays_by_name(spot: Spot) -> Iterator[Found]:
    pieces, repairs, at = spot.pieces, list[Repair](), spot.at
    while at < len(pieces) and (day := weekday_meant(pieces[at].text)):
        dotted = at + 1 < len(pieces) and pieces[at + 1].text == "." and not pieces[at + 1].gap
        if dotted or day != pieces[at].text:
            end = at + 2 if dotted else at + 1
            place = (pieces[at].start, pieces[end - 1].end)
            edited = reword(pieces, at, end, day)
            headline = f"a weekday is written {day}, not {rendered(pieces[at:end]).strip()}"
            repairs.append(Repair(codes.WEEKDAY_FORM, *place, headline, _DAY_WHY, (sure(edited, day),)))
            pieces = edited.pieces
        at += 1
        while at < len(pieces) and pieces[at].text in RANGE_WORDS | AND_WORDS | {","}:
            at += 1
    if repairs:
        yield Found(tuple(repairs), pieces)


def dates(spot: Spot) -> Iterator[Found]:
    """Find dates that need their line to be told: without a year, in one number, sharing a month."""
    if not spot.takes("DATE"):
        return
    here, second, third = spot.piece(), spot.piece(1), spot.piece(2)
    if here.kind == "NUMBER" and len(here.text) == 8 and (meant := read_date(here.text)):
        edited = reword(spot.pieces, spot.at, spot.at + 1, meant)
        yield Found((date_repair((here.start, here.end), here.text, meant),), edited.pieces)
    elif here.kind == "NUMBER" and second.text in RANGE_WORDS and third.kind == "DATE" and third.slip:
        if meant := read_date(third.text[:8] + here.text.zfill(2)):
            edited = reword(spot.pieces, spot.at, spot.at + 1, meant)
            yield Found((date_repair((here.start, here.end), here.text, meant),), edited.pieces)
    elif length := _yearless(here, second):
        end = spot.piece(length - 1).end
        edited = reword(spot.pieces, spot.at, spot.at + length, SOME_DATE)
        repair = date_without_offer((here.start, end), spot.typed[here.start : end])
        yield Found((repair,), edited.pieces, is_clear=False)


def _yearless(here: Piece, second: Piece) -> int:
    """Return of how many pieces a date without its year is made; 0 if it is none."""
    if here.kind == "FRACTION":
        return 1
    named = here.kind == "NUMBER" and second.kind == "WORD" and is_month(second.text)
    return 2 if named or (is_month(here.text) and second.kind == "NUMBER") else 0


def two_dates(spot: Spot) -> Iterator[Found]:
    """Find two dates with nothing between them."""
    here, before = spot.piece(), spot.piece(-1)
    if here.kind != "DATE" or before.kind != "DATE" or not spot.takes("TO"):
        return
    edited, said = insert_before(spot.pieces, spot.at, "to"), f"{before.text} to {here.text}"
    words = (f"the word to is missing: {said}", "Two dates without it could be a range, or two days.")
    repair = Repair(codes.MISSING_WORD, before.start, here.end, *words, (guess(edited, said),))
    yield Found((repair,), edited.pieces)


def several_dates(spot: Spot) -> Iterator[Found]:
    """Find a list of dates, or of weekdays after `every`, before what one line says of one of them."""
    if spot.rule != _EXCEPTIONS:
        return
    begin = 1 if spot.first == "every" else 0
    ends = _ends_of_list(spot.pieces, begin)
    if len(ends) < 2 or not ends[0] <= spot.at < ends[-1]:
        return
    starts = (begin, *(_past_joins(spot.pieces, end) for end in ends[:-1]))
    segments = [rendered(spot.pieces[a:b]).strip() for a, b in zip(starts, ends, strict=True)]
    untold = tuple(p.slip for p in spot.pieces[ends[0] : ends[-1]] if p.slip and not p.slip.options)
    edited = delete(spot.pieces, ends[0], ends[-1])
    repair = Repair(
        codes.SEVERAL_DATES,
        spot.pieces[begin].start,
        spot.pieces[ends[-1] - 1].end,
        f"a line is for one {'weekday' if begin else 'date or one range'}: this is {len(ends)} lines",
        "Then each can be changed, moved or taken out without touching the others.",
        () if untold else (sure(edited, f"{len(ends)} lines"),),
    )
    again = tuple(("every " if begin else "") + segment for segment in segments[1:])
    yield Found((repair, *untold), edited.pieces, is_clear=False, again=again, rest=ends[0])


def _ends_of_list(pieces: Pieces, at: int) -> list[int]:
    """Return where each date, range of dates or weekday of a list ends."""
    ends: list[int] = []
    by_weekday = at == 1
    while True:
        end = at + 1 if by_weekday else _end_of_date(pieces, at)
        if _at(pieces, end - 1) != ("WEEKDAY" if by_weekday else "DATE"):
            return ends
        if not by_weekday and end < len(pieces) and pieces[end].text == "to":
            end = _end_of_date(pieces, end + 1)
        ends.append(end)
        at = _past_joins(pieces, end)
        if at == end:
            return ends


def _end_of_date(pieces: Pieces, at: int) -> int:
    return at + (2 if _at(pieces, at) == "WEEKDAY" else 1)


def _past_joins(pieces: Pieces, at: int) -> int:
    while at < len(pieces) and pieces[at].text in AND_WORDS | {","}:
        at += 1
    return at


def _at(pieces: Pieces, at: int) -> str:
    piece = pieces[at] if at < len(pieces) else NOTHING
    return "WEEKDAY" if weekday_meant(piece.text) == piece.text else piece.kind


def in_several_lines(found: Found, typed: str, mended: Pieces) -> Found:
    """Write the lines of a list of dates, now that the rest of the line is mended."""
    repair = found.repairs[0]
    if not repair.options:
        return found
    rest = rendered(mended[found.rest :])
    indent = typed[: len(typed) - len(typed.lstrip())]
    lines = "".join(f"\n{indent}{beginning}{rest}" for beginning in found.again)
    option = repair.options[0]
    changes = (*option.changes, Change(len(typed), len(typed), lines))
    return found._replace(repairs=(repair._replace(options=(option._replace(changes=changes),)),))


def instead(spot: Spot) -> Iterator[Found]:
    """Find `instead normal`, and words that do not belong before or behind a timetable's name."""
    here, before = spot.piece(), spot.piece(-1)
    if here.text == "instead" and spot.rule == _EXCEPTIONS and spot.piece(1).kind == "WORD":
        edited = move(spot.pieces, spot.at, spot.at + 1, spot.at + 2)
        said = f"{spot.piece(1).text} instead"
        why = "The word instead follows what is done."
        place = (here.start, spot.piece(1).end)
        yield Found((_repair(codes.WORD_ORDER, place, said, why, sure(edited, said)),), edited.pieces)
    if spot.rule not in _DAY_RULES:
        return
    if before.text in _NAMED_BEFORE and here.kind == "WORD":
        yield _without(spot, spot.at - 1, here.text)
    elif here.text == "timetable" and before.kind == "WORD":
        yield _without(spot, spot.at, before.text)


def _without(spot: Spot, at: int, name: str) -> Found:
    word = spot.pieces[at]
    edited = delete(spot.pieces, at, at + 1)
    headline = f'the name stands alone, without "{word.text}"'
    why = "A day is given a timetable by its name alone."
    repair = Repair(codes.WORD_TOO_MANY, word.start, word.end, headline, why, (sure(edited, name),))
    return Found((repair,), edited.pieces)


def actions(spot: Spot) -> Iterator[Found]:
    """Find `ring` in the exceptions, and what is written there in a timetable."""
    before, here = spot.piece(-1), spot.piece()
    timed = is_time(here) or is_time(spot.piece(1))
    if spot.rule == _EXCEPTIONS and before.text == "ring" and timed:
        yield _action(
            spot,
            spot.at - 1,
            "add",
            "sure",
            "To one day a ring is added; what rings always is written in timetables.",
        )
    elif spot.rule == _EXCEPTIONS and before.text in _DROPS:
        yield _action(spot, spot.at - 1, "drop", "guess", "What does not ring on a day is dropped.")
    elif spot.rule == _TIMETABLE and spot.at == 0 and here.text == "add":
        yield _action(
            spot,
            0,
            "ring",
            "sure",
            "In a timetable every ring is written with ring; only an exception adds one to a day.",
        )
    elif spot.rule == _TIMETABLE and spot.at == 0 and (here.text in _DROPS or here.text == "silent"):
        yield _action(spot, 0, "drop", "guess", "A timetable drops what it does not take over.")


def _action(spot: Spot, at: int, word: str, certainty: Certainty, why: str) -> Found:
    edited = reword(spot.pieces, at, at + 1, word)
    here = spot.pieces[at]
    offer = (sure if certainty == "sure" else guess)(edited, word)
    return Found((_repair(codes.OTHER_ACTION, (here.start, here.end), word, why, offer),), edited.pieces)


def silences(spot: Spot) -> Iterator[Found]:
    """Find `no bells` and its like where a day is silent."""
    before, here = spot.piece(-1), spot.piece()
    if spot.rule not in _DAY_RULES or f"{before.text} {here.text}".casefold() not in _SILENCES:
        return
    edited = reword(spot.pieces, spot.at - 1, spot.at + 1, "silent")
    why = "A day on which nothing rings is silent; any other word there is the name of a timetable."
    place = (before.start, here.end)
    yield Found(
        (_repair(codes.SILENCE_BY_NAME, place, "silent", why, guess(edited, "silent")),), edited.pieces
    )


def every(spot: Spot) -> Iterator[Found]:
    """Find `every Wed` without its dates, `every other Wed`, and `Wed from` without `every`."""
    here = spot.piece()
    if spot.rule == _EXCEPTIONS and here.text == "from" and spot.at == 1 and weekday_meant(spot.first):
        yield _without_every(spot)
    if spot.rule != _EXCEPTIONS or spot.first != "every":
        return
    if spot.takes("MON") and here.text.casefold() in _OTHERS and weekday_meant(spot.piece(1).text):
        yield _every_other(spot)
    elif spot.takes("FROM") and here.kind != "DATE" and here.text not in RANGE_WORDS | AND_WORDS | {","}:
        terms = terms_in(spot.around)
        edits = [insert_before(spot.pieces, spot.at, "from", a, "to", b) for a, b in terms[:4]]
        day = spot.piece(-1).text
        options = tuple(
            guess(e, f"every {day} from {a} to {b}") for e, (a, b) in zip(edits, terms, strict=False)
        )
        stand_in = insert_before(spot.pieces, spot.at, "from", SOME_DATE, "to", SOME_DATE)
        repair = Repair(
            codes.EVERY_WITHOUT_DATES,
            spot.pieces[0].start,
            spot.piece(-1).end,
            f"every {day} needs its first and its last date",
            "Otherwise it would reach into terms that nobody thought of; write from and to, with two dates, "
            "after the weekday.",
            options,
        )
        yield Found((repair,), (edits[0] if edits else stand_in).pieces, is_clear=bool(edits))


def _without_every(spot: Spot) -> Found:
    edited, said = insert_before(spot.pieces, 0, "every"), f"every {spot.first} from"
    words = (
        f"the word every is missing: {said}",
        "Without it the dates could be meant alone, each day of them.",
    )
    repair = Repair(
        codes.MISSING_WORD, spot.pieces[0].start, spot.piece().end, *words, (guess(edited, said),)
    )
    return Found((repair,), edited.pieces)


def _every_other(spot: Spot) -> Found:
    here, day = spot.piece(), spot.piece(1)
    repair = Repair(
        codes.EVERY_OTHER,
        spot.pieces[0].start,
        day.end,
        f"{spot.first} {here.text} {day.text} cannot be said in one line",
        "Give each date a line of its own. For every second week there are weeks in turn: `weeks a, b`.",
        (),
    )
    return Found((repair,), delete(spot.pieces, spot.at, spot.at + 1).pieces, is_clear=False)


def holidays(spot: Spot) -> Iterator[Found]:
    """Find `public holidays` without the code that says whose."""
    if spot.rule != _EXCEPTIONS or not spot.takes("OF") or spot.piece(-1).text != "holidays":
        return
    here, holidays_word = spot.piece(), spot.piece(-1)
    place = (spot.pieces[0].start, holidays_word.end)
    if here.kind == "WORD" and here.text[:2].isupper():
        edited = insert_before(spot.pieces, spot.at, "of")
        said = f"public holidays of {here.text}"
        why = "The code follows the word of."
        yield Found((_repair(codes.MISSING_WORD, place, said, why, sure(edited, said)),), edited.pieces)
        return
    code = holiday_code_in(spot.around)
    edited = insert_before(spot.pieces, spot.at, "of", code or "XX")
    repair = Repair(
        codes.HOLIDAYS_OF_WHERE,
        *place,
        "public holidays of which country or part of it?",
        "They differ from land to land, and a bell that keeps the wrong ones rings in an empty building; "
        "write a code such as GB-ENG, IE or AU-NSW after the word of.",
        (guess(edited, f"public holidays of {code}"),) if code else (),
    )
    yield Found((repair,), edited.pieces, is_clear=code is not None)
