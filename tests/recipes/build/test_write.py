"""Writing a pack: told of once, in order, read back, and the search only where it is asked for."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest

from geometry.drafting.drawing import Drawing
from geometry.packing import pack_circles
from recipes.assess import assess
from recipes.build import write
from recipes.build.build import build
from recipes.build.files import ReadBackFailed
from recipes.build.write import write_pack
from recipes.catalogue import Parts
from recipes.motor import solve
from recipes.refusal import Refused, stop
from tests.places import ROOT
from tests.support.design import STARTERS, design, job

KAYAK = ROOT / "recipes" / "starters" / "kayak-thruster.toml"


def test_every_file_is_told_of_once(tmp_path: Path) -> None:
    told: list[tuple[str, int, int]] = []
    made, text = job("kayak-thruster"), KAYAK.read_text()
    done = write_pack(made, Parts(made), assess(made), tmp_path, text=text, only=("liner", "axle"), solids=True,
                      tell=lambda *row: told.append(row))  # fmt: skip
    planned = [f.path for f in done.files if f.path.count("/")]
    assert sorted(path for path, _, _ in told) == sorted(planned)
    assert [(n, of) for _, n, of in told] == [(k + 1, len(planned)) for k in range(len(planned))]
    axle = [f.path for f in done.files if f.part and f.part.name == "axle"]
    assert axle == ["solid/axle.step", "draw/axle.dxf", "draw/axle.pdf"]
    assert done.files[-1].path == "manifest.json"
    manifest = json.loads(done.files[-1].data)
    assert [row["path"] for row in manifest["files"]] == [f.path for f in done.files[:-1]]


def test_only_the_search_says_what_is_possible(tmp_path: Path) -> None:
    """All else of the two packs is the same, byte for byte."""
    made = job("wool-spinner", winding__lay="random", winding__turns=33)
    seen = assess(made)
    for folder, search in (("rows", False), ("searched", True)):
        write_pack(
            made, Parts(made), seen, tmp_path / folder, text="", only=("liner",), search=search
        )
    one, two = ({p.name: p.read_bytes() for p in sorted((tmp_path / k / "wool-spinner").rglob("*"))
                 if p.is_file()} for k in ("rows", "searched"))  # fmt: skip
    assert {n for n in one if one[n] != two[n]} == {"results.json", "manifest.json"}
    rows, searched = (json.loads(each["results.json"]) for each in (one, two))
    assert list(rows).index("turns_possible_at_least") == list(searched).index("turns_possible")
    least, most = rows.pop("turns_possible_at_least"), searched.pop("turns_possible")
    assert rows == searched == {k: v for k, v in seen.results.items() if k in rows}
    assert (
        most == len(pack_circles(made.window.polygon, made.window.diameter)) // made.window.strands
    )
    assert rows["turns_that_fit"] < least < most


def test_a_search_that_finds_less_than_rows_is_not_believed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(write, "_most_turns", lambda *_: 2)
    monkeypatch.setattr(write, "cores", lambda: 1)
    made = job("kayak-thruster")
    done = write_pack(
        made, Parts(made), assess(made), tmp_path, text="", only=("liner",), search=True
    )
    found = json.loads(next(f.data for f in done.files if f.path == "results.json"))
    assert found["turns_possible"] == made.window.turns_at_least == 16


def _dies(*_: Any) -> dict[str, bytes]:
    os._exit(7)


def test_a_worker_that_dies_costs_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real, here = write.make_bodies, os.getpid()

    def fragile(plans: Any) -> dict[str, bytes]:
        return real(plans) if os.getpid() == here else _dies()

    monkeypatch.setattr(write, "make_bodies", fragile)
    fragile.__qualname__, fragile.__module__ = "make_bodies", write.__name__  # so it is pickled
    made = job("kayak-thruster")
    done = write_pack(
        made, Parts(made), assess(made), tmp_path, text="", only=("axle",), solids=True
    )
    assert next(f.data for f in done.files if f.path == "solid/axle.step").startswith(b"ISO-10303")


def test_a_file_that_differs_is_refused(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("recipes.build.read_back.READ_BACK", -1.0)
    made = job("kayak-thruster")
    with pytest.raises(ReadBackFailed, match=r"cut/liner_.*read back, it differs"):
        write_pack(made, Parts(made), assess(made), tmp_path, text="", only=("liner",))
    assert not list(tmp_path.iterdir())


def test_a_sheet_that_no_paper_holds_stops_the_build(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    def none(*_: object, **__: object) -> tuple[Drawing, ...]:
        raise Refused(
            stop("no-sheet", "axle.length", "too long", value=1.0, limit=2.0, fix="saw it")
        )

    monkeypatch.setattr("recipes.stator.stack.stack_drawing", none)
    assert build(KAYAK, tmp_path / "out", only=("stack",), solids=False) == 1
    assert "STOP  too long\n       fix: saw it" in capfd.readouterr().err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("name", STARTERS)
def test_no_judgement_searches(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Findings and figures come from rows, which take no time; a search takes a second."""
    monkeypatch.setattr("geometry.packing.search.Search", None)
    for lay in ("layered", "random"):
        seen = assess(solve(design(name, winding__lay=lay, winding__turns=61)))
        assert "turns_possible_at_least" in seen.results
