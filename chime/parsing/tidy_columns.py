"""One line of a programme cut into cells, and lines set with their cells in columns.

A cell is a part of a line that stands in a column of its own where neighbouring lines have it too: the
times of a ring, its signal, its zones, its label. Which parts these are is a table, `_CELLS`. Cells
are parted by two spaces at least, the words in a cell by one.
"""

from collections.abc import Iterable, Iterator, Sequence

from lark import UnexpectedInput

from chime.diagnostics.cells import measure
from chime.parsing.grammar import line_parser
from chime.parsing.tree import Node
from chime.records import NamedTuple

CONTINUED = "    "
"""Stands before a line that goes on with a list."""

_GAP = 2
_WIDEST = 80
_WIDEST_DAYS = 34
"""Cells wider than this stand out of their column. `every Wed from ... to ...` does; a range of dates
with their weekdays does not."""


class Word(NamedTuple):
    """A word, value or sign as the grammar reads it; `ends_line` where a list goes on below."""

    kind: str
    text: str
    start: int
    ends_line: bool = False


class Cell(NamedTuple):
    """The column that a cell belongs to, and its text: one piece for each line that it stands on."""

    column: int
    texts: tuple[str, ...]


class Row(NamedTuple):
    """A line to be set in columns with others of its family."""

    family: str
    indent: int
    cells: tuple[Cell, ...]


# ------------------------------------------------------------------- words


def read_words(text: str, rule: str, offset: int, line_ends: frozenset[int]) -> tuple[Word, ...] | None:
    """Return the words of a line, or None if it does not parse.

    `offset` is where the text begins in its file, `line_ends` where in the file its lines end.
    """
    found = []
    try:
        for token in line_parser().parse_interactive(text, start=rule).iter_parse():
            assert token.start_pos is not None
            assert token.end_pos is not None
            start, end = offset + token.start_pos, offset + token.end_pos
            found.append(Word(token.type, str(token), start, end in line_ends))
    except UnexpectedInput:
        return None
    return tuple(found)


def settle(words: Sequence[Word], rule: str) -> tuple[Word, ...]:
    """Return the words of a line in the house's form: `everywhere` alone, and commas before `within`."""
    kept: list[Word] = []
    for word in words:
        before = kept[-1] if kept else None
        # After a number `in` is the unit.
        is_long = word.text == "everywhere" and before is not None and before.text == "in"
        if is_long and len(kept) > 1 and kept[-2].kind != "NUMBER":
            kept[-1] = word._replace(start=kept[-1].start)
        else:
            kept.append(word)
    return tuple(_settle_commas(kept)) if rule in ("gate_line", "hole_line") else tuple(kept)


def _settle_commas(words: Iterable[Word]) -> Iterator[Word]:
    """Put commas before `square` and `rounded`, and before `within` but for a round hole.

    A comma on which the line goes on below stays.
    """
    before = None
    is_round = False
    for word in words:
        is_round = is_round or word.text == "round"
        if word.text == "," and not word.ends_line:
            continue
        wants_comma = word.text in ("square", "rounded") or (word.text == "within" and not is_round)
        if wants_comma and before not in (None, ",", "gate", "slot"):
            yield Word("COMMA", ",", word.start)
        yield word
        before = word.text


# ------------------------------------------------------------------- cells

_ZONES = ("in_zones", "everywhere")
_TRACKS = ("one_track", "any_track_of", "all_tracks_of")
_ACTIONS = (
    "silence", "silence_instead", "replace", "replace_instead", "as_usual", "add", "drop_line", "shift_line",
    "move_line",
)  # fmt: skip

_Beginning = int | tuple[str, ...]

_CELLS: dict[str, tuple[_Beginning, ...]] = {
    "zone": (_TRACKS, ("STRING",)),
    "group": (2,),
    "audience": (2,),
    "signal": (2, ("STRING",)),
    "timetable": (_ZONES,),
    "term": (2,),
    "supply": (2, ("quantity",), ("short_time",)),
    "line": (2,),
    "place_line": (1,),
    "issue_line": (1,),
    "each_period_line": (2,),
    "period_line": (2, _ZONES),
    "pause_line": (2, _ZONES, ("quiet",)),
    "periods_line": (_ZONES,),
    "ring_line": (("name",), _ZONES, ("STRING",)),
    "week_line": (("runs", "silent_day"),),
    "cycle_line": (2,),
    "exception_line": (_ACTIONS, ("STRING",)),
    "bells_line": (("fed_by",),),
    "no_gate_line": (),
    "contact_opens_line": (),
    "side_play_line": (2,),
    "out_of_use_line": (3,),
    "position_line": (1, 2),
}
"""Where the cells after the first begin, by the rule of a line: at which word, or at which of its parts."""

_FAMILIES = {"period_line": "period", "pause_line": "period"}


def row_of(node: Node, words: Sequence[Word], block: str, *, is_opener: bool) -> Row:
    """Return a line as cells; `block` is the kind of its block."""
    is_machine = block == "machine" and not is_opener
    beginnings = _CELLS.get(node.rule, (1,) if is_machine else ())
    places = [(0, 0)]
    for column, beginning in enumerate(beginnings, 1):
        at = _find(beginning, node, words, places[-1][1])
        if at is not None:
            places.append((column, at))
    ends = [at for _, at in places[1:]] + [len(words)]
    cells = tuple(Cell(column, _said(words[at:end])) for (column, at), end in zip(places, ends, strict=True))
    family = block if has_one_table(block) and not is_opener else _FAMILIES.get(node.rule, node.rule)
    return Row(family, 0 if is_opener else 2, cells)


def has_one_table(block: str) -> bool:
    """Say whether all lines of a kind of block are set in the same columns."""
    return block in ("programme", "machine", "week", "cycle", "exceptions")


def _find(beginning: _Beginning, node: Node, words: Sequence[Word], after: int) -> int | None:
    if isinstance(beginning, int):
        at = beginning
        while at < len(words) and words[at].text == ",":
            at += 1
        return at if at < len(words) else None
    for child in node.children:
        name = child.rule if isinstance(child, Node) else child.kind
        if name in beginning:
            at = next(i for i, word in enumerate(words) if word.start >= child.span.start)
            at -= name in _TRACKS  # the word `on`
            if at > after:
                return at
    return None


def _said(words: Sequence[Word]) -> tuple[str, ...]:
    """Return words as text, cut where the line goes on below."""
    texts = [""]
    before = None
    for word in words:
        is_signed = before in ("+", "-") and word.kind == "NUMBER"
        texts[-1] += word.text if not texts[-1] or word.text == "," or is_signed else f" {word.text}"
        if word.ends_line:
            texts.append("")
        before = word.text
    return tuple(texts)


# ----------------------------------------------------------------- columns


def set_in_columns(rows: Sequence[Row]) -> list[list[str]]:
    """Return each row as its lines of text, the cells of all rows lined up."""
    starts = _column_starts(rows)
    return [_set(row, starts) for row in rows]


def _column_starts(rows: Sequence[Row]) -> list[int]:
    """Return where each column starts: behind the widest cell that something follows."""
    starts = [rows[0].indent]
    for column in range(max(row.cells[-1].column for row in rows)):
        ends = [starts[-1]]
        for row in rows:
            for cell in row.cells[:-1]:
                width = measure(cell.texts[0])
                if cell.column == column and len(cell.texts) == 1 and width <= _widest(row, column):
                    ends.append(starts[-1] + width + _gap(row, column))
        starts.append(max(ends))
    return starts


def _set(row: Row, starts: Sequence[int]) -> list[str]:
    lines = [" " * row.indent + row.cells[0].texts[0], *(CONTINUED + t for t in row.cells[0].texts[1:])]
    for before, cell in zip(row.cells, row.cells[1:], strict=False):
        if lines[-1] != CONTINUED:
            lines[-1] += " " * _gap(row, before.column)
        if len(lines) == 1:
            lines[0] += " " * (starts[cell.column] - measure(lines[0]))
        lines[-1] += cell.texts[0]
        lines += (CONTINUED + text for text in cell.texts[1:])
    return lines


def _gap(row: Row, column: int) -> int:
    # `side play` reaches into the gap, so that it does not push the values of all other lines along.
    return 1 if row.family == "machine" and column == 0 and " " in row.cells[0].texts[0] else _GAP


def _widest(row: Row, column: int) -> int:
    return _WIDEST_DAYS if row.family == "exceptions" and column == 0 else _WIDEST
