"""One line of the order: what, how many, for whom, how sure, and what it costs if that is known."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from geometry.finding import Confidence
from geometry.part import Part
from recipes.design.units import MM_PER_INCH, format_number

Addressee = Literal[
    "cutting shop", "plate cutter", "wire merchant", "bearing merchant", "turner", "yourself"
]
Kind = Literal["part", "supply", "tool", "charge"]

ADDRESSEES: Final[tuple[Addressee, ...]] = (
    "cutting shop",
    "plate cutter",
    "wire merchant",
    "bearing merchant",
    "turner",
    "yourself",
)
"""In the order in which their texts are written; the wire merchant also sells insulation."""

KINDS: Final[tuple[Kind, ...]] = ("part", "charge", "supply", "tool")

PRACTICE: Final = "common practice"

#: What the catalogue's names are called in an order; any other name is written as it is.
_WORDS: Final = {
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
    "rotor_ring": "ring for the magnets",
    "spacer_ring_lead": "spacer ring, lead side",
    "spacer_ring_far": "spacer ring, far side",
    "cover_lead": "cover, lead side",
    "cover_far": "cover, far side",
    "stack": "finished stack, from the sheets above",
    "tooth_ring_lead": "paper ring, lead side",
    "tooth_ring_far": "paper ring, far side",
    "winding_card": "winding card",
}


@dataclass(frozen=True)
class OrderLine:
    """One thing to order, make, or have at hand.

    Args:
        item: what it is, in the words of the trade.
        quantity, unit: how much of it.
        addressee: who supplies it.
        kind: "part" of the catalogue, "supply" bought by measure, "tool", or "charge" without goods.
        material: grade and form.
        size: measures and limits.
        purpose: what it is for.
        part: name of the part of the catalogue, empty for all else.
        files: paths in the pack that go with it.
        thickness_mm: of sheet, None for what is not flat.
        length_m: of wire, bar and cable, all together.
        cut_length_mm, pierces, area_mm2: of one piece: length of cut, starts of it, net area.
        mass_kg: of all together, None if not known.
        cost: of all together from the user's own rates; None without a rate.
        confidence, source: how sure the quantity or size is, and where it comes from.
    """

    item: str
    quantity: float
    unit: str
    addressee: Addressee = "yourself"
    kind: Kind = "supply"
    material: str = ""
    size: str = ""
    purpose: str = ""
    part: str = ""
    files: tuple[str, ...] = ()
    thickness_mm: float | None = None
    length_m: float | None = None
    cut_length_mm: float | None = None
    pierces: int | None = None
    area_mm2: float | None = None
    mass_kg: float | None = None
    cost: float | None = None
    notes: tuple[str, ...] = ()
    confidence: Confidence = "practice"
    source: str = PRACTICE

    @property
    def amount(self) -> str:
        """The quantity with its unit, such as "1 piece" or "0.777 kg"."""
        unit = self.unit.removesuffix("s") if self.quantity == 1 else self.unit
        return f"{plain(self.quantity)} {unit}"


def plain(value: float, most: int = 3) -> str:
    """Return a number with at most `most` decimals and no zeros at its end."""
    text = format_number(value, most)
    return text.rstrip("0").rstrip(".") if "." in text else text


def one_line(text: str) -> str:
    """Return a text without line breaks and other control characters."""
    return " ".join(re.sub(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]", " ", text).split())


def both_units(*lengths_mm: float) -> str:
    """Return lengths in mm and in inches, such as "60.00 x 45.00 mm (2.362 x 1.772 in)"."""
    mm = " x ".join(format_number(v, 2) for v in lengths_mm)
    inch = " x ".join(format_number(v / MM_PER_INCH, 3) for v in lengths_mm)
    return f"{mm} mm ({inch} in)"


def words_for(part: Part) -> str:
    """Return what a part is called in an order."""
    if part.name in _WORDS:
        return _WORDS[part.name]
    for stem, words in (
        ("lamination_end", "end sheet"),
        ("coupon_bore", "test coupon, bores"),
        ("paper_sheet", "sheet of slot paper for a paper cutter,"),
    ):
        if part.name.startswith(stem):
            return f"{words} {part.name.removeprefix(stem).strip('_')}"
    return part.name.replace("_", " ")


def cut_first(part: Part) -> bool:
    """Tell whether a part asks to be cut and measured before all others."""
    return any(note.startswith("cut first") for note in part.notes)


def sheet_area(part: Part, gap: float) -> float:
    """Return the area in mm2 that all pieces take from a sheet: their boxes with the gap (mm)."""
    boxes = ((r.box[2] - r.box[0] + gap) * (r.box[3] - r.box[1] + gap) for r in part.cut)
    return math.fsum(boxes) * part.quantity


def total_cost(lines: Iterable[OrderLine]) -> float | None:
    """Return the sum of the costs that are known; None without any."""
    costs = [line.cost for line in lines if line.cost is not None]
    return sum(costs) if costs else None
