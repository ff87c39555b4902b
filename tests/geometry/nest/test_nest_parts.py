"""Parts of the nesting by themselves: circles round shapes, rows, checks; by closed forms."""

from __future__ import annotations

import math

import pytest

from geometry.errors import GeometryError
from geometry.nest.blank import NestPiece, Placement, check_pieces
from geometry.nest.block import Blocks
from geometry.nest.check import NestFault, verify
from geometry.nest.nofit import NoFit
from geometry.nest.round import row_layouts
from geometry.nest.shape import enclosing_circle, shape_of
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line
from tests.support.nest import box, disc


def segment(sweep: float, ccw: bool) -> Outline:
    """A piece of a disc of radius 19.3 about (4.1, -7.7) between an arc and its chord."""
    centre = Point(4.1, -7.7)
    a, b = (centre.plus(Point.polar(19.3, 0.7 + t)) for t in (0.0, sweep))
    loop = Outline((Arc(a, b, centre, True), Line(b, a)))
    return loop if ccw else loop.reversed()


@pytest.mark.parametrize("ccw", [True, False])
@pytest.mark.parametrize("degrees", [31.0, 97.0, 171.0, 203.0, 289.0, 340.0])
def test_circle_round_a_piece_of_a_disc(degrees: float, ccw: bool) -> None:
    """Up to half a disc it stands on the chord, 2 R sin(a / 2); beyond it is the disc's own."""
    centre, radius = enclosing_circle(segment(math.radians(degrees), ccw))
    half_chord = 19.3 * math.sin(math.radians(degrees) / 2)
    expected = half_chord if degrees < 180 else 19.3
    assert radius == pytest.approx(expected, abs=2e-3)
    assert radius >= expected - 1e-9
    if degrees > 180:
        assert centre.distance(Point(4.1, -7.7)) < 0.05


@pytest.mark.parametrize("side", [(1, 0), (-1, 0), (0, 1), (0, -1)])
def test_a_piece_too_near_to_any_edge_is_caught(side: tuple[int, int]) -> None:
    """A plate of 60 x 40 in a blank of 70 x 51: 5 mm are left at two sides, 5.5 at two."""
    plate = box(60.0, 40.0)
    x0, y0, _, _ = plate.box
    room = 5.0 if side[0] else 5.5
    for off, wrong in ((room - 3.0, False), (room - 2.9, True)):
        laid = Placement("plate", 5.0 - x0 + off * side[0], 5.5 - y0 + off * side[1], 0.0)
        if wrong:
            with pytest.raises(NestFault, match=r"plate on blank 1 is 2\.9"):
                verify([[laid]], {"plate": plate}, (70.0, 51.0), 1.0, 3.0)
        else:
            verify([[laid]], {"plate": plate}, (70.0, 51.0), 1.0, 3.0)


def test_of_a_packing_the_lowest_are_taken() -> None:
    """Eight discs in a square of 5.863 703 3 radii (proven, packing_circles_in_square.csv)."""
    shape, side = shape_of(disc(10.0), None, 0.0), 58.8
    rows = max(map(len, row_layouts(side, side, 20.0)))
    assert rows < 7
    eight = Blocks(NoFit()).lowest(shape, side, side, 8)
    seven = Blocks(NoFit()).lowest(shape, side, side, 7)
    assert (len(eight), len(seven)) == (8, 7)
    (left,) = {(x, y) for _, x, y in eight} - {(x, y) for _, x, y in seven}
    assert left[1] == max(y for _, _, y in eight)


def test_the_smallest_blank_is_a_millimetre_wide() -> None:
    piece = [NestPiece("dot", disc(0.3))]
    for sheet in ((1.0, 90.0), (90.0, 1.0)):
        check_pieces(piece, sheet, 0.0, 0.1)
    for sheet in ((0.99, 90.0), (90.0, 0.99)):
        with pytest.raises(GeometryError, match=r"is 0\.99 mm, must be .* at least 1 mm"):
            check_pieces(piece, sheet, 0.0, 0.1)


@pytest.mark.parametrize("width", [3.7, 3.97, 4.4])
def test_five_in_a_zigzag(width: float) -> None:
    """Neighbours lie (w - d) / 4 along and sqrt(d^2 - (w - d)^2 / 16) across (Pythagoras)."""
    height = 1 + math.sqrt(1 - ((width - 1) / 4) ** 2)
    for high, count in ((height + 1e-6, 5), (height - 1e-6, 4)):
        layouts = row_layouts(width, high, 1.0)
        assert max(map(len, layouts)) == count
        for spots in layouts:
            apart = [math.dist(p, q) for i, p in enumerate(spots) for q in spots[:i]]
            assert min(apart, default=1.0) > 1 - 1e-9
