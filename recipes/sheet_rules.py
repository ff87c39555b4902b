"""Can a shop cut this lamination, and does it still work at the shop's tolerance?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.finding import Finding
from geometry.polygon import to_polygon
from recipes.process import Process, process
from recipes.refusal import finding
from recipes.steel import steel_grade
from recipes.tables import TableError

if TYPE_CHECKING:
    from geometry.outline import Outline
    from recipes.job import Job


def sheet_findings(job: Job) -> list[Finding]:
    """Return every finding about cutting the lamination with the shop's process."""
    shop = process(job.design.shop.process)
    return [
        *_steel(job),
        *_widths(job, shop),
        *_corners(job, shop),
        *_apart(job, shop),
        *_worst_case(job, shop),
        *_edges_lose(job),
    ]


def _steel(job: Job) -> list[Finding]:
    lam = job.design.lamination
    try:
        grade = steel_grade(lam.steel)
    except TableError as error:
        return [
            finding(
                "warn", "unknown-steel", "lamination.steel", lam.steel, None,
                f"lamination.steel: {error}",
                "use a grade of the table, or go on: mass is then reckoned at 7700 kg/m3",
                "EN 10106",
            )
        ]  # fmt: skip
    found = []
    if abs(grade.thickness_mm - lam.sheet_thickness) > 0.02:
        found.append(
            finding(
                "warn", "steel-thickness", "lamination.sheet_thickness", lam.sheet_thickness,
                grade.thickness_mm,
                f"lamination.sheet_thickness = {lam.sheet_thickness:g} mm, but {grade.name} is "
                f"{grade.thickness_mm:g} mm sheet",
                "make both agree",
                "EN 10106",
            )
        )  # fmt: skip
    if job.stack.factor > grade.min_stacking_factor + 0.01:
        found.append(
            finding(
                "warn", "stacking-factor", "lamination.stacking_factor", job.stack.factor,
                grade.min_stacking_factor,
                f"lamination.stacking_factor = {job.stack.factor:g} is more than pressed mill stock "
                f"promises ({grade.min_stacking_factor:g}); glue takes more",
                "use 0.90 to 0.95 for a hand-glued stack, or measure a pile of 20 sheets",
                "EN 10106 table 2; hand-glued: common practice",
            )
        )  # fmt: skip
    return found


def _widths(job: Job, shop: Process) -> list[Finding]:
    """Judge drawn widths by themselves: opening, tip, tooth, holes, key."""
    design, t = job.design, job.design.lamination.sheet_thickness
    lam, hub = design.lamination, design.hub
    checks: list[tuple[str, float | None, float, str]] = [
        ("lamination.slot_opening", lam.slot_opening, max(shop.least_slot_mm, shop.hole(t) if shop.least_hole_t else 0), "a cut this narrow burns or breaks its edges"),
        ("lamination.tip_thickness", lam.tip_thickness, shop.web(t), "a lip this thin bends or burns"),
        ("lamination.tooth_width", lam.tooth_width, shop.web(t), "a tooth this thin bends or burns"),
        ("hub.bolts.hole_diameter", hub.bolts.hole_diameter if hub.bolts else None, shop.hole(t), "a hole this small cannot be pierced cleanly"),
        ("hub.windows.radius", hub.windows.radius if hub.windows else None, shop.hole(t) / 2, "a hole this small cannot be pierced cleanly"),
        ("hub.keyway.width", hub.keyway.width if hub.keyway else None, shop.least_slot_mm, "a notch this narrow burns or breaks its edges"),
        ("hub.spokes.width", hub.spokes.width if hub.spokes else None, shop.web(t), "an arm this thin bends or burns"),
    ]  # fmt: skip
    return [
        finding(
            "stop", "feature-too-small", field, value, limit,
            f"{field} = {value:.3g} mm: {why}; {shop.name} needs at least {limit:.3g} mm in "
            f"{t:g} mm sheet",
            f"use at least {limit:.3g} mm, or another process",
            shop.source, "practice",
        )
        for field, value, limit, why in checks
        if value is not None and value < limit - 1e-9
    ]  # fmt: skip


def _corners(job: Job, shop: Process) -> list[Finding]:
    """Judge inside corners: rounds that the cut itself leaves larger than drawn."""
    least = shop.least_corner_radius_mm
    found = []
    for name in ("neck_radius", "root_radius"):
        radius = job.slot.radii[name]
        if radius < least - 1e-9:
            found.append(
                finding(
                    "warn", "corner-too-tight", f"lamination.{name}", radius, least,
                    f"lamination.{name} = {radius:.3g} mm: {shop.name} leaves about {least:g} mm in "
                    "an inside corner, whatever the drawing says; the liner then stands off the wall",
                    f"draw at least {least:g} mm, so that liner and fill are reckoned on what is cut",
                    shop.source, "practice",
                )
            )  # fmt: skip
    return found


def _apart(job: Job, shop: Process) -> list[Finding]:
    """Judge the material left between every two cuts."""
    import shapely

    part = job.parts["lamination"][0]
    region, t = part.cut[0], part.thickness
    rings = [to_polygon(o).exterior for o in (region.outer, *region.holes)]
    sheet = shapely.Polygon(rings[0])
    found: list[Finding] = []
    need = min(shop.web(t), shop.edge(t))
    for k, hole in enumerate(region.holes, start=1):
        others = shapely.MultiLineString([r for j, r in enumerate(rings) if j != k])
        gap = float(shapely.distance(rings[k], others))
        inside = bool(shapely.contains_properly(sheet, rings[k]))
        if gap < need - 1e-6 or not inside:
            found.append(_thin(job, hole, gap if inside else 0.0, need, shop))
    return list({f.field: f for f in reversed(found)}.values())


def _thin(job: Job, hole: Outline, gap: float, need: float, shop: Process) -> Finding:
    field = _field_of(job, hole)
    what = f"only {gap:.3f} mm of sheet is left" if gap > 0 else "it breaks into another cut"
    where = hole.as_circle()
    spot = where[0] if where else hole.centroid
    return Finding(
        "stop", "web-too-thin", field, round(gap, 4), need,
        f"{field}: {what} beside the hole at ({spot.x:.2f}, {spot.y:.2f}) mm; {shop.name} needs "
        f"{need:.3g} mm",
        "move it, make it smaller, or give the ring beside it more width",
        shop.source, "practice", (round(spot.x, 3), round(spot.y, 3)),
    )  # fmt: skip


def _field_of(job: Job, hole: Outline) -> str:
    hub = job.design.hub
    circle = hole.as_circle()
    if circle and hub.bolts and abs(circle[1] - hub.bolts.hole_diameter / 2) < 1e-9:
        return "hub.bolts"
    if circle and hub.windows and abs(circle[1] - hub.windows.radius) < 1e-9:
        return "hub.windows"
    return (
        "hub.spokes" if hub.spokes and abs(hole.centroid.length()) > 1e-6 else "hub.yoke_thickness"
    )


def _worst_case(job: Job, shop: Process) -> list[Finding]:
    """Judge fits at the shop's tolerance, not at nominal."""
    design, tol = job.design, shop.tolerance_mm
    gap = design.rotor.air_gap - tol
    found = []
    if gap < 0.3:
        found.append(
            finding(
                "stop" if gap <= 0.1 else "warn", "air-gap", "rotor.air_gap",
                design.rotor.air_gap, 0.3 + tol,
                f"rotor.air_gap = {design.rotor.air_gap:g} mm: {gap:.2f} mm is left when {shop.name} "
                f"cuts {tol:g} mm too large; nothing may rub (at least 0.3 mm)",
                f"use at least {0.3 + tol:.2f} mm, or a finer process",
                "common practice", "practice",
            )
        )  # fmt: skip
    if tol > 0.05:
        found.append(
            finding(
                "note", "bore-tolerance", "lamination.bore_diameter", design.lamination.bore_diameter,
                tol,
                f"lamination.bore_diameter: {shop.name} holds it to about {tol:g} mm; a seat of "
                "the axle cannot be matched before the first sheets are measured",
                "cut the test coupon first, then turn the stator seat to the measured bore",
                shop.source, "practice",
            )
        )  # fmt: skip
    return found


def _edges_lose(job: Job) -> list[Finding]:
    """Warn where the band that cutting spoils is a large share of the iron's width (rule R35)."""
    lam, hub = job.design.lamination, job.design.hub
    limit = max(4.0, 10 * lam.sheet_thickness)
    found = []
    for field, width in (("lamination.tooth_width", lam.tooth_width), ("hub.yoke_thickness", hub.yoke_thickness)):  # fmt: skip
        if width is not None and width < limit:
            found.append(
                finding(
                    "note", "cut-edge-loss", field, width, limit,
                    f"{field} = {width:.3g} mm: the band that cutting spoils (parts of a mm to "
                    "several mm) is a large share of it; iron loss may double",
                    f"widen it to {limit:g} mm or more, or accept a warmer stator at speed",
                    "published studies differ on the width of the band", "practice",
                )
            )  # fmt: skip
    return found
