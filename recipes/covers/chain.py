"""The stack-up along the axle: each gap as a chain of lengths, at worst and as it is likely.

    gap = sum of sign x (nominal + something between its lower and upper deviation)
    worst case: every deviation at the end that hurts
    likely: about the middle of the deviations, the root of the sum of their squared half widths
            (lengths err independently of each other; common practice)

Links are lengths that can be measured or ordered: places on the axle count from face A, as its
drawing gives them. Not counted: what bolts squeeze and heat lengthens.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from geometry.finding import Confidence
from recipes.covers.arrangement import Arrangement
from recipes.design.covers import Covers
from recipes.tables.bearings import Bearing
from recipes.tables.general_tolerance import general_tolerance

#: What the title block of the axle's drawing says of lengths without a tolerance of their own.
AXLE_CLASS: Literal["m"] = "m"

#: How far a coil end wound by hand stands higher or lower than worked out, mm; joints and their
#: sleeves in it (common practice).
COIL_END = 1.0

#: How far magnets that are glued in by hand lie off their place along the axle, mm (common practice).
MAGNET_PLACE = 0.3

#: Plus and minus on the height of a cap or washer beside the stack, mm (common practice).
LAYER = 0.1


@dataclass(frozen=True)
class Link:
    """One length of a chain.

    Args:
        name: for the reader.
        sign: +1 if it opens the gap, -1 if it closes it.
        nominal: mm.
        upper, lower: deviations, mm.
        source: where the deviations come from.
        confidence: how sure they are.
        field: dotted design field that changes it.
    """

    name: str
    sign: int
    nominal: float
    upper: float
    lower: float
    source: str
    confidence: Confidence
    field: str

    @property
    def middle(self) -> float:
        """What it adds to the gap at the middle of its deviations, mm."""
        return self.sign * (self.nominal + (self.upper + self.lower) / 2)

    @property
    def half(self) -> float:
        """Half the width of its deviations, mm."""
        return (self.upper - self.lower) / 2


@dataclass(frozen=True)
class Chain:
    """A gap and the links that make it.

    Args:
        key: for results, such as "end_float".
        name: for the reader.
        links: in order.
    """

    key: str
    name: str
    links: tuple[Link, ...]

    @property
    def nominal(self) -> float:
        """The gap if every length is as it is called, mm."""
        return math.fsum(k.sign * k.nominal for k in self.links)

    @property
    def worst(self) -> tuple[float, float]:
        """Least and greatest gap, mm."""
        middle, half = self._middle, math.fsum(k.half for k in self.links)
        return middle - half, middle + half

    @property
    def likely(self) -> tuple[float, float]:
        """Least and greatest gap by the root of the sum of squares, mm."""
        middle, half = self._middle, math.hypot(*(k.half for k in self.links))
        return middle - half, middle + half

    @property
    def _middle(self) -> float:
        return math.fsum(k.middle for k in self.links)

    @property
    def widest(self) -> Link:
        """The link that takes most."""
        return max(self.links, key=lambda k: k.half)


@dataclass(frozen=True)
class Placed:
    """What lies on the axle beside the covers; lengths in mm.

    Args:
        datum: face of the axle that the stack rests on, from face A; else where it is glued.
        datum_field: of the design.
        on_lead: whether the stack lies on the lead side of that face.
        layer: cap and washer between that face and the steel.
        steel: ends of the stack's steel, from face A.
        band: plus and minus on its length.
        end_height: of the coils over the steel.
        magnet_length: of the magnets.
        held: whether something holds the fixed bearing outward as well.
    """

    datum: float
    datum_field: str
    on_lead: bool
    layer: float
    steel: tuple[float, float]
    band: float
    end_height: float
    magnet_length: float
    held: bool

    @property
    def length(self) -> float:
        """Of the stack's steel, mm."""
        return self.steel[1] - self.steel[0]


def chains(
    covers: Covers, arranged: Arrangement, bearing: Bearing, placed: Placed
) -> tuple[Chain, ...]:
    """Return the chains: end float, coil ends to both covers, magnets against the stack.

    Args:
        covers: table of the design.
        arranged: nominal places.
        bearing: both are alike.
        placed: what else lies on the axle.

    Raises:
        TableError: a length that no table holds.
    """
    make = _Links(covers, arranged, bearing, placed)
    lead, far = make.steel(lead=True), make.steel(lead=False)
    height = make.coil_end()
    found = (
        Chain("end_float", "end float of the floating bearing", make.end_float()),
        Chain(
            "coil_to_lead_cover",
            "coil ends to the cover on the lead side",
            (*lead, height, *make.cover(lead=True)),
        ),
        Chain(
            "coil_to_far_cover",
            "coil ends to the cover on the far side",
            (*make.cover(lead=False), height, *_turned(far)),
        ),
        Chain("magnet_offset", "magnets off the middle of the stack", make.magnet_offset()),
    )
    return tuple(replace(chain, links=_cancelled(chain.links)) for chain in found)


def _cancelled(links: Sequence[Link]) -> tuple[Link, ...]:
    """Return the links without a length that is passed there and back: it changes nothing."""
    kept: list[Link] = []
    for link in links:
        back = next((k for k in kept if k.name == link.name and k.sign == -link.sign), None)
        if back is None:
            kept.append(link)
        else:
            kept.remove(back)
    return tuple(kept)


def _turned(links: Sequence[Link]) -> tuple[Link, ...]:
    """Return the links with their signs turned."""
    return tuple(replace(k, sign=-k.sign) for k in links)


class _Links:
    """Maker of links for one design."""

    def __init__(
        self, covers: Covers, arranged: Arrangement, bearing: Bearing, placed: Placed
    ) -> None:
        self.covers, self.at, self.bearing, self.placed = covers, arranged, bearing, placed

    def _axle(self, name: str, sign: int, place: float, field: str) -> Link:
        most = general_tolerance(place, AXLE_CLASS)
        source = f"ISO 2768-1 {AXLE_CLASS}, as the axle's title block says"
        return Link(name, sign, place, most, -most, source, "standard", field)

    def _shoulder(self, k: int, sign: int) -> Link:
        side = ("lead side", "far side")[k]
        return self._axle(
            f"shoulder of the bearing, {side}, from face A",
            sign,
            self.at.shoulders[k],
            f"axle.seats[{k + 1}].from_face",
        )

    def _width(self, k: int, sign: int) -> Link:
        ring, side = self.bearing, ("lead side", "far side")[k]
        return Link(
            f"bearing {ring.designation}, {side}, width",
            sign,
            ring.width_mm,
            ring.width_upper_um / 1000,
            ring.width_lower_um / 1000,
            "ISO 492 Normal",
            "standard",
            "axle.bearing",
        )

    def _own(self, name: str, sign: int, length: float, tolerance: float, field: str) -> Link:
        source = "plus and minus of the design file"
        return Link(name, sign, length, tolerance, -tolerance, source, "yours", field)

    def _pocket(self, k: int, sign: int) -> Link:
        side = ("lead side", "far side")[k]
        depth, most = self.at.shape.seat_depth, self.covers.depth_tolerance
        name = f"pocket below the seat face, {side}"
        return self._own(name, sign, depth, most, "covers.depth_tolerance")

    def _register(self, k: int, sign: int) -> Link:
        side, most = ("lead side", "far side")[k], self.covers.depth_tolerance
        return self._own(
            f"register of the cover, {side}",
            sign,
            self.at.shape.register,
            most,
            "covers.register_depth",
        )

    def _lengths(self, sign: int, upto: int = 3) -> tuple[Link, ...]:
        """Return spacer, ring, spacer, as far as there are any."""
        at, most = self.at, self.covers.length_tolerance
        pieces = (
            ("spacer ring, lead side", at.spacers[0]),
            ("steel ring, length", at.ring[1] - at.ring[0]),
            ("spacer ring, far side", at.spacers[1]),
        )[:upto]
        return tuple(
            self._own(name, sign, round(length, 2), most, "covers.length_tolerance")
            for name, length in pieces
            if length
        )

    def end_float(self) -> tuple[Link, ...]:
        """Return the links of the gap between the floating bearing and its shoulder."""
        return (
            self._pocket(0, 1),
            *self._lengths(1),
            self._pocket(1, 1),
            self._width(0, -1),
            self._width(1, -1),
            self._shoulder(1, -1),
            self._shoulder(0, 1),
        )

    def _shift(self, sign: int) -> tuple[Link, ...]:
        """Return how far the rotor may shift off its nominal place, where nothing holds it both ways."""
        most, where = self.covers.end_float, self.covers.fixed
        if not most or (self.placed.held and where != "neither"):
            return ()
        low, high = {
            "lead side": (-most, 0.0),
            "far side": (0.0, most),
            "neither": (-most / 2, most / 2),
        }[where]
        name = "rotor shifts until the other bearing meets its shoulder"
        source = "end float, nominal"
        return (Link(name, sign, 0.0, high, low, source, "practice", "covers.end_float"),)

    def _floor(self, *, lead: bool, sign: int) -> tuple[Link, ...]:
        """Return the place of a pocket's floor from face A, by way of the fixed bearing."""
        by_far = self.covers.fixed == "far side"
        own: tuple[Link, ...] = (
            (self._shoulder(1, sign), self._width(1, sign))
            if by_far
            else (self._shoulder(0, sign), self._width(0, -sign))
        )
        if self.covers.fixed == "neither" and self.covers.end_float:
            half = self.covers.end_float / 2
            name = "half the end float"
            own += (Link(name, -sign, half, 0.0, 0.0, "nominal", "yours", "covers.end_float"),)
        if lead != by_far:
            return (*own, *self._shift(sign))
        to = -sign if by_far else sign
        across = (self._pocket(0, to), *self._lengths(to), self._pocket(1, to))
        return (*own, *across, *self._shift(sign))

    def cover(self, *, lead: bool) -> tuple[Link, ...]:
        """Return the place of a cover's inner face: subtracted for the lead side, added for the far."""
        sign, k = (-1, 0) if lead else (1, 1)
        # seen from the floor the inner face lies toward the stack: pocket and register
        inward = -1
        return (
            *self._floor(lead=lead, sign=sign),
            self._pocket(k, inward),
            self._register(k, inward),
        )

    def steel(self, *, lead: bool) -> tuple[Link, ...]:
        """Return the place of one end of the steel from face A."""
        put = self.placed
        toward = -1 if put.on_lead else 1
        found: list[Link] = [
            self._axle("face that the stack rests on, from face A", 1, put.datum, put.datum_field)
        ]
        if put.layer:
            source = "common practice"
            name = "cap and washer between face and steel"
            found.append(Link(name, toward, put.layer, LAYER, -LAYER, source, "practice", "ends"))
        if lead == put.on_lead:
            found.append(self._stack(toward, 1.0))
        return tuple(found)

    def _stack(self, sign: int, share: float) -> Link:
        put = self.placed
        name = "stack, length" if share == 1.0 else "half the stack"
        source = "one sheet more or less; number of sheets x thickness / stacking factor"
        length, band = share * put.length, share * put.band
        return Link(name, sign, length, band, -band, source, "practice", "lamination.stack_length")

    def coil_end(self) -> Link:
        """Return the height of the coils over the steel."""
        return Link(
            "coil end over the steel",
            -1,
            self.placed.end_height,
            COIL_END,
            -COIL_END,
            "wound by hand, common practice",
            "practice",
            "winding.turns",
        )

    def magnet_offset(self) -> tuple[Link, ...]:
        """Return the middle of the magnets less the middle of the steel."""
        at, put = self.at, self.placed
        half = put.magnet_length / 2
        glued = at.magnets[0] - at.ring[0] + half
        name = "middle of the magnets from the ring's lead end"
        source = "glued by hand against a gauge, common practice"
        place = Link(
            name, 1, glued, MAGNET_PLACE, -MAGNET_PLACE, source, "practice", "rotor.magnet_length"
        )
        spacer = self._lengths(1, 1) if at.spacers[0] else ()
        steel = self.steel(lead=not put.on_lead)
        middle = self._stack(-1 if put.on_lead else 1, 0.5)
        return (
            *self._floor(lead=True, sign=1),
            self._pocket(0, 1),
            *spacer,
            place,
            *_turned((*steel, middle)),
        )
