"""Yardstick: the same kind of lamination as an ordinary cadquery user would script it.

Draws an outer-rotor stator lamination (teeth outwards) with sharp corners as one wire, extrudes
it, rounds tips, shoes and roots with kernel fillets, and writes one STEP and one DXF. It uses
nothing of this project. Run it in a fresh interpreter, as a build would be:

    python tests/bench/plain_cadquery.py [--slots 24] [--out FOLDER] [--repeat 5]

Prints, for each step, the median seconds over fresh processes.
"""

from __future__ import annotations

import argparse
import itertools
import json
import math
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

STACK = 17.3
OUTER, BORE, SLOT_BOTTOM, SHOE_ROOT, SHOE_EDGE = 61.7, 21.4, 41.9, 59.1, 60.4
TIP_RADIUS, SHOE_RADIUS, ROOT_RADIUS = 0.31, 0.27, 0.83


def corners(slots: int) -> list[list[tuple[float, float]]]:
    """Corner points (mm) of each slot, from one air-gap corner to the other."""
    opening, tooth = 1.15, 0.44 * 2 * SLOT_BOTTOM * math.sin(math.pi / slots) / 2
    turn = math.pi / slots  # the tooth centre line seen from the slot's

    def flank(radius: float) -> tuple[float, float]:
        angle = turn - math.asin(tooth / radius)
        return radius * math.cos(angle), radius * math.sin(angle)

    half = [
        (math.sqrt(OUTER**2 - opening**2), opening),
        (math.sqrt(SHOE_EDGE**2 - opening**2), opening),
        flank(SHOE_ROOT),
        flank(SLOT_BOTTOM),
    ]
    loop = [(x, -y) for x, y in half] + half[::-1]
    every = []
    for k in range(slots):
        c, s = math.cos(2 * math.pi * k / slots), math.sin(2 * math.pi * k / slots)
        every.append([(c * x - s * y, s * x + c * y) for x, y in loop])
    return every


def build(slots: int, out: Path) -> dict[str, float]:
    """Build once and return the seconds of each step."""
    marks = [time.perf_counter()]
    import cadquery as cq

    marks.append(time.perf_counter())
    every = corners(slots)
    wire = cq.Workplane("XY").moveTo(*every[0][0])
    for k, slot in enumerate(every):
        for point in slot[1:4]:
            wire = wire.lineTo(*point)
        middle = 2 * math.pi * k / slots
        wire = wire.threePointArc(
            (SLOT_BOTTOM * math.cos(middle), SLOT_BOTTOM * math.sin(middle)), slot[4]
        )
        for point in slot[5:]:
            wire = wire.lineTo(*point)
        after = every[(k + 1) % slots][0]
        half_way = middle + math.pi / slots
        wire = wire.threePointArc((OUTER * math.cos(half_way), OUTER * math.sin(half_way)), after)
    body = wire.close().extrude(STACK)
    body = body.faces(">Z").workplane().circle(BORE).cutThruAll()
    marks.append(time.perf_counter())

    def distance(edge: cq.Edge) -> float:
        return math.hypot(edge.Center().x, edge.Center().y)

    for radius, rounding in (
        (OUTER, TIP_RADIUS),
        (SHOE_ROOT, SHOE_RADIUS),
        (SLOT_BOTTOM, ROOT_RADIUS),
    ):
        chosen = [e for e in body.edges("|Z").vals() if abs(distance(e) - radius) < 1e-3]
        assert len(chosen) == 2 * slots, (radius, len(chosen))
        body = body.newObject(chosen).fillet(rounding)
    marks.append(time.perf_counter())
    cq.exporters.export(body, str(out / "lamination.step"))
    marks.append(time.perf_counter())
    cq.exporters.exportDXF(body.faces("<Z"), str(out / "lamination.dxf"))
    marks.append(time.perf_counter())
    steps = [b - a for a, b in itertools.pairwise(marks)]
    names = ("import", "draw", "fillet", "step", "dxf")
    return {
        **dict(zip(names, steps, strict=True)),
        "volume_mm3": body.val().Volume(),
        "faces": float(body.faces().size()),
    }


def main() -> None:
    """Run fresh processes and print the medians."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--slots", type=int, default=24)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--repeat", type=int, default=5)
    parser.add_argument("--once", action="store_true", help="run in this process, print JSON")
    choice = parser.parse_args()
    with tempfile.TemporaryDirectory() as spare:
        out = choice.out or Path(spare)
        out.mkdir(parents=True, exist_ok=True)
        if choice.once:
            print(json.dumps(build(choice.slots, out)))
            return
        command = [sys.executable, __file__, "--once", "--slots", str(choice.slots)]
        runs = []
        for _ in range(choice.repeat):
            start = time.perf_counter()
            done = subprocess.run(
                [*command, "--out", str(out)], check=True, capture_output=True, text=True
            )
            whole = time.perf_counter() - start
            runs.append({**json.loads(done.stdout.splitlines()[-1]), "whole process": whole})
        for key in runs[0]:
            print(f"{key:14s} {statistics.median(run[key] for run in runs):12.3f}")


if __name__ == "__main__":
    main()
