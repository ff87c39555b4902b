"""Volume of a cut in a turned body: exact sections, integrated along the axis."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from geometry.solid.body import Turned

#: Relative error to which volumes of cuts are integrated.
VOLUME_ERROR = 1e-10


def through_volume(z0: float, z1: float, width: float, base: Turned) -> float:
    """Volume in mm3 of one wall inside a stadium footprint.

    At one z the footprint is 2 h wide, and a ring of material from r1 to r2 holds
    A(r2, h) - A(r1, h) with A(r, h) = h sqrt(r^2 - h^2) + r^2 asin(h / r), the half strip of a
    disc.
    """

    def section(z: float, h: float) -> float:
        return math.fsum(_strip(b, h) - _strip(a, h) for a, b in base.walls(z))

    return _stadium_volume(z0, z1, width, section, base)


def blind_volume(z0: float, z1: float, width: float, floor: float, base: Turned) -> float:
    """Volume in mm3 of `base` inside a stadium footprint, beyond a plane `floor` mm from the axis.

    The floor lies in the outermost wall: of a half strip A(r, h) the plane leaves 2 h x floor.
    """

    def section(z: float, h: float) -> float:
        outer = max((b for _, b in base.walls(z)), default=0.0)
        h = min(h, math.sqrt(max(outer * outer - floor * floor, 0.0)))  # the plane meets the skin
        return _strip(outer, h) - 2 * h * floor

    return _stadium_volume(z0, z1, width, section, base)


def _stadium_volume(
    z0: float, z1: float, width: float, section: Callable[[float, float], float], base: Turned
) -> float:
    """Integrate `section(z, half width)` over a stadium footprint.

    Over the round ends z = middle - h0 cos(t), h = h0 sin(t), which leaves no root at the ends.
    """
    h0, breaks = width / 2, base.breaks()
    total = _integral(lambda z: section(z, h0), z0 + h0, z1 - h0, breaks)
    for middle, t0, t1 in ((z0 + h0, 0.0, math.pi / 2), (z1 - h0, math.pi / 2, math.pi)):

        def end(t: float, middle: float = middle) -> float:
            return section(middle - h0 * math.cos(t), h0 * math.sin(t)) * h0 * math.sin(t)

        stops = [math.acos((middle - z) / h0) for z in breaks if abs(middle - z) < h0]
        total += _integral(end, t0, t1, stops)
    return total


def flat_volume(z0: float, z1: float, distance: float, base: Turned) -> float:
    """Volume in mm3 of `base` beyond a plane at `distance` mm from the axis, from z0 to z1."""

    def section(z: float) -> float:
        return math.fsum(_segment(b, distance) - _segment(a, distance) for a, b in base.walls(z))

    return _integral(section, z0, z1, base.breaks())


def _strip(r: float, h: float) -> float:
    """Area in mm2 of the half of a disc of radius `r` within `h` sideways of its middle line."""
    h = min(h, r)
    return h * math.sqrt(r * r - h * h) + r * r * math.asin(h / r) if r > 0 else 0.0


def _segment(r: float, d: float) -> float:
    """Area in mm2 of the part of a disc of radius `r` beyond a chord at distance `d`."""
    return r * r * math.acos(d / r) - d * math.sqrt(r * r - d * d) if r > d else 0.0


def _integral(f: Callable[[float], float], a: float, b: float, breaks: list[float]) -> float:
    """Integrate `f` from a to b piece by piece between the `breaks`."""
    if b - a <= 0:
        return 0.0
    from scipy.integrate import quad

    stops = [a, *sorted(z for z in breaks if a < z < b), b]
    return math.fsum(
        float(quad(f, low, high, epsabs=1e-12, epsrel=VOLUME_ERROR, limit=200)[0])
        for low, high in itertools.pairwise(stops)
    )
