"""Circles of different sizes in the smallest round hole that was found for them.

      .-------.
    .'  ()     '.      no two circles overlap, all touch or lie inside the hole;
   /  ()  .--.   \\     the hole is the smallest that a fixed set of starts leads to
   |     |    |() |
   \\  ()  '--'   /
    '.   () () .'
      '-------'

Circles and hole are soft and a pressure shrinks the hole. As the pressure falls towards nothing,
so do the overlaps, and what is left of them is taken away by moving the circles apart: an exterior
penalty method (J. Nocedal and S. J. Wright, Numerical Optimization, 2006, chapter 17.1).

A packing that was found, no proof that none is tighter. For equal circles it reaches the best
known holes to 1 % up to 20 (see the tests); for two and three circles it is exact.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from geometry.errors import GeometryError
from geometry.packing.descent import Descent, Floats
from geometry.point import Point

#: More circles than this are refused.
MOST_CIRCLES = 150

#: Starts tried, and how many of them are tightened.
STARTS, TIGHTENED = 32, 8

#: Up to so many circles all starts are tried; of more circles fewer, as each takes n squared.
ALL_STARTS = 60

#: Pressures on the starts and on those that are tightened, about as large as the overlaps that they
#: lead to (diameters of the largest circle), and the most steps at each.
FIRST_PRESSURES, FIRST_STEPS = (1.0, 0.3, 0.1, 0.03), 40
LAST_PRESSURES, LAST_STEPS = (1e-2, 1e-4, 1e-6, 1e-8, 1e-10), 120

#: At each pressure forces balance to this part of it: a circle that little holds moves far for little.
BALANCED = 1e-4


@dataclass(frozen=True)
class UnequalPacking:
    """Circles in a round hole about the origin.

    Args:
        centres: of the circles in the order asked for, mm.
        diameters: of the circles, mm.
        hole: diameter of the smallest hole found, mm.
    """

    centres: tuple[Point, ...]
    diameters: tuple[float, ...]
    hole: float


def pack_unequal(diameters: Sequence[float]) -> UnequalPacking:
    """Return circles of these diameters in the smallest round hole that can be found.

    Args:
        diameters: in mm, in any order, at most 150.

    Returns:
        A packing whose gaps are checked to 1e-9 of the hole. The same sizes give the same bytes.

    Raises:
        GeometryError: no circle, too many, or a diameter that is not finite and above 0.
    """
    sizes = tuple(float(d) for d in diameters)
    if not 1 <= len(sizes) <= MOST_CIRCLES:
        raise GeometryError(
            f"{len(sizes)} circles were given", value=len(sizes), limit=MOST_CIRCLES,
            hint=f"give 1 to {MOST_CIRCLES}",
        )  # fmt: skip
    bad = [d for d in sizes if not (math.isfinite(d) and d > 0.0)]
    if bad:
        raise GeometryError(
            f"diameter: {bad[0]:g} mm must be finite and above 0 mm", value=bad[0], limit=0.0,
            hint="give the overall diameter of every circle",
        )  # fmt: skip
    order = sorted(range(len(sizes)), key=lambda k: (-sizes[k], k))
    centres, hole = _packed(tuple(sizes[k] for k in order))
    return UnequalPacking(tuple(centres[order.index(k)] for k in range(len(sizes))), sizes, hole)


@lru_cache(maxsize=64)
def _packed(sizes: tuple[float, ...]) -> tuple[tuple[Point, ...], float]:
    """Return the centres of circles whose sizes fall, and the diameter of their hole, mm."""
    radii = np.array(sizes) / (2.0 * sizes[0])
    if len(radii) == 1:
        return (Point(0.0, 0.0),), sizes[0]
    found = _starts(radii)
    for pressure in FIRST_PRESSURES:
        found = _pressed(found, radii, pressure, FIRST_STEPS)
    holes = [_hole(p, radii) for p in _apart(found, radii)]
    found = found[np.argsort(holes, kind="stable")[:TIGHTENED]]
    for pressure in LAST_PRESSURES:
        found = _pressed(found, radii, pressure, LAST_STEPS)
    best = min(_apart(found, radii), key=lambda p: _hole(p, radii))
    _verify(best, radii)
    centres = tuple(Point(float(x), float(y)) for x, y in best * sizes[0])
    return centres, 2.0 * sizes[0] * _hole(best, radii)


def _starts(radii: Floats) -> Floats:
    """Return start positions (starts, n, 2): points of even spread, each start shifted.

    Additive recurrences with the plastic number (M. Roberts 2018), a fixed sequence without a
    random number. Half of the starts put large circles outside, half inside.
    """
    n, plastic = len(radii), 1.32471795724474602596
    count = min(STARTS, math.ceil(STARTS * (ALL_STARTS / n) ** 2))
    k, i = np.arange(count)[:, None], np.arange(n)[None, :]
    share = (0.5 + k / plastic + (i + 1) * plastic**-1.0) % 1.0
    turn = 2 * np.pi * ((0.5 + k / plastic**2 + (i + 1) * plastic**-2.0) % 1.0)
    ranked = np.sort(share, axis=1)
    ranked[::2] = ranked[::2, ::-1]
    mixed = np.where(k % 3 == 0, share, ranked)
    reach = np.sqrt(mixed) * np.sqrt((radii**2).sum() / 0.6)
    return np.stack([reach * np.cos(turn), reach * np.sin(turn)], axis=2)


def _pressed(points: Floats, radii: Floats, pressure: float, steps: int) -> Floats:
    """Return arrangements (starts, n, 2) after a hole closed on them under a pressure.

    The radius of the hole is descended along with the centres, as the x of one more point.
    """
    n, sums = len(radii), radii[:, None] + radii
    np.fill_diagonal(sums, 0.0)

    def energy(flat: Floats) -> tuple[Floats, Floats]:
        every = flat.reshape(-1, n + 1, 2)
        x, y, hole = every[:, :n, 0], every[:, :n, 1], every[:, n, :1]
        dx, dy = x[:, :, None] - x[:, None], y[:, :, None] - y[:, None]
        gap = np.sqrt(dx * dx + dy * dy) + 1e-300
        overlap = np.maximum(sums - gap, 0.0)
        away = np.sqrt(x * x + y * y) + 1e-300
        beyond = np.maximum(away + radii - hole, 0.0)
        each = np.hstack([(overlap * overlap).sum(axis=2) / 2 + beyond**2, pressure * hole])
        push, back = overlap / gap, beyond / away
        slope = np.zeros_like(every)
        slope[:, :n, 0] = 2.0 * (back * x - (push * dx).sum(axis=2))
        slope[:, :n, 1] = 2.0 * (back * y - (push * dy).sum(axis=2))
        slope[:, n, 0] = pressure - 2.0 * beyond.sum(axis=1)
        return each.ravel(), slope.reshape(-1, 2)

    holes = np.array([[[_hole(p, radii), 0.0]] for p in points])
    descent = Descent(energy, np.concatenate([points, holes], axis=1))
    for _ in range(steps):
        if np.abs(descent.gradient).max() < BALANCED * pressure:
            break
        descent.step()
    return descent.points[:, :n]


def _gaps(points: Floats, radii: Floats) -> tuple[Floats, Floats]:
    """Return the distance of every pair, and its least distance."""
    first, second = np.triu_indices(len(radii), 1)
    off = points[first] - points[second]
    return np.hypot(off[:, 0], off[:, 1]), radii[first] + radii[second]


def _apart(arrangements: Floats, radii: Floats) -> list[Floats]:
    """Return the arrangements, each scaled until nothing overlaps."""
    ratios = [
        least / np.maximum(gap, 1e-9) for gap, least in (_gaps(p, radii) for p in arrangements)
    ]
    return [p * float(r.max()) * (1.0 + 1e-13) for p, r in zip(arrangements, ratios, strict=True)]


def _hole(points: Floats, radii: Floats) -> float:
    """Return the radius of the hole about the origin that holds the arrangement."""
    return float((np.hypot(points[:, 0], points[:, 1]) + radii).max())


def _verify(points: Floats, radii: Floats) -> None:
    """Check that nothing overlaps by more than 1e-9 of the hole; never repair it."""
    gap, least = _gaps(points, radii)
    if float((least - gap).max()) > 1e-9 * _hole(points, radii):
        raise RuntimeError(f"packed circles overlap by {float((least - gap).max())!r} diameters")
