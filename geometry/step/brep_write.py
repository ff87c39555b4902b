"""Solid -> kernel shape, built edge by edge with shared corners; used by `step_write` only.

Each loop becomes one wire whose edges share their corner vertices, so nothing is sewn or
repaired. A loop that is one circle becomes one circle edge, hence one true cylinder.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Any

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc
from geometry.solid.assembly import Assembly
from geometry.solid.blind_slot import BlindSlot
from geometry.solid.body import Extruded, Solid, Turned
from geometry.solid.cut import Cut, Flat, RadialHole, RadialSlot
from geometry.solid.rounded import Rounded
from geometry.step.brep_mouth import round_mouth
from geometry.tolerance import SAME_PLACE

Vector = tuple[float, float, float]
#: What can become a solid.
Body = Solid | Extruded | Turned | Rounded | Assembly
#: How far a cutting body reaches past the body that it cuts, mm.
_PAST = 1.0


@dataclass(frozen=True)
class Frame:
    """A plane in space: `x`, `y` and `normal` are unit vectors, x cross y = normal."""

    origin: Vector
    x: Vector
    y: Vector
    normal: Vector

    def at(self, p: Point) -> Vector:
        """Return the place in space of a point of the plane."""
        (ox, oy, oz), (ax, ay, az), (bx, by, bz) = self.origin, self.x, self.y
        return ox + p.x * ax + p.y * bx, oy + p.x * ay + p.y * by, oz + p.x * az + p.y * bz


def brep(solid: Body) -> Any:
    """Return the kernel's solid (`TopoDS_Solid`; a `TopoDS_Compound` of them for an assembly).

    Raises:
        GeometryError: the kernel could not make it; says at which edge or cut.
    """
    if isinstance(solid, Extruded):
        frame = Frame((0.0, 0.0, solid.z0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
        return _prism(solid.region, frame, solid.height)
    if isinstance(solid, Turned):
        return _revolution(solid, 0.0)
    if isinstance(solid, Rounded):
        from geometry.step.brep_round import rounded_shape

        return _checked(rounded_shape(solid))
    if isinstance(solid, Assembly):
        return _compound(solid)
    if not isinstance(solid.base, Turned):
        return brep(solid.base)
    shape = _revolution(solid.base, _seam_angle([cut.angle for cut in solid.cuts]))
    for cut in solid.cuts:
        shape = _cut(shape, _tool(cut, solid.base), type(cut).__name__, cut.z_range)
    for cut in solid.cuts:
        if isinstance(cut, RadialSlot | RadialHole) and cut.mouth_radius > 0:
            shape = _only_solid(round_mouth(shape, cut, solid.base), "rounded mouth")
    return _checked(shape) if solid.cuts else shape


def _compound(assembly: Assembly) -> Any:
    """Return the bodies of an assembly side by side, in order."""
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Compound

    compound, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(compound)
    for _, body in assembly.items:
        builder.Add(compound, brep(body))
    return compound


def _wire(outline: Outline, frame: Frame) -> Any:
    """Return a closed wire with one vertex for each corner, travelled as the outline is."""
    from OCP.BRep import BRep_Builder
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeVertex
    from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt
    from OCP.TopoDS import TopoDS_Wire

    def circle(center: Point, radius: float, ccw: bool) -> Any:
        normal = frame.normal if ccw else tuple(-v for v in frame.normal)
        place = gp_Ax2(gp_Pnt(*frame.at(center)), gp_Dir(*normal), gp_Dir(*frame.x))
        return gp_Circ(place, radius)

    wire, builder = TopoDS_Wire(), BRep_Builder()
    builder.MakeWire(wire)
    whole = outline.as_circle()
    if whole:
        builder.Add(wire, BRepBuilderAPI_MakeEdge(circle(*whole, outline.ccw)).Edge())
    else:
        corner = {
            p: BRepBuilderAPI_MakeVertex(gp_Pnt(*frame.at(p))).Vertex() for p in outline.points
        }
        for s in outline.segments:
            ends = corner[s.start], corner[s.end]
            if isinstance(s, Arc):
                radius = (s.radius + s.end.distance(s.center)) / 2
                made = BRepBuilderAPI_MakeEdge(circle(s.center, radius, s.ccw), *ends)
            else:
                made = BRepBuilderAPI_MakeEdge(*ends)
            if not made.IsDone():
                raise GeometryError(
                    f"the kernel refuses an edge {s.length:.3g} mm long",
                    where=s.start,
                    value=s.length,
                    hint="look for a sliver in the drawing",
                )
            builder.Add(wire, made.Edge())
    wire.Closed(True)
    return wire


def plane_face(region: Region, frame: Frame) -> Any:
    """Return the plane face: holes as inner wires, material to the left of every wire."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.gp import gp_Ax3, gp_Dir, gp_Pln, gp_Pnt

    plane = gp_Pln(gp_Ax3(gp_Pnt(*frame.origin), gp_Dir(*frame.normal), gp_Dir(*frame.x)))
    made = BRepBuilderAPI_MakeFace(plane, _wire(region.outer, frame), False)
    for hole in region.holes:
        made.Add(_wire(hole, frame))
    return made.Face()


def _prism(region: Region, frame: Frame, height: float) -> Any:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Vec

    way = gp_Vec(*(height * v for v in frame.normal))
    return _only_solid(BRepPrimAPI_MakePrism(plane_face(region, frame), way).Shape(), "prism")


def _revolution(body: Turned, seam: float) -> Any:
    """Turn the profile about z, starting from the half plane at angle `seam`."""
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt

    c, s = math.cos(seam), math.sin(seam)
    frame = Frame((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (c, s, 0.0), (-s, c, 0.0))
    axis = gp_Ax1(gp_Pnt(0.0, 0.0, 0.0), gp_Dir(0.0, 0.0, 1.0))
    made = BRepPrimAPI_MakeRevol(plane_face(Region(body.profile), frame), axis)
    return _only_solid(made.Shape(), "turned body")


def _seam_angle(angles: list[float]) -> float:
    """Return the direction farthest from all cuts: a seam through a cut would split its edges."""
    if not angles:
        return 0.0
    turns = sorted(a % (2 * math.pi) for a in angles)
    gaps = [(b - a, a) for a, b in itertools.pairwise([*turns, turns[0] + 2 * math.pi])]
    width, start = max(gaps, key=lambda gap: (round(gap[0], 9), -gap[1]))
    return start + width / 2


def _outward(angle: float, start: float) -> Frame:
    """Return the plane across direction `angle`, `start` mm from the axis; x along the axis."""
    c, s = math.cos(angle), math.sin(angle)
    return Frame((start * c, start * s, 0.0), (0.0, 0.0, 1.0), (s, -c, 0.0), (c, s, 0.0))


def _tool(cut: Cut, base: Turned) -> Any:
    """Return the body that a cut takes away."""
    if isinstance(cut, Flat):
        return _flat_tool(cut, base)
    if isinstance(cut, BlindSlot):
        reach = base.largest_radius + _PAST - cut.floor
        return _prism(Region(cut.footprint), _outward(cut.angle, cut.floor), reach)
    return _wall_tool(cut, base)


def _wall_tool(cut: RadialSlot | RadialHole, base: Turned) -> Any:
    """Return the body of a slot or hole: from the axis (or the far side) out past the wall."""
    reach = base.largest_radius + _PAST
    start = -reach if cut.both_walls else 0.0
    return _prism(Region(cut.footprint), _outward(cut.angle, start), reach - start)


def _flat_tool(cut: Flat, base: Turned) -> Any:
    """Return the block that a flat takes away, past the end of the body if it is flush."""
    reach = base.largest_radius + _PAST
    (z0, z1), (low, high) = cut.z_range, base.z_range
    z0 = z0 - _PAST if z0 <= low + SAME_PLACE else z0
    z1 = z1 + _PAST if z1 >= high - SAME_PLACE else z1
    block = Outline.rectangle(z1 - z0, 2 * reach, Point((z0 + z1) / 2, 0.0))
    distance = cut.distance_from_axis
    return _prism(Region(block), _outward(cut.angle, distance), reach - distance)


def _cut(shape: Any, tool: Any, what: str, z_range: tuple[float, float]) -> Any:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut

    made = BRepAlgoAPI_Cut(shape, tool)
    place = f"{what} from z = {z_range[0]:.6g} to {z_range[1]:.6g} mm"
    if not made.IsDone():
        raise GeometryError(f"the kernel could not cut the {place}")
    return _only_solid(made.Shape(), place)


def _checked(shape: Any) -> Any:
    """Return the shape if the kernel's own check finds it sound; nothing is repaired."""
    from OCP.BRepCheck import BRepCheck_Analyzer

    _project(shape)
    if not BRepCheck_Analyzer(shape).IsValid():
        raise GeometryError(
            "the cuts leave a body that is not sound", hint="move cuts that nearly touch apart"
        )
    return shape


def _project(shape: Any) -> None:
    """Tell each edge where it runs on its planes: check and mesh would work that out many times."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.BRepLib import BRepLib
    from OCP.GeomAbs import GeomAbs_SurfaceType
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    faces = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while faces.More():
        face = TopoDS.Face_s(faces.Current())
        if BRepAdaptor_Surface(face, False).GetType() == GeomAbs_SurfaceType.GeomAbs_Plane:
            edges = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_EDGE)
            while edges.More():
                BRepLib.BuildPCurveForEdgeOnPlane_s(TopoDS.Edge_s(edges.Current()), face)
                edges.Next()
        faces.Next()


def _only_solid(shape: Any, what: str) -> Any:
    """Return the one solid in a kernel shape."""
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    found = []
    walk = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_SOLID)
    while walk.More():
        found.append(TopoDS.Solid_s(walk.Current()))
        walk.Next()
    if len(found) != 1:
        raise GeometryError(f"the {what} leaves {len(found)} separate bodies instead of one")
    return found[0]
