"""The figures of the field as lines to read, and what it says of the speed constant that was given."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from recipes.rotor.voltage import Prediction, SpeedConstant, short

Figures = Mapping[str, float | int | str]

CONSTANT: Final = "speed_constant_predicted_rpm_per_V"

#: Name of the figure, words for it, unit, and factor from the figure to the unit.
ROWS: Final = (
    (CONSTANT, "speed constant", "1/min per V", 1.0),
    ("torque_at_phase_current_Nm", "torque at the phase current", "N m", 1.0),
    ("torque_ripple_percent", "its ripple, peak to peak", "%", 1.0),
    ("cogging_torque_peak_Nm", "cogging torque, peak", "N m", 1.0),
    ("saturation_at_rated", "torque lost to saturation", "%", 100.0),
    ("torque_per_root_watt", "torque per root of copper loss, 20 C", "N m/W^0.5", 1.0),
    ("phase_flux_linkage_Wb", "flux linked by a phase, peak", "mWb", 1e3),
    ("phase_inductance_H", "self-inductance of a phase", "mH", 1e3),
    ("demagnetisation_current_A", "demagnetising phase current", "A", 1.0),
    ("magnet_least_field_T", "magnets, least field under current", "T", 1.0),
    ("gap_flux_density_fundamental_T", "field in the gap, fundamental, peak", "T", 1.0),
    ("tooth_flux_density_peak_T", "steel of the teeth, without current", "T", 1.0),
    ("tooth_flux_density_loaded_T", "  at the phase current", "T", 1.0),
    ("yoke_flux_density_peak_T", "steel of the yoke, without current", "T", 1.0),
    ("yoke_flux_density_loaded_T", "  at the phase current", "T", 1.0),
    ("ring_flux_density_T", "steel of the ring, without current", "T", 1.0),
    ("ring_flux_density_loaded_T", "  at the phase current", "T", 1.0),
)


def field_lines(figures: Figures) -> list[str]:
    """Return figures with unit and band in columns, and what they rest on."""
    wide = max(len(words) for _, words, _, _ in ROWS)
    lines = []
    for name, words, unit, factor in ROWS:
        line = f"{words:{wide}}  {short(factor * float(figures[name])):>8}  {unit}"
        if f"{name}_min" in figures:
            low, high = (factor * float(figures[f"{name}_{end}"]) for end in ("min", "max"))
            line += f"  ({short(low)} to {short(high)})"
        lines.append(line)
    given = figures["ring_thickness_from"] == "design"
    lines += [
        "",
        "speed constant: speed over the voltage without load between two leads, r.m.s. x sqrt 2",
        f"band: remanence {figures['remanence_least_T']:g} to {figures['remanence_greatest_T']:g} T, "
        f"air gap +-{figures['air_gap_band_mm']:.2f} mm (root of squares of its tolerances)",
        f"ring: {figures['ring_thickness_used_mm']:.2f} mm, "
        + ("as given" if given else "not given: what the flux of the magnets asks for"),
        f"magnets under a phase current straight against them: at {figures['magnet_judged_at_C']:g} C, where less than "
        f"{short(float(figures['magnet_knee_T']))} T weakens them (coercivity from memory)",
        "phase current: r.m.s., a sine in step with the voltage; densities: mean over the narrowest "
        "section of steel",
        f"plane field over {figures['length_used_mm']:.2f} mm, magnets at 20 C; ends of the stack take "
        "1 to 4 % of the flux, magnets at 80 C some 5 % (from memory)",
        "steel: sheet by the least polarisation of EN 10106, ring as AISI 1008",
    ]
    return lines


def given_figures(given: SpeedConstant) -> dict[str, float | int | str]:
    """Return the speed constant that was typed in or measured, by name; none if not known."""
    if given.given is None:
        return {}
    return {
        "speed_constant_given_rpm_per_V": given.given,
        "speed_constant_given_origin": given.origin,
    }


def comparison_lines(predicted: Prediction, given: SpeedConstant) -> list[str]:
    """Return what the field says beside the speed constant that was typed in or measured."""
    if given.given is None:
        return ["motor.speed_constant is not given; the field's figure stands alone"]
    if predicted.least <= given.given <= predicted.greatest:
        said = f"speed constant {given.origin}: {given.given:g} 1/min per V; the field says "
        return [f"{said}{predicted.words}: they agree"]
    return []


def prediction_lines(constant: SpeedConstant) -> list[str]:
    """Return the predicted speed constant, and what it was worked out with; none without magnets."""
    if (predicted := constant.predicted) is None:
        return []
    better = "" if predicted.by == "magnetic field" else "; lamwright field solves the field itself"
    return [f"speed constant from the outline: {predicted.words}, by the {predicted.by}{better}"]
