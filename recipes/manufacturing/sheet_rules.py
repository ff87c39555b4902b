"""Can a shop cut this lamination, and does it still work at the shop's tolerance?"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from geometry.finding import Finding
from geometry.loop_table import LoopTable, loop_tables, polygons
from geometry.outline import Outline, Region
from geometry.polygon import to_polygon
from geometry.segment import Arc, Segment
from recipes.job import Job
from recipes.manufacturing.process import Process, process
from recipes.refusal import finding, note, stop, warn
from recipes.stator.slot import SlotShape
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade

if TYPE_CHECKING:
    from collections.abc import Sequence


#     What the cutter leaves and needs inside one slot: tooth at its narrowest, and room beside it.
#
# The fields give most widths by themselves; these follow from several of them together:
#
#     lip      from the air gap to the tip's underside, where the tooth is broad on few slots
#     tooth    where its flanks come nearest: at the root if the slots run parallel
#     throat   from the tip's underside down to the slot bottom, along the tooth
#     floor    between the two flanks of a slot where they come nearest: at the bottom if the teeth
#              run parallel

#: Chords stray this far from the rounds, mm: well below what any process holds.
_STRAY = 0.002


def slot_width_findings(job: Job, shop: Process) -> list[Finding]:
    """Return the findings about widths that several fields make together."""
    lam = job.design.lamination
    across = "tooth_width" if lam.slot_shape == "parallel teeth" else "slot_width"
    t = lam.sheet_thickness
    lip, tooth, throat, floor = narrow_places(job.slot)
    checks = (
        (
            "lamination.tip_thickness",
            lip,
            shop.web(t),
            "a lip",
            "burns or bends",
            "make tips thicker or slots narrower",
        ),
        (
            f"lamination.{across}",
            tooth,
            shop.web(t),
            "a tooth",
            "burns or bends",
            "make slots narrower or fewer, or the sheet larger",
        ),
        (
            "lamination.slot_depth",
            throat,
            shop.slot(t),
            "a gap between the tip's underside and the slot bottom",
            "burns or breaks its edges",
            "make slots deeper, tips thinner or tip_angle smaller",
        ),
        (
            f"lamination.{across}",
            floor,
            shop.slot(t),
            "a slot at its bottom",
            "burns or breaks its edges",
            "make teeth narrower or slots less deep",
        ),
    )
    # what is too small by its own field is said already
    judged = {"a lip": lam.tip_thickness, "a tooth": lam.tooth_width or math.inf}
    return [
        stop(
            "slot-place-too-narrow",
            field,
            (
                f"{field}: {what} of {value:.3f} mm is left at its narrowest and {why}; {shop.name} needs "
                f"at least {limit:.3g} mm in {t:g} mm sheet"
            ),
            value=value,
            limit=limit,
            fix=f"{fix}, or take another process",
            source=shop.source,
            confidence="practice",
        )
        for field, value, limit, what, why, fix in checks
        if value < limit - 1e-6 and not judged.get(what, limit) < limit
    ]


def narrow_places(slot: SlotShape) -> tuple[float, float, float, float]:
    """Return the least width of lip, tooth, throat and slot bottom of a design's slot, mm."""
    import shapely

    # ... lip round, underside, neck round, flank, root round, slot bottom: a sharp corner has no round
    root = 1 if slot.radii["root_radius"] else 0
    neck = 1 if slot.radii["neck_radius"] else 0
    flank = len(slot.half) - 2 - root
    sides = _chords(slot.half[flank : len(slot.half) - 1])
    tooth = 2 * min(y for _, y in sides)
    under, bottom = slot.half[flank - 1 - neck], slot.half[-1]
    tip, below, ground = (
        shapely.LineString(_chords(run))
        for run in ([slot.half[0]], slot.half[flank - 1 - neck : -1], [bottom])
    )
    lip = float(tip.distance(below))
    throat = float(shapely.LineString(_chords([under])).distance(ground))
    turned = [s.rotated(-slot.half_pitch) for s in slot.half[flank : flank + 1]]
    floor = 2 * min(-y for _, y in _chords(turned))
    return lip, tooth, throat, floor


def _chords(run: Sequence[Segment]) -> list[tuple[float, float]]:
    spots = [tuple(run[0].start)]
    for edge in run:
        spots += [tuple(p) for p in (edge.chords(_STRAY) if isinstance(edge, Arc) else [edge.end])]
    return [(x, y) for x, y in spots]


# The lamination's loops as rows of numbers, for the rules that look at all of its edges.


def sheet_tables(job: Job) -> tuple[LoopTable, ...]:
    """Return the tables of the lamination's loops: holes, bore, outline.

    Raises:
        Refused: the sheet cannot be drawn.
    """
    return job.once(_tables)


def _tables(job: Job) -> tuple[LoopTable, ...]:
    region = job.parts["lamination"][0].cut[0]
    return loop_tables([loop.segments for loop in region.loops])


#: Chords that tell whether cuts are near each other at all, mm off the arc.
GLANCE = 0.05

#: Widest glue gap between bore and seat that still centres the stack, on the diameter, mm; and
#: how much tightness a hone or fine file takes out of the bore (common practice).
MOST_GLUE, FILED = 0.12, 0.03


def sheet_findings(job: Job) -> list[Finding]:
    """Return every finding about cutting the lamination with the shop's process."""
    shop = process(job.design.shop.process)
    return [
        *_steel(job),
        *_widths(job, shop),
        *slot_width_findings(job, shop),
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
            warn(
                "unknown-steel",
                "lamination.steel",
                f"lamination.steel: {error}",
                value=lam.steel,
                fix="use a grade of the table, or go on: mass is then reckoned at 7700 kg/m3",
                source="EN 10106",
            )
        ]
    found = []
    if abs(grade.thickness_mm - lam.sheet_thickness) > 0.02:
        found.append(
            warn(
                "steel-thickness",
                "lamination.sheet_thickness",
                (
                    f"lamination.sheet_thickness = {lam.sheet_thickness:g} mm, but {grade.name} is "
                    f"{grade.thickness_mm:g} mm sheet"
                ),
                value=lam.sheet_thickness,
                limit=grade.thickness_mm,
                fix="make both agree",
                source="EN 10106",
            )
        )
    if job.stack.factor > grade.min_stacking_factor + 0.01:
        found.append(
            warn(
                "stacking-factor",
                "lamination.stacking_factor",
                (
                    f"lamination.stacking_factor = {job.stack.factor:g} is more than pressed mill stock "
                    f"promises ({grade.min_stacking_factor:g}); glue takes more"
                ),
                value=job.stack.factor,
                limit=grade.min_stacking_factor,
                fix="use 0.90 to 0.95 for a hand-glued stack, or measure a pile of 20 sheets",
                source="EN 10106 table 2; hand-glued: common practice",
            )
        )
    return found


def _widths(job: Job, shop: Process) -> list[Finding]:
    """Judge drawn widths by themselves: opening, tip, tooth, holes, key."""
    design, t = job.design, job.design.lamination.sheet_thickness
    lam, hub = design.lamination, design.hub
    checks: list[tuple[str, float | None, float, str]] = [
        (
            "lamination.slot_opening",
            lam.slot_opening,
            shop.slot(t),
            "a cut this narrow burns or breaks its edges",
        ),
        (
            "lamination.tip_thickness",
            lam.tip_thickness,
            shop.web(t),
            "a lip this thin bends or burns",
        ),
        (
            "lamination.tooth_width",
            lam.tooth_width,
            shop.web(t),
            "a tooth this thin bends or burns",
        ),
        (
            "hub.bolts.hole_diameter",
            hub.bolts.hole_diameter if hub.bolts else None,
            shop.hole(t),
            "a hole this small cannot be pierced cleanly",
        ),
        (
            "hub.windows.radius",
            hub.windows.radius if hub.windows else None,
            shop.hole(t) / 2,
            "a hole this small cannot be pierced cleanly",
        ),
        (
            "hub.keyway.width",
            hub.keyway.width if hub.keyway else None,
            shop.slot(t),
            "a notch this narrow burns or breaks its edges",
        ),
        (
            "lamination.tab_notch.width",
            lam.tab_notch.width if lam.tab_notch else None,
            shop.slot(t),
            "a notch this narrow burns or breaks its edges",
        ),
        (
            "hub.spokes.width",
            hub.spokes.width if hub.spokes else None,
            shop.web(t),
            "an arm this thin bends or burns",
        ),
    ]
    return [
        stop(
            "feature-too-small",
            field,
            (
                f"{field} = {value:.3g} mm: {why}; {shop.name} needs at least {limit:.3g} mm in "
                f"{t:g} mm sheet"
            ),
            value=value,
            limit=limit,
            fix=f"use at least {limit:.3g} mm, or another process",
            source=shop.source,
            confidence="practice",
        )
        for field, value, limit, why in checks
        if value is not None and value < limit - 1e-9
    ]


def _corners(job: Job, shop: Process) -> list[Finding]:
    """Judge inside corners: rounds that the cut itself leaves larger than drawn."""
    least = shop.least_corner_radius_mm
    found = []
    for name in ("neck_radius", "root_radius"):
        radius = job.slot.radii[name]
        if radius < least - 1e-9:
            found.append(
                warn(
                    "corner-too-tight",
                    f"lamination.{name}",
                    (
                        f"lamination.{name} = {radius:.3g} mm: {shop.name} leaves about {least:g} mm in "
                        "an inside corner, whatever the drawing says; the liner then stands off the wall"
                    ),
                    value=radius,
                    limit=least,
                    fix=f"draw at least {least:g} mm, so that liner and fill are reckoned on what is cut",
                    source=shop.source,
                    confidence="practice",
                )
            )
    return found


def _apart(job: Job, shop: Process) -> list[Finding]:
    """Judge the material left between every two cuts."""
    part = job.parts["lamination"][0]
    region, t = part.cut[0], part.thickness
    need = min(shop.web(t), shop.edge(t))
    return [] if _surely_apart(job, need) else _webs(job, region, need, shop)


def _surely_apart(job: Job, need: float) -> bool:
    """Tell at a glance, by few chords, whether every two cuts lie further apart than needed."""
    import shapely

    *holes, sheet = polygons(sheet_tables(job), GLANCE)
    if not shapely.is_valid([*holes, sheet]).all():  # so narrow that chords of that size cross
        return False
    rings = [p.exterior for p in (*holes, sheet)]
    far = need + 2 * GLANCE
    one, other = shapely.STRtree(rings).query(rings, predicate="dwithin", distance=far)
    shapely.prepare(sheet)
    return bool((one == other).all() and shapely.contains_properly(sheet, rings[:-1]).all())


def _webs(job: Job, region: Region, need: float, shop: Process) -> list[Finding]:
    """Return every hole that lies too near to another cut."""
    import shapely

    sheet, *holes = (to_polygon(o) for o in (region.outer, *region.holes))
    rings = [p.exterior for p in (sheet, *holes)]
    found: list[Finding] = []
    for k, hole in enumerate(region.holes, start=1):
        inside = bool(shapely.contains_properly(sheet, rings[k]))
        others = shapely.MultiLineString([r for j, r in enumerate(rings) if j != k])
        gap = float(shapely.distance(rings[k], others))
        if gap < need - 1e-6 or not inside:
            found.append(_thin(job, hole, gap if inside else 0.0, need, shop))
    return list({f.field: f for f in reversed(found)}.values())


def _thin(job: Job, hole: Outline, gap: float, need: float, shop: Process) -> Finding:
    field = _field_of(job, hole)
    what = f"only {gap:.3f} mm of sheet is left" if gap > 0 else "it breaks into another cut"
    where = hole.as_circle()
    spot = where[0] if where else hole.centroid
    return Finding(
        "stop",
        "web-too-thin",
        field,
        round(gap, 4),
        need,
        f"{field}: {what} beside the hole at ({spot.x:.2f}, {spot.y:.2f}) mm; {shop.name} needs "
        f"{need:.3g} mm",
        "move it, make it smaller, or give the ring beside it more width",
        shop.source,
        "practice",
        (round(spot.x, 3), round(spot.y, 3)),
    )


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
    """Judge air gap, bore and tip at the shop's tolerance, not at nominal (rule R8)."""
    return [*_air_gap(job, shop), *_bore_fit(job, shop), *_tip(job, shop)]


def _air_gap(job: Job, shop: Process) -> list[Finding]:
    nominal, tol = job.design.rotor.air_gap, shop.tolerance_mm
    gap = nominal - tol
    if gap >= 0.3:
        return []
    return [
        finding(
            "stop" if gap <= 0.1 else "warn",
            "air-gap",
            "rotor.air_gap",
            (
                f"rotor.air_gap = {nominal:g} mm: {gap:.2f} mm is left when {shop.name} "
                f"cuts {tol:g} mm too large; nothing may rub (at least 0.3 mm)"
            ),
            value=nominal,
            limit=0.3 + tol,
            fix=f"use at least {0.3 + tol:.2f} mm, or a finer process",
            source="common practice",
            confidence="practice",
        )
    ]


def _bore_fit(job: Job, shop: Process) -> list[Finding]:
    """Tell how tight and how loose the bore may come out on the stator seat."""
    bore, tol = job.design.lamination.bore_diameter, shop.tolerance_mm
    fit = job.design.axle.stator_seat.fit
    try:
        seat = fit_limits(bore, fit)
    except TableError:  # said by the rules of the axle
        return []
    least, most = bore - tol - seat.max_size_mm, bore + tol - seat.min_size_mm
    if least >= 0.0 and most <= MOST_GLUE:
        return []
    known = job.design.shop.measured.bore_step is not None
    tight = f"{-least:.3f} mm too tight to go on" if least < 0 else f"{least:.3f} mm loose"
    return [
        finding(
            "note" if known or (least > -FILED and most <= MOST_GLUE) else "warn",
            "bore-fit",
            "lamination.bore_diameter",
            (
                f"lamination.bore_diameter = {bore:.3f} mm: {shop.name} holds it to +-{tol:g} mm, the seat "
                f"{fit} is {seat.min_size_mm:.3f} to {seat.max_size_mm:.3f} mm: anything from {tight} to "
                f"{most:.3f} mm loose; glue fills up to {MOST_GLUE:g} mm and then no longer centres"
            ),
            value=bore,
            limit=round(least, 4),
            fix="the bore is drawn as the coupon's half-ring asks; slide the first sheet on before you glue"
            if known
            else "cut the test coupon first: type the half-ring that fits as [shop.measured] bore_step, or "
            "turn the stator seat to the measured bore",
            source=f"ISO 286-2; tolerance of {shop.name} by the process table",
            confidence="practice",
        )
    ]


def _tip(job: Job, shop: Process) -> list[Finding]:
    """Judge the lip at the slot opening when both of its edges come out a tolerance inwards."""
    lam, tol = job.design.lamination, shop.tolerance_mm
    tip, need = lam.tip_thickness, shop.web(lam.sheet_thickness)
    left = tip - 2 * tol
    if tip < need - 1e-9 or left >= need - 1e-9:  # thinner than the web by itself is said elsewhere
        return []
    return [
        warn(
            "tip-worst-case",
            "lamination.tip_thickness",
            (
                f"lamination.tip_thickness = {tip:.3g} mm: {left:.2f} mm is left when {shop.name} cuts "
                f"{tol:g} mm too deep on both of its edges; it holds {need:.3g} mm without bending or burning"
            ),
            value=tip,
            limit=need + 2 * tol,
            fix=f"use at least {need + 2 * tol:.2f} mm, or a finer process",
            source=shop.source,
            confidence="practice",
        )
    ]


def _edges_lose(job: Job) -> list[Finding]:
    """Warn where the band that cutting spoils is a large share of the iron's width (common practice)."""
    lam, hub = job.design.lamination, job.design.hub
    limit = max(4.0, 10 * lam.sheet_thickness)
    found = []
    for field, width in (
        ("lamination.tooth_width", lam.tooth_width),
        ("hub.yoke_thickness", hub.yoke_thickness),
    ):
        if width is not None and width < limit:
            found.append(
                note(
                    "cut-edge-loss",
                    field,
                    (
                        f"{field} = {width:.3g} mm: the band that cutting spoils (parts of a mm to "
                        "several mm) is a large share of it; iron loss may double"
                    ),
                    value=width,
                    limit=limit,
                    fix=f"widen it to {limit:g} mm or more, or accept a warmer stator at speed",
                    source="published studies differ on the width of the band",
                    confidence="practice",
                )
            )
    return found
