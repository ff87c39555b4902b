"""Corner rounds as a band: every end of it legal for insert, bearing and strength.

Outside values: nose radii of ISO 1832; largest fillet of the shaft by bearing makers (SKF and others,
from memory: r_a max equals r_s min of ISO 582, 0.3, 0.6, 1.0 and 1.5 mm).
"""

import pytest

from recipes.catalogue import Parts
from recipes.shaft.corner import INSERTS, LAND_BAND, STATOR_BAND, seat_band, turned_band
from recipes.shaft.notch_factor import step
from recipes.tables.bearings import bearing
from tests.support.axle import BEARINGS
from tests.support.design import STARTERS, job


@pytest.mark.parametrize(
    ("clear", "low", "high"),
    [(0.15, 0.05, 0.15), (0.2, 0.05, 0.15), (0.3, 0.15, 0.25), (0.6, 0.3, 0.5), (1.0, 0.7, 0.9),
     (1.1, 0.7, 0.9), (1.5, 1.1, 1.3), (2.0, 1.5, 1.7), (0.4064, 0.15, 0.25), (0.7874, 0.3, 0.5)],
)  # fmt: skip
def test_band_is_that_of_the_largest_insert_that_clears_the_ring(
    clear: float, low: float, high: float
) -> None:
    band = turned_band(clear)
    assert (band.low, band.high) == pytest.approx((low, high))
    assert any(band.middle == pytest.approx(nose) for nose in INSERTS)


def test_every_bearing_clears_the_roundest_corner() -> None:
    axle = job().design.axle
    for ring in (*BEARINGS, *(bearing(n) for n in ("R4", "R8", "R16", "R18"))):
        band = seat_band(axle, ring)
        assert 0.0 < band.low < band.high <= ring.chamfer_min_mm


def test_a_filed_corner_is_sharper() -> None:
    filed = [{"from_face": 22, "length": 14, "made": "filed"}, {"from_face": 118, "length": 14}]
    band = seat_band(job(axle__seats=filed).design.axle, bearing("6005"))
    assert (band.low, band.high) == (0.1, 0.5)


@pytest.mark.parametrize("name", STARTERS)
def test_strength_is_judged_at_the_sharp_end(name: str) -> None:
    """A shop that leaves the sharpest legal corner is still within what was judged."""
    made = job(name)
    band = seat_band(made.design.axle, made.bearing)
    beside = [p for p in made.axle_strength.spikes if p.name.startswith("step beside bearing seat")]
    assert beside
    for place in beside:
        assert place.notch.radius == pytest.approx(band.low)
    worst = min(made.axle_strength.spikes, key=lambda p: p.safety)
    assert made.axle_strength.least.safety <= worst.safety
    assert made.axle_strength.least.safety >= 2.0


def test_a_sharper_corner_is_a_higher_notch() -> None:
    """25 to 30 mm: R0.3 against the R0.36 that was once taken for granted (Roark 17.1, Peterson 3.12)."""
    assert step(30.0, 25.0, 0.3).bending > 1.04 * step(30.0, 25.0, 0.36).bending


@pytest.mark.parametrize("name", STARTERS)
def test_the_drawing_gives_both_ends(name: str) -> None:
    made = job(name)
    (part,) = Parts(made)["axle"]
    said = " ".join(str(item) for item in part.drawings[0].items)
    band = seat_band(made.design.axle, made.bearing)
    assert "Inner corners" in said
    if made.design.units == "mm":
        assert f"R{band.low:g} to" in said
    beside = f"R{band.low:g} to R{band.high:g} beside bearing seats"
    assert any(beside in note for note in part.notes)
    assert any(f"R{LAND_BAND.low:g} to R{LAND_BAND.high:g}" in note for note in part.notes)
    assert any(f"R{STATOR_BAND.low:g} to R{STATOR_BAND.high:g}" in note for note in part.notes)
