"""Where covers, ring, magnets and stack lie along the axle, and how far the covers reach off it.

    z from face A:  outer  floor   seat inner            inner seat   floor  outer
                      |      |      |    |                  |    |      |      |
    lead cover        [ lip  | pocket    ]   magnets, ring  [    pocket | lip  ]  far cover
                             [ bearing ]#|                  |#[ bearing ]
    axle              ------------------# shoulder  shoulder #-----------------------

The pockets open inward; the lips keep the outer rings from leaving outward, the axle's shoulders the
inner rings from moving inward. So pushed to the lead side the rotor stops where the far bearing meets
its shoulder, and the other way round: the room for that is the end float.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from recipes.design.covers import Covers
from recipes.design.lamination import Lamination
from recipes.design.rotor import Rotor
from recipes.refusal import Refused, stop
from recipes.rotor.ring import RotorRing
from recipes.shaft.sections import SAME, Section
from recipes.tables.bearings import Bearing
from recipes.tables.bolts import Bolt, bolt

#: Share of the room between a bearing's bore and outside that the lip covers (common practice: it
#: bears on the outer ring alone, and stays clear of a seal).
LIP_SHARE = 0.2

#: Room between ring and bolt hole, and plate outside the hole as a share of its diameter, mm
#: (common practice).
PAST_RING, OUTSIDE_HOLE = 0.5, 0.75

#: Lengths of ring and spacers are given to this much, mm.
STEP = 0.01


@dataclass(frozen=True)
class CoverShape:
    """Both covers across the axle; radii and lengths in mm.

    Args:
        outside, spigot, pocket, lip: radii of plate, register, bearing's outside and hole in the lip.
        thickness, depth, register: of plate, pocket and register.
        bolt: thread of the bolts.
        hole: diameter of their clearance hole.
        circle: radius of their circle.
        jack_circle: radius of the circle of the jack screws.
        ring_outside: radius of the steel ring's outside.
    """

    outside: float
    spigot: float
    pocket: float
    lip: float
    thickness: float
    depth: float
    register: float
    bolt: Bolt
    hole: float
    circle: float
    jack_circle: float
    ring_outside: float

    @property
    def lip_thickness(self) -> float:
        """What the pocket leaves of the plate, mm."""
        return self.thickness - self.depth

    @property
    def seat_depth(self) -> float:
        """Floor of the pocket below the face that the ring rests on, mm."""
        return self.depth - self.register


@dataclass(frozen=True)
class Arrangement:
    """Places along the axle from face A, nominal, mm; pairs are lead side, far side.

    Args:
        shape: of both covers.
        shoulders: faces of the axle that the inner rings rest on.
        floors: of the pockets.
        seats: faces of the covers that ring or spacers rest on.
        inners: faces of the covers that look at the coils.
        outers: outer faces of the covers.
        ring: ends of the steel ring.
        magnets: ends of the magnets.
        steel: ends of the stack's steel.
        apart: between the two seats: ring and spacers together.
        spacers: lengths; 0 where there is none.
    """

    shape: CoverShape
    shoulders: tuple[float, float]
    floors: tuple[float, float]
    seats: tuple[float, float]
    inners: tuple[float, float]
    outers: tuple[float, float]
    ring: tuple[float, float]
    magnets: tuple[float, float]
    steel: tuple[float, float]
    apart: float
    spacers: tuple[float, float]

    @property
    def magnets_from_ring_end(self) -> float:
        """From the ring's lead end to the magnets, mm."""
        return self.magnets[0] - self.ring[0]


def cover_shape(
    covers: Covers, ring_thickness: float, ring: RotorRing, bearing: Bearing
) -> CoverShape:
    """Return both covers across the axle; the ring is `ring_thickness` mm thick.

    Raises:
        Refused: sizes that make no cover.
    """
    size, outside = bolt(covers.bolts.thread), ring.bore + ring_thickness
    hole, wall = size.hole(covers.bolts.hole), ring.bore + ring_thickness / 2
    past = covers.bolts.path == "past the ring"
    circle, edge = covers.bolts.circle_diameter, covers.outside_diameter
    radius = (outside + PAST_RING + hole / 2 if past else wall) if circle is None else circle / 2
    least = radius + hole / 2 + OUTSIDE_HOLE * hole if past else outside
    lip = bearing.outside_mm - LIP_SHARE * (bearing.outside_mm - bearing.bore_mm)
    found = CoverShape(
        outside=_tenths(least) if edge is None else edge / 2,
        spigot=ring.bore,
        pocket=bearing.outside_mm / 2,
        lip=_tenths(lip / 2) if covers.lip_bore is None else covers.lip_bore / 2,
        thickness=covers.thickness,
        depth=bearing.width_mm if covers.housing_depth is None else covers.housing_depth,
        register=covers.register_depth,
        bolt=size,
        hole=hole,
        circle=round(radius, 2),
        jack_circle=wall,
        ring_outside=outside,
    )
    _refuse_impossible(found)
    return found


def _refuse_impossible(shape: CoverShape) -> None:
    """Refuse sizes that do not rise from the lip outwards, or leave no plate."""
    for code, field, low, high, what in (
        ("cover-lip-thin", "covers.thickness", shape.depth, shape.thickness, "pocket and plate"),
        (
            "cover-pocket-shallow",
            "covers.housing_depth",
            shape.register,
            shape.depth,
            "register and pocket",
        ),
        (
            "cover-lip-bore",
            "covers.lip_bore",
            shape.lip,
            shape.pocket,
            "hole in the lip and bearing",
        ),
        (
            "cover-pocket-wall",
            "axle.bearing",
            shape.pocket,
            shape.spigot,
            "bearing and bore of the ring",
        ),
        (
            "cover-edge-thin",
            "covers.outside_diameter",
            shape.circle + shape.hole / 2,
            shape.outside,
            "bolt holes and outside",
        ),
        (
            "cover-bolt-circle",
            "covers.bolts.circle_diameter",
            shape.spigot,
            shape.circle - shape.hole / 2,
            "register and bolt holes",
        ),
    ):
        if low >= high - SAME:
            raise Refused(
                stop(
                    code,
                    field,
                    f"{field}: {what} leave no plate between them, {low:.2f} mm against {high:.2f} mm",
                    value=high,
                    limit=low,
                    fix="change one of them so that plate stays between",
                )
            )


def _tenths(radius: float) -> float:
    """Return a radius whose diameter is full tenths of a millimetre."""
    return math.ceil(20 * radius - 1e-9) / 20


def arrangement(
    covers: Covers,
    shape: CoverShape,
    rotor: Rotor,
    lamination: Lamination,
    bearing: Bearing,
    sections: Sequence[Section],
    steel: tuple[float, float],
) -> Arrangement:
    """Return the places along the axle.

    Args:
        covers, rotor, lamination: tables of the design.
        shape: of both covers.
        bearing: both are alike.
        sections: of the axle.
        steel: ends of the stack's steel, from face A, mm.

    Raises:
        Refused: bearings that do not stand on both sides of the stack, or a ring longer than the room.
    """
    shoulders = _shoulders(sections, steel)
    slack = {"lead side": (0.0, 1.0), "far side": (1.0, 0.0), "neither": (0.5, 0.5)}[covers.fixed]
    wide, gap = bearing.width_mm, covers.end_float
    floors = (shoulders[0] - wide - slack[0] * gap, shoulders[1] + wide + slack[1] * gap)
    seats = (floors[0] + shape.seat_depth, floors[1] - shape.seat_depth)
    apart = round((seats[1] - seats[0]) / STEP) * STEP
    magnet_length = rotor.magnet_length or lamination.stack_length
    middle = (steel[0] + steel[1]) / 2
    ring = _ring(covers, seats, middle)
    return Arrangement(
        shape=shape,
        shoulders=shoulders,
        floors=floors,
        seats=seats,
        inners=(floors[0] + shape.depth, floors[1] - shape.depth),
        outers=(floors[0] - shape.lip_thickness, floors[1] + shape.lip_thickness),
        ring=ring,
        magnets=(middle - magnet_length / 2, middle + magnet_length / 2),
        steel=steel,
        apart=apart,
        spacers=(round(ring[0] - seats[0], 2), round(seats[1] - ring[1], 2)),
    )


def _shoulders(sections: Sequence[Section], steel: tuple[float, float]) -> tuple[float, float]:
    """Return the ends of both bearing seats that face the stack, from face A, mm."""
    seats = [s for s in sections if s.kind == "seat"]
    before = [s.end for s in seats if s.end <= steel[0] + SAME]
    behind = [s.start for s in seats if s.start >= steel[1] - SAME]
    if not before or not behind:
        raise Refused(
            stop(
                "covers-need-two-bearings",
                "axle.seats",
                "axle.seats: two covers need a bearing on each side of the stack",
                value=len(seats),
                limit=2,
                fix="place one bearing seat before and one behind the stack, or leave [covers] out",
            )
        )
    return max(before), min(behind)


def _ring(covers: Covers, seats: tuple[float, float], middle: float) -> tuple[float, float]:
    """Return the ends of the steel ring: from cover to cover, or about the middle of the stack."""
    length = covers.ring_length
    if length is None:
        return seats
    lead = round(middle - length / 2 - seats[0], 1)
    ring = (seats[0] + lead, seats[0] + lead + length)
    if lead < 0.0 or ring[1] > seats[1] + SAME:
        most = 2 * min(middle - seats[0], seats[1] - middle)
        raise Refused(
            stop(
                "ring-too-long",
                "covers.ring_length",
                f"covers.ring_length = {length:g} mm: about the middle of the stack there is room for "
                f"{max(most, 0.0):.1f} mm between the covers",
                value=length,
                limit=most,
                fix=f"use {math.floor(10 * max(most, 0.0)) / 10:.1f} mm or less, or leave it out: the ring "
                "then reaches from cover to cover",
            )
        )
    return ring
