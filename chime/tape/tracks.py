"""Which tracks of the tape each zone is on, and how far ahead their fingers stand."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Set

from chime.diagnostics import Diagnostic, Span
from chime.programme.equipment import Machine, Position
from chime.programme.model import Programme, Zone
from chime.records import NamedTuple
from chime.tape import faults
from chime.tape.machine_faults import no_position
from chime.tape.model import Wired


class ZoneTracks(NamedTuple):
    """The tracks on which each hole of a zone is punched, and the text that says so."""

    tracks: tuple[int, ...]
    span: Span


class Wiring(NamedTuple):
    """The tracks of every zone that could be placed, the selector's position, and what was decided.

    `position` is None where no zone that rings needs the selector.
    """

    by_zone: Mapping[str, ZoneTracks]
    position: int | None
    decided: tuple[str, ...]
    diagnostics: tuple[Diagnostic, ...]


def choose_positions(programme: Programme, machine: Machine, ringing: Iterable[str]) -> tuple[Position, ...]:
    """Return the positions that wire all zones that need one, in order of their numbers.

    Where there is none it is the one that lacks the fewest, and where no zone needs any, nothing.
    """
    lacking = _lacking(machine, _needing(programme, machine, ringing))
    fewest = min((len(names) for names in lacking.values()), default=0)
    return tuple(position for position, names in lacking.items() if len(names) == fewest)[
        : 1 if fewest else None
    ]


def wire(programme: Programme, machine: Machine, ringing: Iterable[str], position: Position | None) -> Wiring:
    """Choose the tracks of each zone: its own, else those of a position, which is one of `choose_positions`.

    Every track that a zone names is judged; only a zone that rings needs one. Of tracks to choose from the
    lowest in use is taken that leaves every zone a track to itself, if there are so many.
    """
    rings, alone = set(ringing), _one_each(programme, machine)
    decided: list[str] = []
    diagnostics = _without_wiring(programme, machine, rings, position)
    by_zone: dict[str, ZoneTracks] = {}
    for zone in programme.zones:
        placed = _from_zone(zone, machine, alone, decided) if zone.tracks else _from_position(zone, position)
        if placed is not None:
            wrong = _judge(zone, placed, machine)
            diagnostics += wrong
            if not wrong:
                by_zone[zone.name] = placed
    number = None if position is None else position.number
    return Wiring(by_zone, number, tuple(decided), tuple(diagnostics))


def wirings_of(programme: Programme, machine: Machine, ringing: Iterable[str]) -> tuple[Wired, ...]:
    """Return what each position wires, fixed zones among it, in order of the positions' numbers.

    Nothing where no zone that rings needs the selector, where zones on several tracks at once share one with
    others, or where a zone or a position names a track that cannot be read.
    """
    by_positions = {track for position in machine.positions for _, track in position.wirings}
    if not _needing(programme, machine, ringing) or _share_both(programme, by_positions):
        return ()
    found, alone = [], _one_each(programme, machine)
    for position in sorted(machine.positions, key=lambda each: each.number):
        zones = []
        for zone in sorted(programme.zones, key=lambda each: each.name):
            placed = _from_zone(zone, machine, alone, []) if zone.tracks else _from_position(zone, position)
            if placed is not None and _judge(zone, placed, machine):
                return ()
            if placed is not None:
                zones.append((zone.name, placed.tracks))
        found.append(Wired(position.number, tuple(zones)))
    return tuple(found)


def free_choice(
    programme: Programme, machine: Machine, ringing: Iterable[str]
) -> tuple[tuple[Wired, ...], tuple[int, ...]]:
    """Return what is wired already, in each position, and the free tracks for zones that ring and have none.

    Nothing where every zone that rings has its track, where positions are wired already, where the machine
    does not say its tracks, or where a zone names one that cannot be read, or several at once that others
    name too.
    """
    rings = set(ringing)
    has_none = any(zone.tracks is None and zone.name in rings for zone in programme.zones)
    if not has_none or _share_both(programme, set()) or machine.positions or not machine.tracks:
        return (), ()
    zones, alone = [], _one_each(programme, machine)
    for zone in sorted(programme.zones, key=lambda each: each.name):
        if zone.tracks is not None:
            placed = _from_zone(zone, machine, alone, [])
            if _judge(zone, placed, machine):
                return (), ()
            zones.append((zone.name, placed.tracks))
    taken = {track for zone in programme.zones if zone.tracks for track in zone.tracks.tracks}
    numbers = range(1, len(machine.tracks) + 1)
    free = tuple(n for n in numbers if n not in taken and _is_usable(n, machine))
    count = 1 if machine.selector_positions is None else machine.selector_positions.amount
    places = [None] if count == 1 else list(range(1, count + 1))
    return tuple(Wired(place, tuple(zones)) for place in places), free


def on_both(programme: Programme) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Return the zones that are on several tracks at once: each hole of theirs is punched on all of them."""
    return tuple(
        (zone.name, tuple(sorted(set(zone.tracks.tracks))))
        for zone in programme.zones
        if zone.tracks is not None and zone.tracks.together
    )


def _share_both(programme: Programme, others: Set[int]) -> bool:
    """Tell whether a zone that is on several tracks at once shares one with another zone, or with others."""
    named = [track for zone in programme.zones if zone.tracks for track in set(zone.tracks.tracks)]
    both = [track for _, tracks in on_both(programme) for track in tracks]
    return any(named.count(track) > 1 or track in others for track in both)


def in_any_position(programme: Programme, wirings: Iterable[Wired], decided: tuple[str, ...]) -> Wiring:
    """Return all tracks that zones are on in some position."""
    tracks: dict[str, set[int]] = defaultdict(set)
    for wired in wirings:
        for zone, some in wired.zones:
            tracks[zone].update(some)
    spans = {zone.name: zone.tracks.span if zone.tracks else zone.span for zone in programme.zones}
    by_zone = {zone: ZoneTracks(tuple(sorted(some)), spans[zone]) for zone, some in sorted(tracks.items())}
    return Wiring(by_zone, None, decided, ())


def _needing(programme: Programme, machine: Machine, ringing: Iterable[str]) -> list[Zone]:
    """Return the zones that ring, name no track and are wired by some position."""
    rings = set(ringing)
    wired = {name for position in machine.positions for name, _ in position.wirings}
    return [
        zone for zone in programme.zones if zone.tracks is None and zone.name in rings and zone.name in wired
    ]


def _lacking(machine: Machine, needing: list[Zone]) -> dict[Position, list[str]]:
    """Return for each position, if any zone needs one, which of the zones it does not wire."""
    return {
        position: [zone.name for zone in needing if zone.name not in dict(position.wirings)]
        for position in sorted(machine.positions, key=lambda each: each.number)
        if needing
    }


def _without_wiring(
    programme: Programme, machine: Machine, rings: set[str], position: Position | None
) -> list[Diagnostic]:
    needing = _needing(programme, machine, rings)
    free = _free_track(programme, machine)
    lost = [z for z in programme.zones if z.tracks is None and z.name in rings and z not in needing]
    wrong = [faults.zone_without_track(zone, machine, free) for zone in lost]
    if position is not None and (lacking := _lacking(machine, needing)[position]):
        wrong.append(no_position(needing, position, lacking))
    return wrong


def _one_each(programme: Programme, machine: Machine) -> dict[str, int]:
    """Give zones that may be on any of several tracks one each that is no other zone's, to as many as can be.

    A zone takes the lowest that is left, and one that was given a track before moves on if that helps.
    """
    choices = {
        zone.name: sorted(track for track in set(zone.tracks.tracks) if _is_usable(track, machine))
        for zone in programme.zones
        if zone.tracks is not None and not zone.tracks.together and len(set(zone.tracks.tracks)) > 1
    }
    others = (zone.tracks for zone in programme.zones if zone.tracks and zone.name not in choices)
    taken = {track for choice in others for track in choice.tracks}
    given: dict[int, str] = {}

    def place(zone: str, tried: set[int]) -> bool:
        for track in sorted(choices[zone], key=lambda each: each in given):  # those that are left first
            if track in taken or track in tried:
                continue
            tried.add(track)
            if track not in given or place(given[track], tried):
                given[track] = zone
                return True
        return False

    for zone in choices:
        place(zone, set())
    return {zone: track for track, zone in given.items()}


def _from_zone(zone: Zone, machine: Machine, alone: Mapping[str, int], decided: list[str]) -> ZoneTracks:
    choice = zone.tracks
    assert choice is not None
    if choice.together:
        return ZoneTracks(tuple(sorted(set(choice.tracks))), choice.span)
    usable = [track for track in choice.tracks if _is_usable(track, machine)]
    if len(usable) > 1:
        others = ", ".join(str(track) for track in sorted(choice.tracks))
        taken = alone.get(zone.name, min(usable))
        decided.append(
            f"Zone {zone.name} may be on any of tracks {others}; track {taken} was taken: wire it so."
        )
    return ZoneTracks((alone.get(zone.name, min(usable or choice.tracks)),), choice.span)


def _from_position(zone: Zone, position: Position | None) -> ZoneTracks | None:
    if position is None:
        return None
    tracks = tuple(sorted({track for name, track in position.wirings if name == zone.name}))
    return ZoneTracks(tracks, position.span) if tracks else None


def _is_usable(track: int, machine: Machine) -> bool:
    return _is_there(track, machine) and all(track != broken for broken, _ in machine.out_of_use)


def _is_there(track: int, machine: Machine) -> bool:
    # A machine that says nothing of its tracks may have any number of them.
    return track >= 1 and (not machine.tracks or track <= len(machine.tracks))


def _judge(zone: Zone, placed: ZoneTracks, machine: Machine) -> list[Diagnostic]:
    named = zone.tracks.tracks if zone.tracks is not None else placed.tracks
    absent = sorted({track for track in named if not _is_there(track, machine)})
    if absent:
        return [faults.track_beyond_machine(zone, track, placed.span, machine) for track in absent]
    broken = dict(machine.out_of_use)
    return [
        faults.track_out_of_use(zone, track, placed.span, broken[track])
        for track in placed.tracks
        if track in broken
    ]


def _free_track(programme: Programme, machine: Machine) -> int | None:
    """Return the lowest track that is in use on the machine and that no zone names."""
    named = {track for zone in programme.zones if zone.tracks for track in zone.tracks.tracks}
    numbers = range(1, len(machine.tracks) + 1)
    return next((n for n in numbers if n not in named and _is_usable(n, machine)), None)


def rows_ahead_of(machine: Machine, track: int) -> int | None:
    """Return how many rows ahead of the shown label a track is read; None where nobody has said."""
    own = [reads.rows.amount for reads in machine.reads if reads.track == track]
    every = [reads.rows.amount for reads in machine.reads if reads.track is None]
    return next(iter(own + every), None)


def zones_by_track(by_zone: Mapping[str, ZoneTracks]) -> dict[int, tuple[str, ...]]:
    """Return the zones on each track, in alphabetical order."""
    zones: dict[int, list[str]] = defaultdict(list)
    for name in sorted(by_zone):
        for track in by_zone[name].tracks:
            zones[track].append(name)
    return {track: tuple(names) for track, names in zones.items()}
