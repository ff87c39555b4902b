"""Loose edges in any order and direction -> closed outlines, open runs, and which lies in which.

Glossary: a `joint` is a place where edge ends meet within the join tolerance. Two ends make a
plain joint, three or more a `junction`; a lone end is an `open end`. A `chain` is a maximal run
through plain joints. Nothing is bridged: an `Outline` exists only where all joints of its chain
agree within the tolerance, and the chain tells the largest gap that was closed and where.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Line, Segment, chord_points, halves
from geometry.tolerance import ARC_RADIUS

#: Ends that lie closer than this count as joined (design guides of cutting shops), mm.
JOIN = 0.001


@dataclass(frozen=True)
class Chain:
    """A run of edges through plain joints.

    Args:
        edges: numbers of the input edges, in order of travel.
        segments: the edges as travelled; neighbours share their end point.
        outline: the closed loop, None if the run is open.
        gap: largest gap (mm) between two ends that count as joined.
        where: the place of that gap.
    """

    edges: tuple[int, ...]
    segments: tuple[Segment, ...]
    outline: Outline | None
    gap: float
    where: Point


@dataclass(frozen=True)
class OpenEnd:
    """An end that meets no other: its edge, its place, the nearest other open end, their gap."""

    edge: int
    where: Point
    nearest: Point | None
    gap: float


@dataclass(frozen=True)
class Junction:
    """A place where more than two edge ends meet, and the edges that do."""

    where: Point
    edges: tuple[int, ...]


@dataclass(frozen=True)
class Chains:
    """All chains of a drawing; `loops` are closed, `runs` open. Edges of no length are left out."""

    loops: tuple[Chain, ...]
    runs: tuple[Chain, ...]
    ends: tuple[OpenEnd, ...]
    junctions: tuple[Junction, ...]


def chain_edges(
    edges: Sequence[Segment],
    *,
    closed: Sequence[tuple[int, int]] = (),
    leave_out: frozenset[int] = frozenset(),
    tolerance: float = JOIN,
) -> Chains:
    """Chain edges that touch end to end.

    Args:
        edges: lines and arcs, mm, in any order and direction.
        closed: (first, last) of edges first <= k < last that form a loop by themselves, such as
            a closed polyline; others may touch it, but do not join it.
        leave_out: numbers of edges to pass over, such as doubled ones.
        tolerance: ends within this distance (mm) are joined.
    """
    kept = [(a, b) for a, b in closed if not leave_out.issuperset(range(a, b))]
    in_loop = {k for a, b in closed for k in range(a, b)}
    own = {k for a, b in kept for k in range(a, b)}
    used = [k for k in range(len(edges)) if k in own or not (k in leave_out or k in in_loop)]
    nodes = _nodes(edges, used, tolerance)
    used = [k for k in used if nodes[k][0] != nodes[k][1] or _is_round(edges[k])]
    meet: dict[int, list[int]] = {}
    for k in used:
        for node in nodes[k]:
            meet.setdefault(node, []).append(k)
    loose: dict[int, list[int]] = {n: ks for n, ks in meet.items() if len(ks) == 2}
    chains = [_chain(edges, list(range(a, b)), [False] * (b - a), True) for a, b in kept]
    chains += _walk(edges, [k for k in used if k not in own], nodes, loose)
    junctions = tuple(
        Junction(_end_at(edges[ks[0]], nodes[ks[0]], node), tuple(dict.fromkeys(ks)))
        for node, ks in meet.items()
        if len(ks) > 2
    )
    lone = [(ks[0], _end_at(edges[ks[0]], nodes[ks[0]], n)) for n, ks in meet.items() if len(ks) == 1]  # fmt: skip
    return Chains(
        tuple(c for c in chains if c.outline),
        tuple(c for c in chains if not c.outline),
        _open_ends(lone),
        junctions,
    )


def _is_round(edge: Segment) -> bool:
    """Tell whether an edge that ends where it starts is a circle, not a speck."""
    return isinstance(edge, Arc) and abs(edge.sweep) > math.pi


def _nodes(
    edges: Sequence[Segment], used: Sequence[int], tolerance: float
) -> dict[int, tuple[int, int]]:
    """Return for each edge the numbers of the joints at its start and end."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    if not used:
        return {}
    ends = np.array([p for k in used for p in (edges[k].start, edges[k].end)], dtype=float)
    spots, which = np.unique(ends, axis=0, return_inverse=True)
    pairs = cKDTree(spots).query_pairs(tolerance, output_type="ndarray")
    links = coo_matrix((np.ones(len(pairs)), pairs.T), shape=(len(spots), len(spots)))
    _, group = connected_components(links, directed=False)
    node = group[which.reshape(-1)].reshape(-1, 2).tolist()
    return {k: (a, b) for k, (a, b) in zip(used, node, strict=True)}


def _end_at(edge: Segment, nodes: tuple[int, int], node: int) -> Point:
    return edge.start if nodes[0] == node else edge.end


def _walk(
    edges: Sequence[Segment],
    used: Sequence[int],
    nodes: dict[int, tuple[int, int]],
    loose: dict[int, list[int]],
) -> list[Chain]:
    """Follow plain joints from edge to edge; `used` are the edges that close by no other means."""
    todo = dict.fromkeys(used)
    chains: list[Chain] = []
    for first in used:
        if first not in todo:
            continue
        del todo[first]
        path: list[tuple[int, bool]] = [(first, False)]
        ring = _extend(path, todo, nodes, loose, nodes[first][1])
        if not ring:
            back: list[tuple[int, bool]] = [(first, True)]
            _extend(back, todo, nodes, loose, nodes[first][0])
            path = [(k, not turned) for k, turned in reversed(back[1:])] + path
        numbers, flips = [k for k, _ in path], [flip for _, flip in path]
        chains.append(_chain(edges, numbers, flips, ring))
    return chains


def _extend(
    path: list[tuple[int, bool]],
    todo: dict[int, None],
    nodes: dict[int, tuple[int, int]],
    loose: dict[int, list[int]],
    node: int,
) -> bool:
    """Append edges to `path` from joint `node` on; return whether it came back to its start."""
    first, flipped = path[0]
    goal = nodes[first][1 if flipped else 0]
    while True:
        pair = loose.get(node, [])
        if node == goal and len(pair) == 2:
            return True
        after = next((k for k in pair if k in todo), None)
        if after is None:
            return False
        del todo[after]
        flip = nodes[after][0] != node
        path.append((after, flip))
        node = nodes[after][0 if flip else 1]


def _chain(edges: Sequence[Segment], numbers: list[int], flips: list[bool], ring: bool) -> Chain:
    run = [edges[k].reversed() if f else edges[k] for k, f in zip(numbers, flips, strict=True)]
    if ring and len(run) == 1 and isinstance(run[0], Arc):  # a line cannot be a ring
        run = [*halves(run[0])]
    gap, where = 0.0, run[0].start
    shared: list[Segment] = []
    for k, edge in enumerate(run):
        before = run[k - 1] if k or ring else None
        if before is not None and before.end.distance(edge.start) > gap:
            gap, where = before.end.distance(edge.start), edge.start
        start = before.end if before is not None else edge.start
        shared += _moved_start(edge, start)
    outline = Outline(tuple(shared)) if ring else None
    return Chain(tuple(numbers), tuple(shared), outline, gap, where)


def _moved_start(edge: Segment, start: Point) -> tuple[Segment, ...]:
    """Return the edge from `start`, the end of the one before, so that both share one point.

    An arc keeps its centre if it can; else the centre moves to the nearest place that is as far
    from both ends, which moves no point of the edge by more than about the gap.
    """
    if edge.start == start or start == edge.end:
        return (edge,) if edge.start == start else ()
    if isinstance(edge, Line):
        return (Line(start, edge.end),)
    if abs(edge.sweep) > 3.2:  # the more it closes, the worse its chord holds the centre
        first, last = halves(edge)
        return (*_moved_start(first, start), last)
    center = edge.center
    off = start.distance(center) - edge.end.distance(center)
    if abs(off) > ARC_RADIUS / 2:
        chord = edge.end.minus(start)
        middle = start.plus(edge.end).times(0.5)
        normal = chord.left().unit()
        center = middle.plus(normal, center.minus(middle).dot(normal))
    return (Arc(start, edge.end, center, edge.ccw),)


def _open_ends(lone: list[tuple[int, Point]]) -> tuple[OpenEnd, ...]:
    """Return the lone ends, each with the nearest other one."""
    from scipy.spatial import cKDTree

    if len(lone) < 2:
        return tuple(OpenEnd(k, spot, None, math.inf) for k, spot in lone)
    places = np.array([spot for _, spot in lone])
    distances, others = cKDTree(places).query(places, k=2)
    ends = []
    for row, (k, spot) in enumerate(lone):
        column = 0 if others[row][0] != row else 1
        ends.append(
            OpenEnd(k, spot, lone[int(others[row][column])][1], float(distances[row][column]))
        )
    return tuple(ends)


# Which loop lies in which: outer outlines, their holes, islands in holes.

#: Sagitta (mm) of the chords that stand for arcs when a loop is looked for in another one. Loops
#: that come closer are found by `geometry.inspection.edges` and `geometry.inspection.minimum_feature`.
_SAGITTA = 0.005


@dataclass(frozen=True)
class Nesting:
    """The loops of a drawing by what holds them.

    Args:
        depth: for each loop, how many others (loops, and open runs taken as if closed) hold it.
        parent: for each loop, the number of the smallest loop that holds it; None for an outer
            one or if that is an open run.
    """

    depth: tuple[int, ...]
    parent: tuple[int | None, ...]

    def regions(self, loops: Sequence[Outline]) -> tuple[Region, ...]:
        """Return a region for each loop of even depth, with the loops directly in it as holes."""
        holes: dict[int, list[Outline]] = {k: [] for k, d in enumerate(self.depth) if d % 2 == 0}
        for k, (depth, parent) in enumerate(zip(self.depth, self.parent, strict=True)):
            if depth % 2 and parent in holes:
                holes[parent].append(loops[k])
        return tuple(Region(loops[k], tuple(inside)) for k, inside in holes.items())


def nest(chains: Chains) -> Nesting:
    """Return how the closed loops of `chains` lie in each other.

    A run with a gap still tells inside from outside here, as if straight lines closed it; it
    becomes no outline by that.
    """
    loops = [c.outline for c in chains.loops if c.outline]
    if not loops:
        return Nesting((), ())
    probes = shapely.points([loop.segments[0].point_at(0.5) for loop in loops])
    tree = shapely.STRtree(probes)
    # most loops are holes with nothing in their box, whose chords nobody needs
    boxed = tree.query(shapely.box(*np.array([loop.box for loop in loops]).T))
    holders = np.unique(boxed[0][boxed[0] != boxed[1]])
    rings = [loops[k].chords(_SAGITTA) for k in holders]
    # a ring needs three corners, even one that runs there and back: repeat the first
    rings = [ring if len(ring) > 2 else ring + ring[:1] for ring in rings]
    open_rings = [ring for ring in _nearly_closed(chains) if len(set(ring)) > 2]
    rings += open_rings
    polygons = np.array([shapely.Polygon(ring) for ring in rings], dtype=object)
    number = np.concatenate([holders, len(loops) + np.arange(len(open_rings))])
    areas = np.array([*(loop.area for loop in loops), *shapely.area(polygons[len(holders) :])])
    which, held = tree.query(polygons, predicate="contains")
    holder = number[which]
    other = (holder != held) & (areas[holder] >= areas[held])
    holder, held = holder[other], held[other]
    depth = np.bincount(held, minlength=len(loops))
    parent: list[int | None] = [None] * len(loops)
    for k in np.lexsort((-areas[holder], held)):  # the smallest comes last and stays
        parent[int(held[k])] = int(holder[k]) if holder[k] < len(loops) else None
    return Nesting(tuple(int(d) for d in depth), tuple(parent))


def _nearly_closed(chains: Chains) -> list[list[Point]]:
    """Return the corners of open runs, joined where their ends are each other's nearest."""
    mate = {e.where: e.nearest for e in chains.ends}
    at: dict[Point, tuple[int, bool]] = {}
    for k, run in enumerate(chains.runs):
        at[run.segments[0].start] = (k, False)
        at[run.segments[-1].end] = (k, True)
    todo = dict.fromkeys(range(len(chains.runs)))
    rings: list[list[Point]] = []
    for first in range(len(chains.runs)):
        ring: list[Point] = []
        number: int | None = first
        backward = False
        while number is not None and number in todo:
            del todo[number]
            run = chains.runs[number]
            spots = chord_points(run.segments, _SAGITTA)
            ring += reversed(spots) if backward else spots
            last = spots[0] if backward else spots[-1]
            other = mate.get(last)
            number = None
            if other is not None and mate.get(other) == last and other in at:
                number, backward = at[other]
        if ring:
            rings.append(ring)
    return rings
