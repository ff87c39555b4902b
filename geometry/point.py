"""A place in the plane, in mm."""

from __future__ import annotations

import math
from typing import NamedTuple


class Point(NamedTuple):
    """A place (x, y) in mm; equal points compare equal, so neighbours can share one."""

    x: float
    y: float

    @staticmethod
    def polar(radius: float, angle: float) -> Point:
        """Return the point at `radius` mm and `angle` rad from the origin."""
        return Point(radius * math.cos(angle), radius * math.sin(angle))

    def plus(self, other: Point, factor: float = 1.0) -> Point:
        """Return self + factor * other."""
        return Point(self.x + factor * other.x, self.y + factor * other.y)

    def minus(self, other: Point) -> Point:
        """Return self - other."""
        return Point(self.x - other.x, self.y - other.y)

    def times(self, factor: float) -> Point:
        """Return the vector scaled by `factor`."""
        return Point(self.x * factor, self.y * factor)

    def dot(self, other: Point) -> float:
        """Return the scalar product in mm2."""
        return self.x * other.x + self.y * other.y

    def cross(self, other: Point) -> float:
        """Return the z part of the vector product in mm2: positive if `other` lies to the left."""
        return self.x * other.y - self.y * other.x

    def length(self) -> float:
        """Return the distance from the origin in mm."""
        return math.hypot(self.x, self.y)

    def distance(self, other: Point) -> float:
        """Return the distance to `other` in mm."""
        return math.hypot(self.x - other.x, self.y - other.y)

    def unit(self) -> Point:
        """Return the vector of length 1 in the same direction; ZeroDivisionError for (0, 0)."""
        size = self.length()
        return Point(self.x / size, self.y / size)

    def left(self) -> Point:
        """Return the vector turned a quarter turn counter-clockwise."""
        return Point(-self.y, self.x)

    def angle(self) -> float:
        """Return the direction from the origin in rad, -pi to pi."""
        return math.atan2(self.y, self.x)

    def rotated(self, angle: float, about: Point | None = None) -> Point:
        """Return the point turned counter-clockwise by `angle` rad about `about` (origin)."""
        c, s = math.cos(angle), math.sin(angle)
        ox, oy = about if about is not None else (0.0, 0.0)
        x, y = self.x - ox, self.y - oy
        return Point(ox + c * x - s * y, oy + s * x + c * y)

    def mirrored(self, axis_angle: float = 0.0) -> Point:
        """Return the mirror image in the line through the origin at `axis_angle` rad (x axis)."""
        if axis_angle == 0.0:
            return Point(self.x, -self.y)
        c, s = math.cos(2 * axis_angle), math.sin(2 * axis_angle)
        return Point(c * self.x + s * self.y, s * self.x - c * self.y)


ORIGIN = Point(0.0, 0.0)
