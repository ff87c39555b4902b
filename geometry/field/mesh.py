"""The mesh of one side: curved triangles of second order, a cell mirrored and repeated."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.field.planar import TOUCH, planar
from geometry.field.triangulate import refine
from geometry.outline import Outline, Region

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True)
class Mesh:
    """Triangles of six nodes each; those on arcs are bent so that their mid-side nodes lie on it.

    A cell lies between two rays from the origin; turned copies of it meet node by node.

    Args:
        nodes: (n, 2) mm.
        triangles: (t, 6) node numbers: corners 0, 1, 2 counter-clockwise, then the middles of the
            sides 0-1, 1-2 and 2-0.
        names: labels of regions, each once.
        label: (t,) number of each triangle's label in `names`.
        cell: (t,) number of the copy that holds the triangle, 0 to cells - 1.
        cells: number of copies.
        span: angle from the first ray to the last in rad.
        first: (m,) nodes on the first ray by radius; empty in a whole circle.
        last: (m,) nodes on the last ray, which the first becomes when turned by `span`.
    """

    nodes: Array
    triangles: Index
    names: tuple[str, ...]
    label: Index
    cell: Index
    cells: int
    span: float
    first: Index
    last: Index

    def mirrored(self, swap: Mapping[str, str] | None = None) -> Mesh:
        """Return a half cell, whose first ray is the x axis, together with its mirror image.

        Args:
            swap: label in the half cell -> label of its image, where they differ.

        Raises:
            GeometryError: the first ray is not the x axis.
        """
        if len(self.first) == 0 or np.abs(self.nodes[self.first, 1]).max() > TOUCH:
            raise GeometryError("a half cell needs the x axis as its first ray")
        names = list(self.names)
        image_of = np.arange(len(names))
        for name, other in (swap or {}).items():
            if name in names:
                if other not in names:
                    names.append(other)
                image_of[names.index(name)] = names.index(other)
        count = len(self.nodes)
        number = np.full(count, -1)
        number[self.first] = self.first
        free = np.flatnonzero(number < 0)
        number[free] = count + np.arange(len(free))
        image = number[self.triangles][:, [0, 2, 1, 5, 4, 3]]
        nodes = np.concatenate([self.nodes, self.nodes[free] * [1.0, -1.0]])
        nodes[self.first, 1] = 0.0
        return Mesh(
            nodes,
            np.concatenate([self.triangles, image]),
            tuple(names),
            np.concatenate([self.label, image_of[self.label]]),
            np.zeros(2 * len(self.label), np.intp),
            1,
            2 * self.span,
            number[self.last],
            self.last,
        )

    def repeated(self, copies: int) -> Mesh:
        """Return so many copies of a cell side by side, counter-clockwise; 2 pi closes the circle.

        Raises:
            GeometryError: fewer than one copy, or more than fit in a circle.
        """
        whole = abs(copies * self.span - 2 * math.pi) < 1e-9
        if copies < 1 or (copies * self.span > 2 * math.pi and not whole):
            raise GeometryError(
                f"{copies} cells do not fit in a circle", limit=2 * math.pi / self.span
            )
        count = len(self.nodes)
        free = np.setdiff1d(np.arange(count), self.first)
        step = len(free)
        nodes, triangles = [self.nodes], [self.triangles]
        number = np.arange(count)
        for k in range(1, copies):
            before, number = number, np.empty(count, np.intp)
            number[free] = count + (k - 1) * step + np.arange(step)
            number[self.first] = before[self.last]
            c, s = math.cos(k * self.span), math.sin(k * self.span)
            nodes.append(self.nodes[free] @ np.array([[c, s], [-s, c]]))
            triangles.append(number[self.triangles])
        every, joined = np.concatenate(nodes), np.concatenate(triangles)
        first, last = self.first, number[self.last]
        if whole:
            same = np.arange(len(every))
            same[last] = first
            kept = np.unique(same)
            every, joined = every[kept], np.searchsorted(kept, same)[joined]
            first = last = np.empty(0, np.intp)
        return Mesh(
            every,
            joined,
            self.names,
            np.tile(self.label, copies),
            np.repeat(np.arange(copies) * self.cells, len(self.cell)) + np.tile(self.cell, copies),
            copies * self.cells,
            copies * self.span,
            first,
            last,
        )

    def circle(self, radius: float) -> Index:
        """Return the nodes on the circle of `radius` mm about the origin, by angle from the first.

        Raises:
            GeometryError: there are none.
        """
        x, y = self.nodes.T
        found = np.flatnonzero(np.abs(np.hypot(x, y) - radius) < 10 * TOUCH)
        if len(found) == 0:
            raise GeometryError("the mesh has no nodes on the circle", value=radius)
        angle = np.arctan2(y[found], x[found])
        begin = -self.span / (2 * self.cells)
        return found[np.argsort((angle - begin + 1e-9) % (2 * math.pi), kind="stable")]

    def radii(self) -> tuple[float, float]:
        """Return the smallest and largest distance of a node from the origin in mm."""
        away = np.hypot(*self.nodes.T)
        return float(away.min()), float(away.max())

    def smallest_angle(self) -> float:
        """Return the smallest angle between the corners' chords in any triangle, degrees."""
        p = self.nodes[self.triangles[:, :3]]
        u, v = p[:, [1, 2, 0]] - p, p[:, [2, 0, 1]] - p
        dot, cross = (u * v).sum(axis=2), u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0]
        return float(np.degrees(np.arctan2(cross, dot).min()))


def mesh_cell(
    regions: Sequence[tuple[str, Outline | Region]],
    size: Callable[[Array], Array],
    span: float,
    *,
    half: bool = False,
) -> Mesh:
    """Return the mesh of one cell of a machine, from exact outlines.

    Args:
        regions: (label, shape) each; shapes touch along equal edges and do not overlap. A label
            may be given to several. An end that lies on another's edge divides that edge.
        size: (k, 2) places in mm -> (k,) wanted lengths of triangles' edges in mm; see `Size`.
        span: angle of the cell in rad.
        half: the cell is half of a symmetric one and lies from the x axis to +span, to be
            `mirrored`; else it lies from -span/2 to +span/2.

    Raises:
        GeometryError: regions overlap or cross, or a bent triangle is folded (too coarse).
    """
    graph = planar(regions, None if half else span)
    flat = refine(graph, size)
    names = tuple(dict.fromkeys(name for name, _ in regions))
    label = np.array([names.index(name) for name, _ in graph.loops])[flat.region]
    used, corners = np.unique(flat.corners, return_inverse=True)
    corners = corners.reshape(-1, 3)
    points = flat.points[used]
    sides = np.sort(np.stack([corners, corners[:, [1, 2, 0]]], axis=2).reshape(-1, 2), axis=1)
    keys, which = np.unique(sides[:, 0] * len(points) + sides[:, 1], return_inverse=True)
    middles = (points[keys // len(points)] + points[keys % len(points)]) / 2
    bent = np.sort(np.searchsorted(used, flat.pieces), axis=1)
    middles[np.searchsorted(keys, bent[:, 0] * len(points) + bent[:, 1])] = flat.middles
    nodes = np.concatenate([points, middles])
    triangles = np.concatenate([corners, len(points) + which.reshape(-1, 3)], axis=1)
    rays = (0.0, span) if half else (-span / 2, span / 2)
    first, last = (_on_ray(nodes, ray) for ray in rays)
    mesh = Mesh(
        nodes,
        triangles.astype(np.intp),
        names,
        label,
        np.zeros(len(label), np.intp),
        1,
        span,
        first,
        last,
    )
    _refuse_folded(mesh)
    return mesh


def _on_ray(nodes: Array, angle: float) -> Index:
    """Return the nodes on the ray from the origin at `angle` rad, by radius."""
    c, s = math.cos(angle), math.sin(angle)
    along, across = nodes @ np.array([c, s]), nodes @ np.array([-s, c])
    found = np.flatnonzero((np.abs(across) < TOUCH) & (along > TOUCH))
    return found[np.argsort(along[found], kind="stable")]


def _refuse_folded(mesh: Mesh) -> None:
    """Refuse a bent triangle whose Jacobian vanishes at a node; raises GeometryError."""
    p = mesh.nodes[mesh.triangles]
    # Gradients of the six shape functions at the six nodes, by the two reference coordinates.
    x, y = np.array([[0, 0], [1, 0], [0, 1], [0.5, 0], [0.5, 0.5], [0, 0.5]]).T
    z = 1 - x - y
    by_x = np.stack([1 - 4 * z, 4 * x - 1, 0 * x, 4 * (z - x), 4 * y, -4 * y])
    by_y = np.stack([1 - 4 * z, 0 * x, 4 * y - 1, -4 * x, 4 * x, 4 * (z - y)])
    u, v = np.einsum("kq,tkx->tqx", by_x, p), np.einsum("kq,tkx->tqx", by_y, p)
    worst = (u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0]).min(axis=1)
    if (worst <= 0).any():
        k = int(worst.argmin())
        x0, y0 = p[k, 0]
        raise GeometryError("a triangle on an arc is folded", where=(x0, y0), hint="mesh finer")
