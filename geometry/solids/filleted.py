"""An extruded body whose upper outer edge is filleted along runs of its outline, exactly.

    section across a filleted edge           seen from above

         top: offset by the radius             run          stop
          ____________________               .-----------.|______  edge that stays sharp
        .'  radius                  z        :  offset    |
       |                            ^        '-----------'|
       | wall                       |         outline
       |____________________        +

A fillet of constant radius along straight and round edges is a quarter cylinder, or a quarter of a
torus; at an end of a run that is no loop it stops square, with a flat wall across it. All of it is
exact: nothing is left to a kernel's fillet, which fails where a corner in plan is tighter than the
fillet.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import shapely

from geometry.errors import GeometryError
from geometry.fillet import corner_turn
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.solids.bodies import Extruded
from geometry.tolerance import READ_BACK, SAME_PLACE, TANGENT_ANGLE

#: Sagitta of the polygon that tells whether the offset outline crosses itself, mm.
_SAGITTA = 0.01

#: Where bisection cuts: not in the middle, which would land on round figures (see `_HORN`).
_CUT = 0.4877

#: A torus whose tube just touches its own axis: other programs read its STEP surface wrongly.
_HORN = "a corner in plan has exactly twice the radius, which other programs read wrongly"


@dataclass(frozen=True)
class Fillet:
    """A run of edges of the outer outline whose upper edge is rounded.

    Args:
        first: index of its first edge in `region.outer.segments`.
        count: edges in the run, round the end of the list if need be; all of them: a loop.
        radius: in mm.
        name: what to call it in an error.
    """

    first: int
    count: int
    radius: float
    name: str = "round"


@dataclass(frozen=True)
class FilletedEdge:
    """The upper edge of a body: its outer outline and the fillets along it. Not checked."""

    segments: tuple[Segment, ...]
    fillets: tuple[Fillet, ...]

    def run(self, fillet: Fillet) -> list[int]:
        """Return the indices of the edges of a fillet."""
        n = len(self.segments)
        return [k % n for k in range(fillet.first, fillet.first + fillet.count)]

    @cached_property
    def radii(self) -> tuple[float, ...]:
        """Radius along each edge, mm; 0 where it stays sharp."""
        found = {k: f.radius for f in self.fillets for k in self.run(f)}
        return tuple(found.get(k, 0.0) for k in range(len(self.segments)))

    @cached_property
    def joined(self) -> tuple[bool, ...]:
        """Whether the fillet of edge k goes on, without a stop, into that of edge k + 1."""
        n = len(self.segments)
        found = {k for f in self.fillets for k in self.run(f)[: None if f.count == n else -1]}
        return tuple(k in found for k in range(n))

    @cached_property
    def inner(self) -> tuple[Segment, ...]:
        """Each edge moved into the material by its radius, mm.

        Raises:
            GeometryError: an edge that vanishes.
        """
        starts = [_moved(s, s.start, r) for s, r in zip(self.segments, self.radii, strict=True)]
        found: list[Segment] = []
        for k, (s, r) in enumerate(zip(self.segments, self.radii, strict=True)):
            end = starts[(k + 1) % len(starts)] if self.joined[k] else _moved(s, s.end, r)
            found.append(replace(s, start=starts[k], end=end))
        return tuple(found)

    @cached_property
    def top(self) -> Outline:
        """Outline of the upper face: moved along the fillets, as it was elsewhere, mm."""
        found: list[Segment] = []
        for k, (s, inner) in enumerate(zip(self.segments, self.inner, strict=True)):
            if self.radii[k] and not self.joined[k - 1]:
                found.append(Line(s.start, inner.start))
            found.append(inner)
            if self.radii[k] and not self.joined[k]:
                found.append(Line(inner.end, s.end))
        return Outline(tuple(found))


@dataclass(frozen=True)
class Filleted:
    """An extruded body with fillets along its upper outer edge.

    Args:
        base: the body with sharp edges.
        fillets: runs that share no edge. Neighbouring edges of a run meet smoothly; a run ends in
            a smooth place or in a corner that turns into the material, where it stops square.

    Raises:
        GeometryError: a run that is no such run, or a radius that does not fit; then `limit` is
            the largest radius that does (from below, to a hundredth of a millimetre).
    """

    base: Extruded
    fillets: tuple[Fillet, ...]

    def __post_init__(self) -> None:
        """Refuse runs that cannot be filleted."""
        object.__setattr__(self, "fillets", tuple(self.fillets))
        _check_runs(self.edge)
        fault = _misfit(self.base, self.edge)
        if fault is None:
            return
        wrong, why, where = fault
        limit = _largest(self.base, self.fillets, wrong)
        raise GeometryError(
            f"{wrong.name}: a radius of {wrong.radius:.4g} mm does not fit: {why}",
            where=where,
            value=wrong.radius,
            limit=limit,
            hint=f"use at most {limit:.2f} mm" if limit else "leave this edge sharp",
        )

    @cached_property
    def edge(self) -> FilletedEdge:
        """The outer outline with its fillets."""
        return FilletedEdge(self.base.region.outer.segments, self.fillets)

    @property
    def z_range(self) -> tuple[float, float]:
        """Lowest and highest z in mm."""
        return self.base.z_range

    @property
    def flat_loops(self) -> tuple[tuple[float, tuple[Outline, ...]], ...]:
        """Height of every flat face across z with its loops, mm: what a file must hold."""
        (low, loops), (high, _) = self.base.flat_loops
        return (low, loops), (high, (*self.base.region.holes, self.edge.top))

    @property
    def volume(self) -> float:
        """Volume in mm3, by closed form: the fillets take a spandrel along each edge (Pappus).

        The spandrel between a square corner and its fillet has the area r^2 (1 - pi/4); its
        centroid lies r (10 - 3 pi) / (12 - 3 pi) from either side (any handbook of plane figures).
        """
        removed = []
        for s, r in zip(self.edge.segments, self.edge.radii, strict=True):
            path = s.length
            if isinstance(s, Arc):
                deep = r * (10 - 3 * math.pi) / (12 - 3 * math.pi)
                path *= 1 + (-deep if s.ccw else deep) / s.radius
            removed.append(r * r * (1 - math.pi / 4) * path)
        return self.base.volume - math.fsum(removed)


def _check_runs(edge: FilletedEdge) -> None:
    """Refuse runs that overlap, have a corner inside, or end where they cannot stop."""
    segments = edge.segments
    used: set[int] = set()
    for f in edge.fillets:
        run = edge.run(f)
        if not 1 <= f.count <= len(segments) or used & set(run):
            raise GeometryError(f"{f.name}: an edge can be rounded only once", value=f.count)
        used |= set(run)
        if not f.radius > 0:
            raise GeometryError(f"{f.name}: a round needs a positive radius", value=f.radius)
        for k in run:
            after = segments[(k + 1) % len(segments)]
            if edge.joined[k] and abs(corner_turn(segments[k], after)) > TANGENT_ANGLE:
                raise GeometryError(
                    f"{f.name}: a corner in the run", where=after.start,
                    hint="round the corner in plan first, or end the run there",
                )  # fmt: skip
        if f.count == len(segments):
            continue
        for a, b in ((run[0] - 1, run[0]), (run[-1], (run[-1] + 1) % len(segments))):
            if corner_turn(segments[a], segments[b]) > TANGENT_ANGLE:
                raise GeometryError(
                    f"{f.name}: it cannot stop in a corner that stands out",
                    where=segments[b].start,
                    hint="end it in a smooth place or in a corner that turns inwards",
                )


def _misfit(
    base: Extruded, edge: FilletedEdge
) -> tuple[Fillet, str, tuple[float, float] | None] | None:
    """Return a fillet that does not fit, why, and where; None if all fit."""
    for f in edge.fillets:
        if f.radius > base.height + SAME_PLACE:
            return f, f"the body is {base.height:.4g} mm high", None
        for s in (edge.segments[k] for k in edge.run(f)):
            if isinstance(s, Arc) and s.ccw and s.radius <= f.radius:
                return f, f"a corner in plan has {s.radius:.4g} mm", s.point_at(0.5)
            if isinstance(s, Arc) and s.ccw and abs(s.radius - 2 * f.radius) < READ_BACK:
                return f, _HORN, s.point_at(0.5)
    if not edge.fillets:
        return None
    widest = max(edge.fillets, key=lambda f: f.radius)
    try:
        loops = (edge.top, *base.region.holes)
    except GeometryError:
        return widest, "it meets another edge", None
    polygon, *holes = (shapely.Polygon(loop.chords(_SAGITTA)) for loop in loops)
    if not all(p.is_valid for p in (polygon, *holes)):
        return widest, "it meets another edge", None
    if not polygon.exterior.is_ccw or not all(polygon.contains_properly(h) for h in holes):
        return widest, "it reaches a hole", None
    return None


def _largest(base: Extruded, fillets: tuple[Fillet, ...], wrong: Fillet) -> float:
    """Return the largest radius that fits for all fillets of that name, by bisection; 0: none."""

    def fits(radius: float) -> bool:
        changed = (replace(f, radius=radius) if f.name == wrong.name else f for f in fillets)
        return _misfit(base, FilletedEdge(base.region.outer.segments, tuple(changed))) is None

    low, high = 0.0, wrong.radius
    while high - low > 0.002:
        middle = low + _CUT * (high - low)
        low, high = (middle, high) if fits(middle) else (low, middle)
    whole = math.floor(100 * low)
    while whole > 0 and not fits(whole / 100):
        whole -= 1
    return whole / 100


def _moved(s: Segment, end: Point, distance: float) -> Point:
    """Return an end of an edge moved to its left, where the material lies."""
    if distance == 0.0:
        return end
    if isinstance(s, Line):
        return end.plus(s.direction().left(), distance)
    size = s.radius - distance if s.ccw else s.radius + distance
    return s.center.plus(end.minus(s.center), size / s.radius)
