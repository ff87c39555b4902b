"""[lamination] and [hub]: the sheet with teeth, and what holds it on the axle.

tooth 1 upward, seen from the lead side; half a slot:

    <- slot_opening/2 ->|  air gap
  slot axis             +--- tip_radius ----------  outer_diameter / 2
      |                 |  tip_thickness
      |                 +- tip_inner_radius
      |                  \\  tip_angle
      |                   \\__ neck_radius
      |                      |<--- tooth_width / 2 ---> tooth axis
      |                      |
      |                      |   slot_depth (from outer_diameter / 2 to the slot bottom)
      |                     /  root_radius
      +--------------------+ slot bottom ("arc" about the centre or "flat")
            yoke_thickness
"""

from __future__ import annotations

from typing import Literal

from recipes.design.fields import (
    Degrees,
    Figure,
    Length,
    Table,
    a_choice,
    a_count,
    a_figure,
    a_length,
    a_table,
    an_angle,
)

_R36 = "slot-side corners that touch liner or wire: R >= 0.5 at roots, 0.2 to 0.3 at tips; common practice"


class TabNotch(Table):
    """Relief where a holding tab or lead-in scar stays below the surface."""

    place: Literal["tip", "bore"] = a_choice("middle of the tooth tip, or the bore", "tip")
    count: int = a_count("how many, spread evenly", 1, 6, 3)
    depth: Length = a_length("depth below the surface", 0.1, 1.0, 0.3)
    width: Length = a_length("width along the surface", 0.5, 4.0, 1.8)


class Lamination(Table):
    """The stator sheet."""

    outer_diameter: Length = a_length("over the tooth tips, at the air gap", 15.0, 600.0)
    bore_diameter: Length = a_length("hole that sits on the axle", 1.0, 500.0)
    stack_length: Length = a_length("height of the finished stack", 1.0, 400.0)
    sheet_thickness: Length = a_length("one sheet", 0.05, 2.0)
    steel: str = a_choice("grade by EN 10106, such as 'M400-50A'", source="EN 10106")
    stacking_factor: Figure | None = a_figure(
        "steel share of the stack height; left out: a glued stack, 0.94",
        "1",
        0.80,
        1.0,
        None,
        source="EN 10106 gives 0.95 to 0.97 for pressed mill stock; hand-glued 0.90 to 0.95, common practice",
    )
    slot_shape: Literal["parallel teeth", "parallel slots"] = a_choice(
        "which sides run parallel: those of the tooth or those of the slot", "parallel teeth"
    )
    tooth_width: Length | None = a_length("width of a tooth; for parallel teeth", 0.5, 200.0, None)
    slot_width: Length | None = a_length("width of a slot; for parallel slots", 0.5, 200.0, None)
    slot_depth: Length = a_length(
        "from the air gap to the slot bottom on the slot axis", 1.0, 200.0
    )
    slot_opening: Length = a_length("clear gap between two tooth tips", 0.3, 100.0)
    slot_bottom: Literal["arc", "flat"] = a_choice(
        "slot bottom about the centre, or straight", "arc"
    )
    tip_thickness: Length = a_length("tip height at the slot opening", 0.2, 20.0)
    tip_angle: Degrees = an_angle(
        "slope of the tip's underside against a line square to the parallel sides", 0.0, 60.0, 0.0
    )
    tip_radius: Length | None = a_length(
        "round at the air-gap corner of the tip; left out: 0.3", 0.0, 20.0, None
    )
    tip_inner_radius: Length | None = a_length(
        "round of the lip under the tip, where the wire enters; left out: what the wire needs",
        0.0,
        20.0,
        None,
        source=_R36,
    )
    neck_radius: Length | None = a_length(
        "round between the tip's underside and the tooth; left out: as tip_inner_radius",
        0.0,
        20.0,
        None,
        source=_R36,
    )
    root_radius: Length | None = a_length(
        "round at the tooth root; left out: what the wire needs", 0.0, 50.0, None, source=_R36
    )
    tab_notch: TabNotch | None = a_table("relief for holding tabs", None)


class Spokes(Table):
    """Arms between the rim on the axle and the yoke ring."""

    count: int = a_count("how many", 2, 60)
    width: Length = a_length("width of one arm", 0.5, 200.0)
    fillet_radius: Length = a_length("round in the corners of the windows", 0.1, 50.0, 2.0)


class Windows(Table):
    """Round holes in the hub."""

    count: int = a_count("how many", 1, 60)
    radius: Length = a_length("radius of one hole", 0.3, 150.0)
    circle_diameter: Length = a_length("circle through their centres", 1.0, 500.0)


class Keyway(Table):
    """Notch in the bore for a key."""

    width: Length = a_length("width", 0.5, 50.0)
    depth: Length = a_length("depth beyond the bore, on the middle line", 0.2, 30.0)
    count: int = a_count("how many, spread evenly", 1, 4, 1)
    corner_radius: Length = a_length("round in the two outer corners", 0.0, 5.0, 0.3)


class Flats(Table):
    """Flat sides of the bore, for an axle with flats."""

    count: Literal[1, 2] = a_choice("one flat or two opposite ones", 2)
    distance: Length = a_length("from the centre to a flat", 0.5, 250.0)


class Bolts(Table):
    """Bolt circle."""

    count: int = a_count("how many", 1, 60)
    circle_diameter: Length = a_length("circle through their centres", 1.0, 500.0)
    hole_diameter: Length = a_length("hole", 0.3, 50.0)


class Hub(Table):
    """Inside of the slots: yoke ring, arms or holes, bore."""

    yoke_thickness: Length | None = a_length(
        "ring under the slots; needed with spokes", 0.5, 200.0, None
    )
    rim_thickness: Length | None = a_length(
        "ring round the bore; needed with spokes", 0.5, 200.0, None
    )
    spokes: Spokes | None = a_table("arms between rim and yoke", None)
    windows: Windows | None = a_table("round holes in the hub", None)
    keyway: Keyway | None = a_table("notch for a key", None)
    flats: Flats | None = a_table("flat sides of the bore", None)
    bolts: Bolts | None = a_table("bolt circle", None)
    orientation_mark: bool = a_choice(
        "small notches in the bore that show a sheet turned over in the stack", True
    )
    mark_radius: Length = a_length("radius of those half-round notches", 0.2, 0.5, 0.5)
    rotation_step: int | None = a_count(
        "turn each sheet by this many slots against the last; left out: the smallest step that fits",
        0,
        120,
        None,
    )
