"""Words that are missing, too many, out of order or others than the language's."""

from collections.abc import Iterator

from chime.diagnostics import Code
from chime.parsing import typed_faults as codes
from chime.parsing.expected import keyword
from chime.parsing.repair import Change, Option, Repair
from chime.parsing.typed_line import (
    Edited,
    Piece,
    Pieces,
    delete,
    insert_after,
    insert_before,
    move,
    rendered,
    reword,
)
from chime.parsing.typed_spot import AND_WORDS, NOTHING, Found, Spot, guess, sure
from chime.parsing.typed_times import is_time

OPENERS_MEANT = {
    "program": "programme", "programs": "programme", "programmes": "programme", "include": "use", "import": "use",
    "exception": "exceptions", "zones": "zone", "groups": "group", "audiences": "audience", "signals": "signal",
    "timetables": "timetable", "machines": "machine", "supplies": "supply", "lines": "line",
}  # fmt: skip

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
    "the": ("NAME", "NUMBER", "TIME", "DATE", "STRING"),
}
"""Words that a line does without, and what must fit in their place."""

_PARTS = {
    "gate none": "no gate", "gate no": "no gate", "gate no gate": "no gate", "gate off": "no gate",
    "gate without": "no gate", "without gate": "no gate", "gate : none": "no gate",
    "sprocket friction": "friction", "drive friction": "friction", "friction drive": "friction",
    "drive by friction": "friction", "sprocket none": "friction", "no sprocket": "friction", "no sprockets": "friction",
}  # fmt: skip

_PAUSES = frozenset("break lunch lunchtime recess dinner tea interval playtime".split())
_PERIODS = frozenset("lesson class".split())
_LIST_WHY = "The members of a list are parted by commas, the last two too."
_MARKS = frozenset(":;.=")


def _repair(code: Code, pieces: Pieces, words: tuple[str, str], *options: Option) -> Repair:
    """Return a repair that marks some pieces; `words` are its headline and its why."""
    return Repair(code, pieces[0].start, pieces[-1].end, *words, options)


def _one(spot: Spot, code: Code, step: int, words: tuple[str, str], edited: Edited, text: str) -> Found:
    """Return what is found if one piece is marked and the offer is sure."""
    return Found((_repair(code, (spot.piece(step),), words, sure(edited, text)),), edited.pieces)


def capitals(spot: Spot) -> Iterator[Found]:
    """Find a word of the language in capitals."""
    here = spot.piece()
    if here.kind != "WORD" or here.text == here.text.lower():
        return
    meant = here.text.lower()
    if meant.upper() in spot.accepts and keyword(meant.upper()) == meant or (meant == "in" and spot.takes("U_IN")):
        edited = reword(spot.pieces, spot.at, spot.at + 1, meant)
        words = (f"{meant} is written in small letters", "Capitals are for names, labels and weekdays.")
        yield _one(spot, codes.CAPITALS, 0, words, edited, meant)


def opener_meant(word: str) -> str | None:
    """Return the opener that was meant by a word in other letters or by a word known to be typed for it."""
    from chime.parsing.faults import OPENERS

    small = word.casefold()
    return small if small in OPENERS and small != word else OPENERS_MEANT.get(small)


def openers(spot: Spot) -> Iterator[Found]:
    """Find a block that is opened by another word."""
    here = spot.piece()
    if spot.rule != "opener" or spot.at != 0 or (meant := opener_meant(here.text)) is None:
        return
    edited = reword(spot.pieces, 0, 1, meant)
    words = (f"this block begins with {meant}, not {here.text}", "The words that open a block have one spelling each.")
    yield _one(spot, codes.OPENER_BY_NAME, 0, words, edited, meant)


def marks(spot: Spot) -> Iterator[Found]:
    """Find a colon, a semicolon, a full stop or an equals sign that is not of the language."""
    step = 0 if spot.piece().text in _MARKS else 1
    here = spot.piece(step)
    # A number with a mark glued to it does not fit as a whole.
    if here.text not in _MARKS or (step == 1 and (here.gap or spot.piece().kind != "NUMBER")):
        return
    at = spot.at + step
    words = (f"the mark {here.text} is not wanted here", "Lines have commas in lists and no other punctuation.")
    if here.text == ";" and spot.takes("COMMA"):
        edited = reword(spot.pieces, at, at + 1, ",")
        yield _one(spot, codes.STRAY_MARK, step, words, edited, ",")
    edited = delete(spot.pieces, at, at + 1)
    yield _one(spot, codes.STRAY_MARK, step, words, edited, f"leave {here.text} out")


def commas_too_many(spot: Spot) -> Iterator[Found]:
    """Find a comma where nothing is listed."""
    step = 0 if spot.piece().text == "," else -1
    if spot.piece(step).text != "," or (step == 0 and spot.takes("COMMA")):
        return
    edited = delete(spot.pieces, spot.at + step, spot.at + step + 1)
    words = ("this comma is one too many", "Only the members of a list are parted by commas.")
    yield _one(spot, codes.STRAY_MARK, step, words, edited, "leave the comma out")


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
        words = (f"the comma is enough, without {word.text}", _LIST_WHY)
        yield _one(spot, codes.LIST_FORM, step, words, edited, f"leave {word.text} out")
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
            words = (f"a list is written with commas: {said}", _LIST_WHY)
            repairs.append(_repair(codes.LIST_FORM, pieces[at : at + 1], words, sure(edited, said)))
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
    """Find commas and `and` in one list of tracks: either of them, or all at once?"""
    first = next(at for at, piece in enumerate(spot.pieces) if piece.kind == "NUMBER")
    end = first
    while end < len(spot.pieces) and (spot.pieces[end].kind == "NUMBER" or spot.pieces[end].text in AND_WORDS | {","}):
        end += 1
    numbers = [piece.text for piece in spot.pieces[first:end] if piece.kind == "NUMBER"]
    either = reword(spot.pieces, first, end, *" , ".join(numbers).split())
    at_once = reword(spot.pieces, first, end, *" and ".join(numbers).split())
    words = (
        "commas and the word and do not stand in one list of tracks",
        "With commas the zone is on any one of the tracks, with and on all of them at once.",
    )
    options = (guess(either, ", ".join(numbers)), guess(at_once, " and ".join(numbers)))
    yield Found((_repair(codes.LIST_FORM, spot.pieces[first:end], words, *options),), either.pieces)


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
        words = (f"a comma is missing: {said}", _LIST_WHY)
        repairs.append(_repair(codes.LIST_FORM, pieces[at : at + 1], words, sure(edited, said)))
        pieces, at = edited.pieces, at + 2
    return Found(tuple(repairs), pieces)


def _is_like(here: Piece, other: Piece) -> bool:
    return here.kind == other.kind and here.text.islower() == other.text.islower()


def missing_words(spot: Spot) -> Iterator[Found]:
    """Find a small word left out."""
    for terminal, words in _MISSING.get(spot.first, ()):
        if not spot.takes(terminal) or spot.at == 0:
            continue
        edited = insert_before(spot.pieces, spot.at, *words.split())
        shown = spot.piece() if spot.at < len(spot.pieces) else spot.piece(-1)
        said = f"{words} {shown.text}" if shown is spot.piece() else f"{shown.text} {words}"
        why = "A line is a whole phrase, so that it can be read aloud and means one thing."
        headline = f"the word {words} is missing" if " " not in words else f"the words {words} are missing"
        yield Found((_repair(codes.MISSING_WORD, (shown,), (headline, why), sure(edited, said)),), edited.pieces)


def words_too_many(spot: Spot) -> Iterator[Found]:
    """Find a small word that the language does without."""
    here = spot.piece()
    if spot.at == 0 and here.text not in ("on", "the"):
        return
    if spot.takes(*_TOO_MANY.get(here.text, ())):
        edited = delete(spot.pieces, spot.at, spot.at + 1)
        words = (f"the word {here.text} is one too many", "The language does without it.")
        yield _one(spot, codes.WORD_TOO_MANY, 0, words, edited, f"leave {here.text} out")


def order(spot: Spot) -> Iterator[Found]:
    """Find a signal before its times, and a label or reason that does not stand where it belongs."""
    here, before = spot.piece(), spot.piece(-1)
    if spot.takes("TIME") and here.kind == "WORD":
        yield from _signal_first(spot)
    if spot.takes("STRING") and is_time(here):
        yield from _label_behind(spot)
    if here.kind == "STRING" and not spot.takes("STRING") and spot.at + 1 < len(spot.pieces):
        yield _to_the_end(spot, spot.at)
    if before.kind == "STRING" and here is not NOTHING and here.kind != "STRING":
        yield _to_the_end(spot, spot.at - 1)


def _signal_first(spot: Spot) -> Iterator[Found]:
    pieces, at = spot.pieces, spot.at
    begin = at + (2 if spot.piece(1).text == "at" else 1)
    end = begin
    while end < len(pieces) and (is_time(pieces[end]) or pieces[end].text in AND_WORDS | {","}):
        end += 1
    if end == begin:
        return
    # What stands between the signal and its times vanishes with the place that the signal leaves.
    shorter = (*pieces[: at + 1], *pieces[begin:])
    edited = move(shorter, at, at + 1, end - (begin - at - 1))
    times = rendered(pieces[begin:end]).strip()
    said = f"{times} {pieces[at].text}"
    words = (f"the times stand before the signal: {said}", "A ring says when, then what sounds, then where.")
    repair = _repair(codes.WORD_ORDER, pieces[at:end], words, sure(edited, said))
    yield Found((repair,), edited.pieces)


def _label_behind(spot: Spot) -> Iterator[Found]:
    pieces, at = spot.pieces, spot.at
    end = at
    while end < len(pieces) and (is_time(pieces[end]) or pieces[end].text in ("-", "to", "until")):
        end += 1
    if end < len(pieces) and pieces[end].kind == "STRING":
        edited = move(pieces, at, end, end + 1)
        said = f"{pieces[end].text} {rendered(pieces[at:end]).strip()}"
        words = (f"the label stands before the times: {said}", "A period says what it is called, then when it is.")
        repair = _repair(codes.WORD_ORDER, pieces[at : end + 1], words, sure(edited, said))
        yield Found((repair,), edited.pieces)


def _to_the_end(spot: Spot, at: int) -> Found:
    pieces = spot.pieces
    edited = move(pieces, at, at + 1, len(pieces))
    words = (f"the words {pieces[at].text} stand at the end of the line", "A label or a reason is the last that a line says.")
    said = f"{pieces[-1].text} {pieces[at].text}"
    repair = _repair(codes.WORD_ORDER, (pieces[at],), words, sure(edited, said))
    return Found((repair,), edited.pieces)


def parts(spot: Spot) -> Iterator[Found]:
    """Find `gate none` and `drive friction`, which have a line of their own."""
    meant = _PARTS.get(" ".join(piece.text for piece in spot.pieces).casefold())
    if spot.rule == "machine_line" and meant:
        edited = reword(spot.pieces, 0, len(spot.pieces), *meant.split())
        words = (f"this is written {meant}", "What a machine does not have is a line of its own.")
        repair = _repair(codes.PART_BY_NAME, spot.pieces, words, sure(edited, meant))
        yield Found((repair,), edited.pieces)


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
    yield _one(spot, codes.ONE_OR_SEVERAL, word, words, edited, meant)


def added_everywhere(spot: Spot) -> Iterator[Found]:
    """Find a ring that is added without saying where."""
    if spot.rule != "exceptions_line" or not spot.takes("EVERYWHERE") or spot.takes("STRING", "$END"):
        return
    if spot.piece().kind not in ("END", "STRING"):
        return
    edited = insert_before(spot.pieces, spot.at, "everywhere")
    words = ("an added ring says where it is heard", "Other lines without zones mean every zone, but a ring too many is heard.")
    repair = _repair(codes.ADD_WITHOUT_ZONES, (spot.piece(-1),), words, guess(edited, "everywhere"))
    yield Found((repair,), edited.pieces)


def periods_by_name(spot: Spot) -> Iterator[Found]:
    """Find `break "Morning" 10:30 - 10:45` and `lunch 12:25 - 13:10`."""
    if spot.rule != "timetable_line" or spot.at != 0 or spot.piece().kind != "WORD":
        return
    end = 0
    while spot.piece(end).kind == "WORD":
        end += 1
    called = [piece.text for piece in spot.pieces[:end]]
    last = called[-1].casefold()
    word = "pause" if last in _PAUSES else "period" if last in _PERIODS else ""
    labelled = spot.piece(end).kind == "STRING" or (spot.piece(end).kind == "NUMBER" and not is_time(spot.piece(end)))
    if not word or (labelled and end > 1) or not (labelled or is_time(spot.piece(end))):
        return
    label = () if labelled else (f'"{" ".join(called).capitalize()}"',)
    edited = reword(spot.pieces, 0, end, word, *label)
    said = " ".join((word, *label))
    words = (f"this is written {said}", "What a stretch of the day is called is its label, and not a word of the language.")
    repair = _repair(codes.PERIOD_BY_NAME, spot.pieces[:end], words, guess(edited, said))
    yield Found((repair,), edited.pieces)
