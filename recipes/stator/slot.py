"""The exact shape of one tooth and one slot, from which lamination, liner and fill are made.

Tooth frame: the tooth points along +x, its slot lies at the angle pi / slots.
Slot frame: the slot opens along +x; the liner's run travels from the opening's upper side to
the bottom and out again on the lower side, with the slot on its left.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.fillet import fillet
from geometry.finding import Finding
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from recipes.design import Design
from recipes.refusal import Refused, stop, warn

if TYPE_CHECKING:
    from recipes.job import Job


# What is said about a tooth and slot that cannot be drawn, or only with smaller rounds.

_ROUNDS = "roots >= 0.5 mm, lips >= 0.3 mm and half the wire; common practice"


def too_round(name: str, radius: float, error: GeometryError) -> Finding:
    """Return the `stop` for a round (mm) that the design fixed and that does not fit its corner."""
    limit = error.limit or 0.0
    return stop(
        "round-too-large",
        f"lamination.{name}",
        f"lamination.{name} = {radius:g} mm: at most {limit:.3f} mm fits between its two edges",
        value=radius,
        limit=limit,
        fix=f"use {math.floor(limit * 100) / 100:g} mm or less, or lengthen the edges beside it",
    )


def less_round(name: str, need: float, got: float) -> Finding:
    """Return the warning that a round (mm) left out became smaller than the wire asks for."""
    return warn(
        "round-smaller-than-wire-needs",
        f"lamination.{name}",
        (
            f"lamination.{name}: the wire asks for {need:g} mm, but only {got:g} mm fits; a tighter edge "
            "presses into liner and enamel"
        ),
        value=got,
        limit=need,
        fix="give the tip or the slot more room (tip_thickness, slot_depth), or take thinner wire",
        source=_ROUNDS,
        confidence="practice",
    )


def outside_limits(field: str, value: float, limit: float, what: str, low: float = 0.0) -> Finding:
    """Return the `stop` for a field (mm) that leaves no shape outside `low` and `limit`."""
    between = f"above {low:.3f} and below {limit:.3f} mm" if low else f"below {limit:.3f} mm"
    return stop(
        "impossible-shape",
        f"lamination.{field}",
        f"lamination.{field} = {value:g} mm: {what}; must be {between}",
        value=value,
        limit=limit,
        fix=f"use {field} {between}",
    )


def deep_tip(angle: float) -> Finding:
    """Return the `stop` for a tip whose underside (deg) slopes down to the slot bottom."""
    return stop(
        "impossible-shape",
        "lamination.tip_angle",
        f"lamination.tip_angle = {angle:g} deg: the tip's underside reaches the slot bottom",
        value=angle,
        fix="use a smaller tip_angle, a thinner tip or a deeper slot",
    )


def no_lip(thickness: float, least: float) -> Finding:
    """Return the `stop` for a tip so thin (mm) that its underside leaves the sheet."""
    return stop(
        "impossible-shape",
        "lamination.tip_thickness",
        (
            f"lamination.tip_thickness = {thickness:g} mm: the tip's straight underside leaves the round "
            f"sheet before it reaches the tooth; must be above {least:.3f} mm"
        ),
        value=thickness,
        limit=least,
        fix=f"use more than {math.ceil(1000 * least) / 1000:g} mm, a larger tip_angle or a narrower slot",
    )


def missing_width(field: str, shape: str) -> Finding:
    """Return the `stop` for a width that the shape of the slot needs."""
    return stop(
        "missing-width",
        f"lamination.{field}",
        f"lamination.{field} is missing: slot_shape = '{shape}' needs it",
        fix=f"add {field}",
    )


#: Field behind each corner of half a tooth, from the air gap to the slot bottom.
CORNERS = ("tip_radius", "tip_inner_radius", "neck_radius", "root_radius")


@dataclass(frozen=True)
class SlotShape:
    """Half a tooth with its rounds, and what follows from it.

    Args:
        slots: number of slots.
        half: edges from the tooth tip's middle to the slot bottom's middle, in the tooth frame.
        radii: radius of each of `CORNERS`, mm; 0 is sharp.
        lip: index in `half` of the first edge after the mouth wall (lip round or underside).
    """

    slots: int
    half: tuple[Segment, ...]
    radii: dict[str, float]
    lip: int
    notes: tuple[Finding, ...] = ()

    @property
    def half_pitch(self) -> float:
        """Angle from a tooth's axis to the next slot's axis, rad."""
        return math.pi / self.slots

    @cached_property
    def wall(self) -> tuple[Segment, ...]:
        """Slot wall between the two ends of the opening, slot frame, slot on the left."""
        inward = [s.rotated(-self.half_pitch) for s in self.half[self.lip :]]
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


def slot_shape(design: Design, wire_diameter: float) -> SlotShape:
    """Return the exact half tooth of a design.

    Args:
        design: validated design.
        wire_diameter: largest overall diameter of the wire, mm; sets the rounds left out.

    Raises:
        Refused: impossible geometry, by field, value, limit and fix.
    """
    sharp = _sharp_half(design)
    asked, fixed = _asked_radii(design, wire_diameter)
    run: list[Segment] = [sharp[0]]
    radii: dict[str, float] = {}
    notes: list[Finding] = []
    lip = 1
    for name, after in zip(CORNERS, sharp[1:], strict=True):
        radius = asked[name]
        if name == "tip_inner_radius":
            lip = len(run)
        if radius > 0:
            try:
                before, arc, rest = fillet(run[-1], after, radius)
            except GeometryError as error:
                if fixed[name] or not error.limit:
                    raise Refused(too_round(name, radius, error)) from None
                radius = math.floor(error.limit * 0.9 * 100) / 100
                notes.append(less_round(name, asked[name], radius))
                if radius <= 0:
                    radii[name] = 0.0
                    run.append(after)
                    continue
                before, arc, rest = fillet(run[-1], after, radius)
            run[-1:] = [before, arc, rest]
        else:
            run.append(after)
        radii[name] = radius
    return SlotShape(design.motor.slots, tuple(run), radii, lip, tuple(notes))


def _asked_radii(design: Design, d: float) -> tuple[dict[str, float], dict[str, bool]]:
    """Return the radius for each corner, and whether the design fixed it."""
    lam = design.lamination
    inner = lam.tip_inner_radius if lam.tip_inner_radius is not None else max(0.3, d / 2)
    needs = {
        "tip_radius": min(0.3, 0.35 * lam.tip_thickness),
        "tip_inner_radius": inner,
        "neck_radius": inner,
        "root_radius": max(0.5, d),
    }
    given = {name: getattr(lam, name) for name in CORNERS}
    asked = {n: given[n] if given[n] is not None else round(needs[n], 3) for n in CORNERS}
    return asked, {n: given[n] is not None for n in CORNERS}


def _sharp_half(design: Design) -> list[Segment]:
    """Return tip arc, mouth wall, underside, flank and half slot bottom, with sharp corners."""
    lam = design.lamination
    r, alpha = lam.outer_diameter / 2, math.pi / design.motor.slots
    bottom = r - lam.slot_depth
    along = Point.polar(1.0, alpha)
    across = along.left()
    half_open, gamma = lam.slot_opening / 2, math.radians(lam.tip_angle)
    if half_open >= r * math.sin(alpha):
        raise Refused(
            outside_limits(
                "slot_opening",
                lam.slot_opening,
                2 * r * math.sin(alpha),
                "the teeth have no tips left",
            )
        )
    face = math.sqrt(r * r - half_open**2)
    c0 = along.times(face).plus(across, -half_open)
    c1 = along.times(face - lam.tip_thickness).plus(across, -half_open)
    if bottom <= 0 or lam.tip_thickness >= lam.slot_depth:
        raise Refused(
            outside_limits(
                "slot_depth", lam.slot_depth, r, "no slot or no yoke is left", lam.tip_thickness
            )
        )
    c2, c3 = (_parallel_teeth if lam.slot_shape == "parallel teeth" else _parallel_slots)(
        design, c1, along, across, gamma, bottom
    )
    floor_end = along.times(bottom)
    floor: Segment = (
        Arc(c3, floor_end, ORIGIN, True) if lam.slot_bottom == "arc" else Line(c3, floor_end)
    )
    tip = Arc(Point(r, 0.0), c0, ORIGIN, True)
    return [tip, Line(c0, c1), Line(c1, c2), Line(c2, c3), floor]


def _parallel_teeth(
    design: Design, c1: Point, along: Point, across: Point, gamma: float, bottom: float
) -> tuple[Point, Point]:
    """Return the neck and root corners where the tooth's sides run parallel to its axis."""
    lam = design.lamination
    if lam.tooth_width is None:
        raise Refused(missing_width("tooth_width", lam.slot_shape))
    half = lam.tooth_width / 2
    if half >= c1.y:
        raise Refused(
            outside_limits(
                "tooth_width", lam.tooth_width, 2 * c1.y, "the tooth is wider than its tip"
            )
        )
    c2 = Point(c1.x - (c1.y - half) * math.tan(gamma), half)
    limit = 2 * bottom * math.sin(math.pi / design.motor.slots)
    if lam.slot_bottom == "arc":
        meets = half >= bottom or math.asin(half / bottom) >= math.pi / design.motor.slots
        c3 = c2 if meets else Point(math.sqrt(bottom**2 - half**2), half)
    else:
        # the flat runs square to the slot axis at `bottom`; the flank is y = half
        c3 = Point((bottom - half * along.y) / along.x, half)
        meets = c3.minus(along.times(bottom)).dot(across) >= 0
    if meets:
        raise Refused(
            outside_limits("tooth_width", lam.tooth_width, limit, "the teeth meet at the root")
        )
    if c3.x >= c2.x:
        raise Refused(deep_tip(lam.tip_angle))
    return c2, c3


def _parallel_slots(
    design: Design, c1: Point, along: Point, across: Point, gamma: float, bottom: float
) -> tuple[Point, Point]:
    """Return the neck and root corners where the slot's sides run parallel to its axis."""
    lam = design.lamination
    if lam.slot_width is None:
        raise Refused(missing_width("slot_width", lam.slot_shape))
    half = lam.slot_width / 2
    if lam.slot_width <= lam.slot_opening:
        raise Refused(
            outside_limits(
                "slot_opening",
                lam.slot_opening,
                lam.slot_width,
                "the opening is as wide as the slot",
            )
        )
    reach = bottom * math.sin(math.pi / design.motor.slots)
    if half >= reach:
        raise Refused(
            outside_limits("slot_width", lam.slot_width, 2 * reach, "no tooth is left at the root")
        )
    wide = half - lam.slot_opening / 2
    least = c1.dot(along) + lam.tip_thickness - wide * math.tan(gamma)
    least -= math.sqrt((lam.outer_diameter / 2) ** 2 - half**2)
    if lam.tip_thickness <= least:
        raise Refused(no_lip(lam.tip_thickness, least))
    c2 = c1.plus(across, -wide).plus(along, -wide * math.tan(gamma))
    depth = math.sqrt(bottom**2 - half**2) if lam.slot_bottom == "arc" else bottom
    c3 = along.times(depth).plus(across, -half)
    if c3.dot(along) >= c2.dot(along):
        raise Refused(deep_tip(lam.tip_angle))
    if c2.y <= 0:
        raise Refused(
            outside_limits("slot_width", lam.slot_width, 2 * c1.y, "no tooth is left under the tip")
        )
    return c2, c3


def slot_findings(job: Job) -> list[Finding]:
    """Return what the rounds that were left out had to give up."""
    return list(job.slot.notes)
