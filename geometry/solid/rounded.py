"""An extruded body whose upper edge is rounded along runs of its outline, exactly.

    section across a rounded edge            seen from above

         top: offset by the radius             run          stop
          ____________________               .-----------.|______  edge that stays sharp
        .'  radius                  z        :  offset    |
       |                            ^        '-----------'|
       | wall                       |         outline
       |____________________        +

A round of constant radius along straight and round edges is a quarter cylinder, or a quarter of a
torus; at an end of a run that is no loop it stops square, with a flat wall across it. All of it is
exact: nothing is left to a kernel's fillet, which fails where a corner in plan is tighter than the
round.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from geometry.errors import GeometryError
from geometry.fillet import corner_turn
from geometry.loop_table import loop_tables, polygons
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.solid.body import Extruded
from geometry.solid.quick_round import surely_fits
from geometry.tolerance import READ_BACK, SAME_PLACE, TANGENT_ANGLE

#: Sagitta of the polygon that tells whether the offset outline crosses itself, mm.
_SAGITTA = 0.01

#: Where bisection cuts: not in the middle, which would land on round figures (see `_HORN`).
_CUT = 0.4877

#: A torus whose tube just touches its own axis: other programs read its STEP surface wrongly.
_HORN = "a corner in plan has exactly twice the radius, which other programs read wrongly"


@dataclass(frozen=True)
class Round:
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
class Course:
    """A closed run of edges and the rounds along it: where the upper edge goes. Not checked."""

    segments: tuple[Segment, ...]
    rounds: tuple[Round, ...]

    @cached_property
    def radii(self) -> tuple[float, ...]:
        """Radius along each edge, mm; 0 where it stays sharp."""
        found = [0.0] * len(self.segments)
        for r in self.rounds:
            for k in self.run(r):
                found[k] = r.radius
        return tuple(found)

    @cached_property
    def joined(self) -> tuple[bool, ...]:
        """Whether the round of edge k goes on, without a stop, into that of edge k + 1."""
        found = [False] * len(self.segments)
        for r in self.rounds:
            for k in self.run(r)[: None if r.count == len(found) else -1]:
                found[k] = True
        return tuple(found)

    def run(self, r: Round) -> list[int]:
        """Return the indices of the edges of a round."""
        n = len(self.segments)
        return [k % n for k in range(r.first, r.first + r.count)]

    @cached_property
    def inner(self) -> tuple[Segment, ...]:
        """Each edge moved into the material by its radius, mm.

        Raises:
            GeometryError: an edge that vanishes.
        """
        starts = [_moved(s, 0.0, r) for s, r in zip(self.segments, self.radii, strict=True)]
        found: list[Segment] = []
        for k, (s, r) in enumerate(zip(self.segments, self.radii, strict=True)):
            end = starts[(k + 1) % len(starts)] if self.joined[k] else _moved(s, 1.0, r)
            found.append(
                Line(starts[k], end)
                if isinstance(s, Line)
                else Arc(starts[k], end, s.center, s.ccw)
            )
        return tuple(found)

    @cached_property
    def top(self) -> Outline:
        """Outline of the upper face: moved along the rounds, as it was elsewhere, mm."""
        found: list[Segment] = []
        for k, (s, inner) in enumerate(zip(self.segments, self.inner, strict=True)):
            if self.radii[k] and not self.joined[k - 1]:
                found.append(Line(s.start, inner.start))
            found.append(inner)
            if self.radii[k] and not self.joined[k]:
                found.append(Line(inner.end, s.end))
        return Outline(tuple(found))


@dataclass(frozen=True)
class Rounded:
    """An extruded body with rounds along its upper outer edge.

    Args:
        base: the body with sharp edges.
        rounds: runs that share no edge. Neighbouring edges of a run meet smoothly; a run ends in
            a smooth place or in a corner that turns into the material, where it stops square.

    Raises:
        GeometryError: a run that is no such run, or a radius that does not fit; then `limit` is
            the largest radius that does (from below, to a hundredth of a millimetre).
    """

    base: Extruded
    rounds: tuple[Round, ...]

    def __post_init__(self) -> None:
        """Refuse runs that cannot be rounded."""
        object.__setattr__(self, "rounds", tuple(self.rounds))
        if surely_fits(self.base, self.course, _SAGITTA):
            return
        _check_runs(self.course)
        fault = _misfit(self.base, self.course)
        if fault is None:
            return
        wrong, why, where = fault
        limit = _largest(self.base, self.rounds, wrong)
        raise GeometryError(
            f"{wrong.name}: a radius of {wrong.radius:.4g} mm does not fit: {why}",
            where=where,
            value=wrong.radius,
            limit=limit,
            hint=f"use at most {limit:.2f} mm" if limit else "leave this edge sharp",
        )

    @cached_property
    def course(self) -> Course:
        """The outer outline with its rounds."""
        return Course(self.base.region.outer.segments, self.rounds)

    @property
    def top(self) -> Outline:
        """Outer outline of the upper face, mm."""
        return self.course.top

    @property
    def z_range(self) -> tuple[float, float]:
        """Lowest and highest z in mm."""
        return self.base.z_range

    @property
    def volume(self) -> float:
        """Volume in mm3, by closed form: the rounds take a spandrel along each edge (Pappus).

        The spandrel between a square corner and its round has the area r^2 (1 - pi/4); its
        centroid lies r (10 - 3 pi) / (12 - 3 pi) from either side (any handbook of plane figures).
        """
        taken = []
        for s, r in zip(self.course.segments, self.course.radii, strict=True):
            if r == 0.0:
                continue
            area = r * r * (1 - math.pi / 4)
            if isinstance(s, Arc):
                deep, size = r * (10 - 3 * math.pi) / (12 - 3 * math.pi), s.radius
                path = abs(s.sweep) * size * (1 + (-deep if s.ccw else deep) / size)
            else:
                path = s.length
            taken.append(area * path)
        return self.base.volume - math.fsum(taken)


def _check_runs(course: Course) -> None:
    """Refuse runs that overlap, have a corner inside, or end where they cannot stop."""
    segments = course.segments
    used: set[int] = set()
    for r in course.rounds:
        run = course.run(r)
        if not 1 <= r.count <= len(segments) or used & set(run):
            raise GeometryError(f"{r.name}: an edge can be rounded only once", value=r.count)
        used |= set(run)
        if not r.radius > 0:
            raise GeometryError(f"{r.name}: a round needs a positive radius", value=r.radius)
        for k in run:
            after = segments[(k + 1) % len(segments)]
            if course.joined[k] and abs(corner_turn(segments[k], after)) > TANGENT_ANGLE:
                raise GeometryError(
                    f"{r.name}: a corner in the run", where=after.start,
                    hint="round the corner in plan first, or end the run there",
                )  # fmt: skip
        if r.count == len(segments):
            continue
        for a, b in ((run[0] - 1, run[0]), (run[-1], (run[-1] + 1) % len(segments))):
            if corner_turn(segments[a], segments[b]) > TANGENT_ANGLE:
                raise GeometryError(
                    f"{r.name}: it cannot stop in a corner that stands out",
                    where=segments[b].start,
                    hint="end it in a smooth place or in a corner that turns inwards",
                )


def _misfit(base: Extruded, course: Course) -> tuple[Round, str, tuple[float, float] | None] | None:
    """Return a round that does not fit, why, and where; None if all fit."""
    rounds = course.rounds
    for r in rounds:
        if r.radius > base.height + SAME_PLACE:
            return r, f"the body is {base.height:.4g} mm high", None
        for s in (course.segments[k] for k in course.run(r)):
            if isinstance(s, Arc) and s.ccw and s.radius <= r.radius:
                return r, f"a corner in plan has {s.radius:.4g} mm", s.point_at(0.5)
            if isinstance(s, Arc) and s.ccw and abs(s.radius - 2 * r.radius) < READ_BACK:
                return r, _HORN, s.point_at(0.5)
    if not rounds:
        return None
    widest = max(rounds, key=lambda r: r.radius)
    try:
        loops = (course.top, *base.region.holes)
    except GeometryError:
        return widest, "it meets another edge", None
    polygon, *holes = polygons(loop_tables([loop.segments for loop in loops]), _SAGITTA)
    if not all(p.is_valid for p in (polygon, *holes)):
        return widest, "it meets another edge", None
    if not polygon.exterior.is_ccw or not all(polygon.contains_properly(h) for h in holes):
        return widest, "it reaches a hole", None
    return None


def _largest(base: Extruded, rounds: tuple[Round, ...], wrong: Round) -> float:
    """Return the largest radius that fits for all rounds of that name, by bisection; 0: none."""

    def fits(radius: float) -> bool:
        changed = (replace(r, radius=radius) if r.name == wrong.name else r for r in rounds)
        return _misfit(base, Course(base.region.outer.segments, tuple(changed))) is None

    low, high = 0.0, wrong.radius
    while high - low > 0.002:
        middle = low + _CUT * (high - low)
        low, high = (middle, high) if fits(middle) else (low, middle)
    whole = math.floor(100 * low)
    while whole > 0 and not fits(whole / 100):
        whole -= 1
    return whole / 100


def _moved(s: Segment, fraction: float, distance: float) -> Point:
    """Return the start (0) or end (1) of an edge moved to its left, where the material lies."""
    spot = s.start if fraction == 0.0 else s.end
    if distance == 0.0:
        return spot
    if isinstance(s, Line):
        return spot.plus(s.direction().left(), distance)
    size = s.radius - distance if s.ccw else s.radius + distance
    return s.center.plus(spot.minus(s.center), size / s.radius)


def loops_of(body: Extruded | Rounded) -> Iterator[tuple[float, tuple[Outline, ...]]]:
    """Yield the loops of every flat face across z with its height: what a file must hold."""
    base = body.base if isinstance(body, Rounded) else body
    low, high = base.z_range
    yield low, base.region.loops
    yield high, (*base.region.holes, body.top) if isinstance(body, Rounded) else base.region.loops
