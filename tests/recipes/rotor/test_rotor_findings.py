"""What each finding about the ring of magnets names: field, value, limit and the size to use."""

from __future__ import annotations

import math

import pytest

from geometry.finding import Finding
from recipes.rotor.ring import rotor_ring_results
from tests.support.design import job
from tests.support.rotor import ring_findings

BARE = {f"rotor__{k}": None for k in ("magnet_width", "magnet_thickness", "ring_thickness")}


def found(**changes: object) -> dict[str, Finding]:
    return {f.code: f for f in ring_findings(job("potters-wheel", **changes))}


def test_no_sizes_and_no_room() -> None:
    said = found(**BARE)["no-magnets"]
    assert (said.level, said.field, said.value, said.limit) == (
        "note",
        "rotor.magnet_width",
        None,
        None,
    )
    j = job("potters-wheel", rotor__magnet_width=19.5, rotor__ring_bore=None)
    ring = j.rotor_ring
    said = found(rotor__magnet_width=19.5, rotor__ring_bore=None)["magnets-meet"]
    assert ring is not None
    # Blocks stand as the sides of a regular polygon about the circle of their faces.
    most = 2 * ring.face * math.tan(math.pi / ring.count)
    assert (said.level, said.field, said.value) == ("stop", "rotor.magnet_width", 19.5)
    assert said.limit == pytest.approx(most, abs=1e-4)
    assert f"use less than {most:.2f} mm" in said.fix


@pytest.mark.parametrize(
    ("width", "limit", "words"), [(5.1, 0.65, "less field"), (16.9, 0.97, "leaks")]
)
def test_coverage_names_the_bound_that_it_passes(width: float, limit: float, words: str) -> None:
    j = job("potters-wheel", rotor__magnet_width=width, rotor__ring_bore=None)
    ring = j.rotor_ring
    assert ring is not None
    said = {f.code: f for f in ring_findings(j)}["magnet-coverage"]
    assert (said.level, said.field, said.limit) == ("note", "rotor.magnet_width", limit)
    assert said.value == pytest.approx(ring.coverage, abs=1e-4)
    assert words in said.message
    assert f"{100 * ring.coverage:.0f} % of a pole pitch" in said.message
    assert said.fix == "65 to 97 % is usual"


def test_a_bore_that_leaves_another_gap_names_both() -> None:
    asked = job("potters-wheel").design.rotor.air_gap
    plain = job("potters-wheel", rotor__ring_bore=None).rotor_ring
    assert plain is not None
    bore = round(2 * plain.bore + 0.9, 2)
    j = job("potters-wheel", rotor__ring_bore=bore)
    ring = j.rotor_ring
    assert ring is not None
    said = {f.code: f for f in ring_findings(j)}["ring-bore-and-gap"]
    assert (said.level, said.field) == ("warn", "rotor.ring_bore")
    assert (said.value, said.limit) == pytest.approx((ring.gap, asked), abs=1e-4)
    # The bore that would do is the one that follows from the gap.
    assert f"use ring_bore = {2 * plain.bore:.2f} mm" in said.fix


def test_a_narrow_gap_says_which_gap_would_do() -> None:
    j = job("potters-wheel", rotor__air_gap=0.31, rotor__ring_bore=None)
    ring = j.rotor_ring
    assert ring is not None
    said = {f.code: f for f in ring_findings(j)}["air-gap-worst"]
    assert said.field == "rotor.air_gap"
    assert said.value == pytest.approx(ring.gap_least, abs=1e-4)
    assert said.level == ("stop" if ring.gap_likely <= 0 else "warn")
    assert isinstance(said.limit, float)
    assert f"use air_gap {0.31 + said.limit - ring.gap_least:.2f} mm" in said.fix


def test_a_thin_ring_a_hot_room_and_weak_glue() -> None:
    j = job("potters-wheel", rotor__ring_thickness=1.5)
    ring = j.rotor_ring
    assert ring is not None
    said = {f.code: f for f in ring_findings(j)}["ring-saturated"]
    assert (said.field, said.value) == ("rotor.ring_thickness", 1.5)
    assert said.limit == pytest.approx(ring.thickness, abs=1e-4)
    weak = found(rotor__glue_strength=0.05)["glue-line"]
    assert (weak.field, weak.limit) == ("rotor.glue_strength", 0.05)
    assert weak.value == pytest.approx(ring.glue_stress, rel=1e-3)
    assert f"the teeth pull {ring.pull_in:.0f} N" in weak.message


def test_results_by_name() -> None:
    j = job("potters-wheel")
    ring, out = j.rotor_ring, rotor_ring_results(j.rotor_ring)
    assert ring is not None
    assert out["ring_bore_diameter_mm"] == pytest.approx(2 * ring.bore)
    assert out["magnet_mass_all_kg"] == pytest.approx(ring.mass * ring.count)
    assert out["ring_thickness_needed_mm"] == pytest.approx(ring.thickness)
    assert out["air_gap_worst_mm"] == pytest.approx(ring.gap_least)
