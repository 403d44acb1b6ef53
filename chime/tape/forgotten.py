"""What a duty is worth: the rings that are missing or extra if it is forgotten.

A duty that is forgotten stays undone until a later one puts the same thing right: the next tape, the next
correction, the switch turned the other way. Every other duty counts as done as early as it may be. A duty
that is then worth nothing guards only against others that are done late, and is looked at with those late.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Literal

from chime.records import NamedTuple
from chime.tape.attendance import Stretch
from chime.tape.changeovers import Changeover, State
from chime.tape.corrections import Correction
from chime.tape.course import Course, DialStretch, MaskedBy, Sounding, soundings
from chime.tape.hand_silences import Silence
from chime.tape.masks import Spans, merged
from chime.tape.passes import Phases

_NEVER = 1 << 62
"""An instant after every plan."""

Others = Literal["early", "late"]


class Missed(NamedTuple):
    """The wanted rings that are missing and the unwanted ones that sound, in order.

    `others` says when in its stretch every other duty is done.
    """

    missing: tuple[Sounding, ...]
    extra: tuple[Sounding, ...]
    others: Others = "early"


class Outlook(NamedTuple):
    """All that is done in a plan: what a forgotten duty is held against, and when the others are done."""

    course: Course
    phases: Mapping[State, Phases]
    changes: Sequence[Changeover]
    corrections: Sequence[Correction]
    silences: Sequence[Silence]
    others: Others = "early"


Forget = Callable[[Outlook], Missed]
"""Says what happens if a certain duty is forgotten."""


def missed_by(forget: Forget, outlook: Outlook) -> Missed:
    """Say what a duty is worth, the others done early or, where that shows nothing, late."""
    missed = forget(outlook)
    if not missed.missing and not missed.extra:
        late = forget(outlook._replace(others="late"))
        if late.missing or late.extra:
            return late._replace(others="late")
    return missed


def forget_fit(outlook: Outlook, number: int) -> Missed:
    """Say what happens if a tape is not fitted: the one before it stays on, or none if it is the first."""
    later = [n for n, change in enumerate(outlook.changes) if n > number and change.fits]
    between = _from_to(outlook, number, later)
    wanted = _wanted(outlook.course, between)
    if outlook.changes[number].old is None:
        return Missed(tuple(wanted), ())
    return _compare(outlook, wanted, _sounds(outlook, between, unfitted=number), ())


def forget_move(outlook: Outlook, number: int) -> Missed:
    """Say what happens if the selector is not moved: it stays where it was.

    Nobody knows where it stood before it was first set, so that no ring is sure then.
    """
    later = [n for n, change in enumerate(outlook.changes) if n > number and change.moves]
    between = _from_to(outlook, number, later)
    wanted = _wanted(outlook.course, between)
    if outlook.changes[number].old is None:
        return Missed(tuple(wanted), ())
    return _compare(outlook, wanted, _sounds(outlook, between, unmoved=number), ())


def _from_to(outlook: Outlook, number: int, later: Sequence[int]) -> Stretch:
    """Return from when to when a change that is forgotten is missed."""
    until = _done(outlook, outlook.changes[later[0]].within) if later else outlook.course.end
    return _done(outlook, outlook.changes[number].within), until


def forget_correction(outlook: Outlook, number: int) -> Missed:
    """Say what happens if the dial is not corrected: the tape goes by the old time until it next is."""
    corrections, course = outlook.corrections, outlook.course
    since = _done(outlook, corrections[number].within)
    until = _done(outlook, corrections[number + 1].within) if number + 1 < len(corrections) else course.end
    by_old = (DialStretch(_dial(outlook, corrections[:number])[-1].offset_s, since, until),)
    sounds: set[Sounding] = set()
    for state, start, end in _on(outlook, (since, until)):
        sounds.update(
            soundings(course._replace(dial=by_old), outlook.phases[state], start, end, _masked_by(outlook))
        )
    return _compare(outlook, _wanted(course, (since, until)), sounds, ())


def forget_off(outlook: Outlook, silence: Silence) -> Missed:
    """Say what happens if a switch is not turned off: what it should have silenced sounds."""
    until = outlook.course.end if silence.on is None else _done(outlook, silence.on)
    sounds = _sounds(outlook, (_done(outlook, silence.off), until))
    return _compare(outlook, [], sounds, (silence,), zone=silence.zone)


def forget_on(outlook: Outlook, silence: Silence) -> Missed:
    """Say what happens if a switch is not turned on again: nothing sounds until it next is."""
    assert silence.on is not None
    since = _done(outlook, silence.on)
    others = [_done(outlook, each.on) for each in outlook.silences if each.zone == silence.zone and each.on]
    until = min((at for at in others if at > since), default=outlook.course.end)
    wanted = _wanted(outlook.course, (since, until))
    return Missed(tuple(each for each in wanted if silence.zone in (None, each[1])), ())


def _done(outlook: Outlook, within: Stretch) -> int:
    return within[0] if outlook.others == "early" else within[1]


def _masked_by(outlook: Outlook) -> MaskedBy:
    """Say what the machine's own silences go by after a change of the clocks; the plan holds either way."""
    return "dial" if outlook.others == "early" else "clock"


def _compare(
    outlook: Outlook,
    wanted: Iterable[Sounding],
    sounds: set[Sounding],
    undone: Sequence[Silence],
    *,
    zone: str | None = None,
) -> Missed:
    off = _switched_off(outlook, [each for each in outlook.silences if each not in undone])
    heard = {each for each in sounds if not _is_off(off, each)}
    missing = [each for each in wanted if each not in heard]
    extra = heard.difference(outlook.course.wanted.rings)
    return Missed(tuple(sorted(missing)), tuple(sorted(e for e in extra if zone in (None, e[1]))))


def _switched_off(outlook: Outlook, silences: Iterable[Silence]) -> dict[str | None, Spans]:
    """Return when each switch is off; None is that of all zones."""
    found: dict[str | None, list[Stretch]] = {}
    for silence in silences:
        until = _NEVER if silence.on is None else _done(outlook, silence.on)
        found.setdefault(silence.zone, []).append((_done(outlook, silence.off), until))
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
    """Return the rings that a tape must give in a stretch; those that a hand gives sound all the same."""
    instants = course.wanted.instants
    between = instants[bisect_left(instants, stretch[0]) : bisect_left(instants, stretch[1])]
    zones = sorted(course.wanted.by_zone)
    given = course.wanted.rings.keys() - course.by_hand
    return [(at, zone) for at in between for zone in zones if (at, zone) in given]


def _on(
    outlook: Outlook, stretch: Stretch, *, unfitted: int | None = None, unmoved: int | None = None
) -> list[tuple[State, int, int]]:
    """Return what is on in a stretch, each with its own stretch, a fitting or a move being forgotten."""
    found: list[tuple[State, int, int]] = []
    done = [_done(outlook, change.within) for change in outlook.changes]
    tape, position = outlook.changes[0].new
    for number, (change, since, until) in enumerate(
        zip(outlook.changes, done, [*done[1:], stretch[1]], strict=True)
    ):
        if change.fits and number != unfitted:
            tape = change.new[0]
        if change.moves and number != unmoved:
            position = change.new[1]
        start, end = max(since, stretch[0]), min(until, stretch[1])
        if start < end:
            found.append(((tape, position), start, end))
    return found


def _sounds(
    outlook: Outlook, stretch: Stretch, *, unfitted: int | None = None, unmoved: int | None = None
) -> set[Sounding]:
    """Return what sounds from one instant to another, every correction being done."""
    course = outlook.course._replace(dial=_dial(outlook, outlook.corrections))
    found: set[Sounding] = set()
    for state, start, end in _on(outlook, stretch, unfitted=unfitted, unmoved=unmoved):
        found.update(soundings(course, outlook.phases[state], start, end, _masked_by(outlook)))
    return found


def _dial(outlook: Outlook, corrections: Sequence[Correction]) -> tuple[DialStretch, ...]:
    course = outlook.course
    stretches = []
    start, offset = course.dial[0].start, course.dial[0].offset_s
    for correction in corrections:
        done = _done(outlook, correction.within)
        stretches.append(DialStretch(offset, start, done))
        start, offset = done, offset + correction.gained_s
    return (*stretches, DialStretch(offset, start, course.end))
