"""The verdicts on a machine: what each rests on, what a missing value does to it.

Every value of every shipped machine is taken away in turn, and said to be assumed in turn.
"""

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from chime.cli.reading import reader_for
from chime.compiler import lay_open, read_machine
from chime.programme.equipment import Count, Machine, Value
from chime.verify.judging import Judgement, Subject, give_verdict
from chime.verify.machine_sheet import NOTHING_IF_ABSENT, read_sheet
from chime.verify.machine_verdicts import JUDGEMENTS
from chime.verify.model import Verdict, Verified

ROOT = Path(__file__).parent.parent
NAMES = ("guest-house", "observatory", "ondermarch", "playhouse", "ropeworks")
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
        if what == "sprocket.hole_across":  # a drive hole of one size is round
            continue
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


# --------------------------------------------- tolerances of the drive holes, and wear of the holes


def film_with(old: str, new: str) -> dict[str, Verdict]:
    """The verdicts on the machine of the rope works with words of its block changed, by their codes."""
    path = ROOT / "programmes" / "machines" / "film-35.chime"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    surveyed = read_machine(path.name, text.replace(old, new).encode(), lambda _: b"")
    assert surveyed.machine is not None, surveyed.diagnostics
    return {each.code.id: verdict for each, verdict in judged("ropeworks", surveyed.machine).items()}


PERFORATION = "hole 1.98 mm by 2.79 mm"


def test_drive_holes_that_may_be_smaller_leave_the_pins_less_play() -> None:
    """F22: (1.98 - 1.80) / 8 = 0.0225 mm against 0.010 mm; within 0.15 mm (1.83 - 1.80) / 8 = 0.00375 mm."""
    as_it_is = film_with(PERFORATION, PERFORATION)["V622"]
    assert as_it_is.verdict == "holds"
    assert as_it_is.margin_mm == pytest.approx(0.0125)
    wide = film_with(PERFORATION, f"{PERFORATION} within 0.15 mm")["V622"]
    assert wide.verdict == "fails"
    assert wide.margin_mm == pytest.approx(0.00375 - 0.010, abs=1e-4)
    wider = film_with(PERFORATION, f"{PERFORATION} within 0.20 mm")["V622"]
    assert wider.verdict == "fails"
    assert wider.margin_mm == pytest.approx(-0.02)


def test_a_pin_must_go_in_even_where_one_at_a_time_is_in_the_tape() -> None:
    one = film_with("over 180 degrees", "over 20 degrees")["V622"]
    assert one.verdict == "holds"
    assert one.margin_mm == pytest.approx(0.18)
    thick = film_with("16 pins 1.80 mm over 180 degrees", "16 pins 2.00 mm over 20 degrees")["V622"]
    assert thick.verdict == "fails"
    assert thick.margin_mm == pytest.approx(-0.02)


def test_drive_holes_that_may_be_larger_or_elsewhere_leave_less_of_the_tape() -> None:
    """7.50 - 3.41 - (1.25 + 2.79) / 2 - 0.45 = 1.62 mm; less 0.05 / 2 and 0.10 with those tolerances."""
    assert film_with(PERFORATION, PERFORATION)["V619"].margin_mm == pytest.approx(1.62)
    assert film_with(PERFORATION, f"{PERFORATION} within 0.05 mm")["V619"].margin_mm == pytest.approx(1.595)
    off = film_with("3.41 mm from the guided edge", "3.41 mm from the guided edge within 0.10 mm")
    assert off["V619"].margin_mm == pytest.approx(1.52)
    assert off["V620"].margin_mm == pytest.approx(
        (film_with(PERFORATION, PERFORATION)["V620"].margin_mm or 0.0) - 0.10
    )


def test_worn_holes_leave_less_of_the_tape() -> None:
    """A diameter that grew by 0.20 mm takes 0.20 mm from a web between holes, half of it from one to an edge."""
    new, worn = film_with("  web ", "  web "), film_with("  web ", "  wear       0.20 mm\n  web ")
    for code, less in (("V617", 0.20), ("V618", 0.20), ("V619", 0.10), ("V634", 0.10)):
        before, after = new[code].margin_mm, worn[code].margin_mm
        if before is None:
            assert after is None
        else:
            assert after == pytest.approx(before - less), code


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
