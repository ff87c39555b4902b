"""The end edge of a tooth under the coil: square, stepped or capped, and what it does to wire.

Steps: a circle of the radius r that touches flank and end face leaves, at the depth b under the
end face,

    a = r - sqrt(r^2 - (r - b)^2)

off the flank. The outer corner of every sheet whose outer face lies at the depth b (0, h, 2 h, ...
for a sheet height h) is put there, so all corners lie on the circle and the taut line over them cuts
chords into it. No step is drawn that a cutter could not hold, and sheets whose steps would differ by
less than that share one, the larger: no corner stands out of the circle.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.finding import Finding
from recipes.design.insulation import Ends, EndStep
from recipes.refusal import note, stop, warn
from recipes.stator.stack_count import Stack
from recipes.tables.process import Process

#: What a square corner takes more wire than a round, by millimetre of its radius.
ROUND_SAVES = 2.0 - math.pi / 2

#: Inner radius of a bend in bare diameters: least, design value, at square steel edges. The least
#: is the wire's mandrel test (a mandrel of 1 d across, IEC 60317-0-1 for 0.14 to 1.6 mm, from
#: memory); the others are common practice.
MANDREL, GOOD, AT_STEEL = 0.5, 1.0, 1.5

#: Smallest round worth making on an end cap, mm (common practice).
MIN_CAP_RADIUS = 0.8

#: Smallest step worth cutting, and smallest difference between two (the field's own limit), mm.
MIN_STEP = 0.05

#: Points of the taut line over one sheet at which it is held against the circle.
_SAMPLES = 64

Corner = tuple[float, float]


@dataclass(frozen=True)
class Edge:
    """One end edge of a tooth: path saved against a square edge, and radius of the round, mm."""

    saves: float
    radius: float


#: The edge as it comes from the cutter.
SQUARE = Edge(0.0, 0.0)


@dataclass(frozen=True)
class Rounding:
    """A round in mm and the end sheets, full sheets first, that approximate it."""

    radius: float
    steps: tuple[EndStep, ...]

    @property
    def words(self) -> str:
        """The steps as "1 x 0.05, 2 x 0.3": count x narrower_by in mm."""
        return ", ".join(f"{step.count} x {step.narrower_by:g}" for step in self.steps)

    def deviation(self, sheet_height: float) -> float:
        """Return how far the taut line over the steps strays from the round, mm, to either side."""
        worst = 0.0
        for a, b in itertools.pairwise(taut_line(corners(self.steps, sheet_height))):
            for n in range(_SAMPLES + 1):
                f = n / _SAMPLES
                spot = a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1])
                worst = max(worst, _off_round(*spot, self.radius))
        return worst


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
    hull = taut_line(corners(ends.steps, sheet_height))
    chords = sum(math.dist(p, q) for p, q in itertools.pairwise(hull))
    radii = [a + b + math.sqrt(2.0 * a * b) for a, b in hull]
    return Edge(hull[-1][0] + hull[0][1] - chords, sum(radii) / len(radii))


def propose_steps(
    edge_radius: float, sheet_thickness: float, smallest: float = MIN_STEP
) -> tuple[EndStep, ...]:
    """Return the steps whose corners lie on a circle of `edge_radius` mm, full sheets first.

    Args:
        edge_radius: of the round to approximate, mm.
        sheet_thickness: height of one sheet in the stack, with its share of glue, mm.
        smallest: step, and difference between two, mm; at least `MIN_STEP`.
    """
    found: list[tuple[int, float]] = []  # count and narrower_by, outermost first
    for k in range(math.ceil(edge_radius / sheet_thickness - 1e-9)):
        rise = edge_radius - k * sheet_thickness
        off = edge_radius - math.sqrt(edge_radius**2 - rise**2)
        off = max(smallest, math.ceil(100 * off - 1e-9) / 100)
        if found and found[-1][1] - off < smallest - 1e-9:
            found[-1] = found[-1][0] + 1, found[-1][1]
        else:
            found.append((1, off))
    return tuple(EndStep(count=n, narrower_by=off) for n, off in reversed(found))


def corners(steps: Sequence[EndStep], sheet_height: float) -> list[Corner]:
    """Return the outer corners of full sheets and steps: (off the flank, under the end face), mm."""
    depth = sheet_height * sum(step.count for step in steps)
    found = [(0.0, depth)]
    for step in steps:
        depth -= step.count * sheet_height
        found.append((step.narrower_by, max(depth, 0.0)))
    return found


def taut_line(spots: Sequence[Corner]) -> list[Corner]:
    """Return those corners, flank first, that a line drawn tight over them touches (lower left hull)."""
    hull: list[Corner] = []
    for x, y in spots:
        while len(hull) >= 2:
            (x0, y0), (x1, y1) = hull[-2:]
            if (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) > 0:
                break
            hull.pop()
        hull.append((x, y))
    return hull


def _off_round(x: float, y: float, r: float) -> float:
    """Return the distance of a point from flank, round and end face taken together, mm."""
    if y >= r:
        return x
    return y if x >= r else abs(math.hypot(x - r, y - r) - r)


def wished_radius(bare_mm: float) -> float:
    """Return the edge radius that a wire asks for, to a tenth of a millimetre."""
    return math.ceil(10 * max(GOOD * bare_mm, MIN_CAP_RADIUS) - 1e-9) / 10


def propose_rounding(
    bare_mm: float, tooth_width: float, count: Stack, shop: Process, thickness: float
) -> Rounding:
    """Return the round and steps to propose for a design with square edges; no steps if none fit.

    The radius is what the wire asks for, or the largest below it that tooth and stack can give.

    Args:
        bare_mm: diameter of the bare wire.
        tooth_width: at its narrowest, mm.
        count: sheets of the stack.
        shop: what cuts them.
        thickness: of one sheet, mm.
    """
    room = (tooth_width - shop.web(thickness)) / 2
    deep = (count.sheets - 1) // 2 * count.sheet_height
    radius = math.floor(100 * min(wished_radius(bare_mm), room, deep) + 1e-9) / 100
    smallest = max(MIN_STEP, shop.tolerance_mm + 0.01)
    if radius < smallest:
        return Rounding(0.0, ())
    return Rounding(radius, propose_steps(radius, count.sheet_height, smallest))


def impossible_end_findings(ends: Ends, tooth_width: float, sheets: int) -> list[Finding]:
    """Find steps or rounds that a tooth of some width (mm), or the stack, is too small for."""
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
    if 2 * off >= tooth_width:
        found.append(
            stop(
                "tooth-too-narrow",
                field,
                f"{field}: takes {off:.2f} mm off each side of a tooth that is {tooth_width:.2f} mm wide",
                value=off,
                limit=tooth_width / 2,
                fix=f"take less than {tooth_width / 2:.2f} mm off each side",
            )
        )
    return found


def sharp_edge_findings(
    ends: Ends, bare_mm: float, edge_radius_mm: float, bend_radius_mm: float
) -> list[Finding]:
    """Judge the end edges of the tooth: do they spare the wire?

    Args:
        ends: what rounds the edges.
        bare_mm: diameter of the bare wire.
        edge_radius_mm: of the tooth's end edge; 0 is square.
        bend_radius_mm: inside of the innermost turn's bend, over paper.
    """
    square = edge_radius_mm == 0
    limit = AT_STEEL * bare_mm if square else GOOD * bare_mm
    if bend_radius_mm >= limit:
        return []
    wished = wished_radius(bare_mm)
    if square:
        field, what = "ends", "square steel edges, softened by paper only"
        fix = (
            f"round them: [ends] end_cap with edge_radius {wished:g} mm or more, or steps of "
            f"narrower end sheets; a round of {wished:g} mm also saves "
            f"{4 * ROUND_SAVES * wished:.1f} mm of wire in every turn against a square edge"
        )
    else:
        field = "ends.end_cap.edge_radius" if ends.end_cap else "ends.steps"
        what = f"edge round of {edge_radius_mm:.2f} mm under paper"
        fix = f"use a round of {wished:g} mm or more" if ends.end_cap else "add or widen steps"
    harm = "tight for the enamel"
    if bend_radius_mm < MANDREL * bare_mm:
        harm = "tighter than the wire's own mandrel test, where enamel may crack or be cut"
    return [
        warn(
            "sharp-end-edge",
            field,
            (
                f"{field}: {what}: the innermost turn bends at {bend_radius_mm:.2f} mm inside, {bare_mm:g} mm wire "
                f"wants {limit:.2f} mm; {harm}"
            ),
            value=bend_radius_mm,
            limit=limit,
            fix=fix,
            source="inside of a bend at least 1 d, 1.5 d at square steel; common practice",
            confidence="practice",
        )
    ]


def step_findings(
    proposed: Rounding, bare_mm: float, bend_radius_mm: float, sheet_height: float, thickness: float
) -> list[Finding]:
    """Propose steps where square steel edges are too tight for the wire.

    Args:
        proposed: round and steps that tooth, stack and shop allow.
        bare_mm: diameter of the bare wire.
        bend_radius_mm: inside of the innermost turn's bend at the square edge, over paper.
        sheet_height: of one sheet in the stack with its share of glue, mm.
        thickness: of one sheet, mm.
    """
    if bend_radius_mm >= AT_STEEL * bare_mm or not proposed.steps:
        return []
    rows = ", ".join(
        f'{{ count = {s.count}, narrower_by = "{s.narrower_by:g} mm" }}' for s in proposed.steps
    )
    return [
        note(
            "proposed-steps",
            "ends.steps",
            f"ends: with {thickness:g} mm sheet, end sheets of {proposed.words} mm (count x narrower_by, "
            f"from the full sheets outwards) approximate a round of {proposed.radius:g} mm within "
            f"{proposed.deviation(sheet_height):.2f} mm; no corner stands out of it",
            value=proposed.words,
            limit=proposed.radius,
            fix=f"[ends] steps = [{rows}]",
            source="corners on the circle that touches flank and end face",
        )
    ]


def step_results(
    ends: Ends, proposed: Rounding, sheet_height: float
) -> dict[str, float | int | str]:
    """Return steps, as cut or as proposed, and how near to a round they come; sheet height in mm."""
    if ends.end_cap is not None:
        return {}
    if ends.steps:
        cut = Rounding(edge_of(ends, sheet_height).radius, ends.steps)
        return {
            "end_steps": cut.words,
            "end_steps_off_round_mm": round(cut.deviation(sheet_height), 3),
        }
    if not proposed.steps:
        return {}
    return {
        "proposed_end_steps": proposed.words,
        "proposed_edge_radius_mm": proposed.radius,
        "proposed_steps_off_round_mm": round(proposed.deviation(sheet_height), 3),
    }
