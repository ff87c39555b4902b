"""The finished axle as its drawings show it: turned outside, bore, wire slot, flats and key seats.

Directions are those of the drawing: counter-clockwise as seen on face A, 0 toward the wire slot,
which the side view looks at; so sin is the height above the axis in that view.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from recipes.design.axle import Axle
from recipes.shaft.key_seat import KeySeats
from recipes.shaft.profile import AxleProfile, Piece, mouth_radius, slot_piece
from recipes.shaft.sections import SAME, Feature, Section, flat_features, slot_feature


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


@dataclass(frozen=True)
class AxleShape:
    """The finished axle; every part of it was judged before it is drawn.

    Args:
        axle: as designed.
        sections: turned sections from face A to face B.
        pieces: of one diameter, grooves counted.
        profile: exact, with rounds and chamfers.
        key_seats: of the stack; None where it takes no key.
    """

    axle: Axle
    sections: tuple[Section, ...]
    pieces: tuple[Piece, ...]
    profile: AxleProfile
    key_seats: KeySeats | None

    @property
    def slot(self) -> Feature:
        """Where the wire slot lies."""
        return slot_feature(self.axle)

    @cached_property
    def slot_radius(self) -> float:
        """Radius of the axle at the wire slot, mm; the rules have made sure of it."""
        piece = slot_piece(self.axle, self.pieces, self.profile)
        assert piece is not None
        return piece.diameter / 2

    @property
    def mouth_radius(self) -> float:
        """Round on the bore's mouth at face A, mm."""
        return mouth_radius(self.axle, self.pieces)

    @cached_property
    def half_height(self) -> float:
        """Largest radius, mm."""
        return max(s.box()[3] for s in self.profile.outside)

    def radius_at(self, z: float) -> float:
        """Return the outer radius at `z` mm from face A."""
        return next(p.diameter for p in self.pieces if p.start <= z <= p.end) / 2

    def direction(self, degrees: float) -> float:
        """Return the direction in the drawing, rad, of one of the design, degrees."""
        return math.radians(degrees - self.axle.wire_slot.angle)

    @cached_property
    def flat_faces(self) -> tuple[FlatFace, ...]:
        """Every flat, once for each piece that it runs over."""
        faces = []
        sizes = [0.0, *(p.diameter for p in self.pieces), 0.0]
        for feature, cut in zip(flat_features(self.axle), self.axle.flats, strict=True):
            for k, p in enumerate(self.pieces):
                a, b = max(p.start, feature.start), min(p.end, feature.end)
                if b - a <= SAME or cut.across >= p.diameter - SAME:
                    continue
                opened = (
                    a - p.start <= SAME and sizes[k] < p.diameter,
                    p.end - b <= SAME and sizes[k + 2] < p.diameter,
                )
                for turn in (0.0, 180.0):
                    facing = self.direction(cut.angle + turn)
                    faces.append(FlatFace(a, b, p.diameter / 2, cut.across / 2, facing, *opened))
        return tuple(faces)
