import math

import pytest

from recipes.shaft.notch_factor import edge_peak, edge_peaks


def by_hand(even: float, rising: float, shear: float) -> float:
    """The largest of the same 48 places, one by one, and the parabola through it."""
    places = [math.pi * k / 48 for k in range(48)]
    found = [
        abs(even * (1 - 2 * math.cos(2 * p)) + 4 * abs(shear) * math.sin(2 * p))
        + abs(rising * (math.sin(p) - math.sin(3 * p)))
        for p in places
    ]
    k = found.index(max(found))
    low, top, high = found[k - 1], found[k], found[(k + 1) % 48]
    return top + (high - low) ** 2 / (8 * (2 * top - low - high))


def test_many_cases_at_once_are_each_by_itself() -> None:
    even, rising, shear = (71.3, 0.4, 12.9, 0.0), (3.7, 55.1, 0.0, 0.0), (-8.2, 1.3, 41.7, 2.9)
    found = edge_peaks(even, rising, shear)
    assert found == [edge_peak(*case) for case in zip(even, rising, shear, strict=True)]
    assert found == pytest.approx(
        [by_hand(*case) for case in zip(even, rising, shear, strict=True)], rel=1e-14
    )
    assert edge_peaks([0.0], [0.0], [0.0]) == [0.0]
