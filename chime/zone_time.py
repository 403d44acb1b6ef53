"""Time zones: the only module that knows them.

The data are those of the `tzdata` package, never the machine's own, so that the same programme
gives the same instants everywhere; `release()` stands beside every output. Local times elsewhere in
chime are naive; `fold` tells the two passes of a repeated hour apart.
"""

from __future__ import annotations

import os
from datetime import UTC, date, datetime, timedelta
from functools import cache
from typing import TYPE_CHECKING, Literal

from chime.records import NamedTuple

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

Kind = Literal["plain", "missing", "repeated"]


class ClockChange(NamedTuple):
    """One change of a zone's offset.

    `before` and `after` are what the clocks show at the instant of the change: at a change forward
    the times from `before` up to `after` do not exist, at a change back those from `after` up to
    `before` come twice. Offsets are whole seconds east of Greenwich.
    """

    instant: datetime
    before: datetime
    after: datetime
    offset_before: int
    offset_after: int
    is_summer_time: bool
    name_after: str


_STEP = timedelta(days=5)


def release() -> str:
    """Return the release of the zone data, such as `2026a`."""
    import tzdata

    return str(tzdata.IANA_VERSION)


def _zone_class() -> type[ZoneInfo]:
    """Import zoneinfo with no search path of the system's: it is not used, and looking it up is slow."""
    said = os.environ.get("PYTHONTZPATH")
    os.environ["PYTHONTZPATH"] = ""
    try:
        from zoneinfo import ZoneInfo
    finally:
        if said is None:
            del os.environ["PYTHONTZPATH"]
        else:
            os.environ["PYTHONTZPATH"] = said
    return ZoneInfo


def _data(*parts: str) -> str:
    # Not importlib.resources, which imports more than all the rest of `check` needs.
    import tzdata

    return os.path.join(os.path.dirname(str(tzdata.__file__)), *parts)


@cache
def places() -> frozenset[str]:
    """Return every zone name of the data."""
    with open(_data("zones"), encoding="utf-8") as names:
        return frozenset(names.read().split())


@cache
def zone(place: str) -> ZoneInfo:
    """Return the zone of a name in `places()`."""
    ZoneInfo = _zone_class()  # noqa: N806
    with open(_data("zoneinfo", *place.split("/")), "rb") as data:
        return ZoneInfo.from_file(data, key=place)


def offset(place: str, at: datetime, fold: int = 0) -> timedelta:
    """Return the offset from UTC of a naive local time."""
    found = at.replace(tzinfo=zone(place), fold=fold).utcoffset()
    assert found is not None
    return found


def instant(place: str, at: datetime, fold: int = 0) -> datetime:
    """Return the UTC instant of a naive local time that exists."""
    return (at - offset(place, at, fold)).replace(tzinfo=UTC)


def local(place: str, moment: datetime) -> tuple[datetime, int]:
    """Return the naive local time and the fold of a UTC instant."""
    there = moment.astimezone(zone(place))
    return there.replace(tzinfo=None, fold=0), there.fold


def kind(place: str, at: datetime) -> Kind:
    """Say whether a naive local time exists once, never, or twice."""
    first, second = offset(place, at, 0), offset(place, at, 1)
    if first == second:
        return "plain"
    return "missing" if first < second else "repeated"


def written_offset(place: str, at: datetime, fold: int = 0) -> str:
    """Return an offset as ISO 8601 writes it: `+01:00` (with seconds where there are any)."""
    seconds = round(offset(place, at, fold).total_seconds())
    sign, seconds = ("-", -seconds) if seconds < 0 else ("+", seconds)
    minutes, left = divmod(seconds, 60)
    return f"{sign}{minutes // 60:02}:{minutes % 60:02}" + (f":{left:02}" if left else "")


def changes(place: str, first: date, last: date) -> tuple[ClockChange, ...]:
    """Return the clock changes of a place whose instants lie between two dates, a day about them.

    Found by halving each stretch of five days in which the offset, the name or the summer-time flag
    differs at the ends: since 1970 the data hold no two changes within six days of each other.
    """
    there = zone(place)
    start = datetime(first.year, first.month, first.day, tzinfo=UTC) - timedelta(days=1)
    end = start + timedelta(days=(last - first).days + 3)
    found = []
    before = _state(there, start)
    while start < end:
        after = _state(there, start + _STEP)
        if before != after:
            change = _change_within(there, start)
            found += [change] if change.instant <= end else []
        start, before = start + _STEP, after
    return tuple(found)


def change_before(place: str, moment: datetime) -> ClockChange | None:
    """Return the last clock change of a place at or before a UTC instant, None if none since 1970.

    Steps back by five days: since 1970 the data hold no change that is undone so soon.
    """
    there, step = zone(place), _STEP
    beginning = datetime(1970, 1, 1, tzinfo=UTC)
    state = _state(there, moment)
    while moment > beginning:
        earlier = max(moment - step, beginning)
        state_earlier = _state(there, earlier)
        if state_earlier != state:
            found = changes(place, earlier.date(), moment.date())
            return [change for change in found if change.instant <= moment][-1]
        moment, state = earlier, state_earlier
    return None


def abbreviation(place: str, at: datetime, fold: int = 0) -> str:
    """Return what the data call the time in force at a naive local time: `GMT`, `BST`, `+08`."""
    return str(at.replace(tzinfo=zone(place), fold=fold).tzname())


def _state(there: ZoneInfo, moment: datetime) -> tuple[int, str, bool]:
    at = moment.astimezone(there)
    shift, summer = at.utcoffset(), at.dst()
    assert shift is not None
    return round(shift.total_seconds()), str(at.tzname()), bool(summer)


def _change_within(there: ZoneInfo, start: datetime) -> ClockChange:
    """Return the one change of the stretch that begins at an instant."""
    before, low, high = _state(there, start), 0, round(_STEP.total_seconds())
    while high - low > 1:
        middle = (low + high) // 2
        if _state(there, start + timedelta(seconds=middle)) == before:
            low = middle
        else:
            high = middle
    at = start + timedelta(seconds=high)
    after = _state(there, at)
    naive = at.replace(tzinfo=None)
    return ClockChange(
        at,
        naive + timedelta(seconds=before[0]),
        naive + timedelta(seconds=after[0]),
        before[0],
        after[0],
        after[2],
        after[1],
    )
