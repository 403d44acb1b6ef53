"""Timetables as written: periods, pauses, rings and the changes to what `like` takes over."""

from collections.abc import Iterator, Mapping

from chime.diagnostics import Diagnostic, Span
from chime.parsing.tree import Node, Word
from chime.programme import block_faults, value_faults
from chime.programme import timetable_faults as faults
from chime.programme.model import (
    Change,
    Drop,
    EachPeriod,
    Move,
    Period,
    RingLine,
    Shift,
    Timetable,
    WarningRing,
    Window,
)
from chime.programme.names import Declared, Names, as_name
from chime.programme.values import (
    range_of,
    seconds_of,
    time_of,
    times_of,
    whole_of,
    window_of,
)

LATEST = 2 * 86_400
"""Times of a service day end before 48:00."""

MOST_PERIODS = 200
"""Periods that one `periods` line may make."""

Faults = list[Diagnostic]
Zones = tuple[str, ...]


class _Heading:
    """What the first lines of all timetables say, needed before any line is read."""

    def __init__(self, names: Names, faults_: Faults) -> None:
        self.declared = {d.name: d for d in names.declared("timetable")}
        self.like: dict[str, str | None] = {}
        self.own_zones: dict[str, Zones | None] = {}
        self.known_zones: dict[str, Zones | None] = {}
        for name, declared in self.declared.items():
            self._read(name, declared, names)
        self._cut_circles(faults_)

    def _read(self, name: str, declared: Declared, names: Names) -> None:
        header = declared.block.header
        assert header is not None
        bases = list(header.nodes("name"))[1:]
        self.like[name] = names.resolve("timetable", bases[0]) if bases else None
        zones = header.node("in_zones", "everywhere")
        # Where the base is not known its zones are not either, and no line is asked for them.
        unsaid = () if bases and self.like[name] is None else None
        self.own_zones[name] = names.zones_in(zones) if zones else unsaid

    def _cut_circles(self, faults_: Faults) -> None:
        for circle in _circles(self.like):
            span, *others = (self.declared[member].span for member in circle)
            faults_.append(faults.like_circle(span, (*circle, circle[0]), others))
            for member in circle:
                self.like[member] = None
                self.own_zones[member] = self.own_zones[member] or ()

    def zones(self, name: str) -> Zones | None:
        """Return where lines ring that do not say it: in the timetable's own zones, else its base's."""
        chain = [name]
        while chain[-1] not in self.known_zones:
            own, base = self.own_zones[chain[-1]], self.like[chain[-1]]
            if own is not None or base is None:
                self.known_zones[chain[-1]] = own
            else:
                chain.append(base)
        found = self.known_zones[chain[-1]]
        self.known_zones.update(dict.fromkeys(chain, found))
        return found


def _circles(like: Mapping[str, str | None]) -> Iterator[list[str]]:
    """Yield the circles of names of which each leads to the next, each from its first name in order."""
    walked_from: dict[str, str] = {}
    for start in sorted(like):
        walk: list[str] = []
        name: str | None = start
        while name is not None and name not in walked_from:
            walked_from[name] = start
            walk.append(name)
            name = like[name]
        if name is not None and walked_from[name] == start:
            circle = walk[walk.index(name) :]
            first = circle.index(min(circle))
            yield circle[first:] + circle[:first]


def build_timetables(names: Names, faults_: Faults) -> tuple[Timetable, ...]:
    """Return every timetable, in the order of their names."""
    heading = _Heading(names, faults_)
    found = []
    for name, declared in heading.declared.items():
        reader = _TimetableReader(names, heading.zones(name), faults_)
        for line in declared.block.lines:
            reader.take(line)
        found.append(reader.timetable(name, heading.like[name], declared.span))
    return tuple(found)


class _TimetableReader:
    def __init__(self, names: Names, zones: Zones | None, faults_: Faults) -> None:
        self.names, self.zones, self.faults = names, zones, faults_
        self.each: EachPeriod | None = None
        self.periods: list[Period] = []
        self.rings: list[RingLine] = []
        self.changes: list[Change] = []
        self.must_end: tuple[int, Span] | None = None

    def timetable(self, name: str, like: str | None, span: Span) -> Timetable:
        return Timetable(
            name,
            like,
            self.zones,
            self.each,
            tuple(sorted(self.periods, key=lambda p: (p.start, p.end, p.label, p.zones))),
            tuple(
                sorted(self.rings, key=lambda r: ([t for t, _ in r.times], r.signal, r.zones, r.label or ""))
            ),
            tuple(sorted(self.changes, key=lambda c: " ".join(c.span.text.split()))),
            self.must_end,
            span,
        )

    def take(self, line: Node) -> None:
        if line.rule == "each_period_line":
            self._each_period_line(line)
        elif line.rule == "period_line":
            self._period_line(line, is_pause=False)
        elif line.rule == "pause_line":
            self._period_line(line, is_pause=True)
        elif line.rule == "periods_line":
            self._periods_line(line)
        elif line.rule == "ring_line":
            self._ring_line(line)
        elif line.rule == "must_end_line":
            self._must_end_line(line)
        else:
            self._change_line(line)

    def _each_period_line(self, line: Node) -> None:
        """`each period start lesson, end lesson, warn short 3 min before end`."""
        if self.each is not None:
            self.faults.append(block_faults.line_twice(line.span, self.each.span, "each period"))
            return
        edges: dict[str, str] = {}
        said: dict[str, Span] = {}
        warnings = []
        for part in line.nodes():
            signal = self.names.resolve("signal", next(part.nodes("name")))
            if part.rule == "each_warning":
                warning = self._warning(part, signal)
                warnings += [warning] if warning else []
            elif part.rule in said:
                self.faults.append(block_faults.part_twice(part.span, said[part.rule]))
            elif signal is not None:
                edges[part.rule] = signal
            said.setdefault(part.rule, part.span)
        warnings.sort(key=lambda w: (w.edge, w.before, w.signal))
        self.each = EachPeriod(edges.get("each_start"), edges.get("each_end"), tuple(warnings), line.span)

    def _warning(self, part: Node, signal: str | None) -> WarningRing | None:
        quantity = part.node("quantity")
        assert quantity is not None
        before = seconds_of(quantity, self.faults)
        if before is not None and before >= LATEST // 2:
            self.faults.append(value_faults.out_of_range(quantity.span, "1 s", "23 h 59 min"))
            return None
        if before is None or signal is None:
            return None
        edge = part.node("start_edge", "end_edge")
        return WarningRing(
            signal, before, "start" if edge and edge.rule == "start_edge" else "end", part.span
        )

    def _zones_of(self, line: Node) -> Zones | None:
        own = line.node("in_zones", "everywhere")
        if own is not None:
            return self.names.zones_in(own)
        if self.zones is None:
            self.faults.append(faults.no_zones(line.span))
        return self.zones

    def _period_line(self, line: Node, *, is_pause: bool) -> None:
        """`period "1" 08:50 - 09:40 in main`, `pause "Lunch" 12:15 - 12:55 in main quiet`."""
        start, end = line.words("TIME")
        times, zones = range_of(start, end, self.faults), self._zones_of(line)
        if times is None or zones is None:
            return
        label = as_name(line.word("STRING").text)
        is_quiet = line.node("quiet") is not None
        self.periods.append(Period(label, *times, zones, is_pause, is_quiet, line.span))

    def _periods_line(self, line: Node) -> None:
        """`periods 2 to 5 of 45 min from 09:45 passing 6 min in main`."""
        numbers = [whole_of(w, self.faults, 0, 999) for w in line.words("NUMBER")]
        length = seconds_of(next(line.nodes("quantity")), self.faults)
        start = time_of(line.word("TIME"), self.faults)
        passing = line.node("passing")
        gap = seconds_of(next(passing.nodes("quantity")), self.faults, zero=True) if passing else 0
        zones = self._zones_of(line)
        first, last = numbers
        if first is None or last is None or length is None or start is None or gap is None or zones is None:
            return
        if last < first or last - first >= MOST_PERIODS:
            self.faults.append(faults.periods_backwards(line.span, first, last))
            return
        ends = start + (last - first + 1) * (length + gap) - gap
        if ends >= LATEST:
            self.faults.append(faults.periods_too_late(line.span, last))
            return
        for number in range(first, last + 1):
            begins = start + (number - first) * (length + gap)
            self.periods.append(Period(str(number), begins, begins + length, zones, False, False, line.span))

    def _ring_line(self, line: Node) -> None:
        """`ring 08:38, 08:46 short in yard "Line up"`."""
        listed = line.node("times")
        assert listed is not None
        times = times_of(listed, self.faults)
        signal = self.names.resolve("signal", next(line.nodes("name")))
        zones = self._zones_of(line)
        if signal is None or zones is None or not times:
            return
        self.rings.append(RingLine(times, signal, zones, label_of(line), line.span))

    def _must_end_line(self, line: Node) -> None:
        """`must end 14:50`."""
        if self.must_end is not None:
            self.faults.append(block_faults.line_twice(line.span, self.must_end[1], "must end"))
            return
        at = time_of(line.word("TIME"), self.faults)
        self.must_end = None if at is None else (at, line.span)

    def _change_line(self, line: Node) -> None:
        change = read_change(line, self.names, self.faults)
        if change is not None:
            self.changes.append(change)


def read_change(line: Node, names: Names, faults_: Faults) -> Change | None:
    """Return the `drop`, `shift` or `move` of a line, in a timetable or an exception."""
    if line.rule == "drop_line":
        return drop_line(line, names, faults_)
    if line.rule == "shift_line":
        return shift_line(line, names, faults_)
    return move_line(line, names, faults_)


def drop_line(line: Node, names: Names, faults_: Faults) -> Drop | None:
    """`drop "5" in main from 11:40`, `drop 08:38, 08:46 in yard`, `drop from 12:10`."""
    label: str | None = None
    times: tuple[int, ...] = ()
    what = line.node("what_label", "what_times")
    if what is not None and what.rule == "what_label":
        label = as_name(what.word("STRING").text)
    elif what is not None:
        listed = what.node("times")
        assert listed is not None
        times = tuple(t for t, _ in times_of(listed, faults_))
        if not times:
            return None
    where = read_where(line, names, faults_)
    return None if where is None else Drop(label, times, where[0], where[1], line.span)


def shift_line(line: Node, names: Names, faults_: Faults) -> Shift | None:
    """`shift +20 min from 09:30 until 11:40 in main`."""
    signed = line.node("signed")
    assert signed is not None
    seconds, where = seconds_of(signed, faults_), read_where(line, names, faults_)
    return None if seconds is None or where is None else Shift(seconds, where[0], where[1], line.span)


def move_line(line: Node, names: Names, faults_: Faults) -> Move | None:
    """`move "3" to 10:55 - 11:25`, `move 10:35 to 10:42 in main`."""
    words: list[Word] = list(line.words("STRING", "TIME"))
    what, to = words[0], words[1:]
    own = line.node("in_zones", "everywhere")
    zones = names.zones_in(own) if own else None
    label = as_name(what.text) if what.kind == "STRING" else None
    at = time_of(what, faults_) if label is None else None
    if len(to) == 2 and label is None:
        faults_.append(faults.move_time_to_range(line.span))
        return None
    times = range_of(to[0], to[1], faults_) if len(to) == 2 else (time_of(to[0], faults_), None)
    if times is None or times[0] is None or (label is None and at is None):
        return None
    return Move(label, at, times[0], times[1], zones, line.span)


def read_where(line: Node, names: Names, faults_: Faults) -> tuple[Zones | None, Window | None] | None:
    """Return the zones and the window of a line; None where a fault left one of them unknown."""
    where = line.node("where")
    if where is None:
        return None, None
    place = where.node("in_zones", "everywhere")
    said = where.node("between", "from_until", "after", "before")
    window = window_of(said, faults_)
    if said is not None and window is None:
        return None
    zones = names.zones_in(place) if place else None
    if zones == ():
        return None
    return zones, window


def label_of(line: Node) -> str | None:
    """Return the label or reason at a line's end, or None."""
    words = line.words("STRING")
    return as_name(words[-1].text) if words else None
