"""What a duty is worth: the rings that are missing or extra if it is forgotten.

A duty counts as forgotten until the next that begins after it should have been done: then somebody is there
and does both. Every other duty counts as done as early as it may be.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence

from chime.records import NamedTuple
from chime.tape.attendance import Stretch
from chime.tape.changeovers import Fit
from chime.tape.corrections import Correction
from chime.tape.course import Course, DialStretch, Sounding, soundings
from chime.tape.hand_silences import Silence
from chime.tape.masks import Spans, merged
from chime.tape.passes import Phases

_NEVER = 1 << 62
"""An instant after every plan."""


class Missed(NamedTuple):
    """The wanted rings that are missing and the unwanted ones that sound, in order."""

    missing: tuple[Sounding, ...]
    extra: tuple[Sounding, ...]


class Outlook(NamedTuple):
    """All that is done in a plan: what a forgotten duty is held against."""

    course: Course
    phases: Mapping[str, Phases]
    fits: Sequence[Fit]
    corrections: Sequence[Correction]
    silences: Sequence[Silence]


def until_next(course: Course, within: Stretch, begins: Sequence[int]) -> Stretch:
    """Return the instants in which a duty counts as forgotten; `begins` are those of all duties, in order."""
    index = bisect_right(begins, within[1])
    return within[1] + 1, begins[index] if index < len(begins) else course.end


def forget_fit(outlook: Outlook, number: int, stretch: Stretch) -> Missed:
    """Say what happens if a tape is not fitted: the one before it stays on, or none if it is the first."""
    fits, course = outlook.fits, outlook.course
    old = fits[number].old
    wanted = _wanted(course, stretch)
    if old is None:
        return Missed(tuple(wanted), ())
    # No other duty begins before the stretch ends, so the tape before it stays on all that time.
    return _compare(outlook, wanted, _sounds(outlook, old, *stretch), ())


def forget_correction(outlook: Outlook, number: int, stretch: Stretch) -> Missed:
    """Say what happens if the dial is not corrected: the tape goes on by the old time."""
    offset = _early_dial(outlook.course, outlook.corrections[:number])[-1].offset_s
    by_old = (DialStretch(offset, stretch[0], stretch[1]),)
    held = outlook._replace(course=outlook.course._replace(dial=by_old))
    sounds: set[Sounding] = set()
    for tape, start, end in _tapes_on(outlook.fits, stretch):
        sounds.update(soundings(held.course, outlook.phases[tape], start, end))
    return _compare(outlook, _wanted(outlook.course, stretch), sounds, ())


def forget_off(outlook: Outlook, silence: Silence, stretch: Stretch) -> Missed:
    """Say what happens if a switch is not turned off: what it should have silenced sounds."""
    return _compare(outlook, [], _all_sounds(outlook, stretch), (silence,), zone=silence.zone)


def forget_on(outlook: Outlook, silence: Silence, stretch: Stretch) -> Missed:
    """Say what happens if a switch is not turned on again: what is wanted meanwhile does not sound."""
    missing = [each for each in _wanted(outlook.course, stretch) if silence.zone in (None, each[1])]
    return Missed(tuple(missing), ())


def _compare(
    outlook: Outlook,
    wanted: Iterable[Sounding],
    sounds: set[Sounding],
    undone: Sequence[Silence],
    *,
    zone: str | None = None,
) -> Missed:
    off = _switched_off([silence for silence in outlook.silences if silence not in undone])
    heard = {each for each in sounds if not _is_off(off, each)}
    missing = [each for each in wanted if each not in heard]
    extra = heard.difference(outlook.course.wanted.rings)
    return Missed(tuple(sorted(missing)), tuple(sorted(e for e in extra if zone in (None, e[1]))))


def _switched_off(silences: Iterable[Silence]) -> dict[str | None, Spans]:
    """Return when each switch is off, done as early as it may be; None is that of all zones."""
    found: dict[str | None, list[Stretch]] = {}
    for silence in silences:
        until = _NEVER if silence.on is None else silence.on[0]
        found.setdefault(silence.zone, []).append((silence.off[0], until))
    return {zone: merged(stretches) for zone, stretches in found.items()}


def _is_off(off: Mapping[str | None, Spans], sounding: Sounding) -> bool:
    instant, zone = sounding
    for switch in (zone, None):
        stretches = off.get(switch, ())
        index = bisect_right(stretches, (instant, _NEVER)) - 1
        if index >= 0 and instant < stretches[index][1]:
            return True
    return False


def _wanted(course: Course, stretch: Stretch) -> list[Sounding]:
    instants = course.wanted.instants
    between = instants[bisect_left(instants, stretch[0]) : bisect_left(instants, stretch[1])]
    zones = sorted(course.wanted.by_zone)
    return [(at, zone) for at in between for zone in zones if (at, zone) in course.wanted.rings]


def _tapes_on(fits: Sequence[Fit], stretch: Stretch) -> list[tuple[str, int, int]]:
    """Return the tapes that are on in a stretch, each fitted as early as may be, with its own stretch."""
    found: list[tuple[str, int, int]] = []
    for number, fit in enumerate(fits):
        end = fits[number + 1].within[0] if number + 1 < len(fits) else stretch[1]
        start, end = max(fit.within[0], stretch[0]), min(end, stretch[1])
        if start < end:
            found.append((fit.tape, start, end))
    return found


def _all_sounds(outlook: Outlook, stretch: Stretch) -> set[Sounding]:
    return {
        each
        for tape, start, end in _tapes_on(outlook.fits, stretch)
        for each in _sounds(outlook, tape, start, end)
    }


def _sounds(outlook: Outlook, tape: str, start: int, end: int) -> set[Sounding]:
    """Return what a tape sounds from one instant to another, every correction done as early as may be."""
    dial = _early_dial(outlook.course, outlook.corrections)
    return set(soundings(outlook.course._replace(dial=dial), outlook.phases[tape], start, end))


def _early_dial(course: Course, corrections: Sequence[Correction]) -> tuple[DialStretch, ...]:
    stretches = []
    start, offset = course.dial[0].start, course.dial[0].offset_s
    for correction in corrections:
        stretches.append(DialStretch(offset, start, correction.within[0]))
        start, offset = correction.within[0], offset + correction.gained_s
    return (*stretches, DialStretch(offset, start, course.end))
