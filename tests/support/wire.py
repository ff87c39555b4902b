"""Shared by the wire, connection and heat tests: starters whose turn lengths are given."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from unittest.mock import patch

from recipes.motor import Motor, solve
from recipes.winding.turn_length import TurnLengths, turn_lengths
from tests.support.design import STARTERS, design
from tests.support.winding import read_reference

__all__ = ["STARTERS", "job_of", "read_reference"]

# What the hand calculations count on, whatever becomes of the starters.
FIXED: dict[str, dict[str, Any]] = {
    "potters-wheel": {
        "motor__slots": 24, "motor__poles": 28, "motor__phase_current": 9.0,
        "motor__duty": "stalled", "motor__ambient": 20.0,
        "lamination__outer_diameter": 150, "lamination__slot_depth": 18,
        "lamination__stack_length": 20, "lamination__slot_opening": 3.2,
        "liner__thickness": 0.18, "liner__paper": "aramid",
        "winding__wire": "0.75 mm", "winding__grade": 2, "winding__strands": 2,
        "winding__turns": 24, "winding__connection": "wye", "winding__parallel_paths": 1,
    },
    "kayak-thruster": {
        "motor__slots": 12, "motor__poles": 14, "motor__phase_current": 18.0,
        "motor__duty": "moving", "motor__ambient": 12.0,
        "lamination__outer_diameter": 62, "lamination__bore_diameter": 18,
        "lamination__slot_depth": 13.5, "lamination__stack_length": 30,
        "winding__wire": "0.53 mm", "winding__grade": 2, "winding__strands": 4,
        "winding__turns": 10, "winding__connection": "delta", "winding__parallel_paths": 1,
        "winding__run": "one wire a tooth",
        "axle__length": 120, "axle__bore_diameter": 9, "axle__material": "1.4301 stainless",
        "axle__stator_seat": {"from_face": 50, "length": 32, "fit": "h6"},
    },
    "wool-spinner": {
        "motor__slots": 18, "motor__poles": 20, "motor__phase_current": 3.5,
        "motor__duty": "moving", "motor__ambient": 22.0,
        "lamination__outer_diameter": 3.5, "lamination__slot_depth": 0.55,
        "winding__wire": "24 AWG", "winding__grade": 2, "winding__strands": 1,
        "winding__turns": 42, "winding__connection": "wye", "winding__parallel_paths": 1,
    },
}  # fmt: skip


def job_of(name: str, coil_wire_m: float | None = None, /, **changes: Any) -> Motor:
    """Return the job of a starter with changes by dotted name, `winding__turns=7`.

    With `coil_wire_m` the starter first gets its `FIXED` fields, and each strand of a coil is that
    long.
    """
    if coil_wire_m is None:
        return solve(design(name, **changes))
    changed = design(name, **FIXED[name] | changes)
    winding = changed.winding
    total = winding.strands * (coil_wire_m + 2 * winding.tail / 1000)

    def plain(*given: Any) -> TurnLengths:
        return replace(
            turn_lengths(*given),
            coil_wire_m=coil_wire_m,
            coil_total_m=total,
        )

    with patch("recipes.motor.turn_lengths_of", plain):
        return solve(changed)
