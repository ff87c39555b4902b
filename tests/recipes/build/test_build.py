"""Whole packs: complete, true to the design for readers that did not write them, repeatable."""

import hashlib
import json
import math
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import shapely

from geometry.part import Part
from geometry.printing.page_layout import Layout
from recipes.assess import assess
from recipes.build.files import planned
from recipes.build.read_back import check_dxf
from recipes.build.write import write_pack
from recipes.catalogue import RECIPES, Parts
from recipes.cli.commands import run
from recipes.design.load import load
from recipes.drawing_conventions import Imprint
from recipes.motor import solve
from recipes.templates import template_layout
from tests.places import ROOT
from tests.support.design import STARTERS, job
from tests.support.gmsh import gmsh_solids
from tests.support.packs import build_starters
from tests.support.paths import faults_of_path


def content(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.mark.parametrize("name", STARTERS)
def test_manifest_lists_every_file_with_its_hash(packs: dict[str, Path], name: str) -> None:
    pack = packs[name]
    manifest = json.loads((pack / "manifest.json").read_text())
    listed = {f["path"]: f for f in manifest["files"]}
    on_disk = content(pack)
    assert set(listed) == set(on_disk) - {"manifest.json"}
    for path, row in listed.items():
        assert row["sha256"] == hashlib.sha256(on_disk[path]).hexdigest()
        assert row["purpose"] in {"cut", "print", "draw", "solid", "read", "wind"}
        if row["purpose"] == "cut":
            assert row["area_mm2"] > 0
            assert row["cut_length_mm"] > 0
            assert row["pierces"] >= 1
    assert {"lamination", "liner", "axle"} <= {f["part"] for f in manifest["files"]}
    assert manifest["design"]["motor"]["slots"] == job(name).design.motor.slots


@pytest.mark.parametrize("name", STARTERS)
def test_every_path_of_a_pack_suits_every_system(packs: dict[str, Path], name: str) -> None:
    """Windows forbids letters, endings, devices and long paths; and it does not tell A from a."""
    paths = [f"{name}/{path}" for path in content(packs[name])]
    assert [f"{p}: {fault}" for p in paths for fault in faults_of_path(p)] == []
    assert len({p.lower() for p in paths}) == len(paths) > 20


def test_every_recipe_yields_every_kind_its_line_names() -> None:
    for name in STARTERS:
        j = job(name)
        for recipe in RECIPES:
            parts = Parts(j)[recipe.name]
            kinds = {p.purpose for p in planned(j, parts, recipe.files, "")}
            wanted = {
                {"mesh": "solid", "sheet": "print", "knife": "cut"}.get(f, f) for f in recipe.files
            }
            assert kinds == (wanted if parts else set()), recipe.name


def test_two_processes_write_the_same_bytes(packs: dict[str, Path], tmp_path: Path) -> None:
    build_starters(
        tmp_path / "other", PYTHONHASHSEED="4242", TZ="Pacific/Auckland", LC_ALL="C", LANG="C"
    )
    for name in STARTERS:
        first, second = content(packs[name]), content(tmp_path / "other" / name)
        assert [p for p in first if first[p] != second.get(p)] == []
        assert set(first) == set(second)


def test_gdal_reads_the_same_lamination(packs: dict[str, Path]) -> None:
    """GDAL's DXF driver (pyogrio), arcs in chords of 0.5 degrees: loses 1.27e-5 of a sector."""
    os.environ["OGR_ARC_STEPSIZE"] = "0.5"
    pyogrio = pytest.importorskip("pyogrio")
    for name, pack in packs.items():
        file = next(pack.glob("cut/lamination_*.dxf"))
        _, _, shapes, fields = pyogrio.raw.read(file)
        layers = list(fields[0])
        rings = [shapely.from_wkb(s) for s in shapes]
        areas = {}
        for layer, ring in zip(layers, rings, strict=True):
            polygon = ring if ring.geom_type == "Polygon" else shapely.Polygon(ring.coords)
            areas[layer] = areas.get(layer, 0.0) + polygon.area
        region = Parts(job(name))["lamination"][0].cut[0]
        assert set(areas) == {"CUT_OUTER", "CUT_INNER"}
        assert areas["CUT_OUTER"] == pytest.approx(region.outer.area, rel=1e-4)
        assert areas["CUT_INNER"] == pytest.approx(sum(h.area for h in region.holes), rel=1e-4)


def test_gmsh_measures_the_same_solids(packs: dict[str, Path], tmp_path: Path) -> None:
    for name, pack in packs.items():
        file = next(pack.glob("solid/lamination_*.step"))
        ((_, volume, _),) = gmsh_solids(file.read_bytes(), tmp_path)
        part = Parts(job(name))["lamination"][0]
        assert volume / part.thickness == pytest.approx(part.area, rel=1e-9)


def test_pdfplumber_measures_the_liner(packs: dict[str, Path]) -> None:
    pdfplumber = pytest.importorskip("pdfplumber")
    mm = 25.4 / 72
    for name, pack in packs.items():
        size = job(name).liner_size
        with pdfplumber.open(pack / "print" / "liner-templates.pdf") as pdf:
            pages = pdf.pages
            shapes = [c for p in pages for c in (*p.curves, *p.rects)]
            boxes = [((c["x1"] - c["x0"]) * mm, (c["bottom"] - c["top"]) * mm) for c in shapes]
            hits = [b for b in boxes if math.dist(b, (size.width, size.length)) < 0.05]
            assert len(hits) == Parts(job(name))["liner"][0].quantity, name
            rulers = [ln for p in pages for ln in p.lines if abs(math.dist((ln["x0"], ln["top"]), (ln["x1"], ln["bottom"])) * mm - 100) < 0.05]  # fmt: skip
            assert len(rulers) >= 2 * len(pages)


def test_one_shop_word_changes_the_cut_files_but_not_the_outline(tmp_path: Path) -> None:
    file = ROOT / "recipes" / "starters" / "potters-wheel.toml"
    args = ["build", str(file), "--out", str(tmp_path), "--no-solids", "--parts", "lamination"]
    assert run([*args, "--process", "wire-edm"]) == 0
    found = next((tmp_path / "potters-wheel" / "cut").iterdir()).read_bytes()
    assert b"AC1015" in found  # R2000, as that profile asks
    assert check_dxf(Parts(job())["lamination"][0], False, found) == []
    assert load(tmp_path / "potters-wheel" / "design.toml").shop.process == "wire-edm"
    assert run([*args, "--process", "scissors"]) == 2
    assert run(["build", str(file), "--out", str(tmp_path), "--parts", "lamination,propeller"]) == 2


def test_no_solids_writes_none(tmp_path: Path) -> None:
    file = ROOT / "recipes" / "starters" / "wool-spinner.toml"
    assert run(["build", str(file), "--out", str(tmp_path), "--no-solids"]) == 0
    assert not list(tmp_path.rglob("*.step"))


def test_a_file_that_reads_back_wrong_stops_the_build_and_keeps_the_older_pack(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from recipes.build import files

    file = ROOT / "recipes" / "starters" / "kayak-thruster.toml"
    args = ["build", str(file), "--out", str(tmp_path), "--no-solids"]
    assert run(args) == 0
    before = content(tmp_path / "kayak-thruster")
    right = files._make_dxf

    def bent(part: Part, *args: Any, **named: Any) -> bytes:
        data = right(part, *args, **named)
        return (
            data.replace(b"\r\n 42\r\n-", b"\r\n 42\r\n", 1) if part.name == "lamination" else data
        )

    monkeypatch.setattr(files, "_make_dxf", bent)
    with pytest.raises(files.ReadBackFailed, match="lamination"):
        run(args)
    assert content(tmp_path / "kayak-thruster") == before


def test_the_design_travels_in_every_file(packs: dict[str, Path]) -> None:
    for name, folder in packs.items():
        text = (ROOT / "recipes" / "starters" / f"{name}.toml").read_text()
        from geometry.formats.embedded_design import extract

        for path, data in content(folder).items():
            if path.endswith((".dxf", ".step", ".pdf")):
                assert extract(data) == text, path


def test_parts_follow_from_the_design_alone() -> None:
    """Two motors of one design have equal parts and drawings, in whatever order they are asked."""

    def drawn(parts: Parts, name: str) -> list[Part]:
        return [replace(part, drawings=tuple(part.drawings)) for part in parts[name]]

    names = [recipe.name for recipe in RECIPES]
    for starter in STARTERS:
        design = job(starter).design
        one, two = Parts(solve(design)), Parts(solve(design))
        backwards = {name: drawn(two, name) for name in reversed(names)}
        assert {name: drawn(one, name) for name in names} == backwards


def test_pages_of_paper_parts_are_laid_out_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The findings of `check --json` need them, and so does the file."""
    laid = []

    def counted(parts: tuple[Part, ...], imprint: Imprint) -> Layout:
        laid.append(parts[0].name)
        return template_layout(parts, imprint)

    monkeypatch.setattr("recipes.catalogue.template_layout", counted)
    monkeypatch.setattr("recipes.build.files.template_layout", counted)
    motor = solve(load(ROOT / "recipes" / "starters" / "wool-spinner.toml"))
    parts = Parts(motor)
    write_pack(motor, parts, assess(motor, parts), tmp_path, text="", only=("liner", "slot_strips"))
    assert len(laid) == len(set(laid)) > 1
