"""How far the speed constant of the magnetic circuit lies from that of the field, in random designs.

`python -m tests.bench.circuit 200` takes the first so many sound designs with magnets and at most 27
slots; the field is of first order. In November 2026 the first 53 gave: median 4.3 %, 95 % within 26 %.
The band covers 51; its width was chosen on these same designs, so that a fresh sample may do worse.
"""

from __future__ import annotations

import sys
from itertools import count

import numpy as np

from recipes.assess import assess
from recipes.design.load import BadInput, validate
from recipes.field.figures import waves
from recipes.motor import Motor, solve
from tests.random.designs import design_of
from tests.random.run import bytes_of
from tests.support.field import constant_of, machine_of


def sound(seed: int) -> Motor | None:
    """Return the random design of a seed; None if it has no field or cannot be made."""
    try:
        made = solve(validate(design_of(bytes_of(seed))))
    except BadInput:
        return None
    if made.design.rotor.magnet_width is None or made.design.motor.slots > 27:
        return None
    stopped = any(f.level == "stop" for f in assess(made, whole=False).findings)
    return None if stopped else made


def main() -> None:
    """Print each deviation in percent, then the median and what 95 % keep."""
    asked, found = int(sys.argv[1]) if len(sys.argv) > 1 else 200, []
    for seed in count():
        if len(found) == asked:
            break
        if (made := sound(seed)) is None or made.speed_constant.predicted is None:
            continue
        built = machine_of(made, order=1)
        field, by_hand = constant_of(made, built, waves(built)), made.speed_constant.predicted
        found.append(100 * (by_hand.per_min_V / field - 1))
        inside = by_hand.least <= field <= by_hand.greatest
        print(
            f"seed {seed}: {found[-1]:6.1f} %{'' if inside else '  outside the band'}", flush=True
        )
    away = np.abs(found)
    print(
        f"{asked} designs: median {np.median(away):.1f} %, 95 % within {np.quantile(away, 0.95):.0f} %"
    )


if __name__ == "__main__":
    main()
