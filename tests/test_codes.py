"""Every code's example: the wrong one gives that code and no other, the right one gives nothing."""

import ast
import re
from importlib import import_module
from pathlib import Path

import pytest

from chime.catalogue import MODULES, every_code, find
from chime.compiler import check, lay_open
from chime.diagnostics import Code, Diagnostic, Source
from chime.file_access import Unreadable
from chime.parsing.parser import read_blocks
from chime.parsing.tree import Block
from chime.tape.lay_out import lay_out

CHIME = Path(__file__).resolve().parent.parent / "chime"

FRAME = """\
programme "Frame School"
  place  Europe/London
  issue  1 on 2026-08-17
zone main  on track 1  "Main building"
signal lesson  6 s within 2 s
timetable normal  in main
  ring 08:40  lesson
week ordinary
  Mon to Fri  normal
  Sat, Sun    silent
term "Autumn"  2026-09-03 to 2026-12-17
  week ordinary
"""

NAMED = ("zone", "signal", "timetable", "week")
"""Kinds of blocks of which the frame gives one by name; of the others it gives one of the kind."""


def place_of(block: Block) -> tuple[str, str]:
    words = block.span.text.split()
    return block.kind, words[1] if block.kind in NAMED and len(words) > 1 else ""


def framed(example: str) -> str:
    """An example with those blocks of the frame that it does not say itself."""
    said = {place_of(block) for block in read_blocks(Source("example.chime", example)).blocks}
    frame = Source("frame.chime", FRAME)
    blocks = read_blocks(frame).blocks
    ends = [block.span.start for block in blocks[1:]] + [len(FRAME)]
    added = [
        FRAME[block.span.start : end]
        for block, end in zip(blocks, ends, strict=True)
        if place_of(block) not in said
    ]
    return f"{example}\n{''.join(added)}"


def faults_of(text: str, stage: str, files: dict[str, bytes] | None = None) -> list[Diagnostic]:
    return faults_of_bytes(text.encode(), stage, files or {})


def faults_of_bytes(content: bytes, stage: str, files: dict[str, bytes]) -> list[Diagnostic]:
    """Every fault up to a stage; files that a programme uses are given by name."""

    def read_file(path: str) -> bytes | Unreadable:
        return files.get(path, Unreadable("there is no such file"))

    if stage in ("verify", "writers"):
        return list(lay_open("example.chime", content, read_file).diagnostics)
    checked = check("example.chime", content, read_file)
    found = list(checked.diagnostics)
    if stage == "tape" and checked.programme is not None and checked.calendar is not None:
        found += lay_out(checked.programme, checked.calendar).diagnostics
    return found


BESIDES = {
    "N326": {"N399"},
    "N418": {"N399"},
    "N419": {"N399"},
}
"""What an example cannot help giving besides: a supply or a load that no check reads yet is warned of."""

DAYS_IN = f'{FRAME}exceptions\n  days in "closures.ics" silent'.encode()

# Written by hand after RFC 5545, sections 3.4 and 3.6.1.
AN_HOUR_IS_NO_CLOSED_DAY = b"""\
BEGIN:VCALENDAR\r
VERSION:2.0\r
PRODID:-//Frame School//Closures//EN\r
BEGIN:VEVENT\r
UID:closed@frame.example\r
DTSTAMP:20260820T120000Z\r
DTSTART:20261026T090000\r
DTEND:20261026T100000\r
SUMMARY:Closed\r
END:VEVENT\r
END:VCALENDAR\r
"""

SHOWN_BY_FILES: dict[str, tuple[bytes, dict[str, bytes]]] = {
    "F102": (FRAME.replace("Frame", "Fr\N{LATIN SMALL LETTER E WITH ACUTE}me").encode("latin-1"), {}),
    "F103": (FRAME.replace("Frame", "Fra\x07me").encode(), {}),
    "F104": (FRAME.replace("\n", "\r").encode(), {}),
    "F105": (f"{FRAME}signal long  6 s within {'2'.rjust(10_000)} s".encode(), {}),
    "F112": (f'use "a.chime"\n{FRAME}'.encode(), {"a.chime": b'use "b.chime"', "b.chime": b'use "a.chime"'}),
    "F113": (f'use "a.chime"\nuse "./a.chime"\n{FRAME}'.encode(), {"a.chime": b"# empty"}),
    "N365": (FRAME[FRAME.index("zone") :].encode(), {}),
    "N367": (f'use "a.chime"\n{FRAME}'.encode(), {"a.chime": b'programme "Used"'}),
    "N383": (DAYS_IN, {"closures.ics": b"Half term: the last week of October\r\n"}),
    "N384": (DAYS_IN, {"closures.ics": AN_HOUR_IS_NO_CLOSED_DAY}),
    "N370": (FRAME[: FRAME.index("zone")].encode(), {}),
}
"""Codes with no example, for it would need other files, odd bytes, or a block left out that every example
is lent; each is shown by a whole file and the files it uses."""

SHOWN_NOWHERE = {
    "X901": "a bug in chime cannot be written as a programme",
    "V601": "a ring that the layout lost would be a bug in chime, so no programme shows it",
    "V602": "a ring that the layout added would be a bug in chime, so no programme shows it",
    "V603": "a plan for another machine would be a bug in chime, so no programme shows it",
}

WITH_EXAMPLE = [code for code in every_code() if code.wrong]
WITH_RIGHT = [code for code in every_code() if code.right]


def codes_of(found: list[Diagnostic]) -> set[str]:
    return {diagnostic.code.id for diagnostic in found}


@pytest.mark.parametrize("code", WITH_EXAMPLE, ids=lambda code: code.id)
def test_the_wrong_example_gives_its_code_and_no_other(code: Code) -> None:
    found = faults_of(framed(code.wrong), code.stage)
    assert codes_of(found) == {code.id} | BESIDES.get(code.id, set()), [each.headline for each in found]


@pytest.mark.parametrize("code", WITH_RIGHT, ids=lambda code: code.id)
def test_the_right_example_gives_nothing(code: Code) -> None:
    found = faults_of(framed(code.right), code.stage)
    assert codes_of(found) == BESIDES.get(code.id, set()), [each.headline for each in found]


@pytest.mark.parametrize("identifier", SHOWN_BY_FILES)
def test_a_code_without_example_is_given_by_whole_files(identifier: str) -> None:
    content, files = SHOWN_BY_FILES[identifier]
    code = find(identifier)
    assert code is not None
    assert codes_of(faults_of_bytes(content, code.stage, files)) == {identifier}


def test_every_code_without_example_is_listed_here() -> None:
    without = {code.id for code in every_code() if not code.wrong}
    assert without == SHOWN_BY_FILES.keys() | SHOWN_NOWHERE.keys()


def test_the_severity_of_what_an_example_gives_is_that_of_its_code() -> None:
    for code in WITH_EXAMPLE:
        given = [each for each in faults_of(framed(code.wrong), code.stage) if each.code.id == code.id]
        assert {each.severity for each in given} <= {code.severity}, code.id


def test_the_frame_alone_is_sound() -> None:
    assert faults_of(FRAME, "tape") == []
    assert faults_of(framed("# nothing"), "tape") == []


def test_the_frame_steps_back_for_blocks_of_the_example() -> None:
    text = framed('zone main on track 7\nzone yard on track 2\nterm "Spring" 2027-01-07 to 2027-03-19')
    assert "track 7" in text
    assert "Main building" not in text
    assert "Autumn" not in text
    assert "signal lesson  6 s" in text


# -------------------------------------------------------------------- the catalogue


def modules_with_codes() -> set[str]:
    """The modules of chime that say `CODES = ...`, found by reading them all."""
    found = set()
    for path in CHIME.rglob("*.py"):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            targets = node.targets if isinstance(node, ast.Assign) else []
            targets = [node.target] if isinstance(node, ast.AnnAssign) else targets
            if any(isinstance(target, ast.Name) and target.id == "CODES" for target in targets):
                found.add(".".join(path.relative_to(CHIME.parent).with_suffix("").parts))
    return found


def test_the_catalogue_has_every_module_with_codes() -> None:
    assert set(MODULES) == modules_with_codes()
    assert len(set(MODULES)) == len(MODULES)


def test_no_code_is_left_out_of_its_modules_tuple() -> None:
    for module in MODULES:
        values = vars(import_module(module)).values()
        tables = [value for value in values if isinstance(value, dict)]
        made = {v for v in values if isinstance(v, Code)}
        made |= {v for table in tables for v in table.values() if isinstance(v, Code)}
        assert made <= set(every_code()), module


def test_numbers_and_slugs_are_used_once() -> None:
    numbers = [code.id for code in every_code()]
    slugs = [code.slug for code in every_code()]
    assert len(set(numbers)) == len(numbers)
    assert len(set(slugs)) == len(slugs)


def test_every_code_is_a_letter_and_three_digits_with_a_slug_and_an_explanation() -> None:
    for code in every_code():
        assert re.fullmatch(r"[FSNDTVWX][0-9]{3}", code.id), code.id
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", code.slug), code.slug
        assert code.explanation.endswith("."), code.id
        assert code.wrong != code.right or not code.wrong, code.id
