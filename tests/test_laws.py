"""Laws that hold for every programme: order means nothing, spacing means nothing, every ring has its line.

The programmes are drawn by tests/random_programmes.py. Nothing here knows what a programme should
ring; it only compares what chime says of two texts that must mean the same, or looks at whether what
chime says hangs together.
"""

import json
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from chime import zone_time
from chime.cli import group
from chime.compiler import Checked
from chime.diagnostics import Diagnostic, Source, Span, is_error
from chime.parsing.lines import cut
from chime.rings.model import Reason, Ring
from chime.verify.fingerprint import fingerprint
from tests.compiling import checked, said
from tests.random_programmes import Part, Written, programmes, reordered, text_of
from tests.shipped_texts import FILES, MACHINES, MIXERS, PROGRAMMES, law

# ------------------------------------------------------------------- what a check says


_TOKENS = re.compile(r'"[^"]*"|#[^\n]*|[+-]?\d[\d.:-]*|[^\s,"#]+|,')


def words_of(span: Span) -> str:
    """The words of a span, one space between them, so that lines are known wherever they stand."""
    words = [word for word in _TOKENS.findall(span.text) if not word.startswith("#")]
    return " ".join(words)


class Told(NamedTuple):
    """All that a check says, with words in place of line numbers."""

    faults: Counter[str]
    fingerprint: str | None
    days: Sequence[tuple[Any, ...]]
    rings: Sequence[tuple[Any, ...]]
    silenced: Sequence[tuple[Any, ...]]
    removed: Counter[tuple[Any, ...]]
    passed_by: Counter[tuple[str, tuple[date, ...]]]


def told(found: Checked) -> Told:
    faults = Counter(d.code.id for d in found.diagnostics)
    calendar, programme = found.calendar, found.programme
    if calendar is None or programme is None:
        return Told(faults, None, (), (), (), Counter(), Counter())
    return Told(
        faults,
        fingerprint(programme, zone_time.release()),
        [
            (*day[:-1], sorted((words_of(a.span), a.said, a.kind) for a in day.acting))
            for day in calendar.days
        ],
        [ring_told(ring) for ring in calendar.rings],
        [(ring_told(s.ring), words_of(s.by), s.said, s.hour) for s in calendar.silenced],
        Counter(
            (r.at, r.zone, r.label, words_of(r.span), words_of(r.by), r.said, r.to) for r in calendar.removed
        ),
        Counter((words_of(passed.span), passed.days) for passed in calendar.passed_by),
    )


def ring_told(ring: Ring) -> tuple[Any, ...]:
    reasons = Counter(
        (r.label, tuple(map(words_of, r.spans)), r.said, r.is_warning, r.is_end) for r in ring.reasons
    )
    return (*ring[:6], reasons, ring.service_days, ring.said)


# ------------------------------------------------------------------------- the generator


def test_most_generated_programmes_have_no_error_and_use_every_kind_of_exception() -> None:
    seen: Counter[str] = Counter()
    errors: Counter[str] = Counter()

    @law(max_examples=150)
    @given(programmes())
    def draw(written: Written) -> None:
        found = checked(written.text, written.files)
        is_sound = not is_error(found.diagnostics)
        seen["sound" if is_sound else "faulty"] += 1
        errors.update(said(tuple(d for d in found.diagnostics if d.severity == "error")))
        if is_sound:
            seen.update(
                kind for kind, pattern in KINDS.items() if re.search(pattern, written.text, re.MULTILINE)
            )

    draw()
    assert seen["sound"] > 9 * seen["faulty"], errors
    assert {kind for kind in KINDS if seen[kind] < 3} == set(), seen


KINDS = {
    "silent": r"^  [\w-]+ silent",
    "range": r"^  [\w-]+ to [\w -]+ silent",
    "replace": r"\d normal$",
    "instead": "instead",
    "as usual": "as usual",
    "add": " add ",
    "drop": r"^  \w.*\d drop",
    "shift": r"^  \w.*\d shift",
    "move": r"^  \w.*\d move",
    "silence": r"^  \w.*\d silent (in|from|before|\d)",
    "every": "^  every",
    "holidays": "public holidays",
    "closures": "days in",
    "like": "^timetable .* like",
    "weeks": "^  weeks a, b",
    "cycle": "^  cycle turns",
    "night": "2[2-7]:|30:",
    "clocks": "^  clocks",
    "two terms": '^term "Spring"',
    "machine": "^machine|^use",
}
"""What a programme may hold, and how it is found in its text."""


# ---------------------------------------------------------------------------- order


@law(max_examples=120)
@given(programmes(), MIXERS)
def test_the_order_of_blocks_and_lines_means_nothing(written: Written, random: Random) -> None:
    mixed = reordered(written, random)
    assert told(checked(mixed.text, mixed.files)) == told(checked(written.text, written.files))


def as_written(text: str) -> Written:
    """A text as its blocks and lines, comments left out and lists on one line."""
    parts: list[Part] = []
    carries_on = False
    for line in cut(Source("test.chime", text)):
        words = line.text.strip()
        if carries_on:
            *before, last = parts[-1].lines or (parts[-1].opener,)
            joined = f"{last} {words}"
            parts[-1] = parts[-1]._replace(lines=(*before, joined)) if parts[-1].lines else Part(joined)
        elif line.is_indented:
            parts[-1] = parts[-1]._replace(lines=(*parts[-1].lines, words))
        else:
            parts.append(Part(words))
        carries_on = words.endswith(",")
    return Written(tuple(parts), (), date.min)


@pytest.mark.parametrize("name", PROGRAMMES)
def test_the_order_of_the_shipped_programmes_means_nothing(name: str) -> None:
    files = {path.removeprefix("bench/"): text for path, text in FILES.items()}
    plain = told(checked(FILES[name], files))
    assert plain.rings

    @law(max_examples=6)
    @given(MIXERS)
    def draw(random: Random) -> None:
        mixed = {path: text_of(reordered(as_written(files[path]), random).parts) for path in MACHINES}
        text = text_of(reordered(as_written(FILES[name]), random).parts)
        assert told(checked(text, {**files, **mixed})) == plain

    draw()


@law(max_examples=120)
@given(programmes(), MIXERS)
def test_the_order_of_faulty_blocks_and_lines_changes_no_fault(written: Written, random: Random) -> None:
    spoiled = with_slips(written, random)
    mixed = reordered(spoiled, random)
    before, after = checked(spoiled.text, spoiled.files), checked(mixed.text, mixed.files)
    assert codes(after.diagnostics) == codes(before.diagnostics)


def test_a_second_pattern_of_which_one_is_misspelt_is_told_in_neither_order() -> None:
    right = "  weeks a, b from 2026-10-12 counting school weeks\n"
    wrong = right.replace("from", "form")
    head = (
        'programme "Law"\n  place Europe/London\n  issue 1 on 2026-08-20\nzone main\nsignal bell 6 s within 2 s\n'
        "timetable normal in main\n  ring 08:40 bell\nweek a\n  Mon to Fri normal\n  Sat, Sun silent\n"
        'week b\n  Mon to Sun normal\nterm "Autumn" 2026-10-12 to 2026-11-08\n'
    )
    assert codes(checked(head + right + wrong, {}).diagnostics) == {"S247"}
    assert codes(checked(head + wrong + right, {}).diagnostics) == {"S247"}
    assert "N358" in codes(checked(head + right + right, {}).diagnostics)


def codes(diagnostics: Iterable[Diagnostic]) -> set[str]:
    return {diagnostic.code.id for diagnostic in diagnostics}


_SLIPS = (
    ("main", "mian"),
    ("yard", "garden"),
    ("lesson", "lessson"),
    ("normal", "usual-day"),
    (" min", " mn"),
    ("2026-10-14", "2026-10-44"),
    ("from", "form"),
    ("silent", "silence"),
    (" - ", " "),
    ("1", "one"),
    ('"', ""),
    ("Mon ", "Tue "),
)


def with_slips(written: Written, random: Random) -> Written:
    """The programme with a few of its lines misspelt, left out or said twice; no line is broken in two."""
    parts = list(written.parts)
    for _ in range(random.randint(1, 4)):
        place = random.randrange(len(parts))
        parts[place : place + 1] = _with_slip(parts[place], random)
    # Two blocks of one name that differ would be another matter: only one of them is read on.
    twice = [random.choice(parts)] if parts and random.random() < 0.3 else []
    return written._replace(parts=(*parts, *twice))


def _with_slip(part: Part, random: Random) -> list[Part]:
    wrong, right = random.choice(_SLIPS)
    if not part.lines or random.random() < 0.2:
        misspelt = part._replace(opener=part.opener.replace(wrong, right))
        return random.choice(([misspelt], []))
    at = random.randrange(len(part.lines))
    line = part.lines[at]
    written = random.choice(
        ((line.replace(wrong, right),), (), (line, line), (line, line.replace(wrong, right)))
    )
    return [part._replace(lines=(*part.lines[:at], *written, *part.lines[at + 1 :]))]


# -------------------------------------------------------------------------- spacing


@law(max_examples=120)
@given(programmes(), MIXERS)
def test_comments_spacing_and_line_ends_mean_nothing(written: Written, random: Random) -> None:
    plain = checked(written.text, written.files)
    respaced = checked(with_other_spacing(written.text, random), written.files)
    assert [(d.code.id, d.headline) for d in respaced.diagnostics] == [
        (d.code.id, d.headline) for d in plain.diagnostics
    ]
    assert told(respaced) == told(plain)


def test_a_weekday_beside_a_date_or_a_note_inside_a_list_changes_no_fingerprint() -> None:
    lines = "exceptions\n  2026-10-05 add 11:00, 11:05 lesson in main\n  2026-10-06 add 11:00, 11:02 lesson in main\n"
    plain = FILES["saltmarsh.chime"] + lines
    for old, new in (("  2026-10-05 ", "  Mon 2026-10-05 "), ("11:00, 11:05", "11:00,  # a note\n    11:05")):
        assert (
            told(checked(plain.replace(old, new), FILES)).fingerprint
            == told(checked(plain, FILES)).fingerprint
        )


_UNIT = re.compile(r"(?<=\d) (?=(?:s|min|h|mm|V|A|mA|ms|m|mm2)\b)|(?<=\d) (?=%)")


_COMMENTS = ("# a note", '# "half a string', "# one, two,", "#", "  # \u2028 more", "\t# period 9")


_SPACES = (" ", "  ", "\t", " \t ", "     ")


def with_other_spacing(text: str, random: Random) -> str:
    """The text with other spaces, comments and blank lines, lists over several lines, CRLF or a mark in front."""
    found, is_machine = [], False
    for line in text.splitlines():
        is_machine = line.startswith(("machine", "  cable")) or (is_machine and line.startswith(" "))
        found += _extra_lines(random)
        indent = random.choice(("  ", " ", "\t", "      ")) if line.startswith(" ") else ""
        # In a machine and after a cable's size a part of a list begins with a word that also begins a line.
        found.append(indent + _respaced(line.strip(), random, may_break=not is_machine) + _end(random))
    ending = random.choice(("\n", "\r\n"))
    return random.choice(("", "\ufeff")) + ending.join(found) + random.choice(("", ending, 3 * ending))


def _extra_lines(random: Random) -> list[str]:
    return [random.choice(("", "   ", "\t", *_COMMENTS))] if random.random() < 0.2 else []


def _end(random: Random) -> str:
    return random.choice(("", "", " ", "\t", *(" " + comment for comment in _COMMENTS)))


def _respaced(line: str, random: Random, *, may_break: bool) -> str:
    parts = line.split('"')
    parts[::2] = [_respaced_words(part, random, may_break=may_break) for part in parts[::2]]
    return '"'.join(parts)


def _respaced_words(words: str, random: Random, *, may_break: bool) -> str:
    words = _UNIT.sub(lambda _: random.choice((" ", "", "  ")), words)
    return re.sub(", | ", lambda m: _space(m.group(), random, may_break=may_break), words)


def _space(found: str, random: Random, *, may_break: bool) -> str:
    if found == " ":
        return random.choice(_SPACES)
    before = random.choice(("", "", " "))
    if may_break and random.random() < 0.3:
        return f"{before},{_end(random)}\n" + random.choice(("", "  # in between\n", "\n")) + "      "
    return f"{before},{random.choice(_SPACES)}"


# --------------------------------------------------------------------- ranges of dates


def test_two_adjacent_ranges_of_dates_list_what_the_whole_range_lists(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    folder = tmp_path_factory.mktemp("ranges")
    tried: Counter[bool] = Counter()

    @law(max_examples=40)
    @given(programmes(), st.integers(-3, 50), st.integers(0, 30), st.integers(1, 30))
    def draw(written: Written, start: int, length: int, more: int) -> None:
        if is_error(checked(written.text, written.files).diagnostics):
            return
        for name, text in {"test.chime": written.text, **written.files}.items():
            (folder / name).write_text(text, encoding="utf-8", newline="")
        first = written.first + timedelta(days=start)
        middle = first + timedelta(days=length)
        last = middle + timedelta(days=more)
        listed = partial(list_rings, folder / "test.chime")
        for form in ((), ("--json",)):
            left = listed(first, middle, *form)
            right = listed(middle + timedelta(days=1), last, *form)
            assert left + right == listed(first, last, *form)
            tried[bool(left and right)] += 1

    draw()
    assert tried[True] > 10


def list_rings(path: Path, first: date, last: date, *options: str) -> str:
    found = CliRunner().invoke(group, ["rings", str(path), f"--from={first}", f"--until={last}", *options])
    assert found.exit_code == 0, found.output
    return found.stdout


def test_the_days_one_by_one_list_every_ring(tmp_path: Path) -> None:
    for name in ("brickfield.chime", "works-machine.chime"):
        (tmp_path / name).write_text(FILES[name], encoding="utf-8")
    found = checked(FILES["brickfield.chime"], FILES)
    assert found.calendar is not None
    # Two rings of the last Friday's night shift fall after the term's last date.
    days = [date(2027, 1, 4) + timedelta(days=n) for n in range((date(2027, 4, 2) - date(2027, 1, 4)).days)]
    path = tmp_path / "brickfield.chime"
    by_day = [json.loads(line) for day in days for line in list_rings(path, day, day, "--json").splitlines()]
    assert len(by_day) == len(found.calendar.rings)
    assert [ring["at"][:19] for ring in by_day] == [r.at.isoformat() for r in found.calendar.rings]


# ---------------------------------------------------------------- where a ring comes from


_WRITES = re.compile(r"  (ring|period|periods|pause) |.* add \d")


_MOVES = re.compile(r"  (shift|move) |  \w.* (shift [+-]|move [\d\"])")


@law(max_examples=60)
@given(programmes())
def test_every_ring_comes_from_a_line_that_writes_it(written: Written) -> None:
    calendar = checked(written.text, written.files).calendar
    for ring in calendar.rings if calendar is not None else ():
        for reason in ring.reasons:
            made, *changed = (span.source.line_text(span.line) for span in reason.spans)
            assert _WRITES.match(made), made
            assert all(_MOVES.match(line) for line in changed), changed
        lines = {f"test.chime:{span.line}" for reason in ring.reasons for span in reason.spans}
        assert set(ring.because) == lines


@law(max_examples=60)
@given(programmes())
def test_every_ring_that_nothing_moved_stands_in_its_line(written: Written) -> None:
    calendar = checked(written.text, written.files).calendar
    for ring in calendar.rings if calendar is not None else ():
        for reason in ring.reasons:
            line = reason.spans[-1].source.line_text(reason.spans[-1].line)
            if reason.is_warning or re.search("periods|shift", line) or "missing hour at" in written.text:
                continue
            assert any(clock in line for clock in clocks_of(ring, reason)), (ring, line)


def clocks_of(ring: Ring, reason: Reason) -> list[str]:
    """The time of a ring as a line may write it: of its date, or of a service day before."""
    del reason
    hours = (ring.at.hour, ring.at.hour + 24)
    seconds = f":{ring.at:%S}" if ring.at.second else ""
    return [f"{hour:02}:{ring.at:%M}{seconds}" for hour in hours]
