"""Round mouth of a slot or hole in a kernel shape: a rolling ball, which no line and arc can draw."""

from __future__ import annotations

import math
from typing import Any

from geometry.errors import GeometryError
from geometry.solid.body import Turned
from geometry.solid.cut import RadialHole, RadialSlot

Spot = tuple[float, float, float]
#: A point that the kernel computed counts as lying on a surface within this much, mm.
_ON_SURFACE = 1e-4


def round_mouth(shape: Any, cut: RadialSlot | RadialHole, base: Turned) -> Any:
    """Return the kernel's shape with the outer edge of a slot or hole rounded.

    Raises:
        GeometryError: the kernel finds no edge there, or cannot round it; says where.
    """
    from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
    from OCP.Standard import Standard_Failure

    edges = [edge for edge, spot in _edge_middles(shape) if _on_mouth(spot, cut, base)]
    made = BRepFilletAPI_MakeFillet(shape)
    try:
        for edge in edges:
            made.Add(cut.mouth_radius, edge)
        made.Build()
        done = bool(edges) and made.IsDone()
    except Standard_Failure:
        done = False
    if not done:
        raise GeometryError(
            f"the mouth from z = {cut.z_range[0]:.6g} to {cut.z_range[1]:.6g} mm cannot be rounded",
            where=(cut.z_range[0], 0.0),
            value=cut.mouth_radius,
            hint="use a smaller mouth radius, and keep the slot clear of steps and other cuts",
        )
    return made.Shape()


def _edge_middles(shape: Any) -> list[tuple[Any, Spot]]:
    """Return every edge once, in the order of the shape, with its middle point."""
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp
    from OCP.TopoDS import TopoDS
    from OCP.TopTools import TopTools_IndexedMapOfShape

    edges = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(shape, TopAbs_ShapeEnum.TopAbs_EDGE, edges)
    found: list[tuple[Any, Spot]] = []
    for k in range(1, edges.Size() + 1):
        curve = BRepAdaptor_Curve(TopoDS.Edge_s(edges.FindKey(k)))
        spot = curve.Value((curve.FirstParameter() + curve.LastParameter()) / 2)
        found.append((TopoDS.Edge_s(edges.FindKey(k)), (spot.X(), spot.Y(), spot.Z())))
    return found


def _on_mouth(spot: Spot, cut: RadialSlot | RadialHole, base: Turned) -> bool:
    """Tell whether a point lies on the wall of the cut and on the outside of the body."""
    x, y, z = spot
    c, s = math.cos(cut.angle), math.sin(cut.angle)
    side, out = x * s - y * c, x * c + y * s
    if out <= 0 and not cut.both_walls:
        return False
    z0, z1 = cut.z_range
    half = (cut.width if isinstance(cut, RadialSlot) else cut.diameter) / 2
    from_spine = math.hypot(z - min(max(z, z0 + half), z1 - half), side)
    outside = base.reach(z0, z1)[1]  # one cylinder: `Solid` has checked it
    return abs(from_spine - half) < _ON_SURFACE and abs(math.hypot(x, y) - outside) < _ON_SURFACE
