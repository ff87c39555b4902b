"""Order lines for the parts of the catalogue, whatever they are: by what they are made of and from.

cut from the sheet of the stack           cutting shop; yourself if shop.process is "own"
drawn and turned, not flat                turner
other flat parts                          yourself, with a knife along the printed template
bodies of any other kind                  yourself, printed or machined
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geometry.part import Part
from recipes.order.line import Addressee, OrderLine, both_units
from recipes.shop.kerf import drawn_part, is_steel
from recipes.tables.process import process
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade

if TYPE_CHECKING:
    from geometry.finding import Confidence
    from recipes.design.rates import Rates
    from recipes.job import Job

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
    from recipes.pack.files import planned

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
