"""The verdicts on a machine: what each rests on, what a missing value does to it, and what mends it.

Every value of every shipped machine is taken away in turn, and said to be assumed in turn. What is offered
where a check fails is written into the machine's block, and the check must hold.
"""

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from chime.cli.reading import reader_for
from chime.compiler import lay_open
from chime.programme.equipment import Count, Machine, Value
from chime.verify.judging import Judgement, Subject, give_verdict
from chime.verify.machine_sheet import NOTHING_IF_ABSENT, read_sheet
from chime.verify.machine_verdicts import JUDGEMENTS
from chime.verify.model import Verdict, Verified

ROOT = Path(__file__).parent.parent
NAMES = ("guest-house", "observatory", "ondermarch", "ropeworks")
CASES = Path(__file__).parent / "cases" / "verify"


@cache
def verified(name: str) -> Verified:
    path = ROOT / "programmes" / f"{name}.chime"
    proven = lay_open(str(path), path.read_bytes(), reader_for(str(path)))
    assert proven.verified is not None
    return proven.verified


def subject_of(name: str, machine: Machine) -> Subject:
    known = verified(name)
    assert known.tapes is not None
    ringing = {ring.signal for ring in known.calendar.rings}
    signals = tuple(signal for signal in known.programme.signals if signal.name in ringing)
    return Subject(read_sheet(machine), known.tapes.tapes, known.tapes.operation.gate, signals)


def machine_of(name: str) -> Machine:
    machine = verified(name).programme.machine
    assert machine is not None
    return machine


def judged(name: str, machine: Machine) -> dict[Judgement, Verdict]:
    subject = subject_of(name, machine)
    return {each: give_verdict(each, subject) for each in JUDGEMENTS if each.is_asked(subject.sheet)}


def values_in(record: Any) -> Iterator[tuple[tuple[str, ...], Value | Count]]:
    """Each value of a machine, with the way to it."""
    for field in record._fields:
        inner = getattr(record, field)
        if isinstance(inner, Value | Count):
            yield (field,), inner
        elif field in ("sprocket", "drive", "hole", "finger", "gate", "wheel", "allowance") and inner:
            yield from (((field, *way), value) for way, value in values_in(inner))


def replaced(record: Any, way: tuple[str, ...], value: object) -> Any:
    first, *rest = way
    inner = replaced(getattr(record, first), tuple(rest), value) if rest else value
    return record._replace(**{first: inner})


def lacking(machine: Machine) -> Iterator[tuple[str, Machine]]:
    """The machine without each of its values in turn: single ones, errors and relay times, and the tracks."""
    for way, _ in values_in(machine):
        if way[0] != "allowance":
            yield ".".join(way), replaced(machine, way, None)
    for field in ("errors", "relay"):
        for part in getattr(machine, field):
            rest = tuple(each for each in getattr(machine, field) if each is not part)
            yield f"{field}.{part.name}", replaced(machine, (field,), rest)
    yield "tracks", machine._replace(tracks=())
    for field in ("sprocket", "drive", "hole", "finger", "gate", "no_gate", "wheel"):
        if getattr(machine, field) is not None:
            yield field, replaced(machine, (field,), None)


@pytest.mark.parametrize("name", NAMES)
def test_a_value_that_is_taken_away_turns_exactly_the_verdicts_that_name_it(name: str) -> None:
    machine = machine_of(name)
    before = judged(name, machine)
    turned = 0
    for what, without in lacking(machine):
        lost = set(read_sheet(machine).values) - set(read_sheet(without).values)
        after = judged(name, without)
        for judgement, verdict in before.items():
            names = {each.value for each in verdict.rests_on}
            if names & lost - NOTHING_IF_ABSENT:
                assert after[judgement].verdict == "cannot say", (what, judgement.sentence)
                turned += 1
            elif not names & lost:
                assert after[judgement] == verdict, (what, judgement.sentence)
            else:
                absent = {each.value for each in after[judgement].rests_on if each.status == "absent"}
                assert names & lost <= absent, (what, judgement.sentence)
    assert turned > 40


@pytest.mark.parametrize("name", NAMES)
def test_a_value_that_is_assumed_changes_no_verdict_but_what_it_rests_on(name: str) -> None:
    machine = machine_of(name)
    before = judged(name, machine)
    for way, value in values_in(machine):
        after = judged(name, replaced(machine, way, value._replace(assumed=True)))
        known = {name for name, each in read_sheet(machine).values.items() if each.span == value.span}
        for judgement, verdict in before.items():
            assert after[judgement]._replace(rests_on=()) == verdict._replace(rests_on=())
            for each in after[judgement].rests_on:
                if each.value in known:
                    assert each.status == "assumed", each.value


def test_a_value_that_counts_as_nothing_is_listed_as_absent_where_it_is_left_out() -> None:
    verdicts = judged("observatory", machine_of("observatory"))
    own_row = next(v for j, v in verdicts.items() if j.code.id == "V611")
    assert own_row.verdict == "holds"
    absent = {each.value for each in own_row.rests_on if each.status == "absent"}
    assert absent == {
        *("wear", "error across the tape", "error of the print", "error of the seam", "error of the wheel"),
    }


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
}
"""Each form of an offer, and the place in a machine's block where its amount is written."""


def offers_of(path: Path) -> Iterator[tuple[str, str, str]]:
    """Every amount that is offered in a case: the code, the offer, and the text with that amount written in."""
    text = path.read_text(encoding="utf-8")
    for fault in lay_open(path.name, text.encode(), lambda _: b"").diagnostics:
        for offer in fault.suggestions:
            form = next((form for form in WRITTEN if re.fullmatch(form, offer.text)), None)
            if form is None:
                continue
            said = re.fullmatch(form, offer.text)
            assert said is not None
            for amount in said[1].split(" to "):
                changed, count = re.subn(WRITTEN[form], rf"\g<1>{amount}\g<3>", text)
                assert count == 1, (path.name, offer.text)
                yield fault.code.id, f"{offer.text}: {amount}", changed


def test_every_amount_that_is_offered_mends_its_check_and_spoils_no_other() -> None:
    seen = set()
    for path in sorted(CASES.glob("*.chime")):
        wrong = {fault.code.id for fault in lay_open(path.name, path.read_bytes(), lambda _: b"").diagnostics}
        for code, offer, changed in offers_of(path):
            after = lay_open(path.name, changed.encode(), lambda _: b"").diagnostics
            found = {fault.code.id for fault in after if fault.severity == "error"}
            assert found <= wrong - {code}, (path.name, offer)
            seen.add(code)
    assert {"V611", "V612", "V613", "V614", "V617", "V618", "V619", "V620", "V622", "V623", "V634"} <= seen


# ----------------------------------------------------------------- the tightest holes


def test_the_holes_with_the_least_to_spare_are_named_with_their_check() -> None:
    """Two holes a row apart leave 0.29 mm of web to spare, and each 0.25 mm before it is missed.

    In the case of a thin web 3.00 - 2.05 - 2 x 0.08 = 0.79 mm are left, and with 0.50 mm asked for 0.29 mm to
    spare. With 0.70 mm asked for the web has 0.09 mm, less than the 0.2523 mm of the row.
    """
    text = (CASES / "a-web-that-tears-between-two-minutes.chime").read_text(encoding="utf-8")
    tight = {}
    for web in ("0.50", "0.70"):
        changed = text.replace("at least 1.00 mm", f"at least {web} mm")
        proven = lay_open("case.chime", changed.encode(), lambda _: b"")
        assert proven.verified is not None
        tight[web] = [(hole.row, hole.track, hole.margin_mm, hole.check) for hole in proven.verified.tight]
    rows = (6 * 60 + 43, 6 * 60 + 44)
    own_row, web_along = (judgement.sentence for judgement in (JUDGEMENTS[0], JUDGEMENTS[6]))
    assert [(row, track, check) for row, track, _, check in tight["0.50"]] == [
        (row, 1, own_row) for row in rows
    ]
    assert [margin for *_, margin, _ in tight["0.50"]] == pytest.approx([0.2523] * 2, abs=0.001)
    assert [(row, track, check) for row, track, _, check in tight["0.70"]] == [
        (row, 1, web_along) for row in rows
    ]
    assert [margin for *_, margin, _ in tight["0.70"]] == pytest.approx([0.09] * 2)


@pytest.mark.parametrize("name", NAMES)
def test_no_tape_names_more_than_five_and_none_has_less_than_its_verdict(name: str) -> None:
    known = verified(name)
    assert known.tapes is not None
    for tape in known.tapes.tapes:
        of_tape = [hole for hole in known.tight if hole.tape == tape.id]
        assert len(of_tape) == min(5, len(tape.holes))
        assert [hole.margin_mm for hole in of_tape] == sorted(hole.margin_mm for hole in of_tape)
        places = {(hole.row, hole.track) for hole in tape.holes}
        assert {(hole.row, hole.track) for hole in of_tape} <= places
    least = {
        hole.check: min(h.margin_mm for h in known.tight if h.check == hole.check) for hole in known.tight
    }
    for verdict in known.verdicts:
        if verdict.check in least and verdict.margin_mm is not None:
            assert least[verdict.check] >= verdict.margin_mm - 1e-9
