"""Where the copper's temperature settles, layer by layer, with a band instead of one number.

    copper -> wire bundle -> liner -> gap of air or resin -> tooth iron -> air and axle -> surroundings

Each layer has a best and a worst thermal resistance: "best" is varnished, tight and on a metal
frame, "worst" dry, loose and hung in still air. One dimension, no hot end turns, no iron loss, no
magnets, no bell round the stator, no water: nothing was measured on a motor of this kind, so only
a thermometer in the winding tells where in the band (and rarely outside it) a motor lies.

Loss follows the copper's own temperature, which makes the balance linear in T:

    T = T0 + S (B + T)/(B + 20)   ->   T = (T0 + g B)/(1 - g),  g = S/(B + 20),  B = 234.5

S: rise in K that the loss at 20 C would make. For g >= 1 resistance rises faster than heat can
leave: there is no steady state, the copper runs away until something gives.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from recipes.design import Design
from recipes.design.winding import Motor
from recipes.heat.adiabatic import StandingCase
from recipes.stator.slot import SlotShape
from recipes.tables.copper import HOTTEST_C, INFERRED_ZERO_C
from recipes.winding.window import WindingWindow

SOURCE: Final = "one-dimensional layers; conductivities and films by common practice"

# Conductivities in W/(m K), from memory unless another source is named; (best, worst).
RESIN, AIR = 0.2, 0.026
BETWEEN_WIRES: Final = (0.25, 0.05)  # resin and enamel; air, enamel touching here and there
LINER: Final = {"aramid": (0.15, 0.12), "polyester film": (0.15, 0.15), "pressboard": (0.2, 0.15)}
GAP_MM: Final = (0.05, 0.1)  # drawn or glued tight; loose
GAP: Final = (RESIN, AIR)
IRON: Final = (30.0, 20.0)
AXLE_STEEL, AXLE_STAINLESS = 50.0, 15.0

FILM_W_PER_M2K: Final = {"stalled": (15.0, 10.0), "moving": (25.0, 10.0)}
"""Convection and radiation, still air 10 to 15, stirred by the rotor to 25 (common practice)."""

#: Equal circles cover at most pi / sqrt(12) of the plane (A. Thue 1910): no bundle holds more copper.
MOST_COPPER_SHARE = math.pi / math.sqrt(12.0)


@dataclass(frozen=True)
class Layer:
    """One layer between copper and surroundings, for all coils together."""

    name: str
    best_K_per_W: float
    worst_K_per_W: float
    meaning: str


@dataclass(frozen=True)
class SteadyHeat:
    """Estimate for the duty of the design.

    Args:
        layers: from the copper outwards; the last one is that to the surroundings.
        loss_20C_W: loss of all three phases in copper at 20 C.
        best_C, worst_C: hottest copper; None if there is no steady state below 300 C.
        class_C: thermal class of the enamel.
        least_A, most_A: phase current that settles at the thermal class, worst and best layers.
    """

    case: StandingCase
    layers: tuple[Layer, ...]
    loss_20C_W: float
    best_C: float | None
    worst_C: float | None
    class_C: float
    least_A: float
    most_A: float


def bundle_conductivity_W_per_mK(copper_share: float, between_W_per_mK: float) -> float:
    """Return the conductivity across a bundle of round wires, W/(m K).

    Args:
        copper_share: copper area / area of the bundle, 0 to below 0.9.
        between_W_per_mK: of what fills the room between the wires, enamel included.

    Source: lower bound of Hashin and Shtrikman for well-conducting cylinders,
    k (1 + v)/(1 - v); 0.5 to 1 W/(m K) was measured on varnished bundles of 50 % wire (J. Thermal
    Sci. Eng. Appl., "Anisotropic Thermal Response of Packed Copper Wire").
    """
    return between_W_per_mK * (1.0 + copper_share) / (1.0 - copper_share)


def settles_at_C(rise_K: float, ambient_C: float) -> float | None:
    """Return where copper settles, or None if it runs away or passes 300 C.

    Args:
        rise_K: rise that the loss in copper of 20 C would make.
        ambient_C: surroundings.
    """
    share = rise_K / (INFERRED_ZERO_C + 20.0)
    if share >= 1.0:
        return None
    settled = (ambient_C + share * INFERRED_ZERO_C) / (1.0 - share)
    return settled if settled <= HOTTEST_C else None


def steady_heat_of(
    motor: Motor, class_C: float, case: StandingCase, layers: tuple[Layer, ...], phase_ohm: float
) -> SteadyHeat:
    """Return the steady estimate.

    Args:
        motor: current and surroundings.
        class_C: thermal class of the enamel.
        case: what the phases carry in the duty of the design.
        layers: from the copper outwards.
        phase_ohm: resistance of one phase at 20 C.
    """
    one_phase = motor.phase_current**2 * phase_ohm
    rises = [_rise_K(case, layers, one_phase, worst) for worst in (False, True)]
    allowed = (
        (class_C - motor.ambient) * (INFERRED_ZERO_C + 20.0) / (INFERRED_ZERO_C + class_C)
    )  # rise at 20 C that settles at the limit
    most, least = (motor.phase_current * math.sqrt(allowed / rise) for rise in rises)
    best, worst = (settles_at_C(rise, motor.ambient) for rise in rises)
    return SteadyHeat(case, layers, case.loss * one_phase, best, worst, class_C, least, most)


def _rise_K(
    case: StandingCase, layers: tuple[Layer, ...], one_phase_W: float, worst: bool
) -> float:
    """Return the rise of the hottest phase: its own loss through its third of the inner layers."""
    values = [la.worst_K_per_W if worst else la.best_K_per_W for la in layers]
    inner, outer = 3.0 * sum(values[:-1]), values[-1]
    return one_phase_W * (case.hottest**2 * inner + case.loss * outer)


def thermal_layers(
    design: Design, slot: SlotShape, fill: WindingWindow, stack_length: float
) -> tuple[Layer, ...]:
    """Return the layers from the copper outwards, K/W for all coils in parallel.

    Args:
        design: its sheet, liner, axle and duty.
        slot: the exact tooth and slot.
        fill: winding window of one slot.
        stack_length: mm.
    """
    liner, lam = design.liner, design.lamination
    metres = stack_length / 1000.0
    low_x, _, high_x, _ = fill.polygon.bounds
    across = fill.lined_area / (2.0 * (high_x - low_x)) / 1000.0
    # More copper than fits is refused by the rules of the slot; here it must not turn heat round.
    share = min(fill.copper_fill * fill.slot_area / fill.lined_area, MOST_COPPER_SHARE)
    wall = sum(edge.length for edge in slot.wall) / 1000.0 * metres * slot.slots
    flank = 2.0 * (high_x - low_x) / 1000.0 * metres * slot.slots
    middle = math.pi * (lam.outer_diameter - lam.slot_depth)
    teeth = (middle - slot.slots * fill.slot_area / lam.slot_depth) / 1000.0 * metres
    bundle = _pair(bundle_conductivity_W_per_mK(share, k) for k in BETWEEN_WIRES)
    gap = _pair(mm / 1000.0 / k for mm, k in zip(GAP_MM, GAP, strict=True))
    good, bad = _outside_W_per_K(design, stack_length)

    def layer(name: str, metre_per_W: tuple[float, float], area: float, meaning: str) -> Layer:
        return Layer(name, metre_per_W[0] / area, metre_per_W[1] / area, meaning)

    return (
        # Heat made evenly in a sheet leaves by one face: the far side is d / (2 k A) warmer.
        layer(
            "wire bundle", _pair(across / 2.0 / k for k in bundle), flank, "varnished through; dry"
        ),
        layer(
            "liner",
            _pair(liner.thickness / 1000.0 / k for k in LINER[liner.paper]),
            wall,
            f"{liner.thickness:g} mm {liner.paper}",
        ),
        layer(
            "gap",
            gap,
            wall,
            "0.05 mm filled with resin or glue; 0.1 mm of air behind a loose liner",
        ),
        layer(
            "tooth iron",
            _pair(lam.slot_depth / 2000.0 / k for k in IRON),
            teeth,
            "half a slot depth of sheet steel",
        ),
        Layer(
            "surroundings",
            1.0 / good,
            1.0 / bad,
            "tips and both faces to air, and the axle to a metal frame; still air only",
        ),
    )


def _pair(values: Iterable[float]) -> tuple[float, float]:
    """Return (best, worst)."""
    best, worst = values
    return best, worst


def _outside_W_per_K(design: Design, stack_length: float) -> tuple[float, float]:
    """Return best and worst conductance from the stack to the surroundings."""
    lam, axle = design.lamination, design.axle
    tips = math.pi * lam.outer_diameter * stack_length
    # A bore wider than the sheet is refused by other rules; here it must not cool by less than nothing.
    faces = math.pi / 2.0 * max(0.0, lam.outer_diameter**2 - lam.bore_diameter**2)
    surface = (tips + faces) / 1e6
    good, bad = FILM_W_PER_M2K[design.motor.duty]
    metal = math.pi / 4.0 * max(0.0, lam.bore_diameter**2 - axle.bore_diameter**2)
    seat, free = axle.stator_seat, axle.length - stack_length
    start, long = (seat.from_face, seat.length) if seat else (free / 2, stack_length)
    if seat is None and axle.stack_from_face is not None:
        start = axle.stack_from_face
    ends = (start, axle.length - start - long)
    k = AXLE_STAINLESS if _is_stainless(axle.material) else AXLE_STEEL
    through = sum(k * metal / max(10.0, end) / 1000.0 for end in ends)
    return good * surface + through, bad * surface


def _is_stainless(material: str) -> bool:
    """Tell stainless by word or by its number: EN 10088 numbers begin with 1.4."""
    text = material.lower()
    return "stainless" in text or text.startswith("1.4")


def steady_heat_results(steady: SteadyHeat) -> dict[str, float | int | str]:
    """Return loss, settled temperatures and continuous current for `results.json`."""
    none = f"none below {HOTTEST_C:g} C"
    return {
        "copper_loss_20C_W": steady.loss_20C_W,
        "steady_copper_best_C": none if steady.best_C is None else steady.best_C,
        "steady_copper_worst_C": none if steady.worst_C is None else steady.worst_C,
        "continuous_current_worst_A": steady.least_A,
        "continuous_current_best_A": steady.most_A,
    }
