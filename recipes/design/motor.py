"""[motor]: what the motor is and what it is asked to do."""

from __future__ import annotations

from typing import Literal

from pydantic import field_validator

from recipes.design.fields import Figure, Table, a_choice, a_count, a_figure


class Motor(Table):
    """Slots, poles and the electrical task."""

    slots: int = a_count("teeth (= slots) of the stator, a multiple of 3", 3, 120)
    poles: int = a_count("magnet poles of the rotor ring, an even number", 2, 160)
    supply_voltage: Figure = a_figure("battery or supply at full charge", "V", 1.0, 1000.0)
    top_speed: Figure = a_figure("highest speed, driven or coasting", "1/min", 1.0, 60000.0)
    speed_constant: Figure | None = a_figure(
        "speed without load for one volt of DC, as measured or reckoned; left out: not known yet",
        "1/min per V", 0.01, 20000.0, None,
    )  # fmt: skip
    phase_current: Figure = a_figure("design current in one phase, r.m.s.", "A", 0.01, 2000.0)
    duty: Literal["moving", "stalled"] = a_choice(
        "'moving': current shared by three phases; 'stalled': one pair of phases carries it all",
        "moving",
    )
    ambient: Figure = a_figure("temperature round the motor", "degC", -40.0, 80.0, 20.0)

    @field_validator("poles")
    @classmethod
    def _even(cls, value: int) -> int:
        if value % 2:
            raise ValueError(
                f"poles come in pairs, north and south: use {value - 1} or {value + 1}"
            )
        return value
