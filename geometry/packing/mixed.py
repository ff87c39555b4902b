"""Circles of different sizes in the smallest round hole that was found for them.

      .-------.
    .'  ()     '.      no two circles overlap, all touch or lie inside the hole;
   /  ()  .--.   \\     the hole is the smallest that a fixed set of starts leads to
   |     |    |() |
   \\  ()  '--'   /
    '.   () () .'
      '-------'

A packing that was found, no proof that none is tighter. For equal circles it reaches the best
known holes to 1 % up to 20 (see the tests); for two and three circles it is exact.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.packing.linear import Floats, Rows, minimum
from geometry.point import Point

#: More circles than this are refused.
MOST_CIRCLES = 150

#: Starts tried, and how many of them are tightened.
STARTS, TIGHTENED = 32, 3

#: Up to so many circles all starts are tried; of more circles fewer, as each takes n squared.
ALL_STARTS = 60

#: Steps in which the hole closes on a start.
CLOSING = 90

#: Linear programmes for one arrangement, and the gain at which they end, shares of the hole.
ROUNDS, GAIN = 24, 1e-9


@dataclass(frozen=True)
class MixedPacking:
    """Circles in a round hole about the origin.

    Args:
        centres: of the circles in the order asked for, mm.
        diameters: of the circles, mm.
        hole: diameter of the smallest hole found, mm.
    """

    centres: tuple[Point, ...]
    diameters: tuple[float, ...]
    hole: float


def pack_mixed(diameters: Sequence[float]) -> MixedPacking:
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
    found = _packed(tuple(sizes[k] for k in order))
    centres = [found.centres[0]] * len(sizes)
    for place, k in enumerate(order):
        centres[k] = found.centres[place]
    return MixedPacking(tuple(centres), sizes, found.hole)


@lru_cache(maxsize=64)
def _packed(sizes: tuple[float, ...]) -> MixedPacking:
    """Return the packing of sizes that fall."""
    radii = np.array(sizes) / 2
    if len(radii) == 1:
        return MixedPacking((Point(0.0, 0.0),), sizes, sizes[0])
    starts = [_spread(p, radii) for p in _closed(_starts(radii), radii)]
    starts.sort(key=lambda p: _hole(p, radii))
    tight = [_tighten(p, radii) for p in starts[:TIGHTENED]]
    best = min(tight, key=lambda p: _hole(p, radii))
    _verify(best, radii)
    return MixedPacking(
        tuple(Point(float(x), float(y)) for x, y in best), sizes, 2 * _hole(best, radii)
    )


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


def _closed(points: Floats, radii: Floats) -> Floats:
    """Return the starts after a hole closed on them while overlaps pushed circles apart."""
    area = float((radii**2).sum())
    first, last = math.sqrt(area / 0.35), math.sqrt(area / 0.88)
    last = max(last, float(radii[0] + radii[1]))
    sums = radii[:, None] + radii[None, :]
    np.fill_diagonal(sums, 0.0)
    # The smaller of two circles gives way more.
    weight = radii[None, :] / np.maximum(sums, 1e-12)
    for step in range(CLOSING):
        hole = max(last, first + (last - first) * step / (0.7 * CLOSING))
        apart = points[:, :, None, :] - points[:, None, :, :]
        gap = np.sqrt((apart**2).sum(axis=3)) + 1e-9
        push = np.maximum(sums - gap, 0.0) / gap * weight
        points = points + 0.6 * (push[..., None] * apart).sum(axis=2)
        away = np.sqrt((points**2).sum(axis=2)) + 1e-12
        points = points * np.minimum(1.0, np.maximum(hole - radii, 0.0) / away)[..., None]
    return points


def _gaps(
    points: Floats, radii: Floats
) -> tuple[Floats, Floats, NDArray[np.intp], NDArray[np.intp]]:
    """Return distance, least distance, first and second circle of every pair."""
    first, second = np.triu_indices(len(radii), 1)
    apart = points[first] - points[second]
    return np.hypot(apart[:, 0], apart[:, 1]), radii[first] + radii[second], first, second


def _spread(points: Floats, radii: Floats) -> Floats:
    """Return the arrangement blown up until nothing overlaps."""
    gap, least, _, _ = _gaps(points, radii)
    return points * float((least / np.maximum(gap, 1e-9)).max()) * (1.0 + 1e-13)


def _hole(points: Floats, radii: Floats) -> float:
    """Return the radius of the hole about the origin that holds the arrangement."""
    return float((np.hypot(points[:, 0], points[:, 1]) + radii).max())


def _tighten(points: Floats, radii: Floats) -> Floats:
    """Return the arrangement after linear programmes that shrink its hole.

    Distances are replaced by their tangents, which never promise too much (S. Torquato and
    Y. Jiao, Physical Review E 82, 061302, 2010); the hole is measured anew after every step.
    """
    best, size = points, _hole(points, radii)
    trust = 0.5 * float(np.median(radii))
    for _ in range(ROUNDS):
        move, promised = _step(best, radii, trust)
        if size - promised < GAIN * size:
            break
        shrunk = _hole(best + move, radii)
        gain = size - shrunk
        if gain > 0:
            best, size = best + move, shrunk
        if gain < 0.5 * (size - promised):
            trust /= 10.0 if gain <= 0 else 3.0
    return best


def _step(points: Floats, radii: Floats, trust: float) -> tuple[Floats, float]:
    """Return the best small move of all centres, shape (n, 2), and the hole it promises."""
    n, (gap, least, first, second) = len(radii), _gaps(points, radii)
    near = gap - least < 3.0 * trust
    gap, least, first, second = gap[near], least[near], first[near], second[near]
    across = (points[first] - points[second]) / gap[:, None]
    # Each circle against the hole in its own direction; those near the middle in twelve.
    away = np.hypot(points[:, 0], points[:, 1])
    inner = np.flatnonzero(away < 3.0 * trust)
    turns = 2 * np.pi * np.arange(12) / 12
    fan = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    circle = np.concatenate([np.arange(n), np.repeat(inner, 12)])
    own = points / np.maximum(away, 1e-12)[:, None]
    outward = np.concatenate([own, np.tile(fan, (len(inner), 1))])
    reach = (points[circle] * outward).sum(axis=1) + radii[circle]
    pairs, walls = np.arange(len(gap)), len(gap) + np.arange(len(circle))
    rows = np.concatenate([pairs, pairs, pairs, pairs, walls, walls, walls])
    columns = np.concatenate(
        [2 * first, 2 * first + 1, 2 * second, 2 * second + 1, 2 * circle, 2 * circle + 1,
         np.full(len(circle), 2 * n)]
    )  # fmt: skip
    values = np.concatenate(
        [-across[:, 0], -across[:, 1], across[:, 0], across[:, 1], outward[:, 0], outward[:, 1],
         -np.ones(len(circle))]
    )  # fmt: skip
    cost = np.zeros(2 * n + 1)
    cost[-1] = 1.0
    bound = np.append(np.full(2 * n, trust), np.inf)
    most = np.concatenate([gap - least, -reach])
    found = minimum(cost, Rows(rows, columns, values, most), np.append(-bound[:-1], 0.0), bound)
    if found is None:
        return np.zeros((n, 2)), math.inf
    return found[:-1].reshape(n, 2), float(found[-1])


def _verify(points: Floats, radii: Floats) -> None:
    """Check that nothing overlaps by more than 1e-9 of the hole; never repair it."""
    gap, least, _, _ = _gaps(points, radii)
    if float((least - gap).max()) > 1e-9 * _hole(points, radii):
        raise RuntimeError(f"packed circles overlap by {float((least - gap).max())!r} mm")
