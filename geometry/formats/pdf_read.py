"""What a PDF really holds: its page sizes, paths and words, read by an engine that wrote none.

Pages are parsed by PDFium, the writer is reportlab, so a build can compare the contours that
come back with the outlines that went in. Sizes are mm, places are measured from the lower left
corner of the page. A cubic curve keeps its control points; box and area are exact for it.
"""

from __future__ import annotations

import ctypes
import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from geometry.errors import GeometryError
from geometry.point import Point
from geometry.segment import Box

if TYPE_CHECKING:
    from pypdfium2 import PdfPage

#: Millimetres per point (1/72 in).
MM = 25.4 / 72.0


class PathEdge(NamedTuple):
    """A straight edge (two points) or a cubic curve (four), mm."""

    kind: Literal["line", "curve"]
    points: tuple[Point, ...]

    @property
    def area_term(self) -> float:
        """Signed area between the edge and the origin in mm2, exact."""
        if self.kind == "line":
            return self.points[0].cross(self.points[1]) / 2
        a, b, c, d = self.points  # Green's theorem on the cubic
        return (6 * a.cross(b) + 3 * a.cross(c) + a.cross(d)) / 20 + (
            3 * b.cross(c) + 3 * b.cross(d) + 6 * c.cross(d)
        ) / 20

    def at(self, t: float) -> Point:
        """Return the point at parameter t in 0..1."""
        row = list(self.points)
        while len(row) > 1:
            row = [a.plus(b.minus(a), t) for a, b in pairwise(row)]  # de Casteljau
        return row[0]

    def extremes(self) -> list[Point]:
        """Return the ends and the points where a curve turns back in x or y."""
        spots = [self.points[0], self.points[-1]]
        if self.kind == "curve":
            for a, b, c, d in zip(*self.points, strict=True):
                # a curve stays within the hull of its four points
                if not (a <= b <= d and a <= c <= d) and not (a >= b >= d and a >= c >= d):
                    spots += [self.at(t) for t in _roots(a, b, c, d) if 0.0 < t < 1.0]
        return spots


@dataclass(frozen=True)
class Contour:
    """One run of edges of a path."""

    edges: tuple[PathEdge, ...]
    closed: bool

    @property
    def signed_area(self) -> float:
        """Enclosed area in mm2, positive counter-clockwise; an open run is closed by a line."""
        back = self.edges[-1].points[-1].cross(self.edges[0].points[0]) / 2
        return math.fsum((*(e.area_term for e in self.edges), back))

    @property
    def area(self) -> float:
        """Enclosed area in mm2."""
        return abs(self.signed_area)

    @property
    def box(self) -> Box:
        """Bounding box (x min, y min, x max, y max) in mm, curves included."""
        spots = [self.edges[0].points[0]]
        for edge in self.edges:
            if edge.kind == "line":
                spots.append(edge.points[1])
            else:
                spots += edge.extremes()
        xs, ys = zip(*spots, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    def chords(self, pieces: int = 16) -> list[Point]:
        """Return the contour as points, every curve cut into `pieces` equal steps."""
        spots = [self.edges[0].points[0]]
        for edge in self.edges:
            steps = pieces if edge.kind == "curve" else 1
            spots += [edge.at(k / steps) for k in range(1, steps + 1)]
        return spots


@dataclass(frozen=True)
class PagePath:
    """One path object: its contours and how it is painted.

    Args:
        contours: runs of edges, mm.
        stroked, filled: whether the line and the inside are painted.
        width: line width in mm.
        dashes: dash, gap, ... in mm; empty for a continuous line.
    """

    contours: tuple[Contour, ...]
    stroked: bool
    filled: bool
    width: float
    dashes: tuple[float, ...]


@dataclass(frozen=True)
class Page:
    """One page: its size in mm, its paths in order of painting, and its words."""

    width: float
    height: float
    paths: tuple[PagePath, ...]
    text: str


def page_paths(data: bytes) -> list[Page]:
    """Return the pages of a PDF.

    `data` is the whole file.

    Raises:
        GeometryError: no PDF, or a page that holds something else than paths and text (an image,
            a shading, a form): it would be missed by a comparison, so it is named instead.
    """
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        raise GeometryError(f"this is no readable PDF: {error}") from error
    try:
        return [_page(document[k], k + 1) for k in range(len(document))]
    finally:
        document.close()


def _page(page: PdfPage, number: int) -> Page:
    import pypdfium2.raw as raw

    paths = []
    for k in range(raw.FPDFPage_CountObjects(page.raw)):
        item = raw.FPDFPage_GetObject(page.raw, k)
        kind = raw.FPDFPageObj_GetType(item)
        if kind == raw.FPDF_PAGEOBJ_PATH:
            paths.append(_path(item))
        elif kind != raw.FPDF_PAGEOBJ_TEXT:
            raise GeometryError(f"page {number} holds an object of type {kind}: not a path")
    words = page.get_textpage()
    text = str(words.get_text_bounded())
    words.close()
    width, height = page.get_size()
    page.close()
    return Page(width * MM, height * MM, tuple(paths), text)


def _path(item: Any) -> PagePath:
    """Return a path object in mm."""
    import pypdfium2.raw as raw

    fill, stroke = ctypes.c_int(), ctypes.c_int()
    raw.FPDFPath_GetDrawMode(item, fill, stroke)
    place = raw.FS_MATRIX()
    raw.FPDFPageObj_GetMatrix(item, place)
    matrix = tuple(v * MM for v in (place.a, place.b, place.c, place.d, place.e, place.f))
    contours, filled = tuple(_contours(item, matrix)), fill.value != raw.FPDF_FILLMODE_NONE
    scale = math.sqrt(abs(matrix[0] * matrix[3] - matrix[1] * matrix[2]))
    width, dashes = _pen(item)
    return PagePath(
        contours, bool(stroke.value), filled, width * scale, tuple(d * scale for d in dashes)
    )


def _pen(item: Any) -> tuple[float, list[float]]:
    """Return width and dashes of a path object in its own units."""
    import pypdfium2.raw as raw

    width = ctypes.c_float()
    raw.FPDFPageObj_GetStrokeWidth(item, width)
    count = max(0, raw.FPDFPageObj_GetDashCount(item))
    dashes = (ctypes.c_float * count)()
    if count:
        raw.FPDFPageObj_GetDashArray(item, dashes, count)
    return width.value, list(dashes)


def _contours(item: Any, matrix: Sequence[float]) -> list[Contour]:
    """Return the runs of a path object; its matrix maps to the page in mm."""
    import pypdfium2.raw as raw

    segment_of, point_of = raw.FPDFPath_GetPathSegment, raw.FPDFPathSegment_GetPoint
    kind_of, closes = raw.FPDFPathSegment_GetType, raw.FPDFPathSegment_GetClose
    moves, draws = raw.FPDF_SEGMENT_MOVETO, raw.FPDF_SEGMENT_LINETO
    a, b, c, d, e, f = matrix
    x, y = ctypes.c_float(), ctypes.c_float()
    at_x, at_y = ctypes.byref(x), ctypes.byref(y)
    runs: list[tuple[list[PathEdge], bool]] = []
    edges: list[PathEdge] = []
    place, first, waiting = Point(0.0, 0.0), Point(0.0, 0.0), list[Point]()
    for k in range(raw.FPDFPath_CountSegments(item)):
        segment = segment_of(item, k)
        kind = kind_of(segment)
        point_of(segment, at_x, at_y)
        u, v = x.value, y.value
        spot = Point(a * u + c * v + e, b * u + d * v + f)
        if kind == moves:
            edges = []
            runs.append((edges, False))
            place = first = spot
            continue
        if kind == draws:
            edges.append(PathEdge("line", (place, spot)))
            place = spot
        else:
            waiting.append(spot)
            if len(waiting) == 3:
                edges.append(PathEdge("curve", (place, *waiting)))
                place, waiting = spot, []
        if closes(segment):
            if place != first:
                edges.append(PathEdge("line", (place, first)))
            runs[-1] = (edges, True)
    return [Contour(tuple(edges), closed) for edges, closed in runs if edges]


def _roots(a: float, b: float, c: float, d: float) -> list[float]:
    """Return where the derivative of a cubic Bezier polynomial vanishes."""
    p, q, r = -a + 3 * b - 3 * c + d, 2 * (a - 2 * b + c), b - a
    if abs(p) < 1e-12:
        return [-r / q] if abs(q) > 1e-12 else []
    square = q * q - 4 * p * r
    if square < 0.0:
        return []
    root = math.sqrt(square)
    return [(-q - root) / (2 * p), (-q + root) / (2 * p)]
