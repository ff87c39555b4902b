"""The core types against closed forms, printed figures and fine polygons of another library."""

from __future__ import annotations

import dataclasses
import itertools
import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geometry import Arc, GeometryError, Line, Outline, Point, Region
from geometry.formats.dxf_read import edge_from_bulge
from tests.support.shape import O, blob, stadium, toothed

# Bulge = tangent of a quarter of the included angle (Autodesk DXF Reference, LWPOLYLINE, group
# code 42); radius, sagitta, length and segment area from the circle formulas of any handbook,
# r = u (b^2 + 1) / (4 b), sagitta = b u / 2, for a chord u = 10. Six printed decimals.
BULGES = [
    # bulge, included angle deg, radius, sagitta, arc length, area of the segment
    (1.0, 180.0, 5.0, 5.0, 15.707963, 39.269908),
    (0.5, 106.260205, 6.25, 2.5, 11.591190, 17.472469),
    (math.sqrt(2) - 1, 90.0, 7.071068, 2.071068, 11.107207, 14.269908),
    (0.1, None, 25.25, 0.5, None, 3.339991),
]
ANGLE = st.floats(-6.2, 6.2).filter(lambda a: abs(a) > 0.01)


def test_wheel_circle_and_slot_have_the_area_of_the_closed_form() -> None:
    circle, slot = Outline.circle(Point(3.7, -1.9), 2.35), stadium(7.3, 1.45)
    assert circle.area == pytest.approx(math.pi * 2.35**2, rel=1e-14)
    assert circle.perimeter == pytest.approx(2 * math.pi * 2.35, rel=1e-14)
    assert circle.centroid == pytest.approx((3.7, -1.9), abs=1e-14)
    assert circle.box == pytest.approx((1.35, -4.25, 6.05, 0.45), abs=1e-14)
    assert slot.area == pytest.approx(7.3 * 2.9 + math.pi * 1.45**2, rel=1e-14)
    assert slot.perimeter == pytest.approx(14.6 + 2 * math.pi * 1.45, rel=1e-14)
    assert slot.box == pytest.approx((-5.1, -1.45, 5.1, 1.45), abs=1e-14)


def test_half_disc_has_its_centroid_where_handbooks_put_it() -> None:
    # 4 r / (3 pi) above the diameter, area pi r^2 / 2: any handbook of plane figures.
    a, b = Point(8.2, 1.0), Point(1.4, 1.0)
    half = Outline((Arc(a, b, Point(4.8, 1.0), True), Line(b, a)))
    assert half.area == pytest.approx(math.pi * 3.4**2 / 2, rel=1e-14)
    assert half.centroid == pytest.approx((4.8, 1.0 + 4 * 3.4 / (3 * math.pi)), abs=1e-13)


@pytest.mark.parametrize("degrees", [17.0, 90.0, 143.0, 180.0, 251.0, 344.0])
def test_sector_has_area_centroid_and_perimeter_of_the_closed_form(degrees: float) -> None:
    r, s = 6.7, math.radians(degrees)
    a, b = Point.polar(r, -s / 2), Point.polar(r, s / 2)
    sector = Outline((Line(O, a), Arc(a, b, O, True), Line(b, O)))
    assert sector.area == pytest.approx(r * r * s / 2, rel=1e-13)
    assert sector.perimeter == pytest.approx(2 * r + r * s, rel=1e-14)
    assert sector.centroid == pytest.approx((4 * r * math.sin(s / 2) / (3 * s), 0.0), abs=1e-12)


@pytest.mark.parametrize(("bulge", "degrees", "radius", "sagitta", "length", "area"), BULGES)
@pytest.mark.parametrize("sign", [1, -1])
def test_bulge_gives_the_arc_of_the_dxf_reference(
    sign: int,
    bulge: float,
    degrees: float | None,
    radius: float,
    sagitta: float,
    length: float | None,
    area: float,
) -> None:
    start, end = Point(2.0, 3.0), Point(8.0, 11.0)  # a chord of 10
    arc = edge_from_bulge(start, end, sign * bulge)
    assert isinstance(arc, Arc)
    if degrees is not None:
        assert math.degrees(arc.sweep) == pytest.approx(sign * degrees, abs=5e-7)
    assert arc.bulge == pytest.approx(sign * bulge, rel=1e-14)
    assert arc.radius == pytest.approx(radius, abs=5e-7)
    assert arc.ccw is (sign > 0)
    # A positive bulge runs counter-clockwise, so it lies to the right of the chord.
    right = end.minus(start).unit().left().times(-1)
    middle = arc.point_at(0.5).minus(start.plus(end).times(0.5))
    assert middle.dot(right) == pytest.approx(sign * sagitta, abs=5e-7)
    if length is not None:
        assert arc.length == pytest.approx(length, abs=5e-7)
    segment = Outline((arc, Line(end, start)))
    assert segment.signed_area == pytest.approx(sign * area, abs=5e-7)


@given(ANGLE, st.floats(0.07, 412.0), st.floats(-3.1, 3.1))
def test_arc_to_bulge_to_arc_is_the_same_arc(sweep: float, radius: float, turn: float) -> None:
    center = Point(17.3, -41.9)
    start = center.plus(Point.polar(radius, turn))
    arc = Arc(start, start.rotated(sweep, center), center, sweep > 0)
    assert arc.sweep == pytest.approx(sweep, abs=1e-9)
    assert arc.length == pytest.approx(abs(sweep) * radius, rel=1e-8)
    back = edge_from_bulge(arc.start, arc.end, arc.bulge)
    assert back.point_at(0.5).distance(arc.point_at(0.5)) < 1e-9 * max(1.0, radius)
    if abs(sweep) < math.pi:
        assert isinstance(back, Arc) or radius * sweep**2 / 8 < 2e-6
    if isinstance(back, Arc):
        assert back.ccw is arc.ccw


@given(ANGLE, st.floats(-3.1, 3.1))
def test_box_of_an_arc_holds_it_tightly(sweep: float, turn: float) -> None:
    center = Point(-2.1, 5.3)
    start = center.plus(Point.polar(3.9, turn))
    arc = Arc(start, start.rotated(sweep, center), center, sweep > 0)
    spots = [arc.point_at(k / 4000) for k in range(4001)]
    x0, y0, x1, y1 = arc.box()
    seen = (
        min(p.x for p in spots),
        min(p.y for p in spots),
        max(p.x for p in spots),
        max(p.y for p in spots),
    )
    assert x0 <= seen[0] + 1e-12
    assert y0 <= seen[1] + 1e-12
    assert x1 >= seen[2] - 1e-12
    assert y1 >= seen[3] - 1e-12
    assert (x0, y0, x1, y1) == pytest.approx(seen, abs=2e-5)  # 3.9 (6.2 / 4000 / 2)^2 / 2


@pytest.mark.parametrize("seed", range(25))
def test_seeded_outline_agrees_with_a_fine_polygon_of_shapely(seed: int) -> None:
    outline = blob(seed)
    sagitta = 1e-6
    other = shapely.Polygon(outline.chords(sagitta))
    assert other.is_valid
    assert outline.area == pytest.approx(other.area, abs=sagitta * outline.perimeter)
    assert outline.perimeter == pytest.approx(other.exterior.length, abs=1e-4)
    assert outline.perimeter >= other.exterior.length - 1e-9
    assert outline.centroid == pytest.approx(other.centroid.coords[0], abs=3e-6)
    assert outline.box == pytest.approx(other.bounds, abs=2e-6)
    assert outline.ccw is True


@pytest.mark.parametrize("seed", range(6))
def test_transforms_keep_what_they_should(seed: int) -> None:
    outline = blob(seed)
    about = Point(-7.7, 3.1)
    turned, moved = outline.rotated(0.913, about), outline.moved(31.7, -12.9)
    mirrored, reversed_ = outline.mirrored(0.41), outline.reversed()
    for other in (turned, moved, mirrored, reversed_):
        assert other.area == pytest.approx(outline.area, rel=1e-12)
        assert other.perimeter == pytest.approx(outline.perimeter, rel=1e-13)
    assert turned.centroid == pytest.approx(outline.centroid.rotated(0.913, about), abs=1e-9)
    assert moved.centroid == pytest.approx(outline.centroid.plus(Point(31.7, -12.9)), abs=1e-9)
    assert mirrored.centroid == pytest.approx(outline.centroid.mirrored(0.41), abs=1e-9)
    assert mirrored.ccw is outline.ccw
    assert reversed_.signed_area == pytest.approx(-outline.signed_area, rel=1e-13)
    assert reversed_.centroid == pytest.approx(outline.centroid, abs=1e-9)
    assert reversed_.reversed() == outline
    assert outline.oriented(False).ccw is False
    assert outline.oriented(True) is outline


def test_wheel_turned_by_its_pitch_lies_on_itself() -> None:
    wheel = toothed(7)
    turned = wheel.rotated(2 * math.pi / 7)
    for p in turned.points:
        assert min(p.distance(q) for q in wheel.points) < 1e-12
    assert wheel.centroid == pytest.approx((0.0, 0.0), abs=1e-12)


@given(st.floats(0.0, 1.0), ANGLE)
def test_direction_is_the_derivative_of_the_place(fraction: float, sweep: float) -> None:
    start = Point.polar(5.9, 0.3)
    for edge in (
        Arc(start, start.rotated(sweep), O, sweep > 0),
        Line(start, Point(-3.3, 8.7)),
    ):
        f = min(max(fraction, 1e-5), 1 - 1e-5)
        step = edge.point_at(f + 1e-6).minus(edge.point_at(f - 1e-6)).unit()
        assert edge.direction(f) == pytest.approx(step, abs=1e-6)


@pytest.mark.parametrize("sagitta", [0.3, 0.02, 0.0007])
@pytest.mark.parametrize("degrees", [-301.0, -44.0, 12.0, 180.0, 359.0])
def test_chords_stray_no_more_than_their_sagitta(degrees: float, sagitta: float) -> None:
    start = Point(12.9, 0.0)
    arc = Arc(start, start.rotated(math.radians(degrees)), O, degrees > 0)
    spots = [start, *arc.chords(sagitta)]
    assert spots[-1] is arc.end
    nearest = min((a.plus(b).times(0.5)).length() for a, b in itertools.pairwise(spots))
    assert 12.9 - sagitta <= nearest + 1e-12
    assert all(p.length() == pytest.approx(12.9, abs=1e-12) for p in spots)


def test_region_is_outer_less_holes_with_material_on_the_left() -> None:
    outer, hole = toothed().oriented(False), Outline.circle(Point(0.6, -0.4), 11.3)
    region = Region(outer, (hole,))
    assert region.outer.ccw is True
    assert region.holes[0].ccw is False
    assert region.loops == (region.holes[0], region.outer)
    assert region.area == pytest.approx(outer.area - math.pi * 11.3**2, rel=1e-13)
    assert region.perimeter == pytest.approx(outer.perimeter + 2 * math.pi * 11.3, rel=1e-13)
    polygon = shapely.Polygon(outer.chords(1e-6), [hole.chords(1e-6)])
    assert region.centroid == pytest.approx(polygon.centroid.coords[0], abs=1e-6)
    assert region.mirrored().area == pytest.approx(region.area, rel=1e-12)
    assert region.moved(2.0, 3.0).rotated(1.0).area == pytest.approx(region.area, rel=1e-12)


def test_only_a_whole_circle_is_one() -> None:
    assert Outline.circle(Point(1.2, 3.4), 5.6).as_circle() == (Point(1.2, 3.4), 5.6)
    center, radius = Outline.circle(Point(1.2, 3.4), 5.6).rotated(0.7).as_circle() or (O, 0.0)
    assert radius == pytest.approx(5.6, abs=1e-13)
    assert center == Point(1.2, 3.4).rotated(0.7)
    assert stadium(3.0, 1.1).as_circle() is None
    a, b = Point(3.0, 0.0), Point(-3.0, 0.0)
    there_and_back = Outline((Arc(a, b, O, True), Arc(b, a, O, False)))
    assert there_and_back.as_circle() is None


def test_values_are_frozen() -> None:
    circle = Outline.circle(O, 2.0)
    with pytest.raises(dataclasses.FrozenInstanceError):
        circle.segments = ()  # type: ignore[misc]
    with pytest.raises(AttributeError):
        circle.segments[0].center = Point(9.0, 9.0)  # type: ignore[misc, union-attr]


def test_what_cannot_be_is_refused_with_its_place() -> None:
    a, b, c = Point(0.0, 0.0), Point(5.1, 0.0), Point(2.2, 3.3)
    with pytest.raises(GeometryError, match=r"gap of 0\.5 mm at \(5\.600, 0\.000\)") as gap:
        Outline((Line(a, b), Line(Point(5.6, 0.0), c), Line(c, a)))
    assert gap.value.where == (5.6, 0.0)
    with pytest.raises(GeometryError, match="different distances") as uneven:
        Arc(b, c, Point(0.1, 0.0), True)
    assert uneven.value.value == pytest.approx(5.0)
    with pytest.raises(GeometryError, match="two different, finite ends"):
        Line(a, a)
    with pytest.raises(GeometryError, match="two different, finite ends"):
        Line(a, Point(math.nan, 1.0))
    with pytest.raises(GeometryError, match="at least two edges"):
        Outline((Line(a, b),))
    with pytest.raises(GeometryError, match="positive radius"):
        Outline.circle(a, -1.0)
