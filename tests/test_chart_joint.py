"""Where a tape is cut, its lap, and how many drive holes it has: on the sheets and in words."""

from collections import Counter

import pytest

from chime.programme.equipment import Count, Machine
from chime.tape.model import Hole, Tape
from chime.verify.model import Verified
from chime.writers.chart import write
from chime.writers.chart_list import describe_tape
from chime.writers.chart_sheet_words import Plan
from chime.writers.chart_sheets import PAPERS, Piece, Shape, cut_up, free_stretches, read_shape
from chime.writers.chart_strip import Strip, count_drive_holes, in_tape_order, lay_flat
from chime.writers.model import ChartChoice
from tests import tape_factory as made
from tests.test_chart import read_pages

A4 = PAPERS["a4"]


def machine(lap: int | None = 12) -> Machine:
    """A loop of 1440 rows of 2.54 mm, read in line; a sheet of A4 shows 75 of them."""
    rows = None if lap is None else Count(lap, False, made.NOWHERE)
    return made.day_machine()._replace(joint_rows=rows, reads=(made.ahead(0),))


def verified(times: str, described: Machine) -> Verified:
    rings = [made.ring(f"2026-09-07 {at}", "main") for at in times.split()]
    return made.verified([made.zone("main", 1)], described, rings)


def strip_of(known: Verified) -> Strip:
    assert known.tapes is not None
    assert known.programme.machine is not None
    return lay_flat(known.tapes.tapes[0], known.programme.machine)


def plan_of(known: Verified, *, all_sheets: bool = False) -> Plan:
    assert known.programme.machine is not None
    shape = read_shape(known.programme.machine, A4)
    assert isinstance(shape, Shape)
    strip = strip_of(known)
    return Plan(strip, cut_up(strip, shape, A4, all_sheets=all_sheets))


def summary_of(known: Verified) -> str:
    return " ".join(describe_tape(known, plan_of(known), A4, is_drawn=True).summary)


def rows_of(piece: Piece) -> range:
    return range(piece.first_row, piece.last_row + 1)


# 08:40 and 15:20 are rows 520 and 920: 1039 rows are free from 15:21 round to 08:39. In their middle a lap of
# 12 would lie on rows 1434 to 5, and so on the label 00:00. With row 1438 for its last, one row is left before
# that label: it begins with row 1427, 23:47.
SCHOOL = "08:40 12:00 15:20"


def test_the_strip_begins_in_the_middle_of_the_longest_stretch_without_holes() -> None:
    strip = strip_of(verified("06:00 20:00", machine()))
    # 360 and 1200: 839 rows are free between them by day, 599 by night. Beside a lap of 12 there are 827, so
    # that 413 stand before it: 361 + 413 is row 774.
    assert strip.first_row == 774
    assert [hole.row for hole in in_tape_order(strip)] == [1200, 360]


def test_the_lap_is_the_beginning_once_more() -> None:
    pieces = plan_of(verified(SCHOOL, machine())).pieces
    last = pieces[-1]
    assert (last.first_row, last.last_row, last.lap_from) == (1425, 1438, 1427)
    assert [piece.ends for piece in pieces] == [False, False, False, True]


def test_a_lap_that_meets_no_round_time_shares_the_sheet_of_the_end() -> None:
    # The strip begins with row 774, on the sheet of rows 750 to 824.
    last = plan_of(verified("06:00 20:00", machine())).pieces[-1]
    assert (last.first_row, last.last_row, last.lap_from) == (750, 785, 774)


def test_a_long_lap_goes_on_to_more_sheets() -> None:
    pieces = plan_of(verified("06:00 20:00", machine(lap=200))).pieces
    assert [(p.first_row, p.last_row, p.lap_from, p.ends) for p in pieces[-4:]] == [
        (300, 374, None, False),
        (675, 749, 680, False),
        (750, 824, 750, False),
        (825, 879, 825, True),
    ]


def test_each_sheet_of_a_long_lap_says_so() -> None:
    known = verified("06:00 20:00", machine(lap=100))
    chart = write(known)
    texts = [page.text for page in read_pages(chart.artefact.content)]
    first, second, last = (texts[sheet.page - 1] for sheet in chart.sheets[-3:])
    assert "LAPhere lies the beginning again: 100 rows" in first
    assert all("LAPthe lap goes on" in text for text in (second, last))
    assert ["CUTthe strip ends here" in text for text in (first, second, last)] == [False, False, True]


@pytest.mark.parametrize("lap", [None, 0])
def test_without_a_lap_the_sheet_of_the_end_is_printed(lap: int | None) -> None:
    last = plan_of(verified("06:00 20:00", machine(lap=lap))).pieces[-1]
    assert (last.first_row, last.last_row, last.lap_from, last.ends) == (750, 779, None, True)


def test_a_lap_longer_than_the_loop_is_not_drawn_round_and_round() -> None:
    assert strip_of(verified(SCHOOL, machine(lap=1_000_000))).length == 2 * 1440


@pytest.mark.parametrize(("lap", "first"), [(0, 780), (12, 774), (700, 430)])
def test_all_sheets_show_every_row_and_those_of_the_lap_twice(lap: int, first: int) -> None:
    pieces = plan_of(verified("06:00 20:00", machine(lap=lap)), all_sheets=True).pieces
    shown = Counter(row for piece in pieces for row in rows_of(piece))
    assert shown == Counter({row: 2 if (row - first) % 1440 < lap else 1 for row in range(1440)})
    assert [piece.begins for piece in pieces] == [True, *[False] * (len(pieces) - 1)]


@pytest.mark.parametrize("times", [SCHOOL, "06:00 20:00", "00:10 23:50", "12:59"])
def test_rows_are_either_on_a_sheet_or_named_as_left_out(times: str) -> None:
    plan = plan_of(verified(times, machine()))
    named = [(first, last) for first, last in free_stretches(plan.strip, plan.pieces)]
    left_out = [
        row % 1440 for first, last in named for row in range(first, last + (1440 if last < first else 0) + 1)
    ]
    on_sheets = [row for piece in plan.pieces for row in rows_of(piece) if not in_lap(row, piece)]
    assert sorted([*left_out, *on_sheets]) == list(range(1440))


def in_lap(row: int, piece: Piece) -> bool:
    return piece.lap_from is not None and row >= piece.lap_from


def test_holes_of_the_lap_are_drawn_twice_and_told_apart() -> None:
    # Holes every ten minutes: all stretches are of nine rows, and the strip begins with row 5.
    every_ten = " ".join(f"{hour:02}:{minute:02}" for hour in range(24) for minute in range(0, 60, 10))
    known = verified(every_ten, machine(lap=12))
    pieces = plan_of(known).pieces
    drawn = Counter((hole.row, hole.again) for piece in pieces for hole in piece.holes)
    assert drawn == Counter([*((row, False) for row in range(0, 1440, 10)), (10, True)])
    assert "Holes in the lap are punched through both layers" in summary_of(known)
    assert "both layers" not in summary_of(verified(SCHOOL, machine()))


# ------------------------------------------------------------------------- in words


@pytest.mark.parametrize(
    ("lap", "said"),
    [
        (12, "it begins with 23:47, and after 23:46 come 23:47 to 23:58 again: a lap of 12 rows"),
        (1, "come 23:58 to 23:58 again: a lap of 1 row,"),
        (0, "it begins with 23:59 and ends with 23:58, where its ends are joined without a lap"),
        (None, "How long its lap must be is not given"),
    ],
)
def test_the_list_says_how_the_tape_is_joined(lap: int | None, said: str) -> None:
    assert said in summary_of(verified(SCHOOL, machine(lap=lap)))


def test_a_tape_without_a_free_row_is_drawn_all_the_same() -> None:
    known = verified("09:00", machine())
    assert known.tapes is not None
    holes = tuple(Hole(row, 1, ("main",), (row * 3600,), 0, 0, ()) for row in range(24))
    full = Tape("A", 24, 3600, "day", known.tapes.tapes[0].dates, holes)
    known = known._replace(tapes=known.tapes._replace(tapes=(full,)))
    assert "No row is free of holes" in summary_of(known)
    (sheet, lap) = write(known).sheets
    assert [hole.row for hole in (*sheet.holes, *lap.holes)] == [*range(24), *range(12)]
    assert all(hole.again for hole in lap.holes)


def test_the_sheets_show_where_the_strip_is_cut() -> None:
    chart = write(verified(SCHOOL, machine()), ChartChoice(all_sheets=True))
    pages = read_pages(chart.artefact.content)
    texts = [pages[sheet.page - 1].text for sheet in chart.sheets]
    assert ["CUTthe strip begins here" in text for text in texts] == [True, *[False] * (len(texts) - 1)]
    assert ["CUTthe strip ends here" in text for text in texts] == [*[False] * (len(texts) - 1), True]


# --------------------------------------------------------------------- drive holes


def test_drive_holes_are_counted_round_the_loop_and_along_the_strip() -> None:
    known = verified(SCHOOL, machine())
    # A drive hole for each row: 1440, and 12 more in the lap.
    assert count_drive_holes(strip_of(known), machine()) == (1440, 1452)
    assert "exactly 1,440 drive holes, the strip before it is joined 1,452" in summary_of(known)


@pytest.mark.parametrize(
    ("pitch", "lap", "said"),
    [
        ("12.7", 15, "exactly 288 drive holes, the strip before it is joined 291"),
        ("12.7", 12, "exactly 288 drive holes; the lap is no whole number of them."),
        ("12.7", 0, "exactly 288 drive holes."),
        ("2.6", 0, "The loop is no whole number of drive holes long"),
    ],
)
def test_drive_holes_that_do_not_come_out_even_are_named(pitch: str, lap: int, said: str) -> None:
    described = machine(lap)._replace(sprocket=made.sprocket(pitch, "1.17", "9.96"))
    assert said in summary_of(verified(SCHOOL, described))


@pytest.mark.parametrize("pitch", [None, "0"])
def test_without_a_pitch_no_drive_hole_is_counted(pitch: str | None) -> None:
    sprocket = made.sprocket("1", "1.17", "9.96")._replace(pitch=made.mm(pitch) if pitch else None)
    described = machine()._replace(sprocket=sprocket)
    known = verified(SCHOOL, described)
    assert count_drive_holes(strip_of(known), described) is None
    assert "drive hole" not in summary_of(known)
    label = describe_tape(known, plan_of(known), A4, is_drawn=True).strip_label
    assert label.endswith("drive holes: ......")


def test_the_label_says_whose_tape_it_is_and_how_many_drive_holes_it_has() -> None:
    known = verified(SCHOOL, machine())
    label = describe_tape(known, plan_of(known), A4, is_drawn=True).strip_label
    for words in ("Saltmarsh School", "issue 3 of 2026-08-20", made.FINGERPRINT[:16], "1,440 drive holes"):
        assert words in label


# ---------------------------------------------------------------------- in the hours


def test_an_hour_that_is_cut_is_counted_on_both_sides() -> None:
    # Holes at 00 and 50 minutes: stretches of 49 and of 9 rows; the first longest one is that from 00:00, so the
    # strip begins with 00:25 and ends with the hole of 00:00.
    times = " ".join(f"{hour:02}:{minute}" for hour in range(24) for minute in ("00", "50"))
    known = verified(times, machine())
    hours = describe_tape(known, plan_of(known), A4, is_drawn=True).hours
    assert [hour.total.what for hour in (hours[0], hours[1], hours[-1])] == [
        "hour from 00:00",
        "hour from 01:00",
        "hour from 00:00",
    ]
    assert [hour.total.holes for hour in (hours[0], hours[1], hours[-1])] == [1, 2, 1]
    assert hours[-1].so_far.holes == 48


def test_a_page_may_begin_inside_a_crowded_hour() -> None:
    times = " ".join(f"09:{minute:02}" for minute in range(13))
    known = verified(f"08:00 {times}", machine())
    hours = describe_tape(known, plan_of(known), A4, is_drawn=True).hours
    assert [hour.stays_together for hour in hours] == [True, False]
    assert write(known, ChartChoice()).artefact.content


def test_cells_that_are_too_long_are_broken_into_lines() -> None:
    zones = [made.zone(f"corridor-number-{n:02}", n) for n in range(1, 9)]
    rings = [made.ring("2026-09-07 09:00", zone.name) for zone in zones]
    known = made.verified(zones, machine(), rings)
    ((row,),) = (hour.rows for hour in describe_tape(known, plan_of(known), A4, is_drawn=True).hours)
    assert row.tracks == "1 2 3 4 5 6 7 8"
    lines = row.zones.split("\n")
    assert len(lines) > 1
    assert ", ".join(zone.name for zone in zones) == " ".join(lines)
    # 7.6 mm for a line, 4.4 mm for each more.
    assert float(row.height) == pytest.approx(7.6 + 4.4 * (len(lines) - 1))
