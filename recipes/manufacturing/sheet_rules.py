"""Can a shop cut this lamination, and does it still work at the shop's tolerance?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from geometry.finding import Finding
from geometry.outline import Outline, Region
from geometry.polygon import to_polygon
from geometry.segment import Segment
from recipes.design import Design
from recipes.design.axle import Axle
from recipes.design.lamination import Hub, Lamination
from recipes.refusal import finding, note, stop, warn
from recipes.stator.slot import SlotShape
from recipes.tables.fits import fit_limits
from recipes.tables.process import Process
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade
from recipes.tables.steel_tubes import outside_limits

#: Chords stray this far from the rounds, mm: well below what any process holds.
_STRAY = 0.002

#: Widest glue gap between bore and seat that still centres the stack, on the diameter, mm; and
#: how much tightness a hone or fine file takes out of the bore (common practice).
MOST_GLUE, FILED = 0.12, 0.03


def sheet_findings(
    design: Design, shop: Process, slot: SlotShape, region: Region, stacking_factor: float
) -> list[Finding]:
    """Return every finding about cutting the lamination.

    Args:
        design: its lamination, hub, air gap and stator seat are judged.
        shop: how it is cut.
        slot: the exact tooth and slot.
        region: the sheet as designed.
        stacking_factor: steel share of the stack's height.
    """
    lam, hub = design.lamination, design.hub
    return [
        *_steel(lam, stacking_factor),
        *_widths(lam, hub, shop),
        *_slot_widths(lam, slot, shop),
        *_corners(slot, shop),
        *_webs(region, hub, lam.sheet_thickness, shop),
        *_air_gap(design.rotor.air_gap, shop),
        *_bore_fit(design, shop),
        *_tip(lam, shop),
        *_edges_lose(lam, hub),
    ]


def _steel(lam: Lamination, stacking_factor: float) -> list[Finding]:
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
                f"lamination.sheet_thickness = {lam.sheet_thickness:g} mm, but {grade.name} is "
                f"{grade.thickness_mm:g} mm sheet",
                value=lam.sheet_thickness,
                limit=grade.thickness_mm,
                fix="make both agree",
                source="EN 10106",
            )
        )
    if stacking_factor > grade.min_stacking_factor + 0.01:
        found.append(
            warn(
                "stacking-factor",
                "lamination.stacking_factor",
                f"lamination.stacking_factor = {stacking_factor:g} is more than pressed mill stock "
                f"promises ({grade.min_stacking_factor:g}); glue takes more",
                value=stacking_factor,
                limit=grade.min_stacking_factor,
                fix="use 0.90 to 0.95 for a hand-glued stack, or measure a pile of 20 sheets",
                source="EN 10106 table 2; hand-glued: common practice",
            )
        )
    return found


def _widths(lam: Lamination, hub: Hub, shop: Process) -> list[Finding]:
    """Judge drawn widths by themselves: opening, tip, tooth, holes, key."""
    t = lam.sheet_thickness
    slot, web, hole = shop.slot(t), shop.web(t), shop.hole(t)
    bolts, windows, key = hub.bolts, hub.windows, hub.keyway
    tab, arms = lam.tab_notch, hub.spokes
    narrow, small = "burns or breaks its edges", "a hole this small cannot be pierced cleanly"
    notch = f"a notch this narrow {narrow}"
    checks = (
        ("lamination.slot_opening", lam.slot_opening, slot, f"a cut this narrow {narrow}"),
        ("lamination.tip_thickness", lam.tip_thickness, web, "a lip this thin bends or burns"),
        ("lamination.tooth_width", lam.tooth_width, web, "a tooth this thin bends or burns"),
        ("hub.bolts.hole_diameter", bolts.hole_diameter if bolts else None, hole, small),
        ("hub.windows.radius", windows.radius if windows else None, hole / 2, small),
        ("hub.keyway.width", key.width if key else None, slot, notch),
        ("lamination.tab_notch.width", tab.width if tab else None, slot, notch),
        ("hub.spokes.width", arms.width if arms else None, web, "an arm this thin bends or burns"),
    )
    return [
        stop(
            "feature-too-small",
            field,
            f"{field} = {value:.3g} mm: {why}; {shop.name} needs at least {limit:.3g} mm in "
            f"{t:g} mm sheet",
            value=value,
            limit=limit,
            fix=f"use at least {limit:.3g} mm, or another process",
            source=shop.source,
            confidence="practice",
        )
        for field, value, limit, why in checks
        if value is not None and value < limit - 1e-9
    ]


class NarrowPlaces(NamedTuple):
    """Widths of one slot that follow from several fields together, mm, where they are least.

    Args:
        lip: from the air gap to the tip's underside, where the tooth is broad on few slots.
        throat: from the tip's underside down to the slot bottom, along the tooth.
        floor: between the two flanks of a slot: at its bottom if the teeth run parallel.
    """

    lip: float
    throat: float
    floor: float


def narrow_places(slot: SlotShape) -> NarrowPlaces:
    """Return where a slot is narrowest; `SlotShape.tooth_width` says it of the tooth."""
    import shapely

    flank = slot.half.index(slot.flank)
    # ... lip round, underside, neck round, flank, root round, slot bottom: a sharp corner has no round
    under = flank - (2 if slot.radii["neck_radius"] else 1)
    tip, below, underside, bottom = (
        shapely.LineString(_chords(run))
        for run in (
            slot.half[:1],
            slot.half[under:-1],
            slot.half[under : under + 1],
            slot.half[-1:],
        )
    )
    ends = (p.rotated(-slot.half_pitch) for p in (slot.flank.start, slot.flank.end))
    return NarrowPlaces(
        float(tip.distance(below)), float(underside.distance(bottom)), 2 * min(-p.y for p in ends)
    )


def _chords(run: Sequence[Segment]) -> list[tuple[float, float]]:
    spots = [run[0].start, *(p for edge in run for p in edge.chords(_STRAY))]
    return [(p.x, p.y) for p in spots]


def _slot_widths(lam: Lamination, slot: SlotShape, shop: Process) -> list[Finding]:
    """Judge widths that several fields make together."""
    t = lam.sheet_thickness
    web, gap = shop.web(t), shop.slot(t)
    side = f"lamination.{slot.sides.field}"
    burns, breaks = "burns or bends", "burns or breaks its edges"
    lip, throat, floor = narrow_places(slot)
    # what is too small by its own field is said already
    lip_said = lam.tip_thickness < web
    tooth_said = lam.tooth_width is not None and lam.tooth_width < web
    checks = (
        ("lamination.tip_thickness", math.inf if lip_said else lip, web, "a lip", burns,
         "make tips thicker or slots narrower"),
        (side, math.inf if tooth_said else slot.tooth_width, web, "a tooth", burns,
         "make slots narrower or fewer, or the sheet larger"),
        ("lamination.slot_depth", throat, gap,
         "a gap between the tip's underside and the slot bottom", breaks,
         "make slots deeper, tips thinner or tip_angle smaller"),
        (side, floor, gap, "a slot at its bottom", breaks,
         "make teeth narrower or slots less deep"),
    )  # fmt: skip
    return [
        stop(
            "slot-place-too-narrow",
            field,
            f"{field}: {what} of {value:.3f} mm is left at its narrowest and {why}; "
            f"{shop.name} needs at least {limit:.3g} mm in {t:g} mm sheet",
            value=value,
            limit=limit,
            fix=f"{fix}, or take another process",
            source=shop.source,
            confidence="practice",
        )
        for field, value, limit, what, why, fix in checks
        if value < limit - 1e-6
    ]


def _corners(slot: SlotShape, shop: Process) -> list[Finding]:
    """Judge inside corners: rounds that the cut itself leaves larger than drawn."""
    least = shop.least_corner_radius_mm
    return [
        warn(
            "corner-too-tight",
            f"lamination.{name}",
            f"lamination.{name} = {slot.radii[name]:.3g} mm: {shop.name} leaves about {least:g} mm in "
            "an inside corner, whatever the drawing says; the liner then stands off the wall",
            value=slot.radii[name],
            limit=least,
            fix=f"draw at least {least:g} mm, so that liner and fill are reckoned on what is cut",
            source=shop.source,
            confidence="practice",
        )
        for name in ("neck_radius", "root_radius")
        if slot.radii[name] < least - 1e-9
    ]


def _webs(region: Region, hub: Hub, thickness: float, shop: Process) -> list[Finding]:
    """Judge the material left between every two cuts: name every hole too near to another one."""
    import shapely

    need = min(shop.web(thickness), shop.edge(thickness))
    sheet, *holes = (to_polygon(o) for o in (region.outer, *region.holes))
    rings = [p.exterior for p in (sheet, *holes)]
    gaps: dict[int, float] = {}
    pairs = shapely.STRtree(rings).query(rings, predicate="dwithin", distance=need)
    for one, other in pairs.T.tolist():
        if one and one != other:
            gap = float(shapely.distance(rings[one], rings[other]))
            gaps[one] = min(gap, gaps.get(one, math.inf))
    inside = shapely.contains_properly(sheet, rings)
    found = {}
    for k in range(len(holes), 0, -1):
        gap = gaps.get(k, math.inf) if inside[k] else 0.0
        if gap < need - 1e-6:
            thin = _thin(region.holes[k - 1], hub, gap, need, shop)
            found[thin.field] = thin
    return list(found.values())


def _thin(hole: Outline, hub: Hub, gap: float, need: float, shop: Process) -> Finding:
    circle = hole.as_circle()
    spot, field = (circle[0] if circle else hole.centroid), "hub.yoke_thickness"
    if circle and hub.bolts and abs(circle[1] - hub.bolts.hole_diameter / 2) < 1e-9:
        field = "hub.bolts"
    elif circle and hub.windows and abs(circle[1] - hub.windows.radius) < 1e-9:
        field = "hub.windows"
    elif hub.spokes and hole.centroid.length() > 1e-6:
        field = "hub.spokes"
    what = f"only {gap:.3f} mm of sheet is left" if gap > 0 else "it breaks into another cut"
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


# Air gap, bore and tip at the shop's tolerance, not at nominal.


def _air_gap(nominal: float, shop: Process) -> list[Finding]:
    tol = shop.tolerance_mm
    gap = nominal - tol
    if gap >= 0.3:
        return []
    return [
        finding(
            "stop" if gap <= 0.1 else "warn",
            "air-gap",
            "rotor.air_gap",
            f"rotor.air_gap = {nominal:g} mm: {gap:.2f} mm is left when {shop.name} "
            f"cuts {tol:g} mm too large; nothing may rub (at least 0.3 mm)",
            value=nominal,
            limit=0.3 + tol,
            fix=f"use at least {0.3 + tol:.2f} mm, or a finer process",
            source="common practice",
            confidence="practice",
        )
    ]


def _bore_fit(design: Design, shop: Process) -> list[Finding]:
    """Tell how tight and how loose the bore may come out on the stator seat, or on bought stock."""
    bore, tol = design.lamination.bore_diameter, shop.tolerance_mm
    turned, known = design.axle.stator_seat, design.shop.measured.bore_step is not None
    if turned is None:
        return _bore_on_stock(design.axle, bore, shop)
    fit = turned.fit
    try:
        seat = fit_limits(bore, fit)
    except TableError:  # said by the rules of the axle
        return []
    least, most = bore - tol - seat.max_size_mm, bore + tol - seat.min_size_mm
    if least >= 0.0 and most <= MOST_GLUE:
        return []
    tight = f"{-least:.3f} mm too tight to go on" if least < 0 else f"{least:.3f} mm loose"
    return [
        finding(
            "note" if known or (least > -FILED and most <= MOST_GLUE) else "warn",
            "bore-fit",
            "lamination.bore_diameter",
            f"lamination.bore_diameter = {bore:.3f} mm: {shop.name} holds it to +-{tol:g} mm, the seat "
            f"{fit} is {seat.min_size_mm:.3f} to {seat.max_size_mm:.3f} mm: anything from {tight} to "
            f"{most:.3f} mm loose; glue fills up to {MOST_GLUE:g} mm and then no longer centres",
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


def _bore_on_stock(axle: Axle, bore: float, shop: Process) -> list[Finding]:
    """Tell how tight and how loose a bore, in mm, may come out on a tube or bar as it was bought."""
    low, high = outside_limits(axle)
    least, most = bore - shop.tolerance_mm - high, bore + shop.tolerance_mm - low
    if least >= 0.0 and most <= MOST_GLUE:
        return []
    measured = axle.stock_least is not None and axle.stock_most is not None
    asked = high + shop.tolerance_mm
    tight = f"{-least:.2f} mm too tight to go on" if least < 0 else f"{least:.2f} mm loose"
    return [
        warn(
            "bore-on-stock",
            "lamination.bore_diameter",
            f"lamination.bore_diameter = {bore:.3f} mm: the stack stands on the {axle.stock} as it was "
            f"bought, {low:.3f} to {high:.3f} mm {'as measured' if measured else 'by its standard'}, and "
            f"{shop.name} holds +-{shop.tolerance_mm:g} mm: anything from {tight} to {most:.2f} mm loose; "
            f"glue fills up to {MOST_GLUE:g} mm and then no longer centres",
            value=bore,
            limit=round(asked, 4),
            fix=(
                f"use lamination.bore_diameter = {asked:.2f}"
                if measured
                else "buy the tube first, measure it at both ends and the middle and type axle.stock_least "
                "and axle.stock_most"
            )
            + "; shim the gap evenly on three sides while glue sets, or turn a stator seat",
            source=f"outside of the {axle.stock}; tolerance of {shop.name} by the process table",
            confidence="practice",
        )
    ]


def _tip(lam: Lamination, shop: Process) -> list[Finding]:
    """Judge the lip at the slot opening when both of its edges come out a tolerance inwards."""
    tip, tol, need = lam.tip_thickness, shop.tolerance_mm, shop.web(lam.sheet_thickness)
    left = tip - 2 * tol
    if tip < need - 1e-9 or left >= need - 1e-9:  # thinner than the web by itself is said elsewhere
        return []
    return [
        warn(
            "tip-worst-case",
            "lamination.tip_thickness",
            f"lamination.tip_thickness = {tip:.3g} mm: {left:.2f} mm is left when {shop.name} cuts "
            f"{tol:g} mm too deep on both of its edges; it holds {need:.3g} mm without bending or burning",
            value=tip,
            limit=need + 2 * tol,
            fix=f"use at least {need + 2 * tol:.2f} mm, or a finer process",
            source=shop.source,
            confidence="practice",
        )
    ]


def _edges_lose(lam: Lamination, hub: Hub) -> list[Finding]:
    """Warn where the band that cutting spoils is a large share of the iron's width (common practice)."""
    limit = max(4.0, 10 * lam.sheet_thickness)
    widths = (
        ("lamination.tooth_width", lam.tooth_width),
        ("hub.yoke_thickness", hub.yoke_thickness),
    )
    return [
        note(
            "cut-edge-loss",
            field,
            f"{field} = {width:.3g} mm: the band that cutting spoils (parts of a mm to several mm) is "
            "a large share of it; iron loss may double",
            value=width,
            limit=limit,
            fix=f"widen it to {limit:g} mm or more, or accept a warmer stator at speed",
            source="published studies differ on the width of the band",
            confidence="practice",
        )
        for field, width in widths
        if width is not None and width < limit
    ]
