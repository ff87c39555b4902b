"""The figures of one design by the names of `recipes.compare.keys`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.compare.torque import TorqueFigure, torque_figure
from recipes.refusal import Refused

if TYPE_CHECKING:
    from recipes.assess import Results
    from recipes.job import Job

Figures = dict[str, float | int | str]


def figures_of(results: Results, figure: TorqueFigure | None) -> Figures:
    """Return `results` and what follows from them; what a refused design lacks is left out.

    Args:
        results: of `recipes.assess.assess`.
        figure: of the same design, see `figure_or_none`.

    The relative figures (see `recipes.compare.keys`) stand here in units of their own: only
    ratios of them mean anything.
    """
    found: Figures = dict(results)
    if figure is not None:
        found["torque_per_root_watt"] = figure.per_root_watt
        found["copper_loss_same_torque"] = figure.per_root_watt**-2
        found["warming_same_torque"] = figure.per_root_watt**-2 / figure.copper_mm3
        if figure.field_known:
            found["tooth_field_T"] = figure.tooth_T
            found["tooth_full"] = figure.tooth_T / figure.full_T
    if {"turns_that_fit", "turns_per_coil"} <= found.keys():
        # A quick job leaves the search for more circles out; rows laid by hand are circles too.
        fit = int(found["turns_that_fit"])
        fit = min(fit, int(found.get("turns_possible", fit)))
        found["spare_turns"] = fit - int(found["turns_per_coil"])
    if {"stack_mass_kg", "wire_mass_kg"} <= found.keys():
        masses = ("stack_mass_kg", "wire_mass_kg", "magnet_mass_all_kg")
        found["active_mass_kg"] = sum(float(found.get(key, 0.0)) for key in masses)
    if {"lamination_cut_length_mm", "sheets_to_order"} <= found.keys():
        # End sheets are cut about as long as full ones.
        each = float(found["lamination_cut_length_mm"]) / 1000.0
        found["cut_length_all_m"] = each * float(found["sheets_to_order"])
    return found


def figure_or_none(job: Job) -> TorqueFigure | None:
    """Return the torque figure; None for a design without a winding that can be worked out."""
    try:
        return torque_figure(job)
    except Refused:
        return None


def number(figures: Figures, name: str) -> float | None:
    """Return a figure as a number; None if it is missing or said in words."""
    value = figures.get(name)
    return None if value is None or isinstance(value, str) else float(value)
