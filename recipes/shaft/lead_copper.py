"""Whether a lead of the design can hold the copper that its current asks for."""

from __future__ import annotations

from collections.abc import Iterable

from geometry.finding import Finding
from recipes.design.axle import Lead
from recipes.refusal import warn
from recipes.tables.lead_section import SOURCE, lead_section


def lead_copper_findings(leads: Iterable[Lead], current_A: float) -> list[Finding]:
    """Warn of phase leads too thin over the insulation for a current in A r.m.s."""
    section = lead_section(current_A)
    if section is None:
        return []
    return [
        warn(
            "lead-copper",
            "axle.leads",
            f"axle.leads: a {lead.name} lead of {lead.outside_diameter:g} mm over the insulation is too "
            f"thin for {section.copper_mm2:g} mm2 ({section.awg} AWG), which {current_A:.1f} A r.m.s. asks for",
            value=lead.outside_diameter,
            limit=round(section.insulated_mm, 2),
            fix=f"use a lead of {section.copper_mm2:g} mm2, at least {section.insulated_mm:.1f} mm over a thin "
            "insulation, and a bore that takes it; or two thinner ones a phase",
            source=f"{SOURCE}; strands fill 0.75, wall 0.25 mm, common practice",
            confidence="practice",
        )
        for lead in leads
        if "phase" in lead.name.casefold() and lead.outside_diameter < section.insulated_mm
    ]
