"""Reads iCalendar by its lines: what rings when, and every breach of RFC 5545.

Knows no time zones but those written in a file, and holds their onsets against the zone data.
"""

import re
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from functools import cache
from itertools import pairwise
from typing import NamedTuple

from chime import zone_time


class Line(NamedTuple):
    """A content line: its name, the text of its parameters with their semicolon, its value."""

    name: str
    parameters: str
    value: str


class Component(NamedTuple):
    """A component without the components inside it."""

    name: str
    lines: list[Line]

    def has(self, name: str) -> bool:
        return any(line.name == name for line in self.lines)

    def line(self, name: str) -> Line:
        (found,) = (line for line in self.lines if line.name == name)
        return found

    def value(self, name: str) -> str:
        return self.line(name).value


class Onset(NamedTuple):
    """An onset of a zone part, offsets in seconds."""

    instant: datetime
    offset_before: int
    offset_after: int


def components(content: bytes) -> list[Component]:
    """All components in the order in which they begin; an error if they are not well nested."""
    found: list[Component] = []
    open_ones: list[Component] = []
    for text in content.decode().replace("\r\n ", "").split("\r\n")[:-1]:
        match = re.fullmatch(r'([A-Z-]+)((?:;[A-Z-]+=[^;:,"]+)*):(.*)', text, re.DOTALL)
        assert match, f"no content line: {text!r}"
        line = Line(*match.groups())
        if line.name == "BEGIN":
            open_ones.append(Component(line.value, []))
            found.append(open_ones[-1])
        elif line.name == "END":
            assert open_ones.pop().name == line.value
        else:
            open_ones[-1].lines.append(line)
    assert not open_ones
    return found


def onset_of(part: Component) -> Onset:
    before, after = (read_offset(part.value(name)) for name in ("TZOFFSETFROM", "TZOFFSETTO"))
    local = read_time(part.value("DTSTART")).replace(tzinfo=UTC)
    return Onset(local - timedelta(seconds=before), before, after)


def read_offset(text: str) -> int:
    sign, hours, minutes, seconds = text[0], int(text[1:3]), int(text[3:5]), int(text[5:7] or 0)
    return (-1 if sign == "-" else 1) * (hours * 3600 + minutes * 60 + seconds)


# ------------------------------------------------------------------ what rings when


class Sound(NamedTuple):
    """A ring as a reader of a calendar sees it."""

    instant: datetime
    category: str
    summary: str
    seconds: int


def read_by_lines(content: bytes) -> Counter[Sound]:
    """Expand with the zone parts of the file alone."""
    parts = components(content)
    onsets = [onset_of(part) for part in parts if part.name in ("STANDARD", "DAYLIGHT")]
    sounds: Counter[Sound] = Counter()
    for event in (part for part in parts if part.name == "VEVENT"):
        category, summary = unescape(event.value("CATEGORIES")), unescape(event.value("SUMMARY"))
        seconds = int(event.value("DURATION")[2:-1])
        for instant in starts_of(event, onsets):
            sounds[Sound(instant, category, summary, seconds)] += 1
    return sounds


def starts_of(event: Component, onsets: list[Onset]) -> Iterator[datetime]:
    start = event.value("DTSTART")
    if start.endswith("Z"):
        yield read_time(start).replace(tzinfo=UTC)
        return
    if not event.has("RRULE"):
        yield instant_by(onsets, read_time(start))
        return
    rule = dict(part.split("=") for part in event.value("RRULE").split(";"))
    until = read_time(rule["UNTIL"]).replace(tzinfo=UTC)
    left_out = event.value("EXDATE").split(",") if event.has("EXDATE") else []
    local = read_time(start)
    while instant_by(onsets, local) <= until:
        weekday = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")[local.weekday()]
        if weekday in rule["BYDAY"].split(",") and f"{local:%Y%m%dT%H%M%S}" not in left_out:
            yield instant_by(onsets, local)
        local += timedelta(days=1)


def instant_by(onsets: list[Onset], local: datetime) -> datetime:
    """The first instant at which the clocks show a local time; in a gap, by the offset before it."""
    offset = onsets[0].offset_after
    for onset in onsets:
        by_old, by_new = (
            local.replace(tzinfo=UTC) - timedelta(seconds=seconds)
            for seconds in (onset.offset_before, onset.offset_after)
        )
        if by_old < onset.instant:
            break
        if by_new < onset.instant:
            return by_old
        offset = onset.offset_after
    return local.replace(tzinfo=UTC) - timedelta(seconds=offset)


def read_time(text: str) -> datetime:
    return datetime.strptime(text.removesuffix("Z"), "%Y%m%dT%H%M%S")  # noqa: DTZ007 - naive on purpose


def unescape(text: str) -> str:
    return re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], text)


# ---------------------------------------------------------------- the rules of RFC 5545


def faults(content: bytes, place: str) -> list[str]:
    """Every breach of the format's rules, and of the narrower ones that all readers understand."""
    found = [*octet_faults(content)]
    parts = components(content)
    if [part.name for part in parts].count("VCALENDAR") != 1 or parts[0].name != "VCALENDAR":
        found.append("not one VCALENDAR")
    found += calendar_faults(parts[0], parts[1:])
    events = [part for part in parts if part.name == "VEVENT"]
    of_events = [fault for event in events for fault in event_faults(event, place)]
    found += of_events
    if len({event.value("UID") for event in events}) != len(events):
        found.append("two events share a UID")
    # Events that break a rule cannot be trusted to say when they are.
    found += zone_faults(parts, [] if of_events else events, place)
    for line in (line for part in parts for line in part.lines):
        if line.name in TEXTS and not re.fullmatch(r"(?:[^\\;,]|\\[\\;,nN])*", line.value):
            found.append(f"{line.name} is not escaped")
    return found


TEXTS = {"SUMMARY", "DESCRIPTION", "CATEGORIES", "NAME", "X-WR-CALNAME", "X-WR-CALDESC", "TZNAME"}
ONCE = ("UID", "DTSTAMP", "SEQUENCE", "DTSTART", "DURATION", "SUMMARY", "DESCRIPTION", "CATEGORIES", "TRANSP")
MAY = {*ONCE, "RRULE", "EXDATE"}


def octet_faults(content: bytes) -> Iterator[str]:
    """RFC 5545, 3.1: CRLF, 75 octets, no letter cut; 3.3.11: no control characters."""
    if not content.endswith(b"\r\n") or re.search(rb"[\r\n]", content.replace(b"\r\n", b"")):
        yield "a line does not end in CRLF"
    for line in content.split(b"\r\n"):
        if len(line) > 75:
            yield f"{len(line)} octets in a line"
        if re.search(rb"[\x00-\x08\x0a-\x1f\x7f]", line):
            yield "a control character"
        try:
            line.decode()
        except UnicodeDecodeError:
            yield "a letter is cut"


def calendar_faults(whole: Component, inside: list[Component]) -> Iterator[str]:
    """RFC 5545, 3.4 and 3.6; no METHOD, for nothing is sent to anybody."""
    names = Counter(line.name for line in whole.lines)
    for name, value in (("VERSION", "2.0"), ("CALSCALE", "GREGORIAN"), ("PRODID", None), ("NAME", None)):
        if names[name] != 1 or (value and whole.value(name) != value):
            yield f"{name} is wrong"
    if names["METHOD"] or names["X-WR-TIMEZONE"]:
        yield "METHOD or X-WR-TIMEZONE is written"
    if not inside:
        yield "the calendar has no component"
    if {part.name for part in inside} - {"VEVENT", "VTIMEZONE", "STANDARD", "DAYLIGHT"}:
        yield "a component that has no business here"


def event_faults(event: Component, place: str) -> Iterator[str]:
    """RFC 5545, 3.6.1, 3.8.2.4 and 3.8.5.1."""
    names = Counter(line.name for line in event.lines)
    for name in ONCE:
        if names[name] != 1:
            yield f"{names[name]} times {name}"
            return
    if set(names) - MAY:
        yield f"an event must not have {sorted(set(names) - MAY)}"
    if event.value("TRANSP") != "TRANSPARENT":
        yield "the bell makes people busy"
    if not re.fullmatch(r"\d{8}T\d{6}Z", event.value("DTSTAMP")):
        yield "DTSTAMP is not UTC"
    if not re.fullmatch(r"PT[1-9]\d*S", event.value("DURATION")):
        yield "DURATION is not whole seconds"
    start = event.line("DTSTART")
    local = (f";TZID={place}", r"\d{8}T\d{6}")
    if not any(
        start.parameters == parameters and re.fullmatch(form, start.value)
        for parameters, form in (local, ("", r"\d{8}T\d{6}Z"))
    ):
        yield "DTSTART is neither local with its zone nor UTC"
    elif names["RRULE"]:
        yield from rule_faults(event, place)
    elif names["EXDATE"]:
        yield "EXDATE without RRULE"


def rule_faults(event: Component, place: str) -> Iterator[str]:
    """RFC 5545, 3.3.10 and 3.8.5: UNTIL in UTC, EXDATE of DTSTART's type and zone, DTSTART in step."""
    rule = re.fullmatch(
        r"FREQ=WEEKLY;BYDAY=((?:MO|TU|WE|TH|FR|SA|SU)(?:,[A-Z]{2})*);UNTIL=(\d{8}T\d{6}Z)",
        event.value("RRULE"),
    )
    if not rule:
        yield "RRULE is not weekly by days until a UTC instant"
        return
    start, until = read_time(event.value("DTSTART")), read_time(rule[2])
    weekdays = [("MO", "TU", "WE", "TH", "FR", "SA", "SU").index(day) for day in rule[1].split(",")]
    if start.weekday() not in weekdays or weekdays != sorted(set(weekdays)):
        yield "DTSTART is not in step with BYDAY"
    last, _ = zone_time.local(place, until.replace(tzinfo=UTC))
    if last.time() != start.time() or last.weekday() not in weekdays or last <= start:
        yield "UNTIL is not the last instance"
    for line in (line for line in event.lines if line.name == "EXDATE"):
        if line.parameters != f";TZID={place}":
            yield "EXDATE is in another zone than DTSTART"
        for text in line.value.split(","):
            if not re.fullmatch(r"\d{8}T\d{6}", text):
                yield "EXDATE is of another type than DTSTART"
            elif not (
                start < (out := read_time(text)) < last
                and out.time() == start.time()
                and out.weekday() in weekdays
            ):
                yield "EXDATE hits no instance"


def zone_faults(parts: list[Component], events: list[Component], place: str) -> Iterator[str]:
    """RFC 5545, 3.6.5, and each onset against the changes of the zone data."""
    zones = [part for part in parts if part.name == "VTIMEZONE"]
    if [part.value("TZID") for part in zones] != [place]:
        yield "not one VTIMEZONE for the zone"
    changes = [part for part in parts if part.name in ("STANDARD", "DAYLIGHT")]
    for part in changes:
        if sorted(line.name for line in part.lines) != ["DTSTART", "TZNAME", "TZOFFSETFROM", "TZOFFSETTO"]:
            yield f"a zone part has {[line.name for line in part.lines]}"
    if "STANDARD" not in {part.name for part in changes}:
        yield "no standard time"
    onsets = [onset_of(part) for part in changes]
    if any(one.instant >= next_one.instant for one, next_one in pairwise(onsets)):
        yield "the onsets are not in order"
    known = known_changes(place)
    is_state = onsets[0].offset_before == onsets[0].offset_after and onsets[0].instant < known_from()
    for onset in onsets[1:] if is_state else onsets:
        if onset not in known:
            yield f"no clock change at {onset.instant}"
    starts = [start for event in events for start in starts_of(event, onsets)]
    if starts and min(starts) < onsets[0].instant:
        yield "a ring before the first onset"
    if missing := [
        change
        for change in known
        if starts and onsets[0].instant < change.instant <= max(starts) and change not in onsets
    ]:
        yield f"no onset for {missing}"


def known_from() -> datetime:
    return datetime(2010, 1, 1, tzinfo=UTC)


@cache
def known_changes(place: str) -> list[Onset]:
    found = zone_time.changes(place, known_from().date(), date(2031, 1, 1))
    return [Onset(change.instant, change.offset_before, change.offset_after) for change in found]
