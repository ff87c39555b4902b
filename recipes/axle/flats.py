"""How flats look from the side and from the end: where they lower the edge of a turned part.

Directions are those of the drawing: counter-clockwise as seen on face A, 0 toward the wire slot,
which the side view looks at; so sin is the height above the axis in that view.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from recipes.axle.profile import axle_pieces
from recipes.axle.sections import SAME, flat_features
from recipes.job import Job


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
    pieces = axle_pieces(job)
    sizes = [0.0, *(p.diameter for p in pieces), 0.0]
    for feature, cut in zip(flat_features(job), job.design.axle.flats, strict=True):
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
