"""How many designs a second one process checks: `python -m tests.bench.check_many [DESIGNS]`.

The three starters with tooth, slot depth, turns and wire varied by small steps that never repeat.
Beside it the floor that nobody can go below: one pydantic validation and one shapely polygon of as
many corners as a sheet has. Processor time of one core; nothing here is a test.
"""

from __future__ import annotations

import gc
import sys
import time
import tomllib
from collections import Counter
from collections.abc import Iterator
from typing import Any

import shapely

from recipes.assess import assess
from recipes.design.load import validate
from recipes.motor import solve
from tests.places import ROOT

STARTERS = ("potters-wheel", "kayak-thruster", "wool-spinner")
WIRES = {
    "potters-wheel": ("0.75 mm", "0.80 mm", "0.85 mm", "0.90 mm"),
    "kayak-thruster": ("0.53 mm", "0.56 mm", "0.60 mm", "0.63 mm"),
    "wool-spinner": ("21 AWG", "23 AWG", "24 AWG", "25 AWG"),
}


def designs(count: int) -> Iterator[dict[str, Any]]:
    """Return so many raw designs; a golden-ratio walk, so that any number covers the ranges."""
    raw = {
        name: tomllib.loads((ROOT / "recipes" / "starters" / f"{name}.toml").read_text("utf-8"))
        for name in STARTERS
    }
    for k in range(count):
        name = STARTERS[k % 3]
        base = raw[name]
        lam, winding = base["lamination"], base["winding"]
        a, b, c = ((k * step) % 1.0 for step in (0.6180339887, 0.7548776662, 0.5698402910))
        yield base | {
            "lamination": lam
            | {
                "tooth_width": lam["tooth_width"] * (0.88 + 0.24 * a),
                "slot_depth": lam["slot_depth"] * (0.92 + 0.12 * b),
            },
            "winding": winding
            | {
                "turns": round(winding["turns"] * (0.70 + 0.45 * c)),
                "wire": WIRES[name][(k // 3) % 4],
            },
        }


def main(count: int = 500) -> None:
    """Print designs a second, the floor and the ratio."""
    raw = list(designs(count))
    corners = [(40 * x, 40 * y) for x, y in shapely.Point(0, 0).buffer(1, 300).exterior.coords]
    assess(solve(validate(raw[0])), whole=False)  # loads the modules
    gc.set_threshold(50_000, 20, 50)  # as the command does
    start = time.process_time()
    for r in raw:
        validate(r)
        shapely.Polygon(corners)
    floor = time.process_time() - start
    verdicts: Counter[str] = Counter()
    start = time.process_time()
    for r in raw:
        seen = assess(solve(validate(r)), whole=False)
        verdicts[seen.findings[0].level] += 1
    spent = time.process_time() - start
    print(f"{count} designs in {spent:.2f} s of one core: {dict(sorted(verdicts.items()))}")
    print(f"  designs a second                     {count / spent:7.1f}  goal 50")
    print(f"  floor: validation and one polygon    {count / floor:7.1f} a second")
    print(f"  check / floor                        {spent / floor:7.1f}")


if __name__ == "__main__":
    main(*(int(a) for a in sys.argv[1:]))
