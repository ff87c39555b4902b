"""Wedges and separators: sizes by hand, where they lie, and that they are cut and printed."""

from __future__ import annotations

import math

import pytest
import shapely

from geometry.formats.dxf_read import outlines_of, read_dxf
from geometry.formats.dxf_write import origin_shift, write_cut_dxf
from geometry.inspection.compare import compare_outlines
from recipes.catalogue import Parts
from recipes.insulation.strips import slot_strip_results
from recipes.refusal import Refused
from recipes.templates import template_layout
from tests.support.design import STARTERS, job


def test_sizes_by_hand() -> None:
    j = job(
        wedge={"thickness": 0.43, "overlap": 1.3}, separator={"thickness": 0.17}, liner__spare=5
    )
    wedge, separator = Parts(j)["slot_strips"]
    # 38 sheets of 0.5 mm at 94 %, and 2 x 5 mm overhang; the cuffs of 3 mm are left out
    length = 38 * 0.5 / 0.94 + 10
    assert wedge.box == pytest.approx((0, 0, length, 3.2 + 2.6))
    assert wedge.area == pytest.approx(length * 5.8 - 2 * 1.0**2)  # four bevels of 1 mm
    assert (wedge.quantity, wedge.thickness) == (29, 0.43)
    assert (separator.quantity, separator.thickness) == (29, 0.17)
    assert separator.material == "aramid"
    assert separator.box[2] == pytest.approx(length)
    # from the liner on the slot bottom to the wedge: the wedge's inner face, by the tip's slope
    lam, a, g = j.design.lamination, math.pi / 24, math.radians(14)
    lip = math.sqrt(75**2 - 1.6**2) - 1.5
    # the underside runs at the angle a + g against a line across the slot axis
    under = lip - 1.3 * math.tan(g + a)
    # the cap stands 0.3 mm beyond the slot bottom, and the separator passes it
    by_hand = under - 0.18 - 0.43 - (75 - lam.slot_depth + 0.18 + 0.3) - 0.2
    # the lip's round lifts the strip a little
    assert separator.box[3] == pytest.approx(by_hand, abs=0.05)
    assert separator.settings["separator_width_mm"] == round(separator.box[3], 3)


@pytest.mark.parametrize("name", STARTERS)
def test_strips_are_as_long_as_the_liner_between_its_cuffs(name: str) -> None:
    j = job(name, separator={"thickness": "0.13 mm"})
    body = j.liner_size.body
    whole = Parts(j)["liner"][0].box
    for part in Parts(j)["slot_strips"]:
        x0, _, x1, _ = part.box
        assert x1 - x0 == pytest.approx(body)
        cuffs = whole[3] - whole[1] - (x1 - x0)
        assert cuffs == pytest.approx(2 * (j.design.liner.cuff + j.liner_size.cuff_fold))
        assert part.settings["grain"]


@pytest.mark.parametrize("name", STARTERS)
def test_the_separator_stands_in_the_room_of_its_slot(name: str) -> None:
    j = job(name, separator={"thickness": "0.2 mm"})
    floor = j.design.lamination.outer_diameter / 2 - j.design.lamination.slot_depth
    proud = j.design.ends.end_cap.proud if j.design.ends.end_cap else 0.0
    low = floor + j.design.liner.thickness + proud
    width = Parts(j)["slot_strips"][-1].box[3]
    strip = shapely.box(low, -0.1, low + width, 0.1)
    assert strip.intersection(j.window.polygon).area < 1e-9  # wire keeps clear of it
    assert low + width == pytest.approx(j.window.wedge_span[1] - 0.2)
    assert width > 0.8 * (j.window.polygon.bounds[2] - j.window.polygon.bounds[0])


def test_what_the_design_leaves_out_is_not_cut() -> None:
    assert [p.name for p in Parts(job())["slot_strips"]] == ["wedge", "separator"]
    assert [p.name for p in Parts(job("kayak-thruster"))["slot_strips"]] == ["wedge"]
    assert [p.name for p in Parts(job(wedge__thickness=0))["slot_strips"]] == ["separator"]
    one = job(winding__coil_sides="alternate teeth", winding__turns=20)
    assert [p.name for p in Parts(one)["slot_strips"]] == ["wedge"]
    assert Parts(job("kayak-thruster", wedge__thickness=0))["slot_strips"] == ()


def test_a_strip_that_does_not_fit_is_refused() -> None:
    with pytest.raises(Refused, match=r"wedge\.overlap"):
        assert Parts(job(wedge__overlap=9.5))["slot_strips"]


def test_cut_and_printed_with_the_grain_along() -> None:
    j = job()
    for part in Parts(j)["slot_strips"]:
        shift = origin_shift(part)
        loops = [loop.moved(shift.x, shift.y) for loop in part.loops]
        assert compare_outlines(loops, outlines_of(read_dxf(write_cut_dxf(part))), 1e-6) == []
    pages = template_layout(Parts(j)["slot_strips"], j.imprint).pages
    words = " ".join(t.text for page in pages for t in page.texts)
    assert "wedge" in words
    assert "separator" in words


def test_results_name_their_units() -> None:
    results = slot_strip_results(Parts(job())["slot_strips"])
    assert set(results) == {
        f"{n}_{k}" for n in ("wedge", "separator") for k in ("width_mm", "length_mm", "count")
    }
    assert results["wedge_count"] == 27
