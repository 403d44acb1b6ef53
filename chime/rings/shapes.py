"""The shape of a day: marks that can be dropped, shifted and moved, and the rings they make.

A mark is a start or an end of a period in one zone, or a ring written for one zone. Starts and ends
are kept as marks also where they do not ring: a timetable `like` this one may give them a signal.
A warning is no mark; it belongs to its start or end and goes where that goes.
"""

from collections.abc import Iterable, Mapping
from typing import Literal

from chime.clock import write_duration
from chime.diagnostics import Span
from chime.programme.model import EachPeriod, Period, Signal, Timetable
from chime.records import NamedTuple
from chime.rings.model import DayRing, Reason

Signals = Mapping[str, Signal]


class Mark(NamedTuple):
    """A time of one zone. `at` is before the changes at hand, `to` after them.

    `period` is None for a written ring, and then `signal` is its signal. `lone` is the line that
    dropped the other edge of its period.
    """

    kind: Literal["start", "end", "ring"]
    at: int
    to: int
    zone: str
    label: str | None
    signal: str | None
    period: Period | None
    spans: tuple[Span, ...]
    said: tuple[str, ...]
    lone: Span | None = None


class Shape(NamedTuple):
    """The marks of a day and what rings at its periods."""

    marks: tuple[Mark, ...]
    each: EachPeriod | None


def own_marks(timetable: Timetable) -> tuple[Mark, ...]:
    """Return the marks that a timetable itself writes, those of `like` left out."""
    found = []
    for period in timetable.periods:
        for zone in period.zones:
            for kind, at in (("start", period.start), ("end", period.end)):
                found.append(_edge("start" if kind == "start" else "end", at, zone, period))
    for line in timetable.rings:
        for at, _ in line.times:
            for zone in line.zones:
                found.append(Mark("ring", at, at, zone, line.label, line.signal, None, (line.span,), ()))
    return tuple(found)


def _edge(kind: Literal["start", "end"], at: int, zone: str, period: Period) -> Mark:
    return Mark(kind, at, at, zone, period.label, None, period, (period.span,), ())


def signal_of(mark: Mark, each: EachPeriod | None) -> str | None:
    """Return the signal that sounds at a mark; None if nothing does."""
    if mark.period is None:
        return mark.signal
    if each is None or mark.period.is_quiet:
        return None
    return each.start if mark.kind == "start" else each.end


def makes_rings(mark: Mark, each: EachPeriod | None) -> bool:
    """Say whether a mark makes any ring, its own or a warning."""
    if signal_of(mark, each) is not None:
        return True
    return bool(warnings_of(mark, each))


def warnings_of(mark: Mark, each: EachPeriod | None) -> tuple[tuple[str, int], ...]:
    """Return the signals of a mark's warnings, each with the seconds before the mark."""
    if mark.period is None or each is None or mark.period.is_quiet:
        return ()
    return tuple((w.signal, w.before) for w in each.warnings if w.edge == mark.kind)


def reading(mark: Mark) -> str | None:
    """Return the label of the ring at a mark as it is read: `Period 1 starts`, `Lunch ends`."""
    if mark.period is None:
        return mark.label
    return f"{_spoken(mark)} {'starts' if mark.kind == 'start' else 'ends'}"


def warning_reading(mark: Mark, before: int) -> str:
    """Return the label of a warning: `Period 4 in 3 min`, before an end `Lunch ends in 3 min`."""
    end = "" if mark.kind == "start" else " ends"
    return f"{_spoken(mark)}{end} in {write_duration(before)}"


def _spoken(mark: Mark) -> str:
    label = mark.label or ""
    return f"Period {label}" if label.isascii() and label.isdigit() else label


def causes(shape: Shape) -> Iterable[tuple[int, str, str, Reason]]:
    """Yield every ring of a shape before rings at one time are joined: time, zone, signal, cause."""
    for mark in shape.marks:
        signal = signal_of(mark, shape.each)
        if signal is not None:
            is_end = mark.kind == "end"
            yield mark.to, mark.zone, signal, Reason(reading(mark), mark.spans, mark.said, False, is_end)
        for warning, before in warnings_of(mark, shape.each):
            reason = Reason(warning_reading(mark, before), mark.spans, mark.said, True, False)
            yield mark.to - before, mark.zone, warning, reason


def join(found: Iterable[tuple[int, str, str, Reason]], signals: Signals) -> tuple[DayRing, ...]:
    """Join the rings of one zone at one time into one: every cause is kept, the longest signal sounds."""
    together: dict[tuple[int, str], list[tuple[str, Reason]]] = {}
    for at, zone, signal, reason in found:
        together.setdefault((at, zone), []).append((signal, reason))
    rings = []
    for (at, zone), parts in sorted(together.items(), key=lambda item: item[0]):
        signal = longest({s for s, _ in parts}, signals)
        reasons = tuple(sorted({r for _, r in parts}, key=reason_key))
        rings.append(DayRing(at, zone, signal, signals[signal].length_ms, reasons))
    return tuple(rings)


def longest(names: Iterable[str], signals: Signals) -> str:
    """Return the signal that sounds where several meet: the longest, then the narrower, then by name."""
    return min(names, key=lambda n: (-signals[n].length_ms, signals[n].tolerance_ms, n))


def reason_key(reason: Reason) -> tuple[str, tuple[tuple[str, int], ...]]:
    """Return the order of causes: by label, then by place."""
    return reason.label or "", tuple((s.source.path, s.start) for s in reason.spans)
