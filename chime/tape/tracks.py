"""Which tracks of the tape each zone is on, and how far ahead their fingers stand."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from chime.diagnostics import Diagnostic, Span
from chime.programme.equipment import Machine
from chime.programme.model import Programme, Zone
from chime.tape import faults


class ZoneTracks(NamedTuple):
    """The tracks on which each hole of a zone is punched, and the text that says so."""

    tracks: tuple[int, ...]
    span: Span


class Wiring(NamedTuple):
    """The tracks of every zone that could be placed, and what was taken for granted."""

    by_zone: Mapping[str, ZoneTracks]
    unchecked: tuple[str, ...]
    diagnostics: tuple[Diagnostic, ...]


def wire(programme: Programme, machine: Machine, ringing: Iterable[str]) -> Wiring:
    """Choose the tracks of each zone: its own, else those of the first selector position that wires it.

    Every track that a zone names is judged; only a zone that rings needs one. Of tracks to choose from the
    lowest in use is taken.
    """
    rings = set(ringing)
    by_zone: dict[str, ZoneTracks] = {}
    unchecked: list[str] = []
    diagnostics: list[Diagnostic] = []
    for zone in programme.zones:
        if zone.tracks is None:
            placed = _from_positions(zone, machine, unchecked)
            if placed is None and zone.name in rings:
                diagnostics.append(faults.zone_without_track(zone, machine, _free_track(programme, machine)))
        else:
            placed = _from_zone(zone, machine, unchecked)
        if placed is not None:
            wrong = _judge(zone, placed, machine)
            diagnostics += wrong
            if not wrong:
                by_zone[zone.name] = placed
    return Wiring(by_zone, tuple(unchecked), tuple(diagnostics))


def _from_zone(zone: Zone, machine: Machine, unchecked: list[str]) -> ZoneTracks:
    choice = zone.tracks
    assert choice is not None
    if choice.together:
        return ZoneTracks(tuple(sorted(set(choice.tracks))), choice.span)
    usable = [track for track in choice.tracks if _is_usable(track, machine)]
    if len(usable) > 1:
        others = ", ".join(str(track) for track in sorted(choice.tracks))
        unchecked.append(f"Zone {zone.name} may be on any of tracks {others}; track {min(usable)} was taken.")
    return ZoneTracks((min(usable or choice.tracks),), choice.span)


def _from_positions(zone: Zone, machine: Machine, unchecked: list[str]) -> ZoneTracks | None:
    for position in sorted(machine.positions, key=lambda each: each.number):
        tracks = tuple(sorted({track for name, track in position.wirings if name == zone.name}))
        if tracks:
            unchecked.append(
                f"Zone {zone.name} is laid out as selector position {position.number} wires it; "
                "when the selector stands where has not been planned."
            )
            return ZoneTracks(tracks, position.span)
    return None


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
