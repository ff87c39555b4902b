"""`python -m tests.random 10000`: judge so many random designs on all cores, and report."""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections import Counter
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor

import tomli_w

from tests.random.designs import design_of
from tests.random.run import Outcome, bytes_of, outcome
from tests.random.shrink import shrink


def main() -> int:
    """Run; return 1 if a design fails."""
    asked = argparse.ArgumentParser(prog="python -m tests.random", description=__doc__)
    asked.add_argument("count", type=int, nargs="?", default=10_000, help="how many designs")
    asked.add_argument("--first", type=int, default=0, help="seed of the first one")
    asked.add_argument("--cores", type=int, default=os.cpu_count() or 1)
    asked.add_argument(
        "--show", type=int, metavar="SEED", help="print the design of a seed and end"
    )
    args = asked.parse_args()
    if args.show is not None:
        print(tomli_w.dumps(design_of(bytes_of(args.show))))
        return 0
    start = time.monotonic()
    seeds = range(args.first, args.first + args.count)
    if args.cores > 1:
        with ProcessPoolExecutor(args.cores) as pool:
            seen = list(_told(pool.map(outcome, seeds, chunksize=20), args.count))
    else:
        seen = list(_told(map(outcome, seeds), args.count))
    print(f"{args.count} designs, seeds from {args.first}, {time.monotonic() - start:.0f} s")
    return _report(seen)


def _told(outcomes: Iterable[Outcome], count: int) -> Iterable[Outcome]:
    """Pass outcomes on; say now and then how far it is, and at once what failed."""
    for number, one in enumerate(outcomes, start=1):
        if one.error:
            print(f"seed {one.seed} failed: {one.error}", file=sys.stderr)
        if number % 500 == 0:
            print(f"{number} of {count}", file=sys.stderr)
        yield one


def _report(seen: list[Outcome]) -> int:
    failed = [o for o in seen if o.error]
    refused = [o for o in seen if o.codes]
    accepted = len(seen) - len(failed) - len(refused)
    print(
        f"accepted {accepted} ({accepted / len(seen):.0%}), refused {len(refused)}, failed {len(failed)}"
    )
    print(f"processor time {sum(o.seconds for o in seen):.0f} s; slowest:")
    for one in sorted(seen, key=lambda o: -o.seconds)[:5]:
        print(f"  {one.seconds:6.2f} s  seed {one.seed}")
    print("refused by (a design may have several reasons):")
    for code, times in Counter(c for o in refused for c in set(o.codes)).most_common(40):
        print(f"  {times:6}  {code}")
    kinds: dict[str, list[Outcome]] = {}
    for one in failed:
        kinds.setdefault(one.error, []).append(one)
    for kind, ones in sorted(kinds.items(), key=lambda k: -len(k[1])):
        _show(kind, ones)
    return 1 if failed else 0


def _show(kind: str, ones: list[Outcome]) -> None:
    """Print one kind of failure: its seeds, its traceback, and the smallest design found."""
    first = ones[0]
    print(f"\nFAILED {len(ones)} times: {kind}; seeds {', '.join(str(o.seed) for o in ones[:20])}")
    print(first.trace)
    small = shrink(bytes_of(first.seed), lambda data: outcome(first.seed, data).error == kind)
    print("smallest design found:\n" + tomli_w.dumps(design_of(small)))


if __name__ == "__main__":
    sys.exit(main())
