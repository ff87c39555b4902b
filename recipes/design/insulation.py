"""[liner], [wedge], [separator], [end_washer]: paper and strips between copper and steel."""

from __future__ import annotations

from typing import Literal

from recipes.design.fields import Length, Table, a_choice, a_count, a_length


class Liner(Table):
    """Paper that lines one slot, folded back over itself at both ends."""

    paper: Literal["aramid", "polyester film", "pressboard"] = a_choice(
        "what it is cut from", "aramid"
    )
    thickness: Length = a_length(
        "of the paper", 0.02, 1.0, 0.18,
        source="small motors 0.13 to 0.20, industrial 0.20 to 0.25; a maker's slot insulation guide",
    )  # fmt: skip
    overhang: Length = a_length(
        "stands out of the stack at each end", 0.0, 25.0, 3.0,
        source="2 to 4 mm for small low-voltage stators, common practice; creepage IEC 60664-1",
    )  # fmt: skip
    cuff: Length = a_length(
        "folded back at each end so that the liner cannot creep; 0 for none", 0.0, 20.0, 3.0,
        source="3 to 4 mm, common practice",
    )  # fmt: skip
    mouth_gap: Length = a_length(
        "stops this far short of the slot opening on each side", 0.0, 3.0, 0.2,
        source="0.0 to 0.3 mm, common practice",
    )  # fmt: skip
    fold_radius: Length | None = a_length(
        "smallest outer radius that the paper takes in a corner; left out: 1.75 x thickness", 0.0, 10.0, None,
        source="1.5 to 2 x thickness, common practice",
    )  # fmt: skip
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
