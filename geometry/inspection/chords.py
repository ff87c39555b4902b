"""Runs of chords that stand for arcs: what a program leaves that knows no arcs.

    .--o--.        corners lie on one circle within `ON_ARC`, each chord strays at most
  o'       'o      `MOST_SAGITTA` from it, each corner turns the same way by at most `MOST_TURN`,
 /    arc    \\     and the run as a whole bends by more than `LEAST_RISE`: a few corners by
o             o    chance on one circle are no arc.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Line

Floats = NDArray[np.float64]

#: How far (mm) a corner may lie off the circle: a tenth of what a laser holds.
ON_ARC = 0.01
#: How far (mm) the middle of a chord may lie off the circle: beyond it nobody means an arc.
MOST_SAGITTA = 0.25
#: Most that one corner turns (rad): beyond 18 chords a turn it may be a true polygon.
MOST_TURN = math.radians(20.5)
#: Fewest chords of a run, and how far (mm) it must bend from the line between its ends.
FEWEST, LEAST_RISE = 5, 0.02


@dataclass(frozen=True)
class ChordRun:
    """Chords `first` to `first + count - 1` of a loop (round its end, too) that lie on one arc.

    Args:
        first, count: of the loop's segments.
        center, radius: of the circle, mm.
        deviation: farthest that a corner lies off it, mm.
        whole: whether the chords go all the way round.
    """

    first: int
    count: int
    center: Point
    radius: float
    deviation: float
    whole: bool


def chord_runs(loop: Outline) -> tuple[ChordRun, ...]:
    """Return every longest run of chords that stands for an arc, in order of travel."""
    corners = np.array([tuple(p) for p in loop.points])
    straight = np.array([isinstance(s, Line) for s in loop.segments])
    count = len(corners)
    if count < FEWEST or straight.sum() < FEWEST:
        return ()
    chord = np.roll(corners, -1, axis=0) - corners
    before = np.roll(chord, 1, axis=0)
    turn = np.arctan2(
        before[:, 0] * chord[:, 1] - before[:, 1] * chord[:, 0], (before * chord).sum(axis=1)
    )
    bends = straight & np.roll(straight, 1) & (np.abs(turn) <= MOST_TURN) & (np.abs(turn) > 1e-7)
    sense = np.where(bends, np.sign(turn), 0.0)
    # Begin where no run goes through, so that none is cut in two by the loop's first corner; where
    # all corners bend alike, at the longest chord.
    length = np.hypot(chord[:, 0], chord[:, 1])
    start = int(np.argmin(np.abs(sense))) if not sense.all() else int(np.argmax(length))
    return tuple(_runs(np.roll(corners, -start, axis=0), np.roll(sense, -start), start))


def _runs(corners: Floats, sense: Floats, start: int) -> Iterator[ChordRun]:
    """Yield the runs of a loop; `sense` of each corner is +1, -1, or 0 where no arc goes through."""
    count = len(corners)
    ring = np.vstack([corners, corners[:1]])
    at = 0
    while at <= count - FEWEST:
        stop = at + 1
        while stop < count and sense[stop] and sense[stop] == sense[min(at + 1, count - 1)]:
            stop += 1
        # chords at .. stop - 1 turn gently: take from them the longest runs on one circle
        while stop - at >= FEWEST:
            found = _longest(ring, at, stop)
            if found is None:
                at += 1
                continue
            last, (x, y), radius, deviation = found
            whole = at == 0 and last == count
            if whole or _rise(ring[at : last + 1], radius) > LEAST_RISE:
                yield ChordRun(
                    (at + start) % count, last - at, Point(x, y), radius, deviation, whole
                )
            at = last
        at = max(at, stop)


def _longest(
    ring: Floats, at: int, stop: int
) -> tuple[int, tuple[float, float], float, float] | None:
    """Return end, centre, radius and deviation of the longest run from `at`; None if too short."""
    good, best = at + FEWEST, _circle(ring[at : at + FEWEST + 1])
    if best is None:
        return None
    step = FEWEST
    while step:  # twice as far while it holds, then half the step back
        tried = min(good + step, stop)
        fit = _circle(ring[at : tried + 1]) if tried > good else None
        if fit is None:
            step //= 2
        else:
            good, best, step = tried, fit, 2 * step
    return good, *best


def _circle(corners: Floats) -> tuple[tuple[float, float], float, float] | None:
    """Return centre, radius and deviation of the circle on which all corners lie; None if none."""
    third = corners[[0, len(corners) // 3, 2 * len(corners) // 3]]
    (ax, ay), (bx, by) = third[1] - third[0], third[2] - third[0]
    cross = 2 * (ax * by - ay * bx)
    if abs(cross) < 1e-12:
        return None
    a, b = ax * ax + ay * ay, bx * bx + by * by
    middle = third[0] + np.array([by * a - ay * b, ax * b - bx * a]) / cross
    distance = np.hypot(*(corners - middle).T)
    radius = float(distance.mean())
    deviation = float(np.abs(distance - radius).max())
    half = float(np.hypot(*np.diff(corners, axis=0).T).max()) / 2
    if deviation > ON_ARC or half >= radius:
        return None
    if radius - math.sqrt(radius * radius - half * half) > MOST_SAGITTA:
        return None
    return (float(middle[0]), float(middle[1])), radius, deviation


def _rise(corners: Floats, radius: float) -> float:
    """Return how far a run bends from the line between its ends, at most its radius."""
    run = float(np.hypot(*np.diff(corners, axis=0).T).sum())
    angle = min(run / radius, math.pi)
    return radius * (1 - math.cos(angle / 2))
