"""Machines, supplies and lines built from texts, and what is held of them as plain values."""

from typing import Any

from chime.diagnostics import Diagnostic, Source, Span
from chime.parsing.parser import read_blocks
from chime.parsing.tree import Document
from chime.programme.equipment import Bells, Cable, Count, Machine, Value
from chime.programme.machine import build_machine
from chime.programme.names import Names
from chime.programme.supplies import build_line, build_supply, read_bells, read_cable

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


# --------------------------------------------------------------- every form of a line


ALL_FORMS = """\
machine tower
  loop 24 h in rows of 1 min
  row 0.1 in
  sprocket 9.96 mm from the guided edge within 0.1 mm, every 2.54 mm within 0.01 mm, hole 1 mm within 0.02 mm
  tape 0.1 mm thick, 1 in wide
  drive steps in 0.35 s after 0.04 s
  tracks at 2.34, 4.88, 7.42, 12.50 mm from the guided edge
  hole slot 1.8 mm by 1.3 mm, square, within 0.05 mm
  finger drops in, ball 0.70 mm within 0.02 mm closing at 0.12 mm
  side play 0.15 mm
  reads 2 rows ahead on track 1, 1 row ahead on track 2
  reads 4 rows ahead on track 4
  gate at 7 s for 3 s to 12 s, within 0.4 s
  relay bounces 10 ms, operates 25 ms, releases 15 ms
  errors jig 0.07 mm, registration 0.04 mm, detent 0.06 mm, stretch 0.03 % over 32 mm, print 0.11 mm,
    index 0.12 mm, seam 0.13 mm, wheel 0.14 mm, across 0.15 mm, skew 0.16 mm
  web at least 0.35 mm
  joint lap of 10 rows
  silenced Sat, Sun turning at 00:45 within 15 min
  silenced Wed to Fri turning at 23:59:30 in yard
  silenced 17:30 - 06:50
  silenced 12:48 - 10:25 in yard
  switches main, yard
  selector 2 positions
  position 2 yard on track 4, yard on track 2, main on track 2
  position 1 lessons on track 1, yard on track 4
  contacts separate
  contact opens
  out of use track 2
  out of use tracks 4, 3
  attended Mon to Fri 08:15 - 17:15
  attended Sat 22:00 - 06:00
  costs tape change 15 min, selector move 2 min, silence 3 min, hand ring 4 min, new tape 75 min
  allowance 0.75 mm within 0.04 mm
  wear 0.08 mm
  wheel 20 pins 1.05 mm over 140 degrees
  reserve 4 %
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
    "drive": {"kind": "steps", "travel": "350000 us", "lag": "40000 us"},
    "tracks": ("2340000 nm", "4880000 nm", "7420000 nm", "12500000 nm"),
    "hole": {
        "shape": "slot",
        "along": "1800000 nm",
        "across": "1300000 nm",
        "ends": "square",
        "within": "50000 nm",
    },
    "finger": {
        "mode": "drops in",
        "tip": "ball",
        "along": "700000 nm",
        "within": "20000 nm",
        "closing_at": "120000 nm",
    },
    "side_play": "150000 nm",
    "reads": ({"rows": "2", "track": 1}, {"rows": "1", "track": 2}, {"rows": "4", "track": 4}),
    "gate": {"closes": "7000000 us", "length": "3000000 us", "longest": "12000000 us", "within": "400000 us"},
    "relay": (
        {"name": "bounces", "value": "10000 us"},
        {"name": "operates", "value": "25000 us"},
        {"name": "releases", "value": "15000 us"},
    ),
    "errors": (
        {"name": "across", "value": "150000 nm"},
        {"name": "detent", "value": "60000 nm"},
        {"name": "index", "value": "120000 nm"},
        {"name": "jig", "value": "70000 nm"},
        {"name": "print", "value": "110000 nm"},
        {"name": "registration", "value": "40000 nm"},
        {"name": "seam", "value": "130000 nm"},
        {"name": "skew", "value": "160000 nm"},
        {"name": "stretch", "value": "300 ppm", "over": "32000000 nm"},
        {"name": "wheel", "value": "140000 nm"},
    ),
    "web": "350000 nm",
    "joint_rows": "10",
    "day_wheels": (
        {"weekdays": (2, 3, 4), "turning_at": 86_370, "zones": ("yard",)},
        {"weekdays": (5, 6), "turning_at": 2_700, "within": "900000000 us"},
    ),
    "daily_silences": (
        {"start": 46_080, "end": 37_500, "zones": ("yard",)},
        {"start": 63_000, "end": 24_600},
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
        {"weekdays": (0, 1, 2, 3, 4), "start": 29_700, "end": 62_100},
        {"weekdays": (5,), "start": 79_200, "end": 108_000},
    ),
    "costs": (
        {"name": "hand ring", "value": "240000000 us"},
        {"name": "new tape", "value": "4500000000 us"},
        {"name": "selector move", "value": "120000000 us"},
        {"name": "silence", "value": "180000000 us"},
        {"name": "tape change", "value": "900000000 us"},
    ),
    "allowance": {"value": "750000 nm", "within": "40000 nm"},
    "wear": "80000 nm",
    "wheel": {"pins": "20", "pin": "1050000 nm", "wrap": "140000000 udeg"},
    "reserve": "40000 ppm",
}
