"""The files of a compile do not depend on the order of blocks and lines.

tests/test_laws.py holds this for what a check says; here it is held for every octet that is written. The
chart is compared as the text that is typeset, which is quick, and once for each shipped programme as pages.
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from random import Random

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from chime.diagnostics import is_error
from chime.writers import chart
from tests.compiling import said, with_files
from tests.random_programmes import _MACHINE as MACHINE
from tests.random_programmes import Part, Written, programmes, reordered, text_of
from tests.shipped_texts import FILES, MIXERS, PROGRAMMES, law
from tests.test_laws import as_written

SHIPPED = sorted(path.name for path in (Path(__file__).parent.parent / "programmes").glob("*.chime"))
COMPILED = [name for name in PROGRAMMES if not name.startswith("bench/")]
"""Those of programmes/bench have half-surveyed machines, so they give no file."""

BESIDE = {path.removeprefix("bench/"): text for path, text in FILES.items()}
"""Every file that a programme uses, as the programme names it."""

LOOPS = (None, "24 h in rows of 30 s", "7 d in rows of 30 s", "14 d in rows of 30 s")
"""Loops whose rows meet every time that a random programme rings at; None leaves its machine as it is."""

NUMBERED = re.compile(rb'"because": \[[^]]*\]')
"""What the plan says of lines: their numbers follow their order, and nothing else may."""

ASKS_TOO_MUCH = re.compile("^(silenced|attended|gate|out of use) ")
"""Lines of a machine for which most random programmes have no tape."""


@contextmanager
def chart_as_text() -> Iterator[None]:
    """Let the chart be the text that would be typeset, its sheets numbered as if each were a page."""

    def finish(content: bytes, bookmarks: list[str]) -> tuple[bytes, list[int]]:
        return content, list(range(len(bookmarks)))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(chart, "_typeset", str.encode)
        patch.setattr(chart, "_finish", finish)
        yield


def files_of(text: str, beside: Mapping[str, str]) -> dict[str, bytes]:
    """Every file that a programme gives, by name; none where it has an error."""
    compiled = with_files(text, beside)
    assert bool(compiled.artefacts) != is_error(compiled.diagnostics), said(compiled.diagnostics)
    made = {artefact.name: artefact.content for artefact in compiled.artefacts}
    return {
        name: NUMBERED.sub(b"", content) if name == "plan.json" else content for name, content in made.items()
    }


def differing(one: Mapping[str, bytes], other: Mapping[str, bytes]) -> list[str]:
    """The names of the files that are not the same in both."""
    return sorted(name for name in {*one, *other} if one.get(name) != other.get(name))


def mixed(text: str, random: Random) -> str:
    """The text with its blocks and lines in another order."""
    return text_of(reordered(as_written(text), random).parts)


def mixed_beside(random: Random) -> dict[str, str]:
    return {
        path: mixed(text, random) if path.endswith(".chime") and path not in PROGRAMMES else text
        for path, text in BESIDE.items()
    }


@pytest.mark.parametrize("name", COMPILED)
def test_the_order_of_a_written_programme_changes_no_file(name: str) -> None:
    with chart_as_text():
        plain = files_of(FILES[name], BESIDE)
        assert {"calendar.ics", "chart.pdf"} <= set(plain)

        @law(max_examples=4)
        @given(MIXERS)
        def draw(random: Random) -> None:
            assert differing(files_of(mixed(FILES[name], random), mixed_beside(random)), plain) == []

        draw()


@pytest.mark.parametrize("name", SHIPPED)
def test_the_order_of_a_shipped_programme_changes_no_page(name: str) -> None:
    random = Random(name)  # noqa: S311 - no secret
    plain = files_of(FILES[name], BESIDE)
    assert plain["chart.pdf"].startswith(b"%PDF")
    assert "holes-A.csv" in plain
    assert differing(files_of(mixed(FILES[name], random), mixed_beside(random)), plain) == []


def test_the_order_of_a_random_programme_changes_no_file() -> None:
    tried: Counter[str] = Counter()

    @law(max_examples=40)
    @given(programmes(), st.sampled_from(LOOPS), MIXERS)
    def draw(written: Written, loop: str | None, random: Random) -> None:
        written = with_loop(written, loop) if loop is not None else written
        plain = files_of(written.text, written.files)
        assume(plain)
        other = reordered(written, random)
        assert differing(files_of(other.text, other.files), plain) == []
        tried["with tapes" if "holes-A.csv" in plain else "without"] += 1

    with chart_as_text():
        draw()
    assert tried["with tapes"] > 20, tried


def with_loop(written: Written, loop: str) -> Written:
    """The programme with this loop in its machine, and with a whole machine if it had none."""
    used, parts = (
        tuple(
            part._replace(lines=of_loop(part.lines, loop)) if part.opener.startswith("machine") else part
            for part in some
        )
        for some in (written.used, written.parts)
    )
    if not any(part.opener.startswith("machine") for part in (*used, *parts)):
        parts += (Part("machine hall", of_loop(MACHINE, loop)),)
    return written._replace(used=used, parts=parts)


def test_a_file_that_differs_is_seen() -> None:
    earlier = FILES["brickfield.chime"].replace("  issue  2 ", "  issue  1 ")
    with chart_as_text():
        plain, other = files_of(FILES["brickfield.chime"], BESIDE), files_of(earlier, BESIDE)
    drawings = sorted(name for name in plain if name.endswith(".svg"))  # each names the issue
    calendars = sorted(name for name in plain if name.startswith("calendar-"))
    assert len(calendars) == 3
    assert differing(plain, other) == [*calendars, "calendar.ics", "chart.pdf", "plan.json", *drawings]
    assert differing({**plain, "more.csv": b""}, plain) == ["more.csv"]
    assert differing(plain, plain) == []


def of_loop(lines: tuple[str, ...], loop: str) -> tuple[str, ...]:
    kept = [line for line in lines if not ASKS_TOO_MUCH.match(line)]
    return tuple(re.sub("^loop .*", f"loop {loop}", line) for line in kept)
