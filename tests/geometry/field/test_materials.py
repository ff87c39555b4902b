"""Magnetising curves: monotone, through their points, averaged over the stack."""

import math

import numpy as np
import pytest

from geometry.field.materials import MU0, Linear, Magnet, curve
from tests.geometry.field.shapes import RING, SHEET

H = [25.0, 50.0, 100.0, 300.0, 1000.0, 5000.0, 10000.0]
J = [0.1, 0.6, 1.1, 1.35, 1.5, 1.7, 1.8]


@pytest.mark.parametrize("share", [1.0, 0.94])
def test_points_are_averaged_over_sheet_and_insulation(share: float) -> None:
    found = curve(H, J, share)
    b = share * np.array(J) + MU0 * np.array(H)
    np.testing.assert_allclose(found.evaluate(b)[0], H, rtol=1e-12)


@pytest.mark.parametrize("found", [SHEET, RING, curve(H, J)])
def test_monotone_smooth_and_saturated(found) -> None:  # type: ignore[no-untyped-def]
    b = np.linspace(0, 4, 40001)
    h, slope, energy = found.evaluate(b)
    assert h[0] == energy[0] == 0
    assert (np.diff(h) > 0).all()
    assert (slope > 0).all()
    middle = (b[1:] + b[:-1]) / 2
    # At the last point the slope jumps to that of air.
    smooth = np.abs(middle - found.flux_density[-1]) > 1e-3
    chord = np.diff(h) / np.diff(b)
    np.testing.assert_allclose(chord[smooth], found.evaluate(middle)[1][smooth], rtol=2e-2)
    # Simpson's rule holds for cubics, within each of which the points mostly lie.
    work = (h[1:] + h[:-1] + 4 * found.evaluate(middle)[0]) / 6 * np.diff(b)
    np.testing.assert_allclose(np.cumsum(work), energy[1:], rtol=1e-6, atol=1e-6)
    far = b > found.flux_density[-1]
    np.testing.assert_allclose(slope[far], 1 / MU0, rtol=1e-12)
    last = b[far] - MU0 * h[far]
    np.testing.assert_allclose(last, last[0], rtol=1e-12)


def test_wrong_curves_are_refused() -> None:
    for h, j, share, words in (
        ([1.0], [0.1], 1.0, "two points"),
        ([1.0, 2.0], [0.1], 1.0, "each with H and J"),
        ([2.0, 1.0], [0.1, 0.2], 1.0, "must rise"),
        ([1.0, 2.0], [0.2, 0.1], 1.0, "must not fall"),
        ([0.0, 2.0], [0.1, 0.2], 1.0, "from above 0"),
        ([1.0, 2.0], [0.1, 0.2], 0.0, "stacking factor"),
        ([1.0, 2.0], [0.1, 0.2], 1.1, "stacking factor"),
        ([1.0, math.nan], [0.1, 0.2], 1.0, "must rise"),
    ):
        with pytest.raises(ValueError, match=words):
            curve(h, j, share)


@pytest.mark.parametrize("mu_r", [0.0, -1.0, math.nan])
def test_wrong_permeability_is_refused(mu_r: float) -> None:
    with pytest.raises(ValueError, match="positive"):
        Linear(mu_r)
    with pytest.raises(ValueError, match="positive"):
        Magnet(1.2, mu_r)
