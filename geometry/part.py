"""Part: what every writer takes. A recipe makes parts; writers turn them into files."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from geometry.drafting.drawing import Drawing
from geometry.outline import Outline, Region
from geometry.segment import Box, Segment, joint_box
from geometry.solids import Body


@dataclass(frozen=True)
class Path:
    """An open run of edges (mm): a fold, a mark, a reference line or a cut of a perforation."""

    segments: tuple[Segment, ...]


@dataclass(frozen=True)
class Part:
    """One thing to make, `quantity` times.

    Args:
        name: plain name of the recipe that made it: "lamination", "liner", ...
        cut: regions of material; their loops are cut through.
        fold, mark, reference: open runs drawn by purpose, never cut.
        perforation: short open runs that are cut through along a fold.
        material: what to cut it from, in the words of the trade.
        thickness: sheet thickness in mm; 0 for a part that is not flat.
        quantity: how many to make, spares included.
        settings: figures that a reader of the part needs, with units in the key.
        notes: sentences for the person who makes it.
        solid: the body, if it is no flat sheet or is wanted as one; written as STEP.
        drawings: sheets with dimensions for the person who makes it; `geometry.drafting.drawing.Lazy`
            lays them out only when they are looked at.
    """

    name: str
    cut: tuple[Region, ...]
    material: str
    thickness: float
    quantity: int
    fold: tuple[Path, ...] = ()
    mark: tuple[Path, ...] = ()
    reference: tuple[Path, ...] = ()
    perforation: tuple[Path, ...] = ()
    settings: dict[str, float | int | str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    solid: Body | None = None
    drawings: Sequence[Drawing] = ()

    @property
    def loops(self) -> tuple[Outline, ...]:
        """Every loop to cut, holes before outers."""
        return tuple(loop for region in self.cut for loop in region.loops)

    @property
    def area(self) -> float:
        """Net area of one piece in mm2."""
        return math.fsum(r.area for r in self.cut)

    @property
    def cut_length(self) -> float:
        """Length of cut of one piece in mm."""
        return math.fsum(r.perimeter for r in self.cut)

    @property
    def pierces(self) -> int:
        """How often the cutter starts: once for every loop."""
        return len(self.loops)

    @property
    def box(self) -> Box:
        """Bounding box (x min, y min, x max, y max) of the cut in mm."""
        return joint_box(r.box for r in self.cut)
