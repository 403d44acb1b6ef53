"""Machines, supplies and lines: from their text to the values that are held, and every fault of the text."""

import re
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import Any

import pytest

from chime.diagnostics import Diagnostic, Source, Span
from chime.parsing.parser import read_blocks
from chime.parsing.tree import Document
from chime.programme import machine_faults
from chime.programme.equipment import Bells, Cable, Count, Line, Machine, Supply, Value
from chime.programme.machine import build_machine
from chime.programme.names import Names
from chime.programme.supplies import build_line, build_supply, check_taps, read_bells, read_cable

ZONES = "zone main on track 1\nzone yard on track 4\nzone hall\ngroup lessons main, hall\n"


class Built:
    """What is built from a text, with all its faults; the text holds no fault of shape."""

    def __init__(self, text: str) -> None:
        self.source = Source("machine.chime", text)
        read = read_blocks(self.source)
        self.unread = read.diagnostics
        names = Names(Document(self.source, read.blocks, read.is_whole))
        faults: list[Diagnostic] = []
        self.machines = [build_machine(b, names, faults) for b in read.blocks if b.kind == "machine"]
        self.supplies = [build_supply(d, names, faults) for d in names.declared("supply")]
        self.lines = [build_line(d, names, faults) for d in names.declared("line")]
        self.bells: list[Bells | None] = []
        self.cables: list[Cable | None] = []
        for block in read.blocks:
            for line in block.lines if block.kind == "zone" else ():
                if line.rule == "bells_line":
                    self.bells.append(read_bells(line, names, faults))
                else:
                    self.cables.append(read_cable(line, faults))
        self.faults = [*names.diagnostics, *faults]

    @property
    def machine(self) -> Machine:
        assert len(self.machines) == 1
        return self.machines[0]


def build(text: str) -> Built:
    built = Built(text)
    assert [d.headline for d in built.unread] == []
    return built


def sound(text: str) -> Built:
    """What is built from a text in which nothing is wrong."""
    built = build(text)
    assert [d.headline for d in built.faults] == []
    return built


def machine_of(*lines: str) -> Machine:
    """The machine of some lines, in which nothing is wrong."""
    return sound(ZONES + "machine tower\n  " + "\n  ".join(lines) + "\n").machine


def held(record: Any) -> Any:
    """A record as plain values: what is said in it by field, without the places in the text.

    A value reads `2540000 nm`, or `2540000 nm assumed`; a place that stands for a line is its text.
    """
    if isinstance(record, Value):
        return f"{record.amount} {record.unit}" + (" assumed" if record.assumed else "")
    if isinstance(record, Count):
        return f"{record.amount}" + (" assumed" if record.assumed else "")
    if isinstance(record, Span):
        return " ".join(record.text.split())
    if hasattr(record, "_asdict"):
        fields = {name: held(value) for name, value in record._asdict().items() if name != "span"}
        return {name: value for name, value in fields.items() if value is not None and value != ()}
    if isinstance(record, tuple):
        return tuple(held(each) for each in record)
    return record


def leaves(plain: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every value that is held, with its path; a named value stands under its name."""
    if isinstance(plain, dict):
        inside = f"{path}/{plain['name']}" if {"name", "value"} <= set(plain) else path
        for name, value in plain.items():
            yield from leaves(value, f"{inside}/{name}")
    elif isinstance(plain, tuple):
        for number, value in enumerate(plain):
            is_named = isinstance(value, dict) and {"name", "value"} <= set(value)
            yield from leaves(value, path if is_named else f"{path}/{number}")
    else:
        yield path, plain


def values(record: Any) -> Iterator[Value]:
    """Every measured value of a record."""
    if isinstance(record, Value):
        yield record
    elif isinstance(record, tuple) and not isinstance(record, Span):
        for inner in record:
            yield from values(inner)


# ------------------------------------------------------------- the sample machines
#
# The values are those of the three sample machines, whose files say that they are invented. They were
# turned into nanometres and microseconds by hand.

HALL = """\
# An invented tape machine: a 24-hour loop, one row a minute, on inch-wide punched paper tape.
machine hall
  loop      24 h in rows of 1 min
  row       2.54 mm
  tape      25.4 mm wide, 0.1 mm thick
  sprocket  every 2.54 mm, hole 1.17 mm, 9.96 mm from the guided edge
  drive     steps in 0.25 s
  tracks    at 2.34, 4.88, 7.42, 12.50, 15.04, 17.58, 20.12, 22.66 mm from the guided edge
  hole      round 1.83 mm within 0.05 mm
  finger    drops in, round 0.80 mm within 0.05 mm
  side play 0.20 mm
  reads     3 rows ahead
  gate      at 8 s for 6 s, within 0.5 s
  relay     operates 30 ms, releases 20 ms, bounces 20 ms
  errors    jig 0.10 mm, registration 0.05 mm, detent 0.08 mm, stretch 0.02 % over 20 mm
  web       at least 0.30 mm
  reserve   5 %
  joint     lap of 12 rows
  silenced  Sat, Sun
  switches  each zone
  attended  Mon to Fri 07:45 - 16:30
"""

WORKS = """\
# An invented tape machine: a week-long loop, one row every five minutes, on sprocket-driven film.
machine works
  loop      7 d in rows of 5 min
  row       4.75 mm
  tape      35 mm wide, 0.14 mm thick
  sprocket  every 4.75 mm, hole 1.98 mm, 2.01 mm from the guided edge
  drive     steps in 0.4 s
  tracks    at 8.0, 13.0, 18.0, 23.0 mm from the guided edge
  hole      slot 2.4 mm by 1.6 mm, rounded, within 0.05 mm
  finger    drops in, round 0.90 mm within 0.05 mm
  side play 0.25 mm
  reads     0 rows ahead
  gate      at 6 s for 2 s to 15 s, within 0.5 s
  relay     operates 30 ms, releases 60 ms, bounces 20 ms
  errors    jig 0.15 mm, registration 0.05 mm, detent 0.10 mm, stretch 0.02 % over 25 mm
  web       at least 0.40 mm
  joint     lap of 4 rows
  switches  each zone
  attended  Mon to Fri 05:30 - 22:30
"""

COLLEGE = """\
# An invented tape machine: a 12-hour loop that creeps steadily under brushes.
# Some values were never measured.
machine college
  loop      12 h in rows of 1 min
  row       1.50 mm
  tape      30 mm wide, 0.18 mm thick
  sprocket  every 3.00 mm, hole 1.00 mm, 1.50 mm from the guided edge
  drive     steady
  tracks    at 6.0, 9.0, 12.0, 15.0 mm from the guided edge
  hole      round 1.20 mm within 0.05 mm
  finger    brushes, 0.50 mm by 0.40 mm
  side play 0.20 mm assumed
  reads     4 rows ahead on track 1, 6 rows ahead on track 2, 4 rows ahead on track 3, 6 rows ahead on track 4
  gate      at 0 s for 2 s to 15 s, within 0.5 s
  silenced  16:15 - 08:15
  silenced  Sat, Sun
  switches  each zone
  attended  Mon to Fri 08:00 - 16:00
"""

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


# --------------------------------------------------------------- every form of a line

ALL_FORMS = """\
machine tower
  loop 24 h in rows of 1 min
  row 0.1 in
  sprocket 9.96 mm from the guided edge within 0.1 mm, every 2.54 mm within 0.01 mm, hole 1 mm within 0.02 mm
  tape 0.1 mm thick, 1 in wide
  drive steps in 0.25 s after 0.05 s
  tracks at 2.34, 4.88, 7.42, 12.50 mm from the guided edge
  hole slot 1.6 mm by 1.2 mm, square, within 0.05 mm
  finger drops in, ball 0.60 mm within 0.02 mm closing at 0.15 mm
  side play 0.20 mm
  reads 3 rows ahead on track 1, 1 row ahead on track 2
  reads 5 rows ahead on track 4
  gate at 8 s for 2 s to 15 s, within 0.5 s
  relay bounces 20 ms, operates 30 ms, releases 20 ms
  errors jig 0.10 mm, registration 0.05 mm, detent 0.08 mm, stretch 0.02 % over 20 mm, print 0.11 mm,
    index 0.12 mm, seam 0.13 mm, wheel 0.14 mm, across 0.15 mm, skew 0.16 mm
  web at least 0.30 mm
  joint lap of 12 rows
  silenced Sat, Sun turning at 00:30 within 10 min
  silenced Wed to Fri turning at 23:59:30 in yard
  silenced 18:00 - 07:00
  silenced 13:02 - 10:40 in yard
  switches main, yard
  selector 2 positions
  position 2 yard on track 4, yard on track 2, main on track 2
  position 1 lessons on track 1, yard on track 4
  contacts separate
  contact opens
  out of use track 2
  out of use tracks 4, 3
  attended Mon to Fri 07:45 - 16:30
  attended Sat 22:00 - 06:00
  costs tape change 12 min, selector move 1 min, silence 2 min, hand ring 3 min, new tape 90 min
  allowance 0.80 mm within 0.03 mm
  wear 0.10 mm
  wheel 24 pins 1.00 mm over 150 degrees
  reserve 5 %
"""

HELD_OF_ALL_FORMS = {
    "name": "tower",
    "cycle": "86400000000 us",
    "row_interval": "60000000 us",
    "pitch": "2540000 nm",
    "sprocket": {
        "pitch": "2540000 nm",
        "pitch_within": "10000 nm",
        "hole": "1000000 nm",
        "hole_within": "20000 nm",
        "from_edge": "9960000 nm",
        "from_edge_within": "100000 nm",
    },
    "tape_width": "25400000 nm",
    "tape_thickness": "100000 nm",
    "drive": {"kind": "steps", "travel": "250000 us", "lag": "50000 us"},
    "tracks": ("2340000 nm", "4880000 nm", "7420000 nm", "12500000 nm"),
    "hole": {
        "shape": "slot",
        "along": "1600000 nm",
        "across": "1200000 nm",
        "ends": "square",
        "within": "50000 nm",
    },
    "finger": {
        "mode": "drops in",
        "tip": "ball",
        "along": "600000 nm",
        "within": "20000 nm",
        "closing_at": "150000 nm",
    },
    "side_play": "200000 nm",
    "reads": ({"rows": "3", "track": 1}, {"rows": "1", "track": 2}, {"rows": "5", "track": 4}),
    "gate": {"closes": "8000000 us", "length": "2000000 us", "longest": "15000000 us", "within": "500000 us"},
    "relay": (
        {"name": "bounces", "value": "20000 us"},
        {"name": "operates", "value": "30000 us"},
        {"name": "releases", "value": "20000 us"},
    ),
    "errors": (
        {"name": "across", "value": "150000 nm"},
        {"name": "detent", "value": "80000 nm"},
        {"name": "index", "value": "120000 nm"},
        {"name": "jig", "value": "100000 nm"},
        {"name": "print", "value": "110000 nm"},
        {"name": "registration", "value": "50000 nm"},
        {"name": "seam", "value": "130000 nm"},
        {"name": "skew", "value": "160000 nm"},
        {"name": "stretch", "value": "200 ppm", "over": "20000000 nm"},
        {"name": "wheel", "value": "140000 nm"},
    ),
    "web": "300000 nm",
    "joint_rows": "12",
    "day_wheels": (
        {"weekdays": (2, 3, 4), "turning_at": 86_370, "zones": ("yard",)},
        {"weekdays": (5, 6), "turning_at": 1_800, "within": "600000000 us"},
    ),
    "daily_silences": (
        {"start": 46_920, "end": 38_400, "zones": ("yard",)},
        {"start": 64_800, "end": 25_200},
    ),
    "switches": {"kind": "some zones", "zones": ("main", "yard")},
    "selector_positions": "2",
    "positions": (
        {"number": 1, "wirings": (("hall", 1), ("main", 1), ("yard", 4))},
        {"number": 2, "wirings": (("main", 2), ("yard", 2), ("yard", 4))},
    ),
    "contacts": ("separate", "contacts separate"),
    "contact_opens": "contact opens",
    "out_of_use": ((2, "2"), (3, "3"), (4, "4")),
    "attended": (
        {"weekdays": (0, 1, 2, 3, 4), "start": 27_900, "end": 59_400},
        {"weekdays": (5,), "start": 79_200, "end": 108_000},
    ),
    "costs": (
        {"name": "hand ring", "value": "180000000 us"},
        {"name": "new tape", "value": "5400000000 us"},
        {"name": "selector move", "value": "60000000 us"},
        {"name": "silence", "value": "120000000 us"},
        {"name": "tape change", "value": "720000000 us"},
    ),
    "allowance": {"value": "800000 nm", "within": "30000 nm"},
    "wear": "100000 nm",
    "wheel": {"pins": "24", "pin": "1000000 nm", "wrap": "150000000 udeg"},
    "reserve": "50000 ppm",
}


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
            "hole slot 1.6 mm by 1.2 mm",
            "hole",
            {"shape": "slot", "along": "1600000 nm", "across": "1200000 nm"},
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
            "finger brushes, 0.50 mm by 0.40 mm within 0.05 mm",
            "finger",
            {
                "mode": "brushes",
                "tip": "rectangle",
                "along": "500000 nm",
                "across": "400000 nm",
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
        ("costs hand ring 0 min", "costs", ({"name": "hand ring", "value": "0 us"},)),
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


# --------------------------------------------------------------- order, left out, assumed


@pytest.mark.parametrize("order", [sorted, partial(sorted, reverse=True), partial(sorted, key=len), reversed])
def test_the_order_of_lines_and_parts_never_changes_the_result(
    order: Callable[[list[str]], Iterable[str]],
) -> None:
    opener, *lines = ALL_FORMS.replace(",\n   ", ",").splitlines()
    turned = [_turn_parts(line) for line in order(lines)]
    assert turned != lines
    text = ZONES + "\n".join([opener, *turned]) + "\n"
    assert held(sound(text).machine) == HELD_OF_ALL_FORMS


def _turn_parts(line: str) -> str:
    word, _, rest = line.strip().partition(" ")
    if word not in ("sprocket", "tape", "finger", "reads", "relay", "errors", "costs"):
        return line
    return f"  {word} " + ", ".join(reversed([part.strip() for part in rest.split(",")]))


LINES = ALL_FORMS.replace(",\n   ", ",").splitlines()[1:]
SELECTOR_LINES = [line for line in LINES if line.split()[0] in ("selector", "position")]
OTHER_LINES = [line for line in LINES if line not in SELECTOR_LINES]


def _held_without(old: str, new: str) -> set[tuple[str, Any]]:
    text = ALL_FORMS.replace(",\n   ", ",")
    assert text.count(old) == 1
    return set(leaves(held(sound(ZONES + text.replace(old, new)).machine)))


@pytest.mark.parametrize("line", OTHER_LINES, ids=str.strip)
def test_a_line_may_be_left_out_and_takes_only_its_own_values_with_it(line: str) -> None:
    everything = set(leaves(HELD_OF_ALL_FORMS))
    less = _held_without(f"{line}\n", "")
    left = {_whatever_number(leaf) for leaf in less}
    assert left < {_whatever_number(leaf) for leaf in everything}


def _whatever_number(leaf: tuple[str, Any]) -> tuple[str, Any]:
    """A leaf without the numbers of a list, which close up when one of the list is left out."""
    return re.sub(r"/\d+", "/n", leaf[0]), leaf[1]


def test_a_selector_may_be_left_out_with_all_its_positions() -> None:
    text = ALL_FORMS.replace(",\n   ", ",")
    for line in SELECTOR_LINES:
        text = text.replace(f"{line}\n", "")
    kept = {
        name: value
        for name, value in HELD_OF_ALL_FORMS.items()
        if name not in ("selector_positions", "positions")
    }
    assert held(sound(ZONES + text).machine) == kept


@pytest.mark.parametrize(
    ("old", "new", "lost"),
    [
        (" in rows of 1 min", "", {"/row_interval"}),
        (
            " 9.96 mm from the guided edge within 0.1 mm,",
            "",
            {"/sprocket/from_edge", "/sprocket/from_edge_within"},
        ),
        (" within 0.1 mm,", ",", {"/sprocket/from_edge_within"}),
        (" every 2.54 mm within 0.01 mm,", "", {"/sprocket/pitch", "/sprocket/pitch_within"}),
        (" within 0.01 mm", "", {"/sprocket/pitch_within"}),
        (", hole 1 mm within 0.02 mm", "", {"/sprocket/hole", "/sprocket/hole_within"}),
        (" 0.1 mm thick,", "", {"/tape_thickness"}),
        (", 1 in wide", "", {"/tape_width"}),
        (" in 0.25 s", "", {"/drive/travel"}),
        (" after 0.05 s", "", {"/drive/lag"}),
        (" 1.6 mm by 1.2 mm,", ",", {"/hole/along", "/hole/across"}),
        (", square", "", {"/hole/ends"}),
        (", square, within 0.05 mm", ", square", {"/hole/within"}),
        (" drops in,", "", {"/finger/mode"}),
        (
            ", ball 0.60 mm within 0.02 mm closing at 0.15 mm",
            "",
            {"/finger/tip", "/finger/along", "/finger/within", "/finger/closing_at"},
        ),
        (" within 0.02 mm closing", " closing", {"/finger/within"}),
        (" closing at 0.15 mm", "", {"/finger/closing_at"}),
        (" at 8 s", "", {"/gate/closes"}),
        (" for 2 s to 15 s", "", {"/gate/length", "/gate/longest"}),
        (" to 15 s", "", {"/gate/longest"}),
        (", within 0.5 s", "", {"/gate/within"}),
        (" bounces 20 ms,", "", {"/relay/bounces/value", "/relay/bounces/name"}),
        (", releases 20 ms", "", {"/relay/releases/value", "/relay/releases/name"}),
        (" over 20 mm", "", {"/errors/stretch/over"}),
        (
            " stretch 0.02 % over 20 mm,",
            "",
            {"/errors/stretch/over", "/errors/stretch/value", "/errors/stretch/name"},
        ),
        (", skew 0.16 mm", "", {"/errors/skew/value", "/errors/skew/name"}),
        (" turning at 00:30 within 10 min", "", {"/day_wheels/1/turning_at", "/day_wheels/1/within"}),
        (" within 10 min", "", {"/day_wheels/1/within"}),
        (", new tape 90 min", "", {"/costs/new tape/value", "/costs/new tape/name"}),
        (" within 0.03 mm", "", {"/allowance/within"}),
        (" 24 pins", "", {"/wheel/pins"}),
        (" pins 1.00 mm", " pins", {"/wheel/pin"}),
        (" over 150 degrees", "", {"/wheel/wrap"}),
    ],
)
def test_a_value_may_be_left_out_alone(old: str, new: str, lost: set[str]) -> None:
    everything = set(leaves(HELD_OF_ALL_FORMS))
    less = _held_without(old, new)
    assert less < everything
    assert {path for path, _ in everything - less} == lost


VALUE = re.compile(
    r"(?<![\w.:])\d+(?:\.\d+)? (?:ms|mm|min|degrees|in(?! rows)|s|h|%)(?![\w])|rows? ahead|lap of 12 rows"
)
PLAIN_ALL_FORMS = ALL_FORMS.replace(",\n   ", ",")
VALUE_PLACES = [match.span() for match in VALUE.finditer(PLAIN_ALL_FORMS)]


@pytest.mark.parametrize("place", VALUE_PLACES, ids=lambda place: PLAIN_ALL_FORMS[slice(*place)])
def test_a_value_may_be_assumed_and_is_then_the_only_one(place: tuple[int, int]) -> None:
    text = PLAIN_ALL_FORMS[: place[1]] + " assumed" + PLAIN_ALL_FORMS[place[1] :]
    found = dict(leaves(held(sound(ZONES + text).machine)))
    changed = {path: value for path, value in found.items() if str(value).endswith(" assumed")}
    expected = dict(leaves(HELD_OF_ALL_FORMS))
    assert len(changed) == (4 if "12.50 mm" in PLAIN_ALL_FORMS[slice(*place)] else 1)
    assert {path: f"{expected[path]} assumed" for path in changed} == changed
    assert {path: v for path, v in found.items() if path not in changed} == {
        path: v for path, v in expected.items() if path not in changed
    }


def test_every_quantity_of_all_forms_was_assumed_once() -> None:
    units = ("ms", "mm", "min", "degrees", "in(?! yard)", "s", "h", "%")
    numbers = re.findall(rf"\d (?:{'|'.join(units)})\b|\d %", re.sub(r"\d, ", "", PLAIN_ALL_FORMS))
    counts = ("3 rows ahead", "1 row ahead", "5 rows ahead", "lap of 12 rows")
    assert len(VALUE_PLACES) == len(numbers) + len(counts)


# ------------------------------------------------------------ supplies, lines and loads

ELECTRICAL = """\
supply bell-supply 24 V 5 A short-time 6 A for 10 s
supply clock-supply 24 V assumed 1 A assumed
supply spare 12.5 V 800 mA short-time 0.9 A assumed for 1 min assumed
zone main on track 1
  bells 4 at 350 mA each fed by bell-supply
  cable 1.5 mm2, bells at 40, 90, 120, 150 m
zone yard
  bells 2 at 68 ohm assumed each
  cable AWG 14, every 5 m
zone hall
  cable AWG 0, bells at 0, 2500 mm
zone gym
  cable 1.0 mm2 assumed, every 5 m assumed
line dials fed by clock-supply
  clocks 36 at 20 mA each
  cable 1.0 mm2, every 5 m
line tower fed by spare
  cable AWG 40, clocks at 3, 6 m assumed
  clocks 2 at 1200 ohm each
line empty fed by spare
"""


def test_every_form_of_a_supply_a_line_a_load_and_a_cable_is_held() -> None:
    built = sound(ELECTRICAL)
    assert held(tuple(built.supplies)) == (
        {
            "name": "bell-supply",
            "voltage": "24000000 uV",
            "current": "5000000 uA",
            "short_time": "6000000 uA",
            "short_time_for": "10000000 us",
        },
        {"name": "clock-supply", "voltage": "24000000 uV assumed", "current": "1000000 uA assumed"},
        {
            "name": "spare",
            "voltage": "12500000 uV",
            "current": "800000 uA",
            "short_time": "900000 uA assumed",
            "short_time_for": "60000000 us assumed",
        },
    )
    assert held(tuple(built.bells)) == (
        {"number": 4, "each": "350000 uA", "supply": "bell-supply"},
        {"number": 2, "each": "68000000 uohm assumed"},
    )
    assert held(tuple(built.cables)) == (
        {
            "cross_section": "1500000000000 nm2",
            "taps": ("40000000000 nm", "90000000000 nm", "120000000000 nm", "150000000000 nm"),
        },
        {"wire_gauge": 14, "every": "5000000000 nm"},
        {"wire_gauge": 0, "taps": ("0 nm", "2500000000 nm")},
        {"cross_section": "1000000000000 nm2 assumed", "every": "5000000000 nm assumed"},
    )
    assert held(tuple(built.lines)) == (
        {
            "name": "dials",
            "supply": "clock-supply",
            "clocks": {"number": 36, "each": "20000 uA"},
            "cable": {"cross_section": "1000000000000 nm2", "every": "5000000000 nm"},
        },
        {"name": "empty", "supply": "spare"},
        {
            "name": "tower",
            "supply": "spare",
            "clocks": {"number": 2, "each": "1200000000 uohm"},
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
    built = sound("zone main\n  bells 4 at 350 mA each\n  cable 1.5 mm2, bells at 40, 90 m\n")
    bells, cable = built.bells[0], built.cables[0]
    assert bells is not None
    faults: list[Diagnostic] = []
    check_taps(bells.number, bells.span, cable, faults)
    assert [(d.code.id, d.labels[0].span.line, d.labels[1].span.line) for d in faults] == [("N418", 3, 2)]
    check_taps(2, bells.span, cable, faults)
    check_taps(4, bells.span, None, faults)
    assert len(faults) == 1


# ------------------------------------------------------------------------------- faults


def places(built: Built) -> list[tuple[str, int, int, str]]:
    """Code, line, column and text of every fault's place to edit."""
    found = []
    for diagnostic in built.faults:
        assert diagnostic.primary is not None
        span = diagnostic.primary.span
        found.append((diagnostic.code.id, span.line, span.column, span.text))
    return found


ON_LINE_TWO = [
    # line, code, column, marked text; the machine's opener is line 1
    ("row 2 mm\n  row 3 mm", "N341", 3, 3, "row 3 mm"),
    ("side play 2 mm\n  row 1 mm\n  side play 2 mm", "N341", 4, 3, "side play 2 mm"),
    ("sprocket every 2 mm, every 3 mm", "N342", 2, 24, "every 3 mm"),
    ("tape 20 mm wide, 0.1 mm thick, 30 mm wide", "N342", 2, 34, "30 mm wide"),
    ("finger drops in, brushes", "N342", 2, 20, "brushes"),
    ("finger round 1 mm, ball 1 mm", "N342", 2, 22, "ball 1 mm"),
    ("relay operates 3 ms, operates 4 ms", "N342", 2, 24, "operates 4 ms"),
    ("errors jig 0.1 mm, seam 0.1 mm, jig 0.1 mm", "N342", 2, 35, "jig 0.1 mm"),
    ("costs silence 2 min, silence 3 min", "N342", 2, 24, "silence 3 min"),
    ("gate at 8 s for 6 s\n  no gate", "N401", 3, 3, "no gate"),
    ("no gate\n  gate", "N401", 3, 3, "gate"),
    ("friction\n  sprocket every 2 mm", "N402", 3, 3, "sprocket every 2 mm"),
    ("loop 24 h in rows of 7 min", "N403", 2, 24, "7 min"),
    ("loop 1 min in rows of 2 min", "N403", 2, 25, "2 min"),
    ("reserve 101 %", "N404", 2, 11, "101 %"),
    ("errors stretch 200 % over 20 mm", "N404", 2, 18, "200 %"),
    ("sprocket every 2 mm within 2 mm", "N405", 2, 30, "2 mm"),
    ("sprocket hole 1 mm within 2 mm", "N405", 2, 29, "2 mm"),
    ("sprocket 9 mm from the guided edge within 9.5 mm", "N405", 2, 45, "9.5 mm"),
    ("hole slot 2 mm by 0.5 mm, within 0.6 mm", "N405", 2, 36, "0.6 mm"),
    ("finger round 0.5 mm within 0.5 mm", "N405", 2, 30, "0.5 mm"),
    ("finger 2 mm by 0.5 mm within 0.6 mm", "N405", 2, 32, "0.6 mm"),
    ("gate at 8 s for 2 s to 15 s, within 2 s", "N405", 2, 39, "2 s"),
    ("gate for 15 s to 2 s", "N406", 2, 8, "for 15 s to 2 s"),
    ("gate at 8 s for 2 s to 2 s, within 0.5 s", "N406", 2, 15, "for 2 s to 2 s"),
    ("silenced Sat turning at 24:00", "N407", 2, 27, "24:00"),
    ("silenced 25:00 - 30:00", "N407", 2, 12, "25:00"),
    ("attended Mon 25:00 - 30:00", "N407", 2, 16, "25:00"),
    ("silenced 18:00 - 43:00", "N408", 2, 12, "18:00 - 43:00"),
    ("silenced Sat, Fri to Sun", "N409", 2, 17, "Fri to Sun"),
    ("attended Mon to Fri, Tue 07:00 - 16:00", "N409", 2, 24, "Tue"),
    ("silenced Sat, Sun\n  silenced Sun in yard", "N409", 3, 12, "Sun"),
    ("silenced Sun in main\n  silenced Fri to Sun in lessons", "N409", 3, 12, "Fri to Sun"),
    ("reads 3 rows ahead\n  reads 5 rows ahead", "N410", 3, 9, "5 rows ahead"),
    ("reads 3 rows ahead, 5 rows ahead on track 2", "N410", 2, 36, "on track 2"),
    ("reads 3 rows ahead on track 2, 5 rows ahead", "N410", 2, 34, "5 rows ahead"),
    ("reads 3 rows ahead on track 2\n  reads 3 rows ahead on track 2", "N410", 3, 22, "on track 2"),
    ("out of use tracks 2, 3, 2", "N410", 2, 27, "2"),
    ("out of use track 2\n  out of use track 2", "N410", 3, 20, "2"),
    ("tracks at 5, 8, 5.0 mm", "N411", 2, 19, "5.0"),
    ("tracks at 5, 8 mm\n  out of use track 3", "N412", 3, 20, "3"),
    ("reads 3 rows ahead on track 3\n  tracks at 5, 8 mm", "N412", 2, 31, "3"),
    ("tracks at 5, 8 mm\n  selector 1 position\n  position 1 main on track 3", "N412", 4, 28, "3"),
    ("row 2 mm\n  position 1 main on track 1", "N413", 3, 3, "position 1 main on track 1"),
    ("position 2 main on track 1\n  selector 1 position", "N414", 2, 12, "2"),
    ("selector 1 position\n  position 1 main on track 1\n  position 1 main on track 2", "N415", 4, 12, "1"),
    ("selector 3 positions\n  position 2 main on track 1", "N416", 2, 12, "3"),
    (
        "selector 1 position\n  position 1 main on track 1, lessons on track 1",
        "N417",
        3,
        31,
        "lessons on track 1",
    ),
    ("silenced 09:00 - 09:00", "N309", 2, 12, "09:00 - 09:00"),
    ("attended Mon 09:00 - 09:00", "N309", 2, 16, "09:00 - 09:00"),
    ("attended Mon 08:50 - 08:00", "N308", 2, 24, "08:00"),
    ("silenced 18:75 - 20:00", "N301", 2, 12, "18:75"),
    ("silenced Sat turning at 00:60", "N301", 2, 27, "00:60"),
    ("silenced Sat to Sat", "N313", 2, 12, "Sat to Sat"),
    ("silenced Sat in yrad", "N321", 2, 19, "yrad"),
    ("silenced 18:00 - 07:00 in gym", "N321", 2, 29, "gym"),
    ("switches main, yrad", "N321", 2, 18, "yrad"),
    ("selector 1 position\n  position 1 gym on track 1", "N321", 3, 14, "gym"),
    ("row 0 mm", "N311", 2, 7, "0 mm"),
    ("tracks at 0, 5 mm", "N311", 2, 13, "0"),
    ("gate for 0 s", "N311", 2, 12, "0 s"),
    ("wheel 0 pins", "N307", 2, 9, "0"),
    ("reads 1.5 rows ahead", "N306", 2, 9, "1.5"),
    ("joint lap of 1.5 rows", "N306", 2, 16, "1.5"),
    ("selector 0 positions", "N307", 2, 12, "0"),
    ("out of use track 100", "N307", 2, 20, "100"),
    ("row 0.0000001 mm", "N305", 2, 7, "0.0000001 mm"),
]

WRONG_UNITS = [
    ("loop 24 mm in rows of 1 min", "24 mm"),
    ("loop 24 h in rows of 1 mm", "1 mm"),
    ("row 2 s", "2 s"),
    ("sprocket every 2 s", "2 s"),
    ("sprocket hole 2 s", "2 s"),
    ("sprocket 2 s from the guided edge", "2 s"),
    ("sprocket every 2 mm within 1 s", "1 s"),
    ("tape 20 s wide", "20 s"),
    ("tape 20 % thick", "20 %"),
    ("drive steps in 2 mm", "2 mm"),
    ("drive steps after 2 mm", "2 mm"),
    ("hole round 1 mm within 5 %", "5 %"),
    ("hole slot 1 mm by 1 V", "1 V"),
    ("finger ball 1 mm closing at 1 s", "1 s"),
    ("finger 1 mm by 1 s", "1 s"),
    ("side play 1 degrees", "1 degrees"),
    ("gate at 8 mm", "8 mm"),
    ("gate for 8 mm", "8 mm"),
    ("gate for 8 s to 9 mm", "9 mm"),
    ("gate for 8 s, within 1 mm", "1 mm"),
    ("relay operates 1 mm", "1 mm"),
    ("errors jig 1 degrees", "1 degrees"),
    ("errors stretch 1 mm", "1 mm"),
    ("errors stretch 1 % over 1 s", "1 s"),
    ("errors skew 1 s", "1 s"),
    ("web at least 1 s", "1 s"),
    ("silenced Sat turning at 00:30 within 1 mm", "1 mm"),
    ("costs new tape 1 mm", "1 mm"),
    ("allowance -1 s", "-1 s"),
    ("allowance 1 mm within 1 s", "1 s"),
    ("wear 1 s", "1 s"),
    ("wheel 1 s", "1 s"),
    ("wheel over 1 mm", "1 mm"),
    ("reserve 1 mm", "1 mm"),
]


@pytest.mark.parametrize(("lines", "code", "line", "column", "marked"), ON_LINE_TWO)
def test_a_fault_of_a_machine_is_found_where_it_stands(
    lines: str, code: str, line: int, column: int, marked: str
) -> None:
    built = build(f"machine tower\n  {lines}\n{ZONES}")
    assert places(built) == [(code, line, column, marked)]


@pytest.mark.parametrize(("line", "marked"), WRONG_UNITS)
def test_a_unit_of_another_kind_is_a_fault_and_the_value_is_not_held(line: str, marked: str) -> None:
    built = build(f"machine tower\n  {line}\n")
    assert places(built) == [("N304", 2, line.index(marked) + 3, marked)]
    assert marked not in {value.span.text for value in values(built.machine)}


FED = "supply s 24 V 5 A\nline d fed by s\n"

ELECTRICAL_FAULTS = [
    ("supply s 24 A 5 A", "N304", 1, 10, "24 A"),
    ("supply s 24 V 5 V", "N304", 1, 15, "5 V"),
    ("supply s 24 V 5 A short-time 6 V for 10 s", "N304", 1, 30, "6 V"),
    ("supply s 24 V 5 A short-time 6 A for 10 A", "N304", 1, 38, "10 A"),
    ("supply s 24 V 5 A short-time 4.9 A for 10 s", "N419", 1, 30, "4.9 A"),
    ("line d fed by nobody", "N326", 1, 15, "nobody"),
    (f"{FED}  clocks 1 at 24 V each", "N304", 3, 15, "24 V"),
    (f"{FED}  clocks 1.5 at 24 mA each", "N306", 3, 10, "1.5"),
    (f"{FED}  clocks 1 at 9 mA each\n  clocks 2 at 9 mA each", "N341", 4, 3, "clocks 2 at 9 mA each"),
    (f"{FED}  cable AWG 1, every 5 m\n  cable AWG 2, every 5 m", "N341", 4, 3, "cable AWG 2, every 5 m"),
    (
        f"{FED}  cable AWG 1, clocks at 3 m\n  clocks 2 at 9 mA each",
        "N418",
        3,
        3,
        "cable AWG 1, clocks at 3 m",
    ),
    ("zone z\n  cable 1.5 mm, every 5 m", "N304", 2, 9, "1.5 mm"),
    ("zone z\n  cable 1.5 mm2, every 5 s", "N304", 2, 24, "5 s"),
    ("zone z\n  cable 1.5 mm2, bells at 4, 5 s", "N304", 2, 27, "4"),
    ("zone z\n  cable AWG 41, every 5 m", "N307", 2, 13, "41"),
    ("zone z\n  cable AWG 00, every 5 m", "N307", 2, 13, "00"),
    ("zone z\n  cable AWG 1.5, every 5 m", "N306", 2, 13, "1.5"),
    ("zone z\n  bells 0 at 350 mA each", "N307", 2, 9, "0"),
    ("zone z\n  bells 4 at 350 mm each", "N304", 2, 14, "350 mm"),
    ("zone z\n  bells 4 at 0 mA each", "N311", 2, 14, "0 mA"),
    ("zone z\n  bells 4 at 350 mA each fed by nobody", "N326", 2, 33, "nobody"),
]


@pytest.mark.parametrize(("text", "code", "line", "column", "marked"), ELECTRICAL_FAULTS)
def test_a_fault_of_a_supply_a_line_or_a_load_is_found_where_it_stands(
    text: str, code: str, line: int, column: int, marked: str
) -> None:
    assert places(build(text + "\n")) == [(code, line, column, marked)]


BOTH_SHOWN = (
    "N341",
    "N342",
    "N401",
    "N402",
    "N403",
    "N405",
    "N409",
    "N410",
    "N411",
    "N412",
    "N414",
    "N415",
    "N417",
)


@pytest.mark.parametrize(
    "lines", [lines for lines, code, *_ in ON_LINE_TWO if code in BOTH_SHOWN], ids=lambda lines: lines
)
def test_a_clash_shows_both_places(lines: str) -> None:
    (fault,) = build(f"machine tower\n  {lines}\n{ZONES}").faults
    own, other = fault.labels
    assert (own.role, other.role) == ("primary", "secondary")
    assert own.span != other.span
    assert own.text
    assert other.text


def test_what_contradicts_is_marked_at_the_later_line() -> None:
    (fault,) = build("machine tower\n  no gate\n  gate at 8 s\n").faults
    assert [label.span.text for label in fault.labels] == ["gate at 8 s", "no gate"]


@pytest.mark.parametrize(
    ("lines", "offers"),
    [
        # Hand computed: 1440 min is not divided by 7, but by 6 and by 8; 720 min by 9 and by 12, not by 11.
        ("loop 24 h in rows of 7 min", ["6 min", "8 min"]),
        ("loop 12 h in rows of 11 min", ["10 min", "12 min"]),
        ("loop 1 min in rows of 2 min", ["1 min"]),
        ("loop 24 h in rows of 0.7 min", ["1 min"]),
        ("loop 30 s in rows of 1 min", []),
        ("gate for 15 s to 2 s", ["for 2 s to 15 s"]),
        ("gate for 2 s assumed to 2 s", ["for 2 s"]),
        ("silenced Sat turning at 24:30", ["00:30"]),
        ("silenced 25:00 - 07:00", ["01:00"]),
    ],
)
def test_offers_are_near_and_right(lines: str, offers: list[str]) -> None:
    built = build(f"machine tower\n  {lines}\n")
    (fault,) = built.faults
    assert [offer.text for offer in fault.suggestions] == offers
    for offer in fault.suggestions:
        (edit,) = offer.edits
        text = built.source.text
        assert sound(text[: edit.span.start] + edit.replacement + text[edit.span.end :])


def test_a_missing_selector_is_offered_as_a_line_of_its_own() -> None:
    built = build(f"{ZONES}machine tower\n  position 2 main on track 1\n  position 1 yard on track 1\n")
    (fault,) = built.faults
    (edit,) = fault.suggestions[0].edits
    text = built.source.text
    mended = sound(text[: edit.span.start] + edit.replacement + text[edit.span.end :])
    assert held(mended.machine.selector_positions) == "2"


# ------------------------------------------------------------------ no follow-on noise


def test_a_line_that_could_not_be_read_causes_no_fault_of_another() -> None:
    built = Built(f"{ZONES}machine tower\n  selector two positions\n  position 1 main on track 1\n")
    assert len(built.unread) == 1
    assert built.faults == []
    built = Built(
        f"{ZONES}machine tower\n  selector 2 positions\n  position 1 main on track 1\n  position two\n"
    )
    assert len(built.unread) == 1
    assert built.faults == []


def test_a_fault_in_one_position_is_the_only_one() -> None:
    text = (
        "machine tower\n  selector 2 positions\n  position 1 main on track 1\n  position 3 main on track 2\n"
    )
    assert [code for code, *_ in places(build(ZONES + text))] == ["N414"]
    assert [
        code
        for code, *_ in places(build(ZONES + text.replace("selector 2 positions", "selector 1.5 positions")))
    ] == ["N306"]


def test_a_machine_without_a_readable_first_line_is_still_read() -> None:
    built = Built("machine 1\n  row 2 mm\n  row 3 mm\n")
    assert len(built.unread) == 1
    assert built.machine.name == ""
    assert held(built.machine.pitch) == "2000000 nm"
    assert [code for code, *_ in places(built)] == ["N341"]


def test_zones_that_have_nothing_in_common_may_be_silenced_on_one_weekday() -> None:
    machine = machine_of("silenced Sat in main", "silenced Sat turning at 00:30 in yard, hall")
    assert [wheel.zones for wheel in machine.day_wheels] == [("hall", "yard"), ("main",)]


def test_the_zones_of_equal_daily_silences_settle_their_order() -> None:
    lines = ["silenced 18:00 - 07:00 in yard", "silenced 18:00 - 07:00", "silenced 18:00 - 07:00 in main"]
    for order in (lines, lines[::-1]):
        assert [silence.zones for silence in machine_of(*order).daily_silences] == [
            None,
            ("main",),
            ("yard",),
        ]


@pytest.mark.parametrize("line", ["reads 1.5 rows ahead", "reads 3 rows ahead on track 0"])
def test_a_reading_offset_with_a_fault_is_not_held(line: str) -> None:
    built = build(f"machine tower\n  {line}\n")
    assert len(built.faults) == 1
    assert built.machine.reads == ()


def test_a_stretch_over_a_length_with_a_fault_is_not_held() -> None:
    built = build("machine tower\n  errors jig 1 mm, stretch 1 % over 1 s\n")
    assert len(built.faults) == 1
    assert held(built.machine.errors) == ({"name": "jig", "value": "1000000 nm"},)


def test_several_windows_of_a_weekday_may_be_attended() -> None:
    machine = machine_of("attended Mon 13:00 - 16:00", "attended Mon 07:00 - 12:00")
    assert [(hours.start, hours.end) for hours in machine.attended] == [(25_200, 43_200), (46_800, 57_600)]


# -------------------------------------------------------------------------------- codes

FRAME = 'zone main on track 1 "Main building"\n'


@pytest.mark.parametrize("code", machine_faults.CODES, ids=lambda code: code.slug)
def test_the_examples_of_a_code_show_it(code: Any) -> None:
    assert {d.code for d in build(f"{code.wrong}\n{FRAME}").faults} == {code}
    sound(f"{code.right}\n{FRAME}")
    assert code.severity == "error"
    assert len(code.explanation) > 40


def test_codes_are_numbered_without_repeats_in_their_range() -> None:
    numbers = [code.id for code in machine_faults.CODES]
    assert numbers == sorted(set(numbers))
    assert all("N401" <= number <= "N449" for number in numbers)
    assert len({code.slug for code in machine_faults.CODES}) == len(numbers)


def test_headlines_make_sense_alone_and_reasons_are_sentences() -> None:
    for lines, *_ in ON_LINE_TWO:
        for fault in build(f"machine tower\n  {lines}\n{ZONES}").faults:
            assert not fault.headline.endswith(".")
            assert "\n" not in fault.headline
            assert fault.why.endswith(".")
