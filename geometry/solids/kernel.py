"""Body -> cadquery shape, from the same lines and arcs as the drawings.

No kernel fillet on an outline, no boolean operation on an extruded or filleted body. A loop that is
one circle becomes one circular edge, hence one true cylinder.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from operator import itemgetter
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Segment
from geometry.solids import Body
from geometry.solids.bodies import Assembly, Extruded, Revolved
from geometry.solids.cuts import BlindSlot, Cut, Flat, Machined, RadialSlot
from geometry.solids.drilled import Drilled
from geometry.solids.filleted import Filleted
from geometry.tolerance import SAME_PLACE

if TYPE_CHECKING:
    import cadquery as cq

#: How far a cutting body reaches past the body that it cuts, mm.
_PAST = 1.0
#: A point that the kernel computed counts as lying on a surface within this much, mm.
_ON_SURFACE = 1e-4
#: The kernel takes two points nearer than this for one, mm.
_ONE_POINT = 1e-7


def build(body: Body) -> cq.Solid | cq.Assembly:
    """Return the body as cadquery knows it; of an assembly each solid by name.

    Raises:
        GeometryError: the kernel could not make it; says at which edge or cut.
    """
    import cadquery as cq

    if isinstance(body, Assembly):
        assembly = cq.Assembly()
        for name, item in body.items:
            assembly.add(build(item), name=name)
        return assembly
    if isinstance(body, Extruded):
        return _prism(body.region, body.height).moved(cq.Location(0.0, 0.0, body.z0))
    if isinstance(body, Revolved):
        return _revolved(body, 0.0)
    if isinstance(body, Drilled):
        return _drilled(body)
    return _filleted(body) if isinstance(body, Filleted) else _machined(body)


def _edge(s: Segment, z: float = 0.0) -> cq.Edge:
    """Return a line or arc at height z; its sense of travel is left to the wire."""
    import cadquery as cq

    if s.length < _ONE_POINT:
        raise GeometryError(
            f"the kernel refuses an edge {s.length:.3g} mm long",
            where=s.start,
            value=s.length,
            hint="look for a sliver in the drawing",
        )
    if not isinstance(s, Arc):
        return cq.Edge.makeLine((*s.start, z), (*s.end, z))
    ends = (s.start, s.end) if s.ccw else (s.end, s.start)
    spokes = [end.minus(s.center) for end in ends]
    first, last = (math.degrees(math.atan2(spoke.y, spoke.x)) for spoke in spokes)
    radius = (spokes[0].length() + spokes[1].length()) / 2
    return cq.Edge.makeCircle(radius, (*s.center, z), (0.0, 0.0, 1.0), first, last)


def _wire(segments: Iterable[Segment], z: float = 0.0) -> cq.Wire:
    import cadquery as cq

    return cq.Wire.assembleEdges([_edge(s, z) for s in segments])


def _loop(outline: Outline, z: float = 0.0) -> cq.Wire:
    import cadquery as cq

    circle = outline.as_circle()
    if circle is None:
        return _wire(outline.segments, z)
    center, radius = circle
    return cq.Wire.makeCircle(radius, (*center, z), (0.0, 0.0, 1.0))


def _face(outer: cq.Wire, holes: list[cq.Wire]) -> cq.Face:
    """Return the flat face; cadquery finds one for every wire, and answers with the first."""
    from cadquery.func import face

    found = face(outer, *holes)
    if len(found.innerWires()) != len(holes):
        raise GeometryError("the kernel makes another face of these loops")
    return found


def _prism(region: Region, height: float) -> cq.Solid:
    from cadquery.func import extrude

    holes = [_loop(hole) for hole in region.holes]
    return extrude(_face(_loop(region.outer), holes), (0.0, 0.0, height))


def _revolved(body: Revolved, seam: float) -> cq.Solid:
    """Revolve the profile about z, starting from the half plane at angle `seam`."""
    import cadquery as cq
    from cadquery.func import revolve

    half_plane = cq.Plane((0, 0, 0), (0, 0, 1), (-math.sin(seam), math.cos(seam), 0.0))
    profile = _face(_loop(body.profile), []).moved(cq.Location(half_plane))
    return revolve(profile, (0, 0, 0), (0, 0, 1))


def _machined(body: Machined) -> cq.Solid:
    shape = _revolved(body.base, _seam_angle([cut.angle for cut in body.cuts] or [math.pi]))
    for cut in body.cuts:
        solids = shape.cut(_tool(cut, body.base)).Solids()
        if len(solids) != 1:
            raise GeometryError(
                f"the {type(cut).__name__} from z = {cut.z_range[0]:.6g} to {cut.z_range[1]:.6g} mm "
                f"leaves {len(solids)} separate bodies instead of one"
            )
        (shape,) = solids
    for cut in body.cuts:
        if isinstance(cut, RadialSlot) and cut.edge_radius > 0:
            shape = _rounded_edge(shape, cut, body.base)
    if not shape.isValid():
        raise GeometryError(
            "the cuts leave a body that is not sound", hint="move cuts that nearly touch apart"
        )
    return shape


def _drilled(body: Drilled) -> cq.Solid:
    """Revolve the base and take the holes out of it, its seam clear of them."""
    import cadquery as cq

    angles = [hole.center.angle() for hole in body.holes]
    shape = _revolved(body.base, _seam_angle(angles or [math.pi]))
    low, high = body.z_range
    for hole in body.holes:
        start, end = hole.ends or (low, high)
        start -= _PAST if start <= low + SAME_PLACE else 0.0
        end += _PAST if end >= high - SAME_PLACE else 0.0
        tool = cq.Solid.makeCylinder(hole.radius, end - start, cq.Vector(*hole.center, start))
        (shape,) = shape.cut(tool).Solids()
    if not shape.isValid() or not math.isclose(shape.Volume(), body.volume, rel_tol=1e-9):
        raise GeometryError("the holes leave a body that is not sound")
    return shape


def _seam_angle(angles: list[float]) -> float:
    """Return the direction farthest from all cuts: a seam through a cut would split its edges."""
    turns = sorted(a % (2 * math.pi) for a in angles)
    gaps = [(b - a, a) for a, b in itertools.pairwise([*turns, turns[0] + 2 * math.pi])]
    width, start = max(gaps, key=lambda gap: (round(gap[0], 9), -gap[1]))
    return start + width / 2


def _tool(cut: Cut, base: Revolved) -> cq.Solid:
    """Return the body that a cut takes away, past the outside of `base`."""
    import cadquery as cq

    reach = base.profile.box[3] + _PAST
    if isinstance(cut, Flat):  # past the end of the body if it is flush
        start, (z0, z1), (low, high) = cut.distance_from_axis, cut.z_range, base.z_range
        z0 = z0 - _PAST if z0 <= low + SAME_PLACE else z0
        z1 = z1 + _PAST if z1 >= high - SAME_PLACE else z1
        shape = Outline.rectangle(z1 - z0, 2 * reach, Point((z0 + z1) / 2, 0.0))
    else:
        shape = cut.footprint
        start = cut.floor if isinstance(cut, BlindSlot) else 0.0
    c, s = math.cos(cut.angle), math.sin(cut.angle)
    across = cq.Plane((start * c, start * s, 0.0), (0.0, 0.0, 1.0), (c, s, 0.0))
    return _prism(Region(shape), reach - start).moved(cq.Location(across))


def _rounded_edge(shape: cq.Solid, cut: RadialSlot, base: Revolved) -> cq.Solid:
    """Round the outer edge of a slot: a rolling ball, which no line and arc can draw."""
    from OCP.Standard import Standard_Failure

    c, s, half = math.cos(cut.angle), math.sin(cut.angle), cut.width / 2
    outside = base.reach(*cut.z_range)[1]  # one cylinder: `Machined` has checked it

    def on_edge(edge: cq.Edge) -> bool:  # on the wall of the cut and on the outside of the body
        x, y, z = edge.positionAt(0.5, mode="parameter").toTuple()
        end = min(max(z, cut.z_start + half), cut.z_end - half)
        off_wall = abs(math.hypot(z - end, x * s - y * c) - half)
        off_outside = abs(math.hypot(x, y) - outside)
        return x * c + y * s > 0 and max(off_wall, off_outside) < _ON_SURFACE

    edges = [edge for edge in shape.Edges() if on_edge(edge)]
    try:
        solids = shape.fillet(cut.edge_radius, edges).Solids() if edges else []
    except Standard_Failure:
        solids = []
    if len(solids) != 1:
        raise GeometryError(
            f"the mouth from z = {cut.z_start:.6g} to {cut.z_end:.6g} mm cannot be rounded",
            where=(cut.z_start, 0.0),
            value=cut.edge_radius,
            hint="use a smaller mouth radius, and keep the slot clear of steps and other cuts",
        )
    return solids[0]


def _filleted(body: Filleted) -> cq.Solid:
    """Return the body of exact faces: two flat ones, walls, fillets and stops, sewn.

    Edges that two faces share are computed from the same numbers, far nearer than sewing asks for.
    """
    from cadquery.func import extrude, revolve, solid

    (low, high), edge, holes = body.z_range, body.edge, body.base.region.holes
    outer = {low: edge.segments, high: edge.top.segments}
    faces = [
        _face(_wire(segments, z), [_loop(hole, z) for hole in holes])
        for z, segments in outer.items()
    ]
    for hole in holes:
        faces += extrude(_loop(hole, low), (0.0, 0.0, high - low)).Faces()
    for radius, run in itertools.groupby(
        zip(edge.radii, edge.segments, strict=True), itemgetter(0)
    ):
        wall = high - radius - low
        if wall > SAME_PLACE:
            faces += extrude(_wire([s for _, s in run], low), (0.0, 0.0, wall)).Faces()
    for k, (s, inner, radius) in enumerate(zip(edge.segments, edge.inner, edge.radii, strict=True)):
        if not radius:
            continue
        quarter = _quarter(s.start, inner.start, high, radius)
        if isinstance(s, Arc):
            axis = (*s.center, 0.0)
            faces.append(revolve(quarter, axis, (0.0, 0.0, 1.0), math.degrees(s.sweep)))
        else:
            faces.append(extrude(quarter, (*s.end.minus(s.start), 0.0)))
        stops = [(s.start, inner.start)] * (not edge.joined[k - 1])
        stops += [(s.end, inner.end)] * (not edge.joined[k])
        faces += [_stop(outside, inside, high, radius) for outside, inside in stops]
    made = solid(*faces)
    if made.ShapeType() != "Solid" or not math.isclose(made.Volume(), body.volume, rel_tol=1e-9):
        raise GeometryError("the faces of the filleted body do not close")
    return made


def _quarter(outside: Point, inside: Point, high: float, radius: float) -> cq.Edge:
    """Return the quarter arc across a fillet, from its wall up to the upper face."""
    import cadquery as cq

    half = math.sqrt(0.5)
    middle = inside.plus(outside.minus(inside), half)
    return cq.Edge.makeThreePointArc(
        (*outside, high - radius), (*middle, high - radius + half * radius), (*inside, high)
    )


def _stop(outside: Point, inside: Point, high: float, radius: float) -> cq.Face:
    """Return the flat wall across the end of a fillet."""
    import cadquery as cq

    foot, corner, top = (*outside, high - radius), (*outside, high), (*inside, high)
    sides = [cq.Edge.makeLine(foot, corner), cq.Edge.makeLine(corner, top)]
    return _face(cq.Wire.assembleEdges([*sides, _quarter(outside, inside, high, radius)]), [])
