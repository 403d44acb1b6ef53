"""Cutting a file into physical lines, comments taken away and nothing moved.

A line ends at LF or CRLF and nowhere else (a label may hold U+2028). A comment is overwritten with
spaces, so that every offset in a line stays an offset in the file.
"""

import re
from collections.abc import Iterator

from chime.diagnostics import Source
from chime.records import NamedTuple

LONGEST_LINE = 10_000
"""Code points of a line, continued lines included. A longer one is no line that somebody wrote."""

CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
LONE_CR = re.compile("\r(?!\n)")


class PhysicalLine(NamedTuple):
    """A line that holds more than spaces and a comment.

    `text` begins at offset `start` of the file, runs to the last visible character, and holds
    spaces in place of control characters.
    """

    start: int
    text: str
    is_indented: bool
    number: int


def cut(source: Source) -> Iterator[PhysicalLine]:
    """Yield the lines of a source that say something."""
    start, number, text = 0, 0, source.text
    while start < len(text):
        end = text.find("\n", start)
        end = len(text) if end < 0 else end
        number += 1
        line = text[start:end]
        said = _without_comment(line) if "#" in line else line
        said = said.rstrip()
        if said and not said.isprintable():
            # A control character is to be deleted, so none indents a line or makes one.
            first = CONTROL.sub("", said)[:1]
            said = CONTROL.sub(" ", said).rstrip()
            if said:
                yield PhysicalLine(start, said, first.isspace(), number)
        elif said:
            yield PhysicalLine(start, said, said[0].isspace(), number)
        start = end + 1


def _without_comment(line: str) -> str:
    """Cut at the first `#` that stands outside a string; pasted double quotes count as quotes."""
    inside = False
    for place, letter in enumerate(line):
        if letter == '"':
            inside = not inside
        elif letter == "\N{LEFT DOUBLE QUOTATION MARK}" and not inside:
            inside = True
        elif letter == "\N{RIGHT DOUBLE QUOTATION MARK}" and inside:
            inside = False
        elif letter == "#" and not inside:
            return line[:place]
    return line
