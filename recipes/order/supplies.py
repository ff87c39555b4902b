"""What is bought by measure: wire, insulation, bearings, bar, cable, glue. Shares are common practice."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Final

from geometry.part import Part
from recipes.axle.sections import axle_bearing
from recipes.order.line import PRACTICE, OrderLine, both_units, plain
from recipes.order.parts import gap_of, sheet_area, words_for
from recipes.shop.kerf import is_steel
from recipes.winding.wire_order import wire_order_of

if TYPE_CHECKING:
    from recipes.job import Job

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


def supply_lines(job: Job, parts: Iterable[Part]) -> list[OrderLine]:
    """Return what has to be bought besides the parts.

    Raises:
        Refused: no winding, no such wire or bearing, or no turn that fits.
    """
    made = tuple(parts)
    return [
        _wire(job),
        *_insulation(job, made),
        *_own_sheet(job, made),
        *_cables(job),
        _sleeves(job),
        _cord(job),
        _bearings(job),
        *_bar(job, made),
    ]


def _wire(job: Job) -> OrderLine:
    order, wire, winding = wire_order_of(job), job.wire, job.design.winding
    reels = ", ".join(
        f"{len(list(same))} of {plain(mass)} kg"
        for mass, same in itertools.groupby(order.spools_kg)
    )
    solder = (
        "solders through" if winding.enamel_class <= SOLDERS_THROUGH else "does not solder through"
    )
    rate = job.design.rates.per_kg_wire
    return OrderLine(
        "wire merchant", "supply", "enamelled copper winding wire, round",
        math.ceil(1000.0 * order.order_kg) / 1000.0, "kg",
        material=f"{wire.label}, {wire.grade_name}, thermal class {winding.enamel_class} ({solder}), {wire.standard}",
        size=f"overall at most {plain(wire.overall_max_mm)} mm; reels: {reels}, one batch",
        purpose=f"coils: {plain(order.motor_m, 1)} m as cut, 15 % margin"
        + (f", {order.spare_phases} spare phase" if order.spare_phases else ""),
        length_m=order.order_m,
        mass_kg=order.order_kg,
        cost=None if rate is None else rate * sum(order.spools_kg),
        notes=(
            f"least per strand from a reel of its own: {plain(order.spool_each_kg)} kg each"
            if order.strands > 1
            else "one reel feeds every coil",
        ),
        confidence="practice",
        source="turns of the design laid round the real tooth; slack 4 %, margin 15 %, common practice",
    )  # fmt: skip


def _insulation(job: Job, parts: tuple[Part, ...]) -> Iterator[OrderLine]:
    """Yield paper, board and sheet for all flat parts of one material and thickness, with spare."""
    groups: dict[tuple[str, float], list[Part]] = {}
    for part in parts:
        if part.cut and part.thickness and not is_steel(job, part):
            groups.setdefault((part.material, part.thickness), []).append(part)
    for (material, thickness), members in groups.items():
        area = PAPER_SPARE * math.fsum(sheet_area(p, KNIFE_GAP) for p in members)
        boxes = [r.box for p in members for r in p.cut]
        long = math.ceil(max(max(b[2] - b[0], b[3] - b[1]) for b in boxes))
        grain = any("grain" in p.settings for p in members)
        printed = any(p.solid for p in members)
        sold = not printed and any(word in material for word in INSULATION)
        yield OrderLine(
            "wire merchant" if sold else "yourself", "supply",
            "insulation, sheet or roll" if sold else "sheet material",
            10.0 * math.ceil(area / 1000.0), "cm2",
            material=material,
            size=f"{plain(thickness, 4)} mm thick, at least {long} mm wide and long"
            + ("; machine direction marked" if grain else ""),
            purpose="for " + ", ".join(words_for(p) for p in members),
            thickness_mm=thickness,
            notes=("not needed if it is printed",) if printed else (),
            source="boxes round the pieces, 4 mm between them, 25 % spare, common practice",
        )  # fmt: skip


def _own_sheet(job: Job, parts: tuple[Part, ...]) -> Iterator[OrderLine]:
    """Yield the sheet steel that one's own machine needs; a shop has its own."""
    if job.design.shop.process != "own":
        return
    groups: dict[tuple[str, float], list[Part]] = {}
    for part in parts:
        if is_steel(job, part):
            groups.setdefault((part.material, part.thickness), []).append(part)
    for (material, thickness), members in groups.items():
        area = SHEET_SPARE * math.fsum(sheet_area(p, gap_of(job)) for p in members)
        yield OrderLine(
            "yourself", "supply", "electrical steel sheet, coated on both faces",
            math.ceil(area * 1e-6 * 100) / 100, "m2",
            material=material,
            size=f"{plain(thickness)} mm thick",
            purpose="for " + ", ".join(words_for(p) for p in members),
            thickness_mm=thickness,
            notes=("30 % more than the boxes round the pieces with their gap; a nest tells it better",),
        )  # fmt: skip


def _cables(job: Job) -> Iterator[OrderLine]:
    from recipes.winding.circuit import circuit_of

    axle = job.design.axle
    each = math.ceil((axle.length + CABLE_OUTSIDE) / 500.0) * 0.5
    for lead in axle.leads:
        power = "phase" in lead.name.casefold()
        carries = f"; carries {plain(circuit_of(job).lead_current_A, 1)} A r.m.s." if power else ""
        yield OrderLine(
            "wire merchant", "supply", f"{lead.name} lead, stranded, heat-proof insulation",
            lead.count * each, "m",
            size=f"at most {both_units(lead.outside_diameter)} over the insulation{carries}",
            purpose=f"{lead.count} of {plain(each, 1)} m, from the coils through the axle to the frame",
            length_m=lead.count * each,
            notes=("reckon how far your frame really is",),
        )  # fmt: skip


def _sleeves(job: Job) -> OrderLine:
    """Return sleeving for every joint: 40 mm each and a third more."""
    from recipes.winding.circuit import circuit_of

    circuit, winding = circuit_of(job), job.design.winding
    coils = job.winding.coils_per_phase * 3
    joints = coils - 3 * circuit.paths + (4 if circuit.connection == "wye" else 3)
    bundle = 1.2 * math.sqrt(2 * winding.strands) * job.wire.overall_max_mm
    metres = math.ceil(joints * 0.040 * 4 / 3 * 2) / 2
    return OrderLine(
        "wire merchant", "supply", "insulating sleeving, varnished glass or silicone",
        metres, "m",
        size=f"{math.ceil(2 * bundle) / 2:g} mm inside, for {2 * winding.strands} wires side by side",
        purpose=f"{joints} joints of 40 mm",
        length_m=metres,
        source="joints of the winding; 40 mm a joint, bundle 1.2 sqrt(sum of d2), common practice",
    )  # fmt: skip


def _cord(job: Job) -> OrderLine:
    metres = math.ceil(0.3 * job.design.motor.slots)
    return OrderLine(
        "wire merchant", "supply", "lacing cord, polyester or glass", metres, "m",
        purpose="ties joints and leads down on the coil ends", length_m=metres,
    )  # fmt: skip


def _bearings(job: Job) -> OrderLine:
    ring = axle_bearing(job)
    sizes = f"{plain(ring.bore_mm)} x {plain(ring.outside_mm)} x {plain(ring.width_mm)} mm"
    wanted = "" if ring.sealed else ", preferably sealed on both sides (2RS)"
    return OrderLine(
        "bearing merchant", "supply", "deep groove ball bearing",
        len(job.design.axle.seats), "pieces",
        material=f"{job.design.axle.bearing}{wanted}",
        size=f"{sizes} (bore x outside x width), normal tolerance class",
        purpose="hub on the standing axle; buy them before the seats are turned: they are the gauge",
        confidence=ring.confidence,
        source=ring.source,
    )  # fmt: skip


def _bar(job: Job, parts: tuple[Part, ...]) -> Iterator[OrderLine]:
    axle = job.design.axle
    if not any(p.name == "axle" for p in parts):
        return
    length = axle.length + BAR_ALLOWANCE
    volume = math.pi / 4 * axle.stock_diameter**2 * length * 1e-9
    yield OrderLine(
        "turner", "supply", "round bar", 1, "pieces",
        material=axle.material,
        size=f"diameter {both_units(axle.stock_diameter)}, length {both_units(length)}",
        purpose="the axle; the turner usually brings it",
        length_m=length / 1000.0,
        mass_kg=volume * BAR_DENSITY,
        notes=(f"{plain(BAR_ALLOWANCE)} mm longer than the axle, for two faces and a saw cut",),
        confidence="practice",
        source=f"design, and {PRACTICE}",
    )  # fmt: skip
