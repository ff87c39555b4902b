"""Drawing of a turned disc or ring with holes: section at the left, seen from its left end at the right.

+----------------------------------------------------------+
|  diameters  [section]  diameters     (view)    holes      |
|               lengths                                     |
| what to heed           | title block                      |
+----------------------------------------------------------+
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Literal

from geometry.drafting.dimension import (
    EXTENSION_BEYOND,
    EXTENSION_GAP,
    LinearDimension,
    Span,
    leader,
    stack,
)
from geometry.drafting.drawing import Drawing, Item, Items, Text, held, line
from geometry.drafting.font import SMALLEST_TEXT, text_width, widest
from geometry.drafting.label import (
    Note,
    Tip,
    column_width,
    gap_mark,
    note_column,
    numbered_notes,
)
from geometry.drafting.sheet import Sheet
from geometry.drafting.symbol import centre_cross, centre_line, cutting_plane, hatch
from geometry.drafting.view import SCALES, View
from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from recipes.drawing_conventions import (
    Imprint,
    Words,
    first_legible,
    papers,
    sharp_edges,
    titled_sheet,
)
from recipes.tables.fits import Limits

#: Size of the view on the sheet, mm; nothing is enlarged beyond 5:1.
LEAST_VIEW, MOST_VIEW, LARGEST = 30.0, 125.0, 5.0

#: Clear distances, mm: from a view to its column of notes, between groups, under the view for the mark
#: of the cutting plane, under the section for its lengths (each row), over it for its name.
TO_NOTES, GAP, MARK, ROW, NAME = 8.0, 6.0, 12.0, 8.0, 8.0

#: Notes begin this far below the top of their box, mm: base lines clear of half a pixel, where
#: renderers at 100 dpi round apart.
NOTES_DOWN = 0.18

#: From the section to the first dimension line of a diameter, mm.
FIRST = 10.0

Side = Literal["left", "right"]


@dataclass(frozen=True)
class Edge:
    """A turned diameter and what its dimension says.

    Args:
        radius: mm.
        side: of the section that its dimension stands at.
        limits: of its fit; None for none.
        tolerance: plus and minus, mm; None for the general tolerance.
    """

    radius: float
    side: Side
    limits: Limits | None = None
    tolerance: float | None = None

    def lines(self, words: Words) -> tuple[str, ...]:
        """Return what is written."""
        size = 2 * self.radius
        if self.limits:
            return words.limits(self.limits)
        if self.tolerance is not None:
            return words.within(size, self.tolerance, "⌀")
        return words.lines(size, "⌀")


@dataclass(frozen=True)
class Axial:
    """A length along the axis, from `start` to `end` at the radius where it is measured, mm.

    `tolerance` is plus and minus, None for a length of the stock or of the general tolerance; `before`
    stands before the length.
    """

    start: float
    end: float
    radius: float
    tolerance: float | None
    before: str = ""


@dataclass(frozen=True)
class Circle:
    """Equal holes along the axis on one circle.

    Args:
        radius: of the circle, mm.
        diameter: of a hole, or of the drill for its thread, mm.
        centers: seen from the left end, mm.
        thread: such as "M5", "" for a plain hole.
        field: dotted design field.
        depth: of a blind hole from each end, mm; 0 for one right through.
    """

    radius: float
    diameter: float
    centers: tuple[Point, ...]
    thread: str
    field: str
    depth: float = 0.0

    def lines(self, words: Words) -> tuple[str, ...]:
        """Return what is written."""
        size = self.thread or words.size(self.diameter, "⌀")
        deep = f" {words.size(self.depth)} deep, both ends" if self.depth else ""
        return (f"{len(self.centers)} × {size}{deep}", f"on {words.size(2 * self.radius, '⌀')}")


@dataclass(frozen=True)
class TurnedPart:
    """What is drawn.

    Args:
        name: of the part.
        title: in words, first letter small.
        material: as the title block says.
        profile: half-section in (z, r), left end at z = 0, mm.
        edges, axials, circles: sizes.
        notes: sentences beside the title block.
        run_out: of all diameters and faces to the axis of the pocket or bore, mm.
        field: dotted design field that is to blame if no sheet takes it.
    """

    name: str
    title: str
    material: str
    profile: Outline
    edges: tuple[Edge, ...]
    axials: tuple[Axial, ...]
    circles: tuple[Circle, ...]
    notes: tuple[str, ...]
    run_out: float
    field: str

    @property
    def length(self) -> float:
        """Along the axis, mm."""
        return self.profile.box[2]

    @property
    def reach(self) -> float:
        """Outermost radius, mm."""
        return self.profile.box[3]


def turned_drawing(part: TurnedPart, imprint: Imprint) -> Drawing:
    """Return the sheet: A4 landscape (Letter where the design prints on it), else A3, else A2.

    Raises:
        Refused: nothing can be read on any sheet.
    """
    tries = (
        partial(_drawing, part, imprint, paper, scale)
        for paper in papers(imprint.printer)
        for scale in SCALES
        if scale[0] / scale[1] <= LARGEST
        and LEAST_VIEW <= 2 * part.reach * scale[0] / scale[1] <= MOST_VIEW
    )
    return first_legible(tries, part.field, part.length, part.title)


def _drawing(part: TurnedPart, imprint: Imprint, paper: str, scale: tuple[int, int]) -> Drawing:
    """Return the sheet at one scale.

    Raises:
        GeometryError: something has no room.
    """
    words, k = imprint.words, scale[0] / scale[1]
    sheet = _framed(part, imprint, paper, scale)
    room, size, long = sheet.room, 2 * part.reach * k, part.length * k
    beside = [_beside(part, side, View(ORIGIN, scale), words) for side in ("left", "right")]
    named = column_width(_hole_notes(part, View(ORIGIN, scale), words))
    wide = sum(beside) + long + GAP + size + (TO_NOTES + named if named else 0.0)
    high = NAME + size + max(10.0 + ROW * len(part.axials), MARK)
    if wide > room[2] - room[0] or high > room[3] - room[1]:
        raise GeometryError("section and view are too large")
    slack = (room[2] - room[0] - wide) / 3
    axis = room[3] - NAME - size / 2 - (room[3] - room[1] - high) / 2
    left = room[0] + slack + beside[0]
    view = View(Point(left, axis), scale)
    items = held(_section(part, view, words), view)
    x = left + long + beside[1] + GAP + slack + size / 2
    front = View(Point(x, axis), scale)
    seen = _front(part, front, size)
    between = (max(room[1], axis - size / 2 - 4.0), room[3] - 1.0)
    notes = _hole_notes(part, front, words)
    seen += note_column(notes, x=x + size / 2 + TO_NOTES, side=1, room=between)
    items += held(seen, front)
    items += (Text(left + long / 2, axis + size / 2 + 3.5, 3.5, "A-A", "centre"),)
    if sheet.side:
        x0, y0, x1, y1 = sheet.side
        items += numbered_notes(_sentences(part, words), (x0, y0, x1, y1 - NOTES_DOWN))
    if not sheet.holds(items):
        raise GeometryError("something leaves the frame")
    title = f"{part.title.capitalize()}, {imprint.name}"
    return Drawing(sheet.width, sheet.height, (*sheet.items, *items), title)


def _beside(part: TurnedPart, side: str, view: View, words: Words) -> float:
    """Return the width that the diameters at one side of the section take, mm."""
    edges = [e for e in part.edges if e.side == side]
    shelved = any(_on_shelf(e, view, words) for e in edges)
    wide = max((widest(e.lines(words), SMALLEST_TEXT) for e in edges), default=0.0)
    return FIRST + ROW * (len(edges) - 1) + (5.0 + wide if shelved else 2.0)


def _framed(part: TurnedPart, imprint: Imprint, paper: str, scale: tuple[int, int]) -> Sheet:
    return titled_sheet(
        imprint,
        paper,
        f"{scale[0]}:{scale[1]}",
        what=part.title,
        kind="part drawing",
        material=part.material,
        edges=sharp_edges(imprint),
    )


def _sentences(part: TurnedPart, words: Words) -> tuple[str, ...]:
    run_out = (
        f"Run-out of all turned faces to the axis of the bore: {words.zone(part.run_out)} at most."
    )
    told = tuple(words.said(f"{n[0].upper()}{n[1:].rstrip('.')}.") for n in part.notes)
    return (run_out, *told, *(("Inches; mm in brackets.",) if words.inches else ()))


def _hole_notes(part: TurnedPart, view: View, words: Words) -> list[Note]:
    """Return the notes of holes; each points to any hole in the right half of the view."""
    found = []
    for c in part.circles:
        right = [p for p in c.centers if p.x > 0.2 * c.radius] or list(c.centers)
        edge = Point(c.diameter / 2, 0.0)
        ends = [(view.point(p.plus(edge, -1.0)), view.point(p.plus(edge))) for p in right]
        tips = [Tip(pair[1], (), None if c.thread else pair, "diameter") for pair in ends]
        found.append(Note(tuple(tips), c.lines(words)))
    return found


def _section(part: TurnedPart, view: View, words: Words) -> Items:
    """Return the section through the axis and the uppermost hole, with its lengths."""
    items: list[Item] = []
    for turned in (1.0, -1.0):
        for face in _faces(part, turned):
            shown = view.outline(face)
            items += [*hatch(Region(shown)), *view.edges(face, "visible")]
        items += _hole_lines(part, turned, view)
    for spot in part.profile.points:
        # edges behind the cut: of bores they reach right across
        r = _bore_at(part, spot)
        if r:
            items.append(view.line(Point(spot.x, r), Point(spot.x, -r), "visible"))
    items.append(centre_line(view.at(0.0, 0.0), view.at(part.length, 0.0)))
    low = view.at(0.0, -part.reach).y
    spans = [
        Span(view.at(a.start, -a.radius), view.at(a.end, -a.radius), _length_words(a, words))
        for a in part.axials
    ]
    dims = list(stack(spans, base=low, direction=-1))
    items += [item for dim in dims for item in dim.items()]
    for side, z, way in (("left", 0.0, -1), ("right", part.length, 1)):
        edges = sorted(
            (e for e in part.edges if e.side == side), key=lambda e: _row(e, view, words)
        )
        base = view.at(z, 0.0).x
        for k, e in enumerate(edges):
            at = base + way * (FIRST + ROW * k)
            passing = max((o.radius for o in edges[k + 1 :] if o.radius < e.radius), default=0.0)
            items += _diameter(e, view, words, (z, at), passing)
    return tuple(items)


def _row(e: Edge, view: View, words: Words) -> tuple[bool, float]:
    """Return the order of diameters from the section outwards: on a shelf last, the largest before."""
    return _on_shelf(e, view, words), e.radius


def _on_shelf(e: Edge, view: View, words: Words) -> bool:
    """Tell whether the words of a diameter find no room along its dimension line."""
    wide = text_width(" ".join(e.lines(words)), SMALLEST_TEXT)
    return wide + 1.0 > 2 * e.radius * view.factor


def _diameter(
    e: Edge, view: View, words: Words, place: tuple[float, float], passing: float
) -> Items:
    """Return one diameter beside the section.

    Args:
        e, view, words: what is said, and where.
        place: z of the edge in the model; x of the dimension line on the sheet, mm.
        passing: radius of the outermost smaller diameter whose extension lines pass, 0 for none.
    """
    z, at = place
    low, high = (view.at(z, up * e.radius) for up in (-1.0, 1.0))
    text = " ".join(e.lines(words))
    clear = (e.radius - passing) * view.factor >= text_width(text, SMALLEST_TEXT) + 2.0
    if not _on_shelf(e, view, words) and (clear or not passing):
        middle = (e.radius + (e.radius + passing) / 2) * view.factor if passing else None
        return LinearDimension(low, high, text, at, "y", text_at=middle).items()
    way = 1.0 if at > low.x else -1.0
    mark = gap_mark(Point(at, low.y), Point(at, high.y), int(way))
    ways = tuple(
        line(Point(p.x + way * EXTENSION_GAP, p.y), Point(at + way * EXTENSION_BEYOND, p.y))
        for p in (low, high)
    )
    start = Point(at, high.y) if passing else mark.at
    elbow = start.plus(Point(way * 4.0, 4.0))
    told = leader(start, elbow, e.lines(words), side=int(way), end="none")
    return mark.measured((*ways, *mark.items, *told), e.lines(words))


def _length_words(a: Axial, words: Words) -> str:
    length = round(a.end - a.start, 3)
    said = words.lines(length) if a.tolerance is None else words.within(length, a.tolerance)
    return " ".join((a.before, *said) if a.before else said)


def _bore_at(part: TurnedPart, spot: Point) -> float:
    """Return the radius of a bore's edge at a corner of the profile; 0 at a corner of the outside."""
    inside = min(p.y for p in part.profile.points if p.x == spot.x)
    return spot.y if spot.y == inside else 0.0


def _cut_hole(part: TurnedPart, turned: float) -> tuple[Circle, Point] | None:
    """Return the hole that the plane of the section cuts in its upper (+1) or lower half."""
    for c in part.circles:
        for p in c.centers:
            if abs(p.x) < 1e-6 and p.y * turned > 0:
                return c, p
    return None


def _faces(part: TurnedPart, turned: float) -> list[Outline]:
    """Return the cut faces of one half: the profile, parted by a hole that goes right through."""
    hole = _cut_hole(part, turned)
    points = list(part.profile.points)
    if hole is None or hole[0].depth:
        return [_placed(points, turned)]
    c, _ = hole
    low, high = c.radius - c.diameter / 2, c.radius + c.diameter / 2
    inner = [Point(p.x, min(p.y, low)) for p in points]
    at = sorted({p.x for p in points if p.y == part.reach})
    outer = [Point(z, r) for z, r in ((at[0], high), (at[-1], high))]
    outer += [Point(at[-1], part.reach), Point(at[0], part.reach)]
    return [_placed(inner, turned), _placed(outer, turned)]


def _placed(points: Sequence[Point], turned: float) -> Outline:
    return Outline.polygon([(p.x, turned * p.y) for p in points])


def _hole_lines(part: TurnedPart, turned: float, view: View) -> Items:
    """Return the edges of a cut hole, and its centre line."""
    hole = _cut_hole(part, turned)
    if hole is None:
        return ()
    c, _ = hole
    middle, r = turned * c.radius, c.diameter / 2
    at = sorted({p.x for p in part.profile.points if p.y == part.reach})
    items: list[Item] = [centre_line(view.at(at[0], middle), view.at(at[-1], middle))]
    ends = [(at[0], at[-1])]
    if c.depth:
        ends = [(at[0], at[0] + c.depth), (at[-1] - c.depth, at[-1])]
    for a, b in ends:
        for up in (r, -r):
            items.append(view.line(Point(a, middle + up), Point(b, middle + up), "visible"))
        for z in (a, b):
            items.append(view.line(Point(z, middle - r), Point(z, middle + r), "visible"))
    return tuple(items)


def _front(part: TurnedPart, view: View, size: float) -> Items:
    """Return the view on the left end with the cutting plane."""
    at = view.origin
    radii = {p.y for p in part.profile.points if p.x == 0.0}
    items: list[Item] = []
    for r in sorted(radii):
        items += view.edges(Outline.circle(ORIGIN, r), "visible")
    for c in part.circles:
        items += view.edges(Outline.circle(ORIGIN, c.radius), "centre")
        for p in c.centers:
            items += view.edges(Outline.circle(p, c.diameter / 2), "visible")
            out = Point.polar(c.diameter / 2 + 1.5 / view.factor, p.angle())
            items.append(centre_line(view.point(p.minus(out)), view.point(p.plus(out)), beyond=0.0))
    items += centre_cross(at, size / 2)[:1]
    top, low = (Point(at.x, at.y + s * (size / 2 + 6.0)) for s in (1.0, -1.0))
    items += cutting_plane(top, low, "A", math.pi, height=3.0)
    return tuple(items)
