"""Designs side by side: differences, marks, answers; text, CSV, JSON and page."""

from __future__ import annotations

import csv
import io
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
import tomli_w

from recipes.assess import assess
from recipes.cli.commands import run
from recipes.study.compare_page import comparison_page, overlays
from recipes.study.comparison import Side, answers_of, fields_of, rows_of, sides_of, unknowns
from recipes.study.comparison_show import comparison_csv, comparison_dict, safe
from tests.support.design import job, raw


def two(**changes: Any) -> tuple[Side, ...]:
    """The potter's wheel, and the same with changes."""
    jobs = [job(), job(**changes)]
    return sides_of(["a.toml", "b.toml"], jobs, [assess(j, whole=False) for j in jobs])


@pytest.fixture(scope="module")
def thicker() -> tuple[Side, ...]:
    return two(winding__wire="0.90 mm", winding__turns=21, measured={"lead_u_v": 0.371})


def marks(sides: tuple[Side, ...]) -> dict[str, str]:
    return {r.key.name: r.marks[1] for r in rows_of(sides)}


def test_thicker_wire_in_fewer_turns(thicker: tuple[Side, ...]) -> None:
    seen = marks(thicker)
    assert seen["heating_rate_K_per_s"] == "better"  # current density falls with d^2
    assert seen["winding_factor"] == "same"
    assert seen["lead_resistance_20C_ohm"] == "other"  # neither good nor bad in itself
    assert seen["stack_mass_kg"] == "same"


def test_differences_by_hand(thicker: tuple[Side, ...]) -> None:
    """0.85 to 0.90 mm: density falls by 1 - (0.85/0.90)^2 = 10.80 %."""
    (row,) = [r for r in rows_of(thicker) if r.key.name == "current_density_A_per_mm2"]
    assert row.percents == (None, pytest.approx(-10.802, abs=1e-3))
    (row,) = [r for r in rows_of(thicker) if r.key.name == "turns_in_series"]
    assert row.values == (192, 168)
    assert row.percents[1] == pytest.approx(-12.5)


def test_relative_figures_begin_at_one(thicker: tuple[Side, ...]) -> None:
    rows = {r.key.name: r.values for r in rows_of(thicker)}
    torque, loss = rows["torque_per_root_watt"], rows["copper_loss_same_torque"]
    assert torque[0] == loss[0] == 1.0
    assert loss[1] == pytest.approx(float(torque[1] or 0) ** -2)


def test_only_fields_that_differ_are_listed(thicker: tuple[Side, ...]) -> None:
    assert {f.name: f.values for f in fields_of(thicker)} == {
        "winding.wire": ("0.85 mm", "0.90 mm"),
        "winding.turns": ("24", "21"),
    }


def test_a_longer_stack_is_cooler_and_heavier() -> None:
    sides = two(lamination__stack_length=23.0)
    answers = {a.need.key: a for a in answers_of(sides)}
    assert answers["copper_loss_same_torque"].winner == "B"
    a, b = (side.figures["copper_loss_same_torque"] for side in sides)
    less = f"B: {100.0 * (1.0 - float(b) / float(a)):.0f} % less heat than A"
    assert answers["copper_loss_same_torque"].words == less
    assert answers["active_mass_kg"].winner == "A"
    assert answers["cogging_cycles_per_rev"].winner == ""
    assert "no difference" in answers["cogging_cycles_per_rev"].words


def test_differences_below_what_the_model_tells_have_no_winner() -> None:
    answers = {a.need.key: a for a in answers_of(two(lamination__tooth_width=7.62))}
    assert {a.winner for a in answers.values()} == {""}


def test_a_design_with_a_stop_says_so_where_it_wins() -> None:
    sides = two(lamination__stack_length=31.0)  # longer than its seat on the axle
    assert sides[1].stops
    answers = {a.need.key: a for a in answers_of(sides)}
    assert "mend its STOP first" in answers["copper_loss_same_torque"].words


def test_a_refused_design_has_no_figures_and_no_answers() -> None:
    sides = two(winding__parallel_paths=5)
    assert sides[1].stops
    (row,) = [r for r in rows_of(sides) if r.key.name == "torque_per_root_watt"]
    assert row.values[1] is None
    assert row.marks == ("", "")
    assert "torque_per_root_watt" not in {a.need.key for a in answers_of(sides)}


def test_an_unknown_magnet_makes_all_fields_equal() -> None:
    sides = two(rotor__magnet_width=None, rotor__magnet_thickness=None)
    (row,) = [r for r in rows_of(sides) if r.key.name == "torque_per_root_watt"]
    assert row.values[1] == pytest.approx(1.0)
    assert any("Magnets of B are not known" in line for line in unknowns(sides))


def test_measured_motors_are_held_against_each_other() -> None:
    def bench(volts: float) -> dict[str, float]:
        ohm = job().resistance.lead_ohm
        return {"lead_u_v": ohm, "lead_v_w": ohm, "lead_w_u": ohm, "driven_u_v": volts, "driven_speed": 200}  # fmt: skip

    jobs = [job(measured=bench(v)) for v in (10.1, 11.3)]
    sides = sides_of(["a", "b"], jobs, [assess(j, whole=False) for j in jobs])
    (row,) = [r for r in rows_of(sides) if r.key.name == "torque_per_root_watt_measured"]
    assert row.percents[1] == pytest.approx(100 * (11.3 / 10.1 - 1), rel=1e-5)
    answers = {a.need.key: a for a in answers_of(sides)}
    assert answers["torque_per_root_watt_measured"].winner == "B"
    assert not any("Nothing is measured" in line for line in unknowns(sides))


def test_csv_reads_back(thicker: tuple[Side, ...]) -> None:
    table = list(csv.DictReader(io.StringIO(comparison_csv(thicker), newline="")))
    rows = {(r["kind"], r["name"]): r for r in table}
    density = rows["figure", "current_density_A_per_mm2"]
    for side in thicker:
        assert float(density[side.letter]) == pytest.approx(side.figures[density["name"]])
    assert density["B mark"] == "better"
    assert rows["field", "winding.wire"]["B"] == "0.90 mm"
    assert rows["measured", "measured.lead_u_v"]["B"] == "0.371"
    assert rows["measured", "measured.lead_u_v"]["A"] == ""
    assert None not in {key for r in table for key in r}


@pytest.mark.parametrize("text", ["=1+1", "@sum", "+cmd", "-x", "=HYPERLINK(1)"])
def test_no_spreadsheet_computes_a_name(text: str) -> None:
    assert safe(text) == f"'{text}"
    assert safe("-3.5") == "-3.5"


def test_json_is_plain(thicker: tuple[Side, ...]) -> None:
    again = json.loads(json.dumps(comparison_dict(thicker), allow_nan=False))
    assert [d["letter"] for d in again["designs"]] == ["A", "B"]
    (loss,) = [f for f in again["figures"] if f["name"] == "copper_loss_same_torque"]
    assert loss["values"]["A"] == 1.0
    assert loss["better"] == "less"
    assert again["measured"]["B"][0]["field"] == "measured.lead_u_v"
    assert again["unknown"]


class _Page(HTMLParser):
    """Cells by key and design, and whether every tag closes."""

    VOID = frozenset({"meta", "link", "br"})

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.cells: dict[tuple[str, str], str] = {}
        self.links: list[str] = []
        self.at: tuple[str, str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.links += [v for k, v in found.items() if k in ("href", "src") and v]
        if tag not in self.VOID:
            self.open.append(tag)
        if "data-key" in found:
            self.at = (found["data-key"] or "", found["data-side"] or "")

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.VOID:
            assert self.open.pop() == tag
        if tag == "td":
            self.at = None

    def handle_data(self, data: str) -> None:
        if self.at:
            self.cells[self.at] = data


def test_page_is_whole_and_shows_the_figures(thicker: tuple[Side, ...]) -> None:
    text = comparison_page(thicker)
    page = _Page()
    page.feed(text)
    assert page.open == []
    assert page.links == ["data:,"]  # nothing comes from a network
    for row in rows_of(thicker):
        for side, value in zip(thicker, row.values, strict=True):
            shown = page.cells[row.key.name, side.letter]
            if isinstance(value, int | float):
                scale = 100 if row.key.unit == "share" else 1
                assert float(shown) == pytest.approx(scale * value, rel=2e-3, abs=6e-4)
    assert text == comparison_page(thicker)


def test_page_tells_outlines_apart_without_colour(thicker: tuple[Side, ...]) -> None:
    text = comparison_page(thicker)
    assert re.search(r"\.other \{[^}]*stroke-dasharray", text)
    assert not re.search(r"\.first \{[^}]*stroke-dasharray", text)
    assert "prefers-color-scheme: dark" in text


def test_page_draws_the_very_outlines() -> None:
    """The x of every corner of B's tooth stands in the path: half of 8.1 mm at its flank."""
    (overlay,) = overlays(two(lamination__tooth_width=8.1))
    assert overlay.paths[0] != overlay.paths[1]
    assert re.search(r"[ML] 4\.05 ", overlay.paths[1])
    assert not re.search(r"[ML] 4\.05 ", overlay.paths[0])
    (same,) = overlays(two(winding__turns=23))
    assert same.paths[0] == same.paths[1]


def test_a_name_is_no_markup() -> None:
    text = comparison_page(two(name="Wheel & axle; x='1'", notes="</script>"))
    assert "Wheel &amp; axle" in text


@pytest.fixture
def files(tmp_path: Path) -> list[str]:
    paths = [tmp_path / "one.toml", tmp_path / "two.toml", tmp_path / "three.toml"]
    changes: list[dict[str, Any]] = [{}, {"winding__turns": 22}, {"winding__turns": 60}]
    for path, change in zip(paths, changes, strict=True):
        path.write_text(tomli_w.dumps(raw(**change)))
    return [str(p) for p in paths]


def test_command_writes_all_and_says_fine(
    files: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet, page = tmp_path / "c.csv", tmp_path / "c.html"
    assert run(["compare", "--quick", *files[:2], "--csv", str(sheet), "--page", str(page)]) == 0
    out = capsys.readouterr().out
    assert "stays coolest" in out
    assert "winding.turns  24  ->  22" in out
    assert "What the model does not know" in out
    assert sheet.read_text().startswith("kind,name")
    assert page.read_text().startswith("<!DOCTYPE html>")
    assert run(["compare", "--quick", *files[:2], "-q"]) == 0
    assert len(capsys.readouterr().out) < len(out) / 3


def test_a_stop_gives_1_and_bad_files_2(files: list[str], capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    assert run(["compare", "--quick", files[0], files[2]]) == 1
    assert "STOP" in capsys.readouterr().out
    assert run(["compare", "--quick", files[0]]) == 2
    Path(files[1]).write_text("name = 3")
    assert run(["compare", "--quick", *files, "no-such.toml"]) == 2
    err = capsys.readouterr().err
    assert "two.toml" in err
    assert "no-such.toml" in err
    assert run(["compare", "--quick", *files, "--json"]) == 2
    assert json.loads(capsys.readouterr().out)["findings"]
