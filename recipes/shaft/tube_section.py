"""Sections of a hollow round bar: plain, with an axial slot through one wall, or with two flats.

        y                      y
        |   ____               |
      .-+-.                 ___|___
     / .-. \\_____          / .-+-. \\      slot: width w, along +x, through the right wall only
    | (   )  w    > x     |  (   )  | > x  flats: distance `across`, seen edge on, facing +x and -x
     \\ '-' /-----          \\_'---'_/
      '---'

`angle` is the direction of the load in that frame, rad: 0 along +x, toward the slot or a flat.
All figures are per unit load: 1/mm3 for moments and torques (N mm -> MPa), 1/mm2 for shear.

Area, centroid and second moments are exact integrals. Torsion:

    closed tube             J = pi (D^4 - d^4) / 32, exact
    slot along the bar      J = (b - 0.63 t) t^3 / 3, b = pi (D + d) / 2 - w, t = (D - d) / 2
                            Roark's Formulas for Stress and Strain, Table 10.7 (thin open section),
                            with Timoshenko's end correction: within 1 % of finite elements for
                            d/D 0.28 to 0.9 (tests)
    its shear stress        that of an endless curved strip, larger inside than outside:
                            tau ~ r - (R^2 - r0^2) / (2 r ln(R / r0)) (Prandtl's stress function of
                            a slit ring), within 2 % of finite elements

A slot that is short and ends in closed tube twists and bends less than that, because its ends hold
it from warping: the figures for the slot are the safe side, its ends are `notch_factor`'s.
Flats in torsion count as the tube inside them, the safe side.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class Unit:
    """Stress at one place for unit loads: bending and torsion in 1/mm3, shear in 1/mm2."""

    bending: float
    torsion: float


def strip_integrals(radius: float, half: float) -> tuple[float, float, float, float]:
    """Return area, int x, int x^2, int y^2 of a disc's half x > 0 where |y| < `half`.

    Args:
        radius: of the disc, mm.
        half: half the width of the strip, mm; beyond the radius the whole half disc counts.

    Returns:
        mm2, mm3, mm4, mm4; exact (reference: direct integration).
    """
    r, a = radius, min(half, radius)
    if r <= 0.0:
        return 0.0, 0.0, 0.0, 0.0
    s, t = math.sqrt(r * r - a * a), math.asin(a / r)
    area = a * s + r * r * t
    first = r * r * a - a**3 / 3
    longitudinal = 2 / 3 * (a / 8 * (5 * r * r - 2 * a * a) * s + 3 * r**4 / 8 * t)
    lateral = r**4 / 4 * t - a * s * (r * r - 2 * a * a) / 4
    return area, first, longitudinal, lateral


@dataclass(frozen=True)
class TubeSection:
    """A round bar with a bore and, if `width` is above 0, a slot through the wall at +x.

    Args:
        outside, bore: diameters in mm; bore 0 for a solid bar.
        width: of the slot in mm, 0 for none.
    """

    outside: float
    bore: float
    width: float = 0.0

    @cached_property
    def _slot(self) -> tuple[float, float, float, float]:
        big = strip_integrals(self.outside / 2, self.width / 2)
        small = strip_integrals(self.bore / 2, self.width / 2)
        return (big[0] - small[0], big[1] - small[1], big[2] - small[2], big[3] - small[3])

    @cached_property
    def area(self) -> float:
        """Area in mm2."""
        return math.pi / 4 * (self.outside**2 - self.bore**2) - self._slot[0]

    @cached_property
    def centroid(self) -> float:
        """X of the centroid in mm: 0 without slot, negative with one."""
        return -self._slot[1] / self.area

    @cached_property
    def i_slot_axis(self) -> float:
        """Second moment about the slot's own axis x, int y^2, mm4."""
        return math.pi / 64 * (self.outside**4 - self.bore**4) - self._slot[3]

    @cached_property
    def i_across(self) -> float:
        """Second moment about the axis through the centroid across the slot, mm4."""
        whole = math.pi / 64 * (self.outside**4 - self.bore**4) - self._slot[2]
        return whole - self.area * self.centroid**2

    @cached_property
    def j_closed(self) -> float:
        """Torsion constant of the tube without its slot, mm4."""
        return math.pi / 32 * (self.outside**4 - self.bore**4)

    @cached_property
    def j_open(self) -> float:
        """Torsion constant with the slot along the whole bar, mm4; the closed one without slot."""
        if not self.width:
            return self.j_closed
        t = (self.outside - self.bore) / 2
        b = math.pi * (self.outside + self.bore) / 2 - self.width
        return max(b - 0.63 * t, 0.0) * t**3 / 3

    def bending(self, angle: float, radius: float | None = None) -> float:
        """Return the largest bending stress on a circle of the section for a unit moment, 1/mm3.

        Args:
            angle: direction of the load, rad.
            radius: of the circle in mm; left out: the outside.
        """
        r = self.outside / 2 if radius is None else radius
        gx, gy = math.cos(angle) / self.i_across, math.sin(angle) / self.i_slot_axis
        a, slope, middle = min(self.width / 2, r), math.hypot(gx, gy), self.centroid
        x, y = r * gx / slope, r * gy / slope  # where the circle is furthest out, on either side
        spots = [(-x, -y), (x, y)] if x < 0.0 else [(x, y), (-x, -y)]
        if a:
            edge = math.sqrt(r * r - a * a)
            spots = [spots[1], (edge, a), (edge, -a), *(spots[:1] if abs(y) >= a else ())]
        return max([abs((x - middle) * gx + y * gy) for x, y in spots])

    @cached_property
    def torsion(self) -> tuple[float, float]:
        """Shear stress at the outside and at the bore for a unit torque, 1/mm3; with slot: open."""
        big, small = self.outside / 2, self.bore / 2
        if not self.width:
            return big / self.j_closed, small / self.j_closed
        if self.j_open <= 0.0:
            return math.inf, math.inf
        k = (big * big - small * small) / (2 * math.log(big / small))
        return (big - k / big) / self.j_open, (k / small - small) / self.j_open

    def shear(self, angle: float) -> float:
        """Return the largest shear stress for a unit force across, 1/mm2.

        Of the closed tube, exact by V Q / (I t) at its neutral axis; where the slot takes one of
        the two walls there, the other carries all.
        """
        big, small = self.outside / 2, self.bore / 2
        ring = math.pi * (big * big - small * small)
        one = 4 / 3 / ring * (1.0 + big * small / (big * big + small * small))
        return one * (1.0 + abs(math.sin(angle))) if self.width else one

    def spots(self, angle: float) -> tuple[Unit, ...]:
        """Return bending and torsion together at the worst place of outside and bore."""
        outer, inner = self.torsion
        found = [Unit(self.bending(angle), outer)]
        if self.bore:
            found.append(Unit(self.bending(angle, self.bore / 2), inner))
        return tuple(found)


@dataclass(frozen=True)
class FlatSection:
    """A round bar with a bore and two flats that face +x and -x.

    Args:
        outside, bore: diameters in mm.
        across: distance between the flats in mm.
    """

    outside: float
    bore: float
    across: float

    @cached_property
    def _strip(self) -> tuple[float, float, float]:
        """Area, second moments about x and about y of the bar between its flats, without bore."""
        area, _, along, wide = strip_integrals(self.outside / 2, self.across / 2)
        return 2 * area, 2 * along, 2 * wide

    @cached_property
    def area(self) -> float:
        """Area in mm2."""
        return self._strip[0] - math.pi / 4 * self.bore**2

    @cached_property
    def i_of_faces(self) -> tuple[float, float]:
        """Second moments in mm4: bent toward a flat, and bent along the flats."""
        hole = math.pi / 64 * self.bore**4
        return self._strip[2] - hole, self._strip[1] - hole

    def bending(self, angle: float) -> float:
        """Return the largest bending stress for a unit moment, 1/mm3."""
        toward, along = self.i_of_faces
        gx, gy = math.cos(angle) / toward, math.sin(angle) / along
        r, h = self.outside / 2, min(self.across, self.outside) / 2
        slope = math.hypot(gx, gy)
        edge = math.sqrt(r * r - h * h)
        spots = [(h, edge), (h, -edge)]
        if abs(r * gx / slope) < h:
            spots.append((r * gx / slope, r * gy / slope))
        return max(abs(x * gx + y * gy) for x, y in spots)

    @cached_property
    def torsion(self) -> float:
        """Shear stress for a unit torque, 1/mm3: of the tube inside the flats, the safe side."""
        d = min(self.across, self.outside)
        return 16 * d / (math.pi * (d**4 - self.bore**4))

    def shear(self, angle: float) -> float:
        """Return the largest shear stress for a unit force across, 1/mm2: tube inside the flats."""
        return TubeSection(min(self.across, self.outside), self.bore).shear(angle)

    def spots(self, angle: float) -> tuple[Unit, ...]:
        """Return bending and torsion together at the worst place."""
        return (Unit(self.bending(angle), self.torsion),)


#: Any section of the axle.
Shape = TubeSection | FlatSection
