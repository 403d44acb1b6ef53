"""What a person must do: the page for him, and the duties as they are worked out.

The examples are worked out by hand from the hours in which somebody is there and the rings about them.
"""

from datetime import date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pypdfium2 import PdfDocument

from chime.cli import group
from chime.compiler import compile_programme, lay_open
from chime.tape.model import Duty

HEAD = """programme "Ferry House"
  place  Europe/London
  issue  1 on 2026-08-20
zone pier on track 1
zone hall on track 2
signal horn  6 s within 2 s
timetable one in pier, hall
  ring 07:00, 12:00, 18:00  horn
timetable two in pier, hall
  ring 07:00, 12:00, 16:00, 17:00  horn
"""
WEEK = """week ordinary
  Mon to Thu  one
  Fri         two
  Sat, Sun    silent
term "Winter"  2026-11-02 to 2026-11-13
"""
MACHINE = """machine pier-clock
  loop      24 h in rows of 1 min
  silenced  Sat, Sun turning at 00:30 within 5 min
  switches  each zone
  attended  Mon to Fri 06:00 - 19:00
"""


def duties_of(text: str) -> tuple[Duty, ...]:
    proven = lay_open("ferry.chime", text.encode(), lambda _: b"")
    assert proven.verified is not None, [d.headline for d in proven.diagnostics]
    assert proven.verified.tapes is not None
    return proven.verified.tapes.operation.duties


def brief(duty: Duty) -> tuple[str, str, str]:
    return duty.what, f"{duty.begins.at:%m-%d %H:%M}", f"{duty.ends.at:%m-%d %H:%M}"


def test_a_tape_is_fitted_after_the_last_ring_of_the_one_before() -> None:
    # Somebody is there until 19:00; a minute is kept clear of the ring of 18:00, or of 17:00 on Fridays.
    assert [brief(duty) for duty in duties_of(HEAD + WEEK + MACHINE)] == [
        ("fit tape A", "10-30 18:01", "10-30 19:00"),  # the Friday before, for that is the last time
        ("fit tape B in place of tape A", "11-05 18:01", "11-05 19:00"),
        ("fit tape A in place of tape B", "11-06 18:01", "11-06 19:00"),
        ("fit tape B in place of tape A", "11-12 18:01", "11-12 19:00"),
        ("bells of every zone off", "11-16 06:00", "11-16 06:59"),  # after the last date
    ]


def test_a_closed_day_is_silenced_by_hand_from_the_morning_to_its_last_hole() -> None:
    closed = 'exceptions\n  Tue 2026-11-10  silent  "Divers"\n'
    found = [duty for duty in duties_of(HEAD + WEEK + closed + MACHINE) if duty.reason == "Divers"]
    assert [(duty.do, *brief(duty)[1:]) for duty in found] == [
        ("bells off", "11-10 06:00", "11-10 06:59"),
        ("bells on", "11-10 18:01", "11-10 19:00"),
    ]
    off, on = found
    assert on.lifts == off.id
    # Forgotten, they ring all day: three rings in each of two zones.
    assert [(f"{r.at:%H:%M}", r.zone) for r in off.extra] == [
        (at, zone) for at in ("07:00", "12:00", "18:00") for zone in ("hall", "pier")
    ]
    assert off.missing == ()
    # Forgotten, nothing rings any more: two days of three rings and a Friday of four, in two zones.
    assert (len(on.missing), on.extra) == (20, ())


def test_an_examination_is_silenced_in_its_zone_alone_and_keeps_its_holes() -> None:
    silent = 'exceptions\n  Tue 2026-11-10  silent in hall 11:00 - 13:00  "Examination"\n'
    found = [duty for duty in duties_of(HEAD + WEEK + silent + MACHINE) if duty.reason == "Examination"]
    assert [(duty.do, duty.zone, *brief(duty)[1:]) for duty in found] == [
        ("zone off", "hall", "11-10 07:01", "11-10 11:59"),
        ("zone on", "hall", "11-10 12:01", "11-10 17:59"),
    ]


def test_where_no_hand_can_silence_one_zone_the_day_has_a_tape_without_the_holes() -> None:
    silent = 'exceptions\n  Tue 2026-11-10  silent in hall 11:00 - 13:00  "Examination"\n'
    together = MACHINE.replace("  switches  each zone\n", "")
    found = duties_of(HEAD + WEEK + silent + together)
    assert not [duty for duty in found if duty.reason == "Examination"]
    assert {duty.tape for duty in found if duty.do == "fit tape"} == {"A", "B", "C"}


def test_clocks_are_corrected_when_somebody_first_comes_after_the_change() -> None:
    # In Great Britain the clocks go back on Sunday 2026-10-25 at 02:00 (published date).
    text = HEAD + WEEK.replace("2026-11-02", "2026-10-19") + MACHINE
    (found,) = [duty for duty in duties_of(text) if duty.do == "correct clocks"]
    assert found.what == "bells off, clocks and tape 1 h back, each switch back as it was"
    # By the old time the hole for 07:00 passes at 06:00 on Monday, when somebody comes: a minute after that.
    assert brief(found)[1:] == ("10-26 06:01", "10-26 06:59")


def test_a_correction_leaves_the_bells_off_where_they_must_stay_off() -> None:
    """On Monday the school is closed: who corrects the clocks then must not leave the bells on."""
    closed = 'exceptions\n  Mon 2026-10-26 to Wed 2026-10-28  silent  "Divers"\n'
    text = HEAD + WEEK.replace("2026-11-02", "2026-10-19") + closed + MACHINE
    off, on = (duty for duty in duties_of(text) if duty.reason == "Divers")
    (corrected,) = [duty for duty in duties_of(text) if duty.do == "correct clocks"]
    assert off.ends.at < corrected.begins.at < corrected.ends.at < on.begins.at
    assert corrected.what.endswith(", each switch back as it was")


def test_a_zone_is_not_turned_off_while_all_zones_are() -> None:
    """The second silence of the hall falls into the days on which everything is off."""
    off = 'exceptions\n  Tue 2026-11-10 to Wed 2026-11-11  silent  "Divers"\n'
    off += '  Wed 2026-11-11  silent in hall  "Examination"\n'
    kinds = [duty.do for duty in duties_of(HEAD + WEEK + off + MACHINE)]
    assert (kinds.count("bells off"), kinds.count("zone off")) == (2, 0)


def test_what_a_forgotten_duty_costs_is_counted_until_a_later_one_puts_it_right() -> None:
    """While the pier is off for an examination the clocks are corrected; its rings are not lost sight of."""
    silent = 'exceptions\n  Mon 2026-10-26 to Tue 2026-10-27  silent in pier  "Examination"\n'
    found = duties_of(HEAD + WEEK.replace("2026-11-02", "2026-10-19") + silent + MACHINE)
    (off,) = [duty for duty in found if (duty.do, duty.zone) == ("zone off", "pier")]
    # By the old time the first hole passes an hour early on Monday, then both days ring three times.
    times = ("26 06:00", "26 07:00", "26 12:00", "26 18:00", "27 07:00", "27 12:00", "27 18:00")
    assert [f"{r.at:%d %H:%M} {r.zone}" for r in off.extra] == [f"{at} pier" for at in times]


def test_rings_of_a_night_on_which_the_clocks_change_are_told_apart_by_their_pass() -> None:
    text = (
        HEAD.replace("07:00, 12:00, 18:00", "01:20, 01:40")
        .replace("07:00, 12:00, 16:00, 17:00", "01:20, 01:40, 05:00")
        .replace("2026-08-20", "2026-08-20\n  clocks repeated hour rings second")
        + 'week ordinary\n  Mon to Sun  one\nterm "Winter"  2026-10-19 to 2026-11-01\n'
        + "timetable three in pier\n  ring 03:00 horn\n"
        + MACHINE.replace("  silenced  Sat, Sun turning at 00:30 within 5 min\n", "").replace(
            "Mon to Fri 06:00 - 19:00", "Mon to Sun 00:00 - 24:00"
        )
    )
    found = [duty for duty in duties_of(text) if duty.begins.at.date() == date(2026, 10, 25)]
    corrected = next(duty for duty in found if duty.do == "correct clocks")
    # The second 01:20 is wanted: the tape must show 01:00 again before, a minute clear.
    assert (corrected.begins.at, corrected.begins.fold) == (datetime(2026, 10, 25, 1, 0), 1)
    assert (corrected.ends.at, corrected.ends.fold) == (datetime(2026, 10, 25, 1, 19), 1)


# ------------------------------------------------------------------------- the page


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(group, ["duties", *map(str, arguments)])


@pytest.fixture
def ferry(tmp_path: Path) -> Path:
    closed = 'exceptions\n  Tue 2026-11-10  silent  "Divers"\n'
    path = tmp_path / "ferry.chime"
    path.write_text(HEAD + WEEK + closed + MACHINE, encoding="utf-8")
    return path


def test_the_page_says_what_is_to_be_done_why_and_what_it_costs_to_forget_it(ferry: Path) -> None:
    lines = run(ferry, "--on", "Tue 2026-11-10").stdout.splitlines()
    assert lines[0].startswith("Ferry House, issue 1, fingerprint ")
    assert lines[1:-3] == [
        "",
        "to do on Tue 2026-11-10: 1 time all bells off, 1 time all bells on",
        "",
        "Tue 2026-11-10",
        "  06:00 - 06:59  bells of every zone off",
        "    why: Divers",
        "    if forgotten: 6 rings too many, from hall on Tue 2026-11-10 at 07:00 until 18:00",
        "  18:01 - 19:00  bells of every zone on",
        "    why: Divers",
        "    if forgotten: 20 rings missing, from hall on Wed 2026-11-11 at 07:00 until Fri 2026-11-13",
        "                  at 17:00",
        "",
    ]
    assert lines[-1].endswith("A bell programme is never an alarm signal.")


def test_a_day_without_duties_says_so(ferry: Path) -> None:
    assert "nothing is to be done on Wed 2026-11-11\n" in run(ferry, "--on", "2026-11-11").stdout


def test_dates_the_wrong_way_round_are_a_misuse(ferry: Path) -> None:
    found = run(ferry, "--on", "2026-11-11", "--until", "2026-11-10")
    assert (found.exit_code, found.stderr) == (
        2,
        "chime: --on Wed 2026-11-11 lies after --until Tue 2026-11-10\n",
    )


def test_a_programme_without_a_machine_has_no_duties(ferry: Path) -> None:
    ferry.write_text(HEAD + WEEK, encoding="utf-8")
    found = run(ferry)
    said = "no machine is described, so there is no tape to fit and nothing to switch\n"
    assert (found.exit_code, found.stdout, found.stderr) == (0, said, "")


def test_tapes_are_called_as_they_are_in_the_folder_of_the_files(ferry: Path) -> None:
    out = ferry.parent / "out"
    text = ferry.read_text(encoding="utf-8")
    ferry.write_text(text.replace("18:00", "18:30"), encoding="utf-8")
    assert CliRunner().invoke(group, ["compile", str(ferry), "--out", str(out)]).exit_code == 0
    ferry.write_text(text, encoding="utf-8")
    assert "fit tape C\n" in run(ferry, "--set", out).stdout
    assert "fit tape A\n" in run(ferry).stdout
    found = run(ferry, "--set", ferry.parent)
    assert (found.exit_code, found.stderr) == (
        2,
        f"chime: there is no plan.json in {ferry.parent}: compile into it first\n",
    )


def test_the_chart_lists_every_duty(ferry: Path) -> None:
    made = compile_programme("ferry.chime", ferry.read_bytes(), lambda _: b"")
    chart = next(file.content for file in made.artefacts if file.name == "chart.pdf")
    pages = [page.get_textpage().get_text_range() for page in PdfDocument(chart)]
    (text,) = [" ".join(page.split()) for page in pages if "Duties: what a person must do" in page]
    duties = duties_of(ferry.read_text(encoding="utf-8"))
    assert len(duties) == 7
    for duty in duties:
        assert f"{duty.begins.at:%H:%M} - " in text
        assert duty.what in text
        assert f"why: {duty.reason}" in text
