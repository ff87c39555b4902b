"""Read back a STEP file (ISO 10303-21) with plain text means, no kernel, to compare it with the
design.

`read_step` lists what is in the file; `planar_loops` rebuilds exact outlines of a flat face. The
text is split into entities once; the arguments of one are parsed when somebody asks for them.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.tolerance import READ_BACK

Vector = tuple[float, float, float]
#: A direction counts as parallel to an axis when its other components are smaller.
_PARALLEL = 1e-9

_STRING = r"'(?:[^']|'')*+'"
#: From the first parenthesis up to the semicolon; strings and comments are taken whole.
_BODY = rf"\((?:[^;'/]++|{_STRING}|/\*.*?\*/|/)*+"
_SPACE = re.compile(r"(?:\s++|/\*.*?\*/)*+", re.DOTALL)
_ENTITY = re.compile(rf"#(\d{{1,18}})\s*+=\s*+([A-Z0-9_]*+)\s*+({_BODY});\s*+", re.DOTALL)
_HEADER = re.compile(rf"([A-Z0-9_]++)\s*+({_BODY});\s*+", re.DOTALL)
_ATOM = rf"#\d{{1,18}}|[-+]?\d+\.?\d*(?:E[-+]?\d+)?|{_STRING}|\.[A-Z0-9_]+\.|[$*]"
_ATOMS = re.compile(_ATOM)
#: One argument, with the comma or the end after it: a plain value, or a list of plain values.
_ARGUMENT = re.compile(
    rf"\s*+(?:({_ATOM})|\(((?:\s*+(?:{_ATOM})\s*+(?:,|(?=\))))*+)\))\s*+(?:,(?!\Z)|\Z)"
)
_CODE = re.compile(r"\\X2\\([0-9A-F]*)\\X0\\|\\X4\\([0-9A-F]*)\\X0\\|\\X\\([0-9A-F]{2})|\\\\|''")
_SI_LENGTH = re.compile(r"SI_UNIT\s*\(\s*(?:\.([A-Z]+)\.|[$*])\s*,\s*\.([A-Z]+)\.\s*\)")


class StepError(ValueError):
    """A STEP file that cannot be read: says where and what was expected."""


class Reference(int):
    """The number of another entity."""


class Flag(str):
    """An enumeration value without its dots: T, F, ..."""


@dataclass(eq=False)  # made by the ten thousand: frozen would take twice as long
class Entity:
    """One instance of a file: number, type ("" for a complex one) and its text in parentheses."""

    number: int
    kind: str
    text: str

    def __str__(self) -> str:
        """Name the entity as the file does."""
        return f"#{self.number} {self.kind or 'complex entity'}"

    @cached_property
    def arguments(self) -> list[Any]:
        """Every argument: float, str, `Reference`, `Flag`, None ($ or *), or a list of these.

        Raises:
            StepError: it holds something else, such as a list in a list.
        """
        found: list[Any] = []
        at, text = 0, self.text[1:].rstrip()
        if not text.endswith(")"):
            raise StepError(f"{self}: the parentheses do not match")
        text = text[:-1]
        while at < len(text):
            match = _ARGUMENT.match(text, at)
            if not match:
                raise StepError(f"{self}: cannot read {text[at : at + 20]!r}")
            at = match.end()
            atom, atoms = match.groups()
            found.append(
                [_value(a) for a in _ATOMS.findall(atoms)] if atom is None else _value(atom)
            )
        return found

    def get(self, index: int, kind: type[Any], what: str) -> Any:
        """Return argument `index`, checked to be of `kind`.

        Raises:
            StepError: missing or of another kind; names the entity and `what` was expected.
        """
        values = self.arguments
        if index >= len(values) or not isinstance(values[index], kind):
            raise StepError(f"{self}: argument {index + 1} should be {what}")
        return values[index]

    def list_of(self, index: int, kind: type[Any], what: str) -> list[Any]:
        """Return a list argument that holds nothing but `kind`; StepError names another."""
        values: list[Any] = self.get(index, list, what)
        if not all(isinstance(v, kind) for v in values):
            raise StepError(f"{self}: argument {index + 1} should be {what}")
        return values


@dataclass(frozen=True)
class StepContent:
    """What a STEP file holds; lengths in the unit of the file.

    Args:
        schema: name of the schema, with its version if the file states it.
        length_unit: "mm", "cm", "m", "um" or the name that the file gives.
        product_names: names of all products.
        solid_names: names of all solids (MANIFOLD_SOLID_BREP), in the order of the file.
        faces: number of faces by type of surface, as "PLANE", "CYLINDRICAL_SURFACE", ...
        z_range: lowest and highest z of all corners.
        entities: the entities by number, for `planar_loops`.
    """

    schema: str
    length_unit: str
    product_names: tuple[str, ...]
    solid_names: tuple[str, ...]
    faces: dict[str, int]
    z_range: tuple[float, float]
    entities: dict[int, Entity] = field(repr=False, compare=False)


def read_step(data: bytes) -> StepContent:
    """List the content of a STEP file.

    Raises:
        StepError: not STEP, damaged, cut short, or an entity that lacks what it needs.
    """
    header, entities = _split(data)
    schemas = [e.get(0, list, "a list of schemas") for e in header if e.kind == "FILE_SCHEMA"]
    if not schemas or not schemas[0]:
        raise StepError("the header names no schema")
    reader = _Geometry(entities)
    by_kind: dict[str, list[Entity]] = {}
    for entity in entities.values():
        by_kind.setdefault(entity.kind, []).append(entity)
    corners = [reader.vertex(v.number)[2] for v in by_kind.get("VERTEX_POINT", [])]
    for edge in by_kind.get("EDGE_CURVE", []):
        reader.ends(edge)
    if not corners:
        raise StepError("the file holds no edges")
    surfaces = (reader.surface(face) for face in by_kind.get("ADVANCED_FACE", []))
    return StepContent(
        schema=str(schemas[0][0]),
        length_unit=_length_unit(by_kind.get("", [])),
        product_names=_names(by_kind.get("PRODUCT", []), 1),
        solid_names=_names(by_kind.get("MANIFOLD_SOLID_BREP", []), 0),
        faces=dict(sorted(Counter(map(_surface_type, surfaces)).items())),
        z_range=(min(corners), max(corners)),
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
    reader = _Geometry(content.entities)
    loops: list[Outline] = []
    heights: list[float] = []
    for face in content.entities.values():
        if face.kind != "ADVANCED_FACE" or (surface := reader.surface(face)).kind != "PLANE":
            continue
        spot, normal = reader.placement(surface)
        if math.hypot(normal[0], normal[1]) > _PARALLEL:
            continue
        heights.append(spot[2])
        if abs(spot[2] - z) <= READ_BACK:
            up = (normal[2] > 0) == _is_true(face, 3)
            loops += [reader.loop(b, up) for b in face.list_of(1, Reference, "a list of bounds")]
    if not loops:
        known = ", ".join(f"{h:.6g}" for h in sorted(set(heights))) or "no height at all"
        raise StepError(f"no flat face at z = {z:.6g} mm; there are some at {known}")
    return sorted(loops, key=lambda loop: -loop.area)


def decode_text(text: str) -> str:
    """Return the text of a Part 21 string that is still in its quotes.

    Raises:
        StepError: a code that stands for no character.
    """

    def one(match: re.Match[str]) -> str:
        try:
            if match[1] is not None:
                return bytes.fromhex(match[1]).decode("utf-16-be")
            if match[2] is not None:
                return bytes.fromhex(match[2]).decode("utf-32-be")
        except ValueError as error:
            raise StepError(f"the string {text[:40]} holds a wrong code: {error}") from error
        return chr(int(match[3], 16)) if match[3] else match[0][0]

    return _CODE.sub(one, text[1:-1].replace("\r", "").replace("\n", ""))


class _Geometry:
    """Follows references and turns entities into geometry, each vertex once.

    Every method raises StepError where an entity is missing, of another kind, or lacks what it
    needs.
    """

    def __init__(self, entities: dict[int, Entity]) -> None:
        self.entities = entities
        self._vertices: dict[int, Vector] = {}

    def entity(self, number: int, *kinds: str) -> Entity:
        """Return an entity, checked to be one of `kinds` if any are named."""
        found = self.entities.get(number)
        if found is None:
            raise StepError(f"#{number} is used but not in the file")
        if kinds and found.kind not in kinds:
            raise StepError(f"{found}: {' or '.join(kinds)} expected here")
        return found

    def vector(self, number: int, kind: str) -> Vector:
        """Return the coordinates of a CARTESIAN_POINT or the components of a DIRECTION."""
        entity = self.entity(number, kind)
        found = entity.list_of(1, float, "three coordinates")
        if len(found) != 3:
            raise StepError(f"{entity}: argument 2 should be three coordinates")
        return found[0], found[1], found[2]

    def vertex(self, number: int) -> Vector:
        """Return the place of a VERTEX_POINT."""
        found = self._vertices.get(number)
        if found is None:
            point = self.entity(number, "VERTEX_POINT").get(1, Reference, "a point")
            found = self._vertices[number] = self.vector(point, "CARTESIAN_POINT")
        return found

    def ends(self, edge: Entity) -> tuple[Vector, Vector]:
        """Return both ends of an EDGE_CURVE."""
        first, last = (edge.get(k, Reference, "a vertex") for k in (1, 2))
        return self.vertex(first), self.vertex(last)

    def placement(self, placed: Entity) -> tuple[Vector, Vector]:
        """Return origin and axis of a plane or circle."""
        axes = self.entity(placed.get(1, Reference, "a placement"), "AXIS2_PLACEMENT_3D")
        return (
            self.vector(axes.get(1, Reference, "a point"), "CARTESIAN_POINT"),
            self.vector(axes.get(2, Reference, "an axis"), "DIRECTION"),
        )

    def surface(self, face: Entity) -> Entity:
        """Return the surface of an ADVANCED_FACE."""
        return self.entity(face.get(2, Reference, "a surface"))

    def loop(self, number: int, up: bool) -> Outline:
        """Return the outline of one bound of a flat face, material to the left seen from +z."""
        bound = self.entity(number, "FACE_BOUND", "FACE_OUTER_BOUND")
        edges = self.entity(bound.get(1, Reference, "a loop"), "EDGE_LOOP")
        numbers = edges.list_of(1, Reference, "a list of edges")
        try:
            outline = Outline(tuple(s for k in numbers for s in self.segments(k)))
        except GeometryError as error:
            raise StepError(f"{edges}: {error}") from error
        return outline if _is_true(bound, 2) == up else outline.reversed()

    def segments(self, number: int) -> Iterator[Segment]:
        """Yield the line or arc of an ORIENTED_EDGE; a full circle as two half turns."""
        oriented = self.entity(number, "ORIENTED_EDGE")
        edge = self.entity(oriented.get(3, Reference, "an edge"), "EDGE_CURVE")
        forward = _is_true(oriented, 4)
        a, b = (Point(*spot[:2]) for spot in self.ends(edge)[:: 1 if forward else -1])
        curve = self.entity(edge.get(3, Reference, "a curve"))
        if curve.kind in ("SURFACE_CURVE", "SEAM_CURVE"):
            curve = self.entity(curve.get(1, Reference, "a curve"))
        if curve.kind == "LINE":
            yield Line(a, b)
            return
        if curve.kind != "CIRCLE":
            raise StepError(f"{curve}: a line or a circle expected")
        spot, axis = self.placement(curve)
        center = Point(*spot[:2])
        ccw = (axis[2] > 0) == (_is_true(edge, 4) == forward)
        if a != b:
            yield Arc(a, b, center, ccw)
            return
        across = center.times(2).minus(a)
        yield Arc(a, across, center, ccw)
        yield Arc(across, a, center, ccw)


def _split(data: bytes) -> tuple[list[Entity], dict[int, Entity]]:
    """Split a STEP file into its header entities and its numbered entities.

    Raises:
        StepError: not a STEP file, cut short, damaged (with the line), or a number used twice.
    """
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise StepError(f"not a STEP file: byte {error.start} is no text") from error
    if not text.lstrip().startswith("ISO-10303-21;"):
        raise StepError("not a STEP file: it does not start with ISO-10303-21;")
    header: list[Entity] = []
    entities: dict[int, Entity] = {}
    at = _after(text, _after(text, 0, "ISO-10303-21;"), "HEADER;")
    while match := _HEADER.match(text, at):
        header.append(Entity(0, match[1], match[2]))
        at = _skip(text, match.end())
    at = _after(text, _after(text, at, "ENDSEC;"), "DATA;")
    while match := _ENTITY.match(text, at):
        number = int(match[1])
        if number in entities:
            raise _damage(text, at, f"#{number} is defined twice")
        entities[number] = Entity(number, match[2], match[3])
        at = _skip(text, match.end())
    _after(text, _after(text, at, "ENDSEC;"), "END-ISO-10303-21;")
    return header, entities


def _skip(text: str, at: int) -> int:
    """Return the place after space and comments."""
    match = _SPACE.match(text, at)
    return match.end() if match else at


def _damage(text: str, at: int, what: str) -> StepError:
    return StepError(f"line {text.count(chr(10), 0, at) + 1}: {what}")


def _after(text: str, at: int, word: str) -> int:
    """Return the place after `word`, which must come next."""
    at = _skip(text, at)
    if not text.startswith(word, at):
        found = text[at : at + 30].split("\n")[0] or "the end of the file"
        raise _damage(text, at, f"{word} expected, found {found}")
    return _skip(text, at + len(word))


def _value(text: str) -> Any:
    """Return a plain value by its first character."""
    first = text[0]
    if first == "#":
        return Reference(text[1:])
    if first == "'":
        return decode_text(text)
    if first == ".":
        return Flag(text[1:-1])
    return None if first in "$*" else float(text)


def _is_true(entity: Entity, index: int) -> bool:
    return bool(entity.get(index, Flag, ".T. or .F.") == "T")


def _names(entities: list[Entity], index: int) -> tuple[str, ...]:
    return tuple(str(e.get(index, str, "a name")) for e in entities)


def _surface_type(surface: Entity) -> str:
    """Return the type of a surface; a rational spline is a complex entity of several parts."""
    spline = re.search(r"B_SPLINE_SURFACE\w*", surface.text)
    return surface.kind or (spline[0] if spline else "complex entity")


def _length_unit(complex_entities: list[Entity]) -> str:
    """Return the length unit that the file defines."""
    for entity in complex_entities:
        if re.search(r"\bLENGTH_UNIT\b", entity.text) and (unit := _SI_LENGTH.search(entity.text)):
            prefix = {None: "", "MILLI": "m", "CENTI": "c", "MICRO": "u"}.get(
                unit[1], f"{unit[1]} "
            )
            return prefix + ("m" if unit[2] == "METRE" else unit[2].lower())
    raise StepError("the file names no length unit")
