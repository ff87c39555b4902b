"""How long nests take, from 10 to 1000 pieces, and how it grows with the count.

    python tests/bench/nest.py [--repeat 3]

Prints the best processor time of each size, time a piece, and both against the smallest size; for
discs, for boxes, and for a mix that fills gaps and interlocks.
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from geometry.nest.blank import NestPiece, nest
from tests.support.nest import ELBOW, TRIANGLE, box, disc

COUNTS = (10, 30, 100, 300, 1000)
BLANK, GAP, MARGIN = (500.0, 300.0), 3.0, 5.0


def cases(count: int) -> dict[str, list[NestPiece]]:
    """Return three orders of about `count` pieces."""
    share = max(1, count // 5)
    return {
        "discs": [NestPiece("disc", disc(31.3), count)],
        "boxes": [NestPiece("box", box(47.3, 29.1), count)],
        "mixed": [
            NestPiece("disc", disc(31.3), 2 * share),
            NestPiece("elbow", ELBOW, share // 2 + 1),
            NestPiece("triangle", TRIANGLE, share // 2 + 1),
            NestPiece("strip", box(61.0, 6.3), 2 * share, (0.0, math.pi)),
        ],
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--repeat", type=int, default=3)
    repeat = parser.parse_args().repeat
    nest(cases(10)["mixed"], BLANK, GAP, MARGIN)  # the first call loads modules
    head = f"{'order':>8} {'pieces':>7} {'blanks':>7} {'use':>6} {'ms':>9} {'us/piece':>9} {'x time':>8} {'x count':>8}"
    print(head)
    first: dict[str, tuple[float, int]] = {}
    for count in COUNTS:
        for name, pieces in cases(count).items():
            total = sum(p.quantity for p in pieces)
            work = partial(nest, pieces, BLANK, GAP, MARGIN)
            times = []
            for _ in range(repeat):
                start = time.process_time()
                found = work()
                times.append(time.process_time() - start)
            seconds = min(times)
            base = first.setdefault(name, (seconds, total))
            print(
                f"{name:>8} {total:7d} {found.sheet_count:7d} {found.use_fraction:6.3f} {1e3 * seconds:9.1f} "
                f"{1e6 * seconds / total:9.0f} {seconds / base[0]:8.2f} {total / base[1]:8.2f}"
            )


if __name__ == "__main__":
    main()
