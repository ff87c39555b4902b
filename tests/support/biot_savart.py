"""Field of coils in air, wound as the printed card says, by the law of Biot and Savart in numpy alone.

Nothing here asks our code for a sign: a coil's path is built from the words of the card (where the wire
goes over the lead end), seen from the lead side, z towards the reader, teeth counter-clockwise.
Source: law of Biot and Savart for a straight piece of wire, any textbook of electromagnetism.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from recipes.winding.card_tables import ToothRow

Array = NDArray[np.float64]

#: Radii of coil and of the middle of the magnets, half the stack, share of the pitch that a coil spans.
COIL, MAGNETS, HALF, SPAN = 1.0, 1.12, 0.4, 0.8


def field(path: Array, points: Array) -> Array:
    """Return the field (n, 3) of a current of 1 through a polygon of wire (m, 3), times 4 pi / mu0."""
    total = np.zeros_like(points)
    for a, b in itertools.pairwise(path):
        r1, r2, along = points - a, points - b, b - a
        cross = np.cross(r1, r2)
        square = (cross**2).sum(axis=1)
        n1, n2 = (np.linalg.norm(r, axis=1) for r in (r1, r2))
        share = (along @ (r1 / n1[:, None] - r2 / n2[:, None]).T) / np.maximum(square, 1e-18)
        total += cross * share[:, None]
    return total


def coil(row: ToothRow, slots: int) -> Array:
    """Return one turn from start to finish (5, 3) as a line of the card's table of teeth tells it."""
    number, towards = int(row.number), int(row.crossing.removeprefix("to no. "))
    side = 1.0 if towards == number % slots + 1 else -1.0
    assert side > 0 or towards == (number - 2) % slots + 1
    axis, off = 2 * np.pi * (number - 1) / slots, SPAN * np.pi / slots
    here, there = axis + side * off, axis - side * off  # down where the arrow points, up behind it
    corners = [(there, HALF), (here, HALF), (here, -HALF), (there, -HALF), (there, HALF)]
    return np.array([(COIL * np.cos(a), COIL * np.sin(a), z) for a, z in corners])


def radial(paths: Sequence[Array], currents: Sequence[float], angles: Array) -> Array:
    """Return the field outwards (n,) of coils on the circle of the magnets."""
    out = np.stack([np.cos(angles), np.sin(angles), 0 * angles], axis=1)
    total = sum(i * field(p, MAGNETS * out) for p, i in zip(paths, currents, strict=True) if i)
    return np.asarray((total * out).sum(axis=1))


def wave(rows: Sequence[ToothRow], phases: dict[str, float], pairs: int) -> complex:
    """Return the wave of `pairs` pole pairs of the field outwards: its real part times e^(i p angle).

    Args:
        rows: the card's table of teeth.
        phases: current that enters U1, V1, W1; every coil carries it from its start to its finish.
        pairs: pole pairs.
    """
    slots, wound = len(rows), [r for r in rows if r.coil != "bare"]
    angles = np.linspace(0, 2 * np.pi, 32 * max(slots, pairs), endpoint=False)
    paths = [coil(r, slots) for r in wound]
    found = radial(paths, [phases[r.coil[0]] for r in wound], angles)
    return complex(2 * np.mean(found * np.exp(-1j * pairs * angles)))


def torque(wave: complex, north: float, pairs: int) -> float:
    """Return the torque on the magnets, counter-clockwise, for the middle of a north pole at `north` rad.

    A north pole looks inward, so its moment points inward; energy is less moment times field.
    """
    # energy ~ + mean(cos(p (angle - north)) B) = Re(wave e^(i p north)) / 2; torque = -d/d north
    return float((-1j * pairs * wave * np.exp(1j * pairs * north)).real)
