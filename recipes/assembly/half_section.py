"""The half-section of the motor: every body in its place, one line a body or a pair of bodies.

    magnets, ring                 .------------------.            turn
    air gap                       '------------------'
    teeth, coil ends, caps    (##)[################](##)
    yoke, hub                     [################]
    bearings     [oo]    ==wire slot==             |collar|   [oo]
    axle   ==========================================================   z from face A

Rounds, edge breaks and centre chamfers of the axle are left out: they only take away, and rules of their own judge
them. A bearing is pushed against the higher of its neighbours, the stack with its caps and washers
against the collar, magnets lie over the middle of the stack. "A" in a
name is the end towards face A.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import partial
from itertools import pairwise

from geometry.fillet import round_corners
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Line, Segment
from recipes.assembly.body import Around, Body, Handle, block
from recipes.assembly.held_on_axle import collar_bodies, frame_bodies, nut_bodies, ring_bodies
from recipes.covers.closed_rotor import ClosedRotor
from recipes.covers.cover import profile
from recipes.field.cross_section import innermost_circle
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.shaft.key_seat import stack_span
from recipes.shaft.profile import Piece
from recipes.shaft.sections import Section, bore_end, collar_feature, stator_feature
from recipes.shaft.stations import name_at
from recipes.stator.end_cap import BELOW
from recipes.stator.end_layers import EndLayer, end_layers, layers_height
from recipes.tables.bearings import Bearing

#: Height of a bearing's ring as a share of the room between bore and outside, the rest is balls;
#: from ABUTMENT_SHARE of the axle's rules (common practice).
RING_SHARE = 0.3

#: What turns stays this far from coil ends, mm: wire springs, and varnish runs (common practice).
COIL_OFF = 1.0


def half_section(motor: Motor) -> tuple[Body, ...]:
    """Return every body of the motor, standing ones first.

    A group that a refused design cannot place is left out; the refusal is among the findings anyway.
    """
    found: list[Body] = []
    for group in (
        axle_bodies,
        lambda motor: ring_bodies(motor.design.axle, motor.sections),
        lambda motor: nut_bodies(motor.design.axle),
        lambda motor: collar_bodies(
            motor.design.axle, _stack_and_layers(motor), _stack_place(motor)
        ),
        lambda motor: frame_bodies(motor.design.axle, motor.pieces),
        bearing_bodies,
        stack_bodies,
        layer_bodies,
        slot_bodies,
        rotor_bodies,
    ):
        with suppress(Refused):
            found += group(motor)
    return tuple(found)


def axle_bodies(motor: Motor) -> Iterator[Body]:
    """Yield the axle, one body for each stretch of one diameter."""
    axle = motor.design.axle
    r, end = axle.bore_diameter / 2, bore_end(axle)
    for p in motor.pieces:
        name = "groove of the axle" if p.first == "groove" else name_at(motor.sections, _middle(p))
        bored, solid = min(p.end, end), max(p.start, end)
        if p.diameter / 2 <= r:
            continue  # no wall: the rules of the lathe refuse it
        outlines = [block(p.start, bored, r, p.diameter / 2)] if bored > p.start else []
        if p.end > solid:
            outlines.append(block(solid, p.end, 0.0, p.diameter / 2))
        yield Body(
            name,
            tuple(outlines),
            part="axle",
            material=axle.material,
            unit="axle",
            moved_by=_stack_place(motor) if p.first == "shoulder" else None,
            sized_by=None if p.field == "axle.bearing" else Handle(p.field, p.diameter, -2.0),
        )


def _middle(piece: Piece) -> float:
    return (piece.start + piece.end) / 2


def bearing_bodies(motor: Motor) -> Iterator[Body]:
    """Yield both rings of each bearing: the inner one stands on the axle, the outer one turns."""
    seats = [k for k, s in enumerate(motor.sections) if s.kind == "seat"]
    for nth, k in enumerate(seats, 1):
        start = bearing_start(motor.sections, k, motor.bearing.width_mm)
        moved = Handle(f"axle.seats[{nth}].from_face", motor.sections[k].start, 1.0)
        of = partial(Body, material="bearing steel", unit=f"bearing {nth}", moved_by=moved)
        inner, outer = bearing_rings(motor.bearing, start)
        yield of(f"bearing {nth}, inner ring", (inner,))
        yield of(f"bearing {nth}, outer ring", (outer,), turns=True)


def bearing_start(sections: tuple[Section, ...], k: int, width: float) -> float:
    """Return where the bearing of seat `k` begins, from face A, mm: against the higher neighbour."""
    seat = sections[k]
    below, above = (s[0].diameter if s else 0.0 for s in (sections[:k][-1:], sections[k + 1 :][:1]))
    return seat.start if below >= above else seat.end - width


def bearing_rings(ring: Bearing, start: float) -> tuple[Outline, Outline]:
    """Return the inner and the outer ring of a bearing that begins `start` mm from face A."""
    bore, outside, end = ring.bore_mm / 2, ring.outside_mm / 2, start + ring.width_mm
    high = RING_SHARE * (outside - bore)
    return (
        _rounded(start, end, bore + high, bore, ring.chamfer_min_mm),
        _rounded(start, end, outside - high, outside, ring.chamfer_min_mm),
    )


def _rounded(z0: float, z1: float, far: float, fit: float, chamfer: float) -> Outline:
    """Return a ring whose two corners at the radius `fit`, where it fits something, are rounded."""
    spots = [Point(z0, far), Point(z0, fit), Point(z1, fit), Point(z1, far)]
    sharp: list[Segment] = [Line(a, b) for a, b in pairwise(spots)]
    most = min(chamfer, 0.9 * abs(fit - far), 0.45 * (z1 - z0))
    return Outline((*round_corners(sharp, {0: most, 1: most}), Line(spots[-1], spots[0])))


def steel_span(motor: Motor) -> tuple[float, float]:
    """Return where the steel of the stack lies, its end layers between it and the collar, mm."""
    d = motor.design
    off = layers_height(end_layers(d.ends.end_cap, d.end_washer))
    return stack_span(d.axle, motor.stack.length, off)


def _stack_and_layers(motor: Motor) -> tuple[float, float]:
    """Return where the stack lies with all that is on its end faces, mm."""
    off = layers_height(end_layers(motor.design.ends.end_cap, motor.design.end_washer))
    start, end = steel_span(motor)
    return start - off, end + off


def _teeth(motor: Motor, width: float, first: float = 0.0) -> Around:
    """Return the directions of all teeth `width` mm wide at half the slot depth."""
    lam, slots = motor.design.lamination, motor.design.motor.slots
    middle = (lam.outer_diameter - lam.slot_depth) / 2
    return Around(slots, 2 * math.asin(min(1.0, width / 2 / middle)), first)


def stack_bodies(motor: Motor) -> Iterator[Body]:
    """Yield hub, yoke and teeth, and the end sheets, whose teeth are narrower."""
    d, slot = motor.design, motor.slot
    lam, (start, end) = d.lamination, steel_span(motor)
    bore, tip = lam.bore_diameter / 2, lam.outer_diameter / 2
    solid = innermost_circle(lam, d.hub)
    yoke = solid if solid < motor.root_radius else bore  # else the rules of the hub refuse it
    of = partial(Body, material=lam.steel, unit="stack", moved_by=_stack_place(motor))
    sized = Handle("lamination.bore_diameter", lam.bore_diameter, 2.0)
    if yoke > bore:
        yield of("hub", (block(start, end, bore, yoke),), part="lamination", sized_by=sized)
    ring = block(start, end, yoke, motor.root_radius)
    yield of("yoke", (ring,), part="lamination")
    reach, radii = 0.0, (motor.root_radius, tip)
    for k, step in reversed(list(enumerate(d.ends.steps, 1))):
        high = step.count * motor.stack.sheet_height
        rings = (
            block(start + reach, start + reach + high, *radii),
            block(end - reach - high, end - reach, *radii),
        )
        around = _teeth(motor, slot.tooth_width - 2 * step.narrower_by)
        yield of(f"teeth of end sheet {k}", rings, part="end_laminations", around=around)
        reach += high
    if end - reach > start + reach:
        full = (block(start + reach, end - reach, *radii),)
        yield of("teeth", full, part="lamination", around=_teeth(motor, slot.tooth_width))


def _stack_place(motor: Motor) -> Handle:
    """Return what moves the stack: the collar that it rests against, else where it begins."""
    axle = motor.design.axle
    rest = collar_feature(axle) or stator_feature(axle, motor.stack.length)
    return Handle(rest.place, rest.start, 1.0)


def layer_bodies(motor: Motor) -> Iterator[Body]:
    """Yield what lies on both end faces of the steel: end caps, end washers."""
    d, slot = motor.design, motor.slot
    lam, (start, end) = d.lamination, steel_span(motor)
    over = 0.0
    for layer in end_layers(d.ends.end_cap, d.end_washer):
        spans = {
            "A": (start - over - layer.thickness, start - over),
            "B": (end + over, end + over + layer.thickness),
        }
        over += layer.thickness
        floor = motor.root_radius + layer.beyond
        around = _teeth(motor, slot.tooth_width + 2 * layer.beyond)
        for face, span in spans.items():
            of = partial(
                Body, part=layer.part, unit=f"{layer.name} {face}", moved_by=_stack_place(motor)
            )
            yield of(f"{layer.name} {face}", (block(*span, lam.bore_diameter / 2, floor),))
            teeth = block(*span, floor, lam.outer_diameter / 2 - BELOW)
            yield of(f"teeth of {layer.name} {face}", (teeth,), around=around)


def slot_bodies(motor: Motor) -> Iterator[Body]:
    """Yield liner, cuffs, wedges and the coils; paper and wire give way to each other."""
    d, (start, end) = motor.design, steel_span(motor)
    layers = end_layers(d.ends.end_cap, d.end_washer)
    outer, inner = motor.window.wedge_span
    in_slots = _teeth(motor, motor.slot.opening, math.pi / d.motor.slots)
    top, foot = motor.turn_lengths.end_height_mm, layers_height(layers)
    of = partial(Body, around=in_slots, moved_by=_stack_place(motor))
    paper = partial(of, material=d.liner.paper, part="liner", unit="stack", gives=True)
    over = (motor.liner_size.body - (end - start)) / 2
    yield paper("slot liner", tuple(_floor_of_liner(motor, layers, over)))
    if cuff := d.liner.cuff:
        level = floor_beyond(motor, layers) - 2 * d.liner.thickness
        strips = (
            (start - over, start - over + cuff),
            (end + over - cuff, end + over),
        )
        folded = (block(*span, level - d.liner.thickness, level) for span in strips)
        yield paper("cuffs", tuple(folded))
    if outer > inner:
        strip = block(start - over, end + over, inner, outer)
        yield of("wedge", (strip,), part="slot_strips", unit="stack")
    laid, d_wire = motor.conductors.laid[:, 0], motor.conductors.diameter
    radii = (float(laid.min()) - d_wire / 2, float(laid.max()) + d_wire / 2)
    wire = partial(of, material="enamelled wire", gives=True, keep_off=COIL_OFF)
    yield wire("coil sides", (block(start - foot, end + foot, *radii),), unit="stack")
    sized = Handle("winding.turns", motor.conductors.turns, 0.0)
    for face, span in {"A": (start - top, start - foot), "B": (end + foot, end + top)}.items():
        yield wire(f"coil ends {face}", (block(*span, *radii),), around=None, sized_by=sized)


def floor_beyond(motor: Motor, layers: Sequence[EndLayer]) -> float:
    """Return the radius, mm, at which the liner leaves the last layer of an end."""
    return motor.root_radius + (layers[-1].beyond if layers else 0.0)


def _floor_of_liner(motor: Motor, layers: Sequence[EndLayer], over: float) -> Iterator[Outline]:
    """Yield the liner on the slot bottom: on the steel, on each layer that stands out, beyond them."""
    (start, end), t = steel_span(motor), motor.design.liner.thickness
    floor, reach = motor.root_radius, 0.0
    yield block(start, end, floor, floor + t)
    beyond = floor_beyond(motor, layers) - floor
    last = EndLayer("", "", over - layers_height(layers), beyond, "")
    for layer in (*layers, last):
        low, high = floor + layer.beyond, reach + layer.thickness
        if high > reach:
            yield block(start - high, start - reach, low, low + t)
            yield block(end + reach, end + high, low, low + t)
        reach = high


def rotor_bodies(motor: Motor) -> Iterator[Body]:
    """Yield magnets and ring, if the design has magnets; they turn."""
    ring, rotor = motor.rotor_ring, motor.design.rotor
    if ring is None:
        return
    middle = sum(steel_span(motor)) / 2
    half = (rotor.magnet_length or motor.design.lamination.stack_length) / 2
    span = middle - half, middle + half
    of = partial(
        Body, turns=True, unit="rotor", sized_by=Handle("rotor.air_gap", rotor.air_gap, 1.0)
    )
    thick = rotor.magnet_thickness or 0.0
    magnets = (block(*span, ring.face, ring.face + thick),)
    yield of("magnets", magnets, material=ring.magnet.name)
    closed = motor.closed_rotor
    if closed:
        yield from cover_bodies(closed)
    elif rotor.ring_thickness is not None:
        bore = ring.bore
        yield of("magnet ring", (block(*span, bore, bore + rotor.ring_thickness),))


def cover_bodies(closed: ClosedRotor) -> Iterator[Body]:
    """Yield what turns beside the magnets: steel ring, spacer rings, covers, what shows of the bolts."""
    at, of = closed.arranged, partial(Body, turns=True, unit="rotor")
    shape, (lead, far) = at.shape, at.outers
    wall = shape.spigot, shape.ring_outside
    yield of("magnet ring", (block(*at.ring, *wall),), part="rotor_ring")
    ends = (at.seats[0], at.ring[0]), (at.ring[1], at.seats[1])
    spacers = tuple(
        block(*span, *wall) for span, length in zip(ends, at.spacers, strict=True) if length
    )
    if spacers:
        yield of("spacer rings", spacers, part="rotor_ring")
    half = profile(shape)
    covers = {
        "A": half.moved(lead, 0.0),
        "B": half.mirrored(math.pi / 2).moved(far, 0.0),
    }
    for end, outline in covers.items():
        yield of(f"cover {end}", (outline,), part="cover", material="plate")
    heads = closed.bolts.head
    reach = (shape.circle - heads[0] / 2, shape.circle + heads[0] / 2)
    shown = [block(lead - heads[1], lead, *reach), block(far, far + heads[1], *reach)]
    if not closed.bolts.thread_depth:
        half_bolt = shape.bolt.nominal_mm / 2
        shown.append(block(*at.seats, shape.circle - half_bolt, shape.circle + half_bolt))
    yield of("bolts of the covers", tuple(shown))
