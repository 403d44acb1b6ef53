"""What can be wrong when rings are laid out on a tape: codes T5xx and their words."""

from datetime import datetime

from chime.clock import DAY, write_date, write_duration, write_time
from chime.diagnostics import Code, Diagnostic, Edit, Label, Span, Suggestion
from chime.programme.model import Machine, Zone

_VALUES = """
  row       2.54 mm
  sprocket  every 2.54 mm, hole 1.17 mm, 9.96 mm from the guided edge
  tape      25.4 mm wide, 0.1 mm thick
  drive     steps in 0.25 s
  tracks    at 2.34, 4.88, 7.42 mm from the guided edge
  hole      round 1.83 mm within 0.05 mm
  finger    drops in, round 0.80 mm within 0.05 mm
  side play 0.20 mm
  reads     3 rows ahead
  gate      at 8 s for 6 s, within 0.5 s
  relay     operates 30 ms, releases 20 ms, bounces 20 ms
  errors    jig 0.10 mm, registration 0.05 mm, detent 0.08 mm, stretch 0.02 % over 20 mm
  web       at least 0.30 mm
  joint     lap of 12 rows
  silenced  Sat, Sun
  attended  Mon to Fri 07:45 - 16:30
"""
_MACHINE = f"machine tower\n  loop      24 h in rows of 1 min{_VALUES}"
_ZONE = "zone main on track 1\n"

LOOP_UNKNOWN = Code(
    "T501",
    "loop-unknown",
    "error",
    "A tape is laid out in rows. How long the loop runs before it begins again, and how long a row stands "
    "under the fingers, can only be counted at the machine; without both no hole has a place.",
    f"machine tower\n  loop      24 h{_VALUES}{_ZONE}",
    f"{_MACHINE}{_ZONE}",
)
LOOP_NOT_WHOLE_ROWS = Code(
    "T502",
    "loop-not-whole-rows",
    "error",
    "A loop holds a whole number of rows, and a row stands for a whole number of seconds. A loop that ends "
    "within a row would come round a little early or late, and more so every time.",
    f"machine tower\n  loop      24 h in rows of 7 min{_VALUES}{_ZONE}",
    f"{_MACHINE}{_ZONE}",
)
BETWEEN_ROWS = Code(
    "T503",
    "ring-between-rows",
    "error",
    "A hole can only be punched in a row. A ring whose time lies between two rows is neither rounded nor "
    "left out: give it the time of a row.",
    f"{_MACHINE}{_ZONE}timetable normal in main\n  ring 08:40:30 lesson",
    f"{_MACHINE}{_ZONE}timetable normal in main\n  ring 08:40 lesson",
)
ZONE_WITHOUT_TRACK = Code(
    "T504",
    "zone-without-track",
    "error",
    "Each track of the tape rings the zone that is wired to it. A zone that rings needs a track, written "
    "behind its name or in a position of the selector.",
    f"{_MACHINE}zone main",
    f"{_MACHINE}{_ZONE}",
)
BEYOND_MACHINE = Code(
    "T505",
    "track-beyond-machine",
    "error",
    "Tracks are numbered from 1, in the order in which the machine's `tracks` line gives their places. A "
    "hole on a track that the machine does not have would never be read.",
    f"{_MACHINE}zone main on track 4",
    f"{_MACHINE}{_ZONE}",
)
OUT_OF_USE = Code(
    "T506",
    "track-out-of-use",
    "error",
    "A track that the machine calls out of use is not read. Wire the zone to another track, or take the "
    "track back into use.",
    f"{_MACHINE}  out of use track 1\n{_ZONE}",
    f"{_MACHINE}  out of use track 2\n{_ZONE}",
)
SHARED_TRACK = Code(
    "T507",
    "track-shared",
    "error",
    "A hole rings every zone on its track. Zones that ring at different times need a track each; zones that "
    "always ring together may share one.",
    f"{_MACHINE}{_ZONE}zone yard on track 1\ntimetable normal\n"
    "  ring 08:40 lesson in main, yard\n  ring 10:45 lesson in yard",
    f"{_MACHINE}{_ZONE}zone yard on track 2\ntimetable normal\n"
    "  ring 08:40 lesson in main, yard\n  ring 10:45 lesson in yard",
)

CODES: tuple[Code, ...] = (
    LOOP_UNKNOWN,
    LOOP_NOT_WHOLE_ROWS,
    BETWEEN_ROWS,
    ZONE_WITHOUT_TRACK,
    BEYOND_MACHINE,
    OUT_OF_USE,
    SHARED_TRACK,
)

_SECOND = 1_000_000


def loop_unknown(machine: Machine) -> Diagnostic:
    """Say that the machine does not tell how long its loop is, or how long a row stands."""
    missing = "how long its loop runs" if machine.cycle is None else "how long a row stands"
    return Diagnostic(
        LOOP_UNKNOWN,
        f"machine {machine.name} does not say {missing}",
        (Label(machine.cycle.span if machine.cycle else machine.span, "no rows can be counted from this"),),
        "Every hole is counted in rows from the loop's beginning. Without the length of a row there is no "
        "tape to punch.",
        (Suggestion("count both at the machine: loop 24 h in rows of 1 min", "sketch"),),
    )


def loop_not_whole_rows(machine: Machine, cycle_us: int, interval_us: int) -> Diagnostic:
    """Say that the loop is no whole number of rows, or a row no whole number of seconds."""
    assert machine.cycle is not None
    assert machine.row_interval is not None
    row = _write_us(interval_us)
    if interval_us <= 0 or cycle_us <= 0:
        headline = "a loop and its rows must last longer than nothing"
    elif interval_us % _SECOND:
        headline = f"a row of {row} is not a whole number of seconds"
    else:
        headline = f"a loop of {_write_us(cycle_us)} does not divide into rows of {row}"
    return Diagnostic(
        LOOP_NOT_WHOLE_ROWS,
        headline,
        (
            Label(machine.row_interval.span, "the length of a row"),
            Label(machine.cycle.span, "the length of the loop", "secondary"),
        ),
        "The loop must hold whole rows of whole seconds. A part of a row left over would shift the whole "
        "programme a little with every turn of the loop.",
    )


def _write_us(amount: int) -> str:
    if amount % _SECOND == 0:
        return write_duration(amount // _SECOND)
    return f"{amount // _SECOND}.{amount % _SECOND:06}".rstrip("0") + " s"


def ring_between_rows(
    at: datetime, span: Span, *, before_s: int, interval_s: int, moved_by: tuple[Span, ...]
) -> Diagnostic:
    """Say that a ring's time lies between two rows.

    `before_s` is the time of day of the row before it, in seconds; `moved_by` the lines that moved the ring.
    """
    seconds = at.hour * 3600 + at.minute * 60 + at.second
    written = write_time(seconds)
    on = "" if DAY % interval_s == 0 else f" on a {at:%A}"
    nearest = [write_time(each % DAY) for each in (before_s, before_s + interval_s)]
    return Diagnostic(
        BETWEEN_ROWS,
        f"a ring at {written}{on} falls between two rows of the tape",
        (
            Label(span, f"rings at {written}"),
            *(Label(each, "and was moved here", "secondary") for each in moved_by),
        ),
        f"A row stands for {write_duration(interval_s)}, and a hole can only be punched in a row. A hole "
        "near the right place would ring at the wrong time, so none is punched.",
        tuple(Suggestion(f"ring at {text}", "guess", _replace(span, written, text)) for text in nearest),
    )


def _replace(span: Span, written: str, text: str) -> tuple[Edit, ...]:
    # Only where the time stands in the text itself; a time that was worked out has no place to edit.
    if span.text.count(written) != 1:
        return ()
    start = span.start + span.text.index(written)
    return (Edit(Span(span.source, start, start + len(written)), text),)


def zone_without_track(zone: Zone, machine: Machine, free: int | None) -> Diagnostic:
    """Say that a zone rings and is wired to no track; `free` is a track that no other zone names."""
    sketch = f"zone {zone.name} on track {free}" if free else f"zone {zone.name} on track ..."
    return Diagnostic(
        ZONE_WITHOUT_TRACK,
        f"zone {zone.name} rings, but is on no track of machine {machine.name}",
        (Label(zone.span, "has no track"), Label(machine.span, "no position wires it", "secondary")),
        "Only what a track carries is rung. The bells of this zone would stay silent.",
        (Suggestion(f"look to which track it is wired and write it: {sketch}", "sketch"),),
    )


def track_beyond_machine(zone: Zone, track: int, span: Span, machine: Machine) -> Diagnostic:
    """Say that a zone is on a track that the machine does not have."""
    count = len(machine.tracks)
    if not count:
        return Diagnostic(
            BEYOND_MACHINE,
            f"zone {zone.name} is on track {track}, and tracks are numbered from 1",
            (Label(span, "no such track"),),
            "A hole on a track that is not there would never be read, and the zone would stay silent.",
        )
    tracks = "1 track" if count == 1 else f"{count} tracks"
    return Diagnostic(
        BEYOND_MACHINE,
        f"zone {zone.name} is on track {track}, but machine {machine.name} has {tracks}",
        (Label(span, "no such track"), Label(machine.tracks[0].span, f"{tracks} begin here", "secondary")),
        "A hole on a track that is not there would never be read, and the zone would stay silent.",
    )


def track_out_of_use(zone: Zone, track: int, span: Span, said: Span) -> Diagnostic:
    """Say that a zone is on a track that the machine calls out of use."""
    return Diagnostic(
        OUT_OF_USE,
        f"zone {zone.name} is on track {track}, which is out of use",
        (Label(span, f"needs track {track}"), Label(said, "taken out of use here", "secondary")),
        "A track that is out of use is not read, and the zone would stay silent.",
    )


def track_shared(
    track: int, zones: tuple[str, str], spans: tuple[Span, Span], at: datetime, ringing: str
) -> Diagnostic:
    """Say that two zones on one track differ; at `at` only the zone `ringing` rings."""
    first, second = zones
    silent = second if ringing == first else first
    day, seconds = at.date(), at.hour * 3600 + at.minute * 60 + at.second
    return Diagnostic(
        SHARED_TRACK,
        f"zones {first} and {second} share track {track}, but do not ring at the same times",
        (
            Label(spans[1], f"{second} on track {track}"),
            Label(spans[0], f"{first} on track {track}", "secondary"),
        ),
        f"A hole on track {track} rings both. On {write_date(day)} at {write_time(seconds)} zone {ringing} "
        f"rings and zone {silent} does not.",
        (Suggestion(f"put {first} and {second} on tracks of their own", "sketch"),),
    )
