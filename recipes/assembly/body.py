"""One body of the assembled motor in the half plane through the axis: z along the axle, r off it.

r ^        ______________
  |       | ring, turns  |          z is counted from face A of the axle, as the design does;
  |       |______________|          r is the distance from the motor's axis; both in mm
  |        [  stack     ]
  |   o    [____________]   o
  +---------------------------> z
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from geometry.outline import Outline
from geometry.polygon import to_polygon
from geometry.segment import Box, joint_box

if TYPE_CHECKING:
    from shapely import Polygon

#: Least clearance between what turns and what stands, mm: sawn and filed lengths and bearings that
#: shift take half of it (general tolerance ISO 2768-1 m, 0.2 to 0.3 mm; common practice).
KEEP_OFF = 0.5


def block(z0: float, z1: float, r0: float, r1: float) -> Outline:
    """Return the outline of a plain ring from `z0` to `z1` and from radius `r0` to `r1`, mm."""
    return Outline.polygon([(z0, r0), (z1, r0), (z1, r1), (z0, r1)])


@dataclass(frozen=True)
class Around:
    """Directions round the axis that a body fills: equal pieces, equally spaced.

    Args:
        count: pieces in a turn.
        width: of one piece, rad.
        first: direction of the middle of one of them, rad, tooth 1 at 0.
    """

    count: int
    width: float
    first: float

    def meets(self, other: Around) -> bool:
        """Return whether two standing bodies share a direction.

        Unlike counts meet somewhere, unless both are narrow and happen to miss; they are taken to meet.
        """
        if self.count != other.count:
            return True
        apart = abs(math.remainder(self.first - other.first, 2 * math.pi / self.count))
        return apart < (self.width + other.width) / 2


@dataclass(frozen=True)
class Handle:
    """The field of the design that moves or sizes a body.

    Args:
        field: dotted name.
        value: what it says today, mm.
        per_mm: how much more of it makes a millimetre of room (moved: along z; sized: along r); 0 if
            nobody can say.
    """

    field: str
    value: float
    per_mm: float

    def after(self, mm: float) -> str:
        """Return the field with the value that moves or shrinks the body by so many mm."""
        if not self.per_mm:
            return f"a smaller {self.field}"
        return f"{self.field} = {round(self.value + self.per_mm * mm, 2):g} mm"


@dataclass(frozen=True)
class Body:
    """One body of the motor.

    Args:
        name: for the reader, such as "bearing 1, outer ring".
        outlines: in the half plane, mm; they do not overlap each other.
        turns: whether it turns with the magnets; the axle and what is on it stand still.
        part: recipe of the catalogue that makes it, "" for what is bought or wound.
        material: what it is made of, "" where nothing depends on it.
        around: directions that it fills; None all round. What turns sweeps all of them.
        gives: paper and wire, which give way: two such bodies may share a place.
        unsure: an overlap no deeper than this is a warning only, as a size is by common practice, mm.
        keep_off: what turns past it, or stands beside it as it turns, stays so far off, mm.
        unit: bodies of one name of unit are bought as one and keep their own distance.
        moved_by: the field that moves it along the axle.
        sized_by: the field to change first where it is too large.
    """

    name: str
    outlines: tuple[Outline, ...]
    turns: bool = False
    part: str = ""
    material: str = ""
    around: Around | None = None
    gives: bool = False
    unsure: float = 0.0
    keep_off: float = KEEP_OFF
    unit: str = ""
    moved_by: Handle | None = None
    sized_by: Handle | None = None

    @cached_property
    def box(self) -> Box:
        """Bounding box (z min, r min, z max, r max), mm."""
        return joint_box(o.box for o in self.outlines)

    @cached_property
    def polygons(self) -> tuple[Polygon, ...]:
        """The outlines as polygons, for questions."""
        return tuple(to_polygon(o) for o in self.outlines)

    def shares_directions(self, other: Body) -> bool:
        """Return whether both stand in a common direction round the axis, or pass one by turning."""
        if self.turns != other.turns or self.around is None or other.around is None:
            return True
        return self.around.meets(other.around)
