import math

import numpy as np
import pytest
import shapely

from recipes.refusal import Refused
from recipes.winding.window import copper_fill_findings
from tests.support.design import STARTERS, job
from tests.support.packing import HEXAGONAL_DENSITY

ROUNDED = {"lamination__root_radius": 1.1, "lamination__neck_radius": 0.9, "lamination__tip_inner_radius": 0.5}  # fmt: skip


@pytest.mark.parametrize("thickness", [0.13, 0.25])
def test_lined_area_is_the_slot_less_the_paper_by_closed_form(thickness: float) -> None:
    """Without wedge or separator and with rounds wider than the paper, nothing else is lost.

    Paper of thickness t along a wall takes t times its length at mid-thickness; at the opening a
    strip of the two lips' rounds is cut by the straight line across, reckoned as the slot's own.
    """
    bare = {"ends": None, "wedge__thickness": 0, "separator__thickness": 0}
    j = job(liner__thickness=thickness, **bare, **ROUNDED)
    slot = j.slot
    taken = sum(
        s.length * thickness - getattr(s, "sweep", 0.0) * thickness**2 / 2 for s in slot.wall
    )
    expected = slot.outline.area - taken
    assert j.window.lined_area == pytest.approx(expected, abs=2 * thickness * 0.5)
    assert j.window.lined_area < slot.outline.area - 0.9 * taken


def test_wedge_and_separator_take_their_strips() -> None:
    bare = job(wedge__thickness=0, separator__thickness=0).window
    parted = job(wedge__thickness=0, separator__thickness=0.5).window
    x0, _, x1, _ = bare.polygon.bounds
    assert bare.lined_area - parted.lined_area == pytest.approx(0.5 * (x1 - x0), rel=0.02)
    wedged = job(wedge__thickness=0.8, separator__thickness=0).window
    outer, inner = wedged.wedge_span
    assert outer - inner == pytest.approx(0.8)
    assert wedged.polygon.bounds[2] == pytest.approx(inner)


@pytest.mark.parametrize("name", STARTERS)
def test_every_wire_lies_in_the_room_and_apart(name: str) -> None:
    fill = job(name).window
    spots, d = fill.circles, fill.diameter
    discs = shapely.buffer(shapely.points(spots), d / 2 * (1 - 1e-6), quad_segs=32)
    assert shapely.covers(fill.polygon.buffer(1e-6), discs).all()
    gaps = np.hypot(*(spots[:, None, :] - spots[None, :, :]).T)
    assert gaps[np.triu_indices(len(spots), 1)].min() >= d * (1 - 1e-6)
    # No packing of equal circles is denser than pi / sqrt(12) (Thue; Fejes Toth).
    assert len(spots) * math.pi * d**2 / 4 <= HEXAGONAL_DENSITY * fill.polygon.area
    assert fill.turns_at_least == len(spots) // fill.strands


def test_figures_by_hand() -> None:
    j = job(winding__wire="0.71 mm", winding__strands=3, winding__turns=11)
    fill = j.window
    copper = 2 * 33 * math.pi / 4 * 0.71**2
    assert fill.copper_fill == pytest.approx(copper / j.slot.outline.area, rel=1e-9)
    # 0.789 mm: largest overall diameter of 0.710 mm grade 2, IEC 60317-0-1 table 1
    assert fill.wire_fill == pytest.approx(2 * 33 * 0.789**2 / fill.lined_area, rel=1e-9)


def test_one_coil_side_has_the_whole_slot() -> None:
    both = job("kayak-thruster", separator__thickness=0).window
    single = job("kayak-thruster", winding__coil_sides="alternate teeth").window
    assert single.sides == 1
    assert single.lined_area == pytest.approx(both.lined_area, rel=1e-6)
    assert single.turns_at_least > 2 * both.turns_at_least - 4


def test_no_room_and_a_wedge_without_hold_are_refused() -> None:
    with pytest.raises(Refused, match=r"wedge\.overlap"):
        bool(job(wedge__overlap=8.0).window.sides)
    with pytest.raises(Refused, match="no room"):
        _ = job(
            ends=None,
            liner__thickness=1.0,
            lamination__tooth_width=14.5,
            wedge__thickness=0.0,
            separator__thickness=2.0,
        ).window.sides


def test_more_copper_than_hands_can_lay() -> None:
    plain = job("potters-wheel")
    turns = next(n for n in range(plain.design.winding.turns, 400)
                 if job("potters-wheel", winding__turns=n).window.copper_fill > 0.5)  # fmt: skip
    less, more = (job("potters-wheel", winding__turns=n).window for n in (turns - 1, turns))
    assert copper_fill_findings(less) == []
    (said,) = copper_fill_findings(more)
    assert (said.code, said.level, said.field) == ("copper-fill", "stop", "winding.turns")
    assert said.limit == 0.5
    assert said.value == pytest.approx(more.copper_fill, abs=6e-4)
    assert f"would fill {100 * more.copper_fill:.0f} % of the slot" in said.message
    assert "below 50 %" in said.message
