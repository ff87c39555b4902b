"""[winding]: wire, turns and how the coils are joined."""

from __future__ import annotations

from typing import Literal

from pydantic import field_validator

from recipes.design.fields import Figure, Length, Table, a_choice, a_count, a_figure, a_length

# [motor]: what the motor is and what it is asked to do.


class Motor(Table):
    """Slots, poles and the electrical task."""

    slots: int = a_count("teeth (= slots) of the stator, a multiple of 3", 3, 120)
    poles: int = a_count("magnet poles of the rotor ring, an even number", 2, 160)
    supply_voltage: Figure = a_figure("battery or supply at full charge", "V", 1.0, 1000.0)
    top_speed: Figure = a_figure("highest speed, driven or coasting", "1/min", 1.0, 60000.0)
    speed_constant: Figure | None = a_figure(
        "speed without load for one volt of DC, as measured or reckoned; left out: not known yet",
        "1/min per V",
        0.01,
        20000.0,
        None,
    )
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


class Winding(Table):
    """Tooth coils of round enamelled wire."""

    wire: str | float = a_choice(
        "conductor size: '0.71 mm' or '24 AWG'; a bare number is mm",
        source="IEC 60317-0-1, NEMA MW 1000",
    )
    grade: Literal[1, 2, 3] = a_choice(
        "enamel: 1, 2 or 3 by IEC 60317-0-1; for AWG 1 is single build, 2 heavy build",
        2,
        source="IEC 60317-0-1, NEMA MW 1000",
    )
    strands: int = a_count("wires wound in hand, side by side", 1, 60, 1)
    turns: int = a_count("turns on one tooth", 1, 2000)
    coil_sides: Literal["every tooth", "alternate teeth"] = a_choice(
        "a coil on every tooth, or on every second one", "every tooth"
    )
    connection: Literal["wye", "delta"] = a_choice("how the three phases are joined", "wye")
    parallel_paths: int = a_count("branches in parallel in one phase", 1, 40, 1)
    run: Literal["one wire a tooth", "one wire a group", "one wire a phase"] = a_choice(
        "how far one wire goes before it is cut: one coil, neighbouring coils of a phase, or all coils "
        "of a path; what is not joined cannot come undone, but a bobbin must hold it",
        "one wire a tooth",
    )
    tail: Length = a_length("free wire at each coil end for joining", 20.0, 3000.0, 150.0)
    lay: Literal["layered", "random"] = a_choice(
        "turns laid row on row by hand, or as they fall", "layered"
    )
    crossing_allowance: Figure = a_figure(
        "share of the slot lost where turns cross from row to row",
        "1",
        0.0,
        0.4,
        0.05,
        source="common practice",
    )
    enamel_class: Literal[130, 155, 180, 200] = a_choice(
        "temperature in degC that the enamel stands in the long run; as the reel's label says",
        155,
        source="IEC 60085; 155 for enamel that solders through, 180 and 200 for enamel that does not, common practice",
    )
    room_temperature: Figure = a_figure(
        "of the bench where resistance is measured",
        "degC",
        -10.0,
        50.0,
        20.0,
        source="sane range of a workshop",
    )
    spare_phases: int = a_count(
        "phases' worth of wire to buy on top, for a first motor", 0, 3, 1, source="common practice"
    )
