"""Where on the front view a note may point: places on the side of its column, the best first."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from geometry.point import ORIGIN, Point
from geometry.segment import Arc
from geometry.sheet.note_column import Tip
from recipes.drawing_words import Words
from recipes.parts.lamination import TOOTH_1
from recipes.tables.process import process

if TYPE_CHECKING:
    from geometry.sheet.view import View
    from recipes.job import Job

#: At most this many places are offered for one note.
OFFERED = 4


class Places:
    """Directions and places of the features of one sheet, tooth 1 up."""

    def __init__(self, job: Job, view: View, words: Words, side: int) -> None:
        """Take the design, where the axis (0, 0) lies on the sheet, and the side of the column."""
        self.job, self.view, self.words, self.side = job, view, words, side
        self.lam, self.hub = job.design.lamination, job.design.hub
        self.slots = job.design.motor.slots
        self.radius = self.lam.outer_diameter / 2
        self.floor = self.radius - self.lam.slot_depth
        self.off = process(job.design.shop.process).tolerance_mm

    @property
    def inner(self) -> float:
        """Radius of the bore, mm."""
        return self.lam.bore_diameter / 2

    def bore_edges(self) -> list[Arc]:
        """Return the round edges of the bore with its keys and marks."""
        bore = self.job.parts["lamination"][0].cut[0].holes[-1]
        return [s for s in bore.segments if isinstance(s, Arc)]

    def middles(self, wanted: Callable[[Point], bool]) -> list[Point]:
        """Return the middles of edges of the sheet that `wanted` takes."""
        region = self.job.parts["lamination"][0].cut[0]
        loops = (region.outer, region.holes[-1])
        middles = [s.point_at(0.5) for loop in loops for s in loop.segments]
        return [p for p in middles if wanted(p)]

    def teeth(self) -> list[float]:
        """Return the direction of every tooth, rad."""
        return [TOOTH_1 + 2 * math.pi * k / self.slots for k in range(self.slots)]

    def spread(self, count: int) -> list[float]:
        """Return `count` directions from tooth 1 on, rad."""
        return [TOOTH_1 + 2 * math.pi * k / count for k in range(count)]

    def ring_reach(self) -> list[float]:
        """Return the radii to which round holes reach, mm."""
        w, b = self.hub.windows, self.hub.bolts
        found = [w.circle_diameter / 2 + w.radius] if w else []
        return [*found, (b.circle_diameter + b.hole_diameter) / 2] if b else found

    def hole_turns(self) -> list[float]:
        """Return the directions of the holes that reach farthest out."""
        w, b = self.hub.windows, self.hub.bolts
        if w and (
            not b or w.circle_diameter / 2 + w.radius >= (b.circle_diameter + b.hole_diameter) / 2
        ):
            return [t + math.pi / w.count for t in self.spread(w.count)]
        return self.spread(b.count) if b else []

    def on_arm(self, t: float) -> bool:
        """Tell whether direction `t` meets an arm or its rounds."""
        arms = self.hub.spokes
        assert arms is not None
        inner = self.floor - (self.hub.yoke_thickness or 0.0)
        half = math.asin(min(1.0, (arms.width / 2 + 1.5 * arms.fillet_radius) / inner))
        return any(near(t, a, half) for a in self.spread(arms.count))

    def nearest(self, turns: Iterable[float], level: float) -> list[float]:
        """Return directions on the column's side, those nearest to `level` (sine) first."""
        here = [t for t in turns if self.side * math.cos(t) > 0.15] or list(turns)
        return sorted(here, key=lambda t: (round(abs(math.sin(t) - level), 6), -math.sin(t)))

    def tips(self, spots: Iterable[Point], level: float = 0.0) -> tuple[Tip, ...]:
        """Return places on the sheet for spots of the model on the column's side."""
        every = list(spots)
        here = [p for p in every if self.side * p.x > 0.05 * self.radius]
        here = here or sorted(every, key=lambda p: -self.side * p.x)[:2]
        far = max(p.distance(ORIGIN) for p in here) or 1.0
        here.sort(key=lambda p: (round(abs(p.y / far - level), 6), -p.y))
        return tuple(Tip(self.view.point(p)) for p in here[:OFFERED])


def near(a: float, b: float, within: float) -> bool:
    """Tell whether two directions differ by less than `within` rad."""
    return abs(math.remainder(a - b, 2 * math.pi)) < within
