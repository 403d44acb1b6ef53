"""Lines that begin with another word than the language's, or say their parts in another order."""

from collections.abc import Iterator

from chime.parsing import typed_faults as codes
from chime.parsing.faults import OPENERS
from chime.parsing.typed_line import insert_before, move, rendered, reword
from chime.parsing.typed_spot import AND_WORDS, NOTHING, Found, Spot, guess, marking, one_sure, short, sure
from chime.parsing.typed_times import is_time

_OPENERS_MEANT = {
    "program": "programme", "programs": "programme", "programmes": "programme",
    "include": "use", "import": "use", "exception": "exceptions",
    "zones": "zone", "groups": "group", "audiences": "audience", "signals": "signal",
    "timetables": "timetable", "machines": "machine", "supplies": "supply", "lines": "line",
}  # fmt: skip

_PARTS = {
    "gate none": "no gate", "gate no": "no gate", "gate no gate": "no gate", "gate off": "no gate",
    "gate without": "no gate", "without gate": "no gate", "gate : none": "no gate",
    "sprocket friction": "friction", "drive friction": "friction", "friction drive": "friction",
    "drive by friction": "friction", "sprocket none": "friction",
    "no sprocket": "friction", "no sprockets": "friction",
}  # fmt: skip

_PAUSES = frozenset(["break", "lunch", "lunchtime", "recess", "dinner", "tea", "interval", "playtime"])
_PERIODS = frozenset(["lesson", "class"])
_LIST_WHY = "The members of a list are parted by commas, the last two too."
_MARKS = frozenset(":;.=")


def opener_meant(word: str) -> str | None:
    """Return the opener that was meant by a word in other letters or by a word known to be typed for it."""
    small = word.casefold()
    return small if small in OPENERS and small != word else _OPENERS_MEANT.get(small)


def openers(spot: Spot) -> Iterator[Found]:
    """Find a block that is opened by another word."""
    here = spot.piece()
    if spot.rule != "opener" or spot.at != 0 or (meant := opener_meant(here.text)) is None:
        return
    edited = reword(spot.pieces, 0, 1, meant)
    words = (
        f"this block begins with {meant}, not {here.text}",
        "The words that open a block have one spelling each.",
    )
    yield one_sure(spot, codes.OPENER_BY_NAME, 0, words, edited, meant)


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
    labelled = spot.piece(end).kind == "STRING" or (
        spot.piece(end).kind == "NUMBER" and not is_time(spot.piece(end))
    )
    if not word or (labelled and end > 1) or not (labelled or is_time(spot.piece(end))):
        return
    label = () if labelled else (f'"{" ".join(called).capitalize()}"',)
    edited = reword(spot.pieces, 0, end, word, *label)
    said = " ".join((word, *label))
    words = (
        f"this is written {said}",
        "What a stretch of the day is called is its label, and not a word of the language.",
    )
    repair = marking(codes.PERIOD_BY_NAME, spot.pieces[:end], words, guess(edited, said))
    yield Found((repair,), edited.pieces)


def order(spot: Spot) -> Iterator[Found]:
    """Find a signal before its times, and a label or reason that does not stand where it belongs."""
    here, before = spot.piece(), spot.piece(-1)
    if spot.takes("TIME") and here.kind == "WORD":
        yield from _signal_first(spot)
    if spot.takes("STRING") and is_time(here):
        yield from _label_behind(spot)
    # Of two labels nobody can tell which is the reason.
    if here is NOTHING or not here.gap or [piece.kind for piece in spot.pieces].count("STRING") > 1:
        return
    if here.kind == "STRING" and not spot.takes("STRING") and spot.piece(1).gap:
        yield _to_the_end(spot, spot.at)
    if before.kind == "STRING" and here.kind != "STRING" and before.gap:
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
    words = (
        f"the times stand before the signal: {short(said)}",
        "A ring says when, then what sounds, then where.",
    )
    repair = marking(codes.WORD_ORDER, pieces[at:end], words, sure(edited, said))
    yield Found((repair,), edited.pieces)


def _label_behind(spot: Spot) -> Iterator[Found]:
    pieces, at = spot.pieces, spot.at
    end = at
    while end < len(pieces) and (is_time(pieces[end]) or pieces[end].text in ("-", "to", "until")):
        end += 1
    if end < len(pieces) and pieces[end].kind == "STRING":
        edited = move(pieces, at, end, end + 1)
        said = f"{pieces[end].text} {rendered(pieces[at:end]).strip()}"
        words = (
            f"the label stands before the times: {short(said)}",
            "A period says what it is called, then when it is.",
        )
        repair = marking(codes.WORD_ORDER, pieces[at : end + 1], words, sure(edited, said))
        yield Found((repair,), edited.pieces)


def _to_the_end(spot: Spot, at: int) -> Found:
    pieces = spot.pieces
    edited = move(pieces, at, at + 1, len(pieces))
    words = (
        f"the words {short(pieces[at].text)} stand at the end of the line",
        "A label or a reason is the last that a line says.",
    )
    said = f"{pieces[-1].text} {pieces[at].text}"
    repair = marking(codes.WORD_ORDER, (pieces[at],), words, sure(edited, said))
    return Found((repair,), edited.pieces)


def parts(spot: Spot) -> Iterator[Found]:
    """Find `gate none` and `drive friction`, which have a line of their own."""
    meant = _PARTS.get(" ".join(piece.text for piece in spot.pieces).casefold())
    if spot.rule == "machine_line" and meant:
        edited = reword(spot.pieces, 0, len(spot.pieces), *meant.split())
        words = (f"this is written {meant}", "What a machine does not have is a line of its own.")
        repair = marking(codes.PART_BY_NAME, spot.pieces, words, sure(edited, meant))
        yield Found((repair,), edited.pieces)


def added_everywhere(spot: Spot) -> Iterator[Found]:
    """Find a ring that is added without saying where."""
    if spot.rule != "exceptions_line" or not spot.takes("EVERYWHERE") or spot.takes("STRING", "$END"):
        return
    if spot.piece().kind not in ("END", "STRING"):
        return
    edited = insert_before(spot.pieces, spot.at, "everywhere")
    words = (
        "an added ring says where it is heard",
        "Other lines without zones mean every zone, but a ring too many is heard.",
    )
    repair = marking(codes.ADD_WITHOUT_ZONES, (spot.piece(-1),), words, guess(edited, "everywhere"))
    yield Found((repair,), edited.pieces)
