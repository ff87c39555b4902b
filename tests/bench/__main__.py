"""Every benchmark in turn: python -m tests.bench [NAME ...]. Prints ratios, judges nothing."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RUNS: dict[str, tuple[str, ...]] = {
    "build": ("potters-wheel",),
    "check_many": (),
    "field": (),
    "growth": (),
    "packing": (),
    "lay": (),
    "preflight": (),
}


def main(names: list[str]) -> int:
    """Run the named benchmarks, or all; return the first exit status that is not 0."""
    wrong = [n for n in names if n not in RUNS]
    if wrong:
        print(f"there is no benchmark {', '.join(wrong)}; use {', '.join(RUNS)}", file=sys.stderr)
        return 2
    for name in names or RUNS:
        print(f"== {name}", flush=True)
        done = subprocess.run(
            [sys.executable, "-m", f"tests.bench.{name}", *RUNS[name]], cwd=ROOT, check=False
        )
        if done.returncode:
            return done.returncode
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
