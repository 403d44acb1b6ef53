"""Programmes of rings, and their calendar as two readers see it."""

from collections import Counter
from collections.abc import Iterable
from datetime import UTC, date, datetime
from typing import Any, Literal

import icalendar
import recurring_ical_events

from chime import zone_time
from chime.clock import dates, moment
from chime.diagnostics import Source, Span
from chime.programme.model import ClockChoices, Programme, Signal, Zone
from chime.rings.model import Reason, Ring, RingCalendar, labels_of
from chime.verify.model import Verified
from chime.writers.icalendar_file import write
from tests.icalendar_lines import Sound

NOWHERE = Span(Source("t", ""), 0, 0)

ZONES = {"main": "Main building", "junior": "Junior wing", "workshop": None, "yard": "Yard, far end"}


PLACES = (
    "Europe/London",
    "America/New_York",
    "Australia/Lord_Howe",
    "Africa/Casablanca",
    "Europe/Dublin",
    "Asia/Kolkata",
)


# ------------------------------------------------------------------ making programmes


def ring(
    at: datetime,
    zone: str = "main",
    label: str | None = None,
    *,
    fold: Literal[0, 1] = 0,
    said: tuple[str, ...] = (),
    length_ms: int = 6000,
    span: Span = NOWHERE,
) -> Ring:
    reason = Reason(label=label, spans=(span,), said=said, is_warning=False, is_end=False)
    return Ring(
        at=at,
        fold=fold,
        zone=zone,
        signal="lesson",
        length_ms=length_ms,
        labels=labels_of((reason,)),
        reasons=(reason,),
        service_days=(at.date(),),
    )


def verified(
    rings: Iterable[Ring],
    place: str = "Europe/London",
    *,
    name: str = "Saltmarsh School",
    issue: int = 3,
    published: str | None = None,
) -> Verified:
    programme = Programme(
        name=name,
        place=place,
        issue=issue,
        issued=date(2026, 8, 20),
        published=published,
        longest_ring_ms=20_000,
        hand_rings=False,
        clocks=ClockChoices(None, None, None, None),
        zones=tuple(Zone(zone, label, None, None, None, NOWHERE) for zone, label in ZONES.items()),
        groups=(),
        audiences=(),
        signals=(Signal("lesson", 6000, 1500, None, NOWHERE),),
        timetables=(),
        weeks=(),
        cycles=(),
        terms=(),
        specials=(),
        machine=None,
        supplies=(),
        lines=(),
        holidays_release=None,
        span=NOWHERE,
    )
    rung = RingCalendar(days=(), programmes=(), rings=tuple(rings), silenced=(), removed=(), passed_by=())
    return Verified(
        programme, rung, tapes=None, fingerprint="f1a5", zone_release=zone_time.release(), verdicts=()
    )


def calendar(rings: Iterable[Ring], place: str = "Europe/London", **others: Any) -> bytes:
    (artefact,) = write(verified(rings, place, **others))
    assert artefact.name == "calendar.ics"
    return artefact.content


def weekdays_at(first: date, last: date, time_of_day: int, *weekdays: int, **others: Any) -> list[Ring]:
    """A ring on each of the weekdays (0 is Monday), Monday to Friday where none is named."""
    chosen = weekdays or (0, 1, 2, 3, 4)
    return [ring(moment(d, time_of_day), **others) for d in dates(first, last) if d.weekday() in chosen]


def at(hour: int, minute: int, second: int = 0) -> int:
    return hour * 3600 + minute * 60 + second


# --------------------------------------------------------------------- the two readers


def wanted(rings: Iterable[Ring], place: str) -> Counter[Sound]:
    def sound(a_ring: Ring) -> Sound:
        zone = ZONES[a_ring.zone] or a_ring.zone
        title = " / ".join(a_ring.labels) or "Bell"
        instant = zone_time.instant(place, a_ring.at, a_ring.fold)
        return Sound(instant, zone, f"{title} ({zone})", max(1, -(-a_ring.length_ms // 1000)))

    return Counter(map(sound, rings))


def read_with_libraries(content: bytes, place: str) -> Counter[Sound]:
    parsed = icalendar.Calendar.from_ical(content)
    events = recurring_ical_events.of(parsed).between(datetime(2024, 1, 1), datetime(2031, 1, 1))
    sounds: Counter[Sound] = Counter()
    for event in events:
        start, end = event["DTSTART"].dt, event["DTEND"].dt
        assert str(start.tzinfo) in (place, "UTC")
        (category,) = event["CATEGORIES"].cats
        seconds = round((end - start).total_seconds())
        sounds[Sound(start.astimezone(UTC), str(category), str(event["SUMMARY"]), seconds)] += 1
    return sounds


TERM = [
    a_ring
    for a_ring in weekdays_at(date(2026, 9, 7), date(2026, 12, 18), at(8, 45))
    if not 26 <= a_ring.at.day <= 30 or a_ring.at.month != 10
]
"""A ring on every weekday of a term but for one week in October."""
