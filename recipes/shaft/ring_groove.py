"""Grooves for retaining rings, their sizes from the design or from the ring by DIN 471."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.finding import Finding
from recipes.design.axle import Axle, Groove
from recipes.refusal import Refused, stop
from recipes.tables.reader import TableError
from recipes.tables.retaining_rings import RetainingRing, retaining_ring


@dataclass(frozen=True)
class RingGroove:
    """One groove with both sizes known.

    Args:
        field: dotted name of its table in the design file.
        from_face: of its nearer edge, mm.
        width, diameter: of the groove, mm.
        ring: that sits in it; None for one of the user's own.
    """

    field: str
    from_face: float
    width: float
    diameter: float
    ring: RetainingRing | None

    @property
    def end(self) -> float:
        """Distance of its farther edge from face A, mm."""
        return self.from_face + self.width


def ring_grooves(axle: Axle) -> tuple[RingGroove, ...]:
    """Return the grooves in the order of the design.

    Raises:
        Refused: a ring that DIN 471 does not hold, or a groove without ring and size.
    """
    if stops := groove_size_findings(axle):
        raise Refused(*stops)
    return tuple(_groove(k, g) for k, g in enumerate(axle.grooves, 1))


def groove_size_findings(axle: Axle) -> list[Finding]:
    """Return a `stop` for each groove whose size is not to be had."""
    found = []
    for k, groove in enumerate(axle.grooves, 1):
        try:
            _groove(k, groove)
        except Refused as refused:
            found += refused.findings
    return found


def _groove(k: int, groove: Groove) -> RingGroove:
    field, width, diameter = f"axle.grooves[{k}]", groove.width, groove.diameter
    if groove.ring is None:
        if width is None or diameter is None:
            raise Refused(
                stop(
                    "groove-without-size",
                    f"{field}.ring",
                    f"{field}: neither a ring nor both width and diameter are given",
                    fix="give ring = the shaft diameter of a ring by DIN 471, or width and diameter",
                    source="DIN 471",
                )
            )
        return RingGroove(field, groove.from_face, width, diameter, None)
    try:
        ring = retaining_ring(groove.ring)
    except TableError as error:
        raise Refused(
            stop(
                "no-such-ring",
                f"{field}.ring",
                f"{field}.ring = {groove.ring:g} mm: {error}",
                value=groove.ring,
                fix="turn that place to the size of a standard ring, or leave ring out and give width and "
                "diameter of the groove for your own ring",
                source="DIN 471",
            )
        ) from None
    return RingGroove(
        field,
        groove.from_face,
        ring.width_mm if width is None else width,
        ring.groove_mm if diameter is None else diameter,
        ring,
    )
