"""What the bench showed, as findings and figures; nothing while nothing is measured."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from recipes.refusal import Refused, finding

if TYPE_CHECKING:
    from geometry.finding import Finding
    from recipes.job import Job


def any_measured(job: Job) -> bool:
    """Tell whether `[measured]` holds a reading."""
    return bool(job.design.measured.model_fields_set - {"meter_accuracy", "notes"})


def measured_findings(job: Job) -> list[Finding]:
    """Return one finding for each reading that is not as expected."""
    if not any_measured(job):
        return []
    from recipes.measured.beside import beside
    from recipes.measured.row import said

    found: list[Finding] = []
    said_already: set[str] = set()
    for row in beside(job):
        # The pile of 20 has rules of its own beside the sheet count.
        if row.verdict not in ("look", "off") or not row.field.startswith("measured."):
            continue
        if row.meaning in said_already or row.meaning.startswith("see "):
            continue  # one cause, one finding
        said_already.add(row.meaning)
        assert row.measured is not None
        limit = row.high if row.high is not None and row.measured > row.high else row.low
        value = said(row.measured, row.unit)
        asked = "" if row.expected is None else f", expected {said(row.expected, row.unit)}"
        allowed = "" if limit is None else f", limit {said(limit, row.unit)}"
        found.append(
            finding(
                "warn", f"measured-{row.field.split('.')[-1].replace('_', '-')}", row.field,
                row.measured, limit,
                f"{row.field} = {value}: {row.label}{asked}{allowed} ({row.tolerance})",
                row.meaning, row.source, row.confidence,
            )
        )  # fmt: skip
    return found


def measured_results(job: Job) -> dict[str, float | int | str]:
    """Return what follows from the readings for `results.json`."""
    if not any_measured(job):
        return {}
    from recipes.measured.leads import measured_leads
    from recipes.measured.speed import measured_speed_constant, torque_constant
    from recipes.measured.warming import warming_of

    results: dict[str, float | int | str] = {}
    leads, constant = measured_leads(job), measured_speed_constant(job)
    if leads is not None:
        results["lead_resistance_20C_measured_ohm"] = leads.mean_20C
        results["lead_spread_measured"] = leads.spread
    if constant is not None:
        torque = torque_constant(constant)
        results["speed_constant_measured_per_min_V"] = constant
        results["torque_constant_measured_Nm_per_A"] = torque
        if leads is not None:
            results["torque_per_root_watt_measured"] = torque / math.sqrt(leads.mean_20C)
    try:
        run = warming_of(job)
    except Refused:
        run = None
    if run is not None:
        results["heating_rate_measured_K_per_s"] = run.rate_K_per_s
    return results
