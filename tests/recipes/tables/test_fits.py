"""Every limit of ISO 286 against its rule, two published copies and two Python libraries."""

from __future__ import annotations

import csv
import math
from itertools import pairwise

import pytest

from recipes.tables.bearings import bearing
from recipes.tables.fits import fit_limits, list_fits
from recipes.tables.reader import TableError, load_table
from tests.places import ROOT

BANDS = [(3, 6), (6, 10), (10, 18), (18, 30), (30, 50), (50, 80), (80, 120)]


def reference(name: str) -> list[dict[str, str]]:
    path = ROOT / "tests" / "reference" / name
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


BASIS = {int(row["up_to_mm"]): row for row in reference("iso286_1_basis.csv")}


def um(size: float, fit: str) -> tuple[float, float]:
    """Upper and lower deviation in um."""
    limits = fit_limits(size, fit)
    return limits.upper_mm * 1000.0, limits.lower_mm * 1000.0


def grade(up_to: int, number: int) -> float:
    return float(BASIS[up_to][f"IT{number}"])


def shaft_by_rule(up_to: int, letter: str, number: int) -> tuple[float, float]:
    """ISO 286-1: one fundamental deviation, the other limit one tolerance grade away."""
    width = grade(up_to, number)
    if letter == "js":
        return width / 2.0, -width / 2.0
    if letter == "h":
        return 0.0, -width
    deviation = float(BASIS[up_to][letter])
    return (deviation, deviation - width) if letter in "fg" else (deviation + width, deviation)


def hole_by_rule(up_to: int, letter: str, number: int) -> tuple[float, float]:
    """ISO 286-1: ES = -ei + delta for K, M, N to IT8 and P to IT7; delta = IT(n) - IT(n-1)."""
    width = grade(up_to, number)
    if letter == "JS":
        return width / 2.0, -width / 2.0
    if letter == "H":
        return width, 0.0
    delta = width - grade(up_to, number - 1) if up_to > 3 else 0.0  # up to 3 mm there is none
    upper = -float(BASIS[up_to][letter.lower()]) + delta
    return upper, upper - width


@pytest.mark.parametrize("fit", list_fits())
def test_every_limit_follows_the_rule_of_iso_286_1(fit: str) -> None:
    letter, number = fit[:-1], int(fit[-1])
    rule = shaft_by_rule if fit[0].islower() else hole_by_rule
    for _, up_to in [(0, 3), *BANDS]:
        assert um(up_to, fit) == pytest.approx(rule(up_to, letter, number), abs=1e-6), up_to


def test_grades_follow_the_tolerance_factor() -> None:
    """i = 0.45 D^(1/3) + 0.001 D; IT5 to IT9 are 7, 10, 16, 25, 40 i, rounded (ISO 286-1)."""
    for over, up_to in BANDS:
        d = math.sqrt(over * up_to)
        factor = 0.45 * d ** (1 / 3) + 0.001 * d
        for number, times in ((5, 7), (6, 10), (7, 16), (8, 25), (9, 40)):
            assert grade(up_to, number) == pytest.approx(times * factor, rel=0.1, abs=0.5)


@pytest.mark.parametrize("fit", list_fits())
def test_every_class_has_every_band_once_in_order(fit: str) -> None:
    rows = [row for row in load_table("iso286_limits.csv").rows if row.text("class") == fit]
    found = [(row.number("over_mm"), row.number("up_to_mm")) for row in rows]
    assert found == [(0, 3), *BANDS]
    for row in rows:
        assert row.number("lower_um") < row.number("upper_um")
    widths = [row.number("upper_um") - row.number("lower_um") for row in rows]
    assert widths == sorted(widths)
    assert len(set(widths)) == len(widths)


@pytest.mark.parametrize("name", ["iso286_limits_um.csv", "iso286_second_copy.csv"])
def test_limits_equal_published_tables(name: str) -> None:
    rows = reference(name)
    assert len(rows) >= 90
    for row in rows:
        printed = float(row["upper_um"]), float(row["lower_um"])
        for size in (float(row["over_mm"]) * 1.07 + 0.3, float(row["up_to_mm"])):
            assert um(size, row["class"]) == pytest.approx(printed, abs=1e-6), row


def test_every_band_and_class_is_in_a_published_table_or_computed() -> None:
    published = {
        (row["up_to_mm"], row["class"])
        for name in ("iso286_limits_um.csv", "iso286_second_copy.csv")
        for row in reference(name)
    }
    by_rule_only = {"f7", "k5", "k6", "m6", "H6"}
    for row in load_table("iso286_limits.csv").rows:
        key = (row.text("up_to_mm"), row.text("class"))
        if key[1] not in by_rule_only and key[0] != "3":  # that band has a test of its own
            assert key in published


@pytest.mark.parametrize("library", ["isofits 1.0", "pressfit 0.1.0"])
def test_limits_equal_two_python_libraries(library: str) -> None:
    """General-purpose libraries, run once in an environment of their own; results kept."""
    rows = [row for row in reference("iso286_crosscheck.csv") if row["source"] == library]
    assert len(rows) >= 200
    for row in rows:
        printed = float(row["upper_um"]), float(row["lower_um"])
        assert um(float(row["size_mm"]), row["class"]) == pytest.approx(printed, abs=1e-6), row


def test_one_library_covers_every_class_in_every_band_at_its_edge() -> None:
    rows = [row for row in reference("iso286_crosscheck.csv") if row["source"] == "isofits 1.0"]
    assert {(float(r["size_mm"]), r["class"]) for r in rows} >= {
        (float(up_to), fit) for _, up_to in BANDS for fit in list_fits()
    }


@pytest.mark.parametrize(
    ("size", "fit", "upper", "lower"),
    [
        (17, "h6", 0, -11),
        (17, "g6", -6, -17),
        (17, "k6", 12, 1),
        (17, "m6", 18, 7),
        (17, "n6", 23, 12),
        (17, "p6", 29, 18),
        (35, "H7", 25, 0),
        (35, "N7", -8, -33),
        (35, "P7", -17, -42),
        (42, "M7", 0, -25),
    ],
)
def test_limits_used_in_the_trade(size: float, fit: str, upper: float, lower: float) -> None:
    """Anchors from JIS B 0401 and bearing makers' tables."""
    assert um(size, fit) == pytest.approx((upper, lower), abs=1e-9)


def test_sizes_are_exact_to_a_tenth_of_a_micrometre() -> None:
    limits = fit_limits(41.9, "js6")
    assert (limits.max_size_mm, limits.min_size_mm) == (41.908, 41.892)
    assert (limits.part, fit_limits(41.9, "JS7").part) == ("shaft", "hole")


def test_a_size_on_the_edge_belongs_to_the_smaller_band() -> None:
    for (_, edge), (_, up_to) in pairwise(BANDS):
        assert um(edge, "h6")[1] == -grade(edge, 6)
        assert um(edge + 1e-6, "h6")[1] == -grade(up_to, 6)


@pytest.mark.parametrize("row", reference("bearing_on_shaft_fit_um.csv"))
def test_shaft_and_bearing_bore_give_the_published_play(row: dict[str, str]) -> None:
    """A bearing maker's table of the play between ISO 492 Normal bores and g6, h6 shafts."""
    number = {6: "625", 10: "609", 18: "6902", 30: "6004", 50: "6008"}[int(row["up_to_mm"])]
    ring = bearing(number)
    upper, lower = um(ring.bore_mm, row["shaft_class"])
    assert ring.bore_upper_um - lower == pytest.approx(float(row["max_clearance_um"]))
    assert upper - ring.bore_lower_um == pytest.approx(float(row["max_interference_um"]))


@pytest.mark.parametrize(
    ("size", "fit", "parts"),
    [
        (120.3, "h6", ["size_mm = 120.3", "h6", "over 0 up to 120 mm", "choose"]),
        (120.001, "N7", ["size_mm = 120.001", "N7", "over 0 up to 120 mm"]),
        (-5.5, "h6", ["size_mm = -5.5"]),
        (30.5, "h8", ["'h8'", "30.5 mm", "h6 h7 h9", "M7 N7 P7", "perhaps H8"]),
        (30.5, "q6", ["'q6'", "shafts:", "holes:"]),
        (30.5, "", ["''"]),
        (30.5, None, ["None", "shafts:"]),
        (True, "h6", ["size_mm = True"]),
        (math.nan, "h6", ["size_mm = nan"]),
        ("30", "h6", ["size_mm = '30'"]),
    ],
)
def test_what_the_table_does_not_hold_is_refused(size: float, fit: str, parts: list[str]) -> None:
    with pytest.raises(TableError) as caught:
        fit_limits(size, fit)
    for part in parts:
        assert part in str(caught.value)


def test_shafts_and_holes_are_told_by_their_letter() -> None:
    assert " ".join(list_fits("shaft")) == "f7 g6 h5 h6 h7 h9 js6 k5 k6 m6 n6 p6"
    assert " ".join(list_fits("hole")) == "H6 H7 H8 JS7 K7 M7 N7 P7"
    assert set(list_fits()) == {*list_fits("shaft"), *list_fits("hole")}
    with pytest.raises(TableError, match="part = 'bore'"):
        list_fits("bore")


def test_the_smallest_band_against_published_copies() -> None:
    """Up to and including 3 mm: h6, h7, h9 precisemetal.in; H7, H8 a DIN ISO 286 extract,
    studylib.net/doc/27157987."""
    known = {"h6": (0, -6), "h7": (0, -10), "h9": (0, -25), "H7": (10, 0), "H8": (14, 0)}
    for fit, limits in known.items():
        assert um(3.0, fit) == pytest.approx(limits, abs=1e-6)
        assert um(3.001, fit) != pytest.approx(limits, abs=1e-6)
