"""Machines: from their text to the values that are held, in every form of every line."""

from pathlib import Path
from typing import Any

import pytest

from tests.built_machines import ALL_FORMS, HELD_OF_ALL_FORMS, ZONES, held, machine_of, sound

# ------------------------------------------------------------- the sample machines
#
# The values are those of the three sample machines, whose files say that they are invented. They were
# turned into nanometres and microseconds by hand.


SAMPLES = Path(__file__).parent / "samples"


HALL, WORKS, COLLEGE = (
    (SAMPLES / f"{name}-machine.chime").read_text("utf-8") for name in ("hall", "works", "college")
)

HELD = {
    HALL: {
        "name": "hall",
        "cycle": "86400000000 us",
        "row_interval": "60000000 us",
        "pitch": "2540000 nm",
        "sprocket": {"pitch": "2540000 nm", "hole": "1170000 nm", "from_edge": "9960000 nm"},
        "tape_width": "25400000 nm",
        "tape_thickness": "100000 nm",
        "drive": {"kind": "steps", "travel": "250000 us"},
        "tracks": (
            "2340000 nm",
            "4880000 nm",
            "7420000 nm",
            "12500000 nm",
            "15040000 nm",
            "17580000 nm",
            "20120000 nm",
            "22660000 nm",
        ),
        "hole": {"shape": "round", "along": "1830000 nm", "within": "50000 nm"},
        "finger": {"mode": "drops in", "tip": "round", "along": "800000 nm", "within": "50000 nm"},
        "side_play": "200000 nm",
        "reads": ({"rows": "3"},),
        "gate": {"closes": "8000000 us", "length": "6000000 us", "within": "500000 us"},
        "relay": (
            {"name": "bounces", "value": "20000 us"},
            {"name": "operates", "value": "30000 us"},
            {"name": "releases", "value": "20000 us"},
        ),
        "errors": (
            {"name": "detent", "value": "80000 nm"},
            {"name": "jig", "value": "100000 nm"},
            {"name": "registration", "value": "50000 nm"},
            {"name": "stretch", "value": "200 ppm", "over": "20000000 nm"},
        ),
        "web": "300000 nm",
        "joint_rows": "12",
        "day_wheels": ({"weekdays": (5, 6)},),
        "switches": {"kind": "each zone"},
        "attended": ({"weekdays": (0, 1, 2, 3, 4), "start": 27_900, "end": 59_400},),
        "reserve": "50000 ppm",
    },
    WORKS: {
        "name": "works",
        "cycle": "604800000000 us",
        "row_interval": "300000000 us",
        "pitch": "4750000 nm",
        "sprocket": {"pitch": "4750000 nm", "hole": "1980000 nm", "from_edge": "2010000 nm"},
        "tape_width": "35000000 nm",
        "tape_thickness": "140000 nm",
        "drive": {"kind": "steps", "travel": "400000 us"},
        "tracks": ("8000000 nm", "13000000 nm", "18000000 nm", "23000000 nm"),
        "hole": {
            "shape": "slot",
            "along": "2400000 nm",
            "across": "1600000 nm",
            "ends": "rounded",
            "within": "50000 nm",
        },
        "finger": {"mode": "drops in", "tip": "round", "along": "900000 nm", "within": "50000 nm"},
        "side_play": "250000 nm",
        "reads": ({"rows": "0"},),
        "gate": {
            "closes": "6000000 us",
            "length": "2000000 us",
            "longest": "15000000 us",
            "within": "500000 us",
        },
        "relay": (
            {"name": "bounces", "value": "20000 us"},
            {"name": "operates", "value": "30000 us"},
            {"name": "releases", "value": "60000 us"},
        ),
        "errors": (
            {"name": "detent", "value": "100000 nm"},
            {"name": "jig", "value": "150000 nm"},
            {"name": "registration", "value": "50000 nm"},
            {"name": "stretch", "value": "200 ppm", "over": "25000000 nm"},
        ),
        "web": "400000 nm",
        "joint_rows": "4",
        "switches": {"kind": "each zone"},
        "attended": ({"weekdays": (0, 1, 2, 3, 4), "start": 19_800, "end": 81_000},),
    },
    COLLEGE: {
        "name": "college",
        "cycle": "43200000000 us",
        "row_interval": "60000000 us",
        "pitch": "1500000 nm",
        "sprocket": {"pitch": "3000000 nm", "hole": "1000000 nm", "from_edge": "1500000 nm"},
        "tape_width": "30000000 nm",
        "tape_thickness": "180000 nm",
        "drive": {"kind": "steady"},
        "tracks": ("6000000 nm", "9000000 nm", "12000000 nm", "15000000 nm"),
        "hole": {"shape": "round", "along": "1200000 nm", "within": "50000 nm"},
        "finger": {"mode": "brushes", "tip": "rectangle", "along": "500000 nm", "across": "400000 nm"},
        "side_play": "200000 nm assumed",
        "reads": (
            {"rows": "4", "track": 1},
            {"rows": "6", "track": 2},
            {"rows": "4", "track": 3},
            {"rows": "6", "track": 4},
        ),
        "gate": {
            "closes": "0 us",
            "length": "2000000 us",
            "longest": "15000000 us",
            "within": "500000 us",
        },
        "day_wheels": ({"weekdays": (5, 6)},),
        "daily_silences": ({"start": 58_500, "end": 29_700},),
        "switches": {"kind": "each zone"},
        "attended": ({"weekdays": (0, 1, 2, 3, 4), "start": 28_800, "end": 57_600},),
    },
}


@pytest.mark.parametrize("text", HELD, ids=["hall", "works", "college"])
def test_every_value_of_a_sample_machine_is_held(text: str) -> None:
    assert held(sound(text).machine) == HELD[text]


def test_values_know_where_they_were_written() -> None:
    machine = sound(HALL).machine
    assert machine.hole is not None
    assert machine.hole.within is not None
    place = machine.hole.within.span
    assert (place.line, place.column, place.text) == (9, 34, "0.05 mm")
    assert (machine.tracks[2].span.line, machine.tracks[2].span.text) == (8, "7.42")
    assert machine.span.text == "machine hall"


def test_a_machine_that_says_everything_holds_everything() -> None:
    assert held(sound(ZONES + ALL_FORMS).machine) == HELD_OF_ALL_FORMS


def test_a_machine_that_says_nothing_holds_nothing() -> None:
    assert held(sound("machine bare\n").machine) == {"name": "bare"}


@pytest.mark.parametrize(
    ("line", "field", "expected"),
    [
        ("loop 24 h", "cycle", "86400000000 us"),
        ("loop 24 h", "row_interval", None),
        ("loop 90 s in rows of 1500 ms", "row_interval", "1500000 us"),
        ("friction", "friction", "friction"),
        ("sprocket hole 1.17 mm", "sprocket", {"hole": "1170000 nm"}),
        ("tape 25.4 mm wide", "tape_width", "25400000 nm"),
        ("tape 25.4 mm wide", "tape_thickness", None),
        ("drive steady", "drive", {"kind": "steady"}),
        ("drive steps", "drive", {"kind": "steps"}),
        ("drive steps after 0 s", "drive", {"kind": "steps", "lag": "0 us"}),
        ("tracks at 5 mm", "tracks", ("5000000 nm",)),
        ("hole round", "hole", {"shape": "round"}),
        ("hole round within 0.05 mm", "hole", {"shape": "round", "within": "50000 nm"}),
        ("hole round, within 0 mm", "hole", {"shape": "round", "within": "0 nm"}),
        ("hole slot", "hole", {"shape": "slot"}),
        ("hole slot, rounded", "hole", {"shape": "slot", "ends": "rounded"}),
        (
            "hole slot 1.8 mm by 1.3 mm",
            "hole",
            {"shape": "slot", "along": "1800000 nm", "across": "1300000 nm"},
        ),
        ("finger drops in", "finger", {"mode": "drops in"}),
        ("finger brushes", "finger", {"mode": "brushes"}),
        ("finger round 0.8 mm", "finger", {"tip": "round", "along": "800000 nm"}),
        (
            "finger round 0.8 mm, drops in",
            "finger",
            {"mode": "drops in", "tip": "round", "along": "800000 nm"},
        ),
        (
            "finger brushes, 0.60 mm by 0.45 mm within 0.05 mm",
            "finger",
            {
                "mode": "brushes",
                "tip": "rectangle",
                "along": "600000 nm",
                "across": "450000 nm",
                "within": "50000 nm",
            },
        ),
        ("side play 0 mm", "side_play", "0 nm"),
        ("reads 1 row ahead assumed", "reads", ({"rows": "1 assumed"},)),
        ("reads 3 rows ahead assumed on track 2", "reads", ({"rows": "3 assumed", "track": 2},)),
        ("gate", "gate", {}),
        ("gate at 8 s", "gate", {"closes": "8000000 us"}),
        ("gate for 6 s within 0.5 s", "gate", {"length": "6000000 us", "within": "500000 us"}),
        ("no gate", "no_gate", "no gate"),
        ("relay bounces 0 ms", "relay", ({"name": "bounces", "value": "0 us"},)),
        ("errors stretch 0 %", "errors", ({"name": "stretch", "value": "0 ppm"},)),
        ("errors skew 0.5 degrees", "errors", ({"name": "skew", "value": "500000 udeg"},)),
        ("costs hand ring 0.5 min", "costs", ({"name": "hand ring", "value": "30000000 us"},)),
        ("joint lap of 0 rows", "joint_rows", "0"),
        ("joint lap of 1 row assumed", "joint_rows", "1 assumed"),
        ("silenced Sat", "day_wheels", ({"weekdays": (5,)},)),
        ("silenced Sun to Mon", "day_wheels", ({"weekdays": (0, 6)},)),
        ("silenced Sat everywhere", "day_wheels", ({"weekdays": (5,)},)),
        ("silenced Sat in everywhere", "day_wheels", ({"weekdays": (5,)},)),
        ("silenced Sat in lessons", "day_wheels", ({"weekdays": (5,), "zones": ("hall", "main")},)),
        ("silenced 18:00 - 31:00", "daily_silences", ({"start": 64_800, "end": 25_200},)),
        ("silenced 18:00 - 24:00", "daily_silences", ({"start": 64_800, "end": 86_400},)),
        ("silenced 09:00 - 33:00", "daily_silences", ({"start": 32_400, "end": 32_400},)),
        ("switches all together", "switches", {"kind": "all together"}),
        ("switches everywhere", "switches", {"kind": "each zone"}),
        ("switches lessons", "switches", {"kind": "some zones", "zones": ("hall", "main")}),
        ("selector 1 position", "selector_positions", "1"),
        ("wear 0 mm", "wear", "0 nm"),
        ("web at least 0 mm", "web", "0 nm"),
        (
            "attended Sun to Mon 09:00 - 12:00",
            "attended",
            ({"weekdays": (0, 6), "start": 32_400, "end": 43_200},),
        ),
        ("contacts tied", "contacts", ("tied", "contacts tied")),
        ("attended Mon 22:00 - 30:00", "attended", ({"weekdays": (0,), "start": 79_200, "end": 108_000},)),
        ("allowance -0.80 mm", "allowance", {"value": "-800000 nm"}),
        ("allowance +0.02 mm within 0.03 mm", "allowance", {"value": "20000 nm", "within": "30000 nm"}),
        ("allowance 0 mm", "allowance", {"value": "0 nm"}),
        ("wheel", "wheel", {}),
        ("wheel 24 pins", "wheel", {"pins": "24"}),
        ("wheel 1.00 mm", "wheel", {"pin": "1000000 nm"}),
        ("wheel over 150 degrees", "wheel", {"wrap": "150000000 udeg"}),
        ("reserve 0 %", "reserve", "0 ppm"),
        ("reserve 100 %", "reserve", "1000000 ppm"),
    ],
)
def test_other_forms_of_a_line(line: str, field: str, expected: Any) -> None:
    assert held(getattr(machine_of(line), field)) == expected


def test_zones_of_a_machine_may_have_words_of_the_language_for_names() -> None:
    text = "zone turning\nzone each\nmachine tower\n  silenced Sat in turning\n  switches each, turning\n"
    machine = sound(text).machine
    assert machine.day_wheels[0].zones == ("turning",)
    assert machine.switches is not None
    assert machine.switches.zones == ("each", "turning")


def test_the_zones_of_equal_daily_silences_settle_their_order() -> None:
    lines = ["silenced 18:00 - 07:00 in yard", "silenced 18:00 - 07:00", "silenced 18:00 - 07:00 in main"]
    for order in (lines, lines[::-1]):
        assert [silence.zones for silence in machine_of(*order).daily_silences] == [
            None,
            ("main",),
            ("yard",),
        ]


def test_several_windows_of_a_weekday_may_be_attended() -> None:
    machine = machine_of("attended Mon 13:00 - 16:00", "attended Mon 07:00 - 12:00")
    assert [(hours.start, hours.end) for hours in machine.attended] == [(25_200, 43_200), (46_800, 57_600)]
