"""Is the paper long enough, thick enough, and does the wire pass the opening?"""

from __future__ import annotations

from geometry.finding import Finding, Level
from recipes.insulation.liner import liner_size
from recipes.job import Job
from recipes.manufacturing.process import process
from recipes.refusal import finding, note, stop
from recipes.tables.insulation import creepage
from recipes.tables.paper import nearest_papers
from recipes.tables.reader import TableError
from recipes.winding.window import MOST_COPPER

#: Clear opening that one wire needs when turns go in singly: factor and play (common practice).
PASS_FACTOR, PASS_PLAY = 1.15, 0.2


def liner_findings(job: Job) -> list[Finding]:
    """Return the findings about liner, wedge and their paper."""
    paper = job.design.liner
    liner_size(job)  # refuses what cannot be folded
    found: list[Finding] = []
    if paper.cuff > paper.overhang > 0 or (paper.cuff and not paper.overhang):
        found.append(
            stop(
                "cuff-longer-than-overhang",
                "liner.cuff",
                (
                    f"liner.cuff = {paper.cuff:g} mm does not fit outside the stack: the overhang is "
                    f"{paper.overhang:g} mm"
                ),
                value=paper.cuff,
                limit=paper.overhang,
                fix=f"use a cuff of at most {paper.overhang:g} mm, or a longer overhang",
            )
        )
    found += _creepage(job)
    found += _thickness(job)
    return found


def _creepage(job: Job) -> list[Finding]:
    """Judge the overhang by creepage at the supply, wet (pollution degree 3), group III."""
    volts, overhang = job.design.motor.supply_voltage, job.design.liner.overhang
    try:
        wet, dry = creepage(volts, 3), creepage(volts, 2)
    except TableError as error:
        return [
            stop(
                "creepage",
                "motor.supply_voltage",
                f"motor.supply_voltage: {error}",
                value=volts,
                fix="this is beyond a home workshop; a qualified person has to design the insulation",
                source="IEC 60664-1",
            )
        ]
    if overhang >= wet.distance_mm:
        return []
    return [
        finding(
            "stop" if overhang < dry.distance_mm else "warn",
            "creepage",
            "liner.overhang",
            (
                f"liner.overhang = {overhang:g} mm: bare copper to steel needs {wet.distance_mm:g} mm at "
                f"{volts:g} V where it may get wet ({dry.distance_mm:g} mm where it stays dry)"
            ),
            value=overhang,
            limit=wet.distance_mm,
            fix=f"use at least {wet.distance_mm:g} mm; 3 mm leaves room for a hand's error of 1 mm",
            source=wet.source,
        )
    ]


def _thickness(job: Job) -> list[Finding]:
    paper = job.design.liner
    if paper.paper == "pressboard":
        return []
    stock = nearest_papers(paper.thickness)
    if any(abs(p.thickness_mm - paper.thickness) <= 0.006 for p in stock):
        return []
    sizes = ", ".join(f"{p.thickness_mm:g}" for p in stock)
    return [
        note(
            "paper-size",
            "liner.thickness",
            f"liner.thickness = {paper.thickness:.3g} mm is not a stock thickness; near: {sizes} mm",
            value=paper.thickness,
            limit=sizes,
            fix="use a stock thickness",
            source="makers' data sheets",
            confidence="maker",
        )
    ]


def opening_findings(job: Job) -> list[Finding]:
    """Judge whether one wire passes the lined opening at the shop's worst case (common practice)."""

    design, wire = job.design, job.wire
    opening = design.lamination.slot_opening
    paper, tolerance = 2 * design.liner.thickness, process(design.shop.process).tolerance_mm
    need = PASS_FACTOR * wire.overall_max_mm + PASS_PLAY + paper
    found: list[Finding] = []
    if opening - tolerance < need:
        level: Level = "stop" if opening < need else "warn"
        thin = (opening - tolerance - paper - PASS_PLAY) / PASS_FACTOR
        found.append(
            finding(
                level,
                "wire-does-not-pass",
                "lamination.slot_opening",
                (
                    f"lamination.slot_opening = {opening:.3g} mm: wire {wire.overall_max_mm:.3f} mm over "
                    f"enamel, fed one by one, with 2 x {design.liner.thickness:g} mm liner needs "
                    f"{need:.2f} mm, and the cut may come out {tolerance:g} mm narrow"
                ),
                value=opening,
                limit=need + tolerance,
                fix=(
                    f"widen slot_opening to {need + tolerance:.2f} mm or more, or use wire of at most "
                    f"{max(0.0, thin):.2f} mm over enamel"
                ),
                source="1.15 D + 0.2 mm, common practice",
                confidence="practice",
            )
        )
    if job.window.copper_fill > MOST_COPPER:
        found.append(
            stop(
                "copper-fill",
                "winding.turns",
                (
                    f"winding.turns = {design.winding.turns}: copper would fill "
                    f"{100 * job.window.copper_fill:.0f} % of the slot; round wire laid by hand stays "
                    f"below {100 * MOST_COPPER:.0f} %"
                ),
                value=round(job.window.copper_fill, 3),
                limit=MOST_COPPER,
                fix="use fewer turns or thinner wire",
                source="common practice",
                confidence="practice",
            )
        )
    return found
