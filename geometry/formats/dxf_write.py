"""Part -> DXF for a cutting shop: closed polylines with bulges and true circles, nothing else.

The cut file holds the loops on `CUT_INNER`, then those on `CUT_OUTER`, nominal size (no kerf).
The flat file, for liners and other folded sheet, adds `FOLD`, `MARK`, `REFERENCE` and `PERFORATION`. Both
stand with their lowest corner at the origin; see `origin_shift`. Same part, same bytes, in
every process: dates, identifiers and the order of classes are fixed.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Literal

from geometry.errors import GeometryError
from geometry.formats.embedded_design import pieces
from geometry.outline import Outline
from geometry.part import Part, Path
from geometry.point import Point
from geometry.segment import Box, Segment, half_turns, joint_box

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument

# The frame that every DXF file of ours shares: units, fixed metadata, stable bytes.
#
# ezdxf stamps dates and random numbers into a file and lists its CLASSES in the order of a
# Python set. Both are fixed here, so one design gives one file in every process.

Unit = Literal["mm", "in"]

#: $INSUNITS code and $MEASUREMENT value of a unit (DXF reference, HEADER section).
HEADER_UNITS: dict[str, tuple[int, int]] = {"mm": (4, 1), "in": (1, 0)}

#: DXF versions that can be written. R12 has no unit header: say the size beside the file.
VERSIONS = ("R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018")


def new_document(version: str = "R2010", unit: Unit = "mm") -> DxfDocument:
    """Return an empty ezdxf document of `version` whose header says `unit`.

    Raises:
        GeometryError: a version or unit that is not offered; lists the choices.
    """
    if version not in VERSIONS:
        raise GeometryError(
            f"DXF version {version!r} is not offered", hint=f"choose one of {', '.join(VERSIONS)}"
        )
    if unit not in HEADER_UNITS:
        raise GeometryError(
            f"DXF unit {unit!r} is not offered", hint=f"choose one of {', '.join(HEADER_UNITS)}"
        )
    from ezdxf.document import Drawing as DxfDocument

    code, metric = HEADER_UNITS[unit]
    with _fixed_metadata():  # `ezdxf.new` would set metres, and log a complaint for R12
        doc = DxfDocument.new(dxfversion=version)
    doc.layers.remove("Defpoints")  # ezdxf makes it for sizes of its own; shops take it for a cut
    if version != "R12":
        doc.header["$INSUNITS"] = code
        doc.header["$MEASUREMENT"] = metric
    return doc


def to_bytes(doc: DxfDocument, payload: str = "") -> bytes:
    """Return the file, with `payload` carried in comments (group code 999) at its top.

    Readers skip comments; `geometry.formats.embedded_design.extract` finds the text again. Line ends are LF
    and the encoding is the one that the document declares.
    """
    if doc.dxfversion > "AC1009":
        for name in ("LAYOUT", "ACDBPLACEHOLDER"):  # ezdxf would add these in set order
            doc.classes.add_class(name)
    stream = io.StringIO(newline="\n")
    with _fixed_metadata():
        doc.write(stream)
    comments = "".join(f"999\n{piece}\n" for piece in pieces(payload))
    text = comments + stream.getvalue()
    return text.encode(doc.output_encoding, errors="dxfreplace")


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """Switch ezdxf's dates, GUIDs and version stamps to constants for a while."""
    import ezdxf

    options = ezdxf.options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


Version = Literal["R12", "R2000", "R2010"]

CUT_INNER, CUT_OUTER = "CUT_INNER", "CUT_OUTER"
FOLD, MARK, REFERENCE, PERFORATION = "FOLD", "MARK", "REFERENCE", "PERFORATION"

#: Layer: colour index, line type. Colours differ for the eye only; the layer name rules.
_LAYERS = {
    CUT_INNER: (1, "CONTINUOUS"),
    CUT_OUTER: (7, "CONTINUOUS"),
    FOLD: (3, "FOLD_DASHED"),
    MARK: (5, "CONTINUOUS"),
    REFERENCE: (8, "REFERENCE_CHAIN"),
    PERFORATION: (6, "CONTINUOUS"),
}
#: Line types in mm as ezdxf takes them: total, then dash (+), gap (-), dot (0). Folds dashed is
#: common practice; the long-dash double-dot for what is not made is type 05.1 of ISO 128-2.
_LINETYPES = {
    "FOLD_DASHED": ("Fold __ __ __", [3.0, 2.0, -1.0]),
    "REFERENCE_CHAIN": (
        "Reference ____ . . ____",
        [10.0, 6.0, -1.0, 0.5, -1.0, 0.5, -1.0],
    ),
}
#: Digits after the point: far finer than any machine, and no dust such as -1e-15 is left.
_DECIMALS = 11
_MM_PER = {"mm": 1.0, "in": 25.4}
_COMMENT = {"mm": "lengths in millimetres", "in": "lengths in inches"}
_SMALL = re.compile(r"^(-?\d(?:\.\d+)?e-\d+)$", re.MULTILINE)


def write_cut_dxf(
    part: Part, *, payload: str = "", version: Version = "R2010", unit: Unit = "mm"
) -> bytes:
    """Return the cut file of one piece: its loops, holes first, and nothing else.

    Args:
        part: what to cut; its folds, marks and references are left out.
        payload: a text that travels along in comment lines (see `geometry.formats.embedded_design`).
        version: R12 has no place for a unit; there the comment in the first line tells it.
        unit: "in" writes true inches: mm / 25.4, declared as such.

    Raises:
        GeometryError: the part has nothing to cut.
    """
    return _write(part, payload, version, unit, flat=False)


def write_flat_dxf(
    part: Part, *, payload: str = "", version: Version = "R2010", unit: Unit = "mm"
) -> bytes:
    """Return the flat pattern of one piece: its loops, then folds, marks, references, perforation.

    Arguments and errors as `write_cut_dxf`; each run of touching edges is one open polyline.
    """
    return _write(part, payload, version, unit, flat=True)


def origin_shift(part: Part, *, flat: bool = False) -> Point:
    """Return what is added (mm) to bring the lowest corner of the file's content to (0, 0).

    Raises:
        GeometryError: there is nothing to draw.
    """
    x0, y0, _, _ = _box(part, flat)
    return Point(-x0, -y0)


def _box(part: Part, flat: bool) -> Box:
    boxes = [region.box for region in part.cut]
    if flat:
        boxes += [s.box() for _, path in paths_of(part) for s in path.segments]
    if not boxes:
        raise GeometryError(
            f"part {part.name!r} has nothing to {'draw' if flat else 'cut'}",
            hint="a DXF needs at least one outline",
        )
    return joint_box(boxes)


def paths_of(part: Part) -> Iterator[tuple[str, Path]]:
    """Yield every open run of a part with the layer that it is drawn on."""
    layers = {
        FOLD: part.fold,
        MARK: part.mark,
        REFERENCE: part.reference,
        PERFORATION: part.perforation,
    }
    for layer, paths in layers.items():
        for path in paths:
            yield layer, path


def _write(part: Part, payload: str, version: Version, unit: Unit, flat: bool) -> bytes:
    x0, y0, x1, y1 = _box(part, flat)
    pen = _Pen(Point(-x0, -y0), _MM_PER[unit], version == "R12")
    used = (*(layer for layer, _ in paths_of(part)),) if flat else ()
    doc = _document(version, unit, used)
    _set_extents(doc, pen.place(Point(x1, y1)))
    space = doc.modelspace()
    for region in part.cut:
        for hole in region.holes:
            pen.loop(space, hole, CUT_INNER)
    for region in part.cut:
        pen.loop(space, region.outer, CUT_OUTER)
    if flat:
        for layer, path in paths_of(part):
            for run in _runs(path.segments):
                pen.run(space, run, layer)
    return _text(doc, unit, payload)


class _Pen:
    """Draws edges: shifts by `shift` mm, then divides by `mm_per_unit`."""

    def __init__(self, shift: Point, mm_per_unit: float, old_polylines: bool) -> None:
        self.shift = shift
        self.mm_per_unit = mm_per_unit
        self.old_polylines = old_polylines

    def size(self, length: float) -> float:
        return round(length / self.mm_per_unit, _DECIMALS)

    def place(self, point: Point) -> tuple[float, float]:
        x, y = point.plus(self.shift)
        return self.size(x), self.size(y)

    def loop(self, space: Any, loop: Outline, layer: str) -> None:
        circle = loop.as_circle()
        if circle:
            center, radius = circle
            space.add_circle(self.place(center), self.size(radius), dxfattribs={"layer": layer})
        else:
            self._polyline(
                space, [(s.start, s.bulge) for s in half_turns(loop.segments)], True, layer
            )

    def run(self, space: Any, run: list[Segment], layer: str) -> None:
        corners = [(s.start, s.bulge) for s in half_turns(run)]
        closed = run[0].start == run[-1].end
        if not closed:
            corners.append((run[-1].end, 0.0))
        self._polyline(space, corners, closed, layer)

    def _polyline(
        self, space: Any, corners: Iterable[tuple[Point, float]], closed: bool, layer: str
    ) -> None:
        add = space.add_polyline2d if self.old_polylines else space.add_lwpolyline
        spots = [(*self.place(p), bulge) for p, bulge in corners]
        add(spots, format="xyb", close=closed, dxfattribs={"layer": layer})


def _runs(segments: Iterable[Segment]) -> list[list[Segment]]:
    """Split edges into runs in which each edge starts where the last one ended."""
    runs: list[list[Segment]] = []
    for s in segments:
        if runs and runs[-1][-1].end == s.start:
            runs[-1].append(s)
        else:
            runs.append([s])
    return runs


def _document(version: Version, unit: Unit, extra_layers: Iterable[str]) -> Any:
    """Return an empty document with the layers and line types that will be used."""
    doc = new_document(version, unit)
    doc.header["$LUNITS"] = 2  # decimal
    doc.modelspace().units = HEADER_UNITS[unit][0]
    wanted = {CUT_INNER, CUT_OUTER, *extra_layers}
    for name, (color, linetype) in _LAYERS.items():
        if name not in wanted:
            continue
        if linetype in _LINETYPES:
            text, pattern = _LINETYPES[linetype]
            scaled = [round(v / _MM_PER[unit], _DECIMALS) for v in pattern]
            doc.linetypes.add(linetype, scaled, description=text)
        # Line weight 0 is a hairline; R12 knows none and draws hairlines anyway.
        doc.layers.add(name, color=color, linetype=linetype, lineweight=0)
    return doc


def _set_extents(doc: Any, corner: tuple[float, float]) -> None:
    """Tell the true box, from the origin to `corner`, and open the drawing on it."""
    width, height = corner
    low, high = (0.0, 0.0, 0.0), (width, height, 0.0)
    doc.header["$EXTMIN"], doc.header["$EXTMAX"] = low, high
    doc.header["$LIMMIN"], doc.header["$LIMMAX"] = low[:2], high[:2]
    space = doc.modelspace()
    space.reset_extents(low, high)
    space.reset_limits(low[:2], high[:2])
    doc.set_modelspace_vport(1.1 * max(width, height), (width / 2, height / 2))


def _text(doc: Any, unit: Unit, payload: str) -> bytes:
    """Return the file as old and new controllers take it: CRLF, no exponents, unit on top."""
    text = f"999\n{_COMMENT[unit]}\n{to_bytes(doc, payload).decode('ascii')}"
    plain = _SMALL.sub(lambda m: format(Decimal(m[1]), "f"), text)
    return plain.replace("\n", "\r\n").encode("ascii")
