"""Signs, once for all: what "+" means on a tooth, which way the rotor turns, where 0 degrees is.

Teeth and angles count counter-clockwise as seen from the lead side. From that and one choice all else
follows by the right-hand rule:

    a coil "+" is wound counter-clockwise to who looks at the tooth's face from the air gap, so that the
    face shows a north pole when current enters at the coil's start. Between its terminals U1 and U2 a
    phase enters every coil at its start.

Over the lead end such wire crosses to the lower number, down there, and up on the side of the higher
number. The flux that a phase links is positive outwards, so its voltage, U1 against U2 with open leads,
is sin(angle) for a north pole `angle` electrical degrees past the axis of the phase, and a current of
the same sign drives the rotor towards rising numbers.

Direction: phases V and W lie 120 and 240 electrical degrees past U towards rising numbers, whichever
way their teeth lie. Fed in alphabetical order the field turns that way, and the magnets with it, inside
or outside alike. IEC 60034-8 calls that clockwise, seen on the drive end (clauses 5 and 6.7). Where
the axle stands still and no shaft comes out, the drive end is taken to be the end away from the leads
(our reading, as for machines with two equal ends; IEC 60034-8 names it from memory).

The test computes field and torque of the printed card by Biot and Savart.
"""

from __future__ import annotations

import math
from typing import Final, Literal

from recipes.winding.layout import PHASES

Way = Literal["clockwise", "counter-clockwise"]

#: Electrical degrees at which a north pole rests, by connection: current in at lead U, out at V and W.
RESTS: Final = {"wye": 180.0, "delta": 210.0}

DIRECTION: Final = (
    "Leads U, V, W in alphabetical order turn the rotor towards rising tooth numbers: counter-clockwise "
    "seen from the lead side, clockwise seen from the drive end, the one away from the leads (IEC 60034-8)"
)

POLE: Final = "A + tooth shows a north pole when current enters its coil at the start (S)"

COMPASS: Final = (
    "with a small direct current in at U1, out at U2, a compass turns its south end to every U+ tooth, "
    "its north end to every U\u2212"
)


def seen_from_gap(sense: int) -> Way:
    """Return which way a coil is wound to who looks at the tooth's face from the air gap."""
    return "counter-clockwise" if sense > 0 else "clockwise"


def over_end(sense: int) -> int:
    """Return how wire crosses a tooth over the end that faces the reader, whichever end that is.

    +1 is counter-clockwise about the axle, -1 clockwise. On the lead side the wire goes down on that
    side of the tooth (+1: towards the higher number), and so does the coil's start.
    """
    return -sense


def out_of_plane(sense: int) -> int:
    """Return the current on the higher number's side of a tooth, towards the reader on the lead side."""
    return sense


def phase_voltages(north_deg: float) -> tuple[float, float, float]:
    """Return the voltages of U, V, W as parts of the peak, rotor turning towards rising numbers.

    Args:
        north_deg: the middle of a north pole past the axis of phase U, electrical degrees.
    """
    u, v, w = (math.sin(math.radians(north_deg - 120.0 * n)) for n in range(len(PHASES)))
    return u, v, w


def rests_at(connection: str) -> float:
    """Return where a north pole rests with a direct current in at lead U, out at V and W together.

    Electrical degrees past the axis of phase U. In wye the current of U is opposed by halves in V and
    W: the north pole of U draws the south pole. In delta U leads forward and W backward, V nothing.
    """
    return RESTS[connection]


def zero_words(zero_deg: float, slots: int, poles: int, connection: str) -> str:
    """Return where electrical degrees begin, and how to find it on the bench.

    Args:
        zero_deg: axis of phase U past tooth 1, mechanical degrees.
        slots, poles: of the motor.
        connection: "wye" or "delta".
    """
    pitch, turn = 360.0 / slots, 720.0 / poles
    nearest = zero_deg / pitch
    tooth, past = int(nearest + 1e-9), zero_deg - int(nearest + 1e-9) * pitch
    place = f"tooth {tooth % slots + 1}"
    if past > 1e-6:
        place = f"{past:.2f}° past {place} towards tooth {(tooth + 1) % slots + 1}"
    return (
        f"0° is where the middle of a north pole stands over the axis of phase U: {place}, and every "
        f"{turn:.2f}° of the rotor from there. A small direct current in at lead U, out at V and W "
        f"together, brings a north pole to rest at {rests_at(connection):g}°"
    )
