"""Tapes that serve more dates than their own, the rest silenced by hand: what the planner chooses, laid out.

Each programme is laid out, rehearsed and weighed. Costs, where a machine does not say them: a new tape 90 min, a
tape change 12, a silence 2 [common practice, no published source].
"""

from pathlib import Path

import pytest

import chime.tape.lay_out as layout
from chime.clock import write_time
from chime.compiler import lay_open
from chime.programme.equipment import Machine
from chime.tape.holes import Mark, Window
from chime.tape.loop import Loop
from chime.tape.model import Operation, TapeSet
from chime.tape.serving import Served, Weighed, places_of
from tests.test_duties import HEAD, MACHINE, brief

PROGRAMMES = Path(__file__).resolve().parent.parent / "programmes"
NAMES = ("guest-house", "observatory", "ondermarch", "playhouse", "ropeworks")

WEEK = """week ordinary
  Mon to Fri  one
  Sat, Sun    silent
term "Winter"  2026-11-02 to 2026-11-13
exceptions
  2026-11-04  drop 12:00 in hall "Concert"
"""


def tapes_of(text: str) -> TapeSet:
    proven = lay_open("ferry.chime", text.encode(), lambda _: b"")
    assert proven.verified is not None, [d.headline for d in proven.diagnostics]
    assert proven.verified.tapes is not None
    return proven.verified.tapes


def minutes(tapes: TapeSet) -> int:
    """What a plan takes by the usual costs."""
    duties = tapes.operation.duties
    changes = sum(duty.do == "fit tape" for duty in duties) - 1
    silences = sum(duty.do in ("zone off", "bells off") for duty in duties)
    return 90 * len(tapes.tapes) + 12 * changes + 2 * silences


def test_a_dropped_ring_is_silenced_and_needs_no_tape() -> None:
    # A tape of its own is 90 min and two changes of 12; turning the hall off and on again is 2.
    tapes = tapes_of(HEAD + WEEK + MACHINE)
    assert len(tapes.tapes) == 1
    of_hall = [brief(duty) for duty in tapes.operation.duties if duty.zone == "hall"]
    # Off after the ring of 07:00 and a minute before that of 12:00, on a minute after it.
    assert of_hall == [
        ("bells of zone hall off", "11-04 07:01", "11-04 11:59"),
        ("bells of zone hall on", "11-04 12:01", "11-04 17:59"),
    ]
    (off, _) = [duty for duty in tapes.operation.duties if duty.zone == "hall"]
    assert off.reason == "Concert"
    assert [(f"{ring.at:%m-%d %H:%M}", ring.zone) for ring in off.extra] == [("11-04 12:00", "hall")]


def test_what_costs_more_is_not_done() -> None:
    dear = MACHINE + "  costs  silence 120 min\n"
    assert len(tapes_of(HEAD + WEEK + dear).tapes) == 2  # 90 + 2 x 12 = 114 min
    dear = MACHINE + "  costs  silence 110 min\n"
    assert len(tapes_of(HEAD + WEEK + dear).tapes) == 1


def test_a_switch_that_spares_a_tape_is_turned_in_five_minutes_at_least() -> None:
    """Between the rings of 11:55 and 12:00 a minute is kept clear on both sides: 11:56 to 11:59 are three."""
    near = HEAD.replace("ring 07:00, 12:00, 18:00", "ring 07:00, 11:55, 12:00, 18:00")
    assert len(tapes_of(near + WEEK + MACHINE).tapes) == 2
    far = HEAD.replace("ring 07:00, 12:00, 18:00", "ring 07:00, 11:53, 12:00, 18:00")
    assert len(tapes_of(far + WEEK + MACHINE).tapes) == 1
    # What the programme asks for is done all the same.
    asked = near + WEEK.replace("drop 12:00 in hall", "silent in hall 11:57 - 12:30") + MACHINE
    assert len(tapes_of(asked).tapes) == 1


def test_a_zone_without_a_switch_has_a_tape_of_its_own() -> None:
    together = MACHINE.replace("each zone", "all together")
    # The pier rings at 12:00 too, so that all bells together cannot be off then.
    assert len(tapes_of(HEAD + WEEK + together).tapes) == 2


def test_where_nobody_is_there_in_time_a_tape_is_punched() -> None:
    absent = MACHINE.replace(
        "Mon to Fri 06:00 - 19:00", "Mon to Fri 06:00 - 06:59\n  attended  Mon to Fri 18:02 - 19:00"
    )
    assert len(tapes_of(HEAD + WEEK + absent).tapes) == 2


def test_a_change_that_is_dear_is_silenced_for_a_fortnight() -> None:
    """Two kinds of day take turns; the longer one serves both once changes cost more than silences."""
    text = (
        HEAD.replace("ring 07:00, 12:00, 16:00, 17:00", "ring 07:00, 12:00")
        + WEEK.replace("  Mon to Fri  one\n", "  Mon, Wed, Fri  one\n  Tue, Thu  two\n").split("exceptions")[
            0
        ]
    )
    assert len(tapes_of(text + MACHINE).tapes) == 1
    both = tapes_of(text + MACHINE + "  costs  tape change 1 min, silence 60 min, new tape 30 min\n")
    assert len(both.tapes) == 2


def with_own_holes(_: Machine, weighed: Weighed, __: Loop, windows: list[Window]) -> Served:
    """Give each window what it wants, and what an exception silences if a hand can silence it."""
    kept: list[Mark] = []
    for window, (ways, _can_change) in zip(windows, weighed.ways, strict=True):
        if weighed.punched.index(places_of((*window.wanted, *window.kept))) in ways:
            kept += window.kept
    return Served(tuple(kept))


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_programme_costs_no_more_than_with_a_tape_for_each_kind_of_day(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = PROGRAMMES / f"{name}.chime"

    def laid() -> TapeSet:
        proven = lay_open(path.name, path.read_bytes(), lambda inner: (path.parent / inner).read_bytes())
        assert proven.verified is not None
        assert proven.verified.tapes is not None
        return proven.verified.tapes

    chosen = laid()
    monkeypatch.setattr(layout, "serve", with_own_holes)
    assert minutes(chosen) <= minutes(laid())


# ---------------------------------------------------------------------- by the dates of the plan


def changes_on(operation: Operation, day: str) -> list[tuple[str, str, str]]:
    """When on a date nothing sounds because the tape of the date is not on."""
    (plan,) = [plan for plan in operation.days if plan.day.isoformat() == day]
    return [
        (write_time(each.starts), write_time(each.ends), each.reason)
        for each in plan.silenced
        if each.by == "tape change"
    ]


def test_before_a_tape_is_fitted_nothing_of_it_sounds_on_its_date() -> None:
    """The observatory is attended from 18:00; its first tape holds bells of the small hours before that."""
    operation = operation_of("observatory")
    assert changes_on(operation, "2027-02-01") == [("00:00", "18:00", "tape A is not on yet")]
    assert all(duty.missing or duty.extra for duty in operation.duties)


def test_after_a_tape_is_taken_off_nothing_of_it_sounds_on_its_date() -> None:
    """On 6 January the hall rings last at 15:25; the tape has bells at 19:00 and 20:15 for evenings of other dates."""
    assert changes_on(operation_of("ondermarch"), "2027-01-06") == [
        ("15:26", "24:00", "tape A is on already")
    ]


def operation_of(name: str) -> Operation:
    path = PROGRAMMES / f"{name}.chime"
    proven = lay_open(path.name, path.read_bytes(), lambda inner: (path.parent / inner).read_bytes())
    assert proven.verified is not None
    assert proven.verified.tapes is not None
    return proven.verified.tapes.operation
