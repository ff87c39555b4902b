"""Rules on the kerf: does the drawing allow for what the cut takes, and what does the coupon say?"""

from __future__ import annotations

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.part import Part
from geometry.polygon import to_polygon
from geometry.segment import Arc
from recipes.catalogue import RECIPES
from recipes.job import Job
from recipes.manufacturing.kerf import (
    PILE,
    SQUARE,
    Kerf,
    drawn_part,
    is_steel,
    kerf_of,
    measured_stacking_factor,
    side_of,
)
from recipes.refusal import Refused, finding, note, stop, warn
from recipes.stator.stack import stack_of

# Rules on the kerf as a shape: what would vanish from a steel part if the kerf is drawn in?

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
        stop(
            "kerf-closes-gap",
            field,
            (
                f"{field}: nothing is left of a width of {size:.3g} mm when {k:g} mm full kerf width is "
                "drawn in"
            ),
            value=size,
            limit=k,
            fix=f"make it wider than {k:g} mm, use {_ELSE}",
            source=_CUT,
        )
        for field, size in gaps
        if size is not None and size <= k
    ]


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
        "stop",
        "kerf-fills-round",
        field,
        round(edge.radius, 4),
        round(side, 4),
        f"{field}: the inside round of {edge.radius:.3g} mm at ({spot.x:.2f}, {spot.y:.2f}) mm of "
        f"{name} would vanish: a cut {2 * side:g} mm wide leaves {side:g} mm in every inside corner",
        f"use more than {side:g} mm, {_ELSE}",
        _CUT,
        "standard",
        (round(spot.x, 3), round(spot.y, 3)),
    )


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
                "stop",
                "kerf-not-drawable",
                "shop.kerf_full_width",
                kerf.drawn,
                None,
                f"shop.kerf_full_width = {kerf.drawn:g} mm cannot be drawn into {part.name}: "
                f"{error.reason}",
                "use a finer process, or leave it out and let the shop compensate",
                _CUT,
                "standard",
                error.where,
            )
        ]
    return []


#: Readings of one coupon that differ by more than this have another cause than the kerf, mm.
MOST_SPREAD = 0.05

#: A kerf that is drawn in this much too wide or too narrow shows on calipers, mm.
SHOWS = 0.03

#: Stacking factors that differ by more than this change the number of sheets.
FACTOR_STEP = 0.01

_COUPON = "measured on the test coupon"


def kerf_findings(job: Job) -> list[Finding]:
    """Return every finding about kerf, coupon and the corrections that follow from it.

    Raises:
        Refused: see `kerf_of`.
    """
    kerf = kerf_of(job)
    return [
        *_drawn(kerf),
        *_readings(kerf),
        *_left_over(job, kerf),
        *_bore(job, kerf),
        *_opening(job),
        *_pile(job),
        *vanishing(job, kerf),
    ]


def _drawn(kerf: Kerf) -> list[Finding]:
    if not kerf.drawn:
        return []
    k = kerf.drawn
    return [
        note(
            "kerf-drawn",
            "shop.kerf_full_width",
            (
                f"shop.kerf_full_width: {k:g} mm full kerf width is drawn into the cut files of steel: "
                f"every outer edge grows by {k / 2:g} mm a side, holes shrink by {k / 2:g} mm a side; the "
                f"file names say kerf{k:g}"
            ),
            value=k,
            fix="tell the shop that the kerf is in the drawing and nothing may be compensated again",
            source="common practice",
            confidence="practice",
        )
    ]


def _readings(kerf: Kerf) -> list[Finding]:
    if not kerf.readings:
        return []
    listed = ", ".join(
        f"{r.field.removeprefix('shop.measured.')} {r.width:.2f}" for r in kerf.readings
    )
    found = [
        note(
            "kerf-measured",
            "shop.measured",
            f"shop.measured: the coupon tells {kerf.width:.2f} mm full kerf width (mean of {listed} mm)",
            value=kerf.width,
            fix="nothing to do: this is what is reckoned with",
            source=_COUPON,
            confidence="yours",
        )
    ]
    if kerf.spread > MOST_SPREAD + 1e-9:
        low, high = (f(kerf.readings, key=lambda r: r.width) for f in (min, max))
        found.append(
            warn(
                "kerf-spread",
                high.field,
                (
                    f"{high.field} gives {high.width:.2f} mm full kerf width, but {low.field} gives "
                    f"{low.width:.2f} mm: {_cause(kerf)}; the mean is right for neither"
                ),
                value=round(kerf.spread, 3),
                limit=MOST_SPREAD,
                fix=(
                    "measure again, away from tabs and lead-ins; if it stays, have the machine's axes and "
                    "the beam checked, or ask for holes and outer edges compensated apart"
                ),
                source="0.05 mm, common practice",
                confidence="practice",
            )
        )
    return found


def _cause(kerf: Kerf) -> str:
    x, y = kerf.mean(axis="x"), kerf.mean(axis="y")
    outer, hole = kerf.mean(kind="outer"), kerf.mean(kind="hole")
    by_axis = abs(x - y) if x is not None and y is not None else 0.0
    by_kind = abs(outer - hole) if outer is not None and hole is not None else 0.0
    if by_axis > by_kind:
        return "the machine's axes do not move alike, or the cut is wider one way"
    return "holes and outer edges are not cut alike"


def _left_over(job: Job, kerf: Kerf) -> list[Finding]:
    """Compare what is drawn in with what the coupon says; without a coupon nothing is known."""
    if not kerf.readings:
        return []
    off = kerf.width - kerf.drawn
    if abs(off) <= SHOWS:
        return []
    how = "small and holes large" if off > 0 else "large and holes small"
    before = job.design.shop.measured.drawn_kerf
    if off > 0:
        fix = (
            f"write kerf_full_width = 'measured' to draw {kerf.width:g} mm in, or have the shop "
            f"compensate {off:.2f} mm more full kerf width"
        )
    elif kerf.drawn:
        fix = (
            f"write kerf_full_width = 'measured' to draw {max(0.0, kerf.width):g} mm in: the shop "
            "compensates by itself"
        )
    else:
        fix = f"have the shop compensate {-off:.2f} mm less full kerf width"
    return [
        warn(
            "kerf-left-over",
            "shop.kerf_full_width",
            (
                f"shop.kerf_full_width: {kerf.drawn:g} mm is drawn in, but the coupon (drawn with "
                f"{before:g} mm) says {kerf.width:.2f} mm: parts would come out {abs(off):.2f} mm {how}; a "
                f"{SQUARE:g} mm square would measure {SQUARE - off:.2f} mm"
            ),
            value=kerf.drawn,
            limit=kerf.width,
            fix=fix,
            source=_COUPON,
            confidence="yours",
        )
    ]


def _bore(job: Job, kerf: Kerf) -> list[Finding]:
    measured, bore = job.design.shop.measured, job.design.lamination.bore_diameter
    if measured.bore_step is None:
        return []
    drawn = bore + kerf.bore - kerf.drawn  # the very size that the fitting half-ring was drawn with
    kerfs = f", {measured.drawn_kerf:g} mm kerf off" if measured.drawn_kerf else ""
    return [
        note(
            "bore-corrected",
            "shop.measured.bore_step",
            (
                f"shop.measured.bore_step = {measured.bore_step:g} mm: the cut file draws the bore of "
                f"{bore:g} mm with {drawn:.2f} mm, as the half-ring that fits was drawn ({bore:g} "
                f"{measured.bore_step:+.2f} mm{kerfs}); keyway and flats move with it, the seat on the axle "
                "stays"
            ),
            value=measured.bore_step,
            fix="nothing to do; leave bore_step out if you would rather turn the seat to the sheets",
            source=_COUPON,
            confidence="yours",
        )
    ]


def _opening(job: Job) -> list[Finding]:
    step, opening = job.design.shop.measured.opening_step, job.design.lamination.slot_opening
    if step is None or step == 0.0:
        return []
    tight = step > 0
    return [
        finding(
            "warn" if tight else "note",
            "opening-measured",
            "lamination.slot_opening",
            f"lamination.slot_opening = {opening:.3g} mm: on the comb the wire passes only from "
            f"{opening + step:.3g} mm"
            if tight
            else f"lamination.slot_opening = {opening:.3g} mm: on the comb the wire passes from "
            f"{opening + step:.3g} mm already, {-step:.2g} mm to spare",
            value=opening,
            limit=opening + step,
            fix=f"use slot_opening = {opening + step:.3g} mm or more" if tight else "nothing to do",
            source=_COUPON,
            confidence="yours",
        )
    ]


def _pile(job: Job) -> list[Finding]:
    factor, lam = measured_stacking_factor(job.design), job.design.lamination
    if factor is None:
        return []
    height = job.design.shop.measured.pile_of_20
    if not 0.8 <= factor <= 1.0:
        return [
            warn(
                "pile-height",
                "shop.measured.pile_of_20",
                (
                    f"shop.measured.pile_of_20 = {height:.3g} mm: {PILE} sheets of "
                    f"{lam.sheet_thickness:g} mm cannot give a steel share of {factor:g}"
                ),
                value=height,
                limit=PILE * lam.sheet_thickness,
                fix="count the sheets, deburr them, press the pile, and measure the sheet's thickness",
                source="EN 60404-13: steel share of a pressed pile",
                confidence="yours",
            )
        ]
    used, sheets = job.stack.factor, job.stack.sheets
    if abs(factor - used) <= FACTOR_STEP:
        return []
    other = lam.model_copy(update={"stacking_factor": factor})
    then = stack_of(job.design.model_copy(update={"lamination": other})).sheets
    return [
        warn(
            "stacking-factor-measured",
            "lamination.stacking_factor",
            (
                f"lamination.stacking_factor = {used:g}, but the pile of {PILE} says {factor:g}: "
                f"{lam.stack_length:g} mm take {then} sheets, not {sheets}"
            ),
            value=used,
            limit=factor,
            fix=f"use stacking_factor = {factor:g}, less what your glue adds",
            source=_COUPON,
            confidence="yours",
        )
    ]
