"""What the field asks of a material: H of B, its slope and its energy; and magnets.

SI units throughout: B and J in T, H in A/m, energy density in J/m3, reluctivity nu in m/H.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: The magnetic constant, H/m (SI brochure, 9th edition: exact to 1e-9 of this value).
MU0 = 4e-7 * math.pi


@dataclass(frozen=True)
class Linear:
    """A material without remanence and without saturation; `mu_r` = 1 is air or copper.

    Raises:
        ValueError: a relative permeability that is not positive.
    """

    mu_r: float = 1.0

    def __post_init__(self) -> None:
        """Refuse what has no energy minimum; raises ValueError."""
        if not self.mu_r > 0:
            raise ValueError(f"relative permeability must be positive, not {self.mu_r}")


@dataclass(frozen=True)
class Magnet:
    """A permanent magnet: B = mu_r mu0 H + Br, magnetised outwards in even cells, inwards in odd.

    Args:
        remanence: Br in T.
        mu_r: recoil permeability.
        pattern: "parallel": Br has one direction; "radial": that of the radius.
        axis: rad counter-clockwise from the cell's axis to that one direction.

    Raises:
        ValueError: a recoil permeability that is not positive.
    """

    remanence: float
    mu_r: float = 1.05
    pattern: Literal["parallel", "radial"] = "parallel"
    axis: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what has no energy minimum; raises ValueError."""
        if not self.mu_r > 0:
            raise ValueError(f"recoil permeability must be positive, not {self.mu_r}")


@dataclass(frozen=True)
class Curve:
    """A monotone magnetising curve H(B), isotropic and without hysteresis.

    Between its points and from the origin H(B) is a piecewise cubic, monotone by the conditions of
    Fritsch & Carlson (SIAM Journal on Numerical Analysis 17, 1980, 238-246; scipy's pchip); above
    the last point J stays constant, so that dH/dB is 1/mu0.

    Args:
        flux_density: (k,) B in T where each piece begins, from 0 on.
        coefficients: (4, k) of H's cubics in what B is above that, highest power first.
        energy: (k,) energy density there, J/m3; see `curve`.
    """

    flux_density: Array
    coefficients: Array
    energy: Array

    def evaluate(self, b: Array) -> tuple[Array, Array, Array]:
        """Return H (A/m), dH/dB (m/H) and energy density (J/m3) at the amounts `b` >= 0 (T)."""
        k = np.searchsorted(self.flux_density, b, side="right") - 1
        x = b - self.flux_density[k]
        c3, c2, c1, c0 = self.coefficients[:, k]
        h = ((c3 * x + c2) * x + c1) * x + c0
        slope = (3 * c3 * x + 2 * c2) * x + c1
        energy = (((c3 / 4 * x + c2 / 3) * x + c1 / 2) * x + c0) * x + self.energy[k]
        return h, slope, energy


Material = Linear | Magnet | Curve


def curve(
    field: Sequence[float], polarisation: Sequence[float], stacking_factor: float = 1.0
) -> Curve:
    """Return the curve of a stack of sheets, averaged over steel and the insulation between.

    H is parallel to the sheets and so the same in both: B = f J(H) + mu0 H, with f the stacking
    factor (steel's share of the stack's height).

    Args:
        field: H of the points in A/m, rising, all above 0.
        polarisation: J of the steel at these points in T, not falling, all above 0.
        stacking_factor: steel's share of the height, above 0 and at most 1.

    Raises:
        ValueError: fewer than two points, points that do not rise, or a share out of range.
    """
    h, j = np.asarray(field, float), np.asarray(polarisation, float)
    if len(h) != len(j) or len(h) < 2:
        raise ValueError("a curve needs two points or more, each with H and J")
    if not (h[0] > 0 and j[0] > 0 and (np.diff(h) > 0).all() and (np.diff(j) >= 0).all()):
        raise ValueError("H must rise from above 0, and J must not fall")
    if not 0 < stacking_factor <= 1:
        raise ValueError(
            f"the stacking factor must lie above 0 and at most 1, not {stacking_factor}"
        )
    b = stacking_factor * j + MU0 * h
    from scipy.interpolate import PchipInterpolator

    knots = np.append(0.0, b)
    cubics = PchipInterpolator(knots, np.append(0.0, h)).c
    c3, c2, c1, c0 = cubics
    x = np.diff(knots)
    energy = np.append(0.0, np.cumsum((((c3 / 4 * x + c2 / 3) * x + c1 / 2) * x + c0) * x))
    beyond = np.array([[0.0], [0.0], [1 / MU0], [h[-1]]])
    return Curve(knots, np.concatenate([cubics, beyond], axis=1), energy)
