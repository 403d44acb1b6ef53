"""iCalendar text (RFC 5545): escaped values, date-times, offsets and folded lines."""

from collections.abc import Iterable
from datetime import datetime

LONGEST_LINE = 75
"""Octets of a line without its CRLF (RFC 5545, 3.1)."""

# No control character but the tab may stand in a TEXT value. Readers differ in what ends a line, so
# everything that any of them might take for a line's end becomes the escaped line break.
_ESCAPES = str.maketrans(
    dict.fromkeys((chr(code) for code in (*range(0x09), *range(0x0B, 0x20), 0x7F)), " ")
    | dict.fromkeys("\n\r\x85\u2028\u2029", "\\n")
    | {"\\": "\\\\", ";": "\\;", ",": "\\,"},
)


def escape(text: str) -> str:
    """Return a TEXT value (RFC 5545, 3.3.11); colons and double quotes stay as they are."""
    return text.replace("\r\n", "\n").translate(_ESCAPES)


def write_local(at: datetime) -> str:
    """Return a naive local date-time: `20260907T084500`."""
    return at.isoformat()[:19].replace("-", "").replace(":", "")


def write_utc(instant: datetime) -> str:
    """Return a UTC instant: `20260907T074500Z`."""
    return write_local(instant) + "Z"


def write_offset(seconds: int) -> str:
    """Return an offset east of Greenwich: `+0100`, with seconds only where there are any."""
    sign, seconds = ("-", -seconds) if seconds < 0 else ("+", seconds)
    minutes, left = divmod(seconds, 60)
    return f"{sign}{minutes // 60:02}{minutes % 60:02}" + (f"{left:02}" if left else "")


def join_lines(lines: Iterable[str]) -> bytes:
    """Return the octets of content lines, each folded where it is too long and ended by CRLF."""
    return b"".join(_fold(line.encode()) for line in lines)


def _fold(line: bytes) -> bytes:
    pieces = []
    start, room = 0, LONGEST_LINE
    while len(line) - start > room:
        end = start + room
        # An octet 10xxxxxx goes on with a letter of UTF-8 that began before it.
        while line[end] & 0xC0 == 0x80:
            end -= 1
        pieces.append(line[start:end])
        start, room = end, LONGEST_LINE - 1
    pieces.append(line[start:])
    return b"\r\n ".join(pieces) + b"\r\n"
