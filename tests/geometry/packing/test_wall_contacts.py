"""Which walls and corners a circle feels, by plain walks."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely import box

from geometry.packing.region import Floats, Region
from tests.support.packing import COMB, HOLED, L_SHAPE, STAR

SHAPES = {"L": L_SHAPE, "hole": HOLED, "star": STAR, "comb": COMB}
DRIFT = 0.23


def inside(region: Region, count: int) -> Floats:
    dice = np.random.default_rng(11)
    spots = dice.uniform(*np.array(region.polygon.bounds).reshape(2, 2), (40 * count, 2))
    return spots[region.clearance(spots) > 0.01][:count]


@pytest.mark.parametrize("name", SHAPES)
def test_corners_that_jut_in_are_felt_within_reach(name: str) -> None:
    """All pairs by plain distances: half a diameter and the drift, no pair twice."""
    region = Region(SHAPES[name], 1.3)
    points = inside(region, 400)
    found = region.contacts(points, DRIFT)
    near = [
        (i, int(c))
        for i, p in enumerate(points)
        for c in np.flatnonzero(region.reflex)
        if math.dist(p, region.start[c]) <= 0.5 + DRIFT
    ]
    assert list(zip(found.corner_circle.tolist(), found.corner.tolist(), strict=True)) == near
    assert len(near) >= 10


@pytest.mark.parametrize("name", SHAPES)
def test_walls_that_are_felt_are_near_and_in_sight(name: str) -> None:
    """Every wall in sight whose nearest point is within reach; none far off or from behind.

    In sight: the line to the nearest point of the wall crosses no other (shapely).
    """
    region = Region(SHAPES[name], 1.3)
    points = inside(region, 250)
    found = region.contacts(points, DRIFT)
    felt = set(zip(found.circle.tolist(), found.wall.tolist(), strict=True))
    assert len(felt) == len(found.wall)
    shrunk = region.polygon.buffer(1e-9)
    for i, p in enumerate(points):
        for e, (start, along) in enumerate(zip(region.start, region.along, strict=True)):
            t = float((p - start) @ along)
            height = float((p - start) @ region.inward[e])
            foot = start + np.clip(t, 0.0, region.length[e]) * along
            if (i, e) in felt:
                assert 0.0 < height < 0.5 + DRIFT
                assert math.dist(p, foot) < math.hypot(0.5 + DRIFT, 0.5)
            elif 0.0 < t < region.length[e] and 0.0 < height < 0.5 + DRIFT - 1e-9:
                assert not shapely.covers(shrunk, shapely.LineString([p, foot]))


def test_behind_a_thin_slit_the_wall_on_its_other_side_is_not_felt() -> None:
    """0.3 right of the slit and 0.3 below the top: the slit's side and the top wall right of it.

    The top wall left of the slit ends 0.4 away; its straight continuation runs above the circle.
    """
    region = Region(box(0, 0, 9, 5) - box(4, 2, 4.1, 5), 1.0)
    spot = np.array([[4.4, 4.7]]) - region.origin
    found = region.contacts(spot, DRIFT)
    felt = [sorted(region.to_units(region.start[[e, region.following[e]]]).round(9).tolist())
            for e in found.wall]  # fmt: skip
    assert sorted(felt) == [[[4.1, 2.0], [4.1, 5.0]], [[4.1, 5.0], [9.0, 5.0]]]
    mirrored = region.contacts(np.array([[3.7, 4.7]]) - region.origin, DRIFT)
    assert len(mirrored.wall) == 2
