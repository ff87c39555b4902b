"""Pipe and tube as they are sold, against public listings of ASME B36.10M and makers' tables.

Outside values: tests/reference/pipe_b36_10m.csv and tube_outside_limits.csv, each row with its
source. Walls of precision and DOM tube are from memory: nothing outside is checked there.
"""

import csv

import pytest

from recipes.tables.reader import TableError
from recipes.tables.steel_tubes import find_tube, list_tubes, nearest_tubes, tube_of
from tests.places import ROOT


def reference(name: str) -> list[dict[str, str]]:
    with (ROOT / "tests" / "reference" / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(
    "row", reference("pipe_b36_10m.csv"), ids=lambda r: f"{r['nps']}-{r['schedule']}"
)
def test_pipe_is_that_of_the_published_schedules(row: dict[str, str]) -> None:
    pipe = find_tube(f"NPS {row['nps']} schedule {row['schedule']}")
    # listings in mm are rounded to 0.1 outside and 0.01 in the wall, those in inches to a thousandth
    assert pipe.outside_mm == pytest.approx(float(row["outside_in"]) * 25.4, abs=0.051)
    assert pipe.wall_mm == pytest.approx(float(row["wall_in"]) * 25.4, abs=0.027)


@pytest.mark.parametrize(
    "row", reference("tube_outside_limits.csv"), ids=lambda r: f"{r['kind']}-{r['up_to_mm']}"
)
def test_outside_spreads_as_the_standard_allows(row: dict[str, str]) -> None:
    low, high = float(row["from_mm"]), float(row["up_to_mm"])
    sizes = [
        t
        for t in list_tubes(row["kind"])
        if low <= t.outside_mm <= high and t.wall_mm >= t.outside_mm / 20
    ]
    assert sizes
    for tube in sizes:
        assert tube.outside_upper_mm == pytest.approx(float(row["upper_mm"]), abs=0.005)
        assert tube.outside_lower_mm == pytest.approx(float(row["lower_mm"]), abs=0.005)


def test_thin_precision_tube_spreads_more() -> None:
    thick, thin = find_tube("30 x 2 mm"), find_tube("50 x 2 mm")
    assert thick.outside_upper_mm == pytest.approx(0.08)  # 2 / 30 is above 1 / 20
    assert thin.outside_upper_mm == pytest.approx(0.3)  # 2 / 50: one and a half times 0.20


@pytest.mark.parametrize(
    ("words", "outside", "inside"),
    [
        ("NPS 3/4 schedule 80", 26.67, 18.8468),
        ("1 1/4 sch 40", 42.164, 35.052),
        ("nps 1 schedule std", 33.401, 26.6446),
        ("25 x 3 mm", 25.0, 19.0),
        ("25 x 3", 25.0, 19.0),
        ("1 in x 0.120 in", 25.4, 19.304),
        ("1 1/8 x 0.188 in", 28.575, 19.0246),
    ],
)
def test_a_merchants_words_are_understood(words: str, outside: float, inside: float) -> None:
    tube = find_tube(words)
    assert (tube.outside_mm, tube.inside_mm) == pytest.approx((outside, inside), abs=1e-3)
    assert tube_of(tube.kind, outside, inside) == tube


@pytest.mark.parametrize(
    "words", ["NPS 9 schedule 40", "25 x 13 mm", "a pipe", "/ x 3", "1/0 x 3 mm"]
)
def test_other_words_are_refused_with_what_would_do(words: str) -> None:
    with pytest.raises(TableError, match=r"NPS|near"):
        find_tube(words)


def test_the_nearest_sizes_come_first() -> None:
    first = nearest_tubes("precision tube", 25.1, 18.9)[0]
    assert first.name == "precision tube 25 x 3 mm"
    assert tube_of("precision tube", 25.1, 18.9) is None


def test_no_wall_closes_its_tube_and_least_walls_are_thinner() -> None:
    for tube in list_tubes():
        assert tube.inside_mm > 0.0
        assert 0.8 * tube.wall_mm < tube.wall_least_mm < tube.wall_mm
