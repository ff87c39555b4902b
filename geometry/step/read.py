"""Read back a STEP file with plain text means, no kernel, to compare it with the design.

`read_step` lists what is in the file; `planar_loops` rebuilds exact outlines of a flat face.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from geometry.outline import Outline
from geometry.step.entities import PARALLEL, Cylinder, StepGeometry, Vector, is_true
from geometry.step.part21 import Entity, Flag, Reference, StepError, Typed, read_entities
from geometry.tolerance import READ_BACK

__all__ = ["Cylinder", "StepContent", "StepError", "planar_loops", "read_step"]

Box3 = tuple[float, float, float, float, float, float]


@dataclass(frozen=True)
class StepContent:
    """What a STEP file holds; lengths in the unit of the file.

    Args:
        schema: name of the schema, with its version if the file states it.
        length_unit: "mm", "cm", "m", "um", "inch" or the name that the file gives.
        product_names: names of all products.
        solids: number of solids (MANIFOLD_SOLID_BREP).
        shells: number of closed shells.
        faces: number of faces by type of surface, as "PLANE", "CYLINDRICAL_SURFACE", ...
        edges: number of edges.
        box: (x min, y min, z min, x max, y max, z max) of all corners and circular edges.
        cylinders: every cylindrical face.
        entities: the entities by number, for `planar_loops`.
    """

    schema: str
    length_unit: str
    product_names: tuple[str, ...]
    solids: int
    shells: int
    faces: dict[str, int]
    edges: int
    box: Box3
    cylinders: tuple[Cylinder, ...]
    entities: dict[int, Entity] = field(repr=False, compare=False)

    @property
    def solid_names(self) -> tuple[str, ...]:
        """Names of all solids, in the order of the file."""
        bodies = (e for e in self.entities.values() if e.kind == "MANIFOLD_SOLID_BREP")
        return tuple(str(e.get(0, str, "a name")) for e in bodies)


def read_step(data: bytes) -> StepContent:
    """List the content of a STEP file.

    Raises:
        StepError: not STEP, damaged, cut short, or an entity that lacks what it needs.
    """
    header, entities = read_entities(data)
    reader = StepGeometry(entities)
    by_kind: dict[str, list[Entity]] = {}
    for entity in entities.values():
        by_kind.setdefault(entity.kind, []).append(entity)
    faces = [
        reader.entity(face.get(2, Reference, "a surface"))
        for face in by_kind.get("ADVANCED_FACE", [])
    ]
    return StepContent(
        schema=_schema(header),
        length_unit=_length_unit(reader, by_kind.get("", [])),
        product_names=tuple(
            str(p.get(1, str, "a product name")) for p in by_kind.get("PRODUCT", [])
        ),
        solids=len(by_kind.get("MANIFOLD_SOLID_BREP", [])),
        shells=len(by_kind.get("CLOSED_SHELL", [])),
        faces=dict(sorted(Counter(_surface_type(s) for s in faces).items())),
        edges=len(by_kind.get("EDGE_CURVE", [])),
        box=_box(reader, by_kind.get("EDGE_CURVE", [])),
        cylinders=tuple(reader.cylinder(s) for s in faces if s.kind == "CYLINDRICAL_SURFACE"),
        entities=entities,
    )


def planar_loops(content: StepContent, z: float) -> list[Outline]:
    """Rebuild the loops of the flat faces that lie across the z axis at height `z` (mm).

    Returns:
        Exact outlines, largest area first; outer loops counter-clockwise, holes clockwise.

    Raises:
        StepError: no such face, a unit other than mm, a loop that is open, or an edge that is
            neither a line nor a circle.
    """
    if content.length_unit != "mm":
        raise StepError(f"the file is in {content.length_unit}; mm expected")
    reader = StepGeometry(content.entities)
    loops: list[Outline] = []
    heights: list[float] = []
    for face in content.entities.values():
        if face.kind != "ADVANCED_FACE":
            continue
        surface = reader.entity(face.get(2, Reference, "a surface"))
        if surface.kind != "PLANE":
            continue
        spot, normal = reader.placement(surface.get(1, Reference, "a placement"))[:2]
        if math.hypot(normal[0], normal[1]) > PARALLEL:
            continue
        heights.append(spot[2])
        if abs(spot[2] - z) <= READ_BACK:
            up = (normal[2] > 0) == is_true(face.get(3, Flag, ".T. or .F."))
            loops.extend(reader.loop(bound, up) for bound in face.references(1, "a list of bounds"))
    if not loops:
        known = ", ".join(f"{h:.6g}" for h in sorted(set(heights))) or "no height at all"
        raise StepError(f"no flat face at z = {z:.6g} mm; there are some at {known}")
    return sorted(loops, key=lambda loop: -loop.area)


def _surface_type(surface: Entity) -> str:
    """Return the type of a surface; a rational spline is a complex entity of several parts."""
    if surface.kind:
        return surface.kind
    splines = (name for name in _parts(surface) if name.startswith("B_SPLINE_SURFACE"))
    return next(splines, "complex entity")


def _schema(header: list[Entity]) -> str:
    for entity in header:
        if entity.kind == "FILE_SCHEMA":
            return str((entity.get(0, list, "a list of schemas") or [""])[0])
    raise StepError("the header names no schema")


def _length_unit(reader: StepGeometry, complex_entities: list[Entity]) -> str:
    """Return the length unit of the first context that assigns units."""
    for context in complex_entities:
        units = _parts(context).get("GLOBAL_UNIT_ASSIGNED_CONTEXT", [None])[0]
        for number in units if isinstance(units, list) else []:
            if isinstance(number, Reference):
                parts = _parts(reader.entity(number))
                if "LENGTH_UNIT" in parts:
                    return _unit_name(parts)
    raise StepError("the file names no length unit")


def _parts(entity: Entity) -> dict[str, list[Any]]:
    """Return the parts of a complex entity by name, none without at least one value."""
    named = (v for v in entity.arguments if isinstance(v, Typed))
    return {name: values or [None] for name, values in named}


def _unit_name(parts: dict[str, list[Any]]) -> str:
    if "CONVERSION_BASED_UNIT" in parts:
        return str(parts["CONVERSION_BASED_UNIT"][0]).lower()
    words = [str(v or "") for v in parts.get("SI_UNIT", [])]
    if len(words) != 2:
        raise StepError("the length unit has no name")
    prefix, unit = words
    short = {"": "", "MILLI": "m", "CENTI": "c", "MICRO": "u"}.get(prefix, prefix.lower() + " ")
    return short + ("m" if unit == "METRE" else unit.lower())


def _box(reader: StepGeometry, edges: list[Entity]) -> Box3:
    """Return the box of all edges: ends, and the far points of circles."""
    spots: list[Vector] = []
    for edge in edges:
        a = edge.get(1, Reference, "a vertex")
        b = edge.get(2, Reference, "a vertex")
        spots += (reader.vertex(a), reader.vertex(b))
        curve = reader.curve(edge)
        if curve.kind == "CIRCLE":
            same = is_true(edge.get(4, Flag, ".T. or .F."))
            first, last = (a, b) if same else (b, a)
            spots.extend(reader.far_points(curve, first, last))
    if not spots:
        raise StepError("the file holds no edges")
    (x0, y0, z0), (x1, y1, z1) = (
        tuple(pick(c) for c in zip(*spots, strict=True)) for pick in (min, max)
    )
    return x0, y0, z0, x1, y1, z1
