"""Rings in the hours of a clock change: London, 29 March 2026 forward and 25 October 2026 back.

The dates are those of the IANA data (release 2026f) and of the plain rule, the last Sunday of March
and of October.
"""

from datetime import datetime

from tests.compiling import checked, codes_of, compiled, rings_of, said

HEAD = """programme "Night watch"
  place Europe/London
  issue 1 on 2026-01-10
{clocks}zone main on track 1 "Main"
signal lesson 6 s within 2 s
timetable night in main
  ring {times} lesson
week ordinary
  Mon to Sun night
term "Change" {dates}
"""
SPRING = "2026-03-27 to 2026-03-30"
AUTUMN = "2026-10-24 to 2026-10-26"


def text(clocks: str, times: str, dates: str) -> str:
    return HEAD.format(clocks=f"  clocks {clocks}\n" if clocks else "", times=times, dates=dates)


def on(day: str, programme: str) -> list[tuple[str, int]]:
    return [(f"{r.at:%H:%M}", r.fold) for r in rings_of(programme) if r.at.date().isoformat() == day]


def test_a_ring_in_the_missing_hour_is_an_error_at_its_line() -> None:
    found = checked(text("", "00:30, 01:30", SPRING))
    assert said(found.diagnostics) == [
        "D441 7:3 Sun 2026-03-29 01:30 does not exist in Europe/London: the clocks go forward"
    ]


def test_skipped_it_is_no_ring_and_is_known_as_such() -> None:
    programme = text("skip missing hour", "00:30, 01:30", SPRING)
    assert on("2026-03-29", programme) == [("00:30", 0)]
    calendar = compiled(programme).calendar
    assert calendar is not None
    assert [(s.ring.at, s.hour) for s in calendar.silenced] == [
        (datetime(2026, 3, 29, 1, 30), "missing hour")
    ]


def test_a_substitute_gathers_the_rings_of_the_hour_into_one() -> None:
    programme = text("ring missing hour at 02:00", "01:10, 01:30, 02:00", SPRING)
    assert on("2026-03-29", programme) == [("02:00", 0)]
    assert on("2026-03-28", programme) == [("01:10", 0), ("01:30", 0), ("02:00", 0)]


def test_a_substitute_in_the_hour_itself_is_an_error() -> None:
    assert codes_of(text("ring missing hour at 01:45", "01:30", SPRING)) == ["D443"]


def test_a_ring_in_the_repeated_hour_is_an_error_at_its_line() -> None:
    found = checked(text("", "01:30", AUTUMN))
    assert said(found.diagnostics) == [
        "D442 7:3 Sun 2026-10-25 01:30 comes twice in Europe/London: the clocks go back"
    ]


def test_the_repeated_hour_rings_first_second_or_both() -> None:
    for word, expected in (
        ("first", [("01:30", 0)]),
        ("second", [("01:30", 1)]),
        ("both", [("01:30", 0), ("01:30", 1)]),
    ):
        assert on("2026-10-25", text(f"repeated hour rings {word}", "01:30", AUTUMN)) == expected


def test_rings_stand_in_order_of_instant() -> None:
    programme = text("repeated hour rings both", "01:10, 01:50, 02:05", AUTUMN)
    assert on("2026-10-25", programme) == [
        ("01:10", 0),
        ("01:50", 0),
        ("01:10", 1),
        ("01:50", 1),
        ("02:05", 0),
    ]


def test_a_choice_for_an_hour_without_rings_is_allowed() -> None:
    assert codes_of(text("skip missing hour, repeated hour rings first", "09:00", SPRING)) == []


def test_the_date_is_the_clocks_not_the_service_days() -> None:
    programme = text("skip missing hour", "25:30", SPRING)
    assert on("2026-03-29", programme) == []
    assert on("2026-03-28", programme) == [("01:30", 0)]


def test_the_edges_of_the_hours() -> None:
    assert codes_of(text("", "00:59, 02:00", SPRING)) == []
    assert codes_of(text("", "00:59, 02:00", AUTUMN)) == []
    assert codes_of(text("", "01:00", SPRING)) == ["D441"]
    assert codes_of(text("", "01:00", AUTUMN)) == ["D442"]
