"""How long `preflight` takes by the number of entities, and how far from linear that is.

    python -m tests.bench.preflight [--most 100000]

Prints one row a size for three drawings: a plate of loose lines (square holes in shuffled order),
a plate of circles, and one hole drawn again and again. "to linear" is the time for one entity
against that of the first size of at least 10 000 entities: 1.0 is linear. The last column is the
time against that of reading the same file with ezdxf.
"""

from __future__ import annotations

import argparse
import io
import random
import time
from collections.abc import Callable

from recipes.manufacturing.preflight import preflight
from tests.support.dxf_texts import Tag, circle, dxf, entities, line

MM: list[Tag] = [(9, "$ACADVER"), (1, "AC1015"), (9, "$INSUNITS"), (70, 4)]


def _frame(side: float) -> list[list[Tag]]:
    return [
        line(-3.0, -3.0, side, -3.0),
        line(side, -3.0, side, side),
        line(side, side, -3.0, side),
        line(-3.0, side, -3.0, -3.0),
    ]


def _with_handles(groups: list[list[Tag]]) -> list[list[Tag]]:
    """Return entities with a handle of their own each: a general reader mends others, slowly."""
    return [
        [(0, group[0][1]), (5, f"{k:X}"), *(tag for tag in group[1:] if tag[0] != 5)]
        for k, group in enumerate(groups, 256)
    ]


def squares(count: int) -> bytes:
    """Return a plate with square holes of four loose lines each, in any order."""
    across = max(1, int((count / 4) ** 0.5))
    groups = _frame(4.0 * across + 1.0)
    for k in range(across * across):
        x, y = 4.0 * (k % across), 4.0 * (k // across)
        groups += [
            line(x, y, x + 2.3, y),
            line(x + 2.3, y + 2.1, x + 2.3, y),
            line(x + 2.3, y + 2.1, x, y + 2.1),
            line(x, y + 2.1, x, y),
        ]
    random.Random(7).shuffle(groups)
    return dxf(entities(*_with_handles(groups), header=MM))


def circles(count: int) -> bytes:
    """Return a plate with round holes."""
    across = max(1, int(count**0.5))
    groups = _frame(4.0 * across + 1.0)
    groups += [circle(4.0 * (k % across), 4.0 * (k // across), 1.2) for k in range(across * across)]
    return dxf(entities(*_with_handles(groups), header=MM))


def same_circles(count: int) -> bytes:
    """Return a plate with one round hole, drawn many times over."""
    groups = [*_frame(20.0), *[circle(5.0, 5.0, 1.2)] * count]
    return dxf(entities(*_with_handles(groups), header=MM))


def by_ezdxf(data: bytes) -> int:
    """Return the number of entities as a general reader finds them: the yardstick."""
    import ezdxf

    return len(ezdxf.read(io.StringIO(data.decode())).modelspace())


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser()
    options.add_argument("--most", type=int, default=100_000)
    most = options.parse_args().most
    drawings: tuple[tuple[str, Callable[[int], bytes]], ...] = (
        ("loose lines", squares),
        ("circles", circles),
        ("same circle", same_circles),
    )
    preflight(squares(400))  # load the libraries
    print(
        f"{'drawing':12} {'entities':>9} {'CPU s':>8} {'us each':>8} {'to linear':>9} {'to ezdxf':>9}"
    )
    for name, make in drawings:
        base = 0.0
        for count in (1_000, 3_000, 10_000, 30_000, 60_000, 100_000):
            if count > most:
                continue
            data = make(count)
            start = time.process_time()
            report = preflight(data)
            took = time.process_time() - start
            number = int(report.measures["entities"] or 0)
            each = took / number
            base = base or (each if count >= 10_000 else 0.0)
            ratio = f"{each / base:9.2f}" if base else f"{'':9}"
            start = time.process_time()
            assert by_ezdxf(data) == number
            reading = time.process_time() - start
            print(
                f"{name:12} {number:9d} {took:8.2f} {1e6 * each:8.0f} {ratio} {took / reading:9.2f}"
            )


if __name__ == "__main__":
    main()
