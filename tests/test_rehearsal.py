"""The rehearsal: every plan plays exactly, and whatever is wrong with one is seen.

The plans are those of the shipped programmes: a steady loop of 24 h, a loop of 12 h read by selector, a day
loop under a day wheel, and a week of five-minute rows. Each is spoiled in one way at a time, and the rehearsal
must name what is then missing or too much.
"""

from collections import Counter
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chime import zone_time
from chime.compiler import check, check_with_machine, lay_open
from chime.diagnostics import Diagnostic
from chime.programme.equipment import Machine
from chime.programme.model import Programme
from chime.rings.model import RingCalendar
from chime.tape.lay_out import lay_out
from chime.tape.model import DayPlan, Duty, Moment, RingAt, Tape, TapeSet
from chime.verify.declarations import the_plan_is_declared
from chime.verify.player import Sound
from chime.verify.rehearsal import WAYS, rehearse, set_up, the_plan_plays
from tests.compiling import reader_of
from tests.random_programmes import Part, Written, programmes
from tests.shipped_texts import law
from tests.test_order_of_files import with_loop

PROGRAMMES = Path(__file__).parent.parent / "programmes"
SAMPLES = Path(__file__).parent / "samples"
NAMES = ("guest-house", "observatory", "ondermarch", "playhouse", "ropeworks")
ALL = (*NAMES, "saltmarsh", "banksia", "brickfield")


class Known(NamedTuple):
    programme: Programme
    machine: Machine
    calendar: RingCalendar
    tapes: TapeSet


@cache
def known(name: str) -> Known:
    path = (PROGRAMMES if name in NAMES else SAMPLES) / f"{name}.chime"
    found = check(path.name, path.read_bytes(), lambda inner: (path.parent / inner).read_bytes())
    assert found.programme is not None
    assert found.programme.machine is not None
    assert found.calendar is not None
    laid = lay_out(found.programme, found.calendar)
    assert laid.tapes is not None
    return Known(found.programme, found.programme.machine, found.calendar, laid.tapes)


def played(it: Known) -> list[str]:
    return said(the_plan_plays(it.programme, it.calendar, it.tapes))


def declared(it: Known) -> list[str]:
    return said(the_plan_is_declared(it.programme, it.calendar, it.tapes))


def said(faults: list[Diagnostic]) -> list[str]:
    return [f"{fault.code.id} {fault.headline}" for fault in faults]


@pytest.mark.parametrize("name", ALL)
def test_every_plan_plays_exactly_in_all_three_ways(name: str) -> None:
    it = known(name)
    stage = set_up(it.programme, it.machine, it.calendar, it.tapes)
    for way in WAYS:
        assert rehearse(stage, way) == set(stage.wanted), way
    assert (played(it), declared(it)) == ([], [])


# ------------------------------------------------------------------- a spoiled plan


def with_first_tape(it: Known, change: Callable[[Tape], Tape]) -> Known:
    first, *others = it.tapes.tapes
    return it._replace(tapes=it.tapes._replace(tapes=(change(first), *others)))


def with_days(it: Known, days: Iterator[DayPlan]) -> Known:
    operation = it.tapes.operation._replace(days=tuple(days))
    return it._replace(tapes=it.tapes._replace(operation=operation))


def with_duties(it: Known, duties: Iterator[Duty]) -> Known:
    operation = it.tapes.operation._replace(duties=tuple(duties))
    return it._replace(tapes=it.tapes._replace(operation=operation))


@pytest.mark.parametrize("name", NAMES)
def test_a_hole_one_row_off_is_both_missing_and_extra(name: str) -> None:
    def shift(tape: Tape) -> Tape:
        # Of a zone on two tracks at once the other hole would still ring it.
        lone = next(
            h for h in tape.holes if [(o.row, o.zones) for o in tape.holes].count((h.row, h.zones)) == 1
        )
        shifted = lone._replace(row=(lone.row + 1) % tape.rows)
        return tape._replace(holes=tuple(shifted if hole == lone else hole for hole in tape.holes))

    assert {line[:4] for line in played(with_first_tape(known(name), shift))} == {"V601", "V602"}


@pytest.mark.parametrize("name", NAMES)
def test_a_hole_that_was_not_punched_is_named_by_its_first_ring(name: str) -> None:
    it = known(name)
    lost = it.tapes.tapes[0].holes[-1]
    spoiled = played(with_first_tape(it, lambda tape: tape._replace(holes=tape.holes[:-1])))
    assert {line[:4] for line in spoiled} == {"V601"}
    assert len(spoiled) == len(WAYS)
    # Of a zone on two tracks at once either hole alone would ring it.
    assert any(f"does not ring {zone} on" in spoiled[0] for zone in lost.zones)


@pytest.mark.parametrize("name", NAMES)
def test_a_hole_too_many_is_named(name: str) -> None:
    def add(tape: Tape) -> Tape:
        taken = {hole.row for hole in tape.holes}
        # A row 25 min before a hole that rings alone: never silenced by the machine where that one is not.
        step = 25 * 60 // tape.row_interval_s
        model = next(hole for hole in tape.holes if (hole.row - step) % tape.rows not in taken)
        return tape._replace(holes=(*tape.holes, model._replace(row=(model.row - step) % tape.rows)))

    assert {line[:4] for line in played(with_first_tape(known(name), add))} == {"V602"}


@pytest.mark.parametrize("name", NAMES)
def test_two_dates_with_each_others_tapes_or_positions_are_seen(name: str) -> None:
    it = known(name)
    days = it.tapes.operation.days
    rings: dict[date, set[tuple[str, str]]] = {}
    for ring in it.calendar.rings:
        rings.setdefault(ring.at.date(), set()).add((f"{ring.at:%a %H:%M}", ring.zone))
    one, other = next(
        (one, other)
        for one in days
        for other in days
        if one.day in rings
        and rings[one.day] - rings.get(other.day, set())
        and (one.tape, one.position) != (other.tape, other.position)
        and ((other.day - one.day).days % 7 == 0 or name == "playhouse")  # a programme for each weekday
    )
    swapped = {one.day: other, other.day: one}
    spoiled = with_days(
        it,
        (
            p._replace(tape=swapped[p.day].tape, position=swapped[p.day].position) if p.day in swapped else p
            for p in days
        ),
    )
    assert "V601" in {line[:4] for line in played(spoiled)}


@pytest.mark.parametrize("name", NAMES)
def test_the_sign_of_a_reading_offset_turned_round_is_seen(name: str) -> None:
    """The tower reads n rows behind instead of n rows ahead."""
    it = known(name)
    reads = tuple(r._replace(rows=r.rows._replace(amount=-r.rows.amount)) for r in it.machine.reads)
    machine = it.machine._replace(reads=reads)
    spoiled = played(it._replace(programme=it.programme._replace(machine=machine)))
    assert {line[:4] for line in spoiled} == {"V601", "V602"}


@pytest.mark.parametrize("name", ["observatory", "ondermarch", "ropeworks"])
def test_a_silence_of_the_machine_moved_by_hours_is_seen(name: str) -> None:
    it = known(name)
    wheels = tuple(wheel._replace(weekdays=(2, 3)) for wheel in it.machine.day_wheels)
    daily = tuple(d._replace(start=d.end, end=d.start) for d in it.machine.daily_silences)
    machine = it.machine._replace(day_wheels=wheels, daily_silences=daily)
    spoiled = it._replace(programme=it.programme._replace(machine=machine))
    assert "V601" in {line[:4] for line in played(spoiled)}
    assert declared(spoiled)[0].startswith(
        "V603 the plan takes for granted what the machine silences by itself"
    )


@pytest.mark.parametrize("name", ["observatory", "ondermarch", "ropeworks"])
def test_a_silence_that_is_left_out_of_the_dates_is_seen(name: str) -> None:
    it = known(name)
    spoiled = with_days(
        it,
        (
            plan._replace(silenced=tuple(s for s in plan.silenced if s.by != "hand"))
            for plan in it.tapes.operation.days
        ),
    )
    assert [line[:4] for line in played(spoiled)] == ["V602"]


def test_a_wiring_that_the_machine_does_not_declare_is_a_fault_of_the_plan() -> None:
    it = known("observatory")
    wired = it.tapes.operation.wirings[0]
    zones = tuple((zone, (2,) if zone == "dome" else tracks) for zone, tracks in wired.zones)
    operation = it.tapes.operation._replace(wirings=(wired._replace(zones=zones),))
    spoiled = it._replace(tapes=it.tapes._replace(operation=operation))
    assert declared(spoiled) == ["V603 the plan takes for granted zone dome on track 2"]


def moved(moment: Moment, minutes: int) -> Moment:
    return moment._replace(at=moment.at + timedelta(minutes=minutes))


@pytest.mark.parametrize(("begins", "ends"), [(0, 600), (-600, 0)])
def test_a_duty_outside_attended_hours_is_a_fault_of_the_plan(begins: int, ends: int) -> None:
    it = known("ondermarch")
    spoiled = with_duties(
        it,
        (
            duty._replace(begins=moved(duty.begins, begins), ends=moved(duty.ends, ends)) if n == 5 else duty
            for n, duty in enumerate(it.tapes.operation.duties)
        ),
    )
    assert declared(spoiled)[0].startswith("V603 the plan takes for granted somebody there for duty D6 (")


def test_a_duty_that_ends_before_it_begins_is_a_fault_of_the_plan() -> None:
    it = known("ondermarch")
    spoiled = with_duties(
        it,
        (
            duty._replace(begins=duty.ends, ends=duty.begins) if duty.id == "D2" else duty
            for duty in it.tapes.operation.duties
        ),
    )
    assert declared(spoiled)[0].startswith("V603 the plan takes for granted that duty D2 (")


def test_a_duty_too_near_to_a_ring_is_a_fault_of_the_plan() -> None:
    it = known("ondermarch")
    spoiled = with_duties(
        it,
        (
            duty._replace(begins=moved(duty.begins, -1)) if duty.id == "D2" else duty
            for duty in it.tapes.operation.duties
        ),
    )
    assert declared(spoiled)[0].startswith("V603 the plan takes for granted a minute between duty D2 (")


# ---------------------------------------------------------------------- forgotten duties


@pytest.mark.parametrize("name", ALL)
def test_a_duty_that_is_forgotten_costs_exactly_the_rings_that_it_names(name: str) -> None:
    """Played without each duty in turn, to the plan's end."""
    it = known(name)
    stage = set_up(it.programme, it.machine, it.calendar, it.tapes)
    wanted = set(stage.wanted)

    def sounds(rings: tuple[RingAt, ...]) -> set[Sound]:
        place = it.programme.place
        return {(round(zone_time.instant(place, r.at, r.fold).timestamp()), r.zone) for r in rings}

    duties = it.tapes.operation.duties
    step = max(1, len(duties) // 25)
    for duty in (
        *duties[::step],
        *(duty for duty in duties if duty.do == "correct clocks" or duty.others == "late"),
    ):
        if duty.do == "position":
            continue  # where the selector stood before, nobody knows
        heard = rehearse(stage, duty.others, without=duty.id)
        assert wanted - heard == sounds(duty.missing), duty.what
        assert heard - wanted == sounds(duty.extra), duty.what


@pytest.mark.parametrize("name", NAMES)
def test_every_duty_costs_a_ring_if_it_is_forgotten(name: str) -> None:
    assert [duty for duty in known(name).tapes.operation.duties if not duty.missing and not duty.extra] == []


# ------------------------------------------------------------------ random programmes

LOOPS = tuple(f"{loop} in rows of 30 s" for loop in ("24 h", "48 h", "7 d", "14 d"))
MORE = (
    "attended Mon to Fri 06:00 - 20:00",
    "attended Mon to Sun 04:00 - 28:00",
    "silenced Sun turning at 00:45 within 15 min",
    "silenced Sat, Sun",
    "silenced 03:00 - 04:00",
    "switches all together",
    "contacts separate",
)
"""Lines that ask more of a plan; without any a machine silences nothing and somebody is always there."""


def with_more(written: Written, loop: str, more: list[str]) -> Written:
    """The programme with a loop in its machine, and with some of these lines."""
    looped = with_loop(written, loop)
    said = {line.split()[0] for line in more} - {"silenced", "attended"}

    def of_machine(part: Part) -> Part:
        if not part.opener.startswith("machine"):
            return part
        return part._replace(lines=(*(e for e in part.lines if e.split()[0] not in said), *more))

    used, parts = (tuple(map(of_machine, some)) for some in (looped.used, looped.parts))
    return looped._replace(used=used, parts=parts)


def with_hand_rings(written: Written) -> Written:
    """The programme with leave to ring by hand."""

    def of_head(part: Part) -> Part:
        if not part.opener.startswith("programme"):
            return part
        kept = tuple(line for line in part.lines if not line.startswith("hand rings"))
        return part._replace(lines=(*kept, "hand rings allowed"))

    used, parts = (tuple(map(of_head, some)) for some in (written.used, written.parts))
    return written._replace(used=used, parts=parts)


def test_the_rehearsal_of_any_programme_finds_what_is_wanted_and_no_more() -> None:
    """Where there is no plan, the layout says why; it never makes one that does not play."""
    seen: Counter[str] = Counter()

    @law(max_examples=120)
    @given(
        programmes(),
        st.sampled_from(LOOPS),
        st.lists(st.sampled_from(MORE), max_size=3, unique=True),
        st.booleans(),
    )
    def draw(written: Written, loop: str, more: list[str], may_ring: bool) -> None:
        machine = with_more(written, loop, more)
        machine = with_hand_rings(machine) if may_ring else machine
        found = check_with_machine("test.chime", machine.text.encode(), reader_of(machine.files))
        errors = {fault.code.id[0] for fault in found.diagnostics if fault.severity == "error"}
        assert "V" not in errors, said(list(found.diagnostics))
        seen["no plan" if errors else "a plan"] += 1
        if may_ring and not errors:
            proven = lay_open("test.chime", machine.text.encode(), reader_of(machine.files))
            assert proven.verified is not None
            assert proven.verified.tapes is not None
            seen["by hand"] += any(duty.do == "ring" for duty in proven.verified.tapes.operation.duties)

    draw()
    assert seen["a plan"] > 30, seen
    assert seen["by hand"] > 5, seen
