"""Parallel keys against two published copies of DIN 6885-1."""

from __future__ import annotations

import csv

import pytest

from recipes.tables.keys import KEY_LENGTHS, key_for_shaft, key_of_width, n9_limits
from recipes.tables.reader import TableError
from tests.places import ROOT


def reference() -> list[dict[str, str]]:
    text = (ROOT / "tests" / "reference" / "din6885_keys.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@pytest.mark.parametrize("row", reference(), ids=lambda r: f"{r['b']} {r['copy']}")
def test_keys_equal_the_published_copies(row: dict[str, str]) -> None:
    for key in (key_of_width(float(row["b"])), key_for_shaft(float(row["up_to"]))):
        got = (key.over_mm, key.up_to_mm, key.height_mm, key.shaft_depth_mm, key.hub_depth_mm)
        assert got == tuple(float(row[k]) for k in ("over", "up_to", "h", "t1", "t2"))
    assert key_for_shaft(float(row["over"]) + 0.01).width_mm == float(row["b"])


def test_both_depths_together_clear_the_key() -> None:
    """t1 + t2 leaves 0.2 to 0.4 mm over the key (DIN 6885-1: clearance at its back)."""
    for row in reference():
        key = key_of_width(float(row["b"]))
        assert 0.19 < key.shaft_depth_mm + key.hub_depth_mm - key.height_mm < 0.41


def test_n9_is_grade_9_below_zero() -> None:
    """IT9 by ISO 286-1: i = 0.45 D^(1/3) + 0.001 D um, IT9 = 40 i, D the geometric mean."""
    for low, high in ((6, 10), (10, 18), (18, 30), (30, 50)):
        d = (low * high) ** 0.5
        grade = 40 * (0.45 * d ** (1 / 3) + 0.001 * d) / 1000
        upper, lower = n9_limits(high)
        assert upper == 0.0
        assert lower == pytest.approx(-grade, abs=0.0011)


def test_what_is_not_a_key() -> None:
    with pytest.raises(TableError, match="nearest is 6 mm"):
        key_of_width(6.7)
    with pytest.raises(TableError, match="over 6 up to 130"):
        key_for_shaft(5.1)
    with pytest.raises(TableError, match="50 mm"):
        n9_limits(51.3)
    assert sorted(KEY_LENGTHS) == list(KEY_LENGTHS)
