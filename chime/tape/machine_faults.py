"""What can be wrong between the rings and a machine that silences, turns and times by itself: T508 to T512 and T516."""

from collections.abc import Mapping, Sequence

from chime.clock import DAY, write_date, write_duration, write_time
from chime.diagnostics import Code, Diagnostic
from chime.diagnostics.complain import complain, sketch
from chime.programme.equipment import Gate, Machine, Position, Value
from chime.programme.model import Signal, Zone
from chime.rings.model import Ring
from chime.tape.faults import EXAMPLE_MACHINE, EXAMPLE_ZONE
from chime.tape.masks import Mask

_TIMETABLE = "timetable normal in main\n  ring 08:40, 15:20 lesson"

RING_SILENCED = Code(
    "T508",
    "ring-silenced",
    "error",
    "What a day wheel or a time switch silences does not sound, though the tape has its hole. The ring is neither moved "
    "nor left out: ring at another time, or set the machine otherwise and say so in its block.",
    f"{EXAMPLE_MACHINE}  silenced 15:00 - 08:00\n{EXAMPLE_ZONE}{_TIMETABLE}",
    f"{EXAMPLE_MACHINE}  silenced 15:30 - 08:00\n{EXAMPLE_ZONE}{_TIMETABLE}",
)
RINGS_AGAIN = Code(
    "T509",
    "rings-again",
    "error",
    "On a loop shorter than a day each hole passes more than once a day, and each time it rings. Nobody can be asked to "
    "silence that by hand day after day: let the machine silence those hours, or use a loop of a day.",
    "machine tower\n  loop      12 h in rows of 1 min\n" + EXAMPLE_ZONE + _TIMETABLE,
    "machine tower\n  loop      12 h in rows of 1 min\n  silenced  18:00 - 06:00\n"
    + EXAMPLE_ZONE
    + _TIMETABLE,
)
GATE_CANNOT_GIVE = Code(
    "T510",
    "gate-cannot-give",
    "error",
    "The gate is set once for the machine, and every ring sounds as long as the gate is closed. That length must be one "
    "that each signal tolerates; a ring that is too short or too long is not what was asked for.",
    f"{EXAMPLE_MACHINE}{EXAMPLE_ZONE}signal lesson 12 s within 2 s",
    f"{EXAMPLE_MACHINE}{EXAMPLE_ZONE}signal lesson 6 s within 2 s",
)
LOOP_WITHOUT_PHASE = Code(
    "T511",
    "loop-without-phase",
    "error",
    "A loop that is neither a whole number of days nor a part of a day shows another row at the same time of every day, so "
    "no hole stands for a time. Count its rows again.",
    "machine tower\n  loop      36 h in rows of 1 min\n" + EXAMPLE_ZONE,
    "machine tower\n  loop      24 h in rows of 1 min\n" + EXAMPLE_ZONE,
)
_SELECTOR = f"{EXAMPLE_MACHINE}  selector  2 positions\n"
_TWO_ZONES = "zone main\nzone yard\ntimetable normal in main, yard\n  ring 08:40 lesson\n"
NO_POSITION = Code(
    "T512",
    "no-position-for-all",
    "error",
    "The selector is moved between dates, not between the rings of one. So for each date one of its positions must "
    "wire every zone that rings then. Wire the zones of a position that way, or give a zone a track of its own.",
    f"{_SELECTOR}  position  1 main on track 1\n  position  2 yard on track 2\n{_TWO_ZONES}",
    f"{_SELECTOR}  position  1 main on track 1, yard on track 2\n  position  2 yard on track 1\n{_TWO_ZONES}",
)

_MANY_ZONES = "zone main on track 1\nzone yard on track 2\nzone hall\nzone gate\n"
_MANY_RINGS = "timetable normal\n  ring 08:40 lesson in main, yard, hall\n  ring 08:50 lesson in gate\n"
TRACKS_TOO_FEW = Code(
    "T516",
    "tracks-too-few",
    "error",
    "A zone that names no track gets one that no zone names. Zones that ring at different times need different tracks, or "
    "a selector that wires them otherwise on other dates.",
    f"{EXAMPLE_MACHINE}{_MANY_ZONES}{_MANY_RINGS}",
    f"{EXAMPLE_MACHINE}{_MANY_ZONES.replace(' on track 2', ' on track 1')}{_MANY_RINGS}",
)

CODES: tuple[Code, ...] = (
    RING_SILENCED,
    RINGS_AGAIN,
    GATE_CANNOT_GIVE,
    LOOP_WITHOUT_PHASE,
    NO_POSITION,
    TRACKS_TOO_FEW,
)


def _zones(names: Sequence[str]) -> str:
    return f"zone{'s' if len(names) > 1 else ''} {_listed(names)}"


def ring_silenced(
    ring: Ring, mask: Mask, times: Sequence[int], zones: Sequence[str], *, by_hand: str | None
) -> Diagnostic:
    """Say that a line asks for rings while the machine silences their zones; `ring` is the first of them.

    `by_hand` says how they could be rung by hand, None if they cannot.
    """
    at = _listed([write_time(each) for each in times])
    span, *moved_by = ring.reasons[0].spans
    since, until = write_time(mask.start), write_time(mask.end)
    silent = "every zone" if mask.zones is None else _zones(zones)
    if mask.end - mask.start == DAY:
        stretch, instead = "all day", "ring on another day"
    else:
        stretch, instead = f"from {since} to {until}", f"ring before {since} or from {until} on"
    return complain(
        RING_SILENCED,
        f"{_zones(zones)} shall ring at {at}, but the machine is silenced then",
        (span, f"rings at {at}"),
        f"On {write_date(ring.at.date())} the {mask.by} silences {silent} {stretch}. The hole would pass, and no "
        "bell would sound.",
        [*((each, "and was moved here") for each in moved_by), (mask.span, "silenced by this")],
        (*sketch(f"{instead}, or have the {mask.by} set otherwise"), *(sketch(by_hand) if by_hand else ())),
    )


def rings_again(
    ring: Ring,
    times: Mapping[int, Sequence[int]],
    zones: Sequence[str],
    loop: tuple[Value, int],
    hours: tuple[int, int] | None,
) -> Diagnostic:
    """Say that the holes of a line also sound at other times of their day.

    `ring` is the first of them; `times` gives for each time, in seconds of the day, when it sounds again;
    `hours` from when to when a time switch could silence that and no ring that is wanted.
    """
    cycle, cycle_s = loop
    ordered = sorted(times)
    at = _listed([write_time(each) for each in ordered])
    again = _listed(
        [write_time(each) for each in sorted({other for each in ordered for other in times[each]})]
    )
    holes = "the hole" if len(ordered) == 1 else "the holes"
    too = f"ring {_zones(zones)} then too"
    silence = None if hours is None else f"silenced {write_time(hours[0])} - {write_time(hours[1])}"
    return complain(
        RINGS_AGAIN,
        f"{holes} for {at} would also ring {_zones(zones)} at {again}",
        (ring.reasons[0].spans[0], f"rings at {at}"),
        f"A loop of {write_duration(cycle_s)} brings each hole round again. On {write_date(ring.at.date())} nobody "
        "asks for that, and nothing that the machine does by itself silences it.",
        [(cycle.span, "the length of the loop")],
        sketch(
            f"{too}, or use a loop of a day"
            if silence is None
            else f"have a time switch silence the machine, and write in its block: {silence}; or {too}"
        ),
    )


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def signals_do_not_agree(signals: Sequence[Signal], gate: Gate) -> Diagnostic:
    """Say that no length of the gate suits all signals."""
    shortest = min(signals, key=lambda s: (s.length_ms + s.tolerance_ms, s.name))
    longest = max(signals, key=lambda s: (s.length_ms - s.tolerance_ms, s.name))
    return complain(
        GATE_CANNOT_GIVE,
        f"no length of the gate suits both signal {shortest.name} and signal {longest.name}",
        (longest.span, f"at least {_write_ms(longest.length_ms - longest.tolerance_ms)}"),
        "The gate is set once, and all rings sound equally long.",
        [
            (shortest.span, f"at most {_write_ms(shortest.length_ms + shortest.tolerance_ms)}"),
            (gate.span, "the gate that both share"),
        ],
        sketch("tolerate more, such as: within 3 s, or ask for lengths that lie nearer together"),
    )


def gate_cannot_give(signal: Signal, gate: Gate, shortest_us: int, longest_us: int) -> Diagnostic:
    """Say that the gate gives rings from one length to another, and a signal tolerates none of them."""
    lengths = _write_ms(shortest_us // 1000)
    if longest_us > shortest_us:
        lengths += f" to {_write_ms(longest_us // 1000)}"
    low, high = signal.length_ms - signal.tolerance_ms, signal.length_ms + signal.tolerance_ms
    return complain(
        GATE_CANNOT_GIVE,
        f"the gate lets a bell sound for {lengths}, which signal {signal.name} does not tolerate",
        (signal.span, f"tolerates {_write_ms(low)} to {_write_ms(high)}"),
        "A ring sounds as long as the gate is closed, longer by the time that the relay takes to release and shorter by "
        "the time that it takes to operate.",
        [(gate.span, "how long the gate is closed")],
        sketch("ask for a length that the gate gives, or set the gate and say so in the machine's block"),
    )


def _write_ms(amount_ms: int) -> str:
    if amount_ms % 1000 == 0:
        return f"{amount_ms // 1000} s"
    return f"{amount_ms // 1000}.{amount_ms % 1000:03}".rstrip("0") + " s"


def loop_without_phase(cycle: Value, cycle_s: int) -> Diagnostic:
    """Say that a loop's rows do not keep to the times of the day."""
    return complain(
        LOOP_WITHOUT_PHASE,
        f"a loop of {write_duration(cycle_s)} is neither whole days nor a part of a day",
        (cycle.span, "the length of the loop"),
        "Each day the same row would stand under the fingers at another time.",
        offers=sketch("count the rows at the machine: loop 24 h in rows of 1 min"),
    )


def tracks_too_few(machine: Machine, zones: Sequence[Zone], needed: int, free: int) -> Diagnostic:
    """Say that zones without tracks ring in more ways than there are tracks that no zone names."""
    first, *others = zones
    left = "1 track" if free == 1 else f"{free} tracks"
    names = _zones([zone.name for zone in zones])
    return complain(
        TRACKS_TOO_FEW,
        f"{names} name no track, and machine {machine.name} has only {left} left for them",
        (first.span, "needs a track"),
        f"They ring in so many ways that {needed} tracks would be needed where none is moved. What is left are tracks in "
        "use that no other zone names.",
        [
            *((zone.span, "needs a track") for zone in others),
            *((each.span, "counts the tracks") for each in machine.tracks[:1]),
        ],
        sketch(
            "let two of them ring at the same times, put them on tracks of zones that ring as they do, or have a "
            "selector with more positions"
        ),
    )


def no_position(zones: Sequence[Zone], best: Position, lacking: Sequence[str]) -> Diagnostic:
    """Say that no position of the selector wires all zones that need one; `best` lacks the fewest."""
    names = " and ".join(zone.name for zone in zones)
    return complain(
        NO_POSITION,
        f"no position of the selector wires all of zones {names}",
        (best.span, f"does not wire {' or '.join(lacking)}"),
        "All of them ring, and no moves of the selector between dates give each date what it needs.",
        [(zone.span, "needs a position that wires it") for zone in zones if zone.name in lacking],
        sketch(
            f"wire {' and '.join(lacking)} in position {best.number} too, or give them tracks of their own"
        ),
    )
