"""Read a DXF text by a plain tag parser of our own: a witness independent of what wrote it.

Reads R12 and everything later that is text. Unknown entities are kept with their name; only
`outlines_of` insists on lines and arcs. Nothing is repaired.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property

from geometry.errors import GeometryError
from geometry.formats.dxf_entity import (
    COMMENT,
    DEFAULT_LIMIT,
    EXACT_KINDS,
    DxfEntity,
    DxfError,
    Tags,
    parse_entity,
    split_tags,
    whole,
)
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.tolerance import READ_BACK

# From what a DXF draws to exact edges in mm: lines and arcs, ends shared, nothing bridged.

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


#: $INSUNITS (DXF reference, HEADER): name of the unit and its size in mm.
UNITS: dict[int, tuple[str, float]] = {
    1: ("in", 25.4), 2: ("ft", 304.8), 3: ("mi", 1609344.0), 4: ("mm", 1.0), 5: ("cm", 10.0),
    6: ("m", 1000.0), 7: ("km", 1e6), 8: ("uin", 25.4e-6), 9: ("mil", 0.0254), 10: ("yd", 914.4),
    11: ("angstrom", 1e-7), 12: ("nm", 1e-6), 13: ("um", 1e-3), 14: ("dm", 100.0),
    15: ("dam", 1e4), 16: ("hm", 1e5), 17: ("Gm", 1e12), 18: ("au", 1.495978707e14),
    19: ("light year", 9.4607304725808e18), 20: ("parsec", 3.0856775814913673e19),
    21: ("US survey ft", 1200e3 / 3937), 22: ("US survey in", 100e3 / 3937),
    23: ("US survey yd", 3600e3 / 3937), 24: ("US survey mi", 5280 * 1200e3 / 3937),
}  # fmt: skip
#: Those of them that are counted in feet or inches.
IMPERIAL = frozenset(
    name for name, _ in UNITS.values() if name.endswith(("in", "ft", "mi", "yd", "mil"))
)


@dataclass(frozen=True, slots=True)
class DxfLayer:
    """One row of the layer table; `color` is the index, `lineweight` 1/100 mm (-3 default)."""

    name: str
    color: int
    off: bool
    frozen: bool
    locked: bool
    plots: bool
    linetype: str
    lineweight: int


@dataclass(frozen=True)
class DxfContent:
    """What a DXF holds.

    Args:
        source: name of the file, for messages.
        header: header variables: name with its $ to its values, as texts in order.
        layers: the layer table, by name.
        blocks: names of the blocks defined.
        entities: every entity in order of the file, those inside blocks included.
        comments: texts of the 999 lines.
        tags: all tags, for facts that `DxfEntity` does not name.
    """

    source: str
    header: dict[str, tuple[str, ...]]
    layers: dict[str, DxfLayer]
    blocks: tuple[str, ...]
    entities: tuple[DxfEntity, ...]
    comments: tuple[str, ...]
    tags: Tags

    @property
    def version(self) -> str:
        """$ACADVER, such as "AC1009" for R12; "" if the file does not say."""
        return "".join(self.header.get("$ACADVER", ()))

    @property
    def insunits(self) -> int | None:
        """The number in $INSUNITS, None if the file has none (R12)."""
        return self.header_integer("$INSUNITS")

    @property
    def measurement(self) -> int | None:
        """The number in $MEASUREMENT: 0 inches, 1 metric, None if the file has none."""
        return self.header_integer("$MEASUREMENT")

    @property
    def unit(self) -> str | None:
        """Name of the drawing unit: "mm", "in", ...; None if the file does not say."""
        return UNITS.get(self.insunits or 0, (None, 1.0))[0]

    @property
    def mm_per_unit(self) -> float | None:
        """Size of the drawing unit in mm; None if the file does not say."""
        return UNITS[self.insunits or 0][1] if self.unit else None

    @cached_property
    def model(self) -> tuple[DxfEntity, ...]:
        """The entities that a shop sees: model space, outside block definitions."""
        return tuple(e for e in self.entities if not e.block and not e.paper)

    def header_integer(self, name: str) -> int | None:
        """Return a whole number from the header, None if absent or not a number."""
        try:
            return int(self.header[name][0])
        except (KeyError, IndexError, ValueError):
            return None

    def header_point(self, name: str) -> tuple[float, ...] | None:
        """Return a point from the header in drawing units, None if absent or not numbers."""
        try:
            return tuple(float(v) for v in self.header[name])
        except (KeyError, ValueError):
            return None

    def tags_of(self, entity: DxfEntity) -> list[tuple[int, str]]:
        """Return (group code, value) of every tag of an entity of this content."""
        part = slice(entity.first, entity.last)
        return list(zip(self.tags.codes[part], self.tags.values[part], strict=True))


def read_dxf(data: bytes, source: str = "", *, limit: int = DEFAULT_LIMIT) -> DxfContent:
    """Return what a DXF text holds; `data` is the whole file, at most `limit` bytes.

    Raises:
        DxfError: empty, too large, binary or another format, cut off, or damaged where a
            known entity needs a number; names file, line and way out.
    """
    tags = split_tags(data, source, limit)
    header: dict[str, tuple[str, ...]] = {}
    layers: dict[str, DxfLayer] = {}
    blocks: list[str] = []
    entities: list[DxfEntity] = []
    for name, first, last in _sections(tags):
        if name == "HEADER":
            header = _header(tags, first, last)
        elif name == "TABLES":
            layers = {row.name: row for row in _layers(tags, first, last)}
        elif name in ("BLOCKS", "ENTITIES"):
            entities.extend(_entities(tags, first, last, blocks))
    comments = (v for c, v in zip(tags.codes, tags.values, strict=True) if c == COMMENT)
    return DxfContent(source, header, layers, tuple(blocks), tuple(entities), tuple(comments), tags)


def outlines_of(
    content: DxfContent,
    *,
    layers: Collection[str] | None = None,
    mm_per_unit: float | None = None,
) -> list[Outline]:
    """Return the closed outlines of the model space in mm, in order of the file.

    Args:
        content: from `read_dxf`.
        layers: look at these layers only; all if None.
        mm_per_unit: size of the drawing unit; as the header says if None, mm if it is silent.

    Raises:
        DxfError: anything but closed polylines and circles in the plane z = 0 (names every
            type and how often), or an open or impossible outline (names line and place).
    """
    scale = mm_per_unit or content.mm_per_unit or 1.0
    wanted = [e for e in content.model if layers is None or e.layer in layers]
    others = Counter(
        e.kind if e.flat else f"{e.kind} off the plane z = 0"
        for e in wanted
        if e.kind not in ("LWPOLYLINE", "POLYLINE", "CIRCLE") or not e.flat
    )
    if others:
        listed = ", ".join(f"{n} {kind}" for kind, n in sorted(others.items()))
        raise DxfError(f"not closed outlines: {listed}", source=content.source)
    try:
        return [outline_of(e, scale) for e in wanted]
    except DxfError as error:
        raise DxfError(error.reason, source=content.source, line=error.line) from error


def _sections(tags: Tags) -> Iterator[tuple[str, int, int]]:
    """Yield (name, first, last) of each section: first <= k < last are the tags inside."""
    opened: tuple[str, int] | None = None
    for k in (k for k, c in enumerate(tags.codes) if c == 0):
        mark = tags.values[k].strip()
        if mark == "SECTION":
            if opened:
                raise tags.error(f"section {opened[0]} has no end before the next one", k)
            if tags.codes[k + 1] != 2:
                raise tags.error("a section without a name", k)
            opened = tags.values[k + 1].strip(), k + 2
        elif mark == "ENDSEC":
            if not opened:
                raise tags.error("the end of a section that never began", k)
            yield opened[0], opened[1], k
            opened = None
        elif opened is None and mark != "EOF":
            raise tags.error(f"{mark[:40]} outside every section", k)
        elif opened and mark == "EOF":
            raise tags.error(f"the file is cut off inside section {opened[0]}", k)


def _header(tags: Tags, first: int, last: int) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    values: list[str] = []
    for code, value in zip(tags.codes[first:last], tags.values[first:last], strict=True):
        if code == 9:
            values = found.setdefault(value.strip(), [])
        elif code != COMMENT:
            values.append(value.strip())
    return {name: tuple(v) for name, v in found.items()}


def _starts(tags: Tags, first: int, last: int) -> list[int]:
    codes = tags.codes
    return [k for k in range(first, last) if codes[k] == 0]


def _layers(tags: Tags, first: int, last: int) -> Iterator[DxfLayer]:
    starts = _starts(tags, first, last)
    for a, b in zip(starts, [*starts[1:], last], strict=True):
        if tags.values[a].strip() != "LAYER":
            continue
        facts = dict(zip(tags.codes[a + 1 : b], tags.values[a + 1 : b], strict=True))
        color, flags = whole(facts.get(62), 7), whole(facts.get(70), 0)
        yield DxfLayer(
            name=facts.get(2, "").strip(),
            color=abs(color),
            off=color < 0,
            frozen=bool(flags & 1),
            locked=bool(flags & 4),
            plots=whole(facts.get(290), 1) != 0,
            linetype=facts.get(6, "CONTINUOUS").strip(),
            lineweight=whole(facts.get(370), -3),
        )


def _entities(tags: Tags, first: int, last: int, blocks: list[str]) -> Iterator[DxfEntity]:
    """Yield the entities of a section; POLYLINE takes its vertices, INSERT its attributes."""
    starts = [*_starts(tags, first, last), last]
    block, k = "", 0
    while k < len(starts) - 1:
        a, kind = starts[k], tags.values[starts[k]].strip()
        k += 1
        if kind == "BLOCK":
            codes = tags.codes[a : starts[k]]
            block = tags.values[a + codes.index(2)].strip() if 2 in codes else "?"
            blocks.append(block)
        elif kind == "ENDBLK":
            block = ""
        else:
            if kind == "POLYLINE" or (kind == "INSERT" and _has_attributes(tags, a, starts[k])):
                k = _after_seqend(tags, starts, k)
            paper = block.upper().startswith(("*PAPER_SPACE", "$PAPER_SPACE"))
            yield parse_entity(tags, a, starts[k], block, paper)


def _has_attributes(tags: Tags, first: int, last: int) -> bool:
    flag = tags.codes[first:last]
    return 66 in flag and tags.values[first + flag.index(66)].strip() == "1"


def _after_seqend(tags: Tags, starts: list[int], k: int) -> int:
    """Return the place in `starts` behind the SEQEND that closes a run of parts."""
    begin = k - 1
    while k < len(starts) - 1:
        part = tags.values[starts[k]].strip()
        if part not in ("VERTEX", "ATTRIB", "SEQEND"):
            break
        k += 1
        if part == "SEQEND":
            return k
    kind = tags.values[starts[begin]].strip()
    raise tags.error(f"{kind} without its SEQEND", starts[begin], hint="export it again")
