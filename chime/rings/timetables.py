"""Timetables worked out: what `like` takes over, changed, and what the timetable adds."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from chime.diagnostics import Diagnostic, Span, is_error
from chime.diagnostics.suggest import nearest
from chime.programme.model import SURE, Drop, EachPeriod, Move, Period, Programme, Timetable, Unsure
from chime.records import NamedTuple
from chime.rings import change_faults, ring_faults
from chime.rings.changes import Changed, Found, Ordered, change, emptied_periods, in_order
from chime.rings.shapes import Mark, Shape, Signals, causes, makes_rings, own_marks, reading

Shapes = Mapping[str, Shape]
Overlap = tuple[Period, Period, str]

_MOST_OVERLAPS = 2_000
"""Pairs of periods that overlap in one timetable; of more nothing is said."""


class WorkedOut(NamedTuple):
    """The shape of every timetable by name, what is wrong, and the timetables that rest on an error."""

    shapes: Shapes
    diagnostics: tuple[Diagnostic, ...]
    faulty: frozenset[str]


class _Resolver:
    """Works out each timetable once, its base first."""

    def __init__(self, programme: Programme, unsure: Unsure) -> None:
        self.unsure = unsure
        self.declared = {t.name: t for t in programme.timetables}
        self.signals: Signals = {s.name: s for s in programme.signals}
        self.shapes: dict[str, Shape] = {}
        self.faults: list[Diagnostic] = []
        self.used = _used_timetables(programme)
        self.unsettled: set[str] = set()
        self.faulty: set[str] = set()
        self.told: set[str] = set()

    def run(self) -> WorkedOut:
        for name in bases_first(self.declared):
            before = len(self.faults)
            timetable = self.declared[name]
            self.shapes[name] = self._resolve(timetable)
            if is_error(self.faults[before:]) or timetable.like in self.faulty:
                self.faulty.add(name)
            if timetable.like in self.told:
                self.told.add(name)
        return WorkedOut(self.shapes, tuple(self.faults), frozenset(self.faulty))

    def _resolve(self, timetable: Timetable) -> Shape:
        base = self.shapes[timetable.like] if timetable.like else Shape((), None)
        each = timetable.each_period or base.each
        if not timetable.changes:
            shape = Shape(self._taken_over(timetable, base) + own_marks(timetable), each)
            self._check_settled(timetable, shape, base, None)
            return shape
        ordered = [Ordered(c, None) for c in timetable.changes]
        changed = change(Shape(base.marks, each), ordered)
        shape = Shape(changed.shape.marks + own_marks(timetable), each)
        if timetable.name not in self.unsure.timetables:
            faults = [*changed.diagnostics, *judge(ordered, [changed.found], labels_of(base.marks))]
            faults += turned_periods(changed)
            self.faults += faults
            if is_error(faults):
                self.unsettled.add(timetable.name)
        self._check_settled(timetable, shape, base, changed)
        return shape

    def _check_settled(
        self, timetable: Timetable, shape: Shape, base: Shape, changed: Changed | None
    ) -> None:
        """Check a timetable unless a change is at fault: how the day then looks is no mistake of its own."""
        if timetable.like in self.unsettled:
            self.unsettled.add(timetable.name)
        if timetable.name not in self.unsettled and timetable.name not in self.unsure.timetables:
            self._check(timetable, shape, base)
            if changed is not None and timetable.name in self.used:
                self.faults += _emptied(timetable, changed)

    def _taken_over(self, timetable: Timetable, base: Shape) -> tuple[Mark, ...]:
        """Return the marks of a base as they stand for a timetable that changes none of them.

        Where the base has not changed them either they are the same, so a long chain copies no mark.
        """
        if timetable.like is None or not self.declared[timetable.like].changes:
            return base.marks
        return tuple(mark._replace(at=mark.to) for mark in base.marks)

    def _check(self, timetable: Timetable, shape: Shape, base: Shape) -> None:
        self.faults += _sum_that_does_not_close(timetable, shape.marks)
        if timetable.name not in self.used:
            return
        if timetable.like not in self.told:
            base = Shape((), None)  # nobody has been told of what the base says
        self.told.add(timetable.name)
        inherited = {id(m.period) for m in base.marks}
        self.faults += _silent_periods(shape, inherited)
        overlaps = _by_lines(_overlaps(shape.marks) - _overlaps(base.marks))
        self.faults += [ring_faults.periods_overlap(timetable.name, found) for found in overlaps]
        self.faults += _meeting_signals(timetable, shape, base, self.signals, self.unsure)
        self.faults += _warnings_at_ends(timetable, shape, base)


def bases_first(declared: Mapping[str, Timetable]) -> Iterator[str]:
    """Yield the names of timetables, each behind the one that it starts from, however long the chain."""
    done: set[str] = set()
    for each in sorted(declared):
        name: str | None = each
        chain: list[str] = []
        while name is not None and name not in done:
            done.add(name)
            chain.append(name)
            name = declared[name].like
        yield from reversed(chain)


def _used_timetables(programme: Programme) -> frozenset[str]:
    """Return the timetables that some week, cycle or exception can put on a date."""
    days = [d.timetable for w in programme.weeks for d in w.days]
    days += [d.timetable for c in programme.cycles for d in c.days]
    days += [getattr(s.special, "timetable", None) for s in programme.specials]
    return frozenset(name for name in days if name is not None)


def work_out(programme: Programme, unsure: Unsure = SURE) -> WorkedOut:
    """Return the shape of every timetable by name, and what is wrong with them.

    Nothing is said of timetables that are not certain, some line of which could not be read.
    """
    return _Resolver(programme, unsure).run()


# ------------------------------------------------------- what the changes found


def labels_of(marks: Iterable[Mark]) -> frozenset[str]:
    """Return the labels by which marks can be named: of periods and rings, and of starts and ends."""
    named = [label for mark in marks for label in (mark.label, reading(mark))]
    return frozenset(label for label in named if label is not None)


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
        return [_no_label(one, one.label, found, labels)]
    missed = _missed_every_time(found)
    owned = [(at, owner) for at, owner in missed.items() if owner is not None]
    if isinstance(one, Move):
        if "changed" in kinds:
            return []
        if "as before" in kinds:
            return [change_faults.moves_nowhere(span)]
        if owned:
            return [change_faults.move_of_warning(span, *owned[0])]
        return [change_faults.move_finds_nothing(span, next((f.gone for f in found if f.gone), None))]
    faults = [change_faults.drop_of_warning(span, at, owner) for at, owner in owned]
    if "changed" in kinds:
        lost = [at for at, owner in missed.items() if owner is None]
        return faults + [change_faults.time_not_found(span, at) for at in lost]
    return faults or [change_faults.finds_nothing(span)]


def _no_label(one: Drop | Move, label: str, found: Sequence[Found], labels: frozenset[str]) -> Diagnostic:
    """Return the fault of a label that names nothing, or a warning, which has no label of its own."""
    owner = next((f.warned for f in found if f.warned is not None), None)
    if owner is None:
        return change_faults.no_such_label(one.span, label, nearest(label, labels))
    of_warning = change_faults.move_of_warning if isinstance(one, Move) else change_faults.drop_of_warning
    return of_warning(one.span, label, owner)


def _missed_every_time(found: Sequence[Found]) -> dict[int, Mark | None]:
    """Return the times that a change missed on every day, with the owner of a warning there."""
    missed = [dict(f.missed) for f in found]
    if not missed:
        return {}
    always = set(missed[0]).intersection(*missed[1:])
    return {at: next((m[at] for m in missed if m[at] is not None), None) for at in sorted(always)}


def turned_periods(changed: Changed) -> list[Diagnostic]:
    """Return the faults of periods that no longer end after they start, one for each line that turns some.

    Of periods that another fault leaves open nothing is said.
    """
    starts = {(id(m.period), m.zone): m for m in changed.shape.marks if m.kind == "start"}
    turned: dict[Span, list[tuple[Mark, Mark]]] = {}
    for end in changed.shape.marks:
        place = (id(end.period), end.zone)
        start = starts.get(place) if end.kind == "end" else None
        if start is not None and end.to <= start.to and place not in changed.unsettled:
            turned.setdefault(_turning(start, end), []).append((start, end))
    faults = []
    for span, pairs in turned.items():
        pairs.sort(key=lambda pair: (pair[0].to, pair[0].zone))
        faults.append(change_faults.period_turned(span, pairs, _beside(span, *pairs[0])))
    return faults


def _turning(start: Mark, end: Mark) -> Span:
    """Return the line that turned a period round: the last that changed its start, else its end."""
    spans = (*start.spans[::-1], *end.spans[::-1])
    return max(spans, key=lambda s: s in (start.spans[1:] + end.spans[1:]))


def _beside(turning: Span, start: Mark, end: Mark) -> list[Span]:
    spans = dict.fromkeys((*start.spans[::-1], *end.spans[::-1]))
    return [span for span in spans if span != turning]


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
    told_or_ringing = inherited | {id(m.period) for m in shape.marks if makes_rings(m, shape.each)}
    for mark in shape.marks:
        period = mark.period
        if period is None or period.is_quiet or id(period) in told_or_ringing:
            continue
        periods.setdefault(period.span, period)
    return [ring_faults.period_rings_nowhere(p) for p in periods.values()]


def _emptied(timetable: Timetable, changed: Changed) -> list[Diagnostic]:
    """Warn of periods that the timetable takes the last ring from; their other edge stays without one."""
    return [
        ring_faults.period_emptied(timetable.name, mark, in_order(spans))
        for mark, spans in emptied_periods(changed)
        if makes_rings(mark, changed.shape.each)
    ]


def _overlap_key(overlap: Overlap) -> tuple[int, int, str, str, str]:
    one, other, zone = overlap
    return one.start, other.start, zone, one.label, other.label


def _by_lines(overlaps: Iterable[Overlap]) -> list[list[Overlap]]:
    """Put together the overlaps of the same two lines, in order: they are one mistake."""
    found: dict[frozenset[Span], list[Overlap]] = {}
    for overlap in sorted(overlaps, key=_overlap_key):
        found.setdefault(frozenset((overlap[0].span, overlap[1].span)), []).append(overlap)
    return list(found.values())


def _overlaps(marks: Sequence[Mark]) -> set[Overlap]:
    """Return the pairs of periods that overlap in a zone, as they stand after all changes."""
    starts = {(id(m.period), m.zone): m.to for m in marks if m.kind == "start"}
    by_zone: dict[str, list[tuple[int, int, Period]]] = {}
    for end in marks:
        start = starts.get((id(end.period), end.zone)) if end.kind == "end" else None
        if start is not None and end.period is not None:
            by_zone.setdefault(end.zone, []).append((start, end.to, end.period))
    found: set[Overlap] = set()
    for zone, stretches in sorted(by_zone.items()):
        stretches.sort(key=lambda s: (s[0], s[1]))
        for n, (_, until, period) in enumerate(stretches):
            for place in range(n + 1, len(stretches)):
                start, _, other = stretches[place]
                if start >= until or len(found) >= _MOST_OVERLAPS:
                    break
                found.add((period, other, zone))
    return found


def _meeting(shape: Shape) -> dict[tuple[int, str], set[tuple[str, Span]]]:
    met: dict[tuple[int, str], set[tuple[str, Span]]] = {}
    for at, zone, signal, reason in causes(shape):
        met.setdefault((at, zone), set()).add((signal, reason.spans[0]))
    return met


def _meeting_signals(
    timetable: Timetable, shape: Shape, base: Shape, signals: Signals, unsure: Unsure
) -> list[Diagnostic]:
    """Warn once of a timetable in which different signals meet at one time, the first place shown."""
    before = _meeting(base)
    for (at, zone), parts in sorted(_meeting(shape).items(), key=lambda item: item[0]):
        met = {s for s, _ in parts}
        if len(met) > 1 and before.get((at, zone)) != parts:
            is_sure = unsure.signals.isdisjoint(met)
            return [ring_faults.signals_meet(timetable.name, at, zone, parts, signals)] if is_sure else []
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
