"""How long the gate must stay closed, so that each signal sounds as long as it may.

With a clean start and a gate that breaks the load, a ring sounds for the gate's length, longer by the time
the relay takes to release and shorter by the time it takes to operate (formula F12, nominal).
"""

from collections.abc import Iterable

from chime.diagnostics import Diagnostic
from chime.programme.equipment import Machine
from chime.programme.model import Signal
from chime.tape.machine_faults import gate_cannot_give, signals_do_not_agree
from chime.tape.model import GateSetting

_HALF_SECOND = 500_000


def set_gate(machine: Machine, signals: Iterable[Signal]) -> GateSetting | list[Diagnostic] | None:
    """Choose the gate's length from what all signals that ring allow, or say why none will do.

    None where the machine says no length of its gate, or has none. Of an adjustable gate the middle of what
    is allowed is taken, at the nearest half second if that is allowed too.
    """
    gate, wanted = machine.gate, sorted(signals)
    if gate is None or gate.length is None or not wanted:
        return None
    longer = _relay(machine, "releases") - _relay(machine, "operates")
    allowed = [(_allowed(signal)[0] - longer, _allowed(signal)[1] - longer) for signal in wanted]
    low, high = max(a for a, _ in allowed), min(b for _, b in allowed)
    if low > high:
        return [signals_do_not_agree(wanted, gate)]
    shortest = gate.length.amount
    longest = shortest if gate.longest is None else gate.longest.amount
    out_of_reach = [s for s, (a, b) in zip(wanted, allowed, strict=True) if b < shortest or a > longest]
    if (
        out_of_reach
    ):  # otherwise all have a length in common: stretches of which each two meet, meet all together
        return [
            gate_cannot_give(signal, gate, shortest + longer, longest + longer) for signal in out_of_reach
        ]
    length = _choose(max(low, shortest), min(high, longest))
    closes = None if gate.closes is None else gate.closes.amount
    return GateSetting(closes, length, length + longer)


def _choose(low: int, high: int) -> int:
    middle = (low + high) // 2
    nearest = (middle + _HALF_SECOND // 2) // _HALF_SECOND * _HALF_SECOND
    return nearest if low <= nearest <= high else middle


def _allowed(signal: Signal) -> tuple[int, int]:
    length, within = signal.length_ms * 1000, signal.tolerance_ms * 1000
    return length - within, length + within


def _relay(machine: Machine, name: str) -> int:
    return next((part.value.amount for part in machine.relay if part.name == name), 0)
