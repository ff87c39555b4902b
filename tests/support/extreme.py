"""Stators at the ends of what is built: few and many slots, small and large, flat and long."""

from __future__ import annotations

import math
from typing import Any

from recipes.motor import Motor
from tests.support.card import SIZES, motor

#: Outer diameter of the stator in mm -> bore of the stack in mm, bearing, and its bore in mm.
AXLES = {20.0: (5.2, "604", 4.0), 62.0: (17.3, "6002", 15.0), 400.0: (71.0, "6010", 50.0)}


def _axle(outer: float, stack: float) -> dict[str, Any]:
    """An axle to suit: a land of the stator's bore, a slot on the lead side, flats and a groove."""
    bore, bearing, inside = AXLES[outer]
    wide = 9.0
    slot_at, slot = 20.0 + wide + 0.9 * bore, max(8.0, 0.6 * bore)
    stator = slot_at + slot + 0.5 * bore + 6.0
    collar = stator + stack + 4.0
    return {
        "lamination__bore_diameter": bore,
        "axle__bearing": bearing,
        "axle__length": collar + 7.0 + wide + 17.0,
        "axle__stock_diameter": 1.4 * bore,
        "axle__bore_diameter": 0.4 * inside,
        "axle__end_diameter": None,
        "axle__wire_slot": {
            "from_face": slot_at, "length": slot, "width": 0.3 * inside, "mouth_radius": 0.1,
            "angle": 23.0,
        },
        "axle__stator_seat": {"from_face": stator, "length": stack + 4.0, "fit": "h6"},
        "axle__shoulder": {"from_face": collar, "length": 7.0, "diameter": 1.3 * bore},
        "axle__flats": [{"from_face": 0.0, "length": 11.3, "across": 0.83 * inside, "angle": 37.0}],
        "axle__grooves": [
            {"from_face": collar + 7.0 + wide + 2.3, "width": 1.1, "diameter": 0.87 * inside}
        ],
        "axle__leads": [
            {"name": "phase", "count": 3, "outside_diameter": 0.08 * inside},
            {"name": "Hall", "count": 5, "outside_diameter": 0.05 * inside},
        ],
        "axle__seats": [
            {"from_face": 20.0, "length": wide, "fit": "h6"},
            {"from_face": collar + 7.0, "length": wide, "fit": "h6"},
        ],
    }  # fmt: skip


def stator(slots: int, outer: float, stack: float, **changes: Any) -> Motor:
    """Return a stator of this many slots, size and height with liner, strips, washer, magnets."""
    depth = 0.16 * outer
    pitch = math.pi * (outer - 2 * depth) / slots
    fields: dict[str, Any] = {
        "lamination__outer_diameter": outer,
        "lamination__slot_depth": depth,
        "lamination__stack_length": stack,
        "lamination__tooth_width": min(0.48 * pitch, 0.17 * outer),
        "lamination__slot_opening": min(95.0, 0.3 * outer) if slots == 3 else min(2.3, 0.45 * pitch),
        "lamination__tip_thickness": max(1.1, 0.012 * outer),
        "end_washer__thickness": 0.5,
        "end_washer__extension": 0.1,
        "rotor__air_gap": 0.7,
        "rotor__magnet_width": min(197.0, 0.55 * math.pi * outer / SIZES[slots]),
        "rotor__magnet_thickness": max(1.3, 0.02 * outer),
        **_axle(outer, stack),
    }  # fmt: skip
    return motor(slots, **{**fields, **changes})


#: Slots, outer diameter and stack in mm, and further fields.
EXTREMES: dict[str, tuple[int, float, float, dict[str, Any]]] = {
    "3 slots, 20 mm": (3, 20.0, 10.0, {"end_washer__thickness": 0.0}),
    "12 slots, 20 mm": (12, 20.0, 200.0, {}),
    "3 slots, 400 mm": (3, 400.0, 200.0, {}),
    "24 slots, 400 mm": (24, 400.0, 10.0, {}),
    "120 slots, 400 mm": (120, 400.0, 200.0, {}),
    "18 slots, 62 mm, long": (18, 62.0, 400.0, {}),
}


def extreme(name: str, **changes: Any) -> Motor:
    """Return one of `EXTREMES` with further changes."""
    slots, outer, stack, fields = EXTREMES[name]
    return stator(slots, outer, stack, **{**fields, **changes})
