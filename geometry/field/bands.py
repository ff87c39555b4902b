"""Where the flux density is above a level: regions of a material for pictures.

The density of the triangles, linear in each, is averaged at the nodes inside one material and cut in
quarters of triangles; what is above a level is their union, so that it ends at the material's edge.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.field.results import QUARTERS, Which, flux_density, turned
from geometry.field.solve import Solution

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Loops = tuple[Array, ...]


def bands(
    solution: Solution,
    which: Which,
    label: str,
    levels: Sequence[float],
    *,
    share: float = 1.0,
    tolerance: float = 0.0,
) -> tuple[Loops, ...]:
    """Return the regions of a material where |B| is at or above each level, as the side is turned.

    Args:
        solution: the field.
        which: side.
        label: of the material.
        levels: T.
        share: of steel in the material; the density is that in steel.
        tolerance: by how much edges may stray, mm.

    Returns:
        For each level closed loops of (k, 2) places in mm; a loop inside another is a hole.

    Raises:
        GeometryError: the side has no such label.
    """
    import shapely

    side = solution.pair.inner if which == "inner" else solution.pair.outer
    if label not in side.mesh.names:
        raise GeometryError(f"no region is called {label}")
    mine = np.flatnonzero(side.mesh.label == side.mesh.names.index(label))
    triangles = side.mesh.triangles[mine]
    values = _at_nodes(solution, which, mine, triangles) / share
    nodes = turned(side.mesh, 0.0 if which == "inner" else solution.angle)
    corners = np.concatenate([triangles[:, q] for q in QUARTERS])
    found: list[Loops] = []
    for level in levels:
        pieces = [shapely.polygons(p) for p in _above(nodes, corners, values, level)]
        whole = shapely.coverage_union_all(np.concatenate(pieces))
        if tolerance:
            whole = shapely.simplify(whole, tolerance)
        rings = [r for part in shapely.get_parts(whole) for r in shapely.get_rings(part)]
        found.append(tuple(shapely.get_coordinates(ring) for ring in rings))
    return tuple(found)


def _at_nodes(solution: Solution, which: Which, mine: Index, triangles: Index) -> Array:
    """Return (n,) |B| in T at the nodes of these triangles: the mean of what each says there."""
    b, spots, area = (part[mine] for part in flux_density(solution, which))
    nodes = (solution.pair.inner if which == "inner" else solution.pair.outer).mesh.nodes
    middle = spots.mean(axis=1, keepdims=True)

    def plane(places: Array) -> Array:
        return np.concatenate([np.ones((*places.shape[:2], 1)), places - middle], axis=2)

    told = plane(nodes[triangles]) @ (np.linalg.pinv(plane(spots)) @ b)
    weight = np.repeat(area.sum(axis=1), 6)
    total = np.maximum(np.bincount(triangles.ravel(), weight, len(nodes)), 1e-300)
    x, y = (
        np.bincount(triangles.ravel(), weight * told[..., k].ravel(), len(nodes)) / total
        for k in (0, 1)
    )
    return np.hypot(x, y)


def _above(nodes: Array, corners: Index, values: Array, level: float) -> list[Array]:
    """Return the parts of triangles where the value, linear in each, is at least the level."""
    high = values[corners] >= level
    count = high.sum(axis=1)
    pieces = [nodes[corners[count == 3]]]
    for number, odd in ((1, True), (2, False)):  # the corner that differs from both others first
        t, which = corners[count == number], np.argmax(high[count == number] == odd, axis=1)
        a, b, c = (np.take_along_axis(t, (which[:, None] + k) % 3, 1)[:, 0] for k in range(3))
        ab, ac = _cut(nodes, values, a, b, level), _cut(nodes, values, a, c, level)
        ring = (nodes[a], ab, ac) if odd else (ab, nodes[b], nodes[c], ac)
        pieces.append(np.stack(ring, axis=1))
    return pieces


def _cut(nodes: Array, values: Array, a: Index, b: Index, level: float) -> Array:
    """Return where edges reach the level: bit by bit the same from either side of an edge."""
    first, last = np.minimum(a, b), np.maximum(a, b)
    share = (level - values[first]) / (values[last] - values[first])
    return np.asarray(nodes[first] + share[:, None] * (nodes[last] - nodes[first]))
