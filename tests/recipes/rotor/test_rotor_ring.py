"""The ring of magnets: places, gap, flux, glue, and its page."""

from __future__ import annotations

import csv
import math
from itertools import pairwise

import pytest
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon as Shape

from geometry.drafting.legible import legibility
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.rotor.magnet_ring import footprint, magnet_ring_findings, places
from recipes.rotor.ring import RotorRing, rotor_ring_results
from recipes.tables.magnet import HOTTEST, magnet_grade
from recipes.tables.reader import TableError, load_table
from tests.places import ROOT
from tests.support.design import STARTERS, job
from tests.support.rotor import ring_findings

BARE = {f"rotor__{k}": None for k in ("magnet_width", "magnet_thickness", "ring_thickness")}


def reference() -> list[dict[str, str]]:
    path = ROOT / "tests" / "reference" / "magnet_remanence.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def ring(j: Motor) -> RotorRing:
    found = j.rotor_ring
    assert found is not None
    return found


def codes(starter: str = "potters-wheel", **changes: object) -> list[str]:
    return [f.code for f in ring_findings(job(starter, **changes))]


# --- grades --------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", reference(), ids=lambda r: f"{r['grade']} {r['source'][:3]}")
def test_remanence_agrees_with_other_makers(row: dict[str, str]) -> None:
    """Two makers' tables; they differ among themselves by 0.03 T."""
    grade = magnet_grade(row["grade"])
    assert grade.remanence_least_t == pytest.approx(float(row["least_T"]), abs=0.031)
    assert grade.remanence_greatest_t == pytest.approx(float(row["greatest_T"]), abs=0.021)


def test_the_number_of_a_grade_is_its_energy_product() -> None:
    """(BH)max = Br^2 / (4 mu_0 mu_r) in MGOe (1 MGOe = 7957.7 J/m3), any book on magnets."""
    for cells in load_table("magnet_grades.csv").rows:
        name = cells.text("grade")
        if name.startswith("Y"):
            continue
        grade = magnet_grade(name)
        product = [
            b * b / (4 * 4e-7 * math.pi * grade.recoil_permeability) / 7957.7
            for b in (grade.remanence_least_t, grade.remanence_greatest_t)
        ]
        assert product[0] - 1.5 <= int(name[1:]) <= product[1] + 1.5, name


def test_letters_raise_the_temperature_only() -> None:
    plain = magnet_grade("n 42")
    for letters, hottest in HOTTEST.items():
        grade = magnet_grade("N42" + letters)
        assert (grade.hottest_C, grade.remanence_least_t) == (hottest, plain.remanence_least_t)
    assert magnet_grade("Y30").hottest_C == 250
    for wrong in ("N43", "Y30SH", "", "samarium"):
        with pytest.raises(TableError, match="nearest"):
            magnet_grade(wrong)


# --- places --------------------------------------------------------------------------------------


@pytest.mark.parametrize("shape", ["block", "arc"])
@pytest.mark.parametrize("many", [1, 2])
def test_magnets_seen_by_shapely(shape: str, many: int) -> None:
    """Footprints: the gap to the stator, glue to the ring, none overlap, coverage at the faces."""
    j = job(rotor__magnet_shape=shape, rotor__magnets_per_pole=many, rotor__magnet_width=13.1 / many,
            rotor__glue_line=0.23, rotor__air_gap=0.87)  # fmt: skip
    found = ring(j)
    angles = [a for pole in range(28) for a in places(28, many, pole)]
    assert len(angles) == found.count == 28 * many
    shapes = [Shape(footprint(j.design.rotor, found, a).chords(0.0005)) for a in angles]
    stator = Spot(0, 0).buffer(75.0, quad_segs=2000)
    assert min(s.distance(stator) for s in shapes) == pytest.approx(0.87, abs=1e-3)
    reach = max(math.hypot(*p) for p in shapes[0].exterior.coords)
    room = found.bore - reach
    # a block touches with its corners: the glue there is what is left along its own axis
    assert room == pytest.approx(0.23, abs=0.01)
    for a, b in pairwise([*shapes, shapes[0]]):
        assert a.distance(b) > 0.3
    seen = 2 * max(
        math.atan2(y, x)
        for x, y in Shape(footprint(j.design.rotor, found, 0.0).chords(0.001)).exterior.coords
    )
    assert found.coverage == pytest.approx(seen * found.count / (2 * math.pi), rel=1e-3)


def test_a_given_bore_sets_the_gap() -> None:
    wanted = ring(job()).bore * 2
    j = job(rotor__ring_bore=wanted + 0.5)
    assert ring(j).gap == pytest.approx(1.25, abs=0.002)
    (found,) = ring_findings(j)
    assert (found.code, found.level) == ("ring-bore-and-gap", "warn")
    assert f"{wanted:.2f} mm" in found.fix
    with pytest.raises(Refused) as caught:
        bool(job(rotor__ring_bore=158.0).rotor_ring)
    assert caught.value.findings[0].code == "ring-too-small"
    assert f"{wanted:.2f} mm" in caught.value.findings[0].fix


# --- figures -------------------------------------------------------------------------------------


def test_flux_in_the_ring_by_hand() -> None:
    """N42, 4 mm thick, gap 1.0: 1.32 x 4 / (4 + 1.05) = 1.0455 T; 14 mm wide: half of 14.64 T mm
    each way, over 1.5 T: 4.88 mm. Hanselman, Brushless Permanent Magnet Motor Design, gives the
    same balance w = B_g alpha tau / (2 B_max) (from memory)."""
    found = ring(job())
    assert found.field == pytest.approx(1.0455, abs=1e-4)
    assert found.thickness == pytest.approx(4.879, abs=1e-3)
    assert found.ring_field == pytest.approx(1.5 * 4.879 / 6, abs=1e-3)
    assert codes(rotor__ring_thickness=4.9) == []
    assert codes(rotor__ring_thickness=4.8) == ["ring-saturated"]
    assert ring(job(rotor__magnet_width=7, rotor__magnets_per_pole=2)).thickness == pytest.approx(
        4.879, abs=1e-3
    )


def test_pulls_by_hand() -> None:
    """1 T pulls 0.398 MPa (B^2 / 2 mu_0, any book on magnets); a mass on a circle m v^2 / r."""
    j = job("kayak-thruster")
    found = ring(j)
    area = 12 * 30
    assert found.pull_in / area == pytest.approx(0.3979 * found.field**2, rel=1e-3)
    assert found.mass == pytest.approx(7500 * 12e-3 * 3e-3 * 30e-3)
    radius = (31 + 0.7 + 1.5) * 1e-3
    speed = 2800 / 60 * 2 * math.pi * radius
    assert found.pull_out == pytest.approx(found.mass * speed**2 / radius)
    assert found.glue_stress == pytest.approx(found.pull_in / area)


def test_hoop_stress_of_a_bare_ring_is_density_times_speed_squared() -> None:
    """Thin rotating ring: rho v^2 (any handbook of mechanics); the magnets' pull adds p r / h."""
    j = job(motor__top_speed=9100, motor__speed_constant=900, rotor__ring_thickness=5.3)
    found = ring(j)
    omega = 9100 * math.pi / 30
    bare = 7850 * (omega * (found.bore + 2.65) * 1e-3) ** 2 / 1e6
    pressure = found.count * found.pull_out / (2 * math.pi * found.bore * 20)
    assert found.hoop == pytest.approx(bare + pressure * found.bore / 5.3)
    assert "ring-burst" in codes(motor__top_speed=9100)
    assert "ring-burst" not in codes(motor__top_speed=7100)


def test_glue_is_judged_against_the_greater_pull() -> None:
    assert codes(rotor__glue_strength=0.44) == []
    (found,) = ring_findings(job(rotor__glue_strength=0.43))
    assert found.code == "glue-line"
    assert "teeth pull 122 N" in found.message
    fast = [f for f in ring_findings(job(motor__top_speed=21000)) if f.code == "glue-line"]
    assert "21000 1/min turning pulls" in fast[0].message
    assert "guard" in fast[0].fix


def test_gap_at_worst_case_is_what_all_errors_leave() -> None:
    """0.05 magnet + 0.05 glue + 0.025 ring + 0.1 laser + 0.05 off centre = 0.275 (rule R8)."""
    found = ring(job())
    assert found.gap_least == pytest.approx(1.0 - 0.275)
    assert found.gap_likely == pytest.approx(
        1.0 - math.sqrt(2 * 0.05**2 + 0.025**2 + 0.1**2 + 0.05**2)
    )
    assert codes(rotor__air_gap=0.58) == []
    (short,) = ring_findings(job(rotor__air_gap=0.56))
    assert (short.code, short.level) == ("air-gap-worst", "warn")
    assert "air_gap 0.58 mm" in short.fix or "air_gap 0.57 mm" in short.fix
    assert codes(rotor__air_gap=0.56, shop__process="wire-edm") == []
    stop = ring_findings(job(rotor__air_gap=0.4, rotor__magnet_tolerance=0.5))
    assert [(f.code, f.level) for f in stop] == [("air-gap-worst", "stop")]


def test_coverage_heat_and_grade_are_judged() -> None:
    assert codes(rotor__magnet_width=17.3, rotor__ring_thickness=7.1) == ["magnets-meet"]
    assert codes(rotor__magnet_width=10.7) == ["magnet-coverage"]
    assert codes(motor__ambient=63.0) == ["magnet-heat"]
    assert codes(motor__ambient=63.0, rotor__magnet_grade="N42SH") == []
    with pytest.raises(Refused) as caught:
        bool(job(rotor__magnet_grade="N41").rotor_ring)
    assert caught.value.findings[0].field == "rotor.magnet_grade"


@pytest.mark.parametrize("name", STARTERS)
def test_starters_have_good_rings(name: str) -> None:
    assert ring_findings(job(name)) == []
    results = rotor_ring_results(job(name).rotor_ring)
    assert results["magnets"] == job(name).design.motor.poles


def test_without_magnets_there_is_one_note_and_no_page() -> None:
    bare = job(**BARE)
    assert [(f.code, f.level) for f in ring_findings(bare)] == [("no-magnets", "note")]
    assert (rotor_ring_results(bare.rotor_ring), Parts(bare)["magnet_ring"]) == ({}, ())


# --- page ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", STARTERS)
def test_page_alternates_and_is_legible(name: str) -> None:
    j = job(name)
    (part,) = Parts(j)["magnet_ring"]
    (page,) = part.drawings
    assert legibility(page) == []
    letters = [t.text for t in page.texts if t.text in "NS"]
    assert letters == ["N", "S"] * (j.design.motor.poles // 2)
    numbers = [t.text for t in page.texts if t.text.isdigit()]
    assert {str(k + 1) for k in range(j.design.motor.poles)} <= set(numbers)
    circles = [s for s in page.strokes if s.style == "mark" and s.closed and len(s.segments) == 2]
    assert [round(s.segments[0].start.distance(s.segments[0].end) / 2, 6) for s in circles] == [
        round(ring(j).bore, 6)
    ]


def test_thin_magnets_carry_their_letter_beside_the_number() -> None:
    (part,) = Parts(job(rotor__magnet_thickness=2.1))["magnet_ring"]
    texts = [t.text for t in part.drawings[0].texts]
    assert {"N1", "S2", "N27", "S28"} <= set(texts)
    assert legibility(part.drawings[0]) == []


def test_a_large_ring_comes_in_pieces_that_add_up() -> None:
    j = job(lamination__outer_diameter=310.0, rotor__magnet_width=27)
    (part,) = Parts(j)["magnet_ring"]
    assert len(part.drawings) > 1
    for page in part.drawings:
        assert legibility(page) == []
    letters = [t.text for p in part.drawings for t in p.texts if t.text in "NS"]
    assert letters == ["N", "S"] * 14
    (found,) = magnet_ring_findings(Parts(j)["magnet_ring"])
    assert f"{len(part.drawings)} pieces" in found.message
    assert magnet_ring_findings(Parts(job())["magnet_ring"]) == []
