"""A file from anywhere, read as a cutting shop reads it: what it says, and what it would cut.

This is the one door through which a file that is to be judged comes in. Callers see entities
with their kind and place, and edges in mm; nothing is repaired on the way.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable
from dataclasses import dataclass

from geometry.formats.dxf_entity import (
    DEFAULT_LIMIT,
    EXACT_KINDS,
    FLAT,
    SPLINE_FRAME_FLAG,
    DxfEntity,
    DxfError,
)
from geometry.formats.dxf_read import (
    IMPERIAL,
    MESH_OR_SPLINE_FLAGS,
    UNITS,
    DxfContent,
    edges_of,
    read_dxf,
)
from geometry.point import Point
from geometry.segment import Segment, half_turns
from geometry.tolerance import SAME_PLACE

#: Read no more than this many bytes.
LARGEST_FILE = DEFAULT_LIMIT
FileError = DxfError
Entity = DxfEntity

#: $ACADVER (DXF reference, HEADER section) and the name by which shops know it.
RELEASES = {
    "AC1006": "R10", "AC1009": "R12", "AC1012": "R13", "AC1014": "R14", "AC1015": "R2000",
    "AC1018": "R2004", "AC1021": "R2007", "AC1024": "R2010", "AC1027": "R2013", "AC1032": "R2018",
}  # fmt: skip

#: Group codes (DXF reference) of a polyline's width and of an entity's height along its normal.
WIDTH_CODES, HEIGHT_CODES = frozenset((40, 41, 43)), frozenset((39,))
CONTINUOUS = ("", "CONTINUOUS", "BYLAYER", "BYBLOCK")

IN_SPACE_FLAG = 8
#: An arc of more than this (rad) is split in two; half turns stay whole whatever their rounding.
HALF_TURN = 3.2


@dataclass(frozen=True)
class CutFile:
    """What a file says about itself, and its entities.

    Args:
        release: name of the version, such as "R12"; "" if the file does not say.
        unit: name of the declared unit, such as "mm"; None if the file declares none.
        mm_per_unit: its size; None if undeclared.
        can_declare: whether this version has a place for a unit (R12 has none).
        measurement: "mm" or "in" by the second unit variable; None if absent.
        extents: (x min, y min, x max, y max) as declared in drawing units, None if absent.
        model: entities that a shop sees.
        paper: entities of paper space; a viewport alone is no drawing and is left out.
        hidden_layers: names of layers that are switched off or frozen.
        unplotted_layers: names of layers that are set not to plot.
        comments: texts of comment lines.
    """

    release: str
    unit: str | None
    mm_per_unit: float | None
    can_declare: bool
    measurement: str | None
    extents: tuple[float, float, float, float] | None
    model: tuple[Entity, ...]
    paper: tuple[Entity, ...]
    hidden_layers: frozenset[str]
    unplotted_layers: frozenset[str]
    comments: tuple[str, ...]
    content: DxfContent

    @property
    def imperial(self) -> bool:
        """Whether the declared unit is counted in inches or feet."""
        return self.unit in IMPERIAL

    def place(self, entity: Entity, mm_per_unit: float) -> Point | None:
        """Return where an entity stands, in mm as seen from above; None if the file hides it."""
        spots = entity.points or self._raw_points(entity)
        if not spots:
            return None
        x, y = spots[0]
        if entity.radius and not entity.closed:  # an arc: its middle, not its far-off centre
            arc = dataclasses.replace(entity, extrusion=FLAT)
            x, y = edges_of(arc)[0].point_at(0.5)
        if is_seen_from_behind(entity):
            x = -x
        return Point(x * mm_per_unit, y * mm_per_unit)

    def vertex_count(self, entity: Entity) -> int | None:
        """Return how many corners a light polyline announces; None for other kinds."""
        if entity.kind != "LWPOLYLINE":
            return None
        said = [v for c, v in self.content.tags_of(entity) if c == 90]
        return int(said[0]) if said and said[0].strip().isdigit() else None

    def line_width(self, entity: Entity) -> float:
        """Return the greatest width (drawing units) of a polyline; 0 for other kinds."""
        if entity.kind not in ("LWPOLYLINE", "POLYLINE"):
            return 0.0
        return self._largest(entity, WIDTH_CODES)

    def extrusion_height(self, entity: Entity) -> float:
        """Return how far (drawing units) an entity is drawn up along its normal."""
        return self._largest(entity, HEIGHT_CODES)

    def broken_linetype(self, entity: Entity) -> str:
        """Return the line type that an entity is drawn in, its layer's too; "" if continuous."""
        name, row = entity.linetype, self.content.layers.get(entity.layer)
        if name.upper() == "BYLAYER":
            name = row.linetype if row else ""
        return "" if name.upper() in CONTINUOUS else name

    def _largest(self, entity: Entity, codes: frozenset[int]) -> float:
        tags = self.content.tags
        part = range(entity.first, entity.last)
        return max((tags.number(k) for k in part if tags.codes[k] in codes), key=abs, default=0.0)

    def _raw_points(self, entity: Entity) -> list[tuple[float, float]]:
        """Return the points of a kind that the parser does not know, as far as they are numbers."""
        tags = self.content.tags_of(entity)
        xs = [v for c, v in tags if c == 10]
        ys = [v for c, v in tags if c == 20]
        if entity.kind == "HATCH":  # its first point is the height of its plane
            xs, ys = xs[1:], ys[1:]
        try:
            return [(float(x), float(y)) for x, y in zip(xs[:1], ys[:1], strict=True)]
        except ValueError:
            return []


@dataclass(frozen=True)
class Drawn:
    """The edges that some entities draw, in mm.

    Args:
        edges: lines, and arcs of at most half a turn.
        owner: for each edge, the number of its entity in `CutFile.model`.
        closed: (first, last) of edges first <= k < last that their own entity closes.
        empty: (number of the entity, place) of every edge without length.
    """

    edges: tuple[Segment, ...]
    owner: tuple[int, ...]
    closed: tuple[tuple[int, int], ...]
    empty: tuple[tuple[int, Point], ...]


def read_cut_file(data: bytes, source: str = "") -> CutFile:
    """Return what a file holds; `data` is the whole file.

    Raises:
        FileError: empty, too large, binary, another format, cut off or damaged; names the line.
    """
    content = read_dxf(data, source)
    low, high = content.header_point("$EXTMIN"), content.header_point("$EXTMAX")
    extents = None
    if low and high and len(low) > 1 and len(high) > 1 and low[0] <= high[0]:
        extents = (low[0], low[1], high[0], high[1])
    return CutFile(
        release=RELEASES.get(content.version, content.version),
        unit=content.unit,
        mm_per_unit=content.mm_per_unit,
        can_declare=bool(content.version) and content.version >= "AC1012",
        measurement=None
        if content.measurement is None
        else {0: "in", 1: "mm"}.get(content.measurement),
        extents=extents,
        model=content.model,
        paper=tuple(
            e
            for e in content.entities
            if e.paper and e.kind != "VIEWPORT" and (not e.block or _is_layout(e.block))
        ),
        hidden_layers=frozenset(n for n, row in content.layers.items() if row.off or row.frozen),
        unplotted_layers=frozenset(n for n, row in content.layers.items() if not row.plots),
        comments=content.comments,
        content=content,
    )


def is_exact(entity: Entity) -> bool:
    """Tell whether an entity is made of lines and arcs seen from above or straight from behind."""
    if entity.kind not in EXACT_KINDS or is_tilted(entity):
        return False
    return not (entity.kind == "POLYLINE" and entity.flags & MESH_OR_SPLINE_FLAGS)


def is_curve(entity: Entity) -> bool:
    """Tell whether an entity is a curve that lines and arcs only approximate."""
    spline = entity.kind == "POLYLINE" and entity.flags & (4 | SPLINE_FRAME_FLAG)
    return bool(spline) or entity.kind in ("SPLINE", "ELLIPSE", "HELIX")


def is_tilted(entity: Entity) -> bool:
    """Tell whether an entity lies in a plane that is not parallel to the sheet."""
    if _is_in_world(entity):
        return False
    x, y, z = entity.extrusion
    return math.hypot(x, y) > SAME_PLACE * abs(z)


def is_seen_from_behind(entity: Entity) -> bool:
    """Tell whether its coordinates are those of a plane seen from below: x runs to the left."""
    return not _is_in_world(entity) and not is_tilted(entity) and entity.extrusion[2] < 0


def drawn(file: CutFile, numbers: Iterable[int], mm_per_unit: float) -> Drawn:
    """Return the edges (mm) that the exact entities `numbers` of the model draw.

    Raises:
        FileError: an edge that cannot be; names its line.
    """
    edges: list[Segment] = []
    owner: list[int] = []
    closed: list[tuple[int, int]] = []
    empty: list[tuple[int, Point]] = []
    for number in numbers:
        entity = file.model[number]
        first = len(edges)
        behind = is_seen_from_behind(entity)
        if entity.extrusion != FLAT:
            entity = dataclasses.replace(entity, extrusion=FLAT)
        run = edges_of(entity, mm_per_unit, skip_empty=True)
        empty += [(number, spot) for spot in _standing_still(entity, mm_per_unit, behind)]
        # Half a turn at most: two edges then share one stretch, not two.
        parts = half_turns(run, HALF_TURN)
        edges += [part.mirrored(math.pi / 2) if behind else part for part in parts]
        owner += [number] * len(parts)
        if len(edges) - first > 1 and run[0].start == run[-1].end:
            closed.append((first, len(edges)))
    return Drawn(tuple(edges), tuple(owner), tuple(closed), tuple(empty))


def unit_size(name: str) -> float:
    """Return the size in mm of a unit by its name."""
    return next(size for text, size in UNITS.values() if text == name)


def _standing_still(entity: Entity, scale: float, behind: bool) -> list[Point]:
    """Return the places where a line or polyline has an edge without length."""
    if entity.kind in ("ARC", "CIRCLE"):
        return []
    spots = list(entity.points)
    after = spots[1:] + (spots[:1] if entity.closed and len(spots) > 1 else [])
    still = [a for a, b in zip(spots, after, strict=False) if a == b]
    if len(spots) == 1:
        still = spots
    return [Point((-x if behind else x) * scale, y * scale) for x, y in still]


def _is_in_world(entity: Entity) -> bool:
    """Tell whether coordinates of this kind are those of the drawing, whatever its normal says."""
    in_space = entity.kind == "POLYLINE" and entity.flags & IN_SPACE_FLAG
    return bool(in_space) or entity.kind in ("LINE", "POINT", "3DFACE", "SPLINE", "ELLIPSE")


def _is_layout(block: str) -> bool:
    return block.upper().startswith(("*PAPER_SPACE", "$PAPER_SPACE"))
