"""Regions above a level: whole at level 0, nested, and those of the points of integration."""

import itertools

import numpy as np
import pytest
import shapely

from geometry.errors import GeometryError
from geometry.field.bands import bands
from geometry.field.results import flux_density
from geometry.field.solve import Solution, solve
from tests.geometry.field.shapes import machine


@pytest.fixture(scope="module")
def found() -> Solution:
    wave = 200 * np.cos(np.arange(6) * 7 * np.pi / 6)
    return solve(machine(12, 14, 2), 0.04, {"left": wave, "right": -wave})


def region(loops: tuple[np.ndarray, ...]) -> shapely.Geometry:
    """Even-odd, as they are painted."""
    whole: shapely.Geometry = shapely.Polygon()
    for loop in loops:
        whole = whole.symmetric_difference(shapely.Polygon(loop))
    return whole


@pytest.mark.parametrize("label", ["sheet", "magnet"])
def test_at_level_0_it_is_the_material_itself(found: Solution, label: str) -> None:
    which = "outer" if label == "magnet" else "inner"
    side = found.pair.outer if label == "magnet" else found.pair.inner
    mine = side.mesh.label == side.mesh.names.index(label)
    (loops,) = bands(found, which, label, [0.0])  # type: ignore[arg-type]
    assert region(loops).area == pytest.approx(1e6 * side.weight[mine].sum(), rel=2e-3)


def test_areas_above_levels_are_those_of_the_points(found: Solution) -> None:
    """Half the share doubles the density; what is above is counted at the points of integration."""
    levels = [0.4, 0.8, 1.2, 1.6]
    side = found.pair.inner
    b, _, area = flux_density(found, "inner")
    mine = side.mesh.label == side.mesh.names.index("sheet")
    amount, weight = np.hypot(*np.moveaxis(b[mine], 2, 0)), area[mine]
    regions = [region(loops) for loops in bands(found, "inner", "sheet", levels, tolerance=0.002)]
    halved = bands(found, "inner", "sheet", [2 * x for x in levels], share=0.5, tolerance=0.002)
    for level, shape, same in zip(levels, regions, halved, strict=True):
        counted = weight[amount >= level].sum()
        assert shape.area == pytest.approx(counted, abs=0.02 * weight.sum())
        assert region(same).area == pytest.approx(shape.area)
    for outer, inner in itertools.pairwise(regions):
        assert inner.difference(outer.buffer(0.01)).area == 0
    assert regions[0].area > regions[-1].area > 0


def test_an_unknown_region_is_refused(found: Solution) -> None:
    with pytest.raises(GeometryError, match="wood"):
        bands(found, "inner", "wood", [1.0])
