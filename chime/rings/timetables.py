"""Timetables worked out: what `like` takes over, changed, and what the timetable adds."""

from collections.abc import Container, Iterable, Mapping, Sequence

from chime.diagnostics import Diagnostic, Span
from chime.diagnostics.suggest import nearest
from chime.programme.model import Drop, EachPeriod, Move, Period, Programme, Timetable
from chime.rings import change_faults, ring_faults
from chime.rings.changes import Changed, Found, Ordered, change
from chime.rings.shapes import Mark, Shape, Signals, causes, makes_rings, own_marks

Shapes = Mapping[str, Shape]
Overlap = tuple[Period, Period, str]


class _Resolver:
    """Works out each timetable once, its base first."""

    def __init__(self, programme: Programme, doubtful: Container[str]) -> None:
        self.doubtful = doubtful
        self.declared = {t.name: t for t in programme.timetables}
        self.signals: Signals = {s.name: s for s in programme.signals}
        self.shapes: dict[str, Shape] = {}
        self.faults: list[Diagnostic] = []
        self.used = _used_timetables(programme)
        self.checked: set[str] = set()

    def shape(self, name: str) -> Shape:
        if name not in self.shapes:
            self.shapes[name] = self._resolve(self.declared[name])
        return self.shapes[name]

    def _resolve(self, timetable: Timetable) -> Shape:
        base = self.shape(timetable.like) if timetable.like else Shape((), None)
        each = timetable.each_period or base.each
        taken_over = Shape(base.marks, each)
        ordered = [Ordered(c, None) for c in timetable.changes]
        changed = change(taken_over, ordered)
        shape = Shape(changed.shape.marks + own_marks(timetable), each)
        if timetable.name not in self.doubtful:
            self.faults += changed.diagnostics
            self.faults += judge(ordered, [changed.found], labels_of(taken_over.marks))
            self.faults += turned_periods(changed)
            self._check(timetable, shape, base)
        return shape

    def _is_any_base_checked(self, timetable: Timetable) -> bool:
        name = timetable.like
        while name is not None and name not in self.checked:
            name = self.declared[name].like
        return name is not None

    def _check(self, timetable: Timetable, shape: Shape, base: Shape) -> None:
        self.faults += _sum_that_does_not_close(timetable, shape.marks)
        if timetable.name not in self.used:
            return
        self.checked.add(timetable.name)
        if not self._is_any_base_checked(timetable):
            base = Shape((), None)  # nobody has been told of what the base says
        inherited = {id(m.period) for m in base.marks}
        self.faults += _silent_periods(shape, inherited)
        self.faults += [
            ring_faults.periods_overlap(timetable.name, *overlap)
            for overlap in sorted(_overlaps(shape.marks) - _overlaps(base.marks), key=_overlap_key)
        ]
        self.faults += _meeting_signals(timetable, shape, base, self.signals)
        self.faults += _warnings_at_ends(timetable, shape, base)


def _used_timetables(programme: Programme) -> frozenset[str]:
    """Return the timetables that some week, cycle or exception can put on a date."""
    days = [d.timetable for w in programme.weeks for d in w.days]
    days += [d.timetable for c in programme.cycles for d in c.days]
    days += [getattr(s.special, "timetable", None) for s in programme.specials]
    return frozenset(name for name in days if name is not None)


def work_out(programme: Programme, doubtful: Container[str] = ()) -> tuple[Shapes, tuple[Diagnostic, ...]]:
    """Return the shape of every timetable by name, and what is wrong with them.

    Nothing is said of doubtful timetables, some line of which could not be read.
    """
    resolver = _Resolver(programme, doubtful)
    for name in sorted(resolver.declared):
        resolver.shape(name)
    return resolver.shapes, tuple(resolver.faults)


# ------------------------------------------------------- what the changes found


def labels_of(marks: Iterable[Mark]) -> frozenset[str]:
    """Return the labels by which marks can be named."""
    return frozenset(m.label for m in marks if m.label is not None)


def judge(
    changes: Sequence[Ordered], found_by_day: Sequence[tuple[Found, ...]], labels: frozenset[str]
) -> list[Diagnostic]:
    """Return what is wrong with changes, judged over all the days on which they act.

    A change that does its work on one day may find nothing on another (`early` on a Friday).
    """
    faults: list[Diagnostic] = []
    for place, ordered in enumerate(changes):
        faults += _judge_one(ordered, [found[place] for found in found_by_day], labels)
    return faults


def _judge_one(ordered: Ordered, found: Sequence[Found], labels: frozenset[str]) -> list[Diagnostic]:
    one, span = ordered.change, ordered.change.span
    kinds = {f.kind for f in found}
    if kinds == {"no label"} and isinstance(one, Drop | Move) and one.label is not None:
        return [change_faults.no_such_label(span, one.label, nearest(one.label, labels))]
    missed = _missed_every_time(found)
    owned = [(at, owner) for at, owner in missed.items() if owner is not None]
    if isinstance(one, Move):
        if "changed" in kinds:
            return []
        return [change_faults.move_finds_nothing(span, owned[0] if owned else None)]
    faults = [change_faults.drop_of_warning(span, at, owner) for at, owner in owned]
    if "changed" in kinds:
        lost = [at for at, owner in missed.items() if owner is None]
        return faults + [change_faults.time_not_found(span, at) for at in lost]
    return faults or [change_faults.finds_nothing(span)]


def _missed_every_time(found: Sequence[Found]) -> dict[int, Mark | None]:
    """Return the times that a change missed on every day, with the owner of a warning there."""
    missed = [dict(f.missed) for f in found]
    if not missed:
        return {}
    always = set(missed[0]).intersection(*missed[1:])
    return {at: next((m[at] for m in missed if m[at] is not None), None) for at in sorted(always)}


def turned_periods(changed: Changed) -> list[Diagnostic]:
    """Return the faults of periods that no longer end after they start."""
    starts = {(id(m.period), m.zone): m for m in changed.shape.marks if m.kind == "start"}
    faults = []
    for end in changed.shape.marks:
        start = starts.get((id(end.period), end.zone)) if end.kind == "end" else None
        if start is not None and end.to <= start.to:
            spans = list(dict.fromkeys((*start.spans[::-1], *end.spans[::-1])))
            moved = max(spans, key=lambda s: s in (start.spans[1:] + end.spans[1:]))
            rest = [s for s in spans if s is not moved]
            faults.append(change_faults.period_turned(moved, start, start.to, end.to, rest))
    return faults


# ----------------------------------------------------------- one day by itself


def _sum_that_does_not_close(timetable: Timetable, marks: Sequence[Mark]) -> list[Diagnostic]:
    if timetable.must_end is None:
        return []
    wanted, span = timetable.must_end
    last = max((m for m in marks if m.kind == "end"), key=lambda m: m.to, default=None)
    if last is not None and last.to == wanted:
        return []
    return [ring_faults.does_not_end(span, wanted, last)]


def _silent_periods(shape: Shape, inherited: set[int]) -> list[Diagnostic]:
    periods: dict[Span, Period] = {}
    ringing = {id(m.period) for m in shape.marks if makes_rings(m, shape.each)}
    for mark in shape.marks:
        period = mark.period
        if period is None or period.is_quiet or id(period) in ringing | inherited:
            continue
        periods.setdefault(period.span, period)
    return [ring_faults.period_rings_nowhere(p) for p in periods.values()]


def _overlap_key(overlap: Overlap) -> tuple[int, int, str]:
    return overlap[0].start, overlap[1].start, overlap[2]


def _overlaps(marks: Sequence[Mark]) -> set[Overlap]:
    """Return the pairs of periods that overlap in a zone, as they stand after all changes."""
    starts = {(id(m.period), m.zone): m.to for m in marks if m.kind == "start"}
    by_zone: dict[str, list[tuple[int, int, Period]]] = {}
    for end in marks:
        start = starts.get((id(end.period), end.zone)) if end.kind == "end" else None
        if start is not None and end.period is not None:
            by_zone.setdefault(end.zone, []).append((start, end.to, end.period))
    found: set[Overlap] = set()
    for zone, stretches in by_zone.items():
        stretches.sort(key=lambda s: (s[0], s[1]))
        for n, (_, until, period) in enumerate(stretches):
            for start, _, other in stretches[n + 1 :]:
                if start >= until:
                    break
                found.add((period, other, zone))
    return found


def _meeting(shape: Shape) -> dict[tuple[int, str], set[tuple[str, Span]]]:
    met: dict[tuple[int, str], set[tuple[str, Span]]] = {}
    for at, zone, signal, reason in causes(shape):
        met.setdefault((at, zone), set()).add((signal, reason.spans[0]))
    return met


def _meeting_signals(timetable: Timetable, shape: Shape, base: Shape, signals: Signals) -> list[Diagnostic]:
    """Warn once of a timetable in which different signals meet at one time, the first place shown."""
    before = _meeting(base)
    for (at, zone), parts in sorted(_meeting(shape).items(), key=lambda item: item[0]):
        if len({s for s, _ in parts}) > 1 and before.get((at, zone)) != parts:
            return [ring_faults.signals_meet(timetable.name, at, zone, parts, signals)]
    return []


def _warnings_at_ends(timetable: Timetable, shape: Shape, base: Shape) -> list[Diagnostic]:
    """Warn once of a timetable in which a warning falls on the end of the period before."""
    before = set(_warning_ends(base, base.each))
    for found in sorted(_warning_ends(shape, shape.each), key=lambda f: (f[0], f[1])):
        if found not in before:
            at, zone, warned, ended = found
            return [ring_faults.warning_at_end(timetable.name, at, zone, warned, ended)]
    return []


def _warning_ends(shape: Shape, each: EachPeriod | None) -> Iterable[tuple[int, str, Span, Span]]:
    if each is None or not each.warnings:
        return []
    ends: dict[tuple[int, str], Span] = {}
    warned: dict[tuple[int, str], Span] = {}
    for at, zone, _, reason in causes(shape):
        if reason.is_end:
            ends.setdefault((at, zone), reason.spans[0])
        elif reason.is_warning:
            warned.setdefault((at, zone), reason.spans[0])
    return [(*key, warned[key], ends[key]) for key in warned if key in ends]
