"""What each finding about the kerf names: field, value, limit, and the sizes in its words."""

from __future__ import annotations

import pytest

from geometry.finding import Finding
from tests.support.design import job
from tests.support.shop import kerf_figures, kerf_told

READ = {"outer_x": 19.86, "outer_y": 19.87, "hole_x": 10.13, "hole_y": 10.15}


def found(**changes: object) -> dict[str, Finding]:
    return {f.code: f for f in kerf_told(job("potters-wheel", **changes))}


def test_what_is_drawn_in_is_said_a_side() -> None:
    said = found(shop__kerf_full_width=0.23)["kerf-drawn"]
    assert (said.field, said.value, said.limit) == ("shop.kerf_full_width", 0.23, None)
    assert said.message.count("by 0.115 mm a side") == 2
    assert said.message.endswith("say kerf0.23")


def test_the_mean_of_the_coupon_is_the_kerf() -> None:
    """(0.14 + 0.13 + 0.13 + 0.15) / 4 = 0.1375, in hundredths 0.14."""
    said = found(shop__measured=READ)["kerf-measured"]
    assert (said.field, said.limit) == ("shop.measured", None)
    assert said.value == 0.14
    assert "outer_x 0.14, outer_y 0.13, hole_x 0.13, hole_y 0.15" in said.message


@pytest.mark.parametrize(
    ("readings", "field", "spread", "cause"),
    [
        ({"outer_x": 19.80, "hole_x": 10.21, "outer_y": 19.88, "hole_y": 10.11},
         "shop.measured.hole_x", 0.10, "axes"),
        ({"outer_x": 19.89, "hole_x": 10.19, "outer_y": 19.88, "hole_y": 10.20},
         "shop.measured.hole_y", 0.09, "holes and outer"),
        ({"outer_x": 19.80, "hole_x": 10.11}, "shop.measured.outer_x", 0.09, "holes and outer"),
        ({"outer_x": 19.80, "outer_y": 19.90}, "shop.measured.outer_x", 0.10, "axes"),
    ],
)  # fmt: skip
def test_spread_names_the_widest_and_its_cause(
    readings: dict[str, float], field: str, spread: float, cause: str
) -> None:
    said = found(shop__measured=readings)["kerf-spread"]
    assert (said.field, said.limit) == (field, 0.05)
    assert said.value == pytest.approx(spread)
    assert cause in said.message


def test_what_is_left_over_says_what_a_square_would_measure() -> None:
    said = found(shop__measured=READ, shop__kerf_full_width=0.0)["kerf-left-over"]
    assert (said.field, said.value) == ("shop.kerf_full_width", 0.0)
    assert said.limit == 0.14
    assert "0.14 mm small and holes large" in said.message
    assert "a 20 mm square would measure 19.86 mm" in said.message
    assert "compensate 0.14 mm more full kerf width" in said.fix
    wide = found(shop__measured=READ, shop__kerf_full_width=0.3)["kerf-left-over"]
    assert "0.16 mm large and holes small" in wide.message
    assert "would measure 20.16 mm" in wide.message
    assert "kerf_full_width = 'measured'" in wide.fix


def test_the_bore_is_told_as_drawn() -> None:
    changes = {"shop__measured": {**READ, "bore_step": 0.04}, "shop__kerf_full_width": "measured"}
    j = job("potters-wheel", **changes)
    said = found(**changes)["bore-corrected"]
    bore = j.design.lamination.bore_diameter
    assert (said.field, said.value, said.limit) == ("shop.measured.bore_step", 0.04, None)
    drawn = bore + j.kerf.bore - j.kerf.drawn
    assert f"the bore of {bore:g} mm with {drawn:.2f} mm" in said.message
    assert f"({bore:g} +0.04 mm" in said.message
    results = kerf_figures(j)
    assert results["bore_drawn_mm"] == pytest.approx(drawn)
    assert results["kerf_outer_mm"] == pytest.approx(0.135)
    assert results["kerf_hole_mm"] == pytest.approx(0.14)
    assert results["kerf_x_mm"] == pytest.approx(0.135)
    assert results["kerf_y_mm"] == pytest.approx(0.14)


def test_the_comb_and_the_pile_name_their_fields() -> None:
    opening = job("potters-wheel").design.lamination.slot_opening
    tight = found(shop__measured={"opening_step": 0.3})["opening-measured"]
    assert (tight.field, tight.level) == ("lamination.slot_opening", "warn")
    assert (tight.value, tight.limit) == pytest.approx((opening, opening + 0.3), abs=1e-4)
    loose = found(shop__measured={"opening_step": -0.2})["opening-measured"]
    assert loose.level == "note"
    assert loose.limit == pytest.approx(opening - 0.2, abs=1e-4)
    assert "0.2 mm to spare" in loose.message
    assert "opening-measured" not in found(shop__measured={"opening_step": 0.0})
    # 20 sheets of 0.5 mm: 10 mm of steel in 10.9 mm and in 13 mm
    share = found(shop__measured={"pile_of_20": 10.9})["stacking-factor-measured"]
    assert share.field == "lamination.stacking_factor"
    assert share.limit == pytest.approx(10.0 / 10.9, abs=2e-3)
    false = found(shop__measured={"pile_of_20": 13.0})["pile-height"]
    assert (false.field, false.value, false.limit) == ("shop.measured.pile_of_20", 13.0, 10.0)
    assert "pile-height" in found(shop__measured={"pile_of_20": 9.9})
