"""The hole list, byte by byte and read back."""

import csv
from datetime import date
from io import StringIO

from chime.clock import DAY
from chime.tape.model import Hole, Tape
from chime.verify.model import Verified
from chime.writers.hole_list import COLUMNS, write
from tests import tape_factory as made


def read(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(content.decode(), newline="")))


def test_a_small_tape_to_the_byte() -> None:
    zones = [made.zone("main", 1), made.zone("junior", 1), made.zone("yard", 4)]
    rings = [made.ring("2026-09-07 08:45", name) for name in ("main", "junior", "yard")]
    (file,) = write(made.verified(zones, made.day_machine(), rings))
    # 08:45 is row 525, three rows ahead 528; 528 x 2.54 = 1341.12. The only row leaves 1439 free: the cut
    # lies 720 rows after it, and so the hole 720 x 2.54 = 1828.8 mm after the cut. Line ends: RFC 4180,
    # section 2, rule 1.
    assert file.name == "holes-A.csv"
    assert file.content == (
        b"row,printed_label,rings_at,track,zones,along_mm,from_cut_mm,across_mm,size_mm,width_mm,reads\r\n"
        b"528,08:48,08:45,1,junior main,1341.12,1828.8,2.34,1.83,1.83,cannot say\r\n"
        b"528,08:48,08:45,4,yard,1341.12,1828.8,12.5,1.83,1.83,cannot say\r\n"
    )


def test_a_half_day_loop_gives_both_times_of_a_hole() -> None:
    rings = [made.ring("2026-09-07 14:00", "halls")]
    (file,) = write(made.verified([made.zone("halls", 1)], made.half_day_machine(), rings))
    (line,) = read(file.content)
    assert (line["row"], line["printed_label"], line["rings_at"]) == ("124", "02:04", "02:00 14:00")


def test_a_week_loop_gives_weekdays_and_a_slot_both_sizes() -> None:
    rings = [made.ring("2027-01-08 22:00", "shop")]
    (file,) = write(made.verified([made.zone("shop", 1)], made.week_machine(), rings))
    (line,) = read(file.content)
    assert (line["printed_label"], line["rings_at"]) == ("Fri 22:00", "Fri 22:00")
    assert (line["along_mm"], line["size_mm"], line["width_mm"]) == ("6726", "2.4", "1.6")


def test_what_the_machine_does_not_say_stays_empty() -> None:
    machine = made.bare_machine()._replace(cycle=made.seconds(DAY), row_interval=made.seconds(60))
    (file,) = write(made.verified([made.zone("main", 1)], machine, [made.ring("2026-09-07 09:00", "main")]))
    (line,) = read(file.content)
    assert [line[name] for name in COLUMNS] == ["540", "09:00", "09:00", "1", "main", *[""] * 5, "cannot say"]


def test_a_full_loop_has_no_distance_from_a_cut() -> None:
    holes = tuple(Hole(row, 1, ("main",), (row * 21_600,), 0, 0, ()) for row in range(4))
    tape = Tape("A", 4, 21_600, "day", (date(2026, 9, 7),), holes)
    known = made.verified([made.zone("main", 1)], made.day_machine(), [made.ring("2026-09-07 09:00", "main")])
    assert known.tapes is not None
    (file,) = write(known._replace(tapes=known.tapes._replace(tapes=(tape,))))
    assert [line["from_cut_mm"] for line in read(file.content)] == [""] * 4


def test_each_tape_has_a_file_and_each_hole_a_line_in_tape_order() -> None:
    rings = [
        *made.every_day("2026-09-07", "2026-09-10", "15:05 08:45 10:45", "main"),
        *made.every_day("2026-09-11", "2026-09-11", "13:10 08:45", "main"),
    ]
    files = write(made.verified([made.zone("main", 1)], made.day_machine(), rings))
    assert [file.name for file in files] == ["holes-A.csv", "holes-B.csv"]
    labels = [[line["printed_label"] for line in read(file.content)] for file in files]
    assert labels == [["08:48", "10:48", "15:08"], ["08:48", "13:13"]]


def test_reading_the_list_back_gives_the_rings_that_made_it() -> None:
    rings = made.every_day("2026-09-07", "2026-09-07", "00:05 08:40 12:59 23:58", "main")
    (file,) = write(made.verified([made.zone("main", 1)], made.day_machine(), rings))
    # A finger three rows ahead rings row r when the pointer shows r - 3, round the loop of 1440 rows.
    times = {(int(line["row"]) - 3) % 1440 for line in read(file.content)}
    assert times == {ring.at.hour * 60 + ring.at.minute for ring in rings}


def test_without_machine_or_tapes_there_is_no_file() -> None:
    rings = [made.ring("2026-09-07 09:00", "main")]
    without = made.verified([made.zone("main", 1)], None, rings)
    assert isinstance(without, Verified)
    assert write(without) == ()
