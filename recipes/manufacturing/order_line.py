"""One line of the order: what, how many, for whom, how sure, and what it costs if that is known."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from geometry.finding import Confidence
from recipes.design.units import MM_PER_INCH, format_number

Addressee = Literal["cutting shop", "wire merchant", "bearing merchant", "turner", "yourself"]
Kind = Literal["part", "supply", "tool", "charge"]

ADDRESSEES: Final[tuple[Addressee, ...]] = (
    "cutting shop",
    "wire merchant",
    "bearing merchant",
    "turner",
    "yourself",
)
"""In the order in which their texts are written; the wire merchant also sells insulation."""

KINDS: Final[tuple[Kind, ...]] = ("part", "charge", "supply", "tool")

PRACTICE: Final = "common practice"


@dataclass(frozen=True)
class OrderLine:
    """One thing to order, make, or have at hand.

    Args:
        addressee: who supplies it.
        kind: "part" of the catalogue, "supply" bought by measure, "tool", or "charge" without goods.
        item: what it is, in the words of the trade.
        quantity, unit: how much of it.
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

    addressee: Addressee
    kind: Kind
    item: str
    quantity: float
    unit: str
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
