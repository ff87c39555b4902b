"""The end washer: how far it reaches, where it stays back, and that a knife can cut it."""

from __future__ import annotations

import math

import pytest
import shapely

from geometry.formats.dxf_read import outlines_of, read_dxf
from geometry.formats.dxf_write import origin_shift, write_cut_dxf
from geometry.inspection.compare import compare_outlines
from geometry.polygon import to_polygon
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.stator.slot import TOOTH_1
from recipes.templates import template_layout
from tests.support.design import STARTERS, job

WASHER = {"thickness": "0.25 mm", "extension": "0.37 mm"}


@pytest.mark.parametrize("name", STARTERS)
def test_it_reaches_beyond_the_steel_it_lies_on(name: str) -> None:
    j = job(name, end_washer=WASHER)
    (part,) = Parts(j)["end_washer"]
    last = Parts(j)["end_laminations"][-1] if j.design.ends.steps else Parts(j)["lamination"][0]
    steel, ring = (to_polygon(p.cut[0], 1e-4) for p in (last, part))
    lam = j.design.lamination
    r = lam.outer_diameter / 2
    assert part.quantity == 2
    assert part.thickness == 0.25
    assert ring.bounds == pytest.approx([-(r - 0.5), -(r - 0.5), r - 0.5, r - 0.5], abs=0.6)
    beyond = ring.difference(steel)
    assert beyond.difference(steel.buffer(0.37 + 2e-3)).area < 0.02 * beyond.area
    level = r - 0.6 * lam.slot_depth
    across = shapely.LineString([(-9, level), (9, level)])
    wide = [next(p.length for p in shapely.get_parts(g.intersection(across)) if abs(p.centroid.x) < 0.1) for g in (steel, ring)]  # fmt: skip
    assert wide[1] - wide[0] == pytest.approx(0.74, abs=1e-3)


def test_area_against_the_steel_by_hand() -> None:
    """Sharp corners, flat slot bottoms: two strips along the flanks and one along the bottom."""
    from tests.recipes.stator.test_end_laminations import SHARP

    j = job("wool-spinner", ends=None, end_washer=WASHER, **SHARP)
    lam = j.design.lamination
    k, slots = 0.37, 18
    alpha, gamma = math.pi / slots, math.radians(15)
    r, half_open = lam.outer_diameter / 2, lam.slot_opening / 2
    half = lam.tooth_width / 2  # type: ignore[operator]
    lip = math.sqrt(r * r - half_open**2) - lam.tip_thickness
    lip_x = lip * math.cos(alpha) + half_open * math.sin(alpha)
    lip_y = lip * math.sin(alpha) - half_open * math.cos(alpha)

    def strip(y: float, floor: float) -> float:  # length of the flank's line at y
        under = lip_x - (lip_y - y) * math.tan(gamma)
        return under - (floor - y * math.sin(alpha)) / math.cos(alpha)

    floor = r - lam.slot_depth
    flanks = 2 * k * strip(half + k / 2, floor)
    # the bottom's strip between the new flanks: its length falls with the depth (mid-line)
    deep = floor + k / 2
    bottom = 2 * k * (deep * math.sin(alpha) - half - k) / math.cos(alpha)
    # the tip's band from r to r - 0.5 between the mouths, less nothing else
    tip = slots * _tip_band(r, half_open, alpha)
    ring, steel = Parts(j)["end_washer"][0].cut[0], Parts(j)["lamination"][0].cut[0]
    marks = steel.holes[-1].area - ring.holes[-1].area  # the washer's bore has no marks
    by_hand = steel.area + marks + slots * (flanks + bottom) - tip
    rounds = ring.area - to_sharp(j)
    assert to_sharp(j) == pytest.approx(by_hand, rel=1e-9)
    assert abs(rounds) < 0.002 * ring.area


def _tip_band(r: float, half_open: float, alpha: float) -> float:
    """Area of one tooth's face between the radii r - 0.5 and r; its walls run along slot axes.

    The sector of the tooth, less the strip of half an opening beside each of its two slot axes.
    """

    def within(radius: float) -> float:
        strip = half_open * math.sqrt(radius**2 - half_open**2)
        return (alpha - math.asin(half_open / radius)) * radius**2 - strip

    return within(r) - within(r - 0.5)


def to_sharp(j: Motor) -> float:
    """Area of the washer with every corner sharp."""
    from recipes.stator.end_cap import cover, cover_slot

    sharp = dict.fromkeys(("tip_radius", "tip_inner_radius", "neck_radius", "root_radius"), 0.0)
    made = cover_slot(j.design, j.slot, j.wire.overall_max_mm, 0.37, "x", **sharp)
    return cover(j.design.lamination, j.design.hub, *made).area


def test_both_ends_alike_and_cut_true() -> None:
    for name in STARTERS:
        (part,) = Parts(job(name, end_washer=WASHER))["end_washer"]
        region = part.cut[0]
        assert compare_outlines(region.loops, region.mirrored(TOOTH_1).loops, 1e-7) == []
        shift = origin_shift(part)
        loops = [loop.moved(shift.x, shift.y) for loop in part.loops]
        assert compare_outlines(loops, outlines_of(read_dxf(write_cut_dxf(part))), 1e-6) == []


def test_it_prints_at_true_size_where_it_fits_a_page() -> None:
    j = job("wool-spinner", end_washer=WASHER)
    assert template_layout(Parts(j)["end_washer"], j.imprint).pages


def test_over_a_cap_it_covers_as_the_cap_does() -> None:
    j = job(end_washer={"thickness": 0.25, "extension": 0.3})
    assert "between the coils and the end cap" in Parts(j)["end_washer"][0].notes[0]
    ring, cap = (to_polygon(p.cut[0]) for p in (*Parts(j)["end_washer"], *Parts(j)["end_cap"]))
    assert ring.symmetric_difference(cap).area < 0.004 * cap.area  # rounds of lip and neck apart


def test_none_and_refused() -> None:
    assert Parts(job())["end_washer"] == ()
    tight = job(end_washer={"thickness": 0.3, "extension": 1.99}, lamination__tooth_width=13.9)
    with pytest.raises(Refused) as caught:
        assert Parts(tight)["end_washer"]
    assert {f.field for f in caught.value.findings} == {"end_washer.extension"}
    with pytest.raises(Refused, match=r"0\.5 mm below the air gap"):
        assert Parts(job(end_washer=WASHER, lamination__tip_thickness=0.7))["end_washer"]
