"""Calls that cannot run, as somebody new types them: one line that says what is wrong and what to write.

Exit status 2, nothing on standard output, nothing written; no word of the library that reads the options.
"""

import errno
import io
import os
import re
import subprocess
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from chime.cli import COMMANDS, group
from chime.cli.reading import Misused, read_standard_input
from tests.running import PATIENCE_SECONDS, command_line, environment, run_chime

PROGRAMME = """\
programme "Tarn Street School"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1 "Main"
zone yard on track 2 "Yard"
group both main, yard
signal lesson 6 s within 2 s
timetable normal in main
  ring 08:40 lesson in both
week ordinary
  Mon to Fri normal
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-18
term "Winter" 2026-10-05 to 2026-10-16
"""
LIBRARY_WORDS = re.compile(r"Usage:|Error:|Invalid value|No such (option|command)|Try '|Traceback|\bGot\b")
LONG = "x" * 300


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to type commands in, with a programme in it."""
    monkeypatch.chdir(tmp_path)
    Path("tarn.chime").write_text(PROGRAMME, encoding="utf-8")
    return tmp_path


def run(*words: str) -> Result:
    found = CliRunner().invoke(group, list(words))
    assert found.exception is None or isinstance(found.exception, SystemExit), found.exception
    return found


def assert_misuse(found: Result) -> None:
    assert (found.exit_code, found.stdout) == (2, "")
    assert found.stderr.startswith("chime: ")
    assert found.stderr.count("\n") == 1
    assert not LIBRARY_WORDS.search(found.stderr)


def misused(*words: str) -> str:
    """What is said of a call that cannot run."""
    before = sorted(path.name for path in Path().iterdir())
    found = run(*words)
    assert_misuse(found)
    assert sorted(path.name for path in Path().iterdir()) == before
    return found.stderr.removeprefix("chime: ").removesuffix("\n")


# ------------------------------------------------------------- commands, options, words

CALLS = {
    "chek tarn.chime": 'there is no command called "chek"; did you mean check?',
    "TIMES tarn.chime": 'there is no command called "TIMES"; did you mean times?',
    "ringing tarn.chime": 'there is no command called "ringing"; chime --help lists the commands',
    "tarn.chime": 'there is no command called "tarn.chime"; did you mean chime check tarn.chime?',
    "none.chime": 'there is no command called "none.chime"; did you mean chime check none.chime?',
    f"{LONG} tarn.chime": f'there is no command called "{"x" * 60}..."; chime --help lists the commands',
    "--": "no command is named; chime --help lists them",
    "--verson": "there is no option --verson; did you mean --version?",
    "-x": "there is no option -x; chime --help lists them",
    "--version=3": "--version stands by itself, without a value",
    "check": "FILE is missing; write: chime check FILE",
    "compile tarn.chime": "--out is missing; write: chime compile FILE --out DIR",
    "compile": "FILE is missing; write: chime compile FILE --out DIR",
    "times": "FILE is missing; write: chime times FILE [TIMETABLE]",
    "begin": "DIR is missing; write: chime begin DIR",
    "tidy": "FILE is missing; write: chime tidy FILE...",
    "why": "FILE is missing; write: chime why FILE DATE [TIME] [ZONE]",
    "why tarn.chime": "DATE is missing; write: chime why FILE DATE [TIME] [ZONE]",
    "check tarn.chime other.chime": '"other.chime" is too much; write: chime check FILE',
    "explain N301 N302 N303": '"N302 N303" is too much; write: chime explain [CODE]',
    "times tarn.chime normal more": '"more" is too much; write: chime times FILE [TIMETABLE]',
    "check tarn.chime --xyzzy": "there is no option --xyzzy; chime check --help lists them",
    "check tarn.chime -q": "there is no option -q; chime check --help lists them",
    "check tarn.chime --stric": "there is no option --stric; did you mean --strict?",
    "check tarn.chime --rep": "there is no option --rep; did you mean --report?",
    "rings tarn.chime --form 2026-09-07": "there is no option --form; did you mean --from?",
    f"check tarn.chime --{LONG}": f"there is no option --{'x' * 58}...; chime check --help lists them",
    "check tarn.chime --strict=yes": "--strict stands by itself, without a value",
    "check tarn.chime --help=yes": "--help stands by itself, without a value",
    "check tarn.chime --report": "nothing stands behind --report; write: --report long|line|json",
    "compile tarn.chime --out": "nothing stands behind --out; write: --out DIR",
    "rings tarn.chime --from": "nothing stands behind --from; write: --from DATE",
    "check tarn.chime --report xml": "--report is long, line or json",
    "check tarn.chime --color blue": "--color is auto, always or never",
    "compile tarn.chime --out new --paper a5": "--paper is a4, a3, letter or tabloid",
    "rings tarn.chime --json --csv": "--json and --csv are two forms of one list; ask for one of them",
    "times tarn.chime nromal": 'there is no timetable called "nromal"; did you mean normal?',
    "times tarn.chime break": 'there is no timetable called "break"; there are normal',
    f"times tarn.chime {LONG}": f'there is no timetable called "{"x" * 60}..."; there are normal',
    "explain Q999": 'there is no code "Q999"; `chime explain` lists them all',
    f"explain {LONG}": f'there is no code "{"x" * 60}..."; `chime explain` lists them all',
}  # fmt: skip


@pytest.mark.parametrize("call", CALLS, ids=[call[:50] for call in CALLS])
def test_what_is_wrong_with_a_call_is_said_with_what_to_write(call: str) -> None:
    assert misused(*call.split()) == CALLS[call]


WORDS = [
    *COMMANDS,
    "tarn.chime",
    "--",
    "-",
    "",
    "--report",
    "--strict",
    "--json",
    "--zone",
    "--from",
    "--x",
    "=",
    "2026-09-07",
]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=5))
def test_no_call_at_all_ends_in_words_of_the_library(words: list[str]) -> None:
    if "begin" in words:
        return  # it writes files
    found = run(*words)
    assert found.exit_code in (0, 1, 2)
    if found.exit_code == 2:
        assert_misuse(found)


def test_without_a_command_the_help_is_shown() -> None:
    found = run()
    assert (found.exit_code, found.stdout) == (2, "")
    assert "Commands:" in found.stderr


# ------------------------------------------------------------------------------ files

READERS = ("check", "times", "term", "rings", "duties", "compile", "why", "tidy")
ALSO_ASKED = {"compile": ("--out", "out"), "why": ("2026-09-07",)}


def misread(command: str, path: str) -> str:
    return misused(command, path, *ALSO_ASKED.get(command, ()))


@pytest.mark.parametrize("command", READERS)
def test_a_file_that_cannot_be_read_is_told_and_the_nearest_offered(command: str, here: Path) -> None:
    (here / "bells").mkdir()
    assert misread(command, "") == "the name of the file is empty"
    assert misread(command, "none.chime") == "cannot read none.chime: there is no such file"
    assert (
        misread(command, "trn.chime")
        == "cannot read trn.chime: there is no such file; did you mean tarn.chime?"
    )
    assert misread(command, "tarn") == "cannot read tarn: there is no such file; did you mean tarn.chime?"
    assert misread(command, "bells") == "cannot read bells: it is a folder"
    assert misread(command, "/dev/null") == "cannot read /dev/null: it is not an ordinary file"
    assert misread(command, LONG) == f"cannot read {LONG}: file name too long"
    beside = "tarn.chime/other.chime"
    assert misread(command, beside) == f"cannot read {beside}: a part of its path is a file and no folder"


def test_of_a_folder_its_programmes_are_offered_if_they_are_few(here: Path) -> None:
    folder = here / "bells"
    folder.mkdir()
    offers = []
    for name in ("one.chime", "two.chime", "six.chime", "ten.chime"):
        (folder / name).write_text("", encoding="utf-8")
        (folder / f"{name}.txt").write_text("", encoding="utf-8")
        offers.append(misused("check", "bells").removeprefix("cannot read bells: it is a folder"))
    assert offers == [
        "; did you mean bells/one.chime?",
        "; did you mean bells/one.chime or bells/two.chime?",
        "; did you mean bells/one.chime, bells/six.chime or bells/two.chime?",
        "",
    ]
    assert misused("check", "bells/twp.chime").endswith("; did you mean bells/two.chime?")
    assert misused("check", "none/two.chime") == "cannot read none/two.chime: there is no such file"


def test_a_file_that_is_there_and_forbidden_is_not_taken_for_another(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (here / "tern.chime").write_text("", encoding="utf-8")
    monkeypatch.setattr("builtins.open", forbidding("tarn.chime"))
    assert misused("check", "tarn.chime") == "cannot read tarn.chime: its permissions forbid it"


def forbidding(name: str) -> object:
    """The function `open` where a file must not be read: the tests may run as somebody who may read all."""
    ordinary = open

    def refuse(path: object, *rest: object, **named: object) -> object:
        if isinstance(path, str) and os.path.basename(path) == name:
            raise PermissionError(13, "Permission denied")
        return ordinary(path, *rest, **named)  # type: ignore[call-overload]

    return refuse


@pytest.mark.parametrize("command", READERS)
def test_only_tidy_reads_standard_input(command: str, here: Path) -> None:
    if command == "tidy":
        assert run("tidy", "-").exit_code == 0
        return
    assert misread(command, "-") == (
        "cannot read standard input: save it as a file and name that; a file called - is written ./-"
    )
    (here / "-").write_text(PROGRAMME, encoding="utf-8")
    assert run(command, "./-", *ALSO_ASKED.get(command, ())).exit_code == 0


@pytest.mark.parametrize(
    ("given", "reason"),
    [
        ("<&-", "it is closed"),
        ("0> /dev/null", "bad file descriptor"),
        ("< /dev/zero", "it is larger than 64 MiB"),
    ],
)
def test_standard_input_that_cannot_be_read_is_told(given: str, reason: str, here: Path) -> None:
    found = subprocess.run(
        ["sh", "-c", f'exec "$@" {given}', "sh", *command_line("tidy", "-")],
        env=environment(),
        cwd=here,
        capture_output=True,
        timeout=PATIENCE_SECONDS,
        check=False,
    )
    assert (found.returncode, found.stdout) == (2, b"")
    assert found.stderr.decode() == f"chime: cannot read standard input: {reason}\n"


def test_what_is_read_from_standard_input_has_a_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    class Broken(io.RawIOBase):
        def readable(self) -> bool:
            return True

        def readinto(self, _: object) -> int:
            raise OSError(errno.EIO, "broken")

    too_much = io.TextIOWrapper(io.BytesIO(b"x" * 9))
    broken = io.TextIOWrapper(io.BufferedReader(Broken()))
    monkeypatch.setattr("chime.cli.reading.MOST_BYTES", 8)
    for stream, said in (
        (None, "it is closed"),
        (too_much, "it is larger than 64 MiB"),
        (broken, "input/output error"),
    ):
        monkeypatch.setattr("sys.stdin", stream)
        with pytest.raises(Misused, match=f"^cannot read standard input: {said}$"):
            read_standard_input()
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"x" * 8)))
    assert read_standard_input() == b"x" * 8


@pytest.mark.parametrize("line", ['use "machine.chime"', 'exceptions\n  days in "closed.ics" silent'])
def test_a_used_file_that_must_not_be_read_is_not_called_missing(
    line: str, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = line.split('"')[1]
    (here / name).write_text("", encoding="utf-8")
    (here / "tarn.chime").write_text(f"{PROGRAMME}{line}\n", encoding="utf-8")
    monkeypatch.setattr("builtins.open", forbidding(name))
    found = run("check", "tarn.chime", "--report", "line")
    assert found.exit_code == 1
    assert ": its permissions forbid it (try: let it be read: only its owner" in found.stderr
    monkeypatch.undo()
    monkeypatch.chdir(here)
    (here / name).unlink()
    assert (
        "there is no such file (try: a path from the folder of"
        in run("check", "tarn.chime", "--report", "line").stderr
    )
    (here / name).mkdir()
    assert (
        "it is a folder (try: name a file that lies in it"
        in run("check", "tarn.chime", "--report", "line").stderr
    )


def test_a_machine_by_itself_is_no_programme_and_is_told_so(here: Path) -> None:
    (here / "machine.chime").write_text("machine tower\n  loop  24 h in rows of 1 min\n", encoding="utf-8")
    for command in READERS:
        if command != "tidy":
            found = run(command, "machine.chime", *ALSO_ASKED.get(command, ()))
            said = " ".join(found.stderr.split())
            assert found.exit_code == 1
            assert "the file describes a machine and has no programme block" in said
            assert 'check the programme that says: use "machine.chime"' in said
    (here / "machine.chime").write_text("machine tower\n  lop  24 h in rows of 1 min\n", encoding="utf-8")
    assert "machine.chime:2:3: error S203" in run("check", "machine.chime", "--report", "line").stderr


# ---------------------------------------------------------------------- dates and zones

DATES = {
    "2026-02-30": "2026-02-30 is no date of the calendar",
    "7/9/2026": '"7/9/2026" is no date: it is written 2026-12-01, or Tue 2026-12-01',
    "today": '"today" is no date: it is written 2026-12-01, or Tue 2026-12-01',
    "2026-9-7": '"2026-9-7" is no date: it is written 2026-12-01, or Tue 2026-12-01',
    "20260907": '"20260907" is no date: it is written 2026-12-01, or Tue 2026-12-01',
    "٢٠٢٦-٠٩-٠٧": '"٢٠٢٦-٠٩-٠٧" is no date: it is written 2026-12-01, or Tue 2026-12-01',
    "Mon": '"Mon" is no date: it is written 2026-12-01, or Tue 2026-12-01',
    "Tue 2026-09-07": "2026-09-07 is not a Tue: it is Mon 2026-09-07",
    "Monday 2026-09-07": 'a weekday is written Mon, not "Monday"',
    "mon 2026-09-07": 'a weekday is written Mon, not "mon"',
    "Moonday 2026-09-07": '"Moonday" is no date: it is written 2026-12-01, or Tue 2026-12-01',
    "": "no date is given: it is written 2026-12-01, or Tue 2026-12-01",
    " ": "no date is given: it is written 2026-12-01, or Tue 2026-12-01",
    LONG: f'"{"x" * 60}..." is no date: it is written 2026-12-01, or Tue 2026-12-01',
}  # fmt: skip


@pytest.mark.parametrize("text", DATES, ids=[text[:20] for text in DATES])
def test_a_date_is_read_alike_by_every_command(text: str) -> None:
    for option in ("--from", "--until"):
        assert misused("rings", "tarn.chime", option, text) == f"{option}: {DATES[text]}"
    for option in ("--first", "--last"):
        assert misused("begin", "new", option, text) == f"{option}: {DATES[text]}"
    assert misused("why", "tarn.chime", text) == DATES[text]


def test_more_than_a_date_is_no_date() -> None:
    said = '"2026-09-07 2026-09-08" is no date: it is written 2026-12-01, or Tue 2026-12-01'
    assert misused("rings", "tarn.chime", "--from", "2026-09-07 2026-09-08") == f"--from: {said}"


def test_a_date_may_have_its_weekday() -> None:
    plain = run("rings", "tarn.chime", "--from", "2026-09-08", "--until", "2026-09-09")
    named = run("rings", "tarn.chime", "--from", "Tue 2026-09-08", "--until", "Wed 2026-09-09")
    assert (named.exit_code, named.stdout) == (0, plain.stdout)
    assert plain.stdout.count("2026-09") == 2
    told = [
        run("why", "tarn.chime", *words).stdout
        for words in (("2026-09-08",), ("Tue", "2026-09-08"), ("Tue 2026-09-08",))
    ]
    assert told[0]
    assert set(told) == {told[0]}


def test_a_last_date_before_the_first_is_told() -> None:
    said = misused("rings", "tarn.chime", "--from", "2026-10-09", "--until", "2026-09-07")
    assert said == "--from Fri 2026-10-09 lies after --until Mon 2026-09-07"


ZONES = {
    "mian": 'there is no zone or group called "mian"; did you mean main?',
    "bth": 'there is no zone or group called "bth"; did you mean both?',
    "everywher": 'there is no zone or group called "everywher"; did you mean everywhere?',
    "attic": 'there is no zone or group called "attic"; there are main, yard, both, everywhere',
    "": 'there is no zone or group called ""; there are main, yard, both, everywhere',
    LONG: f'there is no zone or group called "{"x" * 60}..."; there are main, yard, both, everywhere',
}


@pytest.mark.parametrize("name", ZONES, ids=[name[:20] for name in ZONES])
def test_a_zone_that_is_none_is_told_alike_by_every_command(name: str) -> None:
    assert misused("rings", "tarn.chime", "--zone", name) == ZONES[name]
    if name:
        assert misused("why", "tarn.chime", "2026-09-07", "08:40", name) == ZONES[name]


def test_a_name_typed_with_marks_of_their_own_is_the_same_name(here: Path) -> None:
    """Some keyboards and file systems give a letter and its mark apart (Unicode's form NFD)."""
    text = PROGRAMME.replace("yard", "café").replace("normal", "été")
    (here / "tarn.chime").write_text(text, encoding="utf-8")
    assert run("rings", "tarn.chime", "--zone", "cafe\N{COMBINING ACUTE ACCENT}").stdout.count("café") == 20
    assert (
        "08:40"
        in run("times", "tarn.chime", "e\N{COMBINING ACUTE ACCENT}te\N{COMBINING ACUTE ACCENT}").stdout
    )


def test_a_group_and_everywhere_are_the_zones_that_they_name() -> None:
    listed = {
        name: run("rings", "tarn.chime", "--zone", name).stdout
        for name in ("main", "yard", "both", "everywhere")
    }
    assert listed["both"] == listed["everywhere"] == run("rings", "tarn.chime").stdout
    assert listed["main"] != listed["yard"]
    assert len(listed["main"]) + len(listed["yard"]) > len(listed["both"])
    assert ("yard" in listed["main"], "yard" in listed["yard"], "yard" in listed["both"]) == (
        False,
        True,
        True,
    )


NOTHING = {
    "--from 2026-09-19 --until 2026-09-20": (
        "nothing rings between Sat 2026-09-19 and Sun 2026-09-20: a term ended Fri 2026-09-18, "
        "the next begins Mon 2026-10-05"
    ),
    "--from 2027-01-01": "nothing rings from Fri 2027-01-01 on: the last term ended Fri 2026-10-16",
    "--until 2026-01-01": "nothing rings until Thu 2026-01-01: the first term begins Mon 2026-09-07",
    "--from 1900-01-01 --until 1900-01-01": (
        "nothing rings on Mon 1900-01-01: the first term begins Mon 2026-09-07"
    ),
    "--from 2026-09-12 --until 2026-09-12": (
        "nothing rings on Sat 2026-09-12; chime why tarn.chime 2026-09-12 tells why"
    ),
    "--from 2026-09-12 --until 2026-09-13 --zone both": (
        "nothing rings in both between Sat 2026-09-12 and Sun 2026-09-13"
    ),
    "--from 2027-01-01 --zone everywhere": (
        "nothing rings from Fri 2027-01-01 on: the last term ended Fri 2026-10-16"
    ),
}


@pytest.mark.parametrize("call", NOTHING)
def test_a_list_of_nothing_is_told_beside_the_list(call: str) -> None:
    heading = "date,weekday,time,offset,zone,signal,seconds,labels,because\n"
    for form, listed in (((), ""), (("--json",), ""), (("--csv",), heading)):
        found = run("rings", "tarn.chime", *call.split(), *form)
        assert (found.exit_code, found.stdout, found.stderr) == (0, listed, f"{NOTHING[call]}\n")


def test_a_zone_in_which_nothing_rings_at_all_is_told(here: Path) -> None:
    (here / "tarn.chime").write_text(PROGRAMME + "zone attic\n", encoding="utf-8")
    found = run("rings", "tarn.chime", "--zone", "attic")
    assert (found.exit_code, found.stdout) == (0, "")
    assert found.stderr.endswith("nothing rings in attic on any date\n")


def test_what_rings_is_not_called_nothing() -> None:
    assert run("rings", "tarn.chime").stderr == ""


# ------------------------------------------------------------------------ surroundings

TERMINALS: dict[str, dict[str, str | None]] = {
    "narrow": {"COLUMNS": "40"},
    "narrower": {"COLUMNS": "20"},
    "dumb": {"TERM": "dumb", "NO_COLOR": "1"},
    "plain": {"LANG": "C", "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    "ascii": {"PYTHONIOENCODING": "ascii"},
    "foreign": {"LANG": "fr_FR.UTF-8", "LANGUAGE": "fr"},
}


@pytest.mark.parametrize("name", TERMINALS)
def test_no_terminal_is_too_poor_for_a_misuse(name: str, here: Path) -> None:
    for words, status in (
        (["--help"], 0),
        (["rings", "--help"], 0),
        (["chék"], 2),
        (["check", "naïve.chime"], 2),
        (["check", "tarn.chime", "--zöne"], 2),
        (["rings", "tarn.chime", "--zone", "ÿard"], 2),
        (["why", "tarn.chime", "tomörrow"], 2),
        (["explain", "ß"], 2),
    ):
        found = run_chime(here, words, TERMINALS[name])
        assert (found.returncode, b"X901" in found.stderr) == (status, False), found.stderr
        if status == 2:
            assert found.stdout == b""
            assert found.stderr.startswith(b"chime: ")
            assert found.stderr.count(b"\n") == 1


def test_a_name_that_is_no_utf_8_is_said_on_one_line(here: Path) -> None:
    for raw in (b"caf\xe9.chime", b"a\nb.chime", b"\x1b[31mred.chime"):
        found = run_chime(here, ["check", os.fsdecode(raw)])
        assert found.returncode == 2
        assert found.stderr.startswith(b"chime: cannot read ")
        assert found.stderr.count(b"\n") == 1
        assert b"\x1b" not in found.stderr


def test_the_command_of_a_wrong_option_is_told_by_its_own_name() -> None:
    """Of every command: what is said of an option that there is not names the command and its help."""
    for name in COMMANDS:
        assert (
            misused(name, "--no-such-option")
            == f"there is no option --no-such-option; chime {name} --help lists them"
        )
        assert isinstance(group.get_command(click.Context(group), name), click.Command)
