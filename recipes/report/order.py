"""Everything to order, to make and to have at hand for one motor: the bill of materials."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from geometry.finding import Confidence
from geometry.part import Part
from recipes.design.rotor import Rotor
from recipes.design.shop import Rates
from recipes.design.units import counted
from recipes.insulation.paper_sheets import is_laid_out
from recipes.manufacturing import supplies
from recipes.manufacturing.cover_supplies import cover_lines
from recipes.manufacturing.kerf import drawn_part, is_plate, is_steel
from recipes.manufacturing.order_line import (
    ADDRESSEES,
    KINDS,
    Addressee,
    OrderLine,
    both_units,
    cut_first,
    sheet_area,
    words_for,
)
from recipes.manufacturing.tools import tool_lines
from recipes.motor import Motor
from recipes.rotor.ring import RotorRing
from recipes.shaft.end_thread import threaded_ends
from recipes.shaft.ring_groove import ring_grooves
from recipes.shaft.torque import held_by_collars
from recipes.tables.process import gap_of
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade
from recipes.winding.card_run import several_coils


def order_lines(
    motor: Motor, parts: Iterable[Part], files: Mapping[str, tuple[str, ...]]
) -> tuple[OrderLine, ...]:
    """Return the lines of an order: by addressee, parts before supplies before tools.

    Args:
        motor: a design without findings of level `stop`.
        parts: any parts of the catalogue; each gets one line, with its quantity.
        files: paths in the pack of every part's files, by the part's name.

    Raises:
        Refused: something that the design is made of does not exist or does not fit.
    """
    made, design = tuple(parts), motor.design
    covers, closed = design.covers, motor.closed_rotor
    drawn = (p for part in made if is_plate(part) for p in files.get(part.name, ()))
    sheets = tuple(path for path in drawn if path.startswith("draw/"))
    lines = [
        *(_part_line(motor, part, files.get(part.name, ())) for part in made),
        *_bought(motor, made),
        *(cover_lines(covers, closed, sheets) if covers and closed else ()),
        *_magnets(
            motor.rotor_ring, design.rotor, design.motor.poles, design.lamination.stack_length, made
        ),
        *tool_lines(
            design,
            motor.slot,
            motor.stack.length,
            motor.liner_size.body,
            motor.tension,
            motor.resistance,
            motor.wire_order.bobbin if several_coils(design.winding) else None,
            [design.lamination.bore_diameter, *(f.limits.max_size_mm for f in motor.seats)],
            [
                design.lamination.bore_diameter,
                *([motor.hub_fit.limits.max_size_mm] if motor.hub_fit else []),
            ],
        ),
    ]
    return tuple(sorted(lines, key=_place))


def _place(line: OrderLine) -> tuple[int, int, bool]:
    """Order by addressee and kind; what is cut first comes first."""
    later = not (line.kind == "part" and line.purpose)
    return ADDRESSEES.index(line.addressee), KINDS.index(line.kind), later


def _bought(motor: Motor, parts: tuple[Part, ...]) -> Iterator[OrderLine]:
    """Yield what has to be bought for winding, axle and stack."""
    design, wire, circuit = motor.design, motor.wire, motor.circuit
    lam, axle, strands = design.lamination, design.axle, design.winding.strands
    own = design.shop.process == "own"
    steel = [p for p in parts if is_steel(p, lam.steel)]
    if design.rates.setup is not None and not own:
        yield _setup(design.rates.setup)
    enamel, rate = design.winding.enamel_class, design.rates.per_kg_wire
    yield supplies.wire_line(motor.wire_order, wire, enamel, rate)
    yield from supplies.insulation_lines(
        p for p in parts if not is_steel(p, lam.steel) and not is_plate(p) and not is_laid_out(p)
    )
    if own:
        yield from supplies.sheet_lines(steel, gap_of(design.shop))
    yield from supplies.lead_lines(
        axle.leads, axle.length, circuit.lead_current_A, inches=motor.design.units == "in"
    )
    yield supplies.sleeve_line(circuit, len(motor.wire_runs), strands, wire.overall_max_mm)
    yield supplies.cord_line(design.motor.slots)
    yield supplies.bearing_line(
        motor.bearing, axle.bearing, len(axle.seats), motor.bearing_clearance
    )
    if any(p.name == "axle" for p in parts):
        if axle.stock == "bar":
            yield supplies.bar_line(axle.material, axle.stock_diameter, axle.length)
        else:
            yield supplies.tube_line(axle)
    for sheet in steel:
        if sheet.name == "lamination":
            yield supplies.glue_line(motor.stack, sheet.area, lam.stacking_factor is not None)
    yield supplies.resin_line(motor.window, motor.stack.length, design.motor.slots)
    yield supplies.solder_line(strands)
    if motor.key_seats:
        yield supplies.key_line(motor.key_seats)
    if design.hub.bolts:
        yield supplies.bolt_line(design.hub.bolts, motor.stack.length)
    yield from supplies.groove_lines(ring_grooves(axle))
    yield from supplies.thread_lines(threaded_ends(axle))
    if held_by_collars(axle):
        yield supplies.collar_line(axle.stock_diameter)
    yield from supplies.sensor_lines(design.hall, axle.leads)


def _magnets(
    ring: RotorRing | None, rotor: Rotor, poles: int, stack_length: float, made: Iterable[Part]
) -> Iterator[OrderLine]:
    """Yield the magnets, and the steel ring if it is no part of the catalogue among those `made`."""
    if ring is None:
        yield supplies.unknown_magnet_line(poles * rotor.magnets_per_pole, rotor.air_gap)
        return
    length, thickness = rotor.magnet_length or stack_length, rotor.ring_thickness
    yield supplies.magnet_line(ring, rotor, length)
    if thickness is not None and not any(p.name == "rotor_ring" for p in made):
        tolerance = rotor.ring_bore_tolerance
        yield supplies.magnet_ring_line(ring.bore, thickness, tolerance, length)


def _setup(rate: float) -> OrderLine:
    return OrderLine(
        "set-up",
        1,
        "order",
        "cutting shop",
        "charge",
        cost=rate,
        confidence="yours",
        source="rates.setup",
    )


#     Parts of the catalogue, whatever they are, go by what they are made of and from:
#
# cut from the sheet of the stack           cutting shop; yourself if shop.process is "own"
# drawn and turned, not flat                turner
# other flat parts                          yourself, with a knife along the printed template
# bodies of any other kind                  yourself, printed or machined


def _part_line(motor: Motor, part: Part, files: tuple[str, ...]) -> OrderLine:
    design, lam = motor.design, motor.design.lamination
    drawn = drawn_part(part, lam, motor.kerf)
    if not is_steel(part, lam.steel):
        addressee: Addressee = "turner" if "stock_diameter_mm" in part.settings else "yourself"
        if is_plate(part) and motor.closed_rotor and motor.closed_rotor.cutter.name != "own":
            addressee = "plate cutter"
        return part_line(part, drawn, addressee, files)
    line = replace(
        part_line(
            part, drawn, "yourself" if design.shop.process == "own" else "cutting shop", files
        ),
        mass_kg=_mass(part),
        cost=_cutting_cost(drawn, design.rates, gap_of(design.shop)),
    )
    if part.name != "lamination":
        return line
    confidence, source = _sheet_count_source(lam.stacking_factor)
    return replace(line, confidence=confidence, source=source)


def part_line(part: Part, drawn: Part, addressee: Addressee, files: tuple[str, ...]) -> OrderLine:
    """Return the line of one part, without mass and cost.

    Args:
        part, drawn: nominal, and as its cut file draws it.
        addressee: who makes it.
        files: paths in the pack.
    """
    return OrderLine(
        words_for(part),
        part.quantity,
        "pieces" if part.thickness or part.solid else "print",
        addressee,
        "part",
        material=part.material,
        size=_size(part),
        purpose="cut first, then measure" if cut_first(part) else "",
        part=part.name,
        files=files,
        thickness_mm=part.thickness or None,
        cut_length_mm=drawn.cut_length if part.cut else None,
        pierces=part.pierces if part.cut else None,
        area_mm2=part.area if part.cut else None,
        notes=part.notes,
        source="number in the design; spare pieces by common practice",
    )


def _sheet_count_source(own_factor: float | None) -> tuple[Confidence, str]:
    """Return how sure the number of sheets is."""
    if own_factor is not None:
        return "yours", "lamination.stacking_factor, and 5 % spoil (at least 2), common practice"
    return "practice", "0.94 of the height is steel in a glued stack; 5 % spoil, at least 2"


def _size(part: Part) -> str:
    """Return overall sizes, one for every different region; of a round part its diameter."""
    if part.name == "axle":
        length, stock = (part.settings[k] for k in ("length_mm", "stock_diameter_mm"))
        return f"length {both_units(float(length))}, from {part.settings['stock']} of {both_units(float(stock))}"
    if is_laid_out(part):
        page = (float(part.settings[k]) for k in ("sheet_width_mm", "sheet_height_mm"))
        return f"{counted(len(part.cut), 'piece')} on {both_units(*page)}"
    if "stock_diameter_mm" in part.settings:
        bore, outside, length = (
            float(part.settings[k]) for k in ("bore_mm", "outer_diameter_mm", "length_mm")
        )
        return (
            f"bore {both_units(bore)}, outside {both_units(outside)}, length {both_units(length)}"
        )
    sizes = [(r.box[2] - r.box[0], r.box[3] - r.box[1]) for r in part.cut]
    outer = part.settings.get("outer_diameter_mm")
    if isinstance(outer, float) and len(sizes) == 1:
        across = f"outside diameter {both_units(outer)}"
        same = max(abs(v - outer) for v in sizes[0]) < 0.005
        return across if same else f"{across}, box {both_units(*sizes[0])}"
    return "; ".join(dict.fromkeys(f"overall {both_units(*size)}" for size in sizes))


def _mass(part: Part) -> float | None:
    """Return the mass of all pieces in kg; None for a steel that the table does not hold."""
    try:
        density = steel_grade(part.material).density_kg_per_m3
    except TableError:
        return None
    return part.area * part.thickness * 1e-9 * density * part.quantity


def _cutting_cost(part: Part, rates: Rates, gap: float) -> float | None:
    """Return the cost of all pieces from the user's rates; None without any that applies."""
    area, mass = sheet_area(part, gap), _mass(part)
    amounts = [
        (rates.per_metre_cut, part.quantity * part.cut_length / 1000.0),
        (rates.per_pierce, part.quantity * part.pierces),
        (rates.per_m2_sheet, area * 1e-6),
    ]
    if mass is not None:
        amounts.append((rates.per_kg_sheet, mass * area / (part.area * part.quantity)))
    known = [rate * amount for rate, amount in amounts if rate is not None]
    return math.fsum(known) if known else None
