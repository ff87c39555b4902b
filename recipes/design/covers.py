"""[covers]: two discs that close the ring of magnets and carry the bearings; half-section, lead side.

outer face  seat face, inner face       thickness: of the plate, from outer to inner face
    |            |  |                   register_depth: how far the inner face
    v            v  v                   enters the ring's bore and centres the cover
    .------------.                      bolts: through cover and ring, or past the ring
    |   (bolt)   |====ring====
    |            '--.---------
    |               |                   housing_depth: pocket of the bearing, from the inner face
    |   .-----------'
    |   |  bearing                      lip: what the pocket leaves of the plate; it keeps the
    '---' lip_bore                      bearing from leaving outward
    ----------------- axle
"""

from __future__ import annotations

from typing import Literal

from recipes.design.fields import Length, Table, a_choice, a_count, a_length, a_table
from recipes.design.shop import WIDEST_KERF, Process

Thread = Literal["M2.5", "M3", "M4", "M5", "M6", "M8", "M10", "M12"]


class CoverBolts(Table):
    """What holds the covers on the ring."""

    thread: Thread = a_choice("size", source="ISO 261, coarse pitch")
    count: int = a_count("in each cover", 3, 36, 6)
    path: Literal["past the ring", "into the ring"] = a_choice(
        "past the ring: from cover to cover with a nut, outside the ring; into the ring: each cover "
        "with screws of its own, threads cut into the ring's end faces",
        "past the ring",
    )
    circle_diameter: Length | None = a_length(
        "of the bolt circle; left out: clear of the ring by 0.5 mm, or the middle of its wall",
        10.0,
        900.0,
        None,
    )
    hole: Literal["fine", "medium", "coarse"] = a_choice(
        "class of the clearance hole", "medium", source="ISO 273"
    )
    head: Literal["socket", "hexagon"] = a_choice(
        "head of the bolt", "socket", source="ISO 4762, ISO 4014"
    )


class AirHoles(Table):
    """Round holes in each cover that let air through."""

    count: int = a_count("in each cover", 2, 36)
    diameter: Length = a_length("of one hole", 2.0, 200.0)
    circle_diameter: Length = a_length("of the circle that they stand on", 10.0, 900.0)


class JackScrews(Table):
    """Threaded holes over the ring's wall: screws in them let the rotor down and press it off again."""

    thread: Thread = a_choice("size", "M5", source="ISO 261, coarse pitch")
    count: int = a_count("in the lead-side cover", 2, 6, 3, source="three do not rock")


class Covers(Table):
    """Covers of the rotor; left out: none are drawn, and nothing along the axle is judged for them."""

    thickness: Length = a_length("of the plate", 2.0, 60.0)
    material: str = a_choice(
        "of the plate, such as 'EN AW-6082 T6' or 'S235JR'",
        "EN AW-6082 T6",
        source="least values of EN 485-2, EN 10025-2, EN 10088-2",
    )
    outside_diameter: Length | None = a_length(
        "left out: as the ring, or what bolts past the ring ask for", 10.0, 1000.0, None
    )
    bolts: CoverBolts = a_table("what holds them on the ring")
    housing_depth: Length | None = a_length(
        "depth of the bearing's pocket from the inner face; left out: the width of the bearing",
        2.0,
        58.0,
        None,
    )
    lip_bore: Length | None = a_length(
        "hole in the lip that keeps the bearing; left out: 0.2 of the room between the bearing's bore "
        "and outside is covered",
        2.0,
        400.0,
        None,
        source="clear of the inner ring and the seal, common practice",
    )
    register_depth: Length = a_length(
        "how far the inner face enters the bore of the ring and centres the cover; 0: bolts centre it",
        0.0,
        10.0,
        1.5,
        source="common practice",
    )
    fixed: Literal["lead side", "far side", "neither"] = a_choice(
        "which bearing holds the rotor along the axle; the other one's inner ring slides on its seat. "
        "Neither: both take part, each one way",
        "lead side",
        source="one fixed and one floating bearing, common practice",
    )
    end_float: Length = a_length(
        "gap along the axle that the floating bearing keeps to its shoulder, play of the rotor where "
        "neither is fixed",
        0.0,
        10.0,
        1.0,
        source="what lengths of ISO 2768-m and both bearings may take, common practice",
    )
    ring_length: Length | None = a_length(
        "of the steel ring; left out: from cover to cover. Shorter: spacer rings fill what is left",
        2.0,
        500.0,
        None,
    )
    depth_tolerance: Length = a_length(
        "plus and minus on the depth of pocket and register",
        0.005,
        1.0,
        0.1,
        source="turned to a depth gauge, common practice",
    )
    length_tolerance: Length = a_length(
        "plus and minus on the length of ring and spacers",
        0.005,
        2.0,
        0.1,
        source="both faces turned, common practice",
    )
    bore_allowance: Length = a_length(
        "left on the diameter of the lip's hole in the cut file, for the lathe",
        0.0,
        20.0,
        2.0,
        source="taper and skin of the cut come off, common practice",
    )
    process: Process | None = a_choice(
        "how the plate is cut; left out: as [shop]",
        None,
        source="table of processes, one row each; common practice",
    )
    kerf_full_width: Length = a_length(
        "full kerf width to draw into the cut file of the plate; 0: drawn nominal, the shop compensates",
        0.0,
        WIDEST_KERF,
        0.0,
        source="thick plate loses more than the sheet of the coupon: ask the shop; common practice",
    )
    engrave_marks: bool = a_choice(
        "put crosses for holes that are drilled on a layer of their own in the cut file",
        False,
        source="a shop that cuts every layer would cut them: agree it first; common practice",
    )
    air_holes: AirHoles | None = a_table("holes for air", None)
    jack_screws: JackScrews | None = a_table(
        "threaded holes for letting the rotor down", JackScrews.model_construct()
    )
