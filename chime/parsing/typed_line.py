"""A typed line as pieces, and what can be done to them.

A piece knows its text as read and where it stands in the line as typed. So a line is repaired piece
by piece: its mended text is the pieces put together, each still at its place. Some pieces are never
right as typed, wherever they stand (a pasted dash, `8:45`): they are read as they were meant from
the beginning, and carry their repair with them as a slip.
"""

import re
from collections.abc import Callable

from chime.parsing import typed_slips as slips
from chime.parsing.grammar import line_parser
from chime.parsing.repair import Change, Mark, Repair
from chime.parsing.typed_values import DASHES, DASHES_STRAIGHT, MONTHS
from chime.records import NamedTuple


class Piece(NamedTuple):
    """A word, a value or a sign of a line.

    `gap` are the spaces before it in the line as mended, made ordinary; `lead` is the number of
    characters between it and the piece before it in the line as typed.
    """

    kind: str
    text: str
    start: int
    end: int
    gap: str
    slip: Repair | None = None
    lead: int = 0


Pieces = tuple[Piece, ...]


class Edited(NamedTuple):
    """A line after something was done to it, and the changes that do the same to the line as typed."""

    pieces: Pieces
    changes: tuple[Change, ...]


UNSEEN = "\u200b\u2060\ufeff\u00ad\u200c\u200d"
"""Characters of no width; the last two are joiners, which scripts beyond U+05FF need inside their words."""

_UNSEEN = f"[{UNSEEN[:-2]}]|[{UNSEEN[-2:]}](?![^\\x00-\\u05ff])"
HARD_SPACE = re.compile(f"(?:[^\\S \t\r\n]|{_UNSEEN})+")
_GAP = re.compile(f"(?:\\s|{_UNSEEN})*")

_D = f"[{DASHES}]"
_MONTH = "(?i:" + "|".join(MONTHS) + r")(?i:[a-z]*)\.?"
_NTH = "(?i:st|nd|rd|th)?"
_OPEN, _SHUT = "[\u201c-\u201f\u00ab\u00bb]", '["\u201c-\u201f\u00ab\u00bb]'
_INSIDE = '[^"\u201c-\u201f\u00ab\u00bb]{1,200}'
_ONE = "['\u2018\u2019\u201b]"
# A name as the grammar has it, but with hyphens of any kind.
_WORD = line_parser().get_terminal("NAME").pattern.to_regexp().replace("-(?=", f"{_D}(?=")

_FORMS = {
    "INCH": r'(?<=[0-9])"(?=[\s,]|$)',
    "STRING": r'"[^"]*"',
    "PASTED": f"{_OPEN}{_INSIDE}{_SHUT}"
    rf"|(?<!\w){_ONE}(?:(?!\s{_ONE}\S)[^\"]){{1,200}}{_ONE}(?=\s*$)"
    rf"|(?<!\w){_ONE}[^\"'\u2018-\u201b]{{1,200}}{_ONE}(?=[\s,]|$)"
    f'|"{_INSIDE}{_OPEN}',
    "HALF_DAY": r"[0-9]{1,2}(?:[:.][0-9]{2})?\s?(?i:[ap]\.?m)(?!\w)\.?",
    "DATE": rf"[0-9]{{1,2}}{_NTH}(?:\s+of)?[{DASHES}\s.]{{0,3}}{_MONTH}[{DASHES}\s,]{{1,3}}[0-9]{{4}}(?!\w)"
    rf"|(?<!\w){_MONTH}\s+[0-9]{{1,2}}{_NTH}(?:,\s?|\s)[0-9]{{4}}(?!\w)"
    rf"|[0-9]{{4}}[{DASHES}/.][0-9]{{1,2}}[{DASHES}/.][0-9]{{1,2}}(?![\w:])",
    "BAD_DATE": r"(?:[0-9]{1,2}/[0-9]{1,2}/(?:[0-9]{4}|[0-9]{2})|[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{4}"
    rf"|[0-9]{{1,2}}{_D}[0-9]{{1,2}}{_D}[0-9]{{4}})(?!\w)",
    "TIME": r"[0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?(?![\w:])(?:\s?(?i:h|hrs?|hours|uhr)(?!\w))?",
    "H_TIME": r"[0-9]{1,2}[hH][0-9]{2}(?!\w)",
    "COMMAS": r"[0-9]+(?:,[0-9]+)+(?:\.[0-9]+)?(?![0-9:])",
    "FRACTION": r"[0-9]+\s?/\s?[0-9]+(?![\w/])",
    "POINT": r"(?<![\w.])\.[0-9]+(?![0-9.])",
    "NUMBER": r"[0-9]+(?:\.[0-9]+)?",
    "EITHER": rf"\u00b1|\+\s?/\s?{_D}|\+{_D}",
    "WORD": _WORD,
    "SIGN": ".",
}
_PIECE = re.compile("|".join(f"(?P<{kind}>{form})" for kind, form in _FORMS.items()), re.DOTALL)

_SLIPS: dict[str, Callable[[int, int, str], slips.Read]] = {
    "PASTED": slips.pasted_label,
    "HALF_DAY": slips.half_day,
    "DATE": slips.date,
    "BAD_DATE": slips.day_and_month,
    "TIME": slips.time,
    "POINT": slips.bare_point,
}


def cut(text: str) -> Pieces:
    """Cut a line into pieces; strings are left as they are."""
    pieces = []
    at = _gap_end(text, 0)
    done = 0
    while at < len(text):
        match = _PIECE.match(text, at)
        assert match is not None
        if match.group() == "#":
            break
        pieces.append(_piece(match, ordinary(text[done:at]))._replace(lead=at - done))
        done = match.end()
        at = _gap_end(text, done)
    return tuple(pieces)


def _gap_end(text: str, at: int) -> int:
    match = _GAP.match(text, at)
    return match.end() if match else at


def ordinary(gap: str) -> str:
    """Return spaces of any kind as ordinary ones; those of no width vanish."""
    return HARD_SPACE.sub(lambda hard: " " * sum(c not in UNSEEN for c in hard.group()), gap)


def _piece(match: re.Match[str], gap: str) -> Piece:
    kind, typed, (start, end) = match.lastgroup or "SIGN", match.group(), match.span()
    if kind in _SLIPS:
        kind, text, slip = _SLIPS[kind](start, end, typed)
        return Piece(kind, text, start, end, gap, slip)
    if kind in ("WORD", "SIGN") and (text := typed.translate(DASHES_STRAIGHT)) != typed:
        return Piece(kind, text, start, end, gap, slips.dash(start, end, typed))
    return Piece(kind, typed, start, end, gap)


def rendered(pieces: Pieces) -> str:
    """Return the text of a line of pieces."""
    return "".join(piece.gap + piece.text for piece in pieces)


def marks(pieces: Pieces) -> tuple[Mark, ...]:
    """Return where each piece of the rendered text stands in the line as typed."""
    found, at = [], 0
    for piece in pieces:
        begin = at + len(piece.gap)
        at = begin + len(piece.text)
        found.append(Mark(begin, at, piece.start, piece.end))
    return tuple(found)


def piece_of(pieces: Pieces, offset: int) -> int:
    """Return the number of the piece at an offset of the rendered text; one too many at its end."""
    at = 0
    for number, piece in enumerate(pieces):
        at += len(piece.gap) + len(piece.text)
        if offset < at:
            return number
    return len(pieces)


# -------------------------------------------------------------------- what can be done


def reword(pieces: Pieces, i: int, j: int, *words: str) -> Edited:
    """Write other words in place of the pieces from i up to j."""
    old, rest = pieces[i:j], pieces[j:]
    before = old[0].gap or (_between(pieces[i - 1].text, words[0]) if i else "")
    after = _between(words[-1], rest[0].text) if rest and not rest[0].gap else ""
    new = []
    for number, word in enumerate(words):
        start, end = old[number][2:4] if len(words) == len(old) else (old[0].start, old[-1].end)
        gap = before if number == 0 else "" if word == "," else " "
        new.append(Piece(kind_of(word), word, start, end, gap, lead=0 if number else old[0].lead))
    text = before.removeprefix(old[0].gap) + _said(tuple(new)) + after
    return Edited((*pieces[:i], *new, *_spaced(rest, after)), (Change(old[0].start, old[-1].end, text),))


def delete(pieces: Pieces, i: int, j: int) -> Edited:
    """Take the pieces from i up to j away, with the spaces before them."""
    here, rest, last = pieces[i], pieces[j:], pieces[j - 1]
    # Behind a comma the spaces may hold the end of a line; those after the word go instead.
    if rest and (i == 0 or pieces[i - 1].text == ","):
        rest = (rest[0]._replace(gap=here.gap), *rest[1:])
        change = Change(here.start, rest[0].start, "")
    elif here.gap and here.lead:
        change = Change(here.start - here.lead, last.end, "")
    else:
        after = _between(pieces[i - 1].text, rest[0].text) if i and rest and not rest[0].gap else ""
        rest = _spaced(rest, after)
        change = Change(here.start, last.end, after)
    return Edited((*pieces[:i], *rest), (change,))


def insert_before(pieces: Pieces, k: int, *words: str) -> Edited:
    """Put words before piece k, or at the end of the line."""
    if k == len(pieces):
        return insert_after(pieces, k - 1, *words)
    here, at = pieces[k], pieces[k].start
    before = _between(pieces[k - 1].text, words[0]) if k and not here.gap else ""
    new = [Piece(kind_of(word), word, at, at, " ") for word in words]
    new[0] = new[0]._replace(gap=here.gap or before)
    change = Change(at, at, before + " ".join(words) + " ")
    return Edited((*pieces[:k], *new, here._replace(gap=" "), *pieces[k + 1 :]), (change,))


def insert_after(pieces: Pieces, k: int, *words: str) -> Edited:
    """Put words, or a comma, behind piece k."""
    at = pieces[k].end
    new = [Piece(kind_of(word), word, at, at, "" if word == "," else " ") for word in words]
    rest = pieces[k + 1 :]
    after = " " if rest and not rest[0].gap and rest[0].text != "," else ""
    change = Change(at, at, rendered(tuple(new)) + after)
    return Edited((*pieces[: k + 1], *new, *_spaced(rest, after)), (change,))


def glue_before(pieces: Pieces, k: int, sign: str) -> Edited:
    """Put a sign straight before piece k."""
    here = pieces[k]
    new = (Piece("SIGN", sign, here.start, here.start, here.gap), here._replace(gap=""))
    return Edited((*pieces[:k], *new, *pieces[k + 1 :]), (Change(here.start, here.start, sign),))


def move(pieces: Pieces, i: int, j: int, k: int) -> Edited:
    """Let the pieces from i up to j and those from j up to k change places."""
    left, right = pieces[i:j], pieces[j:k]
    if any(piece.slip for piece in left) and not any(piece.slip for piece in right):
        changes = (
            Change(left[0].start, left[0].start, _said(right) + " "),
            Change(left[-1].end, right[-1].end, ""),
        )
    else:
        left = tuple(piece._replace(slip=None) for piece in left)
        changes = (
            Change(left[0].start, right[0].start, ""),
            Change(right[-1].end, right[-1].end, " " + _said(left)),
        )
    swapped = (
        right[0]._replace(gap=left[0].gap),
        *right[1:],
        left[0]._replace(gap=" "),
        *left[1:],
    )
    return Edited((*pieces[:i], *swapped, *pieces[k:]), changes)


def put_in_quotes(pieces: Pieces, i: int, j: int, typed: str) -> Edited:
    """Read the pieces from i up to j, as typed, as one label."""
    start, end = pieces[i].start, pieces[j - 1].end
    label = Piece("STRING", f'"{typed[start:end]}"', start, end, pieces[i].gap, lead=pieces[i].lead)
    changes = (Change(start, start, '"'), Change(end, end, '"'))
    return Edited((*pieces[:i], label, *pieces[j:]), changes)


def both(first: Edited, second: Edited) -> Edited:
    """Put together an edit and the edit made after it."""
    return Edited(second.pieces, first.changes + second.changes)


def kind_of(word: str) -> str:
    """Return the kind of piece that a word or value is."""
    match = _PIECE.match(word)
    return (match.lastgroup or "SIGN") if match else "SIGN"


def _said(pieces: Pieces) -> str:
    return rendered((pieces[0]._replace(gap=""), *pieces[1:]))


def _between(left: str, right: str) -> str:
    return " " if left[-1:].isalnum() and right[:1].isalnum() else ""


def _spaced(pieces: Pieces, gap: str) -> Pieces:
    return (pieces[0]._replace(gap=gap), *pieces[1:]) if gap and pieces else pieces
