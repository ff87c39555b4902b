"""[hall]: the three sensors that tell the controller where the magnets are.

seen along the axle, a sensor in the mouth of a slot:

   ___________           ___________   air gap
              |         |       ^
              | +-----+ | ..... v stand_back
    tooth     | |     | |       ^ body_thickness
              | +-----+ | ..... v
              |<body_width>     body_height runs along the axle
"""

from __future__ import annotations

from typing import Literal

from recipes.design.fields import Length, Table, a_choice, a_length

_BODY = "flat body with three legs, 4 x 3 x 1.5 mm, from memory: measure yours"


class Hall(Table):
    """Hall sensors."""

    sensors: bool = a_choice("whether the motor has Hall sensors", True)
    arrangement: Literal[120, 60] = a_choice(
        "what the controller expects, electrical degrees between sensors", 120,
        source="most controllers 120, a few 60; common practice",
    )  # fmt: skip
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
        "from the tooth's face at the air gap down to the sensor's face", 0.0, 5.0, 0.5,
        source="at least 0.5 mm, common practice",
    )  # fmt: skip
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
