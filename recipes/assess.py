"""Everything that can be said about a design without writing a file: findings and results."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass

from geometry.finding import LEVELS, Finding
from geometry.part import Part
from recipes.bench.leads import lead_balance, lead_readings, lead_results, level_meaning
from recipes.bench.reading import Reading, measured_findings
from recipes.bench.speed import (
    DRIVEN_SPREAD,
    constant_reading,
    driven_balance,
    driven_readings,
    driven_spread,
    no_load_reading,
    speed_results,
)
from recipes.bench.stack import insulation_reading, pile_reading, stack_reading
from recipes.bench.warming import warming_readings, warming_results
from recipes.build.templates import template_findings
from recipes.catalogue import RECIPES
from recipes.design.axle import Axle
from recipes.heat.adiabatic import heat_results
from recipes.heat.limits import heat_findings
from recipes.heat.steady import steady_heat_results
from recipes.insulation.liner import liner_findings, liner_results, opening_findings
from recipes.insulation.strips import slot_strip_results
from recipes.job import Job
from recipes.manufacturing.kerf import is_steel, kerf_results
from recipes.manufacturing.kerf_rules import kerf_findings, kerf_gap_findings, kerf_shape_findings
from recipes.manufacturing.nest_plan import nest_findings
from recipes.manufacturing.sheet_rules import sheet_findings
from recipes.manufacturing.stack_rules import stack_findings
from recipes.refusal import Refused
from recipes.rotor.hall_jig import hall_jig_findings
from recipes.rotor.hall_sensors import hall_findings, hall_results
from recipes.rotor.magnet_ring import magnet_ring_findings
from recipes.rotor.ring import rotor_ring_findings, rotor_ring_results
from recipes.rotor.voltage import voltage_findings, voltage_results
from recipes.shaft.lead_bundle import lead_bundle_findings, lead_bundle_results, lead_count_findings
from recipes.shaft.lead_jig import lead_jig_findings
from recipes.shaft.seat_fit import bar_findings, bar_measured, seat_fit_findings, seat_fit_results
from recipes.shaft.shrink_fit import shrink_fit_findings, shrink_fit_results
from recipes.shaft.strength import AxleStrength, axle_strength
from recipes.shaft.strength_rules import (
    axle_load_findings,
    axle_strength_findings,
    axle_strength_results,
)
from recipes.shaft.torque import torque_findings, torque_results
from recipes.stator.end_cap import end_cap_findings
from recipes.stator.end_edge import step_findings, step_results
from recipes.stator.end_laminations import end_lamination_findings
from recipes.stator.lamination import lamination_results
from recipes.stator.stack import stack_results
from recipes.stator.stack_count import measured_stacking_factor
from recipes.winding.circuit import connection_findings, connection_results, third_harmonic_share
from recipes.winding.conductors import conductor_findings, conductor_results, packing_results
from recipes.winding.layout import winding_results
from recipes.winding.resistance import winding_resistance_findings, winding_resistance_results
from recipes.winding.tooth_ring import tooth_ring_findings
from recipes.winding.turn_length import turn_results
from recipes.winding.window import copper_fill_findings, window_results
from recipes.winding.wire_alternatives import wire_alternative_results
from recipes.winding.wire_order import wire_order_results

Results = dict[str, float | int | str]


def _layout_findings(job: Job) -> list[Finding]:
    """Refuse slots and poles that make no winding."""
    _ = job.layout
    return []


def _drawable(recipe: str) -> Callable[[Job], list[Finding]]:
    """Return the rule of parts of which nothing is judged but that they can be drawn."""

    def check(job: Job) -> list[Finding]:
        assert isinstance(job.parts[recipe], tuple)
        return []

    return check


def _end_lamination_findings(job: Job) -> list[Finding]:
    lam, steps = job.design.lamination, job.design.ends.steps
    (full,) = job.parts["lamination"]
    wire = job.wire.overall_max_mm
    return end_lamination_findings(lam, steps, full, job.slot, wire, job.process)


def _step_findings(job: Job) -> list[Finding]:
    ends, thickness = job.design.ends, job.design.lamination.sheet_thickness
    if ends.steps or ends.end_cap:
        return []
    bend, height = job.turn_lengths.bend_radius_mm, job.stack.sheet_height
    return step_findings(job.proposed_ends, job.wire.bare_mm, bend, height, thickness)


def _lead_bundle_findings(job: Job) -> list[Finding]:
    if job.lead_bundle is None:
        return []
    d = job.design

    def strength(axle: Axle) -> AxleStrength:
        return axle_strength(axle, d.lamination, d.hub, job.stack.length)

    return lead_bundle_findings(job.lead_bundle, d.axle, job.mouth_radius, strength)


def _steel_parts(job: Job) -> Iterator[Part]:
    """Yield every part cut from the stack's sheet; a recipe that refuses the design says so itself."""
    for recipe in RECIPES:
        if "cut" in recipe.files:
            with suppress(Refused):
                yield from (
                    p for p in job.parts[recipe.name] if is_steel(p, job.design.lamination.steel)
                )


#: Every rule set, in the order of the build. Each returns all of its findings at once.
CHECKS: tuple[Callable[[Job], list[Finding]], ...] = (
    _layout_findings,
    lambda job: voltage_findings(job.design.motor, job.speed_constant),
    lambda job: list(job.slot.notes),
    lambda job: sheet_findings(
        job.design, job.process, job.slot, job.parts["lamination"][0].cut[0], job.stack.factor
    ),
    lambda job: kerf_shape_findings(
        job.kerf, job.design.lamination, job.design.hub, job.slot.radii, _steel_parts(job)
    ),
    lambda job: kerf_gap_findings(job.kerf, job.design.lamination, job.design.hub),
    lambda job: kerf_findings(job.kerf, job.design.shop.measured, job.design.lamination, job.stack),
    lambda job: stack_findings(
        job.parts["lamination"][0], job.parts["end_laminations"], job.design.motor.slots
    ),
    lambda job: _end_lamination_findings(job),
    lambda job: _step_findings(job),
    lambda job: end_cap_findings(job.parts["end_cap"]),
    _drawable("end_washer"),
    lambda job: liner_findings(job.liner_size, job.design.liner, job.design.motor.supply_voltage),
    _drawable("slot_strips"),
    lambda job: [
        *opening_findings(
            job.design.lamination.slot_opening,
            job.design.liner.thickness,
            job.wire.overall_max_mm,
            job.process.tolerance_mm,
        ),
        *copper_fill_findings(job.window),
    ],
    lambda job: conductor_findings(
        job.window, job.conductors, job.thinner_wire if job.conductors.fails_at else None
    ),
    lambda job: list(job.end_edge_findings),
    lambda job: winding_resistance_findings(job.resistance, job.design.winding.tail, job.links),
    lambda job: connection_findings(job.circuit.connection, third_harmonic_share(job.layout)),
    lambda job: heat_findings(job.design.motor, job.heating, job.steady_heat),
    lambda job: list(job.axle_findings),
    lambda job: axle_load_findings(job.design.axle),
    lambda job: axle_strength_findings(job.design.axle, job.axle_strength),
    lambda job: torque_findings(
        job.design.axle,
        job.design.hub,
        job.design.motor.phase_current,
        job.motor_torque,
        job.torque_path,
    ),
    lambda job: lead_count_findings(job.design.axle.leads),
    lambda job: _lead_bundle_findings(job),
    lambda job: seat_fit_findings(job.seats, job.design.axle.seats),
    lambda job: (
        bar_findings(job.design.axle, job.sections) if bar_measured(job.design.axle) else []
    ),
    lambda job: shrink_fit_findings(job.shrink_fits),
    lambda job: hall_findings(
        job.design.hall, job.hall_plan, job.hall_set, job.hall_pocket, job.design.axle.leads
    ),
    lambda job: rotor_ring_findings(job.design.rotor, job.design.motor, job.rotor_ring),
    lambda job: nest_findings(
        (p for r in RECIPES if "cut" in r.files for p in job.parts[r.name]),
        job.design.lamination,
        job.design.shop,
        job.kerf,
    ),
    lambda job: measured_findings(readings(job)),
)

#: Every calculation that adds to `results.json`, in the order of its keys.
RESULTS: tuple[Callable[[Job], Results], ...] = (
    lambda job: lamination_results(job.parts["lamination"][0], job.slot.radii),
    lambda job: kerf_results(
        job.kerf,
        job.design.lamination.bore_diameter,
        measured_stacking_factor(
            job.design.shop.measured.pile_of_20, job.design.lamination.sheet_thickness
        ),
    ),
    lambda job: stack_results(job.design.lamination, job.stack, job.sheets),
    lambda job: step_results(job.design.ends, job.proposed_ends, job.stack.sheet_height),
    lambda job: liner_results(job.liner_size, job.parts["liner"][0].quantity),
    lambda job: slot_strip_results(job.parts["slot_strips"]),
    lambda job: window_results(job.window),
    lambda job: packing_results(job.window, job.conductors),
    lambda job: conductor_results(job.conductors) | turn_results(job.turn_lengths),
    lambda job: winding_results(job.layout),
    lambda job: wire_order_results(job.wire_order, job.tension),
    lambda job: winding_resistance_results(job.resistance),
    lambda job: connection_results(job.circuit, job.layout),
    lambda job: heat_results(job.heating[0]),
    lambda job: steady_heat_results(job.steady_heat),
    lambda job: axle_strength_results(job.design.axle, job.axle_strength),
    lambda job: torque_results(job.motor_torque, job.torque_path),
    lambda job: seat_fit_results(job.seats, job.hub_fit, job.design.axle.stock_diameter),
    lambda job: shrink_fit_results(job.shrink_fits, job.hub_temperature),
    lambda job: hall_results(job.hall_plan, job.hall_sets, job.hall_pocket),
    lambda job: rotor_ring_results(job.rotor_ring),
    lambda job: voltage_results(job.design.motor, job.speed_constant),
    lambda job: lead_results(job.measured_leads),
    lambda job: speed_results(job.speed_constant, job.measured_leads),
    lambda job: warming_results(job.warming),
)


#: Calculations that take longer than a quick look may: for files and JSON, not for the screen.
SLOW_RESULTS: tuple[Callable[[Job], Results], ...] = (
    lambda job: wire_alternative_results(job.wire_alternatives),
    lambda job: lead_bundle_results(job.lead_bundle),
)

#: What the bench may show, in the order in which a motor is measured.
READINGS: tuple[Callable[[Job], Iterable[Reading]], ...] = (
    lambda job: (
        pile_reading(job.design.lamination, job.design.shop.measured.pile_of_20),
        stack_reading(job.stack, job.design.measured.stack_height),
    ),
    lambda job: (
        *lead_readings(
            job.design.measured,
            job.resistance,
            job.bench_temp_C,
            level_meaning(
                job.measured_leads,
                job.resistance.lead_at(job.bench_temp_C),
                job.design.winding,
                job.circuit,
                job.layout,
                job.wire,
            ),
        ),
        lead_balance(job.measured_leads, job.resistance, job.circuit),
    ),
    lambda job: (insulation_reading(job.design.measured.insulation, job.bench_temp_C),),
    lambda job: _speed_readings(job),
    lambda job: warming_readings(job.design.measured, job.bench_temp_C, job.warming),
)


def readings(job: Job) -> tuple[Reading, ...]:
    """Return everything that the bench may show, with what the design expects of it.

    What is not measured yet has the verdict "open". What a refused design cannot reach is left out;
    its findings say why.
    """
    found: list[Reading] = []
    for group in READINGS:
        with suppress(Refused):
            found += group(job)
    return tuple(found)


def _speed_readings(job: Job) -> Iterator[Reading]:
    bench, designed = job.design.measured, job.design.motor.speed_constant
    spread = driven_spread(bench)
    uneven = spread is not None and spread > DRIVEN_SPREAD
    balance = driven_balance(spread, job.circuit if uneven else None)
    yield from driven_readings(bench, designed)
    yield balance
    yield constant_reading(designed, job.speed_constant)
    yield no_load_reading(bench.no_load_voltage, bench.no_load_current)


@dataclass(frozen=True)
class Assessment:
    """Findings, most serious first, and flat results with the unit in each key."""

    findings: tuple[Finding, ...]
    results: Results


def assess(job: Job, whole: bool = True) -> Assessment:
    """Run every rule and every calculation; the slow ones only if the `whole` is asked for.

    A calculation that a refused design cannot reach adds nothing; its reason is among the
    findings, once, however many calculations met it.

    Args:
        job: the design.
        whole: whether to run `SLOW_RESULTS` too.
    """
    found: list[Finding] = []
    results: Results = {}
    for check in (*CHECKS, *(_page_checks() if whole else ())):
        try:
            found += check(job)
        except Refused as refused:
            found += refused.findings
    for calculate in (*RESULTS, *(SLOW_RESULTS if whole else ())):
        try:
            results |= calculate(job)
        except Refused as refused:
            found += refused.findings
    unique = list({(f.code, f.field, f.message): f for f in found}.values())
    unique.sort(key=lambda f: LEVELS.index(f.level))
    return Assessment(tuple(unique), {k: _tidy(v) for k, v in results.items()})


def _page_checks() -> tuple[Callable[[Job], list[Finding]], ...]:
    """Return the rules about how a printed page comes out; importing them loads page layout."""

    return (
        template_findings,
        lambda job: hall_jig_findings(
            job.hall_jig_plate, job.design.hall.body_width, job.parts["hall_jig"]
        ),
        lambda job: lead_jig_findings(job.parts["lead_jig"], job.design.lamination.slot_depth),
        lambda job: magnet_ring_findings(job.parts["magnet_ring"]),
        lambda job: tooth_ring_findings(
            job.paper_rings, job.parts["tooth_ring"], job.design.motor.slots
        ),
    )


def _tidy(value: float | int | str) -> float | int | str:
    """Round to 7 significant digits: what survives any processor, and more than anyone measures."""
    return float(f"{value:.7g}") if isinstance(value, float) else value
