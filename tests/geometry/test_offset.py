import math

import pytest
import shapely

from geometry.errors import GeometryError
from geometry.fillet import offset_outline
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line


def stadium(length: float, radius: float) -> Outline:
    a, b = Point(-length / 2, -radius), Point(length / 2, -radius)
    c, d = Point(length / 2, radius), Point(-length / 2, radius)
    return Outline(
        (
            Line(a, b),
            Arc(b, c, Point(length / 2, 0.0), True),
            Line(c, d),
            Arc(d, a, Point(-length / 2, 0.0), True),
        )
    )


# Steiner's formula for a convex outline: A + P d + pi d^2, P + 2 pi d (outside).
@pytest.mark.parametrize("distance", [0.075, 1.3])
@pytest.mark.parametrize(
    "outline",
    [Outline.rectangle(20.3, 7.1), stadium(9.0, 2.2), Outline.circle(Point(1, 2), 4.4),
     Outline.polygon([(0, 0), (9, 1), (5, 8)])],
)  # fmt: skip
def test_outward_offset_obeys_steiner(outline: Outline, distance: float) -> None:
    grown = offset_outline(outline, distance)
    expected = outline.area + outline.perimeter * distance + math.pi * distance**2
    assert grown.area == pytest.approx(expected, rel=1e-12)
    assert grown.perimeter == pytest.approx(outline.perimeter + 2 * math.pi * distance, rel=1e-12)


def test_inward_offset_of_a_rectangle_and_back_of_a_smooth_outline() -> None:
    small = offset_outline(Outline.rectangle(20.3, 7.1), -0.4)
    assert small.area == pytest.approx(19.5 * 6.3)
    pill = stadium(9.0, 2.2)
    back = offset_outline(offset_outline(pill, 0.7), -0.7)
    assert back.area == pytest.approx(pill.area, rel=1e-12)
    assert len(back.segments) == 4


def test_a_clockwise_loop_grows_outwards_too() -> None:
    box = Outline.rectangle(5.0, 3.0).reversed()
    grown = offset_outline(box, 0.2)
    assert not grown.ccw
    assert grown.area > box.area


def test_offset_agrees_with_an_independent_buffer() -> None:
    # GEOS buffers with chords: compare within the chord loss of 256 chords a quarter turn.
    corners = [(0, 0), (12, 0), (12, 5), (7, 5), (7, 9), (0, 9)]
    exact = offset_outline(Outline.polygon(corners), 0.6)
    chords = shapely.Polygon(corners).buffer(0.6, quad_segs=256)
    assert exact.area == pytest.approx(chords.area, rel=1e-5)
    inner = offset_outline(Outline.polygon(corners), -0.6)
    assert inner.area == pytest.approx(
        shapely.Polygon(corners).buffer(-0.6, quad_segs=256).area, rel=1e-7
    )


def test_what_would_vanish_is_refused() -> None:
    with pytest.raises(GeometryError, match="vanish") as caught:
        offset_outline(stadium(9.0, 2.2), -2.3)
    assert caught.value.limit == pytest.approx(2.2)
    with pytest.raises(GeometryError):
        offset_outline(Outline.rectangle(5.0, 1.0), -0.6)


def test_zero_changes_nothing() -> None:
    loop = Outline.circle(ORIGIN, 3.0)
    assert offset_outline(loop, 0.0) is loop
