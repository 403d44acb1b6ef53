"""Supplies, lines of clocks, loads and cables: from their text to the values that are held."""

import pytest

from chime.diagnostics import Diagnostic
from chime.programme.equipment import Line, Supply
from chime.programme.supplies import check_taps
from tests.built_machines import build, held, sound

# ------------------------------------------------------------ supplies, lines and loads


ELECTRICAL = """\
supply bell-supply 12 V 8 A short-time 9 A for 15 s
supply clock-supply 24 V assumed 2 A assumed
supply spare 12.5 V 800 mA short-time 0.9 A assumed for 1 min assumed
zone main on track 1
  bells 3 at 420 mA each fed by bell-supply
  cable 2.5 mm2, bells at 25, 60, 105 m
zone yard
  bells 2 at 75 ohm assumed each
  cable AWG 16, every 8 m
zone hall
  cable AWG 0, bells at 0, 2500 mm
zone gym
  cable 1.0 mm2 assumed, every 5 m assumed
line dials fed by clock-supply
  clocks 22 at 12 mA each
  cable 0.75 mm2, every 6 m
line tower fed by spare
  cable AWG 40, clocks at 3, 6 m assumed
  clocks 2 at 1500 ohm each
line empty fed by spare
"""


def test_every_form_of_a_supply_a_line_a_load_and_a_cable_is_held() -> None:
    built = sound(ELECTRICAL)
    assert held(tuple(built.supplies)) == (
        {
            "name": "bell-supply",
            "voltage": "12000000 uV",
            "current": "8000000 uA",
            "short_time": "9000000 uA",
            "short_time_for": "15000000 us",
        },
        {"name": "clock-supply", "voltage": "24000000 uV assumed", "current": "2000000 uA assumed"},
        {
            "name": "spare",
            "voltage": "12500000 uV",
            "current": "800000 uA",
            "short_time": "900000 uA assumed",
            "short_time_for": "60000000 us assumed",
        },
    )
    assert held(tuple(built.bells)) == (
        {"number": 3, "each": "420000 uA", "supply": "bell-supply"},
        {"number": 2, "each": "75000000 uohm assumed"},
    )
    assert held(tuple(built.cables)) == (
        {
            "cross_section": "2500000000000 nm2",
            "taps": ("25000000000 nm", "60000000000 nm", "105000000000 nm"),
        },
        {"wire_gauge": 16, "every": "8000000000 nm"},
        {"wire_gauge": 0, "taps": ("0 nm", "2500000000 nm")},
        {"cross_section": "1000000000000 nm2 assumed", "every": "5000000000 nm assumed"},
    )
    assert held(tuple(built.lines)) == (
        {
            "name": "dials",
            "supply": "clock-supply",
            "clocks": {"number": 22, "each": "12000 uA"},
            "cable": {"cross_section": "750000000000 nm2", "every": "6000000000 nm"},
        },
        {"name": "empty", "supply": "spare"},
        {
            "name": "tower",
            "supply": "spare",
            "clocks": {"number": 2, "each": "1500000000 uohm"},
            "cable": {"wire_gauge": 40, "taps": ("3000000000 nm assumed", "6000000000 nm assumed")},
        },
    )


def test_supplies_and_lines_know_where_they_were_written() -> None:
    built = sound(ELECTRICAL)
    supply, line = built.supplies[0], built.lines[0]
    assert isinstance(supply, Supply)
    assert isinstance(line, Line)
    assert (supply.span.line, supply.current.span.column) == (1, 25)
    assert (line.span.line, line.span.text) == (14, "line dials fed by clock-supply")


def test_a_supply_with_an_unknown_value_and_a_line_with_an_unknown_supply_are_left_out() -> None:
    built = build(
        "supply bells 24 A 5 A\nsupply more 24 V 5 A short-time 6 A for 10 V\nline dials fed by bell\n"
    )
    assert built.supplies == [None, None]
    assert built.lines == [None]
    assert sorted(d.code.id for d in built.faults) == ["N304", "N304", "N326"]


def test_a_supply_may_give_no_more_for_a_short_time_than_always() -> None:
    (supply,) = sound("supply s 24 V 5 A short-time 5 A for 10 s\n").supplies
    assert supply is not None
    assert held(supply.short_time) == "5000000 uA"


@pytest.mark.parametrize(
    "line",
    ["bells 1.5 at 20 mA each", "bells 4 at 20 V each", "cable 1.5 mm, every 5 m", "cable AWG 1, every 5 s"],
)
def test_a_load_or_a_cable_with_a_fault_is_not_held(line: str) -> None:
    built = build(
        f"zone main\n  {line}\nsupply s 24 V 5 A\nline d fed by s\n  {line.replace('bells', 'clocks')}\n"
    )
    assert len(built.faults) == 2
    assert built.bells + built.cables == [None]
    assert held(tuple(built.lines)) == ({"name": "d", "supply": "s"},)


@pytest.mark.parametrize("line", ["clocks 2 at 9 mA each", "cable AWG 1, every 5 m"])
def test_a_line_said_twice_is_called_by_its_first_word(line: str) -> None:
    (fault,) = build(f"supply s 24 V 5 A\nline d fed by s\n  {line}\n  {line}\n").faults
    assert fault.headline == f'"{line.split()[0]}" is said twice in this block'


def test_taps_are_held_against_the_number_of_bells_too() -> None:
    built = sound("zone main\n  bells 4 at 350 mA each\n  cable 2.5 mm2, bells at 25, 60 m\n")
    bells, cable = built.bells[0], built.cables[0]
    assert bells is not None
    faults: list[Diagnostic] = []
    check_taps(bells.number, bells.span, cable, faults)
    assert [(d.code.id, d.labels[0].span.line, d.labels[1].span.line) for d in faults] == [("N418", 3, 2)]
    check_taps(2, bells.span, cable, faults)
    check_taps(4, bells.span, None, faults)
    assert len(faults) == 1
