"""Designs over the whole range of the file: refused by field and reason, or made without a fault.

A hundred and twenty in every run, a few of them in depth; ten thousand by `python -m tests.random 10000`.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from recipes.cli.commands import run
from recipes.refusal import Refused
from tests.random.designs import design_of
from tests.random.dice import LENGTH, Dice
from tests.random.fields import any_value, fields
from tests.random.judge import BODIES, files_hold, flat_parts_hold, judge, pack_holds, refused_well
from tests.random.readers import readers_agree
from tests.random.run import bytes_of
from tests.random.shrink import holds

COUNT = 120
always_the_same = settings(
    derandomize=True,
    deadline=None,
    database=None,
    phases=(Phase.generate,),  # failures shrink by `tests.random.shrink`
    suppress_health_check=list(HealthCheck),
)
thrown = st.binary(min_size=LENGTH, max_size=LENGTH)


def test_every_design_is_refused_by_field_or_holds() -> None:
    counted = {"accepted": 0, "refused": 0}

    def check(tables: dict[str, Any]) -> None:
        seen = judge(tables)
        counted["accepted" if seen.job else "refused"] += 1
        if seen.job:
            with refusing_well():
                flat_parts_hold(seen.job)

    @settings(always_the_same, max_examples=COUNT)
    @given(thrown)
    def each(data: bytes) -> None:
        holds(data, check)

    each()
    assert counted["accepted"] >= COUNT / 3, counted
    assert counted["refused"] >= COUNT / 5, counted


@contextmanager
def refusing_well() -> Iterator[None]:
    """Let a page that cannot be drawn say so; `build` asks for it before it writes."""
    try:
        yield
    except Refused as refused:
        refused_well(refused.findings)


@settings(always_the_same, max_examples=16)
@given(thrown)
def test_bodies_are_written_and_read_back(data: bytes) -> None:
    def check(tables: dict[str, Any]) -> None:
        seen = judge(tables)
        if seen.job:
            files_hold(seen.job, BODIES)

    holds(data, check)


def test_packs_are_written_whole(tmp_path: Path) -> None:
    """Pages, winding card, order and build sheet of a design that is accepted can be drawn."""

    def check(tables: dict[str, Any]) -> None:
        seen = judge(tables, whole=True)
        if seen.job:
            pack_holds(seen, tmp_path)

    @settings(always_the_same, max_examples=10)
    @given(thrown)
    def each(data: bytes) -> None:
        holds(data, check)

    each()


def test_other_programs_read_the_same_parts(tmp_path: Path) -> None:
    def check(tables: dict[str, Any]) -> None:
        seen = judge(tables)
        if seen.job:
            with refusing_well():
                readers_agree(seen.job, tmp_path)

    @settings(always_the_same, max_examples=20)
    @given(thrown)
    def each(data: bytes) -> None:
        holds(data, check)

    each()


@pytest.mark.parametrize("accepted", [True, False])
def test_commands_end_without_traceback_and_leave_whole_packs_or_none(
    accepted: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`build` writes the pack that its manifest lists, or nothing at all."""
    tables = next(
        t
        for t in (design_of(bytes_of(seed)) for seed in range(100))
        if (judge(t, whole=True).job is not None) == accepted
    )
    file = tmp_path / "design.toml"
    file.write_text(tomli_w.dumps(tables), encoding="utf-8")
    status = run(["build", str(file), "--no-solids", "--out", str(tmp_path / "out")])
    told = capsys.readouterr()
    assert "Traceback" not in told.out + told.err
    written = [p for p in (tmp_path / "out").rglob("*") if p.is_file()]
    if accepted:
        assert status == 0
        manifest = next(p for p in written if p.name == "manifest.json")
        listed = {f["path"] for f in json.loads(manifest.read_text())["files"]}
        names = {p.relative_to(manifest.parent).as_posix() for p in written}
        assert names == listed | {"manifest.json"}
    else:
        assert status in (1, 2)
        assert not written
        assert "STOP" in told.err


def test_every_field_of_the_model_is_thrown_over_its_whole_range() -> None:
    """A field that is added to the design is walked without further work."""
    for number, field in enumerate(fields()):
        thrown = [any_value(Dice(bytes_of(1000 * number + k)), field) for k in range(150)]
        if field.range:
            numbers = [v for v in thrown if isinstance(v, int | float)]
            assert min(numbers) == field.range[0], field.path
            assert max(numbers) == field.range[1], field.path
        else:
            assert len({repr(v) for v in thrown}) > 1 or isinstance(thrown[0], int), field.path


def test_every_field_turns_up_in_designs() -> None:
    found: set[tuple[str, ...]] = set()
    for seed in range(400):
        found |= set(_paths(design_of(bytes_of(seed)), ()))
    assert {f.path for f in fields()} <= found


def _paths(value: Any, path: tuple[str, ...]) -> list[tuple[str, ...]]:
    if isinstance(value, dict):
        return [p for k, v in value.items() for p in _paths(v, (*path, k))]
    if isinstance(value, list | tuple) and value and isinstance(value[0], dict):
        return [p for v in value for p in _paths(v, path)]
    return [path]


def test_a_string_of_bytes_is_a_design_that_toml_can_hold() -> None:
    for data in (b"", bytes(LENGTH), b"\xff" * LENGTH, bytes_of(7)):
        tables = design_of(data)
        assert tomllib.loads(tomli_w.dumps(tables)) == json.loads(json.dumps(tables))
