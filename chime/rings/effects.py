"""Exceptions that change nothing: a day, or a whole term, with a line and without it.

Most lines show their effect while the days are made. For the few that do not, the dates they stand on are
made once more without them, and where a line closes dates, the letters and numbers of the whole term too.
"""

from collections.abc import Iterator
from datetime import date

from chime.clock import dates, week_start
from chime.diagnostics import Diagnostic, Span
from chime.programme.model import (
    Add,
    CyclePattern,
    Holidays,
    ImportedDays,
    Programme,
    Replace,
    RotatingWeeks,
    Silence,
    SpecialDays,
    Term,
    UnknownPattern,
    WeekPattern,
)
from chime.programme.model import Pattern as WrittenPattern
from chime.records import NamedTuple
from chime.rings import ring_faults
from chime.rings.acting import Settled, settle
from chime.rings.coverage import Coverage, dates_of, leave_out
from chime.rings.days import Days
from chime.rings.model import labels_of
from chime.rings.patterns import Given, Pattern, pattern_of
from chime.rings.shapes import Shape, Signals
from chime.rings.timetables import Shapes
from chime.rings.working import silencer, work

MOST_STEPS = 400_000
"""Marks, lines and dates that may be looked at for all lines together; beyond them nothing is said."""

_LOOKS = 6
"""How often each line of a date is looked at while both worlds are settled."""


class _World(NamedTuple):
    """All that the days are made from."""

    programme: Programme
    shapes: Shapes
    signals: Signals
    coverage: Coverage
    patterns: tuple[tuple[Term, Pattern], ...]


class _Trial(NamedTuple):
    """What came of leaving a line out, and how much was looked at for it."""

    changes_something: bool
    steps: int
    without: _World


def without_effect(
    programme: Programme, shapes: Shapes, coverage: Coverage, days: Days, told: frozenset[Span]
) -> list[Diagnostic]:
    """Return a warning for each exception that changes nothing; of lines `told` of already nothing is said.

    A line found to be without effect is left out before the next is tried: of two that do the same one stays.
    """
    world = _world(programme, shapes, coverage)
    steps, faults = 0, []
    for special in programme.specials:
        what = special.special
        if special.span in days.useful or special.span in told or _has_no_day(special, programme):
            continue
        if isinstance(what, Replace) and what.instead and special.span not in days.beating:
            faults.append(ring_faults.instead_beats_nothing(special.span))
            continue
        if not isinstance(what, Add | Silence):
            if steps > MOST_STEPS:
                continue
            trial = _left_out(world, special)
            steps += trial.steps
            if trial.changes_something:
                continue
            world = trial.without
        faults.append(ring_faults.changes_nothing(special.span))
    return faults


def _has_no_day(special: SpecialDays, programme: Programme) -> bool:
    """Say whether holidays or imported days have none in a term; that is complained of already."""
    when = special.when
    if not isinstance(when, Holidays | ImportedDays):
        return False
    return not any(term.first <= day <= term.last for day, _ in when.days for term in programme.terms)


def _world(programme: Programme, shapes: Shapes, coverage: Coverage) -> _World:
    signals = {s.name: s for s in programme.signals}
    patterns = tuple((term, pattern_of(term, programme, coverage, [])) for term in programme.terms)
    return _World(programme, shapes, signals, coverage, patterns)


def _left_out(world: _World, special: SpecialDays) -> _Trial:
    """Try whether anything changes when a line is left out: on its own dates, or in letters and numbers."""
    own = [day for day, _ in dates_of(special.when) if world.coverage.term_of(day) is not None]
    without = world._replace(coverage=leave_out(world.coverage, special))
    steps = sum(1 + _LOOKS * len(world.coverage.on(day)) for day in own)
    if _closes_otherwise(world, without, own):
        without = _world(world.programme, world.shapes, without.coverage)
        steps += (world.coverage.last - world.coverage.first).days
        if _lettered(world) != _lettered(without) or _counts_in_the_dark(world, own):
            return _Trial(True, steps, without)
    seen: set[tuple[object, ...]] = set()
    for day in own:
        one, other = _settled(world, day), _settled(without, day)
        key = (one.runs, one.working, other.runs, other.working)
        if key in seen:
            continue
        seen.add(key)
        steps += _size(world, one) + _size(world, other)
        if _outcome(world, one) != _outcome(without, other):
            return _Trial(True, steps, without)
    return _Trial(False, steps, without)


# ------------------------------------------------------------------ letters and numbers


def _closes_otherwise(world: _World, without: _World, own: list[date]) -> bool:
    """Say whether a date is closed in one world and open in the other, and a pattern counts such dates."""
    if all(isinstance(term.pattern, WeekPattern) for term in world.programme.terms):
        return False
    return any(
        world.coverage.is_closed(day, pattern_rings=rings)
        != without.coverage.is_closed(day, pattern_rings=rings)
        for day in own
        for rings in (True, False)
    )


def _counts_in_the_dark(world: _World, own: list[date]) -> bool:
    """Say whether letters or numbers are not known that some dates may settle."""
    return any(
        not pattern(day).is_known
        for term, pattern in world.patterns
        if _may_count(term.pattern, max(own))
        for day in dates(max(term.first, min(own)), term.last)
    )


def _may_count(pattern: WrittenPattern, day: date) -> bool:
    """Say whether letters or numbers may depend on a date: they count from the week of their anchor on."""
    if isinstance(pattern, RotatingWeeks | CyclePattern):
        return week_start(pattern.anchor, pattern.anchor) <= day
    return isinstance(pattern, UnknownPattern)


def _lettered(world: _World) -> list[Given]:
    return [pattern(day) for term, pattern in world.patterns for day in dates(term.first, term.last)]


# ------------------------------------------------------------------------ one date


def _settled(world: _World, day: date) -> Settled:
    pattern = next(pattern for term, pattern in world.patterns if term.first <= day <= term.last)
    return settle(world.coverage, day, pattern(day).timetable)


def _size(world: _World, settled: Settled) -> int:
    marks = len(world.shapes[settled.runs].marks) if settled.runs is not None else 0
    return (marks + 1) * (len(settled.working) + 1)


def _outcome(world: _World, settled: Settled) -> tuple[object, ...]:
    """Return what can be seen and heard of a date: timetable, rings, quiet pauses, silences by the clock."""
    shape = world.shapes[settled.runs] if settled.runs is not None else Shape((), None)
    worked = work(shape, settled.of_the_day, world.signals)
    rings = {
        (r.at, r.zone, r.signal, labels_of(r.reasons), silencer(r, worked.silences) is None)
        for r in worked.rings
    }
    marks = worked.changed.shape.marks
    quiet = {(m.kind, m.to, m.zone, m.label) for m in marks if m.period is not None and m.period.is_quiet}
    return settled.runs, settled.is_clash, rings, quiet, tuple(_windows(settled))


def _windows(settled: Settled) -> Iterator[Span]:
    yield from (stands.special.span for stands in settled.by_the_clock)
