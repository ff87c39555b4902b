"""The tight spots of a wound slot: where least is left, found among the wires as they lie.

Wires of one coil lie against each other, and on the paper of their tooth, by intention; so these
do not count. What counts is what must stay apart or must let pass (slot frame, mm):

    opening      clear width between the two papers in the mouth, less one wire
    bare steel   from a wire to the lip that the paper stops short of, less half a wire
    wedge        from a wire to the inner face of the wedge (without one: to the opening)
    coil sides   between the two coil sides of a slot, less the separator
"""

from __future__ import annotations

from dataclasses import dataclass

from geometry.finding import Confidence
from geometry.point import Point
from recipes.insulation.liner import PASS_FACTOR, PASS_PLAY
from recipes.job import Job


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
    def spare(self) -> float:
        """What is left beyond what should be, mm; below 0: too tight."""
        return self.gap - self.least


def tight_spots(job: Job) -> tuple[TightSpot, ...]:
    """Return every tight spot, the tightest first: by what is left beyond what should be.

    Raises:
        Refused: the design has no slot, or no room for wire.
    """
    found = [_opening(job)]
    if len(job.conductors.laid):
        found += [_bare_steel(job), _wedge(job)]
        if job.window.sides == 2:
            found.append(_coil_sides(job))
    return tuple(sorted(found, key=lambda spot: spot.spare))


def _opening(job: Job) -> TightSpot:
    d, paper = job.wire.overall_max_mm, job.design.liner.thickness
    wall = job.slot.wall
    outer = job.design.lamination.outer_diameter / 2
    return TightSpot(
        "opening",
        job.slot.opening - 2 * paper - d,
        (PASS_FACTOR - 1.0) * d + PASS_PLAY,
        Point((wall[0].start.x + outer) / 2, 0.0),
        None,
        ("lamination.slot_opening", "winding.wire", "liner.thickness"),
        source="one wire at a time passes 1.15 D + 0.2 mm, common practice",
    )


def _bare_steel(job: Job) -> TightSpot:
    """Return the place where a wire lies nearest to the lip beyond the paper's edge."""
    import numpy as np

    places = job.conductors.laid
    edge = _paper_edge(job)
    away = np.hypot(places[:, 0] - edge.x, places[:, 1] - edge.y)
    k = int(away.argmin())
    wire = Point(float(places[k, 0]), float(places[k, 1]))
    return TightSpot(
        "bare steel",
        float(away[k]) - job.window.diameter / 2,
        job.design.liner.thickness,
        Point((wire.x + edge.x) / 2, (wire.y + edge.y) / 2),
        k // job.conductors.strands + 1,
        ("liner.mouth_gap", "winding.turns", "wedge.overlap"),
        source="at least the thickness of the paper, common practice",
    )


def _paper_edge(job: Job) -> Point:
    """Return where the upper edge of the paper ends on the slot's wall."""
    left = job.design.liner.mouth_gap
    for edge in job.slot.wall:
        if left <= edge.length:
            return edge.point_at(left / edge.length)
        left -= edge.length
    return job.slot.wall[0].start


def _wedge(job: Job) -> TightSpot:
    places, r = job.conductors.laid, job.window.diameter / 2
    face = job.window.wedge_span[1]
    k = int(places[:, 0].argmax())
    wire = Point(float(places[k, 0]), float(places[k, 1]))
    return TightSpot(
        "wedge",
        face - wire.x - r,
        0.0,
        Point(face, wire.y),
        k // job.conductors.strands + 1,
        ("winding.turns", "wedge.thickness", "lamination.slot_depth"),
        source="the wedge slides in over the finished coil, common practice",
    )


def _coil_sides(job: Job) -> TightSpot:
    """Return the place where the coil sides of two teeth come nearest; they mirror each other."""
    places, r = job.conductors.laid, job.window.diameter / 2
    strip = job.design.separator.thickness
    k = int(places[:, 1].argmin())
    wire = Point(float(places[k, 0]), float(places[k, 1]))
    return TightSpot(
        "coil sides",
        2 * (wire.y - r) - strip,
        0.0,
        Point(wire.x, 0.0),
        k // job.conductors.strands + 1,
        ("winding.turns", "lamination.tooth_width", "separator.thickness"),
        source="two coil sides of a slot may belong to two phases, common practice",
    )
