"""The tight spots of a wound slot: where least is left, found among the wires as they lie.

Wires of one coil lie against each other, and on the paper of their tooth, by intention; so these
do not count. What counts is what must stay apart or must let pass (slot frame, mm):

    opening      clear width between the two papers in the mouth, less one wire
    bare steel   from a wire to the steel that the paper stops short of, less half a wire
    wedge        from a wire to the inner face of the wedge (without one: to the opening)
    coil sides   between the two coil sides of a slot, less the separator
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from geometry.finding import Confidence, Finding
from geometry.point import Point
from geometry.segment import Segment
from recipes.insulation.liner import PASS_FACTOR, PASS_PLAY
from recipes.refusal import warn
from recipes.stator.slot import SlotShape
from recipes.winding.conductors import ConductorPlacement
from recipes.winding.window import WindingWindow

#: What a slot has less than this of, mm, is said to touch: below what is shown.
TOUCHES = 0.005


@dataclass(frozen=True)
class TightSpot:
    """One place in the slot where something must stay clear.

    Args:
        name: "opening", "bare steel", "wedge" or "coil sides".
        gap: what is left there, mm; the wire at its largest overall diameter.
        least: what should be left, mm.
        where: middle of the place, slot frame, mm.
        turn: turn of the nearest wire, counted from 1; None for the opening.
        fields: what to change, most effective first.
        confidence, source: of `least`.
    """

    name: str
    gap: float
    least: float
    where: Point
    turn: int | None
    fields: tuple[str, ...]
    confidence: Confidence = "practice"
    source: str = "common practice"

    @property
    def touches(self) -> bool:
        """Whether nothing is left: wire at its thickest just touches, and nothing is pressed."""
        return abs(self.gap) < TOUCHES

    @property
    def spare(self) -> float:
        """What is left beyond what should be, mm; below 0: too tight."""
        return self.gap - self.least


def tight_spots(
    slot: SlotShape,
    window: WindingWindow,
    placed: ConductorPlacement,
    mouth_gap: float,
) -> tuple[TightSpot, ...]:
    """Return every tight spot, the tightest first: by what is left beyond what should be.

    Args:
        slot: the bare slot.
        window: of one coil side.
        placed: its conductors.
        mouth_gap: what the liner stops short of the slot's mouth, mm.
    """
    d = window.diameter
    wall = slot.wall
    found = [
        TightSpot(
            "opening",
            slot.opening - 2 * window.paper - d,
            (PASS_FACTOR - 1.0) * d + PASS_PLAY,
            Point((wall[0].start.x + slot.half[0].start.x) / 2, 0.0),
            None,
            ("lamination.slot_opening", "winding.wire", "liner.thickness"),
            source="one wire at a time passes 1.15 D + 0.2 mm, common practice",
        )
    ]
    places = placed.laid
    if not len(places):
        return tuple(found)

    def wire(k: int) -> tuple[Point, int]:
        """Return centre and turn of a wire."""
        return Point(float(places[k, 0]), float(places[k, 1])), k // placed.strands + 1

    edge = _paper_edge(wall, mouth_gap)
    away = np.hypot(places[:, 0] - edge.x, places[:, 1] - edge.y)
    spot, turn = wire(int(away.argmin()))
    found.append(
        TightSpot(
            "bare steel",
            float(away.min()) - d / 2,
            window.paper,
            Point((spot.x + edge.x) / 2, (spot.y + edge.y) / 2),
            turn,
            ("liner.mouth_gap", "winding.turns", "wedge.overlap"),
            source="at least the thickness of the paper, common practice",
        )
    )
    face = window.wedge_span[1]
    spot, turn = wire(int(places[:, 0].argmax()))
    found.append(
        TightSpot(
            "wedge",
            face - spot.x - d / 2,
            0.0,
            Point(face, spot.y),
            turn,
            ("winding.turns", "wedge.thickness", "lamination.slot_depth"),
            source="the wedge slides in over the finished coil, common practice",
        )
    )
    if window.sides == 2:  # the coil sides of two teeth mirror each other
        spot, turn = wire(int(places[:, 1].argmin()))
        found.append(
            TightSpot(
                "coil sides",
                2 * (spot.y - d / 2) - window.separator,
                0.0,
                Point(spot.x, 0.0),
                turn,
                ("winding.turns", "lamination.tooth_width", "separator.thickness"),
                source="two coil sides of a slot may belong to two phases, common practice",
            )
        )
    return tuple(sorted(found, key=lambda spot: spot.spare))


def touching_findings(spots: Sequence[TightSpot], separator: float) -> list[Finding]:
    """Warn of two coil sides that touch without a separator, mm thick, between them."""
    return [
        warn(
            "coil-sides-touch",
            "separator.thickness",
            f"turn {spot.turn} touches the coil side of the next tooth, which may be of another phase: "
            "only enamel parts them",
            value=separator,
            fix="give a separator of 0.13 mm or more, or fewer turns",
            source="common practice",
            confidence="practice",
        )
        for spot in spots
        if spot.name == "coil sides" and spot.touches and separator == 0
    ]


def _paper_edge(wall: Sequence[Segment], left: float) -> Point:
    """Return the point of the slot's wall that lies `left` mm along it: the edge of the paper."""
    for edge in wall:
        if left <= edge.length:
            return edge.point_at(left / edge.length)
        left -= edge.length
    return wall[0].start
