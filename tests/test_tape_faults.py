"""What the layout of a tape refuses, and what it offers instead."""

import pytest

from chime.programme.equipment import Machine
from chime.programme.model import Zone
from chime.rings.model import Ring
from chime.tape.faults import CODES
from chime.tape.laid_out import LaidOut
from chime.tape.lay_out import lay_out
from tests import tape_factory as made

MONDAY = "2026-09-07"


def laid(zones: list[Zone], machine: Machine, rings: list[Ring]) -> LaidOut:
    return lay_out(made.programme(zones, machine), made.calendar(rings))


def codes(result: LaidOut) -> list[str]:
    return [diagnostic.code.id for diagnostic in result.diagnostics]


# ----------------------------------------------------------------------- faults


def test_a_ring_between_rows_is_refused_and_the_rows_beside_it_offered() -> None:
    written = made.spot("ring 08:45:30 lesson")
    result = laid(
        [made.zone("main", 1)], made.day_machine(), [made.ring(f"{MONDAY} 08:45:30", "main", written)]
    )
    assert result.tapes is None
    (fault,) = result.diagnostics
    assert fault.code.id == "T503"
    assert fault.headline == "a ring at 08:45:30 falls between two rows of the tape"
    assert [suggestion.text for suggestion in fault.suggestions] == ["ring at 08:45", "ring at 08:46"]
    assert [edit.span.text for each in fault.suggestions for edit in each.edits] == ["08:45:30"] * 2


def test_one_line_that_rings_on_many_dates_is_refused_once() -> None:
    written = made.spot("ring 08:47 lesson")
    rings = [made.ring(f"2027-01-{day:02} 08:47", "shop", written) for day in (4, 5, 6, 11)]
    result = laid([made.zone("shop", 1)], made.week_machine(), rings)
    assert codes(result) == ["T503"]
    assert [suggestion.text for suggestion in result.diagnostics[0].suggestions] == [
        "ring at 08:45",
        "ring at 08:50",
    ]


def test_the_row_after_the_day_s_last_is_offered_as_midnight() -> None:
    result = laid([made.zone("shop", 1)], made.week_machine(), [made.ring("2027-01-04 23:58", "shop")])
    assert [suggestion.text for suggestion in result.diagnostics[0].suggestions] == [
        "ring at 23:55",
        "ring at 00:00",
    ]


def test_rows_that_do_not_divide_the_day_are_told_apart_by_weekday() -> None:
    machine = made.week_machine()._replace(row_interval=made.seconds(7 * 60))
    rings = [made.ring("2027-01-04 00:01", "shop"), made.ring("2027-01-05 00:01", "shop")]
    result = laid([made.zone("shop", 1)], machine, rings)
    # Monday's rows are at 00:00 and 00:07. Tuesday 00:01 is 1441 min into the week, 6 min after 1435 (23:55).
    assert {(fault.headline, *(each.text for each in fault.suggestions)) for fault in result.diagnostics} == {
        ("a ring at 00:01 on a Monday falls between two rows of the tape", "ring at 00:00", "ring at 00:07"),
        ("a ring at 00:01 on a Tuesday falls between two rows of the tape", "ring at 23:55", "ring at 00:02"),
    }


def test_a_moved_ring_between_rows_shows_the_line_that_moved_it() -> None:
    written, moving = made.spot("ring 08:45"), made.spot("shift +30 s")
    ring = made.ring(f"{MONDAY} 08:45:30", "main", written, moved_by=(moving,))
    (fault,) = laid([made.zone("main", 1)], made.day_machine(), [ring]).diagnostics
    assert [label.span for label in fault.labels] == [written, moving]
    assert not any(suggestion.edits for suggestion in fault.suggestions)


@pytest.mark.parametrize(
    "machine", [made.day_machine()._replace(cycle=None), made.day_machine()._replace(row_interval=None)]
)
def test_a_machine_without_loop_or_rows_is_refused(machine: Machine) -> None:
    result = laid([made.zone("main", 1)], machine, [made.ring(f"{MONDAY} 09:00", "main")])
    assert (result.tapes, codes(result)) == (None, ["T501"])


@pytest.mark.parametrize(("cycle", "interval"), [(86_400, 420), (86_400, 2.5), (86_400, 0), (0, 60)])
def test_a_loop_of_no_whole_rows_is_refused(cycle: float, interval: float) -> None:
    machine = made.day_machine()._replace(cycle=made.seconds(cycle), row_interval=made.seconds(interval))
    result = laid([made.zone("main", 1)], machine, [made.ring(f"{MONDAY} 09:00", "main")])
    assert (result.tapes, codes(result)) == (None, ["T502"])


def test_a_ringing_zone_without_track_is_refused_and_a_free_track_sketched() -> None:
    result = laid(
        [made.zone("main"), made.zone("yard", 1, 3, together=True), made.zone("hall", 3)],
        made.day_machine(),
        [made.ring(f"{MONDAY} 09:00", "main")],
    )
    (fault,) = result.diagnostics
    assert (fault.code.id, fault.labels[0].span.text) == ("T504", "zone main")
    assert fault.suggestions[0].text.endswith("zone main on track 2")


@pytest.mark.parametrize("track", [0, 9])
def test_a_track_that_the_machine_does_not_have_is_refused(track: int) -> None:
    result = laid([made.zone("main", track)], made.day_machine(), [made.ring(f"{MONDAY} 09:00", "main")])
    assert codes(result) == ["T505"]


def test_a_track_beyond_the_machine_is_refused_also_among_others_to_choose_from() -> None:
    result = laid([made.zone("main", 1, 9)], made.day_machine(), [made.ring(f"{MONDAY} 09:00", "main")])
    assert codes(result) == ["T505"]


@pytest.mark.parametrize("zone", [made.zone("main", 4), made.zone("main", 3, 4, together=True)])
def test_a_track_out_of_use_is_refused(zone: Zone) -> None:
    said = made.spot("track 4")
    machine = made.day_machine()._replace(out_of_use=((4, said),))
    (fault,) = laid([zone], machine, [made.ring(f"{MONDAY} 09:00", "main")]).diagnostics
    assert fault.code.id == "T506"
    assert [label.span for label in fault.labels] == [zone.span, said]


def test_zones_that_differ_cannot_share_a_track() -> None:
    rings = [
        made.ring("2026-09-07 09:00", "main"),
        made.ring("2026-09-07 09:00", "yard"),
        made.ring("2026-09-08 10:45", "yard"),
    ]
    (fault,) = laid([made.zone("main", 2), made.zone("yard", 2)], made.day_machine(), rings).diagnostics
    assert fault.code.id == "T507"
    assert fault.headline == "zones main and yard share track 2, but do not ring at the same times"
    assert "On Tue 2026-09-08 at 10:45 zone yard rings and zone main does not." in fault.why
    assert [label.span.text for label in fault.labels] == ["zone yard", "zone main"]


def test_every_fault_of_a_programme_comes_in_one_run() -> None:
    zones = [made.zone("main", 9), made.zone("yard"), made.zone("hall", 1)]
    rings = [made.ring(f"{MONDAY} 09:00", "yard"), made.ring(f"{MONDAY} 09:00:15", "hall")]
    assert sorted(codes(laid(zones, made.day_machine(), rings))) == ["T503", "T504", "T505"]


def test_codes_are_distinct_and_explain_themselves() -> None:
    assert len({code.id for code in CODES}) == len({code.slug for code in CODES}) == len(CODES)
    for code in CODES:
        assert code.stage == "tape"
        assert code.explanation
        assert code.wrong != code.right
