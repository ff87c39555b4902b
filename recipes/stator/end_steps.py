"""Which narrower end sheets approximate a rounded edge, and how nearly.

A circle of the radius r that touches flank and end face leaves, at the depth b under the end face,

    a = r - sqrt(r^2 - (r - b)^2)

off the flank. The outer corner of every sheet whose outer face lies at the depth b (0, h, 2 h, ...
for a sheet height h) is put there, so all corners lie on the circle and the taut line over them cuts
chords into it. No step is drawn that a cutter could not hold, and sheets whose steps would differ by
less than that share one, the larger: no corner stands out of the circle.
"""

from __future__ import annotations

import itertools
import math

from geometry.finding import Finding
from recipes.design.insulation import EndStep
from recipes.job import Job
from recipes.manufacturing.process import process
from recipes.refusal import note
from recipes.stator.end_edge import AT_STEEL, GOOD, LEAST_CAP_RADIUS
from recipes.stator.end_laminations import least_tooth_width

#: Smallest step worth cutting, and smallest difference between two (the field's own limit), mm.
LEAST_STEP = 0.05

#: Points of the taut line over one sheet at which it is held against the circle.
_SAMPLES = 64

Corner = tuple[float, float]


def propose_steps(
    edge_radius: float, sheet_thickness: float, least: float = LEAST_STEP
) -> tuple[EndStep, ...]:
    """Return the steps whose corners lie on a circle of `edge_radius` mm, full sheets first.

    Args:
        edge_radius: of the round to approximate, mm.
        sheet_thickness: height of one sheet in the stack, with its share of glue, mm.
        least: smallest step, and smallest difference between two, mm; at least `LEAST_STEP`.
    """
    found: list[tuple[int, float]] = []  # count and narrower_by, outermost first
    for k in range(math.ceil(edge_radius / sheet_thickness - 1e-9)):
        rise = edge_radius - k * sheet_thickness
        off = edge_radius - math.sqrt(edge_radius**2 - rise**2)
        off = max(least, math.ceil(100 * off - 1e-9) / 100)
        if found and found[-1][1] - off < least - 1e-9:
            found[-1] = found[-1][0] + 1, found[-1][1]
        else:
            found.append((1, off))
    return tuple(EndStep(count=n, narrower_by=off) for n, off in reversed(found))


def corners(steps: tuple[EndStep, ...], sheet_height: float) -> list[Corner]:
    """Return the outer corners of full sheets and steps: (off the flank, under the end face), mm."""
    depth = sheet_height * sum(step.count for step in steps)
    found = [(0.0, depth)]
    for step in steps:
        depth -= step.count * sheet_height
        found.append((step.narrower_by, max(depth, 0.0)))
    return found


def taut_line(spots: list[Corner]) -> list[Corner]:
    """Return those corners, flank first, on which a line drawn tight over them lies."""
    import shapely

    far = 1.0 + max(x for x, _ in spots) + max(y for _, y in spots)
    body = [*spots, (spots[0][0], far), (far, far), (far, spots[-1][1])]
    hull = set(shapely.MultiPoint(body).convex_hull.exterior.coords)
    return [c for c in spots if c in hull]


def deviation(steps: tuple[EndStep, ...], sheet_height: float, edge_radius: float) -> float:
    """Return how far the taut line over the steps strays from the round, mm, to either side."""
    worst = 0.0
    for a, b in itertools.pairwise(taut_line(corners(steps, sheet_height))):
        for n in range(_SAMPLES + 1):
            f = n / _SAMPLES
            worst = max(
                worst, _off_round(a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1]), edge_radius)
            )
    return worst


def _off_round(x: float, y: float, r: float) -> float:
    """Return the distance of a point from flank, round and end face taken together, mm."""
    if y >= r:
        return x
    return y if x >= r else abs(math.hypot(x - r, y - r) - r)


def wished_radius(job: Job) -> float:
    """Return the edge radius that the wire asks for, to a tenth of a millimetre."""
    return math.ceil(10 * max(GOOD * job.wire.bare_mm, LEAST_CAP_RADIUS) - 1e-9) / 10


def proposal(job: Job) -> tuple[float, tuple[EndStep, ...]]:
    """Return the radius and steps to propose for a design with square edges; none if none fit.

    The radius is what the wire asks for, or the largest below it that tooth and stack can give.
    """
    shop, t = process(job.design.shop.process), job.design.lamination.sheet_thickness
    room = (least_tooth_width(job.slot) - shop.web(t)) / 2
    deep = (job.stack.sheets - 1) // 2 * job.stack.sheet_height
    radius = math.floor(100 * min(wished_radius(job), room, deep) + 1e-9) / 100
    least = max(LEAST_STEP, shop.tolerance_mm + 0.01)
    if radius < least:
        return 0.0, ()
    return radius, propose_steps(radius, job.stack.sheet_height, least)


def in_words(steps: tuple[EndStep, ...]) -> str:
    """Return the steps as "1 x 0.05, 2 x 0.3": count x narrower_by in mm."""
    return ", ".join(f"{step.count} x {step.narrower_by:g}" for step in steps)


def step_findings(job: Job) -> list[Finding]:
    """Propose steps where square steel edges are too tight for the wire."""
    ends = job.design.ends
    if ends.steps or ends.end_cap is not None:
        return []
    if job.turn_lengths.bend_radius_mm >= AT_STEEL * job.wire.bare_mm:
        return []
    radius, steps = proposal(job)
    if not steps:
        return []
    off = deviation(steps, job.stack.sheet_height, radius)
    rows = ", ".join(
        f'{{ count = {s.count}, narrower_by = "{s.narrower_by:g} mm" }}' for s in steps
    )
    return [
        note(
            "proposed-steps",
            "ends.steps",
            (
                f"ends: with {job.design.lamination.sheet_thickness:g} mm sheet, end sheets of "
                f"{in_words(steps)} mm (count x narrower_by, from the full sheets outwards) approximate a "
                f"round of {radius:g} mm within {off:.2f} mm; no corner stands out of it"
            ),
            value=in_words(steps),
            limit=radius,
            fix=f"[ends] steps = [{rows}]",
            source="corners on the circle that touches flank and end face",
        )
    ]


def step_results(job: Job) -> dict[str, float | int | str]:
    """Return steps, as cut or as proposed, and how near to a round they come."""
    ends = job.design.ends
    if ends.end_cap is not None:
        return {}
    if ends.steps:
        radius = job.turn_lengths.edge_radius_mm
        return {
            "end_steps": in_words(ends.steps),
            "end_steps_off_round_mm": round(
                deviation(ends.steps, job.stack.sheet_height, radius), 3
            ),
        }
    radius, steps = proposal(job)
    if not steps:
        return {}
    return {
        "proposed_end_steps": in_words(steps),
        "proposed_edge_radius_mm": radius,
        "proposed_steps_off_round_mm": round(deviation(steps, job.stack.sheet_height, radius), 3),
    }
