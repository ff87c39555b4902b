"""Process profiles: sourced figures, and one word that takes the same motor to another shop.

Outside checks: public design guides of shops (tests/reference/process_guides.csv) and ISO 286-2.
"""

from __future__ import annotations

import csv
import dataclasses
from typing import Any, get_args

import pytest

from geometry.finding import Finding
from geometry.formats.dxf_read import outlines_of, read_dxf
from geometry.inspection.compare import compare_outlines
from recipes.build.files import planned
from recipes.catalogue import Parts
from recipes.design.shop import Process as Word
from recipes.tables.process import process
from recipes.tables.reader import TableError, load_table
from tests.places import ROOT
from tests.support.design import STARTERS, job
from tests.support.shop import sheet_told

WORDS = get_args(Word)
RELEASES = {"R12": "AC1009", "R2000": "AC1015", "R2010": "AC1024"}


def guides() -> list[dict[str, str]]:
    path = ROOT / "tests" / "reference" / "process_guides.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def found(name: str = "potters-wheel", **changes: Any) -> dict[str, Finding]:
    return {f.code: f for f in sheet_told(job(name, **changes))}


def test_the_table_holds_the_words_of_the_design_file() -> None:
    assert tuple(row.text("name") for row in load_table("processes.csv").rows) == WORDS
    with pytest.raises(TableError, match="known: laser, waterjet"):
        process("scissors")


@pytest.mark.parametrize("word", WORDS)
def test_every_row_has_its_sources_and_makes_sense(word: str) -> None:
    row = process(word)
    for text in (row.source, row.kerf_source, row.spacing_source, row.version_source):
        assert len(text) > 20
    assert row.confidence == "practice"
    assert row.dxf_version in RELEASES
    # A cut of width k leaves k / 2 in an inside corner, and no gap narrower than k.
    assert row.kerf_full_width_mm / 2 < row.least_corner_radius_mm + row.tolerance_mm
    assert row.kerf_full_width_mm < row.least_slot_mm <= row.least_hole_mm
    assert row.part_gap_mm > row.kerf_full_width_mm
    assert row.sheet_margin_mm >= row.part_gap_mm
    assert row.hole(3.1) >= row.hole(0.35) >= row.least_hole_mm
    assert row.slot(0.35) >= row.least_slot_mm


def test_sources_name_pages_except_for_the_own_machine() -> None:
    for word in WORDS:
        row = process(word)
        assert (".com" in row.source and ".com" in row.kerf_source) == (word != "own")


@pytest.mark.parametrize("guide", guides(), ids=lambda g: f"{g['process']} {g['figure']}")
def test_figures_lie_within_what_shops_publish(guide: dict[str, str]) -> None:
    value = getattr(process(guide["process"]), guide["figure"])
    assert float(guide["low"]) <= value <= float(guide["high"])


@pytest.mark.parametrize("name", STARTERS)
def test_one_word_moves_the_same_motor_to_another_shop(name: str) -> None:
    shapes, versions = [], {}
    for word in WORDS:
        j = job(name, shop__process=word)
        part = Parts(j)["lamination"][0]
        # the drawing for reference names what this shop holds; the part itself is one for all
        shapes.append(dataclasses.replace(part, drawings=()))
        (plan,) = planned(j, (part,), ("cut",), "")
        assert plan.path.endswith("_kerf0.dxf")
        content = read_dxf(plan.make())
        versions[word] = content.version
        shift = part.box
        loops = [loop.moved(-shift[0], -shift[1]) for loop in part.loops]
        assert compare_outlines(loops, outlines_of(content), 1e-9) == []
    assert all(part == shapes[0] for part in shapes)
    assert versions == {word: RELEASES[process(word).dxf_version] for word in WORDS}
    assert len(set(versions.values())) > 1


def test_a_version_of_ones_own_beats_the_profile() -> None:
    for version, code in RELEASES.items():
        j = job(shop__dxf_version=version)
        (plan,) = planned(j, Parts(j)["lamination"], ("cut",), "")
        assert read_dxf(plan.make()).version == code
        assert ("R12_mm" in plan.path) == (version == "R12")


def test_each_shop_has_its_own_limits() -> None:
    limits = {}
    for word in WORDS:
        tight = found(lamination__slot_opening=0.35, winding__wire="0.2 mm", shop__process=word)
        limits[word] = tight["feature-too-small"].limit
    assert limits == {"laser": 1.0, "waterjet": 1.8, "wire-edm": 0.4, "own": 1.2}


def test_bore_fit_is_judged_at_worst_case() -> None:
    """ISO 286-2: 30 h6 is 0 / -13 um; so a bore of 30 +-0.1 is 0.1 tight to 0.113 loose."""
    f = found()["bore-fit"]
    assert (f.level, f.field, f.limit) == ("warn", "lamination.bore_diameter", -0.1)
    assert "0.100 mm too tight" in f.message
    assert "0.113 mm loose" in f.message
    fine = found(shop__process="wire-edm")["bore-fit"]
    assert fine.level == "note"
    assert "0.020 mm too tight to go on to 0.033 mm loose" in fine.message
    measured = found(shop__measured={"bore_step": 0.1})["bore-fit"]
    assert measured.level == "note"


def test_a_bore_with_room_is_no_finding() -> None:
    """30 g6 is -7 / -20 um: wire EDM at +-0.02 leaves 0.013 tight; there is no looser seat fit."""
    f = found(axle__stator_seat={"from_face": 70, "length": 24, "fit": "g6"}, shop__process="wire-edm")  # fmt: skip
    assert f["bore-fit"].limit == pytest.approx(-0.013)
    assert "bore-fit" not in found(
        lamination__outer_diameter=310.0,
        lamination__bore_diameter=131.3,
        shop__process="wire-edm",
        hub__keyway=None,
        hub__spokes=None,
        hub__yoke_thickness=None,
        hub__orientation_mark=False,
    )  # outside the table of fits: the axle's rules say so


def test_tip_is_judged_with_both_edges_off() -> None:
    assert "tip-worst-case" not in found(lamination__tip_thickness=1.2)
    f = found(lamination__tip_thickness=1.15)["tip-worst-case"]
    assert (f.level, f.field) == ("warn", "lamination.tip_thickness")
    assert "0.95 mm is left" in f.message
    assert f.limit == pytest.approx(1.2)
    assert "tip-worst-case" not in found(lamination__tip_thickness=0.9)  # a stop by itself
    assert "feature-too-small" in found(lamination__tip_thickness=0.9)
    assert "tip-worst-case" in found(shop__process="waterjet")


def test_air_gap_is_judged_at_worst_case() -> None:
    assert found(rotor__air_gap=0.39)["air-gap"].level == "warn"
    assert found(rotor__air_gap=0.19)["air-gap"].level == "stop"
    assert "air-gap" not in found(rotor__air_gap=0.41)
    assert "air-gap" not in found(rotor__air_gap=0.33, shop__process="wire-edm")
