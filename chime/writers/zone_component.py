"""The VTIMEZONE of a place: one part for each change of its clocks, none by a rule.

Written onsets say the same in every reader; rules would have to be guessed from the changes.
"""

from datetime import UTC, date, datetime, timedelta

from chime import zone_time
from chime.clock import moment
from chime.writers.icalendar_text import escape, write_local, write_offset
from chime.zone_time import ClockChange

_BEGINNING = date(1970, 1, 1)
"""Where the state of a place begins whose clocks have not changed since."""


def write_zone(place: str, first: date, last: date) -> list[str]:
    """Return the lines of the VTIMEZONE that holds from the day before `first` to the day after `last`.

    The first part is the last change before that day, or the state since 1970 where there was none.
    """
    start = moment(first, 0).replace(tzinfo=UTC) - timedelta(days=1)
    earlier = _last_two_changes(place, start)
    later = [change for change in zone_time.changes(place, first, last) if change.instant > start]
    known = [*earlier, *later]
    parts = [_onset(before, change) for before, change in zip([None, *known], known, strict=False)]
    if not earlier:
        parts.insert(0, _state_since(place, min(_BEGINNING, start.date())))
    # A reader may insist on standard time, so bells that ring in summer only get the change before.
    elif len(earlier) > 1 and any(part[0] == "BEGIN:STANDARD" for part in parts[1:]):
        del parts[0]
    return ["BEGIN:VTIMEZONE", f"TZID:{place}", *(line for part in parts for line in part), "END:VTIMEZONE"]


def _last_two_changes(place: str, start: datetime) -> list[ClockChange]:
    last = zone_time.change_before(place, start)
    if last is None:
        return []
    previous = zone_time.change_before(place, last.instant - timedelta(seconds=1))
    return [last] if previous is None else [previous, last]


def _state_since(place: str, day: date) -> list[str]:
    at = moment(day, 0)
    offset = round(zone_time.offset(place, at).total_seconds())
    return _part("STANDARD", at, offset, offset, zone_time.abbreviation(place, at))


def _onset(before: ClockChange | None, change: ClockChange) -> list[str]:
    # The data of some places count winter as the unusual time; to a reader of calendars daylight
    # time is the one with the clocks ahead.
    is_seasonal = change.is_summer_time != (before is not None and before.is_summer_time)
    goes_ahead = change.offset_after > change.offset_before
    name = "DAYLIGHT" if is_seasonal and goes_ahead else "STANDARD"
    return _part(name, change.before, change.offset_before, change.offset_after, change.name_after)


def _part(name: str, onset: datetime, before: int, after: int, abbreviation: str) -> list[str]:
    """Return one part; RFC 5545 (3.6.5) wants its onset as the clocks before the change show it."""
    return [
        f"BEGIN:{name}",
        f"DTSTART:{write_local(onset)}",
        f"TZOFFSETFROM:{write_offset(before)}",
        f"TZOFFSETTO:{write_offset(after)}",
        f"TZNAME:{escape(abbreviation)}",
        f"END:{name}",
    ]
