"""Axles for tests: a small one, a long one, one with flats and grooves, and seeded random ones."""

from __future__ import annotations

import random
from typing import Any

from geometry.finding import Finding
from geometry.solids import Machined
from recipes.motor import Motor
from recipes.shaft.profile import axle_solid, mouth_radius
from recipes.shaft.strength_rules import axle_load_findings, axle_strength_findings
from recipes.tables.bearings import Bearing, bearing
from recipes.tables.reader import load_table
from tests.support.design import job

#: Every bearing of the table, rising in bore, then in outside diameter.
BEARINGS: list[Bearing] = [
    bearing(row.text("designation")) for row in load_table("iso15_bearings.csv").rows
]


def seat(from_face: float, length: float, fit: str = "h6") -> dict[str, Any]:
    return {"from_face": from_face, "length": length, "fit": fit}


def solid_of(made: Motor) -> Machined:
    return axle_solid(made.design.axle, made.profile, made.key_seats)


def mouth_of(made: Motor) -> float:
    return mouth_radius(made.design.axle, made.pieces)


def strength_told(made: Motor) -> list[Finding]:
    axle = made.design.axle
    return axle_load_findings(axle) + axle_strength_findings(axle, made.axle_strength)


#: Without the starter's arms and key, which would not suit another bore.
PLAIN_HUB: dict[str, Any] = {
    "hub__keyway": None,
    "hub__spokes": None,
    "hub__yoke_thickness": None,
    "hub__rim_thickness": None,
}

SHORT: dict[str, Any] = {
    **PLAIN_HUB,
    "lamination__bore_diameter": 9.5,
    "lamination__stack_length": 2.9,
    "axle__length": 20.3,
    "axle__stock_diameter": 14,
    "axle__bore_diameter": 3.1,
    "axle__bearing": "608",
    "axle__seats": [seat(0.6, 3.1), seat(16.2, 3.2, "g6")],
    "axle__stator_seat": seat(10.9, 3.3),
    "axle__shoulder": {"from_face": 14.2, "length": 1.1, "diameter": 12.7},
    "axle__wire_slot": {
        "from_face": 5.1, "length": 4.3, "width": 2.1, "mouth_radius": 0.6, "angle": 12,
    },
    "axle__leads": [],
}  # fmt: skip

LONG: dict[str, Any] = {
    "lamination__bore_diameter": 55,
    "axle__length": 600,
    "axle__stock_diameter": 65,
    "axle__bore_diameter": 22,
    "axle__bearing": "6210",
    "axle__seats": [seat(61.3, 22.1), seat(520.7, 22.1, "k5")],
    "axle__stator_seat": seat(271.9, 24.4),
    "axle__shoulder": {"from_face": 296.3, "length": 17.1, "diameter": 60},
    "axle__wire_slot": {
        "from_face": 120.3, "length": 37.7, "width": 13.3, "mouth_radius": 2.2, "angle": -20,
    },
    "axle__flats": [
        {"from_face": 3.3, "length": 33.1, "across": 43.7, "angle": 70},
        {"from_face": 561.1, "length": 38.9, "across": 41.2},
    ],
    "axle__grooves": [
        {"from_face": 57.4, "width": 2.15, "diameter": 47},
        {"from_face": 543.1, "width": 2.15, "diameter": 47},
    ],
    "axle__bore_depth": 333.3,
}  # fmt: skip

BUSY: dict[str, Any] = {
    "axle__flats": [
        {"from_face": 0, "length": 13.3, "across": 19.7},
        {"from_face": 137.2, "length": 12.8, "across": 18.9, "angle": 90},
    ],
    "axle__grooves": [
        {"from_face": 20.7, "width": 1.3, "diameter": 23.9},
        {"from_face": 132, "width": 1.3, "diameter": 23.9},
    ],
    "axle__wire_slot": {"from_face": 44.5, "length": 22, "width": 8, "mouth_radius": 1.5},
    "axle__bore_depth": 88.8,
}


def random_axle(seed: int) -> Motor:
    """A valid axle: any bearing of the table from 8 mm on, all lengths drawn at random."""
    pick = random.Random(seed)
    ring = pick.choice([b for b in BEARINGS if b.bore_mm >= 8])
    d = ring.bore_mm
    stator = round(d + pick.uniform(1.2, 5.4), 2)
    collar = round(stator + pick.uniform(2.2, 6.1), 2)
    bore = round(min(pick.uniform(0.25, 0.5) * d, d - 4.3), 2)
    width = round(pick.uniform(0.3, 0.9) * bore, 2)
    edge = round(pick.uniform(0.0, min(1.9, 0.4 * (d - bore))), 2)
    z, mirrored = 0.0, pick.random() < 0.4

    def take(low: float, high: float) -> tuple[float, float]:
        nonlocal z
        start, size = round(z, 3), round(pick.uniform(low, high), 2)
        z = start + size
        return start, size

    take(0.7, 3.0 * d)
    first = take(ring.width_mm, 1.6 * ring.width_mm)
    take(edge + 0.8, 1.8 * d)
    slot = take(1.3 * width, 4.0 * width)
    take(edge + 0.8, 1.8 * d)
    seat_ = take(21.0, 60.0)
    beside = take(1.1, 12.0)
    take(0.6, 2.0 * d)
    second = take(ring.width_mm, 1.6 * ring.width_mm)
    end = take(0.7, 3.0 * d)
    length = round(z, 3)

    def place(part: tuple[float, float]) -> dict[str, float]:
        start = length - part[0] - part[1] if mirrored else part[0]
        return {"from_face": round(start, 3), "length": part[1]}

    fits = ("g6", "h5", "h6", "js6", "k5", "k6")
    changes: dict[str, Any] = {
        **PLAIN_HUB,
        "units": "mm",
        "lamination__bore_diameter": stator,
        "axle__length": length,
        "axle__stock_diameter": collar + 2,
        "axle__bore_diameter": bore,
        "axle__bearing": ring.designation,
        "axle__seats": sorted(
            ({**place(s), "fit": pick.choice(fits)} for s in (first, second)),
            key=lambda s: s["from_face"],
        ),
        "axle__stator_seat": {**place(seat_), "fit": "h6"},
        "axle__shoulder": {**place(beside), "diameter": collar},
        "axle__wire_slot": {
            **place(slot), "width": width, "mouth_radius": edge,
            "angle": round(pick.uniform(-180, 180), 1),
        },
    }  # fmt: skip
    if end[1] > 4 and not mirrored and pick.random() < 0.6:
        changes["axle__flats"] = [
            {
                "from_face": round(end[0] + 0.45 * end[1], 3),
                "length": round(0.5 * end[1], 2),
                "across": round(pick.uniform(0.75, 0.9) * (d - 0.2), 2),
                "angle": round(pick.uniform(-90, 90), 1),
            }
        ]
        changes["axle__flats"][0]["across"] = max(changes["axle__flats"][0]["across"], bore + 2.6)
    if pick.random() < 0.3:
        changes["print__page"] = "Letter"
    return job(**changes)


#: A pipe, measured, that keeps its outside: two filed seats, the wire slot, a glued stack.
PIPE: dict[str, Any] = {
    **PLAIN_HUB,
    "lamination__bore_diameter": 26.8,
    "shop__process": "wire-edm",
    "axle__material": "A53 grade B",
    "axle__stock": "pipe",
    "axle__stock_diameter": "1.050 in",
    "axle__stock_least": 26.62,
    "axle__stock_most": 26.74,
    "axle__bore_diameter": "0.742 in",
    "axle__bearing": "6005",
    "axle__seats": [
        {"from_face": 22, "length": 14, "made": "filed"},
        {"from_face": 118, "length": 14, "made": "filed"},
    ],
    "axle__stator_seat": None,
    "axle__shoulder": None,
    "axle__stack_from_face": 80,
    "axle__load": {"force": 150, "overhang": 215, "torque": 12, "held": "face A", "grip": 18},
}  # fmt: skip
