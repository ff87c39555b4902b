"""Files in the making: begun while circles are counted, made once, told of once, told the truth."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from geometry.drafting.drawing import Drawing
from recipes.assess import assess
from recipes.build.build import build
from recipes.build.files import PackFile, ReadBackFailed
from recipes.build.making import Making
from recipes.job import Job
from recipes.refusal import Refused, stop
from tests.places import ROOT
from tests.support.design import job


class Uncounted:
    """Stands for circles that are still being counted: nobody may ask for them yet."""

    def send(self, *_: Any) -> None:
        """Take the call and do nothing."""

    def result(self, *_: Any) -> Any:
        """Fail."""
        raise AssertionError("waited for the count of circles")


def waiting(name: str) -> Job:
    """Return the job of a starter whose circles nobody has counted."""
    nobody = Uncounted()
    return Job(job(name).design, nobody, nobody, mixed=nobody)


@pytest.mark.parametrize("name", ["potters-wheel", "kayak-thruster", "wool-spinner"])
def test_all_but_what_tells_the_count_is_made_before_it(name: str) -> None:
    told: list[tuple[str, int, int]] = []
    with Making(waiting(name), "") as making:
        making.tell = lambda *row: told.append(row)
        found: list[PackFile] = []
        with pytest.raises(AssertionError, match="waited for the count"):
            found.extend(making.files())
        made = [path for path, _, _ in told]
        late = {path for path, _ in making.paths} - set(made)
        assert late >= {"wind/choices.md"}
        assert late <= {"wind/choices.md", "read/leads.svg", "read/slot.svg"}
        total = len(making.paths)
    assert len(made) == len(set(made))
    assert [(n, of) for _, n, of in told] == [(k, total) for k in range(1, len(told) + 1)]


def test_files_come_in_the_order_of_their_paths() -> None:
    with Making(job("wool-spinner"), "", only=("liner", "axle", "seat_steps")) as making:
        making.begin()
        making.begin()  # once begun it stays as it is
        files = list(making.files())
        assert [(f.path, f.part) for f in files] == making.paths
    assert [f.path for f in files if f.part and f.part.name == "axle"] == ["draw/axle.dxf", "draw/axle.pdf"]  # fmt: skip
    assert all(f.data for f in files)


def test_help_ends_when_there_is_enough_or_none_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    """Here no hand takes part: what help leaves is made when it is collected."""
    monkeypatch.setattr("recipes.build.crew.os.cpu_count", lambda: 1)
    with Making(job("kayak-thruster"), "", only=("coupon",)) as making:
        making.begin()
        making.help(lambda: True)
        making.help()
        assert sum(f.purpose == "cut" for f in making.files()) == 5


def test_a_file_that_differs_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("recipes.build.read_back.READ_BACK", -1.0)
    monkeypatch.setattr("recipes.build.crew.os.cpu_count", lambda: 1)
    with (
        Making(job("kayak-thruster"), "", only=("liner",)) as making,
        pytest.raises(ReadBackFailed, match=r"cut/liner_.*read back, it differs"),
    ):
        list(making.files())


def test_a_design_that_must_stop_begins_no_file() -> None:
    def never() -> None:
        raise AssertionError("begun")

    stopped = assess(job("kayak-thruster", winding__turns=900), meanwhile=never)
    assert any(f.level == "stop" for f in stopped.findings)
    with pytest.raises(AssertionError, match="begun"):
        assess(job("kayak-thruster"), meanwhile=never)


def test_a_sheet_that_no_paper_holds_stops_the_build(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    def none(_: Job) -> tuple[Drawing, ...]:
        raise Refused(
            stop("no-sheet", "axle.length", "too long", value=1.0, limit=2.0, fix="saw it")
        )

    monkeypatch.setattr("recipes.stator.stack._drawn", none)
    starter = ROOT / "recipes" / "starters" / "kayak-thruster.toml"
    assert build(starter, tmp_path / "out", only=("stack",), solids=False) == 1
    assert "STOP  too long\n       fix: saw it" in capfd.readouterr().err
    assert not (tmp_path / "out").exists()
