"""A set of dates as few weekly series: weekdays, a first and a last date, and the dates left out.

Only what every calendar program reads alike is used: whole weeks, some weekdays, left-out dates. A
series costs about as much of a file as `SERIES` left-out dates, so dates are split into series where
leaving out the dates between them would cost more, and always before a series would leave out more
dates than it has.
"""

from collections.abc import Iterable
from datetime import date
from itertools import pairwise

from chime.records import NamedTuple

SERIES = 21
"""What one more series costs, in left-out dates: some 360 octets of file against 17."""


class WeeklySeries(NamedTuple):
    """Every date of some weekdays (0 is Monday) from dates[0] to dates[-1], but `left_out`."""

    weekdays: tuple[int, ...]
    dates: tuple[date, ...]
    left_out: tuple[date, ...]


class _Cover(NamedTuple):
    """Stretches of day numbers that together make a set, and what they cost."""

    cost: int
    stretches: tuple[tuple[int, ...], ...]


def cover(dates: Iterable[date]) -> tuple[WeeklySeries, ...]:
    """Return series that together have each of the dates once and no other, by first date."""
    days = sorted({day.toordinal() for day in dates})
    if not days:
        return ()
    return tuple(_series(stretch) for stretch in sorted(_best_cover(days).stretches))


def _series(stretch: tuple[int, ...]) -> WeeklySeries:
    wanted = set(stretch)
    weekdays = {_weekday(day) for day in stretch}
    left_out = [
        date.fromordinal(day)
        for day in range(stretch[0], stretch[-1])
        if day not in wanted and _weekday(day) in weekdays
    ]
    return WeeklySeries(tuple(sorted(weekdays)), tuple(map(date.fromordinal, stretch)), tuple(left_out))


def _best_cover(days: list[int]) -> _Cover:
    """Cover the days by all their weekdays together, or by commoner and rarer weekdays apart."""
    whole = _cover_in_stretches(days)
    if whole.cost <= 2 * SERIES:
        return whole
    by_weekday: dict[int, list[int]] = {}
    for day in days:
        by_weekday.setdefault(_weekday(day), []).append(day)
    ranked = sorted(by_weekday.values(), key=lambda some: (len(some), some[0]))
    best, halves = whole.cost, None
    for cut in range(1, len(ranked)):
        rarer = sorted(day for some in ranked[:cut] for day in some)
        commoner = sorted(day for some in ranked[cut:] for day in some)
        cost = _cover_in_stretches(rarer).cost + _cover_in_stretches(commoner).cost
        if cost < best:
            best, halves = cost, (rarer, commoner)
    if halves is None:
        return whole
    first, second = _best_cover(halves[0]), _best_cover(halves[1])
    return _Cover(first.cost + second.cost, first.stretches + second.stretches)


def _cover_in_stretches(days: list[int]) -> _Cover:
    """Cut the days into stretches of time, each a series of the weekdays it has, at least cost."""
    cuts, masks = _even_runs(days)
    costs, begins = [0], [0]
    for end in range(1, len(cuts)):
        last, mask = days[cuts[end] - 1], 0
        costs.append(costs[-1] + SERIES)
        begins.append(end - 1)
        for begin in range(end - 1, -1, -1):
            mask |= masks[begin]
            has = cuts[end] - cuts[begin]
            left_out = _count(mask, days[cuts[begin]], last) - has
            # What a stretch leaves out only grows as it begins earlier.
            if SERIES + left_out > costs[end]:
                break
            if left_out <= has and costs[begin] + SERIES + left_out < costs[end]:
                costs[end], begins[end] = costs[begin] + SERIES + left_out, begin
    stretches, end = [], len(masks)
    while end:
        stretches.append(tuple(days[cuts[begins[end]] : cuts[end]]))
        end = begins[end]
    return _Cover(costs[-1], tuple(stretches))


def _even_runs(days: list[int]) -> tuple[list[int], list[int]]:
    """Return where runs of consecutive weeks with the same weekdays begin and end, and those weekdays.

    The first are places in `days`, one more than there are runs; weekdays are bits, Monday the lowest.
    """
    weeks: dict[int, int] = {}
    sizes: dict[int, int] = {}
    for day in days:
        week = (day - 1) // 7
        weeks[week] = weeks.get(week, 0) | 1 << _weekday(day)
        sizes[week] = sizes.get(week, 0) + 1
    cuts, masks = [0], [next(iter(weeks.values()))]
    place = 0
    for week, following in pairwise(weeks):
        place += sizes[week]
        if following != week + 1 or weeks[following] != weeks[week]:
            cuts.append(place)
            masks.append(weeks[following])
    return [*cuts, len(days)], masks


def _count(mask: int, first: int, last: int) -> int:
    """Count the days of some weekdays from first to last, both included."""
    weeks, rest = divmod(last - first + 1, 7)
    weekday = _weekday(first)
    from_first = (mask >> weekday | mask << 7 - weekday) & (1 << rest) - 1
    return weeks * mask.bit_count() + from_first.bit_count()


def _weekday(day: int) -> int:
    return (day - 1) % 7
