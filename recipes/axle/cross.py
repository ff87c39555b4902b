"""Across the axle: the view on face A and the section through the wire slot, at true angles.

Both look from face A toward face B, the wire slot to the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from geometry.fillet import fillet
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from geometry.sheet.dimension import LinearDimension, arrow
from geometry.sheet.dimension_round import diameter
from geometry.sheet.drawing import Item, Items, Stroke, Text, line
from geometry.sheet.font import LINE_PITCH, SMALLEST_TEXT, text_width
from geometry.sheet.hatch import hatch
from geometry.sheet.leader import leader
from geometry.sheet.symbol import centre_cross
from geometry.sheet.view import View
from recipes.axle.flats import FlatFace, flat_faces
from recipes.axle.profile import axle_pieces, mouth_radius
from recipes.axle.sections import SAME
from recipes.axle.slot_rules import slot_piece
from recipes.drawing_words import Words
from recipes.job import Job

#: Two circles that would lie nearer than this on the sheet, mm, are drawn as one.
APART = 0.7

#: Height of the names of views, mm.
NAME_HEIGHT = 3.5


def slot_radius(job: Job) -> float:
    """Return the radius of the axle at the wire slot, mm; the rules have made sure of it."""
    piece = slot_piece(job)
    assert piece is not None
    return piece.diameter / 2


def slot_corner(job: Job, radius: float) -> Arc | Line:
    """Return the upper edge of the slot's mouth in the section: its round, or the wall if sharp."""
    return _mouth(job, radius)[1]


def _mouth(job: Job, radius: float) -> tuple[Line, Arc | Line, Arc]:
    """Return wall of the slot outward, round of its mouth, outer circle to the far side."""
    axle = job.design.axle
    a, rb = axle.wire_slot.width / 2, axle.bore_diameter / 2
    inner = Point(math.sqrt(rb * rb - a * a), a)
    edge = Point(math.sqrt(radius * radius - a * a), a)
    wall, outer = Line(inner, edge), Arc(edge, Point(-radius, 0.0), ORIGIN, True)
    if axle.wire_slot.mouth_radius <= SAME:
        return wall, wall, outer
    cut, round_, rest = fillet(wall, outer, axle.wire_slot.mouth_radius)
    assert isinstance(cut, Line)
    assert isinstance(rest, Arc)
    return cut, round_, rest


def slot_section(job: Job, radius: float) -> Region:
    """Return the cut face through the wire slot of an axle of `radius` mm, slot toward +x, exact."""
    wall, round_, outer = _mouth(job, radius)
    upper: list[Segment] = [wall, outer] if round_ is wall else [wall, round_, outer]
    lower = [s.mirrored().reversed() for s in reversed(upper)]
    bore = Arc(lower[-1].end, upper[0].start, ORIGIN, False)
    return Region(Outline((*upper, *lower, bore)))


def end_view(job: Job, view: View, words: Words) -> Items:
    """Return the view on face A with the up direction of the mounted axle.

    Args:
        view: places the axis (0, 0) on the sheet.
    """
    axle, pieces, flats = job.design.axle, axle_pieces(job), flat_faces(job)
    items: list[Item] = []
    largest = 0.0
    for p in pieces:
        r = p.diameter / 2
        if (r - largest) * view.factor >= APART or (largest == 0.0):
            cut = [f for f in flats if f.start <= SAME and p.start <= SAME]
            items += _circle(view, r, cut)
            largest = r
    bore = axle.bore_diameter / 2
    items += view.edges(Outline.circle(ORIGIN, bore), "visible")
    mouth = mouth_radius(job)
    if mouth * view.factor >= APART:
        items += view.edges(Outline.circle(ORIGIN, bore + mouth), "narrow")
    items += centre_cross(view.point(ORIGIN), largest * view.factor)
    turn = math.pi / 2 - math.radians(axle.wire_slot.angle)
    items += _mouth_note(view, turn, largest * view.factor, (bore + mouth, mouth), words)
    return (*items, *_up(view, turn, largest * view.factor))


def _circle(view: View, r: float, flats: list[FlatFace]) -> Items:
    """Return a circle, or what flats leave of it."""
    if not flats:
        return view.edges(Outline.circle(ORIGIN, r), "visible")
    edges: list[Segment] = []
    ordered = sorted(flats, key=lambda f: f.direction % (2 * math.pi))
    ends = [(Point.polar(r, f.corners[0]), Point.polar(r, f.corners[1])) for f in ordered]
    for (a, b), (c, _) in zip(ends, (*ends[1:], ends[0]), strict=True):
        edges += [Line(a, b), Arc(b, c, ORIGIN, True)]
    return view.edges(Outline(tuple(edges)), "visible")


def _mouth_note(
    view: View, turn: float, reach: float, mouth: tuple[float, float], words: Words
) -> Items:
    """Return the note on the bore's mouth, led out to the right, below or above.

    Args:
        turn: direction of "up" in this view, rad, whose arrow needs its place.
        reach: radius of the largest circle on the sheet, mm.
        mouth: radius of the circle where the mouth runs out, and the mouth's own radius, mm.
    """
    if mouth[1] <= SAME:
        return ()
    down = 1.0 if math.sin(turn) < 0.3 and math.cos(turn) > -0.2 else -1.0
    lines = (*words.lines(mouth[1], "R"), "bore mouth")
    tip = view.point(Point.polar(mouth[0], down * math.pi / 3))
    hanging = LINE_PITCH * SMALLEST_TEXT * (len(lines) - 1)
    away = reach + (5.0 if down < 0 else 4.0 + hanging)
    return leader(tip, Point(tip.x + 3.0, view.origin.y + down * away), lines)


def _up(view: View, turn: float, reach: float) -> Items:
    """Return an arrow in direction `turn` outside the largest circle: up when mounted."""
    foot = view.origin.plus(Point.polar(reach + 4.0, turn))
    tip = foot.plus(Point.polar(6.0, turn))
    word = tip.plus(Point.polar(2.6, turn))
    aside = math.cos(turn) * 1.2  # the word is wider than high
    label = Text(word.x + aside, word.y, SMALLEST_TEXT, "up", "centre", level="middle")
    return line(foot, tip), arrow(tip, turn), label


def section_view(job: Job, view: View, words: Words, name: str) -> Items:
    """Return section A-A through the wire slot with its sizes and its name above."""
    r = slot_radius(job)
    region = slot_section(job, r)
    items: list[Item] = [*hatch(view.region(region)), *view.edges(region, "visible")]
    items += _behind(view, region)
    k = view.factor
    items += centre_cross(view.point(ORIGIN), r * k)
    items += _sizes(job, view, r, words)
    # Clear of the circle, and of the words on the bore that stand beside it.
    high = max(r * k + 4.5, math.tan(math.radians(40)) * (r * k + 4.0) + 4.4)
    items.append(Text(view.origin.x, view.origin.y + high, NAME_HEIGHT, name, "centre"))
    return tuple(items)


def _behind(view: View, region: Region) -> Iterator[Stroke]:
    """Yield the far end of the slot, seen behind the section: outer circle and bore close there."""
    segments = region.outer.segments
    arcs = [s for s in segments if isinstance(s, Arc) and abs(s.center.distance(ORIGIN)) < SAME]
    outer = [s for s in arcs if s.ccw]
    bore = next(s for s in arcs if not s.ccw)
    yield view.stroke((Arc(outer[-1].end, outer[0].start, ORIGIN, True),), "visible")
    yield view.stroke((Arc(bore.start, bore.end, ORIGIN, True),), "visible")


def _sizes(job: Job, view: View, r: float, words: Words) -> Items:
    """Return width of the slot and round of its mouth at the right, bore and wall at the left."""
    axle, k, o = job.design.axle, view.factor, view.origin
    a, rb = axle.wire_slot.width / 2, axle.bore_diameter / 2
    items: list[Item] = list(_slot_width(job, view, r, words))
    near, far = (view.point(Point.polar(rb, math.radians(t))) for t in (-40, 140))
    clear = (r * k + 4.0) / math.cos(math.radians(40)) - rb * k  # the shelf ends beside the circle
    items += diameter(near, far, _bore_words(job, view, r, words), reach=clear, side=-1)
    items += _wall(view, r, rb, words)
    round_ = slot_corner(job, r).mirrored()
    if isinstance(round_, Arc):
        tip = view.point(round_.point_at(0.5))
        elbow = Point(tip.x + 3.0, o.y - a * k - 11.0)
        items += leader(tip, elbow, words.lines(round_.radius, "R"))
    return tuple(items)


def _slot_width(job: Job, view: View, r: float, words: Words) -> Items:
    """Return the width of the slot, its text on a shelf if it does not fit on the line."""
    width = job.design.axle.wire_slot.width
    edge = Point(math.sqrt(r * r - width * width / 4), width / 2)
    upper, lower = view.point(edge), view.point(edge.mirrored())
    at = view.origin.x + r * view.factor + 9.0
    plain = LinearDimension(lower, upper, words.size(width), at, "y")
    if plain.text_width + 1.0 <= plain.length:
        return plain.items()
    ways = [line(Point(p.x + 0.8, p.y), Point(at + 2.0, p.y)) for p in (lower, upper)]
    feet = Point(at, lower.y), Point(at, upper.y)
    return (*ways, *diameter(*feet, words.lines(width), reach=8.0, side=1))


def _fits_wall(view: View, wall: float, words: Words) -> bool:
    """Tell whether the wall can be written on its own dimension line."""
    return text_width(_wall_words(wall, words), SMALLEST_TEXT) + 2.0 <= wall * view.factor


def _wall_words(wall: float, words: Words) -> str:
    return f"({words.size(wall)})"


def _wall(view: View, r: float, rb: float, words: Words) -> Items:
    """Return the wall as a reference size at the left, where there is room for its text."""
    if not _fits_wall(view, r - rb, words):
        return ()
    a, b = view.point(Point(0.0, -r)), view.point(Point(0.0, -rb))
    at = view.origin.x - r * view.factor - 6.0
    return LinearDimension(a, b, _wall_words(r - rb, words), at, "y").items()


def _bore_words(job: Job, view: View, r: float, words: Words) -> tuple[str, ...]:
    """Return diameter and depth of the bore, and the wall if it is not dimensioned."""
    axle = job.design.axle
    lines = words.lines(axle.bore_diameter, "⌀")
    wall = r - axle.bore_diameter / 2
    depth = "through" if axle.bore_depth is None else f"{words.size(axle.bore_depth)} deep"
    rest = () if _fits_wall(view, wall, words) else (f"wall {_wall_words(wall, words)}",)
    return (*lines, depth, *rest)
