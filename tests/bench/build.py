"""How long the commands take, as ratios to yardsticks of the same run: python -m tests.bench.build

Every figure is the median of several whole processes, taken in turn so that a busy machine
slows all of them alike. Nothing here is a test: a slow machine is no fault.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RUNS = 5

IMPORTS = ["-c", "import numpy, shapely, pydantic, rich"]
PACKING = [
    "-c",
    "from pathlib import Path; from recipes.job import Job; from recipes.load import load; "
    "job = Job(load(Path('recipes/starters/{0}.toml'))); job.fill.room; import time; "
    "t = time.perf_counter(); job.fill.spots; print(time.perf_counter() - t)",
]


def seconds(args: list[str]) -> tuple[float, str]:
    """Return wall seconds and output of one Python process."""
    start = time.perf_counter()
    run = subprocess.run(
        [sys.executable, *args], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if run.returncode:
        raise SystemExit(f"{args}: exit {run.returncode}\n{run.stderr}")
    return time.perf_counter() - start, run.stdout


def main(starter: str = "potters-wheel") -> None:
    """Print the table for one starter."""
    file = f"recipes/starters/{starter}.toml"
    with tempfile.TemporaryDirectory() as folder:
        out = ["--out", folder]
        jobs = {
            "bare imports": IMPORTS,
            "check": ["-m", "recipes", "check", file],
            "build --no-solids": ["-m", "recipes", "build", file, "--no-solids", *out],
            "build": ["-m", "recipes", "build", file, *out],
            "plain cadquery script": [
                str(ROOT / "tests" / "bench" / "plain_cadquery.py"),
                "--once",
                "--out",
                folder,
            ],
        }
        times: dict[str, list[float]] = {name: [] for name in jobs}
        packing: list[float] = []
        for _ in range(RUNS):
            for name, args in jobs.items():
                times[name].append(seconds(args)[0])
            packing.append(float(seconds([PACKING[0], PACKING[1].format(starter)])[1]))
    median = {name: statistics.median(t) for name, t in times.items()}
    pack = statistics.median(packing)
    print(f"{starter}: median of {RUNS} processes")
    for name, value in median.items():
        print(f"  {name:24}{value:7.3f} s")
    print(f"  {'packing inside check':24}{pack:7.3f} s")
    bare, plain = median["bare imports"], median["plain cadquery script"]
    print(
        f"  (check - packing) / bare imports     {(median['check'] - pack) / bare:6.2f}  goal 1.5"
    )
    print(f"  build --no-solids / bare imports     {median['build --no-solids'] / bare:6.2f}")
    print(f"  build / plain cadquery script        {median['build'] / plain:6.2f}  goal 1.0")


if __name__ == "__main__":
    main(*sys.argv[1:])
