"""Days that differ in one ring: a slip of the pen, most often, and one tape could serve both.

Two timetables that run are held against each other unless one is written `like` the other, for then the
difference is meant. A day that exceptions make differs from its own timetable on purpose, so it is held
against the other timetables and the other such days only, and only a ring that both have at slightly
different times is told of: every other ring that a line adds or takes away is what the line is for.
"""

from collections.abc import Hashable, Iterable, Iterator, Sequence
from datetime import date
from itertools import pairwise, product

from chime.clock import write_time
from chime.diagnostics import Diagnostic, Span
from chime.programme.model import Programme, Timetable
from chime.records import NamedTuple
from chime.rings import ring_faults
from chime.rings.days import Days, Made
from chime.rings.model import DayRing, labels_of
from chime.rings.shapes import Signals, causes, join
from chime.rings.timetables import Shapes

NEAR = 300
"""Seconds within which two rings of two days are taken for one ring with a slip: a choice of our own."""

MOST_UNITS = 200_000
"""Rings of all days that are looked at; of more days only the rings that exceptions made are."""

_MOST_ALIKE = 3

Sounded = tuple[int, str, str]
"""A ring as it is heard: time, zone, signal."""


def near_twins(programme: Programme, shapes: Shapes, days: Days) -> list[Diagnostic]:
    """Return a warning for each pair of days that differ in one ring and were probably meant to be alike."""
    signals: Signals = {s.name: s for s in programme.signals}
    declared = {t.name: t for t in programme.timetables}
    run = sorted({d.runs for d in days.days if d.runs is not None})
    rings = {name: join(causes(shapes[name]), signals) for name in run}
    return [*_timetables(rings, declared), *_made_days(rings, declared, programme, days)]


# ------------------------------------------------------------------------ timetables


def _timetables(
    rings: dict[str, tuple[DayRing, ...]], declared: dict[str, Timetable]
) -> Iterator[Diagnostic]:
    """Yield a warning for each timetable with an earlier near-twin; each is held against the first only."""
    sounded = {name: _sounded(found) for name, found in rings.items()}
    for other, ones in _candidates(sounded).items():
        for one in ones:
            only_one, only_other = sounded[one] - sounded[other], sounded[other] - sounded[one]
            if not _related(declared, one, other) and _is_one_ring(only_one, only_other):
                spans = declared[other].span, declared[one].span
                difference = _difference(only_one, only_other)
                yield ring_faults.nearly_alike(*spans, (one, other), difference)
                break


def _related(declared: dict[str, Timetable], one: str, other: str) -> bool:
    return declared[one].like == other or declared[other].like == one


def _sounded(rings: Iterable[DayRing]) -> frozenset[Sounded]:
    return frozenset((r.at, r.zone, r.signal) for r in rings)


def _is_one_ring(one: frozenset[Sounded], other: frozenset[Sounded]) -> bool:
    """Say whether what two days have each for itself is one ring: in one zone, or at one time in several."""
    if not one and not other:
        return False
    if len(one) <= 1 and len(other) <= 1:
        return True
    times = [{(at, signal) for at, _, signal in rings} for rings in (one, other)]
    zones = [{zone for _, zone, _ in rings} for rings in (one, other)]
    return all(len(found) <= 1 for found in times) and (not one or not other or zones[0] == zones[1])


def _candidates(sounded: dict[str, frozenset[Sounded]]) -> dict[str, list[str]]:
    """Return for each timetable the earlier ones that may differ from it in one ring.

    Two sets that differ in one ring are equal once each has lost one: so they share a combined hash
    of all rings, or of all but one. Timetables that ring alike are one group, never held against each
    other, so that the work grows with the rings and not with the pairs.
    """
    groups: dict[frozenset[Sounded], list[str]] = {}
    seen: dict[int, list[list[str]]] = {}
    found: dict[str, list[str]] = {}
    for name, rings in sounded.items():
        whole = _combined(rings)
        parts = {frozenset((ring,)) for ring in rings} | set(_by_time(rings).values())
        keys = {whole, *(whole ^ _combined(part) for part in parts)}
        own = groups.setdefault(rings, [])
        near = {id(group): group for key in keys for group in seen.get(key, ()) if group is not own}
        found[name] = sorted(other for group in near.values() for other in group)
        for key in () if own else keys:
            seen.setdefault(key, []).append(own)
        own.append(name)
    return found


def _combined(rings: Iterable[Hashable]) -> int:
    combined = 0
    for ring in rings:
        combined ^= hash(ring)
    return combined


def _by_time(rings: Iterable[Sounded]) -> dict[tuple[int, str], frozenset[Sounded]]:
    found: dict[tuple[int, str], set[Sounded]] = {}
    for ring in rings:
        found.setdefault((ring[0], ring[2]), set()).add(ring)
    return {key: frozenset(part) for key, part in found.items()}


def _difference(one: frozenset[Sounded], other: frozenset[Sounded]) -> str:
    zones: dict[int, list[str]] = {}
    for at, zone, _ in sorted(one | other):
        zones.setdefault(at, []).append(zone)
    return " and ".join(
        f"{write_time(at)} in {', '.join(dict.fromkeys(found))}" for at, found in zones.items()
    )


# ------------------------------------------------------------------ days that exceptions make


class _Kind(NamedTuple):
    """A timetable's own day (`day` is None), or one that lines made of it, on the first such date."""

    runs: str | None
    day: date | None
    lines: tuple[Span, ...]
    rings: tuple[DayRing, ...]


class _Unit(NamedTuple):
    """One ring of a day in all its zones; `line` is the exception that alone made it, else None."""

    at: int
    zones: tuple[str, ...]
    signal: str
    labels: tuple[str, ...]
    line: Span | None
    rings: frozenset[Sounded]


_Place = tuple[_Kind, _Unit]


def _made_days(
    rings: dict[str, tuple[DayRing, ...]], declared: dict[str, Timetable], programme: Programme, days: Days
) -> Iterator[Diagnostic]:
    lines = frozenset(special.span for special in programme.specials)
    plain = {_sounded(found) for found in rings.values()}
    made = [kind for kind in _kinds(days) if _sounded(kind.rings) not in plain]
    if not made:
        return
    kinds = [*made, *(_Kind(name, None, (), found) for name, found in rings.items())]
    told: set[Span] = set()
    for one, other in _near_units(kinds, lines):
        if not _is_slip(declared, one, other):
            continue
        before, after = sorted((one, other), key=lambda place: place[0].day or date.min)
        span = _line_of(after)
        if span not in told:
            told.add(span)
            yield _tell(declared, span, before, after)


def _kinds(days: Days) -> Iterator[_Kind]:
    """Yield each day that exceptions make once, with its silenced rings, for they are on the tape."""
    seen: set[int] = set()
    for day in days.days:
        made: Made | None = days.made.get(day.day)
        if made is None or not day.acting or id(made) in seen:
            continue
        seen.add(id(made))
        lines = tuple(a.span for a in day.acting if a.kind in ("drop", "shift", "move", "add"))
        if lines:
            yield _Kind(day.runs, day.day, lines, (*made.programme.rings, *(s.ring for s in made.silenced)))


def _near_units(kinds: Sequence[_Kind], lines: frozenset[Span]) -> Iterator[tuple[_Place, _Place]]:
    """Yield pairs of days that are alike but for a ring which one of them has a little later."""
    only_made = sum(len(kind.rings) for kind in kinds) > MOST_UNITS
    found: dict[tuple[int, tuple[str, ...], str], dict[int, list[_Place]]] = {}
    for kind in kinds:
        whole = _combined(_sounded(kind.rings))
        for unit in _units(kind, lines):
            if unit.line is not None or kind.day is None or not only_made:
                key = (whole ^ _combined(unit.rings), unit.zones, unit.signal)
                found.setdefault(key, {}).setdefault(unit.at, []).append((kind, unit))
    for alike in found.values():
        for before, after in pairwise(sorted(alike)):
            if after - before <= NEAR:
                yield from product(alike[before][:_MOST_ALIKE], alike[after][:_MOST_ALIKE])


def _units(kind: _Kind, lines: frozenset[Span]) -> Iterator[_Unit]:
    found: dict[tuple[int, str, Span | None, tuple[str, ...]], list[DayRing]] = {}
    for ring in kind.rings:
        line = _maker(ring, lines) if kind.day is not None else None
        labels = labels_of(ring.reasons) if line is not None else ()
        found.setdefault((ring.at, ring.signal, line, labels), []).append(ring)
    for (at, signal, line, labels), rings in found.items():
        zones = tuple(sorted(ring.zone for ring in rings))
        yield _Unit(at, zones, signal, labels, line, _sounded(rings))


def _maker(ring: DayRing, lines: frozenset[Span]) -> Span | None:
    """Return the exception that added or moved a ring, if every reason for it is an exception's."""
    made = [next((s for s in reversed(r.spans) if s in lines), None) for r in ring.reasons]
    return made[-1] if all(span is not None for span in made) else None


def _is_slip(declared: dict[str, Timetable], one: _Place, other: _Place) -> bool:
    """Say whether a difference is no line's purpose, nor that of a timetable that is `like` another."""
    (kind, unit), (kind_, unit_) = one, other
    if kind.day is None and kind_.day is None:
        return False
    if unit.line is not None and unit_.line is not None:
        return unit.line != unit_.line and unit.labels == unit_.labels
    if kind.runs == kind_.runs:
        return False
    if unit.line is not None or unit_.line is not None:
        return True
    names = [name for name in (kind.runs, kind_.runs) if name is not None]
    return kind.lines != kind_.lines and not (len(names) == 2 and _related(declared, *names))


def _line_of(place: _Place) -> Span:
    kind, unit = place
    return unit.line or max(kind.lines, key=lambda span: span.text)


def _tell(declared: dict[str, Timetable], span: Span, one: _Place, other: _Place) -> Diagnostic:
    days = [kind.day or kind.runs for kind, _ in sorted((one, other), key=lambda p: p[0].day is None)]
    places = [_line_of(place) for place in (one, other) if place[0].lines]
    others = [(place, "makes the other") for place in places if place != span]
    others += [
        (declared[kind.runs].span, f"the timetable {kind.runs}")
        for kind, _ in (one, other)
        if not kind.lines and kind.runs is not None
    ]
    return ring_faults.days_nearly_alike(span, days, others, _difference(one[1].rings, other[1].rings))
