"""Magnets between rings, in closed form: the field of concentric layers, harmonic by harmonic.

Derived after Zhu & Howe, "Instantaneous magnetic field distribution in brushless permanent magnet
dc motors", IEEE Transactions on Magnetics 29 (1993) 124-158, with rings of finite permeability:
in every layer A = a r^n + b r^-n + K r with K (1 - n^2) = i n Rn - Tn, where Rn and Tn are the
harmonics of the radial and the tangential remanence; A and H_theta pass from layer to layer
unbroken, and A = 0 at both edges. Radii in m.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

MU0 = 4e-7 * np.pi


def remanence(
    n: int, pairs: int, cover: float, strength: float, pattern: Literal["parallel", "radial"]
) -> tuple[complex, complex]:
    """Return Rn and Tn of 2 `pairs` poles (pairs > 1), the first one's middle at angle 0."""
    half = cover * np.pi / (2 * pairs)
    if pattern == "radial":
        return strength * 2 * pairs / np.pi * np.sin(n * half) / n, 0
    low, high = np.sin((n - 1) * half) / (n - 1), np.sin((n + 1) * half) / (n + 1)
    return strength * pairs / np.pi * (low + high), 1j * strength * pairs / np.pi * (low - high)


def potential(
    n: int,
    radii: list[float],
    mu_r: list[float],
    magnets: int,
    source: tuple[complex, complex],
    where: list[float],
) -> NDArray[np.complex128]:
    """Return the n-th harmonic of A at the radii `where`; layer number `magnets` holds the magnets."""
    layers = len(mu_r)
    matrix = np.zeros((2 * layers, 2 * layers), complex)
    right = np.zeros(2 * layers, complex)
    slope = (1j * n * source[0] - source[1]) / (1 - n * n)

    def terms(j: int, r: float) -> tuple[list[float], list[float], complex, complex]:
        """A's two functions and H's, and the part that is given, of a layer at a radius."""
        up, down = (r / radii[j + 1]) ** n, (radii[j] / r) ** n
        nu = 1 / (MU0 * mu_r[j])
        given = (slope * r, -nu * (slope + source[1])) if j == magnets else (0, 0)
        return [up, down], [-nu * n * up / r, nu * n * down / r], *given

    row = 0
    for j, r in enumerate(radii):
        a, h = np.zeros(2 * layers, complex), np.zeros(2 * layers, complex)
        given_a = given_h = 0j
        for k, sign in ((j - 1, 1), (j, -1)):
            if 0 <= k < layers:
                fa, fh, ga, gh = terms(k, r)
                a[2 * k : 2 * k + 2], h[2 * k : 2 * k + 2] = (
                    sign * np.array(fa),
                    sign * np.array(fh),
                )
                given_a, given_h = given_a + sign * ga, given_h + sign * gh
        matrix[row], right[row] = a, -given_a
        row += 1
        if 0 < j < layers:
            matrix[row], right[row] = h, -given_h
            row += 1
    found = np.linalg.solve(matrix, right)
    values = []
    for r in where:
        j = int(np.clip(np.searchsorted(radii, r) - 1, 0, layers - 1))
        fa, _, ga, _ = terms(j, r)
        values.append(found[2 * j] * fa[0] + found[2 * j + 1] * fa[1] + ga)
    return np.array(values)
