"""The end edge of a tooth under the coil: square, stepped or capped, and what it does to wire."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from geometry.finding import Finding
from recipes.design.insulation import Ends
from recipes.job import Job
from recipes.refusal import stop, warn

#: What a square corner takes more wire than a round, by millimetre of its radius.
ROUND_SAVES = 2.0 - math.pi / 2

#: Inner radius of a bend in bare diameters: least, design value, at square steel edges. The least
#: is the wire's mandrel test (a mandrel of 1 d across, IEC 60317-0-1 for 0.14 to 1.6 mm, from
#: memory); the others are common practice.
LEAST, GOOD, AT_STEEL = 0.5, 1.0, 1.5

#: Smallest round worth making on an end cap, mm (common practice).
LEAST_CAP_RADIUS = 0.8


@dataclass(frozen=True)
class Edge:
    """One end edge of a tooth: path saved against a square edge, and radius of the round, mm."""

    saves: float
    radius: float


#: The edge as it comes from the cutter.
SQUARE = Edge(0.0, 0.0)


def edge_of(ends: Ends, sheet_height: float) -> Edge:
    """Return the tooth's end edge.

    For steps the taut line runs over the corners of their hull. Their radius is that of the circle
    tangent to flank and end face that fits those corners best: a circle through a corner at the
    depth a under the flank and b under the end face has the radius a + b + sqrt(2 a b), and the
    mean of these has the least squared misfit.

    Args:
        ends: the [ends] table.
        sheet_height: of one sheet in the stack with its share of glue, mm.
    """
    if ends.end_cap is not None:
        return Edge(ROUND_SAVES * ends.end_cap.edge_radius, ends.end_cap.edge_radius)
    if not ends.steps:
        return SQUARE
    corners = [(0.0, sheet_height * sum(step.count for step in ends.steps))]
    for step in ends.steps:
        corners.append((step.narrower_by, corners[-1][1] - step.count * sheet_height))
    # corner k of the steel: as narrow as the sheets under it, as deep as they begin
    hull = _towards_the_edge([(a, max(b, 0.0)) for a, b in corners])
    chords = sum(math.dist(p, q) for p, q in itertools.pairwise(hull))
    radii = [a + b + math.sqrt(2.0 * a * b) for a, b in hull]
    return Edge(hull[-1][0] + hull[0][1] - chords, sum(radii) / len(radii))


def _towards_the_edge(corners: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the corners that a taut line over them touches (lower left hull)."""
    hull: list[tuple[float, float]] = []
    for x, y in corners:
        while len(hull) >= 2:
            (x0, y0), (x1, y1) = hull[-2:]
            if (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) > 0:
                break
            hull.pop()
        hull.append((x, y))
    return hull


def edge_findings(job: Job) -> list[Finding]:
    """Judge the end edges of the tooth: can they be made, and do they spare the wire?"""
    ends, bare = job.design.ends, job.wire.bare_mm
    wrong = _impossible_ends(job)
    if wrong:
        return wrong
    lengths = job.turn_lengths
    inner, square = lengths.bend_radius_mm, lengths.edge_radius_mm == 0
    limit = AT_STEEL * bare if square else GOOD * bare
    if inner >= limit:
        return []
    wished = math.ceil(10 * max(GOOD * bare, LEAST_CAP_RADIUS) - 1e-9) / 10
    if square:
        field, what = "ends", "square steel edges, softened by paper only"
        fix = (
            f"round them: [ends] end_cap with edge_radius {wished:g} mm or more, or steps of "
            f"narrower end sheets; a round of {wished:g} mm also saves "
            f"{4 * ROUND_SAVES * wished:.1f} mm of wire in every turn against a square edge"
        )
    else:
        field = "ends.end_cap.edge_radius" if ends.end_cap else "ends.steps"
        what = f"edge round of {lengths.edge_radius_mm:.2f} mm under paper"
        fix = f"use a round of {wished:g} mm or more" if ends.end_cap else "add or widen steps"
    harm = "tight for the enamel"
    if inner < LEAST * bare:
        harm = "tighter than the wire's own mandrel test, where enamel may crack or be cut"
    return [
        warn(
            "sharp-end-edge",
            field,
            (
                f"{field}: {what}: the innermost turn bends at {inner:.2f} mm inside, {bare:g} mm wire "
                f"wants {limit:.2f} mm; {harm}"
            ),
            value=inner,
            limit=limit,
            fix=fix,
            source="inside of a bend at least 1 d, 1.5 d at square steel; common practice",
            confidence="practice",
        )
    ]


def _impossible_ends(job: Job) -> list[Finding]:
    """Find steps or rounds that the tooth or the stack is too small for."""
    ends, tooth, sheets = job.design.ends, _least_width(job), job.stack.sheets
    found = []
    deep = sum(step.count for step in ends.steps)
    if 2 * deep >= sheets:
        most = (sheets - 1) // 2
        found.append(
            stop(
                "too-many-steps",
                "ends.steps",
                f"ends.steps: {deep} sheets at each end, but the stack has {sheets} in all",
                value=deep,
                limit=most,
                fix=f"use at most {most} stepped sheets at each end",
            )
        )
    off, field = 0.0, ""
    if ends.steps:
        off, field = ends.steps[-1].narrower_by, f"ends.steps[{len(ends.steps)}].narrower_by"
    elif ends.end_cap:
        off = max(0.0, ends.end_cap.edge_radius - ends.end_cap.proud)
        field = "ends.end_cap.edge_radius"
    if 2 * off >= tooth:
        found.append(
            stop(
                "tooth-too-narrow",
                field,
                f"{field}: takes {off:.2f} mm off each side of a tooth that is {tooth:.2f} mm wide",
                value=off,
                limit=tooth / 2,
                fix=f"take less than {tooth / 2:.2f} mm off each side",
            )
        )
    return found


def _least_width(job: Job) -> float:
    """Return the width of the tooth where its flank begins, mm."""
    lam = job.design.lamination
    if lam.tooth_width is not None and lam.slot_shape == "parallel teeth":
        return lam.tooth_width
    a, bottom = job.slot.half_pitch, lam.outer_diameter / 2 - lam.slot_depth
    return 2 * (bottom * math.sin(a) - (lam.slot_width or 0.0) / 2 * math.cos(a))
