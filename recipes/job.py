"""A design with everything that follows from it, each worked out once and only when asked for."""

from __future__ import annotations

from contextlib import suppress
from functools import cached_property
from typing import TYPE_CHECKING

from geometry.finding import Finding
from recipes.design import Design
from recipes.heat.adiabatic import Heating, heating_of
from recipes.heat.steady import Layer, SteadyHeat, steady_heat_of, thermal_layers
from recipes.insulation.liner import LinerSize, liner_size
from recipes.manufacturing.kerf import Kerf, kerf_of
from recipes.refusal import Refused, stop
from recipes.rotor.hall_sensors import (
    HallPlan,
    HallSet,
    Pocket,
    hall_positions,
    legal_sets,
    sensor_pocket,
)
from recipes.rotor.ring import RotorRing, rotor_ring
from recipes.rotor.voltage import SpeedConstant, speed_constant
from recipes.shaft.axle_rules import axle_findings
from recipes.shaft.axle_shape import AxleShape
from recipes.shaft.key_seat import KeySeats, key_seats
from recipes.shaft.lead_bundle import LeadBundle, lead_bundle
from recipes.shaft.profile import (
    AxleProfile,
    Piece,
    axle_pieces,
    axle_profile,
    mouth_radius,
    slot_piece,
)
from recipes.shaft.seat_fit import RingFit, hub_fit, seat_fits
from recipes.shaft.sections import Section, axle_bearing, axle_sections, jig_hole
from recipes.shaft.shrink_fit import ShrinkFit, heat_limit, hub_temperature, shrink_fits
from recipes.shaft.strength import AxleStrength, axle_strength
from recipes.shaft.torque import TorquePath, motor_torque, torque_path
from recipes.stator.end_edge import (
    Rounding,
    impossible_end_findings,
    propose_rounding,
    sharp_edge_findings,
)
from recipes.stator.slot import SlotShape, slot_shape
from recipes.stator.stack_count import Stack, stack_of
from recipes.tables.bearings import Bearing
from recipes.tables.process import Process, process
from recipes.tables.reader import TableError
from recipes.tables.wire import Wire, find_wire
from recipes.winding.circuit import (
    Circuit,
    Connected,
    Join,
    circuit,
    connections,
    joint_list,
    legal_paths,
)
from recipes.winding.conductors import ConductorPlacement, conductor_placement, wire_that_fits
from recipes.winding.layout import WindingLayout, layout_or_refuse
from recipes.winding.resistance import (
    Link,
    WindingResistance,
    links_of,
    phase_ohms,
    winding_resistance,
)
from recipes.winding.slot_view import WoundSlot
from recipes.winding.tight_spot import TightSpot, tight_spots
from recipes.winding.tooth_ring import PaperRing, paper_rings
from recipes.winding.turn_length import TurnLengths, paper_on_end, turn_lengths
from recipes.winding.window import WindingWindow, winding_window
from recipes.winding.wire_alternatives import WireAlternative, wire_alternatives
from recipes.winding.wire_order import Tension, WireOrder, tension_of, wire_order

if TYPE_CHECKING:
    from geometry.part import Part
    from geometry.printing.page_layout import Layout
    from recipes.bench.leads import Leads
    from recipes.bench.warming import Warming
    from recipes.drawing_conventions import Imprint
    from recipes.rotor.hall_jig import JigPlate
    from recipes.shaft.lead_jig import LeadJig


class _Parts(dict[str, "tuple[Part, ...]"]):
    """Makes the parts of a recipe when they are first asked for."""

    def __init__(self, job: Job) -> None:
        super().__init__()
        self._job = job

    def __missing__(self, name: str) -> tuple[Part, ...]:
        from recipes.catalogue import RECIPES

        made = next(r for r in RECIPES if r.name == name).make(self._job)
        self[name] = made
        return made


class Job:
    """What every recipe takes: the validated design and its derived facts.

    A fact that cannot be had raises `Refused` with the reason, each time it is asked for.
    """

    def __init__(self, design: Design) -> None:
        """Take a validated design.

        Args:
            design: what to make.
        """
        self.design = design
        #: Pages of paper parts by their first part's name; see `recipes.build.templates`.
        self.layouts: dict[str, Layout] = {}

    @cached_property
    def revision(self) -> str:
        """Short hash of the design, on every sheet: changes whenever a field does.

        What was measured on the finished motor is no change of design and does not count.
        """
        from hashlib import sha256

        return sha256(self.design.model_dump_json(exclude={"measured"}).encode()).hexdigest()[:8]

    @cached_property
    def wire(self) -> Wire:
        """The conductor's row of its standard table; Refused if there is none."""
        w = self.design.winding
        try:
            return find_wire(w.wire, w.grade)
        except (TableError, ValueError) as error:
            raise Refused(
                stop(
                    "no-such-wire",
                    "winding.wire",
                    f"winding.wire = {w.wire!r}, grade {w.grade}: {error}",
                    value=str(w.wire),
                    fix="use a size of the table: `lookup wire` lists neighbours",
                    source="IEC 60317-0-1, NEMA MW 1000",
                )
            ) from None

    @cached_property
    def process(self) -> Process:
        """What the shop's way of cutting can do."""
        return process(self.design.shop.process)

    @cached_property
    def kerf(self) -> Kerf:
        """What a cut takes away, and what of it is drawn in; Refused if it was to be measured first."""
        return kerf_of(self.design.shop)

    @cached_property
    def slot(self) -> SlotShape:
        """The exact tooth and slot."""
        d = self.design
        return slot_shape(d.lamination, d.motor.slots, self.wire.overall_max_mm)

    @cached_property
    def window(self) -> WindingWindow:
        """Winding window of one slot, and its fill figures."""
        d = self.design
        paper, separator = d.liner.thickness, d.separator.thickness
        return winding_window(self.slot, self.wire, d.winding, paper, d.wedge, separator)

    @cached_property
    def layout(self) -> WindingLayout:
        """Phase and sense of every tooth; Refused if slots and poles make no winding."""
        motor = self.design.motor
        return layout_or_refuse(motor.slots, motor.poles, self.design.winding.coil_sides)

    @cached_property
    def parts(self) -> dict[str, tuple[Part, ...]]:
        """Parts of every recipe of the catalogue, by the recipe's name, made when first read."""
        return _Parts(self)

    @cached_property
    def stack(self) -> Stack:
        """Sheet count and height."""
        d = self.design
        return stack_of(d.lamination, d.ends.steps, d.shop.measured.pile_of_20)

    @cached_property
    def sheets(self) -> tuple[Part, ...]:
        """The lamination, then the sheets of the end steps; Refused if one cannot be drawn."""
        return (*self.parts["lamination"], *self.parts["end_laminations"])

    @cached_property
    def proposed_ends(self) -> Rounding:
        """Round and end sheets to propose where the steel's edges are square."""
        thickness = self.design.lamination.sheet_thickness
        width, bare = self.slot.tooth_width, self.wire.bare_mm
        return propose_rounding(bare, width, self.stack, self.process, thickness)

    @cached_property
    def end_edge_findings(self) -> tuple[Finding, ...]:
        """Whether the end edges of the teeth can be made, and whether they spare the wire."""
        ends, bare = self.design.ends, self.wire.bare_mm
        wrong = impossible_end_findings(ends, self.slot.tooth_width, self.stack.sheets)
        if wrong:
            return tuple(wrong)
        turns = self.turn_lengths
        return tuple(sharp_edge_findings(ends, bare, turns.edge_radius_mm, turns.bend_radius_mm))

    @cached_property
    def wound_slot(self) -> WoundSlot:
        """What is drawn of a slot that is lined and wound."""
        overlap = self.design.wedge.overlap
        return WoundSlot(self.slot, self.window, self.conductors, self.wire, overlap)

    @cached_property
    def liner_size(self) -> LinerSize:
        """Measures of the flat liner; Refused if paper does not fit the slot's corners."""
        return liner_size(self.design.liner, self.slot.wall, self.stack.length)

    @cached_property
    def heating(self) -> tuple[Heating, ...]:
        """Adiabatic heating in the design's duty first, at the peak of a sine last."""
        d = self.design
        return heating_of(d.motor, d.winding, self.circuit.current_density_A_per_mm2)

    @cached_property
    def thermal_layers(self) -> tuple[Layer, ...]:
        """Layers that heat passes, from the copper outwards."""
        return thermal_layers(self.design, self.slot, self.window, self.stack.length)

    @cached_property
    def steady_heat(self) -> SteadyHeat:
        """Where the copper settles in the design's duty, with a band."""
        motor, winding = self.design.motor, self.design.winding
        case, layers = self.heating[0].case, self.thermal_layers
        ohm = self.resistance.phase_ohm
        return steady_heat_of(motor, float(winding.enamel_class), case, layers, ohm)

    @cached_property
    def conductors(self) -> ConductorPlacement:
        """Place of every wire of one coil side."""
        winding = self.design.winding
        return conductor_placement(self.window, self.slot, winding.lay, winding.crossing_allowance)

    @cached_property
    def thinner_wire(self) -> Wire | None:
        """The next thinner wire of which all turns go in; None if none does."""
        d = self.design

        def lined(wire: Wire) -> tuple[SlotShape, WindingWindow]:
            slot = slot_shape(d.lamination, d.motor.slots, wire.overall_max_mm)
            paper, separator = d.liner.thickness, d.separator.thickness
            return slot, winding_window(slot, wire, d.winding, paper, d.wedge, separator)

        allowance = d.winding.crossing_allowance
        return wire_that_fits(self.wire, self.conductors, allowance, lined)

    @cached_property
    def turn_lengths(self) -> TurnLengths:
        """Length of every turn, and wire for coil, phase and motor."""
        d, placed = self.design, self.conductors
        over_end = d.end_washer.thickness + paper_on_end(d.liner)
        return turn_lengths(placed, self.slot, self.stack, d.ends, over_end, d.winding)

    @cached_property
    def tight_spots(self) -> tuple[TightSpot, ...]:
        """Where least is left in the wound slot, the tightest first."""
        gap = self.design.liner.mouth_gap
        return tight_spots(self.slot, self.window, self.conductors, gap)

    @cached_property
    def paper_rings(self) -> tuple[PaperRing, ...]:
        """Paper rings for both ends of the stator."""
        d, steps = self.design, self.design.ends.steps
        narrower = steps[-1].narrower_by if steps else 0.0
        return paper_rings(d.lamination, self.slot, narrower, d.hub, d.axle, d.print)

    @cached_property
    def rotor_ring(self) -> RotorRing | None:
        """The ring of magnets; None if the design gives none, Refused if they do not go in."""
        d = self.design
        return rotor_ring(d.rotor, d.motor, d.lamination, self.process.tolerance_mm)

    @cached_property
    def speed_constant(self) -> SpeedConstant:
        """Speed for one volt, as measured before as designed."""
        bench = self.design.measured
        return speed_constant(
            self.design.motor, bench, self._bench_lead_ohm if bench.no_load_current else 0.0
        )

    @property
    def _bench_lead_ohm(self) -> float:
        """Resistance between two leads on the bench, measured before designed; 0 if not known."""
        mean = self.design.measured.lead_mean
        if mean is not None:
            return mean
        with suppress(Refused):
            return self.resistance.lead_at(self.bench_temp_C)
        return 0.0

    @cached_property
    def bench_temp_C(self) -> float:
        """Temperature of the copper when resistances were measured."""
        return self.design.measured.temperature(self.design.winding.room_temperature)

    @cached_property
    def measured_leads(self) -> Leads | None:
        """The three lead resistances as measured; None unless all three were typed in."""
        from recipes.bench.leads import measured_leads

        d = self.design
        return measured_leads(d.measured, self.bench_temp_C, d.winding.connection)

    @cached_property
    def warming(self) -> Warming | None:
        """The run at a steady current that was measured; None without one."""
        from recipes.bench.warming import warming

        bench = self.design.measured
        circuit = None if bench.warm_current is None else self.circuit
        return warming(bench, self.bench_temp_C, circuit)

    @cached_property
    def hall_plan(self) -> HallPlan | None:
        """All places for Hall sensors; None without sensors."""
        motor, sides = self.design.motor, self.design.winding.coil_sides
        return hall_positions(motor.slots, motor.poles, sides) if self.design.hall.sensors else None

    @cached_property
    def hall_sets(self) -> tuple[HallSet, ...]:
        """Sets of slots for the controller of this design, best first."""
        return legal_sets(self.hall_plan, self.design.hall.arrangement) if self.hall_plan else ()

    @cached_property
    def hall_set(self) -> HallSet | None:
        """The set of slots that this design uses; None without sensors or slots for them."""
        return next(iter(self.hall_sets), None)

    @cached_property
    def hall_pocket(self) -> Pocket | None:
        """Room for a sensor in the mouth of its slot; None as of `hall_set`."""
        d = self.design
        radius, tip = d.lamination.outer_diameter / 2, d.lamination.tip_thickness
        return sensor_pocket(d.hall, radius, tip, self.slot) if self.hall_set else None

    @cached_property
    def hall_jig_plate(self) -> JigPlate | None:
        """Measures of the jig for Hall sensors; None as of `hall_set`."""
        from recipes.rotor.hall_jig import jig_plate

        if self.hall_set is None:
            return None
        d = self.design
        return jig_plate(d.hall, d.lamination.outer_diameter, self.jig_hole, self.hall_set)

    @cached_property
    def jig_hole(self) -> float:
        """Radius in mm of a hole that slides over the axle from face A to the stack."""
        return jig_hole(self.sections, self.design.lamination.bore_diameter)

    @cached_property
    def wire_alternatives(self) -> tuple[WireAlternative, ...]:
        """Neighbouring wires and strand counts, best first; takes some hundredths of a second."""
        d, rate = self.design, self.heating[0].rate_K_per_s
        opening = d.lamination.slot_opening, self.process.tolerance_mm
        return wire_alternatives(self.wire, d.winding, self.window, opening, rate)

    @cached_property
    def bearing(self) -> Bearing:
        """Both bearings of the hub; Refused if the table does not hold them."""
        return axle_bearing(self.design.axle.bearing)

    @cached_property
    def sections(self) -> tuple[Section, ...]:
        """Turned sections of the axle from face A to face B; Refused where they overlap."""
        return axle_sections(self.design.axle, self.design.lamination.bore_diameter)

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Pieces of one diameter of the axle, grooves counted."""
        return axle_pieces(self.design.axle, self.sections)

    @cached_property
    def profile(self) -> AxleProfile:
        """Exact profile of the axle; Refused if a round or chamfer leaves nothing of an edge."""
        return axle_profile(self.design.axle, self.bearing, self.pieces)

    @cached_property
    def slot_piece(self) -> Piece | None:
        """The piece of the axle that the wire slot is cut into; None if it runs over a step."""
        return slot_piece(self.design.axle, self.pieces, self.profile)

    @cached_property
    def key_seats(self) -> KeySeats | None:
        """Seats in the axle for the keys of the stack; None without keys."""
        d = self.design
        return key_seats(d.hub.keyway, d.axle, d.lamination.bore_diameter, self.stack.length)

    @cached_property
    def axle_findings(self) -> tuple[Finding, ...]:
        """Every finding on the shape of the axle."""
        d = self.design
        return tuple(axle_findings(d.axle, d.lamination, d.hub, self.stack.length))

    @cached_property
    def axle_strength(self) -> AxleStrength:
        """Strength of the axle; Refused if it cannot be judged."""
        d = self.design
        return axle_strength(d.axle, d.lamination, d.hub, self.stack.length)

    @cached_property
    def motor_torque(self) -> float | None:
        """Torque in Nm at the phase current; None while the speed constant is not known."""
        return motor_torque(self.design.motor, self.design.winding.connection)

    @cached_property
    def torque_path(self) -> TorquePath | None:
        """What hands the torque on from the stack to the frame; None without a torque."""
        axle, bore = self.design.axle, self.design.lamination.bore_diameter
        if axle.load.torque == 0.0:
            return None
        length, steel = self.stack.length, self.stack.factor
        return torque_path(axle, bore, length, steel, self.key_seats, self.pieces)

    @cached_property
    def axle_shape(self) -> AxleShape:
        """The finished axle as it is drawn."""
        return AxleShape(self.design.axle, self.sections, self.pieces, self.profile, self.key_seats)

    @cached_property
    def mouth_radius(self) -> float:
        """Round on the bore's mouth at face A of the axle, mm."""
        given = self.design.axle.bore_mouth_radius
        return mouth_radius(self.design.axle, self.pieces) if given is None else given

    @cached_property
    def seats(self) -> tuple[RingFit, ...]:
        """Play of the bearings on their seats; Refused for a fit that no table holds."""
        return seat_fits(self.bearing, self.design.axle.seats)

    @cached_property
    def seat_steps(self) -> tuple[tuple[str, ...], ...]:
        """Steps in which each bearing seat is taken down to size."""
        from recipes.shaft.seat_steps import steps_of_seats

        return steps_of_seats(self.seats, self.design.axle, max(s.diameter for s in self.sections))

    @cached_property
    def hub_fit(self) -> RingFit | None:
        """Play of the bearings in the recommended bore of the hub; None beyond the table."""
        return hub_fit(self.bearing)

    @cached_property
    def shrink_fits(self) -> tuple[ShrinkFit, ...]:
        """How hot a bearing must be to slide onto its seat, for every seat that may be tight."""
        gap, room = self.design.axle.mounting_gap, self.design.winding.room_temperature
        limit = heat_limit(self.bearing, self.design.axle.grease_limit)
        return shrink_fits(self.seats, gap, room, limit)

    @cached_property
    def hub_temperature(self) -> float | None:
        """How hot in degC the hub must be to take its bearings; None where it is never tight."""
        gap, room = self.design.axle.mounting_gap, self.design.winding.room_temperature
        return hub_temperature(self.hub_fit, gap, room)

    @cached_property
    def lead_bundle(self) -> LeadBundle | None:
        """The leads in bore and slot; None without leads, or with too many to pack."""
        return lead_bundle(self.design.axle)

    @cached_property
    def joints(self) -> tuple[Join, ...]:
        """All joints of the winding; Refused for parallel paths whose voltages would differ."""
        return joint_list(self.layout, self.paths)

    @cached_property
    def paths(self) -> int:
        """Parallel paths of a phase; Refused if their voltages would differ."""
        return legal_paths(self.layout, self.design.winding.parallel_paths)

    @cached_property
    def links(self) -> tuple[Link, ...]:
        """Wire between the coils."""
        return links_of(self.joints, self.design.motor.slots, self._root_radius)

    @property
    def _root_radius(self) -> float:
        lam = self.design.lamination
        return lam.outer_diameter / 2.0 - lam.slot_depth

    @cached_property
    def circuit(self) -> Circuit:
        """How the coils are joined, and the currents in them."""
        winding, paths, area = self.design.winding, self.paths, self.wire.copper_area_mm2
        return circuit(self.layout, paths, winding.connection, winding, self.design.motor, area)

    @cached_property
    def connections(self) -> tuple[Connected, ...]:
        """The same coils joined in every legal way."""
        own, motor = self.circuit, self.design.motor
        return connections(own, self.layout, self.design.winding, motor, self.phase_ohms)

    @cached_property
    def phase_ohms(self) -> dict[int, float]:
        """Resistance of one phase at 20 C in ohm, by legal number of parallel paths."""
        coil_m = self.turn_lengths.coil_wire_m
        return phase_ohms(self.layout, self.design.winding, self.wire, coil_m, self._root_radius)

    @cached_property
    def resistance(self) -> WindingResistance:
        """Resistance of coil, phase and lead pair."""
        own, coil_m = self.circuit, self.turn_lengths.coil_wire_m
        return winding_resistance(own, self.design.winding, self.wire, coil_m, self.phase_ohms)

    @cached_property
    def wire_order(self) -> WireOrder:
        """How much wire to buy."""
        own, spare = self.circuit, self.design.winding.spare_phases
        return wire_order(own, self.turn_lengths, self.wire, spare)

    @cached_property
    def tension(self) -> Tension:
        """How hard to pull the wire while winding."""
        return tension_of(self.wire.copper_area_mm2, self.design.winding.strands)

    @cached_property
    def lead_jig(self) -> LeadJig:
        """Measures of the jig for the leads."""
        from recipes.shaft.lead_jig import lead_jig_plate

        d = self.design
        return lead_jig_plate(d.lamination, d.axle, self.jig_hole, self.layout, self.joints)

    @cached_property
    def imprint(self) -> Imprint:
        """What every sheet says of the design."""
        from recipes.drawing_conventions import Imprint

        d = self.design
        return Imprint(d.name, d.slug, self.revision, d.units == "in", d.print)
