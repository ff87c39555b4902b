"""The field in the pack: its pictures, figures judged by it, and nothing replaced where it says stop."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
import tomli_w

from geometry.drafting.drawing import Drawing
from recipes.assess import assess
from recipes.build import write
from recipes.build.files import planned, planned_views
from recipes.catalogue import RECIPES, Parts
from recipes.cli.commands import run
from recipes.field.wave_views import field_curves
from recipes.motor import solve
from tests.recipes.test_kept_field import ANSWER
from tests.support.design import STARTERS, job, raw

PICTURES = ("field", "voltage", "torque-angle", "torque-current")

WAVES = {
    "flux_orders": (1.0,),
    "flux_U_real_Wb": (-0.03464,),
    "flux_U_imaginary_Wb": (-0.02,),
    "torque_Nm": (10.0, 10.1, 10.0, 9.9, 10.0, 10.1, 9.9),
    "cogging_angle_deg": (0.1, 0.3),
    "cogging_Nm": (0.02, -0.02),
    "current_A": (0.0, 10.0, 20.0, 30.0),
    "torque_at_current_Nm": (0.0, 10.0, 18.0, 24.0),
}

FOUND = replace(
    ANSWER,
    figures={
        **ANSWER.figures,
        "torque_ripple_percent": 3.0,
        "cogging_torque_peak_Nm": 0.02,
        "saturation_at_rated": 0.02,
        "torque_at_phase_current_Nm": 10.0,
    },
    waves=WAVES,
)


@pytest.mark.parametrize("name", STARTERS)
def test_a_pack_shows_its_field(packs: dict[str, Path], name: str) -> None:
    pack = packs[name]
    for stem in PICTURES:
        assert (pack / "read" / f"{stem}.svg").stat().st_size < 400_000
    results = json.loads((pack / "results.json").read_text())
    assert results["speed_constant_predicted_by"] == "magnetic field"
    page = (pack / "build-sheet.html").read_text()
    for stem in PICTURES:
        assert f'id="{stem}-title"' in page
        assert f"read/{stem}.svg" in page
    shown = (pack / "read" / "field.svg").read_text()
    carried = [float(t) for t in re.findall(r"most in tooth .*, ([\d.]+) T", shown)]
    assert len(carried) == 2
    assert carried[0] == pytest.approx(results["tooth_flux_density_peak_T"], abs=0.1)
    assert carried[1] == pytest.approx(results["tooth_flux_density_loaded_T"], abs=0.1)
    found = {f["code"]: f for f in json.loads((pack / "findings.json").read_text())}
    ring = found.get("field-ring-thickness")
    assert (ring is None) == (abs(results["ring_flux_density_loaded_T"] / 1.6 - 1) <= 0.15)


def test_what_is_cut_printed_and_wound_does_not_hang_on_the_field() -> None:
    """These files are made while the field is solved."""
    plain = job("kayak-thruster")
    found = solve(plain.design, ANSWER)
    written = []
    for motor in (plain, found):
        parts = Parts(motor)
        plans = [p for r in RECIPES for p in planned(motor, parts[r.name], r.files, "")]
        plans += planned_views(motor, parts)
        written.append({p.path: p.make() for p in plans if p.purpose != "solid"})
    assert written[0] == written[1]
    assert plain.speed_constant != found.speed_constant


def test_a_stop_by_the_field_leaves_the_older_pack(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A typed constant within a factor of 2 of the circuit, not of the field."""
    made = job("kayak-thruster")
    typed = round((made.speed_constant.per_min_V or 0.0) * 1.5, 1)
    path = tmp_path / "kayak.toml"
    path.write_text(tomli_w.dumps(raw("kayak-thruster", motor__speed_constant=typed)))
    far = dict.fromkeys((k for k in ANSWER.figures if k.startswith("speed_constant")), typed * 3)
    answer = replace(FOUND, figures={**FOUND.figures, **far})
    assert not [f for f in assess(job("kayak-thruster", motor__speed_constant=typed)).findings if f.level == "stop"]  # fmt: skip
    flux = Drawing(10.0, 10.0, (), "field")
    monkeypatch.setattr(write, "_field", lambda _: (answer, flux))
    monkeypatch.setattr(write, "cores", lambda: 1)
    old = tmp_path / "out" / made.design.slug / "mine.txt"
    old.parent.mkdir(parents=True)
    old.write_text("older")
    words = ["build", str(path), "--no-solids", "--out", str(tmp_path / "out")]
    assert run(words) == 1
    assert old.read_text() == "older"
    assert len(list(old.parent.iterdir())) == 1
    assert "nothing written" in capsys.readouterr().err


def test_waves_are_drawn_as_they_are() -> None:
    """Peaks a third of a period apart, and torque that falls short of its straight line."""
    made = job("kayak-thruster")
    curves = field_curves(made.design, FOUND)
    volts = curves["voltage"]
    places = {
        t.text: t.x for t in volts.texts if t.text in {"U", "V", "W"} and t.anchor == "centre"
    }
    a, b, c = sorted(places.values())
    assert b - a == pytest.approx((120.0 - 25.0) / 3, abs=1.0)
    assert c - b == pytest.approx((120.0 - 25.0) / 3, abs=1.0)
    # V reaches its peak a third of a period after U, W after V (IEC 60034-8: U, V, W in sequence)
    step = (places["V"] - places["U"]) % 95.0
    assert step == pytest.approx(95.0 / 3, abs=1.0)
    straight = 1.5 * 7 * float(FOUND.figures["phase_flux_linkage_Wb"]) * 2**0.5 * 30
    lost = 100 * (1 - 24.0 / straight)
    said = " ".join(t.text for t in curves["torque-current"].texts)
    assert f"at 30.0 A: {lost:.2g} %" in said
