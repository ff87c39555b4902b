"""The quick yes about rounds against the slow look, edge by edge."""

from __future__ import annotations

import itertools

import pytest

from geometry.errors import GeometryError
from geometry.fillet import round_corners
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Line
from geometry.solid import rounded
from geometry.solid.body import Extruded
from geometry.solid.quick_round import surely_fits
from geometry.solid.rounded import Course, Round, Rounded
from tests.support.rounds import NECK, plate

SAGITTA = 0.01


PLATE = Extruded(
    Region(plate(21.7, 13.1, 2.3, 3.1, 2.9, 2.2), (Outline.circle(Point(6.2, 0.3), 2.1),)), 3.3
)
WHEEL = Extruded(Region(NECK), 4.1)
LOOP = len(PLATE.region.outer.segments)


def quick(base: Extruded, *rounds: Round) -> bool:
    return surely_fits(base, Course(base.region.outer.segments, rounds), SAGITTA)


@pytest.mark.parametrize(
    ("base", "round_"),
    [
        (PLATE, Round(0, LOOP, 1.7)),
        (PLATE, Round(0, LOOP, 2.199)),
        (PLATE, Round(1, 3, 1.9)),
        (WHEEL, Round(0, 3, 1.3)),
        (WHEEL, Round(0, 3, 3.9)),
    ],
)
def test_a_quick_yes_is_the_slow_one(base: Extruded, round_: Round) -> None:
    assert quick(base, round_)
    course = Course(base.region.outer.segments, (round_,))
    rounded._check_runs(course)
    assert rounded._misfit(base, course) is None


@pytest.mark.parametrize(
    ("base", "round_", "words"),
    [
        (PLATE, Round(0, LOOP, 2.4), "a corner in plan has 2.3 mm"),
        (PLATE, Round(0, LOOP, 1.1), "exactly twice the radius"),  # of the corner of 2.2
        (PLATE, Round(0, LOOP, 3.5), "3.3 mm high"),
        (Extruded(PLATE.region, 1.2), Round(1, 3, 1.5), "1.2 mm high"),
        (WHEEL, Round(0, 4, 1.3), "a corner that stands out"),
        (WHEEL, Round(3, 2, 1.3), "a corner in the run"),
        (WHEEL, Round(0, 3, -1.3), "positive radius"),
        (WHEEL, Round(0, 0, 1.3), "only once"),
        (WHEEL, Round(0, 8, 1.3), "only once"),
        (Extruded(Region(NECK), 40.0), Round(0, 1, 5.3), "a corner in plan has 5.3 mm"),
    ],
)
def test_what_the_slow_look_refuses_has_no_quick_yes(
    base: Extruded, round_: Round, words: str
) -> None:
    assert not quick(base, round_)
    with pytest.raises(GeometryError, match=words):
        Rounded(base, (round_,))


def test_a_top_that_meets_its_other_side_or_a_hole_has_no_quick_yes() -> None:
    spots = [(6, 0), (13.3, 0), (13.3, 3.7), (4.1, 3.7), (4.1, 9.9), (0, 9.9), (0, 0), (6, 0)]
    run = [Line(Point(*a), Point(*b)) for a, b in itertools.pairwise(spots)]
    # the flank of the upright, which is 4.1 wide, is moved towards the far side
    ell = Extruded(Region(Outline(tuple(round_corners(run, {3: 1.7})))), 9.0)
    assert quick(ell, Round(3, 1, 4.05))
    assert not quick(ell, Round(3, 1, 4.15))
    near = Extruded(
        Region(plate(21.7, 13.1, 3.1, 3.1, 3.1, 3.1), (Outline.circle(Point(8.1, 0), 1.4),)), 3.3
    )
    assert near.region.box[2] == pytest.approx(10.85)  # 1.35 mm are left beside the hole
    assert quick(near, Round(0, LOOP, 1.3))
    assert not quick(near, Round(0, LOOP, 1.4))
