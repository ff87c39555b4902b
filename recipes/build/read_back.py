"""Compare every file that was just written with what it was made from.

The parsers used here wrote none of the files: our tag parsers for DXF and STEP, pdfium for PDF.
Each check returns sentences that say what differs and where; an empty list is a file that holds.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Literal
from xml.etree import ElementTree

from geometry.drafting.drawing import Drawing, Stroke, Text
from geometry.errors import GeometryError
from geometry.formats.cut_svg import page_layers
from geometry.formats.drawing_dxf import model_views, sheet_items
from geometry.formats.dxf_read import DxfContent, edges_of, outlines_of, read_dxf
from geometry.formats.dxf_write import CUT_INNER, CUT_OUTER, origin_shift, paths_of
from geometry.formats.pdf_read import Contour, page_paths
from geometry.formats.step_read import StepError, planar_loops, read_step
from geometry.formats.stl_read import read_stl
from geometry.inspection.compare import compare_outlines
from geometry.outline import Outline
from geometry.part import Part
from geometry.segment import Box
from geometry.solids import Assembly, Body, Extruded, Filleted
from geometry.tolerance import READ_BACK, READ_BACK_PAGE

if TYPE_CHECKING:
    from collections.abc import Sequence


DxfUnit = Literal["mm", "in"]

#: What the first line of a cut file says of its unit, and its size in mm (international inch, exact).
UNIT_WORDS = {"mm": ("lengths in millimetres", 1.0), "in": ("lengths in inches", 25.4)}


def check_dxf(part: Part, flat: bool, data: bytes, unit: DxfUnit = "mm") -> list[str]:
    """Compare the cut loops of a DXF with those of the part, and the unit that the file declares.

    Args:
        part: as drawn, with the kerf if it has any; mm.
        flat: whether the file shows folds and marks beside the cut.
        data: the whole file.
        unit: the one that it must be in. R12 has no header for it: there the comment tells.
    """
    content = read_dxf(data)
    words, mm_per_unit = UNIT_WORDS[unit]
    layers = (CUT_INNER, CUT_OUTER) if flat else None
    found = outlines_of(content, layers=layers, mm_per_unit=mm_per_unit)
    shift = origin_shift(part, flat=flat)
    expected = [loop.moved(shift.x, shift.y) for loop in part.loops]
    faults = compare_outlines(expected, found, READ_BACK)
    if flat:
        faults += _run_faults(part, content, mm_per_unit)
    if content.unit != (None if content.version == "AC1009" else unit):
        faults.append(f"unit is {content.unit}, not {unit}")
    if content.comments[:1] != (words,):
        faults.append(f"the first line does not say {words!r}")
    return faults


def _run_faults(part: Part, content: DxfContent, mm_per_unit: float) -> list[str]:
    """Compare the length of what is drawn on every layer beside the cut."""
    expected: dict[str, float] = {}
    for layer, path in paths_of(part):
        expected[layer] = expected.get(layer, 0.0) + math.fsum(s.length for s in path.segments)
    found: dict[str, float] = {}
    for entity in content.model:
        if entity.layer not in (CUT_INNER, CUT_OUTER):
            length = math.fsum(s.length for s in edges_of(entity, mm_per_unit))
            found[entity.layer] = found.get(entity.layer, 0.0) + length
    return [
        f"layer {layer} has {found.get(layer, 0.0):.4f} mm of lines, not "
        f"{expected.get(layer, 0.0):.4f} mm"
        for layer in sorted({*expected, *found})
        if abs(found.get(layer, 0.0) - expected.get(layer, 0.0)) > READ_BACK * len(content.model)
    ]


def check_cut_svg(part: Part, size: tuple[float, float], data: bytes) -> list[str]:
    """Compare a paper cutter's page with its part: size in mm, and every corner of every path."""
    root = ElementTree.fromstring(data)
    faults = []
    if (root.get("width"), root.get("height")) != (f"{size[0]:g}mm", f"{size[1]:g}mm"):
        faults.append(f"size is {root.get('width')} x {root.get('height')}")
    groups = {g.get("id"): [e.get("d", "") for e in g] for g in root}
    for name, shapes in page_layers(part, size[1]).items():
        paths = groups.get(name, [])
        if len(paths) != len(shapes):
            faults.append(f"group {name} has {len(paths)} paths, not {len(shapes)}")
        for shape, text in zip(shapes, paths, strict=False):
            edges = shape.segments if isinstance(shape, Outline) else shape
            corners = _corners(text)
            for edge in edges:
                away = min((math.dist(edge.end, c) for c in corners), default=math.inf)
                if away > READ_BACK_PAGE:
                    x, y = edge.end
                    faults.append(f"group {name} has no corner at ({x:.3f}, {y:.3f}) mm")
    return faults


def _corners(text: str) -> list[tuple[float, float]]:
    """Return where each command of a path ends; an A ends with its last two numbers."""
    words = [run.split() for run in re.findall(r"[MLA]([^MLAZ]*)", text)]
    return [(float(run[-2]), float(run[-1])) for run in words]


def check_step(body: Body, data: bytes) -> list[str]:
    """Compare a STEP file with its body: its solids, mm, its length, and every flat outline."""
    content = read_step(data)
    names = [name for name, _ in body.items] if isinstance(body, Assembly) else []
    count, solids = len(names) or 1, content.solid_names
    faults = [] if len(solids) == count else [f"{len(solids)} solids, not {count}"]
    if names and list(solids) != names:
        faults.append(f"solids are called {', '.join(solids)}")
    if content.length_unit != "mm":
        faults.append(f"unit is {content.length_unit}, not mm")
    (low, high), (bottom, top) = body.z_range, content.z_range
    if abs(bottom - low) > READ_BACK or abs(top - high) > READ_BACK:
        faults.append(f"length {top - bottom:.6f} mm, not {high - low:.6f} mm")
    levels: dict[float, list[Outline]] = {}
    if isinstance(body, Extruded | Filleted | Assembly):
        for z, loops in body.flat_loops:
            levels.setdefault(round(z, 6), []).extend(loops)  # bodies that touch share a height
    for z, expected in levels.items():
        try:
            faults += compare_outlines(expected, planar_loops(content, z), READ_BACK)
        except StepError as error:
            faults.append(str(error))
    return faults


def check_stl(body: Body, tolerance: float, data: bytes) -> list[str]:
    """Compare an STL file with its body: closed, its length, and its volume.

    Args:
        body: what was written.
        tolerance: how far its triangles may stray, mm.
        data: the whole file.
    """
    try:
        mesh = read_stl(data)
    except GeometryError as error:
        return [error.reason]
    faults = [] if mesh.closed else ["its triangles leave a gap"]
    (low, high), (bottom, top) = mesh.z_range, body.z_range
    if max(abs(low - bottom), abs(high - top)) > tolerance:
        faults.append(f"length {high - low:.4f} mm, not {top - bottom:.4f} mm")
    if abs(mesh.volume - body.volume) > tolerance * mesh.area:
        faults.append(f"volume {mesh.volume:.2f} mm3, not {body.volume:.2f} mm3")
    return faults


def check_drawing_dxf(drawing: Drawing, data: bytes) -> list[str]:
    """Compare a drawing's DXF: its lines and words, what its dimensions measure, and the unit."""
    content = read_dxf(data)
    kinds = [e.kind for e in content.entities]
    views = model_views(drawing)
    items = (*sheet_items(drawing), *(i for view in views for i in view.items))
    counts = {
        "lines": (
            sum(isinstance(i, Stroke) for i in items),
            sum(k in ("LINE", "LWPOLYLINE", "CIRCLE") for k in kinds),
        ),
        "words": (
            sum(isinstance(i, Text) and bool(i.text.strip()) for i in items),
            kinds.count("TEXT"),
        ),
    }
    faults = [f"{n} {what}, not {m}" for what, (m, n) in counts.items() if m != n]
    wanted = [view.measure(size) for view in views for size in view.dimensions]
    sizes = [content.tags_of(e) for e in content.model if e.kind == "DIMENSION"]
    found = [float(value) for tags in sizes for code, value in tags if code == 42]
    if len(found) != len(wanted):
        faults.append(f"{len(found)} dimensions, not {len(wanted)}")
    elif off := [n for m, n in zip(wanted, found, strict=True) if abs(m - n) > READ_BACK]:
        faults.append(f"a dimension measures {off[0]:.4f} mm")
    return faults if content.unit == "mm" else [*faults, f"unit is {content.unit}, not mm"]


def check_pdf(pages: Sequence[Drawing], data: bytes) -> list[str]:
    """Compare every page: its size, and box and area of every line on it."""
    found = page_paths(data)
    if len(found) != len(pages):
        return [f"{len(found)} pages, not {len(pages)}"]
    faults: list[str] = []
    for number, (drawing, page) in enumerate(zip(pages, found, strict=True), start=1):
        if math.dist((page.width, page.height), (drawing.width_mm, drawing.height_mm)) > 0.01:
            faults.append(f"page {number} is {page.width:.2f} x {page.height:.2f} mm")
        runs = [c for path in page.paths if path.stroked for c in path.contours]
        if len(runs) != len(drawing.strokes):
            faults.append(f"page {number}: {len(runs)} lines, not {len(drawing.strokes)}")
            continue
        for stroke, run in zip(drawing.strokes, runs, strict=True):
            faults += [f"page {number}: {f}" for f in _stroke_faults(drawing, stroke, run)]
    return faults


def check_svg(drawing: Drawing, data: bytes) -> list[str]:
    """Check that an SVG is sound XML of the sheet's size with as many words as the sheet."""
    root = ElementTree.fromstring(data)
    faults = []
    if (
        root.get("width") != f"{drawing.width_mm:g}mm"
        or root.get("height") != f"{drawing.height_mm:g}mm"
    ):
        faults.append(f"size is {root.get('width')} x {root.get('height')}")
    words = sum(1 for e in root.iter() if e.tag.endswith("}text"))
    expected = sum(bool(t.text.strip()) for t in drawing.texts)
    return faults if words == expected else [*faults, f"{words} words, not {expected}"]


def _stroke_faults(drawing: Drawing, stroke: Stroke, run: Contour) -> list[str]:
    sx, sy = drawing.print_scale
    mx, my = drawing.width_mm / 2, drawing.height_mm / 2
    xs0, ys0, xs1, ys1 = zip(*(s.box() for s in stroke.segments), strict=True)
    expected: Box = (
        mx + (min(xs0) - mx) * sx,
        my + (min(ys0) - my) * sy,
        mx + (max(xs1) - mx) * sx,
        my + (max(ys1) - my) * sy,
    )
    off = max(map(abs, map(float.__sub__, expected, run.box)))
    if off > READ_BACK_PAGE:
        return [f"a line at ({expected[0]:.2f}, {expected[1]:.2f}) mm is {off:.4f} mm off"]
    if not stroke.closed:
        return []
    area = abs(math.fsum(s.area_term for s in stroke.segments)) * sx * sy
    if abs(run.area - area) > READ_BACK_PAGE * math.fsum(s.length for s in stroke.segments):
        return [f"an area at ({expected[0]:.2f}, {expected[1]:.2f}) mm is {run.area:.3f} mm2"]
    return []
