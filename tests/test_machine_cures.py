"""What would mend a check of the machine that fails: what is offered is written into its block, and it holds.

Machines are spoiled by one value at a time, far beyond what anybody builds. Whatever is wrong then has a way
out, and no amount that is offered is refused by the block or leads into another fault.
"""

import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import pytest

from chime.compiler import lay_open
from chime.diagnostics import Diagnostic

CASES = Path(__file__).parent / "cases" / "verify"

WRITTEN = {
    r"holes (.+) mm long": r"(hole +round )([\d.]+)( mm)",
    r"a tip (.+) mm long": r"(finger .*?(?:round|brushes,) )([\d.]+)( mm)",
    r"a tip (.+) mm wide": r"(finger .* by )([\d.]+)( mm)",
    r"side play of at most (.+) mm": r"(side play )([\d.]+)( mm)",
    r"a jig within (.+) mm": r"(jig )([\d.]+)( mm)",
    r"a gate that closes (.+) s after the impulse": r"(gate +at )([\d.]+)( s)",
    r"steps in (.+) s": r"(drive +steps in )([\d.]+)( s)",
    r"pins (.+) mm thick": r"(pins )([\d.]+)( mm)",
    r"drive holes within (.+) mm of their pitch": r"(sprocket .*? within )([\d.]+)( mm)",
    r"a lap of (.+) rows": r"(joint +lap of )(\d+)( rows)",
    r"drive holes every (.+) mm": r"(sprocket +every )([\d.]+)( mm)",
}
"""Each form of an offer, and the place in a machine's block where its amount is written."""


ALONE = "; other checks still fail with it"


class Offered(NamedTuple):
    """An amount that is offered: for which code, in which words, the text with it, and if all shall hold then."""

    code: str
    words: str
    changed: str
    is_of_all: bool


@lru_cache(2048)
def faults_of(text: str) -> tuple[Diagnostic, ...]:
    return lay_open("case.chime", text.encode(), lambda _: b"").diagnostics


def errors_of(text: str) -> set[str]:
    return {fault.code.id for fault in faults_of(text) if fault.severity == "error"}


def offers_of(text: str) -> Iterator[Offered]:
    """Every amount that is offered for a programme."""
    for fault in faults_of(text):
        for offer in fault.suggestions:
            words = offer.text.removesuffix(ALONE)
            form = next((form for form in WRITTEN if re.fullmatch(form, words)), None)
            said = None if form is None else re.fullmatch(form, words)
            if form is None or said is None:
                continue
            for amount in said[1].split(" to "):
                changed, count = re.subn(WRITTEN[form], rf"\g<1>{amount}\g<3>", text)
                assert count == 1, offer.text
                yield Offered(fault.code.id, f"{offer.text}: {amount}", changed, words == offer.text)


def hold_against(text: str) -> set[str]:
    """Apply each amount that is offered for a programme, and return the codes that were mended."""
    wrong, seen = errors_of(text), set()
    for offered in offers_of(text):
        left = errors_of(offered.changed)
        assert left <= wrong - {offered.code}, offered
        assert not left or not offered.is_of_all, offered
        seen.add(offered.code)
    return seen


def test_every_amount_that_is_offered_mends_its_check_and_spoils_no_other() -> None:
    seen = set()
    for path in sorted(CASES.glob("*.chime")):
        seen |= hold_against(path.read_text(encoding="utf-8"))
    assert {"V611", "V612", "V613", "V614", "V617", "V618", "V619", "V620", "V621", "V622", "V623"} <= seen
    assert "V634" in seen


SOUND = """programme "Ferry House"
  place  Europe/London
  issue  1 on 2026-08-20
machine quay
  loop      24 h in rows of 1 min
  row       2.54 mm
  sprocket  every 2.54 mm within 0.01 mm, hole 1.17 mm, 9.96 mm from the guided edge
  wheel     20 pins 1.00 mm over 140 degrees
  tape      25.4 mm wide, 0.1 mm thick
  drive     steps in 0.35 s
  tracks    at 2.34, 4.88, 7.42 mm from the guided edge
  hole      round 1.83 mm within 0.05 mm
  finger    drops in, round 0.70 mm within 0.04 mm
  side play 0.15 mm
  reads     2 rows ahead
  gate      at 7 s for 6 s, within 0.4 s
  relay     operates 25 ms, releases 15 ms, bounces 10 ms
  errors    jig 0.07 mm, registration 0.04 mm, detent 0.06 mm, stretch 0.03 % over 32 mm
  web       at least 0.35 mm
  joint     lap of 10 rows
  silenced  Sat, Sun
  attended  Mon to Fri 08:15 - 17:15
zone pier on track 1
zone hall on track 2
zone yard on track 3
signal horn  6 s within 2 s
timetable sailings
  ring 08:40, 08:41  horn in pier, hall
  ring 12:00  horn in yard
week ordinary
  Mon to Fri  sailings
  Sat, Sun  silent
term "Autumn"  2026-09-07 to 2026-12-18
"""
BRUSHES = SOUND.replace(
    "drops in, round 0.70 mm within 0.04 mm", "brushes, 0.50 mm by 0.50 mm within 0.04 mm"
)

SPOILED = [
    *(("jig 0.07 mm", f"jig {jig} mm") for jig in ("0.2", "0.5", "2", "8")),
    *(("side play 0.15", f"side play {play}") for play in ("0.5", "1.5", "15")),
    *(("round 1.83 mm", f"round {hole} mm") for hole in ("0.9", "1.2", "2.3", "2.5")),
    *(("at 7 s", f"at {closes} s") for closes in ("0.1", "29.9", "35", "52")),
    *(("steps in 0.35 s", f"steps in {travel} s") for travel in ("6.5", "9", "40")),
    *(("pins 1.00 mm", f"pins {pin} mm") for pin in ("1.10", "1.17", "1.4")),
    *(("mm within 0.01 mm, hole", f"mm within {within} mm, hole") for within in ("0.05", "0.5")),
    *(("lap of 10", f"lap of {lap}") for lap in ("1300", "1430")),
    *(("at least 0.35", f"at least {web}") for web in ("0.5", "0.65", "0.9", "2")),
    *(("4.88, 7.42", places) for places in ("4.60, 7.42", "4.88, 8.30", "4.4, 6.7")),
    *(("every 2.54", f"every {pitch}") for pitch in ("2.55", "2.5", "2.6", "3.1")),
    *(("registration 0.04", f"registration {error}") for error in ("0.4", "0.6", "3")),
    *(("detent 0.06", f"detent {error}") for error in ("0.4", "2")),
    *(("round 0.70 mm", f"round {tip} mm") for tip in ("1.2", "1.6", "1.75")),
    *(("0.50 mm by 0.50", f"{along} mm by {across}") for along, across in (("2", "0.5"), ("0.5", "4"))),
    ("steps in 0.35 s", "steps in 0.35 s after 33 s"),
    ("within 0.4 s", "within 6 s"),
]


@pytest.mark.parametrize("sound", [SOUND, BRUSHES], ids=["drops in", "brushes"])
def test_every_machine_that_is_spoiled_has_a_way_out_and_none_leads_into_another_fault(sound: str) -> None:
    assert not errors_of(sound)
    codes = set()
    for old, new in SPOILED:
        if old not in sound:
            continue
        text = sound.replace(old, new)
        for fault in faults_of(text):
            assert fault.severity != "error" or fault.suggestions, (new, fault.code.id)
        wrong = errors_of(text)
        codes |= wrong
        hold_against(text)
    assert codes >= {"V611", "V612", "V614", "V617", "V618", "V619", "V620", "V621", "V622"}


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("jig 0.07 mm", "jig 0.8 mm", "V611"),
        ("registration 0.04", "registration 0.6", "V611"),
        ("detent 0.06", "detent 0.9", "V611"),
        ("steps in 0.35 s", "steps in 20 s", "V614"),
        ("pins 1.00 mm", "pins 1.4 mm", "V622"),
        ("lap of 10", "lap of 1300", "V623"),
        ("every 2.54", "every 2.55", "V621"),
    ],
)
def test_a_complaint_points_at_the_value_that_is_wrong(old: str, new: str, code: str) -> None:
    (fault,) = [each for each in faults_of(SOUND.replace(old, new)) if each.code.id == code]
    line = next(line for line in SOUND.splitlines() if old in line)
    assert fault.labels[0].span.line == SOUND.splitlines().index(line) + 1
    assert fault.labels[0].span.text.split()[0] in new


def test_one_value_that_mends_several_checks_is_offered_for_all_of_them() -> None:
    """With webs of 0.70 mm holes of 1.83 mm leave too little along and across; 1.6 mm would not do for both."""
    text = SOUND.replace("at least 0.35", "at least 0.70")
    faults = [fault for fault in faults_of(text) if fault.severity == "error"]
    assert {fault.code.id for fault in faults} == {"V617", "V618"}
    first, second = ([offer.text for offer in fault.suggestions] for fault in faults)
    assert first == second
    assert not any(ALONE in offer for offer in first)


def test_where_no_single_value_mends_all_the_offer_says_that_others_still_fail() -> None:
    text = SOUND.replace("pins 1.00 mm", "pins 1.15 mm").replace("side play 0.15", "side play 0.50")
    offers = {fault.code.id: [o.text for o in fault.suggestions] for fault in faults_of(text)}
    assert all(offer.endswith(ALONE) for offer in offers["V622"])
    assert all(offer.endswith(ALONE) for offer in offers["V611"])
    assert offers["V622"]
    assert offers["V611"]
