"""Unfold a strip of paper that lines a wall: how wide to cut it and where to fold it.

The strip has thickness t and lies on the left of the wall, seen along travel. Its length is
measured at mid-thickness (common practice; the same bend allowance with neutral
axis at t / 2 as in any sheet-metal handbook):

    straight         its length
    wall curves away (convex wall, arc clockwise)   angle * (R + t / 2)
    wall curves in   (concave wall, arc ccw)        angle * (R - t / 2), R at least the paper's
    sharp inner corner    the paper takes its own outer radius Ro: the two tangent lengths
                          Ro * tan(angle / 2) go, angle * (Ro - t / 2) comes
    sharp outer corner    angle * t / 2 is added (bends about the steel edge)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.errors import GeometryError
from geometry.fillet import corner_turn
from geometry.segment import Arc, Segment
from geometry.tolerance import TANGENT_ANGLE


@dataclass(frozen=True)
class Bend:
    """One bend of the unfolded strip.

    Args:
        position: middle of the bend from the start of the strip, mm.
        angle: signed angle in rad; positive where the strip folds towards its free side (left).
        radius: radius at mid-thickness, mm.
        wall_radius: radius of the wall there, mm; 0 for a sharp corner.
    """

    position: float
    angle: float
    radius: float
    wall_radius: float


@dataclass(frozen=True)
class Development:
    """An unfolded strip: its length (mm) and its bends in order."""

    length: float
    bends: tuple[Bend, ...]


def develop(wall: Sequence[Segment], thickness: float, paper_radius: float) -> Development:
    """Unfold a strip of `thickness` mm that lies on the left of an open run of edges.

    Args:
        wall: the run in order of travel, mm.
        thickness: strip thickness in mm.
        paper_radius: smallest outer radius in mm that the strip takes in an inner corner.

    Raises:
        GeometryError: a corner eats more of its neighbours than they have.
    """
    pieces: list[tuple[float, Bend | None]] = []
    for k, s in enumerate(wall):
        pieces.append(_edge(s, thickness, paper_radius))
        if k + 1 < len(wall):
            pieces.append(_corner(corner_turn(s, wall[k + 1]), thickness, paper_radius))
    total = 0.0
    bends: list[Bend] = []
    for k, (length, bend) in enumerate(pieces):
        if bend is not None:
            middle = total + length / 2
            bends.append(Bend(middle, bend.angle, bend.radius, bend.wall_radius))
        total += length
        if total < 0:
            raise GeometryError(
                "the strip is too thick for the first edges of this wall",
                where=wall[min(k // 2, len(wall) - 1)].start,
                value=thickness,
                hint="use thinner paper or larger rounds",
            )
    return Development(total, tuple(bends))


def _edge(s: Segment, t: float, paper_radius: float) -> tuple[float, Bend | None]:
    if not isinstance(s, Arc):
        return s.length, None
    angle, wall = s.sweep, s.radius
    if not s.ccw:
        return -angle * (wall + t / 2), Bend(0.0, angle, wall + t / 2, wall)
    if wall >= paper_radius:
        return angle * (wall - t / 2), Bend(0.0, angle, wall - t / 2, wall)
    length, bend = _corner(angle, t, paper_radius)
    # The round's own tangent lengths take part of what the paper's larger radius cuts back.
    return length + 2 * wall * math.tan(angle / 2), bend and Bend(0.0, angle, bend.radius, wall)


def _corner(turn: float, t: float, paper_radius: float) -> tuple[float, Bend | None]:
    if abs(turn) < TANGENT_ANGLE:
        return 0.0, None
    if turn < 0:
        return -turn * t / 2, Bend(0.0, turn, t / 2, 0.0)
    middle = paper_radius - t / 2
    change = turn * middle - 2 * paper_radius * math.tan(turn / 2)
    return change, Bend(0.0, turn, middle, 0.0)
