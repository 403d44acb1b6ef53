"""The calendars: `calendar.ics` and one for each zone, valid iCalendar (RFC 5545 and 7986).

One weekly series for each time at which a zone's bell rings, in local time, with the dates left out
on which it does not. Neither the time of making nor the place of a line in its file has a
part in it, so a second import of a later issue finds the entries of the first.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from hashlib import sha256
from typing import Literal

from chime import zone_time
from chime.clock import moment, write_date, write_time
from chime.programme.model import Programme
from chime.records import NamedTuple
from chime.rings.model import Ring
from chime.verify.model import Verified
from chime.writers.icalendar_text import escape, join_lines, write_local, write_utc
from chime.writers.model import Artefact
from chime.writers.verdict_words import WILL_NOT_READ
from chime.writers.weekly_series import WeeklySeries, cover
from chime.writers.zone_component import write_zone

CAUTION = (
    "Programme bells are never an alarm signal: neither they nor this calendar may serve to warn of "
    "fire or any other danger."
)

_MARK = "the tape will not read true"
"""What stands behind the name of a calendar whose bells no tape rings rightly."""

_WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")

_Reasons = dict[str, set[date]]
"""What was said of a bell, and on which dates."""


class _Bell(NamedTuple):
    """What is one and the same bell on every date it rings; `time` is in seconds of the civil day.

    `of_two` is the pass of an hour that the clocks show twice, empty at a time that comes once.
    """

    zone: str
    time: int
    of_two: Literal["", "first", "second"]
    labels: tuple[str, ...]
    signal: str
    length_ms: int


class _Frame(NamedTuple):
    """What all events of a calendar have in common, and the names that people read."""

    programme: str
    place: str
    revision: tuple[str, ...]
    zones: Mapping[str, str]
    signals: Mapping[str, str]
    twice: tuple[tuple[datetime, datetime], ...]


def write(verified: Verified) -> tuple[Artefact, ...]:
    """Return `calendar.ics` with every ring of the programme, in the zone of its place."""
    rings = verified.calendar.rings
    return (Artefact("calendar.ics", _write_calendar(verified, rings, "")),)


def write_by_zone(verified: Verified) -> tuple[Artefact, ...]:
    """Return `calendar-ZONE.ics` for each zone that rings; none where only one does."""
    rings = verified.calendar.rings
    ringing = sorted({ring.zone for ring in rings})
    return tuple(
        Artefact(
            f"calendar-{zone}.ics",
            _write_calendar(verified, [ring for ring in rings if ring.zone == zone], zone),
        )
        for zone in (ringing if len(ringing) > 1 else ())
    )


def _write_calendar(verified: Verified, rings: Sequence[Ring], zone: str) -> bytes:
    """Write rings as a calendar: those of a zone, or of all where none is named."""
    programme = verified.programme
    days = [ring.at.date() for ring in rings] or [programme.issued]
    lines = [
        *_write_header(verified, zone),
        *write_zone(programme.place, min(days), max(days)),
        *_write_events(_frame(programme, rings), rings),
        "END:VCALENDAR",
    ]
    return join_lines(lines)


_WHICH = (
    "Import this file into a calendar of its own: to take it out again, delete that calendar. Import either "
    "calendar.ics, with every zone, or the files of zones, not both. "
)


def _write_header(verified: Verified, zone: str) -> list[str]:
    programme = verified.programme
    holidays = programme.holidays_release
    will_not_read = f"{WILL_NOT_READ}: its bells will not ring so. " if verified.reads() == "fails" else ""
    about = escape(
        f"{will_not_read}Issue {programme.issue} of {programme.issued}, fingerprint {verified.fingerprint}. "
        f"Time zone data: {verified.zone_release}. "
        f"Public holidays: {f'holidays {holidays}' if holidays else 'none used'}. {_WHICH}{CAUTION}"
    )
    labels = {each.name: each.label or each.name for each in programme.zones}
    of_zone = f", {labels.get(zone, zone)}" if zone else ""
    name = escape(f"{programme.name}{of_zone}{f' ({_MARK})' if will_not_read else ''}")
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//chime//bell programme//EN",
        "CALSCALE:GREGORIAN",
        f"NAME:{name}",
        f"X-WR-CALNAME:{name}",
        f"DESCRIPTION:{about}",
        f"X-WR-CALDESC:{about}",
    ]
    if programme.published is not None and not zone:
        lines.append(f"SOURCE;VALUE=URI:{programme.published}")
    return lines


def _frame(programme: Programme, rings: Sequence[Ring]) -> _Frame:
    stamp = write_utc(moment(programme.issued, 0))
    return _Frame(
        programme.name,
        programme.place,
        (f"DTSTAMP:{stamp}", f"SEQUENCE:{programme.issue}"),
        {zone.name: zone.label or zone.name for zone in programme.zones},
        {signal.name: signal.label or signal.name for signal in programme.signals},
        _shown_twice(programme.place, rings),
    )


def _shown_twice(place: str, rings: Sequence[Ring]) -> tuple[tuple[datetime, datetime], ...]:
    """Return the local times that the clocks show twice, from each first up to its last, that left out."""
    if not rings:
        return ()
    days = [ring.at.date() for ring in rings]
    changes = zone_time.changes(place, min(days), max(days))
    return tuple((change.after, change.before) for change in changes if change.after < change.before)


def _write_events(frame: _Frame, rings: Iterable[Ring]) -> Iterator[str]:
    dates: defaultdict[_Bell, list[date]] = defaultdict(list)
    reasons: defaultdict[_Bell, _Reasons] = defaultdict(dict)
    for ring in rings:
        bell, day = _bell(frame, ring), ring.at.date()
        dates[bell].append(day)
        for said in ring.said:
            reasons[bell].setdefault(said, set()).add(day)
    # Bells of one timetable ring on the same dates, which need covering only once.
    covers: dict[tuple[date, ...], tuple[WeeklySeries, ...]] = {}
    for bell in sorted(dates):
        days = tuple(sorted(dates[bell]))
        if bell.of_two:
            events = tuple(series for day in days for series in cover([day]))
        else:
            events = covers[days] = covers.get(days) or cover(days)
        for series in events:
            yield from _write_event(frame, bell, series, reasons[bell])


def _bell(frame: _Frame, ring: Ring) -> _Bell:
    at = ring.at
    time = at.hour * 3600 + at.minute * 60 + at.second
    of_two: Literal["", "first", "second"] = ""
    if any(first <= at < last for first, last in frame.twice):
        of_two = "second" if ring.fold else "first"
    return _Bell(ring.zone, time, of_two, ring.labels, ring.signal, ring.length_ms)


def _write_event(frame: _Frame, bell: _Bell, series: WeeklySeries, reasons: _Reasons) -> Iterator[str]:
    zone = frame.zones.get(bell.zone, bell.zone)
    title = " / ".join(bell.labels) or "Bell"
    yield "BEGIN:VEVENT"
    yield f"UID:{_identify(frame, bell, series)}"
    yield from frame.revision
    yield from _write_times(frame, bell, series)
    yield f"SUMMARY:{escape(f'{title} ({zone})')}"
    yield f"DESCRIPTION:{escape(_describe(frame, bell, series, reasons))}"
    yield f"CATEGORIES:{escape(zone)}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _write_times(frame: _Frame, bell: _Bell, series: WeeklySeries) -> Iterator[str]:
    """Write when an event is: one local time with its weekly rule, or one UTC instant.

    A local time that comes twice means its first pass (RFC 5545, 3.3.5), but not every reader takes it so;
    in UTC either pass is plain.
    """
    start = moment(series.dates[0], bell.time)
    if bell.of_two:
        fold = int(bell.of_two == "second")
        yield f"DTSTART:{write_utc(zone_time.instant(frame.place, start, fold))}"
    else:
        yield f"DTSTART;TZID={frame.place}:{write_local(start)}"
    yield f"DURATION:PT{_whole_seconds(bell.length_ms)}S"
    if len(series.dates) > 1:
        weekdays = ",".join(_WEEKDAYS[weekday] for weekday in series.weekdays)
        until = zone_time.instant(frame.place, moment(series.dates[-1], bell.time))
        yield f"RRULE:FREQ=WEEKLY;BYDAY={weekdays};UNTIL={write_utc(until)}"
    if series.left_out:
        left_out = ",".join(write_local(moment(day, bell.time)) for day in series.left_out)
        yield f"EXDATE;TZID={frame.place}:{left_out}"


def _identify(frame: _Frame, bell: _Bell, series: WeeklySeries) -> str:
    """Return the UID, a name-based UUID (RFC 9562, version 8).

    A zone sounds once at a time, so zone, time and first date tell any two events apart, and labels
    and signals may change without a new identity.
    """
    weekdays = ",".join(_WEEKDAYS[weekday] for weekday in series.weekdays)
    pass_of_hour = bell.of_two or "first"
    parts = (
        frame.programme,
        bell.zone,
        write_time(bell.time),
        pass_of_hour,
        weekdays,
        series.dates[0].isoformat(),
    )
    digest = bytearray(sha256("\n".join(parts).encode()).digest()[:16])
    digest[6] = digest[6] & 0x0F | 0x80
    digest[8] = digest[8] & 0x3F | 0x80
    return "-".join(
        (digest[:4].hex(), digest[4:6].hex(), digest[6:8].hex(), digest[8:10].hex(), digest[10:].hex())
    )


def _describe(frame: _Frame, bell: _Bell, series: WeeklySeries, reasons: _Reasons) -> str:
    """Return how long the bell sounds, and what was said of it, with the dates if not of all."""
    shown, seconds = _whole_seconds(bell.length_ms), _write_seconds(bell.length_ms)
    signal = frame.signals.get(bell.signal, bell.signal)
    lines = [f"The bell sounds for {seconds} s ({signal})"]
    if shown * 1000 != bell.length_ms:
        lines[0] += f"; shown as {shown} s, for a calendar has whole seconds only"
    if bell.of_two:
        lines.append(f"{write_time(bell.time)} in the {bell.of_two} pass of the hour that comes twice")
    dates = set(series.dates)
    for said, days in sorted(reasons.items()):
        if said in bell.labels or not days & dates:
            continue
        on = "" if dates <= days else ", ".join(map(write_date, sorted(days & dates))) + ": "
        lines.append(on + said)
    return "\n".join(lines)


def _whole_seconds(length_ms: int) -> int:
    return max(1, -(-length_ms // 1000))


def _write_seconds(length_ms: int) -> str:
    whole, rest = divmod(length_ms, 1000)
    return f"{whole}.{rest:03}".rstrip("0") if rest else str(whole)
