"""Every wire of both standards against published copies, formulas and the other standard."""

from __future__ import annotations

import csv
import math
from itertools import pairwise

import pytest

from recipes.tables.wire import (
    IEC,
    NEMA,
    Wire,
    awg_wire,
    iec_resistance_ohm_per_m,
    list_wires,
    metric_wire,
)
from tests.places import ROOT

GRADES = (1, 2, 3)
MIL = 0.0254


def reference(name: str) -> list[dict[str, str]]:
    path = ROOT / "tests" / "reference" / name
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def every_wire() -> list[Wire]:
    metric = [wire for grade in GRADES for wire in list_wires(IEC, grade)]
    return metric + [wire for grade in (1, 2) for wire in list_wires(NEMA, grade)]


R20 = reference("iec60317_round.csv")
AWG = reference("nema_mw1000_round.csv")


# --- IEC 60317-0-1 -------------------------------------------------------------------------------


@pytest.mark.parametrize("row", R20, ids=lambda row: row["nominal_mm"])
@pytest.mark.parametrize("grade", GRADES)
def test_metric_r20_rows_equal_the_published_table(row: dict[str, str], grade: int) -> None:
    """IEC 60317-0-1:2013 Table 1; sources in the reference file, row by row."""
    wire = metric_wire(float(row["nominal_mm"]), grade)
    nominal, tolerance = float(row["nominal_mm"]), float(row["tolerance_mm"])
    assert wire.series == "R20"
    assert wire.bare_min_mm == pytest.approx(nominal - tolerance, abs=1e-9)
    assert wire.bare_max_mm == pytest.approx(nominal + tolerance, abs=1e-9)
    assert wire.overall_max_mm == pytest.approx(float(row[f"g{grade}_max_od"]), abs=1e-9)
    least = nominal - tolerance + float(row[f"g{grade}_min_increase"])
    assert wire.overall_min_mm == pytest.approx(least, abs=1e-9)


@pytest.mark.parametrize(
    "row", reference("iec60317_r40_overall.csv"), ids=lambda r: r["nominal_mm"]
)
def test_metric_r40_rows_equal_the_published_overall_diameters(row: dict[str, str]) -> None:
    """The Annex A rule gives what two makers' tables to IEC 60317-0-1 print for R40 sizes."""
    for grade in GRADES:
        if row[f"g{grade}_max_od"]:
            wire = metric_wire(float(row["nominal_mm"]), grade)
            assert wire.series == "R40"
            assert wire.overall_max_mm == pytest.approx(float(row[f"g{grade}_max_od"]), abs=1e-9)


@pytest.mark.parametrize("row", reference("is13730_swg.csv"), ids=lambda row: row["nominal_mm"])
def test_the_rule_for_intermediate_sizes_gives_the_swg_rows(row: dict[str, str]) -> None:
    """IS 13730-0-1 applies the same rule to SWG sizes: enamel of the next larger R20 size."""
    size = float(row["nominal_mm"])
    larger = next(w for w in list_wires(IEC, 1) if w.series == "R20" and w.bare_mm >= size)
    for grade in GRADES:
        lender = metric_wire(larger.bare_mm, grade)
        if not row["known_wrong"].startswith(f"g{grade}_max_od"):
            build = float(row[f"g{grade}_max_od"]) - size
            assert lender.overall_max_mm - lender.bare_mm == pytest.approx(build, abs=1e-9)
        increase = lender.overall_min_mm - lender.bare_min_mm
        assert increase == pytest.approx(float(row[f"g{grade}_min_increase"]), abs=1e-9)
    # IS takes 1 % of the size itself, never more than the tolerance of the next larger size
    if not row["known_wrong"].startswith("tolerance"):
        assert float(row["tolerance_mm"]) <= larger.bare_max_mm - larger.bare_mm + 1e-9


def test_preferred_and_intermediate_sizes_are_iso_3_series() -> None:
    """R40 steps are 10**(1/40), R20 steps 10**(1/20); ISO 3 rounds by at most 1.3 %."""
    sizes = [wire.bare_mm for wire in list_wires(IEC, 1)]
    assert len(sizes) == 41
    for k, size in enumerate(sizes):
        assert size == pytest.approx(0.2 * 10.0 ** (k / 40.0), rel=0.013)
    # R40 from 0.265 also in transwire.co.za/engineering_data.html, 0.212 and 0.236 from memory
    r40 = "0.212 0.236 0.265 0.3 0.335 0.375 0.425 0.475 0.53 0.6 0.67 0.75 0.85 0.95"
    r40 += " 1.06 1.18 1.32 1.5 1.7 1.9"
    assert sizes[1::2] == [float(text) for text in r40.split()]
    series = [wire.series for wire in list_wires(IEC, 1)]
    assert series == ["R20" if k % 2 == 0 else "R40" for k in range(41)]


@pytest.mark.parametrize("row", reference("iec60317_resistance.csv"), ids=lambda r: r["nominal_mm"])
def test_the_resistance_rule_gives_a_published_table(row: dict[str, str]) -> None:
    """59, 58.5 and 58 S m/mm2: sizes below our table, printed to 3 or 4 digits by a wire maker."""
    found = iec_resistance_ohm_per_m(float(row["nominal_mm"]), float(row["tolerance_mm"]))
    for value, key in zip(found, ("min", "nominal", "max"), strict=True):
        assert value == pytest.approx(float(row[f"ohm_per_m_{key}"]), rel=6e-4)


def test_metric_resistance_columns_follow_from_the_diameters() -> None:
    for wire in list_wires(IEC, 2):
        area = math.pi / 4.0 * wire.bare_mm**2
        assert wire.resistance_iec_nominal_ohm_per_m == pytest.approx(1 / 58.5 / area, rel=1e-9)
        low, high = math.pi / 4.0 * wire.bare_max_mm**2, math.pi / 4.0 * wire.bare_min_mm**2
        assert wire.resistance_min_ohm_per_m == pytest.approx(1 / 59.0 / low, rel=1e-6)
        assert wire.resistance_max_ohm_per_m == pytest.approx(1 / 58.0 / high, rel=1e-6)


@pytest.mark.parametrize("row", R20, ids=lambda row: row["nominal_mm"])
def test_metric_resistance_equals_the_reference_columns(row: dict[str, str]) -> None:
    wire = metric_wire(float(row["nominal_mm"]), 1)
    for value, key in (
        (wire.resistance_iec_nominal_ohm_per_m, "R_nom_ohm_per_m_calc_58.5"),
        (wire.resistance_min_ohm_per_m, "R_min_calc_59_dmax"),
        (wire.resistance_max_ohm_per_m, "R_max_calc_58_dmin"),
    ):
        assert value == pytest.approx(float(row[key]), abs=6e-6)


# --- NEMA MW 1000 --------------------------------------------------------------------------------


@pytest.mark.parametrize("row", AWG, ids=lambda row: row["awg"])
def test_awg_rows_equal_the_published_table(row: dict[str, str]) -> None:
    """NEMA MW 1000 in mil; bare and resistance of one copy, enamel of a second."""
    for build in ("single", "heavy"):
        if not row[f"{build}_max_od_mil"]:
            continue
        wire = awg_wire(int(row["awg"]), build)
        bare = [float(row[f"bare_{key}_in"]) * 25.4 for key in ("min", "nom", "max")]
        assert [wire.bare_min_mm, wire.bare_mm, wire.bare_max_mm] == pytest.approx(bare, abs=1e-6)
        most = float(row[f"{build}_max_od_mil"]) * MIL
        assert wire.overall_max_mm == pytest.approx(most, abs=1e-6)
        least = bare[0] + float(row[f"{build}_min_increase_mil"]) * MIL
        assert wire.overall_min_mm == pytest.approx(least, abs=1e-6)
        printed = [float(row[f"ohm_per_kft_{key}"]) / 304.8 for key in ("min_20C", "max")]
        found = [wire.resistance_min_ohm_per_m, wire.resistance_max_ohm_per_m]
        assert found == pytest.approx(printed, rel=1e-9)


@pytest.mark.parametrize("row", reference("nema_mw1000_second_copy.csv"), ids=lambda r: r["awg"])
def test_awg_rows_agree_with_a_second_published_copy(row: dict[str, str]) -> None:
    """A maker's copy of MW 1000. Its bare max is tighter (+0.5 %) for AWG 10 to 26."""
    wire = awg_wire(int(row["awg"]), "heavy")
    assert wire.bare_min_mm / MIL == pytest.approx(float(row["bare_min_mil"]), abs=0.01)
    assert wire.bare_mm / MIL == pytest.approx(float(row["bare_nominal_mil"]), abs=0.01)
    excess = wire.bare_max_mm / MIL - float(row["bare_max_mil"])
    assert -0.01 <= excess <= (0.51 if int(row["awg"]) <= 26 else 0.01)
    increase = (wire.overall_min_mm - wire.bare_min_mm) / MIL
    assert increase == pytest.approx(float(row["heavy_min_increase_mil"]), abs=0.01)
    if row["single_max_od_mil"]:
        single = awg_wire(int(row["awg"]), "single")
        assert single.overall_max_mm / MIL == pytest.approx(
            float(row["single_max_od_mil"]), abs=0.01
        )
        increase = (single.overall_min_mm - single.bare_min_mm) / MIL
        assert increase == pytest.approx(float(row["single_min_increase_mil"]), abs=0.01)


def test_awg_diameters_follow_astm_b258() -> None:
    """ASTM B258: d = 0.127 mm * 92**((36 - n) / 39); NEMA rounds to 0.1 mil."""
    for row in AWG:
        awg = int(row["awg"])
        exact = 0.127 * 92.0 ** ((36 - awg) / 39.0)
        assert awg_wire(awg, 2).bare_mm == pytest.approx(exact, abs=0.0501 * MIL)


def test_awg_resistance_agrees_with_the_handbook_table() -> None:
    """ASTM B258 diameters at 1/58; the 0.1 mil rounding of NEMA moves it by up to 2 %."""
    handbook = {int(row["awg"]): row for row in reference("awg.csv") if set(row["awg"]) != {"0"}}
    for awg in range(10, 36):
        wire = awg_wire(awg, 2)
        d = float(handbook[awg]["d_mm"])
        expected = float(handbook[awg]["ohm_per_km_20C"]) / 1000.0 * (d / wire.bare_mm) ** 2
        assert wire.resistance_20C_ohm_per_m == pytest.approx(expected, rel=5e-4)


def test_awg_resistance_columns_follow_from_the_diameters() -> None:
    """NEMA prints least, nominal and greatest resistance: 100 % IACS copper, within 0.5 %."""
    for row in AWG:
        wire = awg_wire(int(row["awg"]), 2)
        printed = float(row["ohm_per_kft_nom"]) / 304.8
        assert wire.resistance_20C_ohm_per_m == pytest.approx(printed, rel=2e-3)
        for value, diameter in (
            (wire.resistance_min_ohm_per_m, wire.bare_max_mm),
            (wire.resistance_max_ohm_per_m, wire.bare_min_mm),
        ):
            calculated = 1.0 / 58.0 / (math.pi / 4.0 * diameter**2)
            assert value == pytest.approx(calculated, rel=5e-3)


# --- every wire ----------------------------------------------------------------------------------


def test_every_wire_keeps_the_order_of_its_diameters() -> None:
    wires = every_wire()
    assert len(wires) == 3 * 41 + 22 + 26
    for wire in wires:
        assert wire.bare_min_mm < wire.bare_mm < wire.bare_max_mm, wire.label
        assert wire.bare_max_mm < wire.overall_max_mm, wire.label
        assert wire.bare_min_mm < wire.overall_min_mm < wire.overall_max_mm, wire.label
        increase = wire.overall_min_mm - wire.bare_min_mm
        assert wire.overall_max_mm >= wire.bare_max_mm + increase - 1e-9, wire.label


def test_every_wire_resists_between_its_limits() -> None:
    for wire in every_wire():
        low, high = wire.resistance_min_ohm_per_m, wire.resistance_max_ohm_per_m
        assert low < wire.resistance_iec_nominal_ohm_per_m < wire.resistance_20C_ohm_per_m < high
        ratio = wire.resistance_iec_nominal_ohm_per_m / wire.resistance_20C_ohm_per_m
        assert ratio == pytest.approx(58.0 / 58.5, rel=1e-9)


@pytest.mark.parametrize(
    ("standard", "grade"), [(IEC, 1), (IEC, 2), (IEC, 3), (NEMA, 1), (NEMA, 2)]
)
def test_lists_rise_in_every_diameter(standard: str, grade: int) -> None:
    wires = list_wires(standard, grade)
    for thin, thick in pairwise(wires):
        assert thin.bare_mm < thick.bare_mm
        assert thin.bare_min_mm < thick.bare_min_mm
        assert thin.bare_max_mm < thick.bare_max_mm
        assert thin.overall_max_mm < thick.overall_max_mm
        assert thin.mass_g_per_m < thick.mass_g_per_m
        assert thin.resistance_20C_ohm_per_m > thick.resistance_20C_ohm_per_m
        assert thin.standard == thick.standard == standard


def test_more_enamel_makes_a_thicker_and_heavier_wire() -> None:
    pairs = [(metric_wire(w.bare_mm, 1), metric_wire(w.bare_mm, 2)) for w in list_wires(IEC, 1)]
    pairs += [(metric_wire(w.bare_mm, 2), metric_wire(w.bare_mm, 3)) for w in list_wires(IEC, 1)]
    pairs += [(w, awg_wire(int(w.label.split()[0]), 2)) for w in list_wires(NEMA, 1)]
    for thin, thick in pairs:
        assert thin.overall_max_mm < thick.overall_max_mm
        assert thin.overall_min_mm < thick.overall_min_mm
        assert thin.mass_g_per_m < thick.mass_g_per_m
        assert thin.copper_area_mm2 == thick.copper_area_mm2


def test_the_mass_is_copper_and_a_little_film() -> None:
    wire = metric_wire(0.75, 2)
    mean = (wire.overall_min_mm + wire.overall_max_mm) / 2.0
    film = math.pi / 4.0 * (mean**2 - 0.75**2) * 1.35
    assert wire.mass_g_per_m == pytest.approx(math.pi / 4.0 * 0.75**2 * 8.89 + film, rel=1e-12)
    for each in every_wire():
        assert 1.005 < each.mass_g_per_m / (each.copper_area_mm2 * 8.89) < 1.09, each.label


def test_heavy_magnet_wire_mass_agrees_with_a_makers_table() -> None:
    """Centelsa, NEMA MW 1000 single film: AWG 14 12.56, AWG 24 1.247 lb/kft (with enamel)."""
    for awg, pounds in ((14, 12.56), (24, 1.247), (30, 0.3112)):
        kg_per_m = pounds * 0.45359237 / 304.8
        assert awg_wire(awg, "single").mass_g_per_m / 1000.0 == pytest.approx(kg_per_m, rel=0.01)
