"""Rules on the kerf as a shape: what would vanish from a steel part if the kerf is drawn in?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.polygon import to_polygon
from geometry.segment import Arc
from recipes.refusal import Refused, finding
from recipes.shop.kerf import Kerf, drawn_part, is_steel, side_of

if TYPE_CHECKING:
    from geometry.part import Part
    from recipes.job import Job

_CUT = "geometry of this design"
_ELSE = "a finer process, or leave shop.kerf_full_width out and let the shop compensate"


def vanishing(job: Job, kerf: Kerf) -> list[Finding]:
    """Name every gap, round and part that cannot be drawn with this kerf or bore correction."""
    if not kerf.drawn and not kerf.bore:
        return []
    parts = _steel_parts(job)
    found = [*_narrow(job, kerf), *(f for part in parts for f in _rounds(job, part, kerf))]
    if not found:  # drawing what is known to vanish would only repeat it less clearly
        found = [f for part in parts for f in _undrawable(job, part, kerf)]
    return list({f.field: f for f in reversed(found)}.values())


def _steel_parts(job: Job) -> list[Part]:
    """Return every part that gets kerf; a recipe that refuses the design says so elsewhere."""
    from recipes.catalogue import RECIPES

    parts: list[Part] = []
    for recipe in RECIPES:
        if "cut" not in recipe.files:
            continue
        try:
            parts += [p for p in job.parts[recipe.name] if is_steel(job, p)]
        except Refused:
            continue
    return parts


def _narrow(job: Job, kerf: Kerf) -> list[Finding]:
    """Judge gaps and holes: moving both of their sides by k / 2 must leave some of them."""
    design, k = job.design, kerf.drawn
    hub, tab = design.hub, design.lamination.tab_notch
    gaps = (
        ("lamination.slot_opening", design.lamination.slot_opening),
        ("lamination.tab_notch.width", tab.width if tab else None),
        ("hub.keyway.width", hub.keyway.width if hub.keyway else None),
        ("hub.bolts.hole_diameter", hub.bolts.hole_diameter if hub.bolts else None),
        ("hub.windows.radius", 2 * hub.windows.radius if hub.windows else None),
    )
    return [
        finding(
            "stop", "kerf-closes-gap", field, size, k,
            f"{field}: nothing is left of a width of {size:.3g} mm when {k:g} mm full kerf width is "
            "drawn in",
            f"make it wider than {k:g} mm, use {_ELSE}",
            _CUT,
        )
        for field, size in gaps
        if size is not None and size <= k
    ]  # fmt: skip


def _rounds(job: Job, part: Part, kerf: Kerf) -> list[Finding]:
    """Judge inside rounds: a cut of width k leaves no inside corner tighter than k / 2."""
    found: dict[str, Finding] = {}
    outers = [region.outer for region in part.cut]
    for loop in (loop for region in part.cut for loop in region.loops):
        side = side_of(part, loop, kerf)
        for edge in () if loop.as_circle() else loop.segments:
            if not isinstance(edge, Arc) or edge.ccw or edge.radius > side + 1e-6:
                continue
            for field in _fields_of_round(job, edge.radius, loop in outers):
                found.setdefault(field, _filled(field, part.name, edge, side))
    return list(found.values())


def _filled(field: str, name: str, edge: Arc, side: float) -> Finding:
    spot = edge.point_at(0.5)
    return Finding(
        "stop", "kerf-fills-round", field, round(edge.radius, 4), round(side, 4),
        f"{field}: the inside round of {edge.radius:.3g} mm at ({spot.x:.2f}, {spot.y:.2f}) mm of "
        f"{name} would vanish: a cut {2 * side:g} mm wide leaves {side:g} mm in every inside corner",
        f"use more than {side:g} mm, {_ELSE}",
        _CUT, "standard", (round(spot.x, 3), round(spot.y, 3)),
    )  # fmt: skip


def _fields_of_round(job: Job, radius: float, outside: bool) -> list[str]:
    """Return the design fields that may give an inside round its radius."""
    hub, radii = job.design.hub, job.slot.radii
    known: list[tuple[str, float | None]] = (
        [(f"lamination.{name}", radii[name]) for name in ("neck_radius", "root_radius")]
        if outside
        else [
            ("hub.keyway.corner_radius", hub.keyway.corner_radius if hub.keyway else None),
            ("hub.spokes.fillet_radius", hub.spokes.fillet_radius if hub.spokes else None),
            ("hub.mark_radius", hub.mark_radius if hub.orientation_mark else None),
        ]
    )
    fields = [f for f, size in known if size is not None and abs(size - radius) < 1e-6]
    return fields or ["shop.kerf_full_width"]


def _undrawable(job: Job, part: Part, kerf: Kerf) -> list[Finding]:
    """Draw the part and look: whatever else is wrong shows as an edge that vanishes or a crossing."""
    try:
        for region in drawn_part(job, part).cut:
            to_polygon(region)
    except GeometryError as error:
        return [
            Finding(
                "stop", "kerf-not-drawable", "shop.kerf_full_width", kerf.drawn, None,
                f"shop.kerf_full_width = {kerf.drawn:g} mm cannot be drawn into {part.name}: "
                f"{error.reason}",
                "use a finer process, or leave it out and let the shop compensate",
                _CUT, "standard", error.where,
            )
        ]  # fmt: skip
    return []
