"""What is bought besides the parts: wire, insulation, bearings, cable, glue, screws, magnets.

Shares and spares are common practice.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from geometry.part import Part
from recipes.design.axle import Axle, Lead
from recipes.design.lamination import Bolts
from recipes.design.rotor import Hall, Rotor
from recipes.design.units import MM_PER_INCH, counted
from recipes.manufacturing.order_line import (
    PRACTICE,
    OrderLine,
    both_units,
    plain,
    sheet_area,
    words_for,
)
from recipes.rotor.ring import RotorRing
from recipes.shaft.bearing_clearance import ClearanceLeft
from recipes.shaft.end_thread import ThreadedEnd
from recipes.shaft.key_seat import KeySeats
from recipes.shaft.ring_groove import RingGroove
from recipes.stator.stack_count import GLUED_FACTOR, Stack
from recipes.tables.bearings import Bearing, is_inch
from recipes.tables.lead_section import SIGNAL_MM2, SOURCE, LeadSection, lead_section, section_of
from recipes.tables.steel_tubes import tube_of_axle
from recipes.tables.threads import ScrewThread
from recipes.tables.wire import Wire
from recipes.winding.circuit import Circuit
from recipes.winding.window import WindingWindow
from recipes.winding.wire_order import WireOrder

#: Between two pieces that are cut with a knife, mm, and what is bought beyond them.
KNIFE_GAP, PAPER_SPARE = 4.0, 1.25

#: Words for what a merchant of winding wire sells in sheets and rolls.
INSULATION: Final = ("aramid", "polyester", "pressboard", "glass laminate")

#: Sheet lost at the edges of a blank and between round parts.
SHEET_SPARE: Final = 1.3

#: Bar longer than the axle: both faces turned and one saw cut, mm.
BAR_ALLOWANCE: Final = 10.0

#: Carbon and stainless steel bar, kg/m3 (7850 to 7900 in handbooks).
BAR_DENSITY: Final = 7850.0

#: Cable outside the axle, mm, where it is not known how the frame is wired.
CABLE_OUTSIDE: Final = 600.0

#: Enamel up to this class solders through.
SOLDERS_THROUGH: Final = 155

#: Glue mixed for what stays between the sheets: squeezed out, left in the pot.
GLUE_SPARE: Final = 3.0

#: Resin or varnish for the room between wires: coil ends hold as much again, half runs off.
RESIN_SPARE: Final = 3.0

#: Magnets that break or are lost, as a share.
MAGNET_SPARE: Final = 0.05

_PINCH: Final = (
    "strong magnets jump, pinch and splinter: goggles, gloves, one at a time; 30 cm from "
    "pacemakers, cards and meters; never grind or drill them"
)


def wire_line(order: WireOrder, wire: Wire, enamel_class: int, per_kg: float | None) -> OrderLine:
    """Return the winding wire; `per_kg` is the user's price."""
    reels = ", ".join(
        f"{len(list(same))} of {plain(mass)} kg"
        for mass, same in itertools.groupby(order.spools_kg)
    )
    solder = "solders through" if enamel_class <= SOLDERS_THROUGH else "does not solder through"
    spare = f", {order.spare_phases} spare phase" if order.spare_phases else ""
    return OrderLine(
        "enamelled copper winding wire, round",
        math.ceil(1000.0 * order.order_kg) / 1000.0,
        "kg",
        "wire merchant",
        material=f"{wire.label}, {wire.grade_name}, thermal class {enamel_class} ({solder}), {wire.standard}",
        size=f"overall at most {plain(wire.overall_max_mm)} mm; reels: {reels}, one batch",
        purpose=f"coils: {plain(order.motor_m, 1)} m as cut, 15 % margin{spare}",
        length_m=order.order_m,
        mass_kg=order.order_kg,
        cost=None if per_kg is None else per_kg * sum(order.spools_kg),
        notes=(
            f"least per strand from a reel of its own: {plain(order.spool_each_kg)} kg each"
            if order.strands > 1
            else "one reel feeds every coil",
        ),
        source="turns of the design laid round the real tooth; slack 4 %, margin 15 %, common practice",
    )


def _by_sheet(parts: Iterable[Part]) -> dict[tuple[str, float], list[Part]]:
    """Return flat parts by material and thickness."""
    groups: dict[tuple[str, float], list[Part]] = {}
    for part in parts:
        if part.cut and part.thickness:
            groups.setdefault((part.material, part.thickness), []).append(part)
    return groups


def insulation_lines(parts: Iterable[Part]) -> Iterator[OrderLine]:
    """Yield paper, board and sheet for all flat parts of one material and thickness, with spare."""
    for (material, thickness), members in _by_sheet(parts).items():
        area = PAPER_SPARE * math.fsum(sheet_area(p, KNIFE_GAP) for p in members)
        boxes = [r.box for p in members for r in p.cut]
        long = math.ceil(max(max(b[2] - b[0], b[3] - b[1]) for b in boxes))
        grain = any("grain" in p.settings for p in members)
        printed = any(p.solid for p in members)
        sold = not printed and any(word in material for word in INSULATION)
        yield OrderLine(
            "insulation, sheet or roll" if sold else "sheet material",
            10.0 * math.ceil(area / 1000.0),
            "cm2",
            "wire merchant" if sold else "yourself",
            material=material,
            size=f"{plain(thickness, 4)} mm thick, at least {long} mm wide and long"
            + ("; machine direction marked" if grain else ""),
            purpose="for " + ", ".join(words_for(p) for p in members),
            thickness_mm=thickness,
            notes=("not needed if it is printed",) if printed else (),
            source="boxes round the pieces, 4 mm between them, 25 % spare, common practice",
        )


def sheet_lines(parts: Iterable[Part], gap: float) -> Iterator[OrderLine]:
    """Yield the sheet steel that one's own machine needs, `gap` mm between pieces; a shop has its own."""
    for (material, thickness), members in _by_sheet(parts).items():
        area = SHEET_SPARE * math.fsum(sheet_area(p, gap) for p in members)
        yield OrderLine(
            "electrical steel sheet, coated on both faces",
            math.ceil(area * 1e-6 * 100) / 100,
            "m2",
            material=material,
            size=f"{plain(thickness)} mm thick",
            purpose="for " + ", ".join(words_for(p) for p in members),
            thickness_mm=thickness,
            notes=(
                "30 % more than the boxes round the pieces with their gap; a nest tells it better",
            ),
        )


def _gauge(section: LeadSection, inches: bool) -> str:
    """Return the copper of a lead as it is ordered: by AWG alone where one works in inches."""
    gauge = f"{section.awg} AWG"
    return gauge if inches else f"{plain(section.copper_mm2)} mm2 ({gauge})"


def lead_lines(
    leads: Iterable[Lead], axle_length: float, current_A: float, *, inches: bool
) -> Iterator[OrderLine]:
    """Yield the cables through an axle of `axle_length` mm; phases carry `current_A` r.m.s."""
    each = math.ceil((axle_length + CABLE_OUTSIDE) / 500.0) * 0.5
    for lead in leads:
        power = "phase" in lead.name.casefold()
        section = lead_section(current_A) if power else section_of(SIGNAL_MM2)
        copper = (
            "copper by your cable maker"
            if section is None
            else f"{_gauge(section, inches)} of copper or more"
        )
        carries = f" for {plain(current_A, 1)} A r.m.s." if power else ""
        yield OrderLine(
            f"{lead.name} lead, stranded, heat-proof insulation",
            lead.count * each,
            "m",
            "wire merchant",
            size=f"{copper}{carries}; at most {both_units(lead.outside_diameter)} over the insulation",
            purpose=f"{lead.count} of {plain(each, 1)} m, from the coils through the axle to the frame",
            length_m=lead.count * each,
            notes=("reckon how far your frame really is",),
            source=SOURCE if power else "signals by strength, common practice",
        )


def sleeve_line(circuit: Circuit, wires: int, strands: int, wire_mm: float) -> OrderLine:
    """Return sleeving for every joint of so many wires: 40 mm each and a third more."""
    joints = wires - 3 * circuit.paths + (4 if circuit.connection == "wye" else 3)
    bundle = 1.2 * math.sqrt(2 * strands) * wire_mm
    metres = math.ceil(joints * 0.040 * 4 / 3 * 2) / 2
    return OrderLine(
        "insulating sleeving, varnished glass or silicone",
        metres,
        "m",
        "wire merchant",
        size=f"{math.ceil(2 * bundle) / 2:g} mm inside, for {2 * strands} wires side by side",
        purpose=f"{counted(joints, 'joint')} of 40 mm",
        length_m=metres,
        source="joints of the winding; 40 mm a joint, bundle 1.2 sqrt(sum of d2), common practice",
    )


def cord_line(slots: int) -> OrderLine:
    """Return the cord that ties the coil ends."""
    metres = math.ceil(0.3 * slots)
    return OrderLine(
        "lacing cord, polyester or glass",
        metres,
        "m",
        "wire merchant",
        purpose="ties joints and leads down on the coil ends",
        length_m=metres,
    )


def bearing_line(
    ring: Bearing, designation: str, count: int, clearance: ClearanceLeft | None
) -> OrderLine:
    """Return the bearings, by the designation in the design and the clearance that they need."""
    sizes = f"{plain(ring.bore_mm)} x {plain(ring.outside_mm)} x {plain(ring.width_mm)} mm"
    wanted = "" if ring.sealed else ", preferably sealed on both sides (2RS)"
    if is_inch(ring.designation):
        inches = (ring.bore_mm, ring.outside_mm, ring.width_mm)
        sizes = f"{' x '.join(plain(v / MM_PER_INCH) for v in inches)} in, {sizes}"
        wanted = "" if ring.sealed else ", open: most with shields or seals are wider"
    unsaid = clearance is not None and not clearance.said and clearance.group != "normal"
    group = f" {clearance.group}" if clearance and unsaid else ""
    return OrderLine(
        "deep groove ball bearing",
        count,
        "pieces",
        "bearing merchant",
        material=f"{designation}{group}{wanted}",
        size=f"{sizes} (bore x outside x width), normal tolerance class",
        purpose="hub on the standing axle; buy them before the seats are turned: they are the gauge",
        confidence=ring.confidence,
        source=ring.source,
    )


def bar_line(material: str, diameter: float, axle_length: float) -> OrderLine:
    """Return the bar (mm) that the axle is turned from."""
    length = axle_length + BAR_ALLOWANCE
    volume = math.pi / 4 * diameter**2 * length * 1e-9
    return OrderLine(
        "round bar",
        1,
        "pieces",
        "turner",
        material=material,
        size=f"diameter {both_units(diameter)}, length {both_units(length)}",
        purpose="the axle; the turner usually brings it",
        length_m=length / 1000.0,
        mass_kg=volume * BAR_DENSITY,
        notes=(f"{plain(BAR_ALLOWANCE)} mm longer than the axle, for two faces and a saw cut",),
        source=f"design, and {PRACTICE}",
    )


def tube_line(axle: Axle) -> OrderLine:
    """Return the pipe or tube that the axle is made from."""
    tube, length = tube_of_axle(axle), axle.length + BAR_ALLOWANCE
    outside, inside = axle.stock_diameter, axle.bore_diameter
    volume = math.pi / 4 * (outside**2 - inside**2) * length * 1e-9
    wall = both_units((outside - inside) / 2)
    return OrderLine(
        axle.stock,
        1,
        "pieces",
        "turner",
        material=axle.material,
        size=f"{tube.name if tube else 'no size of the table'}: outside {both_units(outside)}, wall {wall}, "
        f"length {both_units(length)}",
        purpose="the axle; it keeps its outside under the stack: measure it before the sheets are cut",
        length_m=length / 1000.0,
        mass_kg=volume * BAR_DENSITY,
        notes=(
            "seamless or drawn: a weld bead inside catches the leads, and one outside stops the stack",
            "no zinc: its fumes are harmful when it is ground or heated, and glue holds badly on it",
        ),
        source=tube.source if tube else f"design, and {PRACTICE}",
    )


def collar_line(outside: float) -> OrderLine:
    """Return the split collars that hold the stack on an axle of that outside in mm."""
    return OrderLine(
        "split clamp collar",
        2,
        "pieces",
        "turner",
        material="steel, two screws",
        size=f"bore {both_units(outside)}: to the stock as measured",
        purpose="one on each side of the stack; an insulating washer under each",
        source=PRACTICE,
    )


def glue_line(stack: Stack, sheet_area_mm2: float, own_factor: bool) -> OrderLine:
    """Return the resin that fills what is not steel in the stack.

    Args:
        stack: its height and steel share.
        sheet_area_mm2: net area of one sheet.
        own_factor: whether the design gives the stacking factor.
    """
    between = (1.0 - stack.factor) * stack.length * sheet_area_mm2 / 1000.0
    factor = (
        "lamination.stacking_factor"
        if own_factor
        else f"stacking factor {GLUED_FACTOR}, {PRACTICE}"
    )
    return OrderLine(
        "thin two-part epoxy for laminating",
        _rounded(GLUE_SPARE * between, 10),
        "ml",
        size=f"{plain(between, 1)} ml stay between the sheets",
        purpose="glues the stack",
        notes=(
            "not needed for sheet with bonding varnish, which is baked under pressure",
            "skin contact sensitises: gloves, fresh air, and the maker's safety sheet",
        ),
        confidence="yours" if own_factor else "practice",
        source=f"stack less steel, three times for squeeze-out and pot, common practice; {factor}",
    )


def resin_line(window: WindingWindow, length: float, slots: int) -> OrderLine:
    """Return varnish or resin for the coils in slots `length` mm long."""
    wires = window.sides * window.conductors * math.pi / 4 * window.diameter**2
    room = max(0.0, window.lined_area - wires) * length * slots / 1000.0
    return OrderLine(
        "impregnating varnish or thin epoxy, class of the enamel or higher",
        _rounded(RESIN_SPARE * room, 50),
        "ml",
        size=f"{plain(room, 0)} ml of air between the wires in the slots",
        purpose="holds the coils still and carries their heat to the steel",
        notes=(
            "vapours burn and harm: outdoors or with extraction, no flame, oven only if its maker "
            "allows solvents",
        ),
        source="free room in the slots, three times for coil ends and what runs off, common practice",
    )


def _rounded(ml: float, step: int) -> int:
    """Return ml rounded up to what is sold."""
    return max(1, math.ceil(ml / step)) * step


def solder_line(strands: int) -> OrderLine:
    """Return solder for joints of two coil ends of `strands` wires each."""
    return OrderLine(
        "solder and flux for electronics",
        1,
        "roll",
        purpose=f"joints of {strands * 2} wires and three leads",
    )


def key_line(keys: KeySeats) -> OrderLine:
    """Return the keys between stack and axle."""
    return OrderLine(
        "parallel key, key steel, round ends",
        len(keys.angles),
        "pieces",
        size=f"{both_units(keys.width)} wide, {both_units(keys.height)} high, "
        f"{both_units(keys.length)} long" + ("; DIN 6885-1 A" if keys.key else ""),
        purpose="holds the stack against turning on the axle",
        source="DIN 6885-1 for section and length",
    )


def bolt_line(bolts: Bolts, length: float) -> OrderLine:
    """Return the bolts that clamp a stack of `length` mm."""
    return OrderLine(
        "screw or threaded rod with nut, two insulating washers and a sleeve",
        bolts.count,
        "sets",
        size=f"passes, sleeve and all, a hole of {both_units(bolts.hole_diameter)}; clamps "
        f"{both_units(length)} of sheets",
        purpose="clamps the stack; a bare bolt shorts the sheets",
    )


def groove_lines(grooves: Iterable[RingGroove]) -> Iterator[OrderLine]:
    """Yield the retaining rings for the grooves of the axle, equal ones on one line."""
    groups: dict[str, list[RingGroove]] = {}
    for groove in grooves:
        across = f"{both_units(groove.width)} wide, {both_units(groove.diameter)} at its bottom"
        name = f"{groove.ring.designation}, " if groove.ring else ""
        groups.setdefault(f"{name}for a groove {across}", []).append(groove)
    for size, equal in groups.items():
        places = " and ".join(plain(g.from_face) for g in equal)
        many = f"groove{'s' * (len(equal) > 1)}"
        yield OrderLine(
            "retaining ring for shafts",
            len(equal),
            "pieces",
            "bearing merchant",
            size=size,
            purpose=f"{many} {places} mm from face A",
            notes=("rings fly off when they slip: eye protection and the right pliers",),
            source=equal[0].ring.source if equal[0].ring else PRACTICE,
        )


def thread_lines(ends: Iterable[ThreadedEnd]) -> Iterator[OrderLine]:
    """Yield nuts and washers for the threaded ends of the axle, equal ones together."""
    groups: dict[ScrewThread, list[str]] = {}
    for end in ends:
        groups.setdefault(end.thread, []).append(end.face)
    for thread, faces in groups.items():
        places = f"face {' and '.join(faces)} of the axle"
        hexagon, metric = thread.nut_across_mm is not None, thread.tolerance == "6g"
        nut = "ISO 4032 or 8673" if metric else "ASME B18.2.2"
        yield OrderLine(
            "hexagon nut" if hexagon else "slotted locknut",
            len(faces),
            "pieces",
            "bearing merchant",
            size=f"{thread.name}, {f'{nut}, steel, class 8' if hexagon else 'ISO 2982'}",
            purpose=f"holds the frame on {places}",
            source=thread.source,
        )
        yield OrderLine(
            "plain washer" if hexagon else "lock washer for the locknut",
            len(faces),
            "pieces",
            "bearing merchant",
            size=f"for {thread.name}" + (", ISO 7089" if hexagon and metric else ""),
            purpose=f"under the nut, {places}",
        )


def sensor_lines(hall: Hall, leads: Sequence[Lead]) -> Iterator[OrderLine]:
    """Yield the sensors: for the rotor's position, and of heat if a lead is named for one."""
    if hall.sensors:
        body = both_units(hall.body_width, hall.body_height, hall.body_thickness)
        yield OrderLine(
            "Hall switch, latching, for brushless motors",
            4,
            "pieces",
            size=f"body {body}, three legs: measure yours before the jig is cut",
            purpose="three for the rotor's position, one spare",
        )
    names = " ".join(lead.name.casefold() for lead in leads)
    if "temp" in names or "therm" in names:
        yield OrderLine(
            "temperature sensor with two insulated wires",
            1,
            "pieces",
            purpose="between two coils; as your controller wants it",
        )


def unknown_magnet_line(count: int, air_gap: float) -> OrderLine:
    """Return the magnets of a design that does not give their size, `air_gap` mm off the teeth."""
    return OrderLine(
        "magnets for the rotor ring",
        count,
        "pieces",
        size="not given in this design: as your rotor ring takes them, all alike",
        purpose=f"{plain(air_gap)} mm off the tooth tips",
        notes=(_PINCH,),
        confidence="yours",
        source="motor.poles",
    )


def magnet_line(ring: RotorRing, rotor: Rotor, length: float) -> OrderLine:
    """Return the magnets, `length` mm long, with spares."""
    sizes = both_units(rotor.magnet_width or 0.0, rotor.magnet_thickness or 0.0, length)
    spare = max(2, math.ceil(MAGNET_SPARE * ring.count))
    bent = f", arc of radius {plain(ring.face, 2)} mm inside" if rotor.magnet_shape == "arc" else ""
    return OrderLine(
        "magnets for the rotor ring",
        ring.count + spare,
        "pieces",
        material=f"{ring.magnet.name}, up to {plain(ring.magnet.hottest_C)} C",
        size=f"{sizes} (width x thickness x length){bent}, magnetised through the thickness, +/- "
        f"{plain(rotor.magnet_tolerance)} mm",
        purpose=f"{ring.count} on the ring, {spare} spare; one batch",
        mass_kg=ring.mass * (ring.count + spare),
        notes=(_PINCH,),
        source="rotor of the design; spare magnets by common practice",
    )


def magnet_ring_line(bore: float, thickness: float, tolerance: float, length: float) -> OrderLine:
    """Return the steel ring of `bore` radius mm that carries the magnets."""
    return OrderLine(
        "ring for the magnets",
        1,
        "pieces",
        "turner",
        material="plain low-carbon steel, not stainless",
        size=f"bore {both_units(2 * bore)} +/- {plain(tolerance)} mm, "
        f"outside {both_units(2 * (bore + thickness))}, at least {both_units(length)} long",
        purpose="how it is held on the hub is not part of this design: agree it first",
        source="rotor of the design",
    )
