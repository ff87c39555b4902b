"""A drawing -> DXF for CAD programs: sheet millimetres, layers by line style, real line types.

A dimensioned drawing, not a file to cut from: it carries lettering and views at the scale of
the sheet. Dimensions are plain lines, arrows and TEXT, so every program shows the same.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from geometry.drafting.drawing import STYLES, Drawing, Fill, LineStyle, Stroke, Text
from geometry.formats.dxf_write import new_document, to_bytes
from geometry.outline import Outline
from geometry.segment import Arc, Segment

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument
    from ezdxf.layouts.layout import Modelspace

#: Layers beside those of the line styles.
TEXT_LAYER, FILL_LAYER = "text", "fill"

#: Text style: a font that office and CAD machines have, or replace by one of equal width. The
#: width of every text is fixed by its two ends, so a replacement cannot make texts overlap.
TEXT_STYLE, TEXT_FONT = "lettering", "arial.ttf"

#: Signs that CAD fonts hold at their own control codes (DXF reference, TEXT).
_CONTROL = {"⌀": "%%c", "Ø": "%%c", "°": "%%d", "±": "%%p", "%": "%%%"}

#: Nearest colour index of each tone.
_TONES = {"black": 7, "grey": 254, "white": 255, "sky": 151, "sand": 41, "mint": 121}


def write_drawing_dxf(drawing: Drawing, payload: str = "") -> bytes:
    """Return the sheet as a DXF R2010 file in mm.

    Args:
        drawing: one sheet; its `print_scale` is a matter of paper and left out.
        payload: a text to travel inside, found again by `geometry.formats.embedded_design.extract`.
    """
    doc = new_document("R2010", "mm")
    _tables(doc, drawing)
    space = doc.modelspace()
    for item in drawing.items:
        if isinstance(item, Stroke):
            _stroke(space, item)
        elif isinstance(item, Fill):
            _fill(space, item)
        elif item.text.strip():
            _text(space, item)
    size = (drawing.width_mm, drawing.height_mm)
    doc.header["$EXTMIN"], doc.header["$EXTMAX"] = (0.0, 0.0, 0.0), (*size, 0.0)
    doc.header["$LIMMIN"], doc.header["$LIMMAX"] = (0.0, 0.0), size
    doc.header["$LTSCALE"] = 1.0
    doc.set_modelspace_vport(height=size[1] * 1.05, center=(size[0] / 2, size[1] / 2))
    return to_bytes(doc, payload)


def _tables(doc: DxfDocument, drawing: Drawing) -> None:
    """Make the layers and line types that the drawing uses, in a fixed order."""
    used = {s.style for s in drawing.strokes}
    for style in STYLES.values():
        if style.name in used:
            layer = doc.layers.add(
                style.name, linetype=_linetype(doc, style), lineweight=round(style.width * 100)
            )
            layer.description = f"ISO 128-2 line {style.number}: {style.legend}"
    for name in (TEXT_LAYER, FILL_LAYER):
        doc.layers.add(name)
    doc.styles.add(TEXT_STYLE, font=TEXT_FONT)


def _linetype(doc: DxfDocument, style: LineStyle) -> str:
    if not style.dashes:
        return "Continuous"
    name = f"ISO_{style.number.replace('.', '_')}_{style.name}"
    signed = [d if k % 2 == 0 else -d for k, d in enumerate(style.dashes)]
    doc.linetypes.add(name, [math.fsum(style.dashes), *signed], description=style.legend)
    return name


def _stroke(space: Modelspace, item: Stroke) -> None:
    layer = {"layer": item.style}
    round_hole = Outline(item.segments).as_circle() if item.closed else None
    if round_hole is not None:
        space.add_circle(round_hole[0], round_hole[1], dxfattribs=layer)
    elif len(item.segments) == 1 and not isinstance(item.segments[0], Arc):
        space.add_line(item.segments[0].start, item.segments[0].end, dxfattribs=layer)
    else:
        # Flag 128 lets a dash pattern run on round the corners.
        run = space.add_lwpolyline(
            _corners(item.segments, item.closed), format="xyb", dxfattribs={**layer, "flags": 128}
        )
        run.closed = item.closed


def _corners(run: tuple[Segment, ...], closed: bool) -> list[tuple[float, float, float]]:
    """Return (x, y, bulge) of every corner; an open run ends with its last point."""
    corners = [(s.start.x, s.start.y, s.bulge) for s in run]
    return corners if closed else [*corners, (run[-1].end.x, run[-1].end.y, 0.0)]


def _fill(space: Modelspace, item: Fill) -> None:
    layer = {"layer": FILL_LAYER}
    loop = item.loops[0]
    straight = not any(isinstance(s, Arc) for s in loop.segments)
    if len(item.loops) == 1 and straight and len(loop.segments) == 3:
        space.add_solid(loop.points, dxfattribs={**layer, "color": _TONES[item.tone]})
        return
    hatch = space.add_hatch(color=_TONES[item.tone], dxfattribs=layer)
    for k, part in enumerate(item.loops):
        hatch.paths.add_polyline_path(
            _corners(part.segments, True), is_closed=True, flags=1 if k == 0 else 16
        )


def _text(space: Modelspace, item: Text) -> None:
    from ezdxf.enums import TextEntityAlignment

    words = "".join(_CONTROL.get(c, c) for c in item.text)
    entity = space.add_text(
        words,
        height=item.height_mm,
        rotation=math.degrees(item.angle),
        dxfattribs={"layer": TEXT_LAYER, "style": TEXT_STYLE},
    )
    entity.set_placement(item.start, item.end, align=TextEntityAlignment.FIT)
