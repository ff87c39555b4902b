"""What every cut is checked for, and the outline of a slot with full-radius ends."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line
from geometry.tolerance import SAME_PLACE

if TYPE_CHECKING:
    from geometry.solid.body import Turned


def finite(what: str, *values: float) -> None:
    """Raise GeometryError for a place (mm or rad) that is not a number."""
    if not all(math.isfinite(v) for v in values):
        raise GeometryError(f"the place of the {what} is not a number: {values}")


def positive(what: str, value: float) -> None:
    """Raise GeometryError for a size in mm that is not above 0."""
    if not (value > 0 and math.isfinite(value)):
        raise GeometryError(f"{what} must be above 0, not {value:.6g} mm", value=value, limit=0.0)


def not_negative(what: str, value: float) -> None:
    """Raise GeometryError for a size in mm below 0."""
    if not (value >= 0 and math.isfinite(value)):
        raise GeometryError(f"{what} must not be below 0: {value:.6g} mm", value=value, limit=0.0)


def longer_than_wide(z_start: float, z_end: float, width: float) -> None:
    """Raise GeometryError for a slot (mm) that is too short for its full-radius ends."""
    if not z_end - z_start > width:
        raise GeometryError(
            f"the slot is {z_end - z_start:.6g} mm long but {width:.6g} mm wide",
            where=(z_start, 0.0),
            value=z_end - z_start,
            limit=width,
            hint="make it longer than wide, or drill a RadialHole",
        )


def check_inside(z_range: tuple[float, float], base: Turned, what: str) -> None:
    """Raise GeometryError for a cut (z range in mm) that leaves the body at one of its ends."""
    (z0, z1), (low, high) = z_range, base.z_range
    if z0 < low - SAME_PLACE or z1 > high + SAME_PLACE:
        raise GeometryError(
            f"the {what} from z = {z0:.6g} to {z1:.6g} mm leaves the body",
            where=(z0, 0.0),
            value=z0 if z0 < low else z1,
            limit=low if z0 < low else high,
            hint=f"keep it between {low:.6g} and {high:.6g} mm",
        )


def slot_outline(z_start: float, z_end: float, width: float) -> Outline:
    """Return a slot with full-radius ends (x = z, y = sideways), counter-clockwise, mm."""
    r = width / 2
    z0, z1 = z_start + r, z_end - r
    a, b, c, d = Point(z0, -r), Point(z1, -r), Point(z1, r), Point(z0, r)
    return Outline(
        (
            Line(a, b),
            Arc(b, c, Point(z1, 0.0), True),
            Line(c, d),
            Arc(d, a, Point(z0, 0.0), True),
        )
    )
