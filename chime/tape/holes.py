"""Which rings are punched on which tape: windows of dates, and the tapes that they share."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from chime.diagnostics import Span
from chime.programme.equipment import Machine
from chime.records import NamedTuple
from chime.rings.model import Ring, RingCalendar
from chime.tape.earlier import Earlier, choose_letters
from chime.tape.geometry import fingerprint, row_of
from chime.tape.joint import Avoided, choose_cut
from chime.tape.loop import Loop, first_of_window, passes_of, phase_of
from chime.tape.model import Hole, Tape
from chime.tape.operate import Turn

Place = tuple[int, int]
"""A row and a track."""


class Mark(NamedTuple):
    """A ring on its way to the tape: the window it falls in and the time of the loop."""

    ring: Ring
    first: date
    phase_s: int


class Window(NamedTuple):
    """The dates that one tape serves in one go, from `first` on, and what is punched for them.

    `kept` are rings that an exception silences: their holes stay, and a hand silences them.
    """

    first: date
    wanted: tuple[Mark, ...]
    kept: tuple[Mark, ...]


def mark(loop: Loop, rings: Iterable[Ring], anchor: date) -> list[Mark]:
    """Find the window and the time of the loop of each ring."""
    firsts: dict[date, date] = {}
    marks: list[Mark] = []
    for ring in rings:
        day = ring.at.date()
        first = firsts.get(day)
        if first is None:
            first = firsts[day] = first_of_window(loop, day, anchor)
        marks.append(Mark(ring, first, phase_of(loop, ring.at, first)))
    return marks


def windows_of(marks: Iterable[Mark], kept: Iterable[Mark]) -> list[Window]:
    """Gather marks into windows; what is kept for a window in which nothing is wanted is left out."""
    wanted: dict[date, list[Mark]] = defaultdict(list)
    for each in marks:
        wanted[each.first].append(each)
    silent: dict[date, list[Mark]] = defaultdict(list)
    for each in kept:
        if each.first in wanted:
            silent[each.first].append(each)
    return [Window(first, tuple(wanted[first]), tuple(silent[first])) for first in sorted(wanted)]


def kept_rings(calendar: RingCalendar) -> list[Ring]:
    """Return the rings that an exception silences while the rest of the day goes on."""
    return [each.ring for each in calendar.silenced if each.hour == "exception"]


def gather(
    loop: Loop,
    machine: Machine,
    windows: Iterable[Window],
    tracks: Mapping[str, tuple[int, ...]],
    offsets: Mapping[int, int],
    earlier: Earlier,
    avoided: Avoided,
    position: int | None = None,
) -> tuple[tuple[Tape, ...], list[Turn]]:
    """Make a tape of all windows with the same holes, and say when each is on, in order of the dates.

    `tracks` gives the tracks on which each zone is punched, `offsets` how many rows ahead each is read;
    `avoided` is what a joint keeps away from, `position` that of the selector. New letters are given
    in the order of first dates.
    """
    alike: dict[frozenset[Place], list[tuple[Window, dict[Place, list[Mark]]]]] = defaultdict(list)
    for window in windows:
        punched = _punch(loop, window, tracks, offsets)
        alike[frozenset(punched)].append((window, punched))
    places = [sorted(each) for each in alike]
    letters = choose_letters([fingerprint(loop.rows, loop.row_interval_s, each) for each in places], earlier)
    tapes: list[Tape] = []
    turns: list[tuple[date, Turn]] = []
    for letter, together in zip(letters, alike.values(), strict=True):
        served = [_dates(window) for window, _ in together]
        found = _holes(loop, machine, [punched for _, punched in together])
        dates = tuple(sorted(day for some in served for day in some))
        tapes.append(_tape(loop, machine, letter, dates, found, avoided))
        turns += [(some[0], Turn(letter, position, some)) for some in served]
    tapes.sort(key=lambda tape: (len(tape.id), tape.id))
    return tuple(tapes), [turn for _, turn in sorted(turns)]


def gather_at(
    loop: Loop,
    machine: Machine,
    windows: Sequence[Window],
    runs: Sequence[tuple[int, int | None]],
    punched: Sequence[Mapping[tuple[int, int], list[Mark]]],
    offsets: Mapping[int, int],
    earlier: Earlier,
    avoided: Avoided,
) -> tuple[tuple[Tape, ...], list[Turn]]:
    """Make tapes of holes that are chosen already, and say when each is on in which position.

    `runs` gives for each window its tape and position, `punched` for each tape the rings of its holes by
    track and time of the loop.
    """
    by_place = [
        {
            (row_of(phase_s, loop.row_interval_s, offsets[track], loop.rows), track): marks
            for (track, phase_s), marks in each.items()
        }
        for each in punched
    ]
    prints = [fingerprint(loop.rows, loop.row_interval_s, sorted(each)) for each in by_place]
    letters = choose_letters(prints, earlier)
    tapes = []
    for number, letter in enumerate(letters):
        served = [window for window, (tape, _) in zip(windows, runs, strict=True) if tape == number]
        dates = tuple(sorted(day for window in served for day in _dates(window)))
        found = _holes(loop, machine, [by_place[number]])
        tapes.append(_tape(loop, machine, letter, dates, found, avoided))
    turns = [
        Turn(letters[tape], position, _dates(window))
        for window, (tape, position) in zip(windows, runs, strict=True)
    ]
    tapes.sort(key=lambda tape: (len(tape.id), tape.id))
    return tuple(tapes), turns


def _tape(
    loop: Loop,
    machine: Machine,
    letter: str,
    dates: tuple[date, ...],
    found: tuple[Hole, ...],
    avoided: Avoided,
) -> Tape:
    lap_rows = 0 if machine.joint_rows is None else machine.joint_rows.amount
    cut = choose_cut((hole.row for hole in found), loop.rows, lap_rows, avoided)
    return Tape(letter, loop.rows, loop.row_interval_s, loop.cycle, dates, found, cut)


def _dates(window: Window) -> tuple[date, ...]:
    return tuple(sorted({each.ring.at.date() for each in window.wanted}))


def _punch(
    loop: Loop, window: Window, tracks: Mapping[str, tuple[int, ...]], offsets: Mapping[int, int]
) -> dict[Place, list[Mark]]:
    punched: dict[Place, list[Mark]] = defaultdict(list)
    for each in (*window.wanted, *window.kept):
        for track in tracks.get(each.ring.zone, ()):
            row = row_of(each.phase_s, loop.row_interval_s, offsets[track], loop.rows)
            punched[row, track].append(each)
    return punched


def _holes(loop: Loop, machine: Machine, windows: list[dict[Place, list[Mark]]]) -> tuple[Hole, ...]:
    marks: dict[Place, list[Mark]] = defaultdict(list)
    for window in windows:
        for place, some in window.items():
            marks[place] += some
    pitch = machine.pitch.amount if machine.pitch is not None else None
    return tuple(
        Hole(
            row,
            track,
            tuple(sorted({each.ring.zone for each in some})),
            passes_of(loop, some[0].phase_s),
            None if pitch is None else row * pitch,
            machine.tracks[track - 1].amount if machine.tracks else None,
            _because(some),
        )
        for (row, track), some in sorted(marks.items())
    )


def _because(marks: list[Mark]) -> tuple[Span, ...]:
    spans = {span for each in marks for reason in each.ring.reasons for span in reason.spans}
    return tuple(sorted(spans, key=lambda span: (span.source.name, span.start, span.end)))
