"""Rigid motions of edges and regions about places that are not the origin."""

import math
from itertools import pairwise

import pytest

from geometry.fillet import offset_outline
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.radial import (
    arc_with_notch,
    at,
    flat_notch,
    groove_notch,
    notched_circle,
    round_notch,
)
from geometry.segment import Arc, Line, mirrored_run

ABOUT = Point(-2.3, 0.9)
JOINT, TOP = Point(4.1, 2.2), Point(3.1, 3.2)
EDGES = [
    Line(Point(1.2, -0.7), JOINT),
    Arc(JOINT, TOP, Point(3.1, 2.2), True),
    Arc(TOP, Point(1.1, 5.2), Point(1.1, 3.2), True),
]


def turn(p: Point, angle: float) -> complex:
    """Complex numbers as the other way to turn a place."""
    at = complex(*ABOUT)
    return at + (complex(*p) - at) * complex(math.cos(angle), math.sin(angle))


@pytest.mark.parametrize("edge", EDGES)
def test_an_edge_turns_about_any_place(edge: Line | Arc) -> None:
    angle = 0.77
    made = edge.rotated(angle, ABOUT)
    assert complex(*made.start) == pytest.approx(turn(edge.start, angle))
    assert complex(*made.end) == pytest.approx(turn(edge.end, angle))
    assert complex(*made.point_at(0.3)) == pytest.approx(turn(edge.point_at(0.3), angle))
    assert made.length == pytest.approx(edge.length)
    if isinstance(edge, Arc) and isinstance(made, Arc):
        assert complex(*made.center) == pytest.approx(turn(edge.center, angle))
        assert made.ccw is edge.ccw


@pytest.mark.parametrize("edge", EDGES)
def test_a_mirror_image_lies_across_the_axis(edge: Line | Arc) -> None:
    for axis in (0.0, 0.6):
        way = complex(math.cos(2 * axis), math.sin(2 * axis))
        made = edge.mirrored(axis)
        for f in (0.0, 0.3, 1.0):
            assert complex(*made.point_at(f)) == pytest.approx(
                way * complex(*edge.point_at(f)).conjugate()
            )
        (back,) = mirrored_run([edge], axis)
        assert back.start == pytest.approx(made.end)
        assert back.point_at(0.3) == pytest.approx(made.point_at(0.7))
    assert edge.mirrored() == edge.mirrored(0.0)
    assert mirrored_run([edge]) == mirrored_run([edge], 0.0)


def test_an_edge_moves_by_both_distances() -> None:
    for edge in EDGES:
        made = edge.moved(0.4, -1.1)
        for f in (0.0, 0.3, 1.0):
            was = edge.point_at(f)
            assert made.point_at(f) == pytest.approx((was.x + 0.4, was.y - 1.1))


def test_a_region_moves_with_its_holes() -> None:
    plate = Region(
        Outline.rectangle(9.0, 4.0, Point(5.0, 2.5)), (Outline.circle(Point(3.0, 2.1), 0.7),)
    )
    for made, centre in (
        (plate.rotated(0.3, ABOUT), turn(Point(3.0, 2.1), 0.3)),
        (plate.moved(-1.3, 0.2), 1.7 + 2.3j),
        (plate.mirrored(), 3.0 - 2.1j),
        (plate.mirrored(math.pi / 4), 2.1 + 3.0j),
    ):
        assert complex(*made.holes[0].centroid) == pytest.approx(centre)
        assert made.area == pytest.approx(36.0 - math.pi * 0.49)
        assert made.outer.ccw
        assert not made.holes[0].ccw
    # Centre of area of the plate less the hole (moments by hand).
    hole = math.pi * 0.49
    x, y = (180.0 - 3.0 * hole) / (36.0 - hole), (90.0 - 2.1 * hole) / (36.0 - hole)
    assert plate.centroid == pytest.approx((x, y))
    assert plate.perimeter == pytest.approx(26.0 + 1.4 * math.pi)


def test_chords_span_at_most_a_quarter_turn() -> None:
    """However coarse: a circle keeps at least its four corners."""
    long = Arc(Point(2.0, 0.0), Point.polar(2.0, -1e-3), ORIGIN, True)
    assert len(long.chords(9.0)) == 4
    assert len(long.chords(1.99)) == 4
    # n = pi / acos(1 - s / r) chords for a whole circle (sagitta formula of any handbook).
    assert len(long.chords(0.01)) == math.ceil((2 * math.pi - 1e-3) / (2 * math.acos(0.995)))
    middle = [(a.plus(b).times(0.5)).length() for a, b in
              zip([long.start, *long.chords(0.01)], long.chords(0.01), strict=False)]  # fmt: skip
    assert 1.99 <= min(middle) < 1.9905


def test_notches_are_drawn_about_the_x_axis() -> None:
    for notch in (
        groove_notch(6.0, 1.2, 0.4),
        round_notch(6.0, 0.3),
        flat_notch(6.0, 5.2),
        flat_notch(1.3, 0.6),
    ):
        assert notch.angle == 0.0
        assert notch.name == "notch"
        assert notch.run[0].start == pytest.approx(notch.run[-1].end.mirrored())


def test_notches_are_taken_in_order_round_the_circle() -> None:
    """Angles below 0 and beyond a turn are the same places."""
    mark = round_notch(6.0, 0.3)
    near = notched_circle(6.0, [at(mark, a, "m") for a in (0.5, 2.0, 4.0, 5.5)])
    far = notched_circle(
        6.0,
        [at(mark, a, "m") for a in (5.5 - 2 * math.pi, 0.5 + 4 * math.pi, 2.0, 4.0 - 2 * math.pi)],
    )
    assert far.area == pytest.approx(near.area, rel=1e-12)
    assert far.points[0] == pytest.approx(near.points[0])
    # They need no room between them unless asked.
    half = mark.half_angle
    assert (
        len(notched_circle(6.0, [at(mark, 1.0, "a"), at(mark, 1.01 + 2 * half, "b")]).segments) == 4
    )


def test_an_arc_across_the_x_axis_takes_a_notch() -> None:
    face = Arc(Point.polar(30.0, 2.9), Point.polar(30.0, 3.6), ORIGIN, True)
    run = arc_with_notch(face, at(groove_notch(30.0, 1.8, 0.7), 3.1, "relief"))
    half = math.asin(0.03)
    assert run[0].length == pytest.approx(30.0 * (0.2 - half))
    assert run[-1].length == pytest.approx(30.0 * (0.5 - half))


def test_the_parallel_of_a_blunt_corner_is_cut_or_rounded_by_its_side() -> None:
    """A regular polygon of 9 turns by 40 degrees: inside, the apothem shrinks by the distance."""
    n, r, d = 9, 7.0, 0.8
    loop = Outline.polygon(
        [(r * math.cos(2 * math.pi * k / n), r * math.sin(2 * math.pi * k / n)) for k in range(n)]
    )
    inside = offset_outline(loop, -d)
    apothem = r * math.cos(math.pi / n) - d
    assert inside.area == pytest.approx(n * apothem**2 * math.tan(math.pi / n))
    assert len(inside.segments) == n
    assert len(offset_outline(loop, d).segments) == 2 * n


def test_neighbours_share_one_point_after_a_transform() -> None:
    """Equal to the last digit: a chain then closes whatever the sines of a machine."""
    turned = [e.rotated(0.77, ABOUT) for e in EDGES]
    for run in (turned, mirrored_run(EDGES, 0.6)):
        assert all(a.end == b.start for a, b in pairwise(run))
