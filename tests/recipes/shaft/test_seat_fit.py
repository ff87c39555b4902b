"""Bearings on their seats, the bar they are cut from, and the heat that lets them slide on."""

from __future__ import annotations

import csv
import re

import pytest

from geometry.finding import Finding
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.shaft.seat_fit import (
    bar_findings,
    clean_diameter,
    fits_by_load,
    ring_in_housing,
    ring_on_shaft,
    seat_fit_findings,
    seat_fit_results,
)
from recipes.shaft.shrink_fit import EXPANSION, rise, shrink_fit_findings, shrink_fit_results
from recipes.tables.bearings import bearing
from tests.places import ROOT
from tests.support.design import STARTERS, job, raw

REFERENCE = ROOT / "tests" / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def seats(starter: str, **changes: object) -> list[dict[str, object]]:
    found = [dict(s) for s in raw(starter)["axle"]["seats"]]
    found[1].update(changes)
    return found


def judged(j: Motor) -> list[Finding]:
    return seat_fit_findings(j.seats, j.hub_fit, j.design.axle)


@pytest.mark.parametrize("row", rows("bearing_on_shaft_fit_um.csv"))
def test_play_equals_a_bearing_makers_table(row: dict[str, str]) -> None:
    """gbbco.cn/en/page-33135.html: g6 and h6 shafts with ISO 492 Normal bores."""
    number = {6: "625", 10: "609", 18: "6902", 30: "6004", 50: "6008"}[int(row["up_to_mm"])]
    fit = ring_on_shaft(bearing(number), row["shaft_class"])
    assert 1000 * fit.clearance_most == pytest.approx(float(row["max_clearance_um"]))
    assert 1000 * fit.interference_most == pytest.approx(float(row["max_interference_um"]))


def test_the_turning_ring_is_the_tight_one() -> None:
    """DIN 5425-1, JIS B 1566: turning outer ring N7, standing inner ring h6 (references R61).

    35 mm N7 is -8 / -33 um (JIS B 0401) and a 35 mm outside is 0 / -11 um (ISO 492): interference
    33 to clearance 3 um.
    """
    housing = ring_in_housing(bearing("6202"), "N7")
    assert 1000 * housing.interference_most == pytest.approx(33)
    assert 1000 * housing.clearance_most == pytest.approx(3)
    tight = ring_on_shaft(bearing("6202"), "k6")  # for an inner ring that turns
    assert tight.clearance_most < 0 < tight.interference_most


@pytest.mark.parametrize("name", STARTERS)
def test_starters_have_good_seats(name: str) -> None:
    j = job(name)
    assert judged(j) == []
    assert all(f.level == "note" for f in shrink_fit_findings(j.shrink_fits))
    results = seat_fit_results(j.seats, j.hub_fit, j.design.axle.stock_diameter)
    assert results["housing_fit"] == ("H7" if name == "kayak-thruster" else "M7")
    for k, fit in enumerate(j.seats, 1):
        assert results[f"seat_{k}_max_mm"] == fit.limits.max_size_mm
        assert results[f"seat_{k}_take_off_mm"] == pytest.approx(
            j.design.axle.stock_diameter - fit.limits.max_size_mm
        )


def test_a_tight_standing_ring_is_told() -> None:
    for fit, level in (("k5", "warn"), ("k6", "warn"), ("js6", "note")):
        found = judged(job(axle__seats=seats("potters-wheel", fit=fit)))
        told = [(f.code, f.level, f.field) for f in found if f.code != "seat-not-held"]
        assert told == [("tight-standing-ring", level, "axle.seats[2].fit")]
        assert "M7" in found[0].fix
    # 25 k6 is +15 / +2 um, bore 0 / -10: 25 um
    assert "25 um" in judged(job(axle__seats=seats("potters-wheel", fit="k6")))[0].message


@pytest.mark.parametrize("row", rows("bearing_fits_by_load.csv"))
def test_classes_by_load_are_those_of_makers_tables(row: dict[str, str]) -> None:
    """js6 stands for j6, which lies within a few um of it (ISO 286-2: 25 j6 +9/-4, js6 +-6.5 um)."""
    action = row["load_on_inner_ring"]
    bore = min(float(row["up_to_mm"]), 40.0)
    asked = fits_by_load(job(axle__load={"force": 9.0, "action": action}).design.axle.load, bore)
    assert asked.tight == ("inner" if action == "turns" else "outer")
    name = {"j6": "js6"}.get(row["class"], row["class"])
    usual, all_of = (
        (asked.shaft, asked.shafts) if row["ring"] == "inner" else (asked.housing, asked.housings)
    )
    assert name in all_of
    if row["weight"] == "light" and name != "g6":
        assert name == usual


def test_the_load_that_turns_sits_tight_on_the_axle() -> None:
    """The propeller of the thruster turns its load: h6 and g6, right for the wheel, creep there."""
    turning = {"force": 60, "overhang": 140, "torque": 4, "grip": 14, "action": "turns"}
    for fit in ("h6", "g6"):
        found = judged(job("kayak-thruster", axle__seats=seats("kayak-thruster", fit=fit)))
        told = [(f.code, f.level, f.field) for f in found if f.code != "seat-not-held"]
        assert told == [("loose-turning-ring", "warn", "axle.seats[2].fit")]
        assert "h5" in found[0].fix
        assert "H7" in found[0].fix
    wheel = judged(job(axle__load=turning))  # 25 mm: h6 will not do
    assert [f.limit for f in wheel if f.code == "loose-turning-ring"] == ["js6", "js6"]
    for fit in ("js6", "k5"):
        both = [dict(s, fit=fit, made="ground") for s in raw()["axle"]["seats"]]
        assert judged(job(axle__load=turning, axle__seats=both)) == []


def test_a_hub_of_the_wrong_class_is_told() -> None:
    (loose,) = judged(job(axle__hub_fit="H7"))
    assert (loose.code, loose.level, loose.field) == ("loose-turning-ring", "warn", "axle.hub_fit")
    assert "36 um loose" in loose.message  # 47 H7 +25/0, outside 0/-11
    (tight,) = judged(job("kayak-thruster", axle__hub_fit="N7"))
    assert (tight.code, tight.level) == ("tight-standing-ring", "note")
    assert judged(job(axle__hub_fit="N7")) == []


def test_a_filed_seat_is_not_held_and_compound_is_offered() -> None:
    found = judged(job(axle__seats=seats("potters-wheel", made="filed")))
    assert [(f.code, f.field) for f in found] == [("seat-not-held", "axle.seats[2].made")]
    assert "0.013 mm" in found[0].message  # IT6 of 18 to 30 mm
    assert "24.85 to 24.95 mm" in found[0].fix  # 0.05 to 0.15 mm play
    assert judged(job(axle__seats=seats("potters-wheel", made="ground"))) == []
    tight = judged(job(axle__seats=seats("potters-wheel", fit="h5")))  # IT5: 9 um
    assert [f.code for f in tight] == ["seat-not-held"]


@pytest.mark.parametrize(
    ("least", "runout", "code", "field"),
    [
        (37.7, 1.6, None, None),
        (37.7, 1.9, "stock-out-of-true", "axle.stock_runout"),
        (35.8, None, "stock-under-size", "axle.stock_least"),
        (35.8, 0.3, "stock-under-size", "axle.stock_least"),
        (None, 2.1, "stock-out-of-true", "axle.stock_runout"),
    ],
)
def test_stock_as_measured(
    least: float | None, runout: float | None, code: str | None, field: str | None
) -> None:
    """The collar of the potter's wheel has 36 mm, its bar 38 mm."""
    j = job(axle__stock_least=least, axle__stock_runout=runout)
    found = bar_findings(j.design.axle, j.sections)
    assert [(f.code, f.field, f.level) for f in found] == ([(code, field, "stop")] if code else [])
    if code == "stock-out-of-true":
        to = re.search(r"run out ([\d.]+) mm or less", found[0].fix)
        assert to
        trued = job(axle__stock_least=least, axle__stock_runout=float(to[1])).design.axle
        assert clean_diameter(trued) == pytest.approx(36.0, abs=0.005)


def test_largest_cylinder_in_a_bar_that_runs_out() -> None:
    """Seen with shapely: a disc about the axis inside a disc that is off by half the reading."""
    from shapely import Point

    j = job(axle__stock_least=37.4, axle__stock_runout=0.62)
    bar = Point(0.31, 0.0).buffer(37.4 / 2, quad_segs=720)
    radius = bar.exterior.distance(Point(0.0, 0.0))
    assert clean_diameter(j.design.axle) == pytest.approx(2 * radius, abs=1e-4)


@pytest.mark.parametrize("name", STARTERS)
def test_steps_add_up_and_end_at_the_bearing(name: str) -> None:
    j = job(name)
    for steps, fit in zip(j.seat_steps, j.seats, strict=True):
        text = " ".join(steps)
        taken = sum(float(v) for v in re.findall(r"Take ([\d.]+) mm", text))
        last = float(re.findall(r"From ([\d.]+) mm on", text)[0])
        assert j.design.axle.stock_diameter - taken == pytest.approx(last, abs=0.011)
        assert f"{fit.limits.min_size_mm:.3f}" in text
        assert "bearing is the gauge" in text


def test_a_bar_at_size_needs_cloth_only() -> None:
    near = job(axle__stock_diameter=25.3)  # refused elsewhere: the collar does not come out of it
    assert any("0.28 mm off the diameter in fine cuts" in s for s in near.seat_steps[0])
    ready = job(axle__stock_diameter=25.0)
    assert any("cloth only" in s for s in ready.seat_steps[0])


# --- warm fit ------------------------------------------------------------------------------------


def test_heat_for_a_fit_equals_worked_figures() -> None:
    """20 um on 20 mm: 90.9, 83.3 and 80.0 K at 11, 12 and 12.5e-6 / K (handbook formula)."""
    for alpha, kelvin in ((11e-6, 90.9), (12e-6, 83.3), (12.5e-6, 80.0)):
        assert rise(0.012, 0.008, 20.0, alpha) == pytest.approx(kelvin, abs=0.05)


def test_growth_equals_a_published_table() -> None:
    """25 mm bore from 20 to 100 C grows 0.0218 mm (scribd.com/doc/215986287)."""
    assert rise(0.0218, 0.0, 25.0) == pytest.approx(80.0, abs=0.2)
    assert rise(0.0113, 0.0071, 31.7) * 31.7 * EXPANSION == pytest.approx(0.0184)


def test_grease_and_seals_lower_the_limit() -> None:
    limits = {
        name: job(axle__bearing=name).shrink_fits[0].limit
        for name in ("6005", "6005-2Z", "6005-2RS", "6005-RS")
    }
    assert limits == {"6005": 120.0, "6005-2Z": 100.0, "6005-2RS": 100.0, "6005-RS": 100.0}
    assert job(axle__grease_limit=87).shrink_fits[0].limit == 87.0


def test_one_temperature_is_enough_or_the_axle_is_cooled_or_it_is_refused() -> None:
    """25 h6 with an ISO 492 bore: 10 um tight; 10 um gap; (20 / 25000) / 10.9e-6 = 73.4 K."""
    j = job()
    assert shrink_fit_findings(j.shrink_fits) == []
    assert shrink_fit_results(j.shrink_fits, j.hub_temperature)[
        "warm_fit_bearing_C"
    ] == pytest.approx(93.4, abs=0.05)
    cooled = job(axle__grease_limit=80)
    (found,) = shrink_fit_findings(cooled.shrink_fits)[:1]
    assert (found.code, found.level) == ("warm-fit-cold-axle", "note")
    both = shrink_fit_results(cooled.shrink_fits, cooled.hub_temperature)
    assert (both["warm_fit_bearing_C"], both["warm_fit_axle_C"]) == (
        pytest.approx(55.4, abs=0.05),
        -18,
    )
    # bore and axle as they are then: the gap is there
    bore = 25.0 - 0.010 + 25.0 * EXPANSION * (both["warm_fit_bearing_C"] - 20.0)
    assert bore - 25.0 * (1.0 - 38.0 * EXPANSION) == pytest.approx(0.010, abs=1e-4)
    refused = job(axle__seats=seats("potters-wheel", fit="k6"), axle__grease_limit=80)
    codes = {f.field: f.code for f in shrink_fit_findings(refused.shrink_fits)}
    assert codes["axle.seats[2].fit"] == "warm-fit-refused"
    assert "warm_fit_bearing_C" not in shrink_fit_results(
        refused.shrink_fits, refused.hub_temperature
    )


def test_a_loose_ring_needs_no_heat() -> None:
    """25 g6 is -7 / -20 um: with a bore 10 um small it is still 3 um tight, so it is listed."""
    loose = [dict(s, fit="g6") for s in raw()["axle"]["seats"]]
    assert [1000 * w.interference for w in job(axle__seats=loose).shrink_fits] == pytest.approx(
        [3, 3]
    )
    assert EXPANSION < 11e-6


def test_unknown_bearings_are_refused() -> None:
    for fact in ("seats", "hub_fit", "shrink_fits"):
        with pytest.raises(Refused):
            bool(getattr(job(axle__bearing="6005-K"), fact))
