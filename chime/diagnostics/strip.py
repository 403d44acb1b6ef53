"""The marked lines of a source, drawn beside a strip: what a complaint is about."""

from collections.abc import Iterable

from chime.diagnostics.cells import cells_of, measure, show_words, view
from chime.diagnostics.code import Severity
from chime.diagnostics.diagnostic import Label, Role
from chime.diagnostics.look import Look, Paint, paint
from chime.diagnostics.source import Source, Span
from chime.records import NamedTuple

# Cells of a line that are shown; a longer line is cut to a window around its marks.
LINE_WIDTH = 120

# Words that would end beyond this cell stand under their marks instead of beside them.
_WORDS_WIDTH = 100

# A marked stretch of so many lines is shown whole; of a longer one only the first and the last line.
_MOST_LINES = 3


class Frame(NamedTuple):
    """What all lines drawn for one complaint share: the look, its severity, the width of the line numbers."""

    look: Look
    severity: Severity
    number_width: int


class _Piece(NamedTuple):
    """The part of a label that lies on one line, as offsets in the source; the words go with the last one."""

    line: int
    start: int
    end: int
    role: Role
    words: str


def draw_strip(source: Source, labels: Iterable[Label], frame: Frame) -> list[str]:
    """Draw the marked lines of one source with their marks, and a gap sign where lines are left out."""
    pieces = sorted(piece for label in labels for piece in _cut_into_pieces(label))
    drawn: list[str] = []
    previous = None
    for line in sorted({piece.line for piece in pieces}):
        if previous is not None and line == previous + 2:
            # A gap sign would take as much room as the one line it leaves out.
            drawn += _draw_line(source, line - 1, [], frame)
        elif previous is not None and line > previous + 2:
            drawn.append(_margin(frame, "", frame.look.gap))
        drawn += _draw_line(source, line, [piece for piece in pieces if piece.line == line], frame)
        previous = line
    return drawn


def last_line(span: Span) -> int:
    """Tell the line of the last code point covered; a line end that is covered belongs to its own line."""
    return span.source.line_of(max(span.start, span.end - 1))


def _cut_into_pieces(label: Label) -> list[_Piece]:
    source = label.span.source
    start = max(0, min(label.span.start, len(source.text)))
    end = max(start, min(label.span.end, len(source.text)))
    first, last = source.line_of(start), source.line_of(max(start, end - 1))
    lines = range(first, last + 1) if last - first < _MOST_LINES else (first, last)
    pieces = []
    for line in lines:
        low, high = source.line_bounds(line)
        begin = min(start if line == first else min(_after_indent(source, low, high), end - 1), high)
        stop = max(begin, min(end, high))
        # A blank line within the stretch has nothing to mark; at its two ends the place itself is marked.
        if begin < stop or line in (first, last):
            pieces.append(_Piece(line, begin, stop, label.role, label.text if line == last else ""))
    return pieces


def _after_indent(source: Source, low: int, high: int) -> int:
    front = source.text[low : min(high, low + LINE_WIDTH)]
    return low + len(front) - len(front.lstrip(" \t"))


def _draw_line(source: Source, line: int, pieces: list[_Piece], frame: Frame) -> list[str]:
    """One line and its marks; the line comes again for marks that stand too far away for one view."""
    bounds = source.line_bounds(line)
    drawn: list[str] = []
    waiting = pieces
    while waiting or not drawn:
        focus = waiting[0].start if waiting else bounds[0]
        part = view(source.text, bounds, focus, most=LINE_WIDTH, ascii_only=frame.look.ascii_only)
        drawn.append(_margin(frame, str(line), frame.look.strip, part.shown))
        inside = [piece for piece in waiting if piece.start < part.right or part.right == bounds[1]]
        for piece in inside:
            drawn += _draw_marks(piece, cells_of(part, piece.start, piece.end), frame)
        waiting = waiting[len(inside) :]
    return drawn


def _draw_marks(piece: _Piece, cells: tuple[int, int], frame: Frame) -> list[str]:
    look = frame.look
    start, end = cells
    role: Paint = frame.severity if piece.role == "primary" else "other end"
    hole = look.filled if piece.role == "primary" else look.open
    marks = " " * start + paint(look, role, hole * (end - start))
    words = show_words(piece.words, most=_WORDS_WIDTH, ascii_only=look.ascii_only)
    painted = paint(look, role, words)
    if not words:
        return [_margin(frame, "", look.marks, marks)]
    if end + 2 + measure(words) <= _WORDS_WIDTH:
        return [_margin(frame, "", look.marks, f"{marks}  {painted}")]
    fits_under = start + measure(words) <= _WORDS_WIDTH
    indent = " " * (start if fits_under else max(0, min(start, end - measure(words))))
    return [_margin(frame, "", look.marks, marks), _margin(frame, "", look.marks, indent + painted)]


def _margin(frame: Frame, number: str, sign: str, text: str = "") -> str:
    strip = paint(frame.look, "margin", f"  {number:>{frame.number_width}} {sign}")
    return f"{strip} {text}".rstrip(" ")
