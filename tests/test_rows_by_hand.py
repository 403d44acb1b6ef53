"""Rings of the shipped machines, each with its row and its place on the tape worked out by hand.

By formula F1 a ring stands at the row of its time and as many more as its track is read ahead, round the loop;
the hole lies as many pitches along. Beside each ring stands the sum. The pitches, the places of the tracks and
the rows ahead are those of the machines in `programmes/machines`.
"""

from datetime import date
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from chime.clock import WEEKDAYS
from chime.compiler import check
from chime.tape.geometry import row_of, write_phase
from chime.tape.lay_out import lay_out
from chime.tape.model import Hole, Tape, TapeSet

PROGRAMMES = Path(__file__).parent.parent / "programmes"


class ByHand(NamedTuple):
    """A ring, the track it is punched on, the row, and the place along and across the tape in nanometres."""

    day: str
    at: str
    zone: str
    track: int
    row: int
    along_nm: int
    across_nm: int


# 24 h, a row a minute, 2.54 mm; every track is read 4 rows ahead.
ONDERMARCH = [
    ByHand("2026-08-31", "08:40", "yard", 4, 524, 1_330_960_000, 32_000_000),  # 8 x 60 + 40 = 520, + 4
    ByHand("2026-08-31", "08:40", "yard", 6, 524, 1_330_960_000, 44_000_000),  # both bells of the yard
    ByHand("2026-08-31", "08:48", "main", 1, 532, 1_351_280_000, 14_000_000),  # 528 + 4: warns of the roll
    ByHand("2026-08-31", "08:50", "main", 1, 534, 1_356_360_000, 14_000_000),  # 530 + 4
    ByHand("2026-08-31", "10:55", "quiet", 3, 659, 1_673_860_000, 26_000_000),  # 655 + 4
    ByHand("2026-08-31", "15:25", "hall", 2, 929, 2_359_660_000, 20_000_000),  # 925 + 4
    ByHand("2026-09-02", "13:10", "yard", 4, 794, 2_016_760_000, 32_000_000),  # 790 + 4: coaches
    ByHand("2026-09-10", "13:58", "yard", 6, 842, 2_138_680_000, 44_000_000),  # 838 + 4: the long lunch
    ByHand("2026-09-10", "15:40", "main", 1, 944, 2_397_760_000, 14_000_000),  # 940 + 4: a quarter later
    ByHand("2026-12-15", "19:00", "hall", 2, 1144, 2_905_760_000, 20_000_000),  # 1140 + 4: the concert
    ByHand("2026-12-15", "20:15", "hall", 2, 1219, 3_096_260_000, 20_000_000),  # 1215 + 4
    ByHand("2027-01-11", "09:58", "hall", 2, 602, 1_529_080_000, 20_000_000),  # 598 + 4: the late start
]

# 24 h, a row a minute, 4.0 mm; every track is read 2 rows ahead.
GUEST_HOUSE = [
    ByHand("2026-09-01", "02:30", "cloister", 1, 152, 608_000_000, 8_000_000),  # 150 + 2: after midnight
    ByHand("2026-09-01", "05:30", "guests", 2, 332, 1_328_000_000, 14_000_000),  # 330 + 2
    ByHand("2026-09-01", "07:15", "cloister", 1, 437, 1_748_000_000, 8_000_000),  # 435 + 2
    ByHand("2026-09-01", "08:00", "farm", 3, 482, 1_928_000_000, 20_000_000),  # 480 + 2
    ByHand("2026-09-01", "12:15", "cloister", 1, 737, 2_948_000_000, 8_000_000),  # 735 + 2
    ByHand("2026-09-01", "12:45", "farm", 3, 767, 3_068_000_000, 20_000_000),  # 765 + 2
    ByHand("2026-09-01", "18:00", "guests", 2, 1082, 4_328_000_000, 14_000_000),  # 1080 + 2
    ByHand("2026-09-01", "19:00", "farm", 3, 1142, 4_568_000_000, 20_000_000),  # 1140 + 2
    ByHand("2026-09-01", "20:15", "cloister", 1, 1217, 4_868_000_000, 8_000_000),  # 1215 + 2
    ByHand("2026-09-06", "11:00", "cloister", 1, 662, 2_648_000_000, 8_000_000),  # 660 + 2: a Sunday
    ByHand("2026-09-06", "17:30", "guests", 2, 1052, 4_208_000_000, 14_000_000),  # 1050 + 2
    ByHand("2027-03-28", "03:30", "cloister", 1, 212, 848_000_000, 8_000_000),  # 210 + 2: for a missing 02:30
]

# 12 h, a row a minute, 2.54 mm; every track is read 5 rows ahead. A time after noon has the row of 12 h before.
OBSERVATORY = [
    ByHand("2027-02-01", "18:30", "house", 2, 395, 1_003_300_000, 8_500_000),  # 06:30 is 390, + 5
    ByHand("2027-02-01", "18:30", "workshop", 3, 395, 1_003_300_000, 12_000_000),
    ByHand("2027-02-01", "19:50", "dome", 1, 475, 1_206_500_000, 5_000_000),  # 470 + 5
    ByHand("2027-02-01", "20:00", "house", 2, 485, 1_231_900_000, 8_500_000),  # 480 + 5
    ByHand("2027-02-01", "22:50", "dome", 1, 655, 1_663_700_000, 5_000_000),  # 650 + 5
    ByHand("2027-02-01", "23:00", "house", 2, 665, 1_689_100_000, 8_500_000),  # 660 + 5
    ByHand("2027-02-02", "01:00", "house", 2, 65, 165_100_000, 8_500_000),  # 60 + 5: of the night before
    ByHand("2027-02-02", "01:50", "dome", 1, 115, 292_100_000, 5_000_000),  # 110 + 5
    ByHand("2027-02-02", "05:15", "house", 2, 320, 812_800_000, 8_500_000),  # 315 + 5
    ByHand("2027-02-03", "05:30", "dome", 1, 335, 850_900_000, 5_000_000),  # 330 + 5
    ByHand("2027-03-10", "19:00", "workshop", 3, 425, 1_079_500_000, 12_000_000),  # 420 + 5
    ByHand("2027-04-04", "01:50", "dome", 1, 115, 292_100_000, 5_000_000),  # the clocks show it twice
]

# 7 d, a row each five minutes, 2.375 mm, 288 rows a day; tracks 3 and 4 are read a row ahead, the others none.
ROPEWORKS = [
    ByHand("2026-09-07", "06:00", "walk", 1, 72, 171_000_000, 7_500_000),  # a Monday: 6 x 12
    ByHand("2026-09-07", "13:50", "turning", 2, 166, 394_250_000, 12_500_000),  # 13 x 12 + 10
    ByHand("2026-09-07", "07:00", "slip", 3, 85, 201_875_000, 17_500_000),  # 84 + 1
    ByHand("2026-09-07", "08:00", "counting", 4, 97, 230_375_000, 22_500_000),  # 96 + 1
    ByHand("2026-09-08", "02:00", "walk", 1, 312, 741_000_000, 7_500_000),  # Tuesday: 288 + 24
    ByHand("2026-09-09", "15:30", "slip", 3, 763, 1_812_125_000, 17_500_000),  # Wednesday: 576 + 186 + 1
    ByHand("2026-09-11", "14:30", "counting", 4, 1327, 3_151_625_000, 22_500_000),  # Friday: 1152 + 174 + 1
    ByHand("2026-09-12", "05:50", "walk", 1, 1510, 3_586_250_000, 7_500_000),  # Saturday: 1440 + 70
    ByHand("2026-09-12", "22:00", "walk", 1, 1704, 4_047_000_000, 7_500_000),  # 1440 + 264
    ByHand("2026-09-13", "03:45", "walk", 1, 1773, 4_210_875_000, 7_500_000),  # Sunday: 1728 + 45
    ByHand("2026-10-15", "05:45", "walk", 1, 933, 2_215_875_000, 7_500_000),  # Thursday: 864 + 69
    ByHand("2027-01-04", "07:00", "counting", 4, 85, 201_875_000, 22_500_000),  # an hour before 08:00
]

TABLES = {
    "ondermarch": ONDERMARCH,
    "guest-house": GUEST_HOUSE,
    "observatory": OBSERVATORY,
    "ropeworks": ROPEWORKS,
}
EVERY = [(name, ring) for name, rings in TABLES.items() for ring in rings]


@cache
def tapes_of(name: str) -> TapeSet:
    path = PROGRAMMES / f"{name}.chime"
    found = check(path.name, path.read_bytes(), lambda inner: (path.parent / inner).read_bytes())
    assert found.programme is not None
    assert found.calendar is not None
    tapes = lay_out(found.programme, found.calendar).tapes
    assert tapes is not None
    return tapes


def hole_of(name: str, ring: ByHand) -> tuple[Tape, list[Hole]]:
    """The tape of a ring's date, and its holes that pass the ring's finger at that time."""
    tapes = tapes_of(name)
    letter = dict(tapes.tape_on)[date.fromisoformat(ring.day)]
    tape = next(tape for tape in tapes.tapes if tape.id == letter)
    weekday = WEEKDAYS[date.fromisoformat(ring.day).weekday()]
    shown = f"{weekday} {ring.at}" if tape.cycle == "week" else ring.at
    at_that_time = [h for h in tape.holes if shown in [write_phase(tape, phase) for phase in h.rings_at]]
    return tape, [hole for hole in at_that_time if ring.zone in hole.zones and hole.track == ring.track]


@pytest.mark.parametrize(("name", "ring"), EVERY, ids=lambda each: str(each))
def test_a_ring_has_the_row_and_the_place_that_were_worked_out_by_hand(name: str, ring: ByHand) -> None:
    _, [hole] = hole_of(name, ring)
    assert (hole.row, hole.along_nm, hole.across_nm) == (ring.row, ring.along_nm, ring.across_nm)


def test_each_table_has_ten_rings_and_more() -> None:
    assert all(len({(ring.day, ring.at, ring.zone) for ring in rings}) > 10 for rings in TABLES.values())


def test_on_the_twelve_hour_loop_a_hole_passes_twelve_hours_later_too() -> None:
    tape, [hole] = hole_of("observatory", OBSERVATORY[0])
    assert [write_phase(tape, phase) for phase in hole.rings_at] == ["06:30", "18:30"]


AHEAD = {
    "ondermarch": dict.fromkeys(range(1, 7), 4),
    "guest-house": dict.fromkeys(range(1, 4), 2),
    "observatory": dict.fromkeys(range(1, 4), 5),
    "ropeworks": {1: 0, 2: 0, 3: 1, 4: 1},
}
LOOP = {"ondermarch": 1440, "guest-house": 1440, "observatory": 720, "ropeworks": 2016}


@pytest.mark.parametrize(("name", "ring"), EVERY, ids=lambda each: str(each))
def test_read_behind_instead_of_ahead_no_ring_would_have_its_row(name: str, ring: ByHand) -> None:
    """The sign of the offset turned round misses by twice the offset: 8 rows, 4, 10 and 2."""
    interval = 300 if name == "ropeworks" else 60
    hours, minutes = map(int, ring.at.split(":"))
    day = date.fromisoformat(ring.day).weekday() if name == "ropeworks" else 0
    phase_s = ((day * 24 + hours) * 60 + minutes) * 60
    ahead = AHEAD[name][ring.track]
    assert row_of(phase_s, interval, ahead, LOOP[name]) == ring.row
    behind = row_of(phase_s, interval, -ahead, LOOP[name])
    assert (ring.row - behind) % LOOP[name] == 2 * ahead
