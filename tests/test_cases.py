"""Every readable case: a programme with mistakes, and exactly the faults it must give.

A case is a file `tests/cases/STAGE/NAME.chime` whose first lines say in words what is wrong and list
the faults, one a line, in the order in which they are reported:

    # A period that ends before it starts, and not next morning.
    # expect error N308 9:21

or a folder of that name with `main.chime` and the files it uses (`machine.chime:3:2` names a place in
another file, `-` a whole file). Beside it `NAME.txt` keeps what the user sees, letter by letter. `pytest
tests/test_cases.py --update` writes both anew: read the difference before you keep it.
"""

import re
from pathlib import Path

import pytest

from chime.catalogue import every_code
from chime.compiler import lay_open
from chime.diagnostics import Diagnostic, long_form
from chime.file_access import Unreadable

CASES = Path(__file__).parent / "cases"
FILES = sorted([*CASES.glob("*/*.chime"), *CASES.glob("*/*/main.chime")])
EXPECT = re.compile(r"^# expect (.*)\n", re.MULTILINE)

WITHOUT_A_CASE = {
    "X901": "a bug in chime itself; tested by faults injected into each stage",
    "V601": "a fault of the layout, which no programme can cause",
    "V602": "a fault of the layout, which no programme can cause",
    "V603": "a fault of the layout, which no programme can cause",
}
"""Codes that no programme text can give."""


def name_of(path: Path) -> str:
    inner = path.parent if path.name == "main.chime" else path
    return inner.relative_to(CASES).with_suffix("").as_posix()


def faults_of(path: Path) -> tuple[Diagnostic, ...]:
    """Return every fault of a case, the tape's included."""

    def read_file(inner: str) -> bytes | Unreadable:
        beside = path.parent / inner
        return beside.read_bytes() if beside.is_file() else Unreadable("there is no such file")

    return lay_open(path.name, path.read_bytes(), read_file).diagnostics


def written(fault: Diagnostic, path: Path) -> str:
    """Return a fault as a case lists it."""
    place = "-"
    if fault.primary is not None:
        span = fault.primary.span
        other = "" if span.source.path == path.name else f"{span.source.path}:"
        place = f"{other}{span.line}:{span.column}"
    return f"{fault.severity} {fault.code.id} {place}"


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_a_case_gives_exactly_its_faults(path: Path, update: bool) -> None:
    faults = faults_of(path)
    text = path.read_bytes().decode("utf-8", "replace")
    found = [written(fault, path) for fault in faults]
    shown = long_form.render(faults, color=False, ascii_only=False, limit=None)
    golden = (path.parent if path.name == "main.chime" else path).with_suffix(".txt")
    if update:
        rewrite(path, found)
        # The list of faults may have moved the lines, so they are found once more.
        found = [written(fault, path) for fault in faults_of(path)]
        rewrite(path, found)
        golden.write_text(
            long_form.render(faults_of(path), color=False, ascii_only=False, limit=None), "utf-8"
        )
        return
    assert EXPECT.findall(text), "a case lists its faults"
    assert found == EXPECT.findall(text)
    assert shown == golden.read_text("utf-8")


def rewrite(path: Path, found: list[str]) -> None:
    """Put the list of faults below the words at the top of a case."""
    lines = [
        line for line in path.read_bytes().splitlines(keepends=True) if not line.startswith(b"# expect ")
    ]
    words = 0
    while words < len(lines) and lines[words].startswith(b"#"):
        words += 1
    listed = [f"# expect {fault}\n".encode() for fault in found]
    path.write_bytes(b"".join([*lines[:words], *listed, *lines[words:]]))


def test_every_code_has_a_case() -> None:
    listed = {
        line.split()[1]
        for path in FILES
        for line in EXPECT.findall(path.read_bytes().decode("utf-8", "replace"))
    }
    codes = {code.id for code in every_code()}
    assert codes - listed - set(WITHOUT_A_CASE) == set()
    assert not listed - codes
    assert not listed & set(WITHOUT_A_CASE)


def test_a_case_begins_with_words_that_say_what_is_wrong() -> None:
    for path in FILES:
        first = path.read_bytes().splitlines()[0]
        assert first.startswith(b"# "), path
        assert not first.startswith(b"# expect"), path
