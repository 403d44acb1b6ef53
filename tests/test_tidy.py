"""`chime tidy`: canonical spacing that changes nothing a programme says, and the mending of sure faults."""

import errno
import os
import re
import stat
import subprocess
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Any

import pytest
from click.testing import CliRunner, Result
from hypothesis import example, given, settings
from hypothesis import strategies as st

from chime.cli import group
from chime.diagnostics import Source
from chime.parsing import faults, typed_faults
from chime.parsing.grammar import STARTS, line_parser
from chime.parsing.lines import LONGEST_LINE
from chime.parsing.mend import mend
from chime.parsing.parser import read_blocks
from chime.parsing.tidy import tidy
from chime.parsing.tidy_columns import read_words
from chime.parsing.tree import Node, Word
from tests.running import PATIENCE_SECONDS, command_line, environment

SAMPLES = sorted((Path(__file__).parent / "samples").glob("*.chime"))

EVERY_FORM = """\
# Every form of the grammar once; it is read, but as a programme it makes no sense.
programme "Every form"
  place  Etc/GMT+5
  issue  3 on Thu 2026-08-20
  published at "https://bells.example/every.ics"
  longest ring 20 s
  hand rings allowed
  clocks skip missing hour, repeated hour rings first
  clocks ring missing hour at 03:00, repeated hour rings second
  clocks repeated hour rings both

use "machines/hall.chime"

zone main    on track 1  "Main building"
zone on      on tracks 4, 6
zone quiet   on tracks 4 and 6
zone junior              "Junior wing"
zone bare
group lessons  main, junior
group all      everywhere
audience "Year 7"  in main, quiet
audience "Staff"   everywhere

signal lesson  6 s within 1.5 s
signal short   5 s assumed within 2 s  "Short warning"

timetable normal  in lessons
  each period  start lesson, end lesson, warn short 2 min before start, warn short 1 min before end
  period "1"     08:45 - 09:45
  pause "Lunch"  12:30 - 13:15  in main  quiet
  pause "Tea"    15:00 - 15:15           quiet
  periods 2 to 4 of 50 min from 09:50 passing 5 min
  periods 5 to 6 of 50 min from 13:20  in quiet
  ring 08:35, 08:40:30  short   in on  "Line up"
  ring 08:50            lesson         "Late"
  ring 25:30            turning
  must end 15:05

timetable early like normal  everywhere
  drop from 12:30
  drop in quiet after 09:00
  drop "4" in main from 12:00
  drop 08:40, 08:50 before 12:00 in main
  shift +10 min from 09:00 until 12:00
  shift -5 min
  move "3" to 11:20 - 12:00
  move 10:45 to 10:50 in main

week ordinary
  Mon to Thu, Sun  normal
  Fri              early
  Sat              silent

cycle three on Mon to Wed, Fri
  day 1   normal
  day 10  silent

term "Autumn"  2026-09-07 to 2026-12-18
  weeks a, b from Mon 2026-09-07 counting school weeks
term "Spring"  2027-01-05 to 2027-03-25
  week ordinary
term "Summer"  2027-04-13 to 2027-07-20
  cycle three from 2027-04-13 at day 2 slip
term "Autumn 2"  2027-09-07 to 2027-12-18
  weeks a from 2027-09-07 counting every week
term "Spring 2"  2028-01-05 to 2028-03-25
  cycle three from 2028-01-05 skip

exceptions
  2026-10-26 to 2026-10-30          silent                              "Half term"
  Fri 2026-12-18                    early
  2026-11-11                        add 11:00, 11:02 lesson everywhere  "Two minutes"
  Mon 2026-11-30 to Thu 2026-12-03  silent in main 09:00 - 12:30        "Mock examinations"
  2026-09-15                        shift +15 min from 13:00
  2026-10-28                        normal instead                      "Open day"
  2026-10-29                        silent instead
  2027-03-02                        as usual                            "Open after all"
  every Wed from 2026-11-04 to 2026-11-25  drop "Line up"               "Yard closed"
  public holidays of GB-ENG         silent
  days in "closures.ics"            move 10:45 to 10:50

machine hall
  loop       24 h in rows of 1 min
  row        2.54 mm assumed
  sprocket   every 2.54 mm within 0.01 mm, hole 1.17 mm, 9.96 mm from the guided edge within 0.02 mm
  friction
  tape       25.4 mm wide, 0.1 mm thick
  drive      steps in 0.3 s after 0.05 s
  drive      steady
  tracks     at 2.34, 4.88, 7.42 mm from the guided edge
  hole       round 1.83 mm within 0.05 mm
  hole       slot 1.6 mm by 1.2 mm, square, within 0.05 mm
  hole       slot rounded
  finger     drops in, round 0.80 mm within 0.05 mm
  finger     brushes, 0.50 mm by 0.40 mm closing at 0.15 mm
  finger     drops in, ball 0.60 mm
  side play  0.20 in
  reads      1 row ahead assumed on track 1, 5 rows ahead on track 2
  gate       at 8 s for 2 s to 15 s, within 0.5 s
  gate
  no gate
  relay      operates 30 ms, releases 20 ms, bounces 20 ms
  errors     jig 0.10 mm, registration 0.05 mm, detent 0.08 mm, stretch 0.02 % over 20 mm
  errors     print 1 mm, index 1 mm, seam 1 mm, wheel 1 degrees, across 1 mm, skew 1 mm
  web        at least 0.30 mm
  joint      lap of 12 rows assumed
  silenced   Sat, Sun turning at 00:30 within 10 min in main
  silenced   13:02 - 10:40 in main
  switches   each zone
  switches   all together
  switches   main, quiet
  selector   2 positions
  selector   1 position
  position   1  main on track 1, quiet on track 4
  contacts   separate
  contacts   tied
  contact opens
  out of use track 2
  out of use tracks 2, 3
  attended   Mon to Fri 07:45 - 16:30
  costs      tape change 12 min, selector move 1 min, silence 2 min, hand ring 3 min, new tape 90 min
  allowance  -0.80 mm within 0.03 mm
  allowance  0.80 mm
  wear       0.10 mm
  wheel      24 pins 1.00 mm over 150 degrees
  reserve    5 %

supply bell-supply   24 V  5 A  short-time 6 A for 10 s
supply clock-supply  24 V  1 A assumed

zone hall  on track 1  "Hall"
  bells 4 at 350 mA each  fed by bell-supply
  bells 2 at 68 ohm each
  cable 1.5 mm2, bells at 40, 90, 120 m

line dials  fed by clock-supply
  clocks 36 at 20 mA each
  cable AWG 14, every 5 m
"""

CLEAN = [EVERY_FORM, *(path.read_text(encoding="utf-8") for path in SAMPLES)]


def tidied(text: str) -> str:
    return tidy(Source("test.chime", text))


# ------------------------------------------------------------------ what a text says


def said_by(part: Node | Word) -> Any:
    """A part of a syntax tree without its places; both ways to write everywhere are one."""
    if isinstance(part, Word):
        return part.kind, part.text
    inner = [said_by(child) for child in part.children]
    if part.rule == "in_zones" and inner == [("everywhere", [])]:
        return "everywhere", []
    return part.rule, inner


def blocks_of(text: str) -> Any:
    blocks = read_blocks(Source("test.chime", text)).blocks
    return [
        (
            block.kind,
            block.header and said_by(block.header),
            [said_by(line) for line in block.lines],
            len(block.unread),
        )
        for block in blocks
    ]


def meaning(text: str) -> Any:
    """What a text says, and which faults are found in it."""
    found = read_blocks(Source("test.chime", text)).diagnostics
    return blocks_of(text), [(fault.code.id, fault.headline) for fault in found]


def written_in(text: str) -> list[str]:
    """The lines of a text, comments included, without their spaces and without blank lines."""
    return [squeezed for line in text.split("\n") if (squeezed := re.sub(r"\s", "", line))]


def rules_of(part: Any) -> set[str]:
    if not isinstance(part, Node):
        return set()
    return {part.rule}.union(*map(rules_of, part.children))


def assert_in_order(text: str) -> None:
    """What holds of every tidied file in which no line was left alone."""
    lines = text.split("\n")
    assert lines.pop() == ""
    assert "\r" not in text
    assert not any(line != line.rstrip(" \t") for line in lines)
    assert not any(above == below == "" for above, below in pairwise(lines))
    assert all(re.match(r"(?:|  |    |  +(?=#))(?! )", line) for line in lines)


# ------------------------------------------------------------------ the laws


def test_the_text_of_every_form_has_every_rule_of_the_grammar_and_no_fault() -> None:
    read = read_blocks(Source("test.chime", EVERY_FORM))
    assert read.diagnostics == ()
    found = set().union(*(rules_of(node) for block in read.blocks for node in (block.header, *block.lines)))
    named = {rule.alias or str(rule.origin.name) for rule in line_parser().rules}
    helpers = {name for name in named if name.startswith("_")}
    inlined = {str(rule.origin.name) for rule in line_parser().rules if rule.options.expand1}
    assert named - found - set(STARTS) - helpers - inlined == set()


@pytest.mark.parametrize("text", CLEAN, ids=["every-form", *(path.stem for path in SAMPLES)])
def test_a_clean_text_keeps_what_it_says(text: str) -> None:
    once = tidied(text)
    assert meaning(once) == meaning(text)
    assert written_in(once) == written_in(text)
    assert tidied(once) == once
    assert_in_order(once)


def test_the_text_of_every_form_stands_as_it_is() -> None:
    assert tidied(EVERY_FORM) == EVERY_FORM


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_of_the_samples_only_the_columns_of_lines_that_tell_days_or_periods_move(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    before, after = text.splitlines(), tidied(text).splitlines()
    assert [line.split() for line in before] == [line.split() for line in after]
    moved = [old for old, new in zip(before, after, strict=True) if old != new]
    assert all(re.match(r"  (?:Mon )?2\d\d\d-|  period ", line) for line in moved)


TOKEN = re.compile(r'"[^"]*"|#.*|[ \t]+|[^ \t"#]+')
UNIT = re.compile(r"(?<=\d) (?=(?:s|min|h|d|ms|mm|in|V|A|mA|ohm|mm2|m|degrees|%)(?:[ ,]|$))(?!in [a-z])")


def respaced(text: str, random: Random) -> str:
    """The text with other gaps between its words, and none where none is needed."""
    return "\n".join(_respaced_line(line, random) for line in text.split("\n"))


def _respaced_line(line: str, random: Random) -> str:
    if "#" not in line and random.random() < 0.5:
        line = re.sub(r"(?<=\d) - (?=\d)", lambda _: random.choice(["-", " -", "- "]), line)
        if '"' not in line:
            line = UNIT.sub("", line)
            line = re.sub(r", (?=[a-z])", lambda _: random.choice([",", " , ", " ,"]), line)
    parts = [token for token in TOKEN.findall(line) if token.strip() or token == line[: len(token)]]
    out = ""
    for place, part in enumerate(parts):
        if not part.strip():
            out += random.choice([" ", "   ", "\t", "  \t"])
        elif place == 0 or not out.strip() or part.startswith("#"):
            out += part
        else:
            out += random.choice([" ", "  ", "\t", "     "]) + part
    return out + random.choice(["", "", " ", "\t"])


@given(st.sampled_from(CLEAN), st.randoms(use_true_random=True))
@settings(max_examples=60, deadline=None)
def test_however_a_text_was_spaced_it_is_tidied_to_the_same(text: str, random: Random) -> None:
    plain = "\n".join(line for line in text.split("\n") if "#" not in line)
    loose = respaced(plain, random)
    assert meaning(loose) == meaning(plain)
    assert tidied(loose) == tidied(plain)


STRAYS = (
    "  rnig   08:40 lesson",
    "   ring  8:45   lesson in  main",
    "zoen  main on track 9",
    "ring   08:40 lesson",
    "  week   a",
    "  ring 08:40   lesson in main,",
    '  "unclosed   # no comment',
    "\x07  ring 08:40  lesson",
    "\u00a0ring\u00a008:40 lesson",
)


def disturbed(text: str, random: Random, *, strays: bool) -> str:
    """The text with comments, blank lines, lists cut in several lines, and with lines that cannot be read."""
    out: list[str] = []
    for line in text.split("\n"):
        if random.random() < 0.1:
            out.append(random.choice(["", "   ", "# own", "  # its own", "\t #own", " " * 40 + "# far"]))
        if strays and random.random() < 0.05:
            out.append(random.choice(STRAYS))
        if "#" not in line and random.random() < 0.3:
            line = re.sub(", (?=[0-9])", lambda _: _cut(random), line)
        if line and "#" not in line and random.random() < 0.1:
            line += random.choice(["#x", "   # behind", "\t# behind  ", ' # "quoted'])
        out.append(line)
    end = random.choice(["\n", "\r\n"])
    lines = "\n".join(out).split("\n")
    return end.join(line if "#" in line else _respaced_line(line, random) for line in lines)


def _cut(random: Random) -> str:
    return random.choice([", ", ", ", ",\n   ", ",  # cut\n ", ",\n# between\n\n    # two\n      "])


@given(st.sampled_from(CLEAN), st.randoms(use_true_random=True))
@settings(max_examples=100, deadline=None)
def test_comments_blank_lines_and_cut_lists_keep_what_is_said(text: str, random: Random) -> None:
    loose = disturbed(text, random, strays=False)
    assert meaning(loose) == meaning(text)
    once = tidied(loose)
    assert meaning(once) == meaning(text)
    assert written_in(once) == written_in(loose)
    assert tidied(once) == once
    assert_in_order(once)


@given(st.sampled_from(CLEAN), st.randoms(use_true_random=True))
@settings(max_examples=100, deadline=None)
def test_lines_that_cannot_be_read_stay_as_they_are(text: str, random: Random) -> None:
    loose = disturbed(text, random, strays=True)
    once = tidied(loose)
    assert meaning(once) == meaning(loose)
    assert written_in(once) == written_in(loose)
    assert tidied(once) == once
    faulty = {f.primary.span for f in read_blocks(Source("test.chime", loose)).diagnostics if f.primary}
    kept = once.split("\n")
    for span in faulty:
        assert span.source.line_text(span.line) in kept


def test_what_gets_a_blank_line_above_it_is_set_in_columns_of_its_own() -> None:
    # The lines that nobody can read stand in the body of the second zone, so it is set apart from the first.
    text = "zone a on track 1\nzone office on track 3\n\x07\tring 08:40\n\n\tring 08:40 lesson in main,\nzone b\n"
    once = tidied(text)
    assert once.startswith("zone a  on track 1\n\nzone office  on track 3\n")
    assert tidied(once) == once


FRAGMENTS = st.sampled_from((
    "zone", "timetable", "exceptions", "machine", "week", "term", "programme", "use", "main", "in",
    "everywhere", ",", "#", '"', '"a"', "08:40", "2026-09-07", "8 s", "5mm", "ring", "period", '"1"', "-",
    "+", "to", "within", "gate", "hole", "slot", "round", "at", "for", "rounded", "Mon", "silent", "drop",
    "shift", "like", "on", "track", "4", "\u2013", "8:45", "\u00a0", "\x07", "\u2028", "\ufeff",
    " ", " ", " ", "  ", "\t", "\n", "\n\n", "\n  ", "\n  ", "\r\n", "\r", ",\n    ", "# c\n", "  # c\n",
    "\n" + " " * 9,
))  # fmt: skip


@given(st.lists(FRAGMENTS, max_size=60).map("".join))
@settings(max_examples=400, deadline=None)
@example("zone a  # x\n        # y\n")
@example("machine m\n gate ,\n within 3 s")
def test_any_text_is_tidied_once_for_all_and_says_the_same(text: str) -> None:
    once = tidied(text)
    assert tidied(once) == once
    assert meaning(once) == meaning(text)


# ------------------------------------------------------------------ exact cases


@pytest.mark.parametrize(
    ("loose", "expected"),
    [
        ("signal a 8s within 1.5s", "signal a  8 s within 1.5 s\n"),
        ("supply b 24V 5A short-time 6A for 10s", "supply b  24 V  5 A  short-time 6 A for 10 s\n"),
        ('timetable t\n period "1" 08:45-09:45', 'timetable t\n  period "1"  08:45 - 09:45\n'),
        ("timetable t\n shift + 10min", "timetable t\n  shift +10 min\n"),
        ("timetable t\n ring 08:40 ,08:45 a in b ,c", "timetable t\n  ring 08:40, 08:45  a  in b, c\n"),
        ("timetable t in everywhere", "timetable t  everywhere\n"),
        ("group all   everywhere", "group all  everywhere\n"),
        ("machine m\n row 2.54mm", "machine m\n  row  2.54 mm\n"),
        ("machine m\n allowance - 0.3 mm", "machine m\n  allowance  -0.3 mm\n"),
        ("machine m\n gate at 8 s within 1 s", "machine m\n  gate  at 8 s, within 1 s\n"),
        ("machine m\n gate,within 1 s", "machine m\n  gate  within 1 s\n"),
        ("machine m\n hole round 1 mm, within 1 mm", "machine m\n  hole  round 1 mm within 1 mm\n"),
        (
            "machine m\n hole slot 2 mm by 1 mm rounded within 1 mm",
            "machine m\n  hole  slot 2 mm by 1 mm, rounded, within 1 mm\n",
        ),
        ("machine m\n hole slot , square within 1 mm", "machine m\n  hole  slot square, within 1 mm\n"),
        ("machine m\n reads 1 rows ahead, 2 row ahead", "machine m\n  reads  1 rows ahead, 2 row ahead\n"),
        (
            "machine m\n hole round 1 mm,\n within 1 mm",
            "machine m\n  hole  round 1 mm,\n    within 1 mm\n",
        ),
        ("machine m\n row 1 mm\n gate,\n within 1 s", "machine m\n  row  1 mm\n  gate,\n    within 1 s\n"),
    ],
)  # fmt: skip
def test_a_line_is_spaced_in_the_house_s_way(loose: str, expected: str) -> None:
    assert tidied(loose) == expected
    assert meaning(expected) == meaning(loose)


def test_words_are_read_only_of_a_line_that_parses() -> None:
    assert read_words("  Mon 12", "week_line", 0, frozenset()) is None
    words = read_words("  Mon a", "week_line", 10, frozenset())
    assert words is not None
    assert [(word.text, word.start) for word in words] == [("Mon", 12), ("a", 16)]


def test_an_inch_before_everywhere_stays_a_unit() -> None:
    text = "timetable t\n  periods 1 to 2 of 50 min from 09:00 passing 5 in everywhere\n"
    assert "passing 5 in  everywhere" in tidied(text)
    assert meaning(tidied(text)) == meaning(text)


def test_cells_line_up_over_a_whole_week_and_over_neighbouring_rings() -> None:
    loose = """\
week a
 Mon to Thu normal
 # half day
 Fri early
timetable t
 ring 08:40 lesson in main "Line up"
 ring 08:45, 09:45 bell in yard
 must end 15:00
 ring 10:00 a in main
"""
    expected = """\
week a
  Mon to Thu  normal
  # half day
  Fri         early

timetable t
  ring 08:40         lesson  in main  "Line up"
  ring 08:45, 09:45  bell    in yard
  must end 15:00
  ring 10:00  a  in main
"""
    assert tidied(loose) == expected


def test_letters_of_two_cells_line_up_too() -> None:
    """Widths are those of Unicode Standard Annex 11: an ideograph is two cells wide."""
    loose = 'zone \u6821\u5ead on track 1 "A"\nzone yard on track 2 "B"\n'
    assert tidied(loose) == 'zone \u6821\u5ead  on track 1  "A"\nzone yard  on track 2  "B"\n'


def test_values_of_a_machine_stand_behind_its_longest_single_word() -> None:
    loose = "machine m\n row 1 mm\n web at least 1 mm\n side play 1 mm\n sprocket every 1 mm\n"
    assert tidied(loose) == (
        "machine m\n  row       1 mm\n  web       at least 1 mm\n  side play 1 mm\n  sprocket  every 1 mm\n"
    )


def test_a_very_wide_cell_stands_out_of_its_column() -> None:
    every = "every Wed from 2026-11-04 to 2026-11-25"
    loose = f"exceptions\n 2026-09-15 silent\n {every} silent\n Tue 2026-09-22 silent\n"
    assert tidied(loose) == (
        f"exceptions\n  2026-09-15      silent\n  {every}  silent\n  Tue 2026-09-22  silent\n"
    )


def test_a_list_that_goes_on_keeps_its_lines_with_all_that_stands_between() -> None:
    loose = """\
timetable t
 ring 08:40 ,08:45,# first
# in column one

   # indented
 09:45 , 10:45 lesson in main,
\tjunior "Bells"   # last
 ring 11:00 lesson
"""
    expected = """\
timetable t
  ring 08:40, 08:45,  # first
# in column one

    # indented
    09:45, 10:45  lesson  in main,
    junior  "Bells"  # last
  ring 11:00  lesson
"""
    assert tidied(loose) == expected
    assert meaning(expected) == meaning(loose)


def test_comments_behind_neighbouring_lines_line_up_and_carry_those_below_them() -> None:
    loose = """\
machine m
  row 1 mm # pitch
  reads 3 rows ahead       # the hole for 10:15
                           # stands at 10:18
  loop 24 h
  web at least 0.30 mm# web
"""
    expected = """\
machine m
  row    1 mm          # pitch
  reads  3 rows ahead  # the hole for 10:15
                       # stands at 10:18
  loop   24 h
  web    at least 0.30 mm  # web
"""
    assert tidied(loose) == expected


def test_a_block_with_lines_is_set_apart_by_one_blank_line() -> None:
    loose = """\


use "a.chime"
use "b.chime"
week a
  Mon normal


week b

  Mon normal
  Tue normal
# about c
week c
  Mon normal
  Tue normal
  # still c
zone main



"""
    expected = """\
use "a.chime"
use "b.chime"

week a
  Mon  normal

week b

  Mon  normal
  Tue  normal
# about c
week c
  Mon  normal
  Tue  normal
  # still c

zone main
"""
    assert tidied(loose) == expected


def test_blocks_of_one_kind_with_a_line_each_may_stand_together() -> None:
    together = 'term "A"  2026-01-28 to 2026-04-02\n  week x\nterm "B"  2026-04-20 to 2026-07-03\n  week x\n'
    apart = together.replace('\nterm "B"', '\n\nterm "B"')
    assert tidied(together) == together
    assert tidied(apart) == apart


def test_an_empty_text_stays_empty() -> None:
    assert tidied("") == ""
    assert tidied(" \n\t\n\n") == ""
    assert tidied("  # only this") == "  # only this\n"


def test_a_text_whose_line_ends_cannot_be_told_is_left_as_it_is() -> None:
    text = "week a\r  Mon   normal\rweek b\r\n  Mon   normal\r\n"
    assert tidied(text) == text


def test_a_line_that_would_grow_too_long_to_be_read_is_left_as_it_is() -> None:
    times = ",".join(["08:45"] * 1600)
    long = f"  ring {times} lesson"
    assert len(long) < LONGEST_LINE < len(long) + 1599
    loose = f"timetable t\n{long}\n ring 08:45   lesson\n"
    assert tidied(loose) == f"timetable t\n{long}\n  ring 08:45  lesson\n"
    split = long.replace("08:45,", "08:45,\n#c\n", 1)
    assert tidied(f"timetable t\n{split}\n") == f"timetable t\n{split}\n"


# ------------------------------------------------------------------ mending


def mended(text: str) -> str:
    return mend(Source("test.chime", text)).text


def offers(text: str) -> set[str]:
    found = read_blocks(Source("test.chime", text)).diagnostics
    return {offer.certainty for fault in found for offer in fault.suggestions}


def test_what_is_sure_is_carried_out_and_told_with_its_line() -> None:
    text = "timetable t\n  ring 8:45 lesson\n  ring 9.45 lesson\nring 10:00 lesson\n"
    result = mend(Source("test.chime", text))
    assert result.text == "timetable t\n  ring 08:45 lesson\n  ring 09:45 lesson\n  ring 10:00 lesson\n"
    assert [line for line, _ in result.done] == [2, 3, 4]
    assert result.done[0][1] == "a time is written 08:45, not 8:45"


def test_what_is_a_guess_stays() -> None:
    text = "timetable t\n  ring 3pm lesson\n  shift 10 min\n"
    assert offers(text) == {"guess"}
    assert mend(Source("test.chime", text)) == (text, ())


def test_a_sure_offer_is_carried_out_beside_a_guess_in_one_line() -> None:
    assert mended("timetable t\n  shift 10 mins\n") == "timetable t\n  shift 10 min\n"


def assert_read_alike(after: str, before: str) -> None:
    """A faulty line was read as what it is mended to; one for several dates was not read at all."""
    if not re.search(r"\d{4}-\d\d-\d\d, \d{4}-", before):
        assert blocks_of(after) == blocks_of(before)


def test_of_two_offers_that_overlap_the_second_waits_for_its_turn() -> None:
    text = "\u00a0zone main\n"
    assert len(read_blocks(Source("test.chime", text)).diagnostics) == 2
    result = mend(Source("test.chime", text))
    assert result.text == "zone main\n"
    assert len(result.done) == 2


EXAMPLES = [
    code.wrong
    for code in (*typed_faults.CODES, *faults.CODES)
    if "sure" in offers(code.wrong) and not code.wrong.startswith("use")
]


@pytest.mark.parametrize("text", EXAMPLES)
def test_mending_keeps_what_was_read_and_leaves_nothing_sure(text: str) -> None:
    after = mended(text)
    assert "sure" not in offers(after)
    assert_read_alike(after, text)


def test_there_are_many_examples_to_mend() -> None:
    assert len(EXAMPLES) > 20


@given(
    st.lists(st.sampled_from(EXAMPLES), min_size=1, max_size=6).map("\n".join),
    st.sampled_from(["\n", "\r\n"]),
)
@settings(max_examples=60, deadline=None)
def test_many_faults_of_one_file_are_mended_together(text: str, end: str) -> None:
    after = mended(text.replace("\n", end))
    assert "sure" not in offers(after)
    assert_read_alike(after, text)
    assert tidied(tidied(after)) == tidied(after)


# ------------------------------------------------------------------ the command

LOOSE = "week a\n Mon normal\n"
TIDY = "week a\n  Mon  normal\n"
FAULTY = "week a\n Mon normal\n  Tuesday   normal\n  Wed 12\n"


def chime(*words: str | Path, given: bytes = b"") -> Result:
    return CliRunner().invoke(group, ["tidy", *map(str, words)], input=given)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "a.chime"
    path.write_text(LOOSE, encoding="utf-8")
    return path


def test_a_file_is_rewritten_in_place_and_named(file: Path) -> None:
    result = chime(file)
    assert (result.exit_code, result.output) == (0, f"{file} was tidied\n")
    assert file.read_bytes() == TIDY.encode()
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_a_file_in_order_is_not_touched(file: Path) -> None:
    file.write_text(TIDY, encoding="utf-8")
    before = file.stat()
    result = chime(file)
    assert (result.exit_code, result.output) == (0, "")
    assert (file.stat().st_ino, file.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_only_checking_writes_nothing_and_names_each_file_that_would_change(file: Path) -> None:
    other = file.with_name("b.chime")
    other.write_text(TIDY, encoding="utf-8")
    result = chime("--check", file, other)
    assert (result.exit_code, result.output) == (1, f"{file} would be tidied\n")
    assert file.read_text(encoding="utf-8") == LOOSE
    assert (chime("--check", other).exit_code, chime("--check", other).output) == (0, "")


def test_faults_are_shown_and_the_rest_is_tidied(file: Path) -> None:
    file.write_text(FAULTY, encoding="utf-8")
    result = chime(file, "--report", "line")
    assert result.exit_code == 1
    assert file.read_text(encoding="utf-8") == FAULTY.replace(" Mon normal", "  Mon  normal")
    assert f"{file}:3:3" in result.stderr
    assert f"{file}:4:7" in result.stderr


def test_checking_shows_the_faults_of_the_file_as_it_stands(file: Path) -> None:
    file.write_text("\n\n" + TIDY + "  Wed 12\n", encoding="utf-8")
    assert f"{file}:5:7" in chime("--check", file, "--report", "line").stderr
    assert f"{file}:3:7" in chime(file, "--report", "line").stderr


def test_mending_comes_before_tidying_and_is_told(file: Path) -> None:
    file.write_text("week a\n Monday normal\n", encoding="utf-8")
    checked = chime("--mend", "--check", file)
    assert checked.exit_code == 1
    assert f"{file}:2 would be mended: " in checked.stdout
    result = chime("--mend", file)
    assert result.exit_code == 0
    assert result.stdout.startswith(f"{file}:2 mended: ")
    assert result.stdout.endswith(f"{file} was tidied\n")
    assert file.read_bytes() == TIDY.encode()


def test_without_mending_a_sure_fault_stays(file: Path) -> None:
    file.write_text("week a\n  Monday normal\n", encoding="utf-8")
    assert chime(file).exit_code == 1
    assert file.read_text(encoding="utf-8") == "week a\n  Monday normal\n"


@pytest.mark.parametrize("content", [LOOSE.replace("\n", "\r\n").encode(), b"\xef\xbb\xbf" + TIDY.encode()])
def test_other_line_ends_and_a_byte_order_mark_go(file: Path, content: bytes) -> None:
    file.write_bytes(content)
    assert chime("--check", file).exit_code == 1
    assert chime(file).exit_code == 0
    assert file.read_bytes() == TIDY.encode()


def test_standard_input_is_tidied_to_standard_output() -> None:
    result = chime("-", given=LOOSE.replace("\n", "\r\n").encode())
    assert (result.exit_code, result.stdout_bytes) == (0, TIDY.encode())
    assert result.stderr == "standard input was tidied\n"
    checked = chime("-", "--check", given=LOOSE.encode())
    assert (checked.exit_code, checked.stdout_bytes) == (1, b"")
    assert chime("-", given=TIDY.encode()).stdout_bytes == TIDY.encode()


def test_standard_input_with_faults_is_given_back_with_them() -> None:
    result = chime("-", given=FAULTY.encode())
    assert result.exit_code == 1
    assert result.stdout == FAULTY.replace(" Mon normal", "  Mon  normal")
    assert "error" in result.stderr


def test_what_is_no_utf_8_is_refused_and_left(file: Path) -> None:
    file.write_bytes(b'zone a   "\xe9"\n')
    result = chime(file, "--report", "line")
    assert result.exit_code == 1
    assert "F102" in result.stderr
    assert file.read_bytes() == b'zone a   "\xe9"\n'


def test_nothing_is_written_if_one_of_the_files_is_missing(file: Path) -> None:
    result = chime(file, file.with_name("missing.chime"))
    assert result.exit_code == 2
    assert "there is no such file" in result.stderr
    assert file.read_text(encoding="utf-8") == LOOSE


def test_no_file_at_all_is_a_misuse() -> None:
    assert chime().exit_code == 2


def test_a_rewritten_file_keeps_its_permissions_and_links_lead_to_it(file: Path) -> None:
    file.chmod(0o640)
    link = file.parent / "link.chime"
    link.symlink_to(file)
    assert chime(link).exit_code == 0
    assert link.is_symlink()
    assert file.read_text(encoding="utf-8") == TIDY
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


WRITE_FAILURES = {
    "a folder that must not be written": ("tempfile.mkstemp", errno.EACCES, "permission denied"),
    "a disk that is read-only": ("tempfile.mkstemp", errno.EROFS, "read-only file system"),
    "a disk that is full": ("os.fsync", errno.ENOSPC, "no space left on device"),
    "a disk that fails at the last step": ("os.replace", errno.EIO, "input/output error"),
}


@pytest.mark.parametrize("name", WRITE_FAILURES)
def test_a_file_that_cannot_be_written_stays_whole_and_is_not_called_tidied(
    name: str, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    function, number, reason = WRITE_FAILURES[name]

    def refuse(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    file.write_text("week a\n Monday normal\n", encoding="utf-8")
    before = file.stat()
    monkeypatch.setattr(function, refuse)
    result = chime("--mend", file)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"chime: cannot write {file}: {reason}; it is as it was\n"
    assert file.read_text(encoding="utf-8") == "week a\n Monday normal\n"
    assert (file.stat().st_ino, file.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_of_two_files_only_the_one_that_was_written_is_called_tidied(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = file.with_name("b.chime")
    other.write_text(LOOSE, encoding="utf-8")
    ordinary = os.replace

    def refuse_the_second(aside: str, place: str) -> None:
        if place == str(other):
            raise OSError(errno.ENOSPC, "no room")
        ordinary(aside, place)

    monkeypatch.setattr(os, "replace", refuse_the_second)
    result = chime(file, other)
    assert (result.exit_code, result.stdout) == (2, f"{file} was tidied\n")
    assert file.read_text(encoding="utf-8") == TIDY
    assert other.read_text(encoding="utf-8") == LOOSE


def test_what_was_tidied_from_standard_input_and_finds_no_room_is_not_called_tidied() -> None:
    with Path("/dev/full").open("wb") as full:
        found = subprocess.run(
            command_line("tidy", "-"),
            input=LOOSE.encode(),
            env=environment(),
            stdout=full,
            stderr=subprocess.PIPE,
            timeout=PATIENCE_SECONDS,
            check=False,
        )
    assert found.returncode == 2
    assert found.stderr == b"chime: cannot write all that was asked for: no space left on device\n"


def test_a_file_that_must_not_be_written_is_not(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "access", lambda _, mode: mode != os.W_OK)
    result = chime(file)
    assert result.exit_code == 2
    assert "its permissions forbid it" in result.stderr
    assert file.read_text(encoding="utf-8") == LOOSE
