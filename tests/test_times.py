"""Each timetable as a day of clock times: what `chime times` shows before there is any date.

Sums and times stand beside the checks as worked out by hand from the programme's own lines.
"""

import re
import shutil
from collections import defaultdict
from datetime import date
from pathlib import Path
from types import ModuleType

import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st

from chime.cli import group
from chime.diagnostics import Source, Span
from chime.rings.day_model import Stretch
from chime.writers.times_text import sums, write_clock
from tests.oracle import banksia, brickfield, saltmarsh

SAMPLES = Path(__file__).parent / "samples"

HEAD = """programme "Tern Lane School"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1
zone annexe on track 2
zone yard on track 3
signal lesson 6 s within 1.5 s
signal short 4 s within 2 s
"""
DATES = """week ordinary
  Mon to Thu normal
  Fri early
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-18
"""
NORMAL = """timetable normal in main, annexe
  each period start lesson, end lesson, warn short 2 min before start
  period "1" 08:45 - 09:45
  period "2" 09:50 - 10:40
  pause "Lunch" 10:40 - 11:25
  ring 08:35 short in yard "Line up"
  must end 11:25
"""
EARLY = """timetable early like normal
  drop "2"
  drop in yard
  move "Lunch" to 09:45 - 10:00
  ring 10:05 lesson in main "Buses"
"""


def run(folder: Path, text: str, *arguments: str) -> Result:
    (folder / "tern.chime").write_text(text, encoding="utf-8")
    path = str(folder / "tern.chime")
    return CliRunner().invoke(group, ["times", "--report", "line", path, *arguments])


def day_of(output: str, name: str) -> str:
    """The part of the output that shows one timetable."""
    found = re.search(
        rf"^timetable {name}\b.*?(?=\n\n(?:timetable|week|cycle) |\Z)", output, re.DOTALL | re.MULTILINE
    )
    assert found is not None, output
    return found[0].rstrip("\n")


# ------------------------------------------------------------------------- whole days


def test_a_day_is_shown_zone_by_zone_with_the_time_between_its_rings(tmp_path: Path) -> None:
    result = run(tmp_path, HEAD + NORMAL + EARLY + DATES, "normal")
    assert (result.exit_code, result.stderr) == (0, "")
    assert (
        result.stdout
        == """timetable normal  (line 9)

          main, annexe                                   yard
  08:35                                                  first  short  Line up
  08:43   first   short   Period 1 in 2 min
  08:45   2 min   lesson  Period 1 starts
  09:45   1 h     lesson  Period 1 ends
  09:48   3 min   short   Period 2 in 2 min
  09:50   2 min   lesson  Period 2 starts
  10:38   48 min  short   Lunch in 2 min
  10:40   2 min   lesson  Lunch starts / Period 2 ends
  11:25   45 min  lesson  Lunch ends
          8 rings, 2 h 42 min                            1 ring

  periods and pauses in main, annexe
    Period 1  08:45 - 09:45  1 h            then 5 min passing
    Period 2  09:50 - 10:40  50 min
    Lunch     10:40 - 11:25  45 min  pause
    the day 08:45 - 11:25 is 2 h 40 min = periods 1 h 50 min + pauses 45 min + passing 5 min

  must end 11:25 (line 15): it does
"""
    )


def test_a_timetable_that_starts_from_another_says_what_differs(tmp_path: Path) -> None:
    shown = day_of(run(tmp_path, HEAD + NORMAL + EARLY + DATES).stdout, "early")
    assert shown.startswith("timetable early like normal  (line 16)\n")
    assert shown.endswith("""
  against normal: 6 of its 17 rings stand as they are
    dropped  08:35           Line up                           in yard
    dropped  09:50           Period 2 starts with its warning  in main, annexe
    dropped  10:40           Period 2 ends                     in main, annexe
    moved    10:40 to 09:45  Lunch starts with its warning     in main, annexe
    moved    11:25 to 10:00  Lunch ends                        in main, annexe
    added    10:05           Buses                             in main""")


def test_a_timetable_without_a_change_of_its_own_says_so(tmp_path: Path) -> None:
    text = HEAD + NORMAL + "timetable early like normal\n" + DATES
    shown = day_of(run(tmp_path, text).stdout, "early")
    assert shown.endswith("  against normal: all its 17 rings stand as they are, nothing is added")


def test_what_is_dropped_and_written_again_alike_is_no_difference(tmp_path: Path) -> None:
    early = 'timetable early like normal\n  drop in yard\n  ring 08:35, 08:40 short in yard "Line up"\n'
    shown = day_of(run(tmp_path, HEAD + NORMAL + early + DATES).stdout, "early")
    assert shown.endswith("""
  against normal: all its 17 rings stand as they are; 1 ring dropped and written again alike
    added  08:40  Line up  in yard""")


def test_an_own_line_for_periods_is_named_and_its_warnings_are_gone(tmp_path: Path) -> None:
    early = "timetable early like normal\n  each period start short\n"
    shown = day_of(run(tmp_path, HEAD + NORMAL + early + DATES).stdout, "early")
    assert "08:43" not in shown
    assert shown.endswith("""
  against normal: 1 of its 17 rings stand as they are
    periods ring by its own line, line 17: each period start short""")


def test_a_base_stands_before_what_starts_from_it_whatever_the_order_of_the_lines(tmp_path: Path) -> None:
    text = HEAD + EARLY + NORMAL + "timetable alone\n  ring 09:00 lesson in yard\n" + DATES
    shown = run(tmp_path, text).stdout
    names = re.findall(r"^timetable (\S+)", shown, re.MULTILINE)
    assert names == ["alone", "normal", "early"]


def test_times_after_midnight_stand_as_the_clock_shows_them(tmp_path: Path) -> None:
    night = """timetable normal in yard
  each period start lesson, end lesson
  period "Night" 22:00 - 06:00
  ring 25:30 lesson "Break"
timetable early in main, annexe
  ring 09:00 short
"""
    assert (
        day_of(run(tmp_path, HEAD + night + DATES).stdout, "normal")
        == """timetable normal  (line 9)

  every ring: lesson

             yard
  22:00      first       Night starts
  01:30 +1   3 h 30 min  Break
  06:00 +1   4 h 30 min  Night ends
             3 rings, 8 h

  periods and pauses in yard
    Night  22:00 - 06:00 +1  8 h
    the day 22:00 - 06:00 +1 is 8 h = periods 8 h

  +1: next morning, after midnight"""
    )


def test_a_day_on_which_nothing_rings_says_so(tmp_path: Path) -> None:
    quiet = 'timetable normal in main\n  period "1" 09:00 - 10:00\n'
    shown = day_of(run(tmp_path, HEAD + quiet + EARLY + DATES).stdout, "normal")
    assert shown.startswith("timetable normal  (line 9)\n\n  nothing rings\n")
    assert "the day 09:00 - 10:00 is 1 h = periods 1 h" in shown


def test_a_day_of_which_no_period_is_whole_has_no_sum(tmp_path: Path) -> None:
    early = "timetable early like normal\n  drop after 08:45\n"
    shown = day_of(run(tmp_path, HEAD + NORMAL + early + DATES).stdout, "early")
    assert "    Period 1  08:45 - dropped\n" in shown
    assert "the day" not in shown


def test_zones_too_wide_for_one_page_stand_below_each_other_in_the_order_of_their_tracks(
    tmp_path: Path,
) -> None:
    long = "an assembly of everybody who works or learns here"
    text = (
        HEAD
        + f"""timetable normal
  ring 09:00 lesson in yard "{long}"
  ring 09:10 lesson in annexe "{long}"
  ring 09:20, 09:30 lesson in main "{long}"
"""
        + EARLY.replace("like normal", "in main, annexe, yard").replace("drop", "#").replace("move", "#")
        + DATES
    )
    shown = day_of(run(tmp_path, text).stdout, "normal")
    assert re.findall(r"^ +(main|annexe|yard)$", shown, re.MULTILINE) == ["main", "annexe", "yard"]
    assert max(map(len, shown.splitlines())) <= 100


# ----------------------------------------------------------------------- sums and slips


@pytest.mark.parametrize(
    ("must_end", "verdict"),
    [
        ("11:20", "it ends 11:25, 5 min late"),
        ("11:40", "it ends 11:25, 15 min early"),
    ],
)
def test_a_sum_that_does_not_close_is_shown_with_the_day(tmp_path: Path, must_end: str, verdict: str) -> None:
    text = HEAD + NORMAL.replace("must end 11:25", f"must end {must_end}") + EARLY + DATES
    result = run(tmp_path, text, "normal")
    assert result.exit_code == 1
    assert "08:45   2 min   lesson  Period 1 starts" in result.stdout
    assert f"  must end {must_end} (line 15): {verdict}\n" in result.stdout
    assert "  error at line 15: the day ends 11:25, not" in result.stdout


def test_a_day_with_no_period_cannot_end_when_it_must(tmp_path: Path) -> None:
    text = HEAD + "timetable normal\n  ring 09:00 lesson in main\n  must end 15:00\n" + EARLY + DATES
    assert "must end 15:00 (line 11): there is no period that could end then" in run(tmp_path, text).stdout


def test_overlapping_periods_are_called_so_and_the_sum_still_closes(tmp_path: Path) -> None:
    text = HEAD + NORMAL.replace("09:50 - 10:40", "09:40 - 10:40") + EARLY + DATES
    shown = day_of(run(tmp_path, text).stdout, "normal")
    assert "Period 1  08:45 - 09:45  1 h            OVERLAPS the next by 5 min" in shown
    # 60 and 60 minutes of periods and 45 of lunch, less the 5 that are counted twice: 160.
    assert "is 2 h 40 min = periods 2 h + pauses 45 min - overlaps 5 min" in shown
    assert '  warning at line 12: "1" and "2" overlap in annexe (timetable normal, and 1 more)' in shown


def test_a_period_that_lost_its_end_is_not_counted(tmp_path: Path) -> None:
    text = HEAD + NORMAL + EARLY.replace('drop "2"', "drop 10:40") + DATES
    shown = day_of(run(tmp_path, text).stdout, "early")
    assert "Period 2  09:50 - dropped\n" in shown
    assert "(2 periods without a start or an end not counted)" in shown


def test_a_quiet_pause_is_in_the_sum_and_not_among_the_rings(tmp_path: Path) -> None:
    text = HEAD + NORMAL.replace("10:40 - 11:25", "10:40 - 11:25 quiet") + EARLY + DATES
    shown = day_of(run(tmp_path, text).stdout, "normal")
    assert "Lunch starts" not in shown
    assert "Lunch     10:40 - 11:25  45 min  pause, quiet" in shown
    assert "+ pauses 45 min +" in shown


_TIMES = st.tuples(st.integers(0, 300), st.integers(1, 120), st.booleans())


@given(st.lists(_TIMES, min_size=1, max_size=12))
def test_what_a_day_is_made_of_always_adds_up_to_the_day(drawn: list[tuple[int, int, bool]]) -> None:
    """An identity (arithmetic); passing time is also counted minute by minute."""
    nowhere = Span(Source("t", ""), 0, 0)
    stretches = [
        Stretch("x", "main", start, start + length, is_pause, False, nowhere)
        for start, length, is_pause in drawn
    ]
    found = sums(stretches)
    assert found is not None
    parts = found.periods + found.pauses + found.passing - found.overlaps
    assert parts == found.end - found.start
    minutes = {at for start, length, _ in drawn for at in range(start, start + length)}
    assert found.passing == sum(1 for at in range(found.start, found.end) if at not in minutes)


def test_weeks_and_cycles_come_with_their_totals(tmp_path: Path) -> None:
    cycle = "cycle two on Mon to Fri\n  day 1 normal\n  day 2 early\n"
    shown = run(tmp_path, HEAD + NORMAL + EARLY + cycle + DATES).stdout
    # Rings of main: 8 on a normal day, 6 on an early one. Periods: 110 minutes and 60.
    assert (
        """
week ordinary  (line 24): Mon to Thu normal; Fri early; Sat, Sun silent
  in main    38 rings  periods 8 h 20 min, pauses 3 h 15 min, passing 20 min
  in annexe  37 rings  periods 8 h 20 min, pauses 3 h 15 min, passing 20 min
  in yard    4 rings

cycle two  (line 21): day 1 normal; day 2 early
  in main    14 rings  periods 2 h 50 min, pauses 1 h, passing 5 min
  in annexe  13 rings  periods 2 h 50 min, pauses 1 h, passing 5 min
  in yard    1 ring
"""
        in shown
    )


def test_an_audience_is_told_every_time_it_hears(tmp_path: Path) -> None:
    audiences = 'audience "Year 7" in main, yard\naudience "Kitchen" in yard\n'
    shown = run(tmp_path, HEAD + audiences + NORMAL + EARLY + DATES, "early").stdout
    assert '  "Year 7" hears main and yard, 6 times: 08:43, 08:45, 09:43, 09:45, 10:00, 10:05\n' in shown
    assert '  "Kitchen" hears yard: no ring\n' in shown


def test_the_lines_that_are_warned_about_are_named_below_their_timetable(tmp_path: Path) -> None:
    text = (
        HEAD
        + NORMAL.replace("09:50", "09:47")
        + EARLY.replace("drop in yard", "drop in yard before 08:00")
        + DATES
    )
    result = run(tmp_path, text)
    assert result.exit_code == 0
    headline = "a warning falls on the end of a period at 09:45 in annexe (timetable normal)"
    assert f"  warning at line 12: {headline}\n" in day_of(result.stdout, "normal") + "\n"
    early = day_of(result.stdout, "early")
    assert "  warning at line 18: " in early
    assert headline not in early


# ------------------------------------------------------------------- before the dates stand


def test_faults_of_dates_do_not_hide_a_day(tmp_path: Path) -> None:
    cycle = """cycle two on Mon to Fri
  day 1 normal
  day 2 early
term "Autumn" 2026-09-07 to 2026-09-18
  cycle two from 2026-09-07
exceptions
  2026-09-09 silent "Snow"
"""
    sound = run(tmp_path, HEAD + NORMAL + EARLY + cycle.replace("09-07\nexc", "09-07 slip\nexc"))
    undeclared = run(tmp_path, HEAD + NORMAL + EARLY + cycle)
    assert sound.exit_code == 0
    assert undeclared.exit_code == 1
    assert "D431" in undeclared.stderr
    assert undeclared.stdout == sound.stdout
    assert "MAY BE INCOMPLETE" not in sound.stdout


def test_a_programme_with_no_term_yet_shows_its_days(tmp_path: Path) -> None:
    result = run(tmp_path, HEAD + NORMAL, "normal")
    assert result.exit_code == 1
    assert "8 rings, 2 h 42 min" in result.stdout


def test_a_day_that_rests_on_a_faulty_line_says_so_and_its_follow_on_faults_are_kept_quiet(
    tmp_path: Path,
) -> None:
    text = (
        HEAD
        + NORMAL.replace("09:50 - 10:40", "09:50 upto 10:40")
        + EARLY
        + "timetable alone\n  ring 09:00 lesson in main\n"
        + DATES
    )
    result = run(tmp_path, text)
    assert result.exit_code == 1
    assert "MAY BE INCOMPLETE: line 12 has an error" in day_of(result.stdout, "normal")
    assert "MAY BE INCOMPLETE: it starts from normal, which may be incomplete" in day_of(
        result.stdout, "early"
    )
    assert "MAY BE INCOMPLETE" not in day_of(result.stdout, "alone")
    assert "D401" not in result.stderr, '`drop "2"` finds nothing only because the period could not be read'


def test_a_name_from_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    text = HEAD + 'use "zones.chime"\n' + NORMAL.replace("main, annexe", "main, hall") + EARLY + DATES
    result = run(tmp_path, text)
    assert result.exit_code == 1
    said = "line 10 names hall, and not everything that this programme uses could be read"
    assert f"  MAY BE INCOMPLETE: {said}\n" in result.stdout


def test_everywhere_is_in_doubt_where_a_file_cannot_be_read(tmp_path: Path) -> None:
    text = (
        HEAD
        + 'use "zones.chime"\n'
        + NORMAL.replace("in main, annexe", "everywhere").replace("everywhere", "in everywhere")
    )
    assert "MAY BE INCOMPLETE: line 10 names everywhere" in run(tmp_path, text + EARLY + DATES).stdout


@pytest.mark.parametrize("text", ["", 'programme "Tern Lane School"\n  place Europe/London\n'])
def test_a_programme_without_timetables_says_so(tmp_path: Path, text: str) -> None:
    result = run(tmp_path, text)
    assert (result.exit_code, result.stdout) == (1, "no timetable is written\n")


# -------------------------------------------------------------------------- wrong arguments


@pytest.mark.parametrize(
    ("name", "offer"),
    [("norml", "did you mean normal?"), ("Wednesday", "there are early, normal")],
)
def test_an_unknown_timetable_is_misuse_and_near_names_are_offered(
    tmp_path: Path, name: str, offer: str
) -> None:
    result = run(tmp_path, HEAD + NORMAL + EARLY + DATES, name)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f'chime: there is no timetable called "{name}"; {offer}\n'


def test_a_file_that_is_not_there_is_misuse(tmp_path: Path) -> None:
    result = CliRunner().invoke(group, ["times", str(tmp_path / "gone.chime")])
    assert result.exit_code == 2


def test_warnings_count_where_they_are_taken_for_errors(tmp_path: Path) -> None:
    text = HEAD + NORMAL + EARLY + "timetable alone\n  ring 09:00 lesson in main\n" + DATES
    assert run(tmp_path, text).exit_code == 0
    assert run(tmp_path, text, "--strict").exit_code == 1


# --------------------------------------------------------------------------------- samples

_ROW = re.compile(r"  (\d\d:\d\d(?: \+1)?) +\S")
_HEADING = re.compile(r" {10,}[a-z]")


def heard(output: str, name: str) -> dict[str, list[str]]:
    """Read the grids of a timetable back: the times of each zone, by the columns in which they stand."""
    found: dict[str, list[str]] = defaultdict(list)
    starts: list[tuple[int, str]] = []
    for line in day_of(output, name).splitlines():
        if _HEADING.match(line) and "ring" not in line:
            starts = [(m.start(), m[0]) for m in re.finditer(r"[a-z]+(?:, [a-z]+)*", line)]
        elif (row := _ROW.match(line)) is not None:
            ends = [start for start, _ in starts[1:]] + [1000]
            for (start, zones), end in zip(starts, ends, strict=True):
                if line[start:end].strip():
                    for zone in zones.split(", "):
                        found[zone].append(row[1])
    return found


@pytest.mark.parametrize(
    ("sample", "name", "oracle", "day"),
    [
        ("saltmarsh", "normal-a", saltmarsh, date(2026, 9, 7)),
        ("saltmarsh", "normal-b", saltmarsh, date(2026, 9, 14)),
        ("saltmarsh", "early", saltmarsh, date(2026, 9, 11)),
        ("banksia", "standard", banksia, date(2026, 1, 28)),
        ("banksia", "sport", banksia, date(2026, 1, 30)),
        ("brickfield", "short-day", brickfield, date(2027, 3, 19)),
    ],
)
def test_the_samples_days_are_those_of_the_expansion_by_hand(
    tmp_path: Path, sample: str, name: str, oracle: ModuleType, day: date
) -> None:
    """Held against the rings written out by hand for a date on which nothing but the timetable acts."""
    for file in SAMPLES.glob("*.chime"):
        shutil.copy(file, tmp_path)
    result = CliRunner().invoke(group, ["times", str(tmp_path / f"{sample}.chime")])
    assert result.exit_code == 0
    text = (SAMPLES / f"{sample}.chime").read_text(encoding="utf-8")
    wanted: dict[str, list[str]] = defaultdict(list)
    for record in oracle.expected(text=text):
        # The night of the day before ends at 06:00 on a works' morning; it is none of this timetable's.
        at, labels = str(record["at"]), record["labels"]
        if at.startswith(day.isoformat()) and not (at[11:16] < "06:00" and labels == ["Break"]):
            wanted[str(record["zone"])].append(at[11:16])
    assert heard(result.stdout, name) == wanted


def test_the_clock_of_a_time_past_midnight() -> None:
    assert [write_clock(s) for s in (0, 86_399, 86_400, 91_800)] == [
        "00:00",
        "23:59:59",
        "00:00 +1",
        "01:30 +1",
    ]
