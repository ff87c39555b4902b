"""A turned body with round holes drilled into it along its axis, and its volume.

       ________________________
      |  ____|     |____       |     a hole is one cylinder from face to face of one wall, or from a
      | |    |hole |    |      |     face into it; it may not touch a step of the profile
------'----------------------------- z
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from geometry.errors import GeometryError
from geometry.point import Point
from geometry.segment import Line
from geometry.solids.bodies import Revolved
from geometry.tolerance import SAME_PLACE


@dataclass(frozen=True)
class AxialHole:
    """A round hole along z.

    Args:
        center: in the (x, y) plane, mm; x is direction 0 round the axis.
        radius: mm.
        ends: lowest and highest z of a hole that does not go right through, mm.
    """

    center: Point
    radius: float
    ends: tuple[float, float] | None = None


@dataclass(frozen=True)
class Drilled:
    """A revolved body with holes along its axis.

    Args:
        base: what is drilled; its edges are straight where a hole meets them.
        holes: none touches another.

    Raises:
        GeometryError: a hole that meets another, a step of the profile, or no material.
    """

    base: Revolved
    holes: tuple[AxialHole, ...] = ()

    def __post_init__(self) -> None:
        """Check every hole against the base and the others."""
        object.__setattr__(self, "holes", tuple(self.holes))
        for hole in self.holes:
            self.span(hole)
        for a, b in itertools.combinations(self.holes, 2):
            (low, high), (start, end) = self.span(a), self.span(b)
            apart = a.center.distance(b.center) - a.radius - b.radius
            if apart <= SAME_PLACE and start < high and low < end:
                raise GeometryError(
                    "two holes meet", where=a.center, value=apart, limit=0.0, hint="move them apart"
                )

    @property
    def z_range(self) -> tuple[float, float]:
        """Lowest and highest z in mm."""
        return self.base.z_range

    @property
    def volume(self) -> float:
        """Volume in mm3, by closed form."""
        spans = ((h.radius, *self.span(h)) for h in self.holes)
        taken = (math.pi * r * r * (high - low) for r, low, high in spans)
        return self.base.volume - math.fsum(taken)

    def span(self, hole: AxialHole) -> tuple[float, float]:
        """Return the ends in z of the material that a hole takes, the same all over it, mm.

        Raises:
            GeometryError: it meets a step, more than one wall, or leaves its wall.
        """
        middle = hole.center.length()
        low, high = middle - hole.radius, middle + hole.radius
        faces = []
        for s in self.base.profile.segments:
            _, near, _, far = s.box()
            if far < low - SAME_PLACE or near > high + SAME_PLACE:
                continue
            whole = near < low and far > high and s.start.x == s.end.x
            if not whole or not isinstance(s, Line):
                raise GeometryError(
                    f"the hole at {middle:.6g} mm from the axis meets a step of the body",
                    where=hole.center,
                    value=middle,
                    hint="move it, or use a smaller one",
                )
            faces.append(s.start.x)
        faces.sort()
        if len(faces) != 2:
            raise GeometryError("a hole goes through one wall", where=hole.center, value=middle)
        start, end = hole.ends or (faces[0], faces[1])
        if not faces[0] - SAME_PLACE <= start < end <= faces[1] + SAME_PLACE:
            raise GeometryError("a hole leaves its wall", where=hole.center, value=end)
        return start, end
