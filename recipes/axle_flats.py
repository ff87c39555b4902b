"""How flats look from the side and from the end: where they lower the edge of a turned part.

Directions are those of the drawing: counter-clockwise as seen on face A, 0 toward the wire slot,
which the side view looks at; so sin is the height above the axis in that view.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from recipes.axle_profile import axle_pieces
from recipes.axle_sections import SAME, flat_features
from recipes.job import Job


@dataclass(frozen=True)
class FlatFace:
    """One flat on one turned piece.

    Args:
        start, end: from face A in mm.
        radius: of the piece, mm.
        distance: from the axis to the flat, mm.
        direction: that it faces, rad.
    """

    start: float
    end: float
    radius: float
    distance: float
    direction: float

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
    for feature, cut in zip(flat_features(job), job.design.axle.flats, strict=True):
        for p in axle_pieces(job):
            a, b = max(p.start, feature.start), min(p.end, feature.end)
            if b - a > SAME and cut.across < p.diameter - SAME:
                faces += [
                    FlatFace(
                        a,
                        b,
                        p.diameter / 2,
                        cut.across / 2,
                        math.radians(cut.angle + turn - toward_slot),
                    )
                    for turn in (0.0, 180.0)
                ]
    return tuple(faces)
