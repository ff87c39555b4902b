"""How full and how fast circles are packed: `python -m tests.bench.packing`.

Prints, never judges. Time is processor time of one call in seconds; ratio is the number found over
the number that the best known packing of this container size holds, or over the bound by area.
"""

from __future__ import annotations

import math
import time

from shapely import Polygon

from geometry.packing import pack_circles
from tests.support.packing import (
    BEST,
    CRESCENT,
    DUMBBELL,
    HEXAGONAL_DENSITY,
    HOLED,
    L_SHAPE,
    container,
    half_slot,
)

SIZES = (7, 13, 19, 20, 27, 37, 48, 52, 56, 61)
FACTORS = (1.01, 1.005, 1.002)
DIAMETERS = (2.3, 1.6, 1.18, 0.83, 0.57, 0.45, 0.34)


def timed(polygon: Polygon, diameter: float, effort: str = "full") -> tuple[int, float]:
    """Return the number of circles and the processor time in seconds."""
    start = time.process_time()
    centres = pack_circles(polygon, diameter, effort=effort)  # type: ignore[arg-type]
    return len(centres), time.process_time() - start


def known(kind: str, size: float) -> int:
    """Return how many circles of radius 1 the best known packing holds in this size."""
    return max(n for n, (least, _) in BEST[kind].items() if least <= size)


def against_best_known() -> None:
    """Circles and squares slightly larger than the best known size for n circles."""
    print("container    n  " + "  ".join(f"x {f:<5}  ratio  time" for f in FACTORS))
    for kind in BEST:
        for n in SIZES:
            cells = []
            for factor in FACTORS:
                size = factor * BEST[kind][n][0]
                found, spent = timed(container(kind, size), 2.0)
                cells.append(f"{found:7d}  {found / known(kind, size):5.3f}  {spent:4.2f}")
            print(f"{kind:9s} {n:4d}  " + "  ".join(cells))


def in_shapes() -> None:
    """Half slots and odd shapes, quick and full."""
    print("\nshape        d mm   quick  time    full  time  of the area  of the bound")
    shapes = {"half slot": half_slot(), "L": L_SHAPE, "hole": HOLED}
    shapes |= {"dumbbell": DUMBBELL, "crescent": CRESCENT}
    for name, polygon in shapes.items():
        for d in DIAMETERS if name == "half slot" else DIAMETERS[1:6:2]:
            quick, quick_time = timed(polygon, d, "quick")
            full, full_time = timed(polygon, d)
            circle = math.pi * d * d / 4.0
            beyond = polygon.buffer(d * (1.0 / math.sqrt(3.0) - 0.5)).area
            bound = HEXAGONAL_DENSITY * beyond / circle
            print(
                f"{name:11s} {d:5.2f}  {quick:6d}  {quick_time:4.2f}  {full:6d}  {full_time:4.2f}"
                f"  {full * circle / polygon.area:11.3f}  {full / bound:12.3f}"
            )


if __name__ == "__main__":
    timed(container("square", 9.0), 2.0)  # load the libraries first
    against_best_known()
    in_shapes()
