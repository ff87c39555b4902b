"""The slot liner: its flat pattern, unfolded from the very slot it goes into.

    x: across the slot, from one edge of the opening round the wall to the other
    y: along the axle

        +---/-------------\\---+   cuff, folded back outside the slot
        |- - - - - - - - - - - |   fold
        |    :    :    :   :   |   overhang
        |    :    :    :   :   |
        |    :    stack    :   |   : folds at necks and roots
        |    :    :    :   :   |   overhang
        |- - - - - - - - - - - |   fold
        +---\\-------------/---+   cuff

The width is measured at mid-thickness (common practice); the paper takes its own radius in a
corner that is tighter than it can fold. Not modelled: growth of the paper with moisture
(cut dry, or shorten by 0.3 mm).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geometry.develop import Bend, Development, develop
from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.part import Part, Path
from geometry.point import Point
from geometry.segment import Line
from recipes.job import Job
from recipes.refusal import Refused, stop

#: Smallest outer radius that paper takes in a corner, in thicknesses (1.5 to 2, common practice).
PAPER_RADIUS = 1.75

#: Inner radius of a cuff's fold, in thicknesses (about 1, common practice).
CUFF_RADIUS = 1.0

#: Only bends at least this sharp get a fold line; gentler ones form themselves.
FOLD_ANGLE, FOLD_RADIUS = math.radians(20), 3.0

#: Width steps of the trial strips and their length, mm (common practice).
TRIAL_STEPS, TRIAL_LENGTH = (-0.5, 0.0, 0.5), 25.0


@dataclass(frozen=True)
class LinerSize:
    """Measures of the flat liner, mm.

    Args:
        width: across the slot, at mid-thickness, less the two mouth gaps.
        length: along the axle, cuffs included.
        body: along the axle between the cuff folds: stack and both overhangs.
        cuff_fold: length of paper that one cuff's fold takes.
        folds: positions across the width and signed angles (rad) of the folds to make.
    """

    width: float
    length: float
    body: float
    cuff_fold: float
    folds: tuple[Bend, ...]


def liner_size(job: Job) -> LinerSize:
    """Return the measures of the flat liner.

    Raises:
        Refused: the paper does not fit the slot's corners, or nothing of it is left.
    """
    return job.once(_size)


def _size(job: Job) -> LinerSize:
    paper, t = job.design.liner, job.design.liner.thickness
    strip = _strip(job)
    width = strip.length - 2 * paper.mouth_gap
    body = job.stack.length + 2 * paper.overhang
    cuff_fold = math.pi * (CUFF_RADIUS * t + t / 2) if paper.cuff else 0.0
    if width <= 2 * t:
        raise Refused(
            stop(
                "liner-too-narrow",
                "liner.mouth_gap",
                f"liner.mouth_gap = {paper.mouth_gap:g} mm leaves {width:.2f} mm of liner",
                value=paper.mouth_gap,
                limit=strip.length / 2,
                fix="use a smaller mouth_gap",
            )
        )
    folds = tuple(
        Bend(b.position - paper.mouth_gap, b.angle, b.radius, b.wall_radius)
        for b in strip.bends
        if abs(b.angle) >= FOLD_ANGLE
        and b.radius <= FOLD_RADIUS
        and 2 * t < b.position - paper.mouth_gap < width - 2 * t
    )
    return LinerSize(width, body + 2 * (cuff_fold + paper.cuff), body, cuff_fold, folds)


def _strip(job: Job) -> Development:
    paper = job.design.liner
    radius = paper.fold_radius if paper.fold_radius is not None else PAPER_RADIUS * paper.thickness
    try:
        return develop(job.slot.wall, paper.thickness, max(radius, paper.thickness))
    except GeometryError as error:
        raise Refused(
            stop(
                "liner-too-thick",
                "liner.thickness",
                f"liner.thickness = {paper.thickness:g} mm: {error.reason}",
                value=paper.thickness,
                fix=error.hint or "use thinner paper",
            )
        ) from None


def liner(job: Job) -> tuple[Part, ...]:
    """Return the liner and its trial strips.

    Returns:
        "liner" (quantity: slots and spare) and "liner_trial" (one set of three strips that
        differ in width by 0.5 mm), mm.

    Raises:
        Refused: see `liner_size`.
    """
    size, paper = liner_size(job), job.design.liner
    region, folds = flat_liner(size, paper.cuff)
    wound = job.design.motor.slots
    settings: dict[str, float | int | str] = {
        "liner_width_mm": round(size.width, 3),
        "liner_length_mm": round(size.length, 3),
        "cuff_mm": paper.cuff,
        "grain": "across the slot (arrow)",
    }
    whole = Part(
        name="liner",
        cut=(region,),
        material=paper.paper,
        thickness=paper.thickness,
        quantity=wound + paper.spare,
        fold=folds,
        settings=settings,
        notes=(
            "grain across the slot, parallel to the cuff folds",
            "fold the cuffs first, outwards, then the long folds over a former; cut and fold dry",
        ),
    )
    return whole, _trial(job, size)


def flat_liner(size: LinerSize, cuff: float) -> tuple[Region, tuple[Path, ...]]:
    """Return the outline of the flat liner, corner at the origin, and its fold lines, mm."""
    w, h = size.width, size.length
    fold_y = (cuff + size.cuff_fold / 2, h - cuff - size.cuff_fold / 2)
    bevel = min(1.5, cuff / 2, w / 4)
    if bevel > 0:
        outline = Outline.polygon(
            [
                (bevel, 0),
                (w - bevel, 0),
                (w, bevel),
                (w, h - bevel),
                (w - bevel, h),
                (bevel, h),
                (0, h - bevel),
                (0, bevel),
            ]
        )
    else:
        outline = Outline.rectangle(w, h, Point(w / 2, h / 2))
    paths = [Path((Line(Point(0.0, y), Point(w, y)),)) for y in (fold_y if cuff else ())]
    low, high = (fold_y[0], fold_y[1]) if cuff else (0.0, h)
    paths += [Path((Line(Point(b.position, low), Point(b.position, high)),)) for b in size.folds]
    return Region(outline), tuple(paths)


def _trial(job: Job, size: LinerSize) -> Part:
    """Return three short strips side by side, told apart by one, two or three notches."""
    regions: list[Region] = []
    folds: list[Path] = []
    x = 0.0
    length = min(TRIAL_LENGTH, size.body)
    for n, step in enumerate(TRIAL_STEPS, start=1):
        w = size.width + step
        regions.append(_notched_strip(x, w, length, n))
        for b in size.folds:
            at = x + w / 2 + (b.position - size.width / 2) * w / size.width
            folds.append(Path((Line(Point(at, 0.0), Point(at, length)),)))
        x += w + 5.0
    return Part(
        name="liner_trial",
        cut=tuple(regions),
        material=job.design.liner.paper,
        thickness=job.design.liner.thickness,
        quantity=1,
        fold=tuple(folds),
        settings={
            f"strip_{n}_width_mm": round(size.width + s, 3) for n, s in enumerate(TRIAL_STEPS, 1)
        },
        notes=(
            "try these first: one notch is 0.5 mm narrower, two notches as drawn, three 0.5 mm wider",
            "take the widest that lies flat on the wall and stays below the opening's edge",
        ),
    )


def _notched_strip(x: float, width: float, length: float, notches: int) -> Region:
    """Return a strip with `notches` small V cuts in its lower edge, which tell strips apart."""
    spots: list[tuple[float, float]] = [(x, 0.0)]
    for k in range(notches):
        middle = x + width / 2 + (k - (notches - 1) / 2) * 2.5
        spots += [(middle - 0.6, 0.0), (middle, 1.0), (middle + 0.6, 0.0)]
    spots += [(x + width, 0.0), (x + width, length), (x, length)]
    return Region(Outline.polygon(spots))


def liner_results(job: Job) -> dict[str, float | int | str]:
    """Return the measures of the liner for `results.json`."""
    size = liner_size(job)
    return {
        "liner_width_mm": size.width,
        "liner_length_mm": size.length,
        "liner_count": job.parts["liner"][0].quantity,
    }
