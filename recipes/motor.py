"""From a design to everything that follows from it, each figure worked out once, in one order.

    from recipes import load, solve

    motor = solve(load("wheel.toml"))
    motor.slot.outline.area, motor.conductors.turns_that_fit, motor.resistance.phase_ohm

Every fact is the frozen result of a plain function of a room; only `solve` knows in which order they
follow from each other. What takes long and is not always wanted (searches, tables of other wires)
is no fact: `recipes.searches` works it out for who asks.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256

from geometry.finding import Finding
from recipes.bench.leads import Leads
from recipes.bench.leads import measured_leads as measured_leads_of
from recipes.bench.warming import Warming
from recipes.bench.warming import warming as warming_of
from recipes.covers.closed_rotor import ClosedRotor, close_rotor
from recipes.design import Design
from recipes.drawing_conventions import Imprint
from recipes.field.answer import FieldAnswer
from recipes.field.cross_section import CrossSection
from recipes.field.cross_section import cross_section as cross_section_of
from recipes.field.magnetic_circuit import predicted_constant
from recipes.heat.adiabatic import Heating, heating_of
from recipes.heat.steady import Layer, SteadyHeat, steady_heat_of
from recipes.heat.steady import thermal_layers as thermal_layers_of
from recipes.insulation.liner import LinerSize
from recipes.insulation.liner import liner_size as liner_size_of
from recipes.manufacturing.kerf import Kerf, kerf_of
from recipes.refusal import Refused, known, known_or_none
from recipes.rotor.hall_jig import JigPlate, jig_plate
from recipes.rotor.hall_sensors import (
    HallPlan,
    HallSet,
    Pocket,
    hall_positions,
    legal_sets,
    sensor_pocket,
)
from recipes.rotor.ring import RotorRing
from recipes.rotor.ring import rotor_ring as rotor_ring_of
from recipes.rotor.voltage import SpeedConstant
from recipes.rotor.voltage import speed_constant as speed_constant_of
from recipes.shaft.axle_rules import axle_findings as axle_findings_of
from recipes.shaft.axle_shape import AxleShape
from recipes.shaft.bearing_clearance import ClearanceLeft, clearance_left
from recipes.shaft.key_seat import KeySeats
from recipes.shaft.key_seat import key_seats as key_seats_of
from recipes.shaft.lead_bundle import LeadBundle
from recipes.shaft.lead_bundle import lead_bundle as lead_bundle_of
from recipes.shaft.lead_jig import LeadJig, lead_jig_plate
from recipes.shaft.profile import AxleProfile, Piece, axle_pieces, axle_profile
from recipes.shaft.profile import mouth_radius as mouth_radius_of
from recipes.shaft.profile import slot_piece as slot_piece_of
from recipes.shaft.seat_fit import RingFit, seat_fits
from recipes.shaft.seat_fit import hub_fit as hub_fit_of
from recipes.shaft.seat_steps import steps_of_seats
from recipes.shaft.sections import Section, axle_bearing, axle_sections
from recipes.shaft.sections import jig_hole as jig_hole_of
from recipes.shaft.shrink_fit import ShrinkFit, heat_limit
from recipes.shaft.shrink_fit import hub_temperature as hub_temperature_of
from recipes.shaft.shrink_fit import shrink_fits as shrink_fits_of
from recipes.shaft.strength import AxleStrength
from recipes.shaft.strength import axle_strength as axle_strength_of
from recipes.shaft.torque import TorquePath
from recipes.shaft.torque import motor_torque as motor_torque_of
from recipes.shaft.torque import torque_path as torque_path_of
from recipes.stator.end_edge import (
    Rounding,
    impossible_end_findings,
    propose_rounding,
    sharp_edge_findings,
)
from recipes.stator.end_layers import end_layers, layers_height
from recipes.stator.slot import SlotShape, slot_shape
from recipes.stator.stack_count import Stack, stack_of
from recipes.tables.bearings import Bearing
from recipes.tables.process import Process
from recipes.tables.process import process as process_of
from recipes.tables.wire import Wire
from recipes.winding.circuit import Circuit, Connected, Join, joint_list, legal_paths
from recipes.winding.circuit import circuit as circuit_of
from recipes.winding.circuit import connections as connections_of
from recipes.winding.conductors import (
    ConductorPlacement,
    conductor_placement,
    conductor_wire,
)
from recipes.winding.layout import WindingLayout, layout_or_refuse
from recipes.winding.resistance import WindingResistance, winding_resistance
from recipes.winding.resistance import phase_ohms as phase_ohms_of
from recipes.winding.slot_sections import slot_sections
from recipes.winding.slot_view import WoundSlot
from recipes.winding.turn_length import TurnLengths, paper_on_end
from recipes.winding.turn_length import turn_lengths as turn_lengths_of
from recipes.winding.window import WindingWindow, winding_window
from recipes.winding.wire_order import Tension, WireOrder, tension_of
from recipes.winding.wire_order import wire_order as wire_order_of
from recipes.winding.wire_run import WireRun, runs_of


@dataclass(frozen=True, eq=False)
class Motor:
    """A design and its facts; units in the names, else mm, degC, Ohm, A, V.

    A fact that cannot be had (`recipes.refusal.Missing`) raises `Refused` with the reason when it is
    looked at.

    Args:
        design: as it was validated.
        revision: Short hash of the design, on every sheet: changes whenever a field does.  What was measured on the finished motor is no change of design and does not count.
        wire: The conductor's row of its standard table; Refused if there is none.
        process: What the shop's way of cutting can do.
        kerf: What a cut takes away, and what of it is drawn in; Refused if it was to be measured first.
        slot: The exact tooth and slot.
        window: Winding window of one slot, and its fill figures.
        layout: Phase and sense of every tooth; Refused if slots and poles make no winding.
        stack: Sheet count and height.
        proposed_ends: Round and end sheets to propose where the steel's edges are square.
        conductors: Place of every wire of one coil side.
        turn_lengths: Length of every turn, and wire for coil, phase and motor.
        end_edge_findings: Whether the end edges of the teeth can be made, and whether they spare the wire.
        wound_slot: What is drawn of a slot that is lined and wound.
        liner_size: Measures of the flat liner; Refused if paper does not fit the slot's corners.
        paths: Parallel paths of a phase; Refused if their voltages would differ.
        circuit: How the coils are joined, and the currents in them.
        heating: Adiabatic heating in the design's duty first, at the peak of a sine last.
        thermal_layers: Layers that heat passes, from the copper outwards.
        root_radius: Radius of the bottom of the slots, mm.
        phase_ohms: Resistance of one phase at 20 C in ohm, by legal number of parallel paths.
        resistance: Resistance of coil, phase and lead pair.
        steady_heat: Where the copper settles in the design's duty, with a band.
        rotor_ring: The ring of magnets; None if the design gives none, Refused if they do not go in.
        bench_temp_C: Temperature of the copper when resistances were measured.
        bench_lead_ohm: Resistance between two leads on the bench, measured before designed; 0 if not known.
        cross_section: What the magnetic field is solved in; Refused without magnets.
        field: What the magnetic field says; None until it was solved.
        speed_constant: Speed for one volt: measured, else the lower of typed in and predicted.
        measured_leads: The three lead resistances as measured; None unless all three were typed in.
        warming: The run at a steady current that was measured; None without one.
        hall_plan: All places for Hall sensors; None without sensors.
        hall_sets: Sets of slots for the controller of this design, best first.
        hall_set: The set of slots that this design uses; None without sensors or slots for them.
        hall_pocket: Room for a sensor in the mouth of its slot; None as of `hall_set`.
        sections: Turned sections of the axle from face A to face B; Refused where they overlap.
        jig_hole: Radius in mm of a hole that slides over the axle from face A to the stack.
        hall_jig_plate: Measures of the jig for Hall sensors; None as of `hall_set`.
        bearing: Both bearings of the hub; Refused if the table does not hold them.
        pieces: Pieces of one diameter of the axle, grooves counted.
        profile: Exact profile of the axle; Refused if a round or chamfer leaves nothing of an edge.
        slot_piece: The piece of the axle that the wire slot is cut into; None if it runs over a step.
        key_seats: Seats in the axle for the keys of the stack; None without keys.
        axle_findings: Every finding on the shape of the axle.
        axle_strength: Strength of the axle; Refused if it cannot be judged.
        motor_torque: Torque in Nm at the phase current; None while the speed constant is not known.
        torque_path: What hands the torque on from the stack to the frame; None without a torque.
        axle_shape: The finished axle as it is drawn.
        mouth_radius: Round on the bore's mouth at face A of the axle, mm.
        seats: Play of the bearings on their seats; Refused for a fit that no table holds.
        seat_steps: Steps in which each bearing seat is taken down to size.
        hub_fit: Play of the bearings in the bore of the hub; None beyond the table.
        bearing_clearance: What is left in the bearings after both fits; None beyond the tables.
        shrink_fits: How hot a bearing must be to slide onto its seat, for every seat that may be tight.
        hub_temperature: How hot in degC the hub must be to take its bearings; None where it is never tight.
        closed_rotor: The ring closed by its covers, and the stack-up along the axle; None without covers or ring.
        lead_bundle: The leads in bore and slot; None without leads, or with too many to pack.
        joints: All links of the winding; Refused for parallel paths whose voltages would differ.
        wire_runs: Every wire from cut to cut, in the order of the circuit.
        connections: The same coils joined in every legal way.
        wire_order: How much wire to buy.
        tension: How hard to pull the wire while winding.
        lead_jig: Measures of the jig for the leads.
        imprint: What every sheet says of the design.
    """

    design: Design
    revision: str
    wire: Wire
    process: Process
    kerf: Kerf
    slot: SlotShape
    window: WindingWindow
    layout: WindingLayout
    stack: Stack
    proposed_ends: Rounding
    conductors: ConductorPlacement
    turn_lengths: TurnLengths
    end_edge_findings: tuple[Finding, ...]
    wound_slot: WoundSlot
    liner_size: LinerSize
    paths: int
    circuit: Circuit
    heating: tuple[Heating, ...]
    thermal_layers: tuple[Layer, ...]
    root_radius: float
    phase_ohms: dict[int, float]
    resistance: WindingResistance
    steady_heat: SteadyHeat
    rotor_ring: RotorRing | None
    bench_temp_C: float
    bench_lead_ohm: float
    cross_section: CrossSection
    field: FieldAnswer | None
    speed_constant: SpeedConstant
    measured_leads: Leads | None
    warming: Warming | None
    hall_plan: HallPlan | None
    hall_sets: tuple[HallSet, ...]
    hall_set: HallSet | None
    hall_pocket: Pocket | None
    sections: tuple[Section, ...]
    jig_hole: float
    hall_jig_plate: JigPlate | None
    bearing: Bearing
    pieces: tuple[Piece, ...]
    profile: AxleProfile
    slot_piece: Piece | None
    key_seats: KeySeats | None
    axle_findings: tuple[Finding, ...]
    axle_strength: AxleStrength
    motor_torque: float | None
    torque_path: TorquePath | None
    axle_shape: AxleShape
    mouth_radius: float
    seats: tuple[RingFit, ...]
    seat_steps: tuple[tuple[str, ...], ...]
    hub_fit: RingFit | None
    bearing_clearance: ClearanceLeft | None
    shrink_fits: tuple[ShrinkFit, ...]
    hub_temperature: float | None
    closed_rotor: ClosedRotor | None
    lead_bundle: LeadBundle | None
    joints: tuple[Join, ...]
    wire_runs: tuple[WireRun, ...]
    connections: tuple[Connected, ...]
    wire_order: WireOrder
    tension: Tension
    lead_jig: LeadJig
    imprint: Imprint


def solve(design: Design, field: FieldAnswer | None = None) -> Motor:
    """Return the facts of a validated design, with the answer of its magnetic field if it is known.

    Nothing is raised here: a fact that cannot be had says why when it is looked at.
    """
    lam = design.lamination
    revision = known(
        lambda: sha256(design.model_dump_json(exclude={"measured"}).encode()).hexdigest()[:8]
    )
    wire = known(lambda: conductor_wire(design.winding))
    process = known(lambda: process_of(design.shop.process))
    kerf = known(lambda: kerf_of(design.shop))
    slot = known(lambda: slot_shape(design.lamination, design.motor.slots, wire.overall_max_mm))
    window = known(
        lambda: winding_window(
            slot_sections(design, slot, wire.overall_max_mm),
            wire,
            design.winding,
            design.liner.thickness,
            design.wedge,
            design.separator.thickness,
        )
    )
    layout = known(
        lambda: layout_or_refuse(design.motor.slots, design.motor.poles, design.winding.coil_sides)
    )
    stack = known(lambda: stack_of(lam, design.ends.steps, design.shop.measured.pile_of_20))
    proposed_ends = known(
        lambda: propose_rounding(
            wire.bare_mm, slot.tooth_width, stack, process, design.lamination.sheet_thickness
        )
    )
    conductors = known(
        lambda: conductor_placement(
            window, slot, design.winding.lay, design.winding.crossing_allowance
        )
    )
    turn_lengths = known(
        lambda: turn_lengths_of(
            conductors,
            slot,
            stack,
            design.ends,
            design.end_washer.thickness + paper_on_end(design.liner),
            design.winding,
        )
    )

    def end_edge_findings_() -> tuple[Finding, ...]:
        ends, bare = design.ends, wire.bare_mm
        wrong = impossible_end_findings(ends, slot.tooth_width, stack.sheets)
        if wrong:
            return tuple(wrong)
        turns = turn_lengths
        return tuple(sharp_edge_findings(ends, bare, turns.edge_radius_mm, turns.bend_radius_mm))

    end_edge_findings = known(end_edge_findings_)
    wound_slot = known(lambda: WoundSlot(slot, window, conductors, wire))
    liner_size = known(
        lambda: liner_size_of(
            design.liner,
            slot.wall,
            stack.length,
            layers_height(end_layers(design.ends.end_cap, design.end_washer)),
        )
    )
    paths = known(lambda: legal_paths(layout, design.winding.parallel_paths))
    circuit = known(
        lambda: circuit_of(
            layout,
            paths,
            design.winding.connection,
            design.winding,
            design.motor,
            wire.copper_area_mm2,
        )
    )
    heating = known(
        lambda: heating_of(design.motor, design.winding, circuit.current_density_A_per_mm2)
    )
    thermal_layers = known(lambda: thermal_layers_of(design, slot, window, stack.length))
    root_radius = known(lambda: lam.outer_diameter / 2.0 - lam.slot_depth)
    phase_ohms = known(
        lambda: phase_ohms_of(layout, design.winding, wire, turn_lengths.coil_wire_m, root_radius)
    )
    joints = known(lambda: joint_list(layout, paths, design.winding.run))
    wire_runs = known(
        lambda: runs_of(
            joints, layout.slots, root_radius, design.winding, turn_lengths.coil_wire_m, wire
        )
    )
    resistance = known(
        lambda: winding_resistance(
            circuit, design.winding, wire, min(run.ohm for run in wire_runs), phase_ohms
        )
    )
    steady_heat = known(
        lambda: steady_heat_of(
            design.motor,
            float(design.winding.enamel_class),
            heating[0].case,
            thermal_layers,
            resistance.phase_ohm,
        )
    )
    rotor_ring = known(
        lambda: rotor_ring_of(design.rotor, design.motor, design.lamination, process.tolerance_mm)
    )
    bench_temp_C = known(lambda: design.measured.temperature(design.winding.room_temperature))

    def bench_lead_ohm_() -> float:
        mean = design.measured.lead_mean
        if mean is not None:
            return mean
        with suppress(Refused):
            return resistance.lead_at(bench_temp_C)
        return 0.0

    bench_lead_ohm = known(bench_lead_ohm_)
    cross_section = known(
        lambda: cross_section_of(
            slot,
            design.lamination,
            design.hub,
            window.wedge_span[1],
            design.rotor,
            rotor_ring,
            stack.length,
        )
    )

    steel = design.lamination.steel
    by_hand = known_or_none(
        lambda: predicted_constant(cross_section, steel, stack.factor, circuit, layout)
    )
    speed_constant = known(
        lambda: speed_constant_of(
            design.motor,
            design.measured,
            bench_lead_ohm if design.measured.no_load_current else 0.0,
            field.prediction if field else by_hand,
        )
    )
    measured_leads = known(
        lambda: measured_leads_of(design.measured, bench_temp_C, design.winding.connection)
    )
    warming = known(
        lambda: warming_of(
            design.measured, bench_temp_C, None if design.measured.warm_current is None else circuit
        )
    )
    hall_plan = known(
        lambda: (
            hall_positions(design.motor.slots, design.motor.poles, design.winding.coil_sides)
            if design.hall.sensors
            else None
        )
    )
    hall_sets = known(lambda: legal_sets(hall_plan, design.hall.arrangement) if hall_plan else ())
    hall_set = known(lambda: next(iter(hall_sets), None))
    hall_pocket = known(
        lambda: (
            sensor_pocket(design.hall, lam.outer_diameter / 2, lam.tip_thickness, slot)
            if hall_set
            else None
        )
    )
    bore = lam.bore_diameter
    sections = known(lambda: axle_sections(design.axle, bore, stack.length))
    jig_hole = known(lambda: jig_hole_of(sections, bore))

    def hall_jig_plate_() -> JigPlate | None:
        if hall_set is None:
            return None
        return jig_plate(design.hall, lam.outer_diameter, jig_hole, hall_set)

    hall_jig_plate = known(hall_jig_plate_)
    bearing = known(lambda: axle_bearing(design.axle.bearing))
    pieces = known(lambda: axle_pieces(design.axle, sections))
    profile = known(lambda: axle_profile(design.axle, bearing, pieces))
    slot_piece = known(lambda: slot_piece_of(design.axle, pieces, profile))
    key_seats = known(lambda: key_seats_of(design.hub.keyway, design.axle, bore, stack.length))
    axle_findings = known(
        lambda: tuple(axle_findings_of(design.axle, design.lamination, design.hub, stack.length))
    )
    axle_strength = known(
        lambda: axle_strength_of(design.axle, design.lamination, design.hub, stack.length)
    )
    motor_torque = known(
        lambda: motor_torque_of(
            design.motor.phase_current, speed_constant.per_min_V, design.winding.connection
        )
    )

    def torque_path_() -> TorquePath | None:
        axle, bore = design.axle, design.lamination.bore_diameter
        if axle.load.torque == 0.0:
            return None
        return torque_path_of(axle, bore, stack.length, stack.factor, key_seats, pieces)

    torque_path = known(torque_path_)
    axle_shape = known(lambda: AxleShape(design.axle, sections, pieces, profile, key_seats))
    mouth_radius = known(lambda: mouth_radius_of(design.axle, pieces))
    seats = known(lambda: seat_fits(bearing, design.axle.seats))
    seat_steps = known(
        lambda: steps_of_seats(seats, design.axle, max(s.diameter for s in sections))
    )
    hub_fit = known(lambda: hub_fit_of(bearing, design.axle))
    bearing_clearance = known(
        lambda: clearance_left(bearing, seats, hub_fit, design.axle.bore_diameter)
    )
    shrink_fits = known(
        lambda: shrink_fits_of(
            seats,
            design.axle.mounting_gap,
            design.winding.room_temperature,
            heat_limit(bearing, design.axle.grease_limit),
        )
    )
    hub_temperature = known(
        lambda: hub_temperature_of(
            hub_fit, design.axle.mounting_gap, design.winding.room_temperature
        )
    )
    closed_rotor = known(
        lambda: close_rotor(design, rotor_ring, bearing, sections, stack, turn_lengths)
    )
    lead_bundle = known(lambda: lead_bundle_of(design.axle))
    connections = known(
        lambda: connections_of(circuit, layout, design.winding, design.motor, phase_ohms)
    )
    wire_order = known(lambda: wire_order_of(wire_runs, turn_lengths, wire, design.winding))
    tension = known(lambda: tension_of(wire.copper_area_mm2, design.winding.strands))
    lead_jig = known(
        lambda: lead_jig_plate(design.lamination, design.axle, jig_hole, layout, joints)
    )
    imprint = known(
        lambda: Imprint(design.name, design.slug, revision, design.units == "in", design.print)
    )

    return Motor(
        design=design,
        revision=revision,
        wire=wire,
        process=process,
        kerf=kerf,
        slot=slot,
        window=window,
        layout=layout,
        stack=stack,
        proposed_ends=proposed_ends,
        conductors=conductors,
        turn_lengths=turn_lengths,
        end_edge_findings=end_edge_findings,
        wound_slot=wound_slot,
        liner_size=liner_size,
        paths=paths,
        circuit=circuit,
        heating=heating,
        thermal_layers=thermal_layers,
        root_radius=root_radius,
        phase_ohms=phase_ohms,
        resistance=resistance,
        steady_heat=steady_heat,
        rotor_ring=rotor_ring,
        bench_temp_C=bench_temp_C,
        bench_lead_ohm=bench_lead_ohm,
        cross_section=cross_section,
        field=field,
        speed_constant=speed_constant,
        measured_leads=measured_leads,
        warming=warming,
        hall_plan=hall_plan,
        hall_sets=hall_sets,
        hall_set=hall_set,
        hall_pocket=hall_pocket,
        sections=sections,
        jig_hole=jig_hole,
        hall_jig_plate=hall_jig_plate,
        bearing=bearing,
        pieces=pieces,
        profile=profile,
        slot_piece=slot_piece,
        key_seats=key_seats,
        axle_findings=axle_findings,
        axle_strength=axle_strength,
        motor_torque=motor_torque,
        torque_path=torque_path,
        axle_shape=axle_shape,
        mouth_radius=mouth_radius,
        seats=seats,
        seat_steps=seat_steps,
        hub_fit=hub_fit,
        bearing_clearance=bearing_clearance,
        shrink_fits=shrink_fits,
        hub_temperature=hub_temperature,
        closed_rotor=closed_rotor,
        lead_bundle=lead_bundle,
        joints=joints,
        wire_runs=wire_runs,
        connections=connections,
        wire_order=wire_order,
        tension=tension,
        lead_jig=lead_jig,
        imprint=imprint,
    )
