"""What hands the motor's torque on: sheets -> key or glue -> axle -> flats or clamp -> frame.

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
             (common practice)

Torque of the motor itself, a cross-check of `axle.load.torque`: sine currents on the peak of each
phase's voltage, T = 3/2 E I, E the phase's peak volt-seconds of the speed constant. Units: N, mm, MPa.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from recipes.axle.key_seat import key_seats_of
from recipes.axle.profile import axle_pieces
from recipes.axle.sections import SAME, flat_features

if TYPE_CHECKING:
    from recipes.job import Job

#: Share of all keys that carries: two keys never bear alike.
KEY_SHARE: Final = {1: 1.0, 2: 0.75}
KEY_SHARE_MORE: Final = 0.67

#: Least yield of key steel C45+C (DIN 6880, from memory: tensile strength 600 MPa and more) and of
#: electrical steel (makers give 250 to 450 MPa), MPa; the low end of each.
KEY_YIELD, SHEET_YIELD = 300.0, 250.0

#: Friction of a clamp on the axle, dry steel (common practice).
FRICTION = 0.15


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
        torque: that this pair may have to hold, Nm.
        width: of each flat, mm.
        length: that lies in the frame, mm.
        pressure: most, at the outer edge of the flat, MPa.
        spread: force that opens the slot of the arm, N.
        arm_yield: of the arm, MPa.
    """

    field: str
    torque: float
    width: float
    length: float
    pressure: float
    spread: float
    arm_yield: float


def key_load(job: Job) -> KeyLoad | None:
    """Return the load on one key; None without keys, or without a seat that could carry."""
    seats, torque = key_seats_of(job), 1000.0 * job.design.axle.load.torque
    if seats is None or seats.bearing_length <= SAME or seats.proud <= SAME:
        return None
    n = len(seats.angles)
    share = KEY_SHARE.get(n, KEY_SHARE_MORE)
    force = 2 * torque / (2 * seats.radius * n * share)
    length = seats.bearing_length
    # the seat's edge lies lower than its middle line, on the round of the axle
    sag = seats.radius - math.sqrt(max(seats.radius**2 - (seats.width / 2) ** 2, 0.0))
    steel = job.stack.factor
    return KeyLoad(
        force,
        force / (seats.width * length),
        force / (seats.proud * length * steel),
        force / (max(seats.depth - sag, SAME) * length),
    )


def glue_shear(job: Job) -> float:
    """Return the shear in MPa of glue all round the stator seat that holds the torque alone."""
    d, length = job.design.lamination.bore_diameter, job.stack.length
    return 2000.0 * job.design.axle.load.torque / (math.pi * d * d * length)


def flat_loads(job: Job) -> tuple[FlatLoad, ...]:
    """Return the load on every pair of flats that the frame can hold."""
    axle = job.design.axle
    found = []
    for feature, cut in zip(flat_features(job), axle.flats, strict=True):
        if not _in_frame(job, feature.start, feature.end):
            continue
        there = [
            p
            for p in axle_pieces(job)
            if p.end > feature.start + SAME and p.start < feature.end - SAME
        ]
        beside = [p for p in there if p.first != "groove"]
        size = min(p.diameter for p in beside or there)  # flats may lie in a wide groove
        width = math.sqrt(max(size**2 - cut.across**2, 0.0))
        length = min(feature.end, axle.length) - feature.start
        if width <= SAME or length <= SAME:
            continue
        torque = 1000.0 * axle.load.torque  # either end may have to take it all
        found.append(
            FlatLoad(
                field=feature.field,
                torque=axle.load.torque,
                width=width,
                length=length,
                pressure=6.0 * torque / (length * width**2),
                spread=1.5 * torque / width,
                arm_yield=cut.arm_yield,
            )
        )
    return tuple(found)


def _in_frame(job: Job, start: float, end: float) -> bool:
    """Tell whether flats lie at an end that the frame holds, and not on the stator seat."""
    axle = job.design.axle
    near_a = (start + end) / 2 < axle.length / 2
    held = {"face A": near_a, "face B": not near_a, "both ends": True}[axle.load.held]
    first = min((s.from_face for s in axle.seats), default=axle.length)
    last = max((s.from_face + s.length for s in axle.seats), default=0.0)
    return held and (end <= first + SAME or start >= last - SAME)


def clamp_diameter(job: Job) -> float:
    """Return the diameter in mm of the end that the frame clamps: the thinner, if both are held."""
    pieces, held = axle_pieces(job), job.design.axle.load.held
    ends = {"face A": pieces[:1], "face B": pieces[-1:], "both ends": (pieces[0], pieces[-1])}
    return min(p.diameter for p in ends[held])


def clamp_force(job: Job) -> float:
    """Return the force in N that a clamp must press with to hold the torque by friction alone."""
    return 1000.0 * job.design.axle.load.torque / (FRICTION * clamp_diameter(job))


def motor_torque(job: Job) -> float | None:
    """Return the torque in Nm at `motor.phase_current`; None while the speed constant is not known."""
    motor = job.design.motor
    if motor.speed_constant is None:
        return None
    between_leads = 30.0 / math.pi / motor.speed_constant
    phase = (
        between_leads if job.design.winding.connection == "delta" else between_leads / math.sqrt(3)
    )
    return 1.5 * phase * math.sqrt(2) * motor.phase_current
