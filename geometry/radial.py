"""Outlines about the origin: a run repeated all round, a circle with notches, windows between arms."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from geometry.errors import GeometryError
from geometry.fillet import round_corners
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment, trimmed


@dataclass(frozen=True)
class Notch:
    """What interrupts a circle at `angle` (rad).

    `run` is drawn about the x axis: it starts on the circle below the axis and ends on the
    circle above it. `name` says in an error what it is.
    """

    angle: float
    run: tuple[Segment, ...]
    name: str = "notch"

    @property
    def half_angle(self) -> float:
        """Half of the angle (rad) that it takes from the circle."""
        return self.run[-1].end.angle()


def notched_circle(radius: float, notches: Sequence[Notch], gap: float = 0.0) -> Outline:
    """Return the circle of `radius` mm about the origin with `notches`, counter-clockwise.

    Args:
        radius: of the circle, mm.
        notches: in any order.
        gap: least length of circle (mm) that must stay between two notches.

    Raises:
        GeometryError: two notches overlap or come nearer than `gap`; names both.
    """
    if not notches:
        return Outline.circle(ORIGIN, radius)
    order = sorted(notches, key=lambda n: n.angle % (2 * math.pi))
    for notch, after in zip(order, [*order[1:], order[0]], strict=True):
        # Two notches at one angle lie 0 apart; only a lone one has the whole circle to itself.
        turn = 2 * math.pi if len(order) == 1 else (after.angle - notch.angle) % (2 * math.pi)
        room = turn - notch.half_angle - after.half_angle
        if room * radius <= gap:
            raise GeometryError(
                f"{notch.name} and {after.name} meet on the circle",
                where=after.run[0].start.rotated(after.angle),
                value=room * radius,
                limit=gap,
                hint="make them smaller, fewer, or move them",
            )
    runs = [[s.rotated(n.angle) for s in n.run] for n in order]
    segments: list[Segment] = []
    for run, following in zip(runs, [*runs[1:], runs[0]], strict=True):
        segments.extend(run)
        segments.append(Arc(run[-1].end, following[0].start, ORIGIN, True))
    return Outline(tuple(segments))


def arc_with_notch(arc: Arc, notch: Notch) -> list[Segment]:
    """Return a counter-clockwise arc about the origin interrupted by `notch`.

    Raises:
        GeometryError: the notch reaches beyond an end of the arc.
    """
    run = [s.rotated(notch.angle) for s in notch.run]
    before, after = run[0].start, run[-1].end
    turn = 2 * math.pi
    first = (before.angle() - arc.start.angle()) % turn
    last = (arc.end.angle() - after.angle()) % turn
    taken = (after.angle() - before.angle()) % turn
    # Beyond an end the room there wraps round, and the three sum to a whole turn more than the arc.
    if min(first, last) <= 0 or first + taken + last > arc.sweep + math.pi:
        raise GeometryError(f"{notch.name} is wider than its arc", where=before)
    return [trimmed(arc, end=before), *run, trimmed(arc, start=after)]


def groove_notch(radius: float, width: float, depth: float, corner: float = 0.0) -> Notch:
    """Return a straight-sided notch with a flat bottom, away from the centre if `depth` > 0.

    Args:
        radius: of the circle it interrupts, mm.
        width: between its sides, mm.
        depth: from the circle to the bottom on the middle line, mm; negative: towards the centre.
        corner: round in the two bottom corners, mm.

    Raises:
        GeometryError: the round does not fit, or the notch is wider than the circle.
    """
    half = width / 2
    if half >= radius:
        raise GeometryError("notch is wider than the circle", value=width, limit=2 * radius)
    x0, x1 = math.sqrt(radius**2 - half**2), radius + depth
    low, high = Point(x0, -half), Point(x0, half)
    sharp: list[Segment] = [
        Line(low, Point(x1, -half)),
        Line(Point(x1, -half), Point(x1, half)),
        Line(Point(x1, half), high),
    ]
    names = {0: "corner of the notch", 1: "corner of the notch"}
    return Notch(0.0, tuple(round_corners(sharp, {0: corner, 1: corner}, names)))


def round_notch(radius: float, notch_radius: float) -> Notch:
    """Return a half-round notch of `notch_radius` mm, centred on the circle, away from its centre."""
    half = 2 * math.asin(notch_radius / (2 * radius))
    center = Point(radius, 0.0)
    run = Arc(Point.polar(radius, -half), Point.polar(radius, half), center, True)
    return Notch(0.0, (run,))


def flat_notch(radius: float, distance: float) -> Notch:
    """Return a flat (chord) at `distance` mm from the centre of the circle.

    Raises:
        GeometryError: the flat does not cut the circle.
    """
    if not 0 < distance < radius:
        raise GeometryError("flat does not cut the circle", value=distance, limit=radius)
    half = math.sqrt(radius**2 - distance**2)
    return Notch(0.0, (Line(Point(distance, -half), Point(distance, half)),))


def at(notch: Notch, angle: float, name: str) -> Notch:
    """Return the notch moved to `angle` rad, with a name for errors."""
    return Notch(angle, notch.run, name)


def arm_windows(
    inner: float, outer: float, count: int, arm_width: float, corner: float
) -> tuple[Outline, ...]:
    """Return the openings between `count` straight arms that join two concentric rings.

    Args:
        inner, outer: radii of the opening, mm.
        count: number of arms; the first lies on the x axis.
        arm_width: width of an arm, mm.
        corner: round in the four corners of an opening, mm.

    Raises:
        GeometryError: arms meet at the inner ring, or the round does not fit; `limit` says what would.
    """
    half, pitch = arm_width / 2, 2 * math.pi / count
    if not 0 < inner < outer:
        raise GeometryError("no room between the two rings", value=outer - inner, limit=0.0)
    reach = inner * math.sin(pitch / 2)
    if half >= reach:
        raise GeometryError("the arms meet", value=arm_width, limit=2 * reach)

    def side(ring: float) -> Point:
        return Point(math.sqrt(ring**2 - half**2), half)

    a, b = side(inner), side(outer)
    c, d = b.mirrored(pitch / 2), a.mirrored(pitch / 2)
    sharp: list[Segment] = [
        Line(a, b),
        Arc(b, c, ORIGIN, True),
        Line(c, d),
        Arc(d, a, ORIGIN, False),
    ]
    middle = sharp[3].point_at(0.5)
    # The run starts in the middle of the inner arc so that all four corners lie inside it.
    run = [trimmed(sharp[3], start=middle), *sharp[:3], trimmed(sharp[3], end=middle)]
    radii: Mapping[int, float] = dict.fromkeys(range(4), corner)
    rounded = round_corners(run, radii, dict.fromkeys(range(4), "corner of a window"))
    whole = trimmed(rounded[-1], end=rounded[0].end)
    first = Outline((whole, *rounded[1:-1]))
    return tuple(first.rotated(pitch * k) for k in range(count))


#: How far the end of one copy may lie from the start of the next before it counts as a gap (mm).
#: Only rounding noise of sin and cos is taken up by sharing the point.
_NOISE = 1e-9


def joined(runs: Sequence[Sequence[Segment]], closed: bool = False) -> list[Segment]:
    """Join runs end to start so that neighbours share one point.

    Raises:
        GeometryError: two runs lie further apart than rounding noise (1e-9 mm).
    """
    flat = [s for run in runs for s in run]
    result: list[Segment] = []
    for k, this in enumerate(flat):
        after = flat[(k + 1) % len(flat)] if closed or k + 1 < len(flat) else None
        if after is None:
            result.append(this)
            continue
        gap = this.end.distance(after.start)
        if gap > _NOISE:
            raise GeometryError(f"the runs lie {gap:.3g} mm apart", where=this.end, value=gap)
        result.append(this if this.end == after.start else trimmed(this, end=after.start))
    return result


def repeated(runs: Sequence[Sequence[Segment]], start: float = 0.0) -> list[Segment]:
    """Return the closed loop of runs about the origin, each an equal step on from the last.

    Args:
        runs: the first is turned by `start`, each other one step more; the end of each meets the
            start of the next.
        start: in rad.

    Raises:
        GeometryError: two runs lie further apart than rounding noise (1e-9 mm).
    """
    step = 2 * math.pi / len(runs)
    turned = [[edge.rotated(step * k) for edge in run] for k, run in enumerate(runs)]
    return [edge.rotated(start) for edge in joined(turned, closed=True)]
