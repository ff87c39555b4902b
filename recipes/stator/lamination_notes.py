"""What the front view says of each feature: words, and the places that they may point to.

Of features that repeat, those on the side of the column are offered, the nearest to level first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from geometry.drafting.note_column import Note, Tip, gap_mark
from geometry.drafting.view import View
from geometry.point import ORIGIN, Point
from geometry.segment import Arc
from recipes.drawing_conventions import Words
from recipes.job import Job
from recipes.manufacturing.process import process
from recipes.stator.end_laminations import least_tooth_width
from recipes.stator.lamination import TOOTH_1

# Where on the front view a note may point: places on the side of its column, the best first.

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


_SAME = 1e-6


def front_notes(job: Job, view: View, words: Words, side: int) -> list[Note]:
    """Return every note of the front view for a column at one side.

    Args:
        view: places the axis of the motor (0, 0) on the sheet.
        side: +1 for a column at the right, -1 at the left.
    """
    feature = _Features(job, view, words, side)
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


class _Features(Places):
    """One method a feature; each returns its note, or None where the design has none."""

    def outside(self) -> Note:
        """Outer diameter, number of teeth and their pitch."""
        turns = self.teeth()
        spots = [Point.polar(self.radius, t) for t in turns]
        lines = (
            *self.words.within(self.lam.outer_diameter, self.off, "⌀"),
            f"{self.slots} teeth, {360 / self.slots:.5g}° apart",
        )
        return Note(self.tips(spots, level=0.5), lines)

    def tooth(self) -> Note | None:
        """Width of a tooth, across its middle; of parallel slots the least, as a reference."""
        width = least_tooth_width(self.job.slot)
        fixed = self.lam.slot_shape == "parallel teeth"
        middle = (self.radius - self.lam.tip_thickness + self.floor) / 2 if fixed else self.floor
        flank = self.job.slot.half[-3 if self.job.slot.radii["root_radius"] else -2]
        if not fixed:
            middle = min(flank.start, flank.end, key=lambda p: abs(p.y)).x
        marks = []
        for t in self.nearest(self.teeth(), level=0.15):
            a, b = (self.view.point(Point(middle, s * width / 2).rotated(t)) for s in (1.0, -1.0))
            marks.append(gap_mark(a, b, self.side))
        lines = (
            self.words.within(width, self.off, "tooth ")
            if fixed
            else self.words.reference(width, "least tooth ")
        )
        return Note(tuple(marks[:OFFERED]), lines, "none")

    def tab(self) -> Note | None:
        """Relief for holding tabs."""
        tab = self.lam.tab_notch
        if tab is None:
            return None
        turns = [p.angle() for p in self.middles(lambda p: self._at_tab(p, tab.place, tab.depth))]
        deep = self.radius - tab.depth if tab.place == "tip" else self.inner + tab.depth
        lines = self.words.pair(f"{tab.count} × tab notch ", tab.width, tab.depth)
        spots = [Point.polar(deep, t) for t in turns]
        return Note(self.tips(spots), lines) if spots else None

    def _at_tab(self, p: Point, place: str, depth: float) -> bool:
        edge = self.radius - depth if place == "tip" else self.inner + depth
        return abs(p.length() - edge) < 0.35 * depth

    def yoke(self) -> Note:
        """Ring under the slots: as designed with arms, else what is left, as a reference."""
        hub = self.hub
        slots = [TOOTH_1 + (2 * k + 1) * math.pi / self.slots for k in range(self.slots)]
        if hub.spokes and hub.yoke_thickness:
            inner = self.floor - hub.yoke_thickness
            free = [t for t in slots if not self.on_arm(t)]
            lines = self.words.lines(hub.yoke_thickness, "yoke ")
        else:
            reach = self.ring_reach()
            inner = max([self.inner, *reach])
            free = slots
            if reach:
                free = [t for t in slots for c in self.hole_turns() if near(t, c, 0.12)]
                free = free or list(self.hole_turns())
            lines = self.words.reference(self.floor - inner, "yoke ")
        marks = [
            gap_mark(
                self.view.point(Point.polar(inner, t)),
                self.view.point(Point.polar(self.floor, t)),
                self.side,
            )
            for t in self.nearest(free or slots, level=0.3)
        ]
        return Note(tuple(marks[:OFFERED]), lines, "none")

    def arm(self) -> Note | None:
        """Number and width of the arms."""
        arms, hub = self.hub.spokes, self.hub
        if arms is None:
            return None
        middle = (
            self.inner + (hub.rim_thickness or 0.0) + self.floor - (hub.yoke_thickness or 0.0)
        ) / 2
        marks = []
        for t in self.nearest(self.spread(arms.count), level=0.0):
            a, b = (
                self.view.point(Point(middle, s * arms.width / 2).rotated(t)) for s in (1.0, -1.0)
            )
            marks.append(gap_mark(a, b, self.side))
        lines = self.words.lines(arms.width, f"{arms.count} arms, each ")
        return Note(tuple(marks[:OFFERED]), lines, "none")

    def arm_round(self) -> Note | None:
        """Rounds in the corners of the windows between arms."""
        arms = self.hub.spokes
        if arms is None:
            return None
        holes = self.job.parts["lamination"][0].cut[0].holes[:-1]
        rounds = [
            s
            for hole in holes
            for s in hole.segments
            if isinstance(s, Arc)
            and abs(s.radius - arms.fillet_radius) < 1e-6
            and s.center.length() > _SAME
        ]
        spots = [s.point_at(0.5) for s in rounds]
        lines = self.words.lines(arms.fillet_radius, f"{len(rounds)} × R")
        return Note(self.tips(spots, level=-0.3), lines) if spots else None

    def windows(self) -> Note | None:
        """Round windows and their circle."""
        w = self.hub.windows
        if w is None:
            return None
        return self._holes(w.count, w.circle_diameter, 2 * w.radius, math.pi / w.count)

    def bolts(self) -> Note | None:
        """Bolt holes and their circle."""
        b = self.hub.bolts
        if b is None:
            return None
        return self._holes(b.count, b.circle_diameter, b.hole_diameter, 0.0)

    def _holes(self, count: int, circle: float, size: float, start: float) -> Note:
        toward = Point(self.side * size / 2, 0.0)
        spots = [Point.polar(circle / 2, t + start).plus(toward) for t in self.spread(count)]
        lines = (
            *self.words.lines(size, f"{count} × ⌀" if count > 1 else "⌀"),
            *self.words.lines(circle, "on ⌀"),
        )
        return Note(self.tips(spots), lines)

    def rim(self) -> Note | None:
        """Ring round the bore, between two arms."""
        hub = self.hub
        if hub.spokes is None or hub.rim_thickness is None:
            return None
        half = math.pi / hub.spokes.count
        marks = [
            gap_mark(
                self.view.point(Point.polar(self.inner, t + half)),
                self.view.point(Point.polar(self.inner + hub.rim_thickness, t + half)),
                self.side,
            )
            for t in self.nearest(self.spread(hub.spokes.count), level=-0.3)
        ]
        return Note(tuple(marks[:OFFERED]), self.words.lines(hub.rim_thickness, "rim "), "none")

    def bore(self) -> Note:
        """Bore, pointed at where it is round."""
        arcs = [
            s
            for s in self.bore_edges()
            if s.center.length() < _SAME and abs(s.radius - self.inner) < 1e-4
        ]
        arcs.sort(key=lambda s: -s.length)
        spots = [s.point_at(f) for s in arcs for f in (0.5, 0.3, 0.7)]
        return Note(
            self.tips(spots, level=-0.2),
            self.words.within(self.lam.bore_diameter, self.off, "bore ⌀"),
        )

    def key(self) -> Note | None:
        """Key ways: number, width, depth, corners."""
        key = self.hub.keyway
        if key is None:
            return None
        spots = [Point.polar(self.inner + key.depth, t) for t in self.spread(key.count)]
        times = f"{key.count} × " if key.count > 1 else ""
        lines = self.words.pair(f"{times}key way ", key.width, key.depth)
        if key.corner_radius:
            lines += (self.words.size(key.corner_radius, "corners R"),)
        return Note(self.tips(spots), lines)

    def flats(self) -> Note | None:
        """Flat sides of the bore."""
        flats = self.hub.flats
        if flats is None:
            return None
        spots = [Point.polar(flats.distance, t) for t in self.spread(flats.count)]
        if flats.count == 2:
            lines = self.words.lines(2 * flats.distance, "2 flats, ", " across")
        else:
            lines = self.words.lines(flats.distance, "flat, ", " from middle")
        return Note(self.tips(spots), lines)

    def marks(self) -> Note | None:
        """Notches that show a sheet turned over."""
        size = self.hub.mark_radius
        arcs = [
            s
            for s in self.bore_edges()
            if abs(s.radius - size) < 1e-6 and abs(s.center.length() - self.inner) < size / 4
        ]
        if not self.hub.orientation_mark or not arcs:
            return None
        spots = [s.point_at(0.5) for s in arcs]
        times = f"{len(arcs)} × " if len(arcs) > 1 else ""
        return Note(self.tips(spots), self.words.lines(size, f"{times}mark R"))
