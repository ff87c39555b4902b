"""Rules on the kerf: does the drawing allow for what the cut takes, and what does the coupon say?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.finding import Finding
from recipes.parts.stack import stack_of
from recipes.refusal import finding
from recipes.shop.kerf import (
    PILE,
    SQUARE,
    Kerf,
    kerf_of,
    measured_stacking_factor,
)
from recipes.shop.kerf_shape_rules import vanishing

if TYPE_CHECKING:
    from recipes.job import Job

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
        finding(
            "note", "kerf-drawn", "shop.kerf_full_width", k, None,
            f"shop.kerf_full_width: {k:g} mm full kerf width is drawn into the cut files of steel: "
            f"every outer edge grows by {k / 2:g} mm a side, holes shrink by {k / 2:g} mm a side; the "
            f"file names say kerf{k:g}",
            "tell the shop that the kerf is in the drawing and nothing may be compensated again",
            "common practice", "practice",
        )
    ]  # fmt: skip


def _readings(kerf: Kerf) -> list[Finding]:
    if not kerf.readings:
        return []
    listed = ", ".join(f"{r.field.removeprefix('shop.measured.')} {r.width:.2f}" for r in kerf.readings)  # fmt: skip
    found = [
        finding(
            "note", "kerf-measured", "shop.measured", kerf.width, None,
            f"shop.measured: the coupon tells {kerf.width:.2f} mm full kerf width (mean of {listed} mm)",
            "nothing to do: this is what is reckoned with", _COUPON, "yours",
        )
    ]  # fmt: skip
    if kerf.spread > MOST_SPREAD + 1e-9:
        low, high = (f(kerf.readings, key=lambda r: r.width) for f in (min, max))
        found.append(
            finding(
                "warn", "kerf-spread", high.field, round(kerf.spread, 3), MOST_SPREAD,
                f"{high.field} gives {high.width:.2f} mm full kerf width, but {low.field} gives "
                f"{low.width:.2f} mm: {_cause(kerf)}; the mean is right for neither",
                "measure again, away from tabs and lead-ins; if it stays, have the machine's axes and "
                "the beam checked, or ask for holes and outer edges compensated apart",
                "0.05 mm, common practice", "practice",
            )
        )  # fmt: skip
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
        finding(
            "warn", "kerf-left-over", "shop.kerf_full_width", kerf.drawn, kerf.width,
            f"shop.kerf_full_width: {kerf.drawn:g} mm is drawn in, but the coupon (drawn with "
            f"{before:g} mm) says {kerf.width:.2f} mm: parts would come out {abs(off):.2f} mm {how}; a "
            f"{SQUARE:g} mm square would measure {SQUARE - off:.2f} mm",
            fix, _COUPON, "yours",
        )
    ]  # fmt: skip


def _bore(job: Job, kerf: Kerf) -> list[Finding]:
    measured, bore = job.design.shop.measured, job.design.lamination.bore_diameter
    if measured.bore_step is None:
        return []
    drawn = bore + kerf.bore - kerf.drawn  # the very size that the fitting half-ring was drawn with
    kerfs = f", {measured.drawn_kerf:g} mm kerf off" if measured.drawn_kerf else ""
    return [
        finding(
            "note", "bore-corrected", "shop.measured.bore_step", measured.bore_step, None,
            f"shop.measured.bore_step = {measured.bore_step:g} mm: the cut file draws the bore of "
            f"{bore:g} mm with {drawn:.2f} mm, as the half-ring that fits was drawn ({bore:g} "
            f"{measured.bore_step:+.2f} mm{kerfs}); keyway and flats move with it, the seat on the axle "
            "stays",
            "nothing to do; leave bore_step out if you would rather turn the seat to the sheets",
            _COUPON, "yours",
        )
    ]  # fmt: skip


def _opening(job: Job) -> list[Finding]:
    step, opening = job.design.shop.measured.opening_step, job.design.lamination.slot_opening
    if step is None or step == 0.0:
        return []
    tight = step > 0
    return [
        finding(
            "warn" if tight else "note", "opening-measured", "lamination.slot_opening", opening,
            opening + step,
            f"lamination.slot_opening = {opening:.3g} mm: on the comb the wire passes only from "
            f"{opening + step:.3g} mm" if tight else
            f"lamination.slot_opening = {opening:.3g} mm: on the comb the wire passes from "
            f"{opening + step:.3g} mm already, {-step:.2g} mm to spare",
            f"use slot_opening = {opening + step:.3g} mm or more" if tight else "nothing to do",
            _COUPON, "yours",
        )
    ]  # fmt: skip


def _pile(job: Job) -> list[Finding]:
    factor, lam = measured_stacking_factor(job.design), job.design.lamination
    if factor is None:
        return []
    height = job.design.shop.measured.pile_of_20
    if not 0.8 <= factor <= 1.0:
        return [
            finding(
                "warn", "pile-height", "shop.measured.pile_of_20", height, PILE * lam.sheet_thickness,
                f"shop.measured.pile_of_20 = {height:.3g} mm: {PILE} sheets of "
                f"{lam.sheet_thickness:g} mm cannot give a steel share of {factor:g}",
                "count the sheets, deburr them, press the pile, and measure the sheet's thickness",
                "EN 60404-13: steel share of a pressed pile", "yours",
            )
        ]  # fmt: skip
    used, sheets = job.stack.factor, job.stack.sheets
    if abs(factor - used) <= FACTOR_STEP:
        return []
    other = lam.model_copy(update={"stacking_factor": factor})
    then = stack_of(job.design.model_copy(update={"lamination": other})).sheets
    return [
        finding(
            "warn", "stacking-factor-measured", "lamination.stacking_factor", used, factor,
            f"lamination.stacking_factor = {used:g}, but the pile of {PILE} says {factor:g}: "
            f"{lam.stack_length:g} mm take {then} sheets, not {sheets}",
            f"use stacking_factor = {factor:g}, less what your glue adds", _COUPON, "yours",
        )
    ]  # fmt: skip
