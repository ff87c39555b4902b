"""Voltages that a hand may meet: the full battery, and what the motor makes when it is driven.

    back-EMF (peak between two leads) = top speed / speed constant

The speed constant is that of a motor on a DC supply without load: 1/min for one volt. A motor that
coasts downhill or is turned by a drill makes this voltage with no battery near, and the diodes of a
controller hand it on as DC. What was measured on the finished motor goes before what was designed:

    driven       k = n / (sqrt(2) U)           U: r.m.s. between two leads, the largest of the three
    no load      k = n / (U - I R)             R: between two leads, as measured or as designed

The driven figure is the better one: no controller, no drag in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Literal

from geometry.finding import Finding
from recipes.design.bench import Bench
from recipes.design.winding import Motor
from recipes.refusal import note, warn

#: Above this DC voltage a touch may harm (IEC 62368-1 ES1 and SELV limit; from memory).
TOUCH_LIMIT_V = 60.0

#: The same for AC, r.m.s. (IEC 62368-1 ES1 to 1 kHz; from memory).
TOUCH_LIMIT_AC_V = 30.0

_SOURCE = "IEC 62368-1 ES1 limit (60 V DC, 30 V r.m.s. AC), from memory; local codes decide"

#: Warns of a voltage above the limit, and says what to do (common practice).
_hazard = partial(
    warn,
    limit=TOUCH_LIMIT_V,
    fix="stop: treat it as hazardous voltage; local rules and a qualified person apply from here on, or "
    "use a lower voltage",
    source=_SOURCE,
)


@dataclass(frozen=True)
class SpeedConstant:
    """Speed without load for one volt of DC.

    Args:
        per_min_V: in 1/min per V; None while it is not known.
        origin: "designed", or how it was measured.
    """

    per_min_V: float | None
    origin: Literal["designed", "driven", "run without load"]

    @property
    def field(self) -> str:
        """Dotted name of the figure."""
        return f"{'motor' if self.origin == 'designed' else 'measured'}.speed_constant"

    @property
    def measured(self) -> float | None:
        """The constant if it was measured, 1/min per V."""
        return None if self.origin == "designed" else self.per_min_V

    def back_emf(self, speed: float) -> float | None:
        """Return the peak voltage between two leads at a speed in 1/min; None while not known."""
        return None if self.per_min_V is None else speed / self.per_min_V


def speed_constant(motor: Motor, bench: Bench, lead_ohm: float) -> SpeedConstant:
    """Return the speed constant: driven, else run without load, else as designed.

    Args:
        motor, bench: tables of the design.
        lead_ohm: resistance between two leads during the run without load; 0 if not known.
    """
    driven = max((v for v in bench.driven if v is not None), default=None)
    if driven is not None and bench.driven_speed is not None:
        return SpeedConstant(bench.driven_speed / (math.sqrt(2.0) * driven), "driven")
    if bench.no_load_speed is not None and bench.no_load_voltage is not None:
        left = bench.no_load_voltage - (bench.no_load_current or 0.0) * lead_ohm
        if left > 0.0:
            return SpeedConstant(bench.no_load_speed / left, "run without load")
    return SpeedConstant(motor.speed_constant, "designed")


def voltage_findings(motor: Motor, constant: SpeedConstant) -> list[Finding]:
    """Return findings on the battery and on the voltage that the driven motor makes."""
    return [*_supply(motor.supply_voltage), *_driven(motor, constant)]


def _supply(volts: float) -> Iterator[Finding]:
    if volts > TOUCH_LIMIT_V:
        yield _hazard(
            "hazardous-voltage",
            "motor.supply_voltage",
            f"motor.supply_voltage = {volts:g} V is above {TOUCH_LIMIT_V:g} V DC: hazardous voltage",
            value=volts,
        )


def _driven(motor: Motor, constant: SpeedConstant) -> Iterator[Finding]:
    volts = constant.back_emf(motor.top_speed)
    if volts is None:
        yield note(
            "back-emf-unknown",
            "motor.speed_constant",
            "motor.speed_constant is not given: the voltage that the driven motor makes is not judged",
            limit=TOUCH_LIMIT_V,
            fix="enter it once the motor runs: speed without load divided by the supply voltage; until "
            "then keep hands off bare leads of a turning motor",
            source=_SOURCE,
        )
        return
    says = f"driven at {motor.top_speed:g} 1/min the motor makes {volts:.1f} V"
    ac_volts = volts / math.sqrt(2)
    if volts > TOUCH_LIMIT_V:
        yield _hazard(
            "hazardous-back-emf",
            constant.field,
            f"{says} peak between two leads, above {TOUCH_LIMIT_V:g} V DC, with no battery connected",
            value=volts,
        )
    elif ac_volts > TOUCH_LIMIT_AC_V:
        yield note(
            "back-emf-ac",
            constant.field,
            f"{says} peak, {ac_volts:.1f} V r.m.s., between two leads: above "
            f"{TOUCH_LIMIT_AC_V:g} V r.m.s. AC",
            value=ac_volts,
            limit=TOUCH_LIMIT_AC_V,
            fix="cover the ends of all leads before the rotor is turned",
            source=_SOURCE,
        )
    if volts > motor.supply_voltage:
        yield warn(
            "back-emf-above-supply",
            "motor.top_speed",
            f"{says}, more than the supply's {motor.supply_voltage:g} V: it charges the battery "
            "through the controller's diodes, whether the controller is on or not",
            value=volts,
            limit=motor.supply_voltage,
            fix="use a lower top_speed or a higher speed_constant, a battery and a controller made "
            "for it, or a way to part the leads",
            source="common practice",
            confidence="practice",
        )


def voltage_results(motor: Motor, constant: SpeedConstant) -> dict[str, float | int | str]:
    """Return the back-EMF at top speed; nothing while the speed constant is not known."""
    volts = constant.back_emf(motor.top_speed)
    if volts is None:
        return {}
    return {"back_emf_peak_V": volts, "touch_limit_dc_V": TOUCH_LIMIT_V}
