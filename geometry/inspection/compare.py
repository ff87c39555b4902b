"""Are two sets of outlines the same shapes? Wherever each loop starts and whichever way it runs.

A loop is the same if every edge's start, middle and end agree within the tolerance; three
points fix a circle, so a wrong radius cannot hide. A full circle has no corners: there centre
and radius count.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from geometry.loop_table import LoopTable, loop_tables
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Segment
from geometry.supporting_curve import half_turns
from geometry.tolerance import SAME_PLACE

Row = NDArray[np.complex128]


#     The comparison of `geometry.inspection.compare` for many edges at once, when only yes or no counts.
#
# A loop becomes two rows of complex numbers, starts and middles of its edges (mm); an end is the
# next start. Turned and mirrored loops are made from these rows without new edges. A full circle has
# no corners: its centre and radius count.


class QuickLoop(NamedTuple):
    """One loop: starts and middles of its edges (n,), and (centre, radius) if it is a circle."""

    start: Row
    middle: Row
    circle: tuple[complex, float] | None

    def turned(self, angle: float) -> QuickLoop:
        """Return the loop turned by `angle` rad about the origin."""
        by = cmath.rect(1.0, angle)
        circle = (self.circle[0] * by, self.circle[1]) if self.circle else None
        return QuickLoop(self.start * by, self.middle * by, circle)

    def mirrored(self, axis_angle: float) -> QuickLoop:
        """Return the mirror image in a line through the origin, in the sense that the loop had."""

        by = cmath.rect(1.0, 2.0 * axis_angle)
        circle = (self.circle[0].conjugate() * by, self.circle[1]) if self.circle else None
        start = np.roll(self.start, -1)[::-1].conj() * by
        return QuickLoop(start, self.middle[::-1].conj() * by, circle)

    def same(self, other: QuickLoop, tolerance: float) -> bool:
        """Tell whether every start, middle and end agrees within `tolerance` mm."""
        if self.circle and other.circle:
            (a, r), (b, s) = self.circle, other.circle
            return abs(a - b) <= tolerance and abs(r - s) <= tolerance
        if len(self.start) != len(other.start):
            return False

        for k in np.flatnonzero(np.abs(other.start - self.start[0]) <= tolerance):
            off = np.abs(np.roll(other.start, -k) - self.start)
            off = np.maximum(off, np.abs(np.roll(other.middle, -k) - self.middle))
            if float(off.max()) <= tolerance:
                return True
        return False


def quick_loop(loop: Outline, table: LoopTable | None = None) -> QuickLoop:
    """Return a loop as rows of complex numbers; `table` if its edges are in one already."""
    table = table or loop_tables([loop.segments])[0]
    circle = loop.as_circle()
    return QuickLoop(
        table.start, table.middle, (complex(*circle[0]), circle[1]) if circle else None
    )


def all_same(expected: Sequence[QuickLoop], found: Sequence[QuickLoop], tolerance: float) -> bool:
    """Tell whether every expected loop has a partner of its own among those found, none left over.

    `tolerance` in mm. False only means that `compare_outlines` must look; True that it would find nothing.
    """
    left = list(found)
    for loop in expected:
        partner = next((k for k, other in enumerate(left) if loop.same(other, tolerance)), None)
        if partner is None:
            return False
        del left[partner]
    return not left


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
    for da in (0, -1, 1):
        for db in (0, -1, 1):
            for dc in (0, -1, 1):
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
