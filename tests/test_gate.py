"""How long the gate is set, from what the signals tolerate.

Worked out by hand: with a clean start a ring sounds for the gate's length, plus the release and less the
operation of the relay (formula F12 of the physics of tape machines, nominal; common practice, no published
source).
"""

import pytest

from chime.programme.equipment import Gate, Machine, Named
from chime.programme.model import Signal
from chime.tape.gate import set_gate
from chime.tape.model import GateSetting
from tests import tape_factory as made


def signal(name: str, length_s: float, within_s: float) -> Signal:
    return Signal(name, round(length_s * 1000), round(within_s * 1000), None, made.spot(f"signal {name}"))


def machine(
    shortest: float | None, longest: float | None = None, *, operates: float = 0, releases: float = 0
) -> Machine:
    length = None if shortest is None else made.seconds(shortest)
    most = None if longest is None else made.seconds(longest)
    gate = Gate(made.seconds(8), length, most, None, made.spot("gate"))
    relay = tuple(
        Named(name, made.seconds(value), None, made.NOWHERE)
        for name, value in (("operates", operates), ("releases", releases))
    )
    return made.day_machine()._replace(gate=gate, relay=relay)


def setting(of: Machine, *signals: Signal) -> tuple[float, float]:
    found = set_gate(of, signals)
    assert isinstance(found, GateSetting)
    return found.length_us / 1e6, found.sounds_us / 1e6


def headlines(of: Machine, *signals: Signal) -> list[str]:
    found = set_gate(of, signals)
    assert isinstance(found, list)
    return [fault.headline for fault in found]


def test_a_fixed_gate_is_what_it_is_and_a_ring_longer_by_what_the_relay_lags() -> None:
    # 6 s, and 20 ms of release less 30 ms of operation.
    assert setting(machine(6, operates=0.03, releases=0.02), signal("lesson", 6, 1.5)) == (6.0, 5.99)


@pytest.mark.parametrize(
    ("signals", "length"),
    [
        ([signal("lesson", 6, 2)], 6.0),  # 4 to 8: the middle
        ([signal("lesson", 6, 2), signal("short", 5, 2)], 5.5),  # 4 to 7
        ([signal("lesson", 6, 2), signal("short", 4, 0.2)], 4.0),  # 4 to 4.2: 4.1 lies nearest to 4.0
        ([signal("lesson", 6, 2), signal("short", 3.9, 0.3)], 4.0),  # 4 to 4.2
        ([signal("exact", 5.2, 0.1)], 5.2),  # 5.1 to 5.3 holds no half second
        ([signal("long", 14, 3)], 11.5),  # 11 to 17, but the gate reaches no further than 12
    ],
)
def test_an_adjustable_gate_is_set_to_the_middle_of_what_all_tolerate(
    signals: list[Signal], length: float
) -> None:
    assert setting(machine(2, 12), *signals)[0] == length


def test_signals_that_share_no_length_are_named() -> None:
    assert headlines(machine(2, 12), signal("pip", 3, 0.5), signal("blast", 9, 1)) == [
        "no length of the gate suits both signal pip and signal blast"
    ]


def test_each_signal_that_the_gate_cannot_reach_is_named() -> None:
    assert headlines(machine(2, 4), signal("lesson", 6, 1), signal("long", 7, 1.5)) == [
        "the gate lets a bell sound for 2 s to 4 s, which signal lesson does not tolerate",
        "the gate lets a bell sound for 2 s to 4 s, which signal long does not tolerate",
    ]


@pytest.mark.parametrize("of", [made.day_machine(), machine(None)])
def test_a_machine_that_says_no_length_has_none_set(of: Machine) -> None:
    assert set_gate(of, [signal("lesson", 6, 2)]) is None


def test_nothing_is_set_for_no_signal() -> None:
    assert set_gate(machine(6), []) is None
