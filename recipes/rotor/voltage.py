"""Voltages that a hand may meet: the full battery, and what the motor makes when it is driven.

    back-EMF (peak between two leads) = top speed / speed constant

The speed constant is that of a motor on a DC supply without load: 1/min for one volt. A motor that
coasts downhill or is turned by a drill makes this voltage with no battery near, and the diodes of a
controller hand it on as DC. What was measured on the finished motor goes before everything else:

    driven       k = n / (sqrt(2) U)           U: r.m.s. between two leads, the largest of the three
    no load      k = n / (U - I R)             R: between two leads, as measured or as designed

Until then it is typed in, predicted from the outline, or both; of both the lower is used, which makes
the higher voltage and the greater torque.

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
from recipes.refusal import finding, note, warn

#: Above this DC voltage a touch may harm (IEC 62368-1 ES1 and SELV limit; from memory).
TOUCH_LIMIT_V = 60.0

#: The same for AC, r.m.s. (IEC 62368-1 ES1 to 1 kHz; from memory).
TOUCH_LIMIT_AC_V = 30.0

#: A typed constant that is off by more than this factor stops the design.
FAR = 2.0

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
class Prediction:
    """Speed constant that follows from outline, magnets and turns, 1/min per V.

    Args:
        per_min_V: the figure.
        least, greatest: its band.
        by: what it was worked out with.
    """

    per_min_V: float
    least: float
    greatest: float
    by: Literal["magnetic field", "magnetic circuit"]

    @property
    def words(self) -> str:
        """The figure with its band."""
        band = f"{short(self.least)} to {short(self.greatest)}"
        return f"{short(self.per_min_V)} ({band}) 1/min per V"


@dataclass(frozen=True)
class SpeedConstant:
    """Speed without load for one volt of DC.

    Args:
        given: typed in or measured, in 1/min per V; None without either.
        origin: "designed" for a typed one, or how it was measured.
        predicted: None if the outline tells none, as without magnets.
    """

    given: float | None
    origin: Literal["designed", "driven", "run without load"]
    predicted: Prediction | None = None

    @property
    def per_min_V(self) -> float | None:
        """The figure that everything reckons with, 1/min per V; None while it is not known."""
        if self.origin == "designed" and self.predicted is not None:
            predicted = self.predicted.per_min_V
            return predicted if self.given is None else min(predicted, self.given)
        return self.given

    @property
    def by(self) -> str:
        """How the figure came about."""
        if self.predicted is not None and self.per_min_V != self.given:
            return self.predicted.by
        return self.origin

    @property
    def field(self) -> str:
        """Dotted name of the figure."""
        return f"{'motor' if self.origin == 'designed' else 'measured'}.speed_constant"

    @property
    def measured(self) -> float | None:
        """The constant if it was measured, 1/min per V."""
        return None if self.origin == "designed" else self.given

    def back_emf(self, speed: float) -> float | None:
        """Return the peak voltage between two leads at a speed in 1/min; None while not known."""
        return None if self.per_min_V is None else speed / self.per_min_V


def expected_constant(motor: Motor, constant: SpeedConstant) -> float | None:
    """Return what the bench should show, 1/min per V: as typed, else as predicted; None if neither."""
    if motor.speed_constant is not None:
        return motor.speed_constant
    return None if constant.predicted is None else constant.predicted.per_min_V


def speed_constant(
    motor: Motor, bench: Bench, lead_ohm: float, predicted: Prediction | None
) -> SpeedConstant:
    """Return the speed constant: driven, else run without load, else as designed.

    Args:
        motor, bench: tables of the design.
        lead_ohm: resistance between two leads during the run without load; 0 if not known.
        predicted: from the outline; None if it tells none.
    """
    driven = max((v for v in bench.driven if v is not None), default=None)
    if driven is not None and bench.driven_speed is not None:
        return SpeedConstant(bench.driven_speed / (math.sqrt(2.0) * driven), "driven", predicted)
    if bench.no_load_speed is not None and bench.no_load_voltage is not None:
        left = bench.no_load_voltage - (bench.no_load_current or 0.0) * lead_ohm
        if left > 0.0:
            return SpeedConstant(bench.no_load_speed / left, "run without load", predicted)
    return SpeedConstant(motor.speed_constant, "designed", predicted)


def speed_constant_findings(constant: SpeedConstant) -> list[Finding]:
    """Return whether the constant that was typed in or measured agrees with the prediction."""
    given, predicted = constant.given, constant.predicted
    if given is None or predicted is None or predicted.least <= given <= predicted.greatest:
        return []
    typed = constant.origin == "designed"
    ratio = given / predicted.per_min_V
    says = f"{constant.field} = {short(given)} 1/min per V" + ("" if typed else ", as measured")
    return [
        finding(
            "stop" if typed and not 1 / FAR <= ratio <= FAR else "warn",
            "speed-constant-unlike-outline",
            constant.field,
            f"{says}, but outline, magnets and turns give {predicted.words} by the {predicted.by}"
            + (f": driven, it makes {short(ratio)} times the voltage typed in" if typed else ""),
            value=given,
            limit=predicted.greatest if ratio > 1 else predicted.least,
            fix=(
                "leave motor.speed_constant out, or look for what differs: turns, connection, magnets, "
                "air gap; voltage and torque are judged by the lower of both until one is measured"
                if typed
                else "look for what differs from the design: turns, connection, magnets, air gap, a coil "
                "reversed, or how it was measured; voltages are judged by the measured one"
            ),
            source="plane field of magnets and steel in the outline (recipes.field)",
            confidence="practice",
        )
    ]


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


def predicted_results(constant: SpeedConstant) -> dict[str, float | int | str]:
    """Return the speed constant that follows from the outline, its band, and what it was worked out with."""
    if (predicted := constant.predicted) is None:
        return {}
    return {
        "speed_constant_predicted_rpm_per_V": predicted.per_min_V,
        "speed_constant_predicted_rpm_per_V_min": predicted.least,
        "speed_constant_predicted_rpm_per_V_max": predicted.greatest,
        "speed_constant_predicted_by": predicted.by,
    }


def short(value: float) -> str:
    """Return a figure, in any unit, with three digits and never with an exponent."""
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:#.3g}".rstrip(".")
