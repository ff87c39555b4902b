"""One entity of a DXF as a shop looks at it: what it is, where it stands, what it would cut.

Coordinates are drawing units as printed in the file; `dxf_edges` turns them into mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geometry.dxf.tags import Tags, whole
from geometry.tolerance import SAME_PLACE

Place = tuple[float, float]
Shape = tuple[tuple[Place, ...], tuple[float, ...], tuple[float, float]]

#: Which group codes carry the points of an entity (DXF reference, ENTITIES section).
POINT_CODES: dict[str, tuple[int, ...]] = {
    "LINE": (10, 11),
    "ARC": (10,),
    "CIRCLE": (10,),
    "ELLIPSE": (10,),
    "POINT": (10,),
    "SPLINE": (10,),
    "LEADER": (10,),
    "TEXT": (10,),
    "MTEXT": (10,),
    "ATTDEF": (10,),
    "INSERT": (10,),
    "DIMENSION": (10,),
    "SOLID": (10, 11, 12, 13),
    "TRACE": (10, 11, 12, 13),
    "3DFACE": (10, 11, 12, 13),
}
#: Kinds that lines and arcs describe exactly: only these must be complete to be read at all.
EXACT_KINDS = ("LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE")
#: Flags of a VERTEX (group code 70): a control point that is not drawn; a face of a mesh, which
#: holds indices and no place unless it says that it is a corner too.
SPLINE_FRAME_FLAG, MESH_FLAG, FACE_FLAG = 16, 64, 128
FLAT = (0.0, 0.0, 1.0)
NO_ANGLES = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class DxfEntity:
    """One entity, known or not; an unknown kind keeps its name and its tags.

    Args:
        kind: type name as in the file: "LWPOLYLINE", "SPLINE", ...
        layer: layer name; "0" if the file gives none.
        handle: hexadecimal handle, "" if the file gives none.
        line: line number of the entity in the file, from 1.
        block: name of the block that holds it, "" in the ENTITIES section.
        paper: whether it lies in paper space.
        invisible: whether the file hides it (group code 60).
        extrusion: normal of its plane (group codes 210, 220, 230).
        z: lowest and highest z of its points, elevation included.
        points: vertices, ends, centre, control points or insertion point, by kind.
        bulges: tan(sweep / 4) of the edge after each vertex; polylines only.
        flags: group code 70 (polylines: 1 closed, 8 in space, 16 and 64 meshes).
        radius: of a circle or arc, else 0.
        angles: start and end of an ARC in rad, counter-clockwise, else (0, 0).
        target: block name of an INSERT, else "".
        text: content of TEXT and MTEXT, else "".
        color: colour index (256 by layer).
        linetype: name of the line type.
        first, last: its tags in `DxfContent.tags`, first <= k < last.
    """

    kind: str
    layer: str
    handle: str
    line: int
    block: str
    paper: bool
    invisible: bool
    extrusion: tuple[float, float, float]
    z: tuple[float, float]
    points: tuple[Place, ...]
    bulges: tuple[float, ...]
    flags: int
    radius: float
    angles: tuple[float, float]
    target: str
    text: str
    color: int
    linetype: str
    first: int
    last: int

    @property
    def closed(self) -> bool:
        """Whether it is a closed curve by its type or by its own flag."""
        if self.kind in ("LWPOLYLINE", "POLYLINE", "SPLINE"):
            return bool(self.flags & 1)
        return self.kind == "CIRCLE"

    @property
    def upright(self) -> bool:
        """Whether its normal is +z: a normal of -z mirrors arcs in many a cutter's program."""
        x, y, z = self.extrusion
        return z > 0 and math.hypot(x, y) <= SAME_PLACE * z

    @property
    def flat(self) -> bool:
        """Whether it lies in the plane z = 0 with its normal upright."""
        return self.upright and max(map(abs, self.z)) <= SAME_PLACE


class _Facts:
    """The first value of each group code among the tags first < k < last of one entity."""

    def __init__(self, tags: Tags, first: int, last: int) -> None:
        self.tags = tags
        # Reversed, so that of a repeated code the first value stays.
        codes = tags.codes[last - 1 : first : -1]
        self.places = dict(zip(codes, range(last - 1, first, -1), strict=True))

    def word(self, code: int, default: str = "") -> str:
        place = self.places.get(code)
        return default if place is None else self.tags.values[place].strip()

    def number(self, code: int, default: float = 0.0) -> float:
        place = self.places.get(code)
        return default if place is None else self.tags.number(place)


def parse_entity(tags: Tags, first: int, last: int, block: str, paper: bool) -> DxfEntity:
    """Return the entity whose tags are first <= k < last (a POLYLINE with its vertices).

    Raises:
        DxfError: a number of a kind that this reader knows is damaged or missing.
    """
    kind = tags.values[first].strip()
    head = last  # end of its own tags, before VERTEX or ATTRIB parts
    if kind in ("POLYLINE", "INSERT"):
        head = next((k for k in range(first + 1, last) if tags.codes[k] == 0), last)
    facts = _Facts(tags, first, head)
    word, number = facts.word, facts.number
    points, bulges, z = _shape(facts, kind, first, head, last)
    radius = number(40) if kind in ("ARC", "CIRCLE") else 0.0
    if kind in ("ARC", "CIRCLE") and not radius > 0:
        raise tags.error(f"{kind} without a positive radius", facts.places.get(40, first))
    tilted = points and 210 in facts.places
    return DxfEntity(
        kind=kind,
        layer=word(8, "0"),
        handle=word(5),
        line=2 * first + 1,
        block=block,
        paper=paper or word(67) == "1",
        invisible=word(60) == "1",
        extrusion=(number(210), number(220), number(230, 1.0)) if tilted else FLAT,
        z=z,
        points=points,
        bulges=bulges,
        flags=whole(word(70)),
        radius=radius,
        angles=(math.radians(number(50)), math.radians(number(51))) if kind == "ARC" else NO_ANGLES,
        target=word(2) if kind == "INSERT" else "",
        text=word(1) if kind in ("TEXT", "MTEXT") else "",
        color=whole(word(62), 256),
        linetype=word(6, "BYLAYER"),
        first=first,
        last=last,
    )


def _shape(facts: _Facts, kind: str, first: int, head: int, last: int) -> Shape:
    """Return points, bulges and lowest and highest z; no points for a kind not known."""
    if kind == "LWPOLYLINE":
        height = facts.number(38)
        return (*_lwpolyline(facts.tags, first, last), (height, height))
    if kind == "POLYLINE":
        return _polyline(facts.tags, first, head, last)
    if kind in POINT_CODES:
        points, z = _points(facts.tags, first, head, POINT_CODES[kind])
        return points, (), z
    return (), (), (0.0, 0.0)


def _points(
    tags: Tags, first: int, last: int, starts: tuple[int, ...]
) -> tuple[tuple[Place, ...], tuple[float, float]]:
    """Return the points of a kind in `POINT_CODES` and their lowest and highest z."""
    kind = tags.values[first].strip()
    points: list[Place] = []
    heights: list[float] = []
    for code in starts:
        xs, ys = tags.numbers(code, first, last), tags.numbers(code + 10, first, last)
        if kind in EXACT_KINDS and not len(xs) == len(ys) == 1:
            raise tags.error(f"{kind} without all its coordinates", first)
        points.extend(zip(xs, ys, strict=False))
        heights.extend(tags.numbers(code + 20, first, last))
    if kind == "SPLINE" and not points and starts == (10,):
        return _points(tags, first, last, (11,))
    return tuple(points), _span(heights)


def _span(heights: list[float]) -> tuple[float, float]:
    return (min(heights), max(heights)) if heights else (0.0, 0.0)


def _lwpolyline(tags: Tags, first: int, last: int) -> tuple[tuple[Place, ...], tuple[float, ...]]:
    xs, ys = tags.numbers(10, first, last), tags.numbers(20, first, last)
    if not xs or len(xs) != len(ys):
        raise tags.error(f"LWPOLYLINE with {len(xs)} x and {len(ys)} y values", first)
    bulges = [0.0] * len(xs)
    codes = tags.codes
    if 42 in codes[first:last]:
        vertex = -1
        for k in range(first, last):
            if codes[k] == 10:
                vertex += 1
            elif codes[k] == 42 and vertex >= 0:
                bulges[vertex] = tags.number(k)
    return tuple(zip(xs, ys, strict=True)), tuple(bulges)


def _polyline(tags: Tags, first: int, head: int, last: int) -> Shape:
    """Return points, bulges and z span of an old-style POLYLINE; frame points are left out."""
    points: list[Place] = []
    bulges: list[float] = []
    heights = tags.numbers(30, first, head)
    starts = [k for k in range(head, last) if tags.codes[k] == 0]
    for a, b in zip(starts, [*starts[1:], last], strict=True):
        if tags.values[a].strip() != "VERTEX":
            continue
        facts = _Facts(tags, a, b)
        flags = whole(facts.word(70))
        if flags & SPLINE_FRAME_FLAG or (flags & FACE_FLAG and not flags & MESH_FLAG):
            continue
        if not facts.places.keys() >= {10, 20}:
            raise tags.error("VERTEX without x or y", a)
        points.append((facts.number(10), facts.number(20)))
        bulges.append(facts.number(42))
        heights.append(facts.number(30))
    return tuple(points), tuple(bulges), _span(heights)
