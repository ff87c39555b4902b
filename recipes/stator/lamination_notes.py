"""What the front view says of each feature: words, and the places that they may point to.

Of features that repeat, those on the side of the column are offered, the nearest to level first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from functools import cached_property

from geometry.drafting.label import Note, Tip, gap_mark
from geometry.drafting.view import View
from geometry.outline import Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc
from recipes.design import Design
from recipes.drawing_conventions import Words
from recipes.stator.slot import TOOTH_1, ParallelTeeth, SlotShape
from recipes.tables.process import process

#: At most this many places are offered for one note.
OFFERED = 4

_SAME = 1e-6


def front_notes(
    design: Design, slot: SlotShape, region: Region, view: View, side: int
) -> list[Note]:
    """Return every note of the front view for a column at one side.

    Args:
        design: its sheet and hub.
        slot: the exact tooth and slot.
        region: the sheet, tooth 1 up, its bore the last hole.
        view: places the axis of the motor (0, 0) on the sheet.
        side: +1 for a column at the right, -1 at the left.
    """
    feature = _Features(design, slot, region, view, side)
    makers: tuple[Callable[[], Note | None], ...] = (
        feature.outside,
        feature.tooth,
        feature.tab,
        feature.yoke,
        feature.arm,
        feature.arm_round,
        feature.windows,
        feature.bolts,
        feature.rim,
        feature.bore,
        feature.key,
        feature.flats,
        feature.marks,
    )
    return [note for make in makers if (note := make()) is not None]


class _Features:
    """One method a feature; each returns its note, or None where the design has none."""

    def __init__(
        self, design: Design, slot: SlotShape, region: Region, view: View, side: int
    ) -> None:
        self.lam, self.hub = design.lamination, design.hub
        self.slot, self.region, self.view, self.side = slot, region, view, side
        self.words = Words(design.units == "in")
        self.tolerance = process(design.shop.process).tolerance_mm
        self.radius = self.lam.outer_diameter / 2
        self.floor = self.radius - self.lam.slot_depth
        self.inner = self.lam.bore_diameter / 2

    @cached_property
    def _bore_arcs(self) -> list[Arc]:
        """Round edges of the bore with its keys and marks."""
        return [s for s in self.region.holes[-1].segments if isinstance(s, Arc)]

    def _turns(self, count: int, start: float = 0.0) -> list[float]:
        """Return `count` directions from tooth 1 (or `start` rad after it) on, rad."""
        return [TOOTH_1 + 2 * math.pi * k / count + start for k in range(count)]

    def _nearest(self, turns: Iterable[float], level: float) -> list[float]:
        """Return directions on the column's side, those nearest to `level` (sine) first."""
        here = [t for t in turns if self.side * math.cos(t) > 0.15] or list(turns)
        here.sort(key=lambda t: (round(abs(math.sin(t) - level), 6), -math.sin(t)))
        return here[:OFFERED]

    def _round(
        self, spots: Iterable[Point], level: float = 0.0, toward: Point | None = None
    ) -> tuple[Tip, ...]:
        """Return places on circles, as ends of diameters.

        Args:
            toward: from the centre of a circle to its spot; None for circles about the axis.
        """
        tips = []
        for p in self._chosen(spots, level):
            ends = tuple(self.view.point(q) for q in (p.plus(toward or p, -2.0), p))
            tips.append(Tip(ends[1], (), (ends[0], ends[1]), "diameter"))
        return tuple(tips)

    def _tips(self, spots: Iterable[Point], level: float = 0.0) -> tuple[Tip, ...]:
        """Return places on the sheet for spots of the model on the column's side."""
        return tuple(Tip(self.view.point(p)) for p in self._chosen(spots, level))

    def _chosen(self, spots: Iterable[Point], level: float) -> list[Point]:
        """Return the spots that are offered, the best first."""
        every = list(spots)
        here = [p for p in every if self.side * p.x > 0.05 * self.radius]
        here = here or sorted(every, key=lambda p: -self.side * p.x)[:2]
        far = max(p.distance(ORIGIN) for p in here) or 1.0
        here.sort(key=lambda p: (round(abs(p.y / far - level), 6), -p.y))
        return here[:OFFERED]

    def _gaps(
        self,
        ends: tuple[Point, Point],
        turns: Iterable[float],
        level: float,
        lines: tuple[str, ...],
        beside: float = 0.0,
    ) -> Note:
        """Return the note of a width between two ends, drawn for direction 0, `beside` any of `turns`."""
        marks = []
        for t in self._nearest(turns, level):
            a, b = (self.view.point(p.rotated(t + beside)) for p in ends)
            marks.append(gap_mark(a, b, self.side))
        return Note(tuple(marks), lines, "none")

    def outside(self) -> Note:
        """Outer diameter, number of teeth and their pitch."""
        slots = self.slot.slots
        spots = [Point.polar(self.radius, t) for t in self._turns(slots)]
        lines = (
            *self.words.within(self.lam.outer_diameter, self.tolerance, "⌀"),
            f"{slots} teeth, {360 / slots:.5g}° apart",
        )
        return Note(self._round(spots, level=0.5), lines)

    def tooth(self) -> Note:
        """Width of a tooth, across its middle; of parallel slots the least, as a reference."""
        width = self.slot.tooth_width
        if isinstance(self.slot.sides, ParallelTeeth):
            middle = (self.radius - self.lam.tip_thickness + self.floor) / 2
            lines = self.words.within(width, self.tolerance, "tooth ")
        else:
            middle = self.slot.narrowest.x
            lines = self.words.reference(width, "least tooth ")
        ends = Point(middle, width / 2), Point(middle, -width / 2)
        return self._gaps(ends, self._turns(self.slot.slots), 0.15, lines)

    def tab(self) -> Note | None:
        """Relief for holding tabs."""
        tab = self.lam.tab_notch
        if tab is None:
            return None
        deep = self.radius - tab.depth if tab.place == "tip" else self.inner + tab.depth
        loops = (self.region.outer, self.region.holes[-1])
        middles = [s.point_at(0.5) for loop in loops for s in loop.segments]
        spots = [
            Point.polar(deep, p.angle())
            for p in middles
            if abs(p.length() - deep) < 0.35 * tab.depth
        ]
        lines = self.words.pair(f"{tab.count} × tab notch ", tab.width, tab.depth)
        return Note(self._tips(spots), lines) if spots else None

    def yoke(self) -> Note:
        """Ring under the slots: as designed with arms, else what is left, as a reference."""
        hub = self.hub
        n = self.slot.slots
        slots = [TOOTH_1 + (2 * k + 1) * math.pi / n for k in range(n)]
        if hub.spokes and hub.yoke_thickness:
            inner = self.floor - hub.yoke_thickness
            arms = self._turns(hub.spokes.count)
            reach = hub.spokes.width / 2 + 1.5 * hub.spokes.fillet_radius
            half = math.asin(min(1.0, reach / inner))
            free = [t for t in slots if not any(_near(t, a, half) for a in arms)]
            lines = self.words.lines(hub.yoke_thickness, "yoke ")
        else:
            holes: list[tuple[float, list[float]]] = []
            if w := hub.windows:
                reach = w.circle_diameter / 2 + w.radius
                holes.append((reach, self._turns(w.count, math.pi / w.count)))
            if b := hub.bolts:
                reach = (b.circle_diameter + b.hole_diameter) / 2
                holes.append((reach, self._turns(b.count)))
            inner = max([self.inner, *(reach for reach, _ in holes)])
            # beside the holes that reach farthest out
            farthest = max(holes, key=lambda ring: ring[0], default=(0.0, []))[1]
            free = [t for t in slots for c in farthest if _near(t, c, 0.12)] or farthest
            lines = self.words.reference(self.floor - inner, "yoke ")
        ends = Point(inner, 0.0), Point(self.floor, 0.0)
        return self._gaps(ends, free or slots, 0.3, lines)

    def arm(self) -> Note | None:
        """Number and width of the arms."""
        arms, hub = self.hub.spokes, self.hub
        if arms is None:
            return None
        rim, yoke = hub.rim_thickness or 0.0, hub.yoke_thickness or 0.0
        middle = (self.inner + rim + self.floor - yoke) / 2
        ends = Point(middle, arms.width / 2), Point(middle, -arms.width / 2)
        lines = self.words.lines(arms.width, f"{arms.count} arms, each ")
        return self._gaps(ends, self._turns(arms.count), 0.0, lines)

    def arm_round(self) -> Note | None:
        """Rounds in the corners of the windows between arms."""
        arms = self.hub.spokes
        if arms is None:
            return None
        spots = [
            s.point_at(0.5)
            for hole in self.region.holes[:-1]
            for s in hole.segments
            if isinstance(s, Arc)
            and abs(s.radius - arms.fillet_radius) < _SAME
            and s.center.length() > _SAME
        ]
        lines = self.words.lines(arms.fillet_radius, f"{len(spots)} × R")
        return Note(self._tips(spots, level=-0.3), lines) if spots else None

    def windows(self) -> Note | None:
        """Round windows and their circle."""
        w = self.hub.windows
        if w is None:
            return None
        return self._holes(w.count, w.circle_diameter, 2 * w.radius, math.pi / w.count)

    def bolts(self) -> Note | None:
        """Bolt holes and their circle."""
        b = self.hub.bolts
        return None if b is None else self._holes(b.count, b.circle_diameter, b.hole_diameter, 0.0)

    def _holes(self, count: int, circle: float, size: float, start: float) -> Note:
        toward = Point(self.side * size / 2, 0.0)
        spots = [Point.polar(circle / 2, t).plus(toward) for t in self._turns(count, start)]
        lines = (
            *self.words.lines(size, f"{count} × ⌀" if count > 1 else "⌀"),
            *self.words.lines(circle, "on ⌀"),
        )
        return Note(self._round(spots, toward=toward), lines)

    def rim(self) -> Note | None:
        """Ring round the bore, between two arms."""
        arms, rim = self.hub.spokes, self.hub.rim_thickness
        if arms is None or rim is None:
            return None
        ends = Point(self.inner, 0.0), Point(self.inner + rim, 0.0)
        lines = self.words.lines(rim, "rim ")
        return self._gaps(ends, self._turns(arms.count), -0.3, lines, math.pi / arms.count)

    def bore(self) -> Note:
        """Bore, pointed at where it is round."""
        arcs = [
            s
            for s in self._bore_arcs
            if s.center.length() < _SAME and abs(s.radius - self.inner) < 1e-4
        ]
        arcs.sort(key=lambda s: -s.length)
        spots = [s.point_at(f) for s in arcs for f in (0.5, 0.3, 0.7)]
        lines = self.words.within(self.lam.bore_diameter, self.tolerance, "bore ⌀")
        return Note(self._round(spots, level=-0.2), lines)

    def key(self) -> Note | None:
        """Key ways: number, width, depth, corners."""
        key = self.hub.keyway
        if key is None:
            return None
        spots = [Point.polar(self.inner + key.depth, t) for t in self._turns(key.count)]
        times = f"{key.count} × " if key.count > 1 else ""
        lines = self.words.pair(f"{times}key way ", key.width, key.depth)
        if key.corner_radius:
            lines += (self.words.size(key.corner_radius, "corners R"),)
        return Note(self._tips(spots), lines)

    def flats(self) -> Note | None:
        """Flat sides of the bore."""
        flats = self.hub.flats
        if flats is None:
            return None
        spots = [Point.polar(flats.distance, t) for t in self._turns(flats.count)]
        if flats.count == 2:
            lines = self.words.lines(2 * flats.distance, "2 flats, ", " across")
        else:
            lines = self.words.lines(flats.distance, "flat, ", " from middle")
        return Note(self._tips(spots), lines)

    def marks(self) -> Note | None:
        """Notches that show a sheet turned over."""
        size = self.hub.mark_radius
        spots = [
            s.point_at(0.5)
            for s in self._bore_arcs
            if abs(s.radius - size) < _SAME and abs(s.center.length() - self.inner) < size / 4
        ]
        if not self.hub.orientation_mark or not spots:
            return None
        times = f"{len(spots)} × " if len(spots) > 1 else ""
        return Note(self._tips(spots), self.words.lines(size, f"{times}mark R"))


def _near(a: float, b: float, within: float) -> bool:
    """Tell whether two directions differ by less than `within` rad."""
    return abs(math.remainder(a - b, 2 * math.pi)) < within
