"""Hard cases of tape machines, each with the answer that a technician would give.

The machines and the answers are worked out by hand (invented inputs, no published source). Machine P steps once a
minute, drops in and has a gate from 8 s to 14 s; machine Q creeps at 1.5 mm a minute under a brush.
"""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from chime.cli import group
from chime.compiler import lay_open
from chime.diagnostics import Diagnostic
from chime.verify.model import Verdict, Verified

HEAD = """programme "Fernhill Hall"
  place  Europe/London
  issue  1 on 2026-08-20
zone hall on track 1
zone yard on track 2
"""
WEEK = """week ordinary
  Mon to Sun  all
term "Autumn"  2026-09-07 to 2026-09-20
"""
P = """machine p
  loop      24 h in rows of 1 min
  row       2.40 mm
  sprocket  every 2.40 mm within 0.01 mm, hole 1.20 mm, 2.00 mm from the guided edge
  wheel     24 pins 1.00 mm over 150 degrees
  tape      30 mm wide, 0.15 mm thick
  drive     steps in 0.25 s
  tracks    at 8, 12, 16, 20 mm from the guided edge
  hole      round 1.60 mm within 0.05 mm
  finger    drops in, round 0.70 mm within 0.05 mm
  side play 0.20 mm
  reads     3 rows ahead
  gate      at 8 s for 6 s, within 0.5 s
  relay     operates 30 ms, releases 20 ms, bounces 20 ms
  errors    jig 0.10 mm, registration 0.05 mm, detent 0.08 mm, stretch 0.1 % over 30 mm
  web       at least 0.50 mm
  joint     lap of 12 rows
"""
Q = """machine q
  loop      12 h in rows of 1 min
  row       1.50 mm
  sprocket  every 3.00 mm within 0.01 mm, hole 1.20 mm, 2.00 mm from the guided edge
  wheel     24 pins 1.00 mm over 150 degrees
  tape      30 mm wide, 0.15 mm thick
  drive     steady
  tracks    at 8, 12 mm from the guided edge
  hole      round 1.20 mm within 0.05 mm
  finger    brushes, 0.50 mm by 0.40 mm within 0.02 mm
  side play 0.50 mm
  wear      0.10 mm
  reads     0 rows ahead
  no gate
  relay     operates 30 ms, releases 20 ms, bounces 20 ms
  errors    jig 0.02 mm, registration 0.02 mm, stretch 0.1 % over 10 mm
  web       at least 0.10 mm
  joint     lap of 12 rows
  silenced  18:00 - 06:00
"""


def programme(times: str, machine: str, *, zone: str = "hall", signal: str = "6 s within 1.5 s") -> str:
    return f"{HEAD}signal bell  {signal}\ntimetable all in {zone}\n  ring {times}  bell\n{WEEK}{machine}"


def found(text: str) -> tuple[Verified | None, tuple[Diagnostic, ...]]:
    return lay_open("hall.chime", text.encode(), lambda _: b"")


def errors(text: str) -> list[str]:
    return [fault.code.id for fault in found(text)[1] if fault.severity == "error"]


def verdict(text: str, begins: str) -> Verdict:
    verified, faults = found(text)
    assert verified is not None, [fault.headline for fault in faults]
    return next(each for each in verified.verdicts if each.check.startswith(begins))


# -------------------------------------------------------- a ring each minute, three times


def test_three_minutes_that_follow_each_other_are_three_holes_and_three_rings() -> None:
    text = programme("10:15, 10:16, 10:17", P)
    verified, faults = found(text)
    assert [fault.code.id for fault in faults if fault.severity == "error"] == []
    assert verified is not None
    assert verified.tapes is not None
    (tape,) = verified.tapes.tapes
    assert [(hole.row, hole.track) for hole in tape.holes] == [(10 * 60 + m, 1) for m in (18, 19, 20)]
    web = verdict(text, "Enough of the tape is left between holes of a track.")
    assert web.margin_mm == pytest.approx(0.05)  # 0.55 mm of web at one setting of the jig, 0.50 mm asked for
    assert web.says.endswith(
        "leave 0.55 mm, if they are punched at one setting of the jig; else they leave 0.45 mm"
    )
    assert web.provided == "holes of a track that are 1 row apart are punched at one setting of the jig"
    assert verdict(text, "Every ring has the length").says == "a ring lasts 5.99 s, at worst 5.0 s to 7.0 s"


def test_the_margin_of_machine_p_holds_and_is_less_than_a_reserve_of_a_twentieth() -> None:
    text = programme("10:15", P)
    assert verdict(text, "Every hole is read in its own row.").margin_mm == pytest.approx(0.086, abs=0.0005)
    told = {fault.code.id for fault in found(f"{text}  reserve 5 %\n")[1]}
    assert told == {"V631", "N393"}  # and that nothing rings in the yard


def test_without_a_gate_the_same_minutes_are_one_ring_of_three_minutes() -> None:
    long = "68 s within 15 s"
    assert errors(programme("10:15, 10:16, 10:17", Q, signal=long)) == ["V616"]
    assert errors(programme("10:15, 10:17", Q, signal=long)) == []
    # A bell of a minute and eight seconds is no lesson bell: that is said first.
    assert errors(programme("10:15, 10:17", Q)) == ["V615"]


# ------------------------------------------------------------------ half a minute


def test_half_a_minute_is_on_no_row_and_both_rows_beside_it_are_offered() -> None:
    (fault,) = [each for each in found(programme("08:44:30", P))[1] if each.code.id == "T503"]
    assert [offer.text for offer in fault.suggestions] == ["ring at 08:44", "ring at 08:45"]


def test_a_machine_of_half_minutes_takes_it() -> None:
    halves = P.replace("rows of 1 min", "rows of 30 s")
    verified, faults = found(programme("08:44:30", halves))
    assert [fault.code.id for fault in faults if fault.severity == "error"] == []
    assert verified is not None
    assert verified.tapes is not None
    (tape,) = verified.tapes.tapes
    assert (tape.rows, [hole.row for hole in tape.holes]) == (2880, [2 * (8 * 60 + 44) + 1 + 3])


# ------------------------------------------------------------- twelve hours too short


def test_on_twelve_hours_six_holes_of_a_long_day_ring_again() -> None:
    """06:30 again at 18:30, 08:40 at 20:40, 08:45 at 20:45, 19:00 at 07:00, 20:30 at 08:30, 21:00 at 09:00."""
    half = P.replace("24 h", "12 h") + "  silenced  21:30 - 06:15\n"
    (fault,) = [
        each
        for each in found(programme("06:30, 08:40, 08:45, 15:05, 19:00, 20:30, 21:00", half))[1]
        if each.severity == "error"
    ]
    assert fault.code.id == "T509"
    assert fault.headline == (
        "the holes for 06:30, 08:40, 08:45, 19:00, 20:30 and 21:00 would also ring zone hall at 07:00, 08:30, "
        "09:00, 18:30, 20:40 and 20:45"
    )
    # No stretch of a day holds all six and none of the wanted ones, so no time switch is offered.
    assert fault.suggestions[0].text == "ring zone hall then too, or use a loop of a day"


# ------------------------------------------------------------------- a sneak path


def test_a_zone_on_two_tracks_with_tied_contacts_rings_the_zone_that_shares_one() -> None:
    """The yard hears tracks 1 and 3, the hall track 1: tied to it, the hall hears track 3 as well."""
    both = f"{HEAD}signal bell  6 s within 1.5 s\n{WEEK}{P}".replace(
        "zone yard on track 2", "zone yard on tracks 1 and 3"
    )
    apart = "timetable all\n  ring 10:15  bell in hall\n  ring 11:00  bell in yard\n"
    assert "T507" in errors(both + apart)
    # With contacts of their own the hall's hole on track 1 still rings both: it is the shared track that is wrong.
    assert "T507" in errors(both + "  contacts separate\n" + apart)
    own = both.replace("tracks 1 and 3", "tracks 2 and 3")
    assert errors(own + apart) == []


def test_a_tip_that_was_not_measured_stops_no_list_and_is_said_in_large_type(tmp_path: Path) -> None:
    path = tmp_path / "hall.chime"
    path.write_text(
        programme("10:15", P.replace("drops in, round 0.70 mm within 0.05 mm", "drops in")), "utf-8"
    )
    result = CliRunner().invoke(group, ["compile", str(path), "--out", str(tmp_path / "out")])
    assert result.exit_code == 0
    assert {"calendar.ics", "holes-A.csv", "chart.pdf"} <= {
        each.name for each in (tmp_path / "out").iterdir()
    }
    checks = json.loads((tmp_path / "out" / "plan.json").read_bytes())["checks"]
    unsaid = {check["check"] for check in checks if check["verdict"] == "cannot say"}
    assert "Every hole is read in its own row." in unsaid
    assert "The contact is closed all through the gate." in unsaid
    assert "  Cannot say: Every hole is read in its own row.\n" in result.stdout
    assert "the machine's block does not say: shape of the tips, length of the tips" in result.stdout


# ------------------------------------------------------------- printed at 97 per cent


def test_a_chart_that_was_fitted_to_its_paper_is_no_template_and_its_list_stays_right(tmp_path: Path) -> None:
    """A bar of 250.0 mm measures 242.5 mm: a sheet of 240 mm is 7.2 mm short, three rows of 2.40 mm."""
    path, out = tmp_path / "hall.chime", tmp_path / "out"
    path.write_text(programme("10:15", P), "utf-8")
    asked = ["compile", str(path), "--out", str(out)]
    refused = CliRunner().invoke(group, [*asked, "--bar", "250", "--bar-measured", "242.5"])
    assert refused.exit_code == 2
    assert refused.stderr.splitlines()[-1] == (
        "chime: a bar of 250 mm measured 242.5 mm, so the sheet was printed at 97.0 %: over 240 mm that is 7.2 mm, 3.0 "
        "rows. It was fitted to the paper: print at 100 % and measure again; as a list it is right"
    )
    assert not out.exists()
    assert CliRunner().invoke(group, [*asked, "--list-only"]).exit_code == 0
    # 249.3 mm is a printer's own slip, which a sheet can be drawn against.
    assert CliRunner().invoke(group, [*asked, "--bar", "250", "--bar-measured", "249.3"]).exit_code == 0


# --------------------------------------------------------------- a gate on a creeping tape


def test_a_gate_on_a_creeping_tape_is_bound_by_its_large_holes() -> None:
    """Machine Q with a gate of 5 s whose middle is 2 s from the row: 0.628 mm and 0.4625 mm less its errors.

    Its errors are 0.02, 0.02 and 0.1 % of 10 mm: 0.05 mm.
    """
    gated = Q.replace("no gate", "gate      at 59.5 s for 5 s, within 0 s").replace(
        "within 0.02 mm\n  side", "within 0 mm\n  side"
    )
    text = programme("10:15, 10:17", gated, signal="5 s within 1.5 s")
    assert errors(text) == []
    whole = verdict(text, "Every hole is read in its own row.")
    assert whole.verdict == "holds"
    assert whole.margin_mm == pytest.approx(0.628 - 0.05, abs=0.001)
    second = verdict(text, "No hole is read in a row beside its own.")
    assert second.margin_mm == pytest.approx(0.4625 - 0.05, abs=0.001)
    assert second.margin_s == pytest.approx(0.4125 / 0.025, abs=0.05)
    start = verdict(text, "Every ring starts in its own minute.")
    assert start.margin_s == pytest.approx(30 - 0.5 - 0.03)
    # Half a row later the gate finds no hole at all.
    assert set(errors(text.replace("at 59.5 s", "at 27.5 s"))) == {"V611", "V612"}


def test_without_a_gate_a_stepped_machine_rings_all_through_its_row() -> None:
    ungated = P.replace("gate      at 8 s for 6 s, within 0.5 s", "no gate")
    long = "59.8 s within 2 s"
    assert errors(programme("10:15, 10:17", ungated, signal=long)) == []
    assert errors(programme("10:15, 10:16", ungated, signal=long)) == ["V616"]
    start = verdict(programme("10:15", ungated, signal=long), "Every ring starts in its own minute.")
    assert start.margin_s == pytest.approx(30 - 0.241 - 0.02 - 0.03, abs=0.001)
