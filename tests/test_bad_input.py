"""Files that are no programme, or hardly one: one clear fault each, the right exit status, work that ends.

Exit status 1 says that the programme has faults, 2 that there was nothing to read. The codes are those
that `chime explain` lists.
"""

import os
from collections import Counter
from pathlib import Path

import pytest
from click.testing import CliRunner

from chime.cli import group
from chime.cli.reading import MOST_BYTES, Misused, read_main
from chime.compiler import check
from chime.diagnostics import Diagnostic, is_error
from chime.file_access import Unreadable
from tests.running import run_chime
from tests.spoiled_programmes import SOUND, checked, with_


def faults(content: str | bytes) -> tuple[Diagnostic, ...]:
    """The faults of a file that stands alone, with every place that they name inside the text."""
    written = content.encode() if isinstance(content, str) else content
    found = check("test.chime", written, lambda _: Unreadable("there is no such file")).diagnostics
    for diagnostic in found:
        for label in diagnostic.labels:
            assert 0 <= label.span.start <= label.span.end <= len(label.span.source.text)
    return found


def codes(content: str | bytes) -> list[str]:
    return [diagnostic.code.id for diagnostic in faults(content)]


def places(content: str | bytes) -> list[tuple[str, int, int]]:
    spans = [(d.code.id, d.primary.span) for d in faults(content) if d.primary is not None]
    return [(code, span.line, span.column) for code, span in spans]


def in_file(folder: Path, content: str | bytes) -> Path:
    path = folder / "test.chime"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return path


def test_the_programme_that_is_spoiled_below_is_sound() -> None:
    assert codes(SOUND) == []


# ------------------------------------------------------------------------ letters

ONE_FAULT: dict[str, tuple[str | bytes, str]] = {
    "not UTF-8": (with_("House", "H\xf4use").encode("latin-1"), "F102"),
    "UTF-16": (SOUND.encode("utf-16"), "F102"),
    "half a letter at the end": (SOUND.encode() + "é".encode()[:1], "F102"),
    "a surrogate": (SOUND.encode().replace(b"House", b"Ho\xed\xa0\x80use"), "F102"),
    "bytes of a picture": (b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40, "F102"),
    "NUL in a label": (with_("House", "Ho\0use"), "F103"),
    "NUL between two words": (with_("zone main", "zone\0main"), "F103"),
    "an escape sequence in a comment": ("# \x1b[31mred\n" + SOUND, "F103"),
    "a bell character at the end": (SOUND + "\x07", "F103"),
    "a next-line character in a label": (with_("lesson\nweek", 'lesson "Line\x85up"\nweek'), "F103"),
    "a next-line character in a comment": (SOUND + "# a\x85b\n", "F103"),
    "a form feed as a line": (with_("week", "\x0c\nweek"), "F103"),
    "a form feed between blocks": (with_("week", "\x0cweek"), "F103"),
    "lone carriage returns everywhere": (SOUND.replace("\n", "\r"), "F104"),
    "one lone carriage return": (with_("main on", "main\ron"), "F104"),
    "a carriage return after the last line": (SOUND + "\r", "F104"),
    "carriage returns twice": (SOUND.replace("\n", "\r\r\n"), "F104"),
    "a second byte-order mark": ("\ufeff\ufeff" + SOUND, "S204"),
    "a hard space as indentation": (with_("  ring", "\u00a0\u00a0ring"), "S213"),
    "an em space as indentation": (with_("  ring", "\u2003ring"), "S213"),
    "a line separator for a space": (with_("08:40 lesson", "08:40\u2028lesson"), "S213"),
    "nothing": ("", "N365"),
    "a byte-order mark alone": ("\ufeff", "N365"),
    "blank lines": ("\n \n\t\n\r\n", "N365"),
    "comments": ("# a\n\n   # b\n", "N365"),
    "a line of ten million letters": (SOUND + "x" * 10_000_000, "F105"),
    "a name of ten million letters": (with_("zone main", "zone " + "x" * 10_000_000), "F105"),
    "a label of ten million letters": (SOUND + f'audience "{"x" * 10_000_000}" in main\n', "F105"),
    "ten million quotes": ('"' * 10_000_000, "F105"),
    "ten thousand commas in a list": (SOUND + f"exceptions\n  2026-09-09 add 11:00{', 11:00' * 10_000}\n", "F105"),
    "ten thousand commas": (SOUND + f"exceptions\n  2026-09-09 add {',' * 10_000}\n", "F105"),
    "nearly ten thousand commas": (SOUND + f"exceptions\n  2026-09-09 add {',' * 9_900}\n", "S201"),
    "ten thousand lines that a comma carries on to": (
        SOUND + "exceptions\n  2026-09-09 add " + ",\n   " * 10_000 + "\n",
        "F105",
    ),
    "a name of 9,900 letters that is not declared": (with_("08:40 lesson", "08:40 " + "x" * 9_900), "N322"),
    "a number of 9,000 digits": (with_("6 s", "9" * 9_000 + " s"), "N305"),
    "a label that does not end": (with_('House"', "House"), "S201"),
    "nine thousand quotes": (with_('"Ostermead House"', '"' * 9_001), "S201"),
    "a term of 150 years": (with_("2026-12-18", "2176-12-18"), "N356"),
    "a term of 500 years": (with_("2026-12-18", "2526-12-18"), "N356"),
    "a term to the end of time": (with_("2026-12-18", "9999-12-31"), "N314"),
    "the year nought": (with_("2026-09-07", "0000-09-07"), "N302"),
    "a weekday answered twice": (with_("Sun silent", "Sun silent\n  Wed silent"), "N352"),
    "a weekday answered twice alike": (with_("Sun silent", "Sun silent\n  Mon normal"), "N352"),
    "a weekday unanswered": (with_("Sat, Sun silent", "Sat silent"), "N351"),
    "a week that answers nothing": (with_("  Mon to Fri normal\n  Sat, Sun silent\n", ""), "N351"),
    "a day that does not close": (
        with_(
            "  ring 08:40 lesson",
            "  each period start lesson\n  periods 1 to 3 of 50 min from 09:00 passing 5 min\n  must end 11:45",
        ),
        "D421",
    ),
    "a day without a period that must end": (with_("lesson\nweek", "lesson\n  must end 11:45\nweek"), "D421"),
    "a thousand periods": (with_("ring 08:40 lesson", "ring 08:40 lesson\n  periods 0 to 999 of 1 min from 09:00"), "N345"),
}  # fmt: skip


@pytest.mark.parametrize("name", ONE_FAULT)
def test_one_clear_fault(name: str, tmp_path: Path) -> None:
    content, code = ONE_FAULT[name]
    assert codes(content) == [code]
    status, said = checked(in_file(tmp_path, content))
    assert status == 1
    assert len(said) == 1
    assert f"error {code}: " in said[0]


NO_FAULT = {
    "a byte-order mark": "\ufeff" + SOUND,
    "CRLF": SOUND.replace("\n", "\r\n"),
    "both line ends": SOUND.replace("\n", "\r\n", 4),
    "no line end at the end": SOUND.rstrip("\n"),
    "tabs as indentation": SOUND.replace("  ", "\t"),
    "a line separator in a label": with_("lesson\nweek", 'lesson "Line\u2028up"\nweek'),
    "a line separator in a comment": SOUND + "# a\u2028b\n",
    "a comment of ten million letters": SOUND + "# " + "x" * 10_000_000,
    "ten million spaces": SOUND + " " * 10_000_000,
    "a name of 9,000 letters": with_("lesson", "l" * 9_000),
    "a label of 9,000 letters": with_("lesson\nweek", f'lesson "{"x" * 9_000}"\nweek'),
    "a name of many marks": with_("main", "m" + "\N{COMBINING ACUTE ACCENT}" * 4_000),
    "fifty thousand comments": SOUND + "# a note\n" * 50_000,
    "a thousand exceptions on one date": SOUND
    + "exceptions\n"
    + "".join(f"  2026-09-09 add {9 + n // 60:02}:{n % 60:02} lesson in main\n" for n in range(900))
    + "".join(f'  2026-09-09 as usual "{n}"\n' for n in range(100))
    + "  2026-09-09 silent\n",
}


@pytest.mark.parametrize("name", NO_FAULT)
def test_no_fault(name: str, tmp_path: Path) -> None:
    assert codes(NO_FAULT[name]) == []
    assert checked(in_file(tmp_path, NO_FAULT[name])) == (0, [])


def test_a_control_character_is_marked_where_it_stands_and_the_rest_is_still_read() -> None:
    assert places(with_("zone main", "zone\0main").replace("08:40", "08:70")) == [
        ("F103", 4, 5),
        ("N301", 7, 8),
    ]


def test_a_control_character_indents_no_line() -> None:
    assert codes(with_("  ring", "\x0bring")) == ["F103", "S205"]


def test_many_control_characters_are_one_fault_that_counts_them() -> None:
    found = faults(with_("House", "\x01" * 500))
    assert [d.headline for d in found] == [
        "an invisible control character, U+0001 (and 499 more in this file)"
    ]


def test_the_lines_after_one_that_is_too_long_are_read() -> None:
    content = with_("  ring 08:40 lesson", f"  ring {'x' * 20_000}\n  ring 08:70 lesson")
    assert places(content) == [("F105", 7, 1), ("N301", 8, 8)]


def test_lines_are_counted_by_line_feeds_alone() -> None:
    content = with_("lesson\nweek", 'lesson "Line\u2028up"\n  ring 08:70 lesson\nweek')
    assert places(content) == [("N301", 8, 8)]


# ---------------------------------------------------------------------- quantities


def test_a_cycle_may_have_a_hundred_days_and_no_more() -> None:
    def cycle(days: int) -> str:
        numbered = "".join(f"  day {day} normal\n" for day in range(1, days + 1))
        return f"cycle big on Mon to Fri\n{numbered}{SOUND}  cycle big from 2026-09-07 slip\n"

    assert codes(cycle(100)) == ["N396"], "the week is not used any more"
    assert codes(cycle(101)) == ["N307", "N396"]


def test_ten_thousand_unknown_names_are_ten_thousand_faults() -> None:
    lines = "".join(f"  ring 08:40 lesson in place{n}\n" for n in range(10_000))
    assert Counter(codes(with_("week", lines + "week"))) == {"N321": 10_000}


def test_unknown_names_beside_many_known_ones_cost_a_bounded_search() -> None:
    zones = "".join(f"zone room{n:03}a\n" for n in range(200))
    lines = "".join(f"  ring 08:4{n % 9} lesson in rom{n:03}b, room{n:03}a\n" for n in range(200))
    assert Counter(codes(zones + with_("week", lines + "week"))) == {"N321": 200}


def test_ten_thousand_unknown_blocks_and_lines_are_that_many_faults() -> None:
    assert Counter(codes(SOUND + "".join(f"bell{n}\n" for n in range(10_000)))) == {"S204": 10_000}
    lines = "".join(f"  bell{n} 08:40\n" for n in range(10_000))
    assert Counter(codes(with_("week", lines + "week"))) == {"S203": 10_000}


def test_the_long_form_shows_twenty_faults_and_counts_the_rest(tmp_path: Path) -> None:
    path = in_file(tmp_path, SOUND + "".join(f"bell{n}\n" for n in range(10_000)))
    found = CliRunner().invoke(group, ["check", str(path)])
    assert found.stderr.count("error S204") == 20
    assert "and 9980 more" in found.stderr


def test_a_thousand_exceptions_that_fall_out_on_one_date_are_bounded() -> None:
    shifts = "".join(f"  2026-09-09 shift +{n} min\n" for n in range(1, 1_001))
    assert Counter(codes(f"{SOUND}exceptions\n{shifts}")) == {"D409": 999}
    moves = "".join(f"  2026-09-09 move 08:40 to 10:{n % 60:02}\n" for n in range(1_000))
    assert Counter(codes(f"{SOUND}exceptions\n{moves}")) == {"D410": 999}
    drops = "".join(f"  2026-09-09 drop 10:{n % 60:02}\n" for n in range(1_000))
    assert Counter(codes(f"{SOUND}exceptions\n{drops}")) == {"D402": 1_000}


HUGE = {
    "rings": with_("week", "".join(f"  ring {8 + n % 12:02}:{n % 60:02} lesson\n" for n in range(50_000)) + "week"),
    "zones": SOUND + "".join(f"zone room{n}\n" for n in range(50_000)),
    "exceptions": SOUND
    + "exceptions\n"
    + "".join(f"  2026-09-{7 + n % 20:02} add 11:{n % 60:02} lesson in main\n" for n in range(50_000)),
}  # fmt: skip


@pytest.mark.parametrize("name", HUGE)
def test_fifty_thousand_lines_come_to_an_end(name: str, tmp_path: Path) -> None:
    in_file(tmp_path, HUGE[name])
    found = run_chime(tmp_path, ["check", "test.chime", "--report", "line"])
    assert found.returncode == 0
    assert len(found.stderr.splitlines()) == (50_000 if name == "zones" else 0)


IMPOSSIBLE = {
    "a warning a million years ahead": with_(
        "ring 08:40 lesson",
        'period "1" 09:00 - 10:00\n  each period start lesson, warn lesson 999999999 d before start',
    ),
    "periods that run past two days": with_("ring 08:40 lesson", "periods 1 to 100 of 60 min from 09:00"),
    "periods of a million years": with_("ring 08:40 lesson", "periods 1 to 2 of 999999999 d from 09:00"),
    "a term in the year 1": with_("2026-09-07 to 2026-12-18", "0001-01-01 to 0001-02-01"),
    "a term at the end of time": with_("2026-09-07 to 2026-12-18", "9999-12-01 to 9999-12-31"),
}


@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_times_and_dates_that_no_clock_will_show_are_errors(name: str) -> None:
    assert is_error(faults(IMPOSSIBLE[name]))


@pytest.mark.parametrize("order", [1, -1])
def test_a_chain_of_timetables_may_be_long(order: int) -> None:
    chain = [f"timetable t{n:04} like {f't{n - 1:04}' if n else 'normal'}\n" for n in range(600)][::order]
    assert codes(SOUND.replace("Mon to Fri normal", "Mon to Fri t0599") + "".join(chain)) == []


# --------------------------------------------------------------------- what is no file


def test_a_file_that_cannot_be_read_is_exit_status_2(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "round").symlink_to("round")
    with (tmp_path / "huge").open("wb") as huge:
        huge.truncate(MOST_BYTES + 1)
    reasons: dict[Path | str, str] = {
        tmp_path: "it is a folder",
        tmp_path / "none.chime": "there is no such file",
        tmp_path / "none" / "none.chime": "there is no such file",
        tmp_path / "pipe": "it is not an ordinary file",
        tmp_path / "round": "too many levels of symbolic links",
        tmp_path / "huge": "it is larger than 64 MiB",
        tmp_path / "huge" / "test.chime": "a part of its path is a file and no folder",
        tmp_path / ("x" * 300): "file name too long",
        "/dev/zero": "it is not an ordinary file",
    }
    assert checked("") == (2, ["chime: the name of the file is empty"])
    for path, reason in reasons.items():
        status, said = checked(path)
        assert status == 2, path
        assert len(said) == 1, said
        assert said[0].startswith("chime: cannot read "), said
        assert said[0].endswith(f": {reason}"), said


def test_a_name_that_no_file_can_have_is_told_in_words() -> None:
    with pytest.raises(Misused, match="its name is no file name"):
        read_main("nul\0.chime")


def test_a_name_with_a_line_end_is_told_on_one_line() -> None:
    assert checked("a\nb.chime") == (2, ["chime: cannot read a\\nb.chime: there is no such file"])


def test_every_command_that_reads_a_file_says_that_it_cannot(tmp_path: Path) -> None:
    none = str(tmp_path / "none.chime")
    for arguments in (
        ["check", none],
        ["compile", none, "--out", str(tmp_path / "out")],
        ["rings", none],
        ["term", none],
        ["tidy", none],
        ["times", none],
        ["why", none, "2026-09-07"],
    ):
        found = CliRunner().invoke(group, arguments)
        assert (found.exit_code, found.stdout) == (2, ""), arguments
        assert found.stderr == f"chime: cannot read {none}: there is no such file\n"
    assert not (tmp_path / "out").exists()
