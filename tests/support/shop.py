"""What the rules on cutting say of a job, and its order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from geometry.finding import Finding
from geometry.part import Part
from recipes.build.files import paths_by_part
from recipes.catalogue import RECIPES, Parts
from recipes.manufacturing.kerf import drawn_part, kerf_results
from recipes.manufacturing.kerf_rules import kerf_findings, kerf_gap_findings, kerf_shape_findings
from recipes.manufacturing.nest_plan import nest_findings, nest_parts
from recipes.manufacturing.order_line import OrderLine
from recipes.manufacturing.sheet_rules import sheet_findings
from recipes.manufacturing.stack_rules import stack_findings
from recipes.motor import Motor
from recipes.report.order import order_lines
from recipes.stator.stack_count import measured_stacking_factor


def catalogue_parts(job: Motor) -> Iterator[Part]:
    """Yield every part of the catalogue, in its order."""
    for recipe in RECIPES:
        yield from Parts(job)[recipe.name]


def as_cut(job: Motor, part: Part) -> Part:
    """Return a part as its cut file draws it."""
    return drawn_part(part, job.design.lamination, job.kerf)


def kerf_told(job: Motor) -> list[Finding]:
    """Return every finding about the kerf."""
    lam, hub = job.design.lamination, job.design.hub
    steel = (p for p in catalogue_parts(job) if p.cut and p.material == lam.steel)
    return [
        *kerf_shape_findings(job.kerf, lam, hub, job.slot.radii, steel),
        *kerf_gap_findings(job.kerf, lam, hub),
        *kerf_findings(job.kerf, job.design.shop.measured, lam, job.stack),
    ]


def kerf_figures(job: Motor) -> dict[str, float | int | str]:
    """Return the results about the kerf."""
    lam, pile = job.design.lamination, job.design.shop.measured.pile_of_20
    factor = measured_stacking_factor(pile, lam.sheet_thickness)
    return kerf_results(job.kerf, lam.bore_diameter, factor)


def sheet_told(job: Motor) -> list[Finding]:
    """Return every finding about cutting the lamination."""
    region = Parts(job)["lamination"][0].cut[0]
    return sheet_findings(job.design, job.process, job.slot, region, job.stack.factor)


def stack_told(job: Motor) -> list[Finding]:
    """Return every finding about turning and telling apart the sheets."""
    ends = Parts(job)["end_laminations"]
    return stack_findings(Parts(job)["lamination"][0], ends, job.design.motor.slots)


def nest_told(job: Motor) -> list[Finding]:
    """Return every finding about the nest."""
    design = job.design
    return nest_findings(catalogue_parts(job), design.lamination, design.shop, job.kerf)


def nest_of(job: Motor) -> tuple[Part, ...]:
    """Return the blanks of the nest."""
    design = job.design
    return nest_parts(catalogue_parts(job), design.lamination, design.shop, job.kerf)


def order_of(job: Motor, more: Iterable[Part] = ()) -> tuple[OrderLine, ...]:
    """Return the order for all parts of the catalogue and for `more`."""
    return order_lines(job, [*catalogue_parts(job), *more], paths_by_part(job, Parts(job)))
