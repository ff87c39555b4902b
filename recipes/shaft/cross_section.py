"""Across the axle: the view on face A and the section through the wire slot, at true angles.

Both look from face A toward face B, the wire slot to the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from geometry.drafting.dimension import LinearDimension, arrow, diameter, leader
from geometry.drafting.drawing import Item, Items, Stroke, Text, line
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_width
from geometry.drafting.label import Label
from geometry.drafting.symbol import centre_cross, hatch
from geometry.drafting.view import View
from geometry.fillet import fillet
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from recipes.design.axle import Axle
from recipes.drawing_conventions import Words, plain
from recipes.shaft.axle_shape import AxleShape, FlatFace
from recipes.shaft.end_thread import threaded_ends
from recipes.shaft.geometric_tolerance import DATUM, SYMMETRY
from recipes.shaft.key_seat import KeySeats
from recipes.shaft.sections import SAME

# How key seats look: from the side, and across in a section of their own.
#
# A seat that faces the reader shows its mouth, one at the upper or lower edge its floor as a hidden
# line; one behind is told in words and in the section. Round ends that are seen at an angle are
# drawn as arcs through true points.

#: A seat whose direction lies this near to the edge of the view shows its floor, not its mouth.
EDGE_ON = 0.15

#: Seats shorter than this on the sheet, mm, have no label of their own: that of the stator seat says it.
LEAST_LENGTH = 6.0


def key_directions(shape: AxleShape) -> list[float]:
    """Return the directions of the key seats in the drawing, rad."""
    return [shape.direction(a) for a in shape.key_seats.angles] if shape.key_seats else []


def side_view_keys(shape: AxleShape, view: View) -> Iterator[Stroke]:
    """Yield what the side view shows of the key seats."""
    seats = shape.key_seats
    if seats is None:
        return
    for turn in key_directions(shape):
        if math.cos(turn) > EDGE_ON:
            yield view.stroke(_key_mouth(seats, turn), "visible")
        elif math.cos(turn) >= -EDGE_ON:
            up = math.copysign(1.0, math.sin(turn))
            a, b = (Point(z, up * seats.floor) for z in (seats.start, seats.end))
            c, d = (Point(z, up * seats.radius) for z in (seats.start, seats.end))
            yield view.stroke((Line(c, a), Line(a, b), Line(b, d)), "hidden")


def _key_mouth(seats: KeySeats, turn: float) -> tuple[Segment, ...]:
    """Return the edge of a seat on the skin of the axle, as seen from the side."""
    half = seats.width / 2

    def edge(k: int, far: bool) -> Point:
        """Return a true point of a round end, `k` eighths of a turn's quarter from its middle."""
        t = k * math.pi / 8
        height = seats.radius * math.sin(turn + math.asin(half * math.sin(t) / seats.radius))
        z = (
            seats.end - half + half * math.cos(t)
            if far
            else seats.start + half - half * math.cos(t)
        )
        return Point(z, height)

    far, near = ([edge(k, side) for k in range(-4, 5)] for side in (True, False))
    ends = [[_through(*points[k : k + 3]) for k in (0, 2, 4, 6)] for points in (far, near[::-1])]
    low, high = Line(near[0], far[0]), Line(far[-1], near[-1])
    return (low, *ends[0], high, *ends[1])


def _through(a: Point, b: Point, c: Point) -> Arc:
    """Return the arc from `a` through `b` to `c`."""
    p, q = b.minus(a), c.minus(a)
    twice = 2 * p.cross(q)
    x = (q.y * (p.x**2 + p.y**2) - p.y * (q.x**2 + q.y**2)) / twice
    y = (p.x * (q.x**2 + q.y**2) - q.x * (p.x**2 + p.y**2)) / twice
    return Arc(a, c, a.plus(Point(x, y)), twice > 0)


def dimensioned(seats: KeySeats | None, view: View) -> bool:
    """Tell whether there are key seats for whose label and lengths the side view has room."""
    return seats is not None and seats.length * view.factor >= LEAST_LENGTH


def key_lines(seats: KeySeats, view: View, words: Words) -> tuple[str, ...]:
    """Return what is said of the key seats: size, class, depth, directions."""
    many = "key seat " if len(seats.angles) == 1 else f"{len(seats.angles)} key seats "
    lines = [
        *words.pair(many, seats.width, seats.length),
        f"N9, {words.size(seats.depth)} +{seats.depth_over:g} deep",
        "at " + " / ".join(f"{plain(a)}°" for a in seats.angles),
    ]
    if not dimensioned(seats, view):
        lines.append(f"{words.size(seats.start)} to {words.size(seats.end)} from A")
        lines.append(f"symmetrical to {DATUM} in {words.zone(SYMMETRY)}")
    return tuple(lines)


def key_label(shape: AxleShape, view: View, words: Words) -> list[Label]:
    """Return the label of the key seats; none without keys, or where the view is too small."""
    seats = shape.key_seats
    if seats is None or not dimensioned(seats, view):
        return []
    turns = key_directions(shape)
    seen = [t for t in turns if math.cos(t) > EDGE_ON]
    edge = seats.radius
    if seen and not any(abs(math.cos(t)) <= EDGE_ON and math.sin(t) > 0 for t in turns):
        top = max(seen, key=math.sin)
        edge = seats.radius * math.sin(top + math.asin(seats.width / 2 / seats.radius))
    half = seats.width / 2
    spots = ((view.at(seats.start + half, 0.0).x, view.at(seats.end - half, 0.0).x),)
    return [Label(spots, view.at(0.0, edge).y, None, key_lines(seats, view, words))]


def key_section(shape: AxleShape) -> Region:
    """Return the cut face across the stator seat at the key seats, exact; wire slot toward +x.

    Raises:
        AssertionError: the stack takes no key.
    """
    seats, axle = shape.key_seats, shape.axle
    assert seats is not None
    half, r = seats.width / 2, seats.radius
    reach = math.sqrt(r * r - half * half)
    cuts = []
    for turn in sorted(t % (2 * math.pi) for t in key_directions(shape)):
        corners = ((reach, -half), (seats.floor, -half), (seats.floor, half), (reach, half))
        cuts.append([Point(*c).rotated(turn) for c in corners])
    run: list[Segment] = []
    for k, cut in enumerate(cuts):
        run += [Line(cut[0], cut[1]), Line(cut[1], cut[2]), Line(cut[2], cut[3])]
        run.append(Arc(cut[3], cuts[(k + 1) % len(cuts)][0], ORIGIN, True))
    hollow = axle.bore_depth is None or axle.bore_depth > (seats.start + seats.end) / 2
    holes = (Outline.circle(ORIGIN, axle.bore_diameter / 2),) if hollow else ()
    return Region(Outline(tuple(run)), holes)


def key_section_view(shape: AxleShape, view: View, words: Words) -> Items:
    """Return the section through the key seats with its sizes and its name above."""
    seats, region = shape.key_seats, key_section(shape)
    assert seats is not None
    r = seats.radius * view.factor
    items: list[Item] = [*hatch(view.region(region)), *view.edges(region, "visible")]
    items += centre_cross(view.origin, r)
    # from the seat that lies highest at the right, led out beside the circle
    turn = max(key_directions(shape), key=lambda t: (round(math.sin(t) + 0.2 * math.cos(t), 6), -t))
    tip = view.point(Point(seats.floor, -0.25 * seats.width).rotated(turn))
    up = 1.0 if math.sin(turn) > -SAME else -1.0
    elbow = Point(view.origin.x + r + 4.0, view.origin.y + up * (r - 1.0))
    limits = seats.width_limits
    sizes = (
        *words.lines(seats.width, "", " N9"),
        *((f"{limits[0]:.3f} / {limits[1]:.3f}",) if limits else ()),
        *words.lines(seats.depth, "", f" +{seats.depth_over:g} deep"),
    )
    items += leader(tip, elbow, sizes)
    name = f"at the key seats ({view.scale[0]}:{view.scale[1]})"
    high = view.origin.y + r + 4.5
    items.append(Text(view.origin.x, high, NAME_HEIGHT, name, "centre"))
    return tuple(items)


#: Two circles that would lie nearer than this on the sheet, mm, are drawn as one.
APART = 0.7

#: Height of the names of views, mm.
NAME_HEIGHT = 3.5


def slot_mouth(axle: Axle, radius: float) -> tuple[Line, Arc | Line, Arc]:
    """Return the upper edge of the slot: its wall outward, round, outer circle to the far side.

    Args:
        axle: as designed.
        radius: of the axle at the slot, mm.

    Returns:
        As said; a sharp mouth has the wall in place of its round.
    """
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


def slot_section(axle: Axle, radius: float) -> Region:
    """Return the cut face through the wire slot of an axle of `radius` mm, slot toward +x, exact."""
    wall, round_, outer = slot_mouth(axle, radius)
    upper: list[Segment] = [wall, outer] if round_ is wall else [wall, round_, outer]
    lower = [s.mirrored().reversed() for s in reversed(upper)]
    bore = Arc(lower[-1].end, upper[0].start, ORIGIN, False)
    return Region(Outline((*upper, *lower, bore)))


def mounted_section(axle: Axle, radius: float, middle: Point, size: float) -> Iterator[Stroke]:
    """Yield the cut face through the wire slot as mounted, up is up, hatched.

    Args:
        axle: as designed.
        radius: of the axle at the slot, mm.
        middle: its axis on the sheet.
        size: its radius on the sheet, mm, which it comes near to.
    """
    scale = max(1, int(1000 * size / radius)), 1000
    view = View(middle, scale, ORIGIN, math.radians(axle.wire_slot.angle))
    region = view.region(slot_section(axle, radius))
    yield from hatch(region)
    for loop in region.loops:
        yield Stroke(loop.segments, "visible")


def end_view(shape: AxleShape, view: View, words: Words) -> Items:
    """Return the view on face A with the up direction of the mounted axle.

    Args:
        view: places the axis (0, 0) on the sheet.
    """
    axle = shape.axle
    items: list[Item] = []
    largest = 0.0
    for p in shape.pieces:
        r = p.diameter / 2
        if (r - largest) * view.factor >= APART or (largest == 0.0):
            cut = [f for f in shape.flat_faces if f.start <= SAME and p.start <= SAME]
            items += _circle(view, r, cut)
            largest = r
    items += _thread_end(shape, view)
    bore = axle.bore_diameter / 2
    items += view.edges(Outline.circle(ORIGIN, bore), "visible")
    mouth = shape.mouth_radius
    if mouth * view.factor >= APART:
        items += view.edges(Outline.circle(ORIGIN, bore + mouth), "narrow")
    items += centre_cross(view.point(ORIGIN), largest * view.factor)
    turn = math.pi / 2 - math.radians(axle.wire_slot.angle)
    items += _mouth_note(view, turn, largest * view.factor, (bore + mouth, mouth), words)
    return (*items, *_up(view, turn, largest * view.factor))


def _thread_end(shape: AxleShape, view: View) -> Iterator[Stroke]:
    """Yield the root of a thread at face A: three quarters of a narrow circle (ISO 6410-1)."""
    for e in threaded_ends(shape.axle):
        r = e.thread.root_mm / 2
        if e.face == "A" and not any(f.start <= SAME and f.distance < r for f in shape.flat_faces):
            start, end = Point.polar(r, math.radians(80)), Point.polar(r, math.radians(-10))
            yield view.stroke((Arc(start, end, ORIGIN, True),), "narrow")


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


def section_view(shape: AxleShape, view: View, words: Words, name: str) -> Items:
    """Return section A-A through the wire slot with its sizes and its name above."""
    r = shape.slot_radius
    region = slot_section(shape.axle, r)
    items: list[Item] = [*hatch(view.region(region)), *view.edges(region, "visible")]
    items += _behind(view, region)
    k = view.factor
    items += centre_cross(view.point(ORIGIN), r * k)
    items += _sizes(shape.axle, view, r, words)
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


def _sizes(axle: Axle, view: View, r: float, words: Words) -> Items:
    """Return width of the slot and round of its mouth at the right, bore and wall at the left."""
    k, o, wall = view.factor, view.origin, r - axle.bore_diameter / 2
    a, rb = axle.wire_slot.width / 2, axle.bore_diameter / 2
    items: list[Item] = list(_slot_width(axle.wire_slot.width, view, r, words))
    near, far = (view.point(Point.polar(rb, math.radians(t))) for t in (-40, 140))
    clear = (r * k + 4.0) / math.cos(math.radians(40)) - rb * k  # the shelf ends beside the circle
    depth = "through" if axle.bore_depth is None else f"{words.size(axle.bore_depth)} deep"
    said = [
        *(words.lines if axle.stock == "bar" else words.reference)(axle.bore_diameter, "⌀"),
        depth,
    ]
    wall_words = f"({words.size(wall)})"  # a reference size
    if text_width(wall_words, SMALLEST_TEXT) + 2.0 <= wall * k:  # on a dimension line of its own
        items += diameter(near, far, tuple(said), reach=clear, side=-1)
        ends = view.point(Point(0.0, -r)), view.point(Point(0.0, -rb))
        items += LinearDimension(*ends, wall_words, o.x - r * k - 6.0, "y").items()
    else:
        said.append(f"wall {wall_words}")
        items += diameter(near, far, tuple(said), reach=clear, side=-1)
    round_ = slot_mouth(axle, r)[1].mirrored()
    if isinstance(round_, Arc):
        tip = view.point(round_.point_at(0.5))
        elbow = Point(tip.x + 3.0, o.y - a * k - 11.0)
        items += leader(tip, elbow, words.lines(round_.radius, "R"))
    return tuple(items)


def _slot_width(width: float, view: View, r: float, words: Words) -> Items:
    """Return the width of the slot, its text on a shelf if it does not fit on the line."""
    edge = Point(math.sqrt(r * r - width * width / 4), width / 2)
    upper, lower = view.point(edge), view.point(edge.mirrored())
    at = view.origin.x + r * view.factor + 9.0
    plain = LinearDimension(lower, upper, words.size(width), at, "y")
    if plain.text_width + 1.0 <= plain.length:
        return plain.items()
    ways = [line(Point(p.x + 0.8, p.y), Point(at + 2.0, p.y)) for p in (lower, upper)]
    feet = Point(at, lower.y), Point(at, upper.y)
    return (*ways, *diameter(*feet, words.lines(width), reach=8.0, side=1))
