"""What a solution says: potentials, flux, flux density, energy, waves over positions, flux lines.

SI units per metre of the machine's length; places in mm. What belongs to a side is told in that
side's own frame, which for the outer one is turned by the solution's angle.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.field.materials import MU0, Magnet
from geometry.field.mesh import Mesh
from geometry.field.side import Side
from geometry.field.solve import Pair, Solution, solve
from geometry.point import Point

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Which = Literal["inner", "outer"]

#: Nodes of the quarters of a triangle of second order.
QUARTERS: Final = ((0, 3, 5), (3, 1, 4), (5, 4, 2), (3, 4, 5))


@dataclass(frozen=True)
class Statistics:
    """Flux density in the copies of a region, all arrays (cells,).

    Args:
        area: mm2.
        mean: mean of |B| over the area, T.
        rms: root of the mean of B squared, T.
        most: largest |B| at any point of integration, T; at sharp corners it grows with the mesh.
    """

    area: Array
    mean: Array
    rms: Array
    most: Array


def sweep(
    pair: Pair,
    angles: Sequence[float],
    currents: Sequence[Mapping[str, Array] | None] | None = None,
    start: Solution | None = None,
) -> tuple[Solution, ...]:
    """Return the field at every angle (rad), each found from the one before.

    Args:
        pair: both sides.
        angles: rad.
        currents: at each angle, as `solve` takes them; left out: none.
        start: where to begin.

    Raises:
        GeometryError: not as many currents as angles, or what `solve` refuses.
    """
    if currents is not None and len(currents) != len(angles):
        raise GeometryError("a sweep needs currents for each of its angles")
    found: list[Solution] = []
    for k, angle in enumerate(angles):
        start = solve(pair, angle, currents[k] if currents else None, start)
        found.append(start)
    return tuple(found)


def linkage(solution: Solution, label: str, which: Which = "inner") -> Array:
    """Return the flux linked per turn and metre by each copy of a region: A's mean in it, Wb/m.

    A turn that goes out through one region and back through another links the difference.

    Raises:
        GeometryError: the side has no such label.
    """
    side, unknowns = _side(solution, which)
    if label not in side.means:
        raise GeometryError(f"no region is called {label}")
    return np.asarray(side.means[label] @ unknowns)


def flux_density(solution: Solution, which: Which) -> tuple[Array, Array, Array]:
    """Return B (t, q, 2) in T, the points (t, q, 2) in mm, and the areas (t, q) in mm2.

    Both are told in the side's own frame; t are the triangles of the side's mesh.
    """
    side, unknowns = _side(solution, which)
    return side.flux_density(unknowns), side.spots * 1e3, side.weight * 1e6


def statistics(solution: Solution, label: str, which: Which = "inner") -> Statistics:
    """Return the flux density's figures in each copy of a region.

    Raises:
        GeometryError: the side has no such label.
    """
    side, unknowns = _side(solution, which)
    if label not in side.mesh.names:
        raise GeometryError(f"no region is called {label}")
    t = np.flatnonzero(side.mesh.label == side.mesh.names.index(label))
    b = side.flux_density(unknowns)[t]
    amount, weight = np.hypot(b[..., 0], b[..., 1]), side.weight[t]
    cell, cells = side.mesh.cell[t], side.mesh.cells
    area: Array = np.bincount(cell, weight.sum(axis=1), cells).astype(float)
    mean = np.bincount(cell, (weight * amount).sum(axis=1), cells) / area
    square = np.bincount(cell, (weight * amount**2).sum(axis=1), cells) / area
    most = np.zeros(cells)
    np.maximum.at(most, cell, amount.max(axis=1))
    return Statistics(area * 1e6, mean, square**0.5, most)


def energies(solution: Solution) -> tuple[float, float]:
    """Return energy and coenergy of the whole machine, J/m.

    Energy is the integral of H dB over everything, in magnets from B = Br on. Both add up to the
    sum of currents times flux linked; the torque is the coenergy's rise with the angle.
    """
    sectors = round(2 * math.pi / solution.pair.inner.mesh.span)
    linked = sum(float(i @ linkage(solution, n)) for n, i in solution.currents.items())
    coenergy = -solution.value - _remanent(solution.pair.inner) - _remanent(solution.pair.outer)
    return sectors * (linked - coenergy), sectors * coenergy


def _remanent(side: Side) -> float:
    """Return Br^2 / (2 mu) over the magnets of a sector, J/m."""
    total = 0.0
    for k, name in enumerate(side.mesh.names):
        if isinstance(m := side.materials[name], Magnet):
            total += float(side.weight[side.mesh.label == k].sum()) * m.remanence**2 / m.mu_r
    return total / (2 * MU0)


def potential(solution: Solution, places: Sequence[Point] | Array) -> Array:
    """Return A (Wb/m) at (k, 2) places in mm, as both sides stand: in metal, air or gap.

    Raises:
        GeometryError: a place inside no triangle and not in the gap (a sector covers only part of
            the circle).
    """
    p = np.asarray(places, float).reshape(-1, 2)
    r1, r2 = solution.pair.annulus.radii
    away = np.hypot(p[:, 0], p[:, 1])
    found = np.empty(len(p))
    for k in np.flatnonzero((away >= r1) & (away <= r2)):
        theta = np.array([math.atan2(p[k, 1], p[k, 0])])
        found[k] = solution.pair.annulus.potential(
            solution.inner, solution.outer, solution.angle, float(away[k]), theta
        )[0]
    c, s = math.cos(solution.angle), math.sin(solution.angle)
    turned = p @ np.array([[c, -s], [s, c]])
    for which, spots, mine in (("inner", p, away < r1), ("outer", turned, away > r2)):
        if mine.any():
            side, unknowns = _side(solution, "inner" if which == "inner" else "outer")
            found[mine] = _interpolated(side, side.at_nodes(unknowns), spots[mine])
    return found


def flux_between(solution: Solution, first: Point, last: Point) -> float:
    """Return the flux that crosses the way from `first` to `last` (mm) from right to left, Wb/m.

    Raises:
        GeometryError: a place that no triangle holds.
    """
    a, b = potential(solution, [first, last])
    return float(a - b)


def _side(solution: Solution, which: Which) -> tuple[Side, Array]:
    """Return a side and its unknowns."""
    if which == "inner":
        return solution.pair.inner, solution.inner
    return solution.pair.outer, solution.outer


def _interpolated(side: Side, values: Array, places: Array) -> Array:
    """Return A at places (k, 2) in mm of the side's own frame; raises GeometryError off the mesh."""
    from scipy.spatial import cKDTree

    mesh = side.mesh
    corners = mesh.nodes[mesh.triangles[:, :3]]
    near = cKDTree(corners.mean(axis=1)).query(places, min(24, len(corners)))[1]
    found = np.empty(len(places))
    for k, place in enumerate(places):
        t = np.atleast_1d(near[k])
        where, inside = _reference(mesh.nodes[mesh.triangles[t]], place)
        if not inside.any():
            raise GeometryError("no triangle holds the place", where=(place[0], place[1]))
        best = int(np.argmax(inside))
        x, y = where[best]
        shapes = _shapes(x, y) if side.order == 2 else np.array([1 - x - y, x, y])
        found[k] = shapes @ values[side.element[t[best]]]
    return found


def _reference(nodes: Array, place: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Return the place's reference coordinates in bent triangles (t, 6, 2), and which hold it."""
    where = np.full((len(nodes), 2), 1 / 3)
    for _ in range(8):
        x, y = where.T
        z = 1 - x - y
        to = np.einsum("kt,tkx->tx", _shapes(x, y), nodes)
        by_x = np.stack([1 - 4 * z, 4 * x - 1, 0 * x, 4 * (z - x), 4 * y, -4 * y])
        by_y = np.stack([1 - 4 * z, 0 * x, 4 * y - 1, -4 * x, 4 * x, 4 * (z - y)])
        u, v = np.einsum("kt,tkx->tx", by_x, nodes), np.einsum("kt,tkx->tx", by_y, nodes)
        d, det = place - to, u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
        step = np.stack(
            [d[:, 0] * v[:, 1] - d[:, 1] * v[:, 0], u[:, 0] * d[:, 1] - u[:, 1] * d[:, 0]], axis=1
        )
        where = np.clip(where + step / det[:, None], -2, 2)
    x, y = where.T
    return where, np.minimum(np.minimum(x, y), 1 - x - y) > -1e-6


def _shapes(x: Array | float, y: Array | float) -> Array:
    """Return the six shape functions of second order at reference coordinates."""
    z = 1 - x - y
    return np.array(
        [z * (2 * z - 1), x * (2 * x - 1), y * (2 * y - 1), 4 * z * x, 4 * x * y, 4 * y * z]
    )


def flux_lines(solution: Solution, levels: Sequence[float]) -> tuple[tuple[float, Array], ...]:
    """Return lines of equal A for pictures: (level in Wb/m, (k, 2) places in mm) each.

    Both sides stand as they are turned; each line ends at the edge of its side or of the gap, and
    runs straight through quarters of triangles.
    """
    lines: list[tuple[float, Array]] = []
    for nodes, corners, values in _pieces(solution):
        for level in levels:
            lines += [(float(level), line) for line in _contour(nodes, corners, values, level)]
    return tuple(lines)


def _pieces(solution: Solution) -> list[tuple[Array, Index, Array]]:
    """Return places, straight triangles and A of the inner side, the gap and the outer side."""
    pieces = []
    a, (r1, r2) = solution.pair.annulus, solution.pair.annulus.radii
    for side, x, angle in (
        (solution.pair.inner, solution.inner, 0.0),
        (solution.pair.outer, solution.outer, solution.angle),
    ):
        t = side.element
        if side.order == 2:
            t = np.concatenate([t[:, quarter] for quarter in QUARTERS])
        pieces.append((turned(side.mesh, angle), t, side.at_nodes(x)))
    mesh = solution.pair.inner.mesh
    count = len(solution.pair.inner.circle)
    theta = -mesh.span / (2 * mesh.cells) + np.linspace(0, mesh.span, count + 1)
    nodes, values = [], []
    for radius in np.linspace(r1, r2, 3):
        nodes.append(radius * np.stack([np.cos(theta), np.sin(theta)], axis=1))
        values.append(a.potential(solution.inner, solution.outer, solution.angle, radius, theta))
    k = np.add.outer(np.arange(2) * (count + 1), np.arange(count)).ravel()
    up = k + count + 1
    strips = np.concatenate([np.stack([k, up, up + 1], 1), np.stack([k, up + 1, k + 1], 1)])
    pieces.insert(1, (np.concatenate(nodes), strips, np.concatenate(values)))
    return pieces


def turned(mesh: Mesh, angle: float) -> Array:
    """Return the nodes turned by `angle` rad."""
    c, s = math.cos(angle), math.sin(angle)
    return np.asarray(mesh.nodes @ np.array([[c, s], [-s, c]]))


def _contour(nodes: Array, corners: Index, values: Array, level: float) -> list[Array]:
    """Return the lines along which A, linear in each triangle, has the level."""
    above = values >= level
    mixed = corners[(above[corners].sum(axis=1) % 3) != 0]
    a, b = mixed, mixed[:, [1, 2, 0]]
    cut = above[a] != above[b]
    ends = np.sort(np.stack([a[cut], b[cut]], axis=1), axis=1).reshape(-1, 2, 2)
    keys, number = np.unique(ends[..., 0] * len(nodes) + ends[..., 1], return_inverse=True)
    first, last = keys // len(nodes), keys % len(nodes)
    share = (level - values[first]) / (values[last] - values[first])
    places = nodes[first] + share[:, None] * (nodes[last] - nodes[first])
    return [places[chain] for chain in _chains(number.reshape(-1, 2), len(keys))]


def _chains(links: Index, count: int) -> list[list[int]]:
    """Join links between points, each in two links at most, to chains; open ones first."""
    neighbours: list[list[int]] = [[] for _ in range(count)]
    for a, b in links.tolist():
        neighbours[a].append(b)
        neighbours[b].append(a)
    chains, seen = [], [False] * count
    for begin in sorted(range(count), key=lambda k: len(neighbours[k])):
        if seen[begin]:
            continue
        chain, at = [begin], begin
        seen[begin] = True
        while nxt := [k for k in neighbours[at] if not seen[k]]:
            at = nxt[0]
            seen[at] = True
            chain.append(at)
        if len(neighbours[begin]) == 2 and chain[-1] in neighbours[begin] and len(chain) > 2:
            chain.append(begin)
        chains.append(chain)
    return chains
