"""What the field is solved in: half a tooth pitch and half a pole pitch, as exact regions.

    far ------------------------------   A = 0
         air outside
    rim  ============================
         ring of solid steel
    bore ============================
         air, glue line; the magnets
    face ----------------------------   middle third of the gap: an exact annulus
    tooth tips ----------------------
         tooth | mouth, wedge: air
               | conductors, half the slot inside the wedge
         yoke  |_____________________
    inner ===========================   A = 0: innermost full circle of steel

Liner and separator count with the conductors, and hub holes are left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment, crossings, fraction_on, trimmed
from recipes.design.lamination import Hub, Lamination
from recipes.design.rotor import Rotor
from recipes.refusal import Refused, refuse_stops, stop
from recipes.rotor.magnet_ring import footprint, places
from recipes.rotor.ring import RotorRing, coverage_findings
from recipes.stator.slot import SlotShape

Regions = list[tuple[str, Outline | Region]]

#: A block whose back corners touched the ring would part the air behind it: so much is left, mm.
LEAST_GLUE = 0.01

#: Labels of the two halves of conductors that lie beside a tooth.
LEFT, RIGHT = "left", "right"


@dataclass(frozen=True)
class CrossSection:
    """Everything that shapes the field; mm.

    Args:
        slot: the exact tooth and slot.
        inner: radius of the innermost full circle of steel below the slots.
        window_end: distance from the axis, along the slot's axis, at which the conductors end.
        poles: number of poles.
        rotor: table of the design, with magnet sizes.
        ring: what follows from the magnets.
        ring_thickness: of the ring's steel.
        length: of stack or magnets, the shorter.
    """

    slot: SlotShape
    inner: float
    window_end: float
    poles: int
    rotor: Rotor
    ring: RotorRing
    ring_thickness: float
    length: float

    @property
    def stator_radius(self) -> float:
        """Radius of the teeth's faces."""
        return self.slot.face.radius

    @property
    def circles(self) -> tuple[float, float]:
        """Radii between which the gap is an annulus: its middle third."""
        third = self.ring.gap / 3
        return self.stator_radius + third, self.stator_radius + 2 * third

    @property
    def rim(self) -> float:
        """Outside radius of the ring."""
        return self.bore + self.ring_thickness

    @property
    def bore(self) -> float:
        """Inside radius of the ring."""
        behind = self.ring.face + (self.rotor.magnet_thickness or 0.0) + LEAST_GLUE
        return max(self.ring.bore, math.hypot(behind, self._flat_half))

    @property
    def _flat_half(self) -> float:
        """Half the width of a magnet whose back is flat; 0 for an arc."""
        return (self.rotor.magnet_width or 0.0) / 2 if self.rotor.magnet_shape == "block" else 0.0

    @property
    def gap_band(self) -> float:
        """By how much the air gap may lie out on either side: root of squares of its tolerances."""
        return min(self.ring.gap - self.ring.gap_likely, 0.5 * self.ring.gap)

    @property
    def band(self) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]]:
        """Remanence in T and what is added to the gap for least, middle and greatest constant."""
        magnet, away = self.ring.magnet, self.gap_band
        return (
            (magnet.remanence_greatest_t, -away),
            (magnet.remanence_T, 0.0),
            (magnet.remanence_least_t, away),
        )

    def with_gap(self, more: float) -> CrossSection:
        """Return the same with an air gap wider by `more` mm: the ring is turned larger."""
        flat = self._flat_half
        half = (self.rotor.magnet_width or 0.0) / 2
        face = self.ring.face + more
        ring = replace(
            self.ring,
            face=face,
            gap=self.ring.gap + more,
            bore=math.hypot(math.sqrt(self.ring.bore**2 - flat**2) + more, flat),
            half_angle=math.atan2(half, face) if flat else math.asin(min(1.0, half / face)),
        )
        return replace(self, ring=ring)

    def tooth(self) -> tuple[Regions, list[Point]]:
        """Return half a tooth pitch, from the x axis on, and the corners of the tooth's tip.

        The conductors there are those on the tooth's left, seen from the axis.

        Raises:
            GeometryError: wedge or yoke leave no room for conductors or steel.
        """
        slot, angle, circle = self.slot, self.slot.half_pitch, self.circles[0]
        axis = Point.polar(1.0, angle)
        upper, lower = _parted(slot, self.window_end)
        split, end = lower[0].start, slot.half[-1].end
        if self.inner >= end.length():
            raise GeometryError("no yoke is left", value=self.inner, limit=end.length())
        face, near, far = slot.half[0].start, Point(self.inner, 0.0), axis.times(self.inner)
        sheet = [Line(near, face), *slot.half, Line(end, far)]
        sheet.append(Arc(far, near, ORIGIN, False))
        middle = axis.times(self.window_end)
        wires = [*lower, Line(end, middle), Line(middle, split)]
        over, front = axis.times(circle), Point(circle, 0.0)
        air = [Line(front, face), *upper, Line(split, middle), Line(middle, over)]
        air.append(Arc(over, front, ORIGIN, False))
        shapes = (("sheet", sheet), (LEFT, wires), ("air", air))
        tips = [upper[0].end, slot.half[slot.underside].start]
        return [(name, Outline(tuple(s)).oriented(True)) for name, s in shapes], tips

    def pole(self) -> tuple[Regions, list[Point]]:
        """Return half a pole pitch, from the x axis on, and the corners of the magnets."""
        end = math.pi / self.poles
        magnets: list[tuple[str, Outline]] = []
        halved: list[Segment] = []
        for k, turn in enumerate(places(self.poles, self.rotor.magnets_per_pole, 0)):
            if turn > 1e-9:
                magnets.append((magnet_label(k), footprint(self.rotor, self.ring, turn)))
            elif turn > -1e-9:
                halved = _upper_half(footprint(self.rotor, self.ring, 0.0))
        low, high = Point(self.circles[1], 0.0), Point(self.bore, 0.0)
        under, over = Point.polar(low.x, end), Point.polar(high.x, end)
        loop: list[Segment] = [
            Arc(low, under, ORIGIN, True),
            Line(under, over),
            Arc(over, high, ORIGIN, False),
        ]
        if halved:
            front, back = halved[0].start, halved[-1].end
            loop += [Line(high, back), *(s.reversed() for s in reversed(halved)), Line(front, low)]
        else:
            loop.append(Line(high, low))
        air = Region(Outline(tuple(loop)), tuple(shape for _, shape in magnets))
        if halved:
            half = Outline((*halved, Line(halved[-1].end, halved[0].start)))
            magnets.append((magnet_label(self.rotor.magnets_per_pole // 2), half.oriented(True)))
        regions: Regions = [("air", air), *magnets]
        beyond = self.rim * (1 + 2 * end)
        for name, a, b in (("ring", self.bore, self.rim), ("outside", self.rim, beyond)):
            regions.append((name, _ring_piece(a, b, end)))
        return regions, [p for _, shape in magnets for p in shape.points if p.y > 0]


def magnet_label(number: int) -> str:
    """Return the label of a pole's magnet by its index, clockwise first."""
    return f"magnet {number}"


def cross_section(
    slot: SlotShape,
    lamination: Lamination,
    hub: Hub,
    window_end: float,
    rotor: Rotor,
    ring: RotorRing | None,
    stack_length: float,
) -> CrossSection:
    """Return what the field is solved in.

    Args:
        slot: the exact tooth and slot.
        lamination, hub: tables of the design.
        window_end: x of the wedge's inner face in the slot frame, mm.
        rotor: table of the design.
        ring: what follows from the magnets; None without magnet sizes.
        stack_length: finished height of the stack, mm.

    Raises:
        Refused: no magnets, or magnets that do not go round.
    """
    if ring is None:
        raise Refused(
            stop(
                "field-needs-magnets",
                "rotor.magnet_width",
                "rotor.magnet_width is missing: without magnets there is no field to solve",
                fix="give rotor.magnet_width and rotor.magnet_thickness",
            )
        )
    refuse_stops(coverage_findings(rotor, ring))
    return CrossSection(
        slot=slot,
        inner=innermost_circle(lamination, hub),
        window_end=window_end,
        poles=ring.count // rotor.magnets_per_pole,
        rotor=rotor,
        ring=ring,
        ring_thickness=rotor.ring_thickness or ring.thickness,
        length=min(stack_length, rotor.magnet_length or stack_length),
    )


def innermost_circle(lamination: Lamination, hub: Hub) -> float:
    """Return the radius in mm of the smallest circle outside of which the yoke has no holes."""
    radii = [lamination.bore_diameter / 2]
    if hub.orientation_mark:
        radii.append(radii[0] + hub.mark_radius)
    if hub.keyway:
        radii.append(radii[0] + hub.keyway.depth)
    if hub.spokes and hub.yoke_thickness:
        radii.append(lamination.outer_diameter / 2 - lamination.slot_depth - hub.yoke_thickness)
    if hub.windows:
        radii.append(hub.windows.circle_diameter / 2 + hub.windows.radius)
    if hub.bolts:
        radii.append((hub.bolts.circle_diameter + hub.bolts.hole_diameter) / 2)
    return max(radii)


def _parted(slot: SlotShape, window_end: float) -> tuple[list[Segment], list[Segment]]:
    """Return half a tooth's edges from the face's middle to where the conductors end, and on.

    Raises GeometryError if the wedge reaches the slot bottom.
    """
    axis = Point.polar(1.0, slot.half_pitch)
    level = Line(axis.times(window_end), axis.times(window_end).plus(axis.left(), -1.0))
    if abs(slot.half[slot.underside].start.dot(axis) - window_end) < 1e-9:
        return list(slot.half[: slot.underside]), list(slot.half[slot.underside :])
    for k, edge in enumerate(slot.half[slot.underside : -1], start=slot.underside):
        for spot in crossings(edge, level):
            if 1e-9 < fraction_on(edge, spot) < 1 - 1e-9:
                upper, lower = trimmed(edge, end=spot), trimmed(edge, start=spot)
                return [*slot.half[:k], upper], [lower, *slot.half[k + 1 :]]
    raise GeometryError("the wedge leaves no room for conductors", value=window_end)


def _upper_half(magnet: Outline) -> list[Segment]:
    """Return a magnet's edges above the x axis, from its inner face's middle to its outer one's."""
    inner, outer = sorted((s for s in magnet.segments if _crosses(s)), key=lambda s: s.start.x)
    (side,) = (s for s in magnet.segments if s not in (inner, outer) and s.start.y > 0)
    if side.start.x > side.end.x:
        side = side.reversed()
    halves = []
    for face in (inner, outer):
        half = face.end.length() if isinstance(face, Arc) else face.end.x
        middle = Point(half, 0.0)
        up = face if face.end.y > 0 else face.reversed()
        halves.append(trimmed(up, start=middle))
    return [halves[0], side, halves[1].reversed()]


def _crosses(edge: Segment) -> bool:
    """Tell whether an edge's ends lie on both sides of the x axis."""
    return edge.start.y * edge.end.y < 0


def _ring_piece(low: float, high: float, end: float) -> Outline:
    """Return the piece of a ring between two radii in mm, from the x axis to `end` rad."""
    a, b = Point(low, 0.0), Point(high, 0.0)
    c, d = Point.polar(high, end), Point.polar(low, end)
    return Outline((Line(a, b), Arc(b, c, ORIGIN, True), Line(c, d), Arc(d, a, ORIGIN, False)))
