"""Rules on the kerf: what would vanish if it is drawn in, and what does the coupon say?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from typing import Final

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.part import Part
from geometry.polygon import to_polygon
from geometry.segment import Arc
from recipes.design.lamination import Hub, Lamination
from recipes.design.shop import Measured
from recipes.manufacturing.kerf import Kerf, drawn_part, side_of
from recipes.refusal import finding, note, stop, warn
from recipes.stator.coupon import SQUARE
from recipes.stator.stack_count import (
    LEAST_FACTOR,
    PILE,
    Stack,
    measured_stacking_factor,
    sheets_at,
)

_ELSE = "a finer process, or leave shop.kerf_full_width out and let the shop compensate"

#: Readings of one coupon that differ by more than this have another cause than the kerf, mm.
MOST_SPREAD = 0.05

#: A kerf that is drawn in this much too wide or too narrow shows on calipers, mm.
SHOWS = 0.03

#: Stacking factors that differ by more than this change the number of sheets.
FACTOR_STEP = 0.01

_COUPON: Final = "measured on the test coupon"
_yours = partial(note, source=_COUPON, confidence="yours")


def kerf_shape_findings(
    kerf: Kerf,
    lamination: Lamination,
    hub: Hub,
    radii: Mapping[str, float],
    parts: Iterable[Part],
) -> list[Finding]:
    """Name every round and part that cannot be drawn with this kerf or bore correction.

    Args:
        kerf: of the shop.
        lamination, hub: as designed.
        radii: of the rounds of the slot, mm, by the field of `lamination`.
        parts: of sheet steel, nominal; looked at only if something is drawn in.
    """
    if not kerf.drawn and not kerf.bore:
        return []
    steel = tuple(parts)
    found = [f for part in steel for f in _rounds(part, kerf, hub, radii)]
    if not found and not kerf_gap_findings(kerf, lamination, hub):
        # drawing what is known to vanish would only repeat it less clearly
        found = [f for part in steel for f in _undrawable(part, lamination, kerf)]
    return list({f.field: f for f in reversed(found)}.values())


def kerf_gap_findings(kerf: Kerf, lamination: Lamination, hub: Hub) -> list[Finding]:
    """Judge gaps and holes: moving both of their sides by k / 2 must leave some of them."""
    k, tab = kerf.drawn, lamination.tab_notch
    gaps = (
        ("hub.windows.radius", 2 * hub.windows.radius if hub.windows else None),
        ("hub.bolts.hole_diameter", hub.bolts.hole_diameter if hub.bolts else None),
        ("hub.keyway.width", hub.keyway.width if hub.keyway else None),
        ("lamination.tab_notch.width", tab.width if tab else None),
        ("lamination.slot_opening", lamination.slot_opening),
    )
    return [
        stop(
            "kerf-closes-gap",
            field,
            f"{field}: nothing is left of a width of {size:.3g} mm when {k:g} mm full kerf width is "
            "drawn in",
            value=size,
            limit=k,
            fix=f"make it wider than {k:g} mm, use {_ELSE}",
        )
        for field, size in gaps
        if size is not None and size <= k
    ]


def _rounds(part: Part, kerf: Kerf, hub: Hub, radii: Mapping[str, float]) -> Iterable[Finding]:
    """Judge inside rounds: a cut of width k leaves no inside corner tighter than k / 2."""
    found: dict[str, Finding] = {}
    outers = [region.outer for region in part.cut]
    for loop in part.loops:
        side = side_of(part, loop, kerf)
        for edge in () if loop.as_circle() else loop.segments:
            if not isinstance(edge, Arc) or edge.ccw or edge.radius > side + 1e-6:
                continue
            for field in _fields_of_round(edge.radius, loop in outers, hub, radii):
                found.setdefault(field, _filled(field, part.name, edge, side))
    return found.values()


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
        "geometry of this design",
        "standard",
        (round(spot.x, 3), round(spot.y, 3)),
    )


def _fields_of_round(
    radius: float, outside: bool, hub: Hub, radii: Mapping[str, float]
) -> list[str]:
    """Return the design fields that may give an inside round its radius."""
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


def _undrawable(part: Part, lamination: Lamination, kerf: Kerf) -> list[Finding]:
    """Draw the part and look: whatever else is wrong shows as an edge that vanishes or a crossing."""
    try:
        for region in drawn_part(part, lamination, kerf).cut:
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
                "geometry of this design",
                "standard",
                error.where,
            )
        ]
    return []


def kerf_findings(
    kerf: Kerf, measured: Measured, lamination: Lamination, stack: Stack
) -> list[Finding]:
    """Return what the coupon says, and the corrections that follow from it.

    Args:
        kerf: of the shop.
        measured: what was measured on coupon and pile.
        lamination: as designed.
        stack: its sheets as counted.
    """
    return [
        *_drawn(kerf.drawn),
        *_readings(kerf),
        *_left_over(kerf, measured.drawn_kerf),
        *_bore(kerf, measured, lamination.bore_diameter),
        *_opening(measured.opening_step, lamination.slot_opening),
        *_pile(measured.pile_of_20, lamination, stack),
    ]


def _drawn(k: float) -> Iterator[Finding]:
    if k:
        yield note(
            "kerf-drawn",
            "shop.kerf_full_width",
            f"shop.kerf_full_width: {k:g} mm full kerf width is drawn into the cut files of steel: "
            f"every outer edge grows by {k / 2:g} mm a side, holes shrink by {k / 2:g} mm a side; the "
            f"file names say kerf{k:g}",
            value=k,
            fix="tell the shop that the kerf is in the drawing and nothing may be compensated again",
            source="common practice",
            confidence="practice",
        )


def _readings(kerf: Kerf) -> Iterator[Finding]:
    if not kerf.readings:
        return
    listed = ", ".join(
        f"{r.field.removeprefix('shop.measured.')} {r.width:.2f}" for r in kerf.readings
    )
    yield _yours(
        "kerf-measured",
        "shop.measured",
        f"shop.measured: the coupon tells {kerf.width:.2f} mm full kerf width (mean of {listed} mm)",
        value=kerf.width,
        fix="nothing to do: this is what is reckoned with",
    )
    if kerf.spread > MOST_SPREAD + 1e-9:
        low, high = (f(kerf.readings, key=lambda r: r.width) for f in (min, max))
        yield warn(
            "kerf-spread",
            high.field,
            f"{high.field} gives {high.width:.2f} mm full kerf width, but {low.field} gives "
            f"{low.width:.2f} mm: {_cause(kerf)}; the mean is right for neither",
            value=round(kerf.spread, 3),
            limit=MOST_SPREAD,
            fix="measure again, away from tabs and lead-ins; if it stays, have the machine's axes and "
            "the beam checked, or ask for holes and outer edges compensated apart",
            source="0.05 mm, common practice",
            confidence="practice",
        )


def _cause(kerf: Kerf) -> str:
    x, y = kerf.mean(axis="x"), kerf.mean(axis="y")
    outer, hole = kerf.mean(kind="outer"), kerf.mean(kind="hole")
    by_axis = abs(x - y) if x is not None and y is not None else 0.0
    by_kind = abs(outer - hole) if outer is not None and hole is not None else 0.0
    if by_axis > by_kind:
        return "the machine's axes do not move alike, or the cut is wider one way"
    return "holes and outer edges are not cut alike"


def _left_over(kerf: Kerf, before: float) -> Iterator[Finding]:
    """Compare what is drawn in with what the coupon, drawn with `before` mm, says."""
    off = kerf.width - kerf.drawn
    if not kerf.readings or abs(off) <= SHOWS:  # without a coupon nothing is known
        return
    how = "small and holes large" if off > 0 else "large and holes small"
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
    yield warn(
        "kerf-left-over",
        "shop.kerf_full_width",
        f"shop.kerf_full_width: {kerf.drawn:g} mm is drawn in, but the coupon (drawn with "
        f"{before:g} mm) says {kerf.width:.2f} mm: parts would come out {abs(off):.2f} mm {how}; a "
        f"{SQUARE:g} mm square would measure {SQUARE - off:.2f} mm",
        value=kerf.drawn,
        limit=kerf.width,
        fix=fix,
        source=_COUPON,
        confidence="yours",
    )


def _bore(kerf: Kerf, measured: Measured, bore: float) -> Iterator[Finding]:
    if measured.bore_step is None:
        return
    drawn = bore + kerf.bore - kerf.drawn  # the very size that the fitting half-ring was drawn with
    kerfs = f", {measured.drawn_kerf:g} mm kerf off" if measured.drawn_kerf else ""
    yield _yours(
        "bore-corrected",
        "shop.measured.bore_step",
        f"shop.measured.bore_step = {measured.bore_step:g} mm: the cut file draws the bore of "
        f"{bore:g} mm with {drawn:.2f} mm, as the half-ring that fits was drawn ({bore:g} "
        f"{measured.bore_step:+.2f} mm{kerfs}); keyway and flats move with it, the seat on the axle "
        "stays",
        value=measured.bore_step,
        fix="nothing to do; leave bore_step out if you would rather turn the seat to the sheets",
    )


def _opening(step: float | None, opening: float) -> Iterator[Finding]:
    if not step:
        return
    tight, least = step > 0, f"{opening + step:.3g} mm"
    yield finding(
        "warn" if tight else "note",
        "opening-measured",
        "lamination.slot_opening",
        f"lamination.slot_opening = {opening:.3g} mm: on the comb the wire passes "
        + (f"only from {least}" if tight else f"from {least} already, {-step:.2g} mm to spare"),
        value=opening,
        limit=opening + step,
        fix=f"use slot_opening = {least} or more" if tight else "nothing to do",
        source=_COUPON,
        confidence="yours",
    )


def _pile(height: float | None, lam: Lamination, stack: Stack) -> Iterator[Finding]:
    factor = measured_stacking_factor(height, lam.sheet_thickness)
    if factor is None:
        return
    if not LEAST_FACTOR <= factor <= 1.0:
        yield warn(
            "pile-height",
            "shop.measured.pile_of_20",
            f"shop.measured.pile_of_20 = {height:.3g} mm: {PILE} sheets of {lam.sheet_thickness:g} mm "
            f"cannot give a steel share of {factor:g}",
            value=height,
            limit=PILE * lam.sheet_thickness,
            fix="count the sheets, deburr them, press the pile, and measure the sheet's thickness",
            source="EN 60404-13: steel share of a pressed pile",
            confidence="yours",
        )
    elif abs(factor - stack.factor) > FACTOR_STEP:
        then = sheets_at(factor, lam.stack_length, lam.sheet_thickness)
        yield warn(
            "stacking-factor-measured",
            "lamination.stacking_factor",
            f"lamination.stacking_factor = {stack.factor:g}, but the pile of {PILE} says {factor:g}: "
            f"{lam.stack_length:g} mm take {then} sheets, not {stack.sheets}",
            value=stack.factor,
            limit=factor,
            fix=f"use stacking_factor = {factor:g}, less what your glue adds",
            source=_COUPON,
            confidence="yours",
        )
