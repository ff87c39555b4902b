"""Turned bodies with holes along their axis: volume by hand, and by the kernel."""

import math

import pytest

from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point
from geometry.solids import AxialHole, Drilled, Revolved
from geometry.solids.kernel import build

#: A disc with a pocket and a register, as a cover has them.
DISC = Outline.polygon([(0, 21), (2, 21), (2, 23), (10, 23), (10, 50), (8, 50), (8, 60), (0, 60)])
BY_HAND = math.pi * (8 * 60**2 + 2 * 50**2 - 2 * 21**2 - 8 * 23**2)


def test_holes_take_their_cylinders_and_no_more() -> None:
    rim = tuple(AxialHole(Point.polar(55, k * math.pi / 3), 3) for k in range(6))
    inner, blind = AxialHole(Point.polar(36, 0.3), 5), AxialHole(Point.polar(36, 2.0), 4, (6, 10))
    body = Drilled(Revolved(DISC), (*rim, inner, blind))
    taken = math.pi * (6 * 9 * 8 + 25 * 10 + 16 * 4)
    assert body.volume == pytest.approx(BY_HAND - taken, rel=1e-12)
    solid = build(body)
    assert solid.Volume() == pytest.approx(BY_HAND - taken, rel=1e-9)
    assert solid.isValid()


@pytest.mark.parametrize(
    ("hole", "says"),
    [
        (AxialHole(Point(49, 0), 3), "step"),
        (AxialHole(Point(59, 0), 3), "step"),
        (AxialHole(Point(70, 0), 3), "one wall"),
        (AxialHole(Point(36, 0), 3, (9, 12)), "leaves its wall"),
    ],
)
def test_a_hole_that_leaves_its_wall_is_refused(hole: AxialHole, says: str) -> None:
    with pytest.raises(GeometryError, match=says):
        Drilled(Revolved(DISC), (hole,))


def test_holes_may_share_a_place_only_one_behind_the_other() -> None:
    there = Point(36, 0)
    Drilled(Revolved(DISC), (AxialHole(there, 4, (0, 3)), AxialHole(there, 4, (7, 10))))
    with pytest.raises(GeometryError, match="meet"):
        Drilled(Revolved(DISC), (AxialHole(there, 4, (0, 6)), AxialHole(there, 4, (4, 10))))
