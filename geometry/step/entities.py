"""Entities of a STEP file -> points, directions, lines and arcs; used by `step_read`."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.step.part21 import Entity, Flag, Reference, StepError
from geometry.tolerance import READ_BACK

Vector = tuple[float, float, float]
#: A direction counts as parallel to an axis when its other components are smaller.
PARALLEL = 1e-9


@dataclass(frozen=True)
class Cylinder:
    """A cylindrical face: radius in mm, a point of its axis, and the direction of the axis."""

    radius: float
    point: Vector
    direction: Vector

    @property
    def about_z(self) -> bool:
        """Whether its axis is the z axis."""
        return (
            math.hypot(*self.direction[:2]) < PARALLEL and math.hypot(*self.point[:2]) < READ_BACK
        )


def is_true(flag: str) -> bool:
    """Return whether a Part 21 flag is .T."""
    return flag == "T"


class StepGeometry:
    """Follows references and turns entities into geometry, each vertex once.

    Lengths are in the unit of the file. Every method raises StepError where an entity is missing,
    of another kind, or lacks what it needs.
    """

    def __init__(self, entities: dict[int, Entity]) -> None:
        """Take the entities of one file by number."""
        self.entities = entities
        self._vertices: dict[int, Vector] = {}

    def entity(self, number: int, *kinds: str) -> Entity:
        """Return an entity, checked to be one of `kinds` if any are named; StepError if it is not."""
        found = self.entities.get(number)
        if found is None:
            raise StepError(f"#{number} is used but not in the file")
        if kinds and found.kind not in kinds:
            raise StepError(f"{found}: {' or '.join(kinds)} expected here")
        return found

    def point(self, number: int) -> Vector:
        """Return the coordinates of a CARTESIAN_POINT."""
        x, y, z = self.entity(number, "CARTESIAN_POINT").numbers(1, 3, "three coordinates")
        return x, y, z

    def vertex(self, number: int) -> Vector:
        """Return the place of a VERTEX_POINT."""
        found = self._vertices.get(number)
        if found is None:
            vertex = self.entity(number, "VERTEX_POINT")
            found = self._vertices[number] = self.point(vertex.get(1, Reference, "a point"))
        return found

    def direction(self, number: int) -> Vector:
        """Return a DIRECTION as a unit vector; StepError for one of length 0."""
        entity = self.entity(number, "DIRECTION")
        x, y, z = entity.numbers(1, 3, "three components")
        size = math.hypot(x, y, z)
        if size == 0.0:
            raise StepError(f"{entity}: a direction of length 0")
        return x / size + 0.0, y / size + 0.0, z / size + 0.0  # no negative zero

    def placement(self, number: int) -> tuple[Vector, Vector, Vector]:
        """Return origin, axis and x direction of an AXIS2_PLACEMENT_3D with both written out."""
        entity = self.entity(number, "AXIS2_PLACEMENT_3D")
        return (
            self.point(entity.get(1, Reference, "a point")),
            self.direction(entity.get(2, Reference, "an axis")),
            self.direction(entity.get(3, Reference, "a reference direction")),
        )

    def cylinder(self, surface: Entity) -> Cylinder:
        """Return a CYLINDRICAL_SURFACE."""
        spot, axis, _ = self.placement(surface.get(1, Reference, "a placement"))
        return Cylinder(surface.get(2, float, "a radius"), spot, axis)

    def curve(self, edge: Entity) -> Entity:
        """Return the curve in space of an EDGE_CURVE."""
        curve = self.entity(edge.get(3, Reference, "a curve"))
        if curve.kind in ("SURFACE_CURVE", "SEAM_CURVE"):
            curve = self.entity(curve.get(1, Reference, "a curve"))
        return curve

    def loop(self, number: int, up: bool) -> Outline:
        """Return the outline of one bound of a flat face, material to the left seen from +z.

        Raises StepError for edges that make no loop.
        """
        bound = self.entity(number, "FACE_BOUND", "FACE_OUTER_BOUND")
        edge_loop = self.entity(bound.get(1, Reference, "a loop"), "EDGE_LOOP")
        segments: list[Segment] = []
        try:
            for k in edge_loop.references(1, "a list of edges"):
                segments.extend(self.segments(self.entity(k, "ORIENTED_EDGE")))
            outline = Outline(tuple(segments))
        except GeometryError as error:
            raise StepError(f"{edge_loop}: {error}") from error
        forward = is_true(bound.get(2, Flag, ".T. or .F."))
        return outline if forward == up else outline.reversed()

    def segments(self, oriented: Entity) -> tuple[Segment, ...]:
        """Return the line or arc of an ORIENTED_EDGE; a full circle as two half turns.

        Raises StepError for another kind of curve.
        """
        edge = self.entity(oriented.get(3, Reference, "an edge"), "EDGE_CURVE")
        forward = is_true(oriented.get(4, Flag, ".T. or .F."))
        ends = edge.get(1, Reference, "a vertex"), edge.get(2, Reference, "a vertex")
        a, b = (Point(*self.vertex(v)[:2]) for v in (ends if forward else ends[::-1]))
        curve = self.curve(edge)
        if curve.kind == "LINE":
            return (Line(a, b),)
        if curve.kind != "CIRCLE":
            raise StepError(f"{curve}: a line or a circle expected")
        spot, axis, _ = self.placement(curve.get(1, Reference, "a placement"))
        center, same = Point(*spot[:2]), is_true(edge.get(4, Flag, ".T. or .F."))
        ccw = (axis[2] > 0) == (same == forward)
        if ends[0] != ends[1]:
            return (Arc(a, b, center, ccw),)
        across = center.times(2).minus(a)
        return Arc(a, across, center, ccw), Arc(across, a, center, ccw)

    def far_points(self, circle: Entity, first: int, last: int) -> Iterable[Vector]:
        """Return the points of an arc where it is farthest along x, y or z."""
        spot, axis, x = self.placement(circle.get(1, Reference, "a placement"))
        radius: float = circle.get(2, float, "a radius")
        y = (
            axis[1] * x[2] - axis[2] * x[1],
            axis[2] * x[0] - axis[0] * x[2],
            axis[0] * x[1] - axis[1] * x[0],
        )

        def turn(number: int) -> float:
            rel = [p - c for p, c in zip(self.vertex(number), spot, strict=True)]
            along = sum(r * v for r, v in zip(rel, x, strict=True))
            up = sum(r * v for r, v in zip(rel, y, strict=True))
            return math.atan2(up, along)

        start = turn(first)
        sweep = (turn(last) - start) % (2 * math.pi) if first != last else 2 * math.pi
        for k in range(3):
            if math.hypot(x[k], y[k]) < PARALLEL:
                continue
            for far in (math.atan2(y[k], x[k]), math.atan2(-y[k], -x[k])):
                if (far - start) % (2 * math.pi) <= sweep:
                    c, s = radius * math.cos(far), radius * math.sin(far)
                    yield (
                        spot[0] + c * x[0] + s * y[0],
                        spot[1] + c * x[1] + s * y[1],
                        spot[2] + c * x[2] + s * y[2],
                    )
