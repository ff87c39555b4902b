"""Across the axle: the view on face A and the section through the wire slot, at true angles.

Both look from face A toward face B, the wire slot to the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from geometry.drafting.dimension import LinearDimension, arrow
from geometry.drafting.drawing import Item, Items, Stroke, Text, line
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_width
from geometry.drafting.label_row import Label
from geometry.drafting.leader import diameter, leader
from geometry.drafting.symbol import centre_cross, hatch
from geometry.drafting.view import View
from geometry.fillet import fillet
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from recipes.drawing_conventions import Words, plain
from recipes.job import Job
from recipes.shaft.key_seat import KeySeats
from recipes.shaft.profile import mouth_radius
from recipes.shaft.sections import SAME, flat_features

#     How flats look from the side and from the end: where they lower the edge of a turned part.
#
# Directions are those of the drawing: counter-clockwise as seen on face A, 0 toward the wire slot,
# which the side view looks at; so sin is the height above the axis in that view.


@dataclass(frozen=True)
class FlatFace:
    """One flat on one turned piece.

    Args:
        start, end: from face A in mm.
        radius: of the piece, mm.
        distance: from the axis to the flat, mm.
        direction: that it faces, rad.
        open_start, open_end: no step up there: the axle ends, or goes on with a smaller diameter.
    """

    start: float
    end: float
    radius: float
    distance: float
    direction: float
    open_start: bool = False
    open_end: bool = False

    @property
    def cut(self) -> tuple[float, float]:
        """Stretch whose edges it lowers, mm: just past an open end, so that its face counts."""
        return (
            self.start - 10 * SAME if self.open_start else self.start,
            self.end + 10 * SAME if self.open_end else self.end,
        )

    @property
    def half_angle(self) -> float:
        """Half the angle that the flat takes of the circle, rad."""
        return math.acos(self.distance / self.radius)

    @property
    def corners(self) -> tuple[float, float]:
        """Directions of its two edges, rad, counter-clockwise."""
        return self.direction - self.half_angle, self.direction + self.half_angle

    @property
    def edge_heights(self) -> list[float]:
        """Heights of those of its edges that the side view shows, mm, rising."""
        return sorted(self.radius * math.sin(c) for c in self.corners if math.cos(c) > -1e-9)

    @property
    def faces_viewer(self) -> bool:
        """Whether the side view shows its face and not just its edge."""
        return math.cos(self.direction) > 0.15

    def lowers(self, up: float) -> float | None:
        """Return the height that it leaves of the upper (+1) or lower (-1) edge, None if all."""
        away = math.remainder(self.direction - up * math.pi / 2, 2 * math.pi)
        if abs(away) >= self.half_angle - SAME:
            return None
        return max(self.radius * math.sin(up * c) for c in self.corners)


def flat_faces(job: Job) -> tuple[FlatFace, ...]:
    """Return every flat, once for each piece that it runs over."""
    toward_slot = job.design.axle.wire_slot.angle
    faces = []
    pieces = job.pieces
    sizes = [0.0, *(p.diameter for p in pieces), 0.0]
    for feature, cut in zip(flat_features(job.design.axle), job.design.axle.flats, strict=True):
        for k, p in enumerate(pieces):
            a, b = max(p.start, feature.start), min(p.end, feature.end)
            if b - a <= SAME or cut.across >= p.diameter - SAME:
                continue
            opened = (
                a - p.start <= SAME and sizes[k] < p.diameter,
                p.end - b <= SAME and sizes[k + 2] < p.diameter,
            )
            for turn in (0.0, 180.0):
                facing = math.radians(cut.angle + turn - toward_slot)
                faces.append(FlatFace(a, b, p.diameter / 2, cut.across / 2, facing, *opened))
    return tuple(faces)


#     How key seats look: from the side, and across in a section of their own.
#
# Directions are those of the drawing: counter-clockwise as seen on face A, 0 toward the wire slot,
# which the side view looks at. A seat that faces the reader shows its mouth, one at the upper or lower
# edge its floor as a hidden line; one behind is told in words and in the section. Round ends that are
# seen at an angle are drawn as arcs through true points.

#: A seat whose direction lies this near to the edge of the view shows its floor, not its mouth.
EDGE_ON = 0.15

NAME_HEIGHT_KEY_VIEW = 3.5

#: Seats shorter than this on the sheet, mm, have no label of their own: that of the stator seat says it.
LEAST_LENGTH = 6.0


def drawn_directions(job: Job, seats: KeySeats) -> list[float]:
    """Return the directions of the seats in the drawing, rad."""
    return [math.radians(a - job.design.axle.wire_slot.angle) for a in seats.angles]


def side_view_keys(job: Job, view: View) -> Iterator[Stroke]:
    """Yield what the side view shows of the key seats."""
    seats = job.key_seats
    if seats is None:
        return
    for turn in drawn_directions(job, seats):
        if math.cos(turn) > EDGE_ON:
            yield view.stroke(_mouth_key_view(seats, turn), "visible")
        elif math.cos(turn) >= -EDGE_ON:
            up = math.copysign(1.0, math.sin(turn))
            a, b = (Point(z, up * seats.floor) for z in (seats.start, seats.end))
            c, d = (Point(z, up * seats.radius) for z in (seats.start, seats.end))
            yield view.stroke((Line(c, a), Line(a, b), Line(b, d)), "hidden")


def _mouth_key_view(seats: KeySeats, turn: float) -> tuple[Segment, ...]:
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


def dimensioned(seats: KeySeats, view: View) -> bool:
    """Tell whether the side view has room for a label and the lengths of the seats."""
    return seats.length * view.factor >= LEAST_LENGTH


def key_lines(job: Job, view: View, words: Words) -> tuple[str, ...]:
    """Return what is said of the key seats: size, class, depth, directions; () without keys."""
    seats = job.key_seats
    if seats is None:
        return ()
    many = "key seat " if len(seats.angles) == 1 else f"{len(seats.angles)} key seats "
    lines = [
        *words.pair(many, seats.width, seats.length),
        f"N9, {words.size(seats.depth)} +{seats.depth_over:g} deep",
        "at " + " / ".join(f"{plain(a)}°" for a in seats.angles),
    ]
    if not dimensioned(seats, view):
        lines.append(f"{words.size(seats.start)} to {words.size(seats.end)} from A")
    return tuple(lines)


def key_label(job: Job, view: View, words: Words) -> list[Label]:
    """Return the label of the key seats; none without keys, or where the view is too small."""
    seats = job.key_seats
    if seats is None or not dimensioned(seats, view):
        return []
    turns = drawn_directions(job, seats)
    seen = [t for t in turns if math.cos(t) > EDGE_ON]
    edge = seats.radius
    if seen and not any(abs(math.cos(t)) <= EDGE_ON and math.sin(t) > 0 for t in turns):
        top = max(seen, key=math.sin)
        edge = seats.radius * math.sin(top + math.asin(seats.width / 2 / seats.radius))
    half = seats.width / 2
    spots = ((view.at(seats.start + half, 0.0).x, view.at(seats.end - half, 0.0).x),)
    return [Label(spots, view.at(0.0, edge).y, None, key_lines(job, view, words))]


def key_section(job: Job) -> Region:
    """Return the cut face across the stator seat at the key seats, exact; wire slot toward +x.

    Raises:
        AssertionError: the stack takes no key.
    """
    seats = job.key_seats
    assert seats is not None
    half, r = seats.width / 2, seats.radius
    reach = math.sqrt(r * r - half * half)
    cuts = []
    for turn in sorted(t % (2 * math.pi) for t in drawn_directions(job, seats)):
        corners = ((reach, -half), (seats.floor, -half), (seats.floor, half), (reach, half))
        cuts.append([Point(*c).rotated(turn) for c in corners])
    run: list[Segment] = []
    for k, cut in enumerate(cuts):
        run += [Line(cut[0], cut[1]), Line(cut[1], cut[2]), Line(cut[2], cut[3])]
        run.append(Arc(cut[3], cuts[(k + 1) % len(cuts)][0], ORIGIN, True))
    axle = job.design.axle
    hollow = axle.bore_depth is None or axle.bore_depth > (seats.start + seats.end) / 2
    holes = (Outline.circle(ORIGIN, axle.bore_diameter / 2),) if hollow else ()
    return Region(Outline(tuple(run)), holes)


def key_section_view(job: Job, view: View, words: Words) -> Items:
    """Return the section through the key seats with its sizes and its name above."""
    seats = job.key_seats
    assert seats is not None
    region, r = key_section(job), seats.radius * view.factor
    items: list[Item] = [*hatch(view.region(region)), *view.edges(region, "visible")]
    items += centre_cross(view.origin, r)
    turns = drawn_directions(job, seats)
    # from the seat that lies highest at the right, led out beside the circle
    turn = max(turns, key=lambda t: (round(math.sin(t) + 0.2 * math.cos(t), 6), -t))
    tip = view.point(Point(seats.floor, -0.25 * seats.width).rotated(turn))
    up = 1.0 if math.sin(turn) > -SAME else -1.0
    elbow = Point(view.origin.x + r + 4.0, view.origin.y + up * (r - 1.0))
    items += leader(tip, elbow, _size_words(seats, words))
    name = f"at the key seats ({view.scale[0]}:{view.scale[1]})"
    high = view.origin.y + r + 4.5
    items.append(Text(view.origin.x, high, NAME_HEIGHT_KEY_VIEW, name, "centre"))
    return tuple(items)


def _size_words(seats: KeySeats, words: Words) -> tuple[str, ...]:
    limits = seats.width_limits
    wide = words.lines(seats.width, "", " N9")
    pair = (f"{limits[0]:.3f} / {limits[1]:.3f}",) if limits else ()
    return (*wide, *pair, *words.lines(seats.depth, "", f" +{seats.depth_over:g} deep"))


#: Two circles that would lie nearer than this on the sheet, mm, are drawn as one.
APART = 0.7

#: Height of the names of views, mm.
NAME_HEIGHT = 3.5


def slot_radius(job: Job) -> float:
    """Return the radius of the axle at the wire slot, mm; the rules have made sure of it."""
    piece = job.slot_piece
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
    axle, pieces, flats = job.design.axle, job.pieces, flat_faces(job)
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
    mouth = mouth_radius(job.design.axle, job.pieces)
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
