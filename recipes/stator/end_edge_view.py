"""The picture of a tooth's end edge: sheets or cap, the round, paper and the innermost wire over it.

Seen along a tooth's tip; one flank is at t = 0, the tooth to its right, the end face of the steel at
z = 0, mm.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from geometry.drafting.drawing import Drawing, Fill, Item, Text, polyline, text_lines
from geometry.drafting.font import text_width, wrap
from geometry.drafting.view import View
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from recipes.design.insulation import EndCap, Ends, EndStep
from recipes.stator.end_edge import Rounding, corners, edge_of, taut_line

#: Size of the picture, its margin and the foot for words, mm.
WIDTH, HEIGHT, MARGIN, FOOT = 150.0, 150.0, 6.0, 28.0


@dataclass(frozen=True)
class _Edge:
    """What is drawn.

    Args:
        steps: narrower sheets; none for a cap or a square edge.
        sheet: height of one sheet, mm.
        radius: of the round that the edge is or approximates; 0 for a square edge.
        turns: middles of what the wire turns over, flank first, mm.
        turn_radius: radius of each of these: 0 for a corner, that of the cap.
        paper, wire: thickness of the liner and overall diameter of the wire, mm.
    """

    steps: tuple[EndStep, ...]
    sheet: float
    radius: float
    turns: list[Point]
    turn_radius: float
    paper: float
    wire: float

    @property
    def reach(self) -> float:
        """How far the picture reaches into tooth and stack, mm."""
        deep = self.sheet * (sum(s.count for s in self.steps) + 1)
        wide = self.steps[-1].narrower_by if self.steps else 0.0
        return max(deep, wide, self.radius) + 1.2 * self.wire


def edge_view(
    ends: Ends, sheet_height: float, proposed: Rounding, paper: float, wire: float, name: str
) -> Drawing:
    """Return the picture of the end edge; where it is square, of the steps that would round it.

    Args:
        ends: what rounds the edge.
        sheet_height: of one sheet in the stack with its share of glue, mm.
        proposed: round and steps that would suit a square edge.
        paper, wire: thickness of the liner and overall diameter of the wire, mm.
        name: of the design.
    """
    cap = ends.end_cap
    rounding, what = proposed, "square steel edge; drawn with the end sheets that are proposed:"
    if ends.steps:
        rounding = Rounding(edge_of(ends, sheet_height).radius, ends.steps)
        what = "end sheets"
    over = f"over it {paper:.3g} mm liner and the innermost turn, {wire:.3f} mm over enamel"
    if cap is not None:
        r = cap.edge_radius
        spot = Point(r - cap.proud, cap.thickness - r)
        edge = _Edge((), sheet_height, r, [spot], r, paper, wire)
        words = (
            f"end cap {cap.thickness:.3g} mm thick, {cap.proud:.3g} mm proud of the steel, edge "
            f"radius {r:.3g} mm; {over}"
        )
    elif rounding.steps:
        spots = [Point(a, -b) for a, b in taut_line(corners(rounding.steps, sheet_height))]
        edge = _Edge(rounding.steps, sheet_height, rounding.radius, spots, 0.0, paper, wire)
        words = (
            f"{what} {rounding.words} mm (count x narrower on each side), sheets {sheet_height:.3f} mm "
            f"with glue; long-dash-dot line: round of {rounding.radius:.2f} mm, from which the taut "
            f"line strays {rounding.deviation(sheet_height):.2f} mm at most; {over}"
        )
    else:
        edge = _Edge((), sheet_height, 0.0, [Point(0.0, 0.0)], 0.0, paper, wire)
        words = f"square steel edge; {over}"
    out = paper + wire + (cap.proud if cap else 0.0) + 0.4
    up = paper + wire + (cap.thickness if cap else 0.0) + 0.4
    room = min(WIDTH - 2 * MARGIN, HEIGHT - 2 * MARGIN - FOOT)
    # A picture, not a drawing: the largest whole scale, beyond the few that ISO 5455 names.
    scale = max(1, int(room / (edge.reach + max(out, up))))
    middle = Point(WIDTH / 2, MARGIN + FOOT + (HEIGHT - 2 * MARGIN - FOOT) / 2)
    view = View(middle, (scale, 1), Point((edge.reach - out) / 2, (up - edge.reach) / 2))
    items = _steel(edge, view)
    if cap is not None:
        items.append(_cap(cap, edge, view))
    items += [*_round(edge, view), *_wire(edge, view)]
    title = f"{name}: end edge of a tooth"
    lines = [f"{title}, seen along its tip, scale {view.label}; grey: steel", words]
    wrapped = [part for line in lines for part in wrap(line, WIDTH - 2 * MARGIN, 2.5)]
    items += text_lines(MARGIN, MARGIN + FOOT - 2.0, 2.5, wrapped)
    return Drawing(WIDTH, HEIGHT, tuple(items), title)


def _steel(edge: _Edge, view: View) -> list[Item]:
    """Return every sheet down to the edge of the picture, open where it goes on."""
    offs = [s.narrower_by for s in reversed(edge.steps) for _ in range(s.count)]
    items: list[Item] = []
    for k in range(math.ceil(edge.reach / edge.sheet)):
        off = offs[k] if k < len(offs) else 0.0
        top, low = -k * edge.sheet, -min((k + 1) * edge.sheet, edge.reach)
        spots = [
            view.at(*p) for p in ((edge.reach, low), (off, low), (off, top), (edge.reach, top))
        ]
        items += [Fill((Outline.polygon(spots),), "grey"), polyline(spots[1:], "visible")]
    return items


def _cap(cap: EndCap, edge: _Edge, view: View) -> Item:
    a, b = Point(edge.reach, 0.0), Point(-cap.proud, 0.0)
    (mid,) = edge.turns
    c, d = Point(b.x, mid.y), Point(mid.x, cap.thickness)
    run: list[Segment] = [Line(a, b)]
    if c != b:
        run.append(Line(b, c))
    run += [Arc(c, d, mid, False), Line(d, Point(edge.reach, cap.thickness))]
    return view.stroke(run, "visible")


def _round(edge: _Edge, view: View) -> list[Item]:
    """Return the round that steps approximate, with a little of flank and end face."""
    if not edge.steps:
        return []
    r = edge.radius
    run: list[Segment] = [
        Line(Point(0.0, -r - 0.3), Point(0.0, -r)),
        Arc(Point(0.0, -r), Point(r, 0.0), Point(r, -r), False),
        Line(Point(r, 0.0), Point(r + 0.3, 0.0)),
    ]
    return [view.stroke(run, "centre")]


def _wire(edge: _Edge, view: View) -> list[Item]:
    """Return the two edges of the wire: what lies below the lower one is paper and air."""
    items: list[Item] = [
        view.stroke(taut_course(edge.turns, edge.turn_radius + up, edge.reach), "narrow")
        for up in (edge.paper, edge.paper + edge.wire)
    ]
    left = edge.turns[0].x - edge.turn_radius - edge.paper
    if text_width("wire", 3.5) < 0.9 * edge.wire * view.factor:
        spot = view.at(left - edge.wire / 2, -0.7 * edge.reach)
        items.append(Text(spot.x, spot.y, 3.5, "wire", "centre"))
    return items


def taut_course(turns: list[Point], radius: float, reach: float) -> list[Segment]:
    """Return the line drawn tight from the flank over discs of `radius` mm to the end face.

    Args:
        turns: middles of the discs, flank first, on a hull that bulges to the upper left.
        radius: of all discs, above 0.
        reach: how far to go on down the flank and along the end face.
    """
    facing = [math.pi]  # directions in which the line leaves one disc for the next
    for a, b in itertools.pairwise(turns):
        facing.append(b.minus(a).angle() + math.pi / 2)
    facing.append(math.pi / 2)
    run: list[Segment] = []
    at = Point(turns[0].x - radius, -reach)
    for spot, before, after in zip(turns, facing, facing[1:], strict=False):
        start, end = (spot.plus(Point.polar(radius, f)) for f in (before, after))
        if start.distance(at) > 0:
            run.append(Line(at, start))
        if before - after > 1e-9:
            run.append(Arc(start, end, spot, False))
            at = end
        else:
            at = start
    run.append(Line(at, Point(reach, at.y)))
    return run
