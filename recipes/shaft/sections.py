"""The axle as its features give it: named stretches, and the turned sections from face A to B.

      ____     ____######     ____        end | seat | land | stator seat | collar | land | seat | end
 ____|    |___|          |___|    |____   lands fill what the design leaves open between two
+--------------------------------------+  features, ends what lies beyond the outermost
face A -> z                       face B
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import Literal

from geometry.finding import Finding
from recipes.design.axle import Axle, WireSlot
from recipes.refusal import Refused, stop
from recipes.shaft.end_thread import threaded_ends
from recipes.shaft.ring_groove import ring_grooves
from recipes.tables.bearings import Bearing, bearing
from recipes.tables.fits import Limits, fit_limits
from recipes.tables.reader import TableError

Kind = Literal["end", "seat", "land", "stator", "shoulder", "thread", "undercut"]

#: An end that is left out is turned this much below the bearing's bore, mm (common practice).
END_BELOW = 0.2

#: What is passed over a section without a fit must not jam: its diameter may be smaller by this
#: much, never larger (common practice; ISO 2768-1 m would allow it to be larger).
UNDER_SIZE = 0.2

#: Half the point angle of a twist drill, 118 degrees: how a blind bore ends (common practice).
HALF_POINT = math.radians(59.0)

#: Wall that must be left everywhere: in mm, and as a share of the diameter (common practice).
LEAST_WALL, LEAST_WALL_SHARE = 1.0, 0.10

#: Field of a section that is not worked: it keeps the outside of the stock.
AS_BOUGHT = "axle.stock_diameter"

#: Field that says where the stack begins on an axle without a turned seat for it.
STACK_PLACE = "axle.stack_from_face"

#: Two lengths from the design file, perhaps through inches, count as equal within this, mm.
SAME = 1e-6


#: Play of a jig's hole on the axle, on the diameter, mm.
JIG_PLAY = 0.2


@dataclass(frozen=True)
class Feature:
    """A stretch of the axle that the design gives.

    Args:
        name: for the reader, such as "bearing seat 1".
        field: dotted name of its table in the design file.
        start, end: from face A in mm.
    """

    name: str
    field: str
    start: float
    end: float

    @property
    def place(self) -> str:
        """Dotted name of the design field that says where it begins."""
        return self.field if self.field == STACK_PLACE else f"{self.field}.from_face"

    def overlap(self, other: Feature) -> float:
        """Return the shared length in mm; below 0 it is the gap between the two."""
        return min(self.end, other.end) - max(self.start, other.start)


@dataclass(frozen=True)
class Section:
    """A stretch with one diameter, turned unless its field is `AS_BOUGHT`.

    Args:
        start, end: from face A in mm.
        diameter: nominal, mm.
        kind: what it is for.
        fit: tolerance class of ISO 286, "" for none.
        field: dotted name of the design field that sets the diameter.
    """

    start: float
    end: float
    diameter: float
    kind: Kind
    fit: str
    field: str

    @property
    def length(self) -> float:
        """Length in mm."""
        return self.end - self.start

    @property
    def limits(self) -> Limits | None:
        """Limits of the diameter, None without a fit.

        Raises:
            TableError: the table does not hold this fit at this size.
        """
        return fit_limits(self.diameter, self.fit) if self.fit else None


def axle_bearing(name: str) -> Bearing:
    """Return the bearing of both seats by its number, `axle.bearing`.

    Raises:
        Refused: the table does not hold it; field `axle.bearing`.
    """
    try:
        return bearing(name)
    except TableError as error:
        raise Refused(
            stop(
                "no-such-bearing",
                "axle.bearing",
                f"axle.bearing = {name!r}: {error}",
                value=name,
                fix="use a bearing of the table: lamwright lookup bearing lists them",
                source="ISO 15, ABMA 20",
            )
        ) from None


def seat_features(axle: Axle) -> tuple[Feature, ...]:
    """Return the bearing seats in the order of the design."""
    return tuple(
        Feature(f"bearing seat {k}", f"axle.seats[{k}]", s.from_face, s.from_face + s.length)
        for k, s in enumerate(axle.seats, 1)
    )


def stator_feature(axle: Axle, stack_length: float) -> Feature:
    """Return the seat of the stack; without a turned one the stretch that the stack covers, mm."""
    seat = axle.stator_seat
    if seat is not None:
        end = seat.from_face + seat.length
        return Feature("stator seat", "axle.stator_seat", seat.from_face, end)
    start = axle.stack_from_face
    if start is None:
        places = [z for f in seat_features(axle) for z in (f.start, f.end)]
        start = (min(places, default=0.0) + max(places, default=axle.length) - stack_length) / 2
    return Feature("stack", STACK_PLACE, start, start + stack_length)


def collar_feature(axle: Axle) -> Feature | None:
    """Return the collar that the stack rests against; None without one."""
    collar = axle.shoulder
    if collar is None:
        return None
    return Feature("collar", "axle.shoulder", collar.from_face, collar.from_face + collar.length)


def slot_feature(axle: Axle) -> Feature:
    """Return the wire slot."""
    slot = axle.wire_slot
    return Feature("wire slot", "axle.wire_slot", slot.from_face, slot.from_face + slot.length)


def drill_centres(slot: WireSlot) -> tuple[float, float]:
    """Return the distances from face A of the two holes that make the wire slot's ends, mm."""
    return slot.from_face + slot.width / 2, slot.from_face + slot.length - slot.width / 2


def groove_features(axle: Axle) -> tuple[Feature, ...]:
    """Return the grooves in the order of the design.

    Raises:
        Refused: a groove whose size is not to be had.
    """
    return tuple(
        Feature(f"groove {k}", g.field, g.from_face, g.end)
        for k, g in enumerate(ring_grooves(axle), 1)
    )


def thread_features(axle: Axle) -> tuple[Feature, ...]:
    """Return the threaded ends, undercuts included, in the order of the design."""
    return tuple(
        Feature(f"thread {k}", e.field, *e.reach) for k, e in enumerate(threaded_ends(axle), 1)
    )


def flat_features(axle: Axle) -> tuple[Feature, ...]:
    """Return the pairs of flats in the order of the design."""
    return tuple(
        Feature(f"pair of flats {k}", f"axle.flats[{k}]", f.from_face, f.from_face + f.length)
        for k, f in enumerate(axle.flats, 1)
    )


def turned_features(axle: Axle, stack_length: float) -> tuple[Feature, ...]:
    """Return bearing seats, stator seat or stack, and collar; length of the stack in mm."""
    collar = collar_feature(axle)
    seats = (*seat_features(axle), stator_feature(axle, stack_length))
    return seats if collar is None else (*seats, collar)


def least_wall(diameter: float) -> float:
    """Return the wall that must be left under this diameter; both in mm."""
    return max(LEAST_WALL, LEAST_WALL_SHARE * diameter)


def bore_end(axle: Axle) -> float:
    """Return where the bore ends, its drill point included: z in mm, the axle's length if through."""
    if axle.bore_depth is None:
        return axle.length
    return axle.bore_depth + axle.bore_diameter / 2 / math.tan(HALF_POINT)


def axle_sections(axle: Axle, stator_bore: float, stack_length: float) -> tuple[Section, ...]:
    """Return the sections in order; they cover face A to face B without a gap.

    Args:
        axle: table of the design.
        stator_bore: bore of the stack, nominal diameter of its turned seat, mm.
        stack_length: of the finished stack, mm; asked where no seat is turned for it.

    Raises:
        Refused: an unknown bearing, or features that overlap or leave the axle.
    """
    found: list[Section] = []
    for this in (*_given(axle, stator_bore, stack_length), None):
        z0 = found[-1].end if found else 0.0
        z1 = this.start if this else axle.length
        if z1 < z0 - SAME:
            raise Refused(_no_room(this or found[-1], z0 - z1))
        if z1 > z0 + SAME:
            before = found[-1] if found else None
            found.append(_between(axle, stator_bore, before, this, z0, z1))
        if this:
            found.append(this)
    # Neighbours share the very same z: rounding noise of inches removed.
    ends = [*(s.start for s in found[1:]), axle.length]
    starts = [0.0, *ends[:-1]]
    return tuple(replace(s, start=a, end=b) for s, a, b in zip(found, starts, ends, strict=True))


def _given(axle: Axle, stator_bore: float, stack_length: float) -> list[Section]:
    """Return the sections that the design gives, by place."""
    bore, stack = axle_bearing(axle.bearing).bore_mm, stator_feature(axle, stack_length)
    turned, collar = axle.stator_seat, collar_feature(axle)
    size, fit, field = axle.stock_diameter, "", AS_BOUGHT
    if turned is not None:
        size, fit, field = stator_bore, turned.fit, "lamination.bore_diameter"
    sections = [
        *(
            Section(f.start, f.end, bore, "seat", s.fit, "axle.bearing")
            for f, s in zip(seat_features(axle), axle.seats, strict=True)
        ),
        Section(stack.start, stack.end, size, "stator", fit, field),
    ]
    if collar is not None and axle.shoulder is not None:
        over, field = axle.shoulder.diameter, "axle.shoulder.diameter"
        sections.append(Section(collar.start, collar.end, over, "shoulder", "", field))
    for e in threaded_ends(axle):
        size, cut = e.thread.diameter_mm, e.thread.undercut_mm
        sections.append(Section(e.start, e.end, size, "thread", "", f"{e.field}.thread"))
        if e.undercut:
            sections.append(Section(*e.undercut, cut, "undercut", "", f"{e.field}.undercut"))
    return sorted(sections, key=lambda s: (s.start, s.end))


def _between(
    axle: Axle,
    stator_bore: float,
    before: Section | None,
    after: Section | None,
    z0: float,
    z1: float,
) -> Section:
    """Return the end or land that fills z0 to z1."""
    ends = ("thread", "undercut")
    if before is None or after is None or before.kind in ends or after.kind in ends:
        given = axle.end_diameter
        size = axle_bearing(axle.bearing).bore_mm - END_BELOW if given is None else given
        return Section(z0, z1, size, "end", "", "axle.end_diameter")
    if axle.land_diameter is None and axle.stator_seat is None:
        return Section(z0, z1, axle.stock_diameter, "land", "", AS_BOUGHT)
    land = stator_bore if axle.land_diameter is None else axle.land_diameter
    if {before.kind, after.kind} == {"stator", "shoulder"}:
        land = min(land, stator_bore)  # the stack passes it on its way to the collar
    return Section(z0, z1, land, "land", "", "axle.land_diameter")


def _no_room(section: Section, by: float) -> Finding:
    return stop(
        "features-overlap",
        section.field,
        (
            f"the {section.kind} from {section.start:g} to {section.end:g} mm overlaps its neighbour or "
            f"leaves the axle by {by:.3f} mm"
        ),
        value=by,
        limit=0.0,
        fix="move it, or shorten it or its neighbour",
    )


def jig_hole(sections: Iterable[Section], stator_bore: float) -> float:
    """Return the radius in mm of a hole that passes all of the axle from face A to the stack.

    Args:
        sections: from face A to face B.
        stator_bore: bore of the stack, mm; taken where the stack begins at face A.
    """
    before = [
        max(s.diameter, stator_bore) if s.field == AS_BOUGHT else s.diameter  # it may be over size
        for s in takewhile(lambda s: s.kind != "stator", sections)
    ]
    return (max(before, default=stator_bore) + JIG_PLAY) / 2
