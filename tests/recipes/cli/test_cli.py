import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from recipes.cli.commands import run
from recipes.design.starter import NAMES
from tests.places import ROOT
from tests.support.design import raw


def lines(capsys: pytest.CaptureFixture[str]) -> str:
    return capsys.readouterr().out


def test_new_writes_a_file_that_checks_and_never_overwrites(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    for name in NAMES:
        file = tmp_path / f"{name}.toml"
        assert run(["new", str(file), "--like", name]) == 0
        assert run(["check", str(file)]) == 0
        before = file.read_bytes()
        assert run(["new", str(file)]) == 2
        assert file.read_bytes() == before
    assert "exists already" in capsys.readouterr().err


def test_new_takes_the_design_out_of_a_packs_file(tmp_path: Path) -> None:
    design = tmp_path / "wheel.toml"
    assert run(["new", str(design)]) == 0
    assert run(["build", str(design), "--out", str(tmp_path / "o"), "--no-solids"]) == 0
    for number, file in enumerate(sorted((tmp_path / "o" / "wheel").rglob("*.*"))):
        if file.suffix in (".dxf", ".pdf"):
            again = tmp_path / f"again{number}.toml"
            assert run(["new", str(again), "--like", str(file)]) == 0
            assert again.read_text() == design.read_text()


def test_new_like_nothing_names_the_starters(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["new", str(tmp_path / "x.toml"), "--like", "moon-rover"]) == 2
    assert "potters-wheel" in capsys.readouterr().err


def test_starters_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["starters"]) == 0
    out = lines(capsys)
    assert all(name in out for name in NAMES)


def test_check_json_is_flat_and_answers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "k.toml"
    run(["new", str(file), "--like", "kayak-thruster"])
    capsys.readouterr()
    assert run(["check", str(file), "--json"]) == 0
    seen = json.loads(lines(capsys))
    assert set(seen) == {"findings", "results"}
    results = seen["results"]
    assert all(isinstance(v, int | float | str) for v in results.values())
    wanted = {
        "slot_area_mm2", "lined_slot_area_mm2", "copper_fill", "wire_fill_lined", "conductors_per_slot",
        "turns_per_coil", "turns_that_fit", "turns_possible_at_least", "layers", "winding_factor",
        "cogging_cycles_per_rev", "coil_mean_turn_mm", "wire_length_m", "wire_mass_kg",
        "phase_resistance_20C_ohm", "lead_resistance_20C_ohm", "sheet_count", "stack_length_mm",
        "stack_mass_kg", "lamination_area_mm2", "lamination_cut_length_mm", "heating_rate_K_per_s",
        "seconds_to_touch_limit", "liner_length_mm", "liner_width_mm",
    }  # fmt: skip
    assert wanted <= set(results)
    assert results["turns_per_coil"] == 10
    assert results["conductors_per_slot"] == 80
    assert results["winding_factor"] == pytest.approx(0.933, abs=5e-4)  # 12/14, published table


def test_a_stop_gives_1_and_names_the_fix(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import tomli_w

    file = tmp_path / "w.toml"
    file.write_text(tomli_w.dumps(raw(winding__turns=60)))
    assert run(["check", str(file)]) == 1
    out = lines(capsys)
    assert "STOP" in out
    assert "winding.turns" in out
    assert "Will the wire fit? No" in out
    assert run(["build", str(file), "--out", str(tmp_path / "o")]) == 1
    assert not (tmp_path / "o").exists()


def test_bad_input_gives_2_without_traceback(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "bad.toml"
    file.write_text("name = 3\n[motor]\nslots = 'x'\n")
    assert run(["check", str(file)]) == 2
    err = capsys.readouterr().err
    assert "motor.slots" in err
    assert "Traceback" not in err
    assert run(["check", str(file), "--json"]) == 2
    assert json.loads(lines(capsys))["findings"][0]["level"] == "stop"


@pytest.mark.parametrize(
    "argv", [[], ["chek"], ["check"], ["build", "a.toml", "--nothing"], ["lookup"]]
)
def test_usage_errors_give_2(argv: list[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        run(argv)
    assert caught.value.code == 2


@pytest.mark.parametrize(
    ("argv", "key", "value"),
    [
        (["wire", "0.71", "mm", "2"], "overall_max_mm", 0.789),  # IEC 60317-0-1 table 1
        (["wire", "24", "AWG", "2"], "bare_mm", 0.51054),  # NEMA MW 1000: 20.1 mil
        (["fit", "25", "h6"], "lower_mm", -0.013),  # ISO 286-2
        (["bearing", "6005-2RS"], "outside_mm", 47.0),  # ISO 15
        (["winding", "12", "14"], "cogging_cycles_per_rev", 84),  # lcm(12, 14)
        (["steel", "m270-35a"], "density_kg_per_m3", 7650.0),  # EN 10106
        (["paper", "aramid", "0.18"], "thickness_mm", 0.18),
    ],
)
def test_lookup_gives_one_flat_row_with_source(argv: list[str], key: str, value: object, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    assert run(["lookup", *argv, "--json"]) == 0
    row = json.loads(lines(capsys))
    assert row[key] == value
    assert row["source"]
    assert run(["lookup", *argv]) == 0


@pytest.mark.parametrize("argv", [["wire"], ["wire", "0.72 mm"], ["fit", "25"], ["fit", "wide", "h6"], ["bearing", "99"], ["winding", "12", "12"], ["winding", "x", "y"], ["moon", "1"], ["wire", "nan"], ["wire", "99 AWG"]])  # fmt: skip
def test_lookup_of_nothing_says_what_would_do(
    argv: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    status = run(["lookup", *argv])
    seen = capsys.readouterr()
    if argv == [
        "winding",
        "12",
        "12",
    ]:  # an answer, not an error: it says that this cannot be wound
        assert status in (0, 2)
    else:
        assert status == 2
        assert seen.err
    assert "Traceback" not in seen.err


def test_schema_describes_every_field(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["schema"]) == 0
    schema = json.loads(lines(capsys))
    for name, table in schema["$defs"].items():
        for key, field in table["properties"].items():
            assert field.get("description"), f"{name}.{key}"
    slot = schema["$defs"]["Lamination"]["properties"]["slot_opening"]
    assert slot["unit"] == "mm"
    assert slot["range"]
    assert slot["source"]


def test_module_and_colour(tmp_path: Path) -> None:
    file = tmp_path / "w.toml"
    run(["new", str(file)])
    done = subprocess.run(
        [sys.executable, "-m", "recipes", "check", str(file)], cwd=ROOT, capture_output=True,
        text=True, env={**os.environ, "NO_COLOR": "1"}, check=True,
    )  # fmt: skip
    assert "\x1b[" not in done.stdout
    assert "Will the wire fit? Yes" in done.stdout


def test_quiet_says_only_what_needs_doing_and_verbose_every_figure(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "w.toml"
    run(["new", str(file), "--like", "wool-spinner"])
    capsys.readouterr()
    assert run(["check", str(file), "--json"]) == 0
    seen = json.loads(lines(capsys))
    levels = [f["level"] for f in seen["findings"]]
    assert "note" in levels
    assert run(["check", str(file)]) == 0
    usual = lines(capsys)
    assert run(["check", str(file), "--quiet"]) == 0
    quiet = lines(capsys)
    assert " note  " in usual
    assert " note  " not in quiet
    assert "stack height" not in quiet
    assert quiet.count("\n look  ") + quiet.startswith(" look  ") == levels.count("warn")
    assert quiet.splitlines()[-1].startswith("Will the wire fit?")
    assert run(["check", str(file), "--verbose"]) == 0
    loud = lines(capsys)
    assert {line.split()[0] for line in loud.splitlines() if line} >= set(seen["results"])


def test_quiet_and_verbose_exclude_each_other(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        run(["check", "w.toml", "-q", "-v"])
    assert end.value.code == 2
    assert "not allowed with" in capsys.readouterr().err


def test_build_lists_files_as_loudly_as_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "w.toml"
    run(["new", str(file)])
    words = ["build", str(file), "--no-solids", "--parts", "liner", "--out", str(tmp_path / "o")]
    capsys.readouterr()
    assert run([*words, "-q"]) == 0
    assert lines(capsys).splitlines()[1:] == [str(tmp_path / "o" / "w")]
    assert run([*words, "-v"]) == 0
    loud = [line.split() for line in lines(capsys).splitlines()[1:]]
    sizes = {Path(words[3]): int(words[0]) for words in loud}
    assert all(path.stat().st_size == size for path, size in sizes.items())
    assert len(sizes) > 4


@pytest.mark.parametrize("shell", ["bash", "zsh", "tcsh"])
def test_completion_knows_every_command_and_is_sound_to_its_shell(
    shell: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["completion", shell]) == 0
    script = lines(capsys)
    for command in ("new", "check", "build", "preflight", "lookup"):
        assert command in script
    program = shutil.which(shell)
    if program and shell != "tcsh":
        file = tmp_path / "script"
        file.write_text(script)
        subprocess.run([program, "-n", str(file)], check=True)


@pytest.mark.skipif(not shutil.which("bash"), reason="needs bash")
def test_bash_finishes_a_command_and_an_option(capsys: pytest.CaptureFixture[str]) -> None:
    run(["completion", "bash"])
    ask = lines(capsys) + (
        '\nCOMP_WORDS=(lamwright pre); COMP_CWORD=1; _shtab_lamwright; echo "${COMPREPLY[@]}"\n'
        'COMP_WORDS=(lamwright build --no); COMP_CWORD=2; _shtab_lamwright; echo "${COMPREPLY[@]}"\n'
    )
    done = subprocess.run(["bash", "-c", ask], capture_output=True, text=True, check=True)
    assert [line.split() for line in done.stdout.splitlines()] == [["preflight"], ["--no-solids"]]
