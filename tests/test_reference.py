"""The language reference: its examples compile, its refused forms are refused and its advice is sound."""

import csv
import re
from collections.abc import Mapping
from io import StringIO
from pathlib import Path
from typing import NamedTuple

import pytest

from chime.diagnostics import Source, Suggestion, is_error
from chime.parsing.grammar import line_parser
from chime.parsing.tidy import tidy
from tests.compiling import checked, said, with_files
from tests.reach import alternative_of, read_noting
from tests.test_codes import framed

REFERENCE = Path(__file__).resolve().parent.parent / "grammar" / "reference.md"

BESIDE = {
    "shared/machine.chime": "machine shared\n  loop 24 h in rows of 1 min\n",
    "shared/zones.chime": 'zone annexe on track 2 "Annexe"\n',
    "closures.ics": "\r\n".join(
        (
            *("BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Office//Closures//EN"),
            *("BEGIN:VEVENT", "UID:1@office.example", "DTSTAMP:20260801T090000Z"),
            *("DTSTART;VALUE=DATE:20261006", "SUMMARY:Sheep market", "END:VEVENT", "END:VCALENDAR", ""),
        )
    ),
}
"""The files that the examples name."""

FRAGMENT_WARNINGS = {"N393", "N394", "N395", "N396", "N397", "N398", "N399"}
"""What an example may be warned of: it is a part of a programme, so some of it is never used, and what it
says of supplies and costs is not checked yet."""


class Example(NamedTuple):
    line: int
    text: str


def examples(kind: str) -> list[Example]:
    text = REFERENCE.read_text(encoding="utf-8")
    found = re.finditer(rf"^```{kind}\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)
    return [Example(text.count("\n", 0, m.start(1)) + 1, m.group(1)) for m in found]


def named(example: Example) -> str:
    return f"line {example.line}"


def test_every_fenced_block_of_the_reference_is_an_example() -> None:
    fences = re.findall(r"^```(.*)$", REFERENCE.read_text(encoding="utf-8"), re.MULTILINE)
    assert set(fences) == {"chime", "chime-refused", ""}
    assert len(examples("chime")) + len(examples("chime-refused")) == fences.count("")


@pytest.mark.parametrize("example", examples("chime"), ids=named)
def test_an_example_compiles(example: Example) -> None:
    found = checked(framed(example.text), BESIDE)
    assert not is_error(found.diagnostics), said(found.diagnostics)
    assert {d.code.id for d in found.diagnostics} <= FRAGMENT_WARNINGS, said(found.diagnostics)


def compiled_example(example: Example) -> tuple[Mapping[str, bytes], set[str]]:
    """Every file that an example gives, and the times at which its bells ring."""
    made = with_files(framed(example.text), BESIDE)
    assert made.verified is not None, said(made.diagnostics)
    times = {f"{ring.at:%H:%M}" for ring in made.verified.calendar.rings}
    assert times
    return {artefact.name: artefact.content for artefact in made.artefacts}, times


def has_machine(example: Example) -> bool:
    programme = checked(framed(example.text), BESIDE).programme
    return programme is not None and programme.machine is not None


WITH_MACHINE = [example for example in examples("chime") if has_machine(example)]


def test_several_examples_describe_a_machine() -> None:
    assert len(WITH_MACHINE) >= 4


@pytest.mark.parametrize("example", examples("chime"), ids=named)
def test_an_example_gives_its_files(example: Example) -> None:
    made, times = compiled_example(example)
    lists = {name: content for name, content in made.items() if name.startswith("holes-")}
    others = {name for name in made if name not in lists and not name.startswith(("tape-", "calendar-"))}
    assert others == {"calendar.ics", "chart.pdf", "plan.json"}
    assert made["chart.pdf"].startswith(b"%PDF-")
    written = re.findall(
        rb"^DTSTART;TZID=Europe/London:\d{8}T(\d\d)(\d\d)00\r$", made["calendar.ics"], re.MULTILINE
    )
    assert {f"{hour.decode()}:{minute.decode()}" for hour, minute in written} == times
    assert bool(lists) == (example in WITH_MACHINE)
    punched = [
        time[-5:]
        for content in lists.values()
        for line in csv.DictReader(StringIO(content.decode(), newline=""))
        for time in line["rings_at"].split(" ")
    ]
    # A loop of twelve hours passes each hole at another time too.
    assert not lists or times <= set(punched)


@pytest.mark.parametrize("example", examples("chime"), ids=named)
def test_an_example_is_tidy(example: Example) -> None:
    assert tidy(Source("example.chime", example.text)) == example.text


def test_the_examples_reach_every_alternative_of_the_grammar() -> None:
    texts = [(named(example), framed(example.text)) for example in examples("chime")]
    reached = {alternative_of(rule) for rule in read_noting(texts, line_parser()).rules}
    every = {alternative_of(rule) for rule in line_parser().rules}
    assert sorted(every - reached) == []


# -------------------------------------------------------------------------- refused forms

ADVICE = re.compile(r"^(?P<indent> *)(?P<wrong>.*?) +# write(?P<how>[^:]*): (?P<right>.*)$")
"""`# write: …` is what the fault itself offers, `# write, say: …` one way of several."""


class Refused(NamedTuple):
    """A line of a refused example, what to write instead, and the example with the right lines but for it."""

    line: int
    wrong: str
    only_wrong: str
    number: int


def refused_lines() -> list[Refused]:
    found = []
    for example in examples("chime-refused"):
        lines = example.text.splitlines()
        for number, line in enumerate(lines):
            if ADVICE.match(line):
                mixed = [*map(advised, lines[:number]), line, *map(advised, lines[number + 1 :])]
                found.append(Refused(example.line + number, line.strip(), "\n".join(mixed), number + 1))
    return found


def advised(line: str) -> str:
    match = ADVICE.match(line)
    return f"{match['indent']}{match['right']}" if match else line


@pytest.mark.parametrize("refused", refused_lines(), ids=lambda refused: f"line {refused.line}")
def test_a_refused_line_is_an_error_and_the_only_one(refused: Refused) -> None:
    found = checked(framed(refused.only_wrong), BESIDE).diagnostics
    errors = [d for d in found if is_error((d,))]
    assert errors, refused.wrong
    assert refused.number in {label.span.line for label in errors[0].labels}, said(found)
    assert len(errors) == 1, said(tuple(errors))


@pytest.mark.parametrize("example", examples("chime-refused"), ids=named)
def test_what_the_reference_advises_compiles(example: Example) -> None:
    text = "\n".join(map(advised, example.text.splitlines()))
    found = checked(framed(text), BESIDE)
    assert not is_error(found.diagnostics), said(found.diagnostics)


@pytest.mark.parametrize("example", examples("chime-refused"), ids=named)
def test_every_refused_example_has_advice(example: Example) -> None:
    assert any(ADVICE.match(line) for line in example.text.splitlines())


def offered(suggestion: Suggestion, text: str, line: int) -> str | None:
    """The line as a suggestion would leave it, its note left off."""
    if not suggestion.edits:
        return None
    for edit in sorted(suggestion.edits, key=lambda edit: -edit.span.start):
        text = text[: edit.span.start] + edit.replacement + text[edit.span.end :]
    return text.splitlines()[line - 1].partition(" # write")[0].strip()


@pytest.mark.parametrize(
    "refused",
    [refused for refused in refused_lines() if " # write: " in refused.wrong],
    ids=lambda refused: f"line {refused.line}",
)
def test_what_the_reference_advises_is_what_the_fault_offers(refused: Refused) -> None:
    text = framed(refused.only_wrong)
    fault = next(d for d in checked(text, BESIDE).diagnostics if is_error((d,)))
    assert advised(refused.wrong) in [offered(s, text, refused.number) for s in fault.suggestions]
