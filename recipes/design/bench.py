"""[measured]: what the finished stack and winding showed on the bench; nothing here changes a part.

Everything may be left out: what is not typed in is not known. The coupon and the pile of 20 sheets,
which do change parts, stand in `[shop.measured]`.
"""

from __future__ import annotations

import math
from typing import Any

from recipes.design.fields import (
    Amperes,
    Celsius,
    Figure,
    Length,
    Megohms,
    Ohms,
    PerMinute,
    Seconds,
    Table,
    Volts,
    a_choice,
    a_figure,
    a_length,
)

_BENCH = "measured on the bench"


def _read(meaning: str, unit: str, low: float, high: float) -> Any:
    return a_figure(meaning, unit, low, high, None, source=_BENCH)


class Bench(Table):
    """Readings of the finished stack and winding."""

    lead_u_v: Ohms | None = _read("resistance between leads U and V", "ohm", 1e-5, 1e4)
    lead_v_w: Ohms | None = _read("resistance between leads V and W", "ohm", 1e-5, 1e4)
    lead_w_u: Ohms | None = _read("resistance between leads W and U", "ohm", 1e-5, 1e4)
    room_temperature: Celsius | None = _read(
        "of the copper when resistances were measured, after an hour at rest in the room; left out: "
        "that of [winding]",
        "degC",
        -10.0,
        50.0,
    )
    meter_accuracy: Figure = a_figure(
        "what the meter may be off, share of its reading in percent",
        "percent",
        0.001,
        20.0,
        1.0,
        source="hand-held meters 0.5 to 1.5 %, common practice; the meter's manual says",
    )
    insulation: Megohms | None = _read(
        "resistance from winding to steel, after 1 min of test voltage", "Mohm", 0.0, 1e7
    )
    driven_u_v: Volts | None = _read(
        "AC voltage r.m.s. between leads U and V, rotor turned from outside", "V", 1e-3, 2000.0
    )
    driven_v_w: Volts | None = _read("the same between V and W", "V", 1e-3, 2000.0)
    driven_w_u: Volts | None = _read("the same between W and U", "V", 1e-3, 2000.0)
    driven_speed: PerMinute | None = _read(
        "speed at which it was turned from outside", "1/min", 0.1, 60000.0
    )
    no_load_voltage: Volts | None = _read(
        "DC voltage at the controller while the motor turns freely, at full throttle",
        "V",
        0.1,
        1000.0,
    )
    no_load_speed: PerMinute | None = _read("speed then", "1/min", 0.1, 60000.0)
    no_load_current: Amperes | None = _read("DC current into the controller then", "A", 0.0, 2000.0)
    warm_current: Amperes | None = _read(
        "steady DC current through leads U and V that warmed the winding, rotor held",
        "A",
        0.01,
        2000.0,
    )
    warm_seconds: Seconds | None = _read("how long it flowed", "s", 0.1, 36000.0)
    warm_start: Celsius | None = _read(
        "of the copper before; left out: the room's", "degC", -10.0, 150.0
    )
    warm_end: Celsius | None = _read("of the copper at the end, by a sensor", "degC", -10.0, 250.0)
    warm_end_u_v: Ohms | None = _read(
        "resistance between leads U and V at the end, which tells the copper's mean temperature",
        "ohm",
        1e-5,
        1e4,
    )
    stack_height: Length | None = a_length(
        "height of the glued stack, without caps and washers", 0.2, 2000.0, None, source=_BENCH
    )
    notes: str = a_choice("anything to remember of the bench", "", source="yours")

    @property
    def leads(self) -> tuple[float | None, float | None, float | None]:
        """Resistances U-V, V-W, W-U in ohm."""
        return self.lead_u_v, self.lead_v_w, self.lead_w_u

    @property
    def lead_mean(self) -> float | None:
        """Mean of the three resistances in ohm; None unless all three are known."""
        known = [v for v in self.leads if v is not None]
        return math.fsum(known) / 3.0 if len(known) == 3 else None

    @property
    def driven(self) -> tuple[float | None, float | None, float | None]:
        """Voltages U-V, V-W, W-U in V r.m.s."""
        return self.driven_u_v, self.driven_v_w, self.driven_w_u

    def temperature(self, room: float) -> float:
        """Return the copper's temperature in C when resistances were measured; `room` if not noted."""
        return room if self.room_temperature is None else self.room_temperature
