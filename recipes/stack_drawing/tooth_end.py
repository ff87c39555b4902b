"""One tooth cut across at the lead end: steps, cap and washer that the wire turns over."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.sheet.dimension import EXTENSION_BEYOND, EXTENSION_GAP
from geometry.sheet.drawing import Item, Items, line
from geometry.sheet.gap_mark import gap_mark
from geometry.sheet.hatch import hatch
from geometry.sheet.note_column import Note, Tip
from geometry.sheet.symbol import centre_line
from recipes.drawing_words import Words
from recipes.parts.end_laminations import least_tooth_width

if TYPE_CHECKING:
    from geometry.segment import Box
    from geometry.sheet.view import View
    from recipes.job import Job

#: Straights shorter than this, mm, are left out.
SAME = 1e-6

#: Dimension line of the tooth's width under the view, clear of the end of the centre line, mm.
WIDTH_UNDER = 9.0

#: Full sheets shown below the last step, as a share of what lies over them.
BELOW = 0.8


def has_end(job: Job) -> bool:
    """Tell whether an end of a tooth differs from its middle."""
    design = job.design
    return bool(design.ends.steps or design.ends.end_cap or design.end_washer.thickness)


class ToothEnd:
    """Shapes in (across the tooth, along the axle): end face of the steel at 0, lead side up, mm."""

    def __init__(self, job: Job) -> None:
        """Measure the tooth of a design that `has_end`."""
        self.job, self.ends = job, job.design.ends
        self.half = least_tooth_width(job.slot) / 2
        sheet = job.stack.sheet_height
        depth, self.steps = 0.0, []
        for step in reversed(self.ends.steps):  # the outermost first
            top, depth = -depth, depth + step.count * sheet
            self.steps.append((top, -depth, step))
        cap, washer = self.ends.end_cap, job.design.end_washer
        self.cap = cap.thickness if cap else 0.0
        self.top = self.cap + washer.thickness
        self.out = max(cap.proud if cap else 0.0, washer.extension if washer.thickness else 0.0)
        self.low = -depth - max(BELOW * (depth + self.top), 2 * sheet)

    @property
    def box(self) -> Box:
        """Box of what is drawn, mm."""
        wide = self.half + max(self.out, 0.0)
        return (-wide, self.low, wide, self.top)

    def view(self, view: View) -> Items:
        """Return section and centre line."""
        items: list[Item] = []
        for outline, lean in self._faces():
            face = view.outline(outline)
            items += [
                *hatch(Region(face), angle=lean * math.pi / 4),
                *view.edges(outline, "visible"),
            ]
        items.append(centre_line(view.at(0.0, self.low), view.at(0.0, self.top)))
        return tuple(items)

    def _faces(self) -> list[tuple[Outline, int]]:
        """Return every cut face and which way its hatching leans."""
        depth = self.steps[-1][1] if self.steps else 0.0
        found = [(_bar(self.half, self.low, depth), 1)]
        found += [
            (_bar(self.half - step.narrower_by, low, top), 1) for top, low, step in self.steps
        ]
        cap, washer = self.ends.end_cap, self.job.design.end_washer
        if cap:
            found.append((_rounded(self.half + cap.proud, cap.thickness, cap.edge_radius), -1))
        if washer.thickness:
            last = self.steps[0][2].narrower_by if self.steps else 0.0
            wide = self.half - last + washer.extension
            found.append((_bar(wide, self.cap, self.top), -1))
        return found

    def notes(self, view: View, words: Words) -> list[Note]:
        """Return what each step, cap and washer measures, for a column at the right."""
        cap, washer = self.ends.end_cap, self.job.design.end_washer
        found = [self._width(view, words)]
        if washer.thickness:
            tip = view.at(0.6 * self.half, (self.cap + self.top) / 2)
            lines = words.lines(washer.thickness, "washer ")
            found.append(Note((Tip(tip),), lines, "dot"))
        if cap:
            x, r = self.half + cap.proud, cap.edge_radius
            spot = Point.polar(r, math.pi / 4).plus(Point(x - r, cap.thickness - r))
            found.append(Note((Tip(view.point(spot)),), words.lines(r, "R")))
            lines = words.lines(cap.thickness, "cap ")
            found.append(Note((Tip(view.at(0.6 * self.half, cap.thickness / 2)),), lines, "dot"))
            if cap.proud:
                tip = view.at(x, 0.25 * (cap.thickness - r))
                found.append(Note((Tip(tip),), words.lines(cap.proud, "proud ")))
        for top, low, step in self.steps:
            tip = view.at(self.half - step.narrower_by, (top + low) / 2)
            sheets = "1 sheet" if step.count == 1 else f"{step.count} sheets"
            lines = (f"{sheets}, each side", *words.lines(step.narrower_by, "−"))
            if not words.inches:
                lines = (" ".join(lines),)
            found.append(Note((Tip(tip),), lines))
        return found

    def _width(self, view: View, words: Words) -> Note:
        """Return the width of the tooth under the view."""
        a, b = (view.at(s * self.half, self.low) for s in (-1.0, 1.0))
        at = a.y - WIDTH_UNDER
        mark = gap_mark(Point(a.x, at), Point(b.x, at), 1)
        ways = tuple(
            line(Point(p.x, p.y - EXTENSION_GAP), Point(p.x, at - EXTENSION_BEYOND)) for p in (a, b)
        )
        return Note((Tip(mark.at, (*mark.items, *ways)),), words.reference(2 * self.half), "none")


def _bar(half: float, low: float, top: float) -> Outline:
    return Outline.polygon([(-half, low), (half, low), (half, top), (-half, top)])


def _rounded(half: float, top: float, radius: float) -> Outline:
    """Return a bar whose upper corners are rounded, as much as it is wide."""
    radius = min(radius, half)
    a, b = Point(-half, 0.0), Point(half, 0.0)
    low = 0.0 if top - radius < SAME else top - radius
    mid = 0.0 if half - radius < SAME else half - radius
    c, d, e, f = Point(half, low), Point(mid, top), Point(-mid, top), Point(-half, low)
    run: list[Segment] = [Line(a, b)]
    run += [Line(b, c)] if low else []
    run.append(Arc(c, d, Point(mid, low), True))
    run += [Line(d, e)] if mid else []
    run.append(Arc(e, f, Point(-mid, low), True))
    run += [Line(f, a)] if low else []
    return Outline(tuple(run))
