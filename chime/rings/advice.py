"""What is sound but probably not meant: long sounds, exceptions without effect, near-twins."""

from collections.abc import Iterable

from chime.clock import write_time
from chime.diagnostics import Diagnostic, Span
from chime.programme.model import Holidays, ImportedDays, Programme, Replace, SpecialDays
from chime.rings import ring_faults
from chime.rings.days import Days
from chime.rings.model import DayProgramme, DayRing
from chime.rings.shapes import Signals, causes, join
from chime.rings.timetables import Shapes

Sounded = tuple[int, str, str]


def advise(programme: Programme, shapes: Shapes, days: Days) -> list[Diagnostic]:
    """Return the warnings that only whole days and the whole term can show."""
    faults = _long_sounds(programme, days.programmes)
    faults += _without_effect(programme, days.useful)
    return faults + _nearly_alike(programme, shapes, days)


def _without_effect(programme: Programme, useful: set[Span]) -> list[Diagnostic]:
    faults = []
    for special in programme.specials:
        what = special.special
        if special.span in useful or _has_no_day(special, programme):
            continue
        if isinstance(what, Replace) and what.instead:
            faults.append(ring_faults.instead_beats_nothing(special.span))
        else:
            faults.append(ring_faults.changes_nothing(special.span))
    return faults


def _has_no_day(special: SpecialDays, programme: Programme) -> bool:
    """Say whether holidays or imported days have none in a term; that is complained of already."""
    when = special.when
    if not isinstance(when, Holidays | ImportedDays):
        return False
    return not any(term.first <= day <= term.last for day, _ in when.days for term in programme.terms)


def _long_sounds(programme: Programme, programmes: Iterable[DayProgramme]) -> list[Diagnostic]:
    most = programme.longest_ring_ms
    faults = [ring_faults.signal_too_long(s, most) for s in programme.signals if s.length_ms > most]
    seen: set[tuple[Span, Span]] = set()
    for day in programmes:
        for run in _runs_together(day.rings):
            total = (run[-1].at - run[0].at) * 1000 + run[-1].length_ms
            ends = (run[0].reasons[0].spans[0], run[-1].reasons[0].spans[0])
            if total > most and ends not in seen:
                seen.add(ends)
                faults.append(ring_faults.rings_too_long(run[0].zone, *ends, total, most, run[0].at))
    return faults


def _runs_together(rings: tuple[DayRing, ...]) -> list[list[DayRing]]:
    """Return the runs of two or more rings of a zone of which each begins before the last has ended."""
    open_runs: dict[str, list[DayRing]] = {}
    found: list[list[DayRing]] = []
    for ring in rings:
        run = open_runs.get(ring.zone)
        if run and ring.at * 1000 <= run[-1].at * 1000 + run[-1].length_ms:
            run.append(ring)
            if len(run) == 2:
                found.append(run)
        else:
            open_runs[ring.zone] = [ring]
    return found


def _nearly_alike(programme: Programme, shapes: Shapes, days: Days) -> list[Diagnostic]:
    """Warn of timetables that run and differ in one ring, unless one is written `like` the other.

    Each is held against the first of its near-twins only.
    """
    signals: Signals = {s.name: s for s in programme.signals}
    declared = {t.name: t for t in programme.timetables}
    run = sorted({d.runs for d in days.days if d.runs is not None})
    sounded = {name: _sounded(shapes, name, signals) for name in run}
    faults = []
    for other, ones in _candidates(sounded).items():
        for one in ones:
            only_one, only_other = sounded[one] - sounded[other], sounded[other] - sounded[one]
            related = declared[one].like == other or declared[other].like == one
            if related or not (only_one or only_other) or len(only_one) > 1 or len(only_other) > 1:
                continue
            spans = declared[other].span, declared[one].span
            faults.append(ring_faults.nearly_alike(*spans, (one, other), _difference(only_one, only_other)))
            break
    return faults


def _candidates(sounded: dict[str, set[Sounded]]) -> dict[str, list[str]]:
    """Return for each timetable the earlier ones that may differ from it in one ring.

    Two sets that differ in one member are equal once each has lost one: so they share a combined hash
    of all members, or of all but one. The work grows with the rings and not with the pairs.
    """
    seen: dict[int, list[str]] = {}
    found: dict[str, list[str]] = {}
    for name, rings in sounded.items():
        whole = 0
        for ring in rings:
            whole ^= hash(ring)
        keys = {whole, *(whole ^ hash(ring) for ring in rings)}
        near = {other for key in keys for other in seen.get(key, ())}
        found[name] = sorted(near)
        for key in keys:
            seen.setdefault(key, []).append(name)
    return found


def _sounded(shapes: Shapes, name: str, signals: Signals) -> set[Sounded]:
    return {(r.at, r.zone, r.signal) for r in join(causes(shapes[name]), signals)}


def _difference(one: set[Sounded], other: set[Sounded]) -> str:
    said = [f"{write_time(at)} in {zone}" for at, zone, _ in sorted(one | other)]
    return " and ".join(said)
