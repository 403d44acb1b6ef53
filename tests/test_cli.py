"""The commands as a shell sees them: help, exit status, which words go where, and what never goes wrong.

Exit status 0 is fine, 1 is faults in the programme, 2 is a call that could not run, 3 is a bug in chime.
What streams and terminals do is looked at in processes of their own.
"""

import errno
import io
import json
import os
import pty
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Mapping
from importlib.metadata import version
from pathlib import Path

import click
import pytest
import tzdata
from click.testing import CliRunner, Result

from chime.cli import COMMANDS, _ready_streams, group, main
from tests.running import PATIENCE_SECONDS, command_line, environment, run_chime

SAMPLES = Path(__file__).resolve().parent / "samples"

SOUND = """\
programme "Ostermead House"
  place Europe/London
  issue 1 on 2026-08-20
zone main on track 1 "Main"
signal lesson 6 s within 2 s
timetable normal in main
  ring 08:40, 08:45 lesson
week ordinary
  Mon to Fri normal
  Sat, Sun silent
term "Autumn" 2026-09-07 to 2026-09-18
"""
WARNED = SOUND + "zone spare on track 2\n"
FAULTY = SOUND.replace("08:40", "08:70")
ACCENTED = SOUND.replace("Ostermead", "Café").replace("5 lesson", '5 lesson "Café 学校 🔔"')


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    return written(tmp_path / "test.chime", SOUND)


@pytest.fixture
def warned(tmp_path: Path) -> Path:
    return written(tmp_path / "warned.chime", WARNED)


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    return written(tmp_path / "faulty.chime", FAULTY)


def written(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8", newline="")
    return path


def run(*arguments: str | Path) -> Result:
    found = CliRunner().invoke(group, [str(argument) for argument in arguments])
    assert found.exception is None or isinstance(found.exception, SystemExit), found.exception
    return found


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


# ----------------------------------------------------------------------------- help


def test_the_help_of_chime_lists_every_command() -> None:
    said = " ".join(run("--help").stdout.split())
    for name, words in COMMANDS.items():
        assert f"{name} {words}" in said


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help(name: str) -> None:
    for option in ("--help", "-h"):
        found = run(name, option)
        assert (found.exit_code, found.stderr) == (0, "")
        assert found.stdout.startswith(f"Usage: {group.name} {name} ")


@pytest.mark.parametrize("name", COMMANDS)
def test_every_argument_and_option_is_told(name: str) -> None:
    command = group.get_command(click.Context(group), name)
    assert command is not None
    assert command.help
    assert command.help.rstrip().endswith(".")
    said = " ".join(run(name, "--help").stdout.split())
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            assert parameter.help, f"{name} {parameter.opts}"
            assert parameter.help.endswith("."), f"{name} {parameter.opts}"
            assert all(word in said for word in parameter.help.split())
        elif parameter.name in ("file", "files"):
            assert "FILE" in command.help, f"the help of {name} does not say what FILE is"


def test_without_a_command_the_help_is_shown_as_a_misuse() -> None:
    found = run()
    assert found.exit_code == 2
    assert "Commands:" in found.output


def test_the_version_names_the_releases_of_the_data() -> None:
    found = run("--version")
    assert (found.exit_code, found.stderr) == (0, "")
    first, second = found.stdout.splitlines()
    assert first.startswith("chime")
    assert second == f"zone data {tzdata.IANA_VERSION}, holidays {version('holidays')}"


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_shell_is_given_its_completion(shell: str, tmp_path: Path) -> None:
    found = run_command(tmp_path, [], {"_CHIME_COMPLETE": f"{shell}_source"})
    assert (found.returncode, found.stderr) == (0, b"")
    assert b"_CHIME_COMPLETE" in found.stdout


@pytest.mark.parametrize(
    ("shell", "word", "offered"),
    [
        ("bash", "1", "plain,check\n"),
        ("zsh", "1", "plain\ncheck\n"),
        ("fish", "ch", "plain,check\t"),
    ],
)
def test_a_shell_completes_the_names_of_commands(shell: str, word: str, offered: str, tmp_path: Path) -> None:
    asked = {"_CHIME_COMPLETE": f"{shell}_complete", "COMP_WORDS": "chime ch", "COMP_CWORD": word}
    found = run_command(tmp_path, [], asked)
    assert (found.returncode, found.stderr) == (0, b"")
    assert found.stdout.decode().startswith(offered)


def run_command(
    folder: Path, arguments: list[str], changes: Mapping[str, str | None] | None = None
) -> subprocess.CompletedProcess[bytes]:
    return run_chime(folder, arguments, changes)


# ---------------------------------------------------------------- exit status and streams


@pytest.mark.parametrize(
    "command", [["check"], ["rings"], ["term"], ["times"], ["why", "2026-09-07"]], ids=str
)
def test_the_exit_status_follows_from_the_faults(
    command: list[str], sound: Path, warned: Path, faulty: Path
) -> None:
    name, *rest = command
    assert run(name, sound, *rest).exit_code == 0
    assert run(name, sound, *rest, "--strict").exit_code == 0
    assert run(name, warned, *rest).exit_code == 0
    assert run(name, warned, *rest, "--strict").exit_code == 1
    assert run(name, faulty, *rest).exit_code == 1
    assert run(name, sound.parent / "none.chime", *rest).exit_code == 2


def test_what_is_asked_for_goes_to_standard_output_and_faults_to_standard_error(
    sound: Path, warned: Path, faulty: Path
) -> None:
    for name in ("rings", "times", "term"):
        fine, doubtful, wrong = run(name, sound), run(name, warned), run(name, faulty)
        assert fine.stdout
        assert fine.stderr == ""
        assert "N393" in doubtful.stderr
        assert "N393" not in doubtful.stdout or name == "times", "times shows the lines warned about, too"
        assert "N301" in wrong.stderr
    assert run("rings", warned).stdout == run("rings", sound).stdout
    assert run("rings", faulty).stdout == ""


def test_a_line_for_each_fault(warned: Path, faulty: Path) -> None:
    found = run("check", warned, "--report", "line")
    assert found.stdout == ""
    assert found.stderr.splitlines() == [f'{warned}:12:6: warning N393: the zone "spare" is never used']
    strict = run("check", warned, "--report", "line", "--strict")
    assert strict.stderr.splitlines() == [f'{warned}:12:6: error N393: the zone "spare" is never used']
    assert run("check", faulty, "--report", "line").stderr.startswith(f"{faulty}:7:8: error N301: ")


def test_json_goes_to_standard_output_where_it_is_what_was_asked_for(warned: Path, faulty: Path) -> None:
    found = run("check", warned, "--report", "json")
    assert found.stderr == ""
    told = json.loads(found.stdout)
    assert (told["format"], told["counts"]) == ("chime-diagnostics/1", {"error": 0, "warning": 1})
    rings = run("rings", faulty, "--report", "json")
    assert rings.stdout == ""
    assert json.loads(rings.stderr)["diagnostics"][0]["code"] == "N301"


def test_strict_json_calls_warnings_errors(warned: Path) -> None:
    told = json.loads(run("check", warned, "--report", "json", "--strict").stdout)
    assert (told["counts"], told["diagnostics"][0]["severity"]) == ({"error": 1, "warning": 0}, "error")


def test_the_long_form_shows_the_line_and_what_to_try(faulty: Path) -> None:
    found = run("check", faulty)
    assert "ring 08:70, 08:45 lesson" in found.stderr
    assert "\n  more  chime explain N301\n" in found.stderr
    assert found.stdout.startswith("1 error, 0 warnings\n")


MACHINE = (SAMPLES / "hall-machine.chime").read_text(encoding="utf-8")
CHECKED = {
    "no machine": (
        SOUND,
        "0 errors, 0 warnings; 20 rings on 10 dates",
        "checked: lines, names, values and rings; without a machine there is no tape to check",
    ),
    "a machine": (
        SOUND + MACHINE,
        "0 errors, 0 warnings; 20 rings on 10 dates",
        "checked: lines, names, values and rings; not checked: the tape (check --tape does that)",
    ),
    "one ring": (
        SOUND.replace("08:40, ", "").replace("Mon to Fri normal", "Mon normal").replace("Sat, Sun", "Tue to Sun")
        .replace("09-18", "09-13"),
        "0 errors, 0 warnings; 1 ring on 1 date",
        "checked: lines, names, values and rings; without a machine there is no tape to check",
    ),
    "an error of a value": (
        FAULTY,
        "1 error, 0 warnings",
        "checked: lines, names, values and the rings that are certain; not yet: the others, and the tape",
    ),
    "an error of a date": (
        SOUND + "exceptions\n  2026-09-08 silent\n  2026-09-08 normal\n",
        "1 error, 0 warnings",
        "checked: lines, names, values and rings; not yet: the tape",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CHECKED)
def test_a_check_says_how_much_rings_and_last_what_was_checked_and_what_not(
    name: str, tmp_path: Path
) -> None:
    text, first, last = CHECKED[name]
    found = run("check", written(tmp_path / "test.chime", text))
    assert found.stdout == f"{first}\n{last}\n"


def test_a_check_of_the_tape_holds_the_rings_against_the_rows_and_tracks_of_the_machine(
    tmp_path: Path,
) -> None:
    clash = SOUND.replace("08:45 lesson", "08:45 lesson\n  ring 09:00:30 lesson in yard")
    yard = 'zone yard on track 1 "Yard"\n'
    faulty = written(tmp_path / "test.chime", clash + yard + MACHINE)
    assert run("check", faulty).exit_code == 0
    found = run("check", "--tape", faulty, "--report", "line")
    assert found.exit_code == 1
    assert [code for code in ("T503", "T507") if code in found.stderr + found.stdout] == ["T503", "T507"]
    sound = run("check", "--tape", written(tmp_path / "test.chime", SOUND + MACHINE))
    assert sound.stdout.endswith("rings, the plan of the tape, and whether it will read true\n")


def test_what_an_exception_passes_by_is_told_before_what_was_checked(tmp_path: Path) -> None:
    passing = (
        SOUND + "exceptions\n  2026-09-09 silent\n  every Wed from 2026-09-07 to 2026-09-18 drop 08:40\n"
    )
    lines = run("check", written(tmp_path / "test.chime", passing)).stdout.splitlines()
    assert lines[1] == "test.chime:14 passes by Wed 2026-09-09: silent or closed anyway"
    assert [line.partition(":")[0] for line in lines] == [
        "0 errors, 0 warnings; 17 rings on 9 dates",
        "test.chime",
        "checked",
    ]


# ------------------------------------------------------------------------------- bugs

STAGES = {
    "parsing": "chime.compiler.parse",
    "programme": "chime.compiler.build",
    "rings": "chime.compiler.ring",
    "tape": "chime.tape.lay_out.lay_out",
    "verify": "chime.verify.verify",
    "writers": "chime.writers.registry.write_all",
}
"""Each stage with the verb that the pipeline calls."""


def run_main(monkeypatch: pytest.MonkeyPatch, *arguments: str | Path) -> int:
    monkeypatch.setattr("sys.argv", ["chime", *map(str, arguments)])
    with pytest.raises(SystemExit) as left:
        main()
    assert isinstance(left.value.code, int)
    return left.value.code


@pytest.mark.parametrize("stage", STAGES)
def test_a_bug_in_a_stage_is_told_in_words_and_writes_nothing(
    stage: str, sound: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError(stage)

    out = sound.parent / "out"
    assert run_main(monkeypatch, "compile", sound, "--out", out) == 0
    before = contents(out)
    capsys.readouterr()
    monkeypatch.setattr(STAGES[stage], fail)
    assert run_main(monkeypatch, "compile", sound, "--out", out) == 3
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("error X901: chime itself failed; this is no fault of your programme\n")
    assert "ZeroDivisionError (fail, line " in said.err
    assert "chime --version" in said.err
    assert "Traceback" not in said.err
    assert contents(out) == before
    assert run_main(monkeypatch, "compile", sound, "--out", sound.parent / "new") == 3
    assert not (sound.parent / "new").exists()


def test_the_trace_of_a_bug_is_there_for_those_who_ask(
    sound: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("chime.compiler.build", None)
    monkeypatch.setenv("CHIME_TRACE", "1")
    assert run_main(monkeypatch, "check", sound) == 3
    said = capsys.readouterr().err
    assert said.startswith("error X901: ")
    assert "Traceback" in said


# ---------------------------------------------------------------------------- compile


@pytest.fixture(scope="module")
def saltmarsh(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("saltmarsh")
    for name in ("saltmarsh.chime", "hall-machine.chime"):
        shutil.copy(SAMPLES / name, folder / name)
    return folder / "saltmarsh.chime"


def test_compile_says_what_it_wrote_and_writes_the_same_bytes_again(saltmarsh: Path, tmp_path: Path) -> None:
    first, second = tmp_path / "deep" / "first", tmp_path / "second"
    found = run("compile", saltmarsh, "--out", first)
    assert found.exit_code == 0
    assert re.findall(r"(?:error|warning) (\w+)", found.stderr) == ["V633"]  # its wheel was not measured
    for path in first.iterdir():
        assert f"  {path}\n" in found.stdout
    assert run("compile", saltmarsh, "--out", second).exit_code == 0
    assert contents(first) == contents(second)
    again = run("compile", saltmarsh, "--out", first)
    assert again.stdout == found.stdout
    assert contents(first) == contents(second)
    assert {path.suffix for path in first.iterdir()} == {".ics", ".pdf", ".csv", ".json", ".svg"}


def test_compile_replaces_its_own_files_and_leaves_others_alone(sound: Path) -> None:
    out = sound.parent / "out"
    out.mkdir()
    written(out / "notes.txt", "mine")
    written(out / "calendar.ics", "old")
    assert run("compile", sound, "--out", out).exit_code == 0
    assert (out / "notes.txt").read_text(encoding="utf-8") == "mine"
    assert (out / "calendar.ics").read_bytes().startswith(b"BEGIN:VCALENDAR")
    assert not [name for name in contents(out) if name.startswith(".")]


@pytest.mark.parametrize("text", [FAULTY, WARNED])
def test_a_fault_leaves_old_files_as_they_are(text: str, sound: Path) -> None:
    out = sound.parent / "out"
    run("compile", sound, "--out", out)
    before = contents(out)
    found = run("compile", written(sound, text), "--out", out, "--strict")
    assert (found.exit_code, found.stdout) == (1, "")
    assert found.stderr.endswith("\nnothing was written\n")
    assert contents(out) == before


NO_FOLDERS = {
    "a file": ("test.chime", "a file is in its place"),
    "a folder in a file": ("test.chime/out", "a file is in its place"),
    "no folder that anybody can make": ("/proc/none", "no folder can be made there"),
    "a folder in a device": ("/dev/null/out", "a file is in its place"),
    "a name too long": ("x" * 300, "file name too long"),
}


@pytest.mark.parametrize("name", NO_FOLDERS)
def test_a_place_that_cannot_be_written_is_exit_status_2(name: str, sound: Path) -> None:
    place, reason = NO_FOLDERS[name]
    before = contents(sound.parent)
    found = run("compile", sound, "--out", sound.parent / place)
    assert (found.exit_code, found.stdout) == (2, "")
    assert found.stderr.startswith("chime: cannot write to ")
    assert found.stderr.endswith(f": {reason}; nothing was changed\n")
    assert contents(sound.parent) == before


def test_a_folder_in_the_place_of_a_file_leaves_everything_as_it_is(sound: Path) -> None:
    out = sound.parent / "out"
    run("compile", sound, "--out", out)
    before = contents(out)
    last = max(before)
    (out / last).unlink()
    (out / last).mkdir()
    written(sound, SOUND.replace("08:40", "08:39"))
    found = run("compile", sound, "--out", out)
    assert found.exit_code == 2
    assert found.stderr == f"chime: cannot write {out / last}: it is a folder\n"
    (out / last).rmdir()
    assert contents(out) == {name: content for name, content in before.items() if name != last}


def test_a_disk_that_is_full_leaves_everything_as_it_is(sound: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = sound.parent / "out"
    run("compile", sound, "--out", out)
    before = contents(out)
    calls: list[int] = []

    def fill(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 2:
            raise OSError(errno.ENOSPC, "no space")

    monkeypatch.setattr("chime.cli.writing.os.fsync", fill)
    written(sound, SOUND.replace("08:40", "08:39"))
    found = run("compile", sound, "--out", out)
    assert found.exit_code == 2
    assert found.stderr == f"chime: cannot write to {out}: no space left on device; nothing was changed\n"
    assert contents(out) == before


# ------------------------------------------------------------- streams and terminals


SIGPIPE_STATUS = 128 + 13
"""What a shell shows of a tool whose reader left: 128 and the number of the signal, and SIGPIPE is 13.

POSIX (IEEE Std 1003.1-2024, XCU 2.8.2) has more than 128; the sum is what bash, dash, zsh and ksh93 make it,
and 13 is SIGPIPE's number in its `kill`.
"""


@pytest.mark.parametrize("unbuffered", [None, "1"])
@pytest.mark.parametrize("form", [(), ("--json",), ("--csv",)])
def test_a_reader_that_stops_early_ends_a_listing_quietly(
    form: tuple[str, ...], unbuffered: str | None, saltmarsh: Path
) -> None:
    assert len(run("rings", saltmarsh, *form).stdout) > 65_536, "more than a pipe of Linux holds"
    with subprocess.Popen(
        command_line("rings", str(saltmarsh), *form),
        env=environment({"PYTHONUNBUFFERED": unbuffered}),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as listing:
        assert listing.stdout is not None
        assert listing.stderr is not None
        assert listing.stdout.readline()
        listing.stdout.close()
        assert listing.stderr.read() == b""
        assert listing.wait(PATIENCE_SECONDS) == SIGPIPE_STATUS


@pytest.mark.parametrize(
    "command", [("check", "FILE"), ("tidy", "-"), ("explain",), ("--help",), ("--version",), ()], ids=" ".join
)
def test_nobody_who_reads_is_nothing_to_complain_of(command: tuple[str, ...], sound: Path) -> None:
    """A pipe whose other end is closed before the command starts: to write into it gives EPIPE."""
    near, far = os.pipe()
    os.close(near)
    try:
        found = subprocess.run(
            command_line(*(str(sound) if word == "FILE" else word for word in command)),
            env=environment({"_CHIME_COMPLETE": None if command else "bash_source"}),
            input=SOUND.encode(),
            stdout=far,
            stderr=subprocess.PIPE,
            timeout=PATIENCE_SECONDS,
            check=False,
        )
    finally:
        os.close(far)
    assert (found.returncode, found.stderr) == (SIGPIPE_STATUS, b"")


def test_a_pipe_that_breaks_inside_a_command_gives_the_same_status(
    sound: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise BrokenPipeError

    monkeypatch.setattr("chime.cli.check_command._summary", fail)
    assert run_main(monkeypatch, "check", sound) == SIGPIPE_STATUS
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", "")


def test_a_stream_that_may_lose_the_end_of_a_text_is_not_written_to_as_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Standard output is such a stream where PYTHONUNBUFFERED is set: what `write` leaves over is lost."""
    path = tmp_path / "out"
    with path.open("wb", buffering=0) as raw:
        unbuffered = io.TextIOWrapper(raw, encoding="ascii", write_through=True)
        monkeypatch.setattr("sys.stdout", unbuffered)
        _ready_streams()
        assert isinstance(sys.stdout.buffer, io.BufferedWriter)
        sys.stdout.write("wider\N{EN DASH}than ascii")
        sys.stdout.close()
    assert path.read_bytes() == b"wider\\u2013than ascii"


def test_somebody_who_stops_a_command_is_not_told_of_a_bug(
    sound: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("chime.cli.tidy_command.tidy", stopped)
    assert run_main(monkeypatch, "tidy", sound) == 128 + signal.SIGINT
    said = capsys.readouterr()
    assert (said.out, said.err.strip()) == ("", "")
    assert sound.read_text(encoding="utf-8") == SOUND


@pytest.mark.parametrize("unbuffered", [None, "1"])
def test_output_that_finds_no_room_is_told_in_words(unbuffered: str | None, sound: Path) -> None:
    for arguments in (["rings"], ["check"], ["term"], ["times"], ["rings", "--json"]):
        with Path("/dev/full").open("wb") as full:
            found = subprocess.run(
                command_line(*arguments, str(sound)),
                env=environment({"PYTHONUNBUFFERED": unbuffered}),
                stdout=full,
                stderr=subprocess.PIPE,
                timeout=PATIENCE_SECONDS,
                check=False,
            )
        assert found.returncode == 2
        assert found.stderr == b"chime: cannot write all that was asked for: no space left on device\n"


@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", ">&- 2>&-", "2>/dev/full"])
def test_a_closed_stream_changes_no_exit_status(closed: str, sound: Path, faulty: Path) -> None:
    for path, status in ((sound, 0), (faulty, 1), (sound.parent / "none.chime", 2)):
        shell = f'exec "$@" {closed}'
        found = subprocess.run(
            ["sh", "-c", shell, "sh", *command_line("check", str(path))],
            env=environment(),
            capture_output=True,
            timeout=PATIENCE_SECONDS,
            check=False,
        )
        # Where the faults themselves find no room the command could not do what it was asked.
        is_cut_short = closed == "2>/dev/full" and status == 1
        assert found.returncode == (2 if is_cut_short else status)


ENCODINGS = ("ascii", "latin-1", "cp1252", "shift_jis", "utf-16", "utf-8")


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_no_terminal_is_too_poor_in_letters(encoding: str, tmp_path: Path) -> None:
    written(tmp_path / "test.chime", ACCENTED + "zone été on track 2\n")
    written(tmp_path / "faulty.chime", ACCENTED + "zone été on track été\n")
    for arguments, status in (
        (["check", "test.chime"], 0),
        (["check", "test.chime", "--report", "line"], 0),
        (["check", "faulty.chime"], 1),
        (["rings", "test.chime"], 0),
        (["rings", "test.chime", "--csv"], 0),
        (["times", "test.chime"], 0),
        (["term", "test.chime"], 0),
        (["why", "test.chime", "2026-09-07", "08:45"], 0),
        (["explain", "S211"], 0),
        (["check", "naïve.chime"], 2),
        (["rings", "test.chime", "--zone", "ete"], 2),
        (["chék"], 2),
        (["--help"], 0),
    ):
        found = run_command(tmp_path, arguments, {"PYTHONIOENCODING": encoding})
        assert found.returncode == status, (arguments, found.stderr)
        assert b"X901" not in found.stderr


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "shift_jis", "utf-8"])
def test_json_is_json_on_every_terminal(encoding: str, tmp_path: Path) -> None:
    written(tmp_path / "test.chime", ACCENTED + "zone été on track 2\n")
    found = run_command(tmp_path, ["rings", "test.chime", "--json"], {"PYTHONIOENCODING": encoding})
    rings = [json.loads(line) for line in found.stdout.decode(encoding).splitlines()]
    assert [ring["labels"] for ring in rings if ring["labels"]] == [["Café 学校 🔔"]] * 20
    found = run_command(tmp_path, ["check", "test.chime", "--report", "json"], {"PYTHONIOENCODING": encoding})
    told = json.loads(found.stdout.decode(encoding))
    assert [fault["headline"] for fault in told["diagnostics"]] == ['the zone "été" is never used']


def test_the_marks_of_the_long_form_have_stand_ins_in_ascii(faulty: Path) -> None:
    arguments = ["check", faulty.name]
    rich = run_command(faulty.parent, arguments, {"PYTHONIOENCODING": "utf-8"}).stderr.decode()
    plain = run_command(faulty.parent, arguments, {"PYTHONIOENCODING": "ascii"}).stderr.decode("ascii")
    assert "┊        ●●●●●" in rich
    assert ":        ooooo" in plain
    assert len(plain.splitlines()) == len(rich.splitlines())


def test_a_file_whose_name_is_no_utf_8_is_checked_like_any_other(tmp_path: Path) -> None:
    name = os.fsdecode(b"caf\xe9.chime")
    for text, status in ((SOUND, 0), (FAULTY, 1)):
        written(tmp_path / name, text)
        for form in ("long", "line", "json"):
            found = run_command(tmp_path, ["check", name, "--report", form])
            assert found.returncode == status, found.stderr
    assert run_command(tmp_path, ["compile", name, "--out", "out"]).returncode == 1


# ----------------------------------------------------------------------------- colour

ESCAPE = b"\x1b["


def on_a_terminal(path: Path, changes: Mapping[str, str | None], *options: str) -> bytes:
    """What a check writes to standard error where that is a terminal."""
    near, far = pty.openpty()
    try:
        subprocess.run(
            command_line("check", str(path), *options),
            env=environment({"NO_COLOR": None, **changes}),
            stdout=subprocess.DEVNULL,
            stderr=far,
            timeout=PATIENCE_SECONDS,
            check=False,
        )
        return os.read(near, 65_536)
    finally:
        os.close(near)
        os.close(far)


def test_colour_is_for_terminals_and_for_those_who_ask(faulty: Path) -> None:
    assert ESCAPE in on_a_terminal(faulty, {})
    assert ESCAPE not in on_a_terminal(faulty, {"NO_COLOR": "1"})
    assert ESCAPE in on_a_terminal(faulty, {"NO_COLOR": ""}), "an empty NO_COLOR says nothing"
    assert ESCAPE not in on_a_terminal(faulty, {}, "--color", "never")
    assert ESCAPE in on_a_terminal(faulty, {"NO_COLOR": "1"}, "--color", "always")
    for options, is_coloured in ((["--color", "always"], True), (["--color", "never"], False), ([], False)):
        found = run_command(faulty.parent, ["check", faulty.name, *options])
        assert (ESCAPE in found.stderr) == is_coloured
        assert ESCAPE not in found.stdout


def test_lines_and_json_are_never_coloured(faulty: Path) -> None:
    for form in ("line", "json"):
        found = run("check", faulty, "--report", form, "--color", "always")
        assert "\x1b" not in found.output


# ------------------------------------------------------------------- what must not matter

SURROUNDINGS: dict[str, Mapping[str, str | None]] = {
    "east": {"TZ": "Pacific/Kiritimati", "LANG": "C", "LC_ALL": "C", "PYTHONHASHSEED": "1", "COLUMNS": "40"},
    "west": {"TZ": "America/Los_Angeles", "LC_ALL": "tr_TR.UTF-8", "HOME": "/none", "PYTHONHASHSEED": "2"},
    "nowhere": {"TZ": None, "LANG": None, "HOME": None, "USER": None, "PYTHONHASHSEED": "0", "PYTHONUTF8": "0"},
    "optimised": {"PYTHONOPTIMIZE": "1", "PYTHONTZPATH": "/none", "SOURCE_DATE_EPOCH": "1", "NO_COLOR": "1"},
}  # fmt: skip


@pytest.fixture(scope="module")
def at_home(saltmarsh: Path) -> dict[str, bytes]:
    return outputs(saltmarsh, saltmarsh.parent, {})


def outputs(programme: Path, folder: Path, changes: Mapping[str, str | None]) -> dict[str, bytes]:
    """Every byte that a programme gives, by file or command; called from a folder."""
    out = programme.parent / "out"
    shutil.rmtree(out, ignore_errors=True)
    path = os.path.relpath(programme, folder)
    compiled = run_command(folder, ["compile", path, "--out", os.path.relpath(out, folder)], changes)
    assert compiled.returncode == 0, compiled.stderr
    said = {"fingerprint": compiled.stdout.splitlines()[0]}
    for arguments in (["rings", path], ["rings", path, "--json"], ["rings", path, "--csv"], ["times", path]):
        name = " ".join(word for word in arguments if word != path)
        said[name] = run_command(folder, arguments, changes).stdout
        assert said[name]
    return {**contents(out), **said}


@pytest.mark.parametrize("name", SURROUNDINGS)
def test_the_surroundings_change_no_byte(name: str, saltmarsh: Path, at_home: dict[str, bytes]) -> None:
    assert outputs(saltmarsh, saltmarsh.parent, SURROUNDINGS[name]) == at_home


def test_the_folder_a_command_is_called_from_changes_no_byte(
    saltmarsh: Path, at_home: dict[str, bytes], tmp_path: Path
) -> None:
    assert outputs(saltmarsh, tmp_path, {}) == at_home


def test_the_place_and_age_of_a_file_change_no_byte(
    saltmarsh: Path, at_home: dict[str, bytes], tmp_path: Path
) -> None:
    for path in saltmarsh.parent.glob("*.chime"):
        os.utime(shutil.copy(path, tmp_path / path.name), (10**9, 10**9))
    assert outputs(tmp_path / saltmarsh.name, tmp_path, {}) == at_home
