"""Timetables as days of clock times: each zone's rings, its periods, and what the sums come to."""

from collections.abc import Iterable, Mapping, Sequence
from operator import itemgetter

from chime.clock import DAY, write_duration, write_time
from chime.diagnostics import Diagnostic, Source, Span
from chime.diagnostics.cells import measure
from chime.programme.model import Programme
from chime.records import NamedTuple
from chime.rings.day_model import Against, Difference, PlainDay, Stretch
from chime.rings.model import DayRing
from chime.writers.columns import (
    WIDTH,
    align,
    fold,
    joined,
    line_of,
    number,
    text_of,
    visible,
    widths,
    words_of,
    zone_order,
)

NEXT_MORNING = "+1: next morning, after midnight"


class Sums(NamedTuple):
    """What the periods and pauses of a zone come to, all in seconds.

    `periods + pauses + passing - overlaps` is the day from the first start to the last end;
    `uncounted` are the periods of which a change dropped the start or the end.
    """

    start: int
    end: int
    periods: int
    pauses: int
    passing: int
    overlaps: int
    uncounted: int


def sums(stretches: Iterable[Stretch]) -> Sums | None:
    """Add up the periods and pauses of one zone; None if none has a start and an end."""
    whole, parted = [], 0
    for stretch in stretches:
        if stretch.start is None or stretch.end is None:
            parted += 1
        else:
            whole.append((stretch.start, stretch.end, stretch.is_pause))
    if not whole:
        return None
    whole.sort()
    pauses = sum(end - start for start, end, is_pause in whole if is_pause)
    periods = sum(end - start for start, end, is_pause in whole if not is_pause)
    passing, reached = 0, whole[0][0]
    for start, end, _ in whole:
        passing += max(0, start - reached)
        reached = max(reached, end)
    first = whole[0][0]
    overlaps = periods + pauses + passing - (reached - first)
    return Sums(first, reached, periods, pauses, passing, overlaps, parted)


def write_clock(seconds: int) -> str:
    """Return a time as the clock shows it: `08:45`, `02:00 +1` after midnight."""
    return write_time(seconds) if seconds < DAY else f"{write_time(seconds - DAY)} +1"


def write_days(
    programme: Programme,
    days: Sequence[PlainDay],
    doubts: Mapping[str, Sequence[str]],
    diagnostics: Sequence[Diagnostic],
) -> str:
    """Return timetables as text; `doubts` says by name why a day may be incomplete."""
    faults = _by_line(diagnostics)
    blocks = [_Day(programme, day, doubts.get(day.name, ()), faults).text() for day in days]
    return ("\n\n".join(blocks) or "no timetable is written") + "\n"


_ByLine = Mapping[tuple[Source, int], Sequence[tuple[int, Diagnostic]]]
"""The faults that have a place in a line, each with its number among all of them."""


def _by_line(diagnostics: Sequence[Diagnostic]) -> _ByLine:
    found: dict[tuple[Source, int], list[tuple[int, Diagnostic]]] = {}
    for order, fault in enumerate(diagnostics):
        for place in {(label.span.source, label.span.line) for label in fault.labels}:
            found.setdefault(place, []).append((order, fault))
    return found


class _Day:
    """One timetable in words."""

    def __init__(self, programme: Programme, day: PlainDay, doubts: Sequence[str], faults: _ByLine) -> None:
        self.programme, self.day = programme, day
        self.doubts, self.faults = doubts, faults

    def text(self) -> str:
        day = self.day
        like = f" like {day.against.base}" if day.against else ""
        lines = [f"timetable {day.name}{like}  ({self._place(day.span)})"]
        for doubt in self.doubts:
            lines += fold(doubt.split(" "), "  MAY BE INCOMPLETE: ", " ")
        parts = [self._rings(), self._periods(), self._heard(), self._against(), self._faults()]
        lines += [line for part in parts if part for line in ("", *part)]
        times = [ring.at for ring in day.programme.rings] + [s.end or 0 for s in day.stretches]
        if max(times, default=0) >= DAY:
            lines += ["", f"  {NEXT_MORNING}"]
        return "\n".join(lines)

    def _place(self, span: Span) -> str:
        return line_of(span, self.programme.span)

    # ------------------------------------------------------------------ rings

    def _rings(self) -> list[str]:
        rings = self.day.programme.rings
        if not rings:
            return ["  nothing rings"]
        signals = {r.signal for r in rings}
        lines = [f"  every ring: {signals.pop()}", ""] if len(signals) == 1 else []
        alike = _alike(rings, zone_order(self.programme))
        columns = [_column(zones, found, with_signal=not lines) for zones, found in alike]
        for place, grid in enumerate(_side_by_side(columns)):
            lines += ["", *_grid(grid)] if place else _grid(grid)
        return lines

    # ---------------------------------------------------------------- periods

    def _periods(self) -> list[str]:
        lines: list[str] = []
        for zones, stretches in _stretches_alike(self.day.stretches, zone_order(self.programme)):
            lines += [""] if lines else []
            lines.append(f"  periods and pauses in {', '.join(zones)}")
            lines += align(_period_rows(stretches), "    ") + _sum_line(stretches)
        if self.day.must_end is not None:
            lines += [""] if lines else []
            lines.append(self._must_end(*self.day.must_end))
        return lines

    def _must_end(self, wanted: int, span: Span) -> str:
        ends = [s.end for s in self.day.stretches if s.end is not None]
        off = max(ends) - wanted if ends else None
        if off is None:
            verdict = "there is no period that could end then"
        elif off == 0:
            verdict = "it does"
        else:
            late = "late" if off > 0 else "early"
            verdict = f"it ends {write_clock(wanted + off)}, {write_duration(abs(off))} {late}"
        return f"  must end {write_clock(wanted)} ({self._place(span)}): {verdict}"

    # ------------------------------------------------------------------ heard

    def _heard(self) -> list[str]:
        lines = []
        for audience in self.programme.audiences:
            at = sorted({r.at for r in self.day.programme.rings if r.zone in audience.zones})
            zones = [zone for zone in zone_order(self.programme) if zone in audience.zones]
            said = f'  "{visible(audience.label)}" hears {joined(zones or ["nothing"])}'
            times = list(map(write_clock, at)) or ["no ring"]
            lines += fold(times, f"{said}, {number(len(at), 'time')}: " if at else f"{said}: ")
        return lines

    # ---------------------------------------------------------------- against

    def _against(self) -> list[str]:
        against = self.day.against
        if against is None:
            return []
        lines = [f"  against {against.base}: {_kept(against)}"]
        if against.each_period is not None:
            line = against.each_period
            lines.append(f"    periods ring by its own line, {self._place(line)}: {text_of(line)}")
        rows = _difference_rows(against.differences, zone_order(self.programme))
        return lines + align(rows, "    ")

    # ----------------------------------------------------------------- faults

    def _faults(self) -> list[str]:
        own = {(span.source, span.line) for span in self.day.lines}
        own_faults = {order: fault for place in own for order, fault in self.faults.get(place, ())}
        lines = []
        for _, fault in sorted(own_faults.items(), key=itemgetter(0)):
            if fault.primary is not None:
                said = f"  {fault.severity} at {self._place(fault.primary.span)}: "
                lines += fold(visible(fault.headline).split(" "), said, " ")
        return lines


# ----------------------------------------------------------------- rings in columns


class _Column(NamedTuple):
    """The zones that ring alike; by time the words of the ring, and what stands below."""

    heading: str
    cells: Mapping[int, str]
    foot: str

    @property
    def width(self) -> int:
        return max(measure(text) for text in (self.heading, self.foot, *self.cells.values()))


def _alike(rings: Iterable[DayRing], order: Sequence[str]) -> list[tuple[tuple[str, ...], list[DayRing]]]:
    """Return zones that ring alike together, each with the rings of one of them."""
    by_zone: dict[str, list[DayRing]] = {}
    for ring in rings:
        by_zone.setdefault(ring.zone, []).append(ring)
    by_day: dict[tuple[object, ...], list[str]] = {}
    for zone in sorted(by_zone, key=order.index):
        found = by_zone[zone]
        by_day.setdefault(tuple((r.at, r.signal, _labels(r)) for r in found), []).append(zone)
    return [(tuple(zones), by_zone[zones[0]]) for zones in by_day.values()]


def _labels(ring: DayRing) -> str:
    labels = sorted({r.label for r in ring.reasons if r.label is not None})
    return visible(" / ".join(labels))


def _column(zones: tuple[str, ...], rings: Sequence[DayRing], *, with_signal: bool) -> _Column:
    rows = []
    for before, ring in zip([None, *rings], rings, strict=False):
        since = "first" if before is None else write_duration(ring.at - before.at)
        rows.append([since, ring.signal if with_signal else "", _labels(ring)])
    cells = align(_without_empty(rows), "")
    length = f", {write_duration(rings[-1].at - rings[0].at)}" if len(rings) > 1 else ""
    foot = f"{number(len(rings), 'ring')}{length}"
    return _Column(", ".join(zones), {r.at: cell for r, cell in zip(rings, cells, strict=True)}, foot)


def _side_by_side(columns: Iterable[_Column]) -> list[list[_Column]]:
    """Return the columns in as many grids as a page is too narrow for."""
    grids: list[list[_Column]] = []
    for column in columns:
        used = sum(c.width + 3 for c in grids[-1]) if grids else WIDTH
        if 12 + used + column.width > WIDTH:
            grids.append([])
        grids[-1].append(column)
    return grids


def _grid(columns: Sequence[_Column]) -> list[str]:
    times = sorted({at for column in columns for at in column.cells})
    rows = [["", *(c.heading for c in columns)]]
    rows += [[write_clock(at), *(c.cells.get(at, "") for c in columns)] for at in times]
    rows.append(["", *(c.foot for c in columns)])
    return align(rows, "  ", "   ")


# --------------------------------------------------------------- periods in rows


def _stretches_alike(
    stretches: Iterable[Stretch], order: Sequence[str]
) -> list[tuple[tuple[str, ...], list[Stretch]]]:
    by_zone: dict[str, list[Stretch]] = {}
    for stretch in stretches:
        by_zone.setdefault(stretch.zone, []).append(stretch)
    by_day: dict[tuple[Stretch, ...], list[str]] = {}
    for zone in sorted(by_zone, key=order.index):
        found = by_zone[zone]
        by_day.setdefault(tuple(s._replace(zone="") for s in found), []).append(zone)
    return [(tuple(zones), by_zone[zones[0]]) for zones in by_day.values()]


def _period_rows(stretches: Sequence[Stretch]) -> list[list[str]]:
    rows = []
    for stretch, following in zip(stretches, [*stretches[1:], None], strict=True):
        rows.append([visible(stretch.label), *_times(stretch), _kind(stretch), _until(stretch, following)])
    return rows


def _times(stretch: Stretch) -> tuple[str, str]:
    start, end = (write_clock(at) if at is not None else "dropped" for at in (stretch.start, stretch.end))
    length = ""
    if stretch.start is not None and stretch.end is not None:
        length = write_duration(stretch.end - stretch.start)
    return f"{start} - {end}", length


def _kind(stretch: Stretch) -> str:
    words = [word for word, is_so in (("pause", stretch.is_pause), ("quiet", stretch.is_quiet)) if is_so]
    return ", ".join(words)


def _until(stretch: Stretch, following: Stretch | None) -> str:
    if following is None or stretch.end is None or following.start is None:
        return ""
    gap = following.start - stretch.end
    if gap == 0:
        return ""
    if gap < 0:
        return f"OVERLAPS the next by {write_duration(-gap)}"
    return f"then {write_duration(gap)} passing"


def _sum_line(stretches: Sequence[Stretch]) -> list[str]:
    found = sums(stretches)
    if found is None:
        return []
    parts = [("periods", found.periods), ("pauses", found.pauses), ("passing", found.passing)]
    said = " + ".join(f"{word} {write_duration(length)}" for word, length in parts if length)
    if found.overlaps:
        said += f" - overlaps {write_duration(found.overlaps)}"
    if found.uncounted:
        said += f" ({number(found.uncounted, 'period')} without a start or an end not counted)"
    times = f"{write_clock(found.start)} - {write_clock(found.end)}"
    said = f"the day {times} is {write_duration(found.end - found.start)} = {said}"
    return fold(words_of(said), "    ", " ")


# ------------------------------------------------------------ differences in rows


def _kept(against: Against) -> str:
    rings = number(against.base_rings, "ring")
    said = f"{against.kept} of its {rings} stand as they are"
    if against.kept == against.base_rings:
        is_same = not against.differences and not against.written_again
        said = f"all its {rings} stand as they are" + (", nothing is added" if is_same else "")
    if against.written_again:
        said += f"; {number(against.written_again, 'ring')} dropped and written again alike"
    return said


def _difference_rows(differences: Sequence[Difference], order: Sequence[str]) -> list[list[str]]:
    """Return a row for what differs alike: in several zones, or at several times under one label."""
    by_time: dict[Difference, list[str]] = {}
    for one in differences:
        by_time.setdefault(one._replace(zone=""), []).append(one.zone)
    alike: dict[tuple[str, object, str], list[Difference]] = {}
    for one, found in by_time.items():
        zones = ", ".join(sorted(found, key=order.index))
        apart = one if one.to is not None else (one.label, one.warnings)
        alike.setdefault((one.kind, apart, zones), []).append(one)
    rows: list[list[str]] = []
    for (kind, _, zones), same in alike.items():
        rows.append([kind, ", ".join(map(_moved, same)), _what(same[0]), f"in {zones}"])
    return _without_empty(rows)


def _without_empty(rows: Sequence[Sequence[str]]) -> list[list[str]]:
    """Return rows without the columns in which nothing stands."""
    needed = widths(rows)
    return [[cell for place, cell in enumerate(row) if needed[place]] for row in rows]


def _moved(one: Difference) -> str:
    return write_clock(one.at) if one.to is None else f"{write_clock(one.at)} to {write_clock(one.to)}"


def _what(one: Difference) -> str:
    warned = "" if not one.warnings else " with its warning" if one.warnings == 1 else " with its warnings"
    return visible(one.label or "") + warned
