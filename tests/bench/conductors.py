"""How long placing conductors takes, from 10 to 1000 wires in a half slot, and how it grows with the count.

    python tests/bench/conductors.py [--repeat 5]

Prints the best processor time of each size, time a wire, and both against the smallest size. Then the whole
step that `check` pays for each starter: lay and turn lengths.
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from recipes.motor import Motor
from recipes.winding.conductor_rows import PASSAGE, Entrance, place_in_rows
from recipes.winding.conductors import flank
from tests.support.design import STARTERS, job

COUNTS = (10, 30, 100, 250, 500, 1000)


def best(work: Callable[[], object], repeat: int) -> float:
    """Processor seconds of the fastest run; other work on the machine counts less so."""
    times = []
    for _ in range(repeat):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--repeat", type=int, default=5)
    repeat = parser.parse_args().repeat
    wheel = job("potters-wheel")
    fill, (off, _) = wheel.window, flank(wheel.slot, wheel.window.paper)
    print(f"{'asked':>6} {'laid':>6} {'ms':>9} {'us/wire':>9} {'x time':>8} {'x count':>8}")
    first: tuple[float, int] | None = None
    for count in COUNTS:
        d = math.sqrt(0.95 * fill.polygon.area / count)
        entrance = Entrance(fill.wedge_span[1], (PASSAGE * d + 0.13) / 2, PASSAGE * d)
        laid = len(place_in_rows(fill.polygon, d, off, entrance)[0])
        seconds = best(
            lambda d=d, entrance=entrance: place_in_rows(fill.polygon, d, off, entrance), repeat
        )
        first = first or (seconds, laid)
        ratio, grown = seconds / first[0], laid / first[1]
        print(
            f"{count:6d} {laid:6d} {1e3 * seconds:9.2f} {1e6 * seconds / laid:9.1f} "
            f"{ratio:8.2f} {grown:8.2f}"
        )
    print()
    for name in STARTERS:
        ready = job(name)
        _ = ready.turn_lengths  # the first call loads modules
        seconds = best(partial(whole_step, ready), repeat)
        print(
            f"{name:16s} {len(ready.conductors.places):4d} places, {ready.conductors.conductors:3d} wires asked: "
            f"lay and turn lengths {1e3 * seconds:6.2f} ms"
        )


def whole_step(ready: Motor) -> None:
    """What `check` pays for this step."""
    for fact in ("conductors", "turn_lengths"):
        vars(ready).pop(fact, None)
    _ = ready.turn_lengths


if __name__ == "__main__":
    main()
