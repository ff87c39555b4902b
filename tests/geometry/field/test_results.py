"""What is read from a solution agrees with itself from several sides."""

import math

import numpy as np
import pytest

from geometry.errors import GeometryError
from geometry.field.results import (
    flux_between,
    flux_density,
    flux_lines,
    linkage,
    potential,
    statistics,
    sweep,
)
from geometry.field.side import make_side
from geometry.field.solve import Solution, couple, solve
from geometry.point import Point
from tests.geometry.field.shapes import INNER, OUTER, STEEL, inner_mesh, machine, outer_mesh

ANGLE = 0.04


@pytest.fixture(scope="module", params=[1, 2])
def found(request: pytest.FixtureRequest) -> Solution:
    pair = machine(12, 14, 2, order=request.param)
    wave = 200 * np.cos(np.arange(6) * 7 * math.pi / 6)
    return solve(pair, ANGLE, {"left": wave, "right": -wave})


def test_potential_at_nodes_and_across_the_gap(found: Solution) -> None:
    for side, x, angle in (
        (found.pair.inner, found.inner, 0.0),
        (found.pair.outer, found.outer, ANGLE),
    ):
        a, nodes = side.at_nodes(x), np.setdiff1d(side.element, side.circle)[::37]
        where = [Point(*side.mesh.nodes[k]).rotated(angle) for k in nodes]
        np.testing.assert_allclose(potential(found, where), a[nodes], atol=1e-5 * np.abs(a).max())
    for radius in (INNER, OUTER):
        near = potential(found, [Point.polar(radius + d, 0.5) for d in (-1e-6, 1e-6)])
        assert near[0] == pytest.approx(near[1], abs=1e-5)


def test_potential_off_the_mesh_is_refused(found: Solution) -> None:
    with pytest.raises(GeometryError, match="no triangle"):
        potential(found, [Point.polar(30.0, math.radians(200))])


def test_flux_through_a_tooth(found: Solution) -> None:
    """A's difference is the integral of B along the way."""
    low, high = Point(32.0, -3.0), Point(32.0, 3.0)
    way = np.linspace(-3, 3, 601)
    a = potential(found, [Point(32.0, y) for y in way])
    ahead = potential(found, [Point(32.001, y) for y in way[1:-1]])
    assert flux_between(found, low, high) == pytest.approx(a[0] - a[-1], rel=1e-12)
    # From right to left of the way upwards is towards the axis, where B_x = dA/dy is negative.
    assert flux_between(found, low, high) == pytest.approx(-np.sum(np.diff(a)), rel=1e-9)
    assert np.isfinite(ahead).all()


def test_statistics_are_those_of_the_points(found: Solution) -> None:
    b, spots, area = flux_density(found, "outer")
    side = found.pair.outer
    figures = statistics(found, "magnet", "outer")
    t = (side.mesh.label == side.mesh.names.index("magnet")) & (side.mesh.cell == 3)
    amount = np.hypot(*np.moveaxis(b[t], 2, 0))
    assert figures.area[3] == pytest.approx(area[t].sum(), rel=1e-12)
    assert figures.mean[3] == pytest.approx((amount * area[t]).sum() / area[t].sum(), rel=1e-12)
    assert figures.rms[3] >= figures.mean[3]
    assert figures.most[3] == amount.max()
    radius = np.hypot(*np.moveaxis(spots[t], 2, 0))
    assert 41.39 < radius.min() < radius.max() < 44.01
    # Magnets look outwards in even cells and inwards in odd ones.
    out = (b[t] * spots[t]).sum(axis=2).mean()
    assert out < 0


def test_flux_lines_keep_their_level(found: Solution) -> None:
    side = found.pair.inner
    a = side.at_nodes(found.inner)
    levels = np.linspace(a.min(), a.max(), 8)[1:-1]
    lines = flux_lines(found, list(levels))
    assert len({level for level, _ in lines}) == len(levels)
    inside = [(v, line) for v, line in lines if len(line) > 8 and np.hypot(*line.T).max() < INNER]
    assert inside
    for level, line in inside[:4]:
        values = potential(found, line[1:-1:5])
        assert np.abs(values - level).max() < 0.02 * np.ptp(a)
        assert np.hypot(*np.diff(line, axis=0).T).max() < 3


def test_linkage_changes_sign_with_everything(found: Solution) -> None:
    """Reversed currents half an electrical turn further give the reversed field."""
    turned = {n: -i for n, i in found.currents.items()}
    other = solve(found.pair, ANGLE + math.pi / 7, turned)
    np.testing.assert_allclose(linkage(other, "left"), -linkage(found, "left"), atol=2e-7)


def test_what_does_not_fit_is_refused(found: Solution) -> None:
    with pytest.raises(GeometryError, match="no region"):
        linkage(found, "yoke")
    with pytest.raises(GeometryError, match="no region"):
        statistics(found, "yoke", "outer")
    with pytest.raises(GeometryError, match="each of its angles"):
        sweep(found.pair, [0.0, 0.1], [None])
    with pytest.raises(GeometryError, match="each of its cells"):
        solve(found.pair, 0.0, {"left": [1.0]})
    with pytest.raises(GeometryError, match="each of its cells"):
        solve(found.pair, 0.0, {"coil": np.ones(6)})
    tooth, pole = inner_mesh(12), outer_mesh(14)
    with pytest.raises(GeometryError, match="no material"):
        make_side(tooth, {"sheet": STEEL["sheet"]}, INNER)
    with pytest.raises(GeometryError, match="sign"):
        make_side(tooth.repeated(12), STEEL, INNER, sign=-1)
    with pytest.raises(GeometryError, match="not an edge"):
        make_side(tooth, STEEL, 30.0)
    with pytest.raises(GeometryError, match="same angle"):
        couple(make_side(tooth, STEEL, INNER), make_side(pole, STEEL, OUTER))
    with pytest.raises(GeometryError, match="smaller"):
        couple(make_side(pole, STEEL, OUTER), make_side(outer_mesh(14, circle=INNER), STEEL, INNER))
