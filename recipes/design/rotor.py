"""[rotor]: the steel ring with its magnets, seen along the axle.

      ______________________________
  .--'   ring, ring_thickness        '--.
.'  __________              __________   '.   inside: ring_bore
   |  magnet  | glue_line  |          |        magnet_thickness along the radius
   |__________|            |__________|        magnet_width along the circumference
        air_gap
  ---- tooth tips --------------------------
"""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from recipes.design.fields import Figure, Length, Table, a_choice, a_count, a_figure, a_length

#     [hall]: the three sensors that tell the controller where the magnets are.
#
# seen along the axle, a sensor in the mouth of a slot:
#
#    ___________           ___________   air gap
#               |         |       ^
#               | +-----+ | ..... v stand_back
#     tooth     | |     | |       ^ body_thickness
#               | +-----+ | ..... v
#               |<body_width>     body_height runs along the axle

_BODY = "flat body with three legs, 4 x 3 x 1.5 mm, from memory: measure yours"


class Hall(Table):
    """Hall sensors."""

    sensors: bool = a_choice("whether the motor has Hall sensors", True)
    arrangement: Literal[120, 60] = a_choice(
        "what the controller expects, electrical degrees between sensors",
        120,
        source="most controllers 120, a few 60; common practice",
    )
    body_width: Length = a_length(
        "of one sensor along the circumference", 0.5, 15.0, 4.0, source=_BODY
    )
    body_height: Length = a_length(
        "of one sensor along the axle, legs apart", 0.5, 15.0, 3.0, source=_BODY
    )
    body_thickness: Length = a_length(
        "of one sensor along the radius", 0.3, 10.0, 1.5, source=_BODY
    )
    stand_back: Length = a_length(
        "from the tooth's face at the air gap down to the sensor's face",
        0.0,
        5.0,
        0.5,
        source="at least 0.5 mm, common practice",
    )
    glue_gap: Length = a_length(
        "room for glue on each side of the body", 0.0, 1.0, 0.1, source="common practice"
    )
    jig_thickness: Length = a_length(
        "of the plate that holds the sensors while the glue sets",
        1.0,
        12.0,
        3.0,
        source="common practice",
    )


_MAKER = "magnet makers hold +-0.05 to +-0.1 mm; common practice"


class Rotor(Table):
    """Ring of magnets round the stator; without magnet sizes only the air gap is judged."""

    air_gap: Length = a_length("between tooth tips and magnets", 0.1, 10.0, 0.8)
    magnet_width: Length | None = a_length(
        "of one magnet along the circumference; left out: magnets are not judged", 1.0, 200.0, None
    )
    magnet_thickness: Length | None = a_length(
        "of one magnet along the radius, the way it is magnetised", 0.5, 50.0, None
    )
    magnet_length: Length | None = a_length(
        "of the magnets along the axle; left out: as the stack", 1.0, 400.0, None
    )
    magnet_shape: Literal["block", "arc"] = a_choice(
        "flat blocks, or arcs ground to the radius of the ring", "block"
    )
    magnet_grade: str = a_choice(
        "such as 'N42', 'N42SH' or 'Y30' (ferrite)",
        "N42",
        source="table of magnet grades, with their makers",
    )
    magnets_per_pole: int = a_count("magnets side by side in one pole", 1, 12, 1)
    magnet_tolerance: Length = a_length(
        "plus and minus on the magnets' thickness", 0.0, 1.0, 0.1, source=_MAKER
    )
    glue_line: Length = a_length(
        "of glue between ring and magnet; from nothing to twice this at worst",
        0.0,
        1.0,
        0.05,
        source="common practice",
    )
    glue_strength: Figure = a_figure(
        "pull that the glue may carry for years, hot and badly cleaned",
        "MPa",
        0.05,
        20.0,
        1.5,
        source="a tenth of what epoxy holds on a test piece; common practice",
    )
    ring_bore: Length | None = a_length(
        "inside diameter of the steel ring; left out: what magnets and air gap ask for",
        10.0,
        900.0,
        None,
    )
    ring_bore_tolerance: Length = a_length(
        "plus and minus on that diameter", 0.0, 1.0, 0.05, source="turned ring, common practice"
    )
    ring_thickness: Length | None = a_length(
        "of the steel ring along the radius; left out: only what the flux asks for is told",
        0.5,
        100.0,
        None,
    )
    off_centre: Length = a_length(
        "of the ring against the stator: hub, covers and bearings together",
        0.0,
        1.0,
        0.05,
        source="common practice",
    )

    @model_validator(mode="after")
    def _both_sizes(self) -> Rotor:
        if (self.magnet_width is None) != (self.magnet_thickness is None):
            lacking = "magnet_width" if self.magnet_width is None else "magnet_thickness"
            raise ValueError(f"{lacking} is missing: give both sizes of the magnet, or neither")
        return self
