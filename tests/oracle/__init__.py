"""The dated rings of three sample programmes, written out by hand.

Nothing here reads a programme or imports the compiler. Every date, time, letter and number was typed from a
reading of the language's rules, so a fault of the compiler cannot hide in its own tests. What the three share
is below: clock times on a date, rings that fall together, and the shape of a record.
"""

import importlib.resources
from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

Record = dict[str, object]


class Line(NamedTuple):
    """A line of a sample: its number in the file as written, and its words without the indent."""

    number: int
    text: str


class Signal(NamedTuple):
    name: str
    seconds: int
    tolerance: float


class Row(NamedTuple):
    """One ring of a day: its clock (past 23:59 is the next morning), its label ("" for none), its lines."""

    clock: str
    zone: str
    signal: Signal
    label: str
    lines: tuple[Line, ...]


class Ring(NamedTuple):
    """One row on a date, in naive local time."""

    at: datetime
    row: Row


def on(day: date, clock: str) -> datetime:
    hours, minutes = clock.split(":")
    return datetime.combine(day, time()) + timedelta(hours=int(hours), minutes=int(minutes))


def days(first: date, last: date) -> Iterator[date]:
    """Every date from first to last, both included."""
    return (first + timedelta(days=count) for count in range((last - first).days + 1))


def dated(day: date, rows: Iterable[Row]) -> list[Ring]:
    return [Ring(on(day, row.clock), row) for row in rows]


def silence(rings: Iterable[Ring], zone: str, day: date, start: str, end: str) -> list[Ring]:
    """The rings left when a zone is off by the clock of a date; the start is held, the end is not."""
    return [ring for ring in rings if ring.row.zone != zone or not on(day, start) <= ring.at < on(day, end)]


def time_zone(name: str) -> ZoneInfo:
    """A zone from the data of the `tzdata` package, never from the machine's own copy."""
    source = importlib.resources.files("tzdata").joinpath("zoneinfo", *name.split("/"))
    with source.open("rb") as data:
        return ZoneInfo.from_file(data, key=name)


def line_number(line: Line, text: str) -> int:
    """Where a line stands: as written, or where a changed text has it now."""
    if not text:
        return line.number
    found = [number for number, words in enumerate(text.splitlines(), 1) if words.strip() == line.text]
    assert len(found) == 1, f"{line.text!r} stands {len(found)} times in the changed text"
    return found[0]


def records(rings: Iterable[Ring], file_name: str, place: str, text: str) -> list[Record]:
    """Join the rings of one zone at one time, and put all in order of instant, then zone."""
    together: dict[tuple[datetime, str], list[Row]] = {}
    for ring in rings:
        together.setdefault((ring.at, ring.row.zone), []).append(ring.row)
    zone_info = time_zone(place)
    ordered = sorted((at.replace(tzinfo=zone_info).timestamp(), zone, at) for at, zone in together)
    return [
        record(at.replace(tzinfo=zone_info), together[at, zone], file_name, text) for _, zone, at in ordered
    ]


def record(at: datetime, rows: list[Row], file_name: str, text: str) -> Record:
    """One ring as the compiler prints it. Of several signals the longest sounds, then the narrowest."""
    signal = min((row.signal for row in rows), key=lambda one: (-one.seconds, one.tolerance, one.name))
    numbers = {line_number(line, text) for row in rows for line in row.lines}
    return {
        "at": at.isoformat(timespec="seconds"),
        "zone": rows[0].zone,
        "signal": signal.name,
        "seconds": signal.seconds,
        "labels": sorted({row.label for row in rows} - {""}),
        "because": [f"{file_name}:{number}" for number in sorted(numbers)],
    }
