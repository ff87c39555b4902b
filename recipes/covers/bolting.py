"""How long the bolts of the covers are, by what lies between head and nut or thread."""

from __future__ import annotations

import math
from dataclasses import dataclass

from recipes.covers.arrangement import Arrangement
from recipes.design.covers import CoverBolts
from recipes.tables.bolts import bolt_length

#: Turns of thread that stand out of a nut, and thread in a steel ring in diameters, least and most
#: (common practice).
BEYOND_NUT, THREAD = 2.0, (1.0, 2.5)


@dataclass(frozen=True)
class Bolting:
    """Bolts of both covers.

    Args:
        number: in all.
        grip: from under the head's washer to the nut's washer, or to the threaded end face, mm.
        least, most: lengths that do, mm; `most` inf for a bolt with a nut.
        length: that is sold, mm; None: cut from threaded rod of `least` length, a nut on both ends.
        thread_depth: of the tapped hole, mm; 0 with nuts.
        head: diameter and height, mm.
    """

    number: int
    grip: float
    least: float
    most: float
    length: float | None
    thread_depth: float
    head: tuple[float, float]


def bolting(bolts: CoverBolts, arranged: Arrangement) -> Bolting:
    """Return the length of the bolts."""
    shape = arranged.shape
    rim, size = shape.thickness - shape.register, shape.bolt
    head = size.head(bolts.head)
    if bolts.path == "past the ring":
        grip = 2 * rim + arranged.apart
        least = grip + 2 * size.washer_high_mm + size.nut_high_mm + BEYOND_NUT * size.pitch_mm
        length = bolt_length(least, math.inf)
        return Bolting(bolts.count, grip, least, math.inf, length, 0.0, head)
    low, high = (rim + size.washer_high_mm + k * size.nominal_mm for k in THREAD)
    length = bolt_length(rim + size.washer_high_mm + 1.5 * size.nominal_mm, high)
    length = bolt_length(low, high) if length is None else length
    into = (length or high) - rim - size.washer_high_mm
    deep = math.ceil(into + 3 * size.pitch_mm)
    return Bolting(2 * bolts.count, rim, low, high, length, deep, head)
