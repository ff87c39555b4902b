"""What a preflight looks at: the file, the shop, and all that follows from the drawn edges.

Each fact is worked out once, when a rule first asks for it. Glossary: an entity is `judged` if
it would be cut; it is set aside if it is no line or arc, hidden, or on a layer that by its name
is not for cutting.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache, cached_property

from geometry.finding import Confidence, Finding, Level
from geometry.inspection.chains import Chains, Nesting, chain_edges, nest
from geometry.inspection.compare import Symmetry, symmetry
from geometry.inspection.cut_file import CutFile, Drawn, Entity, drawn, is_exact
from geometry.inspection.edges import (
    WITHIN,
    Crossing,
    EdgeTable,
    Overlap,
    Rows,
    crossings,
    doubles,
    near_pairs,
    overlaps,
)
from geometry.inspection.minimum_feature import Corner, Width, corners, hole_size, widths
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Box
from recipes.refusal import finding
from recipes.tables.process import Process

PRACTICE = "common practice of cutting shops"
DESIGN_GUIDES = "design guides of cutting shops"


@cache
def layer_words(name: str) -> frozenset[str]:
    """Return the words of a layer's name in lower case."""
    return frozenset(re.findall(r"[a-z]+", name.lower()))


#: Words in the name of a layer for folds; those of a perforation are cut, but are no outlines.
PERFORATION_WORDS = layer_words("perforation perforations perforated perf")
FOLD_WORDS = PERFORATION_WORDS | layer_words(
    "fold folds folding bend bends bending crease creases score scores"
)
#: Words in the name of a layer that is not for cutting.
NOT_CUT_WORDS = layer_words(
    """
    mark marks marking etch engrave engraving reference
    references ref text texts note notes dim dims dimension dimensions hidden centre center
    centreline centerline construction defpoints border frame title titleblock annotation
    annotations sketch guide guides axis axes
    """
)
#: Words in the name of a layer that is.
CUT_WORDS = layer_words(
    """
    cut cuts cutting laser plasma waterjet outer outside outline outlines inner inside
    contour contours profile profiles hole holes interior exterior visible part plate
    """
)

#: Overall sizes (mm) that a home workshop orders; beyond them the unit is doubted (practice).
SENSIBLE = (15.0, 1000.0)
#: Outlines that enclose less (mm2) enclose nothing.
MIN_AREA = 1e-6


def is_not_for_cutting(layer: str) -> bool:
    """Tell whether a layer says by its name that it is not to be cut."""
    words = layer_words(layer)
    return bool(words & NOT_CUT_WORDS) and "cut" not in words


def is_fold(layer: str) -> bool:
    """Tell whether a layer says by its name that it holds folds or their perforation."""
    words = layer_words(layer)
    return bool(words & FOLD_WORDS) and "cut" not in words


def is_perforation(layer: str) -> bool:
    """Tell whether a layer says by its name that it holds the cuts of a perforation."""
    return bool(layer_words(layer) & PERFORATION_WORDS)


def is_sensible(size: float) -> bool:
    """Tell whether a part of this overall size (mm) is likely."""
    return SENSIBLE[0] <= size <= SENSIBLE[1]


@dataclass(frozen=True, eq=False)
class Facts:
    """The file under judgement, the shop that would cut it, and everything derived.

    Args:
        file: as read.
        process: how it would be cut.
        thickness: of the sheet in mm; None judges by the absolute limits only.
        sheet: width and height of the stock in mm; None takes the largest usual one.
    """

    file: CutFile
    process: Process
    thickness: float | None = None
    sheet: tuple[float, float] | None = None

    @property
    def steel(self) -> str:
        """The sheet in words."""
        return f"{self.thickness:g} mm sheet" if self.thickness else "any sheet"

    @property
    def t(self) -> float:
        """Sheet thickness in mm; 0 if unknown, so that only the absolute floors count."""
        return self.thickness or 0.0

    @property
    def slot_limit(self) -> float:
        """Minimum slot width in mm."""
        return self.process.slot(self.t)

    @cached_property
    def judged(self) -> tuple[int, ...]:
        """Numbers of the entities that would be cut."""
        hidden = self.file.hidden_layers
        aside = {
            name: name in hidden or is_not_for_cutting(name) or is_fold(name)
            for name in {e.layer for e in self.file.model}
        }
        return tuple(
            k
            for k, e in enumerate(self.file.model)
            if is_exact(e) and not e.invisible and not aside[e.layer]
        )

    @cached_property
    def folds(self) -> dict[str, tuple[int, ...]]:
        """Numbers of the lines on every visible layer for folds, by its name."""
        found: dict[str, list[int]] = {}
        for k, e in enumerate(self.file.model):
            seen = is_exact(e) and not e.invisible and e.layer not in self.file.hidden_layers
            if seen and is_fold(e.layer):
                found.setdefault(e.layer, []).append(k)
        return {name: tuple(numbers) for name, numbers in found.items()}

    @property
    def own_machine(self) -> bool:
        """Whether no shop sees the file, so that what only shops ask for does not count."""
        return self.process.name == "own"

    @cached_property
    def raw_size(self) -> float:
        """Larger overall size in drawing units, from points and radii (close enough for doubt)."""
        low, high = [math.inf, math.inf], [-math.inf, -math.inf]
        for k in self.judged:
            e = self.file.model[k]
            r = e.radius if e.kind == "CIRCLE" else 0.0
            for point in e.points:
                for axis in (0, 1):
                    low[axis] = min(low[axis], point[axis] - r)
                    high[axis] = max(high[axis], point[axis] + r)
        return max(0.0, high[0] - low[0], high[1] - low[1])

    @cached_property
    def mm_per_unit(self) -> float:
        """Size of the drawing unit as judged: as declared; mm if undeclared or beyond belief.

        Shops read mm or inches; a file in metres is nearly always one in mm with a wrong header.
        """
        declared = self.file.mm_per_unit
        if declared is None:
            return 1.0
        if self.file.unit in ("mm", "in") or is_sensible(self.raw_size * declared):
            return declared
        return 1.0 if is_sensible(self.raw_size) else declared

    @cached_property
    def drawn(self) -> Drawn:
        """The edges to cut."""
        return drawn(self.file, self.judged, self.mm_per_unit)

    @cached_property
    def table(self) -> EdgeTable:
        """The edges to cut, as arrays."""
        return EdgeTable.of(self.drawn.edges)

    @cached_property
    def _different(self) -> tuple[Rows, tuple[Overlap, ...]]:
        return doubles(self.table)

    @cached_property
    def _pairs(self) -> tuple[Rows, Rows, bool]:
        rows = self._different[0]
        first, second, complete = near_pairs(self.table.take(rows), WITHIN)
        return rows[first], rows[second], complete

    @property
    def all_compared(self) -> bool:
        """Whether every edge was compared with every other one near it."""
        return self._pairs[2]

    @cached_property
    def overlaps(self) -> tuple[Overlap, ...]:
        """Edges that lie on each other."""
        return self._different[1] + overlaps(self.table, *self._pairs[:2])

    @cached_property
    def doubles(self) -> frozenset[int]:
        """Numbers of edges that only repeat an earlier one."""
        return frozenset(max(o.first, o.second) for o in self.overlaps if o.whole)

    @cached_property
    def crossings(self) -> tuple[Crossing, ...]:
        """Edges that cross or touch, those that lie on each other left out."""
        import numpy as np

        first, second, _ = self._pairs
        count = max(len(self.table), 1)
        known = np.array([o.first * count + o.second for o in self.overlaps], dtype=np.int64)
        doubled = np.array(sorted(self.doubles), dtype=np.int64)
        keep = ~np.isin(first * count + second, known)
        keep &= ~np.isin(first, doubled) & ~np.isin(second, doubled)
        return crossings(self.table, first[keep], second[keep])

    @cached_property
    def chains(self) -> Chains:
        """The edges chained, doubles left out."""
        return chain_edges(self.drawn.edges, closed=self.drawn.closed, leave_out=self.doubles)

    @cached_property
    def nesting(self) -> Nesting:
        """Which closed loop lies in which."""
        return nest(self.chains)

    @cached_property
    def loops(self) -> tuple[Outline, ...]:
        """The closed loops with the material on the left of travel."""
        pairs = zip(self.chains.loops, self.nesting.depth, strict=True)
        return tuple(c.outline.oriented(depth % 2 == 0) for c, depth in pairs if c.outline)

    @cached_property
    def regions(self) -> tuple[Region, ...]:
        """The pieces of sheet; loops that enclose nothing are left out."""
        found = (
            Region(r.outer, tuple(h for h in r.holes if h.area > MIN_AREA))
            for r in self.nesting.regions(self.loops)
            if r.outer.area > MIN_AREA
        )
        return tuple(r for r in found if r.area > MIN_AREA)

    @cached_property
    def box(self) -> Box | None:
        """(x min, y min, x max, y max) of all edges to cut, mm; None if there are none."""
        if not len(self.table):
            return None
        boxes = self.table.boxes()
        x0, y0 = (float(v) for v in boxes[:, :2].min(axis=0))
        x1, y1 = (float(v) for v in boxes[:, 2:].max(axis=0))
        return x0, y0, x1, y1

    @cached_property
    def size(self) -> tuple[float, float]:
        """Overall width and height in mm."""
        return (self.box[2] - self.box[0], self.box[3] - self.box[1]) if self.box else (0.0, 0.0)

    @cached_property
    def widths(self) -> tuple[Width, ...]:
        """Webs and slots: the narrowest of each, and all that some rule might refuse."""
        shop, slack = self.process, 2 * self.process.tolerance_mm
        limit = max(shop.web(self.t), shop.edge(self.t), self.slot_limit) + slack
        return tuple(widths(self.loops, limit))

    @cached_property
    def corners(self) -> tuple[Corner, ...]:
        """Inside corners, tightest first."""
        return tuple(corners(self.loops))

    @cached_property
    def holes(self) -> tuple[tuple[float, Point, int], ...]:
        """Size (mm), centre and loop of every hole, smallest first; see `minimum_feature.hole_size`."""
        found = [
            (*hole_size(loop), k)
            for k, (loop, depth) in enumerate(zip(self.loops, self.nesting.depth, strict=True))
            if depth % 2 and loop.area > MIN_AREA
        ]
        return tuple(sorted(found, key=lambda h: h[0]))

    @cached_property
    def symmetry(self) -> Symmetry | None:
        """How the sheet falls on itself; None if nothing closed is left to judge."""
        return symmetry(self.regions) if self.regions and not self.chains.runs else None

    def entity_of(self, edge: int) -> Entity:
        """Return the entity that draws an edge."""
        return self.file.model[self.drawn.owner[edge]]

    def place_of(self, entity: Entity) -> tuple[Point | None, str]:
        """Return where an entity stands (mm), and its name and place in words."""
        where = self.file.place(entity, self.mm_per_unit)
        return where, f"{name_of(entity)} {self.at(where)}"

    def at(self, place: tuple[float, float] | None) -> str:
        """Return a place in words: in mm, and in drawing units if those are not mm."""
        if place is None:
            return "without a place"
        x, y = (round(v, 3) + 0.0 for v in place)
        text = f"at ({x:.3f}, {y:.3f}) mm"
        if self.mm_per_unit == 1.0:
            return text
        u, v = (p / self.mm_per_unit for p in place)
        return f"{text}, drawn at ({u:.4f}, {v:.4f})"


def name_of(entity: Entity) -> str:
    """Return an entity in words: its kind, layer and line in the file."""
    return f"{entity.kind} on layer {entity.layer!r} (line {entity.line})"


def found(
    level: Level,
    code: str,
    field: str,
    value: float | int | str | None,
    limit: float | int | str | None,
    message: str,
    fix: str,
    where: tuple[float, float] | None = None,
    source: str = PRACTICE,
    confidence: Confidence = "practice",
) -> Finding:
    """Return a finding about a drawing; as `recipes.refusal.finding`, with its place first."""
    return finding(
        level,
        code,
        field,
        message,
        value=value,
        limit=limit,
        fix=fix,
        source=source,
        confidence=confidence,
        where=where,
    )
