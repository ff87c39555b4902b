"""The same machine with its gap meshed by gmsh, solved by scikit-fem alone: loaded, saturated.

Nothing of the annulus, the sector or the solver takes part: one mesh of the whole circle, plain
forms, plain Newton steps, and the torque by the mean of Maxwell's stress over the gap (Arkkio,
"Analysis of induction motors based on the numerical solution of the magnetic field and circuit
equations", Acta Polytechnica Scandinavica El 59, 1987).
"""

import math

import gmsh
import numpy as np
import pytest
from skfem import Basis, BilinearForm, ElementTriP2, LinearForm, MeshTri, MeshTri2, condense
from skfem import solve as solve_linear

from geometry.field.materials import MU0, Curve, Linear, Magnet
from geometry.field.mesh import Mesh
from geometry.field.results import linkage
from geometry.field.solve import Pair, solve
from tests.geometry.field.shapes import STEEL, machine

ANGLE, CIRCLES = 0.21, (40.8, 41.1)


def gap_triangles(
    inner: np.ndarray, outer: np.ndarray, length: float
) -> tuple[np.ndarray, np.ndarray]:
    """Points (mm) and corners of triangles between two closed polygons, whose sides are kept."""
    gmsh.initialize(interruptible=False)
    gmsh.option.setNumber("General.Terminal", 0)
    try:
        loops, places = [], []
        for polygon in (inner, outer):
            points = [gmsh.model.geo.addPoint(x, y, 0, length) for x, y in polygon]
            lines = [
                gmsh.model.geo.addLine(a, b)
                for a, b in zip(points, points[1:] + points[:1], strict=True)
            ]
            for line in lines:
                gmsh.model.geo.mesh.setTransfiniteCurve(line, 2)
            loops.append(gmsh.model.geo.addCurveLoop(lines))
            places.extend(polygon)
        gmsh.model.geo.addPlaneSurface([loops[1], loops[0]])
        gmsh.model.geo.synchronize()
        gmsh.model.mesh.generate(2)
        tags, coordinates, _ = gmsh.model.mesh.getNodes()
        _, _, nodes = gmsh.model.mesh.getElements(2)
        points = coordinates.reshape(-1, 3)[:, :2]
        number = np.zeros(int(tags.max()) + 1, int)
        number[tags.astype(int)] = np.arange(len(tags))
        return points, number[nodes[0].astype(int)].reshape(-1, 3)
    finally:
        gmsh.finalize()


def turned(mesh: Mesh, angle: float) -> np.ndarray:
    c, s = math.cos(angle), math.sin(angle)
    return mesh.nodes @ np.array([[c, s], [-s, c]])


def whole_mesh(pair: Pair, angle: float) -> tuple[MeshTri2, np.ndarray]:
    """One mesh in mm of both sides and the gap, and where the triangles of each begin."""
    one, two = pair.inner.mesh, pair.outer.mesh
    nodes = np.concatenate([one.nodes, turned(two, angle)])
    sides = np.concatenate([one.triangles, two.triangles + len(one.nodes)])
    rims = [pair.inner.circle[::2], pair.outer.circle[::2] + len(one.nodes)]
    points, gap = gap_triangles(nodes[rims[0]], nodes[rims[1]], 0.3)
    known = np.concatenate(rims)
    away = np.hypot(*(points[:, None, :] - nodes[known]).transpose(2, 0, 1))
    number = np.where(away.min(axis=1) < 1e-6, known[away.argmin(axis=1)], -1)
    free = np.flatnonzero(number < 0)
    number[free] = len(nodes) + np.arange(len(free))
    every = np.concatenate([nodes, points[free]])
    corners = np.concatenate([sides[:, :3], number[gap]])
    used, where = np.unique(corners, return_inverse=True)
    flat = MeshTri(
        np.ascontiguousarray(every[used].T),
        np.ascontiguousarray(where.reshape(-1, 3).T),
        sort_t=False,
    )
    mesh = MeshTri2.from_mesh(flat)
    # The gap's triangles first, so that the sides' own middles, bent on arcs, come after.
    numbers = mesh.dofs.element_dofs.T
    t = len(sides)
    straight = flat.p[:, flat.t]
    for k, (a, b) in enumerate(((0, 1), (1, 2), (2, 0))):
        mesh.doflocs[:, numbers[t:, 3 + k]] = (straight[:, a, t:] + straight[:, b, t:]) / 2
    mesh.doflocs[:, numbers[:t]] = every[sides].transpose(2, 0, 1)
    return mesh, np.array([0, len(one.triangles), t, len(corners)])


def referee(pair: Pair, angle: float, currents: dict[str, np.ndarray]) -> tuple[np.ndarray, float]:
    """Mean of A in the copies of "left" (Wb/m) and torque on the outer side (N m/m)."""
    mesh, starts = whole_mesh(pair, angle)
    mesh = mesh.scaled(1e-3)
    basis = Basis(mesh, ElementTriP2(), intorder=4)
    points = np.asarray(basis.global_coordinates())
    shape = basis.dx.shape
    nu, current = np.full(shape, 1 / MU0), np.zeros(shape)
    remanence, curves, left = np.zeros((2, *shape)), [], []
    for side, first, turn in ((pair.inner, starts[0], 0.0), (pair.outer, starts[1], angle)):
        own = side.mesh
        for k, name in enumerate(own.names):
            for cell in range(own.cells):
                t = first + np.flatnonzero((own.label == k) & (own.cell == cell))
                material = STEEL[name]
                if isinstance(material, Curve):
                    curves.append((material, t))
                elif isinstance(material, Magnet):
                    axis = turn + cell * 2 * math.pi / own.cells
                    strength = material.remanence * (-1) ** cell / (MU0 * material.mu_r)
                    remanence[:, t] = (
                        strength * np.array([math.cos(axis), math.sin(axis)])[:, None, None]
                    )
                    nu[t] = 1 / (MU0 * material.mu_r)
                else:
                    assert isinstance(material, Linear)
                if name in currents:
                    current[t] = currents[name][cell] / basis.dx[t].sum()
                if name == "left":
                    left.append(t)

    @BilinearForm
    def tangent(u, v, w):  # type: ignore[no-untyped-def]
        a, b = u.grad, v.grad
        along = (a[0] * w.b[0] + a[1] * w.b[1]) * (b[0] * w.b[0] + b[1] * w.b[1])
        return w.nu * (a[0] * b[0] + a[1] * b[1]) + w.growth * along

    @LinearForm
    def residual(v, w):  # type: ignore[no-untyped-def]
        g = v.grad
        pull = (w.nu * w.b[0] + w.br[1]) * g[0] + (w.nu * w.b[1] - w.br[0]) * g[1]
        return pull - w.current * v

    x = np.zeros(basis.N)
    away = np.hypot(*basis.doflocs)
    edge = np.flatnonzero((away < away.min() * 1.0001) | (away > away.max() * 0.9999))
    for _ in range(40):
        grad = basis.interpolate(x).grad
        amount = np.maximum(np.hypot(grad[0], grad[1]), 1e-9)
        growth = np.zeros(shape)
        for material, t in curves:
            h, slope, _ = material.evaluate(amount[t])
            nu[t], growth[t] = h / amount[t], (slope - h / amount[t]) / amount[t] ** 2
        matrix = tangent.assemble(basis, nu=nu, growth=growth, b=grad)
        right = -residual.assemble(basis, nu=nu, b=grad, br=remanence, current=current)
        step = solve_linear(*condense(matrix, right, D=edge))
        x = x + (1.0 if np.abs(step).max() < 0.1 * np.abs(x).max() else 0.5) * step
        if np.abs(step).max() < 1e-9 * np.abs(x).max():
            break
    a = basis.interpolate(x)
    means = [(np.asarray(a)[t] * basis.dx[t]).sum() / basis.dx[t].sum() for t in left]
    gap = slice(starts[2], starts[3])
    (px, py), g, r = points[:, gap], a.grad[:, gap], np.hypot(*points[:, gap])
    radial, tangential = (g[1] * px - g[0] * py) / r, -(g[0] * px + g[1] * py) / r
    width = (CIRCLES[1] - CIRCLES[0]) * 1e-3
    stress = (r * radial * tangential * basis.dx[gap]).sum() / MU0 / width
    # The gap's outer rim looks towards the origin as part of the outer side: hence the sign.
    return np.array(means), -float(stress)


def test_flux_and_torque_with_a_meshed_gap() -> None:
    pair = machine(6, 4, 1, circles=CIRCLES, fine=2.0)
    wave = np.tile([700.0, -450.0, -250.0], 2)
    currents = {"left": wave, "right": -wave}
    solution = solve(pair, ANGLE, currents)
    flux, torque = referee(pair, ANGLE, currents)
    assert abs(torque) > 10
    np.testing.assert_allclose(linkage(solution, "left"), flux, atol=1e-4 * np.abs(flux).max())
    assert solution.torque == pytest.approx(torque, rel=1e-3)
