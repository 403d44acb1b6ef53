"""The machine as the plan takes it: what a player needs of it, and what is set on it."""

from typing import Any

from chime.clock import WEEKDAYS, write_time
from chime.programme.equipment import Machine
from chime.tape.model import GateSetting, Operation


def describe_machine(machine: Machine, operation: Operation) -> dict[str, Any]:
    """Return the machine of the plan, in whole seconds and nanometres; None is what nobody has said."""
    cycle, row, pitch = machine.cycle, machine.row_interval, machine.pitch
    return {
        "name": machine.name,
        "cycle_s": None if cycle is None else cycle.amount // 1_000_000,
        "row_s": None if row is None else row.amount // 1_000_000,
        "rows": None if cycle is None or row is None else cycle.amount // row.amount,
        "pitch_nm": None if pitch is None else pitch.amount,
        "tracks": _tracks(machine, operation),
        "masks": _masks(machine),
        "switches": _switches(machine),
        "positions": [
            {
                "position": position.number,
                "wirings": [{"zone": zone, "track": track} for zone, track in position.wirings],
            }
            for position in machine.positions
        ],
        "contacts": "tied" if machine.contacts is None else machine.contacts[0],
        "out_of_use": [track for track, _ in machine.out_of_use],
        "attended": [
            {
                "weekdays": [WEEKDAYS[day] for day in hours.weekdays],
                "from": write_time(hours.start),
                "until": write_time(hours.end),
            }
            for hours in machine.attended
        ],
        "gate": None if operation.gate is None else _gate(operation.gate),
    }


def _tracks(machine: Machine, operation: Operation) -> list[dict[str, Any]]:
    """Return every track of the machine; of one that does not say where they are, those that are wired."""
    own = {reads.track: reads.rows.amount for reads in machine.reads}
    places = {track: at.amount for track, at in enumerate(machine.tracks, start=1)}
    wired = {track for tracks in operation.tracks_by_zone.values() for track in tracks}
    return [
        {"track": track, "across_nm": places.get(track), "rows_ahead": own.get(track, own.get(None))}
        for track in sorted(wired | places.keys())
    ]


def _masks(machine: Machine) -> list[dict[str, Any]]:
    wheels = [
        {
            "by": "day wheel",
            "weekdays": [WEEKDAYS[day] for day in wheel.weekdays],
            "turning": None if wheel.turning_at is None else write_time(wheel.turning_at),
            "within_s": None if wheel.within is None else wheel.within.amount // 1_000_000,
            "zones": None if wheel.zones is None else list(wheel.zones),
        }
        for wheel in machine.day_wheels
    ]
    windows = [
        {
            "by": "time switch",
            "from": write_time(window.start),
            "until": write_time(window.end),
            "zones": None if window.zones is None else list(window.zones),
        }
        for window in machine.daily_silences
    ]
    return [*wheels, *windows]


def _switches(machine: Machine) -> dict[str, Any]:
    switches = machine.switches
    if switches is None:
        return {"kind": "all together", "zones": []}
    return {"kind": switches.kind, "zones": list(switches.zones)}


def _gate(gate: GateSetting) -> dict[str, Any]:
    closes = None if gate.closes_us is None else gate.closes_us / 1_000_000
    return {
        "closes_s": closes,
        "length_s": gate.length_us / 1_000_000,
        "sounds_s": gate.sounds_us / 1_000_000,
    }
