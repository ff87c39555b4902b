"""Proportions of motors that people build: fields that hang on each other, drawn together.

Each function draws one table from what was drawn before, so that a fair share of the designs can
be made. What is drawn here is wide on purpose: from 3 slots to 60, from 30 mm to 500 mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

from recipes.tables.reader import load_table
from tests.random.dice import Dice

Tables = dict[str, Any]


@dataclass
class Sizes:
    """What later tables need to know of earlier ones, mm."""

    slots: int = 12
    poles: int = 14
    pitch: float = 0.0
    diameter: float = 0.0
    depth: float = 0.0
    tooth: float = 0.0
    slot: float = 0.0
    tip: float = 0.0
    opening: float = 0.0
    floor: float = 0.0
    bore: float = 0.0
    stack: float = 0.0
    sheet: float = 0.0
    paper: float = 0.0
    wire: float = 0.0


@cache
def balanced() -> tuple[tuple[int, int], ...]:
    """Return slots and poles of three-phase tooth coils: slots / gcd(slots, pairs) divides by 3."""
    return tuple(
        (slots, poles)
        for slots in range(3, 61, 3)
        for poles in range(2, 81, 2)
        if slots % (3 * math.gcd(slots, poles // 2)) == 0
        and 0.6 * slots <= poles <= 1.5 * slots
        and poles != slots
    )


@cache
def _wires() -> tuple[float, ...]:
    """Return the preferred bare diameters of IEC 60317-0-1, mm."""
    rows = load_table("iec60317_round.csv").rows
    return tuple(r.number("nominal_mm") for r in rows if r.text("series") == "R20")


def motor(dice: Dice, size: Sizes) -> Tables:
    """Return slots, poles and task."""
    most = dice.choice((12, 24, 24, 36, 60))  # many slots take long to judge
    size.slots, size.poles = dice.choice([b for b in balanced() if b[0] <= most])
    volts = dice.times(4.0, 120.0)
    constant = dice.times(0.3, 3.0) * 6000 / size.poles / volts
    return {
        "slots": size.slots,
        "poles": size.poles,
        "supply_voltage": round(volts, 1),
        "speed_constant": round(constant, 2),
        "top_speed": round(constant * volts * dice.between(0.5, 1.0)) + 1,
        "phase_current": 5.0,
        "duty": dice.choice(("moving", "stalled")),
    }


def lamination(dice: Dice, size: Sizes) -> Tables:
    """Return the sheet: all widths as shares of the slot pitch."""
    pitch = dice.times(9.0, 24.0) * (1 if size.slots > 9 else 2)
    size.diameter = round(min(520.0, max(30.0, pitch * size.slots / math.pi)), 1)
    size.pitch = pitch = math.pi * size.diameter / size.slots
    radius = size.diameter / 2
    size.depth = round(min(dice.between(0.5, 1.5) * pitch, dice.between(0.35, 0.5) * radius), 2)
    size.floor = radius - size.depth
    root = 2 * size.floor * math.sin(math.pi / size.slots)
    size.sheet = dice.choice((0.35, 0.5, 0.35, 0.5, 0.2, 0.65, 1.0))
    size.tip = round(max(1.3, 1.5 * size.sheet, dice.between(0.06, 0.12) * pitch), 2)
    size.opening = round(max(1.6, dice.between(0.14, 0.3) * pitch), 2)
    size.stack = round(dice.times(8.0, 120.0), 1)
    found: Tables = {
        "outer_diameter": size.diameter,
        "stack_length": size.stack,
        "sheet_thickness": size.sheet,
        "steel": "M400-50A" if size.sheet == 0.5 else "M330-35A",
        "slot_depth": size.depth,
        "slot_opening": size.opening,
        "slot_bottom": dice.choice(("arc", "flat")),
        "tip_thickness": size.tip,
        "tip_angle": dice.choice((0, 12, 20, 30) if size.depth > 0.6 * pitch else (0, 8)),
    }
    if dice.chance(25):
        widest = size.opening + 0.25 * pitch
        size.slot = max(widest, dice.between(0.35, 0.6) * root)
        size.tooth = root - size.slot
        found |= {"slot_shape": "parallel slots", "slot_width": round(size.slot, 2)}
    else:
        size.tooth = max(1.3, dice.between(0.3, 0.5) * root)
        size.slot = 0.5 * (root + pitch) - size.tooth
        found |= {"slot_shape": "parallel teeth", "tooth_width": round(size.tooth, 2)}
    yoke = dice.between(0.6, 1.1) * max(size.tooth, 2.0)
    inside = max(6.0, size.floor - yoke)
    size.bore = max(5.0, round(2 * inside * dice.between(0.3, 0.7), 1))
    return found | {"bore_diameter": size.bore}


def hub(dice: Dice, size: Sizes) -> Tables:
    """Return what fills the room between bore and slots: nothing, arms, holes, and a key."""
    room, middle = size.floor - size.bore / 2, size.floor + size.bore / 2
    ring = round(max(2.0, 0.25 * room), 2)
    found: Tables = {"orientation_mark": dice.chance(80), "mark_radius": 0.4}
    count = dice.choice([n for n in range(2, 13) if size.slots % n == 0] or [3])
    kind = dice.choice(("plain", "arms", "holes", "bolts"))
    if kind == "arms" and room > 9:
        width = round(min(0.3 * math.pi * size.bore / count, dice.between(3.0, 9.0)), 2)
        found |= {
            "yoke_thickness": ring,
            "rim_thickness": ring,
            "spokes": {"count": count, "width": max(width, 1.5), "fillet_radius": 0.8},
        }
    elif kind == "holes":
        radius = min(0.25 * room, 0.25 * math.pi * middle / count / 2)
        windows = {
            "count": count,
            "radius": round(max(radius, 0.6), 2),
            "circle_diameter": round(middle, 2),
        }
        found |= {"windows": windows}
    elif kind == "bolts":
        hole = round(max(1.2, min(0.3 * room, 6.0)), 1)
        found |= {
            "bolts": {"count": count, "circle_diameter": round(middle, 2), "hole_diameter": hole}
        }
    if dice.chance(25):
        width = max(1.2, round(0.2 * size.bore, 1))
        found["keyway"] = {
            "width": width,
            "depth": round(0.3 * width, 2),
            "count": dice.choice((1, 2)),
        }
    return found


def insulation(dice: Dice, size: Sizes) -> Tables:
    """Return liner, wedge and separator."""
    size.paper = dice.choice((0.13, 0.18, 0.05, 0.25))
    overhang = round(dice.between(2.2, 6.0), 1)
    cuff = round(overhang * dice.between(0.0, 1.0), 1)
    overlap = min(1.2, 0.3 * (size.slot - size.opening))
    wedge = 0.3 if dice.chance(50) and overlap > 0.4 else 0.0
    return {
        "liner": {"thickness": size.paper, "overhang": overhang, "cuff": cuff},
        "wedge": {"thickness": wedge, "overlap": round(max(0.3, overlap), 2)},
        "separator": {"thickness": dice.choice((0.0, 0.13, 0.3))},
    }


def winding(dice: Dice, size: Sizes) -> Tables:
    """Return wire that passes the opening and turns that fit the slot."""
    thickest = max(0.12, (size.opening - 2 * size.paper - 0.5) / 1.35)
    fitting = [d for d in _wires() if d <= min(thickest, 2.5)]
    size.wire = dice.choice(fitting[-9:] or [0.2])
    strands = dice.choice((1, 1, 1, 2, 3))
    both = dice.chance(70) or not alternating(size.slots, size.poles)
    room = 0.75 * (size.slot - 2 * size.paper) * max(1.0, size.depth - 2 * size.tip)
    most = room / (size.wire + 0.09) ** 2 / strands / (2 if both else 1)
    return {
        "wire": f"{size.wire:g} mm",
        "grade": dice.choice((2, 1)),
        "strands": strands,
        "turns": max(1, int(most * dice.between(0.2, 0.5))),
        "parallel_paths": _paths(dice, size),
        "coil_sides": "every tooth" if both else "alternate teeth",
        "connection": dice.choice(("wye", "delta")),
    }


def alternating(slots: int, poles: int) -> bool:
    """Tell whether coils on every second tooth make three equal phases."""
    return slots % 2 == 0 and (slots // 2) % (3 * math.gcd(slots // 2, poles // 2)) == 0


def _paths(dice: Dice, size: Sizes) -> int:
    """Return 1, or now and then as many paths as the winding repeats itself."""
    most = math.gcd(size.slots, size.poles // 2)
    return most if most % 2 == 0 and dice.chance(15) else 1


def rotor(dice: Dice, size: Sizes) -> Tables:
    """Return magnets that fill most of a pole, or none."""
    found: Tables = {"air_gap": round(dice.between(0.6, 1.5), 2)}
    pole = math.pi * size.diameter / size.poles
    if dice.chance(60) and pole > 2.5:
        thick = round(dice.times(0.8, min(6.0, 0.5 * pole)), 1)
        found |= {
            "magnet_width": max(1.0, round(pole * dice.between(0.5, 0.85), 1)),
            "magnet_thickness": thick,
            "ring_thickness": round(dice.between(0.3, 0.6) * pole + 1.0, 1),
            "magnet_shape": dice.choice(("block", "arc")),
            "magnet_tolerance": 0.05,
            "magnets_per_pole": 1,
        }
    return found
