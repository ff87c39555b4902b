"""How long the commands take, as ratios to yardsticks of the same run: python -m tests.bench.build

Every figure is the median of several whole processes, taken in turn so that a busy machine
slows all of them alike: wall seconds, and processor seconds of the process and all it started.
Nothing here is a test: a slow machine is no fault.
"""

from __future__ import annotations

import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from geometry.segment import Arc
from recipes.catalogue import Parts
from recipes.design.load import load
from recipes.motor import solve
from tests.bench.floor_files import counts_of

ROOT = Path(__file__).resolve().parents[2]
BENCH = ROOT / "tests" / "bench"
RUNS = 5

IMPORTS = ["-c", "import numpy, shapely, pydantic, rich"]


def seconds(args: list[str]) -> tuple[float, float]:
    """Return wall and processor seconds of one Python process and all that it started."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    run = subprocess.run(
        [sys.executable, *args], cwd=ROOT, capture_output=True, text=True, check=False,
        # The libraries were compiled when they were installed, and so is what anybody runs twice.
        env=os.environ | {"PYTHONDONTWRITEBYTECODE": ""},
    )  # fmt: skip
    if run.returncode:
        raise SystemExit(f"{args}: exit {run.returncode}\n{run.stderr}")
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    busy = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return wall, busy


def write_edges(starter: str, path: Path) -> None:
    """Write the finished face of the lamination as points, for `floor_solid.py`."""
    job = solve(load(ROOT / "recipes" / "starters" / f"{starter}.toml"))
    part = Parts(job)["lamination"][0]
    loops = [
        [
            [s.start, s.point_at(0.5), s.end] if isinstance(s, Arc) else [s.start, s.end]
            for s in loop.segments
        ]
        for loop in part.cut[0].loops
    ]
    path.write_text(json.dumps({"thickness": part.thickness, "loops": loops}))


def write_counts(starter: str, folder: Path) -> Path:
    """Build the pack and write what its files hold, for `floor_files.py`; return the path."""
    file = f"recipes/starters/{starter}.toml"
    seconds(["-m", "recipes", "build", file, "--no-solids", "--out", str(folder / "counted")])
    path = folder / "counts.json"
    path.write_text(json.dumps(counts_of(folder / "counted")))
    return path


def commands(starter: str, folder: str) -> dict[str, list[str]]:
    """Return the arguments of every process by its name."""
    file, out = f"recipes/starters/{starter}.toml", ["--out", folder]
    edges, counts = Path(folder) / "edges.json", write_counts(starter, Path(folder))
    write_edges(starter, edges)
    step = str(Path(folder) / "floor.step")
    return {
        "bare imports": IMPORTS,
        "files of this pack": [str(BENCH / "floor_files.py"), str(counts)],
        "check": ["-m", "recipes", "check", file],
        "build --no-solids": ["-m", "recipes", "build", file, "--no-solids", *out],
        "build": ["-m", "recipes", "build", file, *out],
        "cadquery, one STEP": [str(BENCH / "floor_solid.py"), str(edges), step],
        "plain cadquery script": [str(BENCH / "plain_cadquery.py"), "--once", *out],
    }


def main(starter: str = "potters-wheel") -> None:
    """Print the table for one starter."""
    with tempfile.TemporaryDirectory() as folder:
        jobs = commands(starter, folder)
        times: dict[str, list[tuple[float, float]]] = {name: [] for name in jobs}
        for _ in range(RUNS):
            for name, args in jobs.items():
                times[name].append(seconds(args))
    wall = {name: statistics.median(w for w, _ in t) for name, t in times.items()}
    busy = {name: statistics.median(b for _, b in t) for name, t in times.items()}
    print(f"{starter}: median of {RUNS} processes{'wall':>9}{'processor':>12}")
    for name in jobs:
        print(f"  {name:24}{wall[name]:14.3f} s{busy[name]:10.3f} s")
    for name, yardstick, goal in (
        ("check", "bare imports", "2.0"),
        ("build --no-solids", "files of this pack", "2.5"),
        ("build", "plain cadquery script", "1.0"),
        ("build", "cadquery, one STEP", "1.3"),
    ):
        ratio, work = wall[name] / wall[yardstick], busy[name] / busy[yardstick]
        words = f"{name} / {yardstick}"
        print(f"  {words:40}{ratio:5.2f}  goal {goal:4}  by processor time {work:5.2f}")


if __name__ == "__main__":
    main(*sys.argv[1:])
