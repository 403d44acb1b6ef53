"""The formulas of closed lengths, webs and neighbours against drawn shapes.

The shapes are drawn, grown, shrunk and cut by shapely (polygons of the GEOS library), which knows none of the
formulas. A round shape is a polygon of a thousand sides, within ten nanometres of the circle. Lengths
must agree to a micrometre.
"""

from collections import Counter
from itertools import product
from random import Random

import pytest
from shapely import LineString, MultiPoint, Point, Polygon, box, intersection_all
from shapely.affinity import translate

from chime.mechanics import merging, neighbours, webs
from chime.mechanics.closed_length import (
    HoleKind,
    HoleShape,
    Mode,
    TipKind,
    TipShape,
    ball_radius,
    closed_length,
)
from chime.verify.webs_judged import web_between

SIDES = 256
"""Sides of a quarter of a circle."""

MICROMETRE = 0.001
NEAR = 1e-4
"""So near to the place at which a length jumps or a circle ends, the polygon's own error counts for more."""

EACH = 260
"""Shapes for each of the twelve kinds: three thousand in all."""


def dice(seed: str) -> Random:
    return Random(seed)  # noqa: S311 - drawn shapes are no secrets


def drawn_hole(hole: HoleShape) -> Polygon:
    a, b = hole.along_mm, hole.across_mm
    if hole.kind == "round":
        return Point(0, 0).buffer(a / 2, quad_segs=SIDES)
    if hole.kind == "square slot":
        return box(-a / 2, -b / 2, a / 2, b / 2)
    thick, straight = min(a, b), abs(a - b) / 2
    ends = [(-straight, 0), (straight, 0)] if a >= b else [(0, -straight), (0, straight)]
    middle = LineString(ends) if straight else Point(0, 0)
    return middle.buffer(thick / 2, quad_segs=SIDES)


def drawn_tip(tip: TipShape) -> Polygon:
    if tip.kind == "round":
        return Point(0, 0).buffer(tip.along_mm / 2, quad_segs=SIDES)
    half, wide = tip.along_mm / 2, tip.across_mm / 2
    return box(-half, -wide, half, wide)


def corners(tip: TipShape) -> list[tuple[float, float]]:
    return [(x * tip.along_mm / 2, y * tip.across_mm / 2) for x, y in product((-1, 1), (-1, 1))]


def closing_places(hole: HoleShape, tip: TipShape, mode: Mode) -> Polygon:
    """The places of the tip's middle at which the contact is closed."""
    shape = drawn_hole(hole)
    if tip.kind == "round":
        by = tip.along_mm / 2 if mode == "brushes" else -tip.along_mm / 2
        return shape.buffer(by, quad_segs=SIDES)
    shifted = [translate(shape, *corner) for corner in corners(tip)]
    if mode == "drops in":
        return intersection_all(shifted)
    return MultiPoint([point for each in shifted for point in each.exterior.coords]).convex_hull


def chord(shape: Polygon, lateral: float) -> float:
    return float(shape.intersection(LineString([(-9, lateral), (9, lateral)])).length)


def random_hole(kind: HoleKind, draw: Random) -> HoleShape:
    along = draw.uniform(0.4, 3.0)
    return HoleShape(kind, along, along if kind == "round" else draw.uniform(0.4, 3.0))


def random_tip(kind: TipKind, draw: Random) -> TipShape:
    along = draw.choice((0.0, draw.uniform(0.1, 1.5)))
    return TipShape(kind, along, along if kind == "round" else draw.uniform(0.1, 1.5))


def ends_near(hole: HoleShape, tip: TipShape, lateral: float) -> bool:
    """Whether a lateral offset is next to one at which the tip leaves the hole, or a straight side ends."""
    edges = [(sign * hole.across_mm + other * tip.across_mm) / 2 for sign in (1, -1) for other in (1, 0, -1)]
    edges += [(hole.across_mm - hole.along_mm + by * tip.across_mm) / 2 for by in (1, 0, -1)]
    if hole.kind == "round" and tip.kind == "rectangle":
        squared = hole.along_mm**2 - tip.along_mm**2
        edges.append(squared**0.5 / 2 - tip.across_mm / 2 if squared > 0 else 0.0)
    return any(abs(lateral - abs(edge)) < NEAR for edge in edges)


@pytest.mark.parametrize(
    ("hole_kind", "tip_kind", "mode"),
    [*product(("round", "square slot", "rounded slot"), ("round", "rectangle"), ("drops in", "brushes"))],
)
def test_a_closed_length_is_the_chord_of_the_drawn_shapes(
    hole_kind: HoleKind, tip_kind: TipKind, mode: Mode
) -> None:
    draw = dice(f"{hole_kind} {tip_kind} {mode}")
    seen: Counter[bool] = Counter()
    for _ in range(EACH):
        hole, tip = random_hole(hole_kind, draw), random_tip(tip_kind, draw)
        lateral = draw.choice((0.0, draw.uniform(0.0, 0.6), draw.uniform(0.0, 2.4)))
        if ends_near(hole, tip, lateral):
            continue
        wanted = chord(closing_places(hole, tip, mode), lateral)
        found = closed_length(hole, tip, mode, draw.choice((1, -1)) * lateral)
        assert found == pytest.approx(wanted, abs=MICROMETRE), (hole, tip, lateral)
        seen[found > 0] += 1
    assert seen[True] > 40
    assert seen[False] > (5 if mode == "brushes" else 20)


def test_the_drawn_shapes_would_show_a_wrong_formula() -> None:
    """Half of a corner's reach left out: the rectangle's outer corner taken for its middle."""
    hole, tip = HoleShape("round", 1.83, 1.83), TipShape("rectangle", 0.5, 0.6)
    wanted = chord(closing_places(hole, tip, "drops in"), 0.2)
    wrong = 2 * ((1.83 / 2) ** 2 - 0.2**2) ** 0.5 - 0.5
    assert abs(wrong - wanted) > 100 * MICROMETRE


def test_a_tip_just_as_large_as_its_hole_closes_nowhere() -> None:
    for tip in (TipShape("round", 1.2, 1.2), TipShape("rectangle", 1.2, 0.5)):
        assert closed_length(HoleShape("round", 1.2, 1.2), tip, "drops in", 0.0) == 0
        assert closing_places(HoleShape("round", 1.2, 1.2), tip, "drops in").area < 1e-6


# ------------------------------------------------------------------------ neighbours and webs

PAIRS = tuple(product(("round", "square slot", "rounded slot"), ("round", "rectangle")))


@pytest.mark.parametrize(("hole_kind", "tip_kind"), PAIRS)
def test_what_is_left_to_a_neighbour_is_the_distance_of_the_drawn_shapes(
    hole_kind: HoleKind, tip_kind: TipKind
) -> None:
    draw, apart_seen, inside_seen = dice(f"{hole_kind} {tip_kind}"), 0, 0
    for _ in range(200):
        hole, tip = random_hole(hole_kind, draw), random_tip(tip_kind, draw)
        if not tip.along_mm:
            continue
        apart, lateral = draw.uniform(0.0, 4.0), draw.uniform(0.0, 0.4)
        other = translate(drawn_hole(hole), 0, apart - lateral)
        clear = neighbours.clear_of_neighbour(hole, tip, apart, lateral)
        if clear > NEAR:
            assert clear == pytest.approx(other.distance(drawn_tip(tip)), abs=MICROMETRE)
            apart_seen += 1
        elif clear < -NEAR and apart > lateral:
            assert other.intersects(drawn_tip(tip))
        inside = any(translate(other, x / 50, 0).contains(drawn_tip(tip)) for x in range(-20, 21))
        left = neighbours.drops_into_neighbour(hole, tip, apart, lateral)
        if apart > lateral and inside:
            assert left <= NEAR, (hole, tip, apart, lateral)
            inside_seen += 1
        elif apart > lateral and hole_kind != "rounded slot":
            assert left >= -NEAR, (hole, tip, apart, lateral)
    assert apart_seen > 50
    assert inside_seen > 0


def test_a_pin_passes_the_cusps_of_two_holes_as_drawn() -> None:
    draw, seen = dice("cusps"), Counter[bool]()
    for _ in range(300):
        diameter, pitch = draw.uniform(1.0, 2.4), draw.uniform(0.4, 1.6)
        tip, lateral = draw.uniform(0.1, 0.9), draw.uniform(-0.5, 0.5)
        half = merging.cusp_half_width(diameter, 1, pitch)
        disc = Point(0, 0).buffer(diameter / 2, quad_segs=SIDES)
        both = translate(disc, -pitch / 2, 0).union(translate(disc, pitch / 2, 0))
        assert (half >= 0) == (both.geom_type == "Polygon")
        if half < 0:
            continue
        left = merging.passes_cusps(half, tip, lateral)
        if abs(left) > NEAR:
            passes = both.buffer(-tip / 2, quad_segs=64).covers(Point(0, lateral))
            assert passes == (left > 0), (diameter, pitch, tip, lateral)
            seen[passes] += 1
    assert min(seen[True], seen[False]) > 30


def test_the_web_between_round_holes_is_their_distance() -> None:
    draw = dice("webs")
    for _ in range(300):
        along, across = draw.uniform(0, 4), draw.uniform(0, 4)
        one, other = draw.uniform(0.5, 2.0), draw.uniform(0.5, 2.0)
        web = webs.web_between_round(along, across, one, other)
        first = Point(0, 0).buffer(one / 2, quad_segs=SIDES)
        second = translate(Point(0, 0).buffer(other / 2, quad_segs=SIDES), along, across)
        if web > NEAR:
            assert web == pytest.approx(first.distance(second), abs=MICROMETRE)
        elif web < -NEAR:
            assert first.intersects(second)


def test_a_ball_sinks_by_its_closing_depth_into_a_hole_of_the_radius_that_it_behaves_as() -> None:
    """The ball is drawn as a circle in a plane across the hole, and let down until it touches both rims."""
    draw = dice("balls")
    for _ in range(100):
        rho, depth = draw.uniform(0.2, 1.0), draw.uniform(0.02, 0.6)
        if depth >= rho:
            assert ball_radius(rho, depth) == rho
            continue
        circle = Point(0, rho - depth).buffer(
            rho, quad_segs=SIDES
        )  # its lowest point is `depth` below the tape
        upper_face = circle.intersection(LineString([(-9, 0), (9, 0)]))
        assert 2 * ball_radius(rho, depth) == pytest.approx(upper_face.length, abs=MICROMETRE)


def test_the_web_to_an_edge_is_the_distance_of_the_drawn_hole() -> None:
    draw = dice("edges")
    for _ in range(500):
        tape, wide, off = draw.uniform(12, 60), draw.uniform(0.5, 3), draw.uniform(0, 0.2)
        place = draw.uniform(wide, tape - wide)
        hole = Point(0, place).buffer(wide / 2, quad_segs=256)
        edges = LineString([(-9, 0), (9, 0)]), LineString([(-9, tape), (9, tape)])
        drawn = min(hole.distance(edge) for edge in edges) - off
        assert webs.web_to_edge(place, tape, wide, off) == pytest.approx(drawn, abs=2 * MICROMETRE)


def test_the_web_between_slots_that_the_checks_use_is_that_of_the_drawn_slots() -> None:
    draw = dice("slots")
    kinds: tuple[HoleKind, ...] = ("round", "square slot", "rounded slot")
    for kind in kinds:
        apart = 0
        for _ in range(150):
            hole = random_hole(kind, draw)
            along, across = draw.uniform(0, 5), draw.uniform(0, 5)
            distance = drawn_hole(hole).distance(translate(drawn_hole(hole), along, across))
            web = web_between(hole, along, across)
            if distance > NEAR:
                assert web == pytest.approx(distance, abs=MICROMETRE), (hole, along, across)
                apart += 1
            else:
                assert web <= NEAR
        assert apart > 30
