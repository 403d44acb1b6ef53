"""The entries of an iCalendar file (RFC 5545), cut out of its lines with the properties that count.

Only what says when an entry is and what it is called is read: descriptions, attachments, alarms and
time zones, however large or odd, are passed by unread.
"""

import re
import unicodedata
from collections.abc import Iterator
from typing import Literal

from chime.records import NamedTuple

FileKind = Literal["empty", "too large", "not UTF-8", "not iCalendar", "broken file"]

MOST_BYTES = 10_000_000
MOST_ENTRIES = 20_000
LONGEST_SUMMARY = 500

LISTS = frozenset(("RRULE", "EXRULE", "RDATE", "EXDATE"))
"""The properties that an entry may have more than once."""

_READ = LISTS | {
    "UID", "SUMMARY", "STATUS", "SEQUENCE", "DTSTART", "DTEND", "DURATION", "RECURRENCE-ID",
}  # fmt: skip
_NAME = re.compile(r"([A-Za-z0-9-]+)[;:]")
_FIRST_LINE = b"BEGIN:VCALENDAR"


class CalendarFileError(ValueError):
    """A file that cannot be read as a whole, with what kind of trouble it is and a few words about it."""

    def __init__(self, kind: FileKind, detail: str) -> None:
        super().__init__(detail)
        self.kind, self.detail = kind, detail


class Property(NamedTuple):
    """The value of a property, its VALUE parameter in capitals, and whether it has a RANGE."""

    value: str
    value_type: str
    has_range: bool


class Entry(NamedTuple):
    """A VEVENT as written: its calendar's number in the file, the properties that count, its faults."""

    calendar: int
    line: int
    properties: dict[str, list[Property]]
    faults: list[str]

    def value(self, name: str) -> str:
        """Return the value of a property that comes at most once; empty if it is not there."""
        found = self.properties.get(name)
        return found[0].value.strip() if found else ""


def entries_of(content: bytes) -> Iterator[Entry]:
    """Cut a file into the VEVENTs of its calendars; raises CalendarFileError if it is none or breaks off."""
    _look_at_first_line(content)
    stack: list[str] = []
    calendars = entries = 0
    entry = Entry(0, 0, {}, [])
    for number, line in _lines(content):
        match = _NAME.match(line)
        name = match[1].upper() if match else ""
        block = line.partition(":")[2].strip().upper() if name in ("BEGIN", "END") else ""
        if name == "BEGIN":
            stack.append(block)
            calendars += stack == ["VCALENDAR"]
            if stack == ["VCALENDAR", "VEVENT"]:
                entry = Entry(calendars, number, {}, [])
        elif name == "END":
            if not stack or stack.pop() != block:
                raise CalendarFileError("broken file", f"line {number} ends a part that was not begun")
            if block == "VEVENT" and stack == ["VCALENDAR"]:
                entries += 1
                if entries > MOST_ENTRIES:
                    raise CalendarFileError("too large", f"it has more than {MOST_ENTRIES:,} entries")
                yield entry
        elif not stack or (match is None and len(stack) == 1):
            raise CalendarFileError("broken file", f"line {number} is not of a calendar")
        elif stack == ["VCALENDAR", "VEVENT"]:
            _take(entry, name, line)
    if stack:
        raise CalendarFileError("broken file", "it breaks off before its end")


def _look_at_first_line(content: bytes) -> None:
    if not content.strip():
        raise CalendarFileError("empty", "it is empty")
    if len(content) > MOST_BYTES:
        raise CalendarFileError("too large", f"it has more than {MOST_BYTES // 1_000_000} million bytes")
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise CalendarFileError("not UTF-8", "it is text, but not in the UTF-8 encoding")
    start = content.removeprefix(b"\xef\xbb\xbf").lstrip()[: len(_FIRST_LINE)]
    if start.upper() != _FIRST_LINE:
        raise CalendarFileError("not iCalendar", "it does not begin with BEGIN:VCALENDAR")


def _lines(content: bytes) -> Iterator[tuple[int, str]]:
    """Yield the unfolded lines that are not blank, with their numbers.

    Folds are undone before decoding: a line may be folded inside a letter (3.1).
    """
    parts: list[bytes] = []
    begun = 1
    for number, raw in enumerate(content.removeprefix(b"\xef\xbb\xbf").split(b"\n"), 1):
        line = raw.removesuffix(b"\r")
        if parts and line.startswith((b" ", b"\t")):
            parts.append(line[1:])
            continue
        if parts:
            yield begun, _decoded(parts, begun)
        parts, begun = [line] if line.strip() else [], number
    if parts:
        yield begun, _decoded(parts, begun)


def _decoded(parts: list[bytes], number: int) -> str:
    try:
        return b"".join(parts).decode("utf-8")
    except UnicodeDecodeError:
        raise CalendarFileError("not UTF-8", f"line {number} is not in the UTF-8 encoding") from None


def _take(entry: Entry, name: str, line: str) -> None:
    """Keep one property of an entry, if it is one of those that count."""
    from icalendar.parser import Contentline

    if not name:
        entry.faults.append(f"it has a line that is no property: {quoted(line)}")
    elif name in _READ:
        try:
            _, parameters, value = Contentline(line).parts()
        except ValueError:
            entry.faults.append(f"its {name} cannot be read")
            return
        known = entry.properties.setdefault(name, [])
        if known and name not in LISTS:
            entry.faults.append(f"it says {name} twice")
        known.append(Property(str(value), str(parameters.get("VALUE", "")).upper(), "RANGE" in parameters))


def quoted(text: str) -> str:
    """Return the beginning of a text in quotation marks, on one line."""
    return f'"{cleaned(text[:80])[:40]}"'


def cleaned(text: str) -> str:
    """Put a text on one line, without control characters."""
    plain = "".join(" " if unicodedata.category(letter) in ("Cc", "Zl", "Zp") else letter for letter in text)
    return " ".join(plain.split())
