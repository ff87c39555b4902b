"""Every recipe, in the order of the build. Adding a part is one file and one line here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from geometry.part import Part
from recipes.axle import axle
from recipes.job import Job
from recipes.lamination import lamination
from recipes.liner import liner


@dataclass(frozen=True)
class Recipe:
    """One line of the catalogue.

    Args:
        name: plain name, also that of its first part.
        make: pure function from a job to parts.
        files: kinds of file that its parts become: "cut" (DXF for a cutter), "print" (1:1 PDF),
            "draw" (drawing as DXF and PDF), "solid" (STEP), "wind" (sheets for the winder as
            one PDF and pictures), "sheet" (drawings printed 1:1 as one PDF). A part without the
            needed shape (no region, no drawing, no body) leaves its kind out.
        meaning: one line for people.
    """

    name: str
    make: Callable[[Job], tuple[Part, ...]]
    files: tuple[str, ...]
    meaning: str


RECIPES: tuple[Recipe, ...] = (
    Recipe("lamination", lamination, ("cut", "solid"), "stator sheet for the cutting shop"),
    Recipe("liner", liner, ("cut", "print"), "slot paper, flat, with its trial strips"),
    Recipe("axle", axle, ("draw", "solid"), "hollow axle with wire slot and seats"),
)
