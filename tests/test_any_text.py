"""Whatever text is given, there is an answer and never a crash."""

import json
import re
from random import Random

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from chime.cli import group
from chime.diagnostics import Diagnostic, long_form, machine, one_line
from tests.compiling import checked
from tests.random_programmes import Written, programmes
from tests.shipped_texts import FILES, MACHINES, MIXERS, PROGRAMMES, law

# ------------------------------------------------------------------------- any text


_PIECES = (
    "zone main on track 1", "programme", "timetable", "  ring 08:40 lesson", "exceptions\n", "use", "\n", "  ",
    '"', ",", "#", "-", "+", "24:00", "99:99", "2026-02-30", "2026-09-07", " to ", " in ", "everywhere",
    "\N{LEFT DOUBLE QUOTATION MARK}", "\N{EN DASH}", "\N{NO-BREAK SPACE}", "\N{LINE SEPARATOR}", "\x85", "\x00",
    "\r", "\r\n", "\ufeff", "\t", "é", "e\N{COMBINING ACUTE ACCENT}", "学校", "\N{BELL}", "\U0001f514", "0" * 30,
    "\N{RIGHT-TO-LEFT OVERRIDE}", "²", "٣", "½",
)  # fmt: skip


_NUMBERS = (
    "0",
    "1",
    "00",
    "7",
    "24",
    "47",
    "59",
    "60",
    "100",
    "999",
    "1969",
    "9999",
    "99999",
    "999999999999",
    "0.001",
)


def slip(text: str, random: Random) -> str:
    """The text after one thing that a hand, an editor or a bad copy may do to it."""
    kind = random.choice(
        ("delete", "insert", "repeat", "word", "number", "line", "repeat line", "move line", "cut")
    )
    at = random.randint(0, len(text))
    if kind == "delete":
        return text[:at] + text[at + random.randint(1, 4) :]
    if kind == "insert":
        return text[:at] + random.choice(_PIECES) + text[at:]
    if kind == "repeat":
        return text[:at] + text[at : at + random.randint(1, 40)] * 2 + text[at:]
    if kind == "cut":
        return text[:at] if random.random() < 0.2 else text
    if kind == "word":
        words = re.split("( +)", text)
        place, other = random.randrange(len(words)), random.randrange(len(words))
        words[place] = random.choice(("", words[other], words[place] * 2))
        return "".join(words)
    if kind == "number":
        places = [found.span() for found in re.finditer(r"\d+", text)] or [(0, 0)]
        start, end = random.choice(places)
        return text[:start] + random.choice(_NUMBERS) + text[end:]
    return _slip_of_a_line(text, kind, random)


def _slip_of_a_line(text: str, kind: str, random: Random) -> str:
    lines = text.splitlines(keepends=True) or [""]
    place = random.randrange(len(lines))
    if kind == "line":
        del lines[place]
    elif kind == "repeat line":
        lines.insert(random.randint(0, len(lines)), lines[place])
    else:
        lines.insert(random.randrange(len(lines)), lines.pop(place))
    return "".join(lines)


def bear(text: str) -> tuple[Diagnostic, ...]:
    """Check a text of any kind, look at every place that its faults name, and draw them in every form."""
    found = checked(text, FILES)
    for diagnostic in found.diagnostics:
        spans = [label.span for label in diagnostic.labels]
        spans += [edit.span for suggestion in diagnostic.suggestions for edit in suggestion.edits]
        for span in spans:
            assert 0 <= span.start <= span.end <= len(span.source.text), diagnostic
        assert len([label for label in diagnostic.labels if label.role == "primary"]) == bool(
            diagnostic.labels
        )
    one_line.render(found.diagnostics).encode()
    json.loads(machine.render(found.diagnostics))
    for color, ascii_only in ((False, False), (True, True)):
        drawn = long_form.render(found.diagnostics, color=color, ascii_only=ascii_only)
        drawn.encode("ascii" if ascii_only else "utf-8")
    return found.diagnostics


@law(max_examples=250)
@given(st.text(max_size=200))
def test_any_text_is_borne(text: str) -> None:
    assert bear(text), "no text without a term is a programme"


@law(max_examples=150)
@given(st.lists(st.sampled_from(_PIECES), max_size=30).map("".join))
def test_any_heap_of_words_is_borne(text: str) -> None:
    assert bear(text)


@law(max_examples=350)
@given(st.sampled_from(PROGRAMMES), st.integers(1, 5), MIXERS)
def test_any_spoiled_programme_is_borne(name: str, slips: int, random: Random) -> None:
    text = FILES[name]
    for _ in range(slips):
        text = slip(text, random)
    bear(text)


@law(max_examples=120)
@given(programmes(), st.integers(1, 4), MIXERS)
def test_any_spoiled_generated_programme_is_borne(written: Written, slips: int, random: Random) -> None:
    text = written.text
    for _ in range(slips):
        text = slip(text, random)
    bear(text)


@law(max_examples=150)
@given(st.sampled_from(MACHINES), MIXERS)
def test_any_spoiled_machine_is_borne(name: str, random: Random) -> None:
    text = FILES["saltmarsh.chime"].replace(
        'use "hall-machine.chime"', slip(slip(FILES[name], random), random)
    )
    bear(text)


def test_no_bytes_make_a_command_fail(tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = tmp_path_factory.mktemp("bytes")
    path = folder / "test.chime"
    for name, text in FILES.items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")

    @law(max_examples=80)
    @given(st.sampled_from(PROGRAMMES), st.binary(max_size=3), MIXERS)
    def draw(name: str, piece: bytes, random: Random) -> None:
        content = slip(FILES[name], random).encode("utf-8", "surrogatepass")
        at = random.randint(0, len(content))
        path.write_bytes(content[:at] + piece + content[at:])
        for command in (["check"], ["rings"], ["check", "--report", "line"], ["check", "--report", "json"]):
            found = CliRunner().invoke(group, [command[0], str(path), *command[1:]])
            assert found.exit_code in (0, 1), found.output
            assert found.exception is None or isinstance(found.exception, SystemExit)

    draw()
