"""Are two sets of outlines the same shapes, and does a sheet fall on itself, turned or flipped?

A loop is the same, wherever it starts and whichever way it runs, if every edge's start, middle and end agree within the tolerance; three
points fix a circle, so a wrong radius cannot hide. A full circle has no corners: there centre
and radius count.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
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
    """Pair loops by centroid and size: equal ones by a grid, left out here; the rest nearest first."""
    cell = max(10 * tolerance, SAME_PLACE)
    grid: dict[tuple[int, ...], list[int]] = {}
    for j, loop in enumerate(found):
        grid.setdefault(_cell(_key(loop), cell), []).append(j)
    missing = [i for i, a in enumerate(expected) if not _taken(grid, a, found, cell, tolerance)]
    pairs: list[tuple[int, int]] = []
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


def _taken(
    grid: dict[tuple[int, ...], list[int]],
    loop: Outline,
    found: Sequence[Outline],
    cell: float,
    tolerance: float,
) -> bool:
    """Remove a loop from the neighbouring cells that is the same; tell whether there was one."""
    a, b, c = _cell(_key(loop), cell)
    for da, db, dc in product((0, -1, 1), repeat=3):
        rest = grid.get((a + da, b + db, c + dc), [])
        for j in rest:
            if same_outline(loop, found[j], tolerance):
                rest.remove(j)
                return True
    return False


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


# Does a sheet fall on itself when it is turned, and when it is flipped over?
#
# Two sheets are the same if every corner, every middle of an edge and every round hole lies within
# `SAME` of its fellow. Edges that go on along one line or circle are taken as one, wherever a
# program cut them, and a circle about the common centre falls on itself at every turn.

Floats = NDArray[np.float64]

Complex = NDArray[np.complex128]

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


Move = Callable[[Complex], Complex]


@dataclass(frozen=True)
class _Marks:
    """What must fall on its like, as places x + iy (mm) seen from the centre.

    `edges` holds start, middle and end of every edge (n, 3), material on the left; `rounds`
    the centre of every circle that is not about the common centre (m, 1), `sizes` its radius, far
    off for one that is no hole (m, 1).
    """

    edges: Complex
    rounds: Complex
    sizes: Floats

    @staticmethod
    def of(loops: Sequence[Outline], center: Point) -> _Marks:
        edges: list[list[complex]] = []
        rounds: list[complex] = []
        sizes: list[float] = []
        for loop in loops:
            merged = whole_edges(loop)
            if not isinstance(merged, tuple):
                for run in merged:
                    spots = (run[0].start, _middle(run), run[-1].end)
                    edges.append([complex(*p.minus(center)) for p in spots])
            elif merged[0].distance(center) > SAME:
                rounds.append(complex(*merged[0].minus(center)))
                sizes.append(merged[1] + (1e6 if loop.ccw else 0.0))
        return _Marks(
            np.array(edges, dtype=complex).reshape(-1, 3),
            np.array(rounds, dtype=complex).reshape(-1, 1),
            np.array(sizes).reshape(-1, 1),
        )

    def order(self) -> int:
        """Return the largest order of rotation; 0 if every turn does."""
        spots = [row for row in (self.edges[:, 1], self.rounds[:, 0]) if len(row)]
        if not spots:
            return 0
        common = math.gcd(*(int(n) for row in spots for n in np.bincount(_clusters(row))))
        for n in sorted(_divisors(common), reverse=True):
            if n == 1 or self._falls_on_itself(_turn(n), False):
                return n
        return 1

    def breaker(self, order: int, wanted: int) -> Point | None:
        """Return the place of the smallest thing that breaks a higher order than `order`.

        Of all orders up to `wanted` that `order` divides, that which the fewest things break.
        """
        best: list[tuple[float, Point]] = []
        spots = np.concatenate([self.edges[:, 1], self.rounds[:, 0]])
        size = np.concatenate([np.abs(self.edges[:, 2] - self.edges[:, 0]), self.sizes[:, 0]])
        for n in sorted(_divisors(wanted or 360 * order)):
            if n > order and not n % order:
                off = np.concatenate([*self._off(_turn(n), False, self)])
                lost = [
                    (round(float(size[k]), 3), Point(float(spots[k].real), float(spots[k].imag)))
                    for k in np.flatnonzero(off > SAME)
                ]
                if lost and (not best or len(lost) < len(best)):
                    best = lost
        return min(best, key=lambda f: f[0])[1] if best else None

    def is_mirrored(self, order: int) -> bool:
        """Tell whether a flip over some axis through the centre changes nothing."""
        spots = self.edges[:, 1] if len(self.edges) else self.rounds[:, 0]
        spots = spots[np.abs(spots) > SAME]
        if not len(spots):
            return True
        group = _clusters(spots)
        angles = np.angle(spots[group == np.argmin(np.bincount(group))])
        # A flip brings the first spot onto one of its fellows: the axis halves the angle between.
        sector = np.sort((angles - angles[0]) % (2 * math.pi))
        limit = 2 * math.pi / max(order, 1) + 1e-6
        axes = angles[0] + sector[sector <= limit] / 2
        for spot in spots[:: max(1, len(spots) // 8)]:  # most axes fail on a few places
            images = np.exp(2j * axes) * np.conj(spot)
            axes = axes[_apart(spots[:, None], images[:, None]) <= SAME]
        return any(self._falls_on_itself(_flip(float(axis)), True) for axis in axes)

    def _falls_on_itself(self, move: Move, flip: bool) -> bool:
        few = _Marks(*(rows[:: max(1, len(rows) // _FIRST)] for rows in vars(self).values()))
        return not any(
            (off > SAME).any() for marks in (few, self) for off in self._off(move, flip, marks)
        )

    def _off(self, move: Move, flip: bool, some: _Marks) -> Iterator[Floats]:
        """Yield how far (mm) each of some edges and circles, moved, is from its like."""
        if len(some.edges):
            moved = move(some.edges)
            # Seen from behind, material lies on the right: travel the edge back.
            yield _apart(self.edges, moved[:, ::-1] if flip else moved)
        if len(some.rounds):
            yield _apart(self.rounds, move(some.rounds), self.sizes, some.sizes)


def _turn(order: int) -> Move:
    """Return the turn by 1/order."""
    return lambda spots: spots * cmath.rect(1.0, 2 * math.pi / order)


def _flip(axis: float) -> Move:
    """Return the mirror image in the line through the centre at `axis` rad."""
    return lambda spots: np.conj(spots) * cmath.rect(1.0, 2 * axis)


def _apart(
    mine: Complex, others: Complex, sizes: Floats | None = None, other_sizes: Floats | None = None
) -> Floats:
    """Return how far each row of `others` is from the nearest of `mine`; far off is infinite."""
    from scipy.spatial import cKDTree

    def places(rows: Complex, size: Floats | None) -> Floats:
        return np.hstack([rows.real, rows.imag, *([] if size is None else [size])])

    tree = cKDTree(places(mine, sizes))
    found: Floats = tree.query(places(others, other_sizes), distance_upper_bound=2 * SAME)[0]
    return found


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


def _clusters(spots: Complex) -> Rows:
    """Return the group of each spot: spots at one distance from the centre are a group."""
    distance = np.abs(spots)
    order = np.argsort(distance)
    group = np.zeros(len(spots), dtype=np.int64)
    group[order[1:]] = np.cumsum(np.diff(distance[order]) > SAME)
    return group


def _divisors(number: int) -> set[int]:
    small = [k for k in range(1, math.isqrt(number) + 1) if number % k == 0]
    return {*small, *(number // k for k in small)}
