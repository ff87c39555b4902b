"""Everything to order, to make and to have at hand for one motor: the bill of materials."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from geometry.finding import Confidence
from geometry.part import Part
from recipes.catalogue import RECIPES
from recipes.design.shop import Rates
from recipes.job import Job
from recipes.manufacturing.fittings import fitting_lines, tool_lines
from recipes.manufacturing.kerf import drawn_part, is_steel
from recipes.manufacturing.order_line import (
    ADDRESSEES,
    KINDS,
    PRACTICE,
    Addressee,
    OrderLine,
    both_units,
    plain,
)
from recipes.manufacturing.process import process
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade
from recipes.winding.circuit import circuit_of
from recipes.winding.wire_order import wire_order_of

#     Order lines for the parts of the catalogue, whatever they are: by what they are made of and from.
#
# cut from the sheet of the stack           cutting shop; yourself if shop.process is "own"
# drawn and turned, not flat                turner
# other flat parts                          yourself, with a knife along the printed template
# bodies of any other kind                  yourself, printed or machined

#: What the catalogue's names are called in an order; any other name is written as it is.
WORDS = {
    "lamination": "stator sheet",
    "coupon": "test coupon, square with hole",
    "coupon_tooth": "test coupon, tooth",
    "coupon_comb": "test coupon, comb",
    "liner": "slot liner",
    "liner_trial": "trial strips of the slot liner, one set",
    "wedge": "slot wedge",
    "separator": "separator between coil sides",
    "end_washer": "end washer",
    "end_cap": "end cap",
    "axle": "hollow axle",
    "stack": "finished stack, from the sheets above",
    "tooth_ring_lead": "paper ring, lead side",
    "tooth_ring_far": "paper ring, far side",
    "winding_card": "winding card",
}


@dataclass(frozen=True)
class Origin:
    """Where a part comes from: kinds of file of its recipe, and the recipe's first part."""

    kinds: tuple[str, ...] = ()
    first: str = ""


def part_lines(job: Job, parts: Iterable[Part], origins: Mapping[str, Origin]) -> list[OrderLine]:
    """Return one line for each part.

    Args:
        job: the design.
        parts: of the catalogue, in its order.
        origins: by the part's name.
    """
    return [_line(job, part, origins.get(part.name, Origin())) for part in parts]


def words_for(part: Part) -> str:
    """Return what a part is called in an order."""
    if part.name in WORDS:
        return WORDS[part.name]
    for stem, words in (("lamination_end", "end sheet"), ("coupon_bore", "test coupon, bores")):
        if part.name.startswith(stem):
            return f"{words} {part.name.removeprefix(stem).strip('_')}"
    return part.name.replace("_", " ")


def cut_first(part: Part) -> bool:
    """Tell whether a part asks to be cut and measured before all others."""
    return any(note.startswith("cut first") for note in part.notes)


def _line(job: Job, part: Part, origin: Origin) -> OrderLine:
    confidence, source = _quantity_source(job, part)
    steel = is_steel(job, part)
    drawn = drawn_part(job, part)
    return OrderLine(
        addressee=_addressee(job, part),
        kind="part",
        item=words_for(part),
        quantity=part.quantity,
        unit="pieces" if part.thickness or part.solid else "print",
        material=part.material,
        size=_size(part),
        purpose="cut first, then measure" if cut_first(part) else "",
        part=part.name,
        files=_files(job, part, origin),
        thickness_mm=part.thickness or None,
        cut_length_mm=drawn.cut_length if part.cut else None,
        pierces=part.pierces if part.cut else None,
        area_mm2=part.area if part.cut else None,
        mass_kg=_mass(part) if steel else None,
        cost=_cutting_cost(job, drawn) if steel else None,
        notes=part.notes,
        confidence=confidence,
        source=source,
    )


def _addressee(job: Job, part: Part) -> Addressee:
    if is_steel(job, part):
        return "yourself" if job.design.shop.process == "own" else "cutting shop"
    return "turner" if "stock_diameter_mm" in part.settings else "yourself"


def _size(part: Part) -> str:
    """Return overall sizes, one for every different region; of a round part its diameter."""
    if part.name == "axle":
        length, stock = (part.settings[k] for k in ("length_mm", "stock_diameter_mm"))
        return f"length {both_units(float(length))}, from bar of {both_units(float(stock))}"
    sizes = [(r.box[2] - r.box[0], r.box[3] - r.box[1]) for r in part.cut]
    outer = part.settings.get("outer_diameter_mm")
    if isinstance(outer, float) and len(sizes) == 1:
        across = f"outside diameter {both_units(outer)}"
        same = max(abs(v - outer) for v in sizes[0]) < 0.005
        return across if same else f"{across}, box {both_units(*sizes[0])}"
    return "; ".join(dict.fromkeys(f"overall {both_units(*size)}" for size in sizes))


def _files(job: Job, part: Part, origin: Origin) -> tuple[str, ...]:
    from recipes.build.files import planned

    own = tuple(k for k in origin.kinds if k != "print")  # pages of templates hold several parts
    paths = [p.path for p in planned(job, (part,), own, "")]
    if "print" in origin.kinds and part.cut:
        paths.insert(0, f"print/{origin.first.replace('_', '-')}-templates.pdf")
    return tuple(paths)


def _quantity_source(job: Job, part: Part) -> tuple[Confidence, str]:
    """Return how sure the number of pieces is."""
    if part.name == "lamination" and job.design.lamination.stacking_factor is not None:
        return "yours", "lamination.stacking_factor, and 5 % spoil (at least 2), common practice"
    if part.name == "lamination":
        return "practice", "0.94 of the height is steel in a glued stack; 5 % spoil, at least 2"
    return "practice", "number in the design; spare pieces by common practice"


def _mass(part: Part) -> float | None:
    """Return the mass of all pieces in kg; None for a steel that the table does not hold."""
    try:
        density = steel_grade(part.material).density_kg_per_m3
    except TableError:
        return None
    return part.area * part.thickness * 1e-9 * density * part.quantity


def gap_of(job: Job) -> float:
    """Return the gap between two parts on a blank, mm."""
    shop = job.design.shop
    return shop.part_gap if shop.part_gap is not None else process(shop.process).part_gap_mm


def sheet_area(part: Part, gap: float) -> float:
    """Return the area in mm2 that all pieces take from a sheet: their boxes with the gap."""
    boxes = ((r.box[2] - r.box[0] + gap) * (r.box[3] - r.box[1] + gap) for r in part.cut)
    return math.fsum(boxes) * part.quantity


def _cutting_cost(job: Job, part: Part) -> float | None:
    """Return the cost of all pieces from the user's rates; None without any that applies."""
    rates: Rates = job.design.rates
    area = sheet_area(part, gap_of(job))
    parts = [
        (rates.per_metre_cut, part.quantity * part.cut_length / 1000.0),
        (rates.per_pierce, part.quantity * part.pierces),
        (rates.per_m2_sheet, area * 1e-6),
    ]
    if rates.per_kg_sheet is not None:
        density = _mass(part)
        if density is not None:
            net = part.area * part.quantity
            parts.append((rates.per_kg_sheet, density * area / net))
    known = [rate * amount for rate, amount in parts if rate is not None]
    return math.fsum(known) if known else None


# What is bought by measure: wire, insulation, bearings, bar, cable, glue. Shares are common practice.

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
        "wire merchant",
        "supply",
        "enamelled copper winding wire, round",
        math.ceil(1000.0 * order.order_kg) / 1000.0,
        "kg",
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
    )


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
            "wire merchant" if sold else "yourself",
            "supply",
            "insulation, sheet or roll" if sold else "sheet material",
            10.0 * math.ceil(area / 1000.0),
            "cm2",
            material=material,
            size=f"{plain(thickness, 4)} mm thick, at least {long} mm wide and long"
            + ("; machine direction marked" if grain else ""),
            purpose="for " + ", ".join(words_for(p) for p in members),
            thickness_mm=thickness,
            notes=("not needed if it is printed",) if printed else (),
            source="boxes round the pieces, 4 mm between them, 25 % spare, common practice",
        )


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
            "yourself",
            "supply",
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


def _cables(job: Job) -> Iterator[OrderLine]:

    axle = job.design.axle
    each = math.ceil((axle.length + CABLE_OUTSIDE) / 500.0) * 0.5
    for lead in axle.leads:
        power = "phase" in lead.name.casefold()
        carries = f"; carries {plain(circuit_of(job).lead_current_A, 1)} A r.m.s." if power else ""
        yield OrderLine(
            "wire merchant",
            "supply",
            f"{lead.name} lead, stranded, heat-proof insulation",
            lead.count * each,
            "m",
            size=f"at most {both_units(lead.outside_diameter)} over the insulation{carries}",
            purpose=f"{lead.count} of {plain(each, 1)} m, from the coils through the axle to the frame",
            length_m=lead.count * each,
            notes=("reckon how far your frame really is",),
        )


def _sleeves(job: Job) -> OrderLine:
    """Return sleeving for every joint: 40 mm each and a third more."""

    circuit, winding = circuit_of(job), job.design.winding
    coils = job.layout.coils_per_phase * 3
    joints = coils - 3 * circuit.paths + (4 if circuit.connection == "wye" else 3)
    bundle = 1.2 * math.sqrt(2 * winding.strands) * job.wire.overall_max_mm
    metres = math.ceil(joints * 0.040 * 4 / 3 * 2) / 2
    return OrderLine(
        "wire merchant",
        "supply",
        "insulating sleeving, varnished glass or silicone",
        metres,
        "m",
        size=f"{math.ceil(2 * bundle) / 2:g} mm inside, for {2 * winding.strands} wires side by side",
        purpose=f"{joints} joints of 40 mm",
        length_m=metres,
        source="joints of the winding; 40 mm a joint, bundle 1.2 sqrt(sum of d2), common practice",
    )


def _cord(job: Job) -> OrderLine:
    metres = math.ceil(0.3 * job.design.motor.slots)
    return OrderLine(
        "wire merchant",
        "supply",
        "lacing cord, polyester or glass",
        metres,
        "m",
        purpose="ties joints and leads down on the coil ends",
        length_m=metres,
    )


def _bearings(job: Job) -> OrderLine:
    ring = job.bearing
    sizes = f"{plain(ring.bore_mm)} x {plain(ring.outside_mm)} x {plain(ring.width_mm)} mm"
    wanted = "" if ring.sealed else ", preferably sealed on both sides (2RS)"
    return OrderLine(
        "bearing merchant",
        "supply",
        "deep groove ball bearing",
        len(job.design.axle.seats),
        "pieces",
        material=f"{job.design.axle.bearing}{wanted}",
        size=f"{sizes} (bore x outside x width), normal tolerance class",
        purpose="hub on the standing axle; buy them before the seats are turned: they are the gauge",
        confidence=ring.confidence,
        source=ring.source,
    )


def _bar(job: Job, parts: tuple[Part, ...]) -> Iterator[OrderLine]:
    axle = job.design.axle
    if not any(p.name == "axle" for p in parts):
        return
    length = axle.length + BAR_ALLOWANCE
    volume = math.pi / 4 * axle.stock_diameter**2 * length * 1e-9
    yield OrderLine(
        "turner",
        "supply",
        "round bar",
        1,
        "pieces",
        material=axle.material,
        size=f"diameter {both_units(axle.stock_diameter)}, length {both_units(length)}",
        purpose="the axle; the turner usually brings it",
        length_m=length / 1000.0,
        mass_kg=volume * BAR_DENSITY,
        notes=(f"{plain(BAR_ALLOWANCE)} mm longer than the axle, for two faces and a saw cut",),
        confidence="practice",
        source=f"design, and {PRACTICE}",
    )


__all__ = ["OrderLine", "order_lines", "total_cost"]


def order_lines(job: Job, parts: Iterable[Part]) -> tuple[OrderLine, ...]:
    """Return the lines of an order: by addressee, parts before supplies before tools.

    Args:
        job: a design without findings of level `stop`.
        parts: any parts of the catalogue; each gets one line, with its quantity.

    Raises:
        Refused: something that the design is made of does not exist or does not fit.
    """
    made = tuple(parts)
    lines = [
        *part_lines(job, made, _origins(job)),
        *_setup(job),
        *supply_lines(job, made),
        *fitting_lines(job, made),
        *tool_lines(job),
    ]
    return tuple(sorted(lines, key=_place))


def _place(line: OrderLine) -> tuple[int, int, bool]:
    """Order by addressee and kind; what is cut first comes first."""
    later = not (line.kind == "part" and line.purpose)
    return ADDRESSEES.index(line.addressee), KINDS.index(line.kind), later


def total_cost(lines: Iterable[OrderLine], addressee: Addressee | None = None) -> float | None:
    """Return the sum of the costs that are known, of one addressee or of all; None without any."""
    costs = [
        line.cost for line in lines if line.cost is not None and addressee in (None, line.addressee)
    ]
    return sum(costs) if costs else None


def _origins(job: Job) -> dict[str, Origin]:
    """Return for every part of the catalogue where it comes from."""

    found: dict[str, Origin] = {}
    for recipe in RECIPES:
        made = job.parts[recipe.name]
        flat = [part.name for part in made if part.cut]
        for part in made:
            found[part.name] = Origin(recipe.files, flat[0] if flat else part.name)
    return found


def _setup(job: Job) -> list[OrderLine]:
    rate = job.design.rates.setup
    if rate is None or job.design.shop.process == "own":
        return []
    return [
        OrderLine(
            "cutting shop",
            "charge",
            "set-up",
            1,
            "order",
            cost=rate,
            confidence="yours",
            source="rates.setup",
        )
    ]
