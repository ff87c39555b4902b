"""The exact shape of one tooth and one slot, from which lamination, liner and fill are made.

Tooth frame: the tooth points along +x, its slot lies at the angle pi / slots.
Slot frame: the slot opens along +x; the liner's run travels from the opening's upper side to
the bottom and out again on the lower side, with the slot on its left.

The wide end of a tooth is its shoe: face at the air gap, wall of the slot mouth, underside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

from geometry.errors import GeometryError
from geometry.fillet import fillet
from geometry.finding import Finding
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from recipes.design.lamination import Lamination
from recipes.refusal import Refused, stop, warn

#: Direction of tooth 1 on every sheet, rad: up.
TOOTH_1 = math.pi / 2

#: Field behind each corner of half a tooth, from the air gap to the slot bottom.
CORNERS = ("tip_radius", "tip_inner_radius", "neck_radius", "root_radius")


@dataclass(frozen=True)
class ParallelTeeth:
    """The sides of a tooth run parallel, `width` mm apart; the slot widens outwards."""

    width: float
    field: ClassVar[str] = "tooth_width"
    what: ClassVar[str] = "tooth"

    def narrowed(self, by: float) -> ParallelTeeth:
        """Return the sides of a tooth narrower by `by` mm on each side."""
        return ParallelTeeth(self.width - 2 * by)


@dataclass(frozen=True)
class ParallelSlots:
    """The sides of a slot run parallel, `width` mm apart; the tooth widens outwards."""

    width: float
    field: ClassVar[str] = "slot_width"
    what: ClassVar[str] = "slot"

    def narrowed(self, by: float) -> ParallelSlots:
        """Return the sides of a slot whose teeth are narrower by `by` mm on each side."""
        return ParallelSlots(self.width + 2 * by)


Sides = ParallelTeeth | ParallelSlots


def sides_of(lam: Lamination) -> Sides:
    """Return which sides run parallel, and how far apart.

    Raises:
        Refused: the width that the shape of the slot needs is missing.
    """
    teeth = lam.slot_shape == "parallel teeth"
    width = lam.tooth_width if teeth else lam.slot_width
    if width is None:
        field = "tooth_width" if teeth else "slot_width"
        raise Refused(
            stop(
                "missing-width",
                f"lamination.{field}",
                f"lamination.{field} is missing: slot_shape = '{lam.slot_shape}' needs it",
                fix=f"add {field}",
            )
        )
    return ParallelTeeth(width) if teeth else ParallelSlots(width)


@dataclass(frozen=True)
class SlotShape:
    """Half a tooth with its rounds, and what follows from it.

    Args:
        slots: number of slots.
        sides: which sides run parallel, and how far apart.
        half: edges from the tooth tip's middle to the slot bottom's middle, in the tooth frame.
        radii: radius of each of `CORNERS`, mm; 0 is sharp.
        underside: index in `half` of the first edge after the mouth wall: the shoe's underside or
            the round before it.
        notes: what rounds that were left out had to give up.
    """

    slots: int
    sides: Sides
    half: tuple[Segment, ...]
    radii: dict[str, float]
    underside: int
    notes: tuple[Finding, ...] = ()

    @property
    def half_pitch(self) -> float:
        """Angle from a tooth's axis to the next slot's axis, rad."""
        return math.pi / self.slots

    @cached_property
    def wall(self) -> tuple[Segment, ...]:
        """Slot wall between the two ends of the opening, slot frame, slot on the left."""
        inward = [s.rotated(-self.half_pitch) for s in self.half[self.underside :]]
        bottom, lower = inward[-1], inward[:-1]
        into = [s.mirrored() for s in lower]  # upper side, travelled into the slot
        out = [s.reversed() for s in reversed(lower)]
        start, end = into[-1].end, out[0].start
        floor: Segment = (
            Arc(start, end, ORIGIN, False) if isinstance(bottom, Arc) else Line(start, end)
        )
        return (*into, floor, *out)

    @cached_property
    def outline(self) -> Outline:
        """The bare slot: the wall closed by a straight line across the opening's inner end."""
        return Outline((*self.wall, Line(self.wall[-1].end, self.wall[0].start)))

    @property
    def opening(self) -> float:
        """Clear width of the opening, mm."""
        return self.wall[0].start.y - self.wall[-1].end.y

    @property
    def face(self) -> Arc:
        """The tooth's face at the air gap from one mouth wall to the other, tooth frame."""
        corner = self.half[0].end
        return Arc(corner.mirrored(), corner, ORIGIN, True)

    @property
    def side(self) -> list[Segment]:
        """Edges from the face to the slot bottom, tooth frame."""
        return list(self.half[1:-1])

    @property
    def floor(self) -> Segment:
        """The slot bottom after the tooth, from its root to the next one's, tooth frame."""
        root = self.half[-2].end
        after = root.mirrored().rotated(2 * self.half_pitch)
        return (
            Arc(root, after, ORIGIN, True) if isinstance(self.half[-1], Arc) else Line(root, after)
        )

    @property
    def flank(self) -> Segment:
        """The straight side of the tooth, tooth frame, from the tip inwards."""
        return self.half[-3 if self.radii["root_radius"] else -2]

    @cached_property
    def narrowest(self) -> Point:
        """Where the tooth is narrowest, tooth frame: on its flank or its root round, 2 y mm wide.

        Between parallel slots that is on the round, where it runs along the tooth.
        """
        nearest = min(self.flank.start, self.flank.end, key=lambda p: p.y)
        root = self.half[-2]
        low = root.box()[1]
        return (
            Point(root.center.x, low)
            if isinstance(root, Arc) and low < nearest.y - 1e-9
            else nearest
        )

    @property
    def tooth_width(self) -> float:
        """Width of the tooth at its narrowest, mm."""
        return 2 * self.narrowest.y


def slot_shape(
    lam: Lamination, slots: int, wire_diameter: float, narrower_by: float = 0.0
) -> SlotShape:
    """Return the exact half tooth of a sheet.

    Args:
        lam: the sheet.
        slots: number of slots.
        wire_diameter: largest overall diameter of the wire, mm; sets the rounds left out.
        narrower_by: what the tooth is narrower on each side than designed, mm; below 0 it is wider.

    Raises:
        Refused: impossible geometry, by field, value, limit and fix.
    """
    sides, sharp = _sharp_half(lam, slots, narrower_by)
    run: list[Segment] = [sharp[0]]
    radii: dict[str, float] = {}
    notes: list[Finding] = []
    underside = 1
    for (name, asked), after in zip(
        _asked_radii(lam, wire_diameter).items(), sharp[1:], strict=True
    ):
        if name == "tip_inner_radius":
            underside = len(run)
        radius = asked
        try:
            found = fillet(run[-1], after, radius) if radius > 0 else None
        except GeometryError as error:
            if getattr(lam, name) is not None or not error.limit:
                raise Refused(_too_round(name, radius, error.limit or 0.0)) from None
            radius = math.floor(error.limit * 0.9 * 100) / 100
            notes.append(_less_round(name, asked, radius))
            found = fillet(run[-1], after, radius) if radius > 0 else None
        run[-1:] = found or [run[-1], after]
        radii[name] = max(0.0, radius)
    return SlotShape(slots, sides, tuple(run), radii, underside, tuple(notes))


def _asked_radii(lam: Lamination, wire_diameter: float) -> dict[str, float]:
    """Return the radius for each corner: as designed, else what wire and insulation need."""
    inner = lam.tip_inner_radius
    if inner is None:
        inner = max(0.3, wire_diameter / 2)
    needs = (min(0.3, 0.35 * lam.tip_thickness), inner, inner, max(0.5, wire_diameter))
    given = [(name, getattr(lam, name)) for name in CORNERS]
    return {
        name: round(need, 3) if fixed is None else fixed
        for (name, fixed), need in zip(given, needs, strict=True)
    }


def _sharp_half(lam: Lamination, slots: int, narrower_by: float) -> tuple[Sides, list[Segment]]:
    """Return the sides, and tip arc, mouth wall, underside, flank and half slot bottom, unrounded."""
    r, alpha = lam.outer_diameter / 2, math.pi / slots
    bottom = r - lam.slot_depth
    axis = Point.polar(1.0, alpha)
    across = axis.left()
    half_open = lam.slot_opening / 2
    if half_open >= r * math.sin(alpha):
        raise _outside(
            "slot_opening", lam.slot_opening, 2 * r * math.sin(alpha), "the teeth have no tips left"
        )
    face = math.sqrt(r * r - half_open**2)
    outer = axis.times(face).plus(across, -half_open)
    inner = axis.times(face - lam.tip_thickness).plus(across, -half_open)
    if bottom <= 0 or lam.tip_thickness >= lam.slot_depth:
        raise _outside(
            "slot_depth", lam.slot_depth, r, "no slot or no yoke is left", lam.tip_thickness
        )
    sides = sides_of(lam).narrowed(narrower_by)
    corners = _flank_of_slot if isinstance(sides, ParallelSlots) else _flank_of_tooth
    tip, root = corners(lam, sides.width, inner, alpha, bottom)
    end = axis.times(bottom)
    floor: Segment = Arc(root, end, ORIGIN, True) if lam.slot_bottom == "arc" else Line(root, end)
    tooth = Arc(Point(r, 0.0), outer, ORIGIN, True)
    return sides, [tooth, Line(outer, inner), Line(inner, tip), Line(tip, root), floor]


def _flank_of_tooth(
    lam: Lamination, width: float, inner: Point, alpha: float, bottom: float
) -> tuple[Point, Point]:
    """Return the corners at underside and root where the tooth's sides run parallel to its axis.

    Args:
        lam: the sheet.
        width: of the tooth, mm.
        inner: end of the mouth wall, tooth frame.
        alpha: direction of the slot, rad.
        bottom: distance of the slot bottom from the axis of the motor, mm.
    """
    half, axis = width / 2, Point.polar(1.0, alpha)
    if half >= inner.y:
        raise _outside("tooth_width", width, 2 * inner.y, "the tooth is wider than its tip")
    tip = Point(inner.x - (inner.y - half) * math.tan(math.radians(lam.tip_angle)), half)
    if lam.slot_bottom == "arc":
        meets = half >= bottom or math.asin(half / bottom) >= alpha
        root = tip if meets else Point(math.sqrt(bottom**2 - half**2), half)
    else:
        # the flat runs square to the slot axis at `bottom`; the flank is y = half
        root = Point((bottom - half * axis.y) / axis.x, half)
        meets = root.minus(axis.times(bottom)).dot(axis.left()) >= 0
    if meets:
        limit = 2 * bottom * math.sin(alpha)
        raise _outside("tooth_width", width, limit, "the teeth meet at the root")
    if root.x >= tip.x:
        raise _deep_tip(lam.tip_angle)
    return tip, root


def _flank_of_slot(
    lam: Lamination, width: float, inner: Point, alpha: float, bottom: float
) -> tuple[Point, Point]:
    """Return the corners at underside and root where the slot's sides run parallel to its axis."""
    half, axis = width / 2, Point.polar(1.0, alpha)
    across = axis.left()
    if width <= lam.slot_opening:
        raise _outside(
            "slot_opening", lam.slot_opening, width, "the opening is as wide as the slot"
        )
    reach = bottom * math.sin(alpha)
    if half >= reach:
        raise _outside("slot_width", width, 2 * reach, "no tooth is left at the root")
    wide = half - lam.slot_opening / 2
    fall = wide * math.tan(math.radians(lam.tip_angle))
    minimum = inner.dot(axis) + lam.tip_thickness - fall
    minimum -= math.sqrt((lam.outer_diameter / 2) ** 2 - half**2)
    if lam.tip_thickness <= minimum:
        raise _thin_shoe(lam.tip_thickness, minimum)
    tip = inner.plus(across, -wide).plus(axis, -fall)
    depth = math.sqrt(bottom**2 - half**2) if lam.slot_bottom == "arc" else bottom
    root = axis.times(depth).plus(across, -half)
    if root.dot(axis) >= tip.dot(axis):
        raise _deep_tip(lam.tip_angle)
    if tip.y <= 0:
        raise _outside("slot_width", width, 2 * inner.y, "no tooth is left under the tip")
    return tip, root


def _too_round(name: str, radius: float, limit: float) -> Finding:
    """Return the `stop` for a round (mm) that the design fixed and that does not fit its corner."""
    return stop(
        "round-too-large",
        f"lamination.{name}",
        f"lamination.{name} = {radius:g} mm: at most {limit:.3f} mm fits between its two edges",
        value=radius,
        limit=limit,
        fix=f"use {math.floor(limit * 100) / 100:g} mm or less, or lengthen the edges beside it",
    )


def _less_round(name: str, need: float, got: float) -> Finding:
    """Return the warning that a round (mm) left out became smaller than the wire asks for."""
    return warn(
        "round-smaller-than-wire-needs",
        f"lamination.{name}",
        f"lamination.{name}: the wire asks for {need:g} mm, but only {got:g} mm fits; a tighter edge "
        "presses into liner and enamel",
        value=got,
        limit=need,
        fix="give the tip or the slot more room (tip_thickness, slot_depth), or take thinner wire",
        source="roots >= 0.5 mm, lips >= 0.3 mm and half the wire; common practice",
        confidence="practice",
    )


def _outside(field: str, value: float, limit: float, what: str, low: float = 0.0) -> Refused:
    """Return the refusal of a field (mm) that leaves no shape outside `low` and `limit`."""
    between = f"above {low:.3f} and below {limit:.3f} mm" if low else f"below {limit:.3f} mm"
    return Refused(
        stop(
            "impossible-shape",
            f"lamination.{field}",
            f"lamination.{field} = {value:g} mm: {what}; must be {between}",
            value=value,
            limit=limit,
            fix=f"use {field} {between}",
        )
    )


def _deep_tip(angle: float) -> Refused:
    """Return the refusal of a shoe whose underside slopes (deg) down to the slot bottom."""
    return Refused(
        stop(
            "impossible-shape",
            "lamination.tip_angle",
            f"lamination.tip_angle = {angle:g} deg: the tip's underside reaches the slot bottom",
            value=angle,
            fix="use a smaller tip_angle, a thinner tip or a deeper slot",
        )
    )


def _thin_shoe(thickness: float, minimum: float) -> Refused:
    """Return the refusal of a shoe so thin (mm) that its underside leaves the sheet."""
    return Refused(
        stop(
            "impossible-shape",
            "lamination.tip_thickness",
            f"lamination.tip_thickness = {thickness:g} mm: the tip's straight underside leaves the round "
            f"sheet before it reaches the tooth; must be above {minimum:.3f} mm",
            value=thickness,
            limit=minimum,
            fix=f"use more than {math.ceil(1000 * minimum) / 1000:g} mm, a larger tip_angle or a "
            "narrower slot",
        )
    )
