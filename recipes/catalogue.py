"""Every recipe, in the order of the build. Adding a part is one file and one line here.

A recipe is the function `<name>` in its module; it is loaded when it is first
called, so that a quick look at a design does not load what draws an axle.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, cast

from geometry.part import Part
from recipes.job import Job

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True)
class Recipe:
    """One line of the catalogue.

    Args:
        name: plain name: of its function, and of its first part.
        module: where that function is, below `recipes`.
        files: kinds of file that its parts become: "cut" (DXF for a cutter), "print" (1:1 PDF),
            "draw" (drawing as DXF and PDF), "solid" (STEP), "mesh" (STL), "wind" (sheets for the winder as
            one PDF and pictures), "sheet" (drawings printed 1:1 as one PDF). A part without the
            needed shape (no region, no drawing, no body) leaves its kind out.
        meaning: one line for people.
    """

    name: str
    module: str
    files: tuple[str, ...]
    meaning: str

    @property
    def make(self) -> Callable[[Job], tuple[Part, ...]]:
        """The pure function from a job to parts."""
        found = getattr(import_module(f"recipes.{self.module}"), self.name)
        return cast("Callable[[Job], tuple[Part, ...]]", found)


RECIPES: tuple[Recipe, ...] = (
    Recipe(
        "coupon",
        "stator.coupon",
        ("cut",),
        "test coupon: cut it first, measure it, type the figures in",
    ),
    Recipe(
        "lamination",
        "stator.lamination",
        ("cut", "draw", "solid"),
        "stator sheet for the cutting shop",
    ),
    Recipe(
        "end_laminations",
        "stator.end_laminations",
        ("cut",),
        "narrower sheets for both ends of the stack",
    ),
    Recipe("stack", "stator.stack", ("draw", "solid"), "finished stack"),
    Recipe(
        "end_cap", "stator.end_cap", ("solid", "mesh"), "cap with rounded edges to print or machine"
    ),
    Recipe(
        "end_washer", "insulation.end_washer", ("cut", "print"), "insulating ring for both ends"
    ),
    Recipe(
        "liner", "insulation.liner", ("cut", "print"), "slot paper, flat, with its trial strips"
    ),
    Recipe("slot_strips", "insulation.strips", ("cut", "print"), "wedges and separators"),
    Recipe(
        "winding_card", "winding.card", ("wind",), "winding card: picture, tally boxes, joint list"
    ),
    Recipe("tooth_ring", "winding.tooth_ring", ("sheet",), "paper rings for both ends, 1:1"),
    Recipe(
        "hall_jig",
        "rotor.hall_jig",
        ("cut", "sheet"),
        "jig that holds the Hall sensors at their angles, 1:1",
    ),
    Recipe(
        "hall_plan",
        "rotor.hall_plan",
        ("sheet",),
        "Hall sensors: places, truth table, every legal set of slots",
    ),
    Recipe(
        "lead_jig",
        "shaft.lead_jig",
        ("sheet",),
        "card that turns the stack to the wire slot and orders the leads, 1:1",
    ),
    Recipe(
        "magnet_ring",
        "rotor.magnet_ring",
        ("sheet",),
        "spacing and polarity ring for the magnets, 1:1",
    ),
    Recipe("axle", "shaft.axle", ("draw", "solid"), "hollow axle with wire slot and seats"),
    Recipe(
        "axle_wrap",
        "shaft.axle_wrap",
        ("sheet",),
        "paper to wrap round the axle and mark it by, 1:1",
    ),
    Recipe(
        "seat_steps",
        "shaft.seat_steps",
        ("sheet",),
        "bench sheet: limits and play of every seat, steps to size",
    ),
)
