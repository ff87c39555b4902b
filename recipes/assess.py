"""Everything that can be said about a design without writing a file: findings and results."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass

from geometry.finding import LEVELS, Finding
from geometry.part import Part
from recipes.assembly.half_section import half_section
from recipes.assembly.rules import assembly_findings
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
from recipes.catalogue import RECIPES, Parts, slot_papers
from recipes.covers.chain_rules import chain_findings, cover_results
from recipes.covers.rules import cover_findings, no_covers_findings, turning_findings
from recipes.design.axle import Axle
from recipes.field.advice import advice_findings
from recipes.heat.adiabatic import heat_results
from recipes.heat.limits import heat_findings
from recipes.heat.steady import steady_heat_results
from recipes.insulation.liner import liner_findings, liner_results, opening_findings
from recipes.insulation.paper_sheets import paper_sheet_findings
from recipes.insulation.strips import slot_strip_results
from recipes.manufacturing.kerf import is_steel, kerf_results
from recipes.manufacturing.kerf_rules import kerf_findings, kerf_gap_findings, kerf_shape_findings
from recipes.manufacturing.nest_plan import nest_findings
from recipes.manufacturing.sheet_rules import sheet_findings
from recipes.manufacturing.stack_rules import stack_findings
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.rotor.hall_jig import hall_jig_findings
from recipes.rotor.hall_sensors import hall_findings, hall_results
from recipes.rotor.magnet_ring import magnet_ring_findings
from recipes.rotor.ring import rotor_ring_findings, rotor_ring_results
from recipes.rotor.voltage import (
    expected_constant,
    predicted_results,
    speed_constant_findings,
    voltage_findings,
    voltage_results,
)
from recipes.searches import paper_rings, thicker_wire, thinner_wire, tight_spots, wire_alternatives
from recipes.shaft.axial_path import AxialPath, axial_findings, axial_path, axial_results
from recipes.shaft.bearing_clearance import clearance_findings, clearance_results
from recipes.shaft.lead_bundle import lead_bundle_findings, lead_bundle_results, lead_count_findings
from recipes.shaft.lead_copper import lead_copper_findings
from recipes.shaft.lead_jig import lead_jig_findings
from recipes.shaft.ring_rules import ring_results
from recipes.shaft.seat_fit import (
    bar_findings,
    bar_measured,
    seat_fit_findings,
    seat_fit_results,
    stock_to_work_down,
)
from recipes.shaft.shrink_fit import shrink_fit_findings, shrink_fit_results
from recipes.shaft.strength import AxleStrength, axle_strength
from recipes.shaft.strength_rules import (
    axle_load_findings,
    axle_strength_findings,
    axle_strength_results,
)
from recipes.shaft.thread_rules import thread_results
from recipes.shaft.torque import torque_findings, torque_results
from recipes.stator.end_cap import end_cap_findings
from recipes.stator.end_edge import step_findings, step_results
from recipes.stator.end_laminations import end_lamination_findings
from recipes.stator.lamination import lamination_results
from recipes.stator.stack import stack_results
from recipes.stator.stack_count import measured_stacking_factor
from recipes.templates import template_findings
from recipes.winding.circuit import connection_findings, connection_results, third_harmonic_share
from recipes.winding.conductors import conductor_findings, conductor_results, packing_results
from recipes.winding.layout import winding_results
from recipes.winding.resistance import (
    links_of,
    winding_resistance_findings,
    winding_resistance_results,
)
from recipes.winding.tight_spot import touching_findings
from recipes.winding.tooth_ring import tooth_ring_findings
from recipes.winding.turn_length import turn_results
from recipes.winding.window import copper_fill_findings, wedge_findings, window_results
from recipes.winding.wire_alternatives import thicker_wire_findings, wire_alternative_results
from recipes.winding.wire_order import wire_order_results
from recipes.winding.wire_run import wire_run_results

Results = dict[str, float | int | str]


def _axial_path(motor: Motor) -> AxialPath | None:
    d = motor.design
    return axial_path(
        d.axle, motor.bearing, motor.sections, motor.axle_strength.load, d.motor.top_speed
    )


def _layout_findings(motor: Motor, _: Parts) -> list[Finding]:
    """Refuse slots and poles that make no winding."""
    assert motor.layout.slots  # looking at it is enough
    return []


def _drawable(recipe: str) -> Callable[[Motor, Parts], list[Finding]]:
    """Return the rule of parts of which nothing is judged but that they can be drawn."""

    def check(_: Motor, parts: Parts) -> list[Finding]:
        assert isinstance(parts[recipe], tuple)
        return []

    return check


def _end_lamination_findings(motor: Motor, parts: Parts) -> list[Finding]:
    lam, steps = motor.design.lamination, motor.design.ends.steps
    (full,) = parts["lamination"]
    wire = motor.wire.overall_max_mm
    return end_lamination_findings(lam, steps, full, motor.slot, wire, motor.process)


def _step_findings(motor: Motor, _: Parts) -> list[Finding]:
    ends, thickness = motor.design.ends, motor.design.lamination.sheet_thickness
    if ends.steps or ends.end_cap:
        return []
    bend, height = motor.turn_lengths.bend_radius_mm, motor.stack.sheet_height
    return step_findings(motor.proposed_ends, motor.wire.bare_mm, bend, height, thickness)


def _lead_bundle_findings(motor: Motor, _: Parts) -> list[Finding]:
    if motor.lead_bundle is None:
        return []
    d = motor.design

    def strength(axle: Axle) -> AxleStrength:
        return axle_strength(axle, d.lamination, d.hub, motor.stack.length)

    return lead_bundle_findings(motor.lead_bundle, d.axle, motor.mouth_radius, strength)


def _steel_parts(motor: Motor, parts: Parts) -> Iterator[Part]:
    """Yield every part cut from the stack's sheet; a recipe that refuses the design says so itself."""
    for recipe in RECIPES:
        if "cut" in recipe.files:
            with suppress(Refused):
                yield from (
                    p for p in parts[recipe.name] if is_steel(p, motor.design.lamination.steel)
                )


def _template_findings(_: Motor, parts: Parts) -> list[Finding]:
    printed = (r.name for r in RECIPES if "print" in r.files and parts[r.name])
    return [f for name in printed for f in template_findings(parts.layout(name))]


def _cover_findings(motor: Motor, _: Parts) -> list[Finding]:
    """Judge covers and stack-up along the axle, or say what cannot be judged without covers."""
    d, closed = motor.design, motor.closed_rotor
    if closed is None or d.covers is None:
        return no_covers_findings(d.rotor, given=d.covers is not None)
    at, ring_ = closed.arranged, motor.bearing
    return [
        *cover_findings(d.covers, d.rotor, at, ring_, closed.bolts, closed.cutter),
        *chain_findings(d.covers, d.axle, at, ring_, closed.put, closed.chains),
        *turning_findings(d.covers, closed.turned, d.motor.top_speed),
    ]


def _advice(motor: Motor, _: Parts) -> list[Finding]:
    """What the field asks of the steel, once it was solved."""
    if motor.field is None:
        return []
    length, stacking = motor.stack.length, motor.stack.factor
    return advice_findings(motor.cross_section, motor.field.figures, length, stacking)


#: Every rule set, in the order of the build. Each returns all of its findings at once.
CHECKS: tuple[Callable[[Motor, Parts], list[Finding]], ...] = (
    _layout_findings,
    lambda motor, _: speed_constant_findings(motor.speed_constant),
    lambda motor, _: voltage_findings(motor.design.motor, motor.speed_constant),
    _advice,
    lambda motor, _: list(motor.slot.notes),
    lambda motor, parts: sheet_findings(
        motor.design, motor.process, motor.slot, parts["lamination"][0].cut[0], motor.stack.factor
    ),
    lambda motor, parts: kerf_shape_findings(
        motor.kerf,
        motor.design.lamination,
        motor.design.hub,
        motor.slot.radii,
        _steel_parts(motor, parts),
    ),
    lambda motor, _: kerf_gap_findings(motor.kerf, motor.design.lamination, motor.design.hub),
    lambda motor, _: kerf_findings(
        motor.kerf, motor.design.shop.measured, motor.design.lamination, motor.stack
    ),
    lambda motor, parts: stack_findings(
        parts["lamination"][0], parts["end_laminations"], motor.design.motor.slots
    ),
    _end_lamination_findings,
    _step_findings,
    lambda _, parts: end_cap_findings(parts["end_cap"]),
    _drawable("end_washer"),
    lambda motor, _: liner_findings(
        motor.liner_size, motor.design.liner, motor.design.motor.supply_voltage
    ),
    _drawable("slot_strips"),
    lambda motor, parts: paper_sheet_findings(slot_papers(parts), motor.design.print),
    lambda motor, _: [
        *opening_findings(
            motor.design.lamination.slot_opening,
            motor.design.liner.thickness,
            motor.wire.overall_max_mm,
            motor.process.tolerance_mm,
        ),
        *copper_fill_findings(motor.window),
        *wedge_findings(motor.window, motor.design.wedge, motor.slot.opening),
    ],
    lambda motor, _: conductor_findings(
        motor.window, motor.conductors, thinner_wire(motor) if motor.conductors.fails_at else None
    ),
    lambda motor, _: touching_findings(tight_spots(motor), motor.window.separator),
    lambda motor, _: thicker_wire_findings(
        thicker_wire(motor),
        motor.design.winding,
        motor.window,
        motor.conductors.turns_that_fit,
        motor.steady_heat.loss_20C_W,
        motor.heating[0].to_touch_s,
    ),
    lambda motor, _: list(motor.end_edge_findings),
    lambda motor, _: winding_resistance_findings(
        motor.resistance,
        motor.design.winding.tail,
        links_of((j for j in motor.joints if j.soldered), motor.layout.slots, motor.root_radius),
    ),
    lambda motor, _: connection_findings(
        motor.circuit.connection, third_harmonic_share(motor.layout)
    ),
    lambda motor, _: heat_findings(motor.design.motor, motor.heating, motor.steady_heat),
    lambda motor, _: list(motor.axle_findings),
    lambda motor, _: lead_copper_findings(motor.design.axle.leads, motor.circuit.lead_current_A),
    lambda motor, _: axle_load_findings(motor.design.axle),
    lambda motor, _: axle_strength_findings(motor.design.axle, motor.axle_strength),
    lambda motor, _: torque_findings(
        motor.design.axle,
        motor.design.hub,
        motor.design.motor.phase_current,
        motor.motor_torque,
        motor.torque_path,
    ),
    lambda motor, _: axial_findings(_axial_path(motor)),
    lambda motor, _: lead_count_findings(motor.design.axle.leads),
    _lead_bundle_findings,
    lambda motor, _: seat_fit_findings(motor.seats, motor.hub_fit, motor.design.axle),
    lambda motor, _: list(clearance_findings(motor.bearing, motor.bearing_clearance)),
    lambda motor, _: (
        bar_findings(motor.design.axle, motor.sections) if bar_measured(motor.design.axle) else []
    ),
    lambda motor, _: shrink_fit_findings(motor.shrink_fits),
    lambda motor, _: hall_findings(
        motor.design.hall,
        motor.hall_plan,
        motor.hall_set,
        motor.hall_pocket,
        motor.design.axle.leads,
    ),
    lambda motor, _: rotor_ring_findings(motor.design.rotor, motor.design.motor, motor.rotor_ring),
    lambda motor, _: assembly_findings(half_section(motor)),
    _cover_findings,
    lambda motor, parts: nest_findings(
        (p for r in RECIPES if "cut" in r.files for p in parts[r.name]),
        motor.design.lamination,
        motor.design.shop,
        motor.kerf,
    ),
    lambda motor, _: measured_findings(readings(motor)),
)

#: Rules about how a printed page comes out: they lay pages out, so a quick look leaves them.
PAGE_CHECKS: tuple[Callable[[Motor, Parts], list[Finding]], ...] = (
    _template_findings,
    lambda motor, parts: hall_jig_findings(
        motor.hall_jig_plate, motor.design.hall.body_width, parts["hall_jig"]
    ),
    lambda motor, parts: lead_jig_findings(parts["lead_jig"], motor.design.lamination.slot_depth),
    lambda _, parts: magnet_ring_findings(parts["magnet_ring"]),
    lambda motor, parts: tooth_ring_findings(
        paper_rings(motor), parts["tooth_ring"], motor.design.motor.slots
    ),
)

#: Every calculation that adds to `results.json`, in the order of its keys.
RESULTS: tuple[Callable[[Motor, Parts], Results], ...] = (
    lambda motor, parts: lamination_results(parts["lamination"][0], motor.slot.radii),
    lambda motor, _: kerf_results(
        motor.kerf,
        motor.design.lamination.bore_diameter,
        measured_stacking_factor(
            motor.design.shop.measured.pile_of_20, motor.design.lamination.sheet_thickness
        ),
    ),
    lambda motor, parts: stack_results(motor.design.lamination, motor.stack, parts.sheets),
    lambda motor, _: step_results(motor.design.ends, motor.proposed_ends, motor.stack.sheet_height),
    lambda motor, parts: liner_results(motor.liner_size, parts["liner"][0].quantity),
    lambda _, parts: slot_strip_results(parts["slot_strips"]),
    lambda motor, _: window_results(motor.window),
    lambda motor, _: packing_results(motor.window, motor.conductors),
    lambda motor, _: conductor_results(motor.conductors) | turn_results(motor.turn_lengths),
    lambda motor, _: winding_results(motor.layout),
    lambda motor, _: wire_order_results(motor.wire_order, motor.tension),
    lambda motor, _: wire_run_results(motor.wire_runs, motor.wire_order.bobbin),
    lambda motor, _: winding_resistance_results(motor.resistance),
    lambda motor, _: connection_results(motor.circuit, motor.layout),
    lambda motor, _: heat_results(motor.heating[0]),
    lambda motor, _: steady_heat_results(motor.steady_heat),
    lambda motor, _: axle_strength_results(motor.design.axle, motor.axle_strength),
    lambda motor, _: torque_results(motor.motor_torque, motor.torque_path),
    lambda motor, _: axial_results(_axial_path(motor)),
    lambda motor, _: thread_results(motor.design.axle),
    lambda motor, _: ring_results(motor.design.axle, motor.sections),
    lambda motor, _: seat_fit_results(
        motor.seats, motor.hub_fit, stock_to_work_down(motor.design.axle)
    ),
    lambda motor, _: clearance_results(motor.bearing_clearance),
    lambda motor, _: shrink_fit_results(motor.shrink_fits, motor.hub_temperature),
    lambda motor, _: hall_results(motor.hall_plan, motor.hall_sets, motor.hall_pocket),
    lambda motor, _: rotor_ring_results(motor.rotor_ring),
    lambda motor, _: cover_results(motor.closed_rotor),
    lambda motor, _: voltage_results(motor.design.motor, motor.speed_constant),
    lambda motor, _: predicted_results(motor.speed_constant),
    lambda motor, _: dict(motor.field.figures) if motor.field else {},
    lambda motor, _: lead_results(motor.measured_leads),
    lambda motor, _: speed_results(motor.speed_constant, motor.measured_leads),
    lambda motor, _: warming_results(motor.warming),
)


#: Calculations that take longer than a quick look may: for files and JSON, not for the screen.
SLOW_RESULTS: tuple[Callable[[Motor, Parts], Results], ...] = (
    lambda motor, _: wire_alternative_results(wire_alternatives(motor)),
    lambda motor, _: lead_bundle_results(motor.lead_bundle),
)


def _speed_readings(motor: Motor) -> Iterator[Reading]:
    bench = motor.design.measured
    designed = expected_constant(motor.design.motor, motor.speed_constant)
    spread = driven_spread(bench)
    uneven = spread is not None and spread > DRIVEN_SPREAD
    balance = driven_balance(spread, motor.circuit if uneven else None)
    yield from driven_readings(bench, designed)
    yield balance
    yield constant_reading(designed, motor.speed_constant)
    yield no_load_reading(bench.no_load_voltage, bench.no_load_current)


#: What the bench may show, in the order in which a motor is measured.
READINGS: tuple[Callable[[Motor], Iterable[Reading]], ...] = (
    lambda motor: (
        pile_reading(motor.design.lamination, motor.design.shop.measured.pile_of_20),
        stack_reading(motor.stack, motor.design.measured.stack_height),
    ),
    lambda motor: (
        *lead_readings(
            motor.design.measured,
            motor.resistance,
            motor.bench_temp_C,
            level_meaning(
                motor.measured_leads,
                motor.resistance.lead_at(motor.bench_temp_C),
                motor.design.winding,
                motor.circuit,
                motor.layout,
                motor.wire,
            ),
        ),
        lead_balance(motor.measured_leads, motor.resistance, motor.circuit),
    ),
    lambda motor: (insulation_reading(motor.design.measured.insulation, motor.bench_temp_C),),
    _speed_readings,
    lambda motor: warming_readings(motor.design.measured, motor.bench_temp_C, motor.warming),
)


def readings(motor: Motor) -> tuple[Reading, ...]:
    """Return everything that the bench may show, with what the design expects of it.

    What is not measured yet has the verdict "open". What a refused design cannot reach is left out;
    its findings say why.
    """
    found: list[Reading] = []
    for group in READINGS:
        with suppress(Refused):
            found += group(motor)
    return tuple(found)


@dataclass(frozen=True)
class Assessment:
    """Findings, most serious first, and flat results with the unit in each key."""

    findings: tuple[Finding, ...]
    results: Results


def assess(motor: Motor, parts: Parts | None = None, *, whole: bool = True) -> Assessment:
    """Run every rule and every calculation; the slow ones only if the `whole` is asked for.

    A calculation that a refused design cannot reach adds nothing; its reason is among the
    findings, once, however many calculations met it.

    Args:
        motor: whose design is judged.
        parts: of that motor, where they are made already.
        whole: whether to run `SLOW_RESULTS` too.
    """
    parts = Parts(motor) if parts is None else parts
    found: list[Finding] = []
    results: Results = {}
    for check in (*CHECKS, *(PAGE_CHECKS if whole else ())):
        try:
            found += check(motor, parts)
        except Refused as refused:
            found += refused.findings
    for calculate in (*RESULTS, *(SLOW_RESULTS if whole else ())):
        try:
            results |= calculate(motor, parts)
        except Refused as refused:
            found += refused.findings
    unique = list({(f.code, f.field, f.message): f for f in found}.values())
    unique = [motor.design.wording.finding(f) for f in unique]
    unique.sort(key=lambda f: LEVELS.index(f.level))
    return Assessment(tuple(unique), {k: _tidy(v) for k, v in results.items()})


def _tidy(value: float | int | str) -> float | int | str:
    """Round to 7 significant digits: what survives any processor, and more than anyone measures."""
    return float(f"{value:.7g}") if isinstance(value, float) else value
