"""Can the covers be made, do they hold the bearings, do their holes leave enough plate?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from geometry.finding import Finding
from recipes.covers.arrangement import Arrangement, CoverShape
from recipes.covers.bolting import THREAD, Bolting
from recipes.covers.speed import Turning
from recipes.design.covers import CoverBolts, Covers, JackScrews
from recipes.design.rotor import Rotor
from recipes.refusal import finding, stop, warn
from recipes.tables.bearings import Bearing
from recipes.tables.bolts import bolt
from recipes.tables.process import Process

#: Lip that still holds a bearing against a knock, mm, and its hole as shares of the room between the
#: bearing's bore and outside: clear of inner ring and seal, still on the outer ring (common practice).
LEAST_LIP, LIP_CLEAR, LIP_HOLDS = 2.0, 0.68, 0.9

#: Share of a bearing's width that its pocket must hold (common practice).
HELD_SHARE = 0.75

#: Plate left round the pocket, and between two holes, mm (common practice).
POCKET_WALL, BETWEEN = 3.0, 1.5

#: Wall of the ring for a thread, in diameters: to cut one at all, and to cut one well (common practice).
LEAST_WALL, GOOD_WALL = 1.5, 2.0

#: Magnets stay so far off the register, mm.
OFF_REGISTER = 0.5

_practice = partial(finding, source="common practice", confidence="practice")


def no_covers_findings(rotor: Rotor, *, given: bool) -> list[Finding]:
    """Say what cannot be said without covers, or without the ring that covers close.

    Args:
        rotor: table of the design.
        given: whether the design gives covers.
    """
    ring = rotor.magnet_width is not None and rotor.ring_thickness is not None
    if given and not ring:
        missing = "ring_thickness" if rotor.magnet_width is not None else "magnet_width"
        return [
            warn(
                "covers-without-ring",
                f"rotor.{missing}",
                f"rotor.{missing} is missing: covers close a ring, and nothing says how large it is; no "
                "cover is drawn",
                fix=f"give rotor.{missing}, or leave [covers] out",
            )
        ]
    return [
        _practice(
            "note",
            "no-covers",
            "covers",
            "[covers] is left out: covers are not drawn; end float of the bearings, room between coil "
            "ends and covers and the magnets' place along the axle are not judged",
            fix="add a [covers] table"
            + ("" if ring else ", and magnet sizes and ring_thickness in [rotor]"),
        )
    ]


def cover_findings(
    covers: Covers,
    rotor: Rotor,
    arranged: Arrangement,
    bearing: Bearing,
    bolts: Bolting,
    cutter: Process,
) -> list[Finding]:
    """Return every finding on the shape of the covers.

    Args:
        covers, rotor: tables of the design.
        arranged: places along the axle.
        bearing: both are alike.
        bolts: of both covers.
        cutter: how the plate is cut.
    """
    shape = arranged.shape
    return [
        *_lip(shape, bearing),
        *_pocket(shape, bearing),
        *_bolt_circle(covers.bolts, shape),
        *_bolt_length(covers.bolts, shape, bolts),
        *_holes(covers, shape),
        *_air(covers, shape, cutter),
        *_spacers(covers.bolts, arranged),
        *_register(rotor, arranged),
        *_cutting(covers, shape, cutter),
    ]


def _lip(shape: CoverShape, bearing: Bearing) -> Iterator[Finding]:
    thin, room = shape.lip_thickness, bearing.outside_mm - bearing.bore_mm
    if thin < LEAST_LIP:
        yield _practice(
            "stop" if thin <= 0.0 else "warn",
            "cover-lip-thin",
            "covers.thickness",
            f"covers.thickness = {shape.thickness:g} mm less a pocket of {shape.depth:g} mm leaves a lip "
            f"of {thin:.2f} mm; it keeps the bearing in the cover",
            value=thin,
            limit=LEAST_LIP,
            fix=f"use a plate of {shape.depth + LEAST_LIP:g} mm or more, or a shallower housing_depth",
        )
    least, most = (bearing.bore_mm + share * room for share in (LIP_CLEAR, LIP_HOLDS))
    if not least <= 2 * shape.lip <= most:
        small = 2 * shape.lip < least
        yield _practice(
            "warn" if small else "stop",
            "cover-lip-bore",
            "covers.lip_bore",
            f"covers.lip_bore = {2 * shape.lip:g} mm: "
            + (
                "the lip reaches over the inner ring or seal of the bearing and rubs"
                if small
                else "the lip does not hold the outer ring of the bearing"
            ),
            value=2 * shape.lip,
            limit=least if small else most,
            fix=f"use {least:.1f} to {most:.1f} mm, by the abutment sizes of the maker",
        )


def _pocket(shape: CoverShape, bearing: Bearing) -> Iterator[Finding]:
    least = max(HELD_SHARE * bearing.width_mm, shape.register + 0.5)
    if shape.depth < least:
        yield _practice(
            "stop",
            "cover-pocket-shallow",
            "covers.housing_depth",
            f"covers.housing_depth = {shape.depth:g} mm holds too little of a bearing "
            f"{bearing.width_mm:g} mm wide; it tilts in its seat",
            value=shape.depth,
            limit=least,
            fix=f"use {least:.1f} mm or more",
        )
    wall = shape.spigot - shape.pocket
    if wall < POCKET_WALL:
        yield _practice(
            "stop",
            "cover-pocket-wall",
            "axle.bearing",
            f"axle.bearing: its pocket of {2 * shape.pocket:g} mm leaves {wall:.1f} mm up to the register "
            f"of {2 * shape.spigot:.1f} mm",
            value=wall,
            limit=POCKET_WALL,
            fix="use a smaller bearing",
        )


def _bolt_circle(bolts: CoverBolts, shape: CoverShape) -> Iterator[Finding]:
    """Bolts past the ring clear it and stay in the plate; bolts into it leave a wall."""
    size, field = shape.bolt, "covers.bolts.circle_diameter"
    if bolts.path == "into the ring":
        wall = shape.ring_outside - shape.spigot
        least = LEAST_WALL * size.nominal_mm
        if wall < GOOD_WALL * size.nominal_mm:
            yield _practice(
                "stop" if wall < least else "note",
                "ring-wall-for-thread",
                "rotor.ring_thickness",
                f"rotor.ring_thickness = {wall:g} mm takes a thread of {size.thread} "
                + ("badly" if wall >= least else "not at all")
                + f": {(wall - size.nominal_mm) / 2:.2f} mm of wall stays on each side",
                value=wall,
                limit=GOOD_WALL * size.nominal_mm,
                fix="use thinner bolts and more of them, a thicker ring, or bolts past the ring",
            )
        low = shape.spigot + size.nominal_mm / 2
        high = shape.ring_outside - size.nominal_mm / 2
        inside = low < shape.circle < high
        says, limit = "the thread leaves the ring's wall", low + high
    else:
        low = shape.ring_outside + shape.hole / 2
        inside = shape.circle >= low - 1e-6
        says, limit = "the bolts meet the ring", 2 * low
    if not inside:
        yield stop(
            "cover-bolt-circle",
            field,
            f"{field} = {2 * shape.circle:g} mm: {says}",
            value=2 * shape.circle,
            limit=limit,
            fix="leave it out, or change bolts.path",
        )
    head, _ = size.head(bolts.head)
    edge = shape.outside - shape.circle - shape.hole / 2
    past = bolts.path == "past the ring"
    if edge < (0.5 * shape.hole if past else 0.5):
        yield _practice(
            "stop" if edge < 0.5 else "warn",
            "cover-edge-thin",
            "covers.outside_diameter",
            f"covers.outside_diameter = {2 * shape.outside:g} mm leaves {edge:.2f} mm of plate outside "
            "the bolt holes",
            value=edge,
            limit=0.5 * shape.hole,
            fix=f"use {2 * (shape.circle + shape.hole):.1f} mm or more, or leave it out",
        )
    apart = 2 * shape.circle * math.sin(math.pi / bolts.count)
    if apart < head + 1.0:
        most = math.floor(math.pi / math.asin(min(1.0, (head + 1.0) / 2 / shape.circle)))
        yield stop(
            "cover-bolts-meet",
            "covers.bolts.count",
            f"covers.bolts.count = {bolts.count}: the heads of {size.thread} meet on a circle of "
            f"{2 * shape.circle:g} mm",
            value=bolts.count,
            limit=most,
            fix=f"use {most} or fewer",
        )


def _bolt_length(bolts: CoverBolts, shape: CoverShape, found: Bolting) -> Iterator[Finding]:
    if found.length is None and bolts.path == "into the ring":
        low, high = THREAD
        yield stop(
            "no-such-bolt",
            "covers.bolts.thread",
            f"covers.bolts.thread = {bolts.thread!r}: no bolt that is sold reaches {low:g} to {high:g} "
            f"diameters into the ring ({found.least:.1f} to {found.most:.1f} mm under the head)",
            value=shape.bolt.nominal_mm,
            fix="use another thread or plate",
            source="ISO 888; reach common practice",
            confidence="practice",
        )


def _holes(covers: Covers, shape: CoverShape) -> Iterator[Finding]:
    """Jack screws press on the ring's wall, and stay clear of the bolts."""
    jack = covers.jack_screws
    if jack is None:
        return
    size = bolt(jack.thread)
    clear = jack_clearance(covers.bolts, jack, shape)
    wall = shape.ring_outside - shape.spigot
    if clear < BETWEEN or size.nominal_mm > wall:
        wide = size.nominal_mm > wall
        yield _practice(
            "stop" if clear < 0.3 else "warn",
            "jack-screws",
            "covers.jack_screws.thread",
            f"covers.jack_screws.thread = {jack.thread!r}: "
            + (
                f"wider than the ring's wall of {wall:g} mm that it presses on"
                if wide
                else f"{clear:.2f} mm of plate stays between it and a bolt hole"
            ),
            value=size.nominal_mm if wide else clear,
            limit=wall if wide else BETWEEN,
            fix="use thinner jack screws, or fewer bolts",
        )


def jack_angles(bolts: CoverBolts, jack: JackScrews) -> tuple[float, ...]:
    """Return directions of the jack screws in rad, each midway between two bolts; a bolt stands at 0."""
    pitch = 2 * math.pi / bolts.count
    steps = (round(k * bolts.count / jack.count) for k in range(jack.count))
    return tuple((k + 0.5) * pitch for k in steps)


def jack_clearance(bolts: CoverBolts, jack: JackScrews, shape: CoverShape) -> float:
    """Return the plate between a jack screw and the next bolt hole, mm."""
    turn = math.pi / bolts.count
    r, q = shape.circle, shape.jack_circle
    apart = math.sqrt(r * r + q * q - 2 * r * q * math.cos(turn))
    return apart - shape.hole / 2 - bolt(jack.thread).nominal_mm / 2


def _air(covers: Covers, shape: CoverShape, cutter: Process) -> Iterator[Finding]:
    """Holes for air leave plate to what is turned, and to what is cut beside them."""
    air = covers.air_holes
    if air is None:
        return
    middle, radius = air.circle_diameter / 2, air.diameter / 2
    cut = cutter.web(shape.thickness)
    bore = shape.lip - covers.bore_allowance / 2
    webs = (
        ("the bearing's pocket", middle - radius - shape.pocket, POCKET_WALL),
        ("the register", shape.spigot - middle - radius, POCKET_WALL),
        ("the hole in the middle, as it is cut", middle - radius - bore, cut),
        ("the next hole", 2 * middle * math.sin(math.pi / air.count) - 2 * radius, cut),
    )
    for name, web, least in webs:
        if web < least:
            yield _practice(
                "stop" if web < 0.5 else "warn",
                "air-holes",
                "covers.air_holes.diameter",
                f"covers.air_holes.diameter = {air.diameter:g} mm leaves {web:.2f} mm of plate to {name}",
                value=web,
                limit=least,
                fix="use smaller or fewer holes, or another circle_diameter",
            )


def _spacers(bolts: CoverBolts, arranged: Arrangement) -> Iterator[Finding]:
    if any(arranged.spacers) and bolts.path == "into the ring":
        yield stop(
            "spacers-and-screws",
            "covers.bolts.path",
            "covers.bolts.path = 'into the ring': spacer rings lie between covers and ring, and nothing "
            "would hold the ring",
            value=bolts.path,
            fix="use bolts past the ring, or leave covers.ring_length out",
        )


def _register(rotor: Rotor, arranged: Arrangement) -> Iterator[Finding]:
    """A cover is centred by its register, not by bolts in clearance holes; magnets leave it room."""
    shape = arranged.shape
    play = shape.hole - shape.bolt.nominal_mm
    if shape.register == 0.0 and play > rotor.off_centre:
        yield warn(
            "cover-not-centred",
            "covers.register_depth",
            f"covers.register_depth = 0: bolts of {shape.bolt.thread} in holes of {shape.hole:g} mm let "
            f"the ring lie {play:g} mm off the axis, rotor.off_centre counts on {rotor.off_centre:g} mm",
            value=play,
            limit=rotor.off_centre,
            fix="turn a register 1.5 mm deep, or set ring and covers up true with a dial gauge",
            source="ISO 273",
        )
    room = min(arranged.magnets[0] - arranged.seats[0], arranged.seats[1] - arranged.magnets[1])
    if room < shape.register + OFF_REGISTER:
        yield stop(
            "magnets-meet-cover",
            "covers.register_depth",
            f"the magnets come within {room:.2f} mm of the face that a cover rests on, and its register "
            f"reaches {shape.register:g} mm into the ring",
            value=room,
            limit=shape.register + OFF_REGISTER,
            fix="use a shallower register_depth, or move the bearing seats apart",
        )


def drilled(diameter: float, thickness: float, cutter: Process) -> bool:
    """Tell whether a hole is drilled by its mark, as the cutter makes none so small; both in mm."""
    return diameter < cutter.hole(thickness)


def _cutting(covers: Covers, shape: CoverShape, cutter: Process) -> Iterator[Finding]:
    least = cutter.hole(shape.thickness)
    if drilled(shape.hole, shape.thickness, cutter):
        yield _practice(
            "note",
            "cover-holes-drilled",
            "covers.bolts.hole",
            f"holes of {shape.hole:g} mm are left out of the cut file: {cutter.name} needs at least "
            f"{least:g} mm in a plate of {shape.thickness:g} mm",
            value=shape.hole,
            limit=least,
            fix="drill them by the printed template, cover on cover; or have the plate drilled on a mill",
        )
    start = 2 * shape.lip - covers.bore_allowance
    if start < least:
        yield _practice(
            "stop",
            "cover-bore-small",
            "covers.bore_allowance",
            f"covers.bore_allowance = {covers.bore_allowance:g} mm leaves a hole of {start:g} mm to cut; "
            f"{cutter.name} needs at least {least:g} mm in a plate of {shape.thickness:g} mm",
            value=start,
            limit=least,
            fix="use a smaller bore_allowance, or another covers.process",
        )


def turning_findings(covers: Covers, turned: Turning, per_minute: float) -> list[Finding]:
    """Judge the stress of a cover at top speed in 1/min."""
    if turned.stress is None or turned.limit is None:
        return [
            _practice(
                "note",
                "unknown-plate",
                "covers.material",
                f"covers.material = {covers.material!r} is not in the table of plates: stress by turning "
                "is not judged",
                value=covers.material,
                fix="use a name of the table such as 'EN AW-6082 T6' or 'S235JR', or go by its certificate",
            )
        ]
    if turned.stress <= turned.limit:
        return []
    return [
        warn(
            "cover-burst",
            "motor.top_speed",
            f"at {per_minute:g} 1/min a cover carries {turned.stress:.0f} MPa by turning, more than "
            f"{turned.limit:.0f} MPa, a third of what its plate bears: it may burst",
            value=turned.stress,
            limit=turned.limit,
            fix="use a smaller outside, stronger plate or a lower top_speed; have it judged by a competent "
            "person",
            source="disc with a hole that turns, any handbook of mechanics; share common practice",
            confidence="practice",
        )
    ]
