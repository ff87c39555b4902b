"""Looking up rows of standard tables."""

from __future__ import annotations

import pytest

from recipes.study.lookup import look_up
from recipes.tables.reader import TableError


def test_rings_and_threads_are_looked_up() -> None:
    """Red before: both tables were there, and `lookup` did not know them.

    DIN 471: ring 25x1.2, groove 23.9; ISO 898-1: stress area of M10x1 is 64.5 mm2.
    """
    ring, thread = look_up("ring", ["25"]), look_up("thread", ["M10x1"])
    assert (ring["thickness_mm"], ring["groove_mm"]) == (1.2, 23.9)
    assert thread["stress_area_mm2"] == pytest.approx(64.5, abs=0.05)
    assert look_up("thread", ["1/2-20", "UNF"])["diameter_mm"] == pytest.approx(12.7)
    with pytest.raises(TableError, match=r"nearest are 24 and 22 mm"):
        look_up("ring", ["23.5"])
    with pytest.raises(TableError, match=r"such as: lookup ring 25"):
        look_up("ring", ["wide"])
