"""How key seats look: from the side, and across in a section of their own.

Directions are those of the drawing: counter-clockwise as seen on face A, 0 toward the wire slot,
which the side view looks at. A seat that faces the reader shows its mouth, one at the upper or lower
edge its floor as a hidden line; one behind is told in words and in the section. Round ends that are
seen at an angle are drawn as arcs through true points.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from geometry.sheet.drawing import Item, Items, Stroke, Text
from geometry.sheet.hatch import hatch
from geometry.sheet.label_row import Label
from geometry.sheet.leader import leader
from geometry.sheet.symbol import centre_cross
from geometry.sheet.view import View
from recipes.axle.key_seat import KeySeats, key_seats_of
from recipes.axle.sections import SAME
from recipes.drawing_words import Words, plain
from recipes.job import Job

#: A seat whose direction lies this near to the edge of the view shows its floor, not its mouth.
EDGE_ON = 0.15

NAME_HEIGHT = 3.5

#: Seats shorter than this on the sheet, mm, have no label of their own: that of the stator seat says it.
LEAST_LENGTH = 6.0


def drawn_directions(job: Job, seats: KeySeats) -> list[float]:
    """Return the directions of the seats in the drawing, rad."""
    return [math.radians(a - job.design.axle.wire_slot.angle) for a in seats.angles]


def side_view_keys(job: Job, view: View) -> Iterator[Stroke]:
    """Yield what the side view shows of the key seats."""
    seats = key_seats_of(job)
    if seats is None:
        return
    for turn in drawn_directions(job, seats):
        if math.cos(turn) > EDGE_ON:
            yield view.stroke(_mouth(seats, turn), "visible")
        elif math.cos(turn) >= -EDGE_ON:
            up = math.copysign(1.0, math.sin(turn))
            a, b = (Point(z, up * seats.floor) for z in (seats.start, seats.end))
            c, d = (Point(z, up * seats.radius) for z in (seats.start, seats.end))
            yield view.stroke((Line(c, a), Line(a, b), Line(b, d)), "hidden")


def _mouth(seats: KeySeats, turn: float) -> tuple[Segment, ...]:
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
    seats = key_seats_of(job)
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
    seats = key_seats_of(job)
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
    seats = key_seats_of(job)
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
    seats = key_seats_of(job)
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
    items.append(Text(view.origin.x, high, NAME_HEIGHT, name, "centre"))
    return tuple(items)


def _size_words(seats: KeySeats, words: Words) -> tuple[str, ...]:
    limits = seats.width_limits
    wide = words.lines(seats.width, "", " N9")
    pair = (f"{limits[0]:.3f} / {limits[1]:.3f}",) if limits else ()
    return (*wide, *pair, *words.lines(seats.depth, "", f" +{seats.depth_over:g} deep"))
