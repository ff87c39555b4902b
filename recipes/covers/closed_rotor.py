"""The ring closed by its covers: places, bolts, speed and stack-up of one design, worked out once."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

from recipes.covers.arrangement import Arrangement, arrangement, cover_shape
from recipes.covers.bolting import Bolting, bolting
from recipes.covers.chain import Chain, Placed, chains
from recipes.covers.placing import placed
from recipes.covers.speed import Turning, turning
from recipes.design import Design
from recipes.refusal import Refused, stop
from recipes.rotor.ring import RotorRing
from recipes.shaft.sections import Section
from recipes.stator.stack_count import Stack
from recipes.tables.bearings import Bearing
from recipes.tables.plates import Plate, plate
from recipes.tables.process import Process, process
from recipes.tables.reader import TableError
from recipes.winding.turn_length import TurnLengths


@dataclass(frozen=True)
class ClosedRotor:
    """What follows from `[covers]`.

    Args:
        arranged: places along the axle.
        bolts: their lengths.
        turned: at top speed.
        put: what else lies on the axle.
        chains: the stack-up along the axle.
        plate: of the covers; None if it is in no table.
        cutter: how the plate is cut.
    """

    arranged: Arrangement
    bolts: Bolting
    turned: Turning
    put: Placed
    chains: tuple[Chain, ...]
    plate: Plate | None
    cutter: Process


def close_rotor(
    design: Design,
    ring: RotorRing | None,
    bearing: Bearing,
    sections: Sequence[Section],
    stack: Stack,
    turns: TurnLengths,
) -> ClosedRotor | None:
    """Return the closed rotor; None if the design gives no covers, or no ring that they close.

    Args:
        design: its covers, rotor, axle, ends, sheet and top speed.
        ring: of magnets.
        bearing: both are alike.
        sections: of the axle.
        stack: its sheets.
        turns: of one coil; its end tells how high it stands over the steel.

    Raises:
        Refused: no room for the ring, or no bearing on one side of the stack.
    """
    covers, rotor, axle, lam = design.covers, design.rotor, design.axle, design.lamination
    if covers is None or ring is None or rotor.ring_thickness is None:
        return None
    shape = cover_shape(covers, rotor.ring_thickness, ring, bearing)

    def put(outer_face: float) -> Placed:
        length = rotor.magnet_length or lam.stack_length
        ends, washer = design.ends, design.end_washer
        return placed(axle, stack, ends, washer, turns.end_height_mm, length, outer_face)

    at = arrangement(covers, shape, rotor, lam, bearing, sections, put(0.0).steel)
    far = covers.fixed == "far side"
    outer = at.shoulders[1] + bearing.width_mm if far else at.shoulders[0] - bearing.width_mm
    lies = put(outer)
    sheet: Plate | None = None
    with suppress(TableError):
        sheet = plate(covers.material)
    try:
        found = chains(covers, at, bearing, lies)
    except TableError as error:
        raise Refused(
            stop(
                "no-tolerance", "axle.length", f"stack-up along the axle: {error}", fix="shorten it"
            )
        ) from None
    return ClosedRotor(
        arranged=at,
        bolts=bolting(covers.bolts, at),
        turned=turning(at, ring, sheet, design.motor.top_speed),
        put=lies,
        chains=found,
        plate=sheet,
        cutter=process(covers.process or design.shop.process),
    )
