"""Where the narrowest width lies, and what is none: closed forms of bars, rings and discs."""

from __future__ import annotations

import math

import pytest

from geometry import Arc, Line, Outline, Point, Region
from geometry.inspection.minimum_feature import widths

TURN, SHIFT = 0.61, Point(17.3, -41.9)


def _askew(*loops: Outline) -> list[Outline]:
    """Loops turned and moved, material on the left."""
    region = Region(loops[0], loops[1:]).rotated(TURN).moved(*SHIFT)
    return [region.outer, *region.holes]


def _back(spot: Point) -> Point:
    return spot.minus(SHIFT).rotated(-TURN)


@pytest.mark.parametrize("lean", [0.0, 20.0, -33.0, 47.0])
def test_parallel_sides_are_measured_in_the_middle_of_what_faces(lean: float) -> None:
    """A bar 60 by 2.7 whose upper side is shifted: both sides face each other over 60 - |lean|."""
    bar = Outline.polygon([(0, 0), (60, 0), (60 + lean, 2.7), (lean, 2.7)])
    found = widths(_askew(bar))[0]
    assert (found.kind, found.size) == ("web", pytest.approx(2.7, abs=1e-9))
    middle = (max(0.0, lean) + min(60.0, 60.0 + lean)) / 2
    assert _back(found.where).distance(Point(middle, 1.35)) < 1e-6


def test_a_slot_is_measured_in_its_middle_too() -> None:
    window = Outline.rectangle(40.0, 3.1, Point(4.3, 2.9)).oriented(False)
    frame = Outline.rectangle(90.0, 70.0)
    found = next(w for w in widths(_askew(frame, window)) if w.kind == "slot")
    assert found.size == pytest.approx(3.1, abs=1e-9)
    assert _back(found.where).distance(Point(4.3, 2.9)) < 1e-6


def test_a_wall_between_two_arcs_of_one_centre_is_measured_in_its_middle() -> None:
    """A piece of a ring, 21.3 to 23.9 mm, from 10 to 94 degrees: the middle lies at 52 degrees."""
    o = Point(0.0, 0.0)
    low, high = math.radians(10), math.radians(94)
    a, b, c, d = (Point.polar(r, t) for r, t in ((23.9, low), (23.9, high), (21.3, high), (21.3, low)))  # fmt: skip
    piece = Outline((Arc(a, b, o, True), Line(b, c), Arc(c, d, o, False), Line(d, a)))
    found = widths(_askew(piece))[0]
    assert (found.kind, found.size) == ("web", pytest.approx(2.6, abs=1e-9))
    assert _back(found.where).distance(Point.polar(22.6, math.radians(52))) < 1e-6


def test_a_round_hole_is_no_slot_and_a_disc_is_one_web() -> None:
    hole = Outline.circle(Point(3.3, -2.1), 2.9)
    plate = widths(_askew(Outline.rectangle(90.0, 70.0), hole), below=8.0)
    assert [w for w in plate if w.kind == "slot"] == []
    disc = widths(_askew(Outline.circle(Point(0.0, 0.0), 3.7)), below=9.0)
    assert [(w.kind, w.size) for w in disc] == [("web", pytest.approx(7.4))]


@pytest.mark.parametrize("lean", [0.0, 3.7, -11.0])
def test_a_thorn_that_points_at_a_wall_ends_a_slot(lean: float) -> None:
    """Its tip stands 1.3 mm off the wall, straight or leaning; the place is half way between."""
    thorn = [(-6.0, 20.0), (lean, 1.3), (6.0, 20.0)]
    shape = Outline.polygon(
        [(-40, -9), (40, -9), (40, 30), (-40, 30), (-40, 20), *thorn, (37, 20), (37, 0), (-40, 0)]
    )
    found = next(w for w in widths(_askew(shape)) if w.kind == "slot")
    assert found.size == pytest.approx(1.3, abs=1e-9)
    assert _back(found.where).distance(Point(lean, 0.65)) < 1e-6
