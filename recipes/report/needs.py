"""Which lines of the order, files and findings belong to which step: each to exactly one."""

from __future__ import annotations

from collections.abc import Iterable

from geometry.finding import Finding
from recipes.manufacturing.order_line import OrderLine

#: Steps in order.
STEPS = (
    "coupon",
    "cut",
    "deburr",
    "stack",
    "line",
    "wind",
    "join",
    "test",
    "axle",
    "bearings",
    "magnets",
    "sensors",
    "covers",
    "run",
)

#: Beginning of a part's name, and its step; the first that fits counts.
PARTS = (
    ("coupon", "coupon"),
    ("lamination", "cut"),
    ("stack", "stack"),
    ("end_", "line"),
    ("liner_trial", "coupon"),
    ("liner", "line"),
    ("wedge", "line"),
    ("separator", "line"),
    ("paper_sheet", "line"),
    ("tooth_ring", "line"),
    ("winding_card", "wind"),
    ("hall_", "sensors"),
    ("lead_jig", "join"),
    ("magnet_ring", "magnets"),
    ("rotor_ring", "magnets"),
    ("spacer_ring", "covers"),
    ("cover", "covers"),
    ("axle", "axle"),
    ("seat_", "axle"),
)

#: Word in the name of a supply, tool or charge, and its step; the first that fits counts.
ITEMS = (
    ("covers", "covers"),
    ("set-up", "cut"),
    ("electrical steel", "cut"),
    ("stone", "deburr"),
    ("laminating", "stack"),
    ("mandrel", "stack"),
    ("clamp collar", "axle"),
    ("clamp", "stack"),
    ("screw or threaded", "stack"),
    ("insulation tester", "test"),
    ("insulation, sheet", "line"),
    ("liner former", "line"),
    ("knife", "line"),
    ("winding wire", "wind"),
    ("bobbin", "wind"),
    ("wooden wedges", "wind"),
    ("drift", "wind"),
    ("winding holder", "wind"),
    ("wire brake", "wind"),
    ("solder", "join"),
    ("sleeving", "join"),
    ("lacing", "join"),
    ("varnish", "join"),
    ("bore gauge", "cut"),
    ("micrometer", "coupon"),
    ("calliper", "coupon"),
    ("meter", "test"),
    ("hexagon nut", "run"),
    ("locknut", "run"),
    ("plain washer", "run"),
    ("key", "axle"),
    ("retaining ring", "axle"),
    ("round bar", "axle"),
    ("pipe", "axle"),
    ("precision tube", "axle"),
    ("dom tube", "axle"),
    ("bearing", "bearings"),
    ("magnets", "magnets"),
    ("hall switch", "sensors"),
    ("temperature sensor", "sensors"),
    (" lead", "sensors"),
    ("lead,", "sensors"),
)

#: Supply whose purpose names the part that it is for.
SHEET = "sheet material"

#: Where a finding belongs, by the beginning of its field; the first that fits counts.
FIELDS = (
    ("shop", "cut"),
    ("lamination.bore", "axle"),
    ("lamination.slot_opening", "wind"),
    ("lamination.stack", "stack"),
    ("hub", "stack"),
    ("lamination", "cut"),
    ("ends", "line"),
    ("end_washer", "line"),
    ("liner_trial", "coupon"),
    ("liner", "line"),
    ("wedge", "line"),
    ("separator", "line"),
    ("print", "line"),
    ("winding.connection", "join"),
    ("winding.parallel_paths", "join"),
    ("winding.tail", "join"),
    ("winding", "wind"),
    ("lead_resistance", "test"),
    ("measured", "test"),
    ("axle.seats", "bearings"),
    ("axle.leads", "sensors"),
    ("axle.wire_slot.width", "sensors"),
    ("axle", "axle"),
    ("covers", "covers"),
    ("hall", "sensors"),
    ("rotor", "magnets"),
    ("motor.poles", "magnets"),
    ("motor", "run"),
)

#: Where anything lands that fits nowhere else: before money is spent.
ELSE = "cut"


def step_of_line(line: OrderLine) -> str:
    """Return the step that a line of the order belongs to."""
    if line.part:
        return _first(PARTS, line.part, start=True)
    if line.item == SHEET:  # bought for a part: it goes where the part goes
        part = line.purpose.removeprefix("for ").replace(" ", "_")
        return _first(PARTS, part, start=True)
    return _first(ITEMS, line.item.casefold())


def step_of_finding(found: Finding) -> str:
    """Return the step that a finding belongs to."""
    return _first(FIELDS, found.field, start=True)


def needs_of(step: str, lines: Iterable[OrderLine]) -> tuple[OrderLine, ...]:
    """Return the lines of one step, parts before supplies before tools."""
    kinds = ("part", "charge", "supply", "tool")
    mine = [line for line in lines if step_of_line(line) == step]
    return tuple(sorted(mine, key=lambda line: kinds.index(line.kind)))


def _first(table: tuple[tuple[str, str], ...], words: str, start: bool = False) -> str:
    return next(
        (step for key, step in table if (words.startswith(key) if start else key in words)), ELSE
    )
