"""Whatever bytes a file holds, a reader answers with its own error or with what it read."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geometry.errors import GeometryError
from geometry.formats.dxf_read import DxfError, outlines_of, read_dxf
from geometry.formats.step_read import StepError, planar_loops, read_step
from geometry.formats.step_write import write_step
from geometry.solids import Extruded
from recipes.build.files import planned
from recipes.catalogue import Parts
from recipes.design.load import BadInput, parse, read_text
from recipes.design.starter import NAMES, starter_text
from recipes.manufacturing.preflight import preflight
from tests.hostile.bytes import damaged
from tests.support.design import job

CUT = ("CUT_OUTER", "CUT_INNER")
the_same_each_time = settings(
    derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck)
)


@cache
def cut_file(version: str = "R2010") -> bytes:
    """Return a small cut file with the design inside."""
    j = job("kayak-thruster", shop__dxf_version=version)
    plan = next(
        iter(planned(j, Parts(j)["end_washer"] or Parts(j)["liner"], ("cut",), "name = 'x'"))
    )
    return plan.make()


@cache
def body_file() -> bytes:
    """Return a small STEP file with the design inside."""
    region = Parts(job("kayak-thruster"))["liner"][0].cut[0]
    return write_step(Extruded(region, 0.13), name="liner", payload="name = 'x'")


def only(error: type[Exception] | tuple[type[Exception], ...], call: Callable[[], object]) -> bool:
    """Tell whether a call went through; let every other error out, and one without a word."""
    try:
        call()
    except error as caught:
        if not str(caught).strip():
            raise
        return False
    return True


@pytest.mark.parametrize("name", NAMES)
def test_damaged_design_files_are_read_or_refused(name: str) -> None:
    seen = {True: 0, False: 0}

    @settings(the_same_each_time, max_examples=250)
    @given(damaged(starter_text(name).encode()))
    def each(data: bytes) -> None:
        path.write_bytes(data)
        seen[only(BadInput, lambda: parse(read_text(path)))] += 1

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "design.toml"
        each()
    assert seen[True] > 5  # a comment or a digit was hit
    assert seen[False] > 100


@settings(the_same_each_time, max_examples=200)
@given(st.binary(max_size=300))
def test_any_bytes_at_all_as_a_design(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "design.toml"
        path.write_bytes(data)
        only(BadInput, lambda: parse(read_text(path)))


@pytest.mark.parametrize("version", ["R12", "R2010"])
def test_damaged_cut_files_are_read_or_refused(version: str) -> None:
    good = cut_file(version)

    @settings(the_same_each_time, max_examples=150)
    @given(damaged(good))
    def each(data: bytes) -> None:
        only(DxfError, lambda: outlines_of(read_dxf(data), layers=CUT))
        only(BadInput, lambda: preflight(data, "laser", 0.35))

    assert outlines_of(read_dxf(good), layers=CUT)
    each()


@settings(the_same_each_time, max_examples=120)
@given(damaged(body_file()))
def test_damaged_bodies_are_read_or_refused(data: bytes) -> None:
    only((StepError, GeometryError), lambda: planar_loops(read_step(data), 0.0))


@settings(the_same_each_time, max_examples=120)
@given(st.sampled_from((".dxf", ".step", ".pdf")), st.data())
def test_a_design_in_a_damaged_file_comes_out_or_is_refused(
    ending: str, data: st.DataObject
) -> None:
    good = body_file() if ending == ".step" else cut_file()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"part{ending}"
        path.write_bytes(data.draw(damaged(good)))
        only(BadInput, lambda: read_text(path))
