"""What hands the motor's torque on, and does it hold: sheets, key or glue, axle, flats or clamp, frame.

key      force on one        F = 2 T / (d n phi); phi shares it: 1 key 1, two 0.75, more 0.67
         shear               tau = F / (b l)
         pressure, hub       p = F / (h' l k): h' how far the key stands into the sheets, k steel
                             in the stack's length (glue and enamel between sheets carry nothing)
         pressure, axle      p = F / (t1' l): t1' depth of the seat at its edge
         l = L - b, the straight length of a round-ended key.
         Decker, Maschinenelemente; Roloff/Matek; DIN 6892 method C (for all three: from memory,
         phi from mechanixcalc.com/standards/din-6885)
glue     tau = 2 T / (pi d^2 L) on the cylinder of the stator seat (thin layer, any textbook)
flats    the arm's flanks bear from the middle of each flat outward, nothing to p in a straight
         rise, as a spanner does (common practice); statics of two triangles of pressure:
             T = p l w^2 / 6   (both flats)      w = sqrt(D^2 - s^2), s across the flats
         each resultant, F = 1.5 T / w, spreads the slot of the frame
clamp    T = mu F d: what a split clamp of force F holds on a round end, mu 0.15 dry steel
         (common practice); the same for each of two split collars beside the stack

Torque of the motor itself, a cross-check of `axle.load.torque`: sine currents on the peak of each
phase's voltage, T = 3/2 E I, E the phase's peak volt-seconds of the speed constant. Units: N, mm, MPa.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.design.lamination import Hub
from recipes.refusal import finding, note, warn
from recipes.shaft.end_thread import threaded_ends
from recipes.shaft.key_seat import KeySeats
from recipes.shaft.profile import Piece, size_at
from recipes.shaft.sections import SAME, Feature, flat_features
from recipes.tables.axle_steel import axle_steel_of
from recipes.winding.circuit import Connection

#: Share of all keys that carries: two keys never bear alike.
KEY_SHARE: Final = {1: 1.0, 2: 0.75}
KEY_SHARE_MORE: Final = 0.67

#: Least yield of key steel C45+C (DIN 6880, from memory: tensile strength 600 MPa and more) and of
#: electrical steel (makers give 250 to 450 MPa), MPa; the low end of each.
KEY_YIELD, SHEET_YIELD = 300.0, 250.0

#: Friction of a clamp on the axle, dry steel (common practice).
FRICTION = 0.15

#: Safety against yielding in shear and pressure: torque that comes and goes, braking among it.
LEAST_HOLD: Final = 2.0

#: Shear that hand-set epoxy or retaining compound holds for years, MPa: a fifth of what makers
#: print for ground, degreased steel with the right gap (common practice).
GLUE_HOLDS: Final = 2.0

SHEAR: Final = 1 / math.sqrt(3)

#: Said wherever the axle is held against turning.
BRAKING: Final = "braking by the motor turns the load round: a torque arm on each side, or one that holds both ways"


@dataclass(frozen=True)
class KeyLoad:
    """One key of the stack: force in N, stresses in MPa."""

    force: float
    shear: float
    hub_pressure: float
    axle_pressure: float


@dataclass(frozen=True)
class FlatLoad:
    """One pair of flats in its arm.

    Args:
        field: dotted name of the flats.
        width: of each flat, mm.
        length: that lies in the frame, mm.
        pressure: most, at the outer edge of the flat, MPa.
        spread: force that opens the slot of the arm, N.
        arm_yield: of the arm, MPa.
    """

    field: str
    width: float
    length: float
    pressure: float
    spread: float
    arm_yield: float


@dataclass(frozen=True)
class TorquePath:
    """Forces and stresses where the torque of `axle.load` is handed on.

    Args:
        key: on each key; None without keys, or without a seat that could carry.
        glue_shear: in the glue round the stator seat if it holds the torque alone, MPa.
        flats: every pair of flats that the frame can hold.
        clamp_diameter: of the end that the frame clamps, mm: the thinner, if both are held.
        clamp_force: with which a clamp must press to hold by friction alone, N.
        collar_force: with which each of two clamp collars must press beside the stack, N; None
            where none holds it.
    """

    key: KeyLoad | None
    glue_shear: float
    flats: tuple[FlatLoad, ...]
    clamp_diameter: float
    clamp_force: float
    collar_force: float | None


def torque_path(
    axle: Axle,
    stator_bore: float,
    stack_length: float,
    steel: float,
    keys: KeySeats | None,
    pieces: tuple[Piece, ...],
) -> TorquePath:
    """Return how an axle hands on the torque of its load.

    Args:
        axle: table of the design.
        stator_bore: bore of the stack, mm.
        stack_length: of the finished stack, mm.
        steel: share of that length.
        keys, pieces: as of `key_seats` and `axle_pieces`.
    """
    torque, held = axle.load.torque, axle.load.held
    ends = {"face A": pieces[:1], "face B": pieces[-1:], "both ends": (pieces[0], pieces[-1])}
    clamped = min(p.diameter for p in ends[held])
    return TorquePath(
        key_load(1000.0 * torque, steel, keys),
        2000.0 * torque / (math.pi * stator_bore * stator_bore * stack_length),
        flat_loads(axle, pieces),
        clamped,
        1000.0 * torque / (FRICTION * clamped),
        1000.0 * torque / (2 * FRICTION * axle.stock_diameter) if held_by_collars(axle) else None,
    )


def held_by_collars(axle: Axle) -> bool:
    """Tell whether split clamp collars hold the stack, as they may where no shoulder does."""
    return axle.shoulder is None and axle.stack_held == "clamp collars"


def key_load(torque: float, steel: float, seats: KeySeats | None) -> KeyLoad | None:
    """Return the load on one key; None without keys, or without a seat that could carry.

    Args:
        torque: in N mm.
        steel: share of the stack's length.
        seats: of the keys.
    """
    if seats is None or seats.bearing_length <= SAME or seats.proud <= SAME:
        return None
    n, length = len(seats.angles), seats.bearing_length
    share = KEY_SHARE.get(n, KEY_SHARE_MORE)
    force = 2 * torque / (2 * seats.radius * n * share)
    # the seat's edge lies lower than its middle line, on the round of the axle
    sag = seats.radius - math.sqrt(max(seats.radius**2 - (seats.width / 2) ** 2, 0.0))
    return KeyLoad(
        force,
        force / (seats.width * length),
        force / (seats.proud * length * steel),
        force / (max(seats.depth - sag, SAME) * length),
    )


def flat_loads(axle: Axle, pieces: tuple[Piece, ...]) -> tuple[FlatLoad, ...]:
    """Return the load on every pair of flats that the frame can hold."""
    found, torque = [], 1000.0 * axle.load.torque  # either end may have to take it all
    for feature, cut in zip(flat_features(axle), axle.flats, strict=True):
        size = size_at(pieces, feature) if _in_frame(axle, feature) else None
        if size is None:
            continue
        # crests of a thread carry nothing that lasts
        roots = [
            e.thread.root_mm
            for e in threaded_ends(axle)
            if min(feature.end, e.reach[1]) - max(feature.start, e.reach[0]) > SAME
        ]
        size = min([size, *roots])
        width = math.sqrt(max(size**2 - cut.across**2, 0.0))
        length = min(feature.end, axle.length) - feature.start
        if width > SAME and length > SAME:
            pressure, spread = 6.0 * torque / (length * width**2), 1.5 * torque / width
            found.append(FlatLoad(feature.field, width, length, pressure, spread, cut.arm_yield))
    return tuple(found)


def _in_frame(axle: Axle, flats: Feature) -> bool:
    """Tell whether flats lie at an end that the frame holds, and not on the stator seat."""
    near_a = (flats.start + flats.end) / 2 < axle.length / 2
    held = {"face A": near_a, "face B": not near_a, "both ends": True}[axle.load.held]
    first = min((s.from_face for s in axle.seats), default=axle.length)
    last = max((s.from_face + s.length for s in axle.seats), default=0.0)
    return held and (flats.end <= first + SAME or flats.start >= last - SAME)


def motor_torque(
    phase_current: float, speed_constant: float | None, connection: Connection
) -> float | None:
    """Return the torque in Nm at a phase current (A r.m.s.); None while the constant is not known.

    Args:
        phase_current: of a sine in step with the voltage.
        speed_constant: in 1/min per V.
        connection: of the phases.
    """
    if speed_constant is None:
        return None
    between_leads = 30.0 / math.pi / speed_constant
    phase = between_leads if connection == "delta" else between_leads / math.sqrt(3)
    return 1.5 * phase * math.sqrt(2) * phase_current


def torque_findings(
    axle: Axle, hub: Hub, phase_current: float, motor_torque: float | None, path: TorquePath | None
) -> list[Finding]:
    """Return what must be said about the way of the torque; of an axle without one only the motor's.

    Args:
        axle, hub: tables of the design.
        phase_current: in A, at which the motor makes `motor_torque` in Nm; None if not known.
        path: None without a torque.
    """
    found = [*_motor(axle.load.torque, phase_current, motor_torque)]
    if path:
        found += _keys(axle, path.key)
        if not (hub.keyway or hub.flats):
            collars = path.collar_force
            found += _bond(axle, path.glue_shear) if collars is None else _collars(axle, collars)
        found += _flats(axle, path.flats) if path.flats else _clamp(axle.load.torque, path)
    return found


def _motor(given: float, current: float, makes: float | None) -> Iterator[Finding]:
    """The torque that the axle is judged for is at least the motor's own, both in Nm."""
    if makes is None or makes <= given * 1.01:
        return
    yield warn(
        "torque-below-motor",
        "axle.load.torque",
        f"axle.load.torque = {given:g} Nm, but at motor.phase_current = "
        f"{current:g} A the motor itself turns with about {makes:.1f} Nm: axle, "
        "key and flats are judged for too little",
        value=given,
        limit=makes,
        fix=f"use axle.load.torque = {math.ceil(10 * makes) / 10:g} or more; short peaks of current make "
        "more still",
        source="T = 3/2 E I, sine currents in phase with the voltage; any motor textbook",
        confidence="practice",
    )


def _keys(axle: Axle, load: KeyLoad | None) -> Iterator[Finding]:
    """No key shears, and none presses sheets or seat out of shape."""
    if load is None:
        return
    axle_yield, torque = axle_steel_of(axle).yield_MPa, axle.load.torque
    judged = (
        (load.shear, SHEAR * KEY_YIELD, "shears the key", "hub.keyway.width"),
        (load.hub_pressure, SHEET_YIELD, "presses on the edges of the sheets", "hub.keyway.depth"),
        (
            load.axle_pressure,
            min(axle_yield, KEY_YIELD),
            "presses on the seat in the axle",
            "axle.key_seat.depth",
        ),
    )
    stress, limit, what, field = max(judged, key=lambda j: j[0] / j[1])
    if stress <= limit / LEAST_HOLD:
        return
    yield finding(
        "stop" if stress > limit else "warn",
        "key-overloaded",
        field,
        f"{field}: {torque:g} Nm put {load.force:.0f} N on each key, which {what} with "
        f"{stress:.0f} MPa, more than {limit / LEAST_HOLD:.0f} MPa ({LEAST_HOLD:g} times safe against "
        "yielding): the stack works loose, turns on the axle and tears the leads",
        value=stress,
        limit=limit / LEAST_HOLD,
        fix=f"use keys {LEAST_HOLD * stress / limit:.1f} times as long with a longer stack, or a wider and "
        "deeper hub.keyway, or more of them (hub.keyway.count); glue the stack as well",
        source="key: F = 2 T / (d n phi), shear F / (b l), pressure F / (h l); DIN 6892 method C, "
        "Roloff/Matek",
        confidence="practice",
    )


def _collars(axle: Axle, force: float) -> Iterator[Finding]:
    """Two split collars hold the stack by friction on the axle; `force` of each in N."""
    yield note(
        "stack-held-by-collars",
        "axle.stack_held",
        f"axle.stack_held: {axle.load.torque:g} Nm are held by friction of two split clamp collars on "
        f"{axle.stock_diameter:g} mm: each must press with {force:.0f} N in all (friction {FRICTION:g}, dry). "
        "A stack that slips tears off its leads",
        value=force,
        fix="use collars with screws for twice that, pin or screw each to the stack's end sheet through "
        "an insulating washer, and glue the stack as well",
        source="T = mu F d; common practice",
        confidence="practice",
    )


def _bond(axle: Axle, shear: float) -> Iterator[Finding]:
    """Without key or flats only glue, or a press fit, holds the stack."""
    held, torque = shear <= GLUE_HOLDS, axle.load.torque
    rings = axle.shoulder is None and axle.stack_held == "retaining rings"
    yield finding(
        "note" if held else "warn",
        "stack-held-by-glue",
        "hub.keyway",
        f"neither hub.keyway nor hub.flats{', and rings hold no torque' if rings else ''}: {torque:g} Nm hang on the glue between stack and axle, "
        f"{shear:.2f} MPa all round the seat; hand-set glue holds {GLUE_HOLDS:g} MPa for years. Stacks "
        "that came loose have turned on their axle and torn off the leads",
        value=shear,
        limit=GLUE_HOLDS,
        fix=(
            "this holds if the gap is small and even, both faces are free of grease, and the coils stay "
            "cooler than the glue allows; "
            if held
            else ""
        )
        + "safer: give hub.keyway, or "
        + (
            "drill and pin the stack to the collar"
            if axle.shoulder
            else 'clamp it between two split collars (axle.stack_held = "clamp collars")'
        ),
        source="tau = 2 T / (pi d^2 L); limit common practice",
        confidence="practice",
    )


def _flats(axle: Axle, loads: tuple[FlatLoad, ...]) -> Iterator[Finding]:
    """Flats do not crush, and neither does the arm on them."""
    axle_yield = axle_steel_of(axle).yield_MPa
    for load in loads:
        weaker = min(axle_yield, load.arm_yield)
        if load.pressure <= weaker / LEAST_HOLD:
            continue
        soft = "the arm" if load.arm_yield < axle_yield else "the axle"
        longer = load.length * LEAST_HOLD * load.pressure / weaker
        yield finding(
            "stop" if load.pressure > weaker else "warn",
            "flats-crush",
            f"{load.field}.length",
            f"{load.field}: {axle.load.torque:g} Nm press on the edges of the flats with "
            f"{load.pressure:.0f} MPa and spread their slot with {load.spread:.0f} N; {soft} yields at "
            f"{weaker:g} MPa: flats round off, the axle spins and winds up the leads",
            value=load.pressure,
            limit=weaker / LEAST_HOLD,
            fix=f"use flats and arm {longer:.0f} mm long, a second arm, or a smaller width across; {BRAKING}",
            source="two triangles of pressure, T = p l w^2 / 6; common practice",
            confidence="practice",
        )


def _clamp(torque: float, path: TorquePath) -> Iterator[Finding]:
    """An axle without flats is held by friction only."""
    force, size = path.clamp_force, path.clamp_diameter
    yield note(
        "axle-held-by-friction",
        "axle.flats",
        f"axle.flats: none in the frame, so {torque:g} Nm are held by friction: a clamp on "
        f"{size:g} mm must press with {force:.0f} N in all (friction {FRICTION:g}, dry). An axle that "
        "slips winds up its leads within a turn",
        value=0,
        fix=f"use a split clamp with screws for twice that, or give axle.flats; {BRAKING}",
        source="common practice",
        confidence="practice",
    )


def torque_results(
    motor_torque: float | None, path: TorquePath | None
) -> dict[str, float | int | str]:
    """Return forces and stresses on the way of the torque; arguments as of `torque_findings`."""
    results: dict[str, float | int | str] = {}
    if motor_torque is not None:
        results["motor_torque_at_phase_current_Nm"] = motor_torque
    if path is None:
        return results
    if path.key:
        results |= {
            "key_force_N": path.key.force,
            "key_shear_MPa": path.key.shear,
            "key_pressure_on_sheets_MPa": path.key.hub_pressure,
            "key_pressure_on_axle_MPa": path.key.axle_pressure,
        }
    results["stack_glue_shear_if_alone_MPa"] = path.glue_shear
    if path.collar_force is not None:
        results["stack_collar_clamp_force_N"] = path.collar_force
    for k, load in enumerate(path.flats, 1):
        results |= {
            f"flats_{k}_edge_pressure_MPa": load.pressure,
            f"flats_{k}_spread_N": load.spread,
        }
    if not path.flats:
        results["clamp_force_needed_N"] = path.clamp_force
    return results
