"""Polygons from exact shapes: on the arcs, wholly inside, or wholly around; SVG paths too."""

from __future__ import annotations

import math
import re

import pytest
import shapely
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.svgLib.path import parse_path

from geometry import Arc, GeometryError, Line, Outline, Point, Region
from geometry.formats.drawing_svg import number_text, path_data
from geometry.polygon import to_polygon
from tests.support.shape import O, blob, sheet_part, stadium, toothed

SHAPES = [toothed(), stadium(7.3, 1.45), Outline.circle(Point(3.7, -1.9), 2.35), blob(3), blob(11)]
REGIONS = [*sheet_part().cut, Region(blob(5), (Outline.circle(blob(5).centroid, 4.4),))]


@pytest.mark.parametrize("shape", [*SHAPES, *REGIONS])
@pytest.mark.parametrize("sagitta", [0.05, 0.003])
def test_inside_and_outside_hold_the_exact_shape_between_them(
    shape: Outline | Region, sagitta: float
) -> None:
    inside = to_polygon(shape, sagitta, "inside")
    between = to_polygon(shape, sagitta)
    outside = to_polygon(shape, sagitta, "outside")
    assert inside.area < shape.area < outside.area
    assert outside.area - inside.area <= 2 * sagitta * shape.perimeter
    assert between.area == pytest.approx(shape.area, abs=sagitta * shape.perimeter)
    loops = shape.loops if isinstance(shape, Region) else (shape,)
    fine = [shapely.Point(e.point_at(k / 97)) for o in loops for e in o.segments for k in range(97)]
    # 1e-12 is the rounding of points on an arc of 30 mm, not a tolerance.
    assert max(shapely.distance(outside, fine)) < 1e-12
    assert max(shapely.distance(inside.boundary, fine)) <= sagitta + 1e-12
    assert max(shapely.distance(outside.boundary, fine)) <= sagitta + 1e-12
    assert outside.buffer(1e-9).contains(inside)
    shrunk = inside.buffer(-1e-9)
    assert not any(shapely.contains_properly(shrunk, fine))


def test_default_sagitta_is_two_thousandths_and_corners_lie_on_the_arcs() -> None:
    polygon = to_polygon(Outline.circle(O, 40.0))
    assert all(math.hypot(*p) == pytest.approx(40.0, abs=1e-12) for p in polygon.exterior.coords)
    middle = shapely.Point(0.0, 0.0).distance(polygon.exterior)
    assert 0.001 < 40.0 - middle <= 0.002


def test_tangent_polygon_of_a_circle_is_the_one_of_the_closed_form() -> None:
    # n tangents round a circle enclose n r^2 tan(pi / n): any handbook.
    polygon = to_polygon(Outline.circle(O, 9.1), 0.4, "outside")
    corners = {p for p in polygon.exterior.coords if math.hypot(*p) > 9.1 + 1e-9}
    n = len(corners)
    assert polygon.area == pytest.approx(n * 9.1**2 * math.tan(math.pi / n), rel=1e-12)
    assert 9.1 / math.cos(math.pi / n) - 9.1 <= 0.4
    assert 9.1 / math.cos(math.pi / (n - 2)) - 9.1 > 0.4


def test_what_is_no_polygon_is_refused_not_repaired() -> None:
    bow_tie = Outline.polygon([(0.0, 0.0), (7.1, 5.3), (7.1, 0.0), (0.0, 4.9)])
    with pytest.raises(GeometryError, match="Self-intersection"):
        to_polygon(bow_tie)
    with pytest.raises(GeometryError, match="no simple polygon"):
        to_polygon(Region(stadium(5.0, 1.0), (Outline.circle(Point(9.0, 0.0), 0.7),)))
    with pytest.raises(GeometryError, match="positive sagitta"):
        to_polygon(stadium(5.0, 1.0), 0.0)


@pytest.mark.parametrize("shape", [*SHAPES, *REGIONS])
@pytest.mark.parametrize("decimals", [3, 4, 6])
def test_svg_path_read_by_fonttools_has_area_and_box_of_the_shape(
    shape: Outline | Region, decimals: int
) -> None:
    text = path_data(shape, decimals)
    area, bounds = AreaPen(), BoundsPen(None)
    parse_path(text, area)
    parse_path(text, bounds)
    # Its A command becomes cubics; radial error of a quarter turn is 2.7e-4 r.
    rounding = 10.0**-decimals * shape.perimeter
    assert abs(area.value) == pytest.approx(shape.area, rel=6e-4, abs=rounding)
    assert bounds.bounds == pytest.approx(shape.box, abs=0.012 + 10.0**-decimals)


def _middles(text: str) -> list[tuple[float, float]]:
    """Return the middle of every A command, by SVG 1.1 appendix F.6.5, independent of ours."""
    at, found = (0.0, 0.0), []
    for letter, rest in re.findall(r"([MLAZ])([^MLAZ]*)", text):
        numbers = [float(v) for v in rest.split()]
        if letter == "Z":
            continue
        end = (numbers[-2], numbers[-1])
        if letter == "A":
            r, large, sweep = numbers[0], numbers[3], numbers[4]
            dx, dy = (at[0] - end[0]) / 2, (at[1] - end[1]) / 2
            half2 = dx * dx + dy * dy
            root = math.sqrt(max(0.0, (r * r - half2) / half2)) * (-1 if large == sweep else 1)
            cx, cy = root * dy + (at[0] + end[0]) / 2, -root * dx + (at[1] + end[1]) / 2
            first = math.atan2(at[1] - cy, at[0] - cx)
            turn = (math.atan2(end[1] - cy, end[0] - cx) - first) % (2 * math.pi)
            turn = turn if sweep else turn - 2 * math.pi
            found.append((cx + r * math.cos(first + turn / 2), cy + r * math.sin(first + turn / 2)))
        at = end
    return found


@pytest.mark.parametrize(
    "degrees", [-359.9, -300.0, -180.0, -91.0, -5.0, 33.0, 180.0, 271.0, 359.9]
)
def test_svg_arcs_pass_where_the_arc_passes(degrees: float) -> None:
    start = Point(91.3, 0.4)
    arc = Arc(start, start.rotated(math.radians(degrees)), O, degrees > 0)
    middles = _middles(path_data([arc]))
    assert middles
    n = len(middles)
    for k, middle in enumerate(middles):
        assert arc.point_at((2 * k + 1) / (2 * n)).distance(Point(*middle)) < 2e-4


def test_svg_loop_writes_out_a_curved_last_leg() -> None:
    a, b = Point(-2.5, 0.0), Point(2.5, 0.0)
    half = Outline((Line(a, b), Arc(b, a, O, True)))
    assert path_data(half) == "M -2.5 0 L 2.5 0 A 2.5 2.5 0 0 1 0 2.5 A 2.5 2.5 0 0 1 -2.5 0 Z"
    assert path_data(half.reversed()).startswith("M -2.5 0 A 2.5 2.5 0 0 0 0 2.5 A")


def test_svg_run_stays_open_and_lifts_the_pen_over_a_gap() -> None:
    run = sheet_part().reference[0].segments
    assert path_data(run, 1) == "M -41 5 L 36 5 A 6 6 0 0 1 42 11 M 7 -36.5 L 9 -36"
    assert path_data([]) == ""


def test_svg_region_holds_its_holes_in_one_path() -> None:
    text = path_data(sheet_part().cut[0])
    assert text.count("M") == text.count("Z") == 4
    assert "e" not in text


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (-0.00001, 4, "0"),
        (0.0, 4, "0"),
        (-0.4, 0, "0"),
        (1200.0, 0, "1200"),
        (100.0, 4, "100"),
        (-3.14159265, 4, "-3.1416"),
        (1e-7, 9, "0.0000001"),
        (12345678.9, 2, "12345678.9"),
    ],
)
def test_numbers_are_plain(value: float, decimals: int, text: str) -> None:
    assert number_text(value, decimals) == text
