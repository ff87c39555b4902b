"""What follows from a motor but takes long or is seldom wanted: other wires, rings.

Each function looks at the facts of a solved `Motor` and calls the plain function of a room.
"""

from __future__ import annotations

from functools import lru_cache

from recipes.design.winding import Winding
from recipes.motor import Motor
from recipes.stator.slot import SlotShape, slot_shape
from recipes.tables.wire import Wire
from recipes.winding.conductors import hand_count, wire_that_fits
from recipes.winding.slot_sections import slot_sections
from recipes.winding.tight_spot import TightSpot
from recipes.winding.tight_spot import tight_spots as tight_spots_of
from recipes.winding.tooth_ring import PaperRing
from recipes.winding.tooth_ring import paper_rings as paper_rings_of
from recipes.winding.window import WindingWindow, winding_window
from recipes.winding.wire_alternatives import SPARE_TURNS, Counter, WireAlternative
from recipes.winding.wire_alternatives import thicker_wire as thicker_wire_of
from recipes.winding.wire_alternatives import wire_alternatives as wire_alternatives_of


def thinner_wire(motor: Motor) -> Wire | None:
    """The next thinner wire of which all turns go in; None if none does."""
    d = motor.design

    def lined(wire: Wire) -> tuple[SlotShape, WindingWindow]:
        slot = slot_shape(d.lamination, d.motor.slots, wire.overall_max_mm)
        sections = slot_sections(d, slot, wire.overall_max_mm)
        paper, separator = d.liner.thickness, d.separator.thickness
        return slot, winding_window(sections, wire, d.winding, paper, d.wedge, separator)

    allowance = d.winding.crossing_allowance
    return wire_that_fits(motor.wire, motor.conductors, allowance, lined)


def tight_spots(motor: Motor) -> tuple[TightSpot, ...]:
    """Where least is left in the wound slot, the tightest first."""
    gap = motor.design.liner.mouth_gap
    return tight_spots_of(motor.slot, motor.window, motor.conductors, gap)


@lru_cache(maxsize=1)
def paper_rings(motor: Motor) -> tuple[PaperRing, ...]:
    """Paper rings for both ends of the stator."""
    d, steps = motor.design, motor.design.ends.steps
    narrower = steps[-1].narrower_by if steps else 0.0
    return paper_rings_of(d.lamination, motor.slot, narrower, d.hub, d.axle, d.print)


@lru_cache(maxsize=1)
def wire_alternatives(motor: Motor) -> tuple[WireAlternative, ...]:
    """Neighbouring wires and strand counts, best first; takes some tenths of a second."""
    return wire_alternatives_of(*_about_the_wire(motor))


def thicker_wire(motor: Motor) -> WireAlternative | None:
    """The wire that uses a slot with much room to spare; None if it is used well, or none is better."""
    placed = motor.conductors
    if placed.turns_that_fit < SPARE_TURNS * placed.turns:
        return None
    return thicker_wire_of(*_about_the_wire(motor))


def _about_the_wire(
    motor: Motor,
) -> tuple[Wire, Winding, WindingWindow, tuple[float, float], float, Counter]:
    """Return what other wires are judged by."""
    d, rate = motor.design, motor.heating[0].rate_K_per_s
    opening = (d.lamination.slot_opening, motor.process.tolerance_mm)
    count = hand_count(motor.slot, d.winding.lay, d.winding.crossing_allowance)
    return motor.wire, d.winding, motor.window, opening, rate, count
