"""How time grows with the design: python -m tests.bench.growth

Slots from 6 to 120 (the sheet grows with them, so that each slot stays as it is) and conductors
from 10 to 1000 in one slot (thinner wire). The last column is the slope in a log-log picture from
the row before: 1 is linear, n log n is a little above 1, 2 is quadratic. Processor time, best of 3.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

from geometry.formats.dxf_write import write_cut_dxf
from recipes.assess import assess
from recipes.catalogue import Parts
from recipes.motor import Motor
from tests.support.design import job

SLOTS = ((6, 8), (12, 14), (24, 28), (48, 56), (96, 112), (120, 140))
WIRES = (2.0, 1.25, 0.71, 0.4, 0.224)
REPEAT = 3


def best(call: Callable[[], object]) -> float:
    """Return the least processor time of a few calls, in seconds."""
    times = []
    for _ in range(REPEAT):
        start = time.process_time()
        call()
        times.append(time.process_time() - start)
    return min(times)


def show(rows: list[tuple[int, float]]) -> None:
    """Print sizes, times and slopes."""
    before: tuple[int, float] | None = None
    for size, seconds in rows:
        slope = (
            math.log(seconds / before[1]) / math.log(size / before[0]) if before else float("nan")
        )
        print(f"{size:>8} {seconds * 1e3:>10.1f} ms {slope:>8.2f}")
        before = size, seconds


def motor(slots: int, poles: int) -> Motor:
    """Return a job with so many slots, on a larger sheet where they need one."""
    diameter = max(100.0, 3.25 * slots)
    return job(
        motor__slots=slots,
        motor__poles=poles,
        lamination__outer_diameter=diameter,
        lamination__slot_depth=10,
        lamination__tip_angle=0,
        lamination__tooth_width=0.35 * math.pi * diameter / slots,
    )


def main() -> None:
    """Print both curves."""
    for title, call in (
        ("lamination: outline", lambda made: Parts(made)["lamination"]),
        ("lamination: cut file", lambda made: write_cut_dxf(Parts(made)["lamination"][0])),
        ("winding card: sheets", lambda made: [p.drawings for p in Parts(made)["winding_card"]]),
    ):
        print(f"{title}, by slots")
        show([(s, best(lambda s=s, p=p, call=call: call(motor(s, p)))) for s, p in SLOTS])  # type: ignore[misc] # bound at once
    print("check in full, by conductors that the slot can hold")
    rows = []
    for wire in WIRES:
        held = len(job(winding__wire=f"{wire} mm").window.circles)
        rows.append((held, best(lambda wire=wire: assess(job(winding__wire=f"{wire} mm")))))  # type: ignore[misc] # bound at once
    show(rows)


if __name__ == "__main__":
    main()
