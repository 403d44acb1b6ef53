"""The worst cases against machines that move: no formula is called to find out what a contact does.

Tips and holes of sampled sizes are drawn as points, and the tape is moved past them in small steps: a finger that
drops in is closed while all points of its rim are inside the hole, a brush while any point of its face is. No
sample may lie outside the bounds that the formulas give, and the worst samples must come near to them. The drives
are played as events in time: where the tape is at each instant, what gate and relay do then.
"""

from collections.abc import Callable, Iterator
from itertools import product

import numpy as np
import pytest
from numpy.typing import NDArray

from chime.mechanics import gating, steady, stepped
from chime.mechanics.closed_length import (
    ClosedLengths,
    HoleShape,
    Mode,
    TipShape,
    closed_lengths,
    round_hole,
    round_tip,
)
from chime.mechanics.stepped import Interval

Points = NDArray[np.float64]
STEP_MM = 0.002
ALONG = np.arange(-3.0, 3.0, STEP_MM)
"""Places of the tip's middle along the tape, from the hole's middle on."""


def is_inside(hole: HoleShape, x: Points, y: Points) -> NDArray[np.bool_]:
    """Whether points are inside a hole at the origin."""
    a, b = hole.along_mm / 2, hole.across_mm / 2
    if hole.kind == "square slot":
        return (np.abs(x) <= a) & (np.abs(y) <= b)
    straight = max(0.0, a - b)
    return np.hypot(np.maximum(0.0, np.abs(x) - straight), y) <= b


def points_of(tip: TipShape, mode: Mode) -> tuple[Points, Points]:
    """The rim of a tip, and for a brush its whole face too."""
    if tip.kind == "round":
        turn = np.linspace(0, 2 * np.pi, 181)
        shells = np.linspace(0, 1, 2 if mode == "drops in" else 5)[1:]
        radius = tip.along_mm / 2
        return (
            np.concatenate([radius * shell * np.cos(turn) for shell in shells]),
            np.concatenate([radius * shell * np.sin(turn) for shell in shells]),
        )
    x, y = np.meshgrid(np.linspace(-1, 1, 31), np.linspace(-1, 1, 31))
    return (x * tip.along_mm / 2).ravel(), (y * tip.across_mm / 2).ravel()


def closed_at(hole: HoleShape, tip: TipShape, mode: Mode, lateral: float, along: Points) -> NDArray[np.bool_]:
    """Whether the contact is closed with the tip's middle at each place along the tape."""
    x, y = points_of(tip, mode)
    closed = np.ones(along.size, bool) if mode == "drops in" else np.zeros(along.size, bool)
    for dx, dy in zip(x, y + lateral, strict=True):
        inside = is_inside(hole, along + dx, np.full(along.size, dy))
        closed = closed & inside if mode == "drops in" else closed | inside
    return closed


def moved_over(hole: HoleShape, tip: TipShape, mode: Mode, lateral: float) -> float:
    return float(closed_at(hole, tip, mode, lateral, ALONG).sum() * STEP_MM)


class Machine:
    """Sizes within their tolerances, and the bounds that the formulas give for them."""

    def __init__(
        self, hole: HoleShape, hole_within: float, tip: TipShape, tip_within: float, mode: Mode, play: float
    ) -> None:
        self.hole, self.hole_within, self.tip, self.tip_within = hole, hole_within, tip, tip_within
        self.mode, self.play = mode, play

    def bounds(self) -> ClosedLengths:
        return closed_lengths(self.hole, self.hole_within, self.tip, self.tip_within, self.mode, self.play)

    def sample(self, hole: float, tip: float, play: float) -> tuple[HoleShape, TipShape, float]:
        """One machine of its kind; each argument goes from -1 to 1."""
        by_hole, by_tip = hole * self.hole_within, tip * self.tip_within
        return (
            self.hole._replace(
                along_mm=self.hole.along_mm + by_hole, across_mm=self.hole.across_mm + by_hole
            ),
            self.tip._replace(along_mm=self.tip.along_mm + by_tip, across_mm=self.tip.across_mm + by_tip),
            play * self.play,
        )

    def samples(self, count: int) -> Iterator[tuple[HoleShape, TipShape, float]]:
        """The corners, the middle, and as many between as are asked for."""
        for corner in product((-1.0, 1.0), (-1.0, 1.0), (-1.0, 0.0, 1.0)):
            yield self.sample(*corner)
        draw = np.random.default_rng(5)
        for _ in range(count):
            yield self.sample(*draw.uniform(-1, 1, 3))


MACHINES = {
    "a pin": Machine(round_hole(1.60), 0.05, round_tip(0.70), 0.05, "drops in", 0.20),
    "a round brush": Machine(round_hole(1.20), 0.05, round_tip(0.50), 0.04, "brushes", 0.40),
    "a square brush": Machine(
        round_hole(1.20), 0.05, TipShape("rectangle", 0.50, 0.40), 0.02, "brushes", 0.50
    ),
    "a blade in a slot": Machine(
        HoleShape("rounded slot", 1.60, 1.20), 0.04, TipShape("rectangle", 0.50, 0.60), 0.03, "drops in", 0.15
    ),
    "a pin in a square slot": Machine(
        HoleShape("square slot", 1.40, 1.20), 0.05, round_tip(0.60), 0.03, "drops in", 0.10
    ),
}


@pytest.mark.parametrize("name", MACHINES)
def test_no_closed_length_lies_outside_its_bounds_and_the_worst_come_near(name: str) -> None:
    """F5."""
    machine = MACHINES[name]
    bounds = machine.bounds()
    found = [moved_over(*each[:2], machine.mode, each[2]) for each in machine.samples(40)]
    assert min(found) >= bounds.least_mm - 2 * STEP_MM
    assert max(found) <= bounds.greatest_mm + 2 * STEP_MM
    assert min(found) <= bounds.least_mm * 1.02 + 2 * STEP_MM
    assert max(found) >= bounds.greatest_mm * 0.98 - 2 * STEP_MM


@pytest.mark.parametrize("name", MACHINES)
def test_a_hole_that_rests_within_its_allowance_is_read_and_no_neighbour_is(name: str) -> None:
    """F6 to F8: the tape rests somewhere within an error of its place; every sample is looked at there."""
    machine, pitch = MACHINES[name], 1.90
    bounds = machine.bounds()
    own = stepped.own_row_allowance(bounds.least_mm)
    other = stepped.neighbour_row_allowance(bounds.greatest_mm, pitch)
    assert stepped.position_allowance(bounds.least_mm, bounds.greatest_mm, pitch) == min(own, other)
    rests = np.array([-1.0, -0.98, -0.5, 0.0, 0.7, 0.98, 1.0])
    missed, misread = [], []
    for hole, tip, lateral in machine.samples(20):
        assert closed_at(hole, tip, machine.mode, lateral, rests * (own - 0.002)).all()
        before = closed_at(hole, tip, machine.mode, lateral, rests * (other - 0.002) - pitch)
        after = closed_at(hole, tip, machine.mode, lateral, rests * (other - 0.002) + pitch)
        assert not before.any()
        assert not after.any()
        beyond = np.array([own * 1.02 + 0.002, other * 1.02 + 0.002])
        missed.append(not closed_at(hole, tip, machine.mode, lateral, beyond[:1])[0])
        misread.append(closed_at(hole, tip, machine.mode, lateral, beyond[1:] - pitch)[0])
    assert any(missed), "the allowance for the own row is too small"
    assert any(misread), "the allowance for the rows beside it is too small"


# --------------------------------------------------------------------------- stepped drive

TICK_S = 0.0005


def tape_at(times: Points, pitch: float, travel: float, row_s: float) -> Points:
    """How far the tape has come at some instants; the step into row k begins at k rows' time, from row -1."""
    steps = np.floor(times / row_s)
    return (steps - 1 + np.minimum(1.0, (times - steps * row_s) / travel)) * pitch


def spans(times: Points, on: NDArray[np.bool_]) -> list[tuple[float, float]]:
    """From when to when something is on."""
    padded = np.concatenate([[False], on, [False]]).astype(int)
    starts, ends = np.flatnonzero(np.diff(padded) == 1), np.flatnonzero(np.diff(padded) == -1)
    return [(float(times[a]), float(times[b - 1]) + TICK_S) for a, b in zip(starts, ends, strict=True)]


def contact_spans(
    holes: list[int], closed: float, error: float, pitch: float, travel: float, row_s: float
) -> list[tuple[float, float]]:
    """When a finger is closed: while it is within half the closed length of the middle of a hole."""
    times = np.arange(-row_s, (max(holes) + 2) * row_s, TICK_S)
    place = tape_at(times, pitch, travel, row_s) + error
    on = np.zeros(times.size, bool)
    for row in holes:
        on |= np.abs(place - row * pitch) <= closed / 2
    return spans(times, on)


def steps() -> Iterator[tuple[float, float, float, float, float]]:
    """Closed length, error, pitch, travel and row of machines that read each row as itself, some with c > p."""
    draw = np.random.default_rng(9)
    for _ in range(25):
        pitch, travel, row_s = draw.uniform(1.0, 4.0), draw.uniform(0.1, 0.9), draw.choice([3.0, 5.0])
        closed = pitch * draw.uniform(0.2, 1.4)
        most = stepped.position_allowance(closed, closed, pitch)
        yield closed, float(draw.uniform(-0.95, 0.95)) * most, pitch, travel, row_s


def test_a_contact_closes_and_opens_when_the_tape_has_come_so_far() -> None:
    """F9 and F10: the hole of row 0."""
    for closed, error, pitch, travel, row_s in steps():
        (found,) = contact_spans([0], closed, error, pitch, travel, row_s)
        wanted = stepped.closed_interval(closed, error, pitch, travel, row_s)
        assert found[0] == pytest.approx(wanted.starts_s, abs=3 * TICK_S)
        assert found[1] == pytest.approx(wanted.ends_s, abs=3 * TICK_S)
        dwell = stepped.dwell(closed, pitch, travel, row_s)
        assert found[1] - found[0] == pytest.approx(dwell, abs=4 * TICK_S)


def test_between_rows_that_follow_each_other_a_contact_opens_for_less_than_a_step() -> None:
    """F11."""
    opened = 0
    for closed, error, pitch, travel, row_s in steps():
        found = contact_spans([0, 1], closed, error, pitch, travel, row_s)
        gap = stepped.open_between(closed, pitch, travel)
        if gap > 4 * TICK_S:
            assert found[1][0] - found[0][1] == pytest.approx(gap, abs=4 * TICK_S)
            opened += 1
        elif gap == 0:
            assert len(found) == 1
    assert opened > 5


def test_a_hole_that_only_passes_closes_for_its_share_of_a_step() -> None:
    """F9 without F6: the tape rests beyond half the closed length."""
    closed, pitch, travel, row_s = 0.6, 2.4, 0.4, 3.0
    (found,) = contact_spans([0], closed, -0.5, pitch, travel, row_s)
    assert found[1] - found[0] == pytest.approx(
        stepped.closed_in_passing(closed, pitch, travel), abs=3 * TICK_S
    )


def relay_spans(
    energised: list[tuple[float, float]], operates: float, releases: float
) -> list[tuple[float, float]]:
    """When the relay's contact is closed: it operates if its coil is on for long enough, and lets go later."""
    return [(on + operates, off + releases) for on, off in energised if off - on > operates]


def test_a_bell_sounds_as_long_as_finger_gate_and_relay_let_it() -> None:
    """F12: each contact of the finger counts from when it has stopped bouncing."""
    draw, silent = np.random.default_rng(12), 0
    for closed, error, pitch, travel, row_s in (*steps(), *steps()):
        gate = Interval(*(float(each) for each in np.sort(draw.uniform(-0.5, row_s + 1.0, 2))))
        if draw.uniform() < 0.15:
            gate = Interval(gate.starts_s, gate.starts_s + 0.02)
        relay = gating.RelayTimes(*(float(draw.uniform(0.005, 0.1)) for _ in range(3)))
        (contact,) = contact_spans([0], closed, error, pitch, travel, row_s)
        on, off = max(contact[0] + relay.bounces_s, gate.starts_s), min(contact[1], gate.ends_s)
        sounds = relay_spans([(on, off)] if off > on else [], relay.operates_s, relay.releases_s)
        heard = sum(end - start for start, end in sounds)
        interval = stepped.closed_interval(closed, error, pitch, travel, row_s)
        if abs(off - on - relay.operates_s) > 4 * TICK_S:
            assert gating.ring_length(interval, gate, relay) == pytest.approx(heard, abs=5 * TICK_S)
            silent += heard == 0
    assert 2 < silent < 45


def test_a_gate_with_time_to_spare_meets_a_closed_contact_in_every_sample() -> None:
    """F13 and F14: the latest closing and the earliest opening of all samples, and how near they come."""
    machine, pitch, travel, row_s, budget = MACHINES["a pin"], 2.40, 0.25, 5.0, 0.26
    bounds = machine.bounds()
    latest = gating.latest_on(bounds.least_mm, budget, pitch, travel)
    earliest = gating.earliest_off(bounds.least_mm, budget, pitch, travel, row_s)
    found = []
    for hole, tip, lateral in machine.samples(30):
        closed = moved_over(hole, tip, machine.mode, lateral)
        for error in (-budget, 0.1, budget):
            found += contact_spans([0], closed, error, pitch, travel, row_s)
    assert max(on for on, _ in found) <= latest + 3 * TICK_S
    assert min(off for _, off in found) >= earliest - 3 * TICK_S
    assert max(on for on, _ in found) >= latest * 0.98
    assert min(off for _, off in found) - row_s <= (earliest - row_s) * 1.02 + 3 * TICK_S
    assert gating.clean_start(latest, 0.02, 1.0, 0.1) == pytest.approx(0.9 - latest - 0.02)
    assert gating.clean_end(earliest, 4.0, 0.1) == pytest.approx(earliest - 4.1)


def test_where_rows_overlap_the_row_before_lets_go_and_the_next_waits() -> None:
    """F13 and F14 with a closed length of more than a row: holes in three rows, the gate of the middle one."""
    closed, pitch, travel, row_s, error = 2.9, 2.40, 0.4, 5.0, 0.2
    assert gating.rows_overlap(closed, closed, pitch)
    lets_go, closes = [], []
    for each in (-error, 0.0, error):
        ((_, off),) = contact_spans([0], closed, each, pitch, travel, row_s)
        lets_go.append(off - row_s)
        ((on, _),) = contact_spans([0], closed, each, pitch, travel, row_s)
        closes.append(row_s + on)
    left = gating.clear_of_row_before(closed, error, pitch, travel, 1.0, 0.1)
    assert left == pytest.approx(0.9 - max(lets_go), abs=3 * TICK_S)
    left = gating.clear_of_row_after(closed, error, pitch, travel, row_s, 4.0, 0.1)
    assert left == pytest.approx(min(closes) - 4.1, abs=3 * TICK_S)


# ---------------------------------------------------------------------------- steady drive


def gates_closed(contact: tuple[float, float], length: float, offset: float, row_s: float) -> list[float]:
    """For how long each gate of the rows about a hole finds its contact closed; the middle one is its own."""
    found = []
    for row in (-2, -1, 0, 1, 2):
        starts = row * row_s + offset - length / 2
        found.append(max(0.0, min(contact[1], starts + length) - max(contact[0], starts)))
    return found


def test_a_creeping_tape_rings_whole_and_once_where_the_formula_says_so() -> None:
    """F16: every sign of the position error and of the gate's offset is played."""
    draw = np.random.default_rng(16)
    whole_seen, once_seen = [0, 0], [0, 0]
    for _ in range(400):
        pitch, row_s, length = draw.uniform(0.8, 4.0), 60.0, draw.uniform(2, 15)
        speed = steady.speed(pitch, row_s)
        closed = pitch * draw.uniform(0.1, 2.2)
        error, offset = draw.uniform(0, 0.4), draw.uniform(0, 12)
        plays = [
            gates_closed((-(closed / 2 + e) / speed, (closed / 2 - e) / speed), length, o, row_s)
            for e, o in product((-error, error), (-offset, offset))
        ]
        whole = steady.whole_ring(closed, error, speed, length, offset)
        once = steady.no_second_ring(closed, error, speed, length, offset, row_s)
        if abs(whole) > 1e-6:
            rings_whole = all(abs(play[2] - length) < 1e-9 for play in plays)
            assert rings_whole == (whole > 0)
            whole_seen[rings_whole] += 1
        if abs(once) > 1e-6:
            rings_once = all(not any((*play[:2], *play[3:])) for play in plays)
            assert rings_once == (once > 0)
            once_seen[rings_once] += 1
        interval = steady.closed_about(closed, error, speed)
        assert interval.ends_s - interval.starts_s == pytest.approx(steady.ungated_length(closed, speed))
    assert min(*whole_seen, *once_seen) > 40


def test_a_ring_without_a_gate_starts_within_its_errors() -> None:
    """F17: a hole set late by half the nominal closed length, so that a nominal ring starts on time."""
    machine, pitch, budget = MACHINES["a blade in a slot"], 3.0, 0.15
    bounds, speed = machine.bounds(), steady.speed(pitch, 60)
    shift = steady.late_shift(bounds.nominal_mm)
    starts = []
    for hole, tip, lateral in machine.samples(40):
        closed = closed_at(hole, tip, machine.mode, lateral, ALONG)
        first = float(ALONG[closed].min())
        starts += [(shift + first - error) / speed for error in (-budget, 0.0, budget)]
    errors = steady.start_errors(*bounds, budget, speed)
    slack = 2 * STEP_MM / speed
    assert -min(starts) <= errors.early_s + slack
    assert max(starts) <= errors.late_s + slack
    assert -min(starts) >= errors.early_s * 0.98 - slack
    assert max(starts) >= errors.late_s * 0.98 - slack
    assert errors.worst_s == max(errors.early_s, errors.late_s)


@pytest.mark.parametrize(
    "wrong",
    [lambda c, _: c / 2 + 0.05, lambda c, p: p - c / 2],
    ids=["too generous", "that of the neighbour"],
)
def test_the_samples_would_show_a_wrong_allowance(wrong: Callable[[float, float], float]) -> None:
    machine = MACHINES["a pin"]
    own = wrong(machine.bounds().least_mm, 2.40)
    rests = np.array([own - 0.002])
    assert not all(closed_at(h, t, machine.mode, y, rests).all() for h, t, y in machine.samples(0))
