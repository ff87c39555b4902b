"""A drawing -> DXF for CAD programs: the model at 1:1 in mm, the sheet as a paper-space layout.

    model space:  view | view | view      every view at true size beside the last, its sizes
                                          as DIMENSION entities that measure what they say
    layout:       frame, title block, notes, and a viewport on each view at its scale

A dimensioned drawing, not a file to cut from. Each DIMENSION carries its picture as a block, so
every program shows the same lines and words. Of a view that is drawn shortened the model is
whole: its pieces have a viewport each, and its sizes, which reach over the gaps, are drawn on
the sheet once more; their layer is frozen in those viewports.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from geometry.drafting.drawing import (
    NARROW,
    SCALE,
    STYLES,
    Dimension,
    Drawing,
    Fill,
    Frame,
    Item,
    Items,
    LineStyle,
    Stroke,
    Text,
    extent,
)
from geometry.formats.drawing_svg import number_text
from geometry.formats.dxf_write import new_document, to_bytes
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Box, Line, Segment, joint_box

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument

#: Layers beside those of the line styles.
TEXT_LAYER, FILL_LAYER, SIZE_LAYER, WINDOW_LAYER = "text", "fill", "dimension", "viewport"

#: Name of the paper-space layout.
LAYOUT = "Sheet"

#: Text style: a font that office and CAD machines have, or replace by one of equal width. The
#: width of every text is fixed by its two ends, so a replacement cannot make texts overlap.
TEXT_STYLE, TEXT_FONT = "lettering", "arial.ttf"

#: Signs that CAD fonts hold at their own control codes (DXF reference, TEXT).
_CONTROL = {"⌀": "%%c", "Ø": "%%c", "°": "%%d", "±": "%%p", "%": "%%%"}

#: Nearest colour index of each tone.
_TONES = {"black": 7, "grey": 254, "white": 255, "sky": 151, "sand": 41, "mint": 121}
_TONES |= dict(zip(SCALE, (151, 151, 151, 153, 153, 153, 152, 152), strict=True))

#: A viewport shows this much round what belongs to it, mm on the sheet.
ROUND_ABOUT = 1.0

#: Clear distance between two views in model space, as a share of the wider one's width.
APART = 0.2

#: Dimension types (DXF reference, DIMENSION, code 70): 32 the block is its own, 64 along x, 128 the
#: text stands where the draughtsman put it.
_TYPES = {"linear": 32 + 128, "diameter": 3 + 32 + 128, "radius": 4 + 32 + 128, "ordinate": 6 + 32 + 64 + 128}  # fmt: skip


@dataclass(frozen=True)
class ModelView:
    """One view in model space.

    Args:
        frame: where it lies on the sheet.
        items: what belongs to it.
        shift: from the model's own places to those in model space, mm.
    """

    frame: Frame
    items: Items
    shift: Point = ORIGIN

    @property
    def broken(self) -> bool:
        """Whether the view leaves stretches out."""
        return bool(self.frame.gaps)

    @property
    def dimensions(self) -> tuple[Dimension, ...]:
        """Every dimension once, in order."""
        return tuple(dict.fromkeys(i.dimension for i in self.items if i.dimension))

    def place(self, p: Point) -> Point:
        """Return the place in model space of a place on the sheet."""
        return self.frame.model(p).plus(self.shift)

    def edge(self, s: Segment) -> Segment:
        """Return an edge of the sheet in model space."""
        a, b = self.place(s.start), self.place(s.end)
        if isinstance(s, Arc):
            return Arc(a, b, a.plus(s.center.minus(s.start), 1 / self.frame.factor), s.ccw)
        return Line(a, b)

    def true_size(self, item: Item) -> Item:
        """Return an item of the sheet in model space, lettering as large as the view shrinks it."""
        if isinstance(item, Stroke):
            return replace(item, segments=tuple(map(self.edge, item.segments)))
        if isinstance(item, Fill):
            loops = tuple(Outline(tuple(map(self.edge, o.segments))) for o in item.loops)
            return replace(item, loops=loops)
        spot = self.place(Point(item.x, item.y))
        return replace(item, x=spot.x, y=spot.y, height_mm=item.height_mm / self.frame.factor)

    def measure(self, size: Dimension) -> float:
        """Return what a dimension measures in the model, mm."""
        along = self.place(size.b).minus(self.place(size.a))
        if size.kind == "linear":
            return abs(along.rotated(-size.angle).x)
        return along.x if size.kind == "ordinate" else along.length()

    @property
    def windows(self) -> tuple[Box, ...]:
        """Boxes on the sheet that show it: one, or one between every two gaps, mm."""
        shown = [i for i in self.items if not (self.broken and i.dimension)]
        x0, y0, x1, y1 = extent(shown)
        x0, y0, x1, y1 = x0 - ROUND_ABOUT, y0 - ROUND_ABOUT, x1 + ROUND_ABOUT, y1 + ROUND_ABOUT
        edges = [x0, *(x for gap in self.frame.gaps for x in gap), x1]
        return tuple((a, y0, b, y1) for a, b in zip(edges[::2], edges[1::2], strict=True))

    def window_in_model(self, window: Box) -> Box:
        """Return what a viewport shows of model space."""
        low = self.place(Point((window[0] + window[2]) / 2, (window[1] + window[3]) / 2))
        across, up = ((window[k + 2] - window[k]) / 2 / self.frame.factor for k in (0, 1))
        return low.x - across, low.y - up, low.x + across, low.y + up

    @cached_property
    def box(self) -> Box:
        """Box in model space of all that a viewport may show and of all sizes, mm."""
        return joint_box([
            extent([self.true_size(i) for i in self.items]),
            *(self.window_in_model(w) for w in self.windows),
        ])  # fmt: skip


def model_views(drawing: Drawing) -> tuple[ModelView, ...]:
    """Return the views of a sheet in model space, the first where its model says, others at its right."""
    groups: dict[Frame, list[Item]] = {}
    for item in drawing.items:
        if item.view:
            groups.setdefault(item.view, []).append(item)
    views: list[ModelView] = []
    for frame, items in groups.items():
        view = ModelView(frame, tuple(items))
        if views:
            last, box = views[-1].box, view.box
            gap = APART * max(last[2] - last[0], box[2] - box[0])
            view = replace(view, shift=Point(last[2] + gap - box[0], 0.0))
        views.append(view)
    return tuple(views)


def sheet_items(drawing: Drawing) -> Items:
    """Return what the layout itself holds: what belongs to no view, and sizes of shortened views."""
    return tuple(
        i for i in drawing.items if i.view is None or (i.dimension is not None and i.view.gaps)
    )


def write_drawing_dxf(drawing: Drawing, payload: str = "") -> bytes:
    """Return the sheet as a DXF R2010 file in mm.

    Args:
        drawing: one sheet; its `print_scale` is a matter of paper and left out.
        payload: a text to travel inside, found again by `geometry.formats.embedded_design.extract`.
    """
    doc = new_document("R2010", "mm")
    _tables(doc, drawing)
    views, model = model_views(drawing), doc.modelspace()
    for view in views:
        for item in view.items:
            if item.dimension is None:
                _draw(model, view.true_size(item))
        for size in view.dimensions:
            _dimension(doc, view, size)
    doc.layouts.rename("Layout1", LAYOUT)
    sheet = doc.layout(LAYOUT)
    sheet.page_setup((drawing.width_mm, drawing.height_mm), (0, 0, 0, 0), "mm")
    sheet.main_viewport().dxf.layer = WINDOW_LAYER
    for item in sheet_items(drawing):
        _draw(sheet, item)
    for view in views:
        for window in view.windows:
            _viewport(sheet, view, window)
    _set_views(doc, drawing, views)
    return to_bytes(doc, payload)


def _set_views(doc: DxfDocument, drawing: Drawing, views: Sequence[ModelView]) -> None:
    """Tell the true extents of both spaces, and open each on them."""
    paper = (drawing.width_mm, drawing.height_mm)
    x0, y0, x1, y1 = joint_box(v.box for v in views) if views else (0.0, 0.0, *paper)
    header = doc.header
    header["$EXTMIN"], header["$EXTMAX"] = (x0, y0, 0.0), (x1, y1, 0.0)
    header["$LIMMIN"], header["$LIMMAX"] = (x0, y0), (x1, y1)
    header["$PEXTMIN"], header["$PEXTMAX"] = (0.0, 0.0, 0.0), (*paper, 0.0)
    header["$PLIMMIN"], header["$PLIMMAX"] = (0.0, 0.0), paper
    header["$LTSCALE"], header["$PSLTSCALE"] = 1.0, 1
    for space, low, high in (
        (doc.modelspace(), (x0, y0), (x1, y1)),
        (doc.layout(LAYOUT), (0.0, 0.0), paper),
    ):
        space.reset_extents((*low, 0.0), (*high, 0.0))
        space.reset_limits(low, high)
    doc.set_modelspace_vport(1.05 * (y1 - y0), ((x0 + x1) / 2, (y0 + y1) / 2))


def _viewport(sheet: Any, view: ModelView, window: Box) -> None:
    x0, y0, x1, y1 = view.window_in_model(window)
    port = sheet.add_viewport(
        ((window[0] + window[2]) / 2, (window[1] + window[3]) / 2),
        (window[2] - window[0], window[3] - window[1]),
        ((x0 + x1) / 2, (y0 + y1) / 2),
        y1 - y0,
        dxfattribs={"layer": WINDOW_LAYER},
    )
    if view.broken:
        port.freeze(SIZE_LAYER)


def _dimension(doc: DxfDocument, view: ModelView, size: Dimension) -> None:
    """Add one DIMENSION with its picture."""
    block = doc.blocks.new_anonymous_block(type_char="D")
    drawn = [i for i in view.items if i.dimension == size]
    for item in drawn:
        _draw(block, view.true_size(item), SIZE_LAYER)
    a, b, at = view.place(size.a), view.place(size.b), view.place(size.at)
    texts = [i for i in drawn if isinstance(i, Text)]
    spot = view.place(texts[0].start) if texts else at
    attributes: dict[str, Any] = {
        "layer": SIZE_LAYER,
        "geometry": block.name,
        "dimstyle": _dimension_style(doc, view.frame.factor),
        "dimtype": _TYPES[size.kind],
        "text_midpoint": (*spot, 0.0),
        "actual_measurement": view.measure(size),
        "text": _size_text(size.text, view.measure(size)),
        "attachment_point": 5,
    }
    if size.kind == "linear":
        places = {"defpoint": at, "defpoint2": a, "defpoint3": b}
        attributes["angle"] = math.degrees(size.angle)
    elif size.kind == "ordinate":
        places = {"defpoint": a, "defpoint2": b, "defpoint3": at}
    else:
        places = {"defpoint": a, "defpoint4": b}
    attributes |= {name: (*p, 0.0) for name, p in places.items()}
    doc.modelspace().new_entity("DIMENSION", attributes)


def _size_text(lines: Sequence[str], measure: float) -> str:
    """Return the text of a dimension: what was written, the measure itself as "<>" where it is said."""
    number = re.escape(number_text(measure, 3))
    words = "\\P".join("".join(_CONTROL.get(c, c) for c in text) for text in lines)
    return re.sub(rf"(?<![\d.]){number}(?![\d.])", "<>", words, count=1)


def _dimension_style(doc: DxfDocument, factor: float) -> str:
    """Return the style of sizes in a view of this scale, so that they are redrawn as they are."""
    name = f"scale {number_text(factor, 6)}"
    if name not in doc.dimstyles:
        facts = {
            "dimscale": 1 / factor, "dimtxt": 2.5, "dimasz": 2.5, "dimexo": 0.8, "dimexe": 2.0,
            "dimgap": 0.8, "dimtad": 1, "dimtih": 0, "dimtoh": 0, "dimdec": 3, "dimzin": 8,
            "dimlunit": 2, "dimtxsty": TEXT_STYLE,
        }  # fmt: skip
        doc.dimstyles.new(name, dxfattribs=facts)
    return name


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
    doc.layers.add(SIZE_LAYER, lineweight=round(NARROW * 100))
    doc.layers.add(WINDOW_LAYER, plot=False)
    doc.styles.add(TEXT_STYLE, font=TEXT_FONT)


def _linetype(doc: DxfDocument, style: LineStyle) -> str:
    if not style.dashes:
        return "Continuous"
    name = f"ISO_{style.number.replace('.', '_')}_{style.name}"
    signed = [d if k % 2 == 0 else -d for k, d in enumerate(style.dashes)]
    doc.linetypes.add(name, [math.fsum(style.dashes), *signed], description=style.legend)
    return name


def _draw(space: Any, item: Item, layer: str = "") -> None:
    """Add one item to a space or block, on a layer of its own kind unless told."""
    if isinstance(item, Stroke):
        _stroke(space, item, layer or item.style)
    elif isinstance(item, Fill):
        _fill(space, item, layer or FILL_LAYER)
    elif item.text.strip():
        _text(space, item, layer or TEXT_LAYER)


def _stroke(space: Any, item: Stroke, name: str) -> None:
    layer = {"layer": name}
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


def _corners(run: Iterable[Segment], closed: bool) -> list[tuple[float, float, float]]:
    """Return (x, y, bulge) of every corner; an open run ends with its last point."""
    edges = tuple(run)
    corners = [(s.start.x, s.start.y, s.bulge) for s in edges]
    return corners if closed else [*corners, (edges[-1].end.x, edges[-1].end.y, 0.0)]


def _fill(space: Any, item: Fill, name: str) -> None:
    layer = {"layer": name}
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


def _text(space: Any, item: Text, name: str) -> None:
    from ezdxf.enums import TextEntityAlignment

    words = "".join(_CONTROL.get(c, c) for c in item.text)
    entity = space.add_text(
        words,
        height=item.height_mm,
        rotation=math.degrees(item.angle),
        dxfattribs={"layer": name, "style": TEXT_STYLE},
    )
    entity.set_placement(item.start, item.end, align=TextEntityAlignment.FIT)
