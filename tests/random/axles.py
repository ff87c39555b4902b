"""Proportions of the hollow axle: features one after the other from face A."""

from __future__ import annotations

import math
from typing import Any

from recipes.tables.reader import load_table
from tests.random.dice import Dice
from tests.random.proportions import Sizes

Tables = dict[str, Any]


def axle(dice: Dice, size: Sizes) -> Tables:
    """Return an axle on which the stack sits, with bearings that go over it."""
    name, inner, wide = _bearing(dice, size)
    hole = round(dice.between(0.3, 0.5) * inner, 1)
    slot = round(max(0.5, dice.between(0.45, 0.8) * hole), 1)
    apart = max(slot, 3.0) + 2.0
    at = round(dice.between(0.4, 1.0) * inner, 1)
    places: dict[str, float] = {}

    def put(what: str, length: float, gap: float) -> float:
        nonlocal at
        places[what] = round(at, 2)
        at = places[what] + math.ceil(100 * length) / 100 + gap
        return math.ceil(100 * length) / 100

    seat = put("seat", wide + dice.between(0.0, 1.0), apart)
    long = put("slot", dice.between(2.0, 4.0) * slot + 1.0, apart)
    stack = put("stack", size.stack * 1.05 + 1.0, 0.0)
    collar = put("collar", dice.between(2.0, 8.0), dice.between(1.0, 12.0))
    last = dice.between(2.0, 20.0)
    put("second", wide, last)
    over = round(size.bore + dice.between(1.5, 4.0), 1)
    lead = max(0.3, round(0.16 * slot, 2))
    return {
        "length": round(at, 1),
        "stock_diameter": round(over + 2.0),
        "bore_diameter": hole,
        "bearing": name,
        "seats": [
            {"from_face": places["seat"], "length": seat},
            {"from_face": places["second"], "length": seat},
        ],
        "stator_seat": {"from_face": places["stack"], "length": stack},
        "shoulder": {"from_face": places["collar"], "length": collar, "diameter": over},
        "wire_slot": {
            "from_face": places["slot"],
            "length": long,
            "width": slot,
            "mouth_radius": round(min(1.0, 0.15 * hole), 2),
            "angle": dice.choice((0, 180, 30)),
        },
        "leads": [
            {"name": "phase", "count": 3, "outside_diameter": lead},
            {"name": "Hall", "count": 5, "outside_diameter": max(0.2, round(0.5 * lead, 2))},
        ][: dice.whole(0, 2)],
        "load": _load(dice, inner, at, min(places["seat"], last)),
    }


def _bearing(dice: Dice, size: Sizes) -> tuple[str, float, float]:
    """Return designation, bore and width of a bearing that goes on beside the stack."""
    rows = [
        (row.text("designation"), row.number("bore_mm"), row.number("width_mm"))
        for row in load_table("iso15_bearings.csv").rows
    ]
    fitting = [r for r in rows if max(4.0, 0.5 * size.bore) <= r[1] <= size.bore - 1.0]
    smaller = [r for r in rows if 4.0 <= r[1] <= size.bore - 0.5]
    return dice.choice(fitting or smaller[-3:] or rows[:1])


def covers(dice: Dice, axle: Tables) -> Tables:
    """Return plates that hold the bearings of an axle, bolted past the ring."""
    rows = load_table("iso15_bearings.csv").rows
    wide = next(r.number("width_mm") for r in rows if r.text("designation") == axle["bearing"])
    return {
        "thickness": round(wide + dice.between(2.0, 6.0), 1),
        "material": "EN AW-6082 T6",
        "bolts": {"thread": dice.choice(("M3", "M4", "M5")), "count": dice.whole(4, 8)},
    }


def _load(dice: Dice, inner: float, length: float, end: float) -> Tables:
    """Return a load that a round bar of the bearing's bore carries with ease; `end` is free to grip."""
    if dice.chance(30):
        return {"axial": 0.0}
    bend = 0.1 * inner**3 * 12.0  # N mm at 12 MPa
    return {
        "axial": round(bend / length * dice.share() / 5, 1) if dice.chance(50) else 0.0,
        "force": round(bend / length * dice.share(), 1),
        "overhang": round(length * dice.between(0.3, 1.2), 1),
        "torque": round(2 * bend / 1000 * dice.share(), 2),
        "held": dice.choice(("face A", "both ends")) if dice.chance(80) else "face A",
        "grip": round(end * dice.between(0.0, 0.9), 1),
    }
