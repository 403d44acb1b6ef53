"""Text with a name, and spans of it.

A place is the number of code points before it in the text. Its line and column are worked out when
somebody wants to see them.
"""

from bisect import bisect_right

from chime.records import NamedTuple


class Source:
    """The text of one file, under the name by which the user knows it.

    `path` is its place from the folder of the main file, with forward slashes: the same wherever the folder
    lies, so outputs name lines by it.

    Two sources are the same only if they are the same object. A line ends at LF or CRLF and nowhere else: a
    line separator (U+2028), a next line (U+0085) or a lone CR may stand inside a label. Text after the last
    line end is a line even when it is empty, so every offset lies on some line. An offset outside the text
    counts as the nearest end of it, because a complaint must never fail over the place it complains about.
    """

    __slots__ = ("_line_starts", "name", "path", "text")

    def __init__(self, name: str, text: str, path: str | None = None) -> None:
        self.name = name
        self.path = name if path is None else path
        self.text = text
        self._line_starts: list[int] | None = None

    def __repr__(self) -> str:
        return f"Source({self.name!r}, {len(self.text)} code points)"

    @property
    def line_count(self) -> int:
        """The number of lines, at least one."""
        return len(self._starts())

    def line_of(self, offset: int) -> int:
        """Tell the 1-based line that holds the offset."""
        return max(1, bisect_right(self._starts(), min(offset, len(self.text))))

    def column_of(self, offset: int) -> int:
        """Tell the 1-based column of the offset, in code points."""
        inside = max(0, min(offset, len(self.text)))
        return inside - self._starts()[self.line_of(inside) - 1] + 1

    def line_bounds(self, line: int) -> tuple[int, int]:
        """Tell the offsets of a 1-based line's start and of its end, its LF or CRLF left out."""
        starts = self._starts()
        start = starts[line - 1]
        if line == len(starts):
            return start, len(self.text)
        end = starts[line] - 1
        if end > start and self.text[end - 1] == "\r":
            end -= 1
        return start, end

    def line_text(self, line: int) -> str:
        """Give the text of a 1-based line without its LF or CRLF."""
        start, end = self.line_bounds(line)
        return self.text[start:end]

    def _starts(self) -> list[int]:
        # Most runs find nothing wrong and never ask for a line, so the starts wait for the first question.
        if self._line_starts is None:
            starts = [0]
            place = self.text.find("\n")
            while place >= 0:
                starts.append(place + 1)
                place = self.text.find("\n", place + 1)
            self._line_starts = starts
        return self._line_starts


class Span(NamedTuple):
    """A stretch of a source: offsets in code points, the end exclusive; an empty span marks one place."""

    source: Source
    start: int
    end: int

    @property
    def line(self) -> int:
        """The 1-based line of the start."""
        return self.source.line_of(self.start)

    @property
    def column(self) -> int:
        """The 1-based column of the start, in code points."""
        return self.source.column_of(self.start)

    @property
    def text(self) -> str:
        """The text that the span covers."""
        return self.source.text[self.start : self.end]
