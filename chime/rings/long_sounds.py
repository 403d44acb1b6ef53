"""Sounds that go on for too long: signals, and rings of a zone that run into each other.

Rings are looked at where they really sound: over midnight, over a change of the clocks, and without what is
silenced. Only dates on which two rings of a zone can meet are looked at, for most days have none.
"""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta
from operator import itemgetter

from chime import zone_time
from chime.clock import DAY, dates
from chime.diagnostics import Diagnostic, Span
from chime.programme.model import Programme, Unsure
from chime.records import NamedTuple
from chime.rings import ring_faults
from chime.rings.days import Days
from chime.rings.model import Day, DayProgramme, Ring

_MIDNIGHT_1970 = datetime(1970, 1, 1)
_ONE_DAY = timedelta(days=1)


class _Sound(NamedTuple):
    """Rings of one zone of which each begins before those before it have ended.

    `start` and `end` are milliseconds of one clock that no place puts forward or back. `longest` is the
    length of the longest ring, `line` an exception that has a part in the sound.
    """

    start: int
    end: int
    longest: int
    first: Ring
    last: Ring
    line: Span | None


def long_signals(programme: Programme, unsure: Unsure) -> list[Diagnostic]:
    """Return a warning for each signal that is longer than the longest sound that is wanted."""
    most, known = programme.longest_ring_ms, (s for s in programme.signals if s.name not in unsure.signals)
    too_long = [signal for signal in known if signal.length_ms > most and not unsure.longest]
    return [ring_faults.signal_too_long(signal, most) for signal in too_long]


def long_sounds(programme: Programme, days: Days, rings: Sequence[Ring], unsure: Unsure) -> list[Diagnostic]:
    """Return a warning for each signal and each run of rings longer than the longest that is wanted.

    `rings` are all that sound, in order of instant.
    """
    most, faults = programme.longest_ring_ms, long_signals(programme, unsure)
    if unsure.longest:
        return faults
    if unsure.signals:
        rings = [ring for ring in rings if ring.signal not in unsure.signals]
    lines = frozenset(special.span for special in programme.specials)
    looked_at = _looked_at(programme.place, days.days, days.programmes, rings)
    sounds = _run_together(looked_at, programme.place, lines)
    # One that is no longer than its longest ring adds nothing to what is said of that signal.
    too_long = [s for s in sounds if s.end - s.start > max(most, s.longest)]
    return faults + list(_told_once(too_long, most))


def _told_once(sounds: Iterable[_Sound], most: int) -> Iterator[Diagnostic]:
    """Yield a warning for each pair of lines that begin and end a sound.

    What a timetable does by itself is not said again of an exception that joins in.
    """
    found: dict[tuple[Span, Span, Span | None], list[_Sound]] = {}
    for sound in sounds:
        found.setdefault((*_ends(sound), sound.line), []).append(sound)
    for (first, last, line), alike in found.items():
        if line is None:
            days = [alike[0].first.at.date()] if _is_over_a_change(alike[0]) else []
        elif (first, last, None) in found:
            continue
        else:
            days = sorted({sound.first.service_days[0] for sound in alike})
        yield ring_faults.rings_too_long(alike[0].first, (first, last), line, _length(alike[0]), most, days)


def _ends(sound: _Sound) -> tuple[Span, Span]:
    return sound.first.reasons[0].spans[0], sound.last.reasons[0].spans[0]


def _length(sound: _Sound) -> int:
    return sound.end - sound.start


def _is_over_a_change(sound: _Sound) -> bool:
    """Say whether the clocks change while it sounds: then they show another length."""
    shown = sound.last.at - sound.first.at
    return shown < timedelta(0) or shown > timedelta(milliseconds=_length(sound))


# -------------------------------------------------------------------- where to look


def _looked_at(
    place: str, days: Sequence[Day], programmes: Sequence[DayProgramme], rings: Sequence[Ring]
) -> Sequence[Ring]:
    """Return the rings of all dates on which two rings of a zone can meet."""
    if not rings or _can_meet_at_midnight(programmes):
        return rings
    close = {programme.number for programme in programmes if _has_close_rings(programme)}
    wanted = {day.day for day in days if day.programme in close}
    wanted |= _about_changes(place, rings)
    found: list[Ring] = []
    for first, after in _stretches(wanted):
        found += rings[_begin(rings, first) : _begin(rings, after)]
    return found


def _can_meet_at_midnight(programmes: Sequence[DayProgramme]) -> bool:
    """Say whether the last ring of one day may still sound when the first of the next begins."""
    rung = [p.rings for p in programmes if p.rings]
    longest = max((ring.length_ms for rings in rung for ring in rings), default=0)
    latest = max((rings[-1].at for rings in rung), default=0)
    return latest * 1000 + longest >= (DAY + min((rings[0].at for rings in rung), default=DAY)) * 1000


def _has_close_rings(programme: DayProgramme) -> bool:
    """Say whether a ring of a zone begins before one before it has ended."""
    until: dict[str, int] = {}
    for ring in programme.rings:
        start, before = ring.at * 1000, until.get(ring.zone, -DAY * 1000)
        if start <= before:
            return True
        until[ring.zone] = start + ring.length_ms
    return False


def _about_changes(place: str, rings: Sequence[Ring]) -> set[date]:
    """Return the dates on which the clocks change, and those beside them."""
    found: set[date] = set()
    for change in zone_time.changes(place, rings[0].at.date(), rings[-1].at.date()):
        low, high = sorted((change.before, change.after))
        found.update(dates((low - _ONE_DAY).date(), (high + _ONE_DAY).date()))
    return found


def _stretches(wanted: set[date]) -> Iterator[tuple[date, date]]:
    """Yield the first date of each stretch of dates, and the date after it."""
    for first in sorted(day for day in wanted if day - _ONE_DAY not in wanted):
        after = first
        while after in wanted:
            after += _ONE_DAY
        yield first, after


def _begin(rings: Sequence[Ring], day: date) -> int:
    """Return the place of the first ring of a date; no clock goes back over a midnight between stretches."""
    return bisect_left(rings, datetime(day.year, day.month, day.day), key=itemgetter(0))


# ------------------------------------------------------------------ what runs together


def _run_together(rings: Sequence[Ring], place: str, lines: frozenset[Span]) -> list[_Sound]:
    """Return what sounds when two or more rings of a zone run into each other, in order of its end."""
    found: list[_Sound] = []
    sounding: dict[str, _Sound] = {}
    for start, ring in _timed(rings, place):
        end, before = start + ring.length_ms, sounding.get(ring.zone)
        if before is not None and start <= before.end:
            line = before.line or _exception_in(before.first, lines) or _exception_in(ring, lines)
            longest = max(before.longest, ring.length_ms)
            sounding[ring.zone] = _Sound(
                before.start, max(before.end, end), longest, before.first, ring, line
            )
        else:
            found += [before] if before is not None and before.first is not before.last else []
            sounding[ring.zone] = _Sound(start, end, ring.length_ms, ring, ring, None)
    return found + [sound for sound in sounding.values() if sound.first is not sound.last]


def _timed(rings: Sequence[Ring], place: str) -> Iterator[tuple[int, Ring]]:
    """Yield each ring with the milliseconds of its instant."""
    changing = _about_changes(place, rings) if rings else set()
    offsets: dict[date, timedelta] = {}
    for ring in rings:
        day = ring.at.date()
        if day in changing:
            offset = zone_time.offset(place, ring.at, ring.fold)
        elif day in offsets:
            offset = offsets[day]
        else:
            offset = offsets[day] = zone_time.offset(place, ring.at)
        yield round((ring.at - offset - _MIDNIGHT_1970).total_seconds()) * 1000, ring


def _exception_in(ring: Ring, lines: frozenset[Span]) -> Span | None:
    """Return an exception that added or moved a ring, if one did; of several that which its words decide."""
    spans = (span for reason in ring.reasons for span in reason.spans)
    return min((span for span in spans if span in lines), key=lambda span: span.text, default=None)
