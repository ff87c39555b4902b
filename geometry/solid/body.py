"""Solids in words: a sheet given a height, or a profile turned about the z axis, with cuts.

Pure and frozen; no CAD kernel. `geometry.step.write` turns them into files one way.

         r ^       _______          profile of `Turned`: x = z along the axis, y = radius r
           |  ____|       |____     angle 0 of a cut points along +x, pi / 2 along +y,
           | |_________________|    seen from the end of the z axis
           +---------------------> z
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.segment import Arc, Line, Segment
from geometry.solid.blind_slot import BlindSlot
from geometry.solid.cut import Cut, Flat, RadialHole, RadialSlot
from geometry.tolerance import SAME_PLACE

if TYPE_CHECKING:
    from geometry.solid.assembly import Assembly
    from geometry.solid.rounded import Rounded

__all__ = ["BlindSlot", "Cut", "Extruded", "Flat", "RadialHole", "RadialSlot", "Solid", "Turned"]


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


@dataclass(frozen=True)
class Turned:
    """A profile in the (z, r) half plane turned a full turn about the z axis.

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

    @property
    def largest_radius(self) -> float:
        """Largest radius anywhere in mm."""
        return self.profile.box[3]

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
        radii: list[float] = []
        for s in self.profile.segments:
            radii.extend(_radii_between(s, z_start, z_end))
        if not radii:
            raise GeometryError(
                f"no material between z = {z_start:.6g} and {z_end:.6g} mm",
                where=(z_start, 0.0),
                hint=f"the body reaches from {self.z_range[0]:.6g} to {self.z_range[1]:.6g} mm",
            )
        return min(radii), max(radii)

    def breaks(self) -> list[float]:
        """Return the z in mm where the section may change its law, rising."""
        return sorted(
            {s.start.x for s in self.profile.segments}
            | {x for s in self.profile.segments for x in (s.box()[0], s.box()[2])}
        )


@dataclass(frozen=True)
class Solid:
    """A body with cuts.

    Args:
        base: what it is made from: a sheet, a turned body, a sheet with rounded edges, several.
        cuts: slots, holes and flats, taken from a `Turned` base.

    Raises:
        GeometryError: a cut that the base cannot take, with its value, limit and way out.
    """

    base: Extruded | Turned | Rounded | Assembly
    cuts: tuple[Cut, ...] = ()

    def __post_init__(self) -> None:
        """Check every cut against the base."""
        object.__setattr__(self, "cuts", tuple(self.cuts))
        for cut in self.cuts:
            if not isinstance(self.base, Turned):
                raise GeometryError(
                    "radial cuts need a turned body", hint="put holes of a sheet into its region"
                )
            cut.check(self.base)

    @property
    def z_range(self) -> tuple[float, float]:
        """Lowest and highest z in mm, as if uncut."""
        return self.base.z_range

    @property
    def volume(self) -> float:
        """Volume in mm3: the base by closed form, cuts numerically to 1e-10 of each cut.

        A rounded mouth counts as sharp: 0.2 to 0.5 r^2 mm3 for each mm of its edge is left out.

        Raises:
            GeometryError: two cuts may overlap, so their volumes cannot simply be added.
        """
        if not isinstance(self.base, Turned):
            return self.base.volume
        for a, b in itertools.combinations(self.cuts, 2):
            if _may_overlap(a, b, self.base):
                raise GeometryError(
                    f"{type(a).__name__} and {type(b).__name__} may overlap",
                    where=(max(a.z_range[0], b.z_range[0]), 0.0),
                    hint="move them apart along z or round the axis",
                )
        return self.base.volume - math.fsum(cut.removed(self.base) for cut in self.cuts)


def _may_overlap(a: Cut, b: Cut, base: Turned) -> bool:
    """Tell whether two cuts share a stretch of z and a sector (a cautious test)."""
    if min(a.z_range[1], b.z_range[1]) <= max(a.z_range[0], b.z_range[0]):
        return False
    for (mid, half), (other, other_half) in itertools.product(a.sectors(base), b.sectors(base)):
        if abs(math.remainder(mid - other, 2 * math.pi)) < half + other_half:
            return True
    return False


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
