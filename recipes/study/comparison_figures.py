"""The figures that tell designs apart, and which way each of them is better."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from recipes.assess import Results
from recipes.field.magnetic_circuit import magnetic_circuit
from recipes.motor import Motor
from recipes.refusal import known_or_none
from recipes.study.torque_per_heat import TorqueFigure, torque_figure

Sense = Literal["more", "less", "none"]


@dataclass(frozen=True)
class Key:
    """One figure.

    Args:
        name: as in `results.json`, or worked out by `figures_of`.
        label: in words.
        unit: of the number; "share" is shown in percent, "x" is relative to the first design.
        sense: which way is better, all else equal; "none": only different.
        group: heading that it stands under.
        relative: the figure itself means nothing, only its ratio to the first design's.
    """

    name: str
    label: str
    unit: str
    sense: Sense
    group: str
    relative: bool = False


_HEAT, _WIRE, _FIT = "Heat and torque", "Wire", "Room for the wire"
_MASS, _RUN, _BENCH = "Mass and order", "Running", "As measured"

KEYS: tuple[Key, ...] = (
    Key("torque_per_root_watt", "torque per root watt of heat", "x", "more", _HEAT, True),
    Key("copper_loss_same_torque", "copper loss for the same torque", "x", "less", _HEAT, True),
    Key(
        "warming_same_torque", "warming in the first seconds, same torque", "x", "less", _HEAT, True
    ),
    Key("heating_rate_K_per_s", "warming at its own current", "K/s", "less", _HEAT),
    Key("seconds_to_touch_limit", "time until too hot to touch", "s", "more", _HEAT),
    Key("continuous_current_worst_A", "current for long, dry and loose", "A", "more", _HEAT),
    Key("continuous_current_best_A", "current for long, varnished", "A", "more", _HEAT),
    Key("current_density_A_per_mm2", "current density", "A/mm²", "less", _HEAT),
    Key("copper_loss_20C_W", "copper loss at its own current", "W", "less", _HEAT),
    Key("lead_resistance_20C_ohm", "resistance between two leads, 20 °C", "ohm", "none", _WIRE),
    Key("turns_in_series", "turns in series, one phase", "", "none", _WIRE),
    Key("winding_factor", "winding factor", "", "more", _WIRE),
    Key("coil_mean_turn_mm", "mean turn", "mm", "less", _WIRE),
    Key("wire_length_m", "wire in the motor", "m", "less", _WIRE),
    Key("wire_mass_kg", "wire mass", "kg", "less", _WIRE),
    Key("wire_order_kg", "wire to buy, spare included", "kg", "less", _WIRE),
    Key("wire_fill_lined", "lined slot taken by wire (sum of D²)", "share", "less", _FIT),
    Key("spare_turns", "turns to spare before the slot is full", "", "more", _FIT),
    Key("copper_fill", "bare slot taken by copper", "share", "more", _FIT),
    Key("conductors_per_slot", "wires through one slot", "", "less", _FIT),
    Key("layers", "layers of one coil", "", "less", _FIT),
    Key("stack_mass_kg", "stack mass", "kg", "less", _MASS),
    Key("active_mass_kg", "mass of stack, wire and magnets", "kg", "less", _MASS),
    Key("sheets_to_order", "sheets to order", "", "less", _MASS),
    Key("cut_length_all_m", "cut length of all sheets", "m", "less", _MASS),
    Key(
        "speed_constant_predicted_rpm_per_V",
        "speed constant from the outline",
        "1/min per V",
        "none",
        _RUN,
    ),
    Key("torque_at_phase_current_Nm", "torque at its own current", "N m", "more", _RUN),
    Key("torque_ripple_percent", "torque ripple, peak to peak", "%", "less", _RUN),
    Key("cogging_torque_peak_Nm", "cogging torque, peak", "N m", "less", _RUN),
    Key("cogging_cycles_per_rev", "cogging steps per turn", "", "more", _RUN),
    Key("tooth_full", "flux of a tooth / what its steel carries", "share", "less", _RUN),
    Key("tooth_field_T", "flux density of a tooth", "T", "less", _RUN),
    Key("back_emf_peak_V", "peak voltage at top speed", "V", "none", _RUN),
    Key("air_gap_worst_mm", "air gap, all tolerances against it", "mm", "more", _RUN),
    Key("axle_safety_factor", "axle, safety against yield", "", "more", _RUN),
    Key(
        "lead_resistance_20C_measured_ohm",
        "resistance between two leads, 20 °C",
        "ohm",
        "none",
        _BENCH,
    ),
    Key("lead_spread_measured", "largest deviation of a lead pair", "share", "less", _BENCH),
    Key("speed_constant_measured_per_min_V", "speed constant", "1/min per V", "none", _BENCH),
    Key("torque_per_root_watt_measured", "torque per root watt of heat", "N m/√W", "more", _BENCH),
    Key("heating_rate_measured_K_per_s", "warming at the test current", "K/s", "none", _BENCH),
)

BY_NAME: dict[str, Key] = {key.name: key for key in KEYS}

Figures = dict[str, float | int | str]


def figures_of(results: Results, figure: TorqueFigure | None) -> Figures:
    """Return `results` and what follows from them; what a refused design lacks is left out.

    Args:
        results: of `recipes.assess.assess`.
        figure: of the same design, see `figure_or_none`.

    The relative figures stand here in units of their own: only
    ratios of them mean anything.
    """
    found: Figures = dict(results)
    if figure is not None:
        found["torque_per_root_watt"] = figure.per_root_watt
        found["copper_loss_same_torque"] = figure.per_root_watt**-2
        found["warming_same_torque"] = figure.per_root_watt**-2 / figure.copper_mm3
        if figure.magnetic:
            found["tooth_field_T"] = figure.magnetic.tooth
            found["tooth_full"] = figure.magnetic.tooth / figure.magnetic.full
    if {"turns_that_fit", "turns_per_coil"} <= found.keys():
        found["spare_turns"] = int(found["turns_that_fit"]) - int(found["turns_per_coil"])
    if {"stack_mass_kg", "wire_mass_kg"} <= found.keys():
        masses = ("stack_mass_kg", "wire_mass_kg", "magnet_mass_all_kg")
        found["active_mass_kg"] = sum(float(found.get(key, 0.0)) for key in masses)
    if {"lamination_cut_length_mm", "sheets_to_order"} <= found.keys():
        # End sheets are cut about as long as full ones.
        each = float(found["lamination_cut_length_mm"]) / 1000.0
        found["cut_length_all_m"] = each * float(found["sheets_to_order"])
    return found


def figure_or_none(motor: Motor) -> TorqueFigure | None:
    """Return the torque figure; None for a design without a winding that can be worked out."""
    d = motor.design
    magnetic = known_or_none(
        lambda: magnetic_circuit(motor.cross_section, d.lamination.steel, motor.stack.factor)
    )
    return known_or_none(
        lambda: torque_figure(
            magnetic,
            float(motor.field.figures["phase_flux_linkage_Wb"]) if motor.field else None,
            motor.circuit,
            motor.layout,
            motor.resistance.phase_ohm,
            d.lamination.outer_diameter,
            motor.stack,
        )
    )


def number(figures: Figures, name: str) -> float | None:
    """Return a figure as a number; None if it is missing or said in words."""
    value = figures.get(name)
    return None if value is None or isinstance(value, str) else float(value)
