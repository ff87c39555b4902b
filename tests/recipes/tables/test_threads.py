"""Screw threads against published copies of ISO 898-1, ISO 724 and ASME B1.1."""

from __future__ import annotations

import csv

import pytest

from recipes.tables.reader import TableError, load_table
from recipes.tables.threads import ScrewThread, screw_thread
from tests.places import ROOT


def reference() -> list[dict[str, str]]:
    text = (ROOT / "tests" / "reference" / "screw_threads.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@pytest.mark.parametrize("row", reference(), ids=lambda r: r["name"])
def test_threads_equal_the_published_copies(row: dict[str, str]) -> None:
    """Roots of the inch copy stray from d - 1.19 P by up to 0.0007 inch from row to row."""
    thread, unit = screw_thread(row["name"]), 25.4 if row["copy"] == "U" else 1.0
    if row["area"]:
        assert thread.stress_area_mm2 == pytest.approx(float(row["area"]) * unit**2, rel=5e-3)
    for key, value in (("d2", thread.pitch_diameter_mm), ("d3", thread.root_mm)):
        if row[key]:
            assert value == pytest.approx(float(row[key]) * unit, abs=0.02 if unit > 1 else 0.0011)


@pytest.mark.parametrize(
    ("name", "most", "least"),
    [
        ("M6", 5.974, 5.794),  # ISO 965-2 6g, mastik.pt page 711
        ("M10", 9.968, 9.732),  # the same table, from memory
        ("5/8-18 UNF", 0.6236 * 25.4, 0.6149 * 25.4),  # ASME B1.1 2A, huatuo6.cn copy
        ("5/8-11 UNC", 0.6234 * 25.4, 0.6113 * 25.4),
    ],
)
def test_limits_of_the_outside(name: str, most: float, least: float) -> None:
    thread = screw_thread(name)
    assert thread.major_max_mm == pytest.approx(most, abs=0.002)
    assert thread.major_min_mm == pytest.approx(least, abs=0.004)  # grades are rounded to R 40


def every_thread() -> list[ScrewThread]:
    return [screw_thread(row.text("name")) for row in load_table("screw_threads.csv").rows]


@pytest.mark.parametrize("thread", every_thread(), ids=lambda t: t.name)
def test_an_undercut_lies_below_the_root_and_is_3_and_a_half_pitches_long(
    thread: ScrewThread,
) -> None:
    """DIN 76-1 form A: floor below the root, g2 = 3.5 P (published copy); UN takes the next pitch."""
    assert 0.0 < thread.root_mm - thread.undercut_mm < 0.75 + 0.35 * thread.pitch_mm
    assert 3.4 * thread.pitch_mm <= thread.undercut_length_mm <= 4.4 * thread.pitch_mm
    assert thread.major_min_mm > thread.pitch_diameter_mm > thread.root_mm


def test_names_as_people_write_them() -> None:
    assert screw_thread("m 14 × 1,5") == screw_thread("M14x1.5")
    assert screw_thread("M10x1.5") == screw_thread("M10")
    assert screw_thread("1/2-20unf").designation == "1/2-20 UNF-2A"
    with pytest.raises(TableError, match="nearest: M14"):
        screw_thread("M14x0.7")
