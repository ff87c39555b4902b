"""Shared by the tests of conductors and turn length: three stators of their own, and changes to them."""

import copy
from typing import Any

from recipes.design.load import validate
from recipes.motor import Motor, solve
from tests.support.design import raw

#: What decides where wire lies, table by table; the rest (axle, shop ...) comes from a starter.
BASES: dict[str, dict[str, Any]] = {
    "potters-wheel": {
        "motor": {"slots": 24, "poles": 28},
        "lamination": {
            "outer_diameter": 150, "bore_diameter": 30, "stack_length": 20, "sheet_thickness": 0.5,
            "steel": "M400-50A", "tooth_width": 7.6, "slot_depth": 18, "slot_opening": 3.2,
            "tip_thickness": 1.5, "tip_angle": 14,
        },
        "liner": {"thickness": 0.18, "overhang": 3.5, "cuff": 3},
        "wedge": {"thickness": 0.4, "overlap": 1.2},
        "separator": {"thickness": 0.13},
        "winding": {"wire": "0.75 mm", "grade": 2, "strands": 2, "turns": 24},
    },
    "kayak-thruster": {
        "motor": {"slots": 12, "poles": 14},
        "lamination": {
            "outer_diameter": 62, "bore_diameter": 18, "stack_length": 30, "sheet_thickness": 0.35,
            "steel": "M270-35A", "tooth_width": 6.0, "slot_depth": 13.5, "slot_opening": 2.6,
            "tip_thickness": 1.3, "tip_angle": 18, "tip_inner_radius": 0.35, "root_radius": 0.8,
        },
        "liner": {"thickness": 0.13, "overhang": 3, "cuff": 3},
        "wedge": {"thickness": 0.3, "overlap": 1.0},
        "winding": {"wire": "0.53 mm", "grade": 2, "strands": 4, "turns": 10},
    },
    # lengths in inches
    "wool-spinner": {
        "motor": {"slots": 18, "poles": 20},
        "lamination": {
            "outer_diameter": 3.5, "bore_diameter": 0.75, "stack_length": 0.6,
            "sheet_thickness": "0.35 mm", "steel": "M330-35A", "tooth_width": 0.25,
            "slot_depth": 0.55, "slot_opening": 0.1, "slot_bottom": "flat", "tip_thickness": 0.05,
            "tip_angle": 15,
        },
        "liner": {"thickness": 0.007, "overhang": "3 mm", "cuff": "3 mm"},
        "wedge": {"thickness": 0.01, "overlap": 0.045},
        "winding": {"wire": "24 AWG", "grade": 2, "turns": 42},
    },
}  # fmt: skip


def a_job(base: str, **tables: dict[str, Any]) -> Motor:
    """One of the three stators with the given fields of the given tables replaced."""
    changed = raw(base)
    for table in ("ends", "end_washer", "separator"):
        changed.pop(table, None)
    changed["motor"].update(BASES[base]["motor"])
    changed.update({t: f for t, f in copy.deepcopy(BASES[base]).items() if t != "motor"})
    for table, fields in tables.items():
        changed[table] = {**changed.get(table, {}), **fields}
    return solve(validate(changed))


#: Rounded ends.
CAP = {"end_cap": {"thickness": 1.7, "proud": 0.23, "edge_radius": 1.3}}
STEPS = {"steps": [{"count": 2, "narrower_by": 0.47}, {"count": 1, "narrower_by": 1.12}]}

#: Both slot shapes and bottoms, one and two coil sides, few thick and many thin wires.
CASES: dict[str, tuple[str, dict[str, dict[str, object]]]] = {
    "wheel": ("potters-wheel", {}),
    "thruster": ("kayak-thruster", {}),
    "spinner": ("wool-spinner", {}),
    "one side": ("kayak-thruster", {"winding": {"coil_sides": "alternate teeth"}}),
    "parallel slots": (
        "kayak-thruster",
        {
            "motor": {"slots": 9, "poles": 8},
            "lamination": {
                "slot_shape": "parallel slots",
                "slot_width": 8.37,
                "root_radius": 1.13,
            },
        },
    ),
    "parallel slots, one side": (
        "wool-spinner",
        {
            "lamination": {"slot_shape": "parallel slots", "slot_width": 0.283},
            "winding": {"coil_sides": "alternate teeth"},
        },
    ),
    "thin wire": ("potters-wheel", {"winding": {"wire": "0.3 mm", "strands": 1, "turns": 500}}),
    "thick wire, no wedge": (
        "kayak-thruster",
        {"winding": {"wire": "1.5 mm", "strands": 1}, "wedge": {"thickness": 0.0}},
    ),
    "wide separator": (
        "wool-spinner",
        {
            "separator": {"thickness": "0.71 mm"},
            "lamination": {"tip_angle": 0, "slot_bottom": "arc"},
        },
    ),
}


def a_case(name: str) -> Motor:
    starter, tables = CASES[name]
    return a_job(starter, **tables)
