"""`preflight` as a command: files that are none, wrong words, exit status, JSON and picture."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from recipes.cli.commands import run
from recipes.design.load import BadInput
from recipes.manufacturing.preflight import preflight
from recipes.manufacturing.preflight_picture import preflight_picture
from recipes.tables.reader import TableError
from tests.places import ROOT
from tests.recipes.manufacturing.test_preflight import BROKEN, MM
from tests.support.dxf_texts import dxf, entities, lwpolyline

BASE = dxf(entities(lwpolyline([(0, 0, 0), (90, 0, 0), (90, 80, 0), (0, 80, 0)]), header=MM))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"\n\n \n", "empty"),
        (b"AutoCAD Binary DXF\r\n\x1a\x00", "binary DXF"),
        (b"AC1027\0\0\0", "DWG"),
        (b"%PDF-1.7\n1 0 obj\n", "not a DXF"),
        (bytes(range(256)) * 40, "not"),
        (BASE[: len(BASE) // 2], "line"),
        (BASE[:-7], "cut off"),
        (BASE.replace(b"\n90\n80", b"\n90\nnine"), ""),
        (b"\x89PNG\r\n\x1a\n" + BASE, "not"),
    ],
)
def test_what_is_no_dxf_gets_a_clear_error(data: bytes, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    path = tmp_path / "x.dxf"
    path.write_bytes(data)
    if words:
        with pytest.raises(BadInput, match=words):
            preflight(data, source="x.dxf")
        assert run(["preflight", str(path)]) == 2
        assert "x.dxf" in capsys.readouterr().err


def test_a_file_cut_off_anywhere_gets_an_error_and_never_a_traceback() -> None:
    for cut in range(0, len(BASE) - 5, 7):
        with pytest.raises(BadInput):
            preflight(BASE[:cut])


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    path = tmp_path / "huge.dxf"
    with path.open("wb") as file:
        file.truncate(3_000_000_000)
    assert run(["preflight", str(path)]) == 2
    assert "more than the limit" in capsys.readouterr().err


@pytest.mark.parametrize(
    "argv",
    [
        ["nothing-here.dxf"],
        ["."],
        ["FILE", "--process", "plasma-pen"],
        ["FILE", "--thickness", "thick"],
        ["FILE", "--thickness", "-1"],
        ["FILE", "--thickness", "nan"],
        ["FILE", "--sheet", "1000"],
        ["FILE", "--sheet", "0x5"],
        ["FILE", "--picture", "spots.gif"],
        ["FILE", "--picture", "no/such/folder/spots.svg"],
    ],
)
def test_wrong_arguments_end_with_2_and_words(argv: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    (tmp_path / "plate.dxf").write_bytes(BASE)
    argv = [str(tmp_path / "plate.dxf") if a == "FILE" else a for a in argv]
    assert run(["preflight", *argv]) == 2
    assert capsys.readouterr().err.strip()


@pytest.mark.parametrize(("name", "status"), [("gap", 1), ("point", 0), ("unit_old_version", 0)])
def test_exit_status_by_level_and_json(name: str, status: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    path = next(p for p in BROKEN if p.stem == name)
    picture = tmp_path / "spots.svg"
    assert run(["preflight", str(path), "--json", "--picture", str(picture)]) == status
    answer = json.loads(capsys.readouterr().out)
    assert set(answer) == {"findings", "measures"}
    keys = {"level", "code", "field", "value", "limit", "message", "fix", "source", "confidence", "where"}  # fmt: skip
    assert all(set(f) == keys for f in answer["findings"])
    assert {"width_mm", "height_mm", "outlines", "holes", "pierces", "cut_length_mm", "net_area_mm2", "smallest_hole_mm", "narrowest_slot_mm", "narrowest_web_mm", "smallest_corner_radius_mm", "symmetry_order", "flip_mark", "entities", "version", "unit"} <= set(answer["measures"])  # fmt: skip
    assert picture.read_text(encoding="utf-8").startswith("<svg")
    assert (
        run(["preflight", str(path), "--thickness", "0.02 in", "--sheet", "1000 x 2000"]) == status
    )
    assert "Would a shop take it?" in capsys.readouterr().out


def test_bad_input_in_json_has_the_same_shape(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    (tmp_path / "x.dxf").write_bytes(b"hello\n")
    assert run(["preflight", str(tmp_path / "x.dxf"), "--json"]) == 2
    answer = json.loads(capsys.readouterr().out)
    assert answer["measures"] == {}
    assert answer["findings"][0]["code"] == "bad-input"


def test_the_picture_numbers_every_finding() -> None:
    path = next(p for p in BROKEN if p.stem == "crossing_outlines")
    report = preflight(path.read_bytes())
    drawing = preflight_picture(report.findings, report.facts, path.name)
    texts = [t.text for t in drawing.texts]
    for number, finding in enumerate(report.findings, start=1):
        assert any(t.startswith(f"{number}  ") for t in texts)
        labels = [t for t in texts if str(number) in t.split(", ")]
        assert bool(labels) is (finding.where is not None)
    rings = [s for s in drawing.strokes if s.style == "visible"]
    assert len(rings) == len({f.where for f in report.findings if f.where})
    for t in drawing.texts:
        assert all(
            0 <= p.x <= drawing.width_mm and 0 <= p.y <= drawing.height_mm for p in t.corners()
        )


@pytest.mark.parametrize("path", BROKEN[::4], ids=lambda p: p.stem)
def test_every_broken_file_can_be_pictured(path: Path) -> None:
    report = preflight(path.read_bytes())
    assert preflight_picture(report.findings, report.facts, path.name).items


def test_an_unknown_process_names_the_known_ones() -> None:
    with pytest.raises(TableError, match="laser"):
        preflight(BASE, "chisel")


def test_the_sheet_in_hand_decides() -> None:
    assert not [f for f in preflight(BASE, sheet=(100.0, 95.0)).findings if f.level != "note"]
    assert not [f for f in preflight(BASE, sheet=(95.0, 100.0)).findings if f.level != "note"]
    (small,) = [f for f in preflight(BASE, sheet=(95.0, 89.0)).findings if f.level != "note"]
    assert (small.level, small.code) == ("stop", "larger-than-sheet")


def test_same_file_same_words_in_every_process() -> None:
    path = next(p for p in BROKEN if p.stem == "overlap_arc")
    outputs = {
        subprocess.run(
            [sys.executable, "-m", "recipes", "preflight", str(path), "--json"],
            capture_output=True, check=False, cwd=ROOT,
            env={"PYTHONHASHSEED": seed, "PATH": ""},
        ).stdout
        for seed in ("1", "77")
    }  # fmt: skip
    assert len(outputs) == 1
    assert outputs != {b""}
