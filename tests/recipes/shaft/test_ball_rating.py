"""Estimated ratings of ball bearings against printed ones, and the arithmetic of ISO 281 and ISO 76."""

from __future__ import annotations

import csv

import pytest

from recipes.shaft.ball_rating import BallRating, ball_rating
from recipes.tables.bearings import bearing
from tests.places import ROOT


def printed() -> list[dict[str, str]]:
    text = (ROOT / "tests" / "reference" / "ball_bearing_ratings.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@pytest.mark.parametrize("row", printed(), ids=lambda r: r["designation"])
def test_estimates_stay_near_and_mostly_below_what_makers_print(row: dict[str, str]) -> None:
    """C0 and C: at most 20 % below and 11 % above (6200, whose balls are those of the 6001); f0 within one, printed without decimals."""
    got = ball_rating(bearing(row["designation"]))
    assert 0.80 < got.static / (1000 * float(row["C0"])) < 1.11
    assert 0.80 < got.dynamic / (1000 * float(row["C"])) < 1.11
    assert got.f0 == pytest.approx(float(row["f0"]), abs=1.2)
    assert got.estimated


def test_the_makers_word_goes_before_the_estimate() -> None:
    got = ball_rating(bearing("6204"), 6550.0, 13500.0)
    assert (got.static, got.dynamic, got.along, got.estimated) == (6550, 13500, 3275, False)


def test_light_series_and_small_bores_take_a_quarter() -> None:
    """SKF: 0.5 C0, but 0.25 C0 for d <= 12 mm and diameter series 8, 9, 0, 1."""
    shares = {n: ball_rating(bearing(n), 1000.0).along for n in ("6002", "6201", "6202", "6804")}
    assert shares == {"6002": 250, "6201": 250, "6202": 500, "6804": 250}


def test_equivalent_load_and_life_by_hand() -> None:
    """C0 = 2850 N, f0 14, Fa 350 N: f0 Fa / C0 = 1.72, Y = 1.38; P = 0.56 x 200 + 1.38 x 350 = 595 N."""
    got = BallRating(2850.0, 5850.0, 14.0, 712.5, False)
    y = 1.45 + (1.31 - 1.45) * (14 * 350 / 2850 - 1.38) / (2.07 - 1.38)
    load = 0.56 * 200 + y * 350
    assert load == pytest.approx(595, abs=1.0)
    assert got.equivalent(200, 350) == pytest.approx(load)
    assert got.equivalent(2000, 10) == 2000  # little along: Fr decides
    assert got.static_equivalent(100, 500) == 310
    assert got.life_hours(200, 350, 1500) == pytest.approx(1e6 * (5850 / load) ** 3 / 90000)
