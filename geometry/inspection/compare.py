"""Are two sets of outlines the same shapes, and does a sheet fall on itself, turned or flipped?

A loop is the same, wherever it starts and whichever way it runs, if every edge's start, middle and end agree within the tolerance; three
points fix a circle, so a wrong radius cannot hide. A full circle has no corners: there centre
and radius count.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray

from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Segment, half_turns
from geometry.tolerance import SAME_PLACE

Key = tuple[float, float, float]


def same_outline(a: Outline, b: Outline, tolerance: float) -> bool:
    """Tell whether both loops agree within `tolerance` mm."""
    return not _differences(a, b, tolerance)


def compare_outlines(
    expected: Sequence[Outline], found: Sequence[Outline], tolerance: float
) -> list[str]:
    """Return what differs and where, one sentence each; empty if all loops agree.

    Args:
        expected: the loops as designed, mm.
        found: the loops as read back, mm, in any order.
        tolerance: how far (mm) any point of an edge may be off.
    """
    messages = []
    if len(expected) != len(found):
        messages.append(f"{len(found)} loops found, {len(expected)} expected")
    pairs, missing, surplus = _pair(expected, found, tolerance)
    messages += [f"{_name(expected[i])} is missing" for i in missing]
    messages += [f"{_name(found[j])} is not expected" for j in surplus]
    for i, j in pairs:
        found_wrong = _differences(expected[i], found[j], tolerance)
        messages += [f"{_name(expected[i])}: {text}" for text in found_wrong]
    return messages


def _pair(
    expected: Sequence[Outline], found: Sequence[Outline], tolerance: float
) -> tuple[list[tuple[int, int]], list[int], list[int]]:
    """Pair loops by centroid and size: equal ones first by a grid, the rest nearest first."""
    cell = max(10 * tolerance, SAME_PLACE)
    grid: dict[tuple[int, ...], list[int]] = {}
    for j, loop in enumerate(found):
        grid.setdefault(_cell(_key(loop), cell), []).append(j)
    pairs: list[tuple[int, int]] = []
    missing: list[int] = []
    for i, loop in enumerate(expected):
        partner = _take(grid, loop, found, cell, tolerance)
        if partner is None:
            missing.append(i)
        else:
            pairs.append((i, partner))
    surplus = sorted(j for rest in grid.values() for j in rest)
    near = sorted(
        (math.dist(_key(expected[i]), _key(found[j])), i, j) for i in missing for j in surplus
    )
    free_i, free_j = set(missing), set(surplus)
    for _, i, j in near:
        if i in free_i and j in free_j:
            free_i.remove(i)
            free_j.remove(j)
            pairs.append((i, j))
    return sorted(pairs), sorted(free_i), sorted(free_j)


def _take(
    grid: dict[tuple[int, ...], list[int]],
    loop: Outline,
    found: Sequence[Outline],
    cell: float,
    tolerance: float,
) -> int | None:
    """Remove and return a loop from the neighbouring cells that is the same, if there is one."""
    a, b, c = _cell(_key(loop), cell)
    for da, db, dc in product((0, -1, 1), repeat=3):
        rest = grid.get((a + da, b + db, c + dc), [])
        for j in rest:
            if same_outline(loop, found[j], tolerance):
                rest.remove(j)
                return j
    return None


def _key(loop: Outline) -> Key:
    """Return centroid and size (root of the area), all in mm."""
    if loop.signed_area == 0.0:
        return (*loop.points[0], 0.0)
    return (*loop.centroid, math.sqrt(loop.area))


def _cell(key: Key, cell: float) -> tuple[int, ...]:
    return tuple(math.floor(v / cell) for v in key)


def _name(loop: Outline) -> str:
    x, y = (round(v, 3) + 0.0 for v in _key(loop)[:2])  # no -0.000
    return f"loop about ({x:.3f}, {y:.3f}) of {loop.area:.3f} mm2"


def _differences(a: Outline, b: Outline, tolerance: float) -> list[str]:
    """Return what differs between the expected loop `a` and the found loop `b`."""
    edges = _edge_difference(a, b, tolerance)
    if edges is None:
        return []
    texts = []
    if any(abs(p - q) > tolerance for p, q in zip(a.box, b.box, strict=True)):
        texts.append(f"box is {_box(b)}, expected {_box(a)}")
    if abs(a.area - b.area) > tolerance * a.perimeter:
        texts.append(f"area is {b.area:.6f} mm2, expected {a.area:.6f}")
    if abs(a.perimeter - b.perimeter) > 2 * tolerance * len(a.segments):
        texts.append(f"perimeter is {b.perimeter:.6f} mm, expected {a.perimeter:.6f}")
    return [*texts, edges]


def _edge_difference(a: Outline, b: Outline, tolerance: float) -> str | None:
    """Return the first edge that differs, in words; None if all agree."""
    round_a, round_b = _circle(a, tolerance), _circle(b, tolerance)
    if round_a and round_b:
        off = round_a[0].distance(round_b[0])
        if off <= tolerance and abs(round_a[1] - round_b[1]) <= tolerance:
            return None
        return (
            f"circle of radius {round_b[1]:.6f} mm, expected {round_a[1]:.6f}, "
            f"its centre is {off:.6f} mm off"
        )
    expected, edges = half_turns(a.segments), half_turns(b.oriented(a.ccw).segments)
    if len(expected) != len(edges):
        return f"{len(edges)} edges, expected {len(expected)}"
    start = expected[0].start
    gaps = [s.start.distance(start) for s in edges]
    nearest = min(gaps)
    texts = [
        _first_off(expected, edges[k:] + edges[:k], tolerance)
        for k, gap in enumerate(gaps)
        if gap <= max(nearest, tolerance)
    ]
    return None if None in texts else texts[0]


def _first_off(
    expected: Sequence[Segment], found: Sequence[Segment], tolerance: float
) -> str | None:
    for k, (p, q) in enumerate(zip(expected, found, strict=True)):
        for place, fraction in (("starts", 0.0), ("ends", 1.0), ("passes its middle", 0.5)):
            off = p.point_at(fraction).distance(q.point_at(fraction))
            if not off <= tolerance:
                return (
                    f"edge {k + 1} of {len(expected)}, {_edge(p)}, {place} {off:.6f} mm off; "
                    f"found {_edge(q)}"
                )
    return None


def _circle(loop: Outline, tolerance: float) -> tuple[Point, float] | None:
    """Return centre and radius if all edges lie on one circle within `tolerance`, else None."""
    arcs = [s for s in loop.segments if isinstance(s, Arc)]
    first = arcs[0] if arcs else None
    if first is None or len(arcs) < len(loop.segments):
        return None
    if any(
        s.center.distance(first.center) > tolerance or abs(s.radius - first.radius) > tolerance
        for s in arcs
    ):
        return None
    if abs(abs(math.fsum(s.sweep for s in arcs)) - 2 * math.pi) > tolerance / first.radius:
        return None
    return first.center, first.radius


def _edge(edge: Segment) -> str:
    (x0, y0), (x1, y1) = edge.start, edge.end
    kind = f"arc of radius {edge.radius:.4f}" if isinstance(edge, Arc) else "line"
    return f"{kind} from ({x0:.4f}, {y0:.4f}) to ({x1:.4f}, {y1:.4f})"


def _box(loop: Outline) -> str:
    return "({:.6f}, {:.6f}, {:.6f}, {:.6f})".format(*loop.box)


#     Does a sheet fall on itself when it is turned, and when it is flipped over?
#
# Two sheets are the same if every corner, every middle of an edge and every round hole lies within
# `SAME` of its fellow. Edges that go on along one line or circle are taken as one, wherever a
# program cut them, and a circle about the common centre falls on itself at every turn.

Floats = NDArray[np.float64]

Rows = NDArray[np.int64]

#: Places that differ by less (mm) are the same: a tenth of what a laser holds.
SAME = 0.01
#: Features that are tried first; most turns fail on them.
_FIRST = 64


@dataclass(frozen=True)
class Symmetry:
    """How a sheet falls on itself.

    Args:
        center: the common centre: that of the area within the outer outlines. A lone hole does
            not move it, and if the sheet has any symmetry, its centre is the same.
        order: largest n for which a turn by 1/n changes nothing; 0 if any turn does (rings).
        mirrored: whether the sheet, flipped over and turned, falls on itself.
        breaker: if the outer outline alone repeats more often than the whole sheet, the place
            of a hole that breaks it.
        outer_order: `order` of the outer outlines alone.
    """

    center: Point
    order: int
    mirrored: bool
    outer_order: int
    breaker: Point | None


def symmetry(regions: Sequence[Region]) -> Symmetry:
    """Return the symmetry of all regions together about the common centre of their outlines."""
    outers = [r.outer for r in regions]
    holes = [h for r in regions for h in r.holes]
    area = math.fsum(o.area for o in outers)
    center = Point(
        math.fsum(o.area * o.centroid.x for o in outers) / area,
        math.fsum(o.area * o.centroid.y for o in outers) / area,
    )
    marks = _Marks.of([*outers, *holes], center)
    order = marks.order()
    outer_order = _Marks.of(outers, center).order() if holes else order
    breaker = None
    if outer_order != order and order:
        spot = _Marks.of(holes, center).breaker(order, outer_order)
        breaker = center.plus(spot) if spot else None
    return Symmetry(center, order, marks.is_mirrored(order), outer_order, breaker)


@dataclass(frozen=True)
class _Marks:
    """What must fall on its like, seen from the centre.

    `edges` holds start, middle and end of every edge (n, 6), material on the left; `rounds`
    centre, radius and sense of every circle that is not about the centre (m, 4).
    """

    edges: Floats
    rounds: Floats

    @staticmethod
    def of(loops: Sequence[Outline], center: Point) -> _Marks:

        edges: list[tuple[float, ...]] = []
        rounds: list[tuple[float, ...]] = []
        for loop in loops:
            merged = whole_edges(loop)
            if isinstance(merged, tuple):
                spot, radius = merged
                if spot.distance(center) > SAME:
                    sense = 1e6 if loop.ccw else -1e6
                    rounds.append((spot.x - center.x, spot.y - center.y, radius, sense))
                continue
            for run in merged:
                middle = _middle(run)
                spots = (run[0].start, middle, run[-1].end)
                edges.append(tuple(v for p in spots for v in (p.x - center.x, p.y - center.y)))
        return _Marks(np.array(edges).reshape(-1, 6), np.array(rounds).reshape(-1, 4))

    def order(self) -> int:
        """Return the largest order of rotation; 0 if every turn does."""
        counts = [*_cluster_sizes(self.edges[:, 2:4]), *_cluster_sizes(self.rounds[:, :2])]
        if not counts:
            return 0
        common = math.gcd(*counts)
        for n in sorted(_divisors(common), reverse=True):
            if n == 1 or self._falls_on_itself(partial(_turned, angle=2 * math.pi / n), False):
                return n
        return 1

    def breaker(self, order: int, wanted: int) -> Point | None:
        """Return the place of the smallest thing that breaks a higher order than `order`.

        Of all orders up to `wanted` that `order` divides, that which the fewest things break.
        """

        best: list[tuple[float, Point]] = []
        steps = [n for n in sorted(_divisors(wanted or 360 * order)) if n > order and not n % order]
        for n in steps:
            lost: list[tuple[float, Point]] = []
            for rows, off in self._off(partial(_turned, angle=2 * math.pi / n), False):
                size = (
                    np.hypot(*(rows[:, 4:6] - rows[:, :2]).T) if rows.shape[1] == 6 else rows[:, 2]
                )
                at = 2 if rows.shape[1] == 6 else 0
                lost += [
                    (round(float(size[k]), 3), Point(float(rows[k, at]), float(rows[k, at + 1])))
                    for k in np.flatnonzero(off > SAME)
                ]
            if lost and (not best or len(lost) < len(best)):
                best = lost
        return min(best, key=lambda f: f[0])[1] if best else None

    def is_mirrored(self, order: int) -> bool:
        """Tell whether a flip over some axis through the centre changes nothing."""

        if not len(self.edges) and not len(self.rounds):
            return True
        spots = self.edges[:, 2:4] if len(self.edges) else self.rounds[:, :2]
        spots = spots[np.hypot(*spots.T) > SAME]
        if not len(spots):
            return True
        sizes, group = _clusters(spots)
        members = np.flatnonzero(group == int(np.argmin(sizes)))
        angles = np.arctan2(spots[members, 1], spots[members, 0])
        # A flip brings the first spot onto one of its fellows: the axis halves the angle between.
        first = angles[0]
        sector = np.sort((angles - first) % (2 * math.pi))
        limit = 2 * math.pi / max(order, 1) + 1e-6
        axes = first + sector[sector <= limit] / 2
        return any(
            self._falls_on_itself(partial(_flipped, axis=float(axis)), True)
            for axis in self._likely_axes(axes, spots)
        )

    def _likely_axes(self, axes: Floats, spots: Floats) -> Floats:
        """Return the axes that carry a few places to places, checked for all axes in one go."""
        from scipy.spatial import cKDTree

        tree = cKDTree(spots)
        for spot in spots[:: max(1, len(spots) // 8)]:
            c, s = np.cos(2 * axes), np.sin(2 * axes)
            images = np.column_stack([c * spot[0] + s * spot[1], s * spot[0] - c * spot[1]])
            axes = axes[tree.query(images, distance_upper_bound=2 * SAME)[0] <= SAME]
        return axes

    def _falls_on_itself(self, move: Callable[[Floats], Floats], flip: bool) -> bool:
        few = _Marks(*(rows[:: max(1, len(rows) // _FIRST)] for rows in (self.edges, self.rounds)))
        return all(
            not (off > SAME).any()
            for marks in (few, self)
            for _, off in self._off(move, flip, marks)
        )

    def _off(
        self, move: Callable[[Floats], Floats], flip: bool, marks: _Marks | None = None
    ) -> Iterator[tuple[Floats, Floats]]:
        """Yield rows (all, or those of `marks`) and how far (mm) each, moved, is from its like."""
        from scipy.spatial import cKDTree

        some = marks or self
        for mine, rows in ((self.edges, some.edges), (self.rounds, some.rounds)):
            if not len(rows):
                continue
            moved = rows.copy()
            for k in (0, 2, 4) if rows.shape[1] == 6 else (0,):
                moved[:, k : k + 2] = move(rows[:, k : k + 2])
            if flip and rows.shape[1] == 6:
                # Seen from behind, material lies on the right: travel the edge back.
                moved = moved[:, [4, 5, 2, 3, 0, 1]]
            yield rows, cKDTree(mine).query(moved, distance_upper_bound=2 * SAME)[0]


def whole_edges(loop: Outline) -> list[list[Segment]] | tuple[Point, float]:
    """Return the edges of a loop, those that go on along one line or circle taken together.

    A loop that is one circle comes back as (centre, radius).
    """
    circle = loop.as_circle()
    if circle:
        return circle
    segments = list(loop.segments)
    turns = [k for k, s in enumerate(segments) if not _goes_on(segments[k - 1], s)]
    if not turns:
        first = segments[0]
        assert isinstance(first, Arc)
        return first.center, first.radius
    segments = segments[turns[0] :] + segments[: turns[0]]
    cuts = [k - turns[0] for k in turns] + [len(segments)]
    return [segments[a:b] for a, b in pairwise(cuts)]


def _goes_on(a: Segment, b: Segment) -> bool:
    if isinstance(a, Arc) != isinstance(b, Arc):
        return False
    if isinstance(a, Arc) and isinstance(b, Arc):
        return a.ccw == b.ccw and a.center.distance(b.center) < SAME and abs(a.radius - b.radius) < SAME / 10  # fmt: skip
    return abs(a.direction().cross(b.direction())) < 1e-6 and a.direction().dot(b.direction()) > 0


def _middle(run: Sequence[Segment]) -> Point:
    half = math.fsum(s.length for s in run) / 2
    for edge in run:
        if half <= edge.length:
            return edge.point_at(half / edge.length)
        half -= edge.length
    return run[-1].end


def _clusters(spots: Floats) -> tuple[Rows, Rows]:
    """Return (sizes, group of each spot): spots at one distance from the centre are a group."""

    distance = np.hypot(spots[:, 0], spots[:, 1])
    order = np.argsort(distance)
    steps = np.diff(distance[order]) > SAME
    group = np.empty(len(spots), dtype=np.int64)
    group[order] = np.concatenate([[0], np.cumsum(steps)])
    return np.bincount(group).astype(np.int64), group


def _cluster_sizes(spots: Floats) -> list[int]:
    if not len(spots):
        return []
    return [int(n) for n in _clusters(spots)[0]]


def _divisors(number: int) -> set[int]:
    small = [k for k in range(1, math.isqrt(number) + 1) if number % k == 0]
    return {*small, *(number // k for k in small)}


def _turned(spots: Floats, angle: float) -> Floats:

    c, s = math.cos(angle), math.sin(angle)
    return np.column_stack([c * spots[:, 0] - s * spots[:, 1], s * spots[:, 0] + c * spots[:, 1]])


def _flipped(spots: Floats, axis: float) -> Floats:

    c, s = math.cos(2 * axis), math.sin(2 * axis)
    return np.column_stack([c * spots[:, 0] + s * spots[:, 1], s * spots[:, 0] - c * spots[:, 1]])
