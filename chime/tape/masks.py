"""What a machine silences by itself: day wheels and time switches, as spans of each weekday."""

from collections.abc import Iterable, Mapping
from typing import Literal

from chime.clock import DAY
from chime.diagnostics import Span
from chime.programme.equipment import DayWheel, Machine
from chime.records import NamedTuple
from chime.tape.local_clock import weekday_of

UNSTATED_TURNING_S = 3600
"""A wheel of which nobody said when it turns is taken to turn within an hour of midnight."""


class Mask(NamedTuple):
    """A stretch of a weekday (0 is Monday), start included and end not, in which zones are silenced.

    `zones` None is every zone. Times are seconds of the day, as the machine's dial shows them.
    """

    weekday: int
    start: int
    end: int
    zones: tuple[str, ...] | None
    by: Literal["day wheel", "time switch"]
    span: Span


Spans = tuple[tuple[int, int], ...]
"""Stretches of one day in order, none touching the next."""


class ZoneMasks(NamedTuple):
    """The stretches of the seven weekdays in which each zone is silenced.

    `silenced` are those of wheels that turn on time, `surely` those however early or late they turn; `unsure`
    are the stretches in which a wheel may or may not have turned.
    """

    silenced: Mapping[str, tuple[Spans, ...]]
    surely: Mapping[str, tuple[Spans, ...]]
    unsure: Mapping[str, tuple[Spans, ...]]


def masks_of(machine: Machine) -> tuple[Mask, ...]:
    """Return every stretch that the machine silences, a wheel turning exactly when it is said to."""
    found: list[Mask] = []
    for wheel in machine.day_wheels:
        turning = wheel.turning_at or 0
        for weekday in wheel.weekdays:
            found.append(Mask(weekday, turning, DAY, wheel.zones, "day wheel", wheel.span))
            if turning:
                found.append(Mask((weekday + 1) % 7, 0, turning, wheel.zones, "day wheel", wheel.span))
    for window in machine.daily_silences:
        pieces = [(window.start, window.end)]
        if window.end <= window.start:
            pieces = [(window.start, DAY), (0, window.end)]
        for weekday in range(7):
            for start, end in pieces:
                if start < end:
                    found.append(Mask(weekday, start, end, window.zones, "time switch", window.span))
    return tuple(
        sorted(found, key=lambda mask: (mask.weekday, mask.start, mask.end, mask.by, mask.zones or ()))
    )


def read_masks(machine: Machine, zones: Iterable[str]) -> ZoneMasks:
    """Return when the machine silences each zone."""
    masks, bands = masks_of(machine), _bands(machine.day_wheels)
    silenced, surely, unsure = {}, {}, {}
    for zone in zones:
        silenced[zone] = _by_weekday(masks, zone)
        unsure[zone] = _by_weekday(bands, zone)
        by_wheel = _by_weekday([mask for mask in masks if mask.by == "day wheel"], zone)
        by_switch = _by_weekday([mask for mask in masks if mask.by == "time switch"], zone)
        surely[zone] = tuple(
            merged((*_without(wheel, band), *switch))
            for wheel, band, switch in zip(by_wheel, unsure[zone], by_switch, strict=True)
        )
    return ZoneMasks(silenced, surely, unsure)


def _without(spans: Spans, taken: Spans) -> list[tuple[int, int]]:
    """Return what is left of some stretches outside of others."""
    left: list[tuple[int, int]] = []
    for start, end in spans:
        for begin, stop in taken:
            if start < begin < end:
                left.append((start, begin))
            if begin < end:
                start = max(start, min(stop, end))
        if start < end:
            left.append((start, end))
    return left


def _bands(wheels: Iterable[DayWheel]) -> list[Mask]:
    bands: list[Mask] = []
    for wheel in wheels:
        turning = wheel.turning_at or 0
        within = UNSTATED_TURNING_S if wheel.turning_at is None else _within_s(wheel)
        for weekday in range(7):
            if (weekday in wheel.weekdays) != ((weekday - 1) % 7 in wheel.weekdays):
                bands += _around(weekday, turning, within, wheel)
    return bands


def _within_s(wheel: DayWheel) -> int:
    return 0 if wheel.within is None else -(-wheel.within.amount // 1_000_000)


def _around(weekday: int, turning: int, within: int, wheel: DayWheel) -> list[Mask]:
    if not within:
        return []
    start, end = turning - within, turning + within
    pieces = [(weekday, max(0, start), min(DAY, end))]
    if start < 0:
        pieces.append(((weekday - 1) % 7, DAY + start, DAY))
    if end > DAY:
        pieces.append(((weekday + 1) % 7, 0, end - DAY))
    return [Mask(day, a, b, wheel.zones, "day wheel", wheel.span) for day, a, b in pieces]


def _by_weekday(masks: Iterable[Mask], zone: str) -> tuple[Spans, ...]:
    days: list[list[tuple[int, int]]] = [[] for _ in range(7)]
    for mask in masks:
        if mask.zones is None or zone in mask.zones:
            days[mask.weekday].append((mask.start, mask.end))
    return tuple(merged(spans) for spans in days)


def merged(spans: Iterable[tuple[int, int]]) -> Spans:
    """Return stretches in order, those that touch made one."""
    joined: list[tuple[int, int]] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return tuple(joined)


def is_masked(masks: ZoneMasks, zone: str, local_s: int) -> bool:
    """Tell whether the machine silences a zone at a time of the dial, every wheel turning on time."""
    return _holds(masks.silenced[zone], local_s)


def is_surely_masked(masks: ZoneMasks, zone: str, local_s: int) -> bool:
    """Tell whether the machine silences a zone at a time of the dial, however early or late a wheel turns."""
    return _holds(masks.surely[zone], local_s)


def is_unsure(masks: ZoneMasks, zone: str, local_s: int) -> bool:
    """Tell whether a day wheel alone decides at a time of the dial, and may or may not have turned."""
    return _holds(masks.unsure[zone], local_s) and not is_surely_masked(masks, zone, local_s)


def _holds(days: tuple[Spans, ...], local_s: int) -> bool:
    seconds = local_s % DAY
    for start, end in days[weekday_of(local_s)]:  # noqa: SIM110 - asked of every sound of a plan
        if start <= seconds < end:
            return True
    return False


def mask_at(machine: Machine, zone: str, local_s: int) -> Mask:
    """Return a mask that silences a zone at a time of the dial; there must be one."""
    weekday, seconds = weekday_of(local_s), local_s % DAY
    return next(
        mask
        for mask in masks_of(machine)
        if mask.weekday == weekday
        and mask.start <= seconds < mask.end
        and (mask.zones is None or zone in mask.zones)
    )
