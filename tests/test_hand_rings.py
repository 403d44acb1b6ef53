"""Rings by hand: only where the programme allows it and somebody is there, and only where they are cheaper.

Costs, where a machine does not say them: a ring by hand 3 min for each zone and minute, a new tape 90, a tape
change 12, a silence 2 [common practice, no published source].
"""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from chime.cli import group
from chime.compiler import lay_open
from chime.diagnostics import Diagnostic
from chime.tape.model import TapeSet
from chime.verify.model import Verified
from chime.verify.rehearsal import rehearse, set_up
from chime.writers.chart_wall import write_wall
from tests.test_duties import HEAD as NOT_ALLOWED

HEAD = NOT_ALLOWED.replace("  issue ", "  hand rings allowed\n  issue ", 1)
MACHINE = """machine pier-clock
  loop      24 h in rows of 1 min
  switches  each zone
"""
COSTS = "  costs     silence 20 min\n"
"""So dear that nobody silences a hole on all other dates."""

WEEK = """week ordinary
  Mon to Fri  one
  Sat, Sun    silent
term "Winter"  2026-11-02 to 2026-11-13
exceptions
"""
ONE_MORE = '  2026-11-04  add 11:17 horn in hall "Visit"\n'


def laid(text: str) -> tuple[Verified | None, tuple[Diagnostic, ...]]:
    proven = lay_open("ferry.chime", text.encode(), lambda _: b"")
    return proven.verified, proven.diagnostics


def tapes_of(text: str) -> TapeSet:
    verified, wrong = laid(text)
    assert verified is not None, [each.headline for each in wrong]
    assert verified.tapes is not None
    return verified.tapes


def rung(tapes: TapeSet) -> list[tuple[str, str | None]]:
    return [(f"{d.begins.at:%m-%d %H:%M}", d.zone) for d in tapes.operation.duties if d.do == "ring"]


def errors(text: str) -> list[str]:
    return [each.code.id for each in laid(text)[1] if each.severity == "error"]


def test_one_more_ring_on_one_date_is_rung_by_hand_where_that_is_allowed() -> None:
    """3 min by hand; a tape of its own is 90 and two changes of 12."""
    assert len(tapes_of(NOT_ALLOWED + WEEK + ONE_MORE + MACHINE + COSTS).tapes) == 2
    tapes = tapes_of(HEAD + WEEK + ONE_MORE + MACHINE + COSTS)
    assert len(tapes.tapes) == 1
    assert rung(tapes) == [("11-04 11:17", "hall")]
    (duty,) = [duty for duty in tapes.operation.duties if duty.do == "ring"]
    assert (duty.begins, duty.what) == (duty.ends, "ring horn in zone hall for 6 s")
    assert [(f"{ring.at:%m-%d %H:%M}", ring.zone) for ring in duty.missing] == [("11-04 11:17", "hall")]
    assert duty.extra == ()
    (plan,) = [plan for plan in tapes.operation.days if plan.by_hand]
    assert plan.day.isoformat() == "2026-11-04"
    assert [(r.time, r.zone, r.signal, r.duty) for r in plan.by_hand] == [
        (11 * 3600 + 17 * 60, "hall", "horn", duty.id)
    ]


def test_a_ring_by_hand_is_weighed_against_a_tape() -> None:
    """A tape of its own is 90 min and two changes of 12, which is 114."""
    dear = MACHINE + COSTS.replace("20 min", "20 min, hand ring 115 min")
    assert len(tapes_of(HEAD + WEEK + ONE_MORE + dear).tapes) == 2
    even = MACHINE + COSTS.replace("20 min", "20 min, hand ring 113 min")
    assert len(tapes_of(HEAD + WEEK + ONE_MORE + even).tapes) == 1


def test_nobody_is_asked_to_ring_when_nobody_is_there() -> None:
    early = ONE_MORE.replace("11:17", "04:30")
    attended = MACHINE + COSTS + "  attended  Mon to Fri 05:00 - 20:00\n"
    assert len(tapes_of(HEAD + WEEK + early + attended).tapes) == 2
    at_the_end = ONE_MORE.replace("11:17", "20:00")
    assert rung(tapes_of(HEAD + WEEK + at_the_end + attended)) == []
    inside = ONE_MORE.replace("11:17", "19:58")
    assert rung(tapes_of(HEAD + WEEK + inside + attended)) == [("11-04 19:58", "hall")]


def test_a_ring_that_the_machine_silences_is_rung_by_hand() -> None:
    drill = '  2026-11-07  add 10:30 horn in hall "Open day"\n'
    wheel = MACHINE + "  silenced  Sat, Sun\n"
    assert errors(NOT_ALLOWED + WEEK + drill + wheel) == ["T508"]
    tapes = tapes_of(HEAD + WEEK + drill + wheel)
    assert rung(tapes) == [("11-07 10:30", "hall")]
    assert len(tapes.tapes) == 1
    nobody = wheel + "  attended  Mon to Fri 00:00 - 24:00\n"
    assert errors(HEAD + WEEK + drill + nobody) == ["T508"]


def test_the_fault_of_such_a_ring_offers_a_hand() -> None:
    drill = '  2026-11-07  add 10:30 horn in hall "Open day"\n'
    wheel = MACHINE + "  silenced  Sat, Sun\n"
    allow = 'write "hand rings allowed" below the programme\'s name'

    def offered(text: str) -> str:
        (fault,) = [each for each in laid(text)[1] if each.code.id == "T508"]
        return fault.suggestions[-1].text

    assert offered(NOT_ALLOWED + WEEK + drill + wheel) == f"ring it by hand: {allow}"
    nobody = wheel + "  attended  Mon to Fri 00:00 - 24:00\n"
    there = "ring it by hand: write when somebody is there on Sat 2026-11-07 at 10:30"
    assert offered(HEAD + WEEK + drill + nobody) == there
    assert offered(NOT_ALLOWED + WEEK + drill + nobody).startswith(f"{there} and ")


def test_what_two_days_have_in_common_may_be_punched_for_both() -> None:
    """Every date has a ring of its own: no date wants the ordinary holes alone, and yet they are the tape."""
    dates = [f"2026-11-{day:02}" for day in (2, 3, 4, 5, 6, 9, 10, 11, 12, 13)]
    lines = "".join(f"  {day}  add 11:{n + 10} horn in hall\n" for n, day in enumerate(dates))
    tapes = tapes_of(HEAD + WEEK + lines + MACHINE)
    assert len(tapes.tapes) == 1
    assert len(rung(tapes)) == len(dates)


def test_a_plan_with_rings_by_hand_plays_in_every_way_and_misses_what_is_forgotten() -> None:
    lines = ONE_MORE + "  2026-11-05  add 09:20 horn in pier, hall\n  2026-11-10  drop 12:00 in hall\n"
    verified, _ = laid(HEAD + WEEK + lines + MACHINE)
    assert verified is not None
    assert verified.tapes is not None
    machine = verified.programme.machine
    assert machine is not None
    stage = set_up(verified.programme, machine, verified.calendar, verified.tapes)
    assert len(rung(verified.tapes)) == 3
    for way in ("by date", "early", "late"):
        assert rehearse(stage, way) == set(stage.wanted)
    for duty in verified.tapes.operation.duties:
        heard = rehearse(stage, duty.others, without=duty.id)
        missing = {(ring.at, ring.zone) for ring in duty.missing}
        assert {(stage.wanted[at].at, stage.wanted[at].zone) for at in set(stage.wanted) - heard} == missing
        assert len(heard - set(stage.wanted)) == len(duty.extra)


@pytest.fixture
def programme(tmp_path: Path) -> Path:
    path = tmp_path / "ferry.chime"
    path.write_text(HEAD + WEEK + ONE_MORE + MACHINE, encoding="utf-8")
    return path


def test_it_stands_in_every_list(programme: Path, tmp_path: Path) -> None:
    said = CliRunner().invoke(group, ["duties", str(programme)]).stdout
    assert "1 ring by hand" in said
    assert "11:17  ring horn in zone hall for 6 s" in said
    assert "if forgotten: 1 ring missing, hall on Wed 2026-11-04 at 11:17" in said
    options = CliRunner().invoke(group, ["plan", str(programme)]).stdout
    assert "rings" in options
    assert "a ring by hand 3" in options
    out = tmp_path / "out"
    assert CliRunner().invoke(group, ["compile", str(programme), "--out", str(out)]).exit_code == 0
    plan = json.loads((out / "plan.json").read_bytes())
    (day,) = [day for day in plan["days"] if day["by_hand"]]
    (duty,) = [duty for duty in plan["duties"] if duty["do"] == "ring"]
    assert day["date"] == "2026-11-04"
    assert day["by_hand"] == [
        {"time": "11:17", "time_fold": 0, "zone": "hall", "signal": "horn", "duty": duty["id"]}
    ]
    assert duty["from"] == duty["until"] == "2026-11-04T11:17:00"


def test_rings_of_several_zones_at_one_time_are_one_line_of_the_wall_sheet() -> None:
    lines = "  2026-11-04  add 11:17 horn in hall, pier\n  2026-11-04  add 12:30 horn in hall\n"
    verified, _ = laid(HEAD + WEEK + lines + MACHINE + COSTS)
    assert verified is not None
    walls = {day.date: day.lines for day in write_wall(verified, ("A",))}
    assert walls["Wed 2026-11-04"] == (
        "ring horn by hand in hall and pier 11:17",
        "ring horn by hand in hall 12:30",
    )


def test_a_lost_track_takes_no_ring_from_a_hand(programme: Path) -> None:
    """Ten dates with three rings of the hall; the one at 11:17 is a hand's."""
    said = CliRunner().invoke(group, ["plan", str(programme), "--track-lost", "2"]).stdout
    assert "zone hall falls silent: 30 rings in all" in said
