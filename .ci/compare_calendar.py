"""Compares the rings that a calendar's reader heard with those of the compiler; exit 1 on any difference.

Called with the programme, the output of `chime rings PROGRAMME --json` and that of `read_calendar.mjs`.
"""

import json
import math
import re
import sys
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

MOST_SHOWN = 5
"""How many differences of each side are printed."""


class Heard(NamedTuple):
    """One ring as a calendar says it: a UTC instant, whole seconds, the zone's label, the event's title."""

    utc: str
    seconds: int
    zone: str
    summary: str


def records(path: str) -> Iterator[dict[str, Any]]:
    """Yield the JSON objects of a file, one a line."""
    for line in Path(path).read_text(encoding="utf-8").splitlines():
        yield json.loads(line, parse_float=Decimal)


def labels(programme: str) -> dict[str, str]:
    """Return what people call each zone: its label, or its name where it has none."""
    declared = re.findall(r'^zone (\S+)(?:[^"#\n]*"([^"\n]*)")?', programme, flags=re.MULTILINE)
    return {name: label or name for name, label in declared}


def rung(ring: dict[str, Any], zones: dict[str, str]) -> Heard:
    """Return what the calendar must say of a ring; lengths are whole seconds there, rounded up."""
    instant = datetime.fromisoformat(ring["at"]).astimezone(UTC)
    zone, title = zones[ring["zone"]], " / ".join(ring["labels"]) or "Bell"
    return Heard(f"{instant:%Y-%m-%dT%H:%M:%SZ}", math.ceil(ring["seconds"]), zone, f"{title} ({zone})")


def read(ring: dict[str, Any]) -> Heard:
    """Return a ring of the reader; an event has one category, its zone."""
    (zone,) = ring["categories"]
    return Heard(ring["utc"], ring["seconds"], zone, ring["summary"])


def show(where: str, rings: Counter[Heard]) -> int:
    """Print the first rings of one side that the other lacks, and return how many there are."""
    missing = sorted(rings.elements())
    for ring in missing[:MOST_SHOWN]:
        print(f"only in the {where}: {ring.utc}, {ring.seconds} s, {ring.zone}, {ring.summary}")
    return len(missing)


def main(programme: str, rings: str, heard: str) -> int:
    """Print the differences and a line that counts them; return 1 if there are any, 0 if not."""
    zones = labels(Path(programme).read_text(encoding="utf-8"))
    expected = Counter(rung(ring, zones) for ring in records(rings))
    found = Counter(map(read, records(heard)))
    lacking, added = show("compiler", expected - found), show("calendar", found - expected)
    counts = f"{expected.total():,} rings, {found.total():,} read, {lacking} lacking, {added} added"
    print(f"{programme}: {counts}")
    return 1 if lacking or added or not expected else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
