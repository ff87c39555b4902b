"""Rounded body -> kernel shape: every wall, round and stop is its own exact face.

Neighbouring faces share their edges, and edges their corners, so nothing is sewn. Walls and
rounds are patches of a cylinder or torus bounded by lines of constant surface parameters; each
edge is told where it runs on its surface, which the kernel would otherwise have to guess.
"""

from __future__ import annotations

import itertools
import math
from typing import Any

from geometry.outline import Outline, Region
from geometry.segment import Arc, Segment
from geometry.solid.rounded import Rounded
from geometry.step.brep_write import Frame, plane_face
from geometry.tolerance import SAME_PLACE

Place = tuple[float, float, float]
#: An edge with the parameters of its surface at its start and its end.
_Run = tuple[Any, tuple[float, float], tuple[float, float]]
_UP: Place = (0.0, 0.0, 1.0)
_QUARTER = math.pi / 2


class _Edges:
    """Makes each vertex and edge once."""

    def __init__(self) -> None:
        self._vertices: dict[Place, Any] = {}
        self._edges: dict[tuple[Place, Place, Place | None], Any] = {}

    def vertex(self, place: Place) -> Any:
        from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
        from OCP.gp import gp_Pnt

        if place not in self._vertices:
            self._vertices[place] = BRepBuilderAPI_MakeVertex(gp_Pnt(*place)).Vertex()
        return self._vertices[place]

    def line(self, a: Place, b: Place) -> Any:
        """Return the straight edge from a to b, forward; the same edge for (b, a), reversed."""
        from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge

        if (b, a, None) in self._edges:
            return self._edges[b, a, None].Reversed()
        if (a, b, None) not in self._edges:
            made = BRepBuilderAPI_MakeEdge(self.vertex(a), self.vertex(b))
            self._edges[a, b, None] = made.Edge()
        return self._edges[a, b, None]

    def arc(self, a: Place, b: Place, center: Place, normal: Place) -> Any:
        """Return the arc from a to b, counter-clockwise about `normal`; parameter 0 at a."""
        from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
        from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Vec

        if (a, b, center) not in self._edges:
            spoke = gp_Vec(gp_Pnt(*center), gp_Pnt(*a))
            far = gp_Pnt(*center).Distance(gp_Pnt(*b))
            axes = gp_Ax2(gp_Pnt(*center), gp_Dir(*normal), gp_Dir(spoke))
            circle = gp_Circ(axes, (spoke.Magnitude() + far) / 2)
            made = BRepBuilderAPI_MakeEdge(circle, self.vertex(a), self.vertex(b))
            self._edges[a, b, center] = made.Edge()
        return self._edges[a, b, center]

    def along(self, s: Segment, z: float) -> Any:
        """Return the edge of a line or arc of the plane at height z, in its sense of travel."""
        a, b = (*s.start, z), (*s.end, z)
        if isinstance(s, Arc):
            return self.arc(a, b, (*s.center, z), (0.0, 0.0, 1.0 if s.ccw else -1.0))
        return self.line(a, b)


def rounded_shape(body: Rounded) -> Any:
    """Return the kernel's solid (`TopoDS_Solid`) of a rounded body."""
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Shell, TopoDS_Solid

    maker = _Maker(body)
    builder, shell, solid = BRep_Builder(), TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    for face in maker.faces():
        builder.Add(shell, face)
    shell.Closed(True)
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    return solid


class _Maker:
    def __init__(self, body: Rounded) -> None:
        self.body, self.course, self.edges = body, body.course, _Edges()
        self.low, self.high = body.z_range

    def faces(self) -> list[Any]:
        """Return every face, its normal pointing out of the material."""
        region = self.body.base.region
        plugs = [_plug(hole, self.low, self.high) for hole in region.holes]
        lower = [self.edges.along(s, self.low) for s in self.course.segments]
        upper = [self.edges.along(s, self.high) for s in self.course.top.segments]
        found = [
            _flat(lower, (0.0, 0.0, self.low), _UP, [p[1] for p in plugs]).Reversed(),
            _flat(upper, (0.0, 0.0, self.high), _UP, [p[2] for p in plugs]),
        ]
        for sides, _, _ in plugs:
            found += sides
        n = len(self.course.segments)
        for k in range(n):
            if self.wall_top(k) - self.low > SAME_PLACE:
                found.append(self.wall(k))
            if self.course.radii[k]:
                found.append(self.round(k))
                if not self.course.joined[k - 1]:
                    found.append(self.stop(k, 0.0))
                if not self.course.joined[k]:
                    found.append(self.stop(k, 1.0))
        return found

    def wall_top(self, k: int) -> float:
        """Return the height at which the wall under edge k ends; exactly `low` if there is none."""
        z = self.high - self.course.radii[k % len(self.course.radii)]
        return z if z - self.low > SAME_PLACE else self.low

    def upright(self, k: int, bottom: float, top: float) -> list[_Run]:
        """Return the edges from `bottom` up to `top` at the start of edge k, split at every level."""
        spot = self.course.segments[k % len(self.course.segments)].start
        marks = {self.low, self.wall_top(k - 1), self.wall_top(k), self.high}
        levels = [z for z in sorted(marks) if bottom <= z <= top]
        return [
            (self.edges.line((*spot, a), (*spot, b)), (0.0, a), (0.0, b))
            for a, b in itertools.pairwise(levels)
        ]

    def wall(self, k: int) -> Any:
        """Return the wall under edge k."""
        s, top = self.course.segments[k], self.wall_top(k)
        base, over = self.edges.along(s, self.low), self.edges.along(s, top)
        right, left = (self.upright(n, self.low, top) for n in (k + 1, k))
        wire = [base, *(e for e, _, _ in right), over.Reversed()]
        wire += [e.Reversed() for e, _, _ in reversed(left)]
        if not isinstance(s, Arc):
            way = s.direction()
            return _flat(wire, (*s.start, self.low), (way.y, -way.x, 0.0))
        # u: angle from the start of the arc, v: height
        end = s.sweep
        runs = [(base, (0.0, self.low), (end, self.low)), (over, (0.0, top), (end, top)), *left]
        runs += [(e, (end, z0), (end, z1)) for e, (_, z0), (_, z1) in right]
        surface = _cylinder((*s.center, 0.0), _UP, _spoke(s), s.radius)
        return _patch(surface, runs, wire, s.ccw)

    def quarter(self, k: int, end: float) -> Any:
        """Return the quarter arc across the round of edge k, from its wall up to the top face."""
        s, inner = self.course.segments[k], self.course.inner[k]
        spot, deep = (s.start, inner.start) if end == 0.0 else (s.end, inner.end)
        out, z = spot.minus(deep).unit(), self.wall_top(k)
        return self.edges.arc(
            (*spot, z), (*deep, self.high), (*deep, self.high - self.course.radii[k]),
            (out.y, -out.x, 0.0),
        )  # fmt: skip

    def round(self, k: int) -> Any:
        """Return the quarter cylinder or torus along edge k."""
        s, inner, r = self.course.segments[k], self.course.inner[k], self.course.radii[k]
        lower, upper = self.edges.along(s, self.wall_top(k)), self.edges.along(inner, self.high)
        first, last = self.quarter(k, 0.0), self.quarter(k, 1.0)
        wire = [lower, last, upper.Reversed(), first.Reversed()]
        level = self.high - r
        if isinstance(s, Arc):  # u: angle from the start of the arc, v: from the wall to the top
            wall, end = 0.0 if s.ccw else 2 * _QUARTER, s.sweep
            surface = _torus((*s.center, level), _spoke(s), s.radius + (-r if s.ccw else r), r)
            runs = [
                (lower, (0.0, wall), (end, wall)), (upper, (0.0, _QUARTER), (end, _QUARTER)),
                (first, (0.0, wall), (0.0, _QUARTER)), (last, (end, wall), (end, _QUARTER)),
            ]  # fmt: skip
        else:  # u: angle from the wall to the top, v: length, against travel
            way, end = s.direction(), -s.length
            surface = _cylinder(
                (*inner.start, level), (-way.x, -way.y, 0.0), (way.y, -way.x, 0.0), r
            )
            runs = [
                (lower, (0.0, 0.0), (0.0, end)), (upper, (_QUARTER, 0.0), (_QUARTER, end)),
                (first, (0.0, 0.0), (_QUARTER, 0.0)), (last, (0.0, end), (_QUARTER, end)),
            ]  # fmt: skip
        return _patch(surface, runs, wire, True)

    def stop(self, k: int, end: float) -> Any:
        """Return the flat wall across the end of a round; it looks back into the round."""
        s, inner = self.course.segments[k], self.course.inner[k]
        spot, deep = (s.start, inner.start) if end == 0.0 else (s.end, inner.end)
        way = s.direction(end).times(1.0 if end == 0.0 else -1.0)
        post = [e for e, _, _ in self.upright(k + int(end), self.wall_top(k), self.high)]
        across = self.edges.line((*spot, self.high), (*deep, self.high))
        wire = [*post, across, self.quarter(k, end).Reversed()]
        if end == 0.0:
            wire = [e.Reversed() for e in reversed(wire)]
        return _flat(wire, (*spot, self.high), (way.x, way.y, 0.0))


def _spoke(arc: Arc) -> Place:
    """Return the direction from the centre of an arc to its start."""
    out = arc.start.minus(arc.center).unit()
    return out.x, out.y, 0.0


def _axes(origin: Place, z: Place, x: Place) -> Any:
    from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt

    return gp_Ax3(gp_Pnt(*origin), gp_Dir(*z), gp_Dir(*x))


def _cylinder(origin: Place, z: Place, x: Place, radius: float) -> Any:
    from OCP.Geom import Geom_CylindricalSurface

    return Geom_CylindricalSurface(_axes(origin, z, x), radius)


def _torus(origin: Place, x: Place, major: float, minor: float) -> Any:
    from OCP.Geom import Geom_ToroidalSurface

    return Geom_ToroidalSurface(_axes(origin, _UP, x), major, minor)


def _wire(edges: list[Any]) -> Any:
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Wire

    wire, builder = TopoDS_Wire(), BRep_Builder()
    builder.MakeWire(wire)
    for edge in edges:
        builder.Add(wire, edge)
    wire.Closed(True)
    return wire


def _flat(edges: list[Any], origin: Place, normal: Place, holes: list[Any] | None = None) -> Any:
    """Return a plane face: its edges run counter-clockwise about `normal`, holes the other way."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
    from OCP.TopoDS import TopoDS

    made = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(*origin), gp_Dir(*normal)), _wire(edges), False)
    for wire in holes or []:
        made.Add(TopoDS.Wire_s(wire))
    return made.Face()


def _patch(surface: Any, runs: list[_Run], edges: list[Any], natural: bool) -> Any:
    """Return a face of a curved surface.

    Args:
        surface: its normal points out of the material if `natural`.
        runs: each edge with the surface parameters at its start and end; straight between them.
        edges: the edges in order, counter-clockwise seen from outside.
        natural: see `surface`.
    """
    from OCP.BRep import BRep_Builder
    from OCP.Geom2d import Geom2d_Line
    from OCP.gp import gp_Dir2d, gp_Pnt2d
    from OCP.Precision import Precision
    from OCP.TopLoc import TopLoc_Location
    from OCP.TopoDS import TopoDS_Face

    face, builder, here = TopoDS_Face(), BRep_Builder(), TopLoc_Location()
    near = Precision.Confusion_s()
    builder.MakeFace(face, surface, near)
    for edge, a, b in runs:
        course = Geom2d_Line(gp_Pnt2d(*a), gp_Dir2d(b[0] - a[0], b[1] - a[1]))
        builder.UpdateEdge(edge, course, surface, here, near)
    builder.Add(face, _wire(edges if natural else [e.Reversed() for e in reversed(edges)]))
    return face if natural else face.Reversed()


def _plug(hole: Outline, low: float, high: float) -> tuple[list[Any], Any, Any]:
    """Return the walls of a hole, and its lower and upper wire with the material on their left."""
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Vec

    frame = Frame((0.0, 0.0, low), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), _UP)
    base = plane_face(Region(hole), frame)
    made = BRepPrimAPI_MakePrism(base, gp_Vec(0.0, 0.0, high - low))
    ends = made.FirstShape(), made.LastShape()
    sides = [f.Reversed() for f in _parts(made.Shape(), "FACE") if not any(map(f.IsSame, ends))]
    below, above = (_parts(face.Oriented(base.Orientation()), "WIRE")[0] for face in ends)
    return sides, below.Reversed(), above.Reversed()


def _parts(shape: Any, kind: str) -> list[Any]:
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    cast = {"FACE": TopoDS.Face_s, "WIRE": TopoDS.Wire_s}[kind]
    found, walk = [], TopExp_Explorer(shape, getattr(TopAbs_ShapeEnum, f"TopAbs_{kind}"))
    while walk.More():
        found.append(cast(walk.Current()))
        walk.Next()
    return found
