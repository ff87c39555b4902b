"""Overhang, cuff, paper and opening: each rule by hand, with field, value and limit.

Creepage: IEC 60664-1 by the values in tests/reference/iec60664_creepage_mm.csv.
"""

from __future__ import annotations

import csv

import pytest

from geometry.finding import Finding
from recipes.insulation.liner import liner_findings, opening_findings
from tests.places import ROOT
from tests.support.design import STARTERS, job


def liner(**changes: object) -> dict[str, Finding]:
    j = job("potters-wheel", **changes)
    volts = j.design.motor.supply_voltage
    return {f.code: f for f in liner_findings(j.liner_size, j.design.liner, volts)}


def opening(**changes: object) -> dict[str, Finding]:
    j = job("potters-wheel", **changes)
    width, paper = j.design.lamination.slot_opening, j.design.liner.thickness
    found = opening_findings(width, paper, j.wire.overall_max_mm, j.process.tolerance_mm)
    return {f.code: f for f in found}


def distance(volts: float, degree: int) -> float:
    """The reference row of the next higher voltage, material group III."""
    path = ROOT / "tests" / "reference" / "iec60664_creepage_mm.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = [r for r in csv.DictReader(line for line in file if not line.startswith("#"))
                if float(r["V_rms"]) >= volts]  # fmt: skip
    row = min(rows, key=lambda r: float(r["V_rms"]))
    return float(row[f"PD{degree}_group_III"])


@pytest.mark.parametrize("volts", [27.6, 48.0, 97.0])
def test_creepage_wet_warns_and_dry_stops(volts: float) -> None:
    wet, dry = distance(volts, 3), distance(volts, 2)
    assert dry < wet
    for overhang, level in ((wet + 0.01, None), (wet - 0.01, "warn"), (dry - 0.01, "stop")):
        found = liner(motor__supply_voltage=volts, liner__overhang=overhang, liner__cuff=0.0)
        assert ("creepage" in found) == (level is not None)
        if level is not None:
            said = found["creepage"]
            assert (said.level, said.field, said.confidence) == (
                level,
                "liner.overhang",
                "standard",
            )
            assert said.value == pytest.approx(overhang, abs=1e-4)
            assert said.limit == pytest.approx(wet)
            assert f"needs {wet:g} mm at {volts:g} V" in said.message
            assert f"({dry:g} mm where it stays dry)" in said.message
            assert f"use at least {wet:g} mm" in said.fix


def test_a_cuff_stays_on_the_overhang() -> None:
    code = "cuff-longer-than-overhang"
    assert code not in liner(ends=None, liner__overhang=3.0, liner__cuff=3.0)
    assert code not in liner(ends=None, liner__overhang=0.0, liner__cuff=0.0)
    for overhang, cuff in ((3.0, 3.2), (0.0, 0.4)):
        said = liner(ends=None, liner__overhang=overhang, liner__cuff=cuff)[code]
        assert (said.level, said.field) == ("stop", "liner.overhang")
        assert (said.value, said.limit) == (overhang, cuff)


def test_cap_and_washer_eat_the_overhang_before_the_cuff() -> None:
    """1.5 mm of cap, 0.3 mm of washer and a cuff of 3 mm ask for 4.8 mm from the steel."""
    code, washer = "cuff-longer-than-overhang", {"thickness": 0.3, "extension": 0.3}
    said = liner(liner__overhang=3.5, end_washer=washer)[code]
    assert (said.level, said.field) == ("stop", "liner.overhang")
    assert said.limit == pytest.approx(4.8)
    assert "1.7 mm are left" in said.message
    assert said.fix == "use an overhang of 4.8 mm or more, or a cuff of at most 1.7 mm"
    assert code not in liner(liner__overhang=4.8, end_washer=washer)
    # a cap thicker than the overhang leaves the paper inside, cuff or not
    cap = {"end_cap": {"thickness": 3.4, "proud": 0.3, "edge_radius": 1.3}}
    thick = liner(liner__overhang=3.0, liner__cuff=0.0, ends=cap)[code]
    assert thick.fix == "use an overhang of 3.4 mm or more"


@pytest.mark.parametrize("name", STARTERS)
def test_cuffs_of_the_starters_lie_outside_their_caps(name: str) -> None:
    j = job(name)
    size = j.liner_size
    assert size.overhang - size.passed >= size.cuff
    assert size.passed == (j.design.ends.end_cap.thickness if j.design.ends.end_cap else 0.0)


def test_paper_of_no_stock_thickness_is_noted() -> None:
    said = liner(liner__thickness=0.223)["paper-size"]
    assert (said.level, said.field, said.value) == ("note", "liner.thickness", 0.223)
    assert (said.source, said.confidence) == ("makers' data sheets", "maker")
    assert said.message.endswith(f"near: {said.limit} mm")
    near = [float(v) for v in str(said.limit).split(", ")]
    assert all("paper-size" not in liner(liner__thickness=v + 0.005) for v in near)
    assert "paper-size" not in liner(liner__thickness=0.223, liner__paper="pressboard")


def test_the_wire_passes_the_lined_opening() -> None:
    """R16: 1.15 D + 0.2 mm, and paper on both sides; the cut may come out narrow by its tolerance."""
    plain = job("potters-wheel")
    need = 1.15 * plain.wire.overall_max_mm + 0.2 + 2 * plain.design.liner.thickness
    fine = opening(lamination__slot_opening=round(need + 1.0, 2))
    assert "wire-does-not-pass" not in fine
    said = opening(lamination__slot_opening=round(need - 0.05, 3))["wire-does-not-pass"]
    tolerance = float(str(said.limit)) - need
    assert 0.02 < tolerance < 0.5
    assert (said.level, said.field, said.confidence) == (
        "stop", "lamination.slot_opening", "practice",
    )  # fmt: skip
    assert said.value == pytest.approx(need - 0.05, abs=1e-3)
    assert f"needs {need:.2f} mm" in said.message
    assert f"widen slot_opening to {need + tolerance:.2f} mm" in said.fix
    thin = (said.value - tolerance - 2 * plain.design.liner.thickness - 0.2) / 1.15  # type: ignore[operator] # a number
    assert f"wire of at most {thin:.2f} mm" in said.fix
    narrow = opening(lamination__slot_opening=round(need + tolerance / 2, 3))["wire-does-not-pass"]
    assert narrow.level == "warn"
    assert "wire-does-not-pass" not in opening(
        lamination__slot_opening=round(need + tolerance + 0.002, 3)
    )


def test_a_voltage_beyond_the_table_names_the_supply(monkeypatch: pytest.MonkeyPatch) -> None:
    import recipes.insulation.liner as module
    from recipes.tables.reader import TableError

    def beyond(*_: object) -> None:
        raise TableError("beyond the table")

    monkeypatch.setattr(module, "creepage", beyond)
    said = liner()["creepage"]
    assert (said.level, said.field, said.limit) == ("stop", "motor.supply_voltage", None)
    assert said.value == job("potters-wheel").design.motor.supply_voltage
    assert said.source == "IEC 60664-1"
