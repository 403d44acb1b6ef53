"""The local clock of a place as whole seconds, over the dates of a plan.

A plan is reckoned in seconds since 1970-01-01 00:00 UTC, so that two passes of a repeated hour are two
instants. Local time is seconds since 1970-01-01 00:00 on the dial: instant plus offset.
"""

from bisect import bisect_right
from datetime import date, datetime, timedelta

from chime import zone_time
from chime.clock import DAY, write_date, write_time
from chime.records import NamedTuple

EPOCH = datetime(1970, 1, 1)
_EPOCH_DAY = EPOCH.toordinal()
_EPOCH_WEEKDAY = 3  # it was a Thursday


class LocalClock(NamedTuple):
    """From the instant `starts[i]` on, local time is `offsets[i]` seconds ahead of UTC."""

    starts: tuple[int, ...]
    offsets: tuple[int, ...]


def read_clock(place: str, first: date, last: date) -> LocalClock:
    """Return the clock of a place from some days before one date to some days after another."""
    early = datetime(first.year, first.month, first.day) - timedelta(days=10)
    beginning = local_seconds(early) - round(zone_time.offset(place, early).total_seconds())
    changes = [
        (local_seconds(change.instant.replace(tzinfo=None)), change.offset_after)
        for change in zone_time.changes(place, early.date(), last + timedelta(days=10))
        if change.offset_before != change.offset_after
    ]
    later = [(instant, offset) for instant, offset in changes if instant > beginning]
    offset = round(zone_time.offset(place, early).total_seconds())
    return LocalClock((beginning, *(instant for instant, _ in later)), (offset, *(o for _, o in later)))


def local_seconds(at: datetime) -> int:
    """Return a naive local time as seconds on the dial."""
    return (at.toordinal() - _EPOCH_DAY) * DAY + at.hour * 3600 + at.minute * 60 + at.second


def midnight(day: date) -> int:
    """Return 00:00 of a date as seconds on the dial."""
    return (day.toordinal() - _EPOCH_DAY) * DAY


def date_of(local_s: int) -> date:
    """Return the date of seconds on the dial."""
    return date.fromordinal(local_s // DAY + _EPOCH_DAY)


def weekday_of(local_s: int) -> int:
    """Return the weekday of seconds on the dial, 0 is Monday."""
    return (local_s // DAY + _EPOCH_WEEKDAY) % 7


def to_local(clock: LocalClock, instant: int) -> int:
    """Return what the dial shows at an instant."""
    return instant + clock.offsets[max(0, bisect_right(clock.starts, instant) - 1)]


def fold_of(clock: LocalClock, instant: int) -> int:
    """Return 1 in the second pass of a repeated hour, else 0."""
    index = bisect_right(clock.starts, instant) - 1
    if index < 1:
        return 0
    gained = clock.offsets[index - 1] - clock.offsets[index]
    return int(instant - clock.starts[index] < gained)


def to_instant(clock: LocalClock, local_s: int, fold: int = 0) -> int:
    """Return the instant at which the dial shows a time; `fold` 1 is its second pass.

    A time that the clocks leave out is taken by the offset before the change.
    """
    found = []
    near = bisect_right(clock.starts, local_s - clock.offsets[0])
    for index in range(max(0, near - 2), min(len(clock.starts), near + 2)):
        instant = local_s - clock.offsets[index]
        is_after = index == 0 or instant >= clock.starts[index]
        is_before = index + 1 == len(clock.starts) or instant < clock.starts[index + 1]
        if is_after and is_before:
            found.append(instant)
    if found:
        return found[-1] if fold else found[0]
    return max(
        local_s - clock.offsets[i]
        for i in range(len(clock.starts) - 1)
        if local_s - clock.offsets[i] >= clock.starts[i + 1]
        and local_s - clock.offsets[i + 1] < clock.starts[i + 1]
    )


def written(clock: LocalClock, instant: int) -> str:
    """Write an instant as the clock shows it: `Mon 2026-09-07 at 15:25`."""
    local_s = to_local(clock, instant)
    again = " for the second time" if fold_of(clock, instant) else ""
    return f"{write_date(date_of(local_s))} at {write_time(local_s % DAY)}{again}"
