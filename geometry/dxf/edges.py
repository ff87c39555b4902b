"""From what a DXF draws to exact edges in mm: lines and arcs, ends shared, nothing bridged."""

from __future__ import annotations

import math

from geometry.dxf.entity import EXACT_KINDS, DxfEntity
from geometry.dxf.tags import DxfError
from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.tolerance import READ_BACK

#: Angles of one direction after the way through degrees in a text (rad).
SAME_ANGLE = 1e-12
MESH_OR_SPLINE_FLAGS = 4 | 16 | 64


def edges_of(
    entity: DxfEntity, mm_per_unit: float = 1.0, *, skip_empty: bool = False
) -> tuple[Segment, ...]:
    """Return the edges that an entity draws, in mm, seen along z; a closed one ends at its start.

    Args:
        entity: a LINE, ARC, CIRCLE, LWPOLYLINE or POLYLINE with normal (0, 0, 1).
        mm_per_unit: what one drawing unit is in mm.
        skip_empty: leave out edges without length instead of refusing them.

    Raises:
        DxfError: another kind, another normal, or an edge that cannot be; names the line.
    """
    if entity.kind not in EXACT_KINDS or (
        entity.kind == "POLYLINE" and entity.flags & MESH_OR_SPLINE_FLAGS
    ):
        raise _error(entity, "is not made of lines and arcs")
    if not entity.upright:
        raise _error(entity, f"is seen from {entity.extrusion}, so its arcs may be mirrored")
    spots = [Point(x * mm_per_unit, y * mm_per_unit) for x, y in entity.points]
    try:
        if entity.kind == "CIRCLE":
            return Outline.circle(spots[0], entity.radius * mm_per_unit).segments
        if entity.kind == "ARC":
            return _arc(spots[0], entity.radius * mm_per_unit, *entity.angles)
        bulges = list(entity.bulges) or [0.0] * len(spots)
        if entity.closed:
            spots.append(spots[0])
        return tuple(
            edge_from_bulge(a, b, bulge)
            for a, b, bulge in zip(spots, spots[1:], bulges, strict=False)
            if not (skip_empty and a == b)
        )
    except (GeometryError, IndexError) as error:
        raise _error(entity, f"cannot be drawn: {error}") from error


def outline_of(entity: DxfEntity, mm_per_unit: float = 1.0) -> Outline:
    """Return the closed entity as an outline in mm.

    Raises:
        DxfError: it is open (names both ends), another kind, or cannot be drawn.
    """
    edges = edges_of(entity, mm_per_unit)
    if not edges or edges[0].start != edges[-1].end:
        ends = f" from {_place(edges[0].start)} to {_place(edges[-1].end)} mm" if edges else ""
        raise _error(entity, f"is open{ends}")
    try:
        return Outline(edges)
    except GeometryError as error:
        raise _error(entity, f"is no outline: {error}") from error


def edge_from_bulge(start: Point, end: Point, bulge: float) -> Segment:
    """Return the edge with the given bulge = tan(sweep / 4) (DXF reference, group code 42).

    The centre lies off the middle of the chord u, to the left by u (1 - b^2) / (4 b). An arc
    that strays from its chord by less than `READ_BACK` mm becomes the chord: its radius would
    be beyond what a coordinate can hold.
    """
    chord = end.minus(start)
    if abs(bulge) * chord.length() / 2 < READ_BACK:
        return Line(start, end)
    middle = start.plus(end).times(0.5)
    center = middle.plus(chord.left(), (1 - bulge * bulge) / (4 * bulge))
    return Arc(start, end, center, bulge > 0)


def _arc(center: Point, radius: float, start: float, end: float) -> tuple[Segment, ...]:
    """Return an ARC, always counter-clockwise; equal angles make a full circle of two arcs."""
    sweep = (end - start) % (2 * math.pi)
    first = center.plus(Point.polar(radius, start))
    if min(sweep, 2 * math.pi - sweep) < SAME_ANGLE:
        other = center.plus(Point.polar(radius, start + math.pi))
        return Arc(first, other, center, True), Arc(other, first, center, True)
    return (Arc(first, center.plus(Point.polar(radius, end)), center, True),)


def _place(point: Point) -> str:
    return f"({point.x:.6g}, {point.y:.6g})"


def _error(entity: DxfEntity, message: str) -> DxfError:
    where = f" in block {entity.block}" if entity.block else ""
    return DxfError(f"{entity.kind}{where} {message}", line=entity.line)
