"""Bodies that need no cut: a sheet given a height, a profile revolved about the z axis, several.

r ^       _______          profile of `Revolved`: x = z along the axis, y = radius r
  |  ____|       |____
  | |_________________|
  +---------------------> z
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.segment import Arc, Line, Segment
from geometry.tolerance import SAME_PLACE


@dataclass(frozen=True)
class Extruded:
    """A region given a height along z.

    Args:
        region: the flat shape in the (x, y) plane, mm.
        height: height in mm, above 0.
        z0: height of the lower face in mm.

    Raises:
        GeometryError: a height that is not positive.
    """

    region: Region
    height: float
    z0: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a body without height."""
        if not (self.height > 0 and math.isfinite(self.height + self.z0)):
            raise GeometryError(
                "a body needs a positive height", value=self.height, limit=0.0, hint="raise it"
            )

    @property
    def volume(self) -> float:
        """Volume in mm3, by closed form."""
        return self.region.area * self.height

    @property
    def z_range(self) -> tuple[float, float]:
        """Lowest and highest z in mm."""
        return self.z0, self.z0 + self.height

    @property
    def flat_loops(self) -> tuple[tuple[float, tuple[Outline, ...]], ...]:
        """Height of every flat face across z with its loops, mm: what a file must hold."""
        low, high = self.z_range
        return (low, self.region.loops), (high, self.region.loops)


@dataclass(frozen=True)
class Revolved:
    """A profile in the (z, r) half plane revolved a full turn about the z axis.

    Args:
        profile: closed outline, x = axial position z, y = radius r >= 0, mm. An edge may lie on
            the axis (a bar without a bore). Grooves, shoulders and chamfers belong in it.

    Raises:
        GeometryError: the profile crosses the axis.
    """

    profile: Outline

    def __post_init__(self) -> None:
        """Store the profile counter-clockwise; refuse one that crosses the axis."""
        object.__setattr__(self, "profile", self.profile.oriented(True))
        z0, lowest, _, highest = self.profile.box
        if lowest < -SAME_PLACE or highest <= SAME_PLACE:
            raise GeometryError(
                f"the turned profile crosses the axis: r = {lowest:.6g} mm",
                where=(z0, lowest),
                value=lowest,
                limit=0.0,
                hint="draw only the half with r >= 0",
            )

    @property
    def volume(self) -> float:
        """Volume in mm3 by Pappus: area times the path of its exact centroid (closed form)."""
        return 2 * math.pi * math.fsum(s.moment_term()[1] for s in self.profile.segments)

    @property
    def z_range(self) -> tuple[float, float]:
        """Lowest and highest z in mm."""
        return self.profile.box[0], self.profile.box[2]

    def walls(self, z: float) -> list[tuple[float, float]]:
        """Return (inner, outer) radius in mm of each ring of material in the section at `z`.

        `z` must not be the z of a corner: there the section is not defined.
        """
        radii = sorted(r for s in self.profile.segments for r in _radii_at(s, z))
        return list(zip(radii[::2], radii[1::2], strict=True))

    def reach(self, z_start: float, z_end: float) -> tuple[float, float]:
        """Return the smallest and largest radius in mm that bound material in a stretch of z.

        The smallest is 0 where the body is not hollow.

        Raises:
            GeometryError: no material between `z_start` and `z_end`.
        """
        radii = [r for s in self.profile.segments for r in _radii_between(s, z_start, z_end)]
        if not radii:
            raise GeometryError(
                f"no material between z = {z_start:.6g} and {z_end:.6g} mm",
                where=(z_start, 0.0),
                hint=f"the body reaches from {self.z_range[0]:.6g} to {self.z_range[1]:.6g} mm",
            )
        return min(radii), max(radii)

    @property
    def breaks(self) -> list[float]:
        """The z in mm where the section may change its law, rising."""
        edges = self.profile.segments
        return sorted({z for s in edges for z in (s.start.x, s.box()[0], s.box()[2])})


@dataclass(frozen=True)
class Assembly:
    """Named extruded bodies that may touch; nothing is fused.

    Args:
        items: name and body of each, at its own place.

    Raises:
        GeometryError: no body, a body without a name, or a name used twice.
    """

    items: tuple[tuple[str, Extruded], ...]

    def __post_init__(self) -> None:
        """Refuse what a reader of the file could not tell apart."""
        object.__setattr__(self, "items", tuple(self.items))
        names = [name.strip() for name, _ in self.items]
        if not names or not all(names):
            raise GeometryError("an assembly needs bodies, each with a name")
        twice = sorted({n for n in names if names.count(n) > 1})
        if twice:
            raise GeometryError(
                f"two bodies are called {twice[0]!r}", hint="give each its own name"
            )

    @property
    def volume(self) -> float:
        """Volume of all bodies in mm3, by closed form."""
        return math.fsum(body.volume for _, body in self.items)

    @property
    def z_range(self) -> tuple[float, float]:
        """Lowest and highest z in mm."""
        ranges = [body.z_range for _, body in self.items]
        return min(r[0] for r in ranges), max(r[1] for r in ranges)

    @property
    def flat_loops(self) -> tuple[tuple[float, tuple[Outline, ...]], ...]:
        """Height of every flat face across z with its loops, mm; faces that touch count twice."""
        return tuple(level for _, body in self.items for level in body.flat_loops)


def _radii_at(s: Segment, z: float) -> Iterable[float]:
    """Return the radii at which one edge of a profile crosses `z`."""
    if isinstance(s, Line):
        if (s.start.x - z) * (s.end.x - z) < 0:
            yield s.point_at((z - s.start.x) / (s.end.x - s.start.x)).y
        return
    across = s.radius**2 - (z - s.center.x) ** 2
    if across > 0:
        for up in (math.sqrt(across), -math.sqrt(across)):
            if s.covers(math.atan2(up, z - s.center.x)):
                yield s.center.y + up


def _radii_between(s: Segment, z0: float, z1: float) -> Iterable[float]:
    """Return the radii that bound the part of one edge that lies between `z0` and `z1`."""
    a, b = sorted((s.box()[0], s.box()[2]))
    if b <= z0 or a >= z1:  # touches the stretch at most with one end: its neighbour counts
        return
    yield from (p.y for p in (s.start, s.end) if z0 <= p.x <= z1)
    yield from _radii_at(s, z0)
    yield from _radii_at(s, z1)
    if isinstance(s, Arc) and z0 <= s.center.x <= z1:
        for turn, up in ((math.pi / 2, s.radius), (-math.pi / 2, -s.radius)):
            if s.covers(turn):
                yield s.center.y + up
