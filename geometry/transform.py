"""Rigid motions of a whole run of edges: neighbours share one point object afterwards as before."""

from __future__ import annotations

import math
from collections.abc import Iterable

from geometry.point import Point
from geometry.segment import Line, Segment, sound_arc, sound_line


def turned(run: Iterable[Segment], angle: float, about: Point | None = None) -> list[Segment]:
    """Return a run turned by `angle` rad about `about` (origin): as each edge by itself, sooner."""
    c, s = math.cos(angle), math.sin(angle)
    ox, oy = about if about is not None else (0.0, 0.0)
    new = tuple.__new__  # a named tuple's own way takes twice as long

    def image(p: Point) -> Point:
        x, y = p[0] - ox, p[1] - oy
        return new(Point, (ox + c * x - s * y, oy + s * x + c * y))

    found: list[Segment] = []
    end = new_end = None
    for edge in run:
        start = new_end if new_end is not None and edge.start is end else image(edge.start)
        end, new_end = edge.end, image(edge.end)
        if isinstance(edge, Line):
            found.append(sound_line(start, new_end))
        else:
            found.append(sound_arc(start, new_end, image(edge.center), edge.ccw))
    return found


def mirror_image(run: Iterable[Segment], axis_angle: float = 0.0) -> list[Segment]:
    """Return the mirror image of a run in the line through the origin at `axis_angle` rad.

    It is travelled from the image of the run's end to that of its start.
    """
    found: list[Segment] = []
    start = new_start = None
    for edge in reversed(tuple(run)):
        same = new_start is not None and edge.end is start
        first = new_start if same and new_start is not None else edge.end.mirrored(axis_angle)
        start, new_start = edge.start, edge.start.mirrored(axis_angle)
        if isinstance(edge, Line):
            found.append(sound_line(first, new_start))
        else:
            found.append(sound_arc(first, new_start, edge.center.mirrored(axis_angle), edge.ccw))
    return found
