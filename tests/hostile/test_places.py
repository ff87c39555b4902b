"""Builds in places that are not ours to choose: folders, locales, disks, and kills on the way."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
import tomli_w

from recipes.cli.commands import run
from tests.places import ROOT
from tests.support.design import raw

#: A pack that is quick to make: the lamination's cut file and everything that is always written.
QUICK = ["--no-solids", "--parts", "lamination"]


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A design file with one short pack behind it."""
    path = tmp_path_factory.mktemp("design") / "kayak.toml"
    few = {"winding__wire": "1.5 mm", "winding__strands": 1, "winding__turns": 4, "axle__leads": []}
    path.write_text(tomli_w.dumps(raw("kayak-thruster", **few)))
    return path


@pytest.fixture(scope="module")
def pack(file: Path) -> Path:
    """An earlier pack of it."""
    assert run(["build", str(file), *QUICK, "--out", str(file.parent / "out")]) == 0
    return file.parent / "out" / "kayak-thruster"


def content(folder: Path) -> dict[str, bytes]:
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()
    }


def child(args: list[str], cwd: Path, **env: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "recipes", *args], cwd=cwd, check=False, capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), **env},
    )  # fmt: skip


def test_a_linked_out_folder_gets_the_pack_and_stays_a_link(
    file: Path, pack: Path, tmp_path: Path
) -> None:
    (tmp_path / "far").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / "far", target_is_directory=True)
    assert run(["build", str(file), *QUICK, "--out", str(tmp_path / "out")]) == 0
    assert (tmp_path / "out").is_symlink()
    assert content(tmp_path / "far" / "kayak-thruster") == content(pack)


def test_a_link_in_the_place_of_a_pack_is_not_followed(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "diary").mkdir()
    (tmp_path / "diary" / "page.txt").write_text("private")
    link = tmp_path / "out" / "kayak-thruster"
    link.parent.mkdir()
    link.symlink_to(tmp_path / "diary", target_is_directory=True)
    assert run(["build", str(file), *QUICK, "--out", str(tmp_path / "out")]) == 2
    assert "no plain folder" in capsys.readouterr().err
    assert link.is_symlink()
    assert content(tmp_path / "diary") == {"page.txt": b"private"}


def test_a_link_to_nowhere_as_out_folder_is_said(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "out").symlink_to(tmp_path / "nowhere")
    assert run(["build", str(file), *QUICK, "--out", str(tmp_path / "out")]) == 2
    told = capsys.readouterr().err
    assert "cannot write" in told
    assert "Traceback" not in told


def test_a_folder_that_may_only_be_read(file: Path, pack: Path, tmp_path: Path) -> None:
    """Root may write anywhere: a child gives that up, which has loaded all with the earlier pack."""
    if not hasattr(os, "fork"):
        pytest.skip("this system cannot give up rights in a child")
    locked = tmp_path / "out"
    shutil.copytree(pack, locked / pack.name)
    before = content(locked)
    args = ["build", str(file), *QUICK, "--out", str(locked)]
    for folder in (tmp_path, *tmp_path.parents):
        if folder.stat().st_uid == os.getuid() and folder != Path("/tmp"):
            folder.chmod(folder.stat().st_mode | 0o055)
        if folder == Path("/tmp"):
            break
    file.parent.chmod(0o755)
    for folder in (locked, locked / pack.name):
        folder.chmod(0o555)
    code = os.fork()
    if code == 0:
        status = 99
        try:
            if os.getuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
            sys.stderr = open(os.devnull, "w")  # noqa: SIM115 - the child ends at once
            status = run(args)
        finally:
            os._exit(status)
    assert os.waitstatus_to_exitcode(os.waitpid(code, 0)[1]) == 2
    locked.chmod(0o755)
    (locked / pack.name).chmod(0o755)
    assert content(locked) == before


def test_a_decimal_comma_changes_no_byte(file: Path, pack: Path, tmp_path: Path) -> None:
    """German writes 0,35: neither Python's nor the C library's numbers may follow it."""
    there = _german(tmp_path)
    first = child(
        ["build", str(file), "--no-solids", "--parts", "lamination", "--out", "out"], tmp_path, **there
    )  # fmt: skip
    assert first.returncode == 0, first.stderr
    assert content(tmp_path / "out" / "kayak-thruster") == content(pack)


def test_a_decimal_comma_changes_no_body(tmp_path: Path) -> None:
    code = (
        "import locale, sys\nfrom geometry.outline import Outline, Region\n"
        "from geometry.solids import Extruded\nfrom geometry.formats.step_write import write_step, write_stl\n"
        "if sys.argv[1] == 'german':\n    locale.setlocale(locale.LC_ALL, '')\n"
        "    assert locale.str(0.5) == '0,5', locale.str(0.5)\n"
        "body = Extruded(Region(Outline.rectangle(3.25, 7.75)), 0.35)\n"
        "sys.stdout.buffer.write(write_step(body, name='plate') + write_stl(body))\n"
    )
    there = {**os.environ, **_german(tmp_path), "PYTHONPATH": str(ROOT)}
    plain, german = (
        subprocess.run([sys.executable, "-c", code, w], env=there, capture_output=True, check=True).stdout
        for w in ("plain", "german")
    )  # fmt: skip
    assert len(plain) > 1000
    assert plain == german


def _german(folder: Path) -> dict[str, str]:
    """Return an environment with a decimal comma; made for the test where the system has none."""
    code = "import locale; locale.setlocale(locale.LC_ALL, ''); print(locale.str(0.5))"
    env = {"LC_ALL": "de_DE.UTF-8"}
    probe = [sys.executable, "-c", code]
    told = subprocess.run(probe, env={**os.environ, **env}, capture_output=True, check=False).stdout
    if told.strip() != b"0,5" and shutil.which("localedef"):
        made = ["localedef", "-i", "de_DE", "-f", "UTF-8", str(folder / "de_DE.UTF-8")]
        subprocess.run(made, capture_output=True, check=False)
        env["LOCPATH"] = str(folder)
        told = subprocess.run(probe, env={**os.environ, **env}, capture_output=True, check=False).stdout  # fmt: skip
    if told.strip() != b"0,5":
        pytest.skip("no German locale: apt-get install locales")
    return env


def test_two_builds_at_once_into_one_folder_both_end_well(file: Path, pack: Path, tmp_path: Path) -> None:  # fmt: skip
    args = [sys.executable, "-m", "recipes", "build", str(file), *QUICK, "--out", str(tmp_path)]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    runs = [subprocess.Popen(args, cwd=ROOT, **quiet) for _ in range(2)]  # type: ignore[call-overload]
    assert [r.wait() for r in runs] == [0, 0]
    assert content(tmp_path / "kayak-thruster") == content(pack)
    assert os.listdir(tmp_path) == ["kayak-thruster"]


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system has no kill -9")
@pytest.mark.parametrize("wait", [0.2, 0.9, 1.7])
def test_a_build_killed_on_the_way_harms_nothing(
    wait: float, file: Path, pack: Path, tmp_path: Path
) -> None:
    """Before the files are written nothing is on the disk at all; `test_swap_under_stress` has the rest."""
    shutil.copytree(pack, tmp_path / pack.name)
    args = [sys.executable, "-m", "recipes", "build", str(file), "--out", str(tmp_path)]
    began = subprocess.Popen(args, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    time.sleep(wait)
    began.send_signal(signal.SIGKILL)
    began.wait()
    found = content(tmp_path / pack.name)
    if found != content(pack):  # a fast machine had it done
        listed = {f["path"] for f in json.loads(found["manifest.json"])["files"]}
        assert set(found) == listed | {"manifest.json"}
