"""Cuts that are taken from a turned body: slots and holes through its wall, milled flats; a slot
that ends on a floor is in `blind_slot`.

A slot or hole is described by its `footprint`, the outline seen when you look at the axis from
outside: x = z along the axis, y = the distance sideways from the axis, mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point
from geometry.solid.blind_slot import AxialSlot, BlindSlot
from geometry.solid.cut_check import check_inside, finite, not_negative, positive
from geometry.solid.cut_volume import flat_volume, through_volume
from geometry.tolerance import SAME_PLACE

if TYPE_CHECKING:
    from geometry.solid.body import Turned


@dataclass(frozen=True)
class RadialSlot(AxialSlot):
    """A slot with full-radius ends, cut from outside through ONE wall of a hollow turned body.

    Args:
        z_start, z_end: ends of the slot along the axis in mm, round ends included.
        width: width in mm; the ends have the radius width / 2.
        angle: direction of its middle about the z axis in rad.
        mouth_radius: rounding of its outer edge in mm, 0 for a sharp edge.

    Raises:
        GeometryError: shorter than wide, or a size that is not positive.
    """

    mouth_radius: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a slot without its full-radius ends."""
        super().__post_init__()
        not_negative("mouth radius", self.mouth_radius)

    @property
    def both_walls(self) -> bool:
        """False: the opposite wall stays whole."""
        return False

    def check(self, base: Turned) -> None:
        """Raise `GeometryError` if `base` cannot take this slot."""
        _check_through(self, self.width, base, "slot")

    def sectors(self, base: Turned) -> list[tuple[float, float]]:
        """Return (middle, half angle) in rad of the sectors it touches."""
        return _through_sectors(self, self.width, base)

    def removed(self, base: Turned) -> float:
        """Volume in mm3 that it takes from `base` with a sharp mouth, to 1e-10."""
        return through_volume(self.z_start, self.z_end, self.width, base)


@dataclass(frozen=True)
class RadialHole:
    """A round hole from outside through one wall of a turned body, or right through it.

    Args:
        z: middle along the axis in mm.
        diameter: diameter in mm.
        angle: direction about the z axis in rad.
        both_walls: drill on through the opposite wall (or right through a solid bar).
        mouth_radius: rounding of its outer edge in mm, 0 for a sharp edge.

    Raises:
        GeometryError: a size that is not positive.
    """

    z: float
    diameter: float
    angle: float
    both_walls: bool = False
    mouth_radius: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a hole without a diameter."""
        finite("hole", self.z, self.angle)
        positive("hole diameter", self.diameter)
        not_negative("mouth radius", self.mouth_radius)

    @property
    def z_range(self) -> tuple[float, float]:
        """Ends along the axis in mm."""
        return self.z - self.diameter / 2, self.z + self.diameter / 2

    @property
    def footprint(self) -> Outline:
        """The hole seen from outside (x = z, y = sideways), mm."""
        return Outline.circle(Point(self.z, 0.0), self.diameter / 2)

    def check(self, base: Turned) -> None:
        """Raise `GeometryError` if `base` cannot take this hole."""
        _check_through(self, self.diameter, base, "hole")

    def sectors(self, base: Turned) -> list[tuple[float, float]]:
        """Return (middle, half angle) in rad of the sectors it touches."""
        return _through_sectors(self, self.diameter, base)

    def removed(self, base: Turned) -> float:
        """Volume in mm3 that it takes from `base` with a sharp mouth, to 1e-10."""
        sides = 2 if self.both_walls else 1
        return sides * through_volume(*self.z_range, self.diameter, base)


@dataclass(frozen=True)
class Flat:
    """A flat milled on a turned body, square at its ends.

    Args:
        z_start, z_end: ends along the axis in mm; may lie on the ends of the body.
        distance_from_axis: from the axis to the flat in mm (half of "across flats" for a pair).
        angle: direction of its outward normal about the z axis in rad.

    Raises:
        GeometryError: a size that is not positive.
    """

    z_start: float
    z_end: float
    distance_from_axis: float
    angle: float

    def __post_init__(self) -> None:
        """Refuse a flat without length or on the far side of the axis."""
        finite("flat", self.z_start, self.z_end, self.angle)
        positive("length of the flat", self.z_end - self.z_start)
        positive("distance of the flat from the axis", self.distance_from_axis)

    @property
    def z_range(self) -> tuple[float, float]:
        """Ends along the axis in mm."""
        return self.z_start, self.z_end

    def check(self, base: Turned) -> None:
        """Raise `GeometryError` if the flat lies off the body or does not touch it."""
        check_inside(self.z_range, base, "flat")
        radius = base.reach(*self.z_range)[1]
        if self.distance_from_axis >= radius - SAME_PLACE:
            raise GeometryError(
                f"the flat at {self.distance_from_axis:.6g} mm from the axis misses the body",
                where=(self.z_start, self.distance_from_axis),
                value=self.distance_from_axis,
                limit=radius,
                hint=f"bring it nearer than the radius of {radius:.6g} mm",
            )

    def sectors(self, base: Turned) -> list[tuple[float, float]]:
        """Return (middle, half angle) in rad of the sector it touches."""
        return [(self.angle, math.acos(self.distance_from_axis / base.reach(*self.z_range)[1]))]

    def removed(self, base: Turned) -> float:
        """Volume in mm3 that it takes from `base`, to 1e-10."""
        return flat_volume(self.z_start, self.z_end, self.distance_from_axis, base)


Cut = RadialSlot | RadialHole | Flat | BlindSlot


def _check_through(cut: RadialSlot | RadialHole, width: float, base: Turned, what: str) -> None:
    """A cut through one wall must find a bore wider than itself; no cut may be as wide as all."""
    check_inside(cut.z_range, base, what)
    inner, outer = base.reach(*cut.z_range)
    if cut.mouth_radius > 0:
        _check_mouth(cut, base, inner, outer)
    limit = 2 * (outer if cut.both_walls else inner)
    if width < limit - SAME_PLACE:
        return
    if inner <= SAME_PLACE and not cut.both_walls:
        raise GeometryError(
            f"the {what} needs a bore to break into: the body is solid there",
            where=(cut.z_range[0], 0.0),
            value=width,
            limit=0.0,
            hint="lengthen the bore, or drill through both walls",
        )
    raise GeometryError(
        f"the {what} is {width:.6g} mm wide where the {'body' if cut.both_walls else 'bore'} "
        f"is {limit:.6g} mm",
        where=(cut.z_range[0], 0.0),
        value=width,
        limit=limit,
        hint="make it narrower",
    )


def _check_mouth(cut: RadialSlot | RadialHole, base: Turned, inner: float, outer: float) -> None:
    """A rounded mouth needs one cylinder all round it, and a wall thicker than its radius."""
    if cut.mouth_radius >= outer - inner - SAME_PLACE:
        raise GeometryError(
            f"the mouth radius of {cut.mouth_radius:.6g} mm is too large for the wall",
            where=(cut.z_range[0], outer),
            value=cut.mouth_radius,
            limit=outer - inner,
            hint=f"keep it below the wall of {outer - inner:.6g} mm",
        )
    z0, z1 = cut.z_range[0] - cut.mouth_radius, cut.z_range[1] + cut.mouth_radius
    for s in base.profile.segments:
        low, bottom, high, top = s.box()
        if abs(bottom - outer) + abs(top - outer) <= SAME_PLACE and low <= z0 and z1 <= high:
            return
    raise GeometryError(
        f"a rounded mouth needs a plain cylinder from z = {z0:.6g} to {z1:.6g} mm",
        where=(z0, outer),
        value=cut.mouth_radius,
        hint="move it away from the shoulder, or use a smaller mouth radius",
    )


def _through_sectors(
    cut: RadialSlot | RadialHole, width: float, base: Turned
) -> list[tuple[float, float]]:
    inner = base.reach(*cut.z_range)[0]
    half = math.asin(width / 2 / inner) if inner > width / 2 else math.pi
    return [(cut.angle, half)] + ([(cut.angle + math.pi, half)] if cut.both_walls else [])
