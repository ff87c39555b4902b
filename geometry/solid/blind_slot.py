"""A slot with full-radius ends and a flat floor, milled into a turned body from outside.

        ________________
       (________________)   seen from outside: z_start to z_end, `width` wide
______                    ______
      |__________________|          along: the floor stands `floor` mm from the axis
- - - - - - - - - - - - - - - - axis
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.solid.cut_check import check_inside, finite, longer_than_wide, positive, slot_outline
from geometry.solid.cut_volume import blind_volume
from geometry.tolerance import SAME_PLACE

if TYPE_CHECKING:
    from geometry.solid.body import Turned


@dataclass(frozen=True)
class AxialSlot:
    """What every slot along the axis has.

    Args:
        z_start, z_end: ends of the slot along the axis in mm, round ends included.
        width: width in mm; the ends have the radius width / 2.
        angle: direction of its middle about the z axis in rad.

    Raises:
        GeometryError: shorter than wide, or a size that is not positive.
    """

    z_start: float
    z_end: float
    width: float
    angle: float

    def __post_init__(self) -> None:
        """Refuse a slot without its full-radius ends."""
        finite("slot", self.z_start, self.z_end, self.angle)
        positive("slot width", self.width)
        longer_than_wide(self.z_start, self.z_end, self.width)

    @property
    def z_range(self) -> tuple[float, float]:
        """Ends along the axis in mm."""
        return self.z_start, self.z_end

    @property
    def footprint(self) -> Outline:
        """The slot seen from outside (x = z, y = sideways), counter-clockwise, mm."""
        return slot_outline(self.z_start, self.z_end, self.width)


@dataclass(frozen=True)
class BlindSlot(AxialSlot):
    """A slot that ends on a flat floor: the wall below it stays whole.

    Args:
        z_start, z_end: ends of the slot along the axis in mm, round ends included.
        width: width in mm; the ends have the radius width / 2.
        angle: direction of its middle about the z axis in rad.
        floor: distance of its floor from the axis in mm.

    Raises:
        GeometryError: shorter than wide, or a size that is not positive.
    """

    floor: float

    def __post_init__(self) -> None:
        """Refuse a slot without its full-radius ends, or with a floor on the far side."""
        super().__post_init__()
        positive("distance of the slot's floor from the axis", self.floor)

    def check(self, base: Turned) -> None:
        """Raise `GeometryError` if the slot misses `base`, or breaks through its wall."""
        check_inside(self.z_range, base, "slot")
        inner, outer = base.reach(*self.z_range)
        if self.floor <= inner + SAME_PLACE:
            raise GeometryError(
                f"the slot's floor at {self.floor:.6g} mm from the axis breaks into the bore",
                where=(self.z_start, self.floor),
                value=self.floor,
                limit=inner,
                hint=f"keep its floor farther out than {inner:.6g} mm, or cut a RadialSlot",
            )
        if math.hypot(self.floor, self.width / 2) >= outer - SAME_PLACE:
            raise GeometryError(
                f"the slot's floor at {self.floor:.6g} mm from the axis misses the body: at its edges "
                f"it lies {math.hypot(self.floor, self.width / 2):.6g} mm out",
                where=(self.z_start, self.floor),
                value=self.floor,
                limit=outer,
                hint="cut it deeper or narrower",
            )

    def sectors(self, _: Turned) -> list[tuple[float, float]]:
        """Return (middle, half angle) in rad of the sector it touches."""
        return [(self.angle, math.atan2(self.width / 2, self.floor))]

    def removed(self, base: Turned) -> float:
        """Volume in mm3 that it takes from `base`, to 1e-10."""
        return blind_volume(self.z_start, self.z_end, self.width, self.floor, base)
