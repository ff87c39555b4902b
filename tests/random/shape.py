"""Does a part hold as a shape? Judged by shapely and plain arithmetic, not by our own tests."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree

import numpy as np
import shapely

from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.segment import Arc
from recipes.motor import Motor

if TYPE_CHECKING:
    from recipes.build.files import Planned

#: Chords stray this far from arcs, mm: a tenth of what a laser holds.
SAGITTA = 0.01
#: Material that is left everywhere, mm: if this much is taken off every edge, a part stays whole.
WEB = 0.02
#: Corners that a turn brings onto each other, mm.
SAME = 1e-6


def part_holds(job: Motor, part: Part) -> None:
    """Check every region of a part: closed, free of crossings, whole, areas, and symmetry."""
    for region in part.cut:
        polygon = chorded(region)
        assert polygon.is_valid, f"{part.name}: {shapely.is_valid_reason(polygon)}"
        _areas_agree(part.name, region, polygon)
        thinner = polygon.buffer(-WEB / 2, quad_segs=2)
        assert isinstance(thinner, shapely.Polygon), f"{part.name}: falls apart at a thin web"
        assert not thinner.is_empty, f"{part.name}: thinner than {WEB} mm all over"
        lost = WEB / 2 * region.perimeter * 1.5 + 0.01
        assert polygon.area - thinner.area <= lost, f"{part.name}: a web vanishes"
    pieces = [chorded(r) for r in part.cut]
    apart = sum(p.area for p in pieces) - shapely.union_all(pieces).area
    assert abs(apart) < SAME, f"{part.name}: its regions overlap by {apart:g} mm2"
    if part.name.startswith("lamination"):
        _turns(job, part)


def chorded(region: Region) -> Any:
    """Return the region as a polygon of chords, its edges followed by their own equations."""
    return shapely.Polygon(_ring(region.outer), [_ring(hole) for hole in region.holes])


def _ring(loop: Outline) -> list[tuple[float, float]]:
    spots: list[tuple[float, float]] = []
    for k, edge in enumerate(loop.segments):
        assert edge.start == loop.segments[k - 1].end, f"open at {edge.start}"
        spots.append((edge.start.x, edge.start.y))
        if isinstance(edge, Arc):
            spots += _on_arc(edge.start, edge.end, edge.center, edge.ccw)
    return spots


def _on_arc(start: Any, end: Any, centre: Any, ccw: bool) -> list[tuple[float, float]]:
    """Return points of an arc, worked out from its ends and centre alone."""
    radius = math.dist(start, centre)
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    last = math.atan2(end[1] - centre[1], end[0] - centre[0])
    sweep = (last - first) % math.tau if ccw else -((first - last) % math.tau)
    assert abs(radius - math.dist(end, centre)) < SAME, f"no arc: {start} {end} {centre}"
    n = math.ceil(abs(sweep) / (2 * math.acos(max(0.0, 1 - SAGITTA / max(radius, SAGITTA)))))
    angles = (first + sweep * k / n for k in range(1, n))
    return [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]


def _areas_agree(name: str, region: Region, polygon: Any) -> None:
    """Closed form, chords and the SVG that people see have one area."""
    slack = SAGITTA * sum(loop.perimeter for loop in region.loops) + 1e-6
    assert abs(region.area - polygon.area) <= slack, f"{name}: {region.area} or {polygon.area} mm2"
    drawn = svg_area(region)
    assert abs(region.area - drawn) <= slack, f"{name}: {region.area}, but {drawn} mm2 in SVG"


def svg_area(region: Region) -> float:
    """Return the area inside the paths of the SVG that our writer makes of a region, mm2."""
    from geometry.drafting.drawing import Drawing, Fill
    from geometry.formats.drawing_svg import write_svg

    x0, y0, x1, y1 = region.box
    inside = region.moved(-x0, -y0)
    page = Drawing(x1 - x0, y1 - y0, (Fill((inside.outer, *inside.holes), "grey"),), "part")
    root = ElementTree.fromstring(write_svg(page))
    paths = [e.get("d", "") for e in root.iter() if e.tag.endswith("path")]
    rings = [shapely.Polygon(r) for path in paths for r in _subpaths(path) if len(r) > 2]
    return float(max(r.area for r in rings) * 2 - sum(r.area for r in rings))


def _subpaths(data: str) -> list[list[tuple[float, float]]]:
    """Return the corners of every subpath of M, L, A and Z (SVG 1.1 section 8.3), arcs in chords."""
    words = re.findall(r"[MLAZ]|-?[0-9.]+(?:e-?[0-9]+)?", data)
    rings: list[list[tuple[float, float]]] = []
    k = 0
    while k < len(words):
        step, k = words[k], k + 1
        if step == "Z":
            continue
        if step == "A":
            radius, turn = float(words[k]), words[k + 4] == "1"
            end = (float(words[k + 5]), float(words[k + 6]))
            rings[-1] += _svg_arc(rings[-1][-1], end, radius, turn)
            k += 7
        else:
            end = (float(words[k]), float(words[k + 1]))
            k += 2
        if step == "M":
            rings.append([])
        rings[-1].append(end)
    return rings


def _svg_arc(
    start: tuple[float, float], end: tuple[float, float], radius: float, turn: bool
) -> list[tuple[float, float]]:
    """Return points of an SVG arc of at most a half turn (appendix F.6.5 with equal radii)."""
    half = math.dist(start, end) / 2
    if half == 0.0:
        return []
    rise = math.sqrt(max(0.0, radius**2 - half**2)) * (1 if turn else -1)
    along = ((end[0] - start[0]) / (2 * half), (end[1] - start[1]) / (2 * half))
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    centre = (middle[0] - rise * along[1], middle[1] + rise * along[0])
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    sweep = 2 * math.asin(min(1.0, half / max(radius, half))) * (1 if turn else -1)
    n = max(
        2, math.ceil(abs(sweep) / (2 * math.acos(max(0.0, 1 - SAGITTA / max(radius, SAGITTA)))))
    )
    r = max(radius, half)
    return [
        (centre[0] + r * math.cos(first + sweep * k / n), centre[1] + r * math.sin(first + sweep * k / n))
        for k in range(1, n)
    ]  # fmt: skip


def _turns(job: Motor, part: Part) -> None:
    """Turned by its step, and the outer outline by one slot, the sheet falls on itself."""
    slots, tab = job.design.motor.slots, job.design.lamination.tab_notch
    fold = math.gcd(slots, tab.count) if tab and tab.place == "tip" else slots
    region = part.cut[0]
    assert _falls_on_itself((region.outer,), fold), f"{part.name}: not {fold}-fold"
    step = int(part.settings["rotation_step_slots"])
    if step:
        copies = slots // math.gcd(slots, step)
        assert _falls_on_itself(region.loops, copies), f"{part.name}: turns by {step} slots"


def _falls_on_itself(loops: tuple[Outline, ...], fold: int) -> bool:
    """Tell whether a turn by 1 / `fold` about the origin brings every corner and middle to one."""
    from scipy.spatial import cKDTree

    edges = [s for loop in loops if not loop.as_circle() for s in loop.segments]
    rounds = [c for loop in loops if (c := loop.as_circle())]
    spots = np.array(
        [(*s.start, *s.point_at(0.5)) for s in edges] + [(*c, c.x + r, c.y + r) for c, r in rounds]
    )
    a = math.tau / fold
    turn = np.array([[math.cos(a), math.sin(a)], [-math.sin(a), math.cos(a)]])
    marks = np.column_stack([spots[:, :2], np.hypot(*(spots[:, 2:] - spots[:, :2]).T)])
    turned = np.column_stack([spots[:, :2] @ turn, marks[:, 2]])
    return bool(cKDTree(marks).query(turned)[0].max() < SAME)


def cut_file_holds(job: Motor, plan: Planned, data: bytes) -> None:
    """A shop that looks at the file finds nothing that stops it, and the area of the part.

    Steel is judged by the design's own process and sheet; paper and plate, which a knife or a
    printer makes, by what the finest process holds in any thickness.
    """
    from recipes.manufacturing.kerf import is_steel
    from recipes.manufacturing.preflight import preflight

    part = plan.part
    steel = is_steel(part, job.design.lamination.steel)
    process = job.design.shop.process if steel else "wire-edm"
    report = preflight(data, process, part.thickness if steel else None)
    stops = [f"{f.code}: {f.message}" for f in report.findings if f.level == "stop"]
    assert not stops, f"{plan.path}: {stops}"
    area, web = report.measures["net_area_mm2"], report.measures["narrowest_web_mm"]
    if not (part.fold or part.mark or part.reference):
        assert isinstance(area, float), plan.path
        # R12 declares no unit, so a file in inches is read as if they were mm.
        size = 1.0 if not plan.path.endswith("_R12_inch.dxf") else 25.4**2
        assert math.isclose(area * size, part.area, rel_tol=1e-6), f"{plan.path}: {area} mm2"
    assert web is None or float(web) > 0.0, plan.path
