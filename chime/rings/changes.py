"""Drop, shift and move, in this order, on the marks of a day.

All three look at the times before any shift, mark by mark, and a move beats a shift: so each is
noted against the unchanged marks first, and the marks are written once at the end. What a change
found is returned beside the marks, for an exception over many dates is judged over all of them.
"""

from collections.abc import Iterable, Sequence
from typing import Literal

from chime.diagnostics import Diagnostic, Span
from chime.programme.model import Change, Drop, EachPeriod, Move, Shift, Window
from chime.records import NamedTuple
from chime.rings import change_faults as faults
from chime.rings.shapes import Mark, Shape, makes_rings, reading, warning_reading, warnings_of

Kind = Literal["changed", "as before", "nothing", "no label"]
Zones = tuple[str, ...] | None

LATEST = 2 * 86_400
"""Times of a service day end before 48:00."""


class Ordered(NamedTuple):
    """A change with the reason written beside it, if it is an exception's."""

    change: Change
    said: str | None


class Found(NamedTuple):
    """What a change found on one day.

    `missed` are the clock times it names at which nothing rings, or only a warning: then the mark
    that the warning belongs to stands beside the time. `warned` is the owner of a warning named by its
    label, and `gone` the `drop` that left nothing of what a `move` names.
    """

    kind: Kind
    missed: tuple[tuple[int, Mark | None], ...] = ()
    warned: Mark | None = None
    gone: Span | None = None


class Taken(NamedTuple):
    """A mark that rang and that a change took from its time; `to` is None if it was dropped."""

    mark: Mark
    ordered: Ordered
    to: int | None


class Changed(NamedTuple):
    """The changed shape, what each change found (in the order given), and what was wrong.

    `unsettled` are the periods, each with its zone, of which a fault left a time open.
    """

    shape: Shape
    found: tuple[Found, ...]
    diagnostics: tuple[Diagnostic, ...]
    taken: tuple[Taken, ...]
    unsettled: frozenset[tuple[int, str]]


class _Changer:
    """Notes what happens to each mark, by its place in the unchanged list."""

    def __init__(self, shape: Shape) -> None:
        self.each: EachPeriod | None = shape.each
        self.marks = [mark._replace(at=mark.to) for mark in shape.marks]
        self.faults: list[Diagnostic] = []
        self.dropped: dict[int, Ordered] = {}
        self.shifted: dict[int, Ordered] = {}
        self.moved: dict[int, tuple[int, Ordered]] = {}
        self.clashes: dict[tuple[Change, Change], list[Mark]] = {}
        self.too_far: dict[Span, list[Mark]] = {}

    def run(self, changes: Sequence[Ordered]) -> Changed:
        found: dict[int, Found] = {}
        for kind, note in ((Drop, self._drop), (Shift, self._shift), (Move, self._move)):
            for place, ordered in enumerate(changes):
                if isinstance(ordered.change, kind):
                    found[place] = note(ordered)
        written = {n: self._written(n) for n in range(len(self.marks)) if n not in self.dropped}
        self._note_lone(written)
        in_order = tuple(found[place] for place in range(len(changes)))
        shape = Shape(tuple(written.values()), self.each)
        self.faults += [faults.changed_twice(one, other, hit) for (one, other), hit in self.clashes.items()]
        self.faults += [faults.out_of_the_day(span, hit) for span, hit in self.too_far.items()]
        open_ = [m for hit in (*self.clashes.values(), *self.too_far.values()) for m in hit]
        unsettled = frozenset(_stretch(mark) for mark in open_)
        return Changed(shape, in_order, tuple(self.faults), tuple(self._taken(written)), unsettled)

    # ---------------------------------------------------------------- noting

    def _drop(self, ordered: Ordered) -> Found:
        change = ordered.change
        assert isinstance(change, Drop)
        if change.label is not None and not any(has_label(m, change.label) for m in self.marks):
            return Found("no label", warned=self._warned(change.label))
        hit = [n for n, mark in enumerate(self.marks) if _hits(mark, change)]
        for place in hit:
            self.dropped.setdefault(place, ordered)
        ringing = {self.marks[n].at for n in hit if makes_rings(self.marks[n], self.each)}
        missed = tuple((t, self._owner(t, change.zones)) for t in change.times if t not in ringing)
        is_found = ringing or (not change.times and self._takes_a_pause(hit))
        return Found("changed" if is_found else "nothing", missed)

    def _takes_a_pause(self, hit: list[int]) -> bool:
        """Say whether a quiet pause goes: it has no ring to lose, but the day may end with it."""
        quiet = {_stretch(self.marks[n]) for n in hit if _is_quiet(self.marks[n])}
        left = (mark for n, mark in enumerate(self.marks) if n not in self.dropped) if quiet else ()
        return bool(quiet - {_stretch(mark) for mark in left})

    def _owner(self, at: int, zones: Zones) -> Mark | None:
        """Return the mark whose warning rings at a time, if one does."""
        for mark in self.marks:
            if zones is not None and mark.zone not in zones:
                continue
            if any(mark.at - before == at for _, before in warnings_of(mark, self.each)):
                return mark
        return None

    def _warned(self, label: str) -> Mark | None:
        """Return the mark that has a warning of this label, if one has."""
        for mark in self.marks:
            if any(warning_reading(mark, before) == label for _, before in warnings_of(mark, self.each)):
                return mark
        return None

    def _shift(self, ordered: Ordered) -> Found:
        change = ordered.change
        assert isinstance(change, Shift)
        found: Kind = "nothing"
        for place, mark in enumerate(self.marks):
            if place in self.dropped or not _is_in(mark, change.zones, change.window):
                continue
            before = self.shifted.get(place)
            if before is not None:
                self.clashes.setdefault((before.change, change), []).append(mark)
                found = "changed"
                continue
            self.shifted[place] = ordered
            found = "changed" if makes_rings(mark, self.each) else found
        return Found(found)

    def _move(self, ordered: Ordered) -> Found:
        change = ordered.change
        assert isinstance(change, Move)
        places = [n for n in range(len(self.marks)) if n not in self.dropped and self._is_moved(n, change)]
        if not places:
            return self._move_found_none(change)
        problem = self._half_dropped(change, places) or _not_one(change, [self.marks[n] for n in places])
        if problem is not None:
            self.faults.append(problem)
            return Found("changed")
        found: Kind = "as before"
        for place in places:
            mark = self.marks[place]
            to = change.end if change.end is not None and mark.kind == "end" else change.start
            if place in self.moved:
                self.clashes.setdefault((self.moved[place][1].change, change), []).append(mark)
            else:
                self.moved[place] = (to, ordered)
            found = found if to == mark.at and place not in self.shifted else "changed"
        return Found(found)

    def _is_moved(self, place: int, change: Move) -> bool:
        mark = self.marks[place]
        if change.zones is not None and mark.zone not in change.zones:
            return False
        if change.label is not None:
            return has_label(mark, change.label)
        return mark.at == change.at and makes_rings(mark, self.each)

    def _move_found_none(self, change: Move) -> Found:
        gone = next((o.change.span for n, o in self.dropped.items() if self._is_moved(n, change)), None)
        if change.label is not None:
            if any(has_label(m, change.label) for m in self.marks):
                return Found("nothing", gone=gone)
            return Found("no label", warned=self._warned(change.label))
        assert change.at is not None
        return Found("nothing", ((change.at, self._owner(change.at, change.zones)),), gone=gone)

    def _half_dropped(self, change: Move, places: list[int]) -> Diagnostic | None:
        """Return the fault of a move of a whole period of which only one edge is left in some zone."""
        edges = [self.marks[n] for n in places]
        edges = [mark for mark in edges if mark.period is not None and mark.label == change.label]
        gone = [(mark, line) for mark in edges if (line := self._other_edge_gone(mark)) is not None]
        if not gone:
            return None
        whole = {mark.zone for mark in edges} - {mark.zone for mark, _ in gone}
        return faults.half_dropped(change, *gone[0], sorted(whole))

    def _other_edge_gone(self, mark: Mark) -> Span | None:
        """Return the `drop` that took the other edge of a period away, here or in what was taken over."""
        for place, ordered in self.dropped.items():
            if _stretch(self.marks[place]) == _stretch(mark):
                return ordered.change.span
        return mark.lone

    # --------------------------------------------------------------- writing

    def _written(self, place: int) -> Mark:
        mark = self.marks[place]
        if place in self.moved:
            to, ordered = self.moved[place]
        elif place in self.shifted:
            ordered = self.shifted[place]
            assert isinstance(ordered.change, Shift)
            to = mark.at + ordered.change.seconds
        else:
            return mark
        span = ordered.change.span
        if not 0 <= to < LATEST:
            self.too_far.setdefault(span, []).append(mark)
            return mark
        said = (*mark.said, ordered.said) if ordered.said else mark.said
        return mark._replace(to=to, spans=(*mark.spans, span), said=said)

    def _note_lone(self, written: dict[int, Mark]) -> None:
        """Keep beside an edge whose other edge was dropped the line that dropped it."""
        gone = {_stretch(self.marks[n]): o.change.span for n, o in self.dropped.items()}
        for place, mark in written.items() if gone else ():
            if mark.period is not None and _stretch(mark) in gone:
                written[place] = mark._replace(lone=gone[_stretch(mark)])

    def _taken(self, written: dict[int, Mark]) -> list[Taken]:
        found = []
        for place, mark in enumerate(self.marks):
            if not makes_rings(mark, self.each):
                continue
            if place in self.dropped:
                found.append(Taken(mark, self.dropped[place], None))
            elif place in self.moved or place in self.shifted:
                ordered = self.moved[place][1] if place in self.moved else self.shifted[place]
                if written[place].to != mark.at:
                    found.append(Taken(mark, ordered, written[place].to))
        return found


def change(shape: Shape, changes: Sequence[Ordered]) -> Changed:
    """Apply changes to a shape; takes them in any order, gives all that came of it."""
    return _Changer(shape).run(changes)


def has_label(mark: Mark, label: str) -> bool:
    """Say whether a label names a mark: its period's or ring's label, or the label as it is read."""
    return label in (mark.label, reading(mark))


def _is_quiet(mark: Mark) -> bool:
    """Say whether a mark is the start or the end of a pause that shall not ring."""
    return mark.period is not None and mark.period.is_quiet


def _stretch(mark: Mark) -> tuple[int, str]:
    """Return what the two edges of a period in one zone have in common."""
    return id(mark.period), mark.zone


def _not_one(change: Move, hit: list[Mark]) -> Diagnostic | None:
    """Return the fault of a move that finds more than one period or ring time."""
    rings = [m for m in hit if m.period is None]
    whole = [m for m in hit if m.period is not None and m.label == change.label]
    if (rings and whole) or (change.end is None and not whole):
        times = sorted({m.at for m in hit})
        return faults.move_finds_several(change.span, times, is_period=False) if len(times) > 1 else None
    if change.end is None:
        return faults.period_needs_range(change, whole)
    if not whole:
        return faults.ring_needs_time(change, hit[0])
    for kind in ("start", "end"):
        times = sorted({m.at for m in hit if m.kind == kind})
        if len(times) > 1:
            return faults.move_finds_several(change.span, times, is_period=True)
    return None


def _hits(mark: Mark, change: Drop) -> bool:
    if change.label is not None and not has_label(mark, change.label):
        return False
    if change.times and mark.at not in change.times:
        return False
    return _is_in(mark, change.zones, change.window)


def _is_in(mark: Mark, zones: Zones, window: Window | None) -> bool:
    if zones is not None and mark.zone not in zones:
        return False
    if window is None:
        return True
    after_start = window.start is None or mark.at >= window.start
    return after_start and (window.end is None or mark.at < window.end)


def emptied_periods(changed: Changed) -> list[tuple[Mark, set[Span]]]:
    """Return the periods of which an edge is left but no ring: a dropped mark, and what dropped it."""
    shape = changed.shape
    left: dict[int, bool] = {}
    for mark in shape.marks:
        if mark.period is not None:
            left[id(mark.period)] = left.get(id(mark.period), False) or makes_rings(mark, shape.each)
    dropped: dict[int, tuple[Mark, set[Span]]] = {}
    for mark, ordered, to in changed.taken:
        if to is None and mark.period is not None and left.get(id(mark.period)) is False:
            dropped.setdefault(id(mark.period), (mark, set()))[1].add(ordered.change.span)
    return list(dropped.values())


def in_order(spans: Iterable[Span]) -> list[Span]:
    """Return lines by what they say: their order in the file decides nothing."""
    return sorted(spans, key=lambda span: (" ".join(span.text.split()), span.source.path, span.start))
