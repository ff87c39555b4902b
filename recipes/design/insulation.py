"""[liner], [wedge], [separator], [end_washer]: paper and strips between copper and steel."""

from __future__ import annotations

import itertools
from typing import Literal

from pydantic import field_validator, model_validator

from recipes.design.fields import Length, Table, a_choice, a_count, a_length, a_table

#     [ends]: what rounds the tooth's end edges under the coil, so that wire need not turn a square one.
#
# Seen along a tooth's tip, half a stack:
#
#         narrower_by               edge_radius
#           |<->|                     .------.    thickness
#           |   +------  step        (  cap   )
#           +-+--------  step        +-+------+-  end face of the steel
#             |                        |  proud
#             |  full sheets           |  full sheets

_R36 = "1 to 2 mm thick, 0.2 to 0.3 proud, R >= 1 wire and >= 0.8 mm; common practice"


class EndStep(Table):
    """Sheets at both ends of the stack whose teeth are narrower than the others."""

    count: int = a_count("sheets of this step at each end, part of the stack", 1, 60)
    narrower_by: Length = a_length(
        "less tooth on each side than the full sheets",
        0.05,
        10.0,
        source="0.5 and 1.0 mm a side over the last 1 to 2 mm, common practice",
    )


class EndCap(Table):
    """Insulating cap on each end face, outline of the steel with rounded edges to the wire."""

    thickness: Length = a_length("over the end face of the steel", 0.3, 20.0, source=_R36)
    proud: Length = a_length(
        "stands out of the steel into the slot, so that no wire touches a steel edge",
        0.0,
        2.0,
        0.25,
        source=_R36,
    )
    edge_radius: Length = a_length("round of the edge that the wire turns", 0.1, 20.0, source=_R36)

    @model_validator(mode="after")
    def _round_fits(self) -> EndCap:
        if self.edge_radius > self.thickness:
            raise ValueError(
                f"edge_radius {self.edge_radius:g} mm is more than the thickness of "
                f"{self.thickness:g} mm: use at most {self.thickness:g} mm, or a thicker cap"
            )
        return self


class Ends(Table):
    """Stepped sheets or a cap at both ends of the stack; neither: square steel edges."""

    steps: tuple[EndStep, ...] = a_table("narrower sheets, from the full sheets outwards", ())
    end_cap: EndCap | None = a_table("insulating caps instead of steps", None)

    @field_validator("steps")
    @classmethod
    def _narrowing(cls, steps: tuple[EndStep, ...]) -> tuple[EndStep, ...]:
        sizes = [step.narrower_by for step in steps]
        if any(b <= a for a, b in itertools.pairwise(sizes)):
            raise ValueError(
                "steps run from the full sheets outwards, each narrower than the last: "
                "use rising narrower_by"
            )
        return steps

    @model_validator(mode="after")
    def _one_kind(self) -> Ends:
        if self.steps and self.end_cap is not None:
            raise ValueError("a cap covers the steps: use either steps or end_cap")
        return self


class Liner(Table):
    """Paper that lines one slot, folded back over itself at both ends."""

    paper: Literal["aramid", "polyester film", "pressboard"] = a_choice(
        "what it is cut from", "aramid"
    )
    thickness: Length = a_length(
        "of the paper",
        0.02,
        1.0,
        0.18,
        source="small motors 0.13 to 0.20, industrial 0.20 to 0.25; a maker's slot insulation guide",
    )
    overhang: Length = a_length(
        "stands out of the steel at each end: end cap, washer and the cuff's length",
        0.0,
        25.0,
        3.0,
        source="2 to 4 mm for small low-voltage stators, common practice; creepage IEC 60664-1",
    )
    cuff: Length = a_length(
        "folded back at each end so that the liner cannot creep; 0 for none",
        0.0,
        20.0,
        3.0,
        source="3 to 4 mm, common practice",
    )
    mouth_gap: Length = a_length(
        "stops this far short of the slot opening on each side",
        0.0,
        3.0,
        0.2,
        source="0.0 to 0.3 mm, common practice",
    )
    fold_radius: Length | None = a_length(
        "smallest outer radius that the paper takes in a corner; left out: 1.75 x thickness",
        0.0,
        10.0,
        None,
        source="1.5 to 2 x thickness, common practice",
    )
    spare: int = a_count("pieces more than slots", 0, 200, 3)


class Wedge(Table):
    """Strip that closes the slot under the tips; thickness 0 for none."""

    thickness: Length = a_length(
        "of the strip", 0.0, 5.0, 0.3, source="0.25 to 0.5 mm, common practice"
    )
    overlap: Length = a_length(
        "reaches under the tip on each side", 0.3, 10.0, 1.2, source="1 to 1.5 mm, common practice"
    )


class Separator(Table):
    """Strip between the two coil sides of a slot; thickness 0 for none."""

    thickness: Length = a_length("of the strip", 0.0, 2.0, 0.0)


class EndWasher(Table):
    """Insulating ring on each end of the stack; thickness 0 for none."""

    thickness: Length = a_length("of the sheet", 0.0, 5.0, 0.0)
    extension: Length = a_length(
        "reaches into the slot beyond the steel",
        0.0,
        2.0,
        0.4,
        source="0.3 to 0.5 mm, common practice",
    )
