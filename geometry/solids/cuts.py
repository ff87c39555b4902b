"""Cuts that are machined into a revolved body: slots through its wall, slots that end on a floor,
flats; and the volume each takes away.

        ________________
       (________________)   footprint of a slot, seen from outside: z_start to z_end, `width` wide
______                    ______
      |__________________|          longitudinal section: the floor of a blind slot
- - - - - - - - - - - - - - - - axis

Angle 0 of a cut points along +x, pi / 2 along +y, seen from the end of the z axis. A footprint has
x = z along the axis and y = the distance sideways from the axis, mm.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass

from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line
from geometry.solids.bodies import Revolved
from geometry.tolerance import SAME_PLACE


@dataclass(frozen=True)
class _Cut:
    """What every cut has: its ends along the axis in mm."""

    z_start: float
    z_end: float

    @property
    def z_range(self) -> tuple[float, float]:
        """Ends along the axis in mm."""
        return self.z_start, self.z_end

    def check_inside(self, base: Revolved, what: str) -> tuple[float, float]:
        """Return what `base.reach` says of the cut; GeometryError if it leaves the body."""
        (z0, z1), (low, high) = self.z_range, base.z_range
        if z0 < low - SAME_PLACE or z1 > high + SAME_PLACE:
            raise GeometryError(
                f"the {what} from z = {z0:.6g} to {z1:.6g} mm leaves the body",
                where=(z0, 0.0), value=z0 if z0 < low else z1, limit=low if z0 < low else high,
                hint=f"keep it between {low:.6g} and {high:.6g} mm",
            )  # fmt: skip
        return base.reach(z0, z1)


@dataclass(frozen=True)
class _AxialSlot(_Cut):
    """What every slot along the axis has; its ends have the radius width / 2."""

    width: float
    angle: float

    def __post_init__(self) -> None:
        """Refuse a slot without its full-radius ends."""
        _finite("slot", self.z_start, self.z_end, self.angle)
        _positive("slot width", self.width)
        length = self.z_end - self.z_start
        if not length > self.width:
            raise GeometryError(
                f"the slot is {length:.6g} mm long but {self.width:.6g} mm wide",
                where=(self.z_start, 0.0), value=length, limit=self.width,
                hint="make it longer than wide",
            )  # fmt: skip

    @property
    def footprint(self) -> Outline:
        """The slot seen from outside, counter-clockwise, mm."""
        r = self.width / 2
        first, last = Point(self.z_start + r, 0.0), Point(self.z_end - r, 0.0)
        a, b, c, d = (Point(p.x, y) for p, y in ((first, -r), (last, -r), (last, r), (first, r)))
        return Outline((Line(a, b), Arc(b, c, last, True), Line(c, d), Arc(d, a, first, True)))


@dataclass(frozen=True)
class RadialSlot(_AxialSlot):
    """A slot with full-radius ends, cut from outside through ONE wall of a hollow body.

    Args:
        z_start, z_end: ends of the slot along the axis in mm, round ends included.
        width: width in mm; the ends have the radius width / 2.
        angle: direction of its middle about the z axis in rad.
        edge_radius: fillet of its outer edge in mm, 0 for a sharp edge.

    Raises:
        GeometryError: shorter than wide, or a size that is not positive.
    """

    edge_radius: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a slot without its full-radius ends."""
        super().__post_init__()
        if not (self.edge_radius >= 0 and math.isfinite(self.edge_radius)):
            raise GeometryError(
                f"mouth radius must not be below 0: {self.edge_radius:.6g} mm",
                value=self.edge_radius,
                limit=0.0,
            )

    def check(self, base: Revolved) -> None:
        """Raise `GeometryError` unless `base` has a bore wider than the slot, to break into."""
        inner, outer = self.check_inside(base, "slot")
        if self.edge_radius > 0:
            self._check_edge(base, inner, outer)
        if self.width < 2 * inner - SAME_PLACE:
            return
        says = f"the slot is {self.width:.6g} mm wide where the bore is {2 * inner:.6g} mm"
        fix, limit = "make it narrower", 2 * inner
        if inner <= SAME_PLACE:
            says = "the slot needs a bore to break into: the body is solid there"
            fix, limit = "lengthen the bore", 0.0
        raise GeometryError(
            says, where=(self.z_start, 0.0), value=self.width, limit=limit, hint=fix
        )

    def _check_edge(self, base: Revolved, inner: float, outer: float) -> None:
        """A rounded edge needs one cylinder all round it, and a wall thicker than its radius."""
        if self.edge_radius >= outer - inner - SAME_PLACE:
            raise GeometryError(
                f"the mouth radius of {self.edge_radius:.6g} mm is too large for the wall",
                where=(self.z_start, outer), value=self.edge_radius, limit=outer - inner,
                hint=f"keep it below the wall of {outer - inner:.6g} mm",
            )  # fmt: skip
        z0, z1 = self.z_start - self.edge_radius, self.z_end + self.edge_radius
        for s in base.profile.segments:
            low, bottom, high, top = s.box()
            if abs(bottom - outer) + abs(top - outer) <= SAME_PLACE and low <= z0 and z1 <= high:
                return
        raise GeometryError(
            f"a rounded mouth needs a plain cylinder from z = {z0:.6g} to {z1:.6g} mm",
            where=(z0, outer),
            value=self.edge_radius,
            hint="move it away from the shoulder, or use a smaller mouth radius",
        )

    def sector(self, base: Revolved) -> tuple[float, float]:
        """Return (middle, half angle) in rad of the sector it touches."""
        inner = base.reach(*self.z_range)[0]
        return self.angle, math.asin(self.width / 2 / inner)

    def removed(self, base: Revolved) -> float:
        """Volume in mm3 that it takes from `base` with a sharp edge, to 1e-10."""

        def section(z: float, h: float) -> float:
            return math.fsum(_strip(b, h) - _strip(a, h) for a, b in base.walls(z))

        return _slot_volume(self, section, base)


@dataclass(frozen=True)
class BlindSlot(_AxialSlot):
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
        _positive("distance of the slot's floor from the axis", self.floor)

    def check(self, base: Revolved) -> None:
        """Raise `GeometryError` if the slot misses `base`, or breaks through its wall."""
        inner, outer = self.check_inside(base, "slot")
        edge = math.hypot(self.floor, self.width / 2)
        if self.floor <= inner + SAME_PLACE:
            says, limit = "breaks into the bore", inner
            fix = f"keep its floor farther out than {inner:.6g} mm, or cut a RadialSlot"
        elif edge >= outer - SAME_PLACE:
            says = f"misses the body: at its edges it lies {edge:.6g} mm out"
            limit, fix = outer, "cut it deeper or narrower"
        else:
            return
        raise GeometryError(
            f"the slot's floor at {self.floor:.6g} mm from the axis {says}",
            where=(self.z_start, self.floor),
            value=self.floor,
            limit=limit,
            hint=fix,
        )

    def sector(self, _: Revolved) -> tuple[float, float]:
        """Return (middle, half angle) in rad of the sector it touches."""
        return self.angle, math.atan2(self.width / 2, self.floor)

    def removed(self, base: Revolved) -> float:
        """Volume in mm3 that it takes from `base`, to 1e-10.

        The floor lies in the outermost wall: of a half strip A(r, h) it leaves 2 h x floor.
        """

        def section(z: float, h: float) -> float:
            outer = max((b for _, b in base.walls(z)), default=0.0)
            # the floor meets the outside where the wall is thin
            h = min(h, math.sqrt(max(outer * outer - self.floor * self.floor, 0.0)))
            return _strip(outer, h) - 2 * h * self.floor

        return _slot_volume(self, section, base)


@dataclass(frozen=True)
class Flat(_Cut):
    """A flat milled on a body, square at its ends.

    Args:
        z_start, z_end: ends along the axis in mm; may lie on the ends of the body.
        distance_from_axis: from the axis to the flat in mm (half of "across flats" for a pair).
        angle: direction of its outward normal about the z axis in rad.

    Raises:
        GeometryError: a size that is not positive.
    """

    distance_from_axis: float
    angle: float

    def __post_init__(self) -> None:
        """Refuse a flat without length or on the far side of the axis."""
        _finite("flat", self.z_start, self.z_end, self.angle)
        _positive("length of the flat", self.z_end - self.z_start)
        _positive("distance of the flat from the axis", self.distance_from_axis)

    def check(self, base: Revolved) -> None:
        """Raise `GeometryError` if the flat lies off the body or does not touch it."""
        radius = self.check_inside(base, "flat")[1]
        if self.distance_from_axis >= radius - SAME_PLACE:
            raise GeometryError(
                f"the flat at {self.distance_from_axis:.6g} mm from the axis misses the body",
                where=(self.z_start, self.distance_from_axis),
                value=self.distance_from_axis,
                limit=radius,
                hint=f"bring it nearer than the radius of {radius:.6g} mm",
            )

    def sector(self, base: Revolved) -> tuple[float, float]:
        """Return (middle, half angle) in rad of the sector it touches."""
        return self.angle, math.acos(self.distance_from_axis / base.reach(*self.z_range)[1])

    def removed(self, base: Revolved) -> float:
        """Volume in mm3 that it takes from `base`, to 1e-10."""
        d = self.distance_from_axis

        def beyond(r: float) -> float:  # the part of a disc of radius r beyond the chord
            return r * r * math.acos(d / r) - d * math.sqrt(r * r - d * d) if r > d else 0.0

        def section(z: float) -> float:
            return math.fsum(beyond(b) - beyond(a) for a, b in base.walls(z))

        return _integral(section, *self.z_range, base.breaks)


Cut = RadialSlot | BlindSlot | Flat


@dataclass(frozen=True)
class Machined:
    """A revolved body with cuts.

    Args:
        base: what is machined.
        cuts: slots and flats.

    Raises:
        GeometryError: a cut that the base cannot take, with its value, limit and way out.
    """

    base: Revolved
    cuts: tuple[Cut, ...] = ()

    def __post_init__(self) -> None:
        """Check every cut against the base."""
        object.__setattr__(self, "cuts", tuple(self.cuts))
        for cut in self.cuts:
            cut.check(self.base)

    @property
    def z_range(self) -> tuple[float, float]:
        """Lowest and highest z in mm, as if uncut."""
        return self.base.z_range

    @property
    def volume(self) -> float:
        """Volume in mm3: the base by closed form, cuts numerically to 1e-10 of each cut.

        A rounded outer edge counts as sharp: 0.2 to 0.5 r^2 mm3 for each mm of it is left out.

        Raises:
            GeometryError: two cuts may overlap, so their volumes cannot simply be added.
        """
        for a, b in itertools.combinations(self.cuts, 2):
            if _may_overlap(a, b, self.base):
                raise GeometryError(
                    f"{type(a).__name__} and {type(b).__name__} may overlap",
                    where=(max(a.z_range[0], b.z_range[0]), 0.0),
                    hint="move them apart along z or round the axis",
                )
        return self.base.volume - math.fsum(cut.removed(self.base) for cut in self.cuts)


def _may_overlap(a: Cut, b: Cut, base: Revolved) -> bool:
    """Tell whether two cuts share a stretch of z and a sector (a cautious test)."""
    if min(a.z_range[1], b.z_range[1]) <= max(a.z_range[0], b.z_range[0]):
        return False
    (mid, half), (other, other_half) = a.sector(base), b.sector(base)
    return abs(math.remainder(mid - other, 2 * math.pi)) < half + other_half


def _finite(what: str, *values: float) -> None:
    """Raise GeometryError for a place (mm or rad) that is not a number."""
    if not all(math.isfinite(v) for v in values):
        raise GeometryError(f"the place of the {what} is not a number: {values}")


def _positive(what: str, value: float) -> None:
    """Raise GeometryError for a size in mm that is not above 0."""
    if not (value > 0 and math.isfinite(value)):
        raise GeometryError(f"{what} must be above 0, not {value:.6g} mm", value=value, limit=0.0)


def _slot_volume(
    slot: _AxialSlot, section: Callable[[float, float], float], base: Revolved
) -> float:
    """Integrate `section(z, half width)` in mm2 over a slot's footprint.

    Over the round ends z = middle - h0 cos(t), h = h0 sin(t), which leaves no root at the ends.
    """
    (z0, z1), h0, breaks = slot.z_range, slot.width / 2, base.breaks
    total = _integral(lambda z: section(z, h0), z0 + h0, z1 - h0, breaks)
    for middle, t0, t1 in ((z0 + h0, 0.0, math.pi / 2), (z1 - h0, math.pi / 2, math.pi)):

        def end(t: float, middle: float = middle) -> float:
            return section(middle - h0 * math.cos(t), h0 * math.sin(t)) * h0 * math.sin(t)

        stops = [math.acos((middle - z) / h0) for z in breaks if abs(middle - z) < h0]
        total += _integral(end, t0, t1, stops)
    return total


def _strip(r: float, h: float) -> float:
    """Area in mm2 of the half of a disc of radius `r` within `h` sideways of its middle line.

    A(r, h) = h sqrt(r^2 - h^2) + r^2 asin(h / r); a ring of material holds the difference of two.
    """
    h = min(h, r)
    return h * math.sqrt(r * r - h * h) + r * r * math.asin(h / r) if r > 0 else 0.0


def _integral(f: Callable[[float], float], a: float, b: float, breaks: list[float]) -> float:
    """Integrate `f` from a to b piece by piece between the `breaks`."""
    if b - a <= 0:
        return 0.0
    from scipy.integrate import quad

    stops = [a, *sorted(z for z in breaks if a < z < b), b]
    return math.fsum(
        float(quad(f, low, high, epsabs=1e-12, epsrel=1e-10, limit=200)[0])
        for low, high in itertools.pairwise(stops)
    )
