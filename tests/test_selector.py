"""A selector that is moved between dates: what is punched, what is to do, and what the rehearsal hears.

The examples are worked by hand on invented programmes. Costs, where a machine does not say them: a new tape
90 min, a tape change 12, a move of the selector 1, a silence 2 [common practice, no published source].
"""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chime import zone_time
from chime.compiler import lay_open
from chime.tape.model import Operation, RingAt, TapeSet
from chime.tape.ring_checks import hearing_of
from chime.tape.selector import rank_of
from chime.verify.model import Verified
from chime.verify.player import Sound
from chime.verify.rehearsal import rehearse, set_up
from chime.writers.chart_rota import write_rota
from chime.writers.duties_text import write_duties

HEAD = """programme "Ferry hall"
  place  Europe/London
  issue  1 on 2026-08-20
zone main
zone yard
signal lesson  6 s within 2 s
"""

DAYS = """timetable normal
  ring 08:40, 09:45, 11:05, 15:05 lesson in main
  ring 10:45, 11:00 lesson in yard
timetable early
  ring 08:40, 09:35, 10:45, 13:10 lesson in main
  ring 10:45, 11:00 lesson in yard
week ordinary
  Mon to Thu  normal
  Fri         early
  Sat, Sun    silent
term "Autumn"  2026-09-07 to 2026-12-18
  week ordinary
exceptions
  2026-10-26 to 2026-10-30  silent "Half term"
"""

MACHINE = """machine tower
  loop      24 h in rows of 1 min
  selector  2 positions
  position  1 {}
  position  2 {}
  silenced  Sat, Sun
  attended  Mon to Fri 07:45 - 16:30
"""

TWO = MACHINE.format("main on track 1, yard on track 2", "main on track 3, yard on track 2")


def proven(text: str) -> Verified:
    found = lay_open("ferry.chime", text.encode(), lambda _: b"")
    assert found.verified is not None, [each.headline for each in found.diagnostics]
    return found.verified


def tapes_of(text: str) -> TapeSet:
    tapes = proven(text).tapes
    assert tapes is not None
    return tapes


def done(operation: Operation) -> list[str]:
    return [duty.do for duty in operation.duties]


def test_two_kinds_of_day_stand_on_one_tape_and_the_selector_is_moved() -> None:
    """Fourteen weeks, two moves in each, the last Friday ends the term: 27, and the selector is set once."""
    tapes = tapes_of(HEAD + TWO + DAYS)
    assert [len(tape.holes) for tape in tapes.tapes] == [10]
    assert done(tapes.operation).count("position") == 28
    assert done(tapes.operation).count("fit tape") == 1
    # main: four holes on each of its tracks; yard: two that both days share
    by_track = [[hole.track for hole in tapes.tapes[0].holes].count(track) for track in (1, 2, 3)]
    assert by_track == [4, 2, 4]
    by_weekday = {
        (plan.day.weekday(), plan.position) for plan in tapes.operation.days if plan.day.year < 2027
    }
    assert {(0, 1), (3, 1), (4, 2)} <= by_weekday
    assert not {(0, 2), (4, 1)} & {
        (plan.day.weekday(), plan.position)
        for plan in tapes.operation.days
        if plan.day.isoformat() not in {f"2026-10-{day}" for day in range(26, 31)}
        and plan.day.isoformat() <= "2026-12-18"
    }


def test_a_move_that_costs_more_than_a_tape_is_not_made() -> None:
    dear = TWO + "  costs     selector move 30 min\n"
    tapes = tapes_of(HEAD + dear + DAYS)
    assert len(tapes.tapes) == 2
    assert not tapes.operation.is_moved


def test_where_both_positions_wire_the_same_nothing_is_moved() -> None:
    wiring = "main on track 1, yard on track 2"
    tapes = tapes_of(HEAD + MACHINE.format(wiring, wiring) + DAYS)
    assert (len(tapes.tapes), tapes.operation.is_moved) == (2, False)


def test_zones_that_no_single_position_wires_can_ring_on_different_days() -> None:
    """Before the selector was moved this was an error: each position wires one of the zones that ring."""
    days = DAYS.replace("  ring 10:45, 11:00 lesson in yard\n", "", 1).replace(
        "  ring 08:40, 09:35, 10:45, 13:10 lesson in main\n", ""
    )
    tapes = tapes_of(HEAD + MACHINE.format("main on track 1", "yard on track 1") + days)
    assert [wired.zones for wired in tapes.operation.wirings] == [(("main", (1,)),), (("yard", (1,)),)]
    assert tapes.operation.is_moved


def test_nobody_between_two_days_leaves_one_position() -> None:
    """Both days must then run in one go, which two tapes could not do either."""
    machine = TWO.replace("attended  Mon to Fri 07:45 - 16:30", "attended  Mon 07:45 - 08:30")
    found = lay_open("ferry.chime", (HEAD + machine + DAYS).encode(), lambda _: b"")
    assert found.verified is None
    assert {each.code.id for each in found.diagnostics if each.code.severity == "error"} == {"T513"}


# ------------------------------------------------------------------ zones that name no track

FREE = """machine tower
  loop      24 h in rows of 1 min
  tracks    at 2.34, 4.88, 7.42 mm from the guided edge
  silenced  Sat, Sun
  attended  Mon to Fri 07:45 - 16:30
"""


def test_zones_that_name_no_track_get_tracks_that_are_left() -> None:
    tapes = tapes_of(HEAD + FREE + DAYS)
    assert [wired.zones for wired in tapes.operation.wirings] == [(("main", (1,)), ("yard", (2,)))]
    assert [len(tape.holes) for tape in tapes.tapes] == [6, 6]
    assert "Zone yard names no track; track 2 was taken: wire it so." in tapes.decided


def test_a_track_that_a_zone_names_or_that_is_out_of_use_is_not_taken() -> None:
    head = HEAD.replace("zone main", "zone main on track 1")
    tapes = tapes_of(head + FREE + "  out of use track 2\n" + DAYS)
    assert dict(tapes.operation.wirings[0].zones) == {"main": (1,), "yard": (3,)}


def test_zones_that_always_ring_together_share_a_track_that_is_left() -> None:
    days = DAYS.replace("in main", "in main, hall")
    head = HEAD.replace("zone main", "zone hall\nzone main")
    tapes = tapes_of(head + FREE + "  out of use track 2\n" + days)
    assert dict(tapes.operation.wirings[0].zones) == {"hall": (1,), "main": (1,), "yard": (3,)}


def test_a_selector_without_positions_is_wired_as_the_days_need_it() -> None:
    """As with the positions written out: one tape and 27 moves; the wiring says which track is which."""
    tapes = tapes_of(HEAD + FREE + "  selector  2 positions\n" + DAYS)
    assert [wired.position for wired in tapes.operation.wirings] == [1, 2]
    assert [len(tape.holes) for tape in tapes.tapes] == [10]
    assert done(tapes.operation).count("position") == 28
    assert any("main and yard, was given tracks in each position" in words for words in tapes.decided)


def test_a_zone_on_two_tracks_at_once_has_each_hole_on_both() -> None:
    """Two bells of the yard: a selector that is moved for the main zone leaves them both."""
    four = FREE.replace("7.42 mm", "7.42, 12.50, 15.04 mm")
    head = HEAD.replace("zone yard", "zone yard on tracks 2 and 4")
    tapes = tapes_of(head + four + "  selector  2 positions\n" + DAYS)
    yard = [(hole.track, hole.rings_at[0] // 60) for hole in tapes.tapes[0].holes if "yard" in hole.zones]
    assert sorted(yard) == [(2, 645), (2, 660), (4, 645), (4, 660)]
    # main's common ring has a track of its own, for that is a hole less
    assert {dict(wired.zones)["main"] for wired in tapes.operation.wirings} == {(1, 3), (3, 5)}


def test_a_wiring_that_was_chosen_can_be_written_down() -> None:
    """The lines that the duties give go into the machine's block, and nothing changes."""
    chosen = proven(HEAD + FREE + "  selector  2 positions\n" + DAYS)
    lines = [
        f"  {line}\n"
        for line in write_duties(chosen, None, None).splitlines()
        if line.startswith("position ")
    ]
    assert len(lines) == 2
    written = tapes_of(HEAD + FREE + "  selector  2 positions\n" + "".join(lines) + DAYS)
    assert chosen.tapes is not None
    assert written.operation == chosen.tapes.operation
    assert [[hole[:4] for hole in tape.holes] for tape in written.tapes] == [
        [hole[:4] for hole in tape.holes] for tape in chosen.tapes.tapes
    ]


def test_the_rota_says_which_position_is_on() -> None:
    turns = write_rota(proven(HEAD + TWO + DAYS), {"A"})
    assert turns[:3] == (
        ("Mon 2026-09-07 to Thu 2026-09-10", "A, position 1"),
        ("Fri 2026-09-11", "A, position 2"),
        ("Mon 2026-09-14 to Thu 2026-09-17", "A, position 1"),
    )


def test_a_zone_on_its_own_track_stays_on_it_in_all_positions() -> None:
    head = HEAD.replace("zone yard", "zone yard on track 2")
    tapes = tapes_of(head + FREE + "  selector  2 positions\n" + DAYS)
    assert {dict(wired.zones)["yard"] for wired in tapes.operation.wirings} == {(2,)}
    assert {dict(wired.zones)["main"] for wired in tapes.operation.wirings} == {(1,), (3,)}


# ------------------------------------------------------------------ forgotten duties and random terms


def check_forgotten(verified: Verified) -> None:
    """Play a plan without each duty in turn: it costs exactly the rings that the duty names."""
    programme, tapes = verified.programme, verified.tapes
    assert tapes is not None
    assert programme.machine is not None
    stage = set_up(programme, programme.machine, verified.calendar, tapes)

    def sounds(rings: tuple[RingAt, ...]) -> set[Sound]:
        return {(round(zone_time.instant(programme.place, r.at, r.fold).timestamp()), r.zone) for r in rings}

    first = next((duty.id for duty in tapes.operation.duties if duty.do == "position"), None)
    for duty in tapes.operation.duties:
        if duty.id == first:
            continue  # where the selector stood before, nobody knows
        heard = rehearse(stage, duty.others, without=duty.id)
        assert set(stage.wanted) - heard == sounds(duty.missing), duty.what
        assert heard - set(stage.wanted) == sounds(duty.extra), duty.what


def test_a_move_that_is_forgotten_costs_the_rings_that_it_names() -> None:
    verified = proven(HEAD + TWO + DAYS)
    check_forgotten(verified)
    assert verified.tapes is not None
    moves = [duty for duty in verified.tapes.operation.duties if duty.do == "position"]
    assert all(duty.missing and duty.extra for duty in moves[1:])


def test_a_first_setting_that_is_forgotten_leaves_no_ring_sure_until_the_next() -> None:
    tapes = tapes_of(HEAD + TWO + DAYS)
    first = next(duty for duty in tapes.operation.duties if duty.do == "position")
    assert len(first.missing) == 4 * 6  # Monday to Thursday
    assert first.extra == ()


HOLES = st.sets(st.integers(0, 11), min_size=1, max_size=4)


@st.composite
def terms(draw: st.DrawFn) -> str:
    """Two weeks of three kinds of day for two or three zones, on three tracks and two positions.

    Each kind is what a tape with some holes sounds in one of the positions, so that it can be punched; the
    first two are of the same tape.
    """
    zones = ("main", "yard", "hall")[: draw(st.integers(2, 3))]
    positions = [
        {zone: draw(st.lists(st.integers(1, 3), min_size=1, max_size=2, unique=True)) for zone in zones}
        for _ in range(2)
    ]
    contacts = draw(st.sampled_from(("", "  contacts  separate\n")))
    machine = MACHINE.format(
        *(
            ", ".join(f"{zone} on track {track}" for zone, tracks in on.items() for track in tracks)
            for on in positions
        )
    )
    machine += contacts + draw(st.sampled_from(("", "  switches  each zone\n")))
    machine += draw(st.sampled_from(("", "  costs     tape change 2 min, silence 1 min, new tape 4 min\n")))
    tapes = [[draw(HOLES) for _ in range(3)] for _ in range(2)]
    kinds = [
        (tapes[0], positions[0]),
        (tapes[0], positions[1]),
        (tapes[1], positions[draw(st.integers(0, 1))]),
    ]
    days = ""
    for name, (holes, on) in zip(("one", "two", "three"), kinds, strict=True):
        hearing = hearing_of({zone: tuple(tracks) for zone, tracks in on.items()}, tied=not contacts)
        days += f"timetable {name}\n"
        for zone in zones:
            heard = sorted(set().union(*(holes[t - 1] for t, those in hearing.items() if zone in those)))
            times = ", ".join(f"{8 + n // 2:02}:{n % 2 * 30 + 10:02}" for n in heard)
            days += f"  ring {times} lesson in {zone}\n"
    kind = st.sampled_from(("one", "two", "one", "two", "three"))
    week = "".join(f"  {weekday} {draw(kind)}\n" for weekday in ("Mon", "Tue", "Wed", "Thu", "Fri"))
    head = HEAD.replace("zone main\nzone yard\n", "".join(f"zone {zone}\n" for zone in zones))
    drop = draw(st.sampled_from(("", '  2027-04-01 drop in yard "Rain"\n')))
    return (
        f"{head}{machine}{days}week ordinary\n{week}  Sat, Sun silent\n"
        'term "Spring"  2027-03-22 to 2027-04-02\n  week ordinary\n'
        f'exceptions\n  2027-03-24 silent "Fair"\n{drop}'
    )


@settings(max_examples=40, deadline=None)
@given(terms(), st.integers(1, 3), st.booleans())
def test_random_terms_with_free_tracks_play_exactly(text: str, positions: int, is_fixed: bool) -> None:
    lines = [line for line in text.splitlines() if not line.startswith("  position")]
    free = "\n".join(lines).replace("  selector  2 positions", f"  selector  {positions} positions")
    free = free.replace("1 positions", "1 position")
    free = free.replace(
        "  silenced", "  tracks    at 2, 4, 6, 8 mm from the guided edge\n  out of use track 2\n  silenced", 1
    )
    if is_fixed:
        free = free.replace("zone yard\n", "zone yard on track 3\n")
    found = lay_open("ferry.chime", free.encode(), lambda _: b"")
    codes = {each.code.id for each in found.diagnostics if each.code.severity == "error"}
    assert codes <= {"T515", "T516"}
    if found.verified is not None:
        check_forgotten(found.verified)


@settings(max_examples=60, deadline=None)
@given(terms())
def test_random_terms_with_a_selector_play_exactly(text: str) -> None:
    """The rehearsal finds no fault in any, and each duty costs what it says; the clocks change on 28 March."""
    found = lay_open("ferry.chime", text.encode(), lambda _: b"")
    assert not [each.headline for each in found.diagnostics if each.code.id.startswith("V60")]
    if found.verified is not None and found.verified.tapes is not None and found.verified.tapes.tapes:
        check_forgotten(found.verified)


@pytest.mark.parametrize("cost", [1, 5])
def test_minutes_are_counted_from_the_duties(cost: int) -> None:
    """One tape, 27 moves, and two silences: half term, and after the last ring."""
    verified = proven(f"{HEAD}{TWO}  costs     selector move {cost} min\n{DAYS}")
    assert verified.tapes is not None
    assert verified.programme.machine is not None
    assert rank_of(verified.programme.machine, verified.tapes)[0] == Fraction(90 + 27 * cost + 2 * 2)
