"""Outlines that touch each other, taken apart into the edges that they share."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Line, Segment

Array = NDArray[np.float64]

#: Ends nearer than this (mm) are one vertex: far above what exact constructions leave, far below
#: any feature.
TOUCH = 1e-6


@dataclass(frozen=True)
class Planar:
    """Vertices and edges that meet only at vertices, and the loops made of them.

    Args:
        vertices: distinct ends of edges, mm.
        edges: (first vertex, last vertex, segment between them), each edge once.
        loops: per region its label and loops; a loop is ((edge, forward), ...) in order of travel.
        twins: per edge the edge of the opposite ray that must be divided alike, or itself.
    """

    vertices: tuple[Point, ...]
    edges: tuple[tuple[int, int, Segment], ...]
    loops: tuple[tuple[str, tuple[tuple[tuple[int, bool], ...], ...]], ...]
    twins: tuple[int, ...]

    def points_on(self, edge: int, fractions: Array) -> Array:
        """Return (k, 2) points in mm at `fractions` (0..1) of an edge's length."""
        segment = self.edges[edge][2]
        start: Array = np.array(segment.start)
        if isinstance(segment, Line):
            return np.asarray(start + np.outer(fractions, np.array(segment.end) - start))
        turn = segment.sweep * fractions
        cos, sin = np.cos(turn), np.sin(turn)
        x, y = start - np.array(segment.center)
        turned = np.stack([cos * x - sin * y, sin * x + cos * y], axis=1)
        return np.asarray(segment.center + turned)


def planar(regions: Sequence[tuple[str, Outline | Region]], pitch: float | None = None) -> Planar:
    """Return the regions' common graph: an end that lies on another region's edge divides it.

    Args:
        regions: label and shape of each; shapes touch but do not overlap.
        pitch: rad. Given, the cell lies between the rays at -pitch/2 and +pitch/2, and what lies
            on one ray divides the other alike, so that turned copies of the cell fit together.
    """
    shapes = [(n, s if isinstance(s, Region) else Region(s)) for n, s in regions]
    vertices: list[Point] = []
    for _, shape in shapes:
        for loop in shape.loops:
            for spot in loop.points:
                _index(vertices, spot)
    if pitch is not None:
        for ray, turn in ((-pitch / 2, pitch), (pitch / 2, -pitch)):
            for spot in [v for v in vertices if _on_ray(v, ray)]:
                _index(vertices, spot.rotated(turn))
    edges: list[tuple[int, int, Segment]] = []
    found: dict[tuple[int, int], list[int]] = {}
    loops = []
    for name, shape in shapes:
        mine = []
        for loop in shape.loops:
            walk: list[tuple[int, bool]] = []
            for segment in loop.segments:
                walk.extend(_edge(edges, found, p) for p in _pieces(segment, vertices))
            mine.append(tuple(walk))
        loops.append((name, tuple(mine)))
    return Planar(tuple(vertices), tuple(edges), tuple(loops), _twins(vertices, edges, pitch))


def _index(vertices: list[Point], spot: Point) -> int:
    """Return the number of the vertex at a place; a new one is added."""
    for k, v in enumerate(vertices):
        if abs(v.x - spot.x) < TOUCH and abs(v.y - spot.y) < TOUCH:
            return k
    vertices.append(spot)
    return len(vertices) - 1


def _on_ray(spot: Point, angle: float) -> bool:
    """Tell whether a point lies on the ray from the origin at `angle` rad."""
    ray = Point.polar(1.0, angle)
    return abs(ray.cross(spot)) < TOUCH and ray.dot(spot) > TOUCH


def _pieces(segment: Segment, vertices: list[Point]) -> list[tuple[int, int, Segment]]:
    """Return the edge divided at every vertex on it."""
    inner = sorted(
        (t, k) for k, v in enumerate(vertices) if (t := _fraction(segment, v)) is not None
    )
    stops = [_index(vertices, segment.start), *(k for _, k in inner), _index(vertices, segment.end)]
    pieces: list[tuple[int, int, Segment]] = []
    for a, b in itertools.pairwise(stops):
        p, q = vertices[a], vertices[b]
        if isinstance(segment, Line):
            pieces.append((a, b, Line(p, q)))
        elif len(stops) == 2:
            pieces.append((a, b, segment))
        else:
            pieces.append((a, b, Arc(p, q, segment.center, segment.ccw)))
    return pieces


def _fraction(segment: Segment, spot: Point) -> float | None:
    """Return where on the edge a point lies (0..1), or None if off it or at an end."""
    if min(segment.start.distance(spot), segment.end.distance(spot)) < TOUCH:
        return None
    if isinstance(segment, Line):
        along, to = segment.end.minus(segment.start), spot.minus(segment.start)
        t = to.dot(along) / along.dot(along)
        return t if 0 < t < 1 and abs(along.cross(to)) < TOUCH * along.length() else None
    if abs(spot.distance(segment.center) - segment.radius) > TOUCH:
        return None
    first = segment.start.minus(segment.center).angle()
    turn = spot.minus(segment.center).angle() - first
    t = (turn if segment.ccw else -turn) % (2 * math.pi) / abs(segment.sweep)
    return t if t < 1 else None


def _edge(
    edges: list[tuple[int, int, Segment]],
    found: dict[tuple[int, int], list[int]],
    piece: tuple[int, int, Segment],
) -> tuple[int, bool]:
    """Return the number of an edge, and whether the piece is travelled as it was first met."""
    a, b, segment = piece
    same = found.setdefault((min(a, b), max(a, b)), [])
    for k in same:
        if edges[k][2].point_at(0.5).distance(segment.point_at(0.5)) < TOUCH:
            return k, edges[k][0] == a
    edges.append(piece)
    same.append(len(edges) - 1)
    return len(edges) - 1, True


def _twins(
    vertices: list[Point], edges: list[tuple[int, int, Segment]], pitch: float | None
) -> tuple[int, ...]:
    """Return per edge the one on the opposite ray that it becomes when turned by the pitch."""
    twins = list(range(len(edges)))
    if pitch is None:
        return tuple(twins)
    ends = {frozenset((a, b)): k for k, (a, b, _) in enumerate(edges)}
    for k, (a, b, _) in enumerate(edges):
        if _on_ray(vertices[a], -pitch / 2) and _on_ray(vertices[b], -pitch / 2):
            image = frozenset(_index(vertices, vertices[i].rotated(pitch)) for i in (a, b))
            twins[ends.get(image, k)] = k
    return tuple(twins)
