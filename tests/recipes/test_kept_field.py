"""Answers of the field that are kept: found again by what shapes the field, and by nothing else."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
import tomli_w

import recipes.kept_field as store
from recipes.cli.commands import run
from recipes.field.answer import BY_TURNS, FieldAnswer
from recipes.field.page import CONSTANT
from recipes.kept_field import folder, keep, kept
from recipes.motor import Motor, solve
from recipes.study.comparison import compare
from tests.support.design import job, raw

ANSWER = FieldAnswer(
    {
        CONSTANT: 9.5,
        f"{CONSTANT}_min": 9.3,
        f"{CONSTANT}_max": 9.8,
        "torque_at_phase_current_Nm": 10.0,
        "phase_flux_linkage_Wb": 0.04,
        "phase_inductance_H": 7e-4,
        "tooth_flux_density_loaded_T": 1.6,
        "yoke_flux_density_loaded_T": 0.9,
        "ring_flux_density_loaded_T": 1.2,
    },
    {"flux_U_real_Wb": (0.04, 0.001), "torque_Nm": (10.1, 9.9)},
)


def test_an_answer_is_found_again_for_the_same_field_only() -> None:
    j = job()
    assert kept(j) is None
    keep(j, ANSWER)
    found = kept(j)
    assert found is not None
    assert found.waves == ANSWER.waves
    assert found.figures[CONSTANT] == 9.5
    amperes, ohm = j.circuit.phase_current_A, j.resistance.phase_ohm
    assert found.figures["torque_per_root_watt"] == pytest.approx(10 / (3 * amperes**2 * ohm) ** 0.5, rel=1e-5)  # fmt: skip
    assert kept(job(motor__top_speed=200, motor__supply_voltage=24.0)) is not None
    for changes in (
        {"lamination__tooth_width": 7.5}, {"rotor__air_gap": 1.1}, {"lamination__steel": "M270-50A"},
        {"rotor__magnet_grade": "N45"}, {"motor__phase_current": 9.5}, {"winding__connection": "delta"},
        {"lamination__stack_length": 21}, {"rotor__ring_thickness": 5.0},
    ):  # fmt: skip
        assert kept(job(**changes)) is None, changes


def test_more_turns_at_less_current_need_no_new_field() -> None:
    keep(job(), ANSWER)
    found = kept(job(winding__turns=16, motor__phase_current=13.5))
    assert found is not None
    assert found.figures[CONSTANT] == pytest.approx(9.5 * 24 / 16)
    assert found.figures["phase_flux_linkage_Wb"] == pytest.approx(0.04 * 16 / 24, rel=1e-5)
    assert found.figures["phase_inductance_H"] == pytest.approx(7e-4 * (16 / 24) ** 2, rel=1e-5)
    assert found.figures["torque_at_phase_current_Nm"] == 10.0
    assert found.waves["flux_U_real_Wb"][0] == pytest.approx(0.04 * 16 / 24)
    assert {"demagnetisation_current_A", "current_A"} <= BY_TURNS.keys()


def test_another_program_and_a_broken_file_are_no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    j = job()
    keep(j, ANSWER)
    with monkeypatch.context() as other:
        other.setattr(store, "_program", lambda: "of tomorrow")
        assert kept(j) is None
    (file,) = folder().glob("*")  # nothing half-written stands beside it
    whole = file.read_text()
    for broken in (
        "",
        whole[: len(whole) // 2],
        "[]",
        "null",
        '{"figures": 3}',
        whole.replace("9.5", '{"a": 1}'),
    ):
        file.write_text(broken)
        assert kept(j) is None, broken
    file.write_text(whole)
    assert kept(j) is not None


def test_a_folder_that_cannot_be_is_no_fault(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    keep(job(), ANSWER)
    assert kept(job()) is None


def test_the_oldest_answers_go_first(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "MOST", 2)
    for current in (7.0, 8.0, 9.0):
        keep(job(motor__phase_current=current), ANSWER)
    assert len(list(folder().glob("*.json"))) == 2
    assert kept(job(motor__phase_current=9.0)) is not None


def test_check_says_which_it_reckons_with(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "wheel.toml"
    path.write_text(tomli_w.dumps(raw()))
    assert run(["check", str(path)]) == 0
    assert "by the magnetic circuit; lamwright field solves" in capsys.readouterr().out
    keep(job(), ANSWER)
    assert run(["check", str(path)]) == 0
    assert "9.50 (9.30 to 9.80) 1/min per V, by the magnetic field\n" in capsys.readouterr().out
    assert run(["check", str(path), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)["results"]
    assert told["speed_constant_predicted_by"] == "magnetic field"
    assert told["torque_at_phase_current_Nm"] == 10.0
    assert told["back_emf_peak_V"] == pytest.approx(240 / 9.5)


def test_voltage_and_torque_follow_the_field() -> None:
    design = job().design
    strong = replace(ANSWER, figures={**ANSWER.figures, CONSTANT: 5.0})
    weak, found = solve(design, ANSWER), solve(design, strong)
    assert (found.motor_torque or 0) == pytest.approx((weak.motor_torque or 0) * 9.5 / 5)
    assert found.speed_constant.by == "magnetic field"


def test_compare_ranks_by_the_field_kept_or_solved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The wide tooth's answer links a tenth more flux: 1.1 times the torque per root watt."""
    narrow, wide = job(), job(lamination__tooth_width=7.7)
    paths = [tmp_path / "a.toml", tmp_path / "b.toml"]
    for path, changes in zip(paths, ({}, {"lamination__tooth_width": 7.7}), strict=True):
        path.write_text(tomli_w.dumps(raw(**changes)))
    more = replace(ANSWER, figures={**ANSWER.figures, "phase_flux_linkage_Wb": 0.044})

    solved: list[float] = []

    def solve_now(motor: Motor, *_: object, **__: object) -> FieldAnswer:
        solved.append(motor.design.lamination.tooth_width or 0.0)
        return more

    monkeypatch.setattr(store, "solved_field", lambda *_, **__: None)
    monkeypatch.setattr(store, "field_answer", solve_now)

    def ratio(quick: bool = False) -> float:
        sides = compare(paths, quick=quick)
        a, b = (float(side.figures["torque_per_root_watt"]) for side in sides)
        return b / a

    ohms = (wide.resistance.phase_ohm / narrow.resistance.phase_ohm) ** 0.5
    keep(narrow, ANSWER)
    assert ratio(quick=True) * ohms == pytest.approx(1.0, abs=0.02)
    assert solved == []
    assert ratio() * ohms == pytest.approx(1.1)
    assert ratio() * ohms == pytest.approx(1.1)
    assert solved == [7.7]  # the other was kept, and so is this one now
