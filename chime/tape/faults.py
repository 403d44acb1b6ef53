"""What can be wrong when rings are laid out on a tape: codes T5xx and their words."""

from datetime import datetime

from chime.clock import DAY, write_date, write_duration, write_time
from chime.diagnostics import Code, Diagnostic, Edit, Span, Suggestion
from chime.diagnostics.complain import complain, sketch
from chime.programme.equipment import Machine, Value
from chime.programme.model import Zone

_VALUES = """
  row       2.54 mm
  sprocket  every 2.54 mm, hole 1.17 mm, 9.96 mm from the guided edge
  tape      25.4 mm wide, 0.1 mm thick
  drive     steps in 0.35 s
  tracks    at 2.34, 4.88, 7.42 mm from the guided edge
  hole      round 1.83 mm within 0.05 mm
  finger    drops in, round 0.70 mm within 0.04 mm
  side play 0.15 mm
  reads     2 rows ahead
  gate      at 7 s for 6 s, within 0.4 s
  relay     operates 25 ms, releases 15 ms, bounces 10 ms
  errors    jig 0.07 mm, registration 0.04 mm, detent 0.06 mm, stretch 0.03 % over 32 mm
  web       at least 0.35 mm
  joint     lap of 10 rows
  silenced  Sat, Sun
  attended  Mon to Fri 08:15 - 17:15
"""
_TRACKS = "  tracks    at 2.34, 4.88, 7.42 mm from the guided edge\n"
EXAMPLE_MACHINE = f"machine tower\n  loop      24 h in rows of 1 min{_VALUES}"
EXAMPLE_ZONE = "zone main on track 1\n"

LOOP_UNKNOWN = Code(
    "T501",
    "loop-unknown",
    "error",
    "A tape is laid out in rows. How long the loop runs before it begins again, and how long a row stands "
    "under the fingers, can only be counted at the machine; without both no hole has a place.",
    f"machine tower\n  loop      24 h{_VALUES}{EXAMPLE_ZONE}",
    f"{EXAMPLE_MACHINE}{EXAMPLE_ZONE}",
)
ROWS_NOT_WHOLE = Code(
    "T502",
    "rows-not-whole",
    "error",
    "Every ring is at a whole second and every hole in a row, so a row stands for whole seconds and a loop "
    "holds whole rows. Otherwise the programme would shift with every turn of the loop.",
    f"machine tower\n  loop      24 h in rows of 2.5 s{_VALUES}{EXAMPLE_ZONE}",
    f"{EXAMPLE_MACHINE}{EXAMPLE_ZONE}",
)
BETWEEN_ROWS = Code(
    "T503",
    "ring-between-rows",
    "error",
    "A hole can only be punched in a row. A ring whose time lies between two rows is neither rounded nor "
    "left out: give it the time of a row.",
    f"{EXAMPLE_MACHINE}{EXAMPLE_ZONE}timetable normal in main\n  ring 08:40:30 lesson",
    f"{EXAMPLE_MACHINE}{EXAMPLE_ZONE}timetable normal in main\n  ring 08:40 lesson",
)
ZONE_WITHOUT_TRACK = Code(
    "T504",
    "zone-without-track",
    "error",
    "Each track of the tape rings the zone that is wired to it. A zone that rings needs a track, written "
    "behind its name or in a position of the selector. A zone that names none gets one that no zone names, where "
    "the machine's block says its tracks, wires no positions, and has one left.",
    f"{EXAMPLE_MACHINE.replace(_TRACKS, '')}zone main",
    f"{EXAMPLE_MACHINE}zone main",
)
BEYOND_MACHINE = Code(
    "T505",
    "track-beyond-machine",
    "error",
    "Tracks are numbered from 1, in the order in which the machine's `tracks` line gives their places. A "
    "hole on a track that the machine does not have would never be read.",
    f"{EXAMPLE_MACHINE}zone main on track 4",
    f"{EXAMPLE_MACHINE}{EXAMPLE_ZONE}",
)
OUT_OF_USE = Code(
    "T506",
    "track-out-of-use",
    "error",
    "A track that the machine calls out of use is not read. Wire the zone to another track, or take the "
    "track back into use.",
    f"{EXAMPLE_MACHINE}  out of use track 1\n{EXAMPLE_ZONE}",
    f"{EXAMPLE_MACHINE}  out of use track 2\n{EXAMPLE_ZONE}",
)
SHARED_TRACK = Code(
    "T507",
    "track-shared",
    "error",
    "A hole rings every zone on its track. Zones that ring at different times need a track each; zones that "
    "always ring together may share one.",
    f"{EXAMPLE_MACHINE}{EXAMPLE_ZONE}zone yard on track 1\ntimetable normal\n"
    "  ring 08:40 lesson in main, yard\n  ring 10:20 lesson in yard",
    f"{EXAMPLE_MACHINE}{EXAMPLE_ZONE}zone yard on track 2\ntimetable normal\n"
    "  ring 08:40 lesson in main, yard\n  ring 10:20 lesson in yard",
)

CODES: tuple[Code, ...] = (
    LOOP_UNKNOWN,
    ROWS_NOT_WHOLE,
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
    return complain(
        LOOP_UNKNOWN,
        f"machine {machine.name} does not say {missing}",
        (machine.cycle.span if machine.cycle else machine.span, "no rows can be counted from this"),
        "Every hole is counted in rows from the loop's beginning. Without the length of a row there is no "
        "tape to punch.",
        offers=sketch("count both at the machine: loop 24 h in rows of 1 min"),
    )


def rows_not_whole(cycle: Value, interval: Value) -> Diagnostic:
    """Say that a row is no whole number of seconds, or the loop no whole number of rows (values in us)."""
    row = _write_us(interval.amount)
    if interval.amount <= 0 or cycle.amount <= 0:
        headline = "a loop and its rows must last longer than nothing"
    elif interval.amount % _SECOND:
        headline = f"a row of {row} is not a whole number of seconds"
    else:
        headline = f"a loop of {_write_us(cycle.amount)} does not divide into rows of {row}"
    return complain(
        ROWS_NOT_WHOLE,
        headline,
        (interval.span, "the length of a row"),
        "Every ring is at a whole second and every hole in a whole row of a whole loop. What is left over "
        "would put rings where no row is, or shift them with every turn of the loop.",
        [(cycle.span, "the length of the loop")],
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
    written = write_time(at.hour * 3600 + at.minute * 60 + at.second)
    on = "" if DAY % interval_s == 0 else f" on a {at:%A}"
    nearest = [write_time(each % DAY) for each in (before_s, before_s + interval_s)]
    place = None if moved_by else _place_of(written, span)
    return complain(
        BETWEEN_ROWS,
        f"a ring at {written}{on} falls between two rows of the tape",
        (place or span, f"rings at {written}"),
        f"A row stands for {write_duration(interval_s)}, and a hole can only be punched in a row. A hole "
        "near the right place would ring at the wrong time, so none is punched.",
        [(each, "and was moved here") for each in moved_by],
        [Suggestion(f"ring at {text}", "guess", (Edit(place, text),) if place else ()) for text in nearest],
    )


def _place_of(written: str, span: Span) -> Span | None:
    """Return where a time stands in the text itself; one that was worked out has no place to edit."""
    if span.text.count(written) != 1:
        return None
    start = span.start + span.text.index(written)
    return Span(span.source, start, start + len(written))


def zone_without_track(zone: Zone, machine: Machine, free: int | None) -> Diagnostic:
    """Say that a zone rings and is wired to no track; `free` is a track that no other zone names."""
    cure = (
        "take another track into use for it, or put it on that of a zone that rings when it does"
        if free is None and machine.tracks
        else f"look to which track it is wired and write it: zone {zone.name} on track "
        f"{'...' if free is None else free}"
    )
    return complain(
        ZONE_WITHOUT_TRACK,
        f"zone {zone.name} rings, but is on no track of machine {machine.name}",
        (zone.span, "has no track"),
        "Only what a track carries is rung. The bells of this zone would stay silent.",
        [(machine.span, "no position wires it")],
        sketch(cure),
    )


def track_beyond_machine(zone: Zone, track: int, span: Span, machine: Machine) -> Diagnostic:
    """Say that a zone is on a track that the machine does not have."""
    count = len(machine.tracks)
    tracks = "1 track" if count == 1 else f"{count} tracks"
    but = f"but machine {machine.name} has {tracks}" if count else "but tracks are numbered from 1"
    return complain(
        BEYOND_MACHINE,
        f"zone {zone.name} is on track {track}, {but}",
        (span, "no such track"),
        "A hole on a track that is not there would never be read, and the zone would stay silent.",
        [(machine.tracks[0].span, f"{tracks} from here on")] if count else [],
    )


def track_out_of_use(zone: Zone, track: int, span: Span, said: Span) -> Diagnostic:
    """Say that a zone is on a track that the machine calls out of use."""
    return complain(
        OUT_OF_USE,
        f"zone {zone.name} is on track {track}, which is out of use",
        (span, f"needs track {track}"),
        "A track that is out of use is not read, and the zone would stay silent.",
        [(said, "taken out of use here")],
    )


def track_shared(
    track: int, zones: tuple[str, str], spans: tuple[Span, Span], at: datetime, ringing: str
) -> Diagnostic:
    """Say that two zones on one track differ; at `at` only the zone `ringing` rings."""
    first, second = zones
    silent = second if ringing == first else first
    places = sorted(zip(spans, zones, strict=True), key=lambda place: (place[0].source.path, place[0].start))
    (before, one), (after, other) = places
    when = f"{write_date(at.date())} at {write_time(at.hour * 3600 + at.minute * 60 + at.second)}"
    return complain(
        SHARED_TRACK,
        f"zones {first} and {second} share track {track}, but do not ring at the same times",
        (after, f"{other} on track {track}"),
        f"A hole on track {track} rings both. On {when} zone {ringing} rings and zone {silent} does not.",
        [(before, f"{one} on track {track}")],
        sketch(f"put {first} and {second} on tracks of their own"),
    )
