"""What is odd in a day that exceptions make, and was not odd in the timetable that runs on it.

A timetable is told once of periods that overlap or ring nowhere, of signals that meet and of warnings
that fall on an end. Here the same is looked for in a day after its exceptions, and only what they
brought about is kept: of things that stood at one time before them too nothing is said again.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from typing import Literal

from chime.clock import write_time
from chime.diagnostics import Span
from chime.records import NamedTuple
from chime.rings.changes import emptied_periods, in_order
from chime.rings.coverage import Stands
from chime.rings.shapes import Mark, Signals, longest, signal_of, warnings_of
from chime.rings.working import Worked, addition, muted_zones

Kind = Literal["overlap", "meet", "warning at end", "rings nowhere"]
Beside = tuple[tuple[Span, str], ...]

_MOST_BESIDE = 4
"""Lines that are shown beside the one that a warning stands at."""


class Oddity(NamedTuple):
    """Something odd that exceptions brought about, at one line that has a part in it.

    `said` is what is odd, `so` what comes of it. `at` is its time in seconds of the service day, None
    where it is odd whether or not bells sound. `beside` are the other lines, with a few words each.
    """

    kind: Kind
    line: Span
    said: str
    so: str
    at: int | None
    zone: str
    beside: Beside


class _Sound(NamedTuple):
    """A ring before rings are joined: `was` is its time before the exceptions, None if they add it."""

    at: int
    was: int | None
    zone: str
    signal: str
    is_warning: bool
    is_end: bool
    origin: Span
    lines: tuple[Span, ...]


def oddities(worked: Worked, signals: Signals) -> tuple[Oddity, ...]:
    """Return what the lines of a day brought about, in order of time."""
    lines = frozenset(s.special.span for s in (*worked.changes, *worked.adds))
    marks = worked.changed.shape.marks
    found: list[Oddity] = []
    if any(mark.at != mark.to for mark in marks):
        found += _overlaps(marks, lines, worked.changed.unsettled)
    muted = muted_zones(worked.silences)
    for sounds in _together(worked, lines):
        if sounds[0].zone not in muted:
            found += _meeting(sounds, signals)
            found += _warning_at_end(sounds)
    return (*found, *_nowhere(worked))


# ------------------------------------------------------------------------- periods


def _overlaps(
    marks: Iterable[Mark], lines: Collection[Span], unsettled: Collection[object]
) -> Iterator[Oddity]:
    """Yield the pairs of periods of a zone that overlap now and did not before."""
    by_zone: dict[str, list[tuple[Mark, Mark]]] = {}
    starts = {(id(m.period), m.zone): m for m in marks if m.kind == "start"}
    for end in marks:
        start = starts.get((id(end.period), end.zone)) if end.kind == "end" else None
        if start is not None and (id(end.period), end.zone) not in unsettled:
            by_zone.setdefault(end.zone, []).append((start, end))
    for _, stretches in sorted(by_zone.items()):
        stretches.sort(key=lambda s: (s[0].to, s[1].to))
        for n, one in enumerate(stretches):
            for other in stretches[n + 1 :]:
                if other[0].to >= one[1].to:
                    break
                if not _overlapped(one, other):
                    yield _overlap(one, other, lines)


def _overlapped(one: tuple[Mark, Mark], other: tuple[Mark, Mark]) -> bool:
    return one[0].at < other[1].at and other[0].at < one[1].at


def _overlap(one: tuple[Mark, Mark], other: tuple[Mark, Mark], lines: Collection[Span]) -> Oddity:
    edges = (*one, *other)
    by = in_order({span for mark in edges for span in mark.spans if span in lines})
    first, second = one[0], other[0]
    beside = [(first.spans[0], f'"{first.label}" still runs'), (second.spans[0], f'"{second.label}" begins')]
    if first.spans[0] == second.spans[0]:
        beside = [(first.spans[0], "both periods")]
    said = f'"{first.label}" and "{second.label}" overlap in {first.zone}'
    return Oddity("overlap", by[-1], said, "", None, first.zone, _beside(by, beside, "overlap"))


def _nowhere(worked: Worked) -> Iterator[Oddity]:
    """Yield the periods whose every ring was dropped, while a start or an end without a ring is left."""
    for mark, spans in emptied_periods(worked.changed):
        by = in_order(spans)
        assert mark.period is not None
        what = "pause" if mark.period.is_pause else "period"
        beside = _beside(by, [(mark.spans[0], f"the {what}")], "rings nowhere")
        said = f'the {what} "{mark.label}" rings nowhere'
        yield Oddity("rings nowhere", by[-1], said, "", None, mark.zone, beside)


# --------------------------------------------------------------------------- rings


def _together(worked: Worked, lines: Collection[Span]) -> list[list[_Sound]]:
    """Return what sounds at one time in one zone, where an exception has a part in it."""
    found: dict[tuple[int, str], list[_Sound]] = {}
    for sound in (*_added(worked.adds), *_sounds(worked, lines, moved=True)):
        found.setdefault((sound.at, sound.zone), []).append(sound)
    for sound in _sounds(worked, lines, moved=False) if found else ():
        if (sound.at, sound.zone) in found:
            found[sound.at, sound.zone].append(sound)
    return [sounds for _, sounds in sorted(found.items(), key=lambda item: item[0]) if len(sounds) > 1]


def _added(adds: Iterable[Stands]) -> Iterator[_Sound]:
    for stands in adds:
        add, span = addition(stands), stands.special.span
        for at, _ in add.times:
            for zone in add.zones:
                yield _Sound(at, None, zone, add.signal, False, False, span, (span,))


def _sounds(worked: Worked, lines: Collection[Span], *, moved: bool) -> Iterator[_Sound]:
    each = worked.changed.shape.each
    for mark in worked.changed.shape.marks:
        if (mark.at != mark.to) is not moved:
            continue
        by = tuple(span for span in mark.spans if span in lines)
        signal, is_end = signal_of(mark, each), mark.kind == "end"
        if signal is not None:
            yield _Sound(mark.to, mark.at, mark.zone, signal, False, is_end, mark.spans[0], by)
        for warning, before in warnings_of(mark, each):
            times = mark.to - before, mark.at - before
            yield _Sound(*times, mark.zone, warning, True, False, mark.spans[0], by)


def _meeting(sounds: list[_Sound], signals: Signals) -> Iterator[Oddity]:
    """Yield what is odd where rings of different signals meet that did not meet before."""
    of_signal = Counter(s.signal for s in sounds)
    stood = Counter(s.was for s in sounds)
    stood_alike = Counter((s.was, s.signal) for s in sounds)
    parts = set()
    for sound in sounds if len(of_signal) > 1 else ():
        others = len(sounds) - of_signal[sound.signal]
        if sound.was is not None:
            others -= stood[sound.was] - stood_alike[sound.was, sound.signal]
        if others:
            parts.add(sound)
    if not parts:
        return
    names = {sound.signal for sound in parts}
    winner = longest(names, signals)
    said = f"{' and '.join(sorted(names))} meet at {write_time(sounds[0].at)} in {sounds[0].zone}"
    beside = sorted({(sound.origin, sound.signal) for sound in parts}, key=_place)
    yield _at_once("meet", parts, said, f": {winner} sounds", beside)


def _warning_at_end(sounds: list[_Sound]) -> Iterator[Oddity]:
    """Yield what is odd where a warning falls on an end that it did not fall on before."""
    warnings, ends = [s for s in sounds if s.is_warning], [s for s in sounds if s.is_end]
    pairs = ((warning, end) for warning in warnings for end in ends if warning.was != end.was)
    warning, end = next(pairs, (None, None))
    if warning is not None and end is not None:
        said = f"a warning falls on the end of a period at {write_time(warning.at)} in {warning.zone}"
        beside = [(warning.origin, "its warning"), (end.origin, "ends at the same time")]
        yield _at_once("warning at end", {warning, end}, said, "", beside)


def _at_once(
    kind: Kind, parts: Iterable[_Sound], said: str, so: str, beside: list[tuple[Span, str]]
) -> Oddity:
    parts = list(parts)
    by = in_order({span for sound in parts for span in sound.lines})
    return Oddity(kind, by[-1], said, so, parts[0].at, parts[0].zone, _beside(by, beside, kind))


# -------------------------------------------------------------------------- places


def _place(item: tuple[Span, str]) -> tuple[str, int, str]:
    return item[0].source.path, item[0].start, item[1]


def _beside(by: list[Span], others: list[tuple[Span, str]], kind: str) -> Beside:
    """Return the lines beside that of the warning: other exceptions, and where the rings are written."""
    words = "has a part in it" if kind != "rings nowhere" else "drops another ring of it"
    found = {span: text for span, text in others if span != by[-1]}
    for span in by[:-1]:
        found.setdefault(span, words)
    return tuple(found.items())[:_MOST_BESIDE]
