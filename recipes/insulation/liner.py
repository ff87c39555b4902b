"""The slot liner: its flat pattern, unfolded from the very slot it goes into.

    x: across the slot, from one edge of the opening round the wall to the other
    y: along the axle

        +---/-------------\\---+   cuff, folded back outside the slot
        |- - - - - - - - - - - |   fold
        |    :    :    :   :   |   overhang: end cap and washer, then the length of the cuff
        |    :    :    :   :   |
        |    :    stack    :   |   : folds at shoes and roots
        |    :    :    :   :   |   overhang
        |- - - - - - - - - - - |   fold
        +---\\-------------/---+   cuff

The width is measured at mid-thickness (common practice); the paper takes its own radius in a
corner that is tighter than it can fold. Not modelled: growth of the paper with moisture
(cut dry, or shorten by 0.3 mm).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.develop import Bend, Development, develop
from geometry.errors import GeometryError
from geometry.finding import Finding, Level
from geometry.outline import Outline, Region
from geometry.part import Part, Path
from geometry.point import Point
from geometry.segment import Line, Segment
from recipes.design.insulation import Liner
from recipes.refusal import Refused, finding, note, stop
from recipes.tables.insulation import creepage
from recipes.tables.paper import nearest_papers
from recipes.tables.reader import TableError

#: Smallest outer radius that paper takes in a corner, in thicknesses (1.5 to 2, common practice).
PAPER_RADIUS = 1.75

#: Inner radius of a cuff's fold, in thicknesses (about 1, common practice).
CUFF_RADIUS = 1.0

#: Only bends at least this sharp get a fold line; gentler ones form themselves.
FOLD_ANGLE, FOLD_RADIUS = math.radians(20), 3.0

#: Clear opening that one wire needs when turns go in singly: factor and play (common practice).
PASS_FACTOR, PASS_PLAY = 1.15, 0.2

#: Width steps of the trial strips and their length, mm (common practice).
TRIAL_STEPS, TRIAL_LENGTH = (-0.5, 0.0, 0.5), 25.0

#: Depth of the notches that tell the strips apart, mm; their folds begin above them.
NOTCH = 1.0


@dataclass(frozen=True)
class LinerSize:
    """Measures of the flat liner, mm.

    Args:
        width: across the slot, at mid-thickness, less the two mouth gaps.
        length: along the axle, cuffs included.
        body: along the axle between the cuff folds: stack and both overhangs.
        cuff_fold: length of paper that one cuff's fold takes.
        folds: positions across the width and signed angles (rad) of the folds to make.
        overhang, cuff: of each end, as designed; the overhang counts from the steel.
        passed: of the overhang, what it passes before it is free: end cap and washer.
    """

    width: float
    length: float
    body: float
    cuff_fold: float
    folds: tuple[Bend, ...]
    overhang: float
    cuff: float
    passed: float


def liner_size(
    paper: Liner, wall: Sequence[Segment], stack_length: float, passed: float
) -> LinerSize:
    """Return the measures of the flat liner.

    Args:
        paper: the [liner] table.
        wall: of the slot, from one edge of the opening to the other, slot on the left.
        stack_length: mm.
        passed: height of what lies on each end face of the steel, mm.

    Raises:
        Refused: the paper does not fit the slot's corners, or nothing of it is left.
    """
    t = paper.thickness
    strip = _strip(paper, wall)
    width = strip.length - 2 * paper.mouth_gap
    body = stack_length + 2 * paper.overhang
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
    length = body + 2 * (cuff_fold + paper.cuff)
    return LinerSize(width, length, body, cuff_fold, folds, paper.overhang, paper.cuff, passed)


def _strip(paper: Liner, wall: Sequence[Segment]) -> Development:
    radius = paper.fold_radius if paper.fold_radius is not None else PAPER_RADIUS * paper.thickness
    try:
        return develop(wall, paper.thickness, max(radius, paper.thickness))
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


def liner(size: LinerSize, paper: Liner, slots: int) -> tuple[Part, ...]:
    """Return the liner and its trial strips.

    Args:
        size: measures of the flat liner.
        paper: the [liner] table.
        slots: number of slots.

    Returns:
        "liner" (quantity: slots and spare) and "liner_trial" (one set of three strips that
        differ in width by 0.5 mm), mm.
    """
    region, folds = flat_liner(size)
    whole = Part(
        name="liner",
        cut=(region,),
        material=paper.paper,
        thickness=paper.thickness,
        quantity=slots + paper.spare,
        fold=folds,
        settings={
            "liner_width_mm": round(size.width, 3),
            "liner_length_mm": round(size.length, 3),
            "cuff_mm": paper.cuff,
            "grain": "across the slot (arrow)",
        },
        notes=(
            "grain across the slot, parallel to the cuff folds",
            "fold the cuffs first, outwards, then the long folds over a former; cut and fold dry",
        ),
    )
    return whole, _trial(size, paper)


def flat_liner(size: LinerSize) -> tuple[Region, tuple[Path, ...]]:
    """Return the outline of the flat liner, corner at the origin, and its fold lines, mm."""
    w, h, cuff = size.width, size.length, size.cuff
    fold_y = (cuff + size.cuff_fold / 2, h - cuff - size.cuff_fold / 2)
    bevel = min(1.5, cuff / 2, w / 4)
    outline = bevelled(w, h, bevel)
    paths = [Path((Line(Point(0.0, y), Point(w, y)),)) for y in (fold_y if cuff else ())]
    low, high = (fold_y[0], fold_y[1]) if cuff else (0.0, h)
    paths += [Path((Line(Point(b.position, low), Point(b.position, high)),)) for b in size.folds]
    return Region(outline), tuple(paths)


def bevelled(width: float, height: float, bevel: float) -> Outline:
    """Return a rectangle with its lower left corner at the origin and `bevel` off each corner, mm."""
    w, h, b = width, height, bevel
    if b == 0:
        return Outline.rectangle(w, h, Point(w / 2, h / 2))
    return Outline.polygon(
        [(b, 0), (w - b, 0), (w, b), (w, h - b), (w - b, h), (b, h), (0, h - b), (0, b)]
    )


def _trial(size: LinerSize, paper: Liner) -> Part:
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
            folds.append(Path((Line(Point(at, NOTCH), Point(at, length)),)))
        x += w + 5.0
    return Part(
        name="liner_trial",
        cut=tuple(regions),
        material=paper.paper,
        thickness=paper.thickness,
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
        spots += [(middle - 0.6, 0.0), (middle, NOTCH), (middle + 0.6, 0.0)]
    spots += [(x + width, 0.0), (x + width, length), (x, length)]
    return Region(Outline.polygon(spots))


def liner_results(size: LinerSize, quantity: int) -> dict[str, float | int | str]:
    """Return the measures of the liner for `results.json`."""
    return {
        "liner_width_mm": size.width,
        "liner_length_mm": size.length,
        "liner_count": quantity,
    }


def liner_findings(size: LinerSize, paper: Liner, volts: float) -> list[Finding]:
    """Judge the liner: its cuff, its overhang at the supply's voltage (V), its paper."""
    return [*_cuffs(size), *_creepage(size.overhang, volts), *_thickness(paper)]


def _cuffs(size: LinerSize) -> list[Finding]:
    """Refuse an overhang that is used up before the cuff has room."""
    free = size.overhang - size.passed
    if free >= size.cuff - 1e-9:
        return []
    need = math.ceil(10 * (size.passed + size.cuff) - 1e-6) / 10
    eaten = ""
    if size.passed:
        eaten = f", of which end cap and washer take {size.passed:.3g} mm: {max(0.0, free):.3g} mm are left"
    fix = f"use an overhang of {need:g} mm or more"
    if free > 0:
        fix += f", or a cuff of at most {free:.3g} mm"
    return [
        stop(
            "cuff-longer-than-overhang",
            "liner.overhang",
            f"liner.overhang = {size.overhang:.3g} mm{eaten}; the cuff of {size.cuff:.3g} mm does not fit "
            "outside the stack",
            value=size.overhang,
            limit=size.passed + size.cuff,
            fix=fix,
        )
    ]


def _creepage(overhang: float, volts: float) -> list[Finding]:
    """Judge the overhang by creepage at the supply, wet (pollution degree 3), group III."""
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
            f"liner.overhang = {overhang:g} mm: bare copper to steel needs {wet.distance_mm:g} mm at "
            f"{volts:g} V where it may get wet ({dry.distance_mm:g} mm where it stays dry)",
            value=overhang,
            limit=wet.distance_mm,
            fix=f"use at least {wet.distance_mm:g} mm; 3 mm leaves room for a hand's error of 1 mm",
            source=wet.source,
        )
    ]


def _thickness(paper: Liner) -> list[Finding]:
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


def opening_findings(
    opening: float, thickness: float, wire: float, tolerance: float
) -> list[Finding]:
    """Judge whether one wire passes the lined opening at the shop's worst case (common practice).

    Args:
        opening: clear width between two teeth, mm.
        thickness: of the liner, mm.
        wire: largest overall diameter, mm.
        tolerance: of the cut, mm.
    """
    need = PASS_FACTOR * wire + PASS_PLAY + 2 * thickness
    if opening - tolerance >= need:
        return []
    level: Level = "stop" if opening < need else "warn"
    thin = (opening - tolerance - 2 * thickness - PASS_PLAY) / PASS_FACTOR
    return [
        finding(
            level,
            "wire-does-not-pass",
            "lamination.slot_opening",
            f"lamination.slot_opening = {opening:.3g} mm: wire {wire:.3f} mm over enamel, fed one by "
            f"one, with 2 x {thickness:g} mm liner needs {need:.2f} mm, and the cut may come out "
            f"{tolerance:g} mm narrow",
            value=opening,
            limit=need + tolerance,
            fix=f"widen slot_opening to {need + tolerance:.2f} mm or more, or use wire of at most "
            f"{max(0.0, thin):.2f} mm over enamel",
            source="1.15 D + 0.2 mm, common practice",
            confidence="practice",
        )
    ]
