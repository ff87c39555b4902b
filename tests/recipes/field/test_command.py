"""`lamwright field`: figures on screen and as JSON, and what it refuses."""

import json
from pathlib import Path

import pytest
import tomli_w

from recipes.cli import field as command
from recipes.cli.commands import run
from recipes.field.answer import FieldAnswer
from recipes.field.page import CONSTANT, ROWS, comparison_lines, given_figures
from recipes.rotor.voltage import Prediction, SpeedConstant
from tests.support.design import raw


def test_json_is_flat_and_the_page_says_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "kayak.toml"
    path.write_text(tomli_w.dumps(raw("kayak-thruster", motor__speed_constant=165.0)))
    picture = tmp_path / "field.svg"
    assert run(["field", str(path), "--json", "--picture", str(picture)]) == 0
    assert "most in tooth 1 (as in 7), 1.62 T" in picture.read_text()
    heard = capsys.readouterr()
    told = json.loads(heard.out)
    assert "meshing" in heard.err
    assert all(isinstance(v, float | int | str) for v in told.values())
    low, field, high = (told[f"{CONSTANT}{end}"] for end in ("_min", "", "_max"))
    assert 0.95 * field < low < field < high < 1.05 * field
    assert told["speed_constant_given_rpm_per_V"] == 165
    # Independent trial of November 2026, on the same outline.
    assert field == pytest.approx(129.9, rel=0.01)
    assert told["tooth_flux_density_peak_T"] == pytest.approx(1.62, abs=0.02)
    # One voltage, one torque: 3/2 p flux current, less what saturation takes.
    ideal = 1.5 * 7 * told["phase_flux_linkage_Wb"] * 2**0.5 * 14
    assert 0.93 * ideal < told["torque_at_phase_current_Nm"] < 1.001 * ideal
    assert 0 < told["cogging_torque_peak_Nm"] < 0.03 * told["torque_at_phase_current_Nm"]
    monkeypatch.setattr(command, "solved_field", lambda *_, **__: None)
    monkeypatch.setattr(command, "field_answer", lambda *_, **__: FieldAnswer(told, {}))
    assert run(["field", str(path)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert f" {field:.0f}  1/min per V  ({low:.0f} to {high:.0f})" in lines[0]
    assert run(["field", str(path), "--quiet"]) == 0
    assert "motor.speed_constant = 165 1/min per V, but" in capsys.readouterr().out


def test_a_voltage_that_may_harm_is_told_with_its_caution(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Turned at 1800 1/min it makes 116 V where the typed constant says 12.7."""
    path = tmp_path / "wool.toml"
    path.write_text(
        tomli_w.dumps(raw("wool-spinner", motor__speed_constant=142.0, motor__top_speed=1800.0))
    )
    told = {CONSTANT: 15.5, f"{CONSTANT}_min": 15.0, f"{CONSTANT}_max": 16.0}
    monkeypatch.setattr(command, "solved_field", lambda *_, **__: None)
    monkeypatch.setattr(command, "field_answer", lambda *_, **__: FieldAnswer(told, {}))
    assert run(["field", str(path), "--quiet"]) == 0
    said = capsys.readouterr().out
    assert "116.1 V peak between two leads, above 60 V DC" in said
    assert "qualified person" in said


def test_without_magnets_field_and_fix_are_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bare.toml"
    path.write_text(tomli_w.dumps(raw(rotor__magnet_width=None, rotor__magnet_thickness=None)))
    assert run(["field", str(path)]) == 2
    heard = capsys.readouterr()
    assert "rotor.magnet_width" in heard.err
    assert "fix: give rotor.magnet_width and rotor.magnet_thickness" in heard.err
    assert run(["field", str(path), "--json"]) == 2
    (finding,) = json.loads(capsys.readouterr().out)["findings"]
    assert finding["field"] == "rotor.magnet_width"


FIELD = Prediction(9.66, 9.4, 10.0, "magnetic field")


def test_given_constant_is_held_against_the_field() -> None:
    near = comparison_lines(FIELD, SpeedConstant(9.8, "driven"))
    assert "they agree" in near[0]
    assert comparison_lines(FIELD, SpeedConstant(14.0, "designed")) == []
    assert "not given" in comparison_lines(FIELD, SpeedConstant(None, "designed"))[0]
    assert given_figures(SpeedConstant(None, "designed")) == {}


def test_every_row_has_words_and_unit() -> None:
    assert len({words for _, words, _, _ in ROWS}) > 10
    assert all(unit for _, _, unit, _ in ROWS)
