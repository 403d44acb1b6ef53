"""A timetable laid open before any date: its rings, its periods and pauses, what it takes over."""

from collections.abc import Iterator

from chime.diagnostics import Span
from chime.programme.model import Programme, Timetable
from chime.rings.day_model import Against, Difference, PlainDay, Stretch
from chime.rings.model import DayProgramme
from chime.rings.shapes import (
    Mark,
    Shape,
    Signals,
    causes,
    join,
    makes_rings,
    reading,
    signal_of,
    warnings_of,
)
from chime.rings.timetables import Shapes

_Key = tuple[Span, str, str, str | None, int]


def plain_day(programme: Programme, shapes: Shapes, name: str) -> DayProgramme:
    """Return what a timetable rings on a day with no exception; it has no number of its own."""
    signals: Signals = {s.name: s for s in programme.signals}
    return DayProgramme(0, name, join(causes(shapes[name]), signals))


def plain_days(programme: Programme, shapes: Shapes) -> tuple[PlainDay, ...]:
    """Return every timetable laid open; each stands before those that start from it."""
    declared = {t.name: t for t in programme.timetables}
    return tuple(_lay_open(programme, shapes, declared[name]) for name in _bases_first(declared))


def _bases_first(declared: dict[str, Timetable]) -> Iterator[str]:
    """Yield the names of timetables, those of one base behind it in order of name."""
    like: dict[str | None, list[str]] = {}
    for name in sorted(declared, reverse=True):
        like.setdefault(declared[name].like, []).append(name)
    # A list and no recursion: a chain of timetables may be as long as it likes.
    waiting = like.get(None, [])
    while waiting:
        name = waiting.pop()
        yield name
        waiting += like.get(name, ())


def _lay_open(programme: Programme, shapes: Shapes, timetable: Timetable) -> PlainDay:
    day = plain_day(programme, shapes, timetable.name)
    stretches = _stretches(shapes[timetable.name])
    against = None
    if timetable.like is not None:
        against = _hold_against(programme, shapes, timetable, timetable.like)
    lines = _lines(timetable)
    return PlainDay(timetable.name, timetable.span, lines, day, stretches, timetable.must_end, against)


def _lines(timetable: Timetable) -> tuple[Span, ...]:
    spans = [timetable.span, *(r.span for r in (*timetable.periods, *timetable.rings, *timetable.changes))]
    if timetable.each_period is not None:
        spans.append(timetable.each_period.span)
    if timetable.must_end is not None:
        spans.append(timetable.must_end[1])
    return tuple(dict.fromkeys(spans))


# ------------------------------------------------------------ periods and pauses


def _stretches(shape: Shape) -> tuple[Stretch, ...]:
    ends: dict[tuple[int, str], dict[str, Mark]] = {}
    for mark in shape.marks:
        if mark.period is not None:
            ends.setdefault((id(mark.period), mark.zone), {})[mark.kind] = mark
    return tuple(sorted(map(_stretch, ends.values()), key=_stretch_order))


def _stretch(ends: dict[str, Mark]) -> Stretch:
    start, end = ends.get("start"), ends.get("end")
    mark = start or end
    assert mark is not None
    assert mark.period is not None
    period = mark.period
    is_number = period.label.isascii() and period.label.isdigit()
    label = f"Period {period.label}" if is_number else period.label
    begins, ends_at = start.to if start else None, end.to if end else None
    return Stretch(label, mark.zone, begins, ends_at, period.is_pause, period.is_quiet, period.span)


def _stretch_order(stretch: Stretch) -> tuple[int, int, str, str]:
    first = stretch.start if stretch.start is not None else stretch.end
    last = stretch.end if stretch.end is not None else first
    assert first is not None
    assert last is not None
    return first, last, stretch.label, stretch.zone


# ------------------------------------------------------------- held against the base


def _hold_against(programme: Programme, shapes: Shapes, timetable: Timetable, like: str) -> Against:
    base, shape = shapes[like], shapes[timetable.name]
    found = [*_taken_and_moved(base, shape, _lines(timetable)), *_added(shape, _lines(timetable))]
    differences = _without_pairs(found)
    before, now = (_heard(plain_day(programme, shapes, name)) for name in (like, timetable.name))
    own = timetable.each_period
    return Against(
        like,
        len(before),
        len(before & now),
        (len(found) - len(differences)) // 2,
        own.span if own is not None and base.each is not None and own[:3] != base.each[:3] else None,
        tuple(d for d, _ in sorted(differences, key=lambda found: _order(found[0]))),
    )


def _heard(day: DayProgramme) -> set[tuple[int, str, str]]:
    return {(ring.at, ring.zone, ring.signal) for ring in day.rings}


_Found = tuple[Difference, str | None]
"""A difference and the signal of its ring."""


def _taken_and_moved(base: Shape, shape: Shape, own: tuple[Span, ...]) -> Iterator[_Found]:
    """Yield what was dropped or moved: a mark keeps the time of the base beside its own."""
    now: dict[_Key, Mark] = {_key(m, m.at): m for m in shape.marks if m.spans[0] not in own}
    for mark in base.marks:
        if not makes_rings(mark, base.each):
            continue
        kept = now.get(_key(mark, mark.to))
        if kept is None:
            yield _difference("dropped", mark, None, base)
        elif kept.to != mark.to:
            yield _difference("moved", mark, kept.to, base)


def _added(shape: Shape, own: tuple[Span, ...]) -> Iterator[_Found]:
    for mark in shape.marks:
        if mark.spans[0] in own and makes_rings(mark, shape.each):
            yield _difference("added", mark, None, shape)


def _difference(kind: str, mark: Mark, to: int | None, shape: Shape) -> _Found:
    warnings = len(warnings_of(mark, shape.each))
    found = Difference(kind, mark.to, to, mark.zone, reading(mark), warnings)  # type: ignore[arg-type]
    return found, signal_of(mark, shape.each)


def _without_pairs(found: list[_Found]) -> list[_Found]:
    """Leave out what one line drops and another writes again alike."""
    dropped, added = ({_sounds(f) for f in found if f[0].kind == kind} for kind in ("dropped", "added"))
    return [f for f in found if f[0].kind == "moved" or _sounds(f) not in dropped & added]


def _sounds(found: _Found) -> tuple[int, str, str | None, int, str | None]:
    difference, signal = found
    return difference.at, difference.zone, difference.label, difference.warnings, signal


def _key(mark: Mark, at: int) -> _Key:
    return mark.spans[0], mark.kind, mark.zone, mark.label, at


def _order(difference: Difference) -> tuple[int, int, int, str, str]:
    place = ("dropped", "moved", "added").index(difference.kind)
    return place, difference.at, difference.to or 0, difference.label or "", difference.zone
