"""[axle]: the hollow axle that stands still, seen with the lead side on the left.

face A                                                        face B
|     bearing      wire     stator seat          bearing        |
|      seat        slot                shoulder    seat         |
+----+======+----+--(__)--+==========+########+-----+======+----+
0 -> from_face of every feature is measured from face A

Stator seat and shoulder may be left out: then the stack stands on the stock as it was bought, such
as a pipe whose only worked places are two bearing seats and the wire slot.
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


class Seat(Table):
    """A bearing seat."""

    from_face: Length = a_length("distance of its nearer edge from face A", 0.0, 2000.0)
    length: Length = a_length("length of the seat", 2.0, 200.0)
    fit: Literal["g6", "h5", "h6", "js6", "k5", "k6"] = a_choice(
        "shaft tolerance: h6, or g6 where the ring must slide, under a load that keeps its direction; js6 "
        "or k5 under one that turns with the rotor (load.action)",
        "h6",
        source="JIS B 1566, DIN 5425-1; the ring that the load runs round sits tight",
    )
    made: Literal["turned", "ground", "filed"] = a_choice(
        "how it is brought to size",
        "turned",
        source="a file does not hold the limits of a bearing seat; common practice",
    )


class StatorSeat(Table):
    """Where the stack sits; its diameter is the lamination's bore."""

    from_face: Length = a_length("distance of its nearer edge from face A", 0.0, 2000.0)
    length: Length = a_length("length of the seat", 1.0, 500.0)
    fit: Literal["g6", "h6", "h7", "js6", "k6"] = a_choice(
        "shaft tolerance", "h6", source="ISO 286-2"
    )


class Shoulder(Table):
    """Collar that the stack rests against."""

    from_face: Length = a_length("distance of its nearer edge from face A", 0.0, 2000.0)
    length: Length = a_length("length of the collar", 0.5, 500.0)
    diameter: Length = a_length("over the collar", 1.0, 500.0)


class WireSlot(Table):
    """Slot with full-radius ends through one wall, where the leads come out."""

    from_face: Length = a_length("distance of its nearer end from face A", 0.0, 2000.0)
    length: Length = a_length("overall length", 1.0, 300.0)
    width: Length = a_length("width, and diameter of its round ends", 0.5, 60.0)
    mouth_radius: Length = a_length(
        "round on the edge where leads bend out",
        0.0,
        10.0,
        1.0,
        source="R >= 1 mm or half the lead's diameter, common practice",
    )
    angle: Degrees = an_angle(
        "direction of the slot round the axle, seen from the lead side; 90 is up, 0 is to the right",
        -180.0,
        360.0,
        0.0,
        source="leads leave to the side, near the neutral axis; common practice",
    )


class AxleFlats(Table):
    """Two flats at the end of the axle, for the frame."""

    from_face: Length = a_length("distance of their nearer edge from face A", 0.0, 2000.0)
    length: Length = a_length("length of the flats", 1.0, 300.0)
    across: Length = a_length("distance between the two flats", 1.0, 400.0)
    angle: Degrees = an_angle(
        "direction that one of the flats faces, seen from the lead side; 90 is up, 0 is to the right",
        -180.0,
        360.0,
        0.0,
    )
    arm_yield: Figure = a_figure(
        "least yield strength of the frame or torque arm that holds the flats",
        "MPa",
        20.0,
        2500.0,
        235.0,
        source="S235, plain structural steel, EN 10025-2; aluminium plate may have 100",
    )


class KeySeat(Table):
    """Seats in the axle for the keys of the stack; only asked where hub.keyway is given."""

    from_face: Length | None = a_length(
        "distance of their nearer end from face A; left out: in the middle of the stack",
        0.0,
        2000.0,
        None,
    )
    length: Length | None = a_length(
        "overall, round ends included; left out: the longest standard key that ends 1 mm inside the "
        "stack",
        1.0,
        400.0,
        None,
        source="DIN 6885-1",
    )
    depth: Length | None = a_length(
        "on the middle line; left out: by the width of hub.keyway",
        0.2,
        30.0,
        None,
        source="DIN 6885-1",
    )


class Groove(Table):
    """Groove for a retaining ring."""

    from_face: Length = a_length("distance of its nearer edge from face A", 0.0, 2000.0)
    ring: Length | None = a_length(
        "standard ring by the shaft diameter that it is made for, such as 15; left out: a ring of your own",
        1.0,
        400.0,
        None,
        source="DIN 471",
    )
    width: Length | None = a_length(
        "width; left out: the least that the ring allows", 0.3, 10.0, None, source="DIN 471"
    )
    diameter: Length | None = a_length(
        "at the bottom of the groove; left out: that of the ring",
        1.0,
        400.0,
        None,
        source="DIN 471",
    )


class EndThread(Table):
    """Thread on an end of the axle, with nut and washer."""

    face: Literal["face A", "face B"] = a_choice("the end that it begins at")
    thread: str = a_choice(
        "ISO metric, such as 'M14x1.5' or 'M12', or unified inch, such as '1/2-20 UNF'",
        source="ISO 261, ASME B1.1",
    )
    length: Length = a_length("from that face to its end, undercut included", 2.0, 300.0)
    undercut: Literal["DIN 76-1", "none"] = a_choice(
        "groove behind the thread in which the tool runs out, so that the nut reaches the shoulder",
        "DIN 76-1",
        source="DIN 76-1 form A",
    )


class Lead(Table):
    """Wires that leave through the axle."""

    name: str = a_choice("what they are, such as 'phase'")
    count: int = a_count("how many", 1, 60)
    outside_diameter: Length = a_length("of one lead over its insulation", 0.2, 40.0)


class Load(Table):
    """What the axle carries between its supports; `recipes.shaft.load` draws it."""

    force: Figure = a_figure(
        "steady force across the axle that the rotor hands to the bearings: weight, pull of a belt, "
        "push of a hand",
        "N",
        0.0,
        1e6,
        0.0,
    )
    overhang: Length = a_length(
        "distance from the held face to the force, from face A if both ends are held; it may lie "
        "beyond the axle",
        0.0,
        2000.0,
        0.0,
    )
    torque: Figure = a_figure("torque that the axle holds against", "Nm", 0.0, 1e5, 0.0)
    axial: Figure = a_figure(
        "steady force along the axle that the rotor hands to it: thrust of a propeller, side force of a "
        "wheel in a bend",
        "N",
        0.0,
        1e6,
        0.0,
    )
    axial_way: Literal["both ways", "toward face A", "toward face B"] = a_choice(
        "where that force pushes the rotor", "both ways"
    )
    held: Literal["face A", "face B", "both ends"] = a_choice(
        "which end the frame holds against turning and tilting, or both", "face A"
    )
    grip: Length = a_length(
        "how far the frame reaches along the axle from a held face; 0 is the safe side",
        0.0,
        1000.0,
        0.0,
    )
    direction: Degrees = an_angle(
        "direction of the force, seen from the lead side; -90 is down, 0 is to the right",
        -180.0,
        360.0,
        -90.0,
    )
    action: Literal["stands still", "turns"] = a_choice(
        "whether the force keeps its direction (weight, belt) or turns with the rotor (unbalance); it "
        "decides which ring of the bearings sits tight",
        "stands still",
    )


class Axle(Table):
    """The hollow axle."""

    length: Length = a_length("from face A to face B", 10.0, 2000.0)
    stock: Literal["bar", "pipe", "precision tube", "DOM tube"] = a_choice(
        "what it is made from: bar that is bored, or a hollow whose bore is bought: pipe in inch sizes "
        "and schedules, metric precision tube, inch tube drawn over a mandrel",
        "bar",
        source="ASME B36.10M, EN 10305-1, ASTM A513 type 5; lamwright lookup tube knows their sizes",
    )
    stock_diameter: Length = a_length(
        "outside of the bar, pipe or tube that it is made from", 2.0, 500.0
    )
    stock_least: Length | None = a_length(
        "least diameter found on that bar or tube, measured at both ends and the middle, two ways "
        "each; left out: as stock_diameter, less what the standard of a tube allows",
        2.0,
        500.0,
        None,
    )
    stock_most: Length | None = a_length(
        "greatest diameter found there: the stack must go over it where no stator_seat is turned; left "
        "out: as stock_diameter, and what the standard of a tube allows",
        2.0,
        500.0,
        None,
    )
    stock_runout: Length | None = a_length(
        "out of true: greatest less least reading of a dial gauge along the bar as it turns in the "
        "lathe; left out: not measured",
        0.0,
        20.0,
        None,
    )
    bore_diameter: Length = a_length(
        "hole along the axis, from face A; of a pipe or tube its inside", 0.5, 400.0
    )
    bore_depth: Length | None = a_length(
        "depth of that hole; left out: right through", 1.0, 2000.0, None
    )
    bore_mouth_radius: Length | None = a_length(
        "round on the bore's edge at face A, where leads bend out; left out: as the wire slot's, "
        "but at most 0.4 of the wall",
        0.0,
        10.0,
        None,
        source="R >= 1 mm or half the lead's diameter, common practice",
    )
    edge_break: Length = a_length(
        "45 degree chamfer at both ends", 0.1, 2.0, 0.4, source="0.3 to 0.5 mm, common practice"
    )
    material: str = a_choice("steel grade and condition", "C45 normalised")
    yield_strength: Figure | None = a_figure(
        "least yield strength of that bar from its certificate; left out: by its material",
        "MPa",
        50.0,
        2500.0,
        None,
    )
    tensile_strength: Figure | None = a_figure(
        "least tensile strength of that bar from its certificate; left out: by its material",
        "MPa",
        80.0,
        3000.0,
        None,
    )
    bearing: str = a_choice(
        "both bearings, such as '6005' or 'R16' of the inch series", source="ISO 15, ABMA 20"
    )
    bearing_static_rating: Figure | None = a_figure(
        "C0 of one bearing by its maker; left out: estimated from its sizes",
        "N",
        10.0,
        1e7,
        None,
        source="ISO 76",
    )
    bearing_dynamic_rating: Figure | None = a_figure(
        "C of one bearing by its maker; left out: estimated from its sizes",
        "N",
        10.0,
        1e7,
        None,
        source="ISO 281",
    )
    hub_fit: Literal["H7", "K7", "M7", "N7", "P7"] | None = a_choice(
        "bore of the hub round the outer rings; left out: by load.action, M7 where the load runs round the "
        "outer ring (N7 above a fifteenth of the bearing's load rating, P7 in a thin or aluminium hub), "
        "H7 where it turns with the rotor",
        None,
        source="JIS B 1566, DIN 5425-1",
    )
    mounting_gap: Length = a_length(
        "play on the diameter that a warm bearing needs to slide on",
        0.002,
        0.1,
        0.01,
        source="common practice",
    )
    grease_limit: Figure | None = a_figure(
        "hottest that the bearing's grease and seals may get, by its maker; left out: 120 open, 100 "
        "with shields or seals",
        "degC",
        40.0,
        250.0,
        None,
        source="see recipes.shaft.shrink_fit",
    )
    end_diameter: Length | None = a_length(
        "of the ends outside the bearings; left out: 0.2 below the bearing bore", 1.0, 500.0, None
    )
    land_diameter: Length | None = a_length(
        "between bearing and stator; left out: that of the stator seat, or stock_diameter without one",
        1.0,
        500.0,
        None,
    )
    seats: tuple[Seat, ...] = a_table("the two bearing seats, from face A")
    stator_seat: StatorSeat | None = a_table(
        "turned seat of the stack; left out: the stack stands on the stock as it was bought", None
    )
    shoulder: Shoulder | None = a_table("collar that the stack rests against", None)
    stack_from_face: Length | None = a_length(
        "where the stack begins, measured from face A, without a stator_seat; left out: in the middle "
        "between the bearing seats",
        0.0,
        2000.0,
        None,
    )
    stack_held: Literal["glue", "clamp collars", "retaining rings"] = a_choice(
        "what keeps the stack in place where no shoulder does: glue all round, a split clamp collar on "
        "each side, or retaining rings in grooves; rings hold no torque",
        "glue",
    )
    wire_slot: WireSlot = a_table("where the leads come out")
    key_seat: KeySeat = a_table("seats for the keys of the stack", KeySeat.model_construct())
    flats: tuple[AxleFlats, ...] = a_table("flats for the frame", ())
    grooves: tuple[Groove, ...] = a_table("grooves for retaining rings", ())
    threads: tuple[EndThread, ...] = a_table("threads on the ends, at most one on each", ())
    leads: tuple[Lead, ...] = a_table("leads through the bore", ())
    load: Load = a_table("what the axle carries", Load.model_construct())
