"""`chime begin`: a first programme, one from a table of times, and next year's from this year's."""

import re
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import IO, Any

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from chime import zone_time
from chime.begin.first_machine import first_machine
from chime.begin.first_programme import Plan, first_programme
from chime.begin.next_year import carry_over
from chime.begin.pasted_times import read_times
from chime.cli import group
from chime.compiler import Checked, check, compile_programme
from chime.diagnostics import Diagnostic, Source, is_error
from chime.parsing.parser import read_blocks
from chime.parsing.tidy import tidy
from chime.programme.equipment import Count, Value

SAMPLES = Path(__file__).resolve().parent / "samples"
CAUTION = "Programme bells are never an alarm signal"
DATE = re.compile(r"\d{4}-\d\d-\d\d")


def begin(folder: Path, *options: str) -> Result:
    return CliRunner().invoke(group, ["begin", str(folder), *options])


def checked(folder: Path) -> Checked:
    programme = folder / "programme.chime"
    return check(str(programme), programme.read_bytes(), lambda path: (folder / path).read_bytes())


def complaints(folder: Path) -> tuple[Diagnostic, ...]:
    return checked(folder).diagnostics


def without_notes(text: str) -> str:
    """The text without notes; no label of these tests holds the sign of one."""
    return "\n".join(line.split("#")[0] for line in text.splitlines())


# ---------------------------------------------------------------- a first programme


def test_a_first_programme_passes_check_with_nothing_to_complain_of(tmp_path: Path) -> None:
    assert begin(tmp_path / "bells").exit_code == 0
    result = CliRunner().invoke(group, ["check", str(tmp_path / "bells" / "programme.chime")])
    assert result.exit_code == 0
    assert result.output.startswith("0 errors, 0 warnings; ")


def test_a_first_programme_can_be_compiled_to_a_tape(tmp_path: Path) -> None:
    begin(tmp_path)
    content = (tmp_path / "programme.chime").read_bytes()
    compiled = compile_programme("programme.chime", content, lambda path: (tmp_path / path).read_bytes())
    assert not is_error(compiled.diagnostics)
    assert compiled.verified is not None
    assert compiled.verified.tapes is not None


def test_what_was_written_and_what_comes_next_is_said(tmp_path: Path) -> None:
    output = begin(tmp_path / "new" / "bells").stdout
    assert str(tmp_path / "new" / "bells" / "programme.chime") in output
    assert str(tmp_path / "new" / "bells" / "machine.chime") in output
    assert "chime check" in output
    assert CAUTION in output


def test_the_same_call_writes_the_same_bytes(tmp_path: Path) -> None:
    for folder in ("one", "other"):
        begin(tmp_path / folder)
    for name in ("programme.chime", "machine.chime"):
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "other" / name).read_bytes()


def test_both_files_say_that_bells_are_no_alarm_and_the_machine_warns_of_the_mains(tmp_path: Path) -> None:
    begin(tmp_path)
    programme = (tmp_path / "programme.chime").read_text(encoding="utf-8")
    machine = (tmp_path / "machine.chime").read_text(encoding="utf-8")
    assert CAUTION in programme
    assert "local codes" in programme
    assert "mains voltage" in machine
    assert "local codes" in machine
    assert "licensed people" in machine


@pytest.mark.parametrize("name", ["programme.chime", "machine.chime"])
def test_a_note_stands_right_above_every_run_of_lines(tmp_path: Path, name: str) -> None:
    begin(tmp_path)
    lines = (tmp_path / name).read_text(encoding="utf-8").splitlines()
    for above, line in zip(["", *lines], lines, strict=False):
        is_said = bool(line.strip()) and not line.lstrip().startswith("#")
        if is_said and not above.strip():
            assert line.startswith("machine "), line
    assert sum(line.lstrip().startswith("#") for line in lines) > len(lines) / 3


def values_in(record: Any) -> Iterator[Value | Count]:
    if isinstance(record, Value | Count):
        yield record
    elif isinstance(record, tuple):
        for part in record:
            yield from values_in(part)


def test_no_number_of_the_machine_pretends_to_have_been_measured(tmp_path: Path) -> None:
    begin(tmp_path)
    programme = checked(tmp_path).programme
    assert programme is not None
    values = list(values_in(programme.machine))
    assert len(values) > 30
    assert all(value.assumed for value in values)


def test_the_lines_left_out_are_lines_of_the_language(tmp_path: Path) -> None:
    begin(tmp_path)
    machine = tmp_path / "machine.chime"
    text, count = re.subn(r"(?m)^  # (?=\w.*  # )", "  ", machine.read_text(encoding="utf-8"))
    assert count == 5
    machine.write_text(text, encoding="utf-8")
    assert complaints(tmp_path) == ()


def test_the_first_and_the_last_date_may_be_given_with_their_weekdays(tmp_path: Path) -> None:
    begin(tmp_path, "--first", "Mon 2027-02-01", "--last", "Thu 2027-04-08")
    programme = checked(tmp_path).programme
    assert programme is not None
    assert (programme.terms[0].first, programme.terms[0].last) == (date(2027, 2, 1), date(2027, 4, 8))


def test_a_folder_without_a_name_is_a_misuse(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for options in ((), ("--from", str(SAMPLES / "saltmarsh.chime"))):
        result = CliRunner().invoke(group, ["begin", "", *options])
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr == "chime: DIR is empty: name a folder, or write . for the one you are in\n"
    assert list(tmp_path.iterdir()) == []


def test_name_place_and_dates_can_be_given(tmp_path: Path) -> None:
    options = ("--name", "Banksia Row Primary", "--place", "Australia/Perth")
    begin(tmp_path, *options, "--first", "2027-02-01", "--last", "2027-04-08")
    programme = checked(tmp_path).programme
    assert programme is not None
    assert programme.name == "Banksia Row Primary"
    assert programme.place == "Australia/Perth"
    assert (programme.terms[0].first, programme.terms[0].last) == (date(2027, 2, 1), date(2027, 4, 8))
    assert programme.issued < programme.terms[0].first
    assert "public holidays of AU-WA" in (tmp_path / "programme.chime").read_text(encoding="utf-8")


def assert_tidy(folder: Path) -> None:
    """What `chime tidy --check` says of every file of a folder: nothing, with exit status 0."""
    files = [str(path) for path in folder.rglob("*.chime")]
    assert files
    result = CliRunner().invoke(group, ["tidy", "--check", *files])
    assert (result.exit_code, result.output) == (0, "")


def test_tidy_finds_nothing_to_do_in_a_first_programme_and_machine(tmp_path: Path) -> None:
    begin(tmp_path)
    assert_tidy(tmp_path)


@settings(max_examples=30, deadline=None)
@given(
    first=st.dates(date(2000, 1, 1), date(2100, 1, 1)),
    days=st.integers(28, 730),
    place=st.sampled_from(sorted(zone_time.places())),
)
def test_a_first_programme_is_sound_for_any_term_at_any_place(first: date, days: int, place: str) -> None:
    plan = Plan("Our school", place, first, first + timedelta(days=days))
    machine = first_machine().encode()
    text = first_programme(plan)
    found = check("programme.chime", text.encode(), {"machine.chime": machine}.__getitem__)
    assert found.diagnostics == ()
    assert tidy(Source("programme.chime", text)) == text


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--place", "Europe/Londn"), "did you mean Europe/London?"),
        (("--place", "Narnia"), "no time zone"),
        (("--name", 'The "Old" School'), "double quotes"),
        (("--name", "Old\nSchool"), "invisible"),
        (("--name", " "), "one letter at least"),
        (("--name", "x" * 201), "a name has 200 letters at most, and not 201"),
        (("--first", "2026-12-18", "--last", "2026-09-07"), "four weeks"),
        (("--last", "2026-10-04"), "four weeks"),
        (("--last", "2028-09-07"), "two years"),
        (("--first", "0001-01-02", "--last", "0001-06-01"), "cannot be meant"),
        (
            ("--first", "7/9/2026"),
            '--first: "7/9/2026" is no date: it is written 2026-12-01, or Tue 2026-12-01',
        ),
        (("--last", "2026-11-31"), "--last: 2026-11-31 is no date of the calendar"),
        (("--first", "Tue 2026-09-07"), "--first: 2026-09-07 is not a Tue: it is Mon 2026-09-07"),
        (("--first", ""), "--first: no date is given"),
    ],
)
def test_what_cannot_be_meant_is_a_misuse_and_writes_nothing(
    tmp_path: Path, options: tuple[str, ...], said: str
) -> None:
    result = begin(tmp_path / "bells", *options)
    assert result.exit_code == 2
    assert said in result.stderr
    assert list(tmp_path.iterdir()) == []


# -------------------------------------------------------------------------- writing


@pytest.mark.parametrize("name", ["programme.chime", "machine.chime"])
def test_no_file_is_ever_replaced_and_then_none_is_written(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("mine", encoding="utf-8")
    result = begin(tmp_path)
    assert result.exit_code == 2
    assert f"{tmp_path / name} is there already; nothing was written" in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == [name]
    assert (tmp_path / name).read_text(encoding="utf-8") == "mine"


def test_a_link_that_leads_nowhere_is_not_written_through(tmp_path: Path) -> None:
    (tmp_path / "machine.chime").symlink_to(tmp_path / "elsewhere.chime")
    assert begin(tmp_path).exit_code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["machine.chime"]


def test_other_files_of_the_folder_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    assert begin(tmp_path).exit_code == 0
    assert (tmp_path / "notes.txt").read_text(encoding="utf-8") == "mine"


def test_a_file_in_the_place_of_the_folder_is_a_misuse(tmp_path: Path) -> None:
    (tmp_path / "bells").write_text("mine", encoding="utf-8")
    result = begin(tmp_path / "bells")
    assert result.exit_code == 2
    assert "nothing was written" in result.stderr


def test_a_disk_that_fills_up_or_somebody_who_stops_it_leaves_neither_files_nor_folders(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ordinary = Path.open

    failure: list[BaseException] = [OSError(28, "No space left on device"), KeyboardInterrupt()]

    def fail_at_the_machine(path: Path, mode: str = "r") -> IO[Any]:
        if path.name == "machine.chime":
            raise failure.pop(0)
        return ordinary(path, mode)

    monkeypatch.setattr(Path, "open", fail_at_the_machine)
    result = begin(tmp_path / "new" / "bells")
    assert result.exit_code == 2
    assert "no space left on device; nothing was written" in result.stderr
    assert list(tmp_path.iterdir()) == []
    assert begin(tmp_path / "new" / "bells").exit_code == 1  # somebody stops it
    assert failure == []
    assert list(tmp_path.iterdir()) == []


# ---------------------------------------------------------------- a table of times


def begin_with(folder: Path, table: str | bytes, *options: str) -> Result:
    path = folder / "times.csv"
    path.write_bytes(table if isinstance(table, bytes) else table.encode())
    return begin(folder / "bells", "--times", str(path), *options)


def rung(folder: Path, day: str = "2026-09-07") -> list[tuple[str, str, str]]:
    """The rings of a date: clock time, zone, labels."""
    calendar = checked(folder / "bells").calendar
    assert calendar is not None
    found = [ring for ring in calendar.rings if ring.at.date() == date.fromisoformat(day)]
    return [(f"{ring.at:%H:%M}", ring.zone, " / ".join(ring.labels)) for ring in found]


@pytest.mark.parametrize(
    "table",
    [
        "8:45\n09.45\n1045\n",
        "\n08:45\n\n9:45\n10:45",
        "time\n08:45\n09:45\n10:45\n",
        "TIME\r\n08:45\r\n09:45\r\n10:45\r\n",
        b"\xef\xbb\xbf08:45\n09:45\n10:45\n",
        "10:45\n08:45\n09:45\n",
    ],
)
def test_times_alone_ring_in_one_zone(tmp_path: Path, table: str | bytes) -> None:
    assert begin_with(tmp_path, table).exit_code == 0
    assert complaints(tmp_path / "bells") == ()
    assert [ring[:2] for ring in rung(tmp_path)] == [("08:45", "main"), ("09:45", "main"), ("10:45", "main")]


def test_tidy_finds_nothing_to_do_in_a_programme_of_times(tmp_path: Path) -> None:
    times = "".join(f"{hour:02}:{minute:02},Main hall,,\n" for hour in range(7, 20) for minute in (0, 20, 40))
    assert begin_with(tmp_path, f"{times}08:45,yard,Line up,short\n8:50,yard,,a long signal\n").exit_code == 0
    assert_tidy(tmp_path / "bells")


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_a_table_may_be_parted_by_commas_semicolons_or_tabs(tmp_path: Path, separator: str) -> None:
    rows = [["08:45", "main", "Period 1"], ["10:45", "yard", "Break"]]
    begin_with(tmp_path, "\n".join(separator.join(row) for row in rows))
    assert complaints(tmp_path / "bells") == ()
    assert rung(tmp_path) == [("08:45", "main", "Period 1"), ("10:45", "yard", "Break")]


def test_a_heading_may_order_the_columns_and_a_label_may_hold_the_separator(tmp_path: Path) -> None:
    begin_with(tmp_path, 'Label,Zone,Time\n"Doors, main side",main,08:40\n,yard,08:45\n')
    assert rung(tmp_path)[0] == ("08:40", "main", "Doors, main side")
    assert rung(tmp_path)[1][:2] == ("08:45", "yard")


def test_zones_and_signals_of_the_table_are_declared_with_tracks_of_their_own(tmp_path: Path) -> None:
    begin_with(tmp_path, "time;zone;signal\n08:40;Main building;short\n08:45;Yard 2;long\n08:50;yard;\n")
    programme = checked(tmp_path / "bells").programme
    assert complaints(tmp_path / "bells") == ()
    assert programme is not None
    tracks = {zone.name: (zone.label, zone.tracks and zone.tracks.tracks) for zone in programme.zones}
    assert tracks == {
        "main-building": ("Main building", (1,)),
        "yard-2": ("Yard 2", (2,)),
        "yard": (None, (3,)),
    }
    assert [signal.name for signal in programme.signals] == ["lesson", "long", "short"]


def test_twelve_zones_have_twelve_tracks(tmp_path: Path) -> None:
    rows = "".join(f"{8 + n % 6}:0{n // 6},z{n}\n" for n in range(12))
    begin_with(tmp_path, rows)
    assert complaints(tmp_path / "bells") == ()
    programme = checked(tmp_path / "bells").programme
    assert programme is not None
    assert programme.machine is not None
    assert len(programme.machine.tracks) == 12


def test_many_times_go_on_in_the_next_line(tmp_path: Path) -> None:
    times = [f"{hour:02}:{minute:02}" for hour in range(7, 20) for minute in (0, 20, 40)]
    begin_with(tmp_path, "\n".join(times))
    assert [ring[0] for ring in rung(tmp_path)] == times
    text = (tmp_path / "bells" / "programme.chime").read_text(encoding="utf-8")
    assert all(len(line) <= 100 for line in text.splitlines())


def test_two_labels_of_one_ring_are_both_kept(tmp_path: Path) -> None:
    begin_with(tmp_path, "10:45,main,Period 2 ends\n10:45,main,Break\n")
    assert complaints(tmp_path / "bells") == ()
    ((time, _, labels),) = rung(tmp_path)
    assert time == "10:45"
    assert set(labels.split(" / ")) == {"Period 2 ends", "Break"}


@pytest.mark.parametrize(
    ("table", "line", "said"),
    [
        ("08:45\n8am\n", 2, '"8am" is no time'),
        ("08:45\n845\n", 2, '"845" is no time'),
        ("08:45\n8.5\n", 2, '"8.5" is no time'),
        ("08:45\n08:45:30\n", 2, '"08:45:30" is no time'),
        ("08:45\n24:00\n", 2, 'there is no time "24:00"'),
        ("08:45\n08:60\n", 2, 'there is no time "08:60"'),
        ("08:45\n,main\n", 2, "the time is missing"),
        ("08:45\n\n\n08:45\n", 4, "stands on line 1 already"),
        ("08:45,main,,long\n08:45,main,,short\n", 2, "another signal on line 1"),
        ("08:45,main,Start,lesson,more\n", 1, "more cells than columns"),
        ("when,where\n08:45,main\n", 1, '"when, where" is no heading'),
        ("zone,label\nmain,08:45\n", 1, "the time among them"),
        ("08:45,7B\n", 1, '"7B" cannot be a name'),
        ("08:45,until\n", 1, '"until" cannot be a name'),
        ("08:45,Main\n08:50,main\n", 2, "too alike"),
        ("08:45,Main hall\n08:50,main-hall\n", 2, "too alike"),
        ('08:45,main,"Say ""go"""\n', 1, "double quotes"),
        ("08:45,main,a\x07b\n", 1, "invisible"),
        ('08:45,main,"Doors\n08:50,main\n09:00,main,x"\n', 3, "a quote is not closed"),
    ],
)
def test_a_row_that_cannot_be_read_is_listed_and_nothing_is_written(
    tmp_path: Path, table: str, line: int, said: str
) -> None:
    result = begin_with(tmp_path, table)
    assert result.exit_code == 1
    (problem,) = [text for text in result.stderr.splitlines() if text.startswith(str(tmp_path))]
    assert problem.startswith(f"{tmp_path / 'times.csv'}:{line}: ")
    assert said in problem
    assert result.stderr.endswith("nothing was written\n")
    assert not (tmp_path / "bells").exists()


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("", "there are no times in it"),
        ("time,zone\n", "there are no times in it"),
        (b"08:45,main,Caf\xe9\n", "not UTF-8"),
        ('08:45,main,"Doors\n', "never closed"),
        ("".join(f"08:{10 + n},z{n}\n" for n in range(13)), "13 zones are more than a tape has tracks (12)"),
    ],
)
def test_a_table_that_is_wrong_as_a_whole_writes_nothing(
    tmp_path: Path, table: str | bytes, said: str
) -> None:
    result = begin_with(tmp_path, table)
    assert result.exit_code == 1
    assert said in result.stderr
    assert not (tmp_path / "bells").exists()


def test_every_bad_row_is_listed_in_one_run() -> None:
    read = read_times("08:45\n8am\n25:00\n08:45\n")
    assert read.pasted is None
    assert [problem.line for problem in read.problems] == [2, 3, 4]


def test_a_label_that_names_an_emergency_is_refused_with_the_caution(tmp_path: Path) -> None:
    result = begin_with(tmp_path, "08:45,main,Evacuate\n")
    assert result.exit_code == 1
    assert "N391" in result.stderr
    assert CAUTION in " ".join(result.stderr.split())
    assert not (tmp_path / "bells").exists()


def test_a_table_that_is_not_there_is_a_misuse(tmp_path: Path) -> None:
    result = begin(tmp_path, "--times", str(tmp_path / "none.csv"))
    assert result.exit_code == 2
    assert "no such file" in result.stderr


@settings(max_examples=40, deadline=None)
@given(
    st.sets(st.integers(0, 1439), min_size=1, max_size=60),
    st.lists(st.sampled_from(["main", "Yard 2", "hall"]), min_size=1, max_size=3, unique=True),
)
def test_what_is_read_from_a_table_is_what_it_says(minutes: set[int], zones: list[str]) -> None:
    rows = [f"{minute // 60}:{minute % 60:02},{zone}" for minute in sorted(minutes) for zone in zones]
    read = read_times("\n".join(rows))
    assert read.pasted is not None
    rung_at = {(at, zone) for ring in read.pasted.rings for at in ring.times for zone in ring.zones}
    names = {zone.lower().replace(" ", "-") for zone in zones}
    assert rung_at == {(minute * 60, zone) for minute in minutes for zone in names}


# -------------------------------------------------------------------------- next year


OLD = """\
# Our bells. Ask the caretaker.
programme "Ombrelow School 2026"
  place  Europe/Dublin
  issue  3 on 2026-08-20  # signed by the head

use "machines/hall.chime"

# where it rings
zone main  on track 1  "Main building"  # the old wing
signal lesson  6 s within 2 s

timetable normal  in main
  ring 08:40, 08:45,
    # the second bell
    09:45  lesson

week ordinary
  Mon to Fri  normal
  Sat, Sun    silent

cycle two on Mon to Fri
  day 1  normal
  day 2  normal

# the long term
term "Autumn"  2026-09-07 to 2026-12-18
  # two days in turn
  cycle two from 2026-09-07 slip

term "Spring"  2027-01-05 to 2027-03-25
  week ordinary

exceptions
  2026-10-26 to 2026-10-30  silent  "Half term"
  every Wed from 2026-11-04 to 2026-11-25  add 12:00,
    12:05  lesson in main
  public holidays of IE  silent
  days in "closures.ics"  silent
"""

HALL = "# the hall\nmachine hall\n  loop  24 h in rows of 1 min\n"


def write_old(folder: Path, text: str = OLD, name: str = "old.chime") -> Path:
    (folder / "machines").mkdir(parents=True, exist_ok=True)
    (folder / "machines" / "hall.chime").write_bytes(HALL.encode())
    (folder / name).write_bytes(text.encode())
    return folder / name


def carried(text: str) -> tuple[str, list[str]]:
    """The new text, and the old line (its notes' sign taken away) at each place of what is left to do."""
    source = Source("old.chime", text)
    result = carry_over(source, read_blocks(source).blocks, came_from="old.chime")
    lines = result.text.splitlines()
    return result.text, [lines[each.line - 1].strip().removeprefix("# ") for each in result.left]


def test_blocks_without_dates_are_carried_over_word_for_word(tmp_path: Path) -> None:
    assert begin(tmp_path / "new", "--from", str(write_old(tmp_path))).exit_code == 0
    new = (tmp_path / "new" / "programme.chime").read_text(encoding="utf-8")
    kept = OLD[OLD.index("use ") : OLD.index("# the long term")]
    assert kept in new
    assert (tmp_path / "new" / "machines" / "hall.chime").read_text(encoding="utf-8") == HALL
    assert not (tmp_path / "new" / "machine.chime").exists()


def test_every_dated_line_becomes_a_note_in_its_place() -> None:
    text, _ = carried(OLD)
    for note in (
        "  # issue  3 on 2026-08-20  # signed by the head\n",
        '\n# term "Autumn"  2026-09-07 to 2026-12-18\n  # two days in turn\n',
        "\n  # cycle two from 2026-09-07 slip\n",
        '# term "Spring"  2027-01-05 to 2027-03-25\n  # week ordinary\n',
        '  # 2026-10-26 to 2026-10-30  silent  "Half term"\n',
        "  # every Wed from 2026-11-04 to 2026-11-25  add 12:00,\n  # 12:05  lesson in main\n",
        '  # days in "closures.ics"  silent\n',
    ):
        assert note in text
    assert not DATE.search(without_notes(text))


def test_a_line_whose_days_are_counted_anew_each_year_is_kept() -> None:
    text, _ = carried(OLD)
    assert "\n  public holidays of IE  silent\n" in text


def test_what_is_left_to_do_is_listed_at_the_head_and_points_at_its_lines() -> None:
    text, lines = carried(OLD)
    heading = text[: text.index("# Our bells.")]
    assert lines == [
        'programme "Ombrelow School 2026"',
        "issue  3 on 2026-08-20  # signed by the head",
        'term "Autumn"  2026-09-07 to 2026-12-18',
        'term "Spring"  2027-01-05 to 2027-03-25',
        '2026-10-26 to 2026-10-30  silent  "Half term"',
        "every Wed from 2026-11-04 to 2026-11-25  add 12:00,",
        'days in "closures.ics"  silent',
    ]
    assert heading.count("#   ") == len(lines)
    assert 'the dates of the term "Autumn", and the date from which it counts' in heading
    assert 'the dates of the term "Spring"  (was: ' in heading
    assert all(line.startswith("#") or not line for line in heading.splitlines())


def test_what_is_left_to_do_is_said_on_standard_output_with_its_lines(tmp_path: Path) -> None:
    output = begin(tmp_path / "new", "--from", str(write_old(tmp_path))).stdout
    new = tmp_path / "new" / "programme.chime"
    lines = new.read_text(encoding="utf-8").splitlines()
    number = next(n for n, line in enumerate(lines, 1) if line.startswith("  # 2026-10-26"))
    assert (
        f'{new}:{number}: its new dates, or nothing (was: 2026-10-26 to 2026-10-30 silent "Half term")'
        in output
    )
    assert f"chime check {new}" in output
    assert "compare old and new" in output


@pytest.mark.parametrize("name", ["saltmarsh", "banksia", "brickfield"])
def test_taking_the_signs_away_again_gives_the_old_programme(name: str) -> None:
    old = (SAMPLES / f"{name}.chime").read_text(encoding="utf-8")
    source = Source(f"{name}.chime", old)
    result = carry_over(source, read_blocks(source).blocks, came_from="old.chime")
    heading = result.text.splitlines().index("")
    lines = result.text.splitlines()[heading + 1 :]
    old_words = iter(line.split() for line in old.splitlines() if line.strip())
    restored = [
        line if not line or line.split() == next(old_words) else line.replace("# ", "", 1) for line in lines
    ]
    assert tidy(Source("new.chime", "\n".join(restored))) == tidy(source)
    assert lines != restored


@pytest.mark.parametrize("name", ["saltmarsh", "banksia", "brickfield"])
def test_what_is_kept_still_has_the_shape_of_a_programme(tmp_path: Path, name: str) -> None:
    assert begin(tmp_path, "--from", str(SAMPLES / f"{name}.chime")).exit_code == 0
    for path in tmp_path.iterdir():
        text = path.read_text(encoding="utf-8")
        assert read_blocks(Source(path.name, text)).diagnostics == ()
        assert not DATE.search(without_notes(text))


def test_a_carried_programme_does_not_compile_until_its_dates_are_filled_in(tmp_path: Path) -> None:
    begin(tmp_path, "--from", str(SAMPLES / "saltmarsh.chime"))
    assert {"N368", "N370"} <= {fault.code.id for fault in complaints(tmp_path)}
    programme = tmp_path / "programme.chime"
    filled = []
    for line in programme.read_text(encoding="utf-8").splitlines():
        if DATE.search(line) and not line.startswith("#   "):
            # Two weeks short of a year later falls on the same weekdays: 364 days are 52 weeks.
            line = DATE.sub(lambda d: str(date.fromisoformat(d.group()) + timedelta(days=364)), line)
            line = line.replace("# ", "", 1)
        filled.append(line)
    programme.write_text("\n".join(filled), encoding="utf-8")
    assert complaints(tmp_path) == ()
    calendar = checked(tmp_path).calendar
    assert calendar is not None
    assert min(ring.at for ring in calendar.rings) == datetime(2027, 9, 6, 8, 40)


def test_used_files_lose_their_dates_too_and_files_of_notes_alone_are_copied(tmp_path: Path) -> None:
    write_old(tmp_path, 'use "closed.chime"\nuse "machines/notes.chime"\n' + OLD)
    closed = 'exceptions\n  2026-11-11  silent  "Elections"\n'
    (tmp_path / "closed.chime").write_text(closed, encoding="utf-8")
    (tmp_path / "machines" / "notes.chime").write_bytes(b"\xef\xbb\xbf# nothing yet\r\n")
    output = begin(tmp_path / "new", "--from", str(tmp_path / "old.chime")).stdout
    new = (tmp_path / "new" / "closed.chime").read_text(encoding="utf-8")
    assert '  # 2026-11-11  silent  "Elections"' in new
    assert not DATE.search(without_notes(new))
    assert f"{tmp_path / 'new' / 'closed.chime'}:" in output
    assert (tmp_path / "new" / "machines" / "notes.chime").read_bytes() == b"# nothing yet\n"


def test_other_line_ends_and_a_mark_of_byte_order_are_not_carried_over(tmp_path: Path) -> None:
    old = write_old(tmp_path)
    old.write_bytes(b"\xef\xbb\xbf" + OLD.replace("\n", "\r\n").encode())
    begin(tmp_path / "new", "--from", str(old))
    new = (tmp_path / "new" / "programme.chime").read_bytes()
    assert new.startswith(b"# Carried over")
    assert new.decode() == carried(OLD)[0]


def test_a_programme_without_dates_is_carried_over_unchanged() -> None:
    assert carried(HALL) == (HALL, [])


def untidy(text: str) -> str:
    """The text with spaces too many: before its lines, between their words and behind them."""
    lines = [re.sub(r" {2,}(?=[^#\s])", "     ", line) + "  " if line else "" for line in text.splitlines()]
    return "\n\n".join(lines)


@pytest.mark.parametrize(
    "text", [OLD, untidy(OLD), OLD.replace("\n\n", "\n"), HALL, untidy(HALL), "# a note   \n"]
)
def test_what_is_carried_over_is_tidy_and_its_list_points_at_its_lines(text: str) -> None:
    new, lines = carried(text)
    assert tidy(Source("new.chime", new)) == new
    wanted = carried(OLD)[1] if DATE.search(text) else []
    assert [line.split() for line in lines] == [line.split() for line in wanted]


@pytest.mark.parametrize("name", ["saltmarsh", "banksia", "brickfield"])
def test_tidy_finds_nothing_to_do_in_next_years_files(tmp_path: Path, name: str) -> None:
    assert begin(tmp_path, "--from", str(SAMPLES / f"{name}.chime")).exit_code == 0
    assert_tidy(tmp_path)


def test_a_programme_that_cannot_be_read_whole_is_not_carried_over(tmp_path: Path) -> None:
    old = write_old(tmp_path, OLD + "  26/10/2026 silent\n")
    result = begin(tmp_path / "new", "--from", str(old))
    assert result.exit_code == 1
    assert "put these right first" in result.stderr
    assert not (tmp_path / "new").exists()


def test_a_used_file_that_is_missing_is_not_passed_over(tmp_path: Path) -> None:
    old = write_old(tmp_path)
    (tmp_path / "machines" / "hall.chime").unlink()
    result = begin(tmp_path / "new", "--from", str(old))
    assert result.exit_code == 1
    assert "F110" in result.stderr
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("option", ["--name", "--place", "--first", "--last", "--times"])
def test_nothing_else_can_be_said_beside_the_old_programme(tmp_path: Path, option: str) -> None:
    value = "2026-09-07" if option in ("--first", "--last") else "Europe/London"
    result = begin(tmp_path / "new", "--from", str(write_old(tmp_path)), option, value)
    assert result.exit_code == 2
    assert f"{option} has no meaning beside --from" in result.stderr


def test_last_years_own_files_are_never_replaced(tmp_path: Path) -> None:
    old = write_old(tmp_path, name="programme.chime")
    result = begin(tmp_path, "--from", str(old))
    assert result.exit_code == 2
    assert old.read_text(encoding="utf-8") == OLD


def test_a_used_file_of_the_new_programmes_name_is_a_misuse(tmp_path: Path) -> None:
    old = write_old(tmp_path, OLD.replace("machines/hall.chime", "programme.chime"))
    (tmp_path / "programme.chime").write_text(HALL, encoding="utf-8")
    result = begin(tmp_path / "new", "--from", str(old))
    assert result.exit_code == 2
    assert "the name of the new programme" in result.stderr


def test_an_old_programme_that_is_not_there_is_a_misuse(tmp_path: Path) -> None:
    result = begin(tmp_path / "new", "--from", str(tmp_path / "none.chime"))
    assert result.exit_code == 2
    assert "no such file" in result.stderr
